"""The paints of a list, made ready for mixing: absorption and scattering of each, best evidence first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from threadpoolctl import threadpool_limits

from palette.colour.difference import difference
from palette.colour.spaces import Array
from palette.memory import remembered
from palette.paints.mixing import inference, law
from palette.paints.mixing.contradictions import contradictions
from palette.paints.mixing.inference import Gaussian, N, Seen
from palette.paints.mixing.prior import alike, anything
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList

_BLUR = 0.2
_CALIBRATION = 0.7
_BLOCK = 256  # mixtures whose errors are worked out at a time
_FLOOR = 0.5
_CONTRADICTS = 4.0  # CIEDE2000 by which the best fit may miss a let-down before that is laid aside
_APART: dict[str, Any] = {
    **{"owned": None, "retired": False, "volume_ml": None, "price": None, "coverage_cm2_per_ml": None},
    **{"source": "", "file": "", "line": None},
}


@dataclass(frozen=True, eq=False)
class Colourants:
    """n paints, in the order of their list."""

    ids: tuple[str, ...]
    lab: Array  # (n, 3), as the list has them
    gloss: Array  # (n,): 1 where the reading includes the gloss
    believed: Gaussian  # ln K/S and ln S of each, with covariance
    absorption: Array  # (n, 31)
    scattering: Array  # (n, 31)
    unmixable: dict[str, str]  # id -> metallic | fluorescent | clear
    notes: dict[str, str]  # id -> what of its data had to be laid aside
    medium: tuple[str, ...]  # what thins each, '' where nobody says

    def spectra(self, shares: Array, which: np.ndarray) -> Array:
        """Reflectances (m, 31) of mixtures: `shares` (m, p), adding up to 1, of the paints `which` (m, p)."""
        k = np.einsum("mp,mpl->ml", shares, self.absorption[which])
        s = np.einsum("mp,mpl->ml", shares, self.scattering[which])
        return law.reflectance(k / s, (shares * self.gloss[which]).sum(axis=1))

    def predict(self, shares: Array, which: np.ndarray) -> Array:
        """CIELAB (m, 3) of mixtures, as `spectra`; a paint alone has the colour its list gives it."""
        if which.shape[1] == 1:
            return np.asarray(self.lab[which[:, 0]])
        return inference.lab_of(self.spectra(shares, which))

    def one_drop_off(self, which: np.ndarray, drops: np.ndarray) -> Array:
        """CIEDE2000 (m,) by which recipes (m, p) move at worst if one drop is too many or missing."""
        m, p = drops.shape
        if p == 1:
            return np.zeros(m)
        one = np.eye(p, dtype=np.int64)
        # nobody leaves a paint out unawares: then there is no drop to miss, and nothing moves
        fewer = np.where((drops > 1)[:, :, None], drops[:, None] - one, drops[:, None])
        ways = np.concatenate([drops[:, None], drops[:, None] + one, fewer], axis=1)
        shares = (ways / ways.sum(axis=2, keepdims=True)).reshape(-1, p)
        lab = self.predict(shares, np.repeat(which, 2 * p + 1, axis=0)).reshape(m, 2 * p + 1, 3)
        return np.asarray(difference(lab[:, :1], lab[:, 1:]).max(axis=1))

    def expected_errors(self, which: np.ndarray, shares: Array) -> Array:
        """CIEDE2000 (m,) by which mixtures (m, p) may be expected to miss their prediction.

        What is unsure of every paint's absorption and scattering, carried through the law to first order.
        The factor makes it the mean of what invented paints really missed by in the same state of
        knowledge (`python -m tests.benchmarks.mixing`); a floor stands for stirring and uneven drops.
        """
        if which.shape[1] == 1:
            return np.zeros(len(which))
        blocks = (slice(start, start + _BLOCK) for start in range(0, len(which), _BLOCK))
        return np.concatenate([np.zeros(0), *(self._expected(which[rows], shares[rows]) for rows in blocks)])

    def _expected(self, which: np.ndarray, shares: Array) -> Array:
        k, s = (shares[..., None] * x[which] for x in (self.absorption, self.scattering))  # (m, p, 31)
        seen = k.sum(axis=1) / s.sum(axis=1)
        slopes = inference.lab_slopes(law.reflectance(seen)) * law.log_slope(seen)[:, None]
        k, s = (x / x.sum(axis=1, keepdims=True) for x in (k, s))
        spread = np.zeros((len(which), 3, 3))
        for i in range(which.shape[1]):
            ours, less = k[:, i, None], (k[:, i] - s[:, i])[:, None]
            each = np.concatenate([slopes * ours, slopes * less], axis=2)
            spread += each @ self.believed.covariance[which[:, i]] @ each.transpose(0, 2, 1)
        sizes, ways = np.linalg.eigh(spread)
        lab = inference.lab_of(law.reflectance(seen))[:, None]
        steps = ways.transpose(0, 2, 1) * np.sqrt(np.maximum(sizes, 0.0))[..., None]
        moved = np.linalg.norm(difference(lab + 0.2 * steps, lab) / 0.2, axis=1)
        return np.asarray(np.hypot(_CALIBRATION * moved, _FLOOR))


def with_whites(swatches: SwatchList, rows: Iterable[int]) -> SwatchList:
    """The paints of some rows, in that order, and after them the whites that theirs were let down in: without
    these a let-down says nothing."""
    some = list(rows)
    have = {swatches.swatches[i].id for i in some}
    wanted = {s.tint_white for s in (swatches.swatches[i] for i in some) if s.tint_white} - have
    whites = [i for i, s in enumerate(swatches.swatches) if s.id in wanted] if wanted else []
    return swatches.among([*some, *whites])


def as_mixed(swatches: SwatchList) -> SwatchList:
    """The list without what no mixture depends on: how its paints are sold and whose they are, and where that
    is written. So a new price, or a list that was moved, asks for no new mixtures."""
    ready: SwatchList | None = swatches.__dict__.get("_as_mixed")
    if ready is None:
        ready = SwatchList(tuple(map(_as_mixed, swatches.swatches)))
        object.__setattr__(ready, "_as_mixed", ready)
        object.__setattr__(swatches, "_as_mixed", ready)
    return ready


def _as_mixed(paint: Swatch) -> Swatch:
    """The same of one paint, kept with it: paints of a long list stand in many shorter ones."""
    kept = paint.__dict__
    if "_as_mixed" not in kept:
        kept["_as_mixed"] = replace(paint, **_APART)
    mixed: Swatch = kept["_as_mixed"]
    return mixed


def colourants(swatches: SwatchList) -> Colourants:
    """Absorption and scattering of every paint of the list; worked out once for a list."""
    ready: Colourants | None = swatches.__dict__.get("_colourants")
    if ready is None:
        with threadpool_limits(1):  # many small matrices: threads inside each only get in each other's way
            ready = _prepare(as_mixed(swatches).swatches)
        object.__setattr__(swatches, "_colourants", ready)
    return ready


@remembered()  # the same paints come again in lists of their own
def _prepare(paints: tuple[Swatch, ...]) -> Colourants:
    n = len(paints)
    lab = np.array([paint.lab for paint in paints], dtype=np.float64).reshape(-1, 3)
    gloss = np.array([float(paint.specular == "included") for paint in paints])
    mean, covariance = np.empty((n, 2 * N)), np.empty((n, 2 * N, 2 * N))
    first: dict[int, tuple[Gaussian, Array]] = {}  # the prior of each and what is known of its masstone
    measured = np.array([paint.reflectance is not None for paint in paints], dtype=bool)
    for rows in (np.flatnonzero(measured), np.flatnonzero(~measured)):
        if len(rows):
            reads = measured[rows[0]]
            known = np.array([paints[i].reflectance for i in rows]) if reads else lab[rows]
            # A masstone's spectrum says of S what its broad shape does; its every ripple would say nonsense.
            seen = inference.masstone(known, gloss[rows], _BLUR)
            prior = alike(inference.most_probable(anything(), [seen]), None if reads else known)
            believed = inference.most_probable(prior, [seen])
            mean[rows], covariance[rows] = believed.mean, believed.covariance
            if reads:
                mean[rows, :N] = seen.known
                covariance[rows, :N] = covariance[rows, :, :N] = 0.0
            for at, i in enumerate(rows.tolist()):
                first[i] = (
                    Gaussian(prior.mean[at : at + 1], prior.covariance[at : at + 1]),
                    known[at : at + 1],
                )
    notes = _let_downs(paints, gloss, mean, covariance, first)
    s = np.exp(mean[:, N:])
    k = s * np.exp(mean[:, :N])
    unmixable_ids = {p.id: kind for p in paints if (kind := unmixable(p)) is not None}
    return Colourants(
        tuple(p.id for p in paints),
        lab,
        gloss,
        Gaussian(mean, covariance),
        k,
        s,
        unmixable_ids,
        notes,
        tuple(p.medium for p in paints),
    )


def _let_downs(
    paints: tuple[Swatch, ...],
    gloss: Array,
    mean: Array,
    covariance: Array,
    first: dict[int, tuple[Gaussian, Array]],
) -> dict[str, str]:
    """Take in what let-downs in white tell, in place; says of each that could not be used why."""
    notes = {}
    row = {paint.id: i for i, paint in enumerate(paints)}
    usable: dict[int, tuple[Array, float, int]] = {}  # of each row: its let-down, the share, the white's row
    for i, paint in enumerate(paints):
        known = paint.tint_reflectance if paint.tint_reflectance is not None else paint.tint_lab
        if known is None:
            continue
        share, white = paint.tint_share, row.get(paint.tint_white or "")
        if share is None or not 0 < share < 1:
            notes[paint.id] = "its let-down has no share between 0 and 1 and is left aside"
        elif white is None or white == i:
            notes[paint.id] = "the white of its let-down is not in the list, so the let-down is left aside"
        else:
            usable[i] = np.asarray(known), share, white
    if usable:
        for i, why in zip(usable, _contradicted(paints, usable, gloss, mean, first), strict=True):
            if why is not None:
                notes[paints[i].id] = f"its let-down contradicts its masstone and is left aside: {why}"
    masstones = mean.copy()  # the whites as they are known from their own masstones
    kinds: dict[tuple[int, int], list[int]] = {}  # rows by what is known of paint and let-down
    for i, (let_down, _, _) in usable.items():
        if paints[i].id not in notes:
            kinds.setdefault((first[i][1].size, let_down.size), []).append(i)
    for rows in kinds.values():
        downs, shares, whites = zip(*(usable[i] for i in rows), strict=True)
        known, straight = np.stack(downs), np.concatenate([first[i][1] for i in rows])
        down = inference.tint(known, gloss[rows], np.array(shares), masstones[list(whites)])
        prior = _together([first[i][0] for i in rows])
        posterior = inference.most_probable(prior, [inference.masstone(straight, gloss[rows]), down])
        lab = np.array([paints[i].lab for i in rows])
        missed = _missed(posterior.mean, down, known, lab, gloss[rows])
        for at, i in enumerate(rows):
            if missed[at] > _CONTRADICTS:
                notes[paints[i].id] = (
                    "its let-down contradicts its masstone and is left aside: "
                    f"the paint nearest to giving both misses by {missed[at]:.0f}"
                )
            else:
                mean[i], covariance[i] = posterior.mean[at], posterior.covariance[at]
    for white in {white for i, (_, _, white) in usable.items() if paints[i].id not in notes}:
        # S of every paint let down in it is told relative to this white's, so that is sure by definition
        covariance[white, N:] = covariance[white, :, N:] = 0.0
    return notes


def _contradicted(
    paints: tuple[Swatch, ...],
    usable: dict[int, tuple[Array, float, int]],
    gloss: Array,
    mean: Array,
    first: dict[int, tuple[Gaussian, Array]],
) -> list[str | None]:
    """Why each of the usable let-downs cannot be that of its paint."""
    downs, shares, whites = zip(*usable.values(), strict=True)
    priors = [first[i][0] for i in usable]
    return contradictions(
        np.array([paints[i].lab for i in usable]),
        np.array([inference.lab_of(down) if down.shape[-1] == N else down for down in downs]),
        gloss[list(usable)],
        np.array(shares),
        mean[list(whites)],
        np.array([paints[i].lab for i in whites]),
        _together(priors),
    )


def _together(priors: list[Gaussian]) -> Gaussian:
    return Gaussian(
        np.concatenate([prior.mean for prior in priors]),
        np.concatenate([prior.covariance for prior in priors]),
    )


def _missed(u: Array, down: Seen, known: Array, lab: Array, gloss: Array) -> Array:
    """CIEDE2000 (n,) by which fits (n, 62) miss the let-downs `known` or the masstones `lab`, whichever is
    worse."""
    seen = down.predict(u, slice(None))[0]
    if known.shape[-1] == N:
        seen, known = inference.lab_of(seen), inference.lab_of(known)
    masstone = inference.lab_of(law.reflectance(np.exp(u[:, :N]), gloss))
    return np.asarray(np.maximum(difference(seen, known), difference(masstone, lab)))
