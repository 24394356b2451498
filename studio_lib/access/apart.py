"""What a piece becomes when all that is only screwed, buttoned, bolted or hung is taken off it."""

from __future__ import annotations

from studio_lib.access.way_in import Box
from studio_lib.piece import Piece
from studio_lib.piece.order import together

MOST_KINDS = 8
MOST_PARTS = 16
"""More than this no one takes apart for a door; judgement of ours."""
SMALL_MM = 150.0
"""A knob, a button or a block up to this long stays where it is fixed; judgement of ours."""
STRIP_MM = 60.0
"""A single member no thicker either way goes in under an arm: nobody measures a stair for it; judgement of ours."""
STAYS_MM = 1.0
"""What stands out of the largest part by no more than this may stay on it."""
SPLITS = {"bench": ("length",), "bookcase": ("height", "length"), "cabinet": ("height", "length"), "framed screen": ("length",),
          "strung screen": ("length",), "freehand": ("length", "width", "height")}
"""Sizes that a form may sensibly be made in parts along; a table, a stool or a chest is never cut. Judgement of ours."""


def splits_of(form: str) -> tuple[str, ...]:
    """The sizes along which that form is made in parts, where it must be."""
    return SPLITS.get(form, ())


def taken_apart(piece: Piece, refs: tuple[str, ...], weight_kg: float | None = None) -> tuple[Box, ...]:
    """Boxes of the parts of one carried thing, the largest first; () where nothing that comes off makes it smaller.

    Parts hold together by joints that are not dry; one that lies within the box of the largest stays on it. Weight goes
    by share of volume. [mm, kg]
    """
    block = {r: piece.by_ref[r].length_mm * piece.by_ref[r].width_mm * piece.by_ref[r].thickness_mm for r in refs}
    held = [(j.first, j.second) for j in piece.joints if not j.dry and j.first in block and j.second in block]
    small = [g for g in together(refs, held) if max(b - a for a, b in zip(*_reach(piece, g))) < SMALL_MM]
    tight = {r for g in small for r in g}
    held += [(j.first, j.second) for j in piece.joints if j.first in block and j.second in block and tight & {j.first, j.second}]
    groups = together(refs, held)
    if len(groups) < 2:
        return ()
    base = max(groups, key=lambda g: _volume(_reach(piece, g)))
    (low, high), inside, off = _reach(piece, base), list(base), []
    for group in groups:
        if group is base:
            continue
        lo, hi = _reach(piece, group)
        within = all(a >= b - STAYS_MM for a, b in zip(lo, low)) and all(a <= b + STAYS_MM for a, b in zip(hi, high))
        (inside.extend if within else off.append)(group)
    if not off or len(off) >= MOST_PARTS:
        return ()
    whole = sum(block.values())

    def box(group) -> Box:
        mass = None if weight_kg is None else weight_kg * sum(block[r] for r in group) / whole
        return Box(_called(piece, group), *_sides(piece, group), mass)

    first = box(base)
    mass = None if weight_kg is None else weight_kg * sum(block[r] for r in inside) / whole
    boxes = (Box(first.name, *first.sides_mm, mass), *map(box, off))
    return boxes if len({(b.name, b.sides_mm) for b in boxes}) <= MOST_KINDS else ()


def _reach(piece: Piece, refs):
    boxes = [piece.member(r).piece_box for r in refs]
    return tuple(min(b.lo[k] for b in boxes) for k in range(3)), tuple(max(b.hi[k] for b in boxes) for k in range(3))


def _sides(piece: Piece, refs) -> tuple[float, float, float]:
    """The sides of the box round a part as it lies square by itself: a leaf that stands at an angle is no thicker for it. [mm]"""
    level = [m for m in map(piece.member, refs) if abs(m.placement.along[2]) < 0.1]
    x, y = max(level, key=lambda m: m.length_mm).placement.along[:2] if level else (1.0, 0.0)
    if min(abs(x), abs(y)) < 1e-6:
        x, y = 1.0, 0.0
    corners = [m.placement.to_piece((a, b, c)) for m in map(piece.member, refs)
               for a in (0.0, m.length_mm) for b in (0.0, m.width_mm) for c in (0.0, m.thickness_mm)]
    turned = [(x * p[0] + y * p[1], x * p[1] - y * p[0], p[2]) for p in corners]
    return tuple(round(max(side) - min(side), 1) for side in zip(*turned))


def _volume(reach) -> float:
    (a, b, c), (d, e, f) = reach
    return (d - a) * (e - b) * (f - c)


def _called(piece: Piece, refs) -> str:
    """A plain word for a group, by what is in it."""
    members = [piece.member(r) for r in refs]
    names, roles = [m.name.lower() for m in members], {m.role for m in members}
    for word in ("door", "drawer", "lid"):
        if all(word in n for n in names):
            return word
    if {"post", "foot", "top bearer"} <= roles and not roles & {"board", "slat"}:
        return "trestle" if "stretcher" not in roles else "frame of two trestles"
    if any("top" in n.replace(",", " ").split() for n in (*names, *roles)) and not roles & {"leg", "side", "stile"}:
        return "top"
    if all("seat" in n for n in names):
        return "seat"
    if len(roles) == 1:
        return roles.pop()
    stiles = [m.name for m in members if m.role == "stile"]
    if stiles and all("leaf" in n for n in stiles):
        return "leaf"
    if roles & {"leg", "post"}:
        return "frame"
    return "case" if roles & {"side", "stile", "front", "end", "panel"} else "frame"
