"""Bundles that were damaged or tampered with on their way."""

from __future__ import annotations

import hashlib
import io
import json
import random
import zipfile
from functools import cache
from pathlib import Path

from palette.errors import InputError
from palette.shelf.bundle import MANIFEST, check_bundle
from tests.faults.budget import cpu_seconds
from tests.faults.registry import mutated

TRIES = 60
_FILES = {"guide.html": b"<p>a guide</p>" * 40, "swatches/bench.csv": b"id,name\nA,a\n", "scheme.json": b"{}"}


@cache
def _whole() -> bytes:
    listed = [
        {"file": name, "sha256": hashlib.sha256(raw).hexdigest(), "bytes": len(raw)}
        for name, raw in _FILES.items()
    ]
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as bundle:
        bundle.writestr(MANIFEST, json.dumps({"schema": 1, "files": listed}))
        for name, raw in _FILES.items():
            bundle.writestr(name, raw)
    return stream.getvalue()


def check(rng: random.Random, folder: Path) -> None:
    """A bundle that was changed in any way is refused with what is wrong, or holds what was let out."""
    path = folder / "a.zip"
    path.write_bytes(mutated(_whole(), rng, 3))
    with cpu_seconds(10):
        try:
            entries = check_bundle(path)
        except InputError as error:
            assert error.problems and all(problem.remedy for problem in error.problems)
            return
    for entry in entries:
        assert hashlib.sha256(_FILES[entry.file]).hexdigest() == entry.sha256
