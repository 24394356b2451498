"""Whether a piece fits the space that the brief gives it, is no larger than was asked, and goes in and up whole."""

from __future__ import annotations

import math

from studio_lib.access import Box, passes
from studio_lib.brief.said import ceiling_mm, height_asked, tall_asked
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.units import mm

SPARE_MM = 20.0
"""Left over under a ceiling, which is seldom level: where a case is swung up, or one lifted onto another; judgement of ours."""
SAID_FROM_MM = 1600.0
"""Under this height a ceiling is no matter; judgement of ours."""
MOST = ("longer", "deeper", "higher")
OVER_MM, SAME_MM = 1.0, 0.5
"""So little over what the client asks for nobody minds, and a tape does not tell; a measured space gives less. Judgement of ours."""


def room_findings(
    name: str, long_mm: float, deep_mm: float, brief: Brief, labels: tuple[str, str] = ("length", "depth"), *, high_mm: float | None = None,
) -> list[Finding]:
    """One finding for each size that the brief limits; ``labels`` are what the first two sizes are called. [mm]"""
    found = [
        from_ratio(
            name, f"{label} in the space it has", _judged(size, space, SAME_MM), space, "mm", rule="the piece fits the space given in the brief",
            source="brief", mend=f"Make it {space:.0f} mm, or measure the space again.", stage="sizes", look_again_from=1.0,
            says=_says(size, space, "in a space of", SAME_MM),
        )
        for label, size, space in zip(labels, (long_mm, deep_mm), (brief.space_length_mm, brief.space_width_mm)) if space is not None
    ]
    limits = (brief.most_length_mm, brief.most_width_mm, brief.most_height_mm)
    for label, size, most, words in zip((*labels, "height"), (long_mm, deep_mm, high_mm), limits, MOST):
        if most is not None and size is not None:
            found.append(from_ratio(
                name, f"{label}, at the most", _judged(size, most, OVER_MM), most, "mm", rule=f"no {words} than {most:.0f} mm, as the brief asks", source="brief",
                mend=f"Take {mm(size - most)} mm off its {label}, or ask whether it may be {words}.", stage="sizes", look_again_from=1.0,
                says=_says(size, most, "where the brief allows", OVER_MM),
            ))
    return found


IN_A_ROW_MM = 25.0
"""Left between two pieces side by side on one wall; judgement of ours."""


def in_rows(hung: list[tuple[str, float, float, float]]) -> list[list[tuple[str, float]]]:
    """What hangs side by side: (name, width) of those at one height, a row each. ``hung``: (name, width, low, high). [mm]"""
    rows: list[list[tuple[str, float, float, float]]] = []
    for one in hung:
        _, _, low, high = one
        row = next((r for r in rows if any(low < h and l < high for _, _, l, h in r)), None)
        if row is None:
            rows.append(row := [])
        row.append(one)
    return [[(name, wide) for name, wide, *_ in row] for row in rows]


def row_finding(row: list[tuple[str, float]], space_mm: float, hangs: bool) -> Finding:
    """Whether pieces side by side on one wall, with a gap between each two, are no wider than the space in the brief; else 'look again'. [mm]"""
    gaps = (len(row) - 1) * IN_A_ROW_MM
    whole = sum(wide for _, wide in row) + gaps
    names = list(dict.fromkeys(name for name, _ in row))
    over = whole > space_mm + SAME_MM
    each = math.floor((space_mm - gaps) / len(row))
    says = f"{len(row)} side by side, {' + '.join(mm(round(wide)) for _, wide in row)} mm and {mm(gaps)} mm of gaps: {whole:.0f} mm in a space of {space_mm:.0f} mm"
    otherwise = "hang one over another, at heights set apart on Sizes" if hangs else "stand one at another wall"
    return Finding(
        ", ".join(names), "width of the row in the space it has", Verdict.LOOK_AGAIN if over else Verdict.STANDS,
        says + (f", {whole - space_mm:.0f} mm too much" if over else ""), whole, space_mm, "mm",
        f"pieces side by side on one wall fit the space given in the brief, {IN_A_ROW_MM:g} mm between two", "brief; the gap a judgement of ours",
        f"{f'Make each {each} mm wide or less' if each >= 200 else 'Fewer of them'}, or {otherwise}, or measure the space again." if over else "", "sizes",
    )


CHAIR_MM, PASSING_MM = 750.0, 900.0
"""From a table's edge: to draw a chair back and sit down, and to pass behind someone who sits. The first is common practice, no source; the
second 36 in (915 mm) to the wall, a guideline for planning kitchens as trade pages quote it."""
NEAR = 0.8
"""Advice to make it smaller is given only where this much of it is left; judgement of ours."""


