"""Car 7 of the Marrow Bay Tramways as boxes and cylinders, in metres: x along, y up, z to the near side."""

from __future__ import annotations

import numpy as np

from swatches_demo.making.raycast import Shape, box, drum, rod


def _both_sides(
    low: tuple[float, float, float], high: tuple[float, float, float], material: str
) -> list[Shape]:
    near = box(low, high, material)
    far = box((low[0], low[1], -high[2]), (high[0], high[1], -low[2]), material)
    return [near, far]


def car() -> list[Shape]:
    s: list[Shape] = []
    half, z = 2.15, 1.0  # half the saloon's length; the side's plane
    # saloon
    s.append(box((-half, 0.78, -z + 0.06), (half, 0.86, z - 0.06), "floor"))
    s += _both_sides((-half, 0.70, z - 0.10), (half, 0.98, z - 0.02), "rocker")
    s += _both_sides((-half, 0.98, z - 0.08), (half, 1.62, z), "waist")
    for y in (1.04, 1.55):
        s += _both_sides((-half + 0.08, y - 0.013, z), (half - 0.08, y + 0.013, z + 0.004), "lining")
    for x in (-half + 0.08, -0.72, 0.72, half - 0.106):
        s += _both_sides((x, 1.04, z), (x + 0.026, 1.55, z + 0.004), "lining")
    s += _both_sides((-half, 1.62, z - 0.07), (half, 1.70, z + 0.02), "upper")  # sill
    s += _both_sides((-half, 2.34, z - 0.07), (half, 2.62, z), "upper")  # letter board
    bays = 5
    width = 2 * half / bays
    for i in range(bays + 1):
        x = -half + i * width
        s += _both_sides((x - 0.07, 1.62, z - 0.07), (x + 0.07, 2.34, z), "upper")
    s += _both_sides((-half, 1.70, z - 0.06), (half, 2.34, z - 0.05), "glass")
    s.append(box((-half, 1.0, -0.02), (half, 2.3, 0.02), "inside"))
    for x in (-half, half):
        s.append(box((x - 0.04, 0.9, -z + 0.05), (x + 0.04, 2.6, -0.42), "upper"))
        s.append(box((x - 0.04, 0.9, 0.42), (x + 0.04, 2.6, z - 0.05), "upper"))
    # roof and clerestory
    s.append(box((-half - 1.02, 2.60, -z - 0.05), (half + 1.02, 2.67, z + 0.05), "upper"))
    s.append(drum((0, 2.66, 0), (0.24, 1.03), 2 * half + 2.02, "x", "roof"))
    s.append(box((-half + 0.1, 2.80, -0.52), (half - 0.1, 3.02, 0.52), "upper"))
    for i in range(9):
        x = -half + 0.30 + i * 0.46
        s += _both_sides((x, 2.91, 0.515), (x + 0.30, 2.98, 0.53), "glass")
    s.append(drum((0, 3.01, 0), (0.12, 0.60), 2 * half + 0.1, "x", "roof"))
    # platforms
    for end in (-1, 1):
        x = end * half
        out = end * (half + 0.98)
        s.append(box((min(x, out), 0.62, -0.88), (max(x, out), 0.70, 0.88), "floor"))
        s.append(drum((x + end * 0.52, 1.16, 0), (0.50, 0.90), 0.86, "y", "dash"))
        s.append(drum((x + end * 0.52, 1.60, 0), (0.52, 0.92), 0.05, "y", "rails"))
        s.append(drum((x + end * 0.525, 1.08, 0), (0.50, 0.902), 0.026, "y", "lining"))
        s.append(drum((x + end * 0.525, 1.50, 0), (0.50, 0.902), 0.026, "y", "lining"))
        s.append(rod((out + end * 0.02, 1.34, 0), (out + end * 0.16, 1.34, 0), 0.13, "lamp"))
        s.append(rod((out + end * 0.16, 1.34, 0), (out + end * 0.165, 1.34, 0), 0.105, "lens"))
        s.append(
            box((min(out, out + end * 0.14), 0.60, -0.72), (max(out, out + end * 0.14), 0.74, 0.72), "fender")
        )
        for zz in (-0.78, 0.78):
            s.append(rod((out - end * 0.20, 1.5, zz), (out - end * 0.20, 2.62, zz), 0.028, "poles"))
            s.append(
                rod(
                    (x + end * 0.25, 0.7, zz + np.sign(zz) * 0.14),
                    (x + end * 0.25, 2.62, zz + np.sign(zz) * 0.14),
                    0.028,
                    "poles",
                )
            )
        s.append(box((min(x, x + end * 0.52), 0.36, 0.60), (max(x, x + end * 0.52), 0.42, 0.98), "floor"))
        # lifeguard: slats below the platform
        for i in range(6):
            y = 0.16 + i * 0.065
            s.append(
                box(
                    (min(out - end * 0.16, out - end * 0.19), y, -0.80),
                    (max(out - end * 0.16, out - end * 0.19), y + 0.042, 0.80),
                    "lifeguard",
                )
            )
        for i in range(7):
            xx = x + end * (0.12 + i * 0.105)
            s += _both_sides(
                (min(xx, xx + end * 0.06), 0.16, 0.80), (max(xx, xx + end * 0.06), 0.54, 0.83), "lifeguard"
            )
        s.append(
            box(
                (min(out, out - end * 0.30), 2.64, -0.46),
                (max(out, out - end * 0.30), 3.02, 0.46),
                "destination",
            )
        )
        s.append(
            box(
                (min(out, out + end * 0.006), 2.74, -0.36), (max(out, out + end * 0.006), 2.94, 0.36), "blind"
            )
        )
    # number 7 on the waist, in two strokes
    for side in (-1, 1):
        face = side * (z + 0.003)
        s.append(Shape("box", np.diag([0.13, 0.028, 0.004]), np.array([0, 1.43, face]), "lining"))
        lean = np.array([[0.028, 0.085, 0], [0, 0.155, 0], [0, 0, 0.004]], float)
        lean[0, 1] *= side
        s.append(Shape("box", lean, np.array([side * 0.03, 1.27, face]), "lining"))
    # truck
    for x in (-0.95, 0.95):
        for zz in (-0.72, 0.72):
            s.append(rod((x, 0.38, zz - 0.05), (x, 0.38, zz + 0.05), 0.38, "steel"))
            s.append(
                rod((x, 0.38, zz + np.sign(zz) * 0.05), (x, 0.38, zz + np.sign(zz) * 0.07), 0.27, "truck")
            )
            side = np.sign(zz)
            s.append(
                box(
                    (x - 0.15, 0.28, min(side * 0.80, side * 0.92)),
                    (x + 0.15, 0.54, max(side * 0.80, side * 0.92)),
                    "truck",
                )
            )
    s += _both_sides((-1.75, 0.52, 0.78), (1.75, 0.62, 0.88), "truck")
    s += _both_sides((-1.30, 0.24, 0.80), (1.30, 0.30, 0.86), "truck")
    for x in (-1.55, 1.55):
        for dx in (-0.1, 0.1):
            s.append(rod((x + dx, 0.40, 0.84), (x + dx, 0.62, 0.84), 0.055, "truck"))
    # trolley: plank, spring case and pole
    s.append(box((-0.7, 3.08, -0.24), (0.7, 3.14, 0.24), "trolley"))
    s.append(box((-0.26, 3.14, -0.17), (0.26, 3.31, 0.17), "trolley"))
    s.append(rod((0, 3.26, 0), (-2.9, 4.48, 0), 0.025, "trolley"))
    return s


