"""The cupboard under shelves: doors of upright boards on ledges, hung in the opening of the lower case.

Each board is held by two screws in every ledge, so that it moves by itself and the door stays square; the doors stand
flush with the front of the sides and close on a strip on the bottom.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from studio_lib.brief import refusals
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.bays import STOP_MM, closing_mm, door_width
from studio_lib.forms.casework import Joints, Members, boards_across
from studio_lib.forms.drawers import PULL_MM
from studio_lib.forms.form import SizeRefused

DOOR_BOARD_MM = 120.0
"""The widest board of a door; judgement of ours."""
LEDGE_MM = 70.0
LEDGE_IN_MM = 12.0
"""Ledges end this far inside the edges of a door; judgement of ours."""
LEDGE_UP_SHARE, LEDGE_UP_LEAST_MM = 0.12, 40.0
"""Outer ledges stand this part of the door's height from its ends, so much at the least; judgement of ours."""
THREE_LEDGES_MM = 1100.0
"""From this height on a door has three ledges; judgement of ours."""
LEAST_DOOR_MM = (140.0, 260.0)
"""Width and height of the least door made; judgement of ours."""
BEHIND_LEDGES_MM = 2.0
CATCH_N = 20.0
"""A push on a door held by a magnet; from memory."""
BEFORE_MM = PULL_MM[2]
"""How far the pulls stand out before the doors."""
LEAST_SHELF_MM = 80.0


class Under(Protocol):
    """What a cupboard must know of the sizes of its case. [mm]"""

    doors: int
    door_mm: float
    door_gap_mm: float
    back_gap_mm: float
    back_mm: float
    back: int
    inner_mm: float
    depth_mm: float
    height_mm: float
    plinth_mm: float
    shelf_mm: float
    side_mm: float
    shelf_count: int
    clear_mm: float


@dataclass(frozen=True)
class Door:
    """One door: first letter of its boards and of its ledges, its name, left edge and width, the side it hangs on. [mm]"""

    letter: str
    ledge: str
    name: str
    left_mm: float
    wide_mm: float
    side: str

    @property
    def hung_left(self) -> bool:
        return self.side == "L1"


def doors_of(s: Under) -> list[Door]:
    """The doors before a cupboard, left to right."""
    g, w, left = s.door_gap_mm, s.inner_mm, -s.inner_mm / 2
    if s.doors == 1:
        return [Door("D", "F", "door", left + g, w - g - closing_mm(w - 2 * g, g, s.door_mm), "L1")]
    meet = closing_mm((w - 3 * g) / 2, g, s.door_mm)
    wide = (w - 2 * g - meet) / 2
    return [Door("D", "F", "left door", left + g, wide, "L1"), Door("E", "G", "right door", -left - g - wide, wide, "L2")][: s.doors]


def edges_mm(s: Under) -> tuple[float, float]:
    """Low and high edge of the doors."""
    return s.plinth_mm + s.shelf_mm + s.door_gap_mm, s.height_mm - s.shelf_mm - s.door_gap_mm


def ledges_mm(s: Under) -> list[float]:
    """Low edge of each ledge, from the lowest."""
    low, high = edges_mm(s)
    off = max(LEDGE_UP_SHARE * (high - low), LEDGE_UP_LEAST_MM)
    first, last = low + off, high - off - LEDGE_MM
    return [first, last] if high - low < THREE_LEDGES_MM else [first, (first + last) / 2, last]


def boards_of(s: Under, door: Door) -> tuple[int, float]:
    """How many boards a door has, and the width of each. [mm]"""
    return boards_across(door.wide_mm, s.back_gap_mm, DOOR_BOARD_MM)


def behind_mm(s: Under) -> float:
    """How far back from the front the shelves inside begin: clear of boards and ledges."""
    return 2 * s.door_mm + BEHIND_LEDGES_MM if s.doors else 0.0


def refuse(s: Under) -> None:
    """Raises SizeRefused where the doors cannot be made."""
    wide, tall = LEAST_DOOR_MM
    low, high = edges_mm(s)
    if high - low < tall:
        raise SizeRefused("joint_mm", f"Doors would be {max(high - low, 0):.0f} mm high and need {tall:g} mm; let the cases part "
                          f"{s.height_mm + tall - (high - low):.0f} mm above the floor or higher, or give no doors.")
    least = min(d.wide_mm for d in doors_of(s))
    if least < wide:
        raise SizeRefused("doors", f"{s.doors} door{'s' * (s.doors > 1)} in {s.inner_mm:.0f} mm would be {max(least, 0):.0f} mm wide each and need {wide:g} mm. "
                          "Fewer doors, or a wider case.")
    inside = s.depth_mm - behind_mm(s) - (s.back_mm if s.back else 0.0)
    if inside < LEAST_SHELF_MM:
        raise SizeRefused("depth_mm", f"Behind doors on ledges {s.depth_mm:g} mm of depth keep {max(inside, 0):.0f} mm for a shelf and need {LEAST_SHELF_MM:g} mm; "
                          f"give {s.depth_mm + LEAST_SHELF_MM - inside:.0f} mm or more.")


