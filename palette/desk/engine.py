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
from collections.abc import Callable, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from palette.errors import InputError, Problem
from palette.evidence.combine.model import PartColour, Scheme
from palette.kit.model import Anchor, Kit, PartSample, Reference
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.evidence.combine.settle import Corrected
    from palette.evidence.grey.inference import Working


@dataclass(frozen=True)
class Ask:
    """Work to be done; of one `topic` only the latest is."""

    topic: str  # scheme | lattice REF | leaves REF | recipes KEY | guide | check | survey
    number: int
    args: tuple[Any, ...]


_CALM = 2.0  # seconds without a question after which what pictures lack is looked through


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
        self._rows: dict[str, dict[str, Any]] = {}  # by part: the row told last
        self._seen: dict[str, bytes] = {}  # by part: what colour pictures say of it
        self._choices: dict[str, tuple[bytes, Any]] = {}  # by part: what it was chosen for, and the choice
        self._corrections: dict[str, bytes] = {}
        self._grey: Working | None = None  # how the grey pictures were read last

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
                if self._open and set(self._waiting) == {"survey"} and self._arrived.wait(_CALM):
                    continue  # it takes a second to give up looking through pictures: the hand has not rested
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
        version, kit, raw = ask.args
        number = ask.number
        kept = _kept(kit, raw)
        known = not self._rows and self._told_before(number, version, kept)

        from palette.evidence.combine.build import colours
        from palette.evidence.combine.statements import of_picture

        kit, problems = usable(kit)
        alone: dict[str, Corrected] = {}
        unknown: dict[str, list[str]] = {}

        def working(label: str, done: int = 0, total: int = 0) -> None:
            self.pause()
            if not known:
                self._tell(("progress", number, label, done, total))

        def progress(done: int, total: int) -> None:
            working("Reading the pictures", done, total)

        def so_far(scheme: Scheme, settled: Any, swatches: SwatchList) -> None:
            self.pause()
            self._told_corrections(settled.corrected)
            self._tell(("order", number, version, [part.part.id for part in scheme.parts]))
            self._tell_so_far(number, version, scheme, swatches)
            alone.update(self._unsampled(kit, settled.corrected, unknown))
            self._told_corrections(alone)
            self._forget_corrections(settled.corrected.keys() | alone.keys())
            working("Weighing the evidence")

        scheme, swatches = colours(kit, progress, so_far)
        self._grey = None if scheme.grey is None else scheme.grey.working
        self.pause()
        self._tell_rows(number, version, scheme, swatches, working)
        unsampled = {id: of_picture(one.measured, one.correction) for id, one in alone.items()}
        of_each = {**scheme.pictures, **unsampled}
        notes = {id: [_said(note) for note in said] for id, said in of_each.items()} | unknown
        settled = ([_said(w) for w in scheme.warnings], notes, problems)
        self._tell(("settled", number, version, *settled))
        if not known:
            kept.keep((self._rows, self._seen, self._choices, settled))

    def _told_before(self, number: int, version: str, kept: Kept) -> bool:
        """Tell the rows as they were worked out for the same files before, if they were: what follows then
        brings everything to mind again that the next change builds on."""
        known = kept.recall()
        if known is None:
            return False
        self._rows, self._seen, self._choices, settled = known
        self._tell(("order", number, version, list(self._rows)))
        self._tell(("rows", number, version, list(self._rows.values())))
        self._tell(("settled", number, version, *settled))
        return True

    def _unsampled(
        self, kit: Kit, settled: Mapping[str, Corrected], unknown: dict[str, list[str]]
    ) -> Iterator[tuple[str, Corrected]]:
        """The corrections of pictures that say nothing of a part (yet), but are looked at all the same; why
        there is none goes into `unknown`, by reference."""
        from palette.evidence.combine.corrected import corrected

        for reference in kit.references:
            told = reference.anchors or reference.light is not None
            if told and reference.tone == "colour" and reference.id not in settled:
                self.pause()
                try:
                    yield reference.id, corrected(kit, reference)
                except InputError as error:
                    unknown[reference.id] = [f"{p.what}; {p.remedy}" for p in error.problems]

    def _told_corrections(self, corrected: Mapping[str, Corrected]) -> None:
        from palette.memory import digest

        for id, one in corrected.items():
            own = digest(one.correction)
            if self._corrections.get(id) != own:
                anchors = _anchors(one)
                self._corrections[id] = own
                self._tell(("correction", id, own.hex(), one.correction, anchors))

    def _forget_corrections(self, kept: Set[str]) -> None:
        for id in [id for id in self._corrections if id not in kept]:
            del self._corrections[id]
            self._tell(("correction", id, "", None, []))

    def _tell_so_far(self, number: int, version: str, scheme: Scheme, swatches: SwatchList) -> None:
        """Tell what the colour pictures say. Where grey ones have a say, too, a part keeps the row it had
        until they are read, unless the colour pictures tell something new of itself."""
        from palette.memory import digest

        same = _families(scheme.kit)
        grey = {s.part for r in scheme.kit.references if r.tone == "grey" for s in r.samples}
        before, self._seen = self._seen, {part.part.id: digest(part) for part in scheme.parts}
        for id in [id for id in self._rows if id not in same]:
            del self._rows[id]
        moved = before != self._seen
        for part in scheme.parts:
            id = part.part.id
            if not any(other in grey for other in same[id]):
                self._tell_row(number, version, self._row(scheme, part, swatches))
            elif id not in self._rows or before.get(id) != self._seen[id]:
                self._tell_row(number, version, {**self._row(scheme, part, swatches), "stale": True})
            elif moved:
                self._tell_row(number, version, {**self._rows[id], "stale": True})

    def _tell_rows(
        self,
        number: int,
        version: str,
        scheme: Scheme,
        swatches: SwatchList,
        working: Callable[[str], None],
    ) -> None:
        """Tell the rows that are others than those told last: at first with the paints chosen before, then
        with those that are chosen now."""
        from palette.desk.rows import paint_row
        from palette.paints.choosing.choice import chosen_paints
        from palette.paints.choosing.proposals import paints_for
        from palette.paints.scaled import as_painted

        for part in scheme.parts:
            self._tell_row(number, version, self._row(scheme, part, swatches))
        working("Choosing the paints")
        painted = as_painted(scheme, swatches, paints=False)
        near = tuple(replace(part, paints=paints_for(part.lab, swatches)) for part in painted.parts)
        chosen = chosen_paints(replace(painted, parts=near), swatches, lambda done, total: self.pause())
        paints = {swatch.id: swatch for swatch in swatches.swatches}
        for part in scheme.parts:
            made = self._row(scheme, part, swatches)
            id = part.part.id
            self._choices[id] = (_chosen_for(part, made), paint_row(part.part, chosen.get(id), paints))
            self._tell_row(number, version, self._row(scheme, part, swatches))

    def _row(self, scheme: Scheme, part: PartColour, swatches: SwatchList) -> dict[str, Any]:
        """A part's row with the paint that was chosen last; stale where that was for another colour."""
        from palette.desk.rows import row

        self.pause()
        made = row(scheme, part, swatches)
        chosen_for, made["chosen"] = self._choices.get(part.part.id, (b"", None))
        return {**made, "stale": chosen_for != _chosen_for(part, made)}

    def _tell_row(self, number: int, version: str, made: dict[str, Any]) -> None:
        if self._rows.get(made["part"]) != made:
            self._rows[made["part"]] = made
            self._tell(("rows", number, version, [made]))

    # -- what is asked for beside it --------------------------------------------------------------

    def lattice(self, ask: Ask) -> None:
        from palette import cache
        from palette.desk.pictures import lattice

        id, digest, correction = ask.args
        key = cache.key("lattice", digest, 9, 3)
        table = cache.remember(key, lambda: lattice(correction, pause=self.pause))
        self._tell(("lattice", id, digest, table))

    def leaves(self, ask: Ask) -> None:
        """What a grey picture leaves at each level, as it was read last."""
        from palette import cache
        from palette.desk import plain
        from palette.evidence.grey.leaves import leaves
        from palette.memory import digest

        id, version = ask.args
        working = self._grey
        picture = None if working is None else working.pictures.get(id)
        if working is None or picture is None:
            return
        key = cache.key("leaves", digest(picture, working.swatches).hex())
        left = cache.remember(key, lambda: leaves(picture, working.swatches, self.pause))
        paints = {swatch.id: swatch for swatch in working.swatches.swatches}
        rows = []
        for bounds, likely in zip(left.lightness, left.likely, strict=True):
            told = [
                {
                    "swatch": swatch,
                    "name": paints[swatch].name,
                    "colour": plain.colour(paints[swatch].lab),
                    "probability": round(share, 4),
                }
                for swatch, share in likely
            ]
            rows.append(([round(float(bound), 1) for bound in bounds], told))
        self._tell(("leaves", version, id, rows))

    def recipes(self, ask: Ask) -> None:
        from palette.desk.recipes import best

        key, args = ask.args
        self._tell(("recipes", key, best(*args)))

    def survey(self, ask: Ask) -> None:
        from palette.evidence.pictures.references import survey

        version, kit = ask.args
        statuses = survey(kit, lambda done, total: self.pause())
        told = {s.reference.id: (tuple(_said(m) for m in s.missing), s.same_as) for s in statuses}
        self._tell(("survey", version, told))

    def guide(self, ask: Ask) -> None:
        from palette.desk.printing import printed

        version, paper, kit = ask.args
        self._tell(("guide", version, paper, printed(usable(kit)[0], paper)))

    def check(self, ask: Ask) -> None:
        from palette.desk.printing import checked

        version, kit = ask.args
        self._tell(("check", version, checked(usable(kit)[0])))


