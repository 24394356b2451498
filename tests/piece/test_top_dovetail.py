"""A rail let down into the top of a leg with a dovetail: whole at any size, entered from above, refused where it cannot be."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.piece import Member
from studio_lib.piece.order import order_of_work
from studio_lib.solids import volume_mm3
from studio_lib.solids.mesh import overlap_mm3
from tests.piece.corners import Swings
from tests.piece.pairs import Placement, X, Y, leg, pair, sound

KIND = "dovetail from above"


def rail(thick=18.0, wide=48.0, z=None, y=6.0, x=60.0):
    return Member("N1", "rail", "rail", "oak", 300.0, wide, thick, Placement((x, y, 500.0 - thick if z is None else z), X, Y))


@settings(max_examples=40, deadline=None)
@given(st.floats(12, 40), st.floats(40, 60), st.floats(5, 10), st.booleans())
def test_any_tail_fills_its_socket_and_is_sound(thick, wide, slope, far):
    flat = rail(thick, wide, y=(60 - wide) / 2)
    post = leg(x=360.0) if far else leg()
    try:
        made = pair(KIND, flat, post, slope=slope)
    except ValueError as refused:
        assert "neck" in str(refused) or "at least" in str(refused)
        return
    assert sound(made) == []
    j = made.joints[0]
    tail = (j.width_mm + j.neck_mm) / 2 * j.length_mm * thick
    assert volume_mm3(made.shape("N1")) == pytest.approx(300 * wide * thick + tail, rel=1e-6)
    assert volume_mm3(made.shape("L1")) == pytest.approx(500 * 60 * 60 - tail, rel=1e-6)


def test_it_comes_out_upwards_and_no_other_way():
    made = pair(KIND, rail(), leg())
    assert made.joints[0].entry(made) == (0.0, 0.0, -1.0)

    def moved(by):
        low = made.member("N1").placement
        shifted = replace(low, origin=tuple(a + b for a, b in zip(low.origin, by)))
        return replace(made, members=tuple(replace(m, placement=shifted) if m.ref == "N1" else m for m in made.members), joints=())

    shapes = {m.ref: made.shape(m.ref) for m in made.members}
    for by, free in (((0, 0, 20.0), True), ((5.0, 0, 0), False), ((0, 0, -5.0), False)):
        away = moved(by)
        away.__dict__["_worked"] = shapes
        assert (overlap_mm3(away, "N1", "L1") < 1.0) == free, by


# Fairham, Woodwork Joints, 1921: dovetails slope 1 in 8, never steeper than 1 in 6. By hand: 20 mm at 1 in 8 loses 2.5 mm a side.
def test_the_tail_narrows_by_its_slope():
    made = pair(KIND, rail(), leg(), length_mm=20, width_mm=34)
    said = made.joints[0].setting_out(made)["tail"]
    assert "20 long, 34.0 wide at the end, 29.0 at the shoulder, 1 in 8" in said and "7.0 in from either edge" in said
    steep = pair(KIND, rail(), leg(), slope=5)
    assert any(f.what == "slope of the dovetails" and not f.stands for f in steep.joints[0].findings(steep))
    assert all(f.stands for f in made.joints[0].findings(made))


def test_a_board_across_the_tail_does_not_move_with_it_and_a_leg_does():
    edge = Member("A2", "back apron", "apron", "oak", 400.0, 100.0, 24.0, Placement((60.0, 184.0, 400.0), X, (0.0, 0.0, 1.0)))
    kicker = Member("K1", "kicker", "kicker", "oak", 120.0, 40.0, 18.0, Placement((200.0, 160.0, 482.0), (0.0, -1.0, 0.0), X))
    made = pair(KIND, kicker, edge)
    assert sound(made) == [] and made.joints[0].length_mm < 24 - 6
    wild, calm = made.joints[0].moves(made, Swings(0.06))[0], made.joints[0].moves(made, Swings(0.02))[0]
    assert calm.stands and not wild.stands
    into_leg = pair(KIND, rail(), leg())
    assert into_leg.joints[0].moves(into_leg, Swings(0.06))[0].stands


@pytest.mark.parametrize(("flat", "post", "own", "words"), [
    (rail(z=300.0), leg(), {}, "Put it at the top"), (rail(y=20.0), leg(), {}, "all of it on the face"), (rail(x=90.0), leg(), {}, "does not end square"),
    (rail(wide=30.0, y=2.0), leg(size=34, x=26.0), {"width_mm": 30}, "give 12 to"), (rail(), leg(), {"length_mm": 59}, "give 6 to 54"), (rail(), leg(), {"slope": 3}, "give 5 to 10"),
])
def test_what_cannot_be_let_down_is_refused(flat, post, own, words):
    with pytest.raises(ValueError, match=words):
        pair(KIND, flat, post, **own)


# The trade dovetails the top rail of a table with drawers down into the legs: common practice, no source.
@pytest.mark.parametrize("count", [1, 2, 3])
def test_the_rail_over_drawers_goes_on_from_above_after_all_that_stands_under_it(count):
    made = make("table", Brief(people=1), timber="oak", swell_fraction=0.02, drawers=count)
    top = [j for j in made.joints if "A-N1" in (j.first, j.second) and {"A-L1", "A-L2"} & {j.first, j.second}]
    assert [j.kind for j in top] == [KIND, KIND] and all(j.entry(made) == (0.0, 0.0, -1.0) for j in top)
    order = order_of_work(made)
    assert order.locked == ()
    closes = next(s for s in order.stages if any("A-N1" in g for g in s.groups) and any("A-L1" in g for g in s.groups))
    assert [abs(c) for c in closes.way] == [0.0, 0.0, 1.0]
    assert any("A-N2" in g and "A-L1" in g and "A-L2" in g for g in closes.groups)
