"""The model everything else reads: members, the joints between them, the fixings."""

from studio_lib.piece.model import (
    Block,
    Box,
    Hardware,
    Joint,
    Member,
    Operation,
    Part,
    Piece,
    Placement,
    Prism,
    Screws,
    Season,
    Shape,
    Shaping,
    hole,
)

__all__ = [
    "Block", "Box", "Hardware", "Joint", "Member", "Operation", "Part", "Piece", "Placement", "Prism", "Screws",
    "Season", "Shape", "Shaping", "hole",
]
