"""Papers of a commission to files, all or some, and each into the record."""

from __future__ import annotations

from pathlib import Path

from studio_lib.derive import known_from
from studio_lib.jobbook import BadBook, NewerDocument
from studio_lib.look.bundle import build
from studio_lib.papers.write import wanted, write
from workbook.launch.trouble import Trouble
from workbook.page import book_with_something


def write_all(ref: str | None = None, to: str | None = None, only: tuple[str, ...] = ()) -> int:
    """Write the papers of a commission (the one in hand when none is named) and say where they are.

    ``only`` names the papers wanted; all where it is empty. They go to ``to``, or to papers/REF in the job book's folder. Raises Trouble, or CannotBuildViewer.
    """
    try:
        if "client page.html" in wanted(only):
            build()  # the client's page carries the 3D view
        book = book_with_something()
        ref = ref or book.current
        if ref is None:
            raise Trouble(f"The job book is empty and cannot be written to. {book.read_only}")
        document, number = book.open(ref)
        folder = Path(to) if to else book.folder / "papers" / ref
        paths = write(
            document, folder, only=only, revision=number, maker=book.maker,
            known=known_from(book, but=ref), attachments=book.files(ref),
            progress=lambda name, done, of: print(f"{done} of {of}  {name}", flush=True),
        )
    except (LookupError, BadBook, NewerDocument) as error:
        raise Trouble(error.args[0]) from None
    if book.read_only:
        print(f"Not noted in the record: {book.read_only}")
    else:
        for path in paths:
            book.keep_paper(ref, number, path.name, path.read_bytes())
    print(f"The papers of {ref}, revision {number}, are in {folder}")
    return 0
