"""The pages of a shelf: a first page that searches all kits, lists to read without scripts, and a feed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from palette.files import read_text
from palette.guide.html import template
from palette.typeset import colours_script

SHOWN = 60  # kits on the first page, and on each list


def front(kits: Sequence[dict[str, Any]], address: str = "") -> dict[str, str]:
    """The files that tell of all kits, by name; `kits` newest first."""
    here = files("palette.shelf").joinpath("templates")
    page = template("palette.shelf", "templates/index.html")
    count = max(1, -(-len(kits) // SHOWN))
    made = {}
    for number in range(count):
        name = "index.html" if number == 0 else f"list-{number + 1}.html"
        made[name] = page.render(
            kits=kits[number * SHOWN : (number + 1) * SHOWN],
            number=number + 1,
            count=count,
            total=len(kits),
            stages=sorted({kit["stage"] for kit in kits}),
            scales=sorted({kit["scale"] for kit in kits if kit["scale"]}),
            feed=bool(kits),
            since=since,
            guesses=guesses,
        )
    made["shelf.css"] = here.joinpath("shelf.css").read_text("utf-8")
    made["shelf.js"] = colours_script() + here.joinpath("shelf.js").read_text("utf-8")
    made["shelf-data.js"] = f"window.shelfKits = {_data(kits)};\n"
    made["feed.xml"] = _feed(kits, address)
    return made


def about_page(title: str, readme: Path) -> str:
    """The maker's words, from Markdown; what is HTML in them shows as text."""
    from markdown_it import MarkdownIt
    from markupsafe import Markup

    text = MarkdownIt("commonmark", {"html": False}).disable("image").render(read_text(readme))
    return template("palette.shelf", "templates/about.html").render(title=title, text=Markup(text))


def since(kit: dict[str, Any]) -> str:
    """That a settled kit is no longer as it was let out; '' where it is."""
    if kit.get("since") is None:
        return ""
    version, count = kit["since"]
    return f"Changed since edition {version}: {count} colour{'' if count == 1 else 's'}."


def guesses(kit: dict[str, Any]) -> str:
    """How many of its colours are guesses; '' where none is."""
    count, total = sum(part["guess"] for part in kit["parts"]), len(kit["parts"])
    return f"{count} of {total} colours {'is a guess' if count == 1 else 'are guesses'}." if count else ""


def _data(kits: Sequence[dict[str, Any]]) -> str:
    """What the page's script searches; safe within a script."""
    rows = [
        {
            "slug": kit["slug"],
            "title": kit["title"],
            "maker": kit["maker"],
            "stage": kit["stage"],
            "version": kit["version"],
            "date": kit["date"],
            "scale": kit["scale"],
            "picture": kit["picture"],
            "about": kit["about"],
            "tolerance": kit["tolerance"],
            "affected": len(kit["affected"]),
            "since": since(kit),
            "guesses": guesses(kit),
            "parts": [[p["name"], p["words"], p["hex"], p["lab"], p["metallic"]] for p in kit["parts"]],
            "paints": [f"{code} {name}" for code, (name, _) in kit["paints"].items()],
        }
        for kit in kits
    ]
    text = json.dumps(rows, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _feed(kits: Sequence[dict[str, Any]], address: str) -> str:
    """New editions as an Atom feed (RFC 4287)."""
    base = address.rstrip("/") + "/" if address else ""
    updated = max((kit["date"] for kit in kits), default="1980-01-01")
    lines = [
        '<?xml version="1.0" encoding="utf-8"?>',
        '<feed xmlns="http://www.w3.org/2005/Atom">',
        "<title>New editions of kits</title>",
        f"<id>{escape(base or 'urn:x-palette:shelf')}</id>",
        f"<updated>{updated}T00:00:00Z</updated>",
        "<author><name>palette</name></author>",
    ]
    if base:
        lines.append(f'<link rel="self" href={quoteattr(base + "feed.xml")}/>')
    for kit in kits:
        version = f" {kit['version']}" if kit["version"] else ""
        colours = [part["words"] for part in kit["parts"] if part["lab"]]
        lines += [
            "<entry>",
            f"<title>{escape(_clean(kit['title'] + version))}</title>",
            f"<id>urn:x-palette:{escape(kit['slug'])}:{kit['digest']}</id>",
            f"<updated>{kit['date']}T00:00:00Z</updated>",
            f"<link href={quoteattr(base + 'kits/' + kit['slug'] + '/index.html')}/>",
            f"<summary>{escape(_clean(', '.join(colours)))}</summary>",
            "</entry>",
        ]
    return "\n".join([*lines, "</feed>", ""])


def _clean(text: str) -> str:
    """A text without characters that XML cannot hold."""
    return "".join(c for c in text if c >= " " or c in "\t\n")
