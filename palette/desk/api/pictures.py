"""Pictures at work: tiles, thumbnails, and the colour under the hand."""

from __future__ import annotations

import json
from typing import Any

from flask import Flask, Response, abort, make_response, request

from palette.desk.api import address, body
from palette.desk.bench import Bench, Desk
from palette.desk.pictures import THUMBS, Through
from palette.errors import InputError, Problem
from palette.evidence.pictures import tiles
from palette.kit.model import Kit, Polygon, Rect, Reference, Region, Spot

VIEWS = ("as-is", "corrected", "painted")
_FOREVER = "private, max-age=31536000, immutable"


def register(app: Flask, desk: Desk) -> None:
    @address(app, desk, "thumb")
    def thumb(bench: Bench) -> Response:
        reference = asked_for(bench.live.read().kit)
        side = request.args.get("side", THUMBS[0], type=int)
        try:
            jpeg = bench.pictures.thumbnail(reference.file, side if side in THUMBS else THUMBS[0])
        except (InputError, OSError):
            abort(404, "The picture cannot be shown.")
        return _jpeg(jpeg, bench.pictures.of(reference).v)

    @address(app, desk, "tile")
    def tile(bench: Bench) -> Response:
        reference = asked_for(bench.live.read().kit)
        level, x, y = (request.args.get(key, -1, type=int) for key in ("level", "x", "y"))
        view = request.args.get("view", VIEWS[0])
        try:
            lut, v = _through(bench, reference, view)
            jpeg = bench.pictures.tile(reference.file, level, x, y, lut, f"{view} {v}")
        except (InputError, OSError):
            abort(404, "The picture cannot be shown.")
        if jpeg is None:
            abort(404, "There is no such tile.")
        return _jpeg(jpeg, v)

    @address(app, desk, "api/crop")
    def crop(bench: Bench) -> Response:
        reference = asked_for(bench.live.read().kit)
        try:
            region = region_of(json.loads(request.args.get("region", "")))
        except ValueError:
            raise InputError(Problem(None, None, "no place is given", "name a region")) from None
        side = min(max(request.args.get("side", 160, type=int), 16), 1024)
        lut, v = _through(bench, reference, request.args.get("view", VIEWS[0]))
        return _jpeg(bench.pictures.crop(reference.file, region, side, lut), v)

    @address(app, desk, "api/read")
    def point(bench: Bench) -> dict[str, Any]:
        reference = asked_for(bench.live.read().kit)
        x, y, r = (request.args.get(key, None, type=float) for key in ("x", "y", "r"))
        if x is None or y is None:
            raise InputError(Problem(None, None, "no place is given", "name x and y in pixels"))
        readout = bench.pictures.point(reference, x, y, 3.0 if r is None else min(max(r, 0.5), 200.0))
        return bench.scheming.remains(reference, readout)

    @address(app, desk, "api/read", "POST")
    def region(bench: Bench) -> dict[str, Any]:
        sent = body()
        reference = named(bench.live.read().kit, sent.get("ref"))
        readout = bench.pictures.region(reference, region_of(sent.get("region")))
        return bench.scheming.remains(reference, readout)

    @address(app, desk, "api/picture")
    def picture(bench: Bench) -> dict[str, Any]:
        reference = asked_for(bench.live.read().kit)
        facts = bench.pictures.of(reference)
        if facts.v is None or facts.width is None or facts.height is None:
            raise InputError.of(facts.problems)
        bench.pictures.soon(reference.file)
        told = bench.scheming.picture(reference)
        return {
            "ref": reference.id,
            "width": facts.width,
            "height": facts.height,
            "v": facts.v,
            "tile": tiles.TILE,
            "levels": tiles.levels(facts.width, facts.height),
            "facts": list(facts.facts),
            "ready": bench.pictures.laid_out(reference.file) is not None,
            **told,
        }

    @address(app, desk, "api/painted")
    def painted(bench: Bench) -> dict[str, Any]:
        return bench.scheming.painted_parts(asked_for(bench.live.read().kit))


def asked_for(kit: Kit) -> Reference:
    """The reference that the address names; 404 where there is none."""
    return named(kit, request.args.get("ref"))


def named(kit: Kit, id: Any) -> Reference:
    """The reference of that id; 404 where there is none."""
    for reference in kit.references:
        if reference.id == id:
            return reference
    abort(404, f"The kit has no reference {id!r} now.")


def region_of(given: Any) -> Region:
    """A region as the page sends it.

    Raises:
        InputError: it is none.
    """
    try:
        ((key, values),) = dict(given).items()
        if key == "polygon":
            corners = tuple((float(x), float(y)) for x, y in values)
            if len(corners) >= 3:
                return Polygon(corners)
        numbers = [float(value) for value in values]
        if key == "rect" and len(numbers) == 4 and numbers[2] > 0 and numbers[3] > 0:
            return Rect(*numbers)
        if key == "spot" and len(numbers) == 3 and numbers[2] > 0:
            return Spot(*numbers)
    except (TypeError, ValueError, AttributeError):
        pass
    raise InputError(Problem(None, None, "no place is marked", "draw a rectangle, a polygon or a spot"))


def _through(bench: Bench, reference: Reference, view: str) -> tuple[Through | None, str | None]:
    """The table that a view is seen through, and what tells that view from its next."""
    if view == "corrected":
        return bench.scheming.corrected(reference)
    if view == "painted":
        return bench.scheming.painted(reference)
    if view != VIEWS[0]:
        abort(404, "There is no such view.")
    return None, bench.pictures.of(reference).v


def _jpeg(data: bytes, v: str | None) -> Response:
    """A JPEG that the browser keeps where the address names its version; 404 where that is an older one."""
    asked = request.args.get("v")
    if asked and asked != v:
        abort(404, "The picture is another one now.")
    answer = make_response(data)
    answer.mimetype = "image/jpeg"
    if asked:
        answer.headers["Cache-Control"] = _FOREVER
    return answer
