"""How levels become linear light: by an embedded profile, coded points, or sRGB where there is neither.

Profiles that are curves and a matrix are read here and applied in floating point, so that nothing is
clipped to sRGB; those that are tables go through Little CMS, in floating point too. Colours are
relative to the medium (the ICC's media-relative colorimetric intent: the medium's white is white), and
come from the profile connection space's D50 to D65 by the linear Bradford transform.

Sources: ICC.1:2022 (profile format); IEC 61966-2-1 (sRGB); ITU-T H.273 (coded points).
"""

from __future__ import annotations

import struct
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from palette.colour.adaptation import bradford
from palette.colour.spaces import D65_XYZ, XYZ_TO_SRGB, Array, lab_to_xyz, srgb_decode
from palette.evidence.pictures.notes import InksUnprofiled, ProfileUnused
from palette.notes import Note

ASSUMED = "sRGB (assumed)"
IDEAL_INKS = "CMYK without a profile (ideal inks assumed)"

Curve = Callable[[Array], Array]

D50_XYZ: Array = np.array([0.9642, 1.0, 0.8249])  # ICC.1, the white of the profile connection space

D50_TO_LINEAR: Array = XYZ_TO_SRGB @ bradford(D50_XYZ, D65_XYZ)


class ProfileFault(ValueError):
    """Why an embedded profile cannot be used: a `fault` of `notes.ProfileUnused`, and the channels that it
    is made for where they are others than the file's."""

    def __init__(self, kind: str, channels: str = "") -> None:
        super().__init__(kind)
        self.kind, self.channels = kind, channels


class Encoding(Protocol):
    """What turns stored levels (…, channels), unsigned integers or 0..1 floats, into linear light (…, 3)."""

    @property
    def name(self) -> str: ...

    def to_linear(self, stored: NDArray[Any]) -> NDArray[np.float32]: ...


@dataclass(frozen=True)
class MatrixEncoding:
    """One curve a channel, then a matrix to linear light in sRGB primaries.

    A single curve is a grey file's: its three components come out equal. Grey levels through three
    curves are taken as three equal channels.
    """

    name: str
    curves: tuple[Curve, ...]
    matrix: Array | None = field(default=None)  # (3, 3); None keeps the channels as they are

    @cached_property
    def _tables(self) -> dict[Any, NDArray[np.float32]]:
        return {}

    def to_linear(self, stored: NDArray[Any]) -> NDArray[np.float32]:
        columns = [stored[..., min(i, stored.shape[-1] - 1)] for i in range(len(self.curves))]
        if stored.dtype.kind == "u" and stored.dtype.itemsize <= 2:
            tables = self._table(stored.dtype)
            light = [table.take(column) for table, column in zip(tables, columns, strict=True)]
        else:
            top = np.iinfo(stored.dtype).max if stored.dtype.kind == "u" else 1.0
            light = [
                curve(column.astype(np.float64) / top).astype(np.float32)
                for curve, column in zip(self.curves, columns, strict=True)
            ]
        if len(light) == 1:
            light = light * 3
        if self.matrix is None:
            return np.stack(light, axis=-1)
        return np.stack(light, axis=-1) @ self.matrix.T.astype(np.float32)

    def _table(self, dtype: np.dtype[Any]) -> NDArray[np.float32]:
        """The curves at every level an integer can take (channels, levels)."""
        if dtype not in self._tables:
            top = np.iinfo(dtype).max
            levels = np.arange(top + 1) / top
            self._tables[dtype] = np.stack([curve(levels) for curve in self.curves]).astype(np.float32)
        return self._tables[dtype]


@dataclass(frozen=True)
class TableEncoding:
    """A profile that holds tables, through Little CMS to CIELAB D50 in double precision."""

    name: str
    icc: bytes = field(repr=False)
    space: str  # rgb | cmyk | gray, in the library's words

    def to_linear(self, stored: NDArray[Any]) -> NDArray[np.float32]:
        import imagecodecs

        flat = _fractions(stored).reshape(-1, 1, stored.shape[-1])
        if self.space == "cmyk":
            flat = flat * 100.0  # Little CMS counts floating point inks in per cent
        lab = imagecodecs.cms_transform(
            np.ascontiguousarray(flat[..., 0] if flat.shape[-1] == 1 else flat),
            self.icc,
            _lab_profile(),
            colorspace=self.space,
            outcolorspace="lab",
            outdtype="float64",
            intent=1,
        )
        return _lab50_to_linear(lab.reshape(*stored.shape[:-1], 3))


