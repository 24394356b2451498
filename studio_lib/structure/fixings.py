"""What the fixings of a screen must hold: at the floor by the frame's own reactions, at a wall by moments about its stile."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from studio_lib.brief.refusals import SAFETY
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Piece
from studio_lib.piece.holding import lag_pull_n
from studio_lib.structure.as_frame import Model
from studio_lib.structure.loads import Load, serves
from studio_lib.structure.opened import Setting
from studio_lib.structure.stability import STUD_GRAVITY

SHOE_MM = 100.0
"""How far apart across the screen the fixings of a shoe or plate under a stile lie; a proposal of ours."""
AT_WALL = 3
"""Fixings in the stile at a wall that stands without the floor; a proposal of ours."""
SCREW_MM, THREAD_MM, SHORT = 6.35, 60.0, 1.6
"""The coach screw that a wall stile is judged by, and NDS's factor for a moment's load."""
FLOOR, WALL = "load on its fixing to the floor", "load on its fixing to the wall"


def screen_fixings(piece: Piece, model: Model, cases, answers, push: Load | None, setting: Setting) -> list[Finding]:
    """What each fixing of a fixed screen must hold under the lean, with something to spare; () where it stands free.

    Where it is fixed to a wall as well, the floor is reckoned to hold it alone: the far end has nothing of the wall.
    """
    if not setting.fixed or push is None or serves(piece.form) != "screen":
        return []
    found = []
    if setting.fixed != "to a wall at one end":
        found.append(_floor(piece, model, cases, answers, setting))
    if "wall" in setting.fixed:
        found.append(_wall(piece, push, setting))
    return found


def _floor(piece: Piece, model: Model, cases, answers, setting: Setting) -> Finding:
    feet = np.flatnonzero(model.soft.fixed[:, 3])
    leans = [k for k, c in enumerate(cases) if c.where in ("sideways", "from front to back")]
    held = np.abs(np.array([a.reactions[np.ix_(leans, feet)] for a in answers]))
    moment, along = (SAFETY * float(held[..., k].max()) / 1000 for k in (3, 4))
    level = SAFETY * float(np.hypot(held[..., 0], held[..., 1]).max())
    says = (
        f"each stile is taken as held fast at the floor, where its fixing must hold {moment:.0f} N m from front to back, {along:.0f} N m "
        f"along the screen and {level:.0f} N level; in a shoe whose screws lie {SHOE_MM:.0f} mm apart from front to back that is a pull of "
        f"{1000 * moment / SHOE_MM:.0f} N on one side"
    )
    return Finding(
        piece.name, FLOOR, Verdict.STANDS, f"if it is fixed to the floor, {says}" if setting.fixed == "not named" else says,
        rule=f"{cases[leans[0]].load.what}, {cases[leans[0]].load.force_n:.0f} N, {SAFETY:g} to spare",
        source=f"reactions of the frame of the whole piece; load {cases[leans[0]].load.source}; shoe a proposal of ours", stage="sizes",
    )


def _wall(piece: Piece, push: Load, setting: Setting) -> Finding:
    lean = SAFETY * push.force_n
    if "floor" in setting.fixed:
        return Finding(
            piece.name, WALL, Verdict.STANDS,
            f"two fixings in the stile at the wall, one near the top and one at 1200 mm: either alone must hold {lean:.0f} N across the screen "
            "and as much of pull; its other end has the floor alone",
            rule=f"the whole lean of {push.force_n:.0f} N on one of them, {SAFETY:g} to spare", source=f"statics; load {push.source}", stage="sizes",
        )
    reach, thick = setting.in_row * piece.overall_mm[0], min(piece.overall_mm[:2])
    pull, holds = lean * reach / (thick / 2) / AT_WALL, SHORT * lag_pull_n(STUD_GRAVITY, SCREW_MM, THREAD_MM)
    found = from_ratio(
        piece.name, WALL, pull, holds, "N", rule=f"a lean of {push.force_n:.0f} N at its free end turns it about the wall, {SAFETY:g} to spare",
        source=f"moments about the edge of the stile; load {push.source}; NDS 12.2-1 for a 6 mm coach screw, {THREAD_MM:.0f} mm of thread in a softwood stud",
        mend="Fix its other end to the floor too: 'fixed to the floor and a wall at one end' at 'It stands' on Sizes.", stage="sizes",
        says=f"{push.force_n:.0f} N leant on its free end, {reach:.0f} mm from the wall, with {SAFETY:g} to spare pull each of {AT_WALL} screws "
             f"in the {thick:.0f} mm stile with {pull:.0f} N; {holds:.0f} N is what one holds; its other checks take it as held at the floor",
    )
    return replace(found, verdict=Verdict.LOOK_AGAIN) if found.stands else found
