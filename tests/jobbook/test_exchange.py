"""An export reads without our code; an import is whole or not at all, whatever is handed to it."""

import copy
import csv
import hashlib
import io
import json
import random
import sqlite3
import zipfile

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio_lib.commission import Commission, OfferedBoard
from studio_lib.demo import REF, demo
from studio_lib.jobbook import BadBook, NewerDocument, exchange, open_book
from studio_lib.jobbook.book import read_document
from studio_lib.jobbook.exchange import BadImport, bring_in, export, spreadsheet_safe, take_in_copy
from studio_lib.jobbook.jobs import Contact, Invoice
from studio_lib.jobbook.shelves import PriceList, RackBoard

FUZZED = settings(deadline=None, suppress_health_check=list(HealthCheck))


def filled(book):
    book.save(demo().changed("brief.people", 8), 1, "eight")
    book.undo(REF, 2)
    book.name_revision(REF, 2, "as quoted")
    book.keep_paper(REF, 2, "../../quote.pdf", b"%PDF exact")
    book.attach(REF, "a.png", "image/png", b"picture", "seen")
    book.jobs.move(REF, "quoted")
    book.jobs.keep_contact(REF, Contact(name="Nomen Nescio"))
    book.jobs.say(REF, "decision", "left bare")
    board = OfferedBoard(ref="O-001", timber="European oak", length_mm=900, width_mm=140, thickness_mm=27, price="4.00")
    book.rack.add(RackBoard(board, "offcut", "2026-12-01", came_from=REF))
    book.prices.keep(PriceList("a yard", "2026-12-01", "EUR", ({"item": "oak", "unit": "m3", "price": "1850"},)))
    book.jobs.say("", "lesson", "order wide boards early")
    book.maker = "a workshop"
    book.jobs.invoice(REF, Invoice("26-01", "deposit", "2026-12-01", "1000.00", "200.00", "EUR"))
    return book


def everything(book):
    return exchange.about_commission(book, REF), [book.text(REF, r.number) for r in book.revisions(REF)], book.files(REF)


def test_there_and_back_is_the_same(book, tmp_path):
    filled(book)
    other = open_book(tmp_path / "other")
    assert bring_in(other, export(book, tmp_path)) == [REF]
    assert everything(other) == everything(book)
    for call in (lambda b: b.rack.boards(), lambda b: b.prices.lists(), lambda b: [n.says for n in b.jobs.notes(kind="lesson")], lambda b: b.maker):
        assert call(other) == call(book) != []
    assert other.redo(REF, 3) == 4, "what was undone can be redone there"


def test_an_export_needs_nothing_but_a_zip_and_json(book, tmp_path):
    filled(book)
    with zipfile.ZipFile(export(book, tmp_path)) as archive:
        assert archive.testzip() is None
        listed = json.loads(archive.read("contents.json"))
        for name, digest in listed["sha256"].items():
            assert hashlib.sha256(archive.read(name)).hexdigest() == digest
        about = json.loads(archive.read(f"{REF}/commission.json"))
        document = json.loads(archive.read(f"{REF}/{about['revisions'][1]['file']}"))
        assert document["brief"]["people"] == 8 and about["contact"]["name"] == "Nomen Nescio"
        assert archive.read(f"{REF}/{about['papers'][0]['file']}") == b"%PDF exact"
        assert not any(".." in n.split("/") or n.startswith("/") for n in archive.namelist())


def test_an_export_without_names_has_none(book, tmp_path):
    filled(book)
    with zipfile.ZipFile(export(book, tmp_path, [REF], private=False)) as archive:
        assert not any(b"Nescio" in archive.read(n) for n in archive.namelist())


