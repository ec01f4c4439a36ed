"""Mixtures of a list, whatever its data: each test names what would break it."""

from dataclasses import replace

import numpy as np
import pytest

from palette.colour.difference import difference
from palette.errors import InputError
from palette.paints.mixing import MixingWarning, law, mixture, notes, predicted
from palette.paints.mixing.inference import lab_of
from palette.swatches.kinds import unmixable
from palette.swatches.model import Swatch, SwatchList

NM = np.arange(400.0, 701.0, 10.0)
# A white and a strong blue of invented but plausible absorption and scattering, S of the white = 1.
WHITE_K, WHITE_S = np.full(31, 0.0008) + 0.08 * np.exp(-(NM - 400) / 7), np.ones(31)
BLUE_K = 7.0 * np.exp(-0.5 * ((NM - 630) / 60) ** 2) + 0.08
BLUE_S = np.full(31, 0.1)


def seen(share: float) -> np.ndarray:
    """Reflectance of a share of the blue in the white."""
    k, s = share * BLUE_K + (1 - share) * WHITE_K, share * BLUE_S + (1 - share) * WHITE_S
    return law.reflectance(k / s)


def paint(id: str, lab: object, **more: object) -> Swatch:
    return Swatch(id, f"paint {id}", np.asarray(lab, dtype=float), "lab", **more)  # type: ignore[arg-type]


def blue_and_white(**tint: object) -> SwatchList:
    return SwatchList((paint("W", lab_of(seen(0))), paint("B", lab_of(seen(1)), **tint)))


LET_DOWN = {"tint_lab": lab_of(seen(0.1)), "tint_share": 0.1, "tint_white": "W"}
BENCH = SwatchList(
    (paint("W", (96, -0.5, 2)), paint("K", (22, 0, 0)), paint("Y", (82, 8, 85)), paint("B", (22, 8, -35)))
)


def test_one_paint_alone_has_the_colour_its_list_gives_it() -> None:
    # the model only approximates colours no film can have; asked of a single paint it must not show
    impossible = SwatchList((paint("A", (88, -86, 83)),))
    np.testing.assert_array_equal(mixture({"A": 4}, impossible), (88, -86, 83))


def test_only_proportions_count_and_not_the_order() -> None:
    np.testing.assert_allclose(mixture({"W": 2, "B": 4}, BENCH), mixture({"B": 2, "W": 1}, BENCH), atol=1e-9)


def test_mixing_is_subtractive() -> None:
    # averaging colours makes yellow and blue grey; pigments make green
    lab = mixture({"Y": 3, "B": 1}, BENCH)
    assert lab[1] < -8
    assert lab[0] < BENCH.lab[[2, 3], 0].mean()


def test_a_let_down_tells_a_strong_paint_from_a_weak_one() -> None:
    true = lab_of(seen(1 / 3))
    with_tint = difference(mixture({"W": 2, "B": 1}, blue_and_white(**LET_DOWN)), true)
    assert with_tint < 1.5
    weak = {**LET_DOWN, "tint_lab": lab_of(seen(0.02))}
    assert mixture({"W": 2, "B": 1}, blue_and_white(**weak))[0] > true[0] + 8


def test_a_measured_pair_of_masstone_and_let_down_is_reproduced() -> None:
    def measured(id: str, share: float, **tint: object) -> Swatch:
        return Swatch(id, id, lab_of(seen(share)), "reflectance", reflectance=seen(share), **tint)  # type: ignore[arg-type]

    both = SwatchList(
        (measured("W", 0), measured("B", 1, tint_reflectance=seen(0.1), tint_share=0.1, tint_white="W"))
    )
    for drops in ({"W": 9, "B": 1}, {"W": 1, "B": 1}, {"W": 1, "B": 5}):
        assert difference(mixture(drops, both), lab_of(seen(drops["B"] / sum(drops.values())))) < 0.3


def test_the_gloss_of_the_reading_does_not_change_what_is_mixed() -> None:
    def listed(gloss: float) -> SwatchList:
        kind = "included" if gloss else "excluded"
        spectra = [seen(share) + law.K1 * gloss for share in (0, 1)]
        return SwatchList(
            tuple(
                Swatch(id, id, lab_of(r), "reflectance", reflectance=r, specular=kind)
                for id, r in zip("WB", spectra, strict=True)
            )
        )

    without, with_gloss = (predicted({"W": 3, "B": 1}, listed(gloss)).reflectance for gloss in (0.0, 1.0))
    np.testing.assert_allclose(with_gloss - law.K1, without, atol=2e-3)


