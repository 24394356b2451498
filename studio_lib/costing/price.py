"""From boards, hours and rates to a price that adds up. Decimal throughout."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from studio_lib.commission import Rates
from studio_lib.costing.hours import RECORD_SD, Spread, factor, whole_job
from studio_lib.costing.operations import COATS, GRITS, Work, surface_m2
from studio_lib.units import money

SPARE = Decimal("1.15")
"""Consumables bought over what the areas need; common practice, no source."""


@dataclass(frozen=True)
class Line:
    """One line of the costing, able to say where its figure came from."""

    what: str
    quantity: Decimal
    unit: str
    rate: Decimal
    source: str

    @property
    def amount(self) -> Decimal:
        """Rounded as printed, so that the sheet adds up by hand."""
        return money(self.quantity * self.rate)


@dataclass(frozen=True)
class Consumable:
    item: str
    unit: str
    coverage: float
    price: Decimal
    source: str


@cache
def consumables() -> dict[str, Consumable]:
    """Finish, glue, screws and abrasives on file: coverage and a starting price, by item."""
    path = Path(__file__).with_name("consumables.csv")
    with path.open(newline="") as file:
        return {
            r["item"]: Consumable(r["item"], r["unit"], float(r["coverage"]), Decimal(r["price"]),
                                  f"{r['source']}; {r['price_note']}")
            for r in csv.DictReader(file)
        }


def billable_hours(rates: Rates) -> Decimal:
    """Hours a year that a client pays for."""
    return (
        Decimal(str(rates.weeks_per_year)) * Decimal(str(rates.hours_per_week))
        * Decimal(str(rates.billable_share))
    )


def shop_rate(rates: Rates) -> Decimal:
    """What an hour must bring to cover living and overheads, before any profit."""
    return money((rates.drawings_per_year + rates.overheads_per_year) / billable_hours(rates))


def margin_from_markup(markup: Decimal) -> Decimal:
    """Share of the price that a markup on cost makes: k / (1 + k)."""
    return markup / (1 + markup)


def price_from_cost(cost: Decimal, margin: Decimal) -> Decimal:
    """Price of which ``margin`` is profit: cost / (1 - margin), not cost x (1 + margin)."""
    return cost / (1 - margin)


def tax_inside(gross: Decimal, rate: Decimal) -> Decimal:
    """Tax held in a price that includes it: gross x t / (1 + t)."""
    return money(gross * rate / (1 + rate))


def glued_mm2(piece) -> float:
    """All that is glued: joints, and the edges of boards glued into one width. [mm2]"""
    edges = sum((m.boards - 1) * m.length_mm * m.thickness_mm for m in piece.members)
    return edges + sum(j.glued_area_mm2(piece) for j in piece.joints)


def consumable_lines(items, finish: str) -> list[Line]:
    """Finish, glue, screws and abrasives by area and count. ``items`` is [(piece, how many)]."""
    on_file = consumables()
    area = Decimal(str(sum(n * surface_m2(p) for p, n in items)))
    joint_m2 = Decimal(str(sum(n * glued_mm2(p) for p, n in items) * 1e-6))
    screws = sum(n * sum(f.count for f in p.fixings) for p, n in items)
    lines = []
    coats = COATS[finish]
    if coats:
        c = on_file[finish]
        litres = area * coats / Decimal(str(c.coverage)) * SPARE
        lines.append(Line(f"{finish}, {coats} coats on {area:.1f} m2", litres.quantize(Decimal("0.1")) + Decimal("0.1"), "litre", c.price, c.source))
    for item, need, unit in (
        ("glue", joint_m2 / Decimal(str(on_file["glue"].coverage)) * SPARE, "kg"),
        ("screw", Decimal(screws) * Decimal("1.05"), "each"),
        ("abrasives", area * GRITS, "m2 a grit"),
    ):
        if need > 0:
            quantity = need.quantize(Decimal("1")) if item == "screw" else need.quantize(Decimal("0.01")) + Decimal("0.01")
            lines.append(Line(item, quantity, unit, on_file[item].price, on_file[item].source))
    return lines + hardware_lines(items)


@cache
def _hardware_prices() -> tuple[dict[str, str], ...]:
    with Path(__file__).with_name("hardware.csv").open(newline="") as file:
        return tuple(sorted(csv.DictReader(file), key=lambda r: -len(r["begins"])))


def hardware_lines(items) -> list[Line]:
    """Screws, dowels, hinges, bolts and cable that the joints ask for, each kind and size on one line."""
    counted: dict[tuple[str, str], Decimal] = {}
    for piece, n in items:
        for joint in piece.joints:
            for h in joint.hardware(piece):
                counted[h.name, h.unit] = counted.get((h.name, h.unit), Decimal(0)) + Decimal(str(n * h.count))
    lines = []
    for (name, unit), count in counted.items():
        row = next(r for r in _hardware_prices() if name.startswith(r["begins"]))
        double = 2 if "with tensioner" in name else 1
        lines.append(Line(name, count.quantize(Decimal("0.01")), unit, double * Decimal(row["price"]), row["source"]))
    return lines


@dataclass(frozen=True)
class HoursRow:
    """One operation's hours, as a range."""

    work: Work
    hours: Spread


