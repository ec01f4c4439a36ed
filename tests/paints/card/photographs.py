"""Made photographs of painted cards: the card as it is printed, painted over, seen by a camera at an angle.

Light, camera and handling are those of tests/benchmarks/photo/pictures.py: published reflectances, lights and
sensitivities, invented handling. Paper, ink and brushwork are invented.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

import cv2
import numpy as np
import typst
from PIL import Image
from scipy.ndimage import gaussian_filter

from palette.colour.spaces import lab_to_linear, srgb_encode
from palette.guide.card import content, source
from palette.paints.card import layout
from palette.typeset.pages import whole
from tests.benchmarks.photo import pictures

NM = pictures.NM
PPMM = 6  # pixels a millimetre of the printed page
PAGES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
PAPER = 0.86 + 0.03 * np.exp(-(((NM - 445) / 25) ** 2)) - 0.02 * (NM < 415)
INK = np.full(len(NM), 0.035)
TABLE = 0.25 + 0.15 * (NM - 400) / 300
GREY = np.full(len(NM), 0.18)  # L* 49.5


@dataclass(frozen=True)
class PlainCamera:
    """A camera that sees as CIE's observer does, with warm light left uncorrected by so much of log gain.

    It is asked for what it sees of spectra (…, 3): all before that is sums, which need no more of them.
    """

    exposure: float = 0.8
    warm: float = 0.0

    def sees(self) -> np.ndarray:
        """Linear sRGB of each wavelength alone: (61, 3)."""
        return lab_to_linear(pictures.lab_of(np.eye(len(NM)))) @ np.diag(
            self.exposure * np.exp([self.warm, 0, -1.5 * self.warm])
        )

    def __call__(self, seen: np.ndarray, place: np.ndarray) -> np.ndarray:
        return srgb_encode(np.clip(seen, 0, 1))


@dataclass(frozen=True)
class Scene:
    """A card on a table, the page's `corners` as fractions of the picture.

    `paints` is (box number, 'straight' or 'in white') -> reflectance (61,).
    """

    paints: Mapping[tuple[int, str], np.ndarray]
    sheet: int = 0
    paper: str = "a4"
    frame: str = "grey"  # what lies there: 'grey', 'chart', 'nothing'
    grey: np.ndarray = None  # type: ignore[assignment]
    size: tuple[int, int] = (1050, 1400)
    corners: Sequence[tuple[float, float]] = ((0.05, 0.04), (0.95, 0.04), (0.95, 0.96), (0.05, 0.96))
    turn: int = 0  # quarter turns of the finished photograph
    vignette: float = 0.0  # log light lost in the corners
    shadow: float = 0.0  # log light lost below a slanting edge
    glare: Mapping[tuple[int, str], float] = None  # type: ignore[assignment]  # sheen on boxes, as reflectance
    gaps: Mapping[tuple[int, str], float] = None  # type: ignore[assignment]  # share of a box left bare
    thin: Mapping[tuple[int, str], float] = None  # type: ignore[assignment]  # share of what is below that shows
    blur: float = 0.7  # pixels
    noise: float = 0.006
    quality: int = 90
    pages: int = 1  # cards laid side by side
    seed: int = 1


@cache
def _page(sheet: int, paper: str) -> np.ndarray:
    """Ink coverage of the printed page, 0..1."""
    words = json.dumps(content((sheet + 1) * layout.PER_SHEET, paper))
    pages = typst.compile(
        whole(source()),
        sys_inputs={"data": words},
        format="png",
        ppi=PPMM * 25.4,
    )
    page = pages[sheet] if isinstance(pages, list) else pages
    return 1 - np.asarray(Image.open(io.BytesIO(page)).convert("L"), dtype=np.float32) / 255


def chart_patches() -> list[tuple[layout.Rect, int]]:
    """A 24-patch chart, 14 mm from patch to patch, laid in the frame a little askew of its middle."""
    pitch, side = 14.3, 11.8
    x0, y0 = layout.PLACE.centre[0] - 2.5 * pitch + 4, layout.PLACE.centre[1] - 1.5 * pitch - 3
    return [
        (layout.Rect(x0 + c * pitch - side / 2, y0 + r * pitch - side / 2, side, side), r * 6 + c)
        for r in range(4)
        for c in range(6)
    ]


def _materials(scene: Scene) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Of the page: ink (h, w), index of what lies on it (h, w), how much of that hides (h, w), sheen (h, w),
    and the reflectances that the index counts (0 is bare paper)."""
    rng = np.random.default_rng(scene.seed)
    ink = _page(scene.sheet, scene.paper).copy()
    height, width = ink.shape
    index = np.zeros((height, width), dtype=np.uint8)
    cover = np.zeros((height, width), dtype=np.float32)
    sheen = np.zeros((height, width), dtype=np.float32)
    table = [PAPER]
    page = PAGES[scene.paper]
    left, top = (page[0] - layout.WIDTH) / 2, (page[1] - layout.HEIGHT) / 2

    def where(rect: layout.Rect) -> tuple[slice, slice]:
        x, y = (rect.x + left) * PPMM, (rect.y + top) * PPMM
        return slice(round(y), round(y + rect.height * PPMM)), slice(round(x), round(x + rect.width * PPMM))

    rects = {
        (pair.number, which): rect
        for pair in layout.pairs(scene.sheet)
        for which, rect in (("straight", pair.straight), ("in white", pair.tint))
    }
    for key, reflectance in scene.paints.items():
        rect = rects[key].inside(*rng.uniform(-0.4, 0.9, 4))
        at = where(rect)
        table.append(reflectance)
        index[at] = len(table) - 1
        cover[at] = 1 - (scene.thin or {}).get(key, 0.0)
        gap = (scene.gaps or {}).get(key, 0.0)
        if gap:
            holes = gaussian_filter(rng.normal(size=index[at].shape), 6)
            cover[at][holes < np.quantile(holes, gap)] = 0
        strength = (scene.glare or {}).get(key, 0.0)
        if strength:
            rows, columns = np.indices(index[at].shape)
            centre = np.array(index[at].shape) * [0.4, 0.6]
            far = ((rows - centre[0]) ** 2 + (columns - centre[1]) ** 2) / (2 * (3.0 * PPMM) ** 2)
            sheen[at] = strength * np.exp(-far)
    if scene.frame == "grey":
        table.append(GREY if scene.grey is None else scene.grey)
        at = where(layout.PLACE.inside(10, 7, 10, 7))
        index[at], cover[at] = len(table) - 1, 1
    elif scene.frame == "chart":
        table.append(np.full(len(NM), 0.035))
        at = where(layout.PLACE.inside(7, 2, 2, 8))
        index[at], cover[at] = len(table) - 1, 1
        for rect, patch in chart_patches():
            table.append(pictures.chart("BabelColor Average")[patch])
            index[where(rect)] = len(table) - 1
    return ink, index, cover, sheen, np.array(table)


