"""The costing as a spreadsheet: one sheet a table, figures as figures, words never as formulas."""

from __future__ import annotations

import io
from datetime import date, datetime
from decimal import Decimal

from studio_lib.costing import drivers
from studio_lib.costing.billing import CALLED, payments
from studio_lib.costing.records import hours_by_operation
from studio_lib.showing import as_shown, measure


def costing_xlsx(d, today: date) -> bytes:
    """Quote, hours, materials, what drives it, papers issued and hours spent of one commission, as XLSX.

    Text is written as text, so that nothing a client or a supplier wrote runs as a formula. Sums are formulas with
    their value beside them.
    """
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    )
    book.set_properties(
        {"title": f"{d.commission.ref} costing", "created": datetime(today.year, today.month, today.day)}
    )
    styles = {
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "money": book.add_format({"num_format": "#,##0.00"}),
        "hours": book.add_format({"num_format": "0.00"}),
        "total": book.add_format({"bold": True, "num_format": "#,##0.00", "top": 1}),
        "day": book.add_format({"num_format": "yyyy-mm-dd"}),
        "plain": None,
    }
    p, c = d.price, d.price.currency

    def measured(unit: str) -> tuple[str, float]:
        return measure(unit, d.commission.shown)

    _sheet(book, styles, "Quote", ("What", f"Amount, {c}"), [(n, a) for n, a in p.quoted], total=1)
    _sheet(
        book,
        styles,
        "Money",
        ("What", f"Amount, {c}"),
        [
            ("before tax", p.net),
            (f"{p.tax_name} {float(p.tax_rate) * 100:g} %", p.tax),
            ("to pay", p.gross),
            *((f"payment {event}", amount) for event, amount in payments(p.gross, d.commission.rates)),
            ("an hour", p.shop_rate),
            ("margin, share of the price", p.margin),
            ("the same as a markup on cost", round(p.markup, 4)),
        ],
    )
    _sheet(
        book,
        styles,
        "Hours",
        ("Piece", "Operation", "Stage", "Count", "Unit", "Set-ups", "Standard", "P10", "P50", "P80", "P90", "Own jobs"),
        [
            (
                r.work.item or "the whole job",
                r.work.time.operation,
                r.work.time.stage,
                round(r.work.count / measured(r.work.time.unit)[1], 2),
                measured(r.work.time.unit)[0],
                r.work.batches,
                round(r.work.standard_hours, 2),
                *(round(r.hours.at(q), 2) for q in (10, 50, 80, 90)),
                r.hours.records,
            )
            for r in p.labour
        ]
        + [
            (
                "the whole job",
                "drawing and meetings",
                "",
                "",
                "",
                "",
                float(p.design_hours),
                *(round(p.design.at(q), 2) for q in (10, 50, 80, 90)),
                p.design.records,
            )
        ],
    )
    lines = [
        (
            x.kind, as_shown(x.what, d.commission.shown), round(float(x.quantity) / one, 4), unit,
            "" if x.rate is None else float(x.rate) * one, x.amount, x.on or "", x.source,
        )
        for x in (*p.materials, *p.bought_in, *p.delivery_lines) for unit, one in [measured(x.unit)]
    ]
    _sheet(
        book,
        styles,
        "Bought",
        ("Kind", "What", "Quantity", "Unit", f"Each, {c}", f"Amount, {c}", "Priced on", "Source"),
        lines,
        total=5,
    )
    for name, rows in (
        ("By stage", drivers.by_stage(p)),
        ("By decision", drivers.by_decision(p)),
        ("By member", drivers.by_member(p, d.counted, d.cutting_list)),
        ("By joint", drivers.by_joint(p, d.counted)),
    ):
        _sheet(book, styles, name, (name, f"Before tax, {c}"), rows, total=1)
    _sheet(
        book,
        styles,
        "Papers issued",
        ("Number", "Paper", "Day", "Currency", "Net", "Tax", "Gross", "Answered"),
        [
            (i.number, CALLED[i.kind], i.day, i.currency, i.net, i.tax, i.gross, i.agreed or "")
            for i in d.commission.issued
        ],
    )
    _sheet(
        book,
        styles,
        "Hours spent",
        ("Day", "Operation", "Minutes", "Note"),
        [
            (h.day, h.operation, h.minutes, h.note + (" (a mistake put right)" if h.mistake else ""))
            for h in d.commission.hours
        ],
    )
    spent = hours_by_operation(d.commission.hours)
    if spent:
        _sheet(
            book,
            styles,
            "Spent by operation",
            ("Operation", "Hours"),
            [(o, round(h, 2)) for o, h in spent.items()],
            total=1,
        )
    book.close()
    return out.getvalue()


def _sheet(book, styles, name: str, headings, rows, total: int | None = None) -> None:
    sheet = book.add_worksheet(name)
    sheet.freeze_panes(1, 0)
    for k, words in enumerate(headings):
        sheet.write_string(0, k, words, styles["head"])
        longest = max([len(words) * 0.8, *(len(str(row[k])) for row in rows)], default=8)
        sheet.set_column(k, k, min(max(longest + 2, 9), 60))
    for r, row in enumerate(rows, 1):
        for k, value in enumerate(row):
            if isinstance(value, Decimal):
                sheet.write_number(r, k, float(value), styles["money"])
            elif isinstance(value, int | float):
                sheet.write_number(r, k, value, styles["hours"] if isinstance(value, float) else None)
            elif isinstance(value, date):
                sheet.write_datetime(r, k, datetime(value.year, value.month, value.day), styles["day"])
            else:
                sheet.write_string(r, k, _clean(str(value)))
    if total is not None and rows:
        end = len(rows)
        column = chr(ord("A") + total)
        sheet.write_string(end + 1, 0, "in all", styles["head"])
        summed = float(sum(Decimal(str(row[total])) for row in rows))
        sheet.write_formula(end + 1, total, f"=SUM({column}2:{column}{end + 1})", styles["total"], summed)


def _clean(text: str) -> str:
    """Without the characters no spreadsheet may hold."""
    return "".join(ch for ch in text if ch in "\t\n" or ord(ch) >= 32)[:32_000]
