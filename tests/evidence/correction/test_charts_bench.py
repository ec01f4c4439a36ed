"""The bench of real photographs reads any folder of its shape."""

from __future__ import annotations

import json

import numpy as np
import pytest
from PIL import Image

from palette.colour.spaces import lab_to_linear, linear_to_lab, srgb_encode
from tests.benchmarks import charts

LABS = [[float(light), 0.0, 0.0] for light in (95, 81, 67, 51, 36, 20)] + [
    [50.0, a, b] for a in (-18.0, 0.0, 18.0) for b in (-18.0, 9.0, 18.0)
]


@pytest.fixture
def folder(tmp_path):
    """Two pictures of one chart, each under a light of its own; the second's chart is of another edition."""
    levels = 0.7 * np.maximum(lab_to_linear(np.array(LABS)), 0)
    pictures = []
    for name, light in (("warm", [1.0, 0.8, 0.6]), ("cold", [0.7, 0.8, 1.0])):
        row = np.rint(255 * srgb_encode(levels * light))
        picture = np.kron(row[None], np.ones((10, 10, 1))).astype(np.uint8)
        Image.fromarray(picture).save(tmp_path / f"{name}.png")
        rects = [[10 * i + 2, 2, 6, 6] for i in range(len(LABS))]
        pictures.append({"id": name, "file": f"{name}.png", "rects": rects})
    pictures[1]["edition"] = "b"
    patches = [{"name": str(i), "a": lab, "b": [lab[0] / 2, *lab[1:]]} for i, lab in enumerate(LABS)]
    (tmp_path / "charts.json").write_text(json.dumps({"patches": patches, "pictures": pictures}))
    return tmp_path


def test_a_folder_is_read_with_each_chart_s_own_edition(folder):
    warm, cold = charts.charts(folder)
    assert np.allclose(warm.truth, LABS)
    assert np.allclose(cold.truth[:, 0], np.array(LABS)[:, 0] / 2)
    assert list(warm.greys) == [0, 1, 2, 3, 4, 5]
    assert np.abs(linear_to_lab(warm.linear / (0.7 * np.array([1.0, 0.8, 0.6]))) - LABS).max() < 1.5


def test_it_is_measured_beside_the_simple_methods_and_no_anchor_of_a_true_chart_is_accused(folder, capsys):
    charts.table(list(charts.charts(folder))[:1], (charts.SIX, charts.GREYS, charts.NEUTRAL))
    rows = capsys.readouterr().out.splitlines()[1:]
    assert [row[: len(charts.NEUTRAL)].strip() for row in rows] == [charts.SIX, charts.GREYS, charts.NEUTRAL]
    assert all(row.split()[-3] == "0" for row in rows)


def test_what_is_held_back_hangs_on_names_alone():
    names = [f"picture {i}" for i in range(11)]
    held = charts.held_back(names)
    assert len(held) == 5
    assert held == charts.held_back(names[::-1])
    assert held != set(names[1::2])
