"""The section a member really has at a place along it: bevels, tapers, mortises and halvings taken off."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from studio_lib.piece import Shape
from studio_lib.solids.mesh import solid_of

_ALONG_UP = np.array([[0, 1, 0, 0], [0, 0, 1, 0], [1, 0, 0, 0]], dtype=float)
"""Member axes turned so that its length stands up, since the kernel slices level."""


@lru_cache(maxsize=2048)
def _standing(shape: Shape):
    return solid_of(shape).transform(_ALONG_UP)


@lru_cache(maxsize=65536)
def slice_at(shape: Shape, x_mm: float) -> tuple[float, float, float, float, float, float, float]:
    """Section across a member ``x_mm`` from its start.

    Returns
    -------
    area, i_y, i_z, centre y, centre z, furthest y, furthest z
        About the section's own centre: i_z for bending in the direction of the width (y),
        i_y through the thickness (z). [mm2, mm4, mm]. All zero where no timber is left.
    """
    if _plain_there(shape, x_mm):
        return _of_profile(shape.profile)
    return _of_rings([np.asarray(ring) for ring in _standing(shape).slice(x_mm).to_polygons()])


def _plain_there(shape: Shape, x_mm: float) -> bool:
    """Whether nothing is worked on the member there, so that its profile is its section."""
    if shape.within or not 0.0 < x_mm < shape.length_mm or any(len(c) > 2 and c[2] for c in shape.profile):
        return False
    return not any(b.bounds.lo[0] - 1e-6 <= x_mm <= b.bounds.hi[0] + 1e-6 for b in (*shape.cuts, *shape.shaped, *shape.adds))


@lru_cache(maxsize=4096)
def _of_profile(profile) -> tuple[float, float, float, float, float, float, float]:
    return _of_rings([np.array([c[:2] for c in profile], float)])


def _of_rings(rings) -> tuple[float, float, float, float, float, float, float]:
    """Green's theorem round each ring; holes run the other way."""
    a = sy = sz = iyy = izz = 0.0
    ys, zs = [], []
    for p in rings:
        q = np.roll(p, -1, axis=0)
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
