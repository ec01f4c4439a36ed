"""Reading photographed cards.

The photographs are made: true reflectances are published ones (CES-99 and the Academy's training set), the
truth is their CIELAB by the tables of colour-science; light, paper and brushwork are invented.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from palette.colour.difference import difference
from palette.errors import InputError
from palette.paints.card import layout
from palette.paints.card.box import read_box
from palette.paints.card.light import light_on
from palette.paints.card.names import Named, read_names
from palette.paints.card.reading import CardReading, Colour, combined, list_text, read_cards
from palette.paints.card.sheet import find
from palette.swatches.model import SwatchList
from palette.words import say
from tests.benchmarks.photo import pictures
from tests.paints.card.photographs import PlainCamera, Scene, photograph, replace, some_paints

ASKEW = ((0.12, 0.08), (0.9, 0.05), (0.97, 0.95), (0.03, 0.9))
SHEEN, GAPPY, THIN = (4, "straight"), (7, "straight"), (9, "straight")
SMALL = (760, 1010)


@cache
def paints() -> dict[tuple[int, str], np.ndarray]:
    made = some_paints(layout.PER_SHEET, np.random.default_rng(3))
    del made[11, "straight"], made[11, "in white"], made[12, "in white"]
    return made


HARD = Scene(
    paints(),
    frame="chart",
    corners=ASKEW,
    vignette=0.5,
    glare={SHEEN: 0.8},
    gaps={GAPPY: 0.45},
    thin={THIN: 0.2},
    blur=1.2,
    noise=0.01,
    quality=75,
)
PLAIN = Scene(paints(), size=SMALL, corners=((0.06, 0.05), (0.94, 0.05), (0.94, 0.95), (0.06, 0.95)))


def write(path: Path, scene: Scene, warm: float = 0.0, exposure: float = 0.8) -> Path:
    path.write_bytes(photograph(scene, PlainCamera(exposure, warm)))
    return path


def errors(reading: CardReading) -> tuple[np.ndarray, np.ndarray]:
    """CIEDE2000 from the truth, and the spread stated, of every colour read."""
    off, spread = [], []
    for paint in reading.paints:
        for which, colour in (("straight", paint.straight), ("in white", paint.tint)):
            if colour is not None:
                truth = pictures.lab_of(paints()[paint.named.box, which][None])[0]
                off.append(float(difference(colour.lab, truth)))
                spread.append(colour.spread)
    return np.array(off), np.array(spread)


@pytest.fixture(scope="module")
def hard_photograph(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Perspective, warm light, vignette, glare, gaps, thin paint, blur, noise and JPEG, with a chart."""
    return write(tmp_path_factory.mktemp("card") / "hard.jpg", HARD, warm=0.15)


@pytest.fixture(scope="module")
def hard(hard_photograph: Path) -> CardReading:
    return read_cards([hard_photograph], chart="before-2014")


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(tmp_path_factory.mktemp("card") / "plain.jpg", PLAIN)


def test_paints_are_measured_from_a_hard_photograph(hard: CardReading) -> None:
    """Fails when marks, straightening, evening out, correction or sampling go wrong: any of them costs more
    than the chart's own spread of published values."""
    off, spread = errors(hard)
    assert len(off) == 15  # eight of twelve straight, seven with their let-down
    assert np.median(off) < 2
    assert (off <= spread).mean() >= 0.8
    assert np.median(spread) < 4.5  # half of what a grey card leaves


def test_boxes_are_left_out_with_the_reason(hard: CardReading) -> None:
    """Fails when glare, bare paper or a paint that does not hide passes for the paint's colour, or when sound
    boxes are refused: nothing else may be left out."""
    reasons = {(gone.box, gone.which): gone.reason for gone in hard.left_out}
    assert set(reasons) == {SHEEN, GAPPY, THIN}
    assert "glare" in reasons[SHEEN] or "sheen" in reasons[SHEEN]
    assert "bare" in reasons[GAPPY]
    assert "black bar shows" in reasons[THIN]
    assert hard.photos[0].light_range > 1.3  # the vignette was seen


