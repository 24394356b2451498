"""What an experienced maker refuses, or warns of, each with its arithmetic and a way forward.

One function a refusal: plain numbers in, a Finding out. Which of them stop the job when
they fail stands in ``stops.STOPPING``; the others are cautions.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from math import cos, log, radians, sin
from pathlib import Path

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.structure.beams import sag_spread_mm
from studio_lib.structure.sections import rectangle
from studio_lib.timber import Species, fit_for_place, member_movement
from studio_lib.units import mm

PRACTICE = "common practice, no source"
MEMORY = "from memory"
SAFETY = 1.5
"""Restoring over overturning moment under an everyday load; usual engineering choice, from memory."""


def _above_0(**given) -> None:
    for name, value in given.items():
        if not value > 0:
            raise ValueError(f"{_words(name)} is {value:g}; give more than 0.")


def _not_below_0(**given) -> None:
    for name, value in given.items():
        if not value >= 0:
            raise ValueError(f"{_words(name)} is {value:g}; give 0 or more.")


def _words(name: str) -> str:
    for suffix in ("_mm", "_n", "_kg", "_pct", "_m_s", "_dm3", "_mm2", "_hours", "_mpa", "_n_mm"):
        name = name.removesuffix(suffix)
    return name.replace("_", " ").capitalize()


def _days(n: float) -> str:
    if n < 60:
        return f"{n:.0f} days"
    if n < 540:
        return f"{n / 30.44:.0f} months"
    return f"{n / 365.25:.1f} years"


def checked_date(wanted_by: date, today: date) -> int:
    """Days from today to the date wanted; ValueError with a sentence when it is past."""
    left = (wanted_by - today).days
    if left < 0:
        raise ValueError(
            f"Wanted by {wanted_by.isoformat()}, which was {-left} days ago; give a date from "
            f"{today.isoformat()} on."
        )
    return left


# ------------------------------------------------------------------ timber

SATURATED_PCT = 30.0
"""Above this wood does not shrink; Wood Handbook ch. 4, fiber saturation."""
YEARS_PER_25_MM = 1.0
"""The old rule of air drying; common practice, no source, and on the slow side."""
QUICK_DAYS = ((25.0, 60.0), (50.0, 180.0))
"""Boards drying well in good weather, thickness and days; a university drying adviser in print."""
DRY_ENOUGH_PCT = 2.0
"""How far above the making moisture boards may be; as in timber.moisture."""
AIR_DRY_LEAST_PCT = 13.0
"""Below about this outdoor air does not bring boards in a moist climate; judgement of ours."""


def drying_days(thickness_mm: float, from_pct: float, to_pct: float) -> tuple[float, float]:
    """Days to dry boards in the air: quick ones in good weather, and by the old rule. [days]

    Quick: 60 days for 25 mm, 180 for 50, by the power between. Rule: a year for 25 mm.
    Partly dry boards take the part of the time that their moisture is of 30 % down: a
    judgement of ours. Raises ValueError for a thickness or moisture that cannot be.
    """
    _above_0(thickness_mm=thickness_mm)
    for name, pct in (("from_pct", from_pct), ("to_pct", to_pct)):
        if not 4 <= pct <= 150:
            raise ValueError(f"{_words(name)} moisture is {pct:g} %; give 4 to 150 %, as the meter reads.")
    if to_pct >= from_pct:
        return 0.0, 0.0
    wet = min(from_pct, SATURATED_PCT)
    part = (wet - to_pct) / (SATURATED_PCT - to_pct) if to_pct < SATURATED_PCT else 1.0
    (t0, d0), (t1, d1) = QUICK_DAYS
    power = log(d1 / d0) / log(t1 / t0)
    return part * d0 * (thickness_mm / t0) ** power, part * YEARS_PER_25_MM * 365.25 * thickness_mm / 25


def drying(
    species: Species, width_mm: float, thickness_mm: float, sawing: str, moisture_pct: float,
    target_pct: float, today: date, cut_on: date | None,
) -> Finding:
    """Whether boards are dry enough, or will be by the day they are cut, and what they will shrink.

    ``cut_on``: the day machining starts, None while none is set. Fails when not even quick drying gets there; 'look
    again' when only the quick does. Where the timber's published figures do not reach so far, that is
    said in place of what it shrinks. Raises ValueError for a day before today, a size or a moisture that cannot be.
    """
    left = 0 if cut_on is None else checked_date(cut_on, today)
    quick, rule = drying_days(thickness_mm, moisture_pct, target_pct)
    over = moisture_pct - target_pct
    subject = f"{mm(thickness_mm)} mm {species.name}"
    how = "a year for 25 mm of thickness, in part for boards partly dry; 60 days for 25 mm and 180 for 50 in good weather"
    source = f"rule {PRACTICE}; quick times: a university drying adviser, in print; shrinkage "
    if over <= DRY_ENOUGH_PCT:
        return Finding(
            subject, "drying", Verdict.STANDS,
            f"{moisture_pct:g} % measured, {target_pct:g} % wanted: dry enough", over, DRY_ENOUGH_PCT, "%",
            how, source + "not reckoned", stage="timber",
        )
    from_pct = min(moisture_pct, SATURATED_PCT)
    try:
        way = member_movement(species, width_mm, sawing, from_pct, target_pct)
        through = -member_movement(species, thickness_mm, "quarter" if sawing == "flat" else "flat", from_pct, target_pct).mm
        shrinks = f"Still to shrink: {-way.mm:.1f} mm of {mm(width_mm)} mm width, {through:.1f} mm of {mm(thickness_mm)} mm thickness"
        source += way.source
    except ValueError:
        shrinks = f"How much it still shrinks is not on file for {species.name} so wet"
        source += "not on file"
    says = (
        f"{moisture_pct:g} % measured, {target_pct:g} % wanted. {shrinks}. Drying takes "
        f"{_days(quick)} at the quickest, {_days(rule)} by the old rule; "
        + (f"{_days(left)} are left" if cut_on else f"not dry before {(today + timedelta(days=math.ceil(quick))).isoformat()}, and no day is set to cut them")
    )
    verdict = Verdict.FAILS if quick > left else Verdict.LOOK_AGAIN if rule > left else Verdict.STANDS
    kiln = (
        " Air alone will not bring them so low: the last part wants a kiln or a warm room."
        if target_pct < AIR_DRY_LEAST_PCT else ""
    )
    mend = "" if verdict is Verdict.STANDS else (
        f"Buy boards already dry, have these dried in a kiln, use thinner ones, or {'move the date to' if cut_on else 'set a date wanted, or a first day of work, after'} "
        f"{(today + timedelta(days=round(rule))).isoformat()}." + kiln
    )
    return Finding(subject, "drying", verdict, says, quick, float(left), "days", how, source, mend, "timber")


def rots(species: Species, place: str, years_wanted: float, public_use: bool) -> Finding:
    """Whether the timber lasts where the piece will stand; see ``timber.fit_for_place``."""
    return fit_for_place(species, place, years_wanted, public_use)


def held_rigidly(
    subject: str, species: Species, width_mm: float, sawing: str, made_pct: float, low_pct: float,
    high_pct: float, slack_mm: float,
) -> Finding:
    """Whether a solid panel may move as much as it will between its fixings.

    ``slack_mm``: what the fixing lets it move in all, 0 for glued or screwed fast. [mm]
    Raises ValueError for a negative slack or figures beyond the timber's range.
    """
    _not_below_0(slack_mm=slack_mm)
    grow = member_movement(species, width_mm, sawing, made_pct, high_pct) if high_pct != made_pct else None
    shrink = member_movement(species, width_mm, sawing, made_pct, low_pct) if low_pct != made_pct else None
    growth, loss = (grow.mm if grow else 0.0), (-shrink.mm if shrink else 0.0)
    swing = growth + loss
    said = (grow or shrink)
    verdict = Verdict.STANDS if swing <= slack_mm else Verdict.FAILS
    return Finding(
        subject, "held rigidly", verdict,
        f"{mm(width_mm)} mm of {species.name} grows {growth:.1f} mm at {high_pct:g} % and shrinks "
        f"{loss:.1f} mm at {low_pct:g} %: {swing:.1f} mm in all; the fixing gives {slack_mm:.1f} mm",
        swing, slack_mm, "mm", said.says if said else "no change of moisture",
        said.source if said else "Wood Handbook FPL-GTR-190 ch. 13",
        "" if verdict is Verdict.STANDS else
        "Hold it with buttons, slotted screws or a dry groove that give that much, with one line glued; "
        "or make it of frame and panel, or of slats.",
        "sizes",
    )


# ------------------------------------------------------------------ falling over


WIND_Q = 0.613
"""N/m2 for a wind of 1 m/s: half the density of air, as ASCE 7-16 eq. 26.10-1 (SI) has it."""
MOSTLY_SOLID = 0.70
"""From here on ASCE 7-16 fig. 29.3-1 lets openings lighten the load."""
OPEN_FRAME = ((0.10, 2.0), (0.30, 1.8), (0.70, 1.6))
"""Below that: flat-sided open frames, force factor on the solid part by share solid, fig. 29.4-1, from memory."""


WINDS_M_S = {"sheltered": 21.0, "open": 28.0, "exposed": 33.0}
"""Gusts to stand up to: in a court or among houses; open ground; a roof, a hilltop, the shore. [m/s]"""
WIND_SOURCE = "upper ends of gale, storm and violent storm on the Beaufort scale, judgement of ours"


def wind_speed_m_s(exposure: str, known_m_s: float | None = None) -> float | None:
    """The gust to reckon with: the one known for the place, else by exposure; None while nobody said. [m/s]

    Raises ValueError for an exposure not in ``WINDS_M_S``.
    """
    if known_m_s is not None:
        _above_0(wind_m_s=known_m_s)
        return known_m_s
    if exposure and exposure not in WINDS_M_S:
        raise ValueError(f"Wind is {exposure!r}; give one of {', '.join(WINDS_M_S)}, or a speed in m/s.")
    return WINDS_M_S.get(exposure)


def wind_reduction(solid_share: float) -> float:
    """Part of a solid wall's wind load that a screen with openings carries, 1 - (1 - e)^1.5.

    ASCE 7-16 fig. 29.3-1 note: openings under 30 % of the area. ValueError below 0.7.
    """
    if not MOSTLY_SOLID <= solid_share <= 1:
        raise ValueError(
            f"Solid share is {solid_share:g}; the reduction holds from {MOSTLY_SOLID:g} to 1. More "
            "open screens are reckoned as open frames (wind_force_n does)."
        )
    return 1 - (1 - solid_share) ** 1.5


def wind_force_n(
    width_mm: float, height_mm: float, solid_share: float, wind_m_s: float, force_factor: float
) -> float:
    """Wind on a free-standing screen. [N]

    q Cf A, q = 0.613 V^2; ``force_factor`` Cf of a solid wall (1.2 to 1.8 in ASCE 7-16 fig.
    29.3-1 by shape). Screens less than 0.7 solid go by the open-frame factors on their
    solid part. Raises ValueError for a share outside 0 to 1 or other sizes not above 0.
    """
    _above_0(width_mm=width_mm, height_mm=height_mm, wind_m_s=wind_m_s, force_factor=force_factor)
    if not 0 < solid_share <= 1:
        raise ValueError(f"Solid share is {solid_share:g}; give more than 0, up to 1.")
    if wind_m_s > 90:
        raise ValueError(f"Wind is {wind_m_s:g} m/s; give metres a second, up to 90.")
    pressure = WIND_Q * wind_m_s**2
    area_m2 = width_mm * height_mm * 1e-6
    if solid_share >= MOSTLY_SOLID:
        return pressure * force_factor * area_m2 * wind_reduction(solid_share)
    factor = next(f for upto, f in OPEN_FRAME if solid_share <= upto)
    return pressure * factor * solid_share * area_m2


def tipped_by_wind(
    subject: str, width_mm: float, height_mm: float, solid_share: float, weight_n: float,
    foot_mm: float, wind_m_s: float, force_factor: float,
) -> Finding:
    """Whether the wind tips a screen that stands on its own feet.

    ``foot_mm`` from its middle to the edge it would tip over. The force is taken at half
    its height; 1.5 to spare. A screen in the wind that needs more than its own weight is
    a matter for an engineer. Raises ValueError as ``wind_force_n``.
    """
    _above_0(weight_n=weight_n, foot_mm=foot_mm)
    force = wind_force_n(width_mm, height_mm, solid_share, wind_m_s, force_factor)
    turning, holding = force * height_mm / 2 / 1000, weight_n * foot_mm / 1000
    need_foot, need_kg = SAFETY * force * height_mm / 2 / weight_n, SAFETY * force * height_mm / 2 / foot_mm / 9.81
    open_words = "" if solid_share >= MOSTLY_SOLID else "; more open than the reduction covers, reckoned as an open frame"
    stays = (
        f"A foot of {need_foot:.0f} mm either side, or {need_kg:.0f} kg in all, or anchors"
        if need_foot <= height_mm else
        f"A foot of {need_foot:.0f} mm either side or {need_kg:.0f} kg in all would hold it, more than its own weight "
        "can give: so less height or more open, or anchors"
    )
    return from_ratio(
        subject, "wind", SAFETY * turning, holding, "N m",
        rule=f"weight x foot at least {SAFETY:g} x force x half the height, at {wind_m_s:g} m/s{open_words}",
        source="statics; ASCE 7-16 29.3 for q and openings" + (f"; open frame factors {MEMORY}" if open_words else ""),
        mend=f"{stays} sized by an engineer; or a zigzag of hinged leaves; or take it in when it blows.",
        stage="sizes",
        says=f"{force:.0f} N at {height_mm / 2:.0f} mm turns it with {turning:.0f} N m, times {SAFETY:g} is "
        f"{SAFETY * turning:.0f} N m; {weight_n:.0f} N on a foot of {foot_mm:.0f} mm holds {holding:.0f} N m",
    )


def pull_to_tip_n(
    weight_n: float, to_edge_mm: float, height_mm: float, from_vertical_deg: float = 90.0,
    overhang_mm: float = 0.0,
) -> float:
    """Pull at a height that tips a piece over its foot edge; 90 deg is level, 0 straight down. [N]

    Moments about the edge: W d = F (z sin a + o cos a), d from centre of gravity to edge,
    o how far the pull stands out beyond the edge. Infinite where the pull cannot tip it.
    """
    _above_0(weight_n=weight_n, to_edge_mm=to_edge_mm)
    _not_below_0(height_mm=height_mm, overhang_mm=overhang_mm)
    a = radians(from_vertical_deg)
    arm = height_mm * sin(a) + overhang_mm * cos(a)
    return weight_n * to_edge_mm / arm if arm > 1e-9 else float("inf")


def pull_to_slide_n(weight_n: float, friction: float, from_vertical_deg: float = 90.0) -> float:
    """Pull that slides a piece along the floor: F sin a = mu (W + F cos a). [N]"""
    _above_0(weight_n=weight_n, friction=friction)
    a = radians(from_vertical_deg)
    grip = sin(a) - friction * cos(a)
    return friction * weight_n / grip if grip > 1e-9 else float("inf")


PULLS = {
    "a lean": (150.0, 1200.0, "a starting point of ours: no furniture standard gives a lean on a screen"),
    "a child's pull": (100.0, 1200.0, "a starting point of ours"),
}
"""Everyday pulls: force [N], height [mm], on whose word."""


def pulled_over(
    subject: str, weight_n: float, to_edge_mm: float, piece_height_mm: float, pull: str, most_mm: float = math.inf,
) -> Finding:
    """Whether a lean or a child's pull tips a piece that stands free, with 1.5 to spare.

    ``to_edge_mm``: from the centre of gravity to the feet it would tip over; ``pull`` one
    of ``PULLS``, taken no higher than the piece. ``most_mm``: as far out as its feet can go. ValueError for another pull.
    Under 686 mm a child's pull is a caution only: ASTM F2057-23 begins there, and up to 1000 mm EN 16122 asks no level
    force at all, only one down near the edge of the top.
    """
    if pull not in PULLS:
        raise ValueError(f"pull is {pull!r}; give one of {', '.join(PULLS)}.")
    _above_0(piece_height_mm=piece_height_mm)
    force, height, source = PULLS[pull]
    height = min(height, piece_height_mm)
    tips, asked = pull_to_tip_n(weight_n, to_edge_mm, height), SAFETY * force
    low = pull == "a child's pull" and piece_height_mm < ANCHOR_FROM_MM
    found = from_ratio(
        subject, "pulled over", asked, tips, "N",
        rule=f"{pull} of {force:.0f} N at {height:.0f} mm, {SAFETY:g} to spare",
        source=f"statics; {source}" + (f"; a caution only, for ASTM F2057-23 begins at {ANCHOR_FROM_MM:.0f} mm and EN 16122 asks no level force "
                                       "up to 1000 mm" if low else ""),
        mend=_kept_upright(weight_n, to_edge_mm, height, asked, tips, most_mm, low),
        stage="sizes", look_again_from=1.0 if low else 0.9,
        says=f"{weight_n:.0f} N x {to_edge_mm:.0f} mm / {height:.0f} mm: {tips:.0f} N tips it; "
        f"{force:.0f} N x {SAFETY:g} is {asked:.0f} N",
    )
    return replace(found, verdict=Verdict.LOOK_AGAIN) if low and found.verdict is Verdict.FAILS else found


def _kept_upright(
    weight_n: float, to_edge_mm: float, height_mm: float, asked_n: float, tips_n: float, most_mm: float, low: bool,
) -> str:
    """What keeps it from being pulled over, never what is there already."""
    if tips_n >= asked_n:
        more = (asked_n / 0.9 * height_mm / to_edge_mm - weight_n) / 9.81
        return f"It stands, but barely: {max(math.ceil(more), 1)} kg more low down gives it a tenth to spare."
    heavier = math.ceil((asked_n * height_mm / to_edge_mm - weight_n) / 9.81)
    out = math.ceil(asked_n * height_mm / weight_n)
    said = [f"Set the feet {out} mm out from the middle, {to_edge_mm:.0f} mm now"] if out <= most_mm else []
    said.append(f"{'add' if said else 'Add'} {heavier} kg low down")
    if not low:
        said.append("fix it to the wall")
    *first, last = said
    return f"{', '.join(first)}, or {last}." if first else f"{last}."


CLIMBING_CHILD_N = 267.0
"""60 lb on an open drawer or door: ASTM F2057-23."""


def climbed_on(
    subject: str, weight_n: float, to_edge_mm: float, out_mm: float, where: str = "a drawer",
) -> Finding:
    """Whether a child on an open drawer or door, or on a shelf, tips the piece forward, from rough sizes.

    ``out_mm``: how far beyond the front feet the drawer's front stands; a piece that is laid out: ``structure.opened``. Load of ASTM
    F2057-23 (60 lb); by moments, not the standard's test.
    """
    _above_0(weight_n=weight_n, to_edge_mm=to_edge_mm)
    _not_below_0(out_mm=out_mm)
    turning, holding = CLIMBING_CHILD_N * out_mm / 1000, weight_n * to_edge_mm / 1000
    return from_ratio(
        subject, f"climbed on {where}", turning, holding, "N m",
        rule=f"a child of 60 lb on {where} does not tip it", source="ASTM F2057-23 test mass; statics",
        mend="Fix it to the wall with a restraint rated for 267 N (ASTM F3096-23) into stud or masonry, in two "
        "places; or let one drawer open at a time and stop it short.",
        stage="sizes",
        says=f"267 N x {out_mm:.0f} mm turns it with {turning:.1f} N m; {weight_n:.0f} N x {to_edge_mm:.0f} mm "
        f"holds {holding:.1f} N m",
    )


ANCHOR_FROM_MM, ANCHOR_FROM_KG, ANCHOR_FROM_DM3 = 686.0, 13.6, 90.6
SLENDER = 5.0


def anchor(
    subject: str, height_mm: float, depth_mm: float, mass_kg: float, inside_dm3: float,
    has_drawers_or_doors: bool, children: bool, anchored: bool,
) -> Finding:
    """Whether a case must be fixed to the wall, and is.

    Clothing storage of 686 mm, 13.6 kg and 90.6 dm3 or more (ASTM F2057-23); anything over
    five times as high as deep; anything with drawers or doors where children are, from
    686 mm up (both advice of ours).
    """
    _above_0(height_mm=height_mm, depth_mm=depth_mm, mass_kg=mass_kg)
    _not_below_0(inside_dm3=inside_dm3)
    why = []
    if has_drawers_or_doors and height_mm >= ANCHOR_FROM_MM and mass_kg >= ANCHOR_FROM_KG and inside_dm3 >= ANCHOR_FROM_DM3:
        why.append(f"{height_mm:.0f} mm high, {mass_kg:.0f} kg, {inside_dm3:.0f} dm3 inside: with drawers or doors it is fixed from 686 mm, 13.6 kg and 90.6 dm3 on")
    if height_mm > SLENDER * depth_mm:
        why.append(f"{height_mm:.0f} mm is {height_mm / depth_mm:.1f} times its depth, over {SLENDER:g}")
    if children and has_drawers_or_doors and height_mm >= ANCHOR_FROM_MM and not why:
        why.append(f"{height_mm:.0f} mm with drawers or doors where children are")
    verdict = Verdict.STANDS if anchored or not why else Verdict.FAILS
    says = "; ".join(why) if why else f"{height_mm:.0f} mm high, {depth_mm:.0f} mm deep: stands without"
    return Finding(
        subject, "anchor", verdict, says + ("; fixed to the wall" if anchored else ""), height_mm, ANCHOR_FROM_MM, "mm",
        "a tall case is fixed to the wall", "ASTM F2057-23 scope; slenderness and children advice of ours",
        "" if verdict is Verdict.STANDS else
        "Fix it to the wall: restraint for 267 N (ASTM F3096-23), two fixings into stud or masonry; have it "
        "written into the handover note who fitted it.",
        "sizes",
    )


FALLS_FROM_MM = 2000.0
"""From here up what falls hurts whoever is below: a person's height; judgement of ours."""
FOOTHOLD_MM = (150.0, 760.0)
DROP_MM = 600.0


