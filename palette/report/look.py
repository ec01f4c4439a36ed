"""What `palette look` shows of a reference: its picture, marks, correction and the anchors' errors."""

from __future__ import annotations

import numpy as np

from palette.colour.spaces import Array
from palette.errors import InputError
from palette.evidence.combine.corrected import corrected
from palette.evidence.combine.settle import Corrected
from palette.evidence.measure.measured import measure, mixed
from palette.evidence.pictures.decode import open_picture
from palette.evidence.pictures.looking import AnchorRow, Look, Mark
from palette.kit.model import Kit, Reference
from palette.words import say
from palette.words.lights import light_name

_BATCH = 4096  # colours corrected at a time: each carries its covariance


def look(kit: Kit, reference: Reference) -> Look:
    """A reference ready to be drawn.

    Raises:
        InputError: as `palette.evidence.combine.corrected.corrected`.
    """
    picture = open_picture(reference.file)
    marks = [Mark(a.region, f"A{i}", True) for i, a in enumerate(reference.anchors, 1)]
    marks += [Mark(s.region, s.part, False) for s in reference.samples]
    facts = [f"{picture.width} × {picture.height} pixels", reference.kind, picture.profile]
    if reference.year is not None:
        facts.append(str(reference.year))
    if reference.light is not None:
        facts.append(f"light stated: {light_name(reference.light)}")
    lines = [" · ".join(facts)]
    if reference.credit:
        lines.append(f"Credit: {reference.credit}")
    title = f"{reference.id} · {kit.title}"
    if reference.tone == "grey":
        measured = measure(reference, str(kit.path))
        if measured.problems:
            raise InputError.of(measured.problems)
        read = zip(marks, (*measured.anchors, *measured.samples), strict=True)
        levels = ", ".join(f"{mark.label} {sample.level:.2f}" for mark, sample in read)
        notes = ["a grey picture: there is no colour to correct"]
        notes += [f"levels read, from 0 (black) to 1 (white): {levels}"] if levels else []
        asking = tuple(say(note) for note in (*mixed(reference, measured), *picture.notes))
        return Look(
            picture, title, tuple(lines), tuple(marks), None, "", notes=(*notes, *asking), problems=asking
        )
    outcome = corrected(kit, reference)
    several = mixed(reference, outcome.measured)
    said = tuple(dict.fromkeys((*several, *outcome.correction.notes, *outcome.measured.notes)))
    return Look(
        picture,
        title,
        tuple(lines),
        tuple(marks),
        lambda linear, place: _mean(outcome, linear, place),
        f"Corrected: {say(outcome.correction.method)}",
        tuple(_rows(outcome)),
        tuple(say(note) for note in said),
        tuple(say(note) for note in said if not note.routine),
    )


def _mean(picture: Corrected, linear: Array, place: Array) -> Array:
    """CIELAB (n, 3) of many colours, without their covariances."""
    parts = []
    for start in range(0, len(linear), _BATCH):
        cut = slice(start, start + _BATCH)
        none = np.zeros((len(linear[cut]), 3, 3))
        parts.append(picture.correction.apply(linear[cut], none, place[cut])[0])
    return np.concatenate(parts)


def _rows(picture: Corrected) -> list[AnchorRow]:
    rows = []
    measured = picture.measured
    for i, (anchor, sample, colour) in enumerate(
        zip(picture.reference.anchors, measured.anchors, picture.colours, strict=True)
    ):
        place = np.array([[sample.centre[0] / measured.width, sample.centre[1] / measured.height]])
        lab = _mean(picture, np.asarray(sample.linear)[None], place)[0]
        odd = i in picture.correction.odd
        rows.append(
            AnchorRow(
                f"A{i + 1}",
                anchor.colour.words or "neutral grey",
                None if colour is None else colour.lab,
                lab,
                float(picture.correction.residuals[i]),
                float(picture.correction.left_out[i]),
                "contradicts the others" if odd else "; ".join(say(note) for note in sample.notes),
            )
        )
    return rows


def answer(drawn: Look) -> dict[str, object]:
    """The answer of `palette look --json`, beside the file."""
    return {
        "method": drawn.caption.removeprefix("Corrected: ") or None,
        "anchors": [
            {
                "anchor": row.label,
                "colour": row.words,
                "stated": row.stated,
                "corrected": row.corrected,
                "difference": row.difference,
                "left_out": row.left_out,
                "note": row.note or None,
            }
            for row in drawn.rows
        ],
        "notes": list(drawn.notes),
    }
