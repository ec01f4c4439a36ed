"""What a kit's parts and references say of each other: every contradiction, with its line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from palette.errors import Problem
from palette.kit.model import Anchor, Kit, Part
from palette.kit.paints import same_paint
from palette.kit.scale import scale_number
from palette.kit.tables import KnownWords, nearest_word


def check(kit: Kit, parts_known: bool = True) -> list[Problem]:
    """Problems between the entries of a kit; an entry without an id (a problem already) is passed over.

    `parts_known` is False when the list of parts itself could not be read whole: then a part that is
    named elsewhere and not found is no news.
    """
    wrong = _between(kit, parts_known)
    return [Problem(str(kit.path), line, what, remedy) for line, what, remedy in wrong]


_Wrong = Iterator[tuple[int | None, str, str]]


def _between(kit: Kit, parts_known: bool) -> _Wrong:
    yield from _twice("part", [(part.id, part.line) for part in kit.parts])
    yield from _twice("reference", [(reference.id, reference.line) for reference in kit.references])
    parts = {part.id: part for part in kit.parts}
    if parts_known:
        yield from _unknown_parts(kit, parts)
    yield from _cover(kit)
    yield from _areas(kit)
    yield from _rings(kit.parts, parts)
    yield from _circular_anchors(kit, parts)
    yield from _surfaces(kit)
    yield from _hint_words(kit)
    if kit.scale_effect and scale_number(kit.scale) is None:
        what = f"scale_effect needs a scale, and scale is {kit.scale!r}"
        line = kit.lines.get("scale", kit.lines.get("scale_effect"))
        yield line, what, 'write the scale as "1:35", or take scale_effect out'


def _twice(kind: str, ids: Sequence[tuple[str, int | None]]) -> _Wrong:
    first: dict[str, int | None] = {}
    for id, line in ids:
        if id and id in first:
            what = f"{kind} id {id!r} is taken already, on line {first[id]}"
            yield line, what, "give each an id of its own"
        first.setdefault(id, line)


_LARGEST = 20_000.0  # cm², two square metres; common practice, no source


def _areas(kit: Kit) -> _Wrong:
    scale = scale_number(kit.scale)
    for part in kit.parts:
        if part.area_cm2 is not None and part.area_cm2 > _LARGEST:
            what = f"area_cm2 of part {part.id!r} is {part.area_cm2:g}, too large for a model"
            own = part.area_cm2 / scale**2 if scale else 0.0
            asked = f"is it the original's? At {kit.scale} that is {own:.3g}" if own > 0.01 else ""
            yield part.line, what, asked or "give the model's area in square centimetres"


def _unknown_parts(kit: Kit, parts: Mapping[str, Part]) -> _Wrong:
    named: list[tuple[str, int | None, str]] = []
    for part in kit.parts:
        named += [(id, part.line, f"part {part.id!r} comes after") for id in part.after]
        named += [(part.same_as, part.line, f"part {part.id!r} is the same as")] if part.same_as else []
        named += [(than.lighter, than.line, f"part {part.id!r} is lighter than") for than in part.thans]
    for reference in kit.references:
        named += [(s.part, s.line, f"reference {reference.id!r} samples") for s in reference.samples]
        named += [
            (a.colour.part, a.colour.line, f"an anchor of reference {reference.id!r} takes the colour of")
            for a in reference.anchors
            if a.colour.part
        ]
    words = KnownWords(parts)
    for id, line, who in named:
        if id and id not in parts:
            near = words.nearest(id)
            remedy = f"did you mean {near!r}?" if near else f'add a [[part]] with id = "{id}"'
            yield line, f"{who} {id!r}, which is no part of this kit", remedy


def _cover(kit: Kit) -> _Wrong:
    ids = [reference.id for reference in kit.references]
    if kit.cover and kit.cover not in ids:
        near = nearest_word(kit.cover, ids)
        remedy = f"did you mean {near!r}?" if near else "name the reference that shows where parts are"
        yield kit.lines.get("cover"), f"cover {kit.cover!r} is no reference of this kit", remedy


def _rings(kit_parts: Iterable[Part], parts: Mapping[str, Part]) -> _Wrong:
    """`after`, `same_as` and `than` that lead back to where they started."""
    after = {part.id: list(part.after) for part in kit_parts}
    same = {part.id: [part.same_as] if part.same_as else [] for part in kit_parts}
    lighter = {part.id: [than.lighter for than in part.thans] for part in kit_parts}
    for edges, what, remedy in (
        (after, "parts painted after each other", "take one of these from `after`"),
        (same, "same_as goes round", "leave one of these parts without same_as"),
        (lighter, "parts lighter than each other", "take one of these comparisons out"),
    ):
        for ring in _find_rings(edges):
            yield parts[ring[0]].line, f"{what}: {_arrow(ring)}", remedy


def _arrow(ring: Sequence[str]) -> str:
    return " → ".join([*ring, ring[0]])


def _find_rings(edges: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """One ring for each place where following `edges` leads back; each node is visited once."""
    rings = []
    state: dict[str, int] = {}  # 1 on the path, 2 done
    for start in edges:
        if start in state:
            continue
        path = [start]
        waiting = [iter(edges[start])]
        state[start] = 1
        while path:
            node = next(waiting[-1], None)
            if node is None:
                state[path.pop()] = 2
                waiting.pop()
            elif state.get(node) == 1:
                rings.append(path[path.index(node) :])
            elif node in edges and node not in state:
                state[node] = 1
                path.append(node)
                waiting.append(iter(edges[node]))
    return rings


def _circular_anchors(kit: Kit, parts: Mapping[str, Part]) -> _Wrong:
    """Anchors that take the colour of a part which only the same reference could settle."""
    family = same_paint(kit)
    shows = [
        {family.get(s.part, s.part) for s in reference.samples} if reference.subject == "original" else set()
        for reference in kit.references
    ]
    stated = {family[part.id] for part in kit.parts if part.colour is not None or part.hints}

    # A reference that can be used has had all its anchors settled before, so without itself; one that cannot
    # settles nothing: one pass over all of them answers for each.
    settled = set(stated)
    waiting: dict[str, list[int]] = {}
    lacking: list[set[str]] = []
    usable = []
    for i, reference in enumerate(kit.references):
        needs = {family.get(a.colour.part, a.colour.part) for a in reference.anchors if a.colour.part}
        lacking.append(needs - settled)
        for part in lacking[i]:
            waiting.setdefault(part, []).append(i)
        if not lacking[i]:
            usable.append(i)
    while usable:
        for part in shows[usable.pop()] - settled:
            settled.add(part)
            for i in waiting.get(part, ()):
                lacking[i].discard(part)
                if not lacking[i]:
                    usable.append(i)
    for reference in kit.references:
        for anchor in reference.anchors:
            named = anchor.colour.part
            if named is not None and named in parts and family[named] not in settled:
                yield (
                    anchor.colour.line,
                    f"the anchor takes its colour from part {named!r}, which no other reference settles",
                    "sample that part in another reference, or state its colour",
                )


def _surfaces(kit: Kit) -> _Wrong:
    """Anchors on one plain surface that are said to be of different colours."""
    for reference in kit.references:
        first: dict[str, Anchor] = {}
        for anchor in reference.anchors:
            other = first.setdefault(anchor.surface, anchor)
            if anchor.surface and (anchor.colour.words, anchor.spread) != (other.colour.words, other.spread):
                yield (
                    anchor.line,
                    f"this anchor lies on the surface {anchor.surface!r}, "
                    f"whose colour or spread is another on line {other.line}",
                    "give both the same colour and spread, or take surface out",
                )


def _hint_words(kit: Kit) -> _Wrong:
    hints = [(part, hint) for part in kit.parts for hint in part.hints]
    if not hints:
        return
    from palette.colour.spoken import UnknownWords, parse

    wrong: dict[str, tuple[str, str] | None] = {"": None}  # an empty one is said where it was read
    for part, hint in hints:
        words = hint.words.strip()
        if words not in wrong:
            try:
                parse(words)
                wrong[words] = None
            except UnknownWords as error:
                wrong[words] = error.what, error.remedy
        if refused := wrong[words]:
            yield hint.line, f"a hint of part {part.id!r}: {refused[0]}", refused[1]
