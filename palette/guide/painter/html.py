"""The web edition: one HTML file, no network; its own small script ticks steps off and matches a reader's
paints.

Without scripts it reads as it is.
"""

from __future__ import annotations

import json
from base64 import b64encode
from hashlib import sha256
from importlib.resources import files
from math import isfinite
from typing import Any

from palette.colour.adaptation import bradford
from palette.colour.scales import Visibility
from palette.colour.spaces import D65_XYZ, SRGB_TO_XYZ, XYZ_TO_SRGB
from palette.colour.spectra import light_names, tristimulus
from palette.guide.chips import SEEN
from palette.guide.html import template
from palette.guide.painter.content import Guide
from palette.swatches.kinds import SIGNS
from palette.typeset import colours_script


def render(guide: Guide) -> str:
    """The page. Every text is escaped by the template engine; pictures travel inside the file."""
    script = colours_script() + files("palette.guide.painter").joinpath("guide.js").read_text("utf-8")
    return template("palette.guide.painter", "guide.html").render(
        guide=guide,
        t=guide.labels,
        pictures=[_data_address(picture) for picture in guide.pictures],
        script=script,
        script_hash=b64encode(sha256(script.encode()).digest()).decode("ascii"),
        data=_json(guide),
        target={(t.number, t.role): index for index, t in enumerate(guide.targets)},
    )


def _data_address(picture: bytes) -> str:
    kind = "png" if picture[:4] == b"\x89PNG" else "jpeg"
    return f"data:image/{kind};base64," + b64encode(picture).decode("ascii")


def _json(guide: Guide) -> str:
    """What the script works with, safe inside a script element."""
    weights, white = tristimulus("D65")
    t = guide.labels
    document: dict[str, Any] = {
        "edition": f"{guide.title} / {guide.edition}",
        "targets": [{"lab": list(target.lab), "metallic": target.metallic} for target in guide.targets],
        "srgb": SRGB_TO_XYZ.tolist(),
        "xyzToSrgb": XYZ_TO_SRGB.tolist(),
        "white": D65_XYZ.tolist(),
        "weights": weights.tolist(),
        "weightsWhite": white.tolist(),
        "lights": {
            name.casefold(): {"white": of.tolist(), "toDay": bradford(of, white).tolist()}
            for name, of in ((name, tristimulus(name)[1]) for name in light_names())
        },
        "kinds": SIGNS,
        "words": {
            "none": t["own-none"],
            "nearest": t["own-nearest"],
            "off": t["own-off"],
            "done": t["own-done"],
            "paints": t["own-paints-count"],
            "skipped": t["own-skipped"],
            "lines": t["own-lines"],
            "export": t["own-export"],
            "why": {why: t[f"own-why-{why}"] for why in ("retired", "id", "light", "colour")},
            "progress": t["progress"],
            "encoding": t["own-encoding"],
            "lacks": t["own-lacks"],
        },
        "seen": [
            [limit if isfinite(limit) else None, t[f"seen-{key}"]]
            for limit, key in zip((step.value for step in Visibility), SEEN, strict=True)
        ],
    }
    # JSON in HTML: nothing that could end the element or begin a comment
    return json.dumps(document).replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
