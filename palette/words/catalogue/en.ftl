# The fixed words of guide, dossier and web page. Fluent syntax: https://projectfluent.org
# A new language has every message of this file.

list-or = { $most } or { $last }
list-last = { $most } and { $last }
untitled = Untitled kit
undecided = undecided
version = version { $version }
percent = { $amount } %
under-one-percent = under 1 %
millilitres = { $amount } ml
pots = { $count ->
    [one] 1 pot
   *[other] { $count } pots
}
mixture = mixture { $letter }

## Editions

stage-draft = Draft
stage-trial = Trial
stage-settled = Settled
stage-draft-words = Draft: evidence is still coming in, and colours may change.
stage-trial-words = Trial: complete, and being tried on models. The maker wants to hear what you find.
stage-settled-words = Settled: the maker expects no more changes.
changes-since = Changed since version { $version }:
changes-none = No colour has changed since version { $version }.
changes-gone = { $count ->
    [one] No longer a part: { $parts }.
   *[other] No longer parts: { $parts }.
}
change-difference = differs by { $amount }
change-added = a new part
change-undecided = decided only in one of them
change-why-colour = : a colour picture now shows it
change-why-grey = : now inferred from grey
change-why-hint = : now known from words only
change-why-decision = : the maker decided

## Cover

fact-scale = Scale
fact-edition = Edition
fact-date = Date
fact-maker = Maker
fact-licence = Licence
view-near = From the near side
view-far = From the far side
view-above = From above
view-below = From below
view-picture = The sampled places, outlined
view-bare = Where the parts are in a picture. The picture itself is left out: its licence or its owner does not let it be copied.
view-alt = { $title }, with numbers at its parts: { $parts }.
unseen = { $count ->
    [one] No picture shows { $parts }.
   *[other] No picture shows these parts: { $parts }.
}
unseen-here = Not in this picture: { $parts }.
guesses-open = { $count ->
    [one] { $count } of { $total } colours is not decided yet: { $parts }. The choice is yours.
   *[other] { $count } of { $total } colours are not decided yet: { $parts }. The choice is yours.
}
guesses-none = { $total ->
    [one] The one colour is no guess.
   *[other] None of the { $total } colours is a guess.
}
guesses = { $count ->
    [one] { $count } of { $total } colours is a guess: { $parts }. Nobody measured its hue. The card says GUESS and what else it may be.
   *[other] { $count } of { $total } colours are guesses: { $parts }. Nobody measured their hue. Their cards say GUESS and what else they may be.
}
caution-label = The label first.
caution-label-words = The labels, the safety data sheets and the rules where you live go before this guide.
caution-spray = Spraying
caution-spray-words = makes a mist to breathe and to burn: extraction or outdoors, no flames, a mask for paint mist and vapour. Water-based paint too.
caution-solvent = Solvents:
caution-solvent-words = open window, gloves, closed bottles, no food. Dry rags flat outdoors; nothing goes down the drain.
caution-sanding = Sanding:
caution-sanding-words = wet, with dust mask and eye protection. Wipe up, do not sweep. Old paint may hold lead.
caution-resin = Resin and glue:
caution-resin-words = gloves and good air. Cure prints fully before you sand or prime them. Do not look into a curing lamp.
caution-heat = Work lamps and drying boxes
caution-heat-words = get hot. Keep vapour, wet paint and cloth away, and do not leave them running alone.
caution-lamps = Lamps and batteries:
caution-lamps-words = low voltage only, the right resistor, no bare wires. Keep coin cells from children. Work lamps get hot: no vapour or cloth near them.
caution-children = Children and animals:
caution-children-words = keep paint, blades and wet work out of their reach.
licence = This guide is published under { $licence }.
no-licence = The maker states no licence. Ask before you pass this guide on.
made-with = Made with palette { $version }. Set in Libertinus Serif and Source Sans Pro (SIL Open Font License).
picture-credit = Picture: { $credit }.

## Tray

no-paints = The kit names no paint list, so this guide names no paints. The colours stand in the dossier as numbers.
owned = to hand
to-buy = to buy
other-range = The other range has
medium-water = water-based
medium-enamel = enamel
medium-lacquer = lacquer
medium-oil = oil
media-differ = These paints have different thinners. Do not put them in one cup: take the nearest single paint.
medium-unknown = The list does not say what thins each of these paints. Ask the labels before you put them in one cup.
use-shade = shade of { $parts }
use-highlight = highlight of { $parts }
sundry-primer = Primer
sundry-undercoat = Undercoat
sundry-clear = Clear coat
sundry-thinner = Thinner
sundry-tools = Tools
sundry-safety = For yourself
undercoat-for = { $ground }, under { $parts }
ground-white = white
ground-mid-grey = mid grey
ground-black = black
sheen-gloss = gloss
sheen-satin = satin
sheen-matt = matt
thinner-water = water, or the thinner on the label, for the water-based paints
thinner-enamel = enamel thinner for the enamels
thinner-lacquer = lacquer thinner for the lacquers
thinner-oil = white spirit, or what the label says, for the oils
thinner-unknown = the list does not say what thins its paints: read their labels
tools = a flat brush, a round brush, a fine brush, an old one to drybrush, masking tape, cups, a dropper, a test card
safety = gloves, good air, eye protection; a mask when you spray or sand