@dataclass(frozen=True)
class Price:
    """A price, its parts and its likely range. All amounts net of tax unless named gross."""

    currency: str
    labour: tuple[HoursRow, ...]
    design_hours: Decimal
    job_hours: Spread
    shop_rate: Decimal
    materials: tuple[Line, ...]
    materials_markup: Decimal
    delivery: Decimal
    margin: Decimal
    tax_name: str
    tax_rate: Decimal
    split: tuple[tuple[str, Decimal], ...]
    """Share of the work and materials in each piece, 0 to 1, adding to 1."""

    def hours_at(self, percent: int) -> Decimal:
        return Decimal(str(round(self.job_hours.at(percent), 2))) + self.design_hours

    @property
    def overrun_hours(self) -> float:
        """What the likely whole takes over its operations' medians: overruns are longer than savings. [h]"""
        return self.job_hours.at(50) - sum(row.hours.median for row in self.labour)

    @property
    def materials_cost(self) -> Decimal:
        return sum((line.amount for line in self.materials), Decimal("0.00"))

    def cost_at(self, percent: int) -> Decimal:
        """What the job costs the maker if its hours come out at that percentile."""
        labour = money(self.hours_at(percent) * self.shop_rate)
        return labour + money(self.materials_cost * (1 + self.materials_markup)) + self.delivery

    def net_at(self, percent: int) -> Decimal:
        return money(price_from_cost(self.cost_at(percent), self.margin))

    @property
    def contingency(self) -> Decimal:
        """What stands between the likely and the safe price: P80 less P50."""
        return self.net_at(80) - self.net_at(50)

    @property
    def quoted(self) -> tuple[tuple[str, Decimal], ...]:
        """The quote's lines, in whole units of money; their sum is the net price."""
        whole = Decimal("1")
        lines = []
        delivery = price_from_cost(self.delivery, self.margin).quantize(whole)
        rest = self.net_at(80) - delivery
        for name, share in self.split:
            lines.append((name, (rest * share).quantize(whole)))
        if delivery:
            lines.append(("delivery and setting in place", delivery))
        return tuple((name, money(amount)) for name, amount in lines)

    @property
    def net(self) -> Decimal:
        return sum((amount for _, amount in self.quoted), Decimal("0.00"))

    @property
    def tax(self) -> Decimal:
        return money(self.net * self.tax_rate)

    @property
    def gross(self) -> Decimal:
        return self.net + self.tax

    @property
    def drivers(self) -> tuple[tuple[str, Decimal], ...]:
        """What the net price is made of, largest parts by name; adds up to the net price."""
        labour = money(self.hours_at(50) * self.shop_rate)
        materials = money(self.materials_cost * (1 + self.materials_markup))
        contingency = self.cost_at(80) - self.cost_at(50)
        profit = self.net - labour - materials - self.delivery - contingency
        return (
            ("work", labour), ("timber and materials", materials), ("delivery", self.delivery),
            ("for what cannot be foreseen", contingency), ("profit", profit),
        )


def price(work, materials, rates: Rates, weights, records=None) -> Price:
    """The price of a commission.

    ``work`` from ``count_work``; ``materials`` lines at cost; ``weights`` is
    [(piece name, share of finished timber)] used to split what belongs to no one piece;
    ``records`` {operation: [actual / standard, ...]} from past jobs.
    """
    records = records or {}
    rows = []
    for w in work:
        known = records.get(w.time.operation, [])
        f = factor(known) if known else Spread(1.0, _no_record_sd(w.time.log_sd))
        rows.append(HoursRow(w, Spread(w.standard_hours * f.median, f.log_sd, len(known))))
    job = whole_job([(1.0, row.hours) for row in rows])
    by_item: dict[str, float] = {name: 0.0 for name, _ in weights}
    for row in rows:
        if row.work.item in by_item:
            by_item[row.work.item] += row.hours.median
        else:
            for name, share in weights:
                by_item[name] += share * row.hours.median
    total = sum(by_item.values()) or 1.0
    shares = [Decimal(str(round(by_item[name] / total, 6))) for name, _ in weights]
    if shares:
        shares[0] += 1 - sum(shares)
    return Price(
        currency=rates.currency,
        labour=tuple(rows),
        design_hours=Decimal(str(rates.design_hours)),
        job_hours=job,
        shop_rate=shop_rate(rates),
        materials=tuple(materials),
        materials_markup=Decimal(str(rates.materials_markup)),
        delivery=money(Decimal(str(rates.delivery_km)) * rates.delivery_per_km),
        margin=Decimal(str(rates.profit_margin)),
        tax_name=rates.tax_name,
        tax_rate=Decimal(str(rates.tax_rate)),
        split=tuple((name, share) for (name, _), share in zip(weights, shares)),
    )


def _no_record_sd(log_sd: float) -> float:
    """Spread of a single job where there is no record: the operation's own and a record's."""
    return (log_sd**2 + RECORD_SD**2) ** 0.5
