"""The rules of the house that a machine can hold."""

import ast
from pathlib import Path

import pytest

PALETTE = Path(__file__).parent.parent / "palette"
# each room may import itself and the rooms of its own line or above
BELOW = {
    "errors": set(),
    "files": {"errors"},
    "colour": {"errors", "files"},
    "kit": {"errors", "files", "colour"},
    "pictures": {"errors", "files", "colour", "kit"},
    "paints": {"errors", "files", "colour", "kit"},
    "grey": {"errors", "files", "colour", "kit", "pictures", "paints"},
    "scheme": {"errors", "files", "colour", "kit", "pictures", "paints", "grey"},
    "guide": {"errors", "files", "colour", "kit", "pictures", "paints", "grey", "scheme"},
    "desk": {"errors", "files", "colour", "kit", "pictures", "paints", "grey", "scheme", "guide"},
}


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
    assert rooms == (BELOW.keys() - {"errors", "files"}) | {"commands"}
