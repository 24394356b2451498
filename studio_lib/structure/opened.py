"""Standing with its doors, drawers and lids open, someone hanging on them: by moments about the feet, of any piece that has them.

What opens is read off the piece: what hangs on hinges, and drawers that only run in it. A check by statics, not the test of a standard.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Piece
from studio_lib.piece.leaves import Leaf, leaves, lid_deg
from studio_lib.structure.loads import G, Sitters, serves
from studio_lib.structure.stability import TALL_MM, TETHER_N, Standing, bodies_of, standing

FILL_KG_M3 = 136.0
"""What a drawer is filled with, 8.5 lb/ft3: ASTM F2057-23, from memory."""
CHILD_N = TETHER_N
"""60 lb on an open drawer or door: ASTM F2057-23."""
FROM_EDGE_MM = 100.0
"""A load on a door hangs this far in from its free edge: EN 16122, from memory."""
CARPET_MM = 10.9
"""Under the back of what stands on carpet while it is tested, 0.43 in: ASTM F2057-23, from memory."""
LEAN_N = 100.0
"""Someone leans on an open lid; a starting point of ours, as for a child's pull."""
SPARE = 1.5
"""To spare under a load that no standard names; usual engineering choice, from memory."""
LID_N = 20.0
"""A lid that weighs more than this at its front edge hurts fingers when it falls; a judgement of ours."""
SQUARE_AND_ROUND = (90.0, 180.0)
"""How far doors are swung: square to the case, and right round; what tips it more easily counts. [degrees]"""


@dataclass(frozen=True)
class Setting:
    """What the brief and the sizes say of where a piece stands."""

    children: bool = False
    held: bool = False
    """Fixed to the wall."""
    stays: bool | None = None
    """Whether something holds an open lid; None where nobody said."""
    backed: bool = False
    """Its back stands against a wall, without being fixed to it."""
    between: bool = False
    """Between two walls that keep it from swaying sideways."""
    carpet: bool = False
    """It stands on carpet, which gives under its front."""
    fixed: str = ""
    """What a screen is fixed to, as its form says it; '' where it stands free."""
    wind_n: float = 0.0
    """What a gust blows on a screen with, over its whole face."""
    in_row: int = 1
    """How many of a screen stand edge to edge."""
    clamps: tuple[float, float, bool] | None = None
    """Upper and lower clamps of the uprights that a screen is held to, above the floor, and whether those reach its top. [mm]"""
    railing_mm: float | None = None
    """The top rail of a railing there, above the floor; None while nobody measured it."""
    floor_falls_mm: float = 0.0
    """How far the floor falls over 2 m."""
    hung: int = 0
    """Screws in the hanging rail of what hangs on the wall; 0 for what stands on the floor."""
    wall: str = ""
    """What the wall is made of, of ``handover.delivery.WALLS``; '' while nobody looked."""
    sitters: Sitters = Sitters()
    """Who sits on it, where it is a seat."""


@dataclass(frozen=True)
class Opens:
    """One thing that opens."""

    kind: str
    """'door', 'lid', 'flap' or 'drawer'."""
    name: str
    refs: tuple[str, ...]
    weight_n: float
    at: tuple[np.ndarray, ...]
    """Where its middle is when open, one for each way it may stand. [mm]"""
    load_at: tuple[np.ndarray, ...]
    """Where a load hangs on it then. [mm]"""
    holds_m3: float = 0.0
    joint: object = None
    """The hinges it hangs on."""


def opens(piece: Piece, woods: dict, stopped: bool | None = None) -> list[Opens]:
    """Doors, lids, flaps and drawers of a piece, as they stand open: ``piece.leaves`` with their weights and loads.

    ``stopped``: stays stop a lid short of upright; None as the piece has them.
    """
    found = leaves(piece)
    bodies = bodies_of(piece, woods) if found else {}
    return [(_drawn if leaf.joint is None else _swung)(piece, bodies, leaf, stopped) for leaf in found]


FREE_IT_TIPS = "free in the room it tips backwards when someone leans on its open lid"
"""What a chest is told of on the papers, whose lid only a wall behind it lets one lean on."""
AT_WALL = "its back is against a wall"
"""Of ``Finding.only_where``: what stands with its lid leant on there and nowhere else."""
OF_LIDS = ("leant on, lid open", "falling lid")
OF_CHILDREN = ("climbed on a drawer", "hung on a door", "leant on a flap")


def binds(finding: Finding, setting: Setting) -> bool:
    """Whether a check must keep its reserve where a piece is made lighter; not what a wall holds, nor what is only a caution."""
    if finding.what in OF_LIDS:
        return False
    if finding.what in OF_CHILDREN or finding.what == "strength, hinges under a child":
        return setting.children and not setting.held
    return not (setting.held and finding.what.startswith("tipping, "))


