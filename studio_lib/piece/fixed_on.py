"""Held by metal where two members lie flat: screws, close or in slots, and butt hinges."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.glued import contact
from studio_lib.piece.holding import Holds, Strengths, Way, back, hinges_hold, screws_hold
from studio_lib.piece.meeting import axis_of, given, inside, named, seen_from
from studio_lib.piece.model import Block, Box, Hardware, Joint, Member, Operation, Part, Piece, Season, Vec, carried
from studio_lib.timber.provisions import GLUE_SAFE_MM, slotted_fixing
from studio_lib.units import tenths

SCREW_MM = 4.0
SLOT_MM = 12.0
"""Length of a slot for a 4 mm screw; common practice, no source."""
APART_MM = 250.0
OVER_MM = 1.0
LEAF_MM = 2.5
"""Thickness of both leaves of a hinge, let into one part; common practice, no source."""


@dataclass(frozen=True)
class ScrewedOn(Joint):
    """``first`` lies flat on ``second`` and is screwed through into it."""

    kind = "screwed on"
    dry = True
    turns = True
    lies = "row"
    changeable = {"screws": "Screws", "slotted": "All but the middle one in slots, 1 or 0"}

    screws: float = 2
    slotted: float = 0.0

    @property
    def count(self) -> float:
        return self.screws

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> ScrewedOn:
        family = family or f"{first.role} on {second.role}"
        axis, size = contact(first, second)
        if axis == 0:
            raise ValueError(f"{named(first)} meets {named(second)} with its end; a screw along the grain of its end does not hold. Use dowels.")
        figures = given(cls.kind, family, own, {"screws": (1, 60), "slotted": (0, 1)}, cls.changeable, ("screws", "slotted"))
        long = max(s for k, s in enumerate(size) if k != axis)
        crossing = axis_of(second, first.placement.along) != 0
        usual = 1 if crossing and long <= 200.0 else max(2, math.ceil(long / APART_MM) + 1)
        return cls(family, first.ref, second.ref, int(figures.get("screws", usual)),
                   figures.get("slotted", 1.0 if crossing and long > GLUE_SAFE_MM and usual > 1 else 0.0))

    def _length_mm(self, piece: Piece) -> float:
        first = piece.member(self.first)
        axis, _ = contact(first, piece.member(self.second))
        return 5.0 * math.ceil((first.box.hi[axis] + min(max(first.box.hi[axis], 18.0), 30.0)) / 5)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board = piece.member(self.first)
        axis, size = contact(board, piece.member(self.second))
        long, thin = sorted((k for k in range(3) if k != axis), key=lambda k: -size[k])
        thick = board.box.hi[axis]
        out = back(_towards(board, piece.member(self.second)))
        wide = board.placement.turn(tuple(float(k == long) for k in range(3)))
        far = piece.member(self.second)
        on_end = abs(far.placement.turn_back(out)[0]) > 0.7
        found = screws_hold(out, wide, first, second, self.screws, SCREW_MM, thick, self._length_mm(piece) - thick,
                            end_grain=on_end, slotted=bool(self.slotted) and self.screws > 1)
        return replace(found, push=Way(size[long] * size[thin] * min(first.crushing, second.crushing), "the grain crushing between them"))

    def entry(self, piece: Piece) -> Vec | None:
        return _towards(piece.member(self.first), piece.member(self.second))

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        return (Hardware(f"wood screw, {piece.metal}, {SCREW_MM:g} x {self._length_mm(piece):g} mm", int(self.screws)),)

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        where = f"{first.name} on {second.name}"
        crossing = axis_of(second, first.placement.along) != 0
        if not crossing or self.screws < 2:
            return [Finding(where, "movement", Verdict.STANDS, "one screw, or both move alike",
                            rule="boards across each other are held at one place", source="geometry", stage="joints",
                            refs=(first.ref, second.ref))]
        axis, size = contact(first, second)
        # What moves under the row of screws: the second member's width, along the first's length.
        spread = max(size[0], 1.0)
        across = axis_of(second, first.placement.along)
        swing = season.swing(second, spread / 2, "width" if across == 1 else "thickness")
        if self.slotted:
            return list(slotted_fixing(swing, SLOT_MM, SCREW_MM, where).findings)
        held = spread <= GLUE_SAFE_MM
        return [Finding(where, "movement", Verdict.STANDS if held else Verdict.FAILS,
                        f"screwed fast over {spread:.0f} mm across the grain", spread, GLUE_SAFE_MM, "mm",
                        "held fast across the grain over 75 mm at most", "common practice, no source",
                        "" if held else "Slot all but the middle screw.", "joints", (first.ref, second.ref))]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("drill screw holes", int(self.screws), "hole", self.family), Operation("drive screws", int(self.screws), "screw", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        n = int(self.screws)
        return {"screws": f"{n} of {SCREW_MM:g} x {self._length_mm(piece):g}" + (
            f", the middle one close, the others in slots {SLOT_MM:g} long across the grain" if self.slotted else "")}


@dataclass(frozen=True)
class ButtHinges(Joint):
    """A door or lid, ``first``, hung on ``second``: both leaves let into the second."""

    kind = "butt hinges"
    dry = True
    turns = True
    changeable = {"hinges": "Hinges", "length_mm": "Length of a hinge, mm"}

    hinges: float = 2
    length_mm: float = 60.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> ButtHinges:
        family = family or f"{first.role} on {second.role}"
        axis, size = contact(first, second)
        if axis == 0 or max(size) < 100.0:
            raise ValueError(
                f"{named(first)} lies on {named(second)} over {max(size):.0f} mm; two hinges need 100 mm along its length."
            )
        figures = given(cls.kind, family, own, {"hinges": (2, 6), "length_mm": (20.0, size[0] / 3)}, cls.changeable, ("hinges",))
        long = figures.get("length_mm", min(75.0, 5 * math.floor(size[0] / 20)))
        return cls(family, first.ref, second.ref, int(figures.get("hinges", 2 if size[0] <= 1000 else 3)), long)

    def _leaves(self, piece: Piece) -> list[Box]:
        """Where each pair of leaves lies, in the axes of ``first``."""
        first, second = piece.member(self.first), piece.member(self.second)
        axis, size = contact(first, second)
        seen = seen_from(second, first)
        lo = [max(a, 0.0) for a in seen.lo]
        hi = [min(a, b) for a, b in zip(seen.hi, first.box.hi)]
        sign = 1.0 if seen.centre[axis] > first.box.centre[axis] else -1.0
        face = first.box.hi[axis] if sign > 0 else 0.0
        other = 3 - axis
        out = []
        n = int(self.hinges)
        inset = size[0] / 6
        for k in range(n):
            middle = lo[0] + inset + (size[0] - 2 * inset) * k / (n - 1)
            a, b = [0.0] * 3, [0.0] * 3
            a[0], b[0] = middle - self.length_mm / 2, middle + self.length_mm / 2
            a[axis], b[axis] = sorted((face, face + sign * LEAF_MM))
            a[other], b[other] = lo[other], hi[other]
            out.append(Box(tuple(a), tuple(b)))
        return out

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        first, second = piece.member(self.first), piece.member(self.second)
        axis, _ = contact(first, second)
        seen, other = seen_from(second, first), 3 - axis
        grown = []
        for b in self._leaves(piece):
            # A little of the air before the face and beside the edge too, so that no skin is left.
            before = (OVER_MM, 0.0) if seen.centre[axis] > first.box.centre[axis] else (0.0, OVER_MM)
            beside = (OVER_MM if seen.lo[other] > b.lo[other] - 1e-6 else 0.0), (OVER_MM if seen.hi[other] < b.hi[other] + 1e-6 else 0.0)
            grown.append(b.grown(axis, *before).grown(other, *beside))
        return {self.second: tuple(inside(carried(b, first.placement, second.placement), second) for b in grown)}

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        place = piece.member(self.first).placement
        return tuple(Part(f"hinge, {self.family}", piece.hinge_metal, place.to_piece_block(b)) for b in self._leaves(piece))

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        door = piece.member(self.first)
        return hinges_hold(back(_towards(door, piece.member(self.second))), door.placement.along, second, self.hinges)

    def entry(self, piece: Piece) -> Vec | None:
        return _towards(piece.member(self.first), piece.member(self.second))

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        return (Hardware(f"butt hinge, {piece.hinge_metal}, {self.length_mm:g} mm, with its screws", int(self.hinges)),)

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("let in and hang a hinge", int(self.hinges), "hinge", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        begins = piece.tenons_mm(self.first)[0]  # the start of a member is that of its tenon
        at = sorted(b.lo[0] + begins for b in self._leaves(piece))
        return {
            "hinges": f"{int(self.hinges)} of {self.length_mm:g}, both leaves let in {LEAF_MM:g}",
            f"from the start of the {piece.member(self.first).role}": ", ".join(tenths(x) for x in at),
        }


def _towards(first: Member, second: Member) -> Vec:
    axis, _ = contact(first, second)
    sign = 1.0 if seen_from(second, first).centre[axis] > first.box.centre[axis] else -1.0
    return first.placement.turn(tuple(sign * float(k == axis) for k in range(3)))
