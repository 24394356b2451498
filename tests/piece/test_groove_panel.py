"""A panel in a groove: free at the bottom, held at the driest, refused where it does not reach in."""

import pytest

from studio_lib.finding import Verdict
from tests.forms.invariants import all_of
from tests.piece.corners import Swings, member, pair

STILE = member("stile", (0, 50, 0), "z", "y", 700, 60, 24)


def panel(into=10.0, thickness=8.0, x=8.0):
    return member("panel", (x, 110 - into, 50), "z", "y", 500, 300, thickness)


def test_the_groove_is_deeper_and_longer_than_the_panel_by_the_gap():
    piece = pair("groove and panel", panel(), STILE, gap_mm=4)
    box = piece.joints[0].cuts(piece)["stile"][0]
    assert box.size == pytest.approx((508, 14, 8))
    assert all_of(piece, exact=True) == []
    assert piece.joints[0].glued_area_mm2(piece) == 0


# By hand: 300 mm that goes 4 % either way grows 12 mm; two gaps of 4 mm give 8, two of 7 give 14.
@pytest.mark.parametrize(("gap", "stands"), [(4, False), (7, True)])
def test_a_panel_that_swells_more_than_its_gaps_is_said(gap, stands):
    piece = pair("groove and panel", panel(), STILE, gap_mm=gap)
    room = next(f for f in piece.joints[0].moves(piece, Swings(0.04)) if f.what == "room to grow")
    assert room.demand == pytest.approx(12) and room.capacity == pytest.approx(2 * gap)
    assert (room.verdict is Verdict.STANDS) is stands


def test_the_end_of_a_panel_does_not_move():
    rail = member("rail", (0, 0, 40), "y", "z", 500, 20, 24)
    piece = pair("groove and panel", panel(), rail)
    assert piece.joints[0].axis == 0 and piece.joints[0].moves(piece, Swings(0.04)) == []


@pytest.mark.parametrize(("board", "words"), [
    (panel(into=-5), "does not reach into"), (panel(thickness=24, x=0), "3 mm of timber either side"),
])
def test_a_panel_that_no_groove_holds_is_refused(board, words):
    with pytest.raises(ValueError, match=words):
        pair("groove and panel", board, STILE)
