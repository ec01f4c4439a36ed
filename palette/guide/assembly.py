"""From a scheme and the user's paints to the guide's content."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from palette.colour.names import name
from palette.colour.spaces import Array, lab_to_hex, lab_to_linear
from palette.evidence.combine.model import Evidence, PartColour, Scheme
from palette.evidence.combine.words import BASIS, SHOWS, SURE, joined, shows, sure
from palette.guide import standing
from palette.guide.content import (
    Alternative,
    Cell,
    Chip,
    Choice,
    Cover,
    Drops,
    Guide,
    Inferred,
    Likely,
    MixtureEntry,
    Note,
    Off,
    Paint,
    PaintEntry,
    PartEntry,
    RangeTable,
    ReferenceEntry,
    Slice,
    Stage,
    Step,
    Sure,
    Tone,
    TonePaint,
    Verdict,
    Witness,
)
from palette.guide.illustrations import Illustration
from palette.guide.order import Job, painting_order
from palette.guide.places import Outline, Place, figure_size, places
from palette.kit.model import Part, Reference, StatedColour
from palette.paints.choosing.brush import warning
from palette.paints.choosing.chosen import Chosen, Odds, base, choose, expected_miss, nearest_of
from palette.paints.choosing.proposals import INFERRED, fitting
from palette.swatches.model import Swatch, SwatchList

if TYPE_CHECKING:
    from palette.swatches.mix import Mix

LIKELY = 6  # paints whose odds are printed

_TAKEN = re.compile(r"“(.*)” taken as (.*?)\.?")
_SAME_PAINT = re.compile(r"(the same paint as )(.*)(, and sharing its evidence.*)")
_JOINT = re.compile(r", | and ")
_UNSETTABLE = ("Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp")  # Unicode categories


def assemble(
    scheme: Scheme,
    swatches: SwatchList,
    illustrations: Mapping[str, Illustration],
    *,
    areas: Mapping[str, float] | None = None,
    odds: Mapping[str, Odds] | None = None,
    chosen: Mapping[str, Chosen] | None = None,
    tones: Mapping[str, Sequence[Tone]] | None = None,
    cover: Mapping[str, Cover] | None = None,
    scale_rule: str = "",
    tone_words: str = "",
    primer: str = "",
    cover_words: str = "",
    amounts: Mapping[str, float] | None = None,
) -> Guide:
    """The guide of a scheme.

    `illustrations` are the references' pictures by id; one that is missing is noted in its place. `areas`
    are painted areas in cm², `odds` the inferences of parts seen only in grey, `chosen` what goes on the
    brush (as `choose` has it where not given), `tones` shade and highlight, `cover` coats and quantities,
    each by part id and left out where unknown; `scale_rule` says how colours were changed for the scale,
    `tone_words` and `cover_words` how tones and coats were found; `primer` is the colour to prime in, where
    one was found, and `amounts` the millilitres of each paint by swatch id.
    """
    if chosen is None:
        chosen = choose(scheme, swatches, odds)
    assembly = _Assembly(
        scheme, swatches, illustrations, areas or {}, odds or {}, chosen, tones or {}, cover or {}
    )
    assembly.primer, assembly.amounts = primer, amounts or {}
    return assembly.guide(scale_rule, tone_words, cover_words)


def tidy(text: str) -> str:
    """Text on one line without what cannot be set: controls, unassigned and private characters, overrides
    of the writing direction. Joiners, which some scripts need, stay."""
    kept = (c if c in "\u200c\u200d" or unicodedata.category(c) not in _UNSETTABLE else " " for c in text)
    return " ".join("".join(kept).split())


def isolated(text: str) -> str:
    """A text ready to stand within a line: one that is written from the right keeps to itself, so that the
    numbers and commas around it stay where they are (Unicode Standard Annex 9, isolates)."""
    return f"\u2068{text}\u2069" if any(unicodedata.bidirectional(c) in ("R", "AL") for c in text) else text


def number(value: float, decimals: int = 1) -> str:
    """A number with a true minus sign and no negative zero."""
    text = f"{value:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return text.replace("-", "−")


def chip(lab: Array | None, covariance: Array | None = None) -> Chip:
    """A colour to show, with the strip of what its covariance leaves open: nine times in ten, along the
    direction in which it is least sure, dark or dull end first."""
    if lab is None:
        return Chip("", "undecided")
    linear = lab_to_linear(lab)
    strip: tuple[str, ...] = ()
    if covariance is not None and np.trace(covariance) > 0.1:
        values, vectors = np.linalg.eigh(np.asarray(covariance, dtype=np.float64))
        axis = vectors[:, -1] * 1.645 * np.sqrt(float(values[-1]))
        axis = axis if axis[int(np.argmax(np.abs(axis)))] > 0 else -axis
        strip = tuple(_bounded_hex(lab + step * axis) for step in (-1.0, -0.5, 0.0, 0.5, 1.0))
    return Chip(
        lab_to_hex(lab),
        name(lab),
        bool(np.any(linear < -0.002) or np.any(linear > 1.002)),
        strip,
        tuple(number(float(v)) for v in lab),
    )


def remaining(lab: Array, covariance: Array, draws: Array | None = None, size: int = 15) -> Slice:
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
        colour = _bounded_hex(np.array([total[i, j] / count[i, j], a, b]))
        cells.append(Cell(int(i), int(j), colour, float(count[i, j] / count.max())))
    across, up = ((number(float(low[k]), 0), number(float(low[k] + 2 * half), 0)) for k in (0, 1))
    zero = [float(-low[k] / (2 * half)) for k in (0, 1)]
    words = (
        f"Colours that remain, with a* from {across[0]} to {across[1]} across and b* from {up[0]} to {up[1]} "
        "upwards; a larger square is likelier."
    )
    crossing = tuple(share if 0 < share < 1 else None for share in zero)
    return Slice(size, across, up, (crossing[0], crossing[1]), tuple(cells), words)


class _Assembly:
    """Holds what the sections share while one guide is put together."""

    def __init__(
        self,
        scheme: Scheme,
        swatches: SwatchList,
        illustrations: Mapping[str, Illustration],
        areas: Mapping[str, float],
        odds: Mapping[str, Odds],
        chosen: Mapping[str, Chosen],
        tones: Mapping[str, Sequence[Tone]],
        cover: Mapping[str, Cover],
    ) -> None:
        self.scheme, self.kit = scheme, scheme.kit
        self.illustrations, self.odds, self.tones, self.cover = illustrations, odds, tones, cover
        self.areas = {part.id: areas.get(part.id, part.area_cm2) for part in self.kit.parts}
        self.swatch = {swatch.id: swatch for swatch in swatches.swatches}
        self.on_sale = swatches.where([not swatch.retired for swatch in swatches.swatches])
        self.number = {found.part.id: index for index, found in enumerate(scheme.parts, 1)}
        self.mixes: dict[tuple[tuple[str, int], ...], tuple[str, Mix, list[PartColour]]] = {}
        self.primer: str = ""
        self.amounts: Mapping[str, float] = {}
        self.chosen = chosen
        self.choices = {found.part.id: self._choice(found) for found in scheme.parts}
        self.bases = {f.part.id: base(f, chosen.get(f.part.id), swatches) for f in scheme.parts}

    def guide(self, scale_rule: str, tone_words: str, cover_words: str) -> Guide:
        kit, found = self.kit, self.scheme.parts
        pictures: list[bytes] = []
        originals = [reference for reference in kit.references if reference.subject == "original"]
        parts = tuple(self._part(part) for part in found)
        paints = self._paints()
        version = f"version {tidy(kit.version)}" if tidy(kit.version) else ""
        return Guide(
            title=tidy(kit.title) or "Untitled kit",
            maker=tidy(kit.maker),
            footer=" · ".join(filter(None, (kit.stage.capitalize(), version, tidy(kit.maker)))),
            facts=self._facts(),
            stage_words=standing.STAGES[kit.stage],
            how_to_read=standing.HOW_TO_READ,
            parts=parts,
            any_outside=any(part.chip.outside for part in parts),
            scale_rule=tidy(scale_rule),
            choice_words=self._choice_words(),
            tone_words=tone_words or standing.SHADE,
            cover_words=tidy(cover_words),
            paints=paints,
            no_paints=standing.NO_COLOURS if self.swatch else standing.NO_PAINTS,
            tone_paints=self._tone_paints({entry.paint.swatch for entry in paints}),
            ranges=self._ranges(),
            mixtures=self._mixtures(),
            cautions=standing.CAUTIONS,
            order=self._order(),
            judging=standing.JUDGING,
            shows=_shows_key(),
            sure=_sure_key(),
            inferred=tuple(self._inferred(f) for f in found if f.basis in INFERRED),
            verdicts=tuple(self._verdict(f) for f in found if f.conflict or f.basis == "decision"),
            references=tuple(self._reference(reference, pictures) for reference in originals),
            notes=self._notes(),
            licence=tidy(kit.licence),
            credits=tuple(f"{_id(r.id)}: {tidy(r.credit)}" for r in kit.references if tidy(r.credit)),
            version=_version(),
            pictures=tuple(pictures),
        )

    def _facts(self) -> tuple[tuple[str, str], ...]:
        kit = self.kit
        light = kit.light if isinstance(kit.light, str) else f"{kit.light:g} K"
        # CIE 15: the D series are phases of daylight, A is a tungsten lamp; painters need not know
        light = f"daylight ({light})" if re.fullmatch(r"D\d+", light) else light
        light = "tungsten lamps (A)" if light == "A" else light
        facts = (
            ("Maker", kit.maker),
            ("Scale", kit.scale),
            ("Version", kit.version),
            ("Stage", kit.stage.capitalize()),
            ("Licence", kit.licence),
            ("Judged under", light),
            ("A match is within", f"{number(kit.tolerance)} CIEDE2000"),
            ("Parts", str(len(self.scheme.parts))),
        )
        return tuple((label, tidy(value)) for label, value in facts if tidy(value))

    # Parts and what to paint them with

    def _part(self, found: PartColour) -> PartEntry:
        part = found.part
        return PartEntry(
            self.number[part.id],
            tidy(part.id),
            _name(part),
            part.finish,
            chip(found.lab, found.covariance),
            found.basis in INFERRED,
            _sure(found),
            self.choices[part.id],
            chip(self.bases[part.id]),
            tuple(self.tones.get(part.id, ())),
            self.cover.get(part.id),
        )

    def _off(self, value: float, miss: float | None = None, sure: bool = True) -> Off:
        """`miss` is what may be expected where `value` is only predicted; the words go by it."""
        expected = value if miss is None else miss
        return Off(number(value), shows(expected) if sure else "", expected <= self.kit.tolerance)

    def _choice(self, found: PartColour) -> Choice:
        if found.lab is None:
            return Choice("nothing", "Not yet", "its colour is undecided")
        chosen = self.chosen.get(found.part.id)
        if chosen is None:
            return Choice("nothing", "–", "no paint in the kit’s lists")
        said = warning(found.part, chosen, self.swatch)
        # beside a colour that is open no difference tells what would show
        known = found.radius90 is None or sure(found.radius90) != "open"
        guess = chosen.guess
        guessed = (
            "" if guess is None else f"a guess, {guess.expected:.0f} off on average; see Colours inferred"
        )
        if chosen.mix is not None:
            mix = chosen.mix
            letter, _, users = self.mixes.setdefault(mix.drops, (_letter(len(self.mixes)), mix, []))
            users.append(found)
            recipe = " + ".join(f"{count} {self._paint(id).name}" for id, count in mix.drops)
            if guess is not None:
                return Choice("mixture", f"Mixture {letter}", recipe, None, guessed, chip(mix.lab))
            off = self._off(mix.difference, expected_miss(mix), known)
            off = replace(off, difference=f"{off.difference} ± {number(mix.expected_error)}")
            return Choice("mixture", f"Mixture {letter}", recipe, off, said, chip(mix.lab))
        id = chosen.recipe[0][0]
        swatch = self.swatch.get(id)
        sold = "no longer sold" if swatch is not None and swatch.retired else ""
        paint = self._paint(id)
        detail = paint_detail(paint.range, id, sold)
        if guess is not None:
            return Choice("paint", paint.name, detail, None, guessed, paint.chip)
        return Choice("paint", paint.name, detail, self._off(chosen.difference, sure=known), said, paint.chip)

    def _choice_words(self) -> str:
        """How the paints of the scheme were chosen, in a line."""
        if not len(self.on_sale):
            return ""
        return standing.how_chosen(
            any(s.owned for s in self.on_sale.swatches),
            any(c.guess is not None for c in self.chosen.values()),
            number(self.kit.tolerance),
        )

    def _paint(self, id: str) -> Paint:
        swatch = self.swatch.get(id)
        return Paint(tidy(id), tidy(id), "", chip(None)) if swatch is None else _paint(swatch)

    def _paints(self) -> tuple[PaintEntry, ...]:
        parts: dict[str, list[int]] = {}
        mixtures: dict[str, list[str]] = {}
        for found in self.scheme.parts:
            chosen = self.chosen.get(found.part.id)
            if chosen is not None and chosen.mix is None:
                parts.setdefault(chosen.recipe[0][0], []).append(self.number[found.part.id])
        for letter, mix, _ in self.mixes.values():
            for id, _ in mix.drops:
                mixtures.setdefault(id, []).append(letter)
        entries = [
            PaintEntry(
                self._paint(id), tuple(parts.get(id, ())), tuple(mixtures.get(id, ())), self._amount(id)
            )
            for id in dict.fromkeys([*parts, *mixtures])
        ]
        return tuple(sorted(entries, key=lambda e: (e.paint.range.casefold(), e.paint.name.casefold())))

    def _tone_paints(self, listed: set[str]) -> tuple[TonePaint, ...]:
        """Paints that shades and highlights take beyond those listed already."""
        uses: dict[str, dict[str, list[int]]] = {}
        for part in self.scheme.parts:
            for tone in self.tones.get(part.part.id, ()):
                for id in tone.swatches:
                    if tidy(id) not in listed:
                        uses.setdefault(id, {}).setdefault(tone.role, []).append(self.number[part.part.id])
        entries = [
            TonePaint(self._paint(id), ", ".join(f"{role} of {_numbers(n)}" for role, n in roles.items()))
            for id, roles in uses.items()
        ]
        return tuple(sorted(entries, key=lambda e: (e.paint.range.casefold(), e.paint.name.casefold())))

    def _amount(self, id: str) -> str:
        """How much of a paint the kit takes: '2.4 ml', '41.0 ml, 3 pots'."""
        amount, swatch = self.amounts.get(id), self.swatch.get(id)
        if amount is None:
            return ""
        text = f"{number(max(amount, 0.1))} ml"
        pot = swatch.volume_ml if swatch is not None else None
        return f"{text}, {int(np.ceil(amount / pot))} pots" if pot and amount > pot else text

    def _ranges(self) -> tuple[RangeTable, ...]:
        """For every range the paint for every part: what a reader who owns that range needs."""
        known = [found for found in self.scheme.parts if found.lab is not None]
        ranges = list(dict.fromkeys(_range(swatch) for swatch in self.on_sale.swatches))
        if not known or not ranges:
            return ()
        answers = []  # by range, then by part
        for sold_as in ranges:
            members = self.on_sale.where([_range(swatch) == sold_as for swatch in self.on_sale.swatches])
            suited = {metallic: fitting(members, metallic) for metallic in (False, True)}
            answers.append([self._answer(found, suited[found.part.finish == "metallic"]) for found in known])
        best = np.argmin([[rank for _, _, rank in column] for column in answers], axis=0)
        measured = sum(not self._by_odds(found) for found in known)
        tables = []
        for start in range(0, len(ranges), 3):
            columns = range(start, min(start + 3, len(ranges)))
            rows = tuple(
                (
                    self.number[found.part.id],
                    _name(found.part),
                    tuple(
                        Alternative(*answers[c][row][:2], len(ranges) > 1 and c == int(best[row]))
                        for c in columns
                    ),
                )
                for row, found in enumerate(known)
            )
            within = tuple(
                f"{sum(off.within for _, off, _ in answers[c])} of {measured} parts within a match"
                if measured
                else "no part measured"
                for c in columns
            )
            note = standing.BY_ODDS if measured < len(known) else ""
            tables.append(RangeTable(tuple(ranges[c] for c in columns), within, rows, note))
        return tuple(tables)

    def _by_odds(self, found: PartColour) -> bool:
        chosen = self.chosen.get(found.part.id)
        return chosen is not None and chosen.guess is not None

    def _answer(self, found: PartColour, swatches: SwatchList) -> tuple[Paint, Off, float]:
        """Of some paints the one for a part, how far it is off, and that as a number."""
        paint, off = nearest_of(found, swatches, self.odds.get(found.part.id))
        if self._by_odds(found):
            return _paint(paint), Off(number(off), "", False), off
        return _paint(paint), self._off(off), off

    def _mixtures(self) -> tuple[MixtureEntry, ...]:
        return tuple(
            MixtureEntry(
                letter,
                tuple((self.number[user.part.id], _name(user.part)) for user in users),
                chip(users[0].lab),
                chip(mix.lab),
                tuple(Drops(count, self._paint(id)) for id, count in mix.drops),
                self._off(mix.difference, expected_miss(mix)),
                number(mix.expected_error),
                number(mix.one_drop_off),
            )
            for letter, mix, users in self.mixes.values()
        )

    # The order of work

    def _order(self) -> tuple[Stage, ...]:
        jobs = [
            Job(
                found.part.id,
                None if (lab := self.bases[found.part.id]) is None else float(lab[0]),
                self.areas[found.part.id],
                self._pot(found),
                found.part.after,
            )
            for found in self.scheme.parts
        ]
        turns, circle = painting_order(jobs)
        coats = [self._turn(turn.ids) for turn in turns if not turn.detail]
        if circle:
            names = ", ".join(isolated(_name(self.scheme.part(id).part)) for id in circle)
            coats.append(Step("Decide for yourself", f"“after” runs in a circle at {names}."))
        stages = (
            Stage("Prepare", tuple(Step(*step) for step in standing.PREPARE)),
            Stage("Prime", (self._primer(),)),
            Stage("Base coats", tuple(coats)),
            Stage("Masks and details", tuple(self._turn(turn.ids) for turn in turns if turn.detail)),
            Stage("Shade and highlight", self._shading()),
            Stage("Decals", (Step("Gloss, decals, rest", standing.DECALS),)),
            Stage("Clear coat", tuple(self._clear_coats())),
        )
        return tuple(stage for stage in stages if stage.steps)

    def _pot(self, found: PartColour) -> str:
        chosen = self.chosen.get(found.part.id)
        return "" if chosen is None else repr(chosen.recipe)

    def _turn(self, ids: Sequence[str]) -> Step:
        members = [self.scheme.part(id) for id in ids]
        first, choice = members[0], self.choices[ids[0]]
        if choice.kind == "nothing":
            paint = (
                "Colour undecided: leave it in primer." if first.lab is None else f"{chip(first.lab).words}."
            )
        else:
            paint = f"{choice.title}, {choice.detail}."
        earlier = sorted({self.number[id] for m in members for id in m.part.after if id in self.number})
        mask = f"Mask off {_numbers(earlier)}, once dry." if earlier else ""
        return Step(
            "",
            " ".join(filter(None, (paint, mask))),
            chip(self.bases[ids[0]]),
            tuple(sorted((self.number[member.part.id], _name(member.part)) for member in members)),
        )

    def _primer(self) -> Step:
        undercoats = (
            " Undercoats for single parts stand in the scheme."
            if any(cover.undercoat for cover in self.cover.values())
            else ""
        )
        if self.primer:
            return Step(
                f"Prime everything {self.primer}",
                "Of white, mid grey and black the one over which these paints should need the fewest coats. "
                "Two thin coats; let the last one dry overnight." + undercoats,
            )
        labs = [(f.lab, self.areas[f.part.id] or 1.0) for f in self.scheme.parts if f.lab is not None]
        shade = "mid grey"
        if labs:
            mean = float(np.average([lab[0] for lab, _ in labs], weights=[area for _, area in labs]))
            shade = "pale grey" if mean >= 65 else "mid grey" if mean >= 35 else "dark grey"
        detail = (
            "Common practice, no source: a primer near the lightness of what goes over it saves coats. Two "
            "thin coats; let the last one dry overnight."
        )
        return Step(f"Prime everything {shade}", detail + undercoats)

    def _shading(self) -> tuple[Step, ...]:
        if any(self.tones.values()):
            return (Step("Shade, then highlight", "The colours stand under “Shade, base, highlight”."),)
        return (Step("Shade, then highlight", standing.SHADE),)

    def _clear_coats(self) -> list[Step]:
        sheens: dict[str, list[Part]] = {}
        for part in self.kit.parts:
            sheens.setdefault(part.finish, []).append(part)
        steps = []
        for sheen in ("gloss", "satin", "matt"):
            parts = sheens.get(sheen, [])
            if parts:
                names = ", ".join(f"{self.number[part.id]} {isolated(_name(part))}" for part in parts)
                everything = len(parts) == len(self.kit.parts)
                steps.append(
                    Step(
                        f"{sheen.capitalize()} clear coat", "On everything." if everything else f"On {names}."
                    )
                )
        if len(steps) > 1:
            steps.insert(0, Step("Mask between sheens", "Let each coat harden before you mask over it."))
        if sheens.get("metallic"):
            names = ", ".join(f"{self.number[p.id]} {isolated(_name(p))}" for p in sheens["metallic"])
            why = "Common practice, no source: a clear coat dulls them."
            steps.append(Step("Leave metallic parts bare", f"{names}. {why}"))
        return steps

    # Evidence

    def _witness(self, found: PartColour, evidence: Evidence) -> Witness:
        return Witness(
            tidy(evidence.reference) or evidence.kind,
            self.number[found.part.id],
            _name(found.part),
            chip(evidence.lab) if evidence.lab is not None else Chip("", "rules colours out"),
            "" if evidence.radius90 is None else number(evidence.radius90),
            f"{100 * evidence.weight:.0f} %",
        )

    def _verdict(self, found: PartColour) -> Verdict:
        if found.basis == "decision":
            why = tidy(found.part.why)
            text = f"Decided by the maker: {sentence(why)}" if why else "Decided by the maker."
            if found.conflict:
                text += " The evidence is divided; see below."
        else:
            text = (
                "The witnesses disagree by more than their uncertainties allow. The colour printed is the "
                "best account of them together; treat it as open until one of them is explained."
            )
        return Verdict(
            self.number[found.part.id],
            _name(found.part),
            chip(found.lab, found.covariance),
            found.basis == "decision",
            found.conflict,
            text,
            tuple(self._witness(found, evidence) for evidence in found.evidence),
        )

    def _inferred(self, found: PartColour) -> Inferred:
        assert found.lab is not None and found.covariance is not None  # by their basis
        said = "; ".join(
            f"“{tidy(hint.words)}”" + (f" ({tidy(hint.source)})" if tidy(hint.source) else "")
            for hint in found.part.hints
        )
        if found.basis == "grey":
            text = (
                "Seen only in grey. A grey level rules colours out but names none: the swatch is the middle "
                "of what remains, not a measurement." + (f" Remembered as {said}." if said else "")
            )
        else:
            text = "Known only from words" + (f": {said}." if said else ".") + " Nobody has measured it."
        odds = self.odds.get(found.part.id)
        likely: tuple[Likely, ...] = ()
        if odds is None:
            spread = 1.645 * float(np.sqrt(found.covariance[0, 0]))
            low, high = float(found.lab[0]) - spread, float(found.lab[0]) + spread
        else:
            low, high = odds.lightness
            likely = tuple(Likely(self._paint(id), _percent(p), p) for id, p in odds.likely[:LIKELY])
        return Inferred(
            self.number[found.part.id],
            _name(found.part),
            chip(found.lab, found.covariance),
            text,
            f"L* {number(max(low, 0.0), 0)} to {number(min(high, 100.0), 0)}, nine times in ten",
            likely,
            _percent(max(0.0, 1.0 - sum(entry.share for entry in likely))) if likely else "",
            remaining(found.lab, found.covariance, odds.draws if odds else None),
        )

    def _reference(self, reference: Reference, pictures: list[bytes]) -> ReferenceEntry:
        illustration = self.illustrations.get(reference.id)
        anchors = tuple(
            (_letter(index), _known(anchor.colour)) for index, anchor in enumerate(reference.anchors)
        )
        picture, missing = None, ""
        drawn: tuple[Place, ...] = ()
        size = (0.0, 0.0)
        if illustration is None or not illustration.jpeg:
            missing = illustration.missing if illustration else "it could not be opened"
        else:
            picture = len(pictures)
            pictures.append(illustration.jpeg)
            size = figure_size(illustration.width, illustration.height)
            outlines = self._outlines(reference, anchors)
            drawn = places(outlines, illustration.width, illustration.height)
        witnesses = tuple(
            self._witness(found, evidence)
            for found in self.scheme.parts
            for evidence in found.evidence
            if evidence.reference == reference.id
        )
        ids = dict.fromkeys(sample.part for sample in reference.samples if sample.part in self.number)
        sampled = tuple(sorted((self.number[id], _name(self.scheme.part(id).part)) for id in ids))
        names = ", ".join(f"{n} {part}" for n, part in sampled) or "none"
        return ReferenceEntry(
            _id(reference.id),
            _description(reference),
            tidy(reference.credit),
            picture,
            tidy(missing),
            f"{_id(reference.id)}, {_description(reference)}, with the sampled places outlined: {names}.",
            size,
            drawn,
            sampled,
            anchors,
            witnesses,
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
        """How the colours were found: each witness's notes once, with the parts they are about."""
        notes = []
        for source in dict.fromkeys(e.reference for f in self.scheme.parts for e in f.evidence):
            said: dict[str, list[int]] = {}
            for found in self.scheme.parts:
                for note in (n for e in found.evidence if e.reference == source for n in e.notes):
                    if _says_nothing(note):
                        continue
                    said.setdefault(self._named(tidy(note)), []).append(self.number[found.part.id])
            everyone = {n for about in said.values() for n in about}
            lines = tuple(
                sentence(note) + ("" if set(about) == everyone else f" ({_parts(sorted(set(about)))}.)")
                for note, about in said.items()
            )
            if lines:
                notes.append(Note(_id(source), lines))
        for found in self.scheme.parts:
            said_so = f"{BASIS['decision']}:"  # the reason stands among the decisions already
            own = [note for note in found.notes if not note.startswith(said_so)]
            if own:
                heading = f"{self.number[found.part.id]} {isolated(_name(found.part))}"
                notes.append(Note(heading, tuple(sentence(self._named(tidy(note))) for note in own)))
        if self.scheme.warnings:
            notes.append(
                Note(
                    "The kit as a whole", tuple(sentence(self._named(tidy(w))) for w in self.scheme.warnings)
                )
            )
        return tuple(notes)

    def _named(self, note: str) -> str:
        """A note with the parts' names for their ids: in quotes, or after 'same paint as'."""
        for found in self.scheme.parts:
            id, name = found.part.id, f"“{isolated(_name(found.part))}”"
            note = note.replace(f"'{id}'", name).replace(f"“{id}”", name)
        same = _SAME_PAINT.match(note)
        if same is None:
            return note
        names = {found.part.id: f"“{isolated(_name(found.part))}”" for found in self.scheme.parts}
        ids = [word for word in _JOINT.split(same[2]) if word]
        return same[1] + joined([names.get(id, id) for id in ids]) + same[3]


