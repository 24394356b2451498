"""What is heard in the client's words is offered beside them, and a press takes it."""

import pytest

from studio_lib.commission import Commission
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import Page
from tests.workbook.test_panels import inside, words

ASKED = "A dining table for eight, 2.2 m long, through a 78 cm door, for about 3,500 euros."


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(Commission(ref="C1", title="Just begun"))
    yield Desk(book)
    book.close()


def buttons(panel) -> dict:
    return {one.description: one for one in inside(panel) if hasattr(one, "click")}


def test_one_reading_is_taken_and_no_longer_offered(desk):
    panel = Page("brief", desk).panel()
    assert "8 people at once" not in buttons(panel)
    desk.change("brief.asked", ASKED)
    buttons(panel)["8 people at once"].click()
    assert desk.commission.brief.people == 8 and "8 people at once" not in buttons(panel)
    assert desk.commission.brief.budget is None, "nothing else was taken with it"
    desk.undo()
    assert desk.commission.brief.people == 6 and "8 people at once" in buttons(panel)


def test_all_of_it_is_taken_with_what_follows_from_the_piece(desk):
    panel = Page("brief", desk).panel()
    desk.change("brief.asked", ASKED)
    buttons(panel)["Take all of it"].click()
    c = desk.commission
    assert [(i.form, i.name) for i in c.items] == [("table", "dining table")] and c.items[0].sizes == {"length_mm": 2200.0}
    assert c.brief.openings[0].width_mm == 780 and str(c.brief.budget) == "3500" and desk.notice == ""
    assert "Take all of it" not in buttons(panel) and "Heard in their words" not in words(panel)


def test_the_rest_is_left_until_their_words_change(desk):
    panel = Page("brief", desk).panel()
    desk.change("brief.asked", ASKED)
    buttons(panel)["Leave the rest"].click()
    assert "8 people at once" not in buttons(panel)
    desk.change("brief.asked", ASKED + " And a bench.")
    assert {"8 people at once", "A piece: a bench"} <= set(buttons(panel))
