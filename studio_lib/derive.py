"""The path through a commission: one readable function per arrow, each kept under what it depends on.

``derive(commission)`` returns a ``Derived``, whose attributes are worked out when first
asked for. Nothing here is stored as truth; two commissions that agree in a part share
what follows from it, so a moved slider works out only what it touches.
"""

from __future__ import annotations

from datetime import date

from studio_lib.commission import Commission
from studio_lib.derived.boards import Boards
from studio_lib.derived.days import Days
from studio_lib.derived.findings import Findings
from studio_lib.derived.fixings import Fixings
from studio_lib.derived.holding import Holding
from studio_lib.derived.known import Known
from studio_lib.derived.money import Money
from studio_lib.derived.pieces import Pieces
from studio_lib.derived.place import Place
from studio_lib.derived.set_up import SetUp
from studio_lib.derived.theirs import Theirs
from studio_lib.derived.timbers import Timbers
from studio_lib.derived.way_in import WayIn
from studio_lib.derived.windy import Windy


class Derived(Timbers, Pieces, Place, Findings, Holding, Fixings, Windy, WayIn, Boards, Theirs, SetUp, Money, Days):
    """Everything that follows from one commission, worked out when asked for."""

    def __init__(self, commission: Commission, known: Known | None = None):
        self.commission = commission
        self.known = known or Known()


def past_records(finished, library=None) -> tuple:
    """Finished commissions as records, the earliest first; derived only where no estimate was kept with them."""
    from studio_lib.costing.records import past_record

    rows = [past_record(past, lambda past=past: derive(past, Known(library=library)).work) for past in finished]
    return tuple(sorted(rows, key=lambda r: r.ended or date.min))


def past_ratios(finished, library=None) -> dict[str, list[float]]:
    """Actual over standard hours by operation, from finished commissions, the earliest first."""
    known: dict[str, list[float]] = {}
    for past in past_records(finished, library):
        for operation, ratio in past.ratios.items():
            known.setdefault(operation, []).append(ratio)
    return known


def past_jobs(finished, library=None) -> tuple:
    """Finished commissions of one kind of piece, as the ballpark takes them."""
    from studio_lib.brief.ballpark import PastJob
    from studio_lib.costing.records import hours_by_operation

    jobs = []
    for past in finished:
        hours = sum(hours_by_operation(past.hours).values())
        if len(past.items) == 1 and hours:
            item = past.items[0]
            net = past.estimate.net if past.estimate else derive(past, Known(library=library)).price.net
            jobs.append(PastJob(item.form, hours, net, item.count))
    return tuple(jobs)


def known_from(book, but: str = "") -> Known:
    """What a job book adds: finished jobs other than ``but``, and the maker's own timbers."""
    from studio_lib.timber import own_species

    library, finished = own_species(book.own_timbers), book.finished(but=but)
    return Known(past_records(finished, library), past_jobs(finished, library), library, past_yields(finished, library))


def past_yields(finished, library=None) -> tuple:
    """Yields by timber and grade of finished commissions that kept a layout."""
    from studio_lib.stock.yields import job_yields

    found = []
    for c in finished:
        if c.boards.kept_layout:
            found += job_yields(c.boards.kept_layout, derive(c, Known(library=library)).wanted)
    return tuple(found)


def derive(commission: Commission, known: Known | None = None) -> Derived:
    """Everything that follows from a commission, and from what the maker's book knows besides.

    Without ``known`` hours and ballpark begin from the starting tables and timbers are
    those on file; ``known_from(book)`` gives it.
    """
    return Derived(commission, known)
