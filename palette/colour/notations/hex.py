"""sRGB in hexadecimal, `#rrggbb` or `#rgb`. Source: IEC 61966-2-1."""

from __future__ import annotations

from palette.colour.spaces import Array, hex_to_lab

ORDER = 2
NUMBERS = 1
EXAMPLE = "--hex '#7f8a66'"
HELP = "A colour in sRGB, six hexadecimal digits; the # needs quotes in most shells."


def to_lab(value: object) -> Array:
    try:
        return hex_to_lab(value if isinstance(value, str) else repr(value))
    except ValueError:
        raise ValueError(f"{value!r} is no hex colour; write it as in '#7f8a66'") from None
