"""Blocks as solids of the mesh kernel, for what cannot be said with boxes alone."""

from __future__ import annotations

import atexit
from collections.abc import Callable, Iterable
from functools import lru_cache

import manifold3d
import numpy as np

from studio_lib.piece.model import Block, Box, Placement
from studio_lib.piece.outline import Outline, flat

def let_go(kept: Callable) -> Callable:
    """For a function that keeps solids of the kernel: they go when Python ends, before the kernel does, which else tells of each as lost."""
    atexit.register(kept.cache_clear)
    return kept


DECIMALS = 7
"""Corners are kept to so many decimals of a mm: two ways to one place give it alike."""


@let_go
@lru_cache(maxsize=1024)
def bulk(block: Block) -> manifold3d.Manifold:
    """The block as a solid, in the axes it is given in."""
    if isinstance(block, Box):
        # low + size misses high by the last digit: a cut up to a face would leave a skin as thin.
        return manifold3d.Manifold.cube(block.size).translate(block.lo).warp_batch(lambda points: np.round(points, DECIMALS))
    return _put(block.at, (block.outline, block.depth_mm, block.few))


def bulks(blocks: Iterable[Block]) -> list[manifold3d.Manifold]:
    """Solids that together are the blocks; those begun at one place, as a screw's shank and its head, are one solid.

    Such a pair overlaps all round, and joining it anew for every screw takes longer than cutting the hole.
    """
    alone, begun = [], {}
    for block in blocks:
        if isinstance(block, Box):
            alone.append(bulk(block))
        else:
            begun.setdefault(block.at, []).append((block.outline, block.depth_mm, block.few))
    return alone + [_put(at, *drawn) for at, drawn in begun.items()]


@let_go
@lru_cache(maxsize=512)
def _drawn(*drawn: tuple[Outline, float, bool]) -> manifold3d.Manifold:
    """Outlines drawn out from one plane, in their own axes."""
    solids = [
        manifold3d.Manifold.extrude(manifold3d.CrossSection([list(flat(outline, few))]), depth_mm) for outline, depth_mm, few in drawn
    ]
    return manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add) if len(solids) > 1 else solids[0]


@let_go
@lru_cache(maxsize=2048)
def _put(at: Placement, *drawn: tuple[Outline, float, bool]) -> manifold3d.Manifold:
    """Outlines drawn out from one plane, where it stands."""
    turned = np.column_stack([at.along, at.across, at.through, at.origin])
    return _drawn(*drawn).transform(turned).warp_batch(lambda points: np.round(points, DECIMALS))



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
