"""A kit.toml becomes a kit, or every problem in it is named with its line.

Each test fails when the reading loses a key, misses a fault, or puts it on another line.
"""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

import pytest

from palette.errors import InputError
from palette.kit.model import Kit, Polygon, Rect, Spot
from palette.kit.read import known_keys, read
from palette.kit.tables import nearest_word
from tests.faults.budget import cpu_seconds

WHOLE = """schema = 1

[kit]
title     = "Car 7"
maker     = "Quayside"
stage     = "trial"
version   = "0.2"
date      = 2026-11-30
page      = "https://example.org/car7"
scale     = "1:35"
licence   = "CC-BY-4.0"
swatches  = ["swatches/own.csv"]
light     = 2856
tolerance = 2.5
scale_effect = true
year      = 1958
repainted = [1968, 1949]
cover     = "slide"
files     = [{ file = "meshes/waist.stl", what = "without lamp" }]

[[part]]
id       = "waist"
name     = "Waist panels"
finish   = "gloss"
area_cm2 = 41
mesh     = "meshes/waist.stl"
after    = ["roof"]
same_as  = "rocker"
colour   = { hex = "#5b2c2f" }
why      = "depot paint book"
shade    = 0
highlight = 8.5

  [[part.hint]]
  words  = "brownish red"
  source = "a letter"
  trust  = 0.6

[[part]]
id = "rocker"

  [[part.than]]
  lighter = "roof"

[[part]]
id = "roof"

[[reference]]
id       = "slide"
file     = "references/slide.jpg"
kind     = "frame"
tone     = "grey"
subject  = "painted"
light    = "ISO 7589 Studio Tungsten"
response = "references/film.csv"
filter   = "references/yellow.csv"
uneven   = 0.2
year     = 1958
credit   = "M. Orrin"
licence  = "CC-BY-4.0"
print    = false
trust    = 0.5

  [[reference.anchor]]
  rect   = [40, 60.5, 80, 30]
  colour = { munsell = "N 9/" }
  spread = 2.0

  [[reference.anchor]]
  polygon = [[0, 0], [4, 0],
             [4, 4]]
  colour  = { neutral = true }

  [[reference.sample]]
  part = "waist"
  spot = [3, 4, 5]
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("swatches/own.csv", "meshes/waist.stl", "references/film.csv", "references/yellow.csv"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("x")
    (tmp_path / "references/slide.jpg").write_text("x")
    return tmp_path


def kit_of(folder: Path, text: str | bytes) -> Kit:
    path = folder / "kit.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read(path)


def problems(folder: Path, text: str | bytes) -> list[tuple[int | None, str]]:
    with pytest.raises(InputError) as caught:
        kit_of(folder, text)
    assert all(p.file == str(folder / "kit.toml") for p in caught.value.problems)
    return [(p.line, f"{p.what}; {p.remedy}") for p in caught.value.problems]


def line(text: str, snippet: str) -> int:
    """The first line that holds a snippet."""
    return next(at for at, row in enumerate(text.splitlines(), 1) if snippet in row)


def test_every_key_arrives(folder: Path) -> None:
    kit = kit_of(folder, WHOLE)
    assert (kit.title, kit.maker, kit.stage, kit.version, kit.scale, kit.licence) == (
        "Car 7", "Quayside", "trial", "0.2", "1:35", "CC-BY-4.0",
    )  # fmt: skip
    assert kit.swatches == (folder / "swatches/own.csv",)
    assert (kit.light, kit.tolerance, kit.scale_effect, kit.year) == (2856.0, 2.5, True, 1958)
    assert kit.repainted == (1949, 1968)
    assert (kit.date, kit.page, kit.cover) == (date(2026, 11, 30), "https://example.org/car7", "slide")
    (file,) = kit.files
    assert (file.file, file.name, file.what) == (
        folder / "meshes/waist.stl", "meshes/waist.stl", "without lamp",
    )  # fmt: skip
    waist = kit.part("waist")
    assert (waist.name, waist.finish, waist.area_cm2, waist.after, waist.same_as, waist.why, waist.line) == (
        "Waist panels", "gloss", 41.0, ("roof",), "rocker", "depot paint book", 21,
    )  # fmt: skip
    assert (waist.shade, waist.highlight) == (0, 8.5)
    assert waist.mesh == folder / "meshes/waist.stl"
    assert waist.colour is not None and waist.colour.lab is not None
    assert waist.colour.lab == pytest.approx((24.42, 21.80, 7.95), abs=0.01)  # as colour-science converts it
    assert [(h.words, h.source, h.trust, h.line) for h in waist.hints] == [
        ("brownish red", "a letter", 0.6, 35)
    ]
    rocker = kit.part("rocker")
    assert (rocker.name, rocker.finish, [t.lighter for t in rocker.thans]) == ("rocker", "matt", ["roof"])
    (slide,) = kit.references
    assert (slide.file, slide.filter) == (folder / "references/slide.jpg", folder / "references/yellow.csv")
    assert slide.response == folder / "references/film.csv"
    assert (slide.kind, slide.tone, slide.subject, slide.light) == (
        "frame", "grey", "painted", "ISO 7589 Studio Tungsten",
    )  # fmt: skip
    assert (slide.uneven, slide.year, slide.credit, slide.trust) == (0.2, 1958, "M. Orrin", 0.5)
    assert (slide.licence, slide.print) == ("CC-BY-4.0", False)
    white, grey = slide.anchors
    assert white.region == Rect(40, 60.5, 80, 30) and white.spread == 2.0
    assert white.colour.lab is not None and white.colour.lab[0] == pytest.approx(90.2, abs=0.2)  # ASTM D1535
    assert grey.region == Polygon(((0, 0), (4, 0), (4, 4))) and grey.colour.neutral and grey.spread == 1.0
    assert [(s.part, s.region) for s in slide.samples] == [("waist", Spot(3, 4, 5))]
    assert kit.warnings == ()


def test_the_least_kit_gets_the_defaults(folder: Path) -> None:
    kit = kit_of(folder, 'schema = 1\n[kit]\ntitle = "x"\n')
    assert (kit.stage, kit.light, kit.tolerance, kit.swatches, kit.parts) == ("draft", "D65", 3.0, (), ())


@pytest.mark.parametrize(
    ("keys", "word"),
    [
        ('date = "2026-11-30"', "without quotes"),
        ("date = 2026-11-30T10:00:00", "a date alone"),
        ('page = "car7.html"', "no web address"),
        ('cover = "slid"', "did you mean 'slide'"),
        ('cover = "barn"', "no reference of this kit"),
        ('files = ["kit.toml"]', "[[kit.files]]"),
        ('files = [{ what = "lamp" }]', "has no file"),
        ('files = [{ file = "lamp.stl" }]', "is not there"),
        ('files = [{ file = "meshes/../../key.pem" }]', "outside the kit's folder"),
        ('files = [{ file = "kit.toml", waht = "x" }]', "did you mean 'what'"),
    ],
)
def test_one_wrong_key_of_an_edition(folder: Path, keys: str, word: str) -> None:
    text = f'schema = 1\n[kit]\ntitle = "x"\n{keys}\n'
    text += '[[reference]]\nid = "slide"\nfile = "references/slide.jpg"\n'
    ((line, said),) = problems(folder, text)
    assert line == 4 and word in said


def test_parts_that_are_not_painted(folder: Path) -> None:
    text = 'schema = 1\n[kit]\ntitle = "x"\n'
    for finish in ("clear", "bare", "lit"):
        text += f'[[part]]\nid = "{finish}"\nfinish = "{finish}"\n'
    kit = kit_of(folder, text + 'colour = { hex = "#ffd9a0" }\n')  # a lamp's light needs no reason
    assert [part.finish for part in kit.parts] == ["clear", "bare", "lit"]
    assert kit.part("lit").colour is not None and kit.part("bare").shade is None


def test_free_text_is_on_one_line_however_it_is_written(folder: Path) -> None:
    # fails when a reason or a credit can forge a line of an answer
    kit = kit_of(
        folder,
        'schema = 1\n[kit]\ntitle = "Car\\n7"\nmaker = """one\nerror: two"""\n'
        '[[part]]\nid = "a"\ncolour = { hex = "#102030" }\nwhy = """depot\n\n  error: book"""\n'
        '[[part.hint]]\nwords = "red"\nsource = "fore\\rman"\n',
    )
    (part,) = kit.parts
    said = (kit.title, kit.maker, part.why, part.hints[0].source)
    assert said == ("Car 7", "one error: two", "depot error: book", "fore man")


def test_a_folder_is_read_as_the_kit_in_it(folder: Path) -> None:
    assert kit_of(folder, WHOLE) == read(folder)


def test_the_originals_area_is_no_models(folder: Path) -> None:
    """Fails where the guide asks for litres of paint without a question."""
    text = WHOLE.replace("area_cm2 = 41", "area_cm2 = 30000")
    ((at, said),) = problems(folder, text)
    assert at == line(text, 'id       = "waist"') - 1
    assert said == (
        "area_cm2 of part 'waist' is 30000, too large for a model; is it the original's? At 1:35 that is 24.5"
    )


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_newlines_and_a_byte_order_mark_do_not_move_a_line(folder: Path, newline: str, mark: bytes) -> None:
    text = WHOLE.replace("tolerance = 2.5", "tolerance = -1").replace("\n", newline)
    assert [line for line, _ in problems(folder, mark + text.encode())] == [14]


def test_all_problems_come_at_once_in_the_order_of_the_file(folder: Path) -> None:
    text = WHOLE
    for before, after in (
        ('stage     = "trial"', 'stage = "tril"'),
        ("tolerance = 2.5", 'tolerance = "2.5"'),
        ('finish   = "gloss"', 'finish = "shiny"'),
        ("area_cm2 = 41", "area_cm2 = 0"),
        ("brownish red", "brownish rod"),
        ('id = "rocker"', 'id = "roof"'),
        ("trust    = 0.5", "trust = 1.5"),
        ("rect   = [40, 60.5, 80, 30]", "rect = [40, 60.5, 0, 30]"),
        ("[4, 4]]", "[8, 0]]"),
        ('part = "waist"', 'part = "waste"'),
    ):
        assert before in text
        text = text.replace(before, after)
    reported = problems(folder, text)
    places = ("tril", "tolerance", "[[part]]", "shiny", "area_cm2", "brownish", 'id = "roof"', "trust = 1.5")
    places += ("0, 30]", "polygon", "waste")
    expected = [line(text, place) for place in places]
    expected[6] = len(text[: text.rindex("[[part]]")].splitlines()) + 1  # the second of the two roofs
    assert [at for at, _ in reported] == expected
    words = (
        "'trial'",
        "quotes",
        "'rocker'",
        "satin",
        "above",
        "rod",
        "roof",
        "trust",
        "area",
        "area",
        "'waist'",
    )
    assert all(word in said for (_, said), word in zip(reported, words, strict=True)), reported


@pytest.mark.parametrize(
    ("key", "word"),
    [
        ("trust = true", "trust"),
        ("trust = nan", "trust"),
        ("trust = 1" + "0" * 400, "trust"),
        ("year = 1" + "0" * 5000, "more digits"),
        ("year = 0x1" + "0" * 5000, "year holds a number too long"),
        ("light = 1" + "0" * 400, "too long"),
        ('response = "' + "x" * 300 + '"', "not known"),
        ("uneven = -1", "uneven"),
        ('uneven = "0.1"', "take the quotes away"),
        ('uneven = "a little"', "write a number"),
        ("year = 1958.5", "year"),
        ("light = 30000", "25000"),
        ('light = "D56"', "no light"),
        ('light = "3200K"', "light = 3200"),
        ('light = ["D55"]', "kelvins"),
        ('kind = "photo"', "photograph"),
        ('tone = "gray"', "grey"),
        ('response = "panchromatik"', "panchromatic"),
        ('response = "none.csv"', "not there"),
        ('filter = "references"', "is a folder"),
        ('trsut = 0.5', "'trust'"),
        ('Credit = "x"', "'credit'"),
        ("credit = 7", "quotes"),
    ],
)  # fmt: skip
def test_one_wrong_key_of_a_reference(folder: Path, key: str, word: str) -> None:
    name = key.split(" =")[0]
    kept = [row for row in WHOLE.splitlines() if not (row.startswith(name) and row.count("=") == 1)]
    at = kept.index('file     = "references/slide.jpg"')
    text = "\n".join([*kept[: at + 1], key, *kept[at + 1 :]])
    reported = problems(folder, text)
    assert len(reported) == 1, reported
    assert reported[0][0] == at + 2 and word in reported[0][1]


@pytest.mark.parametrize(
    ("colour", "word"),
    [
        ('{ hex = "#12" }', "hex"),
        ("{ lab = [50, 0] }", "three numbers"),
        ("{ lab = [150, 0, 0] }", "0 to 100"),
        ('{ munsell = "5XX 4/3" }', "Munsell"),
        ('{ hex = "#123456", lab = [1, 2, 3] }', "exactly one"),
        ("{ }", "exactly one"),
        ('{ hx = "#123456" }', "'hex'"),
        ("{ neutral = true }", "neutral"),
        ('{ part = "roof" }', "same_as"),
        ('"#123456"', "hex = "),
        ("{ swatch = 4 }", "swatch"),
    ],
)
def test_a_decision_that_is_no_colour(folder: Path, colour: str, word: str) -> None:
    reported = problems(folder, WHOLE.replace('{ hex = "#5b2c2f" }', colour))
    assert [line for line, _ in reported] == [line(WHOLE, "colour   =")] and word in reported[0][1]


def test_a_decision_needs_its_reason(folder: Path) -> None:
    ((at, said),) = problems(folder, WHOLE.replace('why      = "depot paint book"\n', ""))
    assert at == line(WHOLE, "colour   =") and "why" in said


@pytest.mark.parametrize(
    ("region", "word"),
    [
        ("rect = [1, 2, 3]", "4 numbers"),
        ("rect = [1, 2, 3, inf]", "4 numbers"),
        ("spot = [1, 2, 0]", "no area"),
        ("polygon = [[1, 2], [3, 4]]", "three corners"),
        ("polygon = [[1, 2], [3, 4], 5]", "2 numbers"),
        ("rect = [1, 2, 3, 4]\n  spot = [1, 2, 3]", "rect and spot"),
        ("", "no region"),
    ],
)
def test_a_region_that_is_none(folder: Path, region: str, word: str) -> None:
    text = WHOLE.replace("spot = [3, 4, 5]", region)
    ((at, said),) = problems(folder, text)
    where = region.splitlines()[-1].strip() if region else "[[reference.sample]]"
    assert at == line(text, where) and word in said


def test_a_bow_tie_has_an_area(folder: Path) -> None:
    text = WHOLE.replace("spot = [3, 4, 5]", "polygon = [[0, 0], [4, 4], [4, 0], [0, 4]]")
    assert isinstance(kit_of(folder, text).references[0].samples[0].region, Polygon)


def test_rings_are_named_whole(folder: Path) -> None:
    text = """schema = 1