def footholds(rail_heights_mm: Iterable[float]) -> list[float]:
    """Heights of the level rails and ledges a child climbs, from below: one step of 150 to 760 mm up from the floor, or from a ledge that
    it stands on already. One under 150 mm is no foothold by itself; whoever stands on it reaches so much higher, though. [mm]"""
    low, high = FOOTHOLD_MM
    stands, found = [0.0], []
    for h in sorted(h for h in rail_heights_mm if h > 0):
        climbed = any(low <= h - s <= high for s in stands)
        found += [h] if climbed else []
        stands += [h] if climbed or h < low else []
    return found


def _heights(at_mm: list[float]) -> str:
    return ", ".join(f"{h:.0f}" for h in at_mm) if len(at_mm) <= 6 else f"{len(at_mm)} heights from {at_mm[0]:.0f} to {at_mm[-1]:.0f}"


def climbable_rails(
    subject: str, rail_heights_mm: tuple[float, ...], drop_mm: float, children: bool, way_out: str = "",
) -> Finding:
    """Whether a child could climb rails beside a drop.

    Level rails, ledges or gaps with a foothold from 150 to 760 mm above the floor, beside a
    drop of 600 mm or more. Limits from building codes, from memory: the local code decides. What is reached only from a lower ledge asks
    for another look. ``way_out``: what would mend it in this very piece, a sentence; '' for the usual words.
    """
    _not_below_0(drop_mm=drop_mm)
    low, high = FOOTHOLD_MM
    holds = [h for h in sorted(rail_heights_mm) if low <= h <= high]
    further = [h for h in footholds(rail_heights_mm) if h > high]
    danger = bool(holds or further) and drop_mm >= DROP_MM
    verdict = Verdict.STANDS if not danger else Verdict.FAILS if children and holds else Verdict.LOOK_AGAIN
    said = f"footholds at {_heights(holds)} mm above the floor" if holds else "no foothold that a child climbs from the floor"
    if further:
        ledge = max((h for h in rail_heights_mm if h < low), default=0.0)
        said = (f"{said} and from there at {_heights(further)} mm," if holds
                else f"no foothold from the floor, but from the ledge at {ledge:.0f} mm a step leads to {_heights(further)} mm,")
    return Finding(
        subject, "climbable rails", verdict,
        f"{said} beside a drop of {drop_mm:.0f} mm",
        rule=f"no foothold from {low:.0f} to {high:.0f} mm above the floor, or above a ledge that one stands on, beside a drop of {DROP_MM:.0f} mm or more",
        source=f"building codes on guards, {MEMORY}; from ledge to ledge a judgement of ours; the local code decides",
        mend="" if verdict is Verdict.STANDS else
        f"{way_out or 'Turn the slats upright, close the face towards people.'} Or move the piece a child's stretch from the drop. "
        "A guard itself belongs to the building: its height and strength are for an engineer and the authority.",
        stage="sizes",
    )


