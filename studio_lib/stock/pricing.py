"""Patterns worth having, given what each kind is worth: the pricing step of the search.

Two of them behind one method: ``PlanPricing`` for boards that take pieces side by
side or hold faults, ``BarPricing`` where every piece takes the whole width of a
clean section, so that filling a board is an exact knapsack along its length.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import zip_longest

import numpy as np

from studio_lib.stock import floors, patterns
from studio_lib.stock.floors import sums
from studio_lib.stock.job import Cell, Filled, Job

AROUND_TRIES = 3
AROUND_ALONG, AROUND_ACROSS = 32, 22
"""Places of cuts along and across a board with faults, at most, where any number of stages is looked at."""
MOST_FAULTS = 10
"""Beyond these there are too many edges for such a look."""
AROUND_SHARE = 0.1
"""How often a pattern taken by the dice is one of these, at most: it takes ten times as long as another."""
RIP_ONE_IN = 16
"""How seldom a board is tried ripped first: along the length there are many more places to try."""
MOST_CELLS = 4000
"""Cells that one pattern may have; enough for a board of 5 m in 30 mm squares."""


@dataclass(frozen=True)
class Column:
    """One complete cutting pattern of one board."""

    stock: int
    counts: np.ndarray
    """Copies of each kind it gives."""
    cells: tuple[Cell, ...]

    @property
    def key(self) -> tuple[int, bytes]:
        return (self.stock, self.counts.tobytes())


def column_of(job: Job, filled: Filled) -> Column:
    """The pattern of a board that is already filled."""
    counts = np.zeros(len(job.kinds), np.int64)
    for cell in filled.cells:
        counts[cell.kind] += cell.layers
    return Column(filled.stock, counts, tuple(filled.cells))


def pricing_for(job: Job, first_cut: str = "either"):
    """The bar pricing where it is exact, else the plan pricing."""
    narrowest = min(k.width for k in job.kinds)
    bars = all(not s.faults and 2 * narrowest > s.width for s in job.stocks)
    return BarPricing(job) if bars else PlanPricing(job, first_cut)


class _Sizes:
    """The job's sizes as arrays."""

    def __init__(self, job: Job):
        self.job = job
        self.kl = np.array([k.length for k in job.kinds], np.int64)
        self.kw = np.array([k.width for k in job.kinds], np.int64)
        self.ktol = np.array([k.tolerates for k in job.kinds], np.int64)
        self.lay = np.array([s.layers for s in job.stocks], np.int64)
        self.faults = [np.array(s.faults, np.int64).reshape(-1, 5) for s in job.stocks]

    def sections(self, stocks) -> list[list[int]]:
        """Clean stocks that differ in length only."""
        together: dict = {}
        for b in stocks:
            stock = self.job.stocks[b]
            if not stock.faults:
                together.setdefault((stock.width, stock.layers), []).append(b)
        return list(together.values())


