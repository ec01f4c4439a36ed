"""Learn the camera model's prior from made pictures: python -m tests.benchmarks.photo.learn

Writes palette/evidence/correction/models/prior.npz.
Only the tuning half of surfaces, cameras, lights and tones is used. Seeded; takes about a minute.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares, minimize

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_decode
from palette.evidence.correction.models import camera
from palette.evidence.correction.posterior import Residual, jacobian
from tests.benchmarks.photo.pictures import TUNING, lab_of, make, sensed, surfaces

OUT = Path(camera.__file__).with_name("prior.npz")
SEED = 1931
SCALE = np.geomspace(0.06, 0.85, 7)  # reflectances of a scale of greys


def weigher(lab: np.ndarray) -> np.ndarray:
    """1 / sd (n, 3, 3) by which what is left over is weighed while fitting: roughly CIEDE2000's own."""
    residual = Residual(np.array([[1.2, 0, 0], [1.2, 0, 0.06], [1.2, 0, 0.03]]), np.ones(2), 0.0)
    return np.linalg.inv(residual.roots(lab))


def dense(levels: np.ndarray, place: np.ndarray, lab: np.ndarray, mean, covariance):
    """The map of one picture, fitted on many surfaces: θ (19,), what is left (n, 3), which counted (n,)."""
    linear = srgb_decode(levels)
    used = (levels > 2.5 / 255).all(axis=1) & (levels < 252.5 / 255).all(axis=1)
    if used.sum() < 40:
        return None
    weigh = weigher(lab[used])
    prec = np.linalg.inv(covariance)
    theta = mean.copy()
    theta[camera.GAIN] = gains_from(linear[used], lab[used])

    def function(t, x, p):
        return linear_to_lab(camera.undo(t, x, p))

    for _ in range(15):
        base, slope = jacobian(function, theta, linear[used], place[used])
        left = np.einsum("nij,nj->ni", weigh, lab[used] - base).ravel()
        a = np.einsum("nij,njp->nip", weigh, slope).reshape(left.size, -1)
        # surfaces off by more than a few sd count for less: saturated ones that the renderer cut off
        pull = 1 / np.sqrt(1 + (left / 3) ** 2)
        a, b = a * pull[:, None], left * pull
        step = np.linalg.solve(a.T @ a + prec, a.T @ b - prec @ (theta - mean))
        theta = theta + np.clip(step, -0.5, 0.5)
        if np.abs(step).max() < 1e-3:
            break
    base = function(theta, linear[used], place[used])
    return theta, lab[used] - base, lab[used]


def gains_from(linear: np.ndarray, lab: np.ndarray) -> np.ndarray:
    want = np.maximum(lab_to_linear(lab) @ camera.SENSOR.T, 1e-3)
    return np.median(np.log(want / np.maximum(linear @ camera.SENSOR.T, 1e-3)), axis=0)


def pictures(count: int, rng: np.random.Generator):
    table = surfaces(TUNING)
    grey = np.linspace(0.03, 0.9, 12)[:, None] * np.ones(table.shape[1])
    table = np.concatenate([table, grey])
    lab = lab_of(table)
    for _ in range(count):
        plain = rng.random() < 0.4
        made = make(TUNING, rng, rng.random() < 0.5, plain)
        place = rng.uniform(0, 1, (len(table), 2))
        yield plain, np.rint(made.render(table, place) * 255) / 255, place, lab


