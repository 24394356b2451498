"""One paper: a template, its data, its pictures; PDF bytes out."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

TEMPLATES = Path(__file__).with_name("templates")


def _font_folder() -> str:
    import matplotlib

    return str(Path(matplotlib.__file__).parent / "mpl-data" / "fonts" / "ttf")


def pages(document: bytes) -> int:
    """How many pages a PDF has."""
    import io

    from pypdf import PdfReader

    return len(PdfReader(io.BytesIO(document)).pages)


def pdf(template: str, data: dict, pictures: dict[str, bytes | str]) -> bytes:
    """Typeset ``templates/<template>.typ`` with its data and pictures by file name."""
    import typst

    with tempfile.TemporaryDirectory() as folder:
        room = Path(folder)
        (room / "data.json").write_text(json.dumps(data, default=str), "utf-8")
        for name in (f"{template}.typ", "common.typ"):
            (room / name).write_bytes((TEMPLATES / name).read_bytes())
        for name, content in pictures.items():
            raw = content.encode() if isinstance(content, str) else content
            (room / name).write_bytes(raw)
        return typst.compile(
            str(room / f"{template}.typ"), root=folder, font_paths=[_font_folder()]
        )


FEW_LINES = 9
"""A last page of so few lines, its foot among them, looks left over."""


def without_left_over(template: str, data: dict, pictures: dict[str, bytes | str]) -> bytes:
    """``pdf``, a little closer set where that saves a last page with hardly anything on it.

    For templates that read ``closer`` of their data.
    """
    import io

    from pypdf import PdfReader

    wide = pdf(template, data | {"closer": False}, pictures)
    leaves = PdfReader(io.BytesIO(wide)).pages
    if len(leaves) < 2 or len(leaves[-1].extract_text().strip().splitlines()) > FEW_LINES:
        return wide
    close = pdf(template, data | {"closer": True}, pictures)
    return close if pages(close) < len(leaves) else wide


TO_CLIENT = ("quote", "brief", "care", "invoice", "variation")
"""Papers that a client reads."""


def for_client(template: str, data: dict, pictures: dict[str, bytes | str], shown) -> bytes:
    """``pdf``, with lengths, money and days as the commission shows them (``Commission.shown``)."""
    from studio_lib.showing import data_as_shown

    typeset = without_left_over if template == "quote" else pdf
    return typeset(template, data_as_shown(data, shown.to_client if template in TO_CLIENT else shown) | {"unit": shown.lengths}, pictures)
