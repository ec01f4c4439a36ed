"""What each picture of the demo shows, from where, and in what light: geometry only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from swatches_demo.making import tram
from swatches_demo.making.raycast import Camera, Shape, look


@dataclass(frozen=True)
class Scene:
    shapes: list[Shape]
    camera: Camera
    toward: tuple[float, float, float]  # the direct light
    softness: float  # its angular radius

    def enlarged(self, times: float) -> Camera:
        """The camera with a picture of that many times the size."""
        width, height = (int(side * times) for side in (self.camera.width, self.camera.height))
        return replace(self.camera, width=width, height=height)

    def materials(
        self, times: float = 1.0, windows: Sequence[tuple[int, int, int, int]] | None = None
    ) -> np.ndarray:
        """The name of what each pixel shows (h, w), in a picture of that many times the size; see `look`."""
        names, index, *_ = look(self.shapes, self.enlarged(times), windows)
        return np.asarray(np.array(names)[index])


# At the depot the far end is stripped for the paint shop: its fenders survive in grey pictures only.
_STRIPPED = [s for s in tram.car() if not (s.material in ("fender", "lifeguard") and s.offset[0] < 0)]
_STREET = [*tram.street(), *tram.car(), *tram.stop_sign(4.0, -1.2)]
_STAND = tram.box((-3.65, 0, 1.05), (-2.85, 0.72, 1.29), "plaster")

SCENES = {
    "depot-slide": Scene(
        [*tram.hall(), *_STRIPPED, *tram.crates(), *tram.stop_sign(4.0, -1.5)],
        Camera((5.6, 1.75, 6.4), (0.55, 1.55, 0), 1.75, 1400, 930),
        (3.5, 4.2, 5.0),
        0.10,
    ),
    "museum": Scene(
        [*tram.hall(), *tram.car(), *tram.cards(-3.25, 0.72, 1.3), _STAND],
        Camera((-4.6, 1.7, 6.9), (-0.45, 1.5, 0), 1.75, 1400, 930),
        (-4.0, 6.0, 5.5),
        0.18,
    ),
    "press": Scene(
        _STREET, Camera((6.6, 1.55, 7.0), (0.75, 1.72, 0), 1.85, 1400, 980), (5.0, 5.5, 6.0), 0.02
    ),
    "plate": Scene(_STREET, Camera((7.6, 1.5, 3.6), (1.6, 1.62, 0.1), 1.9, 1400, 980), (6.0, 4.5, 3.0), 0.05),
    "postcard": Scene(
        [*tram.street(), *tram.car()],
        Camera((-5.4, 1.7, 7.2), (-0.3, 1.7, 0), 1.75, 1280, 850),
        (-4.0, 5.5, 5.0),
        0.04,
    ),
    "test-print": Scene(
        [*tram.workbench(), *tram.car(), *tram.cards(3.45, 0.0, 1.5)],
        Camera((4.3, 2.7, 6.6), (0.2, 1.45, 0), 1.7, 1280, 880),
        (3.0, 6.5, 6.0),
        0.14,
    ),
}
