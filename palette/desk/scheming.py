"""The scheme beside the page: worked out in a process of its own, row by row, never waited for."""

from __future__ import annotations

import contextlib
import os
import pickle
import queue
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from palette.desk import plain
from palette.desk.engine import Ask
from palette.desk.painting import Painted, Repaint
from palette.desk.pictures import Lut
from palette.errors import InputError, Problem
from palette.kit.model import Kit, Reference
from palette.memory import digest

if TYPE_CHECKING:
    from palette.desk.live import Live
    from palette.desk.pictures import Pictures
    from palette.evidence.pictures.decode import Picture

_MOST_LOST = 3
_MOST_TABLES = 12  # of corrections, ready to look through


class Scheming:
    """What is known of one kit's scheme, and what is being found out."""

    def __init__(self, live: Live, pictures: Pictures) -> None:
        self._live, self._pictures = live, pictures
        self._process: subprocess.Popen[bytes] | None = None
        self._lock = threading.RLock()
        self._number = 0
        self._closed = self._started = False
        self._lost = 0  # processes that ended before they had answered, since the last that did
        self._rows: dict[str, dict[str, Any]] = {}
        self._order: list[str] = []
        self._version = ""  # of the kit that was asked about last
        self._settled = False
        self._progress: dict[str, Any] | None = None
        self._warnings: list[str] = []
        self._notes: dict[str, list[str]] = {}
        self.problems: tuple[Problem, ...] = ()
        self._corrections: dict[str, tuple[str, list[dict[str, Any]]]] = {}  # digest, what became of anchors
        self._tables: dict[str, tuple[str, Lut]] = {}
        self._asked_tables: dict[str, str] = {}
        self._leaves: dict[str, tuple[str, list[Any]]] = {}  # version, what each level leaves
        self._paintings: dict[str, tuple[str, Painted]] = {}
        self._doing: dict[str, str] = {}
        self._asks: queue.SimpleQueue[Ask | None] = queue.SimpleQueue()
        self.made: dict[str, Any] = {}  # recipes, pages and checks, by what they are for
        self._arrived = threading.Condition(self._lock)

    # -- asking -----------------------------------------------------------------------------------

    def start(self) -> None:
        """Work the scheme out from now on, whenever the kit or a file of it changes."""
        with self._lock:
            if self._started or self._closed:
                return
            self._started = True
        self._live.on_change(self.poke)
        self.poke()

    def poke(self) -> None:
        """The kit has changed: work out what that changes."""
        with contextlib.suppress(InputError):
            now = self._live.read()
            with self._lock:
                self._version = now.version
                self._settled = False
            self.ask("scheme", now.version, now.kit, now.raw)
            self.ask("survey", now.version, now.kit)

    def ask(self, topic: str, *args: Any) -> None:
        """Ask the other process for something; of one topic only the latest is worked on."""
        with self._lock:
            self._number += 1
            ask = Ask(topic, self._number, args)
            if self._process is None or self._process.poll() is not None:
                if self._closed:
                    return
                self._spawn()
            self._asks.put(ask)

    def once(self, topic: str, *args: Any) -> None:
        """Ask for something unless it is being worked on already."""
        with self._lock:
            asked = repr([name for name in args if isinstance(name, str)])
            if self._doing.get(topic) != asked:
                self._doing[topic] = asked
                self.made.pop(f"failed {topic}", None)
                self.ask(topic, *args)

    def _spawn(self) -> None:
        home = str(Path(__file__).parents[2])
        path = os.pathsep.join([home, *filter(None, [os.environ.get("PYTHONPATH")])])
        more = {"PYTHONPATH": path, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "palette.desk.engine"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, **more},
        )
        self._asks.put(None)  # whatever told the process before
        self._asks = queue.SimpleQueue()
        for work, *given in ((self._listen,), (_tell, self._asks)):
            threading.Thread(target=work, args=(self._process, *given), name="scheme", daemon=True).start()

    def close(self) -> None:
        """End the other process."""
        with self._lock:
            self._closed = True
            process, self._process = self._process, None
            self._asks.put(None)
        if process is not None:
            with contextlib.suppress(OSError):
                process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None:
                    with contextlib.suppress(OSError):
                        pipe.close()

    # -- answers ----------------------------------------------------------------------------------

    def _listen(self, process: subprocess.Popen[bytes]) -> None:
        assert process.stdout is not None
        with contextlib.suppress(Exception):  # it has gone, or what it said was cut off
            while True:
                answer = pickle.load(process.stdout)
                with self._arrived:
                    _HEARD[answer[0]](self, *answer[1:])
                    self._arrived.notify_all()
        with self._lock:
            if self._closed or process is not self._process or self._lost >= _MOST_LOST:
                return
            self._lost += 1
            self._process = None
            self._doing.clear()
            self._asked_tables.clear()
        process.kill()
        process.wait()
        self.poke()  # else what it was asked would never be answered

    def _on_rows(self, number: int, version: str, rows: list[dict[str, Any]]) -> None:
        for row in rows:
            self._rows[row["part"]] = row
        self._live.hub.tell("rows", version=version, rows=rows)

    def _on_order(self, number: int, version: str, ids: list[str]) -> None:
        self._order = ids
        for id in self._rows.keys() - set(ids):
            del self._rows[id]

    def _on_progress(self, number: int, label: str, done: int, total: int) -> None:
        self._progress = {"label": label, "done": done, "total": total}
        self._live.hub.tell("progress", version=self._version, **self._progress)

    def _on_settled(
        self, number: int, version: str, warnings: list[str], notes: dict[str, list[str]], problems: Any
    ) -> None:
        self._warnings, self._notes, self.problems = warnings, notes, tuple(problems)
        self._lost = 0
        if version == self._version:
            self._settled, self._progress = True, None
        told = plain.problems(problems)
        self._live.hub.tell("settled", version=version, warnings=warnings, notes=notes, problems=told)

    def _on_correction(self, id: str, own: str, correction: Any, anchors: Any) -> None:
        if correction is None:
            for known in (self._corrections, self._pictures.corrections, self._tables, self._asked_tables):
                known.pop(id, None)
        else:
            self._corrections[id] = (own, anchors)
            self._pictures.corrections[id] = correction
            if id in self._tables:  # it is being looked at
                self._ask_table(id)
                return
        self._live.hub.tell("picture", ref=id)

    def _on_lattice(self, id: str, own: str, table: Any) -> None:
        if id not in self._corrections:
            return  # its last anchor is gone
        self._tables.pop(id, None)
        self._tables[id] = (own, Lut(table))
        while len(self._tables) > _MOST_TABLES:
            del self._tables[next(iter(self._tables))]
        self._live.hub.tell("picture", ref=id, corrected=own)

    def _on_leaves(self, version: str, id: str, rows: list[Any]) -> None:
        self._leaves[id] = (version, rows)
        self._live.hub.tell("picture", ref=id)

    def _on_survey(self, version: str, told: dict[str, Any]) -> None:
        if self._pictures.missing != told:
            self._pictures.missing = told
            missing = {id: list(words) for id, (words, _) in told.items()}
            self._live.hub.tell("survey", version=version, missing=missing)

    def _on_recipes(self, key: str, recipes: Any) -> None:
        self._keep(f"recipes {key}", recipes)
        self._live.hub.tell("recipes", key=key)

    def _on_guide(self, version: str, paper: str, pages: Any) -> None:
        self._keep(f"guide {paper}", (version, pages))
        self._live.hub.tell("guide", status="ready", v=version)

    def _on_check(self, version: str, checked: Any) -> None:
        self._keep("check", (version, checked))
        self._live.hub.tell("check", status="ready", v=version)

    def _keep(self, name: str, value: Any) -> None:
        self._doing.pop(name, None)
        self.made.pop(name, None)
        self.made.pop(f"failed {name}", None)
        self.made[name] = value
        while len(self.made) > 200:
            del self.made[next(iter(self.made))]

    def _on_failed(self, topic: str, number: int, problems: Any) -> None:
        kind = topic.split()[0]
        if kind == "scheme":
            self.problems, self._settled, self._progress = tuple(problems), True, None
            told = plain.problems(problems)
            self._live.hub.tell("settled", version=self._version, warnings=[], notes={}, problems=told)
        else:
            self.made[f"failed {topic}"] = tuple(problems)
            self._doing.pop(topic, None)
            self._live.hub.tell(kind, status="failed", problems=plain.problems(problems))

    # -- what the page asks -------------------------------------------------------------------------

    def rows(self) -> dict[str, Any]:
        """Every row as far as it is known."""
        self.start()
        with self._lock:
            settled = self._settled
            return {
                "version": self._version,
                "settled": settled,
                "progress": self._progress,
                "rows": [self._rows[id] for id in self._order if id in self._rows],
                "warnings": list(self._warnings),
                "notes": dict(self._notes),
                "problems": plain.problems(self.problems),
            }

    def row(self, part: str) -> dict[str, Any] | None:
        """A part's row, where it is known."""
        with self._lock:
            return self._rows.get(part)

    def remains(self, reference: Reference, readout: dict[str, Any]) -> dict[str, Any]:
        """A readout of a grey picture with what its tone leaves at that level, as far as that is known."""
        if "level" in readout:
            with self._lock:
                known = self._leaves.get(reference.id)
            lightness, likely = (None, [])
            if known is not None:
                last = len(known[1]) - 1
                lightness, likely = known[1][min(max(round(last * readout["level"]), 0), last)]
            readout |= {"lightness": lightness, "likely": likely}
        return readout

    def picture(self, reference: Reference) -> dict[str, Any]:
        """How a picture is corrected, as far as that is known."""
        self.start()
        with self._lock:
            known = self._corrections.get(reference.id)
            table = self._tables.get(reference.id)
            notes = self._notes.get(reference.id, [])
            if known is not None and (table is None or table[0] != known[0]):
                self._ask_table(reference.id)
            if reference.tone == "grey" and self._leaves.get(reference.id, ("",))[0] != self._version:
                self.once(f"leaves {reference.id}", reference.id, self._version)
            return {
                "corrected": None if table is None else table[0],
                "painted": self.painted_v(reference),
                "caption": f"Corrected: {notes[0]}" if known is not None and notes else "",
                "notes": notes[1:] if known is not None else notes,
                "problems": plain.problems(p for p in self.problems if p.file == str(reference.file)),
                "anchors": known[1] if known is not None else [],
            }

    def _ask_table(self, id: str) -> None:
        own, _ = self._corrections[id]
        if self._asked_tables.get(id) != own:
            self._asked_tables[id] = own
            self.ask(f"lattice {id}", id, own, self._pictures.corrections[id])

    def corrected(self, reference: Reference) -> tuple[Lut | None, str | None]:
        """The table of a picture's correction, and its digest.

        Raises:
            InputError: it is not known yet.
        """
        with self._lock:
            table = self._tables.get(reference.id)
        if table is None:
            raise InputError(Problem(None, None, "its correction is not known yet", "wait a moment"))
        return table[1], table[0]

    def painted_v(self, reference: Reference) -> str | None:
        """What tells one state of the painted picture from the next; None where it cannot be shown."""
        return None if reference.tone == "grey" else self._painting(reference)[0]

    def _painting(self, reference: Reference) -> tuple[str | None, list[tuple[str, Any, bool]]]:
        """What is to be painted: by part the CIELAB of its paint, and whether its colour is unsure."""
        paints = []
        with self._lock:
            table = self._tables.get(reference.id)
            for part in dict.fromkeys(s.part for s in reference.samples):
                row = self._rows.get(part)
                if row is not None and row["colour"] is not None:
                    chosen = row["chosen"]
                    lab = (row["colour"] if chosen is None else chosen["colour"])["lab"]
                    paints.append((part, lab, row["basis"] != "decision" and row["sure"]["squares"] <= 2))
        if not paints:
            return None, paints
        marks = [(s.part, s.region) for s in reference.samples]
        return digest(paints, marks, "" if table is None else table[0]).hex()[:24], paints

    def painted(self, reference: Reference) -> tuple[Painted, str]:
        """What a picture is seen painted through, and its digest.

        Raises:
            InputError: nothing in it is known.
        """
        v, paints = self._painting(reference)
        if v is None or reference.tone == "grey":
            raise InputError(Problem(None, None, "nothing in this picture is painted", "mark parts in it"))
        with self._lock:
            known = self._paintings.get(reference.id)
            table = self._tables.get(reference.id)
        if known is not None and known[0] == v:
            return known[1], v
        picture = self._pictures.pyramid(reference.file).picture
        parts = [self._repaint(picture, reference, *one) for one in paints]
        made = Painted(
            [part for part in parts if part is not None],
            None if table is None else table[1],
            picture.width / picture.height,
        )
        with self._lock:
            self._paintings[reference.id] = (v, made)
            while len(self._paintings) > _MOST_TABLES // 3:
                del self._paintings[next(iter(self._paintings))]
        return made, v

    def _repaint(
        self, picture: Picture, reference: Reference, part: str, lab: Any, unsure: bool
    ) -> Repaint | None:
        from palette.colour.spaces import lab_to_linear
        from palette.evidence.pictures.regions import pixels

        lights, places = [], []
        for sample in reference.samples:
            box, mask = pixels(sample.region, picture.width, picture.height)
            if sample.part == part and mask.any():
                light = picture.linear(box)[mask]
                light = light[np.isfinite(light).all(axis=1)]
                if len(light):
                    lights.append(np.median(light, axis=0))
                    middle = (box[0] + box[2]) / 2 / picture.width, (box[1] + box[3]) / 2 / picture.height
                    places.append(middle)
        if not lights:
            return None
        return Repaint(part, np.mean(lights, axis=0), lab_to_linear(np.array(lab)), np.array(places), unsure)

    def painted_parts(self, reference: Reference) -> dict[str, Any]:
        """What the painted picture shows."""
        v, paints = self._painting(reference)
        return {
            "v": v,
            "parts": [
                {"part": p, "colour": plain.colour(np.array(lab)), "unsure": u} for p, lab, u in paints
            ],
            "notes": [
                "What looks like a marked part, near its marks, takes the paint's colour; shading stays.",
                "Stripes mark parts whose colour is loose or open.",
            ],
        }

    def wait(self, seconds: float = 60.0) -> bool:
        """Wait until the rows are settled; for programs, never for a page."""
        self.start()
        last = time.monotonic() + seconds
        with self._arrived:
            while not self._settled:
                if not self._arrived.wait(max(0.0, last - time.monotonic())):
                    return False
        return True

    def kit(self) -> Kit:
        """The kit as it stands."""
        return self._live.read().kit


_HEARD: dict[str, Any] = {
    "rows": Scheming._on_rows,
    "order": Scheming._on_order,
    "progress": Scheming._on_progress,
    "settled": Scheming._on_settled,
    "correction": Scheming._on_correction,
    "lattice": Scheming._on_lattice,
    "leaves": Scheming._on_leaves,
    "survey": Scheming._on_survey,
    "recipes": Scheming._on_recipes,
    "guide": Scheming._on_guide,
    "check": Scheming._on_check,
    "failed": Scheming._on_failed,
}


def _tell(process: subprocess.Popen[bytes], asks: queue.SimpleQueue[Ask | None]) -> None:
    """Tell the process what is asked, in a thread of its own: a large kit fills the pipe until it is read."""
    assert process.stdin is not None
    while (ask := asks.get()) is not None:
        with contextlib.suppress(OSError, ValueError):  # it has gone
            pickle.dump(ask, process.stdin, protocol=pickle.HIGHEST_PROTOCOL)
            process.stdin.flush()
