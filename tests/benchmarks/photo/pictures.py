"""Made photographs of measured surfaces: published reflectances, cameras and lights, invented handling.

What is published (all by way of colour-science): the 24-patch chart's reflectances (Ohta 1997; BabelColor's
average of 30 charts; ISO 17321-1), CES-99 (CIE 224:2017), the 190 training reflectances and the Canon
5D Mark II sensitivities of the Academy's rawtoaces, Nikon D5100 and Sigma SD Merrill (Darrodi et al. 2015),
CIE 15 and ISO 7589 illuminants, NIST and lighting-industry lamp spectra.
Wider colour spaces are as published (SMPTE RP 431-2, Adobe RGB (1998), ITU-R BT.2020, ISO 22028-2).
What is invented: sensitivities like the tuning camera's (warped, made of bells, or nearer to the colour
matching functions), how far a camera's balance follows the light, exposure, tone, saturation, flare, how
evenly the light falls, noise, how colours are squeezed. Two halves that share no surface, camera or named
light, and use different formulas for the tone: `half="tuning"` for learning the prior, `half="held back"` for
the figures.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from palette.colour.spaces import lab_to_linear, srgb_decode, srgb_encode, xyz_to_lab

NM = np.arange(400.0, 701.0, 5.0)
TUNING, HELD = "tuning", "held back"
PATCH = 24  # pixels a side


def _at(sd) -> np.ndarray:
    values = np.asarray(sd.values, dtype=float)
    return np.stack(
        [np.interp(NM, sd.wavelengths, v) for v in np.atleast_2d(values.T if values.ndim > 1 else values)]
    ).T.squeeze()


@cache
def _published() -> dict[str, dict[str, np.ndarray]]:
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        from colour.characterisation import MSDS_ACES_RICD, read_training_data_rawtoaces_v1
        from colour.quality.cfi2017 import load_TCS_CIE2017
    charts = {
        name: np.array([_at(sd) for sd in colour.SDS_COLOURCHECKERS[name].values()])
        for name in ("BabelColor Average", "ColorChecker N Ohta", "ISO 17321-1")
    }
    ces = load_TCS_CIE2017(colour.SpectralShape(400, 700, 5))
    canon = np.genfromtxt(
        Path(colour.__file__).parent
        / "characterisation/datasets/rawtoaces/CANON_EOS_5DMark_II_RGB_Sensitivities.csv",
        delimiter=",",
        skip_header=1,
    )
    cameras = {
        "Nikon": _at(colour.MSDS_CAMERA_SENSITIVITIES["Nikon 5100 (NPL)"]),
        "Sigma": _at(colour.MSDS_CAMERA_SENSITIVITIES["Sigma SDMerill (NPL)"]),
        "Canon": np.stack([np.interp(NM, canon[:, 0], canon[:, i]) for i in (1, 2, 3)], axis=1),
        "RICD": _at(MSDS_ACES_RICD),
    }
    lights = {name: _at(sd) for name, sd in colour.SDS_ILLUMINANTS.items()}
    lights |= {name: _at(sd) for name, sd in colour.SDS_LIGHT_SOURCES.items()}
    return {
        "charts": charts,
        "surfaces": {"ces": _at(ces).T, "aces": _at(read_training_data_rawtoaces_v1()).T},
        "cameras": cameras,
        "lights": lights,
        "observer": {"cmf": _at(colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"])},
    }


_LIGHTS = {
    TUNING: ["A", "D50", "D65", "FL1", "FL3", "FL5", "FL7", "FL9", "FL11", "FL3.1", "FL3.5", "FL3.9",
             "FL3.13", "LED-B1", "LED-B3", "LED-B5", "LED-V2", "Incandescent", "Triphosphor FL", "PHOS-1"],
    HELD: ["60 A/W (Soft White)", "ISO 7589 Photoflood", "ISO 7589 Studio Tungsten", "D55", "D75", "FL2",
           "FL4", "FL8", "FL12", "FL3.2", "FL3.12", "FL3.15", "LED-B2", "LED-B4", "LED-BH1", "LED-V1",
           "Luxeon WW 2880", "F32T8/TL830 (Triphosphor)", "F34T12WW/RS/EW (Warm White FL)"],
}  # fmt: skip
_WARM = {
    TUNING: ["A", "FL3.1", "FL3.13", "LED-B1", "LED-V2", "Incandescent", "PHOS-1"],
    HELD: ["60 A/W (Soft White)", "ISO 7589 Photoflood", "ISO 7589 Studio Tungsten", "FL4", "FL12",
           "LED-B2", "LED-V1", "Luxeon WW 2880", "F32T8/TL830 (Triphosphor)"],
}  # fmt: skip


def lab_of(reflectance: np.ndarray) -> np.ndarray:
    """CIELAB D65 of reflectances (n, 61)."""
    weights = _published()["observer"]["cmf"] * _published()["lights"]["D65"][:, None]
    weights = weights / weights[:, 1].sum()
    return xyz_to_lab(reflectance @ weights, weights.sum(axis=0))


def surfaces(half: str) -> np.ndarray:
    """Reflectances (n, 61) of that half: every other CES sample and training reflectance."""
    start = 0 if half == TUNING else 1
    reflectances = np.concatenate([table[start::2] for table in _published()["surfaces"].values()])
    return reflectances[reflectances.max(axis=1) > 0.02]


def chart(name: str) -> np.ndarray:
    """Reflectances (24, 61) of one published measurement of the chart."""
    return _published()["charts"][name]


def _planck(kelvins: float) -> np.ndarray:
    return (NM / 560) ** -5 / np.expm1(1.4388e7 / (NM * kelvins)) * np.expm1(1.4388e7 / (560 * kelvins))


def _light(half: str, rng: np.random.Generator) -> np.ndarray:
    choice = rng.random()
    if choice < 0.3:
        return _planck(rng.uniform(2000, 3600))
    names = _WARM[half] if choice < 0.6 else _LIGHTS[half]
    return _published()["lights"][str(rng.choice(names))]


def _camera(half: str, rng: np.random.Generator) -> np.ndarray:
    cameras = _published()["cameras"]
    if half == HELD:
        return cameras[str(rng.choice(["Canon", "RICD", "Sigma"], p=[0.6, 0.3, 0.1]))]
    base = cameras["Nikon"]
    kind = rng.random()
    if kind < 0.3:  # nearer to what the eye sees: towards the colour matching functions' nearest combination
        eye = _published()["observer"]["cmf"]
        near = eye @ np.linalg.lstsq(eye, base, rcond=None)[0]
        base = np.maximum(base + rng.random() * (near - base), 0)
    elif kind < 0.5:
        peaks, widths = (
            np.array([600, 535, 455]) + rng.normal(0, 8, 3),
            (32, 40, 28) * np.exp(rng.normal(0, 0.15, 3)),
        )
        base = np.exp(-0.5 * ((NM[:, None] - peaks) / widths) ** 2)
    moved = np.stack(
        [
            np.interp(NM, peak + (NM - peak) * np.exp(rng.normal(0, 0.1)) + rng.normal(0, 6), base[:, i])
            for i, peak in enumerate((600, 535, 455))
        ],
        axis=1,
    )
    moved /= moved.max(axis=0)
    leak = np.eye(3) + np.abs(rng.normal(0, 0.05, (3, 3)))
    return moved @ leak.T * (1 + rng.normal(0, 0.02, moved.shape))


def _hable(x):
    return (x * (0.15 * x + 0.05) + 0.004) / (x * (0.15 * x + 0.5) + 0.06) - 0.02 / 0.3


_OPERATORS = (lambda x: x * (1 + x / 16) / (1 + x), _hable, np.tanh)


def _straight(v):
    return srgb_encode(np.clip(v, 0, 1))


def _tone(half: str, rng: np.random.Generator):
    """From linear 0..1 (and above) to an encoded level 0..1, one curve for all channels."""
    kind = rng.random()
    if kind < 0.15:
        return _straight
    if half == TUNING and kind < 0.5:  # a tone operator's: Reinhard et al. 2002, Hable 2010 or a tanh
        white, power = rng.uniform(0.8, 4.0), np.exp(rng.normal(0, 0.12))
        operator = _OPERATORS[rng.integers(len(_OPERATORS))]

        def operated(v):
            return np.clip(operator(np.clip(v, 0, 1) * white) / operator(white), 0, 1) ** (power / 2.2)

        return operated
    if half == TUNING:
        power, bend = np.exp(rng.normal(0, 0.12)), rng.normal(0.25, 0.3)
        shoulder = rng.uniform(0, 0.6) if rng.random() < 0.6 else 0.0

        def curve(v):
            v = np.maximum(v, 0)
            v = v * (1 + shoulder * v) / (1 + shoulder * v + shoulder * 0.6 * (v - v / (1 + v)))
            e = srgb_encode(np.minimum(v, 1)) ** power
            return np.clip(e + bend * (3 * e**2 - 2 * e**3 - e), 0, 1)

        return curve
    if kind < 0.6:  # a logistic curve in log exposure, as a print's
        slope, mid = rng.uniform(1.2, 1.7), rng.uniform(0.12, 0.25)

        def logistic(v):
            x = (np.maximum(v, 0) / mid) ** slope
            return srgb_encode(np.clip(x / (1 + x) * (1 + mid**slope), 0, 1))

        return logistic
    shoulder, toe = rng.uniform(1.0, 3.0), rng.uniform(0.0, 0.015)

    def exponential(v):  # a camera's: lifted, rolled off, blacks crushed a little
        v = np.maximum(v, 0)
        top = 1 - np.exp(-shoulder)
        return srgb_encode(np.clip((1 - np.exp(-shoulder * v)) / top - toe, 0, 1))

    return exponential


@dataclass(frozen=True)
class Made:
    """A picture's handling: `render`: reflectances (n, 61) at places (n, 2) to encoded levels (n, 3)."""

    render: object
    noise: float
    quality: int


