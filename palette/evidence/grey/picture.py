"""One grey picture of a kit as numbers: what it sees, its anchors, and the levels of its parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from palette.colour.lumas import luma_signal
from palette.colour.responses import Response
from palette.colour.spaces import Array
from palette.colour.spectra import light, weights
from palette.evidence.grey.surfaces import Surfaces
from palette.evidence.grey.tone import Level
from palette.memory import remembered

# Lights of a picture that states none, with what each is believed: common practice, no source.
OUTDOORS: Mapping[str | float, float] = {"D55": 0.35, "D65": 0.25, "D50": 0.15, 7500.0: 0.15, "A": 0.10}
STUDIO: Mapping[str | float, float] = {
    "ISO 7589 Studio Tungsten": 0.4,
    "A": 0.15,
    "D55": 0.2,
    "D65": 0.15,
    "D50": 0.10,
}


@dataclass(frozen=True)
class Sensitivity:
    """The effective sensitivity of a picture: the members of a response under its light, or lights."""

    response: Response
    table: Array | None  # (31, m) weights that give 1 for white; None for a luma

    @classmethod
    @remembered()
    def of(
        cls,
        response: Response,
        under: str | float | None,
        kind: str = "photograph",
        filter: Array | None = None,
    ) -> Sensitivity:
        """`filter` is a transmittance (471,) at 360…830 nm; `under` None integrates over plausible lights.

        Raises:
            ValueError: no such light.
        """
        if response.members is None:
            return cls(response, None)
        curves = response.members if filter is None else response.members * filter
        if np.any(curves.max(axis=1) < 1e-3 * response.members.max(axis=1)):
            raise ValueError("the filter lets nothing through that the response sees")
        if under is not None:
            return cls(response, weights(light(under), curves.T))
        plausible = STUDIO if kind == "frame" else OUTDOORS
        if len(curves) == 1:
            curves = np.repeat(curves, 20, axis=0)
        m = len(curves)
        ladder = (np.arange(m) * 0.6180339887498949 + 0.5) % 1.0
        chosen = np.searchsorted(np.cumsum(list(plausible.values()))[:-1], ladder)
        names = list(plausible)
        table = np.stack(
            [weights(light(names[c]), curve) for c, curve in zip(chosen, curves, strict=True)], axis=1
        )
        return cls(response, table)

    @property
    def count(self) -> int:
        return self.table.shape[1] if self.table is not None else self.response.count

    @remembered()
    def log_signals(self, surfaces: Surfaces) -> Array:
        """(r, m) natural logarithm of what each row of the surfaces sends."""
        if self.table is not None:
            signal = surfaces.reflectance @ self.table
        else:
            assert self.response.lumas is not None
            signal = luma_signal(surfaces.lab, self.response.lumas)[surfaces.owner]
        return np.asarray(np.log(np.maximum(signal, 1e-4)))


@dataclass(frozen=True)
class AnchorLevel:
    """An anchor as read: its name for messages, level, and colour (None: a grey of unknown lightness)."""

    name: str
    level: Level
    lab: Array | None
    spread: float = 1.0  # CIEDE2000, nine times in ten
    part: str | None = None  # the part whose colour it is, if any: never used on that part itself
    reflectance: Array | None = None  # (31,) where it was measured


@dataclass(frozen=True)
class GreyPicture:
    """One grey picture."""

    name: str
    sensitivity: Sensitivity
    anchors: tuple[AnchorLevel, ...]
    levels: Mapping[str, tuple[Level, ...]]  # by part: the places where the picture shows it
    uneven: float = 0.10
    trust: float = 1.0
    darkest: float | None = None  # levels that 1 % and 99 % of the picture lie below
    lightest: float | None = None
