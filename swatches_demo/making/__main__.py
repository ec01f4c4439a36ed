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
from swatches_demo.making import film, meshes, tram
from swatches_demo.making.film import Lighting, Surface, bell, power
from swatches_demo.making.kit import kit_text
from swatches_demo.making.pigments import reflectance
from swatches_demo.making.ranges import bench_csv, bench_recipes, depot_csv
from swatches_demo.making.raycast import Camera, Seen, Shape, cast

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
}
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
        "brass": Surface(reflectance({"ochre": 0.6, "yellow": 0.7, "white": 0.5}), 1.0),
        "lamp": Surface(reflectance({"black": 1, "white": 0.1}), 0.6),
        "lens": Surface(flat(0.62), 1.0),
        "blind": Surface(reflectance({"white": 1, "ochre": 0.02})),
        "steel": Surface(flat(0.20, 0.05), 0.5, 0.1),
        "post": Surface(flat(0.12), 0.2),
        "setts": Surface(flat(0.21, 0.06), 0.0, 0.16, (0.24, 0.14)),
        "stone": Surface(flat(0.36, 0.08), 0.0, 0.08, (0.9, 0.4)),
        "brick": Surface(brick, 0.0, 0.15, (0.23, 0.075)),
        "boards": Surface(reflectance({"umber": 0.7, "ochre": 1, "white": 1.2}), 0.15, 0.10, (2.4, 0.16)),
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

    def __init__(
        self, shapes: list[Shape], camera: Camera, toward: tuple[float, float, float], softness: float
    ):
        self.width, self.height = camera.width, camera.height
        large = Camera(
            camera.eye, camera.target, camera.lens, int(camera.width * OVER), int(camera.height * OVER)
        )
        self.seen: Seen = cast(shapes, large, toward, softness)

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
        step = mask.cumsum(0).cumsum(1)
        step = np.pad(step, ((1, 0), (1, 0)))
        best = (0, [0, 0, 0, 0])
        limit = int(most * OVER)
        sizes = np.unique(np.geomspace(4, limit, 14).astype(int))
        for w in sizes:
            for h in sizes:
                if w * h <= best[0] or max(w, h) > 5 * min(w, h):
                    continue
                total = step[h:, w:] - step[:-h, w:] - step[h:, :-w] + step[:-h, :-w]
                spot = int(total.argmax())
                if total.flat[spot] == w * h:
                    y, x = divmod(spot, total.shape[1])
                    best = (w * h, [x, y, w, h])
        x, y, w, h = (v / OVER for v in best[1])
        inset = min(3.0, 0.22 * min(w, h))
        return [round(x + inset), round(y + inset), round(w - 2 * inset), round(h - 2 * inset)]


def save(levels: np.ndarray, name: str, quality: int) -> None:
    path = HOME / "references" / name
    Image.fromarray(np.rint(np.clip(levels, 0, 1) * 255).astype(np.uint8)).save(
        path, quality=quality, subsampling=0
    )
    print(f"{path.name}: {path.stat().st_size / 1e3:.0f} kB")


STREET_CAR = [*tram.street(), *tram.car(), *tram.stop_sign(4.0, -1.2)]
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


def depot_slide() -> dict[str, list[int]]:
    camera = Camera((5.6, 1.75, 6.4), (0.55, 1.55, 0), 1.75, 1400, 930)
    toward = (3.5, 4.2, 5.0)
    # the far end is stripped for the paint shop: fenders and lifeguards survive in grey pictures only
    car = [s for s in tram.car() if not (s.material in ("fender", "lifeguard") and s.offset[0] < 0)]
    view = View([*tram.hall(), *car, *tram.crates(), *tram.stop_sign(4.0, -1.5)], camera, toward, 0.10)
    lamp = power(2900.0)
    lighting = Lighting(lamp, lamp, 0.62, 0.42, toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, RGB_FILM, 0.02, 0.9, 0.30, 0.010)
    save(film.slide(exposure * np.array([0.98, 1.10, 1.42]), 11), "depot-slide.jpg", 90)
    return {
        m: view.rect(m)
        for m in (
            "upper",
            "waist",
            "roof",
            "lining",
            "rocker",
            "enamel-white",
            "enamel-blue",
            "enamel-red",
            "enamel-black",
        )
    }


def museum() -> dict[str, list[int]]:
    camera = Camera((-4.6, 1.7, 6.9), (-0.45, 1.5, 0), 1.75, 1400, 930)
    toward = (-4.0, 6.0, 5.5)
    view = View(
        [
            *tram.hall(),
            *tram.car(),
            *tram.cards(-3.25, 0.72, 1.3),
            tram.box((-3.65, 0, 1.05), (-2.85, 0.72, 1.29), "plaster"),
        ],
        camera,
        toward,
        0.18,
    )
    window, room = power(6000.0), power(4400.0)
    lighting = Lighting(window, room, 0.50, 0.50, toward)
    surfaces = scenery() | car_surfaces(CAR | REPAINTED)
    exposure = view.expose(surfaces, lighting, RGB_SENSOR, 0.3, 0.8, 0.18, 0.006)
    matrix = _matrix(RGB_SENSOR, power(5000.0))
    save(film.digital(exposure * np.array([1.02, 1.0, 1.02]) * 1.2, matrix, 12), "museum.jpg", 90)
    return {
        m: view.rect(m)
        for m in ("upper", "waist", "roof", "truck", "floor", "rocker", "card-grey", "card-white")
    }


