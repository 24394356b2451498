"""Where two members lie against each other, or face each other across a gap: what screws and cables go by."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from studio_lib.piece.model import Box, Member

TOUCH_MM = 1.0
"""How far two faces may miss each other and still be taken as touching."""
LEAST_SHARED_MM = 1.0


@dataclass(frozen=True)
class Facing:
    """Two faces that look at each other, in the first member's own axes."""

    axis: int
    """Axis of the first along which the second lies: 0 along its grain, 1 its width, 2 its thickness."""
    sign: float
    """1 where the second lies beyond the first's high side, -1 beyond its low side."""
    lo: tuple[float, float, float]
    hi: tuple[float, float, float]
    """The block between the two faces: no size along ``axis`` where they touch."""
    second: Box
    """The second's block in the first's axes."""

    @property
    def gap_mm(self) -> float:
        return self.hi[self.axis] - self.lo[self.axis]

    @cached_property
    def plane(self) -> tuple[int, int]:
        """The two axes of the faces, the longer shared side first."""
        a, b = (k for k in range(3) if k != self.axis)
        return (a, b) if self.hi[a] - self.lo[a] >= self.hi[b] - self.lo[b] else (b, a)

    def through_mm(self, first: Member) -> float:
        """Size of the first in the direction of the second. [mm]"""
        return first.box.hi[self.axis]

    @cached_property
    def far_mm(self) -> float:
        """Size of the second in the same direction. [mm]"""
        return self.second.size[self.axis]

    @cached_property
    def way(self) -> tuple[float, float, float]:
        """Unit vector from the first to the second, in the first's axes."""
        return tuple(self.sign if k == self.axis else 0.0 for k in range(3))


@lru_cache(maxsize=4096)
def facing(first: Member, second: Member, most_gap_mm: float = TOUCH_MM) -> Facing | None:
    """The faces that two members turn to each other, no further apart than ``most_gap_mm``; None where there are none.

    Members must stand square to each other.
    """
    relative = first.placement.seen(second.placement)
    if not relative.square:
        return None
    other = relative.box_to_piece(second.box)
    own = first.box
    best = None
    for axis in range(3):
        for sign, gap in ((1.0, other.lo[axis] - own.hi[axis]), (-1.0, own.lo[axis] - other.hi[axis])):
            if not -TOUCH_MM <= gap <= most_gap_mm:
                continue
            lo = [max(a, b) for a, b in zip(own.lo, other.lo)]
            hi = [min(a, b) for a, b in zip(own.hi, other.hi)]
            near = own.hi[axis] if sign > 0 else own.lo[axis]
            lo[axis], hi[axis] = min(near, near + sign * max(gap, 0.0)), max(near, near + sign * max(gap, 0.0))
            if any(hi[k] - lo[k] < LEAST_SHARED_MM for k in range(3) if k != axis):
                continue
            if best is None or abs(gap) < best[0]:
                best = (abs(gap), Facing(axis, sign, tuple(lo), tuple(hi), other))
    return best[1] if best else None
