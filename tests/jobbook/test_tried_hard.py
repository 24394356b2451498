"""Killed, cut off, out of room, two at once: nothing that was confirmed saved is lost. tests/bench/book.py goes on longer."""

import os
import shutil

import hard
import pytest

from studio_lib.jobbook import BadBook, Conflict, open_book


@pytest.fixture
def failing_disk(tmp_path):
    """A folder to try in; without a C compiler its tests are skipped here, and fail where CI is set."""
    if shutil.which("gcc"):
        return tmp_path
    why = "There is no C compiler on this machine (on Debian: apt install gcc libc6-dev)."
    if os.environ.get("CI"):
        pytest.fail(why)
    pytest.skip(why)


def test_a_killed_process_loses_no_confirmed_edit(where):
    tried = hard.kills(where, 40)
    assert (tried["confirmed edits lost"], tried["unreadable books"]) == (0, 0)
    assert tried["edits confirmed"] > 40


def hung_up(address):
    """End every other connection to a database, as a server does that is started anew."""
    import psycopg

    with psycopg.connect(address, autocommit=True) as db:
        db.execute("select pg_terminate_backend(pid) from pg_stat_activity "
                   "where datname = current_database() and pid <> pg_backend_pid()")


def test_a_server_that_hangs_up_is_called_again_and_mid_save_saves_nothing(postgres, tmp_path, monkeypatch):
    from studio_lib.jobbook import places

    monkeypatch.setattr(places, "_in_documents", lambda: tmp_path)
    address = postgres()
    book = open_book(address)
    book.add(hard.plain())
    hung_up(address)
    assert book.save(hard.plain(1), 1, "called again") == 2
    with pytest.raises(BadBook, match="Not saved: .* What was saved before stands"), book.writing() as db:
        db.exec_driver_sql("update commission set title = 'half'")
        hung_up(address)
        db.exec_driver_sql("update commission set client = 'half'")
    assert book.open(hard.REF) == (hard.plain(1), 2) and book.commissions()[0].title == "Tried hard"


def test_two_at_once_lose_nothing_and_each_conflict_is_told(where):
    tried = hard.two_at_once(where, 40)
    assert (tried["lost"], tried["conflicts not told"], tried["ended well"]) == (0, 0, True)
    assert tried["edits"] == 80 == tried["saved"] + tried["conflicts told"]
    assert tried["conflicts told"] > 5, "they hardly met; the trial tries nothing"


def test_a_write_that_fails_leaves_the_old_or_the_new_and_is_said(failing_disk):
    places, neither, false, silent = map(int, hard.under_shim("fail_everywhere", failing_disk).split())
    assert (neither, false, silent) == (0, 0, 0)
    assert places > 100


def test_a_back_up_is_whole_or_is_not(failing_disk):
    tried, half = map(int, hard.under_shim("fail_back_ups", failing_disk).split())
    assert half == 0 and tried > 10


def test_a_power_cut_keeps_what_was_confirmed(failing_disk):
    steps, lost, unreadable, _ = map(int, hard.under_shim("power_cuts", failing_disk, "150", "40").split())
    assert (lost, unreadable) == (0, 0)
    assert steps > 900


def test_a_folder_that_may_not_be_written_is_read_with_a_sentence(tmp_path, monkeypatch):
    from studio_lib.jobbook import store

    book = open_book(tmp_path)
    book.add(hard.plain())
    before = {p: p.read_bytes() for p in tmp_path.glob("*.sqlite")}
    monkeypatch.setattr(store, "_writable", lambda place: False)  # root may write anywhere
    shut = open_book(tmp_path)
    assert shut.open(hard.REF)[0] == hard.plain(), "what stands in the log only is read too"
    with pytest.raises(BadBook, match="reading only; give yourself the right"):
        shut.save(hard.plain(1), 1, "one")
    assert {p: p.read_bytes() for p in tmp_path.glob("*.sqlite")} == before


def test_a_file_put_in_the_books_place_loses_nothing_of_ours(tmp_path):
    mine = open_book(tmp_path / "here")
    mine.add(hard.plain())
    other = open_book(tmp_path / "there")
    other.add(hard.plain(7))
    other.close()
    mine.save(hard.plain(1), 1, "saved before the exchange")
    os.replace(tmp_path / "there" / hard.FILE, tmp_path / "here" / hard.FILE)
    with pytest.raises(Conflict, match="saved revision 1"):
        mine.save(hard.plain(2), 2, "after it")
    assert "was replaced by another program" in mine.told
    (rescued,) = mine.other_copies()
    from studio_lib.jobbook.exchange import take_in_copy

    assert "revision 2 is as the other copy has it" in " ".join(take_in_copy(mine, rescued))
    assert mine.open(hard.REF)[0] == hard.plain(7) and mine.open(hard.REF, 2)[0] == hard.plain(1)
    assert mine.other_copies() == []


def test_a_file_taken_away_is_put_back_whole(tmp_path):
    book = open_book(tmp_path)
    book.add(hard.plain())
    (tmp_path / hard.FILE).unlink()
    assert book.save(hard.plain(1), 1, "one") == 2
    book.close()
    assert open_book(tmp_path).open(hard.REF)[0] == hard.plain(1)


def test_a_damaged_revision_is_named_and_the_others_open(file_book):
    from studio_lib.demo import REF, demo

    file_book.save(demo().changed("brief.people", 8), 1, "eight")
    with file_book.writing() as db:
        db.exec_driver_sql("update revision set document = x'00112233' where number = 2")
    with pytest.raises(BadBook, match="Revision 2 of C26-001 is damaged"):
        file_book.open(REF)
    assert file_book.open(REF, 1)[0] == demo()


def test_a_damaged_file_names_the_newest_copy(tmp_path):
    from studio_lib.jobbook.backup import keep_a_copy

    book = open_book(tmp_path)
    book.add(hard.plain())
    copy = keep_a_copy(book)
    book.close()
    (tmp_path / hard.FILE).write_bytes(b"SQLite format 3\0" + b"\xff" * 4096)
    with pytest.raises(BadBook) as said:
        open_book(tmp_path)
    assert str(copy) in str(said.value) and "workbook restore" in str(said.value)
