"""What is wrong or odd in swatch lists.

Each test fails when a slip goes unnoticed, stands on another line, or a good row is accused.
"""

from __future__ import annotations

from pathlib import Path

import colour
import numpy as np
import pytest

from palette.colour.difference import difference
from palette.colour.spaces import lab_to_hex, linear_to_lab, xyz_to_lab
from palette.colour.spectra import NM, lab_to_reflectance_targets, reflectance_to_lab, tristimulus
from palette.paints.checking import NEARLY_SAME, Checked, beyond_optimal, check, nearly_same


def checked(folder: Path, text: str, *more: str) -> Checked:
    paths = []
    for i, content in enumerate((text, *more)):
        path = folder / f"{'abc'[i]}.csv"
        path.write_text(content)
        paths.append(path)
    return check(paths)


def remarks(result: Checked) -> list[tuple[int | None, str]]:
    assert result.problems == []
    return [(p.line, str(p)) for p in result.remarks]


def test_a_good_list_is_not_accused(tmp_path: Path) -> None:
    # the 24-patch chart as measured (Ohta 1997, in colour-science), its Lab rounded, its hex as shown
    spectra = [
        [sd[float(nm)] for nm in NM] for sd in colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"].values()
    ]

    rows = ["id,name,finish,hex,lab_l,lab_a,lab_b," + ",".join(f"nm{nm:g}" for nm in NM)]
    for i, spectrum in enumerate(spectra):
        lab = reflectance_to_lab(spectrum)
        rows.append(f"{i},patch {i},matt,{lab_to_hex(lab)},{lab[0]:.1f},{lab[1]:.1f},{lab[2]:.1f},")
        rows[-1] += ",".join(f"{r:.4f}" for r in spectrum)
    result = checked(tmp_path, "\n".join(rows))
    assert result.count == 24 and remarks(result) == []


@pytest.mark.parametrize(
    ("row", "word"),
    [
        ("A,a,,#ff0000,50,0,0", "hex is"),
        ("A,a,,#7b7b7b,55,0,0", "hex is"),
        ("A,a,shiny,,50,0,0", "finish 'shiny'"),
        ("A,a,,,,,", "has no colour"),
        ("A,a,,,95,0,120", "no colour that a surface can have"),
        ("A,a,,,20,0,90", "no colour that a surface can have"),
        ("A,a,,,97,60,60", "no colour that a surface can have"),
    ],
)
def test_one_odd_row(tmp_path: Path, row: str, word: str) -> None:
    ((line, said),) = remarks(
        checked(tmp_path, f"id,name,finish,hex,lab_l,lab_a,lab_b\nZ,z,,,40,0,0\n{row}\n")
    )
    assert line == 3 and word in said


def test_a_medium_that_may_be_two(tmp_path: Path) -> None:
    # some acrylics are thinned with water and some with lacquer thinner: the word does not say which
    ((line, said),) = remarks(checked(tmp_path, "id,name,medium,hex\nA,a,acrylic,#102030\n"))
    assert line == 2 and "medium 'acrylic'" in said and "water, enamel, lacquer" in said


@pytest.mark.parametrize(
    "row",
    [
        "A,a,,#777777,50,0,0",
        "A,a,,#00ff00,88,-90,82",  # outside sRGB: the hex is as near as a screen gets
        "A,a,fluorescent,,95,-20,120",
        "A,a,Satin,,50,0,0",
    ],
)
def test_one_good_row(tmp_path: Path, row: str) -> None:
    assert remarks(checked(tmp_path, f"id,name,finish,hex,lab_l,lab_a,lab_b\n{row}\n")) == []


def spectral(*rows: tuple[str, np.ndarray]) -> str:
    head = "id,name,finish,lab_l,lab_a,lab_b," + ",".join(f"nm{nm:g}" for nm in NM)
    return "\n".join([head, *(f"{cells}," + ",".join(f"{v:.5f}" for v in values) for cells, values in rows)])


