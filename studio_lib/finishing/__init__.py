"""Adhesives and finishes: families on file, which suit, how much, and what not to combine."""

from studio_lib.finishing.allergies import allergens, allergy_findings, held_in
from studio_lib.finishing.finish import (
    METALS,
    FILMS,
    Finish,
    FinishChoice,
    FinishWants,
    conflicts,
    family_for,
    finishes,
    finishes_for,
    kind_asked,
    litres_to_buy,
    oily_rags,
    seen_and_smelt,
)
from studio_lib.finishing.glue import Adhesive, GlueChoice, adhesives, glues_for, is_oily

__all__ = [
    "FILMS",
    "METALS",
    "Adhesive",
    "Finish",
    "FinishChoice",
    "FinishWants",
    "GlueChoice",
    "adhesives",
    "allergens",
    "allergy_findings",
    "conflicts",
    "family_for",
    "finishes",
    "finishes_for",
    "glues_for",
    "held_in",
    "is_oily",
    "kind_asked",
    "litres_to_buy",
    "oily_rags",
    "seen_and_smelt",
]
