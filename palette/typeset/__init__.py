"""What every page set by palette shares: its typefaces, and how a page's script reckons colours."""

from __future__ import annotations

from importlib.resources import files


def colours_script() -> str:
    """The script that defines `colours`; the scripts of guide and shelf stand behind it."""
    return files("palette.typeset").joinpath("colours.js").read_text("utf-8")
