"""What a grey picture leaves of a surface that nobody marked."""

import numpy as np
import pytest

from palette.evidence.grey import infer
from palette.evidence.grey.leaves import LEVELS, leaves
from palette.swatches.kitlists import kit_swatches
from tests.evidence.grey.test_inference import write


def test_it_is_what_a_part_of_that_level_would_be_left(tmp_path):
    """Fails where the colour under the hand is told another range than the same place marked as a part."""
    kit = write(tmp_path, samples=(("door", 2),))
    swatches = kit_swatches(kit)
    answer = infer(kit, swatches)
    door = answer.part("door")
    (picture,) = answer.working.pictures.values()
    told = leaves(picture, swatches)
    at = int(np.argmin(np.abs(LEVELS - door.readings[0].level)))
    assert told.lightness[at] == pytest.approx(door.lightness, abs=2.0)
    assert [id for id, _ in told.likely[at][:2]] == [c.swatch for c in door.candidates[:2]]
    assert told.likely[at][0][1] == pytest.approx(door.candidates[0].probability, abs=0.1)
    middle = told.lightness.mean(axis=1)
    assert (np.diff(middle[1:-1]) > -2.0).all() and middle[-2] - middle[1] > 50  # higher is lighter
