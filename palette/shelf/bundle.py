"""A kit as one bundle to give away: what it holds, what a stranger would miss, and how one is checked.

The bundle is a ZIP (ISO/IEC 21320-1) whose `manifest.json` names every other file with its SHA-256. The same
input gives the same bytes: names in order, times fixed.
"""

from __future__ import annotations

import hashlib
import io
import json
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from palette.errors import InputError, Problem
from palette.files import check_writable, read_text, replace_whole
from palette.kit.model import UNPAINTED, Kit
from palette.shelf.kits import own_file
from palette.words import sentence

if TYPE_CHECKING:
    from palette.evidence.combine.model import Scheme
    from palette.guide.writing import Made

MANIFEST = "manifest.json"
LARGEST = 1 << 30  # bytes of one file in a bundle
_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest that a ZIP can hold
_LICENCES = ("LICENCE", "LICENCE.txt", "LICENCE.md", "LICENSE", "LICENSE.txt", "LICENSE.md")

_BROKEN = (  # what reading a damaged ZIP raises
    OSError,
    EOFError,
    RuntimeError,
    ValueError,
    NotImplementedError,
    struct.error,
    zlib.error,
    zipfile.BadZipFile,
    zipfile.LargeZipFile,
)

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Entry:
    """One file of a bundle."""

    file: str
    sha256: str
    bytes: int


@dataclass(frozen=True)
class Released:
    entries: tuple[Entry, ...]
    warnings: tuple[Problem, ...]  # what a draft was let out with


def release(kit: Kit, out: Path, draft: bool = False, progress: Progress | None = None) -> Released:
    """Write the kit's bundle, and file its edition.

    Raises:
        InputError: what a stranger would miss or what may not be given away, all at once (a `draft` is let
            out with it printed on its cover); or the bundle cannot be written.
    """
    from palette.guide.writing import Wanted, make, scheme_file
    from palette.paints.scheme import scheme
    from palette.shelf.filed import filed, filing

    if out.suffix.lower() != ".zip":
        raise InputError(Problem(str(out), None, "is no name for a bundle", "let it end in .zip"))
    check_writable(out)
    own, broken = _own_files(kit)
    if broken:
        raise InputError.of(broken)
    earlier = next((one.scheme for one in reversed(filed(kit)) if one.version == kit.version), None)
    earlier = earlier or next((one.scheme for one in reversed(filed(kit))), None)
    missing = [*concerns(kit, scheme(kit, progress)), *_checked(kit)]  # known long before the pages are set
    if missing and not draft:
        raise InputError.of(missing)
    made = make(kit, Wanted(), earlier, progress)
    if draft:
        made = _marked(made, missing)
    filed_scheme = scheme_file(made.scheme, earlier or Path("scheme.json"))
    contents = {**_made(made), "scheme.json": filed_scheme.encode(), **_papers(kit, made.scheme), **own}
    raw, entries = _zip(kit, contents)
    with filing(kit, filed_scheme, out.name):
        replace_whole(out, raw)
    return Released(entries, tuple(missing))


def concerns(kit: Kit, scheme: Scheme) -> list[Problem]:
    """What a stranger would miss, or what may not be given away."""
    file = str(kit.path)
    problems = []
    if not kit.version:
        problems.append(Problem(file, None, "the kit has no version", 'add version = "1.0" to [kit]'))
    if not kit.licence and _licence_file(kit) is None:
        what = "the kit has no licence, so nobody may pass it on"
        problems.append(Problem(file, None, what, 'add licence = "CC-BY-4.0" or another to [kit]'))
    elif _licence_text(kit) is None:
        what = f"the kit's licence {kit.licence!r} is none whose text palette has"
        problems.append(
            Problem(file, kit.lines.get("licence"), what, "put the text beside it, in LICENCE.txt")
        )
    for reference in kit.references:
        if reference.print and reference.licence and not reference.credit:
            what = f"reference {reference.id!r} is printed in the dossier without a credit"
            problems.append(Problem(file, reference.line, what, "add credit = …, or print = false"))
    for colour in scheme.parts:
        part = colour.part
        if colour.conflict and colour.basis != "decision":
            what = f"the evidence of part {part.id!r} disagrees, and nobody decided"
            problems.append(Problem(file, part.line, what, "give it colour = … and why = …"))
        if part.finish in UNPAINTED:
            continue
        if colour.lab is None:
            what = f"part {part.id!r} has no colour yet"
            problems.append(Problem(file, part.line, what, "mark it in a picture, or decide on one"))
        elif not colour.paints and not colour.mixes:
            what = f"part {part.id!r} has no paint"
            problems.append(Problem(file, part.line, what, "name a list of paints: swatches = […] in [kit]"))
    return problems


