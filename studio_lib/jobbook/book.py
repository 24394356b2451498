"""Opening, saving and reading the job book. Every save is one transaction."""

from __future__ import annotations

import getpass
import hashlib
import json
from dataclasses import dataclass
from datetime import UTC, datetime
from math import isfinite
from pathlib import Path

import sqlalchemy as sa
from pydantic import ValidationError

from studio_lib.commission import FORMAT, Commission, refusals
from studio_lib.jobbook.jobs import IN_HAND, Jobs
from studio_lib.jobbook.packing import packed_on, unpack
from studio_lib.jobbook.pictures import small_jpeg
from studio_lib.jobbook.places import FILE, VARIABLE, BadBook, Place, folder_of_the_book, place_of_the_book
from studio_lib.jobbook.schema import attachment, commission, contact, note, paper, picture, revision, setting
from studio_lib.jobbook.shelves import Prices, Rack
from studio_lib.jobbook.store import Store

__all__ = [
    "FILE", "Attachment", "BadBook", "Book", "Conflict", "Entry", "NewerDocument", "Revision", "folder_of_the_book",
    "open_book",
]

class NewerDocument(RuntimeError):
    """A commission was written by a newer version of the workbook."""


class Conflict(RuntimeError):
    """Someone else saved this commission since it was opened; nothing was overwritten."""

    def __init__(self, latest: Revision):
        super().__init__(
            f"{latest.author} saved revision {latest.number} of this commission at "
            f"{datetime.fromisoformat(latest.saved_at).astimezone():%Y-%m-%d %H:%M} ({latest.reason}). Your "
            "change was not saved. Open the commission again to see theirs, then make yours."
        )
        self.latest = latest


@dataclass(frozen=True)
class Entry:
    """One commission in the list, and how it stands."""

    ref: str
    title: str
    client: str
    changed_at: str
    latest: int
    state: str
    waits_on: str
    waits_for: str
    due: str | None
    wanted_by: str | None


@dataclass(frozen=True)
class Revision:
    """One saved state of a commission."""

    number: int
    saved_at: str
    author: str
    reason: str
    name: str | None
    stands_for: int | None = None
    """Of an undo or redo, the revision that it is again."""


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


def open_book(where: str | Path | None = None) -> Book:
    """The record at a folder or a PostgreSQL address, made if it is not there yet.

    Raises BadBook, with a sentence for the maker, when the folder cannot be written, the
    server does not answer, or the file is not a job book. A book that may not be written,
    or is of a newer version, opens for reading only and says so in ``read_only``.
    """
    place = place_of_the_book(where)
    try:
        place.folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadBook(
            f"The job book's folder {place.folder} cannot be made ({error.strerror}). "
            f"Choose another with the variable {VARIABLE}."
        ) from error
    return Book(place)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def _me() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "maker"


