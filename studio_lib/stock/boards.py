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

FACES = ("both", "front", "back")
"""Where a fault shows: right through, or on one face only."""

GRAINS = ("straight", "quarter-sawn")
"""What a board's grain can be known for, and a piece can ask for."""

MATCHES = ("same board", "consecutive", "book-matched")
"""How pieces can belong together: out of one board; lying next to each other in it; leaves of one place, resawn."""

TAPER_STEPS = 8
"""A tapering edge is treated as this many steps."""


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


def _grain(owner: str, grain) -> None:
    for g in grain:
        if g not in GRAINS:
            raise ValueError(f"{owner}: grain is {g!r}; choose from {', '.join(GRAINS)}.")


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
    shown: str = "both"
    """'one' where only one face of a show piece is seen: the other may hold what a hidden piece may."""
    grain: tuple[str, ...] = ()
    """Any of GRAINS; only boards known to have it will do."""
    only_on: str = ""
    """Reference of the one board it may come from; empty for any."""
    leaves: int = 1
    """Copies that must be resawn from one place: 2 for a book-matched pair."""

    def __post_init__(self):
        owner = f"Piece {self.ref}"
        if self.shown not in ("one", "both"):
            raise ValueError(f"{owner}: faces shown are {self.shown!r}; choose 'one' or 'both'.")
        _grain(owner, self.grain)
        object.__setattr__(self, "grain", tuple(self.grain))
        if self.count % self.leaves:
            raise ValueError(
                f"{owner}: {self.count} do not make sets of {self.leaves} to be resawn together. "
                "Ask for a spare to make the number up."
            )
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
    """A place in a board that a clean piece must avoid, or, where it is let show, one that is only told of."""

    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float
    severity: int
    """0 small and sound, and let show, 1 small sound knot or nail hole, 2 larger knot or wane, 3 split, end check or rot."""
    name: str = ""
    face: str = "both"

    def __post_init__(self):
        owner = f"Fault {self.name or 'without a name'}"
        if self.face not in FACES:
            raise ValueError(f"{owner}: face is {self.face!r}; choose one of {', '.join(FACES)}.")
        if not (self.x0_mm < self.x1_mm and self.y0_mm < self.y1_mm):
            raise ValueError(
                f"{owner}: it runs from x {self.x0_mm} to {self.x1_mm} and y {self.y0_mm} "
                f"to {self.y1_mm}; give the lower figure first, and some size both ways."
            )
        if self.severity not in (0, 1, 2, NEVER):
            raise ValueError(f"{owner}: severity is {self.severity}; it must be 0, 1, 2 or 3.")


WHOSE = {"yard": "a yard's", "rack": "from the rack", "client": "the client's own"}
"""Whose a board is, by the word kept for it."""


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
    width_end_mm: float | None = None
    """Width at the right end where the board tapers; ``width_mm`` is then that at the left end."""
    grain: tuple[str, ...] = ()
    """What its grain is known for, of GRAINS."""
    grade: str = ""
    yard: str = ""
    """Who sells it; empty where there is one yard only."""
    asked: str = ""
    """How the yard calls it: '225 x 32 mm sawn, 2.4 m and up'; empty for a board seen."""

    def __post_init__(self):
        owner = f"Board {self.ref}"
        _positive(owner, length_mm=self.length_mm, width_mm=self.width_mm,
                  thickness_mm=self.thickness_mm, width_end_mm=self.end_mm)
        _grain(owner, self.grain)
        object.__setattr__(self, "price", Decimal(self.price))
        object.__setattr__(self, "faults", tuple(self.faults))
        object.__setattr__(self, "grain", tuple(self.grain))
        for f in self.faults:
            if f.x0_mm >= self.length_mm or f.y0_mm >= self.widest_mm or f.x1_mm <= 0 or f.y1_mm <= 0:
                raise ValueError(
                    f"{owner}: fault {f.name or 'without a name'} at {f.x0_mm:g}-{f.x1_mm:g} along, "
                    f"{f.y0_mm:g}-{f.y1_mm:g} across lies off the board of {self.length_mm:g} x {self.widest_mm:g}. "
                    "Measure along from the left end and across from the lower edge."
                )
        if not self.price.is_finite() or self.price < 0:
            raise ValueError(f"{owner}: price is {self.price}; it must be 0 or more.")
        if self.count is not None:
            _count(owner, self.count)
        if self.source not in WHOSE:
            raise ValueError(f"{owner}: source is {self.source!r}; choose {', '.join(map(repr, list(WHOSE)[:-1]))} or {list(WHOSE)[-1]!r}.")

    @property
    def is_bought(self) -> bool:
        """Whether a yard sells it; what lies in the rack or is the client's own is not asked for anywhere."""
        return self.source == "yard"

    @property
    def end_mm(self) -> float:
        """Width at the right end. [mm]"""
        return self.width_mm if self.width_end_mm is None else self.width_end_mm

    @property
    def widest_mm(self) -> float:
        return max(self.width_mm, self.end_mm)

    @property
    def tapers(self) -> bool:
        return self.end_mm != self.width_mm

    def width_at(self, x_mm: float) -> float:
        """Width at a distance from the left end. [mm]"""
        return self.width_mm + (self.end_mm - self.width_mm) * min(max(x_mm / self.length_mm, 0.0), 1.0)

    @property
    def volume_mm3(self) -> float:
        return self.length_mm * (self.width_mm + self.end_mm) / 2 * self.thickness_mm

    def beyond_the_edge(self, generous: bool = False) -> tuple[Fault, ...]:
        """What a tapering board lacks of its widest, as steps on the safe or on the generous side."""
        if not self.tapers:
            return ()
        step, side, out = self.length_mm / TAPER_STEPS, max if generous else min, []
        for n in range(TAPER_STEPS):
            low = side(self.width_at(n * step), self.width_at((n + 1) * step))
            if low < self.widest_mm:
                out.append(Fault(n * step, (n + 1) * step, low, self.widest_mm, NEVER, "beyond the edge"))
        return tuple(out)


