"""A thousand sound layouts broken at random: the checker finds every one."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

from studio_lib.stock import Fault, check_layout, lay_out
from tests.stock.generator import job

HOW_MANY = 1_000


def nudged_onto(dice, layout, made, boards):
    """A piece pushed onto its neighbour or off its board."""
    p = dice.choice(layout.placements)
    way = dice.choice(("x_mm", "y_mm"))
    size = p.length_mm if way == "x_mm" else p.width_mm
    mates = [q for q in layout.on(p.board) if q is not p]
    if mates:
        q = dice.choice(mates)
        moved = replace(
            p, x_mm=q.x_mm + dice.uniform(-0.4, 0.4) * q.length_mm, y_mm=q.y_mm + dice.uniform(-0.4, 0.4) * q.width_mm
        )
    else:
        moved = replace(p, **{way: -size / 2})
    return replace(layout, placements=tuple(moved if x is p else x for x in layout.placements)), boards


def fault_under(dice, layout, made, boards):
    """A split found right under a piece."""
    p = dice.choice(layout.placements)
    x, y = p.x_mm + dice.uniform(0.1, 0.8) * p.length_mm, p.y_mm + dice.uniform(0.1, 0.8) * p.width_mm
    found = [
        replace(b, faults=(*b.faults, Fault(x, x + 3, y, y + 2, 3, "split"))) if b.ref == p.board_ref else b
        for b in boards
    ]
    return layout, found


def thin_kerf(dice, layout, made, boards):
    """Pieces that touch along an edge closer than the kerf."""
    for p in dice.sample(layout.placements, len(layout.placements)):
        for q in layout.on(p.board):
            if (
                q is not p
                and abs(q.x_mm - (p.x_mm + p.length_mm + made.kerf_mm)) < 1e-6
                and q.y_mm < p.y_mm + p.width_mm
                and p.y_mm < q.y_mm + q.width_mm
            ):
                moved = replace(q, x_mm=q.x_mm - dice.uniform(0.05, 0.9) * made.kerf_mm)
                return replace(layout, placements=tuple(moved if x is q else x for x in layout.placements)), boards
    return dropped(dice, layout, made, boards)


def dropped(dice, layout, made, boards):
    """A piece left out and not said to be missing."""
    p = dice.choice(layout.placements)
    return replace(layout, placements=tuple(x for x in layout.placements if x is not p)), boards


def pinwheel(dice, layout, made, boards):
    """Four pieces round a fifth place: no cut goes from edge to edge."""
    from studio_lib.stock.boards import Board, Placed, Wanted

    a, b, k = dice.randint(200, 400), dice.randint(60, 120), made.kerf_mm
    long, tall = a + b + k, a + b + k
    board = Board("W", "oak", long + 2 * 50, tall + 20, 30, Decimal(5), 1)
    wanted = [Wanted(f"W{n}", *size, 30, 1, "show", "oak") for n, size in enumerate(((a, b), (b, a), (a, b), (b, a)))]
    spots = ((0, 0), (a + k, 0), (b + k, a + k), (0, b + k))
    placed = tuple(Placed("W", 1, w.ref, x, y, 1, w.length_mm, w.width_mm) for w, (x, y) in zip(wanted, spots))
    return replace(layout, placements=placed, boards=(board,), cost=Decimal(5), bound=None, missing={}), (
        [board],
        wanted,
    )


def another_layer(dice, layout, made, boards):
    """More copies in one place than the board is thick for, and not more made than wanted."""
    p = dice.choice(layout.placements)
    moved = replace(p, layers=p.layers + dice.randint(1, 3))
    return replace(layout, placements=tuple(moved if x is p else x for x in layout.placements)), boards


def planed_thin(dice, layout, made, boards):
    """A board that comes out a little thinner than its layers and the resaw cuts between them."""
    p = max(layout.placements, key=lambda p: (p.layers, dice.random()))
    piece = next(w for w in made.pieces if w.ref == p.piece_ref)
    need = p.layers * piece.rough_mm(made.saw["allowances"])[2] + (p.layers - 1) * made.saw["resaw_kerf_mm"]
    thin = need - dice.uniform(0.05, 2.0)
    return layout, [replace(b, thickness_mm=thin) if b.ref == p.board_ref else b for b in boards]


def used_twice(dice, layout, made, boards):
    """A board drawn on that is not there."""
    p = dice.choice(layout.placements)
    moved = [replace(x, board_ref="NOT THERE") if x is p else x for x in layout.placements]
    return replace(layout, placements=tuple(moved)), boards


def cheaper_said(dice, layout, made, boards):
    """A cost that the boards do not add up to."""
    return replace(layout, cost=layout.cost - Decimal("0.01"), bound=None), boards


BREAKS = (nudged_onto, fault_under, thin_kerf, dropped, pinwheel, another_layer, planed_thin, used_twice, cheaper_said)


def test_a_thousand_broken_layouts_are_all_found():
    dice = Random(20_260)
    jobs = [job(200 + n) for n in range(10)]
    sound = [lay_out(j.pieces, j.boards, j.kerf_mm, effort="quick", **j.saw) for j in jobs]
    for j, layout in zip(jobs, sound):
        assert check_layout(layout, j.pieces, j.boards, j.kerf_mm, **j.saw) == []
    passed = []
    for n in range(HOW_MANY):
        made, layout, how = jobs[n % len(jobs)], sound[n % len(jobs)], BREAKS[n % len(BREAKS)]
        broken, boards = how(dice, layout, made, made.boards)
        pieces, saw = made.pieces, made.saw
        if isinstance(boards, tuple) and len(boards) == 2 and isinstance(boards[0], list):
            boards, pieces = boards
            saw = {}
        if not check_layout(broken, pieces, boards, made.kerf_mm, **saw):
            passed.append((n, how.__name__))
    assert passed == []
