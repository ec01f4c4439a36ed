"""The swatch lists of a kit as one, and the colours a kit states, resolved against them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from palette import cache
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.kit.model import Kit, StatedColour
from palette.kit.tables import nearest_word
from palette.memory import remembered
from palette.swatches.model import SwatchList
from palette.swatches.reading import load, swatches_of


def kit_swatches(kit: Kit) -> SwatchList:
    """All lists of a kit as one, in its order; empty where it names none.

    Raises:
        InputError: every problem of the lists, and every swatch the kit names that none of them has
            (or has without a colour).
    """
    lists, problems, known, swatches = _loaded(kit.swatches)
    problems = [*problems]
    for colour in stated_colours(kit):
        if colour.swatch is not None and lists == len(kit.swatches) and not known.get(colour.swatch):
            problems.append(_unknown(kit, colour.swatch, colour.line, known))
    if problems:
        raise InputError.of(problems)
    return swatches


def _loaded(paths: tuple[Path, ...]) -> tuple[int, list[Problem], dict[str, bool], SwatchList]:
    """How many lists can be read, what is wrong with them, which ids have a colour, and the paints."""
    contents = []
    for path in paths:
        try:
            contents.append(cache.content(path))
        except OSError:
            contents.append("")  # reading it will say what is wrong with the file
    return _of_content(tuple(paths), tuple(contents))


@remembered()  # so that what is worked out for a list of paints is worked out once
def _of_content(
    paths: tuple[Path, ...], contents: tuple[str, ...]
) -> tuple[int, list[Problem], dict[str, bool], SwatchList]:
    lists, problems = load(paths)
    known = {
        id: bool(measured)
        for paints in lists
        for id, measured in zip(paints.ids, paints.measured, strict=True)
    }
    return len(lists), problems, known, SwatchList(() if problems else tuple(swatches_of(lists)))


def stated_colours(kit: Kit) -> Iterator[StatedColour]:
    """Every colour a kit states: its maker's decisions and its anchors."""
    for part in kit.parts:
        if part.colour is not None:
            yield part.colour
    for reference in kit.references:
        for anchor in reference.anchors:
            yield anchor.colour


def stated_lab(colour: StatedColour, swatches: SwatchList) -> Array | None:
    """CIELAB D65 (3,) of a stated colour; None for an unknown grey or another part's colour.

    Raises:
        KeyError: it names a swatch the list has not; `kit_swatches` has made sure that a kit's does not.
    """
    if colour.lab is not None:
        return np.array(colour.lab, dtype=np.float64)
    if colour.swatch is not None:
        for swatch in swatches.swatches:
            if swatch.id == colour.swatch:
                return swatch.lab
        raise KeyError(colour.swatch)
    return None


def _unknown(kit: Kit, id: str, line: int | None, known: dict[str, bool]) -> Problem:
    if id in known:
        return Problem(str(kit.path), line, f"swatch {id!r} has no colour in its list", "give it one there")
    if not kit.swatches:
        what = f"swatch {id!r} is named, and the kit has no list of swatches"
        return Problem(str(kit.path), line, what, 'add swatches = ["swatches/….csv"] under [kit]')
    near = nearest_word(id, known)
    remedy = f"did you mean {near!r}?" if near else "take an id from the kit's lists"
    return Problem(str(kit.path), line, f"no swatch has the id {id!r}", remedy)
