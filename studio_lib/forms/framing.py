"""What seats and tables share: members by name, joints refused in words, thin timber found."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from studio_lib.finding import Finding, from_ratio
from studio_lib.forms.form import Proposal, SizeRefused
from studio_lib.piece import Joint, Member, Piece, Placement, Screws
from studio_lib.piece.checks import LEAST_BETWEEN_MM
from studio_lib.piece.kinds import KINDS
from studio_lib.piece.mortise_tenon import (
    MortiseTenon,
    end_middle,
    leaves_mm,
    meeting_end,
    nearest_chisel,
    proportioned,
    stopped_room_mm,
)
from studio_lib.piece.facing import facing
from studio_lib.piece.fixing_checks import room_for
from studio_lib.piece.screw import EDGE_D, END_D, ScrewRow
from studio_lib.piece.shaping import ShapingRefused, checked
from studio_lib.structure.loads import Load

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
PRACTICE = "common practice, no source"
JUDGEMENT = "a starting point of ours"
BEARER_EVERY_MM = 430.0
"""No slat or board spans more than about this; judgement of ours."""
SEAT_LOAD_N, SEAT_INSIDE_MM, SEAT_OUTWARD_N = 600.0, 60.0, 20.0
"""EN 1022:2018 forwards and sideways: load down, so far from the edge, and a push outwards."""


def up_to(value: float, step: float) -> float:
    """The next whole step at or over a value."""
    return math.ceil(value / step - 1e-9) * step


DRAIN_MM, GAP_TOLERANCE_MM = 3.0, 1.0
"""Between slats, so that water runs off at the wettest, and for setting them; common practice, no source."""


def gap_to_drain(swelling_mm: float, near_children: bool) -> Proposal:
    """The gap between slats as made: what drains, what a slat swells, a tolerance; where children are not rounded up, so that no finger is caught when they shrink."""
    value = DRAIN_MM + swelling_mm + GAP_TOLERANCE_MM
    return Proposal(
        math.floor(2 * value + 1e-9) / 2 if near_children else up_to(value, 0.5),
        f"{DRAIN_MM:g} mm to drain + {swelling_mm:.1f} mm a slat will swell + {GAP_TOLERANCE_MM:g} mm tolerance" + (", no wider, for a child's fingers" if near_children else ""),
        "movement: Wood Handbook FPL-GTR-282 ch. 13; drain and tolerance " + PRACTICE)


@dataclass
class Frame:
    """Members laid out one by one under their references."""

    letter: str
    timber: str
    arris_mm: float
    members: list[Member] = field(default_factory=list)

    def add(
        self, code: str, name: str, role: str, length: float, width: float, thickness: float, at: Placement,
        rank: str = "show", shaping=(), hand: str = "", arris_mm: float | None = None,
    ) -> Member:
        made = Member(
            f"{self.letter}-{code}", name, role, self.timber, *(round(v, 6) for v in (length, width, thickness)), at,
            self.arris_mm if arris_mm is None else arris_mm, rank, tuple(shaping), hand,
        )
        self.members.append(made)
        return made

    def moved(self, by) -> list[Member]:
        """Every member, shifted in the piece."""
        return [
            replace(m, placement=replace(m.placement, origin=tuple(o + b for o, b in zip(m.placement.origin, by))))
            for m in self.members
        ]


@dataclass
class Joiner:
    """Joints of a form: each refused in words that name one of its sizes, or the maker's own change."""

    by_ref: dict[str, Member]
    letter: str
    own: dict[str, dict[str, float]]
    laid: dict[str, Member]
    """The members before the maker changed any."""
    made: list[Joint] = field(default_factory=list)

    def at(self, code: str) -> Member:
        return self.by_ref[f"{self.letter}-{code}"]

    def has(self, code: str) -> bool:
        return f"{self.letter}-{code}" in self.by_ref

    def _changed(self, *members: Member) -> bool:
        return any(self.laid.get(m.ref) != m for m in members)

    def _figures(self, kind: str, family: str) -> dict[str, float]:
        """The maker's figures for a family that this kind has; what a swapped kind has besides is left aside."""
        return {n: v for n, v in self.own.get(family, {}).items() if n in KINDS[kind].changeable}

    def join(self, kind: str, family: str, first: str, second: str, size: str,
            usual: dict[str, float] | None = None) -> None:
        """One joint of a kind; ``size`` names the form's size to blame where it cannot be."""
        a, b = self.at(first), self.at(second)
        figures = self._figures(kind, family)
        try:
            self.made.append(KINDS[kind].between(a, b, family, {**(usual or {}), **figures}))
        except ValueError as error:
            if figures:
                raise
            if self._changed(a, b):
                return  # a member changed or moved by the maker no longer meets: the check on loose members says so
            raise SizeRefused(size, _sentence(error)) from None

    def tenon(self, family: str, rail: str, end: str, post: str, size: str, beside_mm: float | None = None,
              flush: bool = False, kind: type[MortiseTenon] = MortiseTenon,
              usual: dict[str, float] | None = None) -> None:
        """A tenon at one end of a rail, stopped short of the neighbour's mortise.

        ``beside_mm``: from the post's outer face to the far cheek of the tenon that comes from the next side.
        """
        a, b = self.at(rail), self.at(post)
        figures = self._figures(kind.kind, family)
        try:
            if self._changed(a, b) and meeting_end(a, b) != end:
                return
            room = stopped_room_mm(a, end, b)
            if beside_mm is not None:
                room = min(room, _through_mm(a, end, b) - beside_mm - LEAST_BETWEEN_MM)
            self.made.append(
                proportioned(family, a, end, b, room_mm=room, at_leg_end=flush, changed={**(usual or {}), **figures},
                    kind=kind)
            )
        except ValueError as error:
            if figures:
                raise
            if self._changed(a, b):
                return
            raise SizeRefused(size, _sentence(error)) from None

    def tenons(self, family: str, rail: str, posts: tuple[str, str], size: str, **more) -> None:
        """The same tenon at both ends of a rail."""
        for end, post in zip(("start", "end"), posts):
            self.tenon(family, rail, end, post, size, **more)