@pytest.mark.parametrize("begins", ["=", "+", "-", "@", "\t=", "\r=", "  =", "|", "%"])
def test_no_text_becomes_a_formula_in_a_spreadsheet(file_book, tmp_path, begins):
    """OWASP, CSV Injection: a cell that begins with = + - @, tab or return must not be taken for a formula."""
    title = f"{begins}HYPERLINK(1)"
    file_book.add(Commission(ref="C2", title=title, client=title))
    with zipfile.ZipFile(export(file_book, tmp_path)) as archive:
        rows = list(csv.reader(io.StringIO(archive.read("jobs.csv").decode("utf-8-sig"), newline="")))
    assert {row[1] for row in rows if row[0] == "C2"} == {"'" + title}
    assert spreadsheet_safe("oak, 27 mm") == "oak, 27 mm"


# ---------------------------------------------------------------- bad imports


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    """An export as {name: bytes}, and a book that is to stay as it is."""
    folder = tmp_path_factory.mktemp("good")
    book = open_book(folder / "a")
    book.add(demo())
    filled(book)
    with zipfile.ZipFile(export(book, folder)) as archive:
        members = {n: archive.read(n) for n in archive.namelist()}
    target = open_book(folder / "b")
    target.add(Commission(ref="C9", title="stays"))
    return members, target, folder


def zipped(path, members):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in members.items():
            out.writestr(name, content)
    return path


def sealed(members):
    """The members with their fingerprints made to hold again, as a forger would."""
    listed = json.loads(members["contents.json"])
    listed["sha256"] = {n: hashlib.sha256(c).hexdigest() for n, c in members.items() if n != "contents.json"}
    return members | {"contents.json": json.dumps(listed).encode()}


def refused(good, members, words):
    _, target, folder = good
    before = dump(target)
    with pytest.raises(BadImport, match=words) as said:
        bring_in(target, zipped(folder / "x.zip", members))
    assert "Nothing was changed." in str(said.value)
    assert dump(target) == before


def dump(book):
    with sqlite3.connect(book.place.file) as db:
        return list(db.iterdump())


@pytest.mark.parametrize("name", ["../out.txt", "/etc/out.txt", "a/../../out", "C:\\out", "..\\out", "C:out"])
def test_a_name_that_leads_out_is_refused(good, name):
    refused(good, good[0] | {name: b"x"}, "leads out of it")


def test_a_file_changed_on_the_way_is_found_out(good):
    name = f"{REF}/revisions/0002.json"
    refused(good, good[0] | {name: good[0][name].replace(b"8", b"9")}, "fingerprint does not hold")
    refused(good, {n: c for n, c in good[0].items() if n != name}, "is missing")


def test_a_document_that_cannot_be_names_file_and_field(good):
    name, about = f"{REF}/revisions/0002.json", json.loads(good[0][f"{REF}/commission.json"])
    bad = json.loads(good[0][name])
    bad["brief"]["people"] = -4
    content = json.dumps(bad).encode()
    about["revisions"][1]["sha256"] = hashlib.sha256(content).hexdigest()
    refused(good, sealed(good[0] | {name: content, f"{REF}/commission.json": json.dumps(about).encode()}),
            "revisions/0002.json.*People is -4; give 1 or more")


def test_a_bomb_is_not_unpacked(good, monkeypatch):
    refused(good, good[0] | {"contents.json": b" " * (50 * exchange.MOST_TEXT + 1)}, "250 MB is the most")
    monkeypatch.setattr(exchange, "MOST_BYTES", 1_000_000)
    refused(good, good[0] | {"big": bytes(2_000_000)}, "would unpack to more")


def test_what_is_no_zip_is_said(good, tmp_path):
    for content in (b"", b"PK\3\4 nothing", b"words" * 1000):
        (tmp_path / "y.zip").write_bytes(content)
        with pytest.raises(BadImport, match="Nothing was changed"):
            bring_in(good[1], tmp_path / "y.zip")
    with pytest.raises(BadImport, match="There is no file"):
        bring_in(good[1], tmp_path / "none.zip")