def test_a_vignette_is_divided_out(tmp_path: Path) -> None:
    """Fails when light is not judged by the paper: at 0.8 of log light lost in the corners, the outer boxes
    would read darker than the middle ones by some 8 L*."""
    grey = np.full(len(pictures.NM), 0.3)
    scene = replace(
        PLAIN, paints={key: grey for key in some_paints(12, np.random.default_rng(1))}, vignette=0.8
    )
    reading = read_cards([write(tmp_path / "v.jpg", scene)], grey=49.5)
    lightness = np.array(
        [colour.lab[0] for paint in reading.paints for colour in (paint.straight, paint.tint)]
    )
    assert len(lightness) == 24
    assert np.ptp(lightness) < 2
    assert abs(lightness.mean() - 61.65) < 1.5  # CIELAB's own formula for Y = 0.3


def test_a_shadow_across_the_card_is_noticed(tmp_path: Path) -> None:
    """Fails when boxes at a shadow's edge are read as if the light were smooth there."""
    reading = read_cards([write(tmp_path / "s.jpg", replace(PLAIN, shadow=0.5))], grey=49.5)
    assert any("shadow" in gone.reason for gone in reading.left_out)
    off, spread = errors(reading)
    assert (off <= spread).mean() >= 0.9


@pytest.mark.parametrize("turn", [1, 2])
def test_a_photograph_may_lie_on_its_side_or_upside_down(plain: Path, tmp_path: Path, turn: int) -> None:
    """Fails when boxes are numbered by the picture rather than by the marks."""
    Image.open(plain).rotate(90 * turn, expand=True).save(tmp_path / "t.png")
    turned, upright = (read_cards([path], grey=49.5) for path in (tmp_path / "t.png", plain))
    assert [paint.named.box for paint in turned.paints] == [paint.named.box for paint in upright.paints]
    for one, other in zip(turned.paints, upright.paints, strict=True):
        assert difference(one.straight.lab, other.straight.lab) < 0.5


def test_each_thing_known_makes_colours_surer(plain: Path, tmp_path: Path) -> None:
    """Fails when a grey card in the frame counts for no more than bare paper, or a chart no more than it."""
    bare = write(tmp_path / "bare.jpg", replace(PLAIN, frame="nothing"))
    chart = write(tmp_path / "chart.jpg", replace(PLAIN, frame="chart"))
    by_paper = read_cards([bare])
    readings = [by_paper, read_cards([plain], grey=49.5), read_cards([chart], chart="before-2014")]
    spreads = [float(np.median(errors(reading)[1])) for reading in readings]
    assert spreads[0] > spreads[1] > spreads[2]
    for reading in readings:
        off, spread = errors(reading)
        assert (off <= spread).mean() >= 0.85
    assert "no grey card or chart" in say(by_paper.photos[0].notes[0])


def test_a_second_sheet_is_known_by_its_marks(tmp_path: Path) -> None:
    """Fails when sheets are told apart by anything but what is printed on them, or on Letter."""
    scene = replace(PLAIN, paints=some_paints(3, np.random.default_rng(5), sheet=1), sheet=1, paper="letter")
    reading = read_cards([write(tmp_path / "two.jpg", scene)], grey=49.5)
    assert [paint.named.box for paint in reading.paints] == [13, 14, 15]
    assert reading.photos[0].sheet == 2


def test_the_list_is_one_that_palette_reads(hard: CardReading, hard_photograph: Path, tmp_path: Path) -> None:
    """Fails when the CSV loses a colour, its spread, a let-down, or what the list of names said of a paint;
    or keeps a colour that the card has measured anew."""
    names = tmp_path / "names.csv"
    names.write_text(
        "box,id,name,range,owned,hex,shelf\n2,P2,Bottle green,Bench,yes,#ffffff,top\n1,W,White,Bench,yes,,\n"
        "4,P4,Sheen,Bench,no,,\n"
    )
    reading = read_cards([hard_photograph], read_names(names), white="W", share=0.2, chart="before-2014")
    out = tmp_path / "out.csv"
    out.write_text(list_text(reading))
    white, green = SwatchList.read(out).swatches
    assert (white.id, green.id) == ("W", "P2")
    assert white.tint_lab is None
    assert green.tint_share == 0.2 and green.tint_white == "W" and green.tint_lab is not None
    assert green.range == "Bench" and green.owned and green.spread is not None and green.measured == "lab"
    assert "shelf" in out.read_text().splitlines()[0] and "top" in out.read_text()
    measured = next(paint for paint in hard.paints if paint.named.box == 2)
    assert difference(green.lab, measured.straight.lab) < 0.1
    assert [(gone.box, gone.which) for gone in reading.left_out] == [(4, "straight")]


