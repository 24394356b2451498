"""Sections of members against a finite-element library for cross sections (sectionproperties)."""

import numpy as np
import pytest

from studio_lib.piece import Box, Member, Piece, Placement, Shape
from studio_lib.structure.slices import slice_at

HERE = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def of_library(rings):
    """Area and second moments about the centroid by the library; rings of four corners, the outer one first."""
    from sectionproperties.analysis import Section
    from sectionproperties.pre import Geometry

    points = [p for ring in rings for p in ring]
    facets = [(4 * k + i, 4 * k + (i + 1) % 4) for k in range(len(rings)) for i in range(4)]
    inside = [tuple(np.mean(ring, axis=0)) for ring in rings[1:]]
    geometry = Geometry.from_points(points, facets, control_points=[(1.0, 1.0)], holes=inside)
    section = Section(geometry.create_mesh(mesh_sizes=[40.0]))
    section.calculate_geometric_properties()
    return section


def section_of(seed: int):
    """A rail of random size, its under-edge bevelled and a slot through it; its section in the middle worked out by hand."""
    rng = np.random.default_rng(seed)
    width, thick = float(rng.integers(40, 160)), float(rng.integers(18, 60))
    low, high = sorted(float(v) for v in rng.uniform(8, width - 8, 2))
    mid, half = thick * float(rng.uniform(0.35, 0.65)), thick * float(rng.uniform(0.08, 0.2))
    plain = Piece("p", "f", (Member("A-R1", "rail", "rail", "oak", 600.0, width, thick, HERE, 0.0),)).shape("A-R1")
    slot = Box((280.0, low, mid - half), (320.0, high, mid + half))
    outer = [(0, 0), (width, 0), (width, thick), (0, thick)]
    hole = [(low, mid - half), (high, mid - half), (high, mid + half), (low, mid + half)]
    return Shape(plain.profile, 600.0, cuts=(slot,)), [outer, hole]


@pytest.mark.parametrize("seed", range(20))
def test_a_section_with_a_mortise_is_the_librarys(seed):
    shape, rings = section_of(seed)
    area, i_y, i_z, cy, cz, *_ = slice_at(shape, 300.0)
    theirs = of_library(rings)
    assert area == pytest.approx(theirs.get_area(), rel=1e-6)
    assert (cy, cz) == pytest.approx(theirs.get_c(), rel=1e-6)
    ixx, iyy, _ = theirs.get_ic()
    assert (i_y, i_z) == pytest.approx((ixx, iyy), rel=1e-5)


# The frame takes torsion by Saint-Venant's A^4 / (40 I_p), which is good to a tenth for rectangles up to one to four; the library
# solves for warping. On thin boards it errs to the stiff side by up to a third, hence the two bounds.
@pytest.mark.parametrize(("width", "thick", "within"), [(40, 40, 0.1), (60, 40, 0.1), (90, 30, 0.1), (120, 30, 0.12), (120, 20, 0.2)])
def test_torsion_by_saint_venant_against_the_library(width, thick, within):
    from sectionproperties.analysis import Section
    from sectionproperties.pre.library import rectangular_section

    section = Section(rectangular_section(d=thick, b=width).create_mesh(mesh_sizes=[thick * thick / 40]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    polar = (width * thick**3 + thick * width**3) / 12
    assert (width * thick) ** 4 / (40 * polar) == pytest.approx(section.get_j(), rel=within)
