"""The scheme as something to paint from: a guide for the painter, a dossier for whoever doubts a colour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from palette.kit.model import Kit

_NAMED = 6  # parts named in a warning


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


def build_from(
    path: Path,
    out: Path | None = None,
    say: Callable[[str], None] = lambda line: None,
    progress: Callable[[int, int], None] | None = None,
    mixing: Callable[[int, int], None] = lambda done, total: None,
    **wanted: Any,
) -> list[Path]:
    """`build` for the kit.toml or folder `path`, by default into `out` beside it. Where everything is as the
    same run left it, nothing is done again.

    `say` is given the lines to warn of; `wanted` are the further arguments of `build`.
    """
    from palette.guide.unchanged import Run, collecting, digests, last_run, note

    run = last_run(path, out, wanted)
    if run is not None:
        for line in run.said:
            say(line)
        return [Path(name) for name in run.written]
    from palette.guide.writing import Wanted, inputs, settled
    from palette.kit.outputs import out_folder
    from palette.kit.read import find, read

    said: list[str] = []
    tell = collecting(said, say)
    first = digests([find(path)]) or {}
    kit = read(path)
    for warning in kit.warnings:
        tell(f"warning: {warning}")
    how = Wanted(**wanted)
    before = digests(inputs(kit, how))
    paths = build(kit, out_folder(kit) if out is None else out, progress=progress, mixing=mixing, **wanted)
    for lack in _lacking(kit, paths[-1]):
        tell(f"warning: {lack}")
    if straight := _straight(kit, how.swatches):
        tell(f"note: the lists are long, so {straight} paints were looked at straight, not in mixtures")
    after = digests(paths)
    if before is not None and after is not None and before.items() >= first.items() and settled(kit):
        note(path, out, wanted, Run(before, after, tuple(said)))
    return paths


def _lacking(kit: Kit, scheme: Path) -> list[str]:
    """What a stranger will miss in the guide of a kit, and what the maker can do about it; `scheme` is the
    scheme.json beside it."""
    import json

    from palette.guide.illustrations import may_be_printed
    from palette.kit.model import UNPAINTED

    if not kit.parts:
        return [f"{kit.path}: the kit has no part, so the guide is empty; add a [[part]] for each colour"]
    lacking = []
    shown = [reference for reference in kit.references if reference.samples]
    drawn = 2 * sum(part.mesh is not None for part in kit.parts) > len(kit.parts)
    if shown and not drawn and not any(may_be_printed(reference) for reference in shown):
        lacking.append(
            f"{kit.path}: no reference may be copied, so the cover has no picture; write the licence of one "
            "that may, or give the parts meshes"
        )
    answered = json.loads(scheme.read_text("utf-8"))["parts"]
    open_ = {part["part"] for part in answered if part["lab"] is None}
    parts = [part.id for part in kit.parts if part.id in open_ and part.finish not in UNPAINTED]
    if parts:
        some = ", ".join(parts[:_NAMED]) + (f" and {len(parts) - _NAMED} more" if len(parts) > _NAMED else "")
        lacking.append(
            f"{kit.path}: no colour is decided for {some}; mark the part in a picture, add a hint, or decide"
        )
    return lacking


def _straight(kit: Kit, lists: Sequence[Path]) -> int:
    from palette.paints.basket import looked_at_straight
    from palette.swatches.kitlists import kit_swatches
    from palette.swatches.model import SwatchList

    return looked_at_straight(SwatchList.read(*lists) if lists else kit_swatches(kit))
