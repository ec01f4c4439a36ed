"""What was computed in this process, kept by content: ask again with the same values, get the same answer.

Unlike `palette.cache`, which outlives the process and needs keys that say everything, this looks into the
arguments themselves: numbers, texts, arrays, and dataclasses of these. So only what a change really changes
is computed anew. Answers are shared: nobody may change one.
"""

from __future__ import annotations

import struct
import sys
import threading
import weakref
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import wraps
from hashlib import blake2b
from pathlib import Path
from types import FunctionType
from typing import Any, ParamSpec, TypeVar

import numpy as np

from palette import cache

P = ParamSpec("P")
R = TypeVar("R")

MOST_ENTRIES = 20_000
MOST_BYTES = 192 << 20
_LARGE = 4096  # bytes of an array from which its digest is kept as long as the array lives
_UNSEEN = ("line", "lines")  # where something stands in a file is no part of what it says
_SIZE = 20
_WEIGHED = 64  # items of a list of which the weight is looked at


class Memory:
    """Answers by the digest of what was asked, the latest ones up to a number of entries and of bytes."""

    def __init__(self) -> None:
        self._kept: OrderedDict[bytes, tuple[Any, int, int]] = OrderedDict()  # value, bytes, turn
        self._bytes = 0
        self._turn = 0
        self._lock = threading.Lock()
        self.asked = self.missed = 0
        self.before: Callable[[], None] | None = None  # called before something is computed; may raise

    def recall(self, key: bytes) -> Any:
        """The answer, or `cache.MISSING`."""
        with self._lock:
            self.asked += 1
            if key not in self._kept:
                self.missed += 1
                return cache.MISSING
            value, size, _ = self._kept.pop(key)
            self._kept[key] = (value, size, self._turn)  # now the latest
            return value

    def keep(self, key: bytes, value: Any) -> None:
        """Keep an answer; those not asked for longest go."""
        size = _weight(value, 6, set())
        with self._lock:
            if key in self._kept:
                return
            self._kept[key] = (value, size, self._turn)
            self._bytes += size
            while len(self._kept) > MOST_ENTRIES or (self._bytes > MOST_BYTES and len(self._kept) > 1):
                self._forget_oldest()

    def turn(self) -> None:
        """Go on to the next of many items: what neither this one nor the next asks for is forgotten.

        So what items share stays, and the memory of a process does not grow with their number.
        """
        with self._lock:
            while self._kept and next(iter(self._kept.values()))[2] < self._turn:
                self._forget_oldest()
            self._turn += 1

    def _forget_oldest(self) -> None:
        _, (_, size, _) = self._kept.popitem(last=False)
        self._bytes -= size

    def clear(self) -> None:
        """Forget all."""
        with self._lock:
            self._kept.clear()
            self._bytes = 0


MEMORY = Memory()