def test_one_that_is_there_already_stays_and_nothing_else_comes(good, tmp_path):
    members, target, _ = good
    both = filled_twice(members)
    target_before = dump(target)
    twice = open_book(tmp_path / "c")
    twice.add(Commission(ref="C7", title="here first"))
    before = dump(twice)
    with pytest.raises(BadImport, match="C7 in this book already"):
        bring_in(twice, zipped(tmp_path / "z.zip", both))
    assert dump(twice) == before and dump(target) == target_before


def filled_twice(members):
    """The same commission again under another reference, after the first."""
    more = {}
    for name, content in members.items():
        if name.startswith(f"{REF}/"):
            more[name.replace(REF, "C7", 1)] = content.replace(f'"{REF}"'.encode(), b'"C7"')
    about = json.loads(more["C7/commission.json"])
    for row in about["revisions"]:
        row["sha256"] = hashlib.sha256(more[f"C7/{row['file']}"]).hexdigest()
    more["C7/commission.json"] = json.dumps(about).encode()
    listed = json.loads(members["contents.json"])
    listed["commissions"] = [REF, "C7"]
    return sealed(members | more | {"contents.json": json.dumps(listed).encode()})


JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(-10**20, 10**20), st.floats(), st.text(max_size=30),
    st.lists(st.integers(), max_size=3), st.dictionaries(st.text(max_size=5), st.integers(), max_size=3),
    st.sampled_from(["<script>alert(1)</script>", "=1+1", "../../x", "\0", "9" * 400, "NaN", "2026-02-30"]),
)


def paths(value, at=()):
    yield at
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, v in inner:
        yield from paths(v, (*at, key))


PLAIN = json.loads(demo().model_dump_json())
DOCUMENT_PATHS = [p for p in paths(PLAIN) if p]


def put(plain, path, how, junk):
    """The value with one place altered: replaced, taken away, or something laid beside it."""
    out = copy.deepcopy(plain)
    at = out
    for step in path[:-1]:
        at = at[step]
    if how == "replace":
        at[path[-1]] = junk
    elif how == "take" or isinstance(at, list):
        del at[path[-1]]
    else:
        at["what is this"] = junk
    return out


@settings(FUZZED, max_examples=1200)
@given(st.lists(st.tuples(st.sampled_from(DOCUMENT_PATHS), st.sampled_from(["replace", "take", "beside"]), JUNK), min_size=1, max_size=2))
def test_a_fuzzed_document_is_read_or_refused_by_its_field(alterations):
    plain = PLAIN
    for path, how, junk in alterations:
        try:
            plain = put(plain, path, how, junk)
        except (KeyError, IndexError, TypeError):
            continue
    try:
        document = read_document(json.dumps(plain), REF)
    except NewerDocument as error:
        assert "Update the workbook" in str(error)
    except BadBook as error:
        assert "cannot be read by this version" in str(error) and "It was left as it is" in str(error)
        assert "Traceback" not in str(error) and len(str(error)) < 3_000
    else:
        assert read_document(document.model_dump_json(), REF) == document


@settings(FUZZED, max_examples=500)
@given(seed=st.integers(0, 10**9), junk=JUNK, how=st.sampled_from(["replace", "take", "beside"]), seal=st.booleans())
def test_a_fuzzed_import_is_whole_or_refused_and_changes_nothing(good, tmp_path_factory, seed, junk, how, seal):
    members, target, folder = good
    dice = random.Random(seed)
    name = dice.choice([n for n in members if n.endswith(".json")])
    plain = json.loads(members[name])
    path = dice.choice([p for p in paths(plain) if p])
    try:
        altered = members | {name: json.dumps(put(plain, path, how, junk)).encode()}
    except (KeyError, IndexError, TypeError):
        return
    if seal and name != "contents.json":
        altered = sealed(altered)
    try:
        came, workshop = exchange.read_export(zipped(folder / "f.zip", altered))
    except BadImport as error:
        assert "Nothing was changed." in str(error) and "Traceback" not in str(error)
        return
    assert [w.about.ref for w in came] in ([REF], [])
    with target.writing() as db:
        for whole in came:
            exchange._put(db, whole)
        if workshop:
            exchange._put_workshop(db, workshop)
        db.rollback()


