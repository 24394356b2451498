"""The record: every commission, every revision of it, every paper issued."""

from studio_lib.jobbook.book import (
    BadBook,
    Book,
    Conflict,
    Entry,
    NewerDocument,
    Revision,
    folder_of_the_book,
    open_book,
)

__all__ = [
    "BadBook", "Book", "Conflict", "Entry", "NewerDocument", "Revision", "folder_of_the_book", "open_book",
]
