"""The piece, or its knock-down parts, through every opening on the way in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import permutations

from studio_lib.access.fits import (
    corner_longest_mm,
    sloped_length_mm,
    standing_up_mm,
    tilt_angle_deg,
)
from studio_lib.access.openings import Ceiling, CorridorTurn, Door, Lift, Opening, Stair
from studio_lib.finding import Finding, Verdict
from studio_lib.units import mm, size

STAIR_SPARE_MM = 100.0
"""What movers leave over on a stair; moving guides, 4 in."""
LEAST_PART_MM = 10.0
LEAST_PART = 0.15
"""No one makes a side in more parts than this: smaller shares are not offered as a way out."""
PERSON_KG = 80.0
"""One carrier in the lift with the piece; a judgement of ours."""
SOURCE = "geometry; hand room common practice, no source"


@dataclass(frozen=True)
class Box:
    """What is carried, as the box it fills, standing as it will stand."""

    name: str
    length_mm: float
    width_mm: float
    height_mm: float
    weight_kg: float | None = None

    def __post_init__(self):
        for side in ("length", "width", "height"):
            value = getattr(self, f"{side}_mm")
            if not 0 < value <= 20_000:
                raise ValueError(f"{self.name}: {side} is {value:g} mm; give more than 0, up to 20000 mm.")
        if self.weight_kg is not None and not 0 < self.weight_kg <= 5_000:
            raise ValueError(f"{self.name}: weight is {self.weight_kg:g} kg; give more than 0, up to 5000 kg.")

    @property
    def sides_mm(self) -> tuple[float, float, float]:
        return self.length_mm, self.width_mm, self.height_mm


@dataclass(frozen=True)
class Handling:
    """What is lost to packing on every face of the box, and to hands on every side of an opening. [mm]"""

    packing_mm: float = 0.0
    hand_mm: float = 20.0

    def __post_init__(self):
        for name, value in (("packing", self.packing_mm), ("hand room", self.hand_mm)):
            if not 0 <= value <= 150:
                raise ValueError(f"{name.capitalize()} is {value:g} mm; give 0 to 150 mm.")


@dataclass(frozen=True)
class _Try:
    """How a box goes through, or the nearest it came."""

    passes: bool
    says: str
    easy: bool = True
    """False: only tilted or sloped, to be tried before it is promised."""


def way_in(
    boxes: tuple[Box, ...], openings: tuple[Opening, ...], handling: Handling = Handling()
) -> tuple[Finding, ...]:
    """One finding for every box at every opening, with the arithmetic in words.

    A box that does not pass says which of its sizes to make come apart, and to what. Boxes
    that pass only tilted or sloped, and stairs with less than 100 mm to spare, are 'look
    again'. No openings, no findings. The box is what the piece fills: legs hooked round a
    door frame are not reckoned with.
    """
    return tuple(_finding(box, opening, handling) for opening in openings for box in boxes)


@lru_cache(maxsize=1024)
def passes(box: Box, opening: Opening, handling: Handling = Handling()) -> bool:
    """Whether a box goes through an opening at all, be it tilted or sloped."""
    return _through(box, opening, handling).passes


@lru_cache(maxsize=256)
def _finding(box: Box, opening: Opening, handling: Handling) -> Finding:
    tried = _through(box, opening, handling)
    what = f"way in: {opening.name}"
    rule = "every box passes every opening, hands and packing counted"
    if not tried.passes:
        return _stuck(box, opening, handling, what, tried, rule)
    mend = "" if tried.easy else "Try it with a frame of battens of that size before promising it."
    easy = tried.easy
    if isinstance(opening, Stair):
        roomy = replace(handling, hand_mm=handling.hand_mm + STAIR_SPARE_MM / 2)
        if not _through(box, opening, roomy).passes:
            easy, mend = False, "It leaves less than 100 mm over: have the stair surveyed first."
    return Finding(
        box.name, what, Verdict.STANDS if easy else Verdict.LOOK_AGAIN, tried.says,
        rule=rule, source=SOURCE, mend=mend, stage="sizes",
    )


def _stuck(box, opening, handling, what, tried, rule) -> Finding:
    ways = []
    for side in ("length", "width", "height"):
        longest = _longest_passing(box, f"{side}_mm", opening, handling)
        if longest is not None and longest >= LEAST_PART * getattr(box, f"{side}_mm"):
            ways.append((longest / getattr(box, f"{side}_mm"), side, longest))
    if not ways:
        mend = "No one size made smaller gets it through: make it to come apart all over, or find another way in."
        return Finding(box.name, what, Verdict.FAILS, tried.says, rule=rule, source=SOURCE, mend=mend, stage="sizes")
    ways.sort(reverse=True)
    parts = ", or ".join(
        f"its {side} in parts of up to {mm(longest)} of {mm(getattr(box, f'{side}_mm'))} mm"
        for _, side, longest in ways
    )
    _, side, longest = ways[0]
    return Finding(
        box.name, what, Verdict.FAILS, tried.says, getattr(box, f"{side}_mm"), longest, "mm", rule,
        SOURCE, f"Make it to come apart: {parts}. Or find another way in.", "sizes",
    )


def _longest_passing(box: Box, side: str, opening: Opening, handling: Handling) -> float | None:
    """Greatest value of one side that passes with the others as they are; None if none does. [mm]"""
    def passes(value: float) -> bool:
        return _through(replace(box, **{side: value}), opening, handling).passes

    low, high = LEAST_PART_MM, getattr(box, side)
    if high <= low or not passes(low):
        return None
    while high - low > 0.5:
        middle = (low + high) / 2
        low, high = (middle, high) if passes(middle) else (low, middle)
    return float(int(low))


def _through(box: Box, opening: Opening, handling: Handling) -> _Try:
    sides = tuple(s + 2 * handling.packing_mm for s in box.sides_mm)
    lost = 2 * handling.hand_mm
    match opening:
        case Door():
            return _door(sides, opening.width_mm, opening.height_mm, lost)
        case CorridorTurn():
            return _turn(sides, opening.first_width_mm, opening.second_width_mm, opening.height_mm, lost)
        case Stair():
            return _stair(sides, opening, lost)
        case Lift():
            return _lift(sides, box.weight_kg, opening, lost)
        case Ceiling():
            return _ceiling(sides, opening.height_mm)
    raise TypeError(f"{opening!r} is no opening; make one with opening_from_plain.")


def _door(sides, width_mm, height_mm, lost_mm) -> _Try:
    wide, high = width_mm - lost_mm, height_mm - lost_mm
    clear = f"{mm(wide)} x {mm(high)} mm clear of hands"
    shortest, middle, _ = sorted(sides)
    if wide > 0 and high > 0:
        angle = tilt_angle_deg(shortest, middle, wide, high)
        if angle in (0.0, 90.0):
            return _Try(True, f"{mm(shortest)} x {mm(middle)} mm through {clear}")
        if angle is not None:
            return _Try(True, f"{mm(shortest)} x {mm(middle)} mm through {clear}, tilted {angle:.0f} degrees", False)
    return _Try(False, f"{mm(shortest)} x {mm(middle)} mm does not pass {clear}, upright, flat or tilted")


def _turn(sides, first_mm, second_mm, height_mm, lost_mm) -> _Try:
    a, b, high = first_mm - lost_mm, second_mm - lost_mm, height_mm - lost_mm
    clear = f"{mm(a)} into {mm(b)} mm clear of hands"
    nearest = ""
    sloped = None
    if min(a, b, high) > 0:
        for long, wide, up in sorted(set(permutations(sides)), key=lambda s: -s[2]):
            if up > high or long < wide:
                continue
            longest = corner_longest_mm(a, b, wide)
            if long <= longest:
                return _Try(True, f"{mm(long)} long and {mm(wide)} mm wide turns {clear}: up to {int(longest)} mm would")
            if (wide <= a and long <= b) or (wide <= b and long <= a):
                return _Try(True, f"{mm(long)} x {mm(wide)} mm goes round {clear} without being turned")
            on_plan = sloped_length_mm(long, up, high)
            if on_plan <= longest and sloped is None:
                sloped = _Try(
                    True, f"{mm(long)} long and {mm(wide)} mm wide turns {clear} with one end raised: "
                    f"{on_plan:.0f} mm on plan, up to {int(longest)} mm would", False)
            nearest = nearest or (
                f"{mm(long)} long and {mm(wide)} mm wide does not turn {clear}: {int(longest)} mm would"
                if longest else f"{mm(wide)} mm wide does not enter {clear}"
            )
    return sloped or _Try(False, nearest or f"{size(*sides)} mm does not stand in {clear}, {mm(high)} mm high")


def _stair(sides, stair: Stair, lost_mm) -> _Try:
    flight = _door(sides, stair.width_mm, stair.headroom_mm, lost_mm)
    if not flight.passes or stair.turn == "none":
        return replace(flight, says=f"flight: {flight.says}")
    turn = _turn(sides, stair.width_mm, stair.landing_depth_mm, stair.headroom_mm, lost_mm)
    if not turn.passes:
        return replace(turn, says=f"landing: {turn.says}")
    if stair.turn == "half":
        longest = max(sides)
        along = stair.landing_width_mm - lost_mm
        on_plan = sloped_length_mm(longest, min(sides), max(stair.headroom_mm - lost_mm, min(sides)))
        if on_plan > along:
            return _Try(False, f"landing: {on_plan:.0f} mm on plan with one end raised, {mm(along)} mm across both flights")
        if longest > along:
            return _Try(True, f"flight: {flight.says}; landing: with one end raised {on_plan:.0f} of {mm(along)} mm", False)
    return _Try(True, f"flight: {flight.says}; landing: {turn.says}", flight.easy and turn.easy)


def _lift(sides, weight_kg, lift: Lift, lost_mm) -> _Try:
    door = _door(sides, lift.door_width_mm, lift.door_height_mm, lost_mm)
    if not door.passes:
        return replace(door, says=f"lift door: {door.says}")
    if lift.may_carry_kg is not None and weight_kg is not None and weight_kg + PERSON_KG > lift.may_carry_kg:
        return _Try(
            False, f"{weight_kg:.0f} kg and one person of {PERSON_KG:.0f} kg; the lift may carry "
            f"{lift.may_carry_kg:.0f} kg")
    wide, deep, high = lift.car_width_mm - lost_mm, lift.car_depth_mm - lost_mm, lift.car_height_mm
    car = f"car {mm(wide)} wide, {mm(deep)} deep, {mm(high)} mm high"
    leaning = None
    for along, across, up in sorted(set(permutations(sides))):
        if across <= wide and along <= deep and up <= high:
            return _Try(True, f"{mm(along)} x {mm(across)} x {mm(up)} mm stands in the {car}", door.easy)
        if across <= wide and leaning is None:
            angle = tilt_angle_deg(along, up, deep, high) if deep > 0 else None
            if angle is not None:
                leaning = _Try(True, f"{mm(max(along, up))} mm leant {angle:.0f} degrees in the {car}", False)
    return leaning or _Try(False, f"{size(*sides)} mm does not stand or lean in the {car}")


def _ceiling(sides, height_mm) -> _Try:
    length, width, tall = sides
    if tall > height_mm:
        return _Try(False, f"{mm(tall)} mm tall under {mm(height_mm)} mm")
    if tall <= max(length, width):
        return _Try(True, f"{mm(tall)} mm tall under {mm(height_mm)} mm; it comes in standing")
    need = standing_up_mm(tall, min(length, width))
    says = (
        f"swung up it is {need:.0f} mm from corner to corner ({mm(tall)} by "
        f"{mm(min(length, width))}), under {mm(height_mm)} mm"
    )
    return _Try(need <= height_mm, says)
