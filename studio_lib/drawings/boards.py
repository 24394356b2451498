"""Boards drawn to scale: the pieces on them, the cuts in their order, the faults, what is left over."""

from __future__ import annotations

from html import escape

from studio_lib.stock.boards import NEVER, Layout
from studio_lib.units import mm

FONT = "DejaVu Sans"
ROW_GAP = 9.0
"""Between two boards on paper, room for the name of the board. [mm]"""
WOOD, PIECE, OFFCUT, FAULT, SAW = "#f4ecdd", "#d9bd8b", "#ffffff", "#5b3a29", "#a3271c"
BADGE = 1.75
"""Radius of the number of a cut. [mm]"""


def boards_svg(
    layout: Layout,
    width_mm: float,
    names: dict[str, str] | None = None,
    longest_mm: float | None = None,
    cuts: bool = True,
) -> str:
    """Every board of a layout, one under the other, all to one scale, as SVG.

    ``names`` gives the words for a piece's reference; the reference always shows.
    ``longest_mm`` sets the scale when the boards are spread over several pictures. [mm]
    ``cuts`` draws the saw cuts with the order they are made in.
    """
    names = names or {}
    boards = [(ref, copy, layout.board(ref)) for ref, copy in layout.boards_used]
    if not boards:
        return f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" height="4mm"/>'
    longest = longest_mm or max(b.length_mm for _, _, b in boards)
    scale = (width_mm - 2) / longest
    marks, y = [], 0.0
    for ref, copy, board in boards:
        across = mm(board.width_mm) + (f" to {mm(board.end_mm)}" if board.tapers else "")
        title = f"{ref}{f' ({copy})' if copy > 1 else ''}   {mm(board.length_mm)} x {across} x {mm(board.thickness_mm)} mm"
        marks.append(_text(0.5, y + 4.2, title, 2.9, "start", "bold"))
        said = _first_words(layout, (ref, copy)) if cuts else ""
        if said:
            marks.append(_text(width_mm - 1.5, y + 4.2, said, 2.3, "end"))
        marks.append(_board(layout, (ref, copy), board, names, 0.5, y + 5.6, scale, cuts))
        y += board.widest_mm * scale + ROW_GAP
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" height="{y:.2f}mm" '
        f'viewBox="0 0 {width_mm:g} {y:.2f}">' + "".join(marks) + "</svg>"
    )


def _first_words(layout, key) -> str:
    n = len(layout.cuts(key))
    return f"{n} cut{'s' if n != 1 else ''}"


def _board(layout, key, board, names, left, top, k, cuts) -> str:
    bottom = top + board.widest_mm * k

    def rect(x, y, l, w, fill, stroke="#6b5a43", width=0.2, extra=""):
        return (
            f'<rect x="{left + x * k:.2f}" y="{bottom - (y + w) * k:.2f}" width="{l * k:.2f}" '
            f'height="{w * k:.2f}" fill="{fill}" stroke="{stroke}" stroke-width="{width}"{extra}/>'
        )

    if board.tapers:
        corners = ((0, 0), (board.length_mm, 0), (board.length_mm, board.end_mm), (0, board.width_mm))
        points = " ".join(f"{left + x * k:.2f},{bottom - y * k:.2f}" for x, y in corners)
        out = [f'<polygon points="{points}" fill="{WOOD}" stroke="#6b5a43" stroke-width="0.35"/>']
    else:
        out = [rect(0, 0, board.length_mm, board.width_mm, WOOD, width=0.35)]
    for o in layout.offcuts:
        if (o.board_ref, o.board_copy) == key:
            out.append(rect(o.x_mm, o.y_mm, o.length_mm, o.width_mm, OFFCUT, extra=' stroke-dasharray="1 0.8"'))
            words = f"left over {mm(o.length_mm)} x {mm(o.width_mm)} mm"
            size = min(2.2, o.width_mm * k * 0.6)
            if len(words) * size * 0.62 > o.length_mm * k:
                words = "left over"
            out.append(
                _text(
                    left + (o.x_mm + o.length_mm / 2) * k,
                    bottom - (o.y_mm + o.width_mm / 2) * k + 0.8,
                    words,
                    size,
                    "middle",
                )
            )
    for p in layout.on(key):
        out.append(rect(p.x_mm, p.y_mm, p.length_mm, p.width_mm, PIECE))
        words = p.piece_ref + (f" {names[p.piece_ref]}" if p.piece_ref in names else "")
        words += f" x{p.layers}" if p.layers > 1 else ""
        size = min(2.4, p.width_mm * k * 0.6)
        x0, x1 = _clear_of_faults(p, board.faults)
        if len(words) * size * 0.62 > (x1 - x0) * k:
            words = p.piece_ref + (f" x{p.layers}" if p.layers > 1 else "")
        out.append(
            _text(
                left + (x0 + x1) / 2 * k,
                bottom - (p.y_mm + p.width_mm / 2) * k + size * 0.36,
                words,
                size,
                "middle",
            )
        )
    for f in board.faults:
        whole = f.face == "both"
        look = ' fill-opacity="0.55"' if whole else ' fill-opacity="0.18" stroke-dasharray="0.7 0.5"'
        out.append(rect(f.x0_mm, f.y0_mm, f.x1_mm - f.x0_mm, f.y1_mm - f.y0_mm, FAULT, FAULT, extra=look))
        said = f.name + ("" if whole else f", {f.face}") + (" !" if f.severity >= NEVER else "")
        wide, high = (f.x1_mm - f.x0_mm) * k, (f.y1_mm - f.y0_mm) * k
        if len(said) * 1.1 < wide and high > 2.2:
            out.append(
                _text(
                    left + (f.x0_mm + f.x1_mm) / 2 * k, bottom - (f.y0_mm + f.y1_mm) / 2 * k + 0.6, said, 1.8, "middle"
                )
            )
    if cuts:
        out += _cuts(layout.cut_lines(key), left, bottom, k)
    return "".join(out)


