"""The timber page: weights, readings, timbers of one's own, what may be said."""

from datetime import date

import pytest
from test_panels import inside, labelled, words

from studio_lib.commission import Commission
from studio_lib.demo import demo
from studio_lib.finding import Verdict
from studio_lib.jobbook import open_book
from studio_lib.timber.try_out import DETAILS
from workbook.desk import Desk
from workbook.end_grain import EndGrain
from workbook.page import Page


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield Desk(book)
    book.close()


def test_a_weight_moves_the_ranking_and_says_how_fragile_it_is(desk):
    panel = Page("timber", desk).panel()
    before = [x.species for x in desk.derived.weighing.ranked]
    labelled(panel, "Hard surface").value = 10
    labelled(panel, "Moves little").value = 0
    after = [x.species for x in desk.derived.weighing.ranked]
    assert before != after and desk.derived.weighing.says.split(".")[0] in words(panel)


def test_readings_say_which_boards_are_ready_and_why(desk):
    desk.change("timber.readings", [])
    panel = Page("timber", desk).panel()
    for day in (3, 10, 17):
        for board, percent in (("Y2", "15.2"), ("Y4", "21")):
            labelled(panel, "Day").value = date(2026, 11, day)
            labelled(panel, "Board").value = board
            labelled(panel, "Shown, %").value = percent
            labelled(panel, "Write down").click()
    states = {b.board: b.ready for b in desk.derived.readiness.boards}
    assert states == {"Y2": True, "Y4": False}
    assert "give or take" in words(panel)
    labelled(panel, "Shown, %").value = "wet"
    labelled(panel, "Write down").click()
    assert "'wet' is not a number" in words(panel) and len(desk.commission.timber.readings) == 6


def test_a_timber_of_ones_own_is_kept_and_can_be_chosen(desk):
    panel = Page("timber", desk).panel()
    new = next(one for one in inside(panel) if getattr(one, "description", "") == "Timber" and hasattr(one, "placeholder"))
    new.value = "Wild cherry of my own"
    for label, said in (("Looks like", "Black cherry"), ("Hardwood or softwood", "hardwood"), ("Botanical name", "Prunus avium"), ("Density at 12 %, kg/m3", "600"),
                        ("Shrinks flat-sawn, %", "8.2"), ("Shrinks quarter-sawn, %", "5.0"), ("On whose word", "weighed in my shop")):
        labelled(panel, label).value = said
    labelled(panel, "Keep it").click()
    assert desk.book.own_timbers[0]["name"] == "Wild cherry of my own"
    assert desk.change("timber.species", "Wild cherry of my own")
    again = Desk(open_book(desk.book.folder))
    assert again.derived.species.density_12pct_kg_m3 == 600
    assert again.derived.species.shrink_tangential_pct == 8.2
    assert again.derived.price.gross > 0


def test_a_figure_of_ones_own_that_cannot_be_is_refused_by_the_name_of_its_field(desk):
    panel = Page("timber", desk).panel()
    new = next(one for one in inside(panel) if getattr(one, "description", "") == "Timber" and hasattr(one, "placeholder"))
    new.value = "European oak"
    labelled(panel, "Modulus of rupture, MPa").value, labelled(panel, "On whose word").value = "9", "broken in my shop"
    labelled(panel, "Keep it").click()
    assert "'modulus of rupture, MPa' is 9" in words(panel) and "mor_mpa" not in words(panel) and desk.book.own_timbers == []


def test_a_timber_that_says_too_little_is_refused_in_words(desk):
    panel = Page("timber", desk).panel()
    new = next(one for one in inside(panel) if getattr(one, "description", "") == "Timber" and hasattr(one, "placeholder"))
    new.value = "Mystery wood"
    labelled(panel, "Keep it").click()
    assert "Mystery wood" in words(panel) and desk.book.own_timbers == []


def test_a_price_of_ones_own_reaches_the_comparison(desk):
    desk.keep_own_timbers([{"name": "Black locust", "price_per_m3": "1800", "price_on": "2026-11-20"}])
    panel = Page("timber", desk).panel()
    desk.change("timber.compared", ["Teak"])
    rows = {x.species: x for x in desk.derived.on_this_piece}
    assert rows["Black locust"].boards_price and rows["Teak"].boards_price is None
    assert "no price of yours" in words(panel)


