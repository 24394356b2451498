"""Rebates: an end let in at a corner, a back lying in the edge of a case; refused in words elsewhere."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.finding import Verdict
from studio_lib.solids import volume_mm3
from tests.forms.invariants import all_of
from tests.piece.corners import Swings, member, pair

SIDE = member("side", (0, 0, 0), "z", "y", 800, 300, 20)
TOP = member("top", (20, 0, 780), "x", "y", 600, 300, 20)
BACK = member("back", (12, 292, 0), "z", "x", 800, 120, 8)


# By hand: a step 20 high, 12 deep and 300 long; 8 mm of the side are left behind it.
def test_an_end_at_a_corner_lies_in_a_step_open_at_the_end():
    piece = pair("rebate", TOP, SIDE, depth_mm=12)
    assert volume_mm3(piece.shape("side")) == pytest.approx(800 * 300 * 20 - 20 * 12 * 300)
    assert piece.overall_length_mm("top") == 612
    assert piece.joints[0].entry(piece) == (-1.0, 0.0, 0.0)
    assert piece.joints[0].setting_out(piece) == {"rebate": "20.0 x 12.0", "length of the rebate": "300"}
    assert any("locates" in f.says for f in piece.joints[0].findings(piece))


# By hand: 8 thick, 8 deep into the side, along all of it.
def test_a_back_lies_in_the_edge_of_the_side():
    piece = pair("rebate", BACK, SIDE)
    assert volume_mm3(piece.shape("side")) == pytest.approx(800 * 300 * 20 - 8 * 8 * 800)
    assert piece.overall_length_mm("back") == 800
    assert piece.joints[0].entry(piece) == (0.0, -1.0, 0.0)  # it goes in forwards


def test_a_wide_board_in_a_rebate_across_the_grain_is_said():
    back = member("back", (12, 292, 300), "x", "z", 400, 200, 8)
    piece = pair("rebate", back, SIDE)
    found = piece.joints[0].moves(piece, Swings(0.02))
    assert [f.verdict for f in found] == [Verdict.LOOK_AGAIN] and "8.0 mm" in found[0].says
    assert pair("rebate", BACK, SIDE).joints[0].moves(pair("rebate", BACK, SIDE), Swings(0.02)) == []


@settings(max_examples=60, deadline=None)
@given(
    t=st.floats(12, 40), board=st.floats(8, 40), low=st.booleans(), right=st.booleans(), arris=st.floats(0, 2), back=st.floats(4, 20),
    reach=st.floats(0.2, 0.7),
)
def test_any_rebate_is_sound(t, board, low, right, arris, back, reach):
    side = member("side", (0, 0, 0), "z", "-y" if right else "y", 800, 300, t, arris)
    top = member("top", (-500 if right else t, 0, 0 if low else 800 - board), "x", "y", 500, 300, board, arris)
    assert all_of(pair("rebate", top, side)) == []
    inside = t * reach
    behind = member("back", (-120 if right else t - inside, 300 - back, 0), "z", "x", 800, 120 + inside, back)
    assert all_of(pair("rebate", behind, side)) == []


@pytest.mark.parametrize(
    ("first", "own", "words"),
    [
        (member("top", (20, 0, 400), "x", "y", 600, 300, 20), {}, "away from its end"),
        (member("top", (25, 0, 780), "x", "y", 600, 300, 20), {}, "5 mm off"),
        (member("back", (12, 200, 0), "z", "x", 800, 120, 8), {}, "groove or a housing"),
        (TOP, {"depth_mm": 18}, "give 3 to 17"),
        (member("far", (200, 0, 0), "z", "x", 600, 100, 20), {}, "does not end on the face"),
    ],
)
def test_what_is_no_rebate_is_refused(first, own, words):
    with pytest.raises(ValueError, match=words):
        pair("rebate", first, SIDE, **own)
