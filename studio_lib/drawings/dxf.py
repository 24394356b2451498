"""Figures as DXF: millimetres at true scale, one layer a kind of line, dimensions as dimension entities."""

from __future__ import annotations

import io
import math
from contextlib import contextmanager

import numpy as np

from studio_lib.drawings.paper import (
    GAP_MM,
    HEAD_MM,
    LABEL_MM,
    LAYERS,
    SMALL_MM,
    STEP_MM,
    TEXT_MM,
    Angle,
    Figure,
    Linear,
    Radius,
    Running,
    hatch_lines,
    spread,
)
from studio_lib.units import mm

COLOURS = {
    "VISIBLE": 7,
    "CUT": 7,
    "HIDDEN": 8,
    "CENTRE": 1,
    "PLANE": 1,
    "PATH": 4,
    "HATCH": 8,
    "GRAIN": 8,
    "DIMENSIONS": 3,
    "TEXT": 2,
    "BREAK": 8,
}
BETWEEN_MM = 150.0
"""Room between two figures. [mm at true scale]"""
DASHES = {"HIDDEN": "DASHED2", "CENTRE": "CENTER2", "PLANE": "CENTER2", "PATH": "DASHDOT2", "GRAIN": "DASHEDX2"}


def dxf_bytes(rows: list[list[Figure]]) -> bytes:
    """A DXF file: figures of a row side by side, rows under one another. The same figures give the same bytes."""
    with clockless() as ezdxf:
        doc = ezdxf.new("R2010", setup=("linetypes", "styles"))
        doc.units = ezdxf.units.MM
        _fill(doc, rows)
        text = io.StringIO()
        doc.write(text)
    return text.getvalue().encode()


@contextmanager
def clockless():
    """The DXF library, set to write no clock and no chance into a file: the same piece, the same file."""
    import ezdxf
    import ezdxf.units

    kept = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield ezdxf
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = kept


def _fill(doc, rows: list[list[Figure]]) -> None:
    for name, (width, _) in LAYERS.items():
        layer = doc.layers.add(name, color=COLOURS[name], lineweight=round(width * 100))
        if name in DASHES:
            layer.dxf.linetype = DASHES[name]
    space = doc.modelspace()
    y = 0.0
    for row in rows:
        x, deep = 0.0, 0.0
        for f in row:
            left, above, right, below = (v * f.scale for v in f.pads)
            x0, y0, x1, y1 = f.extent
            _put(doc, space, f, x + left - x0, y - above - HEAD_MM * f.scale * 2 - y1)
            x += left + (x1 - x0) + right + BETWEEN_MM
            deep = max(
                deep, above + (y1 - y0) + below + HEAD_MM * f.scale * 2 + 4 * f.scale * (len(f.table) + len(f.notes))
            )
        y -= deep + BETWEEN_MM


def _style(doc, scale: float) -> str:
    """Dimension style whose letters and arrows are as on paper at that scale."""
    name = f"SCALE_{scale:g}".replace(".", "_")
    if name not in doc.dimstyles:
        style = doc.dimstyles.add(name)
        style.dxf.update(
            {
                "dimtxt": TEXT_MM * scale,
                "dimasz": 2.3 * scale,
                "dimexo": 1.0 * scale,
                "dimexe": 1.2 * scale,
                "dimgap": 0.8 * scale,
                "dimtad": 1,
                "dimdec": 1,
                "dimzin": 8,
                "dimtih": 0,
                "dimtoh": 0,
                "dimscale": 1.0,
                "dimlfac": 1.0,
                "dimdsep": ord("."),
                "dimadec": 1,
                "dimazin": 2,
            }
        )
    return name


def _put(doc, space, f: Figure, dx: float, dy: float) -> None:
    k = f.scale
    x0, y0, x1, y1 = f.extent
    left, above, _, below = (v * k for v in f.pads)
    space.add_text(
        f.title, height=HEAD_MM * k, dxfattribs={"layer": "TEXT", "insert": (x0 - left + dx, y1 + above + 2 * k + dy)}
    )
    for row, layer in f.strokes:
        moved = [(x + dx, y + dy) for x, y in row]
        if len(moved) == 2:
            space.add_line(*moved, dxfattribs={"layer": layer})
        else:
            _curve(space, moved, layer)
    for h in f.hatches:
        for a, b in hatch_lines(h, k):
            space.add_line((a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy), dxfattribs={"layer": h.layer})
    style = _style(doc, k)
    for d in f.dims:
        PUT[type(d).__mro__[-2]](space, d, k, dx, dy, style)
    for w in f.words:
        space.add_text(
            w.words,
            height=w.size * k,
            dxfattribs={"layer": "TEXT", "insert": (w.x + w.dx * k + dx, w.y - w.dy * k + dy)},
        )
    for b in f.balloons:
        space.add_text(b.ref, height=TEXT_MM * k, dxfattribs={"layer": "TEXT", "insert": (b.x + dx, b.y + dy)})
    for n, line in enumerate([*("   ".join(r) for r in f.table), *f.notes]):
        space.add_text(
            line,
            height=SMALL_MM * k,
            dxfattribs={"layer": "TEXT", "insert": (x0 - left + dx, y0 - below - 4 * k * (n + 1) + dy)},
        )


ROUND_MM = 0.06
"""How far the points of a round may lie from its circle: the mesh's own chords leave it by less."""
LEAST_POINTS = 6


