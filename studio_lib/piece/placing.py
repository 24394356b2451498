"""Putting a member in its place: by a corner, against another member, or between two."""

from __future__ import annotations

from studio_lib.piece.model import Box, Member, Placement, Vec

DIRECTIONS: dict[str, Vec] = {
    "x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0),
    "-x": (-1.0, 0.0, 0.0), "-y": (0.0, -1.0, 0.0), "-z": (0.0, 0.0, -1.0),
}
SIDES: dict[str, tuple[int, int]] = {
    "left": (0, -1), "right": (0, 1), "front": (1, -1), "behind": (1, 1), "below": (2, -1), "above": (2, 1),
}
"""Axis and sign of each side of a piece: x to the right, y to the back, z up."""
ALIGNED = ("low", "middle", "high")


def laid(low: Vec, along: str, across: str, length_mm: float, width_mm: float, thickness_mm: float) -> Placement:
    """The place of a member square to the piece, by the low corner of the block it fills.

    Parameters
    ----------
    low : x, y, z
        Least coordinates of the block, whichever way the member runs. [mm]
    along, across : str
        Directions of its length and of its width: 'x', '-y', ... Its face then looks along
        ``along`` x ``across``.

    Raises
    ------
    ValueError
        For a direction not on file, or for length and width in one direction.
    """
    for name in (along, across):
        if name not in DIRECTIONS:
            raise ValueError(f"{name!r} is no direction; give one of {', '.join(DIRECTIONS)}.")
    if along[-1] == across[-1]:
        raise ValueError(f"A member cannot have both its length and its width along {along[-1]}.")
    at = Placement((0.0, 0.0, 0.0), DIRECTIONS[along], DIRECTIONS[across])
    origin = list(low)
    for way, size in ((at.along, length_mm), (at.across, width_mm), (at.through, thickness_mm)):
        for k, c in enumerate(way):
            if c < -0.5:
                origin[k] += size
    return Placement(tuple(float(v) for v in origin), at.along, at.across)


def extents(along: str, across: str, length_mm: float, width_mm: float, thickness_mm: float) -> Vec:
    """Size of the block a square member fills, in x, y, z. [mm]"""
    out = {along[-1]: length_mm, across[-1]: width_mm}
    third = next(a for a in "xyz" if a not in out)
    out[third] = thickness_mm
    return (out["x"], out["y"], out["z"])


def _aligned(low: float, high: float, size: float, how: str) -> float:
    if how not in ALIGNED:
        raise ValueError(f"{how!r} is no way to align; give low, middle or high.")
    return {"low": low, "middle": (low + high - size) / 2, "high": high - size}[how]


def against(
    other: Member, side: str, along: str, across: str, length_mm: float, width_mm: float, thickness_mm: float,
    align: dict[str, str] | None = None, shift_mm: Vec = (0.0, 0.0, 0.0),
) -> Placement:
    """The place of a member that touches one side of another.

    ``align`` says for the two free axes whether it lies at the other's low end, middle or
    high end: {'x': 'low', 'z': 'high'}; the middle where it says nothing.
    """
    if side not in SIDES:
        raise ValueError(f"{side!r} is no side; give one of {', '.join(SIDES)}.")
    axis, sign = SIDES[side]
    box = other.piece_box
    size = extents(along, across, length_mm, width_mm, thickness_mm)
    low = [
        _aligned(box.lo[k], box.hi[k], size[k], (align or {}).get("xyz"[k], "middle")) for k in range(3)
    ]
    low[axis] = box.hi[axis] if sign > 0 else box.lo[axis] - size[axis]
    return laid(tuple(a + b for a, b in zip(low, shift_mm)), along, across, length_mm, width_mm, thickness_mm)


def spanning(
    one: Member, two: Member, width_mm: float, thickness_mm: float, upright: bool = True,
    align: dict[str, str] | None = None, shift_mm: Vec = (0.0, 0.0, 0.0),
) -> tuple[Placement, float]:
    """The place and the length of a rail that fills the gap between two members.

    It runs in the direction in which the two stand furthest apart. ``upright``: its width
    stands, as an apron's does; else it lies flat. Raises ValueError where the two leave no gap.
    """
    a, b = one.piece_box, two.piece_box
    gaps = [max(b.lo[k] - a.hi[k], a.lo[k] - b.hi[k]) for k in range(3)]
    axis = max(range(3), key=lambda k: gaps[k])
    if gaps[axis] <= 0:
        raise ValueError(f"{one.name} ({one.ref}) and {two.name} ({two.ref}) leave no gap that a rail could span.")
    length = gaps[axis]
    along = "xyz"[axis]
    across = next(c for c in (("z", "y", "x") if upright else ("y", "x", "z")) if c != along)
    size = extents(along, across, length, width_mm, thickness_mm)
    shared = Box(
        tuple(max(p, q) for p, q in zip(a.lo, b.lo)), tuple(min(p, q) for p, q in zip(a.hi, b.hi))
    )
    low = [
        _aligned(shared.lo[k], shared.hi[k], size[k], (align or {}).get("xyz"[k], "middle")) for k in range(3)
    ]
    low[axis] = min(a.hi[axis], b.hi[axis])
    return laid(tuple(p + s for p, s in zip(low, shift_mm)), along, across, length, width_mm, thickness_mm), length
