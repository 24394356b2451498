"""What to ask the yard for, what it costs, and what is left over."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from studio_lib.stock.boards import Board, Layout


@dataclass(frozen=True)
class Purchase:
    """Equal boards bought together."""

    board: Board
    count: int

    @property
    def cost(self) -> Decimal:
        return self.board.price * self.count

    @property
    def volume_m3(self) -> float:
        b = self.board
        return self.count * b.length_mm * b.width_mm * b.thickness_mm * 1e-9


def purchases(layout: Layout, boards) -> tuple[Purchase, ...]:
    """The boards a layout uses, equal ones together, in the order they were offered."""
    used = Counter(ref for ref, _copy in layout.boards_used)
    return tuple(Purchase(b, used[b.ref]) for b in boards if used[b.ref])
