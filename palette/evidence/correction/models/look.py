"""A camera with a look of its own: a tone curve, and more or less saturation, on top of a straight rendering.

The steps are the camera's; which of their values are likely is learnt apart.
"""

from __future__ import annotations

from palette.evidence.correction.model import Belief, Model
from palette.evidence.correction.models import camera


def beliefs(kind: str, year: int | None, anchors: int) -> tuple[Belief, ...]:
    """Any picture may have a look."""
    return camera.veiled(camera.belief(camera.LOOK))


MODEL = Model("camera with a look", camera.undo, camera.GAIN, camera.FALL, beliefs, camera.says, camera.start)
