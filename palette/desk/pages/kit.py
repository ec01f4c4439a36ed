"""The kit: its parts with their colours, its references, and what is wrong or in conflict."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from flask import Flask, make_response, render_template, request, url_for
from werkzeug.wrappers import Response

from palette.colour.responses import names as response_names
from palette.desk import changes, shown
from palette.desk.bench import Bench, Desk
from palette.desk.pages import Done, bench_of, go, patience, takes_form
from palette.desk.wording import said
from palette.errors import InputError, Problem
from palette.kit.model import FINISHES, KINDS, STAGES, SUBJECTS, TONES, Kit
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.evidence.combine.model import Scheme
    from palette.paints.choosing.chosen import Chosen

SUBJECT_WORDS = {"original": "the original", "painted": "the painted print"}
_PICTURES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif")


def register(app: Flask, desk: Desk) -> None:
    def page(bench: Bench, wrong: tuple[Problem, ...] = (), code: int = 200) -> Response:
        kit = bench.kit()
        statuses = bench.survey(kit, patience())
        problems: list[Problem] = list(wrong)
        scheme, swatches = None, SwatchList(())
        chosen: dict[str, Chosen] = {}
        try:
            scheme = bench.scheme(kit, patience())
            chosen = bench.chosen(kit, patience())
            swatches = bench.swatches(kit)
        except InputError as error:
            problems += error.problems
        colours = {colour.part.id: colour for colour in scheme.parts} if scheme is not None else {}
        paints = {swatch.id: swatch for swatch in swatches.swatches}
        rows = []
        for part in kit.parts:
            colour = colours.get(part.id)
            chip = shown.chip(colour.lab, colour.covariance) if colour is not None else shown.chip(None)
            sure = shown.how_sure(colour) if colour is not None else (0, "not worked out", "")
            rows.append((part, colour, chip, sure, shown.chosen_paint(part, chosen.get(part.id), paints)))
        return make_response(
            render_template(
                "kit.html",
                kit=kit,
                rows=rows,
                paints=paints,
                plain=shown.chip,
                paint_words=_paint_words(scheme, chosen, swatches) if scheme is not None else (),
                statuses=statuses,
                problems=problems,
                warnings=[*map(str, kit.warnings), *map(said, scheme.warnings if scheme else ())],
                conflicts=[(n, c) for n, (_, c, *_) in enumerate(rows, 1) if c is not None and c.conflict],
                unnamed=_unnamed(kit),
                choices={
                    "finish": FINISHES,
                    "kind": KINDS,
                    "tone": TONES,
                    "stage": STAGES,
                    "response": response_names(),
                },
                subjects={subject: SUBJECT_WORDS[subject] for subject in SUBJECTS},
                form=request.form,
            ),
            code,
        )

    @app.get("/kit/<int:number>/", endpoint="kit")
    def show(number: int) -> Response:
        return page(bench_of(desk, number))

    @takes_form(app, desk, "state", page)
    def state(bench: Bench, form: Any) -> Done:
        values = {key: " ".join(form.get(key, "").split()) for key in ("stage", "version")}
        with bench.changing:
            changes.set_kit(bench.path, values)
        said = f"The kit is {values['stage']} now{', version ' * bool(values['version'])}{values['version']}."
        return said, go("kit", number=bench.number)

    @takes_form(app, desk, "add-part", page)
    def add_part(bench: Bench, form: Any) -> Done:
        id = form.get("id", "").strip()
        name = form.get("name", "").strip() or id
        with bench.changing:
            changes.begin(bench.path, "part", {"id": id, "name": name, "finish": form.get("finish", "matt")})
        return f"Added the part {id}.", go("part", number=bench.number, id=id)

    @takes_form(app, desk, "add-reference", page)
    def add_reference(bench: Bench, form: Any) -> Done:
        from palette.evidence.pictures.decode import open_picture

        values = _reference({key: text.strip() for key, text in form.items()})
        open_picture(bench.path.parent / _file(values["file"]))
        with bench.changing:
            changes.begin(bench.path, "reference", values)
        said = f"Added the reference {values['id']}. Mark on it what you know."
        return said, go("reference", number=bench.number, id=values["id"])

    @takes_form(app, desk, "add-frame", page)
    def add_frame(bench: Bench, form: Any) -> Done:
        from palette.evidence.pictures.frames import take

        time, around = _when(form.get("time", ""), form.get("around", ""))
        video = bench.path.parent / _file(form.get("video", "").strip())
        with bench.changing:
            (frame,) = take(video, [time], bench.path, around)
        said = f"Took the frame {frame.id}. Mark on it what you know."
        return said, go("reference", number=bench.number, id=frame.id)

    @app.get("/kit/<int:number>/thumbnail", endpoint="thumbnail")
    def thumbnail(number: int) -> Response:
        from palette.desk.pages.reference import picture

        return picture(bench_of(desk, number), request.args.get("id", ""), "as-is", 240)

    @app.context_processor
    def links() -> dict[str, Any]:
        return {"to": lambda page, bench, **where: url_for(page, number=bench.number, **where)}


def _paint_words(scheme: Scheme, chosen: Mapping[str, Chosen], swatches: SwatchList) -> list[str]:
    """What is to be said of the paints: for which colours they are, and how they were chosen."""
    from palette.guide.dossier.assembly import how_chosen
    from palette.paints.mixing import unsearched
    from palette.paints.scaled import scale_rule
    from palette.words.catalogue import Words

    if not chosen:
        return []
    to_hand = any(swatch.owned and not swatch.retired for swatch in swatches.swatches)
    guessed = any(choice.guess is not None for choice in chosen.values())
    words = [scale_rule(scheme), how_chosen(Words(), to_hand, guessed, scheme.kit.tolerance)]
    if any(len(mix.drops) > 2 for part in scheme.parts for mix in part.mixes):
        words.append(unsearched(swatches) or "")
    return [shown.sentence(said) for said in words if said]


def _reference(form: Mapping[str, str]) -> dict[str, Any]:
    """What a form says of a reference, as kit.toml does; what it leaves open is left out."""
    values: dict[str, Any] = {key: form.get(key, "") for key in ("id", "file", "kind", "tone")}
    if form.get("subject", "original") != "original":
        values["subject"] = form["subject"]
    if form.get("tone") == "grey" and form.get("response"):
        values["response"] = form["response"]
    for key in ("light", "year"):
        if text := form.get(key, ""):
            bare = text.removesuffix("K").removesuffix("k").strip() if key == "light" else text
            values[key] = int(bare) if bare.isascii() and bare.isdigit() else text
    if credit := form.get("credit", ""):
        values["credit"] = credit
    return values


def _file(given: str) -> str:
    if not given or "\0" in given:
        remedy = "put it into the kit's folder and type its path from there"
        raise InputError(Problem(None, None, "no file is given", remedy))
    return given


def _when(time: str, around: str) -> tuple[float, float]:
    """A time in a video and the span around it, both in seconds, from how they are typed."""
    from palette.evidence.pictures.video import LONGEST_AROUND, parse_span, parse_time

    try:
        seconds = parse_time(time)
    except ValueError as error:
        raise InputError(Problem(None, None, str(error), "write it as 12:31.5, 1:02:31 or 751.5")) from None
    try:
        return seconds, parse_span(around) if around.strip() else 0.0
    except ValueError as error:
        remedy = f"write it as 0.5s or 500ms, at most {LONGEST_AROUND:g}s"
        raise InputError(Problem(None, None, str(error), remedy)) from None


def _unnamed(kit: Kit) -> list[str]:
    """Pictures in the kit's references folder that no reference names yet."""
    folder = kit.path.parent
    named = {reference.file.resolve() for reference in kit.references}
    try:
        there = sorted(path for path in (folder / "references").iterdir() if path.suffix.lower() in _PICTURES)
    except OSError:
        return []
    return [path.relative_to(folder).as_posix() for path in there if path.resolve() not in named]
