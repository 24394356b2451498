"""From a quote to a final invoice: papers about money in sequence, each with its figures as they went out.

Numbers run within a commission, one series for offers and one for invoices, so that each is unique in the book: the
reference of the commission is unique (Council Directive 2006/112/EC, Art. 226 (2), asks for a sequential number in one
or more series; from memory, check locally).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from studio_lib.commission import Commission, Issued, Rates, StagePayment
from studio_lib.costing.price import Price, tax_inside
from studio_lib.costing.settings import rates_from
from studio_lib.units import money

SERIES = {"quote": "Q", "variation": "V", "deposit": "I", "stage": "I", "invoice": "I"}
"""Letter of each kind's series; everything that asks for money shares one."""
CALLED = {
    "quote": "Quote",
    "variation": "Variation",
    "deposit": "Deposit invoice",
    "stage": "Stage invoice",
    "invoice": "Final invoice",
}


def next_number(commission: Commission, kind: str) -> str:
    """The number the next paper of a kind gets: 'C26-001-I2'."""
    letter = SERIES[kind]
    stem = f"{commission.ref}-{letter}"
    taken = [
        int(i.number.removeprefix(stem))
        for i in commission.issued
        if i.number.startswith(stem) and i.number.removeprefix(stem).isdigit()
    ]
    return f"{stem}{max(taken, default=0) + 1}"


def stages_of(rates: Rates) -> tuple[StagePayment, ...]:
    """The payments agreed, by event; without any, a share with the order and the rest before delivery."""
    if rates.stages:
        return rates.stages
    share = rates.deposit_share
    both = (("with the order", share), ("before delivery", 1 - share))
    return tuple(StagePayment(share=s, event=e) for e, s in both if s > 0)


def payments(gross: Decimal, rates: Rates) -> tuple[tuple[str, Decimal], ...]:
    """Each payment's event and amount; they add up to the price, the last takes what rounding leaves."""
    stages = stages_of(rates)
    out = [(s.event, money(gross * Decimal(str(s.share)))) for s in stages]
    last = gross - sum((a for _, a in out[:-1]), Decimal(0))
    return (*out[:-1], (out[-1][0], last))


def accepted_quote(commission: Commission) -> Issued | None:
    """The quote that the client accepted last, else None."""
    return next((i for i in reversed(commission.issued) if i.kind == "quote" and i.agreed), None)


def agreed_variations(commission: Commission) -> tuple[Issued, ...]:
    """Variations accepted since the quote was."""
    quote = accepted_quote(commission)
    if quote is None:
        return ()
    since = commission.issued.index(quote)
    return tuple(i for i in commission.issued[since + 1 :] if i.kind == "variation" and i.agreed)


@dataclass(frozen=True)
class Account:
    """What is agreed, asked for and open. All with tax."""

    quote: Issued | None
    variations: tuple[Issued, ...]
    invoices: tuple[Issued, ...]

    @property
    def agreed(self) -> Decimal:
        return (self.quote.gross if self.quote else Decimal(0)) + sum((v.gross for v in self.variations), Decimal(0))

    @property
    def agreed_net(self) -> Decimal:
        return (self.quote.net if self.quote else Decimal(0)) + sum((v.net for v in self.variations), Decimal(0))

    @property
    def asked(self) -> Decimal:
        return sum((i.gross for i in self.invoices), Decimal(0))

    @property
    def paid(self) -> Decimal:
        return sum((i.gross for i in self.invoices if i.agreed), Decimal(0))

    @property
    def rest(self) -> Decimal:
        """Agreed and not asked for yet."""
        return self.agreed - self.asked


def account(commission: Commission) -> Account:
    """How a commission stands."""
    asked = tuple(i for i in commission.issued if SERIES[i.kind] == "I")
    return Account(accepted_quote(commission), agreed_variations(commission), asked)


def quote_issued(commission: Commission, p: Price, revision: int, day: date, not_firm: str = "") -> Issued:
    """A quote as it goes out now. Raises ValueError, with the reason, where the price is not firm."""
    if not_firm:
        raise ValueError(not_firm)
    return Issued(
        kind="quote",
        number=next_number(commission, "quote"),
        day=day,
        revision=revision,
        currency=p.currency,
        net=p.net,
        tax=p.tax,
        gross=p.gross,
        says=tuple(f"{name}: {amount}" for name, amount in p.quoted),
    )


