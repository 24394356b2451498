"""A sheet with three views in first-angle projection, dimensioned, to a standard scale."""

from __future__ import annotations

from dataclasses import dataclass, field

from studio_lib.drawings.views import View, view
from studio_lib.piece import Piece
from studio_lib.units import mm

SCALES = (1, 2, 5, 10, 20, 50, 100)
"""ISO 5455 reductions."""
THICK, THIN = 0.5, 0.25
"""Line widths on A3, 2 : 1 as ISO 128 asks; the pair from memory. [mm]"""
TEXT_MM = 3.0
FONT = "DejaVu Sans"
DIM_GAP, DIM_STEP = 9.0, 8.0
"""First dimension line from the outline, and from one to the next, on paper. [mm]"""
BETWEEN = 14.0
SAME_MM = 0.05
"""Nearer than this, on the piece, two places are one."""


@dataclass
class _Paper:
    """Marks on the sheet in paper millimetres, y down."""

    width: float
    height: float
    marks: list[str] = field(default_factory=list)

    def line(self, x0, y0, x1, y1, width=THIN, dash=""):
        extra = f' stroke-dasharray="{dash}"' if dash else ""
        self.marks.append(
            f'<line x1="{x0:.3f}" y1="{y0:.3f}" x2="{x1:.3f}" y2="{y1:.3f}" '
            f'stroke="#111" stroke-width="{width}" stroke-linecap="round"{extra}/>'
        )

    def text(self, x, y, words, turn=0.0, size=TEXT_MM, anchor="middle"):
        turned = f' transform="rotate({turn} {x:.3f} {y:.3f})"' if turn else ""
        self.marks.append(
            f'<text x="{x:.3f}" y="{y:.3f}" font-family="{FONT}" font-size="{size}" '
            f'text-anchor="{anchor}" fill="#111"{turned}>{words}</text>'
        )

    def arrow(self, x, y, dx, dy):
        """A closed narrow arrow with its point at x, y, coming from dx, dy."""
        n = (dx * dx + dy * dy) ** 0.5
        ux, uy = dx / n, dy / n
        a, b = 2.6, 0.35
        points = [(x, y), (x + a * ux - b * uy, y + a * uy + b * ux), (x + a * ux + b * uy, y + a * uy - b * ux)]
        self.marks.append(
            '<polygon points="' + " ".join(f"{px:.3f},{py:.3f}" for px, py in points) + '" fill="#111"/>'
        )

    def svg(self) -> str:
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width:g}mm" height="{self.height:g}mm" '
            f'viewBox="0 0 {self.width:g} {self.height:g}">' + "".join(self.marks) + "</svg>"
        )


class _Placed:
    """A view put on the paper: its scale and where its least corner lies."""

    def __init__(self, paper: _Paper, v: View, scale: int, left: float, bottom: float):
        self.paper, self.v, self.scale = paper, v, scale
        x0, y0, self._x1, self._y1 = v.extent
        self._x0, self._y0 = x0, y0
        self.left, self.bottom = left, bottom

    @property
    def size(self) -> tuple[float, float]:
        return (self._x1 - self._x0) / self.scale, (self._y1 - self._y0) / self.scale

    def at(self, x: float, y: float) -> tuple[float, float]:
        return self.left + (x - self._x0) / self.scale, self.bottom - (y - self._y0) / self.scale

    def draw(self):
        for s in self.v.hidden:
            self.paper.line(*self.at(*s[:2]), *self.at(*s[2:]), THIN, "1.6 0.9")
        for s in self.v.visible:
            self.paper.line(*self.at(*s[:2]), *self.at(*s[2:]), THICK)

    def across(self, stops, row: int, below: bool = True):
        """A chain of horizontal dimensions between stops, in row 0, 1, ... outwards."""
        edge = self.at(0, self._y0 if below else self._y1)[1]
        sign = 1 if below else -1
        y = edge + sign * (DIM_GAP + row * DIM_STEP)
        for x in stops:
            px, _ = self.at(x, 0)
            self.paper.line(px, edge + sign * 1.5, px, y + sign * 1.5)
        self._chain([(self.at(x, 0)[0], y) for x in stops], stops, upright=False)

    def up(self, stops, row: int, left: bool = True):
        """A chain of vertical dimensions beside the view."""
        edge = self.left if left else self.left + self.size[0]
        sign = -1 if left else 1
        x = edge + sign * (DIM_GAP + row * DIM_STEP)
        for y in stops:
            _, py = self.at(0, y)
            self.paper.line(edge + sign * 1.5, py, x + sign * 1.5, py)
        self._chain([(x, self.at(0, y)[1]) for y in stops], stops, upright=True)

    def _chain(self, points, stops, upright):
        """Dimensions from point to point; a figure too wide for its place goes outside or above.

        Two stops at one place, such as slats laid close, have no length to print.
        """
        last = len(points) - 2
        for i, (a, b) in enumerate(zip(points, points[1:])):
            if stops[i + 1] - stops[i] < SAME_MM:
                continue
            room = abs(b[0] - a[0]) + abs(b[1] - a[1])
            ux, uy = ((b[0] - a[0]) / room, (b[1] - a[1]) / room)
            words = mm(stops[i + 1] - stops[i])
            wide = 0.64 * TEXT_MM * len(words)
            mid = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            lift = 0.8
            if room > 6.5:
                self.paper.line(*a, *b)
                self.paper.arrow(*a, ux, uy)
                self.paper.arrow(*b, -ux, -uy)
            else:
                self.paper.line(a[0] - 4 * ux, a[1] - 4 * uy, b[0] + 4 * ux, b[1] + 4 * uy)
                self.paper.arrow(*a, -ux, -uy)
                self.paper.arrow(*b, ux, uy)
            if wide + 0.6 > room:
                out = 5.0 + wide / 2
                if i == last:
                    mid = (b[0] + out * ux, b[1] + out * uy)
                elif i == 0:
                    mid = (a[0] - out * ux, a[1] - out * uy)
                else:
                    lift = 1.2 + TEXT_MM
            if upright:
                self.paper.text(mid[0] - lift, mid[1], words, -90)
            else:
                self.paper.text(mid[0], mid[1] - lift, words)


