"""What screens share: how they stand and what keeps them from tipping, how long they are, and refusing in words."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import manifold3d
import numpy as np

from studio_lib.brief.refusals import (
    PULLS, SAFETY, WIND_SOURCE, leave_of_others, pull_to_tip_n, tipped_by_wind, wind_force_n, wind_speed_m_s,
)
from studio_lib.brief.said import by_ceiling_asked
from studio_lib.brief.wishes import FORCE_FACTOR
from studio_lib.commission import FIXED as FIXED_TRIGGER
from studio_lib.commission import Brief, ScreenWish
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.forms.clamped import CLAMPED, TO_RAILING, WIND_TRIGGER, Clamps, clamp_findings, drilled
from studio_lib.forms.form import BRIEF_AT_MOST, Proposal, Size, SizeRefused
from studio_lib.forms.under_ceiling import under_ceiling_findings
from studio_lib.piece import Member, Piece
from studio_lib.structure.cases import LEAN_MM
from studio_lib.structure.fixings import BOTH, RAILING, UNDER_CEILING
from studio_lib.structure.loads import G, Load, loads_of

BALLAST = Size("ballast_kg", "Weight set low, on the feet or bottom rails", 0, 200, "kg", "frame")
NO_BALLAST = Proposal(0.0, "none; a planter of sand or flat steel counts against tipping and is carried in with it; its price goes under what is bought in", "statics")


HELD_BY = ("fixed to the floor", "fixed to a wall at one end", "fixed to the floor and a wall at one end", f"fixed {RAILING}", f"fixed {BOTH}")
"""Ways of fixing that are named; a screen only said to be fixed is asked which."""
BY_CEILING = tuple(f"fixed {held}" for held in UNDER_CEILING)
"""Ways of fixing that the ceiling has a part in; after all others in the list of how a screen stands, for documents keep a place in it."""
NOT_NAMED = "fixed to a wall or floor"


def fixed_by(stands: str) -> str:
    """How a screen is fixed, by the words for how it stands: 'to the floor'; 'not named' where nobody said; '' where it stands free."""
    if stands == TO_RAILING:
        return CLAMPED
    return stands.removeprefix("fixed ") if stands in HELD_BY + BY_CEILING else "not named" if stands == NOT_NAMED else ""


def answer_of(fixed: str) -> str:
    """The answer at 'It stands' that says so."""
    return NOT_NAMED if fixed == "not named" else TO_RAILING if fixed == CLAMPED else f"fixed {fixed}"


MEMBRANE = "tiles over a membrane"
NOT_BORED = {
    MEMBRANE: (MEMBRANE, "lets water through to what is under it", "nothing is fixed through a membrane that keeps water out"),
    "heated floor": ("heated from within", "meets a pipe or a cable of the heating", "nothing is fixed into a floor with pipes or cables of its heating in it"),
}
"""Ground that takes no hole (``commission.Brief.ground``): what it is, what a hole does to it, and the rule."""


def how_fixed(piece: Piece, fixed: str, ground: str = "", undrilled: bool = False) -> Finding:
    """What holds a screen, as a finding that stays open until someone names it."""
    rule = "a screen that does not stand free is held by something that is named"
    if fixed == "not named":
        return Finding(piece.name, "how it is fixed", Verdict.OPEN, "fixed, but to what is not known yet", rule=rule, source="common practice, no source",
                       mend="Say at 'It stands' on Sizes: clamped to a railing; all else that fixes it is drilled in, and nothing may be." if undrilled else
                       f"Say at 'It stands' on Sizes: {'' if ground in NOT_BORED else 'to the floor, '}to a wall at one end, at both its ends, to the ceiling, or clamped to a railing.", stage="sizes")
    return Finding(piece.name, "how it is fixed", Verdict.STANDS, f"fixed {fixed}", rule=rule, source="common practice, no source", stage="sizes")


def holed(piece: Piece, fixed: str, ground: str) -> list[Finding]:
    """That no floor is bored for fixings that has a membrane under it or heating in it."""
    if "floor" not in fixed or ground not in NOT_BORED:
        return []
    what, does, rule = NOT_BORED[ground]
    others = ", ".join(f"'fixed {held}'" for held in (RAILING, BOTH, *UNDER_CEILING[:2]))
    return [Finding(
        piece.name, "holes in the floor", Verdict.FAILS, f"'It stands' on Sizes is set to 'fixed {fixed}', and the floor is {what}: a hole for a fixing "
        f"{does}", rule=rule, source="common practice, no source",
        mend=f"Choose {others} or '{TO_RAILING}' at 'It stands' on Sizes: the floor is not bored then. "
        "Or on feet, with weight set low.",
        stage="sizes",
    )]


def blown_on(piece: Piece, brief: Brief, height_mm: float, width_mm: float, solid_share: float, fixed: str,
             clamps: Clamps | None = None) -> list[Finding]:
    """How hard a gust blows on a screen that is fixed, in all and on what holds it; () indoors. [N]"""
    if not brief.place.startswith("outdoors"):
        return []
    speed = wind_speed_m_s(brief.wind, brief.wind_m_s)
    if speed is None:
        return [_wind_unknown(piece, brief)]
    force = wind_force_n(width_mm, height_mm, min(max(solid_share, 0.01), 1.0), speed, FORCE_FACTOR)
    each = (f"{force / clamps.leaves * (1 if clamps.leaves > 1 else 0.5):.0f} N on the upright that carries most" if clamps else
            f"{force / 2:.0f} N at each end" if fixed in (RAILING, BOTH) else f"{force / 2:.0f} N at the ceiling and as much at the feet" if fixed in UNDER_CEILING else f"{force * width_mm / 2000:.0f} N m about the wall" if fixed.startswith("to a wall")
            else f"{force * height_mm / 2000:.0f} N m about the floor")
    source = "ASCE 7-16 29.3 for q and openings; open frame factors from memory"
    if brief.wind_m_s is None:
        source += f"; {speed:g} m/s for {brief.wind!r}: {WIND_SOURCE}"
    return [Finding(
        piece.name, "wind on what holds it", Verdict.STANDS,
        f"gusts of {speed:g} m/s blow on its {width_mm:.0f} x {height_mm:.0f} mm, {100 * solid_share:.0f} % of it timber, with {force:.0f} N in all: {each}",
        rule="what holds a screen is sized for the wind on it; told of, with nothing to spare added", source=source, stage="sizes",
    )]


def _wind_unknown(piece: Piece, brief: Brief) -> Finding:
    here = "Say it under 'Where it stands'."
    if getattr(brief, "elsewhere", False):
        here = "Let the place of the brief be this one, where wind is asked for, and give the other pieces theirs."
    return Finding(piece.name, "wind", Verdict.OPEN, "how hard the wind blows there is not known yet", mend=here, stage="sizes")


def usual_loads(brief: Brief) -> dict[str, Load]:
    """Loads of a screen as its use asks."""
    return loads_of("screen", brief.use, None, brief.near_children)


ASSUMED_KG_M3 = 700.0
"""Weight of a middling hardwood, while no timber is chosen."""


def refused_as(field: str, changes) -> Callable:
    """A wrapper of joints' own refusals: ValueError becomes SizeRefused of a size, or of the maker's changes."""
    def wrap(make, *args, **more):
        try:
            return make(*args, **more)
        except SizeRefused:
            raise
        except ValueError as error:
            raise SizeRefused("adjustments" if any(not c.off for c in changes) else field, str(error)) from None
    return wrap


def weight_n(piece: Piece) -> float:
    """Weight of the members' blocks, by the timber's density or a middling hardwood's. [N]"""
    from studio_lib.timber import timber

    total = 0.0
    for m in piece.members:
        try:
            density = timber(m.timber).density_12pct_kg_m3
        except KeyError:
            density = ASSUMED_KG_M3
        total += m.length_mm * m.width_mm * m.thickness_mm * 1e-9 * density * G
    return total