@dataclass(frozen=True)
class Lit:
    """An evenly lit warm picture: linear light and CIELAB of surfaces, and of a scale of greys in it."""

    light: np.ndarray
    lab: np.ndarray
    grey: np.ndarray
    grey_lab: np.ndarray

    def balanced(self, sensor: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Log gains (3,) by the greys in the channels of `sensor`, and the surfaces' linear light then."""
        want = lab_to_linear(self.grey_lab) @ sensor.T
        gain = np.log(np.maximum(want / (self.grey @ sensor.T), 1e-6)).mean(axis=0)
        return gain, (self.light @ sensor.T * np.exp(gain)) @ np.linalg.inv(sensor).T


def even(count: int, seed: int) -> list[Lit]:
    table = surfaces(TUNING)
    lab = lab_of(table)
    # other greys would only hold the matrix where its rows hold it already
    table = np.concatenate([table[np.hypot(lab[:, 1], lab[:, 2]) > 15], SCALE[:, None] * np.ones(61)])
    lab, out, count_ = lab_of(table), [], len(SCALE)
    for i in range(count):
        made = make(TUNING, np.random.default_rng([seed, i]), True, True)
        linear = srgb_decode(np.rint(made.render(table, np.full((len(table), 2), 0.5)) * 255) / 255)
        used = ((linear > 0.0007) & (linear < 0.97)).all(axis=1)
        if used[-count_:].all() and used.sum() > 10 + count_:
            kept = used[:-count_]
            out.append(Lit(linear[:-count_][kept], lab[:-count_][kept], linear[-count_:], lab[-count_:]))
    return out


def channels(pictures: list[Lit]) -> np.ndarray:
    """The channels (3, 3) in which gains alone do best for saturated colours, by the mean square root of
    CIEDE2000: camera.SENSOR."""

    def table(p: np.ndarray) -> np.ndarray:
        out = np.eye(3)
        for entry, (row, column) in zip(p, camera.OFF, strict=True):
            out[row, column] = entry
            out[row, row] -= entry
        return out

    def cost(p: np.ndarray) -> float:
        sensor = table(p)
        off = [difference(linear_to_lab(one.balanced(sensor)[1]), one.lab) for one in pictures]
        return float(np.mean([np.sqrt(one + 0.2).mean() for one in off]))

    start = [camera.SENSOR[place] for place in camera.OFF]
    return table(minimize(cost, start, method="L-BFGS-B", options={"maxiter": 20, "eps": 1e-3}).x)


def native(count: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """From a sensor's own channels, balanced, to linear sRGB: the middle (3, 3) of what the tuning half's
    cameras want under its lights, half of them warm, and the covariance (6, 6) of what each adds to it
    beside the diagonal. Fitted robustly, eight surfaces counting as one, for they are off alike."""
    table = surfaces(TUNING)
    lab = lab_of(table)
    weigh = weigher(lab)
    lights = [sensed(TUNING, np.random.default_rng([seed, i]), i % 2 == 1, table) for i in range(count)]
    middle, spread = camera.matrix_of(np.array([-0.6, -0.1, -0.3, -0.3, 0.0, -0.8])), 0.25 * np.eye(6)
    for _ in range(4):
        root = np.linalg.cholesky(np.linalg.inv(spread)).T

        def left(entries: np.ndarray, light: np.ndarray, root: np.ndarray = root) -> np.ndarray:
            off = linear_to_lab(light @ camera.matrix_of(entries).T) - lab
            z = np.einsum("nij,nj->ni", weigh, off).ravel()
            pulled = np.sign(z) * np.sqrt(2 * 9 * (np.sqrt(1 + z**2 / 9) - 1) / 8)
            return np.concatenate([pulled, root @ entries])

        own = np.array([least_squares(left, np.zeros(6), args=(light @ middle.T,)).x for light in lights])
        middle = camera.matrix_of(np.median(own, axis=0)) @ middle
        spread = np.cov(own.T) + 1e-4 * np.eye(6)
    return middle, spread


def main(count: int = 500) -> None:
    rng = np.random.default_rng(SEED)
    shots = list(pictures(count, rng))
    wide = np.diag([0.3, 0.3, 0.3, 0.3, 0.2, 0.2, 0.3, 1, 1, 1, 0.02, 0.02, 0.02, *[0.25] * 6]) ** 2
    narrow = wide.copy()
    narrow[camera.TONE, camera.TONE] = np.eye(4) * 0.01**2
    means, covariances = np.zeros((2, camera.SIZE)), np.array([narrow, wide])
    print("channels", channels(even(120, SEED)).round(3).tolist())
    middle, spread_of_native = native(80, SEED)
    print("sensors", middle.round(3).tolist(), np.sqrt(np.diag(spread_of_native)).round(3))
    for turn in range(3):
        fitted = [
            (look, dense(*shot, means[look], covariances[look]))
            for look, shot in ((0 if plain else 1, shot) for plain, *shot in shots)
        ]
        looks = np.array([look for look, one in fitted if one is not None])
        fitted = [one for _, one in fitted if one is not None]
        thetas = np.array([theta for theta, _, _ in fitted])
        rms = np.array(
            [np.sqrt((np.einsum("nij,nj->ni", weigher(lab), left) ** 2).mean()) for _, left, lab in fitted]
        )
        good = rms < np.quantile(rms, 0.95)
        for look in (0, 1):
            own = thetas[good & (looks == look)]
            means[look] = np.median(own, axis=0)
            means[look][camera.MATRIX] = 0
            spread = np.clip(own - means[look], *np.quantile(own - means[look], [0.01, 0.99], axis=0))
            covariances[look] = np.cov(spread.T) + 1e-5 * np.eye(camera.SIZE)
            print(turn, look, len(own), "rms", np.quantile(rms[looks == look], [0.1, 0.5, 0.9]).round(2))
            print("  mean", means[look].round(3), "\n  sd  ", np.sqrt(np.diag(covariances[look])).round(3))
    # the matrix goes with nothing else: what it seems to follow here does not hold on real photographs
    # Half of its variance is what one picture's surfaces are off by together, which `residual` has already:
    # the tuning half's unseen surfaces are best foretold without it.
    own = covariances[:, camera.MATRIX, camera.MATRIX] / 2
    covariances[:, camera.MATRIX, :] = 0
    covariances[:, :, camera.MATRIX] = 0
    covariances[:, camera.MATRIX, camera.MATRIX] = own
    # of looks, less what comes of tones all by channel or all by brightness: the model stands between
    covariances[1, camera.MATRIX, camera.MATRIX] *= 0.6
    means[:, camera.FALL] = 0
    covariances[:, camera.FALL, :] = 0
    covariances[:, :, camera.FALL] = 0
    covariances[:, camera.FALL, camera.FALL] = np.diag([0.15, 0.15, 0.2]) ** 2
    # renderers' tones are more various than the bench's
    covariances[1, camera.TONE] *= np.sqrt(2)
    covariances[1, :, camera.TONE] *= np.sqrt(2)
    # what is left over, as shares of lightness, chroma and hue
    rows = []
    for _, left, lab in fitted:
        chroma = np.hypot(lab[:, 1], lab[:, 2])
        unit = lab[:, 1:] / np.maximum(chroma, 1e-6)[:, None]
        along = (left[:, 1:] * unit).sum(axis=1)
        across = left[:, 2] * unit[:, 0] - left[:, 1] * unit[:, 1]
        rows.append(np.column_stack([left[:, 0], along, across, chroma]))
    table = np.concatenate(rows)
    for low, high in ((0, 5), (5, 15), (15, 30), (30, 50), (50, 80), (80, 130)):
        part = table[(table[:, 3] >= low) & (table[:, 3] < high)]
        print(low, high, len(part), "sd(68 %)", np.quantile(np.abs(part[:, :3]), 0.68, axis=0).round(2))
    np.savez(
        OUT,
        mean=means,
        covariance=covariances,
        residual=np.array([[0.50, 0.30, 0.007], [0.95, 2.3, 0.061], [0.86, 1.8, 0.055]]),
        reach=np.array([45.0, 10.3, 0.76]),
        spread=np.array([[-0.05, 0.15], [-0.05, 0.15]]),
        native=middle,
        native_spread=spread_of_native,
    )


if __name__ == "__main__":
    main()
