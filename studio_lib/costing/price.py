"""From boards, hours and rates to a price that adds up. Decimal throughout."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cache, cached_property
from pathlib import Path

from studio_lib.commission import Rates
from studio_lib.costing.exchange import rounded, to_one_eur, told
from studio_lib.costing.hours import Estimator, Spread, learnt
from studio_lib.costing.operations import COATS, DRAWING, DRAWING_SD, WITH_ANY_JOB, Work, sanding_m2, surface_m2
from studio_lib.stock.boards import WHOSE
from studio_lib.units import money

SPARE = Decimal("1.15")
"""Consumables bought over what the areas need; common practice, no source."""


@dataclass(frozen=True)
class Line:
    """One line of the costing, able to say where its figure came from."""

    what: str
    quantity: Decimal
    unit: str
    rate: Decimal | None
    """None while nobody has priced it: it is not free, and no quote is firm with it."""
    source: str
    on: date | None = None
    """Day of the price, where it is known."""
    kind: str = "materials"
    """timber, finish, glue, abrasives, hardware, bought in or delivery."""

    @property
    def amount(self) -> Decimal:
        """Rounded as printed, so that the sheet adds up by hand; 0 while it has no price."""
        return money(self.quantity * self.rate) if self.rate is not None else Decimal("0.00")


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
            r["item"]: Consumable(
                r["item"], r["unit"], float(r["coverage"]), Decimal(r["price"]), f"{r['source']}; {r['price_note']}"
            )
            for r in csv.DictReader(file)
        }


def billable_hours(rates: Rates) -> Decimal:
    """Hours a year that a client pays for."""
    return Decimal(str(rates.weeks_per_year)) * Decimal(str(rates.hours_per_week)) * Decimal(str(rates.billable_share))


def shop_rate(rates: Rates) -> Decimal:
    """What an hour must bring to cover living and overheads, before any profit; the maker's own figure where there is one."""
    return rates.own_hour if rates.own_hour is not None else money((rates.drawings_per_year + rates.overheads_per_year) / billable_hours(rates))


def margin_from_markup(markup: Decimal) -> Decimal:
    """Share of the price that a markup on cost makes: k / (1 + k)."""
    return markup / (1 + markup)


def price_from_cost(cost: Decimal, margin: Decimal) -> Decimal:
    """Price of which ``margin`` is profit: cost / (1 - margin), not cost x (1 + margin)."""
    return cost / (1 - margin)


def markup_from_margin(margin: Decimal) -> Decimal:
    """Markup on cost that makes this share of the price: m / (1 - m). Raises ValueError for a margin of 1 or more."""
    if not margin < 1:
        raise ValueError(f"A margin of {margin * 100:g} % leaves nothing for the cost; give less than 100 %.")
    return margin / (1 - margin)


def to_buy(net: Decimal, waste: Decimal) -> Decimal:
    """What must be bought for a net amount when this share of it becomes waste: net / (1 - w), not net x (1 + w).

    Raises ValueError for a share outside 0 up to 1.
    """
    if not 0 <= waste < 1:
        raise ValueError(f"Waste is {waste * 100:g} % of what is bought; give 0 to less than 100 %.")
    return net / (1 - waste)


def tax_inside(gross: Decimal, rate: Decimal) -> Decimal:
    """Tax held in a price that includes it: gross x t / (1 + t)."""
    return money(gross * rate / (1 + rate))


def glued_mm2(piece) -> float:
    """All that is glued: joints, and the edges of boards glued into one width. [mm2]"""
    edges = sum((m.boards - 1) * m.length_mm * m.thickness_mm for m in piece.members)
    return edges + sum(j.glued_area_mm2(piece) for j in piece.joints)


def consumable_lines(items, finish: str) -> list[Line]:
    """Finish, glue, screws, abrasives and hardware by area and count. ``items`` is [(piece, how many)]."""
    on_file = consumables()
    area = Decimal(str(sum(n * surface_m2(p) for p, n in items)))
    sanded = Decimal(str(sum(n * sum(sanding_m2(p, finish).values()) for p, n in items)))
    joint_m2 = Decimal(str(sum(n * glued_mm2(p) for p, n in items) * 1e-6))
    lines = []
    coats = COATS[finish]
    if coats:
        c = on_file[finish]
        litres = area * coats / Decimal(str(c.coverage)) * SPARE
        what = f"{finish}, {coats} coats on {area:.1f} m2"
        lines.append(
            Line(what, litres.quantize(Decimal("0.1")) + Decimal("0.1"), "litre", c.price, c.source, None, "finish")
        )
    for item, need, unit in (
        ("glue", joint_m2 / Decimal(str(on_file["glue"].coverage)) * SPARE, "kg"),
        ("abrasives", sanded, "m2 a grit"),
    ):
        if need > 0:
            exact = need.quantize(Decimal("0.01")) + Decimal("0.01")
            lines.append(Line(item, exact, unit, on_file[item].price, on_file[item].source, None, item))
    return lines + screw_lines(items) + hardware_lines(items)