def test_details_that_trap_water_shorten_the_life_of_a_middling_timber(desk):
    desk.change("timber.species", "European larch")
    desk.change("timber.details.end_grain_sealed", True)
    before = desk.derived.life
    desk.change("timber.details.traps_water", True)
    assert desk.derived.life.use_class != before.use_class
    assert desk.derived.life.says != before.says


def try_it(panel, name, where=""):
    labelled(panel, "Detail").value = name
    labelled(panel, "On what").value = where
    labelled(panel, "Try it").click()


@pytest.mark.parametrize("name", [d.name for d in DETAILS])
def test_every_detail_is_kept_judged_and_drawn_in_both_seasons(desk, name):
    panel = Page("timber", desk).panel()
    try_it(panel, name, "the one I mean")
    assert desk.commission.timber.tried[0].detail == name
    said = words(panel)
    assert f'aria-label="{name}, driest and wettest, side by side"' in said
    assert "Summer, driest, 12 %" in said and "Winter, wettest, 25 %" in said
    assert "Something went wrong" not in said and desk.notice == "" and desk.refused == {}
    assert any("the one I mean" in f.subject and f.stage == "timber" for f in desk.derived.findings)


def test_tried_details_survive_reload_and_an_earlier_revision(desk):
    panel = Page("timber", desk).panel()
    before = desk.revision
    try_it(panel, "breadboard end", "table top")
    labelled(panel, "Slot, mm").value = "30.0"
    again = Desk(open_book(desk.book.folder))
    assert again.commission.timber.tried[0].figures["slot_mm"] == 30.0
    assert "table top: breadboard end" in words(Page("timber", again).panel()).casefold()
    assert again.go_back(before) and again.commission.timber.tried == ()


def test_a_tried_detail_is_edited_and_taken_away(desk):
    panel = Page("timber", desk).panel()
    try_it(panel, "mitre")
    try_it(panel, "breadboard end")
    labelled(panel, "Slot, mm").value = "8.5"
    assert any(f.subject == "breadboard end" and f.verdict is Verdict.FAILS for f in desk.derived.findings)
    labelled(panel, "Slot, mm").value = "40.0"
    assert not any(f.subject == "breadboard end" and f.verdict is Verdict.FAILS for f in desk.derived.findings)
    labelled(panel, "Take away").click()
    assert [t.detail for t in desk.commission.timber.tried] == ["breadboard end"] and desk.notice == ""
    labelled(panel, "Fixing from the middle, mm").value = "900.0"
    assert "none past 400 mm" in words(panel)


def test_a_ring_drawn_on_the_end_moves_every_member_and_cups_the_board(desk):
    panel = Page("timber", desk).panel()
    flat = desk.derived.movement_mm(100.0, 25.0)
    end = next(one for one in inside(panel) if isinstance(one, EndGrain))
    end.points = [[-80.0, -12.0], [0.0, 12.0], [80.0, -12.0]]
    assert desk.commission.timber.rings.points[1] == (0.0, 12.0)
    assert 0 < desk.derived.movement_mm(100.0, 25.0) < flat
    said = words(panel)
    assert "as drawn" in said and "bark face goes hollow" in said and "heart face goes hollow" in said
    assert end.heart[1] < 0
    # The same ring on the same board the other way up.
    pairs = labelled(panel, "Three places, x y; x y; x y")
    angle = desk.derived.ring_angle_deg
    pairs.value = "-80 12; 0 -12; 80 12"
    assert desk.derived.ring_angle_deg == pytest.approx(angle) and end.heart[1] > 0
    pairs.value = "-80 0; 0 0; 80 0"
    assert "all but straight" in words(panel)
    pairs.value = "-80 12; 0 -12; 180 12"
    assert "lies off a board of 200 x 30 mm" in words(panel)
    labelled(panel, "Rings to the face, degrees").value = "90"
    assert desk.derived.ring_angle_deg == 90 and "as given" in words(panel)
    labelled(panel, "Take the drawing away").click()
    assert desk.commission.timber.rings is None and end.points == []


