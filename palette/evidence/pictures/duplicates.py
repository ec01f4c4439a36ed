"""Pictures that show the same, even after resizing, re-compression, another exposure or from behind.

Evidence that is counted twice looks surer than it is; a slide scanned from its back is the same slide.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import srgb_encode
from palette.evidence.pictures.decode import Linear

_SIDE = 64  # pixels of the square that a picture is squeezed into
_WAVES = 16  # of its cosine transform's rows and columns that are kept
_ALIKE = 0.8  # correlation from which two pictures show the same; unrelated ones stay below 0.55

Signature = NDArray[np.float32]


def signature(small: Linear) -> Signature:
    """What is left of a picture when its size, sharpness, contrast and colour are taken away.

    The lightness of the picture, squeezed into a square, as the low frequencies of its cosine transform.
    Each is weighed by its frequency: pictures have about equal power in each octave, so that without it
    two pictures with a bright sky would pass for one.

    Args:
        small: linear light (h, w, 3), a hundred pixels wide or more; NaN counts as the mean.

    Returns:
        (256,), of length 1 (0 for a picture without any shape).
    """
    from scipy.fft import dctn

    light = srgb_encode(np.maximum(small @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32), 0.0))
    seen = np.isfinite(light)
    light = np.where(seen, light, light[seen].mean() if seen.any() else 0.0)
    waves = dctn(_squeeze(light), norm="ortho")[:_WAVES, :_WAVES]
    waves = waves * np.hypot(*np.mgrid[:_WAVES, :_WAVES])
    length = float(np.linalg.norm(waves))
    return np.asarray(waves.ravel() / length if length > 1e-3 else waves.ravel() * 0, dtype=np.float32)


def _squeeze(light: NDArray[np.float64]) -> NDArray[np.float64]:
    from PIL import Image

    image = Image.fromarray(light.astype(np.float32))
    return np.asarray(image.resize((_SIDE, _SIDE), Image.Resampling.BOX), dtype=np.float64)


def pairs(signatures: Sequence[Signature], shapes: Sequence[tuple[int, int]]) -> list[tuple[int, int, bool]]:
    """Pairs (earlier, later, mirrored) of pictures that show the same.

    Args:
        signatures: of the pictures.
        shapes: their widths and heights; the same picture keeps its proportions to 3 %.
    """
    if len(signatures) < 2:
        return []
    waves = np.stack(signatures).astype(np.float64)
    behind = waves * np.where(np.arange(_WAVES * _WAVES) % 2 == 1, -1.0, 1.0)  # odd across: turned about
    alike, mirrored = waves @ waves.T, waves @ behind.T
    proportion = np.log([width / height for width, height in shapes])
    same_shape = np.abs(proportion[:, None] - proportion[None, :]) < 0.03
    same = np.triu((np.maximum(alike, mirrored) >= _ALIKE) & same_shape, 1)
    return [
        (int(i), int(j), bool(mirrored[i, j] > alike[i, j])) for i, j in zip(*np.nonzero(same), strict=True)
    ]
