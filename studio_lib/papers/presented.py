"""What a client is shown of a commission: the piece, the ways to make it, what it may cost. Nothing of the workshop."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from studio_lib.derive import Derived
from studio_lib.look.scenes import options, sizes_words, timber_words

TO = Decimal(10)
"""A range is told in tens: it is no offer."""
LOW, LIKELY, HIGH = 10, 50, 90
"""Percentiles of the job's hours that the range runs over."""


@dataclass(frozen=True)
class Presented:
    """One way to make it, as a client is shown it."""

    name: str
    derived: Derived
    sizes: tuple[str, ...]
    timber: str
    price: str


def presented(d: Derived) -> tuple[Presented, ...]:
    """Each option kept with the commission that can be made, the commission itself where there is only one way."""
    return tuple(
        Presented(name, one, tuple(sizes_words(one)), timber_words(one), price_words(one, name in ("", d.commission.title, d.commission.chosen)))
        for name, one in options(d) if one.pieces
    )


def price_words(d: Derived, in_hand: bool = True) -> str:
    """What it may cost, tax included: the quote that went out, else a range, never a single figure; '' where nothing is known."""
    with_tax = ", tax included" if d.commission.rates.tax_rate else ""
    quotes = [i for i in d.commission.issued if i.kind == "quote"]
    if quotes and in_hand:
        q = quotes[-1]
        return f"{q.gross:.2f} {q.currency}{with_tax}, as quoted on {q.day.isoformat()}."
    open_yet = " What is still to be settled may change it." if any(s.holds for s in d.stops) else ""
    if d.commission.boards.offered and not d.layout.missing:
        p = d.price
        low, quoted, high = (_tens(p.net_at(at) * (1 + p.tax_rate)) for at in (LOW, p.quoted_at, HIGH))
        if not p.unpriced:
            return f"{low} to {high} {p.currency}; a quote would be about {quoted} {p.currency}{with_tax}. A range, not yet an offer.{open_yet}"
    if d.ballpark is not None:
        (low, _, high), cur = map(_tens, d.ballpark.gross), d.ballpark.currency
        return f"{low} to {high} {cur}; a quote would be about {_tens(d.ballpark.gross_safe)} {cur}{with_tax}. A first range from the brief, not an offer.{open_yet}"
    return ""


def _tens(amount: Decimal) -> Decimal:
    return (Decimal(amount) / TO).quantize(Decimal(1), ROUND_HALF_UP) * TO
