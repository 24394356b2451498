"""Pieces wanted, boards on offer, and a layout of the one on the other.

Axes on a board: x along the grain from the left end, y across from the lower
edge. A layout stands by itself: it carries the boards it uses and the saw it
was made for, so that an old one can be shown and checked without solving again.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

RANKS = {"show": 0, "plain": 1, "hidden": 2}
"""Worst fault that a piece of each rank may hold."""

NEVER = 3
"""Severity that no piece may hold: split, end check, rot."""


def _positive(owner: str, **fields: float) -> None:
    for name, value in fields.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(
                f"{owner}: {name} is {value}; it must be above 0. Measure it and give it in mm."
            )


def _not_negative(owner: str, **fields: float) -> None:
    for name, value in fields.items():
        if not (math.isfinite(value) and value >= 0):
            raise ValueError(f"{owner}: {name} is {value}; it must be 0 or more, in mm.")


def _count(owner: str, count: int) -> None:
    if count < 1 or int(count) != count:
        raise ValueError(f"{owner}: count is {count}; it must be a whole number from 1 up.")


@dataclass(frozen=True)
class Allowances:
    """What a finished size grows by before it is sawn: docking, edges, dressing."""

    length_mm: float = 0.0
    width_mm: float = 0.0
    thickness_mm: float = 0.0

    def __post_init__(self):
        _not_negative(
            "Allowances", length_mm=self.length_mm, width_mm=self.width_mm,
            thickness_mm=self.thickness_mm,
        )


@dataclass(frozen=True)
class Wanted:
    """One line of the cutting list, at its finished size with tenons included."""

    ref: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    count: int
    rank: str
    """'show' holds no fault, 'plain' small sound knots, 'hidden' larger ones."""
    timber: str

    def __post_init__(self):
        owner = f"Piece {self.ref}"
        _positive(owner, length_mm=self.length_mm, width_mm=self.width_mm,
                  thickness_mm=self.thickness_mm)
        _count(owner, self.count)
        if self.rank not in RANKS:
            raise ValueError(
                f"{owner}: rank is {self.rank!r}; choose one of {', '.join(RANKS)}."
            )

    @property
    def tolerates(self) -> int:
        return RANKS[self.rank]

    def rough_mm(self, allowances: Allowances) -> tuple[float, float, float]:
        """Sawn length, width and thickness. [mm]"""
        return (
            self.length_mm + allowances.length_mm,
            self.width_mm + allowances.width_mm,
            self.thickness_mm + allowances.thickness_mm,
        )


@dataclass(frozen=True)
class Fault:
    """A place in a board, right through it, that a clean piece must avoid."""

    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float
    severity: int
    """1 small sound knot, 2 larger knot or wane, 3 split, end check or rot."""
    name: str = ""

    def __post_init__(self):
        owner = f"Fault {self.name or 'without a name'}"
        if not (self.x0_mm < self.x1_mm and self.y0_mm < self.y1_mm):
            raise ValueError(
                f"{owner}: it runs from x {self.x0_mm} to {self.x1_mm} and y {self.y0_mm} "
                f"to {self.y1_mm}; give the lower figure first, and some size both ways."
            )
        if self.severity not in (1, 2, NEVER):
            raise ValueError(f"{owner}: severity is {self.severity}; it must be 1, 2 or 3.")


@dataclass(frozen=True)
class Board:
    """One board, or several alike, that could be bought or is in the rack."""

    ref: str
    timber: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    price: Decimal
    """For one board."""
    count: int | None = 1
    """None where the yard has plenty."""
    faults: tuple[Fault, ...] = ()
    source: str = "yard"

    def __post_init__(self):
        owner = f"Board {self.ref}"
        _positive(owner, length_mm=self.length_mm, width_mm=self.width_mm,
                  thickness_mm=self.thickness_mm)
        object.__setattr__(self, "price", Decimal(self.price))
        object.__setattr__(self, "faults", tuple(self.faults))
        if not self.price.is_finite() or self.price < 0:
            raise ValueError(f"{owner}: price is {self.price}; it must be 0 or more.")
        if self.count is not None:
            _count(owner, self.count)
        if self.source not in ("yard", "rack"):
            raise ValueError(f"{owner}: source is {self.source!r}; choose 'yard' or 'rack'.")


@dataclass(frozen=True)
class Placed:
    """A rough piece on a board; ``layers`` copies one above the other, resawn after."""

    board_ref: str
    board_copy: int
    """1 for the first board of its kind."""
    piece_ref: str
    x_mm: float
    y_mm: float
    layers: int
    length_mm: float
    width_mm: float

    @property
    def board(self) -> tuple[str, int]:
        return (self.board_ref, self.board_copy)


@dataclass(frozen=True)
class Offcut:
    """A leftover worth keeping; faults it still holds are those of the board under it."""

    board_ref: str
    board_copy: int
    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    thickness_mm: float


@dataclass(frozen=True)
class Cut:
    """One saw cut. Part 0 is the raw board; each cut makes up to two new parts."""

    part: int
    kind: str
    """'crosscut' or 'rip'."""
    at_mm: float
    """Near side of the blade, from the part's left end (crosscut) or lower edge (rip)."""
    near: int | None
    """Part before the blade; None where nothing is left of it."""
    far: int | None
    """Part beyond the blade; None where nothing is left of it."""
    near_is: str
    """Reference of the piece it is, 'offcut', 'to cut' or '' where nothing is left."""
    far_is: str


