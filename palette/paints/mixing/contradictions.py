"""Let-downs in white that cannot be those of their paints: a slip of the pen or of the brush.

Two constants at 31 wavelengths can give nearly any let-down to nearly any masstone: a red whose let-down is
green needs a scattering that leaps from one wavelength to the next, and is fitted to a tenth. So what is
judged is not how far the best fit misses but how far it has to go: the sum of squares of what it leaves
unexplained and of how far it lies from what paints of that look are like, in standard deviations.
"""

from __future__ import annotations

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.paints.mixing import inference
from palette.paints.mixing.inference import Gaussian, Seen

_MASSTONE, _LET_DOWN = 1.0, 2.0  # standard deviations, CIELAB, of readings and of the share that was mixed
# Beyond what true let-downs of invented paints went to, misread by 1 or with a share wrong by three tenths.
_TOO_FAR = 22.0
_LIGHTER = 2.0  # L* by which a let-down may be lighter than its white, for reading errors
_EQUAL = 2.0  # CIEDE2000 within which a let-down has the colour of its paint
_APART = 5.0  # CIEDE2000 from its white beyond which a paint cannot be let down unseen


def contradictions(
    lab: Array, down: Array, gloss: Array, share: Array, white: Array, white_lab: Array, prior: Gaussian
) -> list[str | None]:
    """Why each of n let-downs cannot be that of its paint, in words; None where it can.

    `lab` (n, 3) and `down` (n, 3) are CIELAB of paint and let-down, read with `gloss` (n,); `share` (n,) of
    the paint went into whites (n, 62) of the colours `white_lab` (n, 3); `prior` has a row for each.
    """
    if not len(lab):
        return []
    seen = [
        _within(inference.masstone(lab, gloss), _MASSTONE),
        _within(inference.tint(down, gloss, share, white), _LET_DOWN),
    ]
    u = inference.most_probable(prior, seen).mean
    off = u - prior.mean
    far = (off * np.linalg.solve(prior.covariance, off[..., None])[..., 0]).sum(axis=1)
    for each in seen:
        far += ((each.predict(u, slice(None))[0] - each.known) ** 2 / each.variance).sum(axis=1)
    lighter = down[:, 0] > np.maximum(lab[:, 0], white_lab[:, 0]) + _LIGHTER
    equal = (difference(down, lab) < _EQUAL) & (difference(lab, white_lab) > _APART) & (share <= 0.5)
    return [
        "it is lighter than its white"
        if lighter[i]
        else "it has the colour of the paint itself"
        if equal[i]
        else "no paint of this colour looks like that in white"
        if not far[i] < _TOO_FAR
        else None
        for i in range(len(lab))
    ]


def _within(seen: Seen, spread: float) -> Seen:
    return Seen(seen.known, np.full(3, spread**2), seen.predict)
