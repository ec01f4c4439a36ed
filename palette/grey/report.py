"""The grey answer for people, in the terminal."""

from __future__ import annotations

from palette.grey.advice import advice
from palette.grey.answer import GreyAnswer, GreyPart
from palette.grey.inference import Working
from palette.grey.words import words

_SHOWN = 10


def grey_text(answer: GreyAnswer) -> str:
    """What remains of each part, in words and paints, and what would help most."""
    if not answer.parts:
        return "No grey reference shows a part."
    assert answer.working is not None
    blocks = [_part(part, answer.working) for part in answer.parts]
    return "\n\n".join(
        [*blocks, "Inferred from grey, not measured: a grey level rules colours out but names none."]
    )


def _part(part: GreyPart, working: Working) -> str:
    name = working.kit.part(part.part).name or part.part
    lines = [f"{part.part} — {name}" if name != part.part else part.part]
    for reading in part.readings:
        end = {1: ", clipped white", -1: ", clipped black", 0: ""}[reading.clipped]
        lines.append(f"  level {reading.level:.3f}{end} in {reading.reference!r} ({reading.response})")
    low, high = part.lightness
    lines.append(f"  lightness  L* {low:.0f} to {high:.0f}, nine times in ten")
    said = words(part, working)
    if said.remaining:
        lines.append(f"  may be     {_list(said.remaining, 8)}")
    if said.ruled_out:
        lines.append(f"  not        {_list(said.ruled_out, 8)}")
    if part.candidates:
        lines.append(
            f"  paints     {part.bits:.1f} bits: as good as choosing among "
            f"{max(1, round(len(part.candidates) / 2**part.bits))} of {len(part.candidates)}"
        )
        wide = max(len(c.swatch) for c in part.candidates[:_SHOWN])
        for candidate in part.candidates[:_SHOWN]:
            bar = "█" * round(30 * candidate.probability / max(part.candidates[0].probability, 1e-9))
            lines.append(
                f"    {candidate.swatch:<{wide}}  {100 * candidate.probability:5.1f} %  "
                f"{bar:<30}  {candidate.name}"
            )
        rest = 1 - sum(c.probability for c in part.candidates[:_SHOWN])
        if len(part.candidates) > _SHOWN and rest >= 0.0005:
            others = len(part.candidates) - _SHOWN
            lines.append(f"    {'':<{wide}}  {100 * rest:5.1f} %  the other {others}")
    for number, item in enumerate(advice(part, working)[:3]):
        label = "would help" if number == 0 else ""
        lines.append(f"  {label:<10} {item.bits:+.1f} bits expected from {item.what}")
    lines += [f"  note       {note}" for note in part.notes]
    return "\n".join(lines)


def _list(items: tuple[str, ...], count: int) -> str:
    more = f" and {len(items) - count} more" if len(items) > count else ""
    return ", ".join(items[:count]) + more
