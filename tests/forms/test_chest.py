"""Chest: boards close on the height, corners dovetailed course by course, a lid that does not shut anyone in."""

import pytest
from hypothesis import given, settings

from studio_lib.commission import Adjustment, Brief
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from tests.forms.cases import BRIEFS, clean, judged, sizes

NEAR = {"height_mm": (350, 900), "tails": (0, 2), "plinth_mm": (30, 150), "plinth_in_mm": (0, 9), "courses": (1, 3), "depth_mm": (300, 800)}


def fits(brief=None, **chosen):
    brief = brief or Brief()
    values = settled(FORMS["chest"], brief, Surroundings(""), chosen)
    return {f.what: f for f in FORMS["chest"].fit(make("chest", brief, **chosen), values, brief)}


@settings(max_examples=300, deadline=None)
@given(sizes("chest", NEAR), BRIEFS)
def test_any_sizes_are_sound_or_refused_in_words(chosen, brief):
    piece = judged("chest", chosen, brief)
    if piece:
        lid, plinth = (next((m for m in piece.members if m.role == r), None) for r in ("lid", "plinth"))
        fronts = sum(m.width_mm for m in piece.members if m.role == "front")
        assert fronts + lid.thickness_mm + (plinth.width_mm if plinth else 0) == pytest.approx(piece.overall_mm[2], abs=1e-3)
        assert sum(m.width_mm for m in piece.members if m.role == "lid") == pytest.approx(piece.overall_mm[1], abs=1e-3)


@settings(max_examples=20, deadline=None)
@given(sizes("chest", NEAR))
def test_both_kernels_agree_at_any_size(chosen):
    judged("chest", chosen, exact=True)


def test_proposed_joints_are_in_proportion():
    assert clean("chest") == []


def test_every_edge_joint_of_a_side_falls_between_two_half_pins():
    piece = make("chest", Brief())
    for joint in piece.joints:
        if joint.kind == "through dovetail":
            assert joint.widths_mm(piece)["half pin"] >= 3
            assert piece.member(joint.first).width_mm == piece.member(joint.second).width_mm


# ASTM F834 and F2598: from 31 dm3 a chest needs air, and a lid that stays where it is let go.
def test_a_chest_that_could_shut_a_child_in_is_refused():
    assert fits()["shut in"].stands
    for chosen in ({"vents": 0}, {"stays": 0}):
        assert fits(**chosen)["shut in"].verdict is Verdict.FAILS
    small = fits(width_mm=400, depth_mm=260, height_mm=250, courses=1, vents=0)["shut in"]
    assert small.stands and small.demand < 31


def test_air_holes_go_through_the_back():
    with_holes, without = make("chest", Brief()), make("chest", Brief(), vents=0)
    top = max((m.ref for m in with_holes.members if m.role == "back"))
    assert len(with_holes.shape(top).shaped) == 2 and without.shape(top).shaped == ()


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"tails": 8, "courses": 6}, "tails", "or fewer"),
    ({"plinth_mm": 10}, "plinth_mm", "30 mm or more, or 0"),
    ({"height_mm": 200, "plinth_mm": 100}, "height_mm", "or more"),
    ({"courses": 6, "height_mm": 260, "vents": 0}, "courses", "Give . or fewer"),
])
def test_what_cannot_be_is_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("chest", Brief(), **chosen)
    assert refused.value.field == field


@pytest.mark.parametrize(("member", "field", "value"), [("A-B2", "width_mm", 90), ("A-T1", "thickness_mm", 30), ("A-F1", "width_mm", 120)])
def test_changes_of_the_makers_own_are_made_or_said(member, field, value):
    piece = make("chest", Brief(), adjustments=[Adjustment(member=member, field=field, value=value)])
    assert unmade(piece) == () and getattr(piece.member(member), field) == value
    if member == "A-F1":
        assert any("must be of one width" in f.says for f in piece.findings)