def remembered(
    kept: bool = False, worth: Callable[[Any], bool] = lambda value: True
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Let a function of plain values that computes nothing else remember its answers.

    `kept` keeps those that are `worth` it in `palette.cache` as well, for the next process.
    """

    def wrap(compute: Callable[P, R]) -> Callable[P, R]:
        name = f"{compute.__module__}.{compute.__qualname__}"

        @wraps(compute)
        def answer(*args: P.args, **named: P.kwargs) -> R:
            key = digest(name, args, named)
            known = MEMORY.recall(key)
            value: R
            if known is not cache.MISSING:
                value = known
                return value
            if MEMORY.before is not None:
                MEMORY.before()
            if kept:
                value = cache.remember(cache.key("memory", key.hex()), lambda: compute(*args, **named), worth)
            else:
                value = compute(*args, **named)
            MEMORY.keep(key, value)
            return value

        return answer

    return wrap


def recall(key: str) -> Any:
    """What is kept under a key of `palette.cache`, here or there; `cache.MISSING` where nothing is."""
    own = key.encode()
    known = MEMORY.recall(own)
    if known is cache.MISSING:
        known = cache.recall(key)
        if known is not cache.MISSING:
            MEMORY.keep(own, known)
    return known


def keep(key: str, value: Any) -> None:
    """Keep a value under a key of `palette.cache`, here and there."""
    MEMORY.keep(key.encode(), value)
    cache.keep(key, value)


def digest(*values: Any) -> bytes:
    """A digest of plain values; equal for values that say the same.

    Raises:
        TypeError: something is neither plain nor a dataclass.
    """
    state = blake2b(digest_size=_SIZE)
    for value in values:
        _feed(state.update, value)
    return state.digest()


def _feed(add: Callable[[bytes], None], value: Any) -> None:
    if value is None or value is True or value is False:
        add(b"n" if value is None else b"t" if value else b"f")
    elif isinstance(value, str):
        raw = value.encode("utf-8", "surrogatepass")
        add(b"s%d:" % len(raw) + raw)
    elif isinstance(value, bytes):
        add(b"b%d:" % len(value) + value)
    elif isinstance(value, (int, np.integer)) and not isinstance(value, Enum):
        add(b"i%d;" % value)
    elif isinstance(value, (float, np.floating)):
        add(b"d" + struct.pack("<d", value))
    elif isinstance(value, np.ndarray):
        add(_array(value))
    elif isinstance(value, (tuple, list)):
        add(b"(%d:" % len(value))
        for item in value:
            _feed(add, item)
    elif isinstance(value, Mapping):
        add(b"{%d:" % len(value))
        for key, item in value.items():  # in their order, which may tell
            _feed(add, key)
            _feed(add, item)
    elif isinstance(value, (set, frozenset)):
        add(b"<%d:" % len(value))
        for one in sorted(digest(item) for item in value):
            add(one)
    elif isinstance(value, (slice, range)):
        add(repr(value).encode())
    elif isinstance(value, Path):
        _feed(add, str(value))
    elif hasattr(value, "__content__"):
        _feed(add, value.__content__())
    elif is_dataclass(value) and not isinstance(value, type):
        add(_record(value))
    elif isinstance(value, (FunctionType, type)):
        _feed(add, f"{value.__module__}.{value.__qualname__}")
    elif isinstance(value, Enum):
        _feed(add, repr(value))
    else:
        raise TypeError(f"{type(value).__name__} is nothing plain")


def _record(value: Any) -> bytes:
    """The digest of a dataclass, kept in it where it is frozen: what is in it does not change then."""
    frozen = type(value).__dataclass_params__.frozen and hasattr(value, "__dict__")
    if frozen and "_content" in value.__dict__:
        own: bytes = value.__dict__["_content"]
        return own
    state = blake2b(digest_size=_SIZE)
    _feed(state.update, f"{type(value).__module__}.{type(value).__qualname__}")
    for field in fields(value):
        if field.name not in _UNSEEN:
            _feed(state.update, getattr(value, field.name))
    content = b"r" + state.digest()
    if frozen:
        value.__dict__["_content"] = content
    return content


_arrays: dict[int, tuple[weakref.ref[np.ndarray], bytes]] = {}


def _array(value: np.ndarray) -> bytes:
    """The digest of an array; of a large one it is kept, and the array closed to changes."""
    if value.dtype.hasobject:
        raise TypeError("an array of objects is nothing plain")
    known = _arrays.get(id(value))
    if known is not None and known[0]() is value:
        return known[1]
    state = blake2b(digest_size=_SIZE)
    state.update(f"a{value.dtype.str}{value.shape}".encode())
    state.update(np.ascontiguousarray(value).data if value.size else b"")
    own = state.digest()
    if value.nbytes >= _LARGE and type(value) is np.ndarray and value.base is None:
        value.flags.writeable = False
        name = id(value)
        _arrays[name] = (weakref.ref(value, lambda _: _arrays.pop(name, None)), own)
    return own


def _weight(value: Any, depth: int, seen: set[int]) -> int:
    """About how many bytes an answer takes; what stands in it twice is counted once."""
    if isinstance(value, np.ndarray):
        held = value if value.base is None else value.base
        if id(held) in seen:
            return 100
        seen.add(id(held))
        return int(getattr(held, "nbytes", value.nbytes)) + 100
    if depth and isinstance(value, (tuple, list)):
        some = value[:: len(value) // _WEIGHED + 1]  # a long list's are much alike
        return 56 + sum(_weight(item, depth - 1, seen) for item in some) * len(value) // max(1, len(some))
    if depth and isinstance(value, Mapping):
        return 64 + sum(_weight(item, depth - 1, seen) for item in value.values())
    if depth and is_dataclass(value):
        return 56 + sum(_weight(getattr(value, field.name), depth - 1, seen) for field in fields(value))
    return sys.getsizeof(value, 64)