def _curve(space, points, layer: str) -> None:
    """A row of points as the circles and arcs it stands for, polylines between them."""
    straight = [points[0]]
    first = 0
    while first < len(points) - 1:
        last = first + LEAST_POINTS - 1
        made = circle_of(points[first : last + 1]) if last < len(points) else None
        if made is None:
            first += 1
            straight.append(points[first])
            continue
        while last + 1 < len(points) and (further := circle_of(points[first : last + 2])):
            made, last = further, last + 1
        if len(straight) > 1:
            space.add_lwpolyline(straight, dxfattribs={"layer": layer})
        centre, radius, start, end = made
        if math.dist(points[first], points[last]) < 1e-3:
            space.add_circle(centre, radius, dxfattribs={"layer": layer})
        else:
            space.add_arc(centre, radius, start, end, dxfattribs={"layer": layer})
        first, straight = last, [points[last]]
    if len(straight) > 1:
        space.add_lwpolyline(straight, dxfattribs={"layer": layer})


def circle_of(points) -> tuple[tuple[float, float], float, float, float] | None:
    """Centre, radius and the angles from and to (degrees, against the clock) of a row on one circle, or None. [mm]"""
    if len(points) < LEAST_POINTS:
        return None
    xy = np.asarray(points, float)
    middle = xy.mean(0)
    u, v = (xy - middle).T
    with np.errstate(all="ignore"):
        fit, *_ = np.linalg.lstsq(np.column_stack([2 * u, 2 * v, np.ones(len(u))]), u * u + v * v, rcond=None)
    radius = math.sqrt(max(fit[2] + fit[0] ** 2 + fit[1] ** 2, 0.0))
    centre = middle + fit[:2]
    steps = np.hypot(*np.diff(xy, axis=0).T)
    if (
        not 0.5 < radius < 20_000
        or np.abs(np.hypot(*(xy - centre).T) - radius).max() > ROUND_MM
        or steps.max() > 0.6 * radius
    ):
        return None
    angles = np.unwrap(np.arctan2(*(xy - centre).T[::-1]))
    first, last = (angles[0], angles[-1]) if angles[-1] > angles[0] else (angles[-1], angles[0])
    return (float(centre[0]), float(centre[1])), radius, math.degrees(first), math.degrees(last)


def _linear(space, d: Linear, k: float, dx: float, dy: float, style: str) -> None:
    off = (GAP_MM + d.row * STEP_MM) * k * (1 if d.side in ("above", "right") else -1)
    edge = d.edge + off
    low, high = sorted((d.start, d.end))
    if d.axis == "x":
        p1, p2, base, angle = (low + dx, d.edge + dy), (high + dx, d.edge + dy), (low + dx, edge + dy), 0
    else:
        p1, p2, base, angle = (d.edge + dx, low + dy), (d.edge + dx, high + dy), (edge + dx, low + dy), 90
    text = (
        d.words.replace(mm(d.value_mm), "<>", 1) if d.words and d.words.startswith(mm(d.value_mm)) else d.words or "<>"
    )
    space.add_linear_dim(
        base=base, p1=p1, p2=p2, angle=angle, text=text, dimstyle=style, dxfattribs={"layer": "DIMENSIONS"}
    ).render()


def _angle(space, d: Angle, k: float, dx: float, dy: float, style: str) -> None:
    r, lean = d.radius_mm * k, math.radians(d.degrees)
    sign = 1 if d.to_right else -1
    foot = (d.x + dx, d.y + dy)
    upright, edge = ((foot[0] + sign * r * math.sin(a), foot[1] + r * math.cos(a)) for a in (0.0, lean))
    base = (foot[0] + sign * r * math.sin(lean / 2), foot[1] + r * math.cos(lean / 2))
    # Angles run against the clock: from the edge to the upright where it leans to the right.
    first, second = (edge, upright) if d.to_right else (upright, edge)
    space.add_angular_dim_3p(
        base=base, center=foot, p1=first, p2=second, dimstyle=style, dxfattribs={"layer": "DIMENSIONS"}
    ).render()


def _radius(space, d: Radius, k: float, dx: float, dy: float, style: str) -> None:
    turn = math.degrees(math.atan2(d.y - d.centre_y, d.x - d.centre_x))
    (ux, uy), r = d.way, d.value_mm
    at = (d.x + ux * d.leader_mm * k + dx, d.y + uy * d.leader_mm * k + dy)
    space.add_radius_dim(
        center=(d.centre_x + dx, d.centre_y + dy),
        radius=r,
        angle=turn,
        location=at,
        text="R <>",
        dimstyle=style,
        dxfattribs={"layer": "DIMENSIONS"},
    ).render()


def _running(space, d: Running, k: float, dx: float, dy: float, style: str) -> None:
    sign = 1 if d.side in ("above", "right") else -1
    stops = sorted(d.stops)
    for stop, place in zip(stops, spread(stops, LABEL_MM * k)):
        lead = sign * (d.lead_mm + 2.2) * k
        if d.axis == "x":
            made = space.add_ordinate_x_dim(
                feature_location=(stop + dx, d.edge + dy),
                offset=(place - stop, lead),
                origin=(d.datum + dx, d.edge + dy),
                dimstyle=style,
                dxfattribs={"layer": "DIMENSIONS"},
                text=mm(d.value_mm(stop)),
            )
        else:
            made = space.add_ordinate_y_dim(
                feature_location=(d.edge + dx, stop + dy),
                offset=(lead, place - stop),
                origin=(d.edge + dx, d.datum + dy),
                dimstyle=style,
                dxfattribs={"layer": "DIMENSIONS"},
                text=mm(d.value_mm(stop)),
            )
        made.render()


PUT = {Linear: _linear, Running: _running, Angle: _angle, Radius: _radius}
