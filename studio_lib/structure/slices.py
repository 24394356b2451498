"""The section a member really has at a place along it: bevels, tapers, mortises and halvings taken off."""

from __future__ import annotations

from functools import cached_property, lru_cache

import numpy as np

from studio_lib.piece import Shape
from studio_lib.solids.mesh import solid_of

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


@lru_cache(maxsize=4096)
def sliced(shape: Shape) -> Sliced:
    """The sections of a shape; equal shapes share them, so that each is cut once."""
    return Sliced(shape)


class Sliced:
    """Sections along one shape, each worked out when first asked for."""

    def __init__(self, shape: Shape):
        self._shape = shape
        self._known: dict[float, Section] = {}
        self._never_plain = bool(shape.within) or any(len(c) > 2 and c[2] for c in shape.profile)
        self._worked = [(b.bounds.lo[0] - 1e-6, b.bounds.hi[0] + 1e-6) for b in (*shape.cuts, *shape.shaped, *shape.adds)]

    def at(self, x_mm: float) -> Section:
        """As ``slice_at``."""
        got = self._known.get(x_mm)
        if got is None:
            got = self._known[x_mm] = _of_profile(self._shape.profile) if self._plain(x_mm) else _of_rings(
                [np.asarray(ring) for ring in self._standing.slice(x_mm).to_polygons()])
        return got

    @cached_property
    def _standing(self):
        return _standing(self._shape)

    def _plain(self, x_mm: float) -> bool:
        """Whether nothing is worked on the member there, so that its profile is its section."""
        if self._never_plain or not 0.0 < x_mm < self._shape.length_mm:
            return False
        return not any(low <= x_mm <= high for low, high in self._worked)


@lru_cache(maxsize=4096)
def _of_profile(profile) -> tuple[float, float, float, float, float, float, float]:
    return _of_rings([np.array([c[:2] for c in profile], float)])


def _of_rings(rings) -> tuple[float, float, float, float, float, float, float]:
    """Green's theorem round each ring; holes run the other way."""
    a = sy = sz = iyy = izz = 0.0
    ys, zs = [], []
    for p in rings:
        q = np.concatenate((p[1:], p[:1]))
        turn = p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]
        a += turn.sum() / 2
        sy += (turn * (p[:, 0] + q[:, 0])).sum() / 6
        sz += (turn * (p[:, 1] + q[:, 1])).sum() / 6
        iyy += (turn * (p[:, 0] ** 2 + p[:, 0] * q[:, 0] + q[:, 0] ** 2)).sum() / 12
        izz += (turn * (p[:, 1] ** 2 + p[:, 1] * q[:, 1] + q[:, 1] ** 2)).sum() / 12
        ys.append(p[:, 0])
        zs.append(p[:, 1])
    if a < 1e-6:
        return (0.0,) * 7
    cy, cz = sy / a, sz / a
    y, z = np.concatenate(ys), np.concatenate(zs)
    return (
        float(a), float(max(izz - a * cz * cz, 0.0)), float(max(iyy - a * cy * cy, 0.0)), float(cy), float(cz),
        float(np.abs(y - cy).max()), float(np.abs(z - cz).max()),
    )
