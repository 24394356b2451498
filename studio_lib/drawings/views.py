"""Orthographic views of a piece: visible and hidden lines by the exact kernel."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import cadquery as cq
from OCP.BRepLib import BRepLib
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.BRepAdaptor import BRepAdaptor_Curve

from studio_lib.piece import Piece
from studio_lib.solids.exact import placed

VIEWS = {
    "front": ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0)),
    "left": ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
    "plan": ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
}
"""Direction towards the eye, and the piece's direction that runs right on the paper."""
TOUCH_MM = 0.01
"""Ends closer than this are one point."""

Segment = tuple[float, float, float, float]


@dataclass(frozen=True)
class View:
    """Lines of one view in mm at full size, x right and y up."""

    name: str
    visible: tuple[Segment, ...]
    hidden: tuple[Segment, ...]

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Least x, least y, greatest x, greatest y of what is visible."""
        xs = [v for s in self.visible for v in (s[0], s[2])]
        ys = [v for s in self.visible for v in (s[1], s[3])]
        return min(xs), min(ys), max(xs), max(ys)


@lru_cache(maxsize=32)
def view(piece: Piece, name: str) -> View:
    """One view of a piece, arrises left off so that edges read as single lines."""
    towards, right = VIEWS[name]
    sharp = piece.with_members(replace(m, arris_mm=0.0) for m in piece.members)
    body = cq.Compound.makeCompound([placed(sharp, m.ref) for m in sharp.members])
    hlr = HLRBRep_Algo()
    hlr.Add(body.wrapped)
    hlr.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*towards), gp_Dir(*right))))
    hlr.Update()
    hlr.Hide()
    shapes = HLRBRep_HLRToShape(hlr)
    visible = _tidy(_segments(shapes.VCompound()) + _segments(shapes.OutLineVCompound()))
    hidden = _tidy(_segments(shapes.HCompound()))
    return View(name, tuple(visible), tuple(_uncovered(hidden, visible)))


def _segments(compound) -> list[Segment]:
    if compound is None or compound.IsNull():
        return []
    BRepLib.BuildCurves3d_s(compound)
    out = []
    explorer = TopExp_Explorer(compound, TopAbs_EDGE)
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
        a, b = curve.Value(curve.FirstParameter()), curve.Value(curve.LastParameter())
        out.append((a.X(), a.Y(), b.X(), b.Y()))
        explorer.Next()
    return out


def _line_of(s: Segment):
    """A name for the straight line a segment lies on, and its span along it."""
    x0, y0, x1, y1 = s
    dx, dy = x1 - x0, y1 - y0
    length = (dx * dx + dy * dy) ** 0.5
    dx, dy = dx / length, dy / length
    if dx < -1e-9 or (abs(dx) <= 1e-9 and dy < 0):
        dx, dy = -dx, -dy
    offset = x0 * dy - y0 * dx
    a, b = x0 * dx + y0 * dy, x1 * dx + y1 * dy
    name = (round(dx, 5), round(dy, 5), round(offset / TOUCH_MM))
    return name, (dx, dy, offset), (min(a, b), max(a, b))


def _by_line(segments):
    lines: dict = {}
    for s in segments:
        if (s[0] - s[2]) ** 2 + (s[1] - s[3]) ** 2 < TOUCH_MM**2:
            continue
        name, direction, span = _line_of(s)
        lines.setdefault(name, (direction, []))[1].append(span)
    return lines


def _drawn(direction, span) -> Segment:
    dx, dy, offset = direction
    a, b = span
    px, py = offset * dy, -offset * dx
    return (px + a * dx, py + a * dy, px + b * dx, py + b * dy)


def _joined(spans):
    joined: list[list[float]] = []
    for a, b in sorted(spans):
        if joined and a <= joined[-1][1] + TOUCH_MM:
            joined[-1][1] = max(joined[-1][1], b)
        else:
            joined.append([a, b])
    return joined


def _tidy(segments) -> list[Segment]:
    """Collinear pieces that touch become one line, and doubles go."""
    return [
        _drawn(direction, span)
        for direction, spans in _by_line(segments).values()
        for span in _joined(spans)
    ]


def _uncovered(hidden, visible) -> list[Segment]:
    """Hidden lines less whatever lies under a visible one."""
    over = {name: _joined(spans) for name, (_, spans) in _by_line(visible).items()}
    out = []
    for name, (direction, spans) in _by_line(hidden).items():
        for a, b in _joined(spans):
            for c, d in over.get(name, ()):
                if d <= a or c >= b:
                    continue
                if c > a + TOUCH_MM:
                    out.append(_drawn(direction, (a, c)))
                a = max(a, d)
            if b > a + TOUCH_MM:
                out.append(_drawn(direction, (a, b)))
    return out
