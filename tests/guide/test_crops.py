"""The parts as pictures show them, corrected, for the dossier."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from palette.guide.crops import HEIGHT, WIDTH, crops, frame
from palette.kit.model import Anchor, Kit, Part, PartSample, Rect, Reference, StatedColour


@pytest.fixture
def kit(tmp_path: Path) -> Kit:
    """A grey wall and a grey part in orange light."""
    levels = np.full((200, 300, 3), (220, 170, 110), np.uint8)
    levels[60:120, 100:200] = (130, 99, 63)
    file = tmp_path / "seen.png"
    Image.fromarray(levels).save(file)
    white = Anchor(Rect(5, 5, 40, 40), StatedColour(lab=(75.0, 0.0, 0.0), words="lab"))
    places = (PartSample("part", Rect(110, 70, 20, 20)), PartSample("part", Rect(120, 70, 60, 40)))
    seen = Reference("seen", file, licence="CC0", anchors=(white,), samples=places)
    return Kit(tmp_path / "kit.toml", "Kit", parts=(Part("part", "Part"),), references=(seen,))


def middle(jpeg: bytes) -> np.ndarray:
    levels = np.asarray(Image.open(BytesIO(jpeg)).convert("RGB"), float)
    height, width = levels.shape[:2]
    return levels[height // 2 - 5 : height // 2 + 5, width // 2 - 5 : width // 2 + 5].mean(axis=(0, 1))


def test_a_crop_is_corrected_as_its_evidence_is(kit: Kit) -> None:
    """Fails where the crop keeps the cast of its light, so that it cannot be compared."""
    (crop,) = crops(kit)
    seen = middle(crop.jpeg)
    assert (crop.part, crop.reference) == ("part", "seen")
    assert np.ptp(seen) < 14 and 80 < seen.mean() < 140
    grey = replace(kit, references=(replace(kit.references[0], tone="grey"),))
    assert np.abs(middle(crops(grey)[0].jpeg) - (130, 99, 63)).max() < 4  # as it is


@pytest.mark.parametrize(
    "change", [{"print": False}, {"licence": ""}, {"licence": "all rights reserved"}, {"subject": "painted"}]
)
def test_what_may_not_be_reproduced_is_not(kit: Kit, change: dict[str, object]) -> None:
    assert crops(replace(kit, references=(replace(kit.references[0], **change),))) == ()  # type: ignore[arg-type]


def test_a_picture_that_cannot_be_opened_has_none(kit: Kit) -> None:
    kit.references[0].file.write_bytes(b"no picture")
    assert crops(kit) == ()


@pytest.mark.parametrize(
    "place", [(0.0, 0.0, 0.05, 0.05), (0.9, 0.9, 1.0, 1.0), (0.4, 0.1, 0.5, 0.9), (0.0, 0.0, 1.0, 1.0)]
)
def test_the_frame_holds_the_place_and_stays_in_the_picture(place: tuple[float, float, float, float]) -> None:
    left, top, right, bottom = place
    shape = ((left, top), (right, top), (right, bottom), (left, bottom))
    x0, y0, x1, y1 = frame(shape, 600, 500)
    assert 0 <= x0 < x1 <= 600 and 0 <= y0 < y1 <= 500
    assert (x1 - x0) / (y1 - y0) == pytest.approx(WIDTH / HEIGHT, rel=0.05)
    assert x0 <= (left + right) * 300 <= x1 and y0 <= (top + bottom) * 250 <= y1
