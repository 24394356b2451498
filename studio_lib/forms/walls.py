"""A case at walls and a floor as they are: skirting boards, walls out of plumb, a floor that falls.

What the brief tells of them is over 2 m, as a long level or a plumb line gives it. In pictures a case in an alcove is
seen between its walls.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.brief.said import FLAME, crooked_asked, flame_beside
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Box, Part, Piece, Placement, Prism
from studio_lib.units import mm

OVER_MM = 2000.0
"""The height and the length that lean and fall are told over."""
CLEAR_MM = 5.0
"""Cut out over and behind a skirting beyond its own size, which is seldom straight; judgement of ours."""
LEAST_FOOT_MM = 25.0
"""Of a plinth that is scribed to a floor so much must be left at its lowest; the least plinth the form makes."""
PACKED_MM = 12.0
"""A wider gap behind a case that is fixed to a wall is closed by a scribed strip, not by packing alone; judgement of ours."""
OFF_FRONT_MM = 10.0
"""The front of a case stands this far inside an alcove, whose back wall is seldom flat; judgement of ours."""
SEEN_WALL_MM, SEEN_BEHIND_MM, SEEN_OVER_MM = 150.0, 20.0, 120.0
"""In pictures: thickness of a wall beside a case and of that behind, and how far they go up past one that does not reach the ceiling; judgement of ours."""
DRAWN_OUT_MM = 500.0
"""In front of the alcove a case is taken apart in pictures, its back boards clear of the walls; judgement of ours."""
PLASTER, SKIRTING = "plaster", "skirting board"
"""What walls and their skirting boards are of, in pictures alone."""
JUDGEMENT = "a judgement of ours"
BRIEF = "brief"


@dataclass(frozen=True)
class Walls:
    """What a case stands at. [mm]"""

    high_mm: float
    deep_mm: float
    """Of the skirting; 0 where there is none."""
    cut_out: bool
    """Its sides are cut out over the skirting, so that its back comes to the wall."""
    alcove: bool
    held: bool
    """Fixed to the wall."""
    width_mm: float
    depth_mm: float
    height_mm: float
    foot_mm: float
    """Lowest shelf above the floor."""
    lowest_mm: float
    """What comes lowest at its back: its back boards, else that shelf."""
    fillets_mm: tuple[float, ...] = ()
    """Room for each fillet, at the bottom and at the top."""
    beside_mm: float = math.inf
    """Room beside the case at the back, at the bottom."""
    fillet_least_mm: float = 4.0
    backed: bool = True
    """It has a back of its own; else the wall is its back."""
    strip_mm: float = 0.0
    """A strip between it and the ceiling."""

    @property
    def skirting(self) -> bool:
        return self.high_mm > 0 and self.deep_mm > 0

    @property
    def notch_mm(self) -> tuple[float, float]:
        """Height and depth of what is cut out of its sides."""
        return self.high_mm + CLEAR_MM, self.deep_mm + CLEAR_MM


def lean_mm(brief: Brief, height_mm: float) -> float:
    """How far a wall leans over a height. [mm]"""
    return (brief.out_of_plumb_mm or 0.0) * height_mm / OVER_MM


def fall_mm(brief: Brief, long_mm: float) -> float:
    """How far the floor falls over a length. [mm]"""
    return (brief.floor_falls_mm or 0.0) * long_mm / OVER_MM


def wall_findings(name: str, w: Walls, brief: Brief) -> list[Finding]:
    """Whether a case that stands at walls passes their skirting, and whether what is scribed has enough to lose."""
    found = []
    if w.skirting and (w.alcove or w.held):
        found.append(_behind(name, w, brief))
    if w.skirting and w.alcove:
        found.append(_beside(name, w))
    lean = lean_mm(brief, w.height_mm)
    if lean and w.alcove:
        found.append(_scribed_to_walls(name, w, lean))
    if lean and w.held:
        wide = lean > PACKED_MM
        found.append(Finding(
            name, "wall behind it out of plumb", Verdict.LOOK_AGAIN if wide else Verdict.STANDS,
            f"standing plumb it leaves up to {lean:.0f} mm between its back and the wall at one end", lean, PACKED_MM, "mm",
            f"no more than {PACKED_MM:g} mm is packed out behind the fixings", JUDGEMENT,
            "Scribe a strip to the wall behind each side, and fix it through packing." if wide else "", "sizes",
        ))
    if flame_beside(brief) and FLAME not in (brief.needs_leave or ()):
        found.append(Finding(
            name, "fire or gas beside it", Verdict.OPEN, "the client speaks of a fire beside it; how far timber keeps from it has not been said",
            rule="a licensed fitter gives the distance from a fire or a gas appliance, and signs it", source="common practice, no source; local law decides",
            mend="Say on the Brief page, at who else has a say, that it stands by a fire or a gas appliance; have the fitter give the distance before boards are bought.",
            stage="sizes",
        ))
    if w.alcove and brief.out_of_plumb_mm is None and crooked_asked(brief):
        found.append(Finding(
            name, "walls not straight", Verdict.OPEN, f"the client says so, and how far they lean has not been measured; {max(min(w.fillets_mm) - w.fillet_least_mm, 0):.0f} mm can be "
            "planed off a fillet at its narrowest", rule="what a fillet can lose is at least what the wall leans over its height", source=BRIEF,
            mend="Hold a long level to each wall, measure the alcove at the front and the back, at the floor and the top; enter both before boards are bought.", stage="sizes",
        ))
    fall = fall_mm(brief, max(w.width_mm, w.depth_mm))
    return [*found, _scribed_to_the_floor(name, w, fall)] if fall else found


def _narrower(w: Walls, by_mm: float) -> float:
    """Width of the case with so much taken off on either side, in whole millimetres. [mm]"""
    return math.floor(w.width_mm - 2 * by_mm + 1e-9)


def _behind(name: str, w: Walls, brief: Brief) -> Finding:
    rule, what = "its back passes the skirting, or it stands clear of it", "skirting behind it"
    if w.cut_out:
        high, deep = w.notch_mm
        return Finding(
            name, what, Verdict.STANDS,
            f"sides cut out {mm(high)} mm high and {mm(deep)} mm deep at the back, over a skirting of {mm(w.high_mm)} by "
            f"{mm(w.deep_mm)} mm; what hangs lowest behind is {w.lowest_mm:.0f} mm up",
            w.high_mm, w.lowest_mm, "mm", rule, BRIEF, "", "sizes",
        )
    deep, space = w.depth_mm + w.deep_mm, brief.space_width_mm
    out = space is not None and deep > space
    room = f" into a space of {space:.0f} mm" if space is not None else ""
    packed = f"; fixings are packed out by {mm(w.deep_mm)} mm" if w.held else ""
    smaller = w.depth_mm - (deep - space) if out else 0.0
    return Finding(
        name, what, Verdict.FAILS if out else Verdict.STANDS,
        f"it stands {mm(w.deep_mm)} mm off the wall, clear of the skirting, and comes {deep:.0f} mm out{room}{packed}",
        deep, space, "mm", rule, BRIEF,
        f"Have its sides cut out over the skirting, or make it {smaller:.0f} mm deep." if out else "", "sizes",
    )


def _beside(name: str, w: Walls) -> Finding:
    room = min(w.beside_mm, w.fillets_mm[0] - w.fillet_least_mm)
    return from_ratio(
        name, "skirting beside it", w.deep_mm, max(room, 0.01), "mm",
        rule="the case goes down between the skirting boards, and a fillet is left beside them", source=BRIEF,
        mend=f"Make the case {_narrower(w, w.deep_mm - room):.0f} mm wide, or ask whether the skirting may be taken off in the alcove.",
        stage="sizes", look_again_from=1.0,
        says=f"{mm(w.deep_mm)} mm of skirting on either side, {max(room, 0):.0f} mm of room for it; the fillets are scribed round it",
    )


def _scribed_to_walls(name: str, w: Walls, lean: float) -> Finding:
    allowed = max(min(w.fillets_mm) - w.fillet_least_mm, 0.0)
    return from_ratio(
        name, "scribing to walls out of plumb", lean, max(allowed, 0.01), "mm",
        rule=f"what a fillet can lose, {w.fillet_least_mm:g} mm left of it, is at least what the wall leans over its height",
        source=JUDGEMENT, stage="sizes", look_again_from=1.0,
        mend=f"Make the case {_narrower(w, lean - allowed):.0f} mm wide, so that the fillets are wide enough to plane.",
        says=f"walls that lean {lean:.0f} mm over {mm(w.height_mm)} mm; {allowed:.0f} mm can be planed off a fillet at its narrowest",
    )


def _scribed_to_the_floor(name: str, w: Walls, fall: float) -> Finding:
    spare = max(w.foot_mm - LEAST_FOOT_MM, 0.0)
    return from_ratio(
        name, "scribing to a floor that falls", fall, max(spare, 0.01), "mm",
        rule=f"{LEAST_FOOT_MM:g} mm of plinth is left where the floor is highest", source=JUDGEMENT,
        mend=f"Lowest shelf {math.ceil(fall + LEAST_FOOT_MM)} mm above the floor or more, or level it on wedges.",
        stage="sizes", look_again_from=1.0,
        says=f"a floor that falls {fall:.0f} mm over {mm(max(w.width_mm, w.depth_mm))} mm; {spare:.0f} mm can be taken off the foot",
    )


def on_site(w: Walls, brief: Brief) -> list[str]:
    """What is looked for, scribed, cut and packed where it stands, in the order it is done."""
    said = []
    if w.alcove:
        said.append(
            "Before a hole is drilled: walls beside a chimney often hold wires, pipes and a flue. Look for them with a detector on every line that is "
            "drilled, never into the chimney breast or its flue, and where anything is found leave it to a licensed electrician or fitter (common practice, no source)."
        )
    if flame_beside(brief):
        said.append(
            "Fire or gas beside it: how far timber keeps from it, and what must stay open for its air, a licensed fitter says and signs for by the appliance's "
            "instructions and local codes, before it is fixed. No grille or vent is covered."
        )
    fall, lean = fall_mm(brief, max(w.width_mm, w.depth_mm)), lean_mm(brief, w.height_mm)
    board = f"{mm(w.high_mm)} x {mm(w.deep_mm)} mm"
    if fall:
        said.append(
            f"Floor: it falls about {fall:.0f} mm under the case. Stand the case level on wedges where the floor is highest, set "
            "a scriber to the widest gap, and scribe sides and plinth; or leave it on wedges and scribe a strip over the gap. "
            f"Leave {math.ceil(fall)} mm on the foot for it."
        )
    if w.skirting and (w.alcove or w.held):
        if w.cut_out:
            high, deep = w.notch_mm
            said.append(f"Skirting behind: the sides are cut out {mm(high)} x {mm(deep)} mm over {board}. "
                        "Hold a template to the skirting before the case is brought in.")
        else:
            packed = "; pack its fixings by as much" if w.held else ""
            said.append(f"Skirting behind: the case stands {mm(w.deep_mm)} mm off the wall{packed}.")
    if w.alcove:
        beside = f", round the skirting ({board}) at the foot" if w.skirting else ""
        most = f"; the walls lean about {lean:.0f} mm over its height" if lean else ""
        said.append(
            f"Fillets: stand the case plumb, hold each fillet to the wall, scribe it over its whole height{beside}{most}. "
            "Plane to the line, leaning a little inwards behind it, and fix it last."
        )
        if w.strip_mm:
            said.append(f"Ceiling: a strip {mm(w.strip_mm)} mm high closes the gap over the case. Cut it between the walls, scribe it to the ceiling and screw it from under "
                        "the top.")
    if w.alcove and w.held and not w.backed:
        said.append("Back: the wall itself. Sides and shelves are scribed to it where it is not flat, or stand off it and the gap is closed with a strip; "
                    "it is fixed through a batten or brackets under a shelf near the top of either case, packed where the wall stands back.")
    if lean and w.held and not w.alcove:
        said.append(f"Wall behind: out of plumb by about {lean:.0f} mm over the height. Stand the case plumb and pack behind its "
                    "fixings; never draw it to the wall.")
    return said


# ------------------------------------------------------------------ how it is seen


def seen_between(piece: Piece, w: Walls) -> Piece:
    """A case with the walls of its alcove, drawn out from between them before it is taken apart."""
    return replace(piece, held_on=seen_walls(w), drawn_out_mm=w.depth_mm + DRAWN_OUT_MM)


def seen_walls(w: Walls) -> tuple[Part, ...]:
    """The walls beside a case in an alcove, whose middle is at 0, and what is seen of the one behind it from the front. [mm]

    They reach from the wall behind to the front of the alcove, as far up as the ceiling where that is known; the skirting
    boards run round them.
    """
    front, back = -w.depth_mm / 2 - OFF_FRONT_MM, w.depth_mm / 2 + (0.0 if w.cut_out or not w.skirting else w.deep_mm)
    high = w.height_mm + (w.strip_mm or SEEN_OVER_MM)
    foot, top = (w.width_mm / 2 + fillet for fillet in w.fillets_mm)
    lean = (top - foot) / (w.height_mm + w.strip_mm)
    outer, over = max(foot, top) + SEEN_WALL_MM, foot + lean * high
    # The outline lies in x, z and is drawn out to the front.
    behind, end = w.height_mm if w.backed else 0.0, back + SEEN_BEHIND_MM
    at = Placement((0.0, end, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    out = [
        Part("wall of the alcove, right", PLASTER, Prism(((foot, 0.0), (outer, 0.0), (outer, high), (over, high)), at, end - front)),
        Part("wall of the alcove, left", PLASTER, Prism(((-outer, 0.0), (-foot, 0.0), (-over, high), (-outer, high)), at, end - front)),
    ]
    if behind + w.strip_mm < high:
        wide = max(foot, over)
        out.append(Part("wall behind it", PLASTER, Box((-wide, back, behind), (wide, end, high))))
    if w.skirting:
        for side, (beside, before) in {
            "right": ((foot - w.deep_mm, foot), (foot - w.deep_mm, outer)), "left": ((-foot, w.deep_mm - foot), (-outer, w.deep_mm - foot)),
        }.items():
            out.append(Part(f"skirting board in the alcove, {side}", SKIRTING, Box((beside[0], front, 0.0), (beside[1], back, w.high_mm))))
            out.append(Part(f"skirting board before the wall, {side}", SKIRTING, Box((before[0], front - w.deep_mm, 0.0), (before[1], front, w.high_mm))))
    return tuple(out)