## Mixing

mixing-drop = A drop is taken as 0.05 ml, twenty to the millilitre (common practice). Count all drops of a mixture with one dropper.
mixing-how = Stir, dab into the box, let it dry, and compare it with the chip beside it. Wet paint is lighter or darker than dry.
drops = { $count ->
    [one] 1 drop
   *[other] { $count } drops
}
mixture-amount = { $drops } drops, { $amount } ml
mixture-guess = A guess: there is nothing to compare it with. One drop too many or too few moves it by { $drop }.
mixture-accuracy = { $off }. One drop too many or too few moves it by { $drop }.
enough = { $count ->
    [one] This once is enough
   *[other] You need { $count } times this
}
off = { $amount } off the colour wanted: { $seen }
off-mixture = { $amount } off the colour wanted (predicted, give or take { $error }): { $seen }
seen-not = not seen
seen-hardly = hardly seen
seen-side = seen side by side
seen-plainly = plainly seen
seen-another = another colour

## Steps

step-wash = Wash the parts
step-wash-words = Warm water, a drop of washing-up liquid. Rinse, let them dry. Gloves from here on.
step-card = Paint a test card
step-card-words = Prime a card. Paint a patch of every paint on it, and number them. Judge them dry, under the light the model will stand in.
step-mask = Mask what gets no paint
step-mask-words = Cover these before you prime, or fit them at the end:
step-prime = Prime everything { $ground }
step-prime-words = Two thin coats. Let the last one dry overnight.
step-circle = Decide the order yourself
step-circle-words = “after” runs in a circle at { $parts }.
step-alt = The model with { $parts } lit.
step-decals = Decals, where the kit has any
step-decals-words = Gloss where they go, let it dry. Set the decals. Let them dry overnight.
step-seal = Seal: { $sheen } clear coat
step-seal-words = One thin coat on these, once everything is dry. Let it harden overnight.
step-seal-mask = First mask what you have sealed already.
step-metallic = Leave metallic parts as they are
step-metallic-words = A clear coat dulls them (common practice):
step-bare = Uncover the bare parts
step-bare-words = Take the masks off and polish. They get no paint and no clear coat:
step-clear = Fit the clear parts
step-clear-words = Take the masks off. Fix them with a glue that does not fog. No matt coat near them:
step-lit = Fit the lamp
step-lit-words = Take the mask off. Its light is { $colour }. Try lamp and battery before you close the model.
step-lit-unknown = Take the mask off. The colour of its light is undecided. Try lamp and battery before you close the model.
fact-paint = Paint
fact-coats = Coats
fact-over = Over
fact-dry = Drying
fact-mask = Masks
fact-seal = Seal
no-tone = { $colour }: no paint comes near, so leave it out
no-shade = the colour is as dark as paint gets, so leave it out
no-highlight = the colour is as light as paint gets, so leave it out
leave-in-primer = No colour is decided. Leave it in primer.
no-paint-for = No list names a paint. The colour is { $colour }.
coats = { $count ->
    [one] 1 thin coat
   *[other] { $count } thin coats
}
coats-about = { $count ->
    [one] about 1 thin coat
   *[other] about { $count } thin coats
}
coats-never = 6 thin coats; the ground still shows a little ({ $left })
coats-unknown = thin coats until it covers
volume = { $drops ->
    [one] { $amount } ml, 1 drop
   *[other] { $amount } ml, { $drops } drops
}
over-primer = the { $ground } primer
over-undercoat = a { $ground } undercoat, first
dry-water = 30 minutes a coat; overnight before tape (rule)
dry-enamel = overnight a coat; two days before tape (rule)
dry-lacquer = 30 minutes a coat; overnight before tape (rule)
dry-oil = two days a coat; a week before tape (rule)
dry-unknown = touch dry; overnight before tape (rule)
mask = { $parts }, once dry
mask-nothing = nothing yet
seal-gloss = gloss, at the end
seal-satin = satin, at the end
seal-matt = matt, at the end
seal-metallic = no clear coat, for it dulls metal
seal-clear = none
seal-bare = none
seal-lit = none
bare-bare = no paint, left bare
bare-clear = no paint, clear
bare-lit = no paint, a lamp
shown-bare = { $colour }, left bare
shown-clear = { $colour }, clear
shown-lit = { $colour }, a lamp
short-gloss = gloss
short-satin = satin
short-matt = matt
short-metallic = metal
short-clear = clear
short-bare = bare
short-lit = lamp
shade = Shade
highlight = Highlight
how-wash = Wash: 1 part paint to 5 of thinner, let it run into the hollows
how-layer-shade = Layer: thin coats along lower edges and under rails
how-layer-highlight = Layer: thin coats along upper edges
how-edge = Edges only, with the tip of a fine brush
how-drybrush = Drybrush: an almost dry brush over raised detail
guess-odds = GUESS: nobody knows the hue. This paint is the least wrong on average, about { $off } off. If it was one of the paints listed, most likely { $others }.
guess-alone = GUESS: seen only in grey. About { $off } off on average. No paint is much likelier than another.
guess-words = GUESS, from words only: { $hints }. It may be any colour of that name.
guess-grey-words = GUESS: seen only in grey, remembered as { $hints }. It may be another hue of the same lightness.
guess-plain = GUESS: seen only in grey. It may be another hue of the same lightness.
doubt-disputed = DISPUTED: the sources disagree on this colour.
doubt-disputed-or = DISPUTED: the sources disagree. It may also have been near { $others }.
doubt-open = UNSURE: the sources leave this colour wide open.