# Linear sRGB to the linear light of wider spaces (Display P3, Adobe RGB (1998), ITU-R BT.2020 and ProPhoto,
# its white adapted to D65 by Bradford), and the power their numbers are encoded with, 0 for sRGB's own curve.
_WIDER = (
    ([[0.8225, 0.1774, 0.0], [0.0332, 0.9669, 0.0], [0.0171, 0.0724, 0.9108]], 0.0),
    ([[0.7152, 0.2848, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0412, 0.9588]], 2.2),
    ([[0.6274, 0.3293, 0.0433], [0.0691, 0.9195, 0.0114], [0.0164, 0.0880, 0.8956]], 0.0),
    ([[0.5293, 0.3301, 0.1406], [0.0983, 0.8735, 0.0283], [0.0169, 0.1177, 0.8655]], 1.8),
)


def _encoded(v: np.ndarray, power: float) -> np.ndarray:
    return _straight(v) if power == 0.0 else np.clip(v, 0, 1) ** (1 / power)


def _squeezed(half: str, rng: np.random.Generator):
    """Colours drawn towards their luma, the more the stronger they are."""
    room = rng.uniform(0.8, 1.8)

    def squeeze(v):
        luma = np.maximum(v @ [0.2126, 0.7152, 0.0722], 1e-6)[:, None]
        size = np.maximum(np.abs(v - luma).max(axis=1, keepdims=True) / luma / room, 1e-6)
        short = np.tanh(size) if half == TUNING else size / (1 + size**1.2) ** (1 / 1.2)
        return luma + (v - luma) * short / size

    return squeeze


