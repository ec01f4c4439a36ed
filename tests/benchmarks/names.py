"""How well palette names colours, and how well it understands what people call them.

    python -m tests.benchmarks.names

Held back: the quarter of the survey (XKCD_COLORS as matplotlib ships it, public domain) that
`palette/colour/data/survey.csv` has not, and the colours of CSS (CSS4_COLORS, W3C). Counted are names
that end in one basic hue: does the name keep that hue? The rival is the plainest there is: the nearest
ISCC-NBS centroid in CIELAB. The ISCC-NBS charts themselves are in no package. In their place stand 400
colours of the Munsell renotation (Newhall, Nickerson & Judd 1943, as colour-science ships it): how often
the name is that of the nearest centroid. Understood words are right where the survey's colour lies in the
region that should hold nine in ten.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.colour.names import basic_hue, names
from palette.colour.spaces import Array, hex_to_lab
from palette.colour.spoken import UnknownWords, parse
from palette.colour.tables import rows

BASIC = ["red", "orange", "brown", "yellow", "green", "blue", "purple", "pink", "grey", "black", "white"]


def plainly(lab: Array) -> list[str]:
    """The nearest centroid in CIELAB."""
    table = rows("iscc_nbs.csv")
    centroids = np.array([row[1:4] for row in table], dtype=np.float64)
    return [table[i][0] for i in np.linalg.norm(lab[:, None] - centroids, axis=-1).argmin(axis=1)]


def kept(called: Sequence[str], hues: Sequence[str]) -> float:
    return float(np.mean([basic_hue(name) == hue for name, hue in zip(called, hues, strict=True)]))


def survey() -> tuple[list[str], list[str], Array]:
    """Words, basic hue and CIELAB of every name of the survey that ends in one basic hue."""
    from matplotlib.colors import XKCD_COLORS

    words, hues, lab = [], [], []
    for key, code in XKCD_COLORS.items():
        said = key.removeprefix("xkcd:").replace("gray", "grey").split()
        if said[-1] in BASIC and sum(word in BASIC for word in said) == 1:
            words.append(" ".join("".join(c if c.isalpha() else " " for c in " ".join(said)).split()))
            hues.append(said[-1])
            lab.append(hex_to_lab(code))
    return words, hues, np.array(lab)


def held_back() -> tuple[list[str], Array]:
    """Basic hue and CIELAB of what palette has not learnt from."""
    learnt = {row[0] for row in rows("survey.csv")}
    words, hues, lab = survey()
    new = [i for i, word in enumerate(words) if word.replace(" s ", " ") not in learnt]
    return [hues[i] for i in new], lab[new]


def css() -> tuple[list[str], Array]:
    from matplotlib.colors import CSS4_COLORS

    pairs = []
    for key, code in CSS4_COLORS.items():
        word = key.replace("gray", "grey").replace("violet", "purple")
        hue = next((basic for basic in BASIC if word.endswith(basic)), None)
        if hue and sum(basic in word for basic in BASIC) == 1:
            pairs.append((hue, hex_to_lab(code)))
    return [hue for hue, _ in pairs], np.array([lab for _, lab in pairs])


def munsell(count: int) -> Array:
    """CIELAB of real colours of the renotation, drawn by a seed."""
    import colour
    from colour.notation.datasets.munsell import MUNSELL_COLOURS_REAL

    real = [xyY for (_, value, _), xyY in MUNSELL_COLOURS_REAL if 2 <= value <= 9]
    drawn = np.array([real[i] for i in np.random.default_rng(1).choice(len(real), count, replace=False)])
    xyz = colour.xyY_to_XYZ(np.column_stack([drawn[:, :2], drawn[:, 2] / 100]))
    c = colour.xy_to_XYZ(colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"])
    return np.asarray(colour.XYZ_to_Lab(xyz, colour.XYZ_to_xy(c)))


def understood() -> tuple[int, float]:
    """Survey names of colours that paint can have which are understood without the survey, and how many hold
    their colour."""
    from colour.models import DATA_POINTER_GAMUT_VOLUME
    from matplotlib.colors import XKCD_COLORS
    from scipy.spatial import Delaunay

    lightness, chroma, angle = DATA_POINTER_GAMUT_VOLUME.T
    edge = np.column_stack(
        [lightness, chroma * np.cos(np.radians(angle)), chroma * np.sin(np.radians(angle))]
    )
    solid = Delaunay(np.vstack([edge, [0, 0, 0], [100, 0, 0]]))
    looked_up = {row[0] for row in rows("dictionary.csv") if "survey" in row[2]}
    inside = []
    for key, code in XKCD_COLORS.items():
        words = key.removeprefix("xkcd:")
        if "".join(c if c.isalpha() else " " for c in words) in looked_up:
            continue
        if solid.find_simplex(hex_to_lab(code)) < 0:
            continue  # a screen's colour that no paint can have (Pointer 1980)
        try:
            region = parse(words)
        except UnknownWords:
            continue
        off = hex_to_lab(code) - region.lab
        inside.append(off @ np.linalg.solve(region.covariance, off) < 6.25)  # chi-square, 3 df, 90 %
    return len(inside), float(np.mean(inside))


def main() -> None:
    print("keeps the basic hue                    palette   nearest centroid")
    _, every, lab = survey()
    for title, hues, colours in (
        ("survey, held back", *held_back()),
        ("CSS", *css()),
        ("survey, all", every, lab),
    ):
        ours, plain = kept(names(colours), hues), kept(plainly(colours), hues)
        print(f"{title + f', {len(hues)} colours':38} {ours:8.0%} {plain:10.0%}")
    drawn = munsell(400)
    same = np.mean([a == b for a, b in zip(names(drawn), plainly(drawn), strict=True)])
    print(f"400 Munsell colours: the name of the nearest centroid in {same:.0%}")
    count, right = understood()
    print(f"{count} of the survey's names understood without it: {right:.0%} hold their colour (90 % stated)")


if __name__ == "__main__":
    main()