def test_quarter_sawn_boards_leave_wider_gaps_between_slats(desk):
    wet, made, dry = desk.derived.slat_gaps["terrace table"]
    assert desk.change("timber.ring_angle_deg", 90)
    calm_wet, calm_made, calm_dry = desk.derived.slat_gaps["terrace table"]
    assert calm_made == made and wet < calm_wet < made < calm_dry < dry


def test_a_document_from_before_these_fields_still_opens(desk):
    plain = desk.commission.model_dump(mode="json")
    for name in ("tried", "rings", "ring_angle_deg", "glue", "finish_family", "fixings_metal", "steel_wool", "meter_correction_pct"):
        del plain["timber"][name]
    assert Commission.model_validate(plain) == desk.commission


def test_a_heart_inside_the_board_is_said_not_drawn(desk):
    desk.change("timber.rings", {"width_mm": 200, "thickness_mm": 60, "points": [[-20, 0], [0, 20], [20, 0]]})
    assert "cut the heart out" in words(Page("timber", desk).panel())
    assert desk.notice == ""


def test_what_is_chosen_together_is_checked(desk):
    panel = Page("timber", desk).panel()
    assert "Choose a glue and a finish" in words(panel)
    desk.change("timber.species", "European oak")
    labelled(panel, "Glue").value = "PVA, D3"
    labelled(panel, "Finish").value = "exterior varnish"
    labelled(panel, "Screws, bolts, plates").value = "bare steel"
    said = words(panel)
    assert "blue-black stain" in said and "EN 204 D3: serves to use class 2" in said
    assert any(f.what == "what not to combine" for f in desk.derived.findings)
    assert desk.commission.brief.finish == "varnish" and not any(f.what == "what is priced" for f in desk.derived.findings)
    assert not desk.change("timber.glue", "glue stick")
    assert "leave it empty" in " ".join(desk.refused.values())


def test_the_comparison_shows_the_sections_needed(desk):
    panel = Page("timber", desk).panel()
    desk.change("timber.compared", ["Western red cedar", "Teak"])
    said = words(panel)
    assert "Needed for equal sag, mm" in said and "EN 16449" in said and "cube root of stiffness" in said
    first, cedar, _ = desk.derived.on_this_piece
    assert all(f"{s.needed_mm:.1f}" in said for s in cedar.sections)
    assert all(s.needed_mm > s.drawn_mm for s in cedar.sections), "cedar is softer in bending than what is drawn"


def test_each_reading_stands_beside_what_it_means(desk):
    said = words(Page("timber", desk).panel())
    # 17.2 % read in wood of 14 °C, a meter set at 20: 0.15 points a kelvin, two makers' manuals.
    assert "17.2 \u2192 18.1" in said and "\u00b1 2.0" in said and "two meter makers' manuals" in said
    desk.change("timber.meter_correction_pct", -1.5)
    panel = Page("timber", desk).panel()
    assert "17.2 \u2192 16.6" in words(panel)
    labelled(panel, "Take the last one away").click()
    assert len(desk.commission.timber.readings) == 5


def test_nothing_is_claimed_that_the_invoice_does_not_carry(desk):
    assert any("certified" in x.text for x in desk.derived.sayings.may_not)
    desk.change("timber.origin.market", "EU")
    assert desk.derived.law_findings


def test_a_liked_timber_is_first_and_one_that_rots_is_told_of_at_the_top(desk):
    desk.change("brief.wants.no_tropical", False)
    desk.change("brief.wants.liked", ["Teak", "European beech"])
    said = words(Page("timber", desk).panel())
    assert "Teak, liked by the client, can be used here" in said
    assert "European beech, liked by the client, cannot be used here" in said
    assert said.index("liked by the client") < said.index("Points of 100")
    desk.change("brief.place", "indoors, unheated")
    said = words(Page("timber", desk).panel())
    assert "European beech, liked by the client, can be used here" in said and "under cover" not in said