def last_agreed(commission: Commission) -> Issued | None:
    """The paper that says what is agreed now: the last variation accepted, else the accepted quote, else None."""
    varied = agreed_variations(commission)
    return varied[-1] if varied else accepted_quote(commission)


def at_todays_rates(before: Commission, now: Commission) -> Commission:
    """An earlier document with today's rates, what belonged to that job kept, so that only what was ordered differs."""
    return before.changed("rates", rates_from(now.rates, before.rates))


def variation_issued(commission: Commission, before, after, revision: int, day: date, not_firm: str = "") -> Issued:
    """What has changed since the last agreement, as a difference in price and in days.

    ``before`` is derived from the document as last agreed, ``at_todays_rates``; ``after`` from ``commission``. Both are
    priced alike, so that neither new rates nor new records are charged to the client. Raises ValueError where no quote
    is accepted, nothing has changed, another variation is still open, or the new price is not firm.
    """
    quote = accepted_quote(commission)
    if quote is None:
        raise ValueError("No quote has been accepted yet, so there is nothing to vary. Write a new quote.")
    p, was = after.price, before.price
    if quote.currency != p.currency:
        raise ValueError(
            f"The quote is in {quote.currency} and the price now in {p.currency}; two currencies cannot be added."
        )
    since = commission.issued[commission.issued.index(quote) + 1 :]
    waiting = next((i for i in since if i.kind == "variation" and not i.agreed), None)
    if waiting:
        raise ValueError(f"Variation {waiting.number} is not answered yet. Mark it accepted, or take the change back.")
    says = changes_since(before.commission, commission)
    if not says:
        raise ValueError("Nothing that was ordered has changed since it was agreed.")
    if not_firm:
        raise ValueError(not_firm)
    hours = float(p.hours_at(50) - was.hours_at(50))
    return Issued(
        kind="variation",
        number=next_number(commission, "variation"),
        day=day,
        revision=revision,
        currency=p.currency,
        net=p.net - was.net,
        tax=p.tax - was.tax,
        gross=p.gross - was.gross,
        says=says,
        days=round(hours / after.work_days.hours_a_day),
    )


def invoice_issued(commission: Commission, revision: int, day: date) -> Issued:
    """The next payment asked for: the deposit, a stage, and in the end all that is left, variations with it.

    Raises ValueError where no quote is accepted or nothing is left to ask for.
    """
    now, rates = account(commission), commission.rates
    if now.quote is None:
        raise ValueError("No quote has been accepted yet. Mark the quote as accepted first.")
    if now.rest <= 0:
        raise ValueError("All that was agreed has been asked for.")
    stages = payments(now.quote.gross, rates)
    k = len(now.invoices)
    last = k >= len(stages) - 1
    event, gross = (stages[-1][0], now.rest) if last else stages[k]
    kind = "invoice" if last else "deposit" if k == 0 else "stage"
    share = Decimal(str(rates.tax_rate))
    if last:
        net = now.agreed_net - sum((i.net for i in now.invoices), Decimal(0))
        tax = gross - net
    else:
        tax = tax_inside(gross, share)
        net = gross - tax
    return Issued(
        kind=kind,
        number=next_number(commission, kind),
        day=day,
        revision=revision,
        currency=now.quote.currency,
        net=net,
        tax=tax,
        gross=gross,
        says=(event,),
    )


def with_issued(commission: Commission, paper: Issued) -> list[dict]:
    """All papers issued with one more, as plain rows for the document."""
    return [i.model_dump(mode="json") for i in (*commission.issued, paper)]


def with_answer(commission: Commission, number: str, day: date | None) -> list[dict]:
    """Papers issued with one marked as accepted or paid on a day, or the mark taken away.

    Raises KeyError for a number that is not there, ValueError for a day before it went out.
    """
    rows = []
    for i in commission.issued:
        if i.number == number and day is not None and day < i.day:
            raise ValueError(f"{number} went out on {i.day.isoformat()}; it cannot be answered on {day.isoformat()}.")
        rows.append((i.model_copy(update={"agreed": day}) if i.number == number else i).model_dump(mode="json"))
    if number not in [i.number for i in commission.issued]:
        raise KeyError(f"No paper {number} has gone out.")
    return rows


