"""The exact solids: CadQuery, for STEP, for drawings with hidden lines, and to check the mesh."""

from __future__ import annotations

import math
import tempfile
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import cadquery as cq
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.gp import gp_Trsf
from OCP.TopTools import TopTools_ListOfShape

from studio_lib.piece import Block, Box, Piece, Prism, Shape
from studio_lib.piece.outline import area_mm2, arc, bounds, sides
from studio_lib.solids.mesh import volume_mm3


class CannotBuild(RuntimeError):
    """The exact kernel could not build a member; says which and with what sizes."""


def _face(outline, place) -> cq.Face:
    """A flat face; ``place`` puts a corner (u, v) in space."""
    if area_mm2(outline) < 0:
        turned = []
        for (start, end, bulge) in list(sides(outline))[::-1]:
            turned.append((*end, -bulge) if bulge else end)
        outline = tuple(turned)
    if not any(len(c) > 2 and c[2] for c in outline):
        corners = BRepBuilderAPI_MakePolygon()
        for start, end, _ in sides(outline):
            if math.dist(start, end) >= 1e-9:
                corners.Add(place(*start).toPnt())
        corners.Close()
        return cq.Face(BRepBuilderAPI_MakeFace(corners.Wire(), True).Face())
    edges = []
    for start, end, bulge in sides(outline):
        if math.dist(start, end) < 1e-9:
            continue
        if bulge:
            cu, cv, r, first, sweep = arc(start, end, bulge)
            middle = (cu + r * math.cos(first + sweep / 2), cv + r * math.sin(first + sweep / 2))
            edges.append(cq.Edge.makeThreePointArc(place(*start), place(*middle), place(*end)))
        else:
            edges.append(cq.Edge.makeLine(place(*start), place(*end)))
    return cq.Face.makeFromWires(cq.Wire.assembleEdges(edges))


def _stepped(blocks) -> list[Block]:
    """Blocks in which a narrow hole that begins with a wider one about its line goes on only from where that one ends.

    The same timber goes; the kernel has no tools that fill each other to sort out.
    """
    out, begun = list(blocks), {}
    for b in blocks:
        if isinstance(b, Prism):
            u0, v0, u1, v1 = bounds(b.outline)
            middle = b.at.to_piece(((u0 + u1) / 2, (v0 + v1) / 2, 0.0))
            at = (*(round(c, 4) for c in (*middle, *b.at.through, *b.at.along)), len(b.outline))
            begun.setdefault(at, []).append((u1 - u0, v1 - v0, b))
    for same in begun.values():
        if len(same) == 2:
            (w, h, narrow), (wide_w, wide_h, wide) = sorted(same, key=lambda k: k[:2])
            if w < wide_w and h < wide_h and narrow.depth_mm > wide.depth_mm:
                start = tuple(c + wide.depth_mm * t for c, t in zip(narrow.at.origin, narrow.at.through))
                further = Prism(narrow.outline, replace(narrow.at, origin=start), narrow.depth_mm - wide.depth_mm)
                out[out.index(narrow)] = further
    return out


def _circle(outline) -> tuple[float, float, float] | None:
    """Centre and radius of an outline of two half circles: one round face serves the kernel better than two halves."""
    if len(outline) != 2 or any(len(c) < 3 or abs(abs(c[2]) - 1) > 1e-9 for c in outline):
        return None
    u, v, radius, *_ = arc(outline[0][:2], outline[1][:2], outline[0][2])
    return u, v, radius


def _block(block: Block) -> cq.Solid:
    if isinstance(block, Box):
        return cq.Solid.makeBox(*block.size, pnt=cq.Vector(*block.lo))
    at = block.at
    if round_ := _circle(block.outline):
        u, v, radius = round_
        foot, way = at.to_piece((u, v, 0.0)), at.through
        return cq.Solid.makeCylinder(radius, block.depth_mm, cq.Vector(*foot), cq.Vector(*way))
    face = _face(block.outline, lambda u, v: cq.Vector(*at.to_piece((u, v, 0.0))))
    return cq.Solid.extrudeLinear(face, cq.Vector(*at.through) * block.depth_mm)


NUDGE_MM = 1e-4
ALIKE = 1e-6
AGREE = 2e-4
"""Part of its volume by which a member may differ from the mesh kernel's before it is cut anew, one tool at a time."""