def _by_brightness(curve, share: float):
    """A tone curve, for a share (of the log) not of each channel but of the brightness: colours then keep
    their ratios, as telephones render them."""

    def toned(v):
        luma = np.maximum(v @ [0.2126, 0.7152, 0.0722], 1e-5)[:, None]
        each = np.maximum(srgb_decode(curve(v)), 1e-9)
        whole = v * srgb_decode(curve(luma)) / luma
        return srgb_encode(np.clip(each ** (1 - share) * np.maximum(whole, 1e-9) ** share, 0, 1))

    return toned


def _handed_on(numbers: str, half: str, rng: np.random.Generator):
    """What becomes of linear light before it is cut off at zero, and of encoded levels at last."""

    def same(v):
        return v

    if numbers == "sensor's":
        power = rng.choice([0.0, 2.2, 1.0], p=[0.5, 0.2, 0.3])
        return same, lambda levels: _encoded(srgb_decode(levels), power)
    if numbers == "wider":
        matrix, power = _WIDER[rng.integers(len(_WIDER))]
        return (lambda v: v @ np.array(matrix).T), lambda levels: _encoded(srgb_decode(levels), power)
    return (_squeezed(half, rng) if numbers == "squeezed" else same), same


def make(
    half: str,
    rng: np.random.Generator,
    warm: bool = False,
    plain: bool | None = None,
    foreign: bool = False,
) -> Made:
    """Draw a light, a camera and its handling; `plain` is developed straight, without a look of its own;
    `foreign` has numbers that are not sRGB's: the sensor's own channels (balanced for daylight, for the light
    or not at all; some encoded linearly), a wider space's whose profile was lost, or squeezed colours."""
    plain = rng.random() < 0.4 if plain is None else plain
    power, camera = _light(half, rng), _camera(half, rng)
    while warm and _warmth(power) < 1.5:
        power = _light(half, rng)
    daylight, tungsten = (_published()["lights"][name] for name in ("D55", "A"))
    own = camera.T @ daylight
    seen = camera.T @ power
    follows = 0.0 if warm and rng.random() < 0.5 else rng.choice([0.0, 1.0, rng.random()])
    balance = 1 / np.exp((1 - follows) * np.log(own / own[1]) + follows * np.log(seen / seen[1]))
    # the camera's own matrix: least squares on the tuning surfaces, white kept, under daylight or, as far as
    # its balance follows the light, between daylight and tungsten, as DNG's two calibration illuminants
    towards = follows if rng.random() < 0.4 else 0.0
    under = daylight / daylight.mean() * (1 - towards) + tungsten / tungsten.mean() * towards
    table = surfaces(TUNING)
    raw = table @ (camera * under[:, None]) / (camera.T @ under)
    rgb = lab_to_linear(lab_of(table))
    extended = np.concatenate([raw, 50 * np.ones((1, 3))]), np.concatenate([rgb, 50 * np.ones((1, 3))])
    matrix = np.linalg.lstsq(*extended, rcond=None)[0].T
    saturation = 1.0 if plain else np.exp(rng.normal(0.05, 0.12))
    luma = np.array([0.2126, 0.7152, 0.0722])
    matrix = (saturation * np.eye(3) + (1 - saturation) * np.outer(np.ones(3), luma)) @ matrix
    matrix = matrix + (lambda d: d - d.mean(axis=1, keepdims=True))(
        rng.normal(0, 0.01 if plain else 0.03, (3, 3))
    )
    numbers = str(rng.choice(["sensor's", "wider", "squeezed"], p=[0.4, 0.4, 0.2])) if foreign else "sRGB's"
    if numbers == "sensor's":
        plain, matrix = True, np.eye(3)
        if rng.random() < 0.5:  # daylight gives red about a half and blue two thirds of green
            balance = np.exp(np.array([-0.7, 0.0, -0.4]) + rng.normal(0, 0.2, 3)) * own[1] / own
    exposure = rng.uniform(0.45, 1.0) / (matrix @ (balance * seen / (balance * seen).max())).max()
    scale = exposure * balance / (balance * seen).max()
    flare = rng.choice([0.0, rng.uniform(0, 0.03)]) * seen * rng.normal(1, 0.1, 3)
    steep = rng.choice([0.03, 0.12, 0.25])
    slope = rng.normal(0, steep, 2)
    tint = rng.normal(0, 0.15 * steep, (2, 3))
    bowl = -abs(rng.normal(0, steep))
    curve = _straight if plain else _tone(half, rng)
    hue = rng.normal(0, 0.04, 3) if rng.random() < 0.3 and not plain else np.zeros(3)

    if not plain:
        curve = _by_brightness(curve, float(rng.spawn(1)[0].random()))
    convert, encode = _handed_on(numbers, half, rng)

    def render(reflectance, place):
        off = np.asarray(place) - 0.5
        fall = (off @ slope)[:, None] + off @ tint + bowl * (off**2).sum(axis=1, keepdims=True)
        light = (reflectance @ (camera * power[:, None]) * np.exp(fall) + flare) * scale
        linear = np.maximum(convert(light @ matrix.T), 0)
        # a renderer's look: a twist between channels that leaves greys alone
        twist = linear + hue * (linear - np.roll(linear, 1, axis=1))
        return encode(curve(twist))

    return Made(render, noise=rng.uniform(0.002, 0.02), quality=int(rng.integers(60, 98)))


