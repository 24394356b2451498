"""A job book of each kind: an SQLite file, and a database on a PostgreSQL server that the tests start."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from itertools import count
from pathlib import Path

import pytest

from studio_lib.demo import demo
from studio_lib.jobbook import open_book

_numbers = count(1)


def _bin() -> Path:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: int(p.parts[-3]))
    on_path = shutil.which("initdb")
    if found or on_path:
        return (found[-1] if found else Path(on_path)).parent
    why = "There is no PostgreSQL server on this machine (on Debian: apt install postgresql)."
    if os.environ.get("CI"):
        pytest.fail(why)
    pytest.skip(why)


def _user() -> dict:
    """PostgreSQL will not run as root: then as the user its package made."""
    if os.geteuid() == 0:
        who = pwd.getpwnam("postgres")
        return {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}
    return {}


@pytest.fixture(scope="session")
def postgres():
    """Start a server on a socket of its own; yields a maker of fresh databases' addresses."""
    folder, tools = Path(tempfile.mkdtemp(prefix="pg-")), _bin()
    as_user = _user()
    if as_user:
        os.chown(folder, as_user["user"], as_user["group"])
    data, run = folder / "data", {"check": True, "cwd": folder, "stdout": subprocess.DEVNULL, **as_user}
    subprocess.run([tools / "initdb", "-D", data, "-U", "maker", "-A", "trust", "-E", "UTF8", "--locale=C"], **run)
    options = f"-c listen_addresses='' -c unix_socket_directories='{folder}'"
    subprocess.run([tools / "pg_ctl", "-D", data, "-w", "-o", options, "-l", folder / "log", "start"], **run)

    def fresh() -> str:
        import psycopg

        name = f"book{next(_numbers)}"
        with psycopg.connect(host=str(folder), user="maker", dbname="postgres", autocommit=True) as db:
            db.execute(f"create database {name}")
        return f"postgresql://maker@/{name}?host={folder}"

    try:
        yield fresh
    finally:
        subprocess.run([tools / "pg_ctl", "-D", data, "-m", "immediate", "stop"], **run)
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(params=["file", "server"])
def where(request, tmp_path, monkeypatch):
    """A place for a book: a folder, then a PostgreSQL address whose papers lie in a scratch folder."""
    if request.param == "file":
        return tmp_path / "book"
    from studio_lib.jobbook import places

    monkeypatch.setattr(places, "_in_documents", lambda: tmp_path / "book")
    return request.getfixturevalue("postgres")()


@pytest.fixture
def book(where):
    """The book at each place, with the demo commission in it."""
    book = open_book(where)
    book.add(demo())
    yield book
    book.close()


@pytest.fixture
def file_book(tmp_path):
    """The book as an SQLite file, with the demo commission in it."""
    book = open_book(tmp_path)
    book.add(demo())
    yield book
    book.close()
