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
view-alt = { $title }, with numbers at its parts: { $parts }.
unseen = { $count ->
    [one] No picture shows { $parts }.
   *[other] No picture shows these parts: { $parts }.
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
off = { $amount } off: { $seen }
off-mixture = { $amount } off by prediction, give or take { $error }: { $seen }
seen-not = nobody sees it
seen-hardly = hardly seen
seen-side = seen side by side
seen-plainly = plainly seen
seen-another = another colour

## Steps

step-wash = Wash the parts
step-wash-words = Warm water, a drop of washing-up liquid. Rinse, let them dry. Gloves from here on.
step-card = Paint a test card
step-card-words = One patch of every paint on the primer. Number the patches. Judge them dry, under the light the model will stand in.
step-mask = Mask what gets no paint
step-mask-words = Cover these before you prime:
step-prime = Prime everything { $ground }
step-prime-words = Two thin coats. Let the last one dry overnight.
step-circle = Decide the order yourself
step-circle-words = “after” runs in a circle at { $parts }.
step-alt = The model with { $parts } lit.
step-decals = Decals
step-decals-words = Gloss where they go, let it dry. Set the decals. Let them dry overnight.
step-seal = Seal: { $sheen } clear coat
step-seal-words = One thin coat on these, once everything is dry. Let it harden overnight.
step-seal-mask = Mask the sheen before it.
step-metallic = Leave metallic parts as they are
step-metallic-words = A clear coat dulls them (common practice):
step-bare = Uncover the bare parts
step-bare-words = Take the masks off and polish. They get no paint and no clear coat:
step-clear = Fit the clear parts
step-clear-words = Take the masks off. Fix them with a glue that does not fog. No matt coat near them:
step-lit = Fit the lamp
step-lit-words = Its light is { $colour }. Try lamp and battery before you close the model.
step-lit-unknown = The colour of its light is undecided. Try lamp and battery before you close the model.
fact-paint = Paint
fact-coats = Coats
fact-amount = Amount
fact-over = Over
fact-dry = Drying
fact-mask = Masks
fact-seal = Seal
leave-in-primer = Its colour is undecided. Leave it in primer.
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
seal-metallic = none: a clear coat dulls metal
seal-clear = none
seal-bare = none
seal-lit = none
short-gloss = gloss
short-satin = satin
short-matt = matt
short-metallic = metal
short-clear = clear
short-bare = bare
short-lit = lamp
shade = Shade
highlight = Highlight
how-wash = wash: thin it 1 to 5, let it run into the hollows
how-layer-shade = layer: thin coats along lower edges and under rails
how-layer-highlight = layer: thin coats along upper edges
how-edge = edges only, with the tip of a fine brush
how-drybrush = drybrush: an almost dry brush over raised detail
guess-odds = GUESS: about { $off } off on average. If it was one of these paints, it was { $others }.
guess-alone = GUESS: about { $off } off on average.
guess-words = GUESS, from words only: { $hints }. It may be any colour of that name.
guess-plain = GUESS: seen only in grey. It may be another hue of the same lightness.
doubt-disputed = DISPUTED: the sources disagree on this colour.
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
fact-light = Judged under
fact-match = A match is within
fact-parts = Parts
light-daylight = daylight ({ $light })
light-tungsten = tungsten lamps (A)
read-parts = Each part keeps its number throughout. Its swatch is the best estimate of its colour. A cut corner means inferred: the middle of what remains. The strip below the swatch runs through the colours that the evidence leaves open. The squares say how sure the colour is, from five (firm) to one (open).
read-off = “Off by” is the difference between the paint and that colour (CIEDE2000): below 1 nobody sees it, above 4 most people do. A paint that is off by less than the colour is unsure by is as good as any nearer one. A mixture’s “±” is how far it may be from its prediction; the words count it in.
chosen-to-hand = How the paints were chosen: what is to hand where it is a match (within { $tolerance }), and beside that the fewest pots to buy for all parts together; a paint straight before a mixture. Where nothing is a match, whatever should come nearest, or something to hand that hardly looks worse.
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
label-tray-lead = Have these ready. Tick what you have. Amounts count the coats and a fifth to spare; a shade or highlight takes about a seventh of its base (common practice).
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
label-cup = One part
label-whole = Whole job
label-wet = dab, wet
label-dry = dab, dry
label-steps = Steps
label-steps-lead = One card a step, from first to last. Tick the box. Shade and highlight once the base is dry, before the next card. Drying times marked (rule) are common practice; the label goes first.
label-step = Step
label-guess = GUESS
label-no-tone = no paint comes near: leave it out
label-bench = Bench card
label-bench-lead = Pin it up. One line a part.
label-number = No.
label-part = Part
label-brush = On the brush
label-seal = Seal
label-glossary = Ten words
label-cover-link = to the model
label-page-of = of
label-print-check = Print at 100 %. This line is 50 mm long.
label-missing = No typeface on the maker’s machine has these characters; they are printed as □:
label-done = done
label-progress = Steps done
label-own-paints = Your own paints
label-own-lead = Choose or drop a paint list (CSV: id, name, and hex or lab_l, lab_a, lab_b). Every colour is matched again here. The list does not leave this page.
label-own-choose = Choose a list
label-own-reset = Back to the maker’s paints
label-own-done = Matched with
label-own-paints-count = paints
label-own-skipped = rows skipped
label-own-none = No colour was found in this list. It needs columns id, name, and hex or lab_l, lab_a, lab_b.
label-own-nearest = From your list
label-own-off = off
label-clear-ticks = Clear all ticks
label-next = Next
label-previous = Back
label-old = before
label-new = now
label-licence = Licence
