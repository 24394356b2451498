"""Statics of steel uprights clamped to a railing, which hold a screen: forces on the clamps, bending of the tube, what the railing must carry."""

from __future__ import annotations

from dataclasses import dataclass

CLAMPED = "by clamps to a railing"
"""How a screen on such uprights is fixed, to follow 'fixed'."""
YIELD_MPA = 235.0
"""S235 up to 40 mm thick: EN 1993-1-1 table 3.1; divided by a factor of 1.0 for the section, 6.1."""
E_MPA = 210_000.0
"""Steel: EN 1993-1-1 3.2.6."""
STEEL_KG_M3 = 7850.0
"""EN 1991-1-1 table A.4: 77 to 78.5 kN/m3, from memory."""
TUBES_MM = ((40.0, 3.0), (50.0, 3.0), (60.0, 4.0), (80.0, 5.0))
"""Square tubes of the trade, outside and wall. A choice of ours out of EN 10219-2."""
TUBES = tuple(f"{b:g} x {b:g} x {t:g} mm" for b, t in TUBES_MM)
BEND_SHARE = 100.0
"""The tube's top moves aside by no more than this part of what stands above the railing; a judgement of ours."""


@dataclass(frozen=True)
class Tube:
    """Section of a square steel tube."""

    area_mm2: float
    second_mm4: float
    modulus_mm3: float


def tube(outside_mm: float, wall_mm: float) -> Tube:
    """Section of a cold-formed square tube with its round corners: 2 t outside, t inside up to 6 mm of wall (EN 10219-2 annex B).

    Raises ValueError for walls thicker than 6 mm or than a quarter of the tube.
    """
    if not 0 < wall_mm <= min(6.0, outside_mm / 4):
        raise ValueError(f"A tube of {outside_mm:g} mm with walls of {wall_mm:g} mm; give walls of up to {min(6.0, outside_mm / 4):g} mm.")
    (area, second), (hollow, lost) = _rounded(outside_mm, 2 * wall_mm), _rounded(outside_mm - 2 * wall_mm, wall_mm)
    return Tube(area - hollow, second - lost, 2 * (second - lost) / outside_mm)


def _rounded(side_mm: float, radius_mm: float) -> tuple[float, float]:
    """Area and second moment about its middle of a square with round corners. [mm2, mm4]"""
    from math import pi

    # What a corner lacks, as a square spandrel: its area, how far its middle lies from the square's corner, its own second moment.
    lacks, off, own = (1 - pi / 4) * radius_mm**2, (10 - 3 * pi) / (12 - 3 * pi) * radius_mm, (1 / 3 - pi / 16 - 1 / (36 - 9 * pi)) * radius_mm**4
    return side_mm**2 - 4 * lacks, side_mm**4 / 12 - 4 * (own + lacks * (side_mm / 2 - off) ** 2)


@dataclass(frozen=True)
class Held:
    """What one upright does under a load over its height or at one place of it. Forces in N, moments in N mm."""

    top_n: float
    """On the clamp at the top rail."""
    low_n: float
    """On the clamp at the lower rail or foot; below 0 it pulls the other way."""
    bends_n_mm: float
    """The largest moment in the tube."""
    moves_mm: float
    """How far its top moves aside for each mm4 of its second moment: divide by that."""

    @property
    def hardest_n(self) -> float:
        return max(abs(self.top_n), abs(self.low_n))


def blown(load_n: float, height_mm: float, top_mm: float, low_mm: float, goes_up: bool = True) -> Held:
    """A load spread evenly from the floor to a height, on an upright clamped at two places.

    A beam on two supports that overhangs them (AISC Manual table 3-23, case 24, for one that begins at its lower support). Where the upright
    ends at the railing its clamps take the same, and the screen's own stiles the bending above it. Raises ValueError where the lower clamp
    is not below the upper one.
    """
    _apart(top_mm, low_mm)
    reach, w = top_mm - low_mm, load_n / height_mm
    upper = load_n * (height_mm / 2 - low_mm) / reach
    lower = load_n - upper
    over, turn = max(height_mm - top_mm, 0.0), min(low_mm, height_mm)
    hogs = w * over**2 / 2 if goes_up else 0.0
    place = lower / w
    sags = lower * (place - low_mm) - w * place**2 / 2 if low_mm < place < min(top_mm, height_mm) else 0.0
    moves = w * over / (24 * E_MPA) * (4 * over**2 * reach - reach**3 + 3 * over**3) if goes_up and over else 5 * w * reach**4 / (384 * E_MPA)
    return Held(upper, lower, max(hogs, abs(sags), w * turn**2 / 2), abs(moves))


def leant(load_n: float, at_mm: float, top_mm: float, low_mm: float, goes_up: bool = True) -> Held:
    """A load at one height: the same beam. Raises ValueError where the lower clamp is not below the upper one."""
    _apart(top_mm, low_mm)
    reach = top_mm - low_mm
    upper = load_n * (at_mm - low_mm) / reach
    over, inside = at_mm - top_mm, min(max(at_mm - low_mm, 0.0), reach)
    bends = load_n * over if over > 0 and goes_up else 0.0 if over > 0 else load_n * inside * (reach - inside) / reach
    moves = load_n * over**2 * (reach + over) / (3 * E_MPA) if over > 0 and goes_up else load_n * reach**3 / (48 * E_MPA)
    return Held(upper, load_n - upper, bends, moves)


def _apart(top_mm: float, low_mm: float) -> None:
    if not 0 <= low_mm < top_mm:
        raise ValueError(f"Clamps at {low_mm:g} and {top_mm:g} mm; give the lower one first, both from the floor up.")


def shares(leaves: int) -> tuple[float, ...]:
    """What part of the whole load each upright carries: half a leaf at either end, half of each of its two leaves between."""
    return tuple((0.5 if k in (0, leaves) else 1.0) / leaves for k in range(leaves + 1))


def least_tube(held: Held, over_mm: float, spare: float) -> int | None:
    """The first of ``TUBES_MM`` that holds with so much to spare and bends little enough; None where none does."""
    for k, (b, t) in enumerate(TUBES_MM):
        section = tube(b, t)
        if spare * held.bends_n_mm <= YIELD_MPA * section.modulus_mm3 and held.moves_mm / section.second_mm4 <= max(over_mm, 300.0) / BEND_SHARE:
            return k
    return None
