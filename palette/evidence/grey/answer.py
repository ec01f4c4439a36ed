"""What grey pictures leave of a part's colour: plain data, and its forms for machines."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from palette.colour.spaces import Array
from palette.notes import Note

if TYPE_CHECKING:
    from palette.evidence.grey.inference import Working


@dataclass(frozen=True)
class GreyReading:
    """What one region of a grey picture shows."""

    reference: str  # the reference's id
    level: float  # plain mean encoded level, 0..1
    response: str  # the named response, or the file of its curve
    clipped: int = 0  # +1 at the top of the range, -1 at the bottom
    copy_of: str = ""  # the reference whose picture it is, too, and which counts for both


@dataclass(frozen=True)
class Candidate:
    """A paint of the kit's lists, with the probability that it is the part's, all being equal before."""

    swatch: str
    name: str
    lab: Array  # (3,)
    probability: float


@dataclass(frozen=True)
class GreyPart:
    """The posterior of one part."""

    part: str
    readings: tuple[GreyReading, ...]
    lightness: tuple[float, float]  # L*, 90 %
    bits: float  # divergence of the candidates' posterior from the equal prior
    candidates: tuple[Candidate, ...]  # every paint, most likely first
    draws: Array  # (d, 3) CIELAB, from painted surfaces at large
    lab: Array  # (3,) mean over painted surfaces at large
    covariance: Array  # (3, 3) of that
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True)
class GreyAnswer:
    """Every part with a sample in a grey picture, in the kit's order."""

    parts: tuple[GreyPart, ...]
    warnings: tuple[Note, ...] = ()
    working: Working | None = field(default=None, repr=False, compare=False)

    def against(self, paint: str) -> tuple[str, ...]:
        """The references whose levels contradict what else is known of a paint, each by itself."""
        return self.working.against.get(paint, ()) if self.working else ()

    def part(self, id: str) -> GreyPart:
        """The part of that id; KeyError where it is not in a grey picture."""
        for part in self.parts:
            if part.part == id:
                return part
        raise KeyError(id)
