"""Breadboard end: a cleat across the end of a solid top, fixed at its middle, free to let the boards move."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, Way, back, least, shear_n
from studio_lib.piece.model import (
    Block,
    Box,
    Hardware,
    Joint,
    Member,
    Operation,
    Part,
    Piece,
    Placement,
    Prism,
    Season,
    Vec,
    carried,
    hole,
)
from studio_lib.piece.mortise_tenon import MORTISE_DEEPER_MM, ONE_THIRD, dot, meeting_end, nearest_chisel
from studio_lib.piece.outline import slot
from studio_lib.timber.provisions import breadboard_end
from studio_lib.units import mm

TWO_THIRDS = "workshop articles on breadboard ends: mortises two thirds of the end's width"
TENON_EVERY_MM = 180.0
"""One tenon for so much of a board's width; common practice, no source."""
BY_RULE = 0.02
"""Travel allowed for where the timber and its place are not known, of the distance from the middle; common practice,
no source."""
LEAST_BOARD_MM = 60.0
"""A tenon with a slot in it needs a board this wide; common practice, no source."""
GROOVE_DEEPER_MM = 1.0
EDGE_MM = 10.0
"""How far groove and tongue stop short of the edges of the top; common practice, no source."""
SKIN_MM = 4.0
"""Timber left over a peg that goes in from below; common practice, no source."""


