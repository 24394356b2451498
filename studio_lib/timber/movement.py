"""Movement of boards across the grain as their moisture content changes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.timber.moisture import MoistureRange
from studio_lib.timber.species import FIGURES, WAYS_OUT, FigureMissing, Species

SAWINGS = ("flat", "quarter", "mixed")

NARROW_PCT = (6.0, 14.0)
WIDE_PCT = (0.0, 30.0)
LINEAR_PCT = (0.0, 25.0)
# Measured as a straight line between two climates: no total shrinkage is behind them.
LINEAR_BASES = ("unit shrinkage", "differential swelling")

NARROW_SOURCE = "FPL-GTR-190 Eq. 13-2"
WIDE_SOURCE = "FPL-GTR-190 Eq. 13-3"


@dataclass(frozen=True)
class Movement:
    """Change of a member's width, and how it was found."""

    mm: float
    """Positive when it grows. [mm]"""
    says: str
    source: str


@dataclass(frozen=True)
class SlatGap:
    """Gap between two neighbouring slats, worst case at either end. [mm]"""

    at_making_mm: float
    at_driest_mm: float
    """With boards made moister than meant and the gap set wide: for finger limits."""
    at_wettest_mm: float
    """With boards made drier than meant and the gap set narrow: what is left to drain."""
    says: str
    source: str


def movement_mm(
    width_mm: float, coefficient: float, from_pct: float, to_pct: float
) -> float:
    """Change in a solid board's width as its moisture content changes, 6 to 14 %.

    Parameters
    ----------
    width_mm : float
        Width while at ``from_pct``. [mm]
    coefficient : float
        Dimensional change coefficient: tangential for a flat-sawn board,
        radial for a quarter-sawn one. [per % moisture content]
    from_pct, to_pct : float
        Moisture content before and after, each within 6 to 14. [%]

    Returns
    -------
    float
        Positive when the board grows, negative when it shrinks. [mm]

    Raises
    ------
    ValueError
        For a moisture content outside 6 to 14 %, or a width or coefficient not above 0.

    Examples
    --------
    >>> round(movement_mm(232, 0.00245, 8, 11), 1)
    1.7

    References
    ----------
    .. [1] Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010,
       ch. 13, eq. 13-2 and table 13-5.
    """
    _width(width_mm)
    if not 0 < coefficient < 0.01:
        raise ValueError(
            f"coefficient is {coefficient}; it is a fraction of the width per 1 %, "
            "between 0 and 0.01. Beech, among the liveliest in table 13-5, has 0.00431."
        )
    _within(
        NARROW_PCT, from_pct, to_pct,
        "eq. 13-2 holds from 6 to 14 % only. Use movement_wide_mm (eq. 13-3) beyond that.",
    )
    return width_mm * coefficient * (to_pct - from_pct)


def movement_wide_mm(
    width_mm: float, shrink_pct: float, from_pct: float, to_pct: float
) -> float:
    """Change in a solid board's width for moisture contents up to 30 %.

    Parameters
    ----------
    width_mm : float
        Width while at ``from_pct``. [mm]
    shrink_pct : float
        Total shrinkage from green to ovendry: tangential for a flat-sawn board, radial
        for a quarter-sawn one. Never one measured to 12 %. [%]
    from_pct, to_pct : float
        Moisture content before and after, each within 0 to 30. [%]

    Returns
    -------
    float
        Positive when the board grows, negative when it shrinks. [mm]

    Raises
    ------
    ValueError
        For a moisture content outside 0 to 30 %, or a shrinkage not between 0 and 20 %.

    Notes
    -----
    Shrinkage is taken as a straight line from 30 % down, of the green size; the form of
    the equation is from memory, its limits are as printed.

    Examples
    --------
    >>> round(movement_wide_mm(232, 7.0, 8, 11), 1)
    1.7

    References
    ----------
    .. [1] Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, ch. 13, eq. 13-3.
    """
    _width(width_mm)
    if not 0 < shrink_pct < 20:
        raise ValueError(
            f"shrink_pct is {shrink_pct}; total shrinkage green to ovendry lies between "
            "0 and 20 %. Give percent, not a fraction."
        )
    _within(
        WIDE_PCT, from_pct, to_pct,
        "eq. 13-3 holds from 0 to 30 %. Above that wood does not move: use 30.",
    )
    return width_mm * (to_pct - from_pct) / (3000 / shrink_pct - 30 + from_pct)


