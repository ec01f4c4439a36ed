"""Many samples to one colour a part: clustering, reconciling evidence, decisions."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.kit.model import Kit
    from palette.scheme.model import Scheme


def scheme(kit: Kit, progress: Callable[[int, int], None] | None = None) -> Scheme:
    """The scheme the evidence supports: what `palette scheme` prints, as objects.

    `progress` is told how many references of how many have been read.

    Raises:
        InputError: with every problem of the kit's pictures, regions, lists and colours.
    """
    from palette.scheme.build import build

    return build(kit, progress)


class _Callable(ModuleType):
    """`palette.scheme` is a room and, as the library's front door, a function of the same name."""

    def __call__(self, kit: Kit, progress: Callable[[int, int], None] | None = None) -> Scheme:
        return scheme(kit, progress)


sys.modules[__name__].__class__ = _Callable
