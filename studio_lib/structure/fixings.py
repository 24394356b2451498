"""What the fixings of a screen must hold: at the floor and at its two ends by the frame's own reactions, at a wall alone by moments about its stile."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from studio_lib.brief.refusals import SAFETY
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Piece
from studio_lib.piece.holding import Strengths, lag_pull_n
from studio_lib.structure.as_frame import Model
from studio_lib.structure.cases import LEAN_MM
from studio_lib.structure.loads import Load, serves
from studio_lib.structure.opened import Setting
from studio_lib.structure.railing import CLAMPED
from studio_lib.structure.stability import FRICTION, STUD_GRAVITY

SHOE_MM = 100.0
"""How far apart across the screen the fixings of a shoe or plate under a stile lie; a proposal of ours."""
AT_WALL = 3
"""Fixings in the stile at a wall that stands without the floor; a proposal of ours."""
SCREW_MM, THREAD_MM, SHORT = 6.35, 60.0, 1.6
"""The coach screw that a wall stile is judged by, and NDS's factor for a moment's load."""
FLOOR, WALL, ENDS, LEAVES = (
    "load on its fixing to the floor", "load on its fixing to the wall", "load on its fixings at the ends", "load on its fixing leaf to leaf")
UPRIGHTS = "load on its fixing to the uprights"
IN_THE_WIND = " in the wind"
RAILING, BOTH = "between a wall and a railing", "between two walls or posts"
CEILING, FEET = "load on its fixing to the ceiling", "load on its fixing at the feet"
UNDER_CEILING = CEILING_ALONE, CEILING_AND_WALL, FLOOR_AND_CEILING = (
    "to the ceiling", "to the ceiling and a wall at one end", "to the floor and the ceiling")
"""Ways of fixing that the ceiling has a part in; in the first two nothing goes into the floor."""
FROM_END_MM = 150.0
"""From the foot and the top of a screen to its lowest and highest fixing; a proposal of ours."""
RAILING_MM = 1000.0
"""The top rail of a railing, which a screen cannot be fixed above, while none is measured: guards stand 1000 to 1100 mm high, from memory; the one there decides."""
BOLT_MM, BOLTS, WASHER_D = 8.0, 3, 3.0
"""Connecting bolts between two leaves, and their washers; a proposal of ours. Washers of three diameters: EN 1995-1-1 10.4.3."""
WASHER_TIMES = 3.0
"""A washer presses three times what timber bears across its grain: EN 1995-1-1 8.5.2 (2)."""
BOLT_N = 0.9 * 400 * 36.6 / 1.25
"""Pull of an M8 bolt of class 4.6: EN 1993-1-8 table 3.4. [N]"""
LEAN_CASES, WIND_CASES = ("sideways", "from front to back"), ("over its face",)


def held_at_ends(piece: Piece, setting: Setting) -> tuple[tuple[float, ...], tuple[float, ...]] | None:
    """Heights of the fixings at the left and the right end of a screen that is held at both; None where it is not. [mm]

    Three at a wall or post, two at a railing, which a screen is not fixed above; leaves in a row are held to each other as at a wall.
    Under a ceiling the left end alone has a wall, and no end where several stand in a row.
    """
    if setting.fixed == CLAMPED and setting.clamps:
        held = on_uprights_mm(piece.overall_mm[2], *setting.clamps)
        return held, held
    if setting.fixed in UNDER_CEILING:
        high = piece.overall_mm[2]
        return (min(FROM_END_MM, high / 4), high / 2) if setting.fixed == CEILING_AND_WALL and setting.in_row == 1 else (), ()
    if setting.fixed not in (RAILING, BOTH) or serves(piece.form) != "screen":
        return None
    high = piece.overall_mm[2]
    low, top = min(FROM_END_MM, high / 4), high - min(FROM_END_MM, high / 4)
    wall = (low, (low + top) / 2, top)
    return wall, (low, min(top, setting.railing_mm or RAILING_MM)) if setting.fixed == RAILING else wall


def on_uprights_mm(height_mm: float, top_mm: float, low_mm: float, goes_up: bool) -> tuple[float, ...]:
    """Heights at which a leaf is held to the uprights at its two sides: at both clamps of theirs, and near its top where they go on. [mm]"""
    at = (min(low_mm, height_mm / 4), min(top_mm, height_mm - min(50.0, height_mm / 8)))
    return (*at, height_mm - min(FROM_END_MM, (height_mm - top_mm) / 2)) if goes_up and height_mm - top_mm > SHOE_MM else at


def screen_fixings(
    piece: Piece, model: Model, cases, answers, push: Load | None, setting: Setting, strong: dict[str, Strengths] | None = None,
) -> list[Finding]:
    """What each fixing of a fixed screen must hold under the lean and in the wind, with something to spare; () where it stands free.

    Where it is fixed to a wall as well, the floor is reckoned to hold it alone: the far end has nothing of the wall. ``strong``:
    design strengths by timber, for the washers of leaves bolted together.
    """
    if not setting.fixed or push is None or serves(piece.form) != "screen":
        return []
    if setting.fixed == CLAMPED:
        windy = [WIND_CASES] if setting.wind_n else []
        return [_on_uprights(piece, model, cases, answers, setting, where) for where in (LEAN_CASES, *windy)]
    if setting.fixed in UNDER_CEILING:
        return [f for where in (LEAN_CASES, *([WIND_CASES] if setting.wind_n else [])) for f in _under_ceiling(piece, model, cases, answers, setting, where)]
    if held_at_ends(piece, setting):
        found = [_ends(piece, model, cases, answers, setting, LEAN_CASES)]
        if setting.wind_n:
            found.append(_ends(piece, model, cases, answers, setting, WIND_CASES))
            if setting.in_row > 1 and strong:
                found.append(_leaf_to_leaf(piece, setting, strong))
        return found
    blows = Load("a gust over its face", setting.wind_n, "ASCE 7-16 29.3 and the wind of the brief, as on Sizes")
    found = []
    if setting.fixed != "to a wall at one end":
        found.append(_floor(piece, model, cases, answers, setting, LEAN_CASES))
        if setting.wind_n and "floor" in setting.fixed:
            found.append(_floor(piece, model, cases, answers, setting, WIND_CASES))
    if "wall" in setting.fixed:
        found.append(_wall(piece, push, setting))
        if setting.wind_n and "floor" not in setting.fixed:
            found.append(_wall(piece, blows, setting, True))
    return found


def _ends(piece: Piece, model: Model, cases, answers, setting: Setting, where: tuple[str, ...]) -> Finding:
    """The hardest that any one fixing at either end is pulled, across the screen and along it."""
    pins = np.flatnonzero(model.soft.fixed[:, 0])
    ks = [k for k, c in enumerate(cases) if c.where in where]
    # The two outer ends of a row take all its wind; a lean falls on one leaf.
    held = SAFETY * (setting.in_row if where == WIND_CASES else 1) * np.abs(np.array([a.reactions[np.ix_(ks, pins)] for a in answers]))[..., :3]
    across, along = float(held[..., 1].max()), float(held[..., 0].max())
    left = model.soft.nodes[pins, 0] < model.soft.nodes[:, 0].mean()
    at = [float(held[..., side, 1].sum(-1).max()) for side in (left, ~left)]
    load, windy = cases[ks[0]].load, where == WIND_CASES
    heights = [" and ".join(f"{h:.0f}" for h in hs).replace(" and ", ", ", max(len(hs) - 2, 0)) for hs in held_at_ends(piece, setting)]
    placed = (f"{len(held_at_ends(piece, setting)[0])} at the wall, {heights[0]} mm up, and 2 at the railing, {heights[1]} mm up" if setting.fixed == RAILING
              else f"{left.sum()} at each end, {heights[0]} mm up")
    of_row = " at either end of the row" if setting.in_row > 1 else ""
    under = f"in a gust of {setting.in_row * load.force_n:.0f} N" if windy else f"its fixings are {placed}; under a lean of {load.force_n:.0f} N"
    return Finding(
        piece.name, ENDS + IN_THE_WIND * windy, Verdict.STANDS,
        f"{under} the hardest worked{of_row} must hold {across:.0f} N across the screen and {along:.0f} N along it, all those of one end "
        f"{max(at):.0f} N across",
        rule=f"{load.what}, {load.force_n:.0f} N, {SAFETY:g} to spare",
        source=f"reactions of the frame of the whole piece, held at its ends and not at the floor; load {load.source}; places of fixings a proposal of ours",
        stage="sizes",
    )


def _under_ceiling(piece: Piece, model: Model, cases, answers, setting: Setting, where: tuple[str, ...]) -> list[Finding]:
    """What ceiling, wall and feet must hold of a screen whose uprights are held level at their tops and stand on the floor."""
    ks = [k for k, c in enumerate(cases) if c.where in where]
    load, windy, high = cases[ks[0]].load, where == WIND_CASES, piece.overall_mm[2]
    fixed = model.soft.fixed
    z = model.soft.nodes[:, 2]
    feet = np.flatnonzero(fixed[:, 2] & (z < z.min() + FROM_END_MM / 2))
    tops, wall = np.flatnonzero(fixed[:, 0] & ~fixed[:, 2]), np.setdiff1d(np.flatnonzero(fixed[:, 2]), feet)
    reactions = SAFETY * np.abs(np.array([a.reactions[ks] for a in answers]))
    # Someone leans on an upright itself as well: what its two ends take of it then follows by levers.
    own = 0.0 if windy else SAFETY * load.force_n
    lean = own * min(LEAN_MM, high) / high
    across, along = max(float(reactions[:, :, tops, 1].max(initial=0.0)), lean), float(reactions[:, :, tops, 0].max(initial=0.0))
    level = max(float(np.hypot(reactions[:, :, feet, 0], reactions[:, :, feet, 1]).max(initial=0.0)), own - lean)
    rubs = FRICTION * max(float(np.array([a.reactions[ks] for a in answers])[:, :, feet, 2].min(initial=np.inf if len(feet) else 0.0)), 0.0)
    name = next(m.role for m in piece.members if m.role in ("stile", "post"))
    under = f"in a gust of {load.force_n:.0f} N" if windy else f"under a lean of {load.force_n:.0f} N"
    rule = f"{load.what}, {load.force_n:.0f} N, {SAFETY:g} to spare"
    source = f"reactions of the frame of the whole piece, its tops held level by the ceiling; levers for a lean on a {name} itself; load {load.source}"

    def told(what: str, says: str) -> Finding:
        return Finding(piece.name, what + IN_THE_WIND * windy, Verdict.STANDS, says, rule=rule, source=source, stage="sizes")

    found = [told(CEILING, f"{under} the top of each {name} must be held with {across:.0f} N across the screen and {along:.0f} N along it, free to slide up and down in its fixing")]
    if setting.fixed == FLOOR_AND_CEILING:
        found.append(told(FLOOR, f"the foot of each {name} must be held with {level:.0f} N level"))
    else:
        pads = f"its weight alone holds {rubs:.0f} N of that by friction" + (
            ": pads under it do" if rubs >= level else ", so each foot stands over a pin or in a shoe that is glued to the floor or held by what lies on it")
        found.append(told(FEET, f"nothing goes into the floor, and the foot of each {name} must be kept from sliding with {level:.0f} N: {pads}"))
    if len(wall):
        places = " and ".join(f"{h:.0f}" for h in held_at_ends(piece, setting)[0])
        hold = reactions[:, :, wall]
        found.append(told(WALL, f"each of two fixings in the {name} at the wall, {places} mm up, must hold {hold[..., 1].max():.0f} N across the screen and {hold[..., 0].max():.0f} N along it"))
    return found


def _on_uprights(piece: Piece, model: Model, cases, answers, setting: Setting, where: tuple[str, ...]) -> Finding:
    """The hardest that any one fixing of a leaf to its upright is pulled; each leaf has its own, so none takes a neighbour's wind."""
    pins = np.flatnonzero(model.soft.fixed[:, 0])
    ks = [k for k, c in enumerate(cases) if c.where in where]
    held = SAFETY * np.abs(np.array([a.reactions[np.ix_(ks, pins)] for a in answers]))[..., :3]
    across, along = float(held[..., 1].max()), float(held[..., 0].max())
    load, windy = cases[ks[0]].load, where == WIND_CASES
    *first, last = (f"{h:.0f}" for h in held_at_ends(piece, setting)[0])
    under = (f"in a gust of {load.force_n:.0f} N" if windy else
             f"each stile or post is held to its upright {', '.join(first)} and {last} mm up; under a lean of {load.force_n:.0f} N")
    return Finding(
        piece.name, UPRIGHTS + IN_THE_WIND * windy, Verdict.STANDS,
        f"{under} the hardest worked of them must hold {across:.0f} N across the screen and {along:.0f} N along it",
        rule=f"{load.what}, {load.force_n:.0f} N, {SAFETY:g} to spare",
        source=f"reactions of the frame of the whole piece, held to its uprights and not at the floor; load {load.source}; places of fixings follow the clamps",
        stage="sizes",
    )


