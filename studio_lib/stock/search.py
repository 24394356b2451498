"""The thorough search: choose whole-board patterns that cover the list at the least cost.

    min  sum c_b x_p            x_p how often pattern p of board b is cut
    s.t. sum a_ip x_p >= d_i    every kind as often as wanted (surplus is dropped)
         sum_(p of b) x_p <= n_b for boards that are counted
         x whole

Its linear relaxation prices the kinds (the duals), ``pricing.py`` finds patterns
worth more than their board costs (column generation, Gilmore and Gomory, Operations
Research 9 (1961) 849-859, from memory), a small whole-number programme chooses among
the patterns found, and then a few boards at a time are cut anew. A kind may stay
short at a penalty above the dearest board, so that shortage is the last resort; where not all finds room, at
one by its volume, for what is short is then bought by volume.

Effort is counted in rounds and nodes, never in time: the deadline is a safety stop.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csc_array

from studio_lib.stock import cover
from studio_lib.stock.job import Filled, Job, useful
from studio_lib.stock.pricing import Column, column_of, pricing_for
from studio_lib.stock.whole import solve_whole

TINY = 1e-6

MOST_OVER = 1000.0
"""How many times the least penalty the largest piece short may weigh, so that the figures keep their digits."""


@dataclass(frozen=True)
class Effort:
    """How long each part of the search goes on, counted."""

    column_rounds: int = 300
    """Of column generation at the start; it mostly ends by itself before."""
    blurred: int = 3
    """Further pricings with blurred duals in each of these rounds."""
    around_rounds: int = 3
    """Of patterns cut at the edges of faults, after column generation."""
    tail: int = 3
    """Column generation ends with a round that brings a pattern for no more than one in so many faulted boards."""
    varied_rounds: int = 24
    varied_boards: int = 240
    """Faulted boards filled in all of these rounds, about; at least 8 rounds are run."""
    nodes: int = 10
    """Of the whole-number programme over all patterns."""
    columns: int = 80
    """Patterns that it chooses from."""
    corrected: int = 20
    """Whole layouts built with corrected worths."""
    corrected_boards: int = 200
    """Faulted boards filled in all of them, about, for each board of one; at least 10 layouts are built."""
    correct_anew: int = 20
    """Layouts until the worths begin anew."""
    correct_boards: int = 6
    """Boards tried, by the dice, for each place in such a layout."""
    dives: int = 1
    dive_rounds: int = 4
    proof_rounds: int = 12
    fit_rounds: int = 12
    before_proof: int = 20
    """Neighbourhoods tried before the boards' shares are looked into."""
    share_rounds: int = 14
    """Of weighing boards at a time, before whole pieces are asked for."""
    share_rounds_faulted: int = 8
    """The same where boards have faults, each of which takes longer."""
    share_rounds_finely: int = 2
    """The same with a harder look at them."""
    share_prices: int = 16
    """Rounds of column generation for the weights of the kinds on the boards."""
    share_nodes: int = 40
    """Of the whole-number programme over boards and the pieces they give."""
    share_unknowns: int = 1_100
    """Such programmes are solved as often as this holds their unknowns, at least twice."""
    size_classes: int = 4
    """Boards whose sizes are used to weigh the kinds for the floor."""
    tidy_nodes: int = 20
    """Of the whole-number programme for the most useful leftovers."""
    tidy_columns: int = 60
    few_nodes: int = 5
    """Of the whole-number programme over the boards of a proof round."""
    few_columns: int = 60
    neighbourhoods: int = 140
    neighbour_boards: int = 1_500
    """Faulted boards looked at in all of them, about; at least half of them are tried."""
    neighbour_rounds: int = 1
    cover_nodes: int = 30_000
    squeeze_rounds: int = 30
    squeezes: int = 24
    """Neighbourhoods tried on boards that the floor would use and that seem to hold everything."""
    squeezed: int = 4
    """Sets of boards so tried."""


