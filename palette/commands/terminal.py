"""What palette prints to: control characters are shown and never sent, and an answer that is lost is said.

Names, titles and lines of files come from strangers, and a terminal obeys what is printed. So everything
goes through `Output`, which shows control characters as `\\u001b`, the way JSON writes them too. Palette's
own styles go through as marks that nobody else can know, and become escape sequences on a terminal.
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import re
import sys
from collections.abc import Callable, Iterator
from typing import BinaryIO, TextIO, cast

from palette.errors import InputError, Problem, shown

_MARK = os.urandom(8).hex()
_OWN = re.compile(f"{_MARK}<([^>]*)>")


def styled(text: str, code: str) -> str:
    """Text in a style of standard output, such as '1' for bold (ECMA-48, SGR), where it shows any."""
    stream = sys.stdout
    if not isinstance(stream, Output) or not stream.isatty():
        return text
    return f"{_MARK}<\x1b[{code}m>{text}{_MARK}<\x1b[0m>"


def rewind(wipe: bool = False) -> str:
    """To the beginning of the line, for what is to be printed over it; with `wipe` the line is cleared."""
    return f"{_MARK}<\r{chr(27) + '[K' if wipe else ''}>"


class Output:
    """Standard output or standard error, as a text stream."""

    color = True  # Click leaves alone what it is given

    def __init__(self, stream: TextIO | None, name: str | None) -> None:
        """Print to `stream`; None is one that was closed before palette began.

        What cannot be printed is a problem of the stream's `name`; without one it is passed over.
        """
        self._stream, self._name = stream, name
        if isinstance(
            stream, io.TextIOWrapper
        ):  # a name may hold what an encoding lacks, and nobody means ASCII
            plain = (stream.encoding or "").lower() in ("ascii", "us-ascii", "ansi_x3.4-1968", "646")
            stream.reconfigure(errors="replace", encoding="utf-8" if plain else None)

    def write(self, text: str) -> int:
        """Print text.

        Raises:
            TypeError: for bytes, as other text streams do.
            InputError: it cannot be written.
        """
        if not isinstance(text, str):
            raise TypeError(f"write() argument must be str, not {type(text).__name__}")
        with self._said():
            if self._stream is None:
                raise OSError(errno.EBADF, "it is closed")
            self._stream.write(self._sent(text))
        return len(text)

    def flush(self) -> None:
        """Send what was printed.

        Raises:
            InputError: it cannot be written.
        """
        with self._said():
            if self._stream is not None:
                self._stream.flush()

    def isatty(self) -> bool:
        return self._stream is not None and self._stream.isatty()

    @property
    def buffer(self) -> BinaryIO:
        """Where bytes go, such as those of completion; not on Windows, whose console Click would use."""
        if self._stream is None or (sys.platform == "win32" and self.isatty()):
            raise AttributeError("buffer")
        return self._stream.buffer

    @property
    def encoding(self) -> str:
        return getattr(self._stream, "encoding", None) or "utf-8"

    @property
    def errors(self) -> str:
        return getattr(self._stream, "errors", None) or "replace"

    def writable(self) -> bool:
        return True

    def readable(self) -> bool:
        return False

    def fileno(self) -> int:
        if self._stream is None:
            raise OSError(errno.EBADF, os.strerror(errno.EBADF))
        return self._stream.fileno()

    def _sent(self, text: str) -> str:
        terminal = self.isatty()
        pieces = _OWN.split(text)  # others' text and our marks by turns
        return "".join(
            (piece if terminal else "") if i % 2 else shown(piece, keep="\n\t")
            for i, piece in enumerate(pieces)
        )

    @contextlib.contextmanager
    def _said(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            if self._name is None:
                return
            if error.errno == errno.EPIPE:
                raise  # its reader has gone, and needs no answer
            raise InputError(self.lost(error)) from error

    def lost(self, error: OSError) -> Problem:
        """What to say where an answer could not be printed."""
        what = f"cannot be written: {(error.strerror or str(error)).lower()}"
        return Problem(self._name, None, what, "send the answer to another place")


@contextlib.contextmanager
def outputs() -> Iterator[Callable[[], Problem | None]]:
    """Within this, what is printed goes through `Output`.

    Yields what sends all that still waits, to be called once in the end: the problem where it did not arrive.
    """
    _fill_handles()
    before = sys.stdin, sys.stdout, sys.stderr
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115 - for as long as we run
    out = Output(before[1], "standard output")
    sys.stdout, sys.stderr = cast(TextIO, out), cast(TextIO, Output(before[2], None))

    def finish() -> Problem | None:
        _finish(before[2])
        error = _finish(before[1])
        return None if error is None or error.errno == errno.EPIPE else out.lost(error)

    try:
        yield finish
    finally:
        finish()
        sys.stdin, sys.stdout, sys.stderr = before


def _fill_handles() -> None:
    """Let no file that is opened later take the place of a standard stream that was closed."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            with contextlib.suppress(OSError):
                os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free


def _finish(stream: TextIO | None) -> OSError | None:
    """Send what still waits, and see that it arrived; what the system says where it did not."""
    if stream is None or stream.closed:
        return None
    try:
        stream.flush()
        with contextlib.suppress(io.UnsupportedOperation, ValueError):
            os.close(os.dup(stream.fileno()))  # some file systems say only now that the disk is full
    except OSError as error:
        _let_go(stream)
        return error
    return None


def _let_go(stream: TextIO) -> None:
    """Let Python not try again, and complain, as it ends."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