def _leaf_to_leaf(piece: Piece, setting: Setting, strong: dict[str, Strengths]) -> Finding:
    """Whether bolts between leaves hold a row that is held at its two ends only, in the wind: it bends there as a beam does in its middle."""
    reach, thick = setting.in_row * piece.overall_mm[0], min(piece.overall_mm[:2])
    moment = SAFETY * setting.in_row * setting.wind_n * reach / 8
    pull = moment / (thick / 2) / BOLTS
    soft = min(s.crushing for s in strong.values())
    area = np.pi / 4 * ((WASHER_D * BOLT_MM) ** 2 - BOLT_MM**2)
    holds = min(BOLT_N, WASHER_TIMES * soft * area)
    return from_ratio(
        piece.name, LEAVES, pull, holds, "N", rule=f"a gust of {setting.in_row * setting.wind_n:.0f} N over the row bends it between its ends, {SAFETY:g} to spare",
        source="moments, W L / 8; EN 1995-1-1 8.5.2 for washers, EN 1993-1-8 table 3.4 for an M8 bolt of class 4.6; three bolts a proposal of ours",
        mend="Hold each joint of two leaves as well: a post behind it, or the floor or ceiling where that may be. Or make it one screen over the whole width, "
             "with rails in one length.", stage="sizes",
        says=f"{setting.in_row} leaves, {reach:.0f} mm together, held at the two outer ends only: the gust pulls each of {BOLTS} bolts between two leaves, in the middle of "
             f"a {thick:.0f} mm stile, with {pull:.0f} N; {holds:.0f} N is what one holds under its washer",
    )


