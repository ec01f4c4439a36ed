"""Measure every figure again and write its band around it: python -m tests.guards.rebase [ROOM…]"""

from __future__ import annotations

import sys

from tests.guards.bands import FILE, around, bands
from tests.guards.figures import ROOMS


def main() -> None:
    known = bands() if FILE.exists() else {}
    lines = ["room,figure,low,high"]
    for room, measure in ROOMS.items():
        if sys.argv[1:] and room not in sys.argv[1:]:
            kept = {figure: band for (its_room, figure), band in known.items() if its_room == room}
        else:
            figures = measure()
            kept = {figure: around(figure, value) for figure, value in figures.items()}
            for figure, value in figures.items():
                was = known.get((room, figure))
                where = "new" if was is None else "inside" if was.low <= value <= was.high else "moved"
                print(f"{room:11} {figure:28} {value:9.4f}  {where}")
        lines += [f'{room},"{figure}",{band.low:.5f},{band.high:.5f}' for figure, band in kept.items()]
    FILE.write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
