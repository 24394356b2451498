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


def worked(piece: Piece, ref: str) -> list[Worked]:
    """Every tenon, mortise, notch and hole of a member, in the order of their distance from its datum end."""
    m = piece.member(ref)
    start, end = piece.tenons_mm(ref)
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
            )
        )

    for joint in piece.joints:
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
