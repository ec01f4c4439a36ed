"""Write the tables of this folder from colour-science, so that palette need not import all of it.

    python palette/colour/data/make.py

Sources, as colour-science names them: CIE 15:2018 (observer, illuminants, daylight); ISO 7589 (photographic
light);
Pointer, "The gamut of real surface colours", Color Research and Application 5 (1980) 145 (surfaces).
"""

from pathlib import Path

import numpy as np

HERE = Path(__file__).parent


def main() -> None:
    import colour

    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    nm = np.arange(360, 831)
    rows = np.column_stack([nm, cmfs[nm]])
    np.savetxt(
        HERE / "observer.csv",
        rows,
        fmt=["%d", "%.12g", "%.12g", "%.12g"],
        delimiter=",",
        header="nm,x,y,z",
        comments="",
    )

    grid = np.arange(360, 831, 5)
    columns, names = [grid], ["nm"]
    for name, sd in colour.SDS_ILLUMINANTS.items():
        values = np.interp(grid, sd.wavelengths, sd.values)
        columns.append(values)
        names.append(name)
    np.savetxt(
        HERE / "illuminants.csv",
        np.column_stack(columns),
        fmt="%.6g",
        delimiter=",",
        header=",".join(names),
        comments="",
    )

    parts = colour.colorimetry.datasets.SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES
    shown = [grid, *(np.interp(grid, sd.wavelengths, sd.values) for sd in parts.values())]
    np.savetxt(
        HERE / "daylight.csv",
        np.column_stack(shown),
        fmt="%.6g",
        delimiter=",",
        header=",".join(["nm", *parts]),
        comments="",
    )

    limits = np.array(colour.models.DATA_POINTER_GAMUT_VOLUME, dtype=float).reshape(16, 36, 3)
    names = ["lightness", *(f"h{hue:g}" for hue in limits[0, :, 2])]
    np.savetxt(
        HERE / "surfaces.csv",
        np.column_stack([limits[:, 0, 0], limits[..., 1]]),
        fmt="%g",
        delimiter=",",
        header=",".join(names),
        comments="",
    )


if __name__ == "__main__":
    main()
