"""Words for colours, after the ISCC-NBS system: a modifier and a hue, "dark greyish green".

A colour's name is that of the nearest of the 267 ISCC-NBS centroid colours. Near is meant by hue and
by CIELAB chroma, stretched near grey and compressed far from it as CIEDE2000 does; CIEDE2000 itself is
made for small differences, and its rotation term would call a brilliant violet a greyish blue. The
system draws its borders in Munsell notation; between centroids the two rarely part.

The other way round, `parse` turns what somebody wrote or remembered into a region of CIELAB. People
use such words more loosely than the system does: "green" is every green, the typical ones before the
greyish and the blackish, and a remembered colour lies beyond the border by a few units.

Source: Kelly & Judd, "Color: Universal Language and Dictionary of Names", NBS Special Publication 440
(1976), from memory; the centroid colours confirmed against the dictionary in Debian's
libcolor-library-perl. Those that lie outside sRGB, or contradict their names, are our own
(`data/iscc_nbs.csv` marks them). The trade words ("cream", "maroon") and the weights of the
modifiers are common practice, no source.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from palette.colour.adaptation import chroma_scale
from palette.colour.spaces import Array


@dataclass(frozen=True)
class WordRegion:
    """The colours that some words may mean: a normal distribution in CIELAB D65."""

    words: str  # as understood: 'brownish red'
    lab: Array  # (3,), its mean
    covariance: Array  # (3, 3)
    names: tuple[str, ...]  # the ISCC-NBS names it is made of, the weightiest first


class UnknownWords(ValueError):
    """Words that name no colour palette knows; `suggestions` maps each to known words like it, and `remedy`
    says what to write."""

    def __init__(self, suggestions: Mapping[str, tuple[str, ...]]) -> None:
        self.suggestions = dict(suggestions)
        parts = []
        for word, near in self.suggestions.items():
            hint = f" (did you mean {' or '.join(repr(n) for n in near)}?)" if near else ""
            parts.append(f"{word!r} is no colour word palette knows{hint}")
        super().__init__("; ".join(parts) or "no colour word is given")
        known = [repr(word) for found in self.suggestions.values() for word in found]
        self.remedy = (
            f"the nearest it knows: {', '.join(known)}"
            if known
            else "it knows hues (red, olive, bluish green, cream) and pale, light, dark, vivid, greyish and "
            "the like before them; write what colour it was, not what thing it was or what colour it was not"
        )


@dataclass(frozen=True, eq=False)
class _Category:
    name: str
    modifier: str
    hue: str
    mean: Array
    covariance: Array
    share: float  # of the solid of surface colours


# How each modifier stands within its hue: (lightness, chroma), each in steps of the system.
_MODIFIERS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "vivid": (0.2, 2.0),
        "brilliant": (1.0, 1.4),
        "strong": (0.0, 1.2),
        "deep": (-1.0, 1.2),
        "very deep": (-1.7, 1.0),
        "very light": (1.7, 0.3),
        "light": (1.0, 0.3),
        "moderate": (0.0, 0.3),
        "medium": (0.0, 0.3),
        "dark": (-1.0, 0.3),
        "very dark": (-1.7, 0.0),
        "very pale": (1.7, -0.7),
        "pale": (1.1, -0.7),
        "light greyish": (0.7, -1.0),
        "greyish": (0.0, -1.0),
        "dark greyish": (-1.0, -1.0),
        "blackish": (-1.8, -1.0),
    }
)

# What people say: the place of the word on the same two axes, and how loosely it is meant on each.
_SPOKEN: Mapping[str, tuple[float, float, float, float]] = MappingProxyType(
    {
        "": (0.0, 0.7, 0.9, 0.9),
        **{word: (*place, 0.45, 0.45) for word, place in _MODIFIERS.items()},
        "dark": (-1.1, 0.3, 0.5, 0.8),
        "very dark": (-1.8, 0.1, 0.4, 0.8),
        "light": (1.1, 0.3, 0.5, 0.8),
        "very light": (1.7, 0.1, 0.4, 0.8),
        "pale": (1.3, -0.4, 0.5, 0.6),
        "medium": (0.0, 0.4, 0.5, 0.8),
        "bright": (0.5, 1.7, 0.7, 0.6),
        "rich": (-0.4, 1.3, 0.6, 0.5),
        "dull": (-0.2, -0.5, 0.8, 0.6),
        "faded": (0.4, -0.3, 0.8, 0.6),
    }
)

_SAME_MODIFIER: Mapping[str, str] = MappingProxyType(
    {
        "mid": "medium",
        "middle": "medium",
        "lightish": "light",
        "darkish": "dark",
        "intense": "vivid",
        "saturated": "vivid",
        "pure": "vivid",
        "brightish": "bright",
        "muted": "dull",
        "drab": "dull",
        "dusty": "dull",
        "dirty": "dull",
        "washed": "faded",
        "weathered": "faded",
        "soft": "pale",
        "whitish": "very pale",
        "warm": "",
        "cold": "",
        "cool": "",
    }
)

# Fillers that say nothing of the colour.
_FILLERS = frozenset(
    (
        *("a", "an", "and", "the", "of", "in", "or", "with", "like", "kind", "sort", "out"),
        *("rather", "quite", "fairly", "slightly", "somewhat", "almost", "nearly"),
        *("colour", "coloured", "color", "colored", "paint", "painted", "shade", "tint", "tone", "hue"),
    )
)

_ISH: Mapping[str, str] = MappingProxyType(
    {
        "reddish": "red",
        "pinkish": "pink",
        "orangeish": "orange",
        "orangish": "orange",
        "brownish": "brown",
        "yellowish": "yellow",
        "greenish": "green",
        "bluish": "blue",
        "blueish": "blue",
        "violetish": "violet",
        "purplish": "purple",
        "purpleish": "purple",
        "olivish": "olive",
        "blackish": "black",
        "whitish": "white",
        "creamy": "cream",
        "golden": "gold",
        "sandy": "sand",
        "rusty": "rust",
        "chocolaty": "chocolate",
        "slaty": "slate",
    }
)

# Hues that are near the one said: a share of what is meant.
_ALSO: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "red": {"purplish red": 0.3, "reddish orange": 0.25, "reddish brown": 0.1},
        "pink": {"yellowish pink": 0.5, "purplish pink": 0.5, "brownish pink": 0.2},
        "orange": {"reddish orange": 0.5, "orange yellow": 0.4, "brownish orange": 0.4},
        "brown": {"reddish brown": 0.7, "yellowish brown": 0.7, "olive brown": 0.4, "brownish orange": 0.1},
        "yellow": {"orange yellow": 0.4, "greenish yellow": 0.4},
        "olive": {"olive green": 0.4, "olive brown": 0.4},
        "green": {"yellowish green": 0.8, "bluish green": 0.4, "yellow green": 0.3, "olive green": 0.3},
        "blue": {"greenish blue": 0.4, "purplish blue": 0.5},
        "violet": {"purplish blue": 0.3, "purple": 0.5},
        "purple": {"violet": 0.6, "reddish purple": 0.6, "purplish red": 0.05},
        "grey": {
            "bluish grey": 0.4, "greenish grey": 0.4, "purplish grey": 0.2, "brownish grey": 0.3,
            "yellowish grey": 0.3, "olive grey": 0.2, "reddish grey": 0.2, "pinkish grey": 0.2,
        },
        "white": {
            "yellowish white": 0.3, "greenish white": 0.15, "bluish white": 0.3, "pinkish white": 0.2,
            "purplish white": 0.2,
        },
        "black": {
            "bluish black": 0.3, "greenish black": 0.2, "brownish black": 0.3, "reddish black": 0.2,
            "purplish black": 0.2, "olive black": 0.2,
        },
    }
)  # fmt: skip

# Words of the trade and of the street, as ISCC-NBS names (common practice, no source).
_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "almond": "pale orange yellow",
        "amber": "vivid orange yellow, strong orange yellow, deep orange yellow",
        "apricot": "light orange, moderate orange, light orange yellow",
        "aqua": "brilliant bluish green, very light bluish green, light bluish green",
        "auburn": "strong reddish brown, moderate reddish brown",
        "azure": "brilliant blue, light blue",
        "beige": "pale orange yellow, greyish yellow, light greyish yellowish brown, yellowish grey",
        "biscuit": "pale orange yellow, light yellowish brown",
        "bottle green": "very dark green, dark green, deep green, dark yellowish green",
        "brass": "dark yellow, deep yellow, light olive brown",
        "brick": "moderate reddish brown, greyish reddish orange, dark reddish orange",
        "bronze": "light olive brown, moderate olive brown, strong yellowish brown",
        "bronze green": "dark olive green, moderate olive green, dark greyish olive green",
        "buff": "moderate orange yellow, light yellowish brown, pale orange yellow, greyish yellow",
        "burgundy": "dark red, dark purplish red, deep red, very dark red",
        "camel": "light yellowish brown, moderate yellowish brown",
        "caramel": "strong yellowish brown, brownish orange, dark orange yellow",
        "carmine": "vivid red, strong red, strong purplish red",
        "charcoal": "dark grey, dark bluish grey, bluish black",
        "cherry": "vivid red, strong red, deep red",
        "chestnut": "moderate reddish brown, strong brown, moderate brown",
        "chocolate": "dark brown, moderate brown, dark reddish brown, dark greyish brown",
        "cinnamon": "brownish orange, strong brown, light brown",
        "claret": "deep red, dark red, deep purplish red",
        "cobalt": "strong blue, vivid blue, vivid purplish blue",
        "coffee": "moderate brown, dark brown, moderate yellowish brown",
        "copper": "brownish orange, deep orange, dark reddish orange, strong brown",
        "coral": "strong yellowish pink, deep yellowish pink, moderate reddish orange",
        "cream": "pale yellow, yellowish white, pale orange yellow",
        "crimson": "vivid red, deep red, strong red, vivid purplish red",
        "cyan": "brilliant greenish blue, brilliant bluish green, vivid greenish blue",
        "dove grey": "light grey, light bluish grey, purplish grey",
        "duck egg": "very pale green, very pale blue, light greenish grey",
        "ebony": "black, brownish black",
        "emerald": "vivid green, strong green, brilliant green",
        "fawn": "light greyish yellowish brown, light yellowish brown, light greyish brown",
        "flesh": "light yellowish pink, pale orange yellow, pale yellowish pink, moderate yellowish pink",
        "ginger": "brownish orange, strong yellowish brown",
        "gold": "strong yellow, dark yellow, strong orange yellow, deep yellow",
        "grass green": "strong yellow green, strong yellowish green, moderate yellow green",
        "indigo": "deep purplish blue, dark purplish blue, deep violet",
        "iron": "dark grey, medium grey, dark bluish grey",
        "ivory": "yellowish white, pale yellow",
        "jade": "moderate green, light green, strong green",
        "khaki": "light olive brown, dark greyish yellow, light greyish olive, light olive, moderate olive",
        "lavender": "light violet, very pale violet, pale violet, very light purple",
        "lead": "medium grey, bluish grey, dark bluish grey",
        "leaf green": "strong yellow green, moderate yellow green, deep yellow green",
        "leather": "moderate brown, strong brown, strong yellowish brown",
        "lemon": "brilliant yellow, brilliant greenish yellow, light greenish yellow",
        "lilac": "light purple, very light purple, pale purple",
        "lime": "brilliant yellow green, vivid yellow green",
        "magenta": "vivid reddish purple, vivid purplish red, strong reddish purple",
        "mahogany": "dark reddish brown, moderate reddish brown, strong reddish brown, deep reddish brown",
        "maize": "light yellow, light orange yellow, brilliant yellow",
        "maroon": "dark red, dark purplish red, deep red, very deep red, dark reddish brown, very dark red",
        "mauve": "light purple, light reddish purple, moderate purple, pale reddish purple, pale purple",
        "mint": "very light green, very light yellowish green, very pale green",
        "moss": "moderate olive green, moderate yellow green, dark olive green",
        "mud": "moderate olive brown, greyish yellowish brown, dark greyish yellowish brown",
        "mustard": "deep yellow, strong yellow, dark yellow",
        "navy": "dark blue, dark purplish blue, deep blue, very dark greenish blue",
        "oatmeal": "greyish yellow, yellowish grey, light greyish yellowish brown",
        "ochre": "dark orange yellow, dark yellow, deep orange yellow, strong yellowish brown",
        "off white": "yellowish white, white, pinkish white",
        "oxblood": "dark red, deep reddish brown, deep red",
        "oxide red": "moderate reddish brown, dark reddish orange, strong reddish brown",
        "peach": "light yellowish pink, light orange, pale orange yellow",
        "pea green": "moderate yellow green, strong yellow green",
        "pewter": "medium grey, bluish grey, dark grey",
        "plum": "dark purple, dark reddish purple, deep reddish purple",
        "primrose": "light yellow, pale yellow, light greenish yellow",
        "rose": "strong pink, deep pink, moderate purplish pink, strong purplish red",
        "royal blue": "strong blue, vivid purplish blue, strong purplish blue, vivid blue",
        "ruby": "deep red, vivid red, deep purplish red",
        "russet": "moderate reddish brown, strong brown, dark reddish orange",
        "rust": "strong reddish brown, dark reddish orange, deep reddish orange, brownish orange",
        "saffron": "vivid orange yellow, strong orange yellow",
        "sage": "greyish yellow green, pale green, greyish green, greyish olive green",
        "salmon": "strong yellowish pink, moderate yellowish pink, deep yellowish pink, strong pink",
        "sand": "greyish yellow, light yellowish brown, moderate orange yellow, pale orange yellow",
        "scarlet": "vivid reddish orange, vivid red",
        "sea green": "moderate bluish green, light bluish green, strong green, brilliant green",
        "sepia": "dark greyish yellowish brown, dark yellowish brown, moderate brown",
        "sienna": "strong brown, brownish orange, strong reddish brown",
        "silver": "light grey, light bluish grey",
        "sky": "very light blue, light blue, very light greenish blue",
        "slate": "dark bluish grey, bluish grey, greyish blue, dark greyish blue",
        "steel": "bluish grey, greyish blue, medium grey",
        "stone": "yellowish grey, greyish yellow, light greyish yellowish brown, light olive grey",
        "straw": "pale yellow, light yellow, moderate yellow, greyish yellow",
        "tan": "light yellowish brown, light brown, moderate orange yellow",
        "taupe": "greyish brown, brownish grey, light brownish grey, greyish yellowish brown",
        "tawny": "strong yellowish brown, brownish orange, strong brown",
        "teak": "moderate brown, strong brown, light brown",
        "teal": "moderate bluish green, dark bluish green, strong bluish green, moderate greenish blue",
        "terracotta": "moderate reddish orange, greyish reddish orange, dark reddish orange",
        "turquoise": "brilliant bluish green, light bluish green, brilliant greenish blue",
        "ultramarine": "vivid purplish blue, strong purplish blue, vivid blue, deep purplish blue",
        "umber": "dark brown, dark greyish yellowish brown, moderate yellowish brown, moderate olive brown",
        "vermilion": "vivid reddish orange, vivid red, strong reddish orange",
        "walnut": "moderate brown, dark brown, moderate yellowish brown",
        "wine": "dark red, dark purplish red, deep purplish red, very dark red",
    }
)

_SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "gray": "grey",
        "grayish": "greyish",
        "aquamarine": "aqua",
        "ocher": "ochre",
        "vermillion": "vermilion",
        "khakhi": "khaki",
        "offwhite": "off white",
        "terra": "terracotta",
        "lavendar": "lavender",
    }
)

# A remembered or written colour is off its word by about this much in each direction, besides
# the breadth of the word itself (common practice, no source).
_MEMORY_SD = 6.0

# Of "brownish red", the red weighs two parts and the brown one.
_ISH_SHARE = 1 / 3

# How far one step of the system goes in L* and in chroma, where a modifier moves a trade word.
_STEP = (13.0, 0.35)


def name(lab: ArrayLike) -> str:
    """The ISCC-NBS name of one CIELAB D65 colour (3,), in British spelling: 'dark greyish green'."""
    return names(np.asarray(lab, dtype=np.float64).reshape(1, 3))[0]


def names(lab: ArrayLike) -> list[str]:
    """The ISCC-NBS names of CIELAB D65 colours (n, 3)."""
    known, centroids = _centroids()
    flat = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
    found: list[str] = []
    for start in range(0, len(flat), 4096):
        off = _place_in_names(flat[start : start + 4096])[:, None, :] - centroids
        far = np.einsum("nki,nki->nk", off, off)
        # So near grey no hue is seen, whichever centroid's lightness lies nearer.
        grey = np.hypot(flat[start : start + 4096, 1], flat[start : start + 4096, 2]) < _NO_HUE
        far[np.ix_(grey, ~np.isin(known, _NEUTRALS))] = np.inf
        found += [known[i] for i in np.argmin(far, axis=1)]
    return found


_NEUTRALS = ("black", "dark grey", "medium grey", "light grey", "white")
_NO_HUE = 2.0  # C*; ISCC-NBS ends its neutrals at Munsell chroma 0.5 or so (from memory)


def _place_in_names(lab: Array) -> Array:
    """CIELAB (n, 3) to a space where Euclidean distance tells names apart."""
    c7 = np.minimum(np.hypot(lab[:, 1], lab[:, 2]), 1e4) ** 7
    a = lab[:, 1] * (1.5 - 0.5 * np.sqrt(c7 / (c7 + 25.0**7)))
    chroma = np.hypot(a, lab[:, 2])
    squeeze = chroma_scale(chroma)
    return np.column_stack([lab[:, 0], a * squeeze, lab[:, 2] * squeeze])


@cache
def known_words() -> tuple[str, ...]:
    """Every word and fixed phrase that `parse` understands, in alphabetical order."""
    hues = {word for category in _categories() for word in (*category.hue.split(), category.hue)}
    modifiers = {word for phrase in _SPOKEN for word in phrase.split()}
    return tuple(sorted(hues | modifiers | set(_SAME_MODIFIER) | set(_ISH) | set(_WORDS)))


def parse(words: str) -> WordRegion:
    """What somebody may have meant by some colour words, as a region of CIELAB D65.

    Understands modifiers ("dark", "very pale", "dull"), hues, one hue leaning to another ("brownish
    red", "blue-green"), trade words ("cream", "maroon"), and these together ("dark cream"). British
    and American spelling; word order is free; fillers ("a sort of") are passed over.

    Raises:
        UnknownWords: a ValueError naming each word not understood, with known words like it.
    """
    tokens = _tokens(words)
    modifiers, hues = _split(tokens)
    if not hues and not modifiers:
        raise UnknownWords({})
    spoken = " ".join(modifiers)
    place = _SPOKEN.get(spoken) or _together(modifiers)
    understood = " ".join([*modifiers, *hues])
    if not hues:  # 'dark': any hue
        return _region(understood, _weigh({category.hue: 1.0 for category in _categories()}, place))
    *leaning, last = hues
    if leaning and leaning[-1] in _WORDS and last in _ALSO:  # 'slate grey' is slate first, and grey
        leaning, last = [last, *leaning[:-1]], leaning[-1]
        if leaning[0] in _WORDS[last].replace(",", "").split():
            leaning = leaning[1:]
    region = _one(last, place, understood)
    for hue in reversed(leaning):
        phrase = f"{hue} {last}"
        exact = _one(phrase, place, understood) if phrase in _hues() else None
        region = exact or _lean(region, _one(_ISH.get(hue, hue), place, understood))
        last = phrase if exact else last
    return region


def _tokens(words: str) -> list[str]:
    """Words in order, with fixed phrases of the trade as one."""
    plain = "".join(c if c.isalpha() else " " for c in words.lower()).split()
    plain = " ".join(_SPELLINGS.get(word, word) for word in plain).split()
    known = set(known_words())
    tokens, unknown, i = [], {}, 0
    while i < len(plain):
        pair = " ".join(plain[i : i + 2])
        if pair in _WORDS:
            tokens.append(pair)
            i += 2
            continue
        word = plain[i]
        i += 1
        if word in _FILLERS:
            continue
        if word in known or (word == "very" and i < len(plain)):
            tokens.append(word)
        elif word.endswith("ish") and word[:-3] in known:
            tokens.append(word[:-3])
        else:
            unknown[word] = tuple(difflib.get_close_matches(word, known_words(), n=2, cutoff=0.72))
    if unknown:
        raise UnknownWords(unknown)
    return tokens


def _split(tokens: list[str]) -> tuple[list[str], list[str]]:
    """Modifiers in the system's order, and hues, the main one last."""
    modifiers: list[str] = []
    hues: list[str] = []
    very = False
    for token in tokens:
        token = _SAME_MODIFIER.get(token, token)
        phrase = f"very {token}" if very and f"very {token}" in _SPOKEN else token
        if token == "very":
            very = True
            continue
        very = False
        if token not in _SPOKEN:
            hues.append(token)
        elif token:
            modifiers.append(phrase)
    modifiers.sort(key=lambda modifier: modifier == "greyish")  # 'greyish dark' is 'dark greyish'
    if hues and hues[-1] in _ISH:  # 'green, bluish'
        mains = [hue for hue in hues if hue not in _ISH]
        hues = [hue for hue in hues if hue in _ISH] + mains if mains else [*hues[:-1], _ISH[hues[-1]]]
    if len(hues) > 1 and " ".join(hues[-2:]) not in _hues():  # 'blue green' leans as 'bluish green' does
        ish = {base: word for word, base in reversed(list(_ISH.items()))}
        if f"{ish.get(hues[-2], hues[-2])} {hues[-1]}" in _hues():
            hues[-2] = ish[hues[-2]]
    return modifiers, hues


def _together(modifiers: list[str]) -> tuple[float, float, float, float]:
    """Several modifiers as one: their mean place, as loose as the loosest."""
    places = np.array([_SPOKEN[m] for m in modifiers])
    light, chroma = places[:, :2].mean(axis=0)
    if "greyish" in modifiers or "dull" in modifiers:  # these speak of chroma alone
        others = [m for m in modifiers if m not in ("greyish", "dull")]
        light = np.mean([_SPOKEN[m][0] for m in others]) if others else light
        chroma = -0.9
    return float(light), float(chroma), float(places[:, 2].max()), float(places[:, 3].max())


def _one(hue: str, place: tuple[float, float, float, float], understood: str) -> WordRegion:
    """The region of a single hue or trade word, modified."""
    if hue in _WORDS:
        by_name = {category.name: category for category in _categories()}
        region = _region(understood, {by_name[n.strip()]: 1.0 for n in _WORDS[hue].split(",")})
        there: tuple[float, ...] = _SPOKEN[""][:2]
    else:
        hue = _ISH.get(hue, hue)
        weights = _weigh({hue: 1.0, **_ALSO.get(hue, {})}, place)
        region = _region(understood, weights)
        total = sum(weights.values())
        there = tuple(
            sum(w * _place(category)[axis] for category, w in weights.items()) / total for axis in (0, 1)
        )
    if place == _SPOKEN[""] or hue.endswith(("grey", "white", "black")):
        return region
    # What the system has no modifier for ("light olive green"), moving the whole region supplies.
    light, chroma = (place[axis] - there[axis] for axis in (0, 1))
    scale = max(1 + _STEP[1] * chroma, 0.2)
    moved = region.lab * [1, scale, scale] + [_STEP[0] * light, 0, 0]
    moved = np.clip(moved, [4, -128, -128], [97, 128, 128])
    return WordRegion(understood, moved, region.covariance, region.names)


def _place(category: _Category) -> tuple[float, float]:
    return _MODIFIERS.get(category.modifier, (0.0, 0.3))


def _weigh(hues: Mapping[str, float], place: tuple[float, float, float, float]) -> dict[_Category, float]:
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


@cache
def _centroids() -> tuple[list[str], Array]:
    rows = _rows("iscc_nbs.csv")
    lab = np.array([row[1:4] for row in rows], dtype=np.float64)
    return [row[0] for row in rows], _place_in_names(lab)


@cache
def _categories() -> tuple[_Category, ...]:
    found = []
    for label, *cells in _rows("words.csv"):
        share, *numbers = (float(cell) for cell in cells)
        upper = np.zeros((3, 3))
        upper[np.triu_indices(3)] = numbers[3:]
        modifier, hue = _modifier_and_hue(label)
        covariance = upper + np.triu(upper, 1).T
        found.append(_Category(label, modifier, hue, np.array(numbers[:3]), covariance, share))
    return tuple(found)


def _modifier_and_hue(label: str) -> tuple[str, str]:
    for modifier in sorted(_MODIFIERS, key=len, reverse=True):
        if label.startswith(f"{modifier} "):
            return modifier, label.removeprefix(f"{modifier} ")
    return "", label


@cache
def _hues() -> frozenset[str]:
    return frozenset(category.hue for category in _categories())


def _rows(file: str) -> list[list[str]]:
    text = files("palette.colour.data").joinpath(file).read_text("utf-8")
    return [row.split(",") for row in text.splitlines()[1:]]
