"""What the guide shows of the model: numbers that never meet, hidden surfaces hidden, the right parts lit."""

from __future__ import annotations

import math
import os
from io import BytesIO
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from palette.errors import InputError
from palette.guide.painter.views import ahead, meshes, picture, solid
from palette.guide.painter.views.callouts import MARGIN, around, framed, spread
from palette.guide.painter.views.rings import ringed, small_pieces
from palette.kit.model import Kit, Part, PartSample, Rect, Reference
from palette.paints.mesh import mesh_area
from palette.words.catalogue import Words

pytest.importorskip("embreex")

BOX = np.array(
    [
        [(0, 0, 0), (1, 1, 0), (1, 0, 0)], [(0, 0, 0), (0, 1, 0), (1, 1, 0)],
        [(0, 0, 1), (1, 0, 1), (1, 1, 1)], [(0, 0, 1), (1, 1, 1), (0, 1, 1)],
        [(0, 0, 0), (1, 0, 0), (1, 0, 1)], [(0, 0, 0), (1, 0, 1), (0, 0, 1)],
        [(0, 1, 0), (1, 1, 1), (1, 1, 0)], [(0, 1, 0), (0, 1, 1), (1, 1, 1)],
        [(0, 0, 0), (0, 0, 1), (0, 1, 1)], [(0, 0, 0), (0, 1, 1), (0, 1, 0)],
        [(1, 0, 0), (1, 1, 0), (1, 1, 1)], [(1, 0, 0), (1, 1, 1), (1, 0, 1)],
    ],
    float,
)  # fmt: skip


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> np.ndarray:
    a, b = np.array(low), np.array(high)
    return BOX * (b - a) + a


def stl(path: Path, corners: np.ndarray) -> Path:
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    facets = np.zeros(len(corners), facet)
    facets["corners"] = corners
    path.write_bytes(b"x".ljust(80) + np.uint32(len(corners)).tobytes() + facets.tobytes())
    return path


@pytest.fixture
def kit(tmp_path: Path) -> Kit:
    """A box, a smaller one hidden inside it, one behind it (away from −y), and a part without a mesh."""
    parts = (
        Part("front", "Front", mesh=stl(tmp_path / "front.stl", box((0, 0, 0), (40, 20, 20)))),
        Part("inside", "Inside", mesh=stl(tmp_path / "inside.stl", box((5, 5, 5), (15, 15, 15)))),
        Part("behind", "Behind", mesh=stl(tmp_path / "behind.stl", box((10, 20, 0), (30, 24, 10)))),
        Part("badge", "Badge"),
    )
    return Kit(tmp_path / "kit.toml", "Boxes", parts=parts)


@given(
    st.lists(st.tuples(st.floats(10, 160), st.floats(10, 100)), min_size=1, max_size=60),
)
def test_numbers_never_meet_and_never_cover_the_picture(targets: list[tuple[float, float]]) -> None:
    width, height = 160.0, 98.0
    places = around(targets, width, height)
    assert all(math.dist(a, b) > 5.4 for a, b in combinations(places, 2))  # a disc is 5.4 mm wide
    for x, y in places:
        inside = MARGIN - 2.4 < x < MARGIN + width + 2.4 and MARGIN - 2.4 < y < MARGIN + height + 2.4
        assert not inside


def test_few_numbers_stand_where_they_are_wanted() -> None:
    assert spread([10.0, 30.0, 50.0], 6.0, 0.0, 100.0) == [10.0, 30.0, 50.0]
    assert spread([10.0, 10.0, 10.0], 6.0, 0.0, 100.0) == pytest.approx([4.0, 10.0, 16.0])
    assert spread([1.0, 99.0], 6.0, 5.0, 95.0) == [5.0, 95.0]


@given(st.lists(st.tuples(st.floats(10, 160), st.floats(10, 100)), min_size=1, max_size=40))
def test_a_frame_holds_its_numbers_and_no_empty_margin(targets: list[tuple[float, float]]) -> None:
    view = framed(0, 160.0, 98.0, targets, range(1, len(targets) + 1), "")
    for c, (x, y) in zip(view.callouts, targets, strict=True):
        assert 2.7 <= c.x <= view.width - 2.7 and 2.7 <= c.y <= view.height - 2.7
        assert (c.to[0] - view.at[0], c.to[1] - view.at[1]) == pytest.approx((x - MARGIN, y - MARGIN))
    above = any(c.y < view.at[1] - 2.7 for c in view.callouts)
    below = any(c.y > view.at[1] + view.at[3] + 2.7 for c in view.callouts)
    margins = view.at[1], view.height - view.at[1] - view.at[3]
    assert [margin > 4 for margin in margins] == [above, below]


