"""Old nail holes and small sound knots that the client wants to see."""

import json

import pytest

from studio_lib.commission import Commission
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.stock import check_layout, lay_out
from studio_lib.stock.boards import Allowances, Board, Fault, Wanted
from studio_lib.stock.let_show import in_joints, let_show
from studio_lib.stock.reading import fault_words, read_faults

OAK = "White oak (American)"
LONG = Wanted("A", 1500, 150, 25, 1, "show", "oak")


def with_hole(severity: int, x: float = 800.0, y: float = 80.0) -> Board:
    return Board("C1", "oak", 1600, 160, 30, 0, 1, (Fault(x, x + 10, y, y + 10, severity, "nail hole"),), "client")


@pytest.mark.parametrize("effort", ["quick", "thorough"])
def test_a_part_that_is_seen_holds_a_hole_that_may_show_and_no_other(effort):
    for severity, placed in ((0, 1), (1, 0), (2, 0)):
        boards = [with_hole(severity)]
        layout = lay_out([LONG], boards, 3, 10, effort=effort)
        assert len(layout.placements) == placed
        assert check_layout(layout, [LONG], boards, 3) == []


def test_a_nail_hole_is_read_as_small_and_what_is_said_to_may_show_as_let_show():
    hole, knot, shown, both = read_faults("nail hole 120-130 x 40-50; knot 300-340 x 0-40; nail hole may show 700-710 x 20-30; small knot may show back 9-12 x 9-12")
    assert [f["severity"] for f in (hole, knot, shown, both)] == [1, 2, 0, 0] and both["face"] == "back"
    again = read_faults(fault_words([Fault(**{**shown})]))
    assert again == [shown]


@pytest.mark.parametrize("name", ["knot", "split", "rot", "small check"])
def test_what_weakens_a_part_cannot_be_let_show(name):
    with pytest.raises(ValueError, match="cannot be let show.*weaken"):
        read_faults(f"{name} may show 0-60 x 0-20")


def test_for_a_whole_lot_small_marks_show_and_larger_faults_do_not():
    faults = tuple(Fault(n * 100, n * 100 + 20, 0, 20, s, name) for n, (s, name) in enumerate(
        [(1, "small knot"), (2, "nail hole"), (1, "small knot keep out"), (2, "knot"), (3, "split"), (3, "split at a hole")]))
    board = let_show(Board("C1", "oak", 1600, 160, 30, 0, 1, faults, "client"))
    assert [f.severity for f in board.faults] == [0, 0, 1, 2, 3, 3]


def test_a_mark_in_an_end_or_at_an_edge_of_a_part_is_told():
    for x, y, where in ((800, 80, None), (1470, 80, True), (20, 80, True), (800, 2, False)):
        board = with_hole(0, x, y)
        layout = lay_out([LONG], [board], 3, effort="quick")
        assert [m.end for m in in_joints(layout, Allowances())] == ([] if where is None else [where])


def old_oak(may_show: bool) -> Commission:
    holes = [{"x0_mm": x, "x1_mm": x + 8, "y0_mm": 80, "y1_mm": 88, "severity": 1, "name": "nail hole"} for x in (500, 900, 1400)]
    rows = [{"ref": "C1", "timber": OAK, "length_mm": 1980, "width_mm": 178, "thickness_mm": 31.8, "price": "0", "count": 12, "source": "client", "faults": holes}]
    sizes = {"width_mm": 1016, "depth_mm": 457, "height_mm": 457, "board_mm": 26, "lid_mm": 22}
    c = Commission(ref="C-1", title="a chest", items=[{"name": "chest", "form": "chest", "sizes": sizes}], timber={"species": OAK},
                   brief={"place": "indoors, heated", "their_timber": {"been": "used outdoors", "metal": "found", "marks_may_show": may_show}})
    return c.changed("boards.offered", rows)


def test_barn_oak_is_used_as_barn_oak_where_the_client_wants_it_and_the_nails_are_still_minded():
    out, shown = derive(old_oak(False)), derive(old_oak(True))
    assert shown.their_share.bought_m3 < out.their_share.bought_m3
    assert not shown.layout.missing and out.layout.missing
    assert any(f.what == "nails and metal" and not f.stands for f in shown.their_findings)
    marks = [f for f in shown.board_findings if f.what == "marks that may show"]
    assert all(f.verdict is Verdict.LOOK_AGAIN and "end for end" in f.mend for f in marks)
    # What was written stays as it was written.
    assert old_oak(True).boards.offered[0].faults[0].severity == 1
    assert Commission.model_validate_json(json.dumps(json.loads(old_oak(True).model_dump_json()))) == old_oak(True)
