"""Boards: the cutting list, the boards seen, how the one comes out of the other."""

from __future__ import annotations

import base64
import threading
from html import escape

import ipywidgets as w

from studio_lib.drawings.boards import boards_svg
from studio_lib.look.scenes import appearances, ground, scene
from studio_lib.papers.boards import cutting_rows, resaw_words
from studio_lib.papers.write import found_words, layout_words
from studio_lib.stock import lay_out, ready
from studio_lib.stock.boards import MATCHES, WHOSE, worth
from studio_lib.stock.cutting_list import quarter_words, thicknesses
from studio_lib.stock.reading import next_mark, read_faults
from studio_lib.units import mm, size
from workbook import parts, pointing, show
from workbook.desk import Desk
from workbook.panels import theirs, yard
from workbook.view3d import View3D

CUTS = {"as its kind has it": None, "to fit its place": True, "to the list": False}
SEARCH_S = 120.0
"""Clock at which a search gives up; its effort is counted, so that it ends before on any machine."""


def panel(desk: Desk) -> w.Widget:
    ready.make_ready()
    settings = w.VBox([
        parts.number(desk, "boards.kerf_mm", "Kerf", "mm", "timber the saw turns to dust"),
        parts.optional_number(desk, "boards.resaw_kerf_mm", "Kerf when resawing", "mm", "empty: boards are not resawn in thickness"),
        parts.number(desk, "boards.dressing_mm", "Planed off the thickness", "mm", "both faces together"),
        parts.number(desk, "boards.edging_mm", "Planed off the width", "mm", "both edges together"),
        parts.number(desk, "boards.docking_mm", "Over length", "mm", "docked when the piece is true"),
        parts.number(desk, "boards.end_trim_mm", "Off each end of a board", "mm"),
        parts.choice(desk, "boards.first_cut", "A whole board is first", [("crosscut or ripped", "either"), ("crosscut", "crosscut"), ("ripped", "rip")]),
        parts.optional_number(desk, "boards.moisture_asked_pct", "Moisture to ask for", "%", "empty: what the piece is made at"),
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
        parts.live(desk, lambda: to_search(desk)),
        search(desk),
        parts.live(desk, lambda: laid_out(desk)),
        parts.live(desk, lambda: show.findings(desk.derived.board_findings)),
        parts.folded(("What a line asks for: spares, matching, grain, faces", asked_of_a_line(desk)), ("Choices that stay", places(desk))),
        parts.heading("To ask for"),
        parts.live(desk, lambda: yard.asking(desk)),
        parts.live(desk, lambda: "<h2>The client's own boards</h2>" if desk.commission.brief.brings_timber else ""),
        theirs.boards_where_brought(desk, "boards"),
        parts.heading("Boards seen"),
        parts.day(desk, "boards.priced_on", "Prices asked on"),
        offered(desk),
        parts.folded(
            ("Sizes a yard sells", yard.stock_sizes(desk)), ("Yards and the cheapest mix", yard.yards(desk)),
            ("At the yard", yard.from_the_yard(desk)), ("The rack", yard.rack(desk)), ("Saw and planer", settings),
        ),
    ])


FAULTS = {
    "mm": "knot front 1200-1290 x 0-45; end split 0-60 x 0-200; wane 0-2400 x 0-18",
    "in": "knot front 47 1/4-50 3/4 x 0-1 3/4; end split 0-2 3/8 x 0-8; wane 0-96 x 0-3/4",
}
"""Faults as they are typed, for a page in mm or in inches."""


