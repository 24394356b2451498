"""A plain length of timber with its holes, made face by face: quicker than taking each hole out of a solid.

A row of screws is most of what is cut from a member, and hardly one of its holes meets another. Such a hole breaks
through one face, or two that lie opposite, and nothing else changes: the face is filled around the ring of the hole, and
the walls of the hole go down from there. What meets another hole, an edge or a tenon is left for the solid to be cut by.
Which holes are such is found here for both kernels.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import manifold3d
import numpy as np

from studio_lib.piece import Placement, Shape
from studio_lib.piece.bulk import DECIMALS
from studio_lib.piece.model import Block, Box
from studio_lib.piece.outline import Outline, flat

CLEAR_MM = 0.01
"""Holes this near to each other, to an edge or to the far side are left for the solid to be cut by."""
WORTH_IT = 3
"""Fewer holes are cut from a solid of triangles as quickly."""
MOST_CORNERS = 12
"""A section of more corners than this is round, and its sides are too narrow to be drilled."""


@dataclass(frozen=True, eq=False)
class _Bit:
    """What drills a hole: rings one below the other from the outside in, and how the steps between them are filled."""

    outlines: tuple[Outline, ...]
    """As they are drawn."""
    rings: tuple[np.ndarray, ...]
    """Corners of each step, in the axes of the hole; the deeper, the narrower. n x 2, counter-clockwise."""
    depths: tuple[float, ...]
    """How deep each step goes. [mm]"""
    ledges: tuple[np.ndarray, ...]
    """Triangles between the ring of one step and that of the next, numbered through both."""
    floor: np.ndarray
    """Triangles of the last ring."""


@dataclass(frozen=True, eq=False)
class _Section:
    """A plain cross-section and the faces of what is drawn out from it: its sides in the order of its corners, the near and the far end."""

    corners: np.ndarray
    """Anti-clockwise seen from the far end, n x 2."""
    ways: np.ndarray
    """Unit vectors out of the timber, faces x 3."""
    numbers: tuple[np.ndarray, ...]
    """Corners of each face, anti-clockwise seen from outside: those of the near end are numbered first."""
    axes: np.ndarray
    """Two directions of each face, anti-clockwise seen from outside, faces x 2 x 3."""
    filled: tuple[np.ndarray, ...]
    """Triangles of each face without holes."""

    def at(self, length_mm: float) -> np.ndarray:
        """Corners of both ends, 2 n x 3."""
        many = len(self.corners)
        out = np.empty((2 * many, 3))
        out[:many, 0], out[many:, 0] = 0.0, length_mm
        out[:many, 1:] = out[many:, 1:] = self.corners
        return np.round(out, DECIMALS)


@lru_cache(maxsize=256)
def _section(profile: Outline) -> _Section | None:
    """None for one that is round, or not wholly convex."""
    corners = np.array(flat(profile))
    if len(corners) > MOST_CORNERS or not _convex(corners):
        return None
    many = len(corners)
    here = np.arange(many)
    after = (here + 1) % many
    edges = corners[after] - corners
    edges /= np.linalg.norm(edges, axis=1)[:, None]
    sides = [((0.0, y, z), (1.0, 0.0, 0.0)) for y, z in edges]
    ends = [((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)), ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0))]
    axes = np.array([*sides, *ends])
    numbers = [*np.column_stack([here, after, many + after, many + here]), here[::-1], many + here]
    fans = [np.column_stack([np.full(len(n) - 2, n[0]), n[1:-1], n[2:]]) for n in numbers]
    return _Section(corners, np.cross(axes[:, 0], axes[:, 1]), tuple(numbers), axes, tuple(fans))


@dataclass(frozen=True, eq=False)
class Row:
    """Holes of one bit and one way, found fit to be drilled."""

    bit: _Bit
    places: tuple[Placement, ...]
    begins: np.ndarray
    """How far below its place each hole goes into the timber. [mm]"""
    ends: np.ndarray
    """How far below its place each hole ends. [mm]"""
    opens: int
    """Number of the face that they are drilled from."""
    leaves: int | None
    """Number of the face that they come out of."""

    @property
    def steps(self) -> list[tuple[Outline, np.ndarray, np.ndarray]]:
        """Each step of the bit: its outline, where it begins and where it ends, below the place of each hole. [mm]"""
        tops = [self.begins, *(np.full(len(self.places), depth) for depth in self.bit.depths[:-1])]
        return list(zip(self.bit.outlines, tops, [*tops[1:], self.ends]))

    @property
    def put(self) -> np.ndarray:
        """Corners of the rings of the holes: each step's at its top and at its foot. holes x corners x 3"""
        at, starts, out = self.places[0], np.array([p.origin for p in self.places]), []
        frame = np.array([at.along, at.across, at.through])
        for ring, (_, top, foot) in zip(self.bit.rings, self.steps):
            for depth in (top, foot):
                out.append((ring @ frame[:2])[None] + depth[:, None, None] * frame[2])
        return np.round(np.concatenate(out, axis=1) + starts[:, None], DECIMALS)