def stop_sign(x: float, zz: float) -> list[Shape]:
    """The enamelled stop sign: red head, blue band, white field, black foot; it survives and is measured."""
    return [
        rod((x, 0, zz), (x, 2.25, zz), 0.035, "post"),
        box((x - 0.34, 1.42, zz + 0.03), (x + 0.34, 2.22, zz + 0.05), "enamel-white"),
        box((x - 0.34, 1.95, zz + 0.05), (x + 0.34, 2.09, zz + 0.055), "enamel-blue"),
        box((x - 0.34, 2.09, zz + 0.05), (x + 0.34, 2.22, zz + 0.055), "enamel-red"),
        box((x - 0.34, 1.42, zz + 0.05), (x + 0.34, 1.58, zz + 0.055), "enamel-black"),
    ]


def cards(x: float, y: float, zz: float) -> list[Shape]:
    """A grey card and a white card leaning side by side."""
    return [
        box((x - 0.32, y, zz), (x - 0.01, y + 0.42, zz + 0.01), "card-grey"),
        box((x + 0.01, y, zz), (x + 0.32, y + 0.42, zz + 0.01), "card-white"),
    ]


def street() -> list[Shape]:
    s = [box((-40, -0.1, -7), (40, 0.0, 14), "setts")]
    for zz in (-0.72, 0.72):
        s.append(box((-40, 0.0, zz - 0.03), (40, 0.02, zz + 0.03), "steel"))
    s.append(box((-40, 0, -7.4), (16, 5.6, -7.0), "brick"))
    for i in range(11):
        x = -34.5 + i * 4.6
        s.append(box((x - 0.8, 0.9, -7.02), (x + 0.8, 3.0, -6.98), "glass"))
        s.append(box((x - 0.95, 0.78, -7.0), (x + 0.95, 0.92, -6.86), "stone"))
        s.append(box((x - 0.95, 3.0, -7.0), (x + 0.95, 3.24, -6.9), "stone"))
    s.append(box((-40, 5.5, -7.4), (16.2, 5.75, -6.8), "stone"))
    s.append(box((-40, 0, -7), (40, 0.14, -3.4), "stone"))
    return s


def hall() -> list[Shape]:
    s = [box((-24, -0.1, -6), (24, 0.0, 12), "boards")]
    for zz in (-0.72, 0.72):
        s.append(box((-24, 0.0, zz - 0.03), (24, 0.02, zz + 0.03), "steel"))
    s.append(box((-24, 0, -4.4), (24, 1.2, -4.2), "dado"))
    s.append(box((-24, 1.2, -4.4), (24, 1.32, -4.17), "ledge"))
    s.append(box((-24, 1.2, -4.4), (24, 9, -4.25), "plaster"))
    for i in range(9):  # iron pillars along the wall
        x = -16.0 + 4.2 * i
        s.append(rod((x, 0, -4.0), (x, 9, -4.0), 0.11, "post"))
        s.append(box((x - 0.2, 0, -4.2), (x + 0.2, 0.3, -3.8), "post"))
    return s


def workbench() -> list[Shape]:
    return [box((-24, -0.1, -6), (24, 0.0, 12), "mat"), box((-24, 0, -3.6), (24, 9, -3.5), "paper")]


def crates() -> list[Shape]:
    """Stores left in front of the car's end, as there always are."""
    return [
        box((2.75, 0, 1.45), (3.75, 0.62, 2.15), "crate"),
        box((3.8, 0, 1.35), (4.75, 0.70, 2.1), "crate"),
        box((3.2, 0.62, 1.5), (4.1, 1.08, 2.05), "crate"),
        rod((2.35, 0, 1.75), (2.35, 0.75, 1.75), 0.28, "drum"),
    ]
