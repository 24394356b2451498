"""The Boards page: what a line asks for, choices that stay, stock, yards, what comes home, the rack."""

import pytest

from studio_lib.demo import demo
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import Page

from test_panels import labelled, words


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path / "book")
    book.add(demo())
    book.take_up(demo().ref)
    return Desk(book)


def test_a_line_asks_for_spares_and_one_board(desk):
    panel = Page("boards", desk).panel()
    labelled(panel, "Line").value = "B-S1"
    labelled(panel, "Spares").value = 1
    labelled(panel, "Match").value = "same board"
    labelled(panel, "Face mark").value = "best face up"
    labelled(panel, "Ask this of the line").click()
    d = desk.derived
    assert d.matches[0].refs == ("B-S1",) and next(w for w in d.wanted if w.ref == "B-S1").count == 6
    assert "5 + 1" in words(panel) and "best face up" in words(panel)
    assert not d.layout.missing and len({p.board for p in d.layout.placements if p.piece_ref == "B-S1"}) == 1
    assert "still come out where they did" in words(panel)


def test_a_kept_choice_stays_and_is_let_go(desk):
    panel = Page("boards", desk).panel()
    labelled(panel, "Keep").value = "A-S1"
    labelled(panel, "on board").value = "Y1"
    labelled(panel, "Keep it there").click()
    assert any(p.piece_ref == "A-S1" and p.board_ref == "Y1" for p in desk.derived.layout.placements)
    offered = [b.model_dump(mode="json") for b in desk.commission.boards.offered]
    desk.change("boards.offered", [b for b in offered if b["ref"] != "Y1"])
    assert desk.derived.pins == () and "board Y1, which is not among the boards" in words(panel)


def test_stock_sizes_and_yards_are_entered_and_compared(desk):
    desk.change("boards.offered", [])
    panel = Page("boards", desk).panel()
    for label, value in (("Name", "L80"), ("Thick, mm", "80"), ("Price", "24,50"), ("Grade", "FAS")):
        for box in [w for w in all_of(panel, label)]:
            box.value = value if isinstance(box.value, str) else float(value)
    labelled(panel, "Add this stock size").click()
    (size,) = desk.commission.boards.stock
    assert (size.name, size.thickness_mm, str(size.price)) == ("L80", 80, "24.50")
    assert desk.derived.layout.boards_used and not desk.derived.layout.missing
    said = words(panel)
    assert "200 x 80 mm sawn, FAS" in said and "faults not yet seen" in said
    labelled(panel, "Add this stock size").click()
    assert len(desk.commission.boards.stock) == 1 and desk.refused


def all_of(panel, label):
    found, todo = [], [panel]
    while todo:
        w = todo.pop()
        todo += list(getattr(w, "children", ()))
        if getattr(w, "description", None) == label:
            found.append(w)
    return found


def test_lines_from_the_yard_change_the_boards(desk):
    panel = Page("boards", desk).panel()
    area = next(
        w for w in walk(panel) if type(w).__name__ == "Textarea" and "taken; knot front" in (w.placeholder or "")
    )
    area.value = "Y13; 1650 x 180 x 80 at 60 taken; shake 0-1650 x 0-90\nY1; 2450 x 230 x 32 put back"
    labelled(panel, "Read these lines").click()
    by = {b.ref: b for b in desk.commission.boards.offered}
    assert by["Y13"].state == "taken" and by["Y13"].faults[0].name == "shake"
    assert "Y1" not in {b.ref for b in desk.derived.offered}
    area.value = "nothing to read"
    labelled(panel, "Read these lines").click()
    assert "cannot read the board" in words(panel)


def walk(panel):
    todo = [panel]
    while todo:
        w = todo.pop()
        yield w
        todo += list(getattr(w, "children", ()))


def test_leftovers_go_to_the_rack_once_and_are_offered_to_another_job(desk):
    panel = Page("boards", desk).panel()
    labelled(panel, "Put this job's leftovers on the rack").click()
    rack = desk.book.rack.boards()
    assert rack and rack[0].board.source == "rack" and rack[0].board.length_mm >= 300 and rack[0].came_from == desk.ref
    labelled(panel, "Put this job's leftovers on the rack").click()
    assert desk.book.rack.boards() == rack and "already" in words(panel)
    before = len(desk.commission.boards.offered)
    desk.change(
        "boards.offered", [b.model_dump(mode="json") for b in desk.commission.boards.offered if b.source != "rack"]
    )
    labelled(panel, "Offer to this job").click()
    assert len(desk.commission.boards.offered) >= before - 1
    assert desk.commission.boards.offered[-1].ref == rack[0].ref


def test_opening_the_page_starts_no_search_and_offers_one_where_the_layout_is_a_first_one(desk):
    before = desk.commission
    panel = Page("boards", desk).panel()
    assert desk.commission == before and "search for a cheaper one" not in words(panel)
    desk.change("boards.kerf_mm", 6.0)
    assert "The layout you kept no longer fits" in words(panel) and "search for a cheaper one" in words(panel)
    desk.change("boards.kept_layout", None)
    assert "What lies below is a first layout" in words(panel)


def test_a_board_without_a_mark_is_asked_for_one(desk):
    panel = Page("boards", desk).panel()
    mark = labelled(panel, "Mark")
    assert mark.value not in ("", *(b.ref for b in desk.commission.boards.offered)), "the next free one stands there"
    mark.value = ""
    labelled(panel, "Add this board").click()
    assert "Give the board a mark" in words(panel)


def test_the_thicknesses_needed_stand_above_the_boards_to_be_entered(desk):
    from test_panels import inside, words

    from workbook.page import Page

    panel = Page("boards", desk).panel()
    pieces, allowances = desk.derived.wanted, desk.derived.allowances
    thinnest = min(p.thickness_mm for p in pieces) + allowances.thickness_mm
    thickest = max(p.thickness_mm for p in pieces) + allowances.thickness_mm
    said = words(panel).partition("Needed, sawn, mm: ")[2].partition("\n")[0]
    # EN 1313-2: hardwood is sawn to 20, 27, 32, 41, 52, 65 and 80 mm.
    sawn = (20, 27, 32, 41, 52, 65, 80)
    first, last = (next(t for t in sawn if t >= least) for least in (thinnest, thickest))
    assert said.startswith(f"{first} thick") and f"{last} thick (at least {thickest:g}) for" in said
    entered = [b.value for b in inside(panel) if getattr(b, "description", "") == "Thick, mm"]
    assert f"{float(entered[0]):g} thick" in said
