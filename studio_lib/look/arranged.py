"""Where the pieces of a commission stand in its pictures: as many as are ordered, seats at their table, a low table before its seat."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from studio_lib.forms import form
from studio_lib.forms.beside import DINING_FROM_MM, FREE_MM, PLACE_MM, Table, table_of
from studio_lib.forms.clamped import before_its_neighbour
from studio_lib.piece import Piece, Placement
from studio_lib.structure.loads import serves

BESIDE_MM = 450.0
"""Between two pieces shown beside each other."""
CLEAR_MM = 50.0
"""Between a table and a seat that does not go under it; in pictures only."""
BEFORE_MM = 400.0
"""From the front of a seat to a low table before it; common practice, no source."""
MOST_SHOWN = 12
"""Of one piece no more are drawn, however many are ordered."""
PASSAGE_MM = 900.0
"""To walk between two tables with their seats; common practice, no source."""
APART_MM = 150.0
"""Between a table taken apart and a seat taken apart."""
SQUARE_MM = 300.0
"""A table longer than wide by less than this is sat at from all four sides alike; judgement of ours."""


@dataclass(frozen=True)
class Stood:
    """One piece where it stands. Offset in mm; ``turned``: half round, so that a back faces away from the table."""

    piece: Piece
    offset_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    turned: bool = False
    out: tuple[float, float] | None = None
    """The way it is drawn out from its table, or from its seat, before anything is taken apart; None where it stands alone."""
    from_mm: tuple[float, float] = (0.0, 0.0)
    """Where the middle of that table or seat is."""
    place: str = ""
    """Where it stands, where that is elsewhere than the brief says: its timber then ages as it does there."""


def seen_at(timber: str, place: str) -> str:
    """The name under which a timber's look is kept for pieces that stand elsewhere."""
    return f"{timber}, {place}" if timber else place


def arranged(made: Sequence) -> list[Stood]:
    """Every piece ordered where it stands in use, in the order of ``made`` (``derive.Made``), ``MOST_SHOWN`` of each at most.

    Benches stand along the long sides of the first table that is eaten at, stools round it where there are several, half under
    it where they go between its legs; of several such tables each has its share of them. A low table stands before the first bench that is at no table, its length along it. What
    has no table, and a stool alone, stands beside it along x; screens of one kind edge to edge. What hangs on a wall hangs over the first piece
    that ends below it and is not sat round. What stands at a wall has its back where everything ends, and nothing is behind it.
    """
    made = [m for m in made if m.piece.members]
    counts = [min(m.item.count, MOST_SHOWN) for m in made]
    at = next((i for i, m in enumerate(made) if m.table == "eaten at"), None)
    host = next((i for i, m in enumerate(made) if m.item.form == "bench" and not (m.at_table and at is not None)), None)
    before = [i for i, m in enumerate(made) if m.table == "low" and m.piece.overall_mm[2] < DINING_FROM_MM] if host is not None else []
    hangs = _hung_over(made, at)
    found: dict[tuple[int, int], Stood] = {}
    if at is not None:
        found |= _at_tables(made, counts, at)
    edge = max((s.offset_mm[0] + s.piece.overall_mm[0] / 2 for s in found.values()), default=None)
    for i, m in enumerate(made):
        half = m.piece.overall_mm[0] / 2
        for k in range(counts[i]):
            if (i, k) not in found and i not in before and i not in hangs:
                apart = 0.0 if k and serves(m.item.form) == "screen" else BESIDE_MM
                x = 0.0 if edge is None else edge + apart + half
                found[i, k], edge = Stood(_in_row(m, k, counts[i]), (x, 0.0, 0.0)), x + half
    for under in dict.fromkeys(hangs.values()):
        middle = found[under, 0].offset_mm[0]
        found |= _in_rows_over(middle, [((i, k), made[i].piece) for i, u in hangs.items() if u == under for k in range(counts[i])])
    _to_the_wall(made, found, {(under, 0) for under in hangs.values()})
    row = [s for (i, _), s in found.items() if i == host]
    tables = [(i, k) for i in before for k in range(counts[i])]
    long = sum(made[i].piece.overall_mm[0] for i, _ in tables) + FREE_MM * (len(tables) - 1)
    x = (row[0].offset_mm[0] + row[-1].offset_mm[0] - long) / 2 if row else 0.0
    for i, k in tables:
        piece, seat = made[i].piece, row[0]
        y = seat.offset_mm[1] + _deep(seat.piece)[0] - BEFORE_MM - _deep(piece)[1]
        found[i, k] = Stood(piece, (x + piece.overall_mm[0] / 2, y, 0.0), False, (0.0, -1.0), seat.offset_mm[:2])
        x += piece.overall_mm[0] + FREE_MM
    return [replace(found[key], place=made[key[0]].elsewhere) for key in sorted(found)]


