"""What every format shares: limits, and what decoders raise turned into one plain problem."""

from __future__ import annotations

import contextlib
import os
import threading
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.errors import InputError, Problem

MOST_PIXELS = 178_956_970  # Pillow's own limit: a larger file is more likely a trap, or a slip
ORIENTATION = 0x0112  # TIFF 6.0 and Exif
_MOST_PLAIN = 64_000_000  # pixels of a picture that its file says nearly nothing of
_SCALE = f"scale it down to {MOST_PIXELS // 1_000_000} megapixels or fewer"


def problem(path: Path, what: str, remedy: str) -> InputError:
    return InputError(Problem(str(path), None, what, remedy))


@contextlib.contextmanager
def reading(path: Path) -> Iterator[None]:
    """Turn what the decoders raise at a damaged file into one plain problem."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except (InputError, ImportError):  # a library that is not installed is no fault of the picture's
        raise
    except MemoryError as error:
        raise problem(path, "there is not memory enough for it", "scale it down") from error
    except Exception as error:  # decoders raise nearly anything at a damaged file
        raise problem(
            path,
            "the picture is damaged or cut off",
            "copy it again from where it came, or open it in an editor and save it anew",
        ) from error


_REDIRECTED = threading.Lock()


@contextlib.contextmanager
def silent() -> Iterator[None]:
    """Within this, what a library in C has to say of a picture does not reach the terminal."""
    with _REDIRECTED, contextlib.ExitStack() as after:
        with contextlib.suppress(OSError):  # standard error is closed
            kept = os.dup(2)
            after.callback(os.close, kept)
            nowhere = os.open(os.devnull, os.O_WRONLY)
            after.callback(os.close, nowhere)
            os.dup2(nowhere, 2)
            after.callback(os.dup2, kept, 2)
        yield


def check_size(path: Path, width: int, height: int, pixel: float = 3) -> None:
    """A problem where a picture has no pixels or more than fit; `pixel` is how many bytes one decodes to.

    A small file that says it is a huge picture is one plain colour, or made to take all the memory.
    """
    if width < 1 or height < 1:
        raise problem(path, "the picture has no pixels", "use another file")
    if width * height > MOST_PIXELS:
        raise problem(
            path,
            f"the picture is too large ({width:,} × {height:,} pixels)",
            _SCALE,
        )
    size = path.stat().st_size
    if width * height > _MOST_PLAIN + 40 * size or width * height * pixel > 4 * _MOST_PLAIN + 128 * size:
        what = (
            f"it says that it is {width:,} × {height:,} pixels, in {size:,} bytes: that is one plain colour"
        )
        raise problem(path, what, "crop it, or scale it down")


def one_of_many(path: Path, count: int | None) -> InputError:
    several = f"{count} pictures" if count else "several pictures"
    return problem(path, f"the file holds {several}", "save the one you mean as a file of its own")


def to_full_range(array: NDArray[Any], bits: int) -> NDArray[Any]:
    """Levels of an odd number of bits as 8 or 16 bits from end to end."""
    if bits in (8, 16):
        return array
    if bits < 8:
        return np.asarray(array.astype(np.uint16) * 255 // (2**bits - 1), dtype=np.uint8)
    top = 2**bits - 1
    return np.asarray((array.astype(np.uint32) * 65535 + top // 2) // top, dtype=np.uint16)
