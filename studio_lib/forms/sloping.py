"""A piece that stands free on ground that falls: what that comes to over its feet, and how it is brought level."""

from __future__ import annotations

import math

from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.beside import SEATS, TOUCHES_MM, is_table
from studio_lib.forms.walls import OVER_MM
from studio_lib.piece import Piece
from studio_lib.units import mm

SLABS, LEGS = "level slabs under the feet", "longer legs on the low side"
"""``Brief.fall_met``."""
PADS_MM = 5.0
"""So much is packed under a foot with a pad, and nobody sees it; common practice, no source."""
WHAT = "ground that falls under it"


def feet_mm(piece: Piece) -> tuple[float, float]:
    """How far apart its feet reach on the ground, along its length and its depth, over their outer edges. [mm]"""
    boxes = [m.piece_box for m in piece.members]
    if not boxes:
        return 0.0, 0.0
    floor = min(b.lo[2] for b in boxes)
    feet = [b for b in boxes if b.lo[2] < floor + TOUCHES_MM]
    return tuple(max(b.hi[k] for b in feet) - min(b.lo[k] for b in feet) for k in (0, 1))


def falls_mm(form: str, piece: Piece, brief: Brief) -> tuple[float, float] | None:
    """How far the ground falls over its length and over its depth, running along either; None where that is not asked. [mm]

    Only of tables and seats: cases are scribed to a floor (``forms.walls``), screens say what holds them.
    """
    if not brief.floor_falls_mm or not (is_table(form) or form in SEATS) or not piece.members:
        return None
    return tuple(brief.floor_falls_mm * across / OVER_MM for across in feet_mm(piece))


def _comes_to(piece: Piece, long: float, deep: float) -> str:
    a, b = feet_mm(piece)
    return (f"{math.ceil(long)} mm over its length, its feet {mm(round(a))} mm apart, where the fall runs along it; "
            f"{math.ceil(deep)} mm over its depth, {mm(round(b))} mm, where it runs across")


def _by_slabs(long: float, deep: float) -> str:
    return (f"set a slab under each foot, their tops level with one another: those on the low side stand {mm(math.ceil(long))} mm "
            f"higher over the ground at an end, or {mm(math.ceil(deep))} mm at front or back")


def _by_legs(long: float, deep: float) -> str:
    return (f"leave the two legs on the low side longer than drawn, by {mm(math.ceil(long))} mm where it falls along the piece or "
            f"{mm(math.ceil(deep))} mm where it falls across, and cut them where it stands; legs between the ends in proportion")


def fall_findings(form: str, piece: Piece, brief: Brief) -> list[Finding]:
    """What the fall of the ground comes to under one piece, and what the maker settled to do about it."""
    falls = falls_mm(form, piece, brief)
    if falls is None:
        return []
    long, deep = falls
    ways = {SLABS: _by_slabs(long, deep), LEGS: _by_legs(long, deep)}
    settled = ways.get(brief.fall_met, "")
    small = max(falls) <= PADS_MM
    said = f"; {settled}" if settled else "; packed with pads" if small else ""
    return [Finding(
        piece.name, WHAT, Verdict.STANDS if settled or small else Verdict.LOOK_AGAIN, _comes_to(piece, long, deep) + said,
        max(falls), PADS_MM, "mm", f"what falls more than {PADS_MM:g} mm is levelled by more than pads", "brief; common practice, no source",
        "" if settled or small else f"Choose on the Brief page how it is levelled. Either {ways[SLABS]}; or {ways[LEGS]}. The drawings "
        "and the cutting list stay as they are.", "sizes",
    )]


def fall_words(form: str, piece: Piece, brief: Brief) -> list[str]:
    """The same for whoever sets it up: sentences for the installation note."""
    falls = falls_mm(form, piece, brief)
    if falls is None:
        return []
    long, deep = falls
    comes = f"Ground: it falls about {_comes_to(piece, long, deep)}. "
    if max(falls) <= PADS_MM:
        return [comes + "Pack the low feet with pads that do not rot."]
    ways = {SLABS: _by_slabs(long, deep), LEGS: _by_legs(long, deep)}
    if brief.fall_met:
        way = ways[brief.fall_met]
        return [f"{comes}{way[:1].upper()}{way[1:]}."]
    return [f"{comes}How it is levelled is not settled: {ways[SLABS]}; or {ways[LEGS]}."]
