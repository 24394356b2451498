"""Screws: a row of them through one member into another, with clearance, pilot and counterbored holes."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.facing import Facing, facing
from studio_lib.piece.holding import Holds, Strengths, Way, acting, back, screws_hold
from studio_lib.piece.model import (
    Block,
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
from studio_lib.piece.outline import slot
from studio_lib.units import mm

HANDBOOK = "Wood Handbook FPL-GTR-190 ch. 8"
LEAD = f"{HANDBOOK}: lead holes of 70 % of the root in softwoods, 90 % in hardwoods; root two thirds of the shank"
DISTANCES = "EN 1995-1-1 table 8.2, predrilled, as a handbook of laminated veneer lumber repeats it (2025, table 5.1)"
PRACTICE = "common practice, no source"
ROOT_SHARE = 2 / 3
"""Root over shank diameter of most wood screws: Wood Handbook FPL-GTR-190 p. 8-9."""
LEAD_SHARE = {"softwood": 0.70, "hardwood": 0.90}
DIAMETERS_MM = (3.0, 3.5, 4.0, 4.5, 5.0, 6.0)
LENGTHS_MM = (12, 16, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 120)
POINT_CLEAR_MM = 3.0
"""Timber left beyond the point; common practice, no source."""
CLEARANCE_MM = 0.5
"""A clearance hole over the screw's shank; common practice, no source."""
UNDER_HEAD_MM = 8.0
"""Timber left under a head set in deep; common practice, no source."""
DEEP_MM = 45.0
"""From this thickness on the head is set in rather than a longer screw used; common practice, no source."""
HELD_MM = 35.0
OVER_MM = 0.5
END_D, EDGE_D, APART_D = 7.0, 3.0, 5.0
LEAST_IN_D, USUAL_IN_D = 4.0, 7.0
"""Diameters of screw in the far member: 7 for full lateral strength, 4 at the least; Wood Handbook ch. 8, from memory."""
HEAD, SHANK, PLUG = "head of a screw", "screw", "plug"
"""Parts of a screw let into timber, as they are called."""
SAFE_SHARE = 5.5
"""Mean pull-out over the allowable: ratio of the two published formulas (15700 and 2850 G^2 D)."""


@lru_cache(maxsize=256)
def _wood(timber: str) -> tuple[str, float | None]:
    """Softwood or hardwood, and density; a timber not on file counts as hardwood, whose holes split nothing."""
    from studio_lib.timber import timber as named

    try:
        species = named(timber)
    except KeyError:
        return "hardwood", None
    return species.group, species.density_12pct_kg_m3


def pilot_mm(timber: str, diameter_mm: float) -> float:
    """Pilot hole for a wood screw's thread by the timber it goes into. [mm]"""
    return round(LEAD_SHARE[_wood(timber)[0]] * ROOT_SHARE * diameter_mm, 1)


def pull_out_n(specific_gravity: float, diameter_mm: float, thread_mm: float) -> float:
    """Mean pull-out of a wood screw from side grain, 108.25 G^2 D L. [N]

    Wood Handbook ch. 8 (15700 G^2 D L in lb and in.); G ovendry weight on volume at 12 %.
    """
    return 108.25 * specific_gravity**2 * diameter_mm * thread_mm


PLUG_MM = 8.0
"""A plug goes in this deep, 5 mm at the least; common practice, no source."""
LEAST_PLUG_MM = 5.0
PLUGS_MM = (8.0, 10.0, 12.0, 15.0)
"""Diameters of plug cutters; common sizes of the trade, no source."""


