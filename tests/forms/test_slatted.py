"""Slatted table and stool: sizes from people, refusals in words, geometry that closes."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Adjustment, Brief
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.piece.checks import mortises_apart, shoulders_meet
from studio_lib.solids.mesh import overlap_mm3


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


@pytest.mark.parametrize("form", FORMS)
def test_the_slats_close_on_the_width(form):
    piece = make(form, Brief(), gap_mm=6.5)
    slats = sorted((m for m in piece.members if m.role == "slat"), key=lambda m: m.piece_box.lo[1])
    gaps = [b.piece_box.lo[1] - a.piece_box.hi[1] for a, b in zip(slats, slats[1:])]
    assert min(gaps) == pytest.approx(max(gaps)) and min(gaps) >= 6.5
    assert slats[0].piece_box.lo[1] == pytest.approx(-piece.overall_mm[1] / 2)
    assert slats[-1].piece_box.hi[1] == pytest.approx(piece.overall_mm[1] / 2)
    assert 2 * slats[0].width_mm == int(2 * slats[0].width_mm)


@pytest.mark.parametrize("form", FORMS)
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
    with pytest.raises(SizeRefused, match="A-L1"):
        make("slatted table", Brief(), adjustments=[Adjustment(member="Z9", field="arris_mm", value=1)])
    with pytest.raises(SizeRefused, match="apron into leg"):
        make("slatted table", Brief(), joints={"leg into floor": {"width_mm": 3.0}})