class PlanPricing(_Sizes):
    """Segments, strips and pieces, on clean and on faulted boards."""

    def __init__(self, job: Job, first_cut: str = "either"):
        super().__init__(job)
        self.first_cut = first_cut
        self.cells = np.empty((MOST_CELLS, 4), np.int64)
        self.places = np.empty((MOST_CELLS, 3), np.int64)
        faulted = sum(len(f) > 0 for f in self.faults)
        self.around_share = min(AROUND_SHARE, 1 / max(1, faulted)) if first_cut == "either" else 0.0
        self.turned = {}
        for b, s in enumerate(job.stocks):
            # Turns 4 to 7 rip first: the board and its pieces are laid out with the axes exchanged.
            for turn in range(8) if s.faults or first_cut == "rip" else (0, 4):
                faults, length, width = self.faults[b], s.length, s.width
                if turn & 4:
                    faults, length, width = faults[:, [2, 3, 0, 1, 4]], width, length
                self.turned[b, turn] = _turn(faults, length, width, turn & 3)

    def turn(self, random) -> int:
        """One of the ways to lay a board down, by the dice."""
        turn = int(random.integers(RIP_ONE_IN * 4))
        return {"either": turn & 3 | (4 if turn < 4 else 0), "crosscut": turn & 3, "rip": turn & 3 | 4}[self.first_cut]

    def columns(self, value, left, stocks, turns=(0, 1)) -> list[Column]:
        """The best patterns found for each stock, with at most ``left`` of each kind.

        A faulted board is filled from each of the corners in ``turns``.
        """
        if self.first_cut == "rip":
            turns = tuple(t | 4 for t in turns)
        found = [
            self._filled(b, value, left, turn)
            for b in stocks for turn in turns if (b, turn) in self.turned
        ]
        if self.first_cut != "rip":
            for section in self.sections(stocks):
                found += self._clean(section, value, left)
        return [c for c in found if c is not None]

    def one(self, b: int, value, left, random) -> Column | None:
        """One good pattern of one board, laid down one way by the dice."""
        turn = self.turn(random)
        if len(self.faults[b]) and random.random() < self.around_share:
            return self.around(b, value, left)
        return self._filled(b, value, left, turn if (b, turn) in self.turned else turn & 4)

    def around(self, b: int, value, left) -> Column | None:
        """A pattern of a board with faults by cuts in any number of stages, at the faults' edges and a piece or two from them.

        Exact on those cuts where no kind is wanted less often than the board could take; kinds taken too
        often are made cheaper, and what is left over of them is dropped.
        """
        if self.first_cut != "either":
            return None
        stock, lay = self.job.stocks[b], self.lay[b]
        best, most, worth = None, 0.0, np.where(left > 0, value, 0.0)
        for _ in range(AROUND_TRIES):
            use = np.flatnonzero((lay > 0) & (worth > 0))
            if not len(use):
                break
            faults = self.faults[b]
            faults = faults[faults[:, 4] > self.ktol[use].min()]
            if len(faults) > MOST_FAULTS:
                break
            xs = _cuts(stock.length, faults[:, 0], faults[:, 1], self.kl[use], AROUND_ALONG)
            ys = _cuts(stock.width, faults[:, 2], faults[:, 3], self.kw[use], AROUND_ACROSS)
            levels = np.array([0, *sorted(set(faults[:, 4].tolist()))], np.int64)
            some = np.zeros(len(use), np.int64)
            floors.past_faults_at(xs, ys, faults, self.kl[use], self.kw[use], self.ktol[use], (worth * lay)[use], levels,
                                  some, self.places)
            rows = self.places[: some.sum()].copy()
            rows[:, 0] = use[rows[:, 0]]
            column = self._within(b, rows, lay, left)
            gained = float(column.counts @ value) if column else 0.0
            if gained > most:
                best, most = column, gained
            counts = np.zeros(len(value), np.int64)
            counts[use] = some * lay[use]
            over = counts > left
            if not over.any():
                break
            worth = np.where(over, worth * (left / np.maximum(counts, 1)) ** 0.5, worth)
        return best

    def again(self, column: Column) -> list[Column]:
        """The pieces of a pattern on its board once more, begun from every corner and by several measures."""
        area = (self.kl * self.kw).astype(float)
        ways = (area, area * self.kl, area * self.kw)
        turns = [turn for turn in range(8) if (column.stock, turn) in self.turned]
        if self.first_cut != "either":
            turns = [turn for turn in turns if bool(turn & 4) == (self.first_cut == "rip")]
        found = [self._filled(column.stock, value, column.counts.copy(), turn) for value in ways for turn in turns]
        return [c for c in found if c is not None]

    def _filled(self, b: int, value, left, turn: int) -> Column | None:
        stock = self.job.stocks[b]
        rest = left.copy()
        length, width, kl, kw = stock.length, stock.width, self.kl, self.kw
        if turn & 4:
            length, width, kl, kw = width, length, kw, kl
        order = np.argsort(-value * self.lay[b] / kl, kind="stable")
        _, n = patterns.fill_board(length, width, kl, kw, self.ktol, self.lay[b], self.turned[b, turn],
                                   rest, value, order, self.cells)
        if not n:
            return None
        rows = self.cells[:n].copy()
        if turn & 1:
            rows[:, 1] = length - rows[:, 1] - kl[rows[:, 0]]
        if turn & 2:
            rows[:, 2] = width - rows[:, 2] - kw[rows[:, 0]]
        if turn & 4:
            rows[:, [1, 2]] = rows[:, [2, 1]]
        return Column(b, left - rest, tuple(Cell(*row) for row in rows.tolist()))

    def _clean(self, section, value, left) -> list[Column | None]:
        first = self.job.stocks[section[0]]
        lay = self.lay[section[0]]
        lengths = np.array([self.job.stocks[b].length for b in section], np.int64)
        cells = np.empty((len(section), MOST_CELLS // 4, 3), np.int64)
        rows = np.empty(len(section), np.int64)
        cell_value = np.where(left > 0, value * np.minimum(lay, left), 0.0)
        widths = np.unique(self.kw[(self.kw <= first.width) & (cell_value > 0)])
        if not len(widths):
            return []
        edges, below = strip_edges(first.width, tuple(widths.tolist()))
        patterns.clean_patterns(lengths, widths, edges, below, self.kl, self.kw, cell_value,
                                cells, rows)
        return [self._within(b, cells[i, : rows[i]], lay, left) for i, b in enumerate(section)]

    def _within(self, b: int, rows, lay, left) -> Column | None:
        """The pattern without the copies that nobody wants."""
        rest = left.copy()
        kept = []
        for kind, x, y in rows.tolist():
            layers = min(lay[kind], rest[kind])
            if layers > 0:
                rest[kind] -= layers
                kept.append(Cell(kind, x, y, int(layers)))
        return Column(b, left - rest, tuple(kept)) if kept else None


def _cuts(size: int, starts, ends, parts, most: int) -> np.ndarray:
    """At most so many places for cuts: the faults' edges, then those a piece away from them, then two."""
    parts = sorted(set(parts.tolist()))
    near = [0, *(e for e in ends.tolist() if e < size)]
    far = [size, *(s for s in starts.tolist() if s > 0)]
    found = dict.fromkeys([*near, *far])
    for _ in range(2):
        near = [x + p for x in near for p in parts]
        far = [x - p for x in far for p in parts]
        for x in [y for pair in zip_longest(near, far) for y in pair]:
            if len(found) >= most:
                break
            if x is not None and 0 < x < size:
                found[x] = None
    at = np.array(sorted(x for x in found if 0 <= x <= size), np.int64)
    return np.stack([at, at], 1)


@lru_cache(maxsize=1024)
def strip_edges(board_width: int, widths: tuple[int, ...]):
    """Sums of widths within a board, and which of them lies under a strip ending at another."""
    edges = sums(np.array(widths), board_width)
    below = np.searchsorted(edges, edges[:, None] - np.array(widths), side="right") - 1
    return edges, below


def _turn(faults, length: int, width: int, turn: int):
    """The faults as they lie when the board is turned end for end (1), edge for edge (2)."""
    turned = faults.copy()
    if turn & 1:
        turned[:, 0], turned[:, 1] = length - faults[:, 1], length - faults[:, 0]
    if turn & 2:
        turned[:, 2], turned[:, 3] = width - faults[:, 3], width - faults[:, 2]
    return turned


class BarPricing(_Sizes):
    """Pieces one behind the other: a knapsack with the numbers wanted, exact."""

    def turn(self, random) -> int:
        """One way only: nothing lies beside anything."""
        return 0

    def columns(self, value, left, stocks, turns=(0,)) -> list[Column]:
        """The best pattern of each stock, with at most ``left`` of each kind."""
        found = []
        for section in self.sections(stocks):
            counts, _ = self.fill(section, value, left)
            found += [self._bar(b, counts[i], left) for i, b in enumerate(section)]
        return [c for c in found if c.cells]

    def one(self, b: int, value, left, random) -> Column | None:
        """One good pattern of one board."""
        counts, _ = self.fill([b], value, left)
        column = self._bar(b, counts[0], left)
        return column if column.cells else None

    def again(self, column: Column) -> list[Column]:
        """Pieces one behind the other leave the same wherever they lie."""
        return []

    def fill(self, section, value, left):
        """Cells by kind for each stock of a section, and their values."""
        lay = self.lay[section[0]]
        lengths = np.array([self.job.stocks[b].length for b in section], np.int64)
        most = np.where(lay > 0, -(-left // np.maximum(lay, 1)), 0)
        counts = np.empty((len(section), len(left)), np.int64)
        values = patterns.bar_patterns(lengths, self.kl, value * lay, most, counts)
        return counts, values

    def _bar(self, b: int, cells_of, left) -> Column:
        x, cells, counts = 0, [], np.zeros_like(left)
        for kind in np.flatnonzero(cells_of).tolist():
            for _ in range(cells_of[kind]):
                layers = int(min(self.lay[b, kind], left[kind] - counts[kind]))
                cells.append(Cell(kind, x, 0, layers))
                counts[kind] += layers
                x += int(self.kl[kind])
        return Column(b, counts, tuple(cells))
