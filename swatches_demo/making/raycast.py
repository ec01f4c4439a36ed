"""A small ray caster: boxes and cylinders to per-pixel surface, normal, sunlight and sky light.

It knows nothing of colour: what it returns is geometry, so that one scene can be lit and
photographed in several ways (film.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

Array = np.ndarray


@dataclass(frozen=True)
class Shape:
    """A unit cube or unit cylinder (axis y), put in place by `matrix` (3, 3) and `offset` (3,)."""

    kind: str  # box | cylinder
    matrix: Array
    offset: Array
    material: str

    def corners(self) -> Array:
        unit = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], dtype=float)
        return unit @ self.matrix.T + self.offset


def box(low: tuple[float, float, float], high: tuple[float, float, float], material: str) -> Shape:
    a, b = np.array(low, float), np.array(high, float)
    return Shape("box", np.diag((b - a) / 2), (a + b) / 2, material)


def rod(
    start: tuple[float, float, float], end: tuple[float, float, float], radius: float, material: str
) -> Shape:
    a, b = np.array(start, float), np.array(end, float)
    axis = (b - a) / 2
    along = axis / np.linalg.norm(axis)
    side = np.cross(along, [1.0, 0.0, 0.0] if abs(along[0]) < 0.9 else [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    matrix = np.column_stack([side * radius, axis, np.cross(side, along) * radius])
    return Shape("cylinder", matrix, (a + b) / 2, material)


def drum(
    centre: tuple[float, float, float], radii: tuple[float, float], height: float, axis: str, material: str
) -> Shape:
    """An elliptical cylinder along x or y; `radii` are its half axes across."""
    if axis == "y":
        matrix = np.diag([radii[0], height / 2, radii[1]])
    else:
        matrix = np.array([[0, height / 2, 0], [radii[0], 0, 0], [0, 0, radii[1]]], float)
    return Shape("cylinder", matrix, np.array(centre, float), material)


def hit(shape: Shape, origin: Array, direction: Array) -> tuple[Array, Array]:
    """Distance (n,) along each ray, infinite where it misses, and the unit normal (n, 3)."""
    inverse = np.linalg.inv(shape.matrix)
    o = ((origin - shape.offset) @ inverse.T).astype(np.float32)
    d = (direction @ inverse.T).astype(np.float32)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        if shape.kind == "box":
            t0, t1 = (-1 - o) / d, (1 - o) / d
            near, far = np.minimum(t0, t1), np.maximum(t0, t1)
            enter, leave = near.max(-1), far.min(-1)
            t = np.where((enter < leave) & (enter > 1e-4) & (enter < 1e3), enter, np.inf)
            axis = near.argmax(-1)
            normal = np.zeros_like(d)
            rows = np.arange(len(d))
            normal[rows, axis] = -np.sign(d[rows, axis])
        else:
            a = d[:, 0] ** 2 + d[:, 2] ** 2
            b = o[:, 0] * d[:, 0] + o[:, 2] * d[:, 2]
            c = o[:, 0] ** 2 + o[:, 2] ** 2 - 1
            root = np.sqrt(b * b - a * c)
            side = (-b - root) / a
            y = o[:, 1] + side * d[:, 1]
            side = np.where((np.abs(y) <= 1) & (side > 1e-4) & (side < 1e3), side, np.inf)
            cap = (-np.sign(d[:, 1]) - o[:, 1]) / d[:, 1]
            px, pz = o[:, 0] + cap * d[:, 0], o[:, 2] + cap * d[:, 2]
            cap = np.where((px**2 + pz**2 <= 1) & (cap > 1e-4) & (cap < 1e3), cap, np.inf)
            side = np.nan_to_num(side, nan=np.inf, posinf=np.inf)
            cap = np.nan_to_num(cap, nan=np.inf, posinf=np.inf)
            t = np.minimum(side, cap)
            on_side = side <= cap
            finite = np.where(np.isfinite(t), t, 0)
            normal = np.stack(
                [
                    np.where(on_side, o[:, 0] + finite * d[:, 0], 0),
                    np.where(on_side, 0, -np.sign(d[:, 1])),
                    np.where(on_side, o[:, 2] + finite * d[:, 2], 0),
                ],
                -1,
            )
    world = np.where(np.isfinite(t)[:, None], normal, 0) @ inverse
    world /= np.maximum(np.linalg.norm(world, axis=-1, keepdims=True), 1e-9)
    return t, world


@dataclass(frozen=True)
class Camera:
    eye: tuple[float, float, float]
    target: tuple[float, float, float]
    lens: float  # focal length over half the picture's width
    width: int
    height: int

    def axes(self) -> tuple[Array, Array, Array]:
        forward = np.array(self.target, float) - self.eye
        forward /= np.linalg.norm(forward)
        right = np.cross(forward, [0.0, 1.0, 0.0])
        right /= np.linalg.norm(right)
        return forward, right, np.cross(right, forward)

    def rays(self) -> Array:
        forward, right, up = self.axes()
        u = (np.arange(self.width) + 0.5) / self.width * 2 - 1
        v = (1 - (np.arange(self.height) + 0.5) / self.height * 2) * self.height / self.width
        rays = forward * self.lens + u[None, :, None] * right + v[:, None, None] * up
        return (rays / np.linalg.norm(rays, axis=-1, keepdims=True)).astype(np.float32)

    def project(self, points: Array) -> Array:
        """World points (n, 3) to pixels (n, 2)."""
        forward, right, up = self.axes()
        offset = np.asarray(points, float) - self.eye
        depth = np.maximum(offset @ forward, 1e-3)
        u = offset @ right / depth * self.lens
        v = offset @ up / depth * self.lens * self.width / self.height
        return np.stack([(u + 1) / 2 * self.width, (1 - v) / 2 * self.height], -1)


@dataclass(frozen=True)
class Seen:
    """Per pixel (h, w): the material's index, where and how the surface lies, and what light reaches it."""

    materials: tuple[str, ...]  # index -> name; index 0 is the sky
    index: Array
    point: Array  # (h, w, 3)
    normal: Array  # (h, w, 3)
    view: Array  # (h, w, 3), from the eye
    sun: Array  # 0..1, cosine law and cast shadow
    sky: Array  # 0..1, share of the sky that reaches it


