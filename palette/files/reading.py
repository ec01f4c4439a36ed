"""Reading text files: UTF-8, and named for what they are where they are something else."""

from __future__ import annotations

import contextlib
import re
from pathlib import Path
from typing import BinaryIO

from palette.errors import InputError, Problem

LARGEST_TEXT = 64 * 2**20  # bytes; no kit or swatch list comes near it
LARGEST = 2 << 30  # bytes; no picture or mesh comes near it

_WIDE_MARKS = {
    b"\xff\xfe\x00\x00": "UTF-32",
    b"\x00\x00\xfe\xff": "UTF-32",
    b"\xff\xfe": "UTF-16",
    b"\xfe\xff": "UTF-16",
}


def refuse_huge(path: Path) -> None:
    """Refuse a file that is no picture, mesh or the like for its mere size, before it is read.

    Raises:
        InputError: it is larger than `LARGEST`.
    """
    with contextlib.suppress(OSError):  # reading it will say what is wrong
        if path.stat().st_size > LARGEST:
            what = f"is larger than {LARGEST >> 30} GB"
            raise InputError(Problem(str(path), None, what, "is it the right file?"))


def read_bytes(path: Path) -> bytes:
    """The bytes of a text file.

    Raises:
        InputError: missing, a folder, unreadable, or larger than `LARGEST_TEXT`.
    """
    try:
        if path.is_dir():
            raise InputError(Problem(str(path), None, "is a folder, not a file", "name a file in it"))
        with open(path, "rb") as stream:
            return read_stream(stream, path)
    except FileNotFoundError as error:
        raise InputError(
            Problem(str(path), None, "there is no such file", "check its name and folder")
        ) from error
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise InputError(
            Problem(str(path), None, f"cannot be read: {reason}", "check its name and its permissions")
        ) from error


def read_stream(stream: BinaryIO, path: Path) -> bytes:
    """All that a stream holds, which goes by the name of `path`.

    Raises:
        InputError: it is larger than `LARGEST_TEXT`.
    """
    raw = stream.read(LARGEST_TEXT + 1)
    if len(raw) > LARGEST_TEXT:
        what = f"is larger than {LARGEST_TEXT >> 20} MB"
        raise InputError(Problem(str(path), None, what, "is it the right file?"))
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
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        what = f"is not UTF-8 (byte 0x{raw[error.start]:02x})"
        if likely := _likely(raw, error.start):
            what = f"is not UTF-8 but probably {likely}"
        remedy = "save it again as UTF-8"
        if path.suffix.lower() == ".csv":
            remedy += ", the encoding to choose where a spreadsheet saves or exports a CSV"
        raise InputError(Problem(file, line, what, remedy)) from error
    _refuse_conflicts(text, file)
    return text


_MARKERS = re.compile(r"^(?:<{7}|={7}|>{7})(?: .*)?\r?$", re.MULTILINE)


def _refuse_conflicts(text: str, file: str) -> None:
    """Two people's changes that a version control system could not join, named as what they are."""
    marks = [(match[0][0], text.count("\n", 0, match.start()) + 1) for match in _MARKERS.finditer(text)]
    if {"<", ">"} <= {mark for mark, _ in marks}:
        lines = ", ".join(str(line) for _, line in marks[:12])
        what = f"holds two versions of one place: marks of a merge stand in lines {lines}"
        remedy = "keep one version of each place, and take the marks out"
        raise InputError(Problem(file, marks[0][1], what, remedy))


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
    best, likeliest = (0.5, 1.0), ""
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
            best, likeliest = score, f"{name}: it reads {shown!r} there"
    return likeliest


def _cased(word: str) -> tuple[str, str, str]:
    return word.lower(), word.upper(), word[0] + word[1:].lower()


def read_text(path: Path) -> str:
    """A text file, as UTF-8 with or without a byte order mark; newlines as they are.

    Raises:
        InputError: see `read_bytes` and `decode`.
    """
    return decode(read_bytes(path), path)
