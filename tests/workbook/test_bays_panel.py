"""A cabinet in bays as the maker meets it on the pages: what is asked, what is counted, a whole door taken out."""

import ipywidgets as w
import pytest
from test_panels import labelled, press, words

from studio_lib.commission import Brief, Commission, Item
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import Page

SIZES = {"width_mm": 1700, "height_mm": 780, "bays": 3, "bay_3_front": 2, "bay_3_drawers": 2, "bay_3_drawer_mm": 110, "bay_3_shelves": 0}


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(Commission(ref="C-1", title="records", brief=Brief(people=2), items=(Item(name="cabinet", form="cabinet", sizes=SIZES),)))
    yield Desk(book)
    book.close()


def seen(panel, label) -> bool:
    """Whether a field is shown: neither it nor what it stands in is hidden."""
    def within(widget, shown) -> bool | None:
        shown = shown and getattr(widget.layout, "display", None) != "none"
        if getattr(widget, "description", "").startswith(label):
            return shown
        return next((found for child in getattr(widget, "children", ()) if (found := within(child, shown)) is not None), None)

    return bool(within(panel, True))


def test_a_bay_is_asked_for_only_where_there_is_one(desk):
    panel = Page("sizes", desk).panel()
    assert seen(panel, "Bay 3, front") and not seen(panel, "Bay 4, front") and not seen(panel, "Doors")
    assert seen(panel, "Bay 3, top drawer") and not seen(panel, "Bay 1, top drawer") and seen(panel, "Bay 3, air")
    labelled(panel, "Divided into bays").value = 0
    assert desk.commission.items[0].sizes["bays"] == 0 and not seen(panel, "Bay 1, front") and seen(panel, "Doors")


def test_what_goes_in_is_answered_on_the_brief_and_counted_on_sizes(desk):
    brief = Page("brief", desk).panel()
    for label, typed in (("Tallest thing on a shelf, mm", "315"), ("Deepest of them, mm", "315"), ("Each is thick, mm", "4"), ("How many of them", "400")):
        labelled(brief, label).value = typed
    b = desk.commission.brief
    assert (b.tallest_mm, b.deepest_mm, b.thick_mm, b.how_many) == (315, 315, 4, 400)
    assert "264 of the 400 wanted" in words(Page("sizes", desk).panel())


def test_a_whole_door_is_taken_out_at_once(desk):
    panel = Page("sizes", desk).panel()
    labelled(panel, "Change").value = "remove"
    box = next(x for x in all_of(panel) if isinstance(x, w.Dropdown) and x.description == "Member" and any("whole" in o[0] for o in x.options))
    door = next(value for caption, value in box.options if caption.startswith("door of bay 3, the whole door"))
    box.value = door
    press(panel, "Make this change")
    gone = {c.member for c in desk.commission.items[0].adjustments}
    assert len(gone) == 6 and gone == set(door.split(", "))
    assert not any("door of bay 3" in m.name and m.role != "door stop" for m in desk.derived.piece.members)


def all_of(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from all_of(child)
