"""Drawers and doors in their openings: the gaps left round them, as figures, cut open where they are."""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np

from studio_lib.drawings.general import true_box
from studio_lib.drawings.joints import ENLARGED, as_it_stands
from studio_lib.drawings.paper import SAME_MM, SMALL_MM, Figure, Linear, Words, text_mm
from studio_lib.drawings.views import section, sharp_edged
from studio_lib.piece import Piece
from studio_lib.piece.model import Box, Member
from studio_lib.units import mm

FAR_MM = 250.0
"""What lies further off than this leaves no gap that is kept."""
MEETS_MM = 1.0
"""Two members that overlap by less across the way are not opposite each other."""
SHOWN_MM, BEYOND_MM = 34.0, 26.0
"""Timber shown inwards from a gap, and beyond the outside of the drawer. [mm]"""
BETWEEN_MM = 16.0
ROOM_MM = (178.0, 100.0)
"""Paper that the pictures take, side by side and in height."""
WAYS = {"left": (0, -1), "right": (0, 1), "under": (2, -1), "over": (2, 1), "behind": (1, 1)}
"""Axis and sign of each way out of a drawer."""
BESIDE = ("left", "right", "under", "over")


@dataclass(frozen=True)
class Gap:
    """What is left between a drawer or a door and what is next to it on one side. [mm]"""

    wide_mm: float
    from_mm: float
    to_mm: float
    """Where it lies along its axis of the piece."""
    next: str
    """Reference of the member that it lies next to."""


@dataclass(frozen=True)
class Fit:
    """One drawer, or one framed door, in its opening."""

    name: str
    refs: tuple[str, ...]
    box: dict[str, Gap]
    """Of a drawer's box by way: left, right, under, over, behind; those with nothing near are left off."""
    face: dict[str, Gap]
    """Of a drawer's face, or of a door."""

    @property
    def same(self) -> tuple:
        """What drawers that fit alike, or as mirror images, have in common."""

        def wide(gaps, *ways):
            return tuple(round(gaps[w].wide_mm, 1) if w in gaps else -1.0 for w in ways)

        beside = tuple(sorted((wide(self.box, w), wide(self.face, w)) for w in ("left", "right")))
        return beside, wide(self.box, "under", "over", "behind"), wide(self.face, "under", "over")


DOOR_ROLES = ("stile", "rail", "panel")


def fits(piece: Piece) -> list[Fit]:
    """Every drawer and every framed door of a piece with its gaps."""
    named: dict[str, list[Member]] = {}
    doors: dict[str, list[Member]] = {}
    for m in sharp_edged(piece).members:
        name = m.name.rpartition(", ")[0]
        if m.role.startswith("drawer ") and name.startswith("drawer"):
            named.setdefault(name, []).append(m)
        elif m.role in DOOR_ROLES and "door" in name.split():
            doors.setdefault(name, []).append(m)
    out = []
    for name, members in doors.items():
        own = {m.ref for m in piece.members if m.name.rpartition(", ")[0] == name}
        gaps = {way: gap for way in BESIDE if (gap := _least(piece, members, way, own))}
        if gaps:
            out.append(Fit(name, tuple(m.ref for m in members), {}, gaps))
    for name, members in named.items():
        sides = [m for m in members if m.role == "drawer side"]
        faces = [m for m in members if m.role == "drawer face"]
        if len(sides) < 2:
            continue
        own = {m.ref for m in piece.members if m.name.rpartition(", ")[0] == name}
        box = {way: gap for way in WAYS if (gap := _least(piece, sides, way, own))}
        face = {way: gap for way in BESIDE if (gap := _least(piece, faces, way, own))}
        out.append(Fit(name, tuple(m.ref for m in members), box, face))
    return out


def _least(piece: Piece, members: list[Member], way: str, own: set[str]) -> Gap | None:
    """The least gap on one side of members of a drawer to what is none of its own."""
    axis, sign = WAYS[way]
    sharp, gaps = sharp_edged(piece), []
    for m in members:
        a = true_box(sharp, m)
        for o in sharp.members:
            b = true_box(sharp, o)
            if o.ref in own or not all(min(a.hi[k], b.hi[k]) - max(a.lo[k], b.lo[k]) > MEETS_MM for k in range(3) if k != axis):
                continue
            here, there = (a.hi[axis], b.lo[axis]) if sign > 0 else (a.lo[axis], b.hi[axis])
            if -SAME_MM < sign * (there - here) < FAR_MM:
                gaps.append(Gap(max(sign * (there - here), 0.0), here, there, o.ref))
    return min(gaps, key=lambda g: g.wide_mm, default=None)


