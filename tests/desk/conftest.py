"""One browser for all tests of the bench."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.desk.hands import chromium


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    with chromium() as found:
        yield found


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page of a browser that has never been here."""
    context = browser.new_context(viewport={"width": 1400, "height": 900})
    yield context.new_page()
    context.close()
