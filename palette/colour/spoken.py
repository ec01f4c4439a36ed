"""Words that somebody wrote or remembered, as a region of CIELAB.

People use colour words more loosely than the ISCC-NBS system does (`palette.colour.names`): "green" is
every green, the typical ones before the greyish and the blackish, and a remembered colour lies beyond
the border by a few units. What the rules do not know is looked up: first among the words of the trade
(`data/trade_words.csv`, common practice, no source, as are the weights of the modifiers), then in old
dictionaries and a public survey (`data/dictionary.csv`; `data/make_names.py` says which).
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from palette.colour.spaces import Array
from palette.colour.tables import rows

_Place = tuple[float, float, float, float]

# A remembered or written colour is off its word by about this much in each direction, besides
# the breadth of the word itself (common practice, no source).
_MEMORY_SD = 6.0

# Of "brownish red", the red weighs two parts and the brown one.
_ISH_SHARE = 1 / 3

# How far one step of the system goes in L* and in chroma, where a modifier moves a trade word.
_STEP = (13.0, 0.35)

_LONGEST = 4  # words of a phrase

_SEVERAL = re.compile(r"\band\b|\bwith\b|\bon\b|&|\+|,|;")
_EITHER = re.compile(r"\bor\b")


@dataclass(frozen=True)
class WordRegion:
    """The colours that some words may mean: a normal distribution in CIELAB D65."""

    words: str  # as understood: 'brownish red'
    lab: Array  # (3,), its mean
    covariance: Array  # (3, 3)
    names: tuple[str, ...]  # the ISCC-NBS names it is made of, the weightiest first


class UnknownWords(ValueError):
    """Words that name no colour palette knows, or more than one. `suggestions` maps each unknown word to
    known words like it, `what` says what is wrong with the words and `remedy` what to write."""

    def __init__(self, words: str, suggestions: Mapping[str, tuple[str, ...]]) -> None:
        self.suggestions = dict(suggestions)
        unknown = " and ".join(map(repr, self.suggestions))
        self.what = f"palette does not know {unknown}" if unknown else f"{words!r} is no colour word"
        known = [repr(word) for near in self.suggestions.values() for word in near]
        self.remedy = (
            f"the nearest it knows: {', '.join(known)}"
            if known
            else "it knows hues (red, olive, bluish green, cream) and pale, light, dark, vivid, greyish and "
            "the like before them; write what colour it was, not what thing it was or what colour it was not"
        )
        super().__init__(f"{self.what}; {self.remedy}")


class SeveralColours(UnknownWords):
    """Words that name more than one colour, `colours`: which of them a part had must be asked."""

    def __init__(self, words: str, colours: tuple[str, ...]) -> None:
        super().__init__(words, {})
        self.colours = colours
        self.what = f"{words!r} names {len(colours)} colours"
        self.remedy = (
            f"keep the one that this part had, and give "
            f"{' and '.join(map(repr, colours[1:]))} to the part that had it; "
            f"write '{colours[0]} or {colours[1]}' where nobody knows which"
        )
        self.args = (f"{self.what}; {self.remedy}",)


@dataclass(frozen=True, eq=False)
class _Category:
    name: str
    modifier: str
    hue: str
    mean: Array
    covariance: Array
    share: float  # of the solid of surface colours


def parse(words: str) -> WordRegion:
    """What somebody may have meant by some colour words, as a region of CIELAB D65.

    Understands modifiers ("dark", "very pale", "dull"), hues, one hue leaning to another ("brownish
    red", "blue-green"), trade words ("cream", "maroon"), phrases of dictionaries ("battleship grey"), these
    together ("dark cream"), and one colour or another ("red or brown"). British and American spelling; word
    order is free; fillers ("a sort of") and words of finish ("metallic") are passed over.

    Raises:
        UnknownWords: a ValueError naming each word not understood, with known words like it.
        SeveralColours: the words name two colours ("green and cream").
    """
    pieces = _pieces(words, _SEVERAL)
    if len(pieces) > 1:
        raise SeveralColours(words.strip(), pieces)
    pieces = _pieces(words, _EITHER)
    if len(pieces) > 1:
        return _either([_parse(piece) for piece in pieces])
    return _parse(words)


def _pieces(words: str, between: re.Pattern[str]) -> tuple[str, ...]:
    """What stands between some words, where each piece is a colour of its own; else the words whole."""
    pieces = tuple(piece.strip() for piece in between.split(words.lower()) if piece.strip())
    same = _same()
    no_hue = {"very", *_spoken(), *same["modifier"], *same["leaning"]}
    if all(any(token not in no_hue for token in _tokens(piece)) for piece in pieces):
        return pieces
    return (words,)  # 'green, bluish' and 'dark and dull green' are one colour


def _parse(words: str) -> WordRegion:
    """One colour's words."""
    tokens = _tokens(words)
    modifiers, hues = _split(tokens)
    if not hues and not modifiers:
        raise UnknownWords(words.strip(), {})
    spoken = " ".join(modifiers)
    place = _spoken().get(spoken) or _together(modifiers)
    understood = " ".join([*modifiers, *hues])
    if not hues:  # 'dark': any hue
        return _region(understood, _weigh({category.hue: 1.0 for category in _categories()}, place))
    *leaning, last = hues
    if leaning and leaning[-1] in _phrases() and last in _also():  # 'slate grey' is slate first, and grey
        leaning, last = [last, *leaning[:-1]], leaning[-1]
        if leaning[0] in " ".join(_phrases()[last]).split():
            leaning = leaning[1:]
    region = _one(last, place, understood)
    for hue in reversed(leaning):
        phrase = f"{hue} {last}"
        exact = _one(phrase, place, understood) if phrase in _hues() else None
        region = exact or _lean(region, _one(_same()["leaning"].get(hue, hue), place, understood))
        last = phrase if exact else last
    return region


def _tokens(words: str) -> list[str]:
    """Words in order, with fixed phrases as one."""
    plain = "".join(c if c.isalpha() else " " for c in words.lower().replace("'s", "")).split()
    plain = " ".join(_same()["spelling"].get(word, word) for word in plain).split()
    known = set(known_words())
    tokens, unknown, i = [], {}, 0
    while i < len(plain):
        longest = (" ".join(plain[i : i + n]) for n in range(min(_LONGEST, len(plain) - i), 1, -1))
        if phrase := next((p for p in longest if p in _phrases()), ""):
            tokens.append(phrase)
            i += len(phrase.split())
            continue
        word = plain[i]
        i += 1
        if word in _fillers():
            continue
        if word in known or word in _phrases() or (word == "very" and i < len(plain)):
            tokens.append(word)
        elif word.endswith("ish") and word[:-3] in known:
            tokens.append(word[:-3])
        else:
            unknown[word] = tuple(difflib.get_close_matches(word, known_words(), n=2, cutoff=0.72))
    if unknown:
        raise UnknownWords(words.strip(), unknown)
    return tokens


def _split(tokens: list[str]) -> tuple[list[str], list[str]]:
    """Modifiers in the system's order, and hues, the main one last."""
    modifiers: list[str] = []
    hues: list[str] = []
    very = False
    modifier, leaning = _same()["modifier"], _same()["leaning"]
    for token in tokens:
        token = modifier.get(token, token)
        phrase = f"very {token}" if very and f"very {token}" in _spoken() else token
        if token == "very":
            very = True
            continue
        very = False
        if token not in _spoken():
            hues.append(token)
        elif token:
            modifiers.append(phrase)
    modifiers.sort(key=lambda word: word == "greyish")  # 'greyish dark' is 'dark greyish'
    if hues and hues[-1] in leaning:  # 'green, bluish'
        mains = [hue for hue in hues if hue not in leaning]
        hues = [*(h for h in hues if h in leaning), *mains] if mains else [*hues[:-1], leaning[hues[-1]]]
    if (
        len(hues) > 1 and " ".join(hues[-2:]) not in _hues()
    ):  # 'blue green' and 'bluey green' are 'bluish green'
        ish = {base: word for word, base in reversed(list(leaning.items()))}
        base = leaning.get(hues[-2], hues[-2])
        if f"{ish.get(base, base)} {hues[-1]}" in _hues():
            hues[-2] = ish[base]
    return modifiers, hues


def _together(modifiers: list[str]) -> _Place:
    """Several modifiers as one: their mean place, as loose as the loosest."""
    places = np.array([_spoken()[m] for m in modifiers])
    light, chroma = places[:, :2].mean(axis=0)
    if "greyish" in modifiers or "dull" in modifiers:  # these speak of chroma alone
        others = [m for m in modifiers if m not in ("greyish", "dull")]
        light = np.mean([_spoken()[m][0] for m in others]) if others else light
        chroma = -0.9
    return float(light), float(chroma), float(places[:, 2].max()), float(places[:, 3].max())


def _one(hue: str, place: _Place, understood: str) -> WordRegion:
    """The region of a single hue or trade word, modified."""
    if hue in _phrases():
        by_name = {category.name: category for category in _categories()}
        region = _region(understood, {by_name[name]: 1.0 for name in _phrases()[hue]})
        there: tuple[float, ...] = _spoken()[""][:2]
    else:
        hue = _same()["leaning"].get(hue, hue)
        weights = _weigh({hue: 1.0, **_also().get(hue, {})}, place)
        region = _region(understood, weights)
        total = sum(weights.values())
        there = tuple(
            sum(w * _place(category)[axis] for category, w in weights.items()) / total for axis in (0, 1)
        )
    if place == _spoken()[""] or (hue in _hues() and hue.endswith(("grey", "white", "black"))):
        return region
    # What the system has no modifier for ("light olive green"), moving the whole region supplies.
    light, chroma = (place[axis] - there[axis] for axis in (0, 1))
    scale = max(1 + _STEP[1] * chroma, 0.2)
    moved = region.lab * [1, scale, scale] + [_STEP[0] * light, 0, 0]
    moved = np.clip(moved, [4, -128, -128], [97, 128, 128])
    return WordRegion(understood, moved, region.covariance, region.names)


def _place(category: _Category) -> tuple[float, float]:
    return _modifiers().get(category.modifier, (0.0, 0.3))


def _weigh(hues: Mapping[str, float], place: _Place) -> dict[_Category, float]:
    light, chroma, light_width, chroma_width = place
    weights = {}
    for category in _categories():
        if category.hue not in hues:
            continue
        there = _place(category)
        neutral = category.hue.endswith(("grey", "white", "black"))
        off_light = 0.0 if category.hue.endswith(("white", "black")) else (there[0] - light) / light_width
        off_chroma = 0.0 if neutral else (there[1] - chroma) / chroma_width
        closeness = float(np.exp(-0.5 * (off_light**2 + off_chroma**2)))
        weights[category] = hues[category.hue] * closeness * category.share**0.5
    return weights


def _region(words: str, weights: Mapping[_Category, float]) -> WordRegion:
    """The mean and covariance of a mixture of categories."""
    ordered = sorted(weights, key=lambda category: -weights[category])
    w = np.array([weights[category] for category in ordered])
    w = w / w.sum()
    means = np.array([category.mean for category in ordered])
    mean = w @ means
    off = means - mean
    covariance = np.einsum("i,ijk->jk", w, np.array([category.covariance for category in ordered]))
    covariance = covariance + np.einsum("i,ij,ik->jk", w, off, off) + _MEMORY_SD**2 * np.eye(3)
    leading = tuple(category.name for category, share in zip(ordered, w, strict=True) if share >= 0.02)
    return WordRegion(words, mean, covariance, leading)


def _lean(main: WordRegion, towards: WordRegion) -> WordRegion:
    share, apart = _ISH_SHARE, main.lab - towards.lab
    within = (1 - share) * main.covariance + share * towards.covariance
    return WordRegion(
        main.words,
        (1 - share) * main.lab + share * towards.lab,
        within + share * (1 - share) * np.outer(apart, apart),
        (*main.names, *(n for n in towards.names if n not in main.names)),
    )


def _either(regions: list[WordRegion]) -> WordRegion:
    """One of some regions, nobody knows which: as likely the one as the other."""
    means = np.array([region.lab for region in regions])
    off = means - means.mean(axis=0)
    return WordRegion(
        " or ".join(region.words for region in regions),
        means.mean(axis=0),
        np.mean([region.covariance for region in regions], axis=0) + off.T @ off / len(regions),
        tuple(dict.fromkeys(name for region in regions for name in region.names)),
    )


@cache
def known_words() -> tuple[str, ...]:
    """Every word and fixed phrase of the rules and the trade that `parse` knows, in alphabetical order."""
    hues = {word for category in _categories() for word in (*category.hue.split(), category.hue)}
    modifiers = {word for phrase in _spoken() for word in phrase.split()}
    same = _same()
    return tuple(sorted(hues | modifiers | set(same["modifier"]) | set(same["leaning"]) | set(_trade())))


@cache
def _modifiers() -> dict[str, tuple[float, float]]:
    """How each modifier of the system stands within its hue: (lightness, chroma), in steps of the system."""
    return {row[0]: (float(row[5]), float(row[6])) for row in rows("modifiers.csv") if row[5]}


@cache
def _spoken() -> dict[str, _Place]:
    """What people say: the place of the word on the same two axes, and how loosely it is meant on each."""
    return {
        row[0]: (float(row[1]), float(row[2]), float(row[3]), float(row[4])) for row in rows("modifiers.csv")
    }


@cache
def _same() -> dict[str, dict[str, str]]:
    """Words that mean another: modifiers, hues that lean ('bluish'), spellings."""
    meanings: dict[str, dict[str, str]] = {"modifier": {}, "leaning": {}, "spelling": {}}
    for word, means, kind in rows("same_words.csv"):
        meanings[kind][word] = means
    return meanings


@cache
def _fillers() -> frozenset[str]:
    """Words that say nothing of the colour."""
    return frozenset({"and", "or", "with", "on", *(row[0] for row in rows("fillers.csv"))})


@cache
def _also() -> dict[str, dict[str, float]]:
    """Hues that are near the one said, each with its share of what is meant."""
    near: dict[str, dict[str, float]] = {}
    for hue, also, share in rows("near_hues.csv"):
        near.setdefault(hue, {})[also] = float(share)
    return near


@cache
def _trade() -> dict[str, tuple[str, ...]]:
    """Words of the trade and of the street, as ISCC-NBS names."""
    return {row[0]: tuple(row[1].split("; ")) for row in rows("trade_words.csv")}


@cache
def _phrases() -> dict[str, tuple[str, ...]]:
    """Words of the trade, and what dictionaries and the survey know beside them."""
    return {**{row[0]: tuple(row[1].split("; ")) for row in rows("dictionary.csv")}, **_trade()}


@cache
def _categories() -> tuple[_Category, ...]:
    categories = []
    for label, *cells in rows("words.csv"):
        share, *numbers = (float(cell) for cell in cells)
        modifier, hue = _modifier_and_hue(label)
        xx, xy, xz, yy, yz, zz = numbers[3:]
        covariance = np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])
        categories.append(_Category(label, modifier, hue, np.array(numbers[:3]), covariance, share))
    return tuple(categories)


def _modifier_and_hue(label: str) -> tuple[str, str]:
    for modifier in sorted(_modifiers(), key=len, reverse=True):
        if label.startswith(f"{modifier} "):
            return modifier, label.removeprefix(f"{modifier} ")
    return "", label


@cache
def _hues() -> frozenset[str]:
    return frozenset(category.hue for category in _categories())