## Glossary

glossary-base = Base
glossary-base-words = the main colour of a part
glossary-drop = Drop
glossary-drop-words = 0.05 ml, from one dropper held upright
glossary-drybrush = Drybrush
glossary-drybrush-words = wipe the brush nearly dry, stroke it over raised detail
glossary-guess = GUESS
glossary-guess-words = nobody measured this colour; the paint is a best guess
glossary-highlight = Highlight
glossary-highlight-words = a lighter tone where light falls
glossary-layer = Layer
glossary-layer-words = thin coats, each smaller than the one before
glossary-off = Off
glossary-off-words = the difference from the colour wanted (CIEDE2000): below 1 nobody sees it, above 4 most do
glossary-primer = Primer
glossary-primer-words = the first coat, for grip and an even ground
glossary-seal = Seal
glossary-seal-words = the clear coat at the end, of the sheen given
glossary-wash = Wash
glossary-wash-words = very thin dark paint that settles in hollows

## Dossier

fact-version = Version
fact-stage = Stage
fact-light = Judged
fact-match = A match is within
fact-parts = Parts
read-parts = Each part keeps its number throughout. Its swatch is the best estimate of its colour. A cut corner means inferred: the middle of what remains. The strip below the swatch runs through the colours that the evidence leaves open. The squares say how sure the colour is, from five (firm) to one (open).
read-off = “Off by” is the difference between the paint and that colour (CIEDE2000): below 1 nobody sees it, above 4 most people do. A paint that is off by less than the colour is unsure by is as good as any nearer one. A mixture’s “±” is how far it may be from its prediction; the words count it in.
chosen-to-hand = How the paints were chosen: what is to hand where it is a match (within { $tolerance }), and beside that the fewest pots to buy for all parts together; a paint straight before a mixture. Where nothing is a match, whatever should come nearest, or something to hand that hardly looks worse.
chosen-bench = How the paints were chosen: what suits the maker’s own bench where it is a match (within { $tolerance }), and beside that the fewest pots for all parts together; a paint straight before a mixture. Another paint may come nearer: “Nearest paint by range” has it.
chosen-nearest = How the paints were chosen: the fewest pots for all parts together that bring each within { $tolerance }; a paint straight before a mixture.
chosen-odds = An inferred colour gets what should be least off on average.
cover-all = The coats in the guide are predicted by Kubelka-Munk: as many as it takes until the ground shows through by less than { $unseen } (CIEDE2000), at the opacity that the list gives. Amounts: the coverage that the list gives, else { $rate } cm² a millilitre and coat (common practice, from memory; the label goes first).
cover-some = The coats in the guide are predicted by Kubelka-Munk: as many as it takes until the ground shows through by less than { $unseen } (CIEDE2000), at the opacity that the list gives. Where it gives none (“about”), a coat is as thick as one of a strong white that hides { $assumed }. Amounts: the coverage that the list gives, else { $rate } cm² a millilitre and coat (common practice, from memory; the label goes first).
cover-none = The coats in the guide are predicted by Kubelka-Munk: as many as it takes until the ground shows through by less than { $unseen } (CIEDE2000). The list gives no opacity (“about”): a coat is taken to be as thick as one of a strong white that hides { $assumed }. Amounts: { $rate } cm² a millilitre and coat (common practice, from memory; the label goes first).
tone-words = Shades and highlights, common practice, no source: { $roles }; by less where black or white is near. Small models need less.
tone-shade = the shade is { $step } L* darker, a little more colourful and cooler in hue
tone-highlight = the highlight is { $step } L* lighter, a little less colourful and warmer
judging-printer = A printer is not a colorimeter, nor is a screen. The swatches here tell the parts apart; they do not settle a colour. The numbers do: L*, a* and b* are CIELAB under daylight (D65, 2-degree observer).
judging-dry = Judge a paint dry, on the primer you will use, under the light the model will be seen in, against a neutral grey or white surround.
judging-card = Paint a test card with every colour, write the part’s number on it, and keep it. Look at neighbours together: how colours stand to each other shows more than any one of them.
judging-outside = A swatch marked † lies outside what an ordinary screen can show. The nearest colour is printed instead, duller than it should be.
seen-not-words = Nobody sees it, even side by side.
seen-hardly-words = A trained eye sees it, side by side, in good light.
seen-side-words = Most people see it side by side, few from memory.
seen-plainly-words = Seen at a glance; still the same kind of colour.
seen-another-words = It reads as a different colour.
below = below { $high }
span = { $low } to { $high }
and-more = { $low } and more
within = within { $radius }
beyond = beyond { $low }
sure-firm = firm
sure-good = good
sure-fair = fair
sure-loose = loose
sure-open = open
sure-decided = decided
sure-unknown = unknown
basis-colour = colour pictures
basis-grey = inferred from grey
basis-hint = words only
basis-decision = the maker’s decision
basis-none = no evidence yet
basis-part = another part
rules-out = rules colours out
choice-not-yet = Not yet
choice-undecided = its colour is undecided
choice-no-paint = no paint in the lists
choice-mixture = A mixture
choice-not-sold = no longer sold
choice-guess = a guess, { $off } off on average
range-within = { $count } of { $total } parts within a match
range-none = no part measured
range-odds = Of an inferred part the paint that should be least off stands there, with the average to expect.
decided = Decided by the maker.
decided-why = Decided by the maker: { $why }
decided-divided = The evidence is divided; see below.
disagree = The sources disagree by more than their uncertainties allow. The colour printed is the best account of them together. Treat it as open until one of them is explained.
inferred-grey = Seen only in grey. A grey level rules colours out but names none: the swatch is the middle of what remains, not a measurement.
inferred-remembered = Remembered as { $said }.
inferred-words = Known only from words: { $said }. Nobody has measured it.
inferred-words-none = Known only from words. Nobody has measured it.
lightness = L* { $low } to { $high }, nine times in ten
slice-words = Colours that remain, with a* from { $left } to { $right } across and b* from { $low } to { $high } upwards; a larger square is likelier.
picture-unopened = it could not be opened
picture-not-printed = its maker does not print it
picture-no-licence = no licence allows this
crop-alt = { $part } in the picture { $id }, beside the colour of the scheme
picture-alt = { $id }, { $described }, with the sampled places outlined: { $parts }.
picture-photograph-colour = colour photograph
picture-photograph-grey = black-and-white photograph
picture-frame-colour = colour frame
picture-frame-grey = black-and-white frame
picture-print-colour = colour print
picture-print-grey = black-and-white print
picture-artwork-colour = colour artwork
picture-artwork-grey = black-and-white artwork
picture-object-colour = object, in colour
picture-object-grey = object, in black and white
none = none
kit-whole = The kit as a whole
parts-listed = { $count ->
    [one] Part { $parts }
   *[other] Parts { $parts }
}
anchor-known = known colour

