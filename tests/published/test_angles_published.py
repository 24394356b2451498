"""Compound angles of leaning legs against closed forms and printed angles of geometry."""

import math
from dataclasses import replace

import numpy as np
import pytest

from studio_lib.piece import Member, Placement
from studio_lib.piece.angles import Lean, cut_to
from studio_lib.piece.shaping import EndCut
from studio_lib.solids.mesh import placed
from tests.piece.pairs import X, Z, piece


# Closed form: tan(resultant)^2 = tan(splay)^2 + tan(rake)^2; for equal angles the sight line stands at 45 degrees.
@pytest.mark.parametrize(("splay", "rake", "resultant", "sight"), [
    (0.0, 0.0, 0.0, 0.0), (10.0, 0.0, 10.0, 0.0), (0.0, 10.0, 10.0, 90.0), (45.0, 45.0, 54.7356, 45.0),
    (30.0, 30.0, 39.2315, 45.0),
])
def test_resultant_and_sight_line(splay, rake, resultant, sight):
    lean = Lean(splay, rake)
    assert lean.resultant_deg == pytest.approx(resultant, abs=1e-3)
    if splay or rake:
        assert lean.sight_deg == pytest.approx(sight, abs=1e-6)


# 54.7356 degrees is half the angle between two diagonals of a cube as geometry books print it (acos(1 / sqrt 3)).
def test_a_cube_s_diagonal_leans_both_ways_by_45_degrees():
    lean = Lean(45, 45)
    assert math.degrees(math.acos(1 / math.sqrt(3))) == pytest.approx(lean.resultant_deg)
    assert lean.longer == pytest.approx(math.sqrt(3))


# Closed form: the mitre is the angle seen on the face, the tilt atan(tan(edge) cos(mitre)); for 45 and 45 the tilt is
# 35.264 degrees, the angle of a cube's diagonal to its face as geometry books print it; for 30 and 30 it is atan(1/2).
@pytest.mark.parametrize(("face", "edge", "mitre", "tilt"), [
    (0.0, 10.0, 0.0, 10.0), (10.0, 0.0, 10.0, 0.0), (45.0, 45.0, 45.0, 35.2644), (30.0, 30.0, 30.0, 26.5651),
])
def test_saw_settings_of_a_compound_cut(face, edge, mitre, tilt):
    assert EndCut("start", face, edge).saw_deg == pytest.approx((mitre, tilt), abs=1e-3)


# A second way: the cut by the saw, turned as a solid, is the plane that was asked for.
@pytest.mark.parametrize(("splay", "rake"), [(8, 6), (12, 0), (0, 12), (15, 10), (-7, 9)])
def test_a_leg_is_cut_level_at_both_ends(splay, rake):
    up = Lean(splay, rake).upward(1, 1)
    across = np.array(X) - np.dot(X, up) * np.array(up)
    across = tuple(across / np.linalg.norm(across))
    member = Member("L", "leg", "leg", "oak", 500.0, 40.0, 40.0, Placement((0.0, 0.0, 0.0), up, across))
    member = cut_to(cut_to(member, "start", (0, 0, 0), Z), "end", (0, 0, 450.0), Z)
    solid = placed(piece([member], []), "L")
    points = solid.to_mesh().vert_properties[:, 2]
    assert points.min() == pytest.approx(0, abs=1e-4) and points.max() == pytest.approx(450, abs=1e-4)
    # Half of the corners lie in either plane: the ends are flat and level.
    assert np.isclose(points, 0, atol=1e-3).sum() >= 4 and np.isclose(points, 450, atol=1e-3).sum() >= 4
    # Its volume is section x length along the middle, by closed form.
    assert solid.volume() == pytest.approx(1600 * 450 * Lean(splay, rake).longer, rel=1e-6)


# The angle between two planes by their normals, against the mitre and tilt of the saw:
# cos(angle off square) = cos(mitre) cos(tilt).
@pytest.mark.parametrize(("splay", "rake"), [(8, 6), (10, 10), (15, 4)])
def test_mitre_and_tilt_together_are_the_lean_of_the_leg(splay, rake):
    up = Lean(splay, rake).upward(1, 1)
    across = np.array(X) - np.dot(X, up) * np.array(up)
    across = tuple(across / np.linalg.norm(across))
    member = Member("L", "leg", "leg", "oak", 500.0, 40.0, 40.0, Placement((0.0, 0.0, 0.0), up, across))
    (cut,) = cut_to(member, "start", (0, 0, 0), Z).shaping
    mitre, tilt = (math.radians(a) for a in cut.saw_deg)
    assert math.degrees(math.acos(math.cos(mitre) * math.cos(tilt))) == pytest.approx(Lean(splay, rake).resultant_deg,
        abs=1e-6)


def test_a_cut_along_the_member_is_refused():
    member = Member("R", "rail", "rail", "oak", 500.0, 40.0, 20.0, Placement((0.0, 0.0, 0.0), X, Z))
    with pytest.raises(ValueError, match="runs along the face"):
        cut_to(replace(member), "end", (0, 0, 0), Z)
