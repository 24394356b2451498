"""What the record must stand, as plain functions: the tests run them a little, tests/bench/book.py at length."""

from __future__ import annotations

import ctypes
import errno
import os
import random
import select
import signal
import struct
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from studio_lib.commission import Commission
from studio_lib.jobbook import BadBook, open_book
from studio_lib.jobbook.backup import back_up, check
from studio_lib.jobbook.places import FILE

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
REF = "C1"


def plain(n: int = 0) -> Commission:
    """A commission without a piece, so that an edit is a save and little else."""
    return Commission(ref=REF, title="Tried hard", notes=f"edit {n}")


# ---------------------------------------------------------------- killed


def kills(where, count: int, seed: int = 1) -> dict:
    """Kill a process that edits and saves, ``count`` times; returns what was lost (nothing) and how much was tried."""
    dice = random.Random(seed)
    book = open_book(where)
    if not book.commissions():
        book.add(plain())
    book.close()
    lost, unreadable, edits = 0, 0, 0
    for n in range(count):
        read, write = os.pipe()
        child = os.fork()
        if child == 0:
            _edit_without_end(where, write)
        os.close(write)
        if n % 2:  # every other one amid its edits, however long a busy machine takes to open the book
            select.select([read], [], [], 30)
        time.sleep(dice.uniform(0.0, 0.3 if "://" in str(where) else 0.08))  # a server takes longer to be reached
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(read) as pipe:
            confirmed = [line for line in pipe.read().splitlines() if line]
        edits += len(confirmed)
        try:
            book = open_book(where)
            said = {r.reason for r in book.revisions(REF)[: len(confirmed) + 5]}
            lost += sum(reason not in said for reason in confirmed)
            book.open(REF)
            if n % 50 == 49 or n == count - 1:
                with tempfile.TemporaryDirectory() as scratch:
                    back_up(book, scratch)  # looks at every fingerprint
            book.close()
        except BadBook:
            unreadable += 1
    return {"kills": count, "edits confirmed": edits, "confirmed edits lost": lost, "unreadable books": unreadable}


def _edit_without_end(where, out: int) -> None:
    try:
        book = open_book(where)
        document, number = book.open(REF)
        while True:
            reason = f"{os.getpid()}-{number}"
            changed = document.model_copy(update={"notes": reason * 20})
            number = book.save(changed, number, reason)
            document = changed
            os.write(out, f"{reason}\n".encode())
    finally:
        os._exit(1)


# ---------------------------------------------------------------- two at once


EDITOR = """
import sys
from studio_lib.jobbook import open_book
from workbook.desk import Desk
where, who, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
book = open_book(where)
desk = Desk(book, "C1")
mine = ("notes", "brief.decides") if who == "a" else ("brief.asked", "brief.carries")
print("ready", flush=True)
for n in range(count):
    path = "title" if n % 2 else mine[n // 2 % 2]
    value = f"{who}{n}"
    sys.stdin.readline()  # both are let go at once for each edit, so that they meet on any machine
    saved = desk.change(path, value)
    told = path in desk.refused
    print(path, value, "saved" if saved else "told" if told else "LOST", flush=True)
"""


def two_at_once(where, edits: int) -> dict:
    """Two processes with a page each on one commission, some edits on one field; returns what was lost (nothing)."""
    book = open_book(where)
    book.add(plain())
    env = os.environ | {"PYTHONPATH": str(ROOT)}
    both = [
        subprocess.Popen([sys.executable, "-c", EDITOR, str(where), who, str(edits)], env=env, stdin=subprocess.PIPE,
                         stdout=subprocess.PIPE, text=True)
        for who in "ab"
    ]
    for p in both:
        p.stdout.readline()
    lines = []
    for _ in range(edits):
        for p in both:
            p.stdin.write("go\n")
            p.stdin.flush()
        lines += [p.stdout.readline().split() for p in both]
    for p in both:
        p.communicate()
    ended = [p.returncode for p in both]
    kept = set()
    for r in book.revisions(REF):
        document, _ = book.open(REF, r.number)
        kept |= {("title", document.title), ("notes", document.notes), ("brief.decides", document.brief.decides),
                 ("brief.asked", document.brief.asked), ("brief.carries", document.brief.carries)}
    lost = sum(how == "LOST" or (how == "saved" and (path, value) not in kept) for path, value, how in lines)
    document, _ = book.open(REF)
    last = {path: value for path, value, how in lines if how == "saved" and path != "title"}
    at_the_end = {"notes": document.notes} | {f"brief.{n}": getattr(document.brief, n) for n in ("decides", "asked", "carries")}
    lost += sum(at_the_end[path] != value for path, value in last.items())
    return {
        "edits": len(lines), "ended well": ended == [0, 0], "saved": sum(how == "saved" for *_, how in lines),
        "conflicts told": sum(how == "told" for *_, how in lines), "lost": lost,
        "conflicts not told": len(lines) - sum(how in ("saved", "told") for *_, how in lines),
    }


# ---------------------------------------------------------------- a disk that fails


def shim(folder: Path) -> Path:
    """The failing disk, compiled."""
    made = folder / "failing_disk.so"
    subprocess.run(["gcc", "-O1", "-shared", "-fPIC", "-o", made, HERE / "failing_disk.c", "-ldl"], check=True)
    return made


def under_shim(what: str, folder: Path, *more: str) -> str:
    """Run one of this module's functions in a process with the failing disk; returns what it printed."""
    made = shim(folder)
    env = os.environ | {"LD_PRELOAD": str(made), "PYTHONPATH": os.pathsep.join((str(ROOT), str(HERE)))}
    code = f"import hard; hard.{what}({str(made)!r}, {str(folder)!r}, *{more!r})"
    done = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True)
    if done.returncode:
        raise AssertionError(done.stderr)
    return done.stdout


