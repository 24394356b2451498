"""For developers: the README's pictures, made from the running program.

    python docs/make_pictures.py            # all; or name some: sizes look boards client forms drawing quote

Needs Chromium for the pages and pdftoppm (Debian: poppler-utils) for the papers. Look at each before committing it.
"""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "pictures"
sys.path.insert(0, str(ROOT))
PAGES = {"sizes": "03_sizes", "look": "05_look", "boards": "06_boards", "client": "10_client"}
WINDOW = {"width": 1280, "height": 860}
CELL = (372, 282)
DAY = date(2026, 11, 25)


def pages(names: list[str]) -> None:
    """Pages of the launched workbook on its demo, as they open."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as home:
        env = os.environ | {"JOB_BOOK": f"{home}/book", "XDG_STATE_HOME": home, "HOME": home, "PYTHONPATH": str(ROOT)}
        server = subprocess.Popen(
            [sys.executable, "-m", "workbook.launch.inside", "--no-browser"], env=env, stdout=subprocess.PIPE, text=True
        )
        try:
            address = next(m[0] for line in server.stdout if (m := re.search(r"http://\S+", line)))
            with sync_playwright() as play:
                browser = play.chromium.launch(
                    executable_path=os.environ.get("CHROMIUM") or shutil.which("chromium"),
                    args=["--no-sandbox", "--enable-unsafe-swiftshader"],
                )
                for name in names:
                    page = browser.new_page(viewport=WINDOW)
                    page.goto(address.replace("00_book", PAGES[name]))
                    page.locator(".dw .head").first.wait_for(timeout=90_000)
                    page.wait_for_timeout(6_000)
                    keep(name, page.screenshot(), 1000)
                    page.close()
                browser.close()
        finally:
            server.terminate()
            server.wait(30)


def keep(name: str, png: bytes, width: int) -> None:
    """Write a picture, made narrower where it is wider than ``width``. [px]"""
    image = Image.open(io.BytesIO(png)).convert("RGB")
    if image.width > width:
        image = image.resize((width, round(image.height * width / image.width)), Image.LANCZOS)
    image.quantize(160, dither=Image.Dither.NONE).save(PICTURES / f"{name}.png", optimize=True)
    print(f"{name}.png", image.size)


def forms() -> None:
    """Every form as proposed, new and after ten years, in one sheet."""
    from studio_lib.commission import Item
    from studio_lib.demo import demo
    from studio_lib.derive import derive
    from studio_lib.forms import FORMS
    from studio_lib.look.scenes import aged_pictures

    names = [n for n in FORMS if n != "freehand"]
    columns = 4
    sheet = Image.new("RGB", (CELL[0] * columns, CELL[1] * -(-2 * len(names) // columns)), "white")
    draw = ImageDraw.Draw(sheet)
    import matplotlib

    font = ImageFont.truetype(str(Path(matplotlib.__file__).parent / "mpl-data/fonts/ttf/DejaVuSerif.ttf"), 15)
    for k, name in enumerate(names):
        base = demo()
        c = base.model_copy(update={"items": (Item(name=name, form=name),), "options": (), "views": (), "chosen": ""})
        c = c.changed("timber.species", "European oak")
        for age, picture in enumerate(aged_pictures(derive(c), (0.0, 10.0), CELL)):
            at = 2 * k + age
            x, y = CELL[0] * (at % columns), CELL[1] * (at // columns)
            sheet.paste(Image.open(io.BytesIO(picture.png)).convert("RGB").resize(CELL), (x, y))
            draw.text((x + 10, y + CELL[1] - 26), f"{name}, {'after ten years' if age else 'new'}", "#2b2722", font)
    out = io.BytesIO()
    sheet.save(out, "PNG")
    keep("forms", out.getvalue(), 1488)


def papers(names: list[str]) -> None:
    """First pages of the drawings and of the quote."""
    from studio_lib.demo import demo
    from studio_lib.derive import derive
    from studio_lib.papers.drawn import drawings_pdf
    from studio_lib.papers.write import drawings, issue_quote

    c = demo()
    made = {
        "drawing": lambda: drawings_pdf(drawings(derive(c), today=DAY), c.title),
        "quote": lambda: issue_quote(c, "2026-001", revision=1, today=DAY, maker="The maker\nThe workshop by the lake"),
    }
    for name in names:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "paper.pdf"
            file.write_bytes(made[name]())
            subprocess.run(["pdftoppm", "-r", "100", "-png", "-f", "1", "-l", "1", "-singlefile", file, file.with_suffix("")], check=True)
            keep(name, file.with_suffix(".png").read_bytes(), 1000 if name == "drawing" else 640)


def main() -> None:
    """Make the pictures asked for."""
    asked = sys.argv[1:] or [*PAGES, "forms", "drawing", "quote"]
    if shown := [n for n in PAGES if n in asked]:
        pages(shown)
    if "forms" in asked:
        forms()
    if printed := [n for n in ("drawing", "quote") if n in asked]:
        papers(printed)


if __name__ == "__main__":
    main()
