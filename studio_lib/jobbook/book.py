"""Opening, saving and reading the job book. Every save is one transaction."""

from __future__ import annotations

import getpass
import hashlib
import json
import os
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import sqlalchemy as sa

from studio_lib.commission import FORMAT, Commission
from studio_lib.jobbook import schema
from studio_lib.jobbook.pictures import small_jpeg
from studio_lib.jobbook.schema import attachment, commission, paper, revision, setting

FILE = "job book.sqlite"
AGAIN, AGAIN_S = 20, 0.1
"""How often a new book is tried again while someone else makes its tables."""


class BadBook(RuntimeError):
    """The book cannot be opened; the text says why and what to do."""


class NewerDocument(RuntimeError):
    """A commission was written by a newer version of the workbook."""


class Conflict(RuntimeError):
    """Someone else saved this commission since it was opened; nothing was overwritten."""

    def __init__(self, latest: Revision):
        super().__init__(
            f"{latest.author} saved revision {latest.number} of this commission at "
            f"{latest.saved_at[:16].replace('T', ' ')} ({latest.reason}). Your change was not "
            "saved. Open the commission again to see theirs, then make yours."
        )
        self.latest = latest


@dataclass(frozen=True)
class Entry:
    """One commission in the list."""

    ref: str
    title: str
    client: str
    changed_at: str
    latest: int


@dataclass(frozen=True)
class Revision:
    """One saved state of a commission."""

    number: int
    saved_at: str
    author: str
    reason: str
    name: str | None


@dataclass(frozen=True)
class Attachment:
    """A picture or other file that belongs to a commission; its bytes stay in the book until asked for."""

    number: int
    name: str
    media_type: str
    note: str
    added_at: str
    sha256: str

    @property
    def is_picture(self) -> bool:
        return self.media_type.startswith("image/")


MOST_ATTACHED_BYTES = 20_000_000


def folder_of_the_book(where: str | Path | None = None) -> Path:
    """The book's folder: the one given, else the variable JOB_BOOK, else in the person's documents."""
    if where is None:
        where = os.environ.get("JOB_BOOK")
    if where:
        return Path(where).expanduser().resolve()
    from platformdirs import user_documents_path

    return user_documents_path() / "Job book"


def open_book(where: str | Path | None = None) -> Book:
    """The record at a folder, made if it is not there yet.

    Raises BadBook, with a sentence for the maker, when the folder cannot be written or
    the file is not a job book. A book from a newer version opens read-only.
    """
    folder = folder_of_the_book(where)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadBook(
            f"The job book's folder {folder} cannot be made ({error.strerror}). "
            "Choose another with the variable JOB_BOOK."
        ) from error
    return Book(folder)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def _me() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "maker"


