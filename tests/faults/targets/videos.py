"""Videos, damaged."""

from __future__ import annotations

import random
import tempfile
from fractions import Fraction
from functools import cache
from pathlib import Path

import av
import numpy as np

from tests.faults.budget import cpu_seconds
from tests.faults.registry import answered, mutated

TRIES = 8
_FORMS = (("a.mkv", "ffv1", "yuv420p"), ("a.avi", "mjpeg", "yuvj420p"), ("a.mp4", "libx264", "yuv420p"))


@cache
def _whole(name: str, codec: str, kind: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / name
        with av.open(str(path), "w") as container:
            container.metadata["title"] = "a film"
            stream = container.add_stream(codec, rate=25)
            stream.width, stream.height, stream.pix_fmt = 64, 48, kind
            for i in range(6):
                levels = np.random.default_rng(i).integers(40, 200, (72, 64)).astype(np.uint8)
                frame = av.VideoFrame.from_ndarray(levels, format=kind)
                frame.pts, frame.time_base = i, Fraction(1, 25)
                container.mux(stream.encode(frame))
            container.mux(stream.encode())
        return path.read_bytes()


def check(rng: random.Random, folder: Path) -> None:
    """A damaged video gives a frame, or is refused in one line and leaves no picture behind."""
    name, codec, kind = rng.choice(_FORMS)
    (folder / "kit.toml").write_text('schema = 1\n[kit]\ntitle = "x"\n')
    path = folder / name
    path.write_bytes(mutated(_whole(name, codec, kind), rng, 4))
    with cpu_seconds(10):
        done = answered(
            ["frames", path, "--into", folder, "--at", rng.choice(("0:00:00.04", "0", "9:00:00"))]
        )
    if done.exit_code:
        assert not list(folder.glob("references/*.png"))
