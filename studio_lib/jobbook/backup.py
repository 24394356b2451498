"""Back-up to one file, checked; putting it back; dated copies kept by a rule."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

import sqlalchemy as sa

from studio_lib.jobbook import schema
from studio_lib.jobbook.book import Book
from studio_lib.jobbook.packing import unpack
from studio_lib.jobbook.places import FILE, BadBook, Place
from studio_lib.jobbook.store import COPIES, copy_file

DATED = re.compile(r"^job book (\d{4}-\d{2}-\d{2})\.sqlite$")
DAYS, WEEKS, MONTHS = 14, 8, 24
"""Dated copies: each of the last 14 days, then the first of each week, of each month, of each year."""
ROWS_AT_ONCE = 100


@dataclass(frozen=True)
class Contents:
    """What a checked back-up holds."""

    path: Path
    commissions: int
    revisions: int
    papers: int
    files: int
    size: int

    @property
    def words(self) -> str:
        return (
            f"{self.path.name}: commissions {self.commissions}, revisions {self.revisions}, papers {self.papers}, "
            f"pictures and files {self.files}; {self.size / 1e6:.1f} MB, every fingerprint checked."
        )


def back_up(book: Book, to: str | Path | None = None, now: datetime | None = None) -> Contents:
    """The whole book as one file, made while it is in use, then read back and checked.

    ``to`` is a folder or a file's name; without it the folder 'backups' beside the book. Raises
    BadBook, and leaves nothing half made, where it cannot be written or does not check.
    """
    stamp = f"job book {now or datetime.now():%Y-%m-%d %H%M%S}.sqlite"
    target = Path(to).expanduser() if to else book.folder / "backups"
    if target.suffix != ".sqlite":
        target = target / stamp
    if target.resolve() == book.place.file.resolve():
        raise BadBook("A back-up cannot be written over the book itself; name another folder or file.")
    part = target.with_name(target.name + ".part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        _copy(book, part)
        found = check(part)
        _to_disk(part)
        part.replace(target)
    except (OSError, sqlite3.Error, sa.exc.DBAPIError) as error:
        raise BadBook(
            f"The back-up could not be written to {target.parent} ({error}). The book itself is as it was. "
            "Make room there, or name another folder."
        ) from error
    finally:
        away(part)
    return Contents(target, *(getattr(found, n) for n in ("commissions", "revisions", "papers", "files", "size")))


def check(path: Path) -> Contents:
    """Look through a back-up: tables, references, and the fingerprint of every document, paper and file.

    Raises BadBook naming the first things that do not hold.
    """
    path = Path(path)
    if not path.is_file():
        raise BadBook(f"There is no file {path}.")
    with path.open("rb") as file:
        if file.read(16) != b"SQLite format 3\0":
            raise BadBook(f"{path.name} is no back-up of a job book. Nothing was changed.")
    try:
        db = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)
        try:
            return _checked(db, path)
        finally:
            db.close()
    except sqlite3.Error as error:
        raise BadBook(
            f"{path.name} is damaged or is no job book ({error}). Nothing was changed. Take an earlier copy."
        ) from error


def _checked(db: sqlite3.Connection, path: Path) -> Contents:
    names = {n for (n,) in db.execute("select name from sqlite_master where type = 'table'")}
    if not {"alembic_version", "commission", "revision", "paper"} <= names:
        raise BadBook(f"{path.name} is a database, but no job book. Nothing was changed.")
    (version,) = db.execute("select version_num from alembic_version").fetchone() or ("",)
    if version > schema.HEAD:
        raise BadBook(
            f"{path.name} was made by a newer version of the workbook (tables {version}; this version knows "
            f"{schema.HEAD}). Update the workbook first. Nothing was changed."
        )
    bad = [row[0] for row in db.execute("pragma integrity_check(5)") if row[0] != "ok"]
    bad += [f"a row of {row[0]} belongs to nothing" for row in db.execute("pragma foreign_key_check")][:5]
    if version == schema.HEAD and not bad:
        bad = _false_fingerprints(db)
    if bad:
        raise BadBook(f"{path.name} is damaged: {'; '.join(bad[:3])}. Nothing was changed. Take an earlier copy.")
    counts = [
        db.execute(f"select count(*) from {t}").fetchone()[0] if t in names else 0
        for t in ("commission", "revision", "paper", "attachment")
    ]
    return Contents(path, *counts, path.stat().st_size)


def _false_fingerprints(db) -> list[str]:
    bad = []
    whole: dict[tuple[int, int], bytes] = {}
    query = "select commission_id, number, packed_on, sha256, document from revision order by commission_id, number"
    for ident, number, on, digest, packed in db.execute(query):
        try:
            text = unpack(packed, whole[ident, on] if on is not None else b"")
            good = hashlib.sha256(text).hexdigest() == digest
        except (ValueError, KeyError):
            text, good = b"", False
        if on is None:
            whole = {k: v for k, v in whole.items() if k[0] == ident} | {(ident, number): text}
        if not good:
            (ref,) = db.execute("select ref from commission where id = ?", (ident,)).fetchone() or ("?",)
            bad.append(f"revision {number} of {ref}")
    for table, kept in (("paper", "erased_at is null"), ("attachment", "1")):
        for name, digest, content in db.execute(f"select name, sha256, bytes from {table} where {kept}"):
            if hashlib.sha256(content).hexdigest() != digest:
                bad.append(f"{table} {name}")
    return bad


def restore(path: str | Path, place: Place, replace: bool = False, now: datetime | None = None) -> Contents:
    """Put a back-up in a place: a new machine's folder, or a server's database.

    A book that is there already is refused, or with ``replace`` first backed up itself; one that is
    damaged is set aside among the copies. All is checked before anything is changed, and it is
    changed in one transaction. Returns what was put back.
    """
    found = check(Path(path))
    with tempfile.TemporaryDirectory(prefix="job-book-", ignore_cleanup_errors=True) as scratch:
        shutil.copyfile(path, Path(scratch, FILE))
        source = Book(Place(Path(scratch)))  # brings an older back-up's tables up to date
        source.close()
        check(Path(scratch, FILE))
        try:
            place.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BadBook(f"The folder {place.folder} cannot be made ({error.strerror}). Name another.") from error
        target = _opened_or_set_aside(place, now or datetime.now())
        try:
            present = len(target.commissions())
            if present and not replace:
                raise BadBook(
                    f"There is a book with {present} commissions in {place.words} already. Nothing was changed. "
                    "Restore into another folder, or replace it (--replace): it is then backed up first."
                )
            target.refuse_if_read_only()
            if present:
                back_up(target, target.folder / "backups", now)
            _pour(source, target)
        finally:
            source.close()
            target.close()
    return found


def _opened_or_set_aside(place: Place, now: datetime) -> Book:
    """The book at a place; a damaged file is first moved out of the way, whole."""
    try:
        return Book(place)
    except BadBook:
        if place.url or not place.file.is_file():
            raise
    aside = place.folder / COPIES / f"damaged {now:%Y-%m-%d %H%M%S}.sqlite"
    aside.parent.mkdir(exist_ok=True)
    for ending in ("", "-wal", "-shm"):
        found = Path(f"{place.file}{ending}")
        if found.exists():
            found.replace(f"{aside}{ending}")
    return Book(place)


def _pour(source: Book, target: Book) -> None:
    """Every row of one book into another in place of its own, in one transaction."""
    with source.reading() as from_, target.writing() as to:
        for table in reversed(schema.tables.sorted_tables):
            to.execute(table.delete())
        _rows(from_, to)


def _rows(from_, to) -> None:
    for table in schema.tables.sorted_tables:
        found = from_.execution_options(yield_per=ROWS_AT_ONCE).execute(sa.select(table))
        for rows in found.mappings().partitions():
            to.execute(table.insert(), [dict(row) for row in rows])
        if to.dialect.name == "postgresql" and "id" in table.c:
            to.execute(sa.text(
                f"select setval(pg_get_serial_sequence('{table.name}', 'id'), coalesce(max(id), 1), "
                f"max(id) is not null) from \"{table.name}\""
            ))


def _copy(book: Book, part: Path) -> None:
    """One state of the book as an SQLite file, whatever keeps the book."""
    if not book.place.url:
        return copy_file(Path(book.database), part)
    with tempfile.TemporaryDirectory(prefix="job-book-", dir=part.parent, ignore_cleanup_errors=True) as scratch:
        copy = Book(Place(Path(scratch)))
        with book.reading() as from_, copy.writing() as to:
            from_.execute(sa.text("set transaction isolation level repeatable read, read only"))
            _rows(from_, to)
        copy.close()
        copy_file(Path(scratch, FILE), part)


def away(path: Path) -> None:
    """Remove a file, and what the database laid beside it; they may not be there, or not even their folder."""
    for ending in ("", "-journal", "-wal", "-shm"):
        with suppress(OSError):
            Path(f"{path}{ending}").unlink()


def _to_disk(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


# ---------------------------------------------------------------- dated copies


def keep_a_copy(book: Book, today: date | None = None, tell: Callable[[str], None] = lambda _: None) -> Path | None:
    """Today's dated copy, made once a day, and old ones thinned by the rule; None where today's is there.

    What goes wrong is told in a sentence and never stands in the way of work.
    """
    today = today or date.today()
    folder = book.folder / COPIES
    target = folder / f"job book {today.isoformat()}.sqlite"
    if book.read_only or target.exists():
        return None
    part = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _copy(book, part)
        check(part)
        _to_disk(part)
        part.replace(target)
        for day in set(copies(book)) - kept(copies(book), today):
            (folder / f"job book {day.isoformat()}.sqlite").unlink(missing_ok=True)
    except BadBook as error:
        tell(f"Today's copy of the book does not check: {error} Back it up elsewhere now, and look to the disk.")
        return None
    except (OSError, sqlite3.Error, sa.exc.DBAPIError) as error:
        tell(f"Today's copy of the book could not be made in {folder} ({error}). Your work is saved; make room there.")
        return None
    finally:
        away(part)
    return target


def newest_good_copy(place: Place) -> Path | None:
    """The newest dated copy that checks."""
    for path in sorted((place.folder / COPIES).glob("job book *.sqlite"), reverse=True):
        if DATED.match(path.name):
            with suppress(BadBook):
                check(path)
                return path
    return None


def copies(book: Book) -> list[date]:
    """Days of which a dated copy is kept, the newest first."""
    found = (DATED.match(p.name) for p in (book.folder / COPIES).glob("job book *.sqlite"))
    return sorted((date.fromisoformat(m[1]) for m in found if m), reverse=True)


def kept(days: list[date], today: date) -> set[date]:
    """Which dated copies stay: each of the last 14 days; the first of a week for 8 weeks, of a month for
    24 months, of a year for good.
    """
    stays, seen = set(), set()
    for day in sorted(days):
        age = (today - day).days
        spans = [("year", day.year)]
        if age <= 31 * MONTHS:
            spans.append(("month", day.year, day.month))
        if age <= 7 * WEEKS + DAYS:
            spans.append(("week", day - timedelta(days=day.weekday())))
        if age < DAYS or any(span not in seen for span in spans):
            stays.add(day)
        seen.update(spans)
    return stays
