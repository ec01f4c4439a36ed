"""Kits on disk to answers: known parts as anchors, testimony between parts, and notes on loose readings."""

from __future__ import annotations

from dataclasses import astuple, replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from palette.colour.spaces import srgb_encode
from palette.colour.uncertain import Uncertain
from palette.evidence.grey import GreyAnswer, infer
from palette.kit.model import Kit, Rect
from palette.swatches.kitlists import kit_swatches
from palette.words import say

# patches: their L*, seen through the sRGB curve of IEC 61966-2-1, as a neutral surface would be
WHITE, DARK, DOOR, SILL, ROOF = 95.0, 25.0, 55.0, 40.0, 98.0
SIDE = 24
PAINTS = """id,name,lab_l,lab_a,lab_b
W,White,95,0,2
C,Cream,88,2,16
G,Green,50,-30,20
R,Red,42,50,30
B,Blue,35,5,-35
M,Maroon,27,22,8
K,Black,14,0,0
N,Grey,56,0,0
"""


def write(
    folder: Path,
    anchors: dict[int, str] | None = None,
    parts: str = "",
    patches: tuple[float, ...] = (WHITE, DARK, DOOR, SILL, ROOF),
    samples: tuple[tuple[str, int], ...] = (("door", 2), ("sill", 3), ("roof", 4)),
    keys: str = "",
    scale: int = 1,
) -> Kit:
    levels = srgb_encode(((np.array(patches) + 16) / 116) ** 3)
    shades = np.rint(levels * 255).astype(np.uint8)
    picture = np.kron(shades[None], np.ones((SIDE * scale, SIDE * scale), dtype=np.uint8))
    Image.fromarray(picture).save(folder / "plate.png")
    (folder / "paints.csv").write_text(PAINTS)

    def rect(i: int) -> str:
        return f"rect = [{(i * SIDE + 2) * scale}, {2 * scale}, {(SIDE - 4) * scale}, {(SIDE - 4) * scale}]"

    if anchors is None:
        anchors = {0: f"{{ lab = [{WHITE}, 0, 0] }}", 1: f"{{ lab = [{DARK}, 0, 0] }}"}
    lines = ["schema = 1", "[kit]", 'title = "Car 7"', 'swatches = ["paints.csv"]', parts or PARTS]
    lines += ["[[reference]]", 'id = "plate"', 'file = "plate.png"', 'tone = "grey"', 'light = "D55"', keys]
    for i, colour in anchors.items():
        lines += ["[[reference.anchor]]", rect(i), f"colour = {colour}"]
    for part, i in samples:
        lines += ["[[reference.sample]]", f'part = "{part}"', rect(i)]
    (folder / "kit.toml").write_text("\n".join(lines) + "\n")
    return Kit.read(folder)


PARTS = "\n".join(f'[[part]]\nid = "{id}"' for id in ("door", "sill", "roof"))


def answer(kit: Kit, known: dict[str, Uncertain] | None = None, draws: int = 0) -> GreyAnswer:
    return infer(kit, kit_swatches(kit), known, draws)


def chances(inferred: GreyAnswer, part: str) -> dict[str, float]:
    return {c.swatch: c.probability for c in inferred.part(part).candidates}


def width(inferred: GreyAnswer, part: str) -> float:
    low, high = inferred.part(part).lightness
    return high - low


SETTLED = {"sill": Uncertain(np.array([SILL, 0.0, 0.0]), 0.5 * np.eye(3))}


def test_odds_add_up_and_bits_follow_from_them(tmp_path: Path) -> None:
    for part in answer(write(tmp_path)).parts:
        p = np.array([c.probability for c in part.candidates])
        assert p.sum() == pytest.approx(1) and len(p) == 8 and np.all(np.diff(p) <= 0)
        assert part.bits == pytest.approx(np.sum(p[p > 0] * np.log2(8 * p[p > 0])))


def test_the_same_twice_and_in_a_picture_of_any_size(tmp_path: Path) -> None:
    (tmp_path / "large").mkdir()
    kit = write(tmp_path)
    one, two = answer(kit, draws=40), answer(kit, draws=40)
    np.testing.assert_array_equal(one.part("door").draws, two.part("door").draws)
    assert chances(one, "door") == chances(two, "door")
    large = answer(write(tmp_path / "large", scale=5))
    for swatch, chance in chances(one, "door").items():
        assert chances(large, "door")[swatch] == pytest.approx(chance, abs=0.01)


