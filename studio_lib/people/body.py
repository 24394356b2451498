"""Body dimensions by percentile, for women, men or any mixture.

Source of every figure: ANSUR II, anthropometric survey of US Army personnel, 2012
(public release by the Natick Soldier Research Center, 14 April 2017; 1986 women, 4082
men). Soldiers are fitter and leaner than the public, aged 17 to 58, and were measured
barefoot in light clothing: shoes and clothes are allowed for where a size is proposed.
"""

from __future__ import annotations

import csv
from bisect import bisect_left
from dataclasses import dataclass
from functools import cache
from pathlib import Path

SOURCE = "ANSUR II (2012), computed percentiles"
SHOE_MM = 25.0
"""Heel of a shoe, from memory."""

DIMENSIONS = {
    "stature": "stature",
    "sitting height": "sittingheight",
    "eye height sitting": "eyeheightsitting",
    "back of knee height": "poplitealheight",
    "top of knee height": "kneeheightsitting",
    "seat depth": "buttockpopliteallength",
    "hip breadth": "hipbreadthsitting",
    "shoulder breadth": "bideltoidbreadth",
    "elbow to elbow": "forearmforearmbreadth",
    "elbow above seat": "elbowrestheight",
    "thigh thickness": "thighclearance",
}


@dataclass(frozen=True)
class Mix:
    """Who uses the piece: the share of women among them, 0 to 1."""

    women: float = 0.5

    def __post_init__(self):
        if not 0 <= self.women <= 1:
            raise ValueError(f"Share of women is {self.women}; give a number from 0 to 1.")


@cache
def _grid() -> dict[tuple[str, str], tuple[float, ...]]:
    path = Path(__file__).with_name("ansur2_percentiles.csv")
    with path.open(newline="") as file:
        rows = csv.reader(file)
        next(rows)
        return {(r[0], r[1]): tuple(map(float, r[2:])) for r in rows}


def _column(sex: str, dimension: str) -> tuple[float, ...]:
    if dimension not in DIMENSIONS:
        raise KeyError(f"No body size {dimension!r}. On file: {', '.join(DIMENSIONS)}.")
    return _grid()[sex, DIMENSIONS[dimension]]


def _share_below(sex: str, dimension: str, value_mm: float) -> float:
    grid = _column(sex, dimension)
    if value_mm <= grid[0]:
        return 0.0 if value_mm < grid[0] else 0.01
    if value_mm >= grid[-1]:
        return 1.0 if value_mm > grid[-1] else 0.99
    i = bisect_left(grid, value_mm)
    low, high = grid[i - 1], grid[i]
    part = (value_mm - low) / (high - low) if high > low else 0.0
    return (i + part) / 100


def share_below(dimension: str, value_mm: float, mix: Mix = Mix()) -> float:
    """Share of people whose body dimension is at most ``value_mm``, 0 to 1.

    Between the 1st and 99th percentile by straight line; beyond them 0 or 1.
    """
    women = _share_below("female", dimension, value_mm)
    men = _share_below("male", dimension, value_mm)
    return mix.women * women + (1 - mix.women) * men


def percentile_mm(dimension: str, percent: float, mix: Mix = Mix()) -> float:
    """The size that ``percent`` of the people do not exceed. [mm]

    Raises ValueError outside 1 to 99.
    """
    if not 1 <= percent <= 99:
        raise ValueError(f"Percentile {percent} is outside 1 to 99, where the survey's tables end.")
    low = min(_column(s, dimension)[0] for s in ("female", "male"))
    high = max(_column(s, dimension)[-1] for s in ("female", "male"))
    for _ in range(40):
        mid = (low + high) / 2
        if share_below(dimension, mid, mix) * 100 < percent:
            low = mid
        else:
            high = mid
    return (low + high) / 2
