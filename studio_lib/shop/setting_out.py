"""Setting out: marks along each member from one datum, stop settings in the order that moves the stop least, rods.

Every distance is taken from the member's own start with its tenon on, so that one end stays
against the stop from the first cut to the last. Taken from the model, never from a picture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.piece import Piece, outline
from studio_lib.piece.model import Prism
from studio_lib.stock.cutting_list import Row

SAME_MM = 0.05
"""Marks nearer than this are one mark."""
TEST_FIRST = "Cut a test piece at each setting before the work, and measure it."


@dataclass(frozen=True)
class Mark:
    """What is worked on a member between two distances from its datum end. [mm]"""

    from_mm: float
    to_mm: float
    what: str
    """'mortise and tenon, apron, front': the joint and what it joins; 'shoulder'."""
    face: str
    """The side it is worked from: 'face', 'back', 'upper edge', 'lower edge', 'through', or '' for an end or a shoulder."""
    depth_mm: float
    diameter_mm: float = 0.0
    """Of a round hole, whose middle both distances then are; 0 for anything else."""


@dataclass(frozen=True)
class MemberRod:
    """All marks of members that are worked alike; mirrored ones of a line of the cutting list stand apart."""

    row: Row
    refs: tuple[str, ...]
    count: int
    hand: str
    marks: tuple[Mark, ...]

    @property
    def running_mm(self) -> tuple[float, ...]:
        """Every distance once, from 0 to the overall length."""
        whole = self.row.overall_length_mm
        inner = _once(v for m in self.marks for v in (m.from_mm, m.to_mm) if SAME_MM < v < whole - SAME_MM)
        return (0.0, *inner, whole)

    @property
    def steps_mm(self) -> tuple[float, ...]:
        """From each mark to the next; together they are the overall length."""
        return tuple(b - a for a, b in zip(self.running_mm, self.running_mm[1:]))


@dataclass(frozen=True)
class Stop:
    """One setting of a stop: a distance, and every piece worked at it."""

    machine: str
    """'dock to length', 'shoulder', 'mortise and notch' or 'drill'; a hole is set by its middle."""
    distance_mm: float
    works: tuple[tuple[str, int], ...]
    """(what, how many)"""

    @property
    def count(self) -> int:
        return sum(n for _, n in self.works)


@dataclass(frozen=True)
class RodMark:
    """A member's edge on a full-size rod. [mm]"""

    at_mm: float
    words: str


def _once(values) -> tuple[float, ...]:
    out: list[float] = []
    for v in sorted(values):
        if not out or v - out[-1] > SAME_MM:
            out.append(v)
    return tuple(out)


def member_rods(pieces, rows) -> tuple[MemberRod, ...]:
    """Marks of every line of the cutting list. ``pieces`` is [(piece, count)], ``rows`` their cutting list."""
    by_name = {p.name: (p, n) for p, n in pieces}
    out = []
    for row in rows:
        piece, number = by_name[row.piece]
        alike: dict = {}
        for ref in row.refs:
            alike.setdefault(piece.shape(ref), []).append(ref)
        for refs in alike.values():
            out.append(MemberRod(row, tuple(refs), number * len(refs), piece.member(refs[0]).hand, _marks(piece, refs[0])))
    return tuple(out)


def _marks(piece: Piece, ref: str) -> tuple[Mark, ...]:
    m = piece.member(ref)
    start, end = piece.tenons_mm(ref)
    out = []
    if start > SAME_MM:
        out.append(Mark(start, start, "shoulder", "", 0.0))
    if end > SAME_MM:
        out.append(Mark(start + m.length_mm, start + m.length_mm, "shoulder", "", 0.0))
    for joint in piece.joints:
        if ref not in (joint.first, joint.second):
            continue
        other = piece.member(joint.second if ref == joint.first else joint.first)
        for block in piece.cuts_of(joint).get(ref, ()):
            box = block.bounds
            x0, x1 = max(box.lo[0], -start), min(box.hi[0], m.length_mm + end)
            if x1 - x0 < SAME_MM:
                continue
            face, depth = _worked_from(box, m)
            bore = _bore_mm(block)
            if bore:
                middle = round(start + (box.lo[0] + box.hi[0]) / 2, 2)
                out.append(Mark(middle, middle, f"{joint.kind}, {other.name}", face, round(depth, 2), bore))
                continue
            out.append(Mark(round(start + x0, 2), round(start + x1, 2), f"{joint.kind}, {other.name}", face, round(depth, 2)))
    for shaping in m.shaping:
        for block in shaping.cuts(m):
            box = block.bounds
            x0, x1 = max(box.lo[0], 0.0), min(box.hi[0], m.length_mm)
            if SAME_MM < x1 - x0 < m.length_mm - SAME_MM:
                face, depth = _worked_from(box, m)
                out.append(Mark(round(start + x0, 2), round(start + x1, 2), shaping.kind, face, round(depth, 2)))
    return tuple(dict.fromkeys(sorted(out, key=lambda k: (k.from_mm, k.to_mm, k.what))))


