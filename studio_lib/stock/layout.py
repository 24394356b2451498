"""Lay the pieces of a cutting list out on real boards, at the least cost that can be found.

``quick`` answers at once by first fit; ``thorough`` goes on from there with the
search in ``search.py`` and proves a floor under the cost with ``bound.py``.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from decimal import Decimal

from studio_lib.stock.boards import Allowances, Layout, Placed, worth
from studio_lib.stock.first_fit import area_floor, first_fit
from studio_lib.stock.job import Cell, Filled, Job, Saw, make_job, part, split, unit_for

QUICK_UNIT_MM = 0.1


def lay_out(
    pieces,
    boards,
    kerf_mm: float,
    seconds: float = 20.0,
    *,
    allowances: Allowances = Allowances(),
    end_trim_mm: float = 0.0,
    resaw_kerf_mm: float | None = None,
    effort: str = "thorough",
    seed: int = 0,
    progress=None,
    stop=None,
    matches=(),
    pins=(),
    first_cut: str = "either",
    kept: Layout | None = None,
) -> Layout:
    """A layout of all pieces, or of as many as the boards can be made to hold.

    Parameters
    ----------
    pieces : sequence of Wanted
        Finished sizes; the allowances are added here.
    boards : sequence of Board
    kerf_mm : float
        Width of the saw cut. [mm]
    seconds : float
        Safety stop of the thorough search. Its effort is counted in rounds, so that the
        same job gives the same layout on any machine whose rounds end within it; they take some
        seconds, up to a quarter of a minute for 80 pieces on 20 boards with faults. [s]
    allowances : Allowances
        Docking, edge and dressing allowance of every piece. [mm]
    end_trim_mm : float
        Taken off both ends of every board. [mm]
    resaw_kerf_mm : float or None
        Kerf of the resaw; None where boards are not resawn. [mm]
    effort : 'quick' or 'thorough'
        'quick' is first fit under a coarse bound; 'thorough' searches and proves.
    seed : int
        Of the search's own dice; another seed may find another layout of a hard job.
    progress : callable, optional
        Called with (cost, bound, share of the effort spent).
    stop : callable, optional
        Asked now and then; the best layout so far is returned once it answers True.
    matches : sequence of Match
        Pieces that must come from one board, lie next to each other, or be resawn from one place.
    pins : sequence of Pin
        Choices that stay: so many of a piece from this board.
    first_cut : 'either', 'crosscut' or 'rip'
        What the saw does to a whole board first.
    kept : Layout, optional
        An earlier layout, of which all that is still sound is kept where that is not dearer.

    Errors
    ------
    ValueError
        A reference stands twice, a figure is below 0, or a match or pin cannot be.

    Examples
    --------
    Two boards of 1 m give two pieces of 450 mm each, with a kerf of 3:

    >>> from decimal import Decimal
    >>> from studio_lib.stock import Board, Wanted
    >>> rail = Wanted("A", 450, 100, 25, 4, "show", "ash")
    >>> board = Board("B", "ash", 1000, 100, 25, Decimal("12.50"), None)
    >>> lay_out([rail], [board], 3, effort="quick").cost
    Decimal('25.00')
    """
    pieces, boards = tuple(pieces), tuple(boards)
    _refuse_twins("piece", pieces)
    _refuse_twins("board", boards)
    if effort not in ("quick", "thorough"):
        raise ValueError(f"effort is {effort!r}; choose 'quick' or 'thorough'.")
    if first_cut not in FIRST_CUTS:
        raise ValueError(f"first_cut is {first_cut!r}; choose one of {', '.join(FIRST_CUTS)}.")
    saw = Saw(kerf_mm, end_trim_mm, resaw_kerf_mm, allowances)

    def quickly(some, on):
        return _quick(some, on, saw, first_cut, kept if not (matches or pins) else None)[2]

    if not (matches or pins):
        job, filled, layout = _quick(pieces, boards, saw, first_cut, kept)
        if effort == "quick":
            return replace(layout, first_cut=first_cut)
        found = _thorough(job, filled, pieces, boards, saw, seconds, seed, progress, stop, first_cut)
        if _refused(found, pieces, boards, saw) or worth(layout, pieces) < worth(found, pieces):
            found = layout  # what the checker refuses never reaches the maker
        return replace(found, first_cut=first_cut)
    layout = _matched(pieces, boards, saw, matches, pins, quickly, effort, seconds, seed, progress, stop, first_cut)
    if effort == "thorough" and kept and _holds(kept, pieces, boards, saw, matches, pins) and worth(kept, pieces) < worth(layout, pieces):
        layout = replace(kept, bound=None if kept.missing else layout.bound)
    return replace(layout, first_cut=first_cut)


def _holds(kept: Layout, pieces, boards, saw: Saw, matches, pins) -> bool:
    """Whether an earlier layout is sound for these pieces and boards as they are asked for now."""
    return not _refused(kept, pieces, boards, saw, matches=matches, pins=pins)


FIRST_CUTS = ("either", "crosscut", "rip")


def _refused(layout: Layout, pieces, boards, saw: Saw, **asked) -> list[str]:
    from studio_lib.stock.checker import check_layout

    return check_layout(layout, pieces, boards, saw.kerf_mm, allowances=saw.allowances, end_trim_mm=saw.end_trim_mm,
                        resaw_kerf_mm=saw.resaw_kerf_mm, **asked)


def _quick(pieces, boards, saw: Saw, first_cut: str, kept: Layout | None = None):
    """Job, boards filled and layout by first fit, on top of what is sound of an earlier one."""
    job = make_job(pieces, boards, saw, QUICK_UNIT_MM)
    floor = area_floor(make_job(pieces, boards, saw, QUICK_UNIT_MM, generous=True))
    best = None
    still = _still_sound(kept, job, pieces, boards, saw) if kept else ()
    for start in ((), still) if still else ((),):
        filled = first_fit(job, first_cut, start)
        layout = assemble(job, filled, pieces, boards, saw, floor)
        rank = worth(layout, pieces)
        # What lay well is left lying where it costs nothing.
        if best is None or rank <= best[0]:
            best = rank, job, filled, layout
    return best[1:]


def _still_sound(kept: Layout, job: Job, pieces, boards, saw: Saw) -> list[Filled]:
    """The places of an earlier layout that these pieces and boards still allow."""
    from studio_lib.stock.checker import sound_places

    kind_of = {ref: i for i, k in enumerate(job.kinds) for ref, _ in k.refs}
    stock_of = {ref: i for i, s in enumerate(job.stocks) for ref, _ in s.refs}
    left, free = Counter({p.ref: p.count for p in pieces}), Counter({b.ref: b.count for b in boards if b.count})
    filled = []
    plenty = {b.ref for b in boards if b.count is None}
    for key in kept.boards_used:
        if key[0] not in stock_of or (key[0] not in plenty and not free[key[0]]):
            continue
        cells = []
        for p in sound_places(kept, key, pieces, boards, saw):
            layers = min(p.layers, left[p.piece_ref])
            if layers:
                left[p.piece_ref] -= layers
                cells.append(Cell(kind_of[p.piece_ref], round((p.x_mm - saw.end_trim_mm) / job.unit_mm),
                                  round(p.y_mm / job.unit_mm), layers))
        if cells:
            free[key[0]] -= 1
            filled.append(Filled(stock_of[key[0]], tuple(cells)))
    return filled


def _matched(pieces, boards, saw, matches, pins, quickly, effort, seconds, seed, progress, stop, first_cut) -> Layout:
    """A layout with matches and pins worked in; its bound is that of the job without the matches."""
    from studio_lib.stock.matching import arrange

    how = {"seed": seed, "progress": progress, "stop": stop, "first_cut": first_cut, "effort": effort}
    saws = {"allowances": saw.allowances, "end_trim_mm": saw.end_trim_mm, "resaw_kerf_mm": saw.resaw_kerf_mm}
    made = arrange(pieces, boards, saw.kerf_mm, saw.allowances, matches, pins, quickly)
    found = lay_out(made.pieces, made.boards, saw.kerf_mm, seconds, **saws, **how)
    bound, proved = found.bound, found.shortage_proved
    if matches:
        free = arrange(pieces, boards, saw.kerf_mm, saw.allowances, (), pins, quickly)
        looser = lay_out(free.pieces, free.boards, saw.kerf_mm, seconds / 2, **saws, **(how | {"progress": None}))
        bound, proved = looser.bound, looser.shortage_proved
    return _finished(made.unfold(found.placements), made.missing(found.missing), pieces, boards, saw, bound, proved)


def _thorough(
    quick: Job, filled, pieces, boards, saw: Saw, seconds, seed, progress, stop, first_cut: str = "either"
) -> Layout:
    """Search each group of kinds and boards that hang together, from the quick layout on."""
    # Imported here: the compiled kernels take a second to load, and quick does without.
    from studio_lib.stock.search import Effort, Watch
    from studio_lib.stock.thorough import Thorough

    unit_mm = unit_for(pieces, boards, saw)
    job = make_job(pieces, boards, saw, unit_mm)
    generous = make_job(pieces, boards, saw, unit_mm, generous=True)
    groups = split(quick)
    watch = Watch(seconds, stop)
    costs = [_cost(quick, [f for f in filled if f.stock in stocks]) for _, stocks in groups]
    bounds: list[Decimal | None] = [None] * len(groups)
    found, proved = [], False
    for n, (kinds, stocks) in enumerate(groups):

        def report(run, share, n=n):
            costs[n], bounds[n] = run.cost, run.floor.cost
            if progress:
                progress(sum(costs), _total(bounds), (n + share) / len(groups))

        outcome = Thorough(
            part(job, kinds, stocks), part(generous, kinds, stocks),
            _renumbered(filled, kinds, stocks, quick.unit_mm / unit_mm),
            Effort(), seed, watch, report, first_cut,
        ).run()
        found += _numbered_back(outcome.filled, kinds, stocks)
        proved = proved or outcome.shortage_proved
    homeless = any(not any(s.layers[i] for s in generous.stocks) for i in range(len(job.kinds)))
    return assemble(job, found, pieces, boards, saw, _total(bounds), proved or homeless)


def _cost(job: Job, filled) -> Decimal:
    return sum((job.stocks[f.stock].price for f in filled), Decimal(0))


def _total(bounds) -> Decimal | None:
    return None if None in bounds else sum(bounds, Decimal(0))


def _renumbered(filled, kinds, stocks, scale: float) -> list[Filled]:
    """Boards of a group with the group's own numbers and units."""
    kind_of = {k: i for i, k in enumerate(kinds)}
    stock_of = {b: i for i, b in enumerate(stocks)}
    return [
        Filled(stock_of[f.stock], tuple(
            Cell(kind_of[c.kind], c.x * scale, c.y * scale, c.layers) for c in f.cells
        ))
        for f in filled if f.stock in stock_of
    ]


