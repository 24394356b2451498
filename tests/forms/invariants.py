"""What must hold of any piece, whatever form it came from; each returns what is wrong, in words."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import trimesh

from studio_lib.commission import Item
from studio_lib.piece import Piece
from studio_lib.piece.bulk import bulk
from studio_lib.solids import build, meshes, volume_mm3
from studio_lib.solids.mesh import PART, overlap_mm3, placed

TOUCH_MM = 0.05
PART_MM = 0.25
SLIVER_MM3 = 2.0
"""Less than this is the rounding of two kernels, not timber claimed twice."""


def _near(a, b, reach=TOUCH_MM) -> bool:
    (alo, ahi), (blo, bhi) = a, b
    return all(l1 <= h2 + reach and l2 <= h1 + reach for l1, h1, l2, h2 in zip(alo, ahi, blo, bhi))


def _bounds(piece: Piece) -> dict:
    out = {}
    for m in piece.members:
        box = placed(piece, m.ref).bounding_box()
        out[m.ref] = (box[:3], box[3:])
    return out


def overlaps(piece: Piece) -> list[str]:
    """Members that claim the same timber."""
    bounds = _bounds(piece)
    found = []
    for a, b in combinations(bounds, 2):
        if _near(bounds[a], bounds[b], -1e-6):
            shared = overlap_mm3(piece, a, b)
            if shared > SLIVER_MM3:
                found.append(f"{piece.member(a).name} and {piece.member(b).name} share {shared:.1f} mm3")
    return found


def loose(piece: Piece) -> list[str]:
    """Members that are not held, by touch or by the spacers between them, to the rest of the piece."""
    bounds = _bounds(piece)
    solids = {r: placed(piece, r) for r in bounds}
    left = _apart(piece, solids, bounds)
    if left:  # spacers are many, so they are asked only where members alone do not hold together
        for number, part in enumerate(p for j in piece.joints for p in j.parts(piece)):
            solids[number] = bulk(part.block)
            bounds[number] = (part.block.bounds.lo, part.block.bounds.hi)
        left = _apart(piece, solids, bounds)
    return [f"{piece.member(r).name} ({r}) touches nothing" for r in left if r in piece.by_ref]


def _apart(piece: Piece, solids: dict, bounds: dict) -> list:
    """Of these bodies, those from which no touch leads to the first member."""
    joined = {pair for j in piece.joints for pair in ((j.first, j.second), (j.second, j.first))}

    def touch(r, h) -> bool:
        # Spacers, which have numbers, stand a hair apart so that each is seen; that hair is no gap.
        reach = PART_MM if isinstance(r, int) or isinstance(h, int) else TOUCH_MM
        return _near(bounds[r], bounds[h], reach) and solids[r].min_gap(solids[h], 1.0) <= reach

    left = list(solids)
    new = {left.pop(0)}
    while new:
        new = {r for r in left if any((r, h) in joined and touch(r, h) for h in new) or any(touch(r, h) for h in new)}
        left = [r for r in left if r not in new]
    return left


def hollow(piece: Piece) -> list[str]:
    """Members whose solid is not one sound body with timber in it."""
    found = []
    for mesh in meshes(piece):
        if mesh.role == PART:
            continue
        body = trimesh.Trimesh(mesh.vertices.astype(float), mesh.triangles.astype(int), process=False)
        block = np.prod(mesh.size_mm)
        if len(placed(piece, mesh.ref).decompose()) != 1:
            found.append(f"{mesh.name} ({mesh.ref}) has come apart")
        if not 0.02 * block < body.volume:
            found.append(f"{mesh.name} ({mesh.ref}) has hardly any timber left")
        # A second method for the volume, without either kernel: the triangles themselves.
        if abs(body.volume - volume_mm3(mesh.shape)) > 1e-3 * block:
            found.append(f"{mesh.name} ({mesh.ref}): triangles hold {body.volume:.0f} mm3, the kernel {volume_mm3(mesh.shape):.0f}")
    return found


def kernels_differ(piece: Piece, within: float = 1e-3) -> list[str]:
    """Members that the mesh kernel and the exact kernel do not build alike."""
    found = []
    for ref, solid in build(piece).items():
        exact, mesh = solid.val().Volume(), volume_mm3(piece.shape(ref))
        if abs(exact - mesh) > within * exact:
            found.append(f"{ref}: exact {exact:.1f} mm3, mesh {mesh:.1f} mm3")
    return found


def joints_without_sides(piece: Piece) -> list[str]:
    """Joints that name a member that is not there, or the same one twice."""
    return [
        f"{j.kind} {j.family}: {j.first}, {j.second}" for j in piece.joints
        if j.first == j.second or not {j.first, j.second} <= set(piece.by_ref)
    ]


def references_twice(piece: Piece) -> list[str]:
    """References that two members share."""
    refs = [m.ref for m in piece.members]
    return sorted({r for r in refs if refs.count(r) > 1})


def all_of(piece: Piece, exact: bool = False) -> list[str]:
    """Everything wrong with a piece; empty when it is sound."""
    found = references_twice(piece) + joints_without_sides(piece) + hollow(piece) + overlaps(piece) + loose(piece)
    return found + (kernels_differ(piece) if exact else [])


def there_and_back(item: Item) -> bool:
    """Whether a piece's document is the same once written and read."""
    return Item.model_validate_json(item.model_dump_json()) == item
