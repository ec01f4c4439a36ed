"""Changing files: what belongs together changes together or not at all, and a run that was stopped is undone.

Everything is first written into a folder of its own, `.palette-xxxxxxxx`, in the folder that is changed,
and flushed to the disk; what is to be replaced is kept there too. Then a journal is written, then every file
is put in its place, then the journal goes. Where that fails, everything is put back at once. Where the
process is killed, the next change in that folder finds the journal and puts everything back: a run that was
stopped has done nothing, and can be done again. One palette at a time changes a folder.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import re
import shutil
import stat
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import EllipsisType
from typing import TypeVar

from palette.errors import InputError, Problem
from palette.files.locks import alone
from palette.files.places import check_special, inside, is_special, pour
from palette.files.reading import read_bytes

T = TypeVar("T")

STAGING = ".palette-"  # how the folder of a change is called; eight more letters follow
_STAGING = re.compile(re.escape(STAGING) + r"[a-z0-9_]{8}")
_STAGED = re.compile(r"(?:new|old)-\d+|journal(?:\.json)?")
_JOURNAL = "journal.json"
# What an earlier palette left beside a file when it was killed: `.list.csv.x3f_09ab`, readable by its owner
# only. Somebody's own file has a word or a date there, or other rights.
_OLD = re.compile(r"(?=.*[a-z])(?=.*[0-9_])[a-z0-9_]{8}")
_TRIES = 20
_OLD_AFTER = 3600  # seconds: such a palette may still be at work
_LARGEST_JOURNAL = 4 << 20


class ChangedMeanwhile(InputError):
    """A file does not hold any more what was read from it."""


@dataclass(frozen=True)
class Change:
    """What one file is to hold.

    `data` None takes the file away. `before` is what the file must hold when it is changed: its bytes, None
    where it must not be there, or `...` for whatever it holds.
    """

    path: Path
    data: bytes | str | None
    before: bytes | EllipsisType | None = ...


def change_together(
    changes: Sequence[Change], within: Path, folders: Sequence[Path] = (), *, follow: bool = False
) -> None:
    """Change several files in a folder and those below it: all, or, where anything fails, none.

    They are put in place in the order given, so that a file which names the others comes last.

    Args:
        changes: what each file is to hold; the folders they stand in are made.
        within: the folder that holds them all; made where it is missing.
        folders: further folders to make.
        follow: whether a link that the user named may lead out of `within`.

    Raises:
        ChangedMeanwhile: a file does not hold what `before` says.
        InputError: a link leads out of `within`, a file of `before` None is there, a folder is missing or
            read-only, the disk is full, or a file's place is taken by a folder.
    """
    made = _make(within)
    try:
        with alone(within) as held:
            if held:
                _undo_all(within)
            _Work(within, follow).do(changes, folders)
            for change in changes:
                _clear_old(change.path)
    except BaseException:
        _unmake(made)
        raise


def replace_whole(path: Path, data: bytes | str, within: Path | None = None) -> None:
    """Write `data` in another place, flush it to the disk, then rename it to `path`.

    A reader sees the old file or the new one, never a part; two writers leave the later one's file. Text is
    written as UTF-8 with the newlines it has. A link is followed, unless it leads out of `within`. What is no
    ordinary file (a device, a pipe, a socket) is written to.

    Raises:
        InputError: the folder is missing or read-only, the disk is full, or `path` is a folder.
    """
    _change_one(Change(path, data), within)


def create_whole(path: Path, data: bytes | str, within: Path | None = None) -> None:
    """As `replace_whole`, for a file that must not be there yet.

    Raises:
        InputError: also where `path` exists, even if it came into being this moment.
    """
    _change_one(Change(path, data, None), within)


def replace_unchanged(path: Path, before: bytes, after: bytes, within: Path | None = None) -> None:
    """Replace a file that still holds what was read from it.

    Raises:
        ChangedMeanwhile: someone else has changed the file.
        InputError: as `replace_whole`; or someone else has taken the file away.
    """
    _change_one(Change(path, after, before), within)


def replace_together(files: Mapping[Path, bytes | str], within: Path | None = None) -> None:
    """Replace several files of a folder (that of the first, unless given): all, or, where it fails, none.

    Raises:
        InputError: see `change_together`.
    """
    folder = next(iter(files)).parent if within is None else within
    change_together([Change(path, data) for path, data in files.items()], folder)


def check_writable(path: Path, within: Path | None = None) -> None:
    """Whether `replace_whole` could write `path`, asked before the work for it begins.

    Raises:
        InputError: as `replace_whole`.
    """
    with _said(path):
        real = _real(path, within)
        if is_special(real):
            check_special(real)
        else:
            os.rmdir(tempfile.mkdtemp(prefix=STAGING, dir=real.parent))


def check_folder(folder: Path, names: Sequence[str] = ()) -> None:
    """Whether files of these names could be written into a folder, which need not be there yet; asked before
    the work for them begins.

    Raises:
        InputError: it cannot be made or written into, or one of them is a folder or a link out of it.
    """
    made = _make(folder)
    try:
        for name in names:
            with _said(folder / name):
                _real(folder / name, folder)
        with _said(folder):
            os.rmdir(_staging(folder))
    finally:
        _unmake(made)


def make_folder(path: Path, within: Path | None = None) -> None:
    """Make a folder and its parents; an existing one is left as it is.

    Raises:
        InputError: it cannot be made, a file of that name is in the way, or it leads out of `within`.
    """
    _make(path if within is None else inside(path, within))


def undo_stopped(folder: Path) -> None:
    """Put back what a run that was killed has left half done in a folder; what cannot be is left."""
    with contextlib.suppress(OSError, InputError):
        if next(_stagings(folder), None) is not None:
            with alone(folder) as held:
                if held:
                    _undo_all(folder)


def again_if_changed(work: Callable[[], T], seconds: float = 5.0) -> T:
    """Do `work`, which reads a file and replaces it by `replace_unchanged`, anew where another was faster.

    So two that change one file at once both take effect, and none waits for one that has gone.

    Raises:
        ChangedMeanwhile: others kept changing it for so many `seconds`.
    """
    last = time.monotonic() + seconds
    while True:
        try:
            return work()
        except ChangedMeanwhile:
            if time.monotonic() > last:
                raise


def _change_one(change: Change, within: Path | None) -> None:
    if within is not None:
        change_together([change], within)
        return
    with _said(change.path):
        real = _real(change.path, None)
        if is_special(real):
            pour(real, _raw(change.data))
            return
        if not real.parent.is_dir():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
    change_together([change], real.parent, follow=True)


def _real(path: Path, within: Path | None) -> Path:
    """The place to write to: the file, not a link to it."""
    if within is not None:
        real = inside(path, within)
    elif path.is_symlink() and not is_special(path):
        real = Path(os.path.realpath(path))
    else:
        real = path
    if real.is_dir():
        raise IsADirectoryError(errno.EISDIR, "it is a folder")
    return real


def _raw(data: bytes | str | None) -> bytes:
    return b"" if data is None else data.encode("utf-8") if isinstance(data, str) else data


@dataclass
class _Place:
    """One file being changed."""

    change: Change
    real: Path
    new: Path | None = None  # what it is to hold, written and flushed
    old: Path | None = None  # what it held

    @property
    def done(self) -> bool:
        """Whether it holds that now; asked of the disk, since an interrupt may come at any moment."""
        if self.new is None:
            return self.old is not None and not os.path.lexists(self.real)
        return not self.new.exists() or (self.real.exists() and self.new.samefile(self.real))


def _staging(root: Path) -> Path:
    """A new staging folder. Another may take away an empty folder that it made, and that was just found to
    be there: it is then made again."""
    for _ in range(_TRIES):
        try:
            return Path(tempfile.mkdtemp(prefix=STAGING, dir=os.path.realpath(root)))
        except FileNotFoundError:
            root.mkdir(parents=True, exist_ok=True)
    return Path(tempfile.mkdtemp(prefix=STAGING, dir=os.path.realpath(root)))


@dataclass
class _Work:
    """One change: its staging folder, and how far it has come."""

    root: Path
    follow: bool
    places: list[_Place] = field(default_factory=list)
    made: list[Path] = field(default_factory=list)

    def do(self, changes: Sequence[Change], folders: Sequence[Path]) -> None:
        staging = None
        whole = True
        named = changes[0].path if len(changes) == 1 else self.root
        try:
            with _said(named):
                staging = _staging(self.root)
            # first what others have written since: who meets that reads again and repeats the change
            for change in sorted(changes, key=lambda change: not isinstance(change.before, bytes)):
                with _said(change.path):
                    self._check(change)
            for change in changes:
                with _said(change.path):
                    self._stage(change, staging)
            for folder in (*folders, *(change.path.parent for change in changes)):
                if not self.follow:
                    inside(folder, self.root)
                self.made += _make(folder)
            with _said(named):
                if len(self.places) + len(self.made) > 1:
                    self._journal(staging)
            for place in self.places:
                with _said(place.change.path):
                    self._put(place)
            with _said(named):
                for folder in {place.real.parent for place in self.places}:
                    _flush(folder)
                (staging / _JOURNAL).unlink(missing_ok=True)  # from here on it is done
        except BaseException:
            whole = self._put_back()
            raise
        finally:
            if staging is not None and whole:
                shutil.rmtree(staging, ignore_errors=True)

    def _stage(self, change: Change, staging: Path) -> None:
        """Write what a file is to hold, and keep what it holds."""
        real = _real(change.path, None if self.follow else self.root)
        number = len(self.places)
        place = _Place(change, real)
        if is_special(real):
            check_special(real)
            self.places.append(place)
            return
        mode, status = 0o666 & ~_umask(), None
        if real.exists():
            place.old = staging / f"old-{number}"
            _keep(real, place.old)
            status = real.stat()
            mode = stat.S_IMODE(status.st_mode) & 0o777
        if change.data is not None:
            place.new = staging / f"new-{number}"
            with open(place.new, "wb") as stream:
                stream.write(_raw(change.data))
                stream.flush()
                os.fsync(stream.fileno())
            os.chmod(place.new, mode)
            _same_owner(place.new, status)
        self.places.append(place)

    def _check(self, change: Change) -> None:
        real = _real(change.path, None if self.follow else self.root)
        if change.before is None and os.path.lexists(real):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
        if isinstance(change.before, bytes) and read_bytes(change.path) != change.before:
            what = "has been changed by another program meanwhile"
            raise ChangedMeanwhile(
                Problem(str(change.path), None, what, "read it again and repeat the change")
            )

    def _journal(self, staging: Path) -> None:
        root = Path(os.path.realpath(self.root))
        files = [
            {
                "path": place.real.relative_to(root).as_posix(),
                "before": None if place.old is None else _digest(place.old),
                "after": None if place.new is None else _digest(place.new),
                "old": None if place.old is None else place.old.name,
            }
            for place in self.places
            if place.new is not None or place.old is not None
        ]
        folders = [Path(os.path.realpath(folder)).relative_to(root).as_posix() for folder in self.made]
        with open(staging / "journal", "w", encoding="utf-8") as stream:
            json.dump({"files": files, "folders": folders}, stream)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(staging / "journal", staging / _JOURNAL)
        _flush(staging)
        _flush(root)

    def _put(self, place: _Place) -> None:
        if place.new is None and place.old is None:
            if place.change.data is not None:
                pour(place.real, _raw(place.change.data))
            return
        if place.new is None:
            place.real.unlink()
        elif place.change.before is None:
            _link(place.new, place.real)
        else:
            os.replace(place.new, place.real)

    def _put_back(self) -> bool:
        """Undo what was done; False where that failed too, so that the next run has to."""
        whole = True
        for place in reversed(self.places):
            try:
                if place.done:
                    _back(place.real, place.old)
            except OSError:
                whole = False
        _unmake(self.made)
        return whole


def _back(real: Path, old: Path | None) -> None:
    if old is None:
        real.unlink(missing_ok=True)
    else:
        os.replace(old, real)


def _keep(real: Path, old: Path) -> None:
    """A second name for a file, or a copy where the file system has no such names."""
    try:
        os.link(real, old)
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.ENOTSUP, errno.ENOSYS, errno.EMLINK, errno.EXDEV):
            raise
        shutil.copy2(real, old)


def _link(new: Path, real: Path) -> None:
    """Give a written file its name, refusing one that exists, which a rename does not."""
    try:
        os.link(new, real)
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.ENOTSUP, errno.ENOSYS) or os.path.lexists(real):
            raise
        os.rename(new, real)  # a file system without links: there is no better way


def _same_owner(path: Path, status: os.stat_result | None) -> None:
    """A file that root replaces stays its owner's."""
    if status is not None and hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            mine = path.stat()
            if (mine.st_uid, mine.st_gid) != (status.st_uid, status.st_gid):
                os.chown(path, status.st_uid, status.st_gid)


