"""Hinges: two members that swing about a line where a long edge of each comes near the other."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, back, hinges_hold
from studio_lib.piece.model import Block, Box, Hardware, Joint, Member, Metal, Operation, Part, Piece, Vec, hole
from studio_lib.piece.mortise_tenon import dot
from studio_lib.units import mm

PRACTICE = "common practice, no source"
NEAR_MM = 8.0
LEAF_MM = 2.0
"""Thickness of a hinge's leaf, let into the edge."""
LEAF_WIDE_MM = 25.0
PIN_MM = 7.0
WALL_MM = 4.0
END_MM = 150.0
NEAR_END_MM = 60.0
HIDDEN_WIDE_MM = 12.0
HIDDEN_DEEP_MM = 20.0
HIDDEN_WALL_MM = 3.0
"""Width and depth of the mortise of a hidden hinge in either edge, and timber beside it: common sizes of the trade, no source;
check against the hinge bought."""
STOP_DEG = 10.0
"""A stay stops a lid this far short of upright; common practice, no source."""
END_SHARE = 0.12
"""Outer hinges stand this part of the length from its ends, 60 mm at least: 60 to 80 mm on low doors; common practice, no source."""


@dataclass(frozen=True)
class Hinged(Joint):
    """Butt hinges let into the facing edges of two members, their pins on the line where they come nearest."""

    kind = "hinges"
    dry = True
    turns = True
    lets = "turn"
    lies = "row"
    changeable = {"count": "Hinges", "hinge_mm": "Length of a hinge, mm", "end_mm": "Outer hinges from the end, mm",
                  "hidden": "Hidden hinges, let into both edges, 1 or 0"}

    count: float = 3.0
    hinge_mm: float = 76.0
    end_mm: float = END_MM
    stays: int = 0
    """Stays that hold a lid open; the form that has the lid says how many."""
    hidden: float = 0.0
    """Linked hinges let into the two edges that meet: nothing shows while it is shut."""

    @property
    def holding_open(self) -> int:
        return self.stays

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Hinged:
        family, own = family or f"{first.role} to {second.role}", own or {}
        _edges(first, second)
        long = min(first.length_mm, second.length_mm)
        size = own.get("hinge_mm", 76.0 if long >= 500 else 50.0)
        if not 20 <= size <= long / 2:
            raise ValueError(f"{family}: a hinge of {size:g} mm on {long:g} mm; give 20 to {max(long / 2, 20):g} mm.")
        count = own.get("count", 3.0 if long > 1200 else 2.0)
        most = max(int(long / (size + 20)), 1)
        if count != int(count) or not 1 <= count <= most:
            raise ValueError(f"{family}: {count:g} hinges; give 1 to {most}, a whole number.")
        end = own.get("end_mm", min(END_MM, max(NEAR_END_MM, round(END_SHARE * long)), (long - count * (size + 10)) / 2))
        room = (long - count * size) / 2
        if not 0 <= end <= room:
            raise ValueError(f"{family}: the outer hinges are {end:g} mm from the end; give 0 to {room:g} mm.")
        made = cls(family, first.ref, second.ref, count, size, end, hidden=1.0 if own.get("hidden") else 0.0)
        if made.hidden:
            thick = made._thin_mm(first, second)
            if thick < HIDDEN_WIDE_MM + 2 * HIDDEN_WALL_MM:
                raise ValueError(
                    f"{family}: the thinner edge is {thick:g} mm; a hidden hinge is {HIDDEN_WIDE_MM:g} mm wide and needs "
                    f"{HIDDEN_WALL_MM:g} mm of timber on either side, {HIDDEN_WIDE_MM + 2 * HIDDEN_WALL_MM:g} mm. Thicker members, or butt hinges."
                )
            deep = min(m.width_mm if axis == 1 else m.thickness_mm for m, axis in zip((first, second), made._towards(first, second)))
            if deep < HIDDEN_DEEP_MM + WALL_MM:
                raise ValueError(
                    f"{family}: {deep:g} mm behind the edge; a hidden hinge goes in {HIDDEN_DEEP_MM:g} mm and leaves {WALL_MM:g} mm. "
                    "Wider members, or butt hinges."
                )
        return made

    def apart_mm(self, piece: Piece) -> float:
        """Between the outer hinges, middle to middle; 0 for one alone. [mm]"""
        starts = self._starts(piece.member(self.first), piece.member(self.second))
        return starts[-1] - starts[0]

    def _starts(self, first: Member, second: Member) -> list[float]:
        """Where each hinge begins along the first member. [mm]"""
        long = min(first.length_mm, second.length_mm)
        lo = max(0.0, min(_along(first, second)))
        n, free = int(self.count), long - 2 * self.end_mm - self.hinge_mm
        return [lo + self.end_mm + (free * k / (n - 1) if n > 1 else free / 2) for k in range(n)]

    @staticmethod
    def _towards(first: Member, second: Member) -> list[int]:
        """For each member which of its axes, 1 or 2, runs to the other."""
        axes = []
        for member, other in ((first, second), (second, first)):
            toward = member.placement.turn_back(tuple(b - a for a, b in zip(_middle(member), _middle(other))))
            axes.append(1 if abs(toward[1]) >= abs(toward[2]) else 2)
        return axes

    def _thin_mm(self, first: Member, second: Member) -> float:
        """Thickness of the thinner of the two edges that meet. [mm]"""
        return min(m.thickness_mm if axis == 1 else m.width_mm for m, axis in zip((first, second), self._towards(first, second)))

    def _recesses(self, piece: Piece) -> dict[str, list[tuple[Box, Box]]]:
        """For each member the recess of every hinge, as cut and as the hinge's leaf fills it, in its own axes."""
        first, second = piece.member(self.first), piece.member(self.second)
        out, axes = {}, self._towards(first, second)
        # Both leaves of a butt hinge are of one width: what the thinner of the two members takes.
        thick = self._thin_mm(first, second)
        deep = min(thick - WALL_MM, LEAF_WIDE_MM)
        for member, axis, (y, z) in zip((first, second), axes, _edges(first, second)):
            cut, leaf = ([0.0, y, z], [0.0, y, z]), ([0.0, y, z], [0.0, y, z])
            for k, at in ((1, y), (2, z)):
                if self.hidden and k != axis:
                    # In the middle of the thinner edge, alike in both members.
                    low = (thick - HIDDEN_WIDE_MM) / 2
                    lo, hi = (low, low + HIDDEN_WIDE_MM) if at == 0.0 else (at - low - HIDDEN_WIDE_MM, at - low)
                    for one in (cut, leaf):
                        one[0][k], one[1][k] = lo, hi
                    continue
                by = HIDDEN_DEEP_MM if self.hidden else LEAF_MM if k == axis else deep
                for (lo, hi), over in ((cut, 1.0), (leaf, 0.0)):
                    lo[k], hi[k] = (at - over, at + by) if at == 0.0 else (at - by, at + over)
            rows = []
            for start in self._starts(first, second):
                ends = [member.placement.to_member(first.placement.to_piece((x, 0.0, 0.0)))[0] for x in (start, start + self.hinge_mm)]
                for lo, hi in (cut, leaf):
                    lo[0], hi[0] = min(ends), max(ends)
                rows.append(tuple(Box(tuple(lo), tuple(hi)) for lo, hi in (cut, leaf)))
            out[member.ref] = rows
        return out

    def pin(self, piece: Piece) -> tuple[Vec, Vec]:
        """A point on the line it swings about, and the way of that line."""
        first, second = piece.member(self.first), piece.member(self.second)
        (y, z), (y2, z2) = _edges(first, second)
        other = first.placement.to_member(second.placement.to_piece((0.0, y2, z2)))
        return first.placement.to_piece((first.length_mm / 2, (y + other[1]) / 2, (z + other[2]) / 2)), first.placement.along

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        return {ref: tuple(cut for cut, _ in rows) for ref, rows in self._recesses(piece).items()}

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        first, second = piece.member(self.first), piece.member(self.second)
        (y, z), (y2, z2) = _edges(first, second)
        other = first.placement.to_member(second.placement.to_piece((0.0, y2, z2)))
        thick = max(PIN_MM, math.hypot(other[1] - y, other[2] - z) + 1.0)
        found = []
        for start in () if self.hidden else self._starts(first, second):
            pin = hole((start, (y + other[1]) / 2, (z + other[2]) / 2), (1.0, 0.0, 0.0), thick, self.hinge_mm)
            found.append(Part(f"hinge, {self.family}", piece.hinge_metal, first.placement.to_piece_block(pin)))
        for ref, rows in self._recesses(piece).items():
            for _, leaf in rows:
                found.append(Part(f"{'body' if self.hidden else 'leaf'} of a hinge, {self.family}", "steel" if self.hidden else piece.hinge_metal,
                                  piece.member(ref).placement.to_piece_block(leaf), not self.hidden, on=ref))
        return tuple(found)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        kind = "hidden hinge, let into both edges," if self.hidden else f"butt hinge, {piece.hinge_metal},"
        bought = (Hardware(f"{kind} {self.hinge_mm:g} mm, with screws", int(self.count)),)
        if self.stays:
            bought += (Hardware("lid stay, holds at any angle, with screws", self.stays),)
        # Hinges let a door stand where it is pushed; a lid lies shut by its weight.
        return bought + ((Hardware("catch that keeps a door shut, ball or magnet", 1),) if "door" in self.family else ())

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        """The pins on their line; hidden hinges between the two edges; stays, whose place no form says."""
        first, second = piece.member(self.first), piece.member(self.second)
        p, along = self.pin(piece)
        # The pin faces away from both members: the way that the edges have in common.
        k = 3 - self._towards(first, second)[0]
        at = _edges(first, second)[0][k - 1]
        way = first.placement.turn(tuple((1.0 if at > 0.0 else -1.0) * float(i == k) for i in range(3)))
        found = []
        for start in self._starts(first, second):
            by = start + self.hinge_mm / 2 - first.length_mm / 2
            out = PIN_MM / 2 + 2.0
            found.append(Metal("hinge", tuple(q + by * a + out * w for q, a, w in zip(p, along, way)), way, bool(self.hidden)))
        return (*found, *(Metal("lid stay", p, way, True, known=False) for _ in range(self.stays)))

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        return hinges_hold(back(self.entry(piece)), piece.member(self.first).placement.along, second, self.count)

    def entry(self, piece: Piece) -> Vec | None:
        first, second = piece.member(self.first), piece.member(self.second)
        if first.placement.square and second.placement.square:
            # Off the side on which the one lies beside the other: a door to the front, a lid upwards, a leaf sideways.
            a, b = first.piece_box, second.piece_box
            apart = [max(b.lo[k] - a.hi[k], a.lo[k] - b.hi[k]) for k in range(3)]
            k = max(range(3), key=apart.__getitem__)
            return tuple((1.0 if b.centre[k] > a.centre[k] else -1.0) * float(i == k) + 0.0 for i in range(3))
        way = tuple(b - a for a, b in zip(_middle(first), _middle(second)))
        return tuple(c / math.sqrt(dot(way, way)) for c in way)

    def findings(self, piece: Piece) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        long = min(first.length_mm, second.length_mm)
        few = long > 1200 and self.count < 3
        return [Finding(
            f"{first.name} to {second.name}", "hinges", Verdict.LOOK_AGAIN if few else Verdict.STANDS,
            f"{int(self.count)} hinges on {long:.0f} mm", rule="three hinges over 1200 mm, two below", source=PRACTICE,
            mend="Give it a third hinge." if few else "", stage="joints", refs=(first.ref, second.ref),
        )]

    def operations(self, piece: Piece) -> list[Operation]:
        fitted = [Operation("fit a hidden hinge" if self.hidden else "fit a hinge", int(self.count), "hinge", f"{self.hinge_mm:g}")]
        return fitted + ([Operation("fit a lid stay", self.stays, "stay", "")] if self.stays else [])

    def setting_out(self, piece: Piece) -> dict[str, str]:
        starts = self._starts(piece.member(self.first), piece.member(self.second))
        leaf = next(iter(self._recesses(piece).values()))[0][1]
        deep, wide = (HIDDEN_DEEP_MM, HIDDEN_WIDE_MM) if self.hidden else sorted(h - l for l, h in zip(leaf.lo[1:], leaf.hi[1:]))
        out = {
            f"hinges from the {_first_end(piece.member(self.first))} end": ", ".join(mm(s) for s in starts) + ", to the near end of each",
            "mortise in each edge" if self.hidden else "recess for each leaf": f"{self.hinge_mm:g} long x {mm(wide)} wide x {mm(deep)} deep; check it against the hinge "
            "bought",
        }
        if self.stays:
            out["lid stays"] = (f"{self.stays}, " + ("inside the left end" if self.stays == 1 else "inside either end")
                                + f"; set to stop the lid {STOP_DEG:.0f} degrees short of upright")
        return out


