"""An independent check of a layout, and the saw cuts that take its boards apart.

Shares nothing with the search but the dataclasses, so that a mistake there
cannot hide here. The edge-to-edge test is a recursion: any blade band that
separates the pieces on a part without touching one may be taken, because
whatever cut separates a set of pieces also separates each of its subsets.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import combinations

from studio_lib.stock.boards import NEVER, Allowances, Board, Cut, Fault, Layout, Placed, Wanted

TOUCH_MM = 1e-6
"""Two figures closer than this are the same figure."""

Rect = tuple[float, float, float, float]
"""x0, x1, y0, y1 on the board. [mm]"""


def check_layout(
    layout: Layout,
    pieces,
    boards,
    kerf_mm: float,
    *,
    allowances: Allowances = Allowances(),
    end_trim_mm: float = 0.0,
    resaw_kerf_mm: float | None = None,
    matches=(),
    pins=(),
) -> list[str]:
    """What is wrong with a layout, in plain words; an empty list when it is sound.

    Arguments are those that ``lay_out`` was given. [mm]
    """
    wanted = {p.ref: p for p in pieces}
    stock = {b.ref: b for b in boards}
    wrong = _unknown(layout, wanted, stock)
    if wrong:
        return wrong
    for key in layout.boards_used:
        board, placed = stock[key[0]], layout.on(key)
        for p in placed:
            wrong += _piece_faults(p, wanted[p.piece_ref], board, allowances,
                                   end_trim_mm, resaw_kerf_mm)
        near = _too_near(placed, kerf_mm)
        wrong += near
        if not near and take_apart(board, placed, kerf_mm).stuck:
            wrong.append(f"Board {_name(key)} cannot be cut edge to edge.")
    for match in matches:
        wrong += _match_faults(layout, match, kerf_mm)
    for pin in pins:
        wrong += _pin_faults(layout, pin)
    return wrong + _stock_faults(layout, stock) + _count_faults(layout, wanted) + _money_faults(
        layout, stock
    )


def sound_places(layout: Layout, key: tuple[str, int], pieces, boards, saw) -> list[Placed]:
    """What lies on one board of an older layout and may stay, for these pieces and boards.

    ``saw`` has ``kerf_mm``, ``end_trim_mm``, ``resaw_kerf_mm`` and ``allowances``.
    """
    wanted = {p.ref: p for p in pieces}
    board = next((b for b in boards if b.ref == key[0]), None)
    if board is None:
        return []
    kept: list[Placed] = []
    for p in layout.on(key):
        piece = wanted.get(p.piece_ref)
        if piece is None or piece.leaves > 1 or piece.only_on not in ("", board.ref):
            continue
        if not _piece_faults(p, piece, board, saw.allowances, saw.end_trim_mm, saw.resaw_kerf_mm) and not _too_near(
            [*kept, p], saw.kerf_mm
        ):
            kept.append(p)
    return kept if not take_apart(board, kept, saw.kerf_mm).stuck else []


def _match_faults(layout: Layout, match, kerf_mm: float) -> list[str]:
    """Pieces that must belong together and do not."""
    who = ", ".join(match.refs)
    placed = [p for p in layout.placements if p.piece_ref in match.refs]
    if match.kind == "book-matched":
        return [f"{p.piece_ref}: {p.layers} leaves from one place, book-matching wants pairs."
                for p in placed if p.layers % 2]
    if len({p.board for p in placed}) > 1:
        return [f"{who} must come from one board; they lie on {', '.join(sorted({_name(p.board) for p in placed}))}."]
    if match.kind == "consecutive" and len(placed) > 1:
        for axis in (0, 1):
            spans = sorted(_rect(p)[2 * axis : 2 * axis + 2] for p in placed)
            in_line = len({round(_rect(p)[2 - 2 * axis], 3) for p in placed}) == 1
            if in_line and all(abs(b[0] - a[1] - kerf_mm) <= TOUCH_MM for a, b in zip(spans, spans[1:])):
                return []
        return [f"{who} must lie next to each other, a kerf between; they do not."]
    return []


def _pin_faults(layout: Layout, pin) -> list[str]:
    made = sum(p.layers for p in layout.placements
               if p.piece_ref == pin.piece_ref and p.board_ref == pin.board_ref)
    if made + layout.missing.get(pin.piece_ref, 0) < pin.count:
        return [f"{pin.piece_ref}: {pin.count} were to come from {pin.board_ref}, {made} do."]
    return []


def _name(board: tuple[str, int]) -> str:
    return f"{board[0]} no. {board[1]}"


def _unknown(layout, wanted, stock) -> list[str]:
    wrong = [f"Piece {p.piece_ref} is not on the cutting list."
             for p in layout.placements if p.piece_ref not in wanted]
    return wrong + [f"Board {p.board_ref} is not on offer."
                    for p in layout.placements if p.board_ref not in stock]


def _piece_faults(
    placed: Placed, piece: Wanted, board: Board, allowances: Allowances,
    end_trim_mm: float, resaw_kerf_mm: float | None,
) -> list[str]:
    """One piece against the board under it."""
    who = f"{placed.piece_ref} on {_name(placed.board)}"
    length, width, thickness = piece.rough_mm(allowances)
    wrong = []
    for grain in piece.grain:
        if grain not in board.grain:
            wrong.append(f"{who}: wants {grain} grain, the board is not known to have it.")
    if board.timber != piece.timber:
        wrong.append(f"{who}: the board is {board.timber}, the piece wants {piece.timber}.")
    if abs(placed.length_mm - length) > TOUCH_MM or abs(placed.width_mm - width) > TOUCH_MM:
        wrong.append(
            f"{who}: laid out as {placed.length_mm:g} x {placed.width_mm:g}, "
            f"its rough size is {length:g} x {width:g}."
        )
    x0, x1, y0, y1 = _rect(placed)
    if (
        x0 < end_trim_mm - TOUCH_MM or x1 > board.length_mm - end_trim_mm + TOUCH_MM
        or y0 < -TOUCH_MM or y1 > min(board.width_at(x0), board.width_at(x1)) + TOUCH_MM
    ):
        wrong.append(f"{who}: runs outside the usable board.")
    layers = placed.layers
    if layers < 1 or (layers > 1 and resaw_kerf_mm is None):
        wrong.append(f"{who}: {layers} layers, without resawing only 1.")
    elif layers * thickness + (layers - 1) * (resaw_kerf_mm or 0) > board.thickness_mm + TOUCH_MM:
        wrong.append(
            f"{who}: {layers} of {thickness:g} do not come out of {board.thickness_mm:g} thick."
        )
    under = [f for f in board.faults if _overlap((x0, x1, y0, y1), _fault_rect(f))]
    bad = [_not_allowed(under, piece, shows, layers) for shows in ("front", "back")]
    for fault in min(bad, key=len):
        wrong.append(
            f"{who}: holds {fault.name or 'a fault'} of severity {fault.severity}, "
            f"rank {piece.rank!r} allows {piece.tolerates}."
        )
    return wrong


def _not_allowed(under, piece: Wanted, shows: str, layers: int) -> list[Fault]:
    """Faults that a piece may not hold when it shows one face of the board.

    A fault on the other face of a piece not resawn counts only where both faces are seen
    or nothing would hold there.
    """
    both_seen = piece.rank == "show" and piece.shown == "both"
    return [
        f for f in under
        if f.severity > piece.tolerates
        and (f.face in ("both", shows) or layers > 1 or both_seen or f.severity >= NEVER)
    ]


def _too_near(placed, kerf_mm: float) -> list[str]:
    """Pairs that overlap or leave less than a kerf between them."""
    wrong = []
    for a, b in combinations(placed, 2):
        ax0, ax1, ay0, ay1 = _rect(a)
        bx0, bx1, by0, by1 = _rect(b)
        apart_x = max(bx0 - ax1, ax0 - bx1)
        apart_y = max(by0 - ay1, ay0 - by1)
        if max(apart_x, apart_y) < kerf_mm - TOUCH_MM:
            wrong.append(
                f"{a.piece_ref} and {b.piece_ref} on {_name(a.board)} overlap or leave "
                f"less than the kerf of {kerf_mm:g}."
            )
    return wrong


def _stock_faults(layout: Layout, stock) -> list[str]:
    wrong = []
    copies: dict[str, set[int]] = {}
    for ref, copy in layout.boards_used:
        copies.setdefault(ref, set()).add(copy)
    for ref, used in copies.items():
        count = stock[ref].count
        if count is not None and len(used) > count:
            wrong.append(f"Board {ref} is used {len(used)} times, there are {count}.")
        if min(used) < 1 or (count is not None and max(used) > count >= len(used)):
            wrong.append(f"Board {ref} is numbered outside 1 to {count}.")
    return wrong


def _count_faults(layout: Layout, wanted) -> list[str]:
    made: Counter[str] = Counter()
    for p in layout.placements:
        made[p.piece_ref] += p.layers
    wrong = []
    for ref, piece in wanted.items():
        missing = layout.missing.get(ref, 0)
        if made[ref] + missing != piece.count:
            wrong.append(
                f"{ref}: {made[ref]} made and {missing} said to be missing, {piece.count} wanted."
            )
    return wrong


def _money_faults(layout: Layout, stock) -> list[str]:
    cost = sum((stock[ref].price for ref, _ in layout.boards_used), Decimal(0))
    wrong = []
    if cost != layout.cost:
        wrong.append(f"The boards used cost {cost}, the layout says {layout.cost}.")
    if layout.bound is not None and not layout.missing and layout.bound > layout.cost:
        wrong.append(f"The bound {layout.bound} is above the cost {layout.cost}.")
    return wrong


def _rect(p: Placed) -> Rect:
    return (p.x_mm, p.x_mm + p.length_mm, p.y_mm, p.y_mm + p.width_mm)


def _fault_rect(f: Fault) -> Rect:
    return (f.x0_mm, f.x1_mm, f.y0_mm, f.y1_mm)


def _overlap(a: Rect, b: Rect) -> bool:
    return (
        min(a[1], b[1]) - max(a[0], b[0]) > TOUCH_MM
        and min(a[3], b[3]) - max(a[2], b[2]) > TOUCH_MM
    )


@dataclass(frozen=True)
class Sawn:
    """A board taken apart: the cuts, what each last part is, and what would not come apart."""

    cuts: tuple[Cut, ...]
    leftovers: tuple[Rect, ...]
    stuck: tuple[tuple[Placed, ...], ...]


def take_apart(board: Board, placed, kerf_mm: float, rip_first: bool = False) -> Sawn:
    """Saw a board into its pieces by edge-to-edge cuts.

    A part is first trimmed to the pieces on it, across the grain before along it,
    so that leftovers stay long; then separated between two pieces.
    """
    return _taken_apart(board, tuple(placed), kerf_mm, rip_first)


@lru_cache(maxsize=512)
def _taken_apart(board: Board, placed: tuple[Placed, ...], kerf_mm: float, rip_first: bool) -> Sawn:
    """Kept, since a layout that the maker kept is asked about again with every size that moves."""
    parts: list[tuple[Rect, tuple[Placed, ...]]] = [
        ((0.0, board.length_mm, 0.0, board.widest_mm), placed)
    ]
    cuts, leftovers, stuck = [], [], []
    todo = [0]
    while todo:
        number = todo.pop()
        rect, held = parts[number]
        if not held:
            leftovers.append(rect)
            continue
        found = _trim(rect, held, kerf_mm) or _separate(held, kerf_mm, (1, 0) if rip_first else (0, 1))
        if found is None:
            if len(held) > 1:
                stuck.append(held)
            continue
        axis, at = found
        children = []
        for child in _divide(rect, held, axis, at, kerf_mm):
            if child is None:
                children.append(None)
            else:
                parts.append(child)
                children.append(len(parts) - 1)
        cuts.append(
            Cut(
                number, "rip" if axis else "crosscut", at - rect[2 * axis],
                *children, *(_what(parts, child) for child in children),
            )
        )
        todo += [c for c in reversed(children) if c is not None]
    return Sawn(tuple(cuts), tuple(leftovers), tuple(stuck))


def _trim(rect: Rect, held, kerf_mm: float) -> tuple[int, float] | None:
    """A cut along the outside of all pieces on a part, or None when it is trimmed."""
    for axis in (0, 1):
        low = min(_rect(p)[2 * axis] for p in held)
        high = max(_rect(p)[2 * axis + 1] for p in held)
        if rect[2 * axis + 1] - high > TOUCH_MM:
            return axis, high
        if low - rect[2 * axis] > TOUCH_MM:
            return axis, low - kerf_mm
    return None


def _separate(held, kerf_mm: float, axes=(0, 1)) -> tuple[int, float] | None:
    """The first blade band that parts the pieces without touching one."""
    for axis in axes:
        spans = sorted((_rect(p)[2 * axis], _rect(p)[2 * axis + 1]) for p in held)
        reached = spans[0][1]
        for start, end in spans[1:]:
            if start >= reached + kerf_mm - TOUCH_MM:
                return axis, reached
            reached = max(reached, end)
    return None


def _divide(rect: Rect, held, axis: int, at: float, kerf_mm: float):
    """The parts before and beyond a blade, None where no timber is left."""
    for low, high in ((rect[2 * axis], at), (at + kerf_mm, rect[2 * axis + 1])):
        inside = tuple(
            p for p in held
            if _rect(p)[2 * axis] >= low - TOUCH_MM and _rect(p)[2 * axis + 1] <= high + TOUCH_MM
        )
        if high - low <= TOUCH_MM:
            yield None
        else:
            part = list(rect)
            part[2 * axis], part[2 * axis + 1] = low, high
            yield tuple(part), inside


def _what(parts, number: int | None) -> str:
    """What a part is: a piece, an offcut, or something still to cut."""
    if number is None:
        return ""
    rect, held = parts[number]
    if not held:
        return "offcut"
    if len(held) == 1 and all(abs(a - b) <= TOUCH_MM for a, b in zip(rect, _rect(held[0]))):
        return held[0].piece_ref
    return "to cut"


def replay(board: Board, cuts, kerf_mm: float) -> list[tuple[str, float, float, float, float]]:
    """Saw the raw board by a list of cuts: (what, x, y, length, width) of every last part. [mm]

    Errors
    ------
    ValueError
        A cut names a part that is not on the bench, or misses it.
    """
    bench = {0: (0.0, 0.0, board.length_mm, board.widest_mm, "to cut")}
    for cut in cuts:
        if cut.part not in bench:
            raise ValueError(f"Part {cut.part} is not on the bench. Cut it free first.")
        x, y, length, width, _ = bench.pop(cut.part)
        along = cut.kind == "crosscut"
        size = length if along else width
        if not -kerf_mm - TOUCH_MM <= cut.at_mm <= size + TOUCH_MM:
            raise ValueError(
                f"Part {cut.part} is {size:g} mm, a {cut.kind} at {cut.at_mm:g} mm misses it."
            )
        beyond = cut.at_mm + kerf_mm
        if cut.near is not None:
            bench[cut.near] = (
                (x, y, cut.at_mm, width, cut.near_is) if along
                else (x, y, length, cut.at_mm, cut.near_is)
            )
        if cut.far is not None:
            bench[cut.far] = (
                (x + beyond, y, length - beyond, width, cut.far_is) if along
                else (x, y + beyond, length, width - beyond, cut.far_is)
            )
    return [(what, x, y, length, width) for x, y, length, width, what in bench.values()]


def sound_rectangle(rect: Rect, faults) -> Rect:
    """The largest stretch of a leftover, full width or full length, without split or rot. [mm]"""
    bad = [_fault_rect(f) for f in faults
           if f.severity >= NEVER and _overlap(rect, _fault_rect(f))]
    x0, x1, y0, y1 = rect
    stretches = [(a, b, y0, y1) for a, b in _clear_runs(x0, x1, [(f[0], f[1]) for f in bad])]
    stretches += [(x0, x1, a, b) for a, b in _clear_runs(y0, y1, [(f[2], f[3]) for f in bad])]
    return max(stretches, key=lambda r: (r[1] - r[0]) * (r[3] - r[2]), default=(x0, x0, y0, y0))


def _clear_runs(low: float, high: float, blocked) -> list[tuple[float, float]]:
    runs, at = [], low
    for start, end in sorted(blocked):
        if start > at:
            runs.append((at, min(start, high)))
        at = max(at, end)
    if at < high:
        runs.append((at, high))
    return runs
