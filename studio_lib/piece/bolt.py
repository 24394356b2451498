"""Knock-down bolt: through one member into the end of another, drawn up by a barrel nut across it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.facing import Facing, facing
from studio_lib.piece.holding import BOLT_MPA, FASTENER, STEEL_GAMMA, Holds, Strengths, Way, back, dowels_hold, least
from studio_lib.piece.model import Block, Hardware, Joint, Member, Metal, Operation, Part, Piece, Vec, hole
from studio_lib.units import mm, tenths

PRACTICE = "common practice, no source"
BARREL_MM = {6.0: 10.0, 8.0: 12.0, 10.0: 16.0}
"""Diameter of the barrel nut by thread; common sizes of the trade, no source."""
BORE_OVER_MM = 1.0
"""The bolt's hole over its thread; common practice, no source."""
WALL_MM = 3.0
NUT_FROM_END_MM = 35.0
NUT_LEAST_MM = 25.0
NUT_SOURCE = "published pull-out tests: best from 25 mm (strand board) to 38 mm (plywood) from the end; none found for solid timber"
EDGE_D = 3.0
PAST_NUT_MM = 12.0
UNDER_HEAD_MM = 10.0
DOWEL_IN_MM = 25.0
HEAD_HIGH = 0.6
"""Height of the head over the thread's diameter."""
NUT_LONG = 1.6
"""Length of the barrel nut over its diameter."""
CAP_MM = 4.0
"""Depth of a cap over a head or nut; common practice, no source."""


