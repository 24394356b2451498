"""The book itself: jobs in hand with their next step, search, a new one, back-up and moving."""

from __future__ import annotations

import base64
import tempfile
import threading
from datetime import date
from html import escape
from pathlib import Path

import ipywidgets as w

from studio_lib.derive import derive
from studio_lib.jobbook.backup import back_up, copies
from studio_lib.jobbook.book import Entry
from studio_lib.jobbook.exchange import bring_in, export, take_in_copy
from studio_lib.jobbook.jobs import NEXT, STATES
from studio_lib.look.small import SIZE_PX, small_png
from studio_lib.showing import FINEST
from workbook import parts, show
from workbook.desk import Desk
from workbook.panels.price import money_locales, own_money
from workbook.panels.rack import prices, rack

SHOWN = 30
"""Jobs on the page at once; a search finds the others."""


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        jobs(desk),
        parts.heading("How the job in hand stands"),
        state(desk),
        parts.heading("The workshop"),
        parts.folded(
            ("Boards and offcuts in the rack", rack(desk)), ("Price lists", prices(desk)),
            ("You, as papers name you", sender(desk)), ("Your country, your money, your hour", own_money(desk)), ("Inches or millimetres, money and dates", showing(desk)),
        ),
        parts.heading("The book: back-up and moving"),
        keeping(desk),
    ])


def showing(desk: Desk) -> w.Widget:
    """How lengths, money and days are written; a new commission begins like the one before it."""
    return w.VBox([
        parts.choice(desk, "showing.lengths", "Lengths", [("millimetres", "mm"), ("inches with fractions", "in")]),
        parts.choice(desk, "showing.finest", "Finest part of an inch", [(f"1/{n}", n) for n in FINEST]),
        parts.choice(desk, "showing.locale", "Money and dates as in", money_locales()),
        w.HTML(show.page(
            '<div class="quiet">For this commission, its pages and what the client is given. A length may be typed in any '
            "unit: 740&nbsp;mm, 29 1/8 in, 2 ft 5 in. The cutting list is in them on paper too; drawings, setting out and rods stay in millimetres.</div>"
        )),
    ])


# ---------------------------------------------------------------- jobs


def jobs(desk: Desk) -> w.Widget:
    """Jobs in hand, the last changed first; any other by a search."""
    search = w.Text(placeholder="search: reference, title, client, note", layout=w.Layout(width="340px"), continuous_update=True)
    over = w.Checkbox(description="closed and declined ones too", indent=False, layout=w.Layout(width="auto"))
    title = w.Text(placeholder="title of a new commission", layout=w.Layout(width="340px"), continuous_update=True)
    rows, count, drawing, shown = w.VBox(), w.HTML(), set(), {}

    def fill(_change=None):
        found = desk.book.commissions(search.value, in_hand=not over.value)
        pictures = desk.book.pictures([e.ref for e in found[:SHOWN]])
        # A row in which nothing has changed stays as it is: a press on its way to it is not lost.
        now = {key: shown.get(key) or job(desk, e) for e in found[:SHOWN] for key in [(e, e.ref == desk.ref)]}
        for row in now.values():
            row.children[0].value = picture_html(pictures.get(row.ref, (b"", False))[0])
        parts.fill(rows, now.values())
        shown.clear()
        shown.update(now)
        more = f" The first {SHOWN} are shown; search for the others." if len(found) > SHOWN else ""
        kind = "in the book" if over.value else "in hand"
        count.value = show.page(f'<div class="quiet">{len(found)} {kind}.{more}</div>')
        missing = [e.ref for e in found[:SHOWN] if not pictures.get(e.ref, (b"", False))[1] and e.ref not in drawing]
        if missing and not desk.book.read_only:
            drawing.update(missing)
            threading.Thread(target=draw, args=(missing,), daemon=True).start()

    def draw(refs):
        for ref in refs:
            png = drawn(desk, ref)
            drawing.discard(ref)
            for row in rows.children:
                if row.ref == ref and png:
                    row.children[0].value = picture_html(png)

    def begin():
        called = title.value.strip()
        if not called:
            desk.refused = {**desk.refused, "new commission": "Nothing is begun yet: the title is empty. Write what the new commission is called into this box, such as "
                            f"'Bench for the hall'. Still in hand: {desk.ref} {desk.commission.title}."}
            return
        document = desk.commission.next_one(desk.book.next_ref(), called)
        desk.book.add(document)
        title.value = ""
        desk.take_up(document.ref)

    def written(change):
        if change.new.strip():
            desk.refused = {k: v for k, v in desk.refused.items() if k != "new commission"}

    search.observe(fill, "value")
    over.observe(fill, "value")
    title.observe(written, "value")
    parts.watched(desk, ["commission", "notice"], fill)
    return w.VBox([
        w.HBox([search, over], layout=w.Layout(align_items="center")), count, rows,
        w.HBox([title, parts.button(desk, "Begin a new commission", begin)]), parts.refusal(desk, "new commission"),
    ])


