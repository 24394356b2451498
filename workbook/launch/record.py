"""The book from the command line: backed up, put back, exported, brought in, moved."""

from __future__ import annotations

from studio_lib.jobbook import open_book
from studio_lib.jobbook.backup import back_up, restore
from studio_lib.jobbook.exchange import bring_in, export
from studio_lib.jobbook.places import place_of_the_book, set_place


def back_it_up(to: str | None) -> int:
    """One checked file of the whole book; it may be in use meanwhile."""
    found = back_up(open_book(), to)
    print(f"{found.words}\nIt is {found.path}. Keep a copy of it on another disk.")
    return 0


def put_back(path: str, replace: bool) -> int:
    """A back-up into the book's place."""
    place = place_of_the_book()
    print(f"Put back into {place.words}: {restore(path, place, replace).words}")
    return 0


def export_it(refs: list[str], to: str | None) -> int:
    """A zip of JSON, papers and files that needs none of our code."""
    book = open_book()
    print(f"Exported to {export(book, to or book.folder / 'exports', refs or None)}")
    return 0


def bring_it_in(path: str) -> int:
    """The commissions of an export into the book, all or none."""
    refs = bring_in(open_book(), path)
    print(f"Brought in: {', '.join(refs) or 'nothing; there was no commission in it'}.")
    return 0


def say_place(where: str | None) -> int:
    """Where the book is; with a folder or an address, where it is to be from now on."""
    if where is None:
        print(f"The job book is {place_of_the_book().words}")
    else:
        print(f"The job book is from now on {set_place(where).words}. What was in another place stays there: back it up "
              "there and restore it here to move it.")
    return 0
