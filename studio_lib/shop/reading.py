"""Days as a person types them: '2027-03-26, 2027-12-24 to 2027-12-31'."""

from __future__ import annotations

from datetime import date, timedelta

MOST_DAYS = 366


def read_days(text: str) -> tuple[date, ...]:
    """Single days and spans of days, with commas between. Raises ValueError saying what was typed.

    >>> [d.day for d in read_days("2027-12-24 to 2027-12-26, 2027-03-26")]
    [26, 24, 25, 26]
    """
    days: set[date] = set()
    for part in filter(None, (p.strip() for p in text.replace(";", ",").replace("\n", ",").split(","))):
        ends = [_day(end) for end in part.split(" to ")]
        if len(ends) > 2:
            raise ValueError(f"{part!r} has more than two ends; give a day, or 'first to last'.")
        first, last = ends[0], ends[-1]
        if last < first:
            raise ValueError(f"{part!r} runs backwards; give the first day first.")
        if (last - first).days >= MOST_DAYS:
            raise ValueError(f"{part!r} is longer than a year; give it in parts.")
        days |= {first + timedelta(days=n) for n in range((last - first).days + 1)}
    return tuple(sorted(days))


def days_text(days: tuple[date, ...]) -> str:
    """The same days in as few words: runs of days as spans."""
    out: list[list[date]] = []
    for day in sorted(days):
        if out and day - out[-1][-1] == timedelta(days=1):
            out[-1] = [out[-1][0], day]
        else:
            out.append([day])
    return ", ".join(" to ".join(d.isoformat() for d in run) for run in out)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise ValueError(f"{text.strip()!r} is not a day; give year, month and day, such as 2027-03-26.") from None
