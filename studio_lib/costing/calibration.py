"""How well past jobs kept to their ranges: coverage, drift, and the operations that went furthest astray."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

from studio_lib.costing.operations import DRAWING

FEW = 5
"""Under so many jobs a share says little; judgement of ours."""


@dataclass(frozen=True)
class PastJob:
    """One finished job with what was reckoned for it. [h]"""

    ref: str
    p10: float
    p50: float
    p80: float
    p90: float
    spent: float

    @property
    def inside(self) -> bool:
        """Ended between its P10 and its P90."""
        return self.p10 <= self.spent <= self.p90


@dataclass(frozen=True)
class Astray:
    """How one operation went over past jobs."""

    operation: str
    jobs: int
    ratio: float
    """Middle of spent over standard hours (geometric mean)."""
    hours_over: float
    """Hours spent beyond what was reckoned likely, over all its jobs."""


@dataclass(frozen=True)
class Calibration:
    """Past ranges held against what came."""

    jobs: tuple[PastJob, ...]
    """The earliest first."""
    worst: tuple[Astray, ...]
    """Operations with the most hours over or under what was reckoned, the most first."""
    yields: tuple[tuple[str, float, float], ...]
    """(reference, yield reckoned, yield as bought), 0 to 1."""

    @property
    def inside(self) -> int:
        return sum(j.inside for j in self.jobs)

    @property
    def under_p80(self) -> int:
        return sum(j.spent <= j.p80 for j in self.jobs)

    @property
    def drift(self) -> float | None:
        """Middle of spent over P50: over 1, jobs take longer than reckoned. None without a job."""
        if not self.jobs:
            return None
        return exp(sum(log(j.spent / j.p50) for j in self.jobs) / len(self.jobs))

    @property
    def lately(self) -> float | None:
        """The same over the last third of the jobs; None for fewer than ``FEW``."""
        if len(self.jobs) < FEW:
            return None
        last = self.jobs[-max(len(self.jobs) // 3, 2) :]
        return exp(sum(log(j.spent / j.p50) for j in last) / len(last))

    def says(self) -> tuple[str, ...]:
        """Sentences for the maker."""
        n = len(self.jobs)
        if not n:
            return ("No finished job of yours has a range kept with it yet; it is kept when a quote is issued.",)
        out = [
            f"{self.under_p80} of {n} finished jobs ended under their safe hours (8 of 10 should).",
            f"{self.inside} of {n} ended between their P10 and their P90 (8 of 10 should).",
        ]
        if n < FEW:
            out.append(f"With fewer than {FEW} jobs such counts say little yet.")
        out.append(
            f"The middle job took {self.drift:.2f} of its likely hours"
            + (f"; lately {self.lately:.2f}." if self.lately is not None else ".")
        )
        return tuple(out)


def calibration(records) -> Calibration:
    """From finished jobs (``records.PastRecord``), the earliest first; those without hours are left out."""
    jobs, by_operation, yields = [], {}, []
    for r in records:
        e = r.estimate
        if e is not None and r.hours:
            # Where no time at the drawing board was written down, it is taken out of the range as well.
            unseen = 0.0 if DRAWING in r.spent else e.design_hours
            p10, p50, p80, p90 = (h - unseen for h in e.hours)
            if p10 > 0:
                jobs.append(PastJob(r.ref, p10, p50, p80, p90, r.hours))
        if e is not None and r.bought_m3 and e.bought_m3:
            yields.append((r.ref, e.finished_m3 / e.bought_m3, e.finished_m3 / r.bought_m3))
        for operation, ratio in r.ratios.items():
            over = (
                r.spent.get(operation, 0.0) - e.operations[operation][1]
                if e is not None and operation in e.operations
                else 0.0
            )
            by_operation.setdefault(operation, []).append((ratio, over))
    worst = [
        Astray(o, len(rows), exp(sum(log(x) for x, _ in rows) / len(rows)), sum(h for _, h in rows))
        for o, rows in by_operation.items()
    ]
    worst.sort(key=lambda a: -abs(a.hours_over) or -abs(log(a.ratio)))
    return Calibration(tuple(jobs), tuple(worst), tuple(yields))
