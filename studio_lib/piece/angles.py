"""Compound angles: legs that lean two ways, and the plane in which a member's end must be cut.

Closed forms: for a leg that leans ``splay`` seen from the front and ``rake`` seen from the side,
tan(lean) = sqrt(tan(splay)^2 + tan(rake)^2), the sight line turns by atan(tan(rake) / tan(splay)),
and the leg is longer than it is high by sqrt(1 + tan(splay)^2 + tan(rake)^2).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.piece.model import Member, Placement, Vec
from studio_lib.piece.mortise_tenon import dot, unit
from studio_lib.piece.shaping import EndCut


@dataclass(frozen=True)
class Lean:
    """A leg's two angles and what follows from them. [degrees]"""

    splay_deg: float
    """Off upright, seen from the front."""
    rake_deg: float
    """Off upright, seen from the side."""

    @property
    def _slopes(self) -> tuple[float, float]:
        return math.tan(math.radians(self.splay_deg)), math.tan(math.radians(self.rake_deg))

    @property
    def resultant_deg(self) -> float:
        """Off upright in the leg's own plane: what a drill is tilted by."""
        return math.degrees(math.atan(math.hypot(*self._slopes)))

    @property
    def sight_deg(self) -> float:
        """From the front's line to the plane the leg leans in, seen from above."""
        s, r = self._slopes
        return math.degrees(math.atan2(r, s))

    @property
    def longer(self) -> float:
        """Length of the leg's middle line over its height."""
        s, r = self._slopes
        return math.sqrt(1 + s * s + r * r)

    def upward(self, sx: float, sy: float) -> Vec:
        """Unit vector up a leg whose foot stands out to ``sx`` and ``sy`` (each -1 or 1)."""
        s, r = self._slopes
        return unit((-sx * s, -sy * r, 1.0))


def cut_to(member: Member, end: str, point: Vec, normal: Vec) -> Member:
    """The member with an end moved and cut to a plane, given in piece axes.

    Its longest line then ends in the plane. Raises ValueError where its length runs along the plane.
    """
    p = member.placement
    along = dot(normal, p.along)
    if abs(along) < 0.05:
        raise ValueError(f"{member.name} ({member.ref}) runs along the face it should be cut to.")
    gy, gz = -dot(normal, p.across) / along, -dot(normal, p.through) / along
    x0 = dot(normal, tuple(a - b for a, b in zip(point, p.origin))) / along
    ys, zs = gy * member.width_mm, gz * member.thickness_mm
    if end == "end":
        longest = x0 + max(ys, 0.0) + max(zs, 0.0)
        moved, slopes = replace(member, length_mm=longest), (-gy, -gz)
    else:
        start = x0 + min(ys, 0.0) + min(zs, 0.0)
        origin = tuple(o + start * a for o, a in zip(p.origin, p.along))
        moved = replace(member, length_mm=member.length_mm - start, placement=Placement(origin, p.along, p.across))
        slopes = (gy, gz)
    angles = [math.degrees(math.atan(s)) for s in slopes]
    if max(map(abs, angles)) < 1e-6:
        return moved
    return replace(moved, shaping=(*moved.shaping, EndCut(end, *(round(a, 9) for a in angles))))