def screw_lines(items) -> list[Line]:
    """Screws that are counted in rows, with some over, each metal on one line."""
    counted: dict[str, int] = {}
    for piece, n in items:
        if held := n * sum(f.count for f in piece.fixings):
            counted[piece.metal] = counted.get(piece.metal, 0) + held
    one = consumables()["screw"]
    return [
        Line(f"screw, {metal}", (Decimal(n) * Decimal("1.05")).quantize(Decimal("1")), "each", money(one.price * metal_share(metal)), one.source, None, "hardware")
        for metal, n in counted.items()
    ]


@cache
def _metal_shares() -> dict[str, Decimal]:
    with Path(__file__).with_name("metals.csv").open(newline="") as file:
        return {r["metal"]: Decimal(r["of_stainless"]) for r in csv.DictReader(file)}


def metal_share(metal: str) -> Decimal:
    """What screws and bolts of a metal, of ``finishing.METALS``, cost beside those of stainless steel."""
    return _metal_shares()[metal]


@cache
def _hardware_prices() -> tuple[dict[str, str], ...]:
    with Path(__file__).with_name("hardware.csv").open(newline="") as file:
        return tuple(sorted(csv.DictReader(file), key=lambda r: -len(r["begins"])))


def priced_items() -> tuple[str, ...]:
    """Names that a maker's own price can be given for."""
    return (*(c for c in consumables() if c != "left bare"), *sorted(r["begins"] for r in _hardware_prices()))


def hardware_lines(items) -> list[Line]:
    """Screws, dowels, hinges, bolts and cable that the joints ask for, each kind and size on one line.

    What is not on file has no price.
    """
    counted: dict[tuple[str, str], Decimal] = {}
    metals = {}
    for piece, n in items:
        for joint in piece.joints:
            for h in joint.hardware(piece):
                counted[h.name, h.unit] = counted.get((h.name, h.unit), Decimal(0)) + Decimal(str(n * h.count))
                if h.name.split(", ")[1:2] == [piece.metal] and "hinge" not in h.name:
                    metals[h.name] = piece.metal
    lines = []
    for (name, unit), count in counted.items():
        row = next((r for r in _hardware_prices() if name.startswith(r["begins"])), None)
        double = 2 if "with tensioner" in name else 1
        rate, source = (money(double * Decimal(row["price"]) * metal_share(metals.get(name, "stainless steel"))), row["source"]) if row else (None, "not priced yet")
        lines.append(Line(name, count.quantize(Decimal("0.01")), unit, rate, source, None, "hardware"))
    return lines


def fitted_lines(fitted) -> list[Line]:
    """What is fitted where the piece stands, at the starting prices on file. ``fitted`` is [(what, how many)]."""
    lines = []
    for what, count in fitted:
        row = next((r for r in _hardware_prices() if what.startswith(r["begins"])), None)
        rate, source = (Decimal(row["price"]), row["source"]) if row else (None, "not priced yet")
        lines.append(Line(what, Decimal(str(count)).quantize(Decimal("0.01")), "piece", rate, source, None, "hardware"))
    return lines


def with_own_prices(lines, rates: Rates) -> list[Line]:
    """Lines at the maker's own prices where there are some, the longest name that fits first; the others in the job's money."""
    own = sorted(rates.prices, key=lambda p: -len(p.item))
    out = []
    for line in lines:
        found = next((p for p in own if line.what.startswith(p.item)), None)
        out.append(replace(line, rate=found.price, source="your own price", on=found.on) if found else _in_the_money_of(line, rates))
    return out


def _in_the_money_of(line: Line, rates: Rates) -> Line:
    """A line at a starting price, converted where the job is reckoned in other money."""
    how = told(rates)
    if not how or not line.rate:
        return line
    return replace(line, rate=max(rounded(line.rate * to_one_eur(rates)), Decimal("0.01")), source=f"{line.source}; {how}")


FROM = WHOSE | {"yard": "yard price"}
"""On whose word the price of a board stands."""


