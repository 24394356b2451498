"""Work is not lost, money is not misread, and a refusal never passes for success."""

from datetime import date

import ipywidgets
import pytest
from pypdf import PdfReader
from test_panels import labelled, words
from test_timber_panel import inside

from studio_lib.compare import outcome
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.jobbook import open_book
from studio_lib.papers import write
from workbook import desk as desk_module
from workbook.desk import Desk
from workbook.page import Page


@pytest.fixture
def book(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield book
    book.close()


def no_pictures(monkeypatch):
    from studio_lib.look import scenes
    from studio_lib.look.still import Picture

    monkeypatch.setattr(scenes, "_still", lambda *_: Picture(None, "not drawn in this test"))


def slow_past(ref):
    document = demo().model_copy(update={"ref": ref})
    minutes = 120 * sum(w.standard_hours for w in derive(document).work if w.time.operation == "sand")
    return document.changed("hours", [{"day": "2026-10-01", "operation": "sand", "minutes": round(minutes)}]).changed("finished", True)


def test_the_printed_price_is_the_price_on_the_page(book, tmp_path, monkeypatch):
    no_pictures(monkeypatch)
    for n in range(3):
        book.add(slow_past(f"P{n}"))
    desk = Desk(book, demo().ref)
    gross = desk.derived.price.gross
    assert gross > derive(demo()).price.gross
    write(desk.commission, tmp_path / "papers", known=desk.known, today=date(2026, 11, 25))
    assert f"{gross:,.2f}" in PdfReader(tmp_path / "papers" / "quote.pdf").pages[0].extract_text()


def test_a_timber_of_ones_own_goes_all_the_way_to_paper(book, tmp_path, monkeypatch):
    no_pictures(monkeypatch)
    desk = Desk(book)
    desk.keep_own_timbers([{
        "name": "Farm oak", "botanical_name": "Quercus robur", "group": "hardwood", "density_12pct_kg_m3": 700,
        "source": "weighed in the shop", "like": "European oak"}])
    assert desk.change("timber.species", "Farm oak")
    write(desk.commission, tmp_path / "papers", known=desk.known, today=date(2026, 11, 25))
    assert "Farm oak" in PdfReader(tmp_path / "papers" / "quote.pdf").pages[0].extract_text()
    assert outcome(demo(), desk.commission, desk.known)


def test_an_accepted_stop_that_grows_worse_holds_again(book):
    desk = Desk(book)
    desk.change("items.0.joints.apron into leg.width_mm", 30)
    stop = next(s for s in desk.derived.stops if s.finding.subject == "apron into leg")
    desk.change("accepted", [{"key": stop.key, "role": "client", "on": "2026-11-25", "reason": "known and wanted",
                              "utilisation": stop.finding.utilisation}])
    assert not next(s for s in desk.derived.stops if s.key == stop.key).holds
    desk.change("items.0.joints.apron into leg.width_mm", 25)
    assert next(s for s in desk.derived.stops if s.key == stop.key).holds


@pytest.mark.parametrize("typed", ["4,200", "4.200", "42,000"])
def test_a_comma_that_may_mean_thousands_is_asked_about(book, typed):
    desk = Desk(book)
    panel = Page("brief", desk).panel()
    labelled(panel, "Room, length, mm").value = typed
    labelled(panel, "Budget, tax included").value = typed
    said = words(panel)
    assert said.count(f"Is {typed}") == 2
    assert desk.commission.brief.space_length_mm == 4200 and str(desk.commission.brief.budget) == "9000"


def test_money_as_a_person_types_it(book):
    desk = Desk(book)
    box = labelled(Page("brief", desk).panel(), "Budget, tax included")
    box.value = "8 250,50"
    assert str(desk.commission.brief.budget) == "8250.50"
    box.value = ""
    assert desk.commission.brief.budget is None


def test_no_firm_price_without_all_the_boards(book):
    desk = Desk(book)
    few = [b.model_dump(mode="json") for b in desk.commission.boards.offered[:4]]
    desk.change("boards.offered", few)
    said = words(Page("price", desk).panel())
    assert "not a firm price" in said and "To quote" not in said and "room of" not in said


def test_a_change_made_on_an_amended_revision_is_merged_not_lost(book):
    first = Desk(book)
    first.change("brief.people", 7)
    second = Desk(book)
    first.change("brief.people", 8)
    assert first.revision == second.revision == 2
    assert second.change("title", "Terrace table, larger")
    assert (second.commission.brief.people, second.commission.title) == (8, "Terrace table, larger")
    assert book.commissions()[0].title == "Terrace table, larger"


def test_a_revision_with_papers_is_never_written_over(book):
    desk = Desk(book)
    desk.change("brief.people", 7)
    book.keep_paper(demo().ref, 2, "quote.pdf", b"as issued")
    desk.change("brief.people", 8)
    assert desk.revision == 3 and book.open(demo().ref, 2)[0].brief.people == 7


def test_a_row_that_moved_is_not_taken_for_another(book):
    first, second = Desk(book), Desk(book)
    first.change("items", [first.commission.items[1].model_dump(mode="json")])
    assert not second.change("items.0.count", 5)
    assert "rows were added or taken away" in second.refused["items.0.count"]
    assert second.commission.items[0].count == 1


def test_taking_a_piece_away_leaves_the_page_whole(book):
    desk = Desk(book)
    panels = [Page(stage, desk).panel() for stage in ("brief", "sizes", "joints", "boards", "price")]
    from workbook.panels.brief import remove

    remove(desk, "items", 1)
    assert len(desk.commission.items) == 1 and desk.notice == ""
    desk.change("items.0.sizes.middle_rail", 0)
    assert "bearer over middle rail" not in words(panels[2]) and desk.notice == ""


def test_going_back_keeps_the_hours_written_since(book):
    desk = Desk(book)
    desk.change("brief.people", 8)
    desk.change("hours", [{"day": "2026-11-25", "operation": "sand", "minutes": 90}])
    assert desk.go_back(1)
    assert desk.commission.brief.people == 6 and desk.commission.hours[0].minutes == 90


@pytest.mark.parametrize("slats", [0, -1, 10**9])
def test_no_number_of_slats_breaks_the_page(book, slats):
    desk = Desk(book)
    panel = Page("sizes", desk).panel()
    labelled(panel, "Slats").value = slats
    assert "give 2 to 60" in words(panel) and desk.derived.made[0].sizes["slat_count"] == 9


def test_a_fault_nobody_thought_of_is_a_refusal_not_a_silence(book, monkeypatch):
    desk = Desk(book)
    monkeypatch.setattr(desk_module, "derive", lambda *_: 1 / 0)
    assert not desk.change("brief.people", 8)
    assert "cannot be worked out" in desk.refused["brief.people"]


def test_a_slider_does_not_write_back_its_own_rounding(book):
    desk = Desk(book)
    labelled(Page("sizes", desk).panel(), "Length of top, mm").value = "1800"
    assert desk.commission.items[0].sizes["length_mm"] == 1800.0


def test_a_browser_that_rounds_what_a_slider_shows_changes_nothing(book):
    """A browser sets a slider to its nearest step as it draws it, and tells the kernel so."""
    desk = Desk(book)
    desk.change("items.0.sizes.length_mm", 1802.0)
    slider = next(one for one in inside(Page("sizes", desk).panel()) if isinstance(one, ipywidgets.FloatSlider))
    slider.value = 1800.0
    assert desk.commission.items[0].sizes["length_mm"] == 1802.0
    slider.value = 1810.0
    assert desk.commission.items[0].sizes["length_mm"] == 1810.0


def test_a_search_without_boards_is_not_a_layout(book):
    desk = Desk(book)
    desk.change("boards.offered", [])
    panel = Page("boards", desk).panel()
    labelled(panel, "Search for a cheaper layout").click()
    assert "No boards seen yet" in words(panel)


def test_a_date_gone_by_is_refused_beside_its_field(book):
    desk = Desk(book)
    labelled(Page("brief", desk).panel(), "Wanted by").value = date(2020, 1, 1)
    assert "days ago" in desk.refused["brief.wanted_by"]


def test_reading_again_puts_the_documents_figure_back_in_the_box(book):
    desk = Desk(book)
    panel = Page("brief", desk).panel()
    box = labelled(panel, "People at once")
    box.value = -3
    assert box.value == -3
    desk.read_again()
    assert box.value == 6


def test_a_page_made_anew_takes_no_press_until_it_stands(book):
    desk = Desk(book)
    panel = Page("book", desk).panel()
    waits, when_filled = [], []
    panel.observe(lambda c: waits.append("dw-waits" in c.new), "_dom_classes")
    panel.observe(lambda _: when_filled.append("dw-waits" in panel._dom_classes), "children")
    labelled(panel, "Lengths").value = "in"
    assert waits == [True, False] and when_filled == [True]


def test_an_option_wants_a_name_and_a_fifth_is_refused(book):
    desk = Desk(book)
    panel = Page("brief", desk).panel()
    keep = labelled(panel, "Keep what is in hand as an option")
    keep.click()
    assert "name first" in words(panel)
    name = next(one for one in inside(panel) if getattr(one, "placeholder", "").startswith("its name, such"))
    for called in "abcde":
        name.value = called
        keep.click()
    assert len(desk.commission.options) == 4 and "4 at most" in words(panel)


def test_a_refused_size_is_taken_once_what_stood_against_it_has_changed(book):
    """Five rows of drawers do not go over doors; told to stand from top to bottom, they do, and need not be typed again."""
    document = demo().changed("items", [{"name": "cabinet", "form": "cabinet", "sizes": {"height_mm": 900.0}}]).model_copy(update={"ref": "CAB"})
    book.add(document)
    desk = Desk(book, "CAB")
    page = Page("sizes", desk).panel()
    rows = labelled(page, "Rows of drawers, from the top down")
    rows.value = 5
    assert desk.refused and desk.commission.items[0].sizes.get("drawer_rows") is None and rows.value == 5
    assert desk.change("items.0.sizes.arris_mm", 1.5)
    assert desk.refused and rows.value == 5  # something else does not help it
    assert desk.change("items.0.sizes.drawers_fill", 1.0)
    assert not desk.refused and desk.commission.items[0].sizes["drawer_rows"] == 5 == rows.value
    desk.undo()
    assert "drawer_rows" not in desk.commission.items[0].sizes
