"""Up to four timbers on one piece: mass, movement, sections for the same sag, price of boards, carbon, looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from studio_lib.timber.ageing import SHOWN_YEARS, Appearance, appearance
from studio_lib.timber.carbon import stored_co2_kg
from studio_lib.timber.moisture import MoistureRange
from studio_lib.timber.movement import movement_at_angle
from studio_lib.timber.own import Library
from studio_lib.timber.species import FigureMissing, Species

MOST_TIMBERS = 4
TABLE_MOISTURE_PCT = 12.0
SAG_RULE = "Equal sag: depth goes with the cube root of stiffness (rectangle, bending only); mean modulus of elasticity"


@dataclass(frozen=True)
class PlainMember:
    """A member as a list of sizes: what is needed to weigh, move and bend it. Finished sizes, [mm]."""

    name: str
    count: int
    length_mm: float
    width_mm: float
    thickness_mm: float
    span_mm: float | None
    """Clear span for what bends; None for what does not."""
    on_edge: bool = False
    """Whether its width stands upright, as an apron's; else it bends flat."""

    def __post_init__(self):
        if self.count < 1:
            raise ValueError(f"{self.name}: count is {self.count}; 1 or more.")
        for field in ("length_mm", "width_mm", "thickness_mm"):
            if not getattr(self, field) > 0:
                raise ValueError(f"{self.name}: {field} is {getattr(self, field)}; above 0.")
        if self.span_mm is not None and not self.span_mm > 0:
            raise ValueError(f"{self.name}: span_mm is {self.span_mm}; above 0, or None for a member that does not bend.")

    @property
    def depth_mm(self) -> float:
        """Upright, where it bends. [mm]"""
        return self.width_mm if self.on_edge else self.thickness_mm

    @property
    def volume_m3(self) -> float:
        return self.count * self.length_mm * self.width_mm * self.thickness_mm / 1e9


@dataclass(frozen=True)
class Section:
    """Depth of a bending member that sags as much as the first timber's does."""

    member: str
    drawn_mm: float
    """In the first timber: its thickness, or its width where that stands on edge."""
    on_edge: bool
    needed_mm: float | None
    """In this one; None when its stiffness is not on file."""


@dataclass(frozen=True)
class OnPiece:
    """One timber on the piece."""

    species: str
    mass_kg: float
    """As drawn, at 12 %. [kg]"""
    mass_equal_sag_kg: float | None
    """With the sections needed. [kg]"""
    widest: str
    """The member that moves most."""
    shrinks_mm: float | None
    grows_mm: float | None
    """Of its width, from making to either end of the place. [mm]"""
    sections: tuple[Section, ...]
    boards_price: Decimal | None
    """Finished volume over the yield, at the maker's price; None without one."""
    stored_co2_kg: float
    swatches: tuple[tuple[float, Appearance], ...]
    """Years and looks."""
    missing: tuple[str, ...]
    """What could not be reckoned, and why."""


def compare_on_piece(
    library: Library,
    names: Sequence[str],
    members: Sequence[PlainMember],
    moisture: MoistureRange,
    ring_angle_deg: float,
    exposure: str,
    finish: str,
    yield_fraction: float,
) -> tuple[OnPiece, ...]:
    """The same piece in up to four timbers, the first being the one it is drawn in.

    Parameters
    ----------
    library : Library
    names : sequence of str
        One to four; the first is what others are held against.
    members : sequence of PlainMember
    moisture : MoistureRange
        From ``service_range``. [%]
    ring_angle_deg : float
        0 flat-sawn to 90 quarter-sawn. [deg]
    exposure, finish : str
        As ``appearance``.
    yield_fraction : float
        Finished volume out of what is bought, above 0 up to 1; the maker's own record.

    Returns
    -------
    tuple of OnPiece

    Raises
    ------
    ValueError
        For none or more than four names, no members, or a yield outside 0 to 1.
    KeyError
        For a name not in the library.

    Notes
    -----
    A rectangle's stiffness is b d3 / 12, so the depth for equal sag goes with the cube root of the
    ratio of moduli; own weight and joints are not counted. A size check, not a strength check.

    References
    ----------
    .. [1] EN 16449:2014 for the carbon.
    """
    if not 1 <= len(names) <= MOST_TIMBERS:
        raise ValueError(f"names holds {len(names)} timbers; 1 to {MOST_TIMBERS}.")
    if not members:
        raise ValueError("members is empty; give the piece's members.")
    if not 0 < yield_fraction <= 1:
        raise ValueError(f"yield_fraction is {yield_fraction}; above 0, up to 1: finished volume out of what is bought.")
    species = [library.timber(name) for name in names]
    return tuple(
        _on(s, species[0], library, members, moisture, ring_angle_deg, exposure, finish, yield_fraction) for s in species
    )


def _on(s: Species, first: Species, library, members, moisture, ring_angle_deg, exposure, finish, yield_fraction) -> OnPiece:
    missing: list[str] = []
    volume = sum(m.volume_m3 for m in members)
    sections = tuple(_section(m, s, first) for m in members if m.span_mm is not None)
    for one, what in ((s, "its own"), (first, "the first timber's")):
        if sections and one.moe_gpa is None:
            missing.append(f"sections: {what} modulus of elasticity is not on file")
            break
    mass_equal = None
    if all(section.needed_mm is not None for section in sections):
        needed = {section.member: section.needed_mm / section.drawn_mm for section in sections}
        mass_equal = s.density_12pct_kg_m3 * sum(
            m.volume_m3 * (needed[m.name] if m.span_mm is not None else 1) for m in members
        )
    widest = max(members, key=lambda m: m.width_mm)
    shrinks = grows = None
    try:
        grows = movement_at_angle(s, widest.width_mm, ring_angle_deg, "width", moisture.making_pct, moisture.high_pct).mm
        shrinks = -movement_at_angle(s, widest.width_mm, ring_angle_deg, "width", moisture.making_pct, moisture.low_pct).mm
    except FigureMissing as gap:
        missing.append(f"movement: {gap}")
    price = library.prices.get(s.name)
    boards_price = None
    if price is None:
        missing.append("price: none given for this timber")
    else:
        bought = Decimal(repr(volume)) / Decimal(repr(yield_fraction))
        boards_price = (price.per_m3 * bought).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return OnPiece(
        s.name, s.density_12pct_kg_m3 * volume, mass_equal, widest.name, shrinks, grows, sections, boards_price,
        stored_co2_kg(volume, s.density_12pct_kg_m3, TABLE_MOISTURE_PCT),
        tuple((years, appearance(s, years, exposure, finish)) for years in SHOWN_YEARS), tuple(missing),
    )


def _section(m: PlainMember, s: Species, first: Species) -> Section:
    if s.moe_gpa is None or first.moe_gpa is None:
        return Section(m.name, m.depth_mm, m.on_edge, None)
    return Section(m.name, m.depth_mm, m.on_edge, m.depth_mm * (first.moe_gpa / s.moe_gpa) ** (1 / 3))
