"""Parts measured through real photographs of charts: python -m tests.benchmarks.charts FOLDER [FOLDER…]

A folder holds pictures and charts.json: `patches`, each with its published CIELAB (D65) under the name of
an edition, and `pictures` with `id`, `file` and `rects`, one rectangle x, y, width, height for each patch. A
picture may name the `edition` that its chart is of; the first that the patches have is taken otherwise.

Half of the pictures, by a seed, are for choices (of priors, of thresholds); the others are held back from
every choice, and figures are given of both. For each case: median and 95th percentile of CIEDE2000 over all
patches that are no anchors, palette beside the simple methods; the share inside `radius90` and its median;
in how many fits a true anchor is accused; and the worst picture against plain adaptation.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

import numpy as np

from palette.colour.difference import difference
from palette.colour.spaces import D65_XYZ, lab_to_linear, lab_to_xyz, linear_to_lab, xyz_to_lab
from palette.colour.uncertain import radius90
from palette.evidence.correction import AnchorReading, Correction, fit
from palette.evidence.measure import sample
from palette.evidence.pictures.decode import open_picture
from palette.kit.model import Rect
from tests.benchmarks.photo import rivals

SEED = 12
TRIOS = 4  # of coloured anchors, beside three greys
EVERY = 3  # of the patches one in so many is left out in its turn
PLAIN = "adaptation (Bradford)"
SIX, GREYS, ONE = "three greys, three colours", "greys", "one grey"
NEUTRAL, REST = "one neutral of unknown lightness (a*b*)", "leave one out"


@dataclass(frozen=True)
class Chart:
    """One photograph: per patch linear light (n, 3), covariance of it, place, clipping, and the truth."""

    id: str
    linear: np.ndarray
    covariance: np.ndarray
    centre: np.ndarray
    clipped: np.ndarray
    truth: np.ndarray
    size: tuple[int, int]
    scene: np.ndarray | None

    @property
    def greys(self) -> np.ndarray:
        return np.flatnonzero(np.hypot(self.truth[:, 1], self.truth[:, 2]) < 6)

    def fit(self, chosen, known: bool = True) -> Correction:
        """Corrected by the chosen patches, as a kit's picture is."""
        anchors = [
            AnchorReading(
                f"anchor {i + 1}",
                self.linear[i],
                self.covariance[i],
                self.truth[i] if known else None,
                centre=tuple(self.centre[i]),
                clipped=self.clipped[i],
            )
            for i in chosen
        ]
        return fit(anchors, scene=None if known else self.scene, size=self.size)


def charts(folder: Path) -> Iterator[Chart]:
    """The pictures of one folder."""
    told = json.loads((folder / "charts.json").read_text("utf-8"))
    editions = [name for name, value in told["patches"][0].items() if isinstance(value, list)]
    for one in told["pictures"]:
        truth = np.array([patch[one.get("edition", editions[0])] for patch in told["patches"]])
        picture = open_picture(folder / one["file"])
        size = picture.width, picture.height
        samples = [sample(picture, Rect(*rect)) for rect in one["rects"]]
        scene = picture.reduced(1 << 15).astype(np.float64)
        yield Chart(
            one["id"],
            np.array([s.linear for s in samples]),
            np.array([s.covariance for s in samples]),
            np.array([s.centre for s in samples]) / size,
            np.array([s.clipped for s in samples]),
            truth,
            size,
            scene,
        )


def held_back(ids: list[str]) -> set[str]:
    """Every other picture, in an order that only the seed and the names decide."""
    order = sorted(ids, key=lambda id: sha256(f"{SEED} {id}".encode()).digest())
    return set(order[1::2])


