"""The commands, run by the environment's own Python."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from workbook.launch.environment import ROOT
from workbook.launch.start import STOPPED, asked
from workbook.launch.trouble import Trouble, in_words

RECORD = {
    "backup": lambda record, w: record.back_it_up(w.to),
    "restore": lambda record, w: record.put_back(w.file, w.replace),
    "export": lambda record, w: record.export_it(w.refs, w.to),
    "bring-in": lambda record, w: record.bring_it_in(w.file),
    "place": lambda record, w: record.say_place(w.where),
}


def main(argv: list[str]) -> int:
    """Do what was asked; 0 when all went well."""
    wanted = asked(argv)
    from studio_lib.jobbook import BadBook
    from studio_lib.jobbook.exchange import BadImport
    from studio_lib.look.bundle import CannotBuildViewer

    try:
        if wanted.command == "test":
            return test(wanted.rest)
        if wanted.command in RECORD:
            from workbook.launch import record

            return RECORD[wanted.command](record, wanted)
        from workbook.launch import papers, server

        if wanted.command == "papers":
            return papers.write_all(wanted.ref, wanted.to, tuple(wanted.only))
        return server.open_workbook(wanted.port, show=not wanted.no_browser)
    except (Trouble, CannotBuildViewer, BadBook, BadImport) as trouble:
        print(trouble, file=sys.stderr)
    except KeyError as unknown:
        print(unknown.args[0], file=sys.stderr)
    except OSError as error:
        print(in_words(error), file=sys.stderr)
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return STOPPED
    return 1


def test(given: list[str]) -> int:
    """Run pytest on the tests and the pages, on a job book of their own."""
    from studio_lib.look.bundle import build
    from workbook.page import book_with_something

    build()
    # Everything at once is shared out among twice the processors, a file to each, since those with a browser wait for
    # much of their time; a part chosen by hand runs in one.
    many = os.cpu_count() or 1
    shared = ["-n", str(min(2 * many, 4)), "--dist", "loadfile"] if many > 1 and not any(a.startswith("-n") for a in given) else []
    chosen = [a for a in given if not a.startswith("-") and Path(a.split("::")[0]).exists()]
    with tempfile.TemporaryDirectory(prefix="workbook-test-", ignore_cleanup_errors=True) as scratch:
        book = Path(scratch, "book")
        book_with_something(book).close()
        apart = os.environ | {
            "JOB_BOOK": str(book), "IPYTHONDIR": f"{scratch}/ipython", "JUPYTER_DATA_DIR": f"{scratch}/jupyter",
            "JUPYTER_CONFIG_DIR": f"{scratch}/jupyter", "JUPYTER_PREFER_ENV_PATH": "1",
        }
        command = [
            sys.executable, "-m", "pytest", f"--rootdir={ROOT}", "--nbval", "--nbval-current-env",
            "--nbval-cell-timeout=180", f"--nbval-sanitize-with={ROOT / 'tests' / 'nbval_sanitize.cfg'}",
            *given, *([] if chosen else [*shared, ROOT / "tests", ROOT / "notebooks"]),
        ]
        return subprocess.run(command, env=apart, cwd=None if chosen else ROOT, check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
