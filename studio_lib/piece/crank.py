"""A leg sawn from a wide board: upright below, raked above, the back leg of a seat."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.piece.model import Member, Operation, Placement, Prism, Shaping, Vec
from studio_lib.piece.outline import Outline
from studio_lib.piece.shaping import BEYOND_MM, X, Y
from studio_lib.units import mm


@dataclass(frozen=True)
class Cranked(Shaping):
    """Upright for ``bend_mm``, then leaning towards the upper edge, as wide all along, seen on the face."""

    kind = "cranked leg"
    changeable = {}

    leg_mm: float = 50.0
    """Width of the leg within the board's."""
    bend_mm: float = 430.0
    angle_deg: float = 10.0

    @property
    def slope(self) -> float:
        return math.tan(math.radians(self.angle_deg))

    @property
    def worked_width_mm(self) -> float:
        """What is left across the board at any place. [mm]"""
        return self.leg_mm

    def front_mm(self, x: float) -> float:
        """Where the front edge lies across the board, at a place along it. [mm]"""
        return max(x - self.bend_mm, 0.0) * self.slope

    def inside_mm(self, p: Vec) -> float:
        """How deep a point lies behind the nearer of the two sawn edges; below 0 outside. [mm]"""
        front = self.front_mm(p[0])
        lean = math.cos(math.radians(self.angle_deg)) if p[0] > self.bend_mm else 1.0
        return min(p[1] - front, front + self.leg_mm - p[1]) * lean

    def leaves_mm(self, p: Vec, way: Vec) -> float:
        """How far along ``way`` until a line leaves by a sawn edge; level lines across the board only. [mm]"""
        if abs(way[1]) < 1e-9:
            return math.inf
        front = self.front_mm(p[0])
        slope = self.slope if p[0] > self.bend_mm else 0.0
        far = math.inf
        for edge in (front, front + self.leg_mm):
            closing = way[1] - slope * way[0]
            if abs(closing) > 1e-9 and (edge - p[1]) / closing > 1e-9:
                far = min(far, (edge - p[1]) / closing)
        return far

    def within(self, member: Member) -> tuple[Prism, ...]:
        off = self.front_mm(member.length_mm)
        x, over = member.length_mm, BEYOND_MM
        past = over * self.slope
        outline: Outline = (
            (-over, 0.0), (self.bend_mm, 0.0), (x + over, off + past), (x + over, off + past + self.leg_mm),
            (self.bend_mm, self.leg_mm), (-over, self.leg_mm),
        )
        return (Prism(outline, Placement((0.0, 0.0, -over), X, Y), member.thickness_mm + 2 * over),)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("saw and fair a curve", 2 * member.length_mm / 1000, "m", "template")]

    def setting_out(self, member: Member) -> dict[str, str]:
        square = self.leg_mm * math.cos(math.radians(self.angle_deg))
        return {"cranked": f"{mm(self.leg_mm)} wide, straight to {mm(self.bend_mm)}, then {self.angle_deg:g} degrees back, {mm(square)} wide "
                f"square to the slope; at the end the sloping edge lies {mm(self.front_mm(member.length_mm))} from the board's lower edge; "
                f"from a board {mm(member.width_mm)} wide"}
