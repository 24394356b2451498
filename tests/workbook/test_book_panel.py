"""The first page and the record as a maker uses them."""

import time
from datetime import date

import pytest
from test_panels import inside, labelled, words

from studio_lib.commission import Commission
from studio_lib.demo import REF, demo
from studio_lib.jobbook import open_book
from studio_lib.jobbook.jobs import Contact
from workbook.desk import Desk
from workbook.page import Page


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    book.add(Commission(ref="C2", title="Hall bench", client="the village school"))
    yield Desk(book, REF)
    book.close()


def hinted(panel, hint):
    return next(one for one in inside(panel) if (getattr(one, "placeholder", "") or "").startswith(hint))


def until(true, seconds=20):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.02)


def test_jobs_in_hand_are_listed_found_and_taken_up(desk):
    panel = Page("book", desk).panel()
    assert "Hall bench" in words(panel) and "answer the brief and quote" in words(panel) and "2 in hand" in words(panel)
    hinted(panel, "search").value = "school"
    assert "1 in hand" in words(panel)
    labelled(panel, "Take it up").click()
    assert desk.ref == "C2" == desk.book.current


def test_a_small_picture_is_drawn_once_and_kept(desk):
    Page("book", desk).panel()
    until(lambda: desk.book.pictures([REF, "C2"]).get(REF, (b"", False))[1])
    before = desk.book.pictures([REF])[REF][0]
    assert before.startswith(b"\x89PNG")
    desk.change("items.0.sizes.length_mm", 1450)

    def of_now():
        png, fresh = desk.book.pictures([REF])[REF]
        return fresh and png != before

    Page("book", desk).panel()
    until(of_now)


def test_a_state_is_noted_and_back_wants_a_reason(desk):
    panel = Page("book", desk).panel()
    labelled(panel, "State").value = "quoted"
    assert labelled(panel, "Waiting on").value == "the client"
    labelled(panel, "By").value = date(2026, 12, 20)
    labelled(panel, "Note it").click()
    assert desk.book.jobs.stands(REF).due == "2026-12-20"
    assert "quoted" in words(panel) and "2026-12-20" in words(panel)
    labelled(panel, "State").value = "enquiry"
    labelled(panel, "Note it").click()
    assert "wants a reason" in words(panel) and desk.book.jobs.stands(REF).state == "quoted"


def test_one_button_backs_up_and_another_page_sees_what_is_brought_in(desk, tmp_path):
    panel = Page("book", desk).panel()
    labelled(panel, "Back the book up").click()
    until(lambda: "every fingerprint checked" in words(panel))
    assert len(list((desk.book.folder / "backups").glob("*.sqlite"))) == 1
    labelled(panel, "Export this commission").click()
    until(lambda: "Exported to" in words(panel))


def test_a_board_is_laid_in_offered_and_used(desk):
    panel = Page("book", desk).panel()
    for hint, value in (("timber", "European oak"), ("length, mm", "900"), ("width, mm", "140"), ("thickness, mm", "27")):
        hinted(panel, hint).value = value
    labelled(panel, "Lay it in").click()
    assert "O-001" in words(panel)
    labelled(panel, "Offer to this job").click()
    assert desk.commission.boards.offered[-1].ref == "O-001"
    labelled(panel, "Used for this job").click()
    assert desk.book.rack.boards(gone=True)[0].gone_to == REF
    hinted(panel, "timber").value = "Moonwood"
    hinted(panel, "length, mm").value = "900"
    hinted(panel, "width, mm").value = hinted(panel, "thickness, mm").value = "20"
    labelled(panel, "Lay it in").click()
    assert "Moonwood" in words(panel)


def test_a_price_list_is_kept_and_a_short_row_named(desk):
    panel = Page("book", desk).panel()
    hinted(panel, "which yard").value = "the yard by the river"
    hinted(panel, "item; unit").value = "oak 27 mm; m3; 1850\nash 27 mm; m3"
    labelled(panel, "Keep this list").click()
    assert "Row 2" in words(panel) and desk.book.prices.lists() == []
    hinted(panel, "item; unit").value = "oak 27 mm; m3; 1850"
    labelled(panel, "Keep this list").click()
    assert desk.book.prices.lists()[0].rows[0]["price"] == "1850"


def test_undo_stands_on_every_page(desk):
    panel = Page("record", desk).panel()
    assert labelled(panel, "Undo").disabled
    desk.change("brief.people", 8)
    assert not labelled(panel, "Undo").disabled and labelled(panel, "Undo").tooltip == "Brief, people at once: 6 -> 8"
    labelled(panel, "Undo").click()
    assert desk.commission == demo() and not labelled(panel, "Redo").disabled