def _numbered_back(filled, kinds, stocks) -> list[Filled]:
    return [
        Filled(stocks[f.stock],
               tuple(Cell(kinds[c.kind], c.x, c.y, c.layers) for c in f.cells))
        for f in filled
    ]


def _refuse_twins(what: str, items) -> None:
    twice = [ref for ref, n in Counter(i.ref for i in items).items() if n > 1]
    if twice:
        raise ValueError(
            f"Reference {twice[0]!r} stands on more than one {what}. Give each its own."
        )


def assemble(job: Job, filled: list[Filled], pieces, boards, saw: Saw,
             bound: Decimal | None = None, shortage_proved: bool = False) -> Layout:
    """The layout in millimetres with references, surplus dropped and money added up."""
    to_make = [list(map(list, kind.refs)) for kind in job.kinds]
    copies: Counter[str] = Counter()
    offered = [dict(stock.refs) for stock in job.stocks]
    placements = []
    for f in sorted(filled, key=lambda f: f.stock):
        ref = None
        for cell in sorted(f.cells, key=lambda c: (c.x, c.y)):
            lines = to_make[cell.kind]
            if not lines:
                continue
            if ref is None:
                ref = next(r for r, n in offered[f.stock].items() if n is None or copies[r] < n)
                copies[ref] += 1
            layers = min(cell.layers, lines[0][1])
            lines[0][1] -= layers
            placements.append(
                Placed(
                    ref, copies[ref], lines[0][0],
                    saw.end_trim_mm + cell.x * job.unit_mm, cell.y * job.unit_mm,
                    layers, *job.kinds[cell.kind].rough_mm,
                )
            )
            if not lines[0][1]:
                lines.pop(0)
    missing = {ref: n for lines in to_make for ref, n in lines}
    return _finished(placements, missing, pieces, boards, saw, bound, shortage_proved)


