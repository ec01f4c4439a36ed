"""A page for the tests of the bench."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.desk.desk_made import OPENED


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page of a browser that has never been here."""
    context = browser.new_context(viewport={"width": 1400, "height": 900})
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module", autouse=True)
def desks_are_closed() -> Iterator[None]:
    yield
    while OPENED:
        OPENED.pop().close()