def board_lines(purchases, priced_on: date | None) -> list[Line]:
    """The boards really bought, whole. A board without a price is not free."""
    return [
        Line(
            f"{p.board.timber}, board {p.board.ref}, {p.board.length_mm:.0f} x {p.board.width_mm:.0f} x "
            f"{p.board.thickness_mm:.0f} mm",
            Decimal(p.count),
            "board",
            p.board.price if p.board.source == "client" else p.board.price or None,
            FROM[p.board.source] if p.board.price or p.board.source == "client" else "not priced yet",
            priced_on,
            "timber",
        )
        for p in purchases
    ]


BOARD_M3 = 0.02
"""A usual board, 2.5 m x 200 x 40, to count boards by before any is seen; judgement of ours."""


LEFT_M2 = 0.15
"""Face of board left over in each thickness because boards come whole: a third of a usual one; judgement of ours. [m2]"""


@dataclass(frozen=True)
class PerM3:
    """What a cubic metre of a timber costs, and on whose word."""

    amount: Decimal
    source: str
    on: date | None = None
    start: str = ""
    """That it is only a start of ours, in a word; empty for a price that is meant."""


READY_TIMES, READY_SHARE = Decimal("2.2"), 0.8
"""What a board bought glued up and planed costs by volume beside sawn timber, and how much of it is used; starting figures of ours, from memory."""


@dataclass(frozen=True)
class RoughTimber:
    """Timber of one species counted by volume, while no boards are seen for it."""

    timber: str
    finished_m3: float
    share: float
    """Finished over bought."""
    price: PerM3
    thicknesses_mm: tuple[float, ...] = ()
    """Each thickness that is bought, once."""
    ready: bool = False
    """Bought glued up and planed."""

    @property
    def bought_m3(self) -> float:
        """What the share asks for, and what whole boards leave over in each thickness. [m3]"""
        return self.finished_m3 / self.share + sum(LEFT_M2 * t / 1000 for t in set(self.thicknesses_mm))

    @property
    def boards(self) -> int:
        """Boards it is likely to take, to count their handling."""
        return math.ceil(self.bought_m3 / BOARD_M3)

    @property
    def line(self) -> Line:
        bought = max(Decimal(str(self.bought_m3)).quantize(Decimal("0.001"), ROUND_HALF_UP), Decimal("0.001"))
        return Line(
            f"{self.timber or 'timber not chosen yet'}{', bought glued up and planed' if self.ready else ''}, by volume, for what no board is seen for", bought, "m3", self.price.amount,
            f"{self.finished_m3:.4f} m3 finished, {100 * self.share:.0f} % of what is {'bought' if self.ready else 'sawn'}, and what whole boards leave over; "
            f"{self.price.source}",
            self.price.on, "timber",
        )


@cache
def _per_m3() -> dict[str, dict[str, str]]:
    with Path(__file__).with_name("timber_prices.csv").open(newline="", encoding="utf-8") as file:
        return {r["timber"]: r for r in csv.DictReader(file)}


def starting_timbers() -> tuple[str, ...]:
    """Timbers that are often bought: those tried as another timber at their starting prices."""
    return tuple(name for name, row in _per_m3().items() if row["tried"])


def starting_per_m3(timber: str, group: str, rates: Rates | None = None) -> PerM3:
    """A starting price a cubic metre, of the timber or of its group ('hardwood' or 'softwood'), in the money of ``rates``."""
    own = _per_m3().get(timber)
    row = own or _per_m3().get(group) or _per_m3()["hardwood"]
    amount, source = Decimal(row["per_m3"]), row["source"]
    if rates is not None and told(rates):
        amount, source = rounded(amount * to_one_eur(rates)), f"{source}; {told(rates)}"
    return PerM3(amount, source, start="a start" if own else f"a start, as any {group}")


def seen_per_m3(timber: str, boards) -> PerM3 | None:
    """Mean price a cubic metre of the priced boards of a timber that are offered; None where there are none."""
    cost, m3 = Decimal(0), 0.0
    for b in boards:
        if b.timber == timber and b.price:
            n = b.count or 1
            cost += n * b.price
            m3 += n * b.length_mm * (b.width_mm + (b.width_end_mm or b.width_mm)) / 2 * b.thickness_mm * 1e-9
    return PerM3(money(cost / Decimal(str(m3))), "mean of the boards on your list") if m3 else None


