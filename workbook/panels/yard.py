"""Where boards come from: the yard's stock sizes, several yards, what was found there, the rack."""

from __future__ import annotations

import threading
from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.papers.boards import reserve_words
from studio_lib.stock.buying import larger_boards, mixes
from studio_lib.stock.cutting_list import most_needed_mm, thicknesses
from studio_lib.stock.reading import brought_home, read_boards
from studio_lib.units import MM_PER_INCH
from workbook import parts, show
from workbook.desk import Desk
from workbook.panels.rack import rack as lying

GRAINS = (
    ("any", ()),
    ("straight", ("straight",)),
    ("quarter-sawn", ("quarter-sawn",)),
    ("both", ("straight", "quarter-sawn")),
)


def plain(desk: Desk, name: str) -> list[dict]:
    """Rows of one list of the boards' choices, as they are written down."""
    return [row.model_dump(mode="json") for row in getattr(desk.commission.boards, name)]


def rows_of(desk: Desk, name: str, words) -> w.Widget:
    """A list of the document, a line each, that can be taken away."""

    def drop(i: int):
        rows = plain(desk, name)
        desk.change(f"boards.{name}", rows[:i] + rows[i + 1 :])

    def build():
        return [
            w.HBox(
                [parts.button(desk, "Take away", lambda i=i: drop(i)), w.HTML(words(row))],
                layout=w.Layout(align_items="center"),
            )
            for i, row in enumerate(getattr(desk.commission.boards, name))
        ]

    return parts.rebuilt(desk, build, lambda c: getattr(c.boards, name))


def add_row(desk: Desk, name: str, row: dict) -> bool:
    return desk.change(f"boards.{name}", [*plain(desk, name), row])


def box(label: str, px: int = 178, **how) -> w.Text:
    return w.Text(description=label, layout=w.Layout(width=f"{px}px"), **how)


def length(label: str, value_mm: float, **how) -> w.Text:
    """A box for a length in the unit of this page."""
    return box(f"{label}, {parts.length_unit()}", value=parts.length_here(value_mm), **how)


def round_here(value_mm: float) -> float:
    """A length to begin with: where inches are shown the whole inch next to it. [mm]"""
    return round(value_mm / MM_PER_INCH) * MM_PER_INCH if show.shown().inches else value_mm


def thickness_most_needed(desk: Desk) -> float:
    """What most of the timber on the cutting list is sawn from, to begin with; 32 mm while there is no list. [mm]"""
    return most_needed_mm(thicknesses(desk.derived.wanted, desk.derived.allowances, show.shown().inches)) or 32.0


def grain_box() -> w.Dropdown:
    return w.Dropdown(description="Grain", options=GRAINS, value=(), layout=w.Layout(width="220px"))


def options_of(choice: w.Dropdown, options) -> None:
    """New options for a choice, which stays on what was chosen where that is still there."""
    if tuple(options) != tuple(choice.options):
        keep = choice.value
        choice.options = options
        values = [value for _, value in options]
        choice.value = keep if keep in values else next(iter(values), None)


def glued_up(desk: Desk) -> str:
    """What to type for boards that are bought glued up; '' where none are."""
    asked = desk.derived.glued_up_words
    return f'<div class="quiet">Wide boards are bought glued up and planed: add them here as a size of their own, with the width they come in. To ask for: {escape(show.words(asked))}.</div>' if asked else ""


