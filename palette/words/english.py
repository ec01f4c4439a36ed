"""English: what each note says.

A sentence has no capital and no stop, so that it may stand behind a heading; `sentence` gives it both.
Short, subject first, one idea each; what to do comes last.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import fields
from functools import singledispatch
from typing import TypeAlias

from palette.colour.scales import Step, Sureness, Visibility, sureness, visibility
from palette.evidence.combine import notes as combine
from palette.evidence.correction import notes as correction
from palette.evidence.grey import notes as grey
from palette.evidence.measure import notes as measure
from palette.evidence.pictures import notes as pictures
from palette.evidence.pictures.lost import described
from palette.notes import Note, OfReference
from palette.paints.card import notes as card
from palette.sample import notes as sample

Naming: TypeAlias = Callable[[str, str], str]  # (part | reference, its id) -> what it is called


def by_id(kind: str, id: str) -> str:
    """What a part or a reference is called where only its id is known."""
    return repr(id)


SURE = {
    Sureness.FIRM: "firm",
    Sureness.GOOD: "good",
    Sureness.FAIR: "fair",
    Sureness.LOOSE: "loose",
    Sureness.OPEN: "open",
}
SHOWS = {
    Visibility.UNSEEN: "not seen",
    Visibility.HARDLY: "hardly seen",
    Visibility.SIDE_BY_SIDE: "seen side by side",
    Visibility.PLAIN: "plainly seen",
    Visibility.ANOTHER_COLOUR: "another colour",
}
BASIS = {
    "colour": "colour pictures",
    "grey": "inferred from grey",
    "hint": "words only",
    "decision": "the maker's decision",
    "none": "no evidence yet",
}
_TOWARDS = {
    "lighter": "lighter", "darker": "darker", "vivid": "more vivid", "grey": "greyer", "red": "redder",
    "orange": "more orange", "yellow": "yellower", "green": "greener", "blue": "bluer", "purple": "more purple",
}  # fmt: skip
_COUNTS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip


def sure(radius90: float) -> str:
    """How sure a colour is, in one word."""
    return SURE[sureness(radius90)]


def shows(difference: float) -> str:
    """Whether a difference would show."""
    return SHOWS[visibility(difference)]


def joined(words: Sequence[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def count(number: int) -> str:
    """'six'; figures above twelve."""
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def once_in(odds: float) -> str:
    """A small probability."""
    return f"once in {1 / odds:,.0f} times" if odds > 1e-6 else "less than once in a million times"


def change(steps: Sequence[Step]) -> str:
    """'redder and a little darker'; empty where nothing need change."""
    return " and ".join(f"{_much(step.size)}{_TOWARDS[step.towards]}" for step in steps)


def _much(size: float) -> str:
    return "a little " if size < 2.5 else "much " if size > 8 else ""


def sentence(text: str) -> str:
    """With a capital first and a stop last."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def _percent(share: float, least: int = 0) -> str:
    return f"{max(least, round(100 * share))} %"


@singledispatch
def say(note: Note, call: Naming = by_id) -> str:
    """A note in words. A kind that has no words here is told by its name and its values."""
    name = re.sub(r"(?<!^)(?=[A-Z])", " ", type(note).__name__).lower()
    values = ", ".join(f"{field.name} {getattr(note, field.name)}" for field in fields(note))
    return f"{name} ({values})" if values else name


@say.register
def _(note: OfReference, call: Naming = by_id) -> str:
    return f"reference {call('reference', note.reference)}: {say(note.note, call)}"


# Samples


@say.register
def _(note: measure.Clipped, call: Naming = by_id) -> str:
    black = "" if note.bright else " (black)"
    return f"{_percent(note.share)} of this sample is clipped in {note.channel}{black}"


@say.register
def _(note: measure.SeveralColours, call: Naming = by_id) -> str:
    return f"holds more than one colour: {_percent(note.share, 1)} of it is unlike the rest; mark one surface alone"