class Book(Store):
    """The record of all commissions at one place. Cheap to open; safe to open twice.

    ``jobs`` holds states, people, notes and invoices; ``rack`` boards and offcuts; ``prices`` price lists.
    """

    def __init__(self, place: Place | Path):
        super().__init__(place if isinstance(place, Place) else Place(Path(place)))
        self.jobs = Jobs(self, _me, _now)
        self.rack = Rack(self)
        self.prices = Prices(self)
        self._thumbnails: dict[str, bytes] = {}

    # reading

    def commissions(self, search: str = "", in_hand: bool = False) -> list[Entry]:
        """Commissions in which every word is found, the last changed first.

        Looked through are reference, title, client, the client's name, what is waited for, and notes.
        ``in_hand`` leaves out those closed or declined.
        """
        c = commission.c
        query = sa.select(
            c.ref, c.title, c.client, c.changed_at, c.latest, c.state, c.waits_on, c.waits_for, c.due, c.wanted_by
        ).order_by(c.changed_at.desc(), c.ref)
        for word in search.split():
            beside = (
                sa.select(contact.c.commission_id).where(contact.c.name.icontains(word, autoescape=True)),
                sa.select(note.c.commission_id).where(
                    note.c.says.icontains(word, autoescape=True), note.c.commission_id.is_not(None)
                ),
            )
            query = query.where(sa.or_(
                *(col.icontains(word, autoescape=True) for col in (c.ref, c.title, c.client, c.waits_for, c.state)),
                *(c.id.in_(found) for found in beside),
            ))
        if in_hand:
            query = query.where(c.state.in_(IN_HAND))
        with self.reading() as db:
            return [Entry(*row) for row in db.execute(query)]

    def open(self, ref: str, number: int | None = None) -> tuple[Commission, int]:
        """A commission at its latest or at an earlier revision, and that revision's number.

        Raises KeyError for an unknown reference or number, NewerDocument when a newer
        version of the workbook wrote it, BadBook where that revision is damaged.
        """
        with self.reading() as db:
            found = self._found(db, ref)
            wanted = found.latest if number is None else number
            row = self._row(db, found.id, wanted)
            if row is None:
                raise KeyError(f"{ref} has no revision {wanted}; it has 1 to {found.latest}.")
            text = self._text(db, found.id, row, ref)
        return read_document(text, ref), wanted

    def text(self, ref: str, number: int) -> str:
        """A revision's document exactly as it was saved, JSON. Raises as ``open``, but for a newer version's."""
        with self.reading() as db:
            found = self._found(db, ref)
            row = self._row(db, found.id, number)
            if row is None:
                raise KeyError(f"{ref} has no revision {number}; it has 1 to {found.latest}.")
            return self._text(db, found.id, row, ref)

    def revisions(self, ref: str) -> list[Revision]:
        """Every saved state of a commission, the newest first."""
        r = revision.c
        with self.reading() as db:
            rows = db.execute(
                sa.select(r.number, r.saved_at, r.author, r.reason, r.name, r.stands_for)
                .join(commission, commission.c.id == r.commission_id)
                .where(commission.c.ref == ref).order_by(r.number.desc())
            )
            return [Revision(*row) for row in rows]

    def finished(self, but: str = "", most: int = 30) -> list[Commission]:
        """Latest documents of commissions whose hours are complete, the last changed first.

        ``but`` leaves one commission out: a job does not learn from itself.
        """
        c = commission.c
        query = sa.select(c.ref).where(c.finished == 1, c.ref != but).order_by(c.changed_at.desc()).limit(most)
        with self.reading() as db:
            refs = db.execute(query).scalars().all()
        return [self.open(ref)[0] for ref in refs]

    def pulse(self, ref: str) -> tuple[str | None, int, str]:
        """What a page looks at to follow: the commission in hand, and the number and SHA-256 of ``ref``'s latest."""
        with self.reading() as db:
            hand = db.execute(sa.select(setting.c.value).where(setting.c.name == self._hand)).scalar()
            row = db.execute(
                sa.select(commission.c.latest, revision.c.sha256).join(
                    revision,
                    sa.and_(revision.c.commission_id == commission.c.id, revision.c.number == commission.c.latest),
                ).where(commission.c.ref == ref)
            ).first()
        return (hand, *(row or (0, "")))

    # writing

    def add(self, document: Commission, reason: str = "begun", author: str = "") -> int:
        """A new commission; its first revision is 1. Raises ValueError if the reference is taken."""
        now, text = _now(), document.model_dump_json().encode()
        try:
            with self.writing() as db:
                ident = db.execute(
                    commission.insert().values(
                        ref=document.ref, created_at=now, latest=1, **_listed(document, now),
                        waits_on="the maker", waits_for="answer the brief and quote",
                    )
                ).inserted_primary_key[0]
                self._insert(db, ident, 1, now, author, reason, text, None)
        except sa.exc.IntegrityError:
            raise ValueError(
                f"There is already a commission {document.ref}. Give this one another reference."
            ) from None
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
        now, text = _now(), document.model_dump_json().encode()
        digest = _sha256(text)
        with self.writing() as db:
            found = self._found(db, document.ref, lock=True)
            if found.latest != base:
                raise Conflict(self._revision(db, found.id, found.latest))
            present = self._row(db, found.id, base)
            if opened is not None and present.sha256 != _sha256(opened.model_dump_json().encode()):
                raise Conflict(self._revision(db, found.id, base))
            if present.sha256 == digest:
                return base
            listed = _listed(document, now)
            if amend and self._may_amend(db, found.id, present):
                packed, on = packed_on(text, b"", None)
                if present.packed_on is not None:  # a whole one is no help to what is written over it
                    packed, on = self._packed(db, found.id, text, present, document.ref)
                db.execute(revision.update().where(revision.c.id == present.id).values(
                    document=packed, packed_on=on, sha256=digest, reason=reason, saved_at=now
                ))
                db.execute(commission.update().where(commission.c.id == found.id).values(**listed))
                return base
            self._append(db, found.id, present, now, author, reason, text, listed, document.ref)
        return base + 1

    def undo(self, ref: str, base: int, author: str = "", keep: tuple[str, ...] = ()) -> int:
        """Take back the last change that stands, as a new revision; returns its number.

        What is undone is kept in the record, across restarts, so it can be redone. ``keep`` names
        fields of the document that stay as they are now: numbers given out are. Raises
        ValueError where there is nothing to undo, Conflict where ``base`` is not the latest.
        """
        def before(db, ident, at):
            number = self._row(db, ident, at).built_on
            if number is None:
                raise ValueError("There is nothing to undo: this is how the commission began.")
            return number, f"undone: {self._revision(db, ident, at).reason}"

        return self._go(ref, base, author, before, keep)

    def redo(self, ref: str, base: int, author: str = "", keep: tuple[str, ...] = ()) -> int:
        """Make again what was undone last; as ``undo``."""
        def after(db, ident, at):
            r = revision.c
            number = db.execute(
                sa.select(sa.func.max(r.number))
                .where(r.commission_id == ident, r.built_on == at, r.stands_for.is_(None))
            ).scalar()
            if number is None:
                raise ValueError("There is nothing to redo: nothing was undone since the last change.")
            return number, f"done again: {self._revision(db, ident, number).reason}"

        return self._go(ref, base, author, after, keep)

    def can_undo(self, ref: str) -> tuple[str, str]:
        """What undo and redo would do now, in words; empty where there is nothing."""
        r = revision.c
        with self.reading() as db:
            found = self._found(db, ref)
            row = self._row(db, found.id, found.latest)
            at = row.stands_for or row.number
            here = row if at == row.number else self._row(db, found.id, at)
            again = db.execute(
                sa.select(r.reason).where(r.commission_id == found.id, r.built_on == at, r.stands_for.is_(None))
                .order_by(r.number.desc()).limit(1)
            ).scalar()
            back = "" if here.built_on is None else self._revision(db, found.id, at).reason
        return back, again or ""

    def _go(self, ref, base, author, find, keep) -> int:
        now = _now()
        with self.writing() as db:
            found = self._found(db, ref, lock=True)
            if found.latest != base:
                raise Conflict(self._revision(db, found.id, found.latest))
            present = self._row(db, found.id, base)
            number, reason = find(db, found.id, present.stands_for or base)
            text = self._text(db, found.id, self._row(db, found.id, number), ref)
            document = read_document(text, ref)
            if keep:
                now_in_hand = read_document(self._text(db, found.id, present, ref), ref)
                document = document.model_copy(update={name: getattr(now_in_hand, name) for name in keep})
                text = document.model_dump_json()
            self._append(
                db, found.id, present, now, author, reason, text.encode(), _listed(document, now), ref,
                stands_for=number,
            )
        return base + 1

    def _may_amend(self, db, ident: int, present) -> bool:
        issued = sa.select(paper.c.id).where(paper.c.commission_id == ident, paper.c.revision == present.number)
        return present.name is None and present.stands_for is None and db.execute(issued.limit(1)).first() is None

    def _append(self, db, ident, present, now, author, reason, text, listed, ref, stands_for=None) -> None:
        moved = db.execute(
            commission.update().where(commission.c.id == ident, commission.c.latest == present.number)
            .values(**listed, latest=present.number + 1)
        )
        if moved.rowcount != 1:
            raise Conflict(self._revision(db, ident, present.number))
        packed, on = self._packed(db, ident, text, present, ref)
        db.execute(revision.insert().values(
            commission_id=ident, number=present.number + 1, saved_at=now, author=author or _me(), reason=reason,
            built_on=present.stands_for or present.number, stands_for=stands_for,
            sha256=_sha256(text), packed_on=on, document=packed,
        ))

    def _insert(self, db, ident, number, now, author, reason, text, built_on) -> None:
        packed, on = packed_on(text, b"", None)
        db.execute(revision.insert().values(
            commission_id=ident, number=number, saved_at=now, author=author or _me(), reason=reason,
            built_on=built_on, sha256=_sha256(text), packed_on=on, document=packed,
        ))

    def _packed(self, db, ident, text: bytes, present, ref: str) -> tuple[bytes, int | None]:
        whole = present if present.packed_on is None else self._row(db, ident, present.packed_on)
        return packed_on(text, self._text(db, ident, whole, ref).encode(), whole.number)

    @staticmethod
    def _found(db, ref: str, lock: bool = False):
        query = sa.select(commission.c.id, commission.c.latest).where(commission.c.ref == ref)
        found = db.execute(query.with_for_update() if lock else query).first()
        if found is None:
            known = db.execute(sa.select(commission.c.ref).order_by(commission.c.changed_at.desc()).limit(8)).scalars()
            raise KeyError(f"No commission {ref!r} in this book. In it: {', '.join(sorted(known)) or 'none yet'}.")
        return found

    @staticmethod
    def _row(db, ident: int, number: int):
        return db.execute(
            sa.select(revision).where(revision.c.commission_id == ident, revision.c.number == number)
        ).first()

    def _text(self, db, ident: int, row, ref: str) -> str:
        """A revision's document, unpacked and held against its fingerprint."""
        try:
            earlier = b""
            if row.packed_on is not None:
                whole = self._row(db, ident, row.packed_on)
                if whole is None:
                    raise ValueError(f"revision {row.packed_on} is gone")
                earlier = unpack(whole.document)
            text = unpack(row.document, earlier)
            if _sha256(text) != row.sha256:
                raise ValueError("its fingerprint does not hold")
        except ValueError as error:
            raise BadBook(
                f"Revision {row.number} of {ref} is damaged ({error}). It was left as it is, and other revisions can "
                "be opened on the Record page. Put back a dated copy of the book to have it again."
            ) from error
        return text.decode()

    def name_revision(self, ref: str, number: int, name: str) -> None:
        """Give a revision a name: 'as quoted', 'as built'."""
        with self.writing() as db:
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
        digest = _sha256(content)
        with self.writing() as db:
            db.execute(
                paper.insert().values(
                    commission_id=self._found(db, ref).id, revision=number, issued_at=_now(), name=name,
                    sha256=digest, bytes=content,
                )
            )
        return digest

    def papers(self, ref: str) -> list[tuple[str, int, str, str]]:
        """Papers issued for a commission: name, revision, when, SHA-256; the newest first."""
        with self.reading() as db:
            rows = db.execute(
                sa.select(paper.c.name, paper.c.revision, paper.c.issued_at, paper.c.sha256)
                .join(commission, commission.c.id == paper.c.commission_id)
                .where(commission.c.ref == ref).order_by(paper.c.id.desc())
            )
            return [tuple(row) for row in rows]

    def paper(self, ref: str, digest: str) -> bytes:
        """The exact bytes of a paper issued. Raises KeyError where none has that SHA-256, or it was erased."""
        with self.reading() as db:
            row = db.execute(
                sa.select(paper.c.bytes, paper.c.erased_at).join(commission, commission.c.id == paper.c.commission_id)
                .where(commission.c.ref == ref, paper.c.sha256 == digest)
            ).first()
        if row is None:
            raise KeyError(f"No paper of {ref} has the fingerprint {digest[:16]}.")
        if row.erased_at:
            raise KeyError(f"That paper was erased on request on {row.erased_at[:10]}; its fingerprint is kept.")
        return row.bytes

    def attach(self, ref: str, name: str, media_type: str, content: bytes, note: str = "") -> None:
        """Keep a file with a commission. Raises ValueError over 20 MB, BadBook when read-only."""
        if len(content) > MOST_ATTACHED_BYTES:
            raise ValueError(f"{name} is {len(content) / 1e6:.0f} MB; 20 MB is the most. Make the picture smaller.")
        with self.writing() as db:
            ident = self._found(db, ref).id
            db.execute(
                attachment.insert().values(
                    commission_id=ident, added_at=_now(), name=name, media_type=media_type, note=note,
                    sha256=_sha256(content), bytes=content,
                )
            )

    def attachments(self, ref: str) -> list[Attachment]:
        """Files kept with a commission, in the order they came."""
        a = attachment.c
        with self.reading() as db:
            rows = db.execute(
                sa.select(a.id, a.name, a.media_type, a.note, a.added_at, a.sha256)
                .join(commission, commission.c.id == a.commission_id)
                .where(commission.c.ref == ref).order_by(a.id)
            )
            return [Attachment(*row) for row in rows]

    def attached(self, ref: str, number: int) -> bytes:
        """The file itself. Raises KeyError for a number that this commission does not have."""
        with self.reading() as db:
            content = db.execute(sa.select(attachment.c.bytes).where(self._attachment(ref, number))).scalar()
        if content is None:
            raise KeyError(f"{ref} has no picture or file {number}; it may have been taken away.")
        return content

    def files(self, ref: str) -> list[tuple[str, bytes]]:
        """Every file kept with a commission, whole: name and bytes."""
        return [(a.name, self.attached(ref, a.number)) for a in self.attachments(ref)]

    def detach(self, ref: str, number: int) -> None:
        """Take a file away from a commission, for good. Raises KeyError as ``attached``, BadBook when read-only."""
        with self.writing() as db:
            if db.execute(attachment.delete().where(self._attachment(ref, number))).rowcount != 1:
                raise KeyError(f"{ref} has no picture or file {number}; it may have been taken away.")

    def thumbnail(self, ref: str, kept: Attachment) -> bytes:
        """A small JPEG of an attached picture, made once; empty for what cannot be shown as one."""
        if not kept.is_picture:
            return b""
        if kept.sha256 not in self._thumbnails:
            self._thumbnails[kept.sha256] = small_jpeg(self.attached(ref, kept.number))
        return self._thumbnails[kept.sha256]

    def pictures(self, refs: list[str]) -> dict[str, tuple[bytes, bool]]:
        """The small picture kept of each job, and whether it shows the latest revision; those without are left out."""
        r, c = revision.c, commission.c
        with self.reading() as db:
            rows = db.execute(
                sa.select(c.ref, picture.c.bytes, picture.c.of == r.sha256)
                .join(picture, picture.c.commission_id == c.id)
                .join(revision, sa.and_(r.commission_id == c.id, r.number == c.latest)).where(c.ref.in_(refs))
            )
            return {ref: (png, bool(fresh)) for ref, png, fresh in rows}

    def keep_picture(self, ref: str, of: str, png: bytes) -> None:
        """Keep the small picture of the document whose SHA-256 is ``of``, in place of the one before."""
        with self.writing() as db:
            ident = self._found(db, ref).id
            db.execute(picture.delete().where(picture.c.commission_id == ident))
            db.execute(picture.insert().values(commission_id=ident, of=of, bytes=png))

    def _attachment(self, ref: str, number: int):
        ident = sa.select(commission.c.id).where(commission.c.ref == ref).scalar_subquery()
        return sa.and_(attachment.c.id == number, attachment.c.commission_id == ident)

    # the commission in hand

    @property
    def current(self) -> str | None:
        """Reference of the commission the pages open; the last changed if none was chosen."""
        with self.reading() as db:
            ref = db.execute(sa.select(setting.c.value).where(setting.c.name == self._hand)).scalar()
            if ref and db.execute(sa.select(commission.c.id).where(commission.c.ref == ref)).first():
                return ref
            return db.execute(
                sa.select(commission.c.ref).order_by(commission.c.changed_at.desc()).limit(1)
            ).scalar()

    @property
    def _hand(self) -> str:
        """Each maker at a shared server has a commission of their own in hand."""
        return f"current of {_me()}" if self.place.url else "current"

    def take_up(self, ref: str) -> None:
        """Make this the commission that the pages open."""
        self.open(ref)
        self._set(self._hand, ref)

    @property
    def maker(self) -> str:
        """The sender on every paper: name and address, one line each."""
        with self.reading() as db:
            return db.execute(sa.select(setting.c.value).where(setting.c.name == "maker")).scalar() or ""

    @maker.setter
    def maker(self, lines: str) -> None:
        self._set("maker", lines)

    @property
    def own_timbers(self) -> list[dict]:
        """The maker's own timbers, prices and notes, as rows; they outlive every update of the workbook."""
        with self.reading() as db:
            text = db.execute(sa.select(setting.c.value).where(setting.c.name == "own timbers")).scalar()
        return json.loads(text) if text else []

    @own_timbers.setter
    def own_timbers(self, rows: list[dict]) -> None:
        self._set("own timbers", json.dumps(rows))

    def _set(self, name: str, value: str) -> None:
        with self.writing() as db:
            db.execute(setting.delete().where(setting.c.name == name))
            db.execute(setting.insert().values(name=name, value=value))

    def next_ref(self) -> str:
        """A free reference: year and number, 'C26-003'."""
        stem = f"C{datetime.now(UTC):%y}-"
        with self.reading() as db:
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


