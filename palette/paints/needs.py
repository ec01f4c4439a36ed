"""How each part is painted: its shade and highlight, its coats, and how much paint that takes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from palette.colour.spaces import Array
from palette.evidence.combine.model import Scheme
from palette.paints.choosing.chosen import Chosen, Recipe, base
from palette.paints.choosing.few import DROP, FEW_DROPS
from palette.paints.choosing.proposals import INFERRED
from palette.paints.choosing.shelf import Shelf
from palette.paints.cover import MOST, PRIMERS, RATE, UNSEEN, Coats, coats
from palette.paints.tones import highlight, shade
from palette.swatches.kinds import unmixable
from palette.swatches.model import SwatchList

ROLES = ("shade", "highlight")
NO_COAT = ("clear", "bare", "lit", "metallic")  # finishes that no tone suits

TONE_SHARE = 0.15  # of the base's paint that a shade or a highlight takes; common practice, no source
_NO_HELP = 6.0  # CIEDE2000 by prediction: a tone further off is none; common practice, no source
_ALIKE = 5.0  # of a paint that is there already; half a tone's step, common practice, no source
_MIXES = 30  # recipes that are weighed for a tone
_SAVES = 2  # coats an undercoat must save to be worth its own


@dataclass(frozen=True)
class Tone:
    """A neighbour of a base colour: its colour (3,) and the paint for it, None where none comes near."""

    role: str  # shade | highlight
    lab: Array
    chosen: Chosen | None


@dataclass(frozen=True)
class Coating:
    """What it takes to cover one part over `ground`, one of `PRIMERS`. `coats` is None where `MOST` do not
    cover, and then `left` (CIEDE2000) still shows; `stated`: whether the list gives the paints' opacity."""

    coats: int | None
    ground: str
    millilitres: float | None  # None where the area is unknown
    stated: bool
    left: float


@dataclass(frozen=True)
class Covering:
    """Coats by part id, and the primer to use everywhere: '' where nothing is known of the paints."""

    parts: Mapping[str, Coating]
    primer: str


def tones(
    scheme: Scheme,
    swatches: SwatchList,
    chosen_for: Mapping[str, Chosen],
    coated: Mapping[str, Coating] | None = None,
    mixing: bool = True,
) -> dict[str, tuple[Tone, ...]]:
    """Shade and highlight of every part with a colour, chosen as base colours are; never the base's own paint
    (`chosen_for`: what the parts are painted with), and none where even the best would look like another kind
    of colour. A paint that the work takes already goes before a new one where it comes near enough, and one
    to hand before one to buy: a tone is a rule of thumb, and every pot is one to buy and open. Where `coated`
    tells that a tone takes less than a few drops it is a straight paint, for nobody can measure a mixture
    that small; so it is without `mixing`."""
    kit = scheme.kit
    shelf = Shelf(swatches, kit.tolerance, {id for chosen in chosen_for.values() for id in chosen.to_buy})
    tray = {id for chosen in chosen_for.values() for id, _ in chosen.recipe}
    chosen_tones: dict[tuple[object, ...], tuple[Tone, ...]] = {}
    answers = {}
    for part in scheme.parts:
        chosen_base = chosen_for.get(part.part.id)
        start = base(part, chosen_base, swatches)
        if start is None or part.part.finish in NO_COAT:
            continue
        recipe = chosen_base.recipe if chosen_base is not None else ()
        down = kit.shade if part.part.shade is None else part.part.shade
        up = kit.highlight if part.part.highlight is None else part.part.highlight
        mix = (
            mixing
            and part.basis not in INFERRED
            and _worth_mixing((coated or {}).get(part.part.id), part.part.area_cm2)
        )
        key = (*start.tolist(), part.basis in INFERRED, recipe, down, up, mix)
        if key not in chosen_tones:
            neighbours = {
                "shade": shade(start, down, kit.tone_hue) if down else None,
                "highlight": highlight(start, up, kit.tone_hue) if up else None,
            }
            made = []
            for role, lab in neighbours.items():
                if lab is not None:
                    chosen = _tone(lab, shelf, recipe, mix, part.radius90 or 0.0, tray)
                    tray |= {id for id, _ in chosen.recipe} if chosen is not None else set()
                    made.append(Tone(role, lab, chosen))
            chosen_tones[key] = tuple(made)
        if chosen_tones[key]:
            answers[part.part.id] = chosen_tones[key]
    return answers


def _worth_mixing(coating: Coating | None, area: float | None) -> bool:
    """Whether a tone of a part takes enough paint to be mixed: by its coating, else by its area in cm² under
    one coat; unknown amounts are taken as enough."""
    millilitres = None if coating is None else coating.millilitres
    if millilitres is None and area is not None:
        millilitres = area / RATE
    return millilitres is None or millilitres * TONE_SHARE >= FEW_DROPS * DROP


def _tone(
    lab: Array, shelf: Shelf, base: Recipe, mix: bool, unsure: float, tray: Collection[str]
) -> Chosen | None:
    own = [id for id, _ in base] if len(base) == 1 else []
    open_already = shelf.among(tray, lab, own)
    if open_already is not None and open_already.difference <= _ALIKE:
        return open_already
    candidates = shelf.nearest(lab, True, own) + shelf.nearest(lab, False, own)
    if mix and not any(c.owned and c.miss <= shelf.tolerance for c in candidates):
        candidates += shelf.made(lab, _MIXES)
        if not any(c.miss <= shelf.tolerance for c in candidates):
            candidates += shelf.made(lab, _MIXES, to_hand=False)
    there = [c for c in candidates if shelf.has(c) and c.miss <= _ALIKE]
    chosen = shelf.pick(there or candidates, unsure)
    # An unsure mixture is printed with its error, as a base colour's is, and better than nothing.
    return chosen if chosen is not None and chosen.difference < _NO_HELP else None


def covering(swatches: SwatchList, chosen_for: Mapping[str, Chosen], areas: Mapping[str, float]) -> Covering:
    """Coats over the primer that saves most of them, another ground where that saves two coats or more, and
    the paint that takes, for every part with something on the brush."""
    odd = {s.id for s in swatches.swatches if unmixable(s)}
    plain = {id: c.recipe for id, c in chosen_for.items() if not any(paint in odd for paint, _ in c.recipe)}
    by_recipe = dict(zip(plain.values(), coats([dict(r) for r in plain.values()], swatches), strict=True))
    known = {id: by_recipe[recipe] for id, recipe in plain.items()}
    if not known:
        return Covering({}, "")

    def cost(primer: str) -> float:
        return sum(areas.get(id, 1.0) * _coats(each, primer) for id, each in known.items())

    # of primers that cost the same, the one that shows defects best
    primer = min(PRIMERS, key=lambda p: (cost(p), p != "mid grey"))
    return Covering({id: _coating(each, primer, areas.get(id)) for id, each in known.items()}, primer)


def _coats(each: Coats, primer: str) -> float:
    """Coats over a primer; where the most do not cover, more, by how much of it they leave to be seen."""
    return each.coats[primer] or MOST + max(1.0, each.left[primer] / UNSEEN)


def _coating(each: Coats, primer: str, area: float | None) -> Coating:
    over, count = primer, _coats(each, primer)
    for other in PRIMERS:
        fewer = _coats(each, other)
        if fewer <= count - _SAVES or (each.coats[other] is not None and each.coats[over] is None):
            over, count = other, fewer
    covered = each.coats[over]
    millilitres = None if area is None else max(area * (covered or MOST) / each.area_per_ml, 0.05)
    return Coating(covered, over, millilitres, each.stated, each.left[over])
