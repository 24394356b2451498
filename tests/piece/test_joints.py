"""Joints by the rules of the trade, changed by the maker, and what is said when one is short."""

import pytest

from studio_lib.commission import Adjustment, Brief
from studio_lib.finding import Verdict
from studio_lib.forms import make
from studio_lib.piece.checks import mortises_apart, piece_findings

TABLE = make("slatted table", Brief())


def one(piece, family):
    return next(j for j in piece.joints if j.family == family)


def said(piece, what):
    return [f for f in piece_findings(piece) if f.what == what and not f.stands]


# Fairham, Woodwork Joints (1921): tenon a third of the thickness; haunch a third of the width.
def test_tenon_and_haunch_by_thirds():
    j = one(TABLE, "apron into leg")
    rail = TABLE.member(j.first)
    assert j.thickness_mm == pytest.approx(rail.thickness_mm / 3, abs=1)
    above = rail.width_mm - j.shoulder_low_mm - j.width_mm
    assert above == pytest.approx(rail.width_mm / 3)
    assert j.haunch_mm == j.thickness_mm


# Fairham; Noyes, Handwork in Wood (1910): half from each member of a cross halving.
def test_a_cross_halving_takes_half_of_each():
    j = one(TABLE, "bearer over middle rail")
    half = TABLE.member(j.first).width_mm / 2
    assert j.depths_mm(TABLE) == pytest.approx((half, half))
    assert j.left_mm(TABLE) == pytest.approx((half, half))


@pytest.mark.parametrize(
    ("changed", "what", "mend"),
    [
        ({"thickness_mm": 5}, "tenon thickness", "about 10 mm thick"),
        ({"width_mm": 70}, "tenon width", "Divide the tenon in two"),
        ({"length_mm": 20}, "tenon length", "Lengthen"),
    ],
)
def test_a_tenon_out_of_proportion_says_what_to_change(changed, what, mend):
    piece = make("slatted table", Brief(), joints={"apron into leg": changed})
    found = said(piece, what)
    assert len(found) == 8 and all(f.verdict is Verdict.LOOK_AGAIN and mend in f.mend for f in found)


def test_two_tenons_that_meet_in_one_leg_are_found():
    piece = make("slatted table", Brief(), joints={"apron into leg": {"length_mm": 50}})
    found = [f for f in mortises_apart(piece) if f.verdict is Verdict.FAILS]
    assert {f.subject for f in found} == {m.name for m in piece.members if m.role == "leg"}
    assert "break into each other" in found[0].says


def test_a_halving_cut_uneven_says_so():
    piece = make("slatted table", Brief(), joints={"bearer over middle rail": {"share": 0.7}})
    j = one(piece, "bearer over middle rail")
    assert sum(j.depths_mm(piece)) == pytest.approx(piece.member(j.first).width_mm)
    assert len([f for f in piece_findings(piece) if f.verdict is Verdict.LOOK_AGAIN]) == 10


@pytest.mark.parametrize(
    ("family", "changed", "words"),
    [
        ("apron into leg", {"thickness_mm": 40}, "3 to 28 mm"),
        ("apron into leg", {"length_mm": -4}, "3 to 70 mm"),
        ("apron into leg", {"girth_mm": 4}, "has no 'girth_mm'"),
        ("bearer over middle rail", {"share": 0.95}, "0.2 to 0.8"),
        ("bearer over middle rail", {"depth": 3}, "has no 'depth'"),
    ],
)
def test_a_joint_no_timber_could_hold_is_refused(family, changed, words):
    with pytest.raises(ValueError, match=words):
        make("slatted table", Brief(), joints={family: changed})


def test_tenons_lengthen_the_cutting_list_by_what_they_are():
    apron = TABLE.member("A-A1")
    assert TABLE.overall_length_mm("A-A1") == apron.length_mm + 2 * one(TABLE, "apron into leg").length_mm
    assert TABLE.overall_length_mm("A-L1") == TABLE.member("A-L1").length_mm


def test_setting_out_closes_on_the_rail():
    j = one(TABLE, "apron into leg")
    figures = j.setting_out(TABLE)
    below, above = float(figures["shoulder at the lower edge"]), float(figures["at the upper edge"])
    assert below + j.width_mm + above == TABLE.member(j.first).width_mm
    assert figures["mortise depth"] == f"{j.length_mm + 2:.0f}"


def test_a_shoulder_that_misses_names_what_a_page_can_change():
    piece = make("slatted table", Brief(), adjustments=[Adjustment(member="A-L1", field="width_mm", value=60)])
    found = [f for f in piece_findings(piece) if f.what == "shoulder"]
    assert found and all(f.verdict is Verdict.FAILS for f in found)
    assert {f.mend for f in found} == {
        "Take leg, front left's own size away on the Sizes page, or change every leg there."}
