"""What holds a solid top down and lets it move: buttons in a groove, screws in slots."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, Way, back, least, screws_hold
from studio_lib.piece.model import (
    Block,
    Box,
    Hardware,
    Joint,
    Member,
    Metal,
    Operation,
    Part,
    Piece,
    Placement,
    Prism,
    Season,
    Vec,
    hole,
)
from studio_lib.piece.mortise_tenon import PRACTICE, cross, dot
from studio_lib.piece.outline import slot
from studio_lib.timber.provisions import slotted_fixing, top_on_buttons
from studio_lib.units import mm

EVERY_MM = 300.0
"""One fixing for so much of a rail; common practice, no source."""
FROM_EDGE_MM = 25.0
"""Least length of rail under the board for one fixing."""
TOUCH_MM = 1.0
LEAST_HOLD_MM = 3.0
"""Of a button's tongue that stays in its groove at the driest; common practice, no source."""
NOYES = "C. Noyes, Handwork in Wood, 1910: buttons in a groove hold a top best"


@dataclass(frozen=True)
class Seat:
    """Where a rail stands under a board, in piece axes."""

    down: Vec
    """From the board to the rail."""
    along: Vec
    """The rail's length."""
    inward: Vec
    """Square to both, to the side a button is on."""
    top: float
    """Height of the board's underside along ``down``. [mm]"""
    face: float
    """Where the rail's inner face lies along ``inward``. [mm]"""
    low: float
    high: float
    """The shared length along ``along``. [mm]"""
    deep: float
    """The rail's size along ``down``. [mm]"""
    thick: float
    """The rail's size along ``inward``. [mm]"""
    room: float
    """From the rail's inner face to the board's edge along ``inward``. [mm]"""

    def point(self, x: float, inward: float, down: float) -> Vec:
        """A point by its place along the rail, from its inner face inward, and below the board."""
        return tuple(
            x * a + (self.face + inward) * i + (self.top + down) * d for a, i,
            d in zip(self.along, self.inward, self.down)
        )


def _range(member: Member, way: Vec) -> tuple[float, float]:
    p = member.placement
    start = dot(p.origin, way)
    steps = [dot(axis, way) * size
        for axis, size in ((p.along, member.length_mm), (p.across, member.width_mm), (p.through, member.thickness_mm))]
    return start + sum(min(s, 0.0) for s in steps), start + sum(max(s, 0.0) for s in steps)


def seated(board: Member, rail: Member) -> Seat:
    """How a rail stands under a board. Raises ValueError, in words, where it does not."""
    names = f"{board.name} ({board.ref}) and {rail.name} ({rail.ref})"
    normal = board.placement.through
    middle = [dot(tuple(m.placement.to_piece((m.length_mm / 2, m.width_mm / 2, m.thickness_mm / 2))),
            normal) for m in (board, rail)]
    down = normal if middle[1] > middle[0] else tuple(-c for c in normal)
    along = rail.placement.along
    flat = [abs(dot(axis, down)) for axis in (rail.placement.across, rail.placement.through)]
    if max(flat) < 1 - 1e-6 or abs(dot(along, down)) > 1e-6:
        raise ValueError(f"{names}: the rail does not lie square under the board, so it cannot hold it down.")
    top, under = _range(board, down)[1], _range(rail, down)[0]
    if abs(top - under) > TOUCH_MM:
        raise ValueError(f"{names} are {abs(top - under):.0f} mm apart; a top is held down where it lies on a rail.")
    inward = cross(down, along)
    ahead, behind = _range(board, inward)[1] - _range(rail, inward)[1], _range(rail, inward)[0] - _range(board,
        inward)[0]
    towards_middle = -sum(_range(rail, inward)) / 2
    swap = behind > ahead if abs(towards_middle) < 1e-6 or min(ahead, behind) < 30 else towards_middle < 0
    if swap:
        inward, ahead = tuple(-c for c in inward), behind
    (a0, a1), (b0, b1) = _range(board, along), _range(rail, along)
    low, high = max(a0, b0), min(a1, b1)
    if high - low < FROM_EDGE_MM:
        raise ValueError(f"{names} share {max(high - low, 0):.0f} mm; a fixing needs {FROM_EDGE_MM:g} mm of rail "
            "under the board.")
    face = _range(rail, inward)[1]
    return Seat(
        down, along, inward, top, face, low, high, *(b - a for a, b in (_range(rail, down), _range(rail, inward))),
        ahead,
    )


