"""A page for the tests of the bench."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browsing import opened
from tests.desk.desk_made import OPENED


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page for one test."""
    with opened(browser, viewport={"width": 1400, "height": 900}) as page:
        yield page


@pytest.fixture(scope="module", autouse=True)
def desks_are_closed() -> Iterator[None]:
    yield
    while OPENED:
        OPENED.pop().close()
