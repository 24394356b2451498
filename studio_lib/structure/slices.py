"""The section a member really has at a place along it: bevels, tapers, mortises and halvings taken off."""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property, lru_cache

import numpy as np
from numba import njit

from studio_lib.piece import Shape
from studio_lib.piece.bulk import let_go
from studio_lib.piece.model import Block, Box
from studio_lib.solids.mesh import solid_of
from studio_lib.structure.sections import ring_sums

_ALONG_UP = np.array([[0, 1, 0, 0], [0, 0, 1, 0], [1, 0, 0, 0]], dtype=float)
"""Member axes turned so that its length stands up, since the kernel slices level."""


def _standing(shape: Shape):
    return solid_of(shape).transform(_ALONG_UP)


Section = tuple[float, float, float, float, float, float, float]
"""area, i_y, i_z, centre y, centre z, furthest y, furthest z: see ``slice_at``."""


def slice_at(shape: Shape, x_mm: float) -> Section:
    """Section across a member ``x_mm`` from its start.

    Returns
    -------
    area, i_y, i_z, centre y, centre z, furthest y, furthest z
        About the section's own centre: i_z for bending in the direction of the width (y),
        i_y through the thickness (z). [mm2, mm4, mm]. All zero where no timber is left.
    """
    return sliced(shape).at(x_mm)


@let_go
@lru_cache(maxsize=512)
def sliced(shape: Shape) -> Sliced:
    """The sections of a shape; equal shapes share them, so that each is cut once."""
    return Sliced(shape)


class Sliced:
    """Sections along one shape, each worked out when first asked for: one does for a whole length along which nothing begins, ends or changes."""

    def __init__(self, shape: Shape):
        self._shape = shape
        self._known: dict[tuple[int, float], Section] = {}
        self._lengths = _Lengths(shape)

    def at(self, x_mm: float) -> Section:
        """As ``slice_at``."""
        number, how = self._lengths.at(x_mm)
        if how == PLAIN:
            return self._whole
        key = (number, 0.0 if how == EVEN else x_mm)
        got = self._known.get(key)
        if got is None:
            got = self._known[key] = _of_rings(self._standing.slice(x_mm).to_polygons())
        return got

    @cached_property
    def _whole(self) -> Section:
        """Of the profile where nothing else is worked."""
        return _of_rings([np.array([c[:2] for c in self._shape.profile])])

    @cached_property
    def _standing(self):
        return _standing(self._shape)


PLAIN, EVEN, UNEVEN = "plain", "even", "uneven"
"""How the section is along a length: the profile and no more, the same everywhere, or another at every place."""
NEAR_MM = 1e-6
"""So near to where a block begins or ends the kernel may take either side of it: each place there is cut by itself."""


class _Lengths:
    """Lengths of a shape between the places where something worked on it begins or ends."""

    def __init__(self, shape: Shape):
        over = [(b.bounds.lo[0], b.bounds.hi[0], EVEN if _runs_along(b) else UNEVEN) for b in (*shape.cuts, *shape.shaped, *shape.adds)]
        faces = {0.0, shape.length_mm, *(x for low, high, how in over if how == EVEN for x in (low, high))}
        over += [(x, x, UNEVEN) for x in faces]
        changes = sorted([(low - NEAR_MM, 1, how) for low, _, how in over] + [(high + NEAR_MM, -1, how) for _, high, how in over])
        bare = EVEN if any(len(c) > 2 and c[2] for c in shape.profile) else PLAIN
        count = {EVEN: 0, UNEVEN: 0}
        self._begun, self._how = [], [UNEVEN]
        for x, more, how in changes:
            count[how] += more
            self._begun.append(x)
            worked = next((h for h in (UNEVEN, EVEN) if count[h]), bare if 0.0 < x < shape.length_mm else EVEN)
            self._how.append(UNEVEN if shape.within else worked)

    def at(self, x_mm: float) -> tuple[int, str]:
        """Number of the length that a place is in, and how the section is along it."""
        number = bisect_right(self._begun, x_mm)
        return number, self._how[number]


def _runs_along(block: Block) -> bool:
    """Whether a block is the same all along the member: one with square faces, or drawn out that way."""
    return isinstance(block, Box) or abs(block.at.through[0]) > 1 - 1e-12


_sums = njit(cache=True)(ring_sums)
"""Compiled: a hole has many corners, and many sections go through one."""


@njit(cache=True)
def _furthest(ring, cy, cz):
    """How far the furthest corner of a ring is from a centre along y, and along z."""
    far_y = far_z = 0.0
    for y, z in ring:
        far_y, far_z = max(far_y, abs(y - cy)), max(far_z, abs(z - cz))
    return far_y, far_z


def _of_rings(rings) -> Section:
    """Of all rings of one cut, each an array n x 2."""
    a, sy, sz, iyy, izz = map(sum, zip(*map(_sums, rings))) if rings else _NONE
    if a < 1e-6:
        return (0.0,) * 7
    cy, cz = sy / a, sz / a
    reach_y, reach_z = map(max, zip(*(_furthest(ring, cy, cz) for ring in rings)))
    return a, max(izz - a * cz * cz, 0.0), max(iyy - a * cy * cy, 0.0), cy, cz, reach_y, reach_z


_NONE = (0.0,) * 5
