"""Outlines of straight lines and arcs: what a saw, a bit or a template follows.

An outline is a closed row of corners ``(u, v)`` or ``(u, v, bulge)``. The bulge belongs
to the line that leaves the corner: the tangent of a quarter of its turn, 0 for a straight
line, 1 for a half circle to the left (the convention of DXF polylines). Lengths in mm.
"""

from __future__ import annotations

import math
from functools import lru_cache

Outline = tuple[tuple[float, ...], ...]

SAGITTA_MM = 0.02
"""How far a chord may lie from the arc it stands for, in a mesh."""
STEP_RAD = math.radians(15)
"""The longest turn of one chord, so that small holes stay round."""
SMALL_MM, SMALL_STEP_RAD, FEW_STEP_RAD = 3.0, math.radians(45), math.radians(22.5)
"""Holes to this radius, those for screws, are eight-sided, and those for their heads sixteen-sided: they are many, and are seen small."""
SMOOTH_DEG = 23.0
"""Facets that turn by less are one round surface and show no edge between them."""


def rectangle(u0: float, v0: float, u1: float, v1: float) -> Outline:
    """A rectangle by two opposite corners."""
    return ((u0, v0), (u1, v0), (u1, v1), (u0, v1))


def circle(u: float, v: float, diameter: float) -> Outline:
    """A circle by its middle and diameter."""
    r = diameter / 2
    return ((u + r, v, 1.0), (u - r, v, 1.0))


def slot(u0: float, v0: float, u1: float, v1: float, width: float) -> Outline:
    """A slot with round ends, its two centres given."""
    length = math.hypot(u1 - u0, v1 - v0)
    if length < 1e-9:
        return circle(u0, v0, width)
    nu, nv = -(v1 - v0) / length * width / 2, (u1 - u0) / length * width / 2
    return ((u0 - nu, v0 - nv), (u1 - nu, v1 - nv, 1.0), (u1 + nu, v1 + nv), (u0 + nu, v0 + nv, 1.0))


def ellipse(u: float, v: float, length: float, width: float, parts: int = 4) -> Outline:
    """An oval of ``4 x parts`` arcs, each through the ellipse's own points.

    The arcs leave the true ellipse by less than 1 / 1000 of its length for ``parts`` of 4.
    """
    a, b = length / 2, width / 2
    steps = 4 * parts
    out = []
    for k in range(steps):
        t0, t1 = 2 * math.pi * k / steps, 2 * math.pi * (k + 1) / steps
        p, m, q = ((a * math.cos(t), b * math.sin(t)) for t in (t0, (t0 + t1) / 2, t1))
        out.append((u + p[0], v + p[1], bulge_through(p, m, q)))
    return tuple(out)


def bulge_through(start, middle, end) -> float:
    """The bulge of the arc that leaves ``start``, passes ``middle`` and reaches ``end``.

    0 when the three stand in line. Raises ValueError when start and end are one point.
    """
    cu, cv = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(cu, cv)
    if chord < 1e-12:
        raise ValueError("An arc needs two different ends; use a circle for a whole turn.")
    a = (start[0] - middle[0], start[1] - middle[1])
    b = (end[0] - middle[0], end[1] - middle[1])
    # The angle seen from the middle point is half a turn less half the arc's sweep.
    seen = math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
    sweep = 2 * (math.pi - abs(seen))
    side = cu * (middle[1] - start[1]) - cv * (middle[0] - start[0])
    if abs(side) < 1e-12 * chord:
        return 0.0
    return math.tan(sweep / 4) * (1.0 if side < 0 else -1.0)


def arc(start, end, bulge: float) -> tuple[float, float, float, float, float]:
    """Centre (u, v), radius, first angle and signed sweep of one arc. [mm, rad]"""
    cu, cv = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(cu, cv)
    sweep = 4 * math.atan(bulge)
    off = (1 - bulge * bulge) / (4 * bulge)
    mu, mv = (start[0] + end[0]) / 2 - cv * off, (start[1] + end[1]) / 2 + cu * off
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    return mu, mv, radius, math.atan2(start[1] - mv, start[0] - mu), sweep


