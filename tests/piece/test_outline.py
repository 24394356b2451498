"""Outlines of lines and arcs: areas and arcs against closed forms, and against the exact kernel."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from studio_lib.piece.outline import area_mm2, bounds, bulge_through, circle, ellipse, flat, slot


def shoelace(points):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1])) / 2


def test_a_circle_and_a_slot_by_their_closed_forms():
    assert area_mm2(circle(3, 4, 10)) == pytest.approx(math.pi * 25)
    assert bounds(circle(3, 4, 10)) == pytest.approx((-2, -1, 8, 9))
    # A slot is a rectangle and a circle.
    assert area_mm2(slot(0, 0, 30, 40, 12)) == pytest.approx(50 * 12 + math.pi * 36)


# Circular segment: A = r^2 (theta - sin theta) / 2; sagitta h = r (1 - cos(theta / 2)).
@pytest.mark.parametrize("theta_deg", [20, 90, 180, 270])
def test_a_segment_by_its_closed_form(theta_deg):
    theta, r = math.radians(theta_deg), 50.0
    half, h = r * math.sin(theta / 2), r * (1 - math.cos(theta / 2))
    bulge = bulge_through((0, 0), (half, -h), (2 * half, 0))
    assert abs(bulge) == pytest.approx(math.tan(theta / 4))
    assert area_mm2(((0, 0, bulge), (2 * half, 0))) == pytest.approx(r * r * (theta - math.sin(theta)) / 2)


def test_an_oval_of_arcs_stays_by_its_ellipse():
    outline = ellipse(0, 0, 1600, 900)
    assert area_mm2(outline) == pytest.approx(math.pi * 800 * 450, rel=1e-3)
    for u, v in flat(outline):
        assert abs(math.sqrt((u / 800) ** 2 + (v / 450) ** 2) - 1) < 2e-3


points = st.tuples(*(st.floats(-500, 500).map(lambda v: round(v, 3)) for _ in range(2)))


@given(points, points, points)
def test_chords_enclose_what_the_arc_does(a, m, b):
    assume(min(math.dist(a, m), math.dist(m, b), math.dist(a, b)) > 5)
    bulge = bulge_through(a, m, b)
    assume(1e-3 < abs(bulge) < 20)
    outline = ((*a, bulge), b)
    assert shoelace(flat(outline)) == pytest.approx(abs(area_mm2(outline)), rel=1e-9, abs=1e-6)
    u0, v0, u1, v1 = bounds(outline)
    assert u0 - 1e-9 <= m[0] <= u1 + 1e-9 and v0 - 1e-9 <= m[1] <= v1 + 1e-9
