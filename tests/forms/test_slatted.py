"""Slatted table and stool: sizes from people, refusals in words, geometry that closes."""

import re
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Adjustment, Brief
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import UNMADE, unmade
from studio_lib.piece.checks import mortises_apart, shoulders_meet
from studio_lib.solids.exact import solid
from studio_lib.solids.mesh import overlap_mm3
from studio_lib.structure.strength import Wood
from studio_lib.structure.whole import whole_findings

SLATTED = ("slatted table", "slatted stool")


# Time-Saver Standards dining table lengths with 25 in. settings and one diner at each end:
# 4 people 54 in., 6 people 79 in., 8 people 104 in., 10 people 129 in.
@pytest.mark.parametrize(("people", "inches"), [(4, 54), (6, 79), (8, 104), (10, 129)])
def test_length_for_diners_after_the_published_table(people, inches):
    length = make("slatted table", Brief(people=people)).overall_mm[0]
    assert 0 <= length - inches * 25.4 < 10


# 2010 ADA Standards 306.3: knee clearance 27 in. (685 mm) high; 902.3: top at most 34 in. (865 mm).
def test_a_wheelchair_gets_its_knee_room():
    piece = make("slatted table", Brief(wheelchair=True))
    apron = next(m for m in piece.members if m.role == "apron")
    assert apron.piece_box.lo[2] >= 685
    assert piece.overall_mm[2] <= 865


@pytest.mark.parametrize("form", SLATTED)
def test_the_slats_close_on_the_width(form):
    piece = make(form, Brief(), gap_mm=6.5)
    slats = sorted((m for m in piece.members if m.role == "slat"), key=lambda m: m.piece_box.lo[1])
    gaps = [b.piece_box.lo[1] - a.piece_box.hi[1] for a, b in zip(slats, slats[1:])]
    assert min(gaps) == pytest.approx(max(gaps)) and min(gaps) >= 6.5
    assert slats[0].piece_box.lo[1] == pytest.approx(-piece.overall_mm[1] / 2)
    assert slats[-1].piece_box.hi[1] == pytest.approx(piece.overall_mm[1] / 2)
    assert 2 * slats[0].width_mm == int(2 * slats[0].width_mm)


@pytest.mark.parametrize("form", SLATTED)
def test_no_two_members_claim_the_same_timber(form):
    piece = make(form, Brief())
    for a, b in combinations(piece.members, 2):
        assert overlap_mm3(piece, a.ref, b.ref) < 1e-3, (a.name, b.name)
    assert shoulders_meet(piece) == [] and mortises_apart(piece) == []


@settings(max_examples=25, deadline=None)
@given(
    st.fixed_dictionaries({
        "length_mm": st.integers(900, 2600), "width_mm": st.integers(600, 1200), "height_mm": st.integers(600, 900),
        "slat_count": st.integers(4, 14), "leg_mm": st.integers(50, 110), "apron_width_mm": st.integers(60, 140),
        "apron_thickness_mm": st.integers(20, 40), "bearer_count": st.integers(2, 7),
        "overhang_end_mm": st.integers(0, 250), "middle_rail": st.integers(0, 1),
    })
)
def test_any_sizes_either_close_or_are_refused_in_words(sizes):
    try:
        piece = make("slatted table", Brief(), **sizes)
    except SizeRefused as refused:
        assert refused.field in {s.name for s in FORMS["slatted table"].sizes}
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return
    assert shoulders_meet(piece) == []
    for rail in (m for m in piece.members if m.role in ("apron", "bearer", "middle rail")):
        for other in piece.members:
            if other.ref != rail.ref:
                assert overlap_mm3(piece, rail.ref, other.ref) < 1e-2, (rail.name, other.name)