## Labels of the templates

label-off-by = Off by
label-how-sure = How sure
label-how-to-read = How to read this dossier
label-scheme = The scheme
label-inferred = Inferred
label-disputed = Disputed
label-decided = Decided
label-no-colour = no colour yet
label-outside = Outside what a screen or an ordinary printer shows; the nearest colour is printed.
label-ranges = Nearest paint by range
label-ranges-best = A filled mark stands at the nearest of all ranges.
label-judging = Judging a printed swatch
label-words-mean = What the words mean
label-words-mean-lead = Common practice, no source: where these limits lie depends on the eye, the light and the size of the surface.
label-words = Words
label-meaning = Meaning
label-word = Word
label-true-colour = True colour
label-inferred-title = Colours inferred, not measured
label-inferred-lead = No picture shows these parts in colour. The swatch is the middle of what remains. The odds say how likely each paint is, if it was one of these. The scheme names the paint or mixture that should be least off on average.
label-middle = Middle:
label-lightness = Lightness:
label-other-paints = all other paints
label-likelier = Larger means likelier.
label-pictured = What the pictures show
label-pictured-lead = Left: the part in each picture, corrected as its evidence was; the outline is what was measured. Right, touching it: the colour of the scheme. Black-and-white pictures are as they are. Pictures that may not be printed are left out.
label-verdicts = Decisions and disputes
label-alone = Each source alone
label-references = References
label-references-lead = What each picture says on its own, before they are weighed together. “Within” is the CIEDE2000 radius that holds the true colour nine times in ten; “weight” is what it counted for. Black-and-white pictures of one part answer together. Dashed outlines are surfaces of known colour.
label-no-references = This kit has no reference pictures.
label-within = Within
label-weight = Weight
label-known = Of known colour:
label-no-picture = No picture here:
label-notes = How the colours were found
label-credits = Licence and credits
label-pictures-own = The licence is the guide’s own. Pictures keep the terms of those who made them.
label-coats-title = Coats, shades and highlights
label-swatch = Swatch

