"""Blocks as solids of the mesh kernel, for what cannot be said with boxes alone."""

from __future__ import annotations

from functools import lru_cache

import manifold3d
import numpy as np

from studio_lib.piece.model import Block, Box
from studio_lib.piece.outline import flat


@lru_cache(maxsize=8192)
def bulk(block: Block) -> manifold3d.Manifold:
    """The block as a solid, in the axes it is given in."""
    if isinstance(block, Box):
        # low + size misses high by the last digit: a cut up to a face would leave a skin as thin.
        return manifold3d.Manifold.cube(block.size).translate(block.lo).warp_batch(lambda points: np.round(points, 7))
    at = block.at
    drawn = manifold3d.Manifold.extrude(manifold3d.CrossSection([list(flat(block.outline, block.few))]), block.depth_mm)
    return drawn.transform(np.column_stack([at.along, at.across, at.through, at.origin])).warp_batch(lambda points: np.round(points, 7))


def gap_mm(a: Block, b: Block, within_mm: float) -> float:
    """Least distance between two blocks, ``within_mm`` when it is no less; below 0 where they meet. [mm]

    For boxes the depth by which they meet; for others -1 stands for any depth.
    """
    gaps = [max(l2 - h1, l1 - h2) for l1, h1, l2, h2 in zip(a.bounds.lo, a.bounds.hi, b.bounds.lo, b.bounds.hi)]
    if max(gaps) >= within_mm or (isinstance(a, Box) and isinstance(b, Box)):
        return min(max(gaps), within_mm)
    if (bulk(a) ^ bulk(b)).volume() > 1e-3:
        return -1.0
    return bulk(a).min_gap(bulk(b), within_mm)
