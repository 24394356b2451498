"""Mirrored twins: members that are alike but for the hand, whatever way round they lie in the piece."""

from __future__ import annotations

import math
from functools import lru_cache

from studio_lib.piece.model import Piece, Shape, as_prism
from studio_lib.piece.outline import arc, sides

MIRRORS = {
    (False, False, True): "face and back changed over",
    (False, True, False): "lower and upper edge changed over",
    (True, False, False): "laid out from its other end",
    (True, True, True): "laid out from its other end, face and back, lower and upper edge changed over",
}
"""Ways to mirror a member along, across and through; any other mirroring is one of these turned about."""
GRID_PER_MM = 50.0
OFF_GRID = 0.00317
"""Keeps round figures off the edges of the grid that places are compared on. [mm]"""


@lru_cache(maxsize=1024)
def _points(shape: Shape) -> tuple:
    """What a shape is made of: for each block its kind and the corners of it, middles of arcs among them. [mm]"""

    def corners(outline):
        for start, end, bulge in sides(outline):
            yield start
            if bulge:
                u, v, r, first, sweep = arc(start, end, bulge)
                yield u + r * math.cos(first + sweep / 2), v + r * math.sin(first + sweep / 2)

    found = [("profile", tuple((x, *p) for x in (0.0, shape.length_mm) for p in corners(shape.profile)))]
    for kind in ("adds", "cuts", "within", "shaped"):
        for block in getattr(shape, kind):
            prism = as_prism(block)
            found.append(
                (
                    kind,
                    tuple(
                        prism.at.to_piece((u, v, w)) for u, v in corners(prism.outline) for w in (0.0, prism.depth_mm)
                    ),
                )
            )
    return tuple(found)


@lru_cache(maxsize=1024)
def _signature(shape: Shape, width_mm: float, thickness_mm: float, flip: tuple[bool, bool, bool]) -> frozenset:
    size = (shape.length_mm, width_mm, thickness_mm)
    blocks: dict[tuple, int] = {}
    for kind, points in _points(shape):
        key = (
            kind,
            frozenset(
                tuple(round(((s - c if f else c) + OFF_GRID) * GRID_PER_MM) for c, s, f in zip(p, size, flip))
                for p in points
            ),
        )
        blocks[key] = blocks.get(key, 0) + 1
    return frozenset(blocks.items())


def handed(piece: Piece, ref: str, other: str) -> str:
    """How ``other`` is the mirror image of ``ref``, in words; empty where it is not, or where both are alike."""
    a, b = piece.member(ref), piece.member(other)
    sizes = [(m.length_mm, m.width_mm, m.thickness_mm) for m in (a, b)]
    if any(abs(p - q) > 1e-6 for p, q in zip(*sizes)) or piece.shape(ref) == piece.shape(other):
        return ""
    as_it_is = _signature(piece.shape(other), b.width_mm, b.thickness_mm, (False, False, False))
    for flip, words in MIRRORS.items():
        if _signature(piece.shape(ref), a.width_mm, a.thickness_mm, flip) == as_it_is:
            return words
    return ""


def ways(piece: Piece, refs) -> list[list[str]]:
    """References of members worked exactly alike, in their order."""
    alike: dict[Shape, list[str]] = {}
    for ref in refs:
        alike.setdefault(piece.shape(ref), []).append(ref)
    return list(alike.values())


def not_alike(piece: Piece, refs) -> str:
    """What has to be said of members on one line that are not worked alike; empty where they are."""
    found = ways(piece, refs)
    if len(found) == 1:
        return ""
    if len(found) == 2 and handed(piece, found[0][0], found[1][0]):
        return "are mirror images" if len(refs) == 2 else f"are {len(found[0])} as {found[0][0]} and {len(found[1])} mirrored"
    if len(found) == len(refs):
        return "differ" if len(refs) == 2 else "all differ"
    return f"are worked in {len(found)} ways"
