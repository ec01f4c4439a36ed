"""The demo: its scheme against the reflectances its pictures were drawn from.

The data are invented; what is tested is that the whole job, from files to scheme, finds what went in.
"""

import csv
import os
from pathlib import Path

import numpy as np
import pytest

import swatches_demo
from palette import Kit, SwatchList, difference, scheme
from palette.errors import InputError
from palette.evidence.combine.model import Scheme
from palette.evidence.pictures.regions import pixels
from swatches_demo.making.scenes import SCENES

HOME = Path(swatches_demo.__file__).parent


@pytest.fixture(scope="module")
def demo() -> Scheme:
    return scheme(Kit.read(HOME))


@pytest.fixture(scope="module")
def truth() -> dict[str, np.ndarray]:
    with open(HOME / "truth.csv", encoding="utf-8") as file:
        return {
            row["part"]: np.array([float(row[c]) for c in ("lab_l", "lab_a", "lab_b")])
            for row in csv.DictReader(file)
        }


def test_the_truth_lies_where_the_scheme_says(demo: Scheme, truth: dict[str, np.ndarray]) -> None:
    # thirteen parts with evidence, radii that hold nine times in ten: at most three may lie outside
    off = {
        p.part.id: float(difference(p.lab, truth[p.part.id]))
        for p in demo.parts
        if p.basis not in ("decision", "none")
    }
    for part in demo.parts:
        if part.part.id in off:
            print(
                f"{part.part.id:12} {part.basis:7} {off[part.part.id]:5.1f} off, radius {part.radius90:5.1f}"
            )
    assert len(off) == 13
    assert sum(off[p.part.id] > p.radius90 for p in demo.parts if p.part.id in off) <= 3
    seen = [off[p.part.id] for p in demo.parts if p.basis == "colour"]
    assert len(seen) == 10 and np.median(seen) < 4


def test_grey_parts_are_inferred_and_say_so(demo: Scheme) -> None:
    assert {p.part.id for p in demo.parts if p.basis == "grey"} == {"fender", "lifeguard", "destination"}
    measured = max(p.radius90 or 0 for p in demo.parts if p.basis == "colour")
    assert all((p.radius90 or 0) > measured for p in demo.parts if p.basis == "grey")


def test_both_lists_read_without_a_problem() -> None:
    swatches = SwatchList.read(HOME / "swatches" / "bench.csv", HOME / "swatches" / "depot.csv")
    assert 60 <= sum(s.range == "Quayside Bench" for s in swatches.swatches) <= 120
    assert 60 <= sum(s.range == "Depot Enamels" for s in swatches.swatches) <= 120


def test_the_demo_is_laid_out_whole_and_over_nothing(tmp_path: Path) -> None:
    kit_file = swatches_demo.lay_out(tmp_path / "tram")
    assert all(reference.file.exists() for reference in Kit.read(kit_file).references)


def test_a_demo_that_was_stopped_goes_on(tmp_path: Path) -> None:
    # fails when a run killed before its guide was built makes the next one refuse
    kit = swatches_demo.lay_out(tmp_path / "tram")
    assert swatches_demo.lay_out(tmp_path / "tram") == kit
    kit.write_text(kit.read_text("utf-8") + "# mine\n", "utf-8")
    with pytest.raises(InputError, match="not empty"):
        swatches_demo.lay_out(tmp_path / "tram")


def test_a_demo_that_cannot_be_laid_out_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = os.link

    def full(new: str, old: str) -> None:
        if Path(old).name == "kit.toml":
            raise OSError(28, "No space left on device")
        link(new, old)

    monkeypatch.setattr(os, "link", full)
    with pytest.raises(InputError, match="no space left"):
        swatches_demo.lay_out(tmp_path / "tram")
    assert not list(tmp_path.iterdir())


def test_every_rectangle_lies_on_its_part() -> None:
    # fails when a wall or a card of a part's material, or a moved shape, puts a sample beside its part
    kit = Kit.read(HOME)
    for reference in kit.references:
        camera = SCENES[reference.id].camera
        boxes = [pixels(sample.region, camera.width, camera.height) for sample in reference.samples]
        materials = SCENES[reference.id].materials(windows=[box for box, _ in boxes])
        for sample, (box, mask) in zip(reference.samples, boxes, strict=True):
            shown = materials[box[1] : box[3], box[0] : box[2]][mask]
            assert len(shown) >= 25 and np.mean(shown == sample.part) > 0.98, (reference.id, sample.part)
