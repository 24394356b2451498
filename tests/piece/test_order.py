"""Order of assembly against cases worked by hand: a table, a frame, a box with its bottom, and what cannot be done."""

from studio_lib.commission import Added, Brief, ByCorner, Joined, Spanning
from studio_lib.finding import Verdict
from studio_lib.forms import make
from studio_lib.piece import Joint, Member, Piece, Placement
from studio_lib.piece.order import in_words, order_findings, order_of_work

HERE = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


class Way(Joint):
    """A joint known only by the direction in which its second member comes off."""

    kind = "way"

    def __init__(self, first, second, way):
        super().__init__(f"{first}{second}", first, second)
        object.__setattr__(self, "way", way)

    def entry(self, piece):
        return self.way


def piece(names, *joints) -> Piece:
    return Piece("box", "f", tuple(Member(n, n, n, "oak", 100.0, 50.0, 20.0, HERE) for n in names), tuple(Way(*j) for j in joints))


X, MX, Y, MY, Z = (1.0, 0, 0), (-1.0, 0, 0), (0, 1.0, 0), (0, -1.0, 0), (0, 0, 1.0)


# By hand: end frames and the grid first, then all of it together lengthwise, the slats last and dry.
def test_a_table_goes_together_as_a_maker_does_it():
    table = make("slatted table", Brief(), timber="oak")
    order = order_of_work(table)
    assert order.locked == ()
    glued = [s for s in order.stages if s.glued]
    ends = [s for s in glued if {"A-L1", "A-L4", "A-A4"} == set(s.refs) or {"A-L2", "A-L3", "A-A3"} == set(s.refs)]
    assert len(ends) == 2 and all(abs(s.way[1]) == 1 for s in ends)
    assert abs(glued[-1].way[0]) == 1 and len(glued[-1].groups) == 3
    assert not order.stages[-1].glued and sum(r.startswith("A-S") for r in order.stages[-1].refs) == 9
    assert order.glue_nights == 3 and order.glue_ups == 5
    assert "what stage" in in_words(table, order, len(order.stages))


# By hand: stiles and rails tenoned on all four sides close in one go along the rails.
def test_a_frame_with_tenons_closes_along_its_rails():
    frame = piece("ABCD", ("B", "A", MX), ("B", "C", X), ("D", "A", MX), ("D", "C", X))
    order = order_of_work(frame)
    assert len(order.stages) == 1 and order.stages[0].joints == 4 and abs(order.stages[0].way[0]) == 1


# By hand: the sides of a drawer enter front and back along its depth; the bottom, in grooves of all four,
# goes in while the sides close, so the whole is one glue-up of front and back to sides with the bottom between.
def test_a_drawer_with_its_bottom_in_grooves_all_round():
    sides = [("L", "F", MY), ("L", "B", Y), ("R", "F", MY), ("R", "B", Y)]
    bottom = [("T", "F", MY), ("T", "B", Y), ("T", "L", MX), ("T", "R", X)]
    order = order_of_work(piece("FBLRT", *sides, *bottom))
    assert order.locked == ()
    last = order.stages[-1]
    assert abs(last.way[1]) == 1 and {len(g) for g in last.groups} == {1, 3}
    assert set(order.stages[0].refs) == {"L", "R", "T"}


# By hand: four members each tenoned into the next, round in a ring, still close in two halves.
def test_a_ring_of_tenons_closes_in_halves():
    order = order_of_work(piece("ABCD", ("A", "B", X), ("B", "C", Y), ("C", "D", MX), ("D", "A", MY)))
    assert order.locked == () and len(order.stages[-1].groups) == 2


# By hand: a rail between two posts that a third member ties along y to the one and along z to the other.
def test_what_locks_itself_is_found_and_named():
    knot = piece(["post", "rail", "other", "tie"], ("rail", "post", MX), ("rail", "other", X), ("tie", "post", Y), ("tie", "other", Z))
    order = order_of_work(knot)
    assert set(order.locked[0]) == {"post", "rail", "other", "tie"}
    found = order_findings(knot, order)
    assert found[0].verdict is Verdict.FAILS and "lock one another" in found[0].says


def test_many_joints_outlast_a_quick_glue():
    table = make("slatted table", Brief(), timber="oak")
    order = order_of_work(table)
    assert order_findings(table, order, 60) == []
    slow = order_findings(table, order, 5)
    assert slow and all(f.verdict is Verdict.LOOK_AGAIN for f in slow)


def test_a_stand_from_nothing_has_an_order():
    leg = dict(role="leg", length_mm=400, width_mm=45, thickness_mm=45)
    stand = make("freehand", Brief(), timber="oak", adjustments=(
        Added(ref="X1", name="leg one", place=ByCorner(at_mm=(0, 0, 0), along="z", across="x"), **leg),
        Added(ref="X2", name="leg two", place=ByCorner(at_mm=(400, 0, 0), along="z", across="x"), **leg),
        Added(ref="R1", name="rail", role="rail", width_mm=60, thickness_mm=22, place=Spanning(one="X1", two="X2", align={"z": "high"})),
        *(Joined(joint="mortise and tenon", first="R1", second=leg) for leg in ("X1", "X2")),
    ))
    order = order_of_work(stand)
    assert [set(s.refs) for s in order.stages] == [{"A-X1", "A-X2", "A-R1"}]


# By hand: door and side panels sit in grooves, slats hang between spacers; nothing of a stool is hidden once it is together.
def test_what_no_brush_reaches_later_is_finished_before():
    from studio_lib.piece.order import finish_before

    assert set(finish_before(make("cabinet", Brief()))) == {"A-L5", "A-R5", "A-D5", "A-E5"}
    strung = make("strung screen", Brief())
    assert {strung.member(r).role for r in finish_before(strung)} >= {"slat"}
    assert finish_before(make("stool", Brief())) == ()


# By hand: the pull is screwed on from the back of a drawer's face, which the front of its box then covers.
def test_screws_that_are_covered_later_are_driven_first():
    from studio_lib.piece.order import screwed_before

    cabinet = make("cabinet", Brief(), drawer_rows=1, drawers_across=0)
    assert ("A-W11", "A-W17", "A-W12") in screwed_before(cabinet)
    assert screwed_before(make("bookcase", Brief())) == ()


# By hand: a panel in its grooves takes no glue, so bringing it between its rails is no glue-up.
def test_a_panel_going_into_its_grooves_is_no_glue_up():
    door = make("cabinet", Brief())
    order = order_of_work(door)
    first = next(s for s in order.stages if "A-D5" in s.refs)
    assert not first.glued and first.clamps == 0
    assert any(s.glued and "A-D5" in s.refs and "A-D1" in s.refs for s in order.stages)
