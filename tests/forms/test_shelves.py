"""Shelves: openings close on the height, fillets on the walls, sag and tipping said."""

import pytest
from hypothesis import example, given, settings
from pydantic import TypeAdapter

from studio_lib.brief.refusals import ANCHOR_FROM_MM
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from studio_lib.solids.mesh import placed
from tests.forms.cases import BRIEFS, clean, judged, sizes

NEAR = {"place": (0, 0), "shelf_count": (0, 5), "height_mm": (900, 2400), "lipping_mm": (50, 60)}
ALCOVE = {"place": 1, "width_mm": 1180, "height_mm": 2200, "width_front_bottom_mm": 1204, "width_front_top_mm": 1228,
          "width_back_bottom_mm": 1200, "width_back_top_mm": 1210}


def fits(brief=None, **chosen):
    brief = brief or Brief()
    values = settled(FORMS["bookcase"], brief, Surroundings(""), chosen)
    return {f.what: f for f in FORMS["bookcase"].fit(make("bookcase", brief, **chosen), values, brief)}


@settings(max_examples=300, deadline=None)
@example({"depth_mm": 120.32}, Brief())
@given(sizes("bookcase", NEAR), BRIEFS)
def test_any_sizes_are_sound_or_refused_in_words(chosen, brief):
    piece = judged("bookcase", chosen, brief)
    if piece:
        heights = sorted((m.piece_box.lo[2], m.piece_box.hi[2]) for m in piece.members if m.role in ("shelf", "top"))
        gaps = [b[0] - a[1] for a, b in zip(heights, heights[1:])]
        assert max(gaps) - min(gaps) < 1e-3
        plinth = next(m for m in piece.members if m.role == "plinth").width_mm
        assert plinth + sum(gaps) + sum(b - a for a, b in heights) == pytest.approx(piece.overall_mm[2], abs=1e-3)


@settings(max_examples=25, deadline=None)
@given(sizes("bookcase", NEAR))
def test_both_kernels_agree_at_any_size(chosen):
    judged("bookcase", chosen, exact=True)


def test_proposed_joints_are_in_proportion():
    assert clean("bookcase") == []


def test_fillets_follow_walls_that_lean():
    piece = make("bookcase", Brief(), **ALCOVE)
    assert judged("bookcase", ALCOVE, exact=True)
    for ref, sign in (("A-S1", -1), ("A-S2", 1)):
        solid = placed(piece, ref)
        for z, wall in ((0.5, 1204), (2199.5, 1228)):
            cut = solid.trim_by_plane((0, 0, 1), z - 0.4).trim_by_plane((0, 0, -1), -z - 0.4)
            box = cut.bounding_box()
            assert (box[0] if sign < 0 else box[3]) == pytest.approx(sign * wall / 2, abs=0.02)


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"shelf_count": 12, "height_mm": 800}, "shelf_count", "Give 7 or fewer"),
    ({"lipping": 1, "lipping_mm": 20}, "lipping_mm", "25 mm or more"),
    ({**ALCOVE, "width_mm": 1199}, "width_mm", "make it 1195 mm or less"),
    ({**ALCOVE, "width_back_top_mm": 1300, "width_back_bottom_mm": 1300, "width_mm": 1200}, "width_mm", "a fillet needs"),
    ({**ALCOVE, "width_mm": 900}, "width_mm", "1088 mm or more"),
    ({"place": 0.5}, "place", "give 0 for free-standing, 1 for in an alcove"),
])
def test_what_cannot_be_is_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("bookcase", Brief(), **chosen)
    assert refused.value.field == field


# By hand: 5 W L^3 / (384 E I), E 10 000 MPa while no timber is chosen, creep 1.6; own weight at 650 kg/m3.
def test_a_long_shelf_sags_and_a_lipping_stiffens_it():
    plain = fits(width_mm=1250, load_kg_m=40, depth_mm=292, back=1, shelf_mm=25)["sag"]
    weight = 9.81 * (40 * 1.2 + 1.2 * 0.28 * 0.025 * 650)
    inertia = 280 * 25**3 / 12
    assert plain.demand == pytest.approx(1.6 * 5 * weight * 1200**3 / (384 * 10_000 * inertia), rel=1e-3)
    assert plain.verdict is Verdict.FAILS
    lipped = fits(width_mm=1250, load_kg_m=40, depth_mm=292, back=1, shelf_mm=25, lipping=1, lipping_mm=60)["sag"]
    assert lipped.demand < 0.4 * plain.demand


def test_a_tall_case_is_fixed_to_the_wall_and_says_so_when_it_is_not():
    assert fits()["anchor"].stands and settled(FORMS["bookcase"], Brief(), Surroundings(""), {})["wall"] == 1
    loose = fits(Brief(children=True), wall=0)
    assert loose["anchor"].verdict is Verdict.FAILS and loose["pulled over"].verdict is Verdict.FAILS
    low = settled(FORMS["bookcase"], Brief(), Surroundings(""), {"height_mm": ANCHOR_FROM_MM - 86, "depth_mm": 300})
    assert low["wall"] == 0


@pytest.mark.parametrize("change", [
    {"kind": "alter", "member": "A-H2", "field": "thickness_mm", "value": 30}, {"kind": "alter", "member": "A-L1", "field": "thickness_mm", "value": 40},
    {"kind": "copy", "member": "A-H1", "ref": "A-X1", "by_mm": (0, 0, 120)}, {"kind": "remove", "member": "A-B2"},
    {"kind": "move", "member": "A-H2", "by_mm": (0, 0, -50)},
])
def test_changes_of_the_makers_own_are_made(change):
    made = TypeAdapter(AnyChange).validate_python(change)
    piece = make("bookcase", Brief(), adjustments=(made,))
    assert unmade(piece) == () and len(piece.members) == len(make("bookcase", Brief()).members) + (
        {"copy": 1, "remove": -1}.get(change["kind"], 0))
    if change["kind"] == "copy":
        assert sum(j.first == "A-X1" for j in piece.joints if j.kind == "housing") == 2


def test_a_joint_changed_by_the_maker_is_in_the_piece():
    piece = make("bookcase", Brief(), joints={"shelf into side": {"depth_mm": 10.0}})
    assert {j.depth_mm for j in piece.joints if j.kind == "housing"} == {10.0}
    with pytest.raises(ValueError, match="give 3 to 22"):
        make("bookcase", Brief(), joints={"shelf into side": {"depth_mm": 24.0}})
