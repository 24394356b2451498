"""The calendar of a job: hours and waiting as dates, what to do today, and an iCalendar file.

Work fills the hours of working days; waiting runs on through nights, weekends and holidays.
The likely calendar takes the hours that half of such jobs stay under and the least waits, the
safe one the hours that eight in ten stay under and the longest waits, as the quote does.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from uuid import NAMESPACE_URL, uuid5

from studio_lib.shop.feasts import public_holidays

FURTHEST_DAYS = 1500
"""No calendar looks further than this from its start."""
DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MADE_BY = "-//design workbook//EN"
LEAST_H = 0.01
"""Less than this is rounding, not work. [h]"""


@dataclass(frozen=True)
class Days:
    """Which days are worked, and how long."""

    hours_a_day: float
    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4)
    """0 Monday to 6 Sunday."""
    holidays: frozenset[date] = frozenset()
    busy: tuple[tuple[date, date], ...] = ()
    """Other jobs in hand: (first day, last day)."""
    country: str | None = ""
    """Whose public holidays are off, by its code of ISO 3166: '' where it is not known; None: they are worked."""

    def __post_init__(self):
        if not 0 < self.hours_a_day <= 24:
            raise ValueError(f"Hours a day is {self.hours_a_day:g}; give more than 0, up to 24.")
        if not self.weekdays or not set(self.weekdays) <= set(range(7)):
            raise ValueError(f"Days worked are {self.weekdays!r}; give at least one of 0 (Monday) to 6 (Sunday).")
        for first, last in self.busy:
            if last < first:
                raise ValueError(
                    f"Another job runs from {first.isoformat()} back to {last.isoformat()}; turn them round."
                )

    def works_on(self, day: date) -> bool:
        """Whether this job can be worked on that day."""
        return (
            day.weekday() in self.weekdays and not self.holiday(day)
            and not any(first <= day <= last for first, last in self.busy)
        )

    def holiday(self, day: date) -> str:
        """What holiday that day is, the maker's own or a public one; '' for a day like others."""
        public = "" if self.country is None else public_holidays(self.country, day.year).get(day, "")
        return public or ("a day off" if day in self.holidays else "")

    def next_from(self, day: date) -> date:
        """That day or the first one after it that is worked. Raises ValueError when there is none in reach."""
        for n in range(FURTHEST_DAYS):
            if self.works_on(day + timedelta(days=n)):
                return day + timedelta(days=n)
        raise ValueError(
            f"No day is free for work within {FURTHEST_DAYS} days of {day.isoformat()}; look at days worked, holidays "
            "and other jobs again."
        )


@dataclass(frozen=True)
class Step:
    """One thing to do or to wait for, with its likely and its safe length."""

    key: str
    words: str
    hours: tuple[float, float] = (0.0, 0.0)
    """Work: likely, safe. [h]"""
    wait_days: tuple[float, float] = (0.0, 0.0)
    """Waiting after the work: least, most. [days]"""
    waits_for: str = ""
    operations: tuple[str, ...] = ()
    source: str = ""
    look: str = ""
    """What is looked at before the next step begins."""
    photograph: str = ""
    """What is photographed while it can still be seen."""

    @property
    def is_wait(self) -> bool:
        """Nothing to do but wait."""
        return not self.operations


@dataclass(frozen=True)
class Dated:
    """A step with its days."""

    step: Step
    first: date
    last: date
    """Last day of its work; of a wait the day before the next step may begin."""
    hours: tuple[tuple[date, float], ...] = ()
    """Work on each day. [h]"""
    free_on: date | None = None
    """First day on which what comes after may begin; None: on the last day itself, with the hours left."""
    done: bool = False


@dataclass(frozen=True)
class Plan:
    """A job's steps on the likely and on the safe days."""

    likely: tuple[Dated, ...]
    safe: tuple[Dated, ...]
    start: date

    @property
    def finish_likely(self) -> date:
        """Day it is handed over if all goes as is likely."""
        return self.likely[-1].last

    @property
    def finish_safe(self) -> date:
        """Day it is handed over in eight jobs of ten, by the spread of the hours."""
        return self.safe[-1].last


@cache
def waits() -> dict[str, tuple[float, float]]:
    """Least and most days of every wait on file, by name."""
    path = Path(__file__).parents[1] / "brief" / "waits.csv"
    with path.open(newline="", encoding="utf-8") as file:
        return {row["what"]: (float(row["low_days"]), float(row["high_days"])) for row in csv.DictReader(file)}