# ------------------------------------------------------------------ gaps

FINGERS_MM = (8.0, 25.0)
MOVING_OUTDOORS_MM = (7.0, 18.0)
HEADS_MM = (89.0, 229.0)


def fingers(subject: str, least_mm: float, greatest_mm: float, children: bool) -> Finding:
    """Whether gaps that stay as they are catch a child's finger.

    ``least_mm`` and ``greatest_mm``: the gap at its wettest and driest. A gap of 8 to
    25 mm is refused where children are, else a caution. Raises ValueError for a negative gap or a least over the greatest.
    """
    return _gap(
        subject, "fingers", least_mm, greatest_mm, FINGERS_MM, children,
        "no gap of 8 to 25 mm where children are",
        "CFOC standard 6.2.1.9 (3/8 to 1 in); 8 to 25 mm of EN 1176 from memory",
    )


def fingers_moving(subject: str, least_mm: float, greatest_mm: float, outdoors: bool) -> Finding:
    """Whether parts that move towards each other catch a finger at any place of their travel.

    Outdoor furniture: 7 to 18 mm (EN 581-1:2017); indoors 8 to 25 mm (EN 527-2, EN 1335-2, EN 14749).
    """
    low, high = MOVING_OUTDOORS_MM if outdoors else FINGERS_MM
    standards = "EN 581-1:2017" if outdoors else "EN 527-2, EN 1335-2, EN 14749"
    source = f"{standards}, shear and squeeze points"
    return _gap(
        subject, "fingers, moving", least_mm, greatest_mm, (low, high), True,
        f"no gap of {low:g} to {high:g} mm at any stage of movement", source,
    )


