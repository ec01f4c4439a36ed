"""Write docs/reference.md from the code itself: python docs/make_reference.py

Commands and options come from click, the keys of kit.toml from what the reader asks for, the columns of a
list from what its reader knows; what each means stands here, and the parts of every JSON answer too. A
test fails where one of them has no entry, and where reference.md is not what this writes.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import click

from palette.commands import COMMANDS, SECTIONS

OUT = Path(__file__).parent / "reference.md"

COLOUR = (
    'a table with one of `lab = [L, a, b]`, `hex = "#rrggbb"` (sRGB), `munsell = "5GY 4/3"` '
    '(`"N 5/"` for greys) or `swatch = "ID"` (a paint of the kit\'s lists)'
)

# table of kit.toml -> key -> (what it takes, what it says); an empty default means there is none
KEYS: dict[str, dict[str, str]] = {
    "": {
        "schema": "Required. The version of this format: `1`.",
        "kit": "Required. One table `[kit]`, on the kit as a whole.",
        "part": "Any number of `[[part]]`: what gets one colour.",
        "reference": "Any number of `[[reference]]`: the pictures.",
    },
    "kit": {
        "title": "Required. The name of the kit, as the guide has it.",
        "maker": "Who makes the kit.",
        "stage": "`draft` (the default; evidence is still coming in), `trial` (complete, being tried) or "
        "`settled` (no more changes expected).",
        "version": 'Text such as `"0.2"`; it is printed on every page of the guide.',
        "date": "The date of this edition, as `2026-11-30`.",
        "page": "The address of the kit's web edition; the guide prints it.",
        "scale": 'Text such as `"1:35"`.',
        "licence": "The licence of the guide, as its readers should see it.",
        "swatches": "A list of swatch lists, as file names from the kit's folder on. Without it, no paints "
        "are proposed.",
        "light": "The light the finished model is judged under: the name of a light, or kelvins as a number. "
        "Default `D65`. What goes on the brush is chosen for it. Matches that part under a warm lamp are "
        "warned of.",
        "tolerance": "The CIEDE2000 difference that still counts as a match. Default 3.0.",
        "scale_effect": "`true`: paint lighter and greyer than the original, as the scale asks for (common "
        "practice, no source; the guide prints the rule). It needs a `scale`. Default `false`.",
        "shade": "By how much darker a part's shade is, in L*; 0 for no shades. Default 12 (common practice, "
        "no source).",
        "highlight": "By how much lighter its highlight is, in L*; 0 for none. Default 12 (likewise).",
        "tone_hue": "By how many degrees of hue shades turn cooler and highlights warmer. Default 6 "
        "(likewise).",
        "year": "The year whose livery the kit is after.",
        "repainted": "A list of the years in which the original was painted anew. Pictures from before and "
        "after such a year show different liveries; only those of the kit's own are used.",
        "cover": "The id of the reference that shows best where the parts are.",
        "files": "What a bundle of the kit also carries: "
        '`[{ file = "meshes/lamp.stl", what = "without lamp" }]`.',
    },
    "kit.files": {
        "file": "Required. A file, from the kit's folder on.",
        "what": "What it is, in a few words.",
    },
    "part": {
        "id": "Required, unique. A short name for use in this file, on the command line and in answers.",
        "name": "The name the guide prints. Default: the id.",
        "finish": "`matt` (the default), `satin`, `gloss` or `metallic`: the sheen of the finished part. "
        "The guide puts metallic paints on metallic parts only, while there are others, and prefers them "
        "there. Parts that get no such coat: `clear` (see-through), `bare` (left as its own material) and "
        "`lit` (a lamp; `colour` is its light).",
        "area_cm2": "The painted area of the model's part in cm², for the amount of paint.",
        "mesh": "An STL file in millimetres, from the kit's folder on: the area is then measured on it, with "
        "the inner walls of a hollow print. Give this or `area_cm2`, not both.",
        "mesh_unit": "The unit of the mesh: `mm` (the default), `cm`, `inch` or `m`. With it, no size is "
        "asked about.",
        "after": "A list of part ids that are painted before this one.",
        "same_as": "The id of a part known to be the same paint: the two share their evidence.",
        "colour": f"The maker's own decision, which overrides the evidence: {COLOUR}. It needs `why`, "
        "but for a lamp's light.",
        "why": "The reason for `colour`; both are printed.",
        "shade": "By how much darker its shade is, in L*; 0 for none. Default: that of the kit.",
        "highlight": "By how much lighter its highlight is, likewise.",
        "hint": "Any number of `[[part.hint]]`: what someone wrote or remembered.",
        "than": "Any number of `[[part.than]]`: what can be read off a picture by comparing.",
    },
    "part.hint": {
        "words": 'Required. Colour words, such as `"dark greyish green"`. Unknown words are refused, and the '
        "nearest known ones named; words that name two colours are asked about.",
        "quote": "The sentence itself, word for word. It is printed beside the colour words and not read.",
        "source": "Who said so, where.",
        "trust": "How far it is believed, 0 to 1. Default 0.5. A hint is weighed, never a veto.",
    },
    "part.than": {
        "lighter": "Required. The id of another part: this part is lighter than that one.",
    },
    "reference": {
        "id": "Required, unique.",
        "file": "Required. The picture, from the kit's folder on: JPEG, PNG, TIFF, WebP, HEIC and what else "
        "the libraries read.",
        "kind": "`photograph` (the default), `frame` (of a film or video), `print`, `artwork` (painted or "
        "hand-coloured) or `object` (a photograph of a survivor). It sets how likely the picture is to show "
        "something else than the paint as it was.",
        "tone": "`colour` (the default) or `grey`.",
        "subject": "`original` (the default) or `painted`: a picture of the painted model, for `palette "
        "check` only.",
        "light": "The light it was taken in: a name, or kelvins as a number (a Planckian radiator below "
        "4000, "
        "daylight from there on). Optional; anchors, where there are any, decide.",
        "response": "Grey pictures only. What the picture saw: `panchromatic` (the default), "
        "`orthochromatic`, "
        "`blue-sensitive`, `camera-tube`, `luma-601` or `luma-709`, each a class and not one curve, or "
        "the name "
        "of a CSV with the columns `nm,response` (linear, relative, for equal energy; straight lines between "
        "the points, zero outside them).",
        "filter": "Grey pictures only. A CSV with the columns `nm,transmittance`: a filter over the lens.",
        "uneven": "Grey pictures only. How unevenly the light falls from place to place: the standard "
        "deviation of "
        "the logarithm of the exposure. Default 0.10.",
        "year": "When it was taken.",
        "credit": "Who took or keeps it; the guide prints it.",
        "licence": "The terms under which the picture may be passed on.",
        "print": "`false`: describe the picture in what is published, and do not reproduce it. "
        "Default `true`.",
        "video": "Written by `palette frames`: the file the frame is from.",
        "time": "Written by `palette frames`: where in it, as h:mm:ss.sss.",
        "trust": "The probability that the picture says anything true at all, 0 to 1. Default 1.0.",
        "anchor": "Any number of `[[reference.anchor]]`: surfaces in the picture whose true colour is known.",
        "sample": "Any number of `[[reference.sample]]`: where the picture shows a part.",
    },
    "reference.anchor": {
        "rect": "Where: `[x, y, width, height]` in pixels from the top left of the upright picture. One of "
        "`rect`, `polygon` and `spot` is required.",
        "polygon": "Or `[[x, y], …]`, three corners or more.",
        "spot": "Or `[x, y, radius]`.",
        "colour": f"Required. The true colour: {COLOUR}, `neutral = true` (a grey of unknown lightness) or "
        '`part = "ID"` (a part that another picture settles, taken with its own uncertainty).',
        "spread": "How far the stated colour is itself believed: a CIEDE2000 radius that holds nine times in "
        "ten. Default 1.0.",
        "surface": "A name of your own that anchors share where they lie on one plain surface (a wall, a "
        "backdrop, the paper of a print): whatever its colour, it is the same in all, and shows how light "
        "falls.",
    },
    "reference.sample": {
        "part": "Required. The id of the part.",
        "rect": "Where, as for an anchor. The region counts as given and is not shrunk.",
        "polygon": "Or a polygon, as for an anchor.",
        "spot": "Or a spot, as for an anchor.",
        "turned": "`true`: the part is turned otherwise than the anchors towards the light, or stands in "
        "half shade. Its lightness is then taken as less sure, its hue is not. Default `false`.",
    },
}

TABLES = {
    "": "The file",
    "kit": "[kit]",
    "kit.files": "[[kit.files]]",
    "part": "[[part]]",
    "part.hint": "[[part.hint]]",
    "part.than": "[[part.than]]",
    "reference": "[[reference]]",
    "reference.anchor": "[[reference.anchor]]",
    "reference.sample": "[[reference.sample]]",
}

COLUMNS = {
    "id": "Required, unique over all lists of a kit.",
    "name": "Required.",
    "range": "The range or series the paint belongs to.",
    "finish": "matt, satin, gloss, metallic, fluorescent or clear; the last three are never mixed. Where it "
    "says none of these three, words do; what is called a varnish is a clear coat unless it has an `opacity` "
    "of 0.5 or more, or a sheen and a colour of its own.",
    "medium": "What thins it: `water`, `enamel`, `lacquer` or `oil`. Blank where you do not know.",
    "opacity": "0 to 1: how much of a black and white ground one coat hides (contrast ratio).",
    "owned": "yes or no. `mix` leaves out a no; `basket` counts only a yes.",
    "retired": "yes or no: no longer made.",
    "volume_ml": "What a pot holds.",
    "price": "Of a pot, in any one currency.",
    "coverage_cm2_per_ml": "What a millilitre covers in one coat; 100 where blank (common practice, from "
    "memory).",
    "source": "Where the reading is from.",
    "notes": "Your own.",
    "lab_l": "L* of the dried paint under D65, 2-degree observer, 0 to 100.",
    "lab_a": "Its a*.",
    "lab_b": "Its b*.",
    "illuminant": "The light that Lab was measured under: `D65` (where blank), `D50` or another of CIE 15. "
    "Lab is carried to D65. A line `# illuminant: D50` above the header says it for all.",
    "hex": "The colour in sRGB, `#rrggbb`; used where there is neither Lab nor reflectance.",
    "spread": "How far the reading itself may be off: a CIEDE2000 radius that holds nine times in ten.",
    "specular": "`included` or `excluded` (where blank): whether the reading includes the gloss.",
    "tint_l": "A let-down in white: L* of it.",
    "tint_a": "Its a*.",
    "tint_b": "Its b*.",
    "tint_share": "The volume of this paint in that mixture, 0 to 1.",
    "tint_white": "The id of the white. The white's own tint cells stay blank.",
}
SPECTRA = {
    "nm400 … nm700": "Reflectances, 0 to 1 (or in percent throughout), in steps of 10 nm or finer. They "
    "go before "
    "Lab, and Lab before hex. Lab is worked out from them by ASTM E308 for D65.",
    "tint_nm400 … tint_nm700": "Likewise for the let-down in white.",
}

PAINT = {
    "swatch": "its id",
    "name": "its name",
    "range": "its range, or empty",
    "lab": "its colour",
    "hex": "the nearest sRGB colour",
    "difference": "CIEDE2000 from the colour in question",
}


def _paints(path: str) -> dict[str, str]:
    return {f"{path}[]": "paints, nearest first"} | {f"{path}[].{key}": text for key, text in PAINT.items()}


_MIX = {
    "drops[].swatch": "the id of a paint of the mixture",
    "drops[].count": "its drops",
    "lab": "the colour predicted",
    "hex": "the same as the nearest sRGB colour",
    "difference": "CIEDE2000 of the prediction from the colour asked for",
}


def _mixes(path: str) -> dict[str, str]:
    return {f"{path}[]": "recipes, best first"} | {f"{path}[].{key}": text for key, text in _MIX.items()}


# command -> part of its answer -> what it is. `a[].b` is the b of every item of the list a.
ANSWERS: dict[str, dict[str, str]] = {
    "sample": {
        "image[].file": "the picture",
        "image[].width": "pixels across, upright",
        "image[].height": "pixels down",
        "image[].profile": "how its levels became light: the embedded profile's name, or `sRGB (assumed)`",
        "reason": "why there are as many colours as there are",
        "colours[].share": "share of the pictures; all add up to 1",
        "colours[].lab": "the colour of the lit surface",
        "colours[].hex": "the nearest sRGB colour",
        "colours[].name": "in words",
        "colours[].background": "whether it runs along much of the edge of the picture",
        **_paints("colours[].paints"),
    },
    "references": {
        "kit": "the title",
        "references[].reference": "id",
        "references[].file": "the picture",
        "references[].width": "pixels across; null where it cannot be read, as for the next two",
        "references[].height": "pixels down",
        "references[].profile": "its colour profile",
        "references[].kind": "as in kit.toml, like the next five",
        "references[].tone": "colour or grey",
        "references[].subject": "original or painted",
        "references[].light": "name, kelvins or null",
        "references[].year": "number or null",
        "references[].credit": "text or null",
        "references[].trust": "0 to 1",
        "references[].anchors": "how many",
        "references[].samples": "how many",
        "references[].missing[]": "what it lacks, in words",
        "references[].same_as[]": "ids of references that show the same picture",
    },
    "look": {
        "reference": "id",
        "file": "the picture written",
        "method": "how it was corrected, in words; null where nothing was",
        "anchors[].anchor": "the label drawn: A1, A2 …",
        "anchors[].colour": "as written in kit.toml",
        "anchors[].stated": "its Lab, or null where it is not known",
        "anchors[].corrected": "what the corrected picture makes of it",
        "anchors[].difference": "CIEDE2000 between the two",
        "anchors[].left_out": "what it would be if the other anchors alone predicted this one",
        "anchors[].note": "text or null",
        "notes[]": "on the picture as a whole",
    },
    "frames": {
        "frames[].reference": "the new reference's id",
        "frames[].file": "the picture written",
        "frames[].time": "the time asked for",
        "frames[].frame_time": "that of the frame taken",
        "frames[].width": "pixels across",
        "frames[].height": "pixels down",
        "frames[].tone": "colour, or grey where the stream has none",
        "frames[].matrix": "the stream's matrix, stated or assumed",
        "frames[].range": "full or limited",
        "frames[].profile": "the primaries and transfer that the picture carries",
        "frames[].deinterlaced": "true or false",
        "frames[].averaged": "of how many frames it is the mean",
        "frames[].notes[]": "what was assumed or noticed",
    },
    "grey": {
        "parts[].part": "id; every part with a sample in a grey reference",
        "parts[].readings[].reference": "id of the reference",
        "parts[].readings[].level": "mean encoded level of the region, 0 to 1",
        "parts[].readings[].response": "what the picture saw",
        "parts[].lightness[]": "the 90 % interval of L*: low, high",
        "parts[].bits": "divergence of the candidates' probabilities from equal ones",
        "parts[].candidates[]": "every paint of the kit's lists, most likely first",
        "parts[].candidates[].swatch": "its id",
        "parts[].candidates[].name": "its name",
        "parts[].candidates[].lab": "its colour",
        "parts[].candidates[].probability": "from a prior equal for all; they add up to 1",
        "parts[].draws[]": "with `--draws`: colours drawn from painted surfaces at large",
        "parts[].lab": "mean of those that remain, over painted surfaces at large",
        "parts[].covariance[]": "their covariance, 3 × 3",
        "parts[].notes[]": "what else was weighed, and what to mind",
        "warnings[]": "on pictures and anchors",
    },
    "scheme": {
        "kit": "the title",
        "edition.version": "of this edition",
        "edition.stage": "draft, trial or settled",
        "edition.date": "its date, or null",
        "parts[].part": "id",
        "parts[].lab": "the likeliest colour; null where nothing is known",
        "parts[].hex": "the nearest sRGB colour, or null",
        "parts[].name": "in words, or null",
        "parts[].radius90": "the CIEDE2000 radius that holds the true colour nine times in ten, or null",
        "parts[].basis": "colour, grey, hint, decision or none",
        "parts[].conflict": "true where evidence disagrees by more than its uncertainties allow",
        "parts[].evidence[].reference": "the reference's id, or a hint's source",
        "parts[].evidence[].lab": "what it alone says",
        "parts[].evidence[].radius90": "how surely",
        "parts[].evidence[].weight": "what it counted for, 0 to 1",
        "parts[].evidence[].kind": "colour, grey or hint",
        "parts[].evidence[].notes[]": "why, and what was noticed",
        "parts[].notes[]": "on the part",
        "parts[].covariance[]": "3 × 3 in Lab, or null",
        **_paints("parts[].paints"),
        **_mixes("parts[].mixes"),
        "parts[].under_light": "null where the kit's light is D65; else what looks nearest under it",
        "parts[].under_light.light": "the kit's light: a name, or kelvins",
        **_paints("parts[].under_light.paints"),
        **_mixes("parts[].under_light.mixes"),
        "kits[].kit": "of several kits: the kit as it was named …",
        "kits[].scheme": "… its answer, as above, or null …",
        "kits[].problem": "… and what is wrong with it, or null",
    },
    "match": {
        "matches[].id": "the colour's id in FILE.csv, or as it was given",
        "matches[].lab": "the colour",
        "matches[].hex": "the nearest sRGB colour",
        "matches[].name": "in words",
        **_paints("matches[].paints"),
        "matches[].paints[].under_light": "with `--light`: the CIEDE2000 under it, by which they are ordered",
    },
    "mix": {
        "recipes[].id": "as for match",
        "recipes[].lab": "the colour asked for",
        **_mixes("recipes[].mixes"),
        "recipes[].mixes[].expected_error": "CIEDE2000 by which the real mixture may miss the prediction",
        "recipes[].mixes[].one_drop_off": "CIEDE2000 by which the colour moves at most if one drop is off",
        "recipes[].mixes[].drops[].ml": "with `--ml`: that in millilitres",
        "recipes[].mixes[].same_paints": "true where a recipe before it is of the same paints",
        "recipes[].mixes[].surest": "true for the one that should be nearest once it is mixed",
        "recipes[].mixes[].fewer": "of three paints and more; null of fewer …",
        "recipes[].mixes[].fewer.without": "… the paint that can best be missed …",
        "recipes[].mixes[].fewer.difference": "… and how far off the best mixture of the others is",
        "recipes[].mixes[].lights[].light": "under `--light` first, then under lamps: its name …",
        "recipes[].mixes[].lights[].difference": "… CIEDE2000 from the colour asked for there …",
        "recipes[].mixes[].lights[].low": "… as reflectances are often not known, nine times in ten above …",
        "recipes[].mixes[].lights[].high": "… and below …",
        "recipes[].mixes[].lights[].parts": "… and whether a match under the first is none here",
        "recipes[].why": "why the best recipe stays more than 3 off, or null",
        "recipes[].straight": "the nearest metallic or fluorescent paint, which is in no mixture, or null …",
        "recipes[].straight.swatch": "… its id …",
        "recipes[].straight.kind": "… metallic or fluorescent …",
        "recipes[].straight.difference": "… and CIEDE2000 from the colour asked for",
        "recipes[].left_out": "the paint of the list that is nearer but not used, or null …",
        "recipes[].left_out.swatch": "… its id …",
        "recipes[].left_out.name": "… its name …",
        "recipes[].left_out.why": "… not owned or retired …",
        "recipes[].left_out.difference": "… and CIEDE2000 from the colour asked for",
    },
    "add": {
        "references[].id": "of the entry made",
        "references[].file": "the copy, seen from the kit's folder",
        "references[].width": "pixels, upright",
        "references[].height": "pixels, upright",
        "references[].year": "read from the file; null where it says none",
        "references[].tone": "colour or grey",
    },
    "basket": {
        "tolerance": "that of the kit",
        "owned[]": "ids of paints that count as owned",
        "buy[].swatch": "id of a paint to buy",
        "buy[].name": "its name",
        "buy[].range": "its range",
        "buy[].price": "of a pot, or null",
        "price": "of all of them, or null",
        "within": "how many parts should come within the tolerance, a mixture's likely error counted",
        "likely": "the same number",
        "parts[].part": "id",
        "parts[].lab": "its colour",
        "parts[].guess": "for a part inferred from grey or words, else null …",
        "parts[].guess.expected": "… the mean CIEDE2000 of the way taken from all that it may have been …",
        "parts[].guess.within": "… how likely it is that this way is a match …",
        "parts[].guess.none": "… and that none of the paints is …",
        "parts[].guess.odds[].swatch": "… and if it was one of these paints: its id …",
        "parts[].guess.odds[].probability": "… and how likely it is",
        "parts[].within": "true where it should be reached, a mixture's likely error counted",
        "parts[].difference": "CIEDE2000 of the way taken",
        "parts[].expected_error": "what a mixture may be off besides",
        "parts[].drops[].swatch": "id of a paint of that way; one paint of one drop is paint straight",
        "parts[].drops[].count": "its drops",
        "parts[].look": "metallic, fluorescent or plain where the part is to look otherwise; else null",
        "parts[].nearest": "for a part out of reach: the nearest way of all, with the keys above; else null",
        "parts[].why": "why it is out of reach, or null",
        "parts[].too_little": "true where it takes too few drops for a mixture, so a paint straight",
        "tones[].part": "id of a part that the guide gives a shade or a highlight …",
        "tones[].role": "… which of the two …",
        "tones[].lab": "… its colour …",
        "tones[].difference": "… the CIEDE2000 by which its paint is off …",
        "tones[].drops[].swatch": "… the id of a paint of it …",
        "tones[].drops[].count": "… and its drops",
        "tones_buy[].swatch": "id of a paint that only shades and highlights take, to buy …",
        "tones_buy[].name": "… its name …",
        "tones_buy[].range": "… its range …",
        "tones_buy[].price": "… and the price of a pot, or null",
        "no_colour[]": "ids of parts without a colour yet",
        "curve[].pots": "so many pots bought (`--cheapest`: for every number of parts money reaches) …",
        "curve[].buy[]": "… these …",
        "curve[].price": "… cost so much, or null …",
        "curve[].within": "… and should bring so many parts within the tolerance …",
        "curve[].likely": "… the same number",
        "curve[].worst": "the largest difference then, with that error counted, or null",
        "curve[].mean": "the mean one, likewise, or null",
        "curve[].proven": "false where the lists are too long to prove that no other choice reaches more",
        "ranges[].range": "with this range alone …",
        "ranges[].straight": "… so many parts without mixing …",
        "ranges[].within": "… so many with …",
        "ranges[].pots": "… from so many pots",
        "ranges[].proven": "whether it is certain that fewer do not; false where three of long lists mix",
        "unpriced[]": "with `--cheapest`: paints passed over, having no price",
        "unmixed": "how many paints of long lists were looked at straight, not in mixtures",
    },
    "swatches check": {
        "swatches": "how many paints were read",
        "problems[].file": "the list",
        "problems[].line": "the line, or null",
        "problems[].problem": "what is wrong, and what to do about it",
        "problems[].kind": "error or remark",
    },
    "swatches changes": {
        "added[].swatch": "id of a paint only the new list has",
        "added[].name": "its name",
        "removed[].swatch": "id of a paint only the old list has",
        "removed[].name": "its name",
        "changed[].swatch": "id of a paint both have",
        "changed[].name": "its name",
        "changed[].cells[].column": "what changed",
        "changed[].cells[].before": "from",
        "changed[].cells[].after": "to",
        "changed[].difference": "CIEDE2000 between the colours, or null",
    },
    "swatches replacements": {
        "retired[].swatch": "id of a paint that is gone",
        "retired[].name": "its name",
        "retired[].range": "its range",
        "retired[].lab": "its colour",
        **_paints("retired[].paints"),
    },
    "release": {
        "files[].file": "a file of the bundle",
        "files[].sha256": "its SHA-256",
        "files[].bytes": "its size",
    },
    "changes": {
        "from": "the version of the earlier edition",
        "to": "the version of the later one, or `now`",
        "parts[].part": "id of a part that changed",
        "parts[].old": "its colour before, or null",
        "parts[].new": "its colour after, or null",
        "parts[].difference": "CIEDE2000 between the two, or null",
        "parts[].why": "what it rests on now, where that is another",
    },
    "shelf": {
        "kits[].kit": "the kit's folder",
        "kits[].built": "whether its pages were made now; false where nothing changed",
        "kits[].problem": "what is wrong with it, or null",
        "affected[].folder": "a kit whose paint is no longer as listed (with --affected)",
        "affected[].kit": "its title",
        "affected[].part": "the part",
        "affected[].paint": "id of the paint",
        "affected[].what": "gone, renamed or reformulated",
        "affected[].now": "the paint to use now",
        "affected[].difference": "CIEDE2000 between the part's colour and that",
    },
    "swatches read": {
        "out": "the list written",
        "photos[].file": "a photograph",
        "photos[].sheet": "which sheet of the card it shows",
        "photos[].pixels_per_mm": "how large",
        "photos[].light_range": "brightest paper over darkest",
        "photos[].method": "how it was corrected, in words",
        "photos[].notes[]": "what was noticed",
        "paints[].box": "the number of the box",
        "paints[].swatch": "id of the paint",
        "paints[].name": "its name",
        "paints[].straight.lab": "its colour",
        "paints[].straight.hex": "the nearest sRGB colour",
        "paints[].straight.spread": "the CIEDE2000 radius that holds the true colour nine times in ten",
        "paints[].straight.photos": "from how many photographs",
        "paints[].straight.notes[]": "what was noticed",
        "paints[].tint": "the same for the let-down in white, or null",
        "left_out[].file": "the photograph",
        "left_out[].box": "a box that was left out",
        "left_out[].which": "straight or in white",
        "left_out[].reason": "why",
        "notes[]": "on all of it",
    },
    "guide": {
        "files[]": "the paths written",
        "kits[].kit": "of several kits: the kit as it was named …",
        "kits[].files[]": "… the paths written, or null …",
        "kits[].problem": "… and what is wrong with it, or null",
    },
    "check": {
        "parts[].part": "id; every part that a picture of the painted print shows",
        "parts[].target": "what the guide puts on the part, paint or mixture; null where it has no colour",
        "parts[].measured": "that of the print",
        "parts[].difference": "CIEDE2000 between the two",
        "parts[].tolerance": "that of the kit",
        "parts[].pass": "painted as the guide says: true, false, or null where the photograph cannot tell",
        "parts[].probability": "that the true difference is within the tolerance",
        "parts[].target_radius90": "how sure the target is: what is not known of a mixture",
        "parts[].measured_radius90": "how sure the measurement is",
        "parts[].give_or_take": "how far off, that way, a perfect match could be read, 9 times in 10",
        "parts[].change": "what to change, in words; empty but where it is a no",
        "parts[].original": "the scheme's colour, or null",
        "parts[].original_radius90": "how sure the scheme's colour is",
        "parts[].original_difference": "CIEDE2000 between that and the measurement",
        "parts[].original_pass": "the colour of the original: true, false, or null where nobody can tell",
        "parts[].basis": "of the original: as in scheme; of a decision or a guess nobody measured it",
        "parts[].notes[]": "on the measurement",
    },
}

HEAD = """# Reference

