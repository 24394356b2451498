"""A screen that the ceiling holds: how high it is, what is left over it, and how ceiling and wall are seen."""

from __future__ import annotations

from studio_lib.brief.said import ceiling_mm
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.form import Proposal
from studio_lib.forms.walls import PLASTER
from studio_lib.piece.model import Box, Part
from studio_lib.units import mm

GAP_MM, LEAST_MM, MOST_MM = 10.0, 5.0, 40.0
"""Left over a screen under the ceiling it is held by: as proposed, the least, for ceilings are not level and come down a little under load, and the
most that is packed out; judgement of ours."""
USUAL_MM = 2400.0
"""A ceiling while none is measured; judgement of ours."""
GAP, CEILING = "gap under the ceiling", "ceiling"


def height_proposed(brief: Brief, most_mm: float) -> Proposal:
    """Up to the ceiling but for the gap that it is stood up in. [mm]"""
    ceiling = ceiling_mm(brief)
    why = f"{GAP_MM:g} mm under the ceiling" + (f" of {mm(ceiling)} mm" if ceiling else f", taken as {mm(USUAL_MM)} mm until it is measured")
    return Proposal(min((ceiling or USUAL_MM) - GAP_MM, most_mm), why, "brief" if ceiling else "a starting point of ours")


def under_ceiling_findings(piece, brief: Brief, height_mm: float) -> list[Finding]:
    """Whether a screen reaches the ceiling that is to hold it, and goes under it."""
    ceiling = ceiling_mm(brief)
    rule = f"{LEAST_MM:g} to {MOST_MM:g} mm between a screen and the ceiling that holds it: it is stood up in them, and the ceiling may come down a little"
    source = "a judgement of ours"
    if ceiling is None:
        return [Finding(piece.name, GAP, Verdict.OPEN, "the ceiling that is to hold it is not measured yet", rule=rule, source=source, stage="sizes",
                        mend="Measure it at both ends and in the middle, and give the lowest on Brief, under the way in, as a ceiling.")]
    over = ceiling - height_mm
    says = f"{mm(height_mm)} mm high under a ceiling of {mm(ceiling)} mm: {mm(over)} mm over it" if over >= 0 else f"{mm(height_mm)} mm high under a ceiling of {mm(ceiling)} mm"
    verdict = Verdict.FAILS if over < LEAST_MM else Verdict.LOOK_AGAIN if over > MOST_MM else Verdict.STANDS
    mend = "" if verdict is Verdict.STANDS else f"Make it {mm(ceiling - GAP_MM)} mm high" + (
        "." if over < LEAST_MM else ", or hold it by brackets or a batten that reach down to it.")
    return [Finding(piece.name, GAP, verdict, says, rule=rule, source=source, mend=mend, stage="sizes")]


# ------------------------------------------------------------------ how it is seen

BESIDE_MM, THICK_MM, BEFORE_MM, BEHIND_MM = 350.0, 24.0, 40.0, 500.0
"""In pictures: how far the ceiling goes on past a screen, its thickness and that of a wall, and how far both come before its middle and go behind it."""


def seen_under(length_mm: float, height_mm: float, wall: bool) -> tuple[Part, ...]:
    """The ceiling over a screen that stands with its middle at 0, and the wall at its left. [mm]"""
    half, high = length_mm / 2, height_mm + GAP_MM
    parts = [Part(CEILING, PLASTER, Box((-half - (THICK_MM if wall else BESIDE_MM), -BEFORE_MM, high), (half + BESIDE_MM, BEHIND_MM, high + THICK_MM)))]
    if wall:
        parts.append(Part("wall beside it", PLASTER, Box((-half - THICK_MM, -BEFORE_MM, 0.0), (-half, BEHIND_MM, high))))
    return tuple(parts)
