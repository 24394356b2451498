"""Moisture readings taken in the workshop: what the meter says, what to make of it, when to start."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

KINDS = ("pin", "pinless")
METER_PCT = (4.0, 60.0)
CALIBRATED_C = 20.0
COLDEST_C, WARMEST_C = -20.0, 60.0
# One meter maker's manual: half a point for 5 K; another: 2 points up at 10 °C, 3 down at 40 and
# 4 down at 50, for a reading of 15 %. That is 0.10 to 0.20 points a kelvin: the middle, and half the span.
POINTS_PER_K, POINTS_PER_K_EITHER_WAY = 0.15, 0.05
METER_EITHER_WAY_PCT = 2.0
# The largest species correction in the manuals seen (teak, 24 % shown, 20 % so).
OTHER_SPECIES_EITHER_WAY_PCT = 4.0
TRUSTED_PCT = (7.0, 25.0)

VISITS = 3
TREND_VISITS = 5
MOST_SPREAD_PCT = 3.0
NO_TREND_PER_DAY = 0.01
"""Under a hundredth of a point a day a reading does not move, for any meter in a workshop."""

TEMPERATURE_SOURCE = (
    "two meter makers' manuals, which disagree (0.10 and 0.13 to 0.20 points a kelvin, meters set at 20 °C)"
)
METER_SOURCE = "Wengert and Bois 1997, as quoted by Shupe and others: meters seldom over 2 points from the oven"
READY_SOURCE = "common practice, no source: three visits within the tolerance"


@dataclass(frozen=True)
class Reading:
    """One reading, as the meter showed it."""

    day: date
    board: str
    depth_mm: float
    """How deep the pins reached, or half of how deep a pinless meter looks. [mm]"""
    percent: float
    """As shown. [%]"""
    temperature_c: float
    """Of the wood. [°C]"""
    instrument_species: str
    """What the meter was set to."""
    kind: str = "pin"
    """'pin' (resistance) or 'pinless' (capacitance, which temperature hardly touches)."""

    def __post_init__(self):
        if not self.board.strip():
            raise ValueError("board is empty; give the mark chalked on the board.")
        if not 0 <= self.depth_mm <= 200:
            raise ValueError(f"depth_mm is {self.depth_mm}; 0 to 200, from the face.")
        low, high = METER_PCT
        if not low <= self.percent <= high:
            raise ValueError(f"percent is {self.percent}; a meter shows {low:g} to {high:g} %. Read it again.")
        if not COLDEST_C <= self.temperature_c <= WARMEST_C:
            raise ValueError(f"temperature_c is {self.temperature_c}; {COLDEST_C:g} to {WARMEST_C:g} °C, of the wood.")
        if self.kind not in KINDS:
            raise ValueError(f"kind is {self.kind!r}; allowed: {', '.join(KINDS)}.")


@dataclass(frozen=True)
class Corrected:
    """What a reading means. [%]"""

    percent: float
    either_way_pct: float
    """The wood lies so much to either side of it, most likely. [%]"""
    says: str
    source: str


@dataclass(frozen=True)
class BoardState:
    """Where one board stands against the target."""

    board: str
    ready: bool
    percent: float
    """Corrected, deepest reading of the last visit. [%]"""
    either_way_pct: float
    day: date
    visits: int
    per_day_pct: float | None
    """Trend over the last visits; None with fewer than two days of readings. [% a day]"""
    days_left: tuple[float, float] | None
    """Estimate, soonest and latest; None when ready, or when no estimate can be made. [days]"""
    beyond_readings: bool
    """Whether that estimate reaches further than the readings do."""
    says: str


@dataclass(frozen=True)
class Readiness:
    """All boards against the target."""

    boards: tuple[BoardState, ...]
    all_ready: bool
    spread_pct: float
    """From the driest to the wettest board, corrected. [%]"""
    says: str
    source: str


def corrected(reading: Reading, board_species: str, species_correction_pct: float | None = None) -> Corrected:
    """A reading corrected for temperature and, where the meter's own table gives it, for species.

    Parameters
    ----------
    reading : Reading
    board_species : str
        What the board is.
    species_correction_pct : float or None
        From the meter's manual or an oven test, to be added to what is shown. None when there is
        none: nothing is applied, and the uncertainty is widened unless the meter was set to it. [%]

    Returns
    -------
    Corrected

    Raises
    ------
    ValueError
        For a correction of more than 10 points.

    Notes
    -----
    No published table of species corrections is on file: they belong to a make of meter. Single
    uncertainties are taken together as the root of the sum of their squares.

    Examples
    --------
    15 % shown at 10 °C; two manuals say 16 and 17 %:

    >>> from datetime import date
    >>> found = corrected(Reading(date(2026, 3, 2), "A1", 10, 15, 10, "oak"), "oak")
    >>> found.percent
    16.5
    """
    if species_correction_pct is not None and not -10 <= species_correction_pct <= 10:
        raise ValueError(f"species_correction_pct is {species_correction_pct}; points to add, -10 to 10.")
    parts = [METER_EITHER_WAY_PCT]
    percent = reading.percent
    said, sources = [f"{reading.percent:g} % shown"], [METER_SOURCE]
    off_k = CALIBRATED_C - reading.temperature_c
    if reading.kind == "pin" and off_k:
        percent += POINTS_PER_K * off_k
        parts.append(POINTS_PER_K_EITHER_WAY * abs(off_k))
        said.append(f"{POINTS_PER_K * off_k:+.1f} for wood at {reading.temperature_c:g} °C")
        sources.append(TEMPERATURE_SOURCE)
    if species_correction_pct is not None:
        percent += species_correction_pct
        said.append(f"{species_correction_pct:+g} for the species, the maker's figure")
    elif reading.instrument_species.strip().casefold() != board_species.strip().casefold():
        parts.append(OTHER_SPECIES_EITHER_WAY_PCT)
        said.append(
            f"meter set to {reading.instrument_species or 'nothing in particular'}, the board is {board_species}: "
            "no correction on file, none made. Look in the meter's own table, or dry a slip in an oven"
        )
    percent = round(percent, 2)
    either_way = math.sqrt(sum(p * p for p in parts))
    low, high = TRUSTED_PCT
    if not low <= percent <= high:
        said.append(f"outside {low:g} to {high:g} % meters are only a hint")
    return Corrected(
        percent, either_way, f"{percent:.1f} % give or take {either_way:.1f}: {'; '.join(said)}.", "; ".join(sources)
    )


def ready(
    readings: Sequence[Reading],
    target_pct: float,
    tolerance_pct: float,
    board_species: str,
    species_correction_pct: float | None = None,
) -> Readiness:
    """Which boards are ready to make, which way the others go, and how long about.

    Parameters
    ----------
    readings : sequence of Reading
        Any order, any number of boards.
    target_pct, tolerance_pct : float
        From ``service_range``: making moisture content and how far off it may be. [%]
    board_species : str
        What the boards are.
    species_correction_pct : float or None
        As ``corrected``. [%]

    Returns
    -------
    Readiness

    Raises
    ------
    ValueError
        With no readings, or a target or tolerance that makes no sense.

    Notes
    -----
    A board is ready when the deepest reading of each of its last three visits, on different days,
    lies within the tolerance (common practice). The meter's own uncertainty is not added to the
    tolerance: it is printed beside it. An estimate of days is made from the trend of the last
    visits (five at most), when that goes towards the target: soonest as a straight line at the
    present pace, latest as a board that slows in step with what is still to go. It supposes the workshop's air
    stays and would take the board to the target at all; when it reaches past the span of the
    readings ``beyond_readings`` says so.
    """
    if not readings:
        raise ValueError("readings is empty; read at least one board.")
    if not 4 <= target_pct <= 25:
        raise ValueError(f"target_pct is {target_pct}; 4 to 25 %.")
    if not 0 < tolerance_pct <= 5:
        raise ValueError(f"tolerance_pct is {tolerance_pct}; above 0, up to 5 points.")
    states = tuple(
        _board(name, [r for r in readings if r.board == name], target_pct, tolerance_pct, board_species, species_correction_pct)
        for name in sorted({r.board for r in readings})
    )
    percents = [s.percent for s in states]
    spread = max(percents) - min(percents)
    waiting = [s.board for s in states if not s.ready]
    says = (
        f"All {len(states)} boards are within {tolerance_pct:g} points of {target_pct:g} %."
        if not waiting else f"{len(states) - len(waiting)} of {len(states)} boards ready; not yet: {', '.join(waiting)}."
    )
    if spread > MOST_SPREAD_PCT:
        says += (
            f" They lie {spread:.1f} points apart: keep boards of one glue-up within 2 to {MOST_SPREAD_PCT:g} "
            "(common practice, no source)."
        )
    return Readiness(states, not waiting, spread, says, f"{READY_SOURCE}; {METER_SOURCE}")


def _board(name, readings, target, tolerance, board_species, correction) -> BoardState:
    by_day: dict[date, list[tuple[float, Corrected]]] = {}
    for r in readings:
        by_day.setdefault(r.day, []).append((r.depth_mm, corrected(r, board_species, correction)))
    days = sorted(by_day)
    values, either_way = [], 0.0
    for day in days:
        deepest = max(depth for depth, _ in by_day[day])
        found = [c for depth, c in by_day[day] if depth == deepest]
        values.append(sum(c.percent for c in found) / len(found))
        either_way = max(c.either_way_pct for c in found)
    last = values[-1]
    off = last - target
    within = [abs(v - target) <= tolerance for v in values[-VISITS:]]
    is_ready = len(within) == VISITS and all(within)
    pace = _pace(days[-TREND_VISITS:], values[-TREND_VISITS:])
    days_left, beyond = None, False
    head = f"{name}: {last:.1f} % give or take {either_way:.1f} on {days[-1].isoformat()}, target {target:g} %"
    if is_ready:
        says = f"{head}: ready, {VISITS} visits within {tolerance:g}."
    elif all(within):
        says = f"{head}: within {tolerance:g}, but only {len(within)} of {VISITS} visits; read again."
    elif within[-1]:
        says = f"{head}: just arrived; read again until {VISITS} visits agree."
    elif pace is None:
        says = f"{head}: not ready; one day's readings show no trend. Read again in a week."
    elif abs(pace) < NO_TREND_PER_DAY or pace * off > 0:
        way = "stands still" if abs(pace) < NO_TREND_PER_DAY else "goes away from the target"
        says = f"{head}: not ready and {way}; the air where it lies will not bring it there. Change the air, or the target."
    else:
        gap = abs(off)
        soonest = (gap - tolerance) / abs(pace)
        mean_gap = abs(sum(values[-TREND_VISITS:]) / len(values[-TREND_VISITS:]) - target)
        latest = mean_gap / abs(pace) * math.log(gap / tolerance)
        days_left = (soonest, latest)
        span = (days[-1] - days[0]).days
        beyond = latest > span
        says = f"{head}: {abs(pace):.2f} points a day towards it, some {_days(soonest)} to {_days(latest)} days more"
        says += (
            f"; that is further than the {span} days of readings reach, so take it as a guess and read again."
            if beyond else "."
        )
    return BoardState(name, is_ready, last, either_way, days[-1], len(days), pace, days_left, beyond, says)


def _days(n: float) -> str:
    return f"{max(math.ceil(n), 1)}"


def _pace(days: list[date], values: list[float]) -> float | None:
    """Slope of the straight line through the last visits. [% a day]"""
    if len(days) < 2:
        return None
    x = [(d - days[0]).days for d in days]
    mean_x, mean_y = sum(x) / len(x), sum(values) / len(values)
    return sum((a - mean_x) * (v - mean_y) for a, v in zip(x, values)) / sum((a - mean_x) ** 2 for a in x)