@dataclass(frozen=True)
class ScrewRow(Joint):
    """Screws through ``first`` into ``second``, in a row along the longer side of the face they share."""

    kind = "screws"
    dry = True
    turns = True
    lies = "row"
    changeable = {
        "count": "Screws in the row", "diameter_mm": "Screw diameter, mm", "length_mm": "Screw length, mm",
        "pilot_mm": "Pilot hole, mm", "counterbore_mm": "Head set in by, mm", "slot_mm": "Slots longer than the hole by, 0 for round holes, mm",
        "end_mm": "Outer screws from the end of the face, mm", "plugged": "Plugged with the same timber, 1 or 0",
    }

    count: float = 1.0
    diameter_mm: float = 4.0
    length_mm: float = 40.0
    pilot_mm: float = 2.4
    counterbore_mm: float = 0.0
    slot_mm: float = 0.0
    """Added to each hole's length the way the two members move on each other. Where their grains cross that is along the
    row, and the middle screw of several stays round; where they run alike it is across the grain, and every hole is a slot."""
    end_mm: float = 20.0
    plugged: float = 0.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> ScrewRow:
        family, own = family or f"{first.role} on {second.role}", dict(own or {})
        met = _met(first, second)
        plugged = own.get("plugged", 0.0)
        if plugged:
            _pluggable(family, met.through_mm(first), own)
        row, short = (met.hi[k] - met.lo[k] for k in met.plane)
        through, far = met.through_mm(first), met.far_mm
        room = far - POINT_CLEAR_MM
        if room < 3 * LEAST_IN_D:
            raise ValueError(
                f"{family}: {second.name} is {far:g} mm deep where the screws go; they need {3 * LEAST_IN_D + POINT_CLEAR_MM:g} mm. "
                "A thicker member, or screw from the other side."
            )
        usual = [d for d in DIAMETERS_MM[:-1] if 2 * EDGE_D * d <= short and LEAST_IN_D * d <= room]
        stocked = [d for d in usual if through <= DEEP_MM and _stock_lengths(through, room, d)] or usual
        to_end = _to_end_mm(first, second, met)
        stocked = [d for d in stocked if END_D * d <= to_end] or stocked[:1]
        d = own.get("diameter_mm", stocked[-1] if stocked else DIAMETERS_MM[0])
        _within(family, cls, "diameter_mm", d, 2.0, min(10.0, short / 2))
        length, deep = _usual_length(through, room, d, own)
        _within(family, cls, "counterbore_mm", deep, 0.0, max(through - UNDER_HEAD_MM, 0.0))
        held = through - deep
        _within(family, cls, "length_mm", length, held + 1.0, held + room)
        end = own.get("end_mm", min(max(END_D * d, 20.0), row / 2))
        _within(family, cls, "end_mm", end, d, max(row / 2, d))
        most = max(int((row - 2 * end) / (2.5 * d)) + 1, 1)
        count = own.get("count", 1.0 if row - 2 * end < APART_D * d else float(min(2 + int((row - 2 * end) / 300.0), most)))
        _within(family, cls, "count", count, 1.0, most)
        if count != int(count):
            raise ValueError(f"{family}: {count:g} screws; give a whole number.")
        pilot = own.get("pilot_mm", pilot_mm(second.timber, d))
        _within(family, cls, "pilot_mm", pilot, 0.5, d)
        slot_ = own.get("slot_mm", 0.0)
        crossing = _crossing(first, second, met)
        _within(family, cls, "slot_mm", slot_, 0.0, max(row / count - 2 * d if crossing else _across_mm(first, met) - 3 * d, 0.0))
        return cls(family, first.ref, second.ref, count, d, float(length), pilot, deep, slot_, end, 1.0 if plugged else 0.0)

    # ---- geometry, in the first member's axes

    def _facing(self, piece: Piece) -> Facing:
        return _met(piece.member(self.first), piece.member(self.second))

    def _points(self, met: Facing) -> list[Vec]:
        """Where each screw passes from the first into the second."""
        along, across = met.plane
        at = [0.0, 0.0, 0.0]
        at[met.axis] = met.hi[met.axis] if met.sign < 0 else met.lo[met.axis]
        at[across] = (met.lo[across] + met.hi[across]) / 2
        n, lo, hi = int(self.count), met.lo[along] + self.end_mm, met.hi[along] - self.end_mm
        spots = [(lo + hi) / 2] if n == 1 else [lo + (hi - lo) * k / (n - 1) for k in range(n)]
        out = []
        for spot in spots:
            at[along] = spot
            out.append(tuple(at))
        return out

    @property
    def head_mm(self) -> tuple[float, float]:
        """Diameter and height of the head. [mm]"""
        return 2 * self.diameter_mm, 0.5 * self.diameter_mm

    @property
    def bore_mm(self) -> float:
        """Diameter of the hole its head is let into; that of a plug where it is closed with one. [mm]"""
        wide = self.head_mm[0] + CLEARANCE_MM
        return next((p for p in PLUGS_MM if p >= wide), wide) if self.plugged else wide

    def in_far_mm(self, piece: Piece) -> float:
        """How far the thread goes into the second member. [mm]"""
        return self.length_mm - (self._facing(piece).through_mm(piece.member(self.first)) - self.counterbore_mm)

    def _slots(self, piece: Piece) -> int:
        """How many of the holes are slots."""
        first, second = piece.member(self.first), piece.member(self.second)
        n = int(self.count)
        return 0 if not self.slot_mm else n - 1 if n > 1 and _crossing(first, second, self._facing(piece)) else n

    def _close(self, first: Member, met: Facing) -> int:
        """Which hole of a row across the other's grain stays round: the middle one, of an even number that further right, back or up in the
        piece, so that a slat is held at the same edge on every rail, whichever way the rail was laid out."""
        n = int(self.count)
        way = first.placement.turn(tuple(1.0 if k == met.plane[0] else 0.0 for k in range(3)))
        return n // 2 if max(way, key=abs) > 0 else n - 1 - n // 2

    def _row_words(self, first: Member, met: Facing) -> str:
        """Which way the slots of a row across the other's grain run, and which hole is none."""
        if self.count < 2:
            return "along the row"
        along = met.plane[0]
        where = mm(self._points(met)[self._close(first, met)][along] - met.lo[along])
        return f"along the row, {'the middle one' if int(self.count) % 2 else f'that at {where}'} round"

    def _back(self, met: Facing, first: Member, point: Vec, by: float) -> Vec:
        """The point moved back against the screw's way."""
        return tuple(p - by * w for p, w in zip(point, met.way))

    def heads(self, piece: Piece) -> list[Vec]:
        """A point just outside each head, in piece axes: what lies there is put on after the screws."""
        first, met = piece.member(self.first), self._facing(piece)
        out = met.through_mm(first) + 2.0
        return [first.placement.to_piece(self._back(met, first, p, out)) for p in self._points(met)]

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        through, deep = met.through_mm(first), self.in_far_mm(piece)
        points = self._points(met)
        crossing = _crossing(first, second, met)
        way = met.plane[0] if crossing else next(k for k in (1, 2) if k != met.axis)
        wide, high = self.bore_mm, self.head_mm[1]
        near, far = [], []
        for number, point in enumerate(points):
            start = self._back(met, first, point, through + 1.0)
            slots = 0.0 if crossing and len(points) > 1 and number == self._close(first, met) else self.slot_mm
            for size, depth in ((self.diameter_mm + CLEARANCE_MM, through + 1.0), (wide, 1.0 + self.counterbore_mm + high)):
                near.append(_slotted(start, met, size, depth, slots, way))
            # Begun a little outside its timber, so that no skin is left over the hole.
            pilot = hole(self._back(met, first, point, OVER_MM), met.way, self.pilot_mm, deep + OVER_MM)
            far.append(second.placement.to_member_block(first.placement.to_piece_block(pilot)))
        return {self.first: tuple(near), self.second: tuple(far)}

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        return self._let_in(piece, (HEAD, SHANK, PLUG) if self.plugged else (HEAD, SHANK))

    def seen_parts(self, piece: Piece) -> tuple[Part, ...]:
        return self._let_in(piece, (PLUG,) if self.plugged else (HEAD,))

    def _let_in(self, piece: Piece, names: tuple[str, ...]) -> tuple[Part, ...]:
        """The parts of these names, screw by screw."""
        first = piece.member(self.first)
        met = self._facing(piece)
        through = met.through_mm(first)
        sizes = {HEAD: self.head_mm, SHANK: (self.diameter_mm, self.length_mm), PLUG: (self.bore_mm, self.counterbore_mm)}
        out = []
        for point in self._points(met):
            for name in names:
                start = self._back(met, first, point, through - (0.0 if name == PLUG else self.counterbore_mm))
                block = first.placement.to_piece_block(hole(start, met.way, *sizes[name]))
                seen = name != SHANK and (name == PLUG or not self.plugged)
                out.append(Part(f"{name}, {self.family}", first.timber if name == PLUG else piece.metal, block, seen))
        return tuple(out)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        bought = (Hardware(f"wood screw, {piece.metal}, countersunk, {self.diameter_mm:g} x {self.length_mm:g} mm", int(self.count)),)
        plugs = (Hardware(f"plug, of the same timber, {self.bore_mm:g} x {self.counterbore_mm:g} mm", int(self.count)),)
        return bought + plugs if self.plugged else bought

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        way = piece.member(self.first).placement.turn(back(self._facing(piece).way))
        return tuple(Metal("screw head", at, way, bool(self.plugged)) for at in self.heads(piece))

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        near, far = piece.member(self.first), piece.member(self.second)
        met, held = self._facing(piece), self.in_far_mm(piece)
        out = near.placement.turn(back(met.way))
        wide = near.placement.turn(tuple(float(k == met.plane[0]) for k in range(3)))
        points = self._points(met)
        apart = abs(points[1][met.plane[0]] - points[0][met.plane[0]]) / self.diameter_mm if len(points) > 1 else 14.0
        on_end = abs(far.placement.turn_back(out)[0]) > 0.7
        found = screws_hold(out, wide, first, second, self.count, self.diameter_mm, met.through_mm(near) - self.counterbore_mm, held,
                            end_grain=on_end, slotted=bool(self.slot_mm))
        row = acting(self.count, apart) / self.count
        size = [met.hi[k] - met.lo[k] for k in met.plane]
        return replace(found, slide_wide=Way(found.slide_wide.most * row, found.slide_wide.by),
                       push=Way(size[0] * size[1] * min(first.crushing, second.crushing), "the grain crushing between them"))

    def entry(self, piece: Piece) -> Vec | None:
        return piece.member(self.first).placement.turn(self._facing(piece).way)

    # ---- what is said of it

    def findings(self, piece: Piece) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        where, refs, d = f"{first.name} on {second.name}", (first.ref, second.ref), self.diameter_mm
        met = self._facing(piece)
        points, found = self._points(met), []
        for member in (first, second):
            local = [member.placement.to_member(first.placement.to_piece(p)) for p in points]
            way = member.placement.turn_back(first.placement.turn(met.way))
            axis = max(range(3), key=lambda k: abs(way[k]))
            if axis == 0:
                if member is second:
                    found.append(Finding(
                        where, "screws into end grain", Verdict.LOOK_AGAIN, f"the thread goes into the end grain of {second.name}",
                        rule="wood screws are not loaded in withdrawal from end grain", source=f"{HANDBOOK}; handbook formula note, p. 189",
                        mend="Screw into side grain, or let a cross dowel take the thread.", stage="joints", refs=refs,
                    ))
                continue
            for k, factor, name in ((0, END_D, "end distance"), (3 - axis, EDGE_D, "edge distance")):
                there = min(min(p[k], member.box.hi[k] - p[k]) for p in local)
                found.append(_at_least(
                    where, f"{name} in {member.name}", there, factor * d, f"{factor:g} diameters from an unloaded {name.split()[0]}",
                    DISTANCES, f"Thinner screws ({there / factor:.1f} mm), or further in." if there > 0 else "Move the row inwards.", refs,
                ))
        if self.count > 1:
            along = met.plane[0]
            apart = points[1][along] - points[0][along]
            found.append(_at_least(where, "screws apart", apart, APART_D * d, f"{APART_D:g} diameters", DISTANCES, "Fewer screws.", refs))
        held = self.in_far_mm(piece)
        enough = held >= LEAST_IN_D * d - 1e-6
        share = min(held / (USUAL_IN_D * d), 1.0)
        found.append(Finding(
            where, "thread in the far member", Verdict.STANDS if enough else Verdict.FAILS,
            f"{held:.0f} mm of thread in {second.name}, at least {LEAST_IN_D * d:.0f} mm" + ("" if share >= 1 else f"; sideways it carries {100 * share:.0f} % of its full load"),
            LEAST_IN_D * d, max(held, 0.01), "mm", f"{USUAL_IN_D:g} diameters for full strength sideways, in proportion below, {LEAST_IN_D:g} at the least",
            f"{HANDBOOK}, from memory", "" if enough else "A longer screw where the timber allows, or a thinner one.", "joints", refs,
        ))
        return found

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        from studio_lib.timber.provisions import slotted_fixing

        if self.count < 2:
            return []
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        points = self._points(met)
        reach = (points[-1][met.plane[0]] - points[0][met.plane[0]]) / 2
        row = first.placement.turn(tuple(1.0 if k == met.plane[0] else 0.0 for k in range(3)))
        crossed = []
        for member in (first, second):
            way = member.placement.turn_back(row)
            axis = max(range(3), key=lambda k: abs(way[k]))
            if axis:
                crossed.append((member, "width" if axis == 1 else "thickness"))
        if len(crossed) != 1:
            return []  # both move alike, or neither does along the row
        member, across = crossed[0]
        size = self.diameter_mm + CLEARANCE_MM
        room = size + self.slot_mm
        found = slotted_fixing(season.swing(member, reach, across), room, self.diameter_mm, f"{first.name} on {second.name}, screws", size).findings
        return [replace(f, refs=f.refs or (first.ref, second.ref)) for f in found]

    def operations(self, piece: Piece) -> list[Operation]:
        n = int(self.count)
        done = [Operation("drill screw holes", 2 * n, "hole", f"{self.diameter_mm:g}"), Operation("drive screws", n, "screw", "")]
        slots = self._slots(piece)
        if slots:
            done.append(Operation("cut a slot for a screw", slots, "slot", f"{self.slot_mm:g}"))
        if self.plugged:
            done.append(Operation("cut and fit plugs over screws", n, "plug", f"{self.bore_mm:g}"))
        return done

    def setting_out(self, piece: Piece) -> dict[str, str]:
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        group, density = _wood(second.timber)
        held = self.in_far_mm(piece)
        along, across = met.plane
        row = ", ".join(mm(p[along] - met.lo[along]) for p in self._points(met))
        size = f"{self.diameter_mm:g} x {self.length_mm:g} mm"
        out = {
            **({"screw": size} if self.count == 1 else {"screws": f"{int(self.count)}, each {size}"}),
            f"from the end of the face they share that is nearer the {LOW_SIDES[along]} of the {first.role}": row,
            "in the middle of its width": f"{mm((met.hi[across] - met.lo[across]) / 2)} in",
            "clearance hole": f"{self.diameter_mm + CLEARANCE_MM:g} through {first.role}",
            "pilot hole": f"{self.pilot_mm:g} x {mm(held)} deep in {second.role} ({group if density else 'as for a hardwood'})",
        }
        if self.counterbore_mm:
            out["head set in"] = f"{self.bore_mm:g} wide x {mm(self.counterbore_mm + self.head_mm[1])} deep, the head's top {mm(self.counterbore_mm)} in"
        if self.plugged:
            out["plugs"] = f"{int(self.count)} of {self.bore_mm:g}, cut across the grain from the same timber, glued in with the grain in line, pared flush"
        if self._slots(piece):
            crossing = _crossing(first, second, met)
            out["slots"] = f"{self.diameter_mm + CLEARANCE_MM + self.slot_mm:g} long, {self.slot_mm:g} longer than the hole, " + (
                self._row_words(first, met) if crossing else "across the grain")
        if density:
            pull = pull_out_n(density / 1120.0, self.diameter_mm, held) / SAFE_SHARE
            out["safe pull on each"] = f"{pull:.0f} N"
        return out