@say.register
def _(note: measure.LightEdge, call: Naming = by_id) -> str:
    return (
        f"has an edge in its light: {_percent(note.share)} of it, in shade or another surface, is darker by "
        f"a factor of {note.factor:.1f}; the brighter side counts"
    )


@say.register
def _(note: measure.GlossTakenOff, call: Naming = by_id) -> str:
    return f"gloss lay over all of it ({_percent(note.share)} of its light); taken off"


@say.register
def _(note: measure.Shaded, call: Naming = by_id) -> str:
    return f"shaded by a factor of {note.factor:.1f} from end to end; its lit part counts"


_LEFT_OUT = {
    "rim": "an edge or a highlight that runs into it",
    "highlight": "a highlight",
    "dark": "dark spots",
    "other": "spots of another colour",
}


@say.register
def _(note: measure.LeftOut, call: Naming = by_id) -> str:
    return f"{_LEFT_OUT[note.what]} ({_percent(note.share, 1)} of this sample) left out"


@say.register
def _(note: measure.ScreenAveraged, call: Naming = by_id) -> str:
    return f"the halftone screen ({note.period:.1f} pixels from dot to dot) was averaged out"


@say.register
def _(note: measure.JpegBlocks, call: Naming = by_id) -> str:
    return "JPEG blocks show in this sample"


@say.register
def _(note: measure.FewPixels, call: Naming = by_id) -> str:
    return f"only {note.count} pixel{'s' if note.count > 1 else ''}; mark a larger area"


@say.register
def _(note: measure.Colourless, call: Naming = by_id) -> str:
    if note.toned:
        return (
            "the picture looks like a toned black-and-white one: it has one colour for each lightness, so it "
            'tells nothing of hue. If it is one, say tone = "grey"; if not, mark something of another colour '
            "in it as an anchor"
        )
    return (
        'the picture holds no colour, so it tells nothing of hue; if it is black and white, say tone = "grey"'
    )


def _mark(mark: pictures.Mark, call: Naming) -> str:
    return f"anchor {mark.anchor}" if mark.anchor else f"the sample of {call('part', mark.part)}"


@say.register
def _(note: measure.OfMark, call: Naming = by_id) -> str:
    return f"{_mark(note.mark, call)} {say(note.note, call)}"


@say.register
def _(note: measure.OverTheEdge, call: Naming = by_id) -> str:
    return f"{_mark(note.mark, call)} runs over the edge of the picture; only what lies inside counts"


# Pictures and videos


_FAULTS = {
    "damaged": "it is damaged",
    "cut off": "it is cut off",
    "curve damaged": "a curve of it is damaged",
    "curve cut off": "a curve of it is cut off",
    "tables damaged": "its tables are damaged",
    "flat": "its primaries lie on one line",
    "bare": "it has neither tables nor a matrix",
}


@say.register
def _(note: pictures.OfPicture, call: Naming = by_id) -> str:
    return f"{note.file}: {say(note.note, call)}"


@say.register
def _(note: pictures.ProfileUnused, call: Naming = by_id) -> str:
    fault = f"it is made for {note.channels} channels" if note.channels else _FAULTS[note.fault]
    return f"its colour profile is not used ({fault}): {'ideal inks are' if note.inks else 'sRGB is'} assumed"


@say.register
def _(note: pictures.InksUnprofiled, call: Naming = by_id) -> str:
    return "its inks have no profile: ideal inks are assumed, colours are rough"


@say.register
def _(note: pictures.FloatsUnprofiled, call: Naming = by_id) -> str:
    return "its floating point levels have no profile: sRGB levels from 0 to 1 are assumed"


@say.register
def _(note: pictures.AdobeUnprofiled, call: Naming = by_id) -> str:
    return "its camera marked it as Adobe RGB (1998) but embedded no profile: sRGB is assumed"


@say.register
def _(note: pictures.GammaUnprofiled, call: Naming = by_id) -> str:
    return f"it states a file gamma of {note.gamma:.3g} without a profile: sRGB is assumed"


