"""The guide's standing text: how to read it, cautions, and how to judge a printed swatch.

Habits of the trade are common practice, with no source; the guide says so where it uses them.
"""

from __future__ import annotations

# What the words of `palette.evidence.combine.words.SHOWS` mean
MEANING = {
    "not seen": "Nobody sees it, even side by side.",
    "hardly seen": "A trained eye sees it, side by side, in good light.",
    "seen side by side": "Most people see it side by side, few from memory.",
    "plainly seen": "Seen at a glance; still the same kind of colour.",
    "another colour": "It reads as a different colour.",
}

STAGES = {
    "draft": "Draft: evidence is still coming in, and colours may change.",
    "trial": "Trial: complete, and being tried on models; the maker wants to hear what you find.",
    "settled": "Settled: the maker expects no more changes.",
}

HOW_TO_READ = (
    "Each part keeps its number throughout. Its swatch is the best estimate of its colour "
    "(with a cut corner: inferred, the middle of what remains); the strip below the swatch runs through the "
    "colours that the evidence leaves open. The squares say how sure the colour "
    "is, from five (firm) to one (open).",
    "“Off by” is the difference between the paint and that colour (CIEDE2000): below 1 nobody sees it, "
    "above 4 most people do. A paint that is off by less than the colour is unsure by is as good as any "
    "nearer one. A mixture’s “±” is how far it may be from its prediction; the words count it in.",
)

TO_HAND = (
    "How the paints were chosen: what is to hand where it is a match (within {tolerance}), and beside that "
    "the fewest pots to buy for all parts together; a paint straight before a mixture. Where nothing is a "
    "match, whatever should come nearest, or something to hand that hardly looks worse."
)
NEAREST = (
    "How the paints were chosen: the fewest pots for all parts together that bring each within {tolerance}; "
    "a paint straight before a mixture. No paint is marked as to hand."
)
NO_PAINTS = "The kit names no paint list, so this guide names no paints. Match the numbers in the scheme."
NO_COLOURS = "No part has a colour yet, so there is no paint to name."
BY_ODDS = "Of an inferred part the paint that should be least off stands there, with the average to expect."
LIKELIEST = " An inferred colour gets what should be least off on average."

CAUTIONS = (
    (
        "The label comes first",
        "Paints, thinners, varnishes, glues and primers differ. The label, the safety data sheet and the "
        "rules where you live go before anything in this guide.",
    ),
    (
        "Spraying",
        "An airbrush or a can makes a mist that you breathe and that can burn. Spray in an extraction "
        "booth or outdoors, away from flames, sparks and heaters, with a mask rated for paint mist and "
        "solvent vapour; a dust mask is not enough. Water-based paint is no exception.",
    ),
    (
        "Solvents",
        "Open the window, wear gloves that suit the solvent, close the bottle, eat and drink elsewhere. "
        "Let wiping rags dry flat outdoors before they go into the bin: some heat up by themselves in a "
        "heap. Nothing goes down the drain.",
    ),
    (
        "Sanding and cutting",
        "Sand resin, filler and old paint wet, with a dust mask and eye protection, and wipe up rather "
        "than sweep. Paint on old models and old originals may hold lead.",
    ),
    (
        "Resin and glue",
        "Uncured resin irritates and can make you allergic for good: gloves, no bare skin, good air. "
        "Cure printed parts fully before you sand or prime them. Do not look into a curing lamp.",
    ),
    (
        "Lamps and warm boxes",
        "Work lamps and drying boxes get hot and are electrical. Keep solvent vapour, wet paint and "
        "loose cloth away from them, and do not leave them running alone.",
    ),
    (
        "Children and animals",
        "Keep paint, blades and wet work out of their reach.",
    ),
)

JUDGING = (
    "A printer is not a colorimeter. Neither is a screen. The swatches here tell the parts apart; they "
    "do not settle a colour. The numbers do: L*, a* and b* are CIELAB under daylight (D65, 2-degree "
    "observer).",
    "Judge a paint dry, on the primer you will use, under the light the model will be seen in, against a "
    "neutral grey or white surround. Wet paint is usually lighter or darker than dry paint.",
    "Paint a test card with every colour, write the part’s number on it, and keep it. Look at neighbours "
    "together: how colours stand to each other shows more than any one of them.",
    "A swatch marked † lies outside what an ordinary screen can show. The nearest colour is printed "
    "instead, duller than it should be.",
)

PREPARE = (
    (
        "Wash the parts",
        "In warm water with a drop of washing-up liquid. Rinse, let them dry, and wear gloves from here on.",
    ),
    (
        "Paint a test card",
        "One patch of every paint, on the primer you will use. Judge it against the table once it is dry.",
    ),
)
SHADE = (
    "Common practice, no source: shade some 10 to 15 L* darker, a little more colourful and slightly "
    "cooler; highlight some 10 to 15 L* lighter, a little less colourful and slightly warmer. Small "
    "models need less."
)
DECALS = "Seal decal areas with a gloss coat, let it dry, set the decals, let them dry overnight."


def how_chosen(to_hand: bool, guessed: bool, tolerance: str) -> str:
    """How the paints were chosen: `to_hand` where any paint is, `guessed` where the odds chose one."""
    words = TO_HAND.format(tolerance=tolerance) if to_hand else NEAREST
    return words + (LIKELIEST if guessed else "")
