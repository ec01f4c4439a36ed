"""What each note says, in the language of a catalogue.

A sentence has no capital and no stop, so that it may stand behind a heading; `sentence` gives it both. The
messages are those of the catalogue that begin with `note-`: short, subject first, what to do last.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import fields
from functools import cache, singledispatch
from typing import TypeAlias

from palette.evidence.combine import notes as combine
from palette.evidence.correction import notes as correction
from palette.evidence.grey import notes as grey
from palette.evidence.measure import notes as measure
from palette.evidence.pictures import notes as pictures
from palette.notes import Note, OfReference
from palette.paints.card import notes as card
from palette.paints.choosing import notes as choosing
from palette.sample import notes as sample
from palette.words.catalogue import Words
from palette.words.lights import light_name, under

Naming: TypeAlias = Callable[[str, str], str]  # (part | reference, its id) -> what it is called


def by_id(kind: str, id: str) -> str:
    """What a part or a reference is called where only its id is known."""
    return repr(id)


def say(note: Note, call: Naming = by_id, words: Words | None = None) -> str:
    """A note in words, for a terminal where no `words` are given. A kind that has no words here is told by its
    name and its values."""
    return _say(note, call, words) if words else _say(note, call, _english()).replace("\u00a0", " ")


@cache
def _english() -> Words:
    return Words()


@singledispatch
def _say(note: Note, call: Naming, w: Words) -> str:
    name = re.sub(r"(?<!^)(?=[A-Z])", " ", type(note).__name__).lower()
    values = ", ".join(f"{field.name} {getattr(note, field.name)}" for field in fields(note))
    return f"{name} ({values})" if values else name


_BARE: dict[type[Note], str] = {  # kinds that say one thing, with no values
    measure.JpegBlocks: "jpeg-blocks",
    correction.AsShot: "as-shot",
    correction.Reversed: "reversed",
    correction.ChartTurned: "chart-turned",
    correction.Unanchored: "unanchored",
    correction.SensorChannels: "sensor-channels",
    correction.WideNumbers: "wide-numbers",
    card.ByPaper: "by-paper",
    card.GreyCardUnstated: "grey-card-unstated",
    combine.NoTrust: "no-trust",
    combine.Vague: "vague",
    combine.CountedWithGrey: "counted-with-grey",
    combine.WithWords: "with-words",
    combine.DecidedForSamePaint: "decided-same-paint",
    grey.NoPaintFits: "no-paint-fits",
    pictures.InksUnprofiled: "inks-unprofiled",
    pictures.FloatsUnprofiled: "floats-unprofiled",
    pictures.AdobeUnprofiled: "adobe-unprofiled",
    pictures.RangeUnread: "range-unread",
    pictures.FrameDamaged: "frame-damaged",
    pictures.MatrixUnread: "matrix-unread",
    pictures.TransferAssumed: "transfer-assumed",
    pictures.NoSample: "no-sample",
    pictures.NoCredit: "no-credit",
}
for _kind, _key in _BARE.items():
    _say.register(_kind)(lambda note, call, w, _key=_key: w(f"note-{_key}"))


def _percent(w: Words, share: float, least: int = 0) -> str:
    return w("percent", amount=w.number(max(least, round(100 * share)), 0))


def _anchor(w: Words, name: str) -> str:
    """'anchor 3 (munsell N 5/)', which is how corrections call an anchor, in the language."""
    return w("note-anchor", which=name[7:]) if name.startswith("anchor ") else name


def _anchors(w: Words, names: Sequence[str]) -> str:
    return w.joined([_anchor(w, name) for name in names])


def _channel(w: Words, name: str) -> str:
    return w(f"channel-{name}") if w.has(f"channel-{name}") else name


@_say.register
def _(note: OfReference, call: Naming, w: Words) -> str:
    return w("note-of-reference", reference=call("reference", note.reference), text=_say(note.note, call, w))


# Samples


@_say.register
def _(note: measure.Clipped, call: Naming, w: Words) -> str:
    key = "note-clipped" if note.bright else "note-clipped-black"
    return w(key, share=_percent(w, note.share), channel=_channel(w, note.channel))


@_say.register
def _(note: measure.SeveralColours, call: Naming, w: Words) -> str:
    return w("note-several-colours", share=_percent(w, note.share, 1))


@_say.register
def _(note: measure.LightEdge, call: Naming, w: Words) -> str:
    return w("note-light-edge", share=_percent(w, note.share), factor=w.number(note.factor))


@_say.register
def _(note: measure.GlossTakenOff, call: Naming, w: Words) -> str:
    return w("note-gloss", share=_percent(w, note.share))


@_say.register
def _(note: measure.Shaded, call: Naming, w: Words) -> str:
    return w("note-shaded", factor=w.number(note.factor))


@_say.register
def _(note: measure.LeftOut, call: Naming, w: Words) -> str:
    return w(f"note-left-out-{note.what}", share=_percent(w, note.share, 1))


@_say.register
def _(note: measure.ScreenAveraged, call: Naming, w: Words) -> str:
    return w("note-screen", period=w.number(note.period))


@_say.register
def _(note: measure.FewPixels, call: Naming, w: Words) -> str:
    return w("note-few-pixels", count=note.count)


@_say.register
def _(note: measure.Colourless, call: Naming, w: Words) -> str:
    return w("note-toned" if note.toned else "note-colourless")


def _mark(mark: pictures.Mark, call: Naming, w: Words) -> str:
    if mark.anchor:
        return w("note-anchor", which=str(mark.anchor))
    return w("note-sample-of", part=call("part", mark.part))


@_say.register
def _(note: measure.OfMark, call: Naming, w: Words) -> str:
    return w("note-of-mark", mark=_mark(note.mark, call, w), text=_say(note.note, call, w))


@_say.register
def _(note: measure.OverTheEdge, call: Naming, w: Words) -> str:
    return w("note-over-the-edge", mark=_mark(note.mark, call, w))


# Corrections


@_say.register
def _(note: correction.ByLight, call: Naming, w: Words) -> str:
    if note.stated is None:
        return w("note-by-light-estimated")
    light = light_name(note.stated)
    return w("note-by-light-both" if note.estimated else "note-by-light-stated", light=light)


@_say.register
def _(note: correction.NoAgreement, call: Naming, w: Words) -> str:
    return w("note-no-agreement", count=w.count(note.count))


@_say.register
def _(note: correction.ByNeutrals, call: Naming, w: Words) -> str:
    return w("note-by-neutral") if note.count == 1 else w("note-by-neutrals", count=w.count(note.count))


@_say.register
def _(note: correction.ByAnchors, call: Naming, w: Words) -> str:
    if note.count == 1:
        text = w("note-by-anchor")
    elif not note.grey:
        text = w("note-by-anchors", count=w.count(note.count))
    elif note.grey == note.count:
        text = w(
            "note-by-anchors-both-grey" if note.count == 2 else "note-by-anchors-all-grey",
            count=w.count(note.count),
        )
    else:
        text = w("note-by-anchors-some-grey", count=w.count(note.count), grey=w.count(note.grey))
    if note.one_colour:
        return w("note-one-colour", text=text)
    if note.left_out is not None:
        return w("note-leaving-one-out", text=text, off=w.number(note.left_out))
    return text


@_say.register
def _(note: correction.LightEstimates, call: Naming, w: Words) -> str:
    each = ", ".join(f"{name} {w.number(angle, 0)}°" for name, angle in note.degrees)
    key = "note-light-estimates-loose" if note.most > 8 else "note-light-estimates"
    return w(key, count=w.count(len(note.degrees)), most=w.number(note.most, 0), each=each)


@_say.register
def _(note: correction.OneSpot, call: Naming, w: Words) -> str:
    return w("note-one-spot", anchors=_anchors(w, note.anchors))


@_say.register
def _(note: correction.CannotAllBeTrue, call: Naming, w: Words) -> str:
    many = len(note.anchors)
    who = w("note-the-anchors") if note.everyone and many > 3 else _anchors(w, note.anchors)
    text = w("note-cannot-both" if many == 2 else "note-cannot-all", who=who)
    return w("note-swapped", text=text) if note.everyone and many > 2 else text


@_say.register
def _(note: correction.AnchorsLeftOut, call: Naming, w: Words) -> str:
    return w("note-anchors-left-out", anchors=_anchors(w, note.anchors), count=len(note.anchors))


@_say.register
def _(note: correction.AnchorAstray, call: Naming, w: Words) -> str:
    return w("note-anchor-astray", anchor=_anchor(w, note.anchor), off=w.number(note.off, 0))


@_say.register
def _(note: correction.AnchorClipped, call: Naming, w: Words) -> str:
    lost = [w("note-in-channel", share=_percent(w, s), channel=_channel(w, c)) for c, s in note.shares]
    return w("note-anchor-clipped", anchor=_anchor(w, note.anchor), lost=w.joined(lost))


@_say.register
def _(note: correction.LightnessGuessed, call: Naming, w: Words) -> str:
    return w("note-lightness-scene" if note.scene else "note-lightness-usual")


@_say.register
def _(note: correction.LightSlopes, call: Naming, w: Words) -> str:
    direction = ("across" if note.across else "down", "grows" if note.grows else "falls")
    return w(f"note-light-{direction[1]}-{direction[0]}", share=_percent(w, note.share))


@_say.register
def _(note: correction.LightFallsOff, call: Naming, w: Words) -> str:
    return w("note-light-corners", share=_percent(w, note.share))


@_say.register
def _(note: correction.StrayLight, call: Naming, w: Words) -> str:
    return w("note-stray-light", share=w("percent", amount=w.number(100 * note.share)))


@_say.register
def _(note: correction.DyesFaded, call: Naming, w: Words) -> str:
    layers = [w("note-layer-keeps", layer=_channel(w, la), kept=_percent(w, kept)) for la, kept in note.kept]
    return w("note-dyes-faded", layers=", ".join(layers))


@_say.register
def _(note: correction.LayerLost, call: Naming, w: Words) -> str:
    return w("note-layer-lost", layer=_channel(w, note.layer), noise=w.number(note.noise))


# Cards


@_say.register
def _(note: card.UnevenCard, call: Naming, w: Words) -> str:
    return w("note-uneven-card", ratio=w.number(note.ratio))


# What counted


@_say.register
def _(note: combine.CopyOf, call: Naming, w: Words) -> str:
    text = w("note-copy", reference=call("reference", note.reference))
    return text if note.apart is None else w("note-copy-apart", text=text, apart=w.number(note.apart))


@_say.register
def _(note: combine.OtherLivery, call: Naming, w: Words) -> str:
    return w("note-livery-before" if note.before else "note-livery-after", year=str(note.year))


@_say.register
def _(note: combine.NotBelieved, call: Naming, w: Words) -> str:
    return w("note-not-believed", off=w.number(note.off))


@_say.register
def _(note: combine.InDoubt, call: Naming, w: Words) -> str:
    right = _percent(w, note.right)
    return (
        w("note-in-doubt", right=right)
        if note.off < 1
        else w("note-in-doubt-off", right=right, off=w.number(note.off))
    )


@_say.register
def _(note: combine.GreyNotBelieved, call: Naming, w: Words) -> str:
    return w("note-grey-not-believed", right=_percent(w, note.right))


@_say.register
def _(note: combine.OneAnswer, call: Naming, w: Words) -> str:
    return w("note-one-answer", references=w.joined(note.references))


@_say.register
def _(note: combine.WordsTaken, call: Naming, w: Words) -> str:
    return w("note-words-taken", words=note.words, meaning=w.colour(note.meaning))


@_say.register
def _(note: combine.SamePaintAs, call: Naming, w: Words) -> str:
    return w("note-same-paint", parts=w.joined([call("part", id) for id in note.parts]))


@_say.register
def _(note: combine.OfSample, call: Naming, w: Words) -> str:
    return w("note-of-sample", source=note.source, text=_say(note.note, call, w))


@_say.register
def _(note: choosing.LooksOtherwise, call: Naming, w: Words) -> str:
    return w(f"note-looks-{note.look}")


@_say.register
def _(note: choosing.PartsUnder, call: Naming, w: Words) -> str:
    light, lamp = under(note.light, w), under(note.lamp, w)
    return w("note-parts-under", light=light, lamp=lamp, off=w.number(note.difference, 0))


@_say.register
def _(note: combine.Disagrees, call: Naming, w: Words) -> str:
    return w("note-disagrees", odds=_once_in(w, note.odds))


def _once_in(w: Words, odds: float) -> str:
    return w("once-in", times=w.number(1 / odds, 0)) if odds > 1e-6 else w("once-in-more")


@_say.register
def _(note: combine.PictureInDoubt, call: Naming, w: Words) -> str:
    where = w.joined([call("part", id) for id in note.parts])
    return w("note-picture-in-doubt", parts=where, right=_percent(w, note.right))


@_say.register
def _(note: combine.SampleApart, call: Naming, w: Words) -> str:
    return w("note-sample-apart", number=str(note.number), off=w.number(note.off))


@_say.register
def _(note: combine.WordsContradicted, call: Naming, w: Words) -> str:
    return w("note-words-contradicted", source=note.source, off=w.number(note.off))


@_say.register
def _(note: combine.NotLighter, call: Naming, w: Words) -> str:
    names = {"part": call("part", note.part), "lighter": call("part", note.lighter)}
    return w("note-not-lighter", **names, darker=w.number(note.darker, 0))


@_say.register
def _(note: combine.Decided, call: Naming, w: Words) -> str:
    return w("note-decided", why=note.why)


@_say.register
def _(note: combine.DecisionOff, call: Naming, w: Words) -> str:
    return w("note-decision-off", off=w.number(note.off), radius=w.number(note.radius90))


# The kit as a whole


@_say.register
def _(note: combine.NotCompared, call: Naming, w: Words) -> str:
    return w("note-not-compared", part=call("part", note.part), lighter=call("part", note.lighter))


@_say.register
def _(note: combine.DecidedApart, call: Naming, w: Words) -> str:
    names = {"first": call("part", note.first), "part": call("part", note.part)}
    return w("note-decided-apart", **names, off=w.number(note.off))


@_say.register
def _(note: combine.LiveryGuessed, call: Naming, w: Words) -> str:
    out = ", ".join(f"{id} ({_say(why, call, w)})" for id, why in note.left_out)
    return w("note-livery-guessed", out=out)


@_say.register
def _(note: combine.AnchorUnsettled, call: Naming, w: Words) -> str:
    names = {"reference": call("reference", note.reference), "part": call("part", note.part)}
    return w("note-anchor-unsettled", **names)


@_say.register
def _(note: combine.AnchorOnPrint, call: Naming, w: Words) -> str:
    return w("note-anchor-on-print", reference=call("reference", note.reference))


@_say.register
def _(note: combine.SettledFails, call: Naming, w: Words) -> str:
    return w("note-settled-fails", parts=w.joined(note.parts))


@_say.register
def _(note: combine.SettledChanged, call: Naming, w: Words) -> str:
    parts = w.joined(note.parts)
    if note.version:
        return w("note-settled-changed", version=note.version, parts=parts)
    return w("note-settled-changed-guide", parts=parts)


# Grey pictures


@_say.register
def _(note: grey.HoldsColour, call: Naming, w: Words) -> str:
    return w("note-holds-colour", reference=call("reference", note.reference), file=note.file)


@_say.register
def _(note: grey.AnchorLeftOut, call: Naming, w: Words) -> str:
    names = {"reference": call("reference", note.reference), "part": call("part", note.part)}
    return w("note-grey-anchor-left-out", **names, anchor=_anchor(w, note.anchor))


@_say.register
def _(note: grey.AnchorAstray, call: Naming, w: Words) -> str:
    key = "note-grey-part-astray" if note.part else "note-grey-anchor-astray"
    return w(key, reference=call("reference", note.reference), anchor=_anchor(w, note.anchor))


@_say.register
def _(note: grey.AnchorsAtOdds, call: Naming, w: Words) -> str:
    key = "note-grey-at-odds" if len(note.anchors) == 2 else "note-grey-all-at-odds"
    return w(key, reference=call("reference", note.reference), anchors=_anchors(w, note.anchors))


@_say.register
def _(note: grey.ColourAstray, call: Naming, w: Words) -> str:
    where = [call("reference", id) for id in note.references]
    key = "note-grey-colour-astray" if note.colour else "note-grey-either-astray"
    return w(key, part=call("part", note.part), references=w.joined(where), count=len(where))


@_say.register
def _(note: grey.IsCopy, call: Naming, w: Words) -> str:
    names = {"reference": call("reference", note.reference), "other": call("reference", note.other)}
    return w("note-is-copy", **names)


@_say.register
def _(note: grey.WithHint, call: Naming, w: Words) -> str:
    words = by_id("words", note.words)
    return (
        w("note-with-hint-by", words=words, source=note.source)
        if note.source
        else w("note-with-hint", words=words)
    )


@_say.register
def _(note: grey.WithComparison, call: Naming, w: Words) -> str:
    return w("note-as-lighter" if note.lighter else "note-as-darker", part=call("part", note.part))


@_say.register
def _(note: grey.PartClipped, call: Naming, w: Words) -> str:
    key = "note-part-clipped-white" if note.white else "note-part-clipped-black"
    return w(key, reference=call("reference", note.reference))


@_say.register
def _(note: grey.BeyondAnchors, call: Naming, w: Words) -> str:
    key = "note-beyond-lighter" if note.lighter else "note-beyond-darker"
    return w(key, reference=call("reference", note.reference))


@_say.register
def _(note: grey.NoExposure, call: Naming, w: Words) -> str:
    return w("note-no-exposure", reference=call("reference", note.reference))


@_say.register
def _(note: grey.NoContrast, call: Naming, w: Words) -> str:
    return w("note-no-contrast", reference=call("reference", note.reference))


@_say.register
def _(note: grey.OutshinesWhite, call: Naming, w: Words) -> str:
    return w(
        "note-outshines-white",
        reference=call("reference", note.reference),
        anchor=_anchor(w, note.anchor),
        lightness=w.number(note.lightness, 0),
        first=w.number(note.levels[0], 3),
        second=w.number(note.levels[1], 3),
    )


# Pictures and videos


@_say.register
def _(note: pictures.OfPicture, call: Naming, w: Words) -> str:
    return f"{note.file}: {_say(note.note, call, w)}"


@_say.register
def _(note: pictures.ProfileUnused, call: Naming, w: Words) -> str:
    fault = w(f"note-profile-{note.fault.replace(' ', '-')}", channels=note.channels)
    return w("note-profile-unused-inks" if note.inks else "note-profile-unused", fault=fault)


@_say.register
def _(note: pictures.GammaUnprofiled, call: Naming, w: Words) -> str:
    return w("note-gamma-unprofiled", gamma=f"{note.gamma:.3g}")


@_say.register
def _(note: pictures.PartMissing, call: Naming, w: Words) -> str:
    share = w("note-less-than", share=_percent(w, 0.01)) if note.share < 0.01 else _percent(w, note.share)
    where = f"-{note.side}" if note.side else ""
    return w(f"note-part-missing{where}", share=share, why=w(f"note-why-{note.why.replace(' ', '-')}"))


@_say.register
def _(note: pictures.LevelsLeftOut, call: Naming, w: Words) -> str:
    few = 100 * note.share < 0.1
    return w(
        "note-levels-left-out",
        many=str(note.count) if few else w("percent", amount=w.number(100 * note.share)),
    )


@_say.register
def _(note: pictures.FramesWeave, call: Naming, w: Words) -> str:
    return w("note-frames-weave", most=w.number(note.most))


@_say.register
def _(note: pictures.NotStill, call: Naming, w: Words) -> str:
    key = "note-not-still" if note.used > 1 else "note-not-still-alone"
    return w(key, around=f"{note.around:g}", used=str(note.used), frames=str(note.frames))


@_say.register
def _(note: pictures.PixelsNotSquare, call: Naming, w: Words) -> str:
    return w("note-pixels-not-square", ratio=f"{note.width}:{note.height}")


@_say.register
def _(note: pictures.FrameStartsAt, call: Naming, w: Words) -> str:
    return w("note-frame-starts-at", time=note.time)


@_say.register
def _(note: pictures.MatrixAssumed, call: Naming, w: Words) -> str:
    return w("note-matrix-assumed", name=note.name)


@_say.register
def _(note: pictures.RangeAssumed, call: Naming, w: Words) -> str:
    return w("note-range-assumed-full" if note.full else "note-range-assumed-limited")


@_say.register
def _(note: sample.CastAllOver, call: Naming, w: Words) -> str:
    return w("note-cast-all-over", files=", ".join(note.files), tint=w(f"note-tint-{note.tint}"))


@_say.register
def _(note: sample.NoMoreColours, call: Naming, w: Words) -> str:
    return w("note-no-more-colours", colours=w("note-colours", count=note.count))


@_say.register
def _(note: sample.AsManyAsAsked, call: Naming, w: Words) -> str:
    return w("note-as-many-as-asked", colours=w("note-colours", count=note.count), auto=note.auto)


@_say.register
def _(note: sample.MostColours, call: Naming, w: Words) -> str:
    return w("note-most-colours", colours=w("note-colours", count=note.count))


@_say.register
def _(note: sample.ShadesTogether, call: Naming, w: Words) -> str:
    return w("note-shades-together", colours=w("note-colours", count=note.count))


# What a reference lacks


@_say.register
def _(note: pictures.Unreadable, call: Naming, w: Words) -> str:
    return w("note-unreadable", what=note.what)


@_say.register
def _(note: pictures.ShowsTheSame, call: Naming, w: Words) -> str:
    text = w(f"note-same-{note.how.replace(' ', '-')}", reference=call("reference", note.other))
    if note.once is None:
        return text
    return w("note-count-once" if note.once else "note-count-twice", text=text)


@_say.register
def _(note: pictures.IsCopy, call: Naming, w: Words) -> str:
    turned = (
        "",
        "turned",
        "turned-half",
        "turned",
        "mirrored",
        "mirrored-turned",
        "mirrored-turned-half",
        "mirrored-turned",
    )
    how = [call("reference", note.other)]
    how += [w(f"note-copy-{key}") for key in (turned[note.turn], note.change) if key]
    return w("note-copy-of", how=", ".join(how))


@_say.register
def _(note: pictures.ToneContradicted, call: Naming, w: Words) -> str:
    return w("note-declared-grey" if note.coloured else "note-declared-colour")


@_say.register
def _(note: pictures.MarkOutside, call: Naming, w: Words) -> str:
    return w(
        "note-mark-partly-outside" if note.partly else "note-mark-outside", mark=_mark(note.mark, call, w)
    )


@_say.register
def _(note: pictures.MarkSmall, call: Naming, w: Words) -> str:
    return w("note-mark-small", mark=_mark(note.mark, call, w), count=note.pixels)


@_say.register
def _(note: pictures.NoAnchor, call: Naming, w: Words) -> str:
    return w(
        "note-no-anchor-grey" if note.grey else "note-no-anchor-light" if note.light else "note-no-anchor"
    )


@_say.register
def _(note: pictures.NoPlaceInFilm, call: Naming, w: Words) -> str:
    return w("note-no-time" if note.video else "note-no-video")


@_say.register
def _(note: pictures.SmallPicture, call: Naming, w: Words) -> str:
    return w("note-small-picture", width=str(note.width), height=str(note.height))