def _at_tables(made, counts: list[int], at: int) -> dict[tuple[int, int], Stood]:
    """The tables that are eaten at, one behind another, each with its share of the seats; the first tables have what is left over."""
    found, tables = {}, counts[at]
    taken = dict.fromkeys(range(len(made)), 0)
    rows = []
    for table in range(tables):
        free, row = _Round(made[at]), {(at, table): Stood(made[at].piece)}
        for bench in (True, False):
            for i, m in enumerate(made):
                if m.at_table and (m.item.form == "bench") == bench and (bench or counts[i] > 1):
                    share = counts[i] // tables + (table < counts[i] % tables)
                    for stood in (free.benches if bench else free.stools)(m, share) if share else []:
                        row[i, taken[i]] = stood
                        taken[i] += 1
        rows.append(row)
    deep = max(abs(s.offset_mm[1]) + max(_deep(s.piece)[1], -_deep(s.piece)[0]) for row in rows for s in row.values())
    for table, row in enumerate(rows):
        back = table * (2 * deep + PASSAGE_MM)
        found |= {key: replace(s, offset_mm=(s.offset_mm[0], s.offset_mm[1] + back, 0.0), from_mm=(0.0, back)) for key, s in row.items()}
    return found


def _in_row(made, k: int, count: int) -> Piece:
    """One screen of several side by side: that at its right has the upright between them, where they share it."""
    clamps = form(made.item.form).clamps(made.sizes)
    return before_its_neighbour(made.piece, clamps) if clamps and clamps.shared and k < count - 1 else made.piece


def _deep(piece: Piece) -> tuple[float, float]:
    """Front and back of a piece, from its own middle. [mm]"""
    boxes = [m.piece_box for m in piece.members]
    return min(b.lo[1] for b in boxes), max(b.hi[1] for b in boxes)


def _hung_over(made, eaten_at: int | None) -> dict[int, int]:
    """Over which piece each one hangs that hangs on the wall, by their places in ``made``; those left out that hang over none."""
    hung = [i for i, m in enumerate(made) if form(m.item.form).hung(m.sizes)]
    stand = [i for i, m in enumerate(made) if i not in hung and i != eaten_at and m.item.count == 1 and (m.table != "low" or m.piece.overall_mm[2] >= DINING_FROM_MM) and not m.at_table and serves(m.item.form) != "screen"]
    over = {i: next((u for u in stand if _high(made[u].piece)[1] <= _high(made[i].piece)[0]), None) for i in hung}
    return {i: u for i, u in over.items() if u is not None}


def _in_rows_over(middle_mm: float, hung: list[tuple[tuple[int, int], Piece]]) -> dict[tuple[int, int], Stood]:
    """What hangs over one place: side by side what is at one height, the middle of each row over it. [mm]"""
    rows: list[list[tuple[tuple[int, int], Piece]]] = []
    for key, piece in hung:
        low, high = _high(piece)
        row = next((r for r in rows if any(low < _high(p)[1] and _high(p)[0] < high for _, p in r)), None)
        if row is None:
            rows.append(row := [])
        row.append((key, piece))
    found = {}
    for row in rows:
        x = middle_mm - (sum(p.overall_mm[0] for _, p in row) + FREE_MM * (len(row) - 1)) / 2
        for key, piece in row:
            found[key] = Stood(piece, (x + piece.overall_mm[0] / 2, 0.0, 0.0))
            x += piece.overall_mm[0] + FREE_MM
    return found


def _high(piece: Piece) -> tuple[float, float]:
    """Lowest and highest of a piece above the floor. [mm]"""
    boxes = [m.piece_box for m in piece.members]
    return min(b.lo[2] for b in boxes), max(b.hi[2] for b in boxes)


def _to_the_wall(made, found: dict[tuple[int, int], Stood], under: set[tuple[int, int]]) -> None:
    """Move what stands at a wall back, and what something hangs over, so that all of it ends at one wall behind the rest."""
    at_wall = [key for key, s in found.items() if key in under or (made[key[0]].at_wall and s.out is None and not made[key[0]].table)]
    if not at_wall:
        return
    wall = max(s.offset_mm[1] + (_deep(s.piece)[1] if not s.turned else -_deep(s.piece)[0]) for s in found.values())
    for key in at_wall:
        s = found[key]
        found[key] = replace(s, offset_mm=(s.offset_mm[0], wall - _deep(s.piece)[1], 0.0))