def sensed(half: str, rng: np.random.Generator, warm: bool, reflectance: np.ndarray) -> np.ndarray:
    """Reflectances (n, 61) in the channels of a sensor under a light, balanced for it: (n, 3)."""
    power, camera = _light(half, rng), _camera(half, rng)
    while warm and _warmth(power) < 1.5:
        power = _light(half, rng)
    return reflectance @ (camera * power[:, None]) / (camera.T @ power)


def _warmth(power: np.ndarray) -> float:
    return float(power[NM > 600].mean() / power[NM < 500].mean())


@dataclass(frozen=True)
class Shot:
    """What sampling gives: linear (n, 3), covariance of it (n, 3, 3), centres (n, 2), clipped (n, 3)."""

    linear: np.ndarray
    covariance: np.ndarray
    centre: np.ndarray
    clipped: np.ndarray
    truth: np.ndarray
    scene: np.ndarray


def places(rng: np.random.Generator) -> np.ndarray:
    """Centres (24, 2) of a chart, four rows of six, somewhere in the picture."""
    width = rng.uniform(0.25, 0.9)
    height = min(width * rng.uniform(0.7, 1.1), 0.95)
    x0, y0 = rng.uniform(0.02, 0.98 - width), rng.uniform(0.02, 0.98 - height)
    column, row = np.meshgrid((np.arange(6) + 0.5) / 6, (np.arange(4) + 0.5) / 4)
    return np.stack([x0 + width * column.ravel(), y0 + height * row.ravel()], axis=1)


