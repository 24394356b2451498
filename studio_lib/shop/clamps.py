"""Clamps that each glue-up wants against those in the workshop."""

from __future__ import annotations

from studio_lib.finding import Finding, Verdict
from studio_lib.piece import Piece
from studio_lib.piece.order import CLAMP_MORE_MM, Order

A_PANEL = 3
"""Clamps on one panel glued up from boards: both ends and the middle; common practice, no source."""
PANEL_EVERY_MM = 400.0
"""And one more for each so much of its length; common practice, no source."""
PRACTICE = "common practice, no source"


def clamps_wanted(piece: Piece, order: Order) -> tuple[tuple[int, int, float], ...]:
    """(stage, how many, reach in mm) of every glue-up; stage 0 is the widest panel glued up from boards."""
    out = []
    if order.wide:
        panels = [piece.member(r) for r in order.wide]
        out.append((0, max(max(A_PANEL, round(m.length_mm / PANEL_EVERY_MM) + 1) for m in panels), max(m.width_mm for m in panels) + CLAMP_MORE_MM))
    return tuple(out + [(n, s.clamps, s.clamp_mm) for n, s in enumerate(order.stages, 1) if s.glued])


def clamp_findings(piece: Piece, order: Order, owned: tuple[tuple[int, float], ...]) -> list[Finding]:
    """Whether the clamps in the workshop do for each glue-up. ``owned`` is (how many, reach in mm); none said, none judged."""
    if not owned:
        return []
    found = []
    for stage, wanted, reach in clamps_wanted(piece, order):
        have = sum(n for n, mm in owned if mm >= reach - 1e-6)
        enough = have >= wanted
        name = f"clamps, stage {stage}" if stage else "clamps, a wide panel"
        found.append(Finding(
            piece.name, name, Verdict.STANDS if enough else Verdict.LOOK_AGAIN,
            f"{wanted} reaching {reach:.0f} mm wanted, {have} in the workshop", wanted, max(have, 0.01), "clamps",
            "every glue line is closed at once", PRACTICE,
            "" if enough else f"Borrow {wanted - have}, join two shorter ones end to end, or use folding wedges against battens screwed down.",
            "workshop",
        ))
    return found