def test_decisions_invoices_and_papers_are_on_the_record(desk):
    desk.book.keep_paper(REF, 1, "quote.pdf", b"%PDF exact")
    panel = Page("record", desk).panel()
    hinted(panel, "what was decided").value = "left bare"
    labelled(parent_of(panel, hinted(panel, "what was decided")), "Write down").click()
    assert desk.book.jobs.notes(REF)[0].says == "left bare" and "left bare" in words(panel)
    for hint, value in (("number", "26-01"), ("net of tax", "1000"), ("tax", "200")):
        next(x for x in inside(panel) if getattr(x, "placeholder", "") == hint).value = value
    labelled(panel, "Write it down").click()
    assert desk.book.jobs.invoices(REF)[0].net == "1000" and "not yet" in words(panel)
    labelled(panel, "Paid on that day").click()
    assert desk.book.jobs.invoices(REF)[0].paid_on == date.today().isoformat()
    labelled(panel, "Have it again").click()
    assert desk.notice == ""
    assert "exactly as it went out" in words(panel)


def parent_of(panel, child):
    return next(one for one in inside(panel) if child in getattr(one, "children", ()))


def test_the_client_is_kept_given_out_and_erased(desk):
    desk.change("notes", "Nomen Nescio rang")
    panel = Page("record", desk).panel()
    labelled(panel, "Name").value = "Nomen Nescio"
    assert desk.book.jobs.contact(REF) == Contact(name="Nomen Nescio")
    labelled(panel, "Give out what is kept of them").click()
    assert "Save all that is kept" in words(panel)
    sure = labelled(panel, "Erase for good")
    assert sure.layout.display == "none"
    labelled(panel, "Erase them from the record").click()
    assert sure.layout.display == ""
    sure.click()
    assert desk.commission.notes == "(erased) rang" and desk.book.jobs.contact(REF) == Contact()
    assert labelled(panel, "Name").value == "" and desk.notice == ""


def test_another_copy_beside_the_book_is_said_and_taken_in(desk):
    lying = desk.book.folder / "job book (conflicted copy).sqlite"
    desk.book.close()
    lying.write_bytes(desk.book.place.file.read_bytes())
    panel = Page("book", desk).panel()
    assert "conflicted copy" in words(panel)
    labelled(panel, "Take in what it holds").click()
    assert "holds nothing that this book has not" in words(panel) and not lying.exists()


# ---------------------------------------------------------------- a page that cannot open


def test_a_damaged_book_is_said_on_the_page_and_a_copy_put_back_from_it(tmp_path, capsys):
    from studio_lib.jobbook.backup import keep_a_copy
    from studio_lib.jobbook.places import FILE
    from workbook.page import open_page

    book = open_book(tmp_path)
    book.add(demo())
    keep_a_copy(book)
    book.close()
    (tmp_path / FILE).write_bytes(b"SQLite format 3\0" + b"\xff" * 9000)
    page = open_page("sizes", tmp_path)
    panel = page.panel()
    page.summary()
    assert "is damaged or is not a job book" in words(panel) and "is damaged" in capsys.readouterr().out
    next(b for b in inside(panel) if getattr(b, "description", "").startswith("Put back the copy")).click()
    assert "Run this page again" in words(panel)
    assert demo().title in words(open_page("sizes", tmp_path).panel())
    assert len(list((tmp_path / "copies").glob("damaged *.sqlite"))) == 1, "what was damaged is kept"


def test_a_damaged_commission_is_said_and_another_taken_up(desk, tmp_path):
    from workbook.page import open_page

    desk.book.take_up(REF)
    with desk.book.writing() as db:
        db.exec_driver_sql("update revision set document = x'00' where commission_id = 1")
    panel = open_page("record", tmp_path).panel()
    assert f"Revision 1 of {REF} is damaged" in words(panel)
    next(b for b in inside(panel) if getattr(b, "options", None)).value = "C2"
    labelled(panel, "Take this one up instead").click()
    assert "Hall bench" in words(open_page("record", tmp_path).panel())


def test_a_book_of_a_newer_version_is_shown_for_reading(desk, tmp_path):
    from workbook.page import open_page

    with desk.book.writing() as db:
        db.exec_driver_sql("update alembic_version set version_num = '9999'")
    page = open_page("book", tmp_path)
    assert "written by a newer version" in words(page.panel())
    assert not page.desk.change("brief.people", 9) and "newer version" in page.desk.notice


def test_a_page_opened_again_in_the_same_kernel_puts_the_former_away(tmp_path, monkeypatch):
    import workbook

    monkeypatch.setenv("JOB_BOOK", str(tmp_path))
    former = workbook.open_page("sizes")
    shown = former.panel()
    assert shown.comm is not None
    later = workbook.open_page("sizes")
    assert shown.comm is None, "the browser would load it again at each opening"
    box = next(b for b in inside(later.panel()) if getattr(b, "description", "") == "Height, mm")
    box.value = "750"
    assert "750" in words(later.panel()), "the page that is shown goes on as ever"


def test_what_is_made_anew_keeps_its_folds_and_closes_what_stood_before(tmp_path):
    from workbook.page import open_page

    page = open_page("book", tmp_path)
    panel = page.panel()
    fold = next(b for b in inside(panel) if "Price lists" in getattr(b, "titles", ()))
    fold.selected_index = 3
    former = panel.children
    assert page.desk.change("showing.lengths", "in")
    assert panel.children != former and all(one.comm is None for one in (*former, fold))
    assert next(b for b in inside(panel) if "Price lists" in getattr(b, "titles", ())).selected_index == 3
