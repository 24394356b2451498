"""The record at its size, and tried hard at length.

    python tests/bench/book.py times          2,000 commissions of 50 revisions: open, list, search, open one, save one
    python tests/bench/book.py hard           500 kills, 2 x 1,000 edits at once, a failing disk, power cuts
    python tests/bench/book.py times URL      the times on a PostgreSQL server

Run it with the project's folder on PYTHONPATH.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "jobbook")]

import hard  # noqa: E402

from studio_lib.commission import Commission  # noqa: E402
from studio_lib.demo import demo  # noqa: E402
from studio_lib.jobbook import open_book, schema  # noqa: E402
from studio_lib.jobbook.backup import back_up  # noqa: E402
from studio_lib.jobbook.book import _sha256  # noqa: E402
from studio_lib.jobbook.packing import packed_on  # noqa: E402

COMMISSIONS, REVISIONS, TIMES = 2_000, 50, 31
WORDS = ("bench", "table", "stool", "bookcase", "screen", "chest", "shelf")


def edits(document: Commission):
    """A commission as fifty edits leave it, one after the other."""
    for n in range(REVISIONS):
        yield document
        path, value = (
            ("items.0.sizes.length_mm", 1700 + 5 * n), ("brief.people", 2 + n % 9), ("notes", f"Rang again; {n} things to settle."),
            ("rates.delivery_km", float(n)), ("brief.years_wanted", 10 + n),
        )[n % 5]
        document = document.changed(path, value)


def fill(book) -> None:
    """Every commission with its revisions, by rows, as saving one by one would leave them."""
    first = list(edits(demo()))
    with book.writing() as db:
        for c in range(COMMISSIONS):
            ref, title = f"C{c // 100:02d}-{c % 100:03d}", f"{WORDS[c % 7].capitalize()} number {c}"
            day = f"20{c // 100:02d}-{1 + c % 12:02d}-11T10:00:00+00:00"
            ident = db.execute(schema.commission.insert().values(
                ref=ref, title=title, client=f"client {c % 300}", created_at=day, changed_at=day, latest=REVISIONS,
                finished=int(c < COMMISSIONS - 40), state="closed" if c < COMMISSIONS - 25 else "enquiry",
            )).inserted_primary_key[0]
            whole, number, rows = b"", None, []
            for n, document in enumerate(first, 1):
                text = document.model_copy(update={"ref": ref, "title": title, "client": f"client {c % 300}"}).model_dump_json().encode()
                packed, on = packed_on(text, whole, number)
                if on is None:
                    whole, number = text, n
                rows.append({
                    "commission_id": ident, "number": n, "saved_at": day, "author": "the maker", "reason": f"edit {n}", "name": None,
                    "built_on": n - 1 or None, "stands_for": None, "sha256": _sha256(text), "packed_on": on, "document": packed,
                })
            db.execute(schema.revision.insert(), rows)


def timed(what: str, act, times: int = TIMES) -> None:
    """Print the median and the worst of some runs."""
    took = []
    for n in range(times):
        start = time.perf_counter()
        act(n)
        took.append(1000 * (time.perf_counter() - start))
    print(f"{what:42} median {median(took):7.1f} ms   worst {max(took):7.1f} ms")


def times(where) -> None:
    """The record with 2,000 commissions of 50 revisions."""
    book = open_book(where)
    start = time.perf_counter()
    fill(book)
    print(f"filled in {time.perf_counter() - start:.0f} s")
    book.close()
    last = f"C{(COMMISSIONS - 1) // 100:02d}-{(COMMISSIONS - 1) % 100:03d}"

    def opened(_n):
        one = open_book(where)
        _ = one.current
        one.close()

    timed("open the book", opened)
    timed("list those in hand", lambda n: book.commissions(in_hand=True))
    timed("list all 2,000", lambda n: book.commissions())
    timed("search two words", lambda n: book.commissions(f"{WORDS[n % 7]} {100 + n}"))
    timed("open one", lambda n: book.open(f"C{n % 20:02d}-{n:03d}"))
    timed("open an early revision of one", lambda n: book.open(f"C{n % 20:02d}-{n:03d}", 2 + n))
    timed("revisions of one", lambda n: book.revisions(last))

    def save(n):
        document, number = book.open(last)
        changed = document.changed("brief.years_wanted", 60 + n)
        start = time.perf_counter()
        book.save(changed, number, "one more")
        saving.append(1000 * (time.perf_counter() - start))

    saving: list[float] = []
    timed("open one, change it, save it", save)
    print(f"{'  of which saving':42} median {median(saving):7.1f} ms   worst {max(saving):7.1f} ms")
    timed("undo", lambda n: book.undo(last, book.open(last)[1]), 11)
    timed("whether another page saved (pulse)", lambda n: book.pulse(last))
    timed("what finished jobs teach (30 documents)", lambda n: book.finished(), 5)
    if not book.place.url:
        print(f"size on disk {book.place.file.stat().st_size / 1e6:.1f} MB for {COMMISSIONS * REVISIONS} revisions")
    start = time.perf_counter()
    found = back_up(book, Path(tempfile.mkdtemp()))
    print(f"back-up, every fingerprint checked: {time.perf_counter() - start:.1f} s, {found.size / 1e6:.1f} MB")


def tried_hard() -> None:
    """What is held to figures, at length."""
    folder = Path(tempfile.mkdtemp())
    print(hard.kills(folder / "kills", 500))
    print(hard.two_at_once(folder / "two", 1_000))
    places, neither, false, silent = hard.under_shim("fail_everywhere", folder).split()
    print(f"failing disk: {places} places; neither old nor new {neither}, falsely confirmed {false}, without a sentence {silent}")
    steps, lost, unreadable, _ = hard.under_shim("power_cuts", folder, "1000", "500").split()
    print(f"500 power cuts within {steps} steps of the disk: {lost} with a confirmed edit lost, {unreadable} unreadable")


if __name__ == "__main__":
    if sys.argv[1:2] == ["hard"]:
        tried_hard()
    else:
        times(sys.argv[2] if len(sys.argv) > 2 else Path(tempfile.mkdtemp()))
