"""A reference: its picture, as it is or corrected, and the places marked on it."""

from __future__ import annotations

import io
from typing import Any

from flask import Flask, abort, make_response, render_template, request
from werkzeug.wrappers import Response

from palette.desk import changes, shown, typed
from palette.desk.bench import LONG, Bench, Desk, files, state
from palette.desk.pages import Done, bench_of, go, patience, takes_form
from palette.errors import InputError, Problem
from palette.kit.model import Kit, Reference

SIDE = 2000  # pixels of the longer side of what is sent to the browser, at most
VIEWS = ("as-is", "corrected")
ZOOMS = (1, 2, 3)


def register(app: Flask, desk: Desk) -> None:
    def page(bench: Bench, wrong: tuple[Problem, ...] = (), code: int = 200) -> Response:
        from palette.evidence.pictures.decode import open_picture

        kit, id = bench.kit(), request.values.get("id", "")
        reference = _reference(kit, id)
        problems: list[Problem] = list(wrong)
        look, size, places = None, None, None
        try:
            opened = open_picture(reference.file)
            size = opened.width, opened.height
            places = shown.drawn(kit, reference, *size)
            look = bench.look(kit, id, patience())
        except InputError as error:
            problems += error.problems
        status = next(s for s in bench.survey(kit, patience()) if s.reference.id == id)
        view = request.values.get("view", VIEWS[0])  # a form that failed keeps them
        zoom = request.values.get("zoom", 1, type=int)
        return make_response(
            render_template(
                "reference.html",
                kit=kit,
                reference=reference,
                size=size,
                places=places or (),
                look=look,
                rows={row.label: row for row in look.rows} if look is not None else {},
                missing=status.missing,
                view=view if look is not None and look.correct is not None and view in VIEWS else VIEWS[0],
                zoom=zoom if zoom in ZOOMS else 1,
                zooms=ZOOMS,
                numbers=shown.numbers(kit),
                region_words=shown.region_words,
                chip=shown.chip,
                ids=_ids(bench, kit),
                version=changes.version(kit.path),
                problems=problems,
                form=request.form,
                what=request.values.get("what", "sample"),  # of anchors there are often several in a row
                part=request.form.get("part", _unmarked(kit, reference)),
                help=typed.HELP,
            ),
            code,
        )

    @app.get("/kit/<int:number>/reference", endpoint="reference")
    def show(number: int) -> Response:
        return page(bench_of(desk, number))

    @app.get("/kit/<int:number>/picture", endpoint="picture")
    def show_picture(number: int) -> Response:
        view = request.args.get("view", VIEWS[0])
        return picture(bench_of(desk, number), request.args.get("id", ""), view, SIDE)

    @takes_form(app, desk, "mark", page)
    def mark(bench: Bench, form: Any) -> Done:
        said = _mark(bench, form.get("id", ""), form)
        where = {key: form[key] for key in ("id", "view", "zoom", "what") if form.get(key)}
        return said, go("reference", number=bench.number, **where)

    @takes_form(app, desk, "unmark", page)
    def unmark(bench: Bench, form: Any) -> Done:
        id, array = form.get("id", ""), form.get("array", "")
        index = form.get("index", -1, type=int)
        with bench.changing:
            changes.take_out(bench.path, "reference", id, array, index, form.get("version", ""))
        return "Taken out.", go("reference", number=bench.number, id=id)


def picture(bench: Bench, id: str, view: str, side: int) -> Response:
    """A reference's picture as a JPEG in encoded sRGB, upright; 404 where there is none to be shown."""
    kit = bench.kit()
    reference = _reference(kit, id)
    try:
        if view == "corrected":
            key: Any = (id, view, side, state(*files(kit)))
            jpeg = bench.view(key, lambda: _corrected(bench, kit, id, side))
        else:
            key = (id, view, side, state(reference.file))
            jpeg = bench.view(key, lambda: _as_is(reference, side))
    except InputError:
        abort(404, "The picture cannot be shown; its page says why.")
    answer = make_response(jpeg)
    answer.mimetype = "image/jpeg"
    return answer


def _as_is(reference: Reference, side: int) -> bytes:
    from palette.evidence.pictures.decode import thumbnail

    return _jpeg(thumbnail(reference.file, side))


def _corrected(bench: Bench, kit: Kit, id: str, side: int) -> bytes:
    from palette.evidence.pictures.decode import small_srgb
    from palette.evidence.pictures.looking import corrected

    look = bench.look(kit, id, LONG)
    if look.correct is None:
        return _as_is(_reference(kit, id), side)
    whole = look.picture
    scale = min(1.0, side / max(whole.width, whole.height))
    width, height = (max(1, round(n * scale)) for n in (whole.width, whole.height))
    return _jpeg(small_srgb(corrected(whole.reduced(width * height), look.correct), width, height))


def _jpeg(levels: Any) -> bytes:
    from PIL import Image

    stream = io.BytesIO()
    Image.fromarray(levels).save(stream, "JPEG", quality=92, subsampling=0)
    return stream.getvalue()


def _reference(kit: Kit, id: str) -> Reference:
    for reference in kit.references:
        if reference.id == id:
            return reference
    abort(404, f"The kit has no reference {id!r} now.")


def _ids(bench: Bench, kit: Kit) -> list[tuple[str, str]]:
    """Paints to be offered where a colour is typed; none where the lists have problems."""
    try:
        return [(swatch.id, swatch.name) for swatch in bench.swatches(kit).swatches]
    except InputError:
        return []


def _unmarked(kit: Kit, reference: Reference) -> str:
    """The part that is likely to be marked next: the first of which the picture shows no place yet."""
    marked = {sample.part for sample in reference.samples}
    return next((part.id for part in kit.parts if part.id not in marked), "")


def _mark(bench: Bench, id: str, form: Any) -> str:
    """Mark a rectangle; returns what to say of it."""
    kit = bench.kit()
    reference = _reference(kit, id)
    rect = changes.rectangle(form, reference)
    if form.get("what") == "anchor":
        colour = typed.typed(form.get("colour", ""), bench.swatches(kit), neutral=True)
        values: dict[str, Any] = {"rect": rect, "colour": colour.table}
        if spread := form.get("spread", "").strip():
            values["spread"] = _number(spread, "spread")
        with bench.changing:
            changes.add(bench.path, "reference", id, "anchor", values)
        return f"Marked a surface of known colour: {colour.text}."
    part = form.get("part", "")
    if part not in {known.id for known in kit.parts}:
        raise InputError(Problem(None, None, "no part is chosen", "choose the part that is seen there"))
    with bench.changing:
        changes.add(bench.path, "reference", id, "sample", {"part": part, "rect": rect})
    return f"Marked {kit.part(part).name}."


def _number(text: str, what: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise InputError(Problem(None, None, f"{what} {text!r} is no number", "write it as in 1.0")) from None
