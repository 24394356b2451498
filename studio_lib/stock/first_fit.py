"""The quick layout: first fit in several orders, the cheapest kept.

Plain Python, exact to a tenth of a millimetre, the same answer every time. A free
rectangle is split edge to edge round each piece placed in it, so every layout can
be sawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

from studio_lib.stock.job import Cell, Filled, Job, meets, split, useful

ORDERS = (
    lambda k: (-k.thickness_mm, -k.length, -k.width),
    lambda k: (-k.thickness_mm, -k.length * k.width, -k.length),
    lambda k: (-k.length, -k.width, -k.thickness_mm),
)
"""Which kind is placed first."""

CHOICES = (
    lambda stock, fits: stock.price,
    lambda stock, fits: stock.price / (stock.length * stock.width),
    lambda stock, fits: stock.price / fits,
)
"""Which board is fetched next, the least first: its price, by area, by piece it can give."""

FEW = 3
"""Layouts whose boards are then exchanged for cheaper ones."""

UNKNOWN = ()
"""Of a place that nobody looked for yet; None where there is none."""

Rect = tuple[int, int, int, int]
"""x, y, length, width of free timber. [units]"""


@dataclass
class _Open:
    """A board being filled, or several that are filled alike."""

    stock: int
    free: tuple[Rect, ...]
    cells: tuple[Cell, ...]
    times: int = 1


def first_fit(job: Job, first_cut: str = "either", start=()) -> list[Filled]:
    """The cheapest of the first-fit layouts; pieces short are simply not in it.

    ``start`` are boards already filled: their places stay, and what is free round them is used.
    """
    ways = {"either": (True, False), "crosscut": (True,), "rip": (False,)}[first_cut]
    begun = {way: [(filled, _free_round(job, filled, way)) for filled in start] for way in ways}
    kinds = range(len(job.kinds))
    sequences = dict.fromkeys(tuple(sorted(kinds, key=lambda i: order(job.kinds[i]))) for order in ORDERS)
    known: dict = {}
    few: list = []
    for sequence in sequences:
        for choice in CHOICES:
            for crosscut_first in ways:
                # Dearer than the last of few that have it all, it could not become one of them.
                limit = few[-1][0][1] if len(few) == FEW and not few[-1][0][0] else None
                opened = _Attempt(job, sequence, choice, crosscut_first, begun[crosscut_first], known).run(limit)
                if opened is not None:
                    few = sorted([*few, (_worth(job, opened), opened)], key=lambda one: one[0])[:FEW]
    moved = [_cheaper_boards(job, [Filled(o.stock, o.cells) for o in opened for _ in range(o.times)]) for _, opened in few]
    return min(moved, key=lambda filled: _worth(job, filled))


def _worth(job: Job, boards):
    """Volume of the pieces short, cost, number of boards, and what is left over, the less the better."""
    wanted, cost, number, left_over = [k.count for k in job.kinds], Decimal(0), 0, 0.0
    for b in boards:
        times = getattr(b, "times", 1)
        for cell in b.cells:
            wanted[cell.kind] -= cell.layers * times
        cost += job.stocks[b.stock].price * times
        number += times
        left_over += useful(job, b) * times
    return sum(n * k.piece_mm3 for n, k in zip(wanted, job.kinds) if n > 0), cost, number, -left_over


def area_floor(job: Job) -> Decimal | None:
    """A coarse floor under the cost, from areas alone; None where the boards are too few for it.

    A kind's area counts shared by the layers that its best board gives, a board at most its own
    area times what its layers make of that; the cheapest boards by this measure, the last one in
    part. Also for the thick kinds alone, which thin boards do not help. Valid for any layout: no
    pieces on a board overlap. ``job`` is rounded to the generous side.
    """
    floor = Decimal(0)
    for kinds, stocks in split(job):
        best = Decimal(0)
        for thick in sorted({job.kinds[i].thickness_mm for i in kinds}):
            some = [i for i in kinds if job.kinds[i].thickness_mm >= thick]
            least = _least_cost(job, some, stocks)
            if least is None:
                return None
            best = max(best, least)
        floor += best
    if not job.stocks:
        return None
    digits = max(0, *(-s.price.as_tuple().exponent for s in job.stocks))
    return floor.quantize(Decimal(1).scaleb(-digits), ROUND_DOWN)


def _least_cost(job: Job, kinds, stocks) -> Decimal | None:
    most = {i: max(job.stocks[b].layers[i] for b in stocks) for i in kinds}
    need = sum(Decimal(job.kinds[i].length * job.kinds[i].width * job.kinds[i].count) / most[i] for i in kinds)
    worth = []
    for b in stocks:
        stock = job.stocks[b]
        share = max((Decimal(stock.layers[i]) / most[i] for i in kinds), default=Decimal(0))
        if share:
            worth.append((stock.price / (stock.length * stock.width * share), stock.length * stock.width * share,
                          job.limit(b)))
    cost = Decimal(0)
    for rate, size, count in sorted(worth):
        used = min(need, size * count)
        cost += used * rate
        need -= used
        if need <= 0:
            return cost * (1 - Decimal("1e-9"))
    return None


class _Attempt:
    """One first-fit run with one order of pieces, choice of boards and way of splitting."""

    def __init__(self, job: Job, sequence, choice, crosscut_first: bool, start, known: dict):
        """``start``: boards already filled, each with what is free round its pieces.

        ``known`` keeps what a board takes of a kind, and where in a part of it a kind lies: many runs ask the same.
        """
        self.known = known
        self.job, self.choice, self.crosscut_first = job, choice, crosscut_first
        self.sequence = sequence
        self.left = [job.limit(b) for b in range(len(job.stocks))]
        self.opened: list[_Open] = []
        self.short = [k.count for k in job.kinds]
        self.cost = Decimal(0)
        for filled, free in start:
            board = _Open(filled.stock, tuple(free), filled.cells)
            self.opened.append(board)
            self.left[filled.stock] -= 1
            self.cost += job.stocks[filled.stock].price
            for cell in filled.cells:
                self.short[cell.kind] -= cell.layers

    def run(self, limit: Decimal | None = None) -> list[_Open] | None:
        """The boards filled; None once they cost more than a limit."""
        for kind in self.sequence:
            short, n = max(0, self.short[kind]), 0
            length, width = self.job.kinds[kind].length, self.job.kinds[kind].width
            while short and n < len(self.opened):
                here = self.opened[n]
                for rect in here.free:
                    if rect[2] >= length and rect[3] >= width:
                        break
                else:
                    n += 1
                    continue
                taken, filled, placed = self._alike(here, kind, short)
                if taken == here.times:
                    self.opened[n] = filled
                elif taken:
                    here.times -= taken
                    self.opened.insert(n, filled)
                short -= taken * placed
                n += 1
            for stock in self._boards_for(kind, short) if short else ():
                while short and self.left[stock]:
                    taken, filled, placed = self._alike(_fresh(self.job, stock, self.left[stock]), kind, short)
                    if not taken:
                        break
                    short -= taken * placed
                    self.left[stock] -= taken
                    self.opened.append(filled)
                    self.cost += self.job.stocks[stock].price * taken
                    if limit is not None and self.cost > limit:
                        return None
        return self.opened

    def _alike(self, board: _Open, kind: int, short: int) -> tuple[int, _Open | None, int]:
        """How many boards of several alike take the same of a kind, one of them filled, and what each takes."""
        free, cells, placed = self._fill(board.stock, board.free, kind, short)
        if not placed:
            return 0, None, 0
        times = min(board.times, short // placed)
        return times, _Open(board.stock, free, board.cells + cells, times), placed

    def _boards_for(self, kind: int, short: int) -> list[int]:
        asked = (self.choice, kind, short)
        ranked = self.known.get(asked)
        if ranked is None:
            piece, several = self.job.kinds[kind], []
            for b, stock in enumerate(self.job.stocks):
                layers = stock.layers[kind]
                if layers:
                    room = (stock.length // piece.length) * (stock.width // piece.width) * layers
                    several.append((self.choice(stock, min(short, room)), stock.price, b))
            ranked = self.known[asked] = [b for *_, b in sorted(several)]
        return [b for b in ranked if self.left[b]]

    def _fill(self, stock: int, free: tuple[Rect, ...], kind: int, short: int) -> tuple[tuple[Rect, ...], tuple[Cell, ...], int]:
        """As many of a kind as a board takes, at most ``short``: what is free then, its new cells, how many that is."""
        layers = self.job.stocks[stock].layers[kind]
        if not layers:
            return free, (), 0
        asked = (stock, free, kind, short, self.crosscut_first)
        found = self.known.get(asked)
        if found is None:
            room, cells, wanted = list(free), [], short
            while wanted:
                spot = self._take(stock, room, kind)
                if spot is None:
                    break
                cells.append(Cell(kind, *spot, min(layers, wanted)))
                wanted -= cells[-1].layers
            found = self.known[asked] = tuple(room), tuple(cells), short - wanted
        return found

    def _take(self, stock: int, free: list[Rect], kind: int) -> tuple[int, int] | None:
        """Where the next of a kind goes, in the tightest part with room for it; that part is split round it."""
        piece = self.job.kinds[kind]
        length, width = piece.length, piece.width
        for *_, rect in sorted([(r[3] - width, r[2] - length, r) for r in free if r[2] >= length and r[3] >= width]):
            asked = (stock, kind, rect)
            spot = self.known.get(asked, UNKNOWN)
            if spot is UNKNOWN:
                faults = [f for f in self.job.stocks[stock].faults if f[4] > piece.tolerates]
                spot = self.known[asked] = _spot(rect, length, width, faults)
            if spot:
                free.remove(rect)
                free += _split(rect, *spot, length, width, self.crosscut_first)
                return spot
        return None


def _fresh(job: Job, stock: int, times: int) -> _Open:
    return _Open(stock, ((0, 0, job.stocks[stock].length, job.stocks[stock].width),), (), times)


def _free_round(job: Job, filled: Filled, crosscut_first: bool) -> list[Rect]:
    """Free timber of a board round the cells on it, by the cuts that take them apart."""
    stock = job.stocks[filled.stock]
    todo = [((0, 0, stock.length, stock.width), list(filled.cells))]
    free = []
    while todo:
        rect, cells = todo.pop()
        if not cells:
            free.append(rect)
            continue
        if len(cells) == 1:
            kind = job.kinds[cells[0].kind]
            free += _split(rect, cells[0].x, cells[0].y, kind.length, kind.width, crosscut_first)
            continue
        parts = _parted(job, rect, cells)
        if parts is not None:
            todo += parts
    return free


def _parted(job: Job, rect: Rect, cells):
    """A part cut in two between its cells, or None where no cut passes."""
    x, y, dx, dy = rect
    for axis in (0, 1):
        spans = sorted(
            ((c.x, c.x + job.kinds[c.kind].length, c) if axis == 0 else (c.y, c.y + job.kinds[c.kind].width, c)
             for c in cells), key=lambda s: s[:2],
        )
        reached = spans[0][1]
        for n, (start, end, _) in enumerate(spans[1:], 1):
            if start >= reached:
                near, far = [s[2] for s in spans[:n]], [s[2] for s in spans[n:]]
                # All room to the near part: it may take another piece.
                if axis == 0:
                    return [((x, y, start - x, dy), near), ((start, y, x + dx - start, dy), far)]
                return [((x, y, dx, start - y), near), ((x, start, dx, y + dy - start), far)]
            reached = max(reached, end)
    return None


def _spot(rect: Rect, length: int, width: int, faults) -> tuple[int, int] | None:
    """The lowest place along then across where a piece lies clear of the faults."""
    x, y, dx, dy = rect
    near = [f for f in faults if meets(f, x, y, dx, dy)]
    if not near:
        return x, y
    xs = sorted({x, *(f[1] for f in near if x < f[1] <= x + dx - length)})
    ys = sorted({y, *(f[3] for f in near if y < f[3] <= y + dy - width)})
    for px in xs:
        for py in ys:
            if not any(meets(f, px, py, length, width) for f in near):
                return px, py
    return None


def _split(rect: Rect, px, py, length, width, crosscut_first: bool) -> list[Rect]:
    """What is left of a free rectangle round a piece, each part reached edge to edge."""
    x, y, dx, dy = rect
    end, top = x + dx, y + dy
    if crosscut_first:
        parts = [
            (x, y, px - x, dy), (px + length, y, end - px - length, dy),
            (px, y, length, py - y), (px, py + width, length, top - py - width),
        ]
    else:
        parts = [
            (x, y, dx, py - y), (x, py + width, dx, top - py - width),
            (x, py, px - x, width), (px + length, py, end - px - length, width),
        ]
    return [p for p in parts if p[2] > 0 and p[3] > 0]


def _cheaper_boards(job: Job, filled: list[Filled]) -> list[Filled]:
    """Move what lies on a board, as it lies, to a cheaper board that can hold it."""
    left = [job.limit(b) for b in range(len(job.stocks))]
    for f in filled:
        left[f.stock] -= 1
    by_price = sorted(range(len(job.stocks)), key=lambda b: job.stocks[b].price)
    moved = []
    for f in sorted(filled, key=lambda f: -job.stocks[f.stock].price):
        for b in by_price:
            if job.stocks[b].price >= job.stocks[f.stock].price:
                break
            if left[b] and _holds(job, b, f.cells):
                left[f.stock] += 1
                left[b] -= 1
                f = Filled(b, f.cells)
                break
        moved.append(f)
    return moved


def _holds(job: Job, stock: int, cells) -> bool:
    board = job.stocks[stock]
    for c in cells:
        kind = job.kinds[c.kind]
        if (
            c.layers > board.layers[c.kind]
            or c.x + kind.length > board.length or c.y + kind.width > board.width
            or any(f[4] > kind.tolerates and meets(f, c.x, c.y, kind.length, kind.width)
                   for f in board.faults)
        ):
            return False
    return True
