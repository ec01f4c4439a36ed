"""Lists merged, compared, marked, and replacements found.

Each test fails when a row is lost, a cell is rewritten that nobody touched, or a retired paint proposed.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palette import InputError, SwatchList
from palette.colour.difference import difference
from palette.kit.read import read as read_kit
from palette.swatches.kitlists import kit_swatches, stated_lab
from palette.swatches.lists import changes, merge, merge_into, replacements
from palette.swatches.writing import ListDraft, cell_spans, csv_line

SPREADSHEET = (
    "\ufeffID ;Name;Lab_L;lab_a;lab_b;owned;shelf;notes\r\n"
    ';;;;;;;\r\n'
    'B-01;"Red; ""deep""";30,50;40,0;20,0;yes;top;"over\r\ntwo lines"\r\n'
    "B-02 ; Blue;40,0;0,0;-30,0;;;\r\n"
    "B-03;Green;50;-20;20\r\n"
)  # fmt: skip


def draft(folder: Path, text: str = SPREADSHEET) -> tuple[ListDraft, Path]:
    path = folder / "mine.csv"
    path.write_bytes(text.encode())
    return ListDraft(path), path


def test_a_mark_changes_its_cell_and_nothing_else(tmp_path: Path) -> None:
    change, path = draft(tmp_path)
    change.set("B-02", "owned", "yes")
    assert change.save()
    assert path.read_bytes().decode() == SPREADSHEET.replace(
        "B-02 ; Blue;40,0;0,0;-30,0;;;", "B-02 ; Blue;40,0;0,0;-30,0;yes;;"
    )
    change.set("B-01", "owned", "no")
    change.save()
    assert "-30,0;yes;;" in path.read_text("utf-8") and ';no;top;"over' in path.read_text("utf-8")


def test_a_new_column_touches_the_header_and_the_marked_rows(tmp_path: Path) -> None:
    change, path = draft(tmp_path)
    change.set("B-01", "retired", "yes")
    change.set("B-03", "retired", "yes")
    change.save()
    before, after = SPREADSHEET.split("\r\n"), path.read_bytes().decode().split("\r\n")
    assert after[0] == before[0] + ";retired" and after[3] == before[3] + ";yes"
    assert after[5] == before[5] + ";;;;yes"
    assert [after[i] for i in (1, 2, 4, 6)] == [before[i] for i in (1, 2, 4, 6)]
    assert [s.retired for s in SwatchList.read(path).swatches] == [True, False, True]


def test_what_is_so_already_is_not_written(tmp_path: Path) -> None:
    change, path = draft(tmp_path)
    stamp = path.stat().st_mtime_ns
    change.set("B-01", "owned", "yes")
    assert not change.save() and path.stat().st_mtime_ns == stamp


def test_an_unknown_id_and_a_file_changed_meanwhile(tmp_path: Path) -> None:
    change, path = draft(tmp_path)
    with pytest.raises(InputError, match="did you mean 'B-02'"):
        change.set("b-02", "owned", "yes")
    change.set("B-02", "owned", "yes")
    path.write_text("id,name,hex\nB-02,Blue,#000080\n")
    with pytest.raises(InputError, match="changed by another"):
        change.save()
    assert path.read_text() == "id,name,hex\nB-02,Blue,#000080\n"


TEXTS = st.text(st.characters(exclude_characters="\r", exclude_categories=["Cs"]))


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.text(st.characters(exclude_characters="\r", exclude_categories=["Cs"])), min_size=1),
    st.sampled_from(",;\t"),
)
def test_cells_are_found_where_they_were_written(cells: list[str], delimiter: str) -> None:
    row = csv_line(cells, delimiter)
    cut = [row[start:end] for start, end in cell_spans(row, delimiter)]
    assert [c[1:-1].replace('""', '"') if c.startswith('"') else c for c in cut] == cells


def write(folder: Path, **texts: str) -> list[Path]:
    for name, text in texts.items():
        (folder / f"{name}.csv").write_text(text)
    return [folder / f"{name}.csv" for name in texts]


def test_merging_keeps_rows_columns_and_figures(tmp_path: Path) -> None:
    a, b = write(
        tmp_path,
        a='id;name;lab_l;lab_a;lab_b;shelf\nA;"One; two";30,50;1;2;top\n',
        b="id,name,hex,owned\nB,Three,#102030,yes\n",
    )
    text, count = merge([a, b])
    assert count == 2
    assert (
        text
        == "id,name,lab_l,lab_a,lab_b,shelf,hex,owned\nA,One; two,30.50,1,2,top,,\nB,Three,,,,,#102030,yes\n"
    )
    merged = tmp_path / "all.csv"
    merged.write_text(text)
    assert merge([merged, a, b]) == (text, 2)  # what stands in both alike is written once


