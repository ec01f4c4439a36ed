"""From geometry and reflectances to a picture: light, lens, film or sensor, print, scan.

The sensitivities and tone curves here are invented for the demo; they are of the kind that real
stocks have, and not the ones palette itself carries.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from palette.colour.spaces import srgb_encode
from palette.colour.spectra import FINE, light
from swatches_demo.making.pigments import NM
from swatches_demo.making.raycast import Seen

Array = np.ndarray


@dataclass(frozen=True)
class Surface:
    reflectance: Array  # (31,)
    gloss: float = 0.0  # 0 matt … 1 like enamel
    rough: float = 0.0  # standard deviation of the albedo from place to place
    course: tuple[float, float] = (0.0, 0.0)  # width and height of bricks, boards or setts in metres


@dataclass(frozen=True)
class Lighting:
    sun: Array  # power of the direct light (31,)
    sky: Array  # power of the light from all round (31,)
    sun_level: float
    sky_level: float
    toward: tuple[float, float, float]


def power(name: str | float, level: float = 1.0) -> Array:
    """A light at 400…700 nm, scaled to mean 1."""
    values = np.interp(NM, FINE, light(name))
    return np.asarray(level * values / values.mean())


def bell(centre: float, width: float) -> Array:
    return np.exp(-(((NM - centre) / width) ** 2) / 2)


def texture(seen: Seen, surfaces: dict[str, Surface]) -> Array:
    """Albedo factor per pixel: joints, boards and weathering, fixed to the surface."""
    rng = np.random.default_rng(3)
    factor = np.ones(seen.index.shape, np.float32)
    cells = np.exp(rng.standard_normal((64, 64)) * 1.0)
    for i, name in enumerate(seen.materials):
        surface = surfaces.get(name)
        if surface is None or not (surface.rough or surface.course[0]):
            continue
        mask = seen.index == i
        p, n = seen.point[mask], np.abs(seen.normal[mask])
        u = np.where(n[:, 0] > 0.6, p[:, 2], p[:, 0])
        v = np.where(n[:, 1] > 0.6, p[:, 2], p[:, 1])
        value = np.ones(len(u))
        if surface.course[0]:
            w, h = surface.course
            row = np.floor(v / h)
            shift = u / w + 0.5 * (row % 2)
            column = np.floor(shift)
            value *= cells[column.astype(int) % 64, row.astype(int) % 64] ** surface.rough
            joint = np.minimum(
                np.minimum(shift - column, column + 1 - shift) * w,
                np.minimum(v / h - row, row + 1 - v / h) * h,
            )
            value *= np.where(joint < 0.008, 0.72, 1.0)
        else:
            patch = cells[np.floor(u / 0.35).astype(int) % 64, np.floor(v / 0.35).astype(int) % 64]
            value *= patch ** (0.3 * surface.rough)
        factor[mask] = value
    return factor


def expose(
    seen: Seen, surfaces: dict[str, Surface], lighting: Lighting, sensitivity: Array, sky_picture: float
) -> Array:
    """(h, w, k) exposure of each layer; 1 is a perfect white facing the direct light."""
    scale = (power("D55")[:, None] * sensitivity).sum(0)
    sun = lighting.sun[:, None] * sensitivity / scale
    sky = lighting.sky[:, None] * sensitivity / scale
    table_sun = np.zeros((len(seen.materials), sensitivity.shape[1]))
    table_sky = np.zeros_like(table_sun)
    gloss = np.zeros(len(seen.materials))
    for i, name in enumerate(seen.materials):
        if i:
            table_sun[i] = surfaces[name].reflectance @ sun
            table_sky[i] = surfaces[name].reflectance @ sky
            gloss[i] = surfaces[name].gloss
    albedo = texture(seen, surfaces)[..., None]
    picture = albedo * (
        lighting.sun_level * seen.sun[..., None] * table_sun[seen.index]
        + lighting.sky_level * seen.sky[..., None] * table_sky[seen.index]
    )
    # gloss: the lamp's highlight and a faint reflection of the surroundings (Schlick's Fresnel term)
    toward = np.array(lighting.toward, float) / np.linalg.norm(lighting.toward)
    half = toward - seen.view
    half /= np.maximum(np.linalg.norm(half, axis=-1, keepdims=True), 1e-6)
    lobe = np.maximum((half * seen.normal).sum(-1), 0) ** 350
    fresnel = 0.04 + 0.96 * (1 - np.clip(-(seen.view * seen.normal).sum(-1), 0, 1)) ** 5
    shine = gloss[seen.index]
    picture += (shine * lobe * (seen.sun > 0) * lighting.sun_level * 6 * fresnel)[..., None] * sun.sum(0)
    mirrored = seen.view - 2 * (seen.view * seen.normal).sum(-1, keepdims=True) * seen.normal
    around = lighting.sky_level * np.clip(0.25 + 0.7 * mirrored[..., 1], 0.05, 1.0)
    picture += (shine * fresnel * around * seen.sky * 0.8)[..., None] * sky.sum(0)
    height = np.clip(seen.view[..., 1:2], -0.1, 1)
    picture += (seen.index == 0)[..., None] * sky_picture * (1.0 - 0.35 * height) * sky.sum(0)
    return np.asarray(picture, np.float64)


def lens(picture: Array, blur: float, falloff: float, flare: float) -> Array:
    """Blur, fall-off to the corners, and veiling glare."""
    h, w = picture.shape[:2]
    soft = gaussian_filter(picture, (blur, blur, 0))
    y, x = np.mgrid[0:h, 0:w]
    r2 = ((x - w / 2) ** 2 + (y - h / 2) ** 2) / (w / 2) ** 2
    return np.asarray(soft * (1 - falloff * r2 / (1 + r2))[..., None] + flare * picture.mean((0, 1)))


def grain(shape: tuple[int, ...], size: float, seed: int) -> Array:
    """Correlated noise of unit standard deviation."""
    noise = np.random.default_rng(seed).standard_normal(shape)
    soft = gaussian_filter(noise, (size, size, 0))
    return np.asarray(soft / soft.std())


def curve(log_exposure: Array, contrast: float, middle: float) -> Array:
    """A characteristic curve with toe and shoulder: log10 exposure to 0..1."""
    return np.asarray(1 / (1 + np.exp(-contrast * (log_exposure - middle))))


def slide(exposure: Array, seed: int) -> Array:
    """Daylight reversal film, scanned: (h, w, 3) sRGB levels."""
    value = np.log10(np.maximum(exposure, 1e-4)) + 0.018 * grain(exposure.shape, 0.8, seed)
    light_through = 0.006 + 0.96 * curve(value, 3.6, -0.36)
    density = -np.log10(light_through)
    coupled = density @ np.array([[1.0, 0.05, 0.02], [0.07, 1.0, 0.06], [0.02, 0.08, 1.0]]) / 1.12
    return srgb_encode(10**-coupled)


def digital(exposure: Array, matrix: Array, seed: int) -> Array:
    """A camera's own rendering: (h, w, 3) sRGB levels."""
    rng = np.random.default_rng(seed)
    noisy = exposure + rng.standard_normal(exposure.shape) * np.sqrt(1e-6 + 4e-5 * np.maximum(exposure, 0))
    linear = np.maximum(noisy @ matrix.T, 0)
    return srgb_encode(np.clip(linear, 0, 1))


def silver(
    exposure: Array,
    contrast: float,
    middle: float,
    paper: tuple[float, float],
    size: float,
    strength: float,
    seed: int,
) -> Array:
    """A black-and-white negative printed and scanned: (h, w) levels."""
    value = (
        np.log10(np.maximum(exposure[..., 0], 1e-4))
        + strength * grain((*exposure.shape[:2], 1), size, seed)[..., 0]
    )
    black, white = paper
    return np.asarray(black + (white - black) * curve(value, contrast, middle))