@dataclass(frozen=True)
class IdealInks:
    """Inks whose light is not known: each takes its complement from sRGB levels, black from all."""

    name: str = IDEAL_INKS

    def to_linear(self, stored: NDArray[Any]) -> NDArray[np.float32]:
        inks = _fractions(stored)
        return srgb_decode((1 - inks[..., :3]) * (1 - inks[..., 3:4])).astype(np.float32)


@dataclass(frozen=True)
class LabEncoding:
    """CIELAB D50 as fractions: L* over 100, a* and b* moved by 128 and over 255 (TIFF 6.0, section 23)."""

    name: str = "CIELAB D50"

    def to_linear(self, stored: NDArray[Any]) -> NDArray[np.float32]:
        lab = _fractions(stored)
        return _lab50_to_linear(lab * [100.0, 255.0, 255.0] - [0.0, 128.0, 128.0])


def _fractions(stored: NDArray[Any]) -> Array:
    levels = stored.astype(np.float64)
    return levels / np.iinfo(stored.dtype).max if stored.dtype.kind == "u" else levels


def _lab50_to_linear(lab: Array) -> NDArray[np.float32]:
    return (lab_to_xyz(lab, D50_XYZ) @ D50_TO_LINEAR.T).astype(np.float32)


def _lab_profile() -> bytes:
    import imagecodecs

    return bytes(imagecodecs.cms_profile("lab4"))


def srgb(channels: int, name: str = ASSUMED) -> MatrixEncoding:
    """The encoding of IEC 61966-2-1, for one channel or three."""
    return MatrixEncoding(name, (srgb_decode,) * channels)


def encoding(space: str, icc: bytes | None) -> tuple[Encoding, tuple[Note, ...]]:
    """How a file's levels become light, and what to tell its reader about it.

    Args:
        space: grey, rgb, inks (CMYK) or lab.
        icc: the embedded profile, if any. One that is damaged or of another kind of channels is left
            out with a note; sRGB (for inks: ideal ones) is then assumed.
    """
    notes: tuple[Note, ...] = ()
    if icc and space != "lab":  # CIELAB needs none, and what it could say is not used anywhere
        try:
            return read_profile(icc, space), notes
        except ValueError as error:
            fault = error if isinstance(error, ProfileFault) else ProfileFault("damaged")
            notes = (ProfileUnused(fault.kind, space == "inks", fault.channels),)
    if space == "inks":
        return IdealInks(), notes or (InksUnprofiled(),)
    if space == "lab":
        return LabEncoding(), notes
    return srgb(1 if space == "grey" else 3), notes


# -- ICC profiles ---------------------------------------------------------------------------------


def read_profile(icc: bytes, space: str) -> Encoding:
    """An ICC profile as an encoding of grey, rgb or inks channels.

    A profile with tables (A2B) is used by its tables, as the standard has it, else by its matrix and
    curves.

    Raises:
        ProfileFault: damaged, or for other channels.
    """
    tags = _tags(icc)
    signature = icc[16:20].decode("latin-1")
    accepted = {"grey": ("GRAY", "RGB "), "rgb": ("RGB ",), "inks": ("CMYK",)}[space]
    if signature not in accepted:
        raise ProfileFault("channels", signature.strip())
    name = _name(tags)
    if any(tag in tags for tag in ("A2B0", "A2B1", "A2B2", "D2B0", "D2B1")):
        return _table_profile(icc, signature, name)
    if signature == "GRAY":
        return _grey_profile(icc, tags, name)
    if signature == "RGB ":
        columns = np.stack([_xyz(tags, tag) for tag in ("rXYZ", "gXYZ", "bXYZ")], axis=-1)
        if abs(np.linalg.det(columns)) < 1e-6:
            raise ProfileFault("flat")
        curves = tuple(_curve(tags.get(tag, b"")) for tag in ("rTRC", "gTRC", "bTRC"))
        return MatrixEncoding(name, curves, D50_TO_LINEAR @ columns)
    raise ProfileFault("bare")


