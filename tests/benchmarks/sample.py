"""`palette sample` of a 24-megapixel JPEG beside Pillow's decoding of it: python -m tests.benchmarks.sample

Processor time less the start-up (the same command on a tiny picture); the largest resident memory likewise,
against the decoded picture's.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image
from sklearn.datasets import load_sample_image

from tests.benchmarks.processes import as_installed

_CHILD = (
    "import json, re, sys, time; start = time.process_time(); exec(sys.argv[1]); "
    # the kernel's high-water mark of this program alone (Linux); getrusage would count the parent's too
    "peak = int(re.search(r'VmHWM:\\s*(\\d+)', open('/proc/self/status').read())[1]); "
    "print(json.dumps([time.process_time() - start, peak]))"
)


def _measure(code: str) -> tuple[float, float]:
    """Seconds of the processor and megabytes of code in a process of its own, the best of three."""
    runs = []
    for _ in range(3):
        done = subprocess.run(
            [sys.executable, "-c", _CHILD, code],
            check=True,
            capture_output=True,
            text=True,
            env=as_installed(),
        )
        seconds, kilobytes = json.loads(done.stdout.splitlines()[-1])
        runs.append((seconds, kilobytes / 1024))
    return min(r[0] for r in runs), min(r[1] for r in runs)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        large, tiny = Path(folder, "large.jpg"), Path(folder, "tiny.jpg")
        photograph = Image.fromarray(load_sample_image("china.jpg"))
        grain = np.random.default_rng(0).normal(0, 4, (4000, 6000, 1))
        pixels = np.asarray(photograph.resize((6000, 4000), Image.Resampling.BICUBIC)) + grain
        Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8)).save(large, quality=92)
        photograph.resize((48, 32)).save(tiny)
        command = "from palette.commands import group; group.main(['sample', {!r}], standalone_mode=False)"
        decode = "from PIL import Image; Image.open({!r}).load()"
        ours, start = _measure(command.format(str(large))), _measure(command.format(str(tiny)))
        pillow, bare = _measure(decode.format(str(large))), _measure(decode.format(str(tiny)))
    time_ratio = (ours[0] - start[0]) / (pillow[0] - bare[0])
    print(
        f"Pillow decodes in {pillow[0] - bare[0]:.2f} s; palette sample takes {ours[0] - start[0]:.2f} s more"
    )
    print(
        f"than on a tiny picture: {time_ratio:.2f} times. Memory: {ours[1] - start[1]:.0f} MB more, against"
    )
    decoded = 6000 * 4000 * 3 / 2**20
    print(f"{decoded:.0f} MB of decoded picture: {(ours[1] - start[1]) / decoded:.2f} times.")


if __name__ == "__main__":
    main()
