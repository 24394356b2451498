"""Joints of cases against the books."""

import pytest

from tests.piece.corners import member, pair

SIDE = member("side", (0, 0, 0), "z", "y", 800, 300, 24)


# Fairham, Woodwork Joints (1921): 1 in 8, never steeper than 1 in 6.
@pytest.mark.parametrize(("slope", "stands"), [(8, True), (6, True), (5, False)])
def test_dovetails_slope_as_fairham_has_it(slope, stands):
    front = member("front", (0, 0, 0), "x", "z", 600, 160, 20)
    piece = pair("through dovetail", front, member("end", (0, 0, 0), "y", "z", 400, 160, 20), slope=slope)
    joint = piece.joints[0]
    found = next(f for f in joint.findings(piece) if f.what.startswith("slope"))
    assert found.stands is stands
    w = joint.widths_mm(piece)
    # Both sides of a tail lean in by the slope over the thickness of the pin board.
    assert (w["tail"] - w["neck"]) / 2 == pytest.approx(20 / slope)


# Noyes, Handwork in Wood (1910): tails equal to the spaces are strongest, up to four times as wide.
@pytest.mark.parametrize("height", [60, 100, 150, 240, 400])
def test_tails_by_rule_are_one_to_four_times_the_pins(height):
    front = member("front", (0, 0, 0), "x", "z", 600, height, 20)
    piece = pair("through dovetail", front, member("end", (0, 0, 0), "y", "z", 400, height, 20))
    w = piece.joints[0].widths_mm(piece)
    assert 1 <= (w["tail"] + w["neck"]) / (w["pin"] + w["pin at the shoulder"]) <= 4


# BioResources 14(1):1127: dowels of a third to a half of the thickness.
@pytest.mark.parametrize("thick", [16, 18, 20, 22, 25, 28, 32])
def test_dowels_by_rule_are_a_third_to_a_half_of_the_thickness(thick):
    rail = member("rail", (24, 0, 300), "x", "z", 400, 80, thick)
    joint = pair("dowels", rail, SIDE).joints[0]
    assert thick / 3 - 1 <= joint.diameter_mm <= thick / 2


# A workshop book: about three diameters each side; Elvrum: two thirds in end grain, one third in the face.
def test_dowels_by_rule_are_as_long_as_the_books_have_them():
    joint = pair("dowels", member("rail", (40, 0, 300), "x", "z", 400, 80, 22), member("post", (0, 0, 0), "z", "y", 800, 60, 40)).joints[0]
    total = joint.into_end_mm + joint.into_face_mm
    assert 5 <= total / joint.diameter_mm <= 6.5
    assert joint.into_end_mm / total == pytest.approx(2 / 3, abs=0.02)


# From memory: workshop books house a quarter to a third of the side's thickness.
@pytest.mark.parametrize("thick", [16, 18, 20, 22, 25, 30, 36])
def test_housings_by_rule_are_a_quarter_to_a_third(thick):
    side = member("side", (0, 0, 0), "z", "y", 800, 300, thick)
    joint = pair("housing", member("shelf", (thick, 0, 300), "x", "y", 600, 300, 22), side).joints[0]
    assert thick / 4 <= joint.depth_mm <= thick / 3


# Noyes, Handwork in Wood (1910): a panel's groove about as deep as it is wide, and no glue.
@pytest.mark.parametrize(("into", "stands"), [(5, True), (9, True), (20, False)])
def test_a_panels_groove_is_about_as_deep_as_wide(into, stands):
    panel = member("panel", (8, 300 - into, 50), "z", "y", 500, 300, 8)
    piece = pair("groove and panel", panel, SIDE)
    found = next(f for f in piece.joints[0].findings(piece) if f.what == "depth of the groove")
    assert found.stands is stands and piece.joints[0].glued_area_mm2(piece) == 0