def needed(desk: Desk) -> str:
    """What the boards must be at least, thickness by thickness."""
    ready = {r.ref for r in desk.derived.cutting_list if r.ready}
    asked = thicknesses([w for w in desk.derived.wanted if w.ref not in ready], desk.derived.allowances, show.shown().inches)

    def thick(t) -> str:
        return quarter_words(t.thickness_mm) if show.shown().inches and quarter_words(t.thickness_mm) else show.lengths(mm(t.thickness_mm))

    said = "; ".join(
        f"{thick(t)} thick{'' if t.least_mm == t.thickness_mm else f' (at least {show.lengths(mm(t.least_mm))})'} for {t.count} {'piece' if t.count == 1 else 'pieces'} "
        f"up to {show.lengths(mm(t.longest_mm))} x {show.lengths(mm(t.widest_mm))}"
        for t in asked
    )
    bought = "".join(
        f" {r.count} glued up and planed, {show.lengths(mm(r.thickness_mm))} thick, {show.lengths(mm(r.overall_length_mm))} x {show.lengths(mm(r.width_mm))}."
        for r in desk.derived.cutting_list if r.ready
    )
    return f'<div class="quiet">Needed, sawn, {parts.length_unit()}: {said}.{bought and " Bought:" + bought}</div>' if asked else ""


def cutting_table(desk: Desk) -> str:
    d = desk.derived
    lines = cutting_rows(d)
    alone = f"{d.pieces[0].name}: " if len(d.pieces) == 1 else ""  # a job of one piece need not say which at every line
    rows = [
        (
            ", ".join(map(tight, r["ref"].split(", "))), escape(r["name"].removeprefix(alone) + (f", {r['hand']} hand" if r["hand"] else "")), r["count"], r["overall"], r["shoulder"], r["width"],
            r["thickness"], tight(r["sawn"]), escape(r["wants"]), tight(r["end1"]), tight(r["end2"]), tight(r["fit"]), escape(r["boards"]),
        )
        for r in lines
    ]
    head = ("Ref", "Name", "No. off", "Length overall", "Between shoulders", "Width", "Thickness", "Sawn size", "Must be",
            "One end", "Other end", "Fit", "Board")
    timbers = ", ".join(dict.fromkeys(r["timber"] for r in lines))
    return (f"<h2>Cutting list, {parts.length_unit()}</h2><div class=quiet>{escape(timbers)}. What is marked to fit is measured from its place.</div>"
            + show.table(head, rows, numbers=(2, 3, 4, 5, 6, 7), refs=[r["refs"] for r in lines], lengths=(3, 4, 5, 6, 7, 9, 10)))


MOST_TIGHT = 18


def tight(words: str) -> str:
    """Words that stay on one line of a table, where they are few enough for one."""
    return f'<span style="white-space:nowrap">{escape(words)}</span>' if len(words) <= MOST_TIGHT else escape(words)


def asked_of_a_line(desk: Desk) -> w.Widget:
    """Spares, matching, grain and faces of one line of the list."""
    line = w.Dropdown(description="Line", layout=w.Layout(width="330px"))
    spares = w.BoundedIntText(description="Spares", min=0, max=50, layout=w.Layout(width="170px"))
    match = w.Dropdown(description="Match", options=[("need not match", ""), *((m, m) for m in MATCHES)], layout=w.Layout(width="270px"))
    group = w.Text(description="With set", placeholder="itself", layout=w.Layout(width="190px"))
    shown = w.Dropdown(description="Seen", options=[("on both faces", "both"), ("on one face", "one")], layout=w.Layout(width="230px"))
    face = w.Text(description="Face mark", placeholder="best face out", layout=w.Layout(width="250px"))
    grain = yard.grain_box()
    fit = w.Dropdown(description="Cut", options=[(words, words) for words in CUTS], layout=w.Layout(width="250px"))

    def lines():
        options = [(f"{r.ref} {r.piece}: {r.name}", r.ref) for r in desk.derived.cutting_list]
        yard.options_of(line, options)
        read()

    def read(_change=None):
        m = next((m for m in desk.commission.boards.marks if m.ref == line.value), None)
        spares.value, match.value = (m.spares, m.match) if m else (0, "")
        group.value, shown.value, face.value = (m.set, m.shown, m.face) if m else ("", "both", "")
        grain.value, cut = (m.grain, m.to_fit) if m else ((), None)
        fit.value = next(words for words, to_fit in CUTS.items() if to_fit is cut)

    def keep():
        if line.value is None:
            return
        others = [m for m in yard.plain(desk, "marks") if m["ref"] != line.value]
        mine = {"ref": line.value, "spares": spares.value, "match": match.value, "set": group.value.strip(), "shown": shown.value,
                "face": face.value.strip(), "grain": list(grain.value), "to_fit": CUTS[fit.value]}
        desk.change("boards.marks", [*others, mine])

    line.observe(read, "value")
    parts.watched(desk, ["commission"], lines)
    wrap = w.Layout(flex_flow="row wrap")
    return w.VBox([
        w.HBox([line, spares, match, group], layout=wrap), w.HBox([shown, face, grain, fit], layout=wrap),
        w.HBox([parts.button(desk, "Ask this of the line", keep)]), parts.refusal(desk, "boards.marks"),
    ])


