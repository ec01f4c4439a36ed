"""From a kit to the four files of its guide."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from palette.files import check_folder, replace_together
from palette.guide import editions
from palette.kit.model import Kit
from palette.typeset.pages import PAPERS
from palette.words.catalogue import DEFAULT, Words

if TYPE_CHECKING:
    from palette.evidence.combine.model import Scheme
    from palette.guide.dossier.content import Dossier
    from palette.guide.painter.content import Guide

FILES = ("guide.pdf", "dossier.pdf", "guide.html", "scheme.json")


@dataclass(frozen=True)
class Wanted:
    """How a guide is wanted: on which paper, in which language, for whose paints (paths of lists; none: the
    kit's own), and with what the maker owns or without."""

    paper: str = "a4"
    language: str = DEFAULT
    swatches: tuple[Path, ...] = ()
    mine: bool = False


@dataclass(frozen=True)
class Made:
    """What is made of a kit before any file is written."""

    scheme: Scheme
    guide: Guide
    dossier: Dossier


def write(
    kit: Kit, out: Path, wanted: Wanted, progress: Callable[[int, int], None] | None = None
) -> list[Path]:
    """See `palette.guide.build`."""
    if wanted.paper not in PAPERS:
        raise ValueError(f"no paper {wanted.paper!r}; there are {', '.join(PAPERS)}")
    from palette.guide.dossier import pdf as dossier_pdf
    from palette.guide.painter import html
    from palette.guide.painter import pdf as guide_pdf

    check_folder(out)
    made = make(kit, wanted, out / "scheme.json", progress)
    files: dict[Path, bytes | str] = {
        out / "guide.pdf": guide_pdf.render(made.guide, wanted.paper),
        out / "dossier.pdf": dossier_pdf.render(made.dossier, wanted.paper),
        out / "guide.html": html.render(made.guide),
        out / "scheme.json": scheme_file(made.scheme, out / "scheme.json"),
    }
    replace_together(files, out)
    return list(files)


def make(
    kit: Kit,
    wanted: Wanted,
    earlier: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Made:
    """The guide and the dossier as plain data; `earlier` is the scheme.json of the last edition, where
    there may be one."""
    from palette.guide.dossier import assembly as dossier
    from palette.guide.illustrations import illustrations
    from palette.guide.painter import assembly as painter
    from palette.guide.painter.needs import covering, tones
    from palette.guide.painter.views import shown
    from palette.paints.choosing.brush import brush, odds
    from palette.paints.choosing.chosen import choose
    from palette.paints.mesh import areas
    from palette.paints.scaled import as_painted, scale_rule
    from palette.paints.scheme import scheme
    from palette.swatches.kitlists import kit_swatches

    words = Words(wanted.language)
    painted_areas = areas(kit)
    found = scheme(kit, progress)
    now = editions.edition(found)
    if earlier is not None:
        editions.keep_settled(earlier, now, kit)
    if wanted.swatches:
        painted, swatches, likely = _for_shelf(found, wanted.swatches)
        chosen = choose(painted, swatches, likely)
    else:
        swatches, likely = kit_swatches(kit), odds(found)
        painted = as_painted(found, swatches)
        chosen = brush(painted, swatches)
    cover = covering(swatches, chosen, painted_areas)
    last = None if earlier is None else editions.last_edition(earlier, now)
    work = painter.Work(
        painted,
        swatches,
        chosen,
        likely,
        tones(painted, swatches, chosen, cover.parts),
        cover,
        painted_areas,
        None if last is None else (last.version, editions.changes(last, now)),
    )
    groups = painter.groups(work)
    guide = painter.assemble(work, words, shown(painted, chosen, swatches, groups, words), wanted.mine)
    stated = [c.stated for c in cover.parts.values()]
    evidence = dossier.assemble(
        painted,
        swatches,
        illustrations(kit, words),
        words,
        odds=likely,
        chosen=chosen,
        scale_rule=scale_rule(found),
        coats=dossier.Coating(any(stated), all(stated)) if stated else None,
        mine=wanted.mine,
    )
    return Made(found, guide, evidence)


def scheme_file(scheme: Scheme, earlier: Path) -> str:
    """What scheme.json holds: the answer of `palette scheme --json`, which edition it is, and the colours of
    the last one."""
    from palette.report.scheme import scheme_json

    now = editions.edition(scheme)
    last = editions.last_edition(earlier, now)
    document = scheme_json(scheme)
    if last is not None:
        document["last_edition"] = editions.as_json(last)
    return json.dumps(document, ensure_ascii=False, allow_nan=False) + "\n"


def _for_shelf(found: Scheme, lists: Sequence[Path]):  # type: ignore[no-untyped-def]
    """The scheme with the paints of other lists, those lists, and the odds that each of their paints is the
    nearest to the colour of an inferred part."""
    from palette.guide.shelf_odds import shelf_odds
    from palette.paints.choosing.proposals import mixes_for, paints_for
    from palette.paints.scaled import as_painted
    from palette.swatches.model import SwatchList

    swatches = SwatchList.read(*lists)
    painted = as_painted(found, swatches)
    parts = tuple(
        part
        if part.lab is None
        else replace(part, paints=paints_for(part.lab, swatches), mixes=mixes_for(part.lab, swatches))
        for part in painted.parts
    )
    painted = replace(painted, parts=parts)
    return painted, swatches, shelf_odds(found, swatches)
