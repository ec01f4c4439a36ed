"""Small faults of the mathematics, each of which a guard must find: python -m tests.guards.mutants [ROOM…]

Each is put into a copy of palette, alone; then the guard of its room is run there. Printed are those that no
guard finds; the exit status says whether there are any.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Mutant:
    room: str  # whose guard must find it
    file: str  # below palette/
    was: str  # stands there once
    becomes: str

    @property
    def words(self) -> str:
        return f"{self.room}: {self.file}: {self.was.strip()!r} becomes {self.becomes.strip()!r}"


_POSTERIOR = "evidence/correction/posterior.py"
_TONE = "evidence/grey/tone.py"
_GREY = "evidence/grey/posterior.py"
_RECONCILE = "evidence/combine/reconcile.py"
_PAINTS = "paints/mixing/colourants.py"
_CLUSTERS = "sample/clusters.py"

MUTANTS = (
    # a determinant dropped
    Mutant("correction", _POSTERIOR, "            - 0.5 * np.linalg.slogdet(total)[1]\n", ""),
    # half of the misfit forgotten
    Mutant("correction", _POSTERIOR, "- 0.5 * (off * pull).sum(axis=1)", "- 0.25 * (off * pull).sum(axis=1)"),
    # what strays alike is not believed of neighbours
    Mutant("correction", _POSTERIOR, "near = self.alike * np.exp(-gap / 2)", "near = 0.0 * np.exp(-gap / 2)"),
    Mutant("correction", _POSTERIOR, "total = widened * total +", "total = 1.3 * widened * total +"),
    Mutant("correction", _POSTERIOR, "TAIL = 0.95", "TAIL = 0.5"),
    Mutant("correction", _POSTERIOR, "(_BY_HUE @ waves)", "(0 * _BY_HUE @ waves)"),
    Mutant(
        "correction",
        "evidence/correction/models/camera.py",
        "4 * t3 * inside * rest",
        "2 * t3 * inside * rest",
    ),
    Mutant(
        "correction", "evidence/correction/models/camera.py", "1 - 0.95 * inside**2", "1 - 0.80 * inside**2"
    ),
    # a prior's spread changed by 45 %
    Mutant("grey", _TONE, "_CONTRAST_SD = 0.55", "_CONTRAST_SD = 0.80"),
    Mutant("grey", _TONE, "_WANDER = 0.045", "_WANDER = 0.09"),
    Mutant("grey", _TONE, "_WANDER_LENGTH = 1.2", "_WANDER_LENGTH = 0.4"),
    Mutant("grey", _TONE, "        - 2 * np.log(slope)", "        - 0 * np.log(slope)"),
    Mutant("grey", _GREY, "OUTLIER = 0.01", "OUTLIER = 0.2"),
    Mutant("grey", _GREY, "rows = honest * rows +", "rows = honest * np.sqrt(rows) +"),
    Mutant("grey", "evidence/grey/surfaces.py", "_PAINT_SAMPLES = 48", "_PAINT_SAMPLES = 2"),
    Mutant("mixing", "paints/mixing/law.py", "\nK1 = 0.03", "\nK1 = 0.05"),
    Mutant("mixing", "paints/mixing/law.py", "\nK2 = 0.65\n", "\nK2 = 0.55\n"),
    Mutant("mixing", _PAINTS, "shares, self.absorption[which])", "shares, self.absorption[which] ** 1.05)"),
    Mutant("mixing", _PAINTS, "_CALIBRATION = 0.7", "_CALIBRATION = 1.0"),
    Mutant("mixing", _PAINTS, "_FLOOR = 0.5", "_FLOOR = 1.0"),
    Mutant(
        "mixing",
        _PAINTS,
        "k[:, i, None], (k[:, i] - s[:, i])[:, None]",
        "k[:, i, None], (k[:, i] + s[:, i])[:, None]",
    ),
    # an unsound search bound
    Mutant(
        "recipes",
        "paints/mixing/search/bounds.py",
        "ok &= most[kind] >= bottom\n",
        "ok &= most[kind] >= 1.3 * bottom\n",
    ),
    Mutant("matching", "colour/nearest.py", "reach = u * (1 + 1e-9) + _SLACK", "reach = 0.2 * u"),
    Mutant(
        "matching",
        "colour/difference.py",
        "1.5 - 0.5 * _far_from_grey(mean)",
        "1.5 - 0.4 * _far_from_grey(mean)",
    ),
    Mutant("sampling", _CLUSTERS, "_MERGE = 3.0", "_MERGE = 0.3"),
    Mutant("sampling", _CLUSTERS, "_DARKEST = 0.40", "_DARKEST = 0.80"),
    Mutant("sampling", _CLUSTERS, "_FAIR = 0.9", "_FAIR = 0.5"),
    Mutant("sampling", _CLUSTERS, "_LIGHTNESS = 0.5", "_LIGHTNESS = 2.0"),
    Mutant("checking", "paints/check.py", "_NINE_TENTHS = 2.5003", "_NINE_TENTHS = 2.0"),
    Mutant("checking", "paints/check.py", "_STRAYS = 0.0, 0.5, 1.0, 1.5", "_STRAYS = 0.0, 0.0"),
    Mutant(
        "checking",
        "evidence/correction/straying.py",
        "[light, along * cos - across * sin,",
        "[light, along * cos + across * sin,",
    ),
    Mutant("checking", "paints/check.py", "PASSES = 0.9", "PASSES = 0.6"),
    Mutant("checking", "paints/check.py", "FAILS = 0.1", "FAILS = 0.9"),
    Mutant(
        "checking",
        "paints/check.py",
        "difference(target, measured + spread) <= tolerance",
        "difference(target, measured + spread) > tolerance",
    ),
    Mutant("combining", _RECONCILE, "+ np.linalg.slogdet(total)[1] + 3 * np.log", "+ 3 * np.log"),
    Mutant("combining", _RECONCILE, "_LOG_UNRELATED = float(-1.5 *", "_LOG_UNRELATED = float(6 - 1.5 *"),
    Mutant("combining", _RECONCILE, "np.interp(0.9, np.cumsum(mass", "np.interp(0.8, np.cumsum(mass"),
    Mutant(
        "combining",
        _RECONCILE,
        "pull = np.concatenate([pull, pull + own @ labs[i]])",
        "pull = np.concatenate([pull, pull + labs[i] / 3])",
    ),
    Mutant("naming", "colour/names.py", "_PULL = 80.0", "_PULL = 0.0"),
    Mutant("naming", "colour/names.py", "_REACH = 4.0", "_REACH = 8.0"),
    Mutant("naming", "colour/spoken.py", "_ISH_SHARE = 1 / 3", "_ISH_SHARE = 2 / 3"),
    Mutant("naming", "colour/spoken.py", "_MEMORY_SD = 6.0", "_MEMORY_SD = 9.0"),
    Mutant("naming", "colour/spoken.py", "_STEP = (13.0, 0.35)", "_STEP = (6.0, 0.35)"),
)


def wrong(mutant: Mutant, root: Path = ROOT) -> str:
    """Why a mutant cannot be made, or ''."""
    count = (root / "palette" / mutant.file).read_text("utf-8").count(mutant.was)
    return "" if count == 1 else f"{mutant.words}: stands there {count} times"


def caught(mutant: Mutant, copy: Path) -> bool:
    """Whether the guard of its room fails with it."""
    path = copy / "palette" / mutant.file
    text = path.read_text("utf-8")
    path.write_text(text.replace(mutant.was, mutant.becomes), "utf-8")
    guard = f"tests/guards/test_guards.py::test_figures_lie_in_their_bands[{mutant.room}]"
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider", guard]
    try:
        return subprocess.run(command, cwd=copy, capture_output=True, check=False).returncode == 1
    finally:
        path.write_text(text, "utf-8")


def main() -> int:
    chosen = [m for m in MUTANTS if not sys.argv[1:] or m.room in sys.argv[1:]]
    missed = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for name in ("palette", "tests", "docs", "swatches_demo"):
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy(ROOT / "pyproject.toml", copy)
        whole = Mutant(chosen[0].room, chosen[0].file, chosen[0].was, chosen[0].was)
        if chosen and caught(whole, copy):
            print("the guards fail without a mutant: run python -m tests.guards.rebase first")
            return 1
        for mutant in chosen:
            problem = wrong(mutant)
            if problem or not caught(mutant, copy):
                missed += 1
                print(problem or f"not found: {mutant.words}", flush=True)
    print(f"{len(chosen) - missed} of {len(chosen)} mutants are found")
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