@lru_cache(maxsize=512)
def solid(shape: Shape) -> cq.Shape:
    """The member in its own axes. Profile first (arrises and all), then one cut for all joints.

    The kernel loses a tool now and then when many touch in one go; what the mesh kernel does
    not confirm is made again one tool after another, then with some tolerance, then with the
    tools a ten-thousandth of a millimetre off, where a curve only grazes a face.
    """
    body = _made(shape, at_once=True)
    other = volume_mm3(shape)
    if 0 < other and abs(body.Volume() - other) <= ALIKE * other:
        return body  # two kernels that agree so closely have both cut all of it: no need to prove it sound
    for tolerance, nudge in ((None, 0.0), (1e-4, 0.0), (1e-3, 0.0), (None, NUDGE_MM), (None, -NUDGE_MM)):
        if body.isValid() and abs(body.Volume() - other) <= AGREE * other:
            break
        body = min(body, _made(shape, False, tolerance, nudge), key=lambda made: (not made.isValid(), abs(made.Volume() - other)))
    if not body.isValid() or body.Volume() <= 0:
        raise CannotBuild(
            f"A member {shape.length_mm:.0f} mm long with {len(shape.adds)} tenons and "
            f"{len(shape.cuts)} cuts did not come out as a sound solid. "
            "Check that its joints leave timber between them."
        )
    return body


def _made(shape: Shape, at_once: bool, tolerance: float | None = None, nudge: float = 0.0) -> cq.Shape:
    face = _face(shape.profile, lambda y, z: cq.Vector(0, y, z))
    body = cq.Solid.extrudeLinear(face, cq.Vector(shape.length_mm, 0, 0))
    for prism in shape.within:
        body = body.intersect(_block(prism))
    for blocks, fused in ((shape.shaped, False), (shape.adds, True), (shape.cuts, False)):
        tools = [_block(b) for b in (_stepped(blocks) if at_once and not fused else blocks)]
        if nudge and not fused:
            tools = [t.moved(cq.Location(cq.Vector(nudge, nudge, nudge))) for t in tools]
        for group in ([tools] if at_once and tools else [[t] for t in tools]):
            if fused:
                touching = at_once and not shape.shaped and not shape.within and all(isinstance(b, Box) for b in blocks)
                body = body.fuse(*group, glue=touching)
            else:
                body = _cut(body, group, tolerance)
    return body


def _cut(body: cq.Shape, tools: list[cq.Solid], tolerance: float | None) -> cq.Shape:
    """A body less its tools. All stand the right way round, so that the kernel need not look whether they do."""
    one, several, op = TopTools_ListOfShape(), TopTools_ListOfShape(), BRepAlgoAPI_Cut()
    one.Append(body.wrapped)
    for tool in tools:
        several.Append(tool.wrapped)
    op.SetArguments(one)
    op.SetTools(several)
    op.SetCheckInverted(False)
    op.SetRunParallel(True)
    if tolerance:
        op.SetFuzzyValue(tolerance)
    op.Build()
    return cq.Shape.cast(op.Shape())


def _location(piece: Piece, ref: str, offset=(0.0, 0.0, 0.0)) -> cq.Location:
    p, move = piece.member(ref).placement, gp_Trsf()
    rows = zip(p.along, p.across, p.through, (a + b for a, b in zip(p.origin, offset)))
    move.SetValues(*(v for row in rows for v in row))
    return cq.Location(move)


def placed(piece: Piece, ref: str, offset=(0.0, 0.0, 0.0)) -> cq.Shape:
    """The member's solid where it stands in the piece."""
    return solid(piece.shape(ref)).moved(_location(piece, ref, offset))


def build(piece: Piece) -> dict[str, cq.Workplane]:
    """Named solids of a piece, every joint cut, in place."""
    ground = cq.Plane.XY()  # made once: a plane each takes longer than many a member
    return {m.ref: cq.Workplane(ground, obj=placed(piece, m.ref)) for m in piece.members}


def step_bytes(pieces) -> bytes:
    """A STEP file: [(piece, offset in mm), ...], each member named by its reference."""
    whole = cq.Assembly(name="commission")
    for piece, offset in pieces:
        part = cq.Assembly(name=piece.name)
        for m in piece.members:
            part.add(
                solid(piece.shape(m.ref)), name=f"{m.ref} {m.name}",
                loc=_location(piece, m.ref, offset),
            )
        whole.add(part)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "commission.step"
        whole.export(str(path))
        return path.read_bytes()
