"""Standing: tipping by someone at the edge, sliding or tipping when pushed, rocking on an uneven floor, the load of a wall fixing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Box, Piece, Placement, Shape
from studio_lib.piece.holding import lag_pull_n
from studio_lib.structure.as_frame import Model
from studio_lib.structure.bearing import bearing
from studio_lib.structure.cases import PAD_MM
from studio_lib.structure.loads import G, Load, serves

FALLS_OVER_MM = 2000.0
"""Over which the brief says how far a floor falls."""
FRICTION = 0.40
"""Wood on a hard floor; as the bookcase of a published worked example takes it (studysoup.com 17970)."""
TALL_MM = 686.0
"""From 27 in. on furniture is held to the wall where children are: ASTM F2057-23."""
TETHER_N = 267.0
"""60 lb, the least a restraint is rated for: ASTM F3096-23."""
STUD_GRAVITY = 0.42
"""Softwood stud: spruce-pine-fir, NDS table 12.3.3A, from memory."""


@dataclass(frozen=True)
class Standing:
    """Weight, its middle, and the ground a piece stands on. [N], [mm]"""

    weight_n: float
    middle: np.ndarray
    lo: np.ndarray
    """Least x, y of the feet."""
    hi: np.ndarray
    top_mm: float
    floor_mm: float

    def tips_at_n(self, axis: int, sign: int, height_mm: float) -> float:
        """Level push at a height that tips it over its edge on that side. [N]"""
        edge = self.hi[axis] if sign > 0 else -self.lo[axis]
        return self.weight_n * max(edge - sign * self.middle[axis], 0.0) / max(height_mm - self.floor_mm, 1e-9)


@dataclass(frozen=True)
class Body:
    """A member as it weighs: weight, its middle, the box it fills. [N], [mm]"""

    weight_n: float
    middle: np.ndarray
    box: np.ndarray
    """2 x 3: least and greatest corner."""


Densities = tuple[tuple[str, float], ...]
"""(timber, density [kg/m3]) of each timber in a piece: all that its weight asks of them."""


def densities_of(piece: Piece, woods: dict) -> Densities:
    """Density of each timber in a piece, as what follows from it is kept under."""
    return tuple((t, woods[t].density_kg_m3) for t in dict.fromkeys(m.timber for m in piece.members))


def bodies_of(piece: Piece, woods: dict) -> dict[str, Body]:
    """Each member as it weighs, joints cut, by reference."""
    return _bodies(piece, densities_of(piece, woods))


@lru_cache(maxsize=64)
def _bodies(piece: Piece, densities: Densities) -> dict[str, Body]:
    out, of = {}, dict(densities)
    for m in piece.members:
        volume, middle, box = _filled(piece.shape(m.ref), m.placement)
        out[m.ref] = Body(volume * 1e-9 * of[m.timber] * G, middle, box)
    return out


@lru_cache(maxsize=512)
def _filled(shape: Shape, at: Placement) -> tuple[float, np.ndarray, np.ndarray]:
    """Volume of a shape, and the middle and the ends of the box it fills where it stands. [mm3], [mm]"""
    from studio_lib.solids.mesh import solid_of, volume_mm3

    if at.square:
        own = at.box_to_piece(_own_box(shape))
        box = np.array((own.lo, own.hi))
    else:
        body = solid_of(shape).transform(np.column_stack([at.along, at.across, at.through, at.origin]))
        box = np.array(body.bounding_box()).reshape(2, 3)
    return volume_mm3(shape), (box[0] + box[1]) / 2, box


@lru_cache(maxsize=512)
def _own_box(shape: Shape) -> Box:
    """The box a shape fills in its own axes. [mm]"""
    from studio_lib.solids.mesh import solid_of

    ends = solid_of(shape).bounding_box()
    return Box(tuple(ends[:3]), tuple(ends[3:]))


def standing(piece: Piece, woods: dict) -> Standing:
    """How a piece stands, empty."""
    return _stands(piece, densities_of(piece, woods))


@lru_cache(maxsize=64)
def _stands(piece: Piece, densities: Densities) -> Standing:
    from studio_lib.solids.mesh import placed

    bodies = _bodies(piece, densities)
    weight = sum(b.weight_n for b in bodies.values())
    middle = sum(b.weight_n * b.middle for b in bodies.values()) / weight
    floor = min(b.box[0, 2] for b in bodies.values())
    feet = np.array([_foot(placed(piece, r), floor) for r, b in bodies.items() if b.box[0, 2] < floor + 2.0])
    return Standing(weight, middle, feet[:, 0].min(axis=0), feet[:, 1].max(axis=0), max(b.box[1, 2] for b in bodies.values()), floor)


def _foot(body, floor: float) -> np.ndarray:
    """Where a member stands on the floor: least and greatest x, y."""
    points = np.asarray(body.to_mesh().vert_properties)[:, :3]
    low = points[points[:, 2] < floor + 5.0]
    return np.array([low[:, :2].min(axis=0), low[:, :2].max(axis=0)])


EDGE_MENDS = {
    "seat": "Let the seat stand out less past the feet, or set the legs wider apart.",
    "table": "Let the top stand out less past the legs, or set the legs wider apart; a heavier top helps where it lies between the legs.",
}
"""What helps a seat or a table that tips at its edge."""


def edge_findings(piece: Piece, stands: Standing, loads: dict[str, Load]) -> list[Finding]:
    """Tipping over the feet by someone at the edge of a seat or a table, the piece standing empty."""
    kind = serves(piece.form)
    if kind not in PAD_MM or "edge" not in loads:
        return []
    load, inside, outward = (loads["edge"], 50.0, 0.0) if kind == "table" else (loads["edge"], 60.0, 20.0)
    boxes = [m.piece_box for m in bearing(piece)]
    if not boxes:
        return []
    found = []
    for axis, words in ((0, "over its end"), (1, "over its side")):
        worst = None
        for sign in (-1, 1):
            foot = stands.hi[axis] if sign > 0 else -stands.lo[axis]
            edge = max(sign * (b.hi if sign > 0 else b.lo)[axis] for b in boxes)
            tipping = load.force_n * max(edge - inside - foot, 0.0) + outward * piece.overall_mm[2]
            righting = stands.weight_n * (foot - sign * stands.middle[axis]) + load.force_n * max(foot - (edge - inside), 0.0)
            if worst is None or tipping / max(righting, 1.0) > worst[0] / max(worst[1], 1.0):
                worst = (tipping, righting)
        tipping, righting = worst
        found.append(from_ratio(
            piece.name, f"tipping {words}", tipping / 1000, max(righting, 1.0) / 1000, "N m",
            rule=f"{load.what}: {load.force_n:.0f} N at {inside:.0f} mm from the edge",
            source="EN 581-3 and EN 1022 by moments about the feet; force " + load.source,
            mend=EDGE_MENDS[kind], stage="sizes", look_again_from=0.9,
            says=f"{load.force_n:.0f} N near its edge turn it with {tipping / 1000:.0f} N m; it tips from {righting / 1000:.0f} N m",
        ))
    return found


def push_finding(piece: Piece, stands: Standing) -> Finding | None:
    """Whether a level push at the top slides the piece or tips it, on a floor of usual grip; forms of cases judge it themselves."""
    if serves(piece.form) == "screen":
        return None  # its form looks at how it stands
    kind = serves(piece.form)
    tips, over = min((stands.tips_at_n(axis, sign, stands.top_mm), axis) for axis in (0, 1) for sign in (-1, 1))
    slides = FRICTION * stands.weight_n
    first = "slides" if slides <= tips else "tips"
    test = {"seat": "; no test asks that of an empty seat: EN 1022 loads it first", "table": "; no test asks that of a table: a load at its edge is what counts"}
    return Finding(
        piece.name, "pushed at the top", Verdict.STANDS,
        f"standing empty it {first} first: a push at the top slides it from {slides:.0f} N and tips it over its {'side' if over else 'end'} from "
        f"{tips:.0f} N{test.get(kind, '') if first == 'tips' else ''}",
        rule=f"what slides does not fall; friction {FRICTION:g}", source="moments about the feet; friction as in a published bookcase example", stage="sizes",
    )


def fixing_finding(piece: Piece, stands: Standing, push: Load | None) -> Finding | None:
    """What two wall fixings at the top of a tall case must hold, and a screw that would."""
    height = stands.top_mm - stands.floor_mm
    depth = stands.hi[1] - stands.lo[1]
    if serves(piece.form) != "shelf" or height < TALL_MM or push is None:
        return None
    righting = stands.weight_n * min(stands.hi[1] - stands.middle[1], stands.middle[1] - stands.lo[1])
    climbing = TETHER_N * 100.0  # a child hanging 100 mm before the front edge; a judgement of ours
    pull = max((push.force_n * height + climbing - righting) / height, TETHER_N)
    each = pull / 2
    thread = next((t for t in (25, 30, 40, 50, 60, 80) if lag_pull_n(STUD_GRAVITY, 6.35, t) * 1.6 >= pull), 80)
    return Finding(
        piece.name, "load on a wall fixing", Verdict.STANDS,
        f"if it is fixed: two fixings near the top that hold {each:.0f} N each, and either alone {pull:.0f} N; in a softwood stud a 6 mm coach screw "
        f"with {thread} mm of thread does, in masonry a plug rated for it",
        rule=f"{push.force_n:.0f} N outward at the top and a child of {TETHER_N:.0f} N hanging on its front, {depth:.0f} mm deep and empty; {TETHER_N:.0f} N at the least",
        source="ASTM F3096-23 for the least; moments about the front edge; NDS 12.2-1 for the screw; half of recorded restraint failures were at the fixing",
        stage="sizes",
    )


def rocking_finding(piece: Piece, model: Model, resting: tuple[np.ndarray, np.ndarray], falls_mm: float = 0.0) -> Finding | None:
    """How uneven a floor four feet follow under the piece's own weight: one foot let go, how far it sinks.

    ``resting``: what the ground does on each node under that weight, joints soft and stiff, nodes x 6. [N], [N mm]
    ``falls_mm``: how far the floor falls over 2 m, where that was measured. A floor that slopes evenly rocks nothing; but one
    that falls is taken to be out of flat under the feet by as much as it falls from corner to corner, a judgement of ours. [mm]
    """
    feet = np.flatnonzero(model.soft.fixed[:, 2])
    if len(feet) != 4 or serves(piece.form) == "screen":
        return None
    follows = []
    for frame, reactions in zip((model.soft, model.stiff), resting):
        moved = frame.let_go(feet, reactions[feet])
        if moved is None:
            return None
        follows.append(float((-moved[:, 2]).min()))
    soft, stiff = max(follows), max(min(follows), 0.0)
    uneven = falls_mm * float(np.hypot(*piece.overall_mm[:2])) / FALLS_OVER_MM
    rocks = uneven > soft + 0.05
    floor = f"; this floor may be {uneven:.1f} mm out of flat under it" if uneven >= 0.05 else ""
    return Finding(
        piece.name, "rocking on an uneven floor", Verdict.LOOK_AGAIN if rocks else Verdict.STANDS,
        f"its four feet follow a floor {stiff:.1f} to {soft:.1f} mm out of flat under its own weight{floor}; beyond that it rocks, on a floor that only "
        "slopes it does not; three feet never rock",
        rule="one foot let go, how far it sinks, beside what the floor falls from corner to corner",
        source="frame of the whole piece, joints between a soft and a stiff bound of ours; a floor that falls is not flat either: a judgement of ours",
        mend="Glides that screw up and down or felt pads under the feet, the short foot packed; or fit the feet where it stands." if rocks else "",
        stage="sizes",
    )
