"""Swatch lists as spreadsheets and instruments write them.

Each test fails when a form that should be read is refused or misread, or a fault loses its line.
"""

from __future__ import annotations

from pathlib import Path

import colour
import numpy as np
import pytest

from palette import InputError, SwatchList
from palette.colour.adaptation import adapted
from palette.colour.difference import difference
from palette.colour.spectra import NM, reflectance_to_lab, tristimulus
from palette.swatches.spectral import to_31, trouble


def swatches(folder: Path, text: str | bytes, name: str = "list.csv") -> SwatchList:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return SwatchList.read(path)


def problems(folder: Path, text: str | bytes, name: str = "list.csv") -> list[tuple[int | None, str]]:
    with pytest.raises(InputError) as caught:
        swatches(folder, text, name)
    assert all(p.file == str(folder / name) for p in caught.value.problems)
    return [(p.line, f"{p.what}; {p.remedy}") for p in caught.value.problems]


_HEADER = "id,name,range,finish,opacity,owned,retired,volume_ml,price,coverage_cm2_per_ml,source,notes"
PLAIN = f"""{_HEADER},lab_l,lab_a,lab_b
B-01,"Red, deep",Bench,Gloss,0.5,yes,no,17,3.10,120,read,a note,30.123456789,40.5,-20.25
B-02,Blue,,,,no,yes,,,,,,40,0,-30
"""


def test_every_column_arrives_with_its_precision(tmp_path: Path) -> None:
    red, blue = swatches(tmp_path, PLAIN).swatches
    assert (red.id, red.name, red.range, red.finish, red.opacity, red.owned, red.retired) == (
        "B-01", "Red, deep", "Bench", "gloss", 0.5, True, False,
    )  # fmt: skip
    assert (red.volume_ml, red.price, red.coverage_cm2_per_ml, red.source, red.notes) == (
        17.0, 3.1, 120.0, "read", "a note",
    )  # fmt: skip
    assert red.lab.tolist() == [30.123456789, 40.5, -20.25] and red.measured == "lab" and red.line == 2
    assert (blue.owned, blue.retired, blue.opacity, blue.range, blue.line) == (False, True, None, "", 3)


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("first", ["", "\n  \n", "sep={d}\n"])
def test_any_spreadsheets_dialect(
    tmp_path: Path, mark: str, newline: str, delimiter: str, first: str
) -> None:
    rows = [
        [" ID", "Name ", "LAB_L", "lab a", "Lab-b", "my column"],
        [],
        ['"B-01"', f'"Red{delimiter} ""deep"""', "30.5", " 40", "-20.25 ", "x"],
        ["", "", "", "", "", ""],
        ["B-02", "Two", "1e1", "\u22125", "0"],
    ]
    if delimiter != ",":
        rows = [[cell.replace(".", ",") for cell in row] for row in rows]
    text = first.format(d=delimiter) + "\n".join(delimiter.join(row) for row in rows)
    paints = swatches(tmp_path, (mark + text.replace("\n", newline)).encode()).swatches
    assert [(s.id, s.name) for s in paints] == [("B-01", f'Red{delimiter} "deep"'), ("B-02", "Two")]
    assert [s.lab.tolist() for s in paints] == [[30.5, 40.0, -20.25], [10.0, -5.0, 0.0]]
    offset = first.count("\n")
    assert [s.line for s in paints] == [3 + offset, 5 + offset]


def test_finish_and_medium_in_other_words(tmp_path: Path) -> None:
    text = "id,name,finish,medium,hex\nA,a,Matte,Water-based,#111111\nB,b,flat,Lacquer,#222222\n"
    text += "C,c,semi-gloss,acrylic,#333333\nD,d,Semi Gloss,,#444444\nE,e,glossy,OIL,#555555\n"
    kinds = [(s.finish, s.medium) for s in swatches(tmp_path, text).swatches]
    assert kinds == [("matt", "water"), ("matt", "lacquer"), ("satin", ""), ("satin", ""), ("gloss", "oil")]


