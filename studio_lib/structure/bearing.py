"""Which members of a piece are sat on, stood on or carry things."""

from __future__ import annotations

from studio_lib.piece import Member, Piece

BEARERS = ("slat", "seat", "top", "shelf", "lid", "breadboard", "board")
"""Words in the role of a member that people sit on or things stand on."""
NOT_BEARERS = ("back", "front", "end", "side", "bottom", "plinth", "rest", "rail", "bearer", "post", "stop")


def bearing(piece: Piece) -> list[Member]:
    """Level members that people sit on or things stand on."""
    return [
        m for m in piece.members
        if any(word in m.role for word in BEARERS) and abs(m.placement.along[2]) < 0.3
        and not any(word in m.role for word in NOT_BEARERS) and m.piece_box.size[2] < max(m.width_mm, m.thickness_mm) + 1
    ]