def _lies(board: Member, seat: Seat) -> bool:
    """Whether the rail runs with the board's grain."""
    return abs(dot(board.placement.along, seat.along)) > 0.7


OUT_EACH_MM, IN_EACH_MM, SLIDES_EACH_MM = 0.037, 0.022, 0.026
"""Room for each mm of top between a fixing and its middle: out of a groove, deeper into it, along it; judgements of ours, over what oak
and ash move from making to the driest heated room and to the wettest under cover."""
LEFT_MM = 6.0
"""Left of a rail behind a deep groove; 4.5 mm at the least."""


@dataclass(frozen=True)
class TopFixing(Joint):
    """A top's board, ``first``, held down on a rail, ``second``."""

    count: float = 1.0

    @classmethod
    def _count(cls, names: str, seat: Seat, own: dict[str, float], wide: float) -> float:
        most = math.floor((seat.high - seat.low) / wide)
        count = own.get("count", float(max(1, min(round((seat.high - seat.low) / EVERY_MM), most))))
        if not 1 <= count <= max(most, 1) or count != int(count):
            raise ValueError(f"{names}: {count:g} fixings; give a whole number from 1 to {max(most, 1)}.")
        return count

    def seat(self, piece: Piece) -> Seat:
        return seated(piece.member(self.first), piece.member(self.second))

    def places(self, seat: Seat) -> list[float]:
        """The middle of each fixing along the rail. [mm]"""
        n = int(self.count)
        return [seat.low + (k + 0.5) * (seat.high - seat.low) / n for k in range(n)]

    def entry(self, piece: Piece) -> Vec | None:
        return tuple(c + 0.0 for c in self.seat(piece).down)

    def _from_middle_mm(self, piece: Piece, board: Member, seat: Seat) -> float:
        """How far the outermost fixing is from the middle of the top, across the grain. [mm]"""
        across = board.placement.across
        tops = [m for m in piece.members if m.role == board.role] or [board]
        ranges = [_range(m, across) for m in tops]
        middle = (min(r[0] for r in ranges) + max(r[1] for r in ranges)) / 2
        return max(max(abs(dot(seat.point(x, 0.0, 0.0), across) - middle) for x in self.places(seat)), 1.0)


DRAWN_MM = 0.5
"""So far a button stands off the top while its tongue meets the rail: its screw draws it up, and the top down; common practice, no source."""