label-guide = Painting guide
label-dossier = Dossier
label-and = and
label-contents = Contents
label-cover = The model
label-colours = Its colours
label-cautions = Before you start
label-changes = Since the last edition
label-page = On the web:
label-qr = QR code of the web edition
label-tray = Shopping tray
label-tray-lead = Have these ready. Tick what you have. Amounts count the coats and a fifth to spare; a shade or highlight takes about a seventh of its base (common practice). “Off” is the difference from the colour wanted: below 1 nobody sees it, above 4 most do.
label-have = Have
label-code = Code
label-paint = Paint
label-need = Need
label-for = For
label-colour = Colour
label-sundries = And
label-mixing = Mixing
label-letter = Mix
label-wanted = wanted
label-made = made
label-cup = Recipe
label-whole = Whole job
label-wet = dab, wet
label-dry = dab, dry
label-steps = Steps
label-steps-lead = One card a step, from first to last. Tick the box. Shade and highlight once the base is dry, before the next card. Drying times marked (rule) are common practice; the label goes first.
label-step = Step
label-guess = GUESS
label-bench = Bench card
label-bench-lead = Pin it up. One line a part.
label-number = No.
label-part = Part
label-chosen = On the brush
label-seal = Seal
label-glossary = Ten words
label-cover-link = to the model
label-page-of = of
label-print-check = Print at 100 %. This line is 50 mm long.
label-missing = No typeface on the maker’s machine has these characters; they are printed as □:
label-done = done
label-progress = Steps done
label-own-paints = Your own paints
label-own-lead = Choose or drop a paint list (CSV: id, name, and hex or lab_l, lab_a, lab_b). Every colour is matched again here, without mixtures; the shopping tray stays the maker’s. The list does not leave this page.
label-own-choose = Choose a list
label-own-reset = Back to the maker’s paints
label-own-done = Matched with
label-own-paints-count = paints
label-own-skipped = Not read
label-own-lines = line
label-own-why-retired = no longer sold
label-own-why-id = no id
label-own-why-light = an illuminant that this page does not know
label-own-why-colour = no colour
label-own-export = This is an instrument’s export. Save it as CSV first, or use palette guide --swatches.
label-own-encoding = This file is not UTF-8. Save it as CSV UTF-8 and choose it again.
label-own-lacks = Missing
label-own-none = No colour was found in this list. It needs columns id, name, and hex or lab_l, lab_a, lab_b.
label-own-nearest = From your list
label-own-off = off
label-clear-ticks = Clear all ticks
label-next = Next
label-previous = Back
label-old = before
label-new = now
label-licence = Licence

## Notes: what a step noticed. No capital and no stop: they may stand behind a heading