def _gap(subject, what, least_mm, greatest_mm, band_mm, refuse, rule, source) -> Finding:
    _not_below_0(least_mm=least_mm, greatest_mm=greatest_mm)
    if least_mm > greatest_mm:
        raise ValueError(
            f"{subject}: the gap is {least_mm:g} mm at its least and {greatest_mm:g} mm at its greatest; "
            "turn them round."
        )
    low, high = band_mm
    caught = greatest_mm >= low and least_mm <= high
    verdict = Verdict.STANDS if not caught else Verdict.FAILS if refuse else Verdict.LOOK_AGAIN
    span = f"{least_mm:.1f} mm" if least_mm == greatest_mm else f"{least_mm:.1f} to {greatest_mm:.1f} mm"
    return Finding(
        subject, what, verdict, f"gaps of {span}; {low:g} to {high:g} mm catches a finger", rule=rule, source=source,
        mend="" if not caught else f"Make them under {low:g} mm at their widest, or over {high:g} mm at their narrowest.",
        stage="sizes",
    )


def heads(
    subject: str, wide_mm: float, high_mm: float, closed_all_round: bool, children: bool
) -> Finding:
    """Whether an opening lets a child's body in and holds the head.

    An opening bounded all round whose smaller size is 89 to 229 mm (CPSC public
    playground handbook B.2.5.1, 3.5 and 9 in). One open to the ground or the sky is exempt.
    """
    _not_below_0(wide_mm=wide_mm, high_mm=high_mm)
    low, high = HEADS_MM
    least = min(wide_mm, high_mm)
    caught = closed_all_round and low <= least <= high
    verdict = Verdict.STANDS if not caught else Verdict.FAILS if children else Verdict.LOOK_AGAIN
    return Finding(
        subject, "heads", verdict,
        f"opening of {wide_mm:.0f} x {high_mm:.0f} mm"
        + ("" if closed_all_round else ", not closed all round") + f"; {low:.0f} to {high:.0f} mm holds a head",
        rule="no opening closed all round of 89 to 229 mm at its narrowest where children are",
        source="US CPSC Public Playground Safety Handbook B.2.5.1",
        mend="" if not caught else "Close it to under 89 mm with another rail or slat, or open it to over 229 mm.",
        stage="sizes",
    )


