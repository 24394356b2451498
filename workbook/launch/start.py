"""What was asked for, and the Python it runs in. Standard library only."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from pathlib import Path

from workbook.launch import environment
from workbook.launch.trouble import Trouble, in_words

STOPPED = 130
"""What a program answers that was stopped from the keyboard."""


def parser() -> argparse.ArgumentParser:
    """The words that the launcher understands."""
    top = argparse.ArgumentParser(
        prog="python3 -m workbook",
        description="Opens the design workbook in your browser. The first start fetches what it needs.",
        epilog="Without a command the workbook opens. Ctrl-C in this window closes it; everything is saved.",
    )
    top.add_argument("--book", metavar="FOLDER", help="keep the job book in this folder, or at this "
                     "PostgreSQL address (else the variable JOB_BOOK, else the one set with 'place', else 'Job book' in your "
                     "documents)")
    top.add_argument("--port", type=_port, metavar="NUMBER", help="use this port and no other")
    top.add_argument("--no-browser", action="store_true", help="print the address instead of opening a browser")
    commands = top.add_subparsers(dest="command", metavar="COMMAND")
    commands.add_parser("test", add_help=False, help="run every test and every page; what follows is handed to "
                        "pytest")
    papers = commands.add_parser("papers", help="write every paper of a commission to files, without a browser")
    papers.add_argument("ref", nargs="?", metavar="REF", help="reference of the commission (else the one in hand)")
    papers.add_argument("--only", action="append", default=[], metavar="PAPER", help="that paper alone, such as quote.pdf; may be given several times")
    papers.add_argument("--to", metavar="FOLDER", help="where to (else papers/REF in the job book's folder)")
    backup = commands.add_parser("backup", help="back the whole job book up to one checked file; it may be in use")
    backup.add_argument("--to", metavar="FOLDER", help="where to (else 'backups' in the job book's folder)")
    restore = commands.add_parser("restore", help="put a back-up into the job book's folder, on this machine or a new one")
    restore.add_argument("file", metavar="FILE")
    restore.add_argument("--replace", action="store_true", help="replace a book that is there; it is backed up first")
    export = commands.add_parser("export", help="the book as a zip of JSON and papers, readable without the workbook")
    export.add_argument("refs", nargs="*", metavar="REF", help="only these commissions")
    export.add_argument("--to", metavar="FOLDER", help="where to (else 'exports' in the job book's folder)")
    bring = commands.add_parser("bring-in", help="put the commissions of an export into the book, all or none")
    bring.add_argument("file", metavar="FILE")
    place = commands.add_parser("place", help="say where the job book is, or set it for good")
    place.add_argument("where", nargs="?", metavar="WHERE", help="a folder, or postgresql://name@server/database")
    return top


def asked(argv: list[str]) -> argparse.Namespace:
    """What was asked for; ``rest`` is what 'test' hands on."""
    top = parser()
    found, rest = top.parse_known_args(argv)
    if rest and found.command != "test":
        top.error(f"not understood: {' '.join(rest)}")
    found.rest = rest
    return found


def main(argv: list[str] | None = None) -> int:
    """Do what was asked, in the environment, which is made if it is not there. 0 when all went well."""
    argv = sys.argv[1:] if argv is None else argv
    wanted = asked(argv)
    if wanted.book:
        is_address = "://" in wanted.book
        os.environ["JOB_BOOK"] = wanted.book if is_address else str(Path(wanted.book).expanduser().resolve())
    try:
        python = environment.find() or environment.make(_say)
        return _go_inside(python, argv)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
    except OSError as error:
        print(in_words(error), file=sys.stderr)
    except KeyboardInterrupt:
        print("\nStopped. Start again to go on; nothing is lost.", file=sys.stderr)
        return STOPPED
    return 1


def _go_inside(python: Path, argv: list[str]) -> int:
    command = [str(python), "-m", "workbook.launch.inside", *argv]
    if os.name == "nt":
        with subprocess.Popen(command, env=environment.environ()) as inside:
            while True:
                try:
                    return inside.wait()
                except KeyboardInterrupt:
                    # Windows tells both of us; the one inside closes the workbook.
                    continue
    os.execve(command[0], command, environment.environ())


def _say(text: str) -> None:
    print(text, flush=True)


def _port(text: str) -> int:
    if text.isdigit() and 0 < int(text) < 65536:
        return int(text)
    raise argparse.ArgumentTypeError(f"{text} is no port; give a number from 1 to 65535")
