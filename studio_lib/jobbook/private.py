"""What is kept of a person, given out or erased on request; sizes, hours and prices stay."""

from __future__ import annotations

import io
import json
import re
import sqlite3
from dataclasses import asdict, dataclass

import sqlalchemy as sa

from studio_lib.jobbook import schema
from studio_lib.jobbook.backup import keep_a_copy
from studio_lib.jobbook.book import Book, read_document
from studio_lib.jobbook.packing import packed_on
from studio_lib.jobbook.places import BadBook
from studio_lib.jobbook.store import COPIES

ERASED = "(erased)"
FREE_TEXT = frozenset((
    "asked", "decides", "sun_side", "carries", "may_forbid", "notes", "note", "story", "what", "who", "reason", "role",
    "client", "title", "warranty", "name", "says",
))
"""Fields of a document in which a person may have been named; choices and references are never touched."""
LEAST_LETTERS = 3
UNTIDY = (
    "Erased, but old bytes may still lie in the file, as another page is reading it: close the other pages and "
    "erase again."
)


@dataclass(frozen=True)
class Erased:
    """What was erased of a person."""

    revisions: int
    papers: int
    files: int

    @property
    def words(self) -> str:
        return (
            f"Erased: the contact, the name in {self.revisions} revisions, {self.papers} papers and {self.files} pictures "
            "and files. Sizes, hours and prices stay. Copies with the old data were removed and a new one was "
            "made; your back-ups and exports still hold it: make new ones and remove those."
        )


def person_words(book: Book, ref: str, more: tuple[str, ...] = ()) -> tuple[str, ...]:
    """What identifies the client of a job: name, mail, telephone and each line of the address, and what is added."""
    who = book.jobs.contact(ref)
    found = (who.name, who.email, who.phone, *who.address.splitlines(), *more)
    return tuple(dict.fromkeys(w.strip() for w in found if len(w.strip()) >= LEAST_LETTERS))


def given_out(book: Book, ref: str, more: tuple[str, ...] = ()) -> dict:
    """All that is kept of the client of a job as plain values: the contact, and every place where it is named."""
    from studio_lib.jobbook.exchange import about_commission

    about = about_commission(book, ref)
    pattern = _pattern(person_words(book, ref, more))
    places = []
    if pattern:
        for row in about["revisions"]:
            for path, text in _free(json.loads(book.text(ref, row["number"]))):
                if pattern.search(text):
                    places.append({"revision": row["number"], "field": path, "text": text})
    return {
        "commission": ref, "role": about["client"], "contact": asdict(book.jobs.contact(ref)), "named_in": places,
        "notes": about["notes"], "papers": about["papers"], "files": about["files"], "invoices": about["invoices"],
    }


def erase(
    book: Book, ref: str, more: tuple[str, ...] = (), papers: bool = True, files: tuple[int, ...] = (),
) -> Erased:
    """Erase what identifies the client of a job, in every revision; in one transaction.

    ``more`` are further words to erase; ``papers`` erases those that name the person or cannot be
    looked into, but for their fingerprints (keep an invoice as long as the law asks: then False);
    ``files`` are the numbers of attachments to erase. Raises BadBook where the book cannot be
    written, or where a document could no longer be read without the word.
    """
    pattern = _pattern(person_words(book, ref, more))
    gone = set(files)
    about = [n for n in (a.number for a in book.attachments(ref)) if n in gone]
    named = _papers_naming(book, ref, pattern) if papers else []
    r = schema.revision
    with book.writing() as db:
        ident = db.execute(sa.select(schema.commission.c.id).where(schema.commission.c.ref == ref)).scalar_one()
        changed = _erase_in_revisions(book, db, ident, ref, pattern) if pattern else 0
        db.execute(schema.contact.delete().where(schema.contact.c.commission_id == ident))
        db.execute(schema.picture.delete().where(schema.picture.c.commission_id == ident))
        if pattern:
            for table, columns in (
                (schema.commission, ("title", "client", "waits_for", "waits_on")), (r, ("reason", "name")),
                (schema.step, ("reason", "waits_on", "waits_for")), (schema.note, ("who", "says")),
                (schema.invoice, ("says",)), (schema.attachment, ("name", "note")),
            ):
                _erase_in_columns(db, table, ident, columns, pattern)
        for number in named:
            kept = schema.paper.update().where(schema.paper.c.id == number)
            db.execute(kept.values(bytes=b"", erased_at=book.jobs._now()))
        for number in about:
            a = schema.attachment
            db.execute(a.delete().where(a.c.id == number, a.c.commission_id == ident))
    if named:
        for path in (book.folder / "papers" / ref).glob("*"):
            if path.is_file():
                path.unlink(missing_ok=True)
    _leave_no_trace(book)
    return Erased(changed, len(named), len(about))


