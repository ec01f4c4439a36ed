"""What the guide shows of the model: views with numbers, a small picture for each step, who touches whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from palette.guide.painter.content import View


@dataclass(frozen=True)
class Shown:
    """Pictures as bytes (PNG or JPEG); `views` and `lit` (by sorted part ids) are indices into them.
    `unseen` are the ids of parts that no picture shows, `touching` the ids that meet each part's own."""

    pictures: tuple[bytes, ...] = field(default=(), repr=False)
    views: tuple[View, ...] = ()
    lit: Mapping[tuple[str, ...], int] = field(default_factory=dict)
    unseen: tuple[str, ...] = ()
    touching: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    credits: tuple[str, ...] = ()
    one_picture: bool = False  # the views are one of the kit's pictures, and others may show more
