"""From what a picture shows, or somebody wrote, to what it says of a paint's colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette import memory
from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_xyz, xyz_to_lab
from palette.colour.uncertain import Uncertain, radius90
from palette.evidence.combine.notes import CopyOf, NoTrust, SampleApart, WordsTaken
from palette.evidence.combine.reconcile import ANY_COVARIANCE, ANY_LAB, Observation
from palette.evidence.correction import AnchorReading, Correction, fit
from palette.evidence.measure import Sample
from palette.evidence.measure.measured import Measured, mixed_anchors
from palette.evidence.measure.notes import LightEdge
from palette.kit.model import Hint, Reference
from palette.notes import Note

# The chance that a source of this kind, whoever vouches for it, shows something else than the part's
# paint as it was: another vehicle, a retouched print, an artist's licence, a memory of the wrong car.
# Common practice, no source.
OUTLIER: Mapping[str, float] = {
    "photograph": 0.02,
    "frame": 0.03,
    "print": 0.03,
    "artwork": 0.25,
    "object": 0.03,
    "hint": 0.1,
}


# The share of a corrected picture's variance in L*, a* and b* that other pictures of the part have too, from
# made photographs of the tuning half (`python -m tests.benchmarks.scenes --tuning` prints it for a whole
# chart). What is wider than any of those by the guess of a light is a picture's own.
ALIKE = np.array([0.25, 0.7, 0.55])
_WIDEST = np.array([3.0, 7.0, 7.0])  # standard deviations
_FILMS = 10.0  # L*
# Samples of one part in one picture: CIEDE2000, one brought to the other's luminance, and L* beyond which
# they cannot be one paint in whatever light, and the chance of each being on the part.
_ONE_PAINT, _SHADE, _ON_THE_PART = 15.0, 45.0, 0.9  # common practice, no source
# Log light by which a part may be lit otherwise than its place says (standard deviations): turned away by
# some thirty degrees or in half shade; far from all anchors; and that by how much the light falls over the
# picture. Fractions of the picture within which an anchor is beside a part, and beyond which it is far.
# Common practice, no source.
_TURNED, _LOOSE, _UNEVEN = 0.3, 0.08, 0.3
_BESIDE, _AWAY = 0.15, 0.35
_EITHER = 0.4  # of an anchor's light, that an edge through its mark leaves open; common practice, no source


@dataclass(frozen=True)
class Statement:
    """What one source says of one paint."""

    source: str  # the reference's id, or the hint's source
    kind: str  # colour | hint
    lab: Array  # (3,)
    covariance: Array  # (3, 3)
    right: float  # the chance beforehand that it says anything true of the paint; 0: not included
    notes: tuple[Note, ...] = ()
    sample: int = 0  # of several of one picture that cannot be one paint: which, from 1

    @property
    def observation(self) -> Observation:
        """The same, to be weighed."""
        if self.kind != "colour":
            return Observation(self.lab, self.covariance, self.right)
        common = ALIKE * np.minimum(1.0, _WIDEST**2 / np.maximum(np.diag(self.covariance), 1e-9))
        return Observation(self.lab, self.covariance, self.right, tuple(common.tolist()))


def correction(reference: Reference, measured: Measured, colours: Sequence[Uncertain | None]) -> Correction:
    """The correction of a reference whose anchors' colours are resolved; None is a neutral of unknown
    lightness."""
    readings = [
        AnchorReading(
            name=f"anchor {i + 1} ({anchor.colour.words or 'neutral'})",
            linear=sample.linear,
            covariance=sample.covariance + _either(sample),
            lab=None if colour is None else colour.lab,
            lab_covariance=None if colour is None or anchor.colour.part is None else colour.covariance,
            spread=anchor.spread,
            centre=_place(sample, measured),
            clipped=sample.clipped,
            # one part is one paint: what is wrong about its colour is wrong of all its anchors
            surface=anchor.surface or ("" if anchor.colour.part is None else f"part {anchor.colour.part}"),
        )
        for i, (anchor, sample, colour) in enumerate(
            zip(reference.anchors, measured.anchors, colours, strict=True)
        )
    ]
    size = (measured.width, measured.height)
    return _fitted(readings, reference.light, reference.kind, reference.year, measured.scene, size)


@memory.remembered(kept=True)
def _fitted(
    readings: Sequence[AnchorReading],
    light: str | float | None,
    kind: str,
    year: int | None,
    scene: Array | None,
    size: tuple[int, int],
) -> Correction:
    return fit(readings, light=light, kind=kind, year=year, scene=scene, size=size)


@memory.remembered(kept=True)
def _applied(corrected: Correction, linear: Array, covariance: Array, centre: Array) -> tuple[Array, Array]:
    return corrected.apply(linear, covariance, centre)


def _either(sample: Sample) -> Array:
    """Covariance (3, 3) of an anchor's light where an edge runs through its mark: nobody says on which
    side of it lies the surface that was meant."""
    edge = any(isinstance(note, LightEdge) for note in sample.notes)
    return np.outer(sample.linear, sample.linear) * (_EITHER**2 if edge else 0.0)


def seen_apart(
    reference: Reference,
    measured: Measured,
    corrected: Correction,
    samples: Sequence[Sample],
    turned: Sequence[bool] = (),
) -> list[Statement]:
    """What a picture's samples of one paint say: one thing together, or each its own where they cannot be
    one paint, whatever light fell on each. The odd one is then told."""
    together = seen(reference, measured, corrected, samples, turned)
    if len(samples) == 1 or measured.colourless:
        return [together]
    turned = turned or [False] * len(samples)
    each = [seen(reference, measured, corrected, [s], [t]) for s, t in zip(samples, turned, strict=True)]
    labs = np.array([one.lab for one in each])
    off = difference(labs[:, None], labs[None])
    dark = np.abs(labs[:, None, 0] - labs[None, :, 0])
    apart = (off > _ONE_PAINT) & ((_shadeless(labs) > _ONE_PAINT) | (dark > _SHADE))
    if not apart.any():
        return [together]
    out = []
    for i, one in enumerate(each):
        odd = 2 * np.count_nonzero(apart[i]) > len(each) - 1
        nearest = float(np.delete(off[i], i).min())
        notes = (SampleApart(i + 1, nearest), *one.notes) if odd else one.notes
        out.append(replace(one, right=one.right * _ON_THE_PART, notes=notes, sample=i + 1))
    return out


def _shadeless(labs: Array) -> Array:
    """CIEDE2000 (n, n) between colours (n, 3), each pair brought to one luminance: shade leaves the rest."""
    xyz = lab_to_xyz(labs)
    middle = np.exp(np.log(np.maximum(xyz[:, 1], 1e-4)).mean())
    same = xyz_to_lab(xyz * (middle / np.maximum(xyz[:, 1:2], 1e-4)))
    return np.asarray(difference(same[:, None], same[None]))


def _own_light(
    reference: Reference, measured: Measured, corrected: Correction, centre: Array, turned: Sequence[bool]
) -> Array:
    """Standard deviation (n,) of the log light by which parts may be lit otherwise than the picture's light
    says at their place: nothing beside an anchor, more with the distance from all of them and with how
    unevenly the light falls, and much where the maker says that a part is turned."""
    sd = np.where(np.asarray(turned or np.zeros(len(centre)), dtype=bool), _TURNED, 0.0)
    if not reference.anchors:
        return sd
    anchors = np.array([_place(s, measured) for s in measured.anchors])
    far = np.linalg.norm(centre[:, None] - anchors[None], axis=-1).min(axis=1)
    steep = sum(
        p.weight * float(np.hypot(*p.posterior.theta[p.model.fall][:2])) for p in corrected.components
    )
    away = np.clip((far - _BESIDE) / _AWAY, 0, 1)
    return np.asarray(np.sqrt(sd**2 + (away**2) * (_LOOSE**2 + (_UNEVEN * steep) ** 2)))


def seen(
    reference: Reference,
    measured: Measured,
    corrected: Correction,
    samples: Sequence[Sample],
    turned: Sequence[bool] = (),
) -> Statement:
    """What several samples of one paint in one picture say together.

    The correction's error is the same for all of them and does not shrink with their number; what does is
    their own noise. Samples that scatter by more than their noise (a panel in shade, a stain) share a
    variance from place to place, estimated from that scatter.
    """
    linear = np.array([s.linear for s in samples])
    noise = np.array([s.covariance for s in samples])
    centre = np.array([_place(s, measured) for s in samples])
    # more or less light leaves a surface's ratios, and so its hue
    own_light = _own_light(reference, measured, corrected, centre, turned)
    noise = noise + own_light[:, None, None] ** 2 * linear[:, :, None] * linear[:, None, :]
    lab, total = _applied(corrected, linear, noise, centre)
    said = dict.fromkeys(note for s in samples for note in s.notes)
    right = reference.trust * (1 - OUTLIER[reference.kind])
    notes = (*_no_trust(right), *of_picture(measured, corrected), *said)
    if measured.colourless:
        lab, total = _lightness_only(lab, total)
    if len(samples) == 1:
        return Statement(reference.id, "colour", lab[0], total[0], right, notes)
    _, shared = _applied(corrected, linear, np.zeros_like(noise), centre)
    own = total - shared
    precision = np.linalg.inv(own + _between(lab, own) + 1e-6 * np.eye(3))
    spread = np.linalg.inv(precision.sum(axis=0))
    mean = np.einsum("ij,njk,nk->i", spread, precision, lab)
    return Statement(reference.id, "colour", mean, spread + shared.mean(axis=0), right, notes)


def counted_once(said: Sequence[Statement], copies: Mapping[str, str]) -> list[Statement]:
    """What is said of one paint, with copies of one picture left out but for the surest: they are wrong
    together, so that two that agree tell no more than one. `copies` has the first of them by reference."""
    surest: dict[str, Statement] = {}
    for one in said:
        first = copies.get(one.source, one.source)
        if one.kind == "colour" and one.right > 0:
            before = surest.setdefault(first, one)
            if np.linalg.det(one.covariance) < np.linalg.det(before.covariance):
                surest[first] = one
    return [_beside(one, surest.get(copies.get(one.source, one.source))) for one in said]


def _beside(one: Statement, best: Statement | None) -> Statement:
    """A statement beside the surest of copies of its picture."""
    if best is None or best.source == one.source or one.kind != "colour" or one.right <= 0:
        return one
    off = float(difference(one.lab, best.lab))
    odd = off > radius90(best.lab, best.covariance)
    return replace(one, right=0.0, notes=(CopyOf(best.source, off if odd else None), *one.notes))


def of_picture(measured: Measured, corrected: Correction) -> tuple[Note, ...]:
    """What holds for a picture as a whole: how it was corrected first, then what to know of it."""
    return (corrected.method, *corrected.notes, *mixed_anchors(measured), *measured.notes)


def remembered(hint: Hint) -> Statement:
    """What words say of a paint.

    Raises:
        palette.colour.spoken.UnknownWords: palette does not know them.
    """
    from palette.colour.spoken import parse

    region = parse(hint.words)
    right = hint.trust * (1 - OUTLIER["hint"])
    return Statement(
        hint.source or f"“{hint.words}”",
        "hint",
        region.lab,
        region.covariance,
        right,
        (
            *_no_trust(right),
            WordsTaken(hint.words, region.words),
        ),
    )


def _no_trust(right: float) -> tuple[Note, ...]:
    return () if right > 0 else (NoTrust(),)


def _lightness_only(lab: Array, covariance: Array) -> tuple[Array, Array]:
    """What a black-and-white picture that is taken for a colour one says: a lightness, give or take what
    films differ by (common practice, no source), and of hue no more than what surfaces have at large."""
    any_colour = np.diag(np.diag(ANY_COVARIANCE) * [0.0, 1.0, 1.0])
    vague = any_colour + (covariance[:, :1, :1] + _FILMS**2) * np.diag([1.0, 0.0, 0.0])
    return np.column_stack([lab[:, 0], np.broadcast_to(ANY_LAB[1:], (len(lab), 2))]), vague


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
