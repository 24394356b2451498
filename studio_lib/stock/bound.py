"""A proved floor under the cost of every edge-to-edge layout of a job.

For any values pi >= 0 of the kinds, let V_b(pi) be at least the value of whatever
can be cut from one board b. All pieces together are worth pi.d, so every layout
that uses y_b boards has

    sum_b V_b(pi) y_b >= pi.d                                   for every pi

and the least cost over whole y_b that keep these rows is a floor. V_b is the least of

* for clean runs, the any-stage recursion over the runs that full-width faults leave;
* for boards with other faults, lanes of one unit along or across the grain, each
  filled on its own past the faults (valid for any layout at all);
* everything wanted that fits on the board.

The values come from the duals of the search, from single kinds, and from asking for
the boards that the floor would like to use what they cannot hold.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from scipy.optimize import linprog

from studio_lib.stock import floors
from studio_lib.stock.job import Job
from studio_lib.stock.pricing import BarPricing, pricing_for
from studio_lib.stock.whole import solve_whole

SLACK = 1e-5
"""Relative give for the rounding of floats, always to the safe side."""

ROWS_AT_ONCE = 3
SEPARATE_ROUNDS = 15
NEAR_ENOUGH = 0.001
"""How near its least the programme over whole boards is solved; what it proves stays proved."""
CAP_ROWS = 8
WORK = (10_000_000, 300_000_000)
"""Twelve times the steps that one look past the faults of a board may take: at first, and later."""
MOST_ALONG, MOST_ACROSS = 150, 20
"""Rows of places along and across, at most, for such a look."""
MOST_FAULTS = 40
CAP_ROUNDS = 20
"""Steps of the surcharge that heeds the numbers wanted."""


def _rounded_share(parts: int):
    """Share of a length in units of a part, rounded in the kinds' favour where parts + 1 fit."""

    def share(x):
        up = (parts + 1) * x
        return np.where(np.abs(up - np.rint(up)) < 1e-9, x, np.floor(up) / parts)

    return share


SHARES = (lambda x: x, _rounded_share(1), _rounded_share(2), _rounded_share(3))


@dataclass
class Row:
    """Values of the kinds, and what each stock can hold of them at most."""

    value: np.ndarray
    most: np.ndarray
    need: float
    capped: set[int]
    """Stocks whose figure already heeds that no kind is wanted more often than d."""
    active: bool = False