@dataclass(frozen=True, eq=False)
class Timber:
    """A section drawn out to its length."""

    section: _Section
    corners: np.ndarray

    def row(self, bit: _Bit, places: list[Placement]) -> tuple[Row | None, np.ndarray]:
        """Holes of one bit and way, those that go square into one face and come out of none or of the one opposite; and which these are."""
        at, none = places[0], (None, np.zeros(len(places), bool))
        way, across, starts = np.array(at.through), np.array([at.along, at.across]), np.array([p.origin for p in places])
        square = self.section.ways @ way
        opens, out = int(square.argmin()), int(square.argmax())
        if square[opens] > -1 + 1e-9:
            return none
        mouths, ends = (starts[:, None] + ring @ across for ring in (bit.rings[0], bit.rings[-1]))
        begins = (starts - self._first(opens)) @ self.section.ways[opens]
        room = np.min([self._far(mouths, face) / square[face] for face in np.flatnonzero(square > 1e-9)], axis=0)
        fit = (begins >= 0) & (begins < bit.depths[0] - CLEAR_MM) & self._clear(mouths, opens)
        fit &= max(bit.depths[:-1], default=0.0) < room - CLEAR_MM
        blind = fit & (bit.depths[-1] < room - CLEAR_MM)
        if blind.any():
            return Row(bit, _those(places, blind), begins[blind], np.full(blind.sum(), bit.depths[-1]), opens, None), blind
        if square[out] < 1 - 1e-9:
            return none
        far = (self._first(out) - starts) @ way
        fit &= (bit.depths[-1] >= far) & self._clear(ends, out)
        return (Row(bit, _those(places, fit), begins[fit], far[fit], opens, out), fit) if fit.any() else none

    def _first(self, face: int) -> np.ndarray:
        return self.corners[self.section.numbers[face][0]]

    def _far(self, rings: np.ndarray, face: int) -> np.ndarray:
        """How far the nearest corner of each ring is from a face. [mm]"""
        return self._first(face) @ self.section.ways[face] - (rings @ self.section.ways[face]).max(axis=1)

    def _flat(self, points: np.ndarray, face: int) -> np.ndarray:
        return points @ self.section.axes[face].T

    def _clear(self, rings: np.ndarray, face: int) -> np.ndarray:
        """Which rings, rings x corners x 3, keep clear of the rim of a face."""
        rim = self._flat(self.corners[self.section.numbers[face]], face)
        edge = np.concatenate([rim[1:], rim[:1]]) - rim
        inward = np.column_stack([-edge[:, 1], edge[:, 0]]) / np.sqrt((edge * edge).sum(axis=1))[:, None]
        return (self._flat(rings, face) @ inward.T - (rim * inward).sum(axis=1) > CLEAR_MM).all(axis=(1, 2))

    def made(self, rows: list[Row]) -> manifold3d.Manifold:
        """The timber with these holes, as triangles seen from outside it."""
        points, triangles, begun = [self.corners], [], len(self.corners)
        opened: dict[int, list[tuple[np.ndarray, np.ndarray]]] = {}
        for row in rows:
            put = row.put
            many, each = put.shape[:2]
            own = begun + np.arange(many * each).reshape(many, each)
            begun += many * each
            points.append(put.reshape(-1, 3))
            triangles.append((_wall(row.bit, row.leaves is None) + own[:, :1, None]).reshape(-1, 3))
            first, last = len(row.bit.rings[0]), len(row.bit.rings[-1])
            opened.setdefault(row.opens, []).append((put[:, :first], own[:, :first]))
            if row.leaves is not None:
                opened.setdefault(row.leaves, []).append((put[:, -last:], own[:, -last:]))
        triangles += [self._around(face, opened[face]) if face in opened else whole for face, whole in enumerate(self.section.filled)]
        return manifold3d.Manifold(manifold3d.Mesh64(np.concatenate(points), np.concatenate(triangles).astype(np.uint64)))

    def _around(self, face: int, openings: list[tuple[np.ndarray, np.ndarray]]) -> np.ndarray:
        """Triangles of a face around the rings of the holes in it."""
        own = self.section.numbers[face]
        rims, numbers = [self._flat(self.corners[own], face)], [own]
        for points, at in openings:
            rings = self._flat(points, face)
            (u, v), (u1, v1), (u2, v2) = rings[0, :3]
            turn = -1 if (u1 - u) * (v2 - v1) > (v1 - v) * (u2 - u1) else 1  # a ring is convex: one corner tells which way round it is
            rims += list(rings[:, ::turn])
            numbers.append(at[:, ::turn].ravel())
        return np.concatenate(numbers)[manifold3d.triangulate(rims)]


def drilled(shape: Shape) -> tuple[manifold3d.Manifold, list[Block]] | None:
    """The length of a member with the holes in it that meet nothing else, and the cuts that are left to be made.

    None where no hole is such, or the section is not a plain one.
    """
    found = to_drill(shape, WORTH_IT)
    if found is None:
        return None
    timber, rows, left = found
    body = timber.made(rows)
    return None if body.status() != manifold3d.Error.NoError else (body, left)


