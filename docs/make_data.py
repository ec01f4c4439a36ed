"""Write docs/data.md: every file of data that palette ships, where it is from, and under which terms.

    python docs/make_data.py

A new file of data needs its entry in FILES below; a test fails until it has one, and when a file is no longer
the one whose digest stands in the table.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parent.parent
PAGE = Path(__file__).with_name("data.md")
# Text, code and pages are not data, nor what a licence or a list of digests says of what stands beside it.
NO_DATA = {".py", ".typ", ".html", ".js", ".css", ".md", ".j2", ".ftl", ".typed", ".svg", ".pyc"}
VENDORED = "palette/desk/static/vendor"

CIE = "published figures of the CIE and ISO, as colour-science 0.4.7 tabulates them (BSD-3-Clause)"
OWN = "our own work (MIT)"
LEARNT = "learnt from sets that colour-science 0.4.7 carries (BSD-3-Clause)"
COLOUR = "`palette/colour/data/make.py`"


class Entry(NamedTuple):
    file: str  # from the root; a folder stands for all that is in it
    what: str
    source: str
    terms: str
    made: str


FILES = (
    Entry("palette/colour/data/observer.csv", "CIE 1931 2-degree observer", "CIE 15:2018", CIE, COLOUR),
    Entry(
        "palette/colour/data/illuminants.csv", "lights", "CIE 15:2018, CIE 224:2017, ISO 7589", CIE, COLOUR
    ),
    Entry("palette/colour/data/daylight.csv", "the components of daylight", "CIE 15:2018", CIE, COLOUR),
    Entry(
        "palette/colour/data/surfaces.csv",
        "the limits of real surface colours",
        "Pointer, Color Research and Application 5 (1980) 145",
        "published figures, as colour-science 0.4.7 tabulates them (BSD-3-Clause)",
        COLOUR,
    ),
    Entry(
        "palette/colour/data/iscc_nbs.csv",
        "the 267 ISCC-NBS centroid colours",
        "Kelly & Judd, NBS Special Publication 440 (1976), from memory; some are our own and marked so",
        "a work of the US government, in the public domain; ours MIT",
        "by hand",
    ),
    Entry(
        "palette/colour/data/words.csv",
        "where the colours of each name lie",
        "worked out from the centroids and the limits above",
        OWN,
        "`palette/colour/data/make_words.py`",
    ),
    Entry(
        "palette/colour/data/survey.csv",
        "what people call colours",
        "the colour survey whose results matplotlib ships (XKCD_COLORS)",
        "public domain (CC0)",
        "`palette/colour/data/make_names.py`",
    ),
    Entry(
        "palette/colour/data/dictionary.csv",
        "old dictionaries' names as ISCC-NBS names",
        "Kelly & Judd, NBS Special Publication 440 (1976), by the table in Debian's libcolor-library-perl",
        "a work of the US government, in the public domain; the package under Artistic or GPL",
        "`palette/colour/data/make_names.py`",
    ),
    Entry("palette/colour/data/fillers.csv", "words that say nothing of a colour", "ours", OWN, "by hand"),
    Entry(
        "palette/colour/data/modifiers.csv",
        "where pale, dark, vivid and the like lie",
        "the ISCC-NBS system (SP 440), from memory; widths ours",
        "public domain; ours MIT",
        "by hand",
    ),
    Entry("palette/colour/data/near_hues.csv", "hues that are taken for each other", "ours", OWN, "by hand"),
    Entry("palette/colour/data/same_words.csv", "words of one meaning", "ours", OWN, "by hand"),
    Entry(
        "palette/colour/data/trade_words.csv",
        "the trade's words as ISCC-NBS names",
        "ours, from memory",
        OWN,
        "by hand",
    ),
    Entry(
        "palette/colour/data/panchromatic_negative.csv",
        "how a 250-speed black-and-white camera negative saw the spectrum",
        "digitised from its maker's data sheet (type 5222/7222)",
        "figures read off a published curve; ours MIT",
        "by hand",
    ),
    Entry(
        "palette/colour/data/recovery.npz",
        "what reflectances surfaces have",
        "CIE 224:2017's 99 samples; every other one of the 190 measured patches of RAW to ACES (Dyer et al. "
        "2017); the Munsell renotation (Newhall, Nickerson & Judd 1943) by the clusters of Otsu et al. 2018; "
        "made paints by Kubelka & Munk",
        LEARNT + " and from our own paints; the result MIT",
        "`python -m tests.benchmarks.grey.learn`",
    ),
    Entry(
        "palette/evidence/grey/data/surfaces.csv",
        "which colours painted surfaces have",
        "the Munsell renotation's real colours; the same measured sets as recovery.npz",
        LEARNT + "; the result MIT",
        "`python -m tests.benchmarks.grey.learn`",
    ),
    Entry(
        "palette/evidence/correction/models/prior.npz",
        "what cameras and their handling do to colours",
        "made pictures: reflectances and camera sensitivities of colour-science (Darrodi et al. 2015 and "
        "others that it names)",
        LEARNT + "; the result MIT",
        "`python -m tests.benchmarks.photo.learn`",
    ),
    Entry(
        "palette/paints/mixing/data/prior.npz",
        "how paints absorb and scatter",
        "invented paints, by Mie's theory and from memory of pigments' looks; nothing was measured for it",
        OWN,
        "`python -m palette.paints.mixing.data.make`",
    ),
    Entry(
        "palette/paints/card/charts.csv",
        "the colours of the 24-patch chart, before and since 2014",
        "the chart maker's figures for D50, adapted to D65",
        "published figures, as colour-science 0.4.7 tabulates them (BSD-3-Clause)",
        "`palette/paints/card/make.py`",
    ),
    Entry(
        "palette/paints/card/marks.txt",
        "the 5 × 5 marks of the printed card",
        "Garrido-Jurado et al., Pattern Recognition 47 (2014) 2280, as OpenCV numbers them",
        "Apache-2.0 (OpenCV)",
        "`palette/paints/card/make.py`",
    ),
    Entry("palette/kit/start.toml", "the kit.toml that `palette new` writes", "ours", OWN, "by hand"),
    Entry(
        "palette/shelf/licences",
        "the licences that a kit may be given away under, in full",
        "Creative Commons",
        "CC0-1.0, as Creative Commons gives its texts away",
        "copied as they are",
    ),
    Entry(
        "palette/typeset/fonts",
        "the typefaces of guide and cards",
        "Source Sans Pro (Adobe), Noto Sans Arabic and Hebrew (Google)",
        "SIL Open Font License 1.1, beside them",
        "copied as they are",
    ),
    Entry(
        "swatches_demo",
        "the demo kit: pictures, meshes, lists, the truth they were drawn from",
        "made up; drawn from reflectances by the program in making/",
        OWN,
        "`python -m swatches_demo.making`",
    ),
)

HEAD = """# Data