def _middle(bodies, refs) -> np.ndarray:
    weights = np.array([bodies[r].weight_n for r in refs])
    return weights @ np.array([bodies[r].middle for r in refs]) / weights.sum()


def _reach(piece: Piece, leaf) -> tuple[np.ndarray, np.ndarray]:
    boxes = [piece.member(r).piece_box for r in leaf]
    return np.min([b.lo for b in boxes], axis=0), np.max([b.hi for b in boxes], axis=0)


def _swung(piece: Piece, bodies, leaf: Leaf, stopped: bool | None) -> Opens:
    """A door swung square to its case and right round; a lid opened to its stay, or past upright; a flap let down level."""
    own, pin, axis = _middle(bodies, leaf.refs), np.array(leaf.at), np.array(leaf.axis)
    lo, hi = _reach(piece, leaf.refs)
    corners = np.array([[x, y, z] for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])])
    off = own - pin
    off -= axis * (axis @ off)
    along = off / max(np.linalg.norm(off), 1e-9)
    free = float(((corners - pin) @ along).max())
    # The weight at its own middle; the load on the line of the pins' plane through the leaf.
    edge = pin + along * free
    turns = (leaf.deg,)
    if leaf.kind == "door":
        turns = SQUARE_AND_ROUND
        edge = pin + along * max(free - FROM_EDGE_MM, free / 2)
        edge[2] = hi[2]
    elif leaf.kind == "lid" and stopped is not None:
        turns = (lid_deg(stopped),)
    return Opens(
        leaf.kind, leaf.name, leaf.refs, sum(bodies[r].weight_n for r in leaf.refs),
        tuple(leaf.turned(own, deg) for deg in turns), tuple(leaf.turned(edge, deg) for deg in turns), joint=leaf.joint,
    )


def _drawn(piece: Piece, bodies, leaf: Leaf, _stopped) -> Opens:
    """A drawer drawn out as far as its length allows, a load on the top of its front."""
    lo, hi = _reach(piece, leaf.refs)
    way = np.array(leaf.way)
    front = np.where(way > 0, hi, np.where(way < 0, lo, (lo + hi) / 2))
    front[2] = hi[2]
    sides = [piece.member(r) for r in leaf.refs if piece.member(r).role == "drawer side"]
    held = 0.0
    if len(sides) == 2:
        a, b = (m.piece_box for m in sides)
        wide = max(max(a.lo[k], b.lo[k]) - min(a.hi[k], b.hi[k]) for k in (0, 1))
        held = sides[0].length_mm * sides[0].width_mm * max(wide, 0.0) * 1e-9
    return Opens(
        "drawer", leaf.name, leaf.refs, sum(bodies[r].weight_n for r in leaf.refs), (leaf.moved(_middle(bodies, leaf.refs)),), (leaf.moved(front),), held,
    )


def opened_findings(piece: Piece, woods: dict, setting: Setting) -> list[Finding]:
    """What stands open, empty and full; a child on a drawer, a door, a flap; someone leaning on a lid; [] for what hangs and cannot tip."""
    things = opens(piece, woods, setting.stays)
    if not things or setting.hung:
        return []
    stands, bodies = standing(piece, woods), bodies_of(piece, woods)
    shut = [(bodies[m.ref].weight_n, bodies[m.ref].middle) for m in piece.members if not any(m.ref in t.refs for t in things)]
    fronts = [t for t in things if t.kind != "lid"]
    found = []
    if fronts:
        found.append(_all_open(piece, stands, shut, things, setting))
        for kind, words in (("drawer", "climbed on a drawer"), ("door", "hung on a door"), ("flap", "leant on a flap")):
            own = [t for t in fronts if t.kind == kind]
            if own:
                found.append(_child(piece, stands, shut, things, own, words, setting))
    for lid in (t for t in things if t.kind == "lid"):
        found += _lid(piece, stands, shut, things, lid, setting)
    return found


def hinge_findings(piece: Piece, woods: dict, strengths: dict, setting: Setting) -> list[Finding]:
    """Whether the upper hinge of a door stands the door's weight and a child hanging on it: the pull of a couple over the hinges' distance."""
    worst = None
    for t in opens(piece, woods):
        if t.kind != "door" or t.joint is None or t.joint.apart_mm(piece) <= 0:
            continue
        pin = np.array(t.joint.pin(piece)[0])
        reach, own = (float(np.linalg.norm((p[0] - pin)[:2])) for p in (t.load_at, t.at))
        pull = (CHILD_N * reach + t.weight_n * own) / t.joint.apart_mm(piece)
        first, second = (strengths[piece.member(r).timber] for r in (t.joint.first, t.joint.second))
        holds = t.joint.holds(piece, first, second).pull.most / t.joint.count
        if worst is None or pull / holds > worst[0] / worst[1]:
            worst = (pull, holds, t)
    if worst is None:
        return []
    pull, holds, t = worst
    found = from_ratio(
        t.joint.family, "strength, hinges under a child", pull, holds, "N",
        rule=f"a child of 60 lb, {CHILD_N:.0f} N, {FROM_EDGE_MM:.0f} mm from the door's free edge; the upper hinge bears the couple alone",
        source="ASTM F2057-23 test mass; place EN 16122, from memory; pull of screws NDS 12.2-2", stage="joints", refs=t.refs,
        mend="Hinges further apart, a third near the top, longer screws; or a narrower door.",
        says=f"{pull:.0f} of {holds:.0f} N on the upper hinge of {t.name}, the hinge's screws pulling out",
    )
    return [replace(found, verdict=Verdict.LOOK_AGAIN) if found.verdict is Verdict.FAILS and not setting.children else found]


