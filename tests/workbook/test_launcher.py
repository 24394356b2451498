"""The way in: what is said when it goes wrong, which Python is used, how pages are laid."""

from __future__ import annotations

import errno
import json
import os
import shutil
import socket
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from workbook.launch import environment, inside, pages, papers, server, start
from workbook.launch.trouble import DISK_FULL, NO_NETWORK, Trouble, in_words

ROOT = Path(__file__).resolve().parents[2]
DAY = date(2026, 11, 25)


def is_one_sentence(text: str) -> bool:
    return text.strip().count("\n") == 0 and text.strip().endswith(".") and "Traceback" not in text


# The first lines, before anything is known


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 15), (3, 10, 13)])
def test_an_old_python_is_told_so_in_one_sentence(version):
    code = (
        f"import sys; sys.version_info = {version}; sys.argv = ['workbook']; "
        f"exec(compile(open({str(ROOT / 'workbook' / '__main__.py')!r}).read(), 'm', 'exec'))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 1 and done.stdout == ""
    assert is_one_sentence(done.stderr)
    assert "3.11 or newer" in done.stderr and f"{version[0]}.{version[1]}" in done.stderr


def test_the_first_file_reads_under_any_python():
    # Python 2.7 language reference: neither annotations, f-strings nor keyword-only arguments.
    import ast

    source = (ROOT / "workbook" / "__main__.py").read_text("ascii")
    kinds = {type(node) for node in ast.walk(ast.parse(source))}
    assert not kinds & {ast.JoinedStr, ast.AnnAssign, ast.AsyncFunctionDef, ast.NamedExpr, ast.Match}
    before_check = source[: source.index("sys.exit")]
    assert [line for line in before_check.splitlines() if "import" in line] == ["import sys"]


def test_help_needs_nothing_and_makes_nothing(tmp_path):
    done = subprocess.run(
        [sys.executable, "-I", "-c", f"import sys; sys.path.insert(0, {str(ROOT)!r}); sys.argv = ['w', '--help']; "
         "import runpy; runpy.run_module('workbook', run_name='__main__')"],
        capture_output=True, text=True, cwd=tmp_path,
    )
    assert done.returncode == 0 and list(tmp_path.iterdir()) == []
    for word in ("test", "papers", "--book", "--port", "--no-browser"):
        assert word in done.stdout


def test_what_is_asked_for_is_understood():
    wanted = start.asked(["--book", "b", "test", "-x", "tests/timber"])
    assert (wanted.command, wanted.rest, wanted.book) == ("test", ["-x", "tests/timber"], "b")
    wanted = start.asked(["papers", "C26-002", "--to", "out"])
    assert (wanted.command, wanted.ref, wanted.to) == ("papers", "C26-002", "out")
    wanted = start.asked(["--port", "8900", "--no-browser"])
    assert (wanted.command, wanted.port, wanted.no_browser) == (None, 8900, True)


@pytest.mark.parametrize("words", [["--port", "0"], ["--port", "65536"], ["--port", "x"], ["make"], ["--colour"]])
def test_what_is_not_understood_is_refused(words, capsys):
    with pytest.raises(SystemExit) as stop:
        start.asked(words)
    assert stop.value.code == 2
    assert words[-1] in capsys.readouterr().err


def test_the_book_named_is_the_book_of_every_page(monkeypatch, tmp_path):
    monkeypatch.setattr(start.environment, "find", lambda: Path("python"))
    monkeypatch.setattr(start, "_go_inside", lambda python, argv: 0)
    monkeypatch.setenv("JOB_BOOK", "elsewhere")
    monkeypatch.chdir(tmp_path)
    assert start.main(["--book", "mine"]) == 0
    assert os.environ["JOB_BOOK"] == str(tmp_path / "mine")


# An environment is made, and only when it must be


@pytest.fixture
def place(tmp_path, monkeypatch):
    """A checkout with a lock file and no environment yet."""
    lock = tmp_path / "requirements.lock"
    lock.write_text("packaging==1.0 \\\n    --hash=sha256:00\n")
    monkeypatch.setattr(environment, "LOCK", lock)
    monkeypatch.setattr(environment, "OURS", tmp_path / ".venv")
    monkeypatch.setattr(environment, "_check_this_computer", lambda: None)
    monkeypatch.setattr(sys, "prefix", sys.base_prefix)
    return tmp_path


@pytest.fixture
def by_hand(place, monkeypatch):
    """Environments come from these two steps; what they did is listed."""
    done = []

    def empty():
        shutil.rmtree(environment.OURS, ignore_errors=True)
        python = environment.python_of(environment.OURS)
        python.parent.mkdir(parents=True)
        python.symlink_to(sys.executable)
        done.append("empty")

    monkeypatch.setattr(environment, "_make_empty", empty)
    monkeypatch.setattr(environment, "_install", lambda say, held: done.append("install"))
    return done


def look_through(monkeypatch, answer):
    """Stand in for the look through every installed package; counts the looks."""
    looks = []

    def quiet(python, *words):
        if "workbook.launch.complete" in words:
            looks.append(python)
            return subprocess.CompletedProcess(words, 0 if answer else 1, "", "")
        return subprocess.CompletedProcess(words, 0, str(environment.LOCK.parent), "")

    monkeypatch.setattr(environment, "_quiet", quiet)
    return looks


def test_a_made_environment_is_known_again_without_a_look_through(by_hand, monkeypatch):
    looks = look_through(monkeypatch, False)
    made = environment.make(say=lambda text: None)
    assert by_hand == ["empty", "install"]
    assert environment.find() == made == environment.python_of(environment.OURS)
    assert looks == []


def test_an_interrupted_install_is_begun_afresh(by_hand, monkeypatch):
    look_through(monkeypatch, False)

    def killed(say, held):
        (environment.OURS / "half a package").touch()
        raise KeyboardInterrupt

    with monkeypatch.context() as m:
        m.setattr(environment, "_install", killed)
        with pytest.raises(KeyboardInterrupt):
            environment.make(say=lambda text: None)
    assert environment.find() is None
    environment.make(say=lambda text: None)
    assert environment.find() and not (environment.OURS / "half a package").exists()


def test_a_changed_lock_asks_for_a_new_environment(by_hand, monkeypatch):
    look_through(monkeypatch, False)
    environment.make(say=lambda text: None)
    environment.LOCK.write_text("packaging==2.0 \\\n    --hash=sha256:00\n")
    assert environment.find() is None


def test_an_environment_in_use_that_has_everything_is_taken(by_hand, monkeypatch, place):
    in_use = place / "conda"
    (in_use / "conda-meta").mkdir(parents=True)
    environment.python_of(in_use).parent.mkdir(exist_ok=True)
    environment.python_of(in_use).symlink_to(sys.executable)
    monkeypatch.setattr(sys, "prefix", str(in_use))
    look_through(monkeypatch, True)
    assert environment.find() == Path(sys.executable) and by_hand == []


def test_an_environment_whose_python_is_gone_is_not_ready(by_hand, monkeypatch):
    look_through(monkeypatch, True)
    environment.make(say=lambda text: None)
    environment.python_of(environment.OURS).unlink()
    assert environment.find() is None


def test_this_python_has_what_the_lock_says():
    from workbook.launch.complete import missing

    assert missing(ROOT / "requirements.lock") == []


def test_another_version_or_half_a_package_counts_as_missing(tmp_path, monkeypatch):
    from importlib import metadata

    from workbook.launch import complete

    lock = tmp_path / "lock"
    here = metadata.version("packaging")
    lock.write_text(f"packaging=={here} \\\n    --hash=sha256:00\nPack.Aging==0 ; sys_platform == 'none'\n")
    assert complete.missing(lock) == []
    lock.write_text("packaging==0.1 \\\n    --hash=sha256:00\n")
    assert complete.missing(lock) == ["packaging==0.1"]
    # A package whose files were copied, but which its installer did not come to sign.
    half = tmp_path / "halfway-1.0.dist-info"
    half.mkdir()
    (half / "METADATA").write_text("Metadata-Version: 2.1\nName: halfway\nVersion: 1.0\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    lock.write_text("halfway==1.0 \\\n    --hash=sha256:00\n")
    assert complete.missing(lock) == ["halfway==1.0"]
    (half / "INSTALLER").write_text("pip\n")
    assert complete.missing(lock) == []


# Each failure is one sentence, and no traceback


def answer_of(monkeypatch, capsys, raising):
    def fail(*_):
        raise raising

    monkeypatch.setattr(start.environment, "find", fail)
    code = start.main([])
    said = capsys.readouterr().err
    assert code == 1 and is_one_sentence(said)
    return said


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT])
def test_a_full_disk(monkeypatch, capsys, code):
    assert DISK_FULL in answer_of(monkeypatch, capsys, OSError(code, os.strerror(code)))