def test_a_cell_over_two_lines_does_not_move_the_lines_below(tmp_path: Path) -> None:
    text = 'id,name,notes,hex\nA,One,"two\nlines",#102030\nB,Two,,#10203\n'
    assert [line for line, _ in problems(tmp_path, text)] == [4]


def test_the_best_colour_counts(tmp_path: Path) -> None:
    head = ",".join(["id", "name", "hex", "lab_l", "lab_a", "lab_b", *(f"nm{nm:g}" for nm in NM)])
    grey = ",".join(["0.2"] * 31)
    blank = "," * 30
    text = f"{head}\nA,a,#ff0000,50,1,2,{grey}\nB,b,#ff0000,50,1,2,{blank}\nC,c,#ff0000,,,,{blank}\n"
    a, b, c = swatches(tmp_path, text).swatches
    assert [s.measured for s in (a, b, c)] == ["reflectance", "lab", "hex"]
    # a perfect grey's L* by CIE 15: 116 × 0.2^(1/3) − 16, a* = b* = 0
    np.testing.assert_allclose(a.lab, [116 * 0.2 ** (1 / 3) - 16, 0, 0], atol=1e-9)
    assert b.lab.tolist() == [50, 1, 2]
    np.testing.assert_allclose(c.lab, [53.24, 80.09, 67.20], atol=0.02)  # sRGB red in CIELAB, IEC 61966-2-1