@cache
def _rows() -> tuple[dict[str, str], ...]:
    with Path(__file__).with_name("steps.csv").open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def work_steps(
    labour: Iterable[tuple[str, str, float]], design_hours: float, likely_h: float, safe_h: float, glue_stages: int,
    coats: int, between_coats_h: tuple[float, float], finish_wait_days: tuple[float, float],
) -> tuple[Step, ...]:
    """The steps of a job in order.

    Parameters
    ----------
    labour : iterable of (operation, stage, median hours)
    design_hours : float
        Drawing and meetings; the same whether it goes well or badly. [h]
    likely_h, safe_h : float
        Hours of the whole job, design with it: the steps' hours add up to these. [h]
    glue_stages, coats : int
    between_coats_h : (least, most)
        [h]
    finish_wait_days : (least, most)
        From the first coat to delivery. [days]

    Raises
    ------
    ValueError
        When the safe hours are under the likely ones, or there is no work at all.
    """
    labour = list(labour)
    total = sum(h for _, _, h in labour)
    if safe_h < likely_h:
        raise ValueError(f"Safe hours are {safe_h:g}, under the {likely_h:g} likely ones; turn them round.")
    if not total > 0:
        raise ValueError("There is no work to put on a calendar yet; add a piece on the Brief page.")
    scale = tuple((h - design_hours) / total for h in (likely_h, safe_h))
    left = list(labour)
    by_row: dict[str, list[tuple[str, float]]] = {}
    named = {op for row in _rows() for op in row["operations"].split("|") if op}
    for row in _rows():
        takes = set(row["operations"].split("|")) - {""}
        mine = [x for x in left if x[0] in takes or (row["stage"] and x[1] == row["stage"] and x[0] not in named)]
        by_row[row["step"]] = [(op, h) for op, _, h in mine]
        left = [x for x in left if x not in mine]
    by_row["clean up"] += [(op, h) for op, _, h in left]
    out: list[Step] = []
    for row in _rows():
        out += _steps_of(
            row, by_row[row["step"]], scale, design_hours, glue_stages, coats, between_coats_h, finish_wait_days
        )
    return tuple(out)


def _steps_of(row, mine, scale, design_hours, glue_stages, coats, between_h, finish_wait):
    key, words, source = row["step"], row["words"], row["source"]
    checks = {"look": row["look"], "photograph": row["photograph"]}
    if row["kind"] == "wait":
        return [Step(key, words, wait_days=waits()[row["wait"]], waits_for=words, source=source, **checks)]
    hours = tuple(sum(h for _, h in mine) * k for k in scale)
    operations = tuple(dict.fromkeys(op for op, _ in mine))
    if key == "drawing":
        mine, hours, operations = [design_hours], (design_hours, design_hours), ("drawing and meetings",)
    if not any(mine):
        return []
    if key == "glue":
        n = max(glue_stages, 1)
        night = waits()[row["wait"]]
        return [
            Step(
                f"glue {i + 1}", f"{words}, day {i + 1} of {n}", tuple(h / n for h in hours), night, "glue to cure",
                operations, source, **checks,
            )
            for i in range(n)
        ]
    if key == "coat":
        n = max(coats, 1)
        nights = tuple(max(1, math.ceil(h / 24)) for h in between_h)
        last = tuple(max(0.0, whole - (n - 1) * night) for whole, night in zip(finish_wait, nights))
        return [
            Step(
                f"coat {i + 1}", f"{words} {i + 1} of {n}", tuple(h / n for h in hours), nights if i < n - 1 else last,
                "the coat to dry" if i < n - 1 else "the finish to harden", operations, source, **checks,
            )
            for i in range(n)
        ]
    return [Step(key, words, hours, operations=operations, source=source, **checks)]


def plan(
    steps: Iterable[Step], start: date, days: Days, *, today: date | None = None,
    done: Mapping[str, date] | None = None, boards_in: date | None = None,
) -> Plan:
    """Put the steps on days, likely and safe.

    Parameters
    ----------
    steps : iterable of Step
    start : date
        First day of the job.
    days : Days
    today : date or None
        What is not done cannot be done before it; None plans from ``start`` alone.
    done : mapping from a step's key to the day it was finished
    boards_in : date or None
        When the boards came into the workshop: their wait counts from there.

    Raises
    ------
    ValueError
        When there is no step, or no day free for work in reach.
    """
    steps = tuple(steps)
    if not steps:
        raise ValueError("There is no work to put on a calendar yet; add a piece on the Brief page.")
    likely, safe = (_laid(steps, start, days, k, today, done or {}, boards_in) for k in (0, 1))
    return Plan(likely, safe, start)


def _laid(steps, start, days: Days, k: int, today, done, boards_in) -> tuple[Dated, ...]:
    at, left = start, days.hours_a_day  # the day in hand and the hours still free on it
    out: list[Dated] = []

    def move_to(day: date):
        nonlocal at, left
        if day > at:
            at, left = day, days.hours_a_day

    for step in steps:
        wait = math.ceil(step.wait_days[k] - 1e-9)
        if step.key in done:
            day = done[step.key]
            free = day + timedelta(days=wait) if wait and not step.is_wait else None
            out.append(Dated(step, day, day, free_on=free, done=True))
            move_to(free or day)
            continue
        if today is not None:
            move_to(today)
        if step.is_wait:
            began = boards_in if step.key == "air" and boards_in is not None else at
            free = max(began + timedelta(days=wait), at)
            out.append(Dated(step, min(began, free), max(free - timedelta(days=1), min(began, free)), free_on=free))
            move_to(free)
            continue
        worked: list[tuple[date, float]] = []
        need = step.hours[k]
        while need > LEAST_H:
            if left <= LEAST_H or not days.works_on(at):
                move_to(days.next_from(at + timedelta(days=1)))
            took = min(need, left)
            worked.append((at, took))
            need -= took
            left -= took
        first, last = (worked[0][0], worked[-1][0]) if worked else (at, at)
        free = last + timedelta(days=wait) if wait else None
        out.append(Dated(step, first, last, tuple(worked), free))
        if free:
            move_to(free)
    return tuple(out)