def _checked(kit: Kit) -> list[Problem]:
    """That a settled kit's painted print is not as the guide says."""
    if kit.stage != "settled" or not any(r.subject == "painted" and r.samples for r in kit.references):
        return []
    from palette.paints.check import check

    failed = [one.part.id for one in check(kit).parts if one.passes is False]
    what = f"the kit is settled, and its painted print fails the check: {', '.join(failed)}"
    problem = Problem(str(kit.path), None, what, "see palette check, and paint or decide anew")
    return [problem] if failed else []


def _marked(made: Made, missing: list[Problem]) -> Made:
    """The guide with a draft's warnings on its cover."""
    said = ["this edition is not settled", *(problem.what for problem in missing)]
    cautions = (*(("Draft", sentence(text)) for text in said), *made.guide.cautions)
    return replace(made, guide=replace(made.guide, cautions=cautions))


def _made(made: Made) -> dict[str, bytes]:
    from palette.guide.dossier import pdf as dossier_pdf
    from palette.guide.painter import html
    from palette.guide.painter import pdf as guide_pdf

    return {
        "guide-a4.pdf": guide_pdf.render(made.guide, "a4"),
        "guide-letter.pdf": guide_pdf.render(made.guide, "letter"),
        "dossier.pdf": dossier_pdf.render(made.dossier, "a4"),
        "guide.html": html.render(made.guide).encode(),
    }


def _own_files(kit: Kit) -> tuple[dict[str, bytes], list[Problem]]:
    """The kit's lists, meshes and other files by their names in the bundle, and what is wrong with them."""
    folder = kit.path.parent.resolve()
    wanted: list[tuple[str, Path, int | None]] = []
    wanted += [(f"swatches/{path.name}", path, None) for path in kit.swatches]
    meshes = {part.mesh: part.line for part in kit.parts if part.mesh is not None}
    wanted += [(f"meshes/{mesh.name}", mesh, line) for mesh, line in meshes.items()]
    wanted += [(f"files/{one.name}", one.file, one.line) for one in kit.files]
    contents: dict[str, bytes] = {}
    problems = []
    for name, path, line in wanted:
        file = str(kit.path)
        if not name.startswith("swatches/") and not path.resolve().is_relative_to(folder):
            what = f"{path} lies outside the kit's folder"
            problems.append(Problem(file, line, what, "copy it into the kit"))
        elif not path.is_file():
            remedy = "correct its name, or take it out"
            problems.append(Problem(file, line, f"there is no file {path}", remedy))
        elif path.stat().st_size > LARGEST:
            what = f"{path} is larger than {LARGEST >> 30} GB"
            problems.append(Problem(file, line, what, "leave it out of the bundle"))
        else:
            clean = "/".join(piece for piece in Path(name).parts if piece not in ("..", "/"))
            contents[clean] = path.read_bytes()
    return contents, problems


def _papers(kit: Kit, scheme: Scheme) -> dict[str, bytes]:
    """Licence and credits, and the maker's own words where there are any."""
    papers = {"CREDITS.txt": "\n".join(_credits(kit)).encode() + b"\n"}
    text = _licence_text(kit)
    if text is not None:
        papers["LICENCE.txt"] = text.encode()
    if (readme := own_file(kit, "README.md")) is not None:
        papers["README.md"] = read_text(readme).encode()
    return papers