Every file of data that palette ships, what it is from, and under which terms. palette itself is MIT. Nothing
here was learnt from a set whose terms forbid that. Measured surfaces that the benchmarks report on were kept
out of what is learnt.

`python docs/make_data.py` writes this page; a test fails when a file has no entry, or is another than the one
whose digest stands here. The digest is the first 12 digits of SHA-256; of a folder, of its files' names and
digests.

What the desk carries of others' programs stands in `palette/desk/static/vendor`, with licences and digests
of its own.

| file | what it is | from | terms | made by | digest |
| --- | --- | --- | --- | --- | --- |
"""


def shipped() -> Iterator[Path]:
    """Every file of data in the two packages."""
    for package in ("palette", "swatches_demo"):
        for path in sorted((ROOT / package).rglob("*")):
            inside = path.relative_to(ROOT).as_posix()
            kept = path.suffix not in NO_DATA and "__pycache__" not in path.parts
            if path.is_file() and kept and not inside.startswith(VENDORED):
                yield path


def entry_of(path: Path) -> Entry | None:
    """The entry that speaks of a file, if any."""
    inside = path.relative_to(ROOT).as_posix()
    return next((e for e in FILES if inside == e.file or inside.startswith(e.file + "/")), None)


def digest(entry: Entry) -> str:
    """The first 12 digits of the SHA-256 of a file, or of a folder's names and digests."""
    whole = ROOT / entry.file
    if whole.is_file():
        return hashlib.sha256(whole.read_bytes()).hexdigest()[:12]
    folder = hashlib.sha256()
    for path in (path for path in shipped() if whole in path.parents):
        folder.update(
            path.relative_to(whole).as_posix().encode() + hashlib.sha256(path.read_bytes()).digest()
        )
    return folder.hexdigest()[:12]


def page() -> str:
    """The page as it should stand."""
    rows = [f"| `{e.file}` | {e.what} | {e.source} | {e.terms} | {e.made} | `{digest(e)}` |" for e in FILES]
    return HEAD + "\n".join(rows) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