def _moments(stands: Standing, weights, setting: Setting) -> tuple[float, float, tuple[int, int]]:
    """What turns a piece and what holds it, over the edge of its feet where it is nearest to tipping. [N mm]

    On carpet it leans forwards about its front feet, its back raised by ``CARPET_MM``.
    """
    worst = None
    tilt = np.arctan(CARPET_MM / max(stands.hi[1] - stands.lo[1], CARPET_MM)) if setting.carpet else 0.0
    heavy, at = np.array([n for n, _ in weights]), np.array([p for _, p in weights])
    for axis in (0, 1):
        for sign in (-1, 1):
            edge = stands.hi[axis] if sign > 0 else -stands.lo[axis]
            lean = tilt if (axis, sign) == (1, -1) else 0.0
            beyond = (sign * at[:, axis] - edge) * np.cos(lean) + (at[:, 2] - stands.floor_mm) * np.sin(lean)
            turning, holding = float(heavy @ np.maximum(beyond, 0.0)), float(heavy @ np.maximum(-beyond, 0.0))
            if worst is None or turning * max(worst[1], 1.0) > worst[0] * max(holding, 1.0):
                worst = (turning, holding, (axis, sign))
    return worst


def _on_carpet(setting: Setting) -> str:
    return f"; on carpet, its back raised by {CARPET_MM:.0f} mm" if setting.carpet else ""


SIDES = {(0, -1): "to its left", (0, 1): "to its right", (1, -1): "forwards", (1, 1): "backwards"}


def _open_now(things, way: int) -> list[tuple[float, np.ndarray]]:
    """Weights of what opens where they are then; a lid stays shut."""
    return [(t.weight_n, t.at[min(way, len(t.at) - 1)]) for t in things if t.kind != "lid"]


def _shut_lids(piece: Piece, things) -> list[tuple[float, np.ndarray]]:
    return [(t.weight_n, _closed(piece, t)) for t in things if t.kind == "lid"]


WALL = (f"Fix it to the wall in two places with a restraint rated for {TETHER_N:.0f} N (ASTM F3096-23): it does not show. "
        "Or set the feet further out, which does; or make what opens lighter or shorter, or let one drawer open at a time.")


AT_A_TABLE = "Fix it to the wall: 'Fixed to the wall' under Drawers. Out in the room: feet set further out, or a heavier table; and tell whoever uses it."
"""What helps a table with drawers."""


def _mend(piece: Piece) -> str:
    return AT_A_TABLE if serves(piece.form) == "table" else WALL


def _judged(found: Finding, setting: Setting, hard: bool) -> Finding:
    """Held by a wall it stands; what only a child brings about is told of where none is expected."""
    if found.stands:
        return found
    if setting.held:
        return replace(found, verdict=Verdict.STANDS, says=f"{found.says}; the wall it is fixed to holds it", mend="")
    if found.verdict is Verdict.FAILS and not hard:
        return replace(found, verdict=Verdict.LOOK_AGAIN)
    return found


def _all_open(piece: Piece, stands: Standing, shut, things, setting: Setting) -> Finding:
    worst = None
    for way in (0, 1):
        full = [(t.holds_m3 * FILL_KG_M3 * G, t.at[0]) for t in things if t.holds_m3]
        for filled in (False, True) if full else (False,):
            got = _moments(stands, shut + _shut_lids(piece, things) + _open_now(things, way) + (full if filled else []), setting)
            if worst is None or got[0] * max(worst[0][1], 1.0) > worst[0][0] * max(got[1], 1.0):
                worst = (got, filled)
    (turning, holding, side), filled = worst
    kinds = " and ".join(f"{k}s" for k in ("door", "drawer", "flap") if any(t.kind == k for t in things))
    state = "drawers full" if filled else "empty"
    return _judged(from_ratio(
        piece.name, f"tipping, {kinds} open", turning / 1000, max(holding, 1.0) / 1000, "N m",
        rule=f"all open at once, {state}, drawers drawn out by two thirds; nobody on it{_on_carpet(setting)}",
        source="ASTM F2057-23, share drawn out and filling from memory; statics", mend=_mend(piece), stage="sizes", look_again_from=0.8,
        says=f"{kinds} open, {state}: {turning / 1000:.0f} N m would tip it {SIDES[side]}, {holding / 1000:.0f} N m hold it down",
    ), setting, hard=True)


