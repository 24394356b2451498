"""From the handbook's averages to a stress a maker may use."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

K_MOD_SHORT = {1: 0.9, 2: 0.9, 3: 0.7}
"""EN 1995-1-1 table 3.1, solid timber, short-term load, by service class."""
K_DEF = {1: 0.60, 2: 0.80, 3: 2.00}
"""EN 1995-1-1 table 3.2, solid timber: creep, by service class."""
GAMMA_M = 1.3
"""EN 1995-1-1 table 2.3, solid timber."""
COV = {"bending": 0.16, "shear": 0.14}
"""Scatter of clear wood, Wood Handbook FPL-GTR-190 table 5-6, from memory."""
FIFTH_PERCENTILE = 1.645
"""Standard deviations below the mean that one piece in twenty does not reach."""
CLEAR_STOCK = 0.8
"""For small knots and sloping grain that pass the eye; a judgement of ours."""

SOURCE = "Wood Handbook table 5-3a or the species' own sheet, lowered to the 5th percentile; EN 1995-1-1 k_mod, gamma_M"

SERVICE_CLASS = {
    "indoors, heated": 1,
    "indoors, unheated": 2,
    "outdoors, under cover": 2,
    "outdoors, in the weather": 3,
}
"""EN 1995-1-1 2.3.1.3, as read for furniture."""


def lower_value_mpa(mean_mpa: float, kind: str) -> float:
    """What 19 pieces in 20 of clear wood reach, from the mean. [MPa]"""
    return mean_mpa * (1 - FIFTH_PERCENTILE * COV[kind])


def design_mpa(mean_mpa: float, kind: str, service_class: int) -> float:
    """Stress to design to under a short load. [MPa]

    ``mean_mpa`` is the handbook's mean for clear wood; ``kind`` 'bending' or 'shear'.
    """
    return CLEAR_STOCK * lower_value_mpa(mean_mpa, kind) * K_MOD_SHORT[service_class] / GAMMA_M


@dataclass(frozen=True)
class TenonStrength:
    """What a glued tenon can take in bending in its own plane. [N mm]"""

    by_bending_n_mm: float
    """Until the tenon breaks at the shoulder."""
    by_glue_n_mm: float
    """Until its cheeks shear from the mortise."""

    @property
    def moment_n_mm(self) -> float:
        return min(self.by_bending_n_mm, self.by_glue_n_mm)

    @property
    def governed_by(self) -> str:
        return "the tenon at its shoulder" if self.by_bending_n_mm <= self.by_glue_n_mm else "the glued cheeks"


def tenon_strength(
    thickness_mm: float, width_mm: float, length_mm: float, bending_mpa: float, shear_mpa: float
) -> TenonStrength:
    """Moment a tenon can take, as mechanics gives it, the shoulder's help left out.

    Bending: the tenon's own section, t w^2 / 6. Glue: two cheeks of ``length`` x
    ``width`` twist about their middle; the corner, furthest out, reaches the shear
    strength of the wood first (polar second moment of a rectangle). Tests on
    furniture joints stand higher, since wood yields before it breaks and the
    shoulder bears: see tests/published. Stresses in MPa, sizes in mm.
    """
    corner = hypot(length_mm, width_mm) / 2
    polar = length_mm * width_mm * (length_mm**2 + width_mm**2) / 12
    return TenonStrength(
        by_bending_n_mm=bending_mpa * thickness_mm * width_mm**2 / 6,
        by_glue_n_mm=2 * shear_mpa * polar / corner,
    )
