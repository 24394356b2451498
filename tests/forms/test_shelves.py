"""Shelves: openings close on the height, fillets on the walls, sag and tipping said."""

import pytest
from hypothesis import example, given, settings
from pydantic import TypeAdapter

from studio_lib.brief.refusals import ANCHOR_FROM_MM
from studio_lib.brief.said import tallest_book
from studio_lib.commission import AnyChange, Brief, Opening
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from studio_lib.forms.form import proposed
from studio_lib.piece.checks import mortises_apart, piece_findings
from studio_lib.piece.order import order_of_work
from studio_lib.solids.mesh import placed
from tests.forms.cases import BRIEFS, clean, judged, sizes

NEAR = {"place": (0, 0), "uprights": (0, 2), "shelf_count": (0, 5), "height_mm": (900, 2400), "lipping_mm": (50, 60)}
ALCOVE = {"place": 1, "width_mm": 1180, "height_mm": 2200, "width_front_bottom_mm": 1204, "width_front_top_mm": 1228,
          "width_back_bottom_mm": 1200, "width_back_top_mm": 1210}


def fits(brief=None, **chosen):
    brief = brief or Brief()
    values = settled(FORMS["bookcase"], brief, Surroundings(""), chosen)
    return {f.what: f for f in FORMS["bookcase"].fit(make("bookcase", brief, **chosen), values, brief)}


