"""What was changed in a kit, step by step, so that all of it can be undone, also after a restart.

Beside no kit but in the user's own folder for such things, or in the folder that the environment variable
PALETTE_STATE names (empty: nowhere, and what is undone is forgotten with the desk): one folder a kit, with a
line a step in `steps.jsonl` and each text once, under its digest. A step is written down after its file was
replaced; where a kill falls between the two, the text that is found then counts as an editor's step.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import threading
import time
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path

from palette.errors import InputError, Problem
from palette.files import Change, change_together, make_folder, read_bytes, replace_unchanged, replace_whole

MOST_STEPS = 1000  # kept; older ones go once there are twice as many
_OLD = 7 * 86400.0  # seconds after which a text that no step names goes, too


def version(raw: bytes) -> str:
    """What a file's bytes are known by."""
    return blake2b(raw, digest_size=12).hexdigest()


def folder() -> Path | None:
    """Where histories are kept; None where they are not."""
    chosen = os.environ.get("PALETTE_STATE")
    if chosen is not None:
        return Path(chosen) if chosen else None
    with contextlib.suppress(RuntimeError):  # no home folder
        if sys.platform == "darwin":
            return Path.home() / "Library" / "Application Support" / "palette"
        if sys.platform == "win32":
            local = os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local")
            return Path(local) / "palette" / "state"
        return Path(os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state") / "palette"
    return None


@dataclass(frozen=True)
class Step:
    """One change: for each file its version before and after."""

    words: str
    by: str  # desk | editor
    time: float
    files: Mapping[str, tuple[str, str]]


class History:
    """The steps of one kit, and where in them it stands."""

    def __init__(self, kit: Path) -> None:
        place, own = folder(), version(str(kit).encode("utf-8", "surrogateescape"))
        self._folder = None if place is None else place / "desk" / own
        self._texts: dict[str, bytes] = {}
        self._steps: list[Step] = []
        self._at = 0  # how many of them are done
        self._read = 0  # bytes of the log that were read
        self._log = 0  # which file that was: it is another one when old steps are gone
        self._lines = 0
        self._lock = threading.RLock()

    @property
    def undo(self) -> Step | None:
        """What would be undone."""
        with self._lock:
            self._look()
            return self._steps[self._at - 1] if self._at else None

    @property
    def redo(self) -> Step | None:
        """What would be done again."""
        with self._lock:
            self._look()
            return self._steps[self._at] if self._at < len(self._steps) else None

    def steps(self) -> tuple[list[Step], int]:
        """Every step, oldest first, and how many of them are done."""
        with self._lock:
            self._look()
            return list(self._steps), self._at

    def text(self, digest: str) -> bytes | None:
        """The bytes of a version that was seen once; None where it is not known."""
        if digest in self._texts:
            return self._texts[digest]
        if self._folder is None:
            return None
        try:
            raw = zlib.decompress((self._folder / "texts" / digest).read_bytes())
        except (OSError, zlib.error):
            return None
        return raw if version(raw) == digest else None

    def see(self, raw: bytes) -> str:
        """Keep a text, so that a change that names its version can be compared with it later."""
        digest = version(raw)
        with self._lock:
            if digest in self._texts:
                return digest
            while len(self._texts) > 100 and self._folder is not None:
                self._texts.pop(next(iter(self._texts)))
            self._texts[digest] = raw
            if self._folder is not None and not (self._folder / "texts" / digest).exists():
                with contextlib.suppress(InputError):
                    make_folder(self._folder / "texts")
                    replace_whole(self._folder / "texts" / digest, zlib.compress(raw))
        return digest

    def note(self, words: str, by: str, files: Mapping[Path, tuple[bytes, bytes]]) -> None:
        """Write a step down: what is undone stays undone, and what could have been redone is gone."""
        kept = {str(path): (self.see(before), self.see(after)) for path, (before, after) in files.items()}
        self._add({"do": words, "by": by, "time": time.time(), "files": kept})

    def last(self, path: Path) -> str | None:
        """The version of a file that the steps lead to; None where no step tells."""
        with self._lock:
            self._look()
            for step in reversed(self._steps[: self._at]):
                if str(path) in step.files:
                    return step.files[str(path)][1]
            for step in self._steps[self._at :]:
                if str(path) in step.files:
                    return step.files[str(path)][0]
        return None

    def go(self, back: bool) -> Step:
        """Undo the last step, or do the next one again.

        Raises:
            InputError: there is none, or a file of it is not as the step left it.
        """
        with self._lock:
            step = self.undo if back else self.redo
            if step is None:
                what = f"there is nothing to {'undo' if back else 'redo'}"
                raise InputError(Problem(None, None, what, "go on from here"))
            pairs = {p: (b, a) if back else (a, b) for p, (a, b) in step.files.items()}
            texts = {path: (self.text(now), self.text(then)) for path, (now, then) in pairs.items()}
            if any(now is None or then is None for now, then in texts.values()):
                raise InputError(Problem(None, None, "its text is not kept any more", "change it by hand"))
            for path, (now, _) in texts.items():
                if read_bytes(Path(path)) != now:
                    what = "has been changed since; nothing was undone" if back else "has been changed since"
                    raise InputError(Problem(path, None, what, "look at it, and change it by hand"))
            changes = [Change(Path(path), then, now) for path, (now, then) in texts.items()]
            for folder in dict.fromkeys(change.path.parent for change in changes):
                change_together([change for change in changes if change.path.parent == folder], folder)
            self._add({"undo" if back else "redo": step.words})
            return step

    def _add(self, entry: dict[str, object]) -> None:
        with self._lock:
            self._look()
            if self._folder is not None:
                line = (json.dumps(entry, ensure_ascii=False) + "\n").encode()
                try:
                    make_folder(self._folder)
                    with open(self._folder / "steps.jsonl", "ab") as log:
                        # A line that a kill cut off ends here.
                        log.write(line if log.tell() == self._read else b"\n" + line)
                        log.flush()
                        os.fsync(log.fileno())
                    self._look()
                    return self._prune()
                except (OSError, InputError):  # it is then forgotten with the desk
                    self._folder = None
            self._take(entry)

    def _look(self) -> None:
        """Read what this desk, or another one on the same kit, has added."""
        if self._folder is None:
            return
        try:
            with open(self._folder / "steps.jsonl", "rb") as log:
                number = os.fstat(log.fileno()).st_ino
                if number != self._log:
                    self._log, self._read, self._lines, self._steps, self._at = number, 0, 0, [], 0
                log.seek(self._read)
                raw = log.read()
        except OSError:
            return
        whole = raw.rfind(b"\n") + 1
        self._read += whole
        for line in raw[:whole].splitlines():
            self._lines += 1
            with contextlib.suppress(ValueError, KeyError, TypeError):
                self._take(json.loads(line))

    def _prune(self) -> None:
        """Forget the oldest steps where there are many, and the texts that none names any more."""
        if self._folder is None or self._lines <= 2 * MOST_STEPS:
            return
        path = self._folder / "steps.jsonl"
        entries: list[dict[str, object]] = [
            {"do": step.words, "by": step.by, "time": step.time, "files": dict(step.files)}
            for step in self._steps
        ]
        entries += [{"undo": step.words} for step in self._steps[self._at :]]
        log = "".join(json.dumps(entry, ensure_ascii=False) + "\n" for entry in entries)
        with contextlib.suppress(InputError, OSError):  # another desk may be writing: next time, then
            before = read_bytes(path)
            if len(before) == self._read:
                replace_unchanged(path, before, log.encode())
                self._look()
                named = {digest for step in self._steps for pair in step.files.values() for digest in pair}
                for text in (self._folder / "texts").iterdir():
                    if text.name not in named and text.stat().st_mtime < time.time() - _OLD:
                        text.unlink()

    def _take(self, entry: Mapping[str, object]) -> None:
        if "undo" in entry:
            self._at = max(0, self._at - 1)
        elif "redo" in entry:
            self._at = min(len(self._steps), self._at + 1)
        else:
            files = {str(p): (str(b), str(a)) for p, (b, a) in dict(entry["files"]).items()}  # type: ignore[call-overload]
            step = Step(str(entry["do"]), str(entry["by"]), float(entry["time"]), files)  # type: ignore[arg-type]
            self._steps[self._at :] = [step]
            del self._steps[: max(0, len(self._steps) - MOST_STEPS)]
            self._at = len(self._steps)