INSIDE_DM3, INSIDE_MM = 31.0, 150.0
VENT_MM2, VENTS_APART_MM = 650.0, 150.0
LATCH_N = 45.0
LATCH_SOURCE = f"ASTM F963 4.27, {MEMORY}"


def shut_in(
    subject: str, inside_dm3: float, least_inside_mm: float, vents_mm2: float, opens_from_inside_n: float | None,
    lid_stays_up: bool | None,
) -> Finding:
    """Whether a lid, drawer or door can shut a child in.

    Space of 31 dm3 (1.1 ft3) or more and 150 mm or more each way: it needs two air holes of
    650 mm2 each, 150 mm apart, that its back and the floor cannot cover; it must open from
    inside with 45 N or less (None: it locks or latches so that it does not); a lid stays up by
    itself (None: there is no lid). Volume: ASTM F834 and F2598 scope; the rest from memory.
    """
    _not_below_0(inside_dm3=inside_dm3, least_inside_mm=least_inside_mm, vents_mm2=vents_mm2)
    faults, mends, large = [], [], inside_dm3 >= INSIDE_DM3 and least_inside_mm >= INSIDE_MM
    if inside_dm3 >= INSIDE_DM3 and least_inside_mm >= INSIDE_MM:
        if vents_mm2 < 2 * VENT_MM2:
            faults.append(f"{vents_mm2:.0f} mm2 of air holes, {2 * VENT_MM2:.0f} wanted")
            mends.append("bore two air holes of 30 mm where nothing covers them")
        if opens_from_inside_n is None:
            faults.append("it cannot be opened from inside")
            mends.append("use a catch that gives instead of a lock")
        elif opens_from_inside_n > LATCH_N:
            faults.append(f"it opens from inside with {opens_from_inside_n:.0f} N, {LATCH_N:.0f} at most")
            mends.append("make what opens lighter: thinner, of another timber or in two parts")
    if lid_stays_up is False:
        faults.append("its lid falls by itself")
        mends.append("fit a stay that holds the lid wherever it is let go")
    return Finding(
        subject, "shut in", Verdict.FAILS if faults else Verdict.STANDS,
        f"{inside_dm3:.0f} dm3 inside: " + ("; ".join(faults) or ("it can be opened from inside, and air comes in" if large else "too small for a child to get in")),
        inside_dm3, INSIDE_DM3, "dm3",
        "from 31 dm3: two air holes of 650 mm2, 150 mm apart, opens from inside with 45 N, a lid that stays up",
        f"ASTM F834 and F2598 scope for the volume; holes, force and lid after ASTM F963 4.27, {MEMORY}",
        f"{'; '.join(mends).capitalize()}." if faults else "",
        "sizes",
    )