@say.register
def _(note: pictures.RangeUnread, call: Naming = by_id) -> str:
    return "its high dynamic range is not read: sRGB, or its profile, is used"


@say.register
def _(note: pictures.PartMissing, call: Naming = by_id) -> str:
    return f"{described(note)}; only the rest is used"


@say.register
def _(note: pictures.LevelsLeftOut, call: Naming = by_id) -> str:
    how_many = f"{100 * note.share:.1f} %" if 100 * note.share >= 0.1 else f"{note.count}"
    return f"{how_many} of its pixels have levels that are none, and are left out"


@say.register
def _(note: pictures.FramesWeave, call: Naming = by_id) -> str:
    return f"its frames weave by up to {note.most:.1f} pixels; they were laid on one another"


@say.register
def _(note: pictures.NotStill, call: Naming = by_id) -> str:
    used = (
        f"{note.used} of {note.frames} frames averaged" if note.used > 1 else "the one frame is used as it is"
    )
    return f"the shot is not still for {note.around:g} s either way: {used}"


@say.register
def _(note: pictures.PixelsNotSquare, call: Naming = by_id) -> str:
    return f"its pixels are not square ({note.width}:{note.height}); they are left so"


@say.register
def _(note: pictures.FrameStartsAt, call: Naming = by_id) -> str:
    return f"the frame shown then starts at {note.time}"


@say.register
def _(note: pictures.FrameDamaged, call: Naming = by_id) -> str:
    return "the frame is damaged in the file"


@say.register
def _(note: pictures.MatrixUnread, call: Naming = by_id) -> str:
    return "its matrix is of a rare kind and not read: an assumed one is used"


@say.register
def _(note: pictures.MatrixAssumed, call: Naming = by_id) -> str:
    return f"it states no matrix: {note.name} is assumed from its size"


@say.register
def _(note: pictures.RangeAssumed, call: Naming = by_id) -> str:
    return f"it states no range: {'full' if note.full else 'limited'} is assumed"


@say.register
def _(note: pictures.TransferAssumed, call: Naming = by_id) -> str:
    return "it states no transfer: that of sRGB is assumed"


@say.register
def _(note: sample.CastAllOver, call: Naming = by_id) -> str:
    return (
        f"{', '.join(note.files)}: {note.tint} all over; "
        "if that is the light, name a white or grey place with --white or --grey"
    )


# What a reference lacks


@say.register
def _(note: pictures.Unreadable, call: Naming = by_id) -> str:
    return f"cannot be read: {note.what}"


_SAME = {
    "alike": "shows the same as",
    "mirrored": "shows, mirrored, the same as",
    "same file": "is the same file as",
}


@say.register
def _(note: pictures.ShowsTheSame, call: Naming = by_id) -> str:
    counts = (
        "" if note.once is None else ": the two count once" if note.once else ": its evidence may count twice"
    )
    return f"{_SAME[note.how]} {call('reference', note.other)}{counts}"


_TURNED = (
    "", "turned by 90°", "turned by 180°", "turned by 90°", "mirrored", "mirrored and turned by 90°",
    "mirrored and turned by 180°", "mirrored and turned by 90°",
)  # fmt: skip
_CHANGED = {"": "", "edited": "its tones edited", "cropped": "cropped"}


@say.register
def _(note: pictures.IsCopy, call: Naming = by_id) -> str:
    how = ", ".join(filter(None, (call("reference", note.other), _TURNED[note.turn], _CHANGED[note.change])))
    return f"is {how}: the two count once"


@say.register
def _(note: pictures.ToneContradicted, call: Naming = by_id) -> str:
    if note.coloured:
        return "declared grey, but it has colour: is it hand-coloured, or is its tone “colour”?"
    return "declared colour, but it shows none: is its tone “grey”?"


@say.register
def _(note: pictures.NoSample, call: Naming = by_id) -> str:
    return "no sample: no part is marked on it"


