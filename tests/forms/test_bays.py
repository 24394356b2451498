"""A cabinet in bays: each with its own front, sound at any size, doors and drawers clear of everything as they open."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.brief.ballpark import reckoned_words
from studio_lib.commission import Brief, Removed
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.bays import DRAWERS, FRONTS, HUNG_LEFT, HUNG_RIGHT, PAIR, named
from studio_lib.forms.form import proposed
from studio_lib.look.draw_still import swung
from studio_lib.piece.checks import mortises_apart, piece_findings
from studio_lib.piece.leaves import leaves
from studio_lib.piece.order import order_of_work
from studio_lib.solids.mesh import placed
from studio_lib.stock.cutting_list import cutting_list
from tests.forms import invariants
from tests.forms.cases import BRIEFS, judged

LOW = {"width_mm": 1700, "height_mm": 780}
RECORDS = {**LOW, "bays": 3, "bay_3_front": HUNG_RIGHT, "bay_3_drawers": 2, "bay_3_drawer_mm": 110}
"""Two open bays for records, two small drawers over a door."""


@st.composite
def divided(draw):
    """One to four bays of any fronts, widths and contents, in a case of any usual sections."""
    count = draw(st.integers(1, 4))
    chosen = {"bays": count, "width_mm": draw(st.integers(500, 1800)), "height_mm": draw(st.integers(550, 1300)), "depth_mm": draw(st.integers(330, 600)),
              "upper_mm": 0}
    some = {"stile_mm": (45, 90), "rail_mm": (70, 110), "frame_mm": (18, 36), "panel_mm": (6, 9), "door_gap_mm": (1, 6), "stands_on": (0, 1), "pulls": (0, 1),
            "back_gap_mm": (0, 8), "top_over_mm": (0, 40), "shelf_mm": (18, 30)}
    for name in draw(st.sets(st.sampled_from(sorted(some)), max_size=4)):
        chosen[name] = draw(st.integers(*some[name]))
    for n in range(1, count + 1):
        front = chosen[named(n, "front")] = draw(st.integers(0, len(FRONTS) - 1))
        if front != DRAWERS:
            if draw(st.booleans()):
                chosen[named(n, "drawers")] = draw(st.integers(0, 3))
                chosen[named(n, "drawer_mm")] = draw(st.integers(70, 180))
            chosen[named(n, "shelves")] = draw(st.integers(0, 2))
        elif draw(st.booleans()):
            chosen[named(n, "drawers")] = draw(st.integers(1, 5))
            if draw(st.booleans()):
                chosen[named(n, "drawer_mm")] = draw(st.integers(70, 140))
        if n < count and draw(st.booleans()):
            chosen[named(n, "mm")] = draw(st.integers(180, 700))
        if draw(st.booleans()):
            chosen[named(n, "air")] = 1
    return chosen


@settings(max_examples=120, deadline=None)
@given(divided(), BRIEFS)
def test_any_bays_are_sound_or_refused_in_words(chosen, brief):
    judged("cabinet", chosen, brief, timber="oak")


@settings(max_examples=8, deadline=None)
@given(divided())
def test_both_kernels_agree_on_any_bays(chosen):
    judged("cabinet", chosen, exact=True)


def meets_on_its_way(piece) -> list[str]:
    """What a door or a drawer runs into as it opens."""
    found = []
    for leaf in leaves(piece):
        rest = [placed(piece, m.ref) for m in piece.members if m.ref not in leaf.refs]
        for share in (0.05, 0.3, 0.6, 1.0):
            m = swung(leaf.told(), share)[:3]
            for ref in leaf.refs:
                into = sum((placed(piece, ref).transform(m) ^ other).volume() for other in rest)
                if into >= 1.0:
                    found.append(f"{leaf.name}: {ref} open by {share} stands in the rest by {into:.0f} mm3")
    return found


@settings(max_examples=25, deadline=None)
@given(divided())
def test_doors_and_drawers_open_clear_of_everything(chosen):
    try:
        piece = make("cabinet", Brief(), timber="oak", swell_fraction=0.012, **chosen)
    except SizeRefused:
        return
    assert meets_on_its_way(piece) == []


@pytest.mark.parametrize("chosen", [
    RECORDS, {**LOW, "bays": 1, "bay_1_front": PAIR}, {**LOW, "bays": 2, "bay_1_front": PAIR, "bay_2_front": PAIR},
    {**LOW, "bays": 3, "bay_1_front": HUNG_LEFT, "bay_2_front": DRAWERS, "bay_3_front": HUNG_RIGHT},
    {**LOW, "bays": 4, "bay_1_front": DRAWERS, "bay_1_drawers": 5, "bay_2_front": DRAWERS, "bay_2_drawers": 4, "bay_3_shelves": 1, "bay_4_shelves": 1, "stands_on": 1},
    {**LOW, "bays": 4, **{named(n, "front"): HUNG_LEFT for n in range(1, 5)}},
])
def test_bays_as_proposed_are_in_proportion_go_together_and_open(chosen):
    piece = make("cabinet", Brief(), timber="oak", swell_fraction=0.012, **chosen)
    assert mortises_apart(piece) == [] and [f.says for f in piece_findings(piece) if not f.stands] == []
    assert order_of_work(piece).locked == () and meets_on_its_way(piece) == []
    assert len(leaves(piece)) == sum(chosen.get(named(n, "drawers"), 3 if chosen.get(named(n, "front")) == DRAWERS else 0) for n in range(1, 5)) + sum(
        {HUNG_LEFT: 1, HUNG_RIGHT: 1, PAIR: 2}.get(chosen.get(named(n, "front")), 0) for n in range(1, 5))


def boxes(piece, *starts):
    return [m.piece_box for m in piece.members if m.ref.removeprefix("A-").startswith(starts)]


# By hand: 1700 over the top, 10 beyond each side, sides of 24: 1632 inside; less two partitions of 24 leaves 1584, 528 each.
def test_bays_share_the_width_evenly_or_as_given_and_the_last_takes_the_rest():
    even, own = make("cabinet", Brief(), **RECORDS), make("cabinet", Brief(), **RECORDS, bay_1_mm=700)
    for piece, widths in ((even, (528, 528, 528)), (own, (700, 442, 442))):
        walls = [-816, *(v for code in ("PA1", "PB1") for b in boxes(piece, code) for v in (b.lo[0], b.hi[0])), 816]
        assert [b - a for a, b in zip(walls[::2], walls[1::2])] == pytest.approx(widths)


def test_a_door_stands_in_its_own_bay_and_no_other_and_leaves_its_gaps():
    piece = make("cabinet", Brief(), **RECORDS)
    door = boxes(piece, "DC1", "DC2")
    partition, side = boxes(piece, "PB1")[0], boxes(piece, "R1")[0]
    assert min(b.lo[0] for b in door) - partition.hi[0] == pytest.approx(3.0, abs=0.01) and side.lo[0] - max(b.hi[0] for b in door) == pytest.approx(3.0)
    assert {j.second for j in piece.joints if j.kind == "hinges"} == {"A-R1"}
    assert all(b.lo[1] == side.lo[1] for b in door), "flush with the front of the case"


# By hand: 780 less a top of 24, a cross rail of 50, a plinth of 90, 10 and a bottom of 25: 581 clear; five drawers and four rails of 24 leave 485.
@pytest.mark.parametrize(("top", "tall"), [(None, (97, 97, 97, 97, 97)), (75, (75, 86, 97, 108, 119))])
def test_drawers_of_a_bay_are_alike_or_grow_downwards_by_equal_steps(top, tall):
    chosen = {**LOW, "bays": 2, "bay_1_front": DRAWERS, "bay_1_drawers": 5} | ({"bay_1_drawer_mm": top} if top else {})
    piece = make("cabinet", Brief(), swell_fraction=0.0, **chosen)
    faces = sorted((m.piece_box for m in piece.members if m.role == "drawer face"), key=lambda b: -b.lo[2])
    # 2 mm under each face, and over it as much as its gap beside: 3.
    assert [b.size[2] for b in faces] == pytest.approx([v - 5 for v in tall])
    rails = sorted((b.hi[2] for b in boxes(piece, "NA")), reverse=True)
    assert [a.lo[2] - z for a, z in zip(faces, rails)] == pytest.approx([2] * 4)


def test_small_drawers_stand_over_a_door_at_the_height_chosen():
    piece = make("cabinet", Brief(), **RECORDS)
    faces = [m.piece_box for m in piece.members if m.role == "drawer face"]
    assert len(faces) == 2 and all(100 < b.size[2] < 110 for b in faces)
    assert max(b.hi[2] for b in boxes(piece, "DC1")) < min(b.lo[2] for b in boxes(piece, "NC2"))


def test_hinges_on_either_face_of_a_partition_stand_at_heights_of_their_own():
    piece = make("cabinet", Brief(), **LOW, bays=2, bay_1_front=PAIR, bay_2_front=PAIR)
    at = {j.first: j._starts(piece.member(j.first), piece.member(j.second)) for j in piece.joints if j.kind == "hinges" and j.second == "A-PA1"}
    (a, long), (b, _) = ((v, next(j.hinge_mm for j in piece.joints if j.first == r and j.kind == "hinges")) for r, v in at.items())
    assert all(abs(x - y) > long for x in a for y in b)


def test_one_back_board_is_left_out_where_what_is_behind_a_door_wants_air():
    shut, aired = (make("cabinet", Brief(), **RECORDS, bay_3_air=n) for n in (0, 1))
    gone = set(m.ref for m in shut.members) - set(m.ref for m in aired.members)
    (board,) = (shut.member(r) for r in gone)
    bay = boxes(shut, "PB1")[0].hi[0], boxes(shut, "R1")[0].lo[0]
    assert board.role == "back board" and bay[0] < board.piece_box.lo[0] and board.piece_box.hi[0] < bay[1]
    found = fits(**RECORDS, bay_3_air=1)
    assert found["air behind the door"].verdict is Verdict.LOOK_AGAIN and "not reckoned" in found["air behind the door"].says
    assert "air behind the door" not in fits(**RECORDS)


def fits(brief=None, **chosen):
    brief = brief or Brief()
    values = settled(FORMS["cabinet"], brief, Surroundings(""), chosen)
    return {f.what: f for f in FORMS["cabinet"].fit(make("cabinet", brief, **chosen), values, brief)}


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({**LOW, "bays": 3, "bay_1_mm": 900, "bay_2_mm": 600}, "bays", "what the others leave"),
    ({**LOW, "bays": 4, "width_mm": 600}, "bays", "Fewer bays"),
    ({**LOW, "bays": 4, "bay_2_mm": 160, "bay_2_front": HUNG_LEFT}, "bay_2_mm", "have fewer bays"),
    ({**LOW, "bays": 2, "bay_1_front": PAIR, "bay_1_mm": 300}, "bay_1_mm", "pair of doors needs 398"),
    ({**LOW, "bays": 2, "bay_2_front": DRAWERS, "bay_2_drawers": 5, "height_mm": 500}, "bay_2_drawers", "3 or fewer"),
    ({**LOW, "bays": 2, "bay_2_front": DRAWERS, "bay_2_drawers": 0}, "bay_2_drawers", "give 1 to 5"),
    ({**LOW, "bays": 2, "bay_1_front": DRAWERS, "bay_1_drawers": 4, "bay_1_drawer_mm": 200}, "bay_1_drawer_mm", "127 mm or less"),
    ({**LOW, "bays": 2, "bay_1_drawers": 4, "bay_1_drawer_mm": 150}, "bay_1_drawers", "Fewer or lower drawers"),
    ({**LOW, "bays": 2, "bay_1_shelves": 7}, "bay_1_shelves", "or fewer"),
    ({**LOW, "bays": 2, "bay_1_front": HUNG_LEFT, "bay_1_drawers": 3, "bay_1_drawer_mm": 120}, "height_mm", "fewer drawers over it"),
    ({**LOW, "bays": 2, "bay_1_front": DRAWERS, "depth_mm": 240, "stile_mm": 90}, "depth_mm", "or more"),
])
def test_what_cannot_be_is_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("cabinet", Brief(), **chosen)
    assert refused.value.field == field


# ------------------------------------------------------------------ documents, and what is asked where


def test_an_earlier_commission_opens_as_it_was():
    asked = Brief(asked="A sideboard 1.60 m wide and 850 mm high on feet: two doors, and three drawers between them")
    piece = make("cabinet", asked, doors=2, drawers_fill=2, drawer_rows=3)
    assert {m.ref for m in piece.members if m.role in ("stile", "panel")} == {f"A-{c}{n}" for c in "LRMPDE" for n in (1, 2, 5)}
    assert make("cabinet", asked, doors=2, drawers_fill=2, drawer_rows=3, bays=0) == piece


def shown(**chosen):
    values = settled(FORMS["cabinet"], Brief(), Surroundings(""), chosen)
    return {s.name for s in FORMS["cabinet"].sizes} - set(FORMS["cabinet"].unused(values))


def test_only_what_has_an_effect_is_asked():
    plain, divided = shown(drawers_fill=0), shown(**RECORDS)
    assert "bays" in plain and not any(n.startswith("bay_") for n in plain)
    assert {"drawers_across", "drawer_mm", "bay_mm"}.isdisjoint(plain) and {"drawer_rows", "drawers_fill"} <= plain
    assert {"doors", "shelf_count", "drawer_rows", "drawers_fill", "bay_mm"}.isdisjoint(divided)
    assert {"bay_1_front", "bay_1_mm", "bay_2_mm", "bay_3_drawers", "bay_3_drawer_mm", "bay_3_air"} <= divided
    assert {"bay_3_mm", "bay_1_air", "bay_1_drawer_mm", "bay_4_front"}.isdisjoint(divided)
    assert "doors" in shown(**{**RECORDS, "height_mm": 1800, "upper_mm": 900}), "of the upper case"
    over = {**LOW, "bays": 1, "bay_1_drawers": 2}
    assert {"door_gap_mm", "pulls"} <= shown(**over), "drawers over an open bay have faces and pulls"


def test_the_cutting_list_tells_one_frame_from_another():
    named_so = [(r.name, r.hand, r.width_mm) for r in cutting_list([(make("cabinet", Brief(), **RECORDS), 1)])]
    assert len(set(named_so)) == len(named_so)
    names = {n for n, *_ in named_so}
    assert {"stile, left side", "stile, right side", "stile, 2 partitions", "stile, door of bay 3", "drawer side, 2 drawers"} <= names


def test_what_is_said_of_it_is_counted_on_the_piece():
    values = settled(FORMS["cabinet"], Brief(), Surroundings(""), RECORDS)
    piece = make("cabinet", Brief(), **RECORDS)
    assert reckoned_words(FORMS["cabinet"], values, piece).endswith("one door, two shelves, two drawers")
    door = next(leaf for leaf in leaves(piece) if leaf.kind == "door")
    without = make("cabinet", Brief(), **RECORDS, adjustments=[Removed(member=r) for r in door.refs])
    assert reckoned_words(FORMS["cabinet"], values, without).endswith("mm, two shelves, two drawers") and invariants.all_of(without) == []
    two = make("cabinet", Brief(), shelf_count=1)
    assert reckoned_words(FORMS["cabinet"], settled(FORMS["cabinet"], Brief(), Surroundings(""), {}), two).endswith("two doors, one shelf")


@settings(max_examples=60, deadline=None)
@given(divided(), st.integers(0, 30))
def test_a_size_that_is_not_asked_changes_nothing(chosen, which):
    try:
        piece = make("cabinet", Brief(), **chosen)
    except SizeRefused:
        return
    form = FORMS["cabinet"]
    idle = form.unused(settled(form, Brief(), Surroundings(""), chosen))
    size = next(s for s in form.sizes if s.name == idle[which % len(idle)])
    assert make("cabinet", Brief(), **{**chosen, size.name: size.high}).members == piece.members


def test_drawers_that_have_no_effect_are_answered_beside_the_field():
    from studio_lib.forms.form import proposed

    ready = proposed(FORMS["cabinet"], Brief(), Surroundings(""), {"drawers_fill": 0, "drawers_across": 1, "doors": 1})
    assert "no rows of drawers" in ready["drawers_fill"].why
    assert "no rows" not in proposed(FORMS["cabinet"], Brief(), Surroundings(""), {"drawers_fill": 0, "drawer_rows": 2})["drawers_fill"].why


# ------------------------------------------------------------------ what goes in

ALBUMS = Brief(tallest_mm=315, deepest_mm=315, thick_mm=4, how_many=400, carries="records", most_width_mm=410)


# By hand: two open bays of 528 mm hold 528 / 4 = 132 each; 264, so 136 are missing, 544 mm of width.
def test_records_are_counted_by_clear_width_over_thickness():
    found = fits(ALBUMS, **RECORDS)["room for what goes in"]
    assert found.verdict is Verdict.FAILS and found.demand == 400 and found.capacity == 264
    assert "bay 1 132, bay 2 132" in found.says and "136 more take 544 mm" in found.says and "bay 3" in found.says.partition("not in")[2]
    enough = fits(ALBUMS.model_copy(update={"how_many": 264}), **RECORDS)["room for what goes in"]
    assert enough.stands and "264 of the 264 wanted" in enough.says


def test_what_is_too_high_or_too_deep_counts_for_nothing():
    high = fits(ALBUMS.model_copy(update={"tallest_mm": 700.0}), **RECORDS)["room for what goes in"]
    assert high.verdict is Verdict.FAILS and "wanted" in high.says and high.says.startswith("0 of the 400")
    deep = fits(ALBUMS.model_copy(update={"most_width_mm": None}), **RECORDS, depth_mm=330)["room for what goes in"]
    assert "mm deep, 315 wanted" in deep.says
    assert "room for what goes in" not in fits(Brief(), **RECORDS)
    assert fits(Brief(how_many=40), **RECORDS)["room for what goes in"].verdict is Verdict.OPEN


# By hand: 315, 10 to spare, a back of 10, the top 10 beyond; frames of 24 lie before an undivided one: 369, in fives 370.
def test_the_depth_is_proposed_from_what_goes_in():
    from studio_lib.forms.form import proposed

    assert proposed(FORMS["cabinet"], ALBUMS, Surroundings(""), {})["depth_mm"].value == 370
    inside = proposed(FORMS["cabinet"], ALBUMS, Surroundings(""), RECORDS)["depth_mm"]
    assert inside.value == 385 and "315 mm deep" in inside.why and inside.source == "brief"
    piece = make("cabinet", ALBUMS, **RECORDS)
    clear = min(b.lo[1] for b in boxes(piece, "B")) - max(b.hi[1] for b in boxes(piece, "VC"))
    assert clear >= 315


def test_the_depth_over_all_is_said_beside_the_depth_over_the_top():
    from studio_lib.forms.form import proposed

    ready = proposed(FORMS["cabinet"], Brief(), Surroundings(""), {})["depth_mm"]
    piece = make("cabinet", Brief())
    assert piece.overall_mm[1] == ready.value + 10 and "pulls stand 10 mm out" in ready.why


def test_a_wall_fixing_that_the_brief_rules_out_is_said_where_it_is_asked_for():
    brief = Brief(children=True, needs_leave=())
    anchor = fits(brief, **RECORDS, wall=0)["anchor"]
    assert anchor.verdict is Verdict.FAILS and "brief says that nothing is fixed" in anchor.says and "heavier low down" in anchor.mend
    assert "brief says" not in fits(Brief(children=True), **RECORDS, wall=0)["anchor"].says
    from studio_lib.forms.form import proposed

    assert "though the brief says" in proposed(FORMS["cabinet"], brief, Surroundings(""), RECORDS)["wall"].why


def test_a_floor_that_springs_is_answered_honestly():
    said = fits(Brief(ground="springing floor"), **RECORDS)["a floor that springs"]
    assert said.verdict is Verdict.LOOK_AGAIN and "cannot be reckoned" in said.says and said.source == "a judgement of ours" and "low" in said.mend
    assert "a floor that springs" not in fits(Brief(ground="floor"), **RECORDS)


# ------------------------------------------------------------------ a front for each side, in the client's words


@pytest.mark.parametrize(("words", "fronts"), [
    ("A cabinet 1 m wide, open on the left, a door on the right.", (0, 2)), ("The left bay stays open, the right bay gets a door.", (0, 2)),
    ("A cabinet with a door on the left and open shelves on the right", (1, 0)), ("One half open and drawers in the other half.", (0, 4)),
    ("A sideboard, drawers on the left and doors on the right.", (4, 3)), ("A sideboard 1.7 m wide, open on the left, a door on the right.", (0, 3)),
])
def test_each_side_has_the_front_that_the_client_says(words, fronts):
    ready = proposed(FORMS["cabinet"], Brief(asked=words), Surroundings(""), {})
    assert (ready["bays"].value, ready["bay_1_front"].value, ready["bay_2_front"].value) == (2, *fronts)
    assert ready["bays"].source == "brief" and "as the client says" in ready["bay_2_front"].why
    assert judged("cabinet", {}, Brief(asked=words))


@pytest.mark.parametrize("words", [
    "A cabinet with two doors. It stands left of the window and right of the door.", "A cabinet with a door hinged on the left and drawers on the right.",
    "A cabinet, no doors on the left, drawers on the right.", "Doors on the left and doors on the right.", "A cabinet with drawers on the left.",
    "A cabinet between a door on the left and shelves on the right wall.",
])
def test_what_is_said_of_one_side_or_of_the_room_divides_nothing(words):
    ready = proposed(FORMS["cabinet"], Brief(asked=words), Surroundings(""), {})
    assert ready["bays"].source != "brief" and ready["bay_2_front"].value == 0


def test_drawers_on_one_side_are_as_many_as_are_said_and_the_makers_own_goes_first():
    brief = Brief(asked="Four drawers on the left, open on the right.")
    ready = proposed(FORMS["cabinet"], brief, Surroundings(""), {})
    assert (ready["bay_1_front"].value, ready["bay_1_drawers"].value) == (4, 4)
    own = proposed(FORMS["cabinet"], brief, Surroundings(""), {"bays": 3})
    assert own["bay_1_front"].value == 0
    narrow = proposed(FORMS["cabinet"], brief, Surroundings(""), {"width_mm": 320})
    assert narrow["bays"].value == 0