LOW_SIDES = ("start", "lower edge", "back")
"""Where a member's length, width and thickness begin."""


def _met(first: Member, second: Member) -> Facing:
    met = facing(first, second)
    if met is None:
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not lie against each other face to face, so they "
            "cannot be screwed together. Lay one square against the other, or choose another joint."
        )
    return met


def _pluggable(family: str, through: float, own: dict[str, float]) -> None:
    """Heads set in deep enough for a plug, unless the maker said how deep. Raises ValueError where no plug closes the hole."""
    if own.get("slot_mm"):
        raise ValueError(
            f"{family}: a slot of {own['slot_mm']:g} mm over a round plug; a plug would hold fast what the slot lets move. "
            "Set the slots to 0 mm where the members move alike, or screw from the side that does not show."
        )
    if through < LEAST_PLUG_MM + UNDER_HEAD_MM:
        raise ValueError(
            f"{family}: what the screws go through is {through:g} mm thick; a plug of {LEAST_PLUG_MM:g} mm and {UNDER_HEAD_MM:g} mm under the "
            f"head need {LEAST_PLUG_MM + UNDER_HEAD_MM:g} mm. Screw from the other side, or take another joint."
        )
    usual = through - HELD_MM if through > DEEP_MM else 0.0
    deep = own.setdefault("counterbore_mm", max(min(PLUG_MM, through - UNDER_HEAD_MM), usual))
    if deep < LEAST_PLUG_MM:
        raise ValueError(f"{family}: heads set in by {deep:g} mm; a plug needs {LEAST_PLUG_MM:g} mm or more over them.")


