"""The client's own timber on Brief, Timber and Boards: one list, entered and changed on either page."""

import pytest
from test_panels import inside, labelled, words

from studio_lib.commission import Commission
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import Page


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path / "book")
    book.add(Commission(ref="CHEST-1", title="a chest", items=[{"name": "chest", "form": "chest"}]))
    book.take_up("CHEST-1")
    yield Desk(book)
    book.close()


def pressed(panel, label: str):
    """The last button of that name: on the brief the first 'Take away' is a piece's."""
    [one for one in inside(panel) if getattr(one, "description", "") == label and hasattr(one, "click")][-1].click()


def hinted(panel, hint: str):
    return next(one for one in inside(panel) if getattr(one, "tooltip", "") == hint)


def brought(desk):
    """Fourteen fence boards entered on the brief as a maker does."""
    panel = Page("brief", desk).panel()
    labelled(panel, "The client brings timber").value = True
    for label, value in (("Boards", 14), ("Length, mm", "1800"), ("Width, mm", "140"), ("Thick, mm", "25"), ("Timber", "European larch")):
        boxes = [one for one in inside(panel) if getattr(one, "description", "") == label]
        boxes[-1].value = value
    pressed(panel, "Add boards of theirs")
    return panel


def test_boards_entered_on_the_brief_stand_on_boards_and_the_other_way_round(desk):
    brief = brought(desk)
    (b,) = desk.commission.boards.offered
    assert (b.ref, b.count, b.length_mm, b.width_mm, b.thickness_mm, b.timber, b.source) == ("C1", 14, 1800, 140, 25, "European larch", "client")
    boards = Page("boards", desk).panel()
    hinted(boards, "Number of boards like C1").value = 12
    assert desk.commission.theirs[0].count == 12 and hinted(brief, "Number of boards like C1").value == 12
    hinted(brief, "Length of C1").value = "1750"
    assert hinted(boards, "Length of C1").value == "1750"
    hinted(boards, "Faults of C1").value = "nail 120-160 x 40-60; end split 0-60 x 0-140"
    assert [f.severity for f in desk.commission.theirs[0].faults] == [2, 3]
    assert hinted(brief, "Faults of C1").value == "nail 120-160 x 40-60; end split 0-60 x 0-140"
    hinted(brief, "Thickness of C1").value = "thin"
    assert "'thin'" in words(brief) and desk.commission.theirs[0].thickness_mm == 25


def test_the_tick_cannot_go_while_boards_of_theirs_are_entered(desk):
    panel = brought(desk)
    labelled(panel, "The client brings timber").value = False
    assert desk.commission.brief.brings_timber and "Take them away first" in words(panel)
    pressed(panel, "Take away")
    assert labelled(panel, "The client brings timber").value and "Take them away first" not in words(panel)
    labelled(panel, "The client brings timber").value = False
    assert not desk.commission.brief.brings_timber


def test_a_new_board_is_a_yards_whatever_the_client_brings_and_then_as_the_last_one_was(desk):
    brought(desk)
    panel = Page("boards", desk).panel()
    assert labelled(panel, "It is").value == "yard" and "a yard's to begin with" in words(panel)
    assert labelled(panel, "Mark").value == "Y1"
    desk.change("timber.species", "European larch")
    labelled(panel, "It is").value = "rack"
    labelled(panel, "Price each").value = "12"
    pressed(panel, "Add this board")
    assert [b.source for b in desk.commission.boards.offered] == ["client", "rack"]
    assert labelled(panel, "It is").value == "rack" and labelled(Page("boards", desk).panel(), "It is").value == "rack"


def test_their_timber_leads_the_timber_page_and_is_chosen_by_one_press(desk):
    brought(desk)
    panel = Page("timber", desk).panel()
    said = words(panel)
    assert said.index("The client's European larch") < said.index("timbers last")
    assert "14 of 1800 x 140 x 25 mm" in said and "use class 1" in said and "not measured" in said
    pressed(panel, "Make it of the client's European larch")
    assert desk.commission.timber.species == "European larch" and "It is chosen" in words(panel)
    assert "European larch, <b>theirs</b>" in words(panel)


def test_boards_say_what_they_make_and_how_large_a_part_they_give(desk):
    brought(desk)
    desk.change("timber.species", "European larch")
    said = words(Page("boards", desk).panel())
    assert "Of the client's 14 boards" in said and "go back to the client" in said and "1730 x 135 x 20 mm" in said


def test_old_boards_show_their_cautions_on_the_brief_and_at_the_saw(desk):
    panel = brought(desk)
    assert "detector" not in words(panel)
    desk.change("brief.their_timber.been", "used outdoors")
    said = words(panel)
    assert "nobody has looked for metal" in said and "P3 mask" in said and "Local codes on waste" in said
    desk.change("timber.species", "European larch")
    step = next(s for s in desk.derived.work_steps if "face and edge" in s.operations)
    assert "metal in old boards" in {c.key for c in desk.derived.cautions_of(step)}
