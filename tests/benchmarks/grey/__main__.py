"""Bits and coverage of grey inference on measured surfaces that nothing has learnt from.

    python -m tests.benchmarks.grey [--trials 40] [--variations]

The rivals stand in the same table: lightness only (photopic response, candidates by their Lab), what
Lab alone allows (the true curve and the family of tone curves known, spectra recovered), and an oracle
that knows the spectra too. Coverage is that of palette's 50, 80 and 90 % sets, the last member of each
taken in by lot, so that a true set reads exactly 50, 80 and 90; L90 that of its lightness interval. The
oracle's own sets stand beside them: exposures and exponents here vary less than anyone may believe
beforehand, so that even it, which knows everything else, holds more than it says.
"""

from __future__ import annotations

import argparse
from dataclasses import replace

import numpy as np

from palette.colour.responses import named
from palette.colour.spectra import observer
from tests.benchmarks.grey.simulation import (
    NEGATIVE_400,
    ORTHO,
    Case,
    Marks,
    Shot,
    camera,
    curve,
    encoded,
    negative_and_print,
    run,
    sheet,
)

HEAD = (
    f"{'the picture':46} {'uneven':>6}  {'light.':>6} {'palette':>7} {'Lab':>5} {'oracle':>6}   "
    "50 / 80 / 90 %   L90   the oracle's"
)


def rows() -> list[Case]:
    pan, ortho = named("panchromatic"), named("orthochromatic")
    bt601 = Shot(None, named("luma-601"), (0.299, 0.587, 0.114))
    cases = []
    for uneven in (0.02, 0.10):
        cases += [
            Case("one panchromatic, its curve given", [Shot(sheet(), curve(sheet()))], uneven),
            Case("one panchromatic, only the class named", [Shot(sheet(), pan)], uneven),
            Case("the same, a stock the class has not seen", [Shot(NEGATIVE_400, pan)], uneven),
            Case(
                "panchromatic and orthochromatic, curves given",
                [Shot(sheet(), curve(sheet())), Shot(ORTHO, curve(ORTHO))],
                uneven,
            ),
            Case(
                "panchromatic and orthochromatic, both unseen",
                [Shot(NEGATIVE_400, pan), Shot(ORTHO, ortho)],
                uneven,
            ),
            Case("a colour picture's BT.601 luma", [bt601], uneven),
        ]
    return cases


def variations() -> list[Case]:
    pan = named("panchromatic")
    base = Case("", [Shot(NEGATIVE_400, pan)], 0.05)
    luma = Case("", [Shot(None, named("luma-601"), (0.299, 0.587, 0.114))], 0.05)
    return [
        *(replace(base, name=f"{n} anchors", anchors=n) for n in (0, 1, 2, 5)),
        replace(base, name="one anchor and two neutrals", anchors=1, neutral=2),
        replace(base, name="under studio tungsten", light="ISO 7589 Studio Tungsten"),
        replace(base, name="light not stated (daylight D55)", light=None),
        replace(base, name="12 paints", paints=12),
        replace(base, name="120 paints", paints=120),
        replace(base, name="paints with measured reflectances", measured=True),
        replace(base, name="black level in encoded levels", curve=encoded),
        replace(base, name="negative and print", curve=negative_and_print),
        replace(base, name="negative and print, five anchors", curve=negative_and_print, anchors=5),
        replace(luma, name="luma, negative and print", curve=negative_and_print),
        replace(base, name="the eye's own curve, called panchromatic", shots=[Shot(observer()[:, 1], pan)]),
        *(
            replace(base, name=f"a camera's {name} channel, called panchromatic", shots=[Shot(seen, pan)])
            for name, seen in zip(("red", "green", "blue"), camera(), strict=True)
        ),
        replace(base, name="grain of 0.01 in the mean", noise=0.01),
        replace(base, name="light uneven by 30 %", uneven=0.30),
    ]


def line(case: Case, trials: int, rivals: bool) -> str:
    ours = run(case, trials)
    others = {m: run(case, trials, m) for m in ("lightness", "lab", "oracle")} if rivals else {}
    inside = 100 * np.mean((ours.lightness > 0.05) & (ours.lightness < 0.95))
    text = f"{case.name:46} {case.uneven:6.2f}  {_bits(others.get('lightness')):>6} {_bits(ours):>7} "
    text += f"{_bits(others.get('lab')):>5} {_bits(others.get('oracle')):>6}   {_cover(ours)}   {inside:4.0f}"
    return text + (f"   {_cover(others['oracle'])}" if rivals else "")


def _bits(marks: Marks | None) -> str:
    return "–" if marks is None else f"{marks.bits.mean():.2f}"


def _cover(marks: Marks) -> str:
    return " / ".join(f"{100 * marks.coverage(share):3.0f}" for share in (0.5, 0.8, 0.9))


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "--trials", type=int, default=40, help="pictures simulated for each row, eight parts each"
    )
    parser.add_argument(
        "--variations", action="store_true", help="other anchors, lights, lists and tone curves"
    )
    chosen = parser.parse_args()
    print(HEAD if not chosen.variations else HEAD.removesuffix("   the oracle's"))
    for case in variations() if chosen.variations else rows():
        print(line(case, chosen.trials, not chosen.variations), flush=True)


if __name__ == "__main__":
    main()
