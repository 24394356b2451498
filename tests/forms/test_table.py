"""The table over its whole range of sizes, and what its maker relies on."""

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

NAME = "table"
VARIANTS = [{"base": b, "top": t, "held": h} for b in (0, 1) for t in (0, 1, 2) for h in (0, 1)] + [{"base": b,
        "outline": 1} for b in (0, 1)]


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


# Time-Saver Standards dining table lengths with 25 in. settings and one diner at each end: 54, 79, 104, 129 in.
@pytest.mark.parametrize(("people", "inches"), [(4, 54), (6, 79), (8, 104), (10, 129)])
def test_length_for_diners_after_the_published_table(people, inches):
    assert 0 <= make(NAME, Brief(people=people)).overall_mm[0] - inches * 25.4 < 10


def test_a_wheelchair_gets_its_knee_room():
    for base, role in ((0, "apron"), (1, "top bearer")):
        piece = make(NAME, Brief(wheelchair=True), base=base)
        assert min(m.piece_box.lo[2] for m in piece.members if m.role == role) >= 685


def test_boards_and_breadboard_ends_close_on_the_top():
    piece = make(NAME, Brief(), top=2, timber="oak")
    boards = [m for m in piece.members if m.role == "board"]
    cleats = [m for m in piece.members if m.role == "breadboard end"]
    assert boards[0].length_mm + sum(c.width_mm for c in cleats) == pytest.approx(piece.overall_mm[0])
    assert sum(b.width_mm for b in boards) == pytest.approx(piece.overall_mm[1]) == cleats[0].length_mm


# By hand: a round top of 1000 mm has pi / 4 square metres, whatever boards it is made of.
def test_a_round_top_has_the_area_of_its_circle():
    from studio_lib.solids import volume_mm3

    piece = make(NAME, Brief(), outline=1, length_mm=1000, width_mm=1000, base=1, held=1, timber="oak")
    bare = type(piece)(piece.name, piece.form, piece.members)
    volume = sum(volume_mm3(bare.shape(m.ref)) for m in bare.members if m.role == "board")
    assert volume == pytest.approx(math.pi / 4 * 1000**2 * bare.member("A-W1").thickness_mm, rel=1e-4)


def test_a_solid_top_is_held_on_every_rail():
    for held, kind in ((0, "buttons"), (1, "slotted screws")):
        piece = make(NAME, Brief(), top=1, held=held, timber="oak")
        on = {j.second for j in piece.joints if j.kind == kind}
        assert {"A-A1", "A-A2", "A-A3", "A-A4"} <= on


def test_slats_lie_on_something_they_can_be_screwed_to():
    with pytest.raises(SizeRefused, match="do not reach the frame") as refused:
        make(NAME, Brief(), top=0, overhang_side_mm=150)
    assert refused.value.field == "overhang_side_mm"
    piece = make(NAME, Brief(), top=0, timber="oak")
    assert {m.ref for m in piece.members if m.role == "slat"} == {f.far for f in piece.fixings}
