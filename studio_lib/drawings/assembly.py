"""The order of assembly beside the piece taken apart: what goes together, which way, with glue or dry."""

from __future__ import annotations

from studio_lib.drawings.general import LIST_MM
from studio_lib.drawings.paper import SMALL_MM, Figure, wrapped
from studio_lib.piece import Piece
from studio_lib.piece.order import WAYS, Order, Stage, finish_before, order_of_work, screwed_before

NOTE_MM = 3.6
"""Height of a line of notes on paper; as ``Figure`` sets them."""
HEAD_MM = 12.0
"""Height that a figure of notes alone takes besides its lines."""
MOST_FAMILIES = 12


def assembly_figures(piece: Piece, high: float) -> list[Figure]:
    """The stages of a piece as numbered lines, in as many figures as a sheet of that height needs. [mm]

    None where a single member needs no assembly.
    """
    lines = _lines(piece)
    if len(piece.members) < 2 or not lines:
        return []
    out: list[Figure] = []
    room, used = (high - HEAD_MM) / NOTE_MM, 0.0
    for line in lines:
        tall = len(wrapped(line, LIST_MM, SMALL_MM))
        if not out or used + tall > room:
            out.append(Figure("Order of assembly" + (", continued" if out else ""), 1, table_mm=LIST_MM))
            used = 0.0
        out[-1].notes.append(line)
        used += tall
    return out


def _lines(piece: Piece) -> list[str]:
    order = order_of_work(piece)
    out = []
    if order.wide:
        out.append(f"First, boards glued edge to edge: {runs(order.wide)}.")
    out += [f"{n}. {_stage_words(order, stage)}" for n, stage in enumerate(order.stages, 1)]
    before = finish_before(piece)
    if before:
        out.append(f"Finished before they go in: {runs(before)}.")
    screws = [f"{a} to {b} before {c} goes on" for a, b, c in screwed_before(piece)]
    if screws:
        out.append(f"Screws that are covered later: {'; '.join(screws)}.")
    for words, told in (
        ("Dry, can come off again", [j.family for j in piece.joints if j.dry]),
        ("No glue, free to move", [j.family for j in piece.joints if j.unglued and not j.dry and not getattr(j, "held", 0)]),
        ("Glued along the one edge that is to stay, whatever goes in dry", [j.family for j in piece.joints if j.unglued and getattr(j, "held", 0)]),
    ):
        families = list(dict.fromkeys(told))
        if families:
            more = f" and {len(families) - MOST_FAMILIES} more" if len(families) > MOST_FAMILIES else ""
            out.append(f"{words}: {'; '.join(families[:MOST_FAMILIES])}{more}.")
    if order.locked:
        out.append(f"Cannot be put together as drawn: {'; '.join(runs(g) for g in order.locked)}.")
    return out + ["Fit every stage dry before glue is opened."] * any(s.glued for s in order.stages)


def _stage_words(order: Order, stage: Stage) -> str:
    """'A-A1 + A-L1, A-L2 + what 3 made, from left to right, glued.', in the order in which they lie that way."""
    made = {frozenset(s.refs): k for k, s in enumerate(order.stages, 1)}
    along = {w: sum(a * b for a, b in zip(w, stage.way)) for w in WAYS}
    nearest = max(along, key=lambda w: abs(along[w]))
    groups = []
    for group in stage.groups if along[nearest] > 0 else stage.groups[::-1]:
        from_stage = made.get(frozenset(group))
        groups.append(f"what {from_stage} made" if from_stage and len(group) > 1 else runs(group))
    return f"{' + '.join(_run_together(groups))}: {WAYS[nearest]}, {'glued' if stage.glued else 'dry'}."


def _run_together(groups: list[str]) -> list[str]:
    """Single members that follow each other as one run: 'A-U1 to A-U6'."""
    out: list[list[str]] = []
    for g in groups:
        single = " " not in g
        if single and out and " " not in out[-1][-1]:
            out[-1].append(g)
        else:
            out.append([g])
    return [runs(g) if len(g) > 1 else g[0] for g in out]


def runs(refs) -> str:
    """'A-K4, A-U16 to A-U9, A-K3': all references in their order, three or more that count up or down as one run."""
    parted: list[list[str]] = []
    for ref in refs:
        run = parted[-1] if parted else []
        step = _step(run[-1], ref) if run else 0
        if step and (len(run) == 1 or step == _step(run[-2], run[-1])):
            run.append(ref)
        else:
            parted.append([ref])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in parted)


def _step(before: str, ref: str) -> int:
    """1 or -1 where one reference follows the other in counting; 0 where it does not."""
    head = ref.rstrip("0123456789")
    if head != before.rstrip("0123456789") or head in (ref, before):
        return 0
    step = int(ref[len(head):]) - int(before[len(head):])
    return step if abs(step) == 1 else 0
