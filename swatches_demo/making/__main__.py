"""Make the demo again: `python -m swatches_demo.making [PICTURE…]`.

Writes references/, swatches/, meshes/, truth.csv and kit.toml beside this package. The same run gives the
same files.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter
from scipy.ndimage import uniform_filter

from palette.colour.spectra import reflectance_to_lab
from swatches_demo.making import film, meshes
from swatches_demo.making.film import Lighting, Surface, bell, power
from swatches_demo.making.kit import CARDS, kit_text
from swatches_demo.making.kit import PICTURES as SAMPLED
from swatches_demo.making.pigments import reflectance
from swatches_demo.making.ranges import bench_csv, bench_recipes, depot_csv
from swatches_demo.making.raycast import Seen, cast
from swatches_demo.making.scenes import SCENES, Scene

HOME = Path(__file__).parent.parent
OVER = 1.35  # rendered that much larger, then reduced

# What car 7 wore: volumes of pigment. None of these is a paint of the lists.
CAR: dict[str, dict[str, float]] = {
    "roof": {"white": 1, "black": 0.05, "ochre": 0.12},
    "upper": {"white": 1, "ochre": 0.06, "yellow": 0.02},
    "waist": {"crimson": 0.55, "vermilion": 0.5, "white": 0.05},
    "lining": {"ochre": 0.5, "yellow": 0.8, "white": 0.3},
    "rocker": {"umber": 0.8, "oxide": 0.9, "white": 0.2},
    "truck": {"white": 0.5, "black": 0.13, "umber": 0.25},
    "fender": {"vermilion": 1, "oxide": 0.15},
    "lifeguard": {"chrome-green": 0.5, "white": 0.7, "umber": 0.2},
    "destination": {"sea-green": 0.3, "black": 0.05, "umber": 0.25, "white": 0.05},
    "floor": {"umber": 1, "ochre": 0.8, "white": 0.15},
    "lamp": {"black": 1, "white": 0.1},
    "trolley": {"white": 0.45, "black": 0.22, "umber": 0.1},
}
BRASS = {"ochre": 0.6, "yellow": 0.7, "white": 0.5}
# The survivor was repainted in 1987; these parts differ.
REPAINTED: dict[str, dict[str, float]] = {
    "waist": {"vermilion": 1.0, "crimson": 0.25, "white": 0.05},
    "fender": {"black": 1, "umber": 0.5},
    "lifeguard": {"umber": 1, "white": 0.5},
}
ENAMEL = {
    "enamel-white": {"white": 1, "ochre": 0.01},
    "enamel-blue": {"ultramarine": 1, "white": 0.35},
    "enamel-red": {"vermilion": 1, "crimson": 0.2, "white": 0.05},
    "enamel-black": {"black": 1},
}
GLOSS = {
    "waist": 0.7,
    "dash": 0.7,
    "upper": 0.6,
    "rocker": 0.5,
    "lining": 0.6,
    "fender": 0.5,
    "roof": 0.0,
    "destination": 0.4,
    "truck": 0.2,
    "lamp": 0.6,
    "trolley": 0.2,
    "enamel-white": 0.8,
    "enamel-blue": 0.8,
    "enamel-red": 0.8,
    "enamel-black": 0.8,
}


def car_surfaces(paint: dict[str, dict[str, float]]) -> dict[str, Surface]:
    surfaces = {
        part: Surface(reflectance(recipe), GLOSS.get(part, 0.0), 0.02) for part, recipe in paint.items()
    }
    surfaces["dash"] = surfaces["waist"]
    return surfaces


def flat(level: float, slope: float = 0.0) -> np.ndarray:
    return level * (1 + slope * np.linspace(-1, 1, 31))


def scenery() -> dict[str, Surface]:
    brick = reflectance({"oxide": 1, "umber": 0.4, "white": 0.5})
    return {
        "glass": Surface(flat(0.035), 1.0),
        "inside": Surface(flat(0.10, 0.3)),
        "poles": Surface(reflectance(BRASS), 1.0),
        "rails": Surface(reflectance(BRASS), 1.0),
        "lens": Surface(flat(0.62), 1.0),
        "blind": Surface(reflectance({"white": 1, "ochre": 0.02})),
        "steel": Surface(flat(0.20, 0.05), 0.5, 0.1),
        "post": Surface(flat(0.12), 0.2),
        "setts": Surface(flat(0.21, 0.06), 0.0, 0.16, (0.24, 0.14)),
        "stone": Surface(flat(0.36, 0.08), 0.0, 0.08, (0.9, 0.4)),
        "brick": Surface(brick, 0.0, 0.15, (0.23, 0.075)),
        "boards": Surface(reflectance({"umber": 0.7, "ochre": 1, "white": 1.2}), 0.15, 0.10, (2.4, 0.16)),
        "ledge": Surface(reflectance({"umber": 1, "ochre": 0.8, "white": 0.15})),
        "dado": Surface(reflectance({"chrome-green": 0.3, "umber": 0.3, "white": 1.5}), 0.1, 0.02),
        "plaster": Surface(flat(0.62, 0.05), 0.0, 0.03),
        "crate": Surface(reflectance({"ochre": 0.8, "umber": 0.25, "white": 1.2}), 0.0, 0.12, (1.2, 0.155)),
        "drum": Surface(reflectance({"sky-blue": 0.5, "black": 0.1, "white": 0.8}), 0.2, 0.05),
        "mat": Surface(reflectance({"sea-green": 0.3, "black": 0.1, "white": 0.6}), 0.0, 0.02),
        "paper": Surface(flat(0.45, 0.02), 0.0, 0.01),
        "card-grey": Surface(flat(0.184)),
        "card-white": Surface(flat(0.88)),
    } | {name: Surface(reflectance(recipe), GLOSS[name]) for name, recipe in ENAMEL.items()}


class View:
    """A scene seen by a camera, rendered large; rectangles are found on the finished size."""

    def __init__(self, scene: Scene):
        self.width, self.height = scene.camera.width, scene.camera.height
        self.toward = scene.toward
        self.seen: Seen = cast(scene.shapes, scene.enlarged(OVER), scene.toward, scene.softness)

    def expose(
        self,
        surfaces: dict[str, Surface],
        lighting: Lighting,
        layers: np.ndarray,
        sky: float,
        blur: float,
        falloff: float,
        flare: float,
    ) -> np.ndarray:
        from scipy.ndimage import zoom

        big = film.expose(self.seen, surfaces, lighting, layers, sky)
        soft = film.lens(big, blur * OVER, falloff, flare)
        return np.maximum(
            zoom(soft, (self.height / soft.shape[0], self.width / soft.shape[1], 1), order=1), 0
        )

    def rect(self, material: str, most: int = 90, lit: bool = True) -> list[int]:
        """The largest well-lit rectangle [x, y, w, h] that shows only this material, off its edges."""
        mask = self.seen.index == self.seen.materials.index(material)
        light = uniform_filter(self.seen.sun + 0.5 * self.seen.sky, 9)  # a soft lamp's shadow is noisy
        if lit and mask.any():
            mask &= light > 0.6 * np.quantile(light[mask], 0.9)
        rows, columns = np.flatnonzero(mask.any(1)), np.flatnonzero(mask.any(0))
        if not len(rows):
            raise SystemExit(f"{material} is not to be seen")
        top, left = rows[0], columns[0]
        mask = mask[top : rows[-1] + 1, left : columns[-1] + 1]
        step = mask.cumsum(0).cumsum(1)
        step = np.pad(step, ((1, 0), (1, 0)))
        best = (0, [0, 0, 0, 0])
        limit = int(most * OVER)
        sizes = np.unique(np.geomspace(4, limit, 14).astype(int))
        for w in sizes:
            for h in sizes:
                if w * h <= best[0] or max(w, h) > 5 * min(w, h) or h > mask.shape[0] or w > mask.shape[1]:
                    continue
                total = step[h:, w:] - step[:-h, w:] - step[h:, :-w] + step[:-h, :-w]
                spot = int(total.argmax())
                if total.flat[spot] == w * h:
                    y, x = divmod(spot, total.shape[1])
                    best = (w * h, [x + left, y + top, w, h])
        x, y, w, h = (v / OVER for v in best[1])
        inset = min(3.0, 0.22 * min(w, h))
        return [round(x + inset), round(y + inset), round(w - 2 * inset), round(h - 2 * inset)]


def save(levels: np.ndarray, name: str, quality: int) -> None:
    path = HOME / "references" / name
    Image.fromarray(np.rint(np.clip(levels, 0, 1) * 255).astype(np.uint8)).save(
        path, quality=quality, subsampling=0
    )
    print(f"{path.name}: {path.stat().st_size / 1e3:.0f} kB")


RGB_FILM = np.column_stack([bell(640, 28), bell(548, 27), bell(445, 26)])
RGB_SENSOR = np.column_stack([bell(602, 36) + 0.05 * bell(440, 20), bell(538, 40), bell(456, 28)])
PAN = (0.9 * bell(425, 40) + 0.34 * bell(560, 45) + 0.30 * bell(628, 22))[:, None]
ORTHO = (1.0 * bell(430, 42) + 0.55 * bell(555, 20))[:, None]
SKY = power(7500.0)
SUN = power(5400.0)


def _matrix(layers: np.ndarray, under: np.ndarray) -> np.ndarray:
    """The 3x3 that a camera of these layers would be given: least squares on the car's own kind of paints."""
    from palette.colour.spaces import lab_to_linear

    patches = np.array([reflectance(recipe) for recipe in bench_recipes().values()])
    seen = patches @ (under[:, None] * layers / (power("D55")[:, None] * layers).sum(0))
    wanted = lab_to_linear(reflectance_to_lab(patches))
    return np.linalg.lstsq(seen, wanted, rcond=None)[0].T