def test_what_is_lit_on_a_few_pixels_is_ringed_within_the_picture() -> None:
    lit = np.zeros((170, 380), bool)
    lit[80:88, 0:4] = lit[80:88, 376:380] = True  # two lamps, at the very ends
    boxes = small_pieces(lit)
    assert sorted(boxes) == [(0.0, 80.0, 4.0, 88.0), (376.0, 80.0, 380.0, 88.0)]
    drawn = np.asarray(ringed(np.full((170, 380, 3), 240, np.uint8), boxes))
    black = np.argwhere((drawn < 10).all(axis=-1))
    assert len(black) > 100
    for middle in (17, 380 - 17):  # each ring is whole
        ring = black[np.abs(black[:, 1] - middle) < 40]
        assert np.ptp(ring[:, 0]) == pytest.approx(np.ptp(ring[:, 1]), abs=2)
    lit[20:120, 100:300] = True
    assert small_pieces(lit) == [] == small_pieces(np.zeros((10, 10), bool))


def test_what_is_hidden_is_not_seen_and_is_named(kit: Kit) -> None:
    """Fails where the box within shows through, or a part that no view shows is not told."""
    colours = {"front": "#ff0000", "inside": "#00ff00", "behind": "#0000ff", "badge": ""}
    shown = meshes.draw(kit, colours, [("front",), ("inside",), ("behind",)])
    numbered = sorted(c.number for view in shown.views for c in view.callouts)
    assert numbered == [1, 3] and shown.unseen == ("inside", "badge")
    assert ("front",) in shown.lit and ("behind",) in shown.lit and ("inside",) not in shown.lit
    assert shown.touching["front"] == ("behind",)
    for view in shown.views:
        pixels = np.asarray(Image.open(BytesIO(shown.pictures[view.picture]))).reshape(-1, 3).astype(int)
        assert not ((pixels[:, 1] > pixels[:, 0] + 40) & (pixels[:, 1] > pixels[:, 2] + 40)).any()  # no green


def test_a_number_points_at_its_own_part(kit: Kit) -> None:
    colours = {"front": "#ff0000", "behind": "#0000ff"}
    shown = meshes.draw(kit, colours, [])
    for view in shown.views:
        image = np.asarray(Image.open(BytesIO(shown.pictures[view.picture]))).astype(int)
        x0, y0, width, height = view.at
        for c in view.callouts:
            column = int((c.to[0] - x0) / width * image.shape[1])
            row = int((c.to[1] - y0) / height * image.shape[0])
            red, _, blue = image[row, column]
            assert (red > blue) == (c.number == 1)


def test_only_the_lit_part_has_its_colour(kit: Kit) -> None:
    shown = meshes.draw(kit, {"front": "#ff0000", "behind": "#0000ff"}, [("behind",)])
    pixels = (
        np.asarray(Image.open(BytesIO(shown.pictures[shown.lit[("behind",)]]))).reshape(-1, 3).astype(int)
    )
    assert ((pixels[:, 2] - pixels[:, 0]) > 80).any() and not ((pixels[:, 0] - pixels[:, 2]) > 20).any()


def test_depth_is_that_of_the_geometry() -> None:
    """A box seen straight on lies nearer than one behind it, by their distance in the model."""
    model = solid.Model(
        np.concatenate([box((0, 0, 0), (10, 10, 10)), box((20, 5, 0), (30, 10, 10))]),
        np.repeat(np.array([0, 1], np.int32), 12),
    )
    caster = solid.Caster(model)
    seen = caster.look(solid.axes(0, 0), 300)
    near, far = (seen.depth(*np.nonzero(seen.part == i)).mean() for i in (0, 1))
    assert (far - near) * caster.size == pytest.approx(5.0, rel=1e-4)
    assert (seen.part == 0).sum() == pytest.approx((seen.part == 1).sum(), rel=0.03)


def test_the_same_meshes_give_the_same_bytes(kit: Kit) -> None:
    colours = {"front": "#ff0000", "behind": "#0000ff"}
    assert meshes.draw(kit, colours, [("front",)]) == meshes.draw(kit, colours, [("front",)])


def test_every_mesh_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    paths = [tmp_path / "a.stl", tmp_path / "b.obj"]
    paths[0].write_bytes(b"not a mesh")
    paths[1].write_text("v 0 0 0\n")
    with pytest.raises(InputError) as caught:
        solid.load(paths)
    assert [problem.file for problem in caught.value.problems] == [str(path) for path in paths]


