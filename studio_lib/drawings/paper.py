"""Figures at full size, put on paper at a scale: lines by kind, dimensions that never collide, tables, as SVG.

A figure is drawn once in the piece's own millimetres. ``Sheet`` places figures at their scales with frame and title
block (fields after ISO 7200); ``dxf`` puts the same figures down at true scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape
from importlib.util import find_spec
from pathlib import Path

from studio_lib.drawings.views import Cut, View
from studio_lib.units import mm

SCALES = (1, 2, 5, 10, 20, 50, 100)
"""ISO 5455 full size and reductions."""
WIDE, NARROW = 0.35, 0.18
"""Line widths, 2 : 1 (ISO 128-2; the pair for A3 and A4 from memory). [mm]"""
TEXT_MM, SMALL_MM, HEAD_MM = 2.5, 2.3, 3.5
ROW_MM = 3.6
"""Height of letters of dimensions, tables and titles, and of a row of a table. [mm]"""
FONT = "DejaVu Sans"
INK = "#111"
LAYERS: dict[str, tuple[float, str]] = {
    "VISIBLE": (WIDE, ""),
    "CUT": (WIDE, ""),
    "HIDDEN": (NARROW, "1.6 0.8"),
    "CENTRE": (NARROW, "5 0.8 0.6 0.8"),
    "PLANE": (NARROW, "5 0.8 0.6 0.8"),
    "PATH": (NARROW, "3 0.8 0.5 0.8"),
    "HATCH": (0.13, ""),
    "GRAIN": (0.13, "7 2.5"),
    "DIMENSIONS": (NARROW, ""),
    "TEXT": (NARROW, ""),
    "BREAK": (NARROW, ""),
}
"""Kinds of line: width on paper and dashes. [mm]"""
TITLE_MM = 5.5
"""Height that a figure's title takes above it, on paper."""
GAP_MM, STEP_MM = 9.5, 6.0
"""First dimension line from the outline, and from one to the next, on paper. [mm]"""
LABEL_MM = TEXT_MM + 0.7
"""Least distance between two figures of a running dimension. [mm]"""
SAME_MM = 0.05
"""Nearer than this, on the piece, two places are one."""

Point = tuple[float, float]


