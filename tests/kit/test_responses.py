"""The kit knows the responses by their files, without importing the room they belong to.

Fails when that room names them otherwise, or one of the format's names is gone.
"""

from palette.grey.responses import names
from palette.kit.read import response_names


def test_the_kit_knows_every_response() -> None:
    assert response_names() == sorted(names())
    assert set(response_names()) >= {
        "panchromatic", "orthochromatic", "blue-sensitive", "camera-tube", "luma-601", "luma-709",
    }  # fmt: skip
