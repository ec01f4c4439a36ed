"""The sheet of colours: long codes and names stay in their column."""

from __future__ import annotations

import numpy as np
import pypdfium2

from palette.evidence.combine.model import PaintChoice
from palette.guide.sheet import render
from palette.paints.match import MatchedColour


def test_a_code_that_does_not_break_keeps_clear_of_the_difference() -> None:
    lab = np.array([50.0, 0.0, 0.0])
    code, name = "QUAYSIDEMARINEHOBBYLACQUERBOTTLE17MLSPEC", "Verylongwordwithoutanybreakwhatsoever"
    paint = PaintChoice(code, name, "Harbour", lab, 3.2)
    document = pypdfium2.PdfDocument(render([MatchedColour(lab, "medium grey", (paint,))], (), "pdf"))
    text = document[0].get_textpage()
    read = [(text.get_text_range(index, 1), text.get_charbox(index)) for index in range(text.count_chars())]
    said = "".join(letter for letter, _ in read)
    start = said.index("3.2")
    column = read[start][1][0]
    row = [box for letter, box in read if letter in code + name and box[2] > column - 1]
    height = read[start][1][1], read[start][1][3]
    assert "Q" in said and "Harbour" in said
    # nothing but the difference itself stands in its column, on the lines of this paint
    assert all(box[0] >= column for box in row if box[3] > height[0] - 12 and box[1] < height[1] + 12)
    document.close()
