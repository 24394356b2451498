"""What the client asked for, point by point: taken apart from their words, answered by the maker, printed on the quote."""

from datetime import date

import pytest

from studio_lib.brief.points import LONGEST, MOST, taken_apart, unanswered, with_points
from studio_lib.commission import Brief, Point
from studio_lib.costing.billing import before_it_goes
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.papers import words



def test_a_wish_falls_into_what_a_person_would_count_as_its_parts():
    asked = ("A writing table, one wide shallow drawer under the top, two screens on it. Cables must go somewhere; it costs 3,000 at the most, "
             "and must come apart, light.\nNothing tropical, please")
    assert taken_apart(asked) == (
        "A writing table, one wide shallow drawer under the top, two screens on it", "Cables must go somewhere",
        "it costs 3,000 at the most, and must come apart, light", "Nothing tropical, please",
    )
    assert taken_apart("") == taken_apart(" .\n ") == ()


def test_no_wish_is_longer_than_the_document_allows():
    brief = Brief(asked="word " * 200 + ". " + "one thing more. " * 60)
    points = Brief(points=tuple(Point(**p) for p in with_points(brief))).points
    assert 0 < len(points) <= MOST and max(len(p.words) for p in points) <= LONGEST


def test_words_said_later_become_points_and_answers_stay():
    brief = Brief(asked="A bench. A low shelf.", points=(Point(words="A bench", answer="in it", note="with a back"),))
    rows = with_points(brief)
    assert rows == [{"words": "A bench", "answer": "in it", "note": "with a back"}, {"words": "A low shelf"}]
    assert unanswered(Brief(points=tuple(Point(**r) for r in rows))) == ("A low shelf",)


def test_the_quote_says_of_each_point_whether_it_is_in_the_price():
    c = demo().changed("brief.points", [
        {"words": "one drawer", "answer": "not in it", "note": "a table with one costs more: ask me"}, {"words": "slats", "answer": "in it"}, {"words": "a gallery"},
    ])
    d = derive(c)
    assert words.points(d) == [("one drawer", "not in this price: a table with one costs more: ask me"), ("slats", "in this price"), ("a gallery", "not settled yet")]
    assert not any(p.startswith("You asked: ") for p in words.paragraphs(d)), "said once, with its answer"
    open_things = " ".join(before_it_goes(d, "a maker", date(2026, 11, 25)))
    assert "no answer yet to: a gallery" in open_things
    none = derive(c.changed("brief.points", []))
    assert any(p.startswith("You asked: ") for p in words.paragraphs(none))
    assert "does not say what of them is in the price" in " ".join(before_it_goes(none, "a maker", date(2026, 11, 25)))


@pytest.mark.parametrize(("asked", "points"), [
    ("A sideboard of oak, 1.6 m long, and over it a shelf for the best cups.", ("A sideboard of oak, 1.6 m long", "over it a shelf for the best cups")),
    ("We would like a long table for the garden, and two benches that go under it.", ("We would like a long table for the garden", "two benches that go under it")),
    ("A wardrobe, and next to it, under the slope, three open shelves.", ("A wardrobe", "next to it, under the slope, three open shelves")),
    ("Eight tables, 60 x 60, and 16 stools.", ("Eight tables, 60 x 60", "16 stools")),
    ("A desk with a drawer, and a place for cables.", ("A desk with a drawer, and a place for cables",)), ("A cupboard, and above it the lamp hangs.", ("A cupboard, and above it the lamp hangs",)),
    ("We eat at six, and a table is what we miss.", ("We eat at six, and a table is what we miss",)), ("A table and two benches.", ("A table and two benches",)),
])
def test_each_piece_that_is_asked_for_is_a_point_of_its_own(asked, points):
    assert taken_apart(asked) == points


def test_a_long_point_is_taken_apart_between_words_and_none_is_lost():
    asked = ("We would be glad of a cabinet for the landing with doors that close softly behind all the coats and scarves and hats that four grown people and three dogs bring home from the fields every day "
             "of a long wet winter, in which nothing may go mouldy and everything has a hook (high, low, and in between, some of them for leads) of its own")
    points = taken_apart(asked)
    assert len(points) > 1 and max(map(len, points)) <= LONGEST
    letters = "".join(points).replace("\u2026", "").replace(" ", "").replace(",", "")
    assert letters == asked.replace(" ", "").replace(",", "")
    words = set(asked.replace(",", "").split())
    assert all(word in words for p in points for word in p.replace("\u2026", "").replace(",", "").split())
    endless = taken_apart("very " * 120 + "long")
    assert len(endless) > 1 and all(p.endswith("\u2026") for p in endless[:-1]) and max(map(len, endless)) <= LONGEST


def test_a_point_there_is_already_is_not_split_again():
    whole = "A sideboard of oak, and over it a shelf for the best cups"
    assert with_points(Brief(asked=whole + ".", points=(Point(words=whole, answer="in it"),))) == [{"words": whole, "answer": "in it", "note": ""}]
