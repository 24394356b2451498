"""Taking a piece apart: each member moves the way its joints let it come out."""

from __future__ import annotations

import numpy as np

from studio_lib.piece.model import Piece, Vec

STEP_MM = 160.0
"""Distance between two members once their joint is drawn, in the picture only."""


def taken_apart(piece: Piece, step_mm: float = STEP_MM) -> dict[str, Vec]:
    """How far each member moves, in piece axes. [mm]

    Every joint and row of screws asks that its second member stand ``step_mm`` further
    along the direction of entry than its first, and level with it otherwise. The
    least-squares answer meets all of them at once where the piece can be taken apart
    member by member, and shares the difference where it cannot.
    """
    order = {m.ref: i for i, m in enumerate(piece.members)}
    asked: list[tuple[int, int, Vec]] = []
    for joint in piece.joints:
        way = joint.entry(piece)
        if way is not None:
            asked.append((order[joint.first], order[joint.second], way))
    for screws in piece.fixings:
        near = piece.member(screws.near).piece_box.centre
        far = piece.member(screws.far).piece_box
        way = (0.0, 0.0, 1.0) if far.centre[2] >= near[2] else (0.0, 0.0, -1.0)
        asked.append((order[screws.near], order[screws.far], way))
    if not asked:
        return {m.ref: (0.0, 0.0, 0.0) for m in piece.members}
    rows = np.zeros((len(asked) + 1, len(order)))
    wanted = np.zeros((len(asked) + 1, 3))
    for k, (first, second, way) in enumerate(asked):
        rows[k, second], rows[k, first] = 1.0, -1.0
        wanted[k] = np.multiply(way, step_mm)
    rows[-1] = 1.0 / len(order)
    moves = np.linalg.lstsq(rows, wanted, rcond=None)[0]
    lowest = min(moves[order[m.ref]][2] for m in piece.members)
    moves[:, 2] -= lowest
    return {ref: tuple(float(v) for v in moves[i].round(1) + 0.0) for ref, i in order.items()}
