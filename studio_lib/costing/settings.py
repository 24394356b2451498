"""Rates and terms carried from one job to the next."""

from __future__ import annotations

from studio_lib.commission import Rates

OF_THE_JOB = ("design_hours", "design_counted", "meetings", "with_any_job", "delivery_km", "delivery_people", "bought_in", "extra_work")
"""What belongs to one job and is not carried over."""


def rates_from(other: Rates, present: Rates) -> dict:
    """The other job's rates and terms as plain values, with what belongs to the present job kept."""
    mine = present.model_dump(mode="json")
    return other.model_dump(mode="json") | {name: mine[name] for name in OF_THE_JOB}
