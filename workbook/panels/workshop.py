"""Workshop: today's work and the calendar, logs kept at the bench, handing over."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.finishing import adhesives, finishes
from studio_lib.handover import care_sheet, delivery_note, reminders
from studio_lib.handover.reminders import counted_from
from studio_lib.jobbook import BadBook
from studio_lib.papers.handing_over import holidays_words, log_date, plan_words, workshop_rows
from studio_lib.shop.calendar import DAY_NAMES, today_says
from studio_lib.shop.logs import CLOSED_WORDS, CLOSES, KINDS, log_findings, says
from studio_lib.shop.reading import days_text, read_days
from workbook import parts, show
from workbook.desk import Desk
from workbook.panels.price_account import papers

STAGES_SHOWN = (
    "brief and site", "boards with faults chalked", "layout on the boards", "joints before glue", "dry fit", "glue-up",
    "a coat", "finished, all sides", "loaded", "in place", "a later visit",
)
WALLS = ("", "stands free", "brick or concrete", "hollow block", "stud and board", "solid timber")


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.live(desk, lambda: today(desk)),
        step_done(desk),
        parts.live(desk, lambda: calendar(desk)),
        parts.folded(("Days, holidays, other jobs", days(desk)), ("Clamps in the workshop", clamps(desk))),
        parts.heading("Log: glue-ups, coats, samples, inspections, snags"),
        log(desk),
        parts.folded(("Photographs by stage", photographs(desk))),
        parts.heading("Handing over"),
        handing_over(desk),
        papers(desk),
    ])


# ---------------------------------------------------------------- calendar


def _plan(desk: Desk):
    """The calendar as it stands today, or the sentence why there is none."""
    try:
        return desk.derived.plan(date.today()), ""
    except ValueError as error:
        return None, str(error)


def today(desk: Desk) -> str:
    """What to do today, and when it is ready."""
    made, why_not = _plan(desk)
    if made is None:
        return f'<p class="quiet">{escape(why_not)}</p>'
    d, now = desk.derived, date.today()
    lines = "".join(f"<li>{escape(line)}</li>" for line in today_says(made, now, d.work_days))
    begun = "" if desk.commission.shop.start else '<p class="again">No first day is set: reckoned as if it began when its turn comes.</p>'
    return f"<h2>Today, {escape(log_date(now))}</h2><ul>{lines}</ul><p>{escape(plan_words(d, made))}</p>{begun}"


def calendar(desk: Desk) -> str:
    """Every step with its days, hours and cautions."""
    made, _ = _plan(desk)
    if made is None:
        return ""
    rows = []
    for r in workshop_rows(desk.derived, made):
        said = f'<div class="quiet">{escape(r["note"])}</div>' if r["note"] else ""
        said += f'<div>Before going on: {escape(r["look"])}.</div>' if r["look"] else ""
        said += f'<div class="quiet">Photograph: {escape(r["photograph"])}.</div>' if r["photograph"] else ""
        said += "".join(f'<div class="caution">{escape(c)}</div>' for c in r["cautions"])
        said += f'<div class="quiet">As above: {escape(r["again"])}.</div>' if r["again"] else ""
        name = f'<i class="quiet">{escape(r["step"])}</i>' if r["wait"] else f"<b>{escape(r['step'])}</b>"
        name += f'<br><span class="quiet">{escape(r["then"])}</span>' if r["then"] else ""
        rows.append((show.yes(True) if r["done"] else "", name, escape(r["likely"]), escape(r["safe"]), r["hours"], said))
    return (
        "<details open><summary>Calendar</summary>"
        + show.table(("Done", "Step", "Likely", "Safe", "Hours", "At this step"), rows, numbers=(4,)) + "</details>"
    )


def step_done(desk: Desk) -> w.Widget:
    """Tick off the next steps, or take the last tick back."""
    box = w.Dropdown(description="Step", style=parts.STYLE, layout=w.Layout(width="470px"))
    when = w.DatePicker(value=date.today(), description="Done on")

    def fill():
        made, _ = _plan(desk)
        left = [x.step for x in made.likely if not x.done] if made else []
        box.options = [(s.words, s.key) for s in left]
        box.value = left[0].key if left else None

    def done():
        if box.value:
            present = [s.model_dump(mode="json") for s in desk.commission.shop.done]
            desk.change("shop.done", [*present, {"step": box.value, "on": (when.value or date.today()).isoformat()}])

    def back():
        desk.change("shop.done", [s.model_dump(mode="json") for s in desk.commission.shop.done[:-1]])

    parts.watched(desk, ["commission"], fill)
    return w.VBox([
        w.HBox([box, when, parts.button(desk, "It is done", done), parts.button(desk, "Take the last tick back", back)],
               layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "shop.done"),
    ])


def days(desk: Desk) -> w.Widget:
    weekdays = w.SelectMultiple(
        options=[(name, i) for i, name in enumerate(DAY_NAMES)], description="Days worked", rows=7, style=parts.STYLE,
        layout=w.Layout(width="380px"), value=desk.commission.shop.weekdays,
    )
    holidays = w.Text(description="Other days off", style=parts.STYLE, layout=w.Layout(width="620px"), continuous_update=False,
                      placeholder="2027-03-26, 2027-12-24 to 2027-12-31")
    return w.VBox([
        parts.day(desk, "shop.start", "First day of this job"),
        parts.optional_number(desk, "shop.hours_a_day", "Hours a day on it", "", "empty: the paid hours of the Price page, spread over the days worked"),
        parts.Field(desk, "shop.weekdays", weekdays, lambda c: tuple(c.shop.weekdays), list, "Ctrl-click for several"),
        parts.Field(desk, "shop.holidays", holidays, lambda c: days_text(c.shop.holidays),
                    lambda v: [x.isoformat() for x in read_days(v)]),
        parts.live(desk, lambda: f'<p class="quiet">{escape(holidays_words(desk.derived, date.today()))}</p>'),
        parts.tick(desk, "shop.works_holidays", "Work on public holidays too"),
        parts.day(desk, "shop.boards_in", "Boards came in on", "their time in the workshop's air counts from here"),
        other_jobs(desk),
    ])


def other_jobs(desk: Desk) -> w.Widget:
    """Days on which another job has the workshop."""
    first, last = w.DatePicker(description="From"), w.DatePicker(description="To")
    what = w.Text(placeholder="what", layout=w.Layout(width="260px"))

    def present():
        return [j.model_dump(mode="json") for j in desk.commission.shop.other_jobs]

    def add():
        if first.value is None or last.value is None:
            raise ValueError("Give the first and the last day of the other job.")
        row = {"first": first.value.isoformat(), "last": last.value.isoformat(), "what": what.value.strip()}
        if desk.change("shop.other_jobs", [*present(), row]):
            first.value = last.value = None
            what.value = ""

    def build():
        return [
            w.HBox([
                parts.button(desk, "Take away", lambda i=i: desk.change("shop.other_jobs", present()[:i] + present()[i + 1 :])),
                w.HTML(f"{log_date(j.first)} to {log_date(j.last)}: {escape(j.what or 'another job')}"),
            ], layout=w.Layout(align_items="center"))
            for i, j in enumerate(desk.commission.shop.other_jobs)
        ]

    return w.VBox([
        parts.heading("Other jobs in hand"),
        parts.rebuilt(desk, build, lambda c: c.shop.other_jobs),
        w.HBox([first, last, what, parts.button(desk, "Add this job", add)], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "shop.other_jobs"),
    ])


def clamps(desk: Desk) -> w.Widget:
    """Clamps in the workshop, and whether they do for each glue-up."""
    count = w.BoundedIntText(value=4, min=1, max=200, description="How many", layout=w.Layout(width="190px"))
    reach = parts.length_box("Reach", 600.0, layout=w.Layout(width="210px"))

    def present():
        return [c.model_dump(mode="json") for c in desk.commission.shop.clamps]

    def build():
        return [
            w.HBox([
                parts.button(desk, "Take away", lambda i=i: desk.change("shop.clamps", present()[:i] + present()[i + 1 :])),
                w.HTML(f"{c.count} reaching {c.reach_mm:g} mm"),
            ], layout=w.Layout(align_items="center"))
            for i, c in enumerate(desk.commission.shop.clamps)
        ]

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: c.shop.clamps),
        w.HBox([count, reach, parts.button(
            desk, "Add these clamps", lambda: desk.change("shop.clamps", [*present(), {"count": count.value, "reach_mm": parts.mm_of(reach)}]),
        )], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "shop.clamps"),
        parts.live(desk, lambda: show.findings(desk.derived.workshop_findings) if desk.commission.shop.clamps
                   else '<p class="quiet">Say what you have, and each glue-up is compared with it.</p>'),
    ])


# ---------------------------------------------------------------- log


def log(desk: Desk) -> w.Widget:
    """Note what happened; close what is open."""
    narrow = w.Layout(width="210px")
    kind = w.Dropdown(options=KINDS, description="Kind", layout=narrow)
    when = w.DatePicker(value=date.today(), description="Day", layout=w.Layout(width="250px"))
    who = w.Text(value="the maker", description="Who", layout=w.Layout(width="260px"))
    family = w.Dropdown(options=[("none", "")], description="Material", layout=w.Layout(width="330px"))
    warm = w.Text(description="Warmth, \u00b0C", placeholder="not read", layout=narrow)
    what = w.Text(description="What", placeholder="what was done, shown or seen", layout=w.Layout(width="640px"))
    on_file = {"glue-up": [a.family for a in adhesives()], "finish": [f.family for f in finishes() if f.kind != "bare"]}

    def offer(_change=None):
        family.options = [("none", ""), *((f, f) for f in on_file.get(kind.value, ()))]

    def rows():
        return [e.model_dump(mode="json") for e in desk.commission.shop.log]

    def add():
        entry = {
            "kind": kind.value, "day": (when.value or date.today()).isoformat(), "who": who.value.strip(),
            "what": what.value.strip(), "family": family.value or "",
            "temperature_c": parts.as_number(warm.value) if warm.value.strip() else None,
        }
        if desk.change("shop.log", [*rows(), entry]):
            what.value = warm.value = ""

    def close(i: int):
        present = rows()
        closed = max(date.today(), desk.commission.shop.log[i].day)
        desk.change("shop.log", [*present[:i], present[i] | {"closed_on": closed.isoformat()}, *present[i + 1 :]])

    def build():
        out = []
        for i, e in enumerate(desk.commission.shop.log):
            open_one = e.kind in CLOSES and e.closed_on is None
            act = (
                parts.button(desk, CLOSED_WORDS[e.kind].capitalize(), lambda i=i: close(i), "Close it today") if open_one
                else parts.button(desk, "Take away", lambda i=i: desk.change("shop.log", rows()[:i] + rows()[i + 1 :]))
            )
            act.layout.width = "100px"
            mark = ' class="again"' if open_one else ""
            out.append(w.HBox(
                [act, w.HTML(show.page(f"<span{mark}><b>{log_date(e.day)}</b> {escape(e.kind)}: {escape(says(e))}</span>"))],
                layout=w.Layout(align_items="center"),
            ))
        return out or [w.HTML(show.page('<p class="quiet">Nothing noted yet.</p>'))]

    kind.observe(offer, "value")
    offer()
    return w.VBox([
        parts.rebuilt(desk, build, lambda c: c.shop.log),
        w.HBox([kind, when, who], layout=w.Layout(flex_flow="row wrap")),
        w.HBox([family, warm], layout=w.Layout(flex_flow="row wrap")),
        w.HBox([what, parts.button(desk, "Write down", add)]),
        parts.refusal(desk, "shop.log"),
        parts.live(desk, lambda: against_tables(desk)),
    ])


def against_tables(desk: Desk) -> str:
    """What the log says against the tables of glues and finishes."""
    found = log_findings(desk.commission.shop.log)
    return show.findings(found) if found else ""


def photographs(desk: Desk) -> w.Widget:
    """Pictures kept in the book, each with its stage; they go into the job folder."""
    stage = w.Dropdown(options=STAGES_SHOWN, description="Stage", layout=w.Layout(width="320px"))
    upload = w.FileUpload(accept="image/*,.pdf", multiple=True, description="Add photographs", layout=w.Layout(width="180px"))
    shown, told = w.HTML(), w.HTML()

    def keep(_change=None):
        try:
            for file in upload.value:
                desk.book.attach(desk.commission.ref, file["name"], file["type"], bytes(file["content"]), stage.value)
        except (ValueError, BadBook) as error:
            told.value = show.page(f'<p class="fails">{escape(str(error))}</p>')
            return
        told.value = ""
        upload.value = ()
        fill()

    def fill():
        kept = sorted(
            (a for a in desk.book.attachments(desk.commission.ref) if a.note in STAGES_SHOWN),
            key=lambda a: STAGES_SHOWN.index(a.note),
        )
        rows = [
            (parts.thumbnail(desk, a), escape(a.note), escape(a.name), a.added_at[:10])
            for a in kept
        ]
        shown.value = show.page(
            show.table(("", "Stage", "File", "Added"), rows) if rows
            else '<p class="quiet">No photographs yet. Boards with their faults, joints before glue, each glue-up squared: they prove what nobody can see later.</p>'
        )

    upload.observe(keep, "value")
    fill()
    return w.VBox([w.HBox([stage, upload]), told, shown])


# ---------------------------------------------------------------- handing over


def handing_over(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.day(desk, "handover.handed_over", "Handed over on", "empty: reckoned from the safe day of the calendar"),
        parts.choice(desk, "handover.wall", "The wall, as seen there", [(x or "not seen yet", x) for x in WALLS]),
        parts.whole(desk, "handover.warranty_years", "Years you stand for it"),
        parts.long_text(desk, "handover.warranty", "Your own wording", "empty takes the neutral one; the law's rights are said either way", 3),
        parts.live(desk, lambda: note(desk)),
        parts.live(desk, lambda: care(desk)),
        parts.live(desk, lambda: reminded(desk)),
    ])


def note(desk: Desk) -> str:
    """Who carries what which way, and what is fixed to the wall."""
    if not desk.derived.made:
        return ""
    n = delivery_note(desk.derived)
    rows = [
        (escape(c.name), str(c.count), c.size_mm, f"{c.weight_kg:.0f}" if c.weight_kg else "not known", escape(c.people))
        for c in n.carried
    ]
    way = "".join(f"<li>{escape(where)}: {escape(how)}</li>" for where, how in n.route)
    fixing = "".join(
        f'<li{" class=fails" if how.startswith("MUST") else ""}>{escape(name)}: {escape(how)}</li>' for name, how in n.fixing
    )
    return (
        "<details open><summary>Delivery and installation</summary>"
        + show.table(("Piece", "No.", "Size, mm", "Weight each, kg", "Who carries"), rows, numbers=(1, 3))
        + f"<ul>{way}</ul><ul>{fixing}</ul><p>{escape(n.wall)} {escape(n.level)}</p></details>"
    )


def care(desk: Desk) -> str:
    """The care sheet in short."""
    if desk.derived.species is None or not desk.derived.made:
        return '<p class="quiet">No timber chosen yet, so there is no care sheet.</p>'
    sheet = care_sheet(desk.derived)
    titles = (("In the first weeks", sheet.first), ("Every year", sheet.year), ("Please do not", sheet.never),
              ("Normal, and no fault", sheet.normal), ("A fault", sheet.fault))
    body = "".join(
        f"<b>{title}</b><ul>" + "".join(f"<li>{escape(x.text)} <span class='quiet'>({escape(x.source)})</span></li>" for x in lines) + "</ul>"
        for title, lines in titles if lines
    )
    return (
        f"<details><summary>Care sheet: {escape(sheet.made_of)}</summary>{body}<p>{escape(' '.join(sheet.provenance))} "
        f"{escape(sheet.carbon)}</p><p>{escape(sheet.warranty)}</p></details>"
    )


def reminded(desk: Desk) -> str:
    """What the client's calendar will say."""
    made, _ = _plan(desk)
    if made is None or desk.derived.species is None:
        return ""
    rows = [
        (log_date(e.first), escape(e.summary), "once" if not e.every_months else f"every {e.every_months} months, {e.times} times")
        for e in sorted(reminders(desk.derived, counted_from(desk.derived, date.today())), key=lambda e: e.first)
    ]
    return f"<details><summary>Reminders for the client's calendar ({len(rows)})</summary>{show.table(('First on', 'What', 'How often'), rows)}</details>"
