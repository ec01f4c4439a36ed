"""What reading pictures costs, as ratios to a rival in the same run: `python -m tests.benchmarks.pictures`.

The rival for speed is Pillow decoding the same 24-megapixel JPEG; for memory, the decoded picture. Times are
the processor's, the best of three. The picture is scikit-learn's china.jpg, enlarged, with grain.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does

import numpy as np
from PIL import Image

from palette.evidence.measure import sample
from palette.evidence.pictures.decode import open_picture
from palette.kit.model import Rect


def large(path: Path, width: int = 6000, height: int = 4000) -> None:
    """A JPEG of 24 megapixels with natural content and grain."""
    from sklearn.datasets import load_sample_image

    image = Image.fromarray(load_sample_image("china.jpg")).resize((width, height), Image.Resampling.LANCZOS)
    grain = np.random.default_rng(0).normal(0, 4, (height, width, 1)).astype(np.int16)
    levels = np.clip(np.asarray(image, dtype=np.int16) + grain, 0, 255).astype(np.uint8)
    Image.fromarray(levels).save(path, quality=90)


def cost(work: Callable[[], object], times: int = 3) -> float:
    best = np.inf
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return float(best)


def regions(size: tuple[int, int]) -> list[Rect]:
    rng = np.random.default_rng(1)
    return [
        Rect(float(x), float(y), *size)
        for x, y in zip(*rng.uniform(0, [[5600], [3700]], (2, 20)), strict=True)
    ]


def sampled(path: Path, marks: list[Rect]) -> list[object]:
    picture = open_picture(path)
    return [sample(picture, mark) for mark in marks]


def asked(path: Path, marks: list[Rect]) -> object:
    """As a kit's reference is read: is it a colour picture, does each region lie inside it."""
    from palette.evidence.measure.batch import Job, sample_all

    os.environ["PALETTE_CACHE"] = ""
    return sample_all([Job(path, tuple(marks), "photograph", False)])


def corrected(path: Path, marks: list[Rect]) -> object:
    """Six of the regions as anchors, all of them corrected."""
    from palette.colour.spaces import linear_to_lab
    from palette.evidence.correction import AnchorReading, fit

    samples = sampled(path, marks)
    anchors = [
        AnchorReading(
            name=f"anchor {i}",
            linear=s.linear,
            covariance=s.covariance,
            lab=linear_to_lab(s.linear),
            lab_covariance=None,
            spread=1.0,
            centre=(s.centre[0] / 6000, s.centre[1] / 4000),
            clipped=s.clipped,
        )
        for i, s in enumerate(samples[:6])
    ]
    linear, noise = np.array([s.linear for s in samples]), np.array([s.covariance for s in samples])
    return fit(anchors).apply(linear, noise)


_PEAK = """
import sys
from pathlib import Path
import imagecodecs
from PIL import Image
from palette.evidence.pictures.decode import open_picture

def peak():
    # of this process alone; getrusage would count its parent's
    lines = Path("/proc/self/status").read_text().splitlines()
    return 1024 * int(next(line.split()[1] for line in lines if line.startswith("VmHWM")))

base = peak()
picture = open_picture(Path(sys.argv[1]))
{work}
print(peak() - base)
"""


def peak(path: Path, work: str) -> float:
    """Bytes that a fresh process needs beyond its start."""
    done = subprocess.run(
        [sys.executable, "-c", _PEAK.format(work=work), str(path)], capture_output=True, text=True, check=True
    )
    return float(done.stdout)


def many(folder: Path, count: int) -> None:
    """How much longer a second look at many references takes than the first."""
    from palette.evidence.measure.batch import Job, sample_all

    small = folder / "small.jpg"
    large(small, 3000, 2000)
    raw = small.read_bytes()
    jobs = []
    for i in range(count):
        path = folder / f"{i}.jpg"
        path.write_bytes(raw + b"%d" % i)  # another content, the same picture
        jobs.append(Job(path, (Rect(100, 100, 120, 80),) * 5, "photograph", True))
    os.environ["PALETTE_CACHE"] = str(folder / "kept")
    walls = []
    for _ in range(2):
        start = time.perf_counter()
        sample_all(jobs)
        walls.append(time.perf_counter() - start)
    os.environ["PALETTE_CACHE"] = ""
    start = time.perf_counter()
    for job in jobs[:20]:
        with Image.open(job.path) as image:
            image.load()
    alone = (time.perf_counter() - start) / 20 * count
    print(f"{count} references of 6 megapixels, five samples each, {os.cpu_count()} cores:")
    print(
        f"  first look: {walls[0] / alone:.2f} times what one process needs just to decode them with Pillow"
    )
    print(f"  second look: {walls[1] / walls[0]:.3f} of the first")


def main(count: int = 200) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = folder / "large.jpg"
        large(path)
        decoding = cost(lambda: Image.open(path).load())
        print("24-megapixel JPEG, against Pillow's decoding of it:")
        for words, work in (
            ("decoded, one small box in linear light", lambda: open_picture(path).linear((0, 0, 64, 64))),
            ("20 regions of 120 × 80 sampled", lambda: sampled(path, regions((120, 80)))),
            ("20 regions of 300 × 200 sampled", lambda: sampled(path, regions((300, 200)))),
            ("20 regions of 120 × 80 sampled and corrected", lambda: corrected(path, regions((120, 80)))),
            ("20 regions of 300 × 200 sampled and corrected", lambda: corrected(path, regions((300, 200)))),
            ("a reference of 20 regions of 120 × 80, not cached", lambda: asked(path, regions((120, 80)))),
            ("a reduced copy of 65,536 pixels", lambda: open_picture(path).reduced(1 << 16)),
        ):
            print(f"  {words}: {cost(work) / decoding:.2f}")
        decoded = 6000 * 4000 * 3
        print("memory beyond the start, against the decoded picture:")
        for words, code in (
            ("one box", "picture.linear((0, 0, 64, 64))"),
            ("a reduced copy", "picture.reduced(1 << 16)"),
        ):
            print(f"  {words}: {peak(path, code) / decoded:.2f}")
        many(folder, count)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