_WORK: Mapping[str, Callable[[Engine, Ask], None]] = {
    "scheme": Engine.scheme,
    "lattice": Engine.lattice,
    "leaves": Engine.leaves,
    "recipes": Engine.recipes,
    "survey": Engine.survey,
    "guide": Engine.guide,
    "check": Engine.check,
}


@dataclass(frozen=True)
class Kept:
    """The rows of a kit as they were last settled, from one desk to the next."""

    key: str  # of the kit, so that it has but one entry
    state: str  # of all its files

    def recall(self) -> Any:
        """What was kept for the same files; None where nothing was."""
        from palette import cache

        known = cache.recall(self.key)
        return known[1] if isinstance(known, tuple) and known[0] == self.state else None

    def keep(self, value: Any) -> None:
        """Keep it instead of what was kept."""
        from palette import cache

        cache.keep(self.key, (self.state, value))


def _kept(kit: Kit, raw: bytes) -> Kept:
    from palette import cache
    from palette.desk.bench import files

    contents = tuple(cache.content_if_readable(path) for path in files(kit))
    state = cache.key(cache.code("words", "desk"), raw, contents)
    return Kept(cache.key("rows of", str(kit.path)), state)


def usable(kit: Kit) -> tuple[Kit, tuple[Problem, ...]]:
    """A kit without what cannot be used now, so that the rest can: references whose pictures are missing or
    whose marks lie outside, lists with problems, colours that name paints of these. And the problems."""
    kit, problems = _without_broken_lists(kit)
    kept, marked = [], {part.id for part in kit.parts}
    for reference in kit.references:
        wrong = _problems(kit, reference) if any(s.part in marked for s in reference.samples) else ()
        problems = (*problems, *wrong)
        if not wrong:
            kept.append(reference)
    return replace(kit, references=tuple(kept)), problems


