"""The demo's kit.toml, with the rectangles that the finished pictures show."""

from __future__ import annotations

import numpy as np

Rects = dict[str, dict[str, list[int]]]

HEAD = """\
# The demo kit: a tramcar of an invented small town, from six surviving pictures.
# Everything here is made up, and drawn by the program in making/.
schema = 1

[kit]
title     = "Marrow Bay Tramways car 7"
maker     = "Quayside Card & Resin"
stage     = "draft"
version   = "0.2"
scale     = "1:35"
licence   = "CC-BY-NC-SA-4.0"
swatches  = ["swatches/bench.csv", "swatches/depot.csv"]
light     = "D65"
tolerance = 3.0

# --- parts: what is painted ------------------------------------------------

[[part]]
id       = "roof"
name     = "Roof and clerestory canvas"
mesh     = "meshes/roof.stl"
finish   = "matt"
area_cm2 = 96.0

  [[part.than]]
  lighter = "destination"   # the boxes stand against the roof, and are plainly darker

[[part]]
id       = "upper"
name     = "Window pillars and letter board"
mesh     = "meshes/upper.stl"
finish   = "satin"
area_cm2 = 58.0

[[part]]
id       = "waist"
name     = "Waist panels"
mesh     = "meshes/waist.stl"
finish   = "gloss"
area_cm2 = 41.0
after    = ["upper"]

[[part]]
id       = "dash"
name     = "Dashes, both ends"
mesh     = "meshes/dash.stl"
finish   = "gloss"
area_cm2 = 22.0
same_as  = "waist"          # one paint: the depot book lists them together
after    = ["upper"]

[[part]]
id       = "lining"
name     = "Lining and the number 7"
mesh     = "meshes/lining.stl"
finish   = "satin"
area_cm2 = 3.0
after    = ["waist", "dash"]
colour   = { swatch = "B-42" }
why      = "too thin to measure; the depot book says 'harvest gold lines', and this paint is near it"

[[part]]
id       = "rocker"
name     = "Rocker panels"
mesh     = "meshes/rocker.stl"
finish   = "satin"
area_cm2 = 18.0

[[part]]
id       = "truck"
name     = "Truck, axle boxes and springs"
mesh     = "meshes/truck.stl"
finish   = "matt"
area_cm2 = 47.0

[[part]]
id       = "fender"
name     = "Fenders"
mesh     = "meshes/fender.stl"
finish   = "satin"
area_cm2 = 6.0

  [[part.hint]]
  words  = "bright red"
  source = "a conductor's daughter, interviewed 1994"
  trust  = 0.6

[[part]]
id       = "lifeguard"
name     = "Lifeguard slats"
mesh     = "meshes/lifeguard.stl"
finish   = "matt"
area_cm2 = 14.0

  [[part.hint]]
  words  = "dull green"
  source = "paint shop foreman's letter, 1961"
  trust  = 0.5

[[part]]
id       = "destination"
name     = "Destination boxes"
mesh     = "meshes/destination.stl"
finish   = "satin"
area_cm2 = 9.0

[[part]]
id       = "floor"
name     = "Platforms and steps"
mesh     = "meshes/floor.stl"
finish   = "matt"
area_cm2 = 26.0

[[part]]
id       = "rails"
name     = "Dash rails"
finish   = "metallic"       # brass on the car, printed on the model
mesh     = "meshes/rails.stl"
area_cm2 = 4.0
after    = ["dash"]

[[part]]
id       = "lamp"
name     = "Headlamp cases"
finish   = "satin"
mesh     = "meshes/lamp.stl"
area_cm2 = 2.0
after    = ["dash"]

[[part]]
id       = "trolley"
name     = "Trolley pole, plank and spring case"
finish   = "matt"
mesh     = "meshes/trolley.stl"
area_cm2 = 5.0
after    = ["roof"]

[[part]]
id       = "poles"
name     = "Platform poles"
finish   = "bare"           # brass wire, left bright
mesh     = "meshes/poles.stl"
area_cm2 = 3.0

[[part]]
id       = "lens"
name     = "Headlamps"
finish   = "lit"
mesh     = "meshes/lens.stl"
area_cm2 = 0.5
colour   = { hex = "#ffd89a" }
why      = "the lamps burnt oil: a flame's colour"

[[part]]
id       = "glass"
name     = "Windows"
finish   = "clear"
mesh     = "meshes/glass.stl"
area_cm2 = 38.0

# --- references: what survives ---------------------------------------------
"""

