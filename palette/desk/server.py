"""The desk's server: on this machine's loopback address, until it is stopped."""

from __future__ import annotations

import errno
import socket
from collections.abc import Callable
from pathlib import Path

from werkzeug.serving import WSGIRequestHandler, make_server

from palette.desk.app import make_app
from palette.desk.bench import Desk
from palette.errors import InputError, Problem

ADDRESS = "127.0.0.1"


class _Quiet(WSGIRequestHandler):
    def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
        """A terminal full of requests helps nobody."""


def serve(kit: Path | None, port: int, ready: Callable[[str], None]) -> None:
    """Serve the desk at a port of 127.0.0.1 (0: any that is free) until Ctrl-C.

    `ready` is told the address to open, which holds this run's key.

    Raises:
        InputError: no such kit, or the port cannot be had.
    """
    desk = Desk(Path.cwd())
    start = f"/kit/{desk.open(kit).number}/" if kit is not None else "/"
    with _listening(port) as listening:
        taken = listening.getsockname()[1]
        desk.listen(taken)
        server = make_server(
            ADDRESS, taken, make_app(desk), threaded=True, request_handler=_Quiet, fd=listening.fileno()
        )
        try:
            ready(f"http://{ADDRESS}:{taken}{start}?key={desk.key}")
            server.serve_forever()
        except KeyboardInterrupt:
            pass
        finally:
            server.server_close()


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