def _floor(piece: Piece, model: Model, cases, answers, setting: Setting, where: tuple[str, ...]) -> Finding:
    feet = np.flatnonzero(model.soft.fixed[:, 3])
    leans = [k for k, c in enumerate(cases) if c.where in where]
    held = np.abs(np.array([a.reactions[np.ix_(leans, feet)] for a in answers]))
    moment, along = (SAFETY * float(held[..., k].max()) / 1000 for k in (3, 4))
    level = SAFETY * float(np.hypot(held[..., 0], held[..., 1]).max())
    windy = where == WIND_CASES
    says = (
        f"in a gust of {cases[leans[0]].load.force_n:.0f} N, {moment:.0f} N m from front to back and {level:.0f} N level; in the same shoe a pull of "
        f"{1000 * moment / SHOE_MM:.0f} N on one side" if windy else
        f"each stile is taken as held fast at the floor, where its fixing must hold {moment:.0f} N m from front to back, {along:.0f} N m "
        f"along the screen and {level:.0f} N level; in a shoe whose screws lie {SHOE_MM:.0f} mm apart from front to back that is a pull of "
        f"{1000 * moment / SHOE_MM:.0f} N on one side"
    )
    return Finding(
        piece.name, FLOOR + IN_THE_WIND * windy, Verdict.STANDS, f"if it is fixed to the floor, {says}" if setting.fixed == "not named" else says,
        rule=f"{cases[leans[0]].load.what}, {cases[leans[0]].load.force_n:.0f} N, {SAFETY:g} to spare",
        source=f"reactions of the frame of the whole piece; load {cases[leans[0]].load.source}; shoe a proposal of ours", stage="sizes",
    )


