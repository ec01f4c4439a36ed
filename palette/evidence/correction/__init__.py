"""From linear light as shot to CIELAB as it was: what the anchors can carry, and how sure that is.

Nobody chooses a method. Every model of a picture's handling (`models`) is fitted to the anchors with its
prior; they count by their evidence, so a single grey gives adaptation and exposure, greys of several
lightnesses a tone curve, coloured anchors a matrix as far as they carry one, and a whole chart a full map.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, product

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import Array, lab_to_linear, linear_to_lab
from palette.evidence.correction import light as lights
from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.models import camera, dyes, models
from palette.evidence.correction.notes import (
    AnchorAstray,
    AnchorClipped,
    AnchorsLeftOut,
    AsShot,
    ByAnchors,
    ByLight,
    ByNeutrals,
    CannotAllBeTrue,
    ChartTurned,
    LightEstimates,
    LightnessGuessed,
    NoAgreement,
    OneSpot,
    Reversed,
    Unanchored,
)
from palette.evidence.correction.possible import possible
from palette.evidence.correction.posterior import Posterior, Residual, Scale, solve
from palette.evidence.correction.reading import AnchorReading, anchor_covariance, settle, settle_anchors
from palette.notes import Note

__all__ = ["AnchorReading", "Correction", "fit"]

# What nobody states, as grids: how unevenly the light falls (sd of log exposure across the picture, mean and
# sd of a bowl, the chance of it; the last is a lens that darkens corners to half, a cos⁴ of 33°), and how far
# real colours lie off the map (against what was learnt).
_EVEN = (0.075, 0.0, 0.1, 1.0)
_FALLS = (
    (0.015, 0.0, 0.02, 0.32),
    (0.075, 0.0, 0.1, 0.32),
    (0.225, 0.0, 0.3, 0.31),
    (0.075, -1.4, 0.7, 0.05),
)
_RESIDUAL_SCALES = (0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0)
_MIDDLE = 55.0, 25.0  # L* of a grey of unknown lightness, and its sd
# By how much more (log) colours of a print are off than those of photographs, of which that was learnt: inks
# overlap and dots grow (`tests/evidence/correction/test_correction_prints.py`). Common practice, no source.
_PRINTED = 0.45
_NEGLIGIBLE = 0.01  # a model with less than this share of the evidence is left out
# The chances beforehand that an anchor is not what it is said to be, and that it is, and yet lies off by far
# more than others do: a renderer's own way with strong colours. Common practice, no source.
_ODD, _WAYWARD = 0.03, 0.1
_MORE, _LEAST = 3.0, 4.0  # by how much such an anchor is off: times what is usual, and CIELAB at least
_NO_RENDERER = 25.0  # CIEDE2000: farther off, an anchor is not merely off; common practice, no source
_MOST_USUAL = 1.5  # of that, against what was learnt: beyond, anchors are at odds and tell of nothing usual
_STRANGE = 11.3  # 99 % of chi-squared, 3 degrees
# CIEDE2000 by which an anchor misses what the others say: below, it contradicts nobody, and above it is told,
# where it is left so far off, and by so many times what the others are. Common practice, no source.
_NO_MISS, _MISSES, _STANDS_OUT = 3.0, 8.0, 4.0
_CHECKS = 4
_COLOURLESS = 6.0  # chroma; anchors below tell nothing of how large residuals are …
_UNSEEN = 1.25  # … and the covariance is then so many times as large, by the halves for choices
# What gains, or a 3×3 where it is the better, may leave of true anchors: real photographs stay below. Common
# practice, no source.
_BEYOND_SIMPLE = 15.0, 11.0
_FAR = 14.0  # CIEDE2000 by which two anchors may miss each other before both are doubted
_WRONG_ANCHOR = 20.0  # how far off, in CIELAB, such an anchor may be
# By how many times what is usual the anchors lie off the best map when no map explains them: pictures of
# the tuning half stay below the second. Common practice, no source.
_BEYOND_CAMERAS, _USUAL = 2.2, 1.7
# How far (sd of log light) a surface's channel lies from the mean of its two others, of the tuning surfaces,
# the most saturated left out.
_CHANNELS = 1.0
_ONE_COLOUR = 3.0  # CIEDE2000; anchors closer than this to each other tell of one colour only
_SPOT = 0.02  # of the picture's sides: anchors closer than this and alike are one surface


@dataclass(frozen=True)
class Component:
    """One model's likely maps, and the weight of it."""

    model: Model
    posterior: Posterior
    weight: float