def photograph(scene: Scene, shoot: Callable[[np.ndarray, np.ndarray], np.ndarray] | None = None) -> bytes:
    """The photograph as a JPEG."""
    shoot = PlainCamera() if shoot is None else shoot
    sees = shoot.sees() if isinstance(shoot, PlainCamera) else np.eye(len(NM))
    rng = np.random.default_rng(scene.seed + 1000)
    width, height = scene.size
    ink, index, cover, sheen, table = _materials(scene)
    if scene.pages > 1:
        ink, index, cover, sheen = (np.tile(each, (1, scene.pages)) for each in (ink, index, cover, sheen))
    edge = np.array([[0, 0], [ink.shape[1], 0], [ink.shape[1], ink.shape[0]], [0, ink.shape[0]]], np.float32)
    to = (np.array(scene.corners) * [width, height]).astype(np.float32)
    warp = cv2.getPerspectiveTransform(edge, to)
    soft = max(0.1, 0.5 * PPMM / (np.linalg.norm(to[1] - to[0]) / ink.shape[1] * PPMM))

    def flat(image: np.ndarray, how: int = cv2.INTER_LINEAR) -> np.ndarray:
        return cv2.warpPerspective(image, warp, (width, height), flags=how)

    ink = flat(gaussian_filter(ink, soft))
    cover, sheen = flat(cover), flat(sheen)
    index = flat(index, cv2.INTER_NEAREST)
    on_page = flat(np.ones(edge[2].astype(int)[::-1], dtype=np.float32)) > 0.5
    brush = 1 + 0.02 * gaussian_filter(rng.normal(size=(height, width)), (0.6, 6)) / 0.1
    rows, columns = np.indices((height, width))
    place = np.stack([(columns + 0.5) / width, (rows + 0.5) / height], axis=-1)
    radius = ((place - 0.5) ** 2).sum(axis=-1) / 0.5
    fall = -scene.vignette * radius - scene.shadow / (1 + np.exp(-(place @ [0.5, 1.0] - 0.8) * 120))
    out = np.empty((height, width, 3))
    table, paper, black, ground, white = (
        spectra @ sees for spectra in (table, PAPER, INK, TABLE, np.ones(len(NM)))
    )
    for top in range(0, height, 50):
        part = slice(top, top + 50)
        bare = paper * (1 - ink[part, :, None]) + black * ink[part, :, None]
        paint = table[index[part]] * brush[part, :, None]
        hides = cover[part, :, None] * (index[part, :, None] > 0)
        page = bare * (1 - hides) + paint * hides + sheen[part, :, None] * white
        seen = np.where(on_page[part, :, None], page, ground)
        seen = seen * np.exp(fall[part])[..., None]
        out[part] = shoot(seen.reshape(-1, sees.shape[1]), place[part].reshape(-1, 2)).reshape(
            *seen.shape[:2], 3
        )
    out = gaussian_filter(out, (scene.blur, scene.blur, 0)) + rng.normal(0, scene.noise, out.shape)
    image = Image.fromarray(np.rint(np.clip(out, 0, 1) * 255).astype(np.uint8))
    file = io.BytesIO()
    image.rotate(90 * scene.turn, expand=True).save(file, "JPEG", quality=scene.quality)
    return file.getvalue()


def some_paints(count: int, rng: np.random.Generator, sheet: int = 0) -> dict[tuple[int, str], np.ndarray]:
    """`count` pairs of held-back surfaces as paints and, half-way to white, as their let-downs."""
    chosen = pictures.surfaces(pictures.HELD)
    chosen = chosen[rng.choice(len(chosen), count, replace=False)]
    paints = {}
    for i, reflectance in enumerate(chosen):
        number = sheet * layout.PER_SHEET + i + 1
        paints[number, "straight"] = reflectance
        paints[number, "in white"] = np.sqrt(reflectance * 0.88)
    return paints


__all__ = ["PlainCamera", "Scene", "chart_patches", "photograph", "replace", "some_paints"]
