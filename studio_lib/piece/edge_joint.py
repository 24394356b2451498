"""Edge joint: boards glued edge to edge into a wide top, side or panel."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, back, face_holds
from studio_lib.piece.model import Joint, Member, Operation, Piece, Vec
from studio_lib.units import mm

WIDE_BOARD_MM = 150.0
"""A board of a glued-up top wider than this cups more than the top can hide; common practice, no source."""
HARDLY = 0.07
"""Share of that width by which one board may be wider before one more is glued in; common practice, no source."""
LEVEL_MM = 0.5
"""Faces further apart than this are no flush joint."""

INTO_A_WIDTH = "boards into a width"
"""The edges of all boards that are glued into a width are shot at one setting."""


@dataclass(frozen=True)
class EdgeJoint(Joint):
    """The upper edge of ``first`` glued to the lower edge of ``second``, faces flush."""

    kind = "edge joint"
    lies = "edge"
    widens = True
    changeable = {}

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> EdgeJoint:
        for lower, upper in ((first, second), (second, first)):
            local = lower.placement.to_member(upper.placement.to_piece((0.0, 0.0, 0.0)))
            along = lower.placement.turn_back(upper.placement.along)
            across = lower.placement.turn_back(upper.placement.across)
            if abs(abs(along[0]) - 1) > 1e-6 or across[1] < 1 - 1e-6:
                continue
            if abs(local[1] - lower.width_mm) < LEVEL_MM and abs(local[2]) < LEVEL_MM + abs(lower.thickness_mm - upper.thickness_mm):
                return cls(family or f"{first.role} edge to edge", lower.ref, upper.ref)
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not lie edge to edge with their faces "
            "flush, so they cannot be glued into one width. Lay them side by side, grain one way, or choose another joint."
        )

    def shared_mm(self, piece: Piece) -> tuple[float, float]:
        """Length and thickness of the glued edge. [mm]"""
        a, b = piece.member(self.first), piece.member(self.second)
        start = a.placement.to_member(b.placement.to_piece((0.0, 0.0, 0.0)))[0]
        end = a.placement.to_member(b.placement.to_piece((b.length_mm, 0.0, 0.0)))[0]
        low, high = sorted((start, end))
        return max(min(high, a.length_mm) - max(low, 0.0), 0.0), min(a.thickness_mm, b.thickness_mm)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board = piece.member(self.first)
        return face_holds(back(board.placement.across), board.placement.along, *self.shared_mm(piece), first, second)

    def glued_area_mm2(self, piece: Piece) -> float:
        length, thickness = self.shared_mm(piece)
        return length * thickness

    def entry(self, piece: Piece) -> Vec | None:
        return piece.member(self.first).placement.across

    def findings(self, piece: Piece) -> list[Finding]:
        out = []
        for member in (piece.member(self.first), piece.member(self.second)):
            wide = member.width_mm > WIDE_BOARD_MM * (1 + HARDLY)
            out.append(
                Finding(
                    f"{member.name}, edge to edge", "width of one board", Verdict.LOOK_AGAIN if wide else Verdict.STANDS,
                    f"{member.width_mm:.0f} mm, about {WIDE_BOARD_MM:.0f} mm at most to stay flat", member.width_mm, WIDE_BOARD_MM * (1 + HARDLY), "mm",
                    "narrow boards in a wide glued width cup little", "common practice, no source",
                    "More and narrower boards, or quarter-sawn ones." if wide else "", "joints", (member.ref,),
                )
            )
        return out

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("edge joint", self.shared_mm(piece)[0] / 1000, "m", INTO_A_WIDTH)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        length, thickness = self.shared_mm(piece)
        return {"edge": f"{mm(length)} long x {mm(thickness)} thick, square and straight, no light through it"}