def _first_end(member: Member) -> str:
    """By which end a member's own start is called as it stands."""
    along = member.placement.along
    axis = max(range(3), key=lambda k: abs(along[k]))
    return (("left", "right"), ("front", "back"), ("lower", "upper"))[axis][along[axis] < 0]


def _middle(member: Member) -> Vec:
    return member.placement.to_piece(tuple(c / 2 for c in member.box.hi))


def _along(first: Member, second: Member) -> tuple[float, float]:
    ends = [first.placement.to_member(second.placement.to_piece((x, 0.0, 0.0)))[0] for x in (0.0, second.length_mm)]
    return min(ends), max(ends)


def _edges(first: Member, second: Member) -> tuple[tuple[float, float], tuple[float, float]]:
    """The long edge of either member that comes nearest to the other, as (y, z) in its own section."""
    if abs(abs(dot(first.placement.along, second.placement.along)) - 1) > 1e-6:
        raise ValueError(f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not run alike, so no hinge joins them.")
    low, high = _along(first, second)
    best = None
    for y in (0.0, first.width_mm):
        for z in (0.0, first.thickness_mm):
            for y2 in (0.0, second.width_mm):
                for z2 in (0.0, second.thickness_mm):
                    p = first.placement.to_member(second.placement.to_piece((0.0, y2, z2)))
                    away = math.hypot(p[1] - y, p[2] - z)
                    if best is None or away < best[0] - 1e-6:
                        best = (away, (y, z), (y2, z2))
    if best[0] > NEAR_MM or min(high, first.length_mm) - max(low, 0.0) < 40:
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) come no nearer than {best[0]:.0f} mm edge to edge; "
            f"hinges want {NEAR_MM:g} mm or less, over 40 mm or more of length. Move one to the other."
        )
    return best[1], best[2]
