"""How each part is painted: its shade and highlight, its coats, and how much paint that takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from palette.colour.spaces import Array
from palette.evidence.combine.model import Scheme
from palette.evidence.combine.words import joined, shows
from palette.guide.assembly import chip, number, paint_detail, tidy
from palette.guide.content import Choice, Cover, Off, Tone
from palette.kit.model import Kit
from palette.paints.choosing.chosen import Chosen, Recipe, base
from palette.paints.choosing.proposals import INFERRED
from palette.paints.choosing.shelf import Shelf
from palette.paints.cover import ASSUMED, MOST, PRIMERS, RATE, UNSEEN, Coats, coats
from palette.paints.tones import highlight, shade
from palette.swatches.kinds import unmixable
from palette.swatches.model import SwatchList

_NO_HELP = 6.0  # CIEDE2000 by prediction: a tone further off is none; common practice, no source
_MIXES = 30  # recipes that are weighed for a tone
_SAVES = 2  # coats an undercoat must save to be worth its own


@dataclass(frozen=True)
class Covering:
    """Coats and quantities of a kit. `primer` and `words` are '' where nothing is known of either."""

    parts: Mapping[str, Cover]
    primer: str
    words: str
    amounts: Mapping[str, float]  # millilitres by swatch id


def tones(scheme: Scheme, swatches: SwatchList, brush: Mapping[str, Chosen]) -> dict[str, tuple[Tone, ...]]:
    """Shade and highlight of every part with a colour, chosen as base colours are; never the base's own paint
    (`brush` has what the parts are painted with), and none where even the best would look like another kind
    of colour."""
    kit = scheme.kit
    shelf = Shelf(swatches, kit.tolerance, {id for chosen in brush.values() for id in chosen.to_buy})
    names = {s.id: tidy(s.name) or tidy(s.id) for s in swatches.swatches}
    ranges = {s.id: s.range for s in swatches.swatches}
    found: dict[tuple[object, ...], tuple[Tone, ...]] = {}
    answers = {}
    for part in scheme.parts:
        chosen_base = brush.get(part.part.id)
        start = base(part, chosen_base, swatches)
        if start is None or part.part.finish == "metallic":
            continue
        recipe = chosen_base.recipe if chosen_base is not None else ()
        key = (*start.tolist(), part.basis in INFERRED, recipe)
        if key not in found:
            neighbours = {
                "shade": shade(start, kit.shade, kit.tone_hue) if kit.shade else None,
                "highlight": highlight(start, kit.highlight, kit.tone_hue) if kit.highlight else None,
            }
            made = []
            for role, lab in neighbours.items():
                if lab is None:
                    continue
                chosen = _tone(lab, shelf, recipe, part.basis not in INFERRED, part.radius90 or 0.0)
                choice = _choice(chosen, kit, names, ranges)
                ids = tuple(id for id, _ in chosen.recipe) if chosen is not None else ()
                made.append(Tone(role, chip(lab), choice, ids))
            found[key] = tuple(made)
        if found[key]:
            answers[part.part.id] = found[key]
    return answers


def tone_words(kit: Kit) -> str:
    """The rule by which shades and highlights were made, in words to print."""
    roles = []
    if kit.shade:
        roles.append(f"the shade is {kit.shade:g} L* darker, a little more colourful and cooler in hue")
    if kit.highlight:
        roles.append(f"the highlight is {kit.highlight:g} L* lighter, a little less colourful and warmer")
    return (
        f"Common practice, no source: {joined(roles)}; by less where black or white is near. Small models "
        "need less."
        if roles
        else ""
    )


def _tone(lab: Array, shelf: Shelf, base: Recipe, mix: bool, unsure: float) -> Chosen | None:
    own = [id for id, _ in base] if len(base) == 1 else []
    candidates = shelf.nearest(lab, True, own) + shelf.nearest(lab, False, own)
    if mix and not any(c.owned and c.miss <= shelf.tolerance for c in candidates):
        candidates += shelf.made(lab, _MIXES)
        if not any(c.miss <= shelf.tolerance for c in candidates):
            candidates += shelf.made(lab, _MIXES, to_hand=False)
    chosen = shelf.pick(candidates, unsure)
    # An unsure mixture is printed with its error, as a base colour's is, and better than nothing.
    return chosen if chosen is not None and chosen.difference < _NO_HELP else None


def _choice(chosen: Chosen | None, kit: Kit, names: Mapping[str, str], ranges: Mapping[str, str]) -> Choice:
    if chosen is None:
        return Choice("nothing", "", "no paint near" if names else "")
    off = Off(number(chosen.difference), shows(chosen.miss), chosen.miss <= kit.tolerance)
    if chosen.mix is not None:
        off = replace(off, difference=f"{off.difference} ± {number(chosen.mix.expected_error)}")
        recipe = " + ".join(f"{count} {names[id]}" for id, count in chosen.recipe)
        return Choice("mixture", recipe, "mixed, in drops", off)
    id = chosen.recipe[0][0]
    return Choice("paint", names[id], paint_detail(ranges[id], id), off)


def covering(swatches: SwatchList, brush: Mapping[str, Chosen], areas: Mapping[str, float]) -> Covering:
    """Coats over the primer that saves most of them, undercoats where one saves two coats or more, and the
    paint that takes, for every part with something on the brush."""
    chosen = {id: each.recipe for id, each in brush.items()}
    odd = {s.id for s in swatches.swatches if unmixable(s)}
    plain = {id: recipe for id, recipe in chosen.items() if not any(paint in odd for paint, _ in recipe)}
    by_recipe = dict(zip(plain.values(), coats([dict(r) for r in plain.values()], swatches), strict=True))
    known = {id: by_recipe[recipe] for id, recipe in plain.items()}
    if not known:
        return Covering({}, "", "", {})

    def cost(primer: str) -> float:
        return sum(areas.get(id, 1.0) * _coats(each, primer) for id, each in known.items())

    # of primers that cost the same, the one that shows defects best
    primer = min(PRIMERS, key=lambda p: (cost(p), p != "mid grey"))
    covers: dict[str, Cover] = {}
    amounts: dict[str, float] = {}
    for id, each in known.items():
        covers[id], millilitres = _cover(each, primer, areas.get(id))
        for paint, share in _shares(chosen[id]):
            if millilitres is not None:
                amounts[paint] = amounts.get(paint, 0.0) + share * millilitres
    return Covering(covers, primer, _words(known, primer, bool(amounts)), amounts)


def _coats(each: Coats, primer: str) -> float:
    """Coats over a primer; where the most do not cover, more, by how much of it they leave to be seen."""
    return each.coats[primer] or MOST + max(1.0, each.left[primer] / UNSEEN)


def _cover(each: Coats, primer: str, area: float | None) -> tuple[Cover, float | None]:
    over, count = primer, _coats(each, primer)
    for other in PRIMERS:
        fewer = _coats(each, other)
        if fewer <= count - _SAVES or (each.coats[other] is not None and each.coats[over] is None):
            over, count = other, fewer
    undercoat = "" if over == primer else f"a {over} undercoat"
    covered = each.coats[over]
    millilitres = None if area is None else area * (covered or MOST) / each.area_per_ml
    volume = "" if millilitres is None else f"{number(max(millilitres, 0.1))} ml"
    if covered is None:
        ground = undercoat or f"a {over} primer"
        why = f"does not cover in {MOST} coats{f' ({volume})' if volume else ''}: {ground}, the best for it, "
        why += f"still shows through by {number(each.left[over])}"
        return Cover(None, undercoat, volume, why), millilitres
    return Cover(covered, undercoat, volume, "" if each.stated else "opacity assumed"), millilitres


def _shares(recipe: Recipe) -> list[tuple[str, float]]:
    total = sum(count for _, count in recipe)
    return [(id, count / total) for id, count in recipe]


def _words(known: Mapping[str, Coats], primer: str, quantities: bool) -> str:
    """What coats and quantities rest on."""
    stated = [c.stated for c in known.values()]
    words = [
        f"Coats: predicted by Kubelka-Munk, as many as it takes until a {primer} primer shows through by "
        f"less than {UNSEEN:g} (CIEDE2000)"
    ]
    if any(stated):
        words.append(", at the opacity that the list gives for one")
    if not all(stated):
        words.append(
            (
                "; where it gives none (“about”),"
                if any(stated)
                else "; the list gives no opacity (“about”), so"
            )
            + f" a coat is taken to be as thick as one of a strong white that hides {ASSUMED:.0%}"
        )
    words.append("; thinner coats take more.")
    if quantities:
        rates = [c.rate_stated for c in known.values()]
        words.append(" Quantities: the coverage that the list gives" if any(rates) else " Quantities: ")
        if not all(rates):
            words.append(", and where it gives none " if any(rates) else "")
            words.append(
                f"{RATE:g} cm² a millilitre and coat (common practice, from memory; the label goes first)"
            )
        words.append(". What stays in brush and cup comes on top.")
    return "".join(words)
