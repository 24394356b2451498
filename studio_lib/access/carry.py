"""How many people carry it. The figures are a filter: over them it is looked at more closely, nothing is forbidden."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from studio_lib.finding import Finding, Verdict

TEAM_SHARE = {1: 1.0, 2: 2 / 3, 3: 1 / 2}
"""Part of what each could lift alone that a team may count on: HSE L23 (2004), paragraph 120."""
MOST = 4
"""Teams of more than four are unlikely to work successfully: HSE L23 (2004), paragraph 120."""
OVER = 2.0
"""More than about twice the figures may hurt even the fit and trained: HSE L23 (2004), appendix 3, from memory."""
LONG_MM = 2000.0
"""Longer than this takes one at each end; common practice, no source."""
WHO = ("men", "women")
HEIGHTS = ("above shoulder", "shoulder", "elbow", "knuckle", "lower leg")
SOURCE = (
    "HSE INDG143, lifting and lowering filter, close to the body: over it a closer look is due, it is no limit; shares of a team HSE L23 "
    "(2004) paragraph 120; twice the filter as the most, L23 appendix 3, from memory"
)
STAIR = "on steps most of the weight falls on whoever is below"
"""HSE L23 (2004), paragraph 120."""


@cache
def _filter() -> dict[str, dict[str, str]]:
    with Path(__file__).with_name("lifting_filter.csv").open(newline="", encoding="utf-8") as file:
        return {r["height"]: r for r in csv.DictReader(file)}


def one_may_lift_kg(who: str, height: str) -> float:
    """What one person lifts close to the body without a closer look. [kg]

    ``who`` 'men' or 'women'; ``height`` where the hands are. ValueError for others.
    """
    if who not in WHO:
        raise ValueError(f"who is {who!r}; give 'men' or 'women'. A mixed team goes by 'women'.")
    if height not in HEIGHTS:
        raise ValueError(f"height is {height!r}; give one of {', '.join(HEIGHTS)}.")
    return float(_filter()[height][f"{who}_kg"])


def team_may_lift_kg(people: int, who: str, height: str) -> float:
    """What a team lifts without a closer look; of four the share for three. [kg]"""
    if not 1 <= people <= MOST:
        raise ValueError(f"{people} people; give 1 to {MOST}.")
    return people * TEAM_SHARE.get(people, TEAM_SHARE[3]) * one_may_lift_kg(who, height)


def carriers(weight_kg: float, who: str = "men", height: str = "elbow", longest_mm: float = 0.0) -> tuple[int, int]:
    """How many people carry a weight: the fewest, and how many make it easier. ``MOST`` twice where no team should.

    One and two carry what the filter lets them; else the fewest whose share stays under twice it, and one more.
    """
    least = 2 if longest_mm > LONG_MM else 1
    for n in (1, 2):
        if n >= least and weight_kg <= team_may_lift_kg(n, who, height):
            return n, n
    few = next((n for n in range(2, MOST + 1) if weight_kg <= OVER * team_may_lift_kg(n, who, height)), MOST)
    return few, min(few + 1, MOST)


def carry(
    name: str, weight_kg: float, who: str, height: str = "elbow", longest_mm: float = 0.0
) -> Finding:
    """How many people carry a piece or a part of it: advice, never a refusal.

    ``height``: where the hands are at the hardest moment ('lower leg' when it is lifted off the floor by its lowest
    rail). What one or two lift within the filter stands; more is 'look again'. Raises ValueError for a weight not above 0.
    """
    if not 0 < weight_kg <= 5_000:
        raise ValueError(f"{name}: weight is {weight_kg:g} kg; give more than 0, up to 5000 kg.")
    few, easy = carriers(weight_kg, who, height, longest_mm)
    may, over = team_may_lift_kg(few, who, height), OVER * team_may_lift_kg(MOST, who, height)
    rule = (
        f"{one_may_lift_kg(who, height):g} kg each at {height} height without a closer look, as the filter has it for {who}"
        f"{f' ({one_may_lift_kg(WHO[1], height):g} for women)' if who == 'men' else ''}; two count for 2/3 of the sum, three and more "
        f"for 1/2; no more than {MOST} together"
    )

    def found(verdict: Verdict, says: str, mend: str = "") -> Finding:
        return Finding(name, "lifting", verdict, f"{weight_kg:.0f} kg: {says}", weight_kg, may, "kg", rule, SOURCE, mend, "sizes")

    if few <= 2 and weight_kg <= may:
        says = f"{few} {'person' if few == 1 else 'people'} to carry it; over {may:.0f} kg held at {height} height the guide asks that grips and route be looked at first"
        if few == 2 and weight_kg <= one_may_lift_kg(who, height):
            says += f"; one could lift it, but it is {longest_mm:.0f} mm long"
        return found(Verdict.STANDS, says)
    if weight_kg > over:
        return found(
            Verdict.LOOK_AGAIN, f"more than {MOST} people should lift by hand: over {over:.0f} kg, twice the filter for them",
            "Bring a trolley, slings or lifting gear, or make it to come apart.",
        )
    many = f"{few} or {easy} people" if easy > few else f"{few} people"
    return found(
        Verdict.LOOK_AGAIN, f"{many} to carry it, about {weight_kg / few:.0f}{f' or {weight_kg / easy:.0f}' if easy > few else ''} kg each; "
        f"over {may:.0f} kg for {few} the guide asks that grips, route and who lifts be looked at first",
        f"Look at grips, route and who lifts before the day; {STAIR}.",
    )