def today_says(made: Plan, today: date, days: Days) -> list[str]:
    """What to do on one day, as one would read it off the wall."""
    said = []
    if not days.works_on(today):
        why = (
            holiday if (holiday := days.holiday(today))
            else "another job is in hand" if any(a <= today <= b for a, b in days.busy)
            else f"{DAY_NAMES[today.weekday()]}, not a working day"
        )
        said.append(f"No work on this job today: {why}.")
    waiting_for = ""
    for d in made.likely:
        if d.done and not (d.free_on and d.free_on > today):
            continue
        hours = dict(d.hours).get(today)
        if hours:
            whole = d.step.hours[0]
            said.append(
                f"{d.step.words}: {hours:.1f} h today" + (f", {whole:.1f} h in all." if whole - hours > 0.05 else ".")
            )
        if d.free_on and (d.first if d.step.is_wait else d.last) <= today < d.free_on:
            waiting_for = f"Waiting: {d.step.waits_for[0].lower()}{d.step.waits_for[1:]}, until {_day(d.free_on)}."
    if waiting_for:
        said.append(waiting_for)
    if made.start > today and not any(d.done for d in made.likely):
        said.append(f"This job begins on {_day(made.start)}.")
    following = next((d for d in made.likely if not d.done and not d.step.is_wait and d.first > today), None)
    if following:
        said.append(f"Next: {following.step.words[0].lower()}{following.step.words[1:]}, on {_day(following.first)}.")
    if all(d.done for d in made.likely):
        said.append("All steps are done.")
    return said


def _day(day: date) -> str:
    return f"{DAY_NAMES[day.weekday()]} {day.day} {day:%B %Y}"


# ------------------------------------------------------------------ iCalendar


@dataclass(frozen=True)
class Event:
    """An event of whole days for an iCalendar file."""

    key: str
    """Unlike any other of the same file."""
    first: date
    last: date
    summary: str
    description: str = ""
    every_months: int | None = None
    """Comes again every so many months; None: once."""
    times: int = 1
    """How often in all, when it comes again."""
    remind_days: int | None = None
    """A reminder so many days before; None: none."""


def ics(events: Iterable[Event], ref: str, name: str, stamp: date) -> bytes:
    """An iCalendar file (RFC 5545) of whole-day events; the same events give the same bytes.

    ``ref`` tells this commission's events from others'; ``stamp`` is the day it was made.
    An event moved later keeps its identity, so that a calendar read in again moves it.
    """
    from icalendar import Alarm, Calendar
    from icalendar import Event as Entry

    out = Calendar()
    out.add("prodid", MADE_BY)
    out.add("version", "2.0")
    out.add("x-wr-calname", name)
    for e in events:
        entry = Entry()
        entry.add("uid", str(uuid5(NAMESPACE_URL, f"{ref}/{e.key}")))
        entry.add("dtstamp", datetime.combine(stamp, time(), UTC))
        entry.add("dtstart", e.first)
        entry.add("dtend", e.last + timedelta(days=1))  # RFC 5545 3.6.1: the end is the first day after
        entry.add("summary", e.summary)
        entry.add("transp", "TRANSPARENT")
        if e.description:
            entry.add("description", e.description)
        if e.every_months:
            years, months = divmod(e.every_months, 12)
            entry.add(
                "rrule", {"freq": "yearly", "interval": years, "count": e.times} if not months
                else {"freq": "monthly", "interval": e.every_months, "count": e.times},
            )
        if e.remind_days is not None:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", e.summary)
            alarm.add("trigger", timedelta(days=-e.remind_days))
            entry.add_component(alarm)
        out.add_component(entry)
    return out.to_ical()


def calendar_ics(made: Plan, ref: str, title: str, stamp: date) -> bytes:
    """The likely days of a job as an iCalendar file, with the likely and the safe day of handing over."""
    events = [
        Event(f"step/{d.step.key}", d.first, d.last, f"{ref}: {d.step.words}", _event_words(d))
        for d in made.likely
    ]
    events.append(Event("safe", made.finish_safe, made.finish_safe, f"{ref}: {title}, safe day of handing over",
                        "Eight jobs in ten are ready by then, by the spread of the hours."))
    return ics(events, ref, f"{ref} {title}", stamp)


def _event_words(d: Dated) -> str:
    said = [f"{sum(h for _, h in d.hours):.1f} h of work."] if d.hours else []
    if d.free_on and not d.step.is_wait:
        said.append(f"Then {d.step.waits_for} until {_day(d.free_on)}.")
    if d.done:
        said.append("Done.")
    return " ".join(said)