def _says_nothing(note: str) -> bool:
    """Whether a note says that words were taken as they stand: '“red” taken as red'."""
    taken = _TAKEN.fullmatch(tidy(note))
    return taken is not None and taken[1].casefold() == taken[2].casefold()


def paint_detail(range: str, id: str, more: str = "") -> str:
    """'Quayside Bench · B-04'"""
    return " · ".join(filter(None, (tidy(range), tidy(id), more)))


def _bounded_hex(lab: Array) -> str:
    return lab_to_hex(np.array([min(max(float(lab[0]), 0.0), 100.0), lab[1], lab[2]]))


def _name(part: Part) -> str:
    return tidy(part.name) or _id(part.id)


def _id(text: str) -> str:
    return tidy(text) or "unnamed"


def sentence(text: str) -> str:
    """A note as a sentence: capital first, stop last."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def _numbers(numbers: Sequence[int]) -> str:
    """'1, 4 and 7'"""
    words = [str(n) for n in numbers]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


def _parts(numbers: Sequence[int]) -> str:
    return ("Part " if len(numbers) == 1 else "Parts ") + _numbers(numbers)


def _letter(index: int) -> str:
    """A … Z, AA, AB …"""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _percent(share: float) -> str:
    return "under 1 %" if 0 < share < 0.005 else f"{100 * share:.0f} %"


def _range(swatch: Swatch) -> str:
    """The range a paint is sold in; the list's name stands in where the list does not say."""
    return tidy(swatch.range) or tidy(Path(swatch.file).stem) or "Other paints"


