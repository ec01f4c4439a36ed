"""How the levels of a file become linear light: embedded colour profiles, or sRGB where there is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import Array, srgb_decode

ASSUMED = "sRGB (assumed)"

Curve = Callable[[Array], Array]


@dataclass(frozen=True)
class MatrixEncoding:
    """Levels through one curve a channel, then a matrix to linear light in sRGB primaries.

    One curve and no matrix is a grey file: its three components come out equal.
    """

    name: str
    curves: tuple[Curve, ...]
    matrix: Array | None = field(default=None)  # (3, 3); None keeps the channels as they are

    @cached_property
    def _tables(self) -> dict[np.dtype[Any], NDArray[np.float32]]:
        return {}

    def to_linear(self, stored: NDArray[Any]) -> NDArray[np.float32]:
        """Stored levels (…, channels), integers or 0..1 floats, to linear light (…, 3)."""
        channels = len(self.curves)
        if stored.dtype.kind == "u":
            tables = self._table(stored.dtype)
            light = np.stack([tables[i][stored[..., i]] for i in range(channels)], axis=-1)
        else:
            light = np.stack(
                [self.curves[i](stored[..., i].astype(np.float64)) for i in range(channels)], axis=-1
            ).astype(np.float32)
        if channels == 1:
            return np.repeat(light, 3, axis=-1)
        return light if self.matrix is None else light @ self.matrix.T.astype(np.float32)

    def _table(self, dtype: np.dtype[Any]) -> NDArray[np.float32]:
        if dtype not in self._tables:
            top = np.iinfo(dtype).max
            levels = np.arange(top + 1) / top
            self._tables[dtype] = np.stack([curve(levels) for curve in self.curves]).astype(np.float32)
        return self._tables[dtype]


Encoding = MatrixEncoding


def srgb(channels: int, name: str = ASSUMED) -> MatrixEncoding:
    """The encoding of IEC 61966-2-1, for one channel or three."""
    return MatrixEncoding(name, (srgb_decode,) * channels)