@lru_cache(maxsize=2)
def _font(bold: bool):
    from PIL import ImageFont

    folder = Path(find_spec("matplotlib").origin).parent / "mpl-data" / "fonts" / "ttf"
    return ImageFont.truetype(str(folder / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")), 200)


@lru_cache(maxsize=16384)
def text_mm(words: str, size: float = TEXT_MM, bold: bool = False) -> float:
    """Width of words set on one line. [mm]"""
    return _font(bold).getlength(words) * size / 200


@lru_cache(maxsize=2048)
def wrapped(words: str, wide: float, size: float, bold: bool = False) -> list[str]:
    """Words broken into lines no wider than ``wide``. [mm]"""
    out, line = [], ""
    for word in words.split():
        longer = f"{line} {word}" if line else word
        if line and text_mm(longer, size, bold) > wide:
            out.append(line)
            line = word
        else:
            line = longer
    return [*out, line] if line else out


def places(values) -> list[float]:
    """Values in order, those at one place once."""
    out: list[float] = []
    for v in sorted(values):
        if not out or v - out[-1] > SAME_MM:
            out.append(v)
    return out


def spread(wanted: list[float], apart: float, pinned: int | None = None) -> list[float]:
    """Places at least ``apart`` from each other, in order, as near to those wanted (in order) as can be.

    The least-squares answer, by pooling neighbours that collide; the one ``pinned`` stays where it is.
    """
    pools: list[list[float]] = []  # [weighted sum of (wanted - k apart), weight, count]
    for k, w in enumerate(wanted):
        weight = 1e6 if k == pinned else 1.0
        pools.append([(w - k * apart) * weight, weight, 1])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, weight, count = pools.pop()
            pools[-1] = [pools[-1][0] + total, pools[-1][1] + weight, pools[-1][2] + count]
    level = [total / weight for total, weight, count in pools for _ in range(count)]
    return [v + k * apart for k, v in enumerate(level)]


@dataclass(frozen=True)
class Linear:
    """A size between two places, square to the paper's edges. [mm on the piece]"""

    axis: str
    """'x' or 'y'."""
    side: str
    """'above', 'below', 'left' or 'right' of ``edge``."""
    edge: float
    """Where the outline ends on that side."""
    start: float
    end: float
    row: int = 0
    words: str = ""
    """What stands instead of the bare figure."""
    short: str = ""
    """What stands instead of the words where they are longer than the whole view."""

    @property
    def value_mm(self) -> float:
        return abs(self.end - self.start)

    @property
    def says(self) -> str:
        return self.words or mm(self.value_mm)


@dataclass(frozen=True)
class Running:
    """Distances from one datum, each at its own extension line. [mm on the piece]"""

    axis: str
    side: str
    edge: float
    datum: float
    stops: tuple[float, ...]
    """The datum's own place is among them."""
    lead_mm: float = 5.5
    """From the outline to where the line bends towards its figure, on paper."""

    def value_mm(self, stop: float) -> float:
        return abs(stop - self.datum)


@dataclass(frozen=True)
class Angle:
    """How far an edge leans off upright, at its foot. [mm on the piece, degrees]"""

    x: float
    y: float
    degrees: float
    to_right: bool
    """Whether it leans to the right going up; the figure stands on the other side."""
    radius_mm: float = 20.0
    """Of the arc, on paper."""


@dataclass(frozen=True)
class Radius:
    """The radius of an arc, told from inside the timber. [mm on the piece]"""

    x: float
    y: float
    """A place on the arc."""
    centre_x: float
    centre_y: float
    inward: bool
    """Whether the timber lies on the centre's side of the arc."""
    leader_mm: float = 5.0
    """From the arc to the figure, on paper."""

    @property
    def value_mm(self) -> float:
        return math.hypot(self.x - self.centre_x, self.y - self.centre_y)

    @property
    def says(self) -> str:
        return f"R {mm(self.value_mm)}"

    @property
    def way(self) -> Point:
        """The unit vector from the arc into the timber."""
        k = (1.0 if self.inward else -1.0) / self.value_mm
        return (self.centre_x - self.x) * k, (self.centre_y - self.y) * k


@dataclass(frozen=True)
class Words:
    """Words at a place on the piece, moved by some paper millimetres."""

    x: float
    y: float
    words: str
    size: float = TEXT_MM
    anchor: str = "middle"
    dx: float = 0.0
    dy: float = 0.0
    bold: bool = False
    turn: float = 0.0
    """Degrees, against the clock."""
    clear: bool = False
    """Lines behind it are kept off."""


@dataclass(frozen=True)
class Balloon:
    """A reference in a circle beside the figure, with a line to the member."""

    ref: str
    x: float
    y: float


@dataclass(frozen=True)
class Hatch:
    """Cut timber."""

    loops: tuple
    angle_deg: float
    pitch_mm: float
    layer: str = "HATCH"
    """'GRAIN' where the lines follow the grain."""


@dataclass
class Figure:
    """One drawing at full size: x right, y up, mm on the piece; ``scale`` n stands for 1 : n."""

    title: str
    scale: float
    strokes: list[tuple[tuple[Point, ...], str]] = field(default_factory=list)
    hatches: list[Hatch] = field(default_factory=list)
    dims: list[Linear | Running | Angle | Radius] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)
    balloons: list[Balloon] = field(default_factory=list)
    table: list[list[str]] = field(default_factory=list)
    """Rows under the figure, the first its heading."""
    notes: list[str] = field(default_factory=list)
    """Lines under the table."""
    remarks: list[str] = field(default_factory=list)
    """Said beside the title block of the sheet that carries the figure."""
    marks_mm: float = math.inf
    """Height that the marks beside the figure may take; more of them stand in two columns."""
    box: tuple[float, float, float, float] | None = None
    """Outline that dimensions keep clear of; that of the strokes where it is not given."""
    table_mm: float = 180.0
    """Width the table and notes may take."""

    def view(self, v: View, dx: float = 0.0, dy: float = 0.0, hidden: bool = True) -> None:
        """Add a view's lines and cut timber, moved by dx, dy on the piece."""
        for layer, segments in (("HIDDEN", v.hidden if hidden else ()), ("VISIBLE", v.visible)):
            self.strokes += [(tuple((x + dx, y + dy) for x, y in row), layer) for row in chained(segments)]
        self.cut(v.cuts, dx, dy)

    def cut(self, cuts: tuple[Cut, ...], dx: float = 0.0, dy: float = 0.0) -> None:
        """Hatch cut timber: dashes that follow the grain, or end grain at 45 degrees, neighbours turned."""
        for k, c in enumerate(cuts):
            loops = tuple(tuple((x + dx, y + dy) for x, y in loop) for loop in c.loops)
            if c.end_grain:
                self.hatches.append(Hatch(loops, 45.0 if k % 2 else 135.0, 1.6 if k % 3 else 2.1))
            else:
                self.hatches.append(
                    Hatch(loops, math.degrees(math.atan2(c.grain[1], c.grain[0])), 3.2 if k % 2 else 2.6, "GRAIN")
                )

    @property
    def extent(self) -> tuple[float, float, float, float]:
        if self.box:
            return self.box
        xs = [x for row, _ in self.strokes for x, _ in row] or [0.0]
        ys = [y for row, _ in self.strokes for _, y in row] or [0.0]
        return min(xs), min(ys), max(xs), max(ys)

    # ---- room on paper

    @property
    def pads(self) -> tuple[float, float, float, float]:
        """Paper that dimensions, balloons and words need left, above, right and below the outline. [mm]"""
        x0, y0, x1, y1 = self.extent
        k = self.scale
        need = {"left": 2.0, "above": 2.0, "right": 2.0, "below": 2.0}
        boxes = [box for p in self._placed(0.0, 0.0) for box in p.boxes]
        left, top, right, bottom = x0 / k, -y1 / k, x1 / k, -y0 / k
        for a, b, c, d in boxes:
            need["left"] = max(need["left"], left - a + 1)
            need["above"] = max(need["above"], top - b + 1)
            need["right"] = max(need["right"], c - right + 1)
            need["below"] = max(need["below"], d - bottom + 1)
        return need["left"], need["above"], need["right"], need["below"]

    def _rows(self) -> list[tuple[list[str], list[float]]]:
        """The table's rows with the width of each column."""
        if not self.table:
            return []
        count = len(self.table[0])
        widths = [
            max(text_mm(row[c], SMALL_MM, r == 0) for r, row in enumerate(self.table)) + 3.0 for c in range(count)
        ]
        return [(row, widths) for row in self.table]

    def _under(self) -> float:
        """Height of the table and notes. [mm]"""
        return (
            ROW_MM * len(self.table)
            + 3.6 * sum(len(wrapped(n, self.table_mm, SMALL_MM)) for n in self.notes)
            + (2.0 if self.table or self.notes else 0.0)
        )

    @property
    def size(self) -> tuple[float, float]:
        """Width and height on paper, with title, dimensions and table. [mm]"""
        x0, y0, x1, y1 = self.extent
        left, above, right, below = self.pads
        wide = (x1 - x0) / self.scale + left + right
        rows = self._rows()
        under = max(
            [sum(rows[0][1]) if rows else 0.0]
            + [text_mm(line, SMALL_MM) for n in self.notes for line in wrapped(n, self.table_mm, SMALL_MM)]
        )
        wide = max(wide, under, text_mm(self.heading, HEAD_MM, True) + 2)
        return wide, (y1 - y0) / self.scale + above + below + TITLE_MM + self._under()

    @property
    def heading(self) -> str:
        return f"{self.title} ({scale_words(self.scale)})" if self.strokes else self.title

    # ---- marks on paper

    def _placed(self, ox: float, oy: float):
        """Dimensions, words and balloons as marks on paper; ``ox``, ``oy``: where the piece's origin lies, y down."""
        k = self.scale
        x0, y0, x1, y1 = self.extent
        at = lambda x, y: (ox + x / k, oy - y / k)  # noqa: E731
        for d in self.dims:
            if isinstance(d, Angle):
                yield _angle(d, at)
            elif isinstance(d, Radius):
                yield _radius(d, at)
            else:
                yield _linear(d, at, (at(x0, y1), at(x1, y0))) if isinstance(d, Linear) else _running(d, at)
        for w in self.words:
            x, y = at(w.x, w.y)
            mark = _Marks()
            mark.text(x + w.dx, y + w.dy, w.words, w.size, w.anchor, w.bold, w.turn, clear=w.clear)
            yield mark
        if self.balloons:
            yield _ballooned(self.balloons, at, (at(x0, y1), at(x1, y0)), self.marks_mm)

    def draw(self, paper: _Marks, left: float, top: float, outline: Point | None = None) -> None:
        """Put the figure on paper by its upper left corner, or by that of its ``outline``."""
        x0, y0, x1, y1 = self.extent
        pl, pa, _, pb = self.pads
        if outline:
            left, top = outline[0] - pl, outline[1] - pa - TITLE_MM
        paper.text(left + 0.5, top + HEAD_MM, self.heading, HEAD_MM, "start", True)
        ox, oy = left + pl - x0 / self.scale, top + TITLE_MM + pa + y1 / self.scale
        for h in self.hatches:
            for a, b in hatch_lines(h, self.scale):
                paper.line(
                    [
                        (ox + a[0] / self.scale, oy - a[1] / self.scale),
                        (ox + b[0] / self.scale, oy - b[1] / self.scale),
                    ],
                    h.layer,
                )
        for row, layer in self.strokes:
            paper.line([(ox + x / self.scale, oy - y / self.scale) for x, y in row], layer)
        for mark in self._placed(ox, oy):
            paper.add(mark)
        y = oy - y0 / self.scale + pb + 2.0
        for r, (row, widths) in enumerate(self._rows()):
            x = left + 0.5
            for cell, wide in zip(row, widths):
                paper.text(x, y + SMALL_MM, cell, SMALL_MM, "start", r == 0)
                x += wide
            y += ROW_MM
            if r == 0:
                paper.line([(left + 0.5, y - 0.4), (x - 1.0, y - 0.4)], "DIMENSIONS")
        for note in self.notes:
            for line in wrapped(note, self.table_mm, SMALL_MM):
                paper.text(left + 0.5, y + SMALL_MM, line, SMALL_MM, "start")
                y += 3.6


def scale_words(scale: float) -> str:
    """'1 : 5', '2 : 1'."""
    return f"1 : {scale:g}" if scale >= 1 else f"{1 / scale:g} : 1"


def chained(segments) -> list[tuple[Point, ...]]:
    """Segments that meet end to end in twos as one row of points each, so that a round is one line."""
    at: dict[tuple[int, int], list[int]] = {}
    name = lambda p: (round(p[0] * 50), round(p[1] * 50))  # noqa: E731
    segments = [((s[0], s[1]), (s[2], s[3])) for s in segments]
    for i, s in enumerate(segments):
        for p in s:
            at.setdefault(name(p), []).append(i)
    used, out = [False] * len(segments), []

    def walk(row):
        while True:
            here = at[name(row[-1])]
            if len(here) != 2:
                return
            following = next((i for i in here if not used[i]), None)
            if following is None:
                return
            used[following] = True
            a, b = segments[following]
            row.append(b if name(a) == name(row[-1]) else a)

    for i, (a, b) in enumerate(segments):
        if used[i]:
            continue
        used[i] = True
        row = [a, b]
        walk(row)
        row.reverse()
        walk(row)
        out.append(tuple(row))
    return out


def hatch_lines(h: Hatch, scale: float):
    """Lines of a hatch within its loops (even-odd), at full size."""
    c, s = math.cos(math.radians(h.angle_deg)), math.sin(math.radians(h.angle_deg))
    pitch = h.pitch_mm * scale
    turned = [[(x * c + y * s, y * c - x * s) for x, y in loop] for loop in h.loops]
    vs = [v for loop in turned for _, v in loop]
    if not vs:
        return
    level = math.floor(min(vs) / pitch) * pitch + pitch / 2
    while level < max(vs):
        crossings = sorted(
            u0 + (u1 - u0) * (level - v0) / (v1 - v0)
            for loop in turned
            for (u0, v0), (u1, v1) in zip(loop, (*loop[1:], loop[0]))
            if (v0 <= level) != (v1 <= level)
        )
        for a, b in zip(crossings[::2], crossings[1::2]):
            if b - a > 0.3 * scale:
                yield (a * c - level * s, a * s + level * c), (b * c - level * s, b * s + level * c)
        level += pitch


class _Marks:
    """Marks on paper, mm, y down; keeps the box of every text."""

    def __init__(self):
        self.svg: list[str] = []
        self.boxes: list[tuple[float, float, float, float]] = []
        self.said: list[str] = []

    def add(self, other: _Marks) -> None:
        self.svg += other.svg
        self.boxes += other.boxes
        self.said += other.said

    def line(self, points, layer: str, width: float | None = None) -> None:
        own, dash = LAYERS[layer]
        d = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
        extra = f' stroke-dasharray="{dash}"' if dash else ""
        self.svg.append(
            f'<path d="{d}" stroke="{INK}" stroke-width="{width or own}" fill="none" '
            f'stroke-linecap="round" stroke-linejoin="round"{extra}/>'
        )

    def circle(self, x: float, y: float, r: float, fill: str = "#fff") -> None:
        self.svg.append(
            f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{r:.2f}" fill="{fill}" stroke="{INK}" stroke-width="{NARROW}"/>'
        )

    def arrow(self, x: float, y: float, dx: float, dy: float) -> None:
        """A closed narrow arrow with its point at x, y, coming from dx, dy."""
        n = math.hypot(dx, dy)
        ux, uy, a, b = dx / n, dy / n, 2.3, 0.33
        points = ((x, y), (x + a * ux - b * uy, y + a * uy + b * ux), (x + a * ux + b * uy, y + a * uy - b * ux))
        self.svg.append(f'<path d="M{"L".join(f"{p:.2f} {q:.2f}" for p, q in points)}Z" fill="{INK}"/>')

    def text(self, x, y, words: str, size=TEXT_MM, anchor="middle", bold=False, turn=0.0, ink=INK, clear=False) -> None:
        turned = f' transform="rotate({-turn:g} {x:.2f} {y:.2f})"' if turn else ""
        if clear:
            wide = text_mm(words, size, bold)
            low = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor] - 0.5
            self.svg.append(
                f'<rect x="{low:.2f}" y="{y - 0.85 * size:.2f}" width="{wide + 1:.2f}" '
                f'height="{1.12 * size:.2f}" fill="#fff"/>'
            )
        self.svg.append(
            f'<text x="{x:.2f}" y="{y:.2f}" font-family="{FONT}" font-size="{size:g}" text-anchor="{anchor}" '
            f'font-weight="{"bold" if bold else "normal"}" fill="{ink}"{turned}>{escape(words)}</text>'
        )
        wide = text_mm(words, size, bold)
        start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[anchor]
        corners = [(u, v) for u in (start, start + wide) for v in (-0.78 * size, 0.22 * size)]
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        xs = [x + u * c + v * s for u, v in corners]
        ys = [y - u * s + v * c for u, v in corners]
        self.boxes.append((min(xs), min(ys), max(xs), max(ys)))
        self.said.append(words)


