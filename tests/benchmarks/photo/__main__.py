"""Parts measured through made photographs, anchors given some patches: python -m tests.benchmarks.photo [N]
[--jobs N]

Everything here is held back from learning: chart, cameras, named lights, tone formulas. For each case:
median and 95th percentile CIEDE2000 of the parts by method, and the share of truths inside `radius90`.
"""

from __future__ import annotations

import sys
import time
from functools import partial
from typing import Any

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_xyz, linear_to_lab, xyz_to_lab
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, fit
from tests.benchmarks.photo import rivals
from tests.benchmarks.photo.pictures import HELD, chart, lab_of, make, places, shoot, surfaces
from tests.benchmarks.side_by_side import Each, one_by_one, side_by_side

GREYS = list(range(18, 24))
SETS = (  # title, plain, foreign
    ("developed straight", True, False),
    ("with a camera's look: tone, saturation, matrix of its own", False, False),
    ("numbers that are not sRGB's: sensor's channels, wide profiles lost, squeezed colours", None, True),
)


def shot_of(
    i: int,
    half: str = HELD,
    plain: bool | None = True,
    seed: int = 7,
    warm: bool = True,
    foreign: bool = False,
):
    """A made picture. Held back: the chart as Ohta or ISO 17321-1 measured it, BabelColor's average of it as
    the published truth. Tuning: 18 surfaces of that half and six greys, the truth off by about 0.8."""
    names = ["ColorChecker N Ohta", "ISO 17321-1"]
    rng = np.random.default_rng([seed, i])
    made = make(half, rng, warm, plain, foreign)
    if half == HELD:
        table, truth = chart(names[i % 2]), lab_of(chart("BabelColor Average"))
    else:
        grey = np.array([0.89, 0.59, 0.36, 0.19, 0.09, 0.032])[:, None] * np.ones((1, 61))
        table = np.concatenate([rng.permutation(surfaces(half))[:18], grey])
        truth = lab_of(table)
        chroma = np.hypot(truth[:, 1], truth[:, 2])[:, None]
        truth = truth + rng.normal(0, 0.5, (24, 3)) * np.column_stack(
            [np.ones((24, 1)), *2 * [1 + 0.03 * chroma]]
        )
    return shoot(made, table, truth, places(rng), rng)


def readings(shot, chosen, known=True):
    return [
        AnchorReading(
            str(i),
            shot.linear[i],
            shot.covariance[i],
            shot.truth[i] if known else None,
            centre=tuple(shot.centre[i]),
            clipped=shot.clipped[i],
        )
        for i in chosen
    ]


def cases(rng):
    """Name -> the anchors of one picture."""
    chromatic, everything = np.arange(18), np.arange(24)
    return {
        "six greys": GREYS,
        "three greys, three chromatic": [*rng.choice(GREYS, 3, False), *rng.choice(chromatic, 3, False)],
        "the same, kindest": [18, 20, 22, 12, 13, 14],
        "six at random": rng.choice(everything, 6, False),
        "four at random": rng.choice(everything, 4, False),
        "three at random": rng.choice(everything, 3, False),
        "two greys": rng.choice(GREYS[:5], 2, False),
        "one grey": [rng.choice(GREYS[:5])],
        "one chromatic": [rng.choice(chromatic)],
    }


def ours(shot, chosen, known=True):
    return fit(readings(shot, chosen, known), scene=None if known else shot.scene).apply


def no_anchor(shot, table, covers, radii):
    """The whole chart without anchors, by the scene (here the chart alone) or by nothing."""
    for case, scene in (("no anchor, by the scene", shot.scene), ("no anchor, nothing known", None)):
        row = table.setdefault(case, {})
        row.setdefault("as shot", []).append(difference(linear_to_lab(shot.linear), shot.truth))
        if scene is not None:
            grey = rivals.grey_world(shot.linear, scene)(shot.linear)
            row.setdefault("grey world", []).append(difference(grey, shot.truth))
        lab, covariance = fit([], scene=scene).apply(shot.linear, shot.covariance, shot.centre)
        row.setdefault("palette", []).append(difference(lab, shot.truth))
        covers.setdefault(case, []).extend(inside(lab, covariance, shot.truth))
        radii.setdefault(case, []).extend(radius90(m, c) for m, c in zip(lab, covariance, strict=True))


def score(results):
    median = {name: np.median(np.concatenate(errors)) for name, errors in results.items()}
    high = {name: np.quantile(np.concatenate(errors), 0.95) for name, errors in results.items()}
    return median, high


def inside(lab, covariance, truth):
    return [float(difference(m, t)) <= radius90(m, c) for m, c, t in zip(lab, covariance, truth, strict=True)]