@say.register
def _(note: pictures.MarkOutside, call: Naming = by_id) -> str:
    where = "runs over the edge of" if note.partly else "lies outside"
    return f"{_mark(note.mark, call)} {where} the picture"


@say.register
def _(note: pictures.MarkSmall, call: Naming = by_id) -> str:
    return f"{_mark(note.mark, call)} is small: {note.pixels} pixel{'s' if note.pixels > 1 else ''}"


@say.register
def _(note: pictures.NoAnchor, call: Naming = by_id) -> str:
    if note.grey:
        return "no anchor: nothing fixes its tones"
    return (
        "no anchor: only the light stated corrects it"
        if note.light
        else "no anchor and no light stated: its cast is guessed"
    )


@say.register
def _(note: pictures.NoPlaceInFilm, call: Naming = by_id) -> str:
    return f"no {'time' if note.video else 'video'}: where in its film is the frame?"


@say.register
def _(note: pictures.SmallPicture, call: Naming = by_id) -> str:
    return f"small: {note.width} × {note.height} pixels; is there a larger copy?"


@say.register
def _(note: pictures.NoCredit, call: Naming = by_id) -> str:
    return "no credit: who is to be thanked, and may it be shown?"


# Corrections


@say.register
def _(note: correction.AsShot, call: Naming = by_id) -> str:
    return "no anchor; colours as shot, allowing for any likely light"


@say.register
def _(note: correction.ByLight, call: Naming = by_id) -> str:
    by = []
    if note.stated is not None:
        by.append(f"as stated ({note.stated if isinstance(note.stated, str) else f'{note.stated:g} K'})")
    if note.estimated:
        by.append("as estimated from the scene")
    return f"no anchor; corrected for the light {' and '.join(by)}"


@say.register
def _(note: correction.NoAgreement, call: Naming = by_id) -> str:
    return f"{count(note.count)} anchors that contradict one another: little more than as shot"


@say.register
def _(note: correction.ByNeutrals, call: Naming = by_id) -> str:
    what = "a neutral anchor" if note.count == 1 else f"{count(note.count)} neutral anchors"
    return f"fitted on {what} of unknown lightness: corrects the light, not the exposure"


@say.register
def _(note: correction.ByAnchors, call: Naming = by_id) -> str:
    text = f"fitted on {count(note.count)} anchor{'s' if note.count > 1 else ''}"
    if note.count > 1 and note.grey:
        everyone = "both" if note.count == 2 else "all of them"
        text += f", {everyone if note.grey == note.count else f'{count(note.grey)} of them'} grey"
    if note.one_colour:
        return f"{text}, of one colour, so that they cannot check each other"
    if note.left_out is not None:
        text += f"; leaving one out, the rest miss it by about {note.left_out:.1f}"
    return text


@say.register
def _(note: correction.LightEstimates, call: Naming = by_id) -> str:
    each = ", ".join(f"{name} {angle:.0f}°" for name, angle in note.degrees)
    loose = ", so the light is loose" if note.most > 8 else ""
    return (
        f"{count(len(note.degrees))} ways to guess the light from the picture lie up to {note.most:.0f}° from "
        f"their middle{loose} ({each})"
    )


@say.register
def _(note: correction.Reversed, call: Naming = by_id) -> str:
    return (
        "the lighter anchors read darker: are they swapped, or is the chart upside down? All count for little"
    )


@say.register
def _(note: correction.ChartTurned, call: Naming = by_id) -> str:
    return (
        "the anchors cannot all be true, but would be on a chart turned upside down: is it turned? All count for "
        "little"
    )


@say.register
def _(note: correction.OneSpot, call: Naming = by_id) -> str:
    return f"{joined(note.anchors)} lie on one spot and are given different colours: none of them counts for much"


