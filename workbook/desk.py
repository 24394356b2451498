"""The one thing that panels talk to: the commission in hand, saved at every change."""

from __future__ import annotations

import asyncio
import time
from datetime import date
from functools import cached_property
from hashlib import sha256
from threading import RLock

from pydantic import ValidationError
from traitlets import Any, Dict, HasTraits, Instance, Int, Tuple, Unicode

from studio_lib.brief.refusals import checked_date
from studio_lib.commission import Commission, refusals
from studio_lib.compare import Clash, changes, merge, reason_for
from studio_lib.derive import Derived, Known, derive, known_from
from studio_lib.forms import SizeRefused
from studio_lib.forms.changes import figures_left_aside, unmade
from studio_lib.jobbook import BadBook, Book, Conflict
from studio_lib.jobbook.backup import keep_a_copy
from studio_lib.showing import PLAIN
from studio_lib.timber import own_species

AMEND_S = 4.0
"""One figure changed again within this time is one revision, not many. [s]"""
LOOK_S = 1.0
"""How often a page looks whether another has saved, or taken another commission up. [s]"""
STAYS = ("hours", "timers", "estimate", "issued", "afterwards", "shop", "handover", "finished", "accepted", "notes")
"""What going back to an earlier revision leaves as it is now."""
GIVEN_OUT = tuple(name for name in ("issued", "accepted") if name in Commission.model_fields)
"""What undo leaves too: numbers that went out, and stops that someone answered for."""


