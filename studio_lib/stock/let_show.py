"""Old nail holes and small sound knots that the client wants to see: which they are, and where they would lie in a joint."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.stock.boards import NEVER, Allowances, Board, Layout

END_MM = 60.0
"""From a part's end, about as far as a joint reaches; common practice, no source."""
EDGE_MM = 6.0
"""From a part's edge, where boards are glued side by side; common practice, no source."""
KEPT_OUT = "keep out"
"""In the name of a mark that is not let show though its lot is."""


def let_show(board: Board) -> Board:
    """The board with its small sound marks let show; larger knots, splits and rot stay what they are."""
    return replace(board, faults=tuple(replace(f, severity=0) if _small(f) else f for f in board.faults))


def _small(fault) -> bool:
    name = fault.name.lower()
    return KEPT_OUT not in name and (fault.severity == 1 or (fault.severity < NEVER and "hole" in name))


@dataclass(frozen=True)
class Mark:
    """A mark let show that lies near an end or at an edge of a part."""

    board: str
    piece: str
    name: str
    end: bool


def in_joints(layout: Layout, allow: Allowances) -> list[Mark]:
    """Marks let show that a part holds within ``END_MM`` of its finished ends or ``EDGE_MM`` of its edges."""
    out = []
    for p in layout.placements:
        x0, x1 = p.x_mm + allow.length_mm / 2, p.x_mm + p.length_mm - allow.length_mm / 2
        y0, y1 = p.y_mm + allow.width_mm / 2, p.y_mm + p.width_mm - allow.width_mm / 2
        for f in layout.board(p.board_ref).faults:
            if f.severity or f.x1_mm <= x0 or f.x0_mm >= x1 or f.y1_mm <= y0 or f.y0_mm >= y1:
                continue
            end = f.x0_mm < x0 + END_MM or f.x1_mm > x1 - END_MM
            if end or f.y0_mm < y0 + EDGE_MM or f.y1_mm > y1 - EDGE_MM:
                out.append(Mark(p.board_ref, p.piece_ref, f.name, end))
    return list(dict.fromkeys(out))
