"""Boards: the cutting list, the boards seen, how the one comes out of the other."""

from __future__ import annotations

import threading
from html import escape

import ipywidgets as w

from studio_lib.drawings.boards import boards_svg
from studio_lib.look.scenes import appearances, ground, scene
from studio_lib.papers.write import glued_words, layout_words
from studio_lib.stock import lay_out
from studio_lib.stock.reading import read_faults
from studio_lib.units import mm, size
from workbook import parts, pointing, show
from workbook.desk import Desk
from workbook.view3d import View3D

SEARCH_S = 20.0
"""Clock at which a search gives up; its effort is counted, so it mostly ends before."""


def panel(desk: Desk) -> w.Widget:
    settings = w.VBox([
        parts.number(desk, "boards.kerf_mm", "Kerf", "mm", "timber the saw turns to dust"),
        parts.optional_number(desk, "boards.resaw_kerf_mm", "Kerf when resawing", "mm", "empty: boards are not resawn in thickness"),
        parts.number(desk, "boards.dressing_mm", "Planed off the thickness", "mm", "both faces together"),
        parts.number(desk, "boards.edging_mm", "Planed off the width", "mm", "both edges together"),
        parts.number(desk, "boards.docking_mm", "Over length", "mm", "docked when the piece is true"),
        parts.number(desk, "boards.end_trim_mm", "Off each end of a board", "mm"),
    ])
    view = View3D(height_px=300, show={"ground": ground(desk.derived)})

    def draw():
        if desk.derived.made:
            view.show_scene(scene(desk.derived), appearances(desk.derived))

    parts.watched(desk, ["commission"], draw)
    return w.VBox([
        view,
        pointing.live(desk, lambda: cutting_table(desk), view),
        parts.heading("How the pieces lie"),
        search(desk),
        parts.live(desk, lambda: laid_out(desk)),
        parts.live(desk, lambda: show.findings(desk.derived.board_findings)),
        parts.heading("Boards seen"),
        parts.day(desk, "boards.priced_on", "Prices asked on"),
        offered(desk),
        parts.folded(("Saw and planer", settings)),
    ])


def cutting_table(desk: Desk) -> str:
    allow = desk.derived.allowances
    rows = [
        (
            escape(r.ref + (f" to {r.refs[-1].split('-')[-1]}" if len(r.refs) > 1 else "")),
            escape(f"{r.piece}: {r.name}"), r.count, mm(r.overall_length_mm), mm(r.shoulder_length_mm),
            mm(r.width_mm), mm(r.thickness_mm), glued_words(r) + size(*r.sawn_mm(allow)), escape(r.ends), r.rank,
        )
        for r in desk.derived.cutting_list
    ]
    head = ("Ref", "Name", "No. off", "Length overall", "Between shoulders", "Width", "Thickness", "Sawn size", "Ends", "Must be")
    refs = [[f"{r.piece}/{ref}" for ref in r.refs] for r in desk.derived.cutting_list]
    return "<h3>Cutting list, mm</h3>" + show.table(head, rows, numbers=(2, 3, 4, 5, 6, 7), refs=refs)


def offered(desk: Desk) -> w.Widget:
    """Boards on offer, a line each; add one, take one away."""

    def build():
        rows = []
        for i, b in enumerate(desk.commission.boards.offered):
            faults = ", ".join(f"{f.name} at {f.x0_mm:g}-{f.x1_mm:g}" for f in b.faults) or "clear"
            rows.append(w.HBox([
                parts.button(desk, "Take away", lambda i=i: remove(desk, i)),
                w.HTML(
                    f"<b>{escape(b.ref)}</b> {escape(b.timber)}, {size(b.length_mm, b.width_mm, b.thickness_mm)}, "
                    f"{b.price} {desk.commission.rates.currency}, {'as many as wanted' if b.count is None else b.count}, "
                    f"{b.source}; {escape(faults)}"
                ),
            ], layout=w.Layout(align_items="center")))
        return rows

    ref = w.Text(description="Mark", placeholder="Y16", layout=w.Layout(width="190px"))
    length = w.FloatText(description="Length, mm", value=2400, layout=w.Layout(width="190px"))
    wide = w.FloatText(description="Width, mm", value=200, layout=w.Layout(width="190px"))
    thick = w.FloatText(description="Thick, mm", value=32, layout=w.Layout(width="190px"))
    price = w.Text(description="Price each", placeholder="42.50", layout=w.Layout(width="190px"))
    faults = w.Text(description="Faults", placeholder="knot 1200-1290 x 0-45; end split 0-60 x 0-200", layout=w.Layout(width="520px"))
    rack = w.Checkbox(description="from the rack", indent=False)

    def add():
        present = [b.model_dump(mode="json") for b in desk.commission.boards.offered]
        new = {
            "ref": ref.value.strip(), "timber": desk.commission.timber.species or "", "length_mm": length.value,
            "width_mm": wide.value, "thickness_mm": thick.value, "price": parts.as_money(price.value),
            "faults": read_faults(faults.value), "source": "rack" if rack.value else "yard",
        }
        if desk.change("boards.offered", [*present, new]):
            ref.value = faults.value = ""

    def add_or_say():
        try:
            add()
        except ValueError as error:
            desk.refused = {**desk.refused, "boards.offered": str(error)}

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: c.boards.offered),
        w.HBox([ref, length, wide, thick, price], layout=w.Layout(flex_flow="row wrap")),
        w.HBox([faults, rack, parts.button(desk, "Add this board", add_or_say)]),
        parts.refusal(desk, "boards.offered"),
    ])


