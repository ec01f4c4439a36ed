"""Write words.csv: for each ISCC-NBS name, where its colours lie in the solid of surface colours.

    python palette/colour/data/make_words.py

The solid is the convex hull, in CIELAB D65, of the real colours of the Munsell renotation (Newhall,
Nickerson & Judd 1943, as colour-science ships them) with black and white; a grid in it is named by
`palette.colour.names`, and each name keeps the mean and covariance of its points and its share of all.
Paints of high chroma are rarer than the room there is for them: points weigh exp(-C*/40) (common
practice, no source).
A name that no grid point bears keeps its centroid and the median spread.
"""

from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
RARITY = 40.0


def solid(step: float) -> np.ndarray:
    """Grid points of the solid of surface colours (n, 3), CIELAB D65."""
    from colour import CCS_ILLUMINANTS, xyY_to_XYZ
    from colour.adaptation import chromatic_adaptation_VonKries
    from colour.notation import MUNSELL_COLOURS_REAL
    from scipy.spatial import Delaunay

    from palette.colour.spaces import D65_XYZ, xyz_to_lab

    x, y = CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
    white = np.array([x / y, 1.0, (1 - x - y) / y])
    # the table's Y is on the scale of magnesium oxide, whose own luminance factor was 0.975
    xyy = np.array([values for _, values in MUNSELL_COLOURS_REAL]) * [1, 1, 0.975 / 100]
    lab = xyz_to_lab(chromatic_adaptation_VonKries(xyY_to_XYZ(xyy), white, D65_XYZ, transform="CAT16"))
    hull = Delaunay(np.vstack([lab, [0, 0, 0], [100, 0, 0]]))
    axes = [np.arange(low, high, step) for low, high in ((step / 2, 100), (-140, 140), (-140, 140))]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    return grid[hull.find_simplex(grid) >= 0]


def main() -> None:
    from palette.colour.names import names

    points = solid(2.5)
    named = np.array(names(points))
    rows = [line.split(",") for line in (HERE / "iscc_nbs.csv").read_text("utf-8").splitlines()[1:]]
    weight = np.exp(-np.hypot(points[:, 1], points[:, 2]) / RARITY)
    spreads = {n: np.cov(points[named == n].T, aweights=weight[named == n]) for n, *_ in rows if np.sum(named == n) >= 8}
    median = np.median(list(spreads.values()), axis=0)
    lines = ["name,share,l,a,b,ll,la,lb,aa,ab,bb"]
    for n, *cells in rows:
        inside = points[named == n]
        mean = np.average(inside, axis=0, weights=weight[named == n]) if n in spreads else np.array(cells[:3], dtype=float)
        spread = spreads.get(n, np.diag(np.diag(median)))
        share = max(weight[named == n].sum() / weight.sum(), 1e-6)
        numbers = ",".join(f"{v:.2f}" for v in [*mean, *spread[np.triu_indices(3)]])
        lines.append(f"{n},{share:.6f},{numbers}")
    (HERE / "words.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{len(points)} points, {len(rows) - len(spreads)} names without enough of them")


if __name__ == "__main__":
    main()