def lay_members(out: Members, s: Under, front: float) -> None:
    """The doors with their ledges and pulls, and the strip that they close on; ``front`` is the front of the case, in y."""
    low, high = edges_mm(s)
    heights = ledges_mm(s)
    for door in doors_of(s):
        n, each = boards_of(s, door)
        hand = "" if s.doors == 1 else "left" if door.hung_left else "right"
        for k in range(n):
            out.add(f"{door.letter}{k + 1}", f"{door.name}, board {k + 1}", "door board", (door.left_mm + k * (each + s.back_gap_mm), front, low), "z", "x",
                    high - low, each, s.door_mm, hand=hand)
        for k, z in enumerate(heights):
            which = ("lower", "upper")[k] if len(heights) == 2 else ("lower", "middle", "upper")[k]
            out.add(f"{door.ledge}{k + 1}", f"{door.name}, {which} ledge", "ledge", (door.left_mm + LEDGE_IN_MM, front + s.door_mm, z), "x", "z",
                    door.wide_mm - 2 * LEDGE_IN_MM, LEDGE_MM, s.door_mm, "plain", hand=hand)
        pull, tall, thick = PULL_MM
        middle = door.left_mm + (door.wide_mm - each / 2 if door.hung_left else each / 2)
        # Between the two upper ledges, so that its screws can be driven from behind.
        at = (heights[-2] + heights[-1] + LEDGE_MM - pull) / 2
        out.add(f"{door.letter}20", f"{door.name}, pull", "pull", (middle - tall / 2, front - thick, at), "z", "x", pull, tall, thick,
                arris=min(2.0, 2 * out.arris_mm))
    wide, thick = STOP_MM
    out.add("V1", "door stop", "door stop", (-s.inner_mm / 2 + 1.0, front + s.door_mm, s.plinth_mm + s.shelf_mm), "x", "y", s.inner_mm - 2.0, wide, thick, "plain")


def lay_joints(made: Joints, s: Under) -> None:
    """What holds the doors together, and hangs them."""
    made.join("glued on", "V1", "U1", "door stop on bottom", "shelf_mm")
    for door in doors_of(s):
        n, _ = boards_of(s, door)
        for k in range(len(ledges_mm(s))):
            for b in range(n):
                made.join("screws", f"{door.ledge}{k + 1}", f"{door.letter}{b + 1}", "ledge on door boards", "door_mm", {"count": 2.0})
        first, last = f"{door.letter}1", f"{door.letter}{n}"
        made.join("hinges", first if door.hung_left else last, door.side, "door on side", "joint_mm")
        made.join("screws", last if door.hung_left else first, f"{door.letter}20", "pull on a door", "door_mm", {"count": 2.0})


def findings(s: Under, name: str) -> list[Finding]:
    """Whether a child can be shut in behind the doors, and whether they are too wide."""
    doors = doors_of(s)
    low, high = edges_mm(s)
    deep = s.depth_mm - behind_mm(s) - (s.back_mm if s.back else 0.0)
    boards = sum(boards_of(s, d)[0] - 1 for d in doors)
    air = (s.inner_mm - sum(d.wide_mm for d in doors) + boards * s.back_gap_mm) * (high - low)
    called = f"{name}, cupboard"
    return [
        refusals.shut_in(called, s.inner_mm * deep * s.clear_mm * 1e-6, min(s.inner_mm, deep, s.clear_mm), air, CATCH_N, None),
        door_width(called, doors[0].wide_mm, high - low, "Two doors" if s.doors == 1 else "Shelves over two cupboards side by side"),
    ]


def swelling(s: Under, name: str, swell: float) -> Finding:
    """Whether the boards of the doors have room to swell between each other and in their opening. ``swell``: growth of a board's width, as a part of it."""
    doors = doors_of(s)
    n, each = boards_of(s, doors[0])
    grows = swell * each
    gap, room = s.back_gap_mm, s.inner_mm - sum(d.wide_mm for d in doors)
    # Held at its middle, a board grows half as much to either side: a door grows by one board's growth.
    tight = (n > 1 and grows > gap) or grows * len(doors) > room - 0.5
    return Finding(
        f"{name}, {'doors' if len(doors) > 1 else 'door'}", "room to swell", Verdict.LOOK_AGAIN if tight else Verdict.STANDS,
        f"each board {grows:.1f} mm wider at the wettest, {gap:g} mm between them and {room:.1f} mm round the doors", grows, gap if n > 1 else room, "mm",
        "every board is held at its middle and swells to both sides", "Wood Handbook FPL-GTR-282 ch. 13",
        "Make the gap between boards wider, or that round the doors." if tight else "", "sizes",
    )


def gaps_mm(s: Under) -> tuple[float, float]:
    """Least and greatest gap round the doors, and between their boards. [mm]"""
    doors = doors_of(s)
    meet = s.inner_mm - sum(d.wide_mm for d in doors) - (1 if s.doors == 1 else 2) * s.door_gap_mm
    return s.door_gap_mm, max(s.door_gap_mm, meet)


def usual_height_mm(whole_mm: float) -> float:
    """Height of a cupboard under shelves: three tenths of the whole, to a tabletop's height or so. [mm]"""
    return min(max(math.floor(0.03 * whole_mm) * 10.0, 500.0), 850.0)
