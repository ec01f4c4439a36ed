"""What happens on the desk, told to every page that listens: server-sent events."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from queue import Empty, SimpleQueue
from typing import Any

MOST_LISTENERS = 8  # each holds a thread of the server; the one that has listened longest goes
_PULSE = 10.0  # seconds after which a silent stream says that it is still there


class Hub:
    """The pages that listen to one kit."""

    def __init__(self) -> None:
        self._listeners: list[SimpleQueue[tuple[str, Any] | None]] = []
        self._lock = threading.Lock()

    @property
    def listened_to(self) -> bool:
        return bool(self._listeners)

    def tell(self, event: str, **data: Any) -> None:
        """Tell every page."""
        with self._lock:
            for listener in self._listeners:
                listener.put((event, data))

    def listen(self, hello: dict[str, Any]) -> Iterator[bytes]:
        """The stream of one page, until it is closed."""
        own: SimpleQueue[tuple[str, Any] | None] = SimpleQueue()
        with self._lock:
            while len(self._listeners) >= MOST_LISTENERS:
                self._listeners.pop(0).put(None)
            self._listeners.append(own)
        try:
            yield _written("hello", hello)
            while True:
                try:
                    told = own.get(timeout=_PULSE)
                except Empty:
                    yield b": still here\n\n"
                    continue
                if told is None:
                    return
                yield _written(*told)
        finally:
            with self._lock:
                if own in self._listeners:
                    self._listeners.remove(own)

    def close(self) -> None:
        """End every stream."""
        with self._lock:
            for listener in self._listeners:
                listener.put(None)


def _written(event: str, data: Any) -> bytes:
    return f"event: {event}\ndata: {json.dumps(data, ensure_ascii=False)}\n\n".encode()