once-in = once in { $times } times
once-in-more = less than once in a million times
channel-red = red
channel-green = green
channel-blue = blue
channel-cyan = cyan
channel-magenta = magenta
channel-yellow = yellow
note-anchor = anchor { $which }
note-the-anchors = the anchors
note-sample-of = the sample of { $part }
note-of-mark = { $mark } { $text }
note-of-reference = reference { $reference }: { $text }
note-of-sample = { $source }: its sample { $text }
note-clipped = { $share } of this sample is clipped in { $channel }
note-clipped-black = { $share } of this sample is clipped in { $channel } (black)
note-several-colours = holds more than one colour: { $share } of it is unlike the rest; mark one surface alone
note-light-edge = has an edge in its light: { $share } of it, in shade or another surface, is darker by a factor of { $factor }; the brighter side counts
note-gloss = gloss lay over all of it ({ $share } of its light); taken off
note-shaded = shaded by a factor of { $factor } from end to end; its lit part counts
note-left-out-rim = an edge or a highlight that runs into it ({ $share } of this sample) left out
note-left-out-highlight = a highlight ({ $share } of this sample) left out
note-left-out-dark = dark spots ({ $share } of this sample) left out
note-left-out-other = spots of another colour ({ $share } of this sample) left out
note-screen = the halftone screen ({ $period } pixels from dot to dot) was averaged out
note-jpeg-blocks = JPEG blocks show in this sample
note-few-pixels = { $count ->
    [one] only 1 pixel; mark a larger area
   *[other] only { $count } pixels; mark a larger area
}
note-colourless = the picture holds no colour, so it tells nothing of hue; if it is black and white, say tone = "grey"
note-toned = the picture looks like a toned black-and-white one: it has one colour for each lightness, so it tells nothing of hue. If it is one, say tone = "grey"; if not, mark something of another colour in it as an anchor
note-over-the-edge = { $mark } runs over the edge of the picture; only what lies inside counts
note-as-shot = no anchor; colours as shot, allowing for any likely light
note-by-light-stated = no anchor; corrected for the light as stated ({ $light })
note-by-light-estimated = no anchor; corrected for the light as estimated from the scene
note-by-light-both = no anchor; corrected for the light as stated ({ $light }) and as estimated from the scene
note-no-agreement = { $count } anchors that contradict one another: little more than as shot
note-by-neutral = fitted on a neutral anchor of unknown lightness: corrects the light, not the exposure
note-by-neutrals = fitted on { $count } neutral anchors of unknown lightness: corrects the light, not the exposure
note-by-anchor = fitted on one anchor
note-by-anchors = fitted on { $count } anchors
note-by-anchors-both-grey = fitted on { $count } anchors, both grey
note-by-anchors-all-grey = fitted on { $count } anchors, all of them grey
note-by-anchors-some-grey = fitted on { $count } anchors, { $grey } of them grey
note-one-colour = { $text }, of one colour, so that they cannot check each other
note-leaving-one-out = { $text }; leave one out, and the others put its colour about { $off } off
note-light-estimates = { $count } ways to guess the light from the picture lie up to { $most }° from their middle ({ $each })
note-light-estimates-loose = { $count } ways to guess the light from the picture lie up to { $most }° from their middle, so the light is loose ({ $each })
note-reversed = the lighter anchors read darker: are they swapped, or is the chart upside down? All count for little
note-chart-turned = the anchors cannot all be true, but would be on a chart turned upside down: is it turned? All count for little
note-one-spot = { $anchors } lie on one spot and are given different colours: none of them counts for much
note-cannot-both = { $who } cannot all be true, and nothing says which is wrong: both count for little
note-cannot-all = { $who } cannot all be true, and nothing says which is wrong: all count for little
note-swapped = { $text }; are marks swapped, or is a chart turned?
note-anchors-left-out = { $count ->
    [one] { $anchors } contradicts the other anchors: left out
   *[other] { $anchors } contradict the other anchors: left out
}
note-anchor-astray = { $anchor } is { $off } away from what the other anchors say, so it hardly counts: is its colour right?
note-in-channel = { $share } in { $channel }
note-anchor-clipped = { $anchor } is clipped, { $lost }, so it counts for less
note-lightness-scene = no anchor fixes the lightness: it is guessed from the picture's brightest places
note-lightness-usual = no anchor fixes the lightness: it is as wide as exposures usually vary
note-unanchored = no anchor shows that: it is guessed from how far each colour of the scene ranges
note-light-grows-across = the light grows from left to right by { $share } over the picture; evened out
note-light-falls-across = the light falls from left to right by { $share } over the picture; evened out
note-light-grows-down = the light grows from top to bottom by { $share } over the picture; evened out
note-light-falls-down = the light falls from top to bottom by { $share } over the picture; evened out
note-light-corners = the light falls off by { $share } from the middle to the corners; evened out
note-stray-light = stray light of { $share } of white lay over the picture; taken off
note-sensor-channels = the colours are as in a sensor's own channels, no camera's matrix applied; brought back
note-wide-numbers = the colours are dull as where a wide colour space's profile was lost; brought back
note-layer-keeps = the { $layer } layer keeps { $kept }
note-dyes-faded = the dyes have faded: { $layers } of its density; restored layer by layer
note-layer-lost = the { $layer } layer has lost too much to be restored: its noise grows { $noise } times, so colours are wide
note-uneven-card = the light falls off by { $ratio } to 1 over the card; light it more evenly
note-by-paper = no grey card or chart: corrected by the paper, taken for common white paper (L* 94 ± 2, bluish)
note-grey-card-unstated = the grey card's lightness is not stated (--grey): the paper, L* 94 ± 2, fixes the exposure
note-no-trust = not counted: its trust is 0
note-copy = a copy of the picture { $reference }, which counts for both
note-copy-apart = { $text }; they lie { $apart } apart: is the part marked in the same place?
note-livery-before = shows the livery before the repaint of { $year }
note-livery-after = shows the livery after the repaint of { $year }
note-not-believed = not believed: it lies { $off } from what the rest supports
note-in-doubt = in doubt: the others would do without it, and it is right with { $right }
note-in-doubt-off = in doubt: it lies { $off } from the colour given, and is right with { $right }
note-grey-not-believed = not believed: right with { $right } beside the rest
note-vague = given little weight: too uncertain
note-counted-with-grey = counted with the grey
note-with-words = the words are counted with it
note-one-answer = one answer of { $references } together
note-words-taken = “{ $words }” taken as { $meaning }
note-same-paint = the same paint as { $parts }, sharing its evidence
note-disagrees = the evidence disagrees: if all of it were right, it would lie so far apart { $odds }
note-picture-in-doubt = the picture contradicts others on { $parts }, and is right there with { $right }: so is this colour, which hangs on it; are its anchors stated as they were?
note-sample-apart = its sample { $number } lies { $off } from the part's others in this picture and cannot be the same paint: is it marked on the part?
note-words-contradicted = what { $source } says lies { $off } from all that pictures show
note-not-lighter = part { $part } is said to be lighter than { $lighter }; the pictures show it darker, by { $darker } in lightness
note-decided-same-paint = decided for a part of the same paint
note-decided = the maker's decision: { $why }
note-decision-off = the decision lies { $off } from what the evidence supports, which is sure to within { $radius }
note-not-compared = part { $part } is said to be lighter than { $lighter }, which counts only where grey pictures are read: mark both parts in one
note-decided-apart = parts { $first } and { $part } are said to be the same paint, and their colours are decided { $off } apart: each keeps its own; take out same_as, or one colour
note-livery-guessed = the kit was repainted and has no year, so the livery most of its dated pictures show is taken; left out: { $out }; say year = … in [kit] for the livery you are after
note-anchor-unsettled = reference { $reference }: its anchor on part { $part } is left out, since nothing else settles that part
note-anchor-on-print = reference { $reference }: its anchors on parts are left out, since the painted print cannot vouch for its own paint
note-settled-fails = the kit is settled, but its print is not painted as the guide says: { $parts }; repaint and photograph it again, or take the kit back to trial
note-settled-changed = version { $version } was settled, and these parts are another colour since: { $parts }; run palette changes to see why, or give the kit a new version
note-settled-changed-guide = the guide was settled, and these parts are another colour since: { $parts }; give the kit a version, and build the guide anew
note-holds-colour = reference { $reference } is declared grey and { $file } holds colour: its luma is read; tone = "colour" would tell more
note-grey-anchor-left-out = reference { $reference }: { $anchor } is left out, since no colour reference settles part { $part }
note-grey-part-astray = reference { $reference }: { $anchor } does not fit the picture's other tones, and is not believed there: is it marked on the part?
note-grey-anchor-astray = reference { $reference }: { $anchor } does not fit the picture's other tones, and is not believed: is its colour right, and is it marked on it?
note-grey-at-odds = reference { $reference }: { $anchors } cannot both be right, and nothing tells which is: neither is believed there; are both marked on what they name?
note-grey-all-at-odds = reference { $reference }: one of { $anchors } is wrong, and nothing tells which: none is believed there; are all marked on what they name?
note-grey-colour-astray = part { $part }: its colour from elsewhere does not fit what { $references } { $count ->
        [one] shows
       *[other] show
    }. Everything else fits. Is it marked on the right part in the colour pictures?