def depot_slide(view: View) -> None:
    lamp = power(2900.0)
    lighting = Lighting(lamp, lamp, 0.62, 0.42, view.toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, RGB_FILM, 0.02, 0.9, 0.30, 0.010)
    save(film.slide(exposure * np.array([0.98, 1.10, 1.42]), 11), "depot-slide.jpg", 90)


def museum(view: View) -> None:
    window, room = power(6000.0), power(4400.0)
    lighting = Lighting(window, room, 0.50, 0.50, view.toward)
    surfaces = scenery() | car_surfaces(CAR | REPAINTED)
    exposure = view.expose(surfaces, lighting, RGB_SENSOR, 0.3, 0.8, 0.18, 0.006)
    matrix = _matrix(RGB_SENSOR, power(5000.0))
    save(film.digital(exposure * np.array([1.02, 1.0, 1.02]) * 1.2, matrix, 12), "museum.jpg", 90)


def press(view: View) -> None:
    lighting = Lighting(SUN, SKY, 0.85, 0.34, view.toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, PAN, 0.95, 0.9, 0.22, 0.012)
    save(film.silver(exposure, 2.7, -0.78, (0.05, 0.95), 0.8, 0.020, 13), "press.jpg", 88)


def plate(view: View) -> None:
    lighting = Lighting(SUN, SKY, 0.60, 0.55, view.toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, ORTHO, 1.0, 1.3, 0.35, 0.018)
    levels = film.silver(exposure, 2.5, -0.86, (0.07, 0.93), 1.1, 0.016, 14)
    save(levels, "plate.jpg", 88)


