"""Screws: holes by the timber, in the members they belong to, refused in words where they cannot be."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.finding import Verdict
from studio_lib.piece.kinds import joined
from studio_lib.piece.screw import pilot_mm
from studio_lib.solids.mesh import placed
from tests.forms import invariants
from tests.piece.bored import Year, beside, block, pair


def row(own=None, first=(400, 90, 22), second=(400, 90, 45), timber="European oak"):
    low = block("B", *second, timber=timber)
    top = beside("A", low, "above", *first)
    return pair(top, low, joined("screws", top, low, "top on rail", own))


@settings(max_examples=300, deadline=None)
@given(
    st.tuples(st.integers(40, 900), st.integers(8, 150), st.integers(6, 80)),
    st.tuples(st.integers(40, 900), st.integers(8, 150), st.integers(6, 80)),
    st.sampled_from(["above", "below", "behind", "left"]), st.sampled_from(["x", "y"]),
    st.fixed_dictionaries({}, optional={"count": st.integers(1, 6), "diameter_mm": st.sampled_from([3, 4, 5, 6]), "slot_mm": st.integers(0, 8)}),
)
def test_any_two_boards_are_screwed_soundly_or_refused_in_words(a, b, side, along, own):
    low = block("B", *b)
    top = beside("A", low, side, *a, along=along, across="y" if along == "x" else "x")
    try:
        piece = pair(top, low, joined("screws", top, low, "", own))
    except ValueError as refused:
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return
    assert invariants.all_of(piece) == []
    joint = piece.joints[0]
    assert joint.in_far_mm(piece) <= joint._facing(piece).far_mm
    assert all(f.verdict in Verdict for f in joint.findings(piece)) and joint.setting_out(piece)
    assert joint.hardware(piece)[0].count == joint.count


def test_exact_and_mesh_kernel_agree_on_slots_and_counterbores():
    piece = row({"count": 3, "slot_mm": 5.0, "counterbore_mm": 4.0, "length_mm": 40.0})
    assert invariants.all_of(piece, exact=True) == []


def test_the_holes_take_out_what_their_diameters_say():
    # By hand: one 4 mm screw, 35 long, through 22 mm: clearance 4.5 mm, head 8.5 mm over 2 mm, pilot 2.4 mm x 13 mm.
    piece = row({"count": 1, "diameter_mm": 4.0, "length_mm": 35.0})
    gone = 400 * 90 * 22 - placed(piece, "A").volume()
    assert gone == pytest.approx(math.pi / 4 * (8.5**2 * 2 + 4.5**2 * 20), rel=0.01)
    assert 400 * 90 * 45 - placed(piece, "B").volume() == pytest.approx(math.pi / 4 * 2.4**2 * 13, rel=0.01)


def test_a_softwood_gets_a_smaller_pilot_than_a_hardwood_and_an_unknown_timber_a_hardwoods():
    assert pilot_mm("Douglas-fir (coast)", 5) < pilot_mm("European oak", 5) == pilot_mm("", 5)


def test_a_row_across_the_grain_wants_slots():
    rail = block("B", 600, 45, 45, along="y", across="x")
    top = beside("A", rail, "above", 900, 500, 22)
    fast = pair(top, rail, joined("screws", top, rail, "", {"count": 3}))
    free = pair(top, rail, joined("screws", top, rail, "", {"count": 3, "slot_mm": 14.0}))
    assert any(f.verdict is Verdict.FAILS for f in fast.joints[0].moves(fast, Year()))
    assert all(f.stands for f in free.joints[0].moves(free, Year()))
    along = row({"count": 3})
    assert along.joints[0].moves(along, Year()) == []


@pytest.mark.parametrize(
    ("own", "words"),
    [
        ({"length_mm": 90}, "give 23 to 64 mm"), ({"diameter_mm": 1}, "give 2 to 10 mm"), ({"count": 2.5}, "whole number"),
        ({"count": 400}, "give 1 to"), ({"pilot_mm": 9}, "pilot hole is 9"), ({"end_mm": 300}, "give 5 to 200"), ({"colour": 1}, "has no 'colour'"),
    ],
)
def test_a_screw_that_cannot_be_says_what_can(own, words):
    with pytest.raises(ValueError, match=words):
        row(own)


def test_boards_apart_or_askew_cannot_be_screwed():
    a, b = block("A", 300, 60, 20), block("B", 300, 60, 20, low=(0, 0, 200))
    with pytest.raises(ValueError, match="face to face"):
        joined("screws", a, b)


def test_short_thread_and_near_end_are_said():
    piece = row({"count": 2, "end_mm": 8.0, "length_mm": 35.0, "diameter_mm": 5.0})
    said = {f.what: f.verdict for f in piece.joints[0].findings(piece)}
    assert said["end distance in A board"] is Verdict.LOOK_AGAIN and said["thread in the far member"] is Verdict.FAILS


def test_a_slat_is_held_at_the_same_edge_on_every_rail_whichever_way_it_was_laid_out():
    from studio_lib.commission import Brief
    from studio_lib.forms import make

    piece = make("bench", Brief(place="outdoors, under cover"), timber="Western red cedar", length_mm=1400, back=2, board_count=4)
    rows = [f.row for f in piece.fixings if f.row is not None and f.row.slot_mm and f.far.endswith("S3")]
    assert len({f.first for f in rows}) >= 4
    held = set()
    for row in rows:
        rail, slat = piece.member(row.first), piece.member(row.second)
        met = row._facing(piece)
        at = rail.placement.to_piece(row._points(met)[row._close(rail, met)])
        held.add(round(at[1] - slat.piece_box.centre[1]) > 0)
    assert held == {True}


def test_screws_into_a_slat_that_only_just_lies_on_its_rail_stand_in_no_row_along_its_grain():
    from studio_lib.commission import Brief
    from studio_lib.forms import make

    piece = make("bench", Brief(place="outdoors, under cover"), timber="Western red cedar", length_mm=1400, back=2, board_count=4)
    for f in (f for f in piece.fixings if f.row is not None and f.row.count > 1 and f.family == "slat on bearer"):
        rail, slat = piece.member(f.near), piece.member(f.far)
        a, b, *_ = [rail.placement.to_piece(p) for p in f.row._points(f.row._facing(piece))]
        assert abs(a[0] - b[0]) < 1e-6, (rail.ref, slat.ref)
