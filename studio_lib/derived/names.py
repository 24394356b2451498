"""Words and bounds that several kinds of question share."""

from __future__ import annotations

from studio_lib.piece import Piece

SAWN_AT_DEG = {"flat": 0.0, "mixed": 0.0, "quarter": 90.0}
"""Ring angle where none was measured; boards of mixed sawing may be flat-sawn, which moves most. [deg]"""
LEAVE = "leave of others"
SHELF_SAG = "sag, shelf"


def marked(piece: Piece, found):
    """Findings marked as this piece's."""
    return [f if f.piece == piece.name else f.of(piece.name) for f in found]


def letter(i: int) -> str:
    """A for the first piece, B for the second; after Z the letters double."""
    return chr(ord("A") + i % 26) * (1 + i // 26)

OF_ONE_SLAT = ("bending of one slat", "give of one slat", "slats pushed apart", "bending of a let-in bar", "bending of a tied slat", "give of a tied slat")
"""Checks of slats by themselves, which the bent shape of the whole piece does not show."""