def _through_mm(first: Member, end: str, second: Member) -> float:
    """From the middle of a shoulder straight on through the post. [mm]"""
    way = tuple(c * (-1.0 if end == "start" else 1.0) for c in first.placement.along)
    middle = end_middle(first, end)
    return leaves_mm(second, tuple(m + 0.01 * w for m, w in zip(middle, way)), way) + 0.01


def _sentence(error: Exception) -> str:
    says = str(error)
    return says if says.endswith(".") else says + "."


def beside_mm(setback_mm: float, rail_mm: float) -> float:
    """From a post's outer face to the far cheek of the tenon of a rail set back so far. [mm]"""
    return setback_mm + (rail_mm + nearest_chisel(rail_mm / 3)) / 2


def sound_shaping(members: list[Member], size: str) -> None:
    """Raises SizeRefused for a shape that a member cannot take."""
    for m in members:
        try:
            checked(m)
        except ShapingRefused as error:
            raise SizeRefused(size, _sentence(error)) from None


TWO_HOLES = "one hole close, the other slotted across the slat"
GAUGES_MM = (5.0, 4.5, 4.0, 3.5, 3.0)
"""Screws for slats, the thickest first."""


def gauge_mm(near: Member, far: Member) -> float:
    """As thick a screw as keeps three diameters from either edge of what it goes through and has four of thread beyond. [mm]"""
    into = 0.7 * far.thickness_mm
    return next((d for d in GAUGES_MM if 6 * d <= near.thickness_mm and 4 * d <= into), GAUGES_MM[-1])


