"""Hours as a range, from standard times and the maker's own records.

For one operation the ratio of actual to standard hours is taken as log-normal; its
centre starts at the standard and moves to the maker's records as they come (normal
conjugate update). Operations on one job share luck and optimism, so a job factor is
laid over the whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, sqrt

PRIOR_CENTRE = 0.0
PRIOR_SD = 0.30
RECORD_SD = 0.25
JOB_SD = 0.20
"""Starting values, judgement of ours; see the worked check in the tests."""
Z = {10: -1.2815515655, 50: 0.0, 80: 0.8416212336, 90: 1.2815515655}


@dataclass(frozen=True)
class Spread:
    """A log-normal quantity: median, and standard deviation of its logarithm."""

    median: float
    log_sd: float
    records: int = 0

    def at(self, percent: int) -> float:
        """P10, P50, P80 or P90."""
        return self.median * exp(Z[percent] * self.log_sd)

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
