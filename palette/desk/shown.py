"""What the pages show of colours, regions and problems, as plain data for the templates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from palette.colour.scales import Sureness, sureness
from palette.colour.spaces import Array
from palette.errors import InputError, Problem
from palette.evidence.combine.model import PartColour
from palette.files import read_text
from palette.guide.chips import chip, number
from palette.guide.places import Outline, Place, places
from palette.kit.model import Kit, Part, Polygon, Rect, Reference, Region
from palette.words import BASIS, sentence, shows, sure

if TYPE_CHECKING:
    from palette.paints.choosing.chosen import Chosen, Recipe
    from palette.swatches.model import Swatch

__all__ = [
    "Trouble",
    "chip",
    "chosen_paint",
    "drawn",
    "how_sure",
    "number",
    "numbers",
    "region_words",
    "sentence",
    "shows",
    "squares",
    "troubles",
]

_LONGEST_LINE = 160


@dataclass(frozen=True)
class Trouble:
    """A problem, and the line of the file it stands on."""

    where: str
    what: str
    remedy: str
    line: int | None
    text: str  # of that line


def troubles(problems: Iterable[Problem]) -> list[Trouble]:
    """Problems ready to be shown, each with what stands on its line where that can be read."""
    lines: dict[str, list[str]] = {}
    told = []
    for problem in problems:
        text = ""
        if problem.file is not None and problem.line is not None:
            if problem.file not in lines:
                lines[problem.file] = _lines(problem.file)
            if 1 <= problem.line <= len(lines[problem.file]):
                text = lines[problem.file][problem.line - 1].strip()
        where = "" if problem.file is None else problem.file
        where += f":{problem.line}" if where and problem.line is not None else ""
        text = text if len(text) <= _LONGEST_LINE else text[: _LONGEST_LINE - 1] + "…"
        told.append(Trouble(where, problem.what, problem.remedy, problem.line, text))
    return told


def _lines(file: str) -> list[str]:
    try:
        return read_text(Path(file)).splitlines()
    except InputError:
        return []


@dataclass(frozen=True)
class ChosenPaint:
    """What goes on the brush for a part, as it is shown."""

    drops: Recipe
    lab: Array  # (3,), what comes of it
    off: str  # '1.9 ± 0.5'; '' for a guess
    shows: str  # whether that would show
    guess: str  # '9 off on average' for a guess
    to_buy: tuple[str, ...] | None  # ids; None where no paint is marked as to hand
    warning: str  # of what looks otherwise than the part


def chosen_paint(part: Part, chosen: Chosen | None, paints: Mapping[str, Swatch]) -> ChosenPaint | None:
    """The choice of a part, with `paints` the kit's by their ids; None where there is none."""
    from palette.words import say

    if chosen is None:
        return None
    mix, id = chosen.mix, chosen.recipe[0][0]
    marked = any(swatch.owned for swatch in paints.values())
    to_buy = tuple(id for id, _ in chosen.recipe if not paints[id].owned) if marked else None
    lab = paints[id].lab if mix is None else mix.lab
    if chosen.guess is not None:
        return ChosenPaint(
            chosen.recipe, lab, "", "", f"{chosen.guess.expected:.0f} off on average", to_buy, ""
        )
    look = "; ".join(say(remark) for remark in chosen.remarks)
    off = number(chosen.difference) + ("" if mix is None else f" ± {number(mix.expected_error)}")
    return ChosenPaint(chosen.recipe, lab, off, shows(chosen.miss), "", to_buy, look)


def squares(radius90: float) -> int:
    """How sure a colour is, from five (firm) to one (open), as the guide shows it."""
    return len(Sureness) - list(Sureness).index(sureness(radius90))


def how_sure(colour: PartColour) -> tuple[int, str, str]:
    """Squares, a word and what it rests on."""
    if colour.radius90 is None:
        return 0, "unknown", BASIS[colour.basis]
    if colour.basis == "decision":
        return 0, "as decided", BASIS[colour.basis]
    return squares(colour.radius90), f"{sure(colour.radius90)}, ±{colour.radius90:.1f}", BASIS[colour.basis]


def drawn(kit: Kit, reference: Reference, width: int, height: int) -> tuple[Place, ...]:
    """The marks of a reference, placed as on the guide's pictures: anchors A1, A2 …, samples by their
    part's number."""
    outlines = [Outline(f"A{i}", anchor.region, True) for i, anchor in enumerate(reference.anchors, 1)]
    outlines += [Outline(str(numbers(kit)[s.part]), s.region) for s in reference.samples]
    return places(outlines, width, height)


def numbers(kit: Kit) -> dict[str, int]:
    """The parts' numbers, as in the guide."""
    return {part.id: i for i, part in enumerate(kit.parts, 1)}


def region_words(region: Region) -> str:
    """Where a region is, in words."""
    if isinstance(region, Rect):
        return f"{region.width:g} × {region.height:g} at {region.x:g}, {region.y:g}"
    if isinstance(region, Polygon):
        return f"{len(region.points)} corners from {region.points[0][0]:g}, {region.points[0][1]:g}"
    return f"radius {region.radius:g} about {region.x:g}, {region.y:g}"
