"""Sizes proposed from bodies: each says whose body decided it and what share it suits.

Every function takes ``at``: None proposes, a figure of the maker's own is judged by the
same rule, so that moving a size shows how the share it suits changes.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass, replace
from functools import cache
from math import erf, sqrt
from pathlib import Path

from studio_lib.finding import Finding, Verdict
from studio_lib.people.body import SOURCE, mean_and_sd_mm
from studio_lib.people.children import AGES, child_mm, mark_for_age, mark_suits_to, stature_of_child_mm
from studio_lib.people.users import Users

JUDGEMENT = "a judgement of ours"
MEMORY = "from memory"
INCH_MM = 25.4
PUBLIC_SEAT_MM = 480.0
EASY_TO_LEAVE_MM = (430.0, 485.0)
"""Height of an accessible bench: 2010 ADA Standards 903.5; Inclusive Mobility (2021) has most public seats at 470 to 480."""
FEW, MANY = 0.3, 0.95
"""A seat on which fewer rest their heels is called high, on which more do low; judgements of ours."""
KNEE_FREE_MM = 50.0
"""Between the front of a seat and the back of the knee; judgement of ours, 50 to 75 is usual."""
CLOTHES_MM = {"indoors": 10.0, "outdoors": 50.0}
"""What clothes add to a breadth; from memory."""
LARGE_SEAT_MM, LARGE_KG = 22 * INCH_MM, 181.0
"""Seat width for a user of 400 lb: ANSI/BIFMA X5.41-2021."""
SEATED_ELBOW_TOLERANCE_MM = (30.0, 30.0)
STANDING_WORK_MM = (50.0, 150.0)
"""A surface to work at stands so far below the elbow; from memory."""
TALL_LOWER_MM = 40.0
"""How much lower than their own height a shared seat may be for the tallest; judgement of ours."""
SHARED_SEAT_MOST_MM = 470.0
"""A seat that others share is raised for the tallest no further; public seats stand at 470 to 480 mm."""
RISES_MM = 40.0
"""How much higher than their own seat one is made for whoever rises with difficulty and uses it alone, not over the usual public seat; judgement of ours."""
RESTS_MM = 10.0
"""Within so much of their own height, soles and cushions make the difference; judgement of ours."""
LAP_TO_TOP_MM = 295.0
"""Seat to table top: seats of 430 to 440 mm go with a table of 735 mm in furniture handbooks."""
ELDERLY_SHORTER_MM = 80.0
"""Elderly people may be so much shorter than younger adults: ergonomics reference table."""

ELDERLY_BROADER_MM = 36.0
"""Hip breadth of women, 95th of 100, at 60 to 69 over that at 20 to 29: 463 and 427 mm."""


@dataclass(frozen=True)
class Proposed:
    """A size, whose body decided it, and what share of the people it suits."""

    name: str
    value: float
    unit: str
    decided_by: str
    suits_share: float | None
    """0 to 1; None where the rule is a planning figure with no bodies behind it."""
    says: str
    source: str
    proposed: float
    """What the rule itself gives; differs from ``value`` once the maker has moved it."""

    @property
    def moved(self) -> bool:
        return self.value != self.proposed


def _make(name, best, at, limits, share, decided_by, suits, source, unit="mm", users=None) -> Proposed:
    """``share``: (value, users) -> 0..1, or None; ``suits``: what they do whom it suits; ``users``: of whom."""
    value = best if at is None else float(at)
    low, high = limits
    if not low <= value <= high:
        raise ValueError(f"{name.capitalize()} is {value:g} {unit}; give {low:g} to {high:g} {unit}.")
    suited = None if share is None else share(value, users)
    if suited is None:
        says = f"{value:g} {unit}: {suits}"
    else:
        says = f"{value:.0f} {unit}: of the {users.decide}, {_of_100(suited)} {suits}"
        if value != best:
            says += f"; {_of_100(share(best, users))} at the proposed {best:.0f} {unit}"
        if users.children:
            says += f"; of the children, of {users.ages}, {_of_100(share(value, users.children))} do"
    return Proposed(name, value, unit, decided_by, suited, says, source, best)


def _of_100(share: float) -> str:
    return f"{100 * share:.0f} of 100"


def _fives(value: float, up: bool) -> float:
    steps = value / 5
    whole = int(steps)
    return 5.0 * (whole + (1 if up and steps > whole + 1e-9 else 0))


# ------------------------------------------------------------------ seats


def seat_height(users: Users, wish: str = "balanced", at: float | None = None) -> Proposed:
    """Height of a seat with someone on it. [mm]

    ``wish``: 'feet flat' (19 of 20 rest their heels), 'balanced' (the middle person
    does) or 'easy to leave' (for those who rise with difficulty, whom a higher seat
    helps). The share is of people whose heels rest on the floor, in shoes; where one person of known
    height uses it alone, all is reckoned and said of that person. A bench for
    children alone takes the size mark of the youngest. ValueError for another wish.
    """
    def heels_down(value, who):
        return 1 - who.share_at_most("back of knee height", value - who.shoe_mm - 1)

    source = SOURCE
    if not users.adults:
        mark = mark_for_age(min(users.child_ages))
        best = mark.seat_mm
        decided = f"the youngest child, of {min(users.child_ages):g}: size mark {mark.mark}, {mark.colour}"
        source = mark.source
    elif users.alone and (wish == "easy to leave" or users.frail):
        own = _tall_seat_mm(users)
        best = max(own, min(own + RISES_MM, PUBLIC_SEAT_MM))
        more = f", {best - own:.0f} mm more to get up from" if best > own else ", high enough to get up from"
        decided = f"{users.tallest}, who rises with difficulty: {own - users.shoe_mm:.0f} mm to the back of the knee, {users.shoe_mm:g} mm of shoe{more}"
        source += f"; {JUDGEMENT}; public seats of 470 to 480 mm, Inclusive Mobility (UK Department for Transport, 2021)"
    elif wish == "easy to leave" or (users.frail and wish == "balanced"):
        best = 470.0
        decided = (
            "people who rise with difficulty: most public seats at 470 to 480 mm, an accessible "
            "bench at 430 to 485 mm; give it arms and foot room below the front"
        )
        source = "Inclusive Mobility (UK Department for Transport, 2021); 2010 ADA Standards 903.5"
        if (own := _tall_seat_mm(users)) is not None and own > best:
            decided += f"; {users.tallest} would have {own:.0f} mm alone"
    elif wish in ("feet flat", "balanced"):
        leg = users.percentile_mm("back of knee height", 5 if wish == "feet flat" else 50)
        best = _fives(leg + users.shoe_mm, up=False)
        decided = (
            f"{users.who('back of knee height', leg)}: {leg:.0f} mm to the back of the knee, "
            f"{users.shoe_mm:g} mm of shoe"
        )
        if users.child_ages:
            mark = mark_for_age(min(users.child_ages))
            decided += f"; a child of {min(users.child_ages):g} wants {mark.seat_mm:.0f} mm, or a rest for the feet"
        own = _tall_seat_mm(users)
        if users.alone:
            best, decided = own, f"{users.tallest}: {own - users.shoe_mm:.0f} mm to the back of the knee, {users.shoe_mm:g} mm of shoe"
        elif own is not None and wish == "balanced" and (shared := min(_fives(own - TALL_LOWER_MM, up=False), SHARED_SEAT_MOST_MM)) > best:
            best = shared
            decided = (
                f"{users.tallest}, whose own seat is {own:.0f} mm, at most {TALL_LOWER_MM:g} mm lower and not over "
                f"{SHARED_SEAT_MOST_MM:g} mm, which others sit on too"
            )
            source += f"; shared: {JUDGEMENT}"
    else:
        raise ValueError(f"wish is {wish!r}; give 'feet flat', 'balanced' or 'easy to leave'.")
    if users.alone:
        return _of_the_one(_make("seat height", best, at, (150, 900), None, decided, "", source), users)
    made = _make("seat height", best, at, (150, 900), heels_down, decided,
                 "have their heels on the floor", source, users=users)
    means = _height_means(made, users) if users.adults else ""
    first, sep, rest = made.says.partition(";")
    return replace(made, says=f"{first}{means}{sep}{rest}{_of_the_tallest(made, users)}")


def _of_the_one(made: Proposed, users: Users) -> Proposed:
    """The height of a seat for one person of known stature: whether that person's heels rest, and what it means for rising."""
    own = _tall_seat_mm(users)
    over = made.value - own
    if over > RESTS_MM:
        hang = f"their heels hang about {over:.0f} mm over the floor"
        says = f"{hang}, which is meant: the higher, the easier to get up from; a rail or a block under the feet helps" if users.frail and made.value <= max(made.proposed, EASY_TO_LEAVE_MM[1]) \
            else f"{hang}: high. It is easy to get up from, but the thighs press on the edge"
    elif over < -RESTS_MM:
        says = f"their heels rest, the seat is {-over:.0f} mm lower than their own height: low, and harder to get up from"
    else:
        says = "their heels rest on the floor"
    return replace(made, suits_share=0.0 if over > RESTS_MM else 1.0, says=f"{made.value:.0f} mm: for {users.tallest}, whose own seat is about {own:.0f} mm, {says}")