def _problems(kit: Kit, reference: Reference) -> tuple[Problem, ...]:
    """Why a reference cannot be used."""
    from palette.cache import content_if_readable
    from palette.evidence.grey.reading import _read

    try:
        width, height = _size(reference.file, content_if_readable(reference.file))
        if reference.tone == "grey":
            _read(kit, reference)
            return ()
    except InputError as error:
        return error.problems
    from palette.evidence.pictures.regions import pixels

    outside = []
    marks: list[Anchor | PartSample] = [*reference.anchors, *reference.samples]
    for mark in marks:
        if not pixels(mark.region, width, height)[1].any():
            what = f"a mark of reference {reference.id!r} lies outside the picture"
            remedy = f"mark it inside the picture, which is {width} × {height} pixels"
            outside.append(Problem(str(kit.path), mark.line, what, remedy))
    return tuple(outside)


@lru_cache(maxsize=1024)
def _size(path: Path, digest: str | None) -> tuple[int, int]:
    """Width and height of a picture while its content is what it is; InputError where it cannot be read."""
    from palette.evidence.pictures.decode import open_picture

    picture = open_picture(path)
    return picture.width, picture.height


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


def _chosen_for(part: PartColour, row: Mapping[str, Any]) -> bytes:
    """What a part's paint is chosen for."""
    from palette.memory import digest

    return digest(part.lab, part.covariance, part.basis, part.part.finish, row["likely"])


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
    from palette.desk.frugal import give_back
    from palette.memory import MEMORY

    give_back()
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
