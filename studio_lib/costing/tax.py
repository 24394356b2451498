"""Taxes on sales by country, as a start: the maker checks the rate where they are."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from studio_lib.costing.exchange import STARTS_IN, in_money, told

CHECK = "Rates and thresholds change: check locally before a quote goes out."


@dataclass(frozen=True)
class CountryTax:
    """What a country's tax on sales is called, how high it is, and whether consumers are shown prices with it."""

    country: str
    code: str
    """By ISO 3166; '' for no country."""
    name: str
    rate: float
    inclusive: bool
    currency: str
    note: str
    source: str


@cache
def taxes() -> dict[str, CountryTax]:
    """Every country on file, by name."""
    with Path(__file__).with_name("tax.csv").open(newline="") as file:
        return {
            r["country"]: CountryTax(
                r["country"],
                r["code"],
                r["tax_name"],
                float(r["rate"]),
                r["inclusive"] == "yes",
                r["currency"],
                r["note"],
                r["source"],
            )
            for r in csv.DictReader(file)
        }


def with_country(rates: dict, country: str) -> dict:
    """Plain rates with a country's tax in them; the currency stays, for prices are in it already.

    Raises KeyError for a country that is not on file.
    """
    if country not in taxes():
        raise KeyError(f"{country!r} is not on file; set the tax by hand. On file: {', '.join(taxes())}.")
    t = taxes()[country]
    return rates | {"country": country, "tax_name": t.name, "tax_rate": t.rate, "tax_inclusive": t.inclusive}


def in_country(c, country: str, locale: str = "", was: str = ""):
    """The commission as it is reckoned in a country: its tax; its money, while that stood at the start and nothing was issued,
    with the starting amounts in it.

    Money and days are written as ``locale`` writes them where nothing was chosen but, at most, ``was``, the writing of the
    country before. ``c`` is the commission. Raises
    KeyError for a country that is not on file.
    """
    rates = with_country(c.rates.model_dump(mode="json"), country)
    there = taxes()[country]
    if there.currency and c.rates.currency == STARTS_IN and not c.issued and not any(b.currency for b in c.rates.bought_in):
        rates = in_money(rates, there.currency)
    after = c.changed("rates", rates)
    return after.changed("showing.locale", locale) if locale and c.showing.locale in ("", was) else after


def said_of_currency(rates, at_starts: tuple[str, ...] = ()) -> list[str]:
    """What a maker must know of the money a job is reckoned in, a sentence each; [] where there is nothing to say.

    ``rates`` has ``currency``, ``country`` and ``are_a_start``; ``at_starts`` are the lines that stand at starting
    prices. Starts alone are converted, by a round rate; what the maker gave is never.
    """
    said, there = [], taxes().get(rates.country)
    if there is not None and there.currency != rates.currency:
        said.append(
            f"The tax is that of {there.country}, where money is {there.currency}, and this job is reckoned in "
            f"{rates.currency}: agree the currency with the client. To quote in {there.currency}, set the currency under "
            "'Tax, rounding, payments, terms' and give your rates and prices in it; no figure of yours is converted."
        )
    if rates.currency != STARTS_IN and (rates.are_a_start or at_starts):
        what = ["the rates of an hour"] if rates.are_a_start else []
        if at_starts:
            named = ", ".join(at_starts[:4]) + (f" and {len(at_starts) - 4} more" if len(at_starts) > 4 else "")
            what.append(f"{len(at_starts)} {'price' if len(at_starts) == 1 else 'prices'} ({named})")
        said.append(
            f"Not your own yet, but what the workbook begins with: {' and '.join(what)}. They were set in {STARTS_IN} and are counted here {told(rates)}. "
            "Put what you really charge and pay in their place before a quote goes out."
        )
    return said