@dataclass(frozen=True)
class Ground:
    """How far the middle of its weight is from what a piece would tip over. [mm]"""

    least_mm: float
    """To the nearest edge of what its feet or leaves enclose."""
    across_mm: float
    """To its foremost or hindmost point."""
    deep_mm: float
    """From front to back, all that stands on the floor."""


def ground(piece: Piece) -> Ground:
    """What a piece stands on, as a rope round its feet lies; weight low down is taken as spread evenly over them."""
    mass = [m.length_mm * m.width_mm * m.thickness_mm for m in piece.members]
    middle = [sum(k * (m.piece_box.lo[a] + m.piece_box.hi[a]) / 2 for k, m in zip(mass, piece.members)) / sum(mass) for a in (0, 1)]
    corners = [p for m in piece.members for p in _corners(m)]
    floor = min(p[2] for p in corners)
    return _enclosed([p[:2] for p in corners if p[2] < floor + 2.0], middle)


def zigzag(leaves: int, leaf_mm: float, thickness_mm: float, fold_deg: float) -> Ground:
    """What folding leaves stand on, opened to an angle at every hinge."""
    turn = math.radians((180 - fold_deg) / 2)
    c, s = leaf_mm * math.cos(turn), leaf_mm * math.sin(turn)
    out = thickness_mm / 2 * math.cos(turn)
    ends = [(k * c, s * (k % 2)) for k in range(leaves + 1)]
    middle = (leaves * c / 2, s / 2)
    return _enclosed([(x, y + way) for x, y in ends for way in (-out, out)], middle)