def _blocked(shapes: list[Shape], origin: Array, direction: Array) -> Array:
    blocked = np.zeros(len(origin), bool)
    for shape in shapes:
        open_ = np.flatnonzero(~blocked)
        if open_.size == 0:
            break
        reach = np.linalg.norm(shape.corners() - shape.offset, axis=-1).max()
        if reach < 6:  # leave out the rays that pass its bounding sphere by
            o, d = origin[open_].T, direction[open_].T
            x, y, z = (at - np.float32(c) for at, c in zip(o, shape.offset, strict=True))
            along = -(x * d[0] + y * d[1] + z * d[2])
            open_ = open_[(x * x + y * y + z * z - along * along < reach**2) & (along > -reach)]
            if open_.size == 0:
                continue
        t, _ = hit(shape, origin[open_], direction[open_])
        blocked[open_[np.isfinite(t)]] = True
    return blocked


def look(
    shapes: list[Shape], camera: Camera, windows: Sequence[tuple[int, int, int, int]] | None = None
) -> tuple[tuple[str, ...], Array, Array, Array]:
    """What lies behind each pixel (h, w): the names of the materials, the material's index into them,
    the distance along the ray (infinite for sky) and the normal (h, w, 3). With `windows`, boxes of pixels
    (x0, y0, x1, y1), it is looked for in these only."""
    names = ("sky", *dict.fromkeys(shape.material for shape in shapes))
    rays = camera.rays()
    h, w = camera.height, camera.width
    eye = np.array(camera.eye, np.float32)
    depth = np.full((h, w), np.inf, np.float32)
    index = np.zeros((h, w), np.int16)
    normal = np.zeros((h, w, 3), np.float32)
    for shape in shapes:
        spots = camera.project(shape.corners())
        behind = ((shape.corners() - camera.eye) @ camera.axes()[0] < 0.1).any()
        low = (0, 0) if behind else np.floor(spots.min(0)).astype(int)
        high = (w, h) if behind else np.ceil(spots.max(0)).astype(int) + 1
        for left, top, right, bottom in windows or [(0, 0, w, h)]:
            x0, y0 = np.clip(low, (left, top), (right, bottom))
            x1, y1 = np.clip(high, (left, top), (right, bottom))
            if x1 <= x0 or y1 <= y0:
                continue
            view = rays[y0:y1, x0:x1].reshape(-1, 3)
            t, n = hit(shape, eye[None].repeat(len(view), 0), view)
            t, n = t.reshape(y1 - y0, x1 - x0), n.reshape(y1 - y0, x1 - x0, 3)
            nearer = t < depth[y0:y1, x0:x1]
            depth[y0:y1, x0:x1][nearer] = t[nearer]
            index[y0:y1, x0:x1][nearer] = names.index(shape.material)
            normal[y0:y1, x0:x1][nearer] = n[nearer]
    return names, index, depth, normal


