"""The desk, and the kits that lie open on it."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable, Hashable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from palette.desk.live import Live
from palette.desk.pictures import Pictures
from palette.desk.scheming import Scheming
from palette.desk.tickets import Tickets
from palette.desk.works import Tell, Works
from palette.errors import InputError, Problem
from palette.kit.model import Kit
from palette.kit.read import EVERY_FILE, find, read
from palette.swatches.kitlists import kit_swatches
from palette.swatches.model import SwatchList

if TYPE_CHECKING:
    from palette.evidence.combine.model import Scheme
    from palette.evidence.pictures.looking import Look
    from palette.evidence.pictures.references import ReferenceStatus
    from palette.paints.check import Check
    from palette.paints.choosing.chosen import Chosen

T = TypeVar("T")
LONG = 600.0  # seconds to wait where a page cannot come again by itself
_MOST_VIEWS = 40  # encoded pictures kept of a kit


class Bench:
    """One kit that lies open. Its files are looked at on every page, so that an editor may change them."""

    def __init__(self, number: int, path: Path) -> None:
        self.number = number
        self.path = path
        self.works = Works()
        self.aside = Works()  # what may take minutes, and nothing else waits for
        self.changing = threading.Lock()  # two forms at once are two changes, one after the other
        self.builds = 0  # how often a guide has been asked for
        self._views: dict[Hashable, bytes] = {}
        self.live = Live(path)
        self.pictures = Pictures(self.live.swatches, self.live.hub.tell)
        self.scheming = Scheming(self.live, self.pictures)

    def close(self) -> None:
        """End what runs beside the pages."""
        self.live.close()
        self.scheming.close()

    def kit(self) -> Kit:
        """The kit as it stands now; InputError with every problem of it."""
        return read(self.path, EVERY_FILE)

    def swatches(self, kit: Kit) -> SwatchList:
        """The kit's paints; InputError with every problem of its lists."""
        key = state(kit.path, *kit.swatches)
        return self.works.ask("swatches", key, lambda tell: kit_swatches(kit), "Reading the lists", LONG)

    def scheme(self, kit: Kit, patience: float | None = None) -> Scheme:
        """The kit's scheme; Working while it is being worked out, InputError with what is wrong."""
        from palette.paints.scheme import scheme

        return self._ask("scheme", kit, lambda tell: scheme(kit, tell), "Working out the scheme", patience)

    def chosen(self, kit: Kit, patience: float | None = None) -> dict[str, Chosen]:
        """What goes on the brush for each part, by its id, as in the guide; may be Working."""
        from palette.paints.choosing.choice import chosen_paints
        from palette.paints.scaled import as_painted

        scheme, swatches = self.scheme(kit, patience), self.swatches(kit)

        def choose(tell: Tell) -> dict[str, Chosen]:
            return chosen_paints(as_painted(scheme, swatches), swatches)

        return self._ask("chosen", kit, choose, "Choosing the paints", patience)

    def survey(self, kit: Kit, patience: float | None = None) -> list[ReferenceStatus]:
        """The references as they stand; may be Working."""
        from palette.evidence.pictures.references import survey

        return self._ask("survey", kit, lambda tell: survey(kit, tell), "Looking at the references", patience)

    def check(self, kit: Kit) -> Check:
        """The painted print against the scheme; may be Working, or an InputError."""
        from palette.paints.check import check

        return self._ask("check", kit, lambda tell: check(kit, tell), "Measuring the painted print")

    def look(self, kit: Kit, id: str, patience: float | None = None) -> Look:
        """A reference with its correction; may be Working, or an InputError."""
        from palette.evidence.combine.corrected import find as reference_of
        from palette.report.look import look

        reference = reference_of(kit, id)
        label = f"Correcting {id}"
        return self._ask(f"look {id}", kit, lambda tell: look(kit, reference), label, patience)

    def view(self, key: Hashable, make: Callable[[], bytes]) -> bytes:
        """An encoded picture, made once for each key; the oldest go when there are many."""
        if key not in self._views:
            made = make()
            while len(self._views) >= _MOST_VIEWS:
                self._views.pop(next(iter(self._views)), None)
            self._views[key] = made
        return self._views[key]

    def _ask(
        self, name: str, kit: Kit, compute: Callable[[Tell], T], label: str, patience: float | None = None
    ) -> T:
        return self.works.ask(name, state(*files(kit)), compute, label, patience)


class Desk:
    """The kits that are open, and the secrets of this run.

    `tickets` are in the addresses that the desk prints, each good for one use; it becomes the `key`, in a
    cookie: without it there is no page. `token` is in every form: without it nothing is changed, whatever
    cookie a browser sends along.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder  # from where paths are meant, and near which kits are looked for
        self.hosts: frozenset[str] = frozenset()  # names this desk answers to
        self.cookie = "desk"
        self.tickets = Tickets()
        self.key = secrets.token_urlsafe(24)
        self.token = secrets.token_urlsafe(24)
        self.benches: list[Bench] = []
        self._lock = threading.Lock()

    def listen(self, port: int) -> None:
        """Answer to this machine's own names at that port only."""
        names = ("127.0.0.1", "localhost")
        self.hosts = frozenset({f"{name}:{port}" for name in names} | (set(names) if port == 80 else set()))
        self.cookie = f"desk-{port}"  # cookies do not know ports, and two desks may be open

    def open(self, path: Path) -> Bench:
        """Lay a kit on the desk; one that lies there already is taken. A kit with problems may be opened:
        its page shows them.

        Raises:
            InputError: there is no such file.
        """
        path = find(self.folder / path.expanduser()).resolve()
        if not path.is_file():
            raise InputError(Problem(str(path), None, "there is no such file", "check its name and folder"))
        with self._lock:
            for bench in self.benches:
                if bench.path == path:
                    return bench
            bench = Bench(len(self.benches) + 1, path)
            self.benches.append(bench)
            return bench

    def close(self) -> None:
        """End what runs beside the pages."""
        for bench in self.benches:
            bench.close()

    def near(self) -> list[Path]:
        """Kits in the folder the desk was started in, and one below, that are not open yet."""
        opened = {bench.path for bench in self.benches}
        try:
            kits = [*self.folder.glob("kit.toml"), *sorted(self.folder.glob("*/kit.toml"))]
        except OSError:
            return []
        return [path for path in kits[:50] if path.resolve() not in opened]


def files(kit: Kit) -> list[Path]:
    """Every file that a kit's answers depend on."""
    named: list[Path | None] = [kit.path, *kit.swatches, *(part.mesh for part in kit.parts)]
    for reference in kit.references:
        response = reference.response
        named += [reference.file, reference.filter, response if isinstance(response, Path) else None]
    return [path for path in named if path is not None]


def state(*paths: Path) -> tuple[tuple[str, int, int, int], ...]:
    """What tells that a file has been changed, or is gone."""
    stamps = []
    for path in paths:
        try:
            status = path.stat()
            stamps.append((str(path), status.st_mtime_ns, status.st_ctime_ns, status.st_size))
        except OSError:
            stamps.append((str(path), 0, 0, -1))
    return tuple(stamps)
