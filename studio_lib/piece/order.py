"""The order in which a piece goes together, worked out from the way its joints enter.

Along one direction a piece comes apart into the groups that its other joints hold together.
Each group comes apart again along another direction, until single members are left; read
backwards that is the order of assembly. A group that comes apart along no direction cannot be
put together at all.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from studio_lib.finding import Finding, Verdict
from studio_lib.piece import Piece
from studio_lib.piece.model import Vec

MINUTES_A_JOINT = 1.5
"""To spread glue on one joint and bring it home; a judgement of ours."""
CLAMP_MORE_MM = 150.0
"""Room for cauls, heads and screw beyond the work; common practice, no source."""
UPPER_ON_LOWER, FILLET_ON_SIDE, STRIP_ON_TOP = "upper case on lower", "fillet on side", "fillet on top"
ON_SITE = (UPPER_ON_LOWER, FILLET_ON_SIDE, STRIP_ON_TOP)
"""Families of dry joints that are made where the piece stands, after all that is done at the bench."""
WAYS = {(1, 0, 0): "from left to right", (0, 1, 0): "from front to back", (0, 0, 1): "from below upwards"}


@dataclass(frozen=True)
class Stage:
    """Groups of members brought together in one go, along one direction."""

    groups: tuple[tuple[str, ...], ...]
    """References of the members of each group, in order along the direction; a group of several is a sub-assembly."""
    way: Vec
    joints: int
    """Joints closed at this stage."""
    glued: bool
    clamp_mm: float
    """Length that a clamp must span; 0 where nothing is clamped."""
    clamps: int

    @property
    def refs(self) -> tuple[str, ...]:
        return tuple(r for g in self.groups for r in g)

    @property
    def minutes(self) -> float:
        """Likely time from the first glue to the last clamp. [min]"""
        return MINUTES_A_JOINT * self.joints if self.glued else 0.0


@dataclass(frozen=True)
class Order:
    """Stages in the order they are done, and groups that no order can put together."""

    stages: tuple[Stage, ...]
    locked: tuple[tuple[str, ...], ...]
    wide: tuple[str, ...] = ()
    """Members glued up from boards before any stage; those glued edge to edge to others are glued up with them, in a stage."""

    @property
    def glue_ups(self) -> int:
        return len(self.wide) + sum(s.glued for s in self.stages)

    @property
    def glue_nights(self) -> int:
        """How often glue must cure before work goes on: sub-assemblies are glued the same day."""
        level: dict[frozenset, int] = {}
        for s in self.stages:
            below = max((n for refs, n in level.items() if refs <= frozenset(s.refs)), default=0)
            level[frozenset(s.refs)] = below + s.glued
        return max(level.values(), default=0) + bool(self.wide)


@dataclass(frozen=True)
class _Link:
    first: str
    second: str
    way: Vec | None
    """The second comes off the first along it; None where it may come off any way."""
    dry: bool
    glued: bool = False
    on_site: bool = False


@lru_cache(maxsize=64)
def order_of_work(piece: Piece) -> Order:
    """How a piece goes together, small groups first."""
    splits, locked = _splits(tuple(m.ref for m in piece.members), (*linked(piece), *laid_in(piece)))
    of = panels(piece)
    return Order(
        tuple(_stage(piece, *split) for split in splits), locked,
        tuple(m.ref for m in piece.members if m.boards > 1 and len(of[m.ref]) == 1),
    )


@lru_cache(maxsize=64)
def _splits(refs: tuple[str, ...], links: tuple[_Link, ...]):
    """What is parted from what, the last parted first: (groups, direction, joints that open) each; and what locks itself.

    A size that changes leaves it as it was, mostly.
    """
    splits: list[tuple] = []
    locked: list[tuple[str, ...]] = []

    def apart(members: tuple[str, ...]) -> None:
        if len(members) < 2:
            return
        inner = [k for k in links if k.first in members and k.second in members]
        split = _split(members, inner)
        if split is None:
            locked.append(members)
            return
        groups, _, crossing = split
        for group in groups:
            apart(group)
        if crossing:
            splits.append(split)

    # Seen from where it stands, all that is made at the bench is of one piece.
    bench_holds = [k if k.on_site else replace(k, way=(0.0, 0.0, 0.0), dry=False) for k in links]

    def parted(members: tuple[str, ...]) -> None:
        inner = [k for k in bench_holds if k.first in members and k.second in members]
        split = _split(members, inner) if any(k.on_site for k in inner) else None
        if split is None:
            apart(members)
            return
        for group in split[0]:
            parted(group)
        splits.append(split)

    for island in _islands(refs, links):
        parted(island)
    return tuple(splits), tuple(locked)


@lru_cache(maxsize=64)
def panels(piece: Piece) -> dict[str, tuple[str, ...]]:
    """The panel that each member is part of: itself, and what is glued edge to edge to it."""
    edges = [(j.first, j.second) for j in piece.joints if j.widens]
    return {r: panel for panel in together(tuple(piece.by_ref), edges) for r in panel}


TO_THE_FRONT = (0.0, -1.0, 0.0)
LIES_MM = 1.0


@lru_cache(maxsize=64)
def linked(piece: Piece) -> list[_Link]:
    """What joints and rows of screws hold together, each with the way it comes apart."""
    links = [_Link(j.first, j.second, j.entry(piece), j.dry, not j.dry and not j.unglued, j.dry and j.family in ON_SITE) for j in piece.joints]
    for screws in piece.fixings:
        up = piece.member(screws.far).piece_box.centre[2] >= piece.member(screws.near).piece_box.centre[2]
        links.append(_Link(screws.near, screws.far, (0.0, 0.0, 1.0 if up else -1.0), True))
    return links


@lru_cache(maxsize=64)
def laid_in(piece: Piece) -> list[_Link]:
    """Shelves that only lie in a piece and drawers that run in it: each comes out to the front of what it lies on."""
    islands = _islands([m.ref for m in piece.members], linked(piece))
    if len(islands) < 2:
        return []
    boxes = {m.ref: m.piece_box for m in piece.members}
    floor = min(b.lo[2] for b in boxes.values())
    out = []
    for island in islands:
        if any(boxes[r].lo[2] < floor + LIES_MM for r in island):
            continue
        best = None
        for r in island:
            for other, b in boxes.items():
                if other in island or abs(b.hi[2] - boxes[r].lo[2]) > LIES_MM:
                    continue
                x, y = (min(b.hi[k], boxes[r].hi[k]) - max(b.lo[k], boxes[r].lo[k]) for k in (0, 1))
                if x > 0 and y > 0 and (best is None or x * y > best[0]):
                    best = (x * y, other, r)
        if best:
            out.append(_Link(best[1], best[2], TO_THE_FRONT, True))
    return out


def _islands(members, links) -> list[tuple[str, ...]]:
    return together(members, [(k.first, k.second) for k in links])


def together(members, pairs) -> list[tuple[str, ...]]:
    """Members in groups, those of a pair together, in the order of the members."""
    parent = {m: m for m in members}

    def top(m):
        while parent[m] != m:
            parent[m] = parent[parent[m]]
            m = parent[m]
        return m

    for a, b in pairs:
        parent[top(a)] = top(b)
    groups: dict[str, list[str]] = {}
    for m in members:
        groups.setdefault(top(m), []).append(m)
    return [tuple(g) for g in groups.values()]


def _along(link: _Link, way: Vec) -> float:
    w = link.way
    return 0.0 if w is None else w[0] * way[0] + w[1] * way[1] + w[2] * way[2]


def _split(members, links):
    """The best way to take a group apart: (groups in order, direction, joints that open); None for none.

    What is only screwed, bolted or hung comes off first, so that it goes on last and nothing is glued through it.
    """
    ways = list(dict.fromkeys(tuple(round(abs(c), 3) * (1 if c >= 0 else -1) for c in k.way) for k in links if k.way is not None))
    ways = [w for w in ways if tuple(-c for c in w) not in ways[: ways.index(w)]] or [(1.0, 0.0, 0.0)]
    for glue_holds in (True, False) if any(k.dry for k in links) else (False,):
        best = None
        for way in ways:
            held = [
                (k.first, k.second) for k in links
                if (k.way is not None and abs(_along(k, way)) < 0.985) or (glue_holds and not k.dry)
            ]
            groups = together(members, held)
            if len(groups) < 2:
                continue
            groups = _in_line(groups, links, way)
            if len(groups) < 2:
                continue
            of = {m: n for n, g in enumerate(groups) for m in g}
            crossing = [k for k in links if of[k.first] != of[k.second]]
            if not crossing:
                continue
            straight = [abs(_along(k, way)) for k in crossing if k.way is not None]
            rank = (
                all(k.dry for k in crossing), len(groups), -max(map(len, groups)),
                round(sum(straight) / len(straight), 4) if straight else 0.0,
            )
            if best is None or rank > best[0]:
                best = (rank, groups, way, crossing)
        if best is not None:
            return best[1:]
    return None


def _in_line(groups, links, way) -> list[tuple[str, ...]]:
    """Groups in order along a direction; those that block each other made one."""
    of = {m: n for n, g in enumerate(groups) for m in g}
    after: dict[int, set[int]] = {n: set() for n in range(len(groups))}
    for k in links:
        a, b, along = of[k.first], of[k.second], _along(k, way)
        if a != b and abs(along) >= 0.985:
            after[a if along > 0 else b].add(b if along > 0 else a)
    index, low, stack, on, out, count = {}, {}, [], set(), [], [0]

    def visit(v):
        index[v] = low[v] = count[0]
        count[0] += 1
        stack.append(v)
        on.add(v)
        for w in after[v]:
            if w not in index:
                visit(w)
                low[v] = min(low[v], low[w])
            elif w in on:
                low[v] = min(low[v], index[w])
        if low[v] == index[v]:
            knot = []
            while True:
                w = stack.pop()
                on.discard(w)
                knot.append(w)
                if w == v:
                    break
            out.append(tuple(m for n in sorted(knot) for m in groups[n]))

    for v in after:
        if v not in index:
            visit(v)
    return out[::-1]


def _stage(piece: Piece, groups, way: Vec, crossing) -> Stage:
    glued = any(k.glued for k in crossing)
    refs = [r for g in groups for r in g]
    boxes = [piece.member(r).piece_box for r in refs]
    reach = sum(
        abs(c) * (max(b.hi[k] for b in boxes) - min(b.lo[k] for b in boxes)) for k, c in enumerate(way)
    )
    # One clamp over each line of members that runs from group to group along the direction.
    lines = {k.first for k in crossing if k.glued and k.way is not None}
    # What is itself of several boards is closed in the same go as the panel it is part of.
    of, more = panels(piece), 0
    for group in groups:
        for ref in group:
            others = set(of[ref]) - {ref}
            if others and others.intersection(refs) and not others.intersection(group):
                more += piece.member(ref).boards - 1
    return Stage(
        tuple(groups), way, sum(k.glued for k in crossing) + more if glued else len(crossing), glued, reach + CLAMP_MORE_MM if glued else 0.0,
        max(2, len(lines)) if glued else 0,
    )


def screwed_before(piece: Piece) -> tuple[tuple[str, str, str], ...]:
    """(screwed on, to what, what then covers the screws): references of screws that must be driven before another member goes on."""
    out = {}
    for j in piece.joints:
        for point in getattr(j, "heads", lambda _piece: ())(piece):
            for m in piece.members:
                if m.ref in (j.first, j.second):
                    continue
                p = m.placement.to_member(point)
                if all(-0.01 <= v <= size + 0.01 for v, size in zip(p, m.box.hi)):
                    out[j.first, j.second, m.ref] = None
    return tuple(out)


NOT_REACHED_LATER = ("groove and panel", "cable and spacers")
"""Kinds of joint that hide a strip of their first member once it is in: it would show bare when the timber shrinks."""


def finish_before(piece: Piece) -> tuple[str, ...]:
    """References of members that are finished before they go in, because no brush reaches all of them afterwards."""
    return tuple(dict.fromkeys(j.first for j in piece.joints if j.kind in NOT_REACHED_LATER))


def in_words(piece: Piece, order: Order, number: int, most: int = 7) -> str:
    """A stage, counted from 1, as a maker would say it: what is brought together, and which way; ``most`` names at the most."""
    stage = order.stages[number - 1]
    made = {frozenset(s.refs): k for k, s in enumerate(order.stages, 1)}
    said = []
    for group in sorted(stage.groups, key=len, reverse=True):
        names = [_with_boards(piece, r, order) for r in group]
        from_stage = made.get(frozenset(group))
        said.append(
            names[0] if len(group) == 1 else f"what stage {from_stage} made" if from_stage
            else f"the group of {', '.join(names[:6])}{' and others' if len(names) > 6 else ''}"
        )
    if len(said) > most:
        said = [*said[: most - 1], f"{len(said) - most + 1} more"]
    nearest = max(WAYS, key=lambda w: abs(sum(a * b for a, b in zip(w, stage.way))))
    return f"{'; '.join(said)}: brought together {WAYS[nearest]}"


def _with_boards(piece: Piece, ref: str, order: Order) -> str:
    m = piece.member(ref)
    return m.name if m.boards < 2 or ref in order.wide else f"{m.name} of {m.boards} boards"


def order_findings(piece: Piece, order: Order, open_min: float | None = None) -> list[Finding]:
    """What cannot be put together, and glue-ups that outlast the open time of the glue. [min]"""
    found = []
    for group in order.locked:
        names = ", ".join(piece.member(r).name for r in group[:8])
        found.append(
            Finding(
                piece.name, "order of assembly", Verdict.FAILS,
                f"{names} lock one another: their joints enter along different directions and none can be the last",
                rule="every group of members comes apart along some direction", source="geometry of the joints",
                mend="Turn one joint so that it enters along with its neighbours, use a loose tenon, or bolt it.", stage="joints",
                refs=group,
            )
        )
    if open_min:
        for number, stage in enumerate(order.stages, 1):
            if stage.glued and stage.minutes > open_min:
                found.append(
                    Finding(
                        piece.name, f"glue-up, stage {number}", Verdict.LOOK_AGAIN,
                        f"{stage.joints} joints take about {stage.minutes:.0f} minutes, the glue stays open {open_min:.0f}",
                        stage.minutes, open_min, "min", "closed within the glue's open time",
                        f"{MINUTES_A_JOINT:g} min a joint, a judgement of ours; open time of the glue chosen",
                        _in_time(piece, stage, open_min), "joints", stage.refs,
                    )
                )
    return found


def _in_time(piece: Piece, stage: Stage, open_min: float) -> str:
    """How a glue-up that outlasts the glue's open time is done all the same."""
    def goes(joints: int) -> int:
        return math.ceil(MINUTES_A_JOINT * joints / open_min)

    of = {r: k for k, group in enumerate(stage.groups) for r in group}
    slats = sum(
        1 for j in piece.joints
        if j.first in of and j.second in of and of[j.first] != of[j.second] and not j.dry and piece.member(j.first).role == "slat"
    )
    each = max(int(open_min / MINUTES_A_JOINT), 1)
    whole = f"{goes(stage.joints)} goes of up to {each} joints each, each left to set before the next"
    slower = f"a glue that stays open {stage.minutes:.0f} minutes"
    if not slats:
        more = "two pairs of hands, or " if goes(stage.joints) == 2 else ""
        return f"Glue it in {whole}; or take {more}{slower}."
    rest = stage.joints - slats
    then = f"the other {rest} take {MINUTES_A_JOINT * rest:.0f} minutes, {'one go' if goes(rest) <= 1 else f'{goes(rest)} goes'}" if rest else "nothing is left to glue here"
    return (
        f"Put the {slats} ends of slats in dry, as is common: the frame holds them, and they stay free to move (sway is reckoned with them glued); {then}. "
        f"Glued as well it would be {whole}, or {slower}."
    )
