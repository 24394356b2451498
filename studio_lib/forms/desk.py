"""A table to write and work at: someone sits at one long side, nobody across from them or at its ends."""

from __future__ import annotations

import math

from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.forms.beside import USUAL_PLACE_MM, Table
from studio_lib.forms.form import Proposal, users_of
from studio_lib.people import wheelchair_knees, wheelchair_mm
from studio_lib.people.proposals import (
    OVER_ELBOW_MM,
    WRITING_SOURCE,
    Proposed,
    knee_room_under_apron,
    wheelchair_source,
    writing_height,
    writing_seat_mm,
)
from studio_lib.people.users import Users
from studio_lib.units import mm

ONE_MM, EACH_MM = 1200.0, 900.0
"""Length for one who writes, and for each of several side by side; common practice, no source."""
DEEP_MM = (610.0, 760.0)
"""From front to back: an office guide, 24 in. at the least, and past 30 in. beyond reach."""
DEEP_SOURCE = (
    "ANSUR II (2012), computed percentiles; an office guide: 24 in. (610 mm) at the least, nothing past 30 in. (760 mm) is "
    "in reach"
)
USUAL_MOST_MM = 760.0
"""The highest that tables to write at are usually made: furniture handbooks, 29 to 30 in."""
APRON_MM = 70.0
"""Depth of aprons where they would raise the top: a tenon of five thicknesses still goes in; judgement of ours."""
TOP_MM = 24.0
"""Thickness of a top no higher than it must be; judgement of ours."""


def writers(brief: Brief) -> int:
    """How many write at it: one, until the brief says another number of people than every brief begins with."""
    return 1 if brief.people == Brief.model_fields["people"].default else max(brief.people, 1)


def desk_size(brief: Brief) -> dict[str, Proposal]:
    """Length and width of a table to write at, by the names of the forms. [mm]"""
    n = writers(brief)
    length = max(ONE_MM, EACH_MM * n)
    why = "one writes at it" if n == 1 else f"{n} write at it side by side, {EACH_MM:.0f} mm each"
    users = users_of(brief)
    reach = users.tall_mm("forward thumbtip reach") if users.alone else users.percentile_mm("forward thumbtip reach", 5)
    whose = f"{users.tallest}, reaches" if users.alone else "19 of 20 reach"
    deep = min(max(math.floor(reach / 10) * 10.0, DEEP_MM[0]), DEEP_MM[1])
    return {
        "length_mm": Proposal(min(length, 4000.0), why, "common practice, no source"),
        "width_mm": Proposal(deep, f"{whose} its back from the seat: an arm of {reach:.0f} mm", DEEP_SOURCE),
    }


def desk_suits(suits: dict[str, Proposed], height_mm: float, under_mm: float, users: Users) -> dict[str, Proposed]:
    """Whose body decides the sizes of a table to write at. [mm]"""
    out = {n: p for n, p in suits.items() if n not in ("length_mm", "height_mm", "apron_width_mm")}
    out["height_mm"] = writing_height(users, at=height_mm)
    if "apron_width_mm" in suits:
        out["apron_width_mm"] = knee_room_under_apron(users, at=under_mm)
    return out


def desk_fit(table: Table, thick_mm: float, drawers: bool, clear_mm: float, brief: Brief) -> list[Finding]:
    """Knees under it, room between the legs, and how high it is to write at.

    ``thick_mm``: of its top; ``clear_mm``: what is proposed clear under its frame. [mm]
    """
    users = users_of(brief)
    if not users.adults:
        return []  # children have size marks
    found = []
    knee, whose = users.upper("top of knee height")
    room = knee_room_under_apron(users, at=min(max(table.under_mm, 300.0), 1000.0))
    frame = "the rail under the drawers" if drawers else "the apron"
    found.append(from_ratio(
        "knees", f"room under {frame}", knee + users.shoe_mm, table.under_mm, "mm",
        rule=f"knees in shoes go under it: {whose}", source=room.source, stage="sizes", look_again_from=1.0,
        mend=f"{'Thinner rails and a lower drawer' if drawers else 'Shallower aprons'}, a thinner top, or a higher table.",
        says=f"{table.under_mm:.0f} mm clear, {knee + users.shoe_mm:.0f} mm wanted: {whose}",
    ))
    n = writers(brief)
    each = table.between_mm / n
    wants, on = USUAL_PLACE_MM, "dining planning rules, 600 to 750 mm a place"
    if brief.wheelchair:
        wants, on = wheelchair_mm("knee width"), wheelchair_source("knee width")
    each_of = f" for each of {n}" if n > 1 else ""
    found.append(from_ratio(
        "places", "width between the legs to write at", wants, max(each, 1.0), "mm",
        rule=f"{wants:.0f} mm for knees and a chair", source=on, stage="sizes", look_again_from=1.0,
        mend="Lengthen the table, or move the legs nearer its ends.",
        says=f"{each:.0f} mm between the legs{each_of}, {wants:.0f} mm wanted",
    ))
    best, seat = writing_height(users).proposed, writing_seat_mm(users)
    elbow = best - OVER_ELBOW_MM
    most = max(best + OVER_ELBOW_MM, USUAL_MOST_MM)
    over = table.top_mm - best
    high, low = table.top_mm > most + 0.5, table.top_mm < elbow - OVER_ELBOW_MM - 0.5
    side = "over" if table.top_mm >= elbow else "under"
    says = f"{table.top_mm:.0f} mm high, {abs(table.top_mm - elbow):.0f} mm {side} the elbow on a usual chair of {seat:.0f} mm"
    mend = ""
    if high:
        says += f": {over:.0f} mm too high to write at from it"
        wanted = wheelchair_knees(brief.wheelchair_knees_mm)[0] if brief.wheelchair else clear_mm
        without = math.ceil((wanted + APRON_MM + thick_mm) / 5) * 5.0
        chair = f"chair of {mm(seat + over)} mm there, with a rest for the feet {mm(over)} mm high"
        mend = f"A {chair}."
        if drawers and without < table.top_mm - 5:
            mend = f"Without drawers, its aprons {mm(APRON_MM)} mm deep, it would be {mm(without)} mm high; or a {chair}."
    elif low:
        says += f": {-over:.0f} mm too low to write at from it"
        mend = f"Make it {mm(best)} mm high, or a lower chair."
    found.append(Finding(
        "writing", "height to write at", Verdict.LOOK_AGAIN if high or low else Verdict.STANDS, says,
        *((best, table.top_mm) if low else (table.top_mm, most)), "mm",
        f"about {OVER_ELBOW_MM:.0f} mm over the elbow; tables are made up to {USUAL_MOST_MM:.0f} mm to write at",
        f"{WRITING_SOURCE}; furniture handbooks, 735 to 760 mm", mend, "sizes",
    ))
    return found