class Watch:
    """The safety stop, and the caller's wish to stop."""

    def __init__(self, seconds: float, stop=None):
        self.until = time.monotonic() + seconds
        self.stop = stop

    @property
    def left_s(self) -> float:
        return max(0.05, self.until - time.monotonic())

    @property
    def over(self) -> bool:
        return time.monotonic() >= self.until or bool(self.stop and self.stop())


class Worth(NamedTuple):
    """Layouts compare by the volume of the pieces short (mm3, finished), then cost, then number of boards."""

    short: int
    cost: Decimal
    boards: int


@dataclass(frozen=True)
class Prices:
    """Duals of the relaxation: worth of each kind, rent of each counted board."""

    value: np.ndarray
    rent: np.ndarray
    cost: float
    amounts: np.ndarray
    """How often each column is cut in the relaxation."""


class Search:
    """The search for one job whose boards and kinds hang together."""

    def __init__(self, job: Job, effort: Effort, seed: int, watch: Watch, first_cut: str = "either"):
        self.job, self.effort, self.watch = job, effort, watch
        self.random = np.random.default_rng(seed)
        self.pricing = pricing_for(job, first_cut)
        self.wanted = np.array([k.count for k in job.kinds], np.int64)
        self.limits = np.array([job.limit(b) for b in range(len(job.stocks))], np.int64)
        price = np.array([float(s.price) for s in job.stocks])
        # Scaled so that tolerances mean the same in any currency; a nudge per board breaks
        # ties between equal costs towards fewer boards.
        self.cost = 1000 * price / (price.max() or 1.0) + 0.01
        self.unit = price.max() / 1000
        """What one unit of the scaled cost stands for."""
        self.volume = np.array([max(k.piece_mm3, 1) for k in job.kinds], np.int64)
        self.penalty = np.full(len(job.kinds), 2 * self.cost.max())
        self.pool: list[Column] = []
        self.known: set = set()
        self.best: list[Column] = []
        self.best_worth: Worth | None = None

    def start(self, filled: list[Filled]) -> None:
        """Begin from a layout already found."""
        columns = [column_of(self.job, f) for f in filled]
        self._add(columns)
        self._offer(columns)

    def weigh_shortage(self) -> None:
        """Where not all has found room, what is short weighs by its volume from here on."""
        if self.best_worth.short:
            self.penalty = 2 * self.cost.max() * np.minimum(self.volume / self.volume.min(), MOST_OVER)

    def generate(self) -> np.ndarray:
        """Column generation until no pattern prices out; returns what each kind is worth."""
        few = self.faulted // self.effort.tail
        prices = self._generate(self.wanted, self.limits, self.effort.column_rounds, self.effort.blurred, few=few)
        for _ in range(self.effort.around_rounds if self.faulted else 0):
            if self.watch.over:
                break
            fresh = self._add(c for c in (
                self.pricing.around(b, prices.value, self.wanted)
                for b in np.flatnonzero(self.limits) if self.job.stocks[b].faults
            ) if c is not None and c.counts @ prices.value > self.cost[c.stock] + prices.rent[c.stock] + TINY)
            prices = self._relax(self.wanted, self.limits)
            if not fresh:
                break
        return prices.value

    @property
    def faulted(self) -> int:
        """Boards that are priced one by one, which takes longest."""
        return sum(bool(s.faults) for s in self.job.stocks)

    def vary(self) -> None:
        """Patterns for blurred prices with some kinds left out: variety for the choice after."""
        prices = self._relax(self.wanted, self.limits)
        stocks = np.flatnonzero(self.limits > 0)
        for _ in range(max(8, min(self.effort.varied_rounds, self.effort.varied_boards // max(1, self.faulted)))):
            if self.watch.over:
                return
            self._add(self._blurred(prices.value, self.wanted, stocks))

    def _blurred(self, value, left, stocks) -> list[Column]:
        blur = self.random.uniform(0.7, 1.4, len(value))
        blur[self.random.random(len(value)) < 0.25] = 0.0
        return self.pricing.columns(value * blur, left, stocks, (self.pricing.turn(self.random),))

    def correct(self, layouts: int, limits=None) -> bool:
        """Whole layouts one after another, board by board, each kind's worth corrected by what it cost to place.

        Sequential value correction (Mukhacheva et al., Ann. Oper. Res. 95 (2000); Belov and Scheithauer, INFORMS
        J. Comput. 19 (2007) 27-35, from memory): kinds that ended up in wasteful patterns are worth more in the
        next layout. True where one was better than the best so far.
        """
        limits = self.limits if limits is None else limits
        start, odds = self._leaning(limits)
        worth, better = start.copy(), False
        for n in range(layouts):
            if self.watch.over or not start.any():
                break
            if n % self.effort.correct_anew == 0:
                worth = start * self.random.uniform(0.8, 1.25, len(start))
            left, room, taken, spent = self.wanted.copy(), limits.copy(), [], 0.0
            blur = self.random.uniform(0.93, 1.07, len(worth))
            while left.any():
                if self.best_worth is not None and not self.best_worth.short:
                    if spent + 0.97 * float(start @ left) > self._scaled_best:
                        break
                open_ = np.flatnonzero(room > 0)
                if not len(open_):
                    break
                p = odds[open_] / odds[open_].sum()
                some = self.random.choice(open_, min(len(open_), self.effort.correct_boards), replace=False, p=p)
                column = self._fullest(some, worth * blur, left)
                if column is None:
                    room[some] = 0
                    continue
                gain = float(column.counts @ worth)
                r = self.cost[column.stock] / max(gain, 1e-9)
                share = column.counts / (self.random.uniform(1.0, 1.5) * (self.wanted + left))
                worth = worth * (1 + share * (min(r, 3.0) - 1))
                left = left - column.counts
                room[column.stock] -= 1
                spent += self.cost[column.stock]
                taken.append(column)
            if left.any():
                worth = worth * (1 + 0.1 * left / self.wanted)
            worth *= float(start @ self.wanted) / float(worth @ self.wanted)
            self._add(taken)
            if not left.any() and self._offer(taken):
                better = True
        return better

    def _leaning(self, limits):
        """What each kind is worth at least a little, and how likely each board is to be of use."""
        prices = self._relax(self.wanted, limits)
        size = self.pricing.kl * self.pricing.kw
        counts, stocks = self._matrix(self.wanted), self._stocks()
        reduced = self.cost[stocks] + prices.rent[stocks] - counts @ prices.value
        near = np.full(len(limits), self.cost.max())
        np.minimum.at(near, stocks, reduced)
        odds = np.exp(-np.maximum(near, 0.0) / (0.1 * self.cost.mean())) + 1e-6
        return np.maximum(prices.value, 0.02 * prices.value.max() * size / size.max()), odds

    def _fullest(self, stocks, value, left) -> Column | None:
        """Of these boards, each laid down one way, the one that gives most for its price."""
        best, most = None, 0.0
        for b in stocks:
            c = self.pricing.one(b, value, left, self.random)
            if c is not None:
                ratio = float(c.counts @ value) / self.cost[b]
                if ratio > most:
                    best, most = c, ratio
        return best

    @property
    def _scaled_best(self) -> float:
        return sum(self.cost[c.stock] for c in self.best)

    def dive(self) -> None:
        """Fix the pattern the relaxation likes best, price the rest anew, until all is placed."""
        left, limits, taken = self.wanted.copy(), self.limits.copy(), []
        while left.any() and not self.watch.over:
            amounts = self._generate(left, limits, self.effort.dive_rounds).amounts
            if not len(amounts):
                break
            score = amounts - np.floor(amounts) + self.random.uniform(0, 0.1, len(amounts))
            score[amounts >= 1] += 1
            score[amounts < TINY] = -1
            pick = int(np.argmax(score))
            if score[pick] < 0:
                break
            column = self.pool[pick]
            times = max(1, int(amounts[pick] + TINY))
            taken += [column] * times
            left = np.maximum(left - times * column.counts, 0)
            limits[column.stock] -= times
        self._offer(taken)

    def choose(self) -> None:
        """The best choice among all patterns found so far."""
        chosen = self._choose(self.wanted, self.limits, self.effort.nodes, self.effort.columns)
        if chosen is not None:
            self._offer(chosen)

    def fit(self, limits) -> np.ndarray | None:
        """Try to get everything out of the boards given; returns values that say why not.

        The relaxation with free boards and shortage weighed by size: while even that stays
        short, its duals are values of the kinds that these boards cannot reach.
        """
        weight = self.pricing.kl * self.pricing.kw / (self.pricing.kl * self.pricing.kw).max()
        free = np.zeros(len(limits))
        prices = self._generate(self.wanted, limits, self.effort.fit_rounds, 1, free, weight)
        if prices.cost > TINY:
            return prices.value
        chosen = self._choose(self.wanted, limits, self.effort.few_nodes,
                              self.effort.few_columns)
        if chosen is not None:
            self._offer(chosen)
        return None

    def aim(self, boards, shares) -> None:
        """Patterns that give just the pieces asked of each board, as far as they can be found."""
        size = self.pricing.kl * self.pricing.kw / float((self.pricing.kl * self.pricing.kw).max())
        for b in np.flatnonzero(boards > TINY):
            left = np.ceil(shares[b] / boards[b] - TINY).astype(np.int64)
            self._add(self.pricing.columns(size, left, [b], (0, 1, 2, 3)))

    def squeeze(self, limits) -> bool:
        """Try hard to get everything out of the boards given; True when that gave a better layout.

        A search of its own, for the fewest pieces short, that begins from what the best layout has on
        these boards.
        """
        inner = Search.__new__(Search)
        inner.__dict__.update(self.__dict__)
        inner.limits, inner.best, inner.best_worth = np.asarray(limits, np.int64), [], None
        left, start = inner.limits.copy(), []
        for c in self.best:
            if left[c.stock] > 0:
                left[c.stock] -= 1
                start.append(c)
        inner._offer(start)
        for _ in range(self.effort.squeeze_rounds):
            if self.watch.over:
                break
            prices = inner._relax(self.wanted, inner.limits)
            inner._add(inner._blurred(prices.value, self.wanted, np.flatnonzero(inner.limits > 0)))
        chosen = inner._choose(self.wanted, inner.limits, self.effort.nodes, self.effort.columns)
        if chosen is not None:
            inner._offer(chosen)
        for _ in range(self.effort.squeezes):
            if self.watch.over or not inner.best_worth.short:
                break
            inner.neighbourhood()
        return not inner.best_worth.short and self._offer(inner.best)

    def neighbourhood(self) -> bool:
        """Cut a few boards of the best layout anew; True when that changed it for the better."""
        if len(self.best) < 2:
            return False
        out = self._some_boards(min(len(self.best), int(self.random.integers(2, 6))))
        kept = [c for i, c in enumerate(self.best) if i not in out]
        made = sum((c.counts for c in kept), np.zeros_like(self.wanted))
        left = np.maximum(self.wanted - made, 0)
        limits = self.limits.copy()
        for c in kept:
            limits[c.stock] -= 1
        if self.best_worth.short:
            self._generate(left, limits, self.effort.neighbour_rounds, 2)
            chosen = self._choose(left, limits, self.effort.few_nodes, self.effort.few_columns)
        else:
            # As dear is welcome: it leads on to other layouts.
            below = sum(self.cost[self.best[i].stock] for i in out) + TINY
            prices = self._generate(left, limits, self.effort.neighbour_rounds, 2)
            chosen = self._cover(left, limits, prices, below) if prices.cost < below else None
        return chosen is not None and self._offer(kept + chosen)

    def _cover(self, left, limits, prices: Prices, below: float) -> list[Column] | None:
        """A few columns that cover what is left for less than ``below``, or None."""
        counts = self._matrix(left)
        stocks = self._stocks()
        reduced = self.cost[stocks] + prices.rent[stocks] - counts @ prices.value
        # A column that alone closes the gap to the relaxation cannot be in a cheaper answer.
        usable = np.flatnonzero(
            (limits[stocks] > 0) & counts.any(axis=1) & (reduced < below - prices.cost + TINY)
        )
        shuffle = self.random.uniform(0, 0.3 * (below - prices.cost), len(usable))
        take = usable[np.argsort(reduced[usable] + shuffle, kind="stable")]
        chosen = np.empty(cover.DEEPEST, np.int64)
        n = cover.cheapest_cover(
            counts[take], self.cost[stocks[take]], stocks[take], left, limits,
            np.maximum(prices.value, 0), np.maximum(prices.rent, 0), below,
            self.effort.cover_nodes, chosen,
        )
        return [self.pool[take[i]] for i in chosen[:n]] if n else None

    def tidy(self) -> None:
        """Of layouts as cheap on as few boards, take the one with the most useful leftovers (``job.useful``)."""
        if not self.best or self.best_worth.short:
            return
        counts, stocks = self._matrix(self.wanted), self._stocks()
        worth = np.array([useful(self.job, c) for c in self.pool])
        prices = self._relax(self.wanted, self.limits)
        reduced = self.cost[stocks] + prices.rent[stocks] - counts @ prices.value
        price = np.array([float(self.job.stocks[b].price) for b in stocks])
        mine = [n for n, c in enumerate(self.pool) if any(c is b for b in self.best)]
        # Patterns near the best choice, and of those on its boards the ones that leave most.
        near = np.argsort(reduced, kind="stable")[: self.effort.tidy_columns]
        on_mine = np.isin(stocks, [c.stock for c in self.best])
        leave = [n for n in np.argsort(-worth, kind="stable") if on_mine[n]][: self.effort.tidy_columns]
        take = np.array(sorted({*mine, *near.tolist(), *leave}))
        rows = np.vstack([counts[take].T, np.eye(len(self.limits))[:, stocks[take]], np.ones(len(take)), price[take]])
        high = np.concatenate([
            np.full(len(self.wanted), np.inf), self.limits, [self.best_worth.boards], [float(self.best_worth.cost) * (1 + 1e-9)],
        ])
        low = np.concatenate([self.wanted, np.full(len(self.limits) + 2, -np.inf)])
        found = solve_whole(-1000 * worth[take] / max(worth.max(), 1e-9), rows, low, high, self.limits[stocks[take]].astype(float),
                            self.effort.tidy_nodes, self.watch.left_s)
        if found.amounts is not None:
            chosen = [self.pool[take[i]] for i in np.flatnonzero(found.amounts) for _ in range(found.amounts[i])]
            if sum(useful(self.job, c) for c in chosen) > sum(useful(self.job, c) for c in self.best) + TINY**2:
                self._offer(chosen)
        self.best = [self._closed_up(c) for c in self.best]

    def _closed_up(self, column: Column) -> Column:
        """The same pieces on the same board, laid for the largest leftover."""
        ways = [c for c in self.pricing.again(column) if (c.counts == column.counts).all()]
        return max([column, *ways], key=lambda c: useful(self.job, c))

    def _some_boards(self, size: int) -> set[int]:
        """A board at random with others that share its kinds."""
        first = int(self.random.integers(len(self.best)))
        shares = np.array([
            float(np.minimum(c.counts, 1) @ np.minimum(self.best[first].counts, 1))
            for c in self.best
        ])
        score = shares * self.random.uniform(0, 1, len(shares)) + self.random.uniform(
            0, 1, len(shares)
        )
        score[first] = np.inf
        return set(np.argsort(-score)[:size].tolist())

    def _add(self, columns) -> int:
        fresh = 0
        for c in columns:
            if c.key not in self.known:
                self.known.add(c.key)
                self.pool.append(c)
                fresh += 1
        return fresh

    def _offer(self, columns) -> bool:
        """Take a choice of columns as the best layout when it is at least as good."""
        columns = self._needed(columns)
        made = sum((c.counts for c in columns), np.zeros_like(self.wanted))
        worth = Worth(
            int(np.maximum(self.wanted - made, 0) @ self.volume),
            sum((self.job.stocks[c.stock].price for c in columns), Decimal(0)), len(columns),
        )
        if self.best_worth is not None and self.best_worth < worth:
            return False
        better = self.best_worth is None or worth < self.best_worth
        self.best, self.best_worth = columns, worth
        return better

    def _needed(self, columns) -> list[Column]:
        """Without the boards whose pieces the others already give, the dearest first."""
        spare = sum((c.counts for c in columns), np.zeros_like(self.wanted)) - self.wanted
        kept = []
        for c in sorted(columns, key=lambda c: -self.cost[c.stock]):
            if ((c.counts == 0) | (spare >= c.counts)).all():
                spare = spare - c.counts
            else:
                kept.append(c)
        return kept

    def _generate(self, left, limits, rounds: int, blurred: int = 0,
                  cost=None, penalty=None, few: int = 0) -> Prices:
        """Price and add columns for what is left; returns the duals.

        ``cost`` per stock and ``penalty`` per kind stand in for the job's own. A round that brings no more
        than ``few`` columns is the last.
        """
        cost = self.cost if cost is None else cost
        stocks = np.flatnonzero(limits > 0)
        prices = self._relax(left, limits, cost, penalty)
        for _ in range(rounds):
            if self.watch.over or not len(stocks):
                break
            offers = self.pricing.columns(prices.value, left, stocks)
            for _ in range(blurred):
                offers += self._blurred(prices.value, left, stocks)
            good = [
                c for c in offers
                if c.counts @ prices.value > cost[c.stock] + prices.rent[c.stock] + 1e-6
            ]
            fresh = self._add(good)
            if not fresh:
                break
            prices = self._relax(left, limits, cost, penalty)
            if fresh <= few:
                break
        return prices

    def _matrix(self, left) -> np.ndarray:
        counts = np.array([c.counts for c in self.pool], np.int64).reshape(-1, len(left))
        return np.minimum(counts, left)

    def _stocks(self) -> np.ndarray:
        return np.array([c.stock for c in self.pool], np.int64)

    def _relax(self, left, limits, cost=None, penalty=None) -> Prices:
        """The linear relaxation over the pool, with shortage at a penalty."""
        cost = self.cost if cost is None else cost
        penalty = self.penalty if penalty is None else penalty
        stocks = self._stocks()
        result = linprog(
            np.concatenate([cost[stocks], penalty]),
            A_ub=csc_array(self._rows(self._matrix(left), stocks)),
            b_ub=np.concatenate([-left, limits]).astype(float),
            method="highs", options={"presolve": False},
        )
        kinds, n = len(left), len(self.pool)
        marginals = result.ineqlin.marginals
        return Prices(-marginals[:kinds], -marginals[kinds:], result.fun, result.x[:n])

    def _rows(self, counts, stocks) -> np.ndarray:
        kinds, n = counts.shape[1], len(stocks)
        rows = np.zeros((kinds + len(self.limits), n + kinds))
        rows[:kinds, :n] = -counts.T
        rows[:kinds, n:] = -np.eye(kinds)
        rows[kinds + stocks, np.arange(n)] = 1.0
        return rows

    def _choose(self, left, limits, nodes: int, most: int) -> list[Column] | None:
        """The whole-number programme over the columns with the least reduced cost."""
        counts = self._matrix(left)
        prices = self._relax(left, limits)
        stocks = self._stocks()
        reduced = self.cost[stocks] + prices.rent[stocks] - counts @ prices.value
        usable = np.flatnonzero((limits[stocks] > 0) & (counts.sum(axis=1) > 0))
        take = usable[np.argsort(reduced[usable], kind="stable")[:most]]
        if not len(take):
            return None
        found = solve_whole(
            np.concatenate([self.cost[stocks[take]], self.penalty]),
            self._rows(counts[take], stocks[take]), -np.inf, np.concatenate([-left, limits]),
            np.inf, nodes, self.watch.left_s,
        )
        if found.amounts is None:
            return None
        times = found.amounts[: len(take)]
        return [self.pool[take[i]] for i in np.flatnonzero(times) for _ in range(times[i])]