def _stops(values) -> list[float]:
    out: list[float] = []
    for v in sorted(values):
        if not out or v - out[-1] > SAME_MM:
            out.append(v)
    return out


def three_view_svg(piece: Piece, width_mm: float, height_mm: float) -> tuple[str, int]:
    """Front, left and plan views with their dimensions, as SVG, and the scale 1 : n.

    The scale is the largest of ISO 5455 at which the sheet holds them. Raises
    ValueError when even 1 : 100 does not fit.
    """
    front, left, plan = (view(piece, n) for n in ("front", "left", "plan"))
    length, depth, height = piece.overall_mm
    margin = DIM_GAP + 2 * DIM_STEP + 6
    for scale in SCALES:
        need_w = (length + depth) / scale + margin + 3 * BETWEEN
        need_h = (height + depth) / scale + 2 * margin + 8
        if need_w <= width_mm and need_h <= height_mm:
            break
    else:
        raise ValueError(
            f"{piece.name} is {length:.0f} x {depth:.0f} x {height:.0f} mm and does not fit a sheet "
            f"of {width_mm:.0f} x {height_mm:.0f} mm at 1 : {SCALES[-1]}."
        )
    paper = _Paper(width_mm, height_mm)
    free_w, free_h = width_mm - need_w, height_mm - need_h
    x_front = margin + free_w / 3
    y_front = 8 + free_h / 3 + height / scale
    f = _Placed(paper, front, scale, x_front, y_front)
    # First angle: the view from the left stands on the right, the plan underneath.
    e = _Placed(paper, left, scale, x_front + length / scale + 2 * BETWEEN + free_w / 3, y_front)
    p = _Placed(paper, plan, scale, x_front, y_front + margin + free_h / 3 + depth / scale)
    for placed in (f, e, p):
        placed.draw()
    _dimension_front(f, piece)
    _dimension_left(e, piece)
    _dimension_plan(p, piece)
    return paper.svg(), scale


def _legs(piece: Piece):
    return [m.piece_box for m in piece.members if m.role == "leg"]


def _dimension_front(f: _Placed, piece: Piece):
    length, _, height = piece.overall_mm
    faces = [v for b in _legs(piece) for v in (b.lo[0], b.hi[0])]
    f.across(_stops([-length / 2, *faces, length / 2]), 0)
    f.across([-length / 2, length / 2], 1)
    levels = [0.0, height]
    for m in piece.members:
        if m.role in ("apron", "lower rail"):
            levels += [m.piece_box.lo[2], m.piece_box.hi[2]]
    f.up(_stops(levels), 0)
    f.up([0.0, height], 1)


def _dimension_left(e: _Placed, piece: Piece):
    # On the view from the left the piece's front is to the right: x on paper is -y.
    _, depth, _ = piece.overall_mm
    faces = [-v for b in _legs(piece) for v in (b.lo[1], b.hi[1])]
    e.across(_stops([-depth / 2, *faces, depth / 2]), 0)
    e.across([-depth / 2, depth / 2], 1)


def _dimension_plan(p: _Placed, piece: Piece):
    length, depth, _ = piece.overall_mm
    slats = sorted((m.piece_box for m in piece.members if m.role == "slat"), key=lambda b: b.lo[1])
    if len(slats) > 1:
        p.up([slats[0].lo[1], slats[0].hi[1]], 0)
        p.up([slats[-2].hi[1], slats[-1].lo[1], slats[-1].hi[1]], 0)
    p.up([-depth / 2, depth / 2], 1)
    bearers = [m.piece_box.centre[0] for m in piece.members if m.role == "bearer"]
    p.across(_stops([-length / 2, *bearers, length / 2]), 0)