@pytest.mark.parametrize(
    ("sizes", "field", "words"),
    [
        ({"slat_count": 59}, "slat_count", "Fewer slats"),
        ({"overhang_end_mm": 500, "length_mm": 1100}, "overhang_end_mm", "Less overhang"),
        ({"bearer_width_mm": 150}, "bearer_width_mm", "Shallower bearers"),
        ({"length_mm": 9000}, "length_mm", "500 to 4000 mm"),
        ({"slat_count": 7.5}, "slat_count", "whole number"),
        ({"wings": 2}, "wings", "has no size"),
    ],
)
def test_what_cannot_be_is_refused_with_the_way_out(sizes, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("slatted table", Brief(), **sizes)
    assert refused.value.field == field


def test_an_adjusted_member_keeps_its_middle_and_its_joints_follow():
    plain = make("slatted table", Brief())
    thicker = make("slatted table", Brief(), adjustments=[Adjustment(member="A-M1", field="thickness_mm", value=40)])
    a, b = plain.member("A-M1"), thicker.member("A-M1")
    assert b.thickness_mm == 40
    assert a.piece_box.centre == pytest.approx(b.piece_box.centre)
    tenon = next(j for j in thicker.joints if j.first == "A-M1" and j.kind == "mortise and tenon")
    assert tenon.thickness_mm == 14
    assert shoulders_meet(thicker) == []


def test_a_stray_adjustment_or_joint_family_is_named():
    stray = make("slatted table", Brief(), adjustments=[Adjustment(member="Z9", field="arris_mm", value=1)])
    assert [f.what for f in unmade(stray)] == [UNMADE] and "A-L1" in unmade(stray)[0].says
    assert stray.members == make("slatted table", Brief()).members
    with pytest.raises(SizeRefused, match="apron into leg"):
        make("slatted table", Brief(), joints={"leg into floor": {"width_mm": 3.0}})


@pytest.mark.parametrize("form", SLATTED)
@pytest.mark.parametrize(("name", "value"), [("slat_count", 0), ("slat_count", 1), ("width_mm", 0), ("gap_mm", float("nan"))])
def test_a_size_out_of_bounds_is_refused_before_anything_is_proposed_from_it(form, name, value):
    with pytest.raises(SizeRefused, match="; give ") as refused:
        make(form, Brief(), **{name: value})
    assert refused.value.field == name


# A tenon under 3 mm is nothing to cut, and a rail needs a cheek either side of it: common
# practice, no source.
@pytest.mark.parametrize(
    ("member", "field", "value", "words"),
    [
        ("A-A1", "thickness_mm", 6, "apron, front is 6 mm thick and its tenon 5 mm; make it at least 7 mm"),
        ("A-A1", "width_mm", 5, "leaves no flat on apron, front, 5 x 30 mm"),
        ("A-A1", "width_mm", 7, "apron, front is 7 mm wide; beside its tenon .* haunch"),
        ("A-A1", "thickness_mm", 8, "bearer 1 into apron, front would be 1 mm long and needs 3 mm. A thicker apron, front"),
        ("A-A1", "thickness_mm", 300, "apron, front into leg, front left would be 0 mm long and needs 3 mm. A thicker leg"),
        ("A-B1", "thickness_mm", 6, "bearer 1 is 6 mm thick"),
        ("A-L1", "arris_mm", 40, "leaves no flat on leg, front left, 70 x 70 mm. Give 34 mm or less"),
    ],
)
def test_a_member_too_thin_for_its_tenon_is_refused(member, field, value, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("slatted table", Brief(), adjustments=[Adjustment(member=member, field=field, value=value)])
    assert refused.value.field == "adjustments"


@pytest.mark.parametrize("form", SLATTED)
@pytest.mark.parametrize("field", ["width_mm", "thickness_mm", "arris_mm"])
@pytest.mark.parametrize("value", [5, 6, 8, 100, 600])
def test_what_is_not_refused_the_exact_kernel_can_build(form, field, value):
    for code in ("L1", "A1", "A3", "B1", "S1"):
        try:
            piece = make(form, Brief(), adjustments=[Adjustment(member=f"A-{code}", field=field, value=value)])
        except SizeRefused:
            continue
        for member in piece.members:
            assert solid(piece.shape(member.ref)).Volume() > 0, (code, member.name)


@pytest.mark.parametrize("form", SLATTED)
def test_reasons_are_given_in_millimetres(form):
    chosen = FORMS[form]
    for name, proposal in chosen.propose(Brief(), Surroundings(""), {}).items():
        assert not re.search(r"\d in\b(?! \d)", proposal.why), name
        assert " in." not in proposal.source or " mm" in proposal.source or " mm" in proposal.why, name
    piece = make(form, Brief())
    for f in chosen.fit(piece, settled(chosen, Brief(), Surroundings(""), {}), Brief()):
        assert " in." not in f.rule + f.says + f.mend and (" in." not in f.source or " mm" in f.source)


def test_a_slat_in_the_frame_bends_less_than_one_cut_at_every_bearer():
    """By hand, F L / 4 on a slat cut at its bearers, is the most; running on over them helps, and by no more than half."""
    wood = {"oak": Wood("made for this test", 700, 14000, 120, 12)}
    table = make("slatted table", Brief(), timber="oak", width_mm=820, slat_count=8, gap_mm=4, slat_thickness_mm=26, arris_mm=0)
    slat = next(m for m in table.members if m.role == "slat")
    at = sorted(m.piece_box.centre[0] for m in table.members if m.role == "bearer")
    bending = next(f for f in whole_findings(table, wood, "outdoors, in the weather", "public") if f.what == "bending, slat")
    by_hand = 1250 * (at[1] - at[0]) / 4 / (slat.width_mm * 26**2 / 6)
    over_the_end = 1250 * (slat.length_mm / 2 - at[-1] - 100) / (slat.width_mm * 26**2 / 6)
    # Own weight, the other slat under the pad and the screws' push along the slat come on top of the bare sum.
    assert 0.5 * by_hand < bending.demand < 1.1 * max(by_hand, over_the_end)
