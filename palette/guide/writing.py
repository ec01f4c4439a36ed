"""From a kit to the four files of its guide."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from palette.cache import MISSING, keep, recall
from palette.cache import key as cache_key
from palette.files import check_folder, replace_together
from palette.guide import editions
from palette.guide.unchanged import digests, installed
from palette.kit.model import Kit
from palette.typeset.pages import PAPERS
from palette.words.catalogue import DEFAULT, Words

if TYPE_CHECKING:
    from palette.evidence.combine.model import Scheme
    from palette.guide.dossier.content import Dossier
    from palette.guide.painter.content import Guide

_RARE = 0x2E80  # from here on scripts that the bundled typefaces do not have
_DRAWING = ("typst-", "pikepdf-", "trimesh-", "embreex-", "babel-", "palette-")
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
    kit: Kit,
    out: Path,
    wanted: Wanted,
    progress: Callable[[int, int], None] | None = None,
    mixing: Callable[[int, int], None] = lambda done, total: None,
) -> list[Path]:
    """See `palette.guide.build`."""
    if wanted.paper not in PAPERS:
        raise ValueError(f"no paper {wanted.paper!r}; there are {', '.join(PAPERS)}")
    check_folder(out, FILES)
    earlier = out / "scheme.json"
    key = _key(kit, wanted, earlier, wanted.paper)
    kept: Any = MISSING if key is None else recall(key)
    if kept is MISSING:
        kept = _printed(kit, wanted, earlier, progress, mixing)
        if key is not None:
            keep(key, kept)
    elif (edition := editions.written(kept[3].decode("utf-8"))) is not None:
        editions.keep_settled(earlier, edition, kit)
    files: dict[Path, bytes | str] = {out / name: data for name, data in zip(FILES, kept, strict=True)}
    replace_together(files, out)
    return list(files)


def _printed(
    kit: Kit,
    wanted: Wanted,
    earlier: Path,
    progress: Callable[[int, int], None] | None,
    mixing: Callable[[int, int], None],
) -> tuple[bytes, bytes, bytes, bytes]:
    """The four files. What sets them is loaded here: a kit that has not changed does not pay for it."""
    from palette.guide.painter.views.ahead import casting

    with casting(kit) as cast, ThreadPoolExecutor() as beside:  # the typesetter leaves Python free

        def set_dossier(ready: Dossier) -> Future[bytes]:
            from palette.guide.dossier import pdf

            return beside.submit(pdf.render, ready, wanted.paper)

        def set_early(ready: Dossier) -> None:
            early.append(set_dossier(ready))
            cast()  # the model is drawn next

        early: list[Future[bytes]] = []
        made = make(kit, wanted, earlier, progress, mixing, set_early)
        from palette.guide.painter import html, pdf

        guide = beside.submit(pdf.render, made.guide, wanted.paper)
        dossier = early[0] if early else set_dossier(made.dossier)
        page = html.render(made.guide).encode("utf-8")
        scheme = scheme_file(made.scheme, earlier).encode("utf-8")
        return guide.result(), dossier.result(), page, scheme


def inputs(kit: Kit, wanted: Wanted) -> list[Path]:
    """The files that a guide is made from."""
    named: list[Path | str | float | None] = [kit.path, *kit.swatches, *wanted.swatches]
    named += [part.mesh for part in kit.parts]
    for reference in kit.references:
        named += [reference.file, reference.filter, reference.response]
    return [path for path in named if isinstance(path, Path)]


def settled(kit: Kit) -> bool:
    """Whether the same files give the same pages, and no text may have to wait for a typeface."""
    return all(ord(c) < _RARE for c in kit.title + kit.maker + "".join(p.name for p in kit.parts))


def _key(kit: Kit, wanted: Wanted, earlier: Path | None, *more: str) -> str | None:
    """What a guide depends on, to find it again: the kit's own files, how it is wanted, the edition before,
    `more` and this program; None where one cannot be read, or nothing is settled."""
    read = digests(inputs(kit, wanted)) if settled(kit) else None
    if read is None:
        return None
    last = None if earlier is None else editions.last_edition(earlier, kit.version)
    before = None if last is None else json.dumps(editions.as_json(last))
    how = (wanted.language, wanted.mine, len(wanted.swatches), *more)
    # errors and captions name the places of the files
    return cache_key("guide", repr(how), repr(read), repr(before), _program())


@cache
def _program() -> str:
    """A digest of what makes the pages, and of what sets and draws them."""
    from hashlib import sha256

    digest = sha256()
    here = Path(__file__).parents[1]
    for room in ("guide", "words", "typeset", "report"):
        for path in sorted((here / room).rglob("*")):
            if path.suffix in (".py", ".typ", ".html", ".js", ".ftl"):
                digest.update(path.relative_to(here).as_posix().encode() + b"\0" + path.read_bytes())
    drawing = sorted(name for name in installed() if name.lower().startswith(_DRAWING))
    digest.update(" ".join(drawing).encode())
    return digest.hexdigest()


def make(
    kit: Kit,
    wanted: Wanted,
    earlier: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
    mixing: Callable[[int, int], None] = lambda done, total: None,
    assembled: Callable[[Dossier], None] = lambda dossier: None,
) -> Made:
    """The guide and the dossier as plain data, found again where nothing has changed; `earlier` is the
    scheme.json of the last edition, where there may be one. `assembled` is given a new dossier before the
    guide's pictures are drawn, to set it meanwhile."""
    key = _key(kit, wanted, earlier)
    kept: Any = MISSING if key is None else recall(key)
    if kept is not MISSING:
        if earlier is not None:
            editions.keep_settled(earlier, editions.edition(kept.scheme), kit)
        return kept  # type: ignore[no-any-return]
    made = _make(kit, wanted, earlier, progress, mixing, assembled)
    if key is not None:
        keep(key, made)
    return made


