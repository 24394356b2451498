"""Where two members lie across each other in one plane: what halvings and bridles are cut from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from studio_lib.finding import Finding
from studio_lib.piece.model import Block, Box, Joint, Member, Piece, Placement, Prism, Season, Vec
from studio_lib.piece.mortise_tenon import cross, dot, unit
from studio_lib.timber.provisions import GLUE_SAFE_MM, cross_grain_glue

NEAR_MM = 1.0
"""How far an end may lie from where it should and still be taken as there."""
LEAST_LAP_MM = 4.0
"""Thickness that two members must share before they can be cut into each other; common practice, no source."""

Layer = tuple[float, float, int]
"""From, to along the normal, and whose timber it is: 0 the first member's, 1 the second's. [mm]"""


@dataclass(frozen=True)
class Lap:
    """Two members across each other: the plane they lie in and the ground they share."""

    normal: Vec
    """Square to both lengths, in piece axes, its greatest part positive."""
    low: float
    high: float
    """What both hold along the normal. [mm]"""
    corners: tuple[Vec, ...]
    """The shared ground, in piece axes at no height along the normal."""
    square: bool
    along: tuple[Vec, Vec]
    spans: tuple[tuple[float, float], tuple[float, float]]
    """Of the shared ground along each member's length, in piece axes. [mm]"""
    ends: tuple[tuple[float, float], tuple[float, float]]
    """Where each member begins and ends, in piece axes along its length. [mm]"""
    sizes: tuple[float, float]
    """Size of each member along the normal. [mm]"""

    def covers(self, k: int) -> bool:
        """Whether a member runs over all of the shared ground."""
        (r0, r1), (x0, x1) = self.spans[k], self.ends[k]
        return x0 <= r0 + NEAR_MM and x1 >= r1 - NEAR_MM

    def stops_at(self, k: int) -> str:
        """The end of a member that stops short on the near side of the shared ground: 'start', 'end' or ''."""
        (r0, r1), (x0, x1) = self.spans[k], self.ends[k]
        return "end" if abs(x1 - r0) <= NEAR_MM else "start" if abs(x0 - r1) <= NEAR_MM else ""

    def ends_there(self, k: int) -> str:
        """The end of a member that lies at the far side of the shared ground: 'start', 'end' or ''."""
        (r0, r1), (x0, x1) = self.spans[k], self.ends[k]
        return "end" if abs(x1 - r1) <= NEAR_MM else "start" if abs(x0 - r0) <= NEAR_MM else ""

    def size_mm(self, k: int) -> float:
        """Of the shared ground along a member's length. [mm]"""
        return self.spans[k][1] - self.spans[k][0]

    def block(self, member: Member, n0: float, n1: float) -> Block:
        """The shared ground between two heights along the normal, in a member's own axes."""
        if self.square:
            points = [tuple(c + h * n for c, n in zip(corner, self.normal)) for corner in self.corners for h in (n0,
                    n1)]
            local = [member.placement.to_member(p) for p in points]
            return Box(tuple(min(p[k] for p in local) for k in range(3)),
                tuple(max(p[k] for p in local) for k in range(3)))
        along = self.along[0]
        across = cross(self.normal, along)
        outline = tuple((dot(c, along), dot(c, across)) for c in self.corners)
        at = Placement(tuple(n0 * n for n in self.normal), along, across)
        return member.placement.to_member_block(Prism(outline, at, n1 - n0))