def places(desk: Desk) -> w.Widget:
    """Choices that stay: this piece from this board."""
    piece = w.Dropdown(description="Keep", layout=w.Layout(width="330px"))
    board = w.Dropdown(description="on board", layout=w.Layout(width="240px"))
    count = w.BoundedIntText(description="No.", value=1, min=1, max=500, layout=w.Layout(width="160px"))

    def fill():
        d = desk.derived
        for box, options in ((piece, [(f"{r.ref} {r.name}", r.ref) for r in d.cutting_list]), (board, [(show.words(b.ref), b.ref) for b in d.offered])):
            yard.options_of(box, options)

    def keep():
        if piece.value and board.value:
            yard.add_row(desk, "places", {"piece": piece.value, "board": board.value, "count": count.value})

    parts.watched(desk, ["commission"], fill)
    return w.VBox([
        yard.rows_of(desk, "places", lambda p: f"{p.count} of <b>{escape(p.piece)}</b> from <b>{escape(show.words(p.board))}</b>"),
        w.HBox([piece, board, count, parts.button(desk, "Keep it there", keep)], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "boards.places"),
    ])


def offered(desk: Desk) -> w.Widget:
    """Boards on offer but the client's, a line each; add one, take one away."""

    def priceless(c):
        return tuple((i, b.model_copy(update={"price": None})) for i, b in enumerate(c.boards.offered) if b.source != "client"), c.rates.currency

    def build():
        rows = []
        pictures = {a.name: a for a in desk.book.attachments(desk.commission.ref)} if any(b.picture for b in desk.commission.boards.offered) else {}
        for i, b in enumerate(desk.commission.boards.offered):
            if b.source == "client":
                continue
            state = w.Dropdown(options=["seen", "taken", "put back"], value=b.state, tooltip=f"{b.ref}: seen, taken or put back", layout=w.Layout(width="105px"))
            state.observe(lambda change, i=i: desk.change(f"boards.offered.{i}.state", change.new), "value")
            faults = ", ".join(f"{f.name}{'' if f.face == 'both' else ' ' + f.face} at {parts.length_here(f.x0_mm)}-{parts.length_here(f.x1_mm)}" for f in b.faults) or "clear"
            across = mm(b.width_mm) + (f" to {mm(b.width_end_mm)}" if b.width_end_mm else "")
            more = "; ".join(x for x in (b.grade, b.yard, " and ".join(b.grain)) if x)
            small = parts.thumbnail(desk, pictures[b.picture]) if b.picture in pictures else ""
            rows.append(w.HBox([
                parts.button(desk, "Take away", lambda i=i: remove(desk, i)), state,
                price_of(desk, i, b),
                w.HTML(
                    f"&nbsp;<b>{escape(b.ref)}</b> {escape(b.timber)}, {show.lengths(f'{mm(b.length_mm)} x {across} x {mm(b.thickness_mm)}')} {parts.length_unit()}, "
                    f"{'as many as wanted' if b.count is None else b.count}, {WHOSE[b.source]}; {escape(faults)}{'; ' + escape(more) if more else ''} {small}"
                ),
            ], layout=w.Layout(align_items="center")))
        return rows

    marks = [b.ref for b in desk.commission.boards.offered]
    others = [b for b in desk.commission.boards.offered if b.source != "client"]
    ref = w.Text(next_mark(others[-1].ref if others else "Y0", marks), description="Mark", placeholder="Y16", layout=w.Layout(width="178px"),
                 tooltip="As chalked on its end")
    length, wide, thick = (parts.length_box(words, value) for words, value in (
        ("Length", yard.round_here(2400.0)), ("Width", yard.round_here(200.0)), ("Thick", yard.thickness_most_needed(desk))))
    end = w.Text(description="Right end", placeholder="as wide", layout=w.Layout(width="178px"),
                 tooltip=f"Width at the right end of a board that tapers, {parts.length_unit()}")
    many = w.IntText(description="How many", value=1, layout=w.Layout(width="178px"))
    price = w.Text(description="Price each", placeholder="42.50", layout=w.Layout(width="178px"))
    grade, at_yard = yard.box("Grade"), yard.box("Seen at", placeholder="which yard")
    grain = yard.grain_box()
    faults = w.Text(description=f"Faults, {parts.length_unit()}", placeholder=FAULTS[parts.length_unit()], layout=w.Layout(width="600px"))
    whose = w.Dropdown(options=[(words, who) for who, words in WHOSE.items()], value=others[-1].source if others else "yard",
                       description="It is", layout=w.Layout(width="240px"), tooltip="Whose board it is")
    picture = w.FileUpload(accept="image/*", multiple=False, description="Picture", layout=w.Layout(width="130px"))

    def add():
        if not ref.value.strip():
            raise ValueError("Give the board a mark, the one chalked on its end: Y16.")
        if many.value < 1:
            raise ValueError(f"How many is {many.value}; give 1 or more.")
        present = yard.plain(desk, "offered")
        file = picture.value[0] if picture.value else None
        new = {
            "ref": ref.value.strip(), "timber": desk.commission.timber.species or "", "length_mm": parts.mm_of(length),
            "width_mm": parts.mm_of(wide), "thickness_mm": parts.mm_of(thick), "count": many.value, "price": "0" if whose.value == "client" else parts.as_money(price.value),
            "faults": read_faults(faults.value, show.shown()), "source": whose.value,
            "width_end_mm": parts.read_length_here(end.value) if end.value.strip() else None, "grade": grade.value.strip(),
            "yard": at_yard.value.strip(), "grain": list(grain.value), "picture": file["name"] if file else "",
        }
        if desk.change("boards.offered", [*present, new]):
            if file:
                desk.book.attach(desk.commission.ref, file["name"], file["type"], bytes(file["content"]), f"board {new['ref']}")
            faults.value = end.value = ""
            ref.value, many.value, picture.value = next_mark(new["ref"], [b["ref"] for b in present]), 1, ()

    wrap = w.Layout(flex_flow="row wrap")
    return w.VBox([
        parts.rebuilt(desk, build, priceless),
        parts.live(desk, lambda: needed(desk)),
        w.HBox([ref, length, wide, end, thick, price, many], layout=wrap),
        w.HBox([grade, at_yard, grain, picture], layout=wrap),
        w.HBox([faults, whose, parts.button(desk, "Add this board", lambda: yard.said(desk, "boards.offered", add))], layout=wrap),
        parts.live(desk, lambda: '<div class="quiet">A new board is whose the last one added here was, a yard\'s to begin with; the client\'s own are added above.</div>'
                   if desk.commission.brief.brings_timber else ""),
        w.HTML(show.page('<div class="quiet">Along from the left end, across from the lower edge. A pin or small knot or an old nail hole may lie in plain pieces, one said to "may show" in any, a knot, sap, wane, gum or '
                         "resin pocket or bow in hidden ones only, a split, check, rot, shake or twist in none; add front or back for a fault on one face. "
                         "How bad each is, is our judgement, no source: enter a fault you can live with as a small knot, one you cannot as a split.</div>")),
        parts.refusal(desk, "boards.offered"),
    ])