@dataclass(frozen=True)
class Layout:
    """Which piece comes out of which board, what that costs, and how good it is known to be."""

    placements: tuple[Placed, ...]
    boards: tuple[Board, ...]
    """Every kind of board used, with its faults."""
    cost: Decimal
    bound: Decimal | None
    """No edge-to-edge layout of these pieces on these boards costs less; None if not known."""
    missing: dict[str, int]
    """Pieces without a place: reference to number."""
    shortage_proved: bool
    """True where it is certain that the boards cannot hold everything."""
    gross_yield: float
    """Rough volume of the pieces over the volume of the boards used."""
    net_yield: float
    """Finished volume of the pieces over the volume of the boards used."""
    kerf_mm: float
    end_trim_mm: float
    least_offcut_mm: tuple[float, float] = (300.0, 40.0)
    """Length and width from which a leftover is worth keeping."""

    @cached_property
    def boards_used(self) -> tuple[tuple[str, int], ...]:
        return tuple(dict.fromkeys(p.board for p in self.placements))

    @property
    def gap_pct(self) -> float | None:
        """How far the cost may still be above the cheapest, rounded up to 0.1. [%]"""
        if self.bound is None or self.missing:
            return None
        if self.cost == self.bound:
            return 0.0
        if self.bound <= 0:
            return None
        return math.ceil((self.cost - self.bound) / self.bound * 1000) / 10

    @property
    def state(self) -> str:
        """'proved cheapest', 'within x %' or 'no proof'."""
        gap = self.gap_pct
        if gap is None:
            return "no proof"
        return "proved cheapest" if gap == 0 else f"within {gap:.1f} %"

    def board(self, ref: str) -> Board:
        for board in self.boards:
            if board.ref == ref:
                return board
        raise KeyError(
            f"No board {ref!r} in this layout. It uses: "
            f"{', '.join(b.ref for b in self.boards) or 'none'}."
        )

    def on(self, board: tuple[str, int]) -> tuple[Placed, ...]:
        """Pieces on one board, given by its reference and copy."""
        return tuple(p for p in self.placements if p.board == tuple(board))

    def cuts(self, board: tuple[str, int]) -> tuple[Cut, ...]:
        """The saw cuts that take one board apart, in an order that can be sawn."""
        return self._sawn(board).cuts

    def _sawn(self, board: tuple[str, int]):
        from studio_lib.stock.checker import take_apart

        return take_apart(self.board(board[0]), self.on(board), self.kerf_mm)

    @cached_property
    def offcuts(self) -> tuple[Offcut, ...]:
        """Leftovers worth keeping, the longest first, cut clear of splits and rot."""
        from studio_lib.stock.checker import sound_rectangle

        least_length, least_width = self.least_offcut_mm
        found = []
        for ref, copy in self.boards_used:
            board = self.board(ref)
            for part in self._sawn((ref, copy)).leftovers:
                x0, x1, y0, y1 = sound_rectangle(part, board.faults)
                if x1 - x0 >= least_length and y1 - y0 >= least_width:
                    found.append(
                        Offcut(ref, copy, x0, y0, x1 - x0, y1 - y0, board.thickness_mm)
                    )
        return tuple(sorted(found, key=lambda o: (-o.length_mm, -o.width_mm, o.board_ref)))

    def to_plain(self) -> dict:
        """Lists, texts and numbers only, ready for JSON; money as text."""
        return {
            "placements": [list(vars(p).values()) for p in self.placements],
            "boards": [
                {
                    **vars(b), "price": str(b.price),
                    "faults": [list(vars(f).values()) for f in b.faults],
                }
                for b in self.boards
            ],
            "cost": str(self.cost),
            "bound": None if self.bound is None else str(self.bound),
            "missing": dict(self.missing),
            "shortage_proved": self.shortage_proved,
            "gross_yield": self.gross_yield,
            "net_yield": self.net_yield,
            "kerf_mm": self.kerf_mm,
            "end_trim_mm": self.end_trim_mm,
            "least_offcut_mm": list(self.least_offcut_mm),
        }

    @classmethod
    def from_plain(cls, plain: dict) -> Layout:
        """The layout that ``to_plain`` wrote."""
        return cls(
            placements=tuple(Placed(*row) for row in plain["placements"]),
            boards=tuple(
                Board(**{**row, "faults": tuple(Fault(*f) for f in row["faults"])})
                for row in plain["boards"]
            ),
            cost=Decimal(plain["cost"]),
            bound=None if plain["bound"] is None else Decimal(plain["bound"]),
            missing=dict(plain["missing"]),
            shortage_proved=plain["shortage_proved"],
            gross_yield=plain["gross_yield"],
            net_yield=plain["net_yield"],
            kerf_mm=plain["kerf_mm"],
            end_trim_mm=plain["end_trim_mm"],
            least_offcut_mm=tuple(plain["least_offcut_mm"]),
        )
