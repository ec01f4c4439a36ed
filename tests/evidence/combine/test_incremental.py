"""What is remembered from edit to edit gives the very answers that computing everything anew gives."""

from __future__ import annotations

import random

import numpy as np
import pytest

from palette.evidence.combine.build import colours
from palette.kit.model import Kit
from palette.memory import MEMORY, digest
from tests.evidence.combine.kits import ANCHORS, BROWN, GREEN, RED, YELLOW, part, picture, reference, write


def answer(path):
    scheme, _ = colours(Kit.read(path))
    grey = None
    if scheme.grey is not None:
        grey = [(p.part, p.lightness, p.candidates, p.lab, p.draws, p.notes) for p in scheme.grey.parts]
    parts = [
        (p.part.id, p.lab, p.covariance, p.radius90, p.basis, p.conflict, p.evidence, p.notes)
        for p in scheme.parts
    ]
    return digest(parts, grey, scheme.warnings, dict(scheme.pictures))


class Edited:
    """A kit whose blocks are edited at random."""

    def __init__(self, folder, seed):
        self.folder, self.random = folder, random.Random(seed)
        for i, labs in enumerate(([RED, BROWN], [BROWN, GREEN], [GREEN, YELLOW])):
            picture(folder / f"r{i}.png", [*ANCHORS, *labs, RED], seed=i)
        self.samples = {i: {6: "waist", 7: "roof"} for i in range(3)}
        self.anchors = {i: {k: f"{{ lab = {list(ANCHORS[k])} }}" for k in range(6)} for i in range(3)}
        self.grey = {2}
        self.extra = {"waist": [], "roof": [], "floor": []}
        self.keys = {i: {} for i in range(3)}

    def write(self):
        blocks = [part(id, *lines) for id, lines in self.extra.items()]
        for i in range(3):
            keys = {"tone": "grey"} if i in self.grey else {}
            blocks.append(reference(f"r{i}", self.samples[i], self.anchors[i], **keys, **self.keys[i]))
        return write(self.folder, *blocks)

    def edit(self):
        pick, i = self.random.choice, self.random.randrange(3)
        what = self.random.randrange(7)
        if what == 0:
            self.samples[i][pick([6, 7, 3])] = pick(["waist", "roof", "floor"])
        elif what == 1 and len(self.samples[i]) > 1:
            del self.samples[i][pick(list(self.samples[i]))]
        elif what == 2 and len(self.anchors[i]) > 2:
            del self.anchors[i][pick(list(self.anchors[i]))]
        elif what == 3:
            self.anchors[i][pick([0, 1, 2])] = pick(['{ munsell = "N 7/" }', "{ neutral = true }"])
        elif what == 4:
            self.keys[i] = {**self.keys[i], "trust": pick([0.4, 0.9, 1.0])}
        elif what == 5:
            hint = 'hint = [{ words = "dark red", trust = 0.4 }]'
            self.extra["waist"] = [] if self.extra["waist"] else [hint]
        else:
            self.extra["floor"] = pick([[], ['same_as = "roof"'], ['than = [{ lighter = "waist" }]']])


@pytest.mark.parametrize("seed", [1, 2])
def test_a_chain_of_edits_answers_as_if_all_were_computed_anew(tmp_path, seed):
    """Fails where an answer is taken for one of other values, or an answer was changed by who got it."""
    kit = Edited(tmp_path, seed)
    steps = []
    for _ in range(6):
        steps.append((kit.write().read_text(), answer(tmp_path)))
        kit.edit()
    for text, incremental in reversed(steps):
        (tmp_path / "kit.toml").write_text(text)
        assert answer(tmp_path) == incremental  # from memory, in another order
    text, incremental = steps[-1]
    (tmp_path / "kit.toml").write_text(text)
    MEMORY.clear()
    assert answer(tmp_path) == incremental


def test_a_new_mark_measures_and_corrects_nothing_else(tmp_path, monkeypatch):
    from palette.evidence.combine import statements
    from palette.evidence.measure import batch

    kit = Edited(tmp_path, 0)
    kit.grey = set()
    kit.write()
    answer(tmp_path)
    measured, fitted = [], []
    sample, fit = batch.sample, statements.fit
    monkeypatch.setattr(batch, "sample", lambda *a, **k: (measured.append(a), sample(*a, **k))[1])
    monkeypatch.setattr(statements, "fit", lambda *a, **k: (fitted.append(a), fit(*a, **k))[1])
    kit.samples[0][8] = "floor"
    kit.write()
    answer(tmp_path)
    assert len(measured) == 1 and not fitted


def test_a_digest_tells_values_apart_and_lines_not():
    from palette.kit.model import Hint

    values = [1, 1.0, True, "1", b"1", None, (1,), [1, 2], {"a": 1}]
    values += [np.ones(3), np.ones((3, 1)), np.ones(3, int)]
    assert len({digest(v) for v in values}) == len(values)
    assert digest([1]) == digest((1,))
    assert digest(Hint("red", line=3)) == digest(Hint("red", line=9)) != digest(Hint("blue", line=3))
    large = np.zeros(1000)
    first = digest(large)
    with pytest.raises(ValueError):
        large[0] = 1.0  # what was digested cannot be changed behind its digest
    assert digest(large.copy()) == first
    with pytest.raises(TypeError):
        digest(object())
