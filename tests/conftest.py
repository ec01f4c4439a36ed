"""What every test shares."""

from __future__ import annotations

import os

# No test may depend on what an earlier run measured; those of the cache choose a folder of their own.
os.environ["PALETTE_CACHE"] = ""
os.environ["PALETTE_STATE"] = ""

# As the command does, and before NumPy is imported: small matrices are slower in threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

from palette.memory import MEMORY

# The same examples every time, so that a pass is a pass; `--hypothesis-profile default` looks further afield.
settings.register_profile("repeatable", derandomize=True)
settings.load_profile("repeatable")


@pytest.fixture(autouse=True)
def nothing_remembered():
    """A test may change what computes: no answer of another test is good for it."""
    MEMORY.clear()
