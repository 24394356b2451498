"""Quoting arithmetic and the hours estimator against published worked examples."""

from decimal import Decimal
from math import exp

import pytest

from studio_lib.commission import Rates
from studio_lib.costing.hours import Spread, factor, whole_job
from studio_lib.costing.price import (
    billable_hours, margin_from_markup, price_from_cost, shop_rate, tax_inside,
)


# The textbook relation m = k / (1 + k), in the printed percentages of a trade table.
@pytest.mark.parametrize(
    ("markup", "margin"),
    [("0.10", "9.09"), ("0.15", "13.04"), ("0.20", "16.67"), ("0.25", "20.00"), ("0.30", "23.08"),
     ("0.50", "33.33"), ("1.00", "50.00")],
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
    rates = Rates(drawings_per_year="100000", overheads_per_year="0", weeks_per_year=48, hours_per_week=32, billable_share=1)
    assert shop_rate(rates) == Decimal("65.10")
    rates = rates.model_copy(update={"billable_share": 2 / 3})
    assert float(billable_hours(rates)) == pytest.approx(1024, abs=0.01)
    assert float(shop_rate(rates)) == pytest.approx(97.66, abs=0.005)


# A cost-calculator page: 75,000 a year / (48 weeks x 40 h) = 39.06 an hour.
def test_published_rate_per_hour():
    rates = Rates(drawings_per_year="75000", overheads_per_year="0", weeks_per_year=48, hours_per_week=40, billable_share=1)
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
    total = sum(
        h * m * np.exp(draws.normal(0, s, 1_000_000)) for h, m, s in zip(HOURS, MEDIANS, SPREADS)
    ) * np.exp(draws.normal(0, 0.20, 1_000_000))
    job = whole_job([(h, Spread(m, s)) for h, m, s in zip(HOURS, MEDIANS, SPREADS)])
    for p in (10, 50, 80, 90):
        assert job.at(p) == pytest.approx(float(np.percentile(total, p)), rel=0.01)


def test_one_operation_alone_is_itself():
    job = whole_job([(10.0, Spread(1.2, 0.3))], job_sd=0.0)
    assert job.median == pytest.approx(12.0)
    assert job.at(90) == pytest.approx(12.0 * exp(1.2815515655 * 0.3))
