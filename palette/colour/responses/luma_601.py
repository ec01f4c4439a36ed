"""The luma of an sRGB colour picture: weights of ITU-R BT.601 on its encoded levels."""

from palette.colour.lumas import luma_members
from palette.colour.responses import Response

RESPONSE = Response(
    "luma-601",
    "BT.601 luma of a colour picture",
    "weights 0.299, 0.587, 0.114 on encoded levels, ITU-R BT.601; "
    "the colour picture's saturation from memory",
    lumas=luma_members((0.299, 0.587, 0.114)),
)
