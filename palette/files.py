"""Reading and replacing files: text is UTF-8, and a file is replaced whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar

from palette.errors import InputError, Problem

T = TypeVar("T")

LARGEST_TEXT = 64 * 2**20  # bytes; no kit or swatch list comes near it

_WIDE_MARKS = {
    b"\xff\xfe\x00\x00": "UTF-32",
    b"\x00\x00\xfe\xff": "UTF-32",
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
}


def read_bytes(path: Path) -> bytes:
    """The bytes of a text file.

    Raises:
        InputError: missing, a folder, unreadable, or larger than `LARGEST_TEXT`.
    """
    try:
        if path.is_dir():
            raise InputError(Problem(str(path), None, "is a folder, not a file", "name a file in it"))
        with open(path, "rb") as stream:
            raw = stream.read(LARGEST_TEXT + 1)
    except FileNotFoundError as error:
        raise InputError(
            Problem(str(path), None, "there is no such file", "check its name and folder")
        ) from error
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise InputError(
            Problem(str(path), None, f"cannot be read: {reason}", "check its name and its permissions")
        ) from error
    if len(raw) > LARGEST_TEXT:
        raise InputError(
            Problem(
                str(path),
                None,
                f"is larger than {LARGEST_TEXT >> 20} MB",
                "is it the right file?",
            )
        )
    return raw


def decode(raw: bytes, path: Path) -> str:
    """UTF-8 text, without its byte order mark.

    Raises:
        InputError: empty, another encoding, or no text at all; with the line where that shows.
    """
    file = str(path)
    if not raw.strip(b"\xef\xbb\xbf \t\r\n"):
        raise InputError(Problem(file, None, "is empty", "is it the right file?"))
    for mark, name in _WIDE_MARKS.items():
        if raw.startswith(mark):
            raise InputError(Problem(file, 1, f"is written in {name}", "save it again as UTF-8"))
    if b"\0" in raw:
        wide = len(raw) >= 4 and raw[:4].count(0) == 2 and raw[0] != raw[1]
        what = "is written in UTF-16" if wide else "is no text file"
        remedy = "save it again as UTF-8" if wide else "is it the right file?"
        raise InputError(Problem(file, raw[: raw.index(b"\0")].count(b"\n") + 1, what, remedy))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        what = f"is not UTF-8 (byte 0x{raw[error.start]:02x})"
        if likely := _likely(raw, error.start):
            what = f"is not UTF-8 but probably {likely}"
        remedy = "save it again as UTF-8"
        if path.suffix.lower() == ".csv":
            remedy += ", the encoding to choose where a spreadsheet saves or exports a CSV"
        raise InputError(Problem(file, line, what, remedy)) from error


_NARROW = {
    "cp1252": "Windows-1252 (also called ANSI or Latin-1)",
    "cp1250": "Windows-1250 (Central European)",
    "iso8859_2": "ISO 8859-2 (Latin-2)",
    "mac_roman": "Mac Roman",
}
_SIGNS = set("£€¥§°±²³µ·×¼½¾–—‘’“”…«»©®™Øø\u00a0")  # letters or not, these stand by themselves too
# The letters beside a to z of languages written in these, from memory: a text is mostly in one of them.
_ALPHABETS = [
    set(letters)
    for letters in (
        "äöüß", "àâæçéèêëîïôœùûüÿ", "áéíóúñü", "áâãàçéêíóôõú", "àèéìíîòóùú", "åäöæøé", "äöõüšž",
        "ąćęłńóśźż", "áčďéěíňóřšťúůýž", "áäčďéíĺľňóôŕšťúýž", "áéíóöőúüű", "čćđšž", "ăâîșşțţ",
    )
]  # fmt: skip


def _likely(raw: bytes, at: int) -> str:
    """The encoding of one byte a letter that a text is probably in, and how it reads at `at`; '' where none
    reads well: words then are ASCII letters with a few others among them, small ones within a word, and one
    language has them all."""
    best, found = (0.5, 1.0), ""
    for encoding, name in _NARROW.items():
        text = raw.decode(encoding, errors="replace")
        words = [word for word in re.findall(r"[^\W\d_]+|[^\x00-\x7f]", text) if not word.isascii()]
        good = sum(
            word in _SIGNS or (re.search("[A-Za-z]", word) is not None and word in _cased(word))
            for word in words
        )
        letters = [letter for letter in "".join(words).lower() if letter.isalpha() and not letter.isascii()]
        known = max(sum(letter in alphabet for letter in letters) for alphabet in _ALPHABETS)
        score = good / len(words), known / max(len(letters), 1)
        if score > best:
            before, after = (half.decode(encoding, errors="replace") for half in (raw[:at], raw[at:]))
            begun = re.findall(r"\w*$", before)[0]
            shown = begun + (re.findall(r"^\w+", after) or [after[0]])[0]
            best, found = score, f"{name}: it reads {shown!r} there"
    return found


def _cased(word: str) -> tuple[str, str, str]:
    return word.lower(), word.upper(), word[0] + word[1:].lower()


def read_text(path: Path) -> str:
    """A text file, as UTF-8 with or without a byte order mark; newlines as they are.

    Raises:
        InputError: see `read_bytes` and `decode`.
    """
    return decode(read_bytes(path), path)


def replace_whole(path: Path, data: bytes | str) -> None:
    """Write `data` beside `path`, flush it to the disk, then rename it into place.

    A reader sees the old file or the new one, never a part; two writers leave the later one's file.
    Text is written as UTF-8 with the newlines it has.

    Raises:
        InputError: the folder is missing or read-only, the disk is full, or `path` is a folder.
    """
    replace_together({path: data})


def check_writable(path: Path) -> None:
    """Whether `replace_whole` could write `path`, asked before the work for it begins.

    Raises:
        InputError: as `replace_whole`.
    """
    _put({path: b""}, lambda temporary, _: os.unlink(temporary))


def create_whole(path: Path, data: bytes | str) -> None:
    """As `replace_whole`, for a file that must not be there yet.

    Raises:
        InputError: also where `path` exists, even if it came into being this moment.
    """
    _put({path: data}, _link)


def replace_together(files: Mapping[Path, bytes | str]) -> None:
    """Replace several files, each as `replace_whole` does, and none before all of them are on the disk.

    Raises:
        InputError: as `replace_whole`; every file is then as it was, unless renaming itself failed.
    """
    _put(files, os.replace)


class ChangedMeanwhile(InputError):
    """A file does not hold any more what was read from it."""


def again_if_changed(work: Callable[[], T], seconds: float = 5.0) -> T:
    """Do `work`, which reads a file and replaces it by `replace_unchanged`, anew where another was faster.

    So two that change one file at once both take effect, and none waits for one that has gone.

    Raises:
        ChangedMeanwhile: others kept changing it for so many `seconds`.
    """
    last = time.monotonic() + seconds
    while True:
        try:
            return work()
        except ChangedMeanwhile:
            if time.monotonic() > last:
                raise


def replace_unchanged(path: Path, before: bytes, after: bytes) -> None:
    """Replace a file that still holds what was read from it.

    Raises:
        ChangedMeanwhile: someone else has changed the file.
        InputError: as `replace_whole`; or someone else has taken the file away.
    """
    with _alone(path.parent):
        if read_bytes(path) != before:
            what = "has been changed by another program meanwhile"
            raise ChangedMeanwhile(Problem(str(path), None, what, "read it again and repeat the change"))
        replace_whole(path, after)


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Hold a folder against another palette's replacing; where the system has no such lock, do without."""
    try:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
    except (ImportError, OSError):  # what is wrong with a folder is said when writing
        yield
        return
    try:
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _put(files: Mapping[Path, bytes | str], place: Callable[[str, Path], None]) -> None:
    """Write every file beside its place, then `place` each under its name."""
    staged: list[tuple[str, Path]] = []
    path = Path()
    try:
        for path, data in files.items():
            path = Path(os.path.realpath(path)) if path.is_symlink() else path  # the file, not the link
            _stage(path, data.encode("utf-8") if isinstance(data, str) else data, staged)
        while staged:
            temporary, path = staged[0]
            place(temporary, path)
            del staged[0]
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(
            Problem(
                str(path),
                None,
                f"cannot be written: {reason}",
                "choose a folder that is writable and has room",
            )
        ) from error
    finally:
        for temporary, _ in staged:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def _stage(path: Path, raw: bytes, staged: list[tuple[str, Path]]) -> None:
    """Write what `path` is to hold beside it, noting the file in `staged` as soon as it is there."""
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, "it is a folder")
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name}."[:100], dir=path.parent)
    staged.append((temporary, path))
    with os.fdopen(handle, "wb") as stream:
        stream.write(raw)
        stream.flush()
        os.fsync(stream.fileno())
    mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
    os.chmod(temporary, mode)


def _link(temporary: str, path: Path) -> None:
    """Give a written file its name, refusing one that exists, which a rename does not."""
    try:
        os.link(temporary, path)
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.ENOTSUP, errno.ENOSYS) or path.exists():
            raise
        os.rename(temporary, path)  # a file system without links: there is no better way
    else:
        os.unlink(temporary)


def make_folder(path: Path) -> None:
    """Make a folder and its parents; an existing one is left as it is.

    Raises:
        InputError: it cannot be made, or a file of that name is in the way.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(
            Problem(str(path), None, f"the folder cannot be made: {reason}", "choose another place")
        ) from error


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