def fail_everywhere(shim_path: str, folder: str) -> None:
    """Fail each write, sync and truncation of a save in turn, once or for good, disk full or faulty; print the tally."""
    disk = ctypes.CDLL(shim_path)
    places, neither, false, silent = 0, 0, 0, 0
    for error, lasting, checkpoint in (
        (e, on, cp) for e in (errno.ENOSPC, errno.EIO) for on in (0, 1) for cp in (1000, 1)
    ):
        where = Path(folder, f"book {error} {lasting} {checkpoint}")
        book = open_book(where)
        book.add(plain())
        with book.reading() as db:
            db.exec_driver_sql(f"pragma wal_autocheckpoint = {checkpoint}")
        n = 0
        while True:
            old, number = book.open(REF)
            new = old.model_copy(update={"notes": f"{n} " * 3000})
            disk.fail_at(n, error, lasting)
            try:
                book.save(new, number, f"edit {n}")
                saved = True
            except BadBook as said:
                saved = False
                silent += "What was saved before stands" not in str(said)
            hit = disk.failures()
            disk.fail_at(-1, 0, 0)
            again = open_book(where)
            now, at = again.open(REF)
            again.close()
            neither += now not in (old, new)
            false += saved and now != new
            if not saved and now == new:
                book.close()  # the save came through after all: the next one begins from it
            places += 1
            if not hit:
                break
            n += 1
        check(where / FILE)
        book.close()
    print(f"{places} {neither} {false} {silent}")


def fail_back_ups(shim_path: str, folder: str) -> None:
    """Fail each write of a back-up in turn: a whole file with a sentence of what is in it, or none and a sentence why."""
    disk = ctypes.CDLL(shim_path)
    book = open_book(Path(folder, "book"))
    book.add(plain())
    tried, half = 0, 0
    for error in (errno.ENOSPC, errno.EIO):
        for n in range(10_000):
            to = Path(folder, f"to {error} {n}")
            disk.fail_at(n, error, 1)
            try:
                back_up(book, to)
                made = True
            except BadBook:
                made = False
            hit = disk.failures()
            disk.fail_at(-1, 0, 0)
            left = list(to.glob("*"))
            half += len(left) != made
            for path in left:
                check(path)
            tried += 1
            if not hit:
                break
    document, number = book.open(REF)
    half += (document, number) != (plain(), 1)
    print(f"{tried} {half}")


RECORD = struct.Struct("c7xqq240s")


def power_cuts(shim_path: str, folder: str, edits: str, cuts: str) -> None:
    """Cut the power at random moments of many saves: what was not yet synced is kept in part, in any order."""
    dice = random.Random(5)
    disk = ctypes.CDLL(shim_path)
    book = open_book(Path(folder, "book"))
    book.add(plain())
    before = {p.name: p.read_bytes() for p in Path(folder, "book").glob("job book.sqlite*") if not p.name.endswith("-shm")}
    log = Path(folder, "log")
    disk.log_to(str(log).encode())
    document, number = book.open(REF)
    for n in range(int(edits)):
        document = document.model_copy(update={"notes": f"edit {n} " * dice.randrange(1, 900)})
        number = book.save(document, number, f"edit {n}")
        disk.mark(number)
    disk.log_to(None)
    steps = list(_steps(log.read_bytes()))
    lost, unreadable, between = 0, 0, 0
    for _ in range(int(cuts)):
        at = dice.randrange(len(steps))
        confirmed = max((s[2] for s in steps[:at] if s[0] == b"C"), default=1)
        with tempfile.TemporaryDirectory() as scratch:
            for name, content in _after_cut(before, steps[:at], dice).items():
                Path(scratch, name).write_bytes(content)
            try:
                again = open_book(scratch)
                latest = again.open(REF)[1]
                again.close()
                check(Path(scratch, FILE))
                lost += latest < confirmed
                between += latest > number
            except BadBook:
                unreadable += 1
    print(f"{len(steps)} {lost} {unreadable} {between}")


def _steps(log: bytes):
    at = 0
    while at < len(log):
        op, offset, length, path = RECORD.unpack_from(log, at)
        at += RECORD.size
        data = b""
        if op == b"W":
            data, at = log[at : at + length], at + length
        yield op, os.path.basename(path.split(b"\0")[0].decode()), offset, data


def _after_cut(before: dict[str, bytes], steps, dice) -> dict[str, bytes]:
    """Files as the disk may hold them: synced writes whole, later ones each kept, lost, or torn at a sector."""
    synced = {}
    for i, (op, name, *_) in enumerate(steps):
        if op == b"S":
            synced[name] = i
    files = {name: bytearray(content) for name, content in before.items()}
    for i, (op, name, offset, data) in enumerate(steps):
        if op not in (b"W", b"T") or name.endswith("-shm"):
            continue
        if i > synced.get(name, -1):
            fate = dice.random()
            if fate < 0.4:
                continue
            if fate < 0.6 and op == b"W":
                data = data[: 512 * dice.randrange(len(data) // 512 + 1)]
        file = files.setdefault(name, bytearray())
        if op == b"T":
            del file[offset:]
            file.extend(bytes(max(0, offset - len(file))))
        elif data:
            file.extend(bytes(max(0, offset - len(file))))
            file[offset : offset + len(data)] = data
    return {name: bytes(content) for name, content in files.items()}

