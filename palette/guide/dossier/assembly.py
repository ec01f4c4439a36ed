"""From a scheme to the dossier's content."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette import notes
from palette.colour.names import name
from palette.colour.scales import Sureness, Visibility, sureness
from palette.colour.spaces import Array
from palette.evidence.combine.model import Evidence, PartColour, Scheme
from palette.evidence.combine.notes import Decided, WordsTaken
from palette.guide.chips import (
    ISOLATES,
    Chip,
    bounded_hex,
    by_range,
    chip,
    isolated,
    letter,
    part_name,
    range_of,
    seen_key,
    tidy,
)
from palette.guide.crops import Crop as CutOut
from palette.guide.dossier.content import (
    Alternative,
    Cell,
    Choice,
    Crop,
    Dossier,
    EvidenceRow,
    Explained,
    Inferred,
    Likely,
    Note,
    Off,
    Paint,
    PartEntry,
    PartShown,
    RangeTable,
    ReferenceEntry,
    Slice,
    Sure,
)
from palette.guide.illustrations import Illustration
from palette.guide.places import Outline, Place, figure_size, places
from palette.kit.model import UNPAINTED, Reference, StatedColour
from palette.paints.choosing.chosen import Chosen, Odds, choose, nearest_of
from palette.paints.choosing.proposals import INFERRED, fitting
from palette.paints.cover import ASSUMED, RATE, UNSEEN
from palette.swatches.model import SwatchList
from palette.words import say, sentence
from palette.words.catalogue import Words
from palette.words.lights import under

LIKELY = 6  # paints whose odds are printed


def assemble(
    scheme: Scheme,
    swatches: SwatchList,
    illustrations: Mapping[str, Illustration],
    words: Words | None = None,
    *,
    odds: Mapping[str, Odds] | None = None,
    chosen: Mapping[str, Chosen] | None = None,
    scale_rule: str = "",
    coats: Coating | None = None,
    mine: bool = False,
    crops: Sequence[CutOut] = (),
) -> Dossier:
    """The dossier of a scheme.

    `illustrations` are the references' pictures by id; one that is missing is noted in its place. `odds`
    are the inferences of parts seen only in grey, `chosen` what goes on the brush (as `choose` has it where
    not given), each by part id; `scale_rule` says how colours were changed for the scale, `coats` whether the
    lists state opacity and coverage; `mine`: with what the maker owns; `crops` are the parts' places in the
    pictures.
    """
    if chosen is None:
        chosen = choose(scheme, swatches, odds)
    made = _Assembly(scheme, swatches, illustrations, words or Words(), odds or {}, chosen, mine)
    return made.dossier(scale_rule, coats, crops)


@dataclass(frozen=True)
class Coating:
    """What the coats and amounts of the guide rest on: whether some paints, or all, state their opacity."""

    some_stated: bool
    all_stated: bool


def remaining(
    lab: Array, covariance: Array, words: Words, draws: Array | None = None, size: int = 15
) -> Slice:
    """The colours that remain, over a* and b*, from draws (n, 3) where there are enough, else from the
    Gaussian (lab (3,), covariance (3, 3)). Each square has the mean lightness of what falls into it."""
    if draws is None or len(draws) < 200:
        draws = np.random.default_rng(7).multivariate_normal(lab, covariance, size=4000, method="eigh")
    ab, lightness = draws[:, 1:], draws[:, 0]
    middle = np.median(ab, axis=0)
    half = 5.0 * np.ceil(max(10.0, float(np.quantile(np.abs(ab - middle), 0.985))) / 5.0)
    low = 5.0 * np.round((middle - half) / 5.0)
    step = 2 * half / size
    index = np.floor((ab - low) / step).astype(int)
    inside = np.all((index >= 0) & (index < size), axis=1)
    where = (index[inside, 0], index[inside, 1])
    count, total = np.zeros((size, size)), np.zeros((size, size))
    np.add.at(count, where, 1.0)
    np.add.at(total, where, lightness[inside])
    cells = []
    for i, j in np.argwhere(count > 0.02 * count.max()):
        a, b = low + (np.array([i, j]) + 0.5) * step
        colour = bounded_hex(np.array([total[i, j] / count[i, j], a, b]))
        cells.append(Cell(int(i), int(j), colour, float(count[i, j] / count.max())))
    across, up = ((words.number(float(low[k]), 0), words.number(float(low[k] + 2 * half), 0)) for k in (0, 1))
    zero = [float(-low[k] / (2 * half)) for k in (0, 1)]
    said = words("slice-words", left=across[0], right=across[1], low=up[0], high=up[1])
    crossing = tuple(share if 0 < share < 1 else None for share in zero)
    return Slice(size, across, up, (crossing[0], crossing[1]), tuple(cells), said)


class _Assembly:
    """Holds what the sections share while one dossier is put together."""

    def __init__(
        self,
        scheme: Scheme,
        swatches: SwatchList,
        illustrations: Mapping[str, Illustration],
        words: Words,
        odds: Mapping[str, Odds],
        chosen: Mapping[str, Chosen],
        mine: bool,
    ) -> None:
        self.scheme, self.kit, self.words = scheme, scheme.kit, words
        self.illustrations, self.odds, self.chosen, self.mine = illustrations, odds, chosen, mine
        self.swatch = {swatch.id: swatch for swatch in swatches.swatches}
        self.on_sale = swatches.where([not swatch.retired for swatch in swatches.swatches])
        self.number = {colour.part.id: index for index, colour in enumerate(scheme.parts, 1)}

    def dossier(self, scale_rule: str, coats: Coating | None, crops: Sequence[CutOut] = ()) -> Dossier:
        kit, colours, w = self.kit, self.scheme.parts, self.words
        pictures: list[bytes] = []
        originals = [reference for reference in kit.references if reference.subject == "original"]
        parts = tuple(self._part(part) for part in colours)
        version = w("version", version=tidy(kit.version)) if tidy(kit.version) else ""
        licence = tidy(kit.licence)
        return Dossier(
            title=tidy(kit.title) or w("untitled"),
            maker=tidy(kit.maker),
            language=w.language,
            right_to_left=w.right_to_left,
            labels=w.all("label"),
            footer=" · ".join(filter(None, (w(f"stage-{kit.stage}"), version, tidy(kit.maker)))),
            facts=self._facts(),
            stage_words=w(f"stage-{kit.stage}-words"),
            how_to_read=(w("read-parts"), w("read-off")),
            parts=parts,
            any_outside=any(part.chip.outside for part in parts),
            scale_rule=tidy(scale_rule),
            choice_words=self._choice_words(),
            cover_words=self._cover_words(coats),
            tone_words=self._tone_words(),
            ranges=self._ranges(),
            judging=tuple(w(f"judging-{k}") for k in ("printer", "dry", "card", "outside")),
            shows=self._shows_key(),
            sure=self._sure_key(),
            pictured=self._shown(crops, pictures),
            inferred=tuple(self._inferred(f) for f in colours if f.basis in INFERRED),
            explained=tuple(self._explained(f) for f in colours if f.conflict or f.basis == "decision"),
            references=tuple(self._reference(reference, pictures) for reference in originals),
            notes=self._notes(),
            licence=w("licence", licence=licence) if licence else w("no-licence"),
            credits=tuple(self._credit(r) for r in kit.references if tidy(r.credit) or tidy(r.licence)),
            made_with=w("made-with", version=_version()),
            pictures=tuple(pictures),
        )

    def _credit(self, reference: Reference) -> str:
        """'depot-slide: M. Orrin collection (CC-BY-4.0)'"""
        licence = tidy(reference.licence)
        said = " ".join(filter(None, (tidy(reference.credit), f"({licence})" if licence else "")))
        return f"{_id(reference.id)}: {said}"

    def _facts(self) -> tuple[tuple[str, str], ...]:
        kit, w = self.kit, self.words
        facts = (
            (w("fact-maker"), kit.maker),
            (w("fact-scale"), kit.scale),
            (w("fact-version"), kit.version),
            (w("fact-stage"), w(f"stage-{kit.stage}")),
            (w("fact-date"), w.date(kit.date) if kit.date is not None else ""),
            (w("fact-licence"), kit.licence),
            (w("fact-light"), under(kit.light, w, exactly=True)),
            (w("fact-match"), f"{w.number(kit.tolerance)} CIEDE2000"),
            (w("fact-parts"), w.number(len(self.scheme.parts), 0)),
        )
        return tuple((label, tidy(value)) for label, value in facts if tidy(value))

    def _chip(self, lab: Array | None, covariance: Array | None = None) -> Chip:
        made = chip(lab, covariance)
        said = self.words.colour(made.words) if made.hex else self.words("undecided")
        return replace(
            made, words=said, lab=tuple(self.words.number(float(v)) for v in lab) if lab is not None else ()
        )

    # Parts and what to paint them with

    def _part(self, colour: PartColour) -> PartEntry:
        part = colour.part
        return PartEntry(
            self.number[part.id],
            tidy(part.id),
            part_name(part),
            self.words(f"short-{part.finish}"),
            self._face(colour),
            colour.basis in INFERRED,
            self._sure(colour),
            self._choice(colour),
        )

    def _face(self, colour: PartColour) -> Chip:
        """The colour of a part; for one that gets no paint and has none, why."""
        made = self._chip(colour.lab, colour.covariance)
        if colour.lab is not None or colour.part.finish not in UNPAINTED:
            return made
        return replace(made, words=self.words(f"bare-{colour.part.finish}"), bare=True)

    def _off(self, value: float, miss: float | None = None, sure: bool = True) -> Off:
        """`miss` is what may be expected where `value` is only predicted; the words go by it."""
        expected = value if miss is None else miss
        seen = self.words(f"seen-{seen_key(expected)}") if sure else ""
        return Off(self.words.number(value), seen, expected <= self.kit.tolerance)

    def _choice(self, colour: PartColour) -> Choice:
        w = self.words
        if colour.part.finish in UNPAINTED:
            return Choice("nothing", "–", "" if colour.lab is None else w(f"bare-{colour.part.finish}"))
        if colour.lab is None:
            return Choice("nothing", w("choice-not-yet"), w("choice-undecided"))
        chosen = self.chosen.get(colour.part.id)
        if chosen is None:
            return Choice("nothing", "–", w("choice-no-paint"))
        said = "; ".join(say(remark, words=w) for remark in chosen.remarks)
        # beside a colour that is open no difference tells what would show
        known = colour.radius90 is None or sureness(colour.radius90) is not Sureness.OPEN
        guessed = w("choice-guess", off=w.number(chosen.guess.expected, 0)) if chosen.guess else ""
        if chosen.mix is not None:
            mix = chosen.mix
            recipe = " + ".join(f"{count} {tidy(id)}" for id, count in mix.drops)
            if guessed:
                return Choice("mixture", w("choice-mixture"), recipe, None, guessed, self._chip(mix.lab))
            off = self._off(mix.difference, chosen.miss, known)
            off = replace(off, difference=f"{off.difference} ± {w.number(mix.expected_error)}")
            return Choice("mixture", w("choice-mixture"), recipe, off, said, self._chip(mix.lab))
        id = chosen.recipe[0][0]
        swatch = self.swatch.get(id)
        sold = w("choice-not-sold") if swatch is not None and swatch.retired else ""
        paint = self._paint(id)
        detail = " · ".join(filter(None, (paint.range, tidy(id), sold)))
        if guessed:
            return Choice("paint", paint.name, detail, None, guessed, paint.chip)
        return Choice("paint", paint.name, detail, self._off(chosen.difference, sure=known), said, paint.chip)

    def _choice_words(self) -> str:
        """How the paints of the scheme were chosen, in a line."""
        if not len(self.on_sale):
            return self.words("no-paints")
        owned = any(s.owned for s in self.on_sale.swatches)
        guessed = any(c.guess is not None for c in self.chosen.values())
        return how_chosen(self.words, owned, guessed, self.kit.tolerance, self.mine)

    def _cover_words(self, coats: Coating | None) -> str:
        if coats is None:
            return ""
        stated = "all" if coats.all_stated else "some" if coats.some_stated else "none"
        return self.words(
            f"cover-{stated}",
            unseen=f"{UNSEEN:g}",
            assumed=self._percent(ASSUMED),
            rate=self.words.number(RATE, 0),
        )

    def _tone_words(self) -> str:
        w, kit, roles = self.words, self.kit, []
        if kit.shade:
            roles.append(w("tone-shade", step=f"{kit.shade:g}"))
        if kit.highlight:
            roles.append(w("tone-highlight", step=f"{kit.highlight:g}"))
        return w("tone-words", roles=w.joined(roles)) if roles else ""

    def _paint(self, id: str) -> Paint:
        swatch = self.swatch.get(id)
        if swatch is None:
            return Paint(tidy(id), tidy(id), "", chip(None))
        owned = swatch.owned if self.mine else None
        return Paint(
            tidy(swatch.id),
            tidy(swatch.name) or tidy(swatch.id),
            range_of(swatch),
            self._chip(swatch.lab),
            owned,
        )

    def _ranges(self) -> tuple[RangeTable, ...]:
        """For every range the paint for every part: what a reader who owns that range needs."""
        known = [f for f in self.scheme.parts if f.lab is not None and f.part.finish not in UNPAINTED]
        members = by_range(self.on_sale)
        ranges = list(members)
        if not known or not ranges:
            return ()
        answers = []  # by range, then by part
        for its in members.values():
            suited = {metallic: fitting(its, metallic) for metallic in (False, True)}
            answers.append(
                [self._answer(colour, suited[colour.part.finish == "metallic"]) for colour in known]
            )
        best = np.argmin([[rank for _, _, rank in column] for column in answers], axis=0)
        measured = sum(not self._by_odds(colour) for colour in known)
        tables = []
        for start in range(0, len(ranges), 3):
            columns = range(start, min(start + 3, len(ranges)))
            rows = tuple(
                (
                    self.number[colour.part.id],
                    part_name(colour.part),
                    tuple(
                        Alternative(*answers[c][row][:2], len(ranges) > 1 and c == int(best[row]))
                        for c in columns
                    ),
                )
                for row, colour in enumerate(known)
            )
            within = tuple(
                self.words("range-within", count=sum(off.within for _, off, _ in answers[c]), total=measured)
                if measured
                else self.words("range-none")
                for c in columns
            )
            note = self.words("range-odds") if measured < len(known) else ""
            tables.append(RangeTable(tuple(ranges[c] for c in columns), within, rows, note))
        return tuple(tables)

    def _by_odds(self, colour: PartColour) -> bool:
        chosen = self.chosen.get(colour.part.id)
        return chosen is not None and chosen.guess is not None

    def _answer(self, colour: PartColour, swatches: SwatchList) -> tuple[Paint, Off, float]:
        """Of some paints the one for a part, how far it is off, and that as a number."""
        paint, off = nearest_of(colour, swatches, self.odds.get(colour.part.id))
        if self._by_odds(colour):
            return self._paint(paint.id), Off(self.words.number(off), "", False), off
        return self._paint(paint.id), self._off(off), off

    # Evidence

    def _evidence_row(self, colour: PartColour, evidence: Evidence) -> EvidenceRow:
        return EvidenceRow(
            tidy(evidence.reference) or self.words(f"basis-{evidence.kind}"),
            self.number[colour.part.id],
            part_name(colour.part),
            self._chip(evidence.lab) if evidence.lab is not None else Chip("", self.words("rules-out")),
            "" if evidence.radius90 is None else self.words.number(evidence.radius90),
            self.words("percent", amount=self.words.number(100 * evidence.weight, 0)),
        )

    def _shown(self, crops: Sequence[CutOut], pictures: list[bytes]) -> tuple[PartShown, ...]:
        pictured = []
        for colour in self.scheme.parts:
            part, shown = colour.part, []
            for crop in (crop for crop in crops if crop.part == part.id):
                alt = self.words("crop-alt", part=isolated(part_name(part)), id=_id(crop.reference))
                shown.append(Crop(len(pictures), _id(crop.reference), alt))
                pictures.append(crop.jpeg)
            if shown:
                chip = self._chip(colour.lab)
                pictured.append(PartShown(self.number[part.id], part_name(part), chip, tuple(shown)))
        return tuple(pictured)

    def _explained(self, colour: PartColour) -> Explained:
        w = self.words
        if colour.basis == "decision":
            why = tidy(colour.part.why)
            text = w("decided-why", why=sentence(why)) if why else w("decided")
            if colour.conflict:
                text += " " + w("decided-divided")
        else:
            text = w("disagree")
        return Explained(
            self.number[colour.part.id],
            part_name(colour.part),
            self._chip(colour.lab, colour.covariance),
            colour.basis == "decision",
            colour.conflict,
            text,
            tuple(self._evidence_row(colour, evidence) for evidence in colour.evidence),
        )

    def _inferred(self, colour: PartColour) -> Inferred:
        assert colour.lab is not None and colour.covariance is not None  # by their basis
        w = self.words
        said = "; ".join(
            (f"“{tidy(hint.quote)}”: {tidy(hint.words)}" if tidy(hint.quote) else f"“{tidy(hint.words)}”")
            + (f" ({tidy(hint.source)})" if tidy(hint.source) else "")
            for hint in colour.part.hints
        )
        if colour.basis == "grey":
            text = w("inferred-grey") + (" " + w("inferred-remembered", said=said) if said else "")
        else:
            text = w("inferred-words", said=said) if said else w("inferred-words-none")
        odds = self.odds.get(colour.part.id)
        likely: tuple[Likely, ...] = ()
        if odds is None:
            spread = 1.645 * float(np.sqrt(colour.covariance[0, 0]))
            low, high = float(colour.lab[0]) - spread, float(colour.lab[0]) + spread
        else:
            low, high = odds.lightness
            likely = tuple(Likely(self._paint(id), self._percent(p), p) for id, p in odds.likely[:LIKELY])
        return Inferred(
            self.number[colour.part.id],
            part_name(colour.part),
            self._chip(colour.lab, colour.covariance),
            text,
            w("lightness", low=w.number(max(low, 0.0), 0), high=w.number(min(high, 100.0), 0)),
            likely,
            self._percent(max(0.0, 1.0 - sum(entry.share for entry in likely))) if likely else "",
            remaining(colour.lab, colour.covariance, w, odds.draws if odds else None),
        )

    def _reference(self, reference: Reference, pictures: list[bytes]) -> ReferenceEntry:
        illustration = self.illustrations.get(reference.id)
        anchors = tuple(
            (letter(index), self._known(anchor.colour)) for index, anchor in enumerate(reference.anchors)
        )
        picture, missing = None, ""
        drawn: tuple[Place, ...] = ()
        size = (0.0, 0.0)
        if illustration is None or not illustration.jpeg:
            missing = illustration.missing if illustration else self.words("picture-unopened")
        else:
            picture = len(pictures)
            pictures.append(illustration.jpeg)
            size = figure_size(illustration.width, illustration.height)
            outlines = self._outlines(reference, anchors)
            drawn = places(outlines, illustration.width, illustration.height)
        rows = tuple(
            self._evidence_row(colour, evidence)
            for colour in self.scheme.parts
            for evidence in colour.evidence
            if evidence.reference == reference.id
        )
        ids = dict.fromkeys(sample.part for sample in reference.samples if sample.part in self.number)
        sampled = tuple(sorted((self.number[id], part_name(self.scheme.part(id).part)) for id in ids))
        names = ", ".join(f"{n} {part}" for n, part in sampled) or self.words("none")
        described = self._description(reference)
        return ReferenceEntry(
            _id(reference.id),
            described,
            tidy(reference.credit),
            picture,
            tidy(missing),
            self.words("picture-alt", id=_id(reference.id), described=described, parts=names),
            size,
            drawn,
            sampled,
            anchors,
            rows,
        )

    def _outlines(self, reference: Reference, anchors: Sequence[tuple[str, str]]) -> list[Outline]:
        return [
            Outline(letter, anchor.region, True)
            for (letter, _), anchor in zip(anchors, reference.anchors, strict=True)
        ] + [
            Outline(str(self.number[sample.part]), sample.region)
            for sample in reference.samples
            if sample.part in self.number
        ]

    def _notes(self) -> tuple[Note, ...]:
        """How the colours were found: each source's notes once, with the parts they are about."""
        notes = []
        for source in dict.fromkeys(e.reference for f in self.scheme.parts for e in f.evidence):
            said: dict[str, list[int]] = {}
            for colour in self.scheme.parts:
                for note in (n for e in colour.evidence if e.reference == source for n in e.notes):
                    if not (isinstance(note, WordsTaken) and note.routine):
                        said.setdefault(self._said(note), []).append(self.number[colour.part.id])
            everyone = {n for about in said.values() for n in about}
            lines = tuple(
                note + ("" if set(about) == everyone else f" ({self._parts(sorted(set(about)))}.)")
                for note, about in said.items()
            )
            if lines:
                notes.append(Note(_id(source), lines))
        for colour in self.scheme.parts:
            own = [note for note in colour.notes if not isinstance(note, Decided)]  # it stands there already
            if own:
                heading = f"{self.number[colour.part.id]} {isolated(part_name(colour.part))}"
                notes.append(Note(heading, tuple(self._said(note) for note in own)))
        if self.scheme.warnings:
            notes.append(Note(self.words("kit-whole"), tuple(self._said(w) for w in self.scheme.warnings)))
        return tuple(notes)

    def _said(self, note: notes.Note) -> str:
        """A note as a sentence, with the parts' names for their ids."""
        return sentence(tidy(say(note, self._called, self.words), ISOLATES))

    def _called(self, kind: str, id: str) -> str:
        part = next((colour.part for colour in self.scheme.parts if colour.part.id == id), None)
        name = part_name(part) if kind == "part" and part is not None else id
        return f"“{isolated(name)}”"

    def _parts(self, numbers: Sequence[int]) -> str:
        listed = self.words.joined([str(n) for n in numbers])
        return self.words("parts-listed", count=len(numbers), parts=listed)

    def _percent(self, share: float) -> str:
        if 0 < share < 0.005:
            return self.words("under-one-percent")
        return self.words("percent", amount=self.words.number(100 * share, 0))

    def _known(self, colour: StatedColour) -> str:
        """An anchor's colour: 'yellowish white (L* 86.8, a* 0.4, b* 5.3)', 'Munsell N 5/'."""
        if colour.lab is not None and not colour.words.startswith("munsell"):
            lightness, a, b = (self.words.number(value) for value in colour.lab)
            numbers = f"L*\u00a0{lightness}, a*\u00a0{a}, b*\u00a0{b}"
            return f"{self.words.colour(name(colour.lab))} ({numbers})"
        return tidy(colour.words).replace("munsell", "Munsell") or self.words("anchor-known")

    def _sure(self, colour: PartColour) -> Sure:
        w = self.words
        basis = w(f"basis-{colour.basis}")
        if colour.basis == "decision":
            return Sure(0, w("sure-decided"), "", colour.basis, basis, colour.conflict)
        if colour.lab is None and colour.part.finish in UNPAINTED:
            return Sure(0, "–", "", colour.basis, "", colour.conflict)
        if colour.radius90 is None:
            return Sure(0, w("sure-unknown"), "", colour.basis, basis, colour.conflict)
        radius = colour.radius90
        step = sureness(radius)
        within = w("within", radius=w.number(radius))
        squares = 5 - list(Sureness).index(step)
        return Sure(squares, w(f"sure-{step.name.lower()}"), within, colour.basis, basis, colour.conflict)

    def _shows_key(self) -> tuple[tuple[str, str, str], ...]:
        w, rows, low = self.words, [], 0.0
        for limit in (step.value for step in Visibility):
            key = seen_key(low)
            span = w("below", high=f"{limit:g}") if low == 0 else w("span", low=f"{low:g}", high=f"{limit:g}")
            span = w("and-more", low=f"{low:g}") if limit == float("inf") else span
            rows.append((span, w(f"seen-{key}"), w(f"seen-{key}-words")))
            low = limit
        return tuple(rows)

    def _sure_key(self) -> tuple[tuple[int, str, str], ...]:
        w, rows, low = self.words, [], 0.0
        for index, (limit, word) in enumerate((step.value, step.name.lower()) for step in Sureness):
            span = w("beyond", low=f"{low:g}") if limit == float("inf") else w("within", radius=f"{limit:g}")
            rows.append((5 - index, w(f"sure-{word}"), span))
            low = limit
        return tuple(rows)

    def _description(self, reference: Reference) -> str:
        """'colour photograph, 1958', 'object, in colour'"""
        kind = self.words(f"picture-{reference.kind}-{reference.tone}")
        return kind if reference.year is None else f"{kind}, {reference.year}"


def how_chosen(words: Words, owned: bool, guessed: bool, tolerance: float, mine: bool = True) -> str:
    """How the paints were chosen: `owned` where any paint is, and `mine` where that may be said; `guessed`
    where the odds chose one."""
    rule = ("to-hand" if mine else "bench") if owned else "nearest"
    said = words(f"chosen-{rule}", tolerance=words.number(tolerance))
    return f"{said} {words('chosen-odds')}" if guessed else said


def _id(text: str) -> str:
    return tidy(text) or "unnamed"


def _version() -> str:
    from palette import __version__

    return __version__
