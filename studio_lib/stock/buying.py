"""What to ask the yard for, from which yards, what it costs, and what to lay by for faults not yet seen."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import combinations

from studio_lib.stock.boards import Board, Layout
from studio_lib.stock.cutting_list import quarter_words
from studio_lib.stock.layout import lay_out
from studio_lib.stock.sizes import GRADE_YIELD_PCT
from studio_lib.units import mm, size

MOST_YARDS = 5
"""Yards whose every combination is tried."""
LONGER_MM, WIDER_MM = 600.0, 50.0
"""How much larger the board is that is asked after."""
SMALL_SIZES = ((LONGER_MM, 0.0), (0.0, WIDER_MM))


@dataclass(frozen=True)
class Purchase:
    """Equal boards bought together."""

    board: Board
    count: int

    @property
    def cost(self) -> Decimal:
        return self.board.price * self.count

    @property
    def volume_m3(self) -> float:
        return self.count * self.board.volume_mm3 * 1e-9


def purchases(layout: Layout, boards) -> tuple[Purchase, ...]:
    """The boards a layout uses, equal ones together, in the order they were offered."""
    used = Counter(ref for ref, _copy in layout.boards_used)
    return tuple(Purchase(b, used[b.ref]) for b in boards if used[b.ref])


@dataclass(frozen=True)
class Line:
    """One line of what to ask for."""

    yard: str
    words: str
    count: int
    cost: Decimal
    volume_m3: float
    seen: bool
    """A board that was seen and is to be held, not a size that is sold."""


def phone_list(bought, moisture_pct: float | None = None, reserve=(), in_quarters: bool = False) -> tuple[Line, ...]:
    """What to ask for, in the yard's terms: pieces, section, length, grade, moisture.

    ``bought`` from ``purchases``; boards of the rack and the client's own are not asked for. ``reserve`` from ``reserves``
    adds boards for faults not yet seen. ``in_quarters``: thicknesses sold in quarters of an inch are called so. Equal sections of one yard stand together, longest first.
    """
    extra = Counter({r.ref: r.boards for r in reserve})
    dry = "" if moisture_pct is None else f", dried to {moisture_pct:g} %"
    lines = []
    for p in sorted(
        bought,
        key=lambda p: (p.board.yard, p.board.timber, -p.board.thickness_mm, -p.board.widest_mm, -p.board.length_mm),
    ):
        b = p.board
        if not b.is_bought:
            continue
        n = p.count + extra[b.ref]
        if b.asked:
            asked = b.asked
            if in_quarters and (called := quarter_words(b.thickness_mm)):
                asked = asked.replace(f"{mm(b.width_mm)} x {mm(b.thickness_mm)} mm sawn", f"{called} rough, {mm(b.width_mm)} mm wide")
            words = f"{b.timber}, {asked}, {mm(b.length_mm)} mm long{dry}"
        else:
            grade = f", {b.grade}" if b.grade else ""
            words = f"{b.timber}, the board marked {b.ref}: {size(b.length_mm, b.widest_mm, b.thickness_mm)} mm{grade}"
        lines.append(Line(b.yard, words, n, b.price * n, n * b.volume_mm3 * 1e-9, not b.asked))
    return tuple(lines)


@dataclass(frozen=True)
class Reserve:
    """Boards of one stock size to add for faults that nobody has seen yet."""

    ref: str
    boards: int
    yield_pct: float
    cost: Decimal
    why: str


def reserves(bought, yield_of=None) -> tuple[Reserve, ...]:
    """Boards to add to those bought unseen, by grade; boards seen had their faults measured.

    A layout counts a stock board as sound all over. Of a grade that gives a share y of clear timber,
    buying n / y boards is needed for n (not n (1 + 1 - y); trade notes X9). ``yield_of(board)``
    gives y in %; by default the grade's least, and 100 for a grade unknown.
    """
    by_grade = {name.lower(): pct for name, pct in GRADE_YIELD_PCT.items()}
    out = []
    for p in bought:
        b = p.board
        if not b.asked:
            continue
        pct = yield_of(b) if yield_of else None
        why = "the yield you entered"
        if pct is None or pct >= 100:
            pct, why = by_grade.get(b.grade.lower()), f"least clear yield of {b.grade}, from memory"
        if pct is None or pct >= 100:
            continue
        more = math.ceil(p.count * (100 / pct - 1) - 1e-9)
        if more:
            out.append(Reserve(b.ref, more, pct, b.price * more, why))
    return tuple(out)


@dataclass(frozen=True)
class Mix:
    """What it comes to from some of the yards."""

    yards: tuple[str, ...]
    layout: Layout
    boards_cost: Decimal
    topped_up: Decimal
    """Paid for beyond the boards, because a yard's minimum order is higher."""
    delivery: Decimal

    @property
    def total(self) -> Decimal:
        return self.boards_cost + self.topped_up + self.delivery