def stock_sizes(desk: Desk) -> w.Widget:
    """Sections that a yard sells in lengths, and what each is asked for at."""
    c = desk.commission
    name, yard, grade = (
        box("Name", placeholder="A32; 14 letters at most"),
        box("Yard", placeholder="any"),
        box("Grade", placeholder="as the yard says"),
    )
    wide, thick = length("Width", round_here(200)), length("Thick", thickness_most_needed(desk))
    least, most, step = (
        length("From", round_here(1800)),
        length("To", round_here(3000)),
        length("Step", round_here(300), placeholder="empty: random"),
    )
    price, share = box("Price", placeholder="9.50"), box("Clear, %", placeholder="by grade")
    per = w.Dropdown(
        description="for a", options=["metre", "cubic metre", "board foot"], layout=w.Layout(width="210px")
    )
    grain = grain_box()

    def add():
        row = {
            "name": name.value.strip(),
            "timber": desk.commission.timber.species or "",
            "yard": yard.value.strip(),
            "grade": grade.value.strip(),
            "width_mm": parts.read_length_here(wide.value),
            "thickness_mm": parts.read_length_here(thick.value),
            "least_length_mm": parts.read_length_here(least.value),
            "longest_mm": parts.read_length_here(most.value),
            "step_mm": parts.read_length_here(step.value) if step.value.strip() else None,
            "price": parts.as_money(price.value),
            "per": per.value,
            "grain": list(grain.value),
        }
        if share.value.strip():
            row["yield_pct"] = parts.as_number(share.value)
        if add_row(desk, "stock", row):
            name.value = ""

    def words(s):
        lengths = f"{s.least_length_mm:g} to {s.longest_mm:g} mm" + (
            f" by {s.step_mm:g} mm" if s.step_mm else ", random: only the least is counted on"
        )
        more = "; ".join(x for x in (s.grade, s.yard, " and ".join(s.grain)) if x)
        return show.words(
            f"<b>{escape(s.name)}</b> {escape(s.timber)}, {s.width_mm:g} x {s.thickness_mm:g} mm, {lengths}, "
            f"{s.price} {c.rates.currency} a {s.per}{'; ' + escape(more) if more else ''}"
        )

    wrap = w.Layout(flex_flow="row wrap")
    return w.VBox(
        [
            rows_of(desk, "stock", words),
            parts.live(desk, lambda: glued_up(desk)),
            w.HBox([name, wide, thick, least, most, step], layout=wrap),
            w.HBox([price, per, grade, share, yard, grain], layout=wrap),
            parts.button(desk, "Add this stock size", lambda: said(desk, "boards.stock", add)),
            parts.refusal(desk, "boards.stock"),
        ]
    )


def said(desk: Desk, path: str, act) -> None:
    """Do it, or tell beside the field why it cannot be."""
    try:
        act()
    except ValueError as error:
        desk.refused = {**desk.refused, path: str(error)}


def yards(desk: Desk) -> w.Widget:
    """Yards with what they ask for besides, and the cheapest mix of them."""
    name, least, delivery = box("Yard"), box("Least order", placeholder="0"), box("Delivery", placeholder="0")
    told = w.HTML()
    stopped = threading.Event()
    currency = desk.commission.rates.currency

    def add():
        row = {
            "name": name.value.strip(),
            "minimum_order": parts.as_money(least.value or "0"),
            "delivery": parts.as_money(delivery.value or "0"),
        }
        if add_row(desk, "yards", row):
            name.value = least.value = delivery.value = ""

    def compare():
        d = desk.derived
        rows = mixes(d.wanted, d.offered, d.layout_asked, desk.commission.boards.yards, stop=stopped.is_set)
        if not rows:
            return "<p>No mix of the yards covers the list. See above for what is missing.</p>"
        cells = [
            (
                escape(" and ".join(y or "yard without a name" for y in m.yards) or "the rack alone"),
                len(m.layout.boards_used),
                m.boards_cost,
                m.topped_up or "",
                m.delivery or "",
                f"<b>{m.total}</b>",
            )
            for m in rows[:8]
        ]
        return show.table(
            ("From", "Boards", f"Boards, {currency}", "Short of the least order", "Delivery", "Together"),
            cells,
            numbers=(1, 2, 3, 4, 5),
        ) + ('<div class="quiet">By a first layout of each mix; a search may lower any of them.</div>')

    def larger():
        d = desk.derived
        rows = larger_boards(d.wanted, d.offered, d.layout, d.layout_asked, stopped.is_set)
        if not rows:
            return "<p>No board 600 mm longer or 50 mm wider would save anything by a first layout.</p>"
        return show.table(
            ("Ask whether there is", f"Saves about, {currency}"),
            [(escape(x.words), x.saves) for x in rows],
            numbers=(1,),
        )

    def work(act):
        def run():
            try:
                told.value = show.page(act())
            except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
                told.value = show.page(f'<p class="fails">{escape(str(error) or type(error).__name__)}</p>')

        told.value = show.page("<p>Comparing.</p>")
        threading.Thread(target=run, daemon=True).start()

    return w.VBox(
        [
            rows_of(
                desk,
                "yards",
                lambda y: f"<b>{escape(y.name)}</b>: least order {y.minimum_order}, delivery {y.delivery} {currency}",
            ),
            w.HBox(
                [name, least, delivery, parts.button(desk, "Add this yard", lambda: said(desk, "boards.yards", add))],
                layout=w.Layout(flex_flow="row wrap"),
            ),
            parts.refusal(desk, "boards.yards"),
            w.HBox(
                [
                    parts.button(
                        desk, "Compare the yards", lambda: work(compare), "Every mix of yards that covers the list"
                    ),
                    parts.button(desk, "Would a larger board save?", lambda: work(larger)),
                ]
            ),
            told,
        ]
    )


