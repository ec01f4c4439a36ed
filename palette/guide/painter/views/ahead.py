"""The rays of a model, cast in a process of their own while colours and paints are looked for: Embree lets no
other Python run meanwhile. What they hit is left in the cache, where `meshes.draw` finds it.

    python -m palette.guide.painter.views.ahead < [[[MESH, MILLIMETRES], …]]
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import parent_process
from pathlib import Path

from palette import cache
from palette.kit.model import Kit
from palette.paints.mesh import UNITS


@contextmanager
def casting(kit: Kit) -> Iterator[Callable[[], None]]:
    """Begins to cast the rays of a kit's model, where that is worth a process; what is yielded waits until it
    is done. Whatever goes wrong there goes wrong again where the model is drawn, and is said there."""
    parts = [(part.mesh, UNITS[part.mesh_unit or "mm"]) for part in kit.parts if part.mesh is not None]
    done = _mark(parts) if _worth(kit, len(parts)) else None
    if done is None or cache.recall(done) is not cache.MISSING:
        yield lambda: None
        return
    home = str(Path(__file__).parents[4])
    path = os.pathsep.join([home, *filter(None, [os.environ.get("PYTHONPATH")])])
    process = subprocess.Popen(
        [sys.executable, "-m", "palette.guide.painter.views.ahead"],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": path, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"},
    )

    def wait() -> None:
        if process.wait() == 0:
            cache.keep(done, True)

    try:
        assert process.stdin is not None
        with process.stdin as told:
            told.write(json.dumps([(str(path), unit) for path, unit in parts]).encode())
        yield wait
    finally:
        if process.poll() is None:
            process.kill()
        process.wait()


def _worth(kit: Kit, meshes: int) -> bool:
    """Whether the model will be drawn, what is cast is kept, and there is a processor left."""
    from palette.guide.painter.views import solid

    alone = parent_process() is None  # where kits are built side by side, no processor is
    drawn = 2 * meshes > len(kit.parts) and solid.available()
    return alone and drawn and cache.folder() is not None and (os.cpu_count() or 1) > 1


def _mark(parts: Sequence[tuple[Path, float]]) -> str | None:
    """The key under which it is kept that a model's rays have been cast; None where a mesh cannot be read."""
    read = [cache.content_if_readable(path) for path, _ in parts]
    if None in read:
        return None
    return cache.key("cast ahead", read, [unit for _, unit in parts], cache.code("guide/painter/views"))


def main() -> None:
    from palette.guide.painter.views import meshes

    told = json.load(sys.stdin)
    meshes.cast([Path(path) for path, _ in told], [unit for _, unit in told])


if __name__ == "__main__":
    main()
