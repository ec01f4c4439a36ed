"""One kit as the page works on it: read when it changes, changed step by step, watched and told of."""

from __future__ import annotations

import contextlib
import difflib
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from palette.desk import edits, state
from palette.desk.edits import Op, wrong
from palette.desk.events import Hub
from palette.desk.history import History, Step, version
from palette.errors import InputError, Problem
from palette.files import Change, ChangedMeanwhile, change_together, decode, read_bytes
from palette.kit.model import Kit
from palette.kit.pieces import toml
from palette.kit.read import EVERY_FILE, of_text
from palette.kit.write import Draft
from palette.swatches.model import SwatchList

_EYE = 0.4  # seconds between two looks at the files
_AGAIN = 20  # times a change is made anew where another was faster


@dataclass(frozen=True)
class Reading:
    """A kit.toml as it was read."""

    version: str
    raw: bytes
    data: Mapping[str, Any]  # as TOML has it; not to be changed
    kit: Kit


class Clash(Exception):
    """What a change touches is another than its page saw."""

    def __init__(self, what: Sequence[str], seen: str, seen_text: str | None, now: Reading) -> None:
        super().__init__("; ".join(what))
        self.what, self.seen, self.seen_text, self.now = list(what), seen, seen_text, now

    def plain(self) -> dict[str, Any]:
        """Both versions, and line by line how they differ."""
        now = self.now.raw.decode("utf-8", "replace")
        before = self.seen_text or ""
        return {
            "what": self.what,
            "seen": {"version": self.seen, "text": self.seen_text},
            "now": {"version": self.now.version, "text": now},
            "diff": [
                ["=" if line[0] == " " else line[0], line[2:].rstrip("\r\n")]
                for line in difflib.ndiff(before.splitlines(), now.splitlines())
                if line[0] != "?"
            ],
        }


@dataclass(frozen=True)
class Done:
    """A change that was made."""

    words: str
    before: Reading
    after: Reading
    lists: tuple[str, ...] = ()  # those that were changed


