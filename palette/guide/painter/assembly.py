"""From a scheme and what goes on the brush to the painter's guide."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from palette.colour.scales import Sureness, sureness
from palette.colour.spaces import Array
from palette.evidence.combine.model import PartColour, Scheme
from palette.guide.chips import (
    SEEN,
    Chip,
    by_range,
    chip,
    isolated,
    letter,
    part_name,
    range_of,
    seen_key,
    tidy,
)
from palette.guide.editions import Changed
from palette.guide.painter.content import (
    BenchRow,
    Change,
    ChosenPaint,
    Elsewhere,
    Guide,
    Legend,
    Mixture,
    Paint,
    Pot,
    Step,
    Sundry,
    Target,
    Tone,
    TrayRow,
)
from palette.guide.painter.order import Job, Turn, painting_order
from palette.guide.painter.show import Shown
from palette.kit.model import UNPAINTED
from palette.paints.choosing.chosen import Chosen, Odds, Recipe, base
from palette.paints.choosing.few import DROP
from palette.paints.choosing.proposals import INFERRED, fitting
from palette.paints.needs import ROLES, TONE_SHARE, Coating, Covering
from palette.paints.needs import Tone as ToneNeed
from palette.swatches.model import Swatch, SwatchList
from palette.words import say, sentence
from palette.words.catalogue import Words

SPARE = 1.2  # more than is needed, for what stays in brush and cup; common practice, no source
PRIMER_ML = 0.02  # of primer to the cm², two thin coats; common practice, no source
CLEAR_ML = 0.01  # of clear coat to the cm², one coat; common practice, no source
ALSO = 4  # paints that a guess may be
COLUMNS = 2  # other ranges beside the tray
SHEENS = ("gloss", "satin", "matt")
_LEAST_ODDS = 0.05
_LAYERED = 15.0  # cm²: smooth parts from here up are shaded in layers


@dataclass(frozen=True)
class Work:
    """Everything the guide is made of: the scheme as it is painted, the paints, what goes on the brush (by
    part id), odds of inferred parts, tones, coats, painted areas in cm²."""

    scheme: Scheme
    swatches: SwatchList
    chosen: Mapping[str, Chosen]
    odds: Mapping[str, Odds] = field(default_factory=dict)
    tones: Mapping[str, tuple[ToneNeed, ...]] = field(default_factory=dict)
    covering: Covering = field(default_factory=lambda: Covering({}, ""))
    areas: Mapping[str, float] = field(default_factory=dict)
    changes: tuple[str, tuple[Changed, ...]] | None = None  # since which edition, and what


def assemble(work: Work, words: Words, shown: Shown | None = None, mine: bool = False) -> Guide:
    """The painter's guide. `shown` has the pictures of the model; `mine`: with what the maker owns."""
    return _Assembly(work, words, shown or Shown(), mine).guide()


def turns_of(work: Work) -> tuple[list[Turn], list[str]]:
    """The painted parts in the order of work, those of one paint together, and the ids whose `after` run in a
    circle."""
    jobs = []
    for colour in work.scheme.parts:
        if colour.part.finish in UNPAINTED:
            continue
        chosen = work.chosen.get(colour.part.id)
        lab = base(colour, chosen, work.swatches)
        jobs.append(
            Job(
                colour.part.id,
                None if lab is None else float(lab[0]),
                work.areas.get(colour.part.id, colour.part.area_cm2),
                repr(chosen.recipe) if chosen is not None else "undecided" if lab is None else "",
                colour.part.after,
            )
        )
    return painting_order(jobs)


def groups(work: Work) -> list[tuple[str, ...]]:
    """The part ids that one step or another lights."""
    parts = [colour.part for colour in work.scheme.parts]
    lit = [turn.ids for turn in turns_of(work)[0]]
    lit += [(part.id,) for part in parts if part.finish == "lit"]
    return lit