def price_of(desk: Desk, i: int, board) -> parts.Field:
    """What a board costs, to be changed where it stands."""
    path = f"boards.offered.{i}.price"
    currency = desk.commission.rates.currency
    box = w.Text(continuous_update=False, tooltip=f"Price of {board.ref}", layout=w.Layout(width="85px"))
    return parts.Field(desk, path, box, lambda c: str(parts.at(path)(c)), lambda v: parts.as_money(v, currency), f"{currency} each")


def remove(desk: Desk, index: int) -> None:
    rows = yard.plain(desk, "offered")
    desk.change("boards.offered", rows[:index] + rows[index + 1 :])


def laid_out(desk: Desk) -> str:
    d = desk.derived
    names = {r.ref: r.name for r in d.cutting_list}
    drawn = boards_svg(d.layout, 280, names) if d.layout.boards_used else ""
    theirs_are = {b.ref for b in d.their_boards}
    left = "; ".join(
        f"{o.board_ref} {size(o.length_mm, o.width_mm, o.thickness_mm)} mm" + (", the client's" if o.board_ref in theirs_are else "") for o in d.layout.offcuts
    )
    changed = f'<p class="again">{escape(d.layout_change)}</p>' if d.layout_change else ""
    file = "data:image/svg+xml;base64," + base64.b64encode(drawn.encode()).decode()
    saved = f' <a href="{file}" download="boards.svg">Save the drawing as SVG</a>' if drawn else ""
    return (
        f"<p>{escape(layout_words(d))}</p>{theirs.share(desk)}{changed}"
        f'<div class="quiet">Sawn sizes on the boards; brown marks are faults (dashed: on one face only), '
        f"dashed white is left over and worth keeping, red lines are cuts in the order they are made. "
        f"Assumes these boards and prices, grain along the board, no joining up. {escape(resaw_words(d))}{saved}</div>{drawn}"
        + (f"<p>Worth keeping: {escape(left)}.</p>" if left else "")
    )