def screws(family: str, near: Member, far: Member, note: str = "") -> Screws | None:
    """Screws from below through a rail into a slat: one on the middle of a narrow slat, two in a wide one.

    As many and as thick as there is room for; None where not even the thinnest has room.
    """
    into = 0.7 * far.thickness_mm
    stout = (6.0,) if far.thickness_mm >= STOUT_MM and near.thickness_mm >= 36 and far.width_mm >= 66 else ()
    counts = (2, 1) if far.width_mm >= 70 else (1,)
    alone = Piece("", "", (near, far))
    for each in counts:
        where = TWO_HOLES if each == 2 else "on the slat's middle"
        for d in (*stout, *GAUGES_MM):
            row = Screws(family, near.ref, far.ref, each, d, up_to(into + min(25.0, near.width_mm - 10), 5),
                         ", ".join(x for x in (note, f"from below; {where}") if x))
            if room_for(alone, row).stands:
                return placed(row, near, far)
    return None


STOUT_MM = 32.0
"""From here on slats take screws of 6 mm; a judgement of ours."""
SLOT_MM = 4.0
"""A slot longer than its hole by so much lets a slat move; common practice, no source."""
WALL_MM = 3.0
"""Left between a screw's seat and a mortise; common practice, no source."""
LEAST_ON_D = 4.0
"""Diameters of a screw that a slat lies on its bearer, or the screw is left to the bench; judgement of ours."""
FROM_EDGE = 0.2
"""Of the width of a slat, from its edge to a screw; common practice, no source."""


def placed(screws: Screws, near: Member, far: Member, among: Sequence[Member] = ()) -> Screws:
    """The screws with their places and holes, the heads let in from below; only counted where those would break out.

    Across a slat one hole stays round and the other is a slot, or there is one screw where the slat only just lies on
    the bearer; along a rail they stand in a row, clear of what is tenoned into it of the members ``among``.
    """
    met = facing(near, far)
    if met is None:
        return screws
    long, short = (met.hi[k] - met.lo[k] for k in met.plane)
    d = screws.diameter_mm
    deep = met.through_mm(near) - (screws.length_mm - min(0.7 * far.thickness_mm, screws.length_mm - 10))
    if short / 2 < d + 0.5 or long < LEAST_ON_D * d or deep < 0:
        return screws
    crossing = abs(sum(a * b for a, b in zip(near.placement.along, far.placement.along))) < 0.5
    if crossing:
        end = max(FROM_EDGE * long, EDGE_D * d)
        # Two stand across the slat, along the rail; where the slat lies on less than the rail is thick, one stands on the middle.
        n = screws.count if met.plane[0] == 0 and long - 2 * end >= 2.5 * d * (screws.count - 1) else 1
    else:
        n, end = _clear_row(screws, near, met.lo[met.plane[0]], long, among)
    own = {
        "count": float(n), "diameter_mm": d, "length_mm": screws.length_mm, "counterbore_mm": round(deep, 1),
        "end_mm": round(end, 1) if n > 1 else long / 2, "slot_mm": SLOT_MM if crossing and n > 1 else 0.0,
    }
    try:
        note = screws.note.replace(TWO_HOLES, "one hole, close") if n == 1 else screws.note
        return replace(screws, count=n, note=note, row=ScrewRow.between(near, far, screws.family, own)) if n else screws
    except ValueError:
        return screws