note-grey-either-astray = part { $part }: its colour from elsewhere does not fit what { $references } { $count ->
        [one] shows
       *[other] show
    }. Everything else fits. Is it marked on the right part there, and in the colour pictures?
note-is-copy = { $reference } is a copy of the picture { $other }, which counts for both
note-with-hint = weighed with the words { $words }
note-with-hint-by = weighed with the words { $words } ({ $source })
note-as-lighter = weighed as lighter than { $part }
note-as-darker = weighed as darker than { $part }
note-part-clipped-white = in { $reference } the part is clipped white: only a bound
note-part-clipped-black = in { $reference } the part is clipped black: only a bound
note-beyond-lighter = in { $reference } the part is lighter than every anchor: read by extending the tone curve
note-beyond-darker = in { $reference } the part is darker than every anchor: read by extending the tone curve
note-no-exposure = in { $reference } no anchor fixes the exposure: read by the picture's own range, so loosely
note-no-contrast = in { $reference } one anchor fixes the exposure and nothing the contrast
note-outshines-white = in { $reference } it outshines the white anchor, { $anchor } (L* { $lightness }; levels { $first } and { $second }): is the anchor's colour right, or in shade?
note-no-paint-fits = no paint of the list fits what the pictures show: the odds say next to nothing
note-looks-metallic = metallic paint on a part that is not; nothing else comes near enough
note-looks-fluorescent = fluorescent paint; nothing else comes near enough
note-looks-plain = no metallic paint comes near enough
note-parts-under = matches { $light }, but not { $lamp }: about { $off } off there
count-2 = two
count-3 = three
count-4 = four
count-5 = five
count-6 = six
count-7 = seven
count-8 = eight
count-9 = nine
count-10 = ten
count-11 = eleven
count-12 = twelve

## Card for measuring paints, and sheet of colours

card-title = Card for measuring paints
card-head = Paint card
which-sheet = sheet { $number } of { $total }
which-boxes = Boxes { $first } to { $last }
card-white = White used
card-parts = Parts paint : white
card-date = Date
card-lay = Lay the grey card or the 24-patch chart here, inside the frame, this way up
card-do-print = Print at 100 %, in black, on plain matt white paper.
card-do-left = Left box: the paint, in as many coats as hide the bar.
card-do-right = Right box: 1 part paint, 9 parts of one white, by volume.
card-do-lay = Once dry, lay a grey card or a chart in the frame.
card-do-photograph = Photograph the sheet from above. Even light, no sun, flash or shine; the paper must not burn out. Two pictures are better.
card-ruler = 50 mm, when printed at 100 %
card-care = Take care.
card-care-words = Air the room. Keep paint off skin and eyes, away from food, children and flames. Do not spray without mask and extraction.
card-label = The paint’s label and safety sheet, and local rules for its use and disposal, go before anything printed here.
sheet-title-of = Colours of { $file }
sheet-title-of-several = Colours of { $count } pictures
sheet-title-paints = Colours and their nearest paints
sheet-count = { $count ->
    [one] 1 colour
   *[other] { $count } colours
}
sheet-largest-first = { $colours }, largest first
sheet-full-light = Each colour is that of the surface in full light; most of its pixels are darker.
sheet-retired = retired
sheet-pixels = { $width } × { $height } pixels, { $profile }
sheet-alt = The picture { $file }, with the numbers of its colours on it
sheet-label-of = of
sheet-label-shares = How much of the picture each colour takes
sheet-label-colour = Colour
sheet-label-paints = Nearest paints, and whether the difference would show
sheet-label-ruler = 50 mm, when printed at 100 %
sheet-label-science = Colours are CIELAB under D65; differences are CIEDE2000. A screen or printer shows them only roughly: go by the paint itself.

