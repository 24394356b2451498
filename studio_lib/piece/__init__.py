"""The model everything else reads: members, the joints between them, the fixings."""

from studio_lib.piece.model import (
    Box,
    Joint,
    Member,
    Operation,
    Piece,
    Placement,
    Screws,
    Shape,
)

__all__ = ["Box", "Joint", "Member", "Operation", "Piece", "Placement", "Screws", "Shape"]