def _table_profile(icc: bytes, signature: str, name: str) -> Encoding:
    import imagecodecs

    space = {"RGB ": "rgb", "CMYK": "cmyk", "GRAY": "gray"}[signature]
    table = TableEncoding(name, icc, space)
    channels = {"cmyk": 4, "gray": 1}.get(space, 3)
    try:
        table.to_linear(np.full((1, channels), 0.5))
    except (imagecodecs.CmsError, ValueError, TypeError) as error:
        raise ProfileFault("tables damaged") from error
    return table


def _grey_profile(icc: bytes, tags: dict[str, bytes], name: str) -> Encoding:
    curve = _curve(tags.get("kTRC", b""))
    if icc[20:24] == b"Lab ":  # the curve then gives lightness, not luminance

        def luminance(levels: Array) -> Array:
            lightness = 100 * curve(levels)
            lab = np.stack([lightness, np.zeros_like(lightness), np.zeros_like(lightness)], axis=-1)
            return np.asarray(lab_to_xyz(lab)[..., 1])

        return MatrixEncoding(name, (luminance,))
    return MatrixEncoding(name, (curve,))


def _tags(icc: bytes) -> dict[str, bytes]:
    """The tagged elements of a profile; ProfileFault where it is cut off or is none."""
    if len(icc) < 132 or icc[36:40] != b"acsp":
        raise ProfileFault("damaged")
    size, count = struct.unpack(">I", icc[:4])[0], struct.unpack(">I", icc[128:132])[0]
    if size > len(icc) or 132 + 12 * count > len(icc):
        raise ProfileFault("cut off")
    tags = {}
    for i in range(count):
        signature, offset, length = struct.unpack(">4sII", icc[132 + 12 * i : 144 + 12 * i])
        if offset + length > len(icc):
            raise ProfileFault("cut off")
        tags[signature.decode("latin-1")] = icc[offset : offset + length]
    return tags


