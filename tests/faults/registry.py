"""What is tried with random input: one module a target, in `targets/`.

A target is `targets/NAME.py` with

    TRIES = 20                      # seeds in the normal run; keep them under 2 s together
    SEEDS = (1234,)                 # optional: seeds that once found a fault, tried in every run
    def check(rng: random.Random, folder: Path) -> None:
        '''What is tried, and what must hold.'''

`check` makes one input from `rng`, tries it in the empty `folder`, and raises where what is promised does
not hold. Everything random comes from `rng`, so a seed is a whole report of a fault. `text` and `mutated`
help to make inputs, `answered` runs a command on one.
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

from click.testing import CliRunner, Result

SLOWEST = 10.0  # seconds that one input under 1 MB may take
LARGEST = 1 << 30  # bytes of memory that one input under 1 MB may take beyond what the process began with


@dataclass(frozen=True)
class Target:
    """One kind of input that is tried."""

    name: str
    check: Callable[[random.Random, Path], None]
    tries: int
    seeds: tuple[int, ...]

    def try_one(self, seed: int) -> None:
        """Make the input of a seed and try it; raises where what is promised does not hold."""
        with tempfile.TemporaryDirectory() as folder:
            self.check(random.Random(f"{self.name} {seed}"), Path(folder))


def targets() -> dict[str, Target]:
    """Every target, by name."""
    names = sorted(path.stem for path in (Path(__file__).parent / "targets").glob("[!_]*.py"))
    return {name: target(name) for name in names}


def target(name: str) -> Target:
    """The target of a name; those with a leading _ are no part of `targets`."""
    module = import_module(f"tests.faults.targets.{name}")
    return Target(name, module.check, module.TRIES, getattr(module, "SEEDS", ()))


def answered(arguments: Sequence[str | Path], statuses: Sequence[int] = (0, 1), **options: object) -> Result:
    """Run a command in this process; whatever the input, it answers as the commands promise.

    That is: one of the `statuses`; with 1 at least one line `error: …` and nothing else that looks like a
    crash; no fault of palette's own, no warning of Python's.
    """
    from palette.commands import group

    done = CliRunner().invoke(group, [str(word) for word in arguments], **options)  # type: ignore[arg-type]
    said = done.stderr
    assert done.exit_code in statuses, f"status {done.exit_code}: {said}"
    assert "a fault in palette itself" not in said and "Traceback" not in said, said
    assert "Warning:" not in said, said
    assert not any(ord(c) < 32 and c != "\n" for c in said), f"control characters: {said!r}"
    if done.exit_code == 1:
        assert any(line.startswith("error: ") for line in said.splitlines()), f"no reason is given: {said!r}"
    return done


def mutated(raw: bytes, rng: random.Random, most: int = 8) -> bytes:
    """Bytes changed in up to `most` of the ways in which files go wrong or are made to."""
    data = bytearray(raw)
    for _ in range(rng.randint(1, most)):
        if not data:
            break
        at = rng.randrange(len(data))
        end = min(len(data), at + rng.choice((1, 2, 4, 16, 256, 4096)))
        way = rng.randrange(8)
        if way == 0:  # one bit
            data[at] ^= 1 << rng.randrange(8)
        elif way == 1:  # one byte, often one at an edge
            data[at] = rng.choice((0, 1, 0x7F, 0x80, 0xFE, 0xFF, rng.randrange(256)))
        elif way == 2:  # cut off
            del data[at:]
        elif way == 3:  # a piece missing
            del data[at:end]
        elif way == 4:  # a piece of zeros
            data[at:end] = bytes(end - at)
        elif way == 5:  # a piece twice
            data[at:at] = data[at:end]
        elif way == 6:  # a number of two or four bytes
            size = rng.choice((2, 4))
            value = rng.choice((0, 1, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF)) & (1 << 8 * size) - 1
            data[at : at + size] = value.to_bytes(size, rng.choice(("little", "big")))  # type: ignore[arg-type]
        else:  # something inserted
            data[at:at] = rng.randbytes(rng.choice((1, 3, 17)))
    return bytes(data)


_HARD = (
    '"', '""', "'", ",", ";", "\t", "\n", "\r", "\r\n", "#", "=", "[", "]", "{", "}", "\\", "\0", "\x1b[31m",
    "\u202e", "\ufeff", "\u2028", "é", "𝄞", "-", "--", "0", "-0", "1e999", "nan", "inf", "9" * 40, "0x10",
    "1,5", "../", "/", "%s", "<script>", "", " ",
)  # fmt: skip


def text(rng: random.Random, most: int = 12) -> str:
    """A text of ordinary letters and of what upsets readers of text."""
    letters = "abc XYZ 6"
    return "".join(
        rng.choice(_HARD) if rng.random() < 0.3 else rng.choice(letters) for _ in range(rng.randrange(most))
    )