@lru_cache(maxsize=4096)
def lapped(first: Member, second: Member) -> Lap:
    """How two members lie across each other. Raises ValueError, in words, where they do not lie in one plane."""
    a, b = first.placement, second.placement
    normal = cross(a.along, b.along)
    if dot(normal, normal) < 0.03:
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) run the same way, so they cannot be cut "
            "across each "
            "other. Turn one of them, or choose an edge joint."
        )
    normal = unit(normal)
    if max(normal, key=abs) < 0:
        normal = tuple(-c for c in normal)
    spans, sides, sizes = [], [], []
    for m in (first, second):
        p = m.placement
        axes = {"across": (p.across, m.width_mm), "through": (p.through, m.thickness_mm)}
        flat = next((name for name, (axis, _) in axes.items() if abs(abs(dot(axis, normal)) - 1) < 1e-6), None)
        if flat is None:
            raise ValueError(
                f"{first.name} ({first.ref}) and {second.name} ({second.ref}) are twisted to each other, so they "
                "cannot be cut "
                f"into each other. Turn {m.name} about its length until its face looks along the other's."
            )
        axis, size = axes[flat]
        at = dot(p.origin, normal)
        spans.append(tuple(sorted((at, at + dot(axis, normal) * size))))
        sizes.append(size)
        side, width = axes["through" if flat == "across" else "across"]
        low = dot(p.origin, side)
        sides.append((side, low, low + width))
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if high - low < LEAST_LAP_MM:
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not cross, so they cannot be halved "
            "together: they "
            f"share {max(high - low, 0):.1f} mm of thickness and need {LEAST_LAP_MM:g} mm. Move one of them, or choose "
            "another joint."
        )
    (v1, p0, p1), (v2, q0, q1) = sides
    c = dot(v1, v2)
    corners = []
    for p, q in ((p0, q0), (p1, q0), (p1, q1), (p0, q1)):
        s, t = (p - c * q) / (1 - c * c), (q - c * p) / (1 - c * c)
        corners.append(tuple(s * u + t * w for u, w in zip(v1, v2)))
    grounds, ends = [], []
    for m in (first, second):
        along = m.placement.along
        seen = [dot(k, along) for k in corners]
        grounds.append((min(seen), max(seen)))
        x0 = dot(m.placement.origin, along)
        ends.append((x0, x0 + m.length_mm))
    return Lap(
        normal, low, high, tuple(corners), abs(c) < 1e-9, (a.along, b.along), (grounds[0], grounds[1]),
        (ends[0], ends[1]),
        (sizes[0], sizes[1]),
    )


@dataclass(frozen=True)
class Lapped(Joint):
    """Two members cut into each other in layers: each layer belongs to one of them."""

    def lap(self, piece: Piece) -> Lap:
        return lapped(piece.member(self.first), piece.member(self.second))

    def layers(self, lap: Lap) -> tuple[Layer, ...]:
        """Whose timber each layer is, from low to high."""
        raise NotImplementedError

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        lap, first = self.lap(piece), piece.member(self.first)
        if lap.covers(0):
            return {}
        return {first.ref: tuple(lap.block(first, n0, n1) for n0, n1, whose in self.layers(lap) if whose == 0)}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        lap = self.lap(piece)
        first, second = piece.member(self.first), piece.member(self.second)
        out: dict[str, tuple[Block, ...]] = {}
        for k, member in enumerate((first, second)):
            if k == 0 and not lap.covers(0):
                continue
            blocks = [lap.block(member, n0, n1) for n0, n1, whose in self.layers(lap) if whose != k]
            out[member.ref] = tuple(b.meet(member.box) or b if isinstance(b, Box) else b for b in blocks)
        return out

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        lap = self.lap(piece)
        if lap.covers(0):
            return {}
        more = lap.size_mm(0)
        return {self.first: (more, 0.0) if lap.stops_at(0) == "start" else (0.0, more)}

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        lap = self.lap(piece)
        end = lap.stops_at(0) or lap.ends_there(0)
        return {self.first: {end: f"lap {lap.size_mm(0):.0f}"}} if end else {}

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        lap = self.lap(piece)
        found = []
        for k, ref in enumerate((self.first, self.second)):
            size = lap.size_mm(1 - k)
            if size > GLUE_SAFE_MM:
                m = piece.member(ref)
                found += cross_grain_glue(season.swing(m, size), f"{self.family}, {m.role} glued across").findings
        return [replace(f, refs=f.refs or (self.first, self.second)) for f in found]


def ending(kind: str, first: Member, second: Member, corner: bool | None) -> Lap:
    """The lap of a member that ends on another: ``corner`` says whether the other ends there too, None for either.

    Raises ValueError, in words, where they do not stand so.
    """
    lap = lapped(first, second)
    names = f"{first.name} ({first.ref}) and {second.name} ({second.ref})"
    if not lap.covers(1):
        raise ValueError(f"{names}: {second.name} does not run right past, so a {kind} has nothing to lie in. "
            "Lengthen it.")
    if lap.covers(0):
        if not lap.ends_there(0):
            raise ValueError(f"{names} cross and run on. A {kind} needs an end of {first.name} there; use a cross "
                "halving.")
    elif not lap.stops_at(0) or not lap.square:
        raise ValueError(f"{names}: no end of {first.name} lies on {second.name}. Move or lengthen it for a {kind}.")
    if corner is not None and bool(lap.ends_there(1)) != corner:
        raise ValueError(
            f"{names}: {second.name} " + ("runs on beyond, which is a tee" if corner else "ends there too, which is a "
                "corner")
            + f", so a {kind} does not suit. Choose the one for a {'tee' if corner else 'corner'}."
        )
    return lap
