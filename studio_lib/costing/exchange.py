"""What the workbook's starting amounts come to in other money: a round rate on file, or the maker's own. No network is asked."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

STARTS_IN = "EUR"
"""What the workbook's starting rates and prices are reckoned in."""
STARTING_AMOUNTS = ("drawings_per_year", "overheads_per_year", "delivery_per_km", "helper_per_hour", "hired_van")
"""Amounts of a job's rates that begin at a figure of the workbook."""


@dataclass(frozen=True)
class Exchange:
    """What one of ``STARTS_IN`` is taken as in another currency."""

    currency: str
    to_one_eur: Decimal
    as_of: str
    """Year of the rate."""
    source: str


@cache
def exchanges() -> dict[str, Exchange]:
    """Every currency on file."""
    with Path(__file__).with_name("exchange.csv").open(newline="") as file:
        return {r["currency"]: Exchange(r["currency"], Decimal(r["to_one_eur"]), r["as_of"], r["source"]) for r in csv.DictReader(file)}


def to_one_eur(rates) -> Decimal:
    """What starting prices are multiplied with: the maker's own rate, else the one on file, else 1."""
    if rates.start_rate is not None:
        return Decimal(str(rates.start_rate))
    return exchanges()[rates.currency].to_one_eur if rates.currency in exchanges() else Decimal(1)


def told(rates) -> str:
    """How starting prices came into the job's money, in words that follow 'counted'; empty where they are in it already."""
    if rates.currency == STARTS_IN and rates.start_rate is None:
        return ""
    if rates.start_rate is not None:
        return f"at {rates.start_rate:g} {rates.currency} to one {STARTS_IN}, your own rate"
    if rates.currency not in exchanges():
        return f"as {rates.currency} one for one, for no rate is on file"
    e = exchanges()[rates.currency]
    return f"at {e.to_one_eur:f} {e.currency} to one {STARTS_IN}, as of {e.as_of} ({e.source})"


def rounded(amount: Decimal) -> Decimal:
    """To three figures, for a converted start is no more exact than that; cents at the finest."""
    return amount.quantize(max(Decimal(1).scaleb(amount.adjusted() - 2), Decimal("0.01"))) + Decimal("0.00") if amount else amount


def starting_amount(name: str, currency: str) -> Decimal:
    """What one of ``STARTING_AMOUNTS`` begins at in a currency: as on file, or one for one."""
    from studio_lib.commission import Rates

    start = Rates.model_fields[name].default
    if currency == STARTS_IN or currency not in exchanges():
        return start
    return rounded(start * exchanges()[currency].to_one_eur)


def in_money(rates: dict, currency: str) -> dict:
    """Plain rates reckoned in a currency: what stands at a start is taken over, what the maker set stays as it is."""
    out = rates | {"currency": currency, "start_rate": None}
    for name in STARTING_AMOUNTS:
        if Decimal(str(rates[name])) in (starting_amount(name, STARTS_IN), starting_amount(name, rates["currency"])):
            out[name] = str(starting_amount(name, currency))
    return out
