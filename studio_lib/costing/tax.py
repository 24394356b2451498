"""Taxes on sales by country, as a start: the maker checks the rate where they are."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

CHECK = "Rates and thresholds change: check locally before a quote goes out."


@dataclass(frozen=True)
class CountryTax:
    """What a country's tax on sales is called, how high it is, and whether consumers are shown prices with it."""

    country: str
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
