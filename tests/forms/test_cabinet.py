"""Cabinet: frames close on their openings, panels free, doors and shelves in place, tipping said."""

import pytest
from hypothesis import given, settings

from studio_lib.commission import Adjustment, Brief, CaseWish, Commission, Item, Opening
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from studio_lib.forms.form import proposed
from studio_lib.piece.checks import mortises_apart
from tests.forms.cases import BRIEFS, clean, judged, sizes
from tests.piece.corners import Swings

NEAR = {
    "width_mm": (500, 1100), "depth_mm": (330, 700), "height_mm": (700, 2200), "stile_mm": (56, 100), "rail_mm": (62, 140),
    "frame_mm": (20, 36), "panel_mm": (6, 11), "shelf_count": (0, 1), "panel_gap_mm": (1, 6), "back_mm": (6, 14),
    "drawer_rows": (0, 2), "drawer_mm": (80, 200), "upper_depth_mm": (300, 330),
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
        for code, first in ((c, n) for c in "LRDE" for n in (1, 21)):
            refs = {f"A-{code}{first + k}" for k in range(5)}
            parts = [m for m in piece.members if m.ref in refs and m.role in ("stile", "rail", "panel")]
            if parts:
                stiles, rails = ([m for m in parts if m.role == r] for r in ("stile", "rail"))
                box = [m.piece_box for m in stiles]
                wide = max(max(b.hi[k] for b in box) - min(b.lo[k] for b in box) for k in (0, 1))
                assert sum(m.width_mm for m in stiles) + rails[0].length_mm == pytest.approx(wide, abs=1e-3)


BAYS = {**NEAR, "width_mm": (750, 1800), "height_mm": (550, 1100), "drawer_rows": (1, 4), "bay_mm": (160, 700), "rail_mm": (62, 120), "upper_mm": (0, 0)}


@settings(max_examples=150, deadline=None)
@given(sizes("cabinet", BAYS, ("drawers_fill", "doors")), BRIEFS)
def test_drawers_between_doors_are_sound_at_any_size_or_refused_in_words(chosen, brief):
    judged("cabinet", {**chosen, "drawers_fill": 2, "doors": 2}, brief)


@settings(max_examples=12, deadline=None)
@given(sizes("cabinet", BAYS, ("drawers_fill", "doors")))
def test_both_kernels_agree_on_bays(chosen):
    judged("cabinet", {**chosen, "drawers_fill": 2, "doors": 2}, exact=True)


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
        assert at[3][1] - at[0][0] == pytest.approx(1000 - 20)


def test_panels_have_room_to_move_and_say_when_they_have_not():
    for gap, verdict in ((6, Verdict.STANDS), (1, Verdict.FAILS)):
        piece = make("cabinet", Brief(), panel_gap_mm=gap)
        found = [f for j in piece.joints if j.kind == "groove and panel" for f in j.moves(piece, Swings(0.02)) if f.what == "room to grow"]
        assert found and {f.verdict for f in found} == {verdict}


def test_a_cabinet_with_doors_is_fixed_to_the_wall():
    assert fits()["anchor"].stands
    loose = fits(Brief(children=True), wall=0)
    assert loose["anchor"].verdict is Verdict.FAILS and "climbed on a drawer" not in loose, "how it stands open is judged in one place"


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


# By hand: 915 high less a top of 24, a cross rail of 50, a foot of 90, 10 and a bottom of 25: 716 for four drawers and three rails.
def test_drawers_from_top_to_bottom_close_on_the_case():
    piece = make("cabinet", Brief(), drawer_rows=4, drawers_fill=1, doors=0, shelf_count=0, drawers_across=0, width_mm=800, shelf_mm=25)
    sides = sorted({round(m.piece_box.lo[2], 3) for m in piece.members if m.role == "drawer side"})
    assert len(sides) == 4 and sides[0] == 125
    pitch = (915 - 24 - 50 - 125 - 3 * 24) / 4 + 24
    assert [b - a for a, b in zip(sides, sides[1:])] == pytest.approx([pitch] * 3)
    faces = sorted((m.piece_box.lo[2], m.piece_box.hi[2]) for m in piece.members if m.role == "drawer face")
    assert faces[0][0] == 93 and faces[-1][1] == 888
    assert [round(b[0] - a[1], 6) for a, b in zip(faces, faces[1:])] == [3, 3, 3]


def test_a_drawer_has_room_beside_and_above_it_and_its_bottom_may_move():
    piece = make("cabinet", Brief(), swell_fraction=0.02, drawer_rows=1, drawers_across=0, drawer_mm=150)
    left, right = (m.piece_box for m in piece.members if m.role == "drawer side")
    stile = piece.member("A-L1").piece_box
    assert left.lo[0] - stile.hi[0] == pytest.approx(1.0)
    assert left.hi[2] - left.lo[2] == pytest.approx(150 - 4.0)  # 1 mm and 2 % of 150, in half millimetres
    found = [f for j in piece.joints if "drawer bottom" in j.family for f in j.moves(piece, Swings(0.02))]
    assert found and all(f.stands for f in found)


def test_a_tall_cabinet_is_two_cases_each_carried_by_itself():
    piece = make("cabinet", Brief(), height_mm=1900)
    groups = FORMS["cabinet"].carried(piece)
    assert set(groups) == {"lower case", "upper case"} and sum(map(len, groups.values())) == len(piece.members)
    renamed = make("cabinet", Brief(), height_mm=1900, adjustments=[Adjustment(member="A-L21", field="name", value="my own stile")])
    assert FORMS["cabinet"].carried(renamed) == groups
    across = [j for j in piece.joints if (j.first in groups["upper case"]) != (j.second in groups["upper case"])]
    assert {j.family for j in across} == {"upper case on lower"} and all(j.dry for j in across)
    low = min(piece.member(r).piece_box.lo[2] for r in groups["upper case"])
    assert low == max(piece.member(r).piece_box.hi[2] for r in groups["lower case"])


# What is only screwed goes on last: no glue-up holds members of both cases.
def test_no_glue_up_joins_the_two_cases():
    from studio_lib.piece.order import order_of_work

    piece = make("cabinet", Brief(), height_mm=1900, drawer_rows=1)
    upper = set(FORMS["cabinet"].carried(piece)["upper case"])
    order = order_of_work(piece)
    assert order.locked == ()
    for stage in order.stages:
        if stage.glued:
            assert len({r in upper for r in stage.refs}) == 1


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"drawer_rows": 4, "drawers_fill": 1, "doors": 2}, "drawers_fill", "no room for 2 doors"),
    ({"drawer_rows": 5, "drawer_mm": 200}, "drawer_rows", "let them stand from top to bottom"),
    ({"drawer_rows": 6, "drawers_fill": 1, "doors": 0, "shelf_count": 0, "height_mm": 600}, "drawer_rows", "need 70 mm"),
    ({"upper_mm": 100}, "upper_mm", "or 0 for one case"),
    ({"upper_mm": 800}, "upper_mm", "565 mm or less"),
    ({"height_mm": 1900, "upper_depth_mm": 600}, "upper_depth_mm", "450 mm or less"),
])
def test_drawers_and_cases_that_cannot_be_are_refused(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("cabinet", Brief(), **chosen)
    assert refused.value.field == field


STAIR = Opening(kind="stair", name="narrow stair", width_mm=650, headroom_mm=1950, turn="quarter", landing_depth_mm=650)


def test_a_cabinet_that_does_not_go_up_the_stair_whole_is_proposed_in_two_cases():
    brief = Brief(asked="a cabinet 1.4 m high", openings=(STAIR,))
    ready = proposed(FORMS["cabinet"], brief, Surroundings(""), {})
    assert ready["height_mm"].value == 1400 and ready["upper_mm"].value == 650 and "narrow stair" in ready["upper_mm"].why
    free = proposed(FORMS["cabinet"], brief.model_copy(update={"openings": ()}), Surroundings(""), {})
    assert free["upper_mm"].value == 0
    one = settled(FORMS["cabinet"], brief, Surroundings(""), {"upper_mm": 0.0})
    assert "upper case" in FORMS["cabinet"].parts_by(one)


def test_a_cabinet_is_as_high_as_asked_or_as_one_is_made():
    def height(asked):
        return proposed(FORMS["cabinet"], Brief(asked=asked), Surroundings(""), {})["height_mm"]

    assert height("a cabinet 1.8 m high").value == 1800 and height("a cabinet").value == 915
    assert height("a cabinet 2500 mm high").value == 2200 and "no higher" in height("a cabinet 2500 mm high").why


# ------------------------------------------------------------------ drawers between the doors, feet, what the brief gives

SIDEBOARD = Brief(
    asked="A sideboard 1.60 m wide and 850 mm high on feet: two doors, and three drawers between them", most_width_mm=450, people=2,
)


def boxes(piece, *codes):
    return [m.piece_box for m in piece.members if m.ref.removeprefix("A-").startswith(codes)]


def test_the_clients_sideboard_is_proposed_as_it_was_asked_for():
    piece = make("cabinet", SIDEBOARD, timber="oak", swell_fraction=0.011)
    assert piece.overall_mm == pytest.approx((1600, 450, 850))
    assert len({m.ref[:4] for m in piece.members if m.role == "drawer face"}) == 3
    hung = {j.family: (j.first, j.second) for j in piece.joints if j.kind == "hinges"}
    assert len([j for j in piece.joints if j.kind == "hinges"]) == 2 and hung
    assert {(j.first, j.second) for j in piece.joints if j.kind == "hinges"} == {("A-D1", "A-L1"), ("A-E2", "A-R1")}
    assert clean("cabinet", SIDEBOARD) == []


def test_drawers_run_between_the_partitions_and_shelves_behind_the_doors():
    piece = make("cabinet", SIDEBOARD)
    left, right = max(b.hi[0] for b in boxes(piece, "M")), min(b.lo[0] for b in boxes(piece, "P"))
    assert right - left == pytest.approx(495)
    inside = [m.piece_box for m in piece.members if m.role in ("drawer side", "drawer runner", "drawer rail", "drawer front")]
    assert inside and all(left - 1e-6 <= b.lo[0] and b.hi[0] <= right + 1e-6 for b in inside)
    assert len(boxes(piece, "H")) == len(boxes(piece, "X")) == 1
    assert boxes(piece, "H")[0].hi[0] <= left - 24 and boxes(piece, "X")[0].lo[0] >= right + 24


@pytest.mark.parametrize("bay", [300, 495, 700])
def test_doors_and_faces_cover_the_front_and_leave_their_gaps(bay):
    piece = make("cabinet", SIDEBOARD, bay_mm=bay)
    face = next(m.piece_box for m in piece.members if m.role == "drawer face")
    left = max(b.hi[0] for b in boxes(piece, "D1", "D2"))
    right = min(b.lo[0] for b in boxes(piece, "E1", "E2"))
    assert face.lo[0] - left == pytest.approx(3) and right - face.hi[0] == pytest.approx(3)
    assert min(b.lo[0] for b in boxes(piece, "D1")) == -790 and max(b.hi[0] for b in boxes(piece, "E2")) == 790
    assert face.size[0] == pytest.approx(bay + 24 - 3), "a face reaches to the middle of either partition, less half a gap"


# Screws from either face of a partition's stile do not meet: the runner's of one bay, the shelf rest's of the next.
def test_screws_from_either_face_of_a_partition_pass_each_other():
    for height in range(700, 1000, 10):
        piece = make("cabinet", SIDEBOARD, height_mm=height)
        rests = {round(b.centre[2], 3) for b in boxes(piece, "S", "Y")}
        runners = {round(m.piece_box.centre[2], 3) for m in piece.members if m.role == "drawer runner"}
        assert all(abs(a - b) >= 15 - 1e-6 for a in rests for b in runners), height


def test_feet_leave_the_floor_free_and_a_plinth_does_not():
    for chosen in ({}, {"width_mm": 1600}):
        feet, plinth = (make("cabinet", Brief(), stands_on=n, foot_mm=120, **chosen) for n in (1, 0))
        low = {m.role for m in feet.members if m.piece_box.lo[2] < 120 - 1e-6}
        assert low == {"stile"} and sum(m.piece_box.lo[2] == 0 for m in feet.members) == 4
        assert any(m.role == "plinth" and m.piece_box.lo[2] == 0 for m in plinth.members)
        for piece in (feet, plinth):
            assert mortises_apart(piece) == []


@pytest.mark.parametrize("wood", ["European oak", "Douglas-fir (coast)"])
@pytest.mark.parametrize("sizes_", [{"width_mm": 1250}, {"width_mm": 1600, "stands_on": 1}, {"width_mm": 1800, "height_mm": 600}, {"stands_on": 1}])
def test_what_is_proposed_for_wide_ones_and_on_feet_holds(sizes_, wood):
    for place in ("indoors, heated", "outdoors, in the weather"):
        item = Item(name="sideboard", form="cabinet", sizes=sizes_)
        d = derive(Commission(ref="2026-001", title="a", brief=Brief(people=2, place=place), items=(item,)).changed("timber.species", wood))
        assert [f"{f.subject} {f.what} {f.says}" for f in (*d.size_findings, *d.joint_findings) if f.verdict is Verdict.FAILS] == []


def test_a_door_too_wide_is_said_on_sizes_and_three_bays_are_proposed():
    found = fits(width_mm=1600, drawers_fill=0)["width of a door"]
    assert found.verdict is Verdict.LOOK_AGAIN and found.stage == "sizes" and "drawers between the doors" in found.mend
    for width in range(600, 1801, 50):
        assert fits(width_mm=width)["width of a door"].stands, width
    assert fits(width_mm=800, doors=1)["width of a door"].mend.startswith("Give it two doors")


# A rule of thumb: 60 to 80 mm from the ends of a low door. Common practice, no source.
@pytest.mark.parametrize("height", [620, 700, 780])
def test_hinges_of_low_doors_stand_near_their_ends(height):
    piece = make("cabinet", Brief(), height_mm=height, shelf_count=0)
    for j in (j for j in piece.joints if j.kind == "hinges"):
        assert 60 <= j.end_mm <= 80 and j.apart_mm(piece) > piece.member(j.first).length_mm / 2
    tall = [j for j in make("cabinet", Brief(), height_mm=1400, upper_mm=0).joints if j.kind == "hinges"]
    assert {j.end_mm for j in tall} == {150}


@pytest.mark.parametrize(("brief", "width"), [
    (Brief(asked="a sideboard 1.60 m wide"), 1600), (Brief(asked="a cabinet 1600 x 450 x 850 mm"), 1600), (Brief(asked="width of 140 cm, oak"), 1400),
    (Brief(wishes=(CaseWish(name="sideboard", width_mm=1500),)), 1500), (Brief(most_length_mm=1450), 1450), (Brief(asked="two drawers 90 mm high"), 1000),
    (Brief(asked="6 m wide"), 1000), (Brief(asked="2.5 m wide"), 1800), (Brief(asked="1.6 m wide", space_length_mm=1550), 1550),
])
def test_the_width_that_the_brief_gives_is_proposed(brief, width):
    assert settled(FORMS["cabinet"], brief, Surroundings(""), {})["width_mm"] == width


@pytest.mark.parametrize("chosen", [{}, {"pulls": 0}, {"top_over_mm": 0}, {"top_over_mm": 30}])
def test_the_whole_stays_within_the_limits_with_its_pulls_and_hinges(chosen):
    brief = Brief(most_width_mm=450, most_length_mm=1200, most_height_mm=850)
    long, deep, high = make("cabinet", brief, **chosen).overall_mm
    assert long <= 1200 + 1e-6 and deep <= 450 + 1e-6 and high <= 850 and deep > 440


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"width_mm": 1600, "drawers_fill": 2, "drawer_rows": 3, "doors": 1}, "doors", "2 for a door to each"),
    ({"width_mm": 1200, "drawers_fill": 2, "drawer_rows": 3, "bay_mm": 900}, "bay_mm", "784 mm or less"),
    ({"width_mm": 500, "drawers_fill": 2, "drawer_rows": 3}, "bay_mm", "too narrow for three bays"),
    ({"width_mm": 1200, "drawers_fill": 2, "drawer_rows": 1, "height_mm": 400}, "height_mm", "or more"),
])
def test_bays_that_cannot_be_are_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("cabinet", Brief(), **chosen)
    assert refused.value.field == field


