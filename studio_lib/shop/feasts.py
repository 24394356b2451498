"""Public holidays of a country, by the holidays library: those of the whole country, not of one state or region."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from itertools import count, islice
from types import MappingProxyType

EVERYWHERE = {(1, 1): "New Year's Day", (12, 25): "Christmas Day"}
"""(month, day) of the two on which no workshop is reckoned to work while its country is not known, common practice, no source."""


@cache
def public_holidays(code: str, year: int) -> Mapping[date, str]:
    """Every public holiday of a country in one year, with its name in English.

    ``code`` is that of ISO 3166; '' or one that the library does not know gives the two of ``EVERYWHERE``.
    """
    import holidays

    try:
        there = holidays.country_holidays(code, years=year, language="en_US") if code else None
    except NotImplementedError:
        there = None
    days = {date(year, month, day): name for (month, day), name in EVERYWHERE.items()} if there is None else dict(there)
    return MappingProxyType(days)


def coming(code: str, after: date, many: int) -> tuple[tuple[date, str], ...]:
    """The next public holidays after a day, soonest first."""
    return tuple(islice(_from(code, after), many))


def _from(code: str, after: date) -> Iterator[tuple[date, str]]:
    for year in count(after.year):
        yield from sorted((day, name) for day, name in public_holidays(code, year).items() if day > after)
