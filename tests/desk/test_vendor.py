"""What others wrote stands in the tree as it came."""

from __future__ import annotations

from hashlib import sha256
from importlib.resources import files
from pathlib import Path

import pytest

VENDORED = [Path(str(files("palette.desk"))) / "static" / "vendor", Path(__file__).parent / "vendor"]
ABOUT = {"README.md", "SHA256SUMS"}


@pytest.mark.parametrize("folder", VENDORED, ids=["desk", "tests"])
def test_every_file_has_its_digest_and_keeps_it(folder):
    sums = dict(reversed(line.split()) for line in (folder / "SHA256SUMS").read_text().splitlines())
    there = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert there - ABOUT == set(sums)
    for name, digest in sums.items():
        assert sha256((folder / name).read_bytes()).hexdigest() == digest, name


@pytest.mark.parametrize("folder", VENDORED, ids=["desk", "tests"])
def test_every_library_has_its_licence_and_version(folder):
    about = (folder / "README.md").read_text()
    for library in {path.parent for path in folder.rglob("*.js")}:
        while library.parent != folder and library != folder:
            library = library.parent
        assert any("LICENSE" in path.name for path in library.iterdir())
        assert library == folder or library.name in about
    assert any(f"{n}." in about for n in range(10))
