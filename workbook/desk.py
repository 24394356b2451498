"""The one thing that panels talk to: the commission in hand, saved at every change."""

from __future__ import annotations

import time
from datetime import date
from functools import cached_property
from threading import RLock

from pydantic import ValidationError
from traitlets import Dict, HasTraits, Instance, Int, Unicode

from studio_lib.brief.refusals import checked_date
from studio_lib.commission import Commission, refusals
from studio_lib.compare import changes, reason_for
from studio_lib.derive import Derived, Known, derive, known_from
from studio_lib.forms import SizeRefused
from studio_lib.forms.changes import unmade
from studio_lib.jobbook import BadBook, Book, Conflict
from studio_lib.timber import own_species

AMEND_S = 4.0
"""One figure changed again within this time is one revision, not many. [s]"""
STAYS = ("hours", "timers", "estimate", "issued", "afterwards", "shop", "handover", "finished", "accepted", "notes")
"""What going back to an earlier revision leaves as it is now."""


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
        self._run_began_on = document
        self._lock = RLock()

    @property
    def derived(self) -> Derived:
        """Everything that follows from the present document."""
        if self._derived is None or self._derived[0] is not self.commission:
            self._derived = (self.commission, derive(self.commission, self.known))
        return self._derived[1]

    @cached_property
    def known(self) -> Known:
        """What the book's finished jobs and the maker's own timbers add."""
        return known_from(self.book, but=self.commission.ref)

    @property
    def library(self):
        """Timbers on file with the maker's own laid over them."""
        return self.known.library

    def keep_own_timbers(self, rows: list[dict]) -> None:
        """Replace the maker's own timbers. Raises ValueError naming row and field for one that cannot be."""
        own_species(rows)
        self.book.own_timbers = rows
        self.__dict__.pop("known", None)
        self._derived = None
        self.notify_change({"name": "commission", "old": self.commission, "new": self.commission, "owner": self, "type": "change"})

    def change(self, path: str, value) -> bool:
        """Set one field; True when it was taken. A refusal stands in ``refused[path]``."""
        with self._lock:
            before = self.commission
            try:
                after = before.changed(path, value)
                self._must_work(path, after)
            except ValidationError as error:
                said = refusals(error)
                self._refuse(path, said.get(path) or " ".join(said.values()))
                return False
            except SizeRefused as error:
                self._refuse(path, str(error))
                return False
            except (LookupError, ValueError) as error:
                self._refuse(path, str(error.args[0]) if error.args else str(error))
                return False
            except Exception as error:  # noqa: BLE001 - whatever it is, the maker hears of it and keeps the document
                self._refuse(path, f"That cannot be worked out ({type(error).__name__}: {error}). The figure before stands.")
                return False
            if path in self.refused:
                self.refused = {k: v for k, v in self.refused.items() if k != path}
            if after == before:
                return True
            return self._save(path, value, after)

    def _must_work(self, path: str, after: Commission) -> None:
        """Raise where the changed document cannot be laid out, or an answer cannot be meant."""
        d = derive(after, self.known)
        _ = (d.made, d.species, d.moisture, d.users)
        steps = path.split(".")
        if steps[0] == "items" and "adjustments" in steps:
            self._must_be_made(int(steps[1]), d)
        if path == "brief.wanted_by" and after.brief.wanted_by is not None:
            checked_date(after.brief.wanted_by, date.today())

    def _must_be_made(self, index: int, after: Derived) -> None:
        """Raise where a change just given cannot be made; those that could be once may wait."""
        had = len(self.commission.items[index].adjustments)
        for f in unmade(after.made[index].piece):
            if int(f.subject.removeprefix("change ")) > had:
                raise ValueError(f.says)

    def _save(self, path: str, value, after: Commission) -> bool:
        again = path == self._last[0] and time.monotonic() - self._last[1] < AMEND_S
        if not again:
            self._run_began_on = self.commission
        try:
            number = self.book.save(
                after, self.revision, reason_for(self._run_began_on, after), amend=again, opened=self.commission
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
        mine = self.commission
        theirs, number = self.book.open(mine.ref)
        other = changes(mine, theirs)
        clash = next((str(c) for c in other if c.path == path or c.path.startswith(path + ".")), None)
        if clash is None and _rows_moved(path, mine, theirs):
            clash = "rows were added or taken away"
        self.revision = number
        self._last = ("", 0.0)
        self.commission = theirs
        if clash:
            self._refuse(
                path,
                f"{conflict.latest.author} has just changed this: {clash}. Theirs was kept; look again, and set "
                "yours if you still want it.",
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
        with self._lock:
            document, number = self.book.open(self.commission.ref)
            self.__dict__.pop("known", None)
            self._derived = None
            self.revision = number
            self.commission = document
            self.refused = {}

    def put(self, document: Commission, reason: str) -> bool:
        """Replace the whole document (an option taken in hand), as a new revision."""
        with self._lock:
            try:
                number = self.book.save(document, self.revision, reason, opened=self.commission)
            except (Conflict, BadBook) as error:
                self.notice = str(error)
                return False
            self._last = ("", 0.0)
            self.revision = number
            self.notice = ""
            self.commission = document
            return True

    def go_back(self, number: int) -> bool:
        """Take an earlier revision in hand as a new one; hours, accepted stops and notes stay as they are now."""
        old, _ = self.book.open(self.commission.ref, number)
        document = old.model_copy(update={name: getattr(self.commission, name) for name in STAYS})
        return self.put(document, f"back to revision {number}")


def _rows_moved(path: str, mine: Commission, theirs: Commission) -> bool:
    """Whether a numbered row on the way to the field is no longer the row that was meant."""
    a, b = mine.model_dump(mode="json"), theirs.model_dump(mode="json")
    for step in path.split("."):
        if isinstance(a, list) and isinstance(b, list):
            names = [[row.get("name", row.get("ref")) if isinstance(row, dict) else row for row in rows] for rows in (a, b)]
            if names[0] != names[1]:
                return True
            a, b = a[int(step)], b[int(step)]
        elif isinstance(a, dict) and isinstance(b, dict) and step in a and step in b:
            a, b = a[step], b[step]
        else:
            return False
    return False
