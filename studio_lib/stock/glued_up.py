"""Boards bought glued up and planed: the sizes to ask a yard for, and to enter as stock."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from studio_lib.stock.boards import Allowances
from studio_lib.stock.cutting_list import Row
from studio_lib.units import mm

WIDTHS_MM = (200.0, 300.0, 400.0, 500.0, 600.0)
"""Widths that glued-up boards are sold in; common practice, no source."""


@dataclass(frozen=True)
class GluedUp:
    """What to ask for in one thickness. [mm]"""

    thickness_mm: float
    width_mm: float
    """The least width sold that holds the widest."""
    length_mm: float
    """Of the least board that holds the longest, its ends trimmed."""
    count: int
    longest_mm: float
    widest_mm: float


def glued_up(rows: Iterable[Row], allowances: Allowances, end_trim_mm: float) -> tuple[GluedUp, ...]:
    """What to ask for of the lines of a cutting list that are bought glued up, a thickness each, the thickest first."""
    by_thickness: dict[float, list[Row]] = {}
    for r in rows:
        if r.ready:
            by_thickness.setdefault(r.thickness_mm, []).append(r)
    out = []
    for thick, of in sorted(by_thickness.items(), reverse=True):
        long, wide = (max(r.sawn_mm(allowances)[k] for r in of) for k in (0, 1))
        sold = next((s for s in WIDTHS_MM if s >= wide), math.ceil(wide / 100) * 100.0)
        out.append(GluedUp(thick, sold, math.ceil((long + 2 * end_trim_mm) / 10) * 10.0, sum(r.count for r in of),
                           max(r.overall_length_mm for r in of), max(r.width_mm for r in of)))
    return tuple(out)


def words(asked: Iterable[GluedUp]) -> str:
    """'30 mm thick, 400 mm wide, from 1130 mm long (8 parts up to 1042 x 340 mm)', thickness by thickness; '' for none."""
    return "; ".join(
        f"{mm(a.thickness_mm)} mm thick, {mm(a.width_mm)} mm wide, from {mm(a.length_mm)} mm long ({a.count} part{'s' * (a.count > 1)} "
        f"up to {mm(a.longest_mm)} x {mm(a.widest_mm)} mm)"
        for a in asked
    )
