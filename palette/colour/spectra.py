"""Reflectances, lights and what an observer or a film makes of them.

Inside palette a reflectance is 31 numbers, 400…700 nm in steps of 10 (`NM`). Outside that range the
end values are held, which is what ASTM E308 prescribes for shortened data; between points it is
interpolated as ASTM E2022 does (Lagrange, cubic inside and quadratic at the ends).

Sources: CIE 15:2018; ASTM E308 and E2022; ISO 7589.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.spaces import Array, lab_to_xyz, xyz_to_lab

NM: Array = np.arange(400.0, 701.0, 10.0)
FINE: Array = np.arange(360.0, 831.0, 1.0)  # where lights and observers are tabulated


def _table(name: str) -> tuple[list[str], Array]:
    text = files("palette.colour.data").joinpath(name).read_text("utf-8")
    header, *rows = text.splitlines()
    return header.split(","), np.array([row.split(",") for row in rows], dtype=np.float64)


@cache
def observer() -> Array:
    """CIE 1931 2-degree colour-matching functions at `FINE`, (471, 3)."""
    return _table("observer.csv")[1][:, 1:]


@cache
def _illuminants() -> dict[str, tuple[str, Array]]:
    names, table = _table("illuminants.csv")
    return {
        name.lower(): (name, np.interp(FINE, table[:, 0], table[:, i + 1]))
        for i, name in enumerate(names[1:])
    }


def light_names() -> list[str]:
    """The named lights: CIE 15:2018 and ISO 7589."""
    return [name for name, _ in _illuminants().values()]


def planckian(kelvins: float) -> Array:
    """Planck's law at `FINE`, relative (1 at 560 nm); c2 = 0.014388 m K (CIE 15:2018)."""
    metres = FINE * 1e-9
    power = metres**-5 / np.expm1(1.4388e-2 / (metres * kelvins))
    return np.asarray(power / power[200])


@cache
def _daylight_parts() -> Array:
    """S0, S1 and S2 of CIE 15:2018 at their own wavelengths: (n, 4), nm first."""
    return _table("daylight.csv")[1]


def daylight(kelvins: float) -> Array:
    """CIE daylight of that correlated colour temperature (4000 to 25000) at `FINE`, 1 at 560 nm.

    CIE 15:2018, M1 and M2 unrounded.
    """
    t = float(kelvins)
    if t <= 7000:
        x = -4.607e9 / t**3 + 2.9678e6 / t**2 + 0.09911e3 / t + 0.244063
    else:
        x = -2.0064e9 / t**3 + 1.9018e6 / t**2 + 0.24748e3 / t + 0.23704
    y = -3.0 * x**2 + 2.87 * x - 0.275
    m = 0.0241 + 0.2562 * x - 0.7341 * y
    m1, m2 = (-1.3515 - 1.7703 * x + 5.9114 * y) / m, (0.0300 - 31.4424 * x + 30.0717 * y) / m
    nm, s0, s1, s2 = _daylight_parts().T
    power = np.interp(FINE, nm, s0 + m1 * s1 + m2 * s2)
    return np.asarray(power / power[200])


def light(name: str | float) -> Array:
    """The power of a light at `FINE` (471,), relative.

    `name` is a light of CIE 15 or ISO 7589, upper or lower case, or kelvins: Planckian below 4000,
    daylight from there on.

    Raises:
        ValueError: no such light, or kelvins outside 1000 to 25000.
    """
    if isinstance(name, str):
        illuminant = _illuminants().get(" ".join(name.lower().split()))
        if illuminant is None:
            raise ValueError(f"{name!r} is no light of CIE 15 or ISO 7589, such as D65, A, FL2 or LED-B3")
        return illuminant[1]
    if not 1000 <= name <= 25000:
        raise ValueError(f"{name:g} kelvins is outside 1000 to 25000")
    return planckian(name) if name < 4000 else daylight(name)


@cache
def _interpolation() -> Array:
    """(471, 31): from 31 reflectances to every nanometre, as ASTM E2022 and E308 do."""
    coarse = np.arange(360.0, 831.0, 10.0)
    left = np.minimum((FINE - 360) // 10, coarse.size - 2).astype(int)
    rows = np.arange(FINE.size)
    ends = (left == 0) | (left == coarse.size - 2)
    full = np.zeros((FINE.size, coarse.size))
    for at, count in ((rows[~ends], 4), (rows[ends], 3)):  # four nodes about each, three at the ends
        first = np.clip(left[at] - 1, 0, coarse.size - count)
        nodes = coarse[first[:, None] + np.arange(count)]
        for i in range(count):
            others = np.delete(nodes, i, axis=1)
            factors = (FINE[at, None] - others) / (nodes[:, i : i + 1] - others)
            full[at, first + i] = np.prod(factors, axis=1)
    folded = np.zeros((FINE.size, NM.size))
    for i, nm in enumerate(coarse):
        folded[:, int(np.clip((nm - 400) // 10, 0, 30))] += full[:, i]
    return folded


def weights(power: ArrayLike, response: ArrayLike) -> Array:
    """What each of the 31 reflectances counts for.

    `power` (471,) and `response` (471,) or (471, k), both at `FINE`, give (31,) or (31, k), scaled so
    that the perfect white gives 1 (in each column of `response`).
    """
    product = np.asarray(power, dtype=np.float64) * np.asarray(response, dtype=np.float64).T
    raw = (product @ _interpolation()).T
    return np.asarray(raw / raw.sum(axis=0))


@cache
def tristimulus(name: str | float = "D65") -> tuple[Array, Array]:
    """ASTM E308 weights (31, 3) under a light, and the white's XYZ (3,) with Y = 1."""
    raw = ((light(name) * observer().T) @ _interpolation()).T
    raw = raw / raw[:, 1].sum()
    return raw, raw.sum(axis=0)


def reflectance_to_lab(reflectance: ArrayLike, under: str | float = "D65") -> Array:
    """Reflectances (…, 31) to CIELAB under a light, relative to that light's own white."""
    table, white = tristimulus(under)
    return xyz_to_lab(np.asarray(reflectance, dtype=np.float64) @ table, white)


def lab_to_reflectance_targets(lab: ArrayLike) -> Array:
    """CIELAB D65 (…, 3) to the XYZ (…, 3) that E308 weights must give for it."""
    return lab_to_xyz(lab, tristimulus("D65")[1])