def bought_in_lines(rates: Rates, waiting=()) -> list[Line]:
    """Work and goods bought for the job; ``waiting``: what must be bought and has no price of the maker's yet, in words."""
    return [Line(what, Decimal(1), "job", None, "not priced yet", None, "bought in") for what in waiting] + [
        Line(
            b.what,
            Decimal(1),
            "job",
            b.price,
            "the supplier's price" if b.price else "not priced yet",
            b.on,
            "bought in",
        )
        for b in rates.bought_in
    ]


def delivery_lines(rates: Rates, weight_kg: float, people: int) -> list[Line]:
    """The way there and back: the vehicle, the maker's hours at the wheel, those who help, a van for a heavy load.

    Setting it in place is among the operations; helpers are paid for the way and an hour there. Empty where nothing
    is driven.
    """
    if not rates.delivery_km:
        return []
    hours = Decimal(str(round(rates.delivery_km / rates.delivery_speed_kmh, 2)))
    km = Decimal(str(rates.delivery_km))
    lines = [
        Line("the vehicle, there and back", km, "km", rates.delivery_per_km, "this job's terms", None, "delivery"),
        Line("at the wheel", hours, "hour", shop_rate(rates), f"{rates.delivery_speed_kmh:g} km/h", None, "delivery"),
    ]
    if people > 1:
        who = f"{people - 1} to help carry {weight_kg:.0f} kg" if weight_kg else f"{people - 1} to help carry"
        lines.append(
            Line(
                who,
                (people - 1) * (hours + 1),
                "hour",
                rates.helper_per_hour,
                "the way and an hour there",
                None,
                "delivery",
            )
        )
    if weight_kg > rates.van_carries_kg:
        days = math.ceil(float(hours) / 8) or 1
        lines.append(
            Line(
                "a hired van",
                Decimal(days),
                "day",
                rates.hired_van,
                f"{weight_kg:.0f} kg is over the {rates.van_carries_kg:g} kg your own carries",
                None,
                "delivery",
            )
        )
    return lines


