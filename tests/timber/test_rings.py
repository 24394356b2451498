"""End grain: where the pith lies, how rings turn, and which way a board cups."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import member_movement_mm, timber
from studio_lib.timber.rings import Pith, cup, heart_of_ring, mean_ring_angle_deg, pith_from_arc, ring_angle_deg

BEECH = timber("European beech")


@given(st.floats(-300, 300), st.floats(20, 400), st.floats(40, 300))
def test_the_pith_is_found_again_from_three_marks(aside, below, radius):
    marks = [(aside + radius * math.sin(a), -below + radius * math.cos(a)) for a in (-0.6, 0.1, 0.7)]
    found = pith_from_arc(*marks)
    assert found.below_mm == pytest.approx(below, abs=1e-6) and found.aside_mm == pytest.approx(aside, abs=1e-6)


def test_ring_angles_seen_from_the_pith():
    assert ring_angle_deg(Pith(100, 0), 0, 0) == 0
    assert ring_angle_deg(Pith(100, 0), 100, 0) == pytest.approx(45)
    assert ring_angle_deg(Pith(0, 200), 0, 0) == pytest.approx(90)


def test_the_mean_angle_by_hand():
    # 45 degrees either side of a pith 100 mm under 200 mm of width: cos2 averages (100 / 200) x (pi / 2) = 0.7854.
    assert mean_ring_angle_deg(200, Pith(100, 0)) == pytest.approx(math.degrees(math.acos(math.sqrt(math.pi / 4))))
    assert mean_ring_angle_deg(100, Pith(2000, 0)) < 1.7
    assert mean_ring_angle_deg(100, Pith(0, 300)) == 90


# From memory, in every woodworking book: a flat-sawn board that dries goes hollow on the bark side.
def test_drying_hollows_the_bark_face_and_damp_the_heart_face():
    dried, damp = cup(BEECH, 200, 25, Pith(100, 0), 12, 8), cup(BEECH, 200, 25, Pith(100, 0), 8, 12)
    assert (dried.hollow_face, damp.hollow_face) == ("bark", "heart")
    assert dried.width_mm < 200 < damp.width_mm


@pytest.mark.parametrize(("width", "below"), [(40, 200), (60, 400), (80, 900)])
def test_a_narrow_board_cups_by_the_difference_of_its_movements(width, below):
    # Straight above the pith, narrow: every ring keeps its own length and the radius changes less than the
    # arc does; the bow is (b/2)^2 (radial less tangential) / d, here within the next term, (b/2d)^2.
    radial, tangential = (member_movement_mm(BEECH, 1, s, 20, 8) for s in ("quarter", "flat"))
    found = cup(BEECH, width, 20, Pith(below, 0), 20, 8)
    assert found.bow_mm == pytest.approx((width / 2) ** 2 * (radial - tangential) / below, rel=0.03)


def test_the_sum_leaves_no_stress():
    # The thickness at the middle runs along a ray: it must have changed by just the radial movement. The width of a narrow
    # strip far from the pith runs along a ring: by just the tangential one.
    radial = member_movement_mm(BEECH, 1, "quarter", 20, 8)
    found = cup(BEECH, 160, 30, Pith(120, 0), 20, 8)
    mid_top, mid_bottom = found.after[12], found.after[25 + 12]
    assert math.dist(mid_top, mid_bottom) == pytest.approx(30 * (1 + radial), rel=1e-9)
    tangential = member_movement_mm(BEECH, 1, "flat", 20, 8)
    assert cup(BEECH, 4, 2, Pith(1500, 0), 20, 8).width_mm == pytest.approx(4 * (1 + tangential), rel=1e-6)


def test_nearer_the_heart_cups_more_and_quarter_sawn_stays_flat():
    bows = [cup(BEECH, 150, 25, Pith(d, 0), 14, 8).bow_mm for d in (60, 120, 300)]
    assert bows == sorted(bows, reverse=True)
    # Square to its rings, the board lies along a ray: that stays straight.
    quarter = cup(BEECH, 150, 25, Pith(0, 200), 14, 8)
    assert quarter.hollow_face == "neither" and quarter.radius_mm == math.inf
    assert quarter.width_mm == pytest.approx(150 + member_movement_mm(BEECH, 150, "quarter", 14, 8))


def test_a_board_without_change_stays_as_it_is():
    still = cup(BEECH, 150, 25, Pith(80, 30), 12, 12)
    assert still.bow_mm == pytest.approx(0, abs=1e-9) and still.width_mm == pytest.approx(150)
    assert still.after[0] == (pytest.approx(-75), pytest.approx(12.5))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: cup(BEECH, 200, 50, Pith(10, 20), 12, 8), "pith lies inside"),
        (lambda: Pith(-5, 0), "below_mm is -5"),
        (lambda: pith_from_arc((0, 0), (1, 0), (2, 0)), "lie in a line"),
        (lambda: pith_from_arc((0, 0), (0, 0), (2, 0)), "the same"),
        (lambda: pith_from_arc((-60, 0), (0, -20), (60, 0)), "turn the board"),
        (lambda: mean_ring_angle_deg(0, Pith(10, 0)), "width_mm is 0"),
    ],
)
def test_nonsense_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()


# A circle of 150 about (20, -130), three of its points, and the same board turned over.
def test_the_heart_is_found_whichever_way_up_the_board_lay():
    on_ring = [(x, -130 + math.sqrt(150**2 - (x - 20) ** 2)) for x in (-30.0, 20.0, 75.0)]
    heart, over = heart_of_ring(on_ring, 200, 60)
    assert (heart.below_mm, heart.aside_mm, over) == (pytest.approx(130), pytest.approx(20), False)
    turned, over = heart_of_ring([(x, -y) for x, y in on_ring], 200, 60)
    assert (turned.below_mm, turned.aside_mm, over) == (pytest.approx(130), pytest.approx(20), True)
    backwards, _ = heart_of_ring(on_ring[::-1], 200, 60)
    assert backwards.below_mm == pytest.approx(heart.below_mm)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(-60, 0), (0, 0), (60, 0)], "all but straight"),
        ([(-90, 0), (0, 1), (90, 0)], "all but straight"),
        ([(-60, 0), (-60, 0), (60, 0)], "are the same"),
        ([(-60, 0), (0, 20), (60, 0)], "Point 2 at 0, 20 mm lies off a board of 200 x 30 mm"),
        ([(-60, 0), (0, 10)], "2 points are marked"),
    ],
)
def test_points_of_no_ring_are_refused(points, words):
    with pytest.raises(ValueError, match=words):
        heart_of_ring(points, 200, 30)