def postcard(view: View) -> None:
    """Hand-coloured: a grey print with washes laid over it, not quite in register."""
    from scipy.ndimage import zoom

    lighting = Lighting(SUN, SKY, 0.70, 0.45, view.toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, PAN, 1.0, 1.0, 0.2, 0.02)
    print_ = film.silver(exposure * 2.1, 2.4, -0.55, (0.16, 0.97), 0.9, 0.012, 15)
    washes = {
        "waist": (0.74, 0.20, 0.20),
        "dash": (0.74, 0.20, 0.20),
        "upper": (0.98, 0.90, 0.66),
        "roof": (0.78, 0.76, 0.72),
        "lining": (0.95, 0.80, 0.30),
        "rocker": (0.50, 0.34, 0.28),
        "brick": (0.86, 0.62, 0.50),
        "sky": (0.62, 0.78, 0.90),
        "setts": (0.80, 0.76, 0.70),
        "truck": (0.55, 0.52, 0.5),
        "stone": (0.88, 0.84, 0.74),
    }
    tint = np.ones((*view.seen.index.shape, 3))
    for i, name in enumerate(view.seen.materials):
        if name in washes:
            tint[view.seen.index == i] = washes[name]
    rng = np.random.default_rng(16)
    tint = np.stack(
        [
            np.asarray(Image.fromarray((c * 255).astype(np.uint8)).filter(ImageFilter.GaussianBlur(4)), float)
            / 255
            for c in np.moveaxis(tint, -1, 0)
        ],
        -1,
    )
    tint = np.pad(tint, ((4, 0), (0, 5), (0, 0)), mode="edge")[:-4, 5:]
    tint = zoom(tint, (view.height / tint.shape[0], view.width / tint.shape[1], 1), order=1)
    wash = film.grain((view.height, view.width, 1), 14, 17) * 0.03 + 1
    levels = print_[..., None] * (tint * wash) ** 0.9 * np.array([0.99, 0.955, 0.86])
    levels += rng.standard_normal((view.height, view.width, 1)) * 0.008
    save(levels, "postcard.jpg", 86)