COUNTS = (
    "items.",
    "timber.species",
    "timber.sawing",
    "brief.finish",
    "brief.paint_colour",
    "rates.bought_in",
    "rates.delivery_km",
    "rates.extra_work",
)
"""Fields of the document that a client ordered by."""


def changes_since(before: Commission, now: Commission) -> tuple[str, ...]:
    """What a client ordered by and is different now, in words; sizes nobody had set stand as they were laid out."""
    from studio_lib.compare import changes
    from studio_lib.derive import derive

    out = []
    for c in changes(before, now):
        if not c.path.startswith(COUNTS):
            continue
        steps = c.path.split(".")
        if steps[2:3] == ["sizes"] and "not set" in (c.before, c.after):
            made = [derive(x).made[int(steps[1])].sizes.get(steps[3]) for x in (before, now)]
            c = replace(
                c,
                before=c.before if made[0] is None else f"{made[0]:g}",
                after=c.after if c.after != "not set" or made[1] is None else f"{made[1]:g}",
            )
        out.append(str(c))
    return tuple(out)


def points_open(brief) -> list[str]:
    """What of the client's wish the quote would repeat without an answer, a sentence; [] where each point has one."""
    from studio_lib.brief.points import unanswered

    if brief.asked and not brief.points:
        return ["It repeats the client's words and does not say what of them is in the price: answer them 'Point by point', below the price."]
    left = unanswered(brief)
    if not left:
        return []
    more = f" and {len(left) - 2} more" if len(left) > 2 else ""
    return [f"Of what the client asked, no answer yet to: {'; '.join(left[:2])}{more}. Give it under 'Point by point', below the price."]


def before_it_goes(d, maker: str, day: date) -> list[str]:
    """What a maker would want to have seen to before a quote goes out on that day, a sentence each; [] when there is nothing."""
    from studio_lib.costing.tax import said_of_currency
    from studio_lib.finding import Verdict
    from studio_lib.papers.words import order_soon
    from studio_lib.questions import open_questions

    c, said = d.commission, []
    if not maker.strip():
        said.append("It will not say who you are: give your name and address on the Book page, under 'You, as papers name you'.")
    if not c.client.strip():
        said.append("It does not say who it is for: give the client on the Brief page.")
    if c.rates.tax_is_a_start:
        said.append(
            f"Its tax, {c.rates.tax_name} of {100 * c.rates.tax_rate:g} %, is a start, not yours: choose your country, or give name "
            "and rate, on the Price page, under 'Tax, rounding, payments, terms'."
        )
    said += said_of_currency(c.rates, d.price.at_starting_prices)
    if c.rates.delivery_is_a_start:
        said.append(
            f"Delivery is reckoned at {c.rates.delivery_km:g} km, where every job begins: give the way there and back on the Price page, "
            "under 'This job'. Where the client fetches it, leave it."
        )
    said += [s for s in [order_soon(d, day)] if s]
    said += [f"Not priced yet: {what}. Where you supply it, give it on the Price page, under 'Bought in for this job'." for what in d.to_settle]
    said += points_open(c.brief)
    if d.their_share is not None and not d.their_share.used:
        said.append(f"{d.share_words()} Say so to the client, or make a member to their size.")
    said += [f"A stop holds the papers back: {s.says}" for s in d.stops if s.holds]
    failing = list(dict.fromkeys(f"{f.subject}, {f.what}" for f in d.as_answered(d.findings) if f.verdict is Verdict.FAILS))
    if failing and not any(s.holds for s in d.stops):
        more = f"; and {len(failing) - 3} more" if len(failing) > 3 else ""
        said.append(f"{len(failing)} {'check does' if len(failing) == 1 else 'checks do'} not stand: {'; '.join(failing[:3])}{more}.")
    said += [f"What the client forbade: {f.says} {f.mend}" for f in d.stain_findings if not f.stands]
    asked = [q.asks for q in open_questions(c)]
    if asked:
        more = f" and {len(asked) - 2} more" if len(asked) > 2 else ""
        said.append(f"Not asked yet: {' '.join(asked[:2])}{more}")
    if c.brief.budget is not None and d.price.gross > c.brief.budget:
        said.append(f"It is {d.price.gross - c.brief.budget:.2f} {c.rates.currency} over the budget of {c.brief.budget} {c.rates.currency}.")
    return said
