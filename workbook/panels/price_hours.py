"""Time at the bench, estimate against actual, and how well past ranges held."""

from __future__ import annotations

from datetime import UTC, date, datetime
from html import escape

import ipywidgets as w
from pydantic import ValidationError

from studio_lib.commission import refusals
from studio_lib.costing.bench import loggable
from studio_lib.costing.calibration import calibration
from studio_lib.costing.operations import standard_times
from studio_lib.costing.records import against_estimate, as_reckoned, bench_entries, elapsed_minutes
from workbook import parts, show
from workbook.desk import Desk


def together(desk: Desk, reason: str, **fields) -> bool:
    """Set several fields as one revision; a refusal is told as the notice."""
    document = desk.commission
    try:
        for path, value in fields.items():
            document = document.changed(path, value)
    except ValidationError as error:
        desk.notice = " ".join(refusals(error).values())
        return False
    except ValueError as error:
        desk.notice = str(error)
        return False
    return desk.put(document, reason)


def _rows(desk: Desk, name: str) -> list[dict]:
    return [row.model_dump(mode="json") for row in getattr(desk.commission, name)]


def time_entry(desk: Desk) -> w.Widget:
    """A clock by operation, minutes by operation for one day, and the telephone's bench sheet."""
    return w.VBox([timers(desk), a_day(desk), from_the_bench(desk)])


def timers(desk: Desk) -> w.Widget:
    """Clocks that go on while the workbook is shut: they stand in the document."""
    operation = w.Dropdown(
        options=_choices(desk),
        description="Operation",
        style=parts.STYLE,
        layout=w.Layout(width="470px", max_width="100%"),
    )

    def start():
        running = _rows(desk, "timers")
        if any(t["operation"] == operation.value for t in running):
            raise ValueError(f"A clock runs for {operation.value} already.")
        desk.change(
            "timers",
            [*running, {"operation": operation.value, "started": datetime.now(UTC).isoformat(timespec="seconds")}],
        )

    def stop(i, keep):
        running = _rows(desk, "timers")
        one = desk.commission.timers[i]
        left = running[:i] + running[i + 1 :]
        if not keep:
            desk.change("timers", left)
            return
        minutes = round(max(elapsed_minutes(one.started), 0.1), 1)
        entry = {"day": date.today().isoformat(), "operation": one.operation, "minutes": minutes}
        together(desk, f"{minutes:g} minutes of {one.operation}", timers=left, hours=[*_rows(desk, "hours"), entry])

    def running():
        if not desk.commission.timers:
            return [w.HTML(show.page('<p class="quiet">No clock runs.</p>'))]
        return [
            w.HBox(
                [
                    w.HTML(
                        show.page(f"<b>{escape(t.operation)}</b> since {t.started.astimezone():%d %b, %H:%M}"),
                        layout=w.Layout(width="300px"),
                    ),
                    parts.button(desk, "Stop and write down", lambda i=i: stop(i, True)),
                    parts.button(desk, "Drop", lambda i=i: stop(i, False)),
                ],
                layout=w.Layout(align_items="center", flex_flow="row wrap"),
            )
            for i, t in enumerate(desk.commission.timers)
        ]

    return w.VBox(
        [
            w.HBox([operation, parts.button(desk, "Start a clock", start)], layout=w.Layout(flex_flow="row wrap")),
            parts.rebuilt(desk, running, lambda c: c.timers),
        ]
    )


def _choices(desk: Desk) -> list[str]:
    """Operations to write time down for: this job's first; all of them while there is no piece."""
    work = desk.derived.work if desk.commission.items else ()
    return [name for _, names in loggable(work) for name in names]


def a_day(desk: Desk) -> w.Widget:
    """Minutes of one day, by operation, written down together."""
    when = w.DatePicker(value=date.today(), description="Day", style=parts.STYLE)
    names = _choices(desk)
    boxes = {
        name: w.Text(
            description=name, placeholder="min", style={"description_width": "225px"}, layout=w.Layout(width="310px")
        )
        for name in names
    }

    def write():
        rows = [
            {"day": (when.value or date.today()).isoformat(), "operation": name, "minutes": parts.as_number(box.value)}
            for name, box in boxes.items()
            if box.value.strip()
        ]
        if not rows:
            raise ValueError("No minutes given yet: put them beside the operations, then write them down.")
        if desk.change("hours", [*_rows(desk, "hours"), *rows]):
            for box in boxes.values():
                box.value = ""

    grid = w.HBox(list(boxes.values()), layout=w.Layout(flex_flow="row wrap"))
    return w.VBox(
        [
            parts.folded(
                (
                    "Or a day's minutes, by operation",
                    w.VBox([when, grid, parts.button(desk, "Write the day down", write), parts.refusal(desk, "hours")]),
                )
            )
        ]
    )


