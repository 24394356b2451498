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


def section_svg(before, after, px_per_mm: float) -> str:
    """A board's end as it was (thin) and as it will be (filled), about one middle; corners in mm."""
    xs = [x for x, _ in (*before, *after)]
    ys = [y for _, y in (*before, *after)]
    left, top = min(xs), max(ys)
    k, rim = px_per_mm, 10.0

    def path(points) -> str:
        return " ".join(f"{(x - left) * k + rim:.2f},{(top - y) * k + rim:.2f}" for x, y in points)

    width, height = (max(xs) - left) * k + 2 * rim, (top - min(ys)) * k + 2 * rim
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height:.0f}" role="img" aria-label="board before and after">'
        f'<polygon points="{path(after)}" fill="{WOOD}" stroke="{DARK}" stroke-width="0.8"/>'
        f'<polygon points="{path(before)}" fill="none" stroke="#2b2722" stroke-width="0.8" stroke-dasharray="4 3"/></svg>'
    )


def states_svg(making: dict[str, float], dry: dict[str, float], wet: dict[str, float], width_px: float = 560.0) -> str:
    """Distances of a detail in three states as bars to one scale; names in the dicts end in '_mm'."""
    states = (("driest", dry), ("when made", making), ("wettest", wet))
    names = [n for n in making if n.endswith("_mm")]
    most = max((abs(s.get(n, 0.0)) for _, s in states for n in names), default=0.0) or 1.0
    k = (width_px - 300) / most
    marks, y = [], 14.0
    for name in names:
        marks.append(f'<text x="0" y="{y:.0f}" font-size="12.5" font-weight="bold" fill="#2b2722">{name.removesuffix("_mm").replace("_", " ")}</text>')
        for words, state in states:
            value = state.get(name, 0.0)
            y += 16
            marks.append(
                f'<text x="12" y="{y:.0f}" font-size="12" fill="#6d655b">{words}</text>'
                f'<rect x="110" y="{y - 9:.0f}" width="{abs(value) * k:.2f}" height="9" fill="{WOOD if value >= 0 else "#a3231b"}"/>'
                f'<text x="{116 + abs(value) * k:.1f}" y="{y:.0f}" font-size="12" fill="#2b2722">{value:.2f} mm</text>'
            )
        y += 24
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_px:.0f}" height="{y:.0f}">{"".join(marks)}</svg>'


def readings_svg(readings, target_pct: float, tolerance_pct: float, width_px: float = 520.0) -> str:
    """Readings [(day, board, percent)] over the days, against the band to make in."""
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

    band_top, band_low = (top + (high - p) / (high - low) * (height - top - bottom) for p in (target_pct + tolerance_pct, target_pct - tolerance_pct))
    marks = [
        f'<rect x="{left}" y="{band_top:.1f}" width="{width_px - left - right}" height="{band_low - band_top:.1f}" fill="#e4ecdf"/>',
        f'<text x="{width_px - right + 6}" y="{(band_top + band_low) / 2 + 4:.1f}" font-size="12" fill="#2f6b3c">make here</text>',
    ]
    tones = ("#8a6d3b", "#5b3a29", "#7a8b5a", "#3d5a6c", "#9a4f3a", "#6d655b")
    boards = list(dict.fromkeys(board for _, board, _ in readings))
    for tone, board in zip(tones * (1 + len(boards) // len(tones)), boards):
        points = [at(d, p) for d, b, p in sorted(readings) if b == board]
        marks.append(f'<polyline points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in points)}" fill="none" stroke="{tone}" stroke-width="2"/>')
        marks += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{tone}"/>' for x, y in points]
        x, y = points[-1]
        marks.append(f'<text x="{x + 6:.1f}" y="{y - 6:.1f}" font-size="12" fill="{tone}">{board}</text>')
    first, last = min(readings)[0], max(readings)[0]
    marks.append(f'<text x="{left}" y="{height - 8}" font-size="11" fill="#6d655b">{first.isoformat()}</text>')
    marks.append(f'<text x="{width_px - right - 62}" y="{height - 8}" font-size="11" fill="#6d655b">{last.isoformat()}</text>')
    marks.append(f'<text x="2" y="{top + 10}" font-size="11" fill="#6d655b">{high:.0f} %</text><text x="2" y="{height - bottom}" font-size="11" fill="#6d655b">{low:.0f} %</text>')
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_px:.0f}" height="{height:.0f}" role="img" aria-label="moisture readings">{"".join(marks)}</svg>'
