"""Schemes made for these tests: no files, no pictures on disk, invented names."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image

from palette.colour.uncertain import radius90
from palette.evidence.combine.model import Evidence, PaintChoice, PartColour, Scheme
from palette.evidence.combine.notes import Disagrees
from palette.evidence.measure.notes import Clipped
from palette.guide.illustrations import Illustration
from palette.guide.painter.assembly import Work, assemble
from palette.guide.painter.content import Guide
from palette.guide.painter.show import Shown
from palette.kit.model import (
    Anchor,
    Hint,
    Kit,
    Part,
    PartSample,
    Polygon,
    Rect,
    Reference,
    Spot,
    StatedColour,
)
from palette.notes import Note
from palette.paints.choosing.chosen import Chosen, Guess, Odds
from palette.paints.mixing import Mix
from palette.paints.needs import Tone, covering
from palette.swatches.model import Swatch, SwatchList
from palette.words.catalogue import Words
from palette.words.notes import _say


@dataclass(frozen=True)
class Remark(Note):
    """Words as they stand."""

    text: str


_say.register(Remark, lambda note, call, words: note.text)

NAMES = (
    "Rocker panels",
    "Waist panels",
    "Roof",
    "Underframe",
    "Window frames",
    "Lining",
    "Bogies",
    "Fleet numbers",
    "Destination box",
    "Handrails",
    "Saloon ceiling",
    "Lifeguard tray",
)
LABS = (
    (24.0, 28.0, 9.0),
    (80.5, 2.0, 21.0),
    (58.0, -1.0, 3.0),
    (22.0, 0.5, 1.0),
    (38.0, 18.0, 29.0),
    (70.0, 6.0, 58.0),
    (27.0, 1.0, -2.0),
    (88.0, 0.5, 9.0),
    (16.0, 0.0, -1.0),
    (62.0, 4.0, 38.0),
    (91.0, -0.4, 6.0),
    (33.0, -18.0, -14.0),
)


def mix(
    drops: tuple[tuple[str, int], ...], lab: np.ndarray, difference: float, error: float, one_off: float
) -> Mix:
    """A recipe; the guide does not look at its spectrum."""
    return Mix(drops, lab, difference, error, one_off, np.full(31, 0.5))


def swatches(ranges: tuple[str, ...] = ("Harbour", "Quayside Acrylic"), count: int = 40) -> SwatchList:
    rng = np.random.default_rng(3)
    made = []
    for r, name in enumerate(ranges):
        for i in range(count):
            base = np.array(LABS[i % len(LABS)]) if i < 2 * len(LABS) else np.array([50.0, 0.0, 0.0])
            lab = base + rng.normal(0, 2.0 if i < len(LABS) else 14.0, 3)
            lab[0] = np.clip(lab[0], 5, 97)
            made.append(
                Swatch(
                    f"{name[0]}-{i:02}",
                    f"{('Deep', 'Pale', 'Old', 'Warm')[i % 4]} {NAMES[i % 12].split()[0]}",
                    lab,
                    "lab",
                    range=name,
                    finish=("matt", "gloss", "")[i % 3],
                    owned=(True, False, None)[i % 3] if r == 0 else None,
                    retired=i == 39,
                )
            )
    return SwatchList(tuple(made))


def jpeg(width: int = 900, height: int = 600, grey: bool = False) -> bytes:
    y, x = np.mgrid[0:height, 0:width]
    levels = np.stack([90 + 60 * np.sin(x / 90), 110 + 40 * np.cos(y / 70), 100 + 0.05 * x], axis=-1)
    picture = Image.fromarray(np.clip(levels, 0, 255).astype(np.uint8))
    stream = BytesIO()
    (picture.convert("L") if grey else picture).save(stream, "JPEG", quality=80)
    return stream.getvalue()


def made(
    count: int = 12, title: str = "Marrow Bay Tramways car 7", names: tuple[str, ...] = NAMES, **kit: object
) -> tuple[Scheme, SwatchList, dict[str, Illustration], dict[str, Odds]]:
    """A scheme of `count` parts with a bit of everything in it."""
    paints = swatches()
    parts = tuple(
        Part(
            f"part-{i + 1}",
            names[i % len(names)] if i < len(names) else f"{names[i % len(names)]} {i // len(names) + 1}",
            ("gloss", "satin", "matt", "metallic")[
                0 if i % 12 < 6 else 1 if i % 12 < 9 else 2 if i % 12 < 11 else 3
            ],
            area_cm2=(41.0, 38.0, 60.0, 30.0, 6.0, 0.8, 18.0, 0.5, 1.2, 0.4, 25.0, 3.0)[i % 12],
            after=("part-1",) if i == 5 and count > 5 else (),
            colour=StatedColour(lab=LABS[4], words="hex #6b4a2e") if i == 4 else None,
            why="Depot paint book, 1954: “varnished teak throughout”" if i == 4 else "",
            hints=(Hint("greyish blue green", "fitter’s letter, 1971", 0.6),) if i == 11 else (),
        )
        for i in range(count)
    )
    samples = tuple(
        PartSample(
            part.id,
            (
                Rect(300 + 460 * (i % 4), 200 + 330 * (i // 4 % 4), 190, 110),
                Spot(380 + 460 * (i % 4), 260 + 330 * (i // 4 % 4), 60),
                Polygon(
                    (
                        (300 + 460 * (i % 4), 240 + 330 * (i // 4 % 4)),
                        (480 + 460 * (i % 4), 210 + 330 * (i // 4 % 4)),
                        (520 + 460 * (i % 4), 330 + 330 * (i // 4 % 4)),
                        (310 + 460 * (i % 4), 350 + 330 * (i // 4 % 4)),
                    )
                ),
            )[i % 3],
        )
        for i, part in enumerate(parts)
    )
    anchors = (
        Anchor(Rect(60, 60, 150, 90), StatedColour(lab=(90.0, 0.0, 0.0), words="munsell N 9/")),
        Anchor(Spot(2200, 1450, 60), StatedColour(neutral=True, words="neutral")),
    )
    references = (
        Reference(
            "depot-slide",
            Path("depot-slide.jpg"),
            light="D55",
            year=1958,
            credit="M. Orrin collection",
            licence="CC-BY-4.0",
            anchors=anchors,
            samples=samples[:8],
        ),
        Reference(
            "museum-card",
            Path("museum-card.jpg"),
            year=1994,
            credit="Marrow Bay Museum",
            licence="CC-BY-4.0",
            samples=samples[2:5],
        ),
        Reference(
            "works-plate",
            Path("works-plate.jpg"),
            tone="grey",
            year=1931,
            credit="Works album, plate 14",
            licence="public domain",
            anchors=anchors[:1],
            samples=samples[8:],
        ),
        Reference(
            "lost-print", Path("lost-print.jpg"), kind="print", credit="", licence="CC0", samples=samples[:1]
        ),
    )
    whole = Kit(
        Path("kit.toml"),
        title,
        **{
            "maker": "Quayside Card & Resin",
            "stage": "trial",
            "version": "0.2",
            "scale": "1:35",
            "licence": "CC-BY-NC-SA-4.0",
            "parts": parts,
            "references": references,
        }
        | kit,
    )  # type: ignore[arg-type]
    colours = tuple(_colour(part, i, paints) for i, part in enumerate(parts))
    pictures = {
        "depot-slide": Illustration(jpeg(), 2400, 1600),
        "museum-card": Illustration(jpeg(600, 900), 2400, 3600),
        "works-plate": Illustration(jpeg(grey=True), 2400, 1600),
        "lost-print": Illustration(b"", 0, 0, "lost-print.jpg: there is no such file"),
    }
    rng = np.random.default_rng(1)
    odds = {}
    for f in colours:
        if f.basis == "grey":
            share = np.sort(rng.dirichlet(np.full(20, 0.25)))[::-1]
            ids = rng.permutation(paints.ids)[:20]
            odds[f.part.id] = Odds((22.0, 47.0), tuple(zip(ids.tolist(), share.tolist(), strict=True)))
    return (
        Scheme(whole, colours, (Remark("The reference lost-print has no anchor; its light is a guess"),)),
        paints,
        pictures,
        odds,
    )


def _colour(part: Part, i: int, paints: SwatchList) -> PartColour:
    lab = np.array(LABS[i % 12])
    scale = (0.8, 1.4, 2.2, 4.0, 0.0, 7.0)[i % 6]
    covariance = np.diag([1.0, 0.6, 1.2]) * scale**2
    basis = (
        "decision"
        if i == 4
        else "grey"
        if i in (8, 9)
        else "hint"
        if i == 11
        else "none"
        if i == 10
        else "colour"
    )
    if basis == "none":
        return PartColour(part, None, None, None, "none", False)
    if basis in ("grey", "hint"):
        covariance = np.array([[60.0, 10, 0], [10, 90.0, 40], [0, 40, 160.0]])
    indices, differences = paints.nearest(lab, 5)
    choices = tuple(
        PaintChoice(p.id, p.name, p.range, p.lab, float(d))
        for p, d in zip((paints.swatches[int(k)] for k in indices), differences, strict=True)
    )
    mixes = (
        (mix(((paints.ids[3], 7), (paints.ids[8], 2), (paints.ids[41], 1)), lab + 0.7, 0.8, 3.1, 2.4),)
        if choices[0].difference > 3.0
        else ()
    )
    evidence = []
    if basis in ("colour", "decision"):
        for source, shift, weight in (("depot-slide", 1.5, 0.7), ("museum-card", -3.0, 0.3)):
            evidence.append(
                Evidence(
                    source,
                    lab + shift,
                    covariance + np.eye(3),
                    radius90(lab, covariance + np.eye(3)),
                    weight,
                    "colour",
                    (
                        Remark("Corrected by 2 anchors: adaptation and exposure"),
                        Clipped(0.12, "red", True),
                    )[: 1 + (i == 2)],
                )
            )
    if basis == "grey":
        evidence.append(Evidence("works-plate", None, None, None, 1.0, "grey", (Remark("One anchor"),)))
    return PartColour(
        part,
        lab,
        covariance,
        radius90(lab, covariance),
        basis,
        i == 3,
        tuple(evidence),
        (Disagrees(1 / 240),) if i == 3 else (),
        choices,
        mixes,
    )


def work(
    count: int = 12, title: str = "Marrow Bay Tramways car 7", names: tuple[str, ...] = NAMES, **kit: object
) -> Work:
    """All that the painter's guide is made of, for such a scheme."""
    scheme, paints, _, odds = made(count, title, names, **kit)
    return worked(scheme, paints, odds)