def chart() -> list[tuple[str, colour.SpectralDistribution]]:
    """The 24-patch chart's measured reflectances (Ohta 1997, in colour-science), 380…780 by 5 nm."""
    return list(colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"].items())


@pytest.mark.parametrize(
    ("grid", "within"),
    [
        (np.arange(380, 731, 10), 1e-9),
        (np.arange(400, 701, 5), 1e-9),
        (np.arange(380, 781, 5), 1e-9),
        (np.arange(400, 701, 20), 0.6),
        (np.arange(420, 681, 10), 0.6),
    ],
)
@pytest.mark.parametrize("scale", [1, 100])
def test_other_wavelengths_and_percent(tmp_path: Path, grid: np.ndarray, within: float, scale: int) -> None:
    # fails when a reading on another grid is shifted, cut or not interpolated; `within` is CIEDE2000
    rows = [",".join(["id", "name", *(f"nm{nm}" for nm in grid)])]
    for i, (name, sd) in enumerate(chart()):
        rows.append(",".join([str(i), name, *(f"{sd[float(nm)] * scale:.10g}" for nm in grid)]))
    paints = swatches(tmp_path, "\n".join(rows))
    true = reflectance_to_lab([[sd[float(nm)] for nm in NM] for _, sd in chart()])
    assert difference(paints.lab, true).max() < within


def test_interpolation_is_exact_for_cubics() -> None:
    grid = np.array([390, 404, 420, 445, 460, 480, 500, 520, 540, 560, 580, 600, 620, 640, 660, 680, 705.0])
    cubic = np.polynomial.Polynomial([0.2, 1e-3, -2e-6, 1e-9])
    np.testing.assert_allclose(cubic(grid) @ to_31(grid), cubic(NM), atol=1e-12)


@pytest.mark.parametrize(
    ("grid", "word"),
    [
        (np.arange(450, 701, 10), "450 to 700"),
        (np.arange(400, 661, 10), "400 to 660"),
        ([400, 500, 600, 700], "gap"),
    ],
)
def test_wavelengths_that_will_not_do(tmp_path: Path, grid: list[int], word: str) -> None:
    assert word in str(trouble(grid))
    text = ",".join(["id", "name", *(f"nm{nm}" for nm in grid)]) + "\nA,a" + ",0.2" * len(grid)
    ((line, said),) = problems(tmp_path, text)
    assert line == 1 and word in said


def test_every_fault_of_every_row_at_once(tmp_path: Path) -> None:
    text = """id,name,lab_l,lab_a,lab_b,hex,opacity,owned,specular,tint_share
A,One,5o,0,0,,,,,
B,Two,101,0,,,,,,
,Three,50,0,0,,,,,
D,,50,0,0,#12345,1.5,maybe,half,10
A,Five,50,0,400,,,,,
E,Six,nan,0,0,,,,,
F,Seven,50,0,0,,,,,,more
"""
    reported = problems(tmp_path, text)
    said = [(line, [word for word in _WORDS if word in text]) for line, text in reported]
    assert [line for line, _ in said] == sorted(line for line, _ in said)
    assert sorted((line, word) for line, (word,) in said) == [
        (2, "'5o'"), (3, "lab_b is blank"), (3, "outside"), (4, "no id"), (5, "#12345"), (5, "'half'"),
        (5, "'maybe'"), (5, "no name"), (5, "opacity is 1.5"), (5, "tint_share is 10"), (6, "already"),
        (6, "no colour has"), (7, "'nan'"), (8, "11 cells"),
    ]  # fmt: skip


_WORDS = (
    "'5o'", "outside", "lab_b is blank", "no id", "#12345", "'half'", "'maybe'", "no name", "opacity is 1.5",
    "tint_share is 10", "already", "no colour has", "'nan'", "11 cells",
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        (b"", None, "empty"),
        ("id,name,hex\nA,One,#102030\n".encode("utf-16"), 1, "UTF-16"),
        ("id,name,hex\nA,Caf\u00e9,#102030\n".encode("cp1252"), 2, "UTF-8"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", 1, "no text"),
        (b"A,One,#102030\nB,Two,#203040\n", 1, "header"),
        (b"id,hex\nA,#102030\n", 1, "'name'"),
        (b"id,name,lab_l,lab_a,lab_b\nA,One,50,0,1e999\n", 2, "'1e999'"),
        (b"id,name,hex\n", None, "no paint"),
        (b"id,name,hex,hex\nA,One,#102030,#102030\n", 1, "twice"),
        (b"id,name\nA,One\n", 1, "no paint has a colour"),
        (b'id,name,hex\nA,"One,#102030\nB,Two,#203040\n', 2, "quote"),
        (b"id,name,lab_l,lab_a,lab_b\nA,One,30,5,40,0,2,0\n", 2, "8 cells"),
    ],
)
def test_a_text_that_is_no_list(tmp_path: Path, text: bytes, line: int | None, word: str) -> None:
    reported = problems(tmp_path, text)
    assert len(reported) == 1, reported
    assert reported[0][0] == line and word in reported[0][1]


def test_ids_are_unique_over_all_lists(tmp_path: Path) -> None:
    for name in ("a.csv", "b.csv"):
        (tmp_path / name).write_text("id,name,hex\nA,One,#102030\n")
    with pytest.raises(InputError, match=r"b\.csv:2: id 'A' stands on line 2 of .*a\.csv already"):
        SwatchList.read(tmp_path / "a.csv", tmp_path / "b.csv")
    with pytest.raises(InputError, match="named twice"):
        SwatchList.read(tmp_path / "a.csv", tmp_path / "a.csv")


def test_a_header_without_a_column_hides_nothing_else(tmp_path: Path) -> None:
    """Fails when a missing id, or a column named twice, keeps the missing colour or a bad cell for later."""
    reported = problems(tmp_path, b"name,range,opacity,range\nOne,Bench,7,\nTwo,Bench,0.5,\n")
    assert [line for line, _ in reported] == [1, 1, 2, 1]
    words = ("'id'", "twice", "opacity is 7", "no paint has a colour")
    assert all(word in what for word, (_, what) in zip(words, reported, strict=True))
    assert len(problems(tmp_path, b"name,hex\nOne,#102030\n")) == 1


@pytest.mark.parametrize("what", ["missing", "folder"])
def test_no_file_there(tmp_path: Path, what: str) -> None:
    with pytest.raises(InputError, match=r"no such file|is a folder"):
        SwatchList.read(tmp_path if what == "folder" else tmp_path / "none.csv")


def test_a_paint_without_a_colour_is_left_out(tmp_path: Path) -> None:
    assert swatches(tmp_path, "id,name,hex\nA,Varnish,\nB,Red,#800000\n").ids == ["B"]


TINTED = """id,name,hex,tint_l,tint_a,tint_b,tint_share,tint_white
W,White,#f4f4f0,,,,,
A,Red,#800000,60,20,10,0.1,W
B,Blue,#000080,60,0,-30,0.1,X
C,Green,#008000,60,-20,10,,W
"""


def test_a_tint_counts_only_with_its_share_and_white(tmp_path: Path) -> None:
    _, a, b, c = swatches(tmp_path, TINTED).swatches
    assert a.tint_lab is not None and a.tint_lab.tolist() == [60, 20, 10]
    assert (a.tint_share, a.tint_white) == (0.1, "W")
    assert b.tint_lab is None and b.tint_white is None and c.tint_lab is None and c.tint_share is None


def cgats(fields: str, data: list[str], header: str = "", sets: int | None = None) -> str:
    top = ["CGATS.17", 'ORIGINATOR "bench"', header, f"NUMBER_OF_FIELDS {len(fields.split())}"]
    form = ["BEGIN_DATA_FORMAT", fields, "END_DATA_FORMAT", f"NUMBER_OF_SETS {sets or len(data)}"]
    return "\n".join([*top, *form, "BEGIN_DATA", *data, "END_DATA", ""])


def test_an_instruments_lab(tmp_path: Path) -> None:
    # keywords of CGATS.17 / ISO 28178
    text = cgats(
        "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B",
        ['A1 "Deep ""red"" one" 40.12 30.5 -2e1', "A2 White 95 0 0"],
    )
    paints = swatches(tmp_path, text, "export.txt").swatches
    assert [(s.id, s.name, s.lab.tolist(), s.line) for s in paints] == [
        ("A1", 'Deep "red" one', [40.12, 30.5, -20.0], 10),
        ("A2", "White", [95.0, 0.0, 0.0], 11),
    ]


def test_an_export_with_tabs_and_blank_cells(tmp_path: Path) -> None:
    text = cgats(
        "SAMPLE_ID\tSAMPLE_NAME\tLAB_L\tLAB_A\tLAB_B\tNOTES",
        ["A1\tDeep red\t40\t30\t20\t", "A2\tTwo\t50\t1\t2"],
    )
    assert [s.name for s in swatches(tmp_path, text).swatches] == ["Deep red", "Two"]


@pytest.mark.parametrize(
    "form", ["SPECTRAL_NM{}", "SPECTRAL_NM_{}", "SPECTRAL_{}", "NM{}", "NM_{}", "nm{}", "R_{}nm", "{}"]
)
@pytest.mark.parametrize("scale", [1, 100])
def test_an_instruments_spectra(tmp_path: Path, form: str, scale: int) -> None:
    grid = range(380, 731, 10)
    data = [
        f"{i} " + " ".join(f"{sd[float(nm)] * scale:.8f}" for nm in grid) for i, (_, sd) in enumerate(chart())
    ]
    # the Lab beside the spectra is under D50, as instruments give it: the spectra must win
    fields = "SAMPLE_ID " + " ".join(form.format(nm) for nm in grid) + " LAB_L LAB_A LAB_B"
    text = cgats(fields, [row + " 50 0 0" for row in data], 'WEIGHTING_FUNCTION "ILLUMINANT, D50"')
    paints = swatches(tmp_path, text)
    true = reflectance_to_lab([[sd[float(nm)] for nm in NM] for _, sd in chart()])
    assert difference(paints.lab, true).max() < 1e-4
    assert [s.measured for s in paints.swatches] == ["reflectance"] * 24


@pytest.mark.parametrize("kind", ["LAB", "XYZ"])
def test_colours_under_d50_are_carried_to_d65(tmp_path: Path, kind: str) -> None:
    # The truth is the measured reflectances under D65; adaptation cannot be exact, but must beat nothing.
    spectra = np.array([[sd[float(nm)] for nm in NM] for _, sd in chart()])
    d50 = reflectance_to_lab(spectra, "D50")
    values = d50 if kind == "LAB" else spectra @ tristimulus("D50")[0] * 100
    names = "LAB_L LAB_A LAB_B" if kind == "LAB" else "XYZ_X XYZ_Y XYZ_Z"
    data = [f"{i} " + " ".join(map(repr, map(float, row))) for i, row in enumerate(values)]
    paints = swatches(tmp_path, cgats(f"SAMPLE_ID {names}", data, 'WEIGHTING_FUNCTION "ILLUMINANT, D50"'))
    true = reflectance_to_lab(spectra)
    off = difference(paints.lab, true)
    assert off.mean() < 0.75 * difference(d50, true).mean() and off.max() < 4


def test_the_bradford_transform_is_that_of_colour_science() -> None:
    xyz = np.random.default_rng(5).uniform(0, 1, (50, 3))
    d50, d65 = tristimulus("D50")[1], tristimulus("D65")[1]
    theirs = colour.adaptation.chromatic_adaptation_VonKries(xyz, d50, d65, transform="Bradford")
    np.testing.assert_allclose(adapted(xyz, d50, d65), theirs, atol=1e-4)


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        (cgats("SAMPLE_ID LAB_L LAB_A LAB_B", ["A 50 0 0", "B 50 0"]), 11, "3 values"),
        (cgats("SAMPLE_ID LAB_L LAB_A LAB_B", ["A 50 0 0", "B 5x 0 0"]), 11, "'5x'"),
        (cgats("SAMPLE_ID LAB_L LAB_A LAB_B", ["A 50 0 0"], sets=3), 8, "NUMBER_OF_SETS says 3"),
        (cgats("LAB_L LAB_A LAB_B", ["50 0 0"]), 5, "SAMPLE_ID"),
        (cgats("SAMPLE_ID RGB_R RGB_G RGB_B", ["A 1 2 3"]), 5, "LAB"),
        (cgats("SAMPLE_ID LAB_L LAB_A LAB_B", ["A 50 0 0"]).replace("END_DATA\n", ""), 11, "breaks off"),
        (
            cgats("SAMPLE_ID LAB_L LAB_A LAB_B", ["A 50 0 0"], 'WEIGHTING_FUNCTION "OBSERVER, 10 degree"'),
            3,
            "10-degree",
        ),
        (cgats("SAMPLE_ID LAB_L LAB_A LAB_B", ["A 50 0 0", "A 51 0 0"]), 11, "already"),
    ],
)
def test_an_export_with_a_fault(tmp_path: Path, text: str, line: int, word: str) -> None:
    reported = problems(tmp_path, text)
    assert len(reported) == 1, reported
    assert reported[0][0] == line and word in reported[0][1]


