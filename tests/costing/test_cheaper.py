"""What would make it cheaper: each saving is what the changed document really costs less."""

import pytest

from studio_lib.costing.cheaper import MOST, cheaper, no_timber_tried, trials
from studio_lib.demo import demo
from studio_lib.derive import Known, derive


def anew(document):
    return derive(document.model_copy(update={"boards": document.boards.model_copy(update={"kept_layout": None})}))


@pytest.fixture(scope="module")
def found():
    told = []
    return cheaper(derive(demo()), lambda done, of: told.append((done, of))), told


def test_ten_changes_the_greatest_saving_first_with_progress(found):
    savings, told = found
    assert len(savings) == MOST and [s.saves for s in savings] == sorted((s.saves for s in savings), reverse=True)
    assert told[-1][0] == told[-1][1] and [d for d, _ in told] == sorted(d for d, _ in told)


def test_each_saving_is_the_difference_of_two_prices(found):
    before = anew(demo()).price
    for s in found[0]:
        after = anew(s.document).price
        assert s.saves == before.net_at(80) - after.net_at(80) > 0
        assert s.hours == before.hours_at(50) - after.hours_at(50)
        assert s.findings and s.look


def test_a_check_that_gets_worse_is_told(found):
    now = {(f.piece, f.subject, f.what) for f in derive(demo()).findings if f.verdict.value == "will not do"}
    for s in found[0]:
        then = {(f.piece, f.subject, f.what) for f in derive(s.document).findings if f.verdict.value == "will not do"}
        if then - now:
            assert s.worse and "will not do" in s.findings


def test_every_lever_is_tried():
    assert {t.lever for t in trials(derive(demo()))} >= {"section", "size", "parts", "joint", "finish"}


def test_it_can_be_stopped():
    asked = []
    cheaper(derive(demo()), None, lambda: bool(asked.append(1)) or len(asked) > 3)
    assert len(asked) <= 6


def test_another_timber_is_tried_once_both_have_a_price():
    from studio_lib.timber import own_species

    assert "give Black locust and another a price" in no_timber_tried(derive(demo()))
    rows = [
        {"name": "Black locust", "price_per_m3": "1800", "price_on": "2026-11-20"},
        {"name": "European oak", "price_per_m3": "900", "price_on": "2026-11-20"},
    ]
    d = derive(demo(), Known(library=own_species(rows)))
    assert no_timber_tried(d) == ""
    other = next(s for s in cheaper(d) if s.lever == "timber")
    timber = sum(x.amount for x in anew(demo()).price.materials if x.kind == "timber")
    # Half the price a cubic metre, a fifth on top of materials, a tenth of the price for profit.
    assert float(other.saves) == pytest.approx(float(timber) / 2 * 1.2 / 0.9, rel=1e-6)
