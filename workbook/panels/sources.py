"""What the workbook relies on: every formula, table, figure, rule and default, with its source and how well it is known."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.sources import HOW_KNOWN, counted, found, of_commission, on_file
from workbook import parts, show
from workbook.desk import Desk

MOST = 80
"""Lines on the page at once; a search finds the others."""
KINDS = (("everything", ""), ("tables", "table"), ("named figures", "figure"), ("formulas", "formula"),
         ("rules that judged this commission", "rule"), ("where proposed sizes come from", "proposal"),
         ("what a new commission begins with", "default"))


def panel(desk: Desk) -> w.Widget:
    search = w.Text(placeholder="search: tenon, moisture, EN 350, oak", layout=w.Layout(width="320px"), continuous_update=True)
    kind = w.Dropdown(options=KINDS, tooltip="Which kind", layout=w.Layout(width="300px"))
    known = w.Dropdown(options=[("known in any way", ""), *((k, k) for k in HOW_KNOWN)], tooltip="How well known", layout=w.Layout(width="260px"))
    out = w.HTML()

    def fill(_change=None):
        entries = (*of_commission(desk.derived), *on_file())
        listed = found(entries, search.value, kind.value, known.value)
        rows = [
            (escape(e.part), escape(e.what), escape(e.value), f'<span class="quiet">{escape(e.source)}</span>', escape(e.known))
            for e in listed[:MOST]
        ]
        more = f" The first {MOST} are shown; search for the others." if len(listed) > MOST else ""
        tally = ", ".join(f"{n} {k}" for k, n in counted(listed).items() if n)
        out.value = show.page(
            f'<p>{len(listed)} of {len(entries)}{": " + tally if tally else ""}.{more}</p>'
            + (show.table(("Part", "What", "Value", "Source", "How well known"), rows) if rows else "")
        )

    for control in (search, kind, known):
        control.observe(fill, "value")
    parts.watched(desk, ["commission"], fill)
    return w.VBox([parts.heading("Look one up"), w.HBox([search, kind, known], layout=w.Layout(flex_flow="row wrap")), out])