def chosen_for(scheme: Scheme, paints: SwatchList, odds: dict[str, Odds] | None = None) -> dict[str, Chosen]:
    """Something on every brush without a search, which has tests of its own: the likeliest paint, the mixture
    that the scheme has, or the nearest paint."""
    sold = {swatch.id for swatch in paints.swatches}
    chosen = {}
    for part in scheme.parts:
        likely = (odds or {}).get(part.part.id)
        if part.lab is None or not part.paints or part.paints[0].swatch not in sold:
            continue
        if likely is not None:
            id = likely.likely[0][0]
            guess = Guess(11.0, 0.2, likely.likely, 0.1)
            lab = next(swatch.lab for swatch in paints.swatches if swatch.id == id)
            chosen[part.part.id] = Chosen(((id, 1),), 11.0, False, guess=guess, lab=lab, to_buy=(id,))
        elif part.mixes:
            mixed = part.mixes[0]
            chosen[part.part.id] = Chosen(mixed.drops, mixed.difference, False, mixed)
        else:
            chosen[part.part.id] = Chosen(((part.paints[0].swatch, 1),), part.paints[0].difference, False)
    return chosen


def toned(scheme: Scheme, paints: SwatchList) -> dict[str, tuple[Tone, ...]]:
    """A shade and a highlight for every other part: the nearest paint, and none."""
    tones = {}
    for part in scheme.parts[::2]:
        if part.lab is not None and len(paints):
            dark = part.lab - [10.0, 0.0, 0.0]
            index, off = paints.nearest(dark, 1)
            near = Chosen(((paints.ids[int(index[0])], 1),), float(off[0]), False)
            tones[part.part.id] = (
                Tone("shade", dark, near),
                Tone("highlight", part.lab + np.array([10.0, 0.0, 0.0]), None),
            )
    return tones


def worked(scheme: Scheme, paints: SwatchList, odds: dict[str, Odds] | None = None) -> Work:
    """The same for any scheme and paints."""
    chosen = chosen_for(scheme, paints, odds)
    areas = {part.id: part.area_cm2 for part in scheme.kit.parts if part.area_cm2 is not None}
    cover = covering(paints, chosen, areas)
    return Work(scheme, paints, chosen, odds or {}, toned(scheme, paints), cover, areas)


def guide(count: int = 12, language: str = "en", shown: Shown | None = None, **more: object) -> Guide:
    """The painter's guide of such a scheme."""
    return assemble(work(count, **more), Words(language), shown)  # type: ignore[arg-type]
