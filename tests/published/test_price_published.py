"""Quoting arithmetic and the hours estimator against published worked examples."""

from decimal import Decimal
from math import exp

import pytest

from studio_lib.commission import Rates
from studio_lib.costing.examples import EXAMPLES
from studio_lib.costing.hours import Spread, as_spread, factor, learnt, three_point, whole_job
from studio_lib.costing.operations import unit_time_share
from studio_lib.costing.price import (
    billable_hours,
    margin_from_markup,
    markup_from_margin,
    price_from_cost,
    shop_rate,
    tax_inside,
    to_buy,
)


# The textbook relation m = k / (1 + k), in the printed percentages of a trade table.
@pytest.mark.parametrize(
    ("markup", "margin"),
    [
        ("0.10", "9.09"),
        ("0.15", "13.04"),
        ("0.20", "16.67"),
        ("0.25", "20.00"),
        ("0.30", "23.08"),
        ("0.50", "33.33"),
        ("1.00", "50.00"),
    ],
)
def test_markup_is_not_margin(markup, margin):
    assert round(100 * margin_from_markup(Decimal(markup)), 2) == Decimal(margin)
    # And back: a price that holds that margin is the cost with that markup on it.
    price = price_from_cost(Decimal(100), margin_from_markup(Decimal(markup)))
    assert price == pytest.approx(Decimal(100) * (1 + Decimal(markup)))


# A published retail example: cost 29.99 with 25 % on cost sells at 37.49.
def test_published_markup_example():
    assert round(price_from_cost(Decimal("29.99"), margin_from_markup(Decimal("0.25"))), 2) == Decimal("37.49")


# Australian Taxation Office: one-eleventh of a GST-inclusive price; UK VAT at 20 %: one sixth.
def test_tax_inside_an_inclusive_price():
    assert tax_inside(Decimal(1100), Decimal("0.10")) == Decimal("100.00")
    assert tax_inside(Decimal(1200), Decimal("0.20")) == Decimal("200.00")


# A photographers' coach: 100,000 a year over 48 weeks x 32 h is 65.10 an hour before
# office work; with one hour of office to two of work only 1,024 h are billed: 97.66.
def test_published_hourly_rate_with_and_without_office_work():
    rates = Rates(
        drawings_per_year="100000", overheads_per_year="0", weeks_per_year=48, hours_per_week=32, billable_share=1
    )
    assert shop_rate(rates) == Decimal("65.10")
    rates = rates.model_copy(update={"billable_share": 2 / 3})
    assert float(billable_hours(rates)) == pytest.approx(1024, abs=0.01)
    assert float(shop_rate(rates)) == pytest.approx(97.66, abs=0.005)


# A cost-calculator page: 75,000 a year / (48 weeks x 40 h) = 39.06 an hour.
def test_published_rate_per_hour():
    rates = Rates(
        drawings_per_year="75000", overheads_per_year="0", weeks_per_year=48, hours_per_week=40, billable_share=1
    )
    assert shop_rate(rates) == Decimal("39.06")


# Normal conjugate update with known variance, textbook result, worked by hand: records
# 5.6, 7.2, 4.5 h against 4, 6, 3 h standard; centre of the factor 1.284, predictive
# spread 0.2818, P10 0.895, P80 1.628, P90 1.843, mean 1.336.
def test_factor_from_three_records():
    f = factor([5.6 / 4.0, 7.2 / 6.0, 4.5 / 3.0])
    assert f.median == pytest.approx(1.284, abs=0.0005)
    assert f.log_sd == pytest.approx(0.2818, abs=0.00005)
    assert (f.at(10), f.at(80), f.at(90)) == pytest.approx((0.895, 1.628, 1.843), abs=0.0005)
    assert f.mean == pytest.approx(1.336, abs=0.0005)


def test_no_record_is_the_prior_and_many_records_win():
    assert factor([]).median == 1.0
    assert factor([1.5] * 400).median == pytest.approx(1.5, rel=0.005)


HOURS = (3, 5, 6, 4, 8, 4)
MEDIANS = (1.05, 1.10, 1.15, 1.00, 1.28, 1.10)
SPREADS = (0.25, 0.20, 0.30, 0.20, 0.28, 0.20)


def test_whole_job_against_a_million_draws():
    """A simulation by numpy's own generator: P10, P50, P80, P90 of the sum, operations and job together."""
    import numpy as np

    draws = np.random.default_rng(1)
    total = sum(h * m * np.exp(draws.normal(0, s, 1_000_000)) for h, m, s in zip(HOURS, MEDIANS, SPREADS)) * np.exp(
        draws.normal(0, 0.20, 1_000_000)
    )
    job = whole_job([(h, Spread(m, s)) for h, m, s in zip(HOURS, MEDIANS, SPREADS)])
    for p in (10, 50, 80, 90):
        assert job.at(p) == pytest.approx(float(np.percentile(total, p)), rel=0.01)