OTHER_KINDS = {"buying": "choosing and fetching boards", "delivery": "packing, setting in place and papers"}
"""Hours that are no making, by their stage; drawing and meetings stand beside them."""


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
    """Drawing and meetings as the maker gave them or as they are counted. [h]"""
    design: Spread
    """The same as a range, from the maker's records. [h]"""
    making: Spread
    """Of the making alone, as a maker counts a piece: no drawing, fetching, packing or papers. [h]"""
    job_hours: Spread
    """Of the whole job, drawing and meetings in it. [h]"""
    shop_rate: Decimal
    materials: tuple[Line, ...]
    materials_markup: Decimal
    margin: Decimal
    tax_name: str
    tax_rate: Decimal
    split: tuple[tuple[str, Decimal], ...]
    """Share of the work and materials in each piece, 0 to 1, adding to 1."""
    delivery_lines: tuple[Line, ...] = ()
    bought_in: tuple[Line, ...] = ()
    bought_in_markup: Decimal = Decimal(0)
    tax_inclusive: bool = False
    """The quote's lines are printed with tax in them."""
    round_to: Decimal = Decimal(1)
    own_jobs: int = 0
    """Finished jobs of the maker's own behind the hours."""
    quoted_at: int = 80
    """Percentile of the hours that the quote is made at."""

    def hours_at(self, percent: int) -> Decimal:
        return Decimal(str(round(self.job_hours.at(percent), 2)))

    @cached_property
    def hours_by_kind(self) -> tuple[tuple[str, float], ...]:
        """The likely hours of the whole, split as its operations are: making, and what comes with any job. Adds up to them. [h]"""
        kinds = {"making": 0.0, DRAWING: self.design.median} | dict.fromkeys(OTHER_KINDS.values(), 0.0)
        for row in self.labour:
            kinds[OTHER_KINDS.get(row.work.time.stage, "making")] += row.hours.median
        times = self.job_hours.at(50) / (sum(kinds.values()) or 1.0)
        return tuple((kind, times * hours) for kind, hours in kinds.items() if hours)

    @property
    def unforeseen_hours(self) -> Decimal:
        """Hours over the likely ones that the quote is made at. [h]"""
        return self.hours_at(self.quoted_at) - self.hours_at(50)

    @property
    def overrun_hours(self) -> float:
        """What the likely whole takes over its operations' medians: overruns are longer than savings. [h]"""
        return self.job_hours.at(50) - self.design.median - sum(row.hours.median for row in self.labour)

    @cached_property
    def materials_cost(self) -> Decimal:
        return sum((line.amount for line in self.materials), Decimal("0.00"))

    @cached_property
    def bought_in_cost(self) -> Decimal:
        return sum((line.amount for line in self.bought_in), Decimal("0.00"))

    @cached_property
    def delivery(self) -> Decimal:
        return sum((line.amount for line in self.delivery_lines), Decimal("0.00"))

    @property
    def markup(self) -> Decimal:
        """The margin told as a markup on all that the job costs."""
        return markup_from_margin(self.margin)

    @cached_property
    def unpriced(self) -> tuple[str, ...]:
        """What has no price yet. It is not free: while there is any, no quote is firm."""
        return tuple(
            line.what for line in (*self.materials, *self.bought_in, *self.delivery_lines) if line.rate is None
        )

    def old_prices(self, today: date, most_days: int) -> tuple[str, ...]:
        """Sentences on prices that are old: how old, and which."""
        by_day: dict[date, list[str]] = {}
        for line in (*self.materials, *self.bought_in):
            if line.on is not None and (today - line.on).days > most_days:
                by_day.setdefault(line.on, []).append(line.what)
        return tuple(
            f"{what[0]}{f' and {len(what) - 1} more' if what[1:] else ''}: priced on {day.isoformat()}, "
            f"{(today - day).days} days ago; ask again before this goes out (over {most_days} days)."
            for day, what in sorted(by_day.items())
        )

    @property
    def undated(self) -> tuple[str, ...]:
        """Lines whose price nobody has dated: starting prices of the workbook, boards without a day."""
        return tuple(
            line.what for line in (*self.materials, *self.bought_in) if line.on is None and line.rate is not None
        )

    @property
    def at_starting_prices(self) -> tuple[str, ...]:
        """Lines that stand at a starting price of the workbook's own."""
        return tuple(line.what for line in self.materials if line.rate is not None and "a starting price" in line.source)

    def cost_at(self, percent: int) -> Decimal:
        """What the job costs the maker if its hours come out at that percentile, markups on goods with it."""
        return money(self.hours_at(percent) * self.shop_rate) + self._goods + self.delivery

    @property
    def _goods(self) -> Decimal:
        return money(self.materials_cost * (1 + self.materials_markup)) + money(
            self.bought_in_cost * (1 + self.bought_in_markup)
        )

    def net_at(self, percent: int) -> Decimal:
        return money(price_from_cost(self.cost_at(percent), self.margin))

    @property
    def contingency(self) -> Decimal:
        """What stands between the likely price and the one that is quoted."""
        return self.net_at(self.quoted_at) - self.net_at(50)

    @cached_property
    def quoted(self) -> tuple[tuple[str, Decimal], ...]:
        """The quote's lines, rounded as they are printed; they add up to ``net``, or to ``gross`` with tax inside."""
        with_tax = 1 + self.tax_rate if self.tax_inclusive else Decimal(1)
        lines = []
        delivery = self._rounded(price_from_cost(self.delivery, self.margin) * with_tax)
        rest = self.net_at(self.quoted_at) * with_tax - delivery
        for name, share in self.split:
            lines.append((name, self._rounded(rest * share)))
        if delivery:
            lines.append(("delivery and setting in place", delivery))
        return tuple(lines)

    def _rounded(self, amount: Decimal) -> Decimal:
        return money((amount / self.round_to).quantize(Decimal(1), ROUND_HALF_UP) * self.round_to)

    @cached_property
    def _printed(self) -> Decimal:
        return sum((amount for _, amount in self.quoted), Decimal("0.00"))

    @property
    def net(self) -> Decimal:
        return self._printed - self.tax if self.tax_inclusive else self._printed

    @cached_property
    def tax(self) -> Decimal:
        return tax_inside(self._printed, self.tax_rate) if self.tax_inclusive else money(self._printed * self.tax_rate)

    @property
    def gross(self) -> Decimal:
        return self._printed if self.tax_inclusive else self._printed + self.tax

    @property
    def drivers(self) -> tuple[tuple[str, Decimal], ...]:
        """What the net price is made of; adds up to it. Goods stand with their markup, work at the likely hours."""
        labour = money(self.hours_at(50) * self.shop_rate)
        materials = money(self.materials_cost * (1 + self.materials_markup))
        bought = money(self.bought_in_cost * (1 + self.bought_in_markup))
        contingency = self.cost_at(self.quoted_at) - self.cost_at(50)
        profit = self.net - labour - materials - bought - self.delivery - contingency
        parts = [
            ("work", labour),
            ("timber and materials", materials),
            ("bought in", bought),
            ("delivery", self.delivery),
            ("for what cannot be foreseen", contingency),
            # Without a profit only what rounding the quote's lines leaves stands here.
            ("profit" if self.margin else "rounding of the lines", profit),
        ]
        return tuple(p for p in parts if p[1] or p[0] not in ("bought in", "for what cannot be foreseen", "rounding of the lines"))


