"""The scheme as something to paint from: a guide for the painter, a dossier for whoever doubts a colour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.kit.model import Kit


def build(
    kit: Kit,
    out: Path,
    paper: str = "a4",
    progress: Callable[[int, int], None] | None = None,
    *,
    language: str = "en",
    swatches: Sequence[Path] = (),
    mine: bool = False,
    mixing: Callable[[int, int], None] = lambda done, total: None,
) -> list[Path]:
    """Write guide.pdf, dossier.pdf, guide.html and scheme.json into the folder `out`, made where it is
    missing.

    `paper` is 'a4' or 'letter', `language` one of `palette.words.catalogue.languages()`. With `swatches` the
    guide is for the paints of those lists instead of the kit's; `mine` prints what the maker owns. All four
    are made before the first is written, and each replaces its predecessor whole. `progress` is told how many
    references of how many have been read, `mixing` for how many parts of how many paints were looked for.
    Returns their paths.

    Raises:
        InputError: with every problem of the kit, because `out` cannot be written, or because it holds the
            guide of a settled edition of the same version that has other colours.
    """
    from palette.guide.writing import Wanted, write

    return write(kit, out, Wanted(paper, language, tuple(swatches), mine), progress, mixing)
