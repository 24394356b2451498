"""One checked file while the book is in use, put back elsewhere; dated copies by a rule."""

import shutil
import sqlite3
import threading
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.demo import REF, demo
from studio_lib.jobbook import BadBook, open_book
from studio_lib.jobbook.backup import back_up, check, copies, keep_a_copy, kept, restore
from studio_lib.jobbook.jobs import Contact
from studio_lib.jobbook.places import FILE, Place, place_of_the_book

AT = datetime(2026, 11, 25, 12)


def filled(book):
    book.save(demo().changed("brief.people", 8), 1, "eight")
    book.keep_paper(REF, 2, "quote.pdf", b"%PDF exact")
    book.attach(REF, "a.png", "image/png", b"picture", "seen")
    book.jobs.move(REF, "quoted")
    book.jobs.keep_contact(REF, Contact(name="Nomen Nescio"))
    book.jobs.say(REF, "decision", "left bare")
    book.maker = "a workshop"
    return book


def same(a, b):
    for call in (lambda x: x.commissions(), lambda x: x.revisions(REF), lambda x: x.open(REF, 1), lambda x: x.open(REF),
                 lambda x: x.papers(REF), lambda x: x.files(REF), lambda x: x.jobs.history(REF), lambda x: x.jobs.contact(REF),
                 lambda x: x.jobs.notes(), lambda x: x.maker):
        assert call(a) == call(b)
    return True


def test_a_back_up_is_put_back_on_a_new_machine(book, tmp_path):
    filled(book)
    found = back_up(book, tmp_path / "stick")
    assert (found.commissions, found.revisions, found.papers, found.files) == (1, 2, 1, 1)
    restore(found.path, Place(tmp_path / "new machine"))
    new = open_book(tmp_path / "new machine")
    assert same(book, new)
    assert new.save(demo(), 2, "work goes on") == 3


def test_a_file_moves_to_a_server(file_book, postgres, tmp_path, monkeypatch):
    from studio_lib.jobbook import places

    monkeypatch.setattr(places, "_in_documents", lambda: tmp_path / "server papers")
    address = postgres()
    filled(file_book)
    restore(back_up(file_book).path, place_of_the_book(address))
    server = open_book(address)
    assert same(file_book, server)
    assert server.save(demo(), 2, "work goes on") == 3
    server.add(demo().model_copy(update={"ref": "C26-777"}))


def test_it_is_made_while_others_save(file_book):
    stop = threading.Event()

    def edit():
        mine = open_book(file_book.folder)
        number, people = 1, 7
        while not stop.is_set():
            people = 7 + people % 20
            number = mine.save(demo().changed("brief.people", people), number, "on the move")

    editor = threading.Thread(target=edit)
    editor.start()
    try:
        found = [back_up(file_book, now=AT + timedelta(seconds=n)) for n in range(5)]
    finally:
        stop.set()
        editor.join()
    assert [f.revisions for f in found] == sorted(f.revisions for f in found)


def test_a_book_that_is_there_is_not_restored_over_unless_said_and_then_backed_up_first(file_book, tmp_path):
    saved = back_up(file_book, now=AT)
    file_book.save(demo().changed("brief.people", 9), 1, "later")
    with pytest.raises(BadBook, match="already. Nothing was changed"):
        restore(saved.path, file_book.place)
    assert file_book.open(REF)[1] == 2
    restore(saved.path, file_book.place, replace=True, now=AT + timedelta(1))
    assert file_book.open(REF) == (demo(), 1), "pages that are open see it at once"
    earlier = check(file_book.folder / "backups" / "job book 2026-11-26 120000.sqlite")
    assert earlier.revisions == 2


def hurt_document(db):
    db.execute("update revision set document = zeroblob(length(document))")


def hurt_paper(db):
    db.execute("update paper set bytes = x'00'")


def hurt_reference(db):
    db.execute("pragma foreign_keys = off")
    db.execute("update revision set commission_id = 99")


def hurt_version(db):
    db.execute("update alembic_version set version_num = '9999'")


def hurt_tables(db):
    db.execute("drop table revision")


