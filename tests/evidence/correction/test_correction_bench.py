"""The bench of made photographs runs, and its halves share nothing."""

from __future__ import annotations

import numpy as np

from tests.benchmarks.photo import pictures
from tests.benchmarks.photo.__main__ import report, run


def test_the_bench_runs_and_six_mixed_anchors_beat_every_simple_method(capsys):
    rows = run(1, plain=True)
    report(rows)
    assert "three greys, three chromatic" in capsys.readouterr().out
    for case, results, cover, _ in rows:
        if case in ("the same, kindest", "six at random"):
            median = {name: np.median(np.concatenate(errors)) for name, errors in results.items()}
            assert median.pop("palette") < min(median.values())
        assert cover > 0.6  # one picture only: far from all of them falsely sure


def test_no_surface_or_light_is_in_both_halves():
    tuning, held = pictures.surfaces(pictures.TUNING), pictures.surfaces(pictures.HELD)
    assert min(np.abs(held - one).max(axis=1).min() for one in tuning) > 1e-4
    assert not set(pictures._LIGHTS[pictures.TUNING]) & set(pictures._LIGHTS[pictures.HELD])
