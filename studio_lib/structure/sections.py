"""Properties of a member's cross-section, from the corners of its profile."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Section:
    """A cross-section about its own centroid; y across the width, z through the thickness."""

    area_mm2: float
    i_width_mm4: float
    """Second moment for bending in the direction of the width."""
    i_thickness_mm4: float
    """Second moment for bending in the direction of the thickness."""
    z_width_mm3: float
    """Elastic modulus to the further edge, bending in the direction of the width."""
    z_thickness_mm3: float


def ring_sums(ring) -> tuple[float, float, float, float, float]:
    """Area, first moments about z and y and second moments about z and y of a ring of corners (y, z), about the axes it is given in.

    Green's theorem on its edges; the ring of a hole runs the other way round, so that the sums of all rings add up. [mm2], [mm3], [mm4]
    """
    a = sy = sz = iyy = izz = 0.0
    y0, z0 = ring[-1]
    for y1, z1 in ring:
        turn = y0 * z1 - y1 * z0
        a += turn
        sy += turn * (y0 + y1)
        sz += turn * (z0 + z1)
        iyy += turn * (y0 * y0 + y0 * y1 + y1 * y1)
        izz += turn * (z0 * z0 + z0 * z1 + z1 * z1)
        y0, z0 = y1, z1
    return a / 2, sy / 6, sz / 6, iyy / 12, izz / 12


def section(corners) -> Section:
    """Section of a polygon given by its corners (y, z) in order. [mm]

    Exact for any polygon without holes. Raises
    ValueError when the corners enclose no area.
    """
    area, sy, sz, iyy, izz = ring_sums(corners)
    if abs(area) < 1e-9:
        raise ValueError(f"These corners enclose no area: {tuple(corners)}.")
    cy, cz = sy / area, sz / area
    i_y = abs(iyy) - abs(area) * cy * cy
    i_z = abs(izz) - abs(area) * cz * cz
    reach_y = max(abs(y - cy) for y, _ in corners)
    reach_z = max(abs(z - cz) for _, z in corners)
    return Section(abs(area), i_y, i_z, i_y / reach_y, i_z / reach_z)


def rectangle(width_mm: float, thickness_mm: float) -> Section:
    """Section of a plain rectangle. [mm]"""
    w, t = width_mm, thickness_mm
    return section(((0.0, 0.0), (w, 0.0), (w, t), (0.0, t)))