def _finished(placements, missing, pieces, boards, saw, bound, shortage_proved) -> Layout:
    by_ref = {b.ref: b for b in boards}
    wanted = {p.ref: p for p in pieces}
    used = dict.fromkeys((p.board_ref, p.board_copy) for p in placements)
    timber_mm3 = sum(by_ref[ref].volume_mm3 for ref, _ in used)
    finished_mm3 = sum(p.layers * _volume_mm3(wanted[p.piece_ref]) for p in placements)
    rough_mm3 = sum(
        p.layers * math.prod(wanted[p.piece_ref].rough_mm(saw.allowances)) for p in placements
    )
    return Layout(
        placements=tuple(placements),
        boards=tuple(by_ref[ref] for ref in dict.fromkeys(ref for ref, _ in used)),
        cost=sum((by_ref[ref].price for ref, _ in used), Decimal(0)),
        bound=None if missing or bound is None else min(bound, sum((by_ref[ref].price for ref, _ in used), Decimal(0))),
        missing=missing,
        shortage_proved=bool(missing) and shortage_proved,
        gross_yield=rough_mm3 / timber_mm3 if timber_mm3 else 0.0,
        net_yield=finished_mm3 / timber_mm3 if timber_mm3 else 0.0,
        kerf_mm=saw.kerf_mm,
        end_trim_mm=saw.end_trim_mm,
    )


def _volume_mm3(item) -> float:
    return item.length_mm * item.width_mm * item.thickness_mm
