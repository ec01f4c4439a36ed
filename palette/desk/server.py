"""The desk's server: on this machine's loopback address, until it is stopped."""

from __future__ import annotations

import errno
import secrets
import socket
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from palette.desk.app import make_app
from palette.desk.bench import Desk
from palette.desk.frugal import give_back
from palette.errors import InputError, Problem

ADDRESS = "127.0.0.1"
# Waitress reads requests in one thread and answers in these; each open stream of events holds one.
_LIMITS = {
    "threads": 24,
    "channel_timeout": 30,  # seconds a connection may be silent
    "cleanup_interval": 5,
    "max_request_header_size": 1 << 15,
    "max_request_body_size": 1 << 30,  # the application has limits of its own, page by page
    "channel_request_lookahead": 1,  # so that a browser that has gone is noticed
    "asyncore_use_poll": True,
    "ident": "",
}
_MOST_CONNECTIONS = 800  # those that say nothing are closed in time, and others are answered meanwhile
_FILES = 100  # that the desk itself may have open


def limits() -> dict[str, Any]:
    """What waitress is given: as many connections as may be, within what the system lets a process open."""
    files = 512
    if sys.platform != "win32":
        import resource

        files = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
    most = _MOST_CONNECTIONS if files < 0 else min(_MOST_CONNECTIONS, max(50, files - _FILES))
    return {**_LIMITS, "connection_limit": most}


def serve(kit: Path | None, port: int, ready: Callable[[Desk, Callable[[], str]], None]) -> None:
    """Serve the desk at a port of 127.0.0.1 (0: any that is free) until Ctrl-C.

    `ready` is told the desk and how to make an address to open: each lets one browser in, once.

    Raises:
        InputError: no such kit, or the port cannot be had.
    """
    from waitress.server import create_server

    give_back()
    desk = Desk(Path.cwd())
    start = f"/kit/{desk.open(kit).number}/bench" if kit is not None else "/"
    root = f"/{secrets.token_urlsafe(12)}"
    with _listening(port) as listening:
        taken = listening.getsockname()[1]
        desk.listen(taken)
        server = create_server(_below(root, make_app(desk)), sockets=[listening], **limits())
        try:
            ready(desk, lambda: f"http://{ADDRESS}:{taken}{root}{start}?ticket={desk.tickets.issue()}")
            server.run()
        except KeyboardInterrupt:
            pass
        finally:
            server.close()
            desk.close()


def _below(root: str, app: Callable[..., Iterable[bytes]]) -> Callable[..., Iterable[bytes]]:
    """The application below a path of this run's own: its cookie goes nowhere else."""

    def answer(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        path = environ.get("PATH_INFO", "")
        if path.startswith(f"{root}/"):
            environ = {**environ, "SCRIPT_NAME": root, "PATH_INFO": path[len(root) :]}
            return app(environ, start_response)
        start_response("404 Not Found", [("Content-Type", "text/plain"), ("Cache-Control", "no-store")])
        return [b"There is nothing here. The terminal shows the desk's address.\n"]

    return answer


def _listening(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((ADDRESS, port))
        listening.listen(128)
    except OSError as error:
        listening.close()
        busy = error.errno == errno.EADDRINUSE
        what = "is in use by another program" if busy else f"cannot be had: {(error.strerror or '').lower()}"
        raise InputError(
            Problem(
                None, None, f"port {port} {what}", "give another with --port, or none for any that is free"
            )
        ) from error
    return listening