def mixes(
    pieces, boards, asked: dict, yards, effort: str = "quick", seconds: float = 5.0, stop=None
) -> tuple[Mix, ...]:
    """Every combination of the yards that covers the list, the cheapest first.

    ``yards`` have ``name``, ``minimum_order`` and ``delivery``; a yard is paid for only where something
    comes from it. The rack and the client's own boards cost no delivery and go with every combination. ``asked`` as ``lay_out``.
    Combinations are compared by a first layout; with ``effort`` 'thorough' the best three are searched.
    """
    known = {y.name: y for y in yards}
    names = sorted({b.yard for b in boards if b.is_bought})
    if len(names) > MOST_YARDS:
        raise ValueError(
            f"{len(names)} yards are named; up to {MOST_YARDS} can be compared at once. Put some boards back."
        )
    rack = [b for b in boards if not b.is_bought]
    found: dict[tuple, Mix] = {}
    for n in range(1, len(names) + 1):
        for chosen in combinations(names, n):
            if stop and stop():
                break
            on = [b for b in boards if b.is_bought and b.yard in chosen] + rack
            mix = _mix(pieces, on, asked, known, "quick", seconds)
            if mix and (mix.yards not in found or mix.total < found[mix.yards].total):
                found[mix.yards] = mix
    ranked = sorted(found.values(), key=lambda m: (m.total, len(m.yards)))
    if effort == "thorough":
        for i, mix in enumerate(ranked[:3]):
            on = [b for b in boards if b.is_bought and b.yard in mix.yards] + rack
            better = None if stop and stop() else _mix(pieces, on, asked, known, "thorough", seconds)
            if better and better.total < mix.total:
                ranked[i] = better
        ranked.sort(key=lambda m: (m.total, len(m.yards)))
    return tuple(ranked)


def _mix(pieces, boards, asked, known, effort, seconds) -> Mix | None:
    held = {b.ref for b in boards}
    asked = asked | {"pins": tuple(p for p in asked.get("pins", ()) if p.board_ref in held)}
    layout = lay_out(pieces, boards, seconds=seconds, effort=effort, **asked)
    if layout.missing:
        return None
    spent: Counter = Counter()
    for ref, _ in layout.boards_used:
        b = layout.board(ref)
        if b.is_bought:
            spent[b.yard] += b.price
    topped = sum(
        (max(Decimal(0), known[y].minimum_order - cost) for y, cost in spent.items() if y in known), Decimal(0)
    )
    delivery = sum((known[y].delivery for y in spent if y in known), Decimal(0))
    return Mix(tuple(sorted(spent)), layout, layout.cost, topped, delivery)


@dataclass(frozen=True)
class Larger:
    """What a board larger than any on offer would save."""

    words: str
    price: Decimal
    saves: Decimal


def larger_boards(pieces, boards, layout: Layout, asked: dict, stop=None) -> tuple[Larger, ...]:
    """What one longer or wider board of each thickness in use would save, at the same price by volume.

    A first layout with the board on offer, against the layout in hand; so the saving is at least what
    is said, if the yard has such a board. The most saving first; only what saves is listed.
    """
    out = []
    for thickness in sorted({b.thickness_mm for b in layout.boards}):
        used = [b for b in layout.boards if b.thickness_mm == thickness and b.is_bought]
        if not used:
            continue
        widest, longest = max(used, key=lambda b: b.widest_mm), max(used, key=lambda b: b.length_mm)
        rate = sum(b.price for b in used) / Decimal(str(sum(b.volume_mm3 for b in used)))
        for more_length, more_width in SMALL_SIZES:
            if stop and stop():
                return tuple(out)
            base = longest if more_length else widest
            big = replace(
                base,
                ref="\x1dlarger",
                length_mm=base.length_mm + more_length,
                width_mm=base.widest_mm + more_width,
                width_end_mm=None,
                faults=(),
                count=None,
                asked="",
                price=Decimal(0),
            )
            if any(
                b.thickness_mm == big.thickness_mm and b.length_mm >= big.length_mm and b.widest_mm >= big.width_mm
                for b in boards
            ):
                continue
            price = (rate * Decimal(str(big.volume_mm3))).quantize(Decimal("0.01"), ROUND_HALF_UP)
            found = lay_out(
                pieces, [*boards, replace(big, price=price)], seconds=1.0, effort="quick", kept=layout, **asked
            )
            if not found.missing and found.cost < layout.cost and any(b.ref == big.ref for b in found.boards):
                out.append(
                    Larger(
                        f"{big.timber} {size(big.length_mm, big.width_mm, big.thickness_mm)} mm, clear, about {price}",
                        price,
                        layout.cost - found.cost,
                    )
                )
    return tuple(sorted(out, key=lambda x: -x.saves))