@dataclass(frozen=True)
class KnockDownBolt(Joint):
    """The end of ``first`` drawn onto a face of ``second``; comes apart with a key."""

    kind = "bolt and barrel nut"
    dry = True
    turns = True
    lets = "come apart"
    changeable = {
        "count": "Bolts", "bolt_mm": "Thread (6, 8 or 10), mm", "nut_from_end_mm": "Nut from the end, mm",
        "head_in_mm": "Head set in by, mm", "dowels": "Dowels against turning", "dowel_mm": "Dowel diameter, mm",
        "capped": "Capped with the same timber, 1 or 0",
    }

    count: float = 1.0
    bolt_mm: float = 6.0
    nut_from_end_mm: float = NUT_FROM_END_MM
    head_in_mm: float = 0.0
    dowels: float = 1.0
    dowel_mm: float = 8.0
    capped: float = 0.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> KnockDownBolt:
        family, own = family or f"{first.role} into {second.role}", own or {}
        met = _met(first, second)
        wide, thick, far = met.hi[1] - met.lo[1], met.hi[2] - met.lo[2], met.far_mm
        bolt = own.get("bolt_mm", 8.0 if thick >= 35 and wide >= 60 else 6.0)
        if bolt not in BARREL_MM:
            raise ValueError(f"{family}: a thread of {bolt:g} mm is not made with a barrel nut; give 6, 8 or 10.")
        nut = BARREL_MM[bolt]
        if thick < nut + 2 * WALL_MM or wide < nut + 2 * WALL_MM:
            raise ValueError(
                f"{family}: {first.name} is {wide:g} x {thick:g} mm where it meets {second.name}; a barrel nut of {nut:g} mm needs "
                f"{nut + 2 * WALL_MM:g} mm each way. A thicker member" + (", or a thinner bolt." if bolt > 6 else ", or another joint.")
            )
        if far < UNDER_HEAD_MM:
            raise ValueError(f"{family}: {second.name} is {far:g} mm deep; under a bolt's head {UNDER_HEAD_MM:g} mm are needed.")
        if first.length_mm < 2 * nut + 2 * WALL_MM + PAST_NUT_MM:
            raise ValueError(
                f"{family}: {first.name} is {first.length_mm:g} mm long; bolt and nut need "
                f"{2 * nut + 2 * WALL_MM + PAST_NUT_MM:g} mm."
            )
        most = max(1, int(wide / (nut + WALL_MM)))
        count = own.get("count", 2.0 if wide >= 100 and most >= 2 else 1.0)
        _whole(family, cls, "count", count, 1, min(most, 3))
        dowels = own.get("dowels", float(min(1, most - 1)) if count == 1 else 0.0)
        _whole(family, cls, "dowels", dowels, 0, max(min(most - int(count), 2), 0))
        from_end = own.get("nut_from_end_mm", min(NUT_FROM_END_MM, first.length_mm - nut - PAST_NUT_MM))
        _within(family, cls, "nut_from_end_mm", from_end, nut / 2 + WALL_MM, max(first.length_mm - nut / 2 - PAST_NUT_MM, nut / 2 + WALL_MM))
        capped = bool(own.get("capped", 0.0))
        over_head = HEAD_HIGH * bolt + CAP_MM if capped else 0.0
        if capped and far < over_head + UNDER_HEAD_MM:
            raise ValueError(f"{family}: {second.name} is {far:g} mm deep; head, cap and what lies under them need {over_head + UNDER_HEAD_MM:g} mm.")
        deep = own.get("head_in_mm", max(min(0.8 * bolt, far - UNDER_HEAD_MM), over_head))
        _within(family, cls, "head_in_mm", deep, over_head, far - UNDER_HEAD_MM)
        dowel = own.get("dowel_mm", float(min(8, max(5, int(thick / 3)))))
        _within(family, cls, "dowel_mm", dowel, 4.0, min(thick - 2 * WALL_MM, 16.0))
        made = cls(family, first.ref, second.ref, count, bolt, from_end, deep, dowels, dowel, 1.0 if capped else 0.0)
        if capped and made._nut_low_mm(first) < CAP_MM:
            raise ValueError(
                f"{family}: {first.name} is {first.thickness_mm:g} mm thick, which leaves {made._nut_low_mm(first):.0f} mm over the barrel nut; "
                f"a cap needs {CAP_MM:g} mm. A thicker member, or a thinner bolt."
            )
        return made

    # ---- geometry, in the first member's axes

    def _facing(self, piece: Piece) -> Facing:
        return _met(piece.member(self.first), piece.member(self.second))

    def _points(self, met: Facing) -> tuple[list[Vec], list[Vec]]:
        """Where bolts and dowels pass from one member to the other, spread over the end's width."""
        n, b = int(self.count + self.dowels), int(self.count)
        order = sorted(range(n), key=lambda k: (k % 2, k)) if b >= self.dowels else sorted(range(n), key=lambda k: (1 - k % 2, k))
        x = met.hi[0] if met.sign < 0 else met.lo[0]
        z = (met.lo[2] + met.hi[2]) / 2
        spots = [(x, met.lo[1] + (met.hi[1] - met.lo[1]) * (k + 0.5) / n, z) for k in range(n)]
        return [spots[k] for k in sorted(order[:b])], [spots[k] for k in sorted(order[b:])]

    @property
    def nut_mm(self) -> float:
        return BARREL_MM[self.bolt_mm]

    @property
    def head_mm(self) -> tuple[float, float]:
        """Diameter and height of the head. [mm]"""
        return 2.0 * self.bolt_mm, HEAD_HIGH * self.bolt_mm

    def bolt_length_mm(self, piece: Piece) -> float:
        """Under its head to past the nut, by tens. [mm]"""
        grip = self._facing(piece).far_mm - self.head_in_mm + self.nut_from_end_mm + self.nut_mm / 2
        return math.ceil(grip / 10 - 1e-9) * 10.0

    def _nut_deep_mm(self, first: Member) -> float:
        """Depth of the nut's hole from the back of the member. [mm]"""
        return min(first.thickness_mm / 2 + self.nut_mm / 2 + 2.0, first.thickness_mm - WALL_MM)

    def _nut_low_mm(self, first: Member) -> float:
        """From the back of the member to the nut in its hole. [mm]"""
        return max(self._nut_deep_mm(first) - NUT_LONG * self.nut_mm, 0.0)

    def _dowel_in_mm(self, far: float, first: Member) -> tuple[float, float]:
        return min(DOWEL_IN_MM, first.length_mm / 3), min(DOWEL_IN_MM, far - 5.0)

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        out, back = met.way, tuple(-c for c in met.way)
        bolts, dowels = self._points(met)
        bore, far = self.bolt_mm + BORE_OVER_MM, met.far_mm
        inside, outside = [], []
        deep = min(self.bolt_length_mm(piece) - (far - self.head_in_mm) + 2.0, first.length_mm - 2.0)
        for point in bolts:
            inside.append(hole(point, back, bore, max(deep, self.nut_from_end_mm + self.nut_mm / 2)))
            nut = (point[0] + self.nut_from_end_mm * back[0], point[1], -1.0)
            inside.append(hole(nut, (0.0, 0.0, 1.0), self.nut_mm, self._nut_deep_mm(first) + 1.0))
            outside.append(hole(point, out, bore, far + 1.0))
            if self.head_in_mm:
                head = tuple(p + (far + 1.0) * w for p, w in zip(point, out))
                outside.append(hole(head, back, self.head_mm[0] + BORE_OVER_MM, self.head_in_mm + 1.0))
        for point in dowels:
            a, b = self._dowel_in_mm(far, first)
            inside.append(hole(point, back, self.dowel_mm, a + 1.0))
            outside.append(hole(point, out, self.dowel_mm, b + 1.0))
        carried = (second.placement.to_member_block(first.placement.to_piece_block(h)) for h in outside)
        return {self.first: tuple(inside), self.second: tuple(carried)}

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        first = piece.member(self.first)
        met = self._facing(piece)
        out, back = met.way, tuple(-c for c in met.way)
        bolts, dowels = self._points(met)
        wide, high = self.head_mm
        found = []

        def part(name, material, block, seen):
            found.append(Part(f"{name}, {self.family}", material, first.placement.to_piece_block(block), seen))

        for point in bolts:
            under = tuple(p + (met.far_mm - self.head_in_mm) * w for p, w in zip(point, out))
            part("bolt", piece.metal, hole(under, back, self.bolt_mm, self.bolt_length_mm(piece)), False)
            part("head of a bolt", piece.metal, hole(under, out, wide, high), not self.capped)
            nut = (point[0] + self.nut_from_end_mm * back[0], point[1], self._nut_low_mm(first))
            part("barrel nut", piece.metal, hole(nut, (0.0, 0.0, 1.0), self.nut_mm, self._nut_deep_mm(first) - nut[2]), not self.capped)
            if self.capped:
                top = tuple(p + met.far_mm * w for p, w in zip(point, out))
                part("cap over a bolt", piece.member(self.second).timber, hole(top, back, wide + BORE_OVER_MM, CAP_MM), True)
                part("cap over a nut", first.timber, hole((nut[0], nut[1], 0.0), (0.0, 0.0, 1.0), self.nut_mm, CAP_MM), True)
        for point in dowels:
            a, b = self._dowel_in_mm(met.far_mm, first)
            start = tuple(p - a * w for p, w in zip(point, out))
            part("dowel", first.timber, hole(start, out, self.dowel_mm, a + b), False)
        return tuple(found)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        n = int(self.count)
        bought = [
            Hardware(f"joint bolt, {piece.metal}, M{self.bolt_mm:g} x {self.bolt_length_mm(piece):g}, socket head", n),
            Hardware(f"barrel nut, {piece.metal}, M{self.bolt_mm:g}, {self.nut_mm:g} mm", n),
            Hardware(f"washer, {piece.metal}, M{self.bolt_mm:g}", n),
        ]
        if self.dowels:
            bought.append(Hardware(f"dowel, hardwood, fluted, {self.dowel_mm:g} mm", int(self.dowels)))
        if self.capped:
            bought.append(Hardware(f"plug, of the same timber, {self.head_mm[0] + BORE_OVER_MM:g} and {self.nut_mm:g} mm, not glued", 2 * n))
        return tuple(bought)

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        first, met, closed = piece.member(self.first), self._facing(piece), bool(self.capped)
        out, found = met.way, []
        for point in self._points(met)[0]:
            head = tuple(p + (met.far_mm + 2.0) * w for p, w in zip(point, out))
            nut = (point[0] - self.nut_from_end_mm * out[0], point[1], -2.0)
            for what, at, way in (("bolt head", head, out), ("barrel nut", nut, (0.0, 0.0, -1.0))):
                found.append(Metal(what, first.placement.to_piece(at), first.placement.turn(way), closed))
        return tuple(found)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        """The nut bears on end grain, the head's washer on face grain (three times its crushing, EN 1995-1-1 8.5.2)."""
        rail, met = piece.member(self.first), self._facing(piece)
        thick, washer = self._nut_deep_mm(rail) * 2 / 3, 2.2 * self.bolt_mm
        stress = 0.785 * self.bolt_mm**2 * 0.75
        one = least(
            (0.9 * BOLT_MPA * stress / STEEL_GAMMA, "the bolt tearing"),
            (self.nut_mm * thick * first.end, "the nut crushing the end grain"),
            (2 * first.shear * thick * self.nut_from_end_mm, "the timber shearing out behind the nut"),
            (3 * second.crushing * 0.785 * (washer**2 - (self.bolt_mm + BORE_OVER_MM) ** 2), "the washer sinking in"),
        )
        bolts, dowels = self._points(met)
        pins = sorted(p[1] - met.lo[1] for p in bolts)
        out = rail.placement.turn(back(met.way))
        width, high = met.hi[1] - met.lo[1], met.hi[2] - met.lo[2]
        a, _ = self._dowel_in_mm(met.far_mm, rail)
        found = dowels_hold(out, rail.placement.across, tuple(pins), width, high, self.bolt_mm, self.nut_from_end_mm, met.far_mm - self.head_in_mm,
                            first, second, one.most, one.by, FASTENER)
        beside = self.dowels * self.dowel_mm * a * min(first.crushing, second.crushing) / 2
        more = Way(found.slide_wide.most + beside, found.slide_wide.by)
        lever = [abs(b[1] - d[1]) for b in bolts for d in dowels]
        twist = Way(max(found.twist.most if self.count > 1 else 0.0, beside * max(lever, default=0.0)), "bolt and dowel bedding in") \
            if self.count + self.dowels > 1 else None
        return replace(found, slide_wide=more, slide_thin=more, twist=twist)

    def entry(self, piece: Piece) -> Vec | None:
        return piece.member(self.first).placement.turn(self._facing(piece).way)

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        end = "end" if self._facing(piece).sign > 0 else "start"
        return {self.first: {end: f"bored {self.bolt_mm + BORE_OVER_MM:g} for {int(self.count)} bolt{'s' if self.count > 1 else ''}"}}

    # ---- what is said of it

    def findings(self, piece: Piece) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        where, refs = f"{first.name} into {second.name}", (first.ref, second.ref)
        met = self._facing(piece)
        bolts, _ = self._points(met)
        near = self.nut_from_end_mm < NUT_LEAST_MM
        found = [
            Finding(
                where, "nut from the end", Verdict.LOOK_AGAIN if near else Verdict.STANDS,
                f"{self.nut_from_end_mm:.0f} mm of timber before the nut, {NUT_LEAST_MM:.0f} mm or more", NUT_LEAST_MM, self.nut_from_end_mm, "mm",
                "25 mm or more between the end and the nut, so that it does not shear out", NUT_SOURCE,
                "Set the nut 35 mm from the end." if near else "", "joints", refs,
            )
        ]
        edge = min(min(p[1], first.width_mm - p[1], p[2], first.thickness_mm - p[2]) for p in bolts)
        low = EDGE_D * self.bolt_mm
        found.append(Finding(
            where, "edge distance", Verdict.STANDS if edge >= low - 1e-6 else Verdict.LOOK_AGAIN,
            f"{edge:.0f} mm from the bolt's middle to the nearest edge, at least {low:.0f} mm", low, max(edge, 0.01), "mm",
            "3 diameters from an unloaded edge", "EN 1995-1-1 table 8.4, from memory", "" if edge >= low - 1e-6 else "A thinner bolt, or a thicker member.",
            "joints", refs,
        ))
        turns = self.count + self.dowels < 2
        found.append(Finding(
            where, "turning", Verdict.LOOK_AGAIN if turns else Verdict.STANDS,
            "one bolt lets the member turn on it" if turns else f"{int(self.count)} bolt and {int(self.dowels)} dowel hold it from turning"
            if self.count == 1 else f"{int(self.count)} bolts hold it from turning",
            rule="a bolted end is held at two points", source=PRACTICE, mend="Add a dowel beside the bolt." if turns else "",
            stage="joints", refs=refs,
        ))
        wood = self.shrinks_under(piece)
        if wood:
            found.append(Finding(
                where, "loosening", Verdict.LOOK_AGAIN, wood, rule="a bolt through timber loosens as the timber shrinks",
                source=PRACTICE, mend="Leave the heads where a key reaches them and say in the care sheet to tighten after the first heating season.",
                stage="joints", refs=refs,
            ))
        return found

    def shrinks_under(self, piece: Piece) -> str:
        """What shrinks under the bolt's head across the grain, in words; empty where the bolt runs along it."""
        far = self._facing(piece).far_mm
        return f"{far:.0f} mm of timber across the grain under the head: it wants tightening once it has dried" if far > 60 else ""

    def operations(self, piece: Piece) -> list[Operation]:
        done = [Operation("bore and fit a joint bolt", int(self.count), "bolt", f"{self.bolt_mm:g}")]
        if self.dowels:
            done.append(Operation("bore for a locating dowel", int(self.dowels), "dowel", f"{self.dowel_mm:g}"))
        if self.capped:
            done.append(Operation("cut and fit plugs over screws", 2 * int(self.count), "plug", f"{self.head_mm[0]:g}"))
        return done

    def setting_out(self, piece: Piece) -> dict[str, str]:
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        bolts, dowels = self._points(met)
        out = {
            "bolts from the lower edge": ", ".join(tenths(p[1]) for p in bolts),
            "bore": f"{self.bolt_mm + BORE_OVER_MM:g} through {second.role}, {mm(self.bolt_length_mm(piece) - met.far_mm + self.head_in_mm + 2)} deep in the end of {first.role}",
            "nut": f"{self.nut_mm:g} hole, {mm(self.nut_from_end_mm)} from the end, {mm(self._nut_deep_mm(first))} deep from the back",
        }
        if self.head_in_mm:
            out["head set in"] = f"{self.head_mm[0] + BORE_OVER_MM:g} wide x {tenths(self.head_in_mm)} deep"
        if self.capped:
            out["caps"] = f"{CAP_MM:g} deep over head and nut, pushed in and not glued: the bolt wants tightening"
        if self.dowels:
            a, b = self._dowel_in_mm(met.far_mm, first)
            out["dowels"] = f"{self.dowel_mm:g}, at {', '.join(tenths(p[1]) for p in dowels)}; {mm(a + 1)} deep in the end, {mm(b + 1)} in {second.role}"
        return out


def _met(first: Member, second: Member) -> Facing:
    met = facing(first, second)
    if met is None or met.axis != 0:
        raise ValueError(
            f"{first.name} ({first.ref}) does not end square on a face of {second.name} ({second.ref}), so no bolt can draw its end up. "
            "Move or lengthen it until it does, or bolt the other one to it."
        )
    return met


def _within(family: str, kind, name: str, value: float, low: float, high: float) -> None:
    if not low - 1e-9 <= value <= high + 1e-9:
        what = kind.changeable[name].partition(",")[0].lower()
        raise ValueError(f"{family}: {what} is {value:g} mm; give {low:g} to {max(high, low):g} mm.")


def _whole(family: str, kind, name: str, value: float, low: int, high: int) -> None:
    if value != int(value) or not low <= value <= high:
        what = kind.changeable[name].lower()
        raise ValueError(f"{family}: {what}: {value:g}; give {low} to {high}, a whole number.")
