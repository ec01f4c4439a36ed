"""The two invented ranges of paint, written as swatch lists."""

from __future__ import annotations

import csv
import io

import numpy as np

from palette.colour.spaces import lab_to_hex
from palette.colour.spectra import reflectance_to_lab
from swatches_demo.making.pigments import NM, opacity, reflectance, tint

Recipe = dict[str, float]

# What a colour family is mixed from: (main pigment and its company, five names from strong to pale and dull)
BENCH: list[tuple[Recipe, tuple[str, ...]]] = [
    ({"vermilion": 1}, ("Flagman red", "Buffer beam red", "Boathouse pink", "Ferry brick", "Old ensign")),
    (
        {"crimson": 1, "oxide": 0.6},
        ("Terminus crimson", "Winter berry", "Shell rose", "Garnet plush", "Marrow maroon"),
    ),
    ({"oxide": 1}, ("Red lead ground", "Kiln red", "Washed tile", "Chandler's brown", "Rust shed")),
    (
        {"orange": 1, "vermilion": 0.25},
        ("Lifebelt orange", "Signal ember", "Apricot awning", "Burnt rope", "Net tan"),
    ),
    ({"yellow": 1}, ("Fog bell yellow", "Mustard plate", "Primrose blind", "Lichen gold", "Gorse shade")),
    ({"ochre": 1}, ("Sandbar ochre", "Lining ochre", "Biscuit tin", "Wet sand", "Tarred sail")),
    (
        {"ochre": 0.6, "yellow": 0.5},
        ("Straw boater", "Harvest gold", "Custard cream", "Barley dust", "Olive oilskin"),
    ),
    ({"umber": 1}, ("Footboard umber", "Cocoa sack", "Mushroom grey", "Peat", "Bollard brown")),
    ({"chrome-green": 1}, ("Promenade green", "Bench slat green", "Mint ice", "Kelp", "Hedge shadow")),
    (
        {"chrome-green": 0.8, "ochre": 0.7},
        ("Marsh green", "Reed bed", "Samphire", "Dune grass", "Oilcloth green"),
    ),
    ({"sea-green": 1}, ("Bottle deep", "Verdigris rail", "Sea glass", "Mooring green", "Undertow")),
    ({"sky-blue": 1}, ("Regatta blue", "Awning blue", "Shallow water", "Slate sea", "Night ferry")),
    ({"ultramarine": 1}, ("Enamel blue", "Conductor's serge", "Forget-me-not", "Storm blue", "Pilot navy")),
    ({"violet": 1, "crimson": 0.3}, ("Heather", "Sea holly", "Lavender bag", "Mussel", "Dusk")),
]
DEPOT: list[tuple[Recipe, tuple[str, ...]]] = [
    ({"vermilion": 0.8, "orange": 0.3}, ("Fire point red", "Poppy", "Coral", "Brick lane", "Bull's blood")),
    (
        {"crimson": 1, "vermilion": 0.5, "umber": 0.3},
        ("Claret", "Plum jam", "Dog rose", "Oxblood", "Mahogany stain"),
    ),
    ({"oxide": 0.8, "ochre": 0.5}, ("Terracotta", "Flowerpot", "Peach stone", "Saddle", "Chestnut")),
    ({"yellow": 0.9, "orange": 0.3}, ("Marigold", "Brass band", "Apricot jam", "Tobacco", "Treacle")),
    ({"yellow": 1, "chrome-green": 0.08}, ("Lemon peel", "Canary", "Cream soda", "Pickle", "Moss")),
    ({"ochre": 1, "umber": 0.15}, ("Hessian", "Old ivory", "Clotted cream", "Fawn", "Bracken")),
    ({"umber": 1, "oxide": 0.4}, ("Tea chest", "Hazel", "Oatmeal", "Walnut", "Bitter chocolate")),
    ({"chrome-green": 0.9, "sea-green": 0.15}, ("Park gate green", "Apple", "Pistachio", "Laurel", "Spruce")),
    ({"sea-green": 0.7, "sky-blue": 0.4}, ("Kingfisher", "Duck egg", "Ice house", "Petrol", "Deep mine")),
    (
        {"sky-blue": 0.6, "ultramarine": 0.5},
        ("Ticket blue", "Cornflower", "Powder", "Overall blue", "Midnight shift"),
    ),
    ({"ultramarine": 0.9, "violet": 0.2}, ("Royal mile", "Iris", "Hyacinth", "Ink", "Blue black")),
    ({"violet": 1}, ("Damson", "Thistle", "Lilac wall", "Fig", "Aubergine")),
]
# strong, let down a little, pale, dulled with umber and white, shaded with black:
# the volumes added to 1 of the family
VARIANTS: tuple[Recipe, ...] = (
    {},
    {"white": 0.7},
    {"white": 7.0},
    {"white": 0.5, "umber": 0.45},
    {"black": 0.12, "umber": 0.1},
)
BENCH_GREYS: dict[str, Recipe] = {
    "Tram white": {"white": 1},
    "Ivory panel": {"white": 1, "ochre": 0.045, "yellow": 0.012},
    "Sailcloth": {"white": 1, "ochre": 0.10, "umber": 0.012},
    "Gull grey": {"white": 1, "black": 0.02, "umber": 0.01},
    "Roof canvas": {"white": 1, "black": 0.04, "ochre": 0.08},
    "Granite sett": {"white": 1, "black": 0.11, "umber": 0.05},
    "Truck grey": {"white": 0.5, "black": 0.16, "umber": 0.15},
    "Wet slate": {"white": 0.5, "black": 0.22, "ultramarine": 0.06},
    "Axle grease": {"black": 1, "umber": 1.2, "white": 0.06},
    "Lamp black": {"black": 1},
}
DEPOT_GREYS: dict[str, Recipe] = {
    "Whitewash": {"white": 1, "ochre": 0.006},
    "Bone": {"white": 1, "ochre": 0.06, "umber": 0.02},
    "Steam": {"white": 1, "black": 0.012, "sky-blue": 0.004},
    "Pewter": {"white": 1, "black": 0.07},
    "Lead flashing": {"white": 1, "black": 0.15, "sky-blue": 0.02},
    "Cinder": {"white": 0.4, "black": 0.25, "umber": 0.1},
    "Soot": {"black": 1, "umber": 0.4},
}
METALLICS = (("Brass rail", "#a98a4e"), ("Bright steel", "#a3a6a8"), ("Gun bronze", "#6f5a44"))
RETIRED = {"Old ensign", "Awning blue", "Samphire", "Reed bed"}


