"""The colour of paint on the Brief page: asked where it is painted, and told what the picture shows."""

import ipywidgets as w
import pytest

from studio_lib.commission import Commission
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.panels import brief


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    c = Commission(ref="2026-001", title="stool").changed("items", [{"name": "stool", "form": "stool"}])
    book.add(c)
    yield Desk(book, c.ref)
    book.close()


def seen(panel):
    """Everything on a panel that is not hidden."""
    if panel.layout.display != "none":
        yield panel
        for child in getattr(panel, "children", ()):
            yield from seen(child)


def boxes(panel):
    return [x for x in seen(panel) if isinstance(x, w.Text) and x.description == "Colour"]


def told(panel):
    return " ".join(x.value for x in seen(panel) if isinstance(x, w.HTML))


def test_the_colour_is_asked_for_where_it_is_painted_alone(desk):
    panel = brief.looks(desk)
    assert not boxes(panel) and "to choose; white is shown" not in told(panel)
    desk.change("brief.finish", "paint")
    (box,) = boxes(panel)
    assert "The colour is yours to choose; white is shown." in told(panel)
    box.value = "dark green"
    assert desk.commission.brief.paint_colour == "dark green" and "A plain dark green is shown" in told(panel)
    desk.change("brief.finish", "oil")
    assert not boxes(panel) and desk.commission.brief.paint_colour == "dark green"


def test_what_is_too_long_is_refused_and_stays_in_its_box(desk):
    desk.change("brief.finish", "paint")
    panel = brief.looks(desk)
    (box,) = boxes(panel)
    box.value = "grey " * 20
    assert desk.commission.brief.paint_colour == "" and box.value.startswith("grey") and "80" in told(panel)