def _make(
    kit: Kit,
    wanted: Wanted,
    earlier: Path | None,
    progress: Callable[[int, int], None] | None,
    mixing: Callable[[int, int], None],
    assembled: Callable[[Dossier], None],
) -> Made:
    from palette.guide.crops import crops
    from palette.guide.dossier import assembly as dossier
    from palette.guide.illustrations import illustrations
    from palette.guide.painter import assembly as painter
    from palette.guide.painter.views import shown
    from palette.paints.choosing.choice import chosen_paints, odds
    from palette.paints.choosing.chosen import choose
    from palette.paints.mesh import areas
    from palette.paints.needs import covering, tones
    from palette.paints.scaled import as_painted, scale_rule
    from palette.paints.scheme import scheme
    from palette.swatches.kitlists import kit_swatches

    words = Words(wanted.language)
    painted_areas = areas(kit)
    with ThreadPoolExecutor(1) as beside:  # pictures are cut while colours and paints are looked for
        pictures = beside.submit(illustrations, kit, words)
        coloured = scheme(kit, progress, mixing)
        now = editions.edition(coloured)
        if earlier is not None:
            editions.keep_settled(earlier, now, kit)
        cut = beside.submit(crops, kit)
        if wanted.swatches:
            painted, swatches, likely = _for_shelf(coloured, wanted.swatches)
            chosen = choose(painted, swatches, likely)
        else:
            swatches, likely = kit_swatches(kit), odds(coloured)
            painted = as_painted(coloured, swatches)
            chosen = chosen_paints(painted, swatches)
        cover = covering(swatches, chosen, painted_areas)
        stated = [c.stated for c in cover.parts.values()]
        evidence = dossier.assemble(
            painted,
            swatches,
            pictures.result(),
            words,
            odds=likely,
            chosen=chosen,
            scale_rule=scale_rule(coloured),
            coats=dossier.Coating(any(stated), all(stated)) if stated else None,
            mine=wanted.mine,
            crops=cut.result(),
        )
    assembled(evidence)
    last = None if earlier is None else editions.last_edition(earlier, now.version)
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
    views = shown(painted, chosen, swatches, painter.groups(work), words)
    guide = painter.assemble(work, words, views, wanted.mine)
    if coloured.grey is not None:  # what a grey answer was worked out from is large, and no page needs it
        coloured = replace(coloured, grey=replace(coloured.grey, working=None))
    return Made(coloured, guide, evidence)


def scheme_file(scheme: Scheme, earlier: Path) -> str:
    """What scheme.json holds: the answer of `palette scheme --json`, which edition it is, and the colours of
    the last one."""
    from palette.report.scheme import scheme_json

    now = editions.edition(scheme)
    last = editions.last_edition(earlier, now.version)
    document = scheme_json(scheme)
    if last is not None:
        document["last_edition"] = editions.as_json(last)
    return json.dumps(document, ensure_ascii=False, allow_nan=False) + "\n"


def _for_shelf(coloured: Scheme, lists: Sequence[Path]):  # type: ignore[no-untyped-def]
    """The scheme with the paints of other lists, those lists, and the odds that each of their paints is the
    nearest to the colour of an inferred part."""
    from palette.guide.shelf_odds import shelf_odds
    from palette.paints.choosing.proposals import mixes_for, paints_for
    from palette.paints.scaled import as_painted
    from palette.swatches.model import SwatchList

    swatches = SwatchList.read(*lists)
    painted = as_painted(coloured, swatches)
    parts = tuple(
        part
        if part.lab is None
        else replace(part, paints=paints_for(part.lab, swatches), mixes=mixes_for(part.lab, swatches))
        for part in painted.parts
    )
    painted = replace(painted, parts=parts)
    return painted, swatches, shelf_odds(coloured, swatches)
