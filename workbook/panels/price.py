"""Price: hours counted from the model, materials from the layout, a range, the quote."""

from __future__ import annotations

import threading
from html import escape

import ipywidgets as w

from studio_lib.costing.operations import FORGOTTEN
from studio_lib.papers import PAPERS, words, write
from studio_lib.units import mm
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk) -> w.Widget:
    hour = w.VBox([
        parts.money(desk, "rates.drawings_per_year", "You live on, a year"),
        parts.money(desk, "rates.overheads_per_year", "Overheads, a year", "rent, machines, insurance, van"),
        parts.number(desk, "rates.weeks_per_year", "Weeks worked"),
        parts.number(desk, "rates.hours_per_week", "Hours a week"),
        parts.percent(desk, "rates.billable_share", "Of them, a client pays for", "60 is usual; the rest is quotes, buying, sweeping"),
    ])
    job = w.VBox([
        parts.number(desk, "rates.design_hours", "Drawing and meetings", "hours"),
        parts.percent(desk, "rates.materials_markup", "On top of materials"),
        parts.percent(desk, "rates.profit_margin", "Profit, of the price"),
        parts.number(desk, "rates.delivery_km", "Delivery, there and back", "km"),
        parts.money(desk, "rates.delivery_per_km", "A kilometre costs"),
    ])
    terms = w.VBox([
        parts.text(desk, "rates.currency", "Currency", "three letters, such as EUR", 330),
        parts.text(desk, "rates.tax_name", "Tax is called", "", 330),
        parts.percent(desk, "rates.tax_rate", "Tax"),
        parts.percent(desk, "rates.deposit_share", "Paid with the order"),
        parts.whole(desk, "rates.valid_days", "Price holds, days"),
    ])
    return w.VBox([
        parts.live(desk, lambda: outcome(desk)),
        papers(desk),
        parts.folded(("What your hour must bring", hour), ("This job", job), ("Tax and terms", terms)),
        parts.live(desk, lambda: costing(desk)),
    ])


def outcome(desk: Desk) -> str:
    """What to quote, how sure it is, and what drives it."""
    p = desk.derived.price
    c = escape(p.currency)
    lines = show.table(
        ("The quote", ""),
        [*((escape(n), f"{a:.2f}") for n, a in p.quoted), ("before tax", f"{p.net:.2f}"),
         (escape(f"{p.tax_name} {float(p.tax_rate) * 100:g} %"), f"{p.tax:.2f}"), (f"<b>to pay, {c}</b>", f"<b>{p.gross:.2f}</b>")],
        numbers=(1,),
    )
    ranges = show.table(
        ("If it goes", "Hours", f"Price before tax, {c}"),
        [(how, f"{p.hours_at(q):.1f}", f"{p.net_at(q):.0f}") for how, q in
         (("very well (1 job in 10)", 10), ("as is likely", 50), ("so that 8 jobs in 10 come in under", 80), ("badly (1 job in 10)", 90))],
        numbers=(1, 2),
    )
    budget = desk.commission.brief.budget
    not_firm = words.not_firm(desk.derived)
    said = f'<p class="fails">{escape(not_firm)}</p>' if not_firm else ""
    if budget is not None and not not_firm:
        over = p.gross - budget
        said = f"<p class='{'fails' if over > 0 else 'stands'}'>Budget {budget} {c}: {'over by' if over > 0 else 'room of'} {abs(over):.2f}.</p>"
    return (
        f"<h3>{'As it stands' if not_firm else 'To quote'}: {p.gross:.2f} {c}</h3>{said}"
        f'<div style="display:flex;gap:40px;flex-wrap:wrap">{lines}{ranges}</div>'
        f"<h3>What makes the price, {c} before tax</h3>{show.bar(p.drivers)}"
        f'<p class="quiet">Quoted at the safe price: 8 jobs in 10 should come in under it, by our guess of the spread until your own records replace it. A part of the price is profit, '
        f"{float(p.margin) * 100:g} % of it, not a markup on cost.</p>"
    )


def costing(desk: Desk) -> str:
    """Every line behind the price."""
    p = desk.derived.price
    hours = [
        (escape(r.work.item or "the whole job"), escape(r.work.time.operation), f"{mm(r.work.count)} x {escape(r.work.time.unit)}",
         f"{r.hours.median:.2f}", f"{r.hours.at(10):.1f} to {r.hours.at(90):.1f}",
         f"{r.hours.records} own jobs" if r.hours.records else "no record yet")
        for r in p.labour
    ]
    hours.append(("the whole job", "drawing and meetings", "", f"{p.design_hours:.2f}", "", "yours"))
    hours.append(("the whole job", "overruns are longer than savings", "", f"{p.overrun_hours:.2f}", "", "sum of ranges"))
    materials = [
        (escape(line.what), f"{line.quantity:g} {escape(line.unit)}", f"{line.rate:.2f}", f"{line.amount:.2f}", f'<span class="quiet">{escape(line.source)}</span>')
        for line in p.materials
    ]
    return (
        f"<h3>Hours: {p.hours_at(50):.1f} likely, at {p.shop_rate} an hour</h3>"
        f"<details open><summary>Each operation</summary>"
        + show.table(("Piece", "Operation", "Count", "Hours", "Eight of ten", "On whose word"), hours, numbers=(3,))
        + f"</details><h3>Materials: {p.materials_cost} at cost</h3><details open><summary>Each line</summary>"
        + show.table(("What", "Quantity", "Each", "Amount", "Source"), materials, numbers=(2, 3))
        + "</details><p><b>Not forgotten?</b> " + escape("; ".join(FORGOTTEN)) + ".</p>"
    )


def papers(desk: Desk) -> w.Widget:
    """Write every paper, with progress."""
    bar = w.IntProgress(min=0, max=len(PAPERS), layout=w.Layout(width="260px", visibility="hidden"))
    said = w.HTML()

    def run(commission, revision):
        folder = desk.book.folder / "papers" / commission.ref

        def progress(name, done, of):
            bar.value = done
            said.value = show.page(f"<p>{done} of {of}: {escape(name)}</p>")

        try:
            written = write(
                commission, folder, revision=revision, maker=desk.book.maker, progress=progress, known=desk.known,
                attachments=desk.book.files(commission.ref),
            )
            for path in written:
                desk.book.keep_paper(commission.ref, revision, path.name, path.read_bytes())
            said.value = show.page(f"<p>Written to {escape(str(folder))}: {escape(', '.join(p.name for p in written))}.</p>")
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            said.value = show.page(f'<p class="fails">{escape(str(error) or type(error).__name__)}</p>')
        finally:
            bar.layout.visibility = "hidden"
            go.disabled = False

    def begin():
        bar.value, bar.layout.visibility = 0, "visible"
        go.disabled = True
        threading.Thread(target=run, args=(desk.commission, desk.revision), daemon=True).start()

    go = parts.button(desk, "Write the quote and all papers", begin, "Into the job book's folder")
    return w.VBox([parts.heading("Papers"), w.HBox([go, bar]), said])
