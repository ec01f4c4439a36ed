"""The grey answer as pictures: what remains of the colour space, and how candidates would have looked."""

from __future__ import annotations

import io
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import numpy as np

from palette.colour.spaces import Array, lab_to_linear, srgb_encode
from palette.errors import InputError, Problem
from palette.evidence.grey.answer import GreyAnswer, GreyPart
from palette.evidence.grey.inference import Working
from palette.evidence.grey.remaining import large_weight
from palette.files import replace_whole

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_INK, _SOFT, _PAPER = "#26282b", "#7a7f85", "#fbfaf7"
_FORMATS = (".png", ".svg", ".pdf")
_SEEN = 8  # candidates shown as seen


def _save(figure: Figure, path: Path) -> None:
    if path.suffix.lower() not in _FORMATS:
        raise InputError(
            Problem(
                str(path),
                None,
                f"{path.suffix or 'no ending'} is no format for a picture",
                "end it in .png or .svg",
            )
        )
    stream = io.BytesIO()
    kind: str = path.suffix.lower()[1:]
    metadata: dict[str, Any] = {"Date": None} if kind == "svg" else {}
    figure.savefig(stream, format=kind, dpi=160, facecolor=_PAPER, metadata=metadata)
    replace_whole(path, stream.getvalue())


def _short(name: str, most: int) -> str:
    return name if len(name) <= most else name[: most - 1].rstrip() + "…"


def _rgb(lab: Array) -> Array:
    return np.clip(srgb_encode(lab_to_linear(lab)), 0.0, 1.0)


def plot(answer: GreyAnswer, path: Path) -> None:
    """Draw, for each part, the colours that remain: across a* and b*, and L* against chroma.

    Raises:
        InputError: no part, an unknown ending, or the file cannot be written.
    """
    import matplotlib

    matplotlib.rcParams["svg.hashsalt"] = "palette"
    from matplotlib.figure import Figure

    if not answer.parts or answer.working is None:
        raise InputError(Problem(str(path), None, "no grey reference shows a part", "sample one in kit.toml"))
    count = len(answer.parts)
    figure = Figure(figsize=(10.4, 0.7 + 3.9 * count), facecolor=_PAPER)
    grid = figure.add_gridspec(
        count, 2, width_ratios=(1, 1), left=0.065, right=0.8, wspace=0.26, hspace=0.42,
        top=1 - 0.85 / (0.7 + 3.9 * count), bottom=0.5 / (0.7 + 3.9 * count),
    )  # fmt: skip
    for row, part in enumerate(answer.parts):
        _plane(figure.add_subplot(grid[row, 0]), part, answer.working)
        _lightness(figure.add_subplot(grid[row, 1]), part, answer.working)
    _save(figure, path)


def _axes(axes: Any) -> None:
    axes.set_facecolor("#ffffff")
    axes.tick_params(colors=_SOFT, labelsize=7.5, length=2.5)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color("#d5d3cd")


def _cloud(axes: Any, x: Array, y: Array, lab: Array, weight: Array) -> None:
    """Dots in the surfaces' own colours, as large as they are likely; what is ruled out as faint specks."""
    axes.scatter(x, y, s=1.5, color="#dad8d2", linewidths=0, zorder=1)
    order = np.argsort(weight)
    keep = order[weight[order] > 0.02 * weight.max()]
    size = 60.0 * (weight[keep] / weight.max())
    axes.scatter(
        x[keep], y[keep], s=size, c=_rgb(lab[keep]), edgecolors="#00000040", linewidths=0.3, zorder=2
    )