# what each picture is, and which surfaces in it are anchors or samples
PICTURES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    (
        "depot-slide",
        """\
kind     = "photograph"
light    = "ISO 7589 Studio Tungsten"   # depot lamps, on daylight film
year     = 1958
licence  = "CC-BY-4.0"
credit   = "M. Orrin collection"
""",
        ("upper", "waist", "roof", "rocker", "rails", "lamp", "trolley"),
    ),
    (
        "museum",
        """\
kind     = "object"
year     = 2024
licence  = "CC-BY-4.0"
credit   = "Marrow Bay Museum, photographed by the maker with a grey card"
trust    = 0.95             # done up in 1987, the waist from memory
""",
        ("upper", "waist", "roof", "truck", "floor", "rocker", "rails", "lamp", "trolley"),
    ),
    (
        "press",
        """\
kind     = "photograph"
tone     = "grey"
response = "panchromatic"
light    = 5500
uneven   = 0.12
year     = 1956
licence  = "all rights reserved"
print    = false            # the Courier lets the maker look, not print
credit   = "Marrow Bay Courier, print in the town library"
""",
        ("roof", "waist", "upper", "truck", "fender", "lifeguard", "destination", "trolley"),
    ),
    (
        "plate",
        """\
kind     = "photograph"
tone     = "grey"
response = "orthochromatic"
light    = 6000
uneven   = 0.12
year     = 1938
licence  = "public domain"
credit   = "glass plate, Hollis & Son, found in the depot loft"
""",
        ("dash", "upper", "fender", "lifeguard", "destination"),
    ),
    (
        "postcard",
        """\
kind     = "artwork"        # a hand-coloured postcard: a source, but not a good one
year     = 1959
licence  = "public domain"
credit   = "postcard, publisher unknown"
trust    = 0.3
""",
        ("upper", "waist", "roof", "rocker"),
    ),
    (
        "test-print",
        """\
kind     = "photograph"
subject  = "painted"        # the first test print, for `palette check`
year     = 2026
licence  = "CC-BY-4.0"
credit   = "the maker"
""",
        ("roof", "upper", "waist", "rocker", "truck", "floor", "rails", "lamp"),
    ),
)

CARDS = {
    "card-grey": ('{ munsell = "N 5/" }', "the grey card"),
    "card-white": ("{ lab = [95.2, 0.0, 0.0] }", "the white card beside it"),
}


# The roof's end faces the way the sign and the cards do; its top catches more light than they.
BY_HAND: Rects = {
    "depot-slide": {"roof": [1030, 223, 55, 16]},
    "museum": {"roof": [263, 224, 40, 11]},
    "test-print": {"roof": [1058, 241, 50, 22]},
}


def kit_text(rects: Rects, enamel: dict[str, np.ndarray]) -> str:
    """kit.toml as the demo ships it; `enamel` is the measured Lab of the stop sign's colours."""
    out = [HEAD]
    said = False
    for id, facts, samples in PICTURES:
        places = rects[id] | BY_HAND.get(id, {})
        out.append(f'\n[[reference]]\nid       = "{id}"\nfile     = "references/{id}.jpg"\n{facts}')
        for surface, rect in places.items():
            if surface in enamel:
                lab = ", ".join(f"{v:.2f}" for v in enamel[surface])
                colour, words = f"{{ lab = [{lab}] }}", surface.split("-")[1] + " of the stop sign"
            elif surface in CARDS:
                colour, words = CARDS[surface]
            else:
                continue
            if surface in enamel and not said:
                words += ": the enamel sign still hangs in the museum, and was measured there"
                said = True
            out.append(f"\n  [[reference.anchor]]        # {words}\n  rect   = {rect}\n  colour = {colour}\n")
        for part in samples:
            out.append(f'\n  [[reference.sample]]\n  part = "{part}"\n  rect = {places[part]}\n')
    return "".join(out)
