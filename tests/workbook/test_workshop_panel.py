"""The Workshop page used as a maker uses it."""

from datetime import date

import ipywidgets as w
import pytest
from test_panels import inside, labelled, words

from studio_lib.demo import demo
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import Page


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield Desk(book)
    book.close()


def press(panel, label):
    next(b for b in inside(panel) if isinstance(b, w.Button) and b.description == label).click()


def test_a_step_ticked_off_moves_what_follows_and_can_be_taken_back(desk):
    panel = Page("workshop", desk).panel()
    step = labelled(panel, "Step")
    assert step.value == "drawing"
    press(panel, "It is done")
    assert [s.step for s in desk.commission.shop.done] == ["drawing"]
    assert step.value == "boards" and "\u2713 yes" in words(panel)
    press(panel, "Take the last tick back")
    assert desk.commission.shop.done == () and step.value == "drawing"


def test_a_snag_is_noted_and_closed(desk):
    panel = Page("workshop", desk).panel()
    labelled(panel, "Kind").value = "snag"
    labelled(panel, "What").value = "chip at the end of the third slat"
    press(panel, "Write down")
    assert desk.commission.shop.log[-1].closed_on is None
    assert "chip at the end of the third slat, the maker; open" in words(panel)
    press(panel, "Put right")
    assert desk.commission.shop.log[-1].closed_on == date.today()
    assert "; put right" in words(panel)


def test_a_cold_glue_up_is_told_at_once_and_a_bad_figure_refused(desk):
    panel = Page("workshop", desk).panel()
    labelled(panel, "Material").value = "polyurethane, one-part"
    labelled(panel, "What").value = "end frames"
    warm = labelled(panel, "Warmth, \u00b0C")
    warm.value = "cold"
    press(panel, "Write down")
    assert "'cold' is not a number" in desk.notice and len(desk.commission.shop.log) == 2
    warm.value = "3"
    press(panel, "Write down")
    assert "3 \u00b0C; polyurethane, one-part wants 5 \u00b0C or more" in words(panel)


def test_holidays_as_typed_move_the_finish(desk):
    panel = Page("workshop", desk).panel()
    before = desk.derived.plan().finish_likely
    box = labelled(panel, "Other days off")
    box.value = "26.3.2027"
    assert "'26.3.2027' is not a day; give year, month and day" in words(panel)
    box.value = "2027-01-11 to 2027-01-15"
    assert desk.derived.plan().finish_likely > before


def test_another_job_needs_both_its_days(desk):
    panel = Page("workshop", desk).panel()
    press(panel, "Add this job")
    assert desk.notice == "Give the first and the last day of the other job."
    labelled(panel, "From").value = date(2027, 3, 5)
    labelled(panel, "To").value = date(2027, 3, 1)
    press(panel, "Add this job")
    assert "its last day must not come before its first" in words(panel)
    labelled(panel, "To").value = date(2027, 3, 8)
    press(panel, "Add this job")
    assert len(desk.commission.shop.other_jobs) == 2


def test_going_back_to_an_earlier_revision_leaves_the_log_as_it_is(desk):
    desk.change("shop.log", [])
    desk.change("items.0.sizes.width_mm", 950)
    desk.go_back(1)
    assert desk.commission.shop.log == () and "width_mm" not in desk.commission.items[0].sizes