def _linear(d: Linear, at, corners) -> _Marks:
    marks = _Marks()
    upright = d.axis == "y"
    sign = -1 if d.side in ("above", "left") else 1
    off = GAP_MM + d.row * STEP_MM
    if upright:
        edge = at(d.edge, 0)[0]
        a, b = sorted((at(0, d.start)[1], at(0, d.end)[1]))
        pt = lambda along, out: (edge + sign * out, along)  # noqa: E731
    else:
        edge = at(0, d.edge)[1]
        a, b = sorted((at(d.start, 0)[0], at(d.end, 0)[0]))
        pt = lambda along, out: (along, edge + sign * out)  # noqa: E731
    low, high = (corners[0][1], corners[1][1]) if upright else (corners[0][0], corners[1][0])
    says = d.says
    if d.short and text_mm(says) > high - low:
        says = d.short
    for v in (a, b):
        marks.line([pt(v, 1.0), pt(v, off + 1.2)], "DIMENSIONS")
    wide = text_mm(says)
    ux, uy = (0, 1) if upright else (1, 0)
    inside = b - a > 6.0
    if inside:
        marks.line([pt(a, off), pt(b, off)], "DIMENSIONS")
    else:
        marks.line([pt(a - 4.0, off), pt(b + 4.0, off)], "DIMENSIONS")
    turn = 1 if inside else -1
    marks.arrow(*pt(a, off), turn * ux, turn * uy)
    marks.arrow(*pt(b, off), -turn * ux, -turn * uy)
    middle = (a + b) / 2
    if d.words and wide < high - low:
        # Longer than its own size it may be, over the view it stays.
        middle = min(max(middle, low + wide / 2), high - wide / 2)
    elif wide + 1.0 > b - a and not d.words:
        # Upright dimensions read from the right: their figure goes above the upper arrow.
        middle = a - 5.0 - wide / 2 if upright else b + 5.0 + wide / 2
    x, y = pt(middle, off)
    if upright:
        marks.text(x - 0.8, y, says, turn=90)
    else:
        marks.text(x, y - 0.8, says, clear=wide > b - a)
    return marks