def read_document(text: str, ref: str) -> Commission:
    """A stored document. Raises NewerDocument for one of a newer version, BadBook for one that cannot be read."""
    try:
        written_as = json.loads(text, parse_float=_finite, parse_constant=_finite).get("format")
        if isinstance(written_as, int) and written_as > FORMAT:
            raise NewerDocument(
                f"{ref} was saved by a newer version of the workbook (document format "
                f"{written_as}; this version reads {FORMAT}). Update the workbook to open it."
            )
        return Commission.model_validate_json(text)
    except ValidationError as error:
        said = " ".join(refusals(error).values())
    except (json.JSONDecodeError, AttributeError, RecursionError) as error:
        said = f"It is no JSON object ({type(error).__name__})."
    except ValueError as error:
        said = str(error)
    raise BadBook(f"{ref} cannot be read by this version of the workbook: {said} It was left as it is.")


def _finite(figure: str) -> float:
    if not isfinite(value := float(figure)):
        raise ValueError(f"{figure} is no figure; give a number.")
    return value


def _listed(document: Commission, now: str) -> dict:
    """What the list of commissions shows of a document."""
    wanted = document.brief.wanted_by
    return {
        "title": document.title, "client": document.client, "changed_at": now, "finished": int(document.finished),
        "wanted_by": wanted.isoformat() if wanted else None,
    }


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