@pytest.mark.parametrize("hurt", [hurt_document, hurt_paper, hurt_reference, hurt_version, hurt_tables])
def test_a_bad_back_up_is_found_out_and_changes_nothing(file_book, tmp_path, hurt):
    bad = back_up(filled(file_book)).path
    with sqlite3.connect(bad) as db:
        hurt(db)
    db.close()
    with pytest.raises(BadBook, match="Nothing was changed"):
        restore(bad, Place(tmp_path / "new"))
    assert not (tmp_path / "new" / FILE).exists()


@pytest.mark.parametrize("content", [b"", b"words", b"SQLite format 3\0" + b"\xff" * 5000])
def test_any_file_that_is_none_is_said(tmp_path, content):
    (tmp_path / "x.sqlite").write_bytes(content)
    with pytest.raises(BadBook, match="Nothing was changed"):
        restore(tmp_path / "x.sqlite", Place(tmp_path / "new"))


def test_a_flipped_byte_anywhere_is_found_out_or_harmless(file_book, tmp_path):
    saved = back_up(filled(file_book)).path
    whole = saved.read_bytes()
    documents = [file_book.text(REF, n) for n in (1, 2)]
    missed = 0
    for at in range(100, len(whole), max(1, len(whole) // 150)):
        hurt = bytearray(whole)
        hurt[at] ^= 0x55
        (tmp_path / "hurt.sqlite").write_bytes(hurt)
        try:
            check(tmp_path / "hurt.sqlite")
        except BadBook:
            continue
        shutil.rmtree(tmp_path / "new", ignore_errors=True)
        restore(tmp_path / "hurt.sqlite", Place(tmp_path / "new"))
        missed += [open_book(tmp_path / "new").text(REF, n) for n in (1, 2)] != documents
    assert missed == 0


def test_a_folder_that_is_none_is_said_and_leaves_nothing(file_book, tmp_path):
    (tmp_path / "in the way").write_text("x")
    with pytest.raises(BadBook, match="The book itself is as it was"):
        back_up(file_book, tmp_path / "in the way" / "deeper")
    with pytest.raises(BadBook, match="over the book itself"):
        back_up(file_book, file_book.place.file)


# ---------------------------------------------------------------- dated copies


def test_a_copy_a_day_and_no_more(book):
    first = keep_a_copy(book, date(2026, 11, 25))
    assert check(first).commissions == 1 and keep_a_copy(book, date(2026, 11, 25)) is None
    keep_a_copy(book, date(2026, 11, 26))
    assert copies(book) == [date(2026, 11, 26), date(2026, 11, 25)]


def test_a_year_of_days_keeps_the_near_ones_close_and_the_far_ones_apart():
    today = date(2026, 11, 25)
    stays = set()
    for n in range(3 * 365, -1, -1):
        day = today - timedelta(n)
        stays = kept([*stays, day], day)
    ages = sorted((today - d).days for d in stays)
    assert ages[:14] == list(range(14)), "each of the last fourteen days"
    assert len(stays) < 14 + 10 + 26 + 4
    assert max(b - a for a, b in zip(ages, ages[1:], strict=False) if b <= 60) <= 8, "then one a week"
    assert max(b - a for a, b in zip(ages, ages[1:], strict=False) if b <= 730) <= 32, "then one a month"
    assert min(stays) == today - timedelta(3 * 365), "the first of a year for good"


@given(st.sets(st.dates(date(2020, 1, 1), date(2026, 11, 25)), min_size=1))
def test_thinning_twice_is_thinning_once_and_never_takes_the_newest_or_the_oldest(days):
    today = date(2026, 11, 25)
    once = kept(sorted(days), today)
    assert kept(sorted(once), today) == once and once <= days
    assert min(days) in once
    if (today - max(days)).days < 14:
        assert max(days) in once


def test_what_hinders_a_copy_is_told_and_nothing_else(file_book):
    (file_book.folder / "copies").write_text("in the way")
    said = []
    assert keep_a_copy(file_book, date(2026, 11, 25), said.append) is None
    assert "Your work is saved" in said[0]
