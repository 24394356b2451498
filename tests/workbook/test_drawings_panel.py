"""The drawings on the Look page, used as a maker uses them."""

import ipywidgets as w
import pytest
from test_panels import inside, labelled

from studio_lib.demo import demo
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.panels import drawings


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield Desk(book)
    book.close()


def shown(panel):
    return next(p.value for p in inside(panel) if isinstance(p, w.HTML) and "dw-sheet" in p.value)


def test_each_sheet_can_be_looked_at_and_follows_the_piece(desk):
    panel = drawings.panel(desk)
    which = labelled(panel, "Sheet")
    assert which.options[0][0] == "1  terrace table: general arrangement" and ">2010<" in shown(panel)
    first = shown(panel)
    which.value = len(which.options) - 1
    assert shown(panel) != first and "members" in which.options[-1][0]
    which.value = 0
    desk.change("items.0.sizes.length_mm", 1900.0)
    assert ">1900<" in shown(panel)


def test_sheets_change_with_the_settings(desk):
    panel = drawings.panel(desk)
    on_a3 = len(labelled(panel, "Sheet").options)
    labelled(panel, "Sheets").value = "A4"
    assert desk.commission.drawings.sheet == "A4" and len(labelled(panel, "Sheet").options) > on_a3
    labelled(panel, "Sheets").value = "A3"
    labelled(panel, "Projection").value = "third angle"
    assert "From the right" in shown(panel)


def test_the_files_are_written_and_counted(desk):
    panel = drawings.panel(desk)
    next(b for b in inside(panel) if isinstance(b, w.Button)).click()
    folder = desk.book.folder / "papers" / "C26-001" / "drawings"
    names = {p.name for p in folder.iterdir()}
    assert {"drawings.pdf", "drawings.dxf", "sheet 01.svg"} <= names
    assert len([n for n in names if n.endswith(".svg")]) == len(labelled(panel, "Sheet").options)
    assert (folder / "drawings.pdf").read_bytes().startswith(b"%PDF")


def test_a_commission_without_a_piece_says_so(desk):
    desk.change("items", ())
    panel = drawings.panel(desk)
    assert any("nothing to draw" in p.value for p in inside(panel) if isinstance(p, w.HTML))
