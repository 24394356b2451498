"""Timber: species on file and the maker's own, moisture, movement, durability, choice, ageing, provenance."""

from studio_lib.timber.ageing import EXPOSURES, FINISHES, SHOWN_YEARS, Appearance, appearance, greying
from studio_lib.timber.carbon import carbon_says, stored_co2_kg
from studio_lib.timber.choice import Choice, Wants, rank
from studio_lib.timber.durability import fit_for_place, use_class
from studio_lib.timber.life import Details, Life, life_finding, life_outdoors, use_class_of
from studio_lib.timber.moisture import (
    PLACES,
    Air,
    Climate,
    MoistureRange,
    OwnClimate,
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
    movement_at_angle,
    movement_mm,
    movement_wide_mm,
    slat_gap_mm,
)
from studio_lib.timber.on_piece import OnPiece, PlainMember, compare_on_piece
from studio_lib.timber.own import BoardPrice, Library, own_species
from studio_lib.timber.provenance import Provenance, Sayings, Unwanted, law_findings, may_say, unwanted_findings, why_unwanted
from studio_lib.timber.provisions import Provision, Swing, swing
from studio_lib.timber.readings import Corrected, Readiness, Reading, corrected, ready
from studio_lib.timber.rings import Cup, Pith, cup, heart_of_ring, mean_ring_angle_deg, pith_from_arc, ring_angle_deg
from studio_lib.timber.species import (
    DUST_ALWAYS,
    FigureMissing,
    Species,
    all_species,
    species_table,
    stand_in,
    timber,
)
from studio_lib.timber.strength import intersection_pct, member_strength_mpa, strength_at_moisture_mpa
from studio_lib.timber.weighing import Weighing, Weights, weigh

__all__ = [
    "DUST_ALWAYS",
    "EXPOSURES",
    "FINISHES",
    "PLACES",
    "SHOWN_YEARS",
    "Air",
    "Appearance",
    "BoardPrice",
    "Choice",
    "Climate",
    "Corrected",
    "Cup",
    "Details",
    "FigureMissing",
    "Library",
    "Life",
    "MoistureRange",
    "Movement",
    "OnPiece",
    "OwnClimate",
    "Pith",
    "PlainMember",
    "Provenance",
    "Provision",
    "Readiness",
    "Reading",
    "Sayings",
    "SlatGap",
    "Species",
    "Swing",
    "Unwanted",
    "Wants",
    "Weighing",
    "Weights",
    "all_species",
    "appearance",
    "carbon_says",
    "climate",
    "climates",
    "compare_on_piece",
    "corrected",
    "cup",
    "equilibrium_moisture_pct",
    "fit_for_place",
    "greying",
    "heart_of_ring",
    "intersection_pct",
    "law_findings",
    "life_finding",
    "life_outdoors",
    "may_say",
    "mean_ring_angle_deg",
    "member_movement",
    "member_movement_mm",
    "member_strength_mpa",
    "movement_at_angle",
    "movement_mm",
    "movement_wide_mm",
    "own_species",
    "pith_from_arc",
    "rank",
    "ready",
    "ring_angle_deg",
    "service_range",
    "slat_gap_mm",
    "species_table",
    "stand_in",
    "stored_co2_kg",
    "strength_at_moisture_mpa",
    "swing",
    "timber",
    "unwanted_findings",
    "use_class",
    "use_class_of",
    "weigh",
    "why_unwanted",
]
