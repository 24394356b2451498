"""Full-size rods: one to one over pages to be taped together, and as DXF."""

from __future__ import annotations

import io
from html import escape

from studio_lib.shop.setting_out import RodMark

PAGE_MM = (277.0, 180.0)
"""Room on an A4 sheet lying down. [mm]"""
OVERLAP_MM = 15.0
CHECK_MM = 100.0
"""Length of the bar that proves the printer kept the scale."""
ROD_MM = 16.0
"""Distance between two rods on one sheet."""
LEFT_MM = 2.0
LABEL_MM = 3.0
"""Between two labels, from base line to base line."""
MOST_NAMES = 3


def rod_pages(rods: list[tuple[str, tuple[RodMark, ...]]]) -> list[str]:
    """SVG pages at one to one: ``rods`` is [(title, marks)]; one page follows another along the rods.

    Each page repeats the last 15 mm of the one before, with the cross to lay over it, and a
    bar of 100 mm to check the print by.
    """
    step = PAGE_MM[0] - 2 * LEFT_MM - OVERLAP_MM
    out = []
    for title, marks in rods:
        length = marks[-1].at_mm
        count = max(1, -(-int(length - OVERLAP_MM + 0.999) // int(step)))
        for page in range(count):
            out.append(_page(title, marks, page, count, page * step))
    return out


def _page(title: str, marks, page: int, count: int, from_mm: float) -> str:
    wide, high = PAGE_MM
    to_mm = from_mm + wide - 2 * LEFT_MM
    base = high - 40.0

    def x(at: float) -> float:
        return LEFT_MM + at - from_mm

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}" '
        'font-family="DejaVu Sans" font-size="2.6" fill="#26231f">',
        f'<text x="{LEFT_MM}" y="5" font-size="4" font-weight="bold">{escape(title)}</text>',
        f'<text x="{LEFT_MM}" y="10">sheet {page + 1} of {count}, {from_mm:.0f} to {min(to_mm, marks[-1].at_mm):.0f} mm, full size: '
        f"print at 100 %, measure the bar, tape sheet to sheet on the crosses</text>",
        f'<path d="M{LEFT_MM} {high - 8}h{CHECK_MM}m0 -2v4m{-CHECK_MM} -4v4" stroke="#26231f" stroke-width="0.3" fill="none"/>',
        f'<text x="{LEFT_MM + CHECK_MM + 2}" y="{high - 7}">{CHECK_MM:.0f} mm</text>',
        f'<path d="M{x(max(from_mm, 0.0)):.3f} {base}H{x(min(to_mm, marks[-1].at_mm)):.3f}" stroke="#26231f" stroke-width="0.4"/>',
    ]
    for at in (from_mm, to_mm - OVERLAP_MM):
        if 0 < at < marks[-1].at_mm:
            parts.append(
                f'<path d="M{x(at) - 3:.3f} {base + 12}h6m-3 -3v6" stroke="#a3231b" stroke-width="0.25" fill="none"/>'
            )
            parts.append(f'<text x="{x(at) + 1:.3f}" y="{base + 18}" fill="#a3231b">{at:.0f}</text>')
    here = [m for m in marks if from_mm - 1e-6 <= m.at_mm <= to_mm + 1e-6]
    for mark in here:
        parts.append(f'<path d="M{x(mark.at_mm):.3f} {base + 4}V19" stroke="#26231f" stroke-width="0.18"/>')
    for mark, at in zip(here, _apart([x(m.at_mm) + 2.4 for m in here], wide - 1.0)):
        parts.append(
            f'<path d="M{x(mark.at_mm):.3f} {base - 1}L{at - 0.8:.3f} {base - 5}" stroke="#26231f" stroke-width="0.12"/>'
        )
        # First in white and wider, so that lines of other marks stop short of the letters.
        for look in ('stroke="#ffffff" stroke-width="0.8" fill="#ffffff"', 'fill="#26231f"'):
            parts.append(
                f'<text transform="translate({at:.3f} {base - 6}) rotate(-90)" {look}>{mark.at_mm:.1f}  {escape(_short(mark.words))}</text>'
            )
    for k, mark in enumerate(marks):
        if mark not in here:
            continue
        if k:
            gap = mark.at_mm - marks[k - 1].at_mm
            middle = mark.at_mm - gap / 2
            if gap > 8 and from_mm <= middle <= to_mm:
                parts.append(
                    f'<text x="{x(middle):.3f}" y="{base + 4}" text-anchor="middle" fill="#6d655b">{gap:.1f}</text>'
                )
    parts.append("</svg>")
    return "".join(parts)


def _apart(places: list[float], most: float) -> list[float]:
    """Places of labels moved so far that none lies on the next, and none off the sheet. [mm]"""
    out: list[float] = []
    for p in places:
        out.append(max(p, out[-1] + LABEL_MM) if out else p)
    for k in reversed(range(len(out))):
        out[k] = min(out[k], (out[k + 1] if k + 1 < len(out) else most + LABEL_MM) - LABEL_MM)
    return out


def _short(words: str) -> str:
    """The first names of a mark, and how many more begin or end there."""
    names = words.split(", ")
    return words if len(names) <= MOST_NAMES else f"{', '.join(names[:MOST_NAMES])} and {len(names) - MOST_NAMES} more"


def rods_dxf(rods: list[tuple[str, tuple[RodMark, ...]]]) -> bytes:
    """The rods as DXF in millimetres, one above the other, with running distances."""
    from studio_lib.drawings.dxf import clockless

    with clockless() as ezdxf:
        drawing = ezdxf.new("R2010")
        drawing.units = ezdxf.units.MM
        space = drawing.modelspace()
        for number, (title, marks) in enumerate(rods):
            y = -40.0 * number
            space.add_text(title, height=5, dxfattribs={"insert": (0, y + 14)})
            space.add_line((0, y), (marks[-1].at_mm, y))
            for mark in marks:
                space.add_line((mark.at_mm, y), (mark.at_mm, y + ROD_MM / 2))
                space.add_text(
                    f"{mark.at_mm:.1f} {mark.words}", height=2, rotation=90, dxfattribs={"insert": (mark.at_mm, y + 9)}
                )
        text = io.StringIO()
        drawing.write(text)
    return text.getvalue().encode()
