"""How likely each paint of a reader's lists is for a part that nobody measured."""

from __future__ import annotations

import numpy as np

from palette.evidence.combine.model import Scheme
from palette.paints.choosing.choice import odds
from palette.paints.choosing.chosen import Odds
from palette.paints.choosing.proposals import INFERRED
from palette.swatches.model import SwatchList

_DRAWS = 4000
_SEED = 11


def shelf_odds(scheme: Scheme, swatches: SwatchList) -> dict[str, Odds]:
    """By part id: the share of the colours that remain to which each paint is the nearest by CIEDE2000. The
    colours are the inference's own draws, or those of its mean and covariance."""
    inferred = odds(scheme)
    by_part = {}
    on_sale = swatches.where([not swatch.retired for swatch in swatches.swatches])
    for part in scheme.parts:
        if part.part.id not in inferred or part.basis not in INFERRED or part.lab is None or not len(on_sale):
            continue
        known = inferred[part.part.id]
        draws = known.draws
        if draws is None or len(draws) < 200:
            assert part.covariance is not None  # an inferred part has one
            rng = np.random.default_rng(_SEED)
            draws = rng.multivariate_normal(part.lab, part.covariance, size=_DRAWS, method="eigh")
            draws[:, 0] = np.clip(draws[:, 0], 0.0, 100.0)
        nearest = on_sale.nearest(draws, 1)[0][:, 0]
        count = np.bincount(nearest, minlength=len(on_sale)) / len(nearest)
        order = np.argsort(-count, kind="stable")
        likely = tuple((on_sale.ids[i], float(count[i])) for i in order)
        by_part[part.part.id] = Odds(known.lightness, likely, known.draws)
    return by_part
