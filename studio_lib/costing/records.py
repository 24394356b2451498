"""What the maker's own past hours say: written down by operation, held against what was reckoned."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import UTC, date, datetime

from studio_lib.commission import Estimate, HourEntry
from studio_lib.costing.operations import DRAWING, Work

LONGEST_RUN_H = 16.0
"""A timer that has run longer was forgotten; judgement of ours. [h]"""


def hours_by_operation(entries: tuple[HourEntry, ...]) -> dict[str, float]:
    """Hours written down, by operation. [h]"""
    spent: dict[str, float] = {}
    for entry in entries:
        spent[entry.operation] = spent.get(entry.operation, 0.0) + entry.minutes / 60
    return spent


def standard_by_operation(work: tuple[Work, ...]) -> dict[str, float]:
    """Standard hours of a job's operations. [h]"""
    standard: dict[str, float] = {}
    for w in work:
        standard[w.time.operation] = standard.get(w.time.operation, 0.0) + w.standard_hours
    return standard


def ratios(work: tuple[Work, ...], entries: tuple[HourEntry, ...]) -> dict[str, float]:
    """Actual over standard hours of one finished job, for the operations with time written down."""
    return _ratios(standard_by_operation(work), entries)


def _ratios(standard: dict[str, float], entries) -> dict[str, float]:
    return {
        operation: actual / standard[operation]
        for operation, actual in hours_by_operation(entries).items()
        if standard.get(operation)
    }


def as_reckoned(derived, revision: int, day: date) -> Estimate:
    """What is reckoned now, to be kept beside the quote."""
    p, layout = derived.price, derived.layout
    likely: dict[str, float] = {}
    for row in p.labour:
        likely[row.work.time.operation] = likely.get(row.work.time.operation, 0.0) + row.hours.median
    standard = standard_by_operation(derived.work)
    standard[DRAWING], likely[DRAWING] = float(p.design_hours), p.design.median
    bought = (
        sum(
            layout.board(ref).length_mm * layout.board(ref).width_mm * layout.board(ref).thickness_mm
            for ref, _ in layout.boards_used
        )
        * 1e-9
    )
    return Estimate(
        day=day,
        revision=revision,
        hours=tuple(round(float(p.hours_at(q)), 3) for q in (10, 50, 80, 90)),
        design_hours=float(p.design_hours),
        net=p.net,
        operations={o: (round(h, 4), round(likely[o], 4)) for o, h in standard.items()},
        finished_m3=round(sum(r.volume_m3 for r in derived.cutting_list), 6),
        bought_m3=round(bought, 6),
    )


@dataclass(frozen=True)
class PastRecord:
    """One finished job as the estimator and the calibration take it."""

    ref: str
    ended: date | None
    ratios: dict[str, float]
    """Actual over standard hours by operation."""
    hours: float
    """Really spent. [h]"""
    estimate: Estimate | None
    """As it was reckoned before; None where nothing was kept."""
    bought_m3: float | None = None
    spent: dict[str, float] = field(default_factory=dict)
    """Hours by operation. [h]"""


def past_record(commission, work=None) -> PastRecord:
    """A finished commission as it counts. ``work`` is called for its operations where no estimate was kept."""
    kept = commission.estimate
    if kept is not None:
        standard = {o: s for o, (s, _) in kept.operations.items()}
    else:
        standard = standard_by_operation(work()) if work else {}
    spent = hours_by_operation(commission.hours)
    return PastRecord(
        commission.ref,
        max((h.day for h in commission.hours), default=None),
        _ratios(standard, commission.hours),
        sum(spent.values()),
        kept,
        commission.afterwards.bought_m3,
        spent,
    )


@dataclass(frozen=True)
class Compared:
    """One operation: reckoned and spent."""

    operation: str
    standard_h: float
    likely_h: float
    spent_h: float

    @property
    def ratio(self) -> float | None:
        """Spent over likely; None where nothing was reckoned or nothing spent."""
        return self.spent_h / self.likely_h if self.likely_h and self.spent_h else None


def against_estimate(estimate: Estimate, entries) -> tuple[Compared, ...]:
    """Each operation reckoned or spent, the greatest difference in hours first."""
    spent = hours_by_operation(entries)
    names = dict.fromkeys([*estimate.operations, *spent])
    rows = [Compared(o, *estimate.operations.get(o, (0.0, 0.0)), spent.get(o, 0.0)) for o in names]
    return tuple(sorted(rows, key=lambda r: -abs(r.spent_h - r.likely_h)))


def elapsed_minutes(started: datetime, now: datetime | None = None) -> float:
    """Minutes a timer has run. Raises ValueError for one that was left running, or that starts later than now."""
    now = now or datetime.now(UTC)
    if started.tzinfo is None:
        started = started.replace(tzinfo=UTC)
    minutes = (now - started).total_seconds() / 60
    if minutes < 0:
        raise ValueError(
            "This timer was started at a later time than it is now. Look at the clock, and give the minutes by hand."
        )
    if minutes > 60 * LONGEST_RUN_H:
        raise ValueError(
            f"This timer has run {minutes / 60:.0f} hours, so it was left running. Drop it, and give the minutes "
            "by hand."
        )
    return minutes


def bench_entries(text: str, operations, already: tuple[HourEntry, ...]) -> tuple[list[dict], int]:
    """Entries of a bench sheet, as plain rows ready for the document, and how many it held already.

    The text is what the sheet's own page gave: data, never code. Raises ValueError saying which row is wrong and why.
    """
    try:
        rows = json.loads(text)["hours"]
        assert isinstance(rows, list)
    except (ValueError, KeyError, TypeError, AssertionError):
        raise ValueError(
            "This is not what the bench sheet gives. Open it, press 'Hand over', and bring that text or file "
            "here whole."
        ) from None
    have, fresh, again = {h.key for h in already if h.key}, [], 0
    for i, row in enumerate(rows, 1):
        if not isinstance(row, dict) or not isinstance(row.get("key"), str) or not row["key"]:
            raise ValueError(f"Row {i} of the bench sheet is not whole; hand it over again.")
        if row["key"] in have:
            again += 1
            continue
        have.add(row["key"])
        operation, minutes = row.get("operation"), row.get("minutes")
        if operation not in operations:
            raise ValueError(f"Row {i} of the bench sheet is for {operation!r}, which is no operation on file.")
        if isinstance(minutes, bool) or not isinstance(minutes, int | float) or not 0 < minutes <= 24 * 60:
            raise ValueError(
                f"Row {i} of the bench sheet has {minutes!r} minutes for {operation}; give more than 0, 1440 at "
                "the most."
            )
        fresh.append({k: row[k] for k in ("day", "operation", "minutes", "note", "mistake", "key") if k in row})
    return fresh, again
