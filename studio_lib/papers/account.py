"""Papers about money: the private costing sheet, variations, invoices."""

from __future__ import annotations

from datetime import date, timedelta

from studio_lib.commission import Issued
from studio_lib.costing import drivers
from studio_lib.costing.billing import CALLED, account
from studio_lib.costing.cheaper import price_breaks
from studio_lib.costing.operations import forgotten
from studio_lib.derive import Derived
from studio_lib.papers.typeset import for_client
from studio_lib.papers.words import date_words, money_words, not_firm, tax_words
from studio_lib.piece.used import several
from studio_lib.showing import measure
from studio_lib.units import mm


WHOLE = "the whole job"
MEASURES = ("m", "m2", "m3", "kg", "km", "lb", "sq ft")
"""Units that stay as they are, whatever their number."""


def _counted(number, told: str, unit: str) -> str:
    """'1 board', '10 boards', '30.3 metres', '26.1 m2 a grit'."""
    thing, a, each = unit.partition(" a ")
    many = "" if unit == "each" else thing if number == 1 or thing in MEASURES else several(thing)
    return f"{told} {many}{a}{each}".rstrip()


def costing_pdf(d: Derived, about: dict, day: date) -> bytes:
    """Every figure behind the price, for the maker alone."""
    p, shown = d.price, d.commission.shown

    def bought(x):
        unit, one = measure(x.unit, shown)
        many = float(x.quantity) / one
        rate = "no price" if x.rate is None else f"{float(x.rate) * one:.2f}"
        return _counted(many, f"{many:g}" if one == 1 else f"{many:.2f}", unit), rate

    def worked(count: float, unit: str) -> str:
        unit, one = measure(unit, shown)
        return _counted(count / one, mm(count / one), unit)

    cost = [
        (
            x.what,
            *bought(x),
            f"{x.amount:.2f}",
            x.on.isoformat() if x.on else "",
            x.source,
        )
        for x in (*p.materials, *p.bought_in, *p.delivery_lines)
    ]
    hours = [
        (
            r.work.item or WHOLE,
            r.work.time.operation,
            worked(r.work.count, r.work.time.unit),
            *(f"{r.hours.at(q):.1f}" for q in (10, 50, 80, 90)),
            str(r.hours.records or "none"),
        )
        for r in p.labour
    ]
    hours.append(
        (
            WHOLE,
            "drawing and meetings",
            "",
            *(f"{p.design.at(q):.1f}" for q in (10, 50, 80, 90)),
            str(p.design.records or "yours"),
        )
    )
    data = about | {
        "currency": p.currency,
        "not_firm": not_firm(d),
        "hours": [("" if k and row[0] == hours[k - 1][0] else row[0], *row[1:]) for k, row in enumerate(hours)],
        "job": [
            ("The whole job", *(f"{p.hours_at(q):.1f}" for q in (10, 50, 80, 90))),
            (f"Before tax, {p.currency}", *(f"{p.net_at(q):.0f}" for q in (10, 50, 80, 90))),
        ],
        "own_jobs": p.own_jobs,
        "bought": cost,
        "built": [(name, f"{v:.2f}") for name, v in p.drivers]
        + [("before tax", f"{p.net:.2f}"), (tax_words(p), f"{p.tax:.2f}"), ("to pay", f"{p.gross:.2f}")],
        "rates": f"An hour must bring {p.shop_rate} {p.currency}. Materials carry "
        f"{float(p.materials_markup) * 100:g} %, what is bought in {float(p.bought_in_markup) * 100:g} %. "
        f"Profit is {float(p.margin) * 100:g} % of the price, which is "
        f"{float(p.markup) * 100:.2f} % on cost.",
        "drivers": [
            (name, [(n, f"{v:.2f}") for n, v in rows[:12]])
            for name, rows in (
                ("By stage", drivers.by_stage(p)),
                ("By decision", drivers.by_decision(p)),
                ("By member", drivers.by_member(p, d.counted, d.cutting_list)),
                ("By kind of joint", drivers.by_joint(p, d.counted)),
            )
        ],
        "breaks": [(str(b.count), f"{b.each:.2f}", f"{b.hours_each}") for b in price_breaks(d)],
        "warnings": [
            *p.old_prices(day, d.commission.rates.price_age_days),
            *([f"{len(p.undated)} lines stand at prices that nobody has dated."] if p.undated else []),
        ],
        "forgotten": "; ".join((
            *d.to_settle,
            *(t.operation for t in forgotten() if t.operation not in dict(d.extra_work)),
        )),
    }
    return for_client("costing", data, {}, shown)


def variation_pdf(d: Derived, about: dict, sender: list[str], paper: Issued) -> bytes:
    """One change to what was ordered: what, price, days; to be signed before it is made."""
    now = account(d.commission)
    before = now.agreed - (paper.gross if paper in now.variations else 0)
    c = paper.currency
    more = "more" if paper.gross >= 0 else "less"
    data = about | {
        "maker": sender,
        "number": paper.number,
        "date": date_words(paper.day),
        "quote": f"{now.quote.number} of {date_words(now.quote.day)}" if now.quote else "",
        "says": [says.replace(" -> ", " to ") for says in paper.says],
        "rows": [
            ("Agreed so far", money_words(before, c)),
            (f"This change, {more}", money_words(paper.gross, c)),
            *([(f"of it {d.price.tax_name}", money_words(paper.tax, c))] if paper.tax else []),
            ("To pay from now on, in all", money_words(before + paper.gross, c)),
        ],
        "days": _days_words(paper.days),
    }
    return for_client("variation", data, {}, d.commission.shown)


def _days_words(days: int) -> str:
    if not days:
        return "It does not move the day of delivery."
    return f"It takes {abs(days)} working {'day' if abs(days) == 1 else 'days'} {'more' if days > 0 else 'less'}."


def invoice_pdf(d: Derived, about: dict, sender: list[str], paper: Issued) -> bytes:
    """A deposit, stage or final invoice, with what was agreed and what was asked for before it."""
    now, rates, c = account(d.commission), d.commission.rates, paper.currency
    earlier = [i for i in now.invoices if i.number != paper.number and d.commission.issued.index(i) < _place(d, paper)]
    data = about | {
        "maker": sender,
        "called": CALLED[paper.kind],
        "number": paper.number,
        "date": date_words(paper.day),
        "for_what": paper.says[0] if paper.says else "",
        "agreed": [
            (f"{CALLED[i.kind]} {i.number} of {date_words(i.day)}", money_words(i.gross, c))
            for i in ([now.quote] if now.quote else []) + list(now.variations)
        ],
        "total": money_words(now.agreed, c),
        "earlier": [
            (
                f"{CALLED[i.kind]} {i.number} of {date_words(i.day)}" + (", paid" if i.agreed else ", not paid yet"),
                money_words(-i.gross, c),
            )
            for i in earlier
        ],
        "net": money_words(paper.net, c),
        "tax": money_words(paper.tax, c),
        "gross": money_words(paper.gross, c),
        "taxed": bool(paper.tax),
        "tax_words": tax_words(d.price),
        "pay_to": [line for line in rates.pay_to.splitlines() if line.strip()],
        "due": date_words(paper.day + timedelta(days=rates.pay_days)),
        "left": money_words(now.agreed - sum((i.gross for i in earlier), paper.gross), c),
    }
    return for_client("invoice", data, {}, d.commission.shown)


def _place(d: Derived, paper: Issued) -> int:
    numbers = [i.number for i in d.commission.issued]
    return numbers.index(paper.number) if paper.number in numbers else len(numbers)