def asking(desk: Desk) -> str:
    """What to say on the telephone."""
    d = desk.derived
    if not d.phone_list:
        return '<p class="quiet">Nothing to ask for: no boards are laid out from a yard.</p>'
    rows = [
        (
            line.count,
            escape((f"{line.yard}: " if line.yard else "") + ("hold " if line.seen else "") + line.words),
            line.cost,
        )
        for line in d.phone_list
    ]
    return show.table(("No.", "Ask for", "Together"), rows, numbers=(0, 2)) + (
        f"<p>{escape(reserve_words(d))}</p>" if d.reserves else ""
    )


def from_the_yard(desk: Desk) -> w.Widget:
    """Lines brought home from the yard's page, or typed."""
    lines = w.Textarea(
        placeholder=(
            "Y1; 96 1/2 x 9 to 8 x 1 1/4 at 46.90 taken; knot front 47 1/4-50 3/4 x 0-1 3/4\nY2; 96 x 8 3/4 x 1 1/4 at 44.90 put back"
            if show.shown().inches else
            "Y1; 2450 x 230 to 205 x 32 at 46.90 taken; knot front 1200-1290 x 0-45\nY2; 2400 x 225 x 32 at 44.90 put back"
        ),
        rows=4,
        layout=w.Layout(width="720px"),
    )

    def read():
        sold = {}
        names = {s.name: s for s in desk.commission.boards.stock}
        for b in desk.derived.offered:
            if b.asked:
                s = names.get(b.ref.rpartition(" ")[0].rpartition(" ")[0])
                sold[b.ref] = {
                    "timber": b.timber,
                    "price": str(b.price),
                    "grade": b.grade,
                    "yard": s.yard if s else "",
                    "grain": list(b.grain),
                }
        found = brought_home(
            plain(desk, "offered"), read_boards(lines.value, show.shown()), sold, desk.commission.timber.species or ""
        )
        if desk.change("boards.offered", found):
            lines.value = ""

    return w.VBox(
        [
            w.HTML(
                show.page(
                    '<div class="quiet">The papers hold <b>at the yard.pdf</b>, one sheet to tick off, and <b>at the yard.html</b>, a narrow page for a tablet '
                    "that needs no connection. What you enter there comes back as lines to paste here.</div>"
                )
            ),
            lines,
            parts.button(desk, "Read these lines", lambda: said(desk, "boards.offered", read)),
        ]
    )


def rack(desk: Desk) -> w.Widget:
    """What is in the rack: offer it to this job; put this job's leftovers there."""
    told, held = w.HTML(), w.VBox([lying(desk)])

    def keep():
        try:
            fresh, used = desk.book.rack.keep_leftovers(
                desk.derived.layout, desk.commission.ref, desk.commission.boards.offered, date.today()
            )
        except ValueError as error:
            told.value = show.page(f"<p>{escape(str(error))}</p>")
            return
        told.value = show.page(f"<p>{len(fresh)} leftovers put on the rack, {len(used)} boards of the rack used up.</p>")
        held.children = (lying(desk),)

    return w.VBox([held, parts.button(desk, "Put this job's leftovers on the rack", keep, "With their sizes and faults, for the next job"), told])
