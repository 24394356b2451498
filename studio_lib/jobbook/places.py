"""Where the job book is: a folder of the person's documents, or a PostgreSQL server by its address."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path

FILE = "job book.sqlite"
VARIABLE = "JOB_BOOK"
SETTING = "job_book"


class BadBook(RuntimeError):
    """The book cannot be opened or written; the text says why and what to do."""


@dataclass(frozen=True)
class Place:
    """A folder for papers and copies, and the server that keeps the record where it is not in that folder."""

    folder: Path
    url: str = ""

    @property
    def file(self) -> Path:
        return self.folder / FILE

    @property
    def words(self) -> str:
        """The place as it may be shown: a password in an address is left out."""
        if not self.url:
            return str(self.file)
        import sqlalchemy as sa

        return sa.make_url(self.url).render_as_string(hide_password=True)


def settings_file() -> Path:
    """The file in which this person's choice of place is kept."""
    from platformdirs import user_config_path

    return user_config_path("design-workbook") / "settings.json"


def place_of_the_book(where: str | Path | None = None) -> Place:
    """The place given, else the variable JOB_BOOK, else the one set, else the person's documents.

    Raises BadBook for an address that is neither a folder nor of PostgreSQL.
    """
    where = where or os.environ.get(VARIABLE) or _set_place()
    if not where:
        return Place(_in_documents())
    text = str(where)
    if "://" not in text:
        return Place(Path(text).expanduser().resolve())
    import sqlalchemy as sa

    try:
        url = sa.make_url(text)
    except sa.exc.ArgumentError:
        url = None
    if url is None or url.get_backend_name() != "postgresql":
        raise BadBook(
            f"The job book's place is {text.split('@')[-1]!r}. Give a folder, or a PostgreSQL address such as "
            "postgresql://maker@server/jobbook."
        )
    return Place(_in_documents(), url.set(drivername="postgresql+psycopg").render_as_string(hide_password=False))


def set_place(where: str) -> Place:
    """Keep a place as this person's choice; empty goes back to the documents. Raises BadBook as above."""
    file = settings_file()
    place = place_of_the_book(where) if where else Place(_in_documents())
    kept = {SETTING: where if "://" in where else str(place.folder)} if where else {}
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(".part")
        part.write_text(json.dumps(kept, indent=1), "utf-8")
        part.replace(file)
    except OSError as error:
        raise BadBook(f"The choice could not be kept in {file} ({error.strerror}). Use the variable {VARIABLE}.") from error
    return place


def folder_of_the_book(where: str | Path | None = None) -> Path:
    """The folder of papers and copies, and of the record itself unless a server keeps it."""
    return place_of_the_book(where).folder


def _set_place() -> str:
    try:
        kept = json.loads(settings_file().read_text("utf-8"))
    except FileNotFoundError:
        return ""
    except (OSError, ValueError) as error:
        raise BadBook(f"{settings_file()} cannot be read ({error}). Mend or remove it.") from error
    return str(kept.get(SETTING, "")) if isinstance(kept, dict) else ""


def _in_documents() -> Path:
    from platformdirs import user_documents_path

    return user_documents_path() / "Job book"