def _credits(kit: Kit) -> Iterator[str]:
    """Who made the kit, under which terms, and where each picture is from."""
    yield kit.title
    if kit.maker:
        yield f"by {kit.maker}"
    if kit.licence:
        yield f"The guide and the kit's own files are licensed under {kit.licence}. See LICENCE.txt."
    yield "The licence is not claimed for the pictures of others:"
    for reference in kit.references:
        facts = [reference.kind, *([str(reference.year)] if reference.year is not None else [])]
        facts += [text for text in (reference.credit, reference.licence) if text]
        yield f"  {reference.id}: {', '.join(facts)}"


def _licence_file(kit: Kit) -> Path | None:
    return next((path for name in _LICENCES if (path := own_file(kit, name)) is not None), None)


def _licence_text(kit: Kit) -> str | None:
    """The licence in full: the kit's own file, or the text palette has under that name."""
    own = _licence_file(kit)
    if own is not None:
        return read_text(own)
    known = files("palette.shelf").joinpath("licences", f"{Path(kit.licence).name}.txt")
    return known.read_text("utf-8") if kit.licence and known.is_file() else None


def _zip(kit: Kit, contents: Mapping[str, bytes]) -> tuple[bytes, tuple[Entry, ...]]:
    entries = tuple(
        Entry(name, hashlib.sha256(raw).hexdigest(), len(raw)) for name, raw in sorted(contents.items())
    )
    manifest: dict[str, Any] = {
        "schema": 1,
        "kit": kit.title,
        "version": kit.version,
        "stage": kit.stage,
        "date": kit.date.isoformat() if kit.date else None,
        "files": [vars(entry) for entry in entries],
    }
    whole = {MANIFEST: (json.dumps(manifest, ensure_ascii=False, indent=1) + "\n").encode(), **contents}
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name in [MANIFEST, *sorted(contents)]:
            info = zipfile.ZipInfo(name, _TIME)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            info.create_system = 3  # wherever it was made
            bundle.writestr(info, whole[name])
    return stream.getvalue(), entries


def check_bundle(path: Path) -> tuple[Entry, ...]:
    """The files of a bundle, each as its manifest says.

    Raises:
        InputError: with every file that is missing, added or changed; or the bundle cannot be read.
    """
    file = str(path)
    try:
        with zipfile.ZipFile(path) as bundle:
            return _compared(file, bundle)
    except FileNotFoundError as error:
        raise InputError(Problem(file, None, "there is no such file", "check its name and folder")) from error
    except _BROKEN as error:
        what = f"is no bundle that can be read: {' '.join(str(error).split()) or type(error).__name__}"
        raise InputError(Problem(file, None, what, "ask for it again")) from error


def _compared(file: str, bundle: zipfile.ZipFile) -> tuple[Entry, ...]:
    infos = {info.filename: info for info in bundle.infolist()}
    entries = _manifest(file, bundle, infos)
    problems = [
        Problem(file, None, f"{name!r} is not in the manifest", "do not trust it")
        for name in infos
        if name != MANIFEST and name not in {entry.file for entry in entries}
    ]
    for entry in entries:
        info = infos.get(entry.file)
        if info is None:
            problems.append(Problem(file, None, f"{entry.file!r} is missing", "ask for the bundle again"))
        elif (
            info.file_size != entry.bytes or info.file_size > LARGEST or _digest(bundle, info) != entry.sha256
        ):
            what = f"{entry.file!r} is not as it was let out"
            problems.append(Problem(file, None, what, "ask for the bundle again"))
    if problems:
        raise InputError.of(problems)
    return entries


def _manifest(file: str, bundle: zipfile.ZipFile, infos: Mapping[str, zipfile.ZipInfo]) -> tuple[Entry, ...]:
    info = infos.get(MANIFEST)
    try:
        if info is None or info.file_size > 1 << 24:
            raise ValueError
        document = json.loads(bundle.read(info))
        return tuple(
            Entry(str(one["file"]), str(one["sha256"]), int(one["bytes"])) for one in document["files"]
        )
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise InputError(
            Problem(file, None, "has no manifest of palette's", "is it the right file?")
        ) from error


def _digest(bundle: zipfile.ZipFile, info: zipfile.ZipInfo) -> str:
    try:
        with bundle.open(info) as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()  # type: ignore[arg-type]
    except _BROKEN:
        return ""
