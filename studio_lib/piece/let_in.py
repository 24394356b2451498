"""Let in whole: the end of a slat, at its full section, in a shallow mortise."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.facing import Facing, facing
from studio_lib.piece.holding import END_GRAIN_SHARE, Holds, Strengths, Tongue, back, tongue_holds
from studio_lib.piece.model import Block, Box, Joint, Member, Operation, Piece, Placement, Prism, Vec, carried, profile
from studio_lib.units import mm, tenths

DEEPER_MM = 1.0
"""The mortise is cut this much deeper than the end goes in; common practice, no source."""
USUAL_MM = 12.0
WALL_MM = 4.5
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class LetIn(Joint):
    """The end of ``first`` goes into ``second`` without a shoulder."""

    kind = "let in whole"
    changeable = {"depth_mm": "Depth let in, mm"}

    depth_mm: float = 10.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> LetIn:
        family = family or f"{first.role} into {second.role}"
        met = _met(first, second)
        most = met.far_mm - WALL_MM - DEEPER_MM
        depth = (own or {}).get("depth_mm", float(int(min(USUAL_MM, most, met.far_mm / 2))))
        if not 2.0 <= depth <= most:
            raise ValueError(
                f"{family}: let in by {depth:g} mm; give 2 to {max(most, 2):g} mm"
                + ("." if most >= 2 else f", and a member deeper than {met.far_mm:g} mm.")
            )
        if (met.hi[1] - met.lo[1], met.hi[2] - met.lo[2]) != (first.width_mm, first.thickness_mm) and (
            abs(met.hi[1] - met.lo[1] - first.width_mm) > 0.01 or abs(met.hi[2] - met.lo[2] - first.thickness_mm) > 0.01
        ):
            raise ValueError(
                f"{family}: the end of {first.name}, {first.width_mm:g} x {first.thickness_mm:g} mm, stands over the edge of {second.name}; "
                "it can only be let in where its whole end lies on the face."
            )
        return cls(family, first.ref, second.ref, depth)

    def _facing(self, piece: Piece) -> Facing:
        return _met(piece.member(self.first), piece.member(self.second))

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        m = piece.member(self.first)
        x = m.length_mm if self._facing(piece).sign > 0 else -self.depth_mm
        at = Placement((x, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        return {self.first: (Prism(profile(m), at, self.depth_mm),)}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        m, other = piece.member(self.first), piece.member(self.second)
        deep = self.depth_mm + DEEPER_MM
        x0, x1 = (m.length_mm, m.length_mm + deep) if self._facing(piece).sign > 0 else (-deep, 0.0)
        return {self.second: (carried(Box((x0, 0.0, 0.0), (x1, m.width_mm, m.thickness_mm)), m.placement, other.placement),)}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        return {self.first: (0.0, self.depth_mm) if self._facing(piece).sign > 0 else (self.depth_mm, 0.0)}

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        return {self.first: {"end" if self._facing(piece).sign > 0 else "start": f"let in {mm(self.depth_mm)}"}}

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        m = piece.member(self.first)
        out = m.placement.turn(back(self._facing(piece).way))
        tongue = Tongue(m.width_mm, m.thickness_mm, self.depth_mm)
        return tongue_holds(out, m.placement.across, tongue, first, second, glued=END_GRAIN_SHARE)

    def entry(self, piece: Piece) -> Vec | None:
        return piece.member(self.first).placement.turn(self._facing(piece).way)

    def findings(self, piece: Piece) -> list[Finding]:
        m, other = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        left = met.far_mm - self.depth_mm - DEEPER_MM
        shallow = self.depth_mm < 6.0
        return [Finding(
            f"{m.name} into {other.name}", "depth let in", Verdict.LOOK_AGAIN if shallow else Verdict.STANDS,
            f"{self.depth_mm:.0f} mm let in, {left:.0f} mm of {other.role} left beyond", 6.0, self.depth_mm, "mm",
            "6 mm or more, so that the end does not show a gap when it shrinks", PRACTICE,
            "Let it in by 6 mm or more." if shallow else "", "joints", (m.ref, other.ref),
        )]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("let an end in whole", 1, "end", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        m = piece.member(self.first)
        return {
            "mortise": f"{tenths(m.width_mm)} x {tenths(m.thickness_mm)}, {mm(self.depth_mm + DEEPER_MM)} deep", "end": f"{mm(self.depth_mm)} in, no shoulder",
        }


def _met(first: Member, second: Member) -> Facing:
    met = facing(first, second)
    if met is None or met.axis != 0:
        raise ValueError(
            f"{first.name} ({first.ref}) does not end square on a face of {second.name} ({second.ref}). "
            "Move or lengthen it so that its end meets the face."
        )
    return met
