"""What a kit's pictures lack, and which show the same."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageEnhance
from skimage import data

from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.duplicates import pairs, signature
from palette.evidence.pictures.references import survey
from palette.evidence.pictures.toning import boldness
from palette.kit.model import Anchor, Kit, PartSample, Rect, Reference, StatedColour
from palette.words import say

SAMPLE = (PartSample("waist", Rect(10, 10, 40, 40)),)
ANCHOR = (Anchor(Rect(60, 60, 20, 20), StatedColour(neutral=True)),)


@pytest.fixture(scope="module")
def photographs():
    """Photographs that nobody made for this: scikit-image's own samples (public domain or CC0)."""
    return {
        "astronaut": data.astronaut(),
        "coffee": data.coffee(),
        "chelsea": data.chelsea(),
        "rocket": data.rocket(),
        **{name: np.dstack([getattr(data, name)()] * 3) for name in ("camera", "moon", "brick", "coins")},
    }


def small(path: Path, picture: np.ndarray, quality: int = 90) -> np.ndarray:
    Image.fromarray(picture).save(path, quality=quality)
    return open_picture(path).reduced(1 << 16)


def altered(picture: np.ndarray) -> dict[str, tuple[np.ndarray, int]]:
    image = Image.fromarray(picture)
    width, height = image.size
    third = np.asarray(image.resize((width // 3, height // 3), Image.Resampling.LANCZOS))
    warm = np.asarray(picture * np.array([1.0, 0.8, 0.5])).astype(np.uint8)
    return {
        "compressed hard": (picture, 20),
        "a third of the size": (third, 85),
        "darker": (np.asarray(ImageEnhance.Brightness(image).enhance(0.6)), 85),
        "in grey": (np.asarray(image.convert("L").convert("RGB")), 85),
        "under a lamp": (warm, 85),
        "larger": (np.asarray(image.resize((width * 2, height * 2))), 85),
    }


def test_the_same_picture_is_known_again_and_others_are_not(tmp_path, photographs):
    originals = {name: signature(small(tmp_path / "a.jpg", picture)) for name, picture in photographs.items()}
    shape = (4, 3)
    for name, picture in photographs.items():
        for way, (copy, quality) in altered(picture).items():
            again = signature(small(tmp_path / "b.jpg", copy, quality))
            known_again = [
                other for other, known in originals.items() if pairs([known, again], [shape, shape])
            ]
            assert known_again == [name], (name, way)


def test_a_mirrored_copy_is_told_as_such(tmp_path, photographs):
    one = signature(small(tmp_path / "a.jpg", photographs["coffee"]))
    two = signature(small(tmp_path / "b.jpg", photographs["coffee"][:, ::-1]))
    assert pairs([one, two], [(600, 400), (300, 200)]) == [(0, 1, True)]
    assert pairs([one, one], [(600, 400), (300, 200)]) == [(0, 1, False)]
    assert pairs([one, one], [(600, 400), (400, 600)]) == []


def test_toned_prints_have_no_colour_and_photographs_do(tmp_path, photographs):
    rng = np.random.default_rng(4)
    for name in ("astronaut", "coffee", "chelsea", "rocket"):
        picture = photographs[name]
        assert boldness(small(tmp_path / "a.jpg", picture)) > 9
        grey = picture.mean(-1, keepdims=True) / 255
        sepia = 255 * grey ** np.array([0.8, 1.0, 1.3]) + rng.normal(0, 6, picture.shape)
        assert boldness(small(tmp_path / "b.jpg", np.clip(sepia, 0, 255).astype(np.uint8))) < 9, name


def kit(path: Path, *references: Reference) -> Kit:
    return Kit(path / "kit.toml", "Test", references=references)


def test_each_thing_missing_is_said(tmp_path, photographs):
    Image.fromarray(photographs["coffee"]).save(tmp_path / "c.jpg")  # 600 × 400
    Image.fromarray(photographs["coffee"]).resize((900, 600)).save(tmp_path / "large.png")
    Image.fromarray(data.camera()).resize((700, 700)).save(tmp_path / "g.png")
    (tmp_path / "text.jpg").write_text("no picture")

    def missing(**values: object) -> str:
        given = {"file": tmp_path / "large.png", "credit": "M. Orrin", "samples": SAMPLE, "anchors": ANCHOR}
        (status,) = survey(kit(tmp_path, Reference("a", **{**given, **values})))
        return " | ".join(map(say, status.missing))

    assert missing() == ""
    assert "no credit" in missing(credit=" ")
    assert "cast is guessed" in missing(anchors=())
    assert "light stated" in missing(anchors=(), light="D55")
    assert "small: 600 × 400" in missing(file=tmp_path / "c.jpg")
    assert "no sample" in missing(samples=())
    assert "no video" in missing(kind="frame")
    assert "no time" in missing(kind="frame", video="ride.mp4")
    assert missing(kind="frame", video="ride.mp4", time="0:12:31.500") == ""
    assert "'waist' is small: 4 pixels" in missing(samples=(PartSample("waist", Rect(1, 1, 2, 2)),))
    assert "lies outside" in missing(samples=(PartSample("waist", Rect(2000, 1, 2, 2)),))
    assert "runs over the edge" in missing(samples=(PartSample("waist", Rect(880, 10, 60, 60)),))
    assert "declared grey" in missing(tone="grey")
    assert "declared colour" in missing(file=tmp_path / "g.png")
    assert missing(file=tmp_path / "g.png", tone="grey") == ""
    assert "cannot be read" in missing(file=tmp_path / "text.jpg")
    assert "cannot be read" in missing(file=tmp_path / "nowhere.jpg")


def test_duplicates_name_the_earlier_reference(tmp_path, photographs):
    image = Image.fromarray(photographs["chelsea"])
    image.save(tmp_path / "a.png")
    image.resize((200, 133)).save(tmp_path / "b.jpg", quality=40)
    image.transpose(Image.Transpose.FLIP_LEFT_RIGHT).save(tmp_path / "c.png")
    Image.fromarray(photographs["coffee"]).save(tmp_path / "d.png")
    files = ["a.png", "b.jpg", "c.png", "d.png", "d.png"]
    statuses = survey(kit(tmp_path, *(Reference(f"r{i}", tmp_path / name) for i, name in enumerate(files))))
    assert [status.same_as for status in statuses] == [(), ("r0",), ("r0", "r1"), (), ("r3",)]
    assert "mirrored" in say(statuses[2].missing[0])
    assert "same file" in say(statuses[4].missing[0])


def test_a_second_look_reads_no_picture_again(tmp_path, photographs, monkeypatch):
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    Image.fromarray(photographs["chelsea"]).save(tmp_path / "a.png")
    one = survey(kit(tmp_path, Reference("a", tmp_path / "a.png")))
    monkeypatch.setattr("palette.evidence.pictures.references.open_picture", None)
    two = survey(kit(tmp_path, Reference("a", tmp_path / "a.png")))
    assert one[0].missing == two[0].missing
    with pytest.raises(TypeError):  # another content is read again
        Image.fromarray(photographs["coffee"]).save(tmp_path / "a.png")
        survey(kit(tmp_path, Reference("a", tmp_path / "a.png")))