def test_a_folder_that_may_not_be_written(monkeypatch, capsys):
    said = answer_of(monkeypatch, capsys, PermissionError(errno.EACCES, "Permission denied", "/opt/place"))
    assert "/opt/place" in said and "move" in said


def test_too_little_room_is_said_before_anything_is_fetched(by_hand, monkeypatch):
    monkeypatch.setattr(environment.shutil, "disk_usage", lambda path: shutil._ntuple_diskusage(9, 9, 10**9))
    with pytest.raises(Trouble, match="disk is full"):
        environment.make(say=lambda text: None)
    assert by_hand == []


@pytest.mark.parametrize("lacking", ["venv", "ensurepip"])
def test_a_python_that_cannot_make_environments(monkeypatch, lacking):
    real = environment.importlib.util.find_spec
    monkeypatch.setattr(
        environment.importlib.util, "find_spec", lambda name: None if name == lacking else real(name)
    )
    with pytest.raises(Trouble, match="apt install python3-venv") as told:
        environment._check_this_computer()
    assert is_one_sentence(str(told.value))


def test_a_python_too_new_is_told_which_ones_serve(monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 99, 0))
    with pytest.raises(Trouble, match=r"Python 3\.11 to 3\.14"):
        environment._check_this_computer()


def test_a_mac_for_which_packages_are_no_longer_made(monkeypatch):
    monkeypatch.setattr(sys, "platform", "darwin")
    monkeypatch.setattr(environment.platform, "machine", lambda: "x86_64")
    with pytest.raises(Trouble, match="Apple processor"):
        environment._check_this_computer()