@lru_cache(maxsize=1024)
def _stock_lengths(held: float, room: float, d: float) -> tuple[int, ...]:
    """Stock lengths that leave thread enough in the far member and do not come out of it. [mm]"""
    return tuple(n for n in LENGTHS_MM if LEAST_IN_D * d <= n - held <= min(room, 10 * d))


def _usual_length(through: float, room: float, d: float, own: dict[str, float]) -> tuple[float, float]:
    """Screw length and how deep its head is set in: a stock length, the maker's own figures first. [mm]"""
    deep = own.get("counterbore_mm", through - HELD_MM if through > DEEP_MM else 0.0)
    if "length_mm" in own:
        return own["length_mm"], deep
    fits, wanted = _stock_lengths(through - deep, room, d), min(room, 10 * d)
    if fits:
        return float(max(fits)), deep
    if "counterbore_mm" not in own:
        for n in reversed(LENGTHS_MM):
            deep = through + wanted - n
            if 0 <= deep <= through - UNDER_HEAD_MM:
                return float(n), deep
    return through - max(min(deep, through), 0.0) + wanted, deep


def _across_mm(first: Member, met: Facing) -> float:
    """How wide the first member is about the middle of the row, across its grain in the face. [mm]"""
    k = next(k for k in (1, 2) if k != met.axis)
    middle = (met.lo[k] + met.hi[k]) / 2
    return 2 * min(middle, first.box.hi[k] - middle)


