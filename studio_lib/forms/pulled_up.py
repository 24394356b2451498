"""Where a wheelchair pulls up to a table: how high, how wide and how deep it is free there, read off the piece as it is."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.people import wheelchair_knees, wheelchair_mm
from studio_lib.people.proposals import wheelchair_source
from studio_lib.piece import Piece
from studio_lib.units import mm

NEAR_FLOOR_MM = 230.0
"""Below this room is counted for toes, over it for knees: 2010 ADA Standards 306."""
EDGE_MM = 1.0
RIGHT, LEFT, FRONT, BACK = (0, 1.0), (0, -1.0), (1, -1.0), (1, 1.0)
"""Where one pulls up: along which axis of the piece, and at which of its two ends."""
SAID = {RIGHT: "its right end", LEFT: "its left end", FRONT: "its front", BACK: "its back"}


@dataclass(frozen=True)
class KneeRoom:
    """What is free under a table from the middle of one edge inwards. [mm]"""

    where: str
    height_mm: float
    """Floor to the lowest of what is over the knees."""
    over: str
    """What that is."""
    width_mm: float
    """Between the legs on either side."""
    depth_mm: float
    """From the edge of the top to what next hangs lower than is asked for."""
    met: str
    """What that is; '' where nothing does."""
    toe_mm: float
    """The same near the floor."""
    toe_met: str


def knee_room(piece: Piece, at: tuple[int, float], wanted_mm: float) -> KneeRoom:
    """The room at one edge of a table for a chair that asks for ``wanted_mm`` of height. [mm]"""
    axis, sign = at
    side = 1 - axis
    boxes = [(m, m.piece_box) for m in piece.members if m.role != "pull"]
    edge = max(sign * (b.hi[axis] if sign > 0 else b.lo[axis]) for _, b in boxes)
    middle = (min(b.lo[side] for _, b in boxes) + max(b.hi[side] for _, b in boxes)) / 2
    arms, high = wheelchair_mm("knee depth arms"), wheelchair_mm("knee depth high")

    def far(b) -> float:
        return edge - sign * (b.hi[axis] if sign > 0 else b.lo[axis])

    legs = [b for m, b in boxes if m.role == "leg"]
    beside = [b for b in legs if far(b) < arms]
    across = [b.lo[side] - middle for b in beside if b.lo[side] > middle], [middle - b.hi[side] for b in beside if b.hi[side] < middle]
    reach = (max(b.hi[side] for _, b in boxes) - min(b.lo[side] for _, b in boxes)) / 2
    width = min([reach, *across[0]]) + min([reach, *across[1]])
    half = min(wheelchair_mm("knee width"), width) / 2 - EDGE_MM
    met = [(m, b, max(far(b), 0.0)) for m, b in boxes if m.role != "leg" and b.lo[side] < middle + half and b.hi[side] > middle - half]
    top, height = min(((m, b.lo[2]) for m, b, d in met if d < (arms if m.role == "end rail" else high)), key=lambda x: x[1])
    through = max(b.hi[axis] for _, b in boxes) - min(b.lo[axis] for _, b in boxes)
    next_m, depth = min(((m, d) for m, b, d in met if b.lo[2] < wanted_mm - 0.5), key=lambda x: x[1], default=(None, through))
    low_m, toes = min(((m, d) for m, b, d in met if b.lo[2] < NEAR_FLOOR_MM), key=lambda x: x[1], default=(None, through))
    return KneeRoom(SAID[at], height, top.name, width, depth, next_m.name if next_m else "", toes, low_m.name if low_m else "")


def pulled_up_findings(piece: Piece, brief: Brief) -> list[Finding]:
    """Whether a wheelchair goes under where the brief says that it pulls up: the roomier of the two ends or sides."""
    wanted, source = wheelchair_knees(brief.wheelchair_knees_mm)
    edges = (RIGHT, LEFT) if brief.wheelchair_at == "end" else (FRONT, BACK)
    at = max((knee_room(piece, e, wanted) for e in edges), key=lambda r: (min(r.height_mm, wanted), min(r.depth_mm, wheelchair_mm("knee depth arms")), r.toe_mm))
    wide, arms, knees, toes = (wheelchair_mm(k) for k in ("knee width", "knee depth arms", "knee depth high", "toe depth"))
    end = brief.wheelchair_at == "end"
    found = [
        from_ratio(
            "wheelchair", "knee clearance", wanted, at.height_mm, "mm", rule=f"{wanted:.0f} mm clear where it pulls up", source=source,
            mend=f"A flat rail there in place of the apron (Right end), so much higher, or a thinner {'rail' if 'flat rail' in at.over else 'top'}." if end
            else "Raise the table, or use a shallower frame; on trestles nothing hangs at its sides.",
            stage="sizes", look_again_from=1.0, says=f"at {at.where} {at.height_mm:.0f} mm under {at.over}, {wanted:.0f} mm wanted",
        ),
        from_ratio(
            "wheelchair", "width between the legs", wide, max(at.width_mm, 1.0), "mm", rule=f"{wide:.0f} mm between the legs", source=wheelchair_source("knee width"),
            mend="A wider table, slimmer legs, or less of the top past them." if end else "A longer table, or legs nearer its ends.",
            stage="sizes", look_again_from=1.0, says=f"at {at.where} {at.width_mm:.0f} mm, {wide:.0f} mm wanted",
        ),
    ]
    deep = at.depth_mm
    says = f"at {at.where} {deep:.0f} mm at that height" + (f", to {at.met}" if at.met else ", nothing in the way")
    verdict = Verdict.STANDS if deep >= arms - 0.5 else Verdict.LOOK_AGAIN if deep >= knees - 0.5 else Verdict.FAILS
    if verdict is Verdict.LOOK_AGAIN:
        says += f": knees go under, the arms of the chair want {arms:.0f} mm"
    found.append(Finding(
        "wheelchair", "depth for knees and arms", verdict, says, arms, max(deep, 1.0), "mm",
        f"{arms:.0f} mm for knees and arms; {knees:.0f} mm for knees at the least", f"{wheelchair_source('knee depth arms')}; {wheelchair_source('knee depth high')}",
        "" if verdict is Verdict.STANDS else _deeper(at, end, arms - deep), "sizes",
    ))
    short = at.toe_mm < toes - 0.5
    found.append(Finding(
        "wheelchair", "depth for toes", Verdict.LOOK_AGAIN if short else Verdict.STANDS,
        f"at {at.where} {at.toe_mm:.0f} mm near the floor" + (f", to {at.toe_met}" if at.toe_met else ", nothing in the way")
        + (f"; {toes:.0f} mm wanted, unless the rests for the feet go over it" if short else ""), toes, max(at.toe_mm, 1.0), "mm",
        f"{toes:.0f} mm deep below {NEAR_FLOOR_MM:.0f} mm", wheelchair_source("toe depth"),
        _deeper(at, end, toes - at.toe_mm) if short else "", "sizes",
    ))
    return found


def _deeper(at: KneeRoom, end: bool, by_mm: float) -> str:
    """How so much more depth is had, in words. [mm]"""
    if not end:
        return f"A table {mm(round(2 * by_mm))} mm wider; or measure the chair."
    if at.met.startswith("bearer"):
        return "Bearers no deeper than the flat rail, or the last of them further in."
    if at.toe_met or "top bearer" in at.met:
        return f"The top {mm(round(by_mm))} mm further past its feet at that end, if it does not tip; or legs and aprons with a flat rail there; or measure the chair."
    return "A flat rail there in place of the apron (Right end)." if "apron" in at.met else f"What hangs there {mm(round(by_mm))} mm further in: a higher flat rail, or narrower drawers."
