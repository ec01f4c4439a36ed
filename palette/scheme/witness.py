"""From what a picture shows to what it says of each part's colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour.spaces import Array
from palette.colour.uncertain import Uncertain
from palette.kit.model import Reference
from palette.pictures.correction import AnchorReading, Correction, fit
from palette.pictures.sampling import Sample
from palette.scheme.measure import Measured

# The chance that a picture of this kind, whoever vouches for it, shows something else than the part's
# paint as it was: another vehicle, a retouched print, an artist's licence. Common practice, no source.
ASTRAY: Mapping[str, float] = {
    "photograph": 0.02,
    "frame": 0.03,
    "print": 0.03,
    "artwork": 0.25,
    "object": 0.03,
}


@dataclass(frozen=True)
class Statement:
    """What one reference says of one paint."""

    reference: Reference
    lab: Array  # (3,)
    covariance: Array  # (3, 3)
    notes: tuple[str, ...]

    @property
    def right(self) -> float:
        """The chance beforehand that it says anything true of the part."""
        return self.reference.trust * (1 - ASTRAY[self.reference.kind])


def correction(reference: Reference, measured: Measured, colours: Sequence[Uncertain | None]) -> Correction:
    """The correction of a reference whose anchors' colours are resolved; None is a neutral of unknown
    lightness."""
    readings = [
        AnchorReading(
            name=f"anchor {i + 1} ({anchor.colour.words or 'neutral'})",
            linear=sample.linear,
            covariance=sample.covariance,
            lab=None if colour is None else colour.lab,
            lab_covariance=None if colour is None or anchor.colour.part is None else colour.covariance,
            spread=anchor.spread,
            centre=_place(sample, measured),
            clipped=sample.clipped,
        )
        for i, (anchor, sample, colour) in enumerate(
            zip(reference.anchors, measured.anchors, colours, strict=True)
        )
    ]
    return fit(
        readings, light=reference.light, kind=reference.kind, year=reference.year, scene=measured.scene
    )


def statement(
    reference: Reference, measured: Measured, corrected: Correction, samples: Sequence[Sample]
) -> Statement:
    """What several samples of one paint in one picture say together.

    The correction's error is the same for all of them and does not shrink with their number; what does is
    their own noise. Samples that scatter by more than their noise (a panel in shade, a stain) share a
    variance from place to place, estimated from that scatter.
    """
    linear = np.array([s.linear for s in samples])
    noise = np.array([s.covariance for s in samples])
    centre = np.array([_place(s, measured) for s in samples])
    lab, total = corrected.apply(linear, noise, centre)
    _, shared = corrected.apply(linear, np.zeros_like(noise), centre)
    notes = tuple(dict.fromkeys(note for s in samples for note in s.notes))
    if len(samples) == 1:
        return Statement(reference, lab[0], total[0], notes)
    own = total - shared
    between = _between(lab, own)
    precision = np.linalg.inv(own + between + 1e-6 * np.eye(3))
    spread = np.linalg.inv(precision.sum(axis=0))
    share = spread @ precision  # (n, 3, 3), summing to the identity
    mean = np.einsum("nij,nj->i", share, lab)
    return Statement(reference, mean, spread + shared.mean(axis=0), notes)


def _between(lab: Array, own: Array) -> Array:
    """Covariance (3, 3) from place to place beyond the samples' own, by the method of moments with no
    correlation between the axes (DerSimonian & Laird, Controlled Clinical Trials 7 (1986) 177-188)."""
    between = np.zeros(3)
    for axis in range(3):
        weight = 1 / np.maximum(own[:, axis, axis], 1e-6)
        mean = (weight @ lab[:, axis]) / weight.sum()
        q = weight @ (lab[:, axis] - mean) ** 2
        between[axis] = max(0.0, (q - (len(lab) - 1)) / (weight.sum() - (weight @ weight) / weight.sum()))
    return np.diag(between)


def _place(sample: Sample, measured: Measured) -> tuple[float, float]:
    return sample.centre[0] / measured.width, sample.centre[1] / measured.height
