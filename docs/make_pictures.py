"""Draw the pictures of README and docs from the demo: python docs/make_pictures.py [FOLDER]

They go into docs/images, or into FOLDER; each is kept below 300 kB. The desk is taken by Chromium, and stays
as it is where there is none.
"""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
import tempfile
from importlib.resources import as_file, files
from pathlib import Path

import typst
from click.testing import CliRunner
from PIL import Image

from palette.commands import group
from palette.files import replace_whole
from palette.guide.painter import pdf
from palette.guide.writing import Wanted, make
from palette.kit.model import Kit
from swatches_demo import lay_out

LARGEST = 300_000  # bytes
WIDTH = 1200
PART = "fender"  # the one of which only grey survives


def run(*arguments: str) -> None:
    """Run a palette command; stops with its message where it fails."""
    done = CliRunner().invoke(group, arguments)
    if done.exit_code:
        raise SystemExit(f"palette {' '.join(arguments)}: {done.output}")


def guide_page(kit: Path) -> Image.Image:
    """The cover of the kit's guide, set by the guide's own template as a picture."""
    guide = make(Kit.read(kit), Wanted()).guide
    document = {**pdf.document(guide, "a4"), "missing_characters": ""}
    with as_file(files("palette.typeset.fonts")) as folder:
        pages = typst.compile(
            files("palette.guide.painter").joinpath("guide.typ").read_bytes(),
            font_paths=typst.Fonts(font_paths=[str(folder)]),
            sys_inputs={"data": json.dumps(document)},
            format="png",
            ppi=110,
        )
    return Image.open(io.BytesIO(pages[0] if isinstance(pages, list) else pages))


def one_part(kit: Path, part: str, folder: Path) -> Image.Image:
    """What grey leaves of one part."""
    plot = folder / "grey.png"
    run("grey", str(kit), "--part", part, "--plot", str(plot))
    return Image.open(plot)


def desk_page(kit: Path, chromium: str, folder: Path) -> Image.Image:
    """The desk's first page of the kit, as the browser shows it."""
    desk = subprocess.Popen(
        [sys.executable, "-m", "palette", "desk", str(kit), "--no-browser"], stdout=subprocess.PIPE, text=True
    )
    try:
        assert desk.stdout is not None
        address = desk.stdout.readline().strip()
        shot = folder / "desk.png"
        flags = [
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--hide-scrollbars",
            "--window-size=1200,1000",
        ]
        subprocess.run(
            [chromium, *flags, "--virtual-time-budget=20000", f"--screenshot={shot}", address],
            check=True,
            capture_output=True,
            timeout=120,
        )
        return Image.open(shot)
    finally:
        desk.terminate()
        desk.wait()


def save(picture: Image.Image, path: Path) -> None:
    """Write a picture no wider than WIDTH: drawings as PNG, photographs as JPEG, by the file's ending."""
    picture = picture.convert("RGB")
    if picture.width > WIDTH:
        size = (WIDTH, round(picture.height * WIDTH / picture.width))
        picture = picture.resize(size, Image.Resampling.LANCZOS)
    stream = io.BytesIO()
    if path.suffix == ".jpg":
        picture.save(stream, "JPEG", quality=82, subsampling=0, optimize=True)
    else:
        picture.save(stream, "PNG", optimize=True)
    if stream.tell() > LARGEST:
        raise SystemExit(f"{path} would be {stream.tell()} bytes; draw it smaller")
    replace_whole(path, stream.getvalue())
    print(f"{path}: {picture.width} × {picture.height}, {stream.tell() // 1000} kB")


def main() -> None:
    out = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent / "images"
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        kit = lay_out(folder / "tram")
        save(guide_page(kit), out / "guide-page.png")
        run("look", str(kit), "depot-slide", "--out", str(folder / "look.png"))
        save(Image.open(folder / "look.png"), out / "look.jpg")
        save(one_part(kit, PART, folder), out / "grey.png")
        run("grey", str(kit), "--as-seen", PART, "--to", str(folder / "as-seen.png"))
        save(Image.open(folder / "as-seen.png"), out / "as-seen.png")
        museum, bench = kit.parent / "references/museum.jpg", kit.parent / "swatches/bench.csv"
        sheet = folder / "sheet.png"
        run("sample", str(museum), "--swatches", str(bench), "--sheet", str(sheet))
        save(Image.open(sheet), out / "sheet.jpg")
        chromium = shutil.which("chromium") or shutil.which("google-chrome")
        if chromium:
            save(desk_page(kit, chromium, folder), out / "desk.png")


if __name__ == "__main__":
    main()