class Book:
    """The record of all commissions in one folder. Cheap to open; safe to open twice."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.read_only = ""
        """Why nothing can be saved; empty when it can."""
        self._thumbnails: dict[str, bytes] = {}
        self._engine = sa.create_engine(f"sqlite:///{folder / FILE}")
        sa.event.listen(self._engine, "connect", _prepare)
        self._bring_up_to_date()

    def _bring_up_to_date(self) -> None:
        """Make or change the tables where needed; two who open a new book at once wait for each other."""
        for _ in range(AGAIN):
            try:
                return self._bring_up_to_date_once()
            except (sa.exc.OperationalError, sa.exc.IntegrityError):
                time.sleep(AGAIN_S)
        try:
            self._bring_up_to_date_once()
        except sa.exc.OperationalError as error:
            raise BadBook(
                f"{self.folder / FILE} cannot be opened or written ({error.orig}). See that the folder may be "
                "written and the disk has room, or choose another folder with the variable JOB_BOOK."
            ) from error

    def _bring_up_to_date_once(self) -> None:
        try:
            with self._engine.connect() as db:
                known = sa.inspect(db).has_table("alembic_version")
                at = db.execute(sa.text("select version_num from alembic_version")).scalar() if known else None
        except sa.exc.OperationalError:
            raise
        except sa.exc.DatabaseError as error:
            raise BadBook(
                f"{self.folder / FILE} is damaged or is not a job book ({error.orig}). It was left "
                "as it is. Put back a copy of it, or move it away to begin a new book."
            ) from error
        if at == schema.HEAD:
            return
        if at is not None and at > schema.HEAD:
            self.read_only = (
                f"This job book was written by a newer version of the workbook (tables {at}; this "
                f"version knows {schema.HEAD}). It is open for reading only. Update the workbook."
            )
            return
        from alembic import command
        from alembic.config import Config

        config = Config()
        config.set_main_option("script_location", str(Path(__file__).with_name("migrations")))
        with self._engine.begin() as db:
            config.attributes["connection"] = db
            command.upgrade(config, schema.HEAD)

    def close(self) -> None:
        self._engine.dispose()

    # reading

    def commissions(self, search: str = "") -> list[Entry]:
        """Commissions whose reference, title or client holds the words, the last changed first."""
        c = commission.c
        query = sa.select(c.ref, c.title, c.client, c.changed_at, c.latest).order_by(
            c.changed_at.desc(), c.ref
        )
        for word in search.split():
            query = query.where(
                sa.or_(*(col.icontains(word, autoescape=True) for col in (c.ref, c.title, c.client)))
            )
        with self._engine.connect() as db:
            return [Entry(*row) for row in db.execute(query)]

    def open(self, ref: str, number: int | None = None) -> tuple[Commission, int]:
        """A commission at its latest or at an earlier revision, and that revision's number.

        Raises KeyError for an unknown reference or number, NewerDocument when a newer
        version of the workbook wrote it.
        """
        with self._engine.connect() as db:
            found = db.execute(
                sa.select(commission.c.id, commission.c.latest).where(commission.c.ref == ref)
            ).first()
            if found is None:
                known = ", ".join(db.execute(sa.select(commission.c.ref)).scalars()) or "none yet"
                raise KeyError(f"No commission {ref!r} in this book. In it: {known}.")
            wanted = found.latest if number is None else number
            text = db.execute(
                sa.select(revision.c.document).where(
                    revision.c.commission_id == found.id, revision.c.number == wanted
                )
            ).scalar()
        if text is None:
            raise KeyError(f"{ref} has no revision {wanted}; it has 1 to {found.latest}.")
        written_as = json.loads(text).get("format")
        if isinstance(written_as, int) and written_as > FORMAT:
            raise NewerDocument(
                f"{ref} was saved by a newer version of the workbook (document format "
                f"{written_as}; this version reads {FORMAT}). Update the workbook to open it."
            )
        return Commission.model_validate_json(text), wanted

    def revisions(self, ref: str) -> list[Revision]:
        """Every saved state of a commission, the newest first."""
        r = revision.c
        with self._engine.connect() as db:
            rows = db.execute(
                sa.select(r.number, r.saved_at, r.author, r.reason, r.name)
                .join(commission, commission.c.id == r.commission_id)
                .where(commission.c.ref == ref).order_by(r.number.desc())
            )
            return [Revision(*row) for row in rows]

    def finished(self, but: str = "", most: int = 30) -> list[Commission]:
        """Latest documents of commissions whose hours are complete, the last changed first.

        ``but`` leaves one commission out: a job does not learn from itself.
        """
        r, c = revision.c, commission.c
        query = (
            sa.select(r.document)
            .join(commission, sa.and_(c.id == r.commission_id, c.latest == r.number))
            .where(sa.func.json_extract(r.document, "$.finished") == 1, c.ref != but)
            .order_by(c.changed_at.desc()).limit(most)
        )
        with self._engine.connect() as db:
            return [Commission.model_validate_json(text) for text in db.execute(query).scalars()]

    # writing

    def add(self, document: Commission, reason: str = "begun", author: str = "") -> int:
        """A new commission; its first revision is 1. Raises ValueError if the reference is taken."""
        self._refuse_if_read_only()
        now = _now()
        with self._engine.begin() as db:
            if db.execute(sa.select(commission.c.id).where(commission.c.ref == document.ref)).first():
                raise ValueError(f"There is already a commission {document.ref}. Give this one another reference.")
            try:
                ident = db.execute(
                    commission.insert().values(
                        ref=document.ref, title=document.title, client=document.client,
                        created_at=now, changed_at=now, latest=1,
                    )
                ).inserted_primary_key[0]
            except sa.exc.IntegrityError:
                raise ValueError(f"There is already a commission {document.ref}. Give this one another reference.") from None
            db.execute(_row(ident, 1, now, author, reason, document))
        return 1

    def save(
        self, document: Commission, base: int, reason: str, author: str = "", amend: bool = False,
        opened: Commission | None = None,
    ) -> int:
        """Save a changed commission on top of revision ``base``; returns the new number.

        A document equal to the latest saves nothing and returns the latest number.
        ``amend`` writes over revision ``base`` instead, for one figure on the move; a
        named revision, or one that papers were issued for, is never written over. ``opened``
        is the document the change was made on. Raises Conflict when another revision came
        in between, or when that one has been written over since.
        """
        self._refuse_if_read_only()
        now = _now()
        with self._engine.begin() as db:
            found = db.execute(
                sa.select(commission.c.id, commission.c.latest).where(commission.c.ref == document.ref)
            ).first()
            if found is None:
                raise KeyError(f"No commission {document.ref!r} in this book; add it first.")
            if found.latest != base:
                raise Conflict(self._revision(db, found.id, found.latest))
            present = db.execute(
                sa.select(revision.c.id, revision.c.document, revision.c.name).where(
                    revision.c.commission_id == found.id, revision.c.number == base
                )
            ).one()
            text = document.model_dump_json()
            if opened is not None and present.document != opened.model_dump_json():
                raise Conflict(self._revision(db, found.id, base))
            if present.document == text:
                return base
            issued = db.execute(
                sa.select(paper.c.id).where(paper.c.commission_id == found.id, paper.c.revision == base).limit(1)
            ).first()
            if amend and present.name is None and issued is None:
                db.execute(
                    revision.update().where(revision.c.id == present.id)
                    .values(document=text, reason=reason, saved_at=now)
                )
                db.execute(
                    commission.update().where(commission.c.id == found.id)
                    .values(title=document.title, client=document.client, changed_at=now)
                )
                return base
            moved = db.execute(
                commission.update()
                .where(commission.c.id == found.id, commission.c.latest == base)
                .values(title=document.title, client=document.client, changed_at=now, latest=base + 1)
            )
            if moved.rowcount != 1:
                raise Conflict(self._revision(db, found.id, base))
            db.execute(_row(found.id, base + 1, now, author, reason, document))
        return base + 1

    def name_revision(self, ref: str, number: int, name: str) -> None:
        """Give a revision a name: 'as quoted', 'as built'."""
        self._refuse_if_read_only()
        with self._engine.begin() as db:
            ident = sa.select(commission.c.id).where(commission.c.ref == ref).scalar_subquery()
            done = db.execute(
                revision.update()
                .where(revision.c.commission_id == ident, revision.c.number == number)
                .values(name=name.strip() or None)
            )
            if done.rowcount != 1:
                raise KeyError(f"{ref} has no revision {number}.")

    def keep_paper(self, ref: str, number: int, name: str, content: bytes) -> str:
        """Keep the exact bytes of a paper that was issued; returns its SHA-256."""
        self._refuse_if_read_only()
        digest = hashlib.sha256(content).hexdigest()
        with self._engine.begin() as db:
            ident = db.execute(sa.select(commission.c.id).where(commission.c.ref == ref)).scalar_one()
            db.execute(
                paper.insert().values(
                    commission_id=ident, revision=number, issued_at=_now(), name=name,
                    sha256=digest, bytes=content,
                )
            )
        return digest

    def papers(self, ref: str) -> list[tuple[str, int, str, str]]:
        """Papers issued for a commission: name, revision, when, SHA-256; the newest first."""
        with self._engine.connect() as db:
            rows = db.execute(
                sa.select(paper.c.name, paper.c.revision, paper.c.issued_at, paper.c.sha256)
                .join(commission, commission.c.id == paper.c.commission_id)
                .where(commission.c.ref == ref).order_by(paper.c.id.desc())
            )
            return [tuple(row) for row in rows]

    def attach(self, ref: str, name: str, media_type: str, content: bytes, note: str = "") -> None:
        """Keep a file with a commission. Raises ValueError over 20 MB, BadBook when read-only."""
        self._refuse_if_read_only()
        if len(content) > MOST_ATTACHED_BYTES:
            raise ValueError(f"{name} is {len(content) / 1e6:.0f} MB; 20 MB is the most. Make the picture smaller.")
        with self._engine.begin() as db:
            ident = db.execute(sa.select(commission.c.id).where(commission.c.ref == ref)).scalar_one()
            db.execute(
                attachment.insert().values(
                    commission_id=ident, added_at=_now(), name=name, media_type=media_type, note=note,
                    sha256=hashlib.sha256(content).hexdigest(), bytes=content,
                )
            )

    def attachments(self, ref: str) -> list[Attachment]:
        """Files kept with a commission, in the order they came."""
        a = attachment.c
        with self._engine.connect() as db:
            rows = db.execute(
                sa.select(a.id, a.name, a.media_type, a.note, a.added_at, a.sha256)
                .join(commission, commission.c.id == a.commission_id)
                .where(commission.c.ref == ref).order_by(a.id)
            )
            return [Attachment(*row) for row in rows]

    def attached(self, ref: str, number: int) -> bytes:
        """The file itself. Raises KeyError for a number that this commission does not have."""
        with self._engine.connect() as db:
            content = db.execute(sa.select(attachment.c.bytes).where(self._attachment(ref, number))).scalar()
        if content is None:
            raise KeyError(f"{ref} has no picture or file {number}; it may have been taken away.")
        return content

    def files(self, ref: str) -> list[tuple[str, bytes]]:
        """Every file kept with a commission, whole: name and bytes."""
        return [(a.name, self.attached(ref, a.number)) for a in self.attachments(ref)]

    def detach(self, ref: str, number: int) -> None:
        """Take a file away from a commission, for good. Raises KeyError as ``attached``, BadBook when read-only."""
        self._refuse_if_read_only()
        with self._engine.begin() as db:
            if db.execute(attachment.delete().where(self._attachment(ref, number))).rowcount != 1:
                raise KeyError(f"{ref} has no picture or file {number}; it may have been taken away.")

    def thumbnail(self, ref: str, kept: Attachment) -> bytes:
        """A small JPEG of an attached picture, made once; empty for what cannot be shown as one."""
        if not kept.is_picture:
            return b""
        if kept.sha256 not in self._thumbnails:
            self._thumbnails[kept.sha256] = small_jpeg(self.attached(ref, kept.number))
        return self._thumbnails[kept.sha256]

    def _attachment(self, ref: str, number: int):
        ident = sa.select(commission.c.id).where(commission.c.ref == ref).scalar_subquery()
        return sa.and_(attachment.c.id == number, attachment.c.commission_id == ident)

    # the commission in hand

    @property
    def current(self) -> str | None:
        """Reference of the commission the pages open; the last changed if none was chosen."""
        with self._engine.connect() as db:
            ref = db.execute(sa.select(setting.c.value).where(setting.c.name == "current")).scalar()
            if ref and db.execute(sa.select(commission.c.id).where(commission.c.ref == ref)).first():
                return ref
            return db.execute(
                sa.select(commission.c.ref).order_by(commission.c.changed_at.desc()).limit(1)
            ).scalar()

    def take_up(self, ref: str) -> None:
        """Make this the commission that the pages open."""
        self.open(ref)
        self._set("current", ref)

    @property
    def maker(self) -> str:
        """The sender on every paper: name and address, one line each."""
        with self._engine.connect() as db:
            return db.execute(sa.select(setting.c.value).where(setting.c.name == "maker")).scalar() or ""

    @maker.setter
    def maker(self, lines: str) -> None:
        self._set("maker", lines)

    @property
    def own_timbers(self) -> list[dict]:
        """The maker's own timbers, prices and notes, as rows; they outlive every update of the workbook."""
        with self._engine.connect() as db:
            text = db.execute(sa.select(setting.c.value).where(setting.c.name == "own timbers")).scalar()
        return json.loads(text) if text else []

    @own_timbers.setter
    def own_timbers(self, rows: list[dict]) -> None:
        self._set("own timbers", json.dumps(rows))

    @property
    def rack(self) -> list[dict]:
        """Boards and leftovers in the maker's rack, as rows like those of ``boards.offered``."""
        with self._engine.connect() as db:
            text = db.execute(sa.select(setting.c.value).where(setting.c.name == "rack")).scalar()
        return json.loads(text) if text else []

    @rack.setter
    def rack(self, rows: list[dict]) -> None:
        self._set("rack", json.dumps(rows))

    def _set(self, name: str, value: str) -> None:
        self._refuse_if_read_only()
        with self._engine.begin() as db:
            db.execute(setting.delete().where(setting.c.name == name))
            db.execute(setting.insert().values(name=name, value=value))

    def next_ref(self) -> str:
        """A free reference: year and number, 'C26-003'."""
        stem = f"C{datetime.now(UTC):%y}-"
        with self._engine.connect() as db:
            taken = set(db.execute(sa.select(commission.c.ref).where(commission.c.ref.startswith(stem))).scalars())
        n = len(taken) + 1
        while f"{stem}{n:03d}" in taken:
            n += 1
        return f"{stem}{n:03d}"

    def _revision(self, db, ident: int, number: int) -> Revision:
        r = revision.c
        return Revision(
            *db.execute(
                sa.select(r.number, r.saved_at, r.author, r.reason, r.name)
                .where(r.commission_id == ident, r.number == number)
            ).one()
        )

    def _refuse_if_read_only(self) -> None:
        if self.read_only:
            raise BadBook(self.read_only)


def _row(ident: int, number: int, now: str, author: str, reason: str, document: Commission):
    return revision.insert().values(
        commission_id=ident, number=number, saved_at=now, author=author or _me(),
        reason=reason, document=document.model_dump_json(),
    )


def _prepare(connection, _record) -> None:
    """A crash loses at most the edit in flight; two notebooks wait for each other."""
    cursor = connection.cursor()
    cursor.execute("pragma journal_mode = wal")
    cursor.execute("pragma foreign_keys = on")
    cursor.execute("pragma busy_timeout = 5000")
    cursor.close()
