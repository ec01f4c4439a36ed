"""Write survey.csv and dictionary.csv: what people call colours.

    python palette/colour/data/make_names.py FOLDER

FOLDER is the dictionary NBS_ISCC of Debian's package libcolor-library-perl, unpacked. It carries the
tables of Kelly & Judd, NBS Special Publication 440 (1976): old dictionaries' names as ISCC-NBS names.
Those of Maerz & Paul (1930), Ridgway (1912), the horticultural charts, the standard colour card and the
postage stamps are read. The survey is the one whose results matplotlib ships (XKCD_COLORS, public
domain).

survey.csv has those three quarters of the survey's names, drawn by a seed, that `palette.colour.names`
learns from: those that end in one basic hue. The other quarter is held back; `python -m
tests.benchmarks.names` reports on it. dictionary.csv has phrases whose words the rules do not know. A
single word is taken where two sources have it.
"""

import csv
import re
import sys
from collections import defaultdict
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
BASIC = ["red", "orange", "brown", "yellow", "green", "blue", "purple", "pink", "grey", "black", "white"]
# Not for print: rude words, and names of firms and characters.
LEFT_OUT = re.compile(r"shit|poo|puke|vomit|piss|snot|booger|barf|barney|barbie|windows|tiffany|diarrh")


def plain(words: str) -> str:
    words = re.sub(r"\[.*?\]|'s\b", "", words.lower()).replace("gray", "grey")
    return " ".join("".join(c if c.isalpha() else " " for c in words).split())


def consensus() -> list[tuple[str, str, str]]:
    """(words, hue, hex) of the survey's names that end in a basic hue and hold no other."""
    from matplotlib.colors import XKCD_COLORS

    named = []
    for key, code in XKCD_COLORS.items():
        words = plain(key.removeprefix("xkcd:"))
        hues = [word for word in words.split() if word in BASIC]
        if len(hues) == 1 and words.endswith(hues[0]):
            named.append((words, hues[0], str(code)))
    return named


def write(file: str, head: str, rows: list[list[str]]) -> None:
    with open(HERE / file, "w", newline="", encoding="utf-8") as handle:
        csv.writer(handle, lineterminator="\n").writerows([head.split(","), *rows])


def survey() -> None:
    from palette.colour.spaces import hex_to_lab

    rows = consensus()
    learnt = np.random.default_rng(20).permutation(len(rows)) < len(rows) * 3 // 4
    kept = [row for row, use in zip(rows, learnt, strict=True) if use and not LEFT_OUT.search(row[0])]
    write(
        "survey.csv",
        "words,hue,lab_l,lab_a,lab_b",
        [[words, hue, *(f"{v:.2f}" for v in hex_to_lab(code))] for words, hue, code in kept],
    )


def dictionaries(folder: Path) -> dict[str, dict[str, list[str]]]:
    """phrase -> source -> ISCC-NBS names."""
    from matplotlib.colors import XKCD_COLORS

    from palette.colour.names import nearest_names
    from palette.colour.spaces import hex_to_lab

    line = re.compile(r"^\t(.+?)\s{2,}\S+\s+(#[0-9a-f]{6})\s*$", re.MULTILINE)
    read = {
        source: line.findall((folder / f"{source}.pm").read_text("latin-1"))
        for source in ("M", "R", "H", "TC", "S")
    }
    every = line.findall((folder.parent / "NBS_ISCC.pm").read_text("latin-1"))
    called = {code: plain(words).replace("grayish", "greyish") for words, code in every}
    known = {row.split(",")[0] for row in (HERE / "iscc_nbs.csv").read_text("utf-8").splitlines()[1:]}
    meanings: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for source, pairs in read.items():
        for words, code in pairs:
            name = called.get(code, "")
            if name in known and name not in meanings[plain(words)][source]:
                meanings[plain(words)][source].append(name)
    for key, code in XKCD_COLORS.items():
        meanings[plain(key.removeprefix("xkcd:"))]["survey"] = nearest_names(hex_to_lab(str(code)), 3)
    return meanings


def dictionary(folder: Path) -> None:
    from palette.colour.spoken import UnknownWords, parse

    rows = []
    for words, sources in sorted(dictionaries(folder).items()):
        single = " " not in words
        hue_last = words.split()[-1:] and words.split()[-1] in BASIC
        if not words or LEFT_OUT.search(words) or len(words.split()) > 4:
            continue
        if (single and len(sources) < 2) or not (single or hue_last or "survey" in sources):
            continue
        names = list(dict.fromkeys(name for meanings in sources.values() for name in meanings))
        try:
            parse(words)
        except UnknownWords:
            where = "; ".join("survey" if s == "survey" else f"SP 440 {s}" for s in sorted(sources))
            rows.append([words, "; ".join(names), where])
    write("dictionary.csv", "words,names,source", rows)
    print(len(rows), "phrases")


if __name__ == "__main__":
    write("dictionary.csv", "words,names,source", [])  # so that the rules alone decide what is missing
    survey()
    dictionary(Path(sys.argv[1]))
