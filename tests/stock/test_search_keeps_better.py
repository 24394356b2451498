"""A search never ends with more to buy than the layout it began from; boards at no price leave nothing else to go by."""

from decimal import Decimal

import pytest

from studio_lib.stock import Board, Wanted, check_layout, lay_out
from studio_lib.stock.boards import Layout, Pin, Placed, worth

KERF = 3.0


def theirs(ref, long, wide=200.0, count=1):
    return Board(ref, "oak", long, wide, 30, Decimal(0), count, source="client")


def piece(ref, long, wide=190.0, count=1):
    return Wanted(ref, long, wide, 25, count, "show", "oak")


LARGE, SMALL = piece("L", 1500), piece("S", 700, count=2)
"""One board of 1500 takes the large piece, or both small ones: as many pieces short count for less than their timber."""


@pytest.mark.parametrize("effort", ["quick", "thorough"])
def test_of_boards_at_no_price_the_largest_volume_is_cut_though_more_pieces_stay_short(effort):
    layout = lay_out([LARGE, SMALL], [theirs("C1", 1500)], KERF, 20, effort=effort)
    assert layout.missing == {"S": 2}
    assert worth(layout, [LARGE, SMALL])[0] == 2 * 700 * 190 * 25


@pytest.mark.parametrize("seed", range(3))
def test_the_search_is_never_worse_than_what_it_began_from(seed):
    pieces = [piece("A", 980, 90, 5), piece("B", 620, 120, 6), piece("C", 1430, 60, 3), piece("D", 410, 178, 7)]
    boards = [theirs(f"C{n}", 1980, 178) for n in range(1, 5)]
    quick = lay_out(pieces, boards, KERF, effort="quick")
    found = lay_out(pieces, boards, KERF, 20, seed=seed, kept=quick)
    assert quick.missing and worth(found, pieces) <= worth(quick, pieces)
    assert check_layout(found, pieces, boards, KERF) == []


def test_a_layout_at_hand_that_keeps_to_what_is_asked_is_not_given_up_for_a_worse_one():
    # What is kept for C2 leaves the large piece to C1; an arrangement of its own may not lose it.
    boards, pieces, pins = [theirs("C1", 1500), theirs("C2", 720)], [LARGE, SMALL], (Pin("S", "C2", 1),)
    kept = lay_out(pieces, boards, KERF, effort="quick", pins=pins)
    assert kept.missing == {"S": 1}
    found = lay_out(pieces, boards, KERF, 20, pins=pins, kept=kept)
    assert worth(found, pieces) <= worth(kept, pieces)


def test_one_that_no_longer_holds_is_not_kept():
    boards, pieces, pins = [theirs("C1", 1500)], [LARGE], (Pin("L", "C1", 1),)
    off_the_board = Layout((Placed("C1", 1, "L", 300.0, 0.0, 1, 1500, 190),), tuple(boards), Decimal(0), None, {}, False, 1, 1, KERF, 0.0)
    found = lay_out(pieces, boards, KERF, 20, pins=pins, kept=off_the_board)
    assert found.placements[0].x_mm == 0.0 and not found.missing
