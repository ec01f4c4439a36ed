"""Anchors of grey pictures judged together: which one, if wrong, explains all that does not fit.

An anchor says that its mark lies on a surface of some colour. Where the levels of a picture cannot all come
through one tone curve, some of that is wrong: a mark on another surface, a colour misstated, or the colour
of a part, which then is wrong in every picture that shows it. Each way to be wrong is a hypothesis, weighed
by how likely it makes all the levels: a wrong anchor is as good as a surface of unknown lightness. So one
wrong statement that explains every contradiction wins over several innocent ones, and where two explain it
as well both are suspects.

Source: the two-component model of Box & Tiao, Biometrika 55 (1968) 119-129, over statements, not readings.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeAlias

import numpy as np

from palette.evidence.grey import posterior
from palette.evidence.grey.notes import AnchorAstray, AnchorsAtOdds, ColourAstray
from palette.evidence.grey.picture import AnchorLevel, GreyPicture
from palette.notes import Note

# A statement: (picture, place of its anchor), or ("", part) for the colour of a part wherever it is shown.
_Statement: TypeAlias = tuple[str, int | str]
_Wrong: TypeAlias = frozenset[_Statement]

_PRIOR = float(np.log(0.02 / 0.98))  # of a statement being wrong: common practice, no source
_DEPTH, _WIDTH = 3, 3  # wrong statements at once, and hypotheses that are carried on
_NAMED, _SUSPECT = 0.8, 0.1  # the chance of being wrong from which one is named alone, or is a suspect
_CONTRADICTS = 3.0  # log of the odds by which a picture alone speaks against a part's colour


@dataclass(frozen=True)
class Judged:
    """Grey pictures, with the anchors that are not believed as surfaces of unknown lightness."""

    pictures: Mapping[str, GreyPicture]
    notes: tuple[Note, ...] = ()
    against: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # by part: pictures that contradict


def judged(pictures: Mapping[str, GreyPicture]) -> Judged:
    """Judge the anchors of pictures, by their names."""
    if not any(_strained(picture) for picture in pictures.values()):
        return Judged(pictures)
    trial = _Trial(pictures)
    named, at_odds = trial.sentence()
    suspects = named | at_odds
    believed = {
        name: replace(
            picture,
            anchors=tuple(
                _unknown(a) if {(name, i), ("", a.part)} & suspects else a
                for i, a in enumerate(picture.anchors)
            ),
        )
        for name, picture in pictures.items()
    }
    against = trial.against(suspects)
    return Judged(believed, tuple(trial.told(named, at_odds, against)), against)


def _strained(picture: GreyPicture) -> bool:
    """Whether a picture's anchors fit no curve as well as right ones would but once in a hundred times."""
    from scipy.special import chdtri

    curves = posterior.calibrate(picture).curves
    best = np.unravel_index(int(curves.log_weight.argmax()), curves.log_weight.shape)
    residual = curves.residual[best]
    square = float(residual @ curves.whitened[best[0]] @ residual)
    return len(residual) > 1 and square > float(chdtri(len(residual), 0.01))


def _unknown(anchor: AnchorLevel) -> AnchorLevel:
    return replace(anchor, lab=None, reflectance=None)


