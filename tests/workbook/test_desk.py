"""The desk: accepted changes are saved, refused ones leave everything as it was."""

import pytest

from studio_lib.demo import demo
from studio_lib.jobbook import open_book
from workbook.desk import Desk


@pytest.fixture
def book(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield book
    book.close()


@pytest.fixture
def desk(book):
    return Desk(book)


def test_a_change_is_saved_at_once_with_its_reason(desk, book):
    assert desk.change("brief.people", 8)
    again = open_book(book.folder)
    assert again.open(demo().ref)[0].brief.people == 8
    assert again.revisions(demo().ref)[0].reason == "Brief people: 6 -> 8"


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("brief.people", 0, "give 1 or more"),
        ("items.0.sizes.slat_count", 59, "Fewer slats"),
        ("items.0.joints.apron into leg.girth_mm", 5, "girth"),
        ("items.0.form", "slatted throne", "no form"),
        ("timber.species", "Unobtainium", "Unobtainium"),
    ],
)
def test_a_refusal_stands_beside_its_field_and_nothing_changes(desk, path, value, words):
    before = desk.commission
    assert not desk.change(path, value)
    assert words in desk.refused[path]
    assert desk.commission is before and desk.revision == 1


def test_a_good_value_clears_its_refusal(desk):
    desk.change("brief.people", 0)
    desk.change("brief.people", 5)
    assert desk.refused == {}


def test_one_figure_on_the_move_is_one_revision(desk, book):
    for length in range(1800, 1900, 10):
        desk.change("items.0.sizes.length_mm", length)
    assert desk.revision == 2
    assert book.open(demo().ref)[0].items[0].sizes["length_mm"] == 1890
    desk.change("items.0.sizes.width_mm", 900)
    assert desk.revision == 3


def test_two_pages_keep_both_changes(book):
    mine, theirs = Desk(book), Desk(book)
    theirs.change("brief.years_wanted", 30)
    assert mine.change("brief.people", 8)
    assert (mine.commission.brief.people, mine.commission.brief.years_wanted) == (8, 30)
    assert "Years" in mine.notice or "years" in mine.notice


def test_two_pages_on_one_field_are_told_not_overwritten(book):
    mine, theirs = Desk(book), Desk(book)
    theirs.change("brief.people", 10)
    assert not mine.change("brief.people", 8)
    assert "10" in mine.refused["brief.people"]
    assert book.open(demo().ref)[0].brief.people == 10
    assert mine.change("brief.people", 8), "said again, it is meant"


def test_going_back_is_a_new_revision(desk, book):
    desk.change("brief.people", 8)
    first, _ = book.open(demo().ref, 1)
    assert desk.put(first, "back to revision 1")
    assert desk.revision == 3 and desk.commission == demo()