def _of_the_tallest(made: Proposed, users: Users) -> str:
    """What a shared seat is to the tallest, whose stature is known, a clause; '' where nobody said."""
    own = _tall_seat_mm(users)
    if own is None:
        return ""
    over = made.value - own
    how = f"their heels hang about {over:.0f} mm" if over > RESTS_MM else "their heels rest" + (f", the seat {-over:.0f} mm lower than their own" if over < -RESTS_MM else "")
    return f"; {users.tallest}: {how}"


UNDER_COUNTER_MM = (250.0, 300.0)
"""From a seat up to the top of the counter it stands at; common practice, no source."""
COUNTER_SOURCE = (
    "250 to 300 mm under the top common practice, no source; planning guides: counters of 34 to 36 in. with seats of 24 to 27 in., "
    "bars of 40 to 42 in. with 28 to 33 in."
)


def foot_rest_under_seat_mm(users: Users) -> tuple[float, str]:
    """How far under a seat the middle person's heels rest, in shoes, and who that is. [mm]"""
    leg = users.percentile_mm("back of knee height", 50)
    return _fives(leg + users.shoe_mm, up=False), f"{users.who('back of knee height', leg)}: {leg:.0f} mm to the back of the knee, {users.shoe_mm:g} mm of shoe"


def high_seat(users: Users, rest_mm: float, counter_mm: float = 0.0, at: float | None = None) -> Proposed:
    """Height of a seat from which feet do not reach the floor but a foot rail ``rest_mm`` under it. [mm]

    ``counter_mm``: height of the counter it stands at; 0 for none. The share is of people whose heels rest on the rail.
    """

    def heels_on_it(_value, who):
        return 1 - who.share_at_most("back of knee height", rest_mm - who.shoe_mm - 1)

    low, high = UNDER_COUNTER_MM
    best = _fives(counter_mm - (low + high) / 2, up=True) if counter_mm else at
    if users.alone:
        own, rail = _tall_seat_mm(users), f"the foot rail, {rest_mm:.0f} mm under the seat"
        reach = f"their heels rest on {rail}" if rest_mm - own <= RESTS_MM else f"their heels hang about {rest_mm - own:.0f} mm over {rail}"
        return replace(
            _make("seat height", best, at, (150, 900), None, f"a counter of {counter_mm:.0f} mm, {counter_mm - best:.0f} mm over the seat" if counter_mm
                  else "feet rest on a rail, not on the floor", f"for {users.tallest}, {reach}", f"{COUNTER_SOURCE}; {SOURCE}" if counter_mm else SOURCE),
            suits_share=1.0 if rest_mm - own <= RESTS_MM else 0.0,
        )
    return _make(
        "seat height", best, at, (150, 900), heels_on_it,
        f"a counter of {counter_mm:.0f} mm, {counter_mm - best:.0f} mm over the seat" if counter_mm else "feet rest on a rail, not on the floor",
        f"have their heels on the foot rail, {rest_mm:.0f} mm under the seat", f"{COUNTER_SOURCE}; {SOURCE}" if counter_mm else SOURCE, users=users,
    )