def _add(family: Recipe, variant: Recipe) -> Recipe:
    scale = sum(family.values())
    mixed = {pigment: volume / scale for pigment, volume in family.items()}
    for pigment, volume in variant.items():
        mixed[pigment] = mixed.get(pigment, 0.0) + volume
    return mixed


def recipes(families: list[tuple[Recipe, tuple[str, ...]]], greys: dict[str, Recipe]) -> dict[str, Recipe]:
    """Every mixable paint of a range: name -> what it is made of."""
    made = {n: _add(family, v) for family, names in families for n, v in zip(names, VARIANTS, strict=True)}
    return greys | made


def bench_recipes() -> dict[str, Recipe]:
    return recipes(BENCH, BENCH_GREYS)


def _cells(values: np.ndarray, digits: int) -> list[str]:
    return [f"{v:.{digits}f}" for v in values]


def bench_csv() -> str:
    """The maker's own bench: measured reflectances, and a let-down in white of most paints."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    bands = [f"nm{int(nm)}" for nm in NM]
    writer.writerow(
        [
            "id",
            "name",
            "range",
            "finish",
            "opacity",
            "owned",
            "retired",
            "volume_ml",
            "price",
            "source",
            "notes",
            *bands,
            "tint_l",
            "tint_a",
            "tint_b",
            "tint_share",
            "tint_white",
        ]
    )
    made = bench_recipes()
    rng = np.random.default_rng(41)
    white_id = f"B-{list(made).index('Tram white') + 1:02d}"
    for number, (name, recipe) in enumerate(made.items(), 1):
        id = f"B-{number:02d}"
        owned = (
            "yes" if rng.random() < 0.55 or id == white_id or name in ("Lamp black", "Ivory panel") else "no"
        )
        tinted = ["", "", "", "", ""]
        if id != white_id and recipe.get("white", 0) / sum(recipe.values()) < 0.6:
            lab = reflectance_to_lab(tint(recipe))
            tinted = [*_cells(lab, 2), "0.10", white_id]
        writer.writerow(
            [
                id,
                name,
                "Quayside Bench",
                "matt",
                f"{opacity(recipe):.2f}",
                owned,
                "yes" if name in RETIRED else "no",
                "17",
                "3.10",
                "read on the bench",
                "",
                *_cells(reflectance(recipe), 4),
                *tinted,
            ]
        )
    for number, (name, _) in enumerate(METALLICS, len(made) + 1):
        writer.writerow(
            [
                f"B-{number:02d}",
                name,
                "Quayside Bench",
                "metallic",
                "0.95",
                "no",
                "no",
                "17",
                "3.60",
                "by eye",
                "not for mixing",
            ]
        )
    text = out.getvalue().splitlines()
    # metallics are known by eye only: a hex column at the end carries them
    head, *rows = text
    count = head.count(",") + 1
    lines = [head + ",hex"]
    for row in rows:
        cells = row.split(",")
        colour = next((c for n, c in METALLICS if cells[1] == n), "")
        lines.append(",".join(cells + [""] * (count - len(cells)) + [colour]))
    return "\n".join(lines) + "\n"


def depot_csv() -> str:
    """A range sold in town, known by Lab; some by the maker's card alone (hex)."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        [
            "id",
            "name",
            "range",
            "finish",
            "opacity",
            "owned",
            "volume_ml",
            "price",
            "lab_l",
            "lab_a",
            "lab_b",
            "hex",
            "notes",
        ]
    )
    made = recipes(DEPOT, DEPOT_GREYS)
    rng = np.random.default_rng(42)
    for number, (name, recipe) in enumerate(made.items(), 1):
        lab = reflectance_to_lab(reflectance(recipe))
        owned = "yes" if rng.random() < 0.2 else "no"
        by_card = number % 9 == 0
        colour = ["", "", "", lab_to_hex(lab)] if by_card else [*_cells(lab, 2), ""]
        finish = "gloss" if number % 4 == 0 else "satin"
        writer.writerow(
            [
                f"D{number:03d}",
                name,
                "Depot Enamels",
                finish,
                f"{opacity(recipe):.2f}",
                owned,
                "14",
                "2.40",
                *colour,
                "from the colour card" if by_card else "",
            ]
        )
    return out.getvalue()
