"""The least change that mends each check that will not do, looked for after the numbers are shown and told where they are."""

from __future__ import annotations

import asyncio
import threading
from collections import OrderedDict
from dataclasses import replace

from studio_lib.derived.remedies import LEAVE, Remedy, key_of, remedies
from studio_lib.finding import Finding, Verdict
from workbook.aside import Rested
from workbook.desk import Desk

KEPT = 24
"""So many pieces of former documents keep what was found for them."""
LOOKING = "Looking for the least change that mends it\u2026"
NONE = "No single size, and no two together, was found that mends it: change more, the span, or the way it is built."
NOT_ENDED = "No change that mends it was found in the time there is for looking."


class _Looking:
    """What is known of one desk's present document; more is looked for once it rests."""

    def __init__(self, desk: Desk):
        self.desk = desk
        self._kept: OrderedDict[tuple[str, int], tuple[dict, bool]] = OrderedDict()
        self._lock = threading.Lock()
        self._stop = threading.Event()
        self._of: tuple[object, str] = (None, "")
        self._begun: set[int] = set()
        self._rested: dict[int, Rested] = {}

    def known(self, index: int) -> tuple[dict[tuple[str, str, str], Remedy | None], bool, bool]:
        """What was found for a piece so far, whether that is all, and whether it is being looked for; begins to look where a page runs."""
        key = self._key()
        with self._lock:
            found, whole = self._kept.get((key, index), ({}, False))
        if not whole and index not in self._begun:
            self._begin(key, index)
        return found, whole, not whole and index in self._begun

    def stop(self) -> None:
        """Look no further."""
        self._stop.set()

    def _key(self) -> str:
        c = self.desk.commission
        if self._of[0] is not c:
            self._stop.set()
            self._stop, self._begun = threading.Event(), set()
            self._of = (c, f"{c.model_dump_json(include={'brief', 'timber', 'items'})} {c.boards.dressing_mm:g}")
        return self._of[1]

    def _begin(self, key: str, index: int) -> None:
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return  # a script waits for nobody
        self._begun.add(index)
        if index not in self._rested:
            self._rested[index] = Rested(self._look, lambda done: None, lambda wrong: None)
        self._rested[index].ask(loop, key, index, self.desk.derived, self._stop)

    def _look(self, loop, key: str, index: int, derived, stop: threading.Event) -> None:
        def keep(found: dict, whole: bool = False) -> None:
            with self._lock:
                self._kept[(key, index)] = (found, whole)
                while len(self._kept) > KEPT:
                    self._kept.popitem(last=False)
            loop.call_soon_threadsafe(self._tell, stop)

        if stop.is_set():
            return
        try:
            found = remedies(derived, index, stop.is_set, keep)
        except Exception:  # noqa: BLE001 - the checks stand as they are; a mend that cannot be looked for is no loss
            found = {}
        if not stop.is_set():
            keep(found, True)

    def _tell(self, stop: threading.Event) -> None:
        if not stop.is_set():
            self.desk.mended += 1


def of(desk: Desk, index: int):
    """For one piece, a function from a finding to (words, whether they are a change that was tried); ('', False) where there is nothing to say."""
    if desk.looking is None:
        desk.looking = _Looking(desk)
    looking = desk.looking
    members: set[str] = set()

    def words(f: Finding) -> tuple[str, bool]:
        if f.verdict is not Verdict.FAILS or f.what == LEAVE or f.stage not in ("sizes", "joints") or index >= len(desk.derived.made):
            return "", False
        piece = desk.derived.made[index].piece
        members.update(m.name for m in piece.members)
        found, whole, on = looking.known(index)
        key = key_of(f if f.piece else replace(f, piece=piece.name), members)
        if (remedy := found.get(key)) is not None:
            return remedy.words, True
        if key in found:
            return NONE, False
        return (NOT_ENDED if whole else LOOKING if on else ""), False

    return words
