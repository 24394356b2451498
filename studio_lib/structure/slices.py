"""The section a member really has at a place along it: bevels, tapers, mortises and halvings taken off."""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property, lru_cache

import numpy as np

from studio_lib.piece import Shape
from studio_lib.piece.bulk import let_go
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
    """Sections along one shape, each worked out when first asked for."""

    def __init__(self, shape: Shape):
        self._shape = shape
        self._known: dict[float, Section] = {}
        self._never_plain = bool(shape.within) or any(len(c) > 2 and c[2] for c in shape.profile)
        self._begun, self._ended = _lengths([b.bounds for b in (*shape.cuts, *shape.shaped, *shape.adds)])

    def at(self, x_mm: float) -> Section:
        """As ``slice_at``."""
        if self._plain(x_mm):
            return self._whole
        got = self._known.get(x_mm)
        if got is None:
            got = self._known[x_mm] = _of_rings([ring.tolist() for ring in self._standing.slice(x_mm).to_polygons()])
        return got

    @cached_property
    def _whole(self) -> Section:
        """Of the profile where nothing else is worked."""
        return _of_rings([[c[:2] for c in self._shape.profile]])

    @cached_property
    def _standing(self):
        return _standing(self._shape)

    def _plain(self, x_mm: float) -> bool:
        """Whether nothing is worked on the member there, so that its profile is its section."""
        if self._never_plain or not 0.0 < x_mm < self._shape.length_mm:
            return False
        k = bisect_right(self._begun, x_mm)
        return not k or x_mm > self._ended[k - 1]


def _lengths(worked) -> tuple[list[float], list[float]]:
    """Where lengths with something worked on them begin and end, in order; those that meet are one. [mm]"""
    begun, ended = [], []
    for low, high in sorted((b.lo[0] - 1e-6, b.hi[0] + 1e-6) for b in worked):
        if ended and low <= ended[-1]:
            ended[-1] = max(ended[-1], high)
        else:
            begun.append(low)
            ended.append(high)
    return begun, ended


def _of_rings(rings) -> Section:
    """Of all rings of one cut."""
    a, sy, sz, iyy, izz = ring_sums(rings)
    if a < 1e-6:
        return (0.0,) * 7
    cy, cz = sy / a, sz / a
    corners = [corner for ring in rings for corner in ring]
    return (
        a, max(izz - a * cz * cz, 0.0), max(iyy - a * cy * cy, 0.0), cy, cz,
        max(abs(y - cy) for y, _ in corners), max(abs(z - cz) for _, z in corners),
    )
