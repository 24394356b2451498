"""Members wider than a board: listed, bought, glued and counted as the boards they are made of."""

import pytest

from studio_lib.commission import Adjustment, Brief
from studio_lib.costing.operations import count_work
from studio_lib.costing.price import glued_mm2
from studio_lib.forms import make
from studio_lib.piece.order import order_of_work
from studio_lib.stock.boards import Allowances
from studio_lib.stock.cutting_list import cutting_list, wanted

CASE = make("bookcase", Brief(), depth_mm=280, timber="oak")


# By hand: 280 wide of two boards: 140 each and 2 for jointing its edges, then what the planer takes.
def test_a_side_of_280_is_cut_from_two_boards():
    row = next(r for r in cutting_list([(CASE, 1)]) if r.name.startswith("side"))
    assert (row.boards, row.width_mm, row.board_width_mm) == (2, 280.0, 142.0)
    allow = Allowances()
    assert row.sawn_mm(allow)[1] == 142.0 + allow.width_mm
    asked = next(w for w in wanted([row]))
    assert (asked.count, asked.width_mm) == (2 * row.count, 142.0)


def test_no_board_of_a_case_is_wider_than_stays_flat_and_none_is_lost():
    for form in ("bookcase", "cabinet", "chest"):
        rows = cutting_list([(make(form, Brief(), timber="oak"), 1)])
        assert all(r.width_mm / r.boards <= 160.5 for r in rows)
        assert sum(w.count for w in wanted(rows)) == sum(r.count * r.boards for r in rows)


# By hand: the sides, top, bottom and four shelves, one glue line each as long as the member.
def test_their_edges_are_jointed_glued_and_left_a_night():
    wide = [m for m in CASE.members if m.boards == 2]
    metres = sum(m.length_mm for m in wide) / 1000
    work = {w.time.operation: w.count for w in count_work([(CASE, 1)], 0, "oil")}
    assert work["edge joint"] == pytest.approx(metres)
    order = order_of_work(CASE)
    assert set(order.wide) == {m.ref for m in wide}
    plain = make("bookcase", Brief(), depth_mm=280, timber="oak", adjustments=[
        Adjustment(member=m.ref, field="boards", value=1) for m in wide])
    assert order.glue_nights == order_of_work(plain).glue_nights + 1
    assert glued_mm2(CASE) - glued_mm2(plain) == pytest.approx(sum(m.length_mm * m.thickness_mm for m in wide))


def test_the_maker_says_how_many_boards():
    piece = make("bookcase", Brief(), adjustments=[Adjustment(member="A-L1", field="boards", value=3)])
    assert piece.member("A-L1").boards == 3 and piece.member("A-L2").boards == 2
    with pytest.raises(ValueError, match="whole number, 1 to 12"):
        Adjustment(member="A-L1", field="boards", value=2.5)


# By hand: drawers are fitted to what they run in; what they run on is glued into the carcase before.
def test_drawers_are_cut_to_fit_and_what_they_run_on_is_not():
    rows = cutting_list([(make("cabinet", Brief(), drawer_rows=1), 1)])
    fitted = {r.role for r in rows if r.fitted_by_kind}
    assert {"drawer face", "drawer side", "panel", "back board"} <= fitted
    assert not {"drawer rail", "drawer runner", "back drawer rail", "drawer guide", "cross rail"} & fitted