RAMP = np.linspace(0.1, 0.7, 31)


def test_lab_that_contradicts_reflectances(tmp_path: Path) -> None:
    true, d50 = reflectance_to_lab(RAMP), reflectance_to_lab(RAMP, "D50")
    off = true + np.array([2, 0, 0])
    a, b, c = (",".join(f"{v:.2f}" for v in lab) for lab in (true, off, d50))
    text = spectral((f"A,a,matt,{a}", RAMP), (f"B,b,gloss,{b}", RAMP), (f"C,c,satin,{c}", RAMP))
    second, third = remarks(checked(tmp_path, text))
    assert second[0] == 3 and "Lab is" in second[1] and "D50" not in second[1]
    assert third[0] == 4 and "fits them under D50" in third[1]


def test_reflectances_above_one_and_in_percent(tmp_path: Path) -> None:
    text = spectral(("A,a,,,,", RAMP * 1.7), ("B,b,fluorescent,,,", RAMP * 1.71), ("C,c,,,,", RAMP))
    ((line, said),) = remarks(checked(tmp_path, text))
    assert line == 2 and "1.19" in said
    percent = spectral(*((f"{i},p,{i},,,", RAMP * 90 * (1 + i / 9)) for i in range(3)), ("D,d,,,,", RAMP))
    others = [p for p in checked(tmp_path, percent).remarks if "finish" not in p.what]
    assert [(p.line, "percent" in str(p)) for p in others] == [(1, True), (5, True)]


TINTS = """id,name,lab_l,lab_a,lab_b,tint_l,tint_a,tint_b,tint_share,tint_white
W,White,95,0,2,,,,,
A,Good red,35,50,25,70,35,5,0.1,W
B,Darker than its paint,36,50,25,20,35,5,0.1,W
C,No share,37,50,25,70,35,5,,W
D,No mixture,38,50,25,70,35,5,1,W
E,No white,39,50,25,70,35,5,0.1,
F,Wrong white,40,50,25,70,35,5,0.1,V
G,No colour,41,50,25,,,,0.1,W
H,Own white,42,50,25,70,35,5,0.1,H
"""


def test_tints_that_cannot_be_used(tmp_path: Path) -> None:
    made = remarks(checked(tmp_path, TINTS))
    words = ["between", "without its share", "no mixture", "without its white", "'V'", "without its colour"]
    words.append("its own white")
    assert [line for line, _ in made] == [4, 5, 6, 7, 8, 9, 10]
    assert all(word in said for (_, said), word in zip(made, words, strict=True)), made
    header, _, red, *_ = TINTS.splitlines()
    ((line, said),) = remarks(checked(tmp_path, "\n".join([header, "W,White,95,0,2,97,0,1,0.5,", red])))
    assert line == 2 and "white of others" in said


def test_a_row_that_is_wrong_is_told_so_once(tmp_path: Path) -> None:
    """Fails where a bad share is called a missing one, too, or a row without an id the twin of another."""
    header, white, red, *_ = TINTS.splitlines()
    result = checked(tmp_path, "\n".join([header, white, red.replace("0.1", "1.4"), red.replace("A,", ",")]))
    assert [problem.line for problem in result.problems] == [3, 4] and result.remarks == []


@pytest.mark.parametrize("tint", ["75,-30,10", "99,1,1", "40,50,30", "30,45,20"])
def test_a_tint_that_its_paint_cannot_give_is_remarked_on_its_line(tmp_path: Path, tint: str) -> None:
    header = "id,name,lab_l,lab_a,lab_b,tint_l,tint_a,tint_b,tint_share,tint_white\n"
    good = "P,Rose,45,50,24,77,21,4,0.1,W\nW,White,95,0,2,,,,,\n"
    [(line, said)] = remarks(checked(tmp_path, f"{header}{good}R,Red,40,50,30,{tint},0.1,W\n"))
    assert line == 4 and "tint" in said


