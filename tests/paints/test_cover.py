"""Covering, against Kubelka and Munk's own limits, and areas of meshes against geometry."""

from __future__ import annotations

import struct
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from palette import InputError
from palette.kit.model import Kit, Part
from palette.paints.cover import MOST, RATE, coats, film
from palette.paints.mesh import areas, mesh_area
from palette.swatches.model import Swatch, SwatchList


def test_a_thick_film_hides_its_ground() -> None:
    """Kubelka & Munk (1931): R∞ = 1 + K/S − √((K/S)² + 2 K/S); at K/S = 0.5 that is 1.5 − √1.25."""
    for ground in (0.0, 0.3, 1.0):
        assert float(film(0.5, 1.0, 100.0, ground)) == pytest.approx(1.5 - 1.25**0.5, abs=1e-9)


def test_a_film_without_absorption() -> None:
    """Kubelka (1948): with K = 0, R = (Rg + (1 − Rg) SX) / (1 + (1 − Rg) SX)."""
    for ground, x in product((0.0, 0.25, 0.8), (0.3, 1.0, 4.0)):
        expected = (ground + (1 - ground) * x) / (1 + (1 - ground) * x)
        assert float(film(1e-9, 1.0, x, ground)) == pytest.approx(expected, abs=1e-4)


def test_a_film_without_scattering() -> None:
    """Bouguer's law: with S = 0 the ground is seen through the film twice, R = Rg exp(−2 K X)."""
    assert float(film(0.4, 1e-9, 1.5, 0.6)) == pytest.approx(0.6 * np.exp(-1.2), abs=1e-6)


def test_two_coats_are_one_of_twice_the_thickness() -> None:
    once = film(0.3, 0.8, 0.7, 0.1)
    assert float(film(0.3, 0.8, 0.7, once)) == pytest.approx(float(film(0.3, 0.8, 1.4, 0.1)), abs=1e-12)


def paint(id: str, lab: tuple[float, float, float], **more: object) -> Swatch:
    return Swatch(id, id, np.array(lab), "lab", **more)  # type: ignore[arg-type]


def test_opacity_decides_the_coats() -> None:
    """The contrast ratio given is that of one coat; the weaker, the more coats, over the far primer most."""
    yellow = (85.0, 5.0, 75.0)
    swatches = SwatchList(
        tuple(paint(f"Y{i}", yellow, opacity=o) for i, o in enumerate((0.2, 0.6, 0.9, 1.0)))
    )
    coated = coats([{id: 1} for id in swatches.ids], swatches)
    assert [c.opacity for c in coated] == pytest.approx([0.2, 0.6, 0.9, 0.995], abs=1e-4)
    assert all(c.stated for c in coated)
    over = [[c.coats[p] or MOST + 1 for p in ("white", "mid grey", "black")] for c in coated]
    assert over == sorted(over, reverse=True) and over[0][2] == MOST + 1 and over[-1] == [1, 1, 1]
    assert over[1][0] < over[1][2]  # a weak yellow wants white under it, not black


def test_a_dark_transparent_paint_wants_black_under_it() -> None:
    swatches = SwatchList((paint("green", (18.0, -15.0, 5.0), opacity=0.4),))
    (coated,) = coats([{"green": 1}], swatches)
    assert (coated.coats["black"] or 99) < (coated.coats["white"] or 99)


def test_what_is_assumed_without_an_opacity() -> None:
    """Common practice, no source: a white coat hides 0.9 or so, and darks hide better than yellows."""
    swatches = SwatchList(
        tuple(
            paint(id, lab)
            for id, lab in (
                ("white", (96.0, 0.0, 2.0)),
                ("black", (15.0, 0.0, 0.0)),
                ("yellow", (85.0, 5.0, 80.0)),
            )
        )
    )
    white, black, yellow = coats([{id: 1} for id in swatches.ids], swatches)
    assert not white.stated and 0.8 < white.opacity < 0.97
    assert black.opacity > 0.97 > yellow.opacity


def test_coverage_of_the_list_goes_before_the_rule() -> None:
    """A mixture of equal volumes covers by the harmonic mean: 1 ml is half a ml of each."""
    grey = (50.0, 0.0, 0.0)
    swatches = SwatchList(
        (
            paint("a", grey, coverage_cm2_per_ml=50.0),
            paint("b", grey, coverage_cm2_per_ml=150.0),
            paint("c", grey),
        )
    )
    one, mixed, unknown = coats([{"a": 1}, {"a": 2, "b": 2}, {"c": 1}], swatches)
    assert (one.area_per_ml, one.rate_stated) == (50.0, True)
    assert mixed.area_per_ml == pytest.approx(75.0)
    assert (unknown.area_per_ml, unknown.rate_stated) == (RATE, False)


def _cube() -> list[list[list[float]]]:
    """Two triangles of each face of a cube of 1 × 1 × 1."""
    triangles = []
    for axis, side in product(range(3), (0.0, 1.0)):

        def corner(u: float, v: float, axis: int = axis, side: float = side) -> list[float]:
            at = [side] * 3
            at[(axis + 1) % 3], at[(axis + 2) % 3] = u, v
            return at

        triangles += [
            [corner(0, 0), corner(1, 0), corner(0, 1)],
            [corner(1, 1), corner(1, 0), corner(0, 1)],
        ]
    return triangles


