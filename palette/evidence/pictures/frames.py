"""Frames of a video into a kit: a picture file each, and an entry in its record."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palette.colour.spaces import linear_to_lab, srgb_decode
from palette.errors import InputError, Problem
from palette.evidence.pictures.toning import NO_COLOUR, boldness
from palette.evidence.pictures.video import Still, stills, time_code
from palette.files import Change, again_if_changed, change_together
from palette.kit.write import Draft

_SWING = 30.0  # CIELAB a* and b* by which a toned picture's may differ; common practice, no source
FOLDER = "references"  # where a kit's pictures stand, beside its kit.toml


@dataclass(frozen=True)
class EnteredFrame:
    """A frame as it now stands in the kit."""

    id: str
    file: Path
    tone: str  # colour | grey
    still: Still


def take(video: Path, times: Sequence[float], kit: Path, around: float = 0.0) -> list[EnteredFrame]:
    """Take frames of a video into a kit; all of them, or, where anything is wrong, none.

    Each becomes a PNG in the kit's folder of references and a `[[reference]]` of kind frame that says
    which video and time it was taken from. A picture without colour is entered in grey.

    Args:
        video: the file.
        times: seconds from its start.
        kit: a kit.toml or the folder it stands in.
        around: see `palette.evidence.pictures.video.stills`.

    Raises:
        InputError: a problem of the kit, the video or a time; a frame that the kit has already.
    """
    ids = [_id(video, time) for time in times]
    _check_new(Draft(kit), ids, times)
    frames = stills(video, times, around)
    pictures = [still.png() for still in frames]
    tones = [_tone(still.levels) for still in frames]

    def enter() -> list[EnteredFrame]:
        draft = Draft(kit)
        _check_new(draft, ids, times)
        folder = draft.path.parent
        changes, taken = [], []
        for id, still, picture, tone in zip(ids, frames, pictures, tones, strict=True):
            file = folder / FOLDER / f"{id}.png"
            changes.append(Change(file, picture, picture if _same(file, picture) else None))
            entry: dict[str, object] = {"id": id, "file": f"{FOLDER}/{file.name}", "kind": "frame"}
            if tone == "grey":
                entry["tone"] = tone
            draft.append(("reference",), {**entry, "video": video.name, "time": time_code(still.asked)})
            taken.append(EnteredFrame(id, file, tone, still))
        coming = [change.path for change in changes]
        change_together([*changes, draft.change(frozenset(coming))], folder)
        return taken

    return again_if_changed(enter)


def _check_new(draft: Draft, ids: Sequence[str], times: Sequence[float]) -> None:
    """Raise InputError for frames that a kit has already, or that are asked for twice."""
    known = {reference.id: reference.line for reference in draft.kit.references}
    problems = [
        Problem(
            str(draft.path), known[id], f"reference {id!r} is there already", "take it out first, or leave it"
        )
        for id in ids
        if id in known
    ]
    problems += [
        Problem(None, None, f"the time {time_code(time)} is given twice", "give each once")
        for i, time in enumerate(times)
        if ids[i] in ids[:i]
    ]
    if problems:
        raise InputError.of(problems)


def _same(file: Path, picture: bytes) -> bool:
    """Whether a file holds that picture already, and only its entry is missing.

    Raises:
        InputError: it holds something else.
    """
    if not file.exists():
        return False
    if file.is_file() and file.stat().st_size == len(picture) and file.read_bytes() == picture:
        return True
    raise InputError(Problem(str(file), None, "is there already", "move it away first"))


def _tone(levels: NDArray[np.float32]) -> str:
    """Whether sRGB levels (h, w, 3) show a picture in colour or a toned one in grey.

    A picture of few colours is toned by its numbers, but no toning goes from one strong colour to another.
    """
    small = srgb_decode(levels[:: max(1, len(levels) // 200), ::2]).astype(np.float32)
    chroma = linear_to_lab(small).reshape(-1, 3)[:, 1:]
    swing = np.percentile(np.hypot(*(chroma - np.median(chroma, axis=0)).T), 95)
    return "grey" if swing < _SWING and boldness(small) < NO_COLOUR else "colour"


def _id(video: Path, time: float) -> str:
    """'Line 3 (1958).mp4' at 12:31.5 to 'line-3-1958-0h12m31.500'."""
    plain = unicodedata.normalize("NFKD", video.stem).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "frame"
    hours, minutes, seconds = time_code(time).split(":")
    return f"{name}-{hours}h{minutes}m{seconds}".replace(".", "s")
