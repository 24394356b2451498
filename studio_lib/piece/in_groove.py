"""In a groove: ends of slats let in whole, side by side, in one groove along the member, spacers glued in between them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.piece.let_in import DEEPER_MM, LetIn
from studio_lib.piece.model import Block, Box, Member, Operation, Part, Piece, carried
from studio_lib.units import mm, tenths

OVER_MM = 0.5
"""The groove is cut so far under a neighbour's spacer, so that one groove comes of it."""


@dataclass(frozen=True)
class InGroove(LetIn):
    """The end of ``first`` in a groove of ``second``; ``before_mm`` and ``after_mm`` of the groove beside it are filled.

    A gap to the next slat is half its own; the spacer in it belongs to the slat before it, and those at the ends of the groove to theirs.
    """

    kind = "in a groove, with spacers"

    before_mm: float = 0.0
    after_mm: float = 0.0
    first_of_row: bool = False
    last_of_row: bool = False

    @property
    def mitred(self) -> bool:
        """Its part of the groove meets those of its neighbours."""
        return True

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> InGroove:
        made = LetIn.between(first, second, family, own)
        return cls(made.family, made.first, made.second, made.depth_mm)

    def beside(self, before_mm: float, after_mm: float, first_of_row: bool, last_of_row: bool) -> InGroove:
        """The same with its part of the groove: half the gap to a neighbour, the whole of it at either end of the row. [mm]"""
        return replace(self, before_mm=before_mm, after_mm=after_mm, first_of_row=first_of_row, last_of_row=last_of_row)

    def _box(self, piece: Piece, low: float, high: float, deep: float) -> Box:
        """A block from ``low`` to ``high`` across the slat, in the slat's own axes. [mm]"""
        m = piece.member(self.first)
        x0, x1 = (m.length_mm, m.length_mm + deep) if self._facing(piece).sign > 0 else (-deep, 0.0)
        return Box((x0, low, 0.0), (x1, high, m.thickness_mm))

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        m, other = piece.member(self.first), piece.member(self.second)
        low = -self.before_mm - (0.0 if self.first_of_row else OVER_MM)
        high = m.width_mm + self.after_mm + (0.0 if self.last_of_row else OVER_MM)
        return {self.second: (carried(self._box(piece, low, high, self.depth_mm + DEEPER_MM), m.placement, other.placement),)}

    def spacers_mm(self, piece: Piece) -> tuple[tuple[float, float], ...]:
        """From where to where each spacer of this slat fills the groove, across the slat. [mm]"""
        wide = piece.member(self.first).width_mm
        after = self.after_mm if self.last_of_row else 2 * self.after_mm
        found = [(-self.before_mm, 0.0)] if self.first_of_row else []
        return tuple((a, b) for a, b in (*found, (wide, wide + after)) if b - a > 0.1)

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        m = piece.member(self.first)
        return tuple(
            Part(f"spacer, {self.family}", piece.member(self.second).timber, m.placement.to_piece_block(self._box(piece, a, b, self.depth_mm)), True, on=self.second)
            for a, b in self.spacers_mm(piece)
        )

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        return {self.first: {"end" if self._facing(piece).sign > 0 else "start": f"in a groove {mm(self.depth_mm)}"}}

    def operations(self, piece: Piece) -> list[Operation]:
        long = (self.before_mm + piece.member(self.first).width_mm + self.after_mm) / 1000
        spacers = len(self.spacers_mm(piece))
        return [Operation("plough a groove", long, "metre", f"{piece.member(self.first).thickness_mm:g}")] + (
            [Operation("cut and glue in a spacer", spacers, "spacer", self.family)] if spacers else [])

    def setting_out(self, piece: Piece) -> dict[str, str]:
        m = piece.member(self.first)
        spacers = self.spacers_mm(piece)
        return {
            "groove": f"{tenths(m.thickness_mm)} wide, {mm(self.depth_mm + DEEPER_MM)} deep, along the whole member", "end": f"{mm(self.depth_mm)} in, no shoulder",
            "spacers": f"{mm(self.depth_mm)} x {tenths(m.thickness_mm)}, " + " and ".join(tenths(b - a) for a, b in spacers) + " long" if spacers else "none",
        }