def _corners(m: Member) -> list[tuple[float, float, float]]:
    return [m.placement.to_piece((x, y, z)) for x in (0.0, m.length_mm) for y in (0.0, m.width_mm) for z in (0.0, m.thickness_mm)]


def _enclosed(points, middle) -> Ground:
    """The least outline round points on the floor, and how far a point within it is from its edges."""
    outline = np.asarray(manifold3d.CrossSection.hull_points([(float(x), float(y)) for x, y in points]).to_polygons()[0])
    side, inward = np.roll(outline, -1, axis=0) - outline, np.asarray(middle) - outline
    least = float(((side[:, 0] * inward[:, 1] - side[:, 1] * inward[:, 0]) / np.linalg.norm(side, axis=1)).min())
    front, back = outline[:, 1].min(), outline[:, 1].max()
    return Ground(max(least, 1.0), max(float(min(middle[1] - front, back - middle[1])), 1.0), float(back - front))


LONG_FOOT_MM = 800.0
"""Longer feet are tripped over; judgement of ours."""
BALLAST_MOST_KG = 80.0
SAND_KG_L = 1.6
"""Dry sand, loose; from memory."""
FOLDED_DEG = 90.0


@dataclass(frozen=True)
class Free:
    """How a screen stands free, for what would keep it from tipping."""

    foot_mm: float | None
    """Length of its feet; None where it stands in folding leaves."""
    length_mm: float
    """Unfolded."""
    thickness_mm: float
    ballast_kg: float = 0.0
    leaves: int = 1
    fold_deg: float = 180.0


def leant_on(piece: Piece, free: Free, weight: float, force_n: float, whose: str, who: str, brief: Brief) -> Finding:
    """Whether a lean or a pull tips a screen that stands free, with 1.5 to spare, and what a maker can do about it. ``weight`` in N."""
    stands = ground(piece)
    arm, high = stands.least_mm, min(LEAN_MM, piece.overall_mm[2])
    tips, asked = pull_to_tip_n(weight, arm, high), SAFETY * force_n
    weighed = f", {free.ballast_kg:g} kg of it set low," if free.ballast_kg else ""
    return from_ratio(
        piece.name, "pulled over" if who == "a lean" else "pulled over by a child", asked, tips, "N",
        rule=f"{who} of {force_n:.0f} N at {high:.0f} mm ({whose}), {SAFETY:g} to spare", source=f"statics; {force_n:.0f} N is {whose}",
        mend=_kept_from_tipping(free, stands, weight, asked, high, tips, who, brief), stage="sizes",
        says=f"{weight:.0f} N{weighed} x {arm:.0f} mm / {high:.0f} mm: {tips:.0f} N tips it; {force_n:.0f} N ({whose}) x {SAFETY:g} is {asked:.0f} N",
    )