def _clear_of_faults(p, faults) -> tuple[float, float]:
    """The longest stretch of a piece, along the board, that no fault lies in; all of it where there is none. [mm]"""
    at, end = p.x_mm, p.x_mm + p.length_mm
    free = []
    for f in sorted((f for f in faults if f.y0_mm < p.y_mm + p.width_mm and f.y1_mm > p.y_mm and f.x1_mm > at and f.x0_mm < end), key=lambda f: f.x0_mm):
        free.append((at, min(f.x0_mm, end)))
        at = max(at, f.x1_mm)
    return max([*free, (at, end)], key=lambda s: s[1] - s[0]) if at < end or free else (p.x_mm, end)


def _cuts(lines, left, bottom, k) -> list[str]:
    """Each cut as a line as thick as its kerf, then the numbers over all of them, clear of each other."""
    out, badges, taken = [], [], []
    for c in lines:
        x0, x1, y0, y1 = left + c.x0_mm * k, left + c.x1_mm * k, bottom - c.y1_mm * k, bottom - c.y0_mm * k
        if c.kind == "crosscut":
            out.append(_saw((x0 + x1) / 2, y0, (x0 + x1) / 2, y1, max(0.25, x1 - x0)))
            spots = [((x0 + x1) / 2, y0 + share * (y1 - y0)) for share in (0.12, 0.88, 0.5, 0.3, 0.7)]
        else:
            out.append(_saw(x0, (y0 + y1) / 2, x1, (y0 + y1) / 2, max(0.25, y1 - y0)))
            spots = [(x0 + share * (x1 - x0), (y0 + y1) / 2) for share in (0.04, 0.96, 0.2, 0.8, 0.35, 0.65)]

        def room(spot):
            return min(((spot[0] - a) ** 2 + (spot[1] - b) ** 2 for a, b in taken), default=1e9)

        spot = next((s for s in spots if room(s) > (2.1 * BADGE) ** 2), max(spots, key=room))
        taken.append(spot)
        badges.append(
            f'<circle cx="{spot[0]:.2f}" cy="{spot[1]:.2f}" r="{BADGE}" fill="#fff" stroke="{SAW}" stroke-width="0.2"/>'
            + _text(spot[0], spot[1] + 0.68, str(c.number), 1.9, "middle", colour=SAW)
        )
    return out + badges


def _saw(x0, y0, x1, y1, width) -> str:
    return f'<line x1="{x0:.2f}" y1="{y0:.2f}" x2="{x1:.2f}" y2="{y1:.2f}" stroke="{SAW}" stroke-width="{width:.2f}" stroke-opacity="0.75"/>'


def _text(x, y, words, size, anchor, weight="normal", colour="#222") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-family="{FONT}" font-size="{size:.2f}" '
        f'font-weight="{weight}" text-anchor="{anchor}" fill="{colour}">{escape(words)}</text>'
    )
