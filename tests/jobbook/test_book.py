"""The record loses nothing: revisions, two hands at once, damage, newer versions."""

import hashlib
import sqlite3

import pytest

from studio_lib.commission import Commission
from studio_lib.demo import demo
from studio_lib.jobbook import BadBook, Conflict, NewerDocument, open_book
from studio_lib.jobbook.book import FILE
from studio_lib.jobbook.packing import pack


def test_every_revision_can_be_opened_again(book):
    first = demo()
    second = first.changed("brief.people", 8)
    assert book.save(second, 1, "eight now") == 2
    assert book.open(first.ref) == (second, 2)
    assert book.open(first.ref, 1) == (first, 1)
    assert [(r.number, r.reason) for r in book.revisions(first.ref)] == [(2, "eight now"), (1, "begun")]


def test_saving_the_same_again_adds_nothing(book):
    assert book.save(demo(), 1, "again") == 1
    assert len(book.revisions(demo().ref)) == 1


def test_the_second_to_save_is_told_and_nothing_is_overwritten(book):
    mine, theirs = demo().changed("brief.people", 8), demo().changed("brief.people", 10)
    book.save(theirs, 1, "ten", author="the other maker")
    with pytest.raises(Conflict, match="the other maker saved revision 2"):
        book.save(mine, 1, "eight")
    assert book.open(mine.ref)[0] == theirs


def test_amending_never_touches_a_named_revision(book):
    ref = demo().ref
    book.name_revision(ref, 1, "as quoted")
    assert book.save(demo().changed("brief.people", 7), 1, "seven", amend=True) == 2
    assert book.save(demo().changed("brief.people", 8), 2, "eight", amend=True) == 2
    assert book.open(ref, 1)[0] == demo() and book.open(ref)[0].brief.people == 8
    assert book.revisions(ref)[-1].name == "as quoted"


def test_list_search_and_take_up(book, where):
    book.add(Commission(ref="C26-002", title="Hall bench", client="the village school"))
    assert [e.ref for e in book.commissions("school bench")] == ["C26-002"]
    assert book.commissions("100%_") == []
    book.take_up("C26-002")
    assert open_book(where).current == "C26-002"
    assert book.next_ref() not in {"C26-001", "C26-002"}
    with pytest.raises(KeyError, match="C26-001, C26-002"):
        book.open("C99-001")
    with pytest.raises(ValueError, match="another reference"):
        book.add(demo())


def test_a_paper_keeps_its_exact_bytes(book):
    digest = book.keep_paper(demo().ref, 1, "quote.pdf", b"%PDF exact")
    assert [(name, number, sha) for name, number, _, sha in book.papers(demo().ref)] == [("quote.pdf", 1, digest)]
    assert book.paper(demo().ref, digest) == b"%PDF exact"
    with pytest.raises(KeyError, match="No paper"):
        book.paper(demo().ref, "0" * 64)


def test_a_damaged_book_is_left_alone_with_a_sentence(tmp_path):
    (tmp_path / FILE).write_bytes(b"not a database at all, only some words" * 40)
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(BadBook, match="damaged or is not a job book"):
        open_book(tmp_path)
    assert (tmp_path / FILE).read_bytes() == before


def test_a_book_of_a_newer_version_opens_for_reading(file_book):
    with sqlite3.connect(file_book.folder / FILE) as db:
        db.execute("update alembic_version set version_num = '9999'")
    newer = open_book(file_book.folder)
    assert newer.open(demo().ref)[0] == demo()
    with pytest.raises(BadBook, match="newer version"):
        newer.save(demo().changed("brief.people", 9), 1, "nine")


def test_a_commission_of_a_newer_version_is_not_guessed_at(file_book):
    text = demo().model_dump_json().replace('"format":1', '"format":99').encode()
    with sqlite3.connect(file_book.folder / FILE) as db:
        db.execute("update revision set document = ?, sha256 = ?", (pack(text), hashlib.sha256(text).hexdigest()))
    with pytest.raises(NewerDocument, match="document format 99"):
        file_book.open(demo().ref)


def test_tables_are_strict_and_the_log_is_written_ahead(file_book):
    with sqlite3.connect(file_book.folder / FILE) as db:
        assert db.execute("pragma journal_mode").fetchone() == ("wal",)
        strict = dict(db.execute("select name, strict from pragma_table_list where type = 'table' and name not like 'sqlite%'"))
        assert {n for n, s in strict.items() if not s} <= {"alembic_version"}
        with pytest.raises(sqlite3.IntegrityError):
            db.execute("insert into setting values (x'00', 'a blob where words belong')")


def test_migrations_make_exactly_the_tables_the_code_expects(book):
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    from studio_lib.jobbook.schema import tables

    with book._engine.connect() as db:
        assert compare_metadata(MigrationContext.configure(db), tables) == []


def test_an_unwritable_folder_is_said(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BadBook, match="JOB_BOOK"):
        open_book(tmp_path / "file" / "book")


def test_a_book_that_cannot_be_written_says_what_to_look_at(tmp_path, monkeypatch):
    from studio_lib.jobbook import store as module

    monkeypatch.setattr(module, "AGAIN", 1)
    (tmp_path / FILE).mkdir()
    with pytest.raises(BadBook, match="may be written"):
        open_book(tmp_path)


def test_six_at_once_begin_one_book(tmp_path):
    import subprocess
    import sys

    code = "import sys; from workbook.page import book_with_something as b; print(b(sys.argv[1]).current)"
    started = [
        subprocess.Popen([sys.executable, "-c", code, str(tmp_path)], stdout=subprocess.PIPE, text=True) for _ in range(6)
    ]
    assert {p.communicate()[0].strip() for p in started} == {demo().ref}
    assert len(open_book(tmp_path).commissions()) == 1


def test_a_file_is_given_back_and_taken_away_by_its_number(book):
    ref = demo().ref
    book.attach(ref, "a.png", "image/png", b"one")
    book.attach(ref, "b.png", "image/png", b"two")
    first, second = book.attachments(ref)
    assert (book.attached(ref, first.number), book.attached(ref, second.number)) == (b"one", b"two")
    book.detach(ref, first.number)
    assert [a.name for a in book.attachments(ref)] == ["b.png"]
    with pytest.raises(KeyError, match="may have been taken away"):
        book.attached(ref, first.number)
    with pytest.raises(KeyError, match="may have been taken away"):
        book.detach("C99-999", second.number)


def test_a_small_picture_stands_upright_and_never_larger_than_it_was():
    import io

    from PIL import Image

    from studio_lib.jobbook.pictures import small_jpeg

    lying = Image.new("RGB", (800, 400), "white")
    exif = Image.Exif()
    exif[0x0112] = 6  # turn a quarter to the right (EXIF 2.3, orientation)
    out = io.BytesIO()
    lying.save(out, "JPEG", exif=exif)
    assert Image.open(io.BytesIO(small_jpeg(out.getvalue()))).size == (160, 320)
    out = io.BytesIO()
    Image.new("RGBA", (20, 10)).save(out, "PNG")
    clear = Image.open(io.BytesIO(small_jpeg(out.getvalue())))
    assert clear.size == (20, 10) and clear.getpixel((5, 5)) == (255, 255, 255)
    assert small_jpeg(b"no picture") == b""