def to_drill(shape: Shape, at_least: int) -> tuple[Timber, list[Row], list[Block]] | None:
    """A member's length, the rows of holes in it that meet nothing else, and the cuts that are left to be made; None as for ``drilled``,
    and where there are fewer such holes than it is worth while for."""
    begun: dict[Placement, list] = {}
    left = []
    for block in shape.cuts:
        if isinstance(block, Box):
            left.append(block)
        else:
            begun.setdefault(block.at, []).append(block)
    section = _section(shape.profile)
    if len(begun) < at_least or section is None:
        return None
    timber = Timber(section, section.at(shape.length_mm))
    alike: dict[tuple, list[Placement]] = {}
    for (at, blocks), free in zip(begun.items(), _alone([_bounds(b) for b in begun.values()], [_bounds([b]) for b in shape.adds])):
        bit = _bit(*((b.outline, b.depth_mm, b.few) for b in blocks)) if free else None
        alike.setdefault((bit, at.along, at.across), []).append(at)
    rows = []
    for (bit, *_), places in alike.items():
        row, fit = timber.row(bit, places) if bit else (None, [False] * len(places))
        if row:
            rows.append(row)
        left += [block for at, good in zip(places, fit) if not good for block in begun[at]]
    return (timber, rows, left) if sum(len(row.places) for row in rows) >= at_least else None


def _those(places: list[Placement], fit: np.ndarray) -> tuple[Placement, ...]:
    return tuple(p for p, good in zip(places, fit) if good)


def _convex(section: np.ndarray) -> bool:
    edge = np.roll(section, -1, axis=0) - section
    after = np.roll(edge, -1, axis=0)
    return bool((edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0] > 1e-9).all())


@lru_cache(maxsize=256)
def _bit(*drawn: tuple[Outline, float, bool]) -> _Bit | None:
    """Outlines drawn from one place as one bit; None where a deeper one is not wholly inside the one before."""
    steps = sorted(drawn, key=lambda step: step[1])
    rings = [np.array(flat(outline, few)) for outline, _, few in steps]
    if not all(_convex(ring) for ring in rings) or steps[0][1] <= 0:
        return None
    for wide, narrow in zip(rings, rings[1:]):
        edge = np.roll(wide, -1, axis=0) - wide
        off = narrow[:, None] - wide
        if not (edge[:, 0] * off[..., 1] - edge[:, 1] * off[..., 0] > CLEAR_MM * np.linalg.norm(edge, axis=1)).all():
            return None
    if any(deeper[1] - shallower[1] < CLEAR_MM for shallower, deeper in zip(steps, steps[1:])):
        return None
    ledges = tuple(_between(wide, narrow) for wide, narrow in zip(rings, rings[1:]))
    return _Bit(tuple(outline for outline, _, _ in steps), tuple(rings), tuple(depth for _, depth, _ in steps), ledges, manifold3d.triangulate([rings[-1]]))


def _between(wide: np.ndarray, narrow: np.ndarray) -> np.ndarray:
    """Triangles between two rings, anti-clockwise, numbered through the wide one and then the narrow one."""
    many, few = len(wide), len(narrow)
    turned = manifold3d.triangulate([wide, narrow[::-1]])
    return np.where(turned < many, turned, 2 * many + few - 1 - turned)


def _bounds(blocks: Iterable[Block]) -> list[float]:
    boxes = [block.bounds for block in blocks]
    return [min(b.lo[k] for b in boxes) for k in range(3)] + [max(b.hi[k] for b in boxes) for k in range(3)]


def _alone(holes: list[list[float]], adds: list[list[float]]) -> np.ndarray:
    """Which holes keep clear of every other hole and of what is added to the length."""
    own, all_ = np.array(holes), np.array([*holes, *adds])
    meets = (own[:, None, :3] < all_[:, 3:] + CLEAR_MM).all(axis=2) & (all_[:, :3] < own[:, None, 3:] + CLEAR_MM).all(axis=2)
    return meets.sum(axis=1) == 1


@lru_cache(maxsize=256)
def _wall(bit: _Bit, blind: bool) -> np.ndarray:
    """Triangles of the walls of a hole, of its ledges and of its floor, as seen from within it; corners numbered as ``_put`` gives them."""
    out, begun = [], 0
    for k, ring in enumerate(bit.rings):
        here = np.arange(many := len(ring))
        after = (here + 1) % many
        top, foot = begun, begun + many
        out += [np.column_stack([top + here, foot + here, foot + after]), np.column_stack([top + here, foot + after, top + after])]
        if k < len(bit.ledges):
            out.append(bit.ledges[k][:, ::-1] + foot)
        begun += 2 * many
    if blind:
        out.append(bit.floor[:, ::-1] + begun - many)
    return np.concatenate(out)
