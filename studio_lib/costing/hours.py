"""Hours as a range, from standard times and the maker's own records.

The logarithm of actual over standard hours of an operation is a centre of that
operation's own, a share that all operations of one job have in common (luck, timber,
optimism), and what is left. All three are normal; centres and job shares start at 0
and move to the maker's records as they come (conjugate update), and so do the two
spreads. Hours of a job are the sum of its operations, matched to one log-normal.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import exp, log, sqrt

PRIOR_CENTRE = 0.0
PRIOR_SD = 0.30
RECORD_SD = 0.25
JOB_SD = 0.20
"""Starting values, judgement of ours; see the worked check in the tests."""
Z = {10: -1.2815515655, 50: 0.0, 80: 0.8416212336, 90: 1.2815515655}


SPREAD_WORTH = 6
"""Records that the starting spreads weigh as much as; judgement of ours."""
WHOLE_JOB = 3
"""Operations that a job must have a record for before it says what its operations share; judgement of ours."""
SETTLES = 20
"""Rounds of the two-step search for the spreads; it has settled to four figures long before."""


@lru_cache(maxsize=256)
def _t_quantile(percent: int, freedom: int) -> float:
    from scipy.special import stdtrit

    return float(stdtrit(freedom, percent / 100))


@dataclass(frozen=True)
class Spread:
    """A log-normal quantity: median, and standard deviation of its logarithm."""

    median: float
    log_sd: float
    records: int = 0
    freedom: int = 0
    """Records behind the spread itself: quantiles are Student's t of so many degrees; 0 where the spread is known."""

    def at(self, percent: int) -> float:
        """P10, P50, P80 or P90."""
        z = _t_quantile(percent, self.freedom) if self.freedom else Z[percent]
        return self.median * exp(z * self.log_sd)

    @property
    def mean(self) -> float:
        return self.median * exp(self.log_sd**2 / 2)


def factor(ratios, prior_sd: float = PRIOR_SD, record_sd: float = RECORD_SD) -> Spread:
    """Factor on standard hours for the next job, given past actual / standard ratios.

    With no record it is the prior alone. Raises ValueError for a ratio that is not positive.
    """
    if any(r <= 0 for r in ratios):
        raise ValueError("A ratio of actual to standard hours must be above 0; look at the record again.")
    logs = [log(r) for r in ratios]
    precision = 1 / prior_sd**2 + len(logs) / record_sd**2
    centre = (PRIOR_CENTRE / prior_sd**2 + sum(logs) / record_sd**2) / precision
    return Spread(exp(centre), sqrt(1 / precision + record_sd**2), len(logs))


def whole_job(parts, job_sd: float = JOB_SD) -> Spread:
    """Hours of a whole job from [(standard hours, Spread of the factor)].

    Sum of log-normals by matching mean and variance (Fenton and Wilkinson), then the
    factor that all operations of one job share.
    """
    mean = variance = 0.0
    for hours, f in parts:
        base = hours * f.median
        mean += base * exp(f.log_sd**2 / 2)
        variance += base**2 * exp(f.log_sd**2) * (exp(f.log_sd**2) - 1)
    if mean == 0:
        return Spread(0.0, 0.0)
    s2 = log(1 + variance / mean**2)
    return Spread(exp(log(mean) - s2 / 2), sqrt(s2 + job_sd**2))


@dataclass(frozen=True)
class Estimator:
    """What a maker's finished jobs say of the next one. Made by ``learnt``."""

    operations: tuple[str, ...]
    """Those with a record."""
    centres: tuple[float, ...]
    """Centre of ln(actual / standard) of each."""
    covariance: tuple[tuple[float, ...], ...]
    """Of the centres: records of one job move together."""
    record_sd: float
    job_sd: float
    counts: tuple[int, ...]
    """Own jobs behind each."""
    jobs: int
    whole_jobs: int = 0
    """Of them, those with ``WHOLE_JOB`` operations or more."""

    @property
    def freedom(self) -> int:
        return SPREAD_WORTH + self.whole_jobs

    def factor(self, operation: str, prior_sd: float = PRIOR_SD) -> Spread:
        """Actual over standard hours of one operation on the next job, the job's share in it."""
        centre, variance, n = self._one(operation, prior_sd)
        return Spread(exp(centre), sqrt(variance + self.record_sd**2 + self.job_sd**2), n, self.freedom)

    def hours(self, parts: Sequence[tuple[str, float, float]]) -> Spread:
        """Hours of a whole job from [(operation, standard hours, spread where there is no record)].

        Fenton and Wilkinson's sum of log-normals by mean and variance, with what the operations share.
        """
        import numpy as np

        worked: dict[str, list[float]] = {}
        for operation, hours, prior_sd in parts:
            row = worked.setdefault(operation, [0.0, prior_sd])
            row[0] += hours
        names = [o for o, (h, _) in worked.items() if h > 0]
        if not names:
            return Spread(0.0, 0.0)
        centre, cov = np.zeros(len(names)), np.zeros((len(names), len(names)))
        own = np.asarray(self.covariance) if self.operations else np.zeros((0, 0))
        place = {o: i for i, o in enumerate(self.operations)}
        known = [(k, place[o]) for k, o in enumerate(names) if o in place]
        for k, o in enumerate(names):
            if o not in place:
                cov[k, k] = worked[o][1] ** 2
        if known:
            at, of = (list(x) for x in zip(*known))
            centre[at] = np.asarray(self.centres)[of]
            cov[np.ix_(at, at)] = own[np.ix_(of, of)]
        cov += self.job_sd**2 + np.diag(np.full(len(names), self.record_sd**2))
        mean = np.array([worked[o][0] for o in names]) * np.exp(centre + np.diag(cov) / 2)
        total = float(mean.sum())
        variance = float(mean @ np.expm1(cov) @ mean)
        s2 = log(1 + variance / total**2)
        return Spread(exp(log(total) - s2 / 2), sqrt(s2), self.jobs, self.freedom)

    def _one(self, operation: str, prior_sd: float) -> tuple[float, float, int]:
        if operation not in self.operations:
            return PRIOR_CENTRE, prior_sd**2, 0
        i = self.operations.index(operation)
        return self.centres[i], self.covariance[i][i], self.counts[i]


