"""Room for movement: what a detail leaves for the wood, against what the wood will want.

Each function takes plain sizes and gives a ``Provision``: findings, and the same sizes at making,
at the driest and at the wettest, so that both seasons can be drawn side by side to scale.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.timber.moisture import MoistureRange
from studio_lib.timber.movement import movement_at_angle
from studio_lib.timber.species import Species

STAGE = "joints"
SUM_RULE = "movement from making to the driest and the wettest, boards off by the making tolerance"
PANEL_RULE = "a panel is never glued in its groove"
PANEL_SOURCE = "C. Noyes, Handwork in Wood, 1910"
EASY = 0.9
"""Share of the room that may be wanted before a check asks for another look, as ``from_ratio`` has it."""
GLUE_SAFE_MM, GLUE_MOST_MM = 75.0, 100.0
GLUE_RULE = "glue across the grain: 75 mm is safe, 100 mm the most"
GLUE_SOURCE = "opinion in a trade forum; common practice, no better source"


@dataclass(frozen=True)
class Swing:
    """How far one size goes either way from making. [mm]"""

    size_mm: float
    shrinks_mm: float
    """Made as wet as allowed and gone to the driest; 0 or more."""
    grows_mm: float
    """Made as dry as allowed and gone to the wettest; 0 or more."""
    says: str
    source: str

    def of(self, size_mm: float) -> Swing:
        """The same timber, angle and climate for another size."""
        part = size_mm / self.size_mm
        return Swing(size_mm, self.shrinks_mm * part, self.grows_mm * part, self.says, self.source)


@dataclass(frozen=True)
class Provision:
    """A detail judged, and its sizes in each state for drawing. [mm]"""

    name: str
    findings: tuple[Finding, ...]
    making: dict[str, float]
    dry: dict[str, float]
    wet: dict[str, float]
    says: str
    source: str


def swing(species: Species, size_mm: float, ring_angle_deg: float, across: str, moisture: MoistureRange) -> Swing:
    """How much a width or thickness shrinks and grows between making and the ends of its place.

    Parameters
    ----------
    species : Species
    size_mm : float
        At making. [mm]
    ring_angle_deg : float
        Between rings and face: 0 flat, 90 quarter. A board that may be either: 0. [deg]
    across : str
        'width' or 'thickness'.
    moisture : MoistureRange
        From ``service_range``. [%]

    Returns
    -------
    Swing

    Raises
    ------
    FigureMissing, ValueError
        As ``movement_at_angle``.
    """
    driest_made = moisture.making_pct - moisture.tolerance_pct
    wettest_made = moisture.making_pct + moisture.tolerance_pct
    growth = movement_at_angle(species, size_mm, ring_angle_deg, across, driest_made, moisture.high_pct)
    loss = movement_at_angle(species, size_mm, ring_angle_deg, across, wettest_made, moisture.low_pct)
    # A place that is never drier (or wetter) than the boards at making asks for no room on that side.
    grows, shrinks = max(growth.mm, 0.0), max(-loss.mm, 0.0)
    says = (
        f"{size_mm:g} mm of {species.name} made at {moisture.making_pct:g} % give or take {moisture.tolerance_pct:g} "
        f"shrinks by {shrinks:.1f} mm at {moisture.low_pct:g} %, grows by {grows:.1f} mm at {moisture.high_pct:g} % ({growth.says})"
    )
    return Swing(size_mm, shrinks, grows, says, growth.source)


def panel_in_groove(
    swing: Swing, groove_depth_mm: float, tongue_mm: float, least_hold_mm: float, centred: bool
) -> Provision:
    """A solid panel in grooves: room at the bottom when wet, hold at the edge when dry.

    Parameters
    ----------
    swing : Swing
        Of the panel's whole width, across the grain.
    groove_depth_mm : float
        Of either groove. [mm]
    tongue_mm : float
        How far the panel reaches into either groove at making. [mm]
    least_hold_mm : float
        What must stay in the groove at the driest. [mm]
    centred : bool
        Whether the panel is pinned at its middle; if not, all slack may gather on one side.

    Returns
    -------
    Provision
    """
    _above_0(groove_depth_mm=groove_depth_mm, tongue_mm=tongue_mm, least_hold_mm=least_hold_mm)
    if tongue_mm > groove_depth_mm:
        raise ValueError(f"tongue_mm is {tongue_mm}; at most the groove's depth, {groove_depth_mm}.")
    room = groove_depth_mm - tongue_mm
    hold = tongue_mm - swing.shrinks_mm / 2 if centred else 2 * tongue_mm - swing.shrinks_mm - groove_depth_mm
    where = "either side" if centred else "the looser side, the panel slid over to the other (pin it at its middle)"
    findings = (
        _needs(
            "panel", "room to grow", swing.grows_mm, 2 * room, swing,
            f"Panel grows {swing.grows_mm:.1f} mm, the two grooves leave {2 * room:.1f} mm.",
            f"Deepen each groove or narrow the panel by {_lacks(swing.grows_mm, 2 * room) / 2:.1f} mm a side.",
            rule=f"{SUM_RULE}; {PANEL_RULE}",
        ),
        _keeps(
            "panel", "hold when driest", least_hold_mm, hold, swing,
            f"At its driest {max(hold, 0):.1f} mm stays in the groove on {where}; {least_hold_mm:g} mm wanted.",
            f"Let the panel {_lacks(least_hold_mm, hold):.1f} mm further into deeper grooves"
            + ("." if centred else ", or pin it at its middle."),
        ),
    )
    width = swing.size_mm
    return Provision(
        "panel in groove", findings,
        {"width_mm": width, "tongue_mm": tongue_mm, "gap_mm": room},
        {"width_mm": width - swing.shrinks_mm, "tongue_mm": tongue_mm - swing.shrinks_mm / 2, "gap_mm": room + swing.shrinks_mm / 2},
        {"width_mm": width + swing.grows_mm, "tongue_mm": tongue_mm + swing.grows_mm / 2, "gap_mm": room - swing.grows_mm / 2},
        swing.says, f"{PANEL_SOURCE}; {swing.source}",
    )


def slotted_fixing(swing: Swing, slot_mm: float, fixing_mm: float, subject: str = "slotted fixing", hole_mm: float = 0.0) -> Provision:
    """A screw or peg in a slot: travel needed against travel there, outwards and inwards.

    Parameters
    ----------
    swing : Swing
        Of the distance across the grain from where the work is held fast to this fixing.
    slot_mm : float
        Whole length of the slot, along the movement. [mm]
    fixing_mm : float
        Diameter of screw or peg, set in the middle of the slot at making. [mm]
    subject : str
        Name in the finding.
    hole_mm : float
        The round hole that the slot is given as longer than, where it is given so; its mend then says it the same way. [mm]

    Returns
    -------
    Provision
    """
    _above_0(slot_mm=slot_mm, fixing_mm=fixing_mm)
    if fixing_mm > slot_mm:
        raise ValueError(f"slot_mm is {slot_mm}; at least the fixing's {fixing_mm} mm.")
    there = (slot_mm - fixing_mm) / 2
    need = max(swing.grows_mm, swing.shrinks_mm)
    whole = 2 * need / EASY + fixing_mm
    slots = f"Make the slots {math.ceil(whole - hole_mm)} mm longer than the hole" if hole_mm else f"Lengthen the slot to {math.ceil(whole)} mm"
    mend = f"{slots}, or set the fixing nearer the middle."
    findings = tuple(
        _needs(subject, f"travel {way}", mm, there, swing, f"{mm:.1f} mm wanted {way}, {there:.1f} mm there.", mend)
        for way, mm in (("when it grows", swing.grows_mm), ("when it shrinks", swing.shrinks_mm))
    )
    return Provision(
        subject, findings,
        {"distance_mm": swing.size_mm, "left_mm": there, "right_mm": there},
        {"distance_mm": swing.size_mm - swing.shrinks_mm, "left_mm": there - swing.shrinks_mm, "right_mm": there + swing.shrinks_mm},
        {"distance_mm": swing.size_mm + swing.grows_mm, "left_mm": there + swing.grows_mm, "right_mm": there - swing.grows_mm},
        swing.says, swing.source,
    )


def breadboard_end(swing: Swing, fixings_from_middle_mm: Sequence[float], slot_mm: float, fixing_mm: float) -> Provision:
    """A breadboard end fixed at its middle: travel at the outermost fixing, and how far the ends part.

    Parameters
    ----------
    swing : Swing
        Of the whole width of the top.
    fixings_from_middle_mm : sequence of float
        Of the sliding fixings, either side. [mm]
    slot_mm, fixing_mm : float
        As ``slotted_fixing``. [mm]

    Returns
    -------
    Provision
    """
    if not fixings_from_middle_mm or not 0 < max(fixings_from_middle_mm) <= swing.size_mm / 2:
        raise ValueError(
            f"fixings_from_middle_mm is {', '.join(f'{mm:g}' for mm in fixings_from_middle_mm) or 'empty'}; "
            f"at least one, above 0, and none past {swing.size_mm / 2:g} mm, the edge."
        )
    outermost = max(fixings_from_middle_mm)
    travel = slotted_fixing(swing.of(outermost), slot_mm, fixing_mm, f"breadboard end, fixing {outermost:g} mm out")
    proud, short = swing.grows_mm / 2, swing.shrinks_mm / 2
    parting = Finding(
        "breadboard end", "how far the edges part", Verdict.STANDS,
        f"The top's edges stand {proud:.1f} mm proud of the end at the wettest, {short:.1f} mm short at the driest: tell the client.",
        rule=SUM_RULE, source=swing.source, stage=STAGE,
    )
    width = swing.size_mm
    return Provision(
        "breadboard end", (*travel.findings, parting),
        {"width_mm": width, "end_mm": width, **_travel(travel.making)},
        {"width_mm": width - swing.shrinks_mm, "end_mm": width, **_travel(travel.dry)},
        {"width_mm": width + swing.grows_mm, "end_mm": width, **_travel(travel.wet)},
        swing.says, swing.source,
    )


def _travel(state: dict[str, float]) -> dict[str, float]:
    return {name: state[name] for name in ("left_mm", "right_mm")}


def top_on_buttons(
    swing: Swing, groove_depth_mm: float, tongue_mm: float, least_hold_mm: float
) -> Provision:
    """A solid top on buttons in the grooves of its long rails, held at its middle.

    Parameters
    ----------
    swing : Swing
        Of the distance from the middle of the top to the buttons, across its grain.
    groove_depth_mm : float
        In the rail. [mm]
    tongue_mm : float
        How far a button reaches into the groove at making. [mm]
    least_hold_mm : float
        What must stay in the groove at the driest. [mm]

    Returns
    -------
    Provision

    Notes
    -----
    Buttons screwed to the top point outwards: they go deeper when the top grows, out when it
    shrinks. Those on the end rails slide along their groove and want nothing.
    """
    _above_0(groove_depth_mm=groove_depth_mm, tongue_mm=tongue_mm, least_hold_mm=least_hold_mm)
    if tongue_mm > groove_depth_mm:
        raise ValueError(f"tongue_mm is {tongue_mm}; at most the groove's depth, {groove_depth_mm}.")
    room, hold = groove_depth_mm - tongue_mm, tongue_mm - swing.shrinks_mm
    findings = (
        _needs(
            "button", "room to grow", swing.grows_mm, room, swing,
            f"The button goes {swing.grows_mm:.1f} mm deeper, {room:.1f} mm is there.",
            f"Stand the buttons {math.ceil(swing.grows_mm / EASY)} mm off the bottom of the groove, in a groove as much deeper.",
        ),
        _keeps(
            "button", "hold when driest", least_hold_mm, hold, swing,
            f"At the driest {max(hold, 0):.1f} mm stays in the groove; {least_hold_mm:g} mm wanted.",
            f"Longer tongues: {math.ceil(least_hold_mm / EASY + swing.shrinks_mm)} mm in at making.",
        ),
    )
    d = swing.size_mm
    return Provision(
        "top on buttons", findings,
        {"distance_mm": d, "tongue_mm": tongue_mm, "gap_mm": room},
        {"distance_mm": d - swing.shrinks_mm, "tongue_mm": hold, "gap_mm": room + swing.shrinks_mm},
        {"distance_mm": d + swing.grows_mm, "tongue_mm": tongue_mm + swing.grows_mm, "gap_mm": room - swing.grows_mm},
        swing.says, f"{PANEL_SOURCE} (buttons in a groove); {swing.source}",
    )


def in_opening(
    swing: Swing, opening_mm: float, least_gap_mm: float, most_gap_mm: float, subject: str = "drawer"
) -> Provision:
    """A drawer or door in an opening that does not move: neither stuck when wet nor gaping when dry.

    Parameters
    ----------
    swing : Swing
        Of the drawer's height, or the door's width, across the grain.
    opening_mm : float
        Which stays as it is (its own grain runs along it). [mm]
    least_gap_mm, most_gap_mm : float
        Both sides together, at the wettest and at the driest. [mm]
    subject : str
        'drawer', 'door', ...

    Returns
    -------
    Provision
    """
    _above_0(opening_mm=opening_mm)
    if not 0 <= least_gap_mm < most_gap_mm:
        raise ValueError(f"least_gap_mm is {least_gap_mm}, most_gap_mm {most_gap_mm}; the least 0 or more and below the most.")
    gap = opening_mm - swing.size_mm
    if gap < 0:
        raise ValueError(f"The {subject} is {swing.size_mm:g} mm in an opening of {opening_mm:g}; it does not go in.")
    wet, dry = gap - swing.grows_mm, gap + swing.shrinks_mm
    both = swing.grows_mm + swing.shrinks_mm
    mend = f"Make the {subject} {_lacks(swing.grows_mm, gap - least_gap_mm):.1f} mm smaller across its grain, or make boards nearer the wet end."
    if both > most_gap_mm - least_gap_mm:
        mend = f"It swings {both:.1f} mm in all, more than the gap may change: quarter-sawn, a calmer timber, or frame and panel."
    findings = (
        _needs(
            subject, "gap when wettest", swing.grows_mm, gap - least_gap_mm, swing,
            f"Grows {swing.grows_mm:.1f} mm; {gap:.1f} mm of gap at making leaves {wet:.1f} mm, {least_gap_mm:g} mm wanted.", mend,
        ),
        _needs(
            subject, "gap when driest", dry, most_gap_mm, swing,
            f"Gapes {dry:.1f} mm at the driest; {most_gap_mm:g} mm at most.",
            mend if both > most_gap_mm - least_gap_mm else f"Make the {subject} {max(dry - EASY * most_gap_mm, 0):.1f} mm larger across its grain: less gap is then left at making.",
        ),
    )
    return Provision(
        f"{subject} in its opening", findings,
        {"size_mm": swing.size_mm, "opening_mm": opening_mm, "gap_mm": gap},
        {"size_mm": swing.size_mm - swing.shrinks_mm, "opening_mm": opening_mm, "gap_mm": dry},
        {"size_mm": swing.size_mm + swing.grows_mm, "opening_mm": opening_mm, "gap_mm": wet},
        swing.says, swing.source,
    )


def strung_stack(
    swing: Swing, slats: int, spacer_mm: float, take_up_mm: float, give_mm: float
) -> Provision:
    """Slats and spacers strung on a cable or rod: how much the stack shortens and lengthens.

    Parameters
    ----------
    swing : Swing
        Of one slat, along the cable.
    slats : int
        In the stack; one spacer fewer. Spacers are taken not to move.
    spacer_mm : float
        Thickness of one spacer. [mm]
    take_up_mm : float
        What springs, soft spacers or the tensioner take up before the stack rattles. [mm]
    give_mm : float
        What springs or soft spacers give before cable or wood are overloaded. [mm]

    Returns
    -------
    Provision
    """
    if slats < 2:
        raise ValueError(f"slats is {slats}; two or more.")
    for name, value in (("spacer_mm", spacer_mm), ("take_up_mm", take_up_mm), ("give_mm", give_mm)):
        if not value >= 0:
            raise ValueError(f"{name} is {value}; 0 or more.")
    shortens, lengthens = slats * swing.shrinks_mm, slats * swing.grows_mm
    length = slats * swing.size_mm + (slats - 1) * spacer_mm
    findings = (
        _needs(
            "strung stack", "shortening", shortens, take_up_mm, swing,
            f"{slats} slats shorten by {shortens:.1f} mm together; {take_up_mm:g} mm can be taken up before it goes slack.",
            f"Springs or soft spacers good for {math.ceil(shortens / EASY)} mm, or a tensioner within reach and a visit in the first dry season.",
        ),
        _needs(
            "strung stack", "lengthening", lengthens, give_mm, swing,
            f"{slats} slats lengthen by {lengthens:.1f} mm together; {give_mm:g} mm can give before the cable is overloaded.",
            f"Springs or soft spacers that give {math.ceil(lengthens / EASY)} mm: a cable alone gives next to nothing and a strung wire can whip.",
        ),
    )
    return Provision(
        "strung stack", findings,
        {"length_mm": length, "slat_mm": swing.size_mm},
        {"length_mm": length - shortens, "slat_mm": swing.size_mm - swing.shrinks_mm},
        {"length_mm": length + lengthens, "slat_mm": swing.size_mm + swing.grows_mm},
        swing.says, swing.source,
    )


def cross_grain_glue(swing: Swing, subject: str = "glue across the grain") -> Provision:
    """A glued area where one member's width lies on another's length: how wide it may be.

    Parameters
    ----------
    swing : Swing
        Of the glued width, across the grain of the member that moves there.
    subject : str
        Name in the finding.

    Returns
    -------
    Provision

    Notes
    -----
    The other member is taken not to move along its grain. The glue line has to hold back the swing:
    how much it bears depends on timber and glue, so the rule is the trade's, by width.
    """
    width = swing.size_mm
    verdict = (
        Verdict.STANDS if width <= GLUE_SAFE_MM else Verdict.LOOK_AGAIN if width <= GLUE_MOST_MM else Verdict.FAILS
    )
    both = swing.grows_mm + swing.shrinks_mm
    finding = Finding(
        subject, "width glued across the grain", verdict,
        f"{width:g} mm glued across the grain; free, it would swing {both:.1f} mm.",
        width, GLUE_MOST_MM, "mm", GLUE_RULE, GLUE_SOURCE,
        "" if verdict is Verdict.STANDS else
        f"Glue {GLUE_SAFE_MM:g} mm at one place and let the rest slide, or divide the joint in two with only one part glued.",
        STAGE,
    )
    return Provision(
        subject, (finding,), {"width_mm": width}, {"width_mm": width - swing.shrinks_mm},
        {"width_mm": width + swing.grows_mm}, swing.says, f"{GLUE_SOURCE}; {swing.source}",
    )


def wide_tenon(swing: Swing, glued_mm: float, slack_mm: float) -> Provision:
    """A wide rail tenoned into a stile: the glued part, and slack for the part that slides.

    Parameters
    ----------
    swing : Swing
        Of the tenoned width of the rail.
    glued_mm : float
        Part of that width which is glued, measured from the edge kept flush. [mm]
    slack_mm : float
        Room in the mortise past the unglued edge of the tenon. [mm]

    Returns
    -------
    Provision
    """
    _above_0(glued_mm=glued_mm)
    if glued_mm > swing.size_mm:
        raise ValueError(f"glued_mm is {glued_mm}; at most the tenoned width, {swing.size_mm}.")
    if not slack_mm >= 0:
        raise ValueError(f"slack_mm is {slack_mm}; 0 or more.")
    glued = cross_grain_glue(swing.of(glued_mm), "wide tenon").findings
    free = swing.size_mm - glued_mm
    loose = swing.of(free) if free else Swing(0.0, 0.0, 0.0, swing.says, swing.source)
    findings = (*glued, _needs(
        "wide tenon", "slack for the sliding part", loose.grows_mm, slack_mm, swing,
        f"The {free:g} mm left unglued grows {loose.grows_mm:.1f} mm; the mortise leaves {slack_mm:g} mm.",
        f"Lengthen that mortise by {math.ceil(_lacks(loose.grows_mm, slack_mm))} mm under the shoulder.",
    ))
    return Provision(
        "wide tenon", findings,
        {"width_mm": swing.size_mm, "slack_mm": slack_mm},
        {"width_mm": swing.size_mm - swing.shrinks_mm, "slack_mm": slack_mm + loose.shrinks_mm},
        {"width_mm": swing.size_mm + swing.grows_mm, "slack_mm": slack_mm - loose.grows_mm},
        swing.says, swing.source,
    )


def pegged_shoulder(swing: Swing, most_gap_mm: float) -> Provision:
    """How far a tenon's shoulder opens when the mortised member dries between it and the peg.

    Parameters
    ----------
    swing : Swing
        Of the distance from the shoulder to the peg (or to the far end of a glued tenon), across
        the grain of the mortised member.
    most_gap_mm : float
        That may show. [mm]

    Returns
    -------
    Provision
    """
    _above_0(most_gap_mm=most_gap_mm)
    finding = _needs(
        "shoulder", "opening when driest", swing.shrinks_mm, most_gap_mm, swing,
        f"The shoulder opens {swing.shrinks_mm:.1f} mm at the driest; {most_gap_mm:g} mm may show.",
        "Set the peg nearer the shoulder, offset it so that it draws, or make the mortised member drier.",
    )
    return Provision(
        "shoulder", (finding,), {"gap_mm": 0.0, "distance_mm": swing.size_mm},
        {"gap_mm": swing.shrinks_mm, "distance_mm": swing.size_mm - swing.shrinks_mm},
        {"gap_mm": 0.0, "distance_mm": swing.size_mm + swing.grows_mm}, swing.says, swing.source,
    )


@dataclass(frozen=True)
class Mitre:
    """How a mitre opens for one change of width."""

    gap_mm: float
    """At the inside when the members shrank, at the outside when they grew; square to the joint. [mm]"""
    opening_deg: float
    """Between the two cut ends. [deg]"""
    open_at: str
    """'inside', 'outside' or 'neither'."""


def mitre_opening(width_mm: float, change_mm: float, corner_deg: float) -> Mitre:
    """How far and where a mitre opens when both members change width by the same.

    Parameters
    ----------
    width_mm : float
        Of either member, when the mitre was cut and closed. [mm]
    change_mm : float
        Of that width; negative when it shrank. [mm]
    corner_deg : float
        Of the frame: 90 for a square one. [deg]

    Returns
    -------
    Mitre

    Raises
    ------
    ValueError
        For a width not above 0, a change of a fifth of it or more, a corner outside 30 to 150.

    Notes
    -----
    Along its grain a member keeps its length. A cut at half the corner f over a width w runs
    w / tan f along the grain; the width now w (1 + e), its angle is atan((1 + e) tan f). Both ends
    turn alike, so the joint opens by twice the difference: at the inside when dried, at the outside
    when damp, as the old building books draw it.

    Examples
    --------
    100 mm members, 2 mm narrower: the inside corners part by the root of 2 times 2 mm:

    >>> found = mitre_opening(100, -2, 90)
    >>> round(found.gap_mm, 2), round(found.opening_deg, 2), found.open_at
    (2.83, 1.16, 'inside')
    """
    _above_0(width_mm=width_mm)
    if not abs(change_mm) < width_mm / 5:
        raise ValueError(f"change_mm is {change_mm}; less than a fifth of the width, {width_mm}. Wood does not move so far.")
    if not 30 <= corner_deg <= 150:
        raise ValueError(f"corner_deg is {corner_deg}; 30 to 150.")
    half = math.radians(corner_deg / 2)
    now = math.atan((1 + change_mm / width_mm) * math.tan(half))
    turned = half - now
    cut = math.hypot(width_mm / math.tan(half), width_mm + change_mm)
    where = "neither" if change_mm == 0 else "inside" if change_mm < 0 else "outside"
    return Mitre(abs(2 * cut * math.sin(turned)), abs(math.degrees(2 * turned)), where)


def mitre(swing: Swing, corner_deg: float, most_gap_mm: float) -> Provision:
    """A mitred corner in both seasons against the gap that may show.

    Parameters
    ----------
    swing : Swing
        Of the members' width.
    corner_deg : float
        Of the frame: 90 for a square one. [deg]
    most_gap_mm : float
        That may show, or that the joint's key must hold shut. [mm]

    Returns
    -------
    Provision
    """
    _above_0(most_gap_mm=most_gap_mm)
    dry = mitre_opening(swing.size_mm, -swing.shrinks_mm, corner_deg)
    wet = mitre_opening(swing.size_mm, swing.grows_mm, corner_deg)
    mend = "Narrower members, a key or spline through the joint, quarter-sawn stock, or a butt joint instead."
    findings = tuple(
        _needs(
            "mitre", f"opening when {state}", found.gap_mm, most_gap_mm, swing,
            f"Opens {found.gap_mm:.1f} mm ({found.opening_deg:.2f} degrees) at the {where} when {state}; {most_gap_mm:g} mm may show.",
            mend,
        )
        for state, where, found in (("driest", "inside", dry), ("wettest", "outside", wet))
    )
    return Provision(
        "mitre", findings,
        {"width_mm": swing.size_mm, "gap_mm": 0.0, "opening_deg": 0.0},
        {"width_mm": swing.size_mm - swing.shrinks_mm, "gap_mm": dry.gap_mm, "opening_deg": dry.opening_deg},
        {"width_mm": swing.size_mm + swing.grows_mm, "gap_mm": wet.gap_mm, "opening_deg": wet.opening_deg},
        swing.says, swing.source,
    )


def _needs(subject, what, need_mm, there_mm, swing, says, mend, rule=SUM_RULE) -> Finding:
    """A finding on room: nothing wanted stands, whatever is there."""
    if need_mm <= 0:
        return Finding(subject, what, Verdict.STANDS, says, 0.0, max(there_mm, 0.0), "mm", rule, swing.source, "", STAGE)
    return from_ratio(
        subject, what, need_mm, max(there_mm, 0.0), "mm", rule=rule, source=swing.source, mend=mend, stage=STAGE, says=says
    )


def _lacks(need_mm: float, there_mm: float) -> float:
    """What more is wanted for a check to stand without another look. [mm]"""
    return max(need_mm / EASY - there_mm, 0.0)


def _keeps(subject, what, least_mm, kept_mm, swing, says, mend) -> Finding:
    return from_ratio(
        subject, what, least_mm, max(kept_mm, 0.0), "mm", rule=f"{SUM_RULE}; least hold: the maker's",
        source=swing.source, mend=mend, stage=STAGE, says=says,
    )


def _above_0(**given: float) -> None:
    for name, value in given.items():
        if not value > 0:
            raise ValueError(f"{name} is {value}; above 0.")