def test_what_is_proposed_stays_so_when_the_maker_chooses_otherwise():
    ready = proposed(FORMS["cabinet"], SIDEBOARD, Surroundings(""), {"drawers_fill": 0, "stands_on": 0})
    assert ready["drawers_fill"].value == 2 and ready["drawers_fill"].source == "brief"
    assert proposed(FORMS["cabinet"], SIDEBOARD, Surroundings(""), {})["drawer_rows"].source == "brief"


def test_from_top_to_bottom_is_one_choice_away():
    piece = make("cabinet", Brief(), drawer_rows=4, drawers_fill=1)
    assert not boxes(piece, "D", "E", "H")


@pytest.mark.parametrize(("member", "field", "value"), [("A-M1", "width_mm", 80), ("A-P5", "thickness_mm", 12), ("A-F1", "width_mm", 60), ("A-X1", "thickness_mm", 26)])
def test_changes_of_the_makers_own_on_partitions_are_made_or_said(member, field, value):
    piece = make("cabinet", SIDEBOARD, adjustments=[Adjustment(member=member, field=field, value=value)])
    assert unmade(piece) == () and getattr(piece.member(member), field) == value


# What is proposed between the doors can be put together: no member is shut out by what was glued before it.
def test_three_bays_go_together():
    from studio_lib.piece.order import order_of_work

    assert order_of_work(make("cabinet", SIDEBOARD)).locked == ()


