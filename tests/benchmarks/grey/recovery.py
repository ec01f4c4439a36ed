"""Reflectances recovered from a colour: ours against four methods of colour-science, on surfaces held back.

    python -m tests.benchmarks.grey.recovery [--surfaces 60]

The error that matters is what a film would be told: the root mean square of the natural logarithm of
the signal under the panchromatic data sheet and under an orthochromatic curve, in daylight. Otsu's
clusters were learnt from measured sets of their own.
"""

from __future__ import annotations

import argparse
import warnings
from collections.abc import Callable
from typing import Any

import numpy as np

from palette.colour.recovery import recover
from palette.colour.spectra import NM, light, reflectance_to_lab, tristimulus, weights
from tests.benchmarks.grey.simulation import ORTHO, held_back, sheet


def rivals() -> dict[str, Callable[[Any], Any]]:
    import colour
    from colour.recovery import XYZ_to_sd_Jakob2019, XYZ_to_sd_Meng2015, XYZ_to_sd_Otsu2018

    shape = colour.SpectralShape(400, 700, 10)
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    d65 = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    methods = {
        "Otsu et al. 2018": lambda xyz: XYZ_to_sd_Otsu2018(xyz, cmfs, d65),
        "Meng et al. 2015": lambda xyz: XYZ_to_sd_Meng2015(xyz, cmfs, d65),
        "Jakob & Hanika 2019": lambda xyz: XYZ_to_sd_Jakob2019(xyz, cmfs, d65),
    }
    if hasattr(colour.recovery, "XYZ_to_sd_Burns2020"):
        methods["Burns 2020"] = lambda xyz: colour.recovery.XYZ_to_sd_Burns2020(xyz, cmfs, d65)
    return {
        name: (lambda xyz, f=f: np.interp(NM, (sd := f(xyz)).wavelengths, sd.values))
        for name, f in methods.items()
    }


def burns(xyz: Any) -> Any:
    """The smoothest logit of a reflectance, smooth in the hyperbolic tangent, as Burns 2020 has it."""
    from scipy.optimize import minimize

    table, _ = tristimulus("D65")

    def curve(z: Any) -> Any:
        return (np.tanh(z) + 1) / 2

    result = minimize(
        lambda z: np.sum(np.diff(z) ** 2),
        np.zeros(31),
        jac=lambda z: 2 * (np.append(0, np.diff(z)) - np.append(np.diff(z), 0)),
        constraints={"type": "eq", "fun": lambda z: curve(z) @ table - xyz},
        method="SLSQP",
    )
    return curve(result.x)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--surfaces", type=int, default=60)
    count = parser.parse_args().surfaces
    every, _ = held_back()
    rows = every[np.random.default_rng(7).permutation(len(every))[:count]]
    xyz = rows @ tristimulus("D65")[0]
    recovered = {"palette, mean": recover(reflectance_to_lab(rows)).mean}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        methods = rivals()
        methods.setdefault("Burns 2020 (as written here)", burns)
        for name, method in methods.items():
            recovered[name] = np.clip([method(one) for one in xyz], 0.001, 1)
    pan, ortho = (weights(light("D65"), c) for c in (sheet(), ORTHO))
    print(f"{len(rows)} surfaces held back      reflectance RMS   panchromatic   orthochromatic")
    for name, curves in recovered.items():
        rms = np.sqrt(np.mean((curves - rows) ** 2))
        logs = [np.sqrt(np.mean(np.log((curves @ w) / (rows @ w)) ** 2)) for w in (pan, ortho)]
        print(f"{name:28} {rms:15.4f} {logs[0]:14.4f} {logs[1]:16.4f}", flush=True)


if __name__ == "__main__":
    main()