@dataclass(frozen=True)
class Correction:
    """One picture's correction.

    `method` says how it was found. Per anchor, in their order: `residuals`, what is left after the
    correction, and `left_out`, what the others alone would miss it by, both CIEDE2000 (for a neutral of
    unknown lightness without its lightness). `contradicting` names the anchors that cannot be true with
    the rest.
    """

    components: tuple[Component, ...]
    widened: float  # by what the covariance of the maps is multiplied, 1 and above
    method: Note
    notes: tuple[Note, ...]
    residuals: Array
    left_out: Array
    contradicting: tuple[str, ...]
    odd: frozenset[int]  # the same anchors, by their places
    across: Array  # (2,): the picture's sides, as of an equal area

    def apply(self, linear: Array, covariance: Array, centre: Array | None = None) -> tuple[Array, Array]:
        """Linear light (n, 3), covariance (n, 3, 3) of it and where it was seen (n, 2), as fractions of the
        picture's width and height (the middle where None), to CIELAB (n, 3) and covariance (n, 3, 3)."""
        linear = np.asarray(linear, dtype=np.float64)
        centre = np.full((len(linear), 2), 0.5) if centre is None else np.asarray(centre, dtype=np.float64)
        place = _placed(centre, self.across)
        labs, spreads = [], []
        for component in self.components:
            read, sure = settle(component.model.undo, component.posterior.theta, linear, place, covariance)
            if component.model.blotch:
                read, sure = _worn(component.model, component.posterior.theta, read, place, sure)
            lab, spread = component.posterior.predict(read, place, sure, self.widened)
            labs.append(lab)
            spreads.append(spread)
        weights = np.array([component.weight for component in self.components])
        mean = np.tensordot(weights, np.array(labs), axes=1)
        off = np.array(labs) - mean
        total = np.tensordot(weights, np.array(spreads), axes=1)
        total = total + np.einsum("k,kni,knj->nij", weights, off, off)
        return possible(mean, total), total


@dataclass(frozen=True)
class _Anchors:
    """The readings as arrays."""

    linear: Array  # (n, 3)
    place: Array  # (n, 2)
    covariance: Array  # (n, 3, 3)
    clipped: Array  # (n, 3)
    lab: Array  # (n, 3)
    truth: Array  # (n, 3, 3) covariance of lab
    known: Array  # (n,) bool: lightness is known
    tied: Array  # (n, n) bool: on one plain surface


def fit(
    anchors: Sequence[AnchorReading],
    *,
    light: str | float | None = None,
    kind: str = "photograph",
    year: int | None = None,
    scene: Array | None = None,
    size: tuple[int, int] = (1, 1),
) -> Correction:
    """Fit the correction of one picture.

    `light` is a name of CIE 15 or ISO 7589 or kelvins, `kind` and `year` a reference's, `scene` a small
    linear (h, w, 3) copy of the picture, `size` its width and height. Anchors decide where there are any; the
    light and the scene where not, and the scene's brightest places what the exposure was where no anchor's
    lightness is known.

    Raises:
        ValueError: no such light.
    """
    across = np.array([size[0] / size[1], size[1] / size[0]]) ** 0.5
    given = _arrays(anchors, across)
    residual = _residual()
    casts, told = ((), ()) if len(anchors) else _casts(light, scene)
    fits = _fits(given, residual, kind, year, casts, scene)
    components = _weighed(fits)
    everyone = set(range(len(anchors)))
    why: Note | None = None
    if _reversed(given):
        doubts, why = _Doubts(everyone, True), Reversed()
    elif one_spot := _on_one_spot(given):
        doubts, why = _Doubts(one_spot, True), OneSpot(tuple(anchors[i].name for i in sorted(one_spot)))
    else:
        doubts = _contradicting(given, residual, components, fits)
    stated = given
    if doubts.odd or doubts.truth is not None:
        given = _doubted(stated, doubts)
        components = _components(given, residual, kind, year, casts, scene)
        if innocent := _innocent(doubts, given, components):
            doubts = _cleared(doubts, stated, innocent)
            given = _doubted(stated, doubts)
            components = _components(given, residual, kind, year, casts, scene)
    if len(anchors) > 2 and doubts.odd != everyone and _like_no_picture(stated, components):
        doubts = _Doubts(everyone, True)
        turned = _turned(stated)
        if (
            len(turned.linear) >= 4
            and _residual_size(_components(turned, residual, kind, year, casts, scene)) < _USUAL
        ):
            why = ChartTurned()
        given = _doubted(stated, doubts)
        components = _components(given, residual, kind, year, casts, scene)
    odd, uncertain = doubts.odd, doubts.uncertain
    names = tuple(anchors[i].name for i in sorted(odd))
    notes = [*told, *_notes(anchors, given, names, uncertain, why, scene is not None)]
    if odd != everyone or not len(anchors):
        notes += _told_by_models(components, across, guessed=not len(anchors))
    correction = Correction(
        components,
        _widened(components, odd, given),
        AsShot(),
        (),
        np.zeros(0),
        np.zeros(0),
        names,
        frozenset(odd),
        across,
    )
    residuals, left_out = _checks(correction, given)
    return replace(
        correction,
        method=_method(given, left_out, odd, light, scene),
        notes=(*notes, *_astray(anchors, residuals, left_out, odd)),
        residuals=residuals,
        left_out=left_out,
    )


