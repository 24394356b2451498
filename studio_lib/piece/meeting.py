"""How two members square to each other meet: which axes agree, and where their blocks touch or share room."""

from __future__ import annotations

from functools import lru_cache

from studio_lib.piece.model import Block, Box, Member, Vec

TOUCHES_MM = 0.5
"""Faces this near count as touching."""


def named(member: Member) -> str:
    """A member as it is called in a sentence."""
    return f"{member.name} ({member.ref})"


def axis_of(member: Member, way: Vec) -> int:
    """Which of a member's own axes lies along a direction of the piece: 0 length, 1 width, 2 thickness.

    Raises ValueError, in words, for a direction aslant to it.
    """
    local = member.placement.turn_back(way)
    axis = max(range(3), key=lambda k: abs(local[k]))
    if abs(local[axis]) < 1 - 1e-6:
        raise ValueError(f"{named(member)} stands aslant to its neighbour; this joint needs the two square to each other.")
    return axis


@lru_cache(maxsize=4096)
def seen_from(other: Member, member: Member) -> Box:
    """The block of ``other`` in ``member``'s own axes. Raises ValueError where they are aslant."""
    axis_of(member, other.placement.along), axis_of(member, other.placement.across)
    square = other.placement.square and member.placement.square
    return member.placement.box_to_member(other.piece_box) if square else _relative(other, member)


def _relative(other: Member, member: Member) -> Box:
    corners = [
        member.placement.to_member(other.placement.to_piece((x, y, z)))
        for x in (0.0, other.length_mm) for y in (0.0, other.width_mm) for z in (0.0, other.thickness_mm)
    ]
    return Box(tuple(min(c[k] for c in corners) for k in range(3)), tuple(max(c[k] for c in corners) for k in range(3)))


def inside(block: Block, member: Member) -> Block:
    """A cut as far as the member goes, where both are square; ValueError where it meets no timber."""
    if not isinstance(block, Box):
        return block
    met = block.meet(member.box)
    if met is None:
        raise ValueError(f"The joint no longer meets {named(member)}. Move the two together, or take the joint out.")
    return met


def given(kind: str, family: str, figures: dict[str, float] | None, limits: dict[str, tuple[float, float]],
          words: dict[str, str], whole: tuple[str, ...] = ()) -> dict[str, float]:
    """The maker's figures, each inside its limits; ValueError in words for one that is not."""
    for name, value in (figures or {}).items():
        if name not in words:
            raise ValueError(f"{family}: a {kind} has no {name!r}. It has: {', '.join(words)}.")
        low, high = limits[name]
        if not low - 1e-9 <= value <= high + 1e-9 or (name in whole and value != int(value)):
            raise ValueError(
                f"{family}: {words[name].partition(',')[0].lower()} is {value:g}; give {low:.4g} to {max(high, low):.4g}"
                f"{', a whole number' if name in whole else ''}."
            )
    return dict(figures or {})
