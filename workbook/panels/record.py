"""The record of one commission: its revisions, two of them compared, decisions, invoices, the client, hours spent."""

from __future__ import annotations

import base64
import json
from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.commission import HourEntry
from studio_lib.compare import changes, outcome
from studio_lib.costing.operations import standard_times
from studio_lib.costing.records import hours_by_operation, ratios
from studio_lib.jobbook.jobs import INVOICES, Contact, Invoice
from studio_lib.jobbook.private import erase, given_out
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.heading("Every saved state of this commission"),
        revisions(desk),
        parts.folded(
            ("Hours spent", hours(desk)), ("Decisions and accepted risks", decisions(desk)), ("Papers issued", papers(desk)),
            ("Invoices", invoices(desk)), ("Who the client is", client(desk)), ("Lessons for later jobs", lessons(desk)),
            opened=0,
        ),
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
            (f"{r.number}  {show.when(r.saved_at)}  {r.name or ''}  {r.reason[:60]}", r.number) for r in saved
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
        rows = [(escape(c.label), escape(c.was or "not there"), escape(c.after or "taken away")) for c in changes(a, b)]
        said = "; ".join(outcome(a, b, desk.known))
        compared.value = show.page(
            (show.table(("What", f"Revision {old.value}", f"Revision {new.value}"), rows) if rows else "<p>No difference.</p>")
            + (f"<p>What it does: {escape(said)}.</p>" if said else "")
        )

    def restore():
        desk.go_back(old.value)

    def branch():
        called = name.value.strip()
        if not called:
            raise ValueError("Give the option a name first, in the box where a revision is named.")
        if desk.branch(old.value, called):
            name.value = ""
            desk.notice = f"Revision {old.value} is kept as the option '{called}'; take it in hand on the Brief page."

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
                name, parts.button(desk, "Give 'To' this name", give_name),
                parts.button(desk, "Keep 'From' as an option of this name", branch)], layout=w.Layout(flex_flow="row wrap")),
        compared,
    ])


# ---------------------------------------------------------------- decisions, papers, invoices


def decisions(desk: Desk) -> w.Widget:
    """What was decided and by whom, by role; stops that someone answers for stand with them."""

    def accepted() -> str:
        rows = [(a.on.isoformat(), escape(a.role), escape(a.key), escape(a.reason)) for a in desk.commission.accepted]
        return "<p>Stops accepted:</p>" + show.table(("On", "By", "Stop", "Why"), rows) if rows else ""

    return w.VBox([said_and_kept(desk, "decision", desk.ref, "what was decided, and why"), parts.live(desk, accepted)])


def lessons(desk: Desk) -> w.Widget:
    """What this job taught; lessons of all jobs are shown."""
    return said_and_kept(desk, "lesson", "", "what to do otherwise next time")


def said_and_kept(desk: Desk, kind: str, of: str, hint: str) -> w.Widget:
    """Notes of one kind, and a line to write another."""
    says = w.Text(placeholder=hint, layout=w.Layout(width="520px"))
    who = w.Text(placeholder="by whom, by role", layout=w.Layout(width="180px"))
    shown = w.HTML()

    def fill():
        rows = [(n.day, escape(n.ref), escape(n.who), escape(n.says)) for n in desk.book.jobs.notes(of, kind)]
        shown.value = show.page(show.table(("Day", "Job", "By", kind.capitalize()), rows) if rows else f'<p class="quiet">No {kind} yet.</p>')

    def add():
        desk.book.jobs.say(desk.ref, kind, says.value, who.value)
        says.value = ""
        fill()

    fill()
    return w.VBox([shown, w.HBox([says, who, parts.button(desk, "Write down", add)], layout=w.Layout(flex_flow="row wrap"))])


def papers(desk: Desk) -> w.Widget:
    """Papers that went out, each with the fingerprint of its exact bytes, and to be had again."""
    shown, link = w.HTML(), w.HTML()
    which = w.Dropdown(tooltip="Which one", layout=w.Layout(width="520px"))

    def fill():
        kept = desk.book.papers(desk.ref)
        rows = [(escape(name), number, show.when(when), f"<code>{digest[:16]}</code>") for name, number, when, digest in kept]
        shown.value = show.page(
            show.table(("Paper", "Revision", "When", "SHA-256 begins"), rows) if rows else '<p class="quiet">No paper issued yet.</p>'
        )
        which.options = [(f"{name}, revision {number}, {show.when(when)}", digest) for name, number, when, digest in kept]
        which.index = 0 if kept else None

    def have():
        if which.value:
            name = which.label.split(",")[0]
            data = base64.b64encode(desk.book.paper(desk.ref, which.value)).decode()
            link.value = show.page(
                f'<a href="data:application/octet-stream;base64,{data}" download="{escape(name)}">'
                f"Save {escape(name)}, exactly as it went out</a>"
            )

    parts.watched(desk, ["commission", "revision"], fill)
    return w.VBox([shown, w.HBox([which, parts.button(desk, "Have it again", have)]), link])


