"""A grey picture made from a colour one: its luma as if it were a luminance."""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array, lab_to_linear, srgb_decode, srgb_encode

# Half the members are the colour picture that shows surfaces as they are, the others one that is a
# little flatter or richer; a guess, from memory.
_SATURATION = (1.0, 1.0, 1.0, 1.0, 0.95, 0.98, 1.03, 1.06)


def luma_members(weights: tuple[float, float, float]) -> Array:
    """(m, 4): the weights and the saturation of each member."""
    return np.array([[*weights, saturation] for saturation in _SATURATION])


def luma_signal(lab: Array, lumas: Array) -> Array:
    """(…, 3) CIELAB and (m, 4) -> (…, m): the linear light whose sRGB level is the luma.

    So a brighter exposure multiplies it, nearly, as it does a luminance.
    """
    signals = []
    for red, green, blue, saturation in lumas:
        rgb = np.clip(lab_to_linear(lab * np.array([1.0, saturation, saturation])), 0.0, None)
        signals.append(srgb_decode(srgb_encode(rgb) @ np.array([red, green, blue])))
    return np.stack(signals, axis=-1)
