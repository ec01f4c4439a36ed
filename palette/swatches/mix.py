"""A recipe of swatches: drops of each, and the colour they are predicted to make. Plain data."""

from __future__ import annotations

from dataclasses import dataclass

from palette.colour.spaces import Array


@dataclass(frozen=True)
class Mix:
    """One recipe, or one mixture."""

    drops: tuple[tuple[str, int], ...]  # (swatch id, count), most drops first
    lab: Array  # (3,), the predicted colour
    difference: float  # CIEDE2000 from the colour asked for
    expected_error: float  # CIEDE2000 by which the real mixture may be expected to miss the prediction
    one_drop_off: float  # CIEDE2000 by which the colour moves if one drop too many or too few goes in
    reflectance: Array  # (31,), predicted, 400…700 nm

    @property
    def total(self) -> int:
        """Drops of the whole recipe."""
        return sum(count for _, count in self.drops)

    def millilitres(self, volume: float) -> tuple[tuple[str, float], ...]:
        """The recipe for `volume` ml: (swatch id, ml of it), in the order of `drops`."""
        return tuple((id, volume * count / self.total) for id, count in self.drops)
