"""A layout job in whole numbers, as the search sees it.

The kerf is embedded once and then forgotten: a run of length U holds pieces iff
the sum of (l + k) stays within U + k, so every piece and every board grows by k
both ways. Sizes become whole units, rounded to the safe side (pieces and faults
up, boards down) for the search and to the generous side for the bound, so that
what is found can be sawn and the bound never rises above the true optimum.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from studio_lib.stock.boards import NEVER, Allowances, Wanted

NEAR = 1e-6
"""Share of a unit by which a float may miss the whole number it stands for."""

FaultBox = tuple[int, int, int, int, int]
"""x0, x1, y0, y1, level: a grown piece at x, y of size l, w meets the fault
iff x < x1 and x + l > x0 and y < y1 and y + w > y0."""


@dataclass(frozen=True)
class Kind:
    """Pieces alike in rough size, rank and timber; sizes grown by the kerf. [units]"""

    length: int
    width: int
    thickness_mm: float
    tolerates: int
    """Highest level of fault that it may hold: see ``_level``."""
    timber: str
    refs: tuple[tuple[str, int], ...]
    """References on the cutting list with the number wanted of each."""
    rough_mm: tuple[float, float]
    grain: tuple[str, ...] = ()
    only_on: str = ""
    leaves: int = 1
    piece_mm3: int = 0
    """Finished volume of one, rounded: what is bought by volume where it finds no board. [mm3]"""

    @cached_property
    def count(self) -> int:
        return sum(n for _, n in self.refs)


@dataclass(frozen=True)
class Stock:
    """Boards alike in size and price; usable size grown by the kerf. [units]"""

    length: int
    width: int
    thickness_mm: float
    timber: str
    price: Decimal
    refs: tuple[tuple[str, int | None], ...]
    faults: tuple[FaultBox, ...]
    grain: tuple[str, ...] = ()
    layers: tuple[int, ...] = ()
    """Copies of each kind that one cell of this board gives; 0 where it does not fit."""

    @cached_property
    def rotten(self) -> list[FaultBox]:
        """What no piece may hold, from the left."""
        return sorted(f for f in self.faults if f[4] > NEVER)

    @cached_property
    def count(self) -> int | None:
        counts = [n for _, n in self.refs]
        return None if None in counts else sum(counts)


@dataclass(frozen=True)
class Cell:
    """A place on a board with ``layers`` copies of one kind in it."""

    kind: int
    x: float
    y: float
    layers: int


@dataclass(frozen=True)
class Filled:
    """One board and what is cut from it."""

    stock: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Job:
    """Kinds and stocks that belong together, in units of ``unit_mm``."""

    kinds: tuple[Kind, ...]
    stocks: tuple[Stock, ...]
    unit_mm: float

    def limit(self, stock: int) -> int:
        """How many boards of a stock could ever be used."""
        count = self.stocks[stock].count
        return self._pieces if count is None else min(count, self._pieces)

    @cached_property
    def _pieces(self) -> int:
        return sum(k.count for k in self.kinds)


@dataclass(frozen=True)
class Saw:
    """What the workshop takes away: kerfs, trim and allowances. [mm]"""

    kerf_mm: float
    end_trim_mm: float
    resaw_kerf_mm: float | None
    allowances: Allowances

    def __post_init__(self):
        for name in ("kerf_mm", "end_trim_mm", "resaw_kerf_mm"):
            value = getattr(self, name)
            if value is not None and not (math.isfinite(value) and value >= 0):
                raise ValueError(f"{name} is {value}; it must be 0 or more, in mm.")


def make_job(pieces, boards, saw: Saw, unit_mm: float, *, generous: bool = False) -> Job:
    """The job in whole units; every kind and stock keeps its index whatever the rounding."""
    kinds = _kinds(pieces, boards, saw, unit_mm, generous)
    stocks = tuple(
        replace(s, layers=tuple(_layers(k, s, saw) for k in kinds))
        for s in _stocks(boards, pieces, saw, unit_mm, generous)
    )
    return Job(kinds, stocks, unit_mm)


def unit_for(pieces, boards, saw: Saw) -> float:
    """1 mm, or a half or a fifth of one where that makes every size exact."""
    for unit_mm in (1.0, 0.5, 0.2):
        tight = make_job(pieces, boards, saw, unit_mm)
        if tight == make_job(pieces, boards, saw, unit_mm, generous=True):
            return unit_mm
    return 1.0


def split(job: Job) -> list[tuple[list[int], list[int]]]:
    """Groups of kinds and stocks that share no board with another group.

    Kinds that fit on no board are in none of them.
    """
    group = list(range(len(job.kinds)))
    for stock in job.stocks:
        fits = [i for i, n in enumerate(stock.layers) if n]
        if fits:
            merged, into = {group[i] for i in fits}, group[fits[0]]
            group = [into if g in merged else g for g in group]
    groups = []
    for g in dict.fromkeys(group):
        kinds = [i for i in range(len(job.kinds)) if group[i] == g]
        stocks = [b for b, s in enumerate(job.stocks) if any(s.layers[i] for i in kinds)]
        if stocks:
            groups.append((kinds, stocks))
    return groups


def part(job: Job, kinds, stocks) -> Job:
    """The job of one group, numbered afresh."""
    return Job(
        tuple(job.kinds[i] for i in kinds),
        tuple(
            replace(job.stocks[b], layers=tuple(job.stocks[b].layers[i] for i in kinds))
            for b in stocks
        ),
        job.unit_mm,
    )


def meets(fault: FaultBox, x: int, y: int, length: int, width: int) -> bool:
    """Would a grown piece at x, y hold some of the fault?"""
    x0, x1, y0, y1, _ = fault
    return x < x1 and x + length > x0 and y < y1 and y + width > y0


def useful(job: Job, filled) -> float:
    """How useful a board's largest leftover is: the square of its area beyond the pieces or beside them. [m4]

    Squared, so that one large leftover counts for more than two of half its size. Only the longest
    stretch without what no piece may hold counts.
    """
    stock, unit_m = job.stocks[filled.stock], job.unit_mm / 1000
    end = max((c.x + job.kinds[c.kind].length for c in filled.cells), default=0)
    top = max((c.y + job.kinds[c.kind].width for c in filled.cells), default=0)
    beyond = _longest_run(end, stock.length, stock.rotten) * stock.width
    beside = _longest_run(0, stock.length, [f for f in stock.rotten if f[3] > top]) * (stock.width - top)
    return (max(beyond, beside) * unit_m**2) ** 2


def _longest_run(low: float, high: float, blocked) -> float:
    longest = 0.0
    for start, end, *_ in blocked:
        longest = max(longest, min(start, high) - low)
        low = max(low, end)
    return max(longest, high - low)


def _up(value: float) -> int:
    return math.ceil(value - NEAR)


def _down(value: float) -> int:
    return math.floor(value + NEAR)


def _kinds(pieces, boards, saw: Saw, unit_mm: float, generous: bool) -> tuple[Kind, ...]:
    grow = _down if generous else _up
    together: dict = defaultdict(list)
    for p in pieces:
        length, width, thickness = p.rough_mm(saw.allowances)
        # A cell gives copies of one reference only, so pieces under two references
        # are one kind only where nothing is resawn.
        own = p.ref if _may_be_resawn(p, thickness, boards, saw) else None
        key = (length, width, thickness, _tolerates(p), p.timber, p.grain, p.only_on, p.leaves, own)
        together[key].append((p.ref, p.count))
    return tuple(
        Kind(
            grow((length + saw.kerf_mm) / unit_mm), grow((width + saw.kerf_mm) / unit_mm),
            thickness, tolerates, timber, tuple(refs), (length, width), grain, only_on, leaves,
            round((length - saw.allowances.length_mm) * (width - saw.allowances.width_mm) * (thickness - saw.allowances.thickness_mm)),
        )
        for (length, width, thickness, tolerates, timber, grain, only_on, leaves, _), refs in together.items()
    )


def _may_be_resawn(piece: Wanted, thickness_mm: float, boards, saw: Saw) -> bool:
    return any(
        b.timber == piece.timber and _slices(thickness_mm, b.thickness_mm, saw) > 1 for b in boards
    )


def _slices(thickness_mm: float, board_mm: float, saw: Saw) -> int:
    """How many of a thickness come out of a board of another."""
    if thickness_mm > board_mm + NEAR:
        return 0
    if saw.resaw_kerf_mm is None:
        return 1
    return math.floor(
        (board_mm + saw.resaw_kerf_mm) / (thickness_mm + saw.resaw_kerf_mm) + NEAR
    )


def _tolerates(piece: Wanted) -> int:
    """0 nothing on either face, 1 a fault on the face that is not seen, 2 small knots, 3 larger ones."""
    return 0 if piece.rank == "show" and piece.shown == "both" else piece.tolerates + 1


def _level(fault, shows: str | None, generous: bool) -> int:
    """How bad a fault is, on the scale of ``_tolerates``; 4 is held by no piece.

    ``shows`` is the face of the board that pieces show; None where it is resawn, so that
    nobody knows how deep a fault on one face goes.
    """
    one_faced = fault.face != "both" and fault.severity < NEVER
    if one_faced and (generous or (shows is not None and fault.face != shows)):
        return 1
    return fault.severity + 1


def _shows(board, pieces, saw: Saw) -> str | None:
    """The better face of a board, or None where a piece may be resawn from it."""
    if any(
        p.timber == board.timber
        and _slices(p.rough_mm(saw.allowances)[2], board.thickness_mm, saw) > 1 for p in pieces
    ):
        return None
    bad = {"front": 0.0, "back": 0.0, "both": 0.0}
    for f in (f for f in board.faults if f.severity):
        bad[f.face] += (f.x1_mm - f.x0_mm) * (f.y1_mm - f.y0_mm)
    return "front" if bad["front"] <= bad["back"] else "back"


def _stocks(boards, pieces, saw: Saw, unit_mm: float, generous: bool) -> list[Stock]:
    shrink = _up if generous else _down
    together: dict = defaultdict(list)
    pinned = {p.only_on for p in pieces}
    for b in boards:
        real = [f for f in b.faults if f.severity]
        own = b.ref if real or b.tapers or b.ref in pinned else None
        shows = _shows(b, pieces, saw) if any(f.face != "both" for f in real) else "front"
        faults = tuple((f, _level(f, shows, generous)) for f in real)
        faults += tuple((f, NEVER + 1) for f in b.beyond_the_edge(generous))
        key = (b.timber, b.length_mm, b.widest_mm, b.thickness_mm, b.price, faults, b.grain, own)
        together[key].append((b.ref, b.count))
    stocks = []
    for (timber, length, width, thickness, price, faults, grain, _), refs in together.items():
        run = length - 2 * saw.end_trim_mm
        if run > 0:
            stocks.append(
                Stock(
                    shrink((run + saw.kerf_mm) / unit_mm), shrink((width + saw.kerf_mm) / unit_mm),
                    thickness, timber, price, tuple(refs),
                    tuple(_fault_box(f, level, saw, unit_mm, generous) for f, level in faults), grain,
                )
            )
    return stocks


def _fault_box(fault, level: int, saw: Saw, unit_mm: float, generous: bool) -> FaultBox:
    low, high = (_up, _down) if generous else (_down, _up)
    kerf, trim = saw.kerf_mm, saw.end_trim_mm
    return (
        low((fault.x0_mm - trim + kerf) / unit_mm), high((fault.x1_mm - trim) / unit_mm),
        low((fault.y0_mm + kerf) / unit_mm), high(fault.y1_mm / unit_mm), level,
    )


def _layers(kind: Kind, stock: Stock, saw: Saw) -> int:
    if stock.timber != kind.timber or kind.length > stock.length or kind.width > stock.width:
        return 0
    if kind.grain and not set(kind.grain) <= set(stock.grain) or (kind.only_on and kind.only_on != stock.refs[0][0]):
        return 0
    layers = min(_slices(kind.thickness_mm, stock.thickness_mm, saw), kind.count)
    return layers // kind.leaves * kind.leaves
