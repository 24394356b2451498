"""The thorough effort on one job: search and proof, side by side, until they meet.

Separate from ``layout.py`` because it is this part that needs the compiled kernels.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from studio_lib.stock.bound import Floor
from studio_lib.stock.job import Filled, Job
from studio_lib.stock.pricing import BarPricing
from studio_lib.stock.search import Effort, Search, Watch
from studio_lib.stock.shares import Shares

PROOF_NODES = 200


@dataclass(frozen=True)
class Outcome:
    """The best layout of a job, the floor under its cost, and whether a shortage is certain."""

    filled: tuple[Filled, ...]
    bound: Decimal | None
    shortage_proved: bool


class Thorough:
    """One job: the search on safe sizes, the floor on generous ones."""

    def __init__(self, job: Job, generous: Job, start: list[Filled], effort: Effort, seed: int,
                 watch: Watch, report, first_cut: str = "either"):
        self.effort, self.watch, self.report = effort, watch, report
        self.search = Search(job, effort, seed, watch, first_cut)
        self.search.start(start)
        self.floor = Floor(generous)
        self.squeezed: set[bytes] = set()
        # With boards of one kind only there is nothing to share out.
        self.shares_out = len(job.stocks) > 1 and not isinstance(self.search.pricing, BarPricing)
        self.shares: Shares | None = None

    def run(self) -> Outcome:
        """Every step in turn, ending early once cost and floor meet."""
        steps = [(0.15, self._price), (0.25, self.search.vary), (0.35, self.search.choose)]
        dives = [(0.55, self.search.dive)] * self.effort.dives + [(0.55, self.search.weigh_shortage)]
        rounds = self.effort.neighbourhoods
        if self.search.faulted:
            rounds = max(rounds // 2, min(rounds, self.effort.neighbour_boards // self.search.faulted))
        cut_anew = [(0.6 + 0.4 * n / rounds, self.search.neighbourhood) for n in range(rounds)]
        if self.shares_out:
            before, share_out = self.effort.before_proof, [(0.6, self._share_out)]
            weigh = [(0.5, self._weigh)]
            steps.insert(1, (0.2, self._correct))
            steps += dives + cut_anew[:before] + weigh + share_out
            steps += cut_anew[before:] + [(1.0, self._weigh_finely)] + share_out
        else:
            # Along one line diving finds what is left to find; side by side the proof says where to look.
            bars = isinstance(self.search.pricing, BarPricing)
            steps += 3 * dives + [(0.5, self._prove)] if bars else [(0.5, self._prove)] + dives
            steps += cut_anew[: rounds // 2] + [(0.8, self._prove)] + cut_anew[rounds // 2 :]
        for share, step in steps:
            if self.closed or self.watch.over:
                break
            step()
            self.report(self, share)
        self.search.tidy()
        self.report(self, 1.0)
        return Outcome(
            tuple(Filled(c.stock, c.cells) for c in self.search.best),
            self.floor.cost, self.floor.impossible,
        )

    @property
    def cost(self) -> Decimal:
        return self.search.best_worth.cost

    @property
    def _known(self) -> float | None:
        """Cost of the best layout, where it has all pieces."""
        return None if self.search.best_worth.short else float(self.cost)

    @property
    def closed(self) -> bool:
        """True when nothing better can be found."""
        floor = self.floor
        if self.search.best_worth.short:
            return False
        return floor.cost is not None and self.cost <= floor.cost

    def _price(self) -> None:
        """Column generation, and the floor that its prices give."""
        value = self.search.generate()
        if self.shares_out:
            self.shares = Shares(self.floor)
            known = [(c.stock, c.counts) for c in self.search.pool]
            self.shares.price_out(known, value * self.search.unit, self.effort.share_prices, self.watch)
            return
        self.floor.add_classes(value)
        boards = self.floor.prove(PROOF_NODES, self.watch.left_s)
        if boards is not None and not self.closed:
            for b in boards.nonzero()[0][: self.effort.size_classes]:
                self.floor.add_sizes(b)
            self.floor.prove(PROOF_NODES, self.watch.left_s)

    def _correct(self) -> None:
        self.search.correct(max(10, min(self.effort.corrected, self.effort.corrected_boards // max(1, self.search.faulted))))

    def _weigh(self, rounds: int | None = None) -> None:
        """Raise the floor by what each board could give, in parts of pieces yet."""
        rounds = rounds or (self.effort.share_rounds_faulted if self.search.faulted else self.effort.share_rounds)
        self.shares.relax(rounds, self._known, self.watch)

    def _weigh_finely(self) -> None:
        """The same, with a harder look at boards with faults."""
        self.shares.refine(self.watch)
        self._weigh(self.effort.share_rounds_finely)

    def _share_out(self) -> None:
        """Raise the floor by whole pieces out of each board, and try the boards and pieces it would have."""
        unknowns, nodes = len(self.floor.price) * len(self.floor.wanted), self.effort.share_nodes
        for _ in range(min(self.effort.proof_rounds, max(2, self.effort.share_unknowns // unknowns))):
            if self.closed or self.watch.over:
                return
            answer = self.shares.prove(nodes, self.watch.left_s, self._known)
            self.report(self, 0.6)
            if answer is None:
                # Nothing cheaper was met, and not all was looked at.
                nodes *= 4
            elif not self.shares.learn(*answer):
                self.search.aim(*answer)
                self._squeeze(answer[0].astype(int))
                return

    def _prove(self) -> None:
        """Ask for the boards that the floor would use, and learn why they do not do."""
        for _ in range(self.effort.proof_rounds):
            boards = self.floor.prove(PROOF_NODES, self.watch.left_s)
            if boards is None or self.closed or self.watch.over:
                return
            if not (self._fits_not(boards) or self.floor.separate(boards)
                    or self.floor.cap(boards)):
                # The floor has nothing against these boards: then they may do.
                self._squeeze(boards)
                return
            self.report(self, 0.5)

    def _squeeze(self, boards) -> None:
        key = boards.tobytes()
        if len(self.squeezed) < self.effort.squeezed and key not in self.squeezed and not self.search.best_worth.short:
            self.squeezed.add(key)
            self.search.squeeze(boards)

    def _fits_not(self, boards) -> bool:
        """Try to fit all on these boards; True when that taught the floor something."""
        value = self.search.fit(boards)
        if value is None:
            return False
        self.floor.add(value)
        return self.floor.breaks(self.floor.rows[-1], boards) or self.floor.sharpen(boards)
