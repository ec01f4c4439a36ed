"""The scheme, worked out in a process of its own, row by row, and given up when something newer is asked.

Run as `python -m palette.desk.engine`. Questions come pickled on standard input, answers go pickled to
standard output. Everything computed is remembered by content, so that what is given up is not lost, and a
change costs what it changes.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import IO, Any

from palette.errors import InputError, Problem
from palette.evidence.combine.model import Scheme
from palette.kit.model import Anchor, Kit, PartSample, Reference
from palette.swatches.model import SwatchList


@dataclass(frozen=True)
class Ask:
    """Work to be done; of one `topic` only the latest is."""

    topic: str  # scheme | lattice REF | recipes KEY | guide | check | survey
    number: int
    args: tuple[Any, ...]


class Overtaken(BaseException):
    """Something newer has been asked for. No handler of ordinary failures is to catch it."""


class Engine:
    """What is asked for and not done yet, and the work on it."""

    def __init__(self, tell: Callable[[Any], None]) -> None:
        self._tell = tell
        self._waiting: dict[str, Ask] = {}
        self._arrived = threading.Condition()
        self._open = True
        self._doing: Ask | None = None
        self._rows: dict[str, bytes] = {}  # by part: the digest of the row told last
        self._brushes: dict[
            str, tuple[bytes, Any]
        ] = {}  # by part: the colour it was chosen for, and the choice
        self._corrections: dict[str, bytes] = {}

    def ask(self, ask: Ask | None) -> None:
        """Take a question; None ends the work."""
        with self._arrived:
            if ask is None:
                self._open = False
            else:
                self._waiting[ask.topic] = ask
            self._arrived.notify()

    def run(self) -> None:
        """Answer until there is nothing more to come."""
        while True:
            with self._arrived:
                while not self._waiting and self._open:
                    self._arrived.wait()
                if not self._open:
                    return
                # The scheme goes first: all else leans on it.
                topic = "scheme" if "scheme" in self._waiting else next(iter(self._waiting))
                self._doing = ask = self._waiting.pop(topic)
            try:
                _WORK[topic.split()[0]](self, ask)
            except Overtaken:
                if topic != "scheme":  # it was only put off
                    with self._arrived:
                        self._waiting.setdefault(topic, ask)
            except InputError as error:
                self._tell(("failed", topic, ask.number, error.problems))
            except Exception as error:
                if os.environ.get("PALETTE_TRACEBACK"):
                    raise
                what = " ".join(f"{type(error).__name__}: {error}".split())
                remedy = "PALETTE_TRACEBACK=1 shows where, please report it"
                told = Problem(None, None, f"a fault in palette itself ({what})", remedy)
                self._tell(("failed", topic, ask.number, (told,)))

    def pause(self) -> None:
        """Give up what is being done where something newer waits."""
        doing = self._doing
        if doing is not None and (
            "scheme" in self._waiting or doing.topic in self._waiting or not self._open
        ):
            raise Overtaken

    # -- the scheme -----------------------------------------------------------------------------

    def scheme(self, ask: Ask) -> None:
        from palette.evidence.combine.build import colours

        (path, version) = ask.args
        kit, problems = sound(read_kit(path))
        number = ask.number

        def progress(done: int, total: int) -> None:
            self.pause()
            self._tell(("progress", number, "Reading the pictures", done, total))

        def so_far(scheme: Scheme, settled: Any, swatches: SwatchList) -> None:
            self.pause()
            self._told_corrections(settled)
            grey = {s.part for r in kit.references if r.tone == "grey" for s in r.samples}
            self._told_rows(number, version, scheme, swatches, unsettled=grey)
            self._tell(("progress", number, "Weighing the evidence", 0, 0))

        scheme, swatches = colours(kit, progress, so_far)
        self.pause()
        self._told_rows(number, version, scheme, swatches)
        notes = {id: [_said(note) for note in found] for id, found in scheme.pictures.items()}
        self._tell(("settled", number, version, [_said(w) for w in scheme.warnings], notes, problems))

    def _told_corrections(self, settled: Any) -> None:
        from palette.memory import digest

        for id, one in settled.corrected.items():
            own = digest(one.correction)
            if self._corrections.get(id) != own:
                self._corrections[id] = own
                anchors = _anchors(one)
                self._tell(("correction", id, own.hex(), one.correction, anchors))
        for id in [id for id in self._corrections if id not in settled.corrected]:
            del self._corrections[id]
            self._tell(("correction", id, "", None, []))

    def _told_rows(
        self, number: int, version: str, scheme: Scheme, swatches: SwatchList, unsettled: Any = None
    ) -> None:
        """Tell the rows that are others than those told last: at first with the paints chosen before, then,
        unless some parts are `unsettled`, with those that are chosen now."""
        from palette.paints.choosing.choice import chosen_paints
        from palette.paints.scaled import as_painted

        same = _families(scheme.kit)
        open_ = {id for id in same if any(other in (unsettled or ()) for other in same[id])}
        for id in [id for id in self._rows if id not in same]:
            del self._rows[id]
        self._tell(("order", number, version, [part.part.id for part in scheme.parts]))
        self._tell_changed(number, version, scheme, swatches, open_, None)
        if unsettled is not None:
            return
        self._tell(("progress", number, "Choosing the paints", 0, 0))
        chosen = chosen_paints(as_painted(scheme, swatches), swatches, lambda done, total: self.pause())
        self._tell_changed(number, version, scheme, swatches, set(), chosen)

    def _tell_changed(
        self,
        number: int,
        version: str,
        scheme: Scheme,
        swatches: SwatchList,
        open_: set[str],
        chosen: Mapping[str, Any] | None,
    ) -> None:
        from palette.desk.rows import brush_row, row
        from palette.memory import digest

        paints = {swatch.id: swatch for swatch in swatches.swatches}
        for part in scheme.parts:
            self.pause()
            id = part.part.id
            made = row(scheme, part, swatches)
            seen = digest(part.lab, part.covariance, part.basis, part.part.finish, made["likely"])
            if chosen is not None:
                self._brushes[id] = (seen, brush_row(part.part, chosen.get(id), paints))
            known, made["brush"] = self._brushes.get(id, (b"", None))
            made["stale"] = id in open_ or known != seen
            own = digest(made)
            if self._rows.get(id) != own:
                self._rows[id] = own
                self._tell(("rows", number, version, [made]))

    # -- what is asked for beside it --------------------------------------------------------------

    def lattice(self, ask: Ask) -> None:
        from palette import cache
        from palette.desk.sights import lattice

        id, digest, correction = ask.args
        key = cache.key("lattice", digest, 9, 3)
        table = cache.remember(key, lambda: lattice(correction, pause=self.pause))
        self._tell(("lattice", id, digest, table))

    def recipes(self, ask: Ask) -> None:
        from palette.desk.recipes import found

        key, args = ask.args
        self._tell(("recipes", key, found(*args)))

    def survey(self, ask: Ask) -> None:
        from palette.evidence.pictures.references import survey

        (path, version) = ask.args
        standing = survey(read_kit(path), lambda done, total: self.pause())
        told = {s.reference.id: (tuple(_said(m) for m in s.missing), s.same_as) for s in standing}
        self._tell(("survey", version, told))

    def guide(self, ask: Ask) -> None:
        from palette.desk.printing import printed

        (path, version, paper) = ask.args
        self._tell(("guide", version, paper, printed(sound(read_kit(path))[0], paper)))

    def check(self, ask: Ask) -> None:
        from palette.desk.printing import checked

        (path, version) = ask.args
        self._tell(("check", version, checked(sound(read_kit(path))[0])))


_WORK: Mapping[str, Callable[[Engine, Ask], None]] = {
    "scheme": Engine.scheme,
    "lattice": Engine.lattice,
    "recipes": Engine.recipes,
    "survey": Engine.survey,
    "guide": Engine.guide,
    "check": Engine.check,
}


def read_kit(path: Path) -> Kit:
    from palette.kit.read import EVERY_FILE, read

    return read(path, EVERY_FILE)


def sound(kit: Kit) -> tuple[Kit, tuple[Problem, ...]]:
    """A kit without what cannot be used now, so that the rest can: references whose pictures are missing or
    whose marks lie outside, lists with problems, colours that name paints of these. And the problems."""
    kit, problems = _without_broken_lists(kit)
    kept, marked = [], {part.id for part in kit.parts}
    for reference in kit.references:
        found = _problems(kit, reference) if any(s.part in marked for s in reference.samples) else ()
        problems = (*problems, *found)
        if not found:
            kept.append(reference)
    return replace(kit, references=tuple(kept)), problems


def _problems(kit: Kit, reference: Reference) -> tuple[Problem, ...]:
    """Why a reference cannot be used."""
    from palette.evidence.grey.reading import _read
    from palette.evidence.pictures.decode import open_picture

    try:
        picture = open_picture(reference.file)
        if reference.tone == "grey":
            _read(kit, reference)
            return ()
    except InputError as error:
        return error.problems
    from palette.evidence.pictures.regions import pixels

    outside = []
    marks: list[Anchor | PartSample] = [*reference.anchors, *reference.samples]
    for mark in marks:
        if not pixels(mark.region, picture.width, picture.height)[1].any():
            what = f"a mark of reference {reference.id!r} lies outside the picture"
            remedy = f"mark it inside the picture, which is {picture.width} × {picture.height} pixels"
            outside.append(Problem(str(kit.path), mark.line, what, remedy))
    return tuple(outside)


def _without_broken_lists(kit: Kit) -> tuple[Kit, tuple[Problem, ...]]:
    from palette.swatches.kitlists import kit_swatches
    from palette.swatches.reading import load, swatches_of

    try:
        kit_swatches(kit)
        return kit, ()
    except InputError as error:
        problems = error.problems
    good = tuple(path for path in kit.swatches if not load([path])[1])
    lists, twice = load(good)
    if twice:
        good, lists = (), []
    ids = {swatch.id for swatch in swatches_of(lists)}
    parts = tuple(
        part
        if part.colour is None or part.colour.swatch in {None, *ids}
        else replace(part, colour=None, why="")
        for part in kit.parts
    )
    references = tuple(
        replace(r, anchors=tuple(a for a in r.anchors if a.colour.swatch in {None, *ids}))
        for r in kit.references
    )
    return replace(kit, swatches=good, parts=parts, references=references), problems


def _families(kit: Kit) -> dict[str, list[str]]:
    """By part, those of the same paint, itself among them."""
    from palette.kit.paints import same_paint

    paint = same_paint(kit)
    return {id: [other for other, key in paint.items() if key == own] for id, own in paint.items()}


def _anchors(one: Any) -> list[dict[str, Any]]:
    """What became of the anchors of a corrected picture."""
    import numpy as np

    from palette.desk import plain

    rows = []
    measured = one.measured
    for i, (anchor, sample, colour) in enumerate(
        zip(one.reference.anchors, measured.anchors, one.colours, strict=True)
    ):
        place = np.array([[sample.centre[0] / measured.width, sample.centre[1] / measured.height]])
        lab = one.correction.apply(np.asarray(sample.linear)[None], np.zeros((1, 3, 3)), place)[0][0]
        rows.append(
            {
                "label": f"A{i + 1}",
                "words": anchor.colour.words or "neutral grey",
                "stated": plain.colour(None if colour is None else colour.lab),
                "found": plain.colour(lab),
                "difference": round(float(one.correction.residuals[i]), 2),
                "left_out": round(float(one.correction.left_out[i]), 2),
                "note": "",
            }
        )
    return rows


def _said(note: object) -> str:
    from palette.desk.wording import said

    return said(note)


def main(questions: IO[bytes], answers: IO[bytes]) -> None:
    """Answer until the questions end."""
    from palette.memory import MEMORY

    lock = threading.Lock()

    def tell(answer: Any) -> None:
        with lock:
            pickle.dump(answer, answers, protocol=pickle.HIGHEST_PROTOCOL)
            answers.flush()

    engine = Engine(tell)
    MEMORY.before = engine.pause

    def listen() -> None:
        while True:
            try:
                ask = pickle.load(questions)
            except (EOFError, pickle.UnpicklingError):
                ask = None
            engine.ask(ask)
            if ask is None:
                return

    threading.Thread(target=listen, daemon=True).start()
    engine.run()


if __name__ == "__main__":
    _answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever a library prints is no answer
    # The questions name classes of this module, not of the script it is run as.
    from palette.desk import engine as own

    own.main(sys.stdin.buffer, _answers)