def _clear_row(screws: Screws, rail: Member, low: float, long: float, among: Sequence[Member]) -> tuple[int, float]:
    """How many screws, and how far the outer ones from the ends, nearest to what is asked for that meet no mortise. [mm]

    (0, 0) where there is no such row.
    """
    d, own = screws.diameter_mm, rail.piece_box
    into = []
    for m in among:
        box = m.piece_box
        touches = all(box.lo[k] < own.hi[k] + 0.1 and box.hi[k] > own.lo[k] - 0.1 for k in range(3))
        across = abs(sum(a * b for a, b in zip(m.placement.along, rail.placement.along))) < 0.5
        if m.ref != rail.ref and touches and across:
            at = sorted(rail.placement.to_member(c)[0] - low for c in (box.lo, box.hi))
            into.append((at[0] - d - WALL_MM, at[1] + d + WALL_MM))
    usual = max(min(60.0, long / 4), END_D * d)
    for n in sorted(range(1, screws.count + 4), key=lambda n: (abs(n - screws.count), -n)):
        further, nearer = (usual + 8.0 * k for k in range(1, 9)), (max(usual - 8.0 * k, END_D * d) for k in range(1, 5))
        for end in (usual, *further, *nearer):
            run = long - 2 * end
            if n > 1 and run < 2.5 * d * (n - 1):
                continue
            spots = [long / 2] if n == 1 else [end + run * k / (n - 1) for k in range(n)]
            if not any(a < x < b for x in spots for a, b in into):
                return n, end
    return 0, 0.0


def slat_width(total_mm: float, count: int, gap_mm: float) -> tuple[float, float]:
    """Width of a slat in half millimetres, and the gap that closes the total exactly. [mm]"""
    if count == 1:
        return total_mm, 0.0
    width = math.floor(2 * (total_mm - (count - 1) * gap_mm) / count + 1e-9) / 2
    return width, (total_mm - count * width) / (count - 1)


def tips_at_edge(name: str, way: str, beyond_mm: float, height_mm: float, load: Load | None = None) -> Finding:
    """A sitter at the edge of a seat that stands out past the feet; the piece's own weight left aside.

    ``load``: someone at the edge, as set for the piece; None for the standard's 600 N.
    """
    down = load.force_n if load else SEAT_LOAD_N
    turning = SEAT_OUTWARD_N * height_mm + down * max(beyond_mm - SEAT_INSIDE_MM, 0.0)
    holding = down * max(SEAT_INSIDE_MM - beyond_mm, 0.0)
    most = SEAT_INSIDE_MM - SEAT_OUTWARD_N * height_mm / max(down, 1.0)
    return from_ratio(
        name, f"tipping {way}", turning / 1000, holding / 1000, "N m",
        rule=f"{down:.0f} N at 60 mm from the edge with 20 N outwards, its own weight left aside",
        source="EN 1022:2018, worked by moments" + (f"; {down:.0f} N is {load.whose}, for its {SEAT_LOAD_N:.0f} N" if load and (load.own or down != SEAT_LOAD_N) else ""),
        mend=f"Let the seat stand {max(most, 0):.0f} mm or less past the feet.", stage="sizes",
        says=f"the seat stands {max(beyond_mm, 0):.0f} mm past the feet; at {max(most, 0):.0f} mm or less the test does not tip it",
    )


def tips_backwards(name: str, back_to_feet_mm: float, seat_mm: float, back_top_mm: float) -> Finding:
    """A sitter leaning on the back; the piece's own weight left aside.

    ``back_to_feet_mm``: from the face of the back at the seat to the rear feet, positive behind it.
    """
    push = 80.0 if seat_mm >= 720 else 0.2857 * (1000 - seat_mm)
    at = seat_mm + min(300.0, back_top_mm)
    tips = SEAT_LOAD_N * max(175.0 + back_to_feet_mm, 0.0) / at
    further = push * at / SEAT_LOAD_N / 0.9 - 175.0 - back_to_feet_mm
    where = "at the top of the back" if back_top_mm <= 300 else "300 mm above the seat"
    return from_ratio(
        name, "tipping backwards", push, tips, "N",
        rule=f"with {SEAT_LOAD_N:.0f} N on the seat, 175 mm before the back, it holds {push:.0f} N pushing the back {where}; how far the back leans does not count",
        source="EN 1022, from memory",
        mend=f"Set the rear feet {max(further, 1):.0f} mm further back: deeper posts" + (", or a lower back." if back_top_mm <= 300 else "."), stage="sizes",
        says=f"someone sitting, it tips from {tips:.0f} N {where}; it must hold {push:.0f} N",
    )


