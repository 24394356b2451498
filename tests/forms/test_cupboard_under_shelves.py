"""A bookcase on a cupboard with doors: openings, doors in their opening, what cannot be, two cases and their fillets."""

import math

import pytest
from hypothesis import given, settings

from studio_lib.commission import Brief
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.piece.checks import mortises_apart, piece_findings
from studio_lib.piece.leaves import leaves
from studio_lib.piece.order import order_of_work
from tests.forms.cases import BRIEFS, judged, sizes

ON_A_CUPBOARD = {"doors": 2, "cases": 1, "width_mm": 1000, "height_mm": 2200, "joint_mm": 720, "shelf_count": 4, "depth_mm": 340}
IN_AN_ALCOVE = {**ON_A_CUPBOARD, "place": 1, "width_front_bottom_mm": 1044, "width_front_top_mm": 1050, "width_back_bottom_mm": 1040,
                "width_back_top_mm": 1040, "strip_mm": 30}
NEAR = {"place": (0, 0), "doors": (1, 2), "cases": (1, 1), "joint_mm": (480, 1000), "shelf_count": (0, 5), "height_mm": (1500, 2900), "depth_mm": (150, 600),
        "width_mm": (400, 1600), "lowest_clear_mm": (0, 500), "lipping_mm": (50, 60), "strip_mm": (0, 80)}


def openings(piece, upper: bool) -> list[float]:
    """Clear heights in one case, from the lowest."""
    refs = FORMS["bookcase"].carried(piece)["upper case" if upper else "lower case"]
    z = sorted((m.piece_box.lo[2], m.piece_box.hi[2]) for m in map(piece.member, refs) if m.role in ("shelf", "top"))
    return [b[0] - a[1] for a, b in zip(z, z[1:])]


@settings(max_examples=200, deadline=None)
@given(sizes("bookcase", NEAR), BRIEFS)
def test_any_sizes_are_sound_or_refused_in_words(chosen, brief):
    piece = judged("bookcase", {"doors": 2, "cases": 1, **chosen}, brief)
    if piece and any(m.role == "rail" for m in piece.members):
        assert len([leaf for leaf in leaves(piece) if leaf.kind == "door"]) == chosen.get("doors", 2)


@settings(max_examples=20, deadline=None)
@given(sizes("bookcase", NEAR))
def test_both_kernels_agree_at_any_size(chosen):
    judged("bookcase", {"doors": 2, "cases": 1, **chosen}, exact=True)


@pytest.mark.parametrize("chosen", [ON_A_CUPBOARD, IN_AN_ALCOVE, {**ON_A_CUPBOARD, "doors": 1, "width_mm": 520}], ids=["free", "alcove", "one door"])
def test_it_is_sound_its_joints_in_proportion_and_it_goes_together(chosen):
    piece = judged("bookcase", chosen, exact=True)
    assert mortises_apart(piece) == [] and [f.says for f in piece_findings(piece) if not f.stands] == []
    order = order_of_work(piece)
    assert order.locked == ()
    # What is screwed where it stands comes last, fillets and the strip after the upper case.
    loose = {ref for name, refs in FORMS["bookcase"].carried(piece).items() if "fillet" in name for ref in refs}
    assert not order.stages[-1].glued and (not loose or loose & set(order.stages[-1].refs))


def test_the_doors_stand_in_the_opening_flush_with_the_front_and_clear_of_what_is_inside():
    piece = make("bookcase", Brief(), **ON_A_CUPBOARD)
    doors = [leaf for leaf in leaves(piece)]
    boxes = [[piece.member(r).piece_box for r in leaf.refs if piece.member(r).role != "pull"] for leaf in doors]
    side = piece.member("A-L1").piece_box
    for own in boxes:
        assert min(b.lo[1] for b in own) == pytest.approx(side.lo[1])
        assert min(b.lo[2] for b in own) == pytest.approx(piece.member("A-U1").piece_box.hi[2] + 3)
        assert max(b.hi[2] for b in own) == pytest.approx(piece.member("A-T1").piece_box.lo[2] - 3)
    deepest = max(b.hi[1] for own in boxes for b in own)
    assert piece.member("A-H1").piece_box.lo[1] >= deepest
    # The whole opening is doors and gaps: 1000 less two sides of 25, three gaps of 3 mm.
    wide = sum(max(b.hi[0] for b in own) - min(b.lo[0] for b in own) for own in boxes)
    assert wide == pytest.approx(1000 - 2 * 25 - 3 * 3)


def test_a_door_swings_past_the_other_and_past_a_side():
    # By Pythagoras: the inner corner of its free edge reaches hypot(width, thickness) from the pin.
    for chosen in (ON_A_CUPBOARD, {**ON_A_CUPBOARD, "doors": 1, "width_mm": 300, "door_mm": 30, "door_gap_mm": 1}):
        piece = make("bookcase", Brief(), **chosen)
        for leaf in leaves(piece):
            own = [piece.member(r).piece_box for r in leaf.refs if piece.member(r).role != "pull"]
            left, right = min(b.lo[0] for b in own), max(b.hi[0] for b in own)
            pin = leaf.at[0]
            free = right if abs(pin - left) < abs(pin - right) else left
            beside = min(abs(free - x) for x in (
                *(piece.member(c).piece_box.hi[0] for c in ("A-L1",)), *(piece.member(c).piece_box.lo[0] for c in ("A-L2",)),
                *(x for other in leaves(piece) if other is not leaf for r in other.refs for x in (piece.member(r).piece_box.lo[0], piece.member(r).piece_box.hi[0])
                  if piece.member(r).role != "pull")))
            reach = math.hypot(abs(free - pin), own[0].size[1])
            assert reach <= abs(free - pin) + beside