def shoot(
    made: Made, reflectance: np.ndarray, truth: np.ndarray, centre: np.ndarray, rng: np.random.Generator
) -> Shot:
    """Take 24 surfaces as an 8-bit JPEG and sample each."""
    from PIL import Image

    encoded = made.render(reflectance, centre)
    picture = np.kron(encoded.reshape(4, 6, 3), np.ones((PATCH, PATCH, 1)))
    picture = picture + rng.normal(0, made.noise, picture.shape)
    file = io.BytesIO()
    Image.fromarray(np.rint(np.clip(picture, 0, 1) * 255).astype(np.uint8)).save(
        file, "JPEG", quality=made.quality
    )
    levels = np.asarray(Image.open(file), dtype=float) / 255
    blocks = levels.reshape(4, PATCH, 6, PATCH, 3).transpose(0, 2, 1, 3, 4).reshape(24, PATCH, PATCH, 3)
    inner = blocks[:, 5:-5, 5:-5].reshape(24, -1, 3)
    light = srgb_decode(inner)
    covariance = np.array([np.cov(patch.T) / (len(patch) / 8) for patch in light])
    clipped = ((inner <= 0) | (inner >= 254.5 / 255)).mean(axis=1)
    return Shot(light.mean(axis=1), covariance, centre, clipped, truth, srgb_decode(levels[::3, ::3]))