class Live:
    """One kit. Its files may be changed by an editor, by other desks and by the commands at any time."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.hub = Hub()
        self.problems: tuple[Problem, ...] = ()  # why kit.toml cannot be read now
        self._last: Reading | None = None
        self._paints: tuple[Any, SwatchList] | None = None  # as the lists' files were
        self._lock = threading.RLock()
        self._closed = threading.Event()
        self._watching: threading.Thread | None = None
        self._files: Any = None  # the kit's files as the watch has seen them last
        self._on_change: list[Any] = []

    @cached_property
    def history(self) -> History:
        return History(self.path)

    # -- reading --------------------------------------------------------------------------------

    def read(self) -> Reading:
        """The kit as it stands now, or as it stood before it could not be read any more.

        Raises:
            InputError: it has never been readable since the desk was opened.
        """
        with self._lock:
            try:
                now = self._read()
                self.problems = ()
                return now
            except InputError as error:
                self.problems = error.problems
                if self._last is None:
                    raise
                return self._last

    def _read(self) -> Reading:
        raw = read_bytes(self.path)
        last = self._last
        if last is not None and last.raw == raw:
            return last
        now = reading(raw, self.path)
        if last is None or last.version != now.version:
            self._noticed(last, now)
        self._last = now
        return now

    def _noticed(self, last: Reading | None, now: Reading) -> None:
        """A text that the steps do not lead to is an editor's step."""
        known = self.history.last(self.path)
        self.history.see(now.raw)
        if known is not None and known != now.version:
            before = self.history.text(known)
            if before is not None:
                self.history.note("Changed in an editor", "editor", {self.path: (before, now.raw)})

    def swatches(self) -> SwatchList:
        """The kit's paints that can be read; none where the lists have problems."""
        from palette.desk.bench import state as stamps
        from palette.swatches.reading import load, swatches_of

        paints = SwatchList(())
        with contextlib.suppress(InputError):
            files = self.read().kit.swatches
            stamp = stamps(*files)
            if self._paints is not None and self._paints[0] == stamp:
                return self._paints[1]
            lists, problems = load(files)
            if not problems:
                paints = SwatchList(tuple(swatches_of(lists)))
            self._paints = (stamp, paints)
        return paints

    # -- changing -------------------------------------------------------------------------------

    def change(
        self, seen: str, ops: Sequence[Op], words: str = "", coming: Mapping[Path, bytes] | None = None
    ) -> Done:
        """Make operations that name the version they are meant for; files `coming` into the kit with them are
        written at once, and stay when they are undone.

        Raises:
            Clash: what they touch has changed since; nothing was changed.
            InputError: they cannot be made; nothing was changed.
        """
        for _ in range(_AGAIN):
            with self._lock:
                now = self._now()
                theirs = [op for op in ops if str(op.get("op", "")).startswith("swatch.")]
                own = [op for op in ops if op not in theirs]
                own = own if seen == now.version else self._carried(seen, own, now)
                try:
                    return self._make(now, own, theirs, words, coming or {})
                except ChangedMeanwhile:
                    continue
        raise wrong("others keep changing the kit", "repeat the change in a moment")

    def _now(self) -> Reading:
        now = self.read()
        if self.problems:
            raise InputError.of(self.problems)
        return now

    def _carried(self, seen: str, ops: Sequence[Op], now: Reading) -> list[Op]:
        raw = self.history.text(seen)
        old = None
        with contextlib.suppress(InputError):
            old = reading(raw, self.path) if raw is not None else None
        out, off = [], []
        for op in ops:
            over = edits.carried_over(op, old.data if old is not None else {}, now.data)
            if over is None:
                off.append(" ".join(str(op.get(key, "")) for key in ("op", "id", "ref")).strip())
            else:
                out.append(over)
        if off:
            raise Clash(off, seen, None if raw is None else raw.decode("utf-8", "replace"), now)
        return out

    def _make(
        self,
        now: Reading,
        own: Sequence[Op],
        lists: Sequence[Op],
        words: str,
        coming: Mapping[Path, bytes],
    ) -> Done:
        from palette.desk.listing import apply as apply_lists

        said: list[str] = []
        files: dict[Path, tuple[bytes, bytes]] = {}
        draft = Draft(self.path, EVERY_FILE)
        if draft.read != now.raw:
            raise ChangedMeanwhile(Problem(str(self.path), None, "has been changed meanwhile"))
        if own:
            said.append(edits.apply(edits.Sheet(draft, self.swatches, coming), own))
            _checked(draft)
            if draft.raw != draft.read:
                files[self.path] = (draft.read, draft.raw)
        if lists:
            what, changed = apply_lists(self.path.parent, now.data, lists)
            said.append(what)
            files |= changed
        if not own and not lists:
            raise wrong("nothing is asked for", "name at least one change")
        _replace(self.path.parent, files, coming)
        words = " ".join(words.split())[:200] or "; ".join(said)
        if files:
            self._last = reading(draft.raw, self.path)
            self.history.note(words, "desk", files)
        after = self._last or now
        named = {(self.path.parent / f).resolve(): f for f in edits_lists(now.data)}
        others = tuple(named.get(p.resolve(), str(p)) for p in files if p != self.path)
        return self._told(Done(words, now, after, others))

    def go(self, back: bool) -> Done:
        """Undo, or redo; InputError where that cannot be."""
        with self._lock:
            now = self._now()
            step: Step = self.history.go(back)
            self._last = reading(read_bytes(self.path), self.path)
            others = tuple(Path(p).name for p in step.files if p != str(self.path))
            return self._told(Done(step.words, now, self._last, others))

    def _told(self, done: Done) -> Done:
        changed = state.changed(done.before.data, done.after.data) | {"lists": list(done.lists)}
        self.hub.tell("kit", version=done.after.version, by="desk", changed=changed)
        if self._files is not None:  # the watch is not to take its own desk for another program
            self._files = _stamps(done.after.kit)
        for tell in self._on_change:
            tell()
        return done

    # -- watching -------------------------------------------------------------------------------

    def on_change(self, tell: Any) -> None:
        """Call `tell()` after each change of a file of the kit, whoever made it."""
        self._on_change.append(tell)

    def watch(self) -> None:
        """Look at the kit's files from now on, and tell of what changed."""
        with self._lock:
            if self._watching is None:
                self._watching = threading.Thread(target=self._watch, name="watch", daemon=True)
                self._watching.start()

    def close(self) -> None:
        self._closed.set()
        self.hub.close()

    def _watch(self) -> None:
        trouble: tuple[Problem, ...] = ()
        while not self._closed.wait(_EYE):
            with contextlib.suppress(InputError, OSError):
                with self._lock:
                    last = self._last
                    now = self.read()
                    problems = self.problems
                    there = _stamps(now.kit)
                    before, self._files = self._files, there
                if problems != trouble:
                    trouble = problems
                    from palette.desk import plain

                    self.hub.tell("trouble", problems=plain.problems(problems))
                if last is not None and now.version != last.version:
                    changed = state.changed(last.data, now.data) | {"lists": []}
                    self.hub.tell("kit", version=now.version, by="editor", changed=changed)
                if before is not None and there != before:
                    if now.version == (last.version if last is not None else None):
                        self._files_changed(now, before, there)
                    for tell in self._on_change:
                        tell()

    def _files_changed(self, now: Reading, before: Any, after: Any) -> None:
        """A picture, a list or another file that the kit names was replaced, or is gone."""
        other = {row[0] for row in set(before) ^ set(after)}
        references = [r.id for r in now.kit.references if str(r.file) in other]
        lists = [str(path) for path in now.kit.swatches if str(path) in other]
        if references or lists:
            changed = {"kit": False, "parts": [], "references": references, "removed": [], "lists": lists}
            self.hub.tell("kit", version=now.version, by="editor", changed=changed)


def _stamps(kit: Kit) -> Any:
    """What tells whether any file of a kit has been changed."""
    from palette.desk.bench import files, state

    return state(*files(kit))


def reading(raw: bytes, path: Path) -> Reading:
    """A kit.toml's bytes, read; InputError with every problem of it."""
    text = decode(raw, path)
    kit = of_text(text, path, EVERY_FILE)
    return Reading(version(raw), raw, toml(text), kit)


def edits_lists(data: Mapping[str, Any]) -> list[str]:
    """The lists of paints a kit names, as written."""
    named = data.get("kit", {}).get("swatches", [])
    return [named] if isinstance(named, str) else list(named)


def _checked(draft: Draft) -> None:
    """InputError where the kit as changed contradicts itself; without the lines of a text nobody will see."""
    from dataclasses import replace

    try:
        _ = draft.kit
    except InputError as error:
        own = str(draft.path)
        raise InputError(
            *(replace(p, file=None, line=None) if p.file == own else p for p in error.problems)
        ) from None


def _replace(folder: Path, files: Mapping[Path, tuple[bytes, bytes]], coming: Mapping[Path, bytes]) -> None:
    """Change files of a kit that still hold what was read, together, with new ones `coming` before them; a
    list that stands elsewhere, where the maker keeps it for all kits, after them."""
    changes = [Change(path, data, None) for path, data in coming.items()]
    changes += [Change(path, after, before) for path, (before, after) in files.items()]
    own = [change for change in changes if change.path.is_relative_to(folder)]
    if own:
        change_together(own, folder)
    for change in changes:
        if change not in own:
            change_together([change], change.path.parent)
