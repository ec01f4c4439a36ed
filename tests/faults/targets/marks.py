"""Lists as spreadsheets and editors write them, being changed."""

from __future__ import annotations

import random
from pathlib import Path

from palette.errors import InputError
from palette.swatches.columns import REQUIRED
from palette.swatches.csvfile import Table, parse_csv
from tests.faults.registry import answered, mutated, text

TRIES = 25


def check(rng: random.Random, folder: Path) -> None:
    """After a mark a list reads as before but for the one cell; a list that is none is left byte for byte."""
    raw = _written(rng).encode("utf-8", "surrogatepass")
    if rng.random() < 0.4:
        raw = mutated(raw, rng, 3)
    path = folder / "list.csv"
    path.write_bytes(raw)
    before, id = _read(raw), f"P{rng.randrange(4)}"
    column, word = rng.choice((("owned", "--owned"), ("retired", "--retired")))
    done = answered(["swatches", "mark", path, id, word])
    assert [each.name for each in folder.iterdir()] == ["list.csv"]
    if done.exit_code:
        assert path.read_bytes() == raw
        return
    assert before is not None
    after = _read(path.read_bytes())
    assert after is not None
    rows = [{**row, column: "yes"} if row.get("id") == id else row for row in _rows(before)]
    assert _rows(after) == rows


def _written(rng: random.Random) -> str:
    delimiter, newline = rng.choice(",;\t"), rng.choice(("\n", "\r\n", "\r"))

    def cell(content: str) -> str:
        bare = not content.startswith('"') and not any(sign in content for sign in (delimiter, "\n", "\r"))
        return content if bare and rng.random() < 0.7 else '"' + content.replace('"', '""') + '"'

    columns = ["id", "name", "hex", *rng.sample(["owned", "notes", "retired", "shelf"], rng.randrange(5))]
    rows = [delimiter.join(map(cell, columns))]
    for number in range(rng.randrange(1, 5)):
        cells = [f"P{number}", *(text(rng, 5) for _ in range(rng.randrange(len(columns))))]
        rows.append(delimiter.join(map(cell, cells)) + delimiter * rng.choice((0, 0, 2)))
    return rng.choice(("", "\ufeff")) + newline.join(rows) + rng.choice(("", newline))


def _read(raw: bytes) -> Table | None:
    try:
        return parse_csv(raw.decode("utf-8-sig"), "list.csv", REQUIRED)
    except (InputError, UnicodeDecodeError):
        return None


def _rows(table: Table) -> list[dict[str, str]]:
    return [{name: row[at] for name, at in table.columns.items() if row[at]} for row in table.rows]
