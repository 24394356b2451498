"""Getting it in, against textbook answers, closed forms and sums done another way."""

from math import cos, hypot, pi, sin, sqrt

import pytest

from studio_lib.access import (
    corner_longest_mm,
    corner_longest_thin_mm,
    standing_up_mm,
    tilt_angle_deg,
)
from studio_lib.access.fits import sloped_length_mm

FOOT = 304.8


# Stewart, Calculus, section 4.7 (applied optimisation): a pipe carried level round the turn from
# a hall 9 ft wide into one 6 ft wide is at most (6^(2/3) + 9^(2/3))^(3/2) = 21.07 ft; and the
# shortest ladder over an 8 ft fence 4 ft from a building is 16.65 ft, the same sum. From memory.
@pytest.mark.parametrize(("a", "b", "feet"), [(9, 6, 21.07), (8, 4, 16.65)])
def test_ladder_round_the_corner_of_the_calculus_book(a, b, feet):
    assert corner_longest_thin_mm(a * FOOT, b * FOOT) / FOOT == pytest.approx(feet, abs=0.005)
    assert corner_longest_mm(a * FOOT, b * FOOT, 0) / FOOT == pytest.approx(feet, abs=0.005)


# Corridors a, b and a piece w wide. With a = b the least lies at 45 degrees by symmetry:
# 2 (a sqrt 2 - w), so 2546 and 1646 mm. The other two are worked from the corner formula in
# the trade's access sums, printed to the millimetre.
@pytest.mark.parametrize(
    ("a", "b", "w", "longest"),
    [
        (900, 900, 0, 2 * 900 * sqrt(2)), (900, 900, 450, 2 * (900 * sqrt(2) - 450)),
        (900, 1200, 0, 2960), (900, 1200, 500, 1951),
    ],
)
def test_longest_piece_round_a_turn(a, b, w, longest):
    assert corner_longest_mm(a, b, w) == pytest.approx(longest, abs=0.5)


def _clears(length, a, b, w):
    """Ends sliding on the two outer walls; the inner corner (b, a) must stay w off the outer long side."""
    for i in range(1, 4000):
        t = i / 4000 * pi / 2
        x, y = length * cos(t), length * sin(t)
        # Distance of (b, a) from the line through (x, 0) and (0, y), on the inner side.
        if (b * y + a * x - x * y) / hypot(x, y) < w:
            return False
    return True


@pytest.mark.parametrize(("a", "b", "w"), [(820, 900, 300), (1100, 750, 80), (950, 1300, 740), (700, 700, 690)])
def test_longest_piece_by_sliding_it_round(a, b, w):
    longest = corner_longest_mm(a, b, w)
    assert _clears(longest - 0.5, a, b, w)
    assert not _clears(longest + 0.5, a, b, w)


def test_a_piece_wider_than_the_corridor_has_no_length():
    assert corner_longest_mm(800, 1200, 800) == 0


# A square opening of side s takes a leaning rectangle p x q when p + q <= s sqrt 2 (each corner
# cuts an isosceles right triangle off the square). 1000 mm: 1414.2 mm in all.
@pytest.mark.parametrize(("p", "q", "passes"), [(1300, 110, True), (1300, 118, False), (1050, 363, True), (1050, 366, False)])
def test_leaning_through_a_square(p, q, passes):
    assert (tilt_angle_deg(p, q, 1000, 1000) is not None) is passes


# Carver 1957, after Wetzel, Rectangles in rectangles, Mathematics Magazine 73 (2000): p x q with
# p > a goes into a x b (a >= b, p >= q) when q <= b and ((a+b)/(p+q))^2 + ((a-b)/(p-q))^2 >= 2.
@pytest.mark.parametrize("wide", [760, 820, 1200, 2100])
@pytest.mark.parametrize("deep", [40, 150, 330, 700, 900])
@pytest.mark.parametrize("high", [700, 2050, 2110, 2180, 2400])
def test_tilting_agrees_with_carver_and_with_trying_every_angle(wide, deep, high):
    door_high = 2040
    p, q = max(deep, high), min(deep, high)
    a, b = max(wide, door_high), min(wide, door_high)
    carver = (p <= a and q <= b) or (
        p > a and q <= b and ((a + b) / (p + q)) ** 2 + ((a - b) / (p - q)) ** 2 >= 2
    )
    tried = any(
        deep * cos(t) + high * sin(t) <= wide and deep * sin(t) + high * cos(t) <= door_high
        for t in (i / 20000 * pi / 2 for i in range(20001))
    )
    angle = tilt_angle_deg(deep, high, wide, door_high)
    assert (angle is not None) == carver == tried


@pytest.mark.parametrize(("deep", "high", "wide", "door_high"), [(60, 2110, 820, 2040), (2110, 60, 820, 2040), (60, 2110, 2040, 820)])
def test_the_angle_named_really_passes(deep, high, wide, door_high):
    t = tilt_angle_deg(deep, high, wide, door_high) * pi / 180
    assert deep * cos(t) + high * sin(t) <= wide + 1e-6
    assert deep * sin(t) + high * cos(t) <= door_high + 1e-6


# Access sums of the trade: 2400 x 900 needs a ceiling of 2563 mm; 3-4-5: 1600 x 1200 needs 2000.
@pytest.mark.parametrize(("tall", "deep", "need"), [(2400, 900, 2563), (1600, 1200, 2000)])
def test_standing_it_up(tall, deep, need):
    assert standing_up_mm(tall, deep) == pytest.approx(need, abs=0.5)


# 5-12-13: a thin pole of 2600 raised to 1000 takes 2400 of floor.
def test_a_pole_carried_with_one_end_raised():
    assert sloped_length_mm(2600, 0.001, 1000) == pytest.approx(2400, abs=0.01)


def test_a_sloped_box_fills_the_height_exactly():
    plan = sloped_length_mm(2500, 300, 1200)
    # The slope that this floor means, found by halving, must bring the box to the ceiling.
    low, high = 0.0, pi / 2
    while high - low > 1e-12:
        mid = (low + high) / 2
        low, high = (mid, high) if 2500 * sin(mid) + 300 * cos(mid) < 1200 else (low, mid)
    assert plan == pytest.approx(2500 * cos(low) + 300 * sin(low), abs=0.01)
