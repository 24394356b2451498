"""Timber: species on file, moisture, movement, durability, choice and ageing."""

from studio_lib.timber.ageing import Appearance, appearance
from studio_lib.timber.choice import Choice, Wants, rank
from studio_lib.timber.durability import fit_for_place, use_class
from studio_lib.timber.moisture import (
    PLACES,
    Climate,
    MoistureRange,
    climate,
    climates,
    equilibrium_moisture_pct,
    service_range,
)
from studio_lib.timber.movement import (
    Movement,
    SlatGap,
    member_movement,
    member_movement_mm,
    movement_mm,
    movement_wide_mm,
    slat_gap_mm,
)
from studio_lib.timber.species import (
    DUST_ALWAYS,
    FigureMissing,
    Species,
    all_species,
    species_table,
    stand_in,
    timber,
)

__all__ = [
    "DUST_ALWAYS",
    "PLACES",
    "Appearance",
    "Choice",
    "Climate",
    "FigureMissing",
    "MoistureRange",
    "Movement",
    "SlatGap",
    "Species",
    "Wants",
    "all_species",
    "appearance",
    "climate",
    "climates",
    "equilibrium_moisture_pct",
    "fit_for_place",
    "member_movement",
    "member_movement_mm",
    "movement_mm",
    "movement_wide_mm",
    "rank",
    "service_range",
    "slat_gap_mm",
    "species_table",
    "stand_in",
    "timber",
    "use_class",
]
