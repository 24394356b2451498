"""The one thing that panels talk to: the commission in hand, saved at every change."""

from __future__ import annotations

import time
from functools import cached_property

from pydantic import ValidationError
from traitlets import Dict, HasTraits, Instance, Int, Unicode

from studio_lib.commission import Commission, refusals
from studio_lib.compare import changes, reason_for
from studio_lib.derive import Derived, derive, past_jobs, past_ratios
from studio_lib.forms import SizeRefused
from studio_lib.jobbook import BadBook, Book, Conflict
from studio_lib.timber import own_species

AMEND_S = 4.0
"""One figure changed again within this time is one revision, not many. [s]"""


class Desk(HasTraits):
    """The present document, what follows from it, and what was refused.

    ``refused`` holds a sentence by field path; ``notice`` what else the maker should
    know. A refused change leaves the document as it was.
    """

    commission = Instance(Commission)
    refused = Dict()
    notice = Unicode("")
    revision = Int(0)

    def __init__(self, book: Book, ref: str | None = None):
        ref = ref or book.current
        if ref is None:
            raise LookupError("The job book is empty. Begin a commission on the Record page.")
        document, number = book.open(ref)
        super().__init__(commission=document, revision=number, notice=book.read_only)
        self.book = book
        self._derived: tuple[Commission, Derived] | None = None
        self._last: tuple[str, float] = ("", 0.0)

    @property
    def derived(self) -> Derived:
        """Everything that follows from the present document."""
        if self._derived is None or self._derived[0] is not self.commission:
            self._derived = (self.commission, self._derive(self.commission))
        return self._derived[1]

    def _derive(self, document: Commission) -> Derived:
        return derive(document, self.records, self.past_jobs, self.library)

    @cached_property
    def library(self):
        """Timbers on file with the maker's own laid over them."""
        return own_species(self.book.own_timbers)

    def keep_own_timbers(self, rows: list[dict]) -> None:
        """Replace the maker's own timbers. Raises ValueError naming row and field for one that cannot be."""
        library = own_species(rows)
        self.book.own_timbers = rows
        self.__dict__["library"] = library
        self._derived = None
        self.notify_change({"name": "commission", "old": self.commission, "new": self.commission, "owner": self, "type": "change"})

    @cached_property
    def _finished(self) -> list[Commission]:
        return self.book.finished(but=self.commission.ref)

    @cached_property
    def records(self) -> dict[str, list[float]]:
        """What the book's finished jobs say about hours."""
        return past_ratios(self._finished)

    @cached_property
    def past_jobs(self) -> tuple:
        """The book's finished jobs of one kind of piece, for the ballpark."""
        return past_jobs(self._finished)

    def change(self, path: str, value) -> bool:
        """Set one field; True when it was taken. A refusal stands in ``refused[path]``."""
        before = self.commission
        try:
            after = before.changed(path, value)
            after_all = self._derive(after)
            _ = (after_all.made, after_all.species)
        except ValidationError as error:
            said = refusals(error)
            self._refuse(path, said.get(path) or " ".join(said.values()))
            return False
        except SizeRefused as error:
            self._refuse(path, str(error))
            return False
        except (KeyError, ValueError) as error:
            self._refuse(path, str(error.args[0]) if error.args else str(error))
            return False
        if path in self.refused:
            self.refused = {k: v for k, v in self.refused.items() if k != path}
        if after == before:
            return True
        return self._save(path, value, after)

    def _save(self, path: str, value, after: Commission) -> bool:
        again = path == self._last[0] and time.monotonic() - self._last[1] < AMEND_S
        try:
            number = self.book.save(
                after, self.revision, reason_for(self.commission, after), amend=again
            )
        except Conflict as conflict:
            return self._merge(path, value, conflict)
        except BadBook as error:
            self.notice = str(error)
            return False
        self._last = (path, time.monotonic())
        self.revision = number
        self.notice = ""
        self.commission = after
        return True

    def _merge(self, path: str, value, conflict: Conflict) -> bool:
        """Another page saved meanwhile: keep both changes unless they are to the same field."""
        theirs, number = self.book.open(self.commission.ref)
        other = changes(self.commission, theirs)
        clash = next((c for c in other if c.path == path or c.path.startswith(path + ".")), None)
        self.revision = number
        self.commission = theirs
        if clash:
            self._refuse(
                path,
                f"{conflict.latest.author} has just set this: {clash}. Theirs was kept; set yours again "
                "if you want it.",
            )
            return False
        taken = self.change(path, value)
        if taken:
            self.notice = "Changed elsewhere meanwhile, and kept: " + "; ".join(map(str, other[:3])) + "."
        return taken

    def _refuse(self, path: str, says: str) -> None:
        self.refused = {**self.refused, path: says}

    def read_again(self) -> None:
        """Take the latest revision, as another page may have saved it."""
        document, number = self.book.open(self.commission.ref)
        self.refused = {}
        self.revision = number
        self.commission = document

    def put(self, document: Commission, reason: str) -> bool:
        """Replace the whole document (restoring a revision, keeping a layout), as a new revision."""
        try:
            number = self.book.save(document, self.revision, reason)
        except (Conflict, BadBook) as error:
            self.notice = str(error)
            return False
        self._last = ("", 0.0)
        self.revision = number
        self.notice = ""
        self.commission = document
        return True
