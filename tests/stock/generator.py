"""Seeded jobs like those of a workshop: invented furniture on a yard's stock or on single boards with faults."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from random import Random

from studio_lib.stock import Allowances, Board, Fault, Wanted

# name: lines of (number low, high, length low, high, width low, high, thickness, rank)
FORMS = {
    "settle": [
        (2, 2, 800, 950, 60, 80, 45, "show"),
        (2, 2, 380, 450, 60, 80, 45, "show"),
        (7, 12, 1100, 1500, 70, 95, 21, "show"),
        (3, 3, 360, 460, 60, 80, 33, "hidden"),
        (2, 2, 1000, 1400, 90, 110, 28, "show"),
    ],
    "long table": [
        (4, 4, 700, 740, 80, 95, 70, "show"),
        (6, 9, 1600, 2200, 100, 140, 28, "show"),
        (2, 2, 1400, 1900, 90, 110, 26, "show"),
        (2, 2, 600, 800, 90, 110, 26, "show"),
        (3, 4, 600, 800, 60, 80, 33, "hidden"),
        (4, 8, 90, 130, 50, 70, 33, "hidden"),
    ],
    "six stools": [
        (24, 24, 400, 460, 38, 48, 38, "show"),
        (12, 12, 260, 320, 50, 65, 21, "show"),
        (12, 12, 220, 300, 30, 40, 21, "plain"),
        (18, 24, 330, 380, 90, 120, 21, "show"),
    ],
    "bookcase": [
        (2, 4, 1700, 2000, 240, 290, 21, "show"),
        (5, 9, 800, 1000, 220, 280, 21, "plain"),
        (2, 2, 800, 1000, 70, 90, 21, "show"),
        (10, 16, 1600, 1900, 80, 110, 12, "hidden"),
    ],
    "screen": [
        (4, 6, 1700, 2000, 45, 60, 33, "show"),
        (30, 60, 600, 900, 30, 45, 16, "show"),
        (6, 9, 600, 900, 55, 75, 26, "plain"),
    ],
    "dresser": [
        (4, 4, 850, 950, 45, 55, 45, "show"),
        (2, 3, 1300, 1700, 130, 180, 21, "show"),
        (8, 12, 400, 520, 100, 160, 21, "show"),
        (6, 8, 350, 480, 120, 170, 16, "plain"),
        (12, 18, 350, 450, 90, 130, 12, "hidden"),
        (8, 14, 380, 600, 45, 60, 21, "hidden"),
        (6, 10, 400, 480, 30, 40, 21, "hidden"),
    ],
    "low table": [
        (4, 4, 380, 430, 55, 70, 55, "show"),
        (4, 6, 1000, 1300, 100, 140, 26, "show"),
        (2, 2, 850, 1100, 70, 90, 21, "show"),
        (2, 2, 400, 550, 70, 90, 21, "show"),
        (4, 8, 400, 560, 70, 90, 16, "plain"),
    ],
    "shelves": [
        (3, 5, 900, 1300, 180, 240, 28, "show"),
        (2, 4, 500, 800, 180, 240, 28, "show"),
        (6, 9, 150, 240, 150, 200, 28, "plain"),
        (4, 8, 700, 1200, 40, 60, 21, "hidden"),
    ],
    "chest": [
        (8, 12, 900, 1200, 90, 130, 26, "show"),
        (8, 12, 400, 520, 90, 130, 26, "show"),
        (5, 8, 850, 1150, 100, 140, 16, "hidden"),
        (2, 3, 1000, 1250, 150, 200, 26, "show"),
        (4, 6, 380, 480, 40, 60, 26, "plain"),
    ],
    "cupboard": [
        (4, 4, 1100, 1400, 50, 60, 45, "show"),
        (8, 10, 450, 700, 60, 80, 26, "show"),
        (4, 6, 380, 560, 140, 200, 14, "show"),
        (6, 10, 500, 700, 100, 150, 18, "plain"),
        (10, 16, 900, 1200, 80, 110, 12, "hidden"),
        (6, 9, 400, 550, 35, 50, 21, "hidden"),
    ],
}
SECTIONS = ((27, (130, 160, 190, 220)), (40, (140, 180, 220)), (54, (120, 160, 200)), (80, (100, 150, 180)))


@dataclass(frozen=True)
class Made:
    """One job: what to lay out and the saw."""

    name: str
    pieces: tuple[Wanted, ...]
    boards: tuple[Board, ...]
    kerf_mm: float
    saw: dict
    kind: str


def job(seed: int) -> Made:
    """The job of one seed: even seeds have stock sizes, odd ones single boards with faults."""
    dice = Random(7_000 + seed)
    form = list(FORMS)[seed % len(FORMS)]
    kind = "yard" if (seed // len(FORMS) + seed) % 2 else "stock"
    pieces = []
    for n, (low, high, l0, l1, w0, w1, thick, rank) in enumerate(FORMS[form]):
        pieces.append(
            Wanted(f"P{n}", dice.randint(l0, l1), dice.randint(w0, w1), thick, dice.randint(low, high), rank, "oak")
        )
    saw = {
        "allowances": Allowances(dice.choice((10, 15)), 5, 5),
        "end_trim_mm": dice.choice((15, 25)),
        "resaw_kerf_mm": 3.0,
    }
    boards = _stock(dice, pieces) if kind == "stock" else _yard(dice, pieces)
    return Made(f"{form} ({kind}, seed {seed})", tuple(pieces), tuple(boards), dice.choice((3.2, 4.0)), saw, kind)


def _price(dice, length, width, thickness) -> Decimal:
    per_m3 = 2400 + 6 * (thickness - 27) + (width - 130) * 2
    return Decimal(round(length * width * thickness * 1e-9 * per_m3 * dice.uniform(0.94, 1.06) * 100)) / 100


def _needed(pieces):
    for thickness, widths in SECTIONS:
        mine = [p for p in pieces if p.thickness_mm + 5 <= thickness]
        if mine:
            yield thickness, widths, mine


def _stock(dice, pieces):
    boards = []
    for thickness, widths, mine in _needed(pieces):
        widest = max(p.width_mm for p in mine) + 5
        usable = [w for w in widths if w >= min(p.width_mm for p in mine) + 5]
        usable = [w for w in usable if w >= widest][:1] + dice.sample(usable, min(2, len(usable))) or [int(widest) + 10]
        if max(usable) < widest:
            usable.append(int(widest) + 10)
        for w in dict.fromkeys(usable):
            for step in range(0, 11):
                length = 1200 + 300 * step
                boards.append(
                    Board(
                        f"S{thickness}-{w}-{length}",
                        "oak",
                        length,
                        w,
                        thickness,
                        _price(dice, length, w, thickness),
                        None,
                    )
                )
        for n in range(dice.randint(1, 3)):
            length, w = dice.randint(500, 1500), dice.randint(70, 200)
            boards.append(
                Board(
                    f"R{thickness}-{n}",
                    "oak",
                    length,
                    w,
                    thickness,
                    _price(dice, length, w, thickness) / 4,
                    1,
                    source="rack",
                )
            )
    return [b if b.price == round(b.price, 2) else Board(**{**vars(b), "price": round(b.price, 2)}) for b in boards]


def _yard(dice, pieces):
    boards, n = [], 0
    for thickness, _widths, mine in _needed(pieces):
        here = [p for p in mine if thickness == min(t for t, _ in SECTIONS if p.thickness_mm + 5 <= t)]
        need = sum(p.count * (p.length_mm + 15) * (p.width_mm + 9) for p in here) * dice.uniform(2.1, 3.0)
        widest, longest = (
            max((p.width_mm for p in here), default=60) + 12,
            max((p.length_mm for p in here), default=600) + 80,
        )
        while need > 0:
            n += 1
            length = max(dice.randrange(1800, 4200, 10), int(longest) if n % 3 == 0 else 0)
            width = max(dice.randrange(120, 290, 5), int(widest) if n % 2 == 0 else 0)
            need -= length * width
            boards.append(
                Board(
                    f"Y{n}",
                    "oak",
                    length,
                    width,
                    thickness,
                    _price(dice, length, width, thickness),
                    1,
                    tuple(_fault(dice, length, width) for _ in range(dice.choice((0, 1, 1, 2, 3, 4, 5)))),
                )
            )
    return boards


def _fault(dice, length, width) -> Fault:
    what = dice.random()
    if what < 0.22:
        run = dice.randrange(40, 260, 10)
        return (
            Fault(0, run, 0, width, 3, "end split")
            if dice.random() < 0.5
            else Fault(length - run, length, 0, width, 3, "end split")
        )
    if what < 0.36:
        x, run, deep = dice.randrange(0, length - 700, 10), dice.randrange(300, 700, 10), dice.choice((10, 15, 20, 25))
        return Fault(x, x + run, 0, deep, 2, "wane")
    x, y = dice.randrange(50, length - 100, 5), dice.randrange(5, width - 50, 5)
    return Fault(x, x + dice.randrange(20, 90, 5), y, y + dice.randrange(15, 50, 5), dice.choice((1, 1, 2)), "knot")
