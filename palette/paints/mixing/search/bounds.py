"""Between what bounds the look of mixtures lies that are not worked out.

Some mixtures are known, their corners, and all that can be mixed from them is asked for together. Two
things are known of each at every wavelength:

*Spans.* K/S of a mixture lies between those of the corners, so the reflectance does too.

*Chords.* K/S of a mixture is the mean of the corners' weighted by their S. Reflectance is convex in K/S, so
it is at most the mean of the corners' so weighted, and less by no more than the gap between chord and curve.
Instead of S by wavelength its mean is used; that shifts weight between the corners by at most
(√ρ − 1) / (√ρ + 1) ≤ ln ρ / 4, ρ being the largest over the smallest ratio of the two at that wavelength.

Added up over the wavelengths both bound X, Y, Z, X − Y and Y − Z. Both hold for any paints whatever. Spans
are cheaper; chords are closer where the corners are not too far apart.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.paints.mixing import law
from palette.paints.mixing.search.best import Floats
from palette.paints.mixing.search.region import KEPT

_THROUGH = np.float32((1 - law.K1) * (1 - law.K2))
_KINDS = KEPT.shape[1]


class Bounds:
    """Tests of many cells at a time against the region that is sought."""

    def __init__(self, xyz: Floats, gloss: Floats) -> None:
        """`xyz` (31, 3): reflectance to X, Y and Z over the white's; `gloss` (n,) of the paints."""
        kept = xyz @ KEPT.astype(np.float32)
        up, down = np.maximum(kept, 0), np.minimum(kept, 0)
        self.kept = np.ascontiguousarray(kept)
        # to the least of each kind and then the most, (10, 31), of …
        self._low = np.concatenate([up, down], axis=1).T.copy()  # the lowest reflectances
        self._high = np.concatenate([down, up], axis=1).T.copy()  # the highest
        self._below = np.concatenate([up, -down], axis=1).T.copy()  # what may be missing from a chord
        self._beside = np.abs(np.concatenate([kept, kept], axis=1)).T.copy()  # an error of either sign
        # where gloss differs from paint to paint its share is bounded apart, by its whole range
        low, high = (law.K1 * end for end in (gloss.min(initial=1.0), gloss.max(initial=0.0)))
        sums = kept.sum(axis=0)
        self._gloss = np.minimum(low * sums, high * sums), np.maximum(low * sums, high * sums)
        self.limits = self._gloss

    def aim(self, least: Floats, most: Floats) -> None:
        """Set the region (5,) that is sought, gloss included."""
        self.limits = least - self._gloss[1], most - self._gloss[0]

    def seen(self, films: Floats) -> Floats:
        """X, Y, Z, X − Y and Y − Z (…, 5) of reflectances (…, 31)."""
        return np.asarray(films @ self.kept)

    def spans(self, low: Floats, high: Floats) -> NDArray[np.bool_]:
        """Which cells (m,) may reach into the region, their reflectances being `low` to `high` (m, 31)."""
        ends = self._low @ low.T
        ends += self._high @ high.T
        return self.meets(ends[:_KINDS], ends[_KINDS:])

    def losses(self, low: Floats, high: Floats, shift: Floats) -> Floats:
        """By how much, at most, cells lie below their chords and then above (10, m), as `spans`.

        `shift` (m, 31) is the share of the weight that S may shift from corner to corner.
        """
        loss = self._below @ gap(low, high).T
        loss += self._beside @ ((high - low) * shift).T
        return np.asarray(loss)

    def chords(self, seen: Floats, losses: Floats) -> NDArray[np.bool_]:
        """Which cells (m,) may reach into the region, `seen` (corners, m, 5) and `losses` (10, m) known."""
        least, most = seen.min(axis=0).T, seen.max(axis=0).T
        return self.meets(least - losses[:_KINDS], most + losses[_KINDS:])

    def meets(self, least: Floats, most: Floats) -> NDArray[np.bool_]:
        """Which bounds (5, m) have something in common with the region."""
        ok = np.ones(least.shape[1], dtype=bool)
        for kind, (bottom, top) in enumerate(zip(*self.limits, strict=True)):
            ok &= least[kind] <= top
            ok &= most[kind] >= bottom
        return ok

    def mixed(
        self, weights: Floats, levels: Floats, seen: Floats, losses: Floats
    ) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Which recipes of which cells may lie in the region, by their chords: (recipe, cell).

        `weights` (d, corners) are the shares of the corners in d recipes, `levels` (corners, m) their mean
        S, `seen` and `losses` as for `chords`.
        """
        ok = np.ones((len(weights), levels.shape[1]), dtype=bool)
        for kind, (bottom, top) in enumerate(zip(*self.limits, strict=True)):
            # whether the weighted mean exceeds a bound is whether the weighted sum of the excess is above 0
            ok &= weights @ (levels * (seen[..., kind] - (top + losses[kind]))) <= 0
            ok &= weights @ (levels * (seen[..., kind] - (bottom - losses[_KINDS + kind]))) >= 0
        recipe, cell = np.nonzero(ok)
        return recipe, cell


def reflect(k: Floats, s: Floats) -> Floats:
    """`law.reflectance` of K and S in single precision, gloss left out; uses up its arguments."""
    q = np.divide(k, s, out=k)
    root = np.add(q, 2, out=s)
    root *= q
    np.sqrt(root, out=root)
    q += root
    q += 1 - law.K2  # 1 / inside − K2
    return np.asarray(np.divide(_THROUGH, q, out=q))


def gap(low: Floats, high: Floats) -> Floats:
    """How far reflectance lies, at most, below its chord over K/S between two reflectances.

    For films close to each other it is (d√R)² / (1 − R/R∞) and a little more, R∞ being what reflects where
    nothing absorbs; the form with both ends was found by trial, and a test holds that it is never too small.
    """
    low, high = np.sqrt(low), np.sqrt(high)
    mean = low * high
    mean *= np.float32(1 / (1 - law.K1))
    high -= low
    high *= high
    less = 1 - mean
    np.maximum(less, np.float32(1e-6), out=less)
    mean *= np.float32(0.25)
    mean += 1
    less *= mean
    high /= less
    return np.asarray(high)
