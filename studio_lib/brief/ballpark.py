"""A price and time range from the brief alone, what drives it, and how to make it cheaper.

Past jobs of the same kind are used where there are any; otherwise a starting table, which
is our judgement and says so. A range, never one number.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from studio_lib.commission import Rates
from studio_lib.costing.exchange import to_one_eur
from studio_lib.costing.hours import factor
from studio_lib.costing.operations import A_MEETING
from studio_lib.costing.price import Price, price_from_cost, shop_rate
from studio_lib.piece import Piece
from studio_lib.piece.leaves import leaves
from studio_lib.units import overall

SET_UP_SHARE = 0.30
"""Part of one piece's hours that is paid once, however many are made: 0.20 to 0.44 in counted operations of ten forms."""
DRAWN = 2.0
"""Drawing of one piece, its members and joints, where it is counted: 1.4 to 3.3 in counted operations of ten forms. [h]"""
GROWS = 0.75
"""Part of the materials that grows with the people; legs and joints stay. From counted operations of tables."""
SMALLER = 0.10
FEWER_PARTS = 0.20
CHEAPER_TIMBER = 1 / 3
TIMBER_PART = 0.85
"""Part of the materials that is timber; judgement of ours."""
TO_SAFE = 0.8416 / 1.2816
"""How far P80 lies from P50 towards P90, on a logarithm that is normal."""
TIMBER_SWING = Decimal("0.25")
"""What the boards really bought may cost less or more than timber by volume; judgement of ours."""
MOST_ON_A_BENCH = 4
"""More do not lengthen a bench: it is then two."""
TEN = Decimal("10")


@dataclass(frozen=True)
class Wanted:
    """One kind of piece asked for.

    ``people`` it is for, None for the usual number of that kind; only tables, benches and
    beds grow with it, a bench to four.
    """

    kind: str
    count: int = 1
    people: int | None = None

    def __post_init__(self):
        if self.kind not in kinds():
            raise ValueError(f"No starting price for {self.kind!r}. On file: {', '.join(kinds())}.")
        if not 1 <= self.count <= 200 or self.count != int(self.count):
            raise ValueError(f"{self.count:g} of the {self.kind}; give a whole number from 1 to 200.")
        if self.people is not None and not 1 <= self.people <= 40:
            raise ValueError(f"{self.people:g} people at the {self.kind}; give 1 to 40.")


@dataclass(frozen=True)
class PastJob:
    """A finished job of the maker's own: pieces of one kind, workshop hours, price before tax."""

    kind: str
    hours: float
    net: Decimal
    count: int = 1

    def __post_init__(self):
        if not self.hours > 0 or not self.net > 0 or self.count < 1:
            raise ValueError(
                f"A past {self.kind} of {self.hours:g} h at {self.net} for {self.count}; all three above 0."
            )


@dataclass(frozen=True)
class Cheaper:
    """One way to make it cheaper, and what it is likely to save before tax."""

    way: str
    how: str
    saves: Decimal


@dataclass(frozen=True)
class Ballpark:
    """Hours and price before tax, low (one job in ten below), likely and high (one in ten above)."""

    hours: tuple[float, float, float]
    net: tuple[Decimal, Decimal, Decimal]
    currency: str
    tax_rate: Decimal
    drivers: tuple[tuple[str, Decimal], ...]
    """What the likely price is made of, the largest first; adds up to it."""
    cheaper: tuple[Cheaper, ...]
    basis: str
    """From what it was worked out: past jobs or the starting table."""
    sources: tuple[str, ...]
    safe: Decimal
    """Before tax, as it would be quoted."""
    at_the_bench: tuple[float, float] | None = None
    """Hours of the making alone, one job in ten under and one over, where the piece could be counted. [h]"""
    safe_at: int = 80
    """So many jobs in a hundred come in under ``safe``."""

    @property
    def gross_safe(self) -> Decimal:
        """What the quote would be, with tax, to the ten."""
        return _tens(self.safe * (1 + self.tax_rate))

    @property
    def gross(self) -> tuple[Decimal, Decimal, Decimal]:
        """The same with tax, to the ten."""
        return tuple(_tens(n * (1 + self.tax_rate)) for n in self.net)

    @property
    def says(self) -> str:
        low, likely, high = self.hours
        a, b, c = self.net
        return (
            f"{a:.0f} to {c:.0f} {self.currency} before tax, {b:.0f} likely; {low:.0f} to {high:.0f} "
            f"hours, {likely:.0f} likely. {self.basis}"
        )


@dataclass(frozen=True)
class _Sum:
    """Hours (without design) and materials at cost of the whole wish."""

    hours: tuple[float, float, float]
    materials: float
    size_hours: float
    parts_hours: float
    finish_hours: float


