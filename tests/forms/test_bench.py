"""The bench over its whole range of sizes, and what its maker relies on."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Adjustment, Brief, Copied, Removed
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from studio_lib.people.users import Users
from studio_lib.piece.checks import mortises_apart, piece_findings, shoulders_meet
from tests.forms import invariants
from tests.forms.any_sizes import briefs, refused_or_sound, sizes_of

NAME = "bench"
VARIANTS = [{"back": b, "seat": s, "fill": f} for b in (0, 1, 2) for s in (0, 1) for f in (0, 1)]


@settings(max_examples=300, deadline=None)
@given(sizes_of(NAME), briefs())
def test_any_sizes_are_sound_or_refused_in_words(sizes, brief):
    refused_or_sound(NAME, brief, sizes)


@settings(max_examples=25, deadline=None)
@given(sizes_of(NAME), briefs())
def test_both_kernels_build_it_alike(sizes, brief):
    refused_or_sound(NAME, brief, sizes, exact=True)


@pytest.mark.parametrize("sizes", VARIANTS, ids=str)
@pytest.mark.parametrize("brief", [Brief(people=3), Brief(people=2, place="outdoors, in the weather", heft="light")],
    ids=["in", "out"])
def test_as_proposed_every_option_is_sound_and_every_joint_stands(sizes, brief):
    piece = make(NAME, brief, timber="oak", swell_fraction=0.02, **sizes)
    assert invariants.all_of(piece, exact=True) == []
    assert mortises_apart(piece) == [] and shoulders_meet(piece) == []
    assert [f"{f.subject}: {f.what} {f.says}" for f in piece_findings(piece) if not f.stands] == []


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_changes_of_a_drawn_member_are_made_or_said(data):
    sizes = data.draw(st.sampled_from(VARIANTS))
    plain = make(NAME, Brief(people=3), timber="oak", **sizes)
    ref = data.draw(st.sampled_from([m.ref for m in plain.members]))
    field = data.draw(st.sampled_from(["width_mm", "thickness_mm"]))
    value = round(getattr(plain.member(ref), field) * data.draw(st.sampled_from([0.9, 1.1])), 1)
    for changes in (
        [Adjustment(member=ref, field=field, value=value)], [Removed(member=ref)],
        [Copied(member=ref, ref="X1", by_mm=(0.0, 0.0, 2000.0))],
    ):
        try:
            changed = make(NAME, Brief(people=3), timber="oak", adjustments=changes, **sizes)
        except SizeRefused as refused:
            assert refused.field in {"adjustments", *(s.name for s in FORMS[NAME].sizes)}
            continue
        assert unmade(changed) == ()
        for m in changed.members:
            assert changed.shape(m.ref)
        if changes[0].kind == "remove":
            assert ref not in changed.by_ref


def test_every_option_says_what_to_do_when_it_is_out_of_range():
    for size in FORMS[NAME].sizes:
        with pytest.raises(SizeRefused, match="give ") as refused:
            make(NAME, Brief(), **{size.name: size.high + 1000})
        assert refused.value.field == size.name


def test_every_proposal_says_why_and_on_whose_word():
    proposed = FORMS[NAME].propose(Brief(), Surroundings("oak"), {})
    assert set(proposed) == {s.name for s in FORMS[NAME].sizes}
    for name, p in proposed.items():
        assert p.why and p.source, name
    chosen = settled(FORMS[NAME], Brief(), Surroundings("oak"), {})
    piece = make(NAME, Brief())
    for f in FORMS[NAME].fit(piece, chosen, Brief()):
        assert f.rule and f.source and (f.stands or f.mend)
    for wanted in FORMS[NAME].suits(chosen, Users(6)).values():
        assert wanted.says


def test_the_list_closes_along_and_across():
    piece = make(NAME, Brief(people=3), back=0, seat=0, timber="oak")
    long = sum(piece.member(r).length_mm for r in ("A-A1",)) + 2 * piece.member("A-L1").width_mm
    overhang = settled(FORMS[NAME], Brief(people=3), Surroundings("oak"), {"back": 0, "seat": 0})["overhang_end_mm"]
    assert long + 2 * overhang == pytest.approx(piece.overall_mm[0])
    slats = sorted((m.piece_box for m in piece.members if m.role == "slat"), key=lambda b: b.lo[1])
    gaps = [b.lo[1] - a.hi[1] for a, b in zip(slats, slats[1:])]
    assert max(gaps) == pytest.approx(min(gaps))
    assert sum(b.size[1] for b in slats) + sum(gaps) == pytest.approx(piece.overall_mm[1])


def test_the_back_leans_by_its_angle_and_the_arm_meets_it():
    piece = make(NAME, Brief(people=3), back=2, back_angle_deg=12, timber="oak")
    rail = piece.member("A-K1")
    assert math.degrees(math.atan2(rail.placement.across[1], rail.placement.across[2])) == pytest.approx(12)
    arm = piece.member("A-H1")
    assert [abs(s.edge_deg) for s in arm.shaping] == [pytest.approx(12)]
    post = piece.member("A-L3")
    assert post.width_mm == pytest.approx(post.shaping[0].leg_mm + 420 * math.tan(math.radians(12)))


def test_people_who_rise_with_difficulty_get_arms_and_a_higher_seat():
    chosen = settled(FORMS[NAME], Brief(frail=True), Surroundings("oak"), {})
    assert chosen["back"] == 2 and chosen["height_mm"] == 470.0


# ANSUR II by our own sums (sizing.md 1.5): three people with shoulders touching want 1566 mm, clothes left aside.
def test_length_for_three_sitters():
    chosen = settled(FORMS[NAME], Brief(people=3), Surroundings("oak"), {"back": 0})
    assert 1566 <= chosen["length_mm"] <= 1566 + 3 * 10 + 25


def test_arms_that_meet_a_back_rail_are_refused_with_the_nearest_that_works():
    with pytest.raises(SizeRefused, match="would break into each other. Give (\\d+) mm") as refused:
        make(NAME, Brief(people=3), back=2, fill=1, back_count=2, arm_height_mm=220, timber="oak")
    near = float(str(refused.value).split("Give ")[1].split(" ")[0])
    piece = make(NAME, Brief(people=3), back=2, fill=1, back_count=2, arm_height_mm=near, timber="oak")
    assert mortises_apart(piece) == [] and invariants.all_of(piece) == []


@pytest.mark.parametrize("count", [2, 5, 8, 11])
def test_a_solid_seat_is_held_however_narrow_its_boards(count):
    piece = make(NAME, Brief(people=3), back=0, seat=1, board_count=count, timber="oak")
    held = [j for j in piece.joints if j.kind == "slotted screws"]
    assert len({j.second for j in held}) >= 2 and len({j.first for j in held}) >= 2
