"""A camera with a look of its own: a tone curve, and more or less saturation, on top of a straight rendering.

The steps are the camera's; which of their values are likely, and how the matrix follows the gains, is learnt
apart, for a curve that adds contrast adds colour too.
"""

from __future__ import annotations

from palette.colour.spaces import Array
from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.models import camera


def undo(theta: Array, linear: Array, place: Array) -> Array:
    """As the camera's, the matrix following the gains as learnt of pictures with a look."""
    return camera.undo(theta, linear, place, camera.prior().follow[camera.LOOK])


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """Any picture may have a look."""
    return camera.veiled(camera.belief(camera.LOOK))


MODEL = Model("camera with a look", undo, camera.GAIN, camera.FALL, beliefs, camera.says, camera.start)