def painted(view: View) -> None:
    """The first test print as painted: mostly the paints one would choose, the roof from the wrong pot."""
    made = bench_recipes()
    chosen = {
        "roof": made["Gull grey"],
        "upper": made["Ivory panel"],
        "waist": CAR["waist"],
        "lining": made["Harvest gold"],
        "rocker": made["Chandler's brown"],
        "truck": made["Truck grey"],
        "fender": made["Flagman red"],
        "lifeguard": made["Kelp"],
        "destination": made["Oilcloth green"],
        "floor": made["Wet sand"],
        "lamp": made["Lamp black"],
        "trolley": CAR["trolley"],
    }
    lighting = Lighting(power("LED-B3"), power("LED-B3"), 0.55, 0.42, view.toward)
    exposure = view.expose(scenery() | car_surfaces(chosen), lighting, RGB_SENSOR, 0.3, 0.7, 0.12, 0.005)
    matrix = _matrix(RGB_SENSOR, power(5000.0))
    save(film.digital(exposure * np.array([0.97, 1.0, 1.07]) * 1.25, matrix, 18), "test-print.jpg", 90)


PICTURES = {
    "depot-slide": depot_slide,
    "museum": museum,
    "press": press,
    "plate": plate,
    "postcard": postcard,
    "test-print": painted,
}


def truth_csv() -> str:
    rows = ["part,lab_l,lab_a,lab_b"]
    for part, recipe in {**CAR, "dash": CAR["waist"], "poles": BRASS, "rails": BRASS}.items():
        rows.append(",".join([part, *(f"{v:.3f}" for v in reflectance_to_lab(reflectance(recipe)))]))
    return "\n".join(rows) + "\n"


def main() -> None:
    for folder in ("references", "swatches"):
        (HOME / folder).mkdir(exist_ok=True)
    (HOME / "swatches" / "bench.csv").write_text(bench_csv(), "utf-8")
    (HOME / "swatches" / "depot.csv").write_text(depot_csv(), "utf-8")
    (HOME / "truth.csv").write_text(truth_csv(), "utf-8")
    chosen = sys.argv[1:] or list(PICTURES)
    samples = {id: parts for id, _, parts in SAMPLED}
    rects = {}
    for name in chosen:
        view = View(SCENES[name])
        PICTURES[name](view)
        stated = [m for m in (*CARDS, *ENAMEL) if m in view.seen.materials]
        rects[name] = {material: view.rect(material) for material in (*samples[name], *stated)}
        print(name, rects[name])
    anchors = {name: reflectance_to_lab(reflectance(recipe)) for name, recipe in ENAMEL.items()}
    if len(chosen) == len(PICTURES):
        (HOME / "kit.toml").write_text(kit_text(rects, anchors), "utf-8")
        meshes.write(HOME / "meshes")


if __name__ == "__main__":
    main()
