"""What a scheme is: plain data that the guide, the check and the desk read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from palette.colour.spaces import Array
from palette.kit.model import Kit, Part
from palette.notes import Note

if TYPE_CHECKING:
    from palette.evidence.grey import GreyAnswer
    from palette.swatches.mix import Mix


@dataclass(frozen=True)
class PaintChoice:
    """A paint beside a colour it is proposed for."""

    swatch: str
    name: str
    range: str
    lab: Array
    difference: float  # CIEDE2000 from the part's colour
    retired: bool = False


@dataclass(frozen=True)
class Evidence:
    """What one source (a reference, a hint, a tied part) says of a part."""

    reference: str  # the reference's id, or a hint's source
    lab: Array | None  # None where it rules out rather than points
    covariance: Array | None
    radius90: float | None
    weight: float  # 0..1, what it counted for in the end
    kind: str  # colour | grey | hint | part
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True)
class PartColour:
    """The colour of one part that the evidence supports."""

    part: Part
    lab: Array | None  # (3,), None with basis 'none'
    covariance: Array | None  # (3, 3)
    radius90: float | None
    basis: str  # colour | grey | hint | decision | none
    conflict: bool
    evidence: tuple[Evidence, ...] = ()
    notes: tuple[Note, ...] = ()
    paints: tuple[PaintChoice, ...] = ()
    mixes: tuple[Mix, ...] = ()  # best first
    # The same by how they look under the kit's light, where that is not daylight.
    paints_under: tuple[PaintChoice, ...] = ()
    mixes_under: tuple[Mix, ...] = ()


@dataclass(frozen=True)
class Scheme:
    kit: Kit
    parts: tuple[PartColour, ...]
    warnings: tuple[Note, ...] = field(default=())
    grey: GreyAnswer | None = field(default=None, repr=False, compare=False)  # None: no grey picture
    # of each colour picture: how it was corrected, then what to know of it
    pictures: Mapping[str, tuple[Note, ...]] = field(default_factory=dict)

    def part(self, id: str) -> PartColour:
        """The part of that id; KeyError where there is none."""
        for colour in self.parts:
            if colour.part.id == id:
                return colour
        raise KeyError(id)
