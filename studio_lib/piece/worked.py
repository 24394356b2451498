"""What is worked on a member: every tenon, mortise, notch and hole, by its distance from the member's datum end."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import zip_longest

from studio_lib.piece.bulk import bulk
from studio_lib.piece.model import Block, Box, Member, Piece, Placement, Prism, Vec, as_prism
from studio_lib.piece.mortise_tenon import CUT_FLUSH, MITRED_END
from studio_lib.piece.outline import arc, bounds, rectangle, sides
from studio_lib.units import mm

SAME_MM = 0.05
"""Nearer than this is one place."""
NOT_BY_SIZE = {MITRED_END: "at half the corner", CUT_FLUSH: "flush with the far face"}
"""What is cut off beyond a plane: how it lies says it, no size does."""


@dataclass(frozen=True)
class Worked:
    """Something worked on a member, by the block it takes away or adds, from the member's datum end. [mm]"""

    what: str
    from_mm: float
    to_mm: float
    side: str
    lower_mm: tuple[float, float]
    """From the lower edge, its two sides."""
    face_mm: tuple[float, float]
    """In from the face, its two sides."""
    round_mm: float = 0.0
    """Diameter of a round hole."""
    aslant: str = ""
    """True sizes and angle of what does not lie square to the member."""
    sloping: str = ""
    """Where it lies from the sloping edge of a shaped member that it is cut into or runs along."""
    mouth_mm: tuple[float, float, float] | None = None
    """Of what is let in aslant, or through a face that slopes, the middle of its mouth: from the datum end, the lower edge, the face."""
    deep_mm: float = 0.0
    """How deep that is, from the middle of its mouth along its own way in."""
    slot: bool = False
    """Whether it is a hole drawn out to a slot with round ends, which is marked by its middle as a hole is."""

    @property
    def middle_mm(self) -> float | None:
        """Where its middle is along the member, where it is marked by that: holes across it, slots, what is let in aslant. [mm]"""
        if self.mouth_mm:
            return self.mouth_mm[0]
        across = self.round_mm and abs((self.to_mm - self.from_mm) - self.round_mm) < 0.2
        return (self.from_mm + self.to_mm) / 2 if across or self.slot else None


def worked(piece: Piece, ref: str) -> list[Worked]:
    """Every tenon, mortise, notch and hole of a member, in the order of their distance from its datum end."""
    m = piece.member(ref)
    start, end = piece.tenons_mm(ref)
    edges = _sloping_edges(m)
    out = []

    def add(what: str, block, tenon: bool, way: Vec | None = None):
        box = block.bounds if tenon or isinstance(block, Box) or _round(block) else _within(block, m, start, end)
        if box is None:
            return
        low = [
            max(box.lo[0], -start),
            box.lo[1] if tenon else max(box.lo[1], 0.0),
            box.lo[2] if tenon else max(box.lo[2], 0.0),
        ]
        high = [
            min(box.hi[0], m.length_mm + end),
            box.hi[1] if tenon else min(box.hi[1], m.width_mm),
            box.hi[2] if tenon else min(box.hi[2], m.thickness_mm),
        ]
        if tenon:
            low[0], high[0] = _from_its_shoulder(m, low, high)
        if min(h - l for l, h in zip(low, high)) < SAME_MM:
            return
        side = "tenon" if tenon else _side(Box(tuple(low), tuple(high)), m)
        let = None if tenon else _let_in(m, block, way, edges)
        sloping = ""
        for edge in edges if not tenon else ():
            sloping = sloping or edge.along(block, start)
            if side == "as drawn" and edge.entered(block):
                side = edge.name
                sloping = sloping or edge.level(low, high, let.deep_mm if let else 0.0)
        if let and (side == "as drawn" or side.startswith("through")):
            side = let.side
        out.append(
            Worked(
                what,
                round(start + low[0], 2),
                round(start + high[0], 2),
                side,
                (low[1], high[1]),
                (m.thickness_mm - high[2], m.thickness_mm - low[2]),
                _round(block),
                let.words if let else NOT_BY_SIZE.get(joint_kind(what)) or _aslant_words(block),
                sloping,
                (round(start + let.mouth[0], 4), let.mouth[1], m.thickness_mm - let.mouth[2]) if let else None,
                let.deep_mm if let else 0.0,
                joint_kind(what) in SCREWED and _slotted(block),
            )
        )

    for joint in piece.worked_by:
        if ref not in (joint.first, joint.second):
            continue
        other = joint.second if ref == joint.first else joint.first
        name = f"{other} {piece.member(other).name}"
        entry = joint.entry(piece)
        way = m.placement.turn_back(entry) if entry else None
        if way and ref == joint.first:  # what is cut into the first itself goes the other way
            way = tuple(-c for c in way)
        for block, kind in zip_longest(joint.adds(piece).get(ref, ()), joint.named_parts(piece, ref, True)):
            add(f"{kind or joint.kind}, {name}", block, True)
        for block, kind in zip_longest(joint.cuts(piece).get(ref, ()), joint.named_parts(piece, ref, False)):
            add(f"{kind or joint.kind}, {name}", block, False, way)
    for shaping in m.shaping:
        for block in shaping.cuts(m) if shaping.kind != "end cut" else ():
            box = block.bounds
            if min(box.hi[0], m.length_mm) - max(box.lo[0], 0.0) < m.length_mm - SAME_MM:
                add(shaping.kind, block, False)
    return _run_together(sorted(dict.fromkeys(out), key=lambda k: (k.from_mm, k.to_mm, k.what)))


