"""What keeps the papers back, and what was knowingly accepted: on the Brief and Price pages all of it, on Sizes and Joints what their checks found."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.brief.stops import figure_of
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk, stage: str = "") -> w.Widget:
    """Findings that keep the papers back; each can be answered for, by role, with a reason. ``stage``: those of one page's checks alone."""

    def here():
        return [s for s in desk.derived.stops if stage in ("", s.finding.stage)]

    def one(stop) -> w.Widget:
        words = w.HTML(show.page(f'<p class="fails">Stop: {escape(stop.says)}</p>'))
        before = stop.lapsed
        role = w.Text(before.role if before else "", placeholder="who answers for it, by role", layout=w.Layout(width="220px"))
        reason = w.Text(before.reason if before else "", placeholder="why: your own note, stays in the book", layout=w.Layout(width="420px"))
        condition = w.Text(before.condition if before else "", placeholder="condition told to the client: printed in the terms of the quote; may stay empty", layout=w.Layout(width="644px"))

        told = w.HTML()

        def accept():
            if not (role.value.strip() and reason.value.strip()):
                told.value = show.page('<p class="fails">Not accepted yet: say who answers for it, by role, and why, in the two boxes above.</p>')
                return
            present = [a.model_dump(mode="json") for a in desk.commission.accepted if a.key != stop.key]
            desk.change("accepted", [*present, {
                "key": stop.key, "role": role.value.strip(), "on": date.today().isoformat(), "reason": reason.value.strip(),
                "condition": condition.value.strip(), "utilisation": stop.finding.utilisation, "figure": figure_of(stop.finding),
            }])

        return w.VBox([words, w.HBox([role, reason]), w.HBox([condition, parts.button(desk, "Accept it knowingly", accept)]), told])

    def taken_back(stop) -> w.Widget:
        def withdraw():
            desk.change("accepted", [
                a.model_dump(mode="json") for a in desk.commission.accepted if a.key != stop.key
            ])

        words = w.HTML(show.page(f'<p class="again">{escape(stop.says)}</p>'))
        return w.HBox([words, parts.button(desk, "Take it back", withdraw)])

    def build():
        rows = [one(s) if s.holds else taken_back(s) for s in here()]
        return [parts.heading("Stops"), *rows] if rows else []

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: tuple((s.key, s.holds, s.says) for s in here())),
        parts.refusal(desk, "accepted"),
    ])