[kit]
title = "x"
[[part]]
id = "a"
after = ["b"]
same_as = "c"
[[part]]
id = "b"
after = ["c"]
  [[part.than]]
  lighter = "c"
[[part]]
id = "c"
after = ["a"]
same_as = "a"
  [[part.than]]
  lighter = "b"
"""
    assert [said.split(";")[0] for _, said in problems(folder, text)] == [
        "parts painted after each other: a → b → c → a",
        "same_as goes round: a → c → a",
        "parts lighter than each other: b → c → b",
    ]


ANCHORED = """schema = 1
[kit]
title = "x"
[[part]]
id = "roof"
[[part]]
id = "body"
[[reference]]
id = "one"
file = "references/slide.jpg"
  [[reference.anchor]]
  spot = [1, 1, 1]
  colour = { part = "roof" }
  [[reference.sample]]
  part = "body"
  spot = [1, 1, 1]
[[reference]]
id = "two"
file = "references/slide.jpg"
  [[reference.sample]]
  part = "roof"
  spot = [1, 1, 1]
"""


def test_an_anchor_may_take_a_part_that_another_reference_settles(folder: Path) -> None:
    assert kit_of(folder, ANCHORED).references[0].anchors[0].colour.part == "roof"


def test_anchors_never_lean_on_each_other(folder: Path) -> None:
    text = ANCHORED.replace(
        'id = "two"\nfile = "references/slide.jpg"\n',
        'id = "two"\nfile = "references/slide.jpg"\n  [[reference.anchor]]\n  spot = [2, 2, 1]\n'
        '  colour = { part = "body" }\n',
    )
    assert [line for line, _ in problems(folder, text)] == [13, 22]
    decided = text.replace('id = "body"\n', 'id = "body"\ncolour = { hex = "#123" }\nwhy = "seen"\n')
    assert len(kit_of(folder, decided).references) == 2


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        (b"", None, "empty"),
        (b"\xef\xbb\xbf \r\n", None, "empty"),
        ("schema = 1\n[kit]\ntitle = 'x'".encode("utf-16"), 1, "UTF-16"),
        ("schema = 1\n[kit]\ntitle = 'x'".encode("utf-16-le"), 1, "UTF-16"),
        ("schema = 1\n[kit]\ntitle = 'Caf\u00e9'".encode("latin-1"), 3, "UTF-8"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + bytes(range(256)), 3, "no text"),
        (b"schema = 1\n[kit]\ntitle = Car 7\n", 3, "quotes"),
        (b"schema = 1\n[kit]\ntitle = 'x'\ntitle = 'y'\n", 4, "once"),
        (b"schema = 1\n[kit\ntitle = 'x'\n", 2, "bracket"),
        (b'schema = 1\n[kit]\ntitle = "x\n', 3, "quotes"),
        (b"schema = 2\nlivery = 3\n", 1, "newer"),
        (b"[kit]\ntitle = 'x'\n", 1, "schema = 1"),
        (b"schema = '1'\n[kit]\ntitle = 'x'\n", 1, "schema = 1"),
        (b"schema = 1\n", None, "[kit]"),
        (b"schema = 1\n[kit]\n", 2, "title"),
        (b"schema = 1\n[[kit]]\ntitle = 'x'\n", 2, "one bracket"),
        (b"schema = 1\n[kit]\ntitle = 'x'\n[part]\nid = 'a'\n", 4, "[[part]]"),
        (b"schema = 1\nscale = '1:35'\n[kit]\ntitle = 'x'\n", 2, "under [kit]"),
    ],
)
def test_a_text_that_is_no_kit(folder: Path, text: bytes, line: int | None, word: str) -> None:
    reported = problems(folder, text)
    assert len(reported) == 1, reported
    assert reported[0][0] == line and word in reported[0][1]


@pytest.mark.parametrize(
    ("typed", "remedy"),
    [
        ("tolerance = 3,0", "point"),
        ("tolerance = .5", "0.5"),
        ("tolerance = 5.", "0.5"),
        ("scale_effect = True", "true or false"),
        ("light = D65", "quotes"),
        ("maker = \u201cme\u201d", "straight quotes"),
        ('maker = "me', "close the quotes"),
        ('maker = "C:\\pics"', "backslash"),
        ('maker: "me"', "write ="),
        ("[kit]", "once"),
        ('swatches = ["a.csv"\n[[part]]', "with ]"),
    ],
)
def test_slips_of_the_pen_get_their_own_remedy(folder: Path, typed: str, remedy: str) -> None:
    ((at, said),) = problems(folder, f"schema = 1\n[kit]\ntitle = 'x'\n{typed}\n")
    assert at in (4, 5) and remedy in said.rpartition("; ")[2]


def test_what_the_makers_own_keys_say_is_kept_with_a_warning(folder: Path) -> None:
    kit = kit_of(folder, WHOLE.replace('maker     = "Quayside"', 'maker = "Quayside"\nbox_colour = "grey"'))
    assert [(w.line, "box_colour" in w.what) for w in kit.warnings] == [(6, True)]


def test_the_keys_that_are_read_can_be_asked_for() -> None:
    # fails when the list that the manual is checked against no longer holds what the reader reads
    keys = known_keys()
    assert list(keys["part.than"]) == ["lighter"] and keys["reference.sample"][0] == "part"

    def used(table: dict[str, object], name: str) -> None:
        for key, value in table.items():
            assert key in keys[name], (name, key)
            for inner in value if isinstance(value, list) else [value] if name == "" else []:
                if isinstance(inner, dict):
                    used(inner, f"{name}.{key}".strip("."))

    used(tomllib.loads(WHOLE), "")


def test_one_misspelt_header_is_one_problem(folder: Path) -> None:
    # the samples then name parts that were not read: that must not be reported as well
    reported = problems(folder, WHOLE.replace("[[part]]", "[[parts]]").replace("part.", "parts."))
    assert len(reported) == 1 and "'part'" in reported[0][1]


def _many(count: int, row: str) -> str:
    return 'schema = 1\n[kit]\ntitle = "x"\n' + "".join(row.format(i=i, next=i + 1) for i in range(count))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        # each took from half a minute to hours, or gigabytes
        (_many(1, "a" + ".a" * 20000 + " = 1\n"), "nested too deeply"),
        (_many(1, '[x."b c"' + " . a" * 20000 + "]\n"), "nested too deeply"),
        (_many(1, "x = " + "[" * 20000 + "]" * 20000 + "\n"), "nested too deeply"),
        (_many(40000, "key{i} = 1\n"), "40000 keys"),
        (_many(1, '[[part]]\nid = "a"\n' + '[[part.hint]]\nwords = "red"\n' * 9000), "9000 hints"),
        (_many(5000, '[[part]]\nid = "{i}"\nsame_as = "{next}"\n'), "'5000', which is no part"),
        (_many(3000, '[[part]]\nid = "part {i}"\nafter = ["qx{i}zz"]\n'), "'qx0zz', which is no part"),
        (
            _many(
                400,
                '[[part]]\nid = "{i}"\n[[reference]]\nid = "{i}"\nfile = "kit.toml"\n[[reference.anchor]]\n'
                'spot = [1, 1, 1]\ncolour = {{ part = "{next}" }}\n[[reference.sample]]\npart = "{i}"\n'
                "spot = [1, 1, 1]\n",
            )
            + '[[part]]\nid = "400"\n',
            "part '1', which no other reference settles",
        ),
    ],
    ids=["keys", "headers", "lists", "unknown", "hints", "same_as", "after", "anchors"],
)
def test_a_kit_made_to_take_for_ever(folder: Path, text: str, word: str) -> None:
    with cpu_seconds(10):
        assert word in problems(folder, text)[0][1]


def test_dots_in_texts_and_remarks_are_no_keys(folder: Path) -> None:
    dots = "a" + ".a" * 99
    kit = kit_of(folder, _many(1, f'maker = "{dots}" # {dots}\nversion = """\n{dots}"""\n'))
    assert kit.maker == kit.version == dots


@pytest.mark.parametrize("what", ["missing", "empty folder", "folder named kit.toml"])
def test_no_kit_there(tmp_path: Path, what: str) -> None:
    path = tmp_path / "kit.toml"
    if what == "folder named kit.toml":
        path.mkdir()
    with pytest.raises(InputError, match=r"no such file|palette new|is a folder"):
        read(tmp_path if what == "empty folder" else path)
    if what == "folder named kit.toml":
        with pytest.raises(InputError, match="is a folder"):
            read(tmp_path)


@pytest.mark.parametrize("word", ["trsut", "trust ", "TRUST", "trus", "trusst", "trast"])
def test_slips_are_seen(word: str) -> None:
    assert nearest_word(word, ("id", "file", "trust", "year")) == "trust"


@pytest.mark.parametrize("word", ["name", "notes", "title", "owner", "date", "who", "note"])
def test_other_words_are_left_alone(word: str) -> None:
    keys = (
        "id",
        "file",
        "kind",
        "tone",
        "subject",
        "light",
        "response",
        "filter",
        "uneven",
        "year",
        "credit",
        "trust",
    )
    assert nearest_word(word, (*keys, "anchor", "sample")) is None


def test_what_tells_of_grey_alone_is_not_passed_over_on_a_colour_reference(tmp_path: Path) -> None:
    """Fails where a maker believes that the filter over the lens was counted."""
    reference = '[[reference]]\nid = "a"\nfile = "a.png"\ntone = "colour"\nfilter = "yellow.csv"\n'
    path = tmp_path / "kit.toml"
    for name in ("a.png", "yellow.csv"):
        (tmp_path / name).touch()
    path.write_text(f'schema = 1\n[kit]\ntitle = "T"\n{reference}response = "luma-709"\n')
    assert [(w.line, w.what.split()[2]) for w in read(path).warnings] == [(9, "response"), (8, "filter")]
    path.write_text(path.read_text().replace("colour", "grey"))
    assert read(path).warnings == ()


def test_marks_on_one_plain_surface_have_one_colour(folder: Path) -> None:
    def kit(second: str) -> str:
        marks = "".join(
            f"[[reference.anchor]]\nrect = [{x}, 0, 5, 5]\ncolour = {colour}\nsurface = 'wall'\n"
            for x, colour in ((0, "{ neutral = true }"), (9, second))
        )
        text = "schema = 1\n[kit]\ntitle = 'Car 7'\n[[reference]]\nid = 'slide'\nfile = 'refs/slide.jpg'\n"
        return text + marks

    reported = problems(folder, kit("{ hex = '#808080' }"))
    ((at, said),) = [one for one in reported if "surface" in one[1]]
    assert at == 11 and "on line 7" in said
    assert not any(
        "surface" in said for _, said in problems(folder, kit("{ neutral = true }") + "oops = 1\n")
    )
