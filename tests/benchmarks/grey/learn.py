"""Learn what reflectances surfaces have, and which colours: python -m tests.benchmarks.grey.learn

Writes palette/colour/data/recovery.npz, the mixture that `palette.colour.recovery` reads, and
palette/evidence/grey/data/surfaces.csv, painted surfaces at large as equally likely CIELAB colours. Seeded;
takes about a minute.

Learnt from what colour-science carries under the BSD licence, and from paints that palette itself made:

- measured: every other one of the 190 training patches of RAW to ACES (Dyer et al. 2017), and, counting for a
  third, the 99 samples of CIE 224:2017;
- chips: the 2734 real colours of the Munsell renotation (Newhall, Nickerson & Judd 1943). Nobody published
their
  reflectances, so each is recovered by the clusters of Otsu, Yamamoto & Hachisuka 2018
  (doi:10.1111/cgf.13332), which were learnt from measured surfaces. A recovery is the middle of what a
  surface may have; what measured ones have beside it (the logit of one less that of its own recovery) is
  added;
- paints: films of one or two of the invented paints of `palette.paints.mixing` with white, by Kubelka & Munk.

Kept out, so anything within an RMS of 0.01 of them is left out: the other 95 patches, by which the shares
above were chosen, and the 24- and 30-patch charts, the CQS and the CRI samples. The charts'
figures stood in the same table as the patches', so they are no blind test of the shares either.

Of the colours three in ten are those of the measured surfaces, blurred by a few units. The others are spread
evenly over hue and value of the renotation: most of them evenly to the most vivid, as makers of charts and of
paints spread them, some falling off exponentially in chroma, so that greys and dull colours are common; one
in twenty of all is nearly neutral. The shares and the fall-off are from memory, not from a count.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import numpy as np

from palette.colour.spectra import NM, lab_to_reflectance_targets, reflectance_to_lab
from palette.paints.mixing import law
from palette.paints.mixing.prior import library
from tests.benchmarks.grey.simulation import held_back, patches

DIRECTIONS, COMPONENTS = 10, 12
LOWEST = 0.004  # a reflectance below this is the instrument's noise; its logit would rule the fit
BROAD = 0.1  # share of one wide Gaussian over everything: surfaces unlike any that were learnt
NEAR = 12  # measured surfaces, from one of which a chip takes what its recovery leaves out
PATCHES, SAMPLES, PAINTS = 6, 2, 2000  # times that each measured surface counts; made paints

COUNT = 2400  # colours of surfaces
MEASURED, EVEN, NEUTRAL = 0.3, 0.45, 0.05
CHROMA = 6.0  # e-folding, in Munsell chroma
MOST_VIVID = 20.0
BLUR = (3.0, 4.5, 4.5)  # CIELAB, of a measured surface's colour at L* 50 and above


def samples() -> np.ndarray:
    """The 99 samples of CIE 224:2017 (99, 31)."""
    import colour
    from colour.quality.cfi2017 import load_TCS_CIE2017

    table = load_TCS_CIE2017(colour.SpectralShape(380, 780, 5))
    return np.array([np.interp(NM, table.wavelengths, row) for row in table.values.T])


def renotation() -> tuple[np.ndarray, list[tuple[str, float, float]]]:
    """CIELAB D65 (n, 3) of the real colours of the Munsell renotation, and their notations."""
    import colour

    whites = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    c, d65 = (colour.xy_to_XYZ(whites[name]) for name in ("C", "D65"))
    xyy = np.array([row for _, row in colour.MUNSELL_COLOURS["real"]], dtype=float)
    xyz = colour.chromatic_adaptation(colour.xyY_to_XYZ(xyy / [1, 1, 100]), c, d65, transform="CAT02")
    return colour.XYZ_to_Lab(xyz, whites["D65"]), [name for name, _ in colour.MUNSELL_COLOURS["real"]]


def recovered(lab: np.ndarray) -> np.ndarray:
    """Reflectances (n, 31) by the clusters of Otsu et al. 2018."""
    import colour
    from colour.recovery import XYZ_to_sd_Otsu2018

    shape = colour.recovery.SPECTRAL_SHAPE_OTSU2018
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    d65 = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    spectra = [XYZ_to_sd_Otsu2018(xyz, observer, d65) for xyz in lab_to_reflectance_targets(lab)]
    return np.array([np.interp(NM, sd.wavelengths, sd.values) for sd in spectra])


def logit(rows: np.ndarray) -> np.ndarray:
    rows = np.clip(rows, LOWEST, 1 - LOWEST)
    return np.log(rows / (1 - rows))


def chips(measured: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Reflectances (n, 31) of the renotation's colours, as various as measured ones."""
    places = reflectance_to_lab(measured)
    beside = logit(measured) - logit(recovered(places))
    lab, _ = renotation()
    near = np.argsort(np.linalg.norm(lab[:, None] - places, axis=2), axis=1)
    picked = near[np.arange(len(lab)), rng.integers(0, NEAR, len(lab))]
    return 1 / (1 + np.exp(-(logit(recovered(lab)) + beside[picked])))


