"""A readable export that needs none of our code, and bringing commissions in: from an export, from another copy."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
import shutil
import tempfile
import zipfile
from dataclasses import asdict, dataclass
from datetime import date, datetime
from pathlib import Path, PurePosixPath

import sqlalchemy as sa
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from studio_lib.commission import OfferedBoard, refusals
from studio_lib.jobbook import schema
from studio_lib.jobbook.backup import away, check
from studio_lib.jobbook.book import Book, NewerDocument, read_document
from studio_lib.jobbook.jobs import STATES
from studio_lib.jobbook.places import FILE, BadBook, Place
from studio_lib.jobbook.shelves import KINDS as BOARDS
from studio_lib.jobbook.store import COPIES
from studio_lib.timber import own_species

KIND, VERSION = "job book export", 1
LISTED, COMMISSION, WORKSHOP = "contents.json", "commission.json", "workshop.json"
MOST_BYTES, MOST_TEXT, MOST_FILES = 2_000_000_000, 5_000_000, 200_000
FORMULA = ("=", "+", "-", "@", "|", "%")
SAFE = re.compile(r"[^\w .,()+-]")
READ_ME = """This is a job book, or a part of one, exported to be read without any program of its own.

Each folder is one commission:
  commission.json   how it stands, its states, decisions, invoices and every revision's time, author and reason
  revisions/        the document of each revision, as JSON; lengths are in millimetres (fields that end in _mm)
  papers/           each paper that was issued, exact to the byte
  files/            pictures and files that were kept with it
