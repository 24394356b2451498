"""Time written down, held against what was reckoned, and what is learnt of past ranges."""

import json
from datetime import UTC, date, datetime, timedelta

import pytest

from studio_lib.commission import Estimate, HourEntry
from studio_lib.costing.bench import DRAWING, bench_page_html, loggable
from studio_lib.costing.calibration import calibration
from studio_lib.costing.hours import learnt
from studio_lib.costing.records import (
    PastRecord,
    against_estimate,
    as_reckoned,
    bench_entries,
    elapsed_minutes,
    past_record,
)
from studio_lib.demo import demo
from studio_lib.derive import derive, past_records

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def test_a_timer_left_running_is_not_written_down():
    assert elapsed_minutes(NOW - timedelta(minutes=42), NOW) == 42
    with pytest.raises(ValueError, match="has run 30 hours, so it was left running"):
        elapsed_minutes(NOW - timedelta(hours=30), NOW)
    with pytest.raises(ValueError, match="Look at the clock"):
        elapsed_minutes(NOW + timedelta(hours=1), NOW)


def sheet(*rows):
    return json.dumps({"ref": "C26-001", "hours": list(rows)})


ROW = {"key": "k1", "day": "2026-11-20", "operation": "sand", "minutes": 45, "mistake": False, "note": "=1+1"}


def test_a_bench_sheet_is_brought_in_once():
    fresh, again = bench_entries(sheet(ROW, ROW | {"key": "k2"}), {"sand"}, ())
    document = demo().changed("hours", fresh)
    assert (len(fresh), again) == (2, 0) and sum(h.minutes for h in document.hours) == 90
    fresh, again = bench_entries(sheet(ROW, ROW | {"key": "k3"}), {"sand"}, document.hours)
    assert ([r["key"] for r in fresh], again) == (["k3"], 1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("hello", "not what the bench sheet gives"),
        ("[1]", "not what the bench sheet gives"),
        (sheet({"key": ""}), "Row 1 of the bench sheet is not whole"),
        (sheet(ROW | {"operation": "drink tea"}), "no operation on file"),
        (sheet(ROW | {"minutes": -3}), "-3 minutes"),
        (sheet(ROW | {"minutes": 1800}), "1440 at the most"),
        (sheet(ROW | {"minutes": "30"}), "'30' minutes"),
    ],
)
def test_a_bad_bench_sheet_is_refused_in_words(text, says):
    with pytest.raises(ValueError) as caught:
        bench_entries(text, {"sand"}, ())
    assert says in str(caught.value)


def test_the_bench_page_holds_the_operations_and_no_markup_of_the_title():
    d = derive(demo().changed("title", "</script><b>x"))
    page = bench_page_html(d)
    assert "</script><b>x" not in page and '"mortise and tenon"' in page and DRAWING in page
    assert "http://" not in page and "https://" not in page
    names = [n for _, ns in loggable(d.work) for n in ns]
    assert len(names) == len(set(names))


def test_a_kept_estimate_is_what_a_job_is_held_against():
    d = derive(demo())
    kept = as_reckoned(d, 3, date(2026, 11, 25))
    assert kept.hours == tuple(pytest.approx(float(d.price.hours_at(q)), abs=0.001) for q in (10, 50, 80, 90))
    entries = (
        HourEntry(day=date(2026, 11, 26), operation="sand", minutes=600),
        HourEntry(day=date(2026, 11, 26), operation=DRAWING, minutes=60),
    )
    rows = {r.operation: r for r in against_estimate(kept, entries)}
    assert rows["sand"].spent_h == 10 and rows["sand"].ratio == pytest.approx(10 / rows["sand"].likely_h)
    assert rows[DRAWING].ratio == pytest.approx(0.1) and rows["glue up"].ratio is None
    # A piece changed after the quote does not change what it was held against.
    changed = (
        demo()
        .changed("estimate", kept.model_dump(mode="json"))
        .changed("hours", [e.model_dump(mode="json") for e in entries])
    )
    shorter = changed.changed("items.0.sizes.length_mm", 1200).changed("finished", True)
    assert past_records([changed.changed("finished", True)])[0].ratios == past_records([shorter])[0].ratios


def job(n, spent, bought=None):
    e = Estimate(
        day=date(2026, 1, 1) + timedelta(days=n),
        revision=1,
        hours=(48.0, 60.0, 70.0, 78.0),
        design_hours=8,
        operations={"sand": (10.0, 11.0), "glue up": (6.0, 6.0)},
        finished_m3=0.1,
        bought_m3=0.2,
    )
    return PastRecord(
        f"P{n}",
        date(2026, 1, 1) + timedelta(days=n),
        {"sand": 1.4, "glue up": 0.9},
        spent,
        e,
        bought,
        {"sand": 14.0, "glue up": 5.4},
    )


def test_coverage_drift_worst_and_yield_are_counted():
    # By hand, 8 h of drawing off: ranges 40 .. 70, likely 52, safe 62; spent 50, 60, 65, 75, 52.
    found = calibration([job(0, 50.0, 0.25), job(1, 60.0), job(2, 65.0), job(3, 75.0), job(4, 52.0)])
    assert (found.under_p80, found.inside) == (3, 4)
    assert found.drift == pytest.approx((50 * 60 * 65 * 75 * 52) ** 0.2 / 52)
    assert found.lately == pytest.approx((75 * 52) ** 0.5 / 52)
    assert [(a.operation, a.jobs, round(a.hours_over, 1)) for a in found.worst] == [
        ("sand", 5, 15.0),
        ("glue up", 5, -3.0),
    ]
    assert found.worst[0].ratio == pytest.approx(1.4)
    assert found.yields == (("P0", 0.5, 0.4),)
    assert "3 of 5 finished jobs ended under their safe hours" in found.says()[0]


def test_few_jobs_say_little_and_none_says_so():
    assert "No finished job of yours has a range kept" in calibration([]).says()[0]
    assert any("say little" in s for s in calibration([job(0, 50.0)]).says())


def test_the_page_says_how_many_own_jobs_stand_behind_each_figure():
    e = learnt([{"sand": 1.2}, {"sand": 1.3, "glue up": 1.0}])
    assert (e.factor("sand").records, e.factor("glue up").records, e.factor("dry fit").records) == (2, 1, 0)
    assert e.jobs == 2 and learnt([]).jobs == 0
    with pytest.raises(ValueError, match="must be above 0"):
        learnt([{"sand": 0.0}])


def test_nothing_is_extrapolated_to_an_operation_without_a_record():
    slow = learnt([{"sand": 1.6, "glue up": 1.5, "dry fit": 1.7}] * 6)
    assert slow.factor("take off arrises").median == 1.0 and slow.factor("sand").median > 1.3


def test_a_finished_job_without_a_kept_estimate_is_derived():
    document = demo().changed("hours", [{"day": "2026-10-01", "operation": "sand", "minutes": 300}])
    record = past_record(document, lambda: derive(document).work)
    assert record.estimate is None and record.ratios["sand"] > 0 and record.hours == 5