def member_movement(
    species: Species, width_mm: float, sawing: str, from_pct: float, to_pct: float
) -> Movement:
    """Change of a member's width by the figures that its timber has on file.

    Parameters
    ----------
    species : Species
    width_mm : float
        Across the grain, while at ``from_pct``. [mm]
    sawing : str
        'flat' (tangential figure), 'quarter' (radial figure) or 'mixed' (tangential,
        the larger, because such a board may be either).
    from_pct, to_pct : float
        Moisture content before and after. [%]

    Returns
    -------
    Movement

    Raises
    ------
    FigureMissing
        When the timber has no movement figure.
    ValueError
        For an unknown sawing, or a moisture content beyond the figures' range (30 %, or
        25 % for timbers with only a straight-line figure).

    Notes
    -----
    Within 6 to 14 % the coefficient serves (eq. 13-2); beyond, the total shrinkage (eq.
    13-3), worked back from the coefficient where only that is of the handbook's kind.
    Australian unit shrinkage and European differential swelling are used as they stand,
    as straight lines up to 25 %: past about 20 % that errs to more movement.
    """
    if sawing not in SAWINGS:
        raise ValueError(f"sawing is {sawing!r}; allowed: {', '.join(SAWINGS)}.")
    way = "radial" if sawing == "quarter" else "tangential"
    field, shrink_field = f"movement_{way}_per_pct", f"shrink_{way}_pct"
    coefficient = getattr(species, field)
    shrink_pct = getattr(species, shrink_field)
    lead = f"{way} movement of {species.name}"
    if sawing == "mixed":
        lead += ", the larger, as the sawing is mixed"
    if coefficient is None:
        raise FigureMissing(_no_coefficient(species, field, width_mm, shrink_pct))
    own = species.source_of(field)
    if species.movement_basis in LINEAR_BASES:
        _width(width_mm)
        _within(
            LINEAR_PCT, from_pct, to_pct,
            f"the {species.movement_basis} of {species.name} is a straight line up to 25 %. "
            "Keep the piece drier, or choose a timber with total shrinkage on file.",
        )
        change = width_mm * coefficient * (to_pct - from_pct)
        says = f"{lead}: {species.movement_basis} {coefficient:g} per 1 %, a straight line"
        return Movement(change, says, own)
    if NARROW_PCT[0] <= min(from_pct, to_pct) and max(from_pct, to_pct) <= NARROW_PCT[1]:
        change = movement_mm(width_mm, coefficient, from_pct, to_pct)
        return Movement(change, f"{lead}: {coefficient:g} per 1 %", f"{NARROW_SOURCE}; {own}")
    if species.shrink_basis == "green to ovendry":
        total, said = shrink_pct, f"total shrinkage {shrink_pct:g} %"
        own = species.source_of(shrink_field)
    else:
        total = shrink_pct_from_coefficient(coefficient)
        said = f"total shrinkage {total:.1f} %, worked back from {coefficient:g} per 1 %"
    change = movement_wide_mm(width_mm, total, from_pct, to_pct)
    return Movement(change, f"{lead}: {said}", f"{WIDE_SOURCE}; {own}")


def member_movement_mm(
    species: Species, width_mm: float, sawing: str, from_pct: float, to_pct: float
) -> float:
    """Change of a member's width, the figure alone; see ``member_movement``. [mm]"""
    return member_movement(species, width_mm, sawing, from_pct, to_pct).mm


def movement_at_angle(
    species: Species, size_mm: float, ring_angle_deg: float, across: str, from_pct: float, to_pct: float
) -> Movement:
    """Change of a member's width or thickness, its growth rings at any angle to the face.

    Parameters
    ----------
    species : Species
    size_mm : float
        Width or thickness while at ``from_pct``. [mm]
    ring_angle_deg : float
        Between the rings and the face: 0 flat-sawn, 45 rift, 90 quarter-sawn. [deg]
    across : str
        'width' or 'thickness'.
    from_pct, to_pct : float
        Moisture content before and after, as ``member_movement``. [%]

    Returns
    -------
    Movement

    Raises
    ------
    FigureMissing, ValueError
        As ``member_movement``; ValueError for an angle outside 0 to 90 or another direction.

    Notes
    -----
    Across the width the part of the tangential movement is cos2 of the angle, that of the radial
    sin2; across the thickness the other way round. That is how any small strain turns with its axes
    (plane strain transformation, in any textbook of mechanics), so it is no rule of thumb; a
    straight line between flat and quarter, the other custom, gives as much at 45 degrees.
    The rings are taken as straight: for a board close to the pith use ``rings.mean_ring_angle_deg``.

    Examples
    --------
    White fir, the handbook's own board, flat-sawn:

    >>> from studio_lib.timber import timber
    >>> round(movement_at_angle(timber("White fir"), 232, 0, "width", 8, 11).mm, 1)
    1.7
    """
    if not 0 <= ring_angle_deg <= 90:
        raise ValueError(f"ring_angle_deg is {ring_angle_deg}; 0 flat-sawn to 90 quarter-sawn, between rings and face.")
    if across not in ("width", "thickness"):
        raise ValueError(f"across is {across!r}; allowed: width, thickness.")
    flat = member_movement(species, size_mm, "flat", from_pct, to_pct)
    quarter = member_movement(species, size_mm, "quarter", from_pct, to_pct)
    part = math.cos(math.radians(ring_angle_deg)) ** 2
    if across == "thickness":
        part = 1 - part
    says = (
        f"rings at {round(ring_angle_deg, 1):g} degrees to the face, across the {across}: "
        f"{100 * part:.0f} % of the tangential, {100 - 100 * part:.0f} % of the radial movement; {flat.says}"
    )
    source = flat.source if flat.source == quarter.source else f"{flat.source}; radial: {quarter.source}"
    return Movement(part * flat.mm + (1 - part) * quarter.mm, says, source)