@dataclass(frozen=True)
class _Edge:
    """An edge of a shaped member that slopes across the board it is sawn from; in the member's x and y. [mm]"""

    name: str
    start: tuple[float, float]
    end: tuple[float, float]

    @property
    def way(self) -> tuple[float, float]:
        long = math.dist(self.start, self.end)
        return (self.end[0] - self.start[0]) / long, (self.end[1] - self.start[1]) / long

    def _seen(self, points) -> tuple[list[float], list[float]]:
        """Distances along the edge from its start, and in from it."""
        (ux, uy), (x0, y0) = self.way, self.start
        inward = 1.0 if "lower" in self.name else -1.0
        return (
            [(x - x0) * ux + (y - y0) * uy for x, y in points],
            [inward * (ux * (y - y0) - uy * (x - x0)) for x, y in points],
        )

    def along(self, block, tenon_mm: float) -> str:
        """Where a block that lies parallel to the edge is from it, else ''."""
        at = getattr(block, "at", None)
        if at is None or at.square or _round(block):
            return ""
        ux, uy = self.way
        if not any(abs(abs(a[0] * ux + a[1] * uy) - 1) < 1e-6 for a in (at.along, at.across, at.through)):
            return ""
        along, inward = self._seen(_plan(block))
        return (
            f"{mm(min(along))} to {mm(max(along))} along the {self.name} from the bend at {mm(tenon_mm + self.start[0])}, "
            f"{mm(min(inward))} to {mm(max(inward))} in from it"
        )

    def entered(self, block) -> bool:
        """Whether a block comes in through the edge."""
        along, inward = self._seen(_plan(block))
        return min(inward) < -SAME_MM < SAME_MM < max(inward) and 0 < sum(along) / len(along) < math.dist(
            self.start, self.end
        )

    def level(self, low, high, deep_mm: float) -> str:
        """How deep a block cut square to the board goes in from the edge at the middle of its mouth, and where its bottom is."""
        bottom = high[1] if "lower" in self.name else low[1]
        deep = f"{mm(deep_mm)} deep from the {self.name} at the middle of its mouth, square to the board; " if deep_mm else ""
        return f"{deep}its bottom {mm(bottom)} from the board's lower edge"

    @property
    def inward(self) -> Vec:
        """Unit vector square to the edge, into the timber."""
        ux, uy = self.way
        return (-uy, ux, 0.0) if "lower" in self.name else (uy, -ux, 0.0)


def _plan(block) -> list[tuple[float, float]]:
    """Corners of a block as seen on the face. [mm]"""
    if isinstance(block, Box):
        return [(x, y) for x in (block.lo[0], block.hi[0]) for y in (block.lo[1], block.hi[1])]
    return [block.at.to_piece((*c[:2], w))[:2] for c in block.outline for w in (0.0, block.depth_mm)]


