"""Write `recovery.npz`: the prior of measured reflectances, as the mixture that `recovery.py` reads.

    pip install luxpy && python palette/colour/data/make_recovery.py

Learnt from the measured sets that luxpy carries (read from its files; luxpy itself is not imported):
- 1269 matt and glossy chips of the Munsell book, University of Eastern Finland (Joensuu);
- the 2696 distinct surfaces among the 4880 that IES TM-30-15 chose its samples from: paints,
  plastics, textiles, prints, skin, foliage, flowers and others;
- 215 object colours of Opstelten (1983).

Held back for tests and benchmarks, so anything within an RMS of 0.01 of them is left out: every
measured set of colour-science (the 24- and 30-patch charts, its 190 training patches, the CQS and
CRI samples).
"""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
NM = np.arange(400.0, 701.0, 10.0)
DIRECTIONS, COMPONENTS = 10, 12
LOWEST = 0.004  # a reflectance below this is the instrument's noise; its logit would rule the fit
BROAD = 0.1  # share of one wide Gaussian over everything: surfaces unlike any that were learnt


def at_bands(nm: np.ndarray, rows: np.ndarray) -> np.ndarray:
    return np.array([np.interp(NM, nm, row) for row in rows])


def learnt() -> np.ndarray:
    spec = find_spec("luxpy")
    if spec is None or spec.origin is None:
        raise SystemExit("luxpy is needed for its data: pip install luxpy")
    folder = Path(spec.origin).parent / "data" / "rfls"
    book = np.loadtxt(folder / "Munsell1269.dat", delimiter=",").T
    objects = np.loadtxt(folder / "Opstelten1983_215.dat", delimiter=",").T
    many = np.load(folder / "IESTM30_15_R4880.npz")["_IESTM30_R4880"]
    distinct = np.loadtxt(folder / "IESTM30-R4880-subset-with-unique-rfls--2696.dat").astype(int)
    return np.concatenate(
        [
            at_bands(book[0], book[1:]),
            at_bands(many[0], many[1:][distinct]),
            at_bands(objects[0], objects[1:]),
        ]
    )


def held_back() -> np.ndarray:
    import colour
    from colour.quality.datasets import SDS_TCS
    from colour.quality.datasets.vs import SDS_VS

    groups = [*colour.SDS_COLOURCHECKERS.values(), *SDS_VS.values(), *SDS_TCS.values()]
    rows = [np.interp(NM, sd.wavelengths, sd.values) for group in groups for sd in group.values()]
    patches = Path(colour.__file__).parent / "characterisation" / "datasets" / "rawtoaces" / "190_Patches.csv"
    table = np.genfromtxt(patches, delimiter=",", skip_header=1).T
    return np.concatenate([rows, at_bands(table[0], table[1:])])


def main() -> None:
    from sklearn.mixture import GaussianMixture

    rows, held = learnt(), held_back()
    rms = np.concatenate(
        [np.sqrt(((b[:, None] - held) ** 2).mean(axis=2)).min(axis=1) for b in np.array_split(rows, 20)]
    )
    rows = np.clip(rows[rms > 0.01], LOWEST, 1 - LOWEST)
    logit = np.log(rows / (1 - rows))
    mean = logit.mean(axis=0)
    _, _, vt = np.linalg.svd(logit - mean, full_matrices=False)
    directions = vt[:DIRECTIONS].T
    points = (logit - mean) @ directions
    rest = (logit - mean - points @ directions.T).std(axis=0)
    fit = GaussianMixture(COMPONENTS, reg_covar=0.02, random_state=0, n_init=4, max_iter=500).fit(points)
    np.savez_compressed(
        HERE / "recovery.npz",
        mean=mean.astype(np.float32),
        directions=directions.astype(np.float32),
        weight=np.append(fit.weights_ * (1 - BROAD), BROAD).astype(np.float32),
        centre=np.vstack([fit.means_, points.mean(axis=0)]).astype(np.float32),
        covariance=np.concatenate([fit.covariances_, [np.cov(points.T)]]).astype(np.float32),
        rest=rest.astype(np.float32),
    )
    print(f"{len(rows)} surfaces learnt, {len(held)} held back")


if __name__ == "__main__":
    main()