# ------------------------------------------------------------------ strength, money, time

SEEN_SAG = 384.0
"""Span over sag that an eye sees: shelf-building rule, 1/32 in. (0.8 mm) in a foot (305 mm)."""
CREEP = {
    "indoors, heated": 1.6, "indoors, unheated": 1.8, "outdoors, under cover": 1.8, "outdoors, in the weather": 3.0,
}
"""1 + k_def of solid timber by service class under a load that stays, EN 1995-1-1 table 3.2."""


def sagging(
    subject: str, span_mm: float, width_mm: float, thickness_mm: float, load_n: float, moe_mpa: float,
    creep: float, span_over: float,
) -> Finding:
    """Whether a shelf, rail or board sags more than it may under a load spread along it.

    ``creep``: how much of the first sag comes to be in years, 1.6 indoors to 3 outdoors for a
    load that stays (1 + k_def, EN 1995-1-1 table 3.2). ``span_over``: the sag allowed is the
    span over this; an eye sees 384. Ends held by nothing but their bearing.
    """
    _above_0(span_mm=span_mm, width_mm=width_mm, thickness_mm=thickness_mm, load_n=load_n, moe_mpa=moe_mpa,
             span_over=span_over)
    if not 1 <= creep <= 5:
        raise ValueError(f"Creep is {creep:g}; give 1 (none) to 5.")
    i = rectangle(width_mm, thickness_mm).i_thickness_mm4
    sag = creep * sag_spread_mm(load_n, span_mm, moe_mpa, i)
    allowed = span_mm / span_over
    thicker = math.ceil(thickness_mm * (sag / allowed) ** (1 / 3))
    shorter = math.floor(span_mm * (allowed / sag) ** (1 / 3))
    mend = f"{thicker} mm thick instead of {mm(thickness_mm)} mm, or a span of {shorter} mm, or a lipping on edge."
    if sag <= allowed:
        mend = f"It holds, with little to spare: one or two more than {mm(thickness_mm)} mm, or a lipping on edge, gives it more."
    return from_ratio(
        subject, "sag", sag, allowed, "mm",
        rule=f"span / {span_over:g} in the long run, {load_n:.0f} N spread, creep x {creep:g}",
        source="beam mechanics 5 W L^3 / 384 E I; creep EN 1995-1-1 table 3.2; eye: shelf-building rule, 1/32 in a foot",
        mend=mend,
        stage="sizes",
        says=f"{sag:.1f} mm of {allowed:.1f} mm on {span_mm:.0f} mm",
    )


