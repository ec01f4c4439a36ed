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
from collections.abc import Iterator
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
from palette.typeset.pages import whole
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
            whole(files("palette.guide.painter").joinpath("guide.typ").read_bytes()),
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


def desk_pages(kit: Path, chromium: str) -> Iterator[tuple[str, Image.Image]]:
    """The bench at work on the kit, each picture with its name: a slide wiped between as it is and corrected,
    a mark with its colour, a grey picture, and mixing by hand."""
    from playwright.sync_api import sync_playwright

    desk = subprocess.Popen(
        [sys.executable, "-m", "palette", "desk", str(kit), "--no-browser"], stdout=subprocess.PIPE, text=True
    )
    try:
        assert desk.stdout is not None
        address = desk.stdout.readline().strip()
        with sync_playwright() as play:
            browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
            page = browser.new_page(viewport={"width": 1400, "height": 900})
            page.set_default_timeout(180_000)
            page.goto(address)

            def shot() -> Image.Image:
                page.wait_for_timeout(4000)  # for the last tiles
                return Image.open(io.BytesIO(page.screenshot()))

            page.click('a.picture:has-text("depot-slide")')
            page.wait_for_selector('.state:has-text("parts")')
            page.click("#row-waist .row-button")
            page.click('.tools button:has-text("Corrected"):not([aria-disabled])')
            page.click('.tools button:has-text("Wipe")')
            page.click('.marked button:has-text("Waist")')
            page.evaluate("document.getElementById('main').scrollTop = 0")
            yield "desk", shot()
            page.click("#row-waist .row-button")
            page.click('.tools button:has-text("Alone")')
            page.click('.tools button:has-text("Corrected")')
            page.click('.marked button:has-text("Waist")')
            page.evaluate("document.getElementById('main').scrollTop = 0")
            yield "bench-mark", shot().crop((0, 140, 1020, 900))
            page.click('a[title="press"]')
            page.click('.tools button:has-text("As it is")')
            page.click('.marked button:has-text("Fender")')
            page.wait_for_selector('.readout:has-text("L*")')
            page.evaluate("document.getElementById('main').scrollTop = 0")
            yield "bench-grey", shot().crop((0, 230, 1020, 900))
            page.click("#bar nav a:has-text('Paints')")
            page.select_option(".mixing select", label="3 Waist panels")
            page.wait_for_selector(".recipes li")
            page.click('.recipes button:has-text("Try it")')
            yield "bench-mix", shot().crop((0, 55, 1020, 760))
            browser.close()
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
        if stream.tell() > LARGEST:
            stream = io.BytesIO()
            picture.save(stream, "JPEG", quality=72, subsampling=0, optimize=True)
    else:
        picture.save(stream, "PNG", optimize=True)
        if stream.tell() > LARGEST:  # a screen with a photograph in it
            stream = io.BytesIO()
            picture.quantize(256, dither=Image.Dither.NONE).save(stream, "PNG", optimize=True)
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
            for name, picture in desk_pages(kit, chromium):
                save(picture, out / f"{name}.png")


if __name__ == "__main__":
    main()