CUBE = _cube()


def binary(triangles: list[list[list[float]]], header: bytes = b"made here") -> bytes:
    data = header.ljust(80) + struct.pack("<I", len(triangles))
    for triangle in triangles:
        data += struct.pack("<12fH", 0, 0, 0, *(10 * x for corner in triangle for x in corner), 0)
    return data


def text(triangles: list[list[list[float]]]) -> str:
    lines = ["solid cube"]
    for triangle in triangles:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex " + " ".join(f"{10 * x:e}" for x in corner) for corner in triangle]
        lines += ["endloop", "endfacet"]
    return "\n".join([*lines, "endsolid cube"])


def test_a_cube_of_ten_millimetres_has_six_square_centimetres(tmp_path: Path) -> None:
    """By geometry; a binary file may begin with 'solid' like a text one."""
    (tmp_path / "a.stl").write_bytes(binary(CUBE))
    (tmp_path / "b.stl").write_bytes(binary(CUBE, b"solid made here"))
    (tmp_path / "c.stl").write_text(text(CUBE))
    for name in "abc":
        assert mesh_area(tmp_path / f"{name}.stl") == pytest.approx(6.0, abs=1e-6)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no STL"),
        (b"v 0 0 0\nv 1 0 0\nf 1 2 3\n" * 9, "no STL"),
        (binary(CUBE)[:-30], "cut short: 11 of 12 facets"),
        (text(CUBE)[:300].encode(), "cut short or damaged"),
        (text(CUBE).replace("vertex 0", "vertex x", 1).encode(), "cut short or damaged"),
        (binary([[[0.0] * 3] * 3]), "no area"),
        (binary([[[float("nan")] * 3] * 3]), "no numbers"),
    ],
)
def test_meshes_that_cannot_be_measured(content: bytes, said: str, tmp_path: Path) -> None:
    (tmp_path / "part.stl").write_bytes(content)
    with pytest.raises(InputError, match=said):
        mesh_area(tmp_path / "part.stl")


def test_a_stated_area_goes_before_the_mesh(tmp_path: Path) -> None:
    (tmp_path / "bad.stl").write_bytes(b"")
    (tmp_path / "cube.stl").write_bytes(binary(CUBE))
    stated = Part("a", "A", area_cm2=41.0, mesh=tmp_path / "bad.stl")
    measured = Part("b", "B", mesh=tmp_path / "cube.stl")
    by_part = areas(Kit(tmp_path / "kit.toml", "Kit", parts=(stated, measured, Part("c", "C"))))
    assert by_part == {"a": 41.0, "b": pytest.approx(6.0)}
    (tmp_path / "none.stl").write_bytes(b"")
    meshes = ("bad.stl", "none.stl", "bad.stl")  # one problem a mesh, not one a part
    parts = tuple(Part(str(i), str(i), mesh=tmp_path / mesh) for i, mesh in enumerate(meshes))
    worse = Kit(tmp_path / "kit.toml", "Kit", parts=parts)
    with pytest.raises(InputError) as error:
        areas(worse)
    assert len(error.value.problems) == 2


def sized(tmp_path: Path, *millimetres: float, scale: str = "1:35", unit: str = "") -> Kit:
    """A kit of cubes with sides of so many units."""
    parts = []
    for i, size in enumerate(millimetres):
        mesh = tmp_path / f"{i}.stl"
        mesh.write_bytes(binary([[[size / 10 * x for x in corner] for corner in t] for t in CUBE]))
        parts.append(Part(str(i), str(i), mesh=mesh, mesh_unit=unit))
    return Kit(tmp_path / "kit.toml", "Kit", scale=scale, parts=tuple(parts))


@pytest.mark.parametrize(
    ("sizes", "said"),
    [
        ((0.12, 0.04), "is it in metres"),
        ((0.2,), "is it in metres"),
        ((4.7, 1.5), "is it in inches"),
        ((4200.0,), "Then scale it to 1:35"),
        ((120.0, 2e8), "200000000 mm|2e\\+08 mm"),
        ((1e38,), "1e\\+38 mm long, too large for a model; export it in millimetres"),
    ],
)
def test_sizes_that_no_model_has_are_asked_about(tmp_path: Path, sizes: tuple[float, ...], said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        areas(sized(tmp_path, *sizes))
    assert len(caught.value.problems) == 1


def test_sizes_that_models_have_are_not(tmp_path: Path) -> None:
    assert len(areas(sized(tmp_path, 900.0, 12.0, 1.0))) == 3
    assert areas(sized(tmp_path, 0.8)) == {"0": pytest.approx(6 * 0.08**2)}  # a lamp, the only mesh


def test_a_mesh_in_a_unit_that_the_kit_names(tmp_path: Path) -> None:
    # an inch is 25.4 mm: the international yard and pound agreement of 1959
    assert areas(sized(tmp_path, 2.0, unit="inch")) == {"0": pytest.approx(6 * 5.08**2, rel=1e-6)}
    assert areas(sized(tmp_path, 0.1, unit="m")) == {"0": pytest.approx(600.0, rel=1e-6)}
    assert areas(sized(tmp_path, 4.0, unit="mm")) == {"0": pytest.approx(0.96)}