FAR_BELOW = Decimal("0.7")


def budget_short(
    budget: Decimal, low: Decimal, likely: Decimal, currency: str, cheaper: str = "", quoted: Decimal | None = None
) -> Finding:
    """Whether a budget is far under what such a piece takes; all three with tax or all three without.

    Fails under 0.7 of the low end, 'look again' under what would be ``quoted``, or the likely figure where that is not
    known. ``cheaper``: the ways to make it cheaper, in words.
    """
    for name, amount in (("Budget", budget), ("Low end", low), ("Likely price", likely)):
        if amount <= 0:
            raise ValueError(f"{name} is {amount}; give more than 0.")
    if low > likely:
        raise ValueError(f"The low end, {low}, is over the likely price, {likely}; turn them round.")
    wanted = max(quoted or likely, likely)
    verdict = Verdict.FAILS if budget < FAR_BELOW * low else Verdict.LOOK_AGAIN if budget < wanted else Verdict.STANDS
    as_quoted = f", about {quoted:.0f} {currency} as it would be quoted" if quoted else ""
    return Finding(
        "budget", "enough money", verdict,
        f"{budget:.0f} {currency} offered; such a piece takes {low:.0f} {currency} at the least, {likely:.0f} {currency} likely{as_quoted}: "
        f"{100 * budget / wanted:.0f} % of that",
        float(wanted), float(budget), currency,
        "a budget under 0.7 of the low end is no basis for drawing", "judgement of ours on the ballpark",
        "" if verdict is Verdict.STANDS else cheaper
        or "Make it smaller, with fewer parts and joints, or in another timber; or say no now.",
        "price",
    )


@cache
def _waits() -> dict[str, dict[str, str]]:
    with Path(__file__).with_name("waits.csv").open(newline="", encoding="utf-8") as file:
        return {r["what"]: r for r in csv.DictReader(file)}