def test_the_lowest_opening_has_the_height_given_and_the_others_share_the_rest():
    piece = make("bookcase", Brief(), **ON_A_CUPBOARD, lowest_clear_mm=400)
    got = openings(piece, upper=True)
    # By hand: 2200 less 720, a sill of 20, six boards and the opening of 400, over four.
    thick = piece.member("A-T1").thickness_mm
    assert got == pytest.approx([400] + [(2200 - 720 - 20 - 6 * thick - 400) / 4] * 4)
    even = openings(make("bookcase", Brief(), **ON_A_CUPBOARD), upper=True)
    assert even == pytest.approx([even[0]] * 5)
    assert openings(piece, upper=False) == pytest.approx([openings(piece, upper=False)[0]] * 2)


def test_without_a_cupboard_the_lowest_opening_of_all_is_set():
    piece = make("bookcase", Brief(), height_mm=1800, shelf_count=4, lowest_clear_mm=420, cases=0)
    z = sorted((m.piece_box.lo[2], m.piece_box.hi[2]) for m in piece.members if m.role in ("shelf", "top"))
    got = [b[0] - a[1] for a, b in zip(z, z[1:])]
    assert got[0] == pytest.approx(420) and max(got[1:]) - min(got[1:]) < 1e-6
    assert sum(got) + 6 * 25 + 80 == pytest.approx(1800)


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"doors": 1, "cases": 0}, "doors", "two cases, made as 1 and 1, or no doors"),
    ({**ON_A_CUPBOARD, "joint_mm": 330, "cupboard_shelves": 0}, "joint_mm", "let the cases part 34"),
    ({**ON_A_CUPBOARD, "width_mm": 360}, "doors", "Fewer doors, or a wider case"),
    ({**ON_A_CUPBOARD, "cupboard_shelves": 4, "joint_mm": 500}, "cupboard_shelves", "lower case"),
    ({**ON_A_CUPBOARD, "lowest_clear_mm": 800, "shelf_count": 8}, "lowest_clear_mm", "for each of the others"),
    ({**IN_AN_ALCOVE, "strip_mm": 10}, "strip_mm", "16 mm or more, or 0"),
    ({**ON_A_CUPBOARD, "depth_mm": 120, "back": 1, "back_mm": 25}, "depth_mm", "or more"),
])
def test_what_cannot_be_is_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("bookcase", Brief(), **chosen)
    assert refused.value.field == field


def test_fillets_and_the_strip_close_the_front_from_wall_to_wall_and_to_the_ceiling():
    piece = make("bookcase", Brief(), **IN_AN_ALCOVE)
    left, right, over = (piece.member(f"A-S{k}").piece_box for k in (1, 2, 3))
    assert (left.lo[0], right.hi[0]) == (-525, 525) and over.lo[0] == -525 and over.hi[0] == 525
    assert over.lo[2] == 2200 and over.hi[2] == 2230 == piece.overall_mm[2]
    assert {"left fillet", "right fillet", "fillet under the ceiling"} < set(FORMS["bookcase"].carried(piece))


def test_one_case_in_an_alcove_is_carried_in_without_its_fillets():
    piece = make("bookcase", Brief(), place=1, cases=0, doors=0)
    carried = FORMS["bookcase"].carried(piece)
    assert len(carried) == 3 and not any("-S" in ref for ref in carried[""])


def test_a_door_wider_than_hangs_well_and_a_child_behind_it_are_told_of():
    def found(**chosen):
        values = settled(FORMS["bookcase"], Brief(children=True), Surroundings(""), chosen)
        return {f.what: f for f in FORMS["bookcase"].fit(make("bookcase", Brief(children=True), **chosen), values, Brief(children=True))}

    wide = found(**{**ON_A_CUPBOARD, "doors": 1})
    assert wide["width of a door"].verdict is Verdict.LOOK_AGAIN and "Two doors" in wide["width of a door"].mend
    assert found(**ON_A_CUPBOARD)["width of a door"].stands and "shut in" in wide
    assert wide["anchor"].verdict is Verdict.STANDS and found(**ON_A_CUPBOARD, wall=0)["anchor"].verdict is Verdict.FAILS


def test_standing_free_its_pulls_are_within_the_depth_that_is_allowed():
    brief = Brief(asked="shelves over a cupboard, 900 wide, 1.9 m high", most_width_mm=270)
    piece = make("bookcase", brief)
    assert piece.overall_mm[1] <= 270 and any(m.role == "pull" for m in piece.members)


def test_wide_boards_bought_glued_up_are_one_board_each_and_thin_panels_are_not_bought():
    bought, made = (make("bookcase", Brief(), **ON_A_CUPBOARD, wide=w) for w in (1, 0))
    for one, other in zip(bought.members, made.members):
        assert (one.length_mm, one.width_mm, one.thickness_mm) == (other.length_mm, other.width_mm, other.thickness_mm)
        wide = other.boards > 1 and other.role != "panel"
        assert one.ready is wide and one.boards == (1 if wide else other.boards)
