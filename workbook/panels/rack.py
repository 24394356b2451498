"""Boards and offcuts in the maker's rack, and price lists of the yards, whichever job is in hand."""

from __future__ import annotations

import csv
import io
from datetime import date
from html import escape

import ipywidgets as w
from pydantic import ValidationError

from studio_lib.commission import OfferedBoard, refusals
from studio_lib.jobbook.shelves import KINDS, PriceList, RackBoard
from workbook import parts, show
from workbook.desk import Desk


def rack(desk: Desk) -> w.Widget:
    """What lies in the rack: laid in, offered to the job in hand, or gone; one that went stays on file."""
    kind = w.Dropdown(options=KINDS, value="offcut", tooltip="Board or offcut", layout=w.Layout(width="100px"))
    timber = w.Text(placeholder="timber", layout=w.Layout(width="150px"))
    sizes = [w.Text(placeholder=f"{name}, {parts.length_unit()}", layout=w.Layout(width="110px")) for name in ("length", "width", "thickness")]
    worth = w.Text(placeholder="worth, net", layout=w.Layout(width="100px"))
    place = w.Text(placeholder="where it lies", layout=w.Layout(width="160px"))
    said, rows, gone = w.HTML(), w.VBox(), w.HTML()

    def fill():
        lying = desk.book.rack.boards()
        parts.fill(rows, map(row, lying) if lying else [w.HTML(show.page('<p class="quiet">Nothing in the rack yet.</p>'))])
        left = [(escape(b.ref), sized(b.board), b.gone_on, escape(b.gone_to)) for b in desk.book.rack.boards(gone=True)]
        gone.value = show.page(
            f"<details><summary>Gone from the rack ({len(left)})</summary>"
            + show.table(("Board", "What", "On", "To"), left) + "</details>" if left else ""
        )

    def row(b: RackBoard) -> w.Widget:
        where = escape(", ".join(filter(None, (b.place, b.came_from))))
        here = f'<b>{escape(b.ref)}</b> {escape(b.kind)}, {sized(b.board)} <span class="quiet">{where}</span>'
        offered = any(o.ref == b.ref for o in desk.commission.boards.offered)
        words = "Offered" if offered else "Offer to this job"
        offer = parts.button(desk, words, lambda: offer_it(b), "Among its boards, on the Boards page")
        offer.disabled = offered
        return w.HBox([
            w.HTML(show.page(here), layout=w.Layout(width="560px")), offer,
            parts.button(desk, "Used for this job", lambda: use(b), "It leaves the rack and stays on file"),
        ], layout=w.Layout(align_items="center", flex_flow="row wrap"))

    def offer_it(b):
        present = [o.model_dump(mode="json") for o in desk.commission.boards.offered]
        if desk.change("boards.offered", [*present, b.board.model_dump(mode="json")]):
            fill()

    def use(b):
        desk.book.rack.take(b.ref, desk.ref, date.today())
        fill()

    def add():
        said.value = ""
        try:
            length, width, thickness = (parts.read_length_here(box.value) for box in sizes)
            board = OfferedBoard(
                ref=desk.book.rack.next_ref(kind.value), timber=desk.library.timber(timber.value).name,
                length_mm=length, width_mm=width, thickness_mm=thickness, price=parts.as_money(worth.value or "0"), source="rack",
            )
            desk.book.rack.add(RackBoard(board, kind.value, date.today().isoformat(), place=place.value.strip()))
        except ValidationError as error:
            tell(" ".join(refusals(error).values()))
            return
        except (ValueError, LookupError) as error:
            tell(str(error.args[0]))
            return
        for box in (*sizes, worth):
            box.value = ""
        fill()

    def tell(words):
        said.value = show.page(f'<div class="dw-refused">{escape(words)}</div>')

    parts.watched(desk, ["commission"], fill)
    return w.VBox([
        rows, w.HBox([kind, timber, *sizes, worth, place, parts.button(desk, "Lay it in", add)], layout=w.Layout(flex_flow="row wrap")),
        said, gone,
    ])


def sized(b: OfferedBoard) -> str:
    """A board in words: 'European oak 900 x 140 x 27 mm'."""
    return f"{escape(b.timber)} {b.length_mm:g} x {b.width_mm:g} x {b.thickness_mm:g} mm"


def prices(desk: Desk) -> w.Widget:
    """Price lists as the yards gave them, each with its day; one that is older than a quarter says so."""
    name = w.Text(placeholder="which yard, by role", layout=w.Layout(width="220px"))
    day = w.DatePicker(value=date.today(), layout=w.Layout(width="150px"))
    rows = w.Textarea(placeholder="item; unit; price net of tax\noak 27 mm sawn; m3; 1850.00", rows=4, layout=w.Layout(width="520px"))
    shown, said = w.HTML(), w.HTML()

    def fill():
        shown.value = show.page("".join(map(told, desk.book.prices.lists())) or '<p class="quiet">No price list yet.</p>')

    def told(p: PriceList) -> str:
        days = (date.today() - date.fromisoformat(p.day)).days
        age = f' <span class="again">{days} days old: ask again</span>' if days > OLD_DAYS else ""
        cells = [(escape(r["item"]), escape(r["unit"]), escape(r["price"])) for r in p.rows]
        table = show.table(("Item", "Unit", f"Price, {p.currency}"), cells, numbers=(2,), sums=(2,))
        return f"<details><summary>{escape(p.name)}, {p.day} ({len(cells)}){age}</summary>{table}</details>"

    def keep():
        said.value = ""
        try:
            given = [tuple(c.strip() for c in r) for r in csv.reader(io.StringIO(rows.value), delimiter=";") if any(r)]
            short = next((i for i, r in enumerate(given, 1) if len(r) != 3), None)
            if short or not given or not name.value.strip():
                where = f"Row {short}: give" if short else "Give the yard and at least one row:"
                raise ValueError(f"{where} item; unit; price.")
            desk.book.prices.keep(PriceList(
                name.value.strip(), (day.value or date.today()).isoformat(), desk.commission.rates.currency,
                tuple({"item": i, "unit": u, "price": parts.as_money(p)} for i, u, p in given),
            ))
        except ValueError as error:
            said.value = show.page(f'<div class="dw-refused">{escape(str(error))}</div>')
            return
        rows.value = ""
        fill()

    fill()
    return w.VBox([shown, w.HBox([name, day]), rows, parts.button(desk, "Keep this list", keep), said])


OLD_DAYS = 91
"""A price list older than a quarter is asked for again: common practice, no source."""
