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


def for_client(template: str, data: dict, pictures: dict[str, bytes | str], shown) -> bytes:
    """``pdf``, with lengths, money and days as the commission shows them (``Commission.shown``)."""
    from studio_lib.showing import data_as_shown

    return pdf(template, data_as_shown(data, shown) | {"unit": shown.lengths}, pictures)
