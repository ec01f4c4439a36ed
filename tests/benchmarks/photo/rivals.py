"""The simple methods: what a careful user would do with colour-science and a spreadsheet.

Each takes anchors' linear light (n, 3) and true Lab (n, 3) and gives a function from linear light to Lab.
"""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import D65_XYZ, SRGB_TO_XYZ, lab_to_linear, lab_to_xyz, linear_to_lab, xyz_to_lab

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def _greys(lab):
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    return chroma < max(6.0, chroma.min() + 1e-9)


def as_shot(linear, lab):
    return linear_to_lab


def _adapt(linear, lab, to):
    seen, want = linear @ to.T, lab_to_linear(lab) @ to.T
    grey = _greys(lab)
    gains = (seen[grey] * want[grey]).sum(axis=0) / (seen[grey] ** 2).sum(axis=0)
    back = np.linalg.inv(to)
    # exposure once more on every anchor
    there = (seen * gains) @ back.T
    target = lab_to_linear(lab)
    y = SRGB_TO_XYZ[1]
    exposure = np.exp(np.mean(np.log(np.maximum(target @ y, 1e-4) / np.maximum(there @ y, 1e-4))))
    return lambda x: linear_to_lab((x @ to.T * gains) @ back.T * exposure)


def adaptation_rgb(linear, lab):
    """Gains in linear sRGB from the greys (least squares), exposure from all."""
    return _adapt(linear, lab, np.eye(3))


def adaptation_bradford(linear, lab):
    """The same in Bradford's cone space."""
    return _adapt(linear, lab, BRADFORD @ SRGB_TO_XYZ)


def matrix(linear, lab):
    """3×3 least squares, linear light to XYZ."""
    m = np.linalg.lstsq(linear, lab_to_xyz(lab), rcond=None)[0]
    return lambda x: xyz_to_lab(x @ m, D65_XYZ)


def root_polynomial(linear, lab):
    """Root polynomial of degree 2 (Finlayson, Mackiewicz & Hurlbert 2015)."""

    def expand(x):
        r, g, b = np.maximum(x, 0).T
        return np.column_stack([r, g, b, np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)])

    m = np.linalg.lstsq(expand(linear), lab_to_xyz(lab), rcond=None)[0]
    return lambda x: xyz_to_lab(expand(x) @ m, D65_XYZ)


def channel_tone(linear, lab):
    """A straight line in log light for each channel (gain and gamma), linear sRGB."""
    x, y = np.log(np.maximum(linear, 1e-4)), np.log(np.maximum(lab_to_linear(lab), 1e-4))
    dx = x - x.mean(axis=0)
    slope = (dx * (y - y.mean(axis=0))).sum(axis=0) / np.maximum((dx**2).sum(axis=0), 1e-6)
    at = y.mean(axis=0) - slope * x.mean(axis=0)
    return lambda v: linear_to_lab(np.exp(at + slope * np.log(np.maximum(v, 1e-4))))


def grey_world(linear, scene):
    """No anchors: the scene's mean is grey; exposure as shot."""
    mean = scene.reshape(-1, 3).mean(axis=0)
    gains = (SRGB_TO_XYZ[1] @ mean) / mean
    return lambda x: linear_to_lab(x * gains)


SIMPLE = {
    "as shot": as_shot,
    "adaptation (sRGB)": adaptation_rgb,
    "adaptation (Bradford)": adaptation_bradford,
    "gain and gamma": channel_tone,
    "3x3 least squares": matrix,
    "root polynomial": root_polynomial,
}