def cast(
    shapes: list[Shape], camera: Camera, sun: tuple[float, float, float], softness: float = 0.03
) -> Seen:
    """What the camera sees, and what light reaches it. `softness` widens the sun into a lamp of that
    angular radius."""
    names, index, depth, normal = look(shapes, camera)
    rays = camera.rays()
    h, w = camera.height, camera.width
    eye = np.array(camera.eye, np.float32)
    solid = index > 0
    point = eye + rays * np.where(solid, depth, 0)[..., None]

    rng = np.random.default_rng(7)
    start = (point + normal * 2e-3)[solid]
    facing = normal[solid]
    toward = np.array(sun, float) / np.linalg.norm(sun)
    lit = np.zeros(len(start), np.float32)
    passes = 2
    for _ in range(passes):
        jitter = toward + softness * rng.standard_normal((len(start), 3))
        jitter /= np.linalg.norm(jitter, axis=-1, keepdims=True)
        cosine = (facing * jitter).sum(-1)
        turned = np.flatnonzero(cosine > 0)  # the rest is in its own shade
        clear = ~_blocked(shapes, start[turned], jitter[turned].astype(np.float32))
        lit[turned] += clear * cosine[turned] / passes
    sunlight = np.zeros((h, w), np.float32)
    sunlight[solid] = lit

    sky = np.zeros((h, w), np.float32)
    coarse = (slice(None, None, 3), slice(None, None, 3))
    few = solid[coarse]
    start, facing = (point + normal * 4e-3)[coarse][few], normal[coarse][few]
    open_sky = np.zeros(len(start), np.float32)
    for _ in range(10):
        direction = rng.standard_normal((len(start), 3))
        direction /= np.linalg.norm(direction, axis=-1, keepdims=True)
        direction = facing + direction * 0.98
        direction /= np.linalg.norm(direction, axis=-1, keepdims=True)
        clear = ~_blocked(shapes, start, direction.astype(np.float32))
        open_sky += np.where(clear, np.clip(0.55 + 0.65 * direction[:, 1], 0.12, 1.0), 0.10) / 10
    from scipy.ndimage import gaussian_filter, zoom

    small = np.zeros(few.shape, np.float32)
    small[few] = open_sky
    ids = index[coarse]
    smooth = np.zeros_like(small)
    for material in np.unique(ids[few]):  # smooth within a material, so that edges stay clean
        mask = (ids == material).astype(np.float32)
        smooth += mask * gaussian_filter(small * mask, 4) / np.maximum(gaussian_filter(mask, 4), 1e-3)
    sky = zoom(smooth, (h / small.shape[0], w / small.shape[1]), order=0)[:h, :w] * solid
    return Seen(names, index, point, normal, rays, sunlight, sky.astype(np.float32))