def test_what_the_client_says_goes_in_sets_openings_and_loads():
    brief = Brief(asked="A low cabinet for 400 records", tallest_mm=315.0, carries="records standing upright", most_height_mm=780.0)
    said = proposed(FORMS["cabinet"], brief, Surroundings("oak"), {"width_mm": 1700.0})
    depth = said["depth_mm"].value
    # 50 lb a square foot is 244 kg/m2: architectural shelf load for records and heavy books (studio_lib/structure/on_shelves.csv).
    assert said["load_kg_m"].value == pytest.approx(244 * depth / 1000, abs=1) and "records" in said["load_kg_m"].why
    assert said["shelf_count"].value == 0 and "315 mm clear" in said["shelf_count"].why, "one row of records stands under 780 mm, and no shelf halves it"
    plain = proposed(FORMS["cabinet"], Brief(asked="A low cabinet", most_height_mm=780.0), Surroundings("oak"), {"width_mm": 1700.0})
    assert "household" in plain["load_kg_m"].why


def test_the_upper_cases_lowest_opening_may_be_higher_than_the_others():
    piece = make("cabinet", Brief(), height_mm=2100, upper_mm=1300, upper_shelves=3, upper_lowest_mm=420)
    z = sorted((m.piece_box.lo[2], m.piece_box.hi[2]) for m in piece.members if m.ref.startswith(("A-H2", "A-U2")))
    gaps = [b[0] - a[1] for a, b in zip(z, z[1:])]
    assert gaps[0] == pytest.approx(420) and gaps[1] == pytest.approx(gaps[2])
    with pytest.raises(SizeRefused, match="leaves .* for each of the others") as refused:
        make("cabinet", Brief(), height_mm=2100, upper_mm=1300, upper_shelves=6, upper_lowest_mm=800)
    assert refused.value.field == "upper_lowest_mm"
    asked = Brief(asked="A cabinet 2.1 m high; big art books below, up to 380 mm tall, novels above")
    ready = proposed(FORMS["cabinet"], asked, Surroundings(""), {"depth_mm": 350})
    assert ready["upper_lowest_mm"].value == 400 and ready["upper_depth_mm"].value == 305


