"""Strips glued on, screws and hinges: where members lie flat on each other."""

import pytest

from studio_lib.finding import Verdict
from tests.forms.invariants import all_of
from tests.piece.corners import Swings, member, pair

LID = member("lid", (0, 0, 100), "x", "y", 800, 400, 24)
BACK = member("back", (0, 380, 0), "x", "z", 800, 100, 20)
BATTEN = member("batten", (100, 30, 80), "y", "x", 340, 60, 20)


def test_hinges_take_their_leaves_out_of_the_back_alone():
    piece = pair("butt hinges", LID, BACK, hinges=3, length_mm=60)
    cuts = piece.joints[0].cuts(piece)
    assert set(cuts) == {"back"} and sum(c.volume_mm3 for c in cuts["back"]) == pytest.approx(3 * 60 * 20 * 2.5)
    assert all_of(piece, exact=True) == [] and piece.joints[0].hardware(piece)[0].count == 3


# By hand: screwed fast over 340 mm across the grain; in slots of 12 for a screw of 4 there are 4 mm either way.
def test_a_batten_screwed_fast_holds_the_lid_and_one_in_slots_lets_it_go():
    fast = pair("screwed on", BATTEN, LID, screws=3, slotted=0)
    assert fast.joints[0].moves(fast, Swings(0.02))[0].verdict is Verdict.FAILS
    loose = pair("screwed on", BATTEN, LID, screws=3, slotted=1)
    found = loose.joints[0].moves(loose, Swings(0.02))
    assert [f.capacity for f in found] == [4.0, 4.0] and [f.demand for f in found] == pytest.approx([3.4, 3.4])


def test_glue_across_the_grain_is_said_and_along_it_is_not():
    across = pair("glued on", BATTEN, LID)
    assert across.joints[0].glued_area_mm2(across) == pytest.approx(340 * 60)
    assert across.joints[0].moves(across, Swings(0.02)) == []
    strip = member("strip", (0, 0, 76), "x", "z", 800, 24, 20)
    assert pair("glued on", strip, LID).joints[0].moves(pair("glued on", strip, LID), Swings(0.02)) == []


def test_members_apart_cannot_be_fixed():
    with pytest.raises(ValueError, match="flat against"):
        pair("glued on", member("far", (0, 0, 200), "x", "y", 800, 100, 20), LID)
