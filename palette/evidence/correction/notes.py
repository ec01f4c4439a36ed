"""How a picture was corrected, and what the correction notices."""

from __future__ import annotations

from dataclasses import dataclass

from palette.notes import Note, Routine


@dataclass(frozen=True)
class AsShot(Note):
    """No anchor, no stated light, no scene: colours as shot, allowing for any likely light."""


@dataclass(frozen=True)
class ByLight(Note):
    """No anchor: corrected for the light, as stated (a name or kelvins), as estimated from the scene, or by
    both."""

    stated: str | float | None
    estimated: bool


@dataclass(frozen=True)
class NoAgreement(Note):
    """Anchors that contradict one another: little more than as shot."""

    count: int


@dataclass(frozen=True)
class ByNeutrals(Note):
    """Fitted on neutral anchors of unknown lightness: corrects the light, not the exposure."""

    count: int


@dataclass(frozen=True)
class ByAnchors(Note):
    """Fitted on anchors of known colour."""

    count: int
    grey: int  # of them
    one_colour: bool  # all of one colour, so that they cannot check each other
    left_out: float | None  # CIEDE2000, the median by which the others miss one that is left out


@dataclass(frozen=True)
class LightEstimates(Routine):
    """The light by several statistics of the scene, and how far each lies from their middle."""

    degrees: tuple[tuple[str, float], ...]

    @property
    def most(self) -> float:
        """Degrees between the middle and the farthest."""
        return max(angle for _, angle in self.degrees)


@dataclass(frozen=True)
class Reversed(Note):
    """The anchors read in reverse: the picture is a negative, or the marks are swapped."""


@dataclass(frozen=True)
class ChartTurned(Note):
    """The anchors fit where each has the colour of the one opposite: the chart lies the other way up."""


@dataclass(frozen=True)
class OneSpot(Note):
    """Anchors of different colours that mark the same spot."""

    anchors: tuple[str, ...]


@dataclass(frozen=True)
class CannotAllBeTrue(Note):
    """Anchors that contradict each other, and nothing says which is wrong."""

    anchors: tuple[str, ...]
    everyone: bool  # they are all the anchors there are


@dataclass(frozen=True)
class AnchorsLeftOut(Note):
    """Anchors that contradict the others."""

    anchors: tuple[str, ...]


@dataclass(frozen=True)
class AnchorAstray(Note):
    """An anchor that misses what the others say by so much that it hardly counts."""

    anchor: str
    off: float  # CIEDE2000


@dataclass(frozen=True)
class AnchorClipped(Note):
    """An anchor that is clipped counts for less."""

    anchor: str
    shares: tuple[tuple[str, float], ...]  # (channel, 0..1)


@dataclass(frozen=True)
class LightnessGuessed(Note):
    """No anchor fixes the lightness."""

    scene: bool  # guessed from the picture's brightest places, not only from how exposures vary


@dataclass(frozen=True)
class Unanchored(Note):
    """What was just told of the picture's handling is guessed from the scene, with no anchor to show it."""


@dataclass(frozen=True)
class LightSlopes(Routine):
    """The light grows or falls across the picture; evened out."""

    share: float  # 0..1, over the picture
    grows: bool
    across: bool  # from left to right, not from top to bottom


@dataclass(frozen=True)
class LightFallsOff(Routine):
    """The light falls off towards the corners; evened out."""

    share: float  # 0..1


@dataclass(frozen=True)
class StrayLight(Routine):
    """Stray light lay over the picture; taken off."""

    share: float  # 0..1 of white


@dataclass(frozen=True)
class SensorChannels(Note):
    """The colours are in a sensor's own channels; brought back."""


@dataclass(frozen=True)
class WideNumbers(Note):
    """A wide colour space's numbers whose profile was lost; brought back."""


@dataclass(frozen=True)
class DyesFaded(Routine):
    """The dyes have faded; restored layer by layer."""

    kept: tuple[tuple[str, float], ...]  # (layer, share of its density, 0..1)


@dataclass(frozen=True)
class LayerLost(Note):
    """A dye layer has lost too much to be restored."""

    layer: str
    noise: float  # times by which its noise grows