def learnt(jobs: Sequence[Mapping[str, float]], prior_sds: Mapping[str, float] | None = None) -> Estimator:
    """An estimator from finished jobs, each {operation: actual / standard hours}.

    Centres of operations and shares of jobs follow jointly from the records (Gaussian, conjugate); the spread of a
    record and of a job are searched for in turn with them (expectation and maximisation), from starting values that
    weigh as much as ``SPREAD_WORTH`` records. ``prior_sds`` is the spread of each operation's centre before any
    record. Raises ValueError for a ratio that is not positive.
    """
    import numpy as np

    prior_sds = prior_sds or {}
    rows = [(j, o, r) for j, job in enumerate(jobs) for o, r in job.items()]
    bad = [f"{o}: {r:g}" for _, o, r in rows if not r > 0]
    if bad:
        raise ValueError(
            f"A ratio of actual to standard hours must be above 0 ({'; '.join(bad)}); look at the record again."
        )
    names = tuple(dict.fromkeys(o for _, o, _ in rows))
    with_record = sorted({j for j, _, _ in rows})
    if not rows:
        return Estimator((), (), (), RECORD_SD, JOB_SD, (), 0)
    n, k = len(names), len(with_record)
    where, job_at = {o: i for i, o in enumerate(names)}, {j: n + i for i, j in enumerate(with_record)}
    design = np.zeros((len(rows), n + k))
    for i, (j, o, _) in enumerate(rows):
        design[i, where[o]] = design[i, job_at[j]] = 1.0
    y = np.log([r for _, _, r in rows]) - PRIOR_CENTRE
    gram, pull = design.T @ design, design.T @ y
    whole = np.array([n + i for i, j in enumerate(with_record) if sum(r[0] == j for r in rows) >= WHOLE_JOB], dtype=int)
    before = np.array([prior_sds.get(o, PRIOR_SD) ** -2 for o in names])
    record, job = RECORD_SD**2, JOB_SD**2
    for _ in range(SETTLES):
        covariance = np.linalg.inv(gram / record + np.diag(np.concatenate([before, np.full(k, 1 / job)])))
        centre = covariance @ pull / record
        left = float(((y - design @ centre) ** 2).sum() + (gram * covariance).sum())
        shared = float((centre[whole] ** 2).sum() + covariance[whole, whole].sum())
        record = (SPREAD_WORTH * RECORD_SD**2 + left) / (SPREAD_WORTH + len(rows))
        job = (SPREAD_WORTH * JOB_SD**2 + shared) / (SPREAD_WORTH + len(whole))
    counts = tuple(sum(o == name for _, o, _ in rows) for name in names)
    return Estimator(
        names,
        tuple(float(c) + PRIOR_CENTRE for c in centre[:n]),
        tuple(map(tuple, covariance[:n, :n].tolist())),
        sqrt(record),
        sqrt(job),
        counts,
        k,
        len(whole),
    )


def three_point(least: float, likely: float, most: float) -> tuple[float, float]:
    """Expected value and standard deviation of a three-point estimate: (a + 4m + b) / 6 and (b - a) / 6.

    For an operation nobody has timed; ``as_spread`` makes it a range. Raises ValueError where they are not in order.
    """
    if not 0 < least <= likely <= most:
        raise ValueError(
            f"{least:g}, {likely:g}, {most:g}: give the least, the likely and the most, in that order and above 0."
        )
    return (least + 4 * likely + most) / 6, (most - least) / 6


def as_spread(mean: float, sd: float) -> Spread:
    """The log-normal of that mean and standard deviation."""
    s2 = log(1 + (sd / mean) ** 2)
    return Spread(exp(log(mean) - s2 / 2), sqrt(s2))