@pytest.mark.parametrize(("header", "word"), [("Nr", "id"), ("No.", "id"), ("Code", "id")])
def test_a_column_by_another_name_is_one_line(tmp_path: Path, header: str, word: str) -> None:
    rows = "".join(f"{i},paint,dear\n" for i in range(100))
    ((line, said),) = problems(tmp_path, f"{header},name,price\n{rows}")
    assert (line, said) == (1, f"column {header!r} looks like the {word}; call it {word}")
    reported = problems(tmp_path, "Code;Colour;L;a;b\nA;Red;40;30;20\n")
    assert [said for _, said in reported] == [
        "column 'Code' looks like the id; call it id",
        "column 'Colour' looks like the name; call it name",
    ]


def test_spreadsheet_habits_that_are_beyond_doubt(tmp_path: Path) -> None:
    text = "id;name;L;a;b;price;owned;finish\nA;Red;40,5;30;-20;3,10 €;x;Matte\n"
    text += "B;Blue;40;–3;-20;£ 1,250.00;;flat\n"
    red, blue = swatches(tmp_path, text).swatches
    assert red.lab.tolist() == [40.5, 30, -20] and (red.price, red.owned) == (3.10, True)
    assert blue.lab.tolist() == [40, -3, -20]
    assert (blue.price, blue.owned, blue.finish) == (1250, None, "matt")


