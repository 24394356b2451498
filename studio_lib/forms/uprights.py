"""Uprights between the ends of shelves that would be too long: the bays they make, when they are proposed, and their joints.

An upright is as thick as the sides. Boards are housed into it from both faces, and each bay has back boards of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from studio_lib.brief.said import uprights_asked
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.casework import JUDGEMENT, Joints, boards_across
from studio_lib.forms.form import Proposal, Size, SizeRefused, choice
from studio_lib.units import mm

SHORT_MM = 700.0
"""A shelf no longer than this is not parted to keep it from sagging; judgement of ours."""
LONG_MM, LONGEST_MM = 1000.0, 1200.0
"""Up to the first a thicker shelf or a lipping does, and no upright is proposed; no shelf is proposed longer than the second. Judgement of ours."""
IN_TWO_MM = 900.0
"""No bay of a case in two is wider, once it is parted: what stands over it bends the top that it stands on. By the frame of the whole piece."""
LEAST_BAY_MM = 150.0
INTO_UPRIGHT, LEFT_MM = "shelf into upright", 5.0
"""The joint of boards with an upright, and what stays of it between the trenches of its two faces; judgement of ours."""
BACK_BOARD_MM, BAY_BACK_BOARD_MM = 130.0, 140.0
"""The widest back boards, and those where each bay has its own; judgement of ours."""
BAYS = (("",), ("left", "right"), ("left", "middle", "right"))
SIZE: Size = choice("uprights", "Uprights between the ends", ("none", "one", "two"), "case")


class Parted:
    """A case that uprights part into bays, by its sizes. [mm]"""

    uprights: int
    width_mm: float
    inner_mm: float
    side_mm: float
    back: int
    back_gap_mm: float

    @property
    def bay_mm(self) -> float:
        """Clear width between sides and uprights."""
        return bay_mm(self.inner_mm, self.side_mm, self.uprights)

    def bay_low_mm(self, bay: int) -> float:
        """Left wall of a bay, 0 the leftmost, in x."""
        return -self.inner_mm / 2 + bay * (self.bay_mm + self.side_mm)

    @property
    def bays(self) -> range:
        return range(self.uprights + 1)


def bay_mm(inner: float, side: float, uprights: int) -> float:
    """Clear width of each bay. [mm]"""
    return (inner - uprights * side) / (uprights + 1)


def proposal(inner: float, side: float, sags: list[bool], longest: float = LONGEST_MM) -> Proposal:
    """How many uprights: none while shelves are short or do not sag, else the fewest with which they do not, two at the most. [mm]

    ``sags``: whether shelves sag with none, one and two; ``longest``: no bay is wider where two uprights do.
    """
    if inner <= LONG_MM or inner <= LONGEST_MM and not sags[0]:
        return Proposal(0, "shelves no longer than this need none", JUDGEMENT)
    fewest = next((n for n in (1, 2) if bay_mm(inner, side, n) <= longest and not sags[n]), 2)
    why = "would sag under what stands on them" if sags[0] else f"would be longer than {LONGEST_MM:.0f} mm"
    return Proposal(
        fewest, f"shelves {mm(math.floor(inner))} mm long {why}: bays of {mm(math.floor(bay_mm(inner, side, fewest)))} mm", "beam mechanics; creep EN 1995-1-1 table 3.2")


def as_said(brief: Brief, inner: float, side: float, usual: Proposal) -> Proposal:
    """As many as the client says where there is room for their bays, else as is usual. [mm]"""
    said = uprights_asked(brief)
    if said is None or bay_mm(inner, side, said) < LEAST_BAY_MM:
        return usual
    return Proposal(said, f"as the client says: bays of {mm(math.floor(bay_mm(inner, side, said)))} mm", "brief")


def refuse(s: Parted) -> None:
    """Raises SizeRefused where the uprights leave no bays."""
    if s.uprights and s.bay_mm < LEAST_BAY_MM:
        fewer = next((n for n in range(s.uprights - 1, -1, -1) if bay_mm(s.inner_mm, s.side_mm, n) >= LEAST_BAY_MM), 0)
        leave = f"{s.uprights} upright{'s' * (s.uprights > 1)} of {s.side_mm:g} mm leave{'s' * (s.uprights == 1)}"
        raise SizeRefused("uprights", f"{leave} bays of {max(s.bay_mm, 0):.0f} mm and need {LEAST_BAY_MM:g} mm; "
                          f"{'give 1' if fewer else 'choose none'}, or a case {s.width_mm + (s.uprights + 1) * (LEAST_BAY_MM - s.bay_mm):.0f} mm wide or more.")


def named_ways_out(sags: list[Finding], s: Parted) -> list[Finding]:
    """What is found of shelves that sag, an upright named among what would mend it where there is room for one."""
    if s.uprights > 1 or s.bay_mm <= SHORT_MM:
        return sags
    more = "one more upright" if s.uprights else "an upright"
    return [replace(f, mend=f.mend.replace("or a lipping", f"{more} between the ends, or a lipping")) if f.verdict is Verdict.FAILS else f for f in sags]


# ---------------------------------------------------------------- names and codes


def called(s: Parted, number: int) -> str:
    """What an upright is called, from 1."""
    return "upright" if s.uprights == 1 else f"{('left', 'right')[number - 1]} upright"


def in_bay(s: Parted, bay: int) -> str:
    """' in the left bay', where there are several."""
    return f" in the {BAYS[s.uprights][bay]} bay" if s.uprights else ""


def board_name(s: Parted, k: int, bay: int) -> str:
    """'bottom', 'shelf 2'; where there are several bays 'left bottom', 'middle shelf 2'."""
    return f"{BAYS[s.uprights][bay]} {'bottom' if k == 0 else f'shelf {k}'}".lstrip()


def board(k: int, bay: int = 0) -> str:
    """The code of board ``k``, 0 the lowest, in a bay, 0 the leftmost."""
    return f"{'HMN'[bay]}{k}" if k else f"U{bay + 1}"


def lipping(k: int, bay: int) -> str:
    """The code of the lipping on board ``k`` in a bay."""
    return f"{'PQR'[bay]}{k + 1}"


def back_boards(s: Parted) -> list[tuple[int, float, float, int]]:
    """Number, left edge, width and bay of each back board: those of a bay end at the middle of its uprights. [mm]"""
    if not s.back:
        return []
    out, number, past = [], 0, (s.side_mm - s.back_gap_mm) / 2
    for bay in s.bays:
        low = s.bay_low_mm(bay) - (past if bay else 0.0)
        high = s.bay_low_mm(bay) + s.bay_mm + (past if bay < s.uprights else 0.0)
        n, each = boards_across(high - low, s.back_gap_mm, BAY_BACK_BOARD_MM if s.uprights else BACK_BOARD_MM)
        for k in range(n):
            number += 1
            out.append((number, low + k * (each + s.back_gap_mm), each, bay))
    return out


# ---------------------------------------------------------------- joints


def lay_boards(made: Joints, s: Parted, boards: Iterable[int], stop: dict[str, float], lipped: bool = False) -> None:
    """Boards in their walls with the lippings on them, back boards on them: bay by bay, from the lowest."""
    deep, most = made.own.get(INTO_UPRIGHT, {}).get("depth_mm", 0.0), math.floor(s.side_mm - LEFT_MM) / 2
    if s.uprights and deep > most:
        raise ValueError(f"{INTO_UPRIGHT}: trenches {deep:g} mm deep from both faces of {s.side_mm:g} mm leave less than {LEFT_MM:g} mm between them; give {most:g} mm or less.")
    for bay in s.bays:
        walls = (f"C{bay}" if bay else "L1", f"C{bay + 1}" if bay < s.uprights else "L2")
        for k in boards:
            for wall in walls:
                made.join("housing", board(k, bay), wall, INTO_UPRIGHT if wall[0] == "C" else "shelf into side", "shelf_mm", stop)
            if lipped:
                made.join("glued on", lipping(k, bay), board(k, bay), "lipping on shelf", "lipping_mm")
            for number, *_, at in back_boards(s):
                if at == bay:
                    made.join("screws", f"B{number}", board(k, bay), "back board on shelf", "back_mm", {"count": 1.0})
