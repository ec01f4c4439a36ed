"""Long computations beside the pages: one at a time, their last answer kept until its key changes."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from palette.errors import InputError

T = TypeVar("T")
Tell = Callable[[int, int], None]  # done, of how many

PATIENCE = 1.0  # seconds a page waits before it says that there is work going on


class Working(Exception):
    """An answer is not there yet; `done` of `total` steps are, where the work counts them."""

    def __init__(self, label: str, done: int, total: int) -> None:
        super().__init__(label)
        self.label, self.done, self.total = label, done, total


class _Dropped(Exception):
    """Nobody waits for this answer any more."""


class _Task:
    def __init__(self, key: Hashable) -> None:
        self.key = key
        self.finished = threading.Event()
        self.progress = (0, 0)
        self.value: Any = None
        self.error: Exception | None = None


class Works:
    """The computations of one kit, by name."""

    def __init__(self) -> None:
        self._tasks: dict[str, _Task] = {}
        self._lock = threading.Lock()
        self._turn = threading.Lock()  # two at once would only make both late

    def ask(
        self,
        name: str,
        key: Hashable,
        compute: Callable[[Tell], T],
        label: str,
        patience: float | None = None,
    ) -> T:
        """The value of `compute` for this key, computed once.

        Raises:
            Working: it takes longer than `patience` seconds (by default `PATIENCE`); ask again later.
            Exception: what `compute` raised.
        """
        with self._lock:
            task = self._tasks.get(name)
            if task is None or task.key != key:
                task = self._tasks[name] = _Task(key)
                # A daemon: closing the desk does not wait for what nobody will see.
                threading.Thread(target=self._run, args=(name, task, compute), daemon=True).start()
        if not task.finished.wait(PATIENCE if patience is None else patience):
            raise Working(label, *task.progress)
        if isinstance(task.error, _Dropped):
            raise Working(label, 0, 0)  # another page has asked for something newer
        if task.error is not None:
            if not isinstance(task.error, InputError):
                self.forget(name)  # what the files do not explain may pass
            raise task.error.with_traceback(None)
        value: T = task.value
        return value

    def forget(self, name: str) -> None:
        """Compute anew when next asked, whatever the key."""
        with self._lock:
            self._tasks.pop(name, None)

    def _run(self, name: str, task: _Task, compute: Callable[[Tell], Any]) -> None:
        def tell(done: int, total: int) -> None:
            if self._tasks.get(name) is not task:
                raise _Dropped
            task.progress = (done, total)

        with self._turn:
            try:
                if self._tasks.get(name) is task:  # else the kit has changed meanwhile
                    task.value = compute(tell)
            except Exception as error:
                task.error = error
        task.finished.set()
