"""Taking a piece apart: the order of assembly read backwards, each group drawn off the way its joints enter."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from studio_lib.piece.model import Piece, Vec
from studio_lib.piece.order import Stage, laid_in, linked, order_of_work

STEP_MM = 160.0
"""Distance between two groups once their joints are drawn, in the picture only."""
FURTHEST_MM = 1100.0
"""No stage spreads further than this, however many groups lie in one line."""
LEAST_MM = 45.0


@lru_cache(maxsize=64)
def steps_apart(piece: Piece, step_mm: float = STEP_MM) -> tuple[dict[str, Vec], ...]:
    """What moves how far at each step, the joints closed last drawn first. [mm, piece axes]

    At one step every group moves in a straight line along the direction in which its joints
    enter. Sub-assemblies of the same rank come apart at the same step. Members that no order
    can part stay together. At least one step, of no length where nothing comes apart.
    """
    stages = order_of_work(piece).stages
    of = [frozenset(s.refs) for s in stages]
    rank = [sum(refs < others for others in of) for refs in of]
    steps = [{m.ref: (0.0, 0.0, 0.0) for m in piece.members} for _ in range(max(rank, default=0) + 1)]
    links = [link for link in (*laid_in(piece), *linked(piece)) if link.way is not None]
    row = {m.ref: n for n, m in enumerate(piece.members)}
    corners = np.array([(b.lo, b.hi) for b in (m.piece_box for m in piece.members)])
    spread = np.zeros((len(row), 3))  # by the stages within, that come apart later
    for stage, step in zip(stages, rank):
        moves = _drawn(row, corners, links, stage, step_mm, spread)
        steps[step] |= moves
        spread[[row[ref] for ref in moves]] += list(moves.values())
    return tuple(steps)


def taken_apart(piece: Piece, step_mm: float = STEP_MM) -> dict[str, Vec]:
    """Where each member has moved once the piece is wholly apart; none lower than it stood. [mm, piece axes]"""
    return {ref: tuple(float(v) for v in np.sum([step[ref] for step in steps_apart(piece, step_mm)], axis=0))
            for ref in (m.ref for m in piece.members)}


def _drawn(row: dict[str, int], corners: np.ndarray, links, stage: Stage, step_mm: float, spread) -> dict[str, Vec]:
    of = {ref: n for n, group in enumerate(stage.groups) for ref in group}
    way = np.array(stage.way)
    follows = set()
    for link in links:
        a, b = of.get(link.first), of.get(link.second)
        if a is not None and b is not None and a != b:
            along = sum(x * y for x, y in zip(link.way, stage.way))
            if abs(along) > 1e-6:
                follows.add((a, b) if along > 0 else (b, a))
    step = max(min(step_mm, FURTHEST_MM / _longest(len(stage.groups), follows)), LEAST_MM)
    # What comes apart within a group later needs its own room along the way.
    out = (spread @ way).tolist()
    room = [[out[row[r]] for r in group] for group in stage.groups]

    def clear(a, b):
        return step + max(room[a]) - min(room[b])

    # Groups stand in order along the way, so one pass each way finds how far out each must be.
    at = [0.0] * len(stage.groups)
    for n in range(len(at)):
        at[n] = max((at[a] + clear(a, b) for a, b in follows if b == n), default=0.0)
    for n in reversed(range(len(at))):
        at[n] = max(at[n], min((at[b] - clear(a, b) for a, b in follows if a == n), default=at[n]))
    if abs(way[2]) > 0.7:
        rests = min(at) if way[2] > 0 else max(at)  # what stands below stays where it is
    else:
        # What stands off the middle spreads outwards, clear of its neighbours.
        aside = _middle(corners[[row[r] for r in stage.refs]], way) - _middle(corners, way)
        rests = (max(at) + min(at)) / 2 if abs(aside) < 10 else min(at) if aside > 0 else max(at)
    moves = (np.outer(np.subtract(at, rests), way).round(3) + 0.0).tolist()
    return {ref: tuple(moves[n]) for n, group in enumerate(stage.groups) for ref in group}


def _middle(corners: np.ndarray, way: np.ndarray) -> float:
    """Half way along boxes given by two corners each, n x 2 x 3, seen along a direction. [mm]"""
    along = corners @ way
    return float(along.min() + along.max()) / 2


def _longest(count: int, follows) -> int:
    """Most groups that follow one another, the first not counted; at least 1."""
    level = [0] * count
    for n in range(count):
        level[n] = max((level[a] + 1 for a, b in follows if b == n), default=0)
    return max(*level, 1)
