"""Slats in the wet and in the dry season, side by side, to one scale."""

from __future__ import annotations

from html import escape

from studio_lib.units import mm

WOOD, DARK = "#d9bd8b", "#6b5a43"
PX_PER_MM = 1.0
SHOWN = 4
WORDS_PX = 180
"""Room beside the slats for 'when made: 1 17/32 in' too, at twelve pixels a letter's height."""


def slats_svg(slat_mm: float, made_mm: float, wet_mm: float, dry_mm: float, thickness_mm: float) -> str:
    """The ends of some slats when wettest, when made and when driest, at one pixel a millimetre.

    ``made_mm``, ``wet_mm`` and ``dry_mm`` are the gaps; their middles stay where the screws
    hold them, so that what a gap loses its slats have gained.
    """
    pitch = slat_mm + made_mm
    rows = (("wettest", wet_mm), ("when made", made_mm), ("driest", dry_mm))
    height = thickness_mm * PX_PER_MM
    width = SHOWN * pitch * PX_PER_MM + WORDS_PX
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


def cups_svg(states, px_per_mm: float = 2.0) -> str:
    """A board's end as made (dashed) and as it becomes (filled), once for each of ``(words, before, after)``.

    Corners in mm from the middle, y towards the bark; side by side and to one scale.
    """
    points = [p for _, before, after in states for p in (*before, *after)]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, top = min(y for _, y in points), max(y for _, y in points)
    k = min(px_per_mm, 330.0 / (right - left))
    wide, high = (right - left) * k, (top - low) * k
    marks = []
    for i, (words, before, after) in enumerate(states):
        x0 = 4 + i * (wide + 30)

        def path(corners, x0=x0) -> str:
            return " ".join(f"{(x - left) * k + x0:.2f},{(top - y) * k + 28:.2f}" for x, y in corners)

        marks.append(
            f'<text x="{x0:.1f}" y="14" font-size="13" font-weight="bold" fill="#2b2722">{escape(words)}</text>'
            f'<polygon points="{path(after)}" fill="{WOOD}" stroke="{DARK}" stroke-width="0.8"/>'
            f'<polygon points="{path(before)}" fill="none" stroke="#2b2722" stroke-width="0.8" stroke-dasharray="4 3"/>'
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{len(states) * (wide + 34):.0f}" '
        f'height="{high + 34:.0f}" role="img" aria-label="board at its driest and its wettest">{"".join(marks)}</svg>'
    )


def readings_svg(readings, target_pct: float, tolerance_pct: float, width_px: float = 520.0) -> str:
    """Corrected readings [(day, board, percent)] over the days, against the band to make in."""
    height, left, right, top, bottom = 200.0, 40.0, 90.0, 12.0, 26.0
    days = [d.toordinal() for d, _, _ in readings]
    low = min([target_pct - tolerance_pct, *(p for _, _, p in readings)]) - 1
    high = max([target_pct + tolerance_pct, *(p for _, _, p in readings)]) + 1
    span = max(max(days) - min(days), 1)

    def at(day, percent):
        return (
            left + (day.toordinal() - min(days)) / span * (width_px - left - right),
            top + (high - percent) / (high - low) * (height - top - bottom),
        )

    band_top, band_low = (
        top + (high - p) / (high - low) * (height - top - bottom)
        for p in (target_pct + tolerance_pct, target_pct - tolerance_pct)
    )
    marks = [
        f'<rect x="{left}" y="{band_top:.1f}" width="{width_px - left - right}" height="{band_low - band_top:.1f}" fill="#e4ecdf"/>',
        f'<text x="{width_px - right + 6}" y="{(band_top + band_low) / 2 + 4:.1f}" font-size="12" fill="#2f6b3c">make here</text>',
    ]
    tones = ("#8a6d3b", "#5b3a29", "#7a8b5a", "#3d5a6c", "#9a4f3a", "#6d655b")
    boards = list(dict.fromkeys(board for _, board, _ in readings))
    for tone, board in zip(tones * (1 + len(boards) // len(tones)), boards):
        points = [at(d, p) for d, b, p in sorted(readings) if b == board]
        marks.append(
            f'<polyline points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in points)}" fill="none" stroke="{tone}" stroke-width="2"/>'
        )
        marks += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{tone}"/>' for x, y in points]
        x, y = points[-1]
        marks.append(f'<text x="{x + 6:.1f}" y="{y - 6:.1f}" font-size="12" fill="{tone}">{escape(board)}</text>')
    first, last = min(readings)[0], max(readings)[0]
    marks.append(f'<text x="{left}" y="{height - 8}" font-size="11" fill="#6d655b">{first.isoformat()}</text>')
    marks.append(
        f'<text x="{width_px - right - 62}" y="{height - 8}" font-size="11" fill="#6d655b">{last.isoformat()}</text>'
    )
    marks.append(
        f'<text x="2" y="{top + 10}" font-size="11" fill="#6d655b">{high:.0f} %</text><text x="2" y="{height - bottom}" font-size="11" fill="#6d655b">{low:.0f} %</text>'
    )
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_px:.0f}" height="{height:.0f}" role="img" aria-label="moisture readings">{"".join(marks)}</svg>'
