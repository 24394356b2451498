"""Cabinet: frames close on their openings, panels free, doors and shelves in place, tipping said."""

import pytest
from hypothesis import given, settings

from studio_lib.commission import Adjustment, Brief
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from tests.forms.cases import BRIEFS, clean, judged, sizes
from tests.piece.corners import Swings

NEAR = {
    "width_mm": (500, 1100), "depth_mm": (330, 700), "height_mm": (700, 2200), "stile_mm": (56, 100), "rail_mm": (62, 140),
    "frame_mm": (20, 36), "panel_mm": (6, 11), "shelf_count": (0, 1), "panel_gap_mm": (1, 6), "back_mm": (6, 14),
}


def fits(brief=None, **chosen):
    brief = brief or Brief()
    values = settled(FORMS["cabinet"], brief, Surroundings(""), chosen)
    return {f.what: f for f in FORMS["cabinet"].fit(make("cabinet", brief, **chosen), values, brief)}


@settings(max_examples=300, deadline=None)
@given(sizes("cabinet", NEAR), BRIEFS)
def test_any_sizes_are_sound_or_refused_in_words(chosen, brief):
    piece = judged("cabinet", chosen, brief)
    if piece:
        for code in "LRDE":
            parts = [m for m in piece.members if m.ref.startswith(f"A-{code}") and m.role in ("stile", "rail", "panel")]
            if parts:
                stiles, rails = ([m for m in parts if m.role == r] for r in ("stile", "rail"))
                box = [m.piece_box for m in stiles]
                wide = max(max(b.hi[k] for b in box) - min(b.lo[k] for b in box) for k in (0, 1))
                assert sum(m.width_mm for m in stiles) + rails[0].length_mm == pytest.approx(wide, abs=1e-3)


@settings(max_examples=15, deadline=None)
@given(sizes("cabinet", NEAR))
def test_both_kernels_agree_at_any_size(chosen):
    judged("cabinet", chosen, exact=True)


def test_proposed_joints_are_in_proportion():
    assert clean("cabinet") == []


@pytest.mark.parametrize("doors", [0, 1, 2])
def test_doors_cover_the_case_and_leave_their_gap(doors):
    piece = make("cabinet", Brief(), doors=doors)
    stiles = [m.piece_box for m in piece.members if m.role == "stile" and "door" in m.name]
    assert len(stiles) == 2 * doors and len([j for j in piece.joints if j.kind == "hinges"]) == doors
    if doors == 2:
        at = sorted((b.lo[0], b.hi[0]) for b in stiles)
        assert at[2][0] - at[1][1] == pytest.approx(3)
        assert at[3][1] - at[0][0] == pytest.approx(1000 - 16)


def test_panels_have_room_to_move_and_say_when_they_have_not():
    for gap, verdict in ((6, Verdict.STANDS), (1, Verdict.FAILS)):
        piece = make("cabinet", Brief(), panel_gap_mm=gap)
        found = [f for j in piece.joints if j.kind == "groove and panel" for f in j.moves(piece, Swings(0.02)) if f.what == "room to grow"]
        assert found and {f.verdict for f in found} == {verdict}


def test_a_cabinet_with_doors_is_fixed_to_the_wall():
    assert fits()["anchor"].stands
    loose = fits(Brief(children=True), wall=0)
    assert loose["anchor"].verdict is Verdict.FAILS and "climbed on a drawer" in loose


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"stile_mm": 120, "width_mm": 500, "doors": 2}, "stile_mm", "or fewer doors"),
    ({"panel_mm": 16, "frame_mm": 18}, "panel_mm", "10 mm or less"),
    ({"shelf_count": 8}, "shelf_count", "or fewer"),
    ({"rail_mm": 50, "panel_gap_mm": 10}, "rail_mm", "or more"),
    ({"depth_mm": 240, "stile_mm": 100}, "depth_mm", "or more"),
])
def test_what_cannot_be_is_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("cabinet", Brief(), **chosen)
    assert refused.value.field == field


@pytest.mark.parametrize(("member", "field", "value"), [("A-H1", "thickness_mm", 26), ("A-L5", "thickness_mm", 12), ("A-L1", "width_mm", 80)])
def test_changes_of_the_makers_own_are_made_or_said(member, field, value):
    piece = make("cabinet", Brief(), adjustments=[Adjustment(member=member, field=field, value=value)])
    assert unmade(piece) == () and getattr(piece.member(member), field) == value


def test_the_makers_figures_for_a_tenon_are_kept():
    piece = make("cabinet", Brief(), joints={"door rail into stile": {"thickness_mm": 10.0, "length_mm": 30.0}})
    found = {(j.thickness_mm, j.length_mm) for j in piece.joints if j.family == "door rail into stile"}
    assert found == {(10.0, 30.0)}