TIMBER_DAYS = 7.0
"""To buy the boards and have them in the workshop; common practice, no source."""
FINISHES = tuple(what for what, row in _waits().items() if row["when"] == "finish")


DRAGS = "half as much again for work that drags: judgement of ours"


def days_needed(
    queue_days: float, timber_days: float, work_hours: float, hours_per_week: float, glue_stages: int, finish: str,
    dry_already: bool, safe_hours: float | None = None,
) -> tuple[tuple[str, float, float], ...]:
    """Calendar days one after another: (what, least, most). [days]

    ``queue_days`` until this job's turn, ``timber_days`` until the boards are bought and
    in. Work runs 7 days a week over ``hours_per_week``. Waits stand in ``waits.csv``.
    ``dry_already``: boards have lain in the workshop's air. ``safe_hours``: what the work
    takes at most, not under ``work_hours``; None for half as much again.
    """
    safe = 1.5 * work_hours if safe_hours is None else safe_hours
    if safe < work_hours:
        raise ValueError(f"Safe hours are {safe:g}, under the {work_hours:g} likely ones; turn them round.")
    _not_below_0(queue_days=queue_days, timber_days=timber_days, glue_stages=glue_stages)
    _above_0(work_hours=work_hours, hours_per_week=hours_per_week)
    if finish not in FINISHES:
        raise ValueError(f"finish is {finish!r}; give one of {', '.join(FINISHES)}.")

    def wait(name):
        row = _waits()[name]
        return float(row["low_days"]), float(row["high_days"])

    work = work_hours / hours_per_week * 7
    upto = "" if safe_hours is None else f" to {safe_hours:.0f}"
    hours = f"{work_hours:.0f}{upto} hours at {hours_per_week:g} a week"
    rows = [
        ("jobs before this one, or waiting for timber", max(queue_days, timber_days), max(queue_days, timber_days)),
        *([] if dry_already else [("boards in the workshop's air", *wait("bring the boards to the workshop's air"))]),
        ("rest after rough machining", *wait("rest after rough machining")),
        (hours, work, safe / hours_per_week * 7),
        (f"{glue_stages} nights of glue", *(glue_stages * d for d in wait("glue overnight each stage"))),
        (f"finish to dry: {finish}", *wait(finish)),
    ]
    return tuple(rows)


def date_met(today: date, wanted_by: date, rows: Iterable[tuple[str, float, float]], hours_from: str = DRAGS) -> Finding:
    """Whether everything that takes time fits before the date wanted: rows as of ``days_needed``.

    Fails when even the least of each does not; 'look again' when only the least does. ``hours_from`` says where the
    hours come from. Raises ValueError, with a sentence, for a date in the past.
    """
    left = checked_date(wanted_by, today)
    rows = tuple(rows)
    least, most = sum(r[1] for r in rows), sum(r[2] for r in rows)
    verdict = Verdict.FAILS if least > left else Verdict.LOOK_AGAIN if most > left else Verdict.STANDS
    said = ", ".join(
        f"{what} {low:.0f}" + (f" to {high:.0f}" if round(high) != round(low) else "") for what, low, high in rows if high
    )
    return Finding(
        "date", "enough time", verdict,
        f"{left} days left; {least:.0f} to {most:.0f} needed: {said} days", least, float(left), "days",
        "queue, timber, work, glue and drying one after another",
        f"waits: textbooks, makers' sheets and {PRACTICE}; {hours_from}",
        "" if verdict is Verdict.STANDS else
        f"Agree on {(today + timedelta(days=round(most))).isoformat()}, deliver it unfinished and finish it there, "
        "buy boards already dry, or make less of it.",
        "price",
    )


# ------------------------------------------------------------------ leave of others


@cache
def _who() -> dict[str, dict[str, str]]:
    with Path(__file__).with_name("who_must_say.csv").open(newline="", encoding="utf-8") as file:
        return {r["trigger"]: r for r in csv.DictReader(file)}


def triggers() -> dict[str, str]:
    """What makes others have a say, with the words to ask it by."""
    return {t: r["words"] for t, r in _who().items()}


def leave_of_others(subject: str, true_of_it: tuple[str, ...], given: tuple[str, ...] = ()) -> list[Finding]:
    """One finding for each thing that needs an engineer, an owner or a licensed trade.

    ``true_of_it`` from ``triggers()``; ``given``: those whose leave is in writing. Raises
    KeyError, naming those on file, for another.
    """
    found = []
    for trigger in true_of_it:
        if trigger not in _who():
            raise KeyError(f"Nothing on file for {trigger!r}. On file: {', '.join(_who())}.")
        row = _who()[trigger]
        stop, has = row["stop"] == "yes", trigger in given
        verdict = Verdict.STANDS if has else Verdict.FAILS if stop else Verdict.LOOK_AGAIN
        found.append(
            Finding(
                f"{subject}: {trigger}", "leave of others", verdict,
                f"{row['words']}: {row['who']} " + ("has said yes in writing" if has else "has to say yes first"),
                rule=f"{row['words']}: not without {row['who']}", source=row["source"],
                mend="" if has else f"{row['way_forward'].rstrip('.')}; then tick 'leave given in writing' beside it on the Brief page, or take the tick off where it is not so.", stage="sizes",
            )
        )
    return found