def _placed(centre: Array, across: Array) -> Array:
    """Fractions of the sides (n, 2) as steps that are as long across as down: lenses are round."""
    return np.asarray(0.5 + (centre - 0.5) * across)


def _arrays(anchors: Sequence[AnchorReading], across: Array) -> _Anchors:
    unknown = (_MIDDLE[0], 0.0, 0.0)
    lab = np.array([unknown if a.lab is None else a.lab for a in anchors], dtype=np.float64).reshape(-1, 3)
    truth = np.array([anchor_covariance(a, x) for a, x in zip(anchors, lab, strict=True)]).reshape(-1, 3, 3)
    known = np.array([a.lab is not None for a in anchors], dtype=bool)
    truth[~known, 0, 0] += _MIDDLE[1] ** 2
    return _Anchors(
        np.array([a.linear for a in anchors], dtype=np.float64).reshape(-1, 3),
        _placed(
            np.array([(0.5, 0.5) if a.centre is None else a.centre for a in anchors]).reshape(-1, 2), across
        ),
        np.array([a.covariance for a in anchors], dtype=np.float64).reshape(-1, 3, 3),
        np.array([a.clipped for a in anchors], dtype=np.float64).reshape(-1, 3),
        lab,
        truth,
        known,
        np.array(
            [[a.surface != "" and a.surface == b.surface for b in anchors] for a in anchors], dtype=bool
        ).reshape(len(anchors), len(anchors)),
    )


def _residual() -> Residual:
    learnt = camera.prior()
    return Residual(learnt.residual, learnt.reach[:2], float(learnt.reach[2]))


def _casts(
    light: str | float | None, scene: Array | None
) -> tuple[tuple[lights.Cast, ...], tuple[Note, ...]]:
    """What the light may have been without anchors, before a look at the scene; and what that tells."""
    casts = lights.unstated() if light is None else lights.stated(light)
    if scene is None:
        return casts, ()
    _, angles = lights.estimated(scene)
    degrees = tuple(zip(lights.estimates(scene), angles.tolist(), strict=True))
    return casts, (LightEstimates(degrees),)


def _beliefs(
    model: Model,
    given: _Anchors,
    kind: str,
    year: int | None,
    casts: tuple[lights.Cast, ...],
    scene: Array | None,
) -> list[tuple[Belief, ...]]:
    """The model's priors, in groups that are linearised together."""
    beliefs = model.beliefs(kind, year, int(given.known.sum()))
    if not len(beliefs):
        return []
    if kind == "print":
        beliefs = tuple(replace(b, residual=(b.residual[0] + _PRINTED, b.residual[1])) for b in beliefs)
    if given.known.any():
        return [beliefs]
    if len(given.linear):
        beliefs = tuple(camera.plain(belief) for belief in beliefs)
    if scene is not None:
        beliefs = tuple(dyes.in_scene(belief, scene) for belief in beliefs)
    size = len(beliefs[0].mean)
    rows = np.zeros((3, size))
    rows[0, model.gain], rows[1:, model.gain] = 1 / 3, lights.DIFFERENCES
    out = []
    for belief in beliefs:
        mean, spread = rows @ belief.mean, rows @ belief.covariance @ rows.T
        if scene is None:
            spread[0, 0] += 0.6**2  # exposures vary more from user to user than in the bench
        else:  # something near white is somewhere in most pictures, whatever the light
            light = model.unfaded(belief.mean, np.maximum(scene, 1e-4).reshape(-1, 3))
            # by the mean of the channels' logs, as the level is: a warm light's luminance would be too high
            mean[0] = np.log(0.76) - np.quantile(np.log(camera.channels(light)).mean(axis=-1), 0.98)
            spread[0], spread[:, 0] = 0, 0
            spread[0, 0] = 0.4**2
        out.append(belief.with_marginal(rows, mean, spread))
    if not casts:
        return [tuple(out)]
    turned: list[tuple[Belief, ...]] = []
    for belief in out:
        likely = casts
        if scene is not None:
            seen, _ = lights.estimated(model.unfaded(belief.mean, scene))
            likely = tuple(lights.joined(cast, seen) for cast in casts)
        for cast in likely:
            one = belief.with_marginal(rows[1:], cast.mean, cast.covariance)
            turned.append((replace(one, log_weight=one.log_weight + float(np.log(cast.chance))),))
    return turned


