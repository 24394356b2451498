"""Maintenance reminders by finish and exposure, as events for the client's own calendar."""

from __future__ import annotations

from calendar import monthrange
from datetime import date

from studio_lib.derive import Derived
from studio_lib.finishing.finish import FILMS, PLACE_NEEDS, oily_rags
from studio_lib.forms import form
from studio_lib.handover.care import again_after
from studio_lib.shop.calendar import Event, ics

YEARS_AHEAD = 10
FIRST_CHECKS = (1, 6, 12)
"""Months after handing over; judgement."""
RAGS = (
    "Oily rags catch fire by themselves: spread them out singly outdoors until hard, or soak them in water in a lidded "
    "metal can."
)
SPRING = (4, 1)
"""Month and day of the yearly wash outdoors, north of the equator."""


def months_after(day: date, months: int) -> date:
    """The same day so many months on; the last of the month where there is no such day."""
    month = day.month - 1 + months
    year, month = day.year + month // 12, month % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def reminders(d: Derived, handed_over: date) -> tuple[Event, ...]:
    """What to do when, for ten years from handing over.

    First looks after 1, 6 and 12 months; then yearly. A wash in spring outdoors; a coat again where the finish
    has one, at the early end of its years there. A bare piece has no coat to renew.
    """
    c, title = d.commission, d.commission.title
    needs = PLACE_NEEDS[d.hardest.place]
    look = "Joints, feet and fixings: nothing loose, nothing rocking, no foot that stays dark and wet."
    events = [
        Event(f"look/{m}", months_after(handed_over, m), months_after(handed_over, m),
              f"{title}: look it over, {m} {'month' if m == 1 else 'months'} on", look, remind_days=3)
        for m in FIRST_CHECKS
    ]
    yearly = months_after(handed_over, 24)
    events.append(Event("look/yearly", yearly, yearly, f"{title}: look it over", look, 12, YEARS_AHEAD - 1, 3))
    if needs != "indoors":
        first = date(handed_over.year, *SPRING)
        if first <= months_after(handed_over, 3):
            first = date(handed_over.year + 1, *SPRING)
        events.append(Event(
            "wash", first, first, f"{title}: wash it",
            "Soft brush, water and mild soap, along the grain; no pressure washer, no steel wool. Clear leaves from gaps "
            "and feet.",
            12, YEARS_AHEAD, 7,
        ))
    if c.brief.finish != "left bare" and (c.brief.finish not in FILMS or again_after(d)):
        events.append(_coat(d, handed_over, title, needs))
    if c.handover.wall not in ("", "stands free") or d.at_the_wall:
        month = months_after(handed_over, 1)
        events.append(Event("fixings", month, month, f"{title}: wall fixings still tight?", "", 12, YEARS_AHEAD, 3))
    if any(form(m.item.form).clamps(m.sizes) for m in d.made):
        month = months_after(handed_over, 1)
        events.append(Event("clamps", month, month, f"{title}: clamps on the railing and safety lines still tight?", "Once a year, and after every storm.", 12, YEARS_AHEAD, 3))
    return tuple(events)


def _coat(d: Derived, handed_over: date, title: str, needs: str) -> Event:
    years = again_after(d)
    months = max(3, round(12 * years[0])) if years else 12
    first = months_after(handed_over, months)
    finish = d.commission.brief.finish
    again = f"sand it lightly and give it another coat of the same {finish}." if finish in FILMS else f"rub a thin coat of the same {finish} in."
    return Event(
        "coat", first, first, f"{title}: does the {finish} want doing again?",
        ("Where it looks dry or worn, clean and" if needs == "indoors"
         else "Drip water on the top: when it no longer beads, clean, let dry,")
        + f" {again}{f' {RAGS}' if oily_rags(d.finish_family) else ''}",
        months, max(1, YEARS_AHEAD * 12 // months), 7,
    )


def reminders_ics(d: Derived, handed_over: date, stamp: date) -> bytes:
    """The reminders as an iCalendar file."""
    c = d.commission
    return ics(reminders(d, handed_over), c.ref, f"Care: {c.title}", stamp)


def counted_from(d: Derived, today: date) -> date:
    """Day the reminders count from: handed over, else the safe day of the calendar."""
    return d.commission.handover.handed_over or d.plan(today).finish_safe