def test_obj_is_read_too(tmp_path: Path) -> None:
    path = tmp_path / "one.obj"
    path.write_text("v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 2 3\nf 1 2 4\nf 1 3 4\nf 2 3 4\n")
    assert solid.load([path]).corners.shape == (4, 3, 3)
    # three right triangles of half a unit's square, and the slanted one: (3 + √3) / 2 mm²
    assert mesh_area(path) == pytest.approx((3 + math.sqrt(3)) / 200)


def test_a_picture_stands_in_where_there_are_no_meshes(tmp_path: Path) -> None:
    Image.new("RGB", (600, 400), (120, 60, 40)).save(tmp_path / "yard.png")
    samples = (PartSample("body", Rect(50, 60, 100, 80)), PartSample("roof", Rect(300, 40, 120, 60)))
    reference = Reference(
        "yard", tmp_path / "yard.png", tone="grey", licence="CC0", credit="R. Hale", samples=samples
    )
    parts = (Part("body", "Body"), Part("roof", "Roof"), Part("lamp", "Lamp"))
    kit = Kit(tmp_path / "kit.toml", "Van", parts=parts, references=(reference,))
    shown = picture.draw(kit, [("body",), ("lamp",)], Words())
    (view,) = shown.views
    assert [c.number for c in view.callouts] == [1, 2] and shown.unseen == ("lamp",)
    assert set(shown.lit) == {("body",)} and shown.credits == ("Picture: R. Hale.",)
    secret = Kit(
        tmp_path / "kit.toml",
        "Van",
        parts=parts,
        references=(Reference("yard", tmp_path / "yard.png", samples=samples),),
    )
    plain = picture.draw(secret, [], Words())
    pixels = np.asarray(Image.open(BytesIO(plain.pictures[0])))
    assert np.ptp(pixels.reshape(-1, 3), axis=1).max() < 12  # outlines only: nothing of the picture itself


def test_rays_are_cast_once_and_new_meshes_get_new_ones(
    kit: Kit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    real, cast = solid.Caster._cast, []

    def counting(self: solid.Caster, *arguments: np.ndarray) -> np.ndarray:
        cast.append(arguments)
        return real(self, *arguments)

    monkeypatch.setattr(solid.Caster, "_cast", counting)
    first = meshes.draw(kit, {"front": "#ff0000"}, [("front",)])
    rays = len(cast)
    again = meshes.draw(kit, {"front": "#00ff00"}, [("front",)])
    assert len(cast) == rays and again.views == first.views and again.pictures != first.pictures
    stl(tmp_path / "front.stl", box((0, 0, 0), (40, 20, 30)))
    meshes.draw(kit, {"front": "#ff0000"}, [("front",)])
    assert len(cast) == 2 * rays


def test_rays_are_cast_ahead_in_another_process(
    kit: Kit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Fails where the other process casts other rays than are asked for, or is not waited for."""
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    with ahead.casting(kit) as wait:
        wait()
    monkeypatch.setattr(solid.Caster, "_cast", lambda *_: pytest.fail("a ray was cast again"))
    assert len(meshes.draw(kit, {}, [("front",), ("behind",)]).lit) == 2
    monkeypatch.setattr(ahead.subprocess, "Popen", lambda *_, **__: pytest.fail("begun again"))
    with ahead.casting(kit) as wait:
        wait()


def test_a_mesh_that_cannot_be_read_is_said_where_it_is_drawn(
    kit: Kit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Fails where the other process's end is taken for rays that were cast, or stops the guide."""
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    (tmp_path / "front.stl").write_bytes(b"no mesh")
    for _ in range(2):
        with ahead.casting(kit) as wait:
            wait()
        assert not [path for path in (tmp_path / "kept").rglob("*") if path.is_file()]
    with pytest.raises(InputError, match=r"front\.stl"):
        meshes.draw(kit, {}, [])


def test_the_pictures_colours_are_corrected_once_for_all_guides(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from palette.evidence.pictures import looking
    from palette.guide.painter.views import picture as view
    from tests.evidence.combine.kits import ANCHORS, RED, kit, part, picture, reference

    picture(tmp_path / "a.png", [*ANCHORS, RED])
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "cache"))
    corrected, times = looking.corrected, []
    monkeypatch.setattr(looking, "corrected", lambda *given: (times.append(1), corrected(*given))[1])

    def levels(**keys: str) -> np.ndarray:
        made = kit(tmp_path, part("w"), reference("a", {6: "w"}, licence="CC0-1.0", credit="me", **keys))
        opened = view._open(made, made.references[0])
        assert opened is not None
        return opened[0]

    first = levels()
    np.testing.assert_array_equal(levels(), first)
    assert len(times) == 1
    levels(kind="print")  # corrected by another model
    assert len(times) == 2
