"""Go on trying random input: `python -m tests.faults --minutes 30`.

Every target of `targets/` is tried in turn with new seeds, each in a process of its own that is stopped
where an input takes too long or too much memory. What is found is printed with the command that tries it
again.
"""

from __future__ import annotations

import argparse
import faulthandler
import multiprocessing
import os
import random
import sys
import time
import traceback
from multiprocessing.connection import Connection
from pathlib import Path
from unittest import mock

from tests.faults.registry import LARGEST, SLOWEST, Target, target, targets

_BATCH = 200  # inputs that one process tries before a new one begins


def main(words: list[str] | None = None) -> int:
    """Try until the time is up; returns how many faults were found."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--minutes", type=float, default=5.0, help="how long to go on (default 5)")
    parser.add_argument("--only", action="append", metavar="NAME", help="only this target; repeatable")
    parser.add_argument("--seed", type=int, help="try this one seed of the target named by --only, here")
    parser.add_argument("--most", type=int, default=3, help="faults of one kind to print (default 3)")
    given = parser.parse_args(words)
    known = [path.stem for path in (Path(__file__).parent / "targets").glob("*.py")]
    if unknown := set(given.only or ()) - set(known):
        parser.error(f"there is no target {', '.join(sorted(unknown))}; there are {', '.join(sorted(known))}")
    chosen = [target(name) for name in given.only or targets()]
    with mock.patch.dict(os.environ, PALETTE_CACHE=""):
        if given.seed is None:
            return _go_on(chosen, time.monotonic() + 60 * given.minutes, given.most)
        for one in chosen:
            one.try_one(given.seed)
            print(f"{one.name}: nothing wrong with seed {given.seed}")
        return 0


def _go_on(chosen: list[Target], end: float, most: int) -> int:
    start = random.SystemRandom().randrange(1 << 40)  # other inputs every time
    tried = dict.fromkeys((one.name for one in chosen), 0)
    kinds: dict[tuple[str, str], int] = {}
    turn = max(5.0, (end - time.monotonic()) / len(chosen) / 4)  # four rounds, so that each gets its time
    while time.monotonic() < end:
        for one in chosen:
            until = min(end, time.monotonic() + turn)
            while time.monotonic() < until:
                count, fault = _batch(one, start + tried[one.name], until)
                tried[one.name] += count
                if fault is not None:
                    seed, what = fault
                    kind = (one.name, what.strip().splitlines()[-1][:60])
                    kinds[kind] = kinds.get(kind, 0) + 1
                    if kinds[kind] <= most:
                        print(f"\n{one.name}: {what.rstrip()}")
                        print(f"again: python -m tests.faults --only {one.name} --seed {seed}", flush=True)
            if time.monotonic() >= end:
                break
    print("\ntarget            inputs  faults")
    for name, count in tried.items():
        print(f"{name:16} {count:7}  {sum(n for (which, _), n in kinds.items() if which == name):6}")
    for (name, what), count in sorted(kinds.items()):
        print(f"{name}: {count} × {what}")
    return sum(kinds.values())


def _batch(one: Target, first: int, until: float) -> tuple[int, tuple[int, str] | None]:
    """Try seeds from `first` on in a new process: how many were tried, and the fault that ended it."""
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_work, args=(one.name, first, until, theirs), daemon=True)
    process.start()
    theirs.close()
    seed, begun, fault = first, time.monotonic() + 90, None  # it has that long to import
    try:
        while True:
            if not ours.poll(max(0.0, begun + 2 * SLOWEST - time.monotonic())):
                fault = (seed, f"no end after {2 * SLOWEST:.0f} s")
                break
            what, value = ours.recv()
            if what == "begin":
                seed, begun = value, time.monotonic()
            elif what == "fault":
                fault = (seed, value)
                break
            else:
                return seed - first + 1, None
    except EOFError:
        process.join(5)
        fault = (seed, f"the process died (exit code {process.exitcode})")
    finally:
        process.kill()
        process.join()
        ours.close()
    return seed - first + 1, fault


def _work(name: str, first: int, until: float, to: Connection) -> None:
    """One process: try seeds in turn, saying which before each."""
    sys.stderr = open(os.devnull, "w")  # noqa: SIM115 - what libraries say of broken files
    faulthandler.disable()
    tried = target(name)
    begun_with = _memory()
    for seed in range(first, first + _BATCH):
        if seed > first and time.monotonic() > until:
            break
        to.send(("begin", seed))
        begun = time.monotonic()
        try:
            tried.try_one(seed)
        except BaseException:
            to.send(("fault", traceback.format_exc(limit=-3)))
            return
        if (took := time.monotonic() - begun) > SLOWEST * (
            2 if seed == first else 1
        ):  # the first one imports
            to.send(("fault", f"took {took:.0f} s"))
            return
        if (more := _memory() - begun_with) > LARGEST:
            to.send(("fault", f"took {more >> 20} MB"))
            return
    to.send(("done", None))


def _memory() -> int:
    """The most memory this process has had, in bytes; 0 where the system does not say."""
    try:
        import resource
    except ImportError:
        return 0
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most if sys.platform == "darwin" else most * 1024
