"""What remains of a part's colour, in words: those that keep their probability, and those that lost it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cache

import numpy as np

from palette.colour.spaces import Array
from palette.evidence.grey.answer import GreyPart
from palette.evidence.grey.inference import Working
from palette.evidence.grey.surfaces import at_large

_REMAINS = 0.04  # posterior share from which a word is worth saying
_COMMON = 0.006  # prior share below which ruling a word out is no news
_RULED_OUT = 0.1  # of its prior share, or less


@dataclass(frozen=True)
class Words:
    remaining: tuple[str, ...]  # most likely first
    ruled_out: tuple[str, ...]  # whole hues first ("red"), then shades of one ("dark blue")


@cache
def _labels() -> tuple[tuple[str, str], ...]:
    """Of each surface at large: its hue in one word, and that with pale, mid or dark before it."""
    from palette.colour.names import names

    labels = []
    for lab, name in zip(at_large().lab, names(at_large().lab), strict=True):
        hue = name.split()[-1]
        if hue in ("white", "black"):
            labels.append((hue, hue))
        else:
            shade = "dark" if lab[0] < 38 else "pale" if lab[0] > 72 else "mid"
            labels.append((hue, f"{shade} {hue}"))
    return tuple(labels)


def words(part: GreyPart, working: Working) -> Words:
    """The words of the colours at large that a part may still have, and of those it has not."""
    weight = large_weight(part, working)
    prior: dict[str, float] = defaultdict(float)
    after: dict[str, float] = defaultdict(float)
    shades: dict[str, list[str]] = defaultdict(list)
    for (hue, shade), w in zip(_labels(), weight, strict=True):
        for word in {hue, shade}:
            prior[word] += 1 / len(weight)
            after[word] += float(w)
        if shade not in shades[hue]:
            shades[hue].append(shade)
    finest = {shade for _, shade in _labels()}
    remaining = sorted((w for w in finest if after[w] >= _REMAINS), key=lambda w: -after[w])
    gone = {w for w in prior if prior[w] >= _COMMON and after[w] <= _RULED_OUT * prior[w]}
    hues = sorted((h for h in shades if h in gone), key=lambda h: -prior[h])
    kept = [h for h in shades if h not in gone]
    partly = sorted((s for h in kept for s in shades[h] if s in gone), key=lambda s: -prior[s])
    return Words(tuple(remaining), tuple(hues + partly))


def large_weight(part: GreyPart, working: Working) -> Array:
    """(n,) the posterior of each surface at large, summing to 1."""
    rows = working.rows[working.paint[part.part]][len(working.paints.reflectance) :]
    weight = working.large.mean(rows)
    return np.asarray(weight / weight.sum())
