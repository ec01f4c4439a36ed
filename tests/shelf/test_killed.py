"""A bundle or a shelf whose making is killed at any write: the next run finishes it, or it is as it was.

The pages are made once, since only the writes are on trial. Killed means here that from one operation on
nothing reaches the disk, not even what clears up; tests/faults/test_changes.py kills processes.
"""

from __future__ import annotations

import contextlib
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from palette.guide import writing
from palette.kit.model import Kit
from palette.shelf import bundle, site
from palette.shelf.bundle import check_bundle, release
from palette.shelf.filed import edition_of, filed
from palette.shelf.kits import build_kit
from palette.shelf.site import shelf
from tests.faults.faulty import disturbed, held, leftovers
from tests.shelf.test_shelf import make


class Killed(BaseException):
    """Nothing catches it, and whatever would clear up meets it again."""


def _end(name: str) -> None:
    raise Killed(name)


def killed(work: Callable[[], object], every: int) -> Iterator[int]:
    """After every so many operations `work` is killed; until it comes through.

    `every` has no factor of the four operations that write a file, so that each of them has its turn.
    """
    for at in range(0, 1000, every):
        with disturbed(at, _end, lasting=True) as met, contextlib.suppress(Killed):
            work()
        if len(met) <= at:
            return
        yield at
    raise AssertionError("it never came to its end")


@pytest.fixture
def quickly(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A kit whose guide, dossier and pages are made already."""
    folder = make(tmp_path / "kits" / "one")
    made = writing.make(Kit.read(folder), writing.Wanted())
    built = build_kit(folder)
    monkeypatch.setattr(writing, "make", lambda *_: made)
    monkeypatch.setattr(bundle, "_made", lambda _: {"guide.html": b"pages", "dossier.pdf": b"evidence"})
    monkeypatch.setattr(site, "ask", _built(built))
    return folder


def _built(built: Any) -> Callable[..., Iterator[Any]]:
    from palette.shelf.many import Answer

    return lambda _, kits, jobs: iter([Answer(str(kit), built) for kit in kits])


def test_a_release_that_is_killed_is_finished_by_the_next(quickly: Path, tmp_path: Path) -> None:
    # fails when a bundle stands without its edition, an edition cannot be read, or something is left behind
    fresh = tmp_path / "fresh"
    (tmp_path / "out").mkdir()
    times = 0
    for _ in killed(lambda: release(Kit.read(quickly), tmp_path / "out" / "car.zip"), 3):
        times += 1
        if (tmp_path / "out" / "car.zip").exists():
            assert check_bundle(tmp_path / "out" / "car.zip") and len(filed(Kit.read(quickly))) == 1
        shutil.copytree(tmp_path / "kits", fresh / "kits")
        shutil.copytree(tmp_path / "out", fresh / "out")
        kit = Kit.read(fresh / "kits" / "one")
        release(kit, fresh / "out" / "car.zip")
        (one,) = filed(kit)
        assert check_bundle(fresh / "out" / "car.zip") and edition_of(one).version == "1.0"
        assert not leftovers(fresh)
        for folder in (fresh, tmp_path / "out", quickly / "editions"):
            shutil.rmtree(folder, ignore_errors=True)
        (tmp_path / "out").mkdir()
    assert times > 8


def test_a_shelf_that_is_killed_is_finished_by_the_next(quickly: Path, tmp_path: Path) -> None:
    # fails when a killed run leaves what the next takes for finished, or a part of a page
    out = tmp_path / "site"
    shelf([tmp_path / "kits"], tmp_path / "whole", jobs=1)
    whole = held(tmp_path / "whole")
    times = 0
    for _ in killed(lambda: shelf([tmp_path / "kits"], out, jobs=1), 7):
        times += 1
        shelf([tmp_path / "kits"], out, jobs=1)
        assert held(out) == whole
        shutil.rmtree(out)
    assert times > 8
