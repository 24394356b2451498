"""The checker against layouts with known verdicts, and against layouts spoilt on purpose."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from studio_lib.stock import (
    Allowances,
    Board,
    Fault,
    Layout,
    Placed,
    Wanted,
    check_layout,
    lay_out,
    replay,
)
from tests.stock.cases import DATA, Case, case_of, read_cases

CONSTRUCTED = {c.name: c for c in read_cases(DATA / "constructed.json")}
VERDICTS = json.loads((DATA / "checker_cases.json").read_text())["cases"]


def stored_layout(case: Case, rows) -> Layout:
    """A stored layout, rows [piece index, x, y, layers] per board, as a Layout."""
    copies: dict[str, int] = {}
    placements = []
    for ref, cells in rows:
        copies[ref] = copies.get(ref, 0) + 1
        for index, x, y, layers in cells:
            piece = case.pieces[index]
            length, width, _ = piece.rough_mm(case.saw["allowances"])
            placements.append(Placed(ref, copies[ref], piece.ref, x, y, layers, length, width))
    stock = {b.ref: b for b in case.boards}
    return Layout(
        tuple(placements), case.boards, sum((stock[ref].price for ref, _ in rows), Decimal(0)),
        None, {}, False, 0.0, 0.0, case.kerf_mm, case.saw["end_trim_mm"],
    )


def check(layout: Layout, case: Case) -> list[str]:
    return check_layout(layout, case.pieces, case.boards, case.kerf_mm, **case.saw)


# Verdicts stored with the layouts; each was worked out with another checker.
@pytest.mark.parametrize("row", VERDICTS, ids=lambda r: r["why"])
def test_stored_verdicts(row):
    case = case_of(row["job"]) if isinstance(row["job"], dict) else CONSTRUCTED[row["job"]]
    rows = case.row["witness"] if row["layout"] == "witness" else row["layout"]
    assert (check(stored_layout(case, rows), case) == []) is row["valid"]


# The layouts that prove the optimum of the constructed jobs, by the side that built them.
@pytest.mark.parametrize("case", CONSTRUCTED.values(), ids=lambda c: c.name)
def test_witnesses_are_sound(case):
    assert check(stored_layout(case, case.row["witness"]), case) == []


@pytest.fixture(scope="module")
def sideboard() -> tuple[Case, Layout]:
    case = next(c for c in read_cases(DATA / "jobs.json") if c.name.startswith("sideboard"))
    return case, lay_out(case.pieces, case.boards, case.kerf_mm, effort="quick", **case.saw)


def spoilt(layout: Layout, index: int, **change) -> Layout:
    placements = list(layout.placements)
    placements[index] = replace(placements[index], **change)
    return replace(layout, placements=tuple(placements))


def tight_pair(layout: Layout, kerf_mm: float) -> int:
    """A piece with a neighbour exactly one kerf further along, beside it across."""
    for i, a in enumerate(layout.placements):
        for b in layout.on(a.board):
            beside = a.y_mm < b.y_mm + b.width_mm and b.y_mm < a.y_mm + a.width_mm
            if beside and abs(a.x_mm + a.length_mm + kerf_mm - b.x_mm) < 1e-6:
                return i
    raise AssertionError("no tight pair in this layout")


def test_a_piece_moved_by_a_millimetre_is_found(sideboard):
    case, layout = sideboard
    i = tight_pair(layout, case.kerf_mm)
    wrong = check(spoilt(layout, i, x_mm=layout.placements[i].x_mm + 1), case)
    assert any("less than the kerf" in w for w in wrong)


def test_a_piece_left_out_is_found(sideboard):
    case, layout = sideboard
    ref = layout.placements[0].piece_ref
    wrong = check(replace(layout, placements=layout.placements[1:]), case)
    assert any(w.startswith(f"{ref}: ") and "wanted" in w for w in wrong)


def test_a_layer_too_many_is_found(sideboard):
    case, layout = sideboard
    i = next(i for i, p in enumerate(layout.placements) if p.layers == 1)
    assert any("do not come out of" in w for w in check(spoilt(layout, i, layers=9), case))


# 3 of 10 + 5 mm and two cuts of 4 mm are 53 mm: one more than the board. Without the planing, or without
# the cuts, they would fit, so a checker that forgot either would let them pass.
@pytest.mark.parametrize("dressing, resaw, sound", [(5, 4.0, False), (5, 3.0, True), (0, 4.0, True), (6, 3.0, False)])
def test_layers_need_room_for_every_resaw_cut_and_for_planing_each(dressing, resaw, sound):
    board = Board("T", "ash", 1000, 100, 52, Decimal(20), 1)
    piece = Wanted("A", 900, 90, 10, 3, "show", "ash")
    layout = Layout((Placed("T", 1, "A", 0, 0, 3, 900, 90),), (board,), Decimal(20), None, {}, False, 0, 0, 3, 0)
    wrong = check_layout(layout, [piece], [board], 3, allowances=Allowances(0, 0, dressing), resaw_kerf_mm=resaw)
    assert (wrong == []) is sound
    assert sound or "do not come out of 52 thick" in wrong[0]


def test_a_piece_slid_over_a_fault_is_found(sideboard):
    case, layout = sideboard
    stock = {b.ref: b for b in case.boards}
    i, fault = next(
        (i, f) for i, p in enumerate(layout.placements)
        for f in stock[p.board_ref].faults if f.severity == 3
    )
    wrong = check(spoilt(layout, i, x_mm=fault.x0_mm, y_mm=0.0), case)
    assert any("of severity 3" in w for w in wrong)


def test_a_wrong_cost_and_a_bound_above_it_are_found(sideboard):
    case, layout = sideboard
    assert any("cost" in w for w in check(replace(layout, cost=layout.cost - 1), case))
    assert any("bound" in w for w in check(replace(layout, bound=layout.cost + 1), case))


def test_wrong_timber_and_wrong_size_are_found(sideboard):
    case, layout = sideboard
    other = tuple(replace(b, timber="larch") for b in case.boards)
    wrong = check_layout(layout, case.pieces, other, case.kerf_mm, **case.saw)
    assert any("the board is larch, the piece wants ash" in w for w in wrong)
    shorter = spoilt(layout, 0, length_mm=layout.placements[0].length_mm - 1)
    assert any("its rough size is" in w for w in check(shorter, case))


def test_more_boards_than_there_are_is_found():
    board = Board("B", "ash", 1000, 100, 25, Decimal(10), 1)
    piece = Wanted("A", 900, 90, 25, 2, "show", "ash")
    twice = tuple(Placed("B", n, "A", 0, 0, 1, 900, 90) for n in (1, 2))
    layout = Layout(twice, (board,), Decimal(20), None, {}, False, 0, 0, 3, 0)
    assert check_layout(layout, [piece], [board], 3) == ["Board B is used 2 times, there are 1."]


# Five pieces round a square: none overlaps, and no straight cut from edge to edge misses all.
@pytest.mark.parametrize("kerf", [0, 3, 5])
def test_a_pinwheel_cannot_be_cut(kerf):
    long, short = 300, 100
    middle = long - short - kerf
    far = long + kerf
    side = long + kerf + short
    board = Board("B", "ash", side, side, 25, Decimal(1), 1)
    pieces = [Wanted("L", long, short, 25, 2, "show", "ash"),
              Wanted("W", short, long, 25, 2, "show", "ash"),
              Wanted("M", middle, middle, 25, 1, "show", "ash")]
    spots = [("L", 0, 0, long, short), ("W", far, 0, short, long),
             ("L", short + kerf, far, long, short), ("W", 0, short + kerf, short, long),
             ("M", short + kerf, short + kerf, middle, middle)]
    layout = Layout(
        tuple(Placed("B", 1, ref, x, y, 1, l, w) for ref, x, y, l, w in spots),
        (board,), Decimal(1), None, {}, False, 0, 0, kerf, 0,
    )
    assert check_layout(layout, pieces, [board], kerf) == ["Board B no. 1 cannot be cut edge to edge."]


# Hand sum: 2 ends trimmed at 25, kerf 3. Board 1000 x 100, pieces 400 x 100 twice.
def test_cuts_of_a_plain_board_by_hand():
    board = Board("B", "ash", 1000, 100, 25, Decimal(1), 1)
    layout = lay_out([Wanted("A", 400, 100, 25, 2, "show", "ash")], [board], 3,
                     effort="quick", end_trim_mm=25)
    cuts = layout.cuts(("B", 1))
    # Off the far end first, then the near end, then between the two pieces.
    assert [(c.part, c.kind, c.at_mm) for c in cuts] == [
        (0, "crosscut", 828), (1, "crosscut", 22), (4, "crosscut", 400)]
    assert [(c.near_is, c.far_is) for c in cuts] == [
        ("to cut", "offcut"), ("offcut", "to cut"), ("A", "A")]


@pytest.mark.parametrize(
    "case", [*read_cases(DATA / "jobs.json"), *CONSTRUCTED.values()], ids=lambda c: c.name
)
def test_replaying_the_cuts_gives_every_piece(case):
    layout = lay_out(case.pieces, case.boards, case.kerf_mm, effort="quick", **case.saw)
    for key in layout.boards_used:
        board = layout.board(key[0])
        parts = replay(board, layout.cuts(key), case.kerf_mm)
        got = sorted((what, round(x, 6), round(y, 6), round(l, 6), round(w, 6))
                     for what, x, y, l, w in parts if what != "offcut")
        assert got == sorted(
            (p.piece_ref, round(p.x_mm, 6), round(p.y_mm, 6), round(p.length_mm, 6),
             round(p.width_mm, 6)) for p in layout.on(key))
        timber = sum(l * w for _, _, _, l, w in parts)
        assert timber <= board.length_mm * board.width_mm


def test_replay_refuses_a_part_that_is_not_there():
    board = Board("B", "ash", 1000, 100, 25, Decimal(1), 1)
    layout = lay_out([Wanted("A", 400, 100, 25, 2, "show", "ash")], [board], 3, effort="quick")
    with pytest.raises(ValueError, match="is not on the bench"):
        replay(board, layout.cuts(("B", 1))[1:], 3)


def test_offcuts_are_cut_clear_of_splits():
    board = Board("B", "ash", 2000, 100, 25, Decimal(1), 1,
                  (Fault(1500, 1600, 0, 60, 3, "split"),))
    layout = lay_out([Wanted("A", 500, 100, 25, 1, "show", "ash")], [board], 4, effort="quick")
    # Of what is left from 504 on, the stretch before the split: 504 to 1500.
    assert [(o.x_mm, o.length_mm, o.width_mm) for o in layout.offcuts] == [(504, 996, 100)]


def test_zero_allowances_mean_rough_sizes():
    assert Wanted("A", 400, 100, 25, 2, "show", "ash").rough_mm(Allowances()) == (400, 100, 25)
