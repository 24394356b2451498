"""The database under the book: opened, written in whole transactions, its faults turned into sentences."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
import time
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import sqlalchemy as sa

from studio_lib.jobbook import schema
from studio_lib.jobbook.places import FILE, VARIABLE, BadBook, Place

AGAIN, AGAIN_S = 20, 0.1
"""How often a new book is tried again while someone else makes its tables."""
WAIT_MS = 10_000
"""How long a save waits for another page's save."""
COPIES = "copies"
STANDS = "What was saved before stands."


class Store:
    """One record: an SQLite file in the place's folder, or a PostgreSQL server."""

    def __init__(self, place: Place):
        self.place = place
        self.folder = place.folder
        self.read_only = ""
        """Why nothing can be saved; empty when it can."""
        self.told = ""
        """What happened to the book that the maker should know, beside errors."""
        self._scratch: tempfile.TemporaryDirectory | None = None
        self._identity: tuple[int, int] | None = None
        self._open()

    # opening

    def _open(self) -> None:
        if not self.place.url and self.place.file.exists() and not _writable(self.place):
            self._open_a_copy(
                f"{self.place.file} may not be written. The book is open for reading only; give yourself the right "
                f"to write there, or choose another folder with the variable {VARIABLE}."
            )
            return
        self._engine = self._made_engine(self.place.url or f"sqlite:///{self.place.file}")
        self._bring_up_to_date()
        self._identity = self._file_now()

    def _made_engine(self, url: str) -> sa.Engine:
        if url.startswith("postgresql"):
            return sa.create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": 10})
        engine = sa.create_engine(url)
        sa.event.listen(engine, "connect", _prepare)
        sa.event.listen(engine, "begin", _begin)
        return engine

    def _open_a_copy(self, why: str) -> None:
        """Read a book that may not be written through a copy in a scratch folder, its log with it."""
        self._scratch = tempfile.TemporaryDirectory(prefix="job-book-", ignore_cleanup_errors=True)
        for ending in ("", "-wal"):
            source = Path(f"{self.place.file}{ending}")
            if source.exists():
                shutil.copyfile(source, Path(self._scratch.name, FILE + ending))
        self._engine = self._made_engine(f"sqlite:///{Path(self._scratch.name, FILE)}")
        self._bring_up_to_date()
        self.read_only = self.read_only or why

    def _bring_up_to_date(self) -> None:
        """Make or change the tables where needed; two who open a new book at once wait for each other."""
        for left in range(AGAIN, -1, -1):
            try:
                return self._bring_up_to_date_once()
            except (sa.exc.OperationalError, sa.exc.IntegrityError, sa.exc.ProgrammingError) as error:
                if not left:
                    raise BadBook(self._cannot_open(error)) from error
                if self.place.url and "connection" in str(error.orig).casefold():
                    raise BadBook(self._cannot_open(error)) from error
                time.sleep(AGAIN_S)

    def _cannot_open(self, error) -> str:
        if self.place.url:
            return (
                f"The job book's server {self.place.words} does not answer as it should "
                f"({str(error.orig).splitlines()[0]}). See that it runs and that the address is right; {VARIABLE} names it."
            )
        return (
            f"{self.place.file} cannot be opened or written ({error.orig}). See that the folder may be "
            f"written and the disk has room, or choose another folder with the variable {VARIABLE}."
        )

    def _bring_up_to_date_once(self) -> None:
        try:
            with self._engine.connect() as db:
                at = _version(db)
        except (sa.exc.OperationalError, sa.exc.ProgrammingError):
            raise
        except sa.exc.DatabaseError as error:
            raise BadBook(self._damaged(error.orig)) from error
        if at == schema.HEAD:
            return
        if at is not None and at > schema.HEAD:
            self.read_only = (
                f"This job book was written by a newer version of the workbook (tables {at}; this "
                f"version knows {schema.HEAD}). It is open for reading only. Update the workbook."
            )
            return
        if at is not None and not self.place.url and self._scratch is None:
            self._copy_before_change()
        self._migrate()

    def _migrate(self) -> None:
        from alembic import command
        from alembic.config import Config

        config = Config()
        config.set_main_option("script_location", str(Path(__file__).with_name("migrations")))
        with self._engine.execution_options(write=True).begin() as db:
            if db.dialect.name == "postgresql":
                db.execute(sa.text("select pg_advisory_xact_lock(20260001)"))
            config.attributes["connection"] = db
            command.upgrade(config, schema.HEAD)

    def _copy_before_change(self) -> None:
        """The book as it is, before its tables are changed; a copy that is there already is kept."""
        to = self.folder / COPIES / f"job book before tables {schema.HEAD}.sqlite"
        if to.exists():
            return
        try:
            to.parent.mkdir(exist_ok=True)
            part = to.with_suffix(".part")
            copy_file(self.place.file, part)
            part.replace(to)
        except (OSError, sqlite3.Error) as error:
            raise BadBook(
                f"The book must be brought up to this version, and the copy made first could not be written to "
                f"{to.parent} ({error}). Make room there, then open it again."
            ) from error

    def _damaged(self, why) -> str:
        newest = max(
            (self.folder / COPIES).glob("job book *.sqlite"), key=lambda p: p.stat().st_mtime, default=None
        )
        back = (
            f"The newest dated copy is {newest}: put it back with: python3 -m workbook restore {str(newest)!r}."
            if newest else "Put back a copy of it, or move it away to begin a new book."
        )
        return f"{self.place.words} is damaged or is not a job book ({why}). It was left as it is. {back}"

    @property
    def database(self) -> str:
        """The SQLite file that is read: the book's own, or the scratch copy of one that may not be written."""
        return self._engine.url.database or ""

    def close(self) -> None:
        """Let the database go. The book can be used again; it opens anew."""
        self._engine.dispose()

    # transactions

    @contextmanager
    def reading(self):
        """A connection that sees one state of the book."""
        try:
            with self._engine.connect() as db:
                yield db
        except sa.exc.DBAPIError as error:
            raise BadBook(self._words(error, "")) from error

    @contextmanager
    def writing(self):
        """A transaction: all of it is kept, safe from a power cut, or nothing of it.

        Raises BadBook, with a sentence, where the disk, the folder or the server refuses.
        """
        self.refuse_if_read_only()
        self._look_whether_replaced()
        try:
            with self._engine.execution_options(write=True).begin() as db:
                yield db
        except sa.exc.IntegrityError:
            raise
        except sa.exc.DBAPIError as error:
            raise BadBook(self._words(error, "Not saved: ")) from error
        if self._look_whether_replaced():
            raise BadBook(self.told)

    def refuse_if_read_only(self) -> None:
        """Raise BadBook where nothing can be saved."""
        if self.read_only:
            raise BadBook(self.read_only)

    def _words(self, error: sa.exc.DBAPIError, lead: str) -> str:
        name = getattr(error.orig, "sqlite_errorname", "")
        where = self.place.words
        if name == "SQLITE_FULL":
            return f"{lead}the disk that holds {where} is full. {STANDS} Make room, then make the change again."
        if name.startswith("SQLITE_IOERR"):
            return (
                f"{lead}the disk that holds {where} failed ({name}). {STANDS} Look to the disk; back the book up elsewhere."
            )
        if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
            return f"{lead}{where} may not be written. {STANDS} Give yourself the right to write there."
        if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            return f"{lead}another program holds {where}. {STANDS} Close it, then make the change again."
        if name in ("SQLITE_CORRUPT", "SQLITE_NOTADB"):
            return lead + self._damaged(error.orig)
        return f"{lead}{where} refused ({str(error.orig).splitlines()[0] if str(error.orig) else name}). {STANDS}"

    # a file changed under our hands

    def _file_now(self) -> tuple[int, int] | None:
        if self.place.url or self._scratch is not None:
            return None
        try:
            found = os.stat(self.place.file)
        except OSError:
            return None
        return found.st_dev, found.st_ino

    def _look_whether_replaced(self) -> bool:
        """Notice a file put in the book's place (by a program that synchronises folders); ours is rescued beside it."""
        if self.place.url or self._scratch is not None or self._file_now() == self._identity:
            return False
        rescued = self.folder / f"job book (rescued {datetime.now():%Y-%m-%d %H%M%S}).sqlite"
        with self._engine.connect() as db:
            target = sqlite3.connect(rescued)
            try:
                db.connection.driver_connection.backup(target)
            finally:
                target.close()
        self._engine.dispose()
        for ending in ("-wal", "-shm"):  # they belong to the file that is gone, and would be read into this one
            Path(f"{self.place.file}{ending}").unlink(missing_ok=True)
        if not self.place.file.exists():
            rescued.replace(self.place.file)
            self._identity = self._file_now()
            self.told = f"{self.place.file} was taken away by another program while it was open; it was put back whole."
            return False
        self._open()
        self.told = (
            f"{self.place.file} was replaced by another program while it was open. All that this page had saved is in "
            f"{rescued.name}; take in what it holds on the Book page."
        )
        return True

    def other_copies(self) -> list[Path]:
        """Other job books in the same folder: left by a program that synchronises, or rescued."""
        if self.place.url:
            return []
        stem = FILE.removesuffix(".sqlite")
        return sorted(
            p for p in self.folder.glob("*.sqlite*")
            if p.name != FILE and stem in p.name and not p.name.endswith(("-wal", "-shm", "-journal", ".part"))
        )


def copy_file(source: Path, target: Path) -> None:
    """A whole copy of an SQLite book that others may be writing meanwhile; nothing is left where it fails."""
    try:
        from_, to = sqlite3.connect(source), sqlite3.connect(target)
        try:
            from_.backup(to)
            to.execute("pragma journal_mode = delete")
        finally:
            from_.close()
            to.close()
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def _writable(place: Place) -> bool:
    return os.access(place.folder, os.W_OK) and os.access(place.file, os.W_OK)


def _version(db) -> str | None:
    known = sa.inspect(db).has_table("alembic_version")
    return db.execute(sa.text("select version_num from alembic_version")).scalar() if known else None


def _prepare(connection, _record) -> None:
    """A crash loses at most the edit in flight; two notebooks wait for each other."""
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute(f"pragma busy_timeout = {WAIT_MS}")
    cursor.execute("pragma journal_mode = wal")
    cursor.execute("pragma synchronous = full")
    cursor.execute("pragma foreign_keys = on")
    cursor.execute("pragma secure_delete = on")
    cursor.close()


def _begin(connection) -> None:
    writes = connection.get_execution_options().get("write")
    connection.exec_driver_sql("begin immediate" if writes else "begin")
