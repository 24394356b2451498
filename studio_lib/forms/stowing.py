"""How many of what goes in a case find room in it: records, plates, files, each by its height, depth and thickness."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.brief.said import tallest_book
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.units import mm

WHAT = "room for what goes in"
SPARE_DEEP_MM = 10.0
"""Behind the deepest thing, so that no door is held open by it; judgement of ours."""


@dataclass(frozen=True)
class Room:
    """One clear opening that things stand in, between walls, boards and what shuts it. [mm]"""

    name: str
    wide_mm: float
    high_mm: float
    deep_mm: float


def stowing_findings(name: str, rooms: list[Room], brief: Brief) -> list[Finding]:
    """How many stand side by side in the openings that are high and deep enough, against as many as the brief says; nothing while it says no size."""
    tall = tallest_book(brief)
    high, deep, thick, wanted = tall[0] if tall else None, brief.deepest_mm, brief.thick_mm, brief.how_many
    if not (high or deep or thick or wanted) or not rooms:
        return []
    takes, too_small = [], []
    for room in rooms:
        why = [f"{short} mm {words}, {mm(need)} wanted" for need, has, words in ((high, room.high_mm, "high"), (deep, room.deep_mm, "deep"))
               if need and has < need - 0.5 and (short := mm(math.floor(has)))]
        if why:
            too_small.append(f"{room.name} {' and '.join(why)}")
        else:
            takes.append(room)
    size = ", ".join(f"{mm(v)} mm {w}" for v, w in ((high, "high"), (deep, "deep"), (thick, "thick")) if v)
    beyond = f"; not in {'; '.join(too_small)}" if too_small else ""
    rule = "what the brief wants kept stands upright, side by side, in openings as high and as deep as it is"
    if wanted and not thick:
        return [Finding(name, WHAT, Verdict.OPEN, f"{wanted} are to go in and how thick each is has not been said", rule=rule, source="brief",
                        mend="Say on the Brief page how thick each is, under 'Where it stands'.", stage="sizes")]
    if not thick:
        verdict = Verdict.STANDS if takes else Verdict.FAILS
        return [Finding(
            name, WHAT, verdict, (f"what is {size} stands in {', '.join(r.name for r in takes)}" if takes else f"what is {size} stands nowhere in it") + beyond,
            rule=rule, source="brief; geometry", mend="" if takes else "Fewer shelves or lower drawers, a deeper or a taller piece.", stage="sizes",
        )]
    each = [(r, math.floor(r.wide_mm / thick + 1e-9)) for r in takes]
    whole = sum(n for _, n in each)
    where = ", ".join(f"{r.name} {n}" for r, n in each)
    lacks = (wanted or 0) - whole
    asked = f" of the {wanted} wanted" if wanted else ""
    says = f"{whole}{asked}, {size}, standing close{f': {where}' if len(each) > 1 else ''}{beyond}"
    if wanted and lacks > 0:
        says += f". {lacks} more take {mm(math.ceil(lacks * thick))} mm of clear width"
    return [Finding(
        name, WHAT, Verdict.FAILS if lacks > 0 else Verdict.STANDS, says, float(wanted) if wanted and whole else None, float(whole) if wanted and whole else None, "",
        rule, "brief; clear width over thickness",
        "Wider or more openings for them, another row on a shelf where it is high enough, or agree on fewer." if lacks > 0 else "", "sizes",
    )]


def depth_for(brief: Brief, back_mm: float, before_mm: float) -> tuple[float, str] | None:
    """Depth over the top for the deepest thing that goes in, in fives, and why: (mm, words); None while the brief does not say.

    ``before_mm``: what stands before it, the top beyond the front and doors.
    """
    if not brief.deepest_mm:
        return None
    whole = math.ceil((brief.deepest_mm + SPARE_DEEP_MM + back_mm + before_mm) / 5) * 5.0
    return whole, f"things {mm(brief.deepest_mm)} mm deep, {mm(SPARE_DEEP_MM)} mm to spare, and what stands behind and before them"


SPRINGING = "springing floor"
"""``Brief.ground``."""


def springing_findings(name: str, brief: Brief, held: bool) -> list[Finding]:
    """What can be said of a floor that springs, where something that must not shake stands on the piece."""
    if brief.ground != SPRINGING:
        return []
    wall = "keep it fixed" if held else "fix it"
    return [Finding(
        name, "a floor that springs", Verdict.LOOK_AGAIN,
        "how much the floor springs under a step cannot be reckoned here: its joists, their span and how they are held are not known; nor can it be "
        "promised that a player's needle keeps its groove",
        rule="what must not shake stands where the floor moves least", source="a judgement of ours",
        mend=f"Put the heavy things low, stand its feet close to a wall or over the joists, not in mid-span, and {wall} to a wall of masonry. Try the place "
        "before it is made: set the player down there and walk past. Surest is a shelf of its own on the wall for the player.", stage="sizes",
    )]