def _height_means(made: Proposed, users: Users) -> str:
    """What a seat's height is good for and what it costs, in a clause or two."""
    low, high = EASY_TO_LEAVE_MM
    if users.frail and made.value < low:
        return f", but whoever rises with difficulty wants {low:.0f} to {high:.0f} mm: the higher, the easier to get up from"
    if users.frail and made.value <= high:
        return ", which is meant: the higher, the easier to get up from. The others want a rail or a block under their feet, or their thighs press on the edge"
    if made.suits_share < FEW:
        return ": high. It is easy to get up from, but the feet of the others hang and their thighs press on the edge"
    if made.suits_share > MANY:
        return ": low. Feet rest, but it is harder to get up from"
    return ": lower rests more feet, higher is easier to get up from"


def _tall_seat_mm(users: Users) -> float | None:
    """The seat that the tallest would have alone, in shoes."""
    leg = users.tall_mm("back of knee height")
    return None if leg is None else _fives(leg + users.shoe_mm, up=False)


def seat_depth(users: Users, backless: bool = False, at: float | None = None) -> Proposed:
    """Depth of a seat from its front to the face of the back. [mm]

    The share is of people with 50 mm or more free behind the knee. A seat without a back
    needs less: 340 mm carries anyone (common practice, no source).
    """
    def knee_free(value, who):
        return 1 - who.share_at_most("seat depth", value + KNEE_FREE_MM - 1)

    if backless:
        best, decided, source = 340.0, "the thighs of anyone: nothing stops a sitter short", "common practice, no source"
    else:
        thigh = users.percentile_mm("seat depth", 5)
        best = _fives(thigh - KNEE_FREE_MM, up=False)
        decided = (
            f"{users.who('seat depth', thigh)}: {thigh:.0f} mm from back to knee, "
            f"{KNEE_FREE_MM:g} mm kept free"
        )
        source = f"{SOURCE}; knee room {JUDGEMENT}; HSE HSG57 fig. 1b gives 380 to 470 mm"
        tall = users.tall_mm("seat depth")
        middle = users.percentile_mm("seat depth", 50)
        own = None if tall is None else _fives(tall - KNEE_FREE_MM, up=False)
        if users.alone:
            best, decided = own, f"{users.tallest}: {tall:.0f} mm from back to knee, {KNEE_FREE_MM:g} mm kept free"
        elif own is not None and own > best and users.frail:
            decided += f"; {users.tallest} would have {own:.0f} mm alone, but a deeper seat is harder to leave"
        elif own is not None and own > best:
            best = min(own, _fives(middle - KNEE_FREE_MM, up=False))
            decided = (
                f"{users.tallest}, who alone would have {own:.0f} mm, as far as {users.who('seat depth', middle)} keeps "
                f"{KNEE_FREE_MM:g} mm free"
            )
    return _make("seat depth", best, at, (150, 800), knee_free, decided,
                 "have 50 mm free behind the knee", source, users=users)


