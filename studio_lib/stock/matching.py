"""Pieces that belong together, and choices that stay, brought into a form the search can lay out.

* A pinned piece may come from its board only.
* Pieces from one board are pinned to the board that a first layout does best with.
* Consecutive pieces become one block, sawn apart after: end to end, so that the grain runs on
  from one to the next, or side by side; whichever a first layout does better with.
* Book-matched pieces are leaves resawn from one place.

What comes back from the search is unfolded into the maker's own pieces and boards.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from studio_lib.stock.boards import Allowances, Board, Match, Pin, Placed, Wanted, worth

PART = "\x1f"
"""Stands between a reference and the mark of a part of its line; no reference holds it."""
ONE_OF = "\x1e"
MOST_TRIED = 24
"""Boards tried for pieces that must come from one."""


@dataclass(frozen=True)
class _Block:
    """Consecutive pieces as one: each with its place in the block. [mm]"""

    parts: tuple[tuple[str, float, float, float, float], ...]
    """Reference, x, y, length, width, rough."""


@dataclass(frozen=True)
class Arranged:
    """A job the search understands, and the way back."""

    pieces: tuple[Wanted, ...]
    boards: tuple[Board, ...]
    blocks: dict[str, _Block]

    def unfold(self, placements) -> tuple[Placed, ...]:
        """Placements of the maker's own pieces on the maker's own boards."""
        out, number, used = [], {}, Counter()
        for p in placements:
            ref = p.board_ref.split(ONE_OF)[0]
            if p.board not in number:
                used[ref] += 1
                number[p.board] = used[ref]
            p = replace(p, board_ref=ref, board_copy=number[p.board])
            block = self.blocks.get(p.piece_ref)
            if block is None:
                out.append(replace(p, piece_ref=p.piece_ref.split(PART)[0]))
            else:
                out += [
                    replace(p, piece_ref=piece, x_mm=p.x_mm + x, y_mm=p.y_mm + y, length_mm=length, width_mm=width)
                    for piece, x, y, length, width in block.parts
                ]
        return tuple(out)

    def missing(self, short: dict[str, int]) -> dict[str, int]:
        """What is short, in the maker's own references."""
        out: Counter[str] = Counter()
        for ref, n in short.items():
            if ref in self.blocks:
                out.update(part[0] for part in self.blocks[ref].parts)
            else:
                out[ref.split(PART)[0]] += n
        return dict(out)


def refuse_impossible(pieces, boards, matches, pins) -> None:
    """ValueError, in words, for a match or a choice that names what is not there."""
    wanted = {p.ref: p for p in pieces}
    held = {b.ref for b in boards}
    seen: set[str] = set()
    for m in matches:
        for ref in m.refs:
            if ref not in wanted:
                raise ValueError(f"{ref} is to be {m.kind}, and is not on the cutting list. Take the match away.")
            if ref in seen:
                raise ValueError(f"{ref} is in two sets that must match. Leave it in one.")
            seen.add(ref)
        if m.kind == "consecutive" and len({wanted[r].thickness_mm for r in m.refs}) > 1:
            raise ValueError(f"{', '.join(m.refs)} cannot be consecutive: they differ in thickness.")
        if len({wanted[r].timber for r in m.refs}) > 1:
            raise ValueError(f"{', '.join(m.refs)} cannot match: they are of different timbers.")
    asked: Counter[str] = Counter()
    for pin in pins:
        if pin.piece_ref not in wanted:
            raise ValueError(
                f"{pin.piece_ref} is kept for board {pin.board_ref}, and is not on the cutting list. "
                "Let go of that choice."
            )
        if pin.board_ref not in held:
            raise ValueError(
                f"{pin.piece_ref} is kept for board {pin.board_ref}, which is not among the boards. "
                "Enter that board or let go of that choice."
            )
        asked[pin.piece_ref] += pin.count
        if pin.piece_ref in seen:
            raise ValueError(
                f"{pin.piece_ref} must match others, so single ones cannot be kept for a board. Do one or the other."
            )
        if asked[pin.piece_ref] > wanted[pin.piece_ref].count:
            raise ValueError(
                f"{asked[pin.piece_ref]} of {pin.piece_ref} are kept for boards; {wanted[pin.piece_ref].count} are wanted."
            )


def standing_pins(pieces, boards, matches, places) -> tuple[tuple[Pin, ...], str]:
    """The kept places that can still be, as pins, and in words which cannot."""
    pins: list[Pin] = []
    lost = ""
    for place in places:
        pin = Pin(place.piece, place.board, place.count)
        try:
            refuse_impossible(pieces, boards, matches, [*pins, pin])
            pins.append(pin)
        except ValueError as error:
            lost = lost or str(error)
    return tuple(pins), lost