@dataclass(frozen=True)
class BreadboardEnd(Joint):
    """The end of a board, ``first``, with a tongue and tenons in a cleat across it, ``second``.

    The tenon nearest the middle of the cleat is pegged fast; the pegs of the others pass
    through slots, in mortises wider by as much.
    """

    kind = "breadboard end"
    lies = "edge"
    changeable = {
        "thickness_mm": "Tongue thickness, mm", "tongue_mm": "Tongue length, mm", "length_mm": "Tenon length, mm",
        "peg_mm": "Peg diameter, mm", "slot_mm": "Slot for the pegs, mm",
    }

    end: str = "start"
    thickness_mm: float = 8.0
    tongue_mm: float = 8.0
    length_mm: float = 50.0
    peg_mm: float = 6.0
    slot_mm: float = 12.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> BreadboardEnd:
        own = own or {}
        names = f"{first.name} ({first.ref}) and {second.name} ({second.ref})"
        end = meeting_end(first, second)
        a, b = first.placement, second.placement
        if abs(dot(a.along, b.along)) > 1e-6 or abs(abs(dot(a.through, b.through)) - 1) > 1e-6:
            raise ValueError(f"{names}: a breadboard end lies flat across the end of the boards, its faces with "
                "theirs.")
        if abs(first.thickness_mm - second.thickness_mm) > 6:
            raise ValueError(
                f"{names} are {first.thickness_mm:g} and {second.thickness_mm:g} mm thick; a breadboard end is as "
                "thick as its boards."
            )
        thin = min(first.thickness_mm, second.thickness_mm)
        thickness = own.get("thickness_mm", nearest_chisel(thin / 3))
        peg = own.get("peg_mm", 6.0)
        length = own.get("length_mm", float(math.floor(2 / 3 * second.width_mm)))
        tongue = own.get("tongue_mm", float(min(round(thickness), math.floor(second.width_mm / 4))))
        needed = peg + 2 * (BY_RULE * second.length_mm / 2 + 1)
        made = cls(
            family or f"{first.role} into {second.role}", first.ref, second.ref, end, thickness, tongue, length, peg,
            own.get("slot_mm", math.ceil(needed)),
        )
        for name, low, high in (
            ("thickness_mm", 4.0, thin - 6), ("length_mm", made.tongue_mm + 4, second.width_mm - 8),
            ("tongue_mm", 3.0, second.width_mm / 2), ("peg_mm", 3.0, max(length / 2 - 4, 3.0)),
            ("slot_mm", peg, max(0.45 * first.width_mm / max(1, round(first.width_mm / TENON_EVERY_MM)) - 8.0, peg)),
        ):
            value = getattr(made, name)
            if not low - 1e-9 <= value <= high + 1e-9:
                if name == "slot_mm" and name not in own:
                    made = replace(made, slot_mm=float(math.floor(high)))
                    continue
                raise ValueError(
                    f"{names}: {cls.changeable[name].partition(',')[0].lower()} is {value:g} mm; "
                    f"give {max(low, 0):g} to {max(high, 0):g} mm, or make {second.name} wider or thicker."
                )
        if first.width_mm < LEAST_BOARD_MM:
            raise ValueError(
                f"{names}: a board {first.width_mm:g} mm wide is too narrow for a sliding tenon; {LEAST_BOARD_MM:g} "
                "mm or more."
            )
        return made

    @property
    def mitred(self) -> bool:
        """The groove runs on from board to board on purpose."""
        return True

    @property
    def travel_mm(self) -> float:
        """Either way, at a sliding peg. [mm]"""
        return (self.slot_mm - self.peg_mm) / 2

    def _edges(self, board: Member, cleat: Member) -> tuple[float, float]:
        """Lower and upper edge of the board along the cleat, from its start. [mm]"""
        at = [cleat.placement.to_member(board.placement.to_piece((0.0, y, 0.0)))[0] for y in (0.0, board.width_mm)]
        return at[0], at[1]

    def tenons(self, board: Member, cleat: Member) -> tuple[tuple[float, float, float, bool], ...]:
        """Each tenon: from and to across the board, its middle from the middle of the cleat, fixed or not. [mm]"""
        low, high = self._edges(board, cleat)
        middle = cleat.length_mm / 2
        holds = min(low, high) - 1e-6 <= middle < max(low, high) - 1e-6
        count = max(1, round(board.width_mm / TENON_EVERY_MM))
        if holds and count % 2 == 0:
            count += 1
        pitch = board.width_mm / count
        wide = min(0.45 * pitch, max(pitch - 2 * self.travel_mm - 10.0, 0.3 * pitch))
        out = []
        for k in range(count):
            y = (k + 0.5) * pitch
            out.append([y - wide / 2, y + wide / 2, low + (high - low) * y / board.width_mm - middle, False])
        if holds:
            min(out, key=lambda t: abs(t[2]))[3] = True
        return tuple(tuple(t) for t in out)

    def _tongue_y(self, board: Member, cleat: Member) -> tuple[float, float, float, float]:
        """Tongue across the board, and its groove, which runs on by the travel at an outer edge. [mm]"""
        back = min(max(EDGE_MM, self.travel_mm + 4.0), board.width_mm / 4)
        tongue, groove = [0.0, board.width_mm], [0.0, board.width_mm]
        for k, x in enumerate(self._edges(board, cleat)):
            if x < 1.0 or x > cleat.length_mm - 1.0:
                sign = 1.0 if k == 0 else -1.0
                tongue[k] += sign * back
                groove[k] += sign * max(back - self.travel_mm, 2.0)
        return (*tongue, *groove)

    def _box(self, board: Member, long: float, y0: float, y1: float, grown: float = 0.0) -> Box:
        x = (-long - grown, 0.0) if self.end == "start" else (board.length_mm, board.length_mm + long + grown)
        z = (board.thickness_mm - self.thickness_mm) / 2
        return Box((x[0], y0, z), (x[1], y1, z + self.thickness_mm))

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        board, cleat = piece.member(self.first), piece.member(self.second)
        y0, y1, *_ = self._tongue_y(board, cleat)
        tongue = self._box(board, self.tongue_mm, y0, y1)
        out = [tongue]
        for t in self.tenons(board, cleat):
            # The tenon goes on from the tongue: blocks that are added touch and do not overlap.
            whole = self._box(board, self.length_mm, max(t[0], y0), min(t[1], y1))
            start = self.end == "start"
            out.append(whole.grown(0, 0.0, -self.tongue_mm) if start else whole.grown(0, -self.tongue_mm, 0.0))
        return {self.first: tuple(out)}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        board, cleat = piece.member(self.first), piece.member(self.second)
        *_, g0, g1 = self._tongue_y(board, cleat)
        holes: list[Block] = [self._box(board, self.tongue_mm, g0, g1, GROOVE_DEEPER_MM)]
        own: list[Block] = []
        for y0, y1, _, fixed in self.tenons(board, cleat):
            room = 0.0 if fixed else self.travel_mm
            holes.append(self._box(board, self.length_mm, max(y0 - room, g0), min(y1 + room, g1), MORTISE_DEEPER_MM))
            own.append(self._slot(board, (y0 + y1) / 2, fixed))
        received = [carried(h, board.placement, cleat.placement) for h in holes]
        received = [r.meet(cleat.box) or r for r in received]
        received += [cleat.placement.to_member_block(p) for p in self._pegs(piece, 2.0)]
        return {self.second: tuple(received), self.first: tuple(own)}

    def _peg_x(self, board: Member) -> float:
        return -self.length_mm / 2 if self.end == "start" else board.length_mm + self.length_mm / 2

    def _slot(self, board: Member, y: float, fixed: bool) -> Prism:
        run = 0.0 if fixed else self.travel_mm
        x = self._peg_x(board)
        return Prism(slot(x, y - run, x, y + run, self.peg_mm),
            Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
                     board.thickness_mm)

    def _pegs(self, piece: Piece, outside: float) -> tuple[Prism, ...]:
        """Every peg from below, in piece axes, begun ``outside`` the face."""
        board, cleat = piece.member(self.first), piece.member(self.second)
        up = board.placement.through[2] >= 0
        way = board.placement.through if up else tuple(-c for c in board.placement.through)
        x, out = self._peg_x(board), []
        for y0, y1, *_ in self.tenons(board, cleat):
            start = board.placement.to_piece((x, (y0 + y1) / 2, 0.0 if up else board.thickness_mm))
            out.append(hole(tuple(s - outside * w for s, w in zip(start, way)), way, self.peg_mm,
                            cleat.thickness_mm - SKIN_MM + outside))
        return tuple(out)

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        timber = piece.member(self.second).timber
        return tuple(Part(f"peg, {self.family}", timber, p) for p in self._pegs(piece, 0.0))

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        board, cleat = piece.member(self.first), piece.member(self.second)
        return (Hardware(f"peg, {self.peg_mm:g} mm, of the same timber, {cleat.thickness_mm - SKIN_MM:g} mm long",
                         len(self.tenons(board, cleat))),)

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        return {self.first: (self.length_mm, 0.0) if self.end == "start" else (0.0, self.length_mm)}

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        return {self.first: {self.end: f"tongue {mm(self.tongue_mm)}, tenon {mm(self.length_mm)}"}}

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board, cleat = piece.member(self.first), piece.member(self.second)
        out = board.placement.along if self.end == "start" else back(board.placement.along)
        y0, y1, *_ = self._tongue_y(board, cleat)
        tenons, t = self.tenons(board, cleat), self.thickness_mm
        wide = sum(b - a for a, b, *_ in tenons)
        peg = least((2 * len(tenons) * shear_n(4 * second.shear, self.peg_mm, 0.785 * self.peg_mm), "the pegs shearing"),
                    (2 * len(tenons) * self.length_mm / 2 * t * first.shear, "the tenons shearing out behind the pegs"))
        lip = (cleat.thickness_mm - t) / 2
        flat = least(((y1 - y0) * t**2 / 6 * first.bending, "the tongue bending flat"),
                     (second.crushing * wide * self.length_mm**2 / 6, "the tenons crushing the cleat"),
                     (second.splitting * (y1 - y0) * lip * self.length_mm / 3, "the cleat splitting along its mortises"))
        return Holds(
            out, board.placement.across, peg, Way(board.width_mm * (board.thickness_mm - t) * second.crushing, "the shoulder crushing"),
            None, least((shear_n(first.shear, y1 - y0, t), "the tongue shearing")), None, flat,
            least((wide / len(tenons) * self.length_mm * second.crushing * board.width_mm / 4, "the tenons crushing the cleat")),
        )

    def entry(self, piece: Piece) -> Vec | None:
        sign = -1.0 if self.end == "start" else 1.0
        return tuple(sign * c + 0.0 for c in piece.member(self.first).placement.along)

    def findings(self, piece: Piece) -> list[Finding]:
        board, cleat = piece.member(self.first), piece.member(self.second)
        where, refs = f"{board.name} into {cleat.name}", (board.ref, cleat.ref)
        out = []
        for what, value, best, low, high, rule, source in (
            ("tongue thickness", self.thickness_mm, cleat.thickness_mm / 3, 0.22 * cleat.thickness_mm,
                0.42 * cleat.thickness_mm,
             "a third of the thickness", ONE_THIRD),
            ("tenon length", self.length_mm, 2 / 3 * cleat.width_mm, 0.5 * cleat.width_mm, 0.75 * cleat.width_mm,
             "two thirds of the end's width", TWO_THIRDS),
        ):
            stands = low - 1e-6 <= value <= high + 1e-6
            out.append(Finding(
                where, what, Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
                f"{value:.0f} mm, {best:.0f} mm by the rule",
                value, best, "mm", rule, source, "" if stands else f"Make it about {best:.0f} mm.", "joints", refs,
            ))
        return out

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        board, cleat = piece.member(self.first), piece.member(self.second)
        tenons = self.tenons(board, cleat)
        sliding = [abs(t[2]) for t in tenons if not t[3] and abs(t[2]) > 1e-6]
        swing = season.swing(board, cleat.length_mm)
        if sliding:
            out = min(max(sliding), cleat.length_mm / 2)
            found = breadboard_end(swing, [round(out, 1)], self.slot_mm, self.peg_mm).findings
            found = found if any(t[3] for t in tenons) else found[:-1]
        else:
            found = breadboard_end(swing, [cleat.length_mm / 2], self.slot_mm, self.peg_mm).findings[-1:]
        return [replace(f, refs=f.refs or (board.ref, cleat.ref)) for f in found]

    def operations(self, piece: Piece) -> list[Operation]:
        board, cleat = piece.member(self.first), piece.member(self.second)
        tenons = len(self.tenons(board, cleat))
        return [
            Operation("breadboard tongue and groove", board.width_mm / 1000, "m", self.family),
            Operation("breadboard tenon, slotted and pegged", tenons, "tenon", self.family),
        ]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        return {
            "tongue": f"{mm(self.thickness_mm)} thick x {mm(self.tongue_mm)} long",
            "tenons": f"{mm(self.length_mm)} long, mortises {mm(self.length_mm + MORTISE_DEEPER_MM)} deep",
            "pegs": f"{self.peg_mm:g}, from below, {mm(self.length_mm / 2)} from the shoulder",
            "middle": "pegged fast and glued; no glue elsewhere",
            "sliding tenons": f"slots {mm(self.slot_mm)} long, mortises {mm(self.travel_mm)} wider either side",
        }


