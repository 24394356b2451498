"""Connecting bolts: two uprights side by side, drawn together by bolts right through both, as leaves of a screen are."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.facing import Facing, facing
from studio_lib.piece.holding import BOLT_MPA, FASTENER, STEEL_GAMMA, Holds, Strengths, back, dowels_hold, least
from studio_lib.piece.model import Block, Hardware, Joint, Member, Metal, Operation, Part, Piece, Vec, hole
from studio_lib.units import mm

PRACTICE = "common practice, no source"
BOLTS_MM = (6.0, 8.0, 10.0)
BORE_OVER_MM = 1.0
"""The hole over the thread; common practice, no source."""
END_MM = 150.0
"""Outer bolts from the ends of what they join; a proposal of ours."""
WASHER_D, WASHER_THICK_MM = 3.0, 2.0
"""Washers of three diameters: EN 1995-1-1 10.4.3."""
HEAD_HIGH, NUT_HIGH = 0.6, 0.8
"""Height of head and nut over the thread; common sizes of the trade, no source."""
EDGE_D = 3.0
WASHER_TIMES = 3.0
"""A washer presses three times what timber bears across its grain: EN 1995-1-1 8.5.2 (2)."""
STRESS_SHARE = 0.75
"""Area in the thread of that of the shank, about."""


@dataclass(frozen=True)
class ConnectingBolts(Joint):
    """``first`` and ``second`` lie side by side along their lengths; bolts go through both, a washer at either end."""

    kind = "connecting bolts"
    dry = True
    lets = "come apart"
    lies = "row"
    changeable = {"count": "Bolts", "bolt_mm": "Thread (6, 8 or 10), mm", "end_mm": "Outer bolts from the end, mm", "low_mm": "Lowest bolt from its end, 0 for as the highest, mm"}

    count: float = 3.0
    bolt_mm: float = 6.0
    end_mm: float = END_MM
    low_mm: float = 0.0
    """Of the first bolt from its own end, where that differs; 0: as the last."""

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> ConnectingBolts:
        family, own = family or f"{first.role} to {second.role}", own or {}
        met = _met(first, second)
        long, thick = (met.hi[k] - met.lo[k] for k in met.plane)
        bolt = own.get("bolt_mm", 8.0 if thick >= 2 * EDGE_D * 8.0 else 6.0)
        if bolt not in BOLTS_MM:
            raise ValueError(f"{family}: a connecting bolt of {bolt:g} mm is not sold; give 6, 8 or 10.")
        if thick < 2 * bolt:
            raise ValueError(f"{family}: {first.name} is {thick:g} mm thick where they meet; a bolt of {bolt:g} mm needs {2 * bolt:g} mm. Thicker uprights, or a thinner bolt.")
        count = own.get("count", 3.0 if long > 900 else 2.0)
        most = max(int(long / (8 * bolt)), 1)
        if count != int(count) or not 1 <= count <= most:
            raise ValueError(f"{family}: {count:g} bolts; give 1 to {most}, a whole number.")
        end = own.get("end_mm", min(END_MM, long / 4))
        if not 3 * bolt <= end <= long / 2:
            raise ValueError(f"{family}: the outer bolts are {end:g} mm from the end; give {3 * bolt:g} to {max(long / 2, 3 * bolt):g} mm.")
        low = own.get("low_mm", 0.0)
        if low and not 3 * bolt <= low <= long - end - 8 * bolt * (count - 1):
            raise ValueError(f"{family}: the lowest bolt is {low:g} mm from its end; give {3 * bolt:g} to {long - end - 8 * bolt * (count - 1):.0f} mm, or 0 for as the highest.")
        return cls(family, first.ref, second.ref, count, bolt, end, low)

    def _met(self, piece: Piece) -> Facing:
        return _met(piece.member(self.first), piece.member(self.second))

    def points(self, piece: Piece) -> list[Vec]:
        """Where each bolt passes from the first member to the second, in the first's own axes."""
        met, n = self._met(piece), int(self.count)
        run, thin = met.plane
        lo, hi = met.lo[run] + (self.low_mm or self.end_mm), met.hi[run] - self.end_mm
        out = []
        for k in range(n):
            point = [0.0, 0.0, 0.0]
            point[met.axis] = met.hi[met.axis] if met.sign < 0 else met.lo[met.axis]
            point[run] = lo + (hi - lo) * k / (n - 1) if n > 1 else (lo + hi) / 2
            point[thin] = (met.lo[thin] + met.hi[thin]) / 2
            out.append(tuple(point))
        return out

    def grip_mm(self, piece: Piece) -> float:
        """Timber between the washers. [mm]"""
        met = self._met(piece)
        return met.through_mm(piece.member(self.first)) + met.far_mm

    def bolt_length_mm(self, piece: Piece) -> float:
        """Under its head to past the nut, by tens. [mm]"""
        return math.ceil((self.grip_mm(piece) + 2 * WASHER_THICK_MM + (NUT_HIGH + 0.3) * self.bolt_mm) / 10 - 1e-9) * 10.0

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        first, second, met = piece.member(self.first), piece.member(self.second), self._met(piece)
        bore, away = self.bolt_mm + BORE_OVER_MM, tuple(-c for c in met.way)
        inside = tuple(hole(p, away, bore, met.through_mm(first) + 1.0) for p in self.points(piece))
        beyond = (hole(p, met.way, bore, met.far_mm + 1.0) for p in self.points(piece))
        return {self.first: inside, self.second: tuple(second.placement.to_member_block(first.placement.to_piece_block(h)) for h in beyond)}

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        first, met, found = piece.member(self.first), self._met(piece), []
        away, near = tuple(-c for c in met.way), met.through_mm(first)
        for p in self.points(piece):
            head, nut = (tuple(q + far * w for q, w in zip(p, way)) for far, way in ((near, away), (met.far_mm, met.way)))
            rows = (
                ("bolt", hole(head, met.way, self.bolt_mm, self.grip_mm(piece)), False),
                ("head and washer of a bolt", hole(head, away, WASHER_D * self.bolt_mm, HEAD_HIGH * self.bolt_mm + WASHER_THICK_MM), True),
                ("nut and washer of a bolt", hole(nut, met.way, WASHER_D * self.bolt_mm, NUT_HIGH * self.bolt_mm + WASHER_THICK_MM), True),
            )
            found += [Part(f"{name}, {self.family}", piece.metal, first.placement.to_piece_block(block), seen) for name, block, seen in rows]
        return tuple(found)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        n = int(self.count)
        return (
            Hardware(f"connecting bolt and nut, {piece.metal}, M{self.bolt_mm:g} x {self.bolt_length_mm(piece):g}", n),
            Hardware(f"washer, {piece.metal}, M{self.bolt_mm:g}, {WASHER_D * self.bolt_mm:g} mm", 2 * n),
        )

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        first, met, found = piece.member(self.first), self._met(piece), []
        away = tuple(-c for c in met.way)
        for p in self.points(piece):
            for what, far, way in (("bolt head", met.through_mm(first) + 2.0, away), ("nut", met.far_mm + 2.0, met.way)):
                found.append(Metal(what, first.placement.to_piece(tuple(q + far * w for q, w in zip(p, way))), first.placement.turn(way)))
        return tuple(found)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        """Each bolt by its steel and by its washer sinking in; the far edge of the uprights bears."""
        member, met = piece.member(self.first), self._met(piece)
        run, thin = met.plane
        washer = math.pi / 4 * ((WASHER_D * self.bolt_mm) ** 2 - (self.bolt_mm + BORE_OVER_MM) ** 2)
        one = least(
            (0.9 * BOLT_MPA * math.pi / 4 * self.bolt_mm**2 * STRESS_SHARE / STEEL_GAMMA, "the bolt tearing"),
            (WASHER_TIMES * min(first.crushing, second.crushing) * washer, "the washer sinking in"),
        )
        along = member.placement.turn(tuple(1.0 if k == run else 0.0 for k in range(3)))
        places = tuple(sorted(p[run] - met.lo[run] for p in self.points(piece)))
        return dowels_hold(
            member.placement.turn(back(met.way)), along, places, met.hi[run] - met.lo[run], met.hi[thin] - met.lo[thin], self.bolt_mm,
            met.through_mm(member), met.far_mm, first, second, one.most, one.by, FASTENER,
        )

    def entry(self, piece: Piece) -> Vec | None:
        return piece.member(self.first).placement.turn(self._met(piece).way)

    def findings(self, piece: Piece) -> list[Finding]:
        first, second, met = piece.member(self.first), piece.member(self.second), self._met(piece)
        run, thin = met.plane
        edge, low = (met.hi[thin] - met.lo[thin]) / 2, EDGE_D * self.bolt_mm
        good = edge >= low - 1e-6
        grip = self.grip_mm(piece)
        where, refs = f"{first.name} to {second.name}", (first.ref, second.ref)
        return [
            Finding(
                where, "edge distance", Verdict.STANDS if good else Verdict.LOOK_AGAIN,
                f"{edge:.0f} mm from the bolt's middle to the edge, at least {low:.0f} mm", low, max(edge, 0.01), "mm",
                "3 diameters from an unloaded edge", "EN 1995-1-1 table 8.4, from memory", "" if good else "A thinner bolt, or thicker uprights.", "joints", refs,
            ),
            Finding(
                where, "loosening", Verdict.LOOK_AGAIN, f"{grip:.0f} mm of timber across the grain between the washers: it wants tightening once it has dried",
                rule="a bolt through timber loosens as the timber shrinks", source=PRACTICE,
                mend="Leave heads and nuts where a key reaches them, and say in the care sheet to tighten them after the first dry season.", stage="joints", refs=refs,
            ),
        ]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("bore and fit a connecting bolt", int(self.count), "bolt", f"{self.bolt_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        met = self._met(piece)
        run, thin = met.plane
        return {
            "bolts along": ", ".join(mm(p[run]) for p in self.points(piece)),
            "bolts from the face": f"{mm((met.lo[thin] + met.hi[thin]) / 2)}; bored {self.bolt_mm + BORE_OVER_MM:g}, both uprights clamped together",
        }


def _met(first: Member, second: Member) -> Facing:
    met = facing(first, second)
    if met is None or met.axis == 0 or met.plane[0] != 0:
        raise ValueError(f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not lie side by side along their lengths, so no bolt joins them.")
    return met
