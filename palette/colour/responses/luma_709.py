"""The luma of an sRGB colour picture: weights of ITU-R BT.709 on its encoded levels."""

from palette.colour.lumas import luma_members
from palette.colour.responses import Response

RESPONSE = Response(
    "luma-709",
    "BT.709 luma of a colour picture",
    "weights 0.2126, 0.7152, 0.0722 on encoded levels, ITU-R BT.709; "
    "the colour picture's saturation from memory",
    lumas=luma_members((0.2126, 0.7152, 0.0722)),
)
