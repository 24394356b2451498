"""What the workbook relies on: every formula, table, figure, rule and default, with its source and how well it is known."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.sources import HOW_KNOWN, counted, of_commission, on_file
from workbook import parts, show
from workbook.desk import Desk

MOST = 80
"""Lines on the page at once; a search finds the others."""
ALL = "everything"
KINDS = (("everything", ""), ("tables", "table"), ("named figures", "figure"), ("formulas", "formula"),
         ("rules that judged this commission", "rule"), ("where proposed sizes come from", "proposal"),
         ("what a new commission begins with", "default"))


def panel(desk: Desk) -> w.Widget:
    search = w.Text(placeholder="search: tenon, moisture, EN 350, oak", layout=w.Layout(width="320px"), continuous_update=True)
    kind = w.Dropdown(options=KINDS, layout=w.Layout(width="300px"))
    known = w.Dropdown(options=[("known in any way", ""), *((k, k) for k in HOW_KNOWN)], layout=w.Layout(width="260px"))
    out = w.HTML()

    def fill(_change=None):
        entries = (*of_commission(desk.derived), *on_file())
        words = search.value.lower().split()
        found = [
            e for e in entries
            if kind.value in ("", e.kind) and known.value in ("", e.known)
            and all(word in f"{e.part} {e.what} {e.value} {e.source}".lower() for word in words)
        ]
        rows = [
            (escape(e.part), escape(e.what), escape(e.value), f'<span class="quiet">{escape(e.source)}</span>', escape(e.known))
            for e in found[:MOST]
        ]
        more = f" The first {MOST} are shown; search for the others." if len(found) > MOST else ""
        tally = ", ".join(f"{n} {k}" for k, n in counted(found).items() if n)
        out.value = show.page(
            f'<p>{len(found)} of {len(entries)}{": " + tally if tally else ""}.{more}</p>'
            + (show.table(("Part", "What", "Value", "Source", "How well known"), rows) if rows else "")
        )

    for control in (search, kind, known):
        control.observe(fill, "value")
    parts.watched(desk, ["commission"], fill)
    return w.VBox([w.HBox([search, kind, known], layout=w.Layout(flex_flow="row wrap")), out])
