"""What a client sees and uses of a piece, read off the piece itself: lid, doors, drawers, shelves, back, plinth."""

from __future__ import annotations

import re

from studio_lib.piece.model import Joint, Member, Piece
from studio_lib.piece.order import laid_in, together

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def counted(n: int, thing: str) -> str:
    """'a lid', 'two doors', 'five shelves'."""
    if n == 1:
        return f"a {thing}"
    return f"{NUMBERS[n] if n < len(NUMBERS) else n} {several(thing)}"


def several(thing: str) -> str:
    """'doors', 'shelves', 'screen leaves', 'boxes', 'board feet'."""
    if thing.endswith("foot"):
        return thing.removesuffix("foot") + "feet"
    if thing.endswith(("shelf", "leaf")):
        return thing.removesuffix("f") + "ves"
    if thing.endswith(("x", "ch", "sh", "ss")):
        return f"{thing}es"
    return thing if thing.endswith("s") else f"{thing}s"


def bought_words(count, unit: str, name: str) -> str:
    """'8 wood screws, brass or bronze, 4 x 40 mm', '2.4 m cable'."""
    if unit != "piece":
        return f"{float(count):g} {unit} {name}"
    thing = re.split(r",| that | for | \d", name)[0]
    named = thing if count == 1 else " and ".join(map(several, thing.split(" and ")))
    rest = name.removeprefix(thing) if count == 1 else name.removeprefix(thing).replace(" that keeps ", " that keep ", 1)
    return f"{float(count):g} {named}{rest}"


def used(piece: Piece) -> tuple[str, ...]:
    """What is used of it, in words, what opens first: ('a lid on hinges', 'a plinth')."""
    swings = [leaf for leaf in map(lambda j: _swings(piece, j), _hinges(piece)) if leaf]
    said = [
        f"{counted(swings.count(kind), kind)} on hinges" for kind in ("lid", "door", "flap") if kind in swings
    ]
    if "leaf" in swings:
        said.append(f"{counted(swings.count('leaf') + 1, 'leaf')} that fold on hinges")
    drawers = _drawers(piece)
    if drawers:
        said.append(counted(drawers, "drawer"))
    said += _shelves(piece)
    if bays := _uprights(piece):
        said.append(f"{'an upright' if bays == 1 else counted(bays, 'upright')} between its ends")
    for part in ("board", "slat"):
        if any(m.role == f"back {part}" for m in piece.members):
            said.append(f"a back of {part}s")
    if arms := sum(m.role == "arm" for m in piece.members):
        said.append(counted(arms, "arm"))
    if any(m.role == "plinth" for m in piece.members):
        said.append("a plinth")
    return tuple(said)


def _shelves(piece: Piece) -> list[str]:
    """Its shelves as a client counts them, the bottom of a case left out: 'four open shelves', 'a shelf behind the doors'."""
    refs = [m.ref for m in piece.members if m.role == "shelf" and not m.name.endswith("bottom")]
    edges = [(j.first, j.second) for j in piece.joints if j.widens and j.first in refs and j.second in refs]
    boards = together(refs, edges)
    doors = [_span([piece.member(r) for r in g]) for j in _hinges(piece) for g in _hung(piece, j) if _swings(piece, j) == "door"]
    shut = [b for b in boards if any(_covers(door, _span([piece.member(r) for r in b])) for door in doors)]
    if not boards:
        return []
    if not shut or len(shut) == len(boards):
        return [counted(len(boards), "shelf")]
    n = len(boards) - len(shut)
    return ["an open shelf" if n == 1 else counted(n, "open shelf"), f"{counted(len(shut), 'shelf')} behind the {'door' if len(doors) == 1 else 'doors'}"]


def _uprights(piece: Piece) -> int:
    """How many uprights its shelves are let into between its ends; one over another counts once."""
    met = {j.second for j in piece.joints if piece.member(j.first).role == "shelf"}
    return len({round(m.piece_box.centre[0]) for m in piece.members if m.role == "upright" and m.ref in met})


def _span(members: list[Member]) -> tuple[tuple[float, float], tuple[float, float]]:
    """From left to right and from low to high. [mm]"""
    boxes = [m.piece_box for m in members]
    return tuple((min(b.lo[k] for b in boxes), max(b.hi[k] for b in boxes)) for k in (0, 2))


def _covers(door, shelf) -> bool:
    """Whether a door hangs before some of a shelf."""
    (left, right), (low, high) = door
    (a, b), (c, e) = shelf
    return min(right, b) - max(left, a) > 1.0 and low < (c + e) / 2 < high


def stays(piece: Piece) -> int:
    """How many stays hold a lid open, of those fitted to what really swings as one."""
    of = _held_together(piece, {"turn"})
    return sum(j.holding_open for j in piece.joints if j.lets == "turn" and of[j.first] != of[j.second] and _swings(piece, j) == "lid")


def _hinges(piece: Piece) -> list[Joint]:
    """One row of hinges for each two groups that it joins."""
    turning = [j for j in piece.joints if j.lets == "turn"]
    if not turning:
        return []
    of = _held_together(piece, {"turn"})
    return list({(of[j.first], of[j.second]): j for j in turning if of[j.first] != of[j.second]}.values())


def _held_together(piece: Piece, without: set[str]) -> dict[str, tuple[str, ...]]:
    """The group that each member is held in, joints apart that let what is named."""
    pairs = [(j.first, j.second) for j in piece.joints if j.lets not in without] + [(s.near, s.far) for s in piece.fixings]
    return {r: g for g in together(tuple(piece.by_ref), pairs) for r in g}


def _hung(piece: Piece, joint: Joint) -> list[tuple[str, ...]]:
    """What hangs on hinges: the sides of a joint that do not stand on the floor."""
    of = _held_together(piece, {"turn"})
    floor = min(m.piece_box.lo[2] for m in piece.members)
    return [g for g in (of[joint.first], of[joint.second]) if min(piece.member(r).piece_box.lo[2] for r in g) > floor + 2.0]


def _swings(piece: Piece, joint: Joint) -> str:
    """What hangs on hinges: 'lid', 'door' or 'flap'; 'leaf' where both sides stand on the floor."""
    hung = _hung(piece, joint)
    if not hung:
        return "leaf"
    if abs(piece.member(joint.first).placement.along[2]) > 0.7:
        return "door"
    wide, deep, high = _reach([piece.member(r) for r in hung[0]])
    return "lid" if high < min(wide, deep) else "flap"


def _reach(members: list[Member]) -> tuple[float, ...]:
    """Size of the block that holds them. [mm]"""
    boxes = [m.piece_box for m in members]
    return tuple(max(b.hi[k] for b in boxes) - min(b.lo[k] for b in boxes) for k in range(3))


def _drawers(piece: Piece) -> int:
    """How many groups with a drawer's side only run in the piece."""
    of = _held_together(piece, {"turn"})
    return len({of[link.second] for link in laid_in(piece) if any(piece.member(r).role == "drawer side" for r in of[link.second])})