def _kept_from_tipping(free: Free, stands: Ground, weight: float, asked: float, high: float, tips: float, who: str, brief: Brief) -> str:
    """Remedies a maker can use, the figures worked out. [N], [mm]"""
    said = []
    if free.foot_mm is not None:
        long = 10.0 * math.ceil(asked * high / weight / 5)
        foot = max(free.foot_mm, LONG_FOOT_MM)
        if long <= foot and long < free.length_mm:
            said.append(f"Make the feet {long:.0f} mm long.")
        else:
            where = f"with its feet of {foot:.0f} mm" if foot == free.foot_mm else f"with feet of {foot:.0f} mm, longer ones are tripped over"
            said += _weighed(where, asked * high / min(foot / 2, free.length_mm / 2), weight, free, "between the feet")
        best = max((zigzag(n, free.length_mm / n, free.thickness_mm, FOLDED_DEG) for n in range(2, 9) if free.length_mm / n >= 300), key=lambda g: g.least_mm, default=None)
        if best is not None:
            than = "firmer" if best.least_mm > stands.least_mm else "less firm"
            said.append(f"Folding leaves at {FOLDED_DEG:.0f} degrees would stand {best.deep_mm:.0f} mm deep, {than}: {weight * best.least_mm / high:.0f} N tips them.")
    else:
        better = [(d, zigzag(free.leaves, free.length_mm / free.leaves, free.thickness_mm, d)) for d in (120.0, 105.0, 90.0, 75.0)]
        deg, best = max(better, key=lambda b: b[1].least_mm)
        holds = weight * best.least_mm / high
        if deg < free.fold_deg and best.least_mm > 1.02 * stands.least_mm:
            enough = "" if holds >= asked else ", not enough by itself"
            said.append(f"Set the angle between leaves to {deg:.0f} degrees: it stands {best.deep_mm:.0f} mm deep then, and {holds:.0f} N tips it{enough}.")
        else:
            best, holds, deg = stands, tips, free.fold_deg
        if holds < asked:
            said += _weighed(f"at {deg:.0f} degrees, {best.deep_mm:.0f} mm deep", asked * high / best.least_mm, weight, free, "or a base shelf fixed to the bottom rails")
            said.append("Fewer, wider leaves stand deeper." if free.leaves > 2 else "Wider leaves stand deeper.")
    said.append("A lower one gains nothing: it is lighter too.")
    if who == "a lean":
        said.append(f"As it is it holds a lean of {tips / SAFETY:.0f} N: where nobody can lean on it, set what does come as your own figure under Loads.")
    if brief.nothing_drilled:
        if brief.railing_mm:
            said.append("Or clamp it to the railing ('It stands' on Sizes), with the leave of whoever owns it.")
    elif brief.needs_leave is None or brief.fixed_to_building:
        to = "at its ends, or to the ceiling" if brief.ground in NOT_BORED else "to a wall, a floor or the ceiling"
        said.append(f"Or fix it {to} ('It stands' on Sizes), with the leave of whoever owns it.")
    return " ".join(said)


def _weighed(where: str, needs_n: float, weight: float, free: Free, how: str) -> list[str]:
    """Weight low down that keeps it standing, in all; in words."""
    kg = math.ceil(free.ballast_kg + (needs_n - weight) / G)
    if kg > BALLAST_MOST_KG:
        return [f"Weight low down alone would take {kg} kg ({where}): too much to carry in."]
    litres = math.ceil(kg / SAND_KG_L)
    return [f"Set {kg} kg low down ({where}): {litres} litres of dry sand in a planter {how}, or flat steel. Give it as 'Weight set low' on Sizes."]