def test_one_operation_alone_is_itself():
    job = whole_job([(10.0, Spread(1.2, 0.3))], job_sd=0.0)
    assert job.median == pytest.approx(12.0)
    assert job.at(90) == pytest.approx(12.0 * exp(1.2815515655 * 0.3))


# Published examples of quoting arithmetic, each with its source in costing/examples.py and its figure as printed;
# the page shows the same rows. The tolerance is half of the last printed digit.
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.asks[:40])
def test_published_examples_come_out_as_printed(example):
    assert float(example.comes_out) == pytest.approx(float(example.printed), abs=0.5 / 10**example.decimals)


def test_enough_published_examples_are_done_again():
    assert len(EXAMPLES) >= 10 and all(e.source for e in EXAMPLES)


# The same trade table read the other way: k = m / (1 - m).
@pytest.mark.parametrize(
    ("margin", "markup"), [("0.20", "25.00"), ("0.25", "33.33"), ("0.3333", "49.99"), ("0.50", "100.00")]
)
def test_margin_is_not_markup(margin, markup):
    assert round(100 * markup_from_margin(Decimal(margin)), 2) == Decimal(markup)


# A forum's worked example: FAS yields 83 % so add 20 %; Select 92 %, add 9 %; No. 1 Common 67 %, add 50 %.
@pytest.mark.parametrize(("yielded", "add"), [("0.83", 20), ("0.92", 9), ("0.67", 50)])
def test_waste_is_a_share_of_what_is_bought(yielded, add):
    assert float(to_buy(Decimal(100), 1 - Decimal(yielded))) == pytest.approx(100 + add, abs=0.8)


# Three-point estimate 5, 8, 14: expected 8.5, standard deviation 1.5 (a published worked example).
def test_three_point_estimate():
    mean, sd = three_point(5, 8, 14)
    assert (mean, sd) == (8.5, 1.5)
    spread = as_spread(mean, sd)
    assert spread.mean == pytest.approx(8.5)
    with pytest.raises(ValueError, match="in that order"):
        three_point(8, 5, 14)


# Learning-curve tables in unit form (Crawford). 80 %: unit 10 is 0.477, units 1 to 10 total 6.315; unit 20 is 0.381,
# total 10.485 (a printed table). 85 %: b = -0.2345, twelve units total 8.244.
@pytest.mark.parametrize(
    ("rate", "n", "unit", "total"), [(0.80, 10, 0.477, 6.315), (0.80, 20, 0.381, 10.485), (0.85, 12, None, 8.244)]
)
def test_learning_curve_tables(rate, n, unit, total):
    units = [unit_time_share(k, rate) for k in range(1, n + 1)]
    assert sum(units) == pytest.approx(total, abs=0.0006)
    if unit:
        assert units[-1] == pytest.approx(unit, abs=0.0005)


# 50, 40, 32 minutes for the first, second and fourth at 80 % (a published article).
def test_learning_curve_example():
    assert [round(50 * unit_time_share(n, 0.8)) for n in (1, 2, 4)] == [50, 40, 32]


# Printed percentage points of Student's t: 0.80, 0.90 at 6, 12, 20 degrees.
@pytest.mark.parametrize(("freedom", "p80", "p90"), [(6, 0.906, 1.440), (12, 0.873, 1.356), (20, 0.860, 1.325)])
def test_quantiles_of_t_as_printed(freedom, p80, p90):
    from math import log

    s = Spread(1.0, 1.0, 0, freedom)
    assert (log(s.at(80)), log(s.at(90))) == pytest.approx((p80, p90), abs=0.0005)


def test_quantiles_against_a_statistics_library():
    """scipy.stats, normal and Student's t: quantiles of a log-normal by its own percent point functions."""
    from scipy import stats

    for q in (10, 50, 80, 90):
        assert Spread(3.0, 0.4).at(q) == pytest.approx(stats.lognorm.ppf(q / 100, 0.4, scale=3.0))
        assert Spread(3.0, 0.4, 0, 9).at(q) == pytest.approx(3.0 * exp(0.4 * stats.t.ppf(q / 100, 9)))


