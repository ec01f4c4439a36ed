"""What kind of paint a swatch is, by its finish and its words: one that mixes, a metallic, a clear coat …"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from palette.swatches.model import Swatch

_FINISHES = {"metallic": "metallic", "fluorescent": "fluorescent", "clear": "clear", "varnish": "clear"}
# Words that mean it wherever they stand, and words that mean it as the last of a name: bronze green, medium
# grey and clear blue are paints like any other.
_ANYWHERE = {
    "metallic": r"metallics?|pearlescent|iridescent|interference",
    "fluorescent": r"fluorescents?|fluoro?|neon|luminous|phosphorescent|glow[- ]in[- ]the[- ]dark",
}
_LAST = {
    "metallic": r"pearl|silver|gold|copper|brass|bronze|gunmetal|gun metal|aluminium|steel|chrome",
    "clear": r"clear|medium",
}
_CLEAR = r"clear ?coats?|varnish(?:es)?|thinners?|retarder|(?:glaze|mixing|matt|gloss) medium"
_SHEEN = r"(?:ultra |semi[- ]?)?(?:matt|satin|gloss|flat)"
_COLOURS = r"black|white|grey|brown|red|orange|yellow|green|blue|purple|pink"  # as the last of a name
_HIDES = 0.5  # opacity from which what is called a varnish is a paint

SIGNS = {  # the same for the guide's web page, which sorts a reader's paints in the browser
    "finishes": _FINISHES,
    "anywhere": _ANYWHERE,
    "last": _LAST,
    "clear": _CLEAR,
    "sheen": _SHEEN,
    "colours": _COLOURS,
}


def unmixable(swatch: Swatch) -> str | None:
    """Why a paint is not mixed: 'metallic', 'fluorescent' or 'clear'; None for a paint that mixes.

    Flakes reflect like mirrors, fluorescence adds light and a clear has no colour of its own: absorption
    and scattering say nothing of them. The finish decides; where it does not, words of the name, the range
    and the notes do. A brown gloss paint may be called a varnish, after what it imitates: what hides, or has
    a sheen and a colour that no clear coat has, is a paint all the same.
    """
    kept = swatch.__dict__  # a long list is asked anew for every colour
    if "_kind" not in kept:
        lab = tuple(swatch.lab.tolist())
        kept["_kind"] = _kind(swatch.finish, swatch.name, swatch.range, swatch.notes, swatch.opacity, lab)
    kind: str | None = kept["_kind"]
    return kind


@lru_cache(1 << 17)  # the same paints come again in lists of their own
def _kind(
    finish: str, name: str, range: str, notes: str, opacity: float | None, lab: tuple[float, ...]
) -> str | None:
    finish, name = finish.strip().lower(), name.strip().lower()
    if finish in _FINISHES:
        return _FINISHES[finish]
    words = f"{name} | {range} | {notes}".lower()
    for kind, signs in _ANYWHERE.items():
        if re.search(rf"(?<!\bnot )(?<!\bnon-)(?<!\bover )(?<!\bunder )\b(?:{signs})\b", words):
            return kind
    colourless = _colourless(lab)
    if _called_clear(name, range.lower(), notes.lower(), bool(finish) and colourless):
        # what is called clear and covers like a paint is one: by its opacity, else by its sheen and colour
        hides = opacity >= _HIDES if opacity is not None else bool(finish) and not colourless
        if not hides:
            return "clear"
    for kind, signs in _LAST.items() if not finish else ():  # a matt 'harvest gold' is a colour, no metal
        if name.endswith("medium") and not colourless:
            continue  # naphthol red medium lies between a light and a deep one
        if re.search(rf"\b(?:{signs})$", name):
            return kind
    return None


def _called_clear(name: str, range: str, notes: str, colourless_sheen: bool) -> bool:
    """Whether the words say it: the name or the range anywhere, the notes where they say no more, since most
    paints are thinned and varnished."""
    if any(
        re.fullmatch(rf"(?:{_SHEEN} )?(?:{_CLEAR})", note.strip()) for note in re.split(r"[.,;:|/]+", notes)
    ):
        return True
    if re.search(rf"\b(?:{_COLOURS})$", name):  # varnish brown is a brown
        return False
    ends = r"|\bclear$" if colourless_sheen else ""
    return any(re.search(rf"(?<!\bnot )(?<!\bnon-)\b(?:{_CLEAR})\b{ends}", text) for text in (name, range))


def _colourless(lab: tuple[float, ...]) -> bool:
    """Whether a list may show a clear coat so: white, perhaps yellowed, or a grey that stands for nothing.
    Common practice, no source."""
    lightness, chroma = lab[0], math.hypot(lab[1], lab[2])
    return (lightness >= 45.0 and chroma <= 8.0) or (lightness >= 80.0 and chroma <= 25.0)
