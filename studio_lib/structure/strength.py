"""From the handbook's averages to a stress a maker may use."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from studio_lib.piece.holding import Strengths, glue_turn_n_mm

K_MOD_SHORT = {1: 0.9, 2: 0.9, 3: 0.7}
"""EN 1995-1-1 table 3.1, solid timber, short-term load, by service class."""
K_MOD_LONG = {1: 0.7, 2: 0.7, 3: 0.55}
"""The same for what stands on it for good: the table's long-term load, six months to ten years."""
K_DEF = {1: 0.60, 2: 0.80, 3: 2.00}
"""EN 1995-1-1 table 3.2, solid timber: creep, by service class."""
GAMMA_M = 1.3
"""EN 1995-1-1 table 2.3, solid timber."""
COV = {"bending": 0.16, "shear": 0.14, "end": 0.18, "crushing": 0.28, "splitting": 0.25, "stiffness": 0.22}
"""Scatter of clear wood, Wood Handbook FPL-GTR-190 table 5-6, from memory."""
SPLIT_SHARE = 0.3
"""Tension across the grain over shear: the least of oak, ash, cherry, walnut, Douglas fir and white pine in Wood Handbook
table 5-3, 0.3 to 0.5, from memory."""
FIFTH_PERCENTILE = 1.645
"""Standard deviations below the mean that one piece in twenty does not reach."""
CLEAR_STOCK = 0.8
"""For small knots and sloping grain that pass the eye; a judgement of ours. Not for shear and crushing, which neither lowers (ASTM D245)."""

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


@dataclass(frozen=True)
class Wood:
    """The figures a strength check needs. [MPa], [kg/m3]; None where no one has published it."""

    name: str
    density_kg_m3: float
    e_mpa: float | None
    bending_mean_mpa: float | None
    shear_mean_mpa: float | None
    end_mean_mpa: float | None = None
    """Compression along the grain."""
    crushing_mean_mpa: float | None = None
    """Compression across the grain, at the proportional limit."""
    hardwood: bool = True
    taken: tuple[str, ...] = ()
    """Figures that are a stand-in the maker accepted, in words."""

    def not_published(self) -> list[str]:
        """In words, the figures that no one has published for this timber and what is used instead."""
        said = list(self.taken)
        by_weight = [n for n, v in (("along", self.end_mean_mpa), ("across", self.crushing_mean_mpa)) if not v]
        if by_weight:
            said.append(f"compression {' and '.join(by_weight)} the grain reckoned from its weight, Wood Handbook table 5-11, from memory")
        return said

    def missing(self) -> list[str]:
        names = {
            "modulus of elasticity": self.e_mpa, "modulus of rupture": self.bending_mean_mpa,
            "shear strength": self.shear_mean_mpa,
        }
        return [n for n, v in names.items() if v is None]


def end_by_gravity(gravity: float, hardwood: bool) -> float:
    """Mean compression along the grain at 12 % from the specific gravity: Wood Handbook table 5-11, from memory. [MPa]"""
    return 76.0 * gravity**0.89 if hardwood else 93.7 * gravity**0.97


def crushing_by_gravity(gravity: float, hardwood: bool) -> float:
    """Mean compression across the grain at 12 % from the specific gravity: Wood Handbook table 5-11, from memory. [MPa]"""
    return 21.6 * gravity**2.09 if hardwood else 16.5 * gravity**1.57


def strengths(wood: Wood, service_class: int) -> Strengths:
    """Design strengths of a timber under a short load, for what joints and members hold.

    Where compression is not published it is taken from the specific gravity, ``end_by_gravity`` and
    ``crushing_by_gravity``. Tension across the grain is ``SPLIT_SHARE`` of the shear strength.
    """
    factor = K_MOD_SHORT[service_class] / GAMMA_M
    end = wood.end_mean_mpa or end_by_gravity(wood.density_kg_m3 / 1120, wood.hardwood)
    across = wood.crushing_mean_mpa or crushing_by_gravity(wood.density_kg_m3 / 1120, wood.hardwood)
    return Strengths(
        design_mpa(wood.bending_mean_mpa, "bending", service_class), design_mpa(wood.shear_mean_mpa, "shear", service_class),
        design_mpa(across, "crushing", service_class), design_mpa(end, "end", service_class),
        design_mpa(SPLIT_SHARE * wood.shear_mean_mpa, "splitting", service_class), wood.density_kg_m3, wood.hardwood, factor,
        1.6 * (0.7 if service_class == 3 else 1.0),
    )


def column_factor(free_mm: float, radius_mm: float, end_mpa: float, low_e_mpa: float, straightness: float = 0.2) -> float:
    """What slenderness leaves of the strength of a post under compression, k_c: EN 1995-1-1 6.3.2, eq. 6.21 to 6.29.

    ``free_mm`` is the buckling length, ``radius_mm`` the radius of gyration, both strength and modulus
    characteristic; ``straightness`` 0.2 for solid timber, 0.1 for glued laminated.
    """
    if radius_mm <= 0:
        return 0.0
    slim = free_mm / radius_mm / pi * sqrt(end_mpa / low_e_mpa)
    if slim <= 0.3:
        return 1.0
    k = 0.5 * (1 + straightness * (slim - 0.3) + slim * slim)
    return 1 / (k + sqrt(k * k - slim * slim))


def design_mpa(mean_mpa: float, kind: str, service_class: int) -> float:
    """Stress to design to under a short load. [MPa]

    ``mean_mpa`` is the handbook's mean for clear wood; ``kind`` one of ``COV``.
    """
    clear = 1.0 if kind in ("shear", "crushing") else CLEAR_STOCK
    return clear * lower_value_mpa(mean_mpa, kind) * K_MOD_SHORT[service_class] / GAMMA_M


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
    return TenonStrength(
        by_bending_n_mm=bending_mpa * thickness_mm * width_mm**2 / 6,
        by_glue_n_mm=glue_turn_n_mm(shear_mpa, length_mm, width_mm, 2.0),
    )
