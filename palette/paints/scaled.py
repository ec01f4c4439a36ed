"""The scheme as it is painted: with `scale_effect`, lighter and greyer than the original."""

from __future__ import annotations

from dataclasses import replace

from palette.colour.uncertain import radius90
from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.scale import scale_number
from palette.paints.choosing.proposals import mixes_for, paints_for
from palette.paints.scale import lightened, rule, share
from palette.swatches.model import SwatchList


def scale_rule(scheme: Scheme) -> str:
    """How colours are changed for the scale, in words; '' where they are not."""
    scale = scale_number(scheme.kit.scale)
    return rule(scale) if scheme.kit.scale_effect and scale is not None else ""


def as_painted(scheme: Scheme, swatches: SwatchList, paints: bool = True) -> Scheme:
    """The scheme with each part's colour as it is to be painted and, unless `paints` is false, the paints
    for that. The evidence stays the original's. Where the kit wants no scale effect nothing changes."""
    scale = scale_number(scheme.kit.scale)
    if not scheme.kit.scale_effect or scale is None:
        return scheme
    return replace(scheme, parts=tuple(_painted(part, scale, swatches, paints) for part in scheme.parts))


def _painted(part: PartColour, scale: float, swatches: SwatchList, paints: bool) -> PartColour:
    if part.lab is None:
        return part
    lab = lightened(part.lab, scale)
    covariance = None if part.covariance is None else (1 - share(scale)) ** 2 * part.covariance
    return replace(
        part,
        lab=lab,
        covariance=covariance,
        radius90=part.radius90 if covariance is None else radius90(lab, covariance),
        paints=paints_for(lab, swatches) if paints else (),
        mixes=mixes_for(lab, swatches) if paints else (),
    )
