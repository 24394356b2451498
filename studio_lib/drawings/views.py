"""Views of a piece with hidden lines, straight from the mesh: orthographic, pictorial and cut open.

A sharp edge, or the outline of a round, is drawn; what lies behind a surface is hidden. Each edge is cut against
the surfaces in front of it in closed form, so nothing depends on a picture's grain.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import manifold3d
import numpy as np

from studio_lib.piece import Piece
from studio_lib.piece.bulk import bulk
from studio_lib.piece.model import Member, Shape, Vec
from studio_lib.piece.outline import SMOOTH_DEG
from studio_lib.solids.mesh import solid_of

_THIRD = 1 / math.sqrt(3)
VIEWS: dict[str, tuple[Vec, Vec]] = {
    "front": ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0)),
    "left": ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
    "right": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    "plan": ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
    "back": ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
    "pictorial": ((_THIRD, -_THIRD, _THIRD), (math.sqrt(0.5), math.sqrt(0.5), 0.0)),
}
"""Direction towards the eye, and the piece's direction that runs right on the paper; the pictorial is isometric."""
TOUCH_MM = 0.01
"""Ends closer than this are one point."""
SPECK_MM = 0.05
"""A line shorter than this is a kernel's rounding, and would print as a dot."""
BEHIND_MM = 0.02
"""An edge nearer than this to a surface lies on it and is not hidden by it."""
SMOOTH_COS = math.cos(math.radians(SMOOTH_DEG))
SLIVER_MM = 1e-4
"""A facet lower than this is a sliver: it has no sure direction of its own."""
PAIRS_AT_ONCE = 4_000_000

Segment = tuple[float, float, float, float]
Loop = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Cut:
    """Timber that a section cuts through."""

    ref: str
    loops: tuple[Loop, ...]
    """Outer and inner outlines, in the view's x and y. [mm]"""
    end_grain: bool
    """Whether the plane shows the end of the fibres."""
    grain: tuple[float, float]
    """Direction of the grain on the paper; (0, 0) straight at the eye."""


@dataclass(frozen=True)
class View:
    """Lines of one view in mm at full size, x right and y up."""

    name: str
    visible: tuple[Segment, ...]
    hidden: tuple[Segment, ...]
    cuts: tuple[Cut, ...] = ()

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of what is visible."""
        xs = [v for s in self.visible for v in (s[0], s[2])]
        ys = [v for s in self.visible for v in (s[1], s[3])]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True, eq=False)
class _Facets:
    """A solid's triangles and those of its edges that can show."""

    points: np.ndarray
    triangles: np.ndarray
    normals: np.ndarray
    edges: np.ndarray
    """Point, point, facet, facet."""
    sharp: np.ndarray
    broad: np.ndarray
    """Facets wide enough to hide anything; slivers have no sure direction."""


@dataclass(frozen=True, eq=False)
class Body:
    """A solid in space: facets in their own axes, turned and moved."""

    ref: str
    facets: _Facets
    turn: np.ndarray
    """3 x 3: columns are its own axes."""
    at: np.ndarray
    part: bool = False
    """A dowel, a bolt or a cable: drawn where it is seen, left off where it is hidden."""