@pytest.mark.skipif(os.name == "nt", reason="Windows frees the place with the start that held it")
def test_two_starts_do_not_make_the_environment_at_once(tmp_path, monkeypatch):
    monkeypatch.setattr(environment, "ROOT", tmp_path)
    with environment._alone() as held:
        other = subprocess.run(
            [sys.executable, "-c", f"from pathlib import Path; from workbook.launch import environment as e; "
             f"e.ROOT = Path({str(tmp_path)!r})\nwith e._alone(): print('alone')"],
            capture_output=True, text=True, cwd=ROOT,
        )
        assert "wait until it is done" in other.stderr and "alone" not in other.stdout
        # Killed in the middle: what it had started still holds the place until it ends.
        pip = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE, pass_fds=held)
    with pytest.raises(Trouble), environment._alone():
        pass
    pip.communicate(b"\n", timeout=30)
    with environment._alone():
        pass


# What pip says in each case: copied from pip 23 and 26 run on such a machine.
PIP_SAID = {
    NO_NETWORK: [
        "WARNING: Retrying (Retry(total=0)) after connection broken by 'NewConnectionError('<pip._vendor.urllib3.co"
        "nnection.HTTPSConnection object>: Failed to establish a new connection: [Errno -3] Temporary failure in na"
        "me resolution')': /simple/alembic/\nERROR: Could not find a version that satisfies the requirement alembic"
        "==1.20.1 (from versions: none)\nERROR: No matching distribution found for alembic==1.20.1\n",
    ],
    DISK_FULL: [
        "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device\n",
    ],
    "is not the one in requirements.lock": [
        "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE. If you have updated the package v"
        "ersions, please update the hashes.\n",
    ],
    "vtk==9.6.2 is not made for this computer": [
        "ERROR: Could not find a version that satisfies the requirement vtk==9.6.2 (from versions: none)\n"
        "ERROR: No matching distribution found for vtk==9.6.2\n",
    ],
    "install.log": ["ERROR: something nobody has met yet\n", ""],
}


@pytest.mark.parametrize(("told", "said"), [(told, s) for told, many in PIP_SAID.items() for s in many])
def test_what_pip_says_becomes_one_sentence(told, said):
    assert told in environment._why(said) and is_one_sentence(environment._why(said))


def test_a_machine_without_network_is_told_so(place, monkeypatch):
    """The real pip, with nowhere to go: a port on this computer where nothing listens."""
    with socket.socket() as nobody:
        nobody.bind(("127.0.0.1", 0))
        monkeypatch.setenv("PIP_INDEX_URL", f"http://127.0.0.1:{nobody.getsockname()[1]}/")
        monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
        monkeypatch.setenv("PIP_NO_CACHE_DIR", "1")
        monkeypatch.setenv("PIP_RETRIES", "1")
        monkeypatch.delenv("PIP_FIND_LINKS", raising=False)
        monkeypatch.delenv("PIP_EXTRA_INDEX_URL", raising=False)
        environment.OURS.mkdir()
        monkeypatch.setattr(environment, "python_of", lambda folder: Path(sys.executable))
        with pytest.raises(Trouble) as told:
            environment._install(say=lambda text: None)
    assert str(told.value) == NO_NETWORK
    assert "packaging" in (environment.OURS / "install.log").read_text()