def paints(count: int, rng: np.random.Generator) -> np.ndarray:
    """Reflectances (count, 31) of films of one or two made paints, three in four of them with white."""
    made = library().u
    bands = len(NM)
    which, shares = rng.integers(0, len(made), (count, 2)), rng.dirichlet([0.5, 0.5], count)
    white = rng.beta(0.5, 0.8, count) * (rng.random(count) < 0.75)
    k, s = np.exp(made[:, :bands] + made[:, bands:]), np.exp(made[:, bands:])
    white_k = 0.001 + 0.05 * np.exp(-(NM - 400) / 7.0)  # rutile, as paints/mixing/data/make.py has it
    absorbs = (1 - white)[:, None] * np.einsum("np,npw->nw", shares, k[which]) + white[:, None] * white_k
    scatters = (1 - white)[:, None] * np.einsum("np,npw->nw", shares, s[which]) + white[:, None]
    gloss = rng.uniform(0.0, 0.03, (count, 1)) * (rng.random((count, 1)) < 0.6)
    return law.reflectance(absorbs / scatters) + gloss


def write_prior(rows: np.ndarray) -> None:
    from sklearn.mixture import GaussianMixture

    held, _ = held_back()
    rms = np.concatenate(
        [np.sqrt(((b[:, None] - held) ** 2).mean(axis=2)).min(axis=1) for b in np.array_split(rows, 20)]
    )
    points = logit(rows[rms > 0.01])
    mean = points.mean(axis=0)
    _, _, vt = np.linalg.svd(points - mean, full_matrices=False)
    directions = vt[:DIRECTIONS].T
    places = (points - mean) @ directions
    rest = (points - mean - places @ directions.T).std(axis=0)
    fit = GaussianMixture(COMPONENTS, reg_covar=0.02, random_state=0, n_init=4, max_iter=500).fit(places)
    np.savez_compressed(
        Path(str(files("palette.colour.data").joinpath("recovery.npz"))),
        mean=mean.astype(np.float32),
        directions=directions.astype(np.float32),
        weight=np.append(fit.weights_ * (1 - BROAD), BROAD).astype(np.float32),
        centre=np.vstack([fit.means_, places.mean(axis=0)]).astype(np.float32),
        covariance=np.concatenate([fit.covariances_, [np.cov(places.T)]]).astype(np.float32),
        rest=rest.astype(np.float32),
    )
    print(f"{len(points)} surfaces learnt, {len(held)} held back")


def solid() -> tuple[tuple[np.ndarray, ...], np.ndarray]:
    """The renotation's real colours on a grid of hue steps (41), value 1…9 (9) and chroma 0…40 (21):
    CIELAB."""
    import colour
    from colour.colorimetry import luminance_ASTMD1535

    letters = ["R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP"]
    hues = [f"{step:g}{letter}" for letter in letters for step in (2.5, 5, 7.5, 10)]
    table = np.full((len(hues), 9, 21, 3), np.nan)
    for lab, (hue, value, chroma) in zip(*renotation(), strict=True):
        if value in range(1, 10):
            table[hues.index(hue), int(value) - 1, int(chroma) // 2] = lab
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    for value in range(1, 10):
        y = luminance_ASTMD1535(float(value)) / 100
        table[:, value - 1, 0] = colour.XYZ_to_Lab(colour.xy_to_XYZ(d65) * y, d65)
    axes = (np.arange(41), np.arange(1, 10), np.arange(0, 41, 2))
    return axes, np.concatenate([table, table[:1]])  # the circle closes


def write_colours(measured: np.ndarray) -> None:
    from scipy.interpolate import RegularGridInterpolator

    look = RegularGridInterpolator(*solid(), bounds_error=False, fill_value=np.nan)
    rng = np.random.default_rng(1943)
    seen = reflectance_to_lab(measured)[rng.integers(0, len(measured), int(MEASURED * COUNT))]
    rows = list(seen + rng.normal(0, BLUR, seen.shape) * np.minimum(1, seen[:, :1] / 50))
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
            lab[0] = 50.0 + (lab[0] - 50.0) * 1.12  # whites and blacks beyond the table: values 1…9 stretched
            rows.append(lab)
    path = Path(str(files("palette.evidence.grey.data").joinpath("surfaces.csv")))
    np.savetxt(path, rows, fmt="%.2f", delimiter=",", header="lab_l,lab_a,lab_b", comments="")


def main() -> None:
    rng = np.random.default_rng(2018)
    learnt = patches()[0::2]
    write_prior(
        np.concatenate(
            [
                np.repeat(learnt, PATCHES, axis=0),
                np.repeat(samples(), SAMPLES, axis=0),
                chips(learnt, rng),
                paints(PAINTS, rng),
            ]
        )
    )
    write_colours(np.concatenate([learnt, samples()]))


if __name__ == "__main__":
    main()