def remove(desk: Desk, index: int) -> None:
    rows = [b.model_dump(mode="json") for b in desk.commission.boards.offered]
    desk.change("boards.offered", rows[:index] + rows[index + 1 :])


def laid_out(desk: Desk) -> str:
    d = desk.derived
    names = {r.ref: r.name for r in d.cutting_list}
    drawn = boards_svg(d.layout, 280, names) if d.layout.boards_used else ""
    left = "; ".join(f"{o.board_ref} {size(o.length_mm, o.width_mm, o.thickness_mm)}" for o in d.layout.offcuts)
    return (
        f"<p>{escape(layout_words(d))}</p>"
        f'<div class="quiet">Sawn sizes on the boards; brown marks are faults, dashed is left over and worth keeping. '
        f"Assumes these boards and prices, grain along the board, no joining up.</div>{drawn}"
        + (f"<p>Worth keeping: {escape(left)}.</p>" if left else "")
    )


def search(desk: Desk) -> w.Widget:
    """Look for a cheaper layout, with progress and a stop; the best found is kept."""
    bar = w.FloatProgress(min=0, max=1, layout=w.Layout(width="260px", visibility="hidden"))
    said = w.HTML()
    stopped = threading.Event()

    def run(d):
        c = desk.commission
        currency = c.rates.currency

        def progress(cost, bound, fraction):
            bar.value = fraction
            floor = f", none can cost less than {bound:.2f}" if bound is not None else ""
            said.value = show.page(f"<p>Best so far {cost:.2f} {currency}{floor}</p>")

        try:
            found = lay_out(
                d.wanted, d.offered, c.boards.kerf_mm, SEARCH_S, allowances=d.allowances,
                end_trim_mm=c.boards.end_trim_mm, resaw_kerf_mm=c.boards.resaw_kerf_mm,
                effort="thorough", progress=progress, stop=stopped.is_set,
            )
            now = desk.derived
            if (now.wanted, now.offered) != (d.wanted, d.offered):
                said.value = show.page('<p class="again">Pieces or boards were changed while it looked. Search again.</p>')
            elif (found.cost <= now.layout.cost or now.layout.missing) and desk.change("boards.kept_layout", found.to_plain()):
                said.value = show.page(f"<p>Kept: {found.cost:.2f} {currency}, {found.state}.</p>")
            else:
                said.value = show.page(f"<p>Nothing cheaper than {d.layout.cost:.2f} {currency} was found.</p>")
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            desk.notice = f"The search stopped: {error}"
        finally:
            bar.layout.visibility = "hidden"
            start.disabled, stop.disabled = False, True

    def begin():
        if not desk.derived.offered:
            said.value = show.page("<p>No boards seen yet: enter some below, then search.</p>")
            return
        stopped.clear()
        bar.value, bar.layout.visibility = 0.0, "visible"
        said.value = show.page("<p>Looking. The first search on a computer takes some seconds more.</p>")
        start.disabled, stop.disabled = True, False
        threading.Thread(target=run, args=(desk.derived,), daemon=True).start()

    start = parts.button(desk, "Search for a cheaper layout", begin, "Some seconds; the best found is kept")
    stop = parts.button(desk, "Stop and keep the best", stopped.set)
    stop.disabled = True
    release = parts.button(desk, "Lay out anew", lambda: desk.change("boards.kept_layout", None), "Let go of the kept layout")
    return w.VBox([w.HBox([start, stop, release, bar]), said])
