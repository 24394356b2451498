"""Boards, and the layout of a cutting list on them."""

from studio_lib.stock.boards import (
    Allowances,
    Board,
    Cut,
    Fault,
    Layout,
    Offcut,
    Placed,
    Wanted,
)
from studio_lib.stock.checker import check_layout, replay
from studio_lib.stock.layout import lay_out

__all__ = [
    "Allowances",
    "Board",
    "Cut",
    "Fault",
    "Layout",
    "Offcut",
    "Placed",
    "Wanted",
    "check_layout",
    "lay_out",
    "replay",
]
