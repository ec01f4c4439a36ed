"""The packets of JPEG 2000 (Rec. ITU-T T.800, Annex B): where each one's header and body lie.

A packet's header says how long its body is, and nothing stands between packets. So where one is damaged,
the next is looked for in the wrong place, and the walk does not end where the data do.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

_MOST_VISITS = 3_000_000  # of code blocks: more than any real picture has, and a few seconds
_MOST_PRECINCTS = 300_000
_MOST_PLANES = 100  # bit planes, of which no coding has half as many
_BYPASS, _TERMINATE_ALL = 1, 4  # code block styles


_ORDERS = (  # of a place - component, resolution, number, top, left - what packets are sorted by
    (1, 0, 2),
    (1, 0, 2),
    (1, 3, 4, 0, 2),
    (3, 4, 0, 1, 2),
    (0, 3, 4, 1, 2),
)


class Broken(ValueError):
    """The packets do not follow each other."""


class TooMany(ValueError):
    """The walk would take too long."""


@dataclass(frozen=True)
class Component:
    """How a component is coded."""

    steps: tuple[int, int]  # of the reference grid, across and down
    levels: int  # of decomposition
    block: tuple[int, int]  # exponents of a code block's sides
    style: int
    precincts: tuple[tuple[int, int], ...]  # exponents of their sides, by resolution, the smallest first


@dataclass(frozen=True)
class Coding:
    """How a tile is coded."""

    area: tuple[int, int, int, int]  # on the reference grid: left, top, right, bottom
    order: int  # of its packets
    layers: int
    starts: bool  # markers may stand before packets
    ends: bool  # markers stand behind their headers
    components: tuple[Component, ...]


def pieces(data: bytes, coding: Coding) -> list[tuple[int, int]]:
    """Where what a packet holds of a code block begins and ends, in a tile's data from all of its parts.

    Raises:
        Broken: the packets do not follow each other, or do not end where the data do.
        TooMany: nobody would wait for it.
    """
    found, at, visits = [], 0, 0
    precincts = sum(_count(coding, *place) for place in _resolutions(coding))
    if coding.layers * precincts > len(data):
        raise Broken("each packet takes a byte")
    if precincts > _MOST_PRECINCTS:
        raise TooMany
    for layer, precinct in _sequence(coding):
        visits += precinct.blocks
        if visits > _MOST_VISITS:
            raise TooMany
        if coding.starts and data[at : at + 2] == b"\xff\x91":
            at += 6
        at, lengths = precinct.header(data, at, layer)
        if coding.ends:
            if data[at : at + 2] != b"\xff\x92":
                raise Broken("no marker behind a header")
            at += 2
        for length in lengths:
            found.append((at, at + length))
            at += length
    if at != len(data):
        raise Broken("the packets end elsewhere than the data")
    return found


# -- where things are ----------------------------------------------------------------------------


def _up(number: int, by: int) -> int:
    return -(-number // by)


def _resolutions(coding: Coding) -> Iterator[tuple[int, int]]:
    """Component and resolution."""
    for c, component in enumerate(coding.components):
        for r in range(component.levels + 1):
            yield c, r


def _bounds(
    coding: Coding, c: int, halvings: int, high: tuple[int, int] = (0, 0)
) -> tuple[int, int, int, int]:
    """Of a component after so many halvings: left, top, right, bottom; `high` of the high-pass bands."""
    part, size = coding.components[c], 1 << halvings
    corner = [_up(side, part.steps[i % 2]) for i, side in enumerate(coding.area)]
    shift = [size // 2 * one for one in high]
    left, top, right, bottom = (_up(side - shift[i % 2], size) for i, side in enumerate(corner))
    return left, top, right, bottom


def _grid(coding: Coding, c: int, r: int) -> tuple[range, range]:
    """The precincts of a resolution, across and down."""
    part = coding.components[c]
    left, top, right, bottom = _bounds(coding, c, part.levels - r)
    wide, tall = (1 << exponent for exponent in part.precincts[r])
    if left >= right or top >= bottom:
        return range(0), range(0)
    return range(left // wide, _up(right, wide)), range(top // tall, _up(bottom, tall))


def _count(coding: Coding, c: int, r: int) -> int:
    across, down = _grid(coding, c, r)
    return len(across) * len(down)


def _sequence(coding: Coding) -> Iterator[tuple[int, _Precinct]]:
    """Layer and precinct of each packet, in the order of the data (B.12)."""
    found = []
    for c, r in _resolutions(coding):
        part = coding.components[c]
        across, down = _grid(coding, c, r)
        exponents = [side + part.levels - r for side in part.precincts[r]]
        for k, (py, px) in enumerate((py, px) for py in down for px in across):
            # A precinct that begins before the tile does comes where the tile begins.
            x = max(coding.area[0], px * part.steps[0] << exponents[0])
            y = max(coding.area[1], py * part.steps[1] << exponents[1])
            found.append(((c, r, k, y, x), _Precinct(coding, c, r, px, py)))
    layers = range(coding.layers)
    found.sort(key=lambda item: tuple(item[0][i] for i in _ORDERS[coding.order]))
    if coding.order == 0:
        yield from ((layer, precinct) for layer in layers for _, precinct in found)
    elif coding.order == 1:
        for r in range(max(part.levels for part in coding.components) + 1):
            same = [precinct for place, precinct in found if place[1] == r]
            yield from ((layer, precinct) for layer in layers for precinct in same)
    else:
        yield from ((layer, precinct) for _, precinct in found for layer in layers)


# -- headers (B.10) ------------------------------------------------------------------------------


class _Bits:
    """The bits of a header; behind a byte of ones comes one of seven."""

    def __init__(self, data: bytes, at: int) -> None:
        self.data, self.at, self.byte, self.left = data, at, 0, 0

    def bit(self) -> int:
        if not self.left:
            if self.at >= len(self.data):
                raise Broken("the data end within a header")
            self.left = 7 if self.byte == 0xFF else 8
            self.byte = self.data[self.at]
            self.at += 1
            if self.left == 7 and self.byte > 0x7F:
                raise Broken("a marker within a header")
        self.left -= 1
        return self.byte >> self.left & 1

    def number(self, count: int) -> int:
        value = 0
        for _ in range(count):
            value = value << 1 | self.bit()
        return value

    def end(self) -> int:
        """The offset behind the header."""
        return self.at + (self.byte == 0xFF)


class _Tree:
    """A tag tree (B.10.2)."""

    def __init__(self, across: int, down: int) -> None:
        self.sides = [(across, down)]
        while self.sides[-1] != (1, 1):
            self.sides.append((_up(self.sides[-1][0], 2), _up(self.sides[-1][1], 2)))
        self.least = [[0] * (w * h) for w, h in self.sides]
        self.known = [bytearray(w * h) for w, h in self.sides]

    def below(self, bits: _Bits, x: int, y: int, limit: int) -> bool:
        """Whether a leaf is less than a limit."""
        least = 0
        for level in range(len(self.sides) - 1, -1, -1):
            at = (y >> level) * self.sides[level][0] + (x >> level)
            row, known = self.least[level], self.known[level]
            least = max(least, row[at])
            while least < limit and not known[at]:
                if bits.bit():
                    known[at] = 1
                else:
                    least += 1
            row[at] = least
        return bool(self.known[0][at]) and least < limit


class _Block:
    """What a code block's next length depends on."""

    __slots__ = ("bits", "left", "room")

    def __init__(self, style: int) -> None:
        self.bits = 3
        self.room = 1 if style & _TERMINATE_ALL else 10 if style & _BYPASS else 1 << 30
        self.left = self.room  # passes that still go into the segment begun

    def lengths(self, bits: _Bits, passes: int, style: int) -> int:
        """The sum of the lengths of the segments that so many passes go into."""
        total = 0
        while bits.bit():
            self.bits += 1
        while passes:
            if not self.left:
                if not style & _TERMINATE_ALL:  # raw segments of two passes and coded ones of one in turn
                    self.room = 2 if self.room in (1, 10) else 1
                self.left = self.room
            now = min(passes, self.left)
            total += bits.number(self.bits + now.bit_length() - 1)
            self.left -= now
            passes -= now
        return total