@dataclass(frozen=True)
class Match:
    """Pieces that must belong together, in their order, and how (of MATCHES)."""

    kind: str
    refs: tuple[str, ...]

    def __post_init__(self):
        if self.kind not in MATCHES:
            raise ValueError(f"Matching is {self.kind!r}; choose one of {', '.join(MATCHES)}.")
        object.__setattr__(self, "refs", tuple(self.refs))


@dataclass(frozen=True)
class Pin:
    """A choice of the maker's: so many of a piece from this board."""

    piece_ref: str
    board_ref: str
    count: int = 1

    def __post_init__(self):
        _count(f"Choice of {self.piece_ref} from {self.board_ref}", self.count)


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
class CutLine:
    """A saw cut as it lies on the whole board, a kerf wide. [mm]"""

    number: int
    kind: str
    x0_mm: float
    x1_mm: float
    y0_mm: float
    y1_mm: float


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
    first_cut: str = "either"
    """What the saw does to a whole board first: 'crosscut', 'rip', or either."""

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

        ways = {"either": (False, True), "crosscut": (False,), "rip": (True,)}[self.first_cut]
        sawn = [take_apart(self.board(board[0]), self.on(board), self.kerf_mm, rip_first) for rip_first in ways]
        return min(sawn, key=lambda s: len(s.cuts))

    def cut_lines(self, board: tuple[str, int]) -> tuple[CutLine, ...]:
        """The cuts of one board in their order, where they lie on the whole board."""
        whole = self.board(board[0])
        at = {0: (0.0, whole.length_mm, 0.0, whole.widest_mm)}
        lines = []
        for n, cut in enumerate(self.cuts(board), 1):
            x0, x1, y0, y1 = at[cut.part]
            beyond = cut.at_mm + self.kerf_mm
            if cut.kind == "crosscut":
                lines.append(CutLine(n, cut.kind, x0 + cut.at_mm, x0 + beyond, y0, y1))
                near, far = (x0, x0 + cut.at_mm, y0, y1), (x0 + beyond, x1, y0, y1)
            else:
                lines.append(CutLine(n, cut.kind, x0, x1, y0 + cut.at_mm, y0 + beyond))
                near, far = (x0, x1, y0, y0 + cut.at_mm), (x0, x1, y0 + beyond, y1)
            if cut.near is not None:
                at[cut.near] = near
            if cut.far is not None:
                at[cut.far] = far
        return tuple(lines)

    @cached_property
    def offcuts(self) -> tuple[Offcut, ...]:
        """Leftovers worth keeping, the longest first, cut clear of splits and rot."""
        from studio_lib.stock.checker import sound_rectangle

        least_length, least_width = self.least_offcut_mm
        found = []
        for ref, copy in self.boards_used:
            board = self.board(ref)
            for part in self._sawn((ref, copy)).leftovers:
                x0, x1, y0, y1 = part
                part = (x0, x1, y0, min(y1, board.width_at(x0), board.width_at(x1)))
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
            "first_cut": self.first_cut,
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
            first_cut=plain.get("first_cut", "either"),
        )


def worth(layout: Layout, pieces) -> tuple:
    """The less, the better: finished volume of what is missing (mm3), which is bought by volume; cost; number of boards."""
    mm3 = {p.ref: round(p.length_mm * p.width_mm * p.thickness_mm) for p in pieces}
    return sum(n * mm3[ref] for ref, n in layout.missing.items()), layout.cost, len(layout.boards_used)