@settings(FUZZED, max_examples=300)
@given(data=st.data())
def test_a_zip_with_false_bytes_is_refused_or_the_same(good, data):
    members, target, folder = good
    whole = bytearray(zipped(folder / "g.zip", members).read_bytes())
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(whole) - 1))
        whole[at] ^= data.draw(st.integers(1, 255))
    (folder / "h.zip").write_bytes(whole[: data.draw(st.sampled_from([len(whole), len(whole) // 2]))])
    try:
        came, _ = exchange.read_export(folder / "h.zip")
    except BadImport as error:
        assert "Nothing was changed." in str(error)
    else:
        assert [t for w in came for t in w.texts] == [members[f"{REF}/revisions/000{n}.json"] for n in (1, 2, 3)]


# ---------------------------------------------------------------- another copy of the book


def test_what_only_the_other_copy_holds_is_taken_in(file_book, tmp_path):
    ref = demo().ref
    there = open_book(tmp_path / "there")
    there.add(demo())
    there.save(demo().changed("brief.people", 11), 1, "on the other machine")
    there.keep_paper(ref, 2, "quote.pdf", b"%PDF theirs")
    there.jobs.say(ref, "decision", "decided over there")
    there.add(Commission(ref="C2", title="begun over there"))
    there.close()
    file_book.save(demo().changed("brief.people", 7), 1, "here")
    lying = file_book.folder / "job book (conflicting copy).sqlite"
    (tmp_path / "there" / "job book.sqlite").rename(lying)
    assert file_book.other_copies() == [lying]
    told = " ".join(take_in_copy(file_book, lying))
    assert "C2 came whole" in told and "revision 3 is as the other copy has it" in told
    assert file_book.open(ref)[0].brief.people == 7, "nothing in hand changes"
    assert file_book.open(ref, 3)[0].brief.people == 11
    assert file_book.paper(ref, hashlib.sha256(b"%PDF theirs").hexdigest()) == b"%PDF theirs"
    assert file_book.jobs.notes(ref)[0].says == "decided over there" and file_book.other_copies() == []


def test_a_copy_that_holds_nothing_new_changes_nothing(file_book):
    file_book.close()
    lying = file_book.folder / "job book-2.sqlite"
    lying.write_bytes(file_book.place.file.read_bytes())
    assert take_in_copy(file_book, lying) == ["The other copy holds nothing that this book has not."]
    assert file_book.open(demo().ref)[1] == 1


# ---------------------------------------------------------------- scripts in text


@pytest.mark.parametrize("stage", ["book", "record", "brief"])
def test_a_script_in_a_text_is_shown_as_text(tmp_path, stage):
    import ipywidgets as w

    from workbook.desk import Desk
    from workbook.page import Page

    bad = "<script>alert(1)</script><img src=x onerror=alert(2)>"
    book = open_book(tmp_path)
    book.add(Commission(ref="C1", title=bad, client=bad, notes=bad))
    book.jobs.move("C1", "quoted", reason=bad, waits_on=bad, waits_for=bad)
    book.jobs.say("C1", "decision", bad, bad)
    book.jobs.say("C1", "lesson", bad)
    book.keep_paper("C1", 1, bad, b"x")
    book.attach("C1", bad, "text/html", b"<script>", bad)
    book.name_revision("C1", 1, bad)
    book.jobs.invoice("C1", Invoice(bad, "final", "2026-12-01", "1", "0", "EUR", says=bad))
    book.save(Commission(ref="C1", title=bad, client=bad, notes=bad + "x"), 1, bad)
    panel = Page(stage, Desk(book)).panel()

    def inside(widget):
        yield widget
        for child in getattr(widget, "children", ()):
            yield from inside(child)

    html = [one.value for one in inside(panel) if isinstance(one, w.HTML)]
    assert html and not any("<script" in h or "<img src=x" in h for h in html)