def around_table(name: str, long_mm: float, wide_mm: float, brief: Brief) -> list[Finding]:
    """Whether chairs draw back along both sides of a table and someone gets past, in the space of the brief. [mm]

    Never refused: a table may stand against a wall, or have a bench there.
    """
    found = []
    for what, own, space, where in (
        ("room for chairs at the sides", wide_mm, brief.space_width_mm, "side"), ("room at the ends", long_mm, brief.space_length_mm, "end"),
    ):
        if space is None or own > space:
            continue
        over = space - own
        both, past = 2 * CHAIR_MM, CHAIR_MM + PASSING_MM
        least = both if where == "side" else CHAIR_MM
        if over >= 2 * PASSING_MM:
            says = f"{over / 2:.0f} mm at each {where}: a chair draws back and someone passes behind"
        elif over >= past:
            says = f"{over:.0f} mm over: stood {CHAIR_MM:.0f} mm from one wall, {over - CHAIR_MM:.0f} mm to pass behind at the other {where}"
        elif over >= both:
            says = f"{over / 2:.0f} mm at each {where}: a chair draws back, nobody passes behind one who sits"
        elif over >= CHAIR_MM:
            says = f"{over:.0f} mm over: chairs draw back at one {where} only"
        else:
            says = f"{over:.0f} mm over: no chair draws back at either {where}"
        stands = over >= (past if where == "side" else least)
        smaller = space - least
        narrower, wider = ("narrower", "wide") if where == "side" else ("shorter", "long")
        mend = "" if stands else (
            "Move it off the middle, or see which way people go round." if over >= both
            else (f"A table up to {smaller:.0f} mm {wider} would do; or " if smaller >= NEAR * own else f"Make it {narrower}, or ")
            + ("put a bench at the wall, or chairs at one side only." if where == "side" else "leave the ends free of chairs and go round one side.")
        )
        found.append(Finding(
            name, what, Verdict.STANDS if stands else Verdict.LOOK_AGAIN, says, own + (past if where == "side" else least), space, "mm",
            f"{CHAIR_MM:.0f} mm from the table's edge to draw a chair back, {PASSING_MM:.0f} mm to pass behind",
            "750 common practice, no source; 900 a guideline for planning kitchens, 36 in behind a seated diner",
            mend, "sizes",
        ))
    return found


def longest_table_mm(brief: Brief) -> float:
    """The longest table that the brief and its room allow, a chair drawn back at one end; never under 900 mm, and no end where neither is said."""
    limits = [m for m in (brief.most_length_mm, brief.space_length_mm and brief.space_length_mm - CHAIR_MM) if m]
    return max(math.floor(min(limits) / 10) * 10.0, 900.0) if limits else math.inf


def room_words(needed_mm: float, room_mm: float, benched: bool) -> str:
    """That the room leaves less than the people would take, and how many sit well then: 635 mm each, two of them on chairs at its ends."""
    along = max(math.floor((room_mm / 25.4 - (0 if benched else 29)) / 25 + 0.05), 0)
    return f" would take {needed_mm:.0f} mm; the room leaves {room_mm:.0f} mm, where {2 * along + (0 if benched else 2)} sit well"


def within(value: float, *limits: float | None, least: float = 0.0) -> float:
    """A proposed size kept within what limits it, as far down as the form can be made. [mm]"""
    return max(min(value, *(x for x in limits if x is not None)) if any(x is not None for x in limits) else value, least)


def highest_whole_mm(ceiling: float, depth_mm: float) -> float:
    """The highest case of that depth that is swung up under a ceiling, with a little to spare. [mm]"""
    room = ceiling - SPARE_MM
    return math.floor(math.sqrt(max(room**2 - depth_mm**2, 0.0)) / 5) * 5.0


def wanted_height(
    brief: Brief, usual_mm: float, why: str, source: str, depth_mm: float, cases: float | None = None, full: bool = False,
) -> tuple[float, str, str]:
    """Height to begin a tall case with, why, and on whose word: as asked, as far as the ceiling lets it be stood up. [mm]

    ``cases``: 1 where the maker makes it in two, 0 where in one, None where it is open. One case is swung up on its
    back edge; the upper of two is lifted on standing. ``full``: it fills its place up to the ceiling unless a height is asked for.
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
    if not asked and (full or tall_asked(brief)):
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


def _judged(size: float, most: float, slack: float) -> float:
    """A size as it is held against what is allowed: no more than that while it is over by ``slack`` or less. [mm]"""
    return min(size, most) if size <= most + slack else size


def _says(size: float, most: float, how: str, slack: float) -> str:
    over = size - most
    return f"{size:.0f} mm {how} {most:.0f} mm" + (f": {mm(over)} mm too much" if over > slack else "")