def test_merging_reflectances_of_different_grids(tmp_path: Path) -> None:
    ten, twenty = np.arange(400, 701, 10), np.arange(380, 741, 20)
    texts = {}
    for id, grid, scale in (("a", ten, 1), ("b", twenty, 100)):
        columns = ",".join(f"nm{nm}" for nm in grid)
        cells = ",".join(f"{scale * (0.1 + 0.6 * (nm - 380) / 360):.6f}" for nm in grid)
        texts[id] = f"id,name,{columns}\n{id},{id},{cells}\n"
    a, b = write(tmp_path, **texts)
    (tmp_path / "all.csv").write_text(merge([a, b])[0])
    one, two = SwatchList.read(tmp_path / "all.csv").swatches
    assert one.reflectance is not None and two.reflectance is not None
    np.testing.assert_allclose(one.reflectance, two.reflectance, atol=2e-5)
    assert difference(one.lab, two.lab) < 0.01


def test_merging_lists_that_differ_on_a_paint(tmp_path: Path) -> None:
    a, b = write(tmp_path, a="id,name,hex\nA,One,#102030\n", b="id,name,hex\nA,One,#102031\n")
    with pytest.raises(InputError, match=r"b\.csv:2: id 'A' stands for another row on line 2 of .*a\.csv"):
        merge([a, b])
    assert merge([a, b], later_wins=True) == ("id,name,hex\nA,One,#102031\n", 1)


def test_merging_into_a_list_writes_only_what_is_new_or_different(tmp_path: Path) -> None:
    """Fails where the owner's separators, quotes, decimal commas or untouched rows are written anew."""
    bench = tmp_path / "bench.csv"
    lines = (
        "\ufeffid;name;notes;lab_l;lab_a;lab_b",
        'A;"Grey; old";;50,10;1;2',
        "B;Red; as is ;40,5;50;30",
        ";;",
    )
    text = "".join(line + "\r\n" for line in lines)
    bench.write_bytes(text.encode())
    (more,) = write(
        tmp_path, more="id,name,lab_l,lab_a,lab_b,shelf\nB,Red,41.25,50,30,\nC,Blue,30.5,5,-40,top\n"
    )
    assert merge_into(bench, [bench, more], later_wins=True) == (3, 2)
    expected = text.replace("lab_b\r", "lab_b;shelf\r").replace("B;Red; as is ;40,5;", "B;Red;;41,25;")
    expected = expected.replace(";30\r\n", ";30\r\nC;Blue;;30,5;5;-40;top\r\n")
    assert bench.read_bytes().decode() == expected
    assert merge_into(bench, [bench, more], later_wins=True) == (3, 0)
    assert bench.read_bytes().decode() == expected
    alone, joined = tmp_path / "alone.csv", tmp_path / "joined.csv"
    alone.write_bytes(b"id,name,hex\nA,x,#102030")  # no newline at its end
    joined.write_text(merge([alone, more])[0])
    assert merge_into(alone, [alone, more])[1] == 2
    assert not any(changes(joined, alone).__dict__.values())


def test_merging_into_a_list_changes_nothing_where_it_cannot_be_done(tmp_path: Path) -> None:
    nm = ",".join(f"nm{n}" for n in range(400, 701, 10))
    fine = ",".join(f"nm{n}" for n in range(400, 701, 5))
    a, b, c = write(
        tmp_path,
        a=f"id,name,{nm}\nA,x{',0.5' * 31}\n",
        b=f"id,name,{fine}\nB,y{',0.5' * 61}\n",
        c="id,name,hex\nA,other,#102030\n",
    )
    before = a.read_bytes()
    for others, said in (([b], "different wavelengths"), ([c], "stands for another row")):
        with pytest.raises(InputError, match=said):
            merge_into(a, [a, *others])
    assert a.read_bytes() == before


