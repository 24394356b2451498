"""Strength of clear wood when it is drier or wetter than the tables take it to be."""

from __future__ import annotations

from functools import cache

from studio_lib.timber.species import FigureMissing, Species
from studio_lib.timber.tables import rows

STRENGTH_SOURCE = "FPL-GTR-282 Eq. 5-3, tables 5-3a and 5-13"
DRIEST_PCT = 4.0
"""Curves in the handbook's figures end about here; from memory."""
OTHERS = "any other"
# Table 5-13 names the Douglas-fir and the redwood without their kinds.
WIDER_LABELS = {"douglas-fir, coast": "douglas-fir", "redwood, old-growth": "redwood", "redwood, young-growth": "redwood"}
GREEN_FIELDS = ("mor_mpa", "moe_gpa", "compression_parallel_mpa", "compression_perpendicular_mpa", "shear_mpa")


def strength_at_moisture_mpa(
    strength_12pct_mpa: float, strength_green_mpa: float, intersection_pct: float, moisture_pct: float
) -> float:
    """Strength of clear wood at another moisture content than 12 %, about 21 °C.

    Parameters
    ----------
    strength_12pct_mpa, strength_green_mpa : float
        The table's figures at 12 % and green, in one and the same unit. [MPa]
    intersection_pct : float
        Moisture content above which the property no longer changes (table 5-13). [%]
    moisture_pct : float
        4 or more; at the intersection and above it the green figure holds. [%]

    Returns
    -------
    float
        [MPa]

    Raises
    ------
    ValueError
        For figures not above 0, an intersection outside 15 to 30 %, or wood drier than 4 %.

    Notes
    -----
    Not for work to maximum load, impact bending or tension across the grain. That the green
    figure holds from the intersection up is from memory.

    Examples
    --------
    White ash, bending strength at 8 %, printed 119 500 kPa:

    >>> round(strength_at_moisture_mpa(103.0, 66.0, 24, 8), 1)
    119.5

    References
    ----------
    .. [1] Forest Products Laboratory, Wood Handbook, FPL-GTR-282, 2021, ch. 5, eq. 5-3.
    """
    for name, value in (("strength_12pct_mpa", strength_12pct_mpa), ("strength_green_mpa", strength_green_mpa)):
        if not value > 0:
            raise ValueError(f"{name} is {value}; a strength above 0, from table 5-3a.")
    if not 15 <= intersection_pct <= 30:
        raise ValueError(f"intersection_pct is {intersection_pct}; table 5-13 lies between 21 and 28 %, 25 where none is given.")
    if not moisture_pct >= DRIEST_PCT:
        raise ValueError(f"moisture_pct is {moisture_pct}; {DRIEST_PCT:g} % or more. Drier wood is not in the handbook's curves.")
    if moisture_pct >= intersection_pct:
        return strength_green_mpa
    power = (12 - moisture_pct) / (intersection_pct - 12)
    return strength_12pct_mpa * (strength_12pct_mpa / strength_green_mpa) ** power


def intersection_pct(species: Species) -> float:
    """Moisture content above which a timber's strength stays that of green wood. [%]

    25 % where the table has none of its own.

    References
    ----------
    .. [1] FPL-GTR-282, 2021, table 5-13.
    """
    label = species.label_in_source.casefold()
    found = {row["label_in_source"].casefold(): float(row["intersection_pct"]) for row in rows("intersection_moisture")}
    return found.get(WIDER_LABELS.get(label, label), found[OTHERS])


@cache
def _green() -> dict[str, dict[str, str]]:
    return {row["name"]: row for row in rows("green_strength")}


def member_strength_mpa(species: Species, field: str, moisture_pct: float) -> float:
    """A timber's own figure at another moisture content, from its green and 12 % figures.

    Parameters
    ----------
    species : Species
    field : str
        'mor_mpa', 'compression_parallel_mpa', 'compression_perpendicular_mpa', 'shear_mpa',
        or 'moe_gpa' (then the answer is in GPa).
    moisture_pct : float
        As ``strength_at_moisture_mpa``. [%]

    Returns
    -------
    float
        Mean of small clear pieces, not a design value. [MPa]

    Raises
    ------
    FigureMissing
        When the timber has no figure at 12 % or no green figure on file.
    ValueError
        For another field, and as ``strength_at_moisture_mpa``.

    Examples
    --------
    >>> from studio_lib.timber import timber
    >>> round(member_strength_mpa(timber("White ash"), "mor_mpa", 8), 1)
    119.5
    """
    if field not in GREEN_FIELDS:
        raise ValueError(f"field is {field!r}; allowed: {', '.join(GREEN_FIELDS)}.")
    (dry,) = species.needs(field)
    green = _green().get(species.name, {}).get(field)
    if not green:
        raise FigureMissing(
            f"{species.name} has no green {field} on file, so eq. 5-3 cannot be used. Above 12 % take "
            "the figure of a like timber on purpose; below 12 % the figure at 12 % errs to the low side."
        )
    return strength_at_moisture_mpa(dry, float(green), intersection_pct(species), moisture_pct)