class Floor:
    """The rows gathered so far and the cost they prove; built on the generous job."""

    def __init__(self, job: Job):
        self.job = job
        self.pricing = pricing_for(job)
        self.wanted = np.array([k.count for k in job.kinds], np.int64)
        self.limits = np.array([job.limit(b) for b in range(len(job.stocks))], float)
        self.price = np.array([float(s.price) for s in job.stocks])
        self.turned = [np.ascontiguousarray(f[:, [2, 3, 0, 1, 4]]) for f in self.pricing.faults]
        """The faults of each board with the axes exchanged."""
        self.runs = [self._runs(b) for b in range(len(job.stocks))]
        self.rows: list[Row] = []
        self.layouts: dict[tuple[int, bytes], None] = {}
        """Stock and number of each kind in layouts that reached V_b for some values."""
        self.cost: Decimal | None = None
        """The proved floor; None before the first ``prove``."""
        self.work = WORK[0]
        self.impossible = False
        """True once it is proved that the boards cannot hold everything."""

    def add(self, value) -> None:
        """A row for these values, where they are worth anything."""
        value = np.maximum(value, 0.0)
        if value @ self.wanted > 0:
            most = np.array([
                float((value * self.wanted)[self.pricing.lay[b] > 0].sum())
                for b in range(len(self.price))
            ])
            for section in self.pricing.sections(range(len(self.price))):
                most[section] = np.minimum(most[section], self._clean(section, value)[0])
            for b, stock in enumerate(self.job.stocks):
                if stock.faults:
                    most[b] = min(most[b], self._faulted(b, value)[0])
            self.rows.append(Row(value, most, float(value @ self.wanted), set()))

    def add_classes(self, value) -> None:
        """Rows for these values, for the thick kinds of them only, and for each kind alone."""
        self.add_thick(value)
        for kind in np.eye(len(value)):
            self.add(kind)

    def add_thick(self, value) -> None:
        """Rows for these values, and for the thick kinds of them only, which thin boards do not help."""
        self.add(value)
        for thickness in sorted({k.thickness_mm for k in self.job.kinds})[1:]:
            self.add(np.where([k.thickness_mm >= thickness for k in self.job.kinds], value, 0.0))

    def add_sizes(self, b: int) -> None:
        """Rows that weigh kinds by how they share the length and the width of one board.

        Products of dual feasible functions of the two sizes (Fekete and Schepers, Math.
        Program. 91 (2001) 11-31, from memory). What a board holds of them is computed, so
        a row is sound whatever the weights.
        """
        p, stock = self.pricing, self.job.stocks[b]
        if isinstance(p, BarPricing):
            return
        fits = p.lay[b] > 0
        for along in SHARES:
            for across in SHARES:
                weight = along(p.kl / stock.length) * across(p.kw / stock.width)
                self.add(np.where(fits, weight / np.maximum(p.lay[b], 1), 0.0))

    def prove(self, nodes: int, seconds: float) -> np.ndarray | None:
        """Raise the floor by the rows so far; the boards it would use, or None.

        Rows join the programme as its answers break them, which keeps it small.
        """
        while True:
            active = [r for r in self.rows if r.active]
            boards = self._least_boards(active, nodes, seconds)
            if boards is None:
                return None
            broken = sorted(
                (float(r.most @ boards / r.need), n) for n, r in enumerate(self.rows)
                if not r.active and self.breaks(r, boards)
            )
            if not broken:
                return boards
            for _, n in broken[:ROWS_AT_ONCE]:
                self.rows[n].active = True

    def _least_boards(self, rows, nodes: int, seconds: float) -> np.ndarray | None:
        found = solve_whole(
            self.price, np.array([r.most / r.need for r in rows]) * (1 + SLACK), 1.0, np.inf,
            self.limits, nodes, seconds, NEAR_ENOUGH,
        )
        self.impossible = self.impossible or found.impossible
        self.raise_to(found.floor)
        return found.amounts

    def raise_to(self, cost: float) -> None:
        """Take a proved cost as the floor where it is above the one so far."""
        if np.isfinite(cost):
            proved = self._whole_price(cost)
            self.cost = proved if self.cost is None else max(self.cost, proved)

    def most(self, b: int, value) -> float:
        """V_b: at least the value of whatever can be cut from one board, as near as is cheap to know."""
        return self.best_of(b, value)[0]

    def layout_of(self, b: int, value) -> np.ndarray:
        """How many of each kind a layout behind V_b has, more than are wanted included."""
        return self.best_of(b, value)[1]

    def best_of(self, b: int, value) -> tuple[float, np.ndarray]:
        """V_b and how many of each kind a layout behind it has, more than are wanted included."""
        value = np.where(self.pricing.lay[b] > 0, value, 0.0)
        wanted = float(value @ self.wanted)
        if not wanted:
            return 0.0, np.zeros(len(value), np.int64)
        if not self.job.stocks[b].faults:
            most, counts = (x[0] for x in self._clean([b], value))
        else:
            found = self._past_faults(b, value)
            most, counts = self._faulted(b, value) if found is None else found
        return min(wanted, float(most)), counts * self.pricing.lay[b]

    def best_of_each(self, stocks, value) -> tuple[np.ndarray, np.ndarray]:
        """``best_of`` for several boards."""
        most, counts = np.zeros(len(stocks)), np.zeros((len(stocks), len(value)), np.int64)
        at = {b: n for n, b in enumerate(stocks)}
        for section in self.pricing.sections(stocks):
            here = [at[b] for b in section]
            lay = self.pricing.lay[section[0]]
            least = np.where(lay > 0, value, 0.0)
            if least.any():
                values, cells = self._clean(section, least)
                most[here] = np.minimum(values, float(least @ self.wanted))
                counts[here] = cells * lay
        for b in stocks:
            if self.job.stocks[b].faults:
                most[at[b]], counts[at[b]] = self.best_of(b, value)
        return most, counts

    def _past_faults(self, b: int, value):
        """V_b of a faulted board and cells by kind, exactly; None where that would take long."""
        p, stock = self.pricing, self.job.stocks[b]
        counts = np.zeros(len(value), np.int64)
        use = np.flatnonzero((p.lay[b] > 0) & (value > 0))
        if not len(use):
            return 0.0, counts
        faults = p.faults[b]
        faults = faults[faults[:, 4] > p.ktol[use].min()]
        if len(faults) > MOST_FAULTS:
            return None
        ys = floors.gathered(floors.places(stock.width, np.array([0, *faults[:, 3]]), p.kw[use]), MOST_ACROSS)
        along = MOST_ALONG
        while along > 8 and (along * len(ys)) ** 2 * (along + len(ys)) > self.work:
            along = along * 9 // 10
        xs = floors.gathered(floors.places(stock.length, np.array([0, *faults[:, 1]]), p.kl[use]), along)
        wide = (ys[:, 1] - ys[:, 0]).max(), (xs[:, 1] - xs[:, 0]).max()
        if wide[0] >= p.kw[use].min() or wide[1] >= p.kl[use].min():
            return None
        levels = np.array([0, *sorted(set(faults[:, 4].tolist()))], np.int64)
        some = np.zeros(len(use), np.int64)
        most = floors.past_faults(xs, ys, faults, p.kl[use], p.kw[use], p.ktol[use], (value * p.lay[b])[use], levels, some)
        counts[use] = some
        if max(wide):
            most = min(most, self._faulted(b, value)[0])
        return most, counts

    def breaks(self, row: Row, boards) -> bool:
        return bool(row.most @ boards < row.need * (1 - 10 * SLACK))

    def separate(self, boards) -> bool:
        """Look for values that these boards cannot reach; True when a row for them is broken.

        The relaxation of the search with the layouts behind V_b in place of patterns: the
        boards are free, shortage is weighed by size. Its duals are such values.
        """
        p = self.pricing
        weight = p.kl * p.kw / (p.kl * p.kw).max()
        used = np.flatnonzero(boards)
        value = weight
        for _ in range(SEPARATE_ROUNDS):
            fresh = False
            for b in used:
                key = (b, self._layout_counts(b, value).tobytes())
                fresh = fresh or key not in self.layouts
                self.layouts.setdefault(key, None)
            if not fresh:
                break
            value, short = self._reach(boards, weight)
            if short < 10 * SLACK:
                return False
        self.add(value)
        return self.breaks(self.rows[-1], boards)

    def _layout_counts(self, b: int, value) -> np.ndarray:
        if self.job.stocks[b].faults:
            counts = self._faulted(b, value)[1]
        else:
            counts = self._clean([b], value)[1][0]
        return np.minimum(counts * self.pricing.lay[b], self.wanted)

    def _reach(self, boards, weight):
        """Duals and shortage of the relaxation over the layouts found for these boards."""
        keys = [k for k in self.layouts if boards[k[0]]]
        counts = np.array([np.frombuffer(k[1], np.int64) for k in keys]).T
        stocks = np.array([k[0] for k in keys])
        kinds, n = counts.shape
        rows = np.zeros((kinds + len(boards), n + kinds))
        rows[:kinds, :n] = -counts
        rows[:kinds, n:] = -np.eye(kinds)
        rows[kinds + stocks, np.arange(n)] = 1.0
        result = linprog(
            np.concatenate([np.zeros(n), weight]), A_ub=rows,
            b_ub=np.concatenate([-self.wanted, boards]).astype(float), method="highs",
        )
        return -result.ineqlin.marginals[:kinds], result.fun

    def cap(self, boards) -> bool:
        """Sharpen the rows that these boards only just keep; True when one is now broken."""
        slack = [(r.most @ boards / r.need, n) for n, r in enumerate(self.rows)]
        kept = sorted((s, n) for s, n in slack if s >= 1 - 10 * SLACK)
        for _, n in kept[:CAP_ROWS]:
            row = self.rows[n]
            for b in np.flatnonzero(boards):
                self._sharpen(row, b)
            if self.breaks(row, boards):
                return True
        return False

    def sharpen(self, boards) -> bool:
        """The last row with its figures for these boards sharpened; True where they break it."""
        row = self.rows[-1]
        for b in np.flatnonzero(boards):
            self._sharpen(row, b)
            if self.breaks(row, boards):
                return True
        return False

    def _sharpen(self, row: Row, b: int) -> None:
        if b not in row.capped:
            row.capped.add(b)
            row.most[b] = self._capped(b, row.value, row.most[b])

    def _capped(self, b: int, value, most: float) -> float:
        """V_b with the numbers wanted taken into account.

        No board holds more than d_i of kind i, so for every surcharge s >= 0
        V_b(pi) <= V_b(pi - s) + s.d; the surcharge follows the surplus (subgradient).
        """
        if isinstance(self.pricing, BarPricing):
            return most
        surcharge = np.zeros(len(value))
        loose = np.inf
        step = 0.5
        for _ in range(CAP_ROUNDS):
            left = np.maximum(value - surcharge, 0.0)
            if self.job.stocks[b].faults:
                v, counts = self._faulted(b, left)
            else:
                v, counts = (x[0] for x in self._clean([b], left))
            v += float(surcharge @ self.wanted)
            if v < loose - 1e-9 * abs(v):
                loose = v
            else:
                step /= 2
            surplus = counts * self.pricing.lay[b] - self.wanted
            surplus[(surplus < 0) & (surcharge <= 0)] = 0
            size = float(surplus @ surplus)
            if size == 0:
                break
            # A hundredth part of the value is what one round hopes to gain.
            move = step * 0.1 * most / size
            surcharge = np.clip(surcharge + move * surplus, 0.0, value)
        return min(most, loose)

    def _whole_price(self, cost: float) -> Decimal:
        """The least sum that prices like these can make, from a proved cost up."""
        cost -= 1e-7 * max(1.0, abs(cost))
        digits = max(0, *(-s.price.as_tuple().exponent for s in self.job.stocks))
        unit = Decimal(1).scaleb(-digits)
        grain = math.gcd(*(int(s.price / unit) for s in self.job.stocks)) or 1
        return max(Decimal(0), math.ceil(cost / (float(unit) * grain)) * grain * unit)

    def _clean(self, section, value):
        """V and cells by kind for clean stocks that differ in length only."""
        if isinstance(self.pricing, BarPricing):
            counts, values = self.pricing.fill(section, value, self.wanted)
            return values, counts
        lengths = np.array([self.job.stocks[b].length for b in section], np.int64)
        return self._any_stage(section[0], value, lengths)

    def _any_stage(self, b: int, value, lengths):
        p = self.pricing
        counts = np.zeros((len(lengths), len(value)), np.int64)
        use = np.flatnonzero((p.lay[b] > 0) & (value > 0) & (p.kl <= lengths.max()))
        if not len(use):
            return np.zeros(len(lengths)), counts
        some = np.zeros((len(lengths), len(use)), np.int64)
        values = floors.any_stage(lengths, self.job.stocks[b].width, p.kl[use], p.kw[use],
                                  (value * p.lay[b])[use], some)
        counts[:, use] = some
        return values, counts

    def _faulted(self, b: int, value):
        """V and cells by kind of a faulted board; the cells are those of the clean runs."""
        stock, p = self.job.stocks[b], self.pricing
        cell = value * p.lay[b]
        faults = p.faults[b]
        along = floors.lanes(stock.length, stock.width, p.kl, cell / p.kw, p.ktol, faults)
        across = floors.lanes(stock.width, stock.length, p.kw, cell / p.kl, p.ktol, self.turned[b])
        runs = self.runs[b]
        if not len(runs):
            return 0.0, np.zeros(len(value), np.int64)
        values, counts = self._any_stage(b, value, runs)
        return min(along, across, float(values.sum())), counts.sum(axis=0)

    def _runs(self, b: int) -> np.ndarray:
        """Lengths between the faults across the whole width that no kind may hold."""
        stock = self.job.stocks[b]
        highest = max(k.tolerates for k in self.job.kinds)
        narrowest = min(k.width for k in self.job.kinds)
        runs, at = [], 0
        for x0, x1, y0, y1, severity in sorted(stock.faults):
            # A strip narrower than every piece beside the fault holds nothing either.
            whole = y0 < narrowest and y1 > stock.width - narrowest
            if severity > highest and whole:
                if min(x0, stock.length) > at:
                    runs.append(min(x0, stock.length) - at)
                at = max(at, x1)
        if stock.length > at:
            runs.append(stock.length - at)
        return np.array(runs, np.int64)
