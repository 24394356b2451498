"""The cupboard under shelves: doors of a plain frame and one thin panel, hung in the opening of the lower case.

They stand flush with the front of the sides, over the bottom, and close on a strip on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from studio_lib.brief import refusals
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.bays import SWING_SPARE_MM, STOP_MM, closing_mm, door_width
from studio_lib.forms.cabinet_parts import TONGUE_MM, frame_joints, frame_members
from studio_lib.forms.casework import Joints, Members
from studio_lib.forms.drawers import PULL_MM
from studio_lib.forms.form import SizeRefused

STILE_MM, RAIL_MM = 60.0, 65.0
"""Widths of the stiles and of the rails of a door; judgement of ours."""
PANEL_SHARE, PANEL_LEAST_MM = 0.4, 6.0
"""A panel is this part of its frame's thickness, so much at the least; judgement of ours."""
PANEL_GAP_MM, PANEL_GAP_MOST_MM = 3.0, 10.0
"""Room for a panel at the bottom of each groove: 3 mm and over by workshop books, and the most that a rail has room for."""
LEAST_DOOR_MM = (2 * STILE_MM + 50.0, 2 * RAIL_MM + 80.0)
"""Width and height of the least door made; judgement of ours."""
BEHIND_DOORS_MM = 2.0
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
    back_mm: float
    back: int
    inner_mm: float
    depth_mm: float
    height_mm: float
    plinth_mm: float
    shelf_mm: float
    clear_mm: float
    uprights: int
    swell: float
    """Growth of a board's width from making to wettest, as a part of it."""


@dataclass(frozen=True)
class Door:
    """One door: its code, its name, left edge and width, the side it hangs on. [mm]"""

    code: str
    name: str
    left_mm: float
    wide_mm: float
    side: str

    @property
    def hung_left(self) -> bool:
        return self.side == "L1"


@dataclass(frozen=True)
class Framed:
    """What the frames of the doors are made of, as ``cabinet_parts`` takes it. [mm]"""

    frame_mm: float
    panel_mm: float
    panel_gap_mm: float
    front_mm: float = 0.0
    back_y_mm: float = 0.0
    back_mm: float = 0.0
    stile_mm: float = STILE_MM
    rail_mm: float = RAIL_MM

    @property
    def groove_mm(self) -> float:
        return TONGUE_MM + self.panel_gap_mm


def doors_of(s: Under) -> list[Door]:
    """The doors before a cupboard, left to right."""
    g, w, left = s.door_gap_mm, s.inner_mm, -s.inner_mm / 2
    if s.doors == 1:
        return [Door("D", "door", left + g, w - g - closing_mm(w - 2 * g, g, s.door_mm), "L1")]
    meet = closing_mm((w - 3 * g) / 2, g, s.door_mm)
    wide = (w - 2 * g - meet) / 2
    return [Door("D", "left door", left + g, wide, "L1"), Door("E", "right door", -left - g - wide, wide, "L2")][: s.doors]


def edges_mm(s: Under) -> tuple[float, float]:
    """Low and high edge of the doors."""
    return s.plinth_mm + s.shelf_mm + s.door_gap_mm, s.height_mm - s.shelf_mm - s.door_gap_mm


def framed(s: Under) -> Framed:
    """The sections of the doors' frames: each panel has half its swelling free on either side."""
    panel = max(doors_of(s)[0].wide_mm - 2 * STILE_MM + 2 * TONGUE_MM, 0.0)
    gap = math.ceil(2 * s.swell * panel / 2 / 0.57) / 2
    return Framed(s.door_mm, max(math.floor(PANEL_SHARE * s.door_mm), PANEL_LEAST_MM), min(max(gap, PANEL_GAP_MM), PANEL_GAP_MOST_MM))


def behind_mm(s: Under) -> float:
    """How far back from the front the shelves inside begin: clear of the doors, and of the strip they close on where uprights end there too."""
    return s.door_mm + (STOP_MM[0] if s.uprights else BEHIND_DOORS_MM) if s.doors else 0.0


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
        raise SizeRefused("depth_mm", f"Behind doors {s.depth_mm:g} mm of depth keep {max(inside, 0):.0f} mm for a shelf and need {LEAST_SHELF_MM:g} mm; "
                          f"give {s.depth_mm + LEAST_SHELF_MM - inside:.0f} mm or more.")


