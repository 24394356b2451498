"""Adhesives and finishes: families on file, which suit, how much, and what not to combine."""

from studio_lib.finishing.finish import (
    METALS,
    Finish,
    FinishChoice,
    FinishWants,
    conflicts,
    finishes,
    finishes_for,
    litres_to_buy,
    seen_and_smelt,
)
from studio_lib.finishing.glue import Adhesive, GlueChoice, adhesives, glues_for, is_oily

__all__ = [
    "METALS",
    "Adhesive",
    "Finish",
    "FinishChoice",
    "FinishWants",
    "GlueChoice",
    "adhesives",
    "conflicts",
    "finishes",
    "finishes_for",
    "glues_for",
    "is_oily",
    "litres_to_buy",
    "seen_and_smelt",
]
