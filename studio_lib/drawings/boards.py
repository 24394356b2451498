"""Boards drawn to scale with the pieces on them, their faults, and what is left over."""

from __future__ import annotations

from html import escape

from studio_lib.stock.boards import Layout
from studio_lib.units import mm

FONT = "DejaVu Sans"
ROW_GAP = 9.0
"""Between two boards on paper, room for the name of the board. [mm]"""
WOOD, PIECE, OFFCUT, FAULT = "#f4ecdd", "#d9bd8b", "#ffffff", "#5b3a29"


def boards_svg(
    layout: Layout, width_mm: float, names: dict[str, str] | None = None,
    longest_mm: float | None = None,
) -> str:
    """Every board of a layout, one under the other, all to one scale, as SVG.

    ``names`` gives the words for a piece's reference; the reference always shows.
    ``longest_mm`` sets the scale when the boards are spread over several pictures. [mm]
    """
    names = names or {}
    boards = [(ref, copy, layout.board(ref)) for ref, copy in layout.boards_used]
    if not boards:
        return f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" height="4mm"/>'
    longest = longest_mm or max(b.length_mm for _, _, b in boards)
    scale = (width_mm - 2) / longest
    marks, y = [], 0.0
    for ref, copy, board in boards:
        title = f"{ref}{f' ({copy})' if copy > 1 else ''}   {mm(board.length_mm)} x {mm(board.width_mm)} x {mm(board.thickness_mm)}"
        marks.append(_text(0.5, y + 4.2, title, 2.9, "start", "bold"))
        marks.append(_board(layout, (ref, copy), board, names, 0.5, y + 5.6, scale))
        y += board.width_mm * scale + ROW_GAP
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" height="{y:.2f}mm" '
        f'viewBox="0 0 {width_mm:g} {y:.2f}">' + "".join(marks) + "</svg>"
    )


def _board(layout, key, board, names, left, top, k) -> str:
    bottom = top + board.width_mm * k

    def rect(x, y, l, w, fill, stroke="#6b5a43", width=0.2, extra=""):
        return (
            f'<rect x="{left + x * k:.2f}" y="{bottom - (y + w) * k:.2f}" width="{l * k:.2f}" '
            f'height="{w * k:.2f}" fill="{fill}" stroke="{stroke}" stroke-width="{width}"{extra}/>'
        )

    out = [rect(0, 0, board.length_mm, board.width_mm, WOOD, width=0.35)]
    for o in layout.offcuts:
        if (o.board_ref, o.board_copy) == key:
            out.append(rect(o.x_mm, o.y_mm, o.length_mm, o.width_mm, OFFCUT, extra=' stroke-dasharray="1 0.8"'))
            out.append(
                _text(left + (o.x_mm + o.length_mm / 2) * k, bottom - (o.y_mm + o.width_mm / 2) * k + 0.8,
                      f"left over {mm(o.length_mm)} x {mm(o.width_mm)}", min(2.2, o.width_mm * k * 0.6), "middle")
            )
    for p in layout.on(key):
        out.append(rect(p.x_mm, p.y_mm, p.length_mm, p.width_mm, PIECE))
        words = p.piece_ref + (f" {names[p.piece_ref]}" if p.piece_ref in names else "")
        words += f" x{p.layers}" if p.layers > 1 else ""
        size = min(2.4, p.width_mm * k * 0.6)
        if len(words) * size * 0.62 > p.length_mm * k:
            words = p.piece_ref
        out.append(
            _text(left + (p.x_mm + p.length_mm / 2) * k, bottom - (p.y_mm + p.width_mm / 2) * k + size * 0.36,
                  words, size, "middle")
        )
    for f in board.faults:
        out.append(rect(f.x0_mm, f.y0_mm, f.x1_mm - f.x0_mm, f.y1_mm - f.y0_mm, FAULT, FAULT, extra=' fill-opacity="0.55"'))
    return "".join(out)


def _text(x, y, words, size, anchor, weight="normal") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-family="{FONT}" font-size="{size:.2f}" '
        f'font-weight="{weight}" text-anchor="{anchor}" fill="#222">{escape(words)}</text>'
    )