def seat_width(users: Users, clothes: str = "indoors", at: float | None = None) -> Proposed:
    """Clear width of a seat for one, between arms if it has them. [mm]"""
    extra = _clothes(clothes)
    hips = users.percentile_mm("hip breadth", users.upper_percent)
    best, source = _fives(hips + extra, up=True), SOURCE
    decided = f"{users.who('hip breadth', hips)}: hips of {hips:.0f} mm, {extra:g} mm of clothes"
    if users.frail and users.adults:
        best = _fives(hips + extra + ELDERLY_BROADER_MM, up=True)
        decided += f", {ELDERLY_BROADER_MM:g} mm more for age"
        source += "; age: Fluegel and others, anthropological atlas, 1986"
    if users.large and best < LARGE_SEAT_MM and (users.heaviest_kg or LARGE_KG) >= LARGE_KG:
        best = _fives(LARGE_SEAT_MM, up=True)
        decided, source = "a user of 181 kg", "ANSI/BIFMA X5.41-2021, seat width 22 in"
    return _make("seat width", best, at, (150, 1200),
                 lambda v, who: who.share_at_most("hip breadth", v - extra), decided,
                 "have room for their hips", source, users=users)


def bench_width_per_person(
    people: int, sitting: str, users: Users, clothes: str | None = None, at: float | None = None
) -> Proposed:
    """Length of bench for each of ``people`` side by side. [mm]

    ``sitting``: 'hip to hip' (squeezed), 'close' (shoulders touch) or 'at ease' (elbows free); ``clothes``: those of
    the users unless given. The share is of
    groups so many strong, drawn from such people, who find room: the breadths of a group
    add up, and their sum is taken as normal. ValueError for fewer than one person or
    another way of sitting.
    """
    dimensions = {"close": ("shoulder breadth", "shoulders"), "at ease": ("elbow to elbow", "elbows"), "hip to hip": ("hip breadth", "hips")}
    if sitting not in dimensions:
        raise ValueError(f"sitting is {sitting!r}; give 'hip to hip', 'close' or 'at ease'.")
    if not 1 <= people <= 40 or people != int(people):
        raise ValueError(f"{people:g} people on one bench; give a whole number from 1 to 40.")
    dimension, words = dimensions[sitting]
    extra = _clothes(clothes or users.clothes)

    def breadth(who):
        mean, sd = mean_and_sd_mm(dimension, who.mix)
        if who.adults:
            return mean, sd
        small = sum(child_mm(dimension, age) for age in who.child_ages) / len(who.child_ages)
        return small, sd * small / mean

    mean, sd = breadth(users)
    z = 2.326 if users.large else 1.645
    each = mean + z * sd / sqrt(people)

    def groups_fit(value, who):
        mean, sd = breadth(who)
        return 0.5 * (1 + erf((value - extra - mean) * sqrt(people) / (sd * sqrt(2))))

    return _make(
        "bench length a person", _fives(each + extra, up=True), at, (200, 1500), groups_fit,
        f"the {words} of {people} people together, broader than {users.upper_percent:.0f} groups "
        f"of 100: {each:.0f} mm each, {extra:g} mm of clothes",
        f"have room for their {words}, {people} in a row", f"{SOURCE}, summed for a group; clothes {MEMORY}", users=users,
    )