class _Round:
    """The places round one table as they are taken."""

    def __init__(self, made):
        self.length, self.width, _ = made.piece.overall_mm
        self.table: Table = table_of(made.piece)
        self.round = made.sizes.get("outline") == 1
        self.benched = 0

    def _under(self, piece: Piece, wide_mm: float, room_mm: float) -> bool:
        """Whether a seat goes in under the table, ``room_mm`` being free between the legs."""
        return not self.round and piece.overall_mm[2] < self.table.under_mm and wide_mm + 2 * FREE_MM <= room_mm + 1e-6

    def _off(self, half_mm: float, deep_mm: float, under: bool) -> float:
        """From the middle of the table to the middle of a seat."""
        return half_mm if under else half_mm + CLEAR_MM + deep_mm / 2

    def benches(self, m, count: int) -> list[Stood]:
        """Along the long sides in turn, the front first; several on a side end to end."""
        long, deep, _ = m.piece.overall_mm
        back = m.sizes.get("back", 0) == 1
        a_side, out = math.ceil(count / 2), []
        under = not back and self._under(m.piece, a_side * long + (a_side - 1) * FREE_MM, self.table.between_mm)
        for k in range(count):
            side = -1.0 if (self.benched + k) % 2 == 0 else 1.0
            row = len(range(k % 2, count, 2))
            x = (k // 2 - (row - 1) / 2) * (long + FREE_MM)
            out.append(Stood(m.piece, (x, side * self._off(self.width / 2, deep, under), 0.0), back and side < 0, (0.0, side)))
        self.benched += count
        return out

    def stools(self, m, count: int) -> list[Stood]:
        """Round a round table; else along the long sides that no bench has, and at the ends."""
        wide, deep, _ = m.piece.overall_mm
        if self.round:
            turns = [(math.sin(t), -math.cos(t)) for t in (2 * math.pi * k / count for k in range(count))]
            off = [self._off(half, math.hypot(wide, deep), False) for half in (self.length / 2, self.width / 2)]
            return [Stood(m.piece, (off[0] * x, off[1] * y, 0.0), False, (x, y)) for x, y in turns]
        sides = [(0.0, -1.0), (0.0, 1.0)][min(self.benched, 2):]
        ends = [(-1.0, 0.0), (1.0, 0.0)]
        most = max(int(self.length // max(PLACE_MM, wide + FREE_MM)), 1)
        at: dict[tuple[float, float], int] = {}
        order = [*sides, *ends] if self.length < self.width + SQUARE_MM else [*sides * most, *ends]
        for k in range(count):
            way = order[k] if k < len(order) else (sides or ends)[k % len(sides or ends)]
            at[way] = at.get(way, 0) + 1
        out = []
        for (x, y), row in at.items():
            if y:
                under = self._under(m.piece, row * wide + (row - 1) * FREE_MM, self.table.between_mm)
                step = max((self.table.between_mm if under else self.length) / row, wide + FREE_MM)
                out += [
                    Stood(m.piece, ((k - (row - 1) / 2) * step, y * self._off(self.width / 2, deep, under), 0.0), False, (x, y))
                    for k in range(row)
                ]
            else:
                out += [
                    Stood(m.piece, (x * self._off(self.length / 2, wide, False), (k - (row - 1) / 2) * (deep + FREE_MM), 0.0), False, (x, y))
                    for k in range(row)
                ]
        return out


def scene_of(stood: Sequence[Stood]) -> list:
    """Pieces where they stand as a scene: [(piece name, meshes, offset)].

    A seat at a table is drawn out from it as the first step of taking apart, as far as neither comes upon the other.
    """
    from studio_lib.solids import meshes

    tables = {id(s.piece): meshes(s.piece) for s in stood if s.out is None}
    reach = [max((_reach(members, axis, sign) for members in tables.values() for sign in (1, -1)), default=0.0) for axis in (0, 1)]
    out = []
    for s in stood:
        members = meshes(s.piece)
        if s.place:
            members = tuple(replace(m, timber=seen_at(m.timber, s.place)) for m in members)
        if s.turned:
            members = tuple(_turned(m) for m in members)
        if s.out is not None:
            axis = 0 if abs(s.out[0]) > abs(s.out[1]) else 1
            own = max(_reach(members, axis, sign) for sign in (1, -1))
            far = max(reach[axis] + own + APART_MM - abs(s.offset_mm[axis] - s.from_mm[axis]), 0.0)
            step = (far * s.out[0], far * s.out[1], 0.0)
            members = tuple(replace(m, pulls=(step, *m.pulls)) for m in members)
        out.append((s.piece.name, members, s.offset_mm))
    return out


def _reach(members, axis: int, sign: int) -> float:
    """How far a piece taken apart reaches from its middle. [mm]"""
    far = 0.0
    for m in members:
        p = m.placement
        ends = [p.origin[axis] + sum(p_way[axis] * size * at for p_way, size, at in zip((p.along, p.across, p.through), m.size_mm, corner))
                for corner in ((0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 1, 0), (1, 0, 1), (0, 1, 1), (1, 1, 1))]
        far = max(far, max(sign * e for e in ends) + sign * sum(step[axis] for step in m.pulls))
    return far


def _turned(m):
    """A member of a piece turned half round."""
    p = m.placement
    half = Placement(_half(p.origin), _half(p.along), _half(p.across))
    leaf = m.leaf and _leaf_turned(m.leaf)
    held = m.held and (_leaf_turned(m.held[0]), _stay_turned(m.held[1]), m.held[2])
    return replace(m, placement=half, pulls=tuple(_half(step) for step in m.pulls), leaf=leaf, held=held)


@lru_cache(maxsize=64)
def _leaf_turned(leaf):
    return replace(leaf, at=_half(leaf.at), axis=_half(leaf.axis), way=_half(leaf.way), stays=tuple(map(_stay_turned, leaf.stays)))


def _stay_turned(stay):
    return replace(stay, foot=_half(stay.foot), head=_half(stay.head))


def _half(v: tuple[float, float, float]) -> tuple[float, float, float]:
    return (-v[0], -v[1], v[2])
