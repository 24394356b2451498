"""Whether a box passes: geometry alone, no hands and no packing. All sizes in mm."""

from __future__ import annotations

from math import acos, atan2, cos, degrees, hypot, pi, sin

STEPS = 60
"""Angles looked at before the best is narrowed down; the sum has one lowest place."""


def tilt_angle_deg(
    deep_mm: float, high_mm: float, opening_width_mm: float, opening_height_mm: float
) -> float | None:
    """Angle at which a cross-section passes an opening, 0 when upright; None when it never does. [deg]

    The section passes at an angle t when d cos t + h sin t <= W and d sin t + h cos t <= H.
    ``deep_mm`` lies across the opening at 0. If it does not pass at 0 or 90 degrees, the
    angle that just fills the width is the one that asks for least height, so one try
    decides. Raises ValueError for a size not above 0.

    References
    ----------
    .. [1] J. E. Wetzel, Rectangles in rectangles, Mathematics Magazine 73 (2000), after
       W. B. Carver (1957): the same question answered without an angle.
    """
    _above_0(deep_mm=deep_mm, high_mm=high_mm, opening_width_mm=opening_width_mm,
             opening_height_mm=opening_height_mm)
    if deep_mm <= opening_width_mm and high_mm <= opening_height_mm:
        return 0.0
    if high_mm <= opening_width_mm and deep_mm <= opening_height_mm:
        return 90.0
    long_side, short_side = max(deep_mm, high_mm), min(deep_mm, high_mm)
    long_way, short_way = (f(opening_width_mm, opening_height_mm) for f in (max, min))
    if short_side > short_way:
        return None
    # The longer side is too long for the opening: leant until its end just passes, it
    # asks for the least across.
    lean = atan2(short_side, long_side) + acos(long_way / hypot(long_side, short_side))
    if long_side * sin(lean) + short_side * cos(lean) > short_way:
        return None
    deep_lies_along = (deep_mm >= high_mm) == (opening_width_mm >= opening_height_mm)
    return degrees(lean) if deep_lies_along else 90 - degrees(lean)


def corner_longest_mm(first_mm: float, second_mm: float, wide_mm: float) -> float:
    """Longest rectangle of a width that turns a square corner between two corridors. [mm]

    The least, over the angle t, of (a cos t + b sin t - w) / (sin t cos t). 0 when it is
    wider than either corridor. Raises ValueError for a corridor not above 0 or a
    negative width.

    Examples
    --------
    >>> round(corner_longest_mm(900, 900, 450))
    1646
    """
    _above_0(first_mm=first_mm, second_mm=second_mm)
    if wide_mm < 0:
        raise ValueError(f"wide_mm is {wide_mm:g}; 0 or more.")
    if wide_mm >= min(first_mm, second_mm):
        return 0.0

    def longest(t: float) -> float:
        return (first_mm * cos(t) + second_mm * sin(t) - wide_mm) / (sin(t) * cos(t))

    step = pi / 2 / STEPS
    at = min((i * step for i in range(1, STEPS)), key=longest)
    low, high = max(at - step, 1e-6), min(at + step, pi / 2 - 1e-6)
    while high - low > 1e-9:
        third = (high - low) / 3
        if longest(low + third) < longest(high - third):
            high -= third
        else:
            low += third
    return longest((low + high) / 2)


def corner_longest_thin_mm(first_mm: float, second_mm: float) -> float:
    """Longest board of no width that turns a corner: (a^(2/3) + b^(2/3))^(3/2). [mm]

    The ladder round the corner of every calculus book. Raises ValueError for a corridor
    not above 0.
    """
    _above_0(first_mm=first_mm, second_mm=second_mm)
    return (first_mm ** (2 / 3) + second_mm ** (2 / 3)) ** 1.5


def standing_up_mm(tall_mm: float, deep_mm: float) -> float:
    """Height that a piece needs to be swung upright: the diagonal of the face that swings. [mm]"""
    _above_0(tall_mm=tall_mm, deep_mm=deep_mm)
    return hypot(tall_mm, deep_mm)


def sloped_length_mm(long_mm: float, thick_mm: float, height_mm: float) -> float:
    """Length on plan of a box carried with one end raised as far as the ceiling lets it. [mm]

    At the slope s where L sin s + t cos s = H it takes L cos s + t sin s of floor. Raises
    ValueError when the box is thicker than the height.
    """
    _above_0(long_mm=long_mm, thick_mm=thick_mm, height_mm=height_mm)
    if thick_mm > height_mm:
        raise ValueError(f"A box {thick_mm:g} mm thick does not pass under {height_mm:g} mm.")
    diagonal = hypot(long_mm, thick_mm)
    if diagonal <= height_mm:
        return min(thick_mm, long_mm)
    # L sin s + t cos s = R sin(s + f), f = atan(t / L).
    slope = max(pi / 2 - acos(height_mm / diagonal) - atan2(thick_mm, long_mm), 0.0)
    return min(long_mm, long_mm * cos(slope) + thick_mm * sin(slope))


def _above_0(**sizes_mm: float) -> None:
    for name, value in sizes_mm.items():
        if not value > 0:
            raise ValueError(f"{name} is {value:g}; give a size above 0 mm.")
