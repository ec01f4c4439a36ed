"""Learn the camera model's prior from made pictures: python -m tests.benchmarks.photo.learn

Writes palette/pictures/correction/models/prior.npz.
Only the tuning half of surfaces, cameras, lights and tones is used. Seeded; takes about a minute.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from scipy.optimize import minimize

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_decode
from palette.pictures.correction.models import camera
from palette.pictures.correction.posterior import Stray, jacobian
from tests.benchmarks.photo.pictures import TUNING, lab_of, make, surfaces

OUT = Path(camera.__file__).with_name("prior.npz")
SEED = 1931


def weigher(lab: np.ndarray) -> np.ndarray:
    """1 / sd (n, 3, 3) by which what is left over is weighed while fitting: roughly CIEDE2000's own."""
    stray = Stray(np.array([[1.2, 0, 0], [1.2, 0, 0.06], [1.2, 0, 0.03]]), np.ones(2), 0.0)
    return np.linalg.inv(stray.roots(lab))


def dense(levels: np.ndarray, place: np.ndarray, lab: np.ndarray, mean, covariance, follow):
    """The map of one picture, fitted on many surfaces: θ (18,), what is left (n, 3), which counted (n,)."""
    linear = srgb_decode(levels)
    used = (levels > 2.5 / 255).all(axis=1) & (levels < 252.5 / 255).all(axis=1)
    if used.sum() < 40:
        return None
    weigh = weigher(lab[used])
    prec = np.linalg.inv(covariance)
    theta = mean.copy()
    theta[camera.GAIN] = gains_from(linear[used], lab[used])

    def function(t, x, p):
        return linear_to_lab(camera.undo(t, x, p, follow))

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


def undo_matrix(balanced: np.ndarray, entries: np.ndarray) -> np.ndarray:
    off = np.zeros((3, 3))
    for n, (row, column) in enumerate(camera.OFF):
        off[row, column] = entries[n]
        off[row, row] -= entries[n]
    return balanced + balanced @ off.T


def even(plain: bool, count: int, seed: int) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Evenly lit warm pictures: gains from a middle grey, balanced readings and truths of the rest."""
    table = np.concatenate([surfaces(TUNING)[::2], np.full((1, 61), 0.35)])
    lab, out = lab_of(table), []
    for i in range(count):
        made = make(TUNING, np.random.default_rng([seed, i]), True, plain)
        linear = srgb_decode(np.rint(made.render(table, np.full((len(table), 2), 0.5)) * 255) / 255)
        used = ((linear > 0.0007) & (linear < 0.97)).all(axis=1)
        if used[-1] and used.sum() > 10:
            sensed = linear[used] @ camera.SENSOR.T
            gain = np.log((lab_to_linear(lab[-1]) @ camera.SENSOR.T) / sensed[-1])
            out.append((gain, (sensed * np.exp(gain)) @ np.linalg.inv(camera.SENSOR).T, lab[used]))
    return out


def expect(pictures: list, fixed: np.ndarray | None) -> np.ndarray:
    """What the matrix should be expected to be from one grey: a part that follows the gains (6, 6), or with
    that `fixed` an offset (6,), for the least mean square-root CIEDE2000."""

    def cost(p: np.ndarray) -> float:
        table, offset = (np.zeros((6, 6)), p) if fixed is not None else (np.zeros((6, 6)), np.zeros(6))
        if fixed is not None:
            table = fixed
        else:
            table[:, :3] = p.reshape(6, 3)
        errors = [
            difference(
                linear_to_lab(undo_matrix(balanced, offset + camera.matrix_features(gain) @ table.T))[:-1],
                lab[:-1],
            )
            for gain, balanced, lab in pictures
        ]
        return float(np.mean(np.sqrt(np.concatenate(errors) + 0.2)))

    size = 18 if fixed is None else 6
    found = minimize(cost, np.zeros(size), method="L-BFGS-B", options={"maxiter": 25, "eps": 1e-4}).x
    if fixed is not None:
        return found
    table = np.zeros((6, 6))
    table[:, :3] = found.reshape(6, 3)
    return table


def main(count: int = 1000) -> None:
    rng = np.random.default_rng(SEED)
    shots = list(pictures(count, rng))
    wide = np.diag([0.3, 0.5, 0.5, 0.2, 0.2, 0.3, 1, 1, 1, 0.02, 0.02, 0.02, *[0.25] * 6]) ** 2
    narrow = wide.copy()
    narrow[camera.TONE, camera.TONE] = np.eye(3) * 0.01**2
    means, covariances = np.zeros((2, camera.SIZE)), np.array([narrow, wide])
    follow = expect(even(True, 200, SEED), None)
    offsets = np.zeros(6), expect(even(False, 200, SEED), follow)
    print("matrix follows", follow[:, :3].round(3).tolist(), "look adds", offsets[1].round(3))
    for turn in range(3):
        found = [
            (look, dense(*shot, means[look], covariances[look], follow))
            for look, shot in ((0 if plain else 1, shot) for plain, *shot in shots)
        ]
        looks = np.array([look for look, one in found if one is not None])
        found = [one for _, one in found if one is not None]
        thetas = np.array([theta for theta, _, _ in found])
        rms = np.array(
            [np.sqrt((np.einsum("nij,nj->ni", weigher(lab), left) ** 2).mean()) for _, left, lab in found]
        )
        good = rms < np.quantile(rms, 0.95)
        for look in (0, 1):
            own = thetas[good & (looks == look)]
            means[look] = np.median(own, axis=0)
            means[look][camera.MATRIX] = offsets[look]
            spread = np.clip(own - means[look], *np.quantile(own - means[look], [0.01, 0.99], axis=0))
            covariances[look] = np.cov(spread.T) + 1e-5 * np.eye(camera.SIZE)
            print(turn, look, len(own), "rms", np.quantile(rms[looks == look], [0.1, 0.5, 0.9]).round(2))
            print("  mean", means[look].round(3), "\n  sd  ", np.sqrt(np.diag(covariances[look])).round(3))
    # what the matrix is expected to be follows the gains by `expect`; the rest of it goes with nothing else
    own = covariances[:, camera.MATRIX, camera.MATRIX].copy()
    covariances[:, camera.MATRIX, :] = 0
    covariances[:, :, camera.MATRIX] = 0
    covariances[:, camera.MATRIX, camera.MATRIX] = own
    means[:, camera.FALL] = 0
    covariances[:, camera.FALL, :] = 0
    covariances[:, :, camera.FALL] = 0
    covariances[:, camera.FALL, camera.FALL] = np.diag([0.15, 0.15, 0.2]) ** 2
    # what is left over, as shares of lightness, chroma and hue
    rows = []
    for _, left, lab in found:
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
        follow=follow,
        stray=np.array([[0.34, 0.30, 0.007], [0.95, 2.3, 0.061], [0.86, 1.8, 0.055]]),
        reach=np.array([45.0, 10.3, 0.76]),
        spread=np.array([0.20, 0.40]),
    )


if __name__ == "__main__":
    main()
