"""Getting the piece in: doors, corridor turns, stairs, lifts, standing it up, and carrying it."""

from studio_lib.access.carry import carry
from studio_lib.access.fits import (
    corner_longest_mm,
    corner_longest_thin_mm,
    standing_up_mm,
    tilt_angle_deg,
)
from studio_lib.access.openings import (
    KINDS,
    Ceiling,
    CorridorTurn,
    Door,
    Gate,
    Lift,
    Opening,
    Stair,
    opening_from_plain,
)
from studio_lib.access.way_in import Box, Handling, not_measured, passes, way_in

__all__ = [
    "KINDS",
    "Box",
    "Ceiling",
    "CorridorTurn",
    "Door",
    "Gate",
    "Handling",
    "Lift",
    "Opening",
    "Stair",
    "carry",
    "corner_longest_mm",
    "corner_longest_thin_mm",
    "not_measured",
    "opening_from_plain",
    "passes",
    "standing_up_mm",
    "tilt_angle_deg",
    "way_in",
]