def to_search(desk: Desk) -> str:
    """Whether a search is worth a press: it never begins by itself, so that opening a page changes nothing."""
    d = desk.derived
    if not d.offered or d.layout_is_kept or d.layout.state == "proved cheapest":
        return ""
    why = "The layout you kept no longer fits. What" if desk.commission.boards.kept_layout else "What"
    return f'<p class="again">{why} lies below is a first layout, found at once: search for a cheaper one, it takes some seconds.</p>'


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
            near = ""
            if bound is not None and bound > 0:
                near = ", proved cheapest" if cost <= bound else f", none can cost less than {bound:.2f}: within {100 * float(cost / bound - 1):.1f} %"
            said.value = show.page(f"<p>Best so far {cost:.2f} {currency}{near}</p>")

        try:
            if not ready.compiled():
                said.value = show.page("<p>Getting the search ready, once on a computer; the layout below stands meanwhile.</p>")
                ready.wait(stopped.is_set)
            found = lay_out(
                d.wanted, d.offered, seconds=SEARCH_S, effort="thorough", progress=progress, stop=stopped.is_set,
                kept=d.layout, **d.layout_asked,
            )
            now = desk.derived
            if (now.wanted, now.offered, now.layout_asked) != (d.wanted, d.offered, d.layout_asked):
                said.value = show.page('<p class="again">Pieces or boards were changed while it looked. Search again.</p>')
            elif worth(found, d.wanted) <= worth(now.layout, d.wanted) and desk.change("boards.kept_layout", found.to_plain()):
                said.value = show.page(f"<p>Kept: {escape(found_words(found, currency))}</p>")
            else:
                said.value = show.page(f"<p>Nothing better was found than the layout at hand: {escape(found_words(d.layout, currency))}</p>")
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
        said.value = show.page("<p>Looking.</p>")
        start.disabled, stop.disabled = True, False
        threading.Thread(target=run, args=(desk.derived,), daemon=True).start()

    start = parts.button(desk, "Search for a cheaper layout", begin, "Some seconds; the best found is kept")
    stop = parts.button(desk, "Stop and keep the best", stopped.set)
    stop.disabled = True
    release = parts.button(desk, "Lay out anew", lambda: desk.change("boards.kept_layout", None), "Let go of the kept layout")
    return w.VBox([w.HBox([start, stop, release, bar]), said])