def _table(name: str, key: str) -> dict[str, dict[str, str]]:
    with Path(__file__).with_name(f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return {r[key]: r for r in csv.DictReader(file)}


@cache
def _kinds() -> dict[str, dict[str, str]]:
    return _table("starting_prices", "kind")


@cache
def _factors() -> dict[str, dict[str, str]]:
    return _table("starting_factors", "when")


def kinds() -> tuple[str, ...]:
    """Kinds of piece that have a starting price."""
    return tuple(_kinds())


NUMBERS = ("no", "one", "two", "three", "four", "five", "six")
COUNTED = {"doors": ("door", "doors"), "drawer_rows": ("drawer", "drawers"), "drawers": ("drawer", "drawers"), "shelf_count": ("shelf", "shelves")}
"""Sizes of a form that count what is seen of it; the piece itself says how many there are."""
CHOSEN = ("back", "top")
"""Sizes of a form by which a piece is known at a glance."""


def _counted_on(piece: Piece) -> dict[str, int]:
    """Doors, drawers and shelves of a piece as it stands, by the size that asks for them."""
    kinds = [leaf.kind for leaf in leaves(piece)]
    roles = [m.role for m in piece.members]
    low = [m.piece_box.lo[2] for m in piece.members if m.role == "shelf"]
    # Of a case without a bottom of its own the lowest shelves are the bottom, one in each bay.
    shelves = len(low) - (sum(z < min(low) + 1.0 for z in low) if low and "bottom" not in roles else 0)
    return {"doors": kinds.count("door"), "drawer_rows": kinds.count("drawer"), "drawers": kinds.count("drawer"), "shelf_count": shelves}


def reckoned_words(form, sizes: dict[str, float], piece: Piece, count: int = 1) -> str:
    """The piece that is reckoned, in one line: 'cabinet 1000 x 460 x 850 mm, two doors'; what is on it is counted on the piece itself."""
    said, overall_mm, counted = [f"{count} of them"] if count > 1 else [], piece.overall_mm, _counted_on(piece)
    for s in form.sizes:
        value = counted[s.name] if s.name in COUNTED else int(sizes.get(s.name, 0)) if s.whole else 0
        if s.name in COUNTED and value:
            said.append(f"{NUMBERS[value] if value < len(NUMBERS) else value} {COUNTED[s.name][value != 1]}")
        elif s.name in CHOSEN and s.choices:
            said.append(s.words(value) if s.words(value).startswith(("a ", "no ")) else f"{s.label.lower()}: {s.words(value)}")
    return f"{form.name} {overall(*overall_mm)} mm{''.join(f', {x}' for x in said)}"


def repeats(count: int) -> float:
    """Hours of ``count`` like pieces in hours of one: what is set up once, and the rest for each."""
    return SET_UP_SHARE + (1 - SET_UP_SHARE) * count


def kind_of(form: str, place: str, low: bool = False) -> str:
    """The kind whose starting price a form takes: a bench out of doors is made with a back; ``low``: a table not sat at."""
    if low:
        return "low table"
    return "bench with back" if form == "bench" and place.startswith("outdoors") else form


def ballpark(
    wanted: Sequence[Wanted], place: str, use: str, rates: Rates, past: Sequence[PastJob] = (),
    theirs: float = 0.0, theirs_words: str = "",
) -> Ballpark:
    """What such a commission is likely to take, from the brief alone.

    Raises ValueError for an empty wish, an unknown place or use. ``past`` jobs of a kind
    replace the table's hours as they come in (same rule as the hours of operations); the
    low and high ends then follow their spread. ``theirs`` is what the timber that the client brings would cost if it
    were bought; it is taken off, up to all of the timber. ``theirs_words`` say so.
    """
    if not wanted:
        raise ValueError("No piece is asked for yet; add one to have a ballpark.")
    for word in (place, use):
        if word not in _factors():
            raise ValueError(f"{word!r} is no place or use on file. On file: {'; '.join(_factors())}.")
    total = _add([_one(w, place, use, past) for w in wanted])
    goods = total.materials * float(to_one_eur(rates))
    materials = goods - min(theirs, TIMBER_PART * goods)
    all_theirs = theirs >= TIMBER_PART * goods
    design = A_MEETING * rates.meetings + DRAWN * len(wanted) if rates.design_counted else rates.design_hours
    design *= rates.with_any_job
    hours = tuple(h + design for h in total.hours)

    def net(of_hours: float, of_materials: float) -> Decimal:
        return _tens(price_from_cost(_cost(of_hours, of_materials, rates), Decimal(str(rates.profit_margin))))

    swing = float(TIMBER_SWING) * materials
    prices = tuple(net(h, materials + by * swing) for h, by in zip(hours, (-1, 0, 1)))
    used = [p for p in past if p.kind in {w.kind for w in wanted}]
    prices = _by_past_prices(prices, wanted, used) if used else prices
    likely = hours[1]
    basis = (
        f"From {len(used)} past {'job' if len(used) == 1 else 'jobs'} of the kind and the starting table"
        if used else "From the starting table: judgement, no past jobs of the kind"
    )
    basis += f"; {theirs_words}" if theirs_words else ""
    saving = [
        Cheaper("size", f"{100 * SMALLER:.0f} % smaller each way",
                net(likely, materials) - net(likely - SMALLER * total.size_hours, materials * (1 - SMALLER) ** 2)),
        Cheaper("parts and joints", f"one part in {1 / FEWER_PARTS:.0f} fewer, and its joints",
                net(likely, materials) - net(likely - FEWER_PARTS * total.parts_hours, materials)),
    ]
    if not all_theirs:
        bought = materials - (1 - TIMBER_PART) * goods
        saving.append(
            Cheaper("timber", "a timber at two thirds of the price", net(likely, materials) - net(likely, materials - CHEAPER_TIMBER * bought))
        )
    saving.append(
        Cheaper("finish", "half the finishing", net(likely, materials) - net(likely - total.finish_hours / 2, materials))
    )
    return Ballpark(
        hours, prices, rates.currency, Decimal(str(rates.tax_rate)),
        _drivers(prices[1], total.hours[1], design, materials, rates), tuple(saving[:3]), basis,
        tuple(dict.fromkeys(
            [_kinds()[w.kind]["source"] for w in wanted] + [_factors()[word]["source"] for word in (place, use)]
        )),
        min(net(likely * (hours[2] / likely) ** TO_SAFE, materials), prices[2]),
    )


def counted_ballpark(price: Price, wanted: Sequence[Wanted], theirs: str = "", fitted: bool = False) -> Ballpark:
    """The range of a piece that can be counted: hours P10, P50, P90, timber by volume a quarter less or more.

    ``price`` with timber by volume (``Derived.rough_price``); ``wanted`` the same pieces by kind, for what a change of
    size or parts would save. ``theirs`` says what of the timber the client's own makes; its cost is off ``price`` already.
    ``fitted``: all is fitted into a place that sets its size, so that none smaller is offered.
    """
    timber = sum((line.amount for line in price.materials if line.kind == "timber"), Decimal(0))
    swing = timber * TIMBER_SWING * (1 + price.materials_markup)

    def net(cost: Decimal) -> Decimal:
        return _tens(price_from_cost(cost, price.margin))

    low, likely, high = (net(price.cost_at(q) + by * swing) for q, by in ((10, -1), (50, 0), (90, 1)))
    hours = tuple(float(price.hours_at(q)) for q in (10, 50, 90))
    bench = max(hours[1] - price.design.median, 0.0)
    of_kind = [(_kinds()[w.kind], float(_kinds()[w.kind]["hours_likely"]) * repeats(w.count)) for w in wanted]
    whole = sum(h for _, h in of_kind)

    def share(name: str) -> float:
        return bench * sum(float(row[f"{name}_share"]) * h for row, h in of_kind) / whole

    def saved(of_hours: float, of_timber: Decimal = Decimal(0)) -> Decimal:
        less = Decimal(str(of_hours)) * price.shop_rate + of_timber * (1 + price.materials_markup)
        return likely - net(price.cost_at(50) - less)

    saving = [
        Cheaper("size", f"{100 * SMALLER:.0f} % smaller each way",
                saved(SMALLER * share("size"), timber * Decimal(str(1 - (1 - SMALLER) ** 2)))),
        Cheaper("parts and joints", f"one part in {1 / FEWER_PARTS:.0f} fewer, and its joints",
                saved(FEWER_PARTS * share("parts"))),
        Cheaper("finish", "half the finishing", saved(share("finish") / 2)),
    ]
    if timber:
        saving[2] = Cheaper("timber", "a timber at two thirds of the price", saved(0.0, timber * Decimal(str(CHEAPER_TIMBER))))
    if fitted:
        del saving[0]
    drawing = _tens(Decimal(str(price.design.median)) * price.shop_rate)
    rows = [
        ("work in the workshop", _tens(price.hours_at(50) * price.shop_rate) - drawing), ("drawing and meetings", drawing),
        ("timber and materials", _tens(price.materials_cost * (1 + price.materials_markup))),
        ("bought in", _tens(price.bought_in_cost * (1 + price.bought_in_markup))), ("delivery", _tens(price.delivery)),
    ]
    rows.append(("profit and rounding", likely - sum((amount for _, amount in rows), Decimal(0))))
    by_volume = next((line for line in price.materials if line.kind == "timber" and "by volume" in line.what), None)
    words = (
        theirs if theirs
        else "timber by volume until boards are seen" if by_volume else "timber as the boards on your list" if timber else "no timber in it"
    )
    jobs = price.own_jobs
    whose = f"hours as {jobs} past {'job' if jobs == 1 else 'jobs'} of yours went" if jobs else "standard hours of ours"
    return Ballpark(
        hours, (low, likely, high), price.currency, price.tax_rate,
        tuple(sorted((r for r in rows if r[1]), key=lambda r: -r[1])), tuple(saving),
        f"Counted from the pieces at their present sizes, {whose}; {words}. It moves as the sizes do; a heated room or an "
        "unheated one is the same work",
        tuple(dict.fromkeys(f"{line.what}: {line.rate} a m3, {line.source}" for line in price.materials if line.kind == "timber")),
        net(price.cost_at(price.quoted_at)), (price.making.at(10), price.making.at(90)), price.quoted_at,
    )


def _one(w: Wanted, place: str, use: str, past) -> _Sum:
    row = _kinds()[w.kind]
    base = int(row["base_people"])
    people = min(w.people or base, MOST_ON_A_BENCH if w.kind.startswith("bench") else 40)
    grown = people / base if row["grows_with_people"] == "yes" else 1.0
    size_share = float(row["size_share"])
    by_size = (1 - size_share) + size_share * grown
    by_factor = float(_factors()[place]["hours_factor"]) * float(_factors()[use]["hours_factor"])
    table = tuple(float(row[f"hours_{k}"]) * by_size * by_factor for k in ("low", "likely", "high"))
    own = [j.hours / repeats(j.count) / float(row["hours_likely"]) for j in past if j.kind == w.kind]
    if own:
        f = factor(own)
        table = tuple(table[1] * f.at(p) for p in (10, 50, 90))
    hours = tuple(h * repeats(w.count) for h in table)
    materials = (
        float(row["materials"]) * (1 - GROWS + GROWS * grown) * w.count
        * float(_factors()[place]["materials_factor"]) * float(_factors()[use]["materials_factor"])
    )
    likely = hours[1]
    return _Sum(
        hours, materials, likely * size_share, likely * float(row["parts_share"]), likely * float(row["finish_share"])
    )


def _add(parts: list[_Sum]) -> _Sum:
    return _Sum(
        tuple(sum(p.hours[i] for p in parts) for i in range(3)), sum(p.materials for p in parts),
        sum(p.size_hours for p in parts), sum(p.parts_hours for p in parts), sum(p.finish_hours for p in parts),
    )


def _cost(hours: float, materials: float, rates: Rates) -> Decimal:
    delivery = Decimal(str(rates.delivery_km)) * rates.delivery_per_km
    return (
        Decimal(str(hours)) * shop_rate(rates)
        + Decimal(str(materials)) * (1 + Decimal(str(rates.materials_markup))) + delivery
    )


def _by_past_prices(prices, wanted, used) -> tuple[Decimal, Decimal, Decimal]:
    """Prices widened to hold what like pieces really brought, when every kind has a past price."""
    if {w.kind for w in wanted} - {j.kind for j in used}:
        return prices
    brought = {w.kind: [j.net / Decimal(str(repeats(j.count))) for j in used if j.kind == w.kind] for w in wanted}
    low, high = (
        _tens(sum((pick(brought[w.kind]) * Decimal(str(repeats(w.count))) for w in wanted), Decimal(0)))
        for pick in (min, max)
    )
    return min(prices[0], low), prices[1], max(prices[2], high)


def _drivers(net: Decimal, work_hours: float, design: float, materials: float, rates: Rates):
    rate = shop_rate(rates)
    rows = [
        ("work in the workshop", _tens(Decimal(str(work_hours)) * rate)),
        ("drawing and meetings", _tens(Decimal(str(design)) * rate)),
        ("timber and materials", _tens(Decimal(str(materials)) * (1 + Decimal(str(rates.materials_markup))))),
        ("delivery", _tens(Decimal(str(rates.delivery_km)) * rates.delivery_per_km)),
    ]
    rows.append(("profit and rounding", net - sum((amount for _, amount in rows), Decimal(0))))
    return tuple(sorted((r for r in rows if r[1]), key=lambda r: -r[1]))


def _tens(amount: Decimal) -> Decimal:
    return (amount / TEN).quantize(Decimal("1")) * TEN