def _fixed(data: bytes) -> Array:
    """s15Fixed16 numbers."""
    return np.frombuffer(data[: len(data) // 4 * 4], dtype=">i4") / 65536.0


def _xyz(tags: dict[str, bytes], tag: str) -> Array:
    data = tags.get(tag, b"")
    if data[:4] != b"XYZ " or len(data) < 20:
        raise ProfileFault("bare")
    return _fixed(data[8:20])


_PARAMETERS = (1, 3, 4, 5, 7)  # of parametric curves of type 0 to 4


def _curve(data: bytes) -> Curve:
    """A curveType or parametricCurveType element as a function of levels."""
    if data[:4] == b"curv" and len(data) >= 12:
        count = struct.unpack(">I", data[8:12])[0]
        values = np.frombuffer(data[12 : 12 + 2 * count], dtype=">u2").astype(np.float64)
        if len(values) < count:
            raise ProfileFault("curve cut off")
        if count == 0:
            return lambda levels: levels
        if count == 1:
            return _power(np.array([values[0] / 256.0]))
        at = np.linspace(0.0, 1.0, count)
        return lambda levels: np.interp(levels, at, values / 65535.0)
    if data[:4] == b"para" and len(data) >= 12:
        kind = struct.unpack(">H", data[8:10])[0]
        if kind < len(_PARAMETERS):
            parameters = _fixed(data[12 : 12 + 4 * _PARAMETERS[kind]])
            if len(parameters) == _PARAMETERS[kind]:
                return _power(parameters)
    raise ProfileFault("curve damaged")


def _power(parameters: Array) -> Curve:
    """ICC.1's five parametric curves, told apart by how many parameters they have."""
    g = parameters[0]
    if len(parameters) == 1:
        return lambda levels: np.asarray(np.copysign(np.abs(levels) ** g, levels))
    a, b = parameters[1:3]

    def bent(levels: Array) -> Array:
        return np.asarray(np.maximum(a * levels + b, 0.0) ** g)

    if len(parameters) == 3:
        return bent
    if len(parameters) == 4:
        return lambda levels: bent(levels) + parameters[3]
    slope, knee = parameters[3:5]
    lift, foot = parameters[5:7] if len(parameters) == 7 else (0.0, 0.0)
    return lambda levels: np.where(levels >= knee, bent(levels) + lift, slope * levels + foot)


def _name(tags: dict[str, bytes]) -> str:
    """The profile's description, in English where it has several languages."""
    data = tags.get("desc", b"")
    text = ""
    if data[:4] == b"desc" and len(data) >= 12:
        count = struct.unpack(">I", data[8:12])[0]
        text = data[12 : 12 + count].decode("latin-1")
    elif data[:4] == b"mluc" and len(data) >= 16:
        count, width = struct.unpack(">II", data[8:16])
        records = [data[16 + width * i : 28 + width * i] for i in range(min(count, 200))]
        records = sorted((r for r in records if len(r) == 12), key=lambda record: record[:2] != b"en")
        if records:
            length, offset = struct.unpack(">II", records[0][4:12])
            text = data[offset : offset + length].decode("utf-16-be", errors="replace")
    text = " ".join("".join(c if c.isprintable() else " " for c in text.split("\0")[0]).split())
    return text[:80] or "embedded profile without a name"


# -- coded points ---------------------------------------------------------------------------------

_CHROMATICITIES = {  # ITU-T H.273, table 2: red, green, blue, white
    1: ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060), (0.3127, 0.3290)),  # BT.709
    4: ((0.67, 0.33), (0.21, 0.71), (0.14, 0.08), (0.310, 0.316)),  # BT.470 System M
    5: ((0.64, 0.33), (0.29, 0.60), (0.15, 0.06), (0.3127, 0.3290)),  # BT.601, 625 lines
    6: ((0.630, 0.340), (0.310, 0.595), (0.155, 0.070), (0.3127, 0.3290)),  # BT.601, 525 lines
    7: ((0.630, 0.340), (0.310, 0.595), (0.155, 0.070), (0.3127, 0.3290)),  # SMPTE 240M
    9: ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046), (0.3127, 0.3290)),  # BT.2020
    11: ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), (0.314, 0.351)),  # SMPTE RP 431-2
    12: ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060), (0.3127, 0.3290)),  # SMPTE EG 432-1 (P3, D65)
}
_PRIMARIES_NAMES = {
    1: "BT.709", 4: "BT.470 M", 5: "BT.601-625", 6: "BT.601-525", 7: "SMPTE 240M", 9: "BT.2020",
    11: "DCI-P3", 12: "P3-D65",
}  # fmt: skip

# H.273, table 3, as parametric curves g, a, b, c, d: (a x + b)^g from d on, c x below
_BT709 = (1 / 0.45, 1 / 1.099, 0.099 / 1.099, 1 / 4.5, 0.081)
_TRANSFERS: dict[int, tuple[str, tuple[float, ...]]] = {
    1: ("BT.709 transfer", _BT709),
    4: ("gamma 2.2", (2.2,)),
    5: ("gamma 2.8", (2.8,)),
    6: ("BT.601 transfer", _BT709),
    7: ("SMPTE 240M transfer", (1 / 0.45, 1 / 1.1115, 0.1115 / 1.1115, 1 / 4.0, 0.0912)),
    8: ("linear", (1.0,)),
    13: ("sRGB transfer", (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)),
    14: ("BT.2020 transfer", _BT709),
    15: ("BT.2020 transfer", _BT709),
}
UNSPECIFIED = 2  # H.273's own word for 'not stated', for primaries, transfers and matrices alike