def _wall(piece: Piece, push: Load, setting: Setting, windy: bool = False) -> Finding:
    """``windy``: the load is spread over the row, and turns it about the wall by its half."""
    lean = SAFETY * push.force_n * (setting.in_row / 2 if windy else 1.0)
    if "floor" in setting.fixed:
        return Finding(
            piece.name, WALL, Verdict.STANDS,
            f"two fixings in the stile at the wall, one near the top and one at 1200 mm: either alone must hold {lean:.0f} N across the screen "
            "and as much of pull; its other end has the floor alone",
            rule=f"the whole lean of {push.force_n:.0f} N on one of them, {SAFETY:g} to spare", source=f"statics; load {push.source}", stage="sizes",
        )
    reach, thick = setting.in_row * piece.overall_mm[0], min(piece.overall_mm[:2])
    pull, holds = lean * reach / (thick / 2) / AT_WALL, SHORT * lag_pull_n(STUD_GRAVITY, SCREW_MM, THREAD_MM)
    load = (f"a gust of {setting.in_row * push.force_n:.0f} N over its {reach:.0f} mm" if windy else f"{push.force_n:.0f} N leant on its free end, {reach:.0f} mm from the wall")
    found = from_ratio(
        piece.name, WALL + IN_THE_WIND * windy, pull, holds, "N", rule=f"{'a gust over it' if windy else f'a lean of {push.force_n:.0f} N at its free end'} turns it about the wall, {SAFETY:g} to spare",
        source=f"moments about the edge of the stile; load {push.source}; NDS 12.2-1 for a 6 mm coach screw, {THREAD_MM:.0f} mm of thread in a softwood stud",
        mend=f"Hold its other end too, at 'It stands' on Sizes: 'fixed {RAILING}' or 'fixed {BOTH}'; or 'fixed to the floor and a wall at one end' where the floor "
             "may be bored.", stage="sizes",
        says=f"{load}, with {SAFETY:g} to spare pull each of {AT_WALL} screws "
             f"in the {thick:.0f} mm stile with {pull:.0f} N; {holds:.0f} N is what one holds; its other checks take it as held at the floor",
    )
    return replace(found, verdict=Verdict.LOOK_AGAIN) if found.stands else found
