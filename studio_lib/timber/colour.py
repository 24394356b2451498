"""Colours: screen values (sRGB) to CIELAB and back, so that mixing looks even to the eye.

IEC 61966-2-1:1999 for sRGB, CIE 15:2004 for CIELAB, white point D65, 2 degree observer.
"""

from __future__ import annotations

import re

WHITE_XYZ = (0.95047, 1.0, 1.08883)
TO_XYZ = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
FROM_XYZ = (
    (3.2404542, -1.5371385, -0.4985314),
    (-0.9692660, 1.8760108, 0.0415560),
    (0.0556434, -0.2040259, 1.0572252),
)
CIE_EPSILON, CIE_KAPPA = 216 / 24389, 24389 / 27
OUTSIDE = 0.02
"""How far past 0 or 1 a channel may come from rounding before it counts as no screen colour."""

Lab = tuple[float, float, float]


def lab_from_hex(colour_hex: str) -> Lab:
    """L* (0 to 100), a* and b* of a screen colour such as '#c2a074'.

    Raises
    ------
    ValueError
        When it is not written as # and six hexadecimal digits.

    Examples
    --------
    >>> [round(v, 1) for v in lab_from_hex("#ff0000")]
    [53.2, 80.1, 67.2]
    """
    if not re.fullmatch("#[0-9a-fA-F]{6}", colour_hex):
        raise ValueError(f"colour_hex is {colour_hex!r}; write # and six hexadecimal digits, such as #c2a074.")
    linear = [_linear(int(colour_hex[i : i + 2], 16) / 255) for i in (1, 3, 5)]
    x, y, z = (_curve(_dot(row, linear) / white) for row, white in zip(TO_XYZ, WHITE_XYZ))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def hex_from_lab(lab: Lab) -> str:
    """Screen colour nearest to L*, a*, b*.

    Raises
    ------
    ValueError
        When no screen can show the colour.
    """
    lightness, a, b = lab
    y = (lightness + 16) / 116
    xyz = [_uncurve(v) * white for v, white in zip((y + a / 500, y, y - b / 200), WHITE_XYZ)]
    channels = [_gamma(_dot(row, xyz)) for row in FROM_XYZ]
    if not all(-OUTSIDE <= c <= 1 + OUTSIDE for c in channels):
        raise ValueError(f"L* {lightness:.0f}, a* {a:.0f}, b* {b:.0f} lies outside what a screen shows; give a colour nearer grey.")
    return "#" + "".join(f"{round(255 * min(max(c, 0.0), 1.0)):02x}" for c in channels)


def mix_lab(one: Lab, other: Lab, part: float) -> Lab:
    """The colour that lies ``part`` (0 to 1) of the way from one to the other."""
    return tuple(p + (q - p) * part for p, q in zip(one, other))


def difference(one_hex: str, other_hex: str) -> float:
    """Colour difference as the eye sees it: CIE 1976 distance; about 2 is just noticed (from memory)."""
    return sum((p - q) ** 2 for p, q in zip(lab_from_hex(one_hex), lab_from_hex(other_hex))) ** 0.5


def _dot(row, values) -> float:
    return sum(p * q for p, q in zip(row, values))


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def _gamma(linear: float) -> float:
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055


def _curve(part: float) -> float:
    return part ** (1 / 3) if part > CIE_EPSILON else (CIE_KAPPA * part + 16) / 116


def _uncurve(value: float) -> float:
    return value**3 if value**3 > CIE_EPSILON else (116 * value - 16) / CIE_KAPPA