@pytest.mark.parametrize(
    ("column", "cells"),
    [
        (
            "price",
            {"EUR2.10": 2.1, "2.50EUR": 2.5, "30 kr.": 30, "Fr. 3.-": 3, "3,–": 3, "4 zł": 4, "2,50": 2.5},
        ),
        ("price", {"1.234,50": 1234.5, "1,234.50": 1234.5, "1'234.50": 1234.5, "1.234.567": 1_234_567}),
        ("volume_ml", {"17 ml": 17, "17ML": 17, "2,5 ml": 2.5}),
        ("opacity", {"80%": 0.8, "80 %": 0.8, "0,8": 0.8}),
        ("owned", dict.fromkeys(("ja", "WAHR", "oui", "sí", "☑", "✓"), True)),
        ("owned", dict.fromkeys(("nein", "FALSCH", "non", "✗", "–"), False)),
        ("finish", {"seidenmatt": "satin", "Glänzend": "gloss"}),
    ],
)
def test_cells_as_people_write_them(tmp_path: Path, column: str, cells: dict[str, object]) -> None:
    text = f"id;name;hex;{column}\n" + "".join(f"{i};x;#10203{i};{cell}\n" for i, cell in enumerate(cells))
    assert [getattr(s, column) for s in swatches(tmp_path, text).swatches] == list(cells.values())