def job(desk: Desk, e: Entry) -> w.HBox:
    """One job: place for its small picture, what it is, what it waits for, when it is wanted."""
    in_hand = e.ref == desk.ref
    waits = f"{escape(e.waits_for)}" + (f" &middot; waiting on {escape(e.waits_on)}" if e.waits_on else "")
    words = (
        f'<b>{escape(e.title)}</b> <span class="quiet">{escape(e.ref)}, for {escape(e.client or "a client without a name yet")}</span>'
        f'<br>{escape(e.state)}{": " + waits if e.waits_for else ""}{until(e.due, date.today())}'
        f'<br><span class="quiet">{wanted(e.wanted_by, date.today())}changed {show.when(e.changed_at)}, revision {e.latest}</span>'
    )
    take = parts.button(desk, "In hand" if in_hand else "Take it up", lambda: desk.take_up(e.ref), "Every open page follows")
    take.disabled = in_hand
    take.layout.align_self = "center"
    row = w.HBox([
        w.HTML(layout=w.Layout(width=f"{SIZE_PX[0] + 12}px", flex="0 0 auto")),
        w.HTML(show.page(words), layout=w.Layout(flex="1 1 auto", min_width="0")), take,
    ], layout=w.Layout(align_items="center", border_bottom="1px solid #e2d9c9", max_width="900px", min_height="118px"))
    row.ref = e.ref
    return row


def until(due: str | None, today: date) -> str:
    """When an answer is due, marked when the day has gone by."""
    if not due:
        return ""
    late = (today - date.fromisoformat(due)).days
    return f' <span class="fails">by {due}, {late} days ago</span>' if late > 0 else f" by {due}"


def wanted(day: str | None, today: date) -> str:
    """The day the client wants it, and how far off it is."""
    if not day:
        return ""
    left = (date.fromisoformat(day) - today).days
    return f"wanted by {day} ({left} days), " if left >= 0 else f"was wanted by {day}, "


def picture_html(png: bytes) -> str:
    """The small picture, or its empty place."""
    size = f"width:{SIZE_PX[0]}px;height:{SIZE_PX[1]}px"
    if not png:
        return f'<div style="{size};background:#faf7f0"></div>'
    return f'<img alt="" style="{size}" src="data:image/png;base64,{base64.b64encode(png).decode()}">'


def drawn(desk: Desk, ref: str) -> bytes:
    """Draw a job's small picture and keep it; empty where its piece cannot be drawn."""
    try:
        digest = desk.book.pulse(ref)[2]
        document, _ = desk.book.open(ref)
        png = small_png(derive(document, desk.known))
        desk.book.keep_picture(ref, digest, png)
    except Exception:  # noqa: BLE001 - a list without one picture is better than no list
        return b""
    return png


# ---------------------------------------------------------------- how it stands


def state(desk: Desk) -> w.Widget:
    """The state of the commission in hand, what is waited for and on whom; every step dated, none final."""
    now = desk.book.jobs.stands(desk.ref)
    def box(kind, label, px, **more):
        return kind(description=label, style=parts.STYLE, layout=w.Layout(width=f"{px}px"), **more)

    to = box(w.Dropdown, "State", 430, options=STATES, value=now.state)
    day = box(w.DatePicker, "From", 380, value=date.today())
    reason = box(w.Text, "Reason", 620, placeholder="wanted when it goes back or is declined")
    on = box(w.Text, "Waiting on", 430, value=now.waits_on, placeholder="by role")
    what = box(w.Text, "Next step", 620, value=now.waits_for)
    due = box(w.DatePicker, "By", 380, value=date.fromisoformat(now.due) if now.due else None)
    past, said = w.HTML(), w.HTML()

    def usual(_change):
        on.value, what.value = NEXT[to.value]
        due.value = None

    def fill():
        rows = [
            (s.day, escape(s.state), escape(s.reason), escape(f"{s.waits_for} ({s.waits_on})" if s.waits_on else s.waits_for),
             s.due or "") for s in desk.book.jobs.history(desk.ref)
        ]
        past.value = show.page(
            f"<details><summary>How it went so far ({len(rows)})</summary>"
            + show.table(("From", "State", "Reason", "Next step", "By"), rows) + "</details>"
        )

    def note():
        said.value = ""
        try:
            desk.book.jobs.move(desk.ref, to.value, day.value, reason.value, on.value, what.value, due.value)
        except ValueError as error:
            said.value = show.page(f'<div class="dw-refused">{escape(str(error))}</div>')
            return
        reason.value = ""
        fill()
        desk.notice = ""
        desk.notify_change({"name": "notice", "old": "", "new": "", "owner": desk, "type": "change"})

    to.observe(usual, "value")
    fill()
    return w.VBox([to, day, reason, what, on, due, said, parts.button(desk, "Note it", note), past])