@dataclass(frozen=True)
class CodedPoints:
    """Primaries and transfer by their numbers in ITU-T H.273; what is not stated is sRGB's."""

    primaries: int
    transfer: int

    @property
    def known(self) -> bool:
        """Whether this is light that can be had without knowing the display (PQ and HLG are not)."""
        return self._primaries in _CHROMATICITIES and self._transfer in _TRANSFERS

    @property
    def _primaries(self) -> int:
        return 1 if self.primaries in (0, UNSPECIFIED) else self.primaries

    @property
    def _transfer(self) -> int:
        return 13 if self.transfer in (0, UNSPECIFIED) else self.transfer

    @property
    def name(self) -> str:
        """'BT.709, sRGB transfer', and '(assumed)' where something was not stated."""
        if (self.primaries, self.transfer) == (1, 13):
            return "sRGB"
        assumed = self.primaries in (0, UNSPECIFIED) or self.transfer in (0, UNSPECIFIED)
        text = f"{_PRIMARIES_NAMES[self._primaries]}, {_TRANSFERS[self._transfer][0]}"
        return f"{text} (assumed)" if assumed else text

    def light(self, levels: Array) -> Array:
        """Levels to light, by the transfer alone; the primaries stay."""
        return _power(np.array(_TRANSFERS[self._transfer][1]))(levels)

    def levels(self, light: Array) -> Array:
        """Light, not negative, to levels: the transfer the other way."""
        g, *rest = _TRANSFERS[self._transfer][1]
        if not rest:
            return np.asarray(light ** (1 / g))
        a, b, slope, knee = rest
        return np.where(light >= slope * knee, (light ** (1 / g) - b) / a, light / slope)

    def encoding(self) -> MatrixEncoding:
        """The encoding of three channels."""
        curve = _power(np.array(_TRANSFERS[self._transfer][1]))
        matrix = bradford(self._white, D65_XYZ) @ self._to_xyz
        return MatrixEncoding(self.name, (curve,) * 3, XYZ_TO_SRGB @ matrix)

    def icc(self) -> bytes:
        """A version 4 ICC display profile of these points, to travel in a file of such levels."""
        columns = (bradford(self._white, D50_XYZ) @ self._to_xyz).T
        parameters = _TRANSFERS[self._transfer][1]
        kind = _PARAMETERS.index(len(parameters))
        curve = struct.pack(">4sIHH", b"para", 0, kind, 0) + _to_fixed(parameters)
        text = self.name.encode("utf-16-be")
        mluc = struct.pack(">4sIII2s2sII", b"mluc", 0, 1, 12, b"en", b"GB", len(text), 28) + text
        rights = "No copyright; use freely".encode("utf-16-be")
        free = struct.pack(">4sIII2s2sII", b"mluc", 0, 1, 12, b"en", b"GB", len(rights), 28) + rights
        adapt = struct.pack(">4sI", b"sf32", 0) + _to_fixed(bradford(self._white, D50_XYZ).ravel())
        xyz = [struct.pack(">4sI", b"XYZ ", 0) + _to_fixed(value) for value in (*columns, D50_XYZ)]
        elements = {
            b"desc": mluc, b"cprt": free, b"wtpt": xyz[3], b"chad": adapt, b"rXYZ": xyz[0], b"gXYZ": xyz[1],
            b"bXYZ": xyz[2], b"rTRC": curve, b"gTRC": curve, b"bTRC": curve,
        }  # fmt: skip
        table, body = b"", b""
        start = 128 + 4 + 12 * len(elements)
        for signature, data in elements.items():
            table += struct.pack(">4sII", signature, start + len(body), len(data))
            body += data + b"\0" * (-len(data) % 4)
        header = struct.pack(
            ">I4sI4s4s4s6H4s4sIIIQI12s48x",
            start + len(body), b"\0" * 4, 0x04400000, b"mntr", b"RGB ", b"XYZ ", 2000, 1, 1, 0, 0, 0,
            b"acsp", b"\0" * 4, 0, 0, 0, 0, 1, _to_fixed(D50_XYZ),
        )  # fmt: skip
        return header + struct.pack(">I", len(elements)) + table + body

    @property
    def _white(self) -> Array:
        return _xy_to_xyz(_CHROMATICITIES[self._primaries][3])

    @property
    def _to_xyz(self) -> Array:
        columns = np.stack([_xy_to_xyz(xy) for xy in _CHROMATICITIES[self._primaries][:3]], axis=-1)
        return np.asarray(columns * np.linalg.solve(columns, self._white))


def _xy_to_xyz(xy: tuple[float, float]) -> Array:
    return np.array([xy[0] / xy[1], 1.0, (1 - xy[0] - xy[1]) / xy[1]])


def _to_fixed(values: Any) -> bytes:
    return np.rint(np.asarray(values, dtype=np.float64) * 65536).astype(">i4").tobytes()
