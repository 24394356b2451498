"""The record: commissions in the book, revisions of this one, two of them compared, hours spent."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.commission import Commission, HourEntry
from studio_lib.compare import changes, outcome
from studio_lib.costing.operations import standard_times
from studio_lib.costing.records import hours_by_operation, ratios
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.heading("This commission"),
        revisions(desk),
        parts.heading("Hours spent"),
        hours(desk),
        parts.heading("All commissions in the book"),
        commissions(desk),
        parts.heading("You, as papers name you"),
        sender(desk),
    ])


def revisions(desk: Desk) -> w.Widget:
    """Every saved state: name it, go back to it, hold two against each other."""
    old = w.Dropdown(description="From", style=parts.STYLE, layout=w.Layout(width="560px"))
    new = w.Dropdown(description="To", style=parts.STYLE, layout=w.Layout(width="560px"))
    name = w.Text(placeholder="as quoted", layout=w.Layout(width="200px"))
    compared = w.HTML()

    def fill():
        saved = desk.book.revisions(desk.commission.ref)
        options = [
            (f"{r.number}  {r.saved_at[:16].replace('T', ' ')}  {r.name or ''}  {r.reason[:60]}", r.number) for r in saved
        ]
        for box, at_first in ((old, options[min(1, len(options) - 1)][1]), (new, options[0][1])):
            keep = box.value if box.value in [n for _, n in options] else at_first
            box.options = options
            box.value = keep if box is old else options[0][1]

    def compare(_change=None):
        if old.value is None or new.value is None:
            return
        a, _ = desk.book.open(desk.commission.ref, old.value)
        b, _ = desk.book.open(desk.commission.ref, new.value)
        rows = [(escape(c.label), escape(c.before), escape(c.after)) for c in changes(a, b)]
        said = "; ".join(outcome(a, b, desk.known))
        compared.value = show.page(
            (show.table(("What", f"Revision {old.value}", f"Revision {new.value}"), rows) if rows else "<p>No difference.</p>")
            + (f"<p>What it does: {escape(said)}.</p>" if said else "")
        )

    def restore():
        desk.go_back(old.value)

    def give_name():
        desk.book.name_revision(desk.commission.ref, new.value, name.value)
        name.value = ""
        fill()

    old.observe(compare, "value")
    new.observe(compare, "value")
    parts.watched(desk, ["commission", "revision"], fill)
    compare()
    return w.VBox([
        old, new,
        w.HBox([parts.button(desk, "Go back to 'From'", restore, "As a new revision; hours, notes and accepted stops stay as they are now"),
                name, parts.button(desk, "Give 'To' this name", give_name)]),
        compared,
        parts.live(desk, lambda: issued(desk), ("commission", "revision")),
    ])


def issued(desk: Desk) -> str:
    """Papers that went out, each with the fingerprint of its exact bytes."""
    kept = desk.book.papers(desk.commission.ref)
    if not kept:
        return '<p class="quiet">No paper issued yet.</p>'
    rows = [(escape(name), number, when[:16].replace("T", " "), f'<code>{digest[:16]}</code>') for name, number, when, digest in kept]
    return f"<details><summary>Papers issued ({len(rows)})</summary>{show.table(('Paper', 'Revision', 'When', 'SHA-256 begins'), rows)}</details>"


def hours(desk: Desk) -> w.Widget:
    """Time really spent, so that the next quote knows better."""
    operation = w.Dropdown(options=list(standard_times()), description="Operation", style=parts.STYLE, layout=w.Layout(width="520px"))
    minutes = w.FloatText(value=30, description="Minutes", layout=w.Layout(width="200px"))
    when = w.DatePicker(value=date.today(), description="Day")

    def add():
        present = [h.model_dump(mode="json") for h in desk.commission.hours]
        desk.change("hours", [*present, {
            "day": (when.value or date.today()).isoformat(), "operation": operation.value, "minutes": minutes.value,
        }])

    out = []

    def take_out(i):
        rows = [h.model_dump(mode="json") for h in desk.commission.hours]
        if desk.change("hours", rows[:i] + rows[i + 1 :]):
            out[:] = [(i, rows[i])]
            again.description, again.layout.display = f"Put back {entry_words(HourEntry(**rows[i]))}", ""

    def put_back():
        i, row = out.pop()
        rows = [h.model_dump(mode="json") for h in desk.commission.hours]
        desk.change("hours", [*rows[:i], row, *rows[i:]])
        again.layout.display = "none"

    def entries():
        return [
            w.HBox([parts.button(desk, "Take out", lambda i=i: take_out(i)), w.HTML(show.page(escape(entry_words(h))))],
                   layout=w.Layout(align_items="center"))
            for i, h in enumerate(desk.commission.hours)
        ]

    again = parts.button(desk, "Put back", put_back, "Earlier revisions keep it as well")
    again.layout.display = "none"

    def spent() -> str:
        spent_h = hours_by_operation(desk.commission.hours)
        if not spent_h:
            return '<p class="quiet">No time written down yet. Minutes, not half days.</p>'
        against = ratios(desk.derived.work, desk.commission.hours)
        rows = [(escape(o), f"{h:.2f}", f"{against[o]:.2f}" if o in against else "") for o, h in spent_h.items()]
        return show.table(("Operation", "Hours spent", "Of what was reckoned"), rows, numbers=(1, 2))

    return w.VBox([
        w.HBox([operation, minutes, when, parts.button(desk, "Write down", add)], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "hours"), parts.live(desk, spent),
        parts.folded(("Each entry", parts.rebuilt(desk, entries, lambda c: c.hours))), again,
        parts.tick(desk, "finished", "All hours of this job are written down", "later quotes then learn from them"),
    ])


def entry_words(h: HourEntry) -> str:
    """One entry as it was written down."""
    return f"{h.day.isoformat()}, {h.operation}, {h.minutes:g} minutes" + (f" ({h.note})" if h.note else "")


def commissions(desk: Desk) -> w.Widget:
    """The book: look for a commission, take it up, begin a new one."""
    search = w.Text(placeholder="search by reference, title or client", layout=w.Layout(width="320px"), continuous_update=True)
    found = w.Select(rows=6, layout=w.Layout(width="640px"))
    title = w.Text(placeholder="title of a new commission", layout=w.Layout(width="320px"))
    said = w.HTML()

    def fill(_change=None):
        found.options = [
            (f"{e.ref}  {e.title}  ({e.client})  changed {e.changed_at[:10]}", e.ref) for e in desk.book.commissions(search.value)
        ]

    def take_up():
        if found.value:
            desk.book.take_up(found.value)
            said.value = show.page(f"<p>{escape(found.value)} is in hand. Open any page, or run this one again from the top.</p>")

    def begin():
        document = Commission(ref=desk.book.next_ref(), title=title.value.strip() or "New commission")
        desk.book.add(document)
        desk.book.take_up(document.ref)
        fill()
        said.value = show.page(f"<p>{escape(document.ref)} is begun and in hand. Go to the Brief page.</p>")

    search.observe(fill, "value")
    fill()
    return w.VBox([
        search, found,
        w.HBox([parts.button(desk, "Take it up", take_up), title, parts.button(desk, "Begin a new commission", begin)]), said,
    ])


def sender(desk: Desk) -> w.Widget:
    lines = w.Textarea(value=desk.book.maker, rows=4, placeholder="name\nstreet\ntown\ntax number",
                       layout=w.Layout(width="420px"), continuous_update=False)

    def keep(change):
        desk.book.maker = change.new

    lines.observe(keep, "value")
    return lines
