"""What every test shares."""

from __future__ import annotations

import os
import tempfile

# No test may depend on what an earlier run measured: what this run measures is kept in a folder of its own,
# which its workers share, so that one kit is computed once. Tests of the cache choose a folder themselves.
if "PYTEST_XDIST_WORKER" not in os.environ:
    _KEPT = tempfile.TemporaryDirectory(prefix="palette-tests-", ignore_cleanup_errors=True)
    os.environ["PALETTE_CACHE"] = _KEPT.name
os.environ["PALETTE_STATE"] = ""

# As the command does, and before NumPy is imported: small matrices are slower in threads.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from palette.memory import MEMORY
from tests.browsing import CHROMIUM, OPTIONS, PATIENCE

# The same examples every time, so that a pass is a pass; `--hypothesis-profile default` looks further afield.
settings.register_profile(
    "repeatable", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("repeatable")


@pytest.fixture(autouse=True)
def nothing_remembered(request: pytest.FixtureRequest) -> Iterator[None]:
    """A test that changes what computes neither gets nor leaves an answer."""
    if "monkeypatch" not in request.fixturenames:
        yield
        return
    MEMORY.clear()
    kept = os.environ["PALETTE_CACHE"]
    os.environ["PALETTE_CACHE"] = ""
    yield
    os.environ["PALETTE_CACHE"] = kept
    MEMORY.clear()


# Begun first, so that no worker is left alone with one of them at the end.
_LONGEST = (
    *("test_bench_jobs", "test_docs", "test_browser", "test_recipes", "test_bench", "test_lost"),
    *("test_guards", "test_correction_contradictions", "test_outputs", "test_incremental"),
    *("test_changes", "test_card", "test_reconcile", "test_correction", "test_grey", "test_pages"),
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    order = {stem: place for place, stem in enumerate(_LONGEST)}
    items.sort(key=lambda item: order.get(item.path.stem, len(order)))
    for item in items:
        # A browser on a busy machine may lose a tap or a frame: its test is tried again, and the run says so.
        if "browser" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.flaky(reruns=1))


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """The machine's own browser, for the tests of one file: a test skips where there is none."""
    api = pytest.importorskip("playwright.sync_api")
    if CHROMIUM is None:
        pytest.skip("there is no Chromium")
    with api.sync_playwright() as play:
        started = play.chromium.launch(executable_path=CHROMIUM, args=OPTIONS, timeout=PATIENCE)
        yield started
        started.close()
