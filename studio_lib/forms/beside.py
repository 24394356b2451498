"""A seat that stands at a table of the same commission: as high and as long as the table lets it be."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.people.proposals import (
    LAP_TO_TOP_MM,
    Proposed,
    bench_width_per_person,
    place_width,
    table_height_for_seat,
    thigh_room_over_seat,
)
from studio_lib.people.users import Users, people_words
from studio_lib.piece import Piece
from studio_lib.units import mm

FEW_MM = (1000.0, 850.0)
"""Length and width of a table for one or two; judgement of ours, a place at a long side and room for dishes."""
FEW_PEOPLE = 2
"""So many sit at the long sides of a table, nobody at its ends."""
LAP_GIVES_MM = 25.0
"""A seat this much higher or lower than handbooks make it still goes with the table; judgement of ours."""
FREE_MM = 25.0
"""Left free at either end of a bench between the legs of a table; judgement of ours."""
PLACE_MM = 530.0
"""What one sitter takes at the side of a table at the least: dining planning rules after Time-Saver Standards, 21 in."""
USUAL_PLACE_MM = 600.0
"""What a diner usually has between the legs: dining planning rules, 600 to 750 mm."""
SEATS = ("bench", "stool", "slatted stool")
DINING_FROM_MM = 600.0
"""Under this height nobody draws a chair up to a table; judgement of ours."""
OWN_PLACE = ("by itself", "at a wall")
"""Answers by which a seat does not stand at the table of its commission."""
LAP_SOURCE = "furniture handbooks: seat 430 to 440, table 735 mm"
SEAT_TO_TOP_MM = (255.0, 305.0)
"""From a seat to the underside of a table top: 10 to 12 in."""
SEAT_TO_TOP_SOURCE = "seating guide, 10 to 12 in. (255 to 305 mm) from seat to the underside of the top"
BENCH_END_MM = 100.0
"""A table sat at along its sides only stands out past its legs so far at the ends: nobody's knees are there; judgement of ours."""
TOUCHES_MM = 2.0


class Here(Brief):
    """The brief as one piece of a commission sees it, with what the other pieces settle."""

    benches: Literal["", "under", "before"] = ""
    """How the benches of the job stand at this table, where several of them are its only seats: under it or before it."""
    shared_out: bool = False
    """The people are those on this one bench."""
    ordered: int = 1
    """How many like it are ordered."""
    table: Literal["", "eaten at", "low", "written at"] = ""
    """Of a table: what the maker said of it (``Item.table``)."""
    elsewhere: bool = False
    """It stands elsewhere than the brief says (``brief_at``)."""


def brief_here(brief: Brief, **settled) -> Here:
    """A brief with what the other pieces settle for one."""
    return Here.model_construct(**{name: getattr(brief, name) for name in type(brief).model_fields} | settled)


OF_ITS_PLACE = (
    "wetted", "wind", "wind_m_s", "by_the_sea", "sun_side", "ground", "under_feet", "heating_below", "beside_a_drop", "drop_mm", "people_below",
    "nothing_drilled", "railing_mm", "railing_low_mm", "railing_climbed", "space_length_mm",
    "space_width_mm", "skirting_high_mm", "skirting_deep_mm", "out_of_plumb_mm", "floor_falls_mm", "fall_met",
)
"""What the brief says of the place that it names, and of no other."""


def brief_at(brief: Brief, place: str) -> Brief:
    """The brief as a piece sees it that stands in another place: there nothing is known of wind, ground, drop or room. The brief itself
    where the place is its own, or ''."""
    if place in ("", brief.place):
        return brief
    return brief_here(brief, **{n: Brief.model_fields[n].default for n in OF_ITS_PLACE}, place=place, elsewhere=True)


def is_round(made) -> bool:
    """Whether a piece (``derive.Made``) is a table with a round top."""
    return is_table(made.item.form) and made.sizes.get("outline") == 1 and abs(made.sizes["length_mm"] - made.sizes["width_mm"]) < 1.0


def is_table(form: str) -> bool:
    """Whether pieces of that form are tables."""
    return "table" in form


def is_low(brief: Brief, height_mm: float) -> bool:
    """Whether a table of that height is low, so that nobody sits at it: as the maker says, else by its height.

    A table for children alone is sat at however low it is. [mm]
    """
    said = brief.table if isinstance(brief, Here) else ""
    return said == "low" or (not said and height_mm < DINING_FROM_MM and not brief.sized_to_children)


def written_at(brief: Brief) -> bool:
    """Whether the maker says that someone writes or works at the table."""
    return isinstance(brief, Here) and brief.table == "written at"


def a_side(brief: Brief) -> int:
    """How many sit along each side of a table: with one at each end, or none where all sit on benches."""
    ends = 0 if isinstance(brief, Here) and brief.benches else 2
    return math.ceil(max(brief.people - ends, 0) / 2)