def _facets(solid: manifold3d.Manifold) -> _Facets:
    mesh = solid.to_mesh64()
    points, triangles = np.asarray(mesh.vert_properties[:, :3], float), np.asarray(mesh.tri_verts, int)
    merged = np.arange(len(points))
    merged[np.asarray(mesh.merge_from_vert, int)] = np.asarray(mesh.merge_to_vert, int)
    triangles = merged[triangles]
    a, b, c = (points[triangles[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    length = np.linalg.norm(normals, axis=1)
    normals /= np.maximum(length, 1e-12)[:, None]
    longest = np.sqrt(np.maximum.reduce([((p - q) ** 2).sum(1) for p, q in ((a, b), (b, c), (c, a))]))
    broad = length > SLIVER_MM * longest
    ends = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    facet = np.tile(np.arange(len(triangles)), 3)
    key = np.sort(ends, axis=1)
    order = np.lexsort((key[:, 1], key[:, 0]))
    pairs = order.reshape(-1, 2)  # closed solid: each edge has two facets
    edges = np.column_stack([key[pairs[:, 0]], facet[pairs[:, 0]], facet[pairs[:, 1]]])
    _true_slivers(points, normals, broad, edges)
    cosine = np.einsum("ij,ij->i", normals[edges[:, 2]], normals[edges[:, 3]])
    edges, cosine = edges[cosine <= 1 - 1e-9], cosine[cosine <= 1 - 1e-9]
    return _Facets(points, triangles, normals, edges, cosine < SMOOTH_COS, broad)


def _true_slivers(points, normals, broad, edges) -> None:
    """Give each sliver the direction of the facet beyond its longest side, which it belongs to."""
    beyond: dict[int, list[tuple[float, int]]] = {}
    for i, j, f, g in edges[~broad[edges[:, 2]] | ~broad[edges[:, 3]]].tolist():
        long = float(((points[i] - points[j]) ** 2).sum())
        beyond.setdefault(f, []).append((long, g))
        beyond.setdefault(g, []).append((long, f))
    known = broad.copy()
    waiting = [f for f in beyond if not broad[f]]
    while waiting:
        left = []
        for f in waiting:
            neighbour = max(((long, g) for long, g in beyond[f] if known[g]), default=None)
            if neighbour is None or neighbour[0] < max(beyond[f])[0] * 0.2:
                left.append(f)
                continue
            normals[f], known[f] = normals[neighbour[1]], True
        if len(left) == len(waiting):
            return
        waiting = left


@lru_cache(maxsize=4096)
def _facets_of(shape: Shape) -> _Facets:
    return _facets(solid_of(shape))


@lru_cache(maxsize=2048)
def _facets_of_block(block) -> _Facets:
    return _facets(bulk(block))


_HERE = (np.eye(3), np.zeros(3))


def member_body(piece: Piece, m: Member, move: Vec = (0.0, 0.0, 0.0)) -> Body:
    """A member where it stands in the piece, moved by ``move``. [mm]"""
    p = m.placement
    return Body(
        m.ref, _facets_of(piece.shape(m.ref)), np.column_stack([p.along, p.across, p.through]), np.add(p.origin, move)
    )


def part_body(ref: str, block, move: Vec = (0.0, 0.0, 0.0)) -> Body:
    """A dowel, bolt or cable; ``block`` in piece axes."""
    return Body(ref, _facets_of_block(block), _HERE[0], np.asarray(move, float), part=True)


def solid_body(ref: str, solid: manifold3d.Manifold) -> Body | None:
    """Any solid as it is; None where nothing of it is left."""
    return None if solid.is_empty() else Body(ref, _facets(solid), *_HERE)


@lru_cache(maxsize=64)
def sharp_edged(piece: Piece) -> Piece:
    """The piece with its arrises left off, so that edges read as single lines."""
    return piece.with_members(replace(m, arris_mm=0.0) for m in piece.members)


@lru_cache(maxsize=64)
def unscrewed(piece: Piece) -> Piece:
    """The piece sharp-edged and without the rows of screws that hold slats: those stand with members and details."""
    sharp = sharp_edged(piece)
    return replace(sharp, fixings=()) if any(f.row for f in sharp.fixings) else sharp


def bodies(piece: Piece, moves: dict[str, Vec] | None = None, unseen_parts: bool = False) -> list[Body]:
    """Members and parts of a piece, each moved by ``moves`` of its reference. [mm]"""
    sharp, moves, still = unscrewed(piece), moves or {}, (0.0, 0.0, 0.0)
    out = [member_body(sharp, m, moves.get(m.ref, still)) for m in sharp.members]
    for joint in sharp.joints:
        out += [
            part_body(joint.first, part.block, moves.get(joint.first, still))
            for part in joint.parts(sharp)
            if part.seen or unseen_parts
        ]
    return out


@lru_cache(maxsize=64)
def view(piece: Piece, name: str) -> View:
    """One view of a piece, arrises left off. ``name`` is one of ``VIEWS``."""
    towards, right = VIEWS[name]
    return lines(bodies(piece), towards, right, name)


def lines(things: list[Body], towards: Vec, right: Vec, name: str = "", hidden: bool = True) -> View:
    """Visible and hidden lines of any bodies, seen from ``towards`` with ``right`` to the right (unit vectors).

    Where ``hidden`` is False hidden lines are left off.
    """
    frame = np.column_stack([right, np.cross(towards, right), towards])
    seen = [_Seen(b, frame) for b in things]
    shown, behind = [], []
    for body in seen:
        if not len(body.p0):
            continue
        others = [
            o
            for o in seen
            if len(o.front)
            and (o.low[:2] <= body.high[:2] + 1e-6).all()
            and (o.high[:2] >= body.low[:2] - 1e-6).all()
            and o.high[2] > body.low[2] + BEHIND_MM
        ]
        spans = _covered(body, [o for o in others if not o.part])
        if body.part:  # mostly inside timber: what that hides need not be held against a hundred other parts
            body.leave_off([k for k, row in spans.items() if row == [(0.0, 1.0)]])
            spans = _covered(body, others)
        elif any(o.part for o in others):
            both = _covered(body, [o for o in others if o.part])
            spans = {k: _overlaid(spans.get(k, []) + both.get(k, [])) for k in spans.keys() | both.keys()}
        for k, (p, q) in enumerate(zip(body.p0[:, :2].tolist(), body.p1[:, :2].tolist())):
            last = 0.0
            for a, b in spans.get(k, ()):
                if a > last:
                    shown.append(_between(p, q, last, a))
                if hidden and not body.part:
                    behind.append(_between(p, q, max(a, last), b))
                last = max(last, b)
            if last < 1.0:
                shown.append(_between(p, q, last, 1.0))
    visible = _tidy(shown)
    return View(name, tuple(visible), tuple(_uncovered(_tidy(behind), visible)) if hidden else ())


PROBES = 96
"""Places of a member's surface that are tried for a mark on it."""


def clear_places(things: list[Body], towards: Vec, right: Vec, visible) -> dict[str, tuple[float, float, float]]:
    """For each member that shows a surface: a place on it that is seen, and how far lines keep from there.

    ``visible`` are the lines of the same view. Of the places tried it is the one farthest from any line, so that a
    mark there can mean no other member. (x, y, distance) in mm.
    """
    frame = np.column_stack([right, np.cross(towards, right), towards])
    seen = [_Seen(b, frame) for b in things]
    fronts = np.concatenate([s.front for s in seen])
    normals = np.concatenate([s.normals for s in seen])
    segments = np.asarray(visible, float).reshape(-1, 4)
    out: dict[str, tuple[float, float, float]] = {}
    for thing, body in zip(things, seen):
        if body.part or not len(body.front):
            continue
        points = _probes(body.front)
        near = ((fronts[:, :, :2].min(1) <= body.high[:2]) & (fronts[:, :, :2].max(1) >= body.low[:2])).all(1)
        points = points[~_behind(points, fronts[near], normals[near])]
        if len(points):
            clear = distance(points[:, :2], _near(segments, body.low[:2], body.high[:2]))
            best = int(np.argmax(clear))
            if clear[best] > out.get(thing.ref, (0.0, 0.0, 0.0))[2]:
                out[thing.ref] = (*(float(v) for v in points[best, :2]), float(clear[best]))
    return out


def _probes(triangles: np.ndarray) -> np.ndarray:
    """Points spread evenly over triangles by their area on the paper, the same ones each time: n x 3."""
    a, b, c = (triangles[:, k] for k in range(3))
    area = np.abs((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0]))
    up_to = np.cumsum(area)
    step = np.arange(PROBES)
    which = np.searchsorted(up_to, (step + 0.5) / PROBES * up_to[-1]).clip(max=len(area) - 1)
    # The plastic number's sequence, folded into the triangle (Roberts 2018, from memory).
    u, v = (0.5 + 0.7548776662466927 * step) % 1.0, (0.5 + 0.5698402909980532 * step) % 1.0
    over = u + v > 1
    u, v = np.where(over, 1 - u, u)[:, None], np.where(over, 1 - v, v)[:, None]
    return a[which] + u * (b - a)[which] + v * (c - a)[which]


def _behind(points: np.ndarray, triangles: np.ndarray, normals: np.ndarray) -> np.ndarray:
    """Which points lie behind one of the triangles that face the eye."""
    x, y = points[:, None, 0], points[:, None, 1]
    over = np.ones((len(points), len(triangles)), bool)
    for k in range(3):
        p, q = triangles[:, k], triangles[:, (k + 1) % 3]
        over &= (q[:, 0] - p[:, 0]) * (y - p[:, 1]) - (q[:, 1] - p[:, 1]) * (x - p[:, 0]) >= -1e-9
    above = np.einsum("tj,ptj->pt", normals, triangles[None, :, 0] - points[:, None]) > BEHIND_MM
    return (over & above).any(1)


ROUNDED_MM = 0.1
"""Lines of a view are rounded by less."""


def _near(segments: np.ndarray, low, high) -> np.ndarray:
    """The segments that reach into a rectangle, those along its edges too, whose figures are rounded."""
    ends = segments.reshape(-1, 2, 2)
    return segments[((ends.max(1) >= low - ROUNDED_MM) & (ends.min(1) <= high + ROUNDED_MM)).all(1)]


def distance(points: np.ndarray, segments: np.ndarray) -> np.ndarray:
    """From each point (n x 2) to the nearest of the segments (m x 4). [mm]"""
    p, q = segments[:, :2], segments[:, 2:]
    (dx, dy), (px, py) = (q - p).T, (points[:, None] - p).transpose(2, 0, 1)
    t = ((px * dx + py * dy) / np.maximum(dx * dx + dy * dy, 1e-12)).clip(0.0, 1.0)
    return np.sqrt(((px - t * dx) ** 2 + (py - t * dy) ** 2).min(1))


def within_loops(loops, segments) -> tuple[float, float, float]:
    """A place inside loops (even-odd), as far as can be from them and from segments: (x, y, distance) in mm."""
    corners = np.concatenate([np.asarray(loop) for loop in loops])
    low, high = corners.min(0), corners.max(0)
    steps = (np.arange(16) + 0.5) / 16
    points = np.stack(np.meshgrid(*(low[k] + steps * (high[k] - low[k]) for k in (0, 1))), -1).reshape(-1, 2)
    edges = np.concatenate([np.column_stack([loop, np.roll(np.asarray(loop), -1, 0)]) for loop in loops])
    points = points[_inside(points, edges)]
    if not len(points):
        return (*(float(v) for v in (low + high) / 2), 0.0)
    lines_near = _near(np.asarray(segments, float).reshape(-1, 4), low, high)
    clear = distance(points, np.concatenate([edges, lines_near]))
    best = int(np.argmax(clear))
    return (*(float(v) for v in points[best]), float(clear[best]))


def _inside(points: np.ndarray, edges: np.ndarray) -> np.ndarray:
    x, y = points[:, :1], points[:, 1:]
    x0, y0, x1, y1 = edges.T
    with np.errstate(divide="ignore", invalid="ignore"):
        crossed = ((y0 <= y) != (y1 <= y)) & (x < x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    return crossed.sum(1) % 2 == 1


def _between(p, q, a: float, b: float) -> Segment:
    (x, y), dx, dy = p, q[0] - p[0], q[1] - p[1]
    return (x + a * dx, y + a * dy, x + b * dx, y + b * dy)


class _Seen:
    """A body as the eye has it: edges that can show, and the surfaces that face the eye."""

    def __init__(self, body: Body, frame: np.ndarray):
        f, self.part = body.facets, body.part
        points = (f.points @ body.turn.T + body.at) @ frame
        facing = f.normals @ (body.turn.T @ frame[:, 2])
        towards = facing > 1e-6
        outline = towards[f.edges[:, 2]] != towards[f.edges[:, 3]]
        kept = f.edges[f.sharp | outline]
        self.p0, self.p1 = points[kept[:, 0]], points[kept[:, 1]]
        long = ((self.p0 - self.p1)[:, :2] ** 2).sum(1) > TOUCH_MM**2
        self.p0, self.p1 = self.p0[long], self.p1[long]
        front = (facing > 1e-4) & f.broad
        self.front = points[f.triangles[front]]
        self.normals = f.normals[front] @ (body.turn.T @ frame)
        self.low, self.high = points.min(0), points.max(0)
        self.front_low, self.front_high = self.front.min(1, initial=np.inf), self.front.max(1, initial=-np.inf)

    def leave_off(self, edges: list[int]) -> None:
        """Forget some edges."""
        kept = np.ones(len(self.p0), bool)
        kept[edges] = False
        self.p0, self.p1 = self.p0[kept], self.p1[kept]


def _covered(body: _Seen, others: list[_Seen]) -> dict[int, list[tuple[float, float]]]:
    """Spans of each edge (by number, 0 to 1) that lie behind a surface, joined and in order."""
    if not others or not len(body.p0):
        return {}
    corners = np.concatenate([o.front for o in others])
    normals = np.concatenate([o.normals for o in others])
    low, high = (np.concatenate([getattr(o, n) for o in others]) for n in ("front_low", "front_high"))
    elow, ehigh = np.minimum(body.p0, body.p1), np.maximum(body.p0, body.p1)
    near = ((low[:, :2] <= body.high[:2] + 1e-6) & (high[:, :2] >= body.low[:2] - 1e-6)).all(1) & (
        high[:, 2] > body.low[2]
    )
    corners, normals, low, high = corners[near], normals[near], low[near], high[near]
    out: dict[int, list[tuple[float, float]]] = {}
    step = max(1, PAIRS_AT_ONCE // max(1, len(corners)))
    for first in range(0, len(elow), step):
        part = slice(first, first + step)
        over = high[None, :, 2] > elow[part, None, 2] + BEHIND_MM
        for axis in (0, 1):
            over &= low[None, :, axis] <= ehigh[part, None, axis] + 1e-6
            over &= high[None, :, axis] >= elow[part, None, axis] - 1e-6
        e, t = np.nonzero(over)
        e += first
        number, a, b = _clipped(body.p0[e], body.p1[e], corners[t], normals[t])
        for k, start, end in zip(e[number].tolist(), a.tolist(), b.tolist()):
            out.setdefault(k, []).append((start, end))
    return {k: _overlaid(spans) for k, spans in out.items()}


def _clipped(p0, p1, corners, normals):
    """Which pairs of edge and facet hide something, and from where to where along the edge."""
    a, b = np.zeros(len(p0)), np.ones(len(p0))
    length = np.linalg.norm((p1 - p0)[:, :2], axis=1)

    def keep(v0, v1):
        """Only where a value that runs evenly from v0 to v1 is not below 0."""
        d = v1 - v0
        with np.errstate(divide="ignore", invalid="ignore"):
            t = -v0 / d
        rising, falling = d > 1e-12, d < -1e-12
        a[rising] = np.maximum(a[rising], t[rising])
        b[falling] = np.minimum(b[falling], t[falling])
        b[~rising & ~falling & (v0 < 0)] = -1.0

    for k in range(3):
        c0, c1 = corners[:, k, :2], corners[:, (k + 1) % 3, :2]
        side = c1 - c0
        wide = np.maximum(np.linalg.norm(side, axis=1), 1e-9)

        def inside(p):
            return (side[:, 0] * (p[:, 1] - c0[:, 1]) - side[:, 1] * (p[:, 0] - c0[:, 0])) / wide + 1e-5

        keep(inside(p0), inside(p1))
    below = [np.einsum("ij,ij->i", normals, corners[:, 0] - p) - BEHIND_MM for p in (p0, p1)]
    keep(*below)
    number = np.nonzero((b - a) * length > TOUCH_MM / 2)[0]
    return number, a[number], b[number]


def _overlaid(spans) -> list[tuple[float, float]]:
    out: list[list[float]] = []
    for a, b in sorted(spans):
        if out and a <= out[-1][1] + 1e-7:
            out[-1][1] = max(out[-1][1], b)
        else:
            out.append([a, b])
    return [(a if a > 1e-7 else 0.0, b if b < 1 - 1e-7 else 1.0) for a, b in out]


# ---------------------------------------------------------------- sections


def section(
    piece: Piece,
    towards: Vec,
    right: Vec,
    at: Vec,
    name: str = "",
    keep: manifold3d.Manifold | None = None,
    refs=None,
    parts: bool = True,
) -> View:
    """What is seen of a piece cut by a plane through ``at`` (piece axes, mm), the part towards the eye taken away.

    ``keep`` limits what is drawn to a solid in piece axes, and shows all screws there; ``refs`` to some members. Hidden
    lines are left off.
    """
    sharp = sharp_edged(piece) if keep is not None else unscrewed(piece)
    frame = np.column_stack([right, np.cross(towards, right), towards])
    level = float(np.dot(at, towards))
    things, cuts = [], []
    todo = []
    for m in sharp.members:
        if refs is None or m.ref in refs:
            p = m.placement
            todo.append(
                (
                    m.ref,
                    solid_of(sharp.shape(m.ref)).transform(np.column_stack([p.along, p.across, p.through, p.origin])),
                    p.along,
                )
            )
    for j in sharp.worked_by if parts else ():
        if refs is None or (j.first in refs and j.second in refs):
            todo += [(j.first, bulk(part.block), None) for part in j.parts(sharp)]
    for ref, solid, along in todo:
        if keep is not None:
            solid = solid ^ keep
        low, high = _reach(solid, towards)
        if low >= level - 1e-6:
            continue
        body = solid if high <= level + 1e-6 else solid.trim_by_plane(tuple(-v for v in towards), -level)
        seen = solid_body(ref, body)
        if seen:
            things.append(seen)
        if high > level + 1e-3:
            flat = solid.transform(np.column_stack([frame.T, np.zeros(3)])).slice(level - 1e-4)
            loops = tuple(sorted(_from_its_least(loop) for loop in flat.to_polygons()))
            if loops and along is not None:
                grain = np.asarray(along) @ frame
                cuts.append(Cut(ref, loops, abs(grain[2]) > 0.7, (float(grain[0]), float(grain[1]))))
    drawn = lines(things, towards, right, name, hidden=False)
    return replace(drawn, cuts=tuple(cuts))


def _reach(solid: manifold3d.Manifold, way: Vec) -> tuple[float, float]:
    if solid.is_empty():
        return math.inf, math.inf
    box = np.asarray(solid.bounding_box()).reshape(2, 3)
    axis = int(np.argmax(np.abs(way)))
    if abs(abs(way[axis]) - 1) < 1e-9:
        low, high = sorted(box[:, axis] * way[axis])
        return float(low), float(high)
    along = np.asarray(solid.to_mesh64().vert_properties[:, :3]) @ np.asarray(way)
    return float(along.min()), float(along.max())


# ---------------------------------------------------------------- one line where several lie on each other


def _line_of(s: Segment):
    """A name for the straight line a segment lies on, and its span along it."""
    x0, y0, x1, y1 = s
    dx, dy = x1 - x0, y1 - y0
    length = (dx * dx + dy * dy) ** 0.5
    dx, dy = dx / length, dy / length
    if dx < -1e-9 or (abs(dx) <= 1e-9 and dy < 0):
        dx, dy = -dx, -dy
    offset = x0 * dy - y0 * dx
    a, b = x0 * dx + y0 * dy, x1 * dx + y1 * dy
    name = (round(dx, 4), round(dy, 4), round(offset / TOUCH_MM / 2))
    return name, (dx, dy, offset), (min(a, b), max(a, b))


def _by_line(segments):
    lines: dict = {}
    for s in segments:
        if (s[0] - s[2]) ** 2 + (s[1] - s[3]) ** 2 < TOUCH_MM**2:
            continue
        name, direction, span = _line_of(s)
        lines.setdefault(name, (direction, []))[1].append(span)
    return lines


def _drawn(direction, span) -> Segment:
    dx, dy, offset = direction
    a, b = span
    px, py = offset * dy, -offset * dx
    return (px + a * dx, py + a * dy, px + b * dx, py + b * dy)


def _joined(spans):
    joined: list[list[float]] = []
    for a, b in sorted(spans):
        if joined and a <= joined[-1][1] + TOUCH_MM:
            joined[-1][1] = max(joined[-1][1], b)
        else:
            joined.append([a, b])
    return joined


def _tidy(segments) -> list[Segment]:
    """Collinear pieces that touch become one line; doubles go, and specks; in an order that noise cannot change."""
    return _in_order(_drawn(direction, span) for direction, spans in _by_line(segments).values() for span in _joined(spans))


def _from_its_least(loop) -> Loop:
    """A loop begun at its least corner, to a ten-thousandth of a millimetre: the same one however it was come by."""
    points = [(round(float(x), 4) + 0.0, round(float(y), 4) + 0.0) for x, y in loop]
    k = points.index(min(points))
    return tuple(points[k:] + points[:k])


def _in_order(lines) -> list[Segment]:
    # To a ten-thousandth of a millimetre, so that a half hundredth is printed the same way each time.
    return sorted(tuple([round(c, 4) + 0.0 for c in s]) for s in lines if math.dist(s[:2], s[2:]) > SPECK_MM)


def _uncovered(hidden, visible) -> list[Segment]:
    """Hidden lines less whatever lies under a visible one."""
    over = {name: _joined(spans) for name, (_, spans) in _by_line(visible).items()}
    out = []
    for name, (direction, spans) in _by_line(hidden).items():
        for a, b in _joined(spans):
            for c, d in over.get(name, ()):
                if d <= a or c >= b:
                    continue
                if c > a + TOUCH_MM:
                    out.append(_drawn(direction, (a, c)))
                a = max(a, d)
            if b > a + TOUCH_MM:
                out.append(_drawn(direction, (a, b)))
    return _in_order(out)
