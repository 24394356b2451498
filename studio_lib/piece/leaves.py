"""What opens in a piece and how: doors about their pins, lids, flaps, drawers along their runners.

Read off the joints: what swings hangs on hinges, what is drawn out only runs in the rest. What a leaf is joined to by
anything else goes with it: panel, frame, pull, battens.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from studio_lib.piece.hinge import STOP_DEG
from studio_lib.piece.model import Joint, Piece, Vec, _cross
from studio_lib.piece.order import laid_in, together

DOOR_DEG = 110.0
"""A door swung clear of its opening; butt hinges let it further, to where something stands. Common practice, no source."""
SQUARE_DEG = 90.0
LID_DEG = 10.0
"""An open lid that nothing stops leans this far past upright; common practice, no source."""
OUT_SHARE = 2 / 3
"""How much of its depth a drawer without a stop is drawn out, the rest on its runners: ASTM F2057, from memory."""
STEEP = 0.7
STAY_MM = 10.0
"""Thickness of a stay's tube, in pictures; ours."""
STAY_OUT, STAY_DOWN, STAY_IN = 0.2, 0.6, 0.92
"""Where a stay's foot stands before and below the pin, as parts of the way from the pin to its upper end; and either half
of it as a part of its length shut. Ours."""
STAY_FAR_MM = 260.0
STAY_LEAST_MM = 60.0
THIN_MM = 60.0


@dataclass(frozen=True)
class Stay:
    """What holds a lid: a tube on the case that a rod on the lid slides in. Ends in piece axes, the lid shut. [mm]"""

    foot: Vec
    head: Vec
    half_mm: float
    """Length of the tube, and of the rod."""


@dataclass(frozen=True, eq=False)
class Leaf:
    """One thing that opens, and how far. Piece axes; mm and degrees."""

    kind: str
    """'door', 'lid', 'flap' or 'drawer'."""
    name: str
    refs: tuple[str, ...]
    at: Vec = (0.0, 0.0, 0.0)
    """A point on the line of its pins."""
    axis: Vec = (0.0, 0.0, 0.0)
    """The way of that line: by the right hand about it the leaf opens."""
    deg: float = 0.0
    """From shut to fully open."""
    way: Vec = (0.0, 0.0, 0.0)
    mm: float = 0.0
    """How far a drawer comes out along ``way``."""
    joint: Joint | None = None
    """The hinges it hangs on."""
    stays: tuple[Stay, ...] = ()

    def turned(self, point, deg: float) -> np.ndarray:
        """Where a point of the leaf is once it is swung by so many degrees."""
        k, p, a = np.array(self.axis), np.array(self.at), math.radians(deg)
        v = np.asarray(point, float) - p
        return p + v * math.cos(a) + np.array(_cross(self.axis, v)) * math.sin(a) + k * (k @ v) * (1 - math.cos(a))

    def moved(self, point, share: float = 1.0) -> np.ndarray:
        """Where a point of the leaf is when it stands open by a share of 0 to 1."""
        if self.joint is None:
            return np.asarray(point, float) + share * self.mm * np.array(self.way)
        return self.turned(point, share * self.deg)

    def told(self) -> dict:
        """The motion as plain data: {kind, name, and at_mm, axis, deg or way, mm}."""
        if self.joint is None:
            return {"kind": self.kind, "name": self.name, "way": list(self.way), "mm": self.mm}
        return {"kind": self.kind, "name": self.name, "at_mm": list(self.at), "axis": list(self.axis), "deg": self.deg}


def lid_deg(stayed: bool) -> float:
    """How far a lid opens: to where its stay stops it, else past upright."""
    return SQUARE_DEG - STOP_DEG if stayed else SQUARE_DEG + LID_DEG


@lru_cache(maxsize=64)
def leaves(piece: Piece) -> tuple[Leaf, ...]:
    """Doors, lids, flaps and drawers of a piece, hinged ones first; () where nothing opens.

    Leaves of a screen fold, and are none.
    """
    if "screen" in piece.form or not piece.members:
        return ()
    hinged = [j for j in piece.joints if j.kind == "hinges"]
    if not hinged and not any("drawer" in m.role for m in piece.members):
        return ()
    links = [(j.first, j.second) for j in piece.joints if j.kind != "hinges"] + [(s.near, s.far) for s in piece.fixings]
    group = {r: g for g in together(tuple(piece.by_ref), links) for r in g}
    low = min(m.piece_box.lo[2] for m in piece.members)
    on_floor = {g for r, g in group.items() if piece.member(r).piece_box.lo[2] < low + 2.0}
    middle = _middle(piece, tuple(piece.by_ref))
    out, seen = [], set()
    for j in hinged:
        hung = [group[r] for r in (j.second, j.first) if group[r] not in on_floor and group[j.first] != group[j.second]]
        leaf = hung[0] if hung else None
        if leaf is not None and leaf not in seen:
            seen.add(leaf)
            out.append(_swung(piece, leaf, j, middle))
    for link in laid_in(piece):
        leaf = group[link.second]
        if leaf not in seen and any("drawer" in piece.member(r).role for r in leaf):
            seen.add(leaf)
            way = tuple(float(c) for c in link.way)
            out.append(Leaf("drawer", _name(piece, leaf), leaf, way=way, mm=OUT_SHARE * _deep_mm(piece, leaf, way)))
    return tuple(out)


