"""Starting a kit. Fails when the example cannot be read, or anything that is there is overwritten."""

from __future__ import annotations

from pathlib import Path

import pytest

from palette.errors import InputError
from palette.kit.read import read
from palette.kit.start import start


def test_a_new_kit_can_be_read_at_once(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / 'Tram "7"'
    assert start(folder) == [folder / "kit.toml", folder / "swatches/own.csv"]
    kit = read(folder)
    assert kit.title == 'Tram "7"' and [p.id for p in kit.parts] == ["body", "roof"] and not kit.warnings
    assert not any(part.hints or part.thans for part in kit.parts)  # an example left in would be evidence
    assert (folder / "references").is_dir()


def test_the_example_still_reads_when_its_remarks_are_opened(tmp_path: Path) -> None:
    # every commented key and table of the example, as a maker would take the # away
    start(tmp_path)
    path = tmp_path / "kit.toml"
    for name in ("references/depot-slide.jpg", "references/works-photograph.jpg"):
        (tmp_path / name).write_text("x")
    rows = []
    for row in path.read_text("utf-8").splitlines():
        bare = row.removeprefix("#").removeprefix(" ")
        code = bare.strip().startswith(("[[", "]")) or "=" in bare.split("#")[0].split('"')[0]
        rows.append(bare if row.startswith("#") and code and "subject =" not in row else row)
    text = "\n".join(rows).replace('"doors"', '"roof"').replace("# same_as", "same_as")
    text = text.replace('after    = ["roof"]', "").replace('lighter = "body"', 'lighter = "body"')
    path.write_text(text, "utf-8")
    kit = read(tmp_path)
    assert [r.id for r in kit.references] == ["depot-slide", "works-photograph"]
    assert kit.year == 1958 and kit.part("roof").colour is not None and kit.references[0].anchors
    assert kit.part("body").hints and kit.part("roof").thans
    assert not kit.warnings


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "swatches").mkdir()
    (tmp_path / "swatches/own.csv").write_text("mine")
    assert start(tmp_path) == [tmp_path / "kit.toml"]
    assert (tmp_path / "swatches/own.csv").read_text() == "mine"
    (tmp_path / "kit.toml").write_text("mine too")
    with pytest.raises(InputError, match="already"):
        start(tmp_path)
    assert (tmp_path / "kit.toml").read_text() == "mine too"