def _running(d: Running, at) -> _Marks:
    marks = _Marks()
    upright = d.axis == "y"
    sign = -1 if d.side in ("above", "left") else 1
    stops = sorted(places(d.stops), key=lambda s: at(s, -s)[0] if not upright else at(0, s)[1])
    if upright:
        edge = at(d.edge, 0)[0]
        wanted = [at(0, s)[1] for s in stops]
        pt = lambda along, out: (edge + sign * out, along)  # noqa: E731
    else:
        edge = at(0, d.edge)[1]
        wanted = [at(s, 0)[0] for s in stops]
        pt = lambda along, out: (along, edge + sign * out)  # noqa: E731
    pinned = next((i for i, s in enumerate(stops) if abs(s - d.datum) < SAME_MM), None)
    for stop, p, q in zip(stops, wanted, spread(wanted, LABEL_MM, pinned)):
        bend = d.lead_mm + (2.2 if abs(p - q) > 0.2 else 0.0)
        marks.line(
            [pt(p, 1.0), pt(p, d.lead_mm), pt(q, d.lead_mm + 2.2)]
            if bend > d.lead_mm
            else [pt(p, 1.0), pt(p, d.lead_mm + 2.2)],
            "DIMENSIONS",
        )
        x, y = pt(q, d.lead_mm + 3.0)
        words = mm(d.value_mm(stop))
        if abs(stop - d.datum) < SAME_MM:
            marks.circle(*pt(p, d.lead_mm - 1.2), 0.7)
        if upright:
            marks.text(x, y + 0.36 * TEXT_MM, words, anchor="end" if sign < 0 else "start")
        else:
            marks.text(x + 0.36 * TEXT_MM, y, words, anchor="end" if sign > 0 else "start", turn=90)
    return marks


