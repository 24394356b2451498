"""Sections of a screen taken up where its own are too weak: which size makes which member stronger, and by how much."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding
from studio_lib.forms.form import Form
from studio_lib.structure.railing import CLAMPED
from studio_lib.structure.tied import LET_IN_BAR

GOAL = 0.9
"""Of its strength so much is used once taken up: a check asks for another look from here on."""
STEP_MM = 2.0
"""Steps that a planer is set to; common practice, no source."""
ACROSS, BESIDE = 2, 1
"""A section resists wind by the square of its thickness, and by its width as it is."""


@dataclass(frozen=True)
class Sections:
    """Names of the sizes that make a screen strong against what blows on its face."""

    frame: str
    upright: str
    rail: str
    slat: str
    bars: str
    """How many bars divide the slats; '' where the form has none."""
    cables: str
    """How many cables hold the slats; '' where the form has none."""
    gap: str
    """The gap between slats; '' where it is not one size."""
    slat_inside_mm: float
    """How much thinner a slat is than its frame."""
    uprights: str = ""
    """How many uprights on a railing hold its leaves; '' where the form has no leaves."""
    tie: str = ""
    """Thickness of the bars let into the backs of slats; '' where the form has none."""
    tie_wide: str = ""
    """Their width."""

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(filter(None, (self.frame, self.upright, self.rail, self.slat, self.bars, self.cables, self.gap, self.uprights, self.tie, self.tie_wide)))


SECTIONS = {
    "framed screen": Sections("frame_thickness_mm", "stile_width_mm", "rail_width_mm", "slat_thickness_mm", "middle_bars", "", "gap_mm", 4.0, "uprights", "bar_thickness_mm", "bar_width_mm"),
    "strung screen": Sections("frame_thickness_mm", "post_width_mm", "rail_width_mm", "slat_thickness_mm", "", "cables", "", 0.0),
}


OPENER, OPEN_MM = 1.4, 80.0
"""Where no section holds, gaps are made wider by so much at a time, and no wider than this: 89 mm let a head in, CPSC public playground
handbook B.2.5.1."""
TIE_OF_SLAT = 2 / 3
"""A bar let into the backs of slats is no thicker than this part of them: a slat gives up half at the most, the bar a quarter at the least."""
STIFFER = 1.15
"""A frame whose slats were taken up in vain is made so much thicker at the least: as it bends it bends them."""


def stronger(form: Form, sizes: dict[str, float], free: set[str], failing: list[Finding], again: bool = False) -> dict[str, float] | None:
    """Sizes that should hold by how far each check is over; None where none is left to take up.

    ``free``: names of sizes that may be changed. ``failing``: checks over their strength, of members or of their joints. ``again``: sizes
    were taken up before and it did not do.
    """
    own, high = SECTIONS[form.name], {s.name: s.high for s in form.sizes}
    out = {n: sizes[n] for n in own.names if n in free}
    high[own.slat] = min(high[own.slat], high[own.frame] if own.frame in free else sizes[own.frame] - own.slat_inside_mm)
    for f in failing:
        used = f.utilisation / GOAL
        if own.cables and f.subject.endswith("on cables"):
            if own.cables in free:
                out[own.cables] = min(max(sizes[own.cables] + 1, math.ceil(sizes[own.cables] * used - 1e-6)), high[own.cables])
            continue
        if own.tie and (f.subject.startswith(LET_IN_BAR) or f.what.endswith(LET_IN_BAR)):
            thickest = max(sizes[own.tie], STEP_MM * math.floor(TIE_OF_SLAT * out.get(own.slat, sizes[own.slat]) / STEP_MM))
            for name, power, most in ((own.tie, ACROSS, thickest), (own.tie_wide, BESIDE, high[own.tie_wide])):
                if name in free and used > 1:
                    wanted = min(_step_up(sizes[name] * used ** (1 / power)), most)
                    used /= (wanted / sizes[name]) ** power
                    out[name] = max(out[name], wanted)
            continue
        of_slat = f.subject.startswith("slat") or f.what.endswith("slat")
        beside = own.rail if "rail" in f.subject.split(" into ")[0] or f.subject.startswith("bar") else own.upright
        for name, power in ((own.slat, ACROSS),) if of_slat else ((own.frame, ACROSS), (beside, BESIDE)):
            if name not in free or used <= 1:
                continue
            wanted = min(_step_up(sizes[name] * used ** (1 / power)), high[name])
            if wanted > sizes[name]:
                used /= (wanted / sizes[name]) ** power
                out[name] = max(out[name], wanted)
        if of_slat and again and own.frame in free:
            more = max(STIFFER, (f.utilisation / GOAL) ** 0.5)
            name = own.frame if sizes[own.frame] < high[own.frame] or own.upright not in free else own.upright
            out[name] = max(out[name], min(_step_up(sizes[name] * more), high[name]))
        if used > 1 and of_slat and own.bars in free and sizes[own.bars] < high[own.bars]:
            out[own.bars] = sizes[own.bars] + 1
    if own.frame in free and out.get(own.slat, sizes[own.slat]) > out[own.frame] - own.slat_inside_mm:
        out[own.frame] = min(out[own.slat] + own.slat_inside_mm, high[own.frame])
    changed = {n: v for n, v in out.items() if v > sizes[n]}
    if not changed and own.uprights in free and form.fixed(sizes) == CLAMPED and sizes[own.uprights] < high[own.uprights]:
        return {own.uprights: sizes[own.uprights] + 1}
    if not changed and own.gap in free and sizes[own.gap] < OPEN_MM:
        return {own.gap: min(_step_up(sizes[own.gap] * OPENER), OPEN_MM)}
    return changed or None


COUNTS = ("middle_bars", "cables", "uprights")
"""Names of sizes that are counts: more of them, not thicker."""


def _step_up(value_mm: float) -> float:
    return STEP_MM * math.ceil(value_mm / STEP_MM - 1e-6)