def _sloping_edges(m) -> list[_Edge]:
    """Straight edges of what a member is kept within that slope across its face, each from the end nearer its start."""
    out = []
    for s in m.shaping:
        for prism in s.within(m):
            if abs(prism.at.through[2]) < 1 - 1e-9:
                continue
            for a, b, bulge in sides(prism.outline):
                p, q = sorted(prism.at.to_piece((*c, 0.0))[:2] for c in (a, b))
                if not bulge and q[0] - p[0] > 1.0 and abs(q[1] - p[1]) > 1e-6:
                    middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
                    ys = [prism.at.to_piece((*c[:2], 0.0))[1] for c in prism.outline]
                    across = [
                        u[1] + (v[1] - u[1]) * (middle[0] - u[0]) / (v[0] - u[0])
                        for u, v in (
                            sorted(prism.at.to_piece((*c, 0.0))[:2] for c in (e, f)) for e, f, _ in sides(prism.outline)
                        )
                        if u[0] <= middle[0] <= v[0] and v[0] - u[0] > 1e-9
                    ]
                    lower = middle[1] <= min(across, default=min(ys)) + SAME_MM
                    out.append(_Edge("sloping lower edge" if lower else "sloping upper edge", p, q))
    return out


def _from_its_shoulder(m: Member, low, high) -> tuple[float, float]:
    """From where to where a tenon stands out: on a slanted shoulder it begins at the middle of its own part of it. [mm]"""
    y, z = (low[1] + high[1]) / 2, (low[2] + high[2]) / 2
    back = {c.end: c.depth_mm(m, y, z) for c in m.shaping if c.kind == "end cut"}
    if high[0] > m.length_mm + SAME_MM:
        return max(low[0], m.length_mm - back.get("end", 0.0)), high[0]
    return low[0], min(high[0], back.get("start", 0.0))


@dataclass(frozen=True)
class _LetIn:
    """Something let in aslant, or through a face that slopes, in the member's axes. [mm]"""

    side: str
    mouth: Vec
    deep_mm: float
    words: str


FACES = (("start", "end"), ("lower edge", "upper edge"), ("back", "face"))
LEAST_DEG = 0.05


def _let_in(m: Member, block: Block, way: Vec | None, edges) -> _LetIn | None:
    """What ``block`` is where it does not go in square to a flat face; None where it does, or where no one way in is told."""
    prism = as_prism(block)
    if _round(block):
        way = prism.at.through
    into_end = way is not None and abs(way[0]) > 0.5
    shaped = any(s.within(m) or s.kind == "taper" or into_end and s.kind == "end cut" for s in m.shaping)
    if way is None or prism.at.square and not shaped:
        return None
    axes = (prism.at.along, prism.at.across, prism.at.through)
    into = next((k for k in range(3) if abs(_dot(axes[k], way)) > 1 - 1e-6), None)
    if into is None:
        return None
    u0, v0, u1, v1 = bounds(prism.outline)
    spans = ((u0, u1), (v0, v1), (0.0, prism.depth_mm))
    middle = prism.at.to_piece(tuple((a + b) / 2 for a, b in spans))
    half = (spans[into][1] - spans[into][0]) / 2
    met = _timber_on(m, middle, way)
    if met is None or met[0] > half - SAME_MM:
        return None
    mouth = tuple(c + met[0] * w for c, w in zip(middle, way))
    through = half > met[1] - SAME_MM
    deep = min(half, met[1]) - met[0]
    side, inward, along = _entered(m, mouth, way, edges, block)
    off = _going_in(side, inward, along, way)
    first, second = sorted((k for k in range(3) if k != into), key=lambda k: spans[k][0] - spans[k][1])
    longways = sorted((first, second), key=lambda k: -round(abs(_dot(axes[k], along)), 6))
    size = f"Ø {mm(_round(block))}" if _round(block) else " x ".join(mm(spans[k][1] - spans[k][0]) for k in longways)
    turned = "" if _round(block) else _turned(side, inward, along, axes[first], axes[second])
    slanted_end = side in FACES[0] and min(abs(mouth[0]), abs(mouth[0] - m.length_mm)) > SAME_MM
    if prism.at.square and not off and not turned and not slanted_end:
        return None
    return _LetIn(side, mouth, deep, ", ".join(v for v in (size, "through" if through else f"{mm(deep)} deep", off, turned) if v))