class _Precinct:
    """A precinct of a resolution, with what its headers said so far."""

    def __init__(self, coding: Coding, c: int, r: int, px: int, py: int) -> None:
        part = coding.components[c]
        self.style = part.style
        high = ((1, 0), (0, 1), (1, 1)) if r else ((0, 0),)
        wide, tall = (side - (r > 0) for side in part.precincts[r])
        cw, ch = min(part.block[0], wide), min(part.block[1], tall)
        self.sides = []  # code blocks across and down, by band
        for one in high:
            left, top, right, bottom = _bounds(coding, c, part.levels - max(0, r - 1), one)
            left, right = max(left, px << wide), min(right, px + 1 << wide)
            top, bottom = max(top, py << tall), min(bottom, py + 1 << tall)
            if left < right and top < bottom:
                self.sides.append((_up(right, 1 << cw) - (left >> cw), _up(bottom, 1 << ch) - (top >> ch)))
        self.blocks = sum(across * down for across, down in self.sides)
        self.bands: list[tuple[_Tree, _Tree, dict[tuple[int, int], _Block]]] = []

    def header(self, data: bytes, at: int, layer: int) -> tuple[int, list[int]]:
        """The offset behind a header, and how much the body holds of one code block after another."""
        bits, lengths = _Bits(data, at), []
        if not bits.bit():
            return bits.end(), []
        if not self.bands:
            self.bands = [(_Tree(*sides), _Tree(*sides), {}) for sides in self.sides]
        for (across, down), (included, planes, blocks) in zip(self.sides, self.bands, strict=True):
            for y in range(down):
                for x in range(across):
                    block = blocks.get((x, y))
                    if block is None:
                        if not included.below(bits, x, y, layer + 1):
                            continue
                        blocks[x, y] = block = _Block(self.style)
                        least = 1
                        while not planes.below(bits, x, y, least):
                            least += 1
                            if least > _MOST_PLANES:
                                raise Broken("more bit planes than there are")
                    elif not bits.bit():
                        continue
                    lengths.append(block.lengths(bits, _passes(bits), self.style))
        return bits.end(), lengths


def _passes(bits: _Bits) -> int:
    """How many coding passes (table B.4)."""
    if not bits.bit():
        return 1
    if not bits.bit():
        return 2
    if (more := bits.number(2)) < 3:
        return 3 + more
    if (more := bits.number(5)) < 31:
        return 6 + more
    return 37 + bits.number(7)
