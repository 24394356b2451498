"""What a cabinet is built of, divided into bays or not: frame and panel of sides, partitions and doors; strips that shelves and drawers run on."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

from studio_lib.forms.casework import Joints, Members
from studio_lib.piece.mortise_tenon import MORTISE_DEEPER_MM, MortiseTenon, nearest_chisel

TONGUE_MM = 10.0
"""How far a panel stands in its grooves; about as wide, after Noyes."""
BESIDE_GROOVE_MM = 4.0
"""Between a groove's bottom and the tenon beside it; common practice, no source."""
RAIL_MM = (50.0, 22.0)
LEAST_BAY_MM = 150.0
SCREWS_APART_MM = 15.0
"""Between screws that enter a partition from either face, one over the other; judgement of ours."""
HOUSED = 0.28
"""How deep a partition stands in the bottom, as a part of its thickness: a quarter to a third, ``housing.DEPTH_RULE``."""
REST_MM = (25.0, 18.0)
BACK_BOARD_MM = 130.0
DRAWER_RAIL_MM = 24.0
"""Height of the rail under a row of drawers; judgement of ours."""


class Cased(Protocol):
    """What these parts must know of a cabinet's sizes. [mm]"""

    stile_mm: float
    rail_mm: float
    frame_mm: float
    panel_mm: float
    panel_gap_mm: float
    groove_mm: float
    front_mm: float
    back_y_mm: float
    back_mm: float


def frame_members(out: Members, s: Cased, code: str, what: str, low, way: str, wide: float, tall: float, below: float, hand: str = "") -> None:
    """Two stiles, two rails and a panel; ``low`` is its low corner, ``way`` the axis it is wide along."""
    x, y, z = low

    def at(w: float, t: float, h: float):
        return (x + w, y + t, z + h) if way == "x" else (x + t, y + w, z + h)

    first, last = ("left", "right") if way == "x" else ("front", "back")
    sw, rw, ft = s.stile_mm, s.rail_mm, s.frame_mm
    out.add(f"{code}1", f"{what}, {first} stile", "stile", at(0, 0, 0), "z", way, tall, sw, ft, hand=hand)
    out.add(f"{code}2", f"{what}, {last} stile", "stile", at(wide - sw, 0, 0), "z", way, tall, sw, ft, hand=hand)
    out.add(f"{code}3", f"{what}, bottom rail", "rail", at(sw, 0, below), way, "z", wide - 2 * sw, rw, ft, hand=hand)
    out.add(f"{code}4", f"{what}, top rail", "rail", at(sw, 0, tall - rw), way, "z", wide - 2 * sw, rw, ft, hand=hand)
    out.add(f"{code}5", f"{what}, panel", "panel", at(sw - TONGUE_MM, (ft - s.panel_mm) / 2, below + rw - TONGUE_MM), "z", way,
            tall - below - 2 * rw + 2 * TONGUE_MM, wide - 2 * sw + 2 * TONGUE_MM, s.panel_mm, hand=hand, arris=0.0)


def frame_joints(made: Joints, s: Cased, code: str, what: str, long_mm: float) -> None:
    """The joints of such a frame, its tenons ``long_mm`` long, its panel free in their grooves."""
    for rail, inner_low in ((f"{code}3", False), (f"{code}4", True)):
        for stile in (f"{code}1", f"{code}2"):
            a, b, family = made.at(rail), made.at(stile), f"{what} rail into stile"
            own = made.own.get(family, {})
            try:
                joint = MortiseTenon.between(a, b, family, own)
            except ValueError as error:
                made.refuse(error, a, b, family, "rail_mm")
                continue
            thick = own.get("thickness_mm", nearest_chisel(a.thickness_mm / 3))
            inner, outer = s.groove_mm + BESIDE_GROOVE_MM, max(8.0, a.width_mm / 6)
            wide = own.get("width_mm", max(min(a.width_mm - inner - outer, 5 * thick), 3.0))
            spare = max(a.width_mm - wide - inner, 0.0)
            made.all.append(replace(
                joint, thickness_mm=thick, width_mm=wide, length_mm=own.get("length_mm", long_mm - MORTISE_DEEPER_MM),
                shoulder_low_mm=inner if inner_low else spare, cheek_low_mm=0.0 if joint.bare_faced else (a.thickness_mm - thick) / 2,
                haunch_mm=own.get("haunch_mm", 0.0),
            ))
    for frame in range(1, 5):
        made.join("groove and panel", f"{code}5", f"{code}{frame}", f"panel in {what}", "panel_gap_mm", {"gap_mm": s.panel_gap_mm})


def pair_of_rests(
    out: Members, s: Cased, code: str, k: int, what: str, low: float, walls: tuple[float, float], back: float = 0.0, side: str = "",
) -> None:
    """Left and right strips on the stiles, numbered in pairs; ``back`` is left free behind them."""
    rt = RAIL_MM[1]
    long = s.back_y_mm - s.back_mm - s.front_mm - rt - back
    for number, name, x in ((2 * k - 1, "left", walls[0]), (2 * k, "right", walls[1] - REST_MM[1])):
        called = f"{what} {k}{side} bay, {name}" if side else f"{what} {k}, {name}"
        out.add(f"{code}{number}", called, what, (x, s.front_mm + rt, low), "y", "z", long, REST_MM[0], REST_MM[1], "plain", name)
