"""What a scheme's parts become on the way to the basket."""

from __future__ import annotations

from palette.paints.swatches import SwatchList
from palette.scheme import scheme
from palette.scheme.shopping import to_buy
from tests.scheme.kits import kit, part


def test_a_metallic_part_is_bought_a_metallic_paint(tmp_path):
    # fails where the finish of a part is lost on the way: both have one colour, which owned paints can mix
    why, colour = 'why = "said"', "colour = { lab = [60, 0, 0] }"
    blocks = [part("wall", colour, why), part("rail", 'finish = "metallic"', colour, why)]
    parts = scheme(kit(tmp_path, *blocks, paints=False)).parts
    rows = [
        "id,name,finish,owned,lab_l,lab_a,lab_b",
        "W,White,matt,yes,95,0,0",
        "K,Black,matt,yes,12,0,0",
        "S,Steel,metallic,no,62,0,0",
    ]
    (tmp_path / "list.csv").write_text("\n".join(rows) + "\n")
    found = to_buy(parts, SwatchList.read(tmp_path / "list.csv"), 3.0, 2, 12, False)
    rail = found.chosen.ways[1]
    assert rail is not None and rail.drops == (("S", 1),) and found.chosen.buy == ("S",)
