"""Slats in the wet and in the dry season, side by side, to one scale."""

from __future__ import annotations

from studio_lib.units import mm

WOOD, DARK = "#d9bd8b", "#6b5a43"
PX_PER_MM = 1.0
SHOWN = 4


def slats_svg(slat_mm: float, made_mm: float, wet_mm: float, dry_mm: float, thickness_mm: float) -> str:
    """The ends of some slats when wettest, when made and when driest, at one pixel a millimetre.

    ``made_mm``, ``wet_mm`` and ``dry_mm`` are the gaps; their middles stay where the screws
    hold them, so that what a gap loses its slats have gained.
    """
    pitch = slat_mm + made_mm
    rows = (("wettest", wet_mm), ("when made", made_mm), ("driest", dry_mm))
    height = thickness_mm * PX_PER_MM
    width = SHOWN * pitch * PX_PER_MM + 130
    marks = []
    for i, (words, gap) in enumerate(rows):
        y = i * (height + 20) + 4
        for k in range(SHOWN):
            middle = (k + 0.5) * pitch
            wide = pitch - gap
            marks.append(
                f'<rect x="{(middle - wide / 2) * PX_PER_MM:.2f}" y="{y:.1f}" width="{wide * PX_PER_MM:.2f}" '
                f'height="{height:.1f}" fill="{WOOD}" stroke="{DARK}" stroke-width="0.6"/>'
            )
        marks.append(
            f'<text x="{SHOWN * pitch * PX_PER_MM + 8:.1f}" y="{y + height / 2 + 4:.1f}" font-size="12" fill="#2b2722">'
            f"{words}: {mm(gap)} mm</text>"
        )
    total = len(rows) * (height + 20)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{total:.0f}" role="img" '
        f'aria-label="slats through the year">{"".join(marks)}</svg>'
    )
