"""Write words.csv: for each ISCC-NBS name, where its colours lie in the solid of surface colours.

    python palette/colour/data/make_words.py

The solid is the convex hull of Pointer's gamut of real surface colours (Pointer, Color Research &
Application 5 (1980) 145-155, as colour-science ships it) with black and white. It is in CIELAB under
illuminant C, which for a surface is CIELAB under D65 to within a unit. A grid in it is named by
`palette.colour.names`, and each name keeps the mean and covariance of its points and its share of all.
A name that no grid point bears keeps its centroid and the median spread.
"""

from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).parent


def solid(step: float) -> Any:
    """Grid points of the solid of surface colours (n, 3), CIELAB D65."""
    from colour.models import DATA_POINTER_GAMUT_VOLUME
    from scipy.spatial import Delaunay

    lightness, chroma, hue = DATA_POINTER_GAMUT_VOLUME.T
    angle = np.radians(hue)
    edge = np.column_stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)])
    hull = Delaunay(np.vstack([edge, [0, 0, 0], [100, 0, 0]]))
    axes = [np.arange(low, high, step) for low, high in ((step / 2, 100), (-140, 140), (-140, 140))]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    return grid[hull.find_simplex(grid) >= 0]


def main() -> None:
    from palette.colour.names import names

    points = solid(2.5)
    named = np.array(names(points))
    rows = [line.split(",") for line in (HERE / "iscc_nbs.csv").read_text("utf-8").splitlines()[1:]]
    spreads = {n: np.cov(points[named == n].T) for n, *_ in rows if np.sum(named == n) >= 8}
    median = np.median(list(spreads.values()), axis=0)
    lines = ["name,share,l,a,b,ll,la,lb,aa,ab,bb"]
    for n, *cells in rows:
        inside = points[named == n]
        mean = inside.mean(axis=0) if n in spreads else np.array(cells[:3], dtype=float)
        spread = spreads.get(n, np.diag(np.diag(median)))
        share = max(len(inside), 1) / len(points)
        numbers = ",".join(f"{v:.2f}" for v in [*mean, *spread[np.triu_indices(3)]])
        lines.append(f"{n},{share:.6f},{numbers}")
    (HERE / "words.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{len(points)} points, {len(rows) - len(spreads)} names without enough of them")


if __name__ == "__main__":
    main()