def _paint(swatch: Swatch) -> Paint:
    return Paint(
        tidy(swatch.id),
        tidy(swatch.name) or tidy(swatch.id),
        _range(swatch),
        chip(swatch.lab),
        swatch.owned,
        tidy(swatch.finish),
    )


def _sure(found: PartColour) -> Sure:
    basis = BASIS[found.basis]
    if found.basis == "decision":
        return Sure(0, "decided", "", found.basis, basis, found.conflict)
    if found.radius90 is None:
        return Sure(0, "unknown", "", found.basis, basis, found.conflict)
    radius = found.radius90
    step = next(i for i, (limit, _) in enumerate(SURE) if radius <= limit)
    return Sure(5 - step, SURE[step][1], f"within {number(radius)}", found.basis, basis, found.conflict)


def _known(colour: StatedColour) -> str:
    """An anchor's colour: 'yellowish white (L* 86.8, a* 0.4, b* 5.3)', 'munsell N 5/'."""
    if colour.lab is not None and not colour.words.startswith("munsell"):
        lightness, a, b = (number(value) for value in colour.lab)
        return f"{name(colour.lab)} (L* {lightness}, a* {a}, b* {b})"
    return tidy(colour.words).replace("munsell", "Munsell") or "known colour"


def _shows_key() -> tuple[tuple[str, str, str], ...]:
    rows, low = [], 0.0
    for limit, words in SHOWS:
        span = f"below {limit:g}" if low == 0 else f"{low:g} to {limit:g}"
        rows.append((f"{low:g} and more" if limit == float("inf") else span, words, standing.MEANING[words]))
        low = limit
    return tuple(rows)


def _sure_key() -> tuple[tuple[int, str, str], ...]:
    rows, low = [], 0.0
    for index, (limit, word) in enumerate(SURE):
        span = f"beyond {low:g}" if limit == float("inf") else f"within {limit:g}"
        rows.append((5 - index, word, span))
        low = limit
    return tuple(rows)


def _description(reference: Reference) -> str:
    """'colour photograph, 1958', 'object, in colour'"""
    tone = {"colour": "colour", "grey": "black-and-white"}[reference.tone]
    if reference.kind == "object":
        kind = f"object, in {tone.replace('-', ' ')}"
    else:
        kind = f"{tone} {reference.kind}"
    return kind if reference.year is None else f"{kind}, {reference.year}"


def _version() -> str:
    from palette import __version__

    return __version__
