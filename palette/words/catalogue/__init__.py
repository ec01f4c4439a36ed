"""The fixed words of guide, dossier and web page, and what notes say: one Fluent file a language, beside
this one.

A new language is one more file `xx.ftl` with every message of `en.ftl`; a test holds them together. Numbers
and dates follow the Unicode CLDR, as Babel has it.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fluent.runtime import FluentBundle

DEFAULT = "en"
_MESSAGE = re.compile(r"(?m)^([a-z][\w-]*) =.*(?:\n(?:[ \t}].*|(?=\n)))*")  # to the next that begins a line
_REGIONS = {"en": "en_GB", "de": "de_DE"}  # where a language file means one country's habits


def languages() -> list[str]:
    """The languages there are, by their codes (ISO 639-1)."""
    here = files("palette.words.catalogue")
    return sorted(file.name[:-4] for file in here.iterdir() if file.name.endswith(".ftl"))


class Words:
    """The words of one language: `words("coats", count=2)` says the message of that name.

    Raises:
        ValueError: there is no such language.
    """

    def __init__(self, language: str = DEFAULT) -> None:
        if language not in languages():
            raise ValueError(f"no language {language!r}; there are {', '.join(languages())}")
        self.language = language
        self.locale = _REGIONS.get(language, language)
        self._bundle = _bundle(language, self.locale)

    def __call__(self, key: str, **values: Any) -> str:
        """The message `key` with its values in place. KeyError where there is no such message."""
        message = self._message(key)
        if message.value is None:
            raise KeyError(key)
        # Fluent cuts long texts off; these stand in for them until it is done
        long = {
            f"\ue000{i}\ue001": v for i, v in enumerate(values.values()) if isinstance(v, str) and len(v) > 99
        }
        stand_ins = {v: mark for mark, v in long.items()}
        given = {k: stand_ins.get(v, v) if isinstance(v, str) else v for k, v in values.items()}
        text, problems = self._bundle.format_pattern(message.value, given)
        if problems:
            raise KeyError(f"{key}: {problems[0]}")
        said = str(text)
        for mark, value in long.items():
            said = said.replace(mark, value)
        return said

    def _message(self, key: str) -> Any:
        # Reading the whole catalogue takes longer than most commands have to say.
        if not self._bundle.has_message(key):
            from fluent.runtime import FluentResource

            self._bundle.add_resource(FluentResource(_messages(self.language)[key]))
        return self._bundle.get_message(key)

    def has(self, key: str) -> bool:
        return key in _messages(self.language)

    def all(self, prefix: str) -> dict[str, str]:
        """Every message whose name begins with `prefix-` and that takes no values, by the rest of its
        name."""
        names = [name for name in _messages(self.language) if name.startswith(prefix + "-")]
        return {name[len(prefix) + 1 :]: self(name) for name in names}

    @property
    def right_to_left(self) -> bool:
        """Whether the language is written from the right."""
        from babel import Locale

        return Locale.parse(self.locale).text_direction == "rtl"

    def number(self, value: float, decimals: int = 1) -> str:
        """A number as the language writes it, with a true minus sign and no negative zero."""
        from babel.numbers import format_decimal

        rounded = round(float(value), decimals) + 0.0
        places = "." + "0" * decimals if decimals else ""
        return str(format_decimal(rounded, format="#,##0" + places, locale=self.locale)).replace("-", "−")

    def count(self, number: int) -> str:
        """'six'; figures where the language has no word in its catalogue."""
        return self(f"count-{number}") if self.has(f"count-{number}") else self.number(number, 0)

    def date(self, day: datetime.date) -> str:
        """A date in full: '4 May 2026'."""
        from babel.dates import format_date

        return str(format_date(day, format="long", locale=self.locale))

    def joined(self, words: Sequence[str]) -> str:
        """'a', 'a and b', 'a, b and c'."""
        if len(words) < 2:
            return "".join(words)
        return self("list-last", most=", ".join(words[:-1]), last=words[-1])

    def joined_or(self, words: Sequence[str]) -> str:
        """'a', 'a or b', 'a, b or c'."""
        if len(words) < 2:
            return "".join(words)
        return self("list-or", most=", ".join(words[:-1]), last=words[-1])

    def colour(self, name: str) -> str:
        """The words for a colour, from its English ISCC-NBS name."""
        if self.language == DEFAULT or not name:
            return name
        modifiers = [m for m in _modifiers(self.language) if name.startswith(m.replace("-", " ") + " ")]
        modifier = max(modifiers, key=len, default="")
        hue = name[len(modifier) :].strip().replace(" ", "-")
        if not self.has(f"hue-{hue}"):
            return name
        said = self(f"hue-{hue}")
        return f"{self(f'modifier-{modifier}')} {said}" if modifier else said


@cache
def _bundle(language: str, locale: str) -> FluentBundle:
    from fluent.runtime import FluentBundle

    return FluentBundle([locale.replace("_", "-")], use_isolating=False)


@cache
def _messages(language: str) -> dict[str, str]:
    """The source of each message by its name; none of them refers to another."""
    source = files("palette.words.catalogue").joinpath(f"{language}.ftl").read_text("utf-8")
    return {message[1]: message[0] for message in _MESSAGE.finditer(source)}


@cache
def _modifiers(language: str) -> tuple[str, ...]:
    return tuple(name[9:] for name in _messages(language) if name.startswith("modifier-"))
