"""Loads and what decides, as the maker meets them on the pages."""

import pytest
from test_panels import labelled, words

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import Page


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield Desk(book)
    book.close()


def test_a_load_of_the_makers_own_is_kept_told_of_and_taken_away_again(desk):
    panel = Page("sizes", desk).panel()
    box = labelled(panel, "Down on one place, N")
    asked = box.value
    box.value = 2 * asked
    assert desk.commission.items[0].loads == {"down": 2 * asked}
    assert "The maker's own figure" in words(panel) or "the maker's own figure" in words(panel)
    assert derive(desk.commission).loads(0)["down"].force_n == 2 * asked
    desk.change("items.0.loads.down", None)
    assert desk.commission.items[0].loads == {} and box.value == asked


def test_an_absurd_load_is_refused_in_words_and_changes_nothing(desk):
    panel = Page("sizes", desk).panel()
    labelled(panel, "Down on one place, N").value = 5e6
    assert desk.commission.items[0].loads == {}
    assert "give 0 to 20000" in words(panel)


def test_more_load_uses_more_and_a_load_of_another_kind_of_piece_is_left_out():
    plain, heavy = demo(), demo().changed("items.0.loads", {"down": 2500.0, "books": 900.0})

    def used(c):
        d = derive(c)
        return d.deciding(d.piece)[0][0].utilisation

    assert used(heavy) > used(plain)
    assert "books" not in derive(heavy).loads(0)


def test_what_decides_is_named_drawn_and_pointed_out(desk):
    panel = Page("sizes", desk).panel()
    choice = labelled(panel, "What decides")
    assert "% used:" in choice.options[0][0]
    shares = [int(text.split(" %")[0]) for text, _ in choice.options]
    assert shares == sorted(shares, reverse=True)
    choice.value = 1
    said = words(panel)
    assert "<svg" in said and "times as great" in said and "to scale" in said


def test_the_joints_page_says_what_one_joint_holds_and_on_what_evidence(desk):
    said = words(Page("joints", desk).panel())
    assert "What one of them holds" in said and "How good the evidence is" in said and "N m" in said


def test_the_hardest_use_is_one_button_and_no_lower_than_public_use(desk):
    from studio_lib.structure.loads import OF_KIND, SEVERE

    for kind, hard in SEVERE.items():
        for name, value in hard.items():
            assert value >= OF_KIND[kind]["public"][name].force_n
    panel = Page("sizes", desk).panel()
    labelled(panel, "For the hardest use").click()
    assert desk.commission.items[0].loads == SEVERE["table"]