def _angle(d: Angle, at) -> _Marks:
    marks = _Marks()
    x, y = at(d.x, d.y)
    sign, r = (1 if d.to_right else -1), d.radius_mm
    marks.line([(x, y), (x, y - r - 3)], "CENTRE")
    turns = [math.radians(d.degrees * k / 8) for k in range(9)]
    marks.line([(x + sign * r * math.sin(a), y - r * math.cos(a)) for a in turns], "DIMENSIONS")
    marks.text(
        x - sign * 0.9,
        y - r + 0.4 * TEXT_MM,
        f"{d.degrees:.1f}°".replace(".0°", "°"),
        anchor="end" if d.to_right else "start",
        clear=True,
    )
    return marks


def _radius(d: Radius, at) -> _Marks:
    marks = _Marks()
    (x, y), (ux, uy) = at(d.x, d.y), d.way
    marks.line([(x, y), (x + ux * d.leader_mm, y - uy * d.leader_mm)], "DIMENSIONS")
    marks.arrow(x, y, ux, -uy)
    side = "middle" if abs(uy) > 0.5 else "start" if ux > 0 else "end"
    off = d.leader_mm + (0.8 if uy > 0 or side != "middle" else 0.8 + 0.78 * TEXT_MM)
    marks.text(
        x + ux * off, y - uy * off + (0.36 * TEXT_MM if side != "middle" else 0.0), d.says, anchor=side, clear=True
    )
    return marks


