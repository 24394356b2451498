"""Cross halving: two members pass through each other, each giving up half where they cross."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.model import Box, Joint, Member, Operation, Piece, Vec

HALF = "Fairham, Woodwork Joints, 1921; Noyes, Handwork in Wood, 1910: half the thickness from each"


@dataclass(frozen=True)
class CrossHalving(Joint):
    """``first`` drops over ``second``: it loses its lower part, ``second`` its upper part."""

    kind = "cross halving"
    changeable = {"share": "Part cut from the lower, 0 to 1"}

    share: float = 0.5
    """Part of the crossing's depth taken out of ``second``."""

    def __post_init__(self):
        if not 0.2 <= self.share <= 0.8:
            raise ValueError(
                f"{self.family}: the part cut from the lower member is {self.share:g}; give 0.2 to 0.8, "
                "0.5 for half of each."
            )

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> CrossHalving:
        if first.piece_box.meet(second.piece_box) is None:
            raise ValueError(
                f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not cross, so they cannot be "
                "halved together. Move one of them, or choose another joint."
            )
        return cls(family or f"{first.role} over {second.role}", first.ref, second.ref, **(own or {}))

    def _crossing(self, piece: Piece) -> Box:
        a, b = piece.member(self.first), piece.member(self.second)
        met = a.piece_box.meet(b.piece_box)
        if met is None:
            raise ValueError(
                f"{a.name} ({a.ref}) and {b.name} ({b.ref}) do not cross, so they cannot be "
                "halved together. Move one of them, or take the joint out."
            )
        return met

    def _split_mm(self, crossing: Box) -> float:
        return crossing.hi[2] - self.share * (crossing.hi[2] - crossing.lo[2])

    def cuts(self, piece: Piece) -> dict[str, tuple[Box, ...]]:
        a, b = piece.member(self.first), piece.member(self.second)
        x = self._crossing(piece)
        z = self._split_mm(x)
        lower = Box(x.lo, (x.hi[0], x.hi[1], z))
        upper = Box((x.lo[0], x.lo[1], z), x.hi)
        return {
            a.ref: (a.placement.box_to_member(lower),),
            b.ref: (b.placement.box_to_member(upper),),
        }

    def entry(self, piece: Piece) -> Vec | None:
        return (0.0, 0.0, -1.0)

    def depths_mm(self, piece: Piece) -> tuple[float, float]:
        """Depth cut out of the first and out of the second member. [mm]"""
        x = self._crossing(piece)
        whole = x.hi[2] - x.lo[2]
        return (1 - self.share) * whole, self.share * whole

    def left_mm(self, piece: Piece) -> tuple[float, float]:
        """Depth of timber left in each member at the crossing. [mm]"""
        a, b = piece.member(self.first).piece_box, piece.member(self.second).piece_box
        cut_a, cut_b = self.depths_mm(piece)
        return a.size[2] - cut_a, b.size[2] - cut_b

    def glued_area_mm2(self, piece: Piece) -> float:
        x = self._crossing(piece)
        return (x.hi[0] - x.lo[0]) * (x.hi[1] - x.lo[1])

    def findings(self, piece: Piece) -> list[Finding]:
        a, b = piece.member(self.first), piece.member(self.second)
        out = []
        for member, cut, left in zip((a, b), self.depths_mm(piece), self.left_mm(piece)):
            depth = cut + left
            even = abs(cut - depth / 2) <= 0.1 * depth
            out.append(
                Finding(
                    f"{a.name} over {b.name}", f"depth cut from the {member.role}",
                    Verdict.STANDS if even else Verdict.LOOK_AGAIN,
                    f"{cut:.1f} mm of {depth:.1f} mm", cut, depth / 2, "mm",
                    "half of each member", HALF,
                    "" if even else "Set both members to one depth, or share the cut evenly.",
                    "joints", (a.ref, b.ref),
                )
            )
        return out

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("cross halving", 1, "joint", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        a, b = piece.member(self.first), piece.member(self.second)
        cut_a, cut_b = self.depths_mm(piece)
        return {
            f"{a.role}: notch": f"{b.thickness_mm:.1f} wide x {cut_a:.1f} deep, from below",
            f"{b.role}: notch": f"{a.thickness_mm:.1f} wide x {cut_b:.1f} deep, from above",
        }