def test_a_part_settled_elsewhere_is_an_anchor_for_the_others(tmp_path: Path) -> None:
    kit = write(tmp_path)
    assert width(answer(kit, SETTLED), "door") < width(answer(kit), "door") - 1


def test_a_part_never_confirms_itself(tmp_path: Path) -> None:
    # were its own settled colour an anchor for it, its level would be that colour, whatever it shows
    kit = write(tmp_path)
    far_off = {"sill": Uncertain(np.array([75.0, 0.0, 0.0]), 0.5 * np.eye(3))}
    right, wrong = answer(kit, SETTLED), answer(kit, far_off)
    assert chances(right, "sill") == chances(wrong, "sill")
    assert chances(right, "door") != chances(wrong, "door")


def test_nor_does_its_paint_under_another_name(tmp_path: Path) -> None:
    kit = write(tmp_path, parts=PARTS.replace('id = "door"', 'id = "door"\nsame_as = "sill"'))
    far_off = {"sill": Uncertain(np.array([75.0, 0.0, 0.0]), 0.5 * np.eye(3))}
    right, wrong = answer(kit, SETTLED), answer(kit, far_off)
    assert chances(right, "door") == chances(wrong, "door") == chances(wrong, "sill")


def test_parts_of_unknown_paint_hear_of_each_other_but_not_of_themselves(tmp_path: Path) -> None:
    # the very door beside others: as if alone where nothing calibrates the curve, else not quite
    def door(name: str, samples: tuple[tuple[str, int], ...], anchors: dict[int, str] | None = None) -> float:
        (tmp_path / name).mkdir()
        return chances(answer(write(tmp_path / name, anchors, samples=samples)), "door")["N"]

    alone, beside = (("door", 2),), (("door", 2), ("sill", 3), ("roof", 4))
    one = {0: f"{{ lab = [{WHITE}, 0, 0] }}"}
    assert door("loose", alone, one) == door("loose beside", beside, one)
    assert door("alone", alone) != door("beside", beside)


def test_a_part_too_vague_is_no_anchor(tmp_path: Path) -> None:
    kit = write(tmp_path)
    vague = {"sill": Uncertain(np.array([SILL, 0.0, 0.0]), 400 * np.eye(3))}
    assert chances(answer(kit, vague), "door") == chances(answer(kit), "door")


def test_an_anchor_by_part_waits_for_its_colour(tmp_path: Path) -> None:
    decided = PARTS.replace('id = "sill"', f'id = "sill"\ncolour = {{ lab = [{SILL}, 0, 0] }}\nwhy = "seen"')
    anchors = {0: f"{{ lab = [{WHITE}, 0, 0] }}", 3: '{ part = "sill" }'}
    kit = write(tmp_path, anchors, decided, samples=(("door", 2),))
    assert any("no colour reference settles part 'sill'" in w for w in map(say, answer(kit).warnings))
    settled = answer(kit, SETTLED)
    assert not settled.warnings and width(settled, "door") < width(answer(kit), "door")
    # sampled in that very place too, it is still one anchor: one light fell on it
    both = write(tmp_path, anchors, decided, samples=(("door", 2), ("sill", 3)))
    assert chances(answer(both, SETTLED), "door") == chances(settled, "door")


def test_lighter_than_another_part(tmp_path: Path) -> None:
    # the door is read only loosely, so being darker than the sill must move it
    loose = {"keys": "uneven = 0.5", "anchors": {0: f"{{ lab = [{WHITE}, 0, 0] }}"}}
    bare = answer(write(tmp_path, **loose))
    told = PARTS.replace('id = "sill"', 'id = "sill"\n[[part.than]]\nlighter = "door"')
    reply = answer(write(tmp_path, parts=told, **loose))
    assert reply.part("door").lab[0] < bare.part("door").lab[0] - 1
    assert reply.part("sill").lab[0] > bare.part("sill").lab[0] + 1
    assert any("darker than 'sill'" in note for note in map(say, reply.part("door").notes))
    assert min(chances(reply, "door").values()) > 0.02 * min(chances(bare, "door").values())


