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
from functools import cache, lru_cache
from math import sqrt
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
    "buttock to knee": "buttockkneelength",
    "hip breadth": "hipbreadthsitting",
    "shoulder breadth": "bideltoidbreadth",
    "elbow to elbow": "forearmforearmbreadth",
    "elbow above seat": "elbowrestheight",
    "thigh thickness": "thighclearance",
    "abdomen depth": "abdominalextensiondepthsitting",
    "overhead reach sitting": "overheadfingertipreachsitting",
    "forward thumbtip reach": "thumbtipreach",
    "hand breadth": "handbreadth",
    "foot length": "footlength",
    "elbow height standing": "elbowheightstanding",
    "grip reach standing": "gripreachstanding",
}
MASS = "weightkg"
SEXES = ("female", "male")


@dataclass(frozen=True)
class Mix:
    """Who uses the piece: the share of women among them, 0 to 1."""

    women: float = 0.5

    def __post_init__(self):
        if not 0 <= self.women <= 1:
            raise ValueError(f"Share of women is {self.women}; give a number from 0 to 1.")


@dataclass(frozen=True)
class _Curve:
    """Percentiles of one dimension of one sex."""

    percents: tuple[int, ...]
    values: tuple[float, ...]

    def share_below(self, value: float) -> float:
        if value <= self.values[0]:
            return 0.0 if value < self.values[0] else self.percents[0] / 100
        if value >= self.values[-1]:
            return 1.0 if value > self.values[-1] else self.percents[-1] / 100
        i = bisect_left(self.values, value)
        low, high = self.values[i - 1], self.values[i]
        part = (value - low) / (high - low) if high > low else 0.0
        return (self.percents[i - 1] + part * (self.percents[i] - self.percents[i - 1])) / 100


@cache
def _curves() -> dict[tuple[str, str], _Curve]:
    found = {}
    for table in ("ansur2_percentiles", "standing"):
        with Path(__file__).with_name(f"{table}.csv").open(newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                percents = tuple(int(k[1:]) for k in row if k[0] == "p" and k[1:].isdigit())
                found[row["group"], row["variable"]] = _Curve(
                    percents, tuple(float(row[f"p{p}"]) for p in percents)
                )
    return found


def _pair(dimension: str) -> tuple[_Curve, _Curve]:
    if dimension not in DIMENSIONS:
        raise KeyError(f"No body size {dimension!r}. On file: {', '.join(DIMENSIONS)}.")
    return _both(DIMENSIONS[dimension])


def _both(variable: str) -> tuple[_Curve, _Curve]:
    return tuple(_curves()[sex, variable] for sex in SEXES)


def _mixed_share(pair, value: float, mix: Mix) -> float:
    women, men = (c.share_below(value) for c in pair)
    return mix.women * women + (1 - mix.women) * men


def share_below(dimension: str, value_mm: float, mix: Mix = Mix()) -> float:
    """Share of people whose body dimension is at most ``value_mm``, 0 to 1.

    Between the 1st and 99th percentile by straight line; beyond them 0 or 1.
    """
    return _mixed_share(_pair(dimension), value_mm, mix)


@lru_cache(maxsize=1024)
def percentile_mm(dimension: str, percent: float, mix: Mix = Mix()) -> float:
    """The size that ``percent`` of the people do not exceed. [mm]

    Raises ValueError outside 1 to 99.
    """
    return _percentile(_pair(dimension), percent, mix)


def percentile_kg(percent: float, mix: Mix = Mix()) -> float:
    """The body mass that ``percent`` of the people do not exceed. [kg]

    Raises ValueError outside 1 to 99.
    """
    return _percentile(_both(MASS), percent, mix)


def _percentile(pair, percent: float, mix: Mix) -> float:
    if not 1 <= percent <= 99:
        raise ValueError(f"Percentile {percent} is outside 1 to 99, where the survey's tables end.")
    low = min(c.values[0] for c in pair)
    high = max(c.values[-1] for c in pair)
    for _ in range(40):
        mid = (low + high) / 2
        if _mixed_share(pair, mid, mix) * 100 < percent:
            low = mid
        else:
            high = mid
    return (low + high) / 2


def mean_and_sd_mm(dimension: str, mix: Mix = Mix()) -> tuple[float, float]:
    """Mean and standard deviation of a dimension over the mixture. [mm]

    Each sex is taken as normal about its median, nine in ten of it within 3.29 standard
    deviations.
    """
    (fm, fs), (mm, ms) = ((_at(c, 50), (_at(c, 95) - _at(c, 5)) / 3.29) for c in _pair(dimension))
    w = mix.women
    mean = w * fm + (1 - w) * mm
    variance = w * fs**2 + (1 - w) * ms**2 + w * (1 - w) * (fm - mm) ** 2
    return mean, sqrt(variance)


def _at(curve: _Curve, percent: int) -> float:
    return curve.values[curve.percents.index(percent)]


@cache
def _one_person() -> dict[tuple[str, str, bool], tuple[float, float, float, float]]:
    with Path(__file__).with_name("one_person.csv").open(newline="", encoding="utf-8") as file:
        return {
            (r["variable"], r["group"], "mass" in r["predictors"]): (
                float(r["intercept"]), float(r["per_mm_stature"] or 0),
                float(r["per_kg_mass"] or 0), float(r["std_error_mm"]),
            )
            for r in csv.DictReader(file)
        }


def of_one_person_mm(
    dimension: str, sex: str, stature_mm: float, mass_kg: float | None = None
) -> tuple[float, float]:
    """What one client's dimension is likely to be, and its standard error. [mm]

    ``sex`` 'female' or 'male'. Breadths need ``mass_kg``; elbow height above the seat
    hardly follows stature: measure it. Raises KeyError for a dimension without a
    regression, ValueError for a stature or mass outside the survey.
    """
    if sex not in SEXES:
        raise ValueError(f"sex is {sex!r}; give 'female' or 'male', as the survey sorted people.")
    if not 1300 <= stature_mm <= 2100:
        raise ValueError(f"stature_mm is {stature_mm:g}; give 1300 to 2100 mm, where the survey has people.")
    if mass_kg is not None and not 35 <= mass_kg <= 160:
        raise ValueError(f"mass_kg is {mass_kg:g}; give 35 to 160 kg, where the survey has people.")
    key = (DIMENSIONS.get(dimension, dimension), sex, mass_kg is not None)
    if key not in _one_person():
        known = sorted({v for v, _, _ in _one_person()})
        names = [n for n, v in DIMENSIONS.items() if v in known]
        raise KeyError(f"{dimension!r} cannot be worked out from stature. It can be for: {', '.join(names)}.")
    a, b, c, error = _one_person()[key]
    return a + b * stature_mm + c * (mass_kg or 0.0), error