def test_posterior_of_three_jobs_against_the_normal_conditioned_directly():
    """The joint normal of centres and records, conditioned on the records by its covariance: another road than the
    precision matrix; scipy.stats gives the log-density that the posterior must maximise."""
    import numpy as np
    from scipy import stats

    jobs = [{"sand": 1.4, "glue up": 1.1}, {"sand": 1.2}, {"sand": 1.5, "glue up": 0.9, "dry fit": 1.0}]
    e = learnt(jobs)
    rows = [(j, o, np.log(r)) for j, job in enumerate(jobs) for o, r in job.items()]
    y = np.array([v for _, _, v in rows])
    same_op = np.array([[a[1] == b[1] for b in rows] for a in rows], float)
    same_job = np.array([[a[0] == b[0] for b in rows] for a in rows], float)
    of_records = 0.3**2 * same_op + e.job_sd**2 * same_job + e.record_sd**2 * np.eye(len(y))
    for k, name in enumerate(e.operations):
        with_records = 0.3**2 * np.array([r[1] == name for r in rows], float)
        mean = with_records @ np.linalg.solve(of_records, y)
        variance = 0.3**2 - with_records @ np.linalg.solve(of_records, with_records)
        assert e.centres[k] == pytest.approx(mean, abs=1e-9)
        # The spreads settle a last step after the centres: four figures.
        assert e.covariance[k][k] == pytest.approx(variance, rel=1e-3)

    def density(centres):
        value = sum(stats.norm.logpdf(c, 0, 0.3) for c in centres)
        left = y - np.array([centres[e.operations.index(o)] for _, o, _ in rows])
        return value + stats.multivariate_normal.logpdf(
            left, cov=e.job_sd**2 * same_job + e.record_sd**2 * np.eye(len(y))
        )

    top = density(e.centres)
    for k in range(len(e.centres)):
        for step in (-0.02, 0.02):
            assert density([c + step * (i == k) for i, c in enumerate(e.centres)]) < top


def test_a_job_after_records_against_a_million_draws():
    """numpy's generator: centres drawn from their posterior together, a job's share, each operation's own."""
    import numpy as np

    e = learnt(
        [
            {"sand": 1.5, "glue up": 1.2, "dry fit": 1.1},
            {"sand": 1.3, "glue up": 0.8, "dry fit": 1.3},
            {"sand": 1.6, "glue up": 1.1},
        ]
    )
    hours = {"sand": 6.0, "glue up": 4.0, "dry fit": 2.0, "mortise and tenon": 9.0}
    draws, n = np.random.default_rng(2), 1_000_000
    centres = draws.multivariate_normal(e.centres, e.covariance, n)
    shared = draws.normal(0, e.job_sd, n)
    total = np.zeros(n)
    for o, h in hours.items():
        centre = centres[:, e.operations.index(o)] if o in e.operations else draws.normal(0, 0.30, n)
        total += h * np.exp(centre + shared + draws.normal(0, e.record_sd, n))
    job = e.hours([(o, h, 0.30) for o, h in hours.items()])
    known = Spread(job.median, job.log_sd)
    for q in (10, 50, 80, 90):
        assert known.at(q) == pytest.approx(float(np.percentile(total, q)), rel=0.015)


@pytest.mark.parametrize("unlike", [False, True], ids=["as assumed", "makers unlike the assumptions"])
def test_four_jobs_in_five_end_in_the_range_once_ten_own_jobs_exist(unlike):
    """500 simulated makers, ten own jobs each, then one more held against its range. Where they are unlike the
    assumptions each has an optimism over all operations and spreads of their own."""
    import numpy as np

    draws, inside = np.random.default_rng(7), 0
    for _ in range(500):
        habit, own, luck = draws.normal(0, 0.3, 12), 0.25, 0.20
        if unlike:
            habit = habit + draws.normal(0.1, 0.2)
            own, luck = own * np.exp(draws.normal(0, 0.3)), luck * np.exp(draws.normal(0, 0.3))

        def job():
            did = [k for k in range(12) if draws.random() < 0.75] or [0]
            shared = draws.normal(0, luck)
            return {f"o{k}": float(np.exp(habit[k] + shared + draws.normal(0, own))) for k in did}

        e, last = learnt([job() for _ in range(10)]), job()
        hours = {o: float(draws.uniform(1, 8)) for o in last}
        s = e.hours([(o, h, 0.3) for o, h in hours.items()])
        inside += s.at(10) <= sum(hours[o] * last[o] for o in last) <= s.at(90)
    assert 0.76 <= inside / 500 <= 0.84


def test_ranges_tighten_as_jobs_come_in():
    parts = [(o, 5.0, 0.3) for o in ("sand", "glue up", "dry fit", "rough dock")]
    one = {o: 1.2 for o, _, _ in parts}
    widths = [(lambda s: s.at(90) / s.at(10))(learnt([one] * n).hours(parts)) for n in (0, 1, 3, 10, 30)]
    assert widths == sorted(widths, reverse=True) and widths[-1] < widths[0]