def seating_words(brief: Brief) -> str:
    """'8 people, 3 a side and one at each end', '8 people, 4 a side on benches, 600 mm each between the legs', '1 person, at a long side'."""
    benched = isinstance(brief, Here) and bool(brief.benches)
    if brief.people <= FEW_PEOPLE and not benched:
        return f"{people_words(brief.people)}, {'at a long side' if brief.people == 1 else 'facing across it'}"
    where = f" on benches, {USUAL_PLACE_MM:.0f} mm each between the legs" if benched else " and one at each end, 635 mm each"
    return f"{people_words(brief.people)}, {a_side(brief)} a side{where}"


def few_sit(brief: Brief) -> bool:
    """Whether one or two sit at a table, at its long sides; not where all sit on benches."""
    return brief.people <= FEW_PEOPLE and not (isinstance(brief, Here) and brief.benches)


FEW_WORDS = ("within reach across it, with room for dishes; tables in use are 750 to 1200 mm wide", "dining planning rules; a judgement of ours")
"""Why a table for one or two is as wide, and on whose word."""


def bench_room_mm(brief: Brief, users: Users) -> float:
    """What must be free between the legs of a table whose only seats are benches; 0 where they are not. [mm]

    600 mm for each diner; the length of a bench for as many, where it goes under the table.
    """
    if not (isinstance(brief, Here) and brief.benches):
        return 0.0
    if brief.benches == "before":
        return a_side(brief) * USUAL_PLACE_MM
    clothes = "outdoors" if brief.place.startswith("outdoors") else "indoors"
    each = bench_width_per_person(a_side(brief), "close", users, clothes).value
    return max(a_side(brief) * USUAL_PLACE_MM, math.ceil(a_side(brief) * each / 5) * 5 + 2 * FREE_MM)


