"""Rebate: the end or edge of one member in a step cut along the edge or end of another."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import END_GRAIN_SHARE, Holds, Strengths, Way, back
from studio_lib.piece.meeting import TOUCHES_MM, axis_of, given, inside, named, seen_from
from studio_lib.piece.model import Block, Box, Joint, Member, Operation, Piece, Season, Vec, carried
from studio_lib.units import mm, tenths

DEPTH_RULE = "half to two thirds of the thickness"
DEPTH_SOURCE = "common practice, no source"
LEAST_MM = 3.0
OVER_MM = 1.0
"""How far a cut begins outside the timber, so that no skin is left."""
HELD_MM = 75.0
"""Glued fast across the grain over this and no more; common practice, no source."""


@dataclass(frozen=True)
class Rebate(Joint):
    """``first`` lies in a step in ``second``: its end where it stops on the face of the other at a corner, or the
    edge that already lies inside the other's block, as the back of a case does."""

    kind = "rebate"
    lies = "edge"
    changeable = {"depth_mm": "How far it reaches into the step, mm"}

    end: str = ""
    """'start' or 'end' of ``first`` where its end is let in at a corner; '' where its block already lies in the step."""
    depth_mm: float = 0.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Rebate:
        family = family or f"{first.role} into {second.role}"
        seen = seen_from(second, first)
        shared = first.box.meet(seen)
        if shared is not None:
            given(cls.kind, family, own, {"depth_mm": (0.0, -1.0)} if own else {}, cls.changeable)
            block = second.placement.box_to_member(first.placement.box_to_piece(shared)) if first.placement.square and second.placement.square \
                else carried(shared, first.placement, second.placement).bounds
            if not _a_step(block, second):
                raise ValueError(
                    f"{named(first)} lies inside {named(second)} and comes out at one of its long sides or none: that is a groove or a "
                    "housing, not a rebate. Move it to the edge, or choose groove and panel."
                )
            return cls(family, first.ref, second.ref, "", min(shared.size))
        if axis_of(second, first.placement.along) != 2:
            raise ValueError(
                f"{named(first)} does not end on the face of {named(second)} and does not lie in it either. Lengthen or widen it by what "
                "is to lie in the step, or let it end on the other's face."
            )
        x = seen.hi[0] if abs(seen.hi[0]) <= TOUCHES_MM else seen.lo[0] - first.length_mm if abs(seen.lo[0] - first.length_mm) <= TOUCHES_MM else None
        if x is None:
            raise ValueError(f"{named(first)} ends {min(abs(seen.hi[0]), abs(seen.lo[0] - first.length_mm)):.0f} mm off the face of {named(second)}. Move it there.")
        end = "start" if abs(seen.hi[0]) <= TOUCHES_MM else "end"
        flush = [abs(seen.lo[k]) <= TOUCHES_MM or abs(seen.hi[k] - first.box.hi[k]) <= TOUCHES_MM for k in (2,)]
        if not any(flush):
            raise ValueError(
                f"{named(first)} meets {named(second)} away from its end: a rebate lies at a corner. Move it flush with the end, or use a housing."
            )
        most = second.thickness_mm - LEAST_MM
        figures = given(cls.kind, family, own, {"depth_mm": (min(LEAST_MM, most), most)}, cls.changeable)
        usual = max(math.floor(2 * 0.6 * second.thickness_mm) / 2, LEAST_MM)
        return cls(family, first.ref, second.ref, end, figures.get("depth_mm", min(usual, most)))

    def _tongue(self, first: Member) -> Box:
        x = -self.depth_mm if self.end == "start" else first.length_mm
        return Box((x, 0.0, 0.0), (x + self.depth_mm, first.width_mm, first.thickness_mm))

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        return {self.first: (self._tongue(piece.member(self.first)),)} if self.end else {}

    def _step(self, piece: Piece) -> Box:
        """What is taken out of the second, in its own axes, run out into the air where it is open."""
        first, second = piece.member(self.first), piece.member(self.second)
        block = self._tongue(first) if self.end else first.box
        seen = carried(block, first.placement, second.placement).bounds
        step = inside(seen, second)
        for k in range(3):
            step = step.grown(k, OVER_MM if step.lo[k] < 1e-6 else 0.0, OVER_MM if step.hi[k] > second.box.hi[k] - 1e-6 else 0.0)
        return step

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        return {self.second: (self._step(piece),)}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        if not self.end:
            return {}
        return {self.first: (self.depth_mm, 0.0) if self.end == "start" else (0.0, self.depth_mm)}

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        return {self.first: {self.end: f"{self.depth_mm:g} into a rebate"}} if self.end else {}

    def _size(self, piece: Piece) -> tuple[float, float, float]:
        """Length of the step, and its two other sizes, the larger first. [mm]"""
        met = self._step(piece).meet(piece.member(self.second).box)
        long, wide, deep = sorted(met.size, reverse=True)
        return long, wide, deep

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        """A corner holds by glue, one face of it end grain; a back that lies in its step only presses, screws or pins hold it."""
        member = piece.member(self.first)
        long, wide, deep = self._size(piece)
        press = min(first.crushing, second.crushing)
        if not self.end:
            way = self.entry(piece)
            if way is None:
                return None
            out = back(way)
            along = member.placement.along if abs(sum(a * b for a, b in zip(member.placement.along, out))) < 0.5 else member.placement.across
            return Holds(out, along, push=Way(long * min(wide, deep) * press, "the grain crushing in the step"))
        glue = long * (wide + deep) * min(first.shear, second.shear) * END_GRAIN_SHARE
        held = Way(glue, "glue in the step, half of it end grain")
        out = member.placement.along if self.end == "start" else back(member.placement.along)
        return Holds(out, member.placement.across, held, Way(long * deep * press, "the grain crushing in the step"), held, held)

    def glued_area_mm2(self, piece: Piece) -> float:
        long, wide, deep = self._size(piece)
        return long * (wide + deep) if self.end else 0.0

    def entry(self, piece: Piece) -> Vec | None:
        """The first goes into the step by the side that is open and not along it."""
        first, second = piece.member(self.first), piece.member(self.second)
        if self.end:
            sign = -1.0 if self.end == "start" else 1.0
            return tuple(sign * c + 0.0 for c in first.placement.along)
        met, box = self._step(piece), second.box
        # Of the open sides, the one that the first's thickness looks through.
        through = second.placement.turn_back(first.placement.through)
        k = max(range(3), key=lambda i: abs(through[i]))
        sign = -1.0 if met.lo[k] < 0 else 1.0 if met.hi[k] > box.hi[k] else 0.0
        return tuple(-sign * c + 0.0 for c in second.placement.turn(tuple(float(i == k) for i in range(3)))) if sign else None

    def findings(self, piece: Piece) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        where, refs = f"{first.name} in {second.name}", (first.ref, second.ref)
        through = second.placement.turn_back(first.placement.along if self.end else first.placement.across)
        k = max(range(3), key=lambda i: abs(through[i]))
        met, size = self._step(piece).meet(second.box), second.box.hi[k]
        deep = met.size[k] if self.end or k == 2 else min(met.size)
        good = size / 2 - 0.5 <= deep <= 2 * size / 3 + 0.5 if self.end else deep >= LEAST_MM
        return [Finding(
            where, "depth of the rebate", Verdict.STANDS if good else Verdict.LOOK_AGAIN, f"{deep:.1f} mm of {size:g} mm", deep,
            2 * size / 3, "mm", DEPTH_RULE if self.end else f"{LEAST_MM:g} mm at the least", DEPTH_SOURCE,
            "" if good else f"A rebate {size / 2:.0f} to {2 * size / 3:.0f} mm deep." if self.end else "A deeper rebate.", "joints", refs,
        ), *([Finding(
            where, "what holds the corner", Verdict.LOOK_AGAIN, "a rebate locates; glue on end grain holds little",
            rule="a rebated corner is pinned, dowelled or backed by a frame", source="common practice, no source",
            mend="Pin it through the step, or choose a dovetail.", stage="joints", refs=refs,
        )] if self.end else [])]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        if self.end or axis_of(second, first.placement.along) == 0:
            return []
        swing = season.swing(first, first.width_mm, "width")
        held = first.width_mm <= HELD_MM
        return [Finding(
            f"{first.name} in {second.name}", "movement", Verdict.STANDS if held else Verdict.LOOK_AGAIN,
            f"{first.name} gives {swing.grows_mm + swing.shrinks_mm:.1f} mm across its width over the year",
            rule="a wide board in a rebate is held at one place only", source="common practice, no source",
            mend="" if held else "Screw it in slots, or make it of several boards with gaps.", stage="joints", refs=(first.ref, second.ref),
        )]

    def operations(self, piece: Piece) -> list[Operation]:
        long, wide, deep = self._size(piece)
        return [Operation("cut a rebate", long / 1000, "m", f"{wide:.1f}|{deep:.1f}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        long, wide, deep = self._size(piece)
        return {"rebate": f"{tenths(wide)} x {tenths(deep)}", "length of the rebate": mm(long)}


def _a_step(block: Box, member: Member) -> bool:
    """Whether a block inside the member is open along two sides of its length, as a step is and a groove is not."""
    long = max(range(3), key=lambda k: block.size[k])
    return all(block.lo[k] < 1e-6 or block.hi[k] > member.box.hi[k] - 1e-6 for k in range(3) if k != long)