@dataclass(frozen=True)
class Buttons(TopFixing):
    """Wooden buttons screwed to the top, their tongues in slots in the rail."""

    kind = "buttons"
    dry = True
    turns = True
    lies = "row"
    changeable = {
        "count": "Buttons, each board and rail", "tongue_mm": "Tongue in the slot, mm",
        "groove_mm": "Depth of the slot, mm",
        "slot_mm": "Length of the slot, mm",
    }

    tongue_mm: float = 8.0
    groove_mm: float = 14.0
    slot_mm: float = 32.0
    wide_mm: float = 30.0
    reach_mm: float = 32.0
    thick_mm: float = 18.0
    below_mm: float = 10.0
    """From the underside of the top to the slot."""
    screw_mm: float = 4.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Buttons:
        own = own or {}
        names = f"{first.name} ({first.ref}) and {second.name} ({second.ref})"
        seat = seated(first, second)
        wide = min(30.0, seat.high - seat.low - 4.0)
        reach = min(32.0, seat.room)
        if reach < 18:
            raise ValueError(
                f"{names}: the board runs {max(seat.room, 0):.0f} mm past the rail's inner face and a button needs 18 "
                "mm. "
                "Join the board that lies inside the rail, or use slotted screws."
            )
        if seat.deep < 24:
            raise ValueError(f"{names}: the rail is {seat.deep:.0f} mm deep; a slot for buttons needs 24 mm. Use "
                "slotted screws.")
        deepest = math.floor(0.65 * seat.thick)
        lies = _lies(first, seat)
        far = abs(sum(_range(second, first.placement.across)) / 2)
        # Along the grain a button is drawn out of its groove as the top shrinks, and goes deeper as it grows.
        out, further = (math.ceil(OUT_EACH_MM * far + 3.5), math.ceil(IN_EACH_MM * far)) if lies else (0, 0)
        groove = own.get("groove_mm", float(max(min(14, deepest), min(out + further, math.floor(seat.thick - LEFT_MM)))))
        tongue = own.get("tongue_mm", float(max(min(8.0, max(groove - 2.0, 4.0)), min(out, groove - further))))
        travel = 0.0 if lies else math.ceil(SLIDES_EACH_MM * max(far, abs(seat.high), abs(seat.low)) + 1)
        made = cls(
            family or f"{first.role} on {second.role}", first.ref, second.ref,
            cls._count(names, seat, own, wide + 2 * travel + 6), tongue, groove,
            own.get("slot_mm", min(wide + 2.0 + 2 * travel, seat.high - seat.low)), wide, reach,
        )
        for name, low, high in (
            ("groove_mm", 4.0, seat.thick - 4.5), ("tongue_mm", 3.0, groove),
            ("slot_mm", wide, (seat.high - seat.low) / made.count),
        ):
            value = getattr(made, name)
            if not low - 1e-9 <= value <= high + 1e-9:
                raise ValueError(f"{names}: {cls.changeable[name].partition(',')[0].lower()} is {value:g} mm; give "
                    f"{low:g} to {high:.0f} mm.")
        return made

    @property
    def _off_mm(self) -> float:
        """How far the button's shoulder stays off the rail: as far as its tongue off the bottom of the slot, so that the top may grow. [mm]"""
        return self.groove_mm - self.tongue_mm

    @property
    def _tongue_thick_mm(self) -> float:
        return self.thick_mm - self.below_mm

    def _screw_deep_mm(self, board: Member) -> float:
        return min(0.6 * board.thickness_mm, 20.0)

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        board, rail, seat = piece.member(self.first), piece.member(self.second), self.seat(piece)
        slots, pilots = [], []
        for x in self.places(seat):
            lo = seat.point(x - self.slot_mm / 2, -self.groove_mm, self.below_mm + DRAWN_MM)
            hi = seat.point(x + self.slot_mm / 2, 0.0, self.thick_mm + 2 * DRAWN_MM)
            local = [rail.placement.to_member(p) for p in (lo, hi)]
            slots.append(Box(tuple(map(min, *local)), tuple(map(max, *local))))
            at = seat.point(x, self.reach_mm / 2, 0.0)
            pilots.append(board.placement.to_member_block(
                hole(at, tuple(-c for c in seat.down), 0.75 * self.screw_mm, self._screw_deep_mm(board))))
        return {rail.ref: tuple(slots), board.ref: tuple(pilots)}

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board, seat = piece.member(self.first), self.seat(piece)
        held = screws_hold(back(seat.down), seat.along, second, first, self.count, self.screw_mm, self.thick_mm, self._screw_deep_mm(board), slotted=True)
        area = board.width_mm * seat.thick if abs(dot(board.placement.along, seat.along)) < 0.7 else (seat.high - seat.low) * seat.thick
        lip = second.shear * self.tongue_mm * self.wide_mm * self.count, "the button's slot breaking out"
        held = replace(held, pull=least((held.pull.most, held.pull.by), lip), slide_wide=None, slide_thin=None)
        return replace(held, push=Way(area * min(first.crushing, second.crushing), "the grain crushing between them"))

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        rail, seat = piece.member(self.second), self.seat(piece)
        b, t, r, off = self.below_mm + DRAWN_MM, self.thick_mm + DRAWN_MM, self.reach_mm, self._off_mm
        outline = ((off, DRAWN_MM), (r, DRAWN_MM), (r, t), (-self.tongue_mm, t), (-self.tongue_mm, b), (off, b))
        out = []
        way = cross(seat.inward, seat.down)
        sign = dot(way, seat.along)
        for x in self.places(seat):
            at = Placement(seat.point(x - sign * self.wide_mm / 2, 0.0, 0.0), seat.inward, seat.down)
            out.append(Part(f"button, {self.family}", rail.timber, Prism(outline, at, self.wide_mm)))
        return tuple(out)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        long = math.ceil((self.thick_mm + self._screw_deep_mm(piece.member(self.first)) - 2) / 5) * 5
        return (
            Hardware(f"button, of the same timber, {self.reach_mm + self.tongue_mm:g} x {self.wide_mm:g} x "
                f"{self.thick_mm:g} mm", self.count),
            Hardware(f"wood screw, {piece.metal}, {self.screw_mm:g} x {long:g} mm", self.count),
        )

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        seat = self.seat(piece)
        return tuple(Metal("screw head", seat.point(x, self.reach_mm / 2, self.thick_mm + 2.0), seat.down) for x in self.places(seat))

    def findings(self, piece: Piece) -> list[Finding]:
        board, rail, seat = piece.member(self.first), piece.member(self.second), self.seat(piece)
        left = seat.thick - self.groove_mm
        stands = left >= 4.5
        return [Finding(
            f"{board.name} on {rail.name}", "timber left behind the slot",
            Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
            f"{left:.0f} mm of {seat.thick:.0f} mm", 4.5, max(left, 0.01), "mm",
            "4.5 mm or more left; a button grips loosely",
            NOYES, "" if stands else "A shallower slot, or a thicker rail.", "joints", (board.ref, rail.ref),
        )]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        board, seat = piece.member(self.first), self.seat(piece)
        swing = season.swing(board, round(self._from_middle_mm(piece, board, seat), 1))
        if _lies(board, seat):
            found = top_on_buttons(swing, self.groove_mm, self.tongue_mm, LEAST_HOLD_MM).findings
        else:
            found = slotted_fixing(swing, self.slot_mm, self.wide_mm, "button along an end rail").findings
        return [replace(f, refs=f.refs or (self.first, self.second)) for f in found]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("make and fit a top button", int(self.count), "button", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        return {
            "slot": f"{mm(self.slot_mm)} long, {mm(self._tongue_thick_mm + DRAWN_MM)} high, {mm(self.groove_mm)} deep, "
            f"{self.below_mm + DRAWN_MM:g} below the top",
            "button": f"{mm(self.reach_mm + self.tongue_mm)} x {mm(self.wide_mm)} x {mm(self.thick_mm)}, tongue "
                f"{mm(self.tongue_mm + self._off_mm)} long and {mm(self._tongue_thick_mm)} thick, flush with its underside",
            "set": f"its tongue {mm(self.tongue_mm)} in the slot, {mm(self._off_mm)} short of its bottom, its shoulder {mm(self._off_mm)} off the rail, {DRAWN_MM:g} clear of the top until its screw draws it tight",
            "screw": f"{self.screw_mm:g}, round head, through a clearance hole {mm(self.reach_mm / 2 - self._off_mm)} from the button's shoulder, {mm(self.reach_mm / 2)} from the rail, pilot {0.75 * self.screw_mm:.1f}",
        }


DRAWN_UNDER, SUNK_MM = ("drawer kicker",), 5.0
"""Under these a drawer runs: a round head and its washer are let in by so much, clear of it; a head of 4 mm is some 3 high, common practice, no source."""


@dataclass(frozen=True)
class SlottedScrews(TopFixing):
    """Screws up through slots in the rail into the top, so that the top can move on it."""

    kind = "slotted screws"
    dry = True
    turns = True
    lies = "row"
    changeable = {"count": "Screws, each board and rail", "screw_mm": "Screw diameter, mm",
        "slot_mm": "Length of the slot, mm"}

    screw_mm: float = 5.0
    slot_mm: float = 10.0
    grip_mm: float = 22.0
    """Rail under the screw's head."""

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> SlottedScrews:
        own = own or {}
        names = f"{first.name} ({first.ref}) and {second.name} ({second.ref})"
        seat = seated(first, second)
        screw = own.get("screw_mm", 5.0 if seat.thick >= 20 else 4.0)
        if not 3 <= screw <= 8:
            raise ValueError(f"{names}: the screw is {screw:g} mm; give 3 to 8 mm.")
        head = 2 * screw
        lies = _lies(first, seat)
        most = (seat.thick - 6.0 if lies else (seat.high - seat.low) / own.get("count", 1.0) - 6.0) - head + screw
        far = abs(sum(_range(second, first.placement.across)) / 2)
        wish = screw + 2 * math.ceil(SLIDES_EACH_MM * max(far, 0.0 if lies else max(abs(seat.high), abs(seat.low))) + 1.0)
        made = cls(
            family or f"{first.role} on {second.role}", first.ref, second.ref,
            cls._count(names, seat, own, max(2 * head, 25.0)),
            screw, own.get("slot_mm", float(min(wish, math.floor(most)))), min(22.0, seat.deep - (SUNK_MM if second.role in DRAWN_UNDER else 0.0)),
        )
        if not screw - 1e-9 <= made.slot_mm <= most + 1e-9:
            raise ValueError(
                f"{names}: a slot {made.slot_mm:g} mm long for a {screw:g} mm screw does not fit the rail, "
                f"{seat.thick:.0f} mm thick; "
                f"give {screw:g} to {max(most, 0):.0f} mm, a thinner screw or a thicker rail."
            )
        return made

    def _screw_deep_mm(self, board: Member) -> float:
        return min(0.6 * board.thickness_mm, 25.0)

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        board, rail, seat = piece.member(self.first), piece.member(self.second), self.seat(piece)
        way = board.placement.across
        run = (self.slot_mm - self.screw_mm) / 2
        holes, pilots = [], []
        up = tuple(-c for c in seat.down)
        for x in self.places(seat):
            at = seat.point(x, -seat.thick / 2, seat.deep + 2.0)
            frame = Placement(at, way, cross(up, way))
            holes.append(Prism(slot(-run, 0.0, run, 0.0, self.screw_mm), frame, seat.deep + 2.0))
            if seat.deep > self.grip_mm + 1:
                holes.append(Prism(slot(-run, 0.0, run, 0.0, 2 * self.screw_mm), frame, seat.deep - self.grip_mm + 2.0))
            pilots.append(board.placement.to_member_block(
                hole(seat.point(x, -seat.thick / 2, 0.0), up, 0.75 * self.screw_mm, self._screw_deep_mm(board))))
        return {rail.ref: tuple(rail.placement.to_member_block(h) for h in holes), board.ref: tuple(pilots)}

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board, seat = piece.member(self.first), self.seat(piece)
        held = screws_hold(back(seat.down), seat.along, second, first, self.count, self.screw_mm, self.grip_mm, self._screw_deep_mm(board), slotted=True)
        area = board.width_mm * seat.thick if abs(dot(board.placement.along, seat.along)) < 0.7 else (seat.high - seat.low) * seat.thick
        return replace(held, push=Way(area * min(first.crushing, second.crushing), "the grain crushing between them"))

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        seat = self.seat(piece)
        up = tuple(-c for c in seat.down)
        long = self.grip_mm + self._screw_deep_mm(piece.member(self.first))
        return tuple(
            Part(f"screw, {self.family}", piece.metal,
                hole(seat.point(x, -seat.thick / 2, self.grip_mm), up, 0.7 * self.screw_mm, long), False)
            for x in self.places(seat)
        )

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        long = math.floor((self.grip_mm + self._screw_deep_mm(piece.member(self.first))) / 5) * 5
        return (Hardware(f"wood screw, {piece.metal}, round head, {self.screw_mm:g} x {long:g} mm, with a washer", self.count),)

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        seat = self.seat(piece)
        return tuple(Metal("screw head", seat.point(x, -seat.thick / 2, seat.deep + 2.0), seat.down) for x in self.places(seat))

    def findings(self, piece: Piece) -> list[Finding]:
        board, rail = piece.member(self.first), piece.member(self.second)
        skin = board.thickness_mm - self._screw_deep_mm(board)
        stands = skin >= 5
        return [Finding(
            f"{board.name} on {rail.name}", "timber left over the screw",
            Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
            f"{skin:.0f} mm of {board.thickness_mm:.0f} mm", 5.0, max(skin, 0.01), "mm",
            "5 mm or more over a screw's point", PRACTICE,
            "" if stands else "A shorter screw, or a thicker top.", "joints", (board.ref, rail.ref),
        )]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        board, seat = piece.member(self.first), self.seat(piece)
        swing = season.swing(board, round(self._from_middle_mm(piece, board, seat), 1))
        found = slotted_fixing(swing, self.slot_mm, self.screw_mm, f"slotted screw, {self.family}").findings
        return [replace(f, refs=f.refs or (self.first, self.second)) for f in found]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("slot and screw a top", int(self.count), "screw", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        return {
            "slot": f"{mm(self.slot_mm)} x {self.screw_mm:g}, across the grain of the top, {mm(self.grip_mm)} deep "
                "under the head",
            "screw": f"{self.screw_mm:g}, pilot {0.75 * self.screw_mm:.1f} into the top",
        }