def _to_end_mm(first: Member, second: Member, met: Facing) -> float:
    """From the middle of the face they share to the nearest end grain of either member. [mm]"""
    middle = first.placement.to_piece(tuple((a + b) / 2 for a, b in zip(met.lo, met.hi)))
    way = first.placement.turn(met.way)
    out = []
    for m in (first, second):
        if abs(sum(a * b for a, b in zip(m.placement.along, way))) < 0.5:
            x = m.placement.to_member(middle)[0]
            out.append(min(x, m.length_mm - x))
    return min(out, default=math.inf)


def _crossing(first: Member, second: Member, met: Facing) -> bool:
    """Whether, in the face they share, one member's grain lies across the other's."""
    grain = first.placement.turn_back(second.placement.along)
    return not (met.axis == 0 or abs(grain[met.axis]) > 0.9 or abs(grain[0]) > 0.9)


def _slotted(start: Vec, met: Facing, size: float, depth: float, longer: float, way: int) -> Prism:
    """A hole, made longer by ``longer`` along an axis of the first member."""
    if not longer:
        return hole(start, met.way, size, depth, few=True)
    along = tuple(1.0 if k == way else 0.0 for k in range(3))
    w = met.way
    side = (w[1] * along[2] - w[2] * along[1], w[2] * along[0] - w[0] * along[2], w[0] * along[1] - w[1] * along[0])
    return Prism(slot(-longer / 2, 0.0, longer / 2, 0.0, size), Placement(start, along, side), depth, few=True)


def _within(family: str, kind, name: str, value: float, low: float, high: float) -> None:
    if not low - 1e-9 <= value <= high + 1e-9:
        what = kind.changeable[name].partition(",")[0].lower()
        unit = " mm" if name.endswith("_mm") else ""
        raise ValueError(f"{family}: {what} is {value:g}{unit}; give {low:g} to {max(high, low):g}{unit}.")


def _at_least(where, what, value, low, rule, source, mend, refs) -> Finding:
    verdict = Verdict.STANDS if value >= low - 1e-6 else Verdict.LOOK_AGAIN if value > 0 else Verdict.FAILS
    return Finding(
        where, what, verdict, f"{value:.0f} mm, at least {low:.0f} mm", low, max(value, 0.01), "mm", rule, source,
        "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )
