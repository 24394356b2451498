"""What the client asked for, point by point, each answered: on the Brief page, and beside the quote that prints it."""

from __future__ import annotations

import ipywidgets as w

from studio_lib.brief.points import with_points
from workbook import parts
from workbook.desk import Desk

ANSWERS = [("no answer yet", ""), ("in this price", "in it"), ("in part", "in part"), ("not in this price", "not in it"), ("noted", "noted")]


def panel(desk: Desk) -> w.Widget:
    own = w.Text(placeholder="one thing more that they asked for", layout=w.Layout(width="420px"))

    def present() -> list[dict]:
        return [p.model_dump(mode="json") for p in desk.commission.brief.points]

    def apart():
        rows = with_points(desk.commission.brief)
        if len(rows) == len(desk.commission.brief.points):
            raise ValueError("Every part of the client's words is among the points already."
                             if desk.commission.brief.asked else "Write down first, under 'The piece', what the client asked for, in their words.")
        desk.change("brief.points", rows)

    def add():
        if own.value.strip() and desk.change("brief.points", [*present(), {"words": own.value.strip()}]):
            own.value = ""

    def build():
        return [one(desk, i, lambda i=i: desk.change("brief.points", [p for k, p in enumerate(present()) if k != i]))
                for i in range(len(desk.commission.brief.points))]

    return w.VBox([
        parts.quiet("The quote prints each with its answer, and of one without that it is not settled yet, so that nobody takes for included what is not."),
        parts.rebuilt(desk, build, lambda c: len(c.brief.points)),
        w.HBox([parts.button(desk, "Take the client's words apart", apart, "A point for each thing they ask; change them as you like"),
                own, parts.button(desk, "Add this point", add)], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "brief.points", within=False),
    ])


IN_WORDS, IN_NOTE = 52, 43
"""Letters that a line of either box holds."""


def lines_of(text: str, letters: int) -> int:
    """How many lines a text takes in a box of so many letters."""
    return sum(max(1, -(-len(line) // letters)) for line in (text or "").split("\n"))


def one(desk: Desk, i: int, away) -> w.Widget:
    """One point: its words, its answer, a note."""
    path, plain = f"brief.points.{i}", {"description_width": "0px"}
    words = w.Textarea(rows=2, style=plain, layout=w.Layout(width="430px"), continuous_update=False)
    answer = w.Dropdown(options=ANSWERS, style=plain, layout=w.Layout(width="170px"))
    note = w.Textarea(rows=2, style=plain, layout=w.Layout(width="360px"), continuous_update=False, placeholder="how, or why not: printed beside it")
    for box, told in ((words, f"Point {i + 1}"), (answer, f"Answer to point {i + 1}"), (note, f"Note on point {i + 1}")):
        box.tooltip = told
    words.observe(lambda change: setattr(words, "rows", max(2, lines_of(change.new, IN_WORDS))), "value")
    note.observe(lambda change: setattr(note, "rows", max(2, lines_of(change.new, IN_NOTE))), "value")
    points = desk.commission.brief.points
    if i < len(points):  # as many lines as its words take, so that none is hidden
        words.rows, note.rows = max(2, lines_of(points[i].words, IN_WORDS)), max(2, lines_of(points[i].note, IN_NOTE))
    fields = [parts.Field(desk, f"{path}.{name}", box, parts.at(f"{path}.{name}")) for name, box in (("words", words), ("answer", answer), ("note", note))]
    return w.HBox([*fields, parts.button(desk, "Take away", away)], layout=w.Layout(flex_flow="row wrap", align_items="flex-start"))
