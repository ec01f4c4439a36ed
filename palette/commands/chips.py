"""Colour chips in a terminal that can show them; where it cannot, the words beside them must do."""

from __future__ import annotations

import os
import sys

from palette.commands.terminal import styled

_WIDTH = 4  # characters


def can_show() -> bool:
    """Whether standard output is a terminal with 24-bit colour that has not been asked for none.

    A terminal says so in COLORTERM (`truecolor` or `24bit`) or by the `direct` in its TERM; NO_COLOR and
    a dumb terminal say no. These are common practice of terminals, no standard.
    """
    if not sys.stdout.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return os.environ.get("COLORTERM") in ("truecolor", "24bit") or "direct" in os.environ.get("TERM", "")


def chip(hex_colour: str, width: int = _WIDTH) -> str:
    """Blanks on a ground of `#rrggbb`, and one more after them; '' where the terminal cannot show it."""
    if not can_show():
        return ""
    red, green, blue = (int(hex_colour[i : i + 2], 16) for i in (1, 3, 5))
    return styled(" " * width, f"48;2;{red};{green};{blue}") + " "
