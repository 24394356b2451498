"""Drawings: every sheet of the set, how they are laid down, and the files for the workshop."""

from __future__ import annotations

from html import escape
from pathlib import Path

import ipywidgets as w

from studio_lib.papers.drawn import drawings_pdf
from studio_lib.papers.write import drawings
from workbook import parts, show
from workbook.aside import Rested
from workbook.desk import Desk


def panel(desk: Desk) -> w.Widget:
    """A choice of sheets with the one in hand drawn, the settings, and a button for the files."""
    which = w.Dropdown(description="Sheet", options=[("", 0)], style=parts.STYLE, layout=w.Layout(width="560px"))
    drawn, state = w.HTML(), w.HTML()
    held: list = [[]]

    def shown(made):
        held[0] = made.svgs
        names = [f"{k}  {block.title}: {sheet.kind}" for k, (sheet, block) in enumerate(made.sheets, 1)]
        kept = which.value if which.value is not None and which.value < len(names) else 0
        which.options = [(name, k) for k, name in enumerate(names)] or [("no piece yet", 0)]
        which.value = kept
        turn()

    def refused(words: str):
        held[0], state.value, drawn.value = [], "", show.page(f"<p>{escape(words)}</p>")

    aside = Rested(_drawn, shown, refused)

    def redraw():
        # All sheets of a cabinet take seconds: they are drawn once nobody moves a size any more, and the page stays free.
        if aside.ask(*_asked(desk)):
            said = "The sheets are being drawn\u2026" if not held[0] else "The sheets are being drawn anew; until then they are as they were."
            state.value = show.page(f'<p class="quiet">{said}</p>')

    def turn(_change=None):
        state.value, sheets = "", held[0]
        if sheets and which.value is not None:
            sheet = _fluid(sheets[which.value])
            drawn.value = f'<div class="dw-sheet" style="border:1px solid #c9bfae;max-width:1150px">{sheet}</div>'
        else:
            drawn.value = show.page('<p class="quiet">No piece yet, so there is nothing to draw.</p>')

    which.observe(turn, "value")
    parts.watched(desk, ["commission"], redraw)
    return w.VBox(
        [
            parts.heading("Drawings for the workshop"),
            which,
            state,
            drawn,
            parts.choice(desk, "drawings.sheet", "Sheets", ("A3", "A4"), "lying down; on A4 there are more of them"),
            parts.choice(
                desk,
                "drawings.projection",
                "Projection",
                ("first angle", "third angle"),
                "first angle: the view from the left stands on the right",
            ),
            parts.text(desk, "drawings.note", "Note on every sheet"),
            parts.text(
                desk,
                "drawings.cut_to_fit",
                "Cut to fit",
                "references of members measured in the work before cutting: A-D1, A-D2",
            ),
            files(desk),
        ]
    )


def _asked(desk: Desk) -> tuple:
    """What the set is drawn from, as it stands now."""
    return desk.derived, desk.revision, desk.book.maker


def _drawn(d, revision: int, maker: str):
    return drawings(d, revision=revision, maker=maker)


def _set(desk: Desk):
    return _drawn(*_asked(desk))


def _fluid(svg: str) -> str:
    """The sheet as wide as the page lets it be."""
    head, _, rest = svg.partition(" viewBox")
    return head.split(" width=")[0] + ' style="width:100%;height:auto;display:block" viewBox' + rest


def files(desk: Desk) -> w.Widget:
    """A button that writes the set as PDF, DXF and one SVG a sheet."""
    said = w.HTML()

    def write():
        folder = desk.book.folder / "papers" / desk.commission.ref / "drawings"
        folder.mkdir(parents=True, exist_ok=True)
        made = _set(desk)
        (folder / "drawings.pdf").write_bytes(drawings_pdf(made, desk.commission.title))
        (folder / "drawings.dxf").write_bytes(made.dxf())
        for old in folder.glob("sheet *.svg"):
            old.unlink()
        for k, svg in enumerate(made.svgs, 1):
            (folder / f"sheet {k:02d}.svg").write_text(svg, "utf-8")
        said.value = show.page(
            f"<p>Written to {escape(str(Path(folder)))}: drawings.pdf, drawings.dxf "
            f"and {len(made.svgs)} sheets as SVG.</p>"
        )

    return w.VBox([parts.button(desk, "Write drawings: PDF, DXF, SVG", write, "Into the job book's folder"), said])
