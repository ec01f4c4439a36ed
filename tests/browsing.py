"""The machine's own browser, as the tests start it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
OPTIONS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"]
OPTIONS += ["--disable-background-networking", "--disable-component-update"]
PATIENCE = 120_000  # milliseconds that a page may take on a busy machine


@contextmanager
def opened(browser: Any, **options: Any) -> Iterator[Any]:
    """A page of a browser that has never been here, which waits as long as a busy machine takes."""
    context = browser.new_context(**options)
    context.set_default_timeout(PATIENCE)
    try:
        yield context.new_page()
    finally:
        context.close()
