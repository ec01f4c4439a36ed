"""A part: what is known of its colour, and the maker's own word on it."""

from __future__ import annotations

from typing import Any

from flask import Flask, make_response, render_template, request
from werkzeug.wrappers import Response

from palette.desk import changes, shown, typed
from palette.desk.bench import Bench, Desk
from palette.desk.pages import Done, bench_of, go, part_of, patience, takes_form
from palette.desk.wording import said
from palette.errors import InputError, Problem
from palette.evidence.combine.model import PartColour
from palette.kit.model import Part
from palette.swatches.model import Swatch

LIKELY = 10  # candidates shown


def register(app: Flask, desk: Desk) -> None:
    def page(bench: Bench, wrong: tuple[Problem, ...] = (), code: int = 200) -> Response:
        from palette.paints.scaled import scale_rule

        kit, id = bench.kit(), request.values.get("id", "")
        part = part_of(kit, id)
        problems: list[Problem] = list(wrong)
        colour, grey, said, chosen, rule = None, None, None, None, ""
        paints: dict[str, Swatch] = {}
        try:
            paints = {swatch.id: swatch for swatch in bench.swatches(kit).swatches}
            scheme = bench.scheme(kit, patience())
            colour = scheme.part(id)
            chosen = shown.chosen_paint(part, bench.chosen(kit, patience()).get(id), paints)
            rule = scale_rule(scheme)
            seen = scheme.grey.parts if scheme.grey is not None else ()
            grey = next((inferred for inferred in seen if inferred.part == id), None)
            if grey is not None and scheme.grey is not None and scheme.grey.working is not None:
                from palette.evidence.grey.remaining import words

                said = words(grey, scheme.grey.working)
        except InputError as error:
            problems += error.problems
        return make_response(
            render_template(
                "part.html",
                kit=kit,
                part=part,
                place=shown.numbers(kit)[id],
                colour=colour,
                chip=shown.chip(colour.lab, colour.covariance) if colour is not None else shown.chip(None),
                sure=shown.how_sure(colour) if colour is not None else (0, "not worked out", ""),
                notes=_notes(colour),
                chosen=chosen,
                rule=rule,
                grey=grey,
                grey_words=said,
                likely=LIKELY,
                plain=shown.chip,
                pictures={reference.id for reference in kit.references},
                paints=paints,
                ids=[(id, swatch.name) for id, swatch in paints.items()],
                version=changes.version(kit.path),
                problems=problems,
                form=request.form,
                help=typed.HELP,
            ),
            code,
        )

    @app.get("/kit/<int:number>/part", endpoint="part")
    def show(number: int) -> Response:
        return page(bench_of(desk, number))

    @takes_form(app, desk, "decide", page)
    def decide(bench: Bench, form: Any) -> Done:
        id = form.get("id", "")
        onwards = go("part", number=bench.number, id=id)
        if form.get("undo"):
            with bench.changing:
                changes.decide(bench.path, id, None, "")
            return "The decision is taken back; the evidence speaks again.", onwards
        colour = typed.typed(form.get("colour", ""), bench.swatches(bench.kit()))
        with bench.changing:
            _still(part_of(bench.kit(), id), form.get("was", ""))
            changes.decide(bench.path, id, colour.table, form.get("why", ""))
        return f"Decided: {colour.text}.", onwards

    @takes_form(app, desk, "hint", page)
    def hint(bench: Bench, form: Any) -> Done:
        id = form.get("id", "")
        onwards = go("part", number=bench.number, id=id)
        if form.get("undo"):
            index = form.get("index", -1, type=int)
            with bench.changing:
                changes.take_out(bench.path, "part", id, "hint", index, form.get("version", ""))
            return "The hint is taken out.", onwards
        with bench.changing:
            changes.add(bench.path, "part", id, "hint", _hint(form))
        return "The hint is noted.", onwards


def _still(part: Part, was: str) -> None:
    """InputError where the part has been decided otherwise since the form was shown."""
    now = part.colour.words if part.colour is not None else ""
    if now != was:
        what = f"it has been decided meanwhile: {now}, {part.why!r}" if now else "its decision was taken back"
        raise InputError(Problem(None, None, what, "decide again, if yours is to stand"))


def _notes(colour: PartColour | None) -> list[str]:
    """What there is to say of a part's colour; the reason of a decision stands beside it already."""
    from palette.evidence.combine.notes import Decided

    notes = colour.notes if colour is not None else ()
    return [said(note) for note in notes if not isinstance(note, Decided)]


def _hint(form: Any) -> dict[str, Any]:
    words, source = (" ".join(form.get(key, "").split()) for key in ("words", "source"))
    if not words:
        raise InputError(Problem(None, None, "the hint has no words", "write a colour, as in dull green"))
    try:
        trust = float(form.get("trust", "").strip().replace(",", ".") or 0.5)
    except ValueError:
        remedy = "write a number from 0 to 1"
        raise InputError(Problem(None, None, "the trust is no number", remedy)) from None
    return {"words": words, **({"source": source} if source else {}), "trust": trust}
