"""Dowels: as many as fit, bored deep enough, never out of the timber."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.solids import volume_mm3
from tests.forms.invariants import all_of
from tests.piece.corners import member, pair

RAIL = member("rail", (24, 0, 300), "x", "z", 400, 80, 22)
POST = member("post", (0, -20, 0), "z", "y", 700, 60, 24)


def test_what_is_bored_is_what_is_said():
    piece = pair("dowels", RAIL, POST, count=2, diameter_mm=8, into_end_mm=30, into_face_mm=15)
    # By hand: two holes of 8 mm, 31 and 16 deep with 1 mm each for glue.
    lost = 2 * math.pi / 4 * 64
    assert 400 * 80 * 22 - volume_mm3(piece.shape("rail")) == pytest.approx(31 * lost, rel=1e-3)
    assert 700 * 60 * 24 - volume_mm3(piece.shape("post")) == pytest.approx(16 * lost, rel=1e-3)
    assert [(h.name, h.count) for h in piece.joints[0].hardware(piece)] == [("dowel, beech, fluted, 8 x 45 mm", 2)]
    assert len(piece.joints[0].parts(piece)) == 2


@settings(max_examples=80, deadline=None)
@given(wide=st.floats(12, 400), thick=st.floats(8, 60), deep=st.floats(8, 80), long=st.floats(30, 500))
def test_any_dowels_stay_inside_or_are_refused(wide, thick, deep, long):
    rail = member("rail", (deep, 0, 300), "x", "z", long, wide, thick)
    post = member("post", (0, -5, 0), "z", "y", 900, 80, deep)
    try:
        piece = pair("dowels", rail, post)
    except ValueError as refused:
        assert any(c.isdigit() for c in str(refused)) and str(refused).endswith(".")
        return
    assert all_of(piece) == []
    for ref, holes in piece.joints[0].cuts(piece).items():
        size = piece.member(ref).box.hi
        for h in holes:
            beyond = [max(-lo, hi - s) for lo, hi, s in zip(h.bounds.lo, h.bounds.hi, size)]
            assert sorted(beyond)[1] <= 1e-6 and max(beyond) <= 1.0 + 1e-6


@pytest.mark.parametrize(("own", "words"), [
    ({"count": 9}, "do not fit"), ({"count": 1.5}, "whole number"), ({"diameter_mm": 30}, "give 5 to 18"), ({"into_face_mm": 24}, "give 5 to 18.5"),
])
def test_dowels_that_cannot_be_are_refused(own, words):
    with pytest.raises(ValueError, match=words):
        pair("dowels", RAIL, POST, **own)