def standing_findings(
    piece: Piece, brief: Brief, height_mm: float, width_mm: float, solid_share: float, free: Free | None, loads: dict[str, Load],
    overhead: bool = False, fixed: str = "not named", clamps: Clamps | None = None,
) -> list[Finding]:
    """Wind, a lean and a child's pull on a screen that stands free; whose leave is needed where it is fixed.

    ``free``: how it stands free; None where it is fixed, ``fixed`` then says how, and ``clamps`` to what railing. ``loads``: those set for the piece, of which its lean is 'push'.
    """
    outdoors = brief.place.startswith("outdoors")
    if free is None:
        triggers = ["fixed to building"] + ([WIND_TRIGGER] if outdoors else []) + (["hangs overhead"] if overhead else [])
        return [
            how_fixed(piece, fixed, brief.ground, brief.nothing_drilled), *([] if brief.nothing_drilled else holed(piece, fixed, brief.ground)),
            *drilled(piece, fixed, brief), *(under_ceiling_findings(piece, brief, height_mm) if fixed in UNDER_CEILING else ()), *blown_on(piece, brief, height_mm, width_mm, solid_share, fixed, clamps),
            *(clamp_findings(piece, brief, width_mm, height_mm, solid_share, clamps, loads, weight_n(piece) / G) if clamps else ()),
            *(_on_sizes(f, fixed) for f in leave_of_others(piece.name, tuple(triggers), brief.leave_given)),
        ]
    weight = weight_n(piece) + free.ballast_kg * G
    found = [leant_on(piece, free, weight, loads["push"].force_n, loads["push"].whose, "a lean", brief)]
    if brief.near_children:
        pull, _, _ = PULLS["a child's pull"]
        found.append(leant_on(piece, free, weight, pull, "a proposal of ours", "a child's pull", brief))
    if not outdoors:
        return found
    speed = wind_speed_m_s(brief.wind, brief.wind_m_s)
    if speed is None:
        return [*found, _wind_unknown(piece, brief)]
    foot = ground(piece).across_mm
    wind = tipped_by_wind(piece.name, width_mm, height_mm, min(max(solid_share, 0.01), 1.0), weight, foot, speed, FORCE_FACTOR)
    found.append(wind)
    if wind.verdict is Verdict.FAILS:
        found += leave_of_others(piece.name, ("stands in the wind",), brief.leave_given)
    return found


HOLDS = {"to the floor": "the floor", "to a wall at one end": "the wall", "to the floor and a wall at one end": "the floor and the wall",
         RAILING: "the wall and the railing", BOTH: "what stands at either end", CLAMPED: "the railing",
         **dict(zip(UNDER_CEILING, ("the ceiling", "the ceiling and the wall", "the floor and the ceiling")))}
"""What a screen hands its loads on to, by how it is fixed."""


def _on_sizes(finding: Finding, fixed: str) -> Finding:
    """A stop that comes of how the piece stands, in the words of how it is fixed, with where that is set."""
    held = HOLDS.get(fixed, "what holds it")
    if finding.subject.endswith(WIND_TRIGGER) and fixed != "not named":
        who = finding.says.rpartition(": ")[2]
        railing = " A railing is there to keep people from falling: whether it may carry a screen in the wind is for its owner and an engineer to say." if "railing" in held else ""
        return replace(finding, says=f"it is fixed {fixed}, outdoors, and hands the wind on to {held}: {who}",
                       mend=finding.mend and f"Have an engineer size its fixings and look at {held}.{railing}")
    if not finding.subject.endswith(FIXED_TRIGGER):
        return finding
    if finding.mend and fixed != "not named":
        finding = replace(finding, mend=f"Have the owner's leave in writing, and {held} looked at by whoever fixes it.")
    return replace(
        finding, says=f"{finding.says}; it is asked because 'It stands' on Sizes is set to '{answer_of(fixed)}'",
        mend=finding.mend and f"{finding.mend} Or choose another answer at 'It stands' on Sizes.",
    )