def test_as_proposed_no_hole_breaks_into_another_at_any_width():
    from studio_lib.finding import Verdict
    from studio_lib.piece.checks import mortises_apart

    for width in range(550, 1800, 70):
        for chosen in ({}, {"drawers_across": 1.0, "drawer_rows": 2.0}, {"bays": 2.0}, {"height_mm": 1800.0, "upper_mm": 900.0}):
            piece = make("cabinet", Brief(), timber="oak", swell_fraction=0.0173, width_mm=float(width), **chosen)
            assert not [f.says for f in mortises_apart(piece) if f.verdict is Verdict.FAILS], (width, chosen)


@pytest.mark.parametrize(("words", "bays", "fronts"), [
    ("A cabinet 1.6 m wide with two doors.", 3, [1, 0, 2]), ("A sideboard 1.8 m wide with doors, no drawers.", 2, [3, 3]), ("A sideboard 1.8 m wide, doors and drawers.", 0, []),
    ("A sideboard 1.8 m wide.", 0, []), ("A cabinet 1 m wide with two doors.", 0, []),
])
def test_a_wide_cabinet_has_no_drawers_where_only_doors_are_asked_for(words, bays, fronts):
    sizes = settled(FORMS["cabinet"], Brief(asked=words), Surroundings(""), {})
    assert sizes["bays"] == bays and [sizes[f"bay_{n}_front"] for n in range(1, bays + 1)] == fronts
    piece = make("cabinet", Brief(asked=words))
    assert any(m.role.startswith("drawer") for m in piece.members) == (bays == 0 and "1.8" in words)


def test_open_bays_alone_are_not_fixed_for_doors_that_they_have_not():
    chosen = {"bays": 2.0, "height_mm": 915.0}
    values = settled(FORMS["cabinet"], Brief(), Surroundings(""), chosen)
    found = {f.what: f for f in FORMS["cabinet"].fit(make("cabinet", Brief(), **chosen), values, Brief())}
    assert not values["wall"] and found["anchor"].stands