def cases(chart: Chart) -> Iterator[tuple[str, np.ndarray]]:
    """Case and anchors, the same for a picture whenever it is asked."""
    rng = np.random.default_rng([SEED, *sha256(chart.id.encode()).digest()[:4]])
    greys, every = chart.greys, np.arange(len(chart.truth))
    colours = np.setdiff1d(every, greys)
    light = greys[np.argsort(-chart.truth[greys, 0])]
    for _ in range(TRIOS):
        yield SIX, np.concatenate([light[[0, len(light) // 2, -1]], rng.choice(colours, 3, False)])
    yield GREYS, greys
    for grey in light[1:-1]:
        yield ONE, np.array([grey])
        yield NEUTRAL, np.array([grey])
    for i in every[rng.integers(EVERY) :: EVERY]:
        yield REST, np.delete(every, i)


def flat(lab: np.ndarray, truth: np.ndarray) -> np.ndarray:
    """Distance in a*b* once lightness is matched: exposure is nobody's to know."""
    xyz = lab_to_xyz(lab)
    same = xyz_to_lab(xyz * (lab_to_xyz(truth)[:, 1] / np.maximum(xyz[:, 1], 1e-4))[:, None])
    return np.hypot(*(same - truth)[:, 1:].T)


@dataclass
class Tally:
    """Of one case: by method and picture, what the patches are off by; what palette says of itself."""

    off: dict[str, dict[str, list]] = field(default_factory=dict)
    inside: list = field(default_factory=list)
    radius: list = field(default_factory=list)
    accused: list = field(default_factory=list)

    def add(self, method: str, picture: str, off: np.ndarray) -> None:
        self.off.setdefault(method, {}).setdefault(picture, []).append(off)

    def all(self, method: str) -> np.ndarray:
        return np.concatenate([off for pictures in self.off[method].values() for off in pictures])

    def median(self, method: str, picture: str | None = None) -> float:
        off = self.all(method) if picture is None else np.concatenate(self.off[method][picture])
        return float(np.median(off))


def through_colour_science(method: str):
    """A correction by colour-science, by its name there."""

    def fitted(linear, lab):
        from colour.characterisation import matrix_colour_correction
        from colour.characterisation.correction import apply_matrix_colour_correction

        to = lab_to_xyz(lab) / D65_XYZ
        if method == "Cheung 2004":
            matrix = matrix_colour_correction(linear, to, method=method, terms=3)
            more = {"terms": 3}
        else:
            more = {"degree": 2, "root_polynomial_expansion": True}
            matrix = matrix_colour_correction(linear, to, method=method, **more)
        return lambda x: xyz_to_lab(
            apply_matrix_colour_correction(x, matrix, method=method, **more) * D65_XYZ
        )

    return fitted


SIMPLE = {
    "as shot": rivals.as_shot,
    "adaptation (sRGB)": rivals.adaptation_rgb,
    PLAIN: rivals.adaptation_bradford,
    "gain and gamma": rivals.channel_tone,
    "3x3 least squares": through_colour_science("Cheung 2004"),
    "root polynomial": through_colour_science("Finlayson 2015"),
}


def measure(chart: Chart, tallies: dict[str, Tally], wanted: tuple[str, ...] = ()) -> None:
    """Every case of one picture, or those wanted."""
    for case, chosen in cases(chart):
        if wanted and case not in wanted:
            continue
        tally = tallies.setdefault(case, Tally())
        parts = np.setdiff1d(np.arange(len(chart.truth)), chosen)
        truth, linear = chart.truth[parts], chart.linear[parts]
        known = case != NEUTRAL
        off = difference if known else flat
        for name, method in SIMPLE.items():
            # a simple method is told no more of a neutral than palette: its lightness is matched out again
            told = chart.truth[chosen] * ([1, 1, 1] if known else [1, 0, 0])
            tally.add(name, chart.id, off(method(chart.linear[chosen], told)(linear), truth))
        correction = chart.fit(chosen, known)
        lab, covariance = correction.apply(linear, chart.covariance[parts], chart.centre[parts])
        tally.add("palette", chart.id, off(lab, truth))
        radii = [radius90(m, c) for m, c in zip(lab, covariance, strict=True)]
        tally.inside.extend(difference(lab, truth) <= radii)
        tally.radius.extend(radii)
        tally.accused.append(bool(correction.contradicting))


def hardness(chart: Chart) -> float:
    """What the best 3x3, fitted to all patches by CIEDE2000, leaves of them in the median: what no such map
    explains."""
    from scipy.optimize import minimize

    def off(entries):
        return difference(linear_to_lab(chart.linear @ entries.reshape(3, 3)), chart.truth)

    start = np.linalg.lstsq(chart.linear, lab_to_linear(chart.truth), rcond=None)[0].ravel()
    best = minimize(lambda m: off(m).mean(), start, method="Powell", options={"maxiter": 20})
    return float(np.median(off(best.x)))


def row(case: str, tally: Tally) -> str:
    simple = sorted(SIMPLE, key=tally.median)[0]
    ours, high = tally.all("palette"), np.quantile(tally.all("palette"), 0.95)
    best = f"{simple} {tally.median(simple):.2f} / {np.quantile(tally.all(simple), 0.95):.2f}"
    plain = f"{tally.median(PLAIN):.2f}"
    pictures = tally.off["palette"]
    worst = max(tally.median("palette", one) / tally.median(PLAIN, one) for one in pictures)
    ratios = " ".join(f"{np.median(ours) / tally.median(name):6.2f}" for name in (simple, PLAIN))
    return (
        f"{case:40} {best:36} {plain:>6} {f'{np.median(ours):.2f} / {high:.2f}':>13} {ratios}"
        f" {worst:6.2f} {np.mean(tally.inside):7.3f} {np.median(tally.radius):7.2f} "
        f"{f'{sum(tally.accused)} of {len(tally.accused)}':>9}"
    )


HEAD = (
    f"{'anchors':40} {'best simple method':36} {'plain':>6} {'palette':>13} {'ratio':>6} {'plain':>6} "
    f"{'worst':>6} {'inside':>7} {'radius':>7} {'accused':>9}"
)


def table(pictures: list[Chart], wanted: tuple[str, ...] = ()) -> None:
    """The cases of some pictures, or those wanted."""
    tallies: dict[str, Tally] = {}
    for chart in pictures:
        measure(chart, tallies, wanted)
    print(HEAD)
    for case, tally in tallies.items():
        print(row(case, tally))


def main() -> None:
    if len(sys.argv) < 2:
        raise SystemExit("say which folders: python -m tests.benchmarks.charts FOLDER [FOLDER…]")
    start = time.perf_counter()
    every = [chart for folder in sys.argv[1:] for chart in charts(Path(folder))]
    held = held_back([chart.id for chart in every])
    for title, pictures in (
        ("for choices", [chart for chart in every if chart.id not in held]),
        ("held back from every choice", [chart for chart in every if chart.id in held]),
    ):
        print(title)
        for chart in pictures:
            print(f"  {chart.id}: the best 3x3 of all patches leaves {hardness(chart):.1f}")
        if pictures:
            table(pictures)
    print(f"ratio: palette to the best simple method and to plain adaptation ({PLAIN});")
    print(f"worst: of one picture, to plain. {len(every)} pictures, {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
