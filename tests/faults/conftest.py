"""What the tests of faults share."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

_MEMORY = Path("/dev/shm")


@pytest.fixture
def quick() -> Iterator[Path]:
    """A folder in memory where there is such, since these tests flush to the disk thousands of times."""
    with tempfile.TemporaryDirectory(dir=_MEMORY if _MEMORY.is_dir() else None) as folder:
        yield Path(folder)
