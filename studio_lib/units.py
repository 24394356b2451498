"""Reading and writing of lengths and money. Inside the library everything is mm and Decimal."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

MM_PER_INCH = 25.4
KG_PER_LB = 0.45359237
KM_PER_MILE = 1.609344
N_PER_LBF = 4.4482216152605
MPA_PER_PSI = 0.006894757
NM_PER_FT_LBF = N_PER_LBF * 0.3048
KG_M3_PER_LB_FT3 = 16.01846
"""These four: NIST Special Publication 811, appendix B.8."""
M_S = {"km/h": 1 / 3.6, "kmh": 1 / 3.6, "kph": 1 / 3.6, "mph": 0.44704, "knots": 1852 / 3600, "kn": 1852 / 3600, "kt": 1852 / 3600, "m/s": 1.0}
"""Metres a second in what speeds of the wind are given in."""
M3_PER_BOARD_FOOT = 0.3048**3 / 12
"""A foot square and an inch thick."""
M2_PER_SQ_FT = 0.3048**2
CENT = Decimal("0.01")


def mm(value: float) -> str:
    """A length for a person: whole millimetres, or one decimal where it matters.

    >>> mm(1800.0), mm(6.25)
    ('1800', '6.3')
    """
    rounded = round(value + 1e-9, 1) + 0.0
    return f"{rounded:.0f}" if abs(rounded - round(rounded)) < 0.05 else f"{rounded:.1f}"


def tenths(value: float) -> str:
    """A length always to a tenth, for columns of figures; never a 0 with a sign.

    >>> tenths(1800.0), tenths(-0.04)
    ('1800.0', '0.0')
    """
    return f"{round(value + 1e-9, 1) + 0.0:.1f}"


def size(length_mm: float, width_mm: float, thickness_mm: float) -> str:
    """Length x width x thickness, in that order always."""
    return f"{mm(length_mm)} x {mm(width_mm)} x {mm(thickness_mm)}"


def overall(length_mm: float, width_mm: float, height_mm: float) -> str:
    """What a piece measures over all, in whole millimetres: nobody meets a stool to a tenth, but a screen is only so thick.

    >>> overall(590.9, 356.6, 430.0), overall(1500.0, 44.45, 2000.0)
    ('591 x 357 x 430', '1500 x 44.5 x 2000')
    """
    return size(*(round(x, 0 if x >= 100 else 1) for x in (length_mm, width_mm, height_mm)))


def money(amount: Decimal) -> Decimal:
    """Rounded to the cent, halves up, as it is printed."""
    return Decimal(amount).quantize(CENT, ROUND_HALF_UP)


