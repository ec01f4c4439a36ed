"""What the guards measure, one function a room: each returns its figures by name.

Seeds are fixed, and the benches of tests/benchmarks do the work, on little of their data. Errors are medians
of CIEDE2000 unless the name says otherwise; shares are of one.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

Figures = dict[str, float]


def correction() -> Figures:
    """Made photographs, held back: six patches are anchors."""
    from palette.colour.difference import difference
    from palette.colour.uncertain import radius90
    from tests.benchmarks.photo.__main__ import inside, ours, shot_of

    off, greys, covered, radii, neutral = [], [], [], [], []
    for shot in (shot_of(i, plain=False, seed=11) for i in range(3)):
        for chosen, errors in (([18, 20, 22, 12, 13, 14], off), ([18, 20, 22], greys)):
            at = np.array(chosen)
            parts = np.setdiff1d(np.arange(24), at)[::2]
            lab, covariance = ours(shot, at)(shot.linear[parts], shot.covariance[parts], shot.centre[parts])
            errors.extend(difference(lab, shot.truth[parts]))
            covered.extend(inside(lab, covariance, shot.truth[parts]))
            radii.extend(radius90(m, c) for m, c in zip(lab, covariance, strict=True))
        lab, _ = ours(shot, np.array([20]), known=False)(shot.linear, shot.covariance, shot.centre)
        neutral.extend(np.hypot(*(lab - shot.truth)[:, 1:].T))
    return {
        "six anchors": float(np.median(off)),
        "three greys": float(np.median(greys)),
        "one neutral, a*b*": float(np.median(neutral)),
        "inside radius90": float(np.mean(covered)),
        "radius90": float(np.median(radii)),
    }


def grey() -> Figures:
    """Two stocks that saw red differently, on measured surfaces."""
    from palette.colour.responses import named
    from tests.benchmarks.grey.simulation import ORTHO, Case, Shot, curve, run, sheet

    one = run(Case("", [Shot(sheet(), named("panchromatic"))], 0.05, anchors=1, paints=16), 3, parts=6)
    two = run(
        Case("", [Shot(sheet(), curve(sheet())), Shot(ORTHO, curve(ORTHO))], 0.05, paints=16), 2, parts=6
    )
    both = {"one": one, "two": two}
    return {
        **{f"bits of {name}": float(marks.bits.mean()) for name, marks in both.items()},
        **{f"coverage at 0.8 of {name}": marks.coverage(0.8) for name, marks in both.items()},
        **{
            f"rank of lightness of {name}": float(np.mean(np.abs(marks.lightness - 0.5)))
            for name, marks in both.items()
        },
    }


def mixing() -> Figures:
    """Mixtures of invented paints, predicted from Lab and from a let-down."""
    from palette.colour.difference import difference
    from tests.benchmarks.mixing import drops_of, held_back, ours, sets, swatch_list, truly

    rng, k, s = next(iter(sets(*held_back(60, 77), 1, 3)))
    drops = drops_of(rng, len(k), 40)
    truth = truly(k, s, drops / drops.sum(axis=1, keepdims=True))
    figures: Figures = {}
    for knowledge in ("Lab only", "tint"):
        lab, expected = ours(swatch_list(k, s, knowledge), drops)
        off = difference(truth, lab)
        figures[knowledge] = float(off.mean())
        figures[f"{knowledge}, expected"] = float(expected.mean())
    return figures


def recipes() -> Figures:
    """The recipes that the bounded search finds, against every recipe by the same model."""
    from palette.paints.mixing import search
    from palette.paints.mixing.colourants import colourants
    from tests.benchmarks.mixing import held_back, sets, swatch_list, truly

    _, k, s = next(iter(sets(*held_back(60, 78), 1, 4)))
    paints = colourants(swatch_list(k[:9], s[:9], "tint"))
    targets = truly(k[:9], s[:9], np.random.default_rng(5).dirichlet(np.full(9, 0.4), 4))
    every = np.arange(9)
    best = [search.searched(paints, every, t, 3, 8, 3).recipes for t in targets]
    keep = search._TRIED, search._FIRST
    search._TRIED, search._FIRST = 0, 2  # as if they were too many to try
    try:
        bounded = [search.searched(paints, every, t, 3, 8, 3, wide=31).recipes for t in targets]
    finally:
        search._TRIED, search._FIRST = keep
    off = [
        one.off - other.off
        for a, b in zip(bounded, best, strict=True)
        for one, other in zip(a, b, strict=True)
    ]
    return {
        "further off than the best": float(np.max(off)),
        "miss": float(np.mean([recipe.off for some in best for recipe in some])),
        "one drop off": float(np.mean([recipe.one_drop_off for some in best for recipe in some])),
    }


def matching() -> Figures:
    """The exact search against brute force, on near-grey and saturated blues where CIEDE2000 turns."""
    from palette.colour.difference import difference
    from palette.swatches.model import Swatch, SwatchList

    rng = np.random.default_rng(3)
    lab = np.concatenate(
        [
            rng.normal([50, 0, 0], [30, 4, 4], (1000, 3)),
            rng.normal([40, 10, -50], [20, 15, 20], (1000, 3)),
            rng.uniform([0, -90, -90], [100, 90, 90], (1000, 3)),
        ]
    ).clip([0, -128, -128], [100, 128, 128])
    asked, lab = lab[::15], lab[np.arange(3000) % 15 > 0]
    paints = SwatchList(tuple(Swatch(str(i), str(i), row, "lab") for i, row in enumerate(lab)))
    apart = paints.nearest(asked, count=3)[1]
    every = difference(asked[:, None], lab[None])
    return {
        "wrong neighbours": float(np.mean(np.abs(apart - np.sort(every, axis=1)[:, :3]) > 1e-9)),
        "nearest": float(apart.mean()),
        "from any to any": float(every.mean()),
    }


def sampling() -> Figures:
    """Made pictures, held back: the number of colours and their lit colour."""
    from palette.sample.clusters import clusters
    from tests.benchmarks.clusters import HELD, errors, make

    off, right = [], []
    for seed in list(HELD)[:4]:
        made = make(seed, burnt=seed % 2 == 0)
        clustered = clusters([made.linear])
        off.append(errors(made.lab, np.array([c.lab for c in clustered.colours])))
        right.append(len(clustered.colours) == len(made.lab))
    return {
        "lit colour": float(np.concatenate(off).mean()),
        "right count": float(np.mean(right)),
        "count of two in hard shade": float(len(clusters([_in_shade()]).colours)),
        "count of twelve hues that fade": float(len(clusters([_fading()]).colours)),
    }


def _in_shade() -> np.ndarray:
    """A red, a third of it in shade with a hard edge, beside a green: linear (60, 90, 3)."""
    from palette.colour.spaces import lab_to_linear

    red, green = lab_to_linear(np.array([[45.0, 45, 25], [60, -25, 20]]))
    picture = np.repeat(np.stack([red, 0.6 * red, green]), 30, axis=0) * np.ones((60, 1, 1))
    return picture * np.exp(np.random.default_rng(0).normal(0, 0.01, (60, 90, 1)))


def _fading() -> np.ndarray:
    """Twelve hues of one lightness and chroma, each lit down to a tenth: linear (60, 144, 3)."""
    from palette.colour.spaces import lab_to_linear

    hue = np.arange(12) * np.pi / 6
    lab = np.column_stack([np.full(12, 62.0), 25 * np.cos(hue), 25 * np.sin(hue)])
    picture = np.repeat(lab_to_linear(lab), 12, axis=0) * np.linspace(0.1, 1, 60)[:, None, None]
    return picture * np.exp(np.random.default_rng(0).normal(0, 0.02, picture.shape))


def checking() -> Figures:
    """What `check` says of readings drawn around a target, and around one 10 off."""
    from palette.evidence.correction.straying import straying
    from palette.paints.check import _by_any_camera, _explanations, give_or_take, verdict_of

    nothing = np.zeros((0, 3))  # by no anchors
    strong = np.array([[52.0, 40 * np.cos(hue), 40 * np.sin(hue)] for hue in np.arange(12) * np.pi / 6])
    shown = [
        [
            _by_any_camera(_explanations(lab, nothing), lab + times * off, 0.8 * np.eye(3), 1.5)[1] is False
            for lab, off in zip(strong, straying(strong), strict=True)
        ]
        for times in (1.25, -1.25)
    ]
    rng = np.random.default_rng(9)
    verdicts: dict[str, list[bool | None]] = {"exact": [], "off": []}
    reach = []
    for _ in range(12):
        target = rng.uniform([25, -30, -30], [80, 30, 30])
        spread = np.diag(rng.uniform(0.8, 1.8, 3) ** 2)
        reading = target + rng.multivariate_normal(np.zeros(3), spread)
        reach.append(give_or_take(target, reading, spread))
        verdicts["exact"].append(verdict_of(target, reading, spread, 3.0)[1])
        verdicts["off"].append(verdict_of(target + np.array([8.0, 8.0, 0.0]), reading, spread, 3.0)[1])
    return {
        "exact, no": float(np.mean([v is False for v in verdicts["exact"]])),
        "exact, yes": float(np.mean([v is True for v in verdicts["exact"]])),
        "off, no": float(np.mean([v is False for v in verdicts["off"]])),
        "give or take": float(np.median(reach)),
        "as cameras stray, no": float(np.mean(shown[0])),
        "the other way, no": float(np.mean(shown[1])),
        "straying": float(np.linalg.norm(straying(strong), axis=1).mean()),
    }


def combining() -> Figures:
    """Several witnesses of one colour, one of them wrong."""
    from palette.evidence.combine.reconcile import Observation, reconcile

    rng = np.random.default_rng(4)
    off, weights, radii = [], [], []
    for _ in range(12):
        truth, liar = np.array([50.0, 10.0, -5.0]), np.array([50.0, 30.0, 10.0])
        said = [
            Observation(truth + rng.normal(0, 1.5, 3), 2.25 * np.eye(3), 0.95),
            Observation(truth + rng.normal(0, 2.0, 3), 4.0 * np.eye(3), 0.95),
            Observation(liar + rng.normal(0, 2.0, 3), 4.0 * np.eye(3), 0.8),
        ]
        verdict = reconcile(said)
        off.append(np.linalg.norm(verdict.lab - truth))
        radii.append(np.sqrt(np.trace(verdict.covariance)))
        weights.append(float(np.asarray(verdict.weights)[2]))
    apart = [
        [Observation(np.array([50.0, a, 0]), 36 * np.eye(3), 0.6) for a in (0.0, further)]
        for further in (5.0, 15.0, 25.0)
    ]
    return {
        "off": float(np.median(off)),
        "belief in two": float(np.mean([reconcile(pair).weights for pair in apart])),
        "the liar's weight": float(np.mean(weights)),
        "spread": float(np.mean(radii)),
    }


def naming() -> Figures:
    """Names of what was held back of the survey, and words of it."""
    from palette.colour.spoken import parse
    from tests.benchmarks.names import held_back, kept, munsell, names, plainly

    hues, lab = held_back()
    drawn = munsell(150)
    same = np.mean([a == b for a, b in zip(names(drawn), plainly(drawn), strict=True)])
    said = (
        "brownish red",
        "pale green",
        "dark blue",
        "battleship grey",
        "cream",
        "dull yellow",
        "red or brown",
    )
    regions = [parse(words) for words in said]
    red, brown, between = (parse(words).lab for words in ("red", "brown", "brownish red"))
    towards = brown - red
    lighter = parse("light battleship grey").lab - parse("battleship grey").lab
    return {
        "keeps the hue": kept(names(lab), hues),
        "as the centroid": float(same),
        "share of -ish": float((between - red) @ towards / (towards @ towards)),
        "a step of lightness": float(lighter[0]),
        "lightness of words": float(np.mean([r.lab[0] for r in regions])),
        "chroma of words": float(np.mean([np.hypot(*r.lab[1:]) for r in regions])),
        "breadth of words": float(np.mean([np.sqrt(np.trace(r.covariance)) for r in regions])),
    }


ROOMS: dict[str, Callable[[], Figures]] = {
    f.__name__: f
    for f in (correction, grey, mixing, recipes, matching, sampling, checking, combining, naming)
}