def _flush(folder: Path) -> None:
    """See to it that a folder's new names are on the disk, where the system can."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except PermissionError:  # a folder may be written into and not read
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EBADF):
            raise
    finally:
        os.close(handle)


@contextlib.contextmanager
def _said(path: Path) -> Iterator[None]:
    """Turn what the system says into a problem of `path`."""
    try:
        yield
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        remedy = "choose a folder that is writable and has room"
        raise InputError(Problem(str(path), None, f"cannot be written: {reason}", remedy)) from error


def _make(path: Path) -> list[Path]:
    """Make a folder and its parents; those that were not there, the outermost first."""
    made: list[Path] = []
    try:
        for _ in range(_TRIES):  # another may make one this moment, or take away one that it made
            missing = [at for at in (path, *path.parents) if not os.path.lexists(at)]
            if not missing:
                break
            with contextlib.suppress(FileExistsError, FileNotFoundError):
                for folder in reversed(missing):
                    folder.mkdir()
                    made.append(folder)
        if not path.is_dir():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
    except (OSError, ValueError) as error:
        _unmake(made)
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise InputError(
            Problem(str(path), None, f"the folder cannot be made: {reason}", "choose another place")
        ) from error
    return made


def _unmake(made: Sequence[Path]) -> None:
    """Take away folders that were made, where nothing is in them."""
    for folder in reversed(made):
        with contextlib.suppress(OSError):
            folder.rmdir()


def _stagings(folder: Path) -> Iterator[Path]:
    """What changes have left in a folder: folders of our name with nothing in them but our files."""
    with os.scandir(folder) as entries:
        stagings = [Path(entry.path) for entry in entries if _STAGING.fullmatch(entry.name)]
    for staging in stagings:
        if staging.is_dir() and not staging.is_symlink():
            with contextlib.suppress(OSError), os.scandir(staging) as entries:
                inner = list(entries)
                if all(_STAGED.fullmatch(e.name) and e.is_file(follow_symlinks=False) for e in inner):
                    yield staging


def _clear_old(path: Path) -> None:
    """Take away what an earlier palette left beside a file; what cannot be is left."""
    prefix = f".{path.name}."[:100]
    with contextlib.suppress(OSError), os.scandir(path.parent) as entries:
        for entry in entries:
            if entry.name.startswith(prefix) and _OLD.fullmatch(entry.name[len(prefix) :]):
                status = entry.stat(follow_symlinks=False)
                ours = stat.S_ISREG(status.st_mode) and stat.S_IMODE(status.st_mode) == 0o600
                if ours and time.time() - status.st_mtime > _OLD_AFTER:
                    os.unlink(entry.path)


def _undo_all(folder: Path) -> None:
    """Undo every change to a folder that was stopped; the folder must be held."""
    with contextlib.suppress(OSError):
        for staging in _stagings(folder):
            with contextlib.suppress(OSError, ValueError, KeyError, TypeError, AttributeError, InputError):
                _undo(Path(os.path.realpath(folder)), staging)
            shutil.rmtree(staging, ignore_errors=True)


def _undo(root: Path, staging: Path) -> None:
    """Put back what a journal tells of, unless it was finished or somebody has changed a file of it since."""
    journal = staging / _JOURNAL
    if not journal.exists() or journal.stat().st_size > _LARGEST_JOURNAL:
        return
    told = json.loads(journal.read_text("utf-8"))
    files = []
    for one in told["files"]:
        real = inside(root / one["path"], root)
        old = None if one["old"] is None else staging / Path(one["old"]).name
        now = _digest(real) if os.path.lexists(real) else None
        if now not in (one["before"], one["after"]):
            return
        files.append((real, old, now == one["after"] != one["before"]))
    if all(after for _, _, after in files) and all((root / folder).is_dir() for folder in told["folders"]):
        return
    for real, old, after in reversed(files):
        if after:
            _back(real, old)
    _unmake([inside(root / folder, root) for folder in told["folders"]])
    for parent in {real.parent for real, _, _ in files}:
        with contextlib.suppress(FileNotFoundError):
            _flush(parent)


def _digest(path: Path) -> str:
    with open(path, "rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
