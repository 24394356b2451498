"""Housings and sliding dovetails: what is cut fits, stops where it should, and is refused in words."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.solids import volume_mm3
from tests.forms.invariants import all_of
from tests.piece.corners import member, pair

SIDE = member("side", (0, 0, 0), "z", "y", 800, 300, 20, 1)
SHELF = member("shelf", (20, 0, 300), "x", "y", 600, 300, 22, 1)


def test_a_through_housing_takes_its_width_and_depth_right_across():
    piece = pair("housing", SHELF, SIDE, depth_mm=6)
    box = piece.joints[0].cuts(piece)["side"][0]
    assert sorted(round(v, 6) for v in box.size) == [6, 22, 300]
    assert piece.overall_length_mm("shelf") == 606


def test_a_stopped_housing_leaves_the_front_edge_whole():
    piece = pair("housing", SHELF, SIDE, depth_mm=6, stopped_mm=12)
    box = piece.joints[0].cuts(piece)["side"][0]
    assert SIDE.placement.box_to_piece(box).lo[1] == pytest.approx(12)
    assert "stopped 12" in piece.joints[0].setting_out(piece)["trench"]


def test_a_sliding_dovetail_is_narrower_at_its_mouth_and_holds_the_same_way_in_both():
    piece = pair("sliding dovetail", SHELF, SIDE, depth_mm=8, slope=8)
    assert piece.joints[0].setting_out(piece)["neck"] == "20.0 thick"
    assert piece.joints[0].entry(piece) == (0.0, -1.0, 0.0)
    # By hand: a trapezium 22 and 20 wide, 8 deep, 300 long.
    assert volume_mm3(piece.shape("shelf")) == pytest.approx(600 * (300 * 22 - 2) + 8 * 21 * 300, rel=1e-4)


# By hand: the tongue is 22 thick at the back and 19 at the front, 6 deep and 300 wide.
def test_a_tapered_housing_is_tight_only_when_home():
    piece = pair("tapered housing", SHELF, SIDE, depth_mm=6, taper_mm=3)
    assert volume_mm3(piece.shape("shelf")) == pytest.approx(600 * (300 * 22 - 2) + 6 * 300 * 20.5, rel=1e-4)
    assert piece.joints[0].entry(piece) == (0.0, -1.0, 0.0)
    assert "from 22.0 at the back to 19.0 at the front" in piece.joints[0].setting_out(piece)["narrows"]


def test_a_tapered_housing_that_leaves_no_shelf_is_refused():
    with pytest.raises(ValueError, match="give 0.5 to 7.3 mm"):
        pair("tapered housing", SHELF, SIDE, taper_mm=9)


@settings(max_examples=60, deadline=None)
@given(
    kind=st.sampled_from(("housing", "sliding dovetail", "tapered housing")), t=st.floats(12, 40), shelf=st.floats(12, 40),
    stop=st.floats(0, 60), arris=st.floats(0, 2), right=st.booleans(),
)
def test_any_housing_is_sound(kind, t, shelf, stop, arris, right):
    side = member("side", (0, 0, 0), "z", "-y" if right else "y", 800, 300, t, arris)
    board = member("shelf", (-500 if right else t, 0, 300), "x", "y", 500, 300, shelf, arris)
    assert all_of(pair(kind, board, side, stopped_mm=stop)) == []


@pytest.mark.parametrize(
    ("shelf", "own", "words"),
    [
        (member("shelf", (30, 0, 300), "x", "y", 600, 300, 22), {}, "10 mm off"),
        (member("shelf", (20, 0, 790), "x", "y", 600, 300, 22), {}, "beyond the end"),
        (SHELF, {"depth_mm": 19}, "give 3 to 17"),
        (SHELF, {"width_mm": 19}, "has no 'width_mm'"),
    ],
)
def test_what_cannot_be_housed_is_refused(shelf, own, words):
    with pytest.raises(ValueError, match=words):
        pair("housing", shelf, SIDE, **own)
