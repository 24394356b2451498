"""Pieces as they lie in the boards on offer."""

from dataclasses import replace
from decimal import Decimal

from studio_lib.stock.boards import Allowances, Board, Wanted
from studio_lib.stock.cutting_list import turned


def test_a_piece_too_thick_for_the_boards_is_turned_on_its_side():
    board = Board("Y1", "walnut", 2000.0, 127.0, 76.0, Decimal("80"))
    foot = Wanted("F", 760.0, 60.0, 90.0, 2, "show", "walnut")
    allow = Allowances(20.0, 4.0, 4.0)
    (lying,) = turned([foot], [board], allow)
    assert (lying.width_mm, lying.thickness_mm) == (90.0, 60.0)
    for stays in (replace(foot, grain=("quarter-sawn",)), replace(foot, shown="one"), replace(foot, width_mm=90.0), replace(foot, timber="ash")):
        assert turned([stays], [board], allow) == (stays,)