def arrange(pieces, boards, kerf_mm: float, allowances: Allowances, matches, pins, first) -> Arranged:
    """The job with matches and pins worked in. ``first(pieces, boards)`` gives a quick Layout. [mm]"""
    refuse_impossible(pieces, boards, matches, pins)
    now = Arranged(tuple(pieces), tuple(boards), {})
    now = _pinned(now, pins)
    for m in sorted(matches, key=lambda m: MATCH_ORDER.index(m.kind)):
        if m.kind == "book-matched":
            now = _leaves(now, m)
        else:
            options = _one_board(now, m) if m.kind == "same board" else _in_a_row(now, m, kerf_mm, allowances)
            now = min(options, key=lambda o: worth(first(o.pieces, o.boards), o.pieces))
    return now


MATCH_ORDER = ("book-matched", "consecutive", "same board")


def _pinned(now: Arranged, pins) -> Arranged:
    pieces = {p.ref: p for p in now.pieces}
    for n, pin in enumerate(pins):
        piece = pieces[pin.piece_ref]
        pieces[f"{pin.piece_ref}{PART}{n}"] = replace(
            piece, ref=f"{pin.piece_ref}{PART}{n}", count=pin.count, only_on=pin.board_ref
        )
        if piece.count == pin.count:
            del pieces[pin.piece_ref]
        else:
            pieces[pin.piece_ref] = replace(piece, count=piece.count - pin.count)
    return replace(now, pieces=tuple(pieces.values()))


def _leaves(now: Arranged, m: Match) -> Arranged:
    return replace(now, pieces=tuple(replace(p, leaves=2) if p.ref in m.refs else p for p in now.pieces))


def _one_board(now: Arranged, m: Match) -> list[Arranged]:
    """The job with the pieces tied to each board in turn that could give them all."""
    mine = [p for p in now.pieces if p.ref in m.refs]
    volume = sum(p.count * p.length_mm * p.width_mm * p.thickness_mm for p in mine)
    options = []
    fit = [b for b in now.boards if all(_could_hold(b, p) for p in mine) and b.volume_mm3 >= volume]
    for b in sorted(fit, key=lambda b: b.price)[:MOST_TRIED]:
        if b.count == 1:
            ref, boards = b.ref, now.boards
        else:
            ref = f"{b.ref}{ONE_OF}{m.refs[0]}"
            rest = b if b.count is None else replace(b, count=b.count - 1)
            boards = (*(rest if x is b else x for x in now.boards), replace(b, ref=ref, count=1))
        pieces = tuple(replace(p, only_on=ref) if p.ref in m.refs else p for p in now.pieces)
        options.append(replace(now, pieces=pieces, boards=boards))
    # Nothing can give them: left to come out short, never to come from several boards.
    nowhere = tuple(replace(p, only_on=PART) if p.ref in m.refs else p for p in now.pieces)
    return options or [replace(now, pieces=nowhere)]


def _could_hold(board: Board, piece: Wanted) -> bool:
    return (
        board.timber == piece.timber
        and set(piece.grain) <= set(board.grain)
        and piece.length_mm <= board.length_mm
        and piece.width_mm <= board.widest_mm
        and piece.thickness_mm <= board.thickness_mm
        and piece.only_on in ("", board.ref)
    )


def _in_a_row(now: Arranged, m: Match, kerf_mm: float, allow: Allowances) -> list[Arranged]:
    """The job with the pieces as one block, end to end or side by side."""
    by_ref = {p.ref: p for p in now.pieces}
    mine = [by_ref[ref] for ref in m.refs for _ in range(by_ref[ref].count)]
    rest = tuple(p for p in now.pieces if p.ref not in m.refs)
    options = []
    for along in (True, False):
        at, parts, length, width = 0.0, [], 0.0, 0.0
        for p in mine:
            rough_length, rough_width, _ = p.rough_mm(allow)
            parts.append((p.ref, at if along else 0.0, 0.0 if along else at, rough_length, rough_width))
            at += (rough_length if along else rough_width) + kerf_mm
            length, width = max(length, rough_length), max(width, rough_width)
        run = at - kerf_mm
        ref = f"{m.refs[0]}{PART}row"
        strictest = min(mine, key=lambda p: (p.tolerates, p.shown == "one"))
        block = replace(
            strictest,
            ref=ref,
            count=1,
            length_mm=(run if along else length) - allow.length_mm,
            width_mm=(width if along else run) - allow.width_mm,
            grain=tuple(sorted({g for p in mine for g in p.grain})),
        )
        options.append(replace(now, pieces=(*rest, block), blocks={**now.blocks, ref: _Block(tuple(parts))}))
    return options
