"""Glued on: a lipping, a plinth or a fillet glued flat against another member."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding
from studio_lib.piece.holding import Holds, Strengths, back, face_holds
from studio_lib.piece.meeting import TOUCHES_MM, axis_of, named, seen_from
from studio_lib.piece.model import Joint, Member, Operation, Piece, Season, Vec
from studio_lib.timber.provisions import GLUE_SAFE_MM, cross_grain_glue
from studio_lib.units import mm


@dataclass(frozen=True)
class GluedOn(Joint):
    """Any long side of ``first`` glued flat on a long side of ``second``."""

    kind = "glued on"
    lies = "edge"
    changeable = {}

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> GluedOn:
        axis, _ = contact(first, second)
        if axis == 0 or axis_of(second, first.placement.turn(tuple(float(k == axis) for k in range(3)))) == 0:
            raise ValueError(f"{named(first)} meets {named(second)} on end grain, which glue alone does not hold. Use dowels.")
        return cls(family or f"{first.role} on {second.role}", first.ref, second.ref)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board = piece.member(self.first)
        axis, size = contact(board, piece.member(self.second))
        long, thin = sorted((k for k in range(3) if k != axis), key=lambda k: -size[k])
        wide = board.placement.turn(tuple(float(k == long) for k in range(3)))
        return face_holds(back(self.entry(piece)), wide, size[long], size[thin], first, second)

    def glued_area_mm2(self, piece: Piece) -> float:
        axis, size = contact(piece.member(self.first), piece.member(self.second))
        a, b = (s for k, s in enumerate(size) if k != axis)
        return a * b

    def entry(self, piece: Piece) -> Vec | None:
        first = piece.member(self.first)
        axis, _ = contact(first, piece.member(self.second))
        seen = seen_from(piece.member(self.second), first)
        sign = 1.0 if seen.centre[axis] > first.box.centre[axis] else -1.0
        return first.placement.turn(tuple(sign * float(k == axis) for k in range(3)))

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        if axis_of(second, first.placement.along) == 0:
            return []
        axis, size = contact(first, second)
        across = {1: 2, 2: 1}[axis]
        if size[across] <= GLUE_SAFE_MM:
            return []
        way = "width" if across == 1 else "thickness"
        return list(cross_grain_glue(season.swing(first, size[across], way), f"{first.name} on {second.name}").findings)

    def operations(self, piece: Piece) -> list[Operation]:
        _, size = contact(piece.member(self.first), piece.member(self.second))
        return [Operation("edge joint", size[0] / 1000, "m", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        first, second = piece.member(self.first), piece.member(self.second)
        _, size = contact(first, second)
        there = seen_from(first, second)
        flat = min(range(3), key=lambda k: abs(min(there.hi[k], second.box.hi[k]) - max(there.lo[k], 0.0)))
        begins = (piece.tenons_mm(second.ref)[0], 0.0, 0.0)  # the start of a member is that of its tenon
        named_ = (f"from the start of the {second.role}", "from its lower edge", "from its face")
        return {"glued": f"{mm(size[0])} long x {mm(max(size[1:]))} wide"} | {
            named_[k]: f"{mm(there.lo[k] + begins[k])} to {mm(there.hi[k] + begins[k])}" for k in range(3) if k != flat}


def contact(first: Member, second: Member) -> tuple[int, tuple[float, float, float]]:
    """Axis of ``first`` square to the touching faces, and the size they share, in its axes."""
    seen = seen_from(second, first)
    shared = [min(h, s) - max(l, 0.0) for l, h, s in zip(seen.lo, seen.hi, first.box.hi)]
    axis = min(range(3), key=lambda k: abs(shared[k]))
    if abs(shared[axis]) > TOUCHES_MM or any(s <= 0 for k, s in enumerate(shared) if k != axis):
        raise ValueError(
            f"{named(first)} does not lie flat against {named(second)}: it is {abs(min(shared)):.0f} mm off. Move it until they touch."
        )
    return axis, tuple(max(s, 0.0) for s in shared)
