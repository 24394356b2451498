"""Dowels: the end of one member held on another by pins bored into both."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, back, dowels_hold
from studio_lib.piece.meeting import axis_of, given, named, seen_from
from studio_lib.piece.model import Block, Hardware, Joint, Member, Operation, Part, Piece, Prism, Season, Vec, hole
from studio_lib.piece.mortise_tenon import LEAST_WALL_MM, meeting_end
from studio_lib.timber.provisions import GLUE_SAFE_MM, cross_grain_glue
from studio_lib.units import tenths

DIAMETERS_MM = (5.0, 6.0, 8.0, 10.0, 12.0, 16.0)
THICK = "BioResources 14(1):1127: a third to a half of the thickness, both ends tested by Zaborsky"
DEEP = "workshop books: about three diameters each side; two thirds in end grain, one third in the face"
GLUE_ROOM_MM = 1.0
"""Left beyond each end of a dowel for glue; Elvrum, Dowel depth."""
APART_IN_DIAMETERS = 3.0
"""Least spacing, middle to middle; common practice, no source."""
OVER_MM = 1.0
FAR_APART_MM = 120.0
"""One more dowel for about each such part of the width; common practice, no source."""


@dataclass(frozen=True)
class Dowelled(Joint):
    """A row of dowels between the end of ``first`` and the face or edge of ``second``."""

    kind = "dowels"
    by_glue_alone = True
    lies = "row"
    changeable = {
        "count": "Dowels", "diameter_mm": "Diameter, mm", "into_end_mm": "Into the end, mm", "into_face_mm": "Into the face, mm",
        "clear_mm": "Kept free of dowels at the far edge, mm",
    }

    end: str = "start"
    count: float = 2
    diameter_mm: float = 8.0
    into_end_mm: float = 30.0
    into_face_mm: float = 15.0
    clear_mm: float = 0.0
    """Of the end's width, at the edge furthest across, where other holes come."""

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Dowelled:
        family = family or f"{first.role} on {second.role}"
        end = meeting_end(first, second)
        axis = axis_of(second, first.placement.along)
        if axis == 0:
            raise ValueError(
                f"{named(first)} and {named(second)} meet end to end; dowels in end grain against end grain hold nothing. "
                "Use a scarf, or one longer member."
            )
        deep = second.box.hi[axis]
        low, high = _shared(first, second, end, 1)
        zlow, zhigh = _shared(first, second, end, 2)
        thick = zhigh - zlow
        low, high = _held(first, second, low, high)
        free = max(high - low - 2 * DIAMETERS_MM[0], 0.0)
        clear = min((own or {}).get("clear_mm", 0.0), free)
        wide = high - low - clear
        most = max((d for d in DIAMETERS_MM if d <= min(thick, wide) / 2 + 1e-9), default=0.0)
        room = deep - LEAST_WALL_MM - GLUE_ROOM_MM
        if most == 0.0 or wide < 2 * DIAMETERS_MM[0] or room < 5.0:
            raise ValueError(
                f"{named(first)} meets {named(second)} on {wide:.0f} x {thick:.0f} mm, {deep:.0f} mm deep: the smallest dowel, "
                f"{DIAMETERS_MM[0]:g} mm, needs {2 * DIAMETERS_MM[0]:g} x {2 * DIAMETERS_MM[0]:g} mm and "
                f"{5 + LEAST_WALL_MM + GLUE_ROOM_MM:g} mm. A thicker member, or screws."
            )
        limits = {
            "diameter_mm": (DIAMETERS_MM[0], min(thick, wide) - 4.0), "into_face_mm": (5.0, room), "count": (1, 40),
            "into_end_mm": (5.0, first.length_mm / 2 - 2.0), "clear_mm": (0.0, free),
        }
        figures = given(cls.kind, family, own, limits, cls.changeable, ("count",))
        diameter = figures.get("diameter_mm", min(most, max(
            (d for d in DIAMETERS_MM if d <= 0.45 * thick), default=DIAMETERS_MM[0])))
        into_face = figures.get("into_face_mm", math.floor(min(2 * diameter, room)))
        into_end = figures.get("into_end_mm", math.floor(min(4 * diameter, first.length_mm / 2 - 2.0)))
        fits = max(int((wide - 2 * diameter) / (APART_IN_DIAMETERS * diameter) + 1e-9) + 1, 1)
        count = figures.get("count", min(max(2, round(wide / FAR_APART_MM) + 1), fits))
        if count > fits:
            raise ValueError(
                f"{family}: {count:g} dowels of {diameter:g} mm do not fit in {wide:.0f} mm, "
                f"{APART_IN_DIAMETERS:g} diameters apart; give {fits} or fewer, or thinner ones."
            )
        return cls(family, first.ref, second.ref, end, int(count), diameter, into_end, into_face, clear)

    def _places(self, piece: Piece) -> list[Vec]:
        """The middle of each dowel at the joint, in piece axes."""
        first, second = piece.member(self.first), piece.member(self.second)
        y0, y1 = _shared(first, second, self.end, 1)
        z0, z1 = _shared(first, second, self.end, 2)
        x = 0.0 if self.end == "start" else first.length_mm
        y0, y1 = _held(first, second, y0, y1)
        y1 -= self.clear_mm
        n, edge = int(self.count), max(self.diameter_mm, min((y1 - y0) / (2 * self.count), 2.5 * self.diameter_mm))
        if n > 1:
            edge = max(min(edge, (y1 - y0 - (n - 1) * APART_IN_DIAMETERS * self.diameter_mm) / 2), self.diameter_mm)
        places = [(y0 + y1) / 2] if n == 1 else [y0 + edge + (y1 - y0 - 2 * edge) * k / (n - 1) for k in range(n)]
        return [first.placement.to_piece((x, y, (z0 + z1) / 2)) for y in places]

    def _pins(self, piece: Piece) -> list[Prism]:
        way = self.entry(piece)
        out = []
        for at in self._places(piece):
            start = tuple(a - self.into_end_mm * w for a, w in zip(at, way))
            out.append(hole(start, way, self.diameter_mm, self.into_end_mm + self.into_face_mm))
        return out

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        first, second = piece.member(self.first), piece.member(self.second)
        way, d = self.entry(piece), self.diameter_mm
        back = tuple(-w for w in way)
        places = self._places(piece)
        # Each begins a little outside its own timber, so that no skin is left.
        ends = [hole(_gone(at, way, OVER_MM), back, d, self.into_end_mm + GLUE_ROOM_MM + OVER_MM, few=True) for at in places]
        faces = [hole(_gone(at, back, OVER_MM), way, d, self.into_face_mm + GLUE_ROOM_MM + OVER_MM, few=True) for at in places]
        return {
            self.first: tuple(first.placement.to_member_block(h) for h in ends),
            self.second: tuple(second.placement.to_member_block(h) for h in faces),
        }

    def entry(self, piece: Piece) -> Vec | None:
        sign = -1.0 if self.end == "start" else 1.0
        return tuple(sign * c + 0.0 for c in piece.member(self.first).placement.along)

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        return tuple(Part(f"dowel, {self.family}", piece.member(self.first).timber, p, False) for p in self._pins(piece))

    def seen_parts(self, piece: Piece) -> tuple[Part, ...]:
        return ()

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        return (Hardware(f"dowel, beech, fluted, {self.diameter_mm:g} x {self.into_end_mm + self.into_face_mm:g} mm", int(self.count)),)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        rail, post = piece.member(self.first), piece.member(self.second)
        (y0, y1), (z0, z1) = _shared(rail, post, self.end, 1), _shared(rail, post, self.end, 2)
        at = tuple(rail.placement.to_member(p)[1] - y0 for p in self._places(piece))
        return dowels_hold(back(self.entry(piece)), rail.placement.across, at, y1 - y0, z1 - z0, self.diameter_mm,
                           self.into_end_mm, self.into_face_mm, first, second)

    def glued_area_mm2(self, piece: Piece) -> float:
        return self.count * math.pi * self.diameter_mm * self.into_end_mm

    def findings(self, piece: Piece) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        z0, z1 = _shared(first, second, self.end, 2)
        thick, d = z1 - z0, self.diameter_mm
        where, refs = f"{first.name} on {second.name}", (first.ref, second.ref)
        good = thick / 3 - 1.0 <= d <= thick / 2 + 1e-6
        total = self.into_end_mm + self.into_face_mm
        long = 0.9 * 4 * d <= total
        return [
            Finding(
                where, "dowel diameter", Verdict.STANDS if good else Verdict.LOOK_AGAIN,
                f"{d:g} mm in {thick:g} mm, {thick / 3:.1f} to {thick / 2:.1f} mm usual", d, thick / 2, "mm",
                "a third to a half of the thickness", THICK, "" if good else f"Dowels of about {0.4 * thick:.0f} mm.", "joints", refs,
            ),
            Finding(
                where, "dowel length", Verdict.STANDS if long else Verdict.LOOK_AGAIN,
                f"{total:g} mm, {self.into_end_mm:g} mm of it in the end: {total / d:.1f} diameters in all", 4 * d, total, "mm",
                "four to six diameters in all", DEEP, "" if long else "Thinner dowels, or a thicker member to bore into.",
                "joints", refs,
            ),
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        y0, y1 = _shared(first, second, self.end, 1)
        if axis_of(second, first.placement.across) != 0 or y1 - y0 <= GLUE_SAFE_MM:
            return []
        at = [first.placement.to_member(p)[1] for p in self._places(piece)]
        held = max(at) - min(at) + self.diameter_mm
        return list(cross_grain_glue(season.swing(first, held, "width"), f"{first.name} on {second.name}").findings)

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("bore and glue dowels", int(self.count), "dowel", f"{self.diameter_mm:g}")]

    def _dry(self, piece: Piece) -> str:
        first, second = piece.member(self.first), piece.member(self.second)
        whole = _shared(first, second, self.end, 1)
        return "" if _held(first, second, *whole) == whole else "; no glue beside them, so that its width can move"

    def setting_out(self, piece: Piece) -> dict[str, str]:
        first = piece.member(self.first)
        at = sorted(first.placement.to_member(p)[1] for p in self._places(piece))
        return {
            "dowels": f"{int(self.count)} of {self.diameter_mm:g} x {self.into_end_mm + self.into_face_mm:g}",
            f"middles from the lower edge of the {first.role}": ", ".join(tenths(y) for y in at) + self._dry(piece),
            "bore": f"{self.into_end_mm + GLUE_ROOM_MM:g} into the end, {self.into_face_mm + GLUE_ROOM_MM:g} into the other",
        }


def _held(first: Member, second: Member, low: float, high: float) -> tuple[float, float]:
    """Where dowels may stand across the end: its middle alone where it moves across the grain of the other. [mm]"""
    if axis_of(second, first.placement.across) != 0 or high - low <= GLUE_SAFE_MM:
        return low, high
    middle = (low + high) / 2
    return middle - GLUE_SAFE_MM / 2, middle + GLUE_SAFE_MM / 2


def _gone(at: Vec, way: Vec, far: float) -> Vec:
    return tuple(a + far * w for a, w in zip(at, way))


def _shared(first: Member, second: Member, end: str, axis: int) -> tuple[float, float]:
    """From and to, along an axis of ``first``, where its end lies on ``second``. [mm]"""
    seen = seen_from(second, first)
    return max(seen.lo[axis], 0.0), min(seen.hi[axis], first.box.hi[axis])