@pytest.mark.parametrize("error", [OSError(errno.EIO, "Input/output error"), OSError("odd")])
def test_any_refusal_of_the_computer_is_a_sentence(error):
    assert is_one_sentence(in_words(error))


# Ports


def test_a_taken_port_is_passed_over(monkeypatch):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = taken.getsockname()[1]
        monkeypatch.setattr(server, "FIRST_PORT", number)
        assert number < server.choose_port(None) < number + server.PORTS


def test_a_taken_port_that_was_named_stops_with_a_sentence():
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        number = taken.getsockname()[1]
        with pytest.raises(Trouble, match=f"Port {number} is taken") as told:
            server.choose_port(number)
    assert is_one_sentence(str(told.value))


def test_no_free_port_at_all(monkeypatch):
    monkeypatch.setattr(server, "_free", lambda port: False)
    with pytest.raises(Trouble, match="name another with --port"):
        server.choose_port(None)


def test_without_a_screen_no_browser_is_tried(monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert not server.may_show()


# Pages


def page(*sources, outputs=(), **metadata):
    cells = [{"cell_type": "code", "source": s, "metadata": {}, "outputs": list(outputs), "execution_count": 1,
              "id": f"c{i}"} for i, s in enumerate(sources)]
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


@pytest.fixture
def shelf(tmp_path):
    """The shipped pages, and the folder where they are laid."""
    shipped, laid = tmp_path / "shipped", tmp_path / "book" / "pages"
    shipped.mkdir()
    save(shipped / "01_brief.ipynb", page("a", outputs=[{"output_type": "stream", "name": "stdout", "text": "x"}]))
    return shipped, laid


def save(path, what):
    path.write_text(json.dumps(what), "utf-8")


def sources(path):
    return [c["source"] for c in json.loads(path.read_text("utf-8"))["cells"]]


def test_pages_are_laid_without_results_and_run_when_opened(shelf):
    shipped, laid = shelf
    assert pages.lay(laid, DAY, shipped) == []
    got = json.loads((laid / "01_brief.ipynb").read_text("utf-8"))
    assert got["cells"][0]["outputs"] == [] and got["cells"][0]["execution_count"] is None
    assert got["metadata"]["design_workbook"] == {"run_on_open": True}


def test_a_page_stays_as_it_is_while_the_shipped_one_does(shelf):
    shipped, laid = shelf
    pages.lay(laid, DAY, shipped)
    save(laid / "01_brief.ipynb", page("a", "my own sum"))
    assert pages.lay(laid, DAY, shipped) == []
    assert sources(laid / "01_brief.ipynb") == ["a", "my own sum"]


def test_a_new_page_replaces_one_that_was_only_run(shelf):
    shipped, laid = shelf
    pages.lay(laid, DAY, shipped)
    save(laid / "01_brief.ipynb", page("a", outputs=[{"output_type": "stream", "name": "stdout", "text": "mine"}]))
    save(shipped / "01_brief.ipynb", page("b"))
    assert pages.lay(laid, DAY, shipped) == []
    assert sources(laid / "01_brief.ipynb") == ["b"] and len(list(laid.glob("*.ipynb"))) == 1


def test_cells_that_the_maker_changed_are_set_aside_each_time(shelf):
    shipped, laid = shelf
    for n, (new, name) in enumerate((("b", "01_brief (yours, 2026-11-25).ipynb"),
                                     ("c", "01_brief (yours, 2026-11-25, 2).ipynb"))):
        pages.lay(laid, DAY, shipped)
        save(laid / "01_brief.ipynb", page(f"mine {n}"))
        save(shipped / "01_brief.ipynb", page(new))
        told = pages.lay(laid, DAY, shipped)
        assert len(told) == 1 and name in told[0]
        assert sources(laid / "01_brief.ipynb") == [new]
        assert sources(laid / name) == [f"mine {n}"]


@pytest.mark.parametrize("damage", ["", "{", "[]", '{"cells": 3}'])
def test_a_damaged_page_is_set_aside_not_lost(shelf, damage):
    shipped, laid = shelf
    pages.lay(laid, DAY, shipped)
    (laid / "01_brief.ipynb").write_text(damage)
    save(shipped / "01_brief.ipynb", page("b"))
    pages.lay(laid, DAY, shipped)
    assert sources(laid / "01_brief.ipynb") == ["b"]
    assert (laid / "01_brief (yours, 2026-11-25).ipynb").read_text() == damage


@pytest.mark.parametrize("notes", [None, "{", "[]"])
def test_with_the_notes_lost_nothing_of_the_makers_is(shelf, notes):
    shipped, laid = shelf
    pages.lay(laid, DAY, shipped)
    save(laid / "01_brief.ipynb", page("mine"))
    (laid / pages.LAID).unlink() if notes is None else (laid / pages.LAID).write_text(notes)
    pages.lay(laid, DAY, shipped)
    assert sources(laid / "01_brief (yours, 2026-11-25).ipynb") == ["mine"]
    assert sources(laid / "01_brief.ipynb") == ["a"]


def test_a_page_that_is_gone_is_laid_again(shelf):
    shipped, laid = shelf
    pages.lay(laid, DAY, shipped)
    (laid / "01_brief.ipynb").unlink()
    pages.lay(laid, DAY, shipped)
    assert sources(laid / "01_brief.ipynb") == ["a"]


def test_the_first_page_is_one_that_is_shipped():
    assert (pages.SHIPPED / pages.FIRST).is_file()


# The other commands


def test_papers_of_an_unknown_reference(scratch_book, monkeypatch):
    monkeypatch.setattr(papers, "build", lambda: False)
    with pytest.raises(Trouble, match="C26-001") as told:
        papers.write_all("X1")
    assert is_one_sentence(str(told.value).replace(". In it", ", in it"))


def test_papers_are_written_and_noted_in_the_record(scratch_book, monkeypatch, capsys):
    from studio_lib.jobbook import open_book

    def few(commission, folder, *, only, attachments, revision, maker, progress, known):
        folder.mkdir(parents=True)
        paths = [folder / name for name in ("quote.pdf", "drawings.pdf")]
        for k, path in enumerate(paths, 1):
            path.write_bytes(path.name.encode())
            progress(path.name, k, len(paths))
        return paths

    monkeypatch.setattr(papers, "build", lambda: False)
    monkeypatch.setattr(papers, "write", few)
    assert papers.write_all() == 0
    said = capsys.readouterr().out.splitlines()
    assert said[:2] == ["1 of 2  quote.pdf", "2 of 2  drawings.pdf"]
    assert str(scratch_book / "papers" / "C26-001") in said[-1]
    noted = [(name, revision) for name, revision, *_ in open_book(scratch_book).papers("C26-001")]
    assert sorted(noted) == [("drawings.pdf", 1), ("quote.pdf", 1)]


@pytest.mark.parametrize(("given", "whole"), [(["-x"], True), (["tests/workbook"], False)])
def test_test_runs_on_a_book_of_its_own(monkeypatch, given, whole):
    seen = {}

    def run(command, env, cwd, check):
        from studio_lib.jobbook import open_book

        seen.update(command=[str(c) for c in command], refs=[c.ref for c in open_book(env["JOB_BOOK"]).commissions()],
                    book=env["JOB_BOOK"])
        return subprocess.CompletedProcess(command, 7)

    monkeypatch.chdir(ROOT)
    monkeypatch.setattr("studio_lib.look.bundle.build", lambda: False)
    monkeypatch.setattr(inside.subprocess, "run", run)
    monkeypatch.setenv("JOB_BOOK", "mine")
    assert inside.test(given) == 7
    assert seen["refs"] == ["C26-001"] and "mine" not in seen["book"] and not Path(seen["book"]).exists()
    assert "--nbval" in seen["command"] and given[0] in seen["command"]
    assert (str(ROOT / "notebooks") in seen["command"]) == whole


def test_a_tab_closed_while_its_page_runs_is_no_traceback_for_the_maker():
    import logging
    import sys

    from workbook.launch.server import _not_a_closed_tab

    class WebSocketClosedError(Exception):
        """What the server raises for a tab that has gone."""

    def record(error):
        try:
            raise error
        except Exception:
            return logging.LogRecord("ServerApp", logging.ERROR, "", 0, "Uncaught exception", (), sys.exc_info())

    assert not _not_a_closed_tab(record(WebSocketClosedError()))
    assert _not_a_closed_tab(record(ValueError("a real fault")))
    assert _not_a_closed_tab(logging.LogRecord("ServerApp", logging.ERROR, "", 0, "words", (), None))
