"""Asking the yard, mixing yards, what is laid by, what comes home, what goes on the rack, what is learnt."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

import pytest

from studio_lib.stock import Allowances, Board, Fault, Wanted, lay_out
from studio_lib.stock.buying import larger_boards, mixes, phone_list, purchases, reserves
from studio_lib.stock.rack import leftover_rows, used_up
from studio_lib.stock.reading import brought_home, read_boards
from studio_lib.stock.sizes import boards_of, price_of
from studio_lib.stock.yields import JobYield, expected, job_yields

ASKED = {
    "kerf_mm": 4,
    "allowances": Allowances(),
    "end_trim_mm": 0.0,
    "resaw_kerf_mm": None,
    "matches": (),
    "pins": (),
    "first_cut": "either",
}
RAIL = Wanted("A", 900, 100, 25, 4, "show", "ash")


@dataclass(frozen=True)
class Size:
    name: str = "A25"
    timber: str = "ash"
    width_mm: float = 254.0
    thickness_mm: float = 25.4
    least_length_mm: float = 1828.8
    longest_mm: float = 3048.0
    step_mm: float | None = 609.6
    price: Decimal = Decimal("6.00")
    per: str = "board foot"
    yard: str = ""
    grade: str = ""
    grain: tuple = ()


# A board 1 in x 10 in x 12 ft holds 10 board feet (a board foot is 144 cubic inches: NIST Handbook 44, Appendix C).
def test_a_board_foot_is_a_foot_square_an_inch_thick():
    assert price_of(Size(), 3657.6) == Decimal("60.00")


# By hand: 2 m of 200 x 50 is 0.02 m3; at 900 a cubic metre 18.00, at 9.50 a metre 19.00.
@pytest.mark.parametrize("per, price, comes_to", [("cubic metre", "900", "18.00"), ("metre", "9.50", "19.00")])
def test_prices_by_metre_and_by_volume(per, price, comes_to):
    assert price_of(Size(width_mm=200, thickness_mm=50, price=Decimal(price), per=per), 2000) == Decimal(comes_to)


def test_stock_lengths_go_by_steps_and_random_ones_count_for_the_least():
    assert [round(b.length_mm, 1) for b in boards_of(Size())] == [1828.8, 2438.4, 3048.0]
    assert [b.length_mm for b in boards_of(Size(step_mm=None))] == [1828.8]
    assert all(b.count is None for b in boards_of(Size()))


def test_the_list_for_the_telephone_says_pieces_section_length_grade_and_moisture():
    sold = boards_of(
        Size(width_mm=110, thickness_mm=27, least_length_mm=1900, longest_mm=1900, per="metre", grade="prime")
    )
    rack = Board("R1", "ash", 950, 110, 27, Decimal(0), 1, source="rack")
    layout = lay_out([RAIL], [*sold, rack], 4, effort="quick")
    (line,) = phone_list(purchases(layout, [*sold, rack]), 12)
    assert (line.count, line.words) == (2, "ash, 110 x 27 mm sawn, prime, 1900 mm long, dried to 12 %")
    assert line.cost == 2 * Decimal("11.40")


# Trade notes X9: for 100 net at a yield of 0.70 buy 142.86, not 130. Of 7 boards at 70 %: 10, so 3 more.
def test_the_reserve_divides_by_the_yield():
    sold = Board("S 2 m", "ash", 2000, 110, 27, Decimal(10), None, asked="110 x 27 mm sawn")
    seen = Board("Y1", "ash", 2000, 110, 27, Decimal(10), 1, (Fault(0, 100, 0, 110, 3),))
    layout = lay_out([Wanted("A", 1950, 100, 25, 8, "show", "ash")], [sold], 4, effort="quick")
    (r,) = reserves(purchases(layout, [sold])[:1], lambda b: 70)
    assert (r.boards, r.cost) == (4, Decimal(40))  # 8 / 0.7 = 11.4, so 12
    assert reserves(purchases(lay_out([RAIL], [seen], 4, effort="quick"), [seen]), lambda b: 70) == ()
    assert reserves(purchases(layout, [sold])) == ()


@dataclass(frozen=True)
class Seller:
    name: str
    minimum_order: Decimal
    delivery: Decimal


def test_delivery_and_the_least_order_decide_the_mix():
    far = Board("F", "ash", 1900, 110, 27, Decimal(10), None, yard="far")
    near = Board("N", "ash", 1900, 110, 27, Decimal(15), None, yard="near")
    sellers = [Seller("far", Decimal(0), Decimal(30)), Seller("near", Decimal(0), Decimal(5))]
    # Two boards: far 20 + 30, near 30 + 5.
    assert [(m.yards, m.total) for m in mixes([RAIL], [far, near], ASKED, sellers)] == [(("near",), 35), (("far",), 50)]
    # A least order of 60 at the near yard: 30 + 30 short + 5.
    sellers[1] = Seller("near", Decimal(60), Decimal(5))
    ranked = mixes([RAIL], [far, near], ASKED, sellers)
    assert [(m.yards, m.total, m.topped_up) for m in ranked] == [(("far",), 50, 0), (("near",), 65, 30)]


def test_two_yards_where_neither_has_it_all():
    thick = Wanted("B", 900, 100, 60, 1, "show", "ash")
    a = Board("A1", "ash", 1900, 110, 27, Decimal(10), None, yard="a")
    b = Board("B1", "ash", 950, 110, 63, Decimal(40), None, yard="b")
    best, other = mixes([RAIL, thick], [a, b], ASKED, [])
    # b alone can give it all, from thick boards at 40: one piece each, five of them.
    assert (best.yards, best.total, other.yards, other.total) == (("a", "b"), 60, ("b",), 200)


def test_a_longer_board_is_asked_after_where_it_saves():
    # Two pieces of 900 come out of 1400 + 600, not out of 1400: two boards become one.
    short = Board("S", "ash", 1400, 110, 27, Decimal(20), None)
    pieces = [Wanted("A", 900, 100, 25, 2, "show", "ash")]
    layout = lay_out(pieces, [short], 4, effort="quick")
    found = larger_boards(pieces, [short], layout, ASKED)
    # 2000 mm at the same price by length: 28.57, against 40.
    assert found and found[0].saves == Decimal("11.43") and "2000 x 110 x 27" in found[0].words
    long = Board("L", "ash", 3000, 110, 27, Decimal(50), None)
    assert larger_boards(pieces, [short, long], layout, ASKED) == ()


LINES = """
Y1; 2450 x 230 to 205 x 32 at 46,90 taken; knot front 1200-1290 x 0-45
Y2 2400 x 225 x 32 put back
New one; 2000 x 180 x 32; twist 0-400 x 0-180
"""


def test_lines_from_the_yard_are_read():
    one, two, three = read_boards(LINES)
    assert (one["width_mm"], one["width_end_mm"], one["price"], one["state"]) == (230, 205, "46.90", "taken")
    assert (one["faults"][0]["face"], one["faults"][0]["severity"]) == ("front", 2)
    assert two["state"] == "put back" and "price" not in two
    assert three["ref"] == "New one" and three["faults"][0]["severity"] == 3
    with pytest.raises(ValueError, match="Line 2, 'no figures here': cannot read the board. Write it as: Y1"):
        read_boards("Y1; 2 x 3 x 4\nno figures here")
    with pytest.raises(ValueError, match="Line 1: Cannot read the fault 'bad bit'"):
        read_boards("Y1; 2400 x 200 x 32; bad bit")


def test_what_was_found_changes_the_boards_and_a_sold_one_gets_a_mark_of_its_own():
    offered = [
        {"ref": "Y1", "timber": "ash", "price": "40", "length_mm": 1},
        {"ref": "Y2", "timber": "ash", "price": "41"},
    ]
    found = read_boards(LINES + "A25 2.4 m (2); 2410 x 200 x 32 at 20 taken\nA25 2.4 m; 2400 x 200 x 32 put back")
    rows = brought_home(offered, found, {"A25 2.4 m": {"timber": "oak", "price": "19", "yard": "far"}}, "ash")
    by = {r["ref"]: r for r in rows}
    assert list(by) == ["Y1", "Y2", "New one", "A25-1"]
    assert by["Y1"]["price"] == "46.90" and by["Y2"]["state"] == "put back" and by["Y2"]["price"] == "41"
    assert (by["A25-1"]["timber"], by["A25-1"]["price"], by["A25-1"]["length_mm"]) == ("oak", "20", 2410)


def test_leftovers_go_to_the_rack_with_their_sizes_and_faults():
    board = Board(
        "Y1", "ash", 2000, 200, 27, Decimal(20), 1, (Fault(1500, 1540, 150, 180, 1, "pin knot"),), grain=("straight",)
    )
    old = Board("R1", "ash", 700, 110, 32, Decimal(0), 1, source="rack")
    layout = lay_out(
        [Wanted("A", 1000, 200, 25, 1, "show", "ash"), Wanted("B", 690, 105, 30, 1, "show", "ash")],
        [board, old],
        4,
        effort="quick",
    )
    on_rack = [{"ref": "R1"}, {"ref": "R3"}]
    (row,) = leftover_rows(layout, {r["ref"] for r in on_rack})
    # 2000 - 1000 - a kerf of 4.
    assert (row["ref"], row["length_mm"], row["width_mm"], row["thickness_mm"]) == ("R2", 996, 200, 27)
    assert (row["faults"][0]["x0_mm"], row["faults"][0]["y0_mm"]) == (1500 - 1004, 150)
    assert row["grain"] == ["straight"] and row["source"] == "rack"
    assert used_up(layout) == {"R1"}


def test_past_jobs_pull_the_expected_yield_by_timber_and_grade():
    board = Board("Y1", "ash", 2000, 100, 30, Decimal(20), 1, grade="prime")
    pieces = [Wanted("A", 900, 90, 25, 2, "show", "ash")]
    (found,) = job_yields(lay_out(pieces, [board], 4, effort="quick").to_plain(), pieces)
    # 2 x 900 x 90 x 25 of 2000 x 100 x 30.
    assert (found.timber, found.grade, found.finished_mm3 / found.bought_mm3) == ("ash", "prime", pytest.approx(0.675))
    assert expected([], "ash").share == 0.5 and expected([found], "oak").jobs == 0
    shares = [expected([found] * n, "ash", "prime").share for n in (0, 1, 5, 50)]
    assert shares == sorted(shares) and shares[-1] == pytest.approx(0.675, abs=0.01)
    assert expected([JobYield("ash", "rustic", 100, 20), found], "ash", "rustic").share < 0.5
