"""What is worked on a member: every tenon, mortise, notch and hole, by its distance from the member's datum end."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.piece.bulk import bulk
from studio_lib.piece.model import Box, Piece, Prism
from studio_lib.piece.outline import arc, bounds, sides
from studio_lib.units import mm

SAME_MM = 0.05
"""Nearer than this is one place."""


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


def worked(piece: Piece, ref: str) -> list[Worked]:
    """Every tenon, mortise, notch and hole of a member, in the order of their distance from its datum end."""
    m = piece.member(ref)
    start, end = piece.tenons_mm(ref)
    edges = _sloping_edges(m)
    out = []

    def add(what: str, block, tenon: bool):
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
        if min(h - l for l, h in zip(low, high)) < SAME_MM:
            return
        side = "tenon" if tenon else _side(Box(tuple(low), tuple(high)), m)
        sloping = ""
        for edge in edges if not tenon else ():
            sloping = sloping or edge.along(block, start)
            if side == "as drawn" and edge.entered(block):
                side, sloping = edge.name, sloping or edge.level(low, high)
        out.append(
            Worked(
                what,
                round(start + low[0], 2),
                round(start + high[0], 2),
                side,
                (low[1], high[1]),
                (m.thickness_mm - high[2], m.thickness_mm - low[2]),
                _round(block),
                _aslant_words(block),
                sloping,
            )
        )

    for joint in piece.worked_by:
        if ref not in (joint.first, joint.second):
            continue
        other = joint.second if ref == joint.first else joint.first
        words = f"{joint.kind}, {other} {piece.member(other).name}"
        for block in joint.adds(piece).get(ref, ()):
            add(words, block, True)
        for block in joint.cuts(piece).get(ref, ()):
            add(words, block, False)
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

    def level(self, low, high) -> str:
        """How deep a block cut square to the board goes in from the edge, at its two sides."""
        ux, uy = self.way
        at = [self.start[1] + (x - self.start[0]) * uy / ux for x in (low[0], high[0])]
        bottom = high[1] if "lower" in self.name else low[1]
        deep = sorted(abs(bottom - y) for y in at)
        return (
            f"{mm(deep[0])} to {mm(deep[1])} deep from the {self.name}, square to the board; "
            f"its bottom {mm(bottom)} from the board's lower edge"
        )


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