class _Trial:
    """The pictures with what each hypothesis makes of them."""

    def __init__(self, pictures: Mapping[str, GreyPicture]) -> None:
        self.pictures = pictures
        self.places: dict[_Statement, dict[str, frozenset[int]]] = {}  # by statement, the anchors it is of
        shown: dict[str, dict[str, frozenset[int]]] = {}
        for name, picture in pictures.items():
            for i, anchor in enumerate(picture.anchors):
                if anchor.lab is None:
                    continue
                self.places[name, i] = {name: frozenset({i})}
                if anchor.part is not None:
                    of_part = shown.setdefault(anchor.part, {})
                    of_part[name] = of_part.get(name, frozenset()) | {i}
        for part, places in shown.items():
            if sum(map(len, places.values())) > 1:
                self.places["", part] = places
        self._evidence: dict[tuple[str, frozenset[int]], float] = {}
        self._scores: dict[_Wrong, float] = {}

    def evidence(self, name: str, wrong: frozenset[int]) -> float:
        """How likely a picture's levels are with those anchors wrong: a logarithm, up to a constant."""
        key = name, wrong
        if key not in self._evidence:
            self._evidence[key] = posterior.log_evidence(self.pictures[name], wrong)
        return self._evidence[key]

    def score(self, wrong: Iterable[_Statement]) -> float:
        """The logarithm of a hypothesis's probability, up to a constant."""
        wrong = frozenset(wrong)
        if wrong not in self._scores:
            levels = sum(self.evidence(name, self._in(name, wrong)) for name in self.pictures)
            self._scores[wrong] = levels + _PRIOR * len(wrong)
        return self._scores[wrong]

    def _in(self, name: str, wrong: Iterable[_Statement]) -> frozenset[int]:
        return frozenset().union(*(self.places[s].get(name, frozenset()) for s in wrong))

    def chances(self) -> dict[_Statement, float]:
        """By statement, the chance that it is wrong."""
        nothing: _Wrong = frozenset()
        statements = list(self.places)
        open_ = [nothing]
        best = self.score(nothing)
        for depth in range(_DEPTH):
            tried = list(dict.fromkeys(w | {s} for w in open_ for s in statements if s not in w))
            if not tried:
                break
            tried.sort(key=lambda w: -self.score(w))
            if depth == 0:  # what explains nothing by itself explains little beside others
                statements = [s for s in statements if self.score({s}) - _PRIOR > best]
            if self.score(tried[0]) <= best:
                break
            best, open_ = self.score(tried[0]), tried[:_WIDTH]
        share = {wrong: float(np.exp(score - best)) for wrong, score in self._scores.items()}
        total = sum(share.values())
        return {s: sum(v for wrong, v in share.items() if s in wrong) / total for s in self.places}

    def part(self, statement: _Statement) -> str | None:
        """The part that a statement is about."""
        picture, place = statement
        return self.pictures[picture].anchors[int(place)].part if picture else str(place)

    def sentence(self) -> tuple[set[_Statement], set[_Statement]]:
        """The statements that are wrong for all the evidence can tell, and those of which one is.

        A part whose colour or marks are wrong is told by itself, even where nothing tells which of them.
        """
        wrong = self.chances()
        named, at_odds = set(), set()
        by_part: dict[str | None, set[_Statement]] = {}
        for statement, chance in wrong.items():
            if chance > _NAMED:
                named.add(statement)
            elif chance > _SUSPECT:
                by_part.setdefault(self.part(statement), set()).add(statement)
        for part, statements in by_part.items():
            if part is None:
                at_odds |= statements
            elif not any(self.part(s) == part for s in named):
                whole = ("", part) in self.places and sum(map(wrong.__getitem__, statements)) > _NAMED
                (named if whole else at_odds).update(statements)
        return named, at_odds

    def told(
        self, named: set[_Statement], at_odds: set[_Statement], against: Mapping[str, tuple[str, ...]]
    ) -> Iterable[Note]:
        for part in dict.fromkeys(self.part(s) for s in sorted(named, key=str)):
            own = [s for s in named if self.part(s) == part]
            if part is not None and (len(own) > 1 or own == [("", part)]):
                yield ColourAstray(part, against.get(part, ()), own == [("", part)])
                continue
            for picture, place in sorted(own, key=str):
                anchor = self.pictures[picture].anchors[int(place)]
                yield AnchorAstray(picture, anchor.name, anchor.part is not None)
        for name, seen in self.pictures.items():
            if at_odds and _strained(seen):
                places = sorted(self._in(name, at_odds))
                yield AnchorsAtOdds(name, tuple(seen.anchors[i].name for i in places))

    def against(self, suspects: set[_Statement]) -> dict[str, tuple[str, ...]]:
        """By part, the pictures that alone contradict its colour, beside all else that is believed."""
        against: dict[str, tuple[str, ...]] = {}
        for part in {p for s in suspects if (p := self.part(s)) is not None}:
            others = {s for s in suspects if self.part(s) != part}
            for name, picture in self.pictures.items():
                anchors = enumerate(picture.anchors)
                own = frozenset(i for i, a in anchors if a.part == part and a.lab is not None)
                rest = self._in(name, others)
                if own and self.evidence(name, rest | own) - self.evidence(name, rest - own) > _CONTRADICTS:
                    against[part] = (*against.get(part, ()), name)
        return against