@pytest.mark.parametrize("names", ["L *,a *,b *", "CIE L*,CIE a*,CIE b*", "Lab L,Lab a,Lab b", "L,a,b"])
def test_lab_by_its_other_names(tmp_path: Path, names: str) -> None:
    (red,) = swatches(tmp_path, f"id,name,{names}\nA,Red,40,50,30\n").swatches
    assert red.lab.tolist() == [40, 50, 30]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "My paints,,\nof 2024,,\nid,name,hex\nA,a,#102030\n",
            "the header stands on line 3, below other rows",
        ),
        ("id|name|hex\nA|a|#102030\n", "its cells are parted by '|'"),
        ("id,name,HEX CODE\nA,a,#102030\n", "column 'hex_code' looks like one; call it hex"),
        ("id,name,R,G,B\nA,a,1,2,3\n", "column 'r' looks like one; write the colour as #rrggbb"),
        ("id,name,L,C,h\nA,a,1,2,3\n", "column 'c' looks like one; write L*, a* and b*"),
        ("id,name,L*(D50),a*(D50),b*(D50)\nA,a,1,2,3\n", "and a column illuminant"),
        ("id,name,400nm,410nm\nA,a,1,2\n", "column '400nm' looks like one; call the reflectances nm400"),
        ("Nr;Name;hex\n1;a;#102030\n", "column 'Nr' looks like the id"),
        ("id;Farbe;hex\n1;a;#102030\n", "column 'Farbe' looks like the name"),
        ("id,name,hex\nA,a,112233\nB,b,123\n", "hex is '123', which is #112233 or #000123"),
        ("id;name;hex;price;volume_ml\nA;a;#102030;1.234,50;1.000\n", "'1.000', which is 1.000 or 1000"),
        ("id,name,lab_l,lab_a,lab_b\nA,a,.4,.5,.3\nB,b,.9,0,-.1\n", "look like fractions of 1"),
        ("id,name,lab_l,lab_a,lab_b\nA,a,24549,33000,1\nB,b,9,0,1\n", "look like levels of 16 bits"),
        (
            "id,name,L,a,b\nA,a,96,178,161\nB,b,60,150,80\nC,c,90,128,128\nD,d,30,120,140\n",
            "look like levels of 8 bits",
        ),
        (
            "id,name,L,a,b\nA,a,40,58,31\nB,b,30,60,190\nC,c,70,20,95\nD,d,50,30,180\n",
            "look like L*, C* and a hue angle",
        ),
    ],
)
def test_what_is_not_beyond_doubt_is_one_line(tmp_path: Path, text: str, said: str) -> None:
    # fails where a list is read as other colours or sizes than were meant, or with a line a row
    ((_, what),) = problems(tmp_path, text)
    assert said in what, what