def test_a_white_may_stand_in_another_list(tmp_path: Path) -> None:
    red = "\n".join(TINTS.splitlines()[i] for i in (0, 2))
    assert len(remarks(checked(tmp_path, red))) == 1
    assert remarks(checked(tmp_path, red, "\n".join(TINTS.splitlines()[:2]))) == []


def test_paints_that_are_nearly_the_same(tmp_path: Path) -> None:
    text = """id,name,finish,retired,lab_l,lab_a,lab_b
A,a,matt,,50,10,10
B,b,gloss,,50,10,10
C,c,matt,yes,50,10,10
D,d,matt,,50.3,10,10
"""
    other = "id,name,finish,lab_l,lab_a,lab_b\nE,e,matt,50,10,10.1\n"
    ((line, said), (line2, said2)) = remarks(checked(tmp_path, text, other))
    assert (line, line2) == (5, 2) and "'A'" in said and "'A' of " in said2


@pytest.mark.parametrize("crowd", ["spread", "blue", "copies"])
def test_near_neighbours_are_those_of_brute_force(crowd: str) -> None:
    rng = np.random.default_rng(7)
    if crowd == "spread":
        lab = rng.uniform([0, -100, -100], [100, 100, 100], (1500, 3))
        lab = np.concatenate([lab, lab[:300] + rng.normal(0, 0.3, (300, 3))])
    elif crowd == "blue":  # where the rotation term bites
        lab = rng.normal([35, 30, -80], [1, 5, 5], (400, 3))
    else:
        lab = np.repeat(rng.uniform([0, -50, -50], [100, 50, 50], (20, 3)), 30, axis=0)
    kind = rng.integers(0, 2, len(lab))
    near = (difference(lab[:, None], lab[None]) < NEARLY_SAME) & (kind[:, None] == kind[None])
    later = {i for i in range(len(lab)) if near[i, :i].any()}
    earlier = nearly_same(lab, kind)
    assert all(near[i, j] and j < i for i, (j, _) in earlier.items())
    assert all(off == difference(lab[i], lab[j]) for i, (j, off) in earlier.items())
    missed = later - set(earlier)
    assert len(missed) <= (0 if crowd != "blue" else 0.02 * len(later)), len(missed)


def test_optimal_colours_are_the_bound_of_all_reflectances() -> None:
    # every mixture of 0 and 1 over the bands lies inside; scaled 6 % beyond the centre, the step-shaped
    # ones (Schrödinger's optimal colours, which are the surface itself) lie outside
    rng = np.random.default_rng(3)
    assert not beyond_optimal(reflectance_to_lab(rng.uniform(0, 1, (3000, 31)))).any()
    assert not beyond_optimal(linear_to_lab(rng.uniform(0, 1, (3000, 3)))).any()  # nor does any screen colour
    steps = np.array(
        [[lo <= i < hi for i in range(31)] for lo in range(31) for hi in range(lo + 1, 32)], float
    )
    xyz = lab_to_reflectance_targets(reflectance_to_lab(np.concatenate([steps, 1 - steps])))
    white = tristimulus("D65")[1]
    assert not beyond_optimal(xyz_to_lab(xyz, white)).any()
    out = white / 2 + 1.06 * (xyz - white / 2)
    assert beyond_optimal(xyz_to_lab(out, white))[(out > 0).all(axis=1)].all()


