"""Whether a piece fits the space that the brief gives it, is no larger than was asked, and goes in and up whole."""

from __future__ import annotations

import math

from studio_lib.access import Box, passes
from studio_lib.brief.said import ceiling_mm, height_asked, tall_asked
from studio_lib.commission import Brief
from studio_lib.finding import Finding, from_ratio
from studio_lib.units import mm

SPARE_MM = 20.0
"""Left over under a ceiling, which is seldom level: where a case is swung up, or one lifted onto another; judgement of ours."""
SAID_FROM_MM = 1600.0
"""Under this height a ceiling is no matter; judgement of ours."""
MOST = ("longer", "deeper", "higher")


def room_findings(
    name: str, long_mm: float, deep_mm: float, brief: Brief, labels: tuple[str, str] = ("length", "depth"), *, high_mm: float | None = None,
) -> list[Finding]:
    """One finding for each size that the brief limits; ``labels`` are what the first two sizes are called. [mm]"""
    found = [
        from_ratio(
            name, f"{label} in the space it has", size, space, "mm", rule="the piece fits the space given in the brief",
            source="brief", mend=f"Make it {space:.0f} mm, or measure the space again.", stage="sizes", look_again_from=1.0,
            says=_says(size, space, "in a space of"),
        )
        for label, size, space in zip(labels, (long_mm, deep_mm), (brief.space_length_mm, brief.space_width_mm)) if space is not None
    ]
    limits = (brief.most_length_mm, brief.most_width_mm, brief.most_height_mm)
    for label, size, most, words in zip((*labels, "height"), (long_mm, deep_mm, high_mm), limits, MOST):
        if most is not None and size is not None:
            found.append(from_ratio(
                name, f"{label}, at the most", size, most, "mm", rule=f"no {words} than {most:.0f} mm, as the brief asks", source="brief",
                mend=f"Take {size - most:.0f} mm off its {label}, or ask whether it may be {words}.", stage="sizes", look_again_from=1.0,
                says=_says(size, most, "where the brief allows"),
            ))
    return found


def within(value: float, *limits: float | None, least: float = 0.0) -> float:
    """A proposed size kept within what limits it, as far down as the form can be made. [mm]"""
    return max(min(value, *(x for x in limits if x is not None)) if any(x is not None for x in limits) else value, least)


def highest_whole_mm(ceiling: float, depth_mm: float) -> float:
    """The highest case of that depth that is swung up under a ceiling, with a little to spare. [mm]"""
    room = ceiling - SPARE_MM
    return math.floor(math.sqrt(max(room**2 - depth_mm**2, 0.0)) / 5) * 5.0


def wanted_height(
    brief: Brief, usual_mm: float, why: str, source: str, depth_mm: float, cases: float | None = None,
) -> tuple[float, str, str]:
    """Height to begin a tall case with, why, and on whose word: as asked, as far as the ceiling lets it be stood up. [mm]

    ``cases``: 1 where the maker makes it in two, 0 where in one, None where it is open. One case is swung up on its
    back edge; the upper of two is lifted on standing.
    """
    asked, ceiling = height_asked(brief), ceiling_mm(brief)
    value = usual_mm
    if asked:
        (value, why), source = asked, "brief"
    most_asked = brief.most_height_mm
    if not asked and tall_asked(brief) and most_asked and (ceiling is None or most_asked <= highest_whole_mm(ceiling, depth_mm)):
        return most_asked, "tall, as asked, and as high as the brief allows", "brief"
    if ceiling is None:
        return value, why, source
    whole, parted = highest_whole_mm(ceiling, depth_mm), ceiling - SPARE_MM
    if not asked and tall_asked(brief):
        value, source = parted if cases == 1 else whole, "brief"
        how = f"less {SPARE_MM:g} mm to lift one case onto the other" if cases == 1 else f"less room to swing it up, {mm(depth_mm)} mm deep"
        return value, f"under the ceiling of {mm(ceiling)} mm, {how}", source
    most = whole if cases == 0 else parted
    if value > most:
        return most, f"the ceiling of {mm(ceiling)} mm lets no more be stood up; otherwise {why}", "brief"
    if value < SAID_FROM_MM:
        return value, why, source
    room = "" if value <= whole else ", in two cases"
    return value, f"{why}; the ceiling of {mm(ceiling)} mm lets it be stood up{room}", source


def why_in_parts(brief: Brief, size_mm: tuple[float, float, float]) -> str:
    """What on the way in keeps a piece of that size from going in whole, in words; '' where nothing measured does. [mm]"""
    box = Box("it", *size_mm)
    stuck = [o.name for o in brief.openings if not passes(box, o.measured())]
    return f"whole it does not pass {' nor '.join(stuck[:2])}" if stuck else ""


def lift_on_finding(name: str, high_mm: float, brief: Brief) -> list[Finding]:
    """Whether there is room over a piece in two cases to set one on the other; nothing while no ceiling is measured. [mm]"""
    ceiling = ceiling_mm(brief)
    if ceiling is None:
        return []
    return [from_ratio(
        name, "lifting one case onto the other", high_mm + SPARE_MM, ceiling, "mm",
        rule=f"{SPARE_MM:g} mm over it, to set the upper case down on the lower", source="a judgement of ours",
        mend=f"Make it {ceiling - SPARE_MM:.0f} mm high or lower.", stage="sizes", look_again_from=1.0,
        says=f"{mm(high_mm)} mm high under {mm(ceiling)} mm",
    )]


def _says(size: float, most: float, how: str) -> str:
    over = size - most
    return f"{size:.0f} mm {how} {most:.0f} mm" + (f": {over:.0f} mm too much" if over > 0 else "")