def invoices(desk: Desk) -> w.Widget:
    """Invoices that went out, and when they were paid."""
    number = w.Text(placeholder="number", layout=w.Layout(width="130px"))
    kind = w.Dropdown(options=INVOICES, tooltip="Which kind of invoice", layout=w.Layout(width="120px"))
    net = w.Text(placeholder="net of tax", layout=w.Layout(width="110px"))
    tax = w.Text(placeholder="tax", layout=w.Layout(width="100px"))
    day = w.DatePicker(value=date.today(), layout=w.Layout(width="150px"))
    shown, due = w.HTML(), w.Dropdown(tooltip="Which invoice", layout=w.Layout(width="200px"))

    def fill():
        kept = desk.book.jobs.invoices(desk.ref)
        rows = [(escape(i.number), i.kind, i.issued_on, i.net, i.tax, i.currency, i.paid_on or "not yet") for i in kept]
        shown.value = show.page(
            show.table(("Number", "Kind", "Issued", "Net", "Tax", "", "Paid"), rows, numbers=(3, 4)) if rows
            else '<p class="quiet">No invoice yet.</p>'
        )
        due.options = [i.number for i in kept if not i.paid_on]
        due.index = 0 if due.options else None

    def add():
        desk.book.jobs.invoice(desk.ref, Invoice(
            number.value.strip(), kind.value, (day.value or date.today()).isoformat(), parts.as_money(net.value),
            parts.as_money(tax.value or "0"), desk.commission.rates.currency,
        ))
        number.value = net.value = tax.value = ""
        fill()

    def paid():
        if due.value:
            desk.book.jobs.paid(due.value, day.value or date.today())
            fill()

    fill()
    return w.VBox([
        shown, w.HBox([number, kind, net, tax, day, parts.button(desk, "Write it down", add)], layout=w.Layout(flex_flow="row wrap")),
        w.HBox([due, parts.button(desk, "Paid on that day", paid)]),
    ])


# ---------------------------------------------------------------- the client


def client(desk: Desk) -> w.Widget:
    """Name and address, kept apart from the document and its papers; given out or erased on request."""
    now = desk.book.jobs.contact(desk.ref)
    asked = {"name": "Name", "address": "Address", "phone": "Telephone", "email": "Mail", "note": "How to reach them"}
    boxes = {
        name: (w.Textarea if name == "address" else w.Text)(
            value=getattr(now, name), description=label, style=parts.STYLE, layout=w.Layout(width="560px"),
            continuous_update=False,
        ) for name, label in asked.items()
    }
    more = w.Text(placeholder="other words to erase, with commas between", layout=w.Layout(width="360px"))
    keep_papers = w.Checkbox(
        description="keep papers that name them (an invoice, as long as the law asks)", indent=False,
        layout=w.Layout(width="auto"),
    )
    said = w.HTML()
    busy = [False]

    def keep(_change):
        if not busy[0]:
            desk.book.jobs.keep_contact(desk.ref, Contact(**{name: box.value.strip() for name, box in boxes.items()}))

    def words():
        return tuple(word.strip() for word in more.value.split(",") if word.strip())

    def give_out():
        data = json.dumps(given_out(desk.book, desk.ref, words()), indent=1, ensure_ascii=False).encode()
        said.value = show.page(
            f'<a href="data:application/json;base64,{base64.b64encode(data).decode()}" download="{escape(desk.ref)} person.json">'
            "Save all that is kept of this person</a>"
        )

    def erase_now():
        sure.layout.display = "none"
        found = erase(desk.book, desk.ref, words(), papers=not keep_papers.value)
        busy[0] = True
        for box in boxes.values():
            box.value = ""
        busy[0] = False
        desk.read_again()
        said.value = show.page(f"<p>{escape(found.words)}</p>")

    sure = parts.button(desk, "Erase for good", erase_now)
    sure.layout.display = "none"
    for box in boxes.values():
        box.observe(keep, "value")
    return w.VBox([
        w.HTML(show.page('<p class="quiet">Kept in this book only: the document and its papers name people by role.</p>')),
        *boxes.values(),
        w.HBox([parts.button(desk, "Give out what is kept of them", give_out),
                parts.button(desk, "Erase them from the record", lambda: setattr(sure.layout, "display", "")), sure],
               layout=w.Layout(flex_flow="row wrap")),
        w.HBox([more, keep_papers], layout=w.Layout(flex_flow="row wrap", align_items="center")), said,
    ])


# ---------------------------------------------------------------- hours


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