def press() -> dict[str, list[int]]:
    camera = Camera((6.6, 1.55, 7.0), (0.75, 1.72, 0), 1.85, 1400, 980)
    toward = (5.0, 5.5, 6.0)
    view = View(STREET_CAR, camera, toward, 0.02)
    lighting = Lighting(SUN, SKY, 0.85, 0.34, toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, PAN, 0.95, 0.9, 0.22, 0.012)
    save(film.silver(exposure, 2.7, -0.78, (0.05, 0.95), 0.8, 0.020, 13), "press.jpg", 88)
    return {
        m: view.rect(m)
        for m in (
            "roof",
            "waist",
            "dash",
            "fender",
            "lifeguard",
            "destination",
            "upper",
            "truck",
            "enamel-white",
            "enamel-blue",
            "enamel-red",
            "enamel-black",
        )
    }


def plate() -> dict[str, list[int]]:
    camera = Camera((7.6, 1.5, 3.6), (1.6, 1.62, 0.1), 1.9, 1400, 980)
    toward = (6.0, 4.5, 3.0)
    view = View(STREET_CAR, camera, toward, 0.05)
    lighting = Lighting(SUN, SKY, 0.60, 0.55, toward)
    exposure = view.expose(scenery() | car_surfaces(CAR), lighting, ORTHO, 1.0, 1.3, 0.35, 0.018)
    levels = film.silver(exposure, 2.5, -0.86, (0.07, 0.93), 1.1, 0.016, 14)
    save(levels, "plate.jpg", 88)
    return {
        m: view.rect(m)
        for m in (
            "fender",
            "lifeguard",
            "destination",
            "dash",
            "upper",
            "enamel-white",
            "enamel-blue",
            "enamel-red",
            "enamel-black",
        )
    }


def postcard() -> dict[str, list[int]]:
    """Hand-coloured: a grey print with washes laid over it, not quite in register."""
    from scipy.ndimage import zoom

    camera = Camera((-5.4, 1.7, 7.2), (-0.3, 1.7, 0), 1.75, 1280, 850)
    toward = (-4.0, 5.5, 5.0)
    view = View([*tram.street(), *tram.car()], camera, toward, 0.04)
    lighting = Lighting(SUN, SKY, 0.70, 0.45, toward)
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
    return {m: view.rect(m) for m in ("upper", "waist", "roof", "rocker")}


def painted() -> dict[str, list[int]]:
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
    }
    camera = Camera((4.3, 2.7, 6.6), (0.2, 1.45, 0), 1.7, 1280, 880)
    toward = (3.0, 6.5, 6.0)
    view = View([*tram.workbench(), *tram.car(), *tram.cards(3.45, 0.0, 1.5)], camera, toward, 0.14)
    lighting = Lighting(power("LED-B3"), power("LED-B3"), 0.55, 0.42, toward)
    exposure = view.expose(scenery() | car_surfaces(chosen), lighting, RGB_SENSOR, 0.3, 0.7, 0.12, 0.005)
    matrix = _matrix(RGB_SENSOR, power(5000.0))
    save(film.digital(exposure * np.array([0.97, 1.0, 1.07]) * 1.25, matrix, 18), "test-print.jpg", 90)
    return {m: view.rect(m) for m in ("roof", "upper", "waist", "rocker", "truck", "card-grey", "card-white")}


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
    for part, recipe in {**CAR, "dash": CAR["waist"]}.items():
        rows.append(",".join([part, *(f"{v:.3f}" for v in reflectance_to_lab(reflectance(recipe)))]))
    return "\n".join(rows) + "\n"


def main() -> None:
    for folder in ("references", "swatches"):
        (HOME / folder).mkdir(exist_ok=True)
    (HOME / "swatches" / "bench.csv").write_text(bench_csv(), "utf-8")
    (HOME / "swatches" / "depot.csv").write_text(depot_csv(), "utf-8")
    (HOME / "truth.csv").write_text(truth_csv(), "utf-8")
    chosen = sys.argv[1:] or list(PICTURES)
    rects = {name: PICTURES[name]() for name in chosen}
    for name, found in rects.items():
        print(name, found)
    anchors = {name: reflectance_to_lab(reflectance(recipe)) for name, recipe in ENAMEL.items()}
    if len(chosen) == len(PICTURES):
        (HOME / "kit.toml").write_text(kit_text(rects, anchors), "utf-8")
        meshes.write(HOME / "meshes")


if __name__ == "__main__":
    main()