def hours_by_item(rows, weights) -> dict[str, float]:
    """Likely hours of each piece as a client is told of them: ``rows`` are ``HoursRow``, ``weights`` as ``price`` takes them. [h]

    What is set up once for several pieces is shared among them as they would take it alone, so that two alike are priced
    alike; at the bench it falls on the first.
    """
    found: dict[str, float] = {name: 0.0 for name, _ in weights}
    of_piece = [row for row in rows if row.work.item in found and row.work.standard_hours]
    pace = [row.hours.median / row.work.standard_hours for row in of_piece]
    set_up, alone = {}, {}
    for row, each in zip(of_piece, pace):
        what = row.work.set_up_for
        set_up[what] = set_up.get(what, 0.0) + each * row.work.set_up_hours
        alone[what] = alone.get(what, 0.0) + each * row.work.set_up_alone_hours
    for row, each in zip(of_piece, pace):
        w, what = row.work, row.work.set_up_for
        shared = each * w.set_up_alone_hours * set_up[what] / alone[what] if alone[what] else 0.0
        found[w.item] += row.hours.median - each * w.set_up_hours + shared
    for row in rows:
        if row.work.item not in found:
            for name, share in weights:
                found[name] += share * row.hours.median
    return found


def price(
    work,
    materials,
    rates: Rates,
    weights,
    estimator: Estimator | None = None,
    delivery=(),
    design_hours: float | None = None,
    waiting=(),
) -> Price:
    """The price of a commission.

    ``work`` from ``count_work``; ``materials`` lines at cost; ``weights`` is [(piece name, share of finished timber)]
    used to split what belongs to no one piece; ``estimator`` what past jobs say (``hours.learnt``); ``delivery`` from
    ``delivery_lines``; ``design_hours`` where they are counted, else those of the rates;
    ``waiting`` what must be bought in and is not priced yet.
    """
    estimator = estimator or learnt(())
    rows, parts = [], []
    for w in work:
        f = estimator.factor(w.time.operation, w.time.log_sd)
        # The maker's pace stands in for records of their own; where there are some, they know better.
        hours = w.standard_hours * (1.0 if w.time.operation in estimator.operations else rates.pace)
        rows.append(HoursRow(w, replace(f, median=hours * f.median)))
        parts.append((w.time.operation, hours, w.time.log_sd))
    drawn = float(rates.design_hours if design_hours is None else design_hours)
    job = estimator.hours([*parts, (DRAWING, drawn, DRAWING_SD)])
    of_drawing = estimator.factor(DRAWING, DRAWING_SD)
    by_item = hours_by_item(rows, weights)
    total = sum(by_item.values()) or 1.0
    shares = [Decimal(str(round(by_item[name] / total, 12))) for name, _ in weights]
    if shares:
        shares[0] += 1 - sum(shares)
    return Price(
        currency=rates.currency,
        labour=tuple(rows),
        design_hours=Decimal(str(drawn)),
        design=replace(of_drawing, median=drawn * of_drawing.median),
        making=estimator.hours([p for w, p in zip(work, parts) if w.time.stage not in WITH_ANY_JOB]),
        job_hours=job,
        shop_rate=shop_rate(rates),
        materials=tuple(materials),
        materials_markup=Decimal(str(rates.materials_markup)),
        margin=Decimal(str(rates.profit_margin)),
        tax_name=rates.tax_name,
        tax_rate=Decimal(str(rates.tax_rate)),
        split=tuple((name, share) for (name, _), share in zip(weights, shares)),
        delivery_lines=tuple(delivery),
        bought_in=tuple(bought_in_lines(rates, waiting)),
        bought_in_markup=Decimal(str(rates.bought_in_markup)),
        tax_inclusive=rates.tax_inclusive,
        round_to=Decimal(rates.round_to),
        own_jobs=estimator.jobs,
        quoted_at=rates.quoted_at,
    )


PIECES_OFF = (1, 2, 6, 12)


@dataclass(frozen=True)
class Break:
    """The price of one when so many are made together."""

    count: int
    each: Decimal
    """Net, of one."""
    hours_each: Decimal
    """Likely, of one. [h]"""