def run(
    count: int,
    half: str = HELD,
    plain: bool | None = True,
    seed: int = 7,
    warm: bool = True,
    foreign: bool = False,
    each: Each = one_by_one,
) -> list[tuple]:
    """Rows (case, {method: (median, 95 %)}, coverage, median radius, picture-wise wins)."""
    table: dict[str, dict[str, list]] = {}
    covers: dict[str, list] = {}
    radii: dict[str, list] = {}
    how = {"half": half, "plain": plain, "seed": seed, "warm": warm, "foreign": foreign}
    for of_one in each(partial(_measured, how), range(count)):
        for case, methods in of_one[0].items():
            for method, off in methods.items():
                table.setdefault(case, {}).setdefault(method, []).extend(off)
        for all_of_them, some in zip((covers, radii), of_one[1:], strict=True):
            for case, values in some.items():
                all_of_them.setdefault(case, []).extend(values)
    return [(case, table[case], np.mean(covers[case]), np.median(radii[case])) for case in table]


def _measured(how: dict[str, Any], number: int) -> tuple[dict, dict, dict]:
    """One picture's differences by case and method, its coverage and its radii by case."""
    table: dict[str, dict[str, list]] = {}
    covers: dict[str, list] = {}
    radii: dict[str, list] = {}
    shot = shot_of(number, **how)
    rng = np.random.default_rng([how["seed"], number, 1])
    for case, chosen in cases(rng).items():
        chosen = np.array(chosen)
        parts = np.setdiff1d(np.arange(24), chosen)
        row = table.setdefault(case, {})
        for name, method in rivals.SIMPLE.items():
            lab = method(shot.linear[chosen], shot.truth[chosen])(shot.linear[parts])
            row.setdefault(name, []).append(difference(lab, shot.truth[parts]))
        lab, covariance = ours(shot, chosen)(shot.linear[parts], shot.covariance[parts], shot.centre[parts])
        row.setdefault("palette", []).append(difference(lab, shot.truth[parts]))
        covers.setdefault(case, []).extend(inside(lab, covariance, shot.truth[parts]))
        radii.setdefault(case, []).extend(radius90(m, c) for m, c in zip(lab, covariance, strict=True))
    leave_one_out(shot, table, covers, radii)
    unknown_lightness(shot, rng, table, covers, radii)
    no_anchor(shot, table, covers, radii)
    return table, covers, radii


def leave_one_out(shot, table, covers, radii):
    row = table.setdefault("whole chart, leave one out", {})
    for i in range(0, 24, 3):
        rest = np.delete(np.arange(24), i)
        for name, method in rivals.SIMPLE.items():
            lab = method(shot.linear[rest], shot.truth[rest])(shot.linear[[i]])
            row.setdefault(name, []).append(difference(lab, shot.truth[[i]]))
        lab, covariance = ours(shot, rest)(shot.linear[[i]], shot.covariance[[i]], shot.centre[[i]])
        row.setdefault("palette", []).append(difference(lab, shot.truth[[i]]))
        covers.setdefault("whole chart, leave one out", []).extend(inside(lab, covariance, shot.truth[[i]]))
        radii.setdefault("whole chart, leave one out", []).append(radius90(lab[0], covariance[0]))


def unknown_lightness(shot, rng, table, covers, radii):
    """Lightness matched before a* and b* are compared. Nobody is told more of the anchor than that it is
    neutral: the simple methods get its L*, which the matching takes out again, and no a* or b*."""
    case = "one grey of unknown lightness (a*b*)"
    chosen = np.array([rng.choice(GREYS[:5])])
    parts = np.setdiff1d(np.arange(24), chosen)
    row = table.setdefault(case, {})
    truth = shot.truth[parts]

    def flat(lab):
        xyz = lab_to_xyz(lab)
        same = xyz_to_lab(xyz * (lab_to_xyz(truth)[:, 1] / np.maximum(xyz[:, 1], 1e-4))[:, None])
        return np.hypot(*(same - truth)[:, 1:].T)

    for name, method in rivals.SIMPLE.items():
        known = shot.truth[chosen] * [1, 0, 0]
        row.setdefault(name, []).append(flat(method(shot.linear[chosen], known)(shot.linear[parts])))
    lab, covariance = ours(shot, chosen, known=False)(
        shot.linear[parts], shot.covariance[parts], shot.centre[parts]
    )
    row.setdefault("palette", []).append(flat(lab))
    covers.setdefault(case, []).extend(inside(lab, covariance, truth))
    radii.setdefault(case, []).extend(radius90(m, c) for m, c in zip(lab, covariance, strict=True))


def report(rows) -> None:
    """One line a case: the rivals' two best, ours, coverage, radius, and ours to the best."""
    print(f"{'anchors':37} {'best simple method':33} {'second':33} {'palette':>14} inside radius90 ratio")
    for case, results, cover, radius in rows:
        median, high = score(results)
        order = sorted((m for m in median if m != "palette"), key=lambda m: median[m])
        cells = [f"{m} {median[m]:.2f} / {high[m]:.2f}" for m in order[:2]] + [""]
        ours = f"{median['palette']:.2f} / {high['palette']:.2f}"
        ratio = median["palette"] / median[order[0]]
        print(f"{case:37} {cells[0]:33} {cells[1]:33} {ours:>14} {cover:6.3f} {radius:8.2f} {ratio:5.2f}")


def main() -> None:
    start = time.perf_counter()
    with side_by_side() as each:
        count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
        for title, plain, foreign in SETS:
            print(title)
            report(run(count, plain=plain, foreign=foreign, each=each))
    print(f"{len(SETS)} × {count} pictures, {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