class _Assembly:
    """Holds what the pages share while one guide is put together."""

    def __init__(self, work: Work, words: Words, shown: Shown, mine: bool) -> None:
        self.work, self.words, self.shown, self.mine = work, words, shown, mine
        self.scheme, self.kit = work.scheme, work.scheme.kit
        self.swatch = {swatch.id: swatch for swatch in work.swatches.swatches}
        self.on_sale = work.swatches.where([not swatch.retired for swatch in work.swatches.swatches])
        self.number = {colour.part.id: index for index, colour in enumerate(self.scheme.parts, 1)}
        self.name = {colour.part.id: part_name(colour.part) for colour in self.scheme.parts}
        self.base = {f.part.id: base(f, work.chosen.get(f.part.id), work.swatches) for f in self.scheme.parts}
        self.letters: dict[Recipe, str] = {}
        self.uses: dict[str, list[tuple[str, int]]] = {}  # swatch id: what for
        self.amounts: dict[str, float] = {}  # ml by swatch id
        self.mixed: dict[Recipe, float] = {}  # ml by recipe
        self.mix_uses: dict[Recipe, list[tuple[str, int]]] = {}
        self.mix_wanted: dict[Recipe, tuple[Array, Chosen]] = {}
        self.step_of: dict[str, str] = {}

    def guide(self) -> Guide:
        w, kit = self.words, self.kit
        steps = self._steps()
        guessed = [f for f in self.scheme.parts if self._guess(f)]
        version = w("version", version=tidy(kit.version)) if tidy(kit.version) else ""
        stage = w(f"stage-{kit.stage}")
        day = w.date(kit.date) if kit.date is not None else ""
        facts = (
            (w("fact-scale"), tidy(kit.scale)),
            (w("fact-edition"), " · ".join(filter(None, (version, stage)))),
            (w("fact-date"), day),
            (w("fact-maker"), tidy(kit.maker)),
            (w("fact-licence"), tidy(kit.licence)),
        )
        tray, columns = self._tray()
        since, changes = self._changes()
        unseen = [
            f"{self.number[id]}\u00a0{isolated(self.name[id])}"
            for id in self.shown.unseen
            if id in self.number
        ]
        return Guide(
            title=tidy(kit.title) or w("untitled"),
            maker=tidy(kit.maker),
            edition=" ".join(filter(None, (tidy(kit.version), day))),
            language=w.language,
            right_to_left=w.right_to_left,
            labels={**w.all("label"), **{f"seen-{key}": w(f"seen-{key}") for key in SEEN}},
            facts=tuple((label, text) for label, text in facts if text),
            footer=" · ".join(filter(None, (stage, version, tidy(kit.maker)))),
            stage=w(f"stage-{kit.stage}-words"),
            views=self._views(),
            unseen=self._unseen(unseen),
            legend=self._legend(),
            guesses=self._guesses(guessed),
            changes=changes,
            changes_words=since,
            cautions=tuple((w(f"caution-{k}"), w(f"caution-{k}-words")) for k in self._cautions()),
            page=tidy(kit.page),
            tray=tray,
            columns=columns,
            no_paints="" if self.swatch else w("no-paints"),
            sundries=self._sundries(),
            mixing=(w("mixing-drop"), w("mixing-how")) if self.letters else (),
            mixtures=tuple(self._mixture(recipe) for recipe in self.letters),
            steps=steps,
            bench=self._bench(),
            glossary=tuple((w(f"glossary-{k}"), w(f"glossary-{k}-words")) for k in GLOSSARY),
            credits=self._credits(),
            targets=self._targets(),
            pictures=self.shown.pictures,
        )

    # What goes on the brush

    def _paint(self, id: str) -> Paint:
        swatch = self.swatch.get(id)
        if swatch is None:
            return Paint(tidy(id), tidy(id), "", Chip("", ""))
        owned = ""
        if self.mine and swatch.owned is not None:
            owned = self.words("owned" if swatch.owned else "to-buy")
        return Paint(
            tidy(id),
            tidy(swatch.name) or tidy(id),
            range_of(swatch),
            self._chip(swatch.lab),
            self._medium(swatch),
            self._finish(swatch.finish),
            owned,
        )

    def _finish(self, finish: str) -> str:
        """A finish in the guide's own language; one that only the list knows as it stands there."""
        key = f"short-{finish}"
        return self.words(key) if self.words.has(key) else tidy(finish)

    def _medium(self, swatch: Swatch) -> str:
        key = f"medium-{swatch.medium}"
        return self.words(key) if swatch.medium and self.words.has(key) else ""

    def _chip(self, lab: Array | None, covariance: Array | None = None) -> Chip:
        made = chip(lab, covariance)
        return replace(made, words=self.words.colour(made.words) if made.hex else self.words("undecided"))

    def _paint_named(self, chosen: Chosen, note: str = "") -> ChosenPaint:
        """The words of what goes on the brush; a mixture gets its letter the first time it is met."""
        if chosen.mix is not None:
            mark = self.letters.setdefault(chosen.recipe, letter(len(self.letters)))
            pots = tuple(self._pot(id, count) for id, count in chosen.recipe)
            return ChosenPaint(pots, self._chip(chosen.mix.lab), mark, "", self._media(chosen.recipe) or note)
        paint = self._paint(chosen.recipe[0][0])
        return ChosenPaint((Pot(paint),), paint.chip, "", "", note)

    def _pot(self, id: str, drops: int) -> Pot:
        return Pot(self._paint(id), drops, self.words("drops", count=drops))

    def _predicted(self, chosen: Chosen) -> str:
        """How far a mixture is off, with how sure the prediction is."""
        assert chosen.mix is not None
        w = self.words
        amount, error = w.number(chosen.difference), w.number(chosen.mix.expected_error)
        return w("off-mixture", amount=amount, error=error, seen=w(f"seen-{seen_key(chosen.miss)}"))

    def _media(self, recipe: Recipe) -> str:
        """What to say of paints in one cup that different things thin, or that may be."""
        media = [self.swatch[id].medium for id, _ in recipe if id in self.swatch]
        known = {medium for medium in media if medium}
        if len(known) > 1:
            return self.words("media-differ")
        if len(known) == 1 and len(media) > len([m for m in media if m]):
            return self.words("medium-unknown")
        return ""

    def _book(self, recipe: Recipe, millilitres: float | None, use: tuple[str, int]) -> None:
        """Note what a step takes: for the tray and for the cups."""
        for id, _ in recipe:
            self.uses.setdefault(id, [])
            if use not in self.uses[id]:
                self.uses[id].append(use)
        if len(recipe) > 1:
            self.mix_uses.setdefault(recipe, []).append(use)
        if millilitres is None:
            return
        amount = millilitres * SPARE
        if len(recipe) > 1:
            self.mixed[recipe] = self.mixed.get(recipe, 0.0) + amount
            return
        (id, _), *_ = recipe
        self.amounts[id] = self.amounts.get(id, 0.0) + amount

    # Cover

    def _guess(self, colour: PartColour) -> bool:
        return colour.basis in INFERRED

    def _views(self) -> tuple:  # type: ignore[type-arg]
        return tuple(
            replace(
                view,
                alt=self._view_alt(view.caption, [c.number for c in view.callouts]),
                caption=self.words(f"view-{view.caption}") if view.caption else "",
                callouts=tuple(
                    replace(c, step=self.step_of.get(self._id(c.number), "")) for c in view.callouts
                ),
            )
            for view in self.shown.views
        )

    def _id(self, number: int) -> str:
        return self.scheme.parts[number - 1].part.id

    def _view_alt(self, caption: str, numbers: Sequence[int]) -> str:
        parts = ", ".join(f"{n} {isolated(self.name[self._id(n)])}" for n in sorted(numbers))
        return self.words("view-alt", title=tidy(self.kit.title), parts=parts)

    def _face(self, colour: PartColour) -> Chip:
        """The colour of a part as painted; for one that gets no paint, why, and a lamp's light."""
        lab, finish = self.base[colour.part.id], colour.part.finish
        made = self._chip(lab)
        if finish not in UNPAINTED:
            return made
        if lab is not None:
            return replace(made, words=self.words(f"shown-{finish}", colour=made.words))
        return replace(made, words=self.words(f"bare-{finish}"), bare=True)

    def _legend(self) -> tuple[Legend, ...]:
        rows = []
        for colour in self.scheme.parts:
            id = colour.part.id
            face = self._face(colour)
            chosen = None if colour.part.finish in UNPAINTED else self.work.chosen.get(id)
            code = ""
            if chosen is not None:
                mark = self.letters.get(chosen.recipe)
                code = self.words("mixture", letter=mark) if mark else tidy(chosen.recipe[0][0])
            rows.append(
                Legend(
                    self.number[id],
                    self.name[id],
                    face,
                    face.words,
                    code,
                    self._guess(colour),
                    self.step_of.get(id, ""),
                )
            )
        return tuple(rows)

    def _unseen(self, parts: Sequence[str]) -> str:
        w = self.words
        if not parts:
            return ""
        if self.shown.one_picture:
            return w("unseen-here", parts=w.joined(parts))
        return w("unseen", parts=w.joined(parts), count=len(parts))

    def _guesses(self, guessed: Sequence[PartColour]) -> str:
        """How many of the colours are guesses, and how many there are none of yet."""
        w, total = self.words, len(self.scheme.parts)
        open_ = [part for part in self.scheme.parts if part.lab is None and part.part.finish not in UNPAINTED]
        said = []
        if guessed:
            said.append(w("guesses", count=len(guessed), total=total, parts=self._numbered(guessed)))
        elif total > len(open_):
            said.append(w("guesses-none", total=total - len(open_)))
        if open_:
            said.append(w("guesses-open", count=len(open_), total=total, parts=self._numbered(open_)))
        return " ".join(said)

    def _numbered(self, parts: Sequence[PartColour]) -> str:
        named = [f"{self.number[p.part.id]}\u00a0{isolated(self.name[p.part.id])}" for p in parts]
        return self.words.joined(named)

    def _changes(self) -> tuple[str, tuple[Change, ...]]:
        if self.work.changes is None:
            return "", ()
        since, changed = self.work.changes
        rows = []
        for change in changed:
            if change.part not in self.number:
                continue
            old = self._chip(None if change.old is None else np.array(change.old))
            new = self._chip(None if change.new is None else np.array(change.new))
            if change.difference is not None:
                said = self.words("change-difference", amount=self.words.number(change.difference))
            else:
                said = self.words("change-added" if change.old is None else "change-undecided")
            why = self.words(f"change-why-{change.why}") if change.why else ""
            rows.append(
                Change(
                    self.number[change.part],
                    self.name[change.part],
                    old,
                    new,
                    " ".join(filter(None, (said, why))),
                )
            )
        gone = [tidy(c.part) for c in changed if c.part not in self.number]
        text = self.words("changes-none" if not changed else "changes-since", version=since or "–")
        if gone:
            text += " " + self.words("changes-gone", parts=self.words.joined(gone), count=len(gone))
        return text, tuple(rows)

    def _cautions(self) -> list[str]:
        kinds = ["label", "spray", "solvent", "sanding", "resin"]
        if any(p.finish == "lit" for p in self.kit.parts):
            kinds.append("lamps")
        else:
            kinds.append("heat")
        return [*kinds, "children"]

    def _credits(self) -> tuple[str, ...]:
        from palette import __version__

        licence = tidy(self.kit.licence)
        said = self.words("licence", licence=licence) if licence else self.words("no-licence")
        return (said, *self.shown.credits, self.words("made-with", version=__version__))

    # Tray

    def _tray(self) -> tuple[tuple[TrayRow, ...], tuple[str, ...]]:
        members = by_range(self.on_sale)
        ranges = list(members)
        columns = ranges if len(ranges) > 2 else ranges[:0]
        pair = len(ranges) == 2
        shelf = {
            name: {metallic: fitting(its, metallic) for metallic in (False, True)}
            for name, its in members.items()
        }
        rows = []
        for id in self.uses:
            swatch = self.swatch.get(id)
            if swatch is None:
                continue
            own = range_of(swatch)
            wanted = [name for name in ranges if name != own] if pair else columns
            cells = tuple(
                Elsewhere(None) if name == own else self._elsewhere(swatch, shelf[name]) for name in wanted
            )
            rows.append(TrayRow(self._paint(id), self._amount(id), self._for(self.uses[id]), cells))
        rows.sort(key=lambda row: (row.paint.range.casefold(), row.paint.code.casefold(), row.paint.code))
        heads = (self.words("other-range"),) if pair else tuple(columns)
        return tuple(rows), heads

    def _elsewhere(self, swatch: Swatch, shelf: Mapping[bool, SwatchList]) -> Elsewhere:
        from palette.swatches.kinds import unmixable

        there = shelf[unmixable(swatch) == "metallic"]
        if not len(there):
            return Elsewhere(None)
        indices, differences = there.nearest(swatch.lab, 1)
        return Elsewhere(
            self._paint(there.swatches[int(indices[0])].id), self.words.number(float(differences[0]))
        )

    def _amount(self, id: str) -> str:
        cups = [
            _times(recipe, needed) * drops * DROP
            for recipe, needed in self.mixed.items()
            for paint, drops in recipe
            if paint == id
        ]
        if id not in self.amounts and not cups:
            return ""
        amount = self.amounts.get(id, 0.0) + sum(cups)  # cups are of whole drops
        text = self._millilitres(math.ceil(10 * amount - 1e-6) / 10)
        pot = self.swatch[id].volume_ml
        count = math.ceil(amount / pot) if pot else 1
        return text if count < 2 else f"{text}, {self.words('pots', count=count)}"

    def _millilitres(self, amount: float) -> str:
        return self.words("millilitres", amount=self.words.number(max(amount, 0.1)))

    def _for(self, uses: Sequence[tuple[str, int]]) -> str:
        """'3, 4; shade of 1, 6; highlight of 2'"""
        by_role: dict[str, list[int]] = {role: [] for role in ("base", *ROLES)}
        for role, number in uses:
            by_role[role].append(number)
        said = []
        for role, numbers in ((role, numbers) for role, numbers in by_role.items() if numbers):
            listed = ", ".join(str(n) for n in sorted(set(numbers)))
            said.append(listed if role == "base" else self.words(f"use-{role}", parts=listed))
        return "; ".join(said)

    def _sundries(self) -> tuple[Sundry, ...]:
        w = self.words
        area = sum(self._area(f) or 0.0 for f in self.scheme.parts if f.part.finish not in ("bare", "clear"))
        known = all(self._area(f) is not None for f in self.scheme.parts)
        rows = []
        grounds = dict.fromkeys([self._primer(), *(c.ground for c in self.work.covering.parts.values())])
        amount = f", {self._millilitres(area * PRIMER_ML * SPARE)}" if known and area else ""
        for index, ground in enumerate(grounds):
            said = w(f"ground-{ground.replace(' ', '-')}")
            if index == 0:
                rows.append(Sundry(w("sundry-primer"), said + amount))
            else:
                ids = [id for id, c in self.work.covering.parts.items() if c.ground == ground]
                numbers = ", ".join(str(n) for n in sorted(self.number[id] for id in ids))
                rows.append(Sundry(w("sundry-undercoat"), w("undercoat-for", ground=said, parts=numbers)))
        sheens = []
        for sheen in SHEENS:
            parts = [f for f in self.scheme.parts if self._sealed(f) == sheen]
            if parts:
                areas = [self._area(f) for f in parts]
                total = sum(a for a in areas if a is not None)
                ml = f" {self._millilitres(total * CLEAR_ML * SPARE)}" if None not in areas else ""
                sheens.append(w(f"sheen-{sheen}") + ml)
        if sheens:
            rows.append(Sundry(w("sundry-clear"), ", ".join(sheens)))
        media = list(dict.fromkeys(self.swatch[id].medium for id in self.uses if id in self.swatch))
        thinners = [w(f"thinner-{m}") for m in media if m and w.has(f"thinner-{m}")]
        if not all(media) and self.uses:
            thinners.append(w("thinner-unknown"))
        if thinners:
            rows.append(Sundry(w("sundry-thinner"), "; ".join(thinners)))
        rows.append(Sundry(w("sundry-tools"), w("tools")))
        rows.append(Sundry(w("sundry-safety"), w("safety")))
        return tuple(rows)

    def _area(self, colour: PartColour) -> float | None:
        return self.work.areas.get(colour.part.id, colour.part.area_cm2)

    def _primer(self) -> str:
        """The colour to prime in: over which the fewest coats cover, else near the lightness of the whole."""
        if self.work.covering.primer:
            return self.work.covering.primer
        labs = [(f.lab, self._area(f) or 1.0) for f in self.scheme.parts if f.lab is not None]
        if not labs:
            return "mid grey"
        mean = float(np.average([lab[0] for lab, _ in labs], weights=[area for _, area in labs]))
        return "white" if mean >= 70 else "mid grey" if mean >= 25 else "black"

    # Mixing

    def _mixture(self, recipe: Recipe) -> Mixture:
        w = self.words
        wanted, chosen = self.mix_wanted[recipe]
        assert chosen.mix is not None
        count = sum(drops for _, drops in recipe)
        needed = self.mixed.get(recipe)
        times = 1 if needed is None else _times(recipe, needed)
        total = times * count * DROP
        drop = w.number(chosen.mix.one_drop_off)
        if chosen.guess is not None:
            accuracy = w("mixture-guess", drop=drop)
        else:
            accuracy = w("mixture-accuracy", off=self._predicted(chosen), drop=drop)
        amount = w("mixture-amount", drops=times * count, amount=w.number(total, 1 if total >= 0.1 else 2))
        return Mixture(
            self.letters[recipe],
            self._for(self.mix_uses.get(recipe, [])),
            self._chip(wanted),
            self._chip(chosen.mix.lab),
            tuple(self._pot(id, drops) for id, drops in recipe),
            tuple(w("drops", count=times * drops) for _, drops in recipe),
            amount if needed is not None else "",
            accuracy,
            self._media(recipe),
        )

    # Steps

    def _steps(self) -> tuple[Step, ...]:
        turns, circle = turns_of(self.work)
        made = [*self._preparing()]
        done: list[str] = []
        for turn in turns:
            made.append(self._turn(turn.ids, done))
            done += turn.ids
        if circle:
            names = self.words.joined([isolated(self.name[id]) for id in circle])
            made.append(
                _plain("paint", self.words("step-circle"), self.words("step-circle-words", parts=names))
            )
        made += self._finishing()
        numbered = tuple(
            replace(step, number=index, id=f"step-{index}") for index, step in enumerate(made, 1)
        )
        for step in numbered:
            for number, _ in step.parts:
                if step.kind == "paint" or self._id(number) not in self.step_of:
                    self.step_of[self._id(number)] = step.id
        return numbered

    def _preparing(self) -> list[Step]:
        w = self.words
        steps = [
            _plain("prepare", w("step-wash"), w("step-wash-words")),
            _plain("prepare", w("step-card"), w("step-card-words")),
        ]
        bare = [f for f in self.scheme.parts if f.part.finish in UNPAINTED]
        if bare:
            named = self._named([f.part.id for f in bare])
            steps.append(_plain("prepare", w("step-mask"), w("step-mask-words"), named))
        ground = w(f"ground-{self._primer().replace(' ', '-')}")
        steps.append(_plain("prepare", w("step-prime", ground=ground), w("step-prime-words")))
        return steps

    def _named(self, ids: Sequence[str]) -> tuple[tuple[int, str], ...]:
        return tuple(sorted((self.number[id], self.name[id]) for id in ids))

    def _turn(self, ids: Sequence[str], done: Sequence[str]) -> Step:
        w = self.words
        members = [self.scheme.part(id) for id in ids]
        first = members[0]
        chosen = self.work.chosen.get(ids[0])
        wanted = self.base[ids[0]]
        paint: ChosenPaint | None = None
        facts: list[tuple[str, str]] = []
        tones: tuple[Tone, ...] = ()
        coating = self.work.covering.parts.get(ids[0])
        volumes = [c.millilitres for id in ids if (c := self.work.covering.parts.get(id)) is not None]
        amounts = [v for v in volumes if v is not None]
        total = sum(amounts) if amounts and len(amounts) == len(ids) else None
        if chosen is not None:
            paint = self._paint_named(chosen, self._by_part(members, self._look, " "))
            paint = replace(paint, off=self._by_part(members, self._off))
            if total is not None and chosen.mix is not None:
                times = _times(chosen.recipe, total * SPARE)
                paint = replace(paint, enough=w("enough", count=times))
            for id in ids:
                each = self.work.covering.parts.get(id)
                self._book(chosen.recipe, each.millilitres if each else None, ("base", self.number[id]))
            if chosen.mix is not None and wanted is not None:
                self.mix_wanted.setdefault(chosen.recipe, (wanted, chosen))
        elif first.lab is None:
            facts.append((w("fact-paint"), w("leave-in-primer")))
        else:
            facts.append((w("fact-paint"), w("no-paint-for", colour=self._chip(first.lab).words)))
        brushed = chosen is not None or first.lab is not None
        # in the order of the work
        if brushed:
            facts.append((w("fact-over"), self._over(coating)))
            facts.append((w("fact-mask"), self._mask(members, done)))
        if chosen is not None:
            coats = self._coats(coating)
            facts.append((w("fact-coats"), coats if total is None else f"{coats}: {self._volume(total)}"))
            tones = self._tones(members)
        if brushed:
            facts.append((w("fact-dry"), w(f"dry-{self._thinned(chosen)}")))
        facts.append((w("fact-seal"), self._seal(members)))
        picture = self.shown.lit.get(tuple(sorted(ids)))
        named = self._named(ids)
        said = ", ".join(f"{n}\u00a0{isolated(name)}" for n, name in named)
        return Step(
            0,
            "",
            "paint",
            "",
            named,
            self._chip(wanted),
            paint,
            tuple(facts),
            tones,
            self._doubt(members),
            "",
            picture,
            w("step-alt", parts=said) if picture is not None else "",
        )

    def _thinned(self, chosen: Chosen | None) -> str:
        media = {self.swatch[id].medium for id, _ in chosen.recipe if id in self.swatch} if chosen else set()
        medium = media.pop() if len(media) == 1 else ""
        return medium if medium and self.words.has(f"dry-{medium}") else "unknown"

    def _coats(self, coating: Coating | None) -> str:
        w = self.words
        if coating is None:
            return w("coats-unknown")
        if coating.coats is None:
            return w("coats-never", left=w.number(coating.left))
        return w("coats" if coating.stated else "coats-about", count=coating.coats)

    def _volume(self, amount: float) -> str:
        said = self.words.number(amount, 1 if amount >= 0.1 else 2)
        return self.words("volume", amount=said, drops=_drops(amount))

    def _over(self, coating: Coating | None) -> str:
        w, primer = self.words, self._primer()
        ground = primer if coating is None else coating.ground
        said = w(f"ground-{ground.replace(' ', '-')}")
        return w("over-primer", ground=said) if ground == primer else w("over-undercoat", ground=said)

    def _mask(self, members: Sequence[PartColour], done: Sequence[str]) -> str:
        own = {m.part.id for m in members}
        near = {id for m in members for id in m.part.after}
        near |= {id for m in members for id in self.shown.touching.get(m.part.id, ())}
        near = {id for id in near if id in done and id not in own}
        if not near:
            return self.words("mask-nothing")
        listed = self.words.joined([f"{n}\u00a0{isolated(name)}" for n, name in self._named(list(near))])
        return self.words("mask", parts=listed)

    def _seal(self, members: Sequence[PartColour]) -> str:
        return self._by_part(members, lambda colour: self.words(f"seal-{self._sealed(colour)}"))

    def _sealed(self, colour: PartColour) -> str:
        """The finish that a part is sealed to. Metal that no metallic paint comes near shines by its clear
        coat alone."""
        from palette.swatches.kinds import unmixable

        chosen = self.work.chosen.get(colour.part.id)
        if colour.part.finish != "metallic" or chosen is None:
            return colour.part.finish
        paints = [self.swatch[id] for id, _ in chosen.recipe if id in self.swatch]
        return "metallic" if any(unmixable(paint) == "metallic" for paint in paints) else "gloss"

    def _by_part(
        self, members: Sequence[PartColour], said: Callable[[PartColour], str], between: str = "; "
    ) -> str:
        """What is said of the parts of one card: once where it is the same for all, else with numbers."""
        texts: dict[str, list[int]] = {}
        for colour in members:
            texts.setdefault(said(colour), []).append(self.number[colour.part.id])
        if len(texts) == 1:
            return next(iter(texts))
        told = sorted((sorted(of), text) for text, of in texts.items() if text)
        return between.join(f"{', '.join(map(str, of))}: {text}" for of, text in told)

    def _look(self, colour: PartColour) -> str:
        chosen = self.work.chosen[colour.part.id]
        return " ".join(sentence(say(remark, words=self.words)) for remark in chosen.remarks)

    def _off(self, colour: PartColour) -> str:
        """How far a part's paint is from its colour; how sure a mixture is of that stands at its mixing."""
        chosen = self.work.chosen[colour.part.id]
        if chosen.guess is not None or colour.lab is None or chosen.difference < 0.05:
            return ""
        seen = self.words(f"seen-{seen_key(chosen.miss)}")
        return self.words("off", amount=self.words.number(chosen.difference), seen=seen)

    def _tones(self, members: Sequence[PartColour]) -> tuple[Tone, ...]:
        """The shades and highlights of a card; parts of one tone share a line."""
        lines: dict[tuple[object, ...], list[tuple[PartColour, ToneNeed]]] = {}
        for colour in members:
            for need in self.work.tones.get(colour.part.id, ()):
                what = need.lab.tobytes() if need.chosen is None else need.chosen.recipe
                line = (need.role, what, self._way(need.role, colour))
                lines.setdefault(line, []).append((colour, need))

        def place(line: Sequence[tuple[PartColour, ToneNeed]]) -> tuple[int, int]:
            return ROLES.index(line[0][1].role), min(self.number[colour.part.id] for colour, _ in line)

        told = [self._tone(line, len(members)) for line in sorted(lines.values(), key=place)]
        told += [tone for role in ROLES if (tone := self._toneless(role, members)) is not None]
        return tuple(sorted(told, key=lambda tone: ROLES.index(tone.role)))

    def _toneless(self, role: str, members: Sequence[PartColour]) -> Tone | None:
        """What is said of the parts that have but the other tone: as dark or as light as paint gets."""

        def lacks(colour: PartColour) -> bool:
            wanted = {"shade": colour.part.shade, "highlight": colour.part.highlight}[role]
            if wanted is None:
                wanted = {"shade": self.kit.shade, "highlight": self.kit.highlight}[role]
            needs = self.work.tones.get(colour.part.id, ())
            return bool(wanted and needs) and all(need.role != role for need in needs)

        without = [colour for colour in members if lacks(colour)]
        if not without:
            return None
        numbers = () if len(without) == len(members) else tuple(self.number[c.part.id] for c in without)
        none = Chip("", "", bare=True)
        return Tone(role, self.words(role), none, None, self.words(f"no-{role}"), "", numbers)

    def _tone(self, line: Sequence[tuple[PartColour, ToneNeed]], members: int) -> Tone:
        w, (first, need) = self.words, line[0]
        paint, chip = None, self._chip(need.lab)
        amount = self._tone_amount([colour for colour, _ in line])
        if need.chosen is not None:
            paint = self._paint_named(need.chosen)
            for colour, _ in line:
                use = (need.role, self.number[colour.part.id])
                self._book(need.chosen.recipe, None if amount is None else amount / len(line), use)
            if need.chosen.mix is not None:
                self.mix_wanted.setdefault(need.chosen.recipe, (need.lab, need.chosen))
        return Tone(
            need.role,
            w(need.role),
            chip,
            paint,
            w("no-tone", colour=chip.words) if paint is None else w(f"how-{self._way(need.role, first)}"),
            "" if amount is None else w("drops", count=_drops(amount)),
            () if len(line) == members else tuple(self.number[colour.part.id] for colour, _ in line),
        )

    def _tone_amount(self, members: Sequence[PartColour]) -> float | None:
        """Millilitres of a tone on these parts; None where what a part takes is unknown."""
        total = 0.0
        for colour in members:
            coating = self.work.covering.parts.get(colour.part.id)
            if coating is None or coating.millilitres is None:
                return None
            total += coating.millilitres
        return max(total * TONE_SHARE, DROP)

    def _way(self, role: str, colour: PartColour) -> str:
        """How a tone is put on: a wash into hollows, layers on smooth panels, a dry brush over texture."""
        smooth = colour.part.finish in ("gloss", "satin") and (self._area(colour) or 0.0) >= _LAYERED
        if role == "shade":
            return "layer-shade" if smooth else "wash"
        return "layer-highlight" if smooth else "drybrush" if colour.part.finish == "matt" else "edge"

    def _doubt(self, members: Sequence[PartColour]) -> str:
        """What the guesses of a card may be else; '' for what was measured."""
        return self._by_part(members, self._doubted, " ")

    def _doubted(self, colour: PartColour) -> str:
        w = self.words
        if not self._guess(colour):
            if colour.conflict:
                return self._disputed(colour)
            open_ = colour.radius90 is not None and sureness(colour.radius90) is Sureness.OPEN
            return w("doubt-open") if open_ else ""
        chosen = self.work.chosen.get(colour.part.id)
        guess = chosen.guess if chosen is not None else None
        if guess is None or not guess.odds:
            hints = w.joined([f"“{isolated(tidy(h.words))}”" for h in colour.part.hints])
            key = "guess-words" if colour.basis == "hint" else "guess-grey-words"
            return w(key, hints=hints) if hints else w("guess-plain")
        off = w.number(guess.expected, 0)
        others = [(id, p) for id, p in guess.odds if p >= _LEAST_ODDS][:ALSO]
        if not others:
            return w("guess-alone", off=off)
        named = [
            f"{self._paint(id).code} {isolated(self._paint(id).name)} ({self._percent(p)})"
            for id, p in others
        ]
        return w("guess-odds", off=off, others=w.joined_or(named))

    def _disputed(self, colour: PartColour) -> str:
        """What each source would have instead of what was settled on, by the paint nearest to it."""
        chosen = self.work.chosen.get(colour.part.id)
        taken = {id for id, _ in chosen.recipe} if chosen is not None else set()
        paints = fitting(self.on_sale, colour.part.finish == "metallic")
        others: dict[str, list[str]] = {}
        for source in sorted(colour.evidence, key=lambda each: -each.weight):
            if source.lab is None or not len(paints):
                continue
            near = paints.swatches[int(paints.nearest(source.lab, 1)[0][0])].id
            if near not in taken:
                others.setdefault(near, []).append(isolated(tidy(source.reference)))
        if not others:
            return self.words("doubt-disputed")
        listed = [
            f"{self._paint(id).code} {isolated(self._paint(id).name)} ({self.words.joined(sources)})"
            for id, sources in list(others.items())[:ALSO]
        ]
        return self.words("doubt-disputed-or", others=self.words.joined_or(listed))

    def _percent(self, share: float) -> str:
        if 0 < share < 0.005:
            return self.words("under-one-percent")
        return self.words("percent", amount=self.words.number(100 * share, 0))

    def _finishing(self) -> list[Step]:
        w, steps = self.words, []
        steps.append(_plain("finish", w("step-decals"), w("step-decals-words")))
        sheens: dict[str, list[str]] = {}
        for colour in self.scheme.parts:
            sheens.setdefault(self._sealed(colour), []).append(colour.part.id)
        seals = [sheen for sheen in SHEENS if sheen in sheens]
        for index, sheen in enumerate(seals):
            text = w("step-seal-words")
            if index:
                text = w("step-seal-mask") + " " + text
            steps.append(
                _plain("finish", w("step-seal", sheen=w(f"sheen-{sheen}")), text, self._named(sheens[sheen]))
            )
        for finish in ("metallic", "bare", "clear"):
            if finish in sheens:
                steps.append(
                    _plain(
                        "finish", w(f"step-{finish}"), w(f"step-{finish}-words"), self._named(sheens[finish])
                    )
                )
        for id in sheens.get("lit", []):
            lab = self.base[id]
            light = self._chip(lab)
            text = w("step-lit-words", colour=light.words) if lab is not None else w("step-lit-unknown")
            steps.append(replace(_plain("finish", w("step-lit"), text, self._named([id])), chip=light))
        return [
            replace(step, picture=self.shown.lit.get(tuple(sorted(self._id(n) for n, _ in step.parts))))
            for step in steps
        ]

    def _targets(self) -> tuple[Target, ...]:
        """Every colour of the scheme and its tones, to be matched again in the reader's browser."""
        targets = []
        for part in self.scheme.parts:
            lab, metallic = self.base[part.part.id], part.part.finish == "metallic"
            number = self.number[part.part.id]
            if lab is not None and part.part.finish not in UNPAINTED:
                targets.append(Target(number, "base", _triple(lab), metallic))
            for tone in self.work.tones.get(part.part.id, ()):
                targets.append(Target(number, tone.role, _triple(tone.lab), metallic))
        return tuple(targets)

    # Bench card

    def _bench(self) -> tuple[BenchRow, ...]:
        rows = []
        for colour in self.scheme.parts:
            id = colour.part.id
            chosen = None if colour.part.finish in UNPAINTED else self.work.chosen.get(id)
            face = self._face(colour)
            codes, mark = "–", ""
            if chosen is not None:
                mark = self.letters.get(chosen.recipe, "")
                codes = self._paint_named(chosen).codes
            rows.append(
                BenchRow(
                    self.number[id],
                    self.name[id],
                    face,
                    face.words,
                    codes,
                    mark,
                    self.words(f"short-{self._sealed(colour)}"),
                    self._guess(colour),
                    self.step_of.get(id, ""),
                )
            )
        return tuple(rows)


GLOSSARY = (
    "base", "drop", "drybrush", "guess", "highlight", "layer", "off", "primer", "seal", "wash",
)  # fmt: skip


def _times(recipe: Recipe, millilitres: float) -> int:
    """How many times the drops of a recipe make so much."""
    return max(1, math.ceil(millilitres / DROP / sum(drops for _, drops in recipe) - 1e-9))


def _drops(millilitres: float) -> int:
    return max(1, math.ceil(millilitres / DROP - 1e-9))


def _triple(lab: Array) -> tuple[float, float, float]:
    return float(lab[0]), float(lab[1]), float(lab[2])


def _plain(kind: str, title: str, text: str, parts: tuple[tuple[int, str], ...] = ()) -> Step:
    return Step(0, "", kind, title, parts, facts=(("", text),))
