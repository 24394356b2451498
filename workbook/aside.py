"""Work of a second and more on the document as it stands, done aside once nobody changes it any more."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable

REST_S = 0.7
"""A document must rest so long before such work begins: a slider on the move is not followed."""


class Rested:
    """``work(*what)`` in a thread, its answer handed to ``then`` in the page's own; of all asked for only the last counts.

    A ValueError of ``work`` is handed to ``failed`` in words, whatever else goes wrong too. Where no page runs, as in a script, all is
    done at once.
    """

    def __init__(self, work: Callable, then: Callable[[object], None], failed: Callable[[str], None]):
        self._work, self._then, self._failed = work, then, failed
        self._turn, self._timer = 0, None

    def ask(self, *what) -> bool:
        """Ask for it anew; True where it is waited for, False where it is done already."""
        self._turn += 1
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._told(self._turn, *self._answer(what))
            return False
        if self._timer is not None:
            self._timer.cancel()
        self._timer = loop.call_later(REST_S, self._begin, loop, self._turn, what)
        return True

    def _begin(self, loop, turn: int, what) -> None:
        def run():
            answer = self._answer(what)
            if not loop.is_closed():
                loop.call_soon_threadsafe(self._told, turn, *answer)

        threading.Thread(target=run, daemon=True).start()

    def _answer(self, what) -> tuple[object, str]:
        try:
            return self._work(*what), ""
        except ValueError as error:
            return None, str(error)
        except Exception as error:  # noqa: BLE001 - the maker must hear of it, not a log
            return None, f"That could not be worked out ({type(error).__name__}: {error})."

    def _told(self, turn: int, answer, wrong: str) -> None:
        if turn != self._turn:
            return
        if wrong:
            self._failed(wrong)
        else:
            self._then(answer)
