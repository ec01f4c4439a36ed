"""Write `surfaces.csv`: what painted surfaces look like, as equally likely CIELAB colours.

    pip install luxpy && python palette/evidence/grey/data/make_surfaces.py

Three in ten are the colours of the measured surfaces that the recovery prior learns from, blurred by a
few units. The others are spread evenly over hue and value of the Munsell renotation (Newhall, Nickerson
& Judd 1943, as colour-science tabulates the real colours): most of them evenly to the most vivid, as
makers of charts and of paints spread them, some falling off exponentially in chroma, so that greys and
dull colours are common; one in twenty of all is nearly neutral. The shares and the fall-off are from
memory, not from a count.
"""

from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
COUNT = 2400
MEASURED, EVEN, NEUTRAL = 0.3, 0.45, 0.05
CHROMA = 6.0  # e-folding, in Munsell chroma
MOST_VIVID = 20.0


def main() -> None:
    import colour
    from colour.colorimetry import luminance_ASTMD1535
    from scipy.interpolate import RegularGridInterpolator

    c = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    letters = ["R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP"]
    hues = [f"{step:g}{letter}" for letter in letters for step in (2.5, 5, 7.5, 10)]
    values = np.arange(1, 10)
    chromas = np.arange(0, 41, 2)
    table = np.full((len(hues), len(values), len(chromas), 3), np.nan)
    for (hue, value, chroma), xyy in colour.MUNSELL_COLOURS["real"]:
        if value in values:
            xyz = colour.xyY_to_XYZ([*xyy[:2], xyy[2] / 100])
            xyz = colour.chromatic_adaptation(
                xyz, colour.xy_to_XYZ(c), colour.xy_to_XYZ(d65), transform="CAT02"
            )
            table[hues.index(hue), int(value) - 1, int(chroma) // 2] = colour.XYZ_to_Lab(xyz, d65)
    for value in values:
        y = luminance_ASTMD1535(float(value)) / 100
        table[:, value - 1, 0] = colour.XYZ_to_Lab(colour.xy_to_XYZ(d65) * y, d65)
    table = np.concatenate([table, table[:1]])  # the circle closes
    look = RegularGridInterpolator(
        (np.arange(41), values, chromas), table, bounds_error=False, fill_value=np.nan
    )

    from palette.colour.data.make_recovery import learnt
    from palette.colour.spectra import reflectance_to_lab

    rng = np.random.default_rng(1943)
    seen = reflectance_to_lab(learnt())
    seen = seen[rng.choice(len(seen), int(MEASURED * COUNT), replace=False)]
    rows = list(seen + rng.normal(0, [2.0, 3.0, 3.0], seen.shape) * np.minimum(1, seen[:, :1] / 50))
    while len(rows) < COUNT:
        hue, value = rng.uniform(0, 40), rng.uniform(1, 9)
        kind = rng.random() * (1 - MEASURED)
        if kind < NEUTRAL:
            chroma = abs(rng.normal(0, 0.4))
        elif kind < NEUTRAL + EVEN:
            chroma = rng.uniform(0, MOST_VIVID)
        else:
            chroma = rng.exponential(CHROMA)
        lab = look([[hue, value, chroma]])[0] if chroma <= 40 else np.full(3, np.nan)
        if np.all(np.isfinite(lab)):
            # whites and blacks beyond the table: stretch values 1…9 a little
            lab[0] = 50.0 + (lab[0] - 50.0) * 1.12
            rows.append(lab)
    np.savetxt(
        HERE / "surfaces.csv", rows, fmt="%.2f", delimiter=",", header="lab_l,lab_a,lab_b", comments=""
    )


if __name__ == "__main__":
    main()