def test_a_list_of_dark_or_yellow_paints_is_not_accused(tmp_path: Path) -> None:
    text = (
        "id,name,lab_l,lab_a,lab_b\nA,black,0.6,0.1,0.2\nB,dark,12,1,1\nC,yellow,86,4,112\nD,gold,70,41,95\n"
    )
    assert len(swatches(tmp_path, text).swatches) == 4
    shorthand = "id,name,hex\nA,a,123\nB,b,#456\n"
    assert len(swatches(tmp_path, shorthand).swatches) == 2


@pytest.mark.parametrize(
    ("rows", "price"),
    [
        ('A,a,#102030,"1,234"\n', None),
        ('A,a,#102030,"1,234"\nB,b,#203040,"2,5"\n', 1.234),  # the list writes decimal commas
        ('A,a,#102030,"12,34"\n', 12.34),
    ],
)
def test_a_price_that_may_be_two_is_asked_about(tmp_path: Path, rows: str, price: float | None) -> None:
    text = "id,name,hex,price\n" + rows
    if price is None:
        assert problems(tmp_path, text) == [
            (2, "paint 'A': price is '1,234', which is 1.234 or 1234; write it without a comma")
        ]
    else:
        assert swatches(tmp_path, text).swatches[0].price == price


def test_a_cell_that_is_too_long_is_called_so(tmp_path: Path) -> None:
    text = "id,name,notes,hex\nA,a,,#102030\nB,b," + "x" * 200_000 + ",#102030\n"
    ((line, said),) = problems(tmp_path, text)
    assert line == 3 and "longer than 131,072 characters" in said


@pytest.mark.parametrize("form", ["column", "comment", "semicolons"])
def test_lab_under_d50_is_carried_to_d65(tmp_path: Path, form: str) -> None:
    """Against colour-science: Lab under D50 to XYZ, Bradford to D65, Lab."""
    lab = np.array([[50.0, 60.0, 40.0], [60.0, -40.0, 30.0], [90.0, 0.0, 0.0]])
    d50, d65 = (colour.xy_to_XYZ(colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][w]) for w in
                ("D50", "D65"))  # fmt: skip
    xyz = colour.Lab_to_XYZ(lab, colour.XYZ_to_xy(d50))
    there = colour.adaptation.chromatic_adaptation_VonKries(xyz, d50, d65, transform="Bradford")
    want = colour.XYZ_to_Lab(there, colour.XYZ_to_xy(d65))
    rows = "".join(f"{i},n{i},{','.join(map(str, row))},d50\n" for i, row in enumerate(lab))
    text = "id,name,lab_l,lab_a,lab_b,illuminant\n" + rows
    if form != "column":
        text = "# illuminant: D50\n" + text.replace(",illuminant", "").replace(",d50", "")
    if form == "semicolons":
        text = text.replace(",", ";")
    paints = swatches(tmp_path, text)
    np.testing.assert_allclose(paints.lab, want, atol=0.02)
    assert difference(paints.lab, lab).max() > 0.8


def test_an_illuminant_that_is_none(tmp_path: Path) -> None:
    text = "id,name,lab_l,lab_a,lab_b,illuminant\nA,a,50,0,0,D56\n"
    ((line, said),) = problems(tmp_path, text)
    assert line == 2 and "illuminant is 'D56'" in said