def _timber_on(m: Member, point: Vec, way: Vec) -> tuple[float, float] | None:
    """Where a line through a point enters a member's own timber, shaped but without its joints, and where it leaves. [mm]"""
    far = 2 * sum(m.box.hi)
    start = tuple(c - far * w for c, w in zip(point, way))
    side = min(range(3), key=lambda k: abs(way[k]))
    square = tuple(float(k == side) - way[k] * way[side] for k in range(3))
    long = math.sqrt(_dot(square, square))
    line = Prism(rectangle(-THIN_MM, -THIN_MM, THIN_MM, THIN_MM), Placement(start, *_frame(way, tuple(c / long for c in square))), 2 * far)
    met = bulk(line) ^ bulk(m.box)
    for s in m.shaping:
        for block in s.within(m):
            met = met ^ bulk(block)
        for block in s.cuts(m) if s.kind in ("taper", "end cut") else ():
            met = met - bulk(block)
    if met.is_empty():
        return None
    at = [_dot([a - b for a, b in zip(v, point)], way) for v in met.to_mesh().vert_properties[:, :3].tolist()]
    return min(at), max(at)


THIN_MM = 0.001
"""Half the thickness of a line that is met with timber."""


def _frame(way: Vec, along: Vec) -> tuple[Vec, Vec]:
    """Two directions whose vector product is ``way``, the first of them ``along``."""
    (a, b, c), (p, q, r) = way, along
    return along, (b * r - c * q, c * p - a * r, a * q - b * p)


def _entered(m: Member, mouth: Vec, way: Vec, edges, block) -> tuple[str, Vec, Vec]:
    """The side that a mouth lies in, the way in square to it, and the way along it from the member's start."""
    for edge in edges:
        if edge.entered(block) and _dot(edge.inward, way) > 0:
            return edge.name, edge.inward, (*edge.way, 0.0)
    flat = [
        (k, sign) for k in (1, 2, 0) for sign, bound in ((1.0, 0.0), (-1.0, m.box.hi[k]))
        if abs(mouth[k] - bound) < SAME_MM and sign * way[k] > 0
    ]
    k, sign = flat[0] if flat else max(((k, math.copysign(1.0, way[k])) for k in range(3)), key=lambda ks: abs(way[ks[0]]))
    inward = tuple(sign * float(i == k) for i in range(3))
    return FACES[k][sign < 0], inward, (1.0, 0.0, 0.0) if k else (0.0, 1.0, 0.0)


def _beside(side: str) -> Vec:
    """The way across a side, square to its length: to the upper edge on the face, to the face on an edge."""
    return (0.0, 1.0, 0.0) if side in ("face", "back") else (0.0, 0.0, 1.0)


def _going_in(side: str, inward: Vec, along: Vec, way: Vec) -> str:
    """How a way in leans off square to the side it enters, and where to. [words]"""
    said = []
    ends = ("start", "end") if side not in ("start", "end") else FACES[1]
    for axis, names in ((along, ends), (_beside(side), FACES[1] if side in ("face", "back") else FACES[2])):
        degrees = math.degrees(math.atan2(_dot(way, axis), _dot(way, inward)))
        if abs(degrees) > LEAST_DEG:
            said.append(f"{abs(degrees):.1f}° to the {names[degrees > 0]}")
    return GOING_IN + " and ".join(said) if said else ""


GOING_IN = "going in "


def _turned(side: str, inward: Vec, along: Vec, first: Vec, second: Vec) -> str:
    """How the sides of a mouth are turned against the length of the member. [words]"""
    beside = _beside(side)
    seen = [(_dot(v, along), _dot(v, beside)) for v in (first, second)]
    x, y = max(seen, key=lambda v: abs(v[0]))
    degrees = math.degrees(math.atan2(y, x))
    degrees = degrees - 180 if degrees > 90 else degrees + 180 if degrees < -90 else degrees
    if abs(degrees) < LEAST_DEG:
        return ""
    names = FACES[1] if side in ("face", "back") else FACES[2]
    return f"turned {abs(degrees):.1f}° to the {names[degrees > 0]}"