def test_photographs_put_together_are_no_surer_than_they_agree() -> None:
    """Fails when photographs that contradict each other make a colour surer, or agreement makes it wider."""
    one = Colour(np.array([50.0, 0, 0]), np.eye(3), 1)
    other = Colour(np.array([58.0, 0, 0]), np.eye(3), 1)
    assert combined([one, one]).spread == pytest.approx(one.spread)
    apart = combined([one, other])
    assert apart.lab[0] == pytest.approx(54) and apart.photos == 2
    assert apart.covariance[0, 0] == pytest.approx(1 + 4**2)  # half the distance, squared, for two


def test_what_is_no_whole_card_is_refused(plain: Path, tmp_path: Path) -> None:
    """Fails when half a card, two, none, or one too small is read as one, or refused in the wrong words."""
    image = Image.open(plain)
    width, height = image.size
    half = image.crop((0, 0, width, height // 2))
    hidden = image.copy()
    hidden.paste((90, 80, 70), (0, int(height * 0.75), width, height))
    cut = image.crop((int(width * 0.13), 0, width, height))
    side_by_side = Image.new("RGB", (2 * width, height))
    side_by_side.paste(image, (0, 0))
    side_by_side.paste(image, (width, 0))
    small = image.resize((width * 2 // 5, height * 2 // 5))
    for name, picture, words in (
        ("half", half, "only a part of the card"),
        ("hidden", hidden, "only a part of the card"),
        ("cut", cut, "part of the card|cuts the card off"),
        ("two", side_by_side, "more than one card"),
        (
            "none",
            Image.effect_noise((600, 800), 60).convert("RGB").point(lambda v: v),
            "black and white|no card",
        ),
        ("table", Image.new("RGB", (900, 900), (150, 120, 90)), "no card"),
        ("small", small, "too small"),
        ("tiny", image.resize((90, 120)), "too small"),
        ("grey", image.convert("L"), "black and white"),
    ):
        picture.save(tmp_path / f"{name}.png")
        with pytest.raises(InputError, match=words):
            read_cards([tmp_path / f"{name}.png"])


def test_every_photograph_that_is_wrong_is_named(plain: Path, tmp_path: Path) -> None:
    """Fails when the first bad photograph hides the others."""
    bad = tmp_path / "bad.jpg"
    bad.write_bytes(b"no picture")
    with pytest.raises(InputError) as caught:
        read_cards([bad, plain, tmp_path / "missing.jpg"])
    assert [problem.file for problem in caught.value.problems] == [str(bad), str(tmp_path / "missing.jpg")]


@pytest.mark.parametrize(
    ("scene", "options", "words"),
    [
        (replace(PLAIN, frame="nothing"), {"grey": 49.5}, "no grey card"),
        (PLAIN, {"chart": "since-2014"}, "no 24-patch chart"),
        (replace(PLAIN, frame="chart"), {"grey": 49.5}, "patterned"),
        (replace(PLAIN, paints={}), {"grey": 49.5}, "no box that can be read"),
    ],
)
def test_what_is_said_to_lie_in_the_frame_must_be_there(
    tmp_path: Path, scene: Scene, options: dict[str, object], words: str
) -> None:
    """Fails when a correction is fitted to a card that is not there, or an empty card gives a list."""
    with pytest.raises(InputError, match=words):
        read_cards([write(tmp_path / "p.jpg", scene)], **options)  # type: ignore[arg-type]


def test_a_burnt_out_card_is_refused(tmp_path: Path) -> None:
    """Fails when light is judged by paper that has lost it."""
    with pytest.raises(InputError, match="overexposed"):
        read_cards([write(tmp_path / "b.jpg", PLAIN, exposure=1.4)], grey=49.5)


@pytest.mark.parametrize("frame", ["chart", "grey"])
def test_paper_burnt_out_in_one_channel_is_judged_by_the_others(frame: str, tmp_path: Path) -> None:
    """Fails when one burnt-out channel has the card refused, or its fall of light is left out of account."""
    scene = replace(PLAIN, frame=frame, vignette=0.6)
    path = write(tmp_path / "b.jpg", scene, warm=0.2, exposure=1.05)
    light = light_on(find(path))
    assert light.burnt.shape == (0, 2) and light.paper[0] > 1  # red goes beyond the top on most of the sheet
    chart = "before-2014" if frame == "chart" else None
    off, spread = errors(read_cards([path], chart=chart, grey=None if chart else 49.5))
    assert len(off) > 18 and np.quantile(off, 0.9) < {"chart": 4, "grey": 7}[frame]
    assert np.mean(off <= spread) > 0.85


def test_boxes_amid_burnt_out_paper_are_left_out(plain: Path) -> None:
    """Fails when the light is guessed where nothing shows it, or boxes away from there are lost too."""
    sheet = find(plain)
    down = np.arange(len(sheet.linear)) / sheet.scale
    bright = sheet.linear * np.exp(0.9 * (1 - down / 120))[:, None, None]
    burnt = replace(sheet, linear=np.minimum(bright, 1.0), clipped=bright > 1.0)
    light = light_on(burnt)
    assert len(light.burnt) > len(layout.paper_spots()) / 5
    upper, *_, lower = (read_box(burnt, light, pair.straight) for pair in layout.pairs(0)[:10])
    assert upper.reason == "the paper round it is burnt out" and not lower.reason
    true = read_box(sheet, light_on(sheet), layout.pairs(0)[9].straight)
    ratio = (lower.linear / light.paper) / (true.linear / light_on(sheet).paper)
    assert ratio == pytest.approx(np.ones(3), abs=0.05)  # against its paper as in the sheet that is not burnt


def test_a_named_box_without_paint_is_told(plain: Path) -> None:
    """Fails when a paint that the maker named goes missing without a word."""
    names = [Named(1, "A", "A", {}), Named(11, "B", "B", {}), Named(14, "C", "C", {})]
    reading = read_cards([plain], names, grey=49.5)
    assert [paint.named.id for paint in reading.paints] == ["A"]
    assert [(gone.box, gone.reason) for gone in reading.left_out] == [(11, "it is not painted")]
    assert any("sheet 2" in note for note in reading.notes)


def test_names_are_checked_row_by_row(tmp_path: Path) -> None:
    """Fails when a slip in the list of names is not found, or hides the next."""
    path = tmp_path / "names.csv"
    path.write_text("box,id,name\n1,A,One\nx,B,Two\n1,A,Three\n4,,Four\n")
    with pytest.raises(InputError) as caught:
        read_names(path)
    assert [problem.line for problem in caught.value.problems] == [3, 4, 4, 5]


def test_marks_are_found_to_a_fraction_of_a_millimetre(tmp_path: Path) -> None:
    """Fails when straightening is off by half a pixel convention or mixes up axes: the printed outline of a
    box must lie where the layout has it."""
    scene = replace(PLAIN, paints={}, corners=ASKEW, size=(1050, 1400), blur=0.4, noise=0.001)
    sheet = find(write(tmp_path / "p.jpg", scene))
    pair = layout.pairs(0)[5]
    bar = sheet.linear[..., 1]
    row = round((pair.straight.y + 11) * sheet.scale)
    line = bar[row, round((pair.straight.x - 3) * sheet.scale) : round((pair.straight.x + 8) * sheet.scale)]
    dark = np.flatnonzero(line < (line.max() + line.min()) / 2)
    start = round((pair.straight.x - 3) * sheet.scale) / sheet.scale
    assert start + dark[0] / sheet.scale == pytest.approx(pair.straight.x, abs=0.35)
    assert start + (dark[-1] + 1) / sheet.scale == pytest.approx(pair.straight.x + layout.BAR, abs=0.35)
