"""Pictures that were moved or renamed, found again by their content.

Whoever reads a picture notes its digest under its place, in the user's cache; where the place is empty later,
the kit's folder is searched for a file of that content.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from palette import cache

_MOST_FILES = 2000  # looked at
_KINDS = {
    ".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic", ".heif", ".avif", ".webp", ".jp2", ".bmp", ".gif",
}  # fmt: skip


def noted(path: Path, content: str) -> None:
    """Keep that the file at a place holds this content (`cache.content`)."""
    key = _key(path)
    if cache.recall(key) != content:
        cache.keep(key, content)


def found_again(path: Path, folder: Path) -> Path | None:
    """Where in a kit's folder a picture stands now that once stood at `path`; None where nobody knows."""
    content = cache.recall(_key(path))
    if not isinstance(content, str):
        return None
    for candidate in _pictures(folder):
        try:
            if cache.content(candidate) == content:
                return candidate
        except OSError:
            continue
    return None


def _key(path: Path) -> str:
    return cache.key("content of", os.path.abspath(path))


def _pictures(folder: Path) -> Iterator[Path]:
    seen = 0
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith(".") and name != "out")
        for name in sorted(names):
            if Path(name).suffix.lower() in _KINDS:
                seen += 1
                if seen > _MOST_FILES:
                    return
                yield Path(place, name)
