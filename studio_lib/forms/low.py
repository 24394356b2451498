"""A table that is not sat at: low beside seats for cups and books, beside a bed, or in a hall for keys and letters."""

from __future__ import annotations

from studio_lib.brief.said import behind_a_seat_asked, set_beside_asked
from studio_lib.commission import Brief
from studio_lib.forms.form import Proposal, users_of
from studio_lib.people.proposals import seat_height

GUIDE = "a furniture guide: low tables 36 to 48 in. (915 to 1220 mm) long and 18 in. (455 mm) wide"
LOW_MM = (420.0, 450.0)
"""Heights proposed for a low table beside seats; common practice, no source. A furniture guide has 19 in. (480 mm)."""
LOW_CHILDREN_MM = 350.0
"""The lowest proposed where it is for children alone; judgement of ours."""
LENGTHS_MM = (920.0, 1220.0)
"""For three people or fewer, and for more: 36 and 48 in."""
WIDTH_MM = 460.0
ROUND_MM = 920.0
"""Across a round one: common practice, no source."""
BESIDE_MM = 450.0
"""Length and width of a table beside a bed or a seat, for a glass, a lamp and a book: common practice, no source."""
BESIDE_BED_MM = 550.0
"""Height of a table beside a bed that nobody has measured: common practice, no source."""
HALL_MM = (1100.0, 350.0, 800.0)
"""Length, width and height of a table in a hall, for keys, letters and a lamp: common practice, no source."""
MIDDLE_FROM_MM = 650.0
"""A low table as wide as this has a middle rail under its bearers; judgement of ours."""
END_MM = 60.0
"""Past the legs at the ends, where nobody sits; judgement of ours."""


def in_a_hall(brief: Brief) -> bool:
    """Whether a table that nobody sits at stands at a wall, as one in a hall does."""
    return set_beside_asked(brief) == "hall" and not behind_a_seat_asked(brief)


def low_table(brief: Brief, round_top: bool = False, least_mm: float = 0.0) -> dict[str, Proposal]:
    """Length, width and height of a table that nobody sits at, by the names of the forms; ``least_mm``: the shortest that its form is made. [mm]"""
    seat = seat_height(users_of(brief)).value
    least = LOW_CHILDREN_MM if brief.sized_to_children else LOW_MM[0]
    height = min(max(seat, least), LOW_MM[1])
    out = {"height_mm": Proposal(
        height, f"low, nobody sits at it: about as high as a seat of {seat:.0f} mm beside it",
        "common practice, no source; a furniture guide has 19 in. (480 mm)",
    )}
    beside = set_beside_asked(brief)
    if beside == "bedside":
        out["height_mm"] = Proposal(BESIDE_BED_MM, "about as high as the mattress, which is yet to be measured", "common practice, no source")
    if beside == "hall":
        why = "keys, letters and a lamp, reached standing"
        long, wide, high = (Proposal(value, why, "common practice, no source") for value in HALL_MM)
        return {"length_mm": long, "width_mm": wide, "height_mm": high}
    if beside:
        across = Proposal(max(BESIDE_MM, least_mm), f"a glass, a lamp and a book beside a {'bed' if beside == 'bedside' else 'seat'}", "common practice, no source")
        return out | {"length_mm": across, "width_mm": across}
    if round_top:
        across = Proposal(ROUND_MM, "within reach from seats all round", "common practice, no source")
        return out | {"length_mm": across, "width_mm": across}
    many = brief.people > 3
    return out | {
        "length_mm": Proposal(LENGTHS_MM[many], f"cups and plates of {brief.people}", GUIDE),
        "width_mm": Proposal(WIDTH_MM, "reached across from a seat", GUIDE),
    }