def _plane(axes: Any, part: GreyPart, working: Working) -> None:
    weight, lab = large_weight(part, working), working.large.lab
    _axes(axes)
    axes.axhline(0, color="#e6e4de", lw=0.8, zorder=0)
    axes.axvline(0, color="#e6e4de", lw=0.8, zorder=0)
    _cloud(axes, lab[:, 1], lab[:, 2], lab, weight)
    for number, candidate in enumerate(part.candidates[:5], start=1):
        axes.annotate(
            str(number), (candidate.lab[1], candidate.lab[2]), fontsize=7, color=_INK,
            ha="center", va="center", zorder=4,
            bbox={"boxstyle": "circle,pad=0.22", "fc": "#ffffff", "ec": _INK, "lw": 0.7},
        )  # fmt: skip
    axes.set(xlim=(-80, 80), ylim=(-80, 80), aspect="equal")
    axes.set_xlabel("a*   greener ←   → redder", fontsize=8, color=_SOFT)
    axes.set_ylabel("b*   bluer ←   → yellower", fontsize=8, color=_SOFT)
    name = working.kit.part(part.part).name or part.part
    axes.set_title(
        f"{name}: what grey leaves", fontsize=10.5, color=_INK, loc="left", pad=20, fontweight="bold"
    )
    levels = "; ".join(f"{r.reference} {r.level:.2f}" for r in part.readings[:3])
    axes.text(0, 1.02, f"level {levels}", transform=axes.transAxes, fontsize=8, color=_SOFT, va="bottom")


def _lightness(axes: Any, part: GreyPart, working: Working) -> None:
    weight, lab = large_weight(part, working), working.large.lab
    _axes(axes)
    low, high = part.lightness
    axes.axhspan(low, high, color="#efece2", zorder=0, lw=0)
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    _cloud(axes, chroma, lab[:, 0], lab, weight)
    for number, candidate in enumerate(part.candidates[:5], start=1):
        axes.annotate(
            str(number), (float(np.hypot(candidate.lab[1], candidate.lab[2])), candidate.lab[0]),
            fontsize=7, color=_INK, ha="center", va="center", zorder=4,
            bbox={"boxstyle": "circle,pad=0.22", "fc": "#ffffff", "ec": _INK, "lw": 0.7},
        )  # fmt: skip
    axes.set(xlim=(0, 100), ylim=(0, 100))
    axes.set_xlabel("chroma   grey → vivid", fontsize=8, color=_SOFT)
    axes.set_ylabel("L*   black → white", fontsize=8, color=_SOFT)
    legend = [
        f"{number}  {_short(candidate.name, 26)}  {100 * candidate.probability:.0f} %"
        for number, candidate in enumerate(part.candidates[:5], start=1)
    ]
    axes.text(
        0, 1.02, f"L* {low:.0f} to {high:.0f} nine times in ten (band)", transform=axes.transAxes, fontsize=8,
        color=_SOFT, va="bottom",
    )  # fmt: skip
    if legend:
        axes.text(
            1.05, 1.0, "\n".join(legend), transform=axes.transAxes, fontsize=7.2, color=_INK, ha="left",
            va="top", linespacing=1.6,
        )  # fmt: skip