def drawer_figures(piece: Piece, count: int, room: tuple[float, float] = ROOM_MM) -> list[Figure]:
    """The gaps of the drawers and doors of a piece, those that fit alike once.

    ``count`` is how many of the piece are made; ``room`` the paper that the pictures may take. [mm]
    """
    alike: dict[tuple, list[Fit]] = {}
    for fit in fits(piece):
        alike.setdefault(fit.same, []).append(fit)
    return [_figure(piece, same, count, room) for same in alike.values()]


def _figure(piece: Piece, alike: list[Fit], count: int, room: tuple[float, float]) -> Figure:
    fit = alike[0]
    views = [v for v in (_shown(piece, fit, *asked) for asked in _asked(piece, fit)) if v]
    sizes = [(v.extent[2] - v.extent[0], v.extent[3] - v.extent[1]) for v, *_ in views]
    scale = next(
        (
            s for s in ENLARGED
            if sum(max(w / s, text_mm(words, SMALL_MM)) for (w, _), (_, words, _) in zip(sizes, views)) + BETWEEN_MM * len(views) <= room[0]
            and max((h for _, h in sizes), default=0.0) / s <= room[1]
        ),
        ENLARGED[-1],
    )
    several = "drawers" if fit.box else "doors"
    f = Figure(f"{fit.name if len(alike) == 1 else several} in the opening: gaps, {count * len(alike)} off", scale, table_mm=room[0] + 7.0)
    x = 0.0
    for v, words, dims in views:
        x0, y0, x1, y1 = v.extent
        dx, dy = x - x0, -y0
        f.view(v, dx, dy, hidden=False)
        f.words.append(Words(x, y1 - y0, words, SMALL_MM, "start", 0.0, -1.4))
        for axis, a, b in dims:
            f.dims.append(
                Linear("x", "below", 0.0, a + dx, b + dx) if axis == "x" else Linear("y", "left", x, a + dy, b + dy)
            )
        x += max(x1 - x0, text_mm(words, SMALL_MM) * scale) + BETWEEN_MM * scale
    f.notes = [
        "Fit, in the finished opening, at the moisture named below:"
        + (f" box {_said(fit.box)}." if fit.box else "")
        + (f" {'Face' if fit.box else 'door'} {_said(fit.face)}." if fit.face else "")
        + " Each gap +0.5 / 0 (common practice, no source)."
    ]
    if len(alike) > 1:
        f.notes.append(f"Drawn: {alike[0].name}; the same, or its mirror image, for {', '.join(a.name for a in alike[1:])}.")
    return f


def _said(gaps: dict[str, Gap]) -> str:
    """'1 left, 1 right, 0 under (it runs on A-G1), 2 over, 15 behind (to A-O1)'."""
    said = []
    for way, g in gaps.items():
        touching = "it runs on" if way == "under" else "against"
        to = f" ({touching} {g.next})" if g.wide_mm < SAME_MM else f" (to {g.next})"
        said.append(f"{mm(g.wide_mm)} {way}{to}")
    return ", ".join(said)