def test_what_changed_between_two_versions(tmp_path: Path) -> None:
    old, new = write(
        tmp_path,
        old="id;name;lab_l;lab_a;lab_b;price\nA;One;30,50;1;2;3,10\nB;Two;40;0;0;\nC;Three;50;0;0;2\n",
        new="id,name,price,lab_l,lab_a,lab_b,retired\nD,Four,,60,0,0,\nC,Three,2.5,52,0,0,yes\nA,One,3.1,30.5,1,2,\n",
    )
    changed = changes(old, new)
    assert (changed.added, changed.removed) == ([("D", "Four")], [("B", "Two")])
    (c,) = changed.changed
    assert (c.id, c.cells) == ("C", (("lab_l", "50", "52"), ("price", "2", "2.5"), ("retired", "", "yes")))
    assert c.difference == pytest.approx(float(difference([50, 0, 0], [52, 0, 0])))


LIST = """id,name,range,lab_l,lab_a,lab_b,retired
A,gone,Old,50,10,10,yes
B,gone too,Old,50,11,10,yes
C,near,New,51,10,10,
D,far,New,80,0,0,no
E,other,Third,50,10,14,
"""


def test_replacements_are_living_and_nearest_first(tmp_path: Path) -> None:
    (path,) = write(tmp_path, list=LIST)
    replaced = replacements([path])
    assert [r.swatch.id for r in replaced] == ["A", "B"]
    assert all([s.id for s, _ in r.paints] == ["C", "E", "D"] for r in replaced)
    assert [d for _, d in replaced[0].paints] == sorted(d for _, d in replaced[0].paints)
    (one,) = replacements([path], ["C"], count=1)
    assert [s.id for s, _ in one.paints] == ["E"]  # not itself
    with pytest.raises(InputError, match="'X'"):
        replacements([path], ["X"])
    (gone,) = write(tmp_path, gone="\n".join(LIST.splitlines()[:3]))
    with pytest.raises(InputError, match="every paint is retired"):
        replacements([gone])


def test_a_replacement_is_of_the_same_kind(tmp_path: Path) -> None:
    """Fails where silver stands in for grey, or a kind with no living paint gets none."""
    (path,) = write(
        tmp_path,
        list="""id,name,finish,retired,lab_l,lab_a,lab_b
M,Old grey,matt,yes,60,0,0
S,Old silver,metallic,yes,60,0,0
F,Old flame,fluorescent,yes,60,0,0
N,Silver,metallic,,60,0.1,0
G,Grey,gloss,,61,1,0
V,Varnish,clear,,60,0.2,0
""",
    )
    first = [[s.id for s, _ in each.paints] for each in replacements([path], count=1)]
    assert first == [["G"], ["N"], ["N"]]
    (one,) = replacements([path], ["N"])  # the only living one of its kind
    assert [s.id for s, _ in one.paints] == ["V", "G"]


KIT = """schema = 1
[kit]
title = "x"
swatches = ["list.csv", "more.csv"]
[[part]]
id = "body"
colour = { swatch = "C" }
why = "seen"
[[reference]]
id = "slide"
file = "list.csv"
  [[reference.anchor]]
  spot = [1, 1, 1]
  colour = { swatch = "M" }
"""


def test_a_kits_lists_are_one_and_its_swatches_resolve(tmp_path: Path) -> None:
    write(tmp_path, list=LIST, more="id,name,hex\nM,more,#808080\n")
    (tmp_path / "kit.toml").write_text(KIT)
    kit = read_kit(tmp_path)
    swatches = kit_swatches(kit)
    assert swatches.ids == ["A", "B", "C", "D", "E", "M"]
    colour = kit.parts[0].colour
    assert colour is not None
    lab = stated_lab(colour, swatches)
    assert lab is not None and lab.tolist() == [51, 10, 10]


def test_a_kits_unknown_swatches_are_told_with_the_lists_faults(tmp_path: Path) -> None:
    write(tmp_path, list=LIST, more="id,name,hex\nA,more,#808080\n")
    (tmp_path / "kit.toml").write_text(KIT.replace('"C"', '"C-9"'))
    with pytest.raises(InputError) as caught:
        kit_swatches(read_kit(tmp_path))
    said = [(Path(p.file or "").name, p.line, p.what) for p in caught.value.problems]
    assert [(f, line) for f, line, _ in said] == [("more.csv", 2), ("kit.toml", 7), ("kit.toml", 14)]
    assert "'A'" in said[0][2] and "'C-9'" in said[1][2] and "'M'" in said[2][2]


def test_a_kit_without_lists_has_no_paints(tmp_path: Path) -> None:
    (tmp_path / "kit.toml").write_text('schema = 1\n[kit]\ntitle = "x"\n')
    assert len(kit_swatches(read_kit(tmp_path))) == 0