def shrink_pct_from_coefficient(coefficient: float) -> float:
    """Total shrinkage behind a handbook coefficient, which is eq. 13-3 taken at 10 %.

    Examples
    --------
    White fir, table 13-5 and table 4-3:

    >>> round(shrink_pct_from_coefficient(0.00245), 1)
    7.0
    """
    return 3000 * coefficient / (1 + 20 * coefficient)


def slat_gap_mm(
    species: Species,
    width_mm: float,
    sawing: str,
    moisture: MoistureRange,
    least_gap_mm: float,
    tolerance_mm: float,
) -> SlatGap:
    """Gap to leave between slats at making, so that enough is left when they are wettest.

    Each slat is held at its middle, so a gap closes by the growth of one whole slat.
    The boards may be off the making moisture content by its tolerance, either way.

    Parameters
    ----------
    species : Species
    width_mm : float
        Slat width at making. [mm]
    sawing : str
        'flat', 'quarter' or 'mixed'.
    moisture : MoistureRange
        From ``service_range``. [%]
    least_gap_mm : float
        What must stay open to drain, at the wettest. [mm]
    tolerance_mm : float
        How far off a gap may be set. [mm]

    Returns
    -------
    SlatGap

    Raises
    ------
    ValueError
        For a negative gap or tolerance, and as ``member_movement``.
    """
    for name, value in (("least_gap_mm", least_gap_mm), ("tolerance_mm", tolerance_mm)):
        if value < 0:
            raise ValueError(f"{name} is {value}; 0 or more.")
    driest_made = moisture.making_pct - moisture.tolerance_pct
    wettest_made = moisture.making_pct + moisture.tolerance_pct
    growth = member_movement(species, width_mm, sawing, driest_made, moisture.high_pct)
    shrinking = member_movement(species, width_mm, sawing, wettest_made, moisture.low_pct)
    at_making = least_gap_mm + growth.mm + tolerance_mm
    at_driest = at_making - shrinking.mm + tolerance_mm
    says = (
        f"{at_making:.1f} mm at making ({moisture.making_pct:g} %): {least_gap_mm:g} mm to "
        f"drain, {growth.mm:.1f} mm for a slat growing from {driest_made:g} to "
        f"{moisture.high_pct:g} %, {tolerance_mm:g} mm for setting. "
        f"At {moisture.low_pct:g} % it opens to {at_driest:.1f} mm at most. {growth.says}."
    )
    return SlatGap(at_making, at_driest, least_gap_mm, says, growth.source)


def _no_coefficient(species, field, width_mm, shrink_pct) -> str:
    words = f"{species.name} has no {FIGURES[field]} on file"
    if species.shrink_basis == "saturated to ovendry" and shrink_pct is not None:
        words += (
            ", and the handbook's equations do not hold for it. Its whole swing from "
            f"saturated to ovendry is {shrink_pct:g} % of the width, "
            f"{width_mm * shrink_pct / 100:.1f} mm here: allow for all of that"
        )
    return f"{words}. {WAYS_OUT}"


def _width(width_mm: float) -> None:
    if not width_mm > 0:
        raise ValueError(f"width_mm is {width_mm}; a width above 0.")


def _within(limits, from_pct, to_pct, words) -> None:
    low, high = limits
    for name, pct in (("from_pct", from_pct), ("to_pct", to_pct)):
        if not low <= pct <= high:
            raise ValueError(f"{name} is {pct} %; {words}")