def _scales(model: Model, beliefs: tuple[Belief, ...], graded: bool) -> tuple[Scale, ...]:
    sizes = np.array(_RESIDUAL_SCALES)
    scales = []
    for belief, (slope, bowl, bowl_sd, share) in product(beliefs, _FALLS if graded else (_EVEN,)):
        far = (np.log(sizes) - belief.residual[0]) / belief.residual[1]
        # Student's t with 3 degrees upwards: now and then a picture lies off by much more than most, none
        # much less; downwards half as wide again, for easy pictures to be known by their anchors
        chances = np.where(far > 0, -2 * np.log1p(far**2 / 3), -0.5 * (far / 1.5) ** 2)
        chances = chances - np.logaddexp.reduce(chances)
        mean, covariance = belief.mean.copy(), belief.covariance.copy()
        mean[model.fall] = 0, 0, bowl
        covariance[model.fall, :] = covariance[:, model.fall] = 0
        covariance[model.fall, model.fall] = np.diag([slope, slope, bowl_sd]) ** 2
        log_share = belief.log_weight + float(np.log(share))
        scales += [
            Scale(float(size), mean, covariance, float(log_share + chance))
            for size, chance in zip(sizes, chances, strict=True)
        ]
    return tuple(scales)


def _components(
    given: _Anchors,
    residual: Residual,
    kind: str,
    year: int | None,
    casts: tuple[lights.Cast, ...],
    scene: Array | None,
) -> tuple[Component, ...]:
    """Every model fitted, with its weight."""
    return _weighed(_fits(given, residual, kind, year, casts, scene))


def _fits(
    given: _Anchors,
    residual: Residual,
    kind: str,
    year: int | None,
    casts: tuple[lights.Cast, ...],
    scene: Array | None,
) -> list[tuple[Model, Posterior]]:
    """Every model fitted."""
    fits = []
    for model in models():
        for beliefs in _beliefs(model, given, kind, year, casts, scene):
            start = np.mean([belief.mean for belief in beliefs], axis=0)
            if len(given.linear):
                start = model.start(start, given.linear, lab_to_linear(given.lab))
            read, sure = settle_anchors(given.linear, given.covariance, given.clipped)
            sure = sure + _blotch(model, given.linear)
            posterior = solve(
                _ToLab(model),
                _scales(model, beliefs, bool(len(given.linear))),
                residual,
                read,
                given.place,
                sure,
                given.lab,
                given.truth,
                given.tied,
                start,
            )
            fits.append((model, posterior))
    return fits


def _weighed(fits: Sequence[tuple[Model, Posterior]]) -> tuple[Component, ...]:
    """The likely fits, with their weights."""
    evidence = np.array([posterior.log_evidence for _, posterior in fits])
    weights = np.exp(evidence - np.logaddexp.reduce(evidence))
    weights = np.where(weights < _NEGLIGIBLE, 0.0, weights)
    weights = weights / weights.sum()
    return tuple(
        Component(model, posterior, float(weight))
        for (model, posterior), weight in zip(fits, weights, strict=True)
        if weight > 0
    )


def _widened(components: tuple[Component, ...], odd: set[int], given: _Anchors) -> float:
    """How much farther the anchors lie, each left out, than the maps expect: the mean squared standardised
    error, drawn to 1 as by `_CHECKS` anchors that behave, no anchor counting for more than two sd an axis.
    Where all anchors are greys, nothing shows how large residuals are, and more is allowed for."""
    total, count = 0.0, 0
    for component in components:
        off, spread = component.posterior.left_out()
        worth = np.einsum("ni,nij,nj->n", off, np.linalg.inv(spread), off) / 3
        worth = np.delete(worth, sorted(odd))
        count = len(worth)
        total += component.weight * float(np.minimum(worth, 4.0).sum())
    grey = count > 0 and np.hypot(given.lab[:, 1], given.lab[:, 2]).max() < _COLOURLESS
    return max(_UNSEEN if grey else 1.0, (total + _CHECKS) / (count + _CHECKS))


