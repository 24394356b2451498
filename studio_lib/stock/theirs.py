"""The client's own boards: how much of a piece they make, what is bought beside them, what goes back."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from studio_lib.stock.boards import Layout

FEW = 6
"""Members named one by one; the rest are counted."""


@dataclass(frozen=True)
class TheirShare:
    """What the client's boards come to in a layout."""

    boards: int
    """Brought."""
    used: int
    makes: tuple[str, ...]
    """Members cut from them whole, by name."""
    makes_part_of: tuple[str, ...]
    """Members cut from them in part."""
    bought_m3: float
    """Boards of a yard in the layout, and timber by volume for what no board is seen for. [m3]"""
    used_m3: float
    """Volume of those used. [m3]"""

    @property
    def back(self) -> int:
        """Boards that are not cut."""
        return self.boards - self.used

    def words(self, whose: str = "the client's") -> str:
        """In a few sentences; ``whose``: 'your' where it is told to the client."""
        if not self.used:
            return f"None of {whose} {_boards(self.boards)} is used."
        makes = [_listed(self.makes)] if self.makes else []
        makes += [f"part of {_listed(self.makes_part_of)}"] if self.makes_part_of else []
        used = "all" if not self.back else f"{self.used}"
        of = f"Of {whose} {_boards(self.boards)} {used} {'is' if self.used == 1 else 'are'} used"
        bought = "No timber is bought." if self.bought_m3 < 0.0005 else f"{self.bought_m3:.3f} m3 of timber is bought for the rest."
        return f"{of}: {'it makes' if self.used == 1 else 'they make'} {', and '.join(makes)}. {bought}"

    def goes_back(self, to: str = "the client") -> str:
        """What is left of them, and whose it is."""
        if not self.used:
            return f"{_boards(self.back)} {'goes' if self.back == 1 else 'go'} back to {to}."
        if not self.back:
            return f"Their offcuts go back to {to}."
        return f"{_boards(self.back)} that {'is' if self.back == 1 else 'are'} not cut, and the offcuts of the others, go back to {to}."


def _boards(n: int) -> str:
    return f"{n} {'board' if n == 1 else 'boards'}"


def _listed(names: tuple[str, ...]) -> str:
    """'the top, the legs and 3 more'."""
    shown = names if len(names) <= FEW + 1 else names[:FEW]
    said = [f"the {n}" for n in shown] + ([f"{len(names) - FEW} more"] if len(names) > len(shown) else [])
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


ONE_PART = ("front", "back", "bottom", "top", "lid", "seat", "plinth", "panel")
"""Parts that are one thing, of however many boards."""


def _kind(row, several: bool) -> tuple[str, str]:
    """('leg', ' of the bench') of a line 'leg, front left'; the piece only where there are several."""
    return row.name.split(",")[0], f" of the {row.piece.removeprefix('the ')}" if several else ""


def _in_one_word(kinds) -> tuple[str, ...]:
    """Members by kind, each once: two of 'leg' are 'legs', three boards of 'front' are the 'front'."""
    return tuple((name if n == 1 or name.endswith("s") or name in ONE_PART else f"{name}s") + piece for (name, piece), n in Counter(kinds).items())


def their_share(layout: Layout, boards, rows, by_volume_m3: float = 0.0) -> TheirShare | None:
    """What the client's boards among ``boards`` come to; None where there are none.

    ``rows`` are the lines of the cutting list (``ref``, ``piece``, ``name``, ``count``), ``by_volume_m3`` what is bought unseen. [m3]
    """
    theirs = {b.ref: b for b in boards if b.source == "client"}
    if not theirs:
        return None
    cut = [(layout.board(ref)) for ref, _ in layout.boards_used]
    from_them, from_all = Counter(), Counter()
    for p in layout.placements:
        from_all[p.piece_ref] += p.layers
        if p.board_ref in theirs:
            from_them[p.piece_ref] += p.layers
    whole, part, several = [], [], len({r.piece for r in rows}) > 1
    for r in rows:
        mine, missing = from_them[r.ref], layout.missing.get(r.ref, 0)
        if mine:
            names = part if mine < from_all[r.ref] + missing else whole
            names += [_kind(r, several)] * r.count
    return TheirShare(
        sum(b.count or 1 for b in theirs.values()), sum(b.ref in theirs for b in cut),
        _in_one_word(k for k in whole if k not in part), _in_one_word([*part, *(k for k in whole if k in part)]),
        sum(b.volume_mm3 for b in cut if b.is_bought) * 1e-9 + by_volume_m3,
        sum(b.volume_mm3 for b in cut if b.ref in theirs) * 1e-9,
    )


@dataclass(frozen=True)
class Needed:
    """One line of the cutting list, as boards of one's own are held against it."""

    timber: str
    finished_m3: float
    """All of the line together. [m3]"""
    sawn_mm: tuple[float, float, float]
    """Length, width, thickness of each."""


def covered(lines, boards, share_of) -> tuple[float, ...]:
    """How much of each line the client's boards are likely to make, before anything is laid out. [m3 finished]

    By volume: of a board the usual share ends in the piece, ``share_of(timber)``, and it makes what is no
    larger than itself in any way. The thinnest and shortest lines are served first, from the thinnest boards.
    """
    left = {b.ref: (b.count or 1) * b.volume_mm3 * 1e-9 * share_of(b.timber) for b in boards if b.source == "client"}
    own = sorted((b for b in boards if b.source == "client"), key=lambda b: (b.thickness_mm, b.length_mm))
    made = [0.0] * len(lines)
    for i in sorted(range(len(lines)), key=lambda i: (lines[i].sawn_mm[2], lines[i].sawn_mm[0])):
        line = lines[i]
        for b in own:
            if b.timber == line.timber and all(has >= asks - 1e-6 for has, asks in zip((b.length_mm, b.widest_mm, b.thickness_mm), line.sawn_mm)):
                takes = min(left[b.ref], line.finished_m3 - made[i])
                left[b.ref] -= takes
                made[i] += takes
    return tuple(made)
