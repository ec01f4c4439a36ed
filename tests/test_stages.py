"""From the pictures to the chosen paints: a change redoes what hangs on it, and nothing else."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from palette import memory
from palette.evidence.measure import batch
from palette.kit.model import Kit
from palette.paints.choosing.choice import chosen_paints
from palette.paints.scheme import scheme
from palette.swatches.kitlists import kit_swatches
from tests.evidence.combine.kits import ANCHORS, BROWN, GREEN, PAINTS, RED, part, picture, reference, write

STAGES = {
    "palette.evidence.combine.statements._fitted": "correct",
    "palette.evidence.combine.statements._applied": "state",
    "palette.evidence.combine.reconcile.reconcile": "reconcile",
    "palette.evidence.grey.posterior.calibrate": "infer from grey",
    "palette.paints.mixing._searched": "propose",
}
HINT = '[[part.hint]]\nwords = "dark red"\nsource = "foreman"\ntrust = 0.4\n'


class Followed:
    """A kit of two pictures in colour and a grey one, whose stages are counted as they are computed."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        for name, labs in (("a", [RED, BROWN]), ("b", [BROWN, GREEN])):
            picture(folder / f"{name}.png", [*ANCHORS, *labs], seed=ord(name))
        picture(folder / "g.png", [*ANCHORS[:3], RED, (50.0, 0.0, 0.0)], gains=(1.0, 1.0, 1.0))
        anchors = {i: f"{{ lab = {list(ANCHORS[i])} }}" for i in range(3)}
        blocks = [
            part("waist", HINT),
            part("roof"),
            part("doors"),
            part("floor"),
            reference("a", {6: "waist", 7: "roof"}),
            reference("b", {6: "roof", 7: "doors"}),
            reference("g", {4: "floor"}, anchors, tone="grey"),
        ]
        self.text = write(folder, *blocks).read_text()
        head, *rows = PAINTS.splitlines()
        priced = [f"{head},price,owned", *(f"{row},3.50,yes" for row in rows)]
        (folder / "priced.csv").write_text("\n".join(priced))
        self.computed: Counter[str] = Counter()
        names: dict[bytes, str] = {}
        digest, keep, sample = memory.digest, memory.MEMORY.keep, batch.sample

        def named(*values: Any) -> bytes:
            key = digest(*values)
            if isinstance(values[0], str):
                names[key] = values[0]
            return key

        def kept(key: bytes, value: Any) -> None:
            if (stage := STAGES.get(names.get(key, ""))) is not None:
                self.computed[stage] += 1
            keep(key, value)

        def sampled(*args: Any, **options: Any) -> Any:
            self.computed["sample"] += 1
            return sample(*args, **options)

        patch.setattr(memory, "digest", named)
        patch.setattr(memory.MEMORY, "keep", kept)
        patch.setattr(batch, "sample", sampled)

    def redone(self, old: str = "", new: str = "") -> dict[str, int]:
        """How often each stage is computed once `old` is replaced by `new`; then that is taken back."""
        assert not old or self.text.count(old) >= 1
        (self.folder / "kit.toml").write_text(self.text.replace(old, new, 1) if old else self.text)
        self.computed.clear()
        kit = Kit.read(self.folder)
        chosen_paints(scheme(kit), kit_swatches(kit))
        return dict(self.computed)


# What is changed, and what hangs on it: picture a shows waist and roof, so its correction touches both.
CHANGES = {
    "nothing": ("", "", {}),
    "a title": ("Car 7", "Car 8", {}),
    "an anchor": (
        "lab = [50.0, -32.0, 22.0]",
        "lab = [50.0, -30.0, 22.0]",
        {"correct": 1, "state": 2, "reconcile": 2, "propose": ...},
    ),
    "a hint": ("trust = 0.4", "trust = 0.9", {"reconcile": ..., "propose": ...}),
    "a mark": (
        "rect = [284, 4, 32, 32]",
        "rect = [286, 4, 30, 32]",
        {"sample": 1, "state": 1, "reconcile": 1, "propose": ...},
    ),
    "what paints cost, and where the list is": ("bench.csv", "priced.csv", {}),
    "the light": ("[kit]\n", '[kit]\nlight = "A"\n', {"propose": ...}),
}


def test_a_change_redoes_what_hangs_on_it_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    followed = Followed(tmp_path, monkeypatch)
    first = followed.redone()
    assert set(first) == {"sample", *STAGES.values()}  # else nothing would be counted below
    assert first["correct"] == 2  # pictures in colour
    for what, (old, new, wanted) in CHANGES.items():
        done = followed.redone(old, new)
        assert set(done) == set(wanted), what
        assert all(times in (..., done[stage]) for stage, times in wanted.items()), (what, done)