def test_optimal_colours_agree_with_colour_science() -> None:
    # MacAdam limits in colour-science (Y from 10 to 95); away from the boundary both must agree
    rng = np.random.default_rng(11)
    lab = rng.uniform([5, -110, -110], [97, 110, 110], (4000, 3))
    white = tristimulus("D65")[1]
    centre = white / 2
    xyz = lab_to_reflectance_targets(lab)
    tabulated = (xyz[:, 1] > 0.15) & (xyz[:, 1] < 0.88)
    lab, xyz = lab[tabulated], xyz[tabulated]

    def theirs(points: np.ndarray) -> np.ndarray:
        return colour.is_within_macadam_limits(colour.XYZ_to_xyY(points), "D65")

    inside, outside = theirs(centre + 1.1 * (xyz - centre)), ~theirs(centre + 0.9 * (xyz - centre))
    ours = beyond_optimal(lab)
    assert inside.sum() > 300 and outside.sum() > 300
    assert not ours[inside].any()
    assert ours[outside].all()


def test_a_column_that_looks_like_a_slip(tmp_path: Path) -> None:
    ((line, said),) = remarks(checked(tmp_path, "id,name,hex,opacty,shelf\nA,a,#102030,0.5,top\n"))
    assert line == 1 and "'opacity'" in said


def test_errors_and_remarks_stand_in_the_order_of_the_lines(tmp_path: Path) -> None:
    text = "id,name,finish,hex\nA,a,shiny,#112233\nB,b,,#1\nC,c,shiny,#445566\nA,d,,#778899\n"
    result = checked(tmp_path, text)
    assert [(kind, p.line) for kind, p in result.all] == [
        ("remark", 2), ("error", 3), ("remark", 4), ("error", 5),
    ]  # fmt: skip
    assert result.count == 4


def test_lab_that_fits_its_hex_under_d50_only(tmp_path: Path) -> None:
    """The 24-patch chart's reflectances as colour-science carries them, as Lab under D50 beside hex."""
    chart = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]
    spectra = np.array([[sd[float(nm)] for nm in NM] for sd in chart.values()])
    rows = {"D50": [], "D65": []}
    hexes = [lab_to_hex(lab) for lab in reflectance_to_lab(spectra)]
    for light in rows:
        for i, (lab, code) in enumerate(zip(reflectance_to_lab(spectra, light), hexes, strict=True)):
            rows[light].append(f"{i},paint {i},{','.join(f'{v:.2f}' for v in lab)},{code}")
    head = "id,name,lab_l,lab_a,lab_b,hex"
    said = [p for _, p in remarks(checked(tmp_path, "\n".join([head, *rows["D50"]])))]
    assert any("fits it" in text and "under D50" in text for text in said), said
    said = [p for _, p in remarks(checked(tmp_path, "\n".join([head, *rows["D65"]])))]
    assert not any("D50" in text for text in said), said
    stated = [f"{row},D50" for row in rows["D50"]]
    said = [p for _, p in remarks(checked(tmp_path, "\n".join([f"{head},illuminant", *stated])))]
    assert not any("away from its hex" in text for text in said), said


def test_whites_and_greys_that_lean_as_d50_does(tmp_path: Path) -> None:
    """XYZ of greys under D50 worked out against the white of D65, by colour-science."""
    names = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    d50 = colour.xy_to_XYZ(names["D50"])
    lab = colour.XYZ_to_Lab(np.array([0.9, 0.6, 0.3, 0.2])[:, None] * d50, names["D65"])
    paints = ("White", "Light grey", "Mid grey", "Dark grey")
    rows = [
        f"{i},{name},{','.join(f'{v:.2f}' for v in row)}"
        for i, (name, row) in enumerate(zip(paints, lab, strict=True))
    ]
    head = "id,name,lab_l,lab_a,lab_b"
    ((line, said),) = remarks(checked(tmp_path, "\n".join([head, *rows])))
    assert line == 1 and "lean to yellow" in said
    warm = ["0,Old white,92,0.5,9", "1,Warm grey,60,1,6", "2,Stone grey,50,0.5,8"]
    assert remarks(checked(tmp_path, "\n".join([head, *warm]))) == []
    ((line, said),) = remarks(checked(tmp_path, f"{head},illuminant\nA,a,50,1,2,D50\n"))
    assert line == 1 and "Lab under D50 was carried to D65" in said