class Desk(HasTraits):
    """The present document, what follows from it, and what was refused.

    ``refused`` holds a sentence by field path; ``notice`` what else the maker should
    know; ``clashes`` the fields that someone else changed at the same time. A refused
    change leaves the document as it was. ``ref`` changes when another commission is taken up,
    ``shown`` when lengths, money and days are to be shown in another way.
    """

    ref = Unicode("")
    shown = Any(PLAIN)
    commission = Instance(Commission)
    refused = Dict()
    notice = Unicode("")
    clashes = Tuple()
    followed = Dict()
    """What else of a piece changed with the size set last, a sentence by field path."""
    revision = Int(0)
    papers = Int(0)
    """How often papers were written on this page."""
    mended = Int(0)
    """Goes up as changes are found that mend a check; see ``workbook.mending``."""

    def __init__(self, book: Book, ref: str | None = None):
        ref = ref or book.current
        if ref is None:
            raise LookupError("The job book is empty. Begin a commission on the Record page.")
        document, number = book.open(ref)
        super().__init__(ref=ref, commission=document, revision=number, notice=book.read_only)
        self.shown = document.shown
        self.observe(lambda change: self.set_trait("shown", change["new"].shown), "commission")
        self.book = book
        self._derived: tuple[Commission, Derived] | None = None
        self._last: tuple[str, float] = ("", 0.0)
        self._run_began_on = document
        self._lock = RLock()
        self._timbers = book.own_timbers
        self._following = False
        self.looking = None
        """What looks for mends, from when it is first asked; see ``workbook.mending``."""

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
        self._know_anew(rows)

    def _know_anew(self, rows: list[dict]) -> None:
        """Work everything out again with the maker's own timbers and prices as they are by now."""
        self._timbers = rows
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
        if steps[0] == "items" and steps[2:3] == ["joints"]:
            self._must_be_cut(int(steps[1]), d)
        if path == "brief.wanted_by" and after.brief.wanted_by is not None:
            checked_date(after.brief.wanted_by, date.today())

    def _must_be_made(self, index: int, after: Derived) -> None:
        """Raise where a change just given cannot be made; those that could be once may wait."""
        had = len(self.commission.items[index].adjustments)
        for f in unmade(after.made[index].piece):
            if int(f.subject.removeprefix("change ")) > had:
                raise ValueError(f.says)

    def _must_be_cut(self, index: int, after: Derived) -> None:
        """Raise where a joint's figure just given cannot be cut; one that could be once may wait."""
        before, item = self.derived.made[index], after.made[index].item
        had = figures_left_aside(before.piece)
        for (family, what), says in figures_left_aside(after.made[index].piece).items():
            if (family, what) not in had or item.joints.get(family) != before.item.joints.get(family):
                raise ValueError(says)

    def _save(self, path: str, value, after: Commission) -> bool:
        again = path == self._last[0] and time.monotonic() - self._last[1] < AMEND_S
        if not again:
            self._run_began_on = self.commission
        try:
            number = self.book.save(
                after, self.revision, reason_for(self._run_began_on, after), amend=again, opened=self.commission
            )
        except Conflict as conflict:
            return self._merge(path, after, conflict)
        except BadBook as error:
            self.notice = str(error)
            return False
        self._last = (path, time.monotonic())
        self._took(after, number)
        says = self.derived.followed(derive(self._run_began_on, self.known), path) if ".sizes." in path else ""
        self.followed = {path: says} if says else {}
        return True

    def _took(self, document: Commission, number: int) -> None:
        self.revision = number
        self.notice, self.book.told = self.book.told, ""
        self.clashes, self.followed = (), {}
        self.commission = document

    def _merge(self, path: str, after: Commission, conflict: Conflict, earlier: tuple[Clash, ...] = ()) -> bool:
        """Another page saved meanwhile: keep both changes, but theirs of a field that both changed."""
        before = self.commission
        theirs, number = self.book.open(before.ref)
        found = merge(before, after, theirs)
        clashes = (*earlier, *found.clashes)
        said = "; ".join(map(str, changes(before, theirs)[:3]))
        self._last = ("", 0.0)
        self._took(theirs, number)
        try:
            self._must_work(path, found.document)
        except (LookupError, ValueError) as error:
            self._refuse(path, f"{conflict.latest.author} has just changed: {said}. With that, yours cannot be: {error}")
            return False
        if found.document != theirs:
            try:
                number = self.book.save(found.document, number, reason_for(theirs, found.document), opened=theirs)
            except Conflict as again:
                return self._merge(path, found.document, again, clashes)
            except BadBook as error:
                self.notice = str(error)
                return False
            self._took(found.document, number)
        if clashes:
            self.clashes = clashes
            if path:
                self._refuse(
                    path,
                    f"{conflict.latest.author} has just changed this: {clashes[0]}. Theirs was kept; look again, "
                    "and set yours if you still want it.",
                )
            return False
        if said:
            self.notice = f"Changed elsewhere meanwhile, and kept: {said}."
        return True

    def settle(self, clash: Clash, mine: bool) -> None:
        """Answer a clash: theirs stands, or mine is set after all."""
        self.clashes = tuple(c for c in self.clashes if c is not clash)
        left = self.clashes
        self.refused = {k: v for k, v in self.refused.items() if not clash.path.startswith(k)}
        if mine:
            self.change(clash.path, clash.value)
        self.clashes = left

    def _refuse(self, path: str, says: str) -> None:
        self.refused = {**self.refused, path: says}

    def read_again(self) -> None:
        """Take the latest revision, as another page may have saved it."""
        with self._lock:
            document, number = self.book.open(self.commission.ref)
            self._forget()
            self.revision = number
            self.commission = document
            self.refused = {}

    def _forget(self) -> None:
        self.__dict__.pop("known", None)
        self._derived = None
        self._last = ("", 0.0)

    def take_up(self, ref: str) -> None:
        """Take another commission in hand; every open page follows. Raises KeyError for an unknown reference."""
        with self._lock:
            if ref != self.ref:
                document, number = self.book.open(ref)
                with self.hold_trait_notifications():
                    self.ref = ref
                    self.commission = document
                    self.revision = number
                    self.refused, self.clashes, self.notice = {}, (), self.book.read_only
                    self._forget()
            if not self.book.read_only:
                self.book.take_up(ref)

    def look(self) -> None:
        """Follow what other pages did: take up what they took up, read what they saved."""
        with self._lock:
            try:
                hand, number, digest = self.book.pulse(self.ref)
                if hand and hand != self.ref:
                    self.take_up(hand)
                elif (number, digest) != (self.revision, fingerprint(self.commission)) and number:
                    before = self.commission
                    document, number = self.book.open(self.ref)
                    self._forget()
                    self.revision = number
                    self.commission = document
                    said = "; ".join(map(str, changes(before, self.commission)[:3]))
                    self.notice = f"Changed on another page: {said}." if said else ""
                if (rows := self.book.own_timbers) != self._timbers:
                    self._know_anew(rows)
            except (BadBook, LookupError) as error:
                self.notice = str(error.args[0])

    def follow(self) -> None:
        """Look once a second from now on, and see to today's copy of the book, where a page runs; nothing in a script."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        if not self._following:
            self._following = True
            self._look_later(loop)
            loop.run_in_executor(
                None, keep_a_copy, self.book, None, lambda words: loop.call_soon_threadsafe(self._say, words)
            )

    def leave(self) -> None:
        """Follow no longer: the page was made anew, or closed."""
        self._following = False
        if self.looking is not None:
            self.looking.stop()

    def _say(self, words: str) -> None:
        self.notice = words

    def _look_later(self, loop) -> None:
        def again():
            if self._following:
                try:
                    self.look()
                except Exception as error:  # noqa: BLE001 - it looks again in a second; a page left behind would lose work
                    self.notice = f"What other pages saved cannot be shown here ({type(error).__name__}: {error}). Open this page again."
                finally:
                    self._look_later(loop)

        loop.call_later(LOOK_S, again)

    def put(self, document: Commission, reason: str) -> bool:
        """Replace the whole document (an option taken in hand), as a new revision."""
        with self._lock:
            try:
                number = self.book.save(document, self.revision, reason, opened=self.commission)
            except Conflict as conflict:
                return self._merge("", document, conflict)
            except BadBook as error:
                self.notice = str(error)
                return False
            self._last = ("", 0.0)
            self._took(document, number)
            return True

    def undo(self) -> None:
        """Take back the last change. Raises ValueError where there is none, Conflict where another page saved meanwhile."""
        self._step(self.book.undo)

    def redo(self) -> None:
        """Make again what was undone last; as ``undo``."""
        self._step(self.book.redo)

    def _step(self, act) -> None:
        with self._lock:
            self._last = ("", 0.0)
            number = act(self.ref, self.revision, keep=GIVEN_OUT)
            self._took(self.book.open(self.ref)[0], number)
            self.refused = {}

    def branch(self, number: int, name: str) -> bool:
        """Keep timber and pieces of an earlier revision as an option beside the one in hand."""
        old, _ = self.book.open(self.ref, number)
        kept = old.with_option(name).options[-1]
        rows = [o.model_dump(mode="json") for o in self.commission.options if o.name != name]
        return self.change("options", [*rows, kept.model_dump(mode="json")])

    def go_back(self, number: int) -> bool:
        """Take an earlier revision in hand as a new one; hours, accepted stops and notes stay as they are now."""
        old, _ = self.book.open(self.commission.ref, number)
        document = old.model_copy(update={name: getattr(self.commission, name) for name in STAYS})
        return self.put(document, f"back to revision {number}")



def fingerprint(document: Commission) -> str:
    """SHA-256 of a document as the book keeps it."""
    return sha256(document.model_dump_json().encode()).hexdigest()
