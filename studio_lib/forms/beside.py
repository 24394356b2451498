"""A seat that stands at a table of the same commission: as high and as long as the table lets it be."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.people.proposals import LAP_TO_TOP_MM, thigh_room_over_seat
from studio_lib.people.users import Users
from studio_lib.piece import Piece
from studio_lib.units import mm

LAP_GIVES_MM = 25.0
"""A seat this much higher or lower than handbooks make it still goes with the table; judgement of ours."""
FREE_MM = 25.0
"""Left free at either end of a bench between the legs of a table; judgement of ours."""
PLACE_MM = 530.0
"""What one sitter takes at the side of a table at the least: dining planning rules after Time-Saver Standards, 21 in."""
SEATS = ("bench", "stool", "slatted stool")
LAP_SOURCE = "furniture handbooks: seat 430 to 440, table 735 mm"
TOUCHES_MM = 2.0


@dataclass(frozen=True)
class Table:
    """A table as one sits at it: its top, what is free under it, and between its legs along its length. [mm]"""

    name: str
    top_mm: float
    under_mm: float
    between_mm: float

    @property
    def bench_mm(self) -> float:
        """The longest bench that goes between its legs."""
        return max(math.floor((self.between_mm - 2 * FREE_MM) / 5) * 5.0, 0.0)

    def side_by_side(self, people: int) -> int:
        """How many of ``people`` sit on a bench between its legs."""
        return min(max(int(self.bench_mm // PLACE_MM), 1), people)


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
    return Table(piece.name, top - floor, min(aprons, default=top) - floor, widest)


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
        out["height_mm"] = (math.floor(height / 5) * 5.0, why, LAP_SOURCE)
    if under and table.bench_mm:
        out["back"] = (0.0, f"slides in under {table.name}; with a back it stands before it", "a judgement of ours")
        out["length_mm"] = (
            table.bench_mm,
            f"goes between the legs of {table.name}, {mm(table.between_mm)} mm apart, with {FREE_MM:g} mm free at either end",
            "a judgement of ours",
        )
    return out