@pytest.mark.parametrize(
    "tint",
    [
        {**LET_DOWN, "tint_lab": np.array([5.0, 0.0, 0.0])},  # darker than the masstone
        {**LET_DOWN, "tint_white": "gone"},
        {**LET_DOWN, "tint_white": "B"},
        {**LET_DOWN, "tint_share": None},
    ],
)
def test_a_let_down_of_no_use_is_left_aside_and_said(tint: dict[str, object]) -> None:
    broken = blue_and_white(**tint)
    assert "left aside" in notes(broken)["B"]
    drops = {"W": 2, "B": 1}
    np.testing.assert_allclose(mixture(drops, broken), mixture(drops, blue_and_white()), atol=1e-6)


RED = (40.0, 50.0, 30.0)


@pytest.mark.parametrize(
    ("let_down", "why"),
    [
        ((75, -30, 10), "no paint of this colour"),  # green: two constants fit it to 0.1, all the same
        ((99, 1, 1), "lighter than its white"),
        (RED, "the colour of the paint itself"),
    ],
)
def test_a_let_down_that_contradicts_its_masstone_is_not_believed(
    let_down: tuple[float, ...], why: str
) -> None:
    def listed(**tint: object) -> SwatchList:
        return SwatchList((paint("W", (95, 0, 2)), paint("R", RED, **tint)))

    doubted = listed(tint_lab=np.array(let_down), tint_share=0.1, tint_white="W")
    assert why in notes(doubted)["R"]
    without = predicted({"W": 9, "R": 1}, listed())
    said = predicted({"W": 9, "R": 1}, doubted)
    np.testing.assert_allclose(said.lab, without.lab)
    # as unsure as without any let-down, and more so than with a true one
    true = listed(tint_lab=without.lab, tint_share=0.1, tint_white="W")
    assert notes(true) == {}
    assert said.expected_error == pytest.approx(without.expected_error)
    assert said.expected_error > 1.5 * predicted({"W": 9, "R": 1}, true).expected_error


def test_true_let_downs_are_believed_even_where_the_hue_turns() -> None:
    # invented pigments, transparent ones among them, whose hue in white is not that of their masstone
    from tests.benchmarks.mixing import population, sets, swatch_list

    for name in ("kinds", "held back"):
        k, s, kinds = population(name, 301)
        for _, some_k, some_s in sets(k, s, kinds, 1, 5):
            for knowledge in ("tint", "reflectance + tint"):
                listed = swatch_list(some_k, some_s, knowledge)
                if knowledge == "tint":  # mixed by eye: a share that is off is no contradiction
                    listed = SwatchList(
                        tuple(
                            replace(s, tint_share=s.tint_share and 1.3 * s.tint_share)
                            for s in listed.swatches
                        )
                    )
                assert not [said for said in notes(listed).values() if "contradicts" in said]


# CIELAB of masstone and of 10 % in white, as artists' acrylics of these pigments were measured; typed in
STRONG = {
    "phthalocyanine green": ((25, -5, -6), (76, -38, -3)),
    "dioxazine purple": ((23, 3, 0), (61, 21, -32)),
    "anthraquinone blue": ((23, 4, -5), (67, -3, -28)),
    "phthalocyanine blue": ((23, 12, -20), (68, -17, -33)),
}


def test_strong_transparent_pigments_are_believed() -> None:
    """Fails where a masstone that is nearly black may not have a brilliant let-down, which is what the
    strongest ordinary pigments have."""
    white = Swatch("W", "white", np.array([96.5, -0.8, 2.5]), "lab")
    others = (
        Swatch(id, id, np.array(lab, float), "lab", tint_lab=np.array(down, float), tint_share=0.1,
               tint_white="W")
        for id, (lab, down) in STRONG.items()
    )  # fmt: skip
    swatches = SwatchList((white, *others))
    assert not notes(swatches)
    for id, (_, down) in STRONG.items():
        assert difference(mixture({"W": 9, id: 1}, swatches), down) < 0.5
        weaker = mixture({"W": 19, id: 1}, swatches)
        assert weaker[0] > down[0] + 2 and np.hypot(*weaker[1:]) > 0.5 * np.hypot(*down[1:])


def test_the_expected_error_shrinks_with_knowledge() -> None:
    drops = {"W": 3, "B": 1}
    blind, tinted = predicted(drops, blue_and_white()), predicted(drops, blue_and_white(**LET_DOWN))
    assert tinted.expected_error < 0.5 * blind.expected_error
    assert predicted({"B": 1}, blue_and_white()).expected_error == 0.0