def _bore_mm(block) -> float:
    """Diameter of a round hole drilled square into an edge or a face; 0 for anything else. [mm]"""
    if not isinstance(block, Prism) or not block.at.square or abs(block.at.through[0]) > 0.5:
        return 0.0
    u0, v0, u1, v1 = outline.bounds(block.outline)
    wide = u1 - u0
    is_round = abs(wide - (v1 - v0)) < 1e-6 and abs(abs(outline.area_mm2(block.outline)) - math.pi / 4 * wide**2) < 1e-3 * wide**2
    return round(wide, 2) if is_round else 0.0


def _worked_from(box, m) -> tuple[str, float]:
    """The side a cut opens on and its depth; 'through' where it opens on both."""
    opens = []
    for axis, size, low, high in ((1, m.width_mm, "lower edge", "upper edge"), (2, m.thickness_mm, "back", "face")):
        at_low, at_high = box.lo[axis] <= SAME_MM, box.hi[axis] >= size - SAME_MM
        if at_low and at_high:
            continue
        if at_low:
            opens.append((box.hi[axis], low))
        elif at_high:
            opens.append((size - box.lo[axis], high))
    if not opens:
        return "through", min(m.width_mm, m.thickness_mm)
    depth, side = min(opens)
    return side, depth


def stops(rods, names: dict[str, int] | None = None) -> tuple[Stop, ...]:
    """Stop settings: docking from the longest down, then shoulders and mortises from the shortest up.

    A board is docked to its longest piece first, so that what is spoilt still makes a shorter one;
    between two neighbouring settings the stop then only ever moves one way.
    """
    dock: dict[float, dict[str, int]] = {}
    shoulder: dict[float, dict[str, int]] = {}
    notch: dict[float, dict[str, int]] = {}
    drill: dict[float, dict[str, int]] = {}

    def add(table, distance, what, count):
        at = next((d for d in table if abs(d - distance) <= SAME_MM), distance)
        works = table.setdefault(at, {})
        works[what] = works.get(what, 0) + count

    for rod in rods:
        row = rod.row
        add(dock, round(row.overall_length_mm, 2), row.name, rod.count)
        for mark in rod.marks:
            if mark.diameter_mm:
                add(drill, mark.from_mm, f"{row.name}: {mark.diameter_mm:g} hole, {mark.what.partition(',')[0]}", rod.count)
            elif mark.what == "shoulder":
                near = min(mark.from_mm, row.overall_length_mm - mark.from_mm)
                add(shoulder, round(near, 2), row.name, rod.count)
            else:
                add(notch, mark.from_mm, f"{row.name}: {mark.what.partition(',')[0]}", rod.count)
    made = []
    for machine, table, way in (("dock to length", dock, -1), ("shoulder", shoulder, 1), ("mortise and notch", notch, 1), ("drill", drill, 1)):
        made += [Stop(machine, d, tuple(table[d].items())) for d in sorted(table, key=lambda d: way * d)]
    return tuple(made)


def rod(piece: Piece, axis: str) -> tuple[RodMark, ...]:
    """Edges of the members along one direction of the piece, from its low end: a full-size rod.

    ``axis`` is 'width' (x), 'depth' (y) or 'height' (z). Members that share an edge share a mark.
    """
    k = {"width": 0, "depth": 1, "height": 2}[axis]
    if not piece.members:
        return ()
    datum = min(m.piece_box.lo[k] for m in piece.members)
    at: dict[float, list[str]] = {}
    for m in piece.members:
        for edge in (m.piece_box.lo[k], m.piece_box.hi[k]):
            where = next((a for a in at if abs(a - (edge - datum)) <= SAME_MM), round(edge - datum, 2))
            names = at.setdefault(where, [])
            if m.role not in names:
                names.append(m.role)
    return tuple(RodMark(a, ", ".join(at[a])) for a in sorted(at))