def _blotch(model: Model, linear: Array) -> Array:
    return np.asarray((model.blotch * linear[..., None]) ** 2 * np.eye(3))


def _worn(model: Model, theta: Array, linear: Array, place: Array, covariance: Array) -> tuple[Array, Array]:
    """Readings (n, 3) and covariances (n, 3, 3) through layers that may have lost what they knew.

    What is left of a layer is stretched with its blotches. As that nears how far surfaces' channels differ
    (`_CHANNELS`), the layer is believed the less: its channel is drawn to the mean of the two others.
    """
    light = np.maximum(linear, 1e-5)
    out = np.log(np.maximum(model.undo(theta, light, place), 1e-4))
    step = 0.01
    power, target = np.ones_like(out), np.zeros_like(out)
    for c in range(3):
        moved = model.undo(theta, light * np.exp(step * np.eye(3)[c]), place)[:, c]
        power[:, c] = np.maximum((np.log(np.maximum(moved, 1e-4)) - out[:, c]) / step, 0.3)
        target[:, c] = np.delete(out, c, axis=1).mean(axis=1)
    noise = model.blotch**2 + np.diagonal(covariance, axis1=1, axis2=2) / light**2
    doubt = power**2 * noise / (power**2 * noise + _CHANNELS**2)
    drawn = light * np.exp(np.clip(doubt * (target - out) / power, -1, 1))
    total = covariance + (model.blotch * light)[:, :, None] ** 2 * np.eye(3)
    left = np.sqrt(1 - doubt) * drawn / light
    return drawn, np.asarray(total * left[:, :, None] * left[:, None, :])


@dataclass(frozen=True)
class _ToLab:
    """A model's map, to CIELAB."""

    model: Model

    def __call__(self, theta: Array, linear: Array, place: Array) -> Array:
        return linear_to_lab(self.model.undo(theta, linear, place))


def _spread(posterior: Posterior) -> Array:
    """Covariance (p, p) of the parameters, of the likeliest scale."""
    best = int(np.argmax(posterior.weights))
    prior, inverse = posterior.scales[best].covariance, posterior.inverses[best]
    cross = prior @ posterior.slopes.T
    return np.asarray(prior - cross @ inverse @ cross.T)


def _reversed(given: _Anchors) -> bool:
    """Whether three or more anchors of known lightness read in the reverse order (Kendall's tau < -0.3)."""
    light, seen = given.lab[given.known, 0], given.linear[given.known] @ [0.2126, 0.7152, 0.0722]
    if len(light) < 3:
        return False
    first, second = np.triu_indices(len(light), 1)
    apart = np.abs(light[first] - light[second]) > 5
    if apart.sum() < 3:
        return False
    same = np.sign(light[first] - light[second]) * np.sign(seen[first] - seen[second])
    return bool(same[apart].mean() < -0.3)


def _doubted(given: _Anchors, doubts: _Doubts) -> _Anchors:
    """The anchors, some of them of any colour at all; where all are, their mean does not count either."""
    truth = given.truth.copy() if doubts.truth is None else doubts.truth.copy()
    odd = sorted(doubts.odd)
    many = 2 * len(odd) if len(odd) == len(truth) > 2 else 1
    truth[odd] = given.truth[odd] + many * _WRONG_ANCHOR**2 * np.eye(3)
    return replace(given, truth=truth)


def _innocent(doubts: _Doubts, given: _Anchors, components: tuple[Component, ...]) -> set[int]:
    """Anchors that seemed odd only for the map that another one bent: without them, it meets them."""
    if len(doubts.odd) < 2 or doubts.uncertain:
        return set()
    off = sum(component.weight * component.posterior.left_out()[0] for component in components)
    gap = difference(given.lab, given.lab - off)
    return {i for i in doubts.odd if given.known[i] and gap[i] < _NO_MISS}


def _cleared(doubts: _Doubts, stated: _Anchors, innocent: set[int]) -> _Doubts:
    truth = stated.truth.copy() if doubts.truth is None else doubts.truth.copy()
    truth[sorted(innocent)] = stated.truth[sorted(innocent)]
    return _Doubts(doubts.odd - innocent, False, truth)