def _pattern(words: tuple[str, ...]) -> re.Pattern | None:
    if not words:
        return None
    each = "|".join(re.escape(w) for w in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{each})(?!\w)", re.IGNORECASE)


def _free(plain, path: str = "", field: str = ""):
    """Every free text of a document with its path."""
    if isinstance(plain, dict):
        for key, inner in plain.items():
            yield from _free(inner, f"{path}.{key}".lstrip("."), key)
    elif isinstance(plain, list):
        for i, inner in enumerate(plain):
            yield from _free(inner, f"{path}.{i}", field)
    elif isinstance(plain, str) and field in FREE_TEXT:
        yield path, plain


def _without(plain, pattern: re.Pattern, field: str = ""):
    if isinstance(plain, dict):
        return {k: _without(v, pattern, k) for k, v in plain.items()}
    if isinstance(plain, list):
        return [_without(v, pattern, field) for v in plain]
    if isinstance(plain, str) and field in FREE_TEXT:
        return pattern.sub(ERASED, plain)
    return plain


def _erase_in_revisions(book: Book, db, ident: int, ref: str, pattern: re.Pattern) -> int:
    from studio_lib.jobbook.book import _sha256

    r = schema.revision
    rows = db.execute(sa.select(r).where(r.c.commission_id == ident).order_by(r.c.number)).all()
    texts = [book._text(db, ident, row, ref) for row in rows]
    whole, number, changed = b"", None, 0
    for row, text in zip(rows, texts, strict=True):
        cleaned = json.dumps(_without(json.loads(text), pattern), ensure_ascii=False, separators=(",", ":"))
        if pattern.search(" ".join(t for _, t in _free(json.loads(text)))):
            text = read_document(cleaned, ref).model_dump_json()
            changed += 1
        packed, on = packed_on(text.encode(), whole, number)
        if on is None:
            whole, number = text.encode(), row.number
        digest = _sha256(text.encode())
        db.execute(r.update().where(r.c.id == row.id).values(document=packed, packed_on=on, sha256=digest))
    return changed


def _erase_in_columns(db, table, ident: int, columns, pattern: re.Pattern) -> None:
    mine = table.c.id == ident if table is schema.commission else table.c.commission_id == ident
    for row in db.execute(sa.select(table.c.id, *(table.c[c] for c in columns)).where(mine)).mappings().all():
        cleaned = {c: pattern.sub(ERASED, row[c]) for c in columns if row[c] and pattern.search(row[c])}
        if cleaned:
            db.execute(table.update().where(table.c.id == row["id"]).values(cleaned))


def _papers_naming(book: Book, ref: str, pattern: re.Pattern | None) -> list[int]:
    """Papers that hold one of the words, or whose words cannot be read."""
    p = schema.paper.c
    with book.reading() as db:
        rows = db.execute(
            sa.select(p.id, p.name, p.bytes).join(schema.commission, schema.commission.c.id == p.commission_id)
            .where(schema.commission.c.ref == ref, p.erased_at.is_(None))
        ).all()
    return [number for number, name, content in rows if pattern and _names(name, content, pattern)]


def _names(name: str, content: bytes, pattern: re.Pattern) -> bool:
    if name.lower().endswith(".pdf"):
        from pypdf import PdfReader
        from pypdf.errors import PyPdfError

        try:
            text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
        except (PyPdfError, ValueError, KeyError, TypeError, OSError):
            return True
    else:
        text = content.decode("utf-8", "replace")
    return bool(pattern.search(text))


def _leave_no_trace(book: Book) -> None:
    """The old bytes leave the file, its log and the dated copies too."""
    try:
        with book._engine.connect() as db:
            if book.place.url:
                db.execution_options(isolation_level="AUTOCOMMIT").execute(sa.text("vacuum full"))
            else:
                raw = db.connection.driver_connection
                raw.execute("vacuum")
                if raw.execute("pragma wal_checkpoint(truncate)").fetchone()[0]:
                    raise BadBook(UNTIDY)
    except (sa.exc.DBAPIError, sqlite3.Error) as error:
        raise BadBook(UNTIDY) from error
    for path in (book.folder / COPIES).glob("*.sqlite*"):
        path.unlink(missing_ok=True)
    keep_a_copy(book)
