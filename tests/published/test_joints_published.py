"""Proportions of joints against the books: what a joint is by rule, held against the printed rule."""

import pytest

from studio_lib.piece.kinds import joined
from tests.piece.pairs import board, leg, pair, piece, rail_x
from tests.piece.test_halving import POST, across


# Fairham, Woodwork Joints (1921, Gutenberg 21531): the tenon is one third of the thickness.
@pytest.mark.parametrize(("thickness", "printed"), [(18.0, 6.0), (24.0, 8.0), (30.0, 10.0), (36.0, 12.0), (42.0, 14.0)])
def test_a_tenon_is_a_third_of_the_member(thickness, printed):
    made = pair("mortise and tenon", rail_x(x=80.0, thickness=thickness), leg(size=80.0))
    assert made.joints[0].thickness_mm == printed


# Building-construction handbooks (chestofbooks.com): a tenon is at most five times as wide as thick, then divided.
def test_a_wide_tenon_is_kept_to_five_thicknesses_and_a_double_one_divides_it():
    single = pair("mortise and tenon", rail_x(width=160.0, z=300.0), leg())
    assert single.joints[0].width_mm == 5 * single.joints[0].thickness_mm
    double = pair("double mortise and tenon", rail_x(width=160.0, z=300.0), leg())
    each = double.joints[0]
    assert 2 * each.width_mm > single.joints[0].width_mm and each.width_mm <= 5 * each.thickness_mm


# Trade handbooks: a stopped tenon enters a half to two thirds of the member, the mortise 1.5 to 2 mm deeper, 4.5 mm
# left beyond.
@pytest.mark.parametrize("size", [40.0, 60.0, 90.0])
def test_a_stopped_tenon_goes_half_to_two_thirds(size):
    made = pair("mortise and tenon", rail_x(x=size, y=8.0), leg(size=size))
    j = made.joints[0]
    assert size / 2 <= j.length_mm <= 2 / 3 * size
    mortise = max(j.cuts(made)["L1"][0].size)
    deep = next(c for c in sorted(j.cuts(made)["L1"][0].size) if j.length_mm < c <= j.length_mm + 2.0)
    assert 1.5 <= deep - j.length_mm <= 2.0 and size - deep >= 4.5 and mortise >= deep


# Fairham and handbooks: the haunch is a third of the width, the tenon two thirds.
def test_a_haunch_is_a_third_of_the_width():
    made = pair("mortise and tenon", rail_x(z=440.0, width=60.0), leg())
    j = made.joints[0]
    assert 60.0 - j.shoulder_low_mm - j.width_mm == pytest.approx(20.0, abs=1.0)


# Fairham; Noyes, Handwork in Wood (1910, Gutenberg 20846): half the thickness from each member of a halving.
def test_a_halving_takes_half_of_each():
    for kind, first in (("cross halving", across(0.0, 100.0, 300.0)), ("tee halving", across(0.0, 100.0, 160.0)),
                        ("corner halving", across(0.0, 240.0, 160.0))):
        made = pair(kind, first, POST)
        assert made.joints[0].depths_mm(made) == pytest.approx((12.0, 12.0))


# Fairham: a bridle is divided in thirds.
def test_a_bridle_is_divided_in_thirds():
    made = pair("corner bridle", across(0.0, 240.0, 160.0), POST)
    layers = made.joints[0].layers(made.joints[0].lap(made))
    assert [b - a for a, b, _ in layers] == pytest.approx([8.0, 8.0, 8.0])


# Fairham: dovetails slope 1 in 8, never steeper than 1 in 6.
def test_a_dovetailed_halving_slopes_one_in_eight():
    made = pair("dovetailed halving", across(0.0, 100.0, 160.0), POST)
    assert made.joints[0].slope == 8
    steep = pair("dovetailed halving", across(0.0, 100.0, 160.0), POST, slope=5)
    assert any(f.what == "slope of the dovetail" and not f.stands for f in steep.joints[0].findings(steep))


# Workshop articles on breadboard ends: mortises two thirds of the end's width; fixed at the centre, outer holes
# slotted.
@pytest.mark.parametrize("width", [60.0, 90.0, 120.0])
def test_a_breadboard_mortise_is_two_thirds_of_the_end_and_only_the_middle_is_fast(width):
    boards = [board(f"T{i}", 0.0, 130.0 * i, 600.0, 130.0) for i in range(3)]
    cleat = board("E1", 600.0, 0.0, 390.0, width, along="y")
    made = piece([*boards, cleat], [joined("breadboard end", b, cleat) for b in boards])
    assert [j.length_mm for j in made.joints] == pytest.approx([2 / 3 * width] * 3, abs=1.0)
    fast = [[t[3] for t in j.tenons(made.member(j.first), cleat)] for j in made.joints]
    assert fast == [[False], [True], [False]]
    assert all(j.slot_mm > j.peg_mm for j in made.joints)


# Handbooks on wedged tenons: wedges of about 5 degrees.
def test_wedges_slope_about_five_degrees():
    made = pair("through mortise and tenon", rail_x(), leg(), wedges=1)
    said = made.joints[0].setting_out(made)["wedges"]
    assert float(said.split(", ")[-1].split()[0]) == pytest.approx(5.0, abs=1.2)
