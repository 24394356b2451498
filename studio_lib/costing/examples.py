"""Published worked examples of quoting arithmetic, done again with the workbook's own sums."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from studio_lib.commission import Rates
from studio_lib.costing.hours import three_point
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
from studio_lib.units import money


@dataclass(frozen=True)
class Example:
    """One published example: what it asks, what was printed, what comes out here."""

    asks: str
    printed: Decimal
    decimals: int
    """Of the printed figure."""
    work: Callable[[], Decimal]
    source: str

    @property
    def comes_out(self) -> Decimal:
        return self.work()

    @property
    def agrees(self) -> bool:
        return abs(self.comes_out - self.printed) <= Decimal(5) / Decimal(10) ** (self.decimals + 1)


def _rates(living, weeks, hours, share=1.0, overheads=0) -> Rates:
    return Rates(
        drawings_per_year=Decimal(living),
        overheads_per_year=Decimal(overheads),
        weeks_per_year=weeks,
        hours_per_week=hours,
        billable_share=share,
    )


def _d(value) -> Decimal:
    return Decimal(str(value))


EXAMPLES = (
    Example(
        "A year must bring 75 000; 48 weeks of 40 hours. An hour costs",
        _d("39.06"),
        2,
        lambda: shop_rate(_rates(75_000, 48, 40)),
        "cost-calculator article on pricing a table",
    ),
    Example(
        "The same, 2.5 hours with 39 of material, 15 % overhead and 10 % profit on top: the table sells at",
        _d(173),
        0,
        lambda: (shop_rate(_rates(75_000, 48, 40)) * _d(2.5) + 39) * _d("1.15") * _d("1.10"),
        "cost-calculator article on pricing a table",
    ),
    Example(
        "A year must bring 100 000; 48 weeks of 32 hours. An hour costs, before office work",
        _d("65.10"),
        2,
        lambda: shop_rate(_rates(100_000, 48, 32)),
        "photographers' coach, rates",
    ),
    Example(
        "The same with an hour of office to two of work: hours billed in a year",
        _d(1024),
        0,
        lambda: billable_hours(_rates(100_000, 48, 32, 2 / 3)),
        "photographers' coach, rates",
    ),
    Example(
        "Sales 100 000 less 25 000 of materials over 20 days, 4 people, 8 hours: an hour brings",
        _d(117),
        0,
        lambda: (_d(100_000) - 25_000) / (20 * 4 * 8),
        "woodworkers' forum, calculating a shop rate, 2009",
    ),
    Example(
        "15 700 a month for three people, 160 hours each, and 26.50 of pay: an hour costs",
        _d(59),
        0,
        lambda: _d(15_700) / 3 / 160 + _d("26.50"),
        "woodworkers' forum, calculating a shop labour rate, 2006",
    ),
    Example(
        "Cost 29.99 with a quarter on it sells at",
        _d("37.49"),
        2,
        lambda: money(price_from_cost(_d("29.99"), margin_from_markup(_d("0.25")))),
        "retail markup example",
    ),
    Example(
        "A markup of 50 % is a margin of, %",
        _d("33.33"),
        2,
        lambda: 100 * margin_from_markup(_d("0.50")),
        "markup and margin table",
    ),
    Example(
        "A margin of 20 % is a markup of, %",
        _d("25.00"),
        2,
        lambda: 100 * markup_from_margin(_d("0.20")),
        "markup and margin table",
    ),
    Example(
        "100 of timber needed, 30 % of what is bought is waste: buy",
        _d("142.86"),
        2,
        lambda: to_buy(_d(100), _d("0.30")),
        "woodworkers' forum, waste from rough lumber, 2010",
    ),
    Example(
        "Tax of 10 % inside 1 100 is",
        _d(100),
        0,
        lambda: tax_inside(_d(1100), _d("0.10")),
        "Australian Taxation Office: one eleventh",
    ),
    Example(
        "Materials 100, 4 hours at 35, 20 % overhead, 20 % profit on top: sells at",
        _d("345.60"),
        2,
        lambda: (_d(100) + 4 * _d(35)) * _d("1.2") * _d("1.2"),
        "woodworkers' forum, topic of 2019",
    ),
    Example(
        "A table sold at 1 200 less 300 of material and 150 of overhead, 40 hours: an hour brings",
        _d("18.75"),
        2,
        lambda: (_d(1200) - 300 - 150) / 40,
        "article on profit of woodworking businesses, 2025",
    ),
    Example(
        "A year's wages 20 000 with a tenth on top, workshop 40 %, materials 10 000 and 15 %, a fifth for the "
        "rest: sales",
        _d(50_760),
        0,
        lambda: (_d(20_000) * _d("1.1") * _d("1.4") + _d(10_000) * _d("1.15")) * _d("1.2"),
        "furniture-making textbook, percentage additions",
    ),
    Example(
        "Least 5, likely 8, most 14: expected",
        _d("8.5"),
        1,
        lambda: _d(three_point(5, 8, 14)[0]),
        "three-point estimate, worked example",
    ),
    Example(
        "The first of a run takes 50 minutes at a rate of 80 %: the fourth takes",
        _d(32),
        0,
        lambda: _d(50 * unit_time_share(4, 0.8)),
        "learning-curve article, unit times",
    ),
)