def _dot(a, b) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _within(block: Prism, m, start: float, end: float) -> Box | None:
    """The block that a cut fills of its member's own timber: cuts run on into air, and widen there where they are tapered."""
    timber = Box((-start, 0.0, 0.0), (m.length_mm + end, m.width_mm, m.thickness_mm))
    met = bulk(block) ^ bulk(timber)
    if met.is_empty():
        return None
    box = met.bounding_box()
    return Box(tuple(box[:3]), tuple(box[3:]))


def _run_together(things: list[Worked]) -> list[Worked]:
    """One line for what is worked in one go, such as a groove that holds several boards."""
    out: list[Worked] = []
    count: dict[int, int] = {}
    for k in things:
        kind = k.what.partition(",")[0]
        same = next(
            (
                i
                for i, o in enumerate(out)
                if not k.round_mm
                and not k.sloping
                and not k.mouth_mm
                and not o.mouth_mm
                and o.what.partition(",")[0] == kind
                and o.side == k.side
                and k.side != "tenon"
                and _near(o.lower_mm, k.lower_mm)
                and _near(o.face_mm, k.face_mm)
                and k.from_mm <= o.to_mm + SAME_MM
            ),
            None,
        )
        if same is None:
            out.append(k)
            continue
        o, count[same] = out[same], count.get(same, 0) + 1
        out[same] = Worked(o.what, o.from_mm, max(o.to_mm, k.to_mm), o.side, o.lower_mm, o.face_mm)
    return [
        Worked(f"{o.what} and {count[i]} more", o.from_mm, o.to_mm, o.side, o.lower_mm, o.face_mm) if i in count else o
        for i, o in enumerate(out)
    ]


def _near(a, b) -> bool:
    return all(abs(p - q) < SAME_MM for p, q in zip(a, b))


SCREWED = ("screws", "slotted screws")


def joint_kind(what: str) -> str:
    """'screws' of 'screws, A-S1 slat 1'."""
    return what.partition(",")[0]


def _slotted(block) -> bool:
    """Whether a block is a slot: two straight sides and two half rounds."""
    bulges = sorted(abs(c[2]) if len(c) == 3 else 0.0 for c in getattr(block, "outline", ()))
    return len(bulges) == 4 and bulges[1] < 1e-6 and bulges[2] > 1 - 1e-6


def _round(block) -> float:
    """Diameter where a block is a round hole, else 0. [mm]"""
    outline = getattr(block, "outline", ())
    if len(outline) == 2 and all(len(c) == 3 and abs(abs(c[2]) - 1) < 1e-6 for c in outline):
        return 2 * arc(*next(iter(sides(outline))))[2]
    return 0.0


def _aslant_words(block) -> str:
    """'40 x 8 x 38, turned 10.0°' for a square block that is turned against its member; else ''."""
    at = getattr(block, "at", None)
    if at is None or at.square or _round(block):
        return ""
    u0, v0, u1, v1 = bounds(block.outline)
    sizes = sorted((u1 - u0, v1 - v0, block.depth_mm), reverse=True)
    turned = max(
        min(math.degrees(math.acos(min(abs(c), 1.0))) for c in axis) for axis in (at.along, at.across, at.through)
    )
    return f"{' x '.join(mm(v) for v in sizes)}, turned {turned:.1f}°"


def _side(box: Box, m) -> str:
    """The side from which a cut is worked, the one it is least deep from; 'through' where it opens on both."""
    opens = []
    for axis, size, low, high in ((1, m.width_mm, "lower edge", "upper edge"), (2, m.thickness_mm, "back", "face")):
        at_low, at_high = box.lo[axis] <= SAME_MM, box.hi[axis] >= size - SAME_MM
        if at_low != at_high:
            opens.append((box.hi[axis] if at_low else size - box.lo[axis], low if at_low else high))
    if opens:
        return min(opens)[1]
    ends = box.lo[0] <= SAME_MM, box.hi[0] >= m.length_mm - SAME_MM
    through = [
        axis
        for axis, size in ((1, m.width_mm), (2, m.thickness_mm))
        if box.lo[axis] <= SAME_MM and box.hi[axis] >= size - SAME_MM
    ]
    if not through and any(ends):
        return "start" if ends[0] else "end"
    return (
        "across"
        if len(through) == 2
        else "through the face"
        if 2 in through
        else "through the edge"
        if 1 in through
        else "as drawn"
    )