def _like_no_picture(given: _Anchors, components: tuple[Component, ...]) -> bool:
    """Whether the anchors lie off every map, the simplest among them: some cameras' colours lie far off
    all that was learnt, and yet gains or a 3×3 bring anchors that are true roughly to where they belong."""
    limit = _BEYOND_SIMPLE[int(given.known.sum() > 4)]
    return _residual_size(components) > _BEYOND_CAMERAS and _simplest(given) > limit


def _simplest(given: _Anchors) -> float:
    """What gains alone, or with enough anchors a 3×3 or a curve a channel, leave of anchors of known
    lightness: the median CIEDE2000 of the best."""
    seen, want = given.linear[given.known], lab_to_linear(given.lab[given.known])
    if len(seen) < 3:
        return 0.0
    weight = 1 / np.maximum(want.mean(axis=1, keepdims=True), 0.01)  # so that dark anchors count, too
    power = np.maximum((weight**2 * seen**2).sum(axis=0), 1e-9)
    gains = (weight**2 * seen * want).sum(axis=0) / power
    tries = [seen * gains]
    if len(seen) > 4:
        tries.append(seen @ np.linalg.lstsq(weight * seen, weight * want, rcond=None)[0])
        light, wanted = np.log(np.maximum(seen, 1e-4)), np.log(np.maximum(want, 1e-4))
        slopes = [np.polyfit(light[:, c], wanted[:, c], 1) for c in range(3)]
        tries.append(np.exp([np.polyval(slope, light[:, c]) for c, slope in enumerate(slopes)]).T)
    lab = given.lab[given.known]
    return min(float(np.median(difference(linear_to_lab(corrected), lab))) for corrected in tries)


def _residual_size(components: tuple[Component, ...]) -> float:
    """How far anchors lie off the likeliest model's maps, against what is usual."""
    posterior = max(components, key=lambda component: component.weight).posterior
    return float(posterior.weights @ [scale.residual for scale in posterior.scales])


def _on_one_spot(given: _Anchors) -> set[int]:
    """Anchors where the picture shows the same as at another, in the same place, which is said to be another
    colour: whatever became of the picture, they cannot both be true."""
    odd = set()
    shot = linear_to_lab(given.linear)
    for i, j in combinations(range(len(shot)), 2):
        near = np.abs(given.place[i] - given.place[j]).max() < _SPOT
        if near and np.linalg.norm(shot[i] - shot[j]) < 2:
            off = given.lab[i] - given.lab[j]
            spread = given.truth[i] + given.truth[j] + 4 * np.eye(3)
            if off @ np.linalg.solve(spread, off) > 16.3:  # 99.9 % of chi-squared, 3 degrees
                odd |= {i, j}
    return odd


def _turned(given: _Anchors) -> _Anchors:
    """The anchors of known lightness that have another opposite, about the middle of all, with its colour."""
    opposite = given.place.min(axis=0) + given.place.max(axis=0) - given.place
    gaps = np.abs(opposite[:, None] - given.place[None]).max(axis=-1)
    partner = gaps.argmin(axis=1)
    apart = np.linalg.norm(given.place[:, None] - given.place[None], axis=-1)
    apart[np.diag_indices(len(apart))] = np.inf
    kept = (gaps.min(axis=1) < 0.35 * apart.min(axis=1)) & given.known & given.known[partner]
    arrays = {name: value[kept] for name, value in vars(given).items()}
    arrays["tied"] = given.tied[kept][:, kept]
    return _Anchors(**{**arrays, "lab": given.lab[partner][kept], "truth": given.truth[partner][kept]})


def _told_by_models(components: tuple[Component, ...], across: Array, guessed: bool) -> tuple[Note, ...]:
    """What the model that most of the evidence is for says of its likeliest fit."""
    shares: dict[str, float] = {}
    for component in components:
        shares[component.model.name] = shares.get(component.model.name, 0.0) + component.weight
    name = max(shares, key=lambda one: shares[one])
    if shares[name] <= 0.5:
        return ()
    best = max(
        (component for component in components if component.model.name == name),
        key=lambda component: component.weight,
    )
    to_picture = np.ones(best.posterior.theta.size)
    to_picture[best.model.fall] = *across, (across**2).sum() / 4
    spread = _spread(best.posterior) * np.outer(to_picture, to_picture)
    said = best.model.says(best.posterior.theta * to_picture, spread)
    if guessed and said:
        said = (*said, Unanchored())
    return said


