"""From a kit to the three files of its guide."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from palette.files import check_folder, replace_together
from palette.guide import html, pdf
from palette.guide.assembly import assemble
from palette.guide.illustrations import illustrations
from palette.kit.model import Kit
from palette.paints.choosing.brush import brush, odds


def write(kit: Kit, out: Path, paper: str, progress: Callable[[int, int], None] | None = None) -> list[Path]:
    """See `palette.guide.build`."""
    from palette.guide.painting import covering, tone_words, tones
    from palette.paints.mesh import areas
    from palette.paints.scaled import as_painted, scale_rule
    from palette.paints.scheme import scheme
    from palette.report.scheme import scheme_document
    from palette.swatches.kitlists import kit_swatches

    if paper not in pdf.PAPERS:
        raise ValueError(f"no paper {paper!r}; there are {', '.join(pdf.PAPERS)}")
    check_folder(out)
    painted_areas = areas(kit)
    found = scheme(kit, progress)
    swatches = kit_swatches(kit)
    painted = as_painted(found, swatches)
    chosen = brush(painted, swatches)
    cover = covering(swatches, chosen, painted_areas)
    guide = assemble(
        painted,
        swatches,
        illustrations(kit),
        areas=painted_areas,
        odds=odds(found),
        chosen=chosen,
        tones=tones(painted, swatches, chosen),
        cover=cover.parts,
        scale_rule=scale_rule(found),
        tone_words=tone_words(kit),
        primer=cover.primer,
        cover_words=cover.words,
        amounts=cover.amounts,
    )
    files: dict[Path, bytes | str] = {
        out / "guide.pdf": pdf.render(guide, paper),
        out / "guide.html": html.render(guide),
        out / "scheme.json": scheme_document(found),
    }
    replace_together(files, out)
    return list(files)
