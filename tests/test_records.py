"""The next quote knows better: finished jobs move the hours of later ones."""

import pytest

from studio_lib.demo import demo
from studio_lib.derive import derive, past_ratios
from studio_lib.jobbook import open_book
from workbook.desk import Desk


def past(ref, factor, finished=True):
    """A finished job whose sanding took ``factor`` times what was reckoned."""
    document = demo().model_copy(update={"ref": ref})
    reckoned = sum(w.standard_hours for w in derive(document).work if w.time.operation == "sand")
    return document.changed("hours", [
        {"day": "2026-10-01", "operation": "sand", "minutes": 60 * reckoned * factor / 2},
        {"day": "2026-10-02", "operation": "sand", "minutes": 60 * reckoned * factor / 2},
    ]).changed("finished", finished)


def test_ratios_come_out_as_they_went_in():
    assert past_ratios([past("P1", 1.4), past("P2", 1.6)])["sand"] == pytest.approx([1.4, 1.6])


def test_a_slow_sander_quotes_more_sanding_and_nothing_else(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    fresh = Desk(book, demo().ref).derived.price
    for n in range(4):
        book.add(past(f"P{n}", 1.5))
    learnt = Desk(book, demo().ref).derived.price

    def median(price, operation):
        return sum(r.hours.median for r in price.labour if r.work.time.operation == operation)

    assert 1.35 < median(learnt, "sand") / median(fresh, "sand") < 1.5
    assert median(learnt, "glue up") == median(fresh, "glue up")
    assert {r.hours.records for r in learnt.labour if r.work.time.operation == "sand"} == {4}
    assert learnt.net > fresh.net


def test_unfinished_jobs_and_the_job_itself_teach_nothing(tmp_path):
    book = open_book(tmp_path)
    book.add(past("P1", 3.0, finished=False))
    book.add(past("P2", 3.0))
    assert Desk(book, "P2").known.records == ()
    assert [list(r.ratios) for r in Desk(book, "P1").known.records] == [["sand"]]