def _contradicting(
    given: _Anchors,
    residual: Residual,
    components: tuple[Component, ...],
    fits: Sequence[tuple[Model, Posterior]],
) -> _Doubts:
    """Anchors that the evidence says are not what they are said to be, and those that are, but lie off.

    A wrong anchor may seem to speak for a rare handling of the picture, under which another is blamed: so
    the plain camera is asked too, and the answer taken that is the likelier as a whole.
    """
    best = max(components, key=lambda component: component.weight)
    if len(given.linear) == 2:  # two cannot outvote each other
        return _Doubts({0, 1}, True) if _miss_each_other(given, best) else _Doubts()
    asked = [(best.model, best.posterior)]
    if best.model is not camera.MODEL:
        plain = [(model, posterior) for model, posterior in fits if model is camera.MODEL]
        asked += sorted(plain, key=lambda fit: -fit[1].log_evidence)[:1]
    return max((_odd_under(given, residual, *one) for one in asked), key=lambda doubts: doubts[0])[1]


def _odd_under(
    given: _Anchors, residual: Residual, model: Model, posterior: Posterior
) -> tuple[float, _Doubts]:
    """Under one model: the log evidence of its anchors being what is then thought of them, and that.

    One at a time, the worst first: odds of the anchor being anything at all, against its being true, and
    against its being true and off by more than others.
    """
    n = len(given.linear)
    priors = 0.0
    truth = given.truth.copy()
    odd: set[int] = set()
    loose: set[int] = set()
    while n - len(odd) > 2 and len(odd) < max(1, n // 3) and len(loose) < max(1, n // 3):
        off, spread = posterior.left_out()
        worth = np.einsum("ni,nij,nj->n", off, np.linalg.inv(spread), off)
        gap = np.where(given.known, difference(given.lab, given.lab - off), np.hypot(off[:, 1], off[:, 2]))
        # or far off where the rest agree, which the residual may have swallowed
        strange = (worth > _STRANGE) | (gap > np.maximum(6.0, 3 * np.median(gap)))
        suspects = {int(i) for by in (gap, worth) for i in np.argsort(-by)[:2] if strange[i]}
        trials = []
        for i in sorted(suspects - odd - loose):
            wrong = _again(model, posterior, given, residual, _more(truth, i, _WRONG_ANCHOR**2 * np.eye(3)))
            # by how much others are off, so that a wrong one does not make room for itself
            usual = min(_MOST_USUAL, float(wrong.weights @ [scale.residual for scale in wrong.scales]))
            # and by no more than the colour would that it looks like: no renderer makes a red of a grey
            either = residual.own(np.stack([given.lab[i], given.lab[i] - wrong.left_out()[0][i]]))
            own = (_MORE * usual) ** 2 * min(either, key=np.trace) + _LEAST**2 * np.eye(3)
            loose_one = _again(model, posterior, given, residual, _more(truth, i, own))
            for accused, trial, chance in ((True, wrong, _ODD), (False, loose_one, _WAYWARD)):
                gain = trial.log_evidence - posterior.log_evidence
                odds = float(np.log(chance / (1 - _ODD - _WAYWARD)))
                widened = _more(truth, i, _WRONG_ANCHOR**2 * np.eye(3) if accused else own)
                if accused or gap[i] < _NO_RENDERER:
                    trials.append((gain + odds, i, accused, widened, trial))
        trials = sorted((t for t in trials if t[0] > 0), key=lambda t: -t[0])
        if not trials:
            break
        near = [t for t in trials if trials[0][0] - t[0] < np.log(10)]
        blamed = {t[1] for t in near if t[2]}
        if len(blamed) > 1 and all(t[2] for t in near):
            return posterior.log_evidence + priors + near[0][0], _Doubts(odd | blamed, True, truth)
        # the milder where the two cannot be told from each other
        gained, i, accused, truth, after = min(near, key=lambda t: (t[2], -t[0]))
        priors += gained - (after.log_evidence - posterior.log_evidence)
        posterior = after
        (odd if accused else loose).add(i)
    return posterior.log_evidence + priors, _Doubts(odd, False, truth)


@dataclass(frozen=True)
class _Doubts:
    """Anchors that cannot be true, whether which of them is wrong is unsure, and what is then believed of
    each anchor's colour (n, 3, 3), None where nothing changes."""

    odd: set[int] = field(default_factory=set)
    uncertain: bool = False
    truth: Array | None = None


def _more(truth: Array, i: int, covariance: Array) -> Array:
    """Covariances of anchors' colours (n, 3, 3), one of them wider."""
    out = truth.copy()
    out[i] += covariance
    return out


def _again(
    model: Model, posterior: Posterior, given: _Anchors, residual: Residual, truth: Array
) -> Posterior:
    """The same fit, the anchors' colours being believed otherwise."""
    read, sure = settle_anchors(given.linear, given.covariance, given.clipped)
    sure = sure + _blotch(model, given.linear)
    scales = posterior.all_scales
    return solve(
        posterior.map,
        scales,
        residual,
        read,
        given.place,
        sure,
        given.lab,
        truth,
        given.tied,
        posterior.theta,
    )


def _miss_each_other(given: _Anchors, component: Component) -> bool:
    """Whether two anchors predict each other badly.

    Only fading leaves a map so free that this may be, or a channel that ran out: there, both are true unless
    even that is exceeded.
    """
    off, spread = component.posterior.left_out()
    far = difference(given.lab, given.lab - np.where(given.known[:, None], off, off * [0, 1, 1]))
    worth = np.einsum("ni,nij,nj->n", off, np.linalg.inv(spread), off)
    free = component.model.blotch or given.clipped.max() > 0.5
    return bool(far.min() > _FAR and (not free or worth.max() > _STRANGE))


def _checks(correction: Correction, given: _Anchors) -> tuple[Array, Array]:
    """CIEDE2000 left per anchor, and when each is left out."""
    n = len(given.linear)
    if not n:
        return np.zeros(0), np.zeros(0)
    after, _ = correction.apply(given.linear, given.covariance, 0.5 + (given.place - 0.5) / correction.across)
    off = np.zeros((n, 3))
    for component in correction.components:
        off += component.weight * component.posterior.left_out()[0]
    truth, without = given.lab.copy(), given.lab - off
    truth[:, 0] = np.where(given.known, truth[:, 0], after[:, 0])
    without[:, 0] = np.where(given.known, without[:, 0], after[:, 0])
    return difference(after, truth), difference(without, truth)


def _notes(
    anchors: Sequence[AnchorReading],
    given: _Anchors,
    odd: tuple[str, ...],
    uncertain: bool,
    why: Note | None,
    scene: bool,
) -> list[Note]:
    notes: list[Note] = []
    if why is not None:
        notes.append(why)
    elif odd and uncertain:
        notes.append(CannotAllBeTrue(odd, everyone=len(odd) == len(anchors)))
    elif odd:
        notes.append(AnchorsLeftOut(odd))
    for anchor, clipped in zip(anchors, given.clipped, strict=True):
        shares = zip(("red", "green", "blue"), clipped.tolist(), strict=True)
        if lost := tuple((channel, share) for channel, share in shares if share > 0.05):
            notes.append(AnchorClipped(anchor.name, lost))
    if len(anchors) and not given.known.any():
        notes.append(LightnessGuessed(scene))
    return notes


def _astray(anchors: Sequence[AnchorReading], residuals: Array, left_out: Array, odd: set[int]) -> list[Note]:
    """Anchors that are left far off while the others fit, which their stated colour may be to blame for."""
    included = [i for i in range(len(anchors)) if i not in odd]
    notes: list[Note] = []
    for i in included:
        others = [residuals[j] for j in included if j != i]
        least = max(_MISSES, _STANDS_OUT * float(np.median(others or [np.inf])))
        if residuals[i] > least and left_out[i] > least:
            notes.append(AnchorAstray(anchors[i].name, float(left_out[i])))
    return notes


def _method(
    given: _Anchors, left_out: Array, odd: set[int], light: str | float | None, scene: Array | None
) -> Note:
    n = len(given.linear)
    if not n:
        return AsShot() if light is None and scene is None else ByLight(light, scene is not None)
    used = np.array([i not in odd for i in range(n)])
    count = int(used.sum())
    if not count:
        return NoAgreement(n)
    if not given.known[used].any():
        return ByNeutrals(count)
    lab = given.lab[used]
    grey = int((np.hypot(lab[:, 1], lab[:, 2]) < 6).sum())
    alike = count > 1 and float(difference(lab, lab[0]).max()) < _ONE_COLOUR
    missed = float(np.median(left_out[used])) if count > 2 and not alike else None
    return ByAnchors(count, grey, alike, missed)