def _swung(piece: Piece, leaf, joint, middle) -> Leaf:
    at, axis = (np.array(v, float) for v in joint.pin(piece))
    own, name = _middle(piece, leaf), _name(piece, leaf)
    off, kind, deg = own - at, "flap", SQUARE_DEG
    level = off * [1.0, 1.0, 0.0]
    if abs(axis[2]) > STEEP:
        kind, deg = "door", DOOR_DEG
        # Of the two ways square to it, the one that leads away from the case.
        opens = float(np.cross(axis, level) @ (own - middle)) > 0
    elif np.linalg.norm(level) > abs(off[2]):  # it lies: a lid, opened upwards
        kind, deg = "lid", lid_deg(bool(joint.stays))
        opens = float(np.cross(axis, off)[2]) > 0
    else:
        # Away from the case; where it stands over its very middle, to the side of the pins that it stands on.
        away = (own - middle) * [1.0, 1.0, 0.0]
        away -= axis * (axis @ away)
        out = away if np.linalg.norm(away) > 1.0 else level
        opens = float(np.cross(axis, off) @ out) > 0
    way = axis if opens else -axis
    found = Leaf(kind, name, leaf, tuple(map(float, at)), tuple(float(c) + 0.0 for c in way), deg, joint=joint)
    if kind != "lid" or not joint.stays:
        return found
    return Leaf(kind, name, leaf, found.at, found.axis, deg, joint=joint, stays=_stays(piece, found, joint.stays))


def _stays(piece: Piece, lid: Leaf, count: int) -> tuple[Stay, ...]:
    """Inside the ends of the case, from under the lid; none where they would not go in."""
    at, axis = np.array(lid.at), np.array(lid.axis)
    along = int(np.argmax(np.abs(axis)))
    off = (_middle(piece, lid.refs) - at) * [1.0, 1.0, 0.0]
    off[along] = 0.0
    if abs(axis[along]) < 0.999 or not np.linalg.norm(off):
        return ()
    out = off / np.linalg.norm(off)
    across = int(np.argmax(np.abs(out)))
    boxes = [m.piece_box for m in piece.members if m.ref not in lid.refs]
    rim = [b for b in boxes if abs(b.hi[2] - at[2]) < 2.0]
    walls = [b for b in rim if b.hi[along] - b.lo[along] < THIN_MM]
    at_pin = [b for b in rim if b not in walls and b.lo[across] - 1 <= at[across] <= b.hi[across] + 1]
    back = max((b.hi[across] - b.lo[across] for b in at_pin), default=0.0)
    left = [b.hi[along] for b in walls if b.centre[along] < at[along]]
    right = [b.lo[along] for b in walls if b.centre[along] > at[along]]
    below = at[across] + out[across] * STAY_FAR_MM
    floor = [b.hi[2] for b in boxes if b.hi[2] < at[2] - THIN_MM and b.lo[across] <= below <= b.hi[across]
             and min(b.hi[k] - b.lo[k] for k in (along, across)) > THIN_MM]
    deep = at[2] - max(floor, default=min(b.lo[2] for b in boxes)) - 2 * STAY_MM
    far = max(float((np.array(piece.member(r).placement.origin) - at) @ out) for r in lid.refs)
    reach = min(STAY_FAR_MM, deep / STAY_DOWN, 0.6 * max(far, 0.0))
    before = max(STAY_OUT * reach, back + STAY_MM)
    if not left or not right or reach < max(STAY_LEAST_MM, 1.5 * before):
        return ()
    ends = [max(left) + STAY_MM, min(right) - STAY_MM][:count]
    made = []
    for x in ends:
        foot, head = at + out * before, at + out * reach
        foot[2], head[2] = at[2] - STAY_DOWN * reach, at[2] - STAY_MM / 2
        foot[along] = head[along] = x
        shut, open_ = (float(np.linalg.norm(p - foot)) for p in (head, lid.moved(head)))
        if open_ < 2 * STAY_IN * shut:
            made.append(Stay(tuple(map(float, foot)), tuple(map(float, head)), STAY_IN * shut))
    return tuple(made)


def _deep_mm(piece: Piece, leaf, way) -> float:
    """How deep a drawer is over all, face and pull included: taken so, it errs towards tipping. [mm]"""
    boxes = [piece.member(r).piece_box for r in leaf]
    lo, hi = np.min([b.lo for b in boxes], axis=0), np.max([b.hi for b in boxes], axis=0)
    return float(np.abs(way) @ (hi - lo))


def _middle(piece: Piece, refs) -> np.ndarray:
    """The middle of members by their volumes."""
    members = [piece.member(r) for r in refs]
    volumes = np.array([m.length_mm * m.width_mm * m.thickness_mm for m in members])
    return volumes @ np.array([m.piece_box.centre for m in members]) / volumes.sum()


def _name(piece: Piece, leaf: tuple[str, ...]) -> str:
    """What a leaf is called: its members' names up to the first comma, as the forms name them."""
    names = [piece.member(r).name.split(",")[0] for r in leaf]
    return max(dict.fromkeys(names), key=names.count)
