"""By when, in a client's words."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache

from dateutil.easter import easter

from studio_lib.brief.reading import Heard, N, number_said, rows_of, words_before
from studio_lib.commission import Commission

MONTHS = {w: n for n, w in enumerate("january february march april may june july august september october november december".split(), 1)}
_MONTH = "(" + "|".join(MONTHS) + ")"
_UNTIL = r"\b(by|before|until|till|for|in|on|at)\s+(?:the\s+)?"
_FEASTS = (
    (re.compile(_UNTIL + r"easter\b", re.IGNORECASE), timedelta(0)), (re.compile(_UNTIL + r"(?:whitsun(?:day|tide)?|pentecost)\b", re.IGNORECASE), timedelta(days=49)),
)
"""Movable ones, and how long after Easter Sunday they are."""
_FAMILY_DAYS = (
    ("mother's day", re.compile(_UNTIL + r"(?:mother(?:s['\u2019]|['\u2019]s|s)? day|mothering sunday)\b", re.IGNORECASE)),
    ("father's day", re.compile(_UNTIL + r"father(?:s['\u2019]|['\u2019]s|s)? day\b", re.IGNORECASE)), ("thanksgiving", re.compile(_UNTIL + r"thanksgiving\b", re.IGNORECASE)),
    ("victoria day", re.compile(_UNTIL + r"victoria day\b", re.IGNORECASE)),
)
"""Those that fall on another day in another country."""
_A_WEEK = re.compile(r"\b(?:a|the|one) week $", re.IGNORECASE)
_SO_MANY = re.compile(rf"\b{N}(?: of us| people| guests)?\s+$", re.IGNORECASE)
"""Before 'at Christmas' where it says how many come then: '10 at Christmas'."""
_CHRISTMAS = re.compile(_UNTIL + r"christmas\b", re.IGNORECASE)
_DAY = re.compile(rf"\b(\d{{1,2}})(?:st|nd|rd|th)?\s+(?:of\s+)?{_MONTH}(?:\s+(20\d\d))?\b|\b{_MONTH}\s+(\d{{1,2}})(?:st|nd|rd|th)?\b(?:,?\s+(20\d\d))?", re.IGNORECASE)
_IN_MONTH = re.compile(
    rf"(?:{_UNTIL})?\b(?:(beginning|start|middle|end) of\s+|(early|mid|late)[ -])?{_MONTH}(?:\s+(20\d\d))?\b", re.IGNORECASE)
_MONTH_SUITS = re.compile(rf"\b{_MONTH}(?=\s+would\s+(?:be|suit|do))", re.IGNORECASE)
_NEXT_MONTH = re.compile(r"\b(?:by|before|until|till|at)\s+the end of next month\b", re.IGNORECASE)
_WITHIN = re.compile(rf"\b(?:in|within)\s+(?:about\s+)?{N}\s+(week|month)s?\b", re.IGNORECASE)
_ISO = re.compile(r"\b(20\d\d)-(\d\d)-(\d\d)\b")


def _coming(day: int, month: int, year: str | None, today: date) -> date | None:
    """The next such day, or the one of the year said; None for one that is on no calendar."""
    for y in (int(year),) if year else (today.year, today.year + 1):
        if day <= monthrange(y, month)[1] and (date(y, month, day) > today or year):
            return date(y, month, day)
    return None


_STARTS = re.compile(r"\b(?:before|until|till)\s+(?:(?!and\b|but\b)[\w']+\s+){0,5}$", re.IGNORECASE)
"""Before words for a month: 'before school starts again in September'."""
_NEXT_YEAR = re.compile(r"\s*,?\s*(?:of )?next year\b|\s+(20\d\d)\b", re.IGNORECASE)


def family_day(name: str, code: str, year: int) -> date | None:
    """When Mother's Day, Father's Day, Thanksgiving or Victoria Day is in a country, by its code of ISO 3166; None where none is on file. See ``family_days.csv``."""
    rule = _falls_on().get((name, code))
    if rule is None:
        return None
    at, *rest = rule.split(" ")
    if at == "Easter":
        return easter(year) + timedelta(days=int(rest[0]))
    if rest[0] == "before":
        before = date(year, MONTHS[rest[2].lower()], int(rest[1])) - timedelta(days=1)
        return before - timedelta(days=(before.weekday() - _WEEKDAYS.index(at)) % 7)
    if len(rest) == 1:
        return date(year, MONTHS[rest[0].lower()], int(at))
    weekday, month = _WEEKDAYS.index(rest[0]), MONTHS[rest[1].lower()]
    days = [d for n in range(monthrange(year, month)[1]) if (d := date(year, month, n + 1)).weekday() == weekday]
    day = days[-1] if at == "last" else days[int(at) - 1]
    return day + timedelta(days=7) if rest[-1] == "Pentecost" and day == easter(year) + timedelta(days=49) else day


_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@cache
def _falls_on() -> dict[tuple[str, str], str]:
    return {(r["day"], code): r["falls_on"] for r in rows_of("family_days") for code in r["countries"].split(" ")}


def _year_after(text: str, at: re.Match, today: date) -> str | None:
    """The year that is said after a day: 'Christmas next year', 'Easter 2028'."""
    said = _NEXT_YEAR.match(text, at.end())
    return (said[1] or str(today.year + 1)) if said else None


def _days(text: str, today: date, code: str) -> Iterator[tuple[date | None, str]]:
    """Days that are said, and the words for each; ``code`` is that of the country."""
    for name, words in _FAMILY_DAYS:
        for at in words.finditer(text):
            year = _year_after(text, at, today)
            found = [family_day(name, code, y) for y in ((int(year),) if year else (today.year, today.year + 1))]
            yield next((d - timedelta(days=1) for d in found if d and d > today), None), at[0]
    for words, after in _FEASTS:
        for at in words.finditer(text):
            year = _year_after(text, at, today)
            feasts = [easter(y) + after for y in ((int(year),) if year else (today.year, today.year + 1))]
            yield next((d - timedelta(days=1) for d in feasts if d > today), None), at[0]
    feasts = [at for at in _CHRISTMAS.finditer(text) if not (at[1].lower() in ("at", "for") and _SO_MANY.search(words_before(text, at.start())))]
    # Where it is said twice, 'for Christmas lunch' and 'before Christmas next year', the one with its year is when it is wanted.
    for at in [at for at in feasts if _year_after(text, at, today)] or feasts:
        week = _A_WEEK.search(words_before(text, at.start())) if at[0].lower().startswith("before") else None
        yield _coming(18 if week else 23, 12, _year_after(text, at, today), today), f"{week[0] if week else ''}{at[0]}"
    for at in _ISO.finditer(text):
        if 1 <= int(at[2]) <= 12:
            yield _coming(int(at[3]), int(at[2]), at[1], today), at[0]
    for at in _DAY.finditer(text):
        day, month, year = (at[1], at[2], at[3]) if at[1] else (at[5], at[4], at[6])
        yield _coming(int(day), MONTHS[month.lower()], year or _year_after(text, at, today), today), at[0]
    for at in _IN_MONTH.finditer(_DAY.sub(lambda at: " " * len(at[0]), text)):
        if not any(at.groups()[:3]):
            continue  # a month's name alone, as 'may', is a word like others
        month = MONTHS[at[4].lower()]
        part = (at[2] or at[3] or "").lower()
        year = at[5] or _year_after(text, at, today)
        last = monthrange(int(year) if year else today.year + (month < today.month), month)[1]
        begins = (at[1] or "by").lower() in ("by", "before", "until", "till") or _STARTS.search(words_before(text, at.start())) is not None
        day = {"beginning": 7, "start": 7, "early": 7, "middle": 15, "mid": 15, "end": last, "late": last}.get(part, 1 if begins else last)
        yield _coming(day, month, year, today), at[0]
    for at in _MONTH_SUITS.finditer(text):
        month = MONTHS[at[1].lower()]
        yield _coming(monthrange(today.year + (month < today.month), month)[1], month, None, today), at[0]
    for at in _NEXT_MONTH.finditer(text):
        year, month = divmod(12 * today.year + today.month, 12)
        yield date(year, month + 1, monthrange(year, month + 1)[1]), at[0]
    for at in _WITHIN.finditer(text):
        many = number_said(at[1])
        yield today + timedelta(days=7 * many if at[2].lower() == "week" else 30 * many), at[0]


_ELSE = re.compile(
    rf"\b(?:(?:otherwise|if not|failing that|or else)\b,?\s+|or,?\s+(?=(?:the\s+)?\w+\s+(?:will|would)\s+(?:also\s+)?do\b))(?:(?:by|in|before|until|at)\s+)?"
    rf"((?:the\s+)?(?:(?:early|late|next|beginning of|middle of|end of)\s+)?(?:the\s+)?(?:spring|summer|autumn|fall|winter|easter|whitsun|christmas|new year|{_MONTH[1:-1]})(?:\s+holidays)?)\b"
    r"(?:\s+(?:will|would|is|are)\s+(?:also\s+)?(?:be\s+)?(?:do|fine|early enough|all right|good enough|suit)\b(?!\s+(?:damage|harm|it|for|this|that)\b)|\s+suits\b|(?=\s*(?:[.,;!?)]|$)))", re.IGNORECASE)
"""A looser date: 'otherwise the summer will do'."""


def wanted_by_said(c: Commission, today: date) -> Iterator[Heard]:
    """The first day to come that is said; a looser one, which would do too, is told and not set."""
    from studio_lib.costing.tax import taxes

    there = taxes().get(c.rates.country)
    text = _ELSE.sub(lambda at: " " * len(at[0]), c.brief.asked)
    if c.brief.wanted_by is None:
        first = min(((d, words) for d, words in _days(text, today, there.code if there else "") if d and d > today), default=None)
        if first:
            yield Heard("brief.wanted_by", first[0].isoformat(), f"wanted by {first[0].isoformat()}", first[1])
        elif not there and (at := next((at for _, words in _FAMILY_DAYS if (at := words.search(text))), None)):
            yield Heard("", None, f"{at[0]}: it falls on another day in another country; choose yours first, then it can be taken", at[0])
    for at in _ELSE.finditer(c.brief.asked):
        yield Heard("", None, f"a looser date: {at[1]} would do too, they say; no date is set by it", at[0])
