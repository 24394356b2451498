"""A proved floor under the cost from how many pieces of each kind each board could give.

For whole numbers y_b of boards and n_bi of pieces of kind i out of them, every edge-to-edge layout keeps

    sum_b n_bi >= d_i                       every kind as often as wanted
    sum_i w_i n_bi <= V_b(w) y_b            for every board and any whole weights w >= 0

where V_b(w) is at least the weight of whatever can be cut from one board b (``bound.Floor.most``). The
least cost over all such y and n is a floor. It knows what the rows of ``bound`` summed over the boards
forget: that a board gives whole pieces. Weights are found where an answer asks a board for pieces that no
mixture of its layouts gives (a separating plane, by column generation on that one board; the whole is a
decomposition after Benders, Numer. Math. 4 (1962) 238-252, from memory). Weights are whole, so that V_b is
whole too and nothing is lost to the rounding of floats.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csr_array, vstack

from studio_lib.stock.bound import WORK, Floor
from studio_lib.stock.whole import solve_whole

SCALES = (12, 100, 1000)
"""Largest weight tried, the smallest first: small whole numbers keep the programme well scaled."""
PLANES, ALL_PLANES = 6, 40
"""Layouts asked of one board for one separating plane: in passing, and where nothing else is left to learn."""
SETTLED = 1e-3
"""Share of the floor within which column generation is done."""
FINE_ROUNDS = 6
"""Rounds of it with a harder look at boards with faults."""
SMALL = 1e-4
"""Share of the largest weight under which a weight is dropped."""
TIGHT = 0.999
"""Share of what a board gives from which a row of the relaxation is taken on into the whole-number programme."""


@dataclass
class Weighing:
    """Weights of the kinds, and what each stock can hold of them at most where that is known."""

    weight: np.ndarray
    most: dict[int, float] = field(default_factory=dict)


class Shares:
    """The programme of one job, on the generous sizes of a ``Floor``, which it raises."""

    def __init__(self, floor: Floor):
        self.floor = floor
        self.wanted = floor.wanted
        self.limits = floor.limits.copy()
        """How many of each board may be used; 0 where no layout cheaper than one in hand has any."""
        self.kinds, self.stocks = len(floor.wanted), len(floor.price)
        alone = np.eye(self.kinds)
        # What a board gives of one kind alone, never more than is wanted of it.
        self.alone = np.array([
            [np.floor(min(floor.most(b, alone[i]), self.wanted[i]) + 1e-6) if floor.pricing.lay[b, i] else 0.0
             for i in range(self.kinds)]
            for b in range(self.stocks)
        ])
        self.weighings: list[Weighing] = []
        self.active: dict[tuple[int, int], None] = {}
        """Weighing and stock of the rows in the programme."""
        self.layouts: dict[int, list[np.ndarray]] = {b: [] for b in range(self.stocks)}

    def add(self, weight) -> None:
        """A weighing of every board that could hold some of it."""
        top = float(np.max(weight, initial=0.0))
        if top > 0:
            self._weigh(np.round(np.maximum(weight, 0.0) / top * SCALES[-1]))

    def _weigh(self, weight) -> Weighing:
        weighing = Weighing(weight)
        for b in np.flatnonzero(self.limits):
            held = float(weight @ self.alone[b])
            if held > 0:
                most = self.floor.most(b, weight)
                if most < held - 1e-6:
                    weighing.most[b] = most
        self.weighings.append(weighing)
        return weighing

    def price_out(self, columns, value, rounds: int, watch) -> None:
        """Weighings that come near the best floor without whole numbers, by column generation over the layouts behind V_b.

        The relaxation of the search once more, with ``bound``'s layouts in place of patterns and with no board
        giving more of a kind than is wanted (a surcharge of that board and kind). Its duals are weights. They
        are taken half way to the best so far, which settles them (Wentges, Int. Trans. Oper. Res. 4 (1997)
        151-162, from memory). ``columns`` are stock and counts of patterns known, ``value`` the weights to begin with.
        """
        wanted = self.wanted.astype(float)
        stocks, counts = [b for b, _ in columns], [np.minimum(c, wanted) for _, c in columns]
        surcharged: dict[tuple[int, int], None] = {}
        used = np.flatnonzero(self.limits)
        centre, centre_extra, best, pull = value, {}, -np.inf, 1.0
        faulted, finely, left = any(s.faults for s in self.floor.job.stocks), False, rounds
        while left and not watch.over:
            left -= 1
            found = self._mixed(stocks, counts, surcharged)
            if found is None:
                break
            cost, duals, extra = found
            if faulted and not finely and (cost <= best * (1 + SETTLED) or not left):
                # Once settled, look harder at the boards with faults.
                finely, left, self.floor.work, pull = True, FINE_ROUNDS, WORK[-1], 1.0
            elif cost <= best * (1 + SETTLED):
                break
            weight = pull * centre + (1 - pull) * duals
            unit = max(float(weight.max()), 1e-12) / SCALES[-1]
            weight = np.round(np.maximum(weight, 0.0) / unit)
            off = {b: np.round((pull * centre_extra.get(b, 0.0) + (1 - pull) * extra.get(b, 0.0)) / unit) for b in {*centre_extra, *extra}}
            off = {b: np.minimum(e, weight) for b, e in off.items() if np.any(e)}
            floor, fresh = self._weighed(weight, off, used, duals, extra, stocks, counts, surcharged)
            if floor > best:
                best, centre, centre_extra = floor, weight * unit, {b: e * unit for b, e in off.items()}
            pull = 0.5 if fresh or floor >= best else 0.0
            self.floor.raise_to(best)
        self.floor.work = WORK[0]
        if not faulted:
            # Few plain weights keep the programme in whole numbers an easy one.
            self.weighings = self.weighings[-1:]
        thick = np.array([k.thickness_mm for k in self.floor.job.kinds])
        for least in sorted(set(thick)):
            self.add(np.where(thick >= least, centre, 0.0))

    def _mixed(self, stocks, counts, surcharged):
        """Least cost of a mixture of layouts, weights of the kinds, and surcharges by board; None where none was found."""
        price, kinds, boards = self.floor.price, self.kinds, self.stocks
        at, given, n = np.array(stocks, np.int64), np.array(counts, float).reshape(-1, self.kinds), len(stocks)
        rows = np.zeros((kinds + boards + len(surcharged), n + kinds))
        rows[:kinds, :n] = -given.T
        rows[:kinds, n:] = -np.eye(kinds)
        rows[kinds + at, np.arange(n)] = 1.0
        for row, (b, i) in enumerate(surcharged, kinds + boards):
            mine = np.flatnonzero(at == b)
            rows[row, mine] = given[mine, i] - self.wanted[i]
        result = linprog(
            np.concatenate([price[at], np.full(kinds, 2 * price.max())]), A_ub=csr_array(rows),
            b_ub=np.concatenate([-self.wanted.astype(float), self.limits, np.zeros(len(surcharged))]),
            method="highs", options={"presolve": False},
        )
        if result.x is None:
            return None
        duals, extra = -result.ineqlin.marginals, {}
        for (b, i), mark in zip(surcharged, duals[kinds + boards :]):
            if mark > 0:
                extra.setdefault(b, np.zeros(kinds))[i] = mark
        return result.fun, duals[:kinds], extra

    def _weighed(self, weight, extra, used, duals, charged, stocks, counts, surcharged):
        """Weigh all boards: the floor that follows, and whether a layout is new to the mixture.

        ``extra`` is taken off the weights of a board and given back for every piece wanted.
        """
        common = [b for b in used if b not in extra]
        most, layouts = self.floor.best_of_each(common, weight)
        weighing = Weighing(weight)
        held, found = np.zeros(self.stocks), list(zip(common, layouts))
        for b, m in zip(common, most):
            held[b] = min(m, float(weight @ self.alone[b]))
            if m < weight @ self.alone[b] - 1e-6:
                weighing.most[b] = m
        self.weighings.append(weighing)
        for b, e in extra.items():
            own, layout = self.floor.best_of(b, weight - e)
            held[b] = min(own + float(e @ self.wanted), float(weight @ self.alone[b]))
            self.weighings.append(Weighing(weight - e, {b: own}))
            found.append((b, layout))
        fresh = False
        for b, layout in found:
            for i in np.flatnonzero(layout > self.wanted):
                surcharged.setdefault((b, i), None)
            off = charged.get(b, np.zeros(self.kinds))
            if (duals - off) @ layout + off @ self.wanted > self.floor.price[b] * (1 + 1e-9):
                stocks.append(b)
                counts.append(layout.astype(float))
                fresh = True
        # A layout that weighs more than its board can hold is none: it is made to weigh no more.
        own = np.array([weight - extra[b] if b in extra else weight for b in range(self.stocks)])
        top = np.full(self.stocks, np.inf)
        top[common] = np.maximum(most, 1e-9)
        for b, w in zip(extra, self.weighings[len(self.weighings) - len(extra) :]):
            top[b] = max(w.most[b], 1e-9)
        at = np.array(stocks, dtype=int)
        over = np.einsum("ij,ij->i", np.array(counts).reshape(len(at), self.kinds), own[at]) / top[at]
        for n in np.flatnonzero(over > 1 + 1e-9):
            counts[n] = counts[n] / over[n]
            fresh = True
        return self._least(held, float(weight @ self.wanted)), fresh

    def _least(self, held, need: float) -> float:
        """Least cost of boards, in parts too, that hold so much: the best by its price first."""
        cost = 0.0
        ratio = np.full(self.stocks, np.inf)
        np.divide(self.floor.price, held, out=ratio, where=held > 0)
        for b in np.argsort(ratio, kind="stable"):
            if need <= 0 or not held[b]:
                break
            part = min(self.limits[b], need / held[b])
            cost += part * self.floor.price[b]
            need -= part * held[b]
        return cost if need <= 1e-9 else -np.inf

    def refine(self, watch) -> None:
        """Look harder at the boards with faults, where that may make rows of the programme tighter."""
        self.floor.work = WORK[-1]
        for n, b in self.active:
            if watch.over:
                return
            if self.limits[b] and self.floor.job.stocks[b].faults:
                weighing = self.weighings[n]
                weighing.most[b] = min(weighing.most[b], self.floor.most(b, weighing.weight))

    def relax(self, rounds: int, known: float | None, watch) -> None:
        """Weighings that the programme without whole numbers lacks, in rounds; boards no cheaper layout has are left out.

        ``known`` is the cost of a layout in hand.
        """
        found = None
        for _ in range(rounds):
            if watch.over:
                break
            self.active = {(n, b): None for n, w in enumerate(self.weighings) for b in w.most}
            found = self._relaxed(known)
            if found is None:
                return
            boards, shares = found
            if not self._separate(boards, shares):
                break
        if found is None:
            return
        tight = {
            n for n, b in self.active
            if boards[b] > 1e-6 and self.weighings[n].weight @ shares[b] >= TIGHT * self.weighings[n].most[b] * boards[b]
        }
        self.active = {(n, b): None for n, b in self.active if n in tight}

    def prove(self, nodes: int, seconds: float, known: float | None) -> tuple[np.ndarray, np.ndarray] | None:
        """Raise the floor; boards and shares of the cheapest answer, or None where none is below ``known``.

        ``known`` is the cost of a layout in hand.
        """
        return self._solve(nodes, seconds, known)

    def learn(self, boards, shares) -> bool:
        """Weighings that this answer breaks; True where there was one."""
        return self._broken(boards, shares) or self._separate(boards, shares) or self._separate(boards, shares, ALL_PLANES)

    def _broken(self, boards, shares) -> bool:
        """Bring rows already weighed that an answer breaks into the programme."""
        fresh = False
        for n, weighing in enumerate(self.weighings):
            for b, most in weighing.most.items():
                if boards[b] > 1e-6 and (n, b) not in self.active:
                    if weighing.weight @ shares[b] > most * boards[b] * (1 + 1e-6) + 1e-6:
                        self.active[n, b] = None
                        fresh = True
        return fresh

    def _separate(self, boards, shares, planes: int = PLANES) -> bool:
        fresh = False
        for b in np.flatnonzero(boards > 1e-6):
            weight = self._plane(b, shares[b] / boards[b], planes)
            if weight is not None:
                self._weigh(weight)
                n = len(self.weighings) - 1
                self.active.update({(n, b): None for b in self.weighings[n].most})
                fresh = True
        return fresh

    def _plane(self, b: int, share, planes: int) -> np.ndarray | None:
        """Whole weights under which a share is heavier than anything a board gives, or None."""
        use = np.flatnonzero(share > 1e-6)
        if not len(use):
            return None
        layouts = [np.where(np.arange(self.kinds) == i, self.alone[b], 0.0) for i in use]
        layouts += self.layouts[b]
        for _ in range(planes):
            found = linprog(-share[use], A_ub=np.array(layouts)[:, use], b_ub=np.ones(len(layouts)), method="highs")
            if found.x is None or -found.fun <= 1 + 1e-6:
                return None
            weight = np.zeros(self.kinds)
            weight[use] = np.where(found.x < SMALL * found.x.max(), 0.0, found.x)
            layout = self.floor.layout_of(b, weight)
            if weight @ layout <= 1 + 1e-6:
                break
            layouts.append(layout)
            self.layouts[b].append(layout)
        for scale in SCALES:
            whole = np.round(weight / weight.max() * scale)
            if whole @ share > self.floor.most(b, whole) * (1 + 1e-5) + 1e-6:
                return whole
        return None

    def _programme(self, known: float | None):
        """Cost, rows, their least and most, and the most of each unknown."""
        kinds, stocks = self.kinds, self.stocks
        size = stocks + stocks * kinds + 1
        row, col, val, low, high = [], [], [], [], []

        def add(columns, values, least, most):
            row.extend([len(low)] * len(columns))
            col.extend(columns)
            val.extend(values)
            low.append(least)
            high.append(most)

        for i in range(kinds):
            # The last unknown stands for the layout in hand, so that there always is an answer.
            add([*range(stocks + i, size - 1, kinds), size - 1], [1.0] * stocks + [float(self.wanted[i])],
                float(self.wanted[i]), np.inf)
        for b in np.flatnonzero(self.limits):
            for i in np.flatnonzero(self.alone[b]):
                add([stocks + b * kinds + i, b], [1.0, -self.alone[b, i]], -np.inf, 0.0)
        for n, b in self.active:
            if self.limits[b]:
                weighing = self.weighings[n]
                use = np.flatnonzero(weighing.weight)
                add([*(stocks + b * kinds + use), b], [*weighing.weight[use], -weighing.most[b]], -np.inf, 0.0)
        most = np.concatenate([
            self.limits, np.minimum(self.alone * self.limits[:, None], self.wanted).ravel(), [0.0 if known is None else 1.0],
        ])
        cost = np.concatenate([self.floor.price, np.zeros(stocks * kinds), [known or 0.0]])
        return cost, csr_array((val, (row, col)), shape=(len(low), size)), np.array(low), np.array(high), most

    def _relaxed(self, known: float | None):
        """Boards and shares of the least cost without whole numbers, or None; leaves out boards too dear by it."""
        cost, rows, low, high, most = self._programme(None)
        result = linprog(
            cost, A_ub=csr_array(vstack([-rows[: self.kinds], rows[self.kinds :]])),
            b_ub=np.concatenate([-low[: self.kinds], high[self.kinds :]]), bounds=np.stack([np.zeros_like(most), most], 1),
            method="highs",
        )
        if result.x is None:
            return None
        self.floor.raise_to(result.fun)
        if known is not None:
            # One such board more costs at least its reduced cost more.
            dear = result.fun + result.lower.marginals[: self.stocks] >= known * (1 + 1e-6)
            self.limits = np.where(dear & (result.x[: self.stocks] < 1e-9), 0.0, self.limits)
        return self._parted(result.x)

    def _parted(self, answer):
        return answer[: self.stocks], answer[self.stocks : -1].reshape(self.stocks, self.kinds)

    def _solve(self, nodes: int, seconds: float, known: float | None):
        """Boards and shares of the least cost in whole numbers, or None; raises the floor."""
        found = solve_whole(*self._programme(known), nodes, seconds)
        self.floor.impossible = self.floor.impossible or (known is None and found.impossible)
        self.floor.raise_to(found.floor)
        if found.amounts is None or found.amounts[-1]:
            return None
        boards, shares = self._parted(found.amounts.astype(float))
        if known is not None and boards @ self.floor.price >= known * (1 - 1e-9):
            return None
        return boards, shares