def lay_members(out: Members, s: Under, front: float) -> None:
    """The doors with their pulls, and the strip that they close on; ``front`` is the front of the case, in y."""
    low, high = edges_mm(s)
    pull, tall, thick = PULL_MM
    for door in doors_of(s):
        hand = "" if s.doors == 1 else "left" if door.hung_left else "right"
        frame_members(out, framed(s), door.code, door.name, (door.left_mm, front, low), "x", door.wide_mm, high - low, 0.0, hand)
        middle = door.left_mm + (door.wide_mm - STILE_MM / 2 if door.hung_left else STILE_MM / 2)
        out.add(f"{door.code}6", f"{door.name}, pull", "pull", (middle - tall / 2, front - thick, (low + high - pull) / 2), "z", "x", pull, tall, thick,
                arris=min(2.0, 2 * out.arris_mm))
    wide, thick = STOP_MM
    out.add("V1", "door stop", "door stop", (-s.inner_mm / 2 + 1.0, front + s.door_mm, s.plinth_mm + s.shelf_mm), "x", "y", s.inner_mm - 2.0, wide, thick, "plain")


def lay_joints(made: Joints, s: Under, high: str = "joint_mm") -> None:
    """What holds the doors together, and hangs them; ``high``: the size to change where they are too low for hinges."""
    for bay in range(1, s.uprights + 2):
        made.join("glued on", "V1", f"U{bay}", "door stop on bottom", "shelf_mm")
    for door in doors_of(s):
        frame_joints(made, framed(s), door.code, "door", math.floor(2 / 3 * STILE_MM))
        hung, free = ("1", "2") if door.hung_left else ("2", "1")
        made.join("hinges", f"{door.code}{hung}", door.side, "door on side", high)
        made.join("screws", f"{door.code}{free}", f"{door.code}6", "pull on a door", "door_mm", {"count": 2.0})


def findings(s: Under, name: str) -> list[Finding]:
    """Whether a child can be shut in behind the doors, and whether they are too wide."""
    doors = doors_of(s)
    low, high = edges_mm(s)
    deep = s.depth_mm - behind_mm(s) - (s.back_mm if s.back else 0.0)
    air = (s.inner_mm - sum(d.wide_mm for d in doors)) * (high - low)
    called = f"{name}, cupboard"
    return [
        refusals.shut_in(called, s.inner_mm * deep * s.clear_mm * 1e-6, min(s.inner_mm, deep, s.clear_mm), air, CATCH_N, None),
        door_width(called, doors[0].wide_mm, high - low, "Two doors" if s.doors == 1 else "Two cupboards side by side"),
    ]


def swelling(s: Under, name: str) -> Finding:
    """Whether the doors have room to swell in their opening; 'look again' where they bind at the wettest."""
    doors = doors_of(s)
    grows, room = s.swell * 2 * STILE_MM * len(doors), s.inner_mm - sum(d.wide_mm for d in doors)
    tight = grows > room - SWING_SPARE_MM
    return Finding(
        f"{name}, {'doors' if len(doors) > 1 else 'door'}", "room to swell", Verdict.LOOK_AGAIN if tight else Verdict.STANDS,
        f"{grows:.1f} mm wider at the wettest, {room:.1f} mm of gaps in the opening", grows, room, "mm",
        "the stiles swell across, the rails do not along their grain", "Wood Handbook FPL-GTR-282 ch. 13", "Make the gap round the doors wider." if tight else "", "sizes",
    )


def gaps_mm(s: Under) -> tuple[float, float]:
    """Least and greatest gap round the doors. [mm]"""
    rest = s.inner_mm - sum(d.wide_mm for d in doors_of(s)) - s.doors * s.door_gap_mm
    return s.door_gap_mm, max(s.door_gap_mm, rest)


def usual_height_mm(whole_mm: float) -> float:
    """Height of a cupboard under shelves: three tenths of the whole, about as high as a table. [mm]"""
    return min(max(math.floor(0.03 * whole_mm) * 10.0, 500.0), 850.0)
