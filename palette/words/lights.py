"""Lights by names that people know: one table, for a light that a match is judged or parts under.

What the classes of CIE 15:2018 look like at home, and the correlated colour temperatures by which warm lamps
are told from others, are those of its tables (from memory); "warm" up to some 3300 K is EN 12464-1's word
(from memory).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.words.catalogue import Words

_WARM_TUBES = {"FL4", "FL12", "FL3.1", "FL3.4", "FL3.7", "FL3.12"}
_CANDLE, _WARM, _DAYLIGHT = 2100, 3300, 4000  # kelvins; `colour.spectra.light` takes daylight from 4000 on
_KINDS = (
    (r"D65", "daylight"),
    (r"(C|D\d+)", "daylight-of"),
    (r"ID\d+", "window"),
    (r"B", "sun"),
    (r"E", "even"),
    (r"A", "bulb"),
    (r"LED-(B1|B2|BH1|RGB1|V1)", "led-warm"),
    (r"LED-B5", "led-cool"),
    (r"LED-.*", "led"),
    (r"FL.*", "tube"),
    (r"HP[12]", "sodium"),
    (r"HP.*", "halide"),
    (r"ISO 7589 .*Daylight", "daylight-of"),
    (r"ISO 7589 .*Photoflood", "photoflood"),
    (r"ISO 7589 .*Tungsten", "studio"),
    (r"ISO 7589 .*", "printer"),
)


def light_name(light: str | float) -> str:
    """A light by the name that kit.toml and the command line give it."""
    return light if isinstance(light, str) else f"{light:g} K"


def under(light: str | float, words: Words, exactly: bool = False) -> str:
    """Where a light falls, for a sentence: "in daylight", "under a household bulb"; `exactly`: with its name
    in brackets, where the words do not have it already."""
    said = words(f"under-{_kind(light)}", light=light_name(light))
    return f"{said} ({light_name(light)})" if exactly and light_name(light) not in said else said


def _kind(light: str | float) -> str:
    if not isinstance(light, str):
        kinds = ((_CANDLE, "candle"), (_WARM, "warm"), (_DAYLIGHT, "lamp"))
        return next((kind for most, kind in kinds if light < most), "daylight-of")
    if light.upper() in _WARM_TUBES:
        return "tube-warm"
    return next(kind for pattern, kind in _KINDS if re.fullmatch(pattern, light, re.IGNORECASE))