def as_seen(answer: GreyAnswer, part: str, path: Path) -> None:
    """Draw how a part's likeliest paints would have looked in each grey picture, beside what it shows.

    Raises:
        InputError: the part is in no grey picture, there are no paints, or the file cannot be written.
    """
    from matplotlib.figure import Figure
    from matplotlib.patches import Rectangle

    working = answer.working
    shown = {p.part: p for p in answer.parts}
    if working is None or part not in shown:
        known = ", ".join(shown) or "none"
        raise InputError(
            Problem(str(path), None, f"no grey reference shows a part {part!r}", f"those it shows: {known}")
        )
    inferred = shown[part]
    if not inferred.candidates:
        raise InputError(
            Problem(
                str(path), None, "the kit has no paints to look at", "name a list under swatches in kit.toml"
            )
        )
    key = working.paint[part]
    pictures = [picture for picture in working.pictures.values() if key in picture.levels]
    top = inferred.candidates[:_SEEN]
    width = 2.2 + 1.05 * len(top)
    height = 1.83 + 1.75 * len(pictures)
    figure = Figure(figsize=(width, height), facecolor=_PAPER)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set(xlim=(0, width), ylim=(0, height))
    axes.axis("off")
    name = working.kit.part(part).name or part
    axes.text(0.25, height - 0.32, f"{name}, as each paint would have looked", fontsize=11, color=_INK,
              fontweight="bold", va="center")  # fmt: skip
    for column, candidate in enumerate(top):
        x = 1.95 + 1.05 * column
        axes.add_patch(Rectangle((x, height - 1.0), 0.93, 0.36, color=_rgb(candidate.lab), lw=0))
        axes.text(x, height - 1.16, candidate.swatch[:12], fontsize=7.2, color=_SOFT, va="center")
        lines = wrap(candidate.name, 15, max_lines=2, placeholder="…")  # what the patch is wide
        for below, line in enumerate(lines):
            axes.text(x, height - 1.36 - 0.13 * below, line, fontsize=7.2, color=_INK, va="baseline")
        axes.text(x + 0.93, height - 1.16, f"{100 * candidate.probability:.0f} %", fontsize=7.2, color=_SOFT,
                  va="center", ha="right")  # fmt: skip
    for row, picture in enumerate(pictures):
        y = height - 1.73 - 1.75 * row
        level = float(np.mean([v.value for v in picture.levels[key]]))
        axes.text(0.25, y, picture.name, fontsize=8.5, color=_INK, va="top", fontweight="bold")
        axes.text(0.25, y - 0.2, picture.sensitivity.response.title, fontsize=7.2, color=_SOFT, va="top")
        axes.text(0.25, y - 1.18, f"it shows {level:.3f}", fontsize=7.8, color=_INK, va="center")
        axes.add_patch(
            Rectangle((0.25, y - 1.05), width - 0.5, 0.66, color=3 * (min(max(level, 0), 1),), lw=0)
        )
        expected = expected_levels(answer, part, picture.name, [c.swatch for c in top])
        for column, (middle, spread) in enumerate(expected):
            x = 1.95 + 1.05 * column
            axes.add_patch(Rectangle((x, y - 1.05), 0.93, 0.5, color=3 * (min(max(middle, 0), 1),), lw=0))
            axes.text(
                x,
                y - 1.18,
                f"{middle - level:+.3f} ± {spread:.3f}".replace("-", "−"),
                fontsize=7,
                color=_INK,
                va="center",
            )
    key_line = (
        "The strip is the level in the picture; each patch lies in it at the level expected of that paint, "
        "with the difference and its standard deviation."
    )
    axes.text(0.25, 0.13, key_line, fontsize=6.6, color=_SOFT, va="center")
    _save(figure, path)


def expected_levels(
    answer: GreyAnswer, part: str, picture: str, swatches: list[str]
) -> list[tuple[float, float]]:
    """(mean, standard deviation) of the encoded level each paint would have had in a picture.

    Over the paint's spectra, the members of the response, the curves and the unevenness of the light.
    """
    working = answer.working
    assert working is not None
    key = working.paint[part]
    one = working.calibrated[picture, key]
    levels = np.linspace(0.004, 0.992, 96)
    from palette.evidence.grey.tone import Level

    # p(level | signal) by Bayes from the same densities that are read the other way round
    table = np.stack(
        [
            one.curves.signal_density([Level(float(v), 0.004)], one.signals, scaled=False).sum(axis=0)
            for v in levels
        ]
    )
    ids = working.swatches.ids
    answers = []
    for id in swatches:
        rows = np.flatnonzero(working.paints.owner == ids.index(id))
        index = one.signals.index(working.log_signals[picture][rows])
        density = table[:, index.ravel()].sum(axis=1)
        density = density / max(density.sum(), 1e-300)
        middle = float(density @ levels)
        answers.append((middle, float(np.sqrt(max(density @ (levels - middle) ** 2, 0.0)))))
    return answers