def test_the_same_paint_in_two_places_is_read_from_both(tmp_path: Path) -> None:
    same = PARTS.replace('id = "sill"', 'id = "sill"\nsame_as = "door"')
    reply = answer(write(tmp_path, parts=same, patches=(WHITE, DARK, 55.0, 49.0, ROOF)))
    assert chances(reply, "door") == chances(reply, "sill")
    alone = answer(write(tmp_path, patches=(WHITE, DARK, 55.0, 49.0, ROOF)))
    assert alone.part("sill").lab[0] < reply.part("door").lab[0] < alone.part("door").lab[0]


@pytest.mark.parametrize(
    ("anchors", "part", "says"),
    [
        ({}, "door", "no anchor fixes the exposure"),
        ({0: "{ lab = [95, 0, 0] }"}, "door", "one anchor fixes the exposure and nothing the contrast"),
        ({0: "{ neutral = true }"}, "door", "no anchor fixes the exposure"),
        (None, "roof", "lighter than every anchor"),
        ({0: "{ lab = [95, 0, 0] }", 2: "{ lab = [55, 0, 0] }"}, "sill", "darker than every anchor"),
    ],
)
def test_what_is_read_loosely_says_why(
    tmp_path: Path, anchors: dict[int, str] | None, part: str, says: str
) -> None:
    reply = answer(write(tmp_path, anchors))
    assert any(says in note and "'plate'" in note for note in map(say, reply.part(part).notes))
    if anchors is not None and len(anchors) < 2:
        assert width(reply, "door") > width(answer(write(tmp_path)), "door") + 1


def test_copies_of_a_plate_count_once_and_each_tells_what_it_alone_shows(tmp_path: Path) -> None:
    # fails when a copy counts as a second picture, or not at all
    kit = write(tmp_path, scale=8)
    plate = kit.references[0]
    with Image.open(plate.file) as image:
        smaller = image.resize((image.width // 2, image.height // 2), Image.Resampling.LANCZOS)
        smaller.save(tmp_path / "copy.jpg", quality=80)
    halves = [replace(s, region=Rect(*(v // 2 for v in astuple(s.region)))) for s in plate.samples]
    copy = replace(plate, id="copy", file=tmp_path / "copy.jpg", anchors=(), samples=tuple(halves))
    bare = replace(plate, samples=plate.samples[:2])
    twice = answer(replace(kit, references=(bare, copy)))
    alone = answer(replace(kit, references=(bare,)))
    for part in ("door", "sill"):
        assert chances(twice, part) == pytest.approx(chances(alone, part), abs=1e-9)
        assert "'copy' is a copy of the picture 'plate'" in " ".join(map(say, twice.part(part).notes))
        assert [r.copy_of for r in twice.part(part).readings] == ["", "plate"]
    assert [r.reference for r in twice.part("roof").readings] == ["copy"]
    other = replace(copy, file=tmp_path / "other.png", samples=plate.samples, anchors=plate.anchors)
    with Image.open(plate.file) as image:
        image.point(lambda level: round(255 * (level / 255) ** 0.8)).save(other.file)
    assert not any(
        r.copy_of for part in answer(replace(kit, references=(bare, other))).parts for r in part.readings
    )


def test_a_part_brighter_than_the_white_anchor_is_still_light(tmp_path: Path) -> None:
    reply = answer(write(tmp_path))
    assert chances(reply, "roof")["W"] > 0.5
    low, high = reply.part("roof").lightness
    assert low > 75 and high <= 100


def test_a_swatch_with_measured_reflectance_is_taken_as_it_is(tmp_path: Path) -> None:
    # two paints of one stated colour, one of them bright in the violet, which undyed silver halide sees
    kit = write(tmp_path, keys='response = "blue-sensitive"')
    nm = range(400, 701, 10)
    head = "id,name,lab_l,lab_a,lab_b," + ",".join(f"nm{w}" for w in nm) + "\n"
    flat = ",".join(["0.23"] * 31)
    violet = ",".join("0.75" if w < 430 else "0.23" for w in nm)
    (tmp_path / "paints.csv").write_text(f"{head}F,Flat,55,0,0,{flat}\nV,Violet,55,0,0,{violet}\n")
    likely = chances(answer(kit), "door")
    assert likely["F"] > 0.6