@say.register
def _(note: correction.CannotAllBeTrue, call: Naming = by_id) -> str:
    many = len(note.anchors)
    who = "the anchors" if note.everyone and many > 3 else joined(note.anchors)
    ask = "; are marks swapped, or is a chart turned?" if note.everyone and many > 2 else ""
    return (
        f"{who} cannot all be true, and nothing says which is wrong: "
        f"{'both count' if many == 2 else 'all count'} for little{ask}"
    )


@say.register
def _(note: correction.AnchorsLeftOut, call: Naming = by_id) -> str:
    verb = "contradicts" if len(note.anchors) == 1 else "contradict"
    return f"{joined(note.anchors)} {verb} the other anchors: left out"


@say.register
def _(note: correction.AnchorAstray, call: Naming = by_id) -> str:
    return (
        f"{note.anchor} is {note.off:.0f} away from what the other anchors say, so it hardly counts: is its "
        "colour right?"
    )


@say.register
def _(note: correction.AnchorClipped, call: Naming = by_id) -> str:
    lost = joined([f"{_percent(share)} in {channel}" for channel, share in note.shares])
    return f"{note.anchor} is clipped, {lost}, so it counts for less"


@say.register
def _(note: correction.LightnessGuessed, call: Naming = by_id) -> str:
    by = "guessed from the picture's brightest places" if note.scene else "as wide as exposures usually vary"
    return f"no anchor fixes the lightness: it is {by}"


@say.register
def _(note: correction.Unanchored, call: Naming = by_id) -> str:
    return "no anchor shows that: it is guessed from how far each colour of the scene ranges"


@say.register
def _(note: correction.LightSlopes, call: Naming = by_id) -> str:
    grows = "grows" if note.grows else "falls"
    across = "left to right" if note.across else "top to bottom"
    return f"the light {grows} from {across} by {_percent(note.share)} over the picture; evened out"


@say.register
def _(note: correction.LightFallsOff, call: Naming = by_id) -> str:
    return f"the light falls off by {_percent(note.share)} from the middle to the corners; evened out"


@say.register
def _(note: correction.StrayLight, call: Naming = by_id) -> str:
    return f"stray light of {100 * note.share:.1f} % of white lay over the picture; taken off"


@say.register
def _(note: correction.SensorChannels, call: Naming = by_id) -> str:
    return "the colours are as in a sensor's own channels, no camera's matrix applied; brought back"


@say.register
def _(note: correction.WideNumbers, call: Naming = by_id) -> str:
    return "the colours are dull as where a wide colour space's profile was lost; brought back"


@say.register
def _(note: correction.DyesFaded, call: Naming = by_id) -> str:
    layers = ", ".join(f"the {layer} layer keeps {_percent(kept)}" for layer, kept in note.kept)
    return f"the dyes have faded: {layers} of its density; restored layer by layer"


@say.register
def _(note: correction.LayerLost, call: Naming = by_id) -> str:
    return (
        f"the {note.layer} layer has lost too much to be restored: its noise grows {note.noise:.1f} times, so "
        "colours are wide"
    )


# Cards


@say.register
def _(note: card.UnevenCard, call: Naming = by_id) -> str:
    return f"the light falls off by {note.ratio:.1f} to 1 over the card; light it more evenly"


@say.register
def _(note: card.ByPaper, call: Naming = by_id) -> str:
    return "no grey card or chart: corrected by the paper, taken for common white paper (L* 94 ± 2, bluish)"


@say.register
def _(note: card.GreyCardUnstated, call: Naming = by_id) -> str:
    return "the grey card's lightness is not stated (--grey): the paper, L* 94 ± 2, fixes the exposure"


# What counted


@say.register
def _(note: combine.NoTrust, call: Naming = by_id) -> str:
    return "not counted: its trust is 0"


@say.register
def _(note: combine.CopyOf, call: Naming = by_id) -> str:
    text = f"a copy of the picture {call('reference', note.reference)}, which counts for both"
    if note.apart is not None:
        text += f"; they lie {note.apart:.1f} apart: is the part marked in the same place?"
    return text


