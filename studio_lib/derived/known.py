"""What the maker's book knows besides the commission."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Known:
    """What the maker's book adds to a commission: hours of past jobs, and timbers of their own."""

    records: tuple = ()
    """Finished jobs, the earliest first, as ``studio_lib.costing.records.PastRecord``."""
    past_jobs: tuple = ()
    library: object = None
    """From ``studio_lib.timber.own_species``; None for the timbers on file."""
    yields: tuple = ()
    """What past jobs got out of their boards (``stock.yields.JobYield``)."""

    @cached_property
    def estimator(self):
        """What the finished jobs say of hours."""
        from studio_lib.costing.hours import learnt
        from studio_lib.costing.operations import standard_times

        return learnt([r.ratios for r in self.records], {o: t.log_sd for o, t in standard_times().items()})
