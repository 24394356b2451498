"""Children: how tall at what age, and the size mark of furniture that suits."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

from studio_lib.people.body import Mix, percentile_mm

AGES = (2.0, 17.0)
"""Youngest and oldest child on file. [years]"""


@dataclass(frozen=True)
class SizeMark:
    """One size of school furniture: the leg and stature it is for, its seat and table. [mm]"""

    mark: int
    colour: str
    knee_low_mm: float
    knee_high_mm: float
    stature_low_mm: float
    stature_high_mm: float
    seat_mm: float
    table_mm: float
    source: str

    @property
    def knee_middle_mm(self) -> float:
        return (self.knee_low_mm + self.knee_high_mm) / 2

    @property
    def stature_middle_mm(self) -> float:
        return (self.stature_low_mm + self.stature_high_mm) / 2


def _rows(table: str):
    with Path(__file__).with_name(f"{table}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@cache
def size_marks() -> tuple[SizeMark, ...]:
    """The size marks of EN 1729-1, smallest first."""
    return tuple(
        SizeMark(
            int(r["mark"]), r["colour"],
            *(float(r[k]) for k in ("knee_low_mm", "knee_high_mm", "stature_low_mm",
                                    "stature_high_mm", "seat_mm", "table_mm")),
            r["source"],
        )
        for r in _rows("child_marks")
    )


@cache
def _statures(girls: float = 0.5) -> tuple[tuple[float, float], ...]:
    return tuple(
        (float(r["age_years"]), (1 - girls) * float(r["boys_mm"]) + girls * float(r["girls_mm"]))
        for r in _rows("child_stature")
    )


def stature_of_child_mm(age_years: float, girls: float = 0.5) -> float:
    """Stature of the middle child of an age, boys and girls alike unless ``girls`` gives another share of girls, 0 to 1. [mm]

    Straight line between birthdays. Raises ValueError outside 2 to 17 years.
    WHO child growth standards and reference, medians, from memory.
    """
    _age(age_years)
    return _between(_statures(girls), age_years)


def knee_of_child_mm(age_years: float) -> float:
    """Floor to the back of the knee of the middle child of an age, barefoot. [mm]

    From stature by a straight line between the middles of the EN 1729-1 size marks: a
    judgement of ours. Raises ValueError outside 2 to 17 years.
    """
    line = tuple((m.stature_middle_mm, m.knee_middle_mm) for m in size_marks())
    return _between(line, stature_of_child_mm(age_years))


def mark_for_age(age_years: float) -> SizeMark:
    """The size mark for the middle child of an age; ValueError outside 2 to 17 years."""
    knee = knee_of_child_mm(age_years)
    return min(size_marks(), key=lambda m: max(m.knee_low_mm - knee, knee - m.knee_high_mm, 0.0))


def mark_suits_to(age_years: float) -> float:
    """The age to which the middle child keeps the size mark of an age, to half a year; 17 where the figures end first. [years]"""
    mark, last = mark_for_age(age_years), age_years
    while last + 0.5 <= AGES[1] and mark_for_age(last + 0.5) is mark:
        last += 0.5
    return last


def child_mm(dimension: str, age_years: float) -> float:
    """A body dimension of the middle child of an age. [mm]

    Stature and back of knee are looked up; anything else is the middle adult's, smaller
    as the child is shorter, which is a judgement of ours: measure the child where it matters.
    """
    if dimension == "stature":
        return stature_of_child_mm(age_years)
    if dimension == "back of knee height":
        return knee_of_child_mm(age_years)
    scale = stature_of_child_mm(age_years) / percentile_mm("stature", 50, Mix(0.5))
    return scale * percentile_mm(dimension, 50, Mix(0.5))


def _age(age_years: float) -> None:
    low, high = AGES
    if not low <= age_years <= high:
        raise ValueError(
            f"A child's age is {age_years:g} years; give {low:g} to {high:g}. "
            "Count older ones as adults."
        )


def _between(line, x: float) -> float:
    """Straight line through points sorted by x, carried on beyond its ends."""
    for (x0, y0), (x1, y1) in pairwise(line):
        if x <= x1:
            break
    return y0 + (x - x0) * (y1 - y0) / (x1 - x0)
