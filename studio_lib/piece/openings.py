"""Openings of a piece that are closed all round, measured from its members as they stand: from the front and from the side."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import manifold3d
import numpy as np

from studio_lib.piece.model import Member, Piece

SLAB_MM = 45.0
"""Members this far before or behind a rail still close an opening beside it: a head that is through one goes no further past the other. Judgement of ours."""
SAME_MM = 25.0
"""Rails this near to each other, one behind the other, are looked at together."""
LEAST_MM = 20.0
"""Narrower ones let no hand in and are left to the checks of gaps."""
VIEWS = (("seen from the front", 1, (0, 2)), ("seen from the side", 0, (1, 2)))


@dataclass(frozen=True)
class Opening:
    """One opening, closed all round."""

    where: str
    wide_mm: float
    high_mm: float
    narrowest_mm: float
    """The largest ball that goes through."""

    @property
    def counts_mm(self) -> tuple[float, float]:
        """Width and height, the smaller no more than the ball that goes through."""
        least = min(self.narrowest_mm, self.wide_mm, self.high_mm)
        return (least, self.high_mm) if self.wide_mm <= self.high_mm else (self.wide_mm, least)


@lru_cache(maxsize=64)
def closed_openings(piece: Piece) -> tuple[Opening, ...]:
    """Every opening of a piece that members close all round, alike ones once.

    Members are taken as the lengths they are cut to, not shaped; what reaches the floor closes nothing below it.
    """
    corners = [_corners(m) for m in piece.members]
    out: dict[tuple, Opening] = {}
    for where, depth, flat in VIEWS:
        spans = np.array([(c[:, depth].min(), c[:, depth].max()) for c in corners]).reshape(-1, 2)
        outlines: dict[int, manifold3d.CrossSection] = {}
        met: list[tuple[float, np.ndarray]] = []
        for at in _planes(piece, corners, spans, depth):
            near = np.flatnonzero((spans[:, 0] < at + SLAB_MM) & (spans[:, 1] > at - SLAB_MM)).tolist()
            for n in near:
                outlines.setdefault(n, manifold3d.CrossSection.hull_points([tuple(p) for p in corners[n][:, flat]]))
            met += [(at, hole) for hole in _holes(manifold3d.CrossSection.batch_boolean([outlines[n] for n in near], manifold3d.OpType.Add))]
        for hole in _least(met):
            wide, tall = (float(v) for v in np.ptp(hole, axis=0))
            if min(wide, tall) >= LEAST_MM:
                out.setdefault((where, round(wide), round(tall)), Opening(where, wide, tall, _narrowest(hole)))
    return tuple(out.values())


def _planes(piece: Piece, corners: list[np.ndarray], spans: np.ndarray, depth: int) -> list[float]:
    """How far back rails stand that run across the view, on edge: where it may be closed all round."""
    rails = [n for n, m in enumerate(piece.members) if abs(m.placement.along[2]) < 0.5 and abs(m.placement.along[depth]) < 0.5
             and np.ptp(corners[n][:, 2]) > 0.8 * np.ptp(corners[n][:, depth])]
    planes: list[float] = []
    for at in sorted(float(spans[n].mean()) for n in rails):
        if not planes or at - planes[-1] > SAME_MM:
            planes.append(at)
    return planes


def _least(met: list[tuple[float, np.ndarray]]) -> list[np.ndarray]:
    """Of holes that lie one before the other the smallest, which all that goes through must pass."""
    kept: list[tuple[float, np.ndarray]] = []
    for at, hole in sorted(met, key=lambda m: -_area(m[1])):
        if not any(abs(there - at) < 3 * SLAB_MM and (_over(hole, other) or _over(other, hole)) for there, other in kept):
            kept.append((at, hole))
    return [hole for _, hole in kept]


def _over(hole: np.ndarray, other: np.ndarray) -> bool:
    """Whether the middle of one hole lies within the other's bounds."""
    middle = (other.min(axis=0) + other.max(axis=0)) / 2
    return bool((hole.min(axis=0) < middle).all() and (middle < hole.max(axis=0)).all())


def _corners(m: Member) -> np.ndarray:
    p = m.placement
    return np.array([p.to_piece((x, y, z)) for x in (0.0, m.length_mm) for y in (0.0, m.width_mm) for z in (0.0, m.thickness_mm)])


def _holes(section: manifold3d.CrossSection) -> list[np.ndarray]:
    """Outlines of what a section leaves open inside it."""
    return [p for p in (np.asarray(p) for p in section.to_polygons()) if _area(p) < 0]


def _area(p: np.ndarray) -> float:
    after = np.roll(p, -1, axis=0)
    return float((p[:, 0] * after[:, 1] - p[:, 1] * after[:, 0]).sum()) / 2


def _narrowest(hole: np.ndarray) -> float:
    """Diameter of the largest circle within an outline, to half a millimetre. [mm]"""
    inside = manifold3d.CrossSection([hole[::-1]])
    low, high = 0.0, float(np.ptp(hole, axis=0).min())
    if not inside.offset(-(high / 2 - 0.05), manifold3d.JoinType.Miter).is_empty():
        return high
    while high - low > 0.5:
        middle = (low + high) / 2
        low, high = (low, middle) if inside.offset(-middle / 2, manifold3d.JoinType.Miter).is_empty() else (middle, high)
    return low