note-profile-unused = its colour profile is not used ({ $fault }): sRGB is assumed
note-profile-unused-inks = its colour profile is not used ({ $fault }): ideal inks are assumed
note-profile-damaged = it is damaged
note-profile-cut-off = it is cut off
note-profile-curve-damaged = a curve of it is damaged
note-profile-curve-cut-off = a curve of it is cut off
note-profile-tables-damaged = its tables are damaged
note-profile-flat = its primaries lie on one line
note-profile-bare = it has neither tables nor a matrix
note-profile-channels = it is made for { $channels } channels
note-inks-unprofiled = its inks have no profile: ideal inks are assumed, colours are rough
note-floats-unprofiled = its floating point levels have no profile: sRGB levels from 0 to 1 are assumed
note-adobe-unprofiled = its camera marked it as Adobe RGB (1998) but embedded no profile: sRGB is assumed
note-gamma-unprofiled = it states a file gamma of { $gamma } without a profile: sRGB is assumed
note-range-unread = its high dynamic range is not read: sRGB, or its profile, is used
note-less-than = less than { $share }
note-part-missing = { $share } of the picture is missing: { $why }; only the rest is used
note-part-missing-top = { $share } of the picture is missing, at the top: { $why }; only the rest is used
note-part-missing-bottom = { $share } of the picture is missing, at the bottom: { $why }; only the rest is used
note-part-missing-left = { $share } of the picture is missing, on the left: { $why }; only the rest is used
note-part-missing-right = { $share } of the picture is missing, on the right: { $why }; only the rest is used
note-why-cut-off = the file is cut off
note-why-data-cut-off = its data are cut off
note-why-never-written = the end of the file was never written
note-why-blank = a piece of the file is blank
note-why-damaged = a piece of the file is damaged
note-why-no-more-rows = the file has no more rows
note-levels-left-out = { $many } of its pixels hold no valid level, and are left out
note-frames-weave = its frames weave by up to { $most } pixels; they were laid on one another
note-not-still = the shot is not still for { $around } s either way: { $used } of { $frames } frames averaged
note-not-still-alone = the shot is not still for { $around } s either way: the one frame is used as it is
note-pixels-not-square = its pixels are not square ({ $ratio }); they are left so
note-frame-starts-at = the frame shown then starts at { $time }
note-frame-damaged = the frame is damaged in the file
note-matrix-unread = its matrix is of a rare kind and not read: an assumed one is used
note-matrix-assumed = it states no matrix: { $name } is assumed from its size
note-range-assumed-full = it states no range: full is assumed
note-range-assumed-limited = it states no range: limited is assumed
note-transfer-assumed = it states no transfer: that of sRGB is assumed
note-cast-all-over = { $files }: { $tint } all over; if that is the light, name a white or grey place with --white or --grey
note-colours = { $count ->
    [one] 1 colour
   *[other] { $count } colours
}
note-no-more-colours = { $colours }: the picture has no more
note-as-many-as-asked = { $colours }, as asked; auto would give { $auto }
note-most-colours = { $colours }, the most that auto gives: the nearest were taken together; use --colours 20 for more
note-shades-together = { $colours }: shades of one paint were taken together
note-tint-reddish = reddish
note-tint-orange = orange
note-tint-yellowish = yellowish
note-tint-greenish = greenish
note-tint-bluish = bluish
note-tint-purplish = purplish
note-unreadable = cannot be read: { $what }
note-same-alike = shows the same as { $reference }
note-same-mirrored = shows, mirrored, the same as { $reference }
note-same-same-file = is the same file as { $reference }
note-count-once = { $text }: the two count once
note-count-twice = { $text }: its evidence may count twice
note-copy-of = is { $how }: the two count once
note-copy-turned = turned by 90°
note-copy-turned-half = turned by 180°
note-copy-mirrored = mirrored
note-copy-mirrored-turned = mirrored and turned by 90°
note-copy-mirrored-turned-half = mirrored and turned by 180°
note-copy-edited = its tones edited
note-copy-cropped = cropped
note-declared-grey = declared grey, but it has colour: is it hand-coloured, or is its tone “colour”?
note-declared-colour = declared colour, but it shows none: is its tone “grey”?
note-no-sample = no sample: no part is marked on it
note-mark-outside = { $mark } lies outside the picture
note-mark-partly-outside = { $mark } runs over the edge of the picture
note-mark-small = { $count ->
    [one] { $mark } is small: 1 pixel
   *[other] { $mark } is small: { $count } pixels
  }
note-no-anchor = no anchor and no light stated: its cast is guessed
note-no-anchor-light = no anchor: only the light stated corrects it
note-no-anchor-grey = no anchor: nothing fixes its tones
note-no-time = no time: where in its film is the frame?
note-no-video = no video: where in its film is the frame?
note-small-picture = small: { $width } × { $height } pixels; is there a larger copy?
note-no-credit = no credit: who is to be thanked, and may it be shown?

## Lights, as they stand in a sentence

under-daylight = in daylight
under-daylight-of = in daylight ({ $light })
under-window = in daylight behind glass
under-sun = in direct sunlight
under-even = in an even white light
under-bulb = under a household bulb
under-led-warm = under a warm white LED lamp
under-led-cool = under a cool white LED lamp
under-led = under a white LED lamp
under-tube-warm = under a warm fluorescent tube
under-tube = under a fluorescent tube
under-sodium = under a sodium street lamp
under-halide = under a metal halide lamp
under-photoflood = under photoflood lamps
under-studio = under studio lamps
under-printer = under the lamp of a film printer
under-candle = by candlelight ({ $light })
under-warm = under a warm white lamp ({ $light })
under-lamp = under a white lamp ({ $light })