Written by `docs/make_reference.py` from the program itself; a test holds the two together.

- [Commands](#commands): what each does, its options, its JSON answer
- [kit.toml](#kittoml): every key
- [Swatch lists](#swatch-lists): every column
- [Lights](#lights), [words for colours](#words-for-colours), [from Python](#from-python)

Colours are CIELAB under D65 with the CIE 1931 2-degree observer unless it says otherwise; differences are
CIEDE2000. Pixels are counted from the top left of the upright picture. Wavelengths are nanometres,
reflectances 0 to 1.
"""

COMMANDS_HEAD = """## Commands

KIT is a kit.toml or the folder it stands in. Every command prints for people; with `--json` it prints one
JSON document on standard output and nothing else there, with `"schema": 1` in it. Progress and warnings go
to standard error.

The exit status is 0 when it is done; 2 when the command line is wrong; 1 when an input is: then standard
error has one line a problem, `error: FILE[:LINE]: what is wrong; what to do about it`, and no file is left
half written or changed.

`lab` is three numbers and never clipped; `hex` is the nearest colour that sRGB has.

Environment: `PALETTE_CACHE` names the folder for what was measured before (empty: nothing is kept);
`PALETTE_TRACEBACK=1` shows where a fault in palette itself lies; `NO_COLOR` turns the chips in the terminal
off.
"""

KIT_HEAD = """## kit.toml

Files are named from the folder of kit.toml on. A key that looks like a slip for a known one is an error; any
other is yours, and is kept and not read.
"""

LISTS_HEAD = """## Swatch lists

CSV in UTF-8 with one header row and one paint a row; commas, semicolons or tabs, decimal points or commas.
The colour is, best first: reflectances, Lab, hex. Blank cells are allowed everywhere but in the first two
columns named here, and columns that palette does not know are kept. Text in CGATS.17 / ISO 28178, as
instruments export it, is read as well.
"""

PYTHON = """## From Python

```python
import palette

palette.difference(lab_a, lab_b)        # CIEDE2000; arrays (…, 3) that broadcast -> (…)
swatches = palette.SwatchList.read("bench.csv")
swatches.nearest(lab, count=5)          # (n, 3) -> indices and differences, (n, count) each; exact
palette.mixture({"B-04": 3, "B-11": 1}, swatches)      # drops by id -> the predicted lab (3,)
palette.mixes(lab, swatches, max_paints=3, max_drops=12, count=5, surest=False)   # recipes, best first
kit = palette.Kit.read("kit.toml")
palette.scheme(kit)                     # what `palette scheme` prints, as objects
palette.InputError                      # what an input may raise; .problems has each with file and line
```

Each says in its docstring what it takes, gives and raises.
"""


def commands() -> Iterator[tuple[str, click.Command]]:
    """Every command by its full name ('swatches check'), in the order of the help."""
    for name in COMMANDS:
        command = import_module(f"palette.commands.{name}").command
        yield name, command
        if isinstance(command, click.Group):
            for inner in command.list_commands(click.Context(command)):
                yield f"{name} {inner}", command.commands[inner]


def options(command: click.Command) -> list[click.Option]:
    """The options of a command, without --help."""
    return [parameter for parameter in command.params if isinstance(parameter, click.Option)]


def _cell(text: str) -> str:
    return " ".join(text.replace("|", "\\|").split())


def _table(head: str, rows: Iterator[tuple[str, str]] | list[tuple[str, str]]) -> list[str]:
    lines = [f"| {head} | |", "| --- | --- |"]
    return [*lines, *(f"| {_cell(name)} | {_cell(text)} |" for name, text in rows), ""]


def _option(option: click.Option, context: click.Context) -> tuple[str, str]:
    record = option.get_help_record(context)
    assert record is not None
    names, text = record
    return f"`{names}`", text


def _command(name: str, command: click.Command) -> list[str]:
    context = click.Context(command, info_name=f"palette {name}")
    usage = command.get_usage(context).removeprefix("Usage: ")
    lines = [f"### palette {name}", "", "```text", " ".join(usage.split()), "```", ""]
    for paragraph in (command.help or "").replace("\f", "").split("\n\n"):
        if "\b" in paragraph:
            lines += ["```sh", *_unindented(paragraph.replace("\b", "").strip("\n").split("\n")), "```", ""]
        else:
            lines += [" ".join(paragraph.split()), ""]
    if options(command):
        lines += _table("option", [_option(option, context) for option in options(command)])
    if name in ANSWERS:
        lines += _table("JSON answer", [(f"`{path}`", text) for path, text in ANSWERS[name].items()])
    return lines


def _unindented(lines: list[str]) -> list[str]:
    """The lines of an example without its heading and its indent."""
    return [line.strip() for line in lines if line.strip() and not line.strip().startswith("Example")]


def reference() -> str:
    """The text of reference.md."""
    from palette.colour.spectra import light_names
    from palette.colour.spoken import known_words
    from palette.kit.read import known_keys
    from palette.swatches.columns import KNOWN

    entries = dict(commands())
    lines = [HEAD, COMMANDS_HEAD]
    for title, members in SECTIONS.items():
        lines += [f"**{title}:** " + ", ".join(f"[{name}](#palette-{name})" for name in members) + "  "]
    lines += [""]
    for name, command in entries.items():
        lines += _command(name, command)
    lines += [KIT_HEAD]
    for table, keys in sorted(known_keys().items(), key=lambda item: list(TABLES).index(item[0])):
        order = {key: i for i, key in enumerate(KEYS[table])}
        rows = [(f"`{key}`", KEYS[table][key]) for key in sorted(keys, key=order.__getitem__)]
        lines += [f"### {TABLES[table]}", "", *_table("key", rows)]
    known = sorted(KNOWN, key=list(COLUMNS).index)
    columns = {column: COLUMNS[column] for column in known} | SPECTRA
    rows = [(f"`{column}`", text) for column, text in columns.items()]
    lines += [LISTS_HEAD, *_table("column", rows)]
    lines += ["## Lights", "", "The names that `light` takes, of CIE 15 and ISO 7589:", ""]
    lines += [", ".join(f"`{name}`" for name in light_names()) + ".", ""]
    lines += [
        "## Words for colours",
        "",
        "What a hint may be made of; they combine, as in `dark greyish green`:",
    ]
    lines += ["", ", ".join(known_words()) + ".", "", PYTHON]
    return "\n".join(lines)


if __name__ == "__main__":
    from palette.files import replace_whole

    replace_whole(OUT, reference())
    print(f"{OUT}: {len(dict(commands()))} commands")
