"""Tickets: addresses that let a browser in once."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable
from hashlib import sha256


class Tickets:
    """The tickets of one run that have not been used yet; only digests of them are kept.

    `renew` is called when a ticket that was issued has been used or is asked for a second time, so that who
    sits at the terminal finds a fresh address there; never while a fresh one is waiting there already.
    """

    def __init__(self) -> None:
        self.renew: Callable[[], None] | None = None
        self._open: set[bytes] = set()
        self._used: set[bytes] = set()
        self._lock = threading.Lock()

    def issue(self) -> str:
        """A new ticket, good for one use."""
        ticket = secrets.token_urlsafe(24)
        with self._lock:
            self._open.add(_digest(ticket))
        return ticket

    def take(self, ticket: str) -> bool:
        """Use a ticket up; False where it is none, or has been used."""
        digest = _digest(ticket)
        with self._lock:
            taken, again = digest in self._open, digest in self._used
            self._open.discard(digest)
            if taken:
                self._used.add(digest)
            renew = again and not self._open
        if renew and self.renew is not None:
            self.renew()
        return taken


def _digest(ticket: str) -> bytes:
    return sha256(ticket.encode("utf-8", "replace")).digest()