def find_room(length_mm: float, users: Users, clothes: str | None = None) -> int:
    """How many such people find room side by side, shoulders touching; one at the least."""
    most = max(int(length_mm // 300), 1)
    return next((n for n in range(min(most, 40), 1, -1) if n * bench_width_per_person(n, "close", users, clothes).value <= length_mm), 1)


def back_taller(users: Users) -> float:
    """How much taller than for the middle person a back is made, 1 or more: as their sitting heights compare."""
    tall = users.tall_mm("sitting height")
    return 1.0 if tall is None else max(tall / users.percentile_mm("sitting height", 50), 1.0)


def knees_clear_mm(users: Users, usual_mm: float) -> float:
    """Clear height under a table: ``usual_mm``, or more for the knees of the tallest in shoes; those of the one who uses it alone. [mm]"""
    tall = users.tall_mm("top of knee height")
    if users.alone:
        return math.ceil(tall + users.shoe_mm + RESTS_MM)
    return usual_mm if tall is None else max(usual_mm, math.ceil(tall + users.shoe_mm))


def back_angle(wish: str, at: float | None = None) -> Proposed:
    """How far a back leans from upright. [deg]

    ``wish``: 'at table', 'upright', 'everyday' or 'relaxed'. No bodies are behind these
    figures; they are what seat makers print.
    """
    degrees = {"at table": 7.0, "upright": 5.0, "everyday": 10.0, "relaxed": 15.0}
    if wish not in degrees:
        raise ValueError(f"wish is {wish!r}; give one of {', '.join(degrees)}.")
    return _make(
        "back angle", degrees[wish], at, (0, 45), None, f"use: {wish}",
        "off upright; tilt the seat 0 to 5 back at a table, 3 to 6 to relax",
        "trade seating tables: 5 formal, 10 everyday, 15 most relaxed, 5 to 8 dining", unit="deg",
    )


def arm_height(users: Users, at: float | None = None) -> Proposed:
    """Top of an arm above the seat with someone on it. [mm]

    The share is of people whose elbow hangs within 30 mm of the arm.
    """
    below, above = SEATED_ELBOW_TOLERANCE_MM
    elbow = users.percentile_mm("elbow above seat", 50)

    def elbow_near(value, who):
        return who.share_at_most("elbow above seat", value + above) - who.share_at_most(
            "elbow above seat", value - below)

    return _make(
        "arm height", _fives(elbow, up=False), at, (80, 450), elbow_near,
        f"{users.who('elbow above seat', elbow)}: elbow {elbow:.0f} mm above the seat",
        "have an elbow within 30 mm of it",
        f"{SOURCE}; 30 mm {JUDGEMENT}; garden benches carry arms at 180 to 230 mm", users=users,
    )


# ------------------------------------------------------------------ tables


def knee_room_under_apron(users: Users, at: float | None = None) -> Proposed:
    """Floor to the underside of an apron. [mm]; 685 mm at least, or what the client says, where a wheelchair pulls up along it."""
    knee, whose = users.upper("top of knee height")
    best, source = _fives(knee + users.shoe_mm, up=True), SOURCE
    decided = f"{whose}: knee at {knee:.0f} mm, {users.shoe_mm:g} mm of shoe"
    knees, whose_figure = wheelchair_knees(users.wheelchair_knees_mm)
    if users.wheelchair and users.wheelchair_at != "end" and best < knees:
        best, decided, source = knees, "a person in a wheelchair", whose_figure
    elif users.alone:
        spare = (best if at is None else at) - knee - users.shoe_mm
        how = f"knees go under with {spare:.0f} mm to spare" if spare >= 0 else f"{-spare:.0f} mm too low for the knees"
        made = _make("knee room under the apron", best, at, (300, 1000), None, decided, f"for {users.tallest}, {how}, in shoes", source)
        return replace(made, suits_share=float(spare >= 0))
    return _make(
        "knee room under the apron", best, at, (300, 1000),
        lambda v, who: who.share_at_most("top of knee height", v - who.shoe_mm), decided,
        "sit with knees under it, in shoes", source, users=users,
    )


def thigh_room_over_seat(users: Users, at: float | None = None) -> Proposed:
    """Seat to the underside of an apron. [mm]"""
    thigh, whose = users.upper("thigh thickness")
    return _make(
        "thigh room over the seat", _fives(thigh, up=True), at, (80, 500),
        lambda v, who: who.share_at_most("thigh thickness", v),
        f"{whose}: thighs of {thigh:.0f} mm",
        "get their thighs under it", SOURCE, users=users,
    )


def place_width(users: Users, wish: str = "usual", at: float | None = None) -> Proposed:
    """Width of table for each diner. [mm]

    ``wish``: 'tight' (530, a banquette), 'usual' (610) or 'generous' (735); 760 where a
    wheelchair pulls up. The share is of people whose elbows stay in their own place.
    """
    inches = {"tight": 21, "usual": 24, "generous": 29}
    if wish not in inches:
        raise ValueError(f"wish is {wish!r}; give one of {', '.join(inches)}.")
    best = _fives(inches[wish] * INCH_MM, up=False)
    decided, source = f"a {wish} setting", "dining planning rules after Time-Saver Standards, 21 to 29 in"
    if users.wheelchair_along and best < wheelchair_mm("knee width"):
        best, decided, source = wheelchair_mm("knee width"), "a person in a wheelchair", wheelchair_source("knee width")
    return _make(
        "place width", best, at, (300, 1500), lambda v, who: who.share_at_most("elbow to elbow", v),
        decided, "keep their elbows in their own place", f"{source}; share: {SOURCE}", users=users,
    )


def table_height_for_seat(
    seat_mm: float, top_and_apron_mm: float, users: Users, at: float | None = None
) -> Proposed:
    """Height of a table top over the floor, for a seat of ``seat_mm``. [mm]

    As high over the seat as handbooks make it, or higher where thighs would not pass
    under ``top_and_apron_mm`` of top and apron together; inside 710 to 865 mm where a
    wheelchair pulls up. The share is of people whose thighs pass.
    """
    if not 150 <= seat_mm <= 900:
        raise ValueError(f"seat_mm is {seat_mm:g}; give 150 to 900 mm.")
    if not 10 <= top_and_apron_mm <= 400:
        raise ValueError(f"top_and_apron_mm is {top_and_apron_mm:g}; give 10 to 400 mm.")
    thigh, whose = users.upper("thigh thickness")
    by_lap, by_thigh = seat_mm + LAP_TO_TOP_MM, seat_mm + thigh + top_and_apron_mm
    best, source = _fives(max(by_lap, by_thigh), up=True), "furniture handbooks: seat 430 to 440, table 735 mm"
    decided = f"the seat of {seat_mm:.0f} mm, and {LAP_TO_TOP_MM:.0f} mm from seat to top"
    if by_thigh > by_lap:
        source = SOURCE
        decided = (
            f"{whose}: thighs of {thigh:.0f} mm under "
            f"{top_and_apron_mm:.0f} mm of top and apron"
        )
    if not users.adults:
        mark = mark_for_age(min(users.child_ages))
        best, source = mark.table_mm, mark.source
        decided = f"the youngest child, of {min(users.child_ages):g}: size mark {mark.mark}, {mark.colour}"
    elif users.wheelchair and users.wheelchair_at != "end":
        knees, whose_figure = wheelchair_knees(users.wheelchair_knees_mm)
        by_chair = knees + top_and_apron_mm
        if by_chair > best:
            best, source = _fives(by_chair, up=True), whose_figure
            decided = f"a person in a wheelchair: {knees:.0f} mm clear under {top_and_apron_mm:.0f} mm of top and apron"
    return _make(
        "table height", best, at, (300, 1200),
        lambda v, who: who.share_at_most("thigh thickness", v - seat_mm - top_and_apron_mm), decided,
        f"sit at it on a seat of {seat_mm:.0f} mm with their thighs under the apron", source, users=users,
    )


OVER_ELBOW_MM = 25.0
WRITING_SOURCE = (
    f"{SOURCE}; an ergonomics lesson: about an inch over the elbow, which rises as the arm goes forward; an office guide: a surface to write "
    "on stands by the height of the seated elbow"
)


def writing_seat_mm(users: Users) -> float:
    """The usual chair that whoever writes sits on: their own where they are alone, else one to share. [mm]"""
    return seat_height(users).value


def writing_height(users: Users, at: float | None = None) -> Proposed:
    """Height of a surface to write at, seated. [mm]

    An inch over the elbow of someone on a usual chair. The share is of people whose elbow, on that chair, is level with
    it or up to two inches under. How high an elbow is above the seat does not follow stature, so the middle person's counts.
    Where one person of known height uses it alone, it is made for that person and said of them. Children alone have their size mark.
    """
    seat, elbow = writing_seat_mm(users), users.percentile_mm("elbow above seat", 50)
    best, source = _fives(seat + elbow + OVER_ELBOW_MM, up=True), WRITING_SOURCE
    decided = f"a chair of {seat:.0f} mm, {users.who('elbow above seat', elbow)}: elbow {elbow:.0f} mm above it, {OVER_ELBOW_MM:.0f} mm over that"
    if not users.adults:
        mark = mark_for_age(min(users.child_ages))
        best, source = mark.table_mm, mark.source
        decided = f"the youngest child, of {min(users.child_ages):g}: size mark {mark.mark}, {mark.colour}{outgrown_words(users)}"
    elif users.alone:
        decided = f"{users.tallest}: a chair of {seat:.0f} mm, an elbow {elbow:.0f} mm above it as the middle person has it, {OVER_ELBOW_MM:.0f} mm over that{grows_words(users)}"
        value = best if at is None else at
        over = value - seat - elbow
        near = -RESTS_MM <= over <= 2 * OVER_ELBOW_MM + RESTS_MM
        how = "by" if near else f"{over - OVER_ELBOW_MM:.0f} mm too high for" if over > 0 else f"{OVER_ELBOW_MM - over:.0f} mm too low for"
        made = _make("height to write at", best, at, (300, 1200), None, decided, f"for {users.tallest}, {how} their elbow on their own chair of {seat:.0f} mm", source)
        return replace(made, suits_share=float(near))

    def elbow_near(value, who):
        if not who.adults:
            return sum(abs(mark_for_age(age).table_mm - value) <= OVER_ELBOW_MM for age in who.child_ages) / len(who.child_ages)
        over = value - seat
        return who.share_at_most("elbow above seat", over) - who.share_at_most("elbow above seat", over - 2 * OVER_ELBOW_MM)

    return _make(
        "height to write at", best, at, (300, 1200), elbow_near, decided,
        f"have it at their elbow or up to {2 * OVER_ELBOW_MM:.0f} mm over it on a chair of {seat:.0f} mm", source, users=users,
    )


def outgrown_words(users: Users) -> str:
    """', which the middle child outgrows ...' of the size mark of one child alone; '' for several."""
    if users.adults or len(users.child_ages) != 1:
        return ""
    last = mark_suits_to(users.child_ages[0])
    return f"; it suits to the age of {last:g}, as far as ages are on file" if last >= AGES[1] else f"; the middle child outgrows it at about {last + 0.5:g}"


def grows_words(users: Users) -> str:
    """To what age a child whose stature is known has a surface to write at by their elbow, as the middle child grows; '' for who is no child."""
    if users.grown_by(AGES[1]) is None:
        return ""
    first, seat = users.child_ages[0], users.tall_mm("back of knee height")
    steps = [first + 0.5 * k for k in range(int(2 * (AGES[1] - first)) + 1)]
    last = max(age for age in steps if users.grown_by(age).tall_mm("back of knee height") - seat <= OVER_ELBOW_MM)
    more = users.grown_by(AGES[1]).tallest_mm - users.tallest_mm
    until = "stays by the elbow until then" if last >= AGES[1] else f"suits to the age of {last:g}"
    return f"; sized by now: if it is the child of {first:g}, about {more:.0f} mm more are to come until {AGES[1]:g}, and it {until}"


def counter_height(users: Users, at: float | None = None) -> Proposed:
    """Height of a surface to work at standing, in shoes. [mm]

    The share is of people who have it 50 to 150 mm below the elbow.
    """
    near, far = STANDING_WORK_MM
    elbow = users.percentile_mm("elbow height standing", 50)

    def elbow_right(value, who):
        bare = value - who.shoe_mm
        return who.share_at_most("elbow height standing", bare + far) - who.share_at_most(
            "elbow height standing", bare + near)

    return _make(
        "counter height", _fives(elbow + users.shoe_mm - (near + far) / 2, up=False), at, (500, 1300),
        elbow_right, f"{users.who('elbow height standing', elbow)}: elbow at {elbow:.0f} mm, {users.shoe_mm:g} mm of shoe",
        "have it 50 to 150 mm below the elbow",
        f"{SOURCE}, elbow worked from shoulder and upper arm; 50 to 150 mm {MEMORY}; usual 865 to 915 mm", users=users,
    )


@cache
def _easy_reach() -> tuple[tuple[float, float], tuple[float, float]]:
    with Path(__file__).with_name("easy_reach.csv").open(newline="", encoding="utf-8") as file:
        rows = {r["group"]: r for r in csv.DictReader(file)}
    return tuple(
        (float(rows[g]["p50_mm"]), (float(rows[g]["p95_mm"]) - float(rows[g]["p5_mm"])) / 3.29)
        for g in ("female", "male")
    )


def shelf_reach(users: Users, at: float | None = None) -> Proposed:
    """Highest shelf from which 19 in 20 take things with ease, flat on their feet. [mm]

    The easy reach, which is shorter than a full stretch; children are counted as far as
    1.2 times their stature (from memory). Frail people: 80 mm less. 1220 mm at most
    where someone sits in a wheelchair.
    """
    lost = ELDERLY_SHORTER_MM if users.frail else 0.0

    def grown_reach(value):
        women, men = (
            1 - 0.5 * (1 + erf((value + lost - mean) / (sd * sqrt(2)))) for mean, sd in _easy_reach()
        )
        return users.mix.women * women + (1 - users.mix.women) * men

    def reach_it(value, who):
        if who.adults:
            return grown_reach(value)
        return sum(1.2 * stature_of_child_mm(age) >= value for age in who.child_ages) / len(who.child_ages)

    source = "easy grip reach of British adults after Pheasant, Bodyspace, from memory"
    if users.adults:
        low, high = 600.0, 2400.0
        for _ in range(50):
            mid = (low + high) / 2
            low, high = (mid, high) if grown_reach(mid) >= 0.95 else (low, mid)
        decided = f"the shortest reach of 20 grown people{', 80 mm less for age' if lost else ''}"
    else:
        low = 1.2 * stature_of_child_mm(min(users.child_ages))
        decided, source = f"the youngest child, of {min(users.child_ages):g}", f"1.2 times stature, {MEMORY}"
    best = _fives(low, up=False)
    if users.wheelchair and best > wheelchair_mm("reach high"):
        best, source = wheelchair_mm("reach high"), wheelchair_source("reach high")
        decided = "a person in a wheelchair"
    return _make("highest shelf", best, at, (300, 2600), reach_it, decided, "reach it with ease", source, users=users)


# ------------------------------------------------------------------ room round a piece


PUSHED_BACK_MM = 900.0
WAYS_ROUND = ("push back", "edge past", "walk behind", "wheelchair")


def walking_room(
    users: Users, way: str, chair_depth_mm: float, clothes: str = "indoors", at: float | None = None
) -> Proposed:
    """Free floor from a table's edge to the wall. [mm]

    ``way``: 'push back' (sit down and get up), 'edge past' (someone goes by sideways
    behind a sitter), 'walk behind' (straight on) or 'wheelchair'. A sitter takes the
    depth of the chair and 5 in. more; the share is of people who pass behind.
    """
    if way not in WAYS_ROUND:
        raise ValueError(f"way is {way!r}; give one of {', '.join(WAYS_ROUND)}.")
    if not 200 <= chair_depth_mm <= 900:
        raise ValueError(f"chair_depth_mm is {chair_depth_mm:g}; give 200 to 900 mm.")
    extra = _clothes(clothes)
    taken = 5 * INCH_MM + chair_depth_mm
    if way == "push back":
        return _make(
            "room behind a place", max(PUSHED_BACK_MM, _fives(taken, up=True)), at, (200, 4000), None,
            "a sitter who rises", "to push a chair back and stand up; no one passes behind",
            "dining planning guide: 900 mm at least from table edge to wall",
        )
    dimension = "abdomen depth" if way == "edge past" else "shoulder breadth"
    body = users.percentile_mm(dimension, users.upper_percent)
    best = _fives(taken + body + extra, up=True)
    source = f"{SOURCE}; 5 in and the chair's depth for a sitter, after Time-Saver Standards"
    decided = (
        f"{users.who(dimension, body)}: {body:.0f} mm, {extra:g} mm of clothes, behind a sitter "
        f"who takes {taken:.0f} mm"
    )
    if way == "wheelchair":
        best = _fives(taken + wheelchair_mm("way width"), up=True)
        decided = f"a person in a wheelchair behind a sitter who takes {taken:.0f} mm"
        source = wheelchair_source("way width")
    return _make(
        "room behind a place", best, at, (200, 4000),
        lambda v, who: who.share_at_most(dimension, v - taken - extra), decided,
        "pass behind a sitter" + (" sideways" if way == "edge past" else ""), source, users=users,
    )


# ------------------------------------------------------------------ wheelchair


@cache
def _wheelchair() -> dict[str, dict[str, str]]:
    with Path(__file__).with_name("wheelchair.csv").open(newline="", encoding="utf-8") as file:
        return {r["key"]: r for r in csv.DictReader(file)}


def _figure(key: str) -> dict[str, str]:
    if key not in _wheelchair():
        raise KeyError(f"No wheelchair figure {key!r}. On file: {', '.join(_wheelchair())}.")
    return _wheelchair()[key]


def wheelchair_mm(key: str) -> float:
    """One figure for wheelchair access by its name on file. [mm]; KeyError names those on file."""
    return float(_figure(key)["value_mm"])


def wheelchair_source(key: str) -> str:
    """Clause of a wheelchair figure."""
    return _figure(key)["source"]


SAID_BY_CLIENT = "said by the client"


def wheelchair_knees(said_mm: float | None) -> tuple[float, str]:
    """Clear height that a wheelchair asks for and on whose word: the client's, where they say one. [mm]"""
    return (said_mm, SAID_BY_CLIENT) if said_mm else (wheelchair_mm("knee height"), wheelchair_source("knee height"))


def wheelchair_findings(piece: str, children: bool = False, **sizes_mm: float) -> list[Finding]:
    """Whether a wheelchair gets to a piece and under it.

    ``sizes_mm`` by any of: top, knee_height, knee_width, knee_depth_low, knee_depth_high,
    toe_depth, floor_width, floor_length, turning_circle. [mm]. A size not given is not
    checked. Raises KeyError for another name, ValueError for a size below 0.
    """
    found = []
    for name, value in sizes_mm.items():
        if not 0 <= value < 100_000:
            raise ValueError(f"{name.replace('_', ' ')} is {value:g} mm; give 0 or more.")
        key = name.replace("_", " ")
        rows = [f"child {key}" if children and key in ("top", "knee height") else key]
        if key == "top":
            rows = [f"{rows[0]} low", f"{rows[0]} high"]
        for row in map(_figure, rows):
            limit = float(row["value_mm"])
            short = value < limit if row["side"] == "least" else value > limit
            bound = "at least" if row["side"] == "least" else "at most"
            found.append(
                Finding(
                    piece, f"wheelchair: {row['words']}", Verdict.FAILS if short else Verdict.STANDS,
                    f"{value:.0f} mm; {bound} {limit:.0f} mm wanted",
                    *((limit, value) if row["side"] == "least" else (value, limit)), "mm",
                    f"{row['words']}: {bound} {limit:.0f} mm", row["source"],
                    f"Change it by {abs(limit - value):.0f} mm." if short else "", "sizes",
                )
            )
    return found


def _clothes(clothes: str) -> float:
    if clothes not in CLOTHES_MM:
        raise ValueError(f"clothes is {clothes!r}; give 'indoors' or 'outdoors'.")
    return CLOTHES_MM[clothes]