def _asked(piece: Piece, fit: Fit) -> list[tuple[int, float, Box, list[tuple[str, Gap]]]]:
    """The cuts that show the gaps: axis they are square to, place, what is shown, and the gaps that are figured there."""
    sharp = sharp_edged(piece)
    boxes = {r: true_box(sharp, sharp.member(r)) for r in fit.refs}
    if not fit.box:
        return _round_a_door(fit, list(boxes.values()))
    side = min((boxes[r] for r in fit.refs if piece.member(r).role == "drawer side"), key=lambda b: b.lo[0])
    face = next((boxes[r] for r in fit.refs if piece.member(r).role == "drawer face"), None)

    def window(low, high) -> Box:
        return Box(tuple(low), tuple(high))

    def wanted(gaps, *ways):
        return [(way, gaps[way]) for way in ways if way in gaps and gaps[way].wide_mm > SAME_MM]

    (x0, y0, z0), (x1, y1, z1) = side.lo, side.hi
    out = [(1, _opposite(piece, fit, side), window((x0 - BEYOND_MM, y0, z0 - BEYOND_MM), (x1 + SHOWN_MM, y1, z1 + BEYOND_MM)), wanted(fit.box, "left", "over", "under"))]
    if "behind" in fit.box:
        far = min(fit.box["behind"].wide_mm, 60.0) + BEYOND_MM
        out.append((0, (x0 + x1) / 2, window((x0, y1 - SHOWN_MM, z0 - BEYOND_MM), (x1, y1 + far, z1 + BEYOND_MM)), wanted(fit.box, "behind")))
    if face:
        (u0, v0, w0), (u1, v1, w1) = face.lo, face.hi
        out.append((0, (max(u0, x0) + x1) / 2, window((u0, v0 - 8, w0 - BEYOND_MM), (u1, v1 + SHOWN_MM, w1 + BEYOND_MM)), wanted(fit.face, "over", "under")))
        out.append((2, (w0 + w1) / 2, window((u0 - BEYOND_MM, v0 - 8, w0), (u0 + 1.5 * SHOWN_MM, v1 + SHOWN_MM, w1)), wanted(fit.face, "left")))
    return [o for o in out if o[3]]


def _round_a_door(fit: Fit, boxes: list[Box]) -> list[tuple[int, float, Box, list[tuple[str, Gap]]]]:
    """The cuts across each edge of a door that leaves a gap, as ``_asked``: level at its left and right, upright at its head and foot."""
    low, high = (np.array([getattr(b, end) for b in boxes]) for end in ("lo", "hi"))
    low, high, out = low.min(0), high.max(0), []
    middle = (low + high) / 2
    for way in BESIDE:
        if way not in fit.face or fit.face[way].wide_mm <= SAME_MM:
            continue
        k, sign = WAYS[way]
        a, b = low.copy(), high.copy()
        a[k], b[k] = (low[k] - BEYOND_MM, low[k] + SHOWN_MM) if sign < 0 else (high[k] - SHOWN_MM, high[k] + BEYOND_MM)
        a[1], b[1] = low[1] - 8.0, high[1] + SHOWN_MM
        square = 2 if k == 0 else 0
        out.append((square, float(middle[square]), Box(tuple(map(float, a)), tuple(map(float, b))), [(way, fit.face[way])]))
    return out


def _opposite(piece: Piece, fit: Fit, side: Box) -> float:
    """A place along the depth where what the left gap lies next to is cut too, the nearest to the middle of the side. [mm]"""
    middle = (side.lo[1] + side.hi[1]) / 2
    if "left" not in fit.box:
        return middle
    sharp = sharp_edged(piece)
    b = true_box(sharp, sharp.member(fit.box["left"].next))
    low, high = max(b.lo[1], side.lo[1]) + 1.0, min(b.hi[1], side.hi[1]) - 1.0
    return min(max(middle, low), high)


def _shown(piece: Piece, fit: Fit, axis: int, at: float, window: Box, gaps):
    """The section of one window, its words, and its figures as (paper axis, from, to); None where nothing is cut."""
    square = np.eye(3)[axis]
    normal, right, words = as_it_stands(square)
    up = np.cross(normal, right)
    # The plane lies within what is kept; behind it a little depth is enough.
    low, high = np.array(window.lo), np.array(window.hi)
    low[axis], high[axis] = at - SHOWN_MM, at + SHOWN_MM
    keep = manifold3d.Manifold.cube(tuple(high - low)).translate(tuple(low))
    sharp = sharp_edged(piece)
    near = {m.ref for m in sharp.members if all(true_box(sharp, m).hi[k] > low[k] and true_box(sharp, m).lo[k] < high[k] for k in range(3))}
    v = section(piece, tuple(normal), tuple(right), tuple(square * at), keep=keep, refs=near, parts=False)
    if not v.visible:
        return None
    dims = []
    for way, g in gaps:
        k, _ = WAYS[way]
        paper = right if abs(right[k]) > 0.5 else up
        a, b = sorted((g.from_mm * paper[k], g.to_mm * paper[k]))
        dims.append(("x" if paper is right else "y", float(a), float(b)))
    return v, f"cut, {words}", dims
