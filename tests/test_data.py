"""Every file of data has its source and terms in docs/data.md. Fails when one has none, or has changed."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "docs"))

import make_data


def test_every_file_of_data_has_an_entry() -> None:
    without = [str(path) for path in make_data.shipped() if make_data.entry_of(path) is None]
    assert not without, f"say in docs/make_data.py where these are from: {without}"


@pytest.mark.parametrize("entry", make_data.FILES, ids=lambda entry: entry.file)
def test_every_entry_names_a_file_its_source_and_terms(entry: make_data.Entry) -> None:
    assert (make_data.ROOT / entry.file).exists() and all(entry)


def test_the_page_is_as_its_program_writes_it() -> None:
    assert make_data.PAGE.read_text("utf-8") == make_data.page(), "run python docs/make_data.py"


def test_nothing_is_learnt_through_a_package_whose_terms_forbid_it() -> None:
    # the GPL's measured sets were learnt from once
    root = make_data.ROOT
    makers = [*(root / "palette").rglob("make*.py"), *(root / "tests" / "benchmarks").rglob("learn.py")]
    assert len(makers) > 5 and not [str(m) for m in makers if "luxpy" in m.read_text("utf-8")]