# ---------------------------------------------------------------- keeping the book


def keeping(desk: Desk) -> w.Widget:
    """Where the book is; a back-up, an export, something brought in, another copy taken in."""
    said, upload = w.HTML(), w.FileUpload(accept=".zip", description="Bring in an export", layout=w.Layout(width="180px"))
    others = w.VBox()

    def tell(words, fault=False):
        said.value = show.page(f'<p{" class=fails" if fault else ""}>{escape(words)}</p>')

    def in_background(words, act):
        def run():
            try:
                tell(act())
            except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
                tell(str(error.args[0]) if error.args else type(error).__name__, True)

        def start():
            tell(words)
            threading.Thread(target=run, daemon=True).start()

        return start

    def backed_up() -> str:
        found = back_up(desk.book)
        return (
            f"{found.words} It is {found.path}. Keep a copy of it on another disk; to put one back: python3 -m workbook restore FILE."
        )

    def brought(_change):
        for file in upload.value:
            with tempfile.TemporaryDirectory() as scratch:
                here = Path(scratch, "export.zip")
                here.write_bytes(bytes(file["content"]))
                try:
                    refs = bring_in(desk.book, here)
                    tell(f"Brought in: {', '.join(refs) or 'nothing; there was no commission in it'}.")
                except (ValueError, RuntimeError) as error:
                    tell(str(error).replace("export.zip", file["name"]), True)
        if upload.value:
            upload.value = ()
            desk.notify_change({"name": "notice", "old": "", "new": "", "owner": desk, "type": "change"})

    def look_for_others():
        found = desk.book.other_copies()
        others.children = tuple(w.VBox([
            w.HTML(show.page(
                f'<div class="caution">{escape(p.name)} lies beside the book: another program made it, most often one that '
                "keeps folders alike on two machines. What it holds and this book has not can be taken in; nothing in hand "
                "changes.</div>")),
            parts.button(desk, "Take in what it holds", lambda p=p: take_in(p)),
        ]) for p in found)

    def take_in(path):
        tell(" ".join(take_in_copy(desk.book, path)))
        look_for_others()
        desk.look()

    upload.observe(brought, "value")
    look_for_others()
    kept = copies(desk.book)
    words = f"It is {desk.book.place.words}. " + (
        f"Dated copies are made by themselves, once a day; the newest is of {kept[0]}, {len(kept)} {'is' if len(kept) == 1 else 'are'} kept." if kept
        else "A dated copy is made by itself once a day."
    )
    return w.VBox([
        w.HTML(show.page(f'<p class="quiet">{escape(words)}</p>')), others,
        w.HBox([
            parts.button(desk, "Back the book up", in_background("Backing up and checking ...", backed_up),
                         "One checked file in the folder 'backups'; work on meanwhile"),
            parts.button(desk, "Export this commission", in_background(
                "Exporting ...", lambda: f"Exported to {export(desk.book, desk.book.folder / 'exports', [desk.ref])}"),
                "JSON, papers and pictures, readable without the workbook"),
            parts.button(desk, "Export the whole book", in_background(
                "Exporting ...", lambda: f"Exported to {export(desk.book, desk.book.folder / 'exports')}")),
            upload,
        ], layout=w.Layout(flex_flow="row wrap")),
        said,
    ])


def sender(desk: Desk) -> w.Widget:
    """Name and address of the maker, as papers carry them."""
    lines = w.Textarea(value=desk.book.maker, rows=4, placeholder="name\nstreet\ntown\ntax number",
                       layout=w.Layout(width="420px"), continuous_update=False)

    def keep(change):
        desk.book.maker = change.new

    lines.observe(keep, "value")
    return lines
