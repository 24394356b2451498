"""A book of every earlier version is brought up to date, on a file and on a server, with nothing of it lost."""

from pathlib import Path

import pytest
import sqlalchemy as sa

from studio_lib.demo import REF, demo
from studio_lib.jobbook import BadBook, open_book, schema
from studio_lib.jobbook.places import place_of_the_book

VERSIONS = ["0001", "0002"]
TIMES = ["2026-01-02T03:04:05+00:00", "2026-01-03T03:04:05+00:00", "2026-01-04T03:04:05+00:00"]


def documents():
    return [demo(), demo().changed("brief.people", 8), demo().changed("brief.wanted_by", "2027-05-01").changed("finished", True)]


def old_book(where, version):
    """A book as that version of the tables held it: three revisions, a paper, a setting."""
    from alembic import command
    from alembic.config import Config

    place = place_of_the_book(where)
    place.folder.mkdir(parents=True, exist_ok=True)
    engine = sa.create_engine(place.url or f"sqlite:///{place.file}")
    config = Config()
    config.set_main_option("script_location", str(Path(schema.__file__).with_name("migrations")))
    with engine.begin() as db:
        config.attributes["connection"] = db
        command.upgrade(config, version)
        db.execute(sa.text("insert into commission (ref, title, client, created_at, changed_at, latest) values (:r, :t, :c, :a, :b, 3)"),
                   {"r": REF, "t": demo().title, "c": demo().client, "a": TIMES[0], "b": TIMES[2]})
        for n, (document, at) in enumerate(zip(documents(), TIMES, strict=True), 1):
            db.execute(
                sa.text("insert into revision (commission_id, number, saved_at, author, reason, name, document) "
                        "values (1, :n, :at, 'the maker', :why, :name, :d)"),
                {"n": n, "at": at, "why": f"reason {n}", "name": "as quoted" if n == 2 else None, "d": document.model_dump_json()})
        db.execute(sa.text("insert into paper (commission_id, revision, issued_at, name, sha256, bytes) values (1, 2, :at, 'q.pdf', 'x', :b)"),
                   {"at": TIMES[1], "b": b"%PDF old"})
        db.execute(sa.text("insert into setting values ('maker', 'a workshop')"))
        if version >= "0002":
            db.execute(sa.text("insert into attachment (commission_id, added_at, name, media_type, note, sha256, bytes) "
                               "values (1, :at, 'a.png', 'image/png', 'seen', 'y', :b)"), {"at": TIMES[1], "b": b"png"})
    engine.dispose()


@pytest.mark.parametrize("version", VERSIONS)
def test_a_book_of_an_earlier_version_is_brought_up_whole(where, version):
    old_book(where, version)
    book = open_book(where)
    assert [book.open(REF, n)[0] for n in (1, 2, 3)] == documents()
    assert [(r.number, r.saved_at, r.author, r.reason, r.name) for r in book.revisions(REF)] == [
        (3, TIMES[2], "the maker", "reason 3", None), (2, TIMES[1], "the maker", "reason 2", "as quoted"),
        (1, TIMES[0], "the maker", "reason 1", None),
    ]
    assert book.paper(REF, "x") == b"%PDF old" and book.maker == "a workshop"
    assert [a.note for a in book.attachments(REF)] == (["seen"] if version >= "0002" else [])
    (entry,) = book.commissions()
    assert (entry.state, entry.wanted_by) == ("enquiry", "2027-05-01") and book.finished() == [documents()[2]]
    assert book.undo(REF, 3) == 4 and book.open(REF)[0] == documents()[1]
    assert book.save(demo(), 4, "goes on") == 5


@pytest.mark.parametrize("version", VERSIONS)
def test_the_tables_are_the_same_from_wherever_they_came(where, version):
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    old_book(where, version)
    book = open_book(where)
    with book.reading() as db:
        assert compare_metadata(MigrationContext.configure(db), schema.tables) == []


def test_a_copy_is_made_before_the_tables_change(tmp_path):
    old_book(tmp_path, "0002")
    open_book(tmp_path).close()
    engine = sa.create_engine(f"sqlite:///{tmp_path / 'copies' / f'job book before tables {schema.HEAD}.sqlite'}")
    with engine.connect() as db:
        assert db.execute(sa.text("select version_num from alembic_version")).scalar() == "0002"
        assert db.execute(sa.text("select count(*) from revision")).scalar() == 3


def test_a_change_of_tables_that_fails_leaves_the_book_as_it_was(tmp_path, monkeypatch):
    from studio_lib.jobbook import store

    old_book(tmp_path, "0002")
    engine = sa.create_engine(f"sqlite:///{tmp_path / 'job book.sqlite'}")
    with engine.begin() as db:
        db.execute(sa.text("update revision set document = 'no json' where number = 3"))
    monkeypatch.setattr(store, "AGAIN", 0)
    with pytest.raises((BadBook, ValueError)):
        open_book(tmp_path)
    with engine.connect() as db:
        assert db.execute(sa.text("select version_num from alembic_version")).scalar() == "0002"
        assert db.execute(sa.text("select count(*) from revision")).scalar() == 3
        assert not sa.inspect(db).has_table("step")