jobs.csv lists the commissions; workshop.json holds rack, price lists, lessons and own timbers.
contents.json gives the SHA-256 of every file, so that a change can be found out.
"""


class BadImport(ValueError):
    """What was to be brought in cannot be; the text says what and where. Nothing was changed."""


def spreadsheet_safe(text: str) -> str:
    """Text that no spreadsheet takes for a formula: one that begins like one gets an apostrophe before it."""
    return f"'{text}" if text.lstrip().startswith(FORMULA) or text.startswith(("\t", "\r", "\n")) else text


def export(book: Book, to: str | Path, refs: list[str] | None = None, private: bool = True) -> Path:
    """The book, or some of its commissions, as a zip of JSON, papers and files; returns its path.

    ``private`` False leaves out names, addresses and telephones. Raises KeyError for an unknown
    reference, BadBook where it cannot be written.
    """
    target = Path(to).expanduser()
    if target.suffix != ".zip":
        target = target / f"job book export {datetime.now():%Y-%m-%d %H%M%S}.zip"
    entries = {e.ref: e for e in book.commissions()}
    unknown = [r for r in refs or () if r not in entries]
    if unknown:
        raise KeyError(f"No commission {unknown[0]!r} in this book.")
    chosen = list(entries) if refs is None else refs
    part = target.with_name(target.name + ".part")
    prints: dict[str, str] = {}
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as out:
            def put(name: str, content: bytes) -> None:
                prints[name] = hashlib.sha256(content).hexdigest()
                out.writestr(name, content)

            put("read me.txt", READ_ME.encode())
            put("jobs.csv", _jobs_csv([entries[r] for r in chosen]))
            if refs is None:
                put(WORKSHOP, _json(_workshop(book)))
            for ref in chosen:
                _put_commission(book, ref, private, put)
            out.writestr(LISTED, _json({"kind": KIND, "version": VERSION, "commissions": chosen, "sha256": prints}))
        part.replace(target)
    except OSError as error:
        raise BadBook(f"The export could not be written to {target.parent} ({error}). Name another folder.") from error
    finally:
        away(part)
    return target


def _put_commission(book: Book, ref: str, private: bool, put) -> None:
    about = about_commission(book, ref, private)
    for row in about["revisions"]:
        put(f"{ref}/{row['file']}", book.text(ref, row["number"]).encode())
    for row, content in zip(about["papers"], _contents(book, ref, schema.paper), strict=True):
        put(f"{ref}/{row['file']}", content)
    for row, content in zip(about["files"], _contents(book, ref, schema.attachment), strict=True):
        put(f"{ref}/{row['file']}", content)
    put(f"{ref}/{COMMISSION}", _json(about))


def about_commission(book: Book, ref: str, private: bool = True) -> dict:
    """All that is kept of a commission beside its documents, as plain values."""
    c, r, p, a = schema.commission, schema.revision.c, schema.paper.c, schema.attachment.c
    with book.reading() as db:
        row = db.execute(sa.select(c).where(c.c.ref == ref)).mappings().one()
        mine = {"commission_id": row["id"]}
        revisions = [dict(x) for x in db.execute(sa.select(
            r.number, r.saved_at, r.author, r.reason, r.name, r.built_on, r.stands_for, r.sha256
        ).where(r.commission_id == row["id"]).order_by(r.number)).mappings()]
        papers = [dict(x) for x in db.execute(sa.select(p.revision, p.issued_at, p.name, p.sha256, p.erased_at).where(
            p.commission_id == row["id"]).order_by(p.id)).mappings()]
        files = [dict(x) for x in db.execute(sa.select(a.added_at, a.name, a.media_type, a.note, a.sha256).where(
            a.commission_id == row["id"]).order_by(a.id)).mappings()]
        beside = {
            table.name + "s": [
                {k: v for k, v in x.items() if k not in ("id", *mine)}
                for x in db.execute(
                    sa.select(table).where(table.c.commission_id == row["id"]).order_by(table.c.id)
                ).mappings()
            ] for table in (schema.step, schema.note, schema.invoice)
        }
    for x in revisions:
        x["file"] = f"revisions/{x['number']:04d}.json"
    for folder, rows in (("papers", papers), ("files", files)):
        for i, x in enumerate(rows, 1):
            x["file"] = f"{folder}/{i:04d} {SAFE.sub('_', x['name'])[-80:]}"
    about = {k: row[k] for k in ("ref", "title", "client", "created_at", "changed_at", "latest")}
    about |= {k: row[k] for k in ("state", "waits_on", "waits_for", "due")}
    return about | {"contact": asdict(book.jobs.contact(ref)) if private else None, **beside,
                    "revisions": revisions, "papers": papers, "files": files}


def _contents(book: Book, ref: str, table):
    with book.reading() as db:
        ids = db.execute(sa.select(table.c.id).join(schema.commission, schema.commission.c.id == table.c.commission_id)
                         .where(schema.commission.c.ref == ref).order_by(table.c.id)).scalars().all()
        for ident in ids:
            yield db.execute(sa.select(table.c.bytes).where(table.c.id == ident)).scalar_one()


def _workshop(book: Book) -> dict:
    return {
        "maker": book.maker, "own_timbers": book.own_timbers,
        "rack": [
            asdict(b) | {"board": b.board.model_dump(mode="json")} for gone in (False, True) for b in book.rack.boards(gone)
        ],
        "price_lists": [asdict(p) for p in book.prices.lists()],
        "lessons": [asdict(n) for n in book.jobs.notes(kind="lesson")],
    }


def _jobs_csv(entries) -> bytes:
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(
        ["reference", "title", "client", "state", "waits on", "waits for", "until", "wanted by", "last changed"]
    )
    for e in entries:
        cells = (e.ref, e.title, e.client, e.state, e.waits_on, e.waits_for, e.due or "", e.wanted_by or "",
                 e.changed_at)
        table.writerow([spreadsheet_safe(cell) for cell in cells])
    return out.getvalue().encode("utf-8-sig")


def _json(value) -> bytes:
    return json.dumps(value, indent=1, ensure_ascii=False).encode()


# ---------------------------------------------------------------- bringing in


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class _Revision(_Row):
    number: int = Field(ge=1)
    saved_at: str = Field(max_length=40)
    author: str = Field(max_length=200)
    reason: str = Field(max_length=10_000)
    name: str | None = Field(max_length=500)
    built_on: int | None = Field(ge=1)
    stands_for: int | None = Field(ge=1)
    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    file: str


class _Paper(_Row):
    revision: int = Field(ge=1)
    issued_at: str = Field(max_length=40)
    name: str = Field(max_length=300)
    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    erased_at: str | None
    file: str


class _File(_Row):
    added_at: str = Field(max_length=40)
    name: str = Field(max_length=300)
    media_type: str = Field(max_length=200)
    note: str = Field(max_length=10_000)
    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    file: str


class _Contact(_Row):
    name: str
    address: str
    phone: str
    email: str
    note: str


class _Step(_Row):
    at: str
    author: str
    state: str
    day: str
    reason: str
    waits_on: str
    waits_for: str
    due: str | None


class _Note(_Row):
    at: str
    author: str
    kind: str
    day: str
    who: str
    says: str


class _Invoice(_Row):
    number: str
    kind: str
    issued_on: str
    due_on: str | None
    net: str
    tax: str
    currency: str
    paid_on: str | None
    says: str


class _About(_Row):
    ref: str = Field(pattern=r"^[A-Z0-9][A-Z0-9-]{1,19}$")
    title: str
    client: str
    created_at: str = Field(max_length=40)
    changed_at: str = Field(max_length=40)
    latest: int = Field(ge=1)
    state: str
    waits_on: str
    waits_for: str
    due: str | None
    contact: _Contact | None
    steps: list[_Step]
    notes: list[_Note]
    invoices: list[_Invoice]
    revisions: list[_Revision] = Field(min_length=1)
    papers: list[_Paper]
    files: list[_File]


@dataclass
class _Whole:
    """One commission read and checked, ready to be put into a book."""

    about: _About
    texts: list[bytes]
    papers: list[bytes]
    files: list[bytes]
    finished: bool
    wanted_by: str | None


class _RackBoard(_Row):
    board: OfferedBoard
    kind: str
    came_on: str
    came_from: str
    gone_on: str | None
    gone_to: str
    place: str
    says: str


class _PriceRow(_Row):
    item: str
    unit: str
    price: str


class _PriceList(_Row):
    name: str
    day: str
    currency: str
    rows: list[_PriceRow]
    says: str


class _Lesson(_Row):
    number: int
    ref: str
    kind: str
    day: str
    who: str
    says: str


class _Workshop(_Row):
    maker: str
    own_timbers: list[dict]
    rack: list[_RackBoard]
    price_lists: list[_PriceList]
    lessons: list[_Lesson]


def bring_in(book: Book, path: str | Path) -> list[str]:
    """Put the commissions of an export into the book; returns their references.

    Of an export of a whole book the rack, price lists and lessons come too, but for those that are there,
    and its own timbers and the maker's name where this book has none.

    Everything is read and checked first, then put in by one transaction: all or nothing. Raises
    BadImport naming the file and field that cannot be, BadBook where the book cannot be written.
    """
    book.refuse_if_read_only()
    wholes, workshop = read_export(path)
    try:
        with book.writing() as db:
            for whole in wholes:
                _put(db, whole)
            if workshop:
                _put_workshop(db, workshop)
    except sa.exc.IntegrityError as error:
        raise BadImport(
            f"Something of this export is in the book already ({error.orig}). Nothing was changed."
        ) from error
    return [whole.about.ref for whole in wholes]


def read_export(path: str | Path) -> tuple[list[_Whole], _Workshop | None]:
    """Every commission of an export, and what the workshop keeps beside them, checked. Raises BadImport."""
    path = Path(path)
    try:
        with zipfile.ZipFile(path) as archive:
            names = _names(archive)
            prints = _listed(archive, names)
            wholes = [_read_commission(archive, names, prints, ref) for ref in prints["commissions"]]
            return wholes, _read_workshop(archive, names, prints) if WORKSHOP in names else None
    except FileNotFoundError:
        raise BadImport(f"There is no file {path}.") from None
    except BadImport as error:
        raise BadImport(f"{path.name}: {error} Nothing was changed.") from None
    except (zipfile.BadZipFile, OSError, EOFError, NotImplementedError, RuntimeError, ValueError) as error:
        raise BadImport(
            f"{path.name} is no export of a job book, or is damaged ({error}). Nothing was changed."
        ) from None
    except Exception as error:  # noqa: BLE001 - zlib.error, and whatever else a made-up archive provokes
        raise BadImport(f"{path.name} cannot be read ({type(error).__name__}: {error}). Nothing was changed.") from None


def _names(archive: zipfile.ZipFile) -> dict[str, zipfile.ZipInfo]:
    infos = archive.infolist()
    if len(infos) > MOST_FILES or sum(i.file_size for i in infos) > MOST_BYTES:
        raise BadImport(f"it would unpack to more than {MOST_BYTES / 1e9:g} GB or {MOST_FILES} files.")
    names = {}
    for info in infos:
        steps = PurePosixPath(info.filename)
        if info.filename in names:
            raise BadImport(f"it holds {info.filename!r} twice.")
        if steps.is_absolute() or ".." in steps.parts or any(sign in info.filename for sign in "\\:\0"):
            raise BadImport(f"the name {info.filename!r} leads out of it.")
        if info.flag_bits & 1:
            raise BadImport(f"{info.filename!r} is locked with a password.")
        names[info.filename] = info
    return names


def _bytes(archive, names, name: str, most: int = MOST_BYTES) -> bytes:
    if name not in names:
        raise BadImport(f"{name!r} is missing.")
    if names[name].file_size > most:
        raise BadImport(f"{name!r} is {names[name].file_size / 1e6:.0f} MB; {most / 1e6:.0f} MB is the most.")
    with archive.open(names[name]) as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise BadImport(f"{name!r} is larger than it says.")
    return content


def _plain(content: bytes, name: str):
    try:
        return json.loads(content)
    except (ValueError, RecursionError) as error:
        raise BadImport(f"{name!r} is no JSON ({type(error).__name__}).") from None


def _listed(archive, names) -> dict:
    plain = _plain(_bytes(archive, names, LISTED, 50 * MOST_TEXT), LISTED)
    if not isinstance(plain, dict) or plain.get("kind") != KIND:
        raise BadImport("it is no export of a job book.")
    if plain.get("version") != VERSION:
        raise BadImport(
            f"it is of version {plain.get('version')!r}; this workbook reads {VERSION}. Update the workbook."
        )
    prints, refs = plain.get("sha256"), plain.get("commissions")
    if not isinstance(prints, dict) or not isinstance(refs, list) or not all(isinstance(r, str) for r in refs):
        raise BadImport(f"{LISTED!r} does not list what is in it.")
    if len(set(refs)) != len(refs):
        raise BadImport("it names a commission twice.")
    return plain


def _sealed(archive, names, listed, name: str, most: int, digest: str | None = None) -> bytes:
    """A member of the archive whose fingerprint holds."""
    found = _bytes(archive, names, name, most)
    fingerprint = hashlib.sha256(found).hexdigest()
    if fingerprint != listed["sha256"].get(name) or (digest and fingerprint != digest):
        raise BadImport(f"{name!r} was changed since it was exported: its fingerprint does not hold.")
    return found


def _valid(model, content: bytes, name: str):
    try:
        return model.model_validate_json(json.dumps(_plain(content, name)))
    except ValidationError as error:
        field, says = next(iter(refusals(error).items()))
        raise BadImport(f"{name!r}, field {field}: {says}") from None


def _day(text: str | None, where: str) -> None:
    try:
        if text is not None:
            date.fromisoformat(text)
    except ValueError:
        raise BadImport(f"{where} is {text!r}; give a day such as 2027-03-26.") from None


def _time(text: str, where: str) -> None:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        raise BadImport(f"{where} is {text!r}; give a time such as 2027-03-26T10:00:00+00:00.") from None


def _read_workshop(archive, names, listed) -> _Workshop:
    found = _valid(_Workshop, _sealed(archive, names, listed, WORKSHOP, 10 * MOST_TEXT), WORKSHOP)
    for b in found.rack:
        _day(b.came_on, f"{WORKSHOP!r}, field came_on of board {b.board.ref}")
        _day(b.gone_on, f"{WORKSHOP!r}, field gone_on of board {b.board.ref}")
        if b.kind not in BOARDS:
            raise BadImport(f"{WORKSHOP!r}, field kind of board {b.board.ref}: give {' or '.join(BOARDS)}.")
    for row in (*found.price_lists, *found.lessons):
        _day(row.day, f"{WORKSHOP!r}, field day")
    try:
        own_species(found.own_timbers)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise BadImport(f"{WORKSHOP!r}, field own_timbers: {error}") from None
    return found


def _put_workshop(db, shop: _Workshop) -> None:
    """What the workshop keeps beside its jobs, but for what is there already."""
    k, p, n, s = schema.rack, schema.price_list, schema.note, schema.setting
    boards = set(db.execute(sa.select(k.c.ref)).scalars())
    for b in shop.rack:
        if b.board.ref not in boards:
            boards.add(b.board.ref)
            beside = b.model_dump(exclude={"board"})
            db.execute(k.insert().values(beside | {"ref": b.board.ref, "board": b.board.model_dump_json()}))
    lists = {tuple(row) for row in db.execute(sa.select(p.c.name, p.c.day))}
    for one in shop.price_lists:
        if (one.name, one.day) not in lists:
            lists.add((one.name, one.day))
            rows = json.dumps([r.model_dump() for r in one.rows])
            db.execute(p.insert().values(one.model_dump(exclude={"rows"}) | {"rows": rows}))
    said = set(db.execute(sa.select(n.c.says).where(n.c.kind == "lesson")).scalars())
    for lesson in shop.lessons:
        if lesson.says not in said:  # those of a job came with it
            said.add(lesson.says)
            db.execute(n.insert().values(
                at=f"{lesson.day}T00:00:00+00:00", author="", kind="lesson", day=lesson.day, who=lesson.who,
                says=lesson.says,
            ))
    timbers = json.dumps(shop.own_timbers) if shop.own_timbers else ""
    for name, value in (("maker", shop.maker), ("own timbers", timbers)):
        if value and not db.execute(sa.select(s.c.name).where(s.c.name == name)).first():
            db.execute(s.insert().values(name=name, value=value))


def _read_commission(archive, names, listed, ref: str) -> _Whole:
    def content(name: str, most: int, digest: str | None = None) -> bytes:
        return _sealed(archive, names, listed, name, most, digest)

    name = f"{ref}/{COMMISSION}"
    about = _valid(_About, content(name, 10 * MOST_TEXT), name)
    if about.ref != ref:
        raise BadImport(f"{name!r} is of {about.ref}, not of {ref}.")
    numbers = [r.number for r in about.revisions]
    if numbers != list(range(1, about.latest + 1)):
        raise BadImport(f"{name!r}, field revisions: they are not numbered 1 to {about.latest}.")
    for day in (about.due, *(d for x in about.steps for d in (x.day, x.due)), *(x.day for x in about.notes),
                *(d for x in about.invoices for d in (x.issued_on, x.due_on, x.paid_on))):
        _day(day, f"{name!r}: a day of a step, note or invoice")
    for r in about.revisions:
        _time(r.saved_at, f"{name!r}, field saved_at of revision {r.number}")
        if (r.built_on or 0) >= r.number or (r.stands_for or 0) >= r.number:
            raise BadImport(f"{name!r}, field revisions: {r.number} is built on a later one.")
    if about.state not in STATES or any(s.state not in STATES for s in about.steps):
        raise BadImport(f"{name!r}, field state: give one of {', '.join(STATES)}.")
    texts = [content(f"{ref}/{r.file}", MOST_TEXT, r.sha256) for r in about.revisions]
    document = None
    for r, text in zip(about.revisions, texts, strict=True):
        try:
            document = read_document(text.decode(), ref)
        except UnicodeDecodeError:
            raise BadImport(f"{ref}/{r.file} is no text in UTF-8.") from None
        except (BadBook, NewerDocument) as error:
            raise BadImport(f"{ref}/{r.file}: {error}") from None
        if document.ref != ref:
            raise BadImport(f"{ref}/{r.file}, field ref: it is {document.ref}, not {ref}.")
    for at, what in (*((p.issued_at, p.name) for p in about.papers), *((f.added_at, f.name) for f in about.files),
                     (about.created_at, "created_at"), (about.changed_at, "changed_at")):
        _time(at, f"{name!r}, time of {what!r}")
    papers = [content(f"{ref}/{p.file}", MOST_BYTES, None if p.erased_at else p.sha256) for p in about.papers]
    files = [content(f"{ref}/{f.file}", MOST_BYTES, f.sha256) for f in about.files]
    wanted = document.brief.wanted_by
    return _Whole(about, texts, papers, files, document.finished, wanted.isoformat() if wanted else None)


def _put(db, whole: _Whole) -> None:
    from studio_lib.jobbook.packing import packed_on

    about = whole.about
    if db.execute(sa.select(schema.commission.c.id).where(schema.commission.c.ref == about.ref)).first():
        raise BadImport(f"There is a commission {about.ref} in this book already. Nothing was changed.")
    fields = ("ref", "title", "client", "created_at", "changed_at", "latest", "state", "waits_on", "waits_for", "due")
    ident = db.execute(schema.commission.insert().values(
        {k: getattr(about, k) for k in fields} | {"finished": int(whole.finished), "wanted_by": whole.wanted_by}
    )).inserted_primary_key[0]
    mine = {"commission_id": ident}
    text, number = b"", None
    for row, content in zip(about.revisions, whole.texts, strict=True):
        packed, on = packed_on(content, text, number)
        if on is None:
            text, number = content, row.number
        kept = row.model_dump(exclude={"file"}) | mine
        db.execute(schema.revision.insert().values(kept | {"packed_on": on, "document": packed}))
    for table, rows, contents in (
        (schema.paper, about.papers, whole.papers), (schema.attachment, about.files, whole.files),
    ):
        for row, content in zip(rows, contents, strict=True):
            db.execute(table.insert().values(row.model_dump(exclude={"file"}) | mine | {"bytes": content}))
    for table, rows in ((schema.step, about.steps), (schema.note, about.notes), (schema.invoice, about.invoices)):
        for row in rows:
            db.execute(table.insert().values(row.model_dump() | mine))
    if about.contact:
        db.execute(schema.contact.insert().values(about.contact.model_dump() | mine))


# ---------------------------------------------------------------- another copy of the book


def take_in_copy(book: Book, path: Path) -> list[str]:
    """Take what another copy of the book holds and this one does not; returns sentences of what came.

    A commission that only the copy has comes whole. Of one that both have, the copy's latest
    document is kept as a named revision under the present one, so nothing is lost and nothing
    changes in hand. Papers, files, notes, invoices and boards come too. The copy is then put
    among the dated copies. Raises BadBook where it is damaged.
    """
    book.refuse_if_read_only()
    told = []
    with tempfile.TemporaryDirectory(prefix="job-book-", ignore_cleanup_errors=True) as scratch:
        for ending in ("", "-wal"):
            source = Path(f"{path}{ending}")
            if source.exists():
                shutil.copyfile(source, Path(scratch, FILE + ending))
        theirs = Book(Place(Path(scratch)))
        try:
            check(Path(scratch, FILE))
            mine = {e.ref for e in book.commissions()}
            only = [e.ref for e in theirs.commissions() if e.ref not in mine]
            if only:
                bring_in(book, export(theirs, Path(scratch, "export.zip"), only))
                told += [f"{ref} came whole." for ref in only]
            for entry in theirs.commissions():
                if entry.ref in mine:
                    told += _take_in_one(book, theirs, entry.ref, path.name)
            there = {b.ref for gone in (False, True) for b in book.rack.boards(gone)}
            boards = [b for gone in (False, True) for b in theirs.rack.boards(gone) if b.ref not in there]
            book.rack.add(*boards)
            told += [f"Board {b.ref} came into the rack." for b in boards]
        finally:
            theirs.close()
    aside = book.folder / COPIES / f"taken in {datetime.now():%Y-%m-%d %H%M%S} {path.name}"
    try:
        aside.parent.mkdir(exist_ok=True)
        path.replace(aside)
    except OSError:
        told.append(f"{path.name} could not be put aside; remove it yourself.")
    return told or ["The other copy holds nothing that this book has not."]


def _take_in_one(book: Book, theirs: Book, ref: str, name: str) -> list[str]:
    told = []
    ours_about, about = about_commission(book, ref), about_commission(theirs, ref)
    had = {r["sha256"] for r in ours_about["revisions"]}
    if about["revisions"][-1]["sha256"] not in had:
        other, _ = theirs.open(ref)
        present, number = book.open(ref)
        kept = book.save(other, number, f"as {name} has it")
        book.name_revision(ref, kept, "from another copy")
        book.save(present, kept, "as it was before the other copy was taken in")
        told.append(f"{ref}: revision {kept} is as the other copy has it; compare it on the Record page.")
    papers = {p["sha256"] for p in ours_about["papers"]}
    for row in about["papers"]:
        if row["sha256"] not in papers and not row["erased_at"]:
            book.keep_paper(ref, row["revision"], row["name"], theirs.paper(ref, row["sha256"]))
            told.append(f"{ref}: paper {row['name']} came.")
    files = {a["sha256"] for a in ours_about["files"]}
    for kept in theirs.attachments(ref):
        if kept.sha256 not in files:
            book.attach(ref, kept.name, kept.media_type, theirs.attached(ref, kept.number), kept.note)
            told.append(f"{ref}: {kept.name} came.")
    said = {(n["kind"], n["says"]) for n in ours_about["notes"]}
    for n in reversed(theirs.jobs.notes(ref)):
        if (n.kind, n.says) not in said:
            book.jobs.say(ref, n.kind, n.says, n.who, datetime.fromisoformat(n.day).date())
            told.append(f"{ref}: a {n.kind} came.")
    numbers = {i.number for i in book.jobs.invoices()}
    for i in theirs.jobs.invoices(ref):
        if i.number not in numbers:
            book.jobs.invoice(ref, i)
            told.append(f"{ref}: invoice {i.number} came.")
    return told
