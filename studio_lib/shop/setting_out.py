"""Setting out: marks along each member from one datum, stop settings in the order that moves the stop least, rods.

Every distance is taken from the member's own start with its tenon on, so that one end stays
against the stop from the first cut to the last. Taken from the model, never from a picture.
"""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.piece import Piece
from studio_lib.piece.shaping import EndCut
from studio_lib.piece.worked import worked
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
    """The side it is worked from: 'face', 'back', 'upper edge', 'lower edge', 'start', 'end', 'through the face', 'through the
    edge'; '' for a shoulder."""
    depth_mm: float
    diameter_mm: float = 0.0
    """Of a round hole, whose middle both distances then are; one bored into an end runs from one to the other."""
    lower_mm: tuple[float, float] = (0.0, 0.0)
    """From the lower edge, its two sides."""
    in_mm: tuple[float, float] = (0.0, 0.0)
    """In from the face, its two sides."""
    aslant: str = ""
    """True sizes of what is let in aslant, whose middle at its mouth both distances then are."""
    sloping: str = ""
    """Where it lies from a sloping edge of a shaped member."""

    @property
    def into_end(self) -> bool:
        return self.face in ("start", "end")


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

    @property
    def printed_steps_mm(self) -> tuple[float, ...]:
        """The steps in tenths as they are printed: taken between rounded marks, so that they add up to the rounded whole."""
        at = [round(v + 1e-9, 1) for v in self.running_mm]
        return tuple(round(b - a, 1) for a, b in zip(at, at[1:]))


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
    aslant = {c.end for c in m.shaping if isinstance(c, EndCut)}
    out = []
    for name, tenon, at in (("start", start, start), ("end", end, start + m.length_mm)):
        if tenon > SAME_MM:
            out.append(Mark(at, at, f"shoulder{', aslant' if name in aslant else ''}", "", 0.0))
    for k in worked(piece, ref):
        if k.side == "tenon":
            continue
        kind, _, other = k.what.partition(", ")
        what = f"{kind}, {other.partition(' ')[2] or other}" if other else kind
        across = k.round_mm and k.side not in ("start", "end")
        middle = k.mouth_mm[0] if k.mouth_mm else (k.from_mm + k.to_mm) / 2
        at = (middle, middle) if k.mouth_mm or across else (k.from_mm, k.to_mm)
        out.append(Mark(
            round(at[0], 2), round(at[1], 2), what, k.side, round(_depth(k, m), 2), round(k.round_mm, 2),
            *(((round(v, 4),) * 2 for v in k.mouth_mm[1:]) if k.mouth_mm else (tuple(round(v, 4) for v in w) for w in (k.lower_mm, k.face_mm))),
            k.aslant, k.sloping,
        ))
    return tuple(dict.fromkeys(sorted(out, key=lambda k: (k.from_mm, k.to_mm, k.what))))


def _depth(k, m) -> float:
    """How deep something is worked from the side named; 0 where it goes across or is turned. [mm]"""
    (y0, y1), (z0, z1) = k.lower_mm, k.face_mm
    if k.mouth_mm:
        return k.deep_mm
    return {
        "lower edge": y1, "upper edge": m.width_mm - y0, "face": z1, "back": m.thickness_mm - z0, "start": k.to_mm - k.from_mm,
        "end": k.to_mm - k.from_mm, "through the face": m.thickness_mm, "through the edge": m.width_mm,
    }.get(k.side if not k.aslant else "", 0.0)


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
            if mark.into_end or mark.aslant or "aslant" in mark.what:
                continue  # drilled on end in a jig, or struck from its own figures: no stop along the member
            if mark.diameter_mm:
                add(drill, mark.from_mm, f"{row.name}: {mark.diameter_mm:g} hole, {mark.what.partition(',')[0]}", rod.count)
            elif mark.what == "shoulder":
                add(shoulder, round(mark.from_mm, 2), row.name, rod.count)
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