@pytest.mark.parametrize("drops", [{}, {"W": 0}, {"W": -1}, {"W": 1.5}, {"W": True}, {"nobody": 1}])
def test_impossible_drops_are_refused(drops: dict[str, int]) -> None:
    with pytest.raises(InputError):
        mixture(drops, BENCH)


def test_every_wrong_drop_is_named_at_once() -> None:
    with pytest.raises(InputError) as caught:
        mixture({"nobody": 1, "W": 0}, BENCH)
    assert len(caught.value.problems) == 2


@pytest.mark.parametrize(
    ("name", "more", "kind"),
    [
        ("Medium grey", {}, None),
        ("Bronze green", {}, None),
        ("Clear blue", {}, None),
        ("Deep blue", {"notes": "not metallic"}, None),
        ("Old silver", {}, "metallic"),
        ("Red", {"finish": "metallic"}, "metallic"),
        ("Red", {"range": "Metallic colours"}, "metallic"),
        ("Orange", {"notes": "fluorescent"}, "fluorescent"),
        ("Satin varnish", {}, "clear"),
    ],
)
def test_paints_that_do_not_mix_are_known_by_finish_or_words(
    name: str, more: dict[str, str], kind: str | None
) -> None:
    assert unmixable(Swatch("x", name, np.zeros(3), "lab", **more)) == kind  # type: ignore[arg-type]


_BROWN, _WHITE, _GREY = (28.0, 14.0, 20.0), (97.0, 0.0, 2.0), (54.0, 0.0, 0.0)


def test_a_middling_red_is_no_medium() -> None:
    """Fails where a paint between a light and a deep one is taken for a clear medium and never mixed."""
    red = Swatch("R", "Naphthol red medium", np.array([38.0, 55.0, 33.0]), "lab")
    clear = Swatch("M", "Gloss medium", np.array([95.0, 0.0, 2.0]), "lab")
    assert unmixable(red) is None and unmixable(clear) == "clear"


@pytest.mark.parametrize(
    ("name", "lab", "more", "kind"),
    [
        ("Varnish", _BROWN, {"finish": "gloss"}, None),
        ("Coach varnish", _BROWN, {"finish": "satin"}, None),
        ("Black varnish", (12.0, 0.0, 0.0), {"finish": "gloss"}, None),  # as bitumen paints are called
        ("Varnish", _BROWN, {"opacity": 0.9}, None),
        ("Varnish", _GREY, {"finish": "gloss", "opacity": 0.95}, None),
        ("Varnish brown", _BROWN, {}, None),  # brown, as varnish is
        ("Waist red", (40.0, 50.0, 30.0), {"notes": "thin with thinners 1:1, then gloss varnish"}, None),
        ("Waist red", (40.0, 50.0, 30.0), {"finish": "gloss", "range": "Paints and varnishes"}, None),
        ("Varnish", _WHITE, {"finish": "gloss"}, "clear"),
        ("Varnish", (88.0, 0.0, 18.0), {"finish": "gloss"}, "clear"),  # yellowed, over white
        ("Gloss varnish", _GREY, {"finish": "gloss"}, "clear"),  # a grey where a colour had to stand
        ("Gloss varnish", _BROWN, {"finish": "gloss", "opacity": 0.05}, "clear"),
        ("Varnish", _BROWN, {"finish": "clear"}, "clear"),
        ("Matt clear", _WHITE, {"finish": "matt"}, "clear"),
        ("Topcoat 3", _WHITE, {"finish": "satin", "notes": "satin varnish; indoors"}, "clear"),
    ],
)
def test_a_paint_called_a_varnish_is_told_from_a_clear_coat(
    name: str, lab: tuple[float, float, float], more: dict[str, object], kind: str | None
) -> None:
    """Fails where a name alone takes a colour that hides out of every answer, or a clear coat gets in as a
    white or grey paint."""
    assert unmixable(Swatch("x", name, np.array(lab), "lab", **more)) == kind  # type: ignore[arg-type]


def test_mixing_a_metallic_is_not_silent() -> None:
    metal = SwatchList((*BENCH.swatches, paint("S", (70, 0, 0), finish="metallic")))
    with pytest.warns(MixingWarning, match="S is metallic"):
        mixture({"S": 1, "W": 1}, metal)
    assert "left out" in notes(metal)["S"]


def test_a_duplicated_white_is_noticed_and_harmless() -> None:
    twice = SwatchList((*BENCH.swatches, paint("W2", (96, -0.5, 2))))
    assert notes(twice)["W2"] == "it has exactly the colour of W"
    np.testing.assert_allclose(
        mixture({"W": 1, "W2": 1, "B": 1}, twice), mixture({"W": 2, "B": 1}, BENCH), atol=1e-6
    )