def from_the_bench(desk: Desk) -> w.Widget:
    """The page for the telephone ('bench hours.html' among the papers) handed over as a file or as text."""
    layout = w.Layout(width="auto", align_self="flex-start")
    upload = w.FileUpload(accept=".json,.txt", description="Bring in the bench sheet", layout=layout)
    text = w.Textarea(placeholder="or paste what it copied", rows=2, layout=w.Layout(width="470px", max_width="100%"))
    said = w.HTML()

    def take(content: str):
        fresh, again = bench_entries(content, {*standard_times(), *_choices(desk)}, desk.commission.hours)
        if fresh and not desk.change("hours", [*_rows(desk, "hours"), *fresh]):
            return
        said.value = show.page(
            f"<p>{len(fresh)} entries brought in" + (f", {again} were here already" if again else "") + ".</p>"
        )

    def uploaded(change):
        for file in change.new:
            try:
                take(bytes(file["content"]).decode("utf-8"))
            except (ValueError, UnicodeDecodeError) as error:
                said.value = show.page(f'<p class="fails">{escape(str(error))}</p>')

    def pasted():
        try:
            take(text.value)
            text.value = ""
        except ValueError as error:
            said.value = show.page(f'<p class="fails">{escape(str(error))}</p>')

    upload.observe(uploaded, "value")
    return parts.folded(
        (
            "From the telephone at the bench",
            w.VBox(
                [
                    w.HTML(
                        show.page(
                            '<p class="quiet">The papers hold a page for the telephone, bench hours.html: send '
                            "it there once, it needs no "
                            "network. It hands over a file or a text.</p>"
                        )
                    ),
                    upload,
                    text,
                    parts.button(desk, "Bring in what was pasted", pasted),
                    said,
                ]
            ),
        )
    )


def afterwards(desk: Desk) -> w.Widget:
    """Estimate against actual, yield, lessons, and the tick that lets later quotes learn."""
    return w.VBox(
        [
            parts.live(desk, lambda: against(desk)),
            parts.optional_number(desk, "afterwards.bought_m3", "Timber really bought", "m3"),
            parts.long_text(desk, "afterwards.lessons", "Lessons", "what you would do otherwise next time"),
            parts.tick(desk, "finished", "All hours of this job are written down", "later quotes then learn from them"),
        ]
    )


def against(desk: Desk) -> str:
    """Reckoned and spent by operation."""
    c = desk.commission
    if not c.hours:
        return '<p class="quiet">No time written down yet.</p>'
    kept = c.estimate or as_reckoned(desk.derived, desk.revision, date.today())
    rows = [
        (
            escape(r.operation),
            f"{r.likely_h:.2f}" if r.likely_h else "not reckoned",
            f"{r.spent_h:.2f}" if r.spent_h else "",
            f"{r.ratio:.2f}" if r.ratio else "",
        )
        for r in against_estimate(kept, c.hours)
    ]
    spent = sum(h.minutes for h in c.hours) / 60
    mistakes = sum(h.minutes for h in c.hours if h.mistake) / 60
    whose = (
        f"as kept with the quote of {kept.day.isoformat()}"
        if c.estimate
        else "as it is reckoned now: no quote was issued"
    )
    bought = c.afterwards.bought_m3
    yielded = (
        f"<p>Timber: {100 * kept.finished_m3 / kept.bought_m3:.0f} % of what was to be bought was to end in the piece; "
        f"{100 * kept.finished_m3 / bought:.0f} % of what was bought did.</p>"
        if bought and kept.bought_m3
        else ""
    )
    return (
        f"<p>{spent:.1f} hours spent of {kept.hours[1]:.1f} likely and {kept.hours[2]:.1f} safe, {whose}"
        + (f"; {mistakes:.1f} of them on putting mistakes right" if mistakes else "")
        + ".</p>"
        + show.table(("Operation", "Likely, h", "Spent, h", "Spent / likely"), rows, numbers=(1, 2, 3))
        + yielded
    )


def held(desk: Desk) -> str:
    """How past ranges held: coverage, drift, the operations furthest astray, yields."""
    found = calibration(desk.known.records)
    said = "".join(f"<p>{escape(s)}</p>" for s in found.says())
    chart = ranges(found.jobs[-40:]) if found.jobs else ""
    worst = [(escape(a.operation), a.jobs, f"{a.ratio:.2f}", f"{a.hours_over:+.1f}") for a in found.worst[:10]]
    yields = [(escape(ref), f"{100 * a:.0f} %", f"{100 * b:.0f} %") for ref, a, b in found.yields[-12:]]
    headings = ("Operation", "Jobs", "Spent / standard", "Hours over likely")
    out = said + chart
    if worst:
        out += "<h2>Furthest astray</h2>" + show.table(headings, worst, numbers=(1, 2, 3))
    if yields:
        out += "<h2>Yield</h2>" + show.table(("Job", "Reckoned", "As bought"), yields, numbers=(1, 2))
    return out


def ranges(jobs, width_px: int = 640, row_px: int = 17) -> str:
    """Each past job's range as a line, its likely hours as a bar, what it took as a dot; over its likely hours."""
    most = max(max(j.p90, j.spent) / j.p50 for j in jobs) * 1.03
    left = 90

    def x(v):
        return left + (width_px - left - 8) * v / most

    marks = []
    for k, j in enumerate(jobs):
        y = 12 + k * row_px
        tone = "#2f6b3c" if j.inside else "#a3231b"
        marks.append(
            f'<text x="0" y="{y + 4}" font-size="11" fill="#6d655b">{escape(j.ref)}</text>'
            f'<line x1="{x(j.p10 / j.p50):.1f}" x2="{x(j.p90 / j.p50):.1f}" y1="{y}" y2="{y}" stroke="#b58f52" '
            'stroke-width="5"/>'
            f'<circle cx="{x(j.spent / j.p50):.1f}" cy="{y}" r="4" fill="{tone}"/>'
        )
    height = 12 + len(jobs) * row_px
    return (
        f'<svg width="{width_px}" height="{height}" style="max-width:100%" role="img" '
        'aria-label="past jobs: ranges and what they took">'
        f'<line x1="{x(1):.1f}" x2="{x(1):.1f}" y1="2" y2="{height - 4}" stroke="#6d655b" '
        f'stroke-dasharray="2 3"/>{"".join(marks)}</svg>'
        '<p class="quiet">Band: one job in ten under it, one over it. Dotted: the likely hours. Dot: what the '
        "job took, green inside the band, red outside.</p>"
    )
