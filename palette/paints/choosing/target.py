"""A colour to be painted, and how far paints are off it: one colour, or the many that a part may have had."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.memory import remembered

CLOUD = 256  # colours that stand for all that a part may have had
_ROWS = 2048  # paints compared with them at a time
_NEAREST = 64  # colours that may be the middle


@dataclass(frozen=True, eq=False)
class Target:
    """What one part is to look like.

    A part that was seen in colour has one colour. Of a part that only grey or words speak of a whole `cloud`
    of colours is left; how far a paint is off it is then the mean CIEDE2000 from them, since nobody knows
    which it was, and `lab` is where that mean is least.
    """

    lab: Array  # (3,), CIELAB D65
    metallic: bool = False
    cloud: Array | None = None  # (d, 3), equally likely
    stays: str | None = None  # the swatch that the maker decided on
    unsure: float = 0.0  # CIEDE2000 radius, nine times in ten
    light: str | float = "D65"  # under which it is looked at
    alone: bool = False  # takes a paint straight: so little of it is needed that nobody can mix it

    @classmethod
    def among(cls, cloud: Array, metallic: bool = False, light: str | float = "D65") -> Target:
        """The target of which the colours `cloud` (d, 3) are left."""
        some = thinned(cloud)
        return cls(middle(some), metallic, some, None, np.inf, light)

    def off(self, lab: Array) -> Array:
        """How far colours (n, 3) are off in daylight, CIEDE2000 (n,): for a cloud the mean."""
        if self.cloud is None:
            return np.asarray(difference(self.lab, lab))
        starts = range(0, len(lab), _ROWS)
        parts = [difference(lab[i : i + _ROWS, None], self.cloud).mean(axis=1) for i in starts]
        return np.asarray(np.concatenate([np.zeros(0), *parts]))


def thinned(cloud: Array) -> Array:
    """At most `CLOUD` of some equally likely colours (d, 3), evenly picked."""
    if len(cloud) <= CLOUD:
        return cloud
    return np.asarray(cloud[np.linspace(0, len(cloud) - 1, CLOUD).round().astype(int)])


@remembered()
def middle(cloud: Array) -> Array:
    """The colour (3,) whose mean CIEDE2000 from a cloud (d, 3) is least, nearly: of the cloud's own, of its
    mean and of what lies between."""
    mean = cloud.mean(axis=0)
    near = cloud[np.argsort(difference(mean, cloud), kind="stable")[:_NEAREST]]
    tried = np.concatenate([mean[None], near, (mean + near) / 2])
    best = tried[int(np.argmin(Target(mean, cloud=cloud).off(tried)))]
    for step in (4.0, 2.0, 1.0):  # and a walk from there
        moves = np.array([[i, j, k] for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)]) * step
        around = best + moves
        best = around[int(np.argmin(Target(mean, cloud=cloud).off(around)))]
    return np.asarray(best)
