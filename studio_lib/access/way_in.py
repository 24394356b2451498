"""The piece, or its knock-down parts, through every opening on the way in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from itertools import permutations

from studio_lib.access.fits import (
    corner_longest_mm,
    sloped_length_mm,
    standing_up_mm,
    tilt_angle_deg,
)
from studio_lib.access.openings import Ceiling, CorridorTurn, Door, Gate, Lift, Opening, Stair
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
SIDES = ("length", "width", "height")
UNKNOWN_MM = 1e6
"""Stands for a measure nobody has taken: it is never in the way."""
NEAR = 0.7
"""A part is told to be made smaller where this much of it passes; judgement of ours."""
RULE = "every box passes every opening, hands and packing counted"
CARRY_APART = "Carry it in taken apart and put it together there."
ANOTHER_WAY = "find another way in: a window, a hoist outside"


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
    boxes: tuple[Box, ...], openings: tuple[Opening, ...], handling: Handling = Handling(),
    apart: Mapping[str, tuple[Box, ...]] | None = None, splits: tuple[str, ...] = SIDES,
) -> tuple[Finding, ...]:
    """One finding for every box at every opening, with the arithmetic in words.

    A box that does not pass is judged taken apart, where ``apart`` gives its parts by the box's name, the largest first:
    all through is 'look again'. Else it says which part does not pass, and which of ``splits`` (sizes of the box) to make
    come apart, and to what. Boxes that pass only tilted or sloped, and stairs with less than 100 mm to spare, are 'look
    again'. An opening of which nothing is measured judges no box (``not_measured``). No openings, no findings. The box
    is what the piece fills: legs hooked round a door frame are not reckoned with.
    """
    return tuple(
        _finding(box, opening, handling, tuple((apart or {}).get(box.name, ())), splits)
        for opening in openings if opening.anything_known for box in boxes
    )


def not_measured(opening: Opening) -> Finding | None:
    """What is still to be measured of an opening; None where all of it is known."""
    if not opening.missing:
        return None
    rest = "; what is given is checked, the rest taken as not in the way" if opening.anything_known else ""
    return Finding(
        opening.name, f"way in: {opening.name}", Verdict.OPEN, f"not known yet: {', '.join(opening.missing)}{rest}",
        rule="every opening on the way in is measured", source="the brief", stage="sizes",
        mend=f"Measure the {_listed(opening.missing)} clear, between stops and inside handrails, and write it under 'Room and way in'.",
    )


def _listed(words) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


@lru_cache(maxsize=1024)
def passes(box: Box, opening: Opening, handling: Handling = Handling()) -> bool:
    """Whether a box goes through an opening at all, be it tilted or sloped."""
    return _through(box, opening, handling).passes


@lru_cache(maxsize=256)
def _finding(box: Box, opening: Opening, handling: Handling, parts: tuple[Box, ...] = (), splits: tuple[str, ...] = SIDES) -> Finding:
    tried = _through(box, opening, handling)
    if not tried.passes:
        return _stuck(box, opening, handling, tried, parts, splits)
    verdict, mend = _judged(box, opening, handling, tried)
    return _found(box, opening, verdict, tried.says, mend)


def _found(box, opening, verdict, says, mend, demand=None, capacity=None) -> Finding:
    return Finding(
        box.name, f"way in: {opening.name}", verdict, says, demand, capacity, "" if demand is None else "mm", RULE, SOURCE, mend, "sizes",
    )


def _judged(box, opening, handling, tried) -> tuple[Verdict, str]:
    """How easily what passes does so, and what to do where it is not easy."""
    mend = "" if tried.easy else "Try it with a frame of battens of that size before promising it."
    easy = tried.easy
    if isinstance(opening, Stair):
        roomy = replace(handling, hand_mm=handling.hand_mm + STAIR_SPARE_MM / 2)
        if not _through(box, opening, roomy).passes:
            easy, mend = False, "It leaves less than 100 mm over: have the stair surveyed first."
    return Verdict.STANDS if easy else Verdict.LOOK_AGAIN, mend


def _stuck(box, opening, handling, tried, parts, splits) -> Finding:
    """Through only taken apart, or not at all."""
    if parts:
        stuck = [(p, t) for p in dict.fromkeys(parts) if not (t := _through(p, opening, handling)).passes]
        if not stuck:
            with_care = {mend for p in dict.fromkeys(parts) if (mend := _judged(p, opening, handling, _through(p, opening, handling))[1])}
            mend = " ".join([CARRY_APART, *(m.replace("Try it", "Try the parts") for m in sorted(with_care))])
            return _found(box, opening, Verdict.LOOK_AGAIN, f"whole it does not pass ({tried.says}); {apart_words(parts)}", mend)
        part = stuck[0][0]
        more = f", nor {'does' if len(stuck) == 2 else 'do'} {', '.join(f'the {p.name}' for p, _ in stuck[1:])}" if stuck[1:] else ""
        tried = replace(tried, says=f"{tried.says}; taken apart, the {part.name} ({_size(part)} mm) does not pass even so{more}")
    smaller, near = "", None
    tight = [p for p, _ in stuck] if parts else [box]
    if len(tight) == 1:
        near = max(
            ((longest / getattr(tight[0], f"{side}_mm"), side, longest) for side in SIDES
             if (side != "height" or "height" in splits) and (longest := _longest_passing(tight[0], f"{side}_mm", opening, handling)) is not None), default=None,
        )
        if near and near[0] >= NEAR:
            whose = f"A {tight[0].name}" if parts else "It"
            smaller = f"{whose} would pass with a {near[1]} of up to {mm(near[2])} mm instead of {mm(getattr(tight[0], f'{near[1]}_mm'))} mm"
    ways = []
    for side in splits:
        longest = _longest_passing(box, f"{side}_mm", opening, handling)
        if longest is not None and longest >= LEAST_PART * getattr(box, f"{side}_mm"):
            ways.append((longest / getattr(box, f"{side}_mm"), side, longest))
    ways.sort(reverse=True)
    if ways:
        words = ", or ".join(f"its {side} in parts of up to {mm(longest)} mm of {mm(getattr(box, f'{side}_mm'))} mm" for _, side, longest in ways)
        _, side, longest = ways[0]
        return _found(box, opening, Verdict.FAILS, tried.says, f"Make it to come apart: {words}. Or find another way in.",
                      getattr(box, f"{side}_mm"), longest)
    if smaller:
        _, side, longest = near
        legs = ", or made to come apart, its legs bolted on" if tight[0].name == "frame" else ""
        return _found(box, opening, Verdict.FAILS, tried.says, f"{smaller}{legs}. Or {ANOTHER_WAY}.", getattr(tight[0], f"{side}_mm"), longest)
    if splits:
        mend = "No one size made smaller gets it through: make it to come apart all over, or find another way in."
    elif parts:
        legs = ", its legs bolted on" if any(p.name == "frame" for p in tight) else ""
        mend = f"Make the {_listed([_many(n, k) for n, k in Counter(p.name for p in parts if p in tight).items()])} smaller, or to come apart too{legs}; or {ANOTHER_WAY}."
    else:
        mend = f"Make it so that it comes apart with screws or bolts, the top or seat off its frame, or {ANOTHER_WAY}."
    return _found(box, opening, Verdict.FAILS, tried.says, mend)


def apart_words(parts: tuple[Box, ...]) -> str:
    """'it goes in with the top off: top 2000 x 920 x 25 mm, frame 1870 x 800 x 720 mm'."""
    counts = Counter((p.name, _size(p)) for p in parts)
    base, off = (parts[0].name, _size(parts[0])), Counter(p.name for p in parts[1:])
    how = f"with the {_many(*next(iter(off.items())))} off" if len(off) == 1 else "taken apart"
    order = [k for k in counts if k != base] + [base]
    if {p.name for p in parts} == {"leaf"}:
        how = "leaf by leaf, its hinges off"
        order = list(counts)
    return f"it goes in {how}: " + ", ".join(f"{_many(name, counts[name, mms])} {mms} mm" for name, mms in order)


def _many(name: str, count: int) -> str:
    plural = f"{name[:-1]}ves" if name.endswith(("lf", "leaf")) else f"{name}s"
    return name if count == 1 else f"{count} {plural}"


def _size(box: Box) -> str:
    return size(*(float(round(s)) for s in box.sides_mm))


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
    opening = _filled(opening)
    match opening:
        case Door():
            return _door(sides, opening.width_mm, opening.height_mm, lost)
        case Gate():
            return _gate(sides, opening.width_mm, lost)
        case CorridorTurn():
            return _turn(sides, opening.first_width_mm, opening.second_width_mm, opening.height_mm, lost)
        case Stair():
            return _stair(sides, opening, lost)
        case Lift():
            return _lift(sides, box.weight_kg, opening, lost)
        case Ceiling():
            return _ceiling(sides, opening.height_mm)
    raise TypeError(f"{opening!r} is no opening; make one with opening_from_plain.")


@lru_cache(maxsize=256)
def _filled(opening: Opening) -> Opening:
    """The opening with each measure nobody has taken out of the way."""
    blank = {f.name: UNKNOWN_MM for f in fields(opening) if f.name.endswith("_mm") and getattr(opening, f.name) is None}
    if not blank:
        return opening
    out = object.__new__(type(opening))
    out.__dict__.update({f.name: getattr(opening, f.name) for f in fields(opening)} | blank)
    return out


def _unknown(value_mm: float) -> bool:
    return value_mm > UNKNOWN_MM / 2


def _clear(value_mm: float) -> str:
    return "unmeasured" if _unknown(value_mm) else mm(value_mm)


def _wide_high(wide_mm: float, high_mm: float) -> str:
    if _unknown(wide_mm) or _unknown(high_mm):
        known, way, lacks = (high_mm, "high", "width") if _unknown(wide_mm) else (wide_mm, "wide", "height")
        return "what is not measured yet" if _unknown(known) else f"{mm(known)} mm {way} with room for hands, {lacks} not measured"
    return f"{mm(wide_mm)} x {mm(high_mm)} mm with room for hands"


def _door(sides, width_mm, height_mm, lost_mm) -> _Try:
    wide, high = width_mm - lost_mm, height_mm - lost_mm
    clear = _wide_high(wide, high)
    shortest, middle, _ = sorted(sides)
    if wide > 0 and high > 0:
        angle = tilt_angle_deg(shortest, middle, wide, high)
        if angle in (0.0, 90.0):
            return _Try(True, f"{mm(shortest)} x {mm(middle)} mm through {clear}")
        if angle is not None:
            return _Try(True, f"{mm(shortest)} x {mm(middle)} mm through {clear}, tilted {angle:.0f} degrees", False)
    return _Try(False, f"{mm(shortest)} x {mm(middle)} mm does not pass {clear}, upright, flat or tilted")


def _gate(sides, width_mm, lost_mm) -> _Try:
    """Nothing over it: a box passes on whichever side is the narrowest."""
    wide, thin = width_mm - lost_mm, min(sides)
    if thin <= wide:
        return _Try(True, f"{mm(thin)} mm through {mm(wide)} mm with room for hands, open above")
    return _Try(False, f"{mm(thin)} mm does not pass {mm(wide)} mm with room for hands")


def _turn(sides, first_mm, second_mm, height_mm, lost_mm) -> _Try:
    a, b, high = first_mm - lost_mm, second_mm - lost_mm, height_mm - lost_mm
    if _unknown(a) or _unknown(b):
        clear = f"{_clear(min(a, b))} mm with room for hands, the other side not measured"
    else:
        clear = f"{mm(a)} mm into {mm(b)} mm with room for hands"
    nearest = ""
    sloped = None
    if min(a, b, high) > 0:
        for order in sorted(permutations(range(3)), key=lambda o: -sides[o[2]]):
            long, wide, up = (sides[i] for i in order)
            if up > high or long < wide:
                continue
            lies = _lying(sides, order)
            longest = corner_longest_mm(a, b, wide)
            if long <= longest:
                most = "" if _unknown(longest) else f": up to {int(longest)} mm would"
                return _Try(True, f"{lies} turns {clear}{most}")
            if (wide <= a and long <= b) or (wide <= b and long <= a):
                return _Try(True, f"{mm(long)} x {mm(wide)} mm goes round {clear} without being turned")
            on_plan = sloped_length_mm(long, up, high)
            if on_plan <= longest and sloped is None:
                sloped = _Try(
                    True, f"{lies} turns {clear} with one end raised: "
                    f"{on_plan:.0f} mm on plan, up to {int(longest)} mm would", False)
            nearest = nearest or (
                f"{lies} does not turn {clear}: {int(longest)} mm would" if longest else f"{mm(wide)} mm wide does not enter {clear}"
            )
    return sloped or _Try(False, nearest or f"{size(*sides)} mm does not stand in {clear}, {_clear(high)} mm high")


def _lying(sides, order) -> str:
    """How a box lies as it is taken round a turn: which of its sides runs along, across and up."""
    along, across, up = (sides[i] for i in order)
    if up == sides[2]:
        return f"{mm(along)} mm long and {mm(across)} mm wide"
    stood = "on its end" if up == sides[0] else "on its side"
    return f"{stood}, its {SIDES[order[0]]} of {mm(along)} mm along and its {SIDES[order[1]]} of {mm(across)} mm across, it"


def _stair(sides, stair: Stair, lost_mm) -> _Try:
    flight = _door(sides, stair.width_mm, stair.headroom_mm, lost_mm)
    if not flight.passes or stair.turn == "none" or _unknown(stair.landing_depth_mm):
        return replace(flight, says=f"flight: {flight.says}")
    turn = _turn(sides, stair.width_mm, stair.landing_depth_mm, stair.headroom_mm, lost_mm)
    if not turn.passes:
        return replace(turn, says=f"landing: {turn.says}")
    if stair.turn == "half" and not _unknown(stair.landing_width_mm):
        longest = max(sides)
        along = stair.landing_width_mm - lost_mm
        on_plan = sloped_length_mm(longest, min(sides), max(stair.headroom_mm - lost_mm, min(sides)))
        if on_plan > along:
            return _Try(False, f"landing: {on_plan:.0f} mm on plan with one end raised, {mm(along)} mm across both flights")
        if longest > along:
            return _Try(True, f"flight: {flight.says}; landing: with one end raised {on_plan:.0f} mm of {mm(along)} mm", False)
    return _Try(True, f"flight: {flight.says}; landing: {turn.says}", flight.easy and turn.easy)


def _lift(sides, weight_kg, lift: Lift, lost_mm) -> _Try:
    door = _door(sides, lift.door_width_mm, lift.door_height_mm, lost_mm)
    if not door.passes:
        return replace(door, says=f"lift door: {door.says}")
    if lift.may_carry_kg is not None and weight_kg is not None and weight_kg + PERSON_KG > lift.may_carry_kg:
        return _Try(
            False, f"{weight_kg:.0f} kg and one person of {PERSON_KG:.0f} kg; the lift may carry "
            f"{lift.may_carry_kg:.0f} kg")
    if all(map(_unknown, (lift.car_width_mm, lift.car_depth_mm, lift.car_height_mm))):
        return replace(door, says=f"lift door: {door.says}")
    wide, deep, high = lift.car_width_mm - lost_mm, lift.car_depth_mm - lost_mm, lift.car_height_mm
    car = ", ".join(
        f"{mm(v)} mm {way}" for v, way in ((wide, "wide"), (deep, "deep"), (high, "high")) if not _unknown(v)
    )
    car = f"car, {car}"
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
        f"{mm(min(length, width))} mm), under {mm(height_mm)} mm"
    )
    return _Try(need <= height_mm, says)