def stands_proposed(brief: Brief, ways: tuple[str, ...]) -> Proposal:
    """Free on feet, unless the brief says that it is fixed; clamped where nothing may be drilled, held by the ceiling where the client's words go up to it.

    ``ways``: the answers at 'It stands' of a form.
    """
    feet, fixed, clamped = 0, ways.index(NOT_NAMED), ways.index(TO_RAILING)
    up = by_ceiling_asked(brief, brief.ground in NOT_BORED)
    if up and not brief.nothing_drilled and brief.needs_leave != ():
        return Proposal(ways.index(f"fixed {up}"), "up to the ceiling, in the client's words", "brief")
    held = any(isinstance(w, ScreenWish) and w.held_down for w in brief.wishes or ())
    if (brief.fixed_to_building or held) and brief.nothing_drilled:
        return Proposal(clamped, "the brief has it fixed, and nothing may be drilled", "brief")
    if brief.fixed_to_building or held:
        return Proposal(fixed, "the brief says that it is fixed", "brief")
    if brief.needs_leave is not None:
        return Proposal(feet, "it stands by itself: the brief fixes it to nothing", "brief")
    return Proposal(feet, "it stands by itself until the brief says that it may be fixed", "a starting point of ours")


def screen_length(brief: Brief, usual_mm: float, why: str, most_mm: float) -> Proposal:
    """A screen's length: as wished, as limited, or a usual one; never the length of the room, but within it."""
    wished = next((w.width_mm for w in brief.wishes or () if isinstance(w, ScreenWish) and w.width_mm), None)
    long, why, source = (wished, "the width wished for", "brief") if wished else (
        (brief.most_length_mm, "as long as the brief allows", BRIEF_AT_MOST) if brief.most_length_mm else (usual_mm, why, "a starting point of ours"))
    if brief.space_length_mm and brief.space_length_mm < long:
        long, why, source = brief.space_length_mm, "the space in the brief", BRIEF_AT_MOST
    return Proposal(min(max(long, 300.0), most_mm), why, source)


LEDGES = ("lower rail", "stretcher", "slat")
SCREEN_LEDGES = ("rail", "bar", "let-in bar", "slat", "foot")
"""Roles of members that a child steps on where they lie level. How deep a ledge must be is not asked: between slats toes go in."""


def ledges(piece: Piece) -> tuple[float, ...]:
    """Heights above the floor of the tops of what lies level in a piece and is stepped on, from below. [mm]"""
    roles = SCREEN_LEDGES if "screen" in piece.form else LEDGES
    floor = min((m.piece_box.lo[2] for m in piece.members), default=0.0)
    return tuple(sorted({round(m.piece_box.hi[2] - floor, 1) for m in piece.members if m.role in roles and abs(m.placement.along[2]) < 0.7}))


def climbing(piece: Piece, brief: Brief, heights_mm: tuple[float, ...], mend: str = "Turn the slats upright") -> list[Finding]:
    """A word of caution where level slats make a ladder that children can reach; beside a drop the piece's own check speaks."""
    children = brief.near_children
    low, high = 150.0, 760.0
    steps = [h for h in heights_mm if low <= h <= high]
    if not children or len(steps) < 2 or brief.beside_a_drop:
        return []
    return [Finding(
        piece.name, "a ladder of slats", Verdict.LOOK_AGAIN, f"{len(steps)} level edges from {low:.0f} to {high:.0f} mm above the floor",
        rule="level slats within a child's reach are climbed", source="common practice, no source",
        mend=f"{mend}, or fix the screen so that a climbing child cannot pull it over.", stage="sizes",
    )]