@say.register
def _(note: combine.OtherLivery, call: Naming = by_id) -> str:
    return f"shows the livery {'before' if note.before else 'after'} the repaint of {note.year}"


@say.register
def _(note: combine.NotBelieved, call: Naming = by_id) -> str:
    return f"not believed: it lies {note.off:.1f} from what the rest supports"


@say.register
def _(note: combine.InDoubt, call: Naming = by_id) -> str:
    if note.off < 1:
        return f"in doubt: the others would do without it, and it is right with {_percent(note.right)}"
    return f"in doubt: it lies {note.off:.1f} from the colour given, and is right with {_percent(note.right)}"


@say.register
def _(note: combine.GreyNotBelieved, call: Naming = by_id) -> str:
    return f"not believed: right with {_percent(note.right)} beside the rest"


@say.register
def _(note: combine.Vague, call: Naming = by_id) -> str:
    return "given little weight: too uncertain"


@say.register
def _(note: combine.CountedWithGrey, call: Naming = by_id) -> str:
    return "counted with the grey"


@say.register
def _(note: combine.WithWords, call: Naming = by_id) -> str:
    return "the words are counted with it"


@say.register
def _(note: combine.OneAnswer, call: Naming = by_id) -> str:
    return f"one answer of {joined(note.references)} together"


@say.register
def _(note: combine.WordsTaken, call: Naming = by_id) -> str:
    return f"“{note.words}” taken as {note.meaning}"


@say.register
def _(note: combine.SamePaintAs, call: Naming = by_id) -> str:
    return f"the same paint as {joined([call('part', id) for id in note.parts])}, sharing its evidence"


@say.register
def _(note: combine.OfSample, call: Naming = by_id) -> str:
    return f"{note.source}: its sample {say(note.note, call)}"


@say.register
def _(note: combine.Disagrees, call: Naming = by_id) -> str:
    return f"the evidence disagrees: were all of it right, it would scatter so much {once_in(note.odds)}"


@say.register
def _(note: combine.PictureInDoubt, call: Naming = by_id) -> str:
    where = joined([call("part", id) for id in note.parts])
    return (
        f"the picture contradicts others on {where}, and is right there with {_percent(note.right)}: so is this "
        "colour, which hangs on it; are its anchors stated as they were?"
    )


@say.register
def _(note: combine.SampleApart, call: Naming = by_id) -> str:
    return (
        f"its sample {note.number} lies {note.off:.1f} from the part's others in this picture and cannot be the "
        "same paint: is it marked on the part?"
    )


@say.register
def _(note: combine.WordsContradicted, call: Naming = by_id) -> str:
    return f"what {note.source} says lies {note.off:.1f} from all that pictures show"


@say.register
def _(note: combine.NotLighter, call: Naming = by_id) -> str:
    return (
        f"part {call('part', note.part)} is said to be lighter than {call('part', note.lighter)}; the pictures "
        f"show it darker, by {note.darker:.0f} in lightness"
    )


@say.register
def _(note: combine.DecidedForSamePaint, call: Naming = by_id) -> str:
    return "decided for a part of the same paint"


@say.register
def _(note: combine.Decided, call: Naming = by_id) -> str:
    return f"the maker's decision: {note.why}"


@say.register
def _(note: combine.DecisionOff, call: Naming = by_id) -> str:
    return (
        f"the decision lies {note.off:.1f} from what the evidence supports, which is sure to within "
        f"{note.radius90:.1f}"
    )


# The kit as a whole


@say.register
def _(note: combine.NotCompared, call: Naming = by_id) -> str:
    return (
        f"part {call('part', note.part)} is said to be lighter than {call('part', note.lighter)}, which counts "
        "only where grey pictures are read: mark both parts in one"
    )


@say.register
def _(note: combine.DecidedApart, call: Naming = by_id) -> str:
    return (
        f"parts {call('part', note.first)} and {call('part', note.part)} are said to be the same paint, and "
        f"their colours are decided {note.off:.1f} apart: each keeps its own; take out same_as, or one colour"
    )