def _child(piece: Piece, stands: Standing, shut, things, own, what: str, setting: Setting) -> Finding:
    worst = None
    for t in own:
        for way, load in enumerate(t.load_at):
            got = _moments(stands, shut + _shut_lids(piece, things) + _open_now(things, way) + [(CHILD_N, load)], setting)
            if worst is None or got[0] * max(worst[0][1], 1.0) > worst[0][0] * max(got[1], 1.0):
                worst = (got, t)
    (turning, holding, side), t = worst
    # The test is one of cases that clothes are kept in; of a table it is asked where children are.
    tall = stands.top_mm - stands.floor_mm >= TALL_MM and serves(piece.form) != "table"
    return _judged(from_ratio(
        piece.name, what, turning / 1000, max(holding, 1.0) / 1000, "N m",
        rule=f"a child of 60 lb, {CHILD_N:.0f} N, on {t.name} with everything open does not tip it{_on_carpet(setting)}",
        source="ASTM F2057-23 test mass; " + ("place on a door EN 16122, from memory; " if t.kind == "door" else "") + "statics",
        mend=_mend(piece), stage="sizes", refs=t.refs, look_again_from=0.9,
        says=f"a child on {t.name} turns it {SIDES[side]} with {turning / 1000:.0f} N m, {holding / 1000:.0f} N m hold it down, empty",
    ), setting, hard=setting.children or (tall and t.kind == "drawer"))


def _lid(piece: Piece, stands: Standing, shut, things, lid: Opens, setting: Setting) -> list[Finding]:
    rest = shut + [(t.weight_n, _closed(piece, t)) for t in things if t is not lid]
    behind = [*rest, (lid.weight_n, lid.at[0])]
    # The lean is level, at the lid's free edge, over the feet that lie on that side.
    closed, high = _closed(piece, lid), lid.load_at[0]
    axis = int(np.argmax(np.abs((high - closed)[:2])))
    sign = 1 if high[axis] > closed[axis] else -1
    edge = stands.hi[axis] if sign > 0 else -stands.lo[axis]
    turning = SPARE * LEAN_N * (high[2] - stands.floor_mm) + sum(n * max(sign * p[axis] - edge, 0.0) for n, p in behind)
    holding = sum(n * max(edge - sign * p[axis], 0.0) for n, p in behind)
    backwards = (axis, sign) == (1, 1)
    leant = _judged(from_ratio(
        piece.name, "leant on, lid open", turning / 1000, max(holding, 1.0) / 1000, "N m",
        rule=f"{LEAN_N:.0f} N level at the edge of the open lid, {SPARE:g} to spare", source="statics; the lean a starting point of ours",
        mend="Stand it with its back against a wall, and say so under Sizes. A stay does not hold it: a lid stopped short of upright is leant on all the same.",
        stage="sizes", refs=lid.refs,
        look_again_from=0.9,
        says=f"someone leaning on the open lid turns it {SIDES[axis, sign]} with {turning / 1000:.0f} N m, {holding / 1000:.0f} N m hold it down, empty",
    ), setting, hard=False)
    if setting.backed and backwards and not leant.stands:
        leant = replace(leant, verdict=Verdict.STANDS, demand=None, capacity=None, says=f"{leant.says}; the wall at its back holds it", mend="",
                        only_where=AT_WALL)
    found = [leant]
    arm = float(np.linalg.norm((closed - np.array(lid.joint.pin(piece)[0]))[:2])) if lid.joint else 0.0
    heavy = lid.weight_n / 2
    falls = heavy > LID_N and not setting.stays
    found.append(Finding(
        piece.name, "falling lid", Verdict.LOOK_AGAIN if falls else Verdict.STANDS,
        f"the lid weighs {heavy:.0f} N at its front edge" + (
            f"; stays of {lid.weight_n * arm / 1000:.0f} N m together hold it wherever it is let go" if setting.stays else "; let go it falls on fingers and heads" if falls else ", too little to hurt"),
        heavy, LID_N, "N", f"a lid of more than {LID_N:.0f} N at its edge stays where it is let go", "ASTM F963 4.27, from memory; the limit a judgement of ours",
        "Fit a stay that holds it wherever it is let go, and leave a gap for fingers at the front corners." if falls else "", "sizes", lid.refs,
    ))
    return found


def _closed(piece: Piece, t: Opens) -> np.ndarray:
    lo, hi = _reach(piece, t.refs)
    return (lo + hi) / 2