def sides(outline: Outline):
    """Each side as (start, end, bulge)."""
    for i, corner in enumerate(outline):
        after = outline[(i + 1) % len(outline)]
        yield corner[:2], after[:2], (corner[2] if len(corner) > 2 else 0.0)


def area_mm2(outline: Outline) -> float:
    """Area enclosed, positive when the corners run counter-clockwise. [mm2]"""
    total = 0.0
    for (u0, v0), (u1, v1), bulge in sides(outline):
        total += (u0 * v1 - u1 * v0) / 2
        if bulge:
            *_, radius, _, sweep = arc((u0, v0), (u1, v1), bulge)
            total += radius * radius * (sweep - math.sin(sweep)) / 2
    return total


@lru_cache(maxsize=8192)
def bounds(outline: Outline) -> tuple[float, float, float, float]:
    """Least u, least v, greatest u, greatest v. [mm]"""
    us, vs = [], []
    for start, end, bulge in sides(outline):
        us.append(start[0])
        vs.append(start[1])
        if bulge:
            cu, cv, r, first, sweep = arc(start, end, bulge)
            for angle in _quarters(first, sweep)[1:-1]:
                us.append(cu + r * math.cos(angle))
                vs.append(cv + r * math.sin(angle))
    return min(us), min(vs), max(us), max(vs)


def _quarters(first: float, sweep: float) -> list[float]:
    """The angles of an arc's ends and of every quarter point between them."""
    low, high = sorted((first, first + sweep))
    quarter = math.pi / 2
    between = [
        k * quarter for k in range(math.floor(low / quarter) + 1, math.ceil(high / quarter))
        if low + 1e-9 < k * quarter < high - 1e-9
    ]
    angles = [low, *between, high]
    return angles if sweep >= 0 else angles[::-1]


FLAT_FROM_MM = 1000.0
"""Arcs flatter than this graze other faces along their whole length: their chords keep eight times nearer."""


@lru_cache(maxsize=8192)
def flat(outline: Outline, few: bool = False) -> tuple[tuple[float, float], ...]:
    """The outline as straight lines only, counter-clockwise, with the same area and extents.

    The ends and quarter points of each arc stay where they are; the points between move
    out by so little that the chords enclose what the arc does. With ``few`` an arc has no more chords than
    it takes to look round.
    """
    points: list[tuple[float, float]] = []
    for start, end, bulge in sides(outline):
        points.append(start)
        if not bulge:
            continue
        cu, cv, r, first, sweep = arc(start, end, bulge)
        angles = _quarters(first, sweep)
        for a0, a1 in zip(angles, angles[1:]):
            if a0 != angles[0]:
                points.append((cu + r * math.cos(a0), cv + r * math.sin(a0)))
            turn = abs(a1 - a0)
            if r <= SMALL_MM:
                step = SMALL_STEP_RAD
            elif few:
                step = FEW_STEP_RAD
            else:
                sagitta = SAGITTA_MM if r < FLAT_FROM_MM else SAGITTA_MM / 8
                step = min(STEP_RAD, 2 * math.acos(max(1 - sagitta / r, -1.0)))
            n = max(2, math.ceil(turn / step - 1e-9))
            phi = turn / n
            # (n - 2) s k^2 + 2 s k = n phi with s = sin phi and k the growth of the radius.
            s = math.sin(phi)
            grown = n * phi / (2 * s) if n == 2 else (
                (-1 + math.sqrt(1 + (n - 2) * n * phi / s)) / (n - 2)
            )
            for k in range(1, n):
                angle = a0 + (a1 - a0) * k / n
                points.append((cu + r * grown * math.cos(angle), cv + r * grown * math.sin(angle)))
    out = tuple(p for i, p in enumerate(points) if math.dist(p, points[i - 1]) > 1e-9)
    turning = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(out, out[1:] + out[:1]))
    return out if turning > 0 else out[::-1]