@settings(max_examples=300, deadline=None)
@example({"depth_mm": 120.32}, Brief())
@example({"width_mm": 250, "strip_mm": 16, "place": 1}, Brief())
@given(sizes("bookcase", NEAR), BRIEFS)
def test_any_sizes_are_sound_or_refused_in_words(chosen, brief):
    piece = judged("bookcase", chosen, brief)
    if piece:
        total = 0.0
        for refs in [g for name, g in FORMS["bookcase"].carried(piece).items() if "fillet" not in name]:
            case = [piece.member(r) for r in refs]
            heights = sorted({(m.piece_box.lo[2], m.piece_box.hi[2]) for m in case if m.role in ("shelf", "top")})
            gaps = [b[0] - a[1] for a, b in zip(heights, heights[1:])]
            alike = gaps[1:] if chosen.get("lowest_clear_mm") else gaps
            assert max(alike, default=0) - min(alike, default=0) < 1e-3
            under = next(m for m in case if m.role in ("plinth", "sill")).piece_box.size[2]
            total += under + sum(gaps) + sum(b - a for a, b in heights)
        # What closes the gap to a ceiling is scribed there, and stands over the cases.
        assert total == pytest.approx(max(m.piece_box.hi[2] for m in piece.members if m.role != "fillet"), abs=1e-3)


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
    ({"width_mm": 400, "uprights": 2}, "uprights", "give 1, or a case 550 mm wide"),
    ({"place": 0.5}, "place", "give 0 for free-standing, 1 for in an alcove"),
])
def test_what_cannot_be_is_refused_with_the_way_out(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("bookcase", Brief(), **chosen)
    assert refused.value.field == field


# By hand: 5 W L^3 / (384 E I), E 10 000 MPa while no timber is chosen, creep 1.6; own weight at 650 kg/m3.
def test_a_long_shelf_sags_and_a_lipping_stiffens_it():
    plain = fits(width_mm=1250, uprights=0, load_kg_m=40, depth_mm=292, back=1, shelf_mm=25)["sag"]
    weight = 9.81 * (40 * 1.2 + 1.2 * 0.28 * 0.025 * 650)
    inertia = 280 * 25**3 / 12
    assert plain.demand == pytest.approx(1.6 * 5 * weight * 1200**3 / (384 * 10_000 * inertia), rel=1e-3)
    assert plain.verdict is Verdict.FAILS
    lipped = fits(width_mm=1250, uprights=0, load_kg_m=40, depth_mm=292, back=1, shelf_mm=25, lipping=1, lipping_mm=60)["sag"]
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


# ------------------------------------------------------------------ in two cases

STUDY = Brief(
    asked="A tall bookcase, 2.30 m high", carries="large books, 330 mm tall",
    openings=(
        Opening(kind="stair", name="narrow stair", width_mm=720, headroom_mm=1950, turn="quarter", landing_depth_mm=720),
        Opening(kind="ceiling", name="study", height_mm=2420),
    ),
)
TWO = {"cases": 1, "height_mm": 2300, "shelf_count": 4}


@settings(max_examples=80, deadline=None)
@given(sizes("bookcase", {**NEAR, "cases": (1, 1), "joint_mm": (500, 1300), "shelf_count": (1, 5)}), BRIEFS)
def test_two_cases_of_any_sizes_are_sound_or_refused_in_words(chosen, brief):
    judged("bookcase", {"cases": 1, **chosen}, brief)


@settings(max_examples=15, deadline=None)
@given(sizes("bookcase", {**NEAR, "cases": (1, 1), "joint_mm": (500, 1300), "shelf_count": (1, 5)}))
def test_both_kernels_agree_on_two_cases(chosen):
    judged("bookcase", {"cases": 1, **chosen}, exact=True)


def test_joints_of_two_cases_are_in_proportion():
    piece = make("bookcase", STUDY)
    assert len(FORMS["bookcase"].carried(piece)) == 2
    assert mortises_apart(piece) == [] and [f for f in piece_findings(piece) if not f.stands] == []


def test_the_upper_case_stands_on_the_lower_and_is_only_screwed_there():
    piece = make("bookcase", Brief(), **TWO)
    groups = FORMS["bookcase"].carried(piece)
    assert set(groups) == {"lower case", "upper case"} and sum(map(len, groups.values())) == len(piece.members)
    across = [j for j in piece.joints if (j.first in groups["upper case"]) != (j.second in groups["upper case"])]
    assert {j.family for j in across} == {"upper case on lower"} and all(j.dry for j in across) and len(across) == 2
    assert min(piece.member(r).piece_box.lo[2] for r in groups["upper case"]) == max(piece.member(r).piece_box.hi[2] for r in groups["lower case"])
    # Heads under the lower case's own top, which is let into nothing: seen by no one, reached by a screwdriver.
    assert all(j.first == "A-T1" and all(p[2] < piece.member("A-T1").piece_box.lo[2] for p in j.heads(piece)) for j in across)


def test_the_joint_is_proposed_where_all_openings_come_out_alike():
    piece = make("bookcase", Brief(), **TWO)
    gaps = []
    for refs in FORMS["bookcase"].carried(piece).values():
        z = sorted((piece.member(r).piece_box.lo[2], piece.member(r).piece_box.hi[2]) for r in refs if piece.member(r).role in ("shelf", "top"))
        gaps += [b[0] - a[1] for a, b in zip(z, z[1:])]
    # By hand: 2300 less a plinth of 80, a sill of 20 and seven boards of 25, over five openings; the joint in whole millimetres.
    assert gaps == pytest.approx([(2300 - 80 - 20 - 7 * 25) / 5] * 5, abs=0.5)


def test_the_last_thing_done_is_to_set_one_case_on_the_other():
    from studio_lib.piece.order import order_of_work

    for chosen in (TWO, {**ALCOVE, "cases": 1}):
        piece = make("bookcase", Brief(), **chosen)
        order, groups = order_of_work(piece), FORMS["bookcase"].carried(piece)
        assert order.locked == ()
        loose = sum("fillet" in name for name in groups)
        on_site = order.stages[-1 - bool(loose):]
        assert not any(s.glued for s in on_site)
        assert {frozenset(g) for g in on_site[0].groups} == {frozenset(groups["lower case"]), frozenset(groups["upper case"])}
        upper = set(groups["upper case"])
        assert all(len({r in upper for r in s.refs}) == 1 for s in order.stages[:len(order.stages) - len(on_site)])


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"cases": 1, "shelf_count": 0}, "shelf_count", "give 1 or more, or one case"),
    ({"cases": 1, "height_mm": 300}, "cases", "give 320 mm or more, or one case"),
    ({**TWO, "joint_mm": 2290}, "joint_mm", "give 190 to 2170 mm"),
    ({**TWO, "height_mm": 900, "shelf_count": 12, "joint_mm": 200}, "shelf_count", "need 60"),
])
def test_two_cases_that_cannot_be_are_refused(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make("bookcase", Brief(), **chosen)
    assert refused.value.field == field


# ------------------------------------------------------------------ what the brief says of it


def proposals(brief, **chosen):
    return proposed(FORMS["bookcase"], brief, Surroundings(""), chosen)


def test_a_tall_bookcase_for_large_books_up_a_narrow_stair_is_proposed_from_the_brief():
    ready = proposals(STUDY)
    assert ready["height_mm"].value == 2300 and "client's words" in ready["height_mm"].why
    assert ready["cases"].value == 1 and "narrow stair" in ready["cases"].why
    assert "330 mm" in ready["shelf_count"].why
    piece = make("bookcase", STUDY)
    for refs in FORMS["bookcase"].carried(piece).values():
        z = sorted((piece.member(r).piece_box.lo[2], piece.member(r).piece_box.hi[2]) for r in refs if piece.member(r).role in ("shelf", "top"))
        assert min(b[0] - a[1] for a, b in zip(z, z[1:])) >= 350


def test_books_that_do_not_stand_between_the_shelves_are_told_of():
    what = "room for what stands on the shelves"
    assert fits(STUDY)[what].stands and what not in fits(Brief())
    tight = fits(STUDY, shelf_count=6)[what]
    assert tight.verdict is Verdict.FAILS and "books of 330 mm" in tight.says and "Fewer shelves" in tight.mend


# A case 280 mm deep swings up on its back edge: its diagonal under the ceiling, and 20 mm to spare.
def test_one_case_is_no_higher_than_can_be_swung_up():
    under = Brief(asked="a tall bookcase", openings=(Opening(kind="ceiling", name="study", height_mm=2420),))
    one = proposals(under)["height_mm"].value
    assert (one**2 + 280**2) ** 0.5 <= 2400 < ((one + 5) ** 2 + 280**2) ** 0.5
    assert proposals(under, cases=1)["height_mm"].value == 2400
    most = proposals(under.model_copy(update={"most_height_mm": 2300}))["height_mm"]
    assert most.value == 2300 and "as the brief allows" in most.why
    low = Brief(openings=(Opening(kind="ceiling", name="loft", height_mm=1900),))
    assert proposals(low, cases=0)["height_mm"].value < 1890 and "ceiling" in proposals(low)["height_mm"].why


def test_a_case_too_high_to_set_on_the_other_is_told_of():
    found = fits(STUDY, cases=1, height_mm=2415)["lifting one case onto the other"]
    assert found.verdict is Verdict.FAILS and "2400 mm high or lower" in found.mend
    assert fits(STUDY)["lifting one case onto the other"].stands


@pytest.mark.parametrize(("brief", "tall"), [
    (Brief(tallest_mm=290), 290), (Brief(carries="books, 280 tall"), 280), (Brief(carries="atlases and books of a height of 40 cm"), 400), (Brief(carries="large books, 330 mm tall"), 330), (Brief(carries="art books 35 cm high"), 350),
    (Brief(asked="A bookcase 2.3 m high for my books"), None), (Brief(carries="plants 300 mm tall"), None),
])
def test_the_height_of_books_is_read_from_the_brief(brief, tall):
    assert (tallest_book(brief) or (None,))[0] == tall


# ------------------------------------------------------------------ uprights between the ends

OAK, PINE = "European oak", "Eastern white pine"


@pytest.mark.parametrize("chosen", [
    {"width_mm": 2000}, {"width_mm": 2200, "uprights": 2, "lipping": 1, "lipping_mm": 50}, {"width_mm": 2000, "cases": 1, "shelf_count": 4},
    {"width_mm": 1500, "uprights": 2, "cases": 1, "doors": 2, "height_mm": 2200, "depth_mm": 340},
    {"width_mm": 1800, "uprights": 1, "wall": 1, "skirting": 1, "skirting_high_mm": 60, "skirting_deep_mm": 18},
], ids=["one", "two, lipped", "two cases", "over a cupboard", "over a skirting"])
def test_a_case_with_uprights_is_sound_its_joints_in_proportion_and_it_goes_together(chosen):
    piece = judged("bookcase", chosen, exact=True, timber=OAK)
    assert mortises_apart(piece) == [] and order_of_work(piece).locked == ()
    assert [f.says for f in piece_findings(piece) if not f.stands and "door" not in f.subject] == []


def test_bays_are_alike_close_on_the_width_and_have_their_own_shelves_and_back_boards():
    piece = make("bookcase", Brief(), timber=OAK, width_mm=2300, uprights=2, shelf_count=3, side_mm=25)
    walls = sorted((m.piece_box.lo[0], m.piece_box.hi[0]) for m in piece.members if m.role in ("side", "upright"))
    bays = [b[0] - a[1] for a, b in zip(walls, walls[1:])]
    assert bays == pytest.approx([(2300 - 4 * 25) / 3] * 3) and sum(bays) + 4 * 25 == pytest.approx(2300)
    boards = [m for m in piece.members if m.role == "shelf"]
    assert len(boards) == 3 * 4 and {m.name for m in boards if m.name.endswith("bottom")} == {"left bottom", "middle bottom", "right bottom"}
    backs = sorted((m.piece_box for m in piece.members if m.role == "back board"), key=lambda b: b.lo[0])
    assert {round(b.lo[0] - a.hi[0], 3) for a, b in zip(backs, backs[1:])} == {settled(FORMS["bookcase"], Brief(), Surroundings(OAK), {})["back_gap_mm"]}
    # No back board is screwed where an upright stands and no shelf is.
    for b in backs:
        assert any(m.piece_box.lo[0] < b.centre[0] < m.piece_box.hi[0] for m in boards)


def test_uprights_stand_on_the_floor_and_carry_the_boards_from_both_faces_and_the_top():
    piece = make("bookcase", Brief(), timber=OAK, width_mm=2000, uprights=1, shelf_count=4)
    upright = piece.member("A-C1")
    assert upright.piece_box.lo[2] == 0 and placed(piece, "A-C1").bounding_box()[2] == pytest.approx(0, abs=1e-6)
    met = [j for j in piece.joints if "A-C1" in (j.first, j.second)]
    assert {j.kind for j in met} == {"housing"} and len(met) == 2 * 5 + 1
    assert {j.second for j in met if j.first == "A-C1"} == {"A-T1"}
    with pytest.raises(ValueError, match="give 10 mm or less"):
        make("bookcase", Brief(), timber=OAK, width_mm=2000, uprights=1, joints={"shelf into upright": {"depth_mm": 14.0}})


@pytest.mark.parametrize("timber", [OAK, PINE])
@pytest.mark.parametrize("width", [600, 900, 1200, 1500, 1800, 2100, 2400])
def test_a_wide_case_is_proposed_with_uprights_so_that_its_shelves_do_not_sag(width, timber):
    brief = Brief(carries="books", place="indoors, heated")
    ready = proposed(FORMS["bookcase"], brief, Surroundings(timber), {"width_mm": width})
    n = ready["uprights"].value
    assert n == 0 if width <= 1000 else n >= 1 or width <= 1200
    values = settled(FORMS["bookcase"], brief, Surroundings(timber), {"width_mm": width})
    found = FORMS["bookcase"].fit(make("bookcase", brief, timber=timber, width_mm=width), values, brief)
    if n:
        assert next(f for f in found if f.what == "sag").verdict is not Verdict.FAILS and "bays of" in ready["uprights"].why


def test_where_a_long_shelf_sags_an_upright_is_named_as_a_way_out():
    brief = Brief(carries="books")
    assert "an upright between the ends" in fits(brief, width_mm=1800, uprights=0)["sag"].mend
    assert "one more upright" in fits(brief, width_mm=2400, uprights=1, shelf_mm=22)["sag"].mend
    assert "upright" not in fits(brief, width_mm=700, shelf_mm=15, uprights=0)["sag"].mend


@pytest.mark.parametrize(("words", "count"), [
    ("A bookcase with an upright in the middle", 1), ("A bookcase in three bays, for books", 2), ("Low shelves with two dividers", 2), ("A bookcase with a central division.", 1),
    ("A bookcase, no dividers", 0), ("A bookcase as a room divider", 0), ("A bookcase at a partition wall", 0), ("A bookcase that comes in two sections", 0), ("A bookcase in two colours", 0), ("A bookcase for two bay trees", 0),
])
def test_uprights_in_the_clients_words_are_proposed_and_kept(words, count):
    brief = Brief(asked=words)
    ready = proposed(FORMS["bookcase"], brief, Surroundings(OAK), {"width_mm": 960.0})
    assert ready["uprights"].value == count and (ready["uprights"].source == "brief") is bool(count)
    hung = proposed(FORMS["hung case"], brief, Surroundings(OAK), {"width_mm": 960.0})
    assert hung["uprights"].value == count
    # No room for the bays: none.
    assert proposed(FORMS["bookcase"], brief, Surroundings(OAK), {"width_mm": 300.0})["uprights"].value == 0
