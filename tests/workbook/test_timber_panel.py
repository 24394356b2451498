"""The timber page: weights, readings, timbers of one's own, what may be said."""

from datetime import date

import pytest
from test_panels import inside, labelled, words

from studio_lib.demo import demo
from studio_lib.jobbook import open_book
from studio_lib.timber.try_out import DETAILS
from workbook.desk import Desk
from workbook.page import Page


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield Desk(book)
    book.close()


def test_a_weight_moves_the_ranking_and_says_how_fragile_it_is(desk):
    panel = Page("timber", desk).panel()
    before = [x.species for x in desk.derived.weighing.ranked[:3]]
    labelled(panel, "Hard surface").value = 10
    labelled(panel, "Moves little").value = 0
    after = [x.species for x in desk.derived.weighing.ranked[:3]]
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
    labelled(panel, "For a new timber").value = (
        "botanical_name: Prunus avium\ngroup: hardwood\ndensity_12pct_kg_m3: 600\nsource: weighed in my shop\nlike: Black cherry")
    labelled(panel, "Keep it").click()
    assert desk.book.own_timbers[0]["name"] == "Wild cherry of my own"
    assert desk.change("timber.species", "Wild cherry of my own")
    again = Desk(open_book(desk.book.folder))
    assert again.derived.species.density_12pct_kg_m3 == 600
    assert again.derived.price.gross > 0


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


@pytest.mark.parametrize("name", [d.name for d in DETAILS])
def test_every_detail_is_judged_and_drawn(desk, name):
    panel = Page("timber", desk).panel()
    labelled(panel, "Detail").value = name
    said = words(panel)
    assert "wettest" in said and "Something went wrong" not in said and desk.notice == ""


def test_a_breadboard_slot_too_short_says_so(desk):
    panel = Page("timber", desk).panel()
    labelled(panel, "Detail").value = "breadboard end"
    labelled(panel, "Slot, mm").value = 8.5
    assert "will not do" in words(panel)


def test_a_board_near_the_heart_cups_away_from_it(desk):
    panel = Page("timber", desk).panel()
    assert "bark" in words(panel)
    labelled(panel, "Heart below the middle, mm").value = -5
    assert "below_mm is -5" in words(panel)


def test_nothing_is_claimed_that_the_invoice_does_not_carry(desk):
    assert any("certified" in x.text for x in desk.derived.sayings.may_not)
    desk.change("timber.origin.market", "EU")
    assert desk.derived.law_findings
