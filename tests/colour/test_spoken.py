"""Words as people write them. The examples are common practice, no source, unless a comment names one."""

import numpy as np
import pytest

from palette.colour.names import name
from palette.colour.spaces import hex_to_lab
from palette.colour.spoken import SeveralColours, UnknownWords, parse


@pytest.mark.parametrize(
    ("words", "colours"),
    [
        ("green and cream", ("green", "cream")),
        ("Black & white", ("black", "white")),
        ("red, cream", ("red", "cream")),
    ],
)
def test_two_colours_are_asked_about(words: str, colours: tuple[str, ...]) -> None:
    # would fail where "green and cream" is read as a creamy green
    with pytest.raises(SeveralColours, match="names 2 colours") as refused:
        parse(words)
    assert refused.value.colours == colours


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("green, bluish", "bluish green"),
        ("dark and dull green", "dull dark green"),
        ("bluey-green", "bluish green"),
        ("metallic blue", "blue"),
        ("a sort of muddy green", "dull green"),
    ],
)
def test_one_colour_said_otherwise(words: str, meant: str) -> None:
    assert parse(words).lab == pytest.approx(parse(meant).lab)


def test_one_of_two_colours_holds_both() -> None:
    # would fail where "or" were passed over, which leans the one to the other
    region = parse("red or green")
    assert region.lab == pytest.approx((parse("red").lab + parse("green").lab) / 2)
    apart = parse("red").lab - parse("green").lab
    assert apart @ region.covariance @ apart > (apart @ apart / 2) ** 2


@pytest.mark.parametrize(
    ("words", "code"),
    [
        # matplotlib's XKCD_COLORS and CSS4_COLORS; the ISCC-NBS category in Maerz & Paul as SP 440 gives it
        ("battleship grey", "#6b7c85"), ("battleship grey", "#848482"), ("gunmetal", "#536267"),
        ("gunmetal", "#555555"),
        ("signal red", "#be0032"), ("post-box red", "#be0032"), ("tomato", "#ff6347"),
    ],
)  # fmt: skip
def test_public_dictionaries_settle_words(words: str, code: str) -> None:
    region = parse(words)
    off = hex_to_lab(code) - region.lab
    assert off @ np.linalg.solve(region.covariance, off) < 6.25  # chi-square, 3 df, 90 %


def test_things_are_no_colour_words() -> None:
    with pytest.raises(UnknownWords, match="palette does not know 'seen' and 'paris'"):
        parse("seen in paris")


@pytest.mark.parametrize(("code", "last"), [("#95a3a6", "grey"), ("#a90308", "red"), ("#0165fc", "blue")])
def test_names_keep_the_hue_people_say(code: str, last: str) -> None:
    # matplotlib's XKCD_COLORS: 'cool grey', 'darkish red', 'bright blue'
    assert name(hex_to_lab(code)).endswith(last)
