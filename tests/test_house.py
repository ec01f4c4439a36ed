"""The rules of the house that a machine can hold."""

import ast
import re
from importlib import import_module
from pathlib import Path

import pytest

PALETTE = Path(__file__).parent.parent / "palette"
# From the lowest to the highest: each room may import those before it.
ORDER = [
    "errors", "notes", "files", "cache", "memory", "jobs", "colour", "kit", "swatches", "evidence", "paints",
    "sample", "words", "report", "typeset", "guide", "shelf", "desk", "commands",
]  # fmt: skip
BELOW = {room: set(ORDER[:i]) for i, room in enumerate(ORDER)}
FILES = {"errors", "notes", "cache", "memory", "jobs"}


def imported_rooms(path: Path) -> set[str]:
    rooms = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module] if node.module != "palette" else [f"palette.{a.name}" for a in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        rooms |= {
            name.split(".")[1]
            for name in names
            if name.startswith("palette.") and not name.startswith("palette.__")
        }
    return rooms


@pytest.mark.parametrize("room", BELOW)
def test_dependencies_point_one_way(room: str) -> None:
    files = (
        [PALETTE / f"{room}.py"]
        if (PALETTE / f"{room}.py").exists()
        else sorted((PALETTE / room).rglob("*.py"))
    )
    assert files
    for path in files:
        higher = imported_rooms(path) - BELOW[room] - {room}
        assert not higher, (
            f"{path.relative_to(PALETTE)} imports {', '.join(sorted(higher))}, which is above it"
        )


def test_no_room_is_left_out() -> None:
    rooms = {p.stem for p in PALETTE.iterdir() if p.is_dir() and (p / "__init__.py").exists()}
    assert rooms == BELOW.keys() - FILES


def test_the_steps_that_developers_are_told_of_are_there() -> None:
    """Fails where DEVELOPERS.md names a step of the pipeline that has moved or is called otherwise now."""
    text = (PALETTE.parent / "DEVELOPERS.md").read_text("utf-8")
    rows = text.partition("| step | function |")[2].partition("\n\n")[0].splitlines()[2:]
    named = [name for row in rows for name in re.findall(r"`([\w.]+)`", row.split("|")[2])]
    assert len(named) >= 10
    for name in named:
        module, _, function = name.rpartition(".")
        assert hasattr(import_module(f"palette.{module}"), function), name