BALLOON_MM = 3.6
BALLOON_STEP_MM = 2 * BALLOON_MM + 0.8


def balloon_columns(number: int, high: float) -> int:
    """Columns that so many marks on one side need in a height. [mm on paper]"""
    return max(1, math.ceil(number * BALLOON_STEP_MM / high))


def _ballooned(balloons, at, corners, high: float) -> _Marks:
    """References left and right of the figure, in the order of what they point at, so that lines seldom cross."""
    marks = _Marks()
    (left, top), (right, bottom) = corners
    middle = (left + right) / 2
    placed = [(b, *at(b.x, b.y)) for b in balloons]
    placed.sort(key=lambda p: p[1])
    half = (
        {id(p) for p in placed[: len(placed) // 2]}
        if abs(len([p for p in placed if p[1] < middle]) - len(placed) / 2) > len(placed) / 4
        else {id(p) for p in placed if p[1] < middle}
    )
    beside: list[tuple[Balloon, float, float]] = []
    for side, first, out in ((True, left - BALLOON_MM - 5, -1), (False, right + BALLOON_MM + 5, 1)):
        group = sorted((p for p in placed if (id(p) in half) == side), key=lambda p: p[2])
        columns = balloon_columns(len(group), high)
        for k, ((b, px, py), y) in enumerate(zip(group, spread([p[2] for p in group], BALLOON_STEP_MM / columns))):
            x = first + out * (k % columns) * BALLOON_STEP_MM
            n = math.hypot(px - x, py - y)
            marks.line([(x + (px - x) * BALLOON_MM / n, y + (py - y) * BALLOON_MM / n), (px, py)], "DIMENSIONS")
            marks.circle(px, py, 0.5, INK)
            beside.append((b, x, y))
    for b, x, y in beside:
        marks.circle(x, y, BALLOON_MM)
        size = min(TEXT_MM, TEXT_MM * 5.8 / max(text_mm(b.ref), 1e-6))
        marks.text(x, y + 0.36 * size, b.ref, size)
        marks.boxes.append((x - BALLOON_MM, y - BALLOON_MM, x + BALLOON_MM, y + BALLOON_MM))
        marks.said.append("")
    return marks


# ---------------------------------------------------------------- sheets

SHEETS = {"A3": (420.0, 297.0), "A4": (297.0, 210.0)}
"""Trimmed sizes lying down, ISO 216. [mm]"""
FRAME = (20.0, 10.0, 10.0, 10.0)
"""Borders left, above, right and below, ISO 5457. [mm]"""
BLOCK_MM = (180.0, 30.0)
"""The title block; 180 is the width of ISO 7200."""
AIR_MM = 5.0


@dataclass(frozen=True)
class Block:
    """What the title block says, fields after ISO 7200 and the workshop's own."""

    owner: str
    number: str
    """Identification number: the commission's reference and the piece's letter."""
    title: str
    subtitle: str
    revision: str
    date: str
    projection: str
    """'first angle' or 'third angle'."""
    moisture: str
    timber: str
    notes: tuple[str, ...] = ()
    banner: str = ""
    """Said across the head of each sheet: not to be built from yet."""


@dataclass
class Sheet:
    """One sheet: figures with the place of their upper left corner, or of their outline's."""

    paper: str
    kind: str
    """'general arrangement', 'members', ..."""
    figures: list[tuple[Figure, float, float, bool]] = field(default_factory=list)
    notes: tuple[str, ...] = ()
    """Said beside the title block, before what every sheet says."""
    elsewhere: list[Figure] = field(default_factory=list)
    """Figures that belong to this sheet and stand on a later one."""

    @property
    def room(self) -> tuple[float, float, float, float]:
        """Left, top, width and height for figures. [mm]"""
        wide, high = SHEETS[self.paper]
        return FRAME[0] + 3, FRAME[1] + 3, wide - FRAME[0] - FRAME[2] - 6, high - FRAME[1] - FRAME[3] - BLOCK_MM[1] - 5

    @property
    def scales(self) -> str:
        found = list(dict.fromkeys(scale_words(f.scale) for f, *_ in self.figures if f.strokes))
        return found[0] if len(found) == 1 else "as shown"

    def marks(self, block: Block, number: int, of: int) -> _Marks:
        """Everything on the sheet."""
        paper = _Marks()
        wide, high = SHEETS[self.paper]
        for f, x, y, outline in self.figures:
            f.draw(paper, x, y, (x, y) if outline else None)
        _title_block(paper, self, block, number, of, wide, high)
        return paper

    def svg(self, block: Block, number: int, of: int) -> str:
        """The whole sheet at full size."""
        wide, high = SHEETS[self.paper]
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{high:g}mm" '
            f'viewBox="0 0 {wide:g} {high:g}">'
            f'<rect width="{wide:g}" height="{high:g}" fill="#fff"/>'
            + "".join(self.marks(block, number, of).svg)
            + "</svg>"
        )


def _title_block(paper: _Marks, sheet: Sheet, block: Block, number: int, of: int, wide: float, high: float) -> None:
    left, top, right, bottom = FRAME[0], FRAME[1], wide - FRAME[2], high - FRAME[3]

    def box(x0, y0, x1, y1, width=NARROW):
        paper.line([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], "VISIBLE", width)

    def cell(x, y, w, name, words, size=TEXT_MM, bold=False):
        paper.text(x + 1.2, y + 2.6, name, 1.8, "start", ink="#555")
        while text_mm(words, size, bold) > w - 2.4 and size > 1.6:
            size -= 0.1
        while text_mm(words, size, bold) > w - 2.4:
            words = words[:-2].rstrip() + "…"
        paper.text(x + 1.2, y + 6.0 + (size - TEXT_MM) * 0.6, words, size, "start", bold)

    box(left, top, right, bottom, 0.7)
    bw, bh = BLOCK_MM
    x, y = right - bw, bottom - bh
    box(x, y, right, bottom, WIDE)
    rows = (
        ((70, "Owner", block.owner), (60, "Timber and finish", block.timber), (50, "Sizes true at", block.moisture)),
        (
            (70, "Title", block.title, 3.4, True),
            (60, "Commission", block.subtitle),
            (50, "Kind of drawing", sheet.kind),
        ),
        (
            (40, "Number", block.number),
            (20, "Scale", sheet.scales),
            (10, "Size", sheet.paper),
            (40, "Projection", block.projection),
            (15, "Revision", block.revision),
            (32, "Date", block.date),
            (23, "Sheet", f"{number} / {of}"),
        ),
    )
    for r, row in enumerate(rows):
        cx, cy, ch = x, y + r * bh / 3, bh / 3
        for width, name, words, *style in row:
            box(cx, cy, cx + width, cy + ch)
            cell(cx, cy, width - (15 if name == "Projection" else 0), name, words, *(style or ()))
            if name == "Projection":
                _projection(paper, cx + width - 14, cy + ch / 2, block.projection)
            cx += width
    # What every sheet says, beside the title block; a bar to check a print by at its foot.
    nx, room = left + 2, x - left - 4
    said = (*sheet.notes, *(r for f, *_ in sheet.figures for r in f.remarks), *block.notes)
    lines = [line for note in said for line in wrapped(note, room, SMALL_MM)]
    size = SMALL_MM
    while len(lines) * size * 1.5 > bh - 6 and size > 1.5:
        size -= 0.1
        lines = [line for note in said for line in wrapped(note, room, size)]
    for k, line in enumerate(lines):
        paper.text(nx, y + 1 + size + k * size * 1.5, line, size, "start")
    bar = 50.0
    paper.line(
        [(nx, bottom - 3.0), (nx, bottom - 1.5), (nx + bar, bottom - 1.5), (nx + bar, bottom - 3.0)], "DIMENSIONS"
    )
    paper.text(nx + bar + 1.5, bottom - 1.4, "50 mm on paper at full print size", 1.8, "start")
    paper.line([(left, y), (x, y)], "VISIBLE")
    if block.banner:
        size, room = TEXT_MM, right - left - 6
        while len(lines := wrapped(block.banner, room, size, True)) * size * 1.25 > 7.6 and size > 1.3:
            size -= 0.1
        paper.svg.append(f'<rect x="{left}" y="{top - 9}" width="{right - left}" height="8.4" fill="#fbe3e0"/>')
        for k, line in enumerate(lines):
            paper.text(left + 3, top - 8.6 + size * (1 + 1.25 * k), line, size, "start", True, ink="#7d1a14")


def _projection(paper: _Marks, x: float, y: float, projection: str) -> None:
    """The sign of the projection (ISO 5456-2): a cut-off cone, small end left, and its view from there."""
    cone, round_ = (x, x + 9.5) if projection == "first angle" else (x + 7.5, x + 2.5)
    small, large = 1.3, 2.5
    paper.line(
        [(cone, y - small), (cone + 5, y - large), (cone + 5, y + large), (cone, y + small), (cone, y - small)],
        "VISIBLE",
        NARROW,
    )
    for r in (small, large):
        paper.circle(round_, y, r, "none")
    paper.line([(x - 1, y), (x + 13, y)], "CENTRE", 0.1)


def packed(figures: list[Figure], paper: str, kind: str) -> list[Sheet]:
    """Figures on as few sheets as first fit gives: each in the first column with room for it, else in a column more."""
    sheets: list[tuple[Sheet, list[list[float]]]] = []
    for f in figures:
        w, h = f.size
        if not any(_stood(sheet, columns, f, w, h) for sheet, columns in sheets):
            sheets.append((Sheet(paper, kind), []))
            if not _stood(*sheets[-1], f, w, h):  # larger than a sheet: it shows, and the test of the frame tells
                left, top, _, _ = sheets[-1][0].room
                sheets[-1][0].figures.append((f, left, top, False))
                sheets[-1][1].append([0.0, w, h])
    return [sheet for sheet, _ in sheets]


def _stood(sheet: Sheet, columns: list[list[float]], f: Figure, w: float, h: float) -> bool:
    """Put a figure where there is room on a sheet; ``columns`` are [left, width, height used]. [mm]"""
    left, top, wide, high = sheet.room
    for k, (x, _, used) in enumerate(columns):
        end = columns[k + 1][0] - AIR_MM if k + 1 < len(columns) else wide
        if x + w <= end and used + AIR_MM + h <= high:
            sheet.figures.append((f, left + x, top + used + AIR_MM, False))
            columns[k][1:] = max(columns[k][1], w), used + AIR_MM + h
            return True
    x = columns[-1][0] + columns[-1][1] + AIR_MM if columns else 0.0
    if x + w > wide or h > high:
        return False
    sheet.figures.append((f, left + x, top, False))
    columns.append([x, w, h])
    return True
