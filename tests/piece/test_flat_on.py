"""Strips glued on, screws and hinges: where members lie flat on each other."""

import pytest

from studio_lib.finding import Verdict
from tests.forms.invariants import all_of
from tests.piece.corners import Swings, member, pair

LID = member("lid", (0, 0, 100), "x", "y", 800, 400, 24)
BACK = member("back", (0, 380, 0), "x", "z", 800, 100, 20)
BATTEN = member("batten", (100, 30, 80), "y", "x", 340, 60, 20)


def test_hinges_take_their_leaves_out_of_both_edges():
    piece = pair("hinges", LID, BACK, count=3, hinge_mm=60)
    assert set(piece.joints[0].cuts(piece)) == {"lid", "back"}
    assert all_of(piece, exact=True) == [] and piece.joints[0].hardware(piece)[0].count == 3


# By hand: screws 28 mm (7 diameters) from either end of 340 mm, 142 mm from the middle one; at 2 % that is 2.84 mm.
# A round hole half a millimetre over the screw lets it move 0.25 mm; a slot 8 mm longer lets it move 4.25 mm.
def test_a_batten_screwed_fast_holds_the_lid_and_one_in_slots_lets_it_go():
    fast = pair("screws", BATTEN, LID, count=3, diameter_mm=4)
    assert any(f.verdict is Verdict.FAILS for f in fast.joints[0].moves(fast, Swings(0.02)))
    loose = pair("screws", BATTEN, LID, count=3, diameter_mm=4, slot_mm=8)
    found = loose.joints[0].moves(loose, Swings(0.02))
    assert [f.capacity for f in found] == [4.25, 4.25] and [f.demand for f in found] == pytest.approx([2.84, 2.84])
    assert all_of(loose, exact=True) == []


# The slots lie along the batten, where the lid moves under it; the middle screw holds.
def test_slots_lie_the_way_the_lid_moves():
    piece = pair("screws", BATTEN, LID, count=3, diameter_mm=4, slot_mm=8)
    sizes = [b.bounds.size for b in piece.joints[0].cuts(piece)["batten"]]
    assert [round(s[0] - s[1], 6) for s in sizes] == [8, 8, 0, 0, 8, 8]


def test_where_grains_run_alike_every_slot_lies_across_the_grain():
    rail = member("rail", (100, 30, 80), "x", "y", 400, 40, 20)
    piece = pair("screws", rail, LID, count=2, diameter_mm=4, slot_mm=6)
    sizes = [b.bounds.size for b in piece.joints[0].cuts(piece)["rail"]]
    assert [round(s[1] - s[0], 6) for s in sizes] == [6, 6, 6, 6]


def test_glue_across_the_grain_is_said_and_along_it_is_not():
    across = pair("glued on", BATTEN, LID)
    assert across.joints[0].glued_area_mm2(across) == pytest.approx(340 * 60)
    assert across.joints[0].moves(across, Swings(0.02)) == []
    strip = member("strip", (0, 0, 76), "x", "z", 800, 24, 20)
    assert pair("glued on", strip, LID).joints[0].moves(pair("glued on", strip, LID), Swings(0.02)) == []


def test_members_apart_cannot_be_fixed():
    with pytest.raises(ValueError, match="flat against"):
        pair("glued on", member("far", (0, 0, 200), "x", "y", 800, 100, 20), LID)