@dataclass(frozen=True)
class Table:
    """A table as one sits at it: its top, what is free under it, and between its legs along its length. [mm]"""

    name: str
    top_mm: float
    under_mm: float
    between_mm: float
    top_under_mm: float = 0.0
    """Floor to the underside of the top."""

    @property
    def bench_mm(self) -> float:
        """The longest bench that goes between its legs."""
        return max(math.floor((self.between_mm - 2 * FREE_MM) / 5) * 5.0, 0.0)

    def side_by_side(self, people: int) -> int:
        """How many of ``people`` sit on a bench between its legs."""
        return min(max(int(self.bench_mm // PLACE_MM), 1), people)


UNDER_ARMS_MM = 10.0
"""To spare between the arms of a seat and the apron over them; common practice, no source."""


def table_of(piece: Piece) -> Table | None:
    """What a seat must know of a table; None for a piece without members."""
    if not piece.members:
        return None
    boxes = [m.piece_box for m in piece.members]
    floor, top = min(b.lo[2] for b in boxes), max(b.hi[2] for b in boxes)
    aprons = [m.piece_box.lo[2] for m in piece.members if m.role in ("apron", "bearer")]
    feet = sorted((b.lo[0], b.hi[0]) for b in boxes if b.lo[2] < floor + TOUCHES_MM)
    reach, widest = feet[0][1], 0.0
    for low, high in feet[1:]:
        widest, reach = max(widest, low - reach), max(reach, high)
    underside = min(b.lo[2] for b in boxes if b.hi[2] > top - TOUCHES_MM)
    return Table(piece.name, top - floor, min(aprons, default=top) - floor, widest, underside - floor)


def slides_in(form: str, asked: str, chosen: dict[str, float]) -> bool:
    """Whether a seat is a bench without a back, which goes in under a table between its legs; with one it stands before it."""
    words = asked.lower()
    wanted = 1.0 if "back" in words and not any(no in words for no in ("without a back", "without back", "no back", "backless")) else 0.0
    return form == "bench" and chosen.get("back", wanted) == 0


def at_table(form: str, table: Table, users: Users, seat_mm: float, under: bool) -> dict[str, tuple[float, str, str]]:
    """Sizes that a seat takes from its table: (value, why, source) by name; {} for what is no seat. [mm]

    ``seat_mm``: as bodies have it; kept where it goes with the table. ``under``: ``slides_in``.
    """
    if form not in SEATS:
        return {}
    lap, thighs = table.top_mm - seat_mm, thigh_room_over_seat(users).value
    out = {}
    if abs(lap - LAP_TO_TOP_MM) > LAP_GIVES_MM:
        height, most = table.top_mm - LAP_TO_TOP_MM, table.under_mm - thighs
        why = f"{mm(LAP_TO_TOP_MM)} mm under the top of {table.name}, and of the same timber"
        if height > most:
            height, why = most, f"thighs of {mm(thighs)} mm pass under {table.name}, and of the same timber"
        out["height_mm"] = (float(math.floor(height)), why, LAP_SOURCE)
    if under and table.bench_mm:
        out["back"] = (0.0, f"slides in under {table.name}; with a back it stands before it", "a judgement of ours")
        out["length_mm"] = (
            table.bench_mm,
            f"goes between the legs of {table.name}, {mm(table.between_mm)} mm apart, with {FREE_MM:g} mm free at either end",
            "a judgement of ours",
        )
    return out


def arms_at(table: Table, piece: Piece) -> list[Finding]:
    """Whether the arms of a seat go under the apron of the table it stands at; () for a seat without arms."""
    tops = [m.piece_box.hi[2] for m in piece.members if m.role == "arm"]
    if not tops:
        return []
    up, room = max(tops), table.under_mm - UNDER_ARMS_MM
    return [Finding(
        piece.name, "arms under the apron", Verdict.STANDS if up <= room else Verdict.LOOK_AGAIN,
        f"its arms are {mm(up)} mm up and the apron of {table.name} hangs to {mm(table.under_mm)} mm: "
        + ("they go under it" if up <= room else "they stop at it, and whoever sits there sits further out"),
        up, room, "mm", f"{UNDER_ARMS_MM:.0f} mm to spare under the apron", "geometry; common practice, no source",
        "" if up <= room else f"Arms {mm(math.ceil(up - room))} mm lower, a shallower apron, or no arms at that place.", "sizes",
    )]


def sat_at(table: Table, seat: str, seat_mm: float, users: Users) -> list[Finding]:
    """Whether a seat and a table of one commission go together: room for thighs under the apron, and how far the top is up.

    ``seat``: the name of the piece, ``seat_mm``: its seat over the floor. Nothing for children alone: they have size marks.
    """
    if not users.adults or not 80 <= table.under_mm - seat_mm <= 500:
        return []
    low, high = SEAT_TO_TOP_MM
    room, up = table.under_mm - seat_mm, table.top_under_mm - seat_mm
    thighs = thigh_room_over_seat(users, at=room)
    wanted = math.ceil(users.percentile_mm("thigh thickness", users.upper_percent) - 0.5)
    if round(100 * thighs.suits_share) >= users.upper_percent:
        wanted = min(wanted, room)  # told in whole people of a hundred, and held to that
    deeper = wanted - room
    fits = Finding(
        seat, "thighs under the apron",
        Verdict.STANDS if deeper <= 0.5 else Verdict.LOOK_AGAIN if thighs.suits_share >= 0.5 else Verdict.FAILS,
        f"{mm(room)} mm between the seat and the apron of {table.name}: of the {users.decide}, "
        f"{100 * thighs.suits_share:.0f} of 100 get their thighs under it",
        wanted, room, "mm", f"{mm(wanted)} mm, so that {users.upper_percent:.0f} of 100 do", thighs.source,
        f"Take {mm(deeper)} mm off: the apron shallower, the seat lower, or the table so much higher." if deeper > 0.5 else "", "sizes",
    )
    stands = low - 0.5 <= up <= high + 0.5
    mend = ""
    if up > high + 0.5:
        better = math.ceil(table.top_under_mm - high)
        more = better + wanted - table.under_mm
        apron = f", and an apron {mm(math.ceil(more))} mm shallower so that thighs pass" if more > 0.5 else ""
        mend = f"A seat of {better} mm{apron}; or a table {mm(math.ceil(up - high))} mm lower."
    elif not stands:
        mend = f"A seat of {math.floor(table.top_under_mm - low)} mm, or a table {mm(math.ceil(low - up))} mm higher."
    return [fits, Finding(
        seat, "seat to table top", Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
        f"the top of {table.name} is {mm(table.top_mm - seat_mm)} mm above the seat, its underside {mm(up)} mm",
        *((up, high) if up > high else (low, up)), "mm", f"{low:.0f} to {high:.0f} mm from the seat to the underside of the top",
        SEAT_TO_TOP_SOURCE, mend, "sizes",
    )]


def suits_with_seats(
    suits: dict[str, Proposed], table: Table, brief: Brief, users: Users, seat_mm: float | None,
) -> dict[str, Proposed]:
    """What a table suits, with the seats of the same commission: its height on that seat, its places along the sides they stand at."""
    out = dict(suits)
    if seat_mm is not None and "height_mm" in out and 150 <= seat_mm <= 900 and 10 <= table.top_mm - table.under_mm <= 400:
        out["height_mm"] = table_height_for_seat(seat_mm, table.top_mm - table.under_mm, users, at=table.top_mm)
    if isinstance(brief, Here) and brief.benches and "length_mm" in out:
        out["length_mm"] = place_width(users, at=min(max(table.between_mm / max(a_side(brief), 1), 300), 1500))
    return out
