"""A picture that was moved or renamed is found again by its content."""

from pathlib import Path

import pytest

from palette.errors import InputError
from palette.kit.model import Kit
from palette.paints.scheme import scheme
from tests.evidence.combine.kits import RED, part, picture, reference, write


def test_a_moved_picture_is_found_by_its_content(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv("PALETTE_CACHE", str(tmp_path / "kept"))
    from tests.evidence.combine.kits import ANCHORS

    picture(tmp_path / "a.png", [*ANCHORS, RED])
    picture(tmp_path / "b.png", [*ANCHORS, RED], seed=1)
    path = write(tmp_path, part("waist"), reference("a", {6: "waist"}))
    scheme(Kit.read(path))
    (tmp_path / "old slides").mkdir()
    (tmp_path / "a.png").rename(tmp_path / "old slides" / "depot.png")
    with pytest.raises(InputError, match=r"stands at 'old slides/depot\.png' now"):
        Kit.read(path)
