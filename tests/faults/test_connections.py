"""Connections that are opened and say nothing do not keep the desk from answering others."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Callable, Iterable
from typing import Any

import pytest
from waitress.server import create_server

from palette.desk.server import ADDRESS, _listening, limits

HALF_OPEN = 400
ENOUGH = 20.0  # seconds; at once if it answers at all, and silent ones are closed after longer


def app(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    start_response("200 OK", [("Content-Type", "text/plain"), ("Content-Length", "4")])
    return [b"here"]


def test_half_open_connections_do_not_shut_others_out() -> None:
    # fails when there may be fewer connections than that, or each holds a thread
    if limits()["connection_limit"] <= HALF_OPEN:
        pytest.skip("the system lets a process open too few files")
    before = threading.active_count()
    with contextlib.ExitStack() as held:
        listening = held.enter_context(_listening(0))
        server = create_server(app, sockets=[listening], **limits())
        threading.Thread(target=server.run, daemon=True).start()
        held.callback(server.close)
        address = (ADDRESS, listening.getsockname()[1])
        for _ in range(HALF_OPEN):
            one = held.enter_context(socket.create_connection(address, timeout=ENOUGH))
            one.sendall(b"GET / HTTP/1.1\r\nHost: ")
        asking = held.enter_context(socket.create_connection(address, timeout=ENOUGH))
        asking.sendall(b"GET / HTTP/1.1\r\nHost: here\r\nConnection: close\r\n\r\n")
        assert asking.recv(15) == b"HTTP/1.1 200 OK"
        assert threading.active_count() - before < 60