@say.register
def _(note: combine.LiveryGuessed, call: Naming = by_id) -> str:
    out = ", ".join(f"{id} ({say(why, call)})" for id, why in note.left_out)
    return (
        "the kit was repainted and has no year, so the livery most of its dated pictures show is taken; "
        f"left out: {out}; say year = … in [kit] for the livery you are after"
    )


@say.register
def _(note: combine.AnchorUnsettled, call: Naming = by_id) -> str:
    return (
        f"reference {call('reference', note.reference)}: its anchor on part {call('part', note.part)} is left "
        "out, since nothing else settles that part"
    )


@say.register
def _(note: combine.AnchorOnPrint, call: Naming = by_id) -> str:
    return (
        f"reference {call('reference', note.reference)}: its anchors on parts are left out, since the painted "
        "print cannot vouch for its own paint"
    )


@say.register
def _(note: combine.SettledFails, call: Naming = by_id) -> str:
    return (
        f"the kit is settled, but its print is not painted as the guide says: {joined(list(note.parts))}; "
        "repaint and photograph it again, or take the kit back to trial"
    )


# Grey pictures


@say.register
def _(note: grey.HoldsColour, call: Naming = by_id) -> str:
    return (
        f"reference {call('reference', note.reference)} is declared grey and {note.file} holds colour: "
        'its luma is read; tone = "colour" would tell more'
    )


@say.register
def _(note: grey.AnchorLeftOut, call: Naming = by_id) -> str:
    return (
        f"reference {call('reference', note.reference)}: {note.anchor} is left out, since no colour reference "
        f"settles part {call('part', note.part)}"
    )


@say.register
def _(note: grey.WrongOrder, call: Naming = by_id) -> str:
    return (
        f"{note.lighter} ought to be lighter than {note.darker} and is darker (levels {note.levels[0]:.3f} and "
        f"{note.levels[1]:.3f}); both are hardly believed"
    )


@say.register
def _(note: grey.IsCopy, call: Naming = by_id) -> str:
    return (
        f"{call('reference', note.reference)} is a copy of the picture {call('reference', note.other)}, which "
        "counts for both"
    )


@say.register
def _(note: grey.WithHint, call: Naming = by_id) -> str:
    return f"weighed with the words {note.words!r}" + (f" ({note.source})" if note.source else "")


@say.register
def _(note: grey.WithComparison, call: Naming = by_id) -> str:
    return f"weighed as {'lighter' if note.lighter else 'darker'} than {call('part', note.part)}"


@say.register
def _(note: grey.PartClipped, call: Naming = by_id) -> str:
    end = "white" if note.white else "black"
    return f"in {call('reference', note.reference)} the part is clipped {end}: only a bound"


@say.register
def _(note: grey.BeyondAnchors, call: Naming = by_id) -> str:
    than = "lighter" if note.lighter else "darker"
    where = call("reference", note.reference)
    return f"in {where} the part is {than} than every anchor: read by extending the tone curve"


@say.register
def _(note: grey.NoExposure, call: Naming = by_id) -> str:
    where = call("reference", note.reference)
    return f"in {where} no anchor fixes the exposure: read by the picture's own range, so loosely"


@say.register
def _(note: grey.NoContrast, call: Naming = by_id) -> str:
    return f"in {call('reference', note.reference)} one anchor fixes the exposure and nothing the contrast"


@say.register
def _(note: grey.OutshinesWhite, call: Naming = by_id) -> str:
    return (
        f"in {call('reference', note.reference)} it outshines the white anchor, {note.anchor} "
        f"(L* {note.lightness:.0f}; levels {note.levels[0]:.3f} and {note.levels[1]:.3f}): is the anchor's colour "
        "right, or in shade?"
    )


@say.register
def _(note: grey.NoPaintFits, call: Naming = by_id) -> str:
    return "no paint of the list fits what the pictures show: the odds say next to nothing"
