"""The brief: who, where, how long, what room, what money."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.commission import Item
from studio_lib.forms import FORMS
from studio_lib.questions import open_questions
from studio_lib.timber import PLACES, climates
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.heading("Who asks, and for what"),
        parts.text(desk, "title", "Commission"),
        parts.text(desk, "client", "Client, by role", "the village library; a family of five"),
        parts.long_text(desk, "brief.asked", "In the client's words"),
        pieces(desk),
        parts.heading("Who uses it"),
        parts.whole(desk, "brief.people", "People at once", "sets length and places"),
        parts.percent(desk, "brief.share_women", "Women among them", "body sizes differ; 50 if you do not know"),
        parts.choice(desk, "brief.use", "Use", ["household", "public"], "public use is loaded harder"),
        parts.tick(desk, "brief.children", "Children use it", "gaps that catch fingers are looked for"),
        parts.tick(desk, "brief.wheelchair", "A wheelchair pulls up to it", "knee room is raised"),
        parts.heading("Where it stands"),
        parts.choice(desk, "brief.place", "Place", list(PLACES), "decides which timbers last and how much they move"),
        parts.choice(desk, "brief.climate", "Climate", [c.name for c in climates()], "decides the moisture of the timber over the year"),
        parts.whole(desk, "brief.years_wanted", "Years it should last"),
        parts.choice(desk, "brief.finish", "Finish", ["left bare", "oil", "hard-wax oil"], "what the client will really keep up"),
        parts.optional_number(desk, "brief.space_length_mm", "Room, length", "mm"),
        parts.optional_number(desk, "brief.space_width_mm", "Room, width", "mm"),
        openings(desk),
        parts.heading("What it must look like and be"),
        parts.choice(desk, "brief.wants.tone", "Colour of the wood", ["any", "light", "mid", "dark"]),
        parts.tick(desk, "brief.wants.may_go_grey", "It may go grey"),
        parts.how_much(desk, "brief.wants.small_movement", "Moves little"),
        parts.how_much(desk, "brief.wants.light_weight", "Light to carry"),
        parts.how_much(desk, "brief.wants.hard_surface", "Hard surface"),
        parts.how_much(desk, "brief.wants.easy_to_work", "Easy to work and glue"),
        parts.how_much(desk, "brief.wants.no_tannin_run", "Does not stain paving"),
        parts.heading("Money and time"),
        parts.money(desk, "brief.budget", "Budget, tax included"),
        parts.day(desk, "brief.wanted_by", "Wanted by"),
        parts.long_text(desk, "notes", "Notes"),
        parts.live(desk, lambda: questions(desk)),
    ])


def questions(desk: Desk) -> str:
    """Questions still open, with what each holds up."""
    still = open_questions(desk.commission)
    if not still:
        return '<h3>Still open</h3><div class="stands">Nothing. Every question of this page is answered.</div>'
    rows = [(escape(q.asks), escape(q.blocks), q.page) for q in still]
    return "<h3>Still open</h3>" + show.table(("Question", "It holds up", "Page"), rows)


def pieces(desk: Desk) -> w.Widget:
    """The pieces of the commission: name, form, how many; add and take away."""

    def build():
        rows = []
        for i, item in enumerate(desk.commission.items):
            rows.append(w.HBox([
                parts.text(desk, f"items.{i}.name", f"Piece {i + 1}", item.form, 420),
                parts.whole(desk, f"items.{i}.count", "How many"),
                parts.button(desk, "Take away", lambda i=i: remove(desk, "items", i)),
            ], layout=w.Layout(flex_flow="row wrap")))
        return rows

    form = w.Dropdown(options=list(FORMS), description="Add a piece", style=parts.STYLE)
    name = w.Text(placeholder="its name", layout=w.Layout(width="200px"))

    def add():
        called = name.value.strip() or form.value
        items = [i.model_dump(mode="json") for i in desk.commission.items]
        if desk.change("items", [*items, Item(name=called, form=form.value).model_dump(mode="json")]):
            name.value = ""

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: (len(c.items), tuple(i.form for i in c.items))),
        w.HBox([form, name, parts.button(desk, "Add it", add)]),
        parts.refusal(desk, "items"),
    ])


def openings(desk: Desk) -> w.Widget:
    """Doors, stairs and lifts on the way in."""

    def build():
        return [
            w.HBox([
                w.HTML(f'<span style="display:inline-block;width:{parts.LABEL};text-align:right">Way in: {escape(o.name)}</span>'),
                w.HTML(f"&nbsp;{o.width_mm:g} wide x {o.height_mm:g} high, mm&nbsp;"),
                parts.button(desk, "Take away", lambda i=i: remove(desk, "brief.openings", i)),
            ])
            for i, o in enumerate(desk.commission.brief.openings)
        ]

    name = w.Text(description="Add a way in", placeholder="front door", style=parts.STYLE)
    wide = w.FloatText(description="wide, mm", value=800, layout=w.Layout(width="170px"))
    high = w.FloatText(description="high, mm", value=2000, layout=w.Layout(width="170px"))

    def add():
        present = [o.model_dump(mode="json") for o in desk.commission.brief.openings]
        new = {"name": name.value.strip() or "opening", "width_mm": wide.value, "height_mm": high.value}
        desk.change("brief.openings", [*present, new])

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: c.brief.openings),
        w.HBox([name, wide, high, parts.button(desk, "Add it", add)]),
        parts.refusal(desk, "brief.openings"),
    ])


def remove(desk: Desk, path: str, index: int) -> None:
    rows = [r.model_dump(mode="json") for r in parts.at(path)(desk.commission)]
    desk.change(path, rows[:index] + rows[index + 1 :])
