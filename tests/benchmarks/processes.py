"""The environment of what a benchmark starts."""

from __future__ import annotations

import os


def as_installed(**more: str) -> dict[str, str]:
    """This process's environment, and some `more`.

    Where Python is told to keep no compiled sources, each start compiles all of palette anew, as nobody's
    does who installed it: that wish is left out.
    """
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | more
