"""How many people carry it, by the figures of the manual handling filter."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from studio_lib.finding import Finding, Verdict

TEAM_SHARE = {1: 1.0, 2: 2 / 3, 3: 1 / 2}
"""Part of what each could lift alone that a team may count on; HSE, from memory."""
MOST = 6
"""More than this round one piece get in each other's way; common practice, no source."""
LONG_MM = 2000.0
"""Longer than this takes one at each end; common practice, no source."""
WHO = ("men", "women")
HEIGHTS = ("above shoulder", "shoulder", "elbow", "knuckle", "lower leg")
SOURCE = "HSE manual handling filter, close to the body; shares of a team from memory"


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
    """What a team lifts without a closer look; over three people the share for three. [kg]"""
    if not 1 <= people <= MOST:
        raise ValueError(f"{people} people; give 1 to {MOST}.")
    return people * TEAM_SHARE.get(people, TEAM_SHARE[3]) * one_may_lift_kg(who, height)


def carry(
    name: str, weight_kg: float, who: str, height: str = "elbow", longest_mm: float = 0.0
) -> Finding:
    """How many people carry a piece or a part of it.

    ``height``: where the hands are at the hardest moment ('lower leg' when it is lifted
    off the floor by its lowest rail). One or two people stand, three and more are 'look
    again'; more than six will not do. Raises ValueError for a weight not above 0.
    """
    if not 0 < weight_kg <= 5_000:
        raise ValueError(f"{name}: weight is {weight_kg:g} kg; give more than 0, up to 5000 kg.")
    least = 2 if longest_mm > LONG_MM else 1
    teams = [n for n in range(least, MOST + 1) if weight_kg <= team_may_lift_kg(n, who, height)]
    most = team_may_lift_kg(MOST, who, height)
    rule = f"{one_may_lift_kg(who, height):g} kg each at {height} height; two count for 2/3, three and more for 1/2"
    if not teams:
        return Finding(
            name, "lifting", Verdict.FAILS,
            f"{weight_kg:.0f} kg: {MOST} {who} may lift {most:.0f} kg at {height} height",
            weight_kg, most, "kg", rule, SOURCE,
            "Make it to come apart, or bring wheels and lifting gear.", "sizes",
        )
    people = teams[0]
    may = team_may_lift_kg(people, who, height)
    word = {("men", 1): "man", ("women", 1): "woman"}.get((who, people), who)
    says = f"{weight_kg:.0f} kg: {people} {word} to carry it, who may lift {may:.0f} kg at {height} height"
    if least == 2 and people == 2 and weight_kg <= one_may_lift_kg(who, height):
        says += f"; one could lift it, but it is {longest_mm:.0f} mm long"
    stands = people <= 2
    return Finding(
        name, "lifting", Verdict.STANDS if stands else Verdict.LOOK_AGAIN, says, weight_kg, may, "kg",
        rule, SOURCE, "" if stands else "Plan the carry with enough people, or make it to come apart.", "sizes",
    )
