"""The names of responses that the file format promises (docs/reference.md)."""

from palette.colour.responses import names


def test_the_kit_knows_every_response() -> None:
    assert set(names()) >= {
        "panchromatic", "orthochromatic", "blue-sensitive", "camera-tube", "luma-601", "luma-709",
    }  # fmt: skip
