"""What the maker's own past hours say about standard times."""

from __future__ import annotations

from studio_lib.commission import HourEntry
from studio_lib.costing.operations import Work


def hours_by_operation(entries: tuple[HourEntry, ...]) -> dict[str, float]:
    """Hours written down, by operation. [h]"""
    spent: dict[str, float] = {}
    for entry in entries:
        spent[entry.operation] = spent.get(entry.operation, 0.0) + entry.minutes / 60
    return spent


def ratios(work: tuple[Work, ...], entries: tuple[HourEntry, ...]) -> dict[str, float]:
    """Actual over standard hours of one finished job, for the operations with time written down."""
    standard: dict[str, float] = {}
    for w in work:
        standard[w.time.operation] = standard.get(w.time.operation, 0.0) + w.standard_hours
    return {
        operation: actual / standard[operation]
        for operation, actual in hours_by_operation(entries).items()
        if standard.get(operation)
    }
