"""The exact solids: CadQuery, for STEP, for drawings with hidden lines, and to check the mesh."""

from __future__ import annotations

import math
import tempfile
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import cadquery as cq
import numpy as np
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon, BRepBuilderAPI_MakeWire
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopAbs import TopAbs_FACE, TopAbs_REVERSED
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shell, TopoDS_Solid, TopoDS_Wire
from OCP.TopTools import TopTools_ListOfShape

from studio_lib.piece import Block, Box, Piece, Prism, Shape
from studio_lib.piece.outline import area_mm2, arc, bounds, sides
from studio_lib.solids.drilled import to_drill
from studio_lib.solids.mesh import volume_mm3


class CannotBuild(RuntimeError):
    """The exact kernel could not build a member; says which and with what sizes."""


def _wire(outline, place) -> TopoDS_Wire:
    """A closed line, anti-clockwise in u, v; ``place`` puts a corner (u, v) in space."""
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
        return corners.Wire()
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
    return cq.Wire.assembleEdges(edges).wrapped


def _face(wire: TopoDS_Wire) -> cq.Face:
    """The flat face within a closed line."""
    return cq.Face(BRepBuilderAPI_MakeFace(wire, True).Face())


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
    face = _face(_wire(block.outline, lambda u, v: cq.Vector(*at.to_piece((u, v, 0.0)))))
    return cq.Solid.extrudeLinear(face, cq.Vector(*at.through) * block.depth_mm)


# ------------------------------------------------------------------ a length with the holes in it that meet nothing else


def _ring(outline, at, deep_mm: float) -> TopoDS_Wire:
    """The outline of a hole at some depth below its place, anti-clockwise about its way in."""
    if round_ := _circle(outline):
        u, v, radius = round_
        circle = gp_Circ(gp_Ax2(gp_Pnt(*at.to_piece((u, v, deep_mm))), gp_Dir(*at.through), gp_Dir(*at.along)), radius)
        return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()
    return _wire(outline, lambda u, v: cq.Vector(*at.to_piece((u, v, deep_mm))))


def _faces(shape) -> list[TopoDS_Face]:
    found, each = [], TopExp_Explorer(shape, TopAbs_FACE)
    while each.More():
        found.append(TopoDS.Face_s(each.Current()))
        each.Next()
    return found


def _with_hole(face: TopoDS_Face, *rims: TopoDS_Wire) -> TopoDS_Face:
    """A face less what lies within some lines on it, each clockwise as one looks at the face."""
    made = BRepBuilderAPI_MakeFace(face)
    for rim in rims:
        made.Add(rim)
    return made.Face()


def _hole(steps, at, left_open: bool) -> tuple[TopoDS_Wire, list[TopoDS_Face], TopoDS_Wire]:
    """A hole as the timber around it has it: where it opens, its walls, ledges and floor, and the line where it ends, both lines
    anti-clockwise about its way in. ``steps``: (outline, where it begins, where it ends below its place), in mm."""
    mouth, walls, above, end = None, [], None, None
    for outline, top, foot in steps:
        ring = _ring(outline, at, top)
        if above is None:
            mouth = ring
        else:
            walls.append(TopoDS.Face_s(_with_hole(above, TopoDS.Wire_s(ring.Reversed())).Reversed()))
        bore = BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(ring, True).Face(), gp_Vec(*(c * (foot - top) for c in at.through)))
        first, above = bore.FirstShape(), TopoDS.Face_s(bore.LastShape())
        walls += [TopoDS.Face_s(f.Reversed()) for f in _faces(bore.Shape()) if not (f.IsSame(first) or f.IsSame(above))]
        end = TopoDS.Wire_s(bore.LastShape(ring))
    return mouth, walls if left_open else [*walls, TopoDS.Face_s(above.Reversed())], end


def drilled(shape: Shape) -> tuple[cq.Solid, list[Block]] | None:
    """The length of a member with the holes in it that meet nothing else, put together face by face, and the cuts that are left.

    One cut of many tools takes the kernel a hundred times as long. None where no hole is such.
    """
    found = to_drill(shape, at_least=1)
    if found is None:
        return None
    timber, rows, left = found
    body = BRepPrimAPI_MakePrism(_face(_wire(shape.profile, lambda y, z: cq.Vector(0, y, z))).wrapped, gp_Vec(shape.length_mm, 0, 0))
    plain: dict[int, TopoDS_Face] = {}
    for face in _faces(body.Shape()):
        way = BRepAdaptor_Surface(face).Plane().Axis().Direction()
        out = np.array([way.X(), way.Y(), way.Z()]) * (-1 if face.Orientation() == TopAbs_REVERSED else 1)
        plain[int((timber.section.ways @ out).argmax())] = face
    rims: dict[int, list[TopoDS_Wire]] = {}
    faces: list[TopoDS_Face] = []
    for row in rows:
        for k, at in enumerate(row.places):
            mouth, walls, end = _hole([(o, float(top[k]), float(foot[k])) for o, top, foot in row.steps], at, row.leaves is not None)
            faces += walls
            rims.setdefault(row.opens, []).append(mouth)
            if row.leaves is not None:
                rims.setdefault(row.leaves, []).append(TopoDS.Wire_s(end.Reversed()))
    faces += [_with_hole(face, *rims[n]) if n in rims else face for n, face in plain.items()]
    shell, whole, build = TopoDS_Shell(), TopoDS_Solid(), BRep_Builder()
    build.MakeShell(shell)
    for face in faces:
        build.Add(shell, face)
    shell.Closed(True)
    build.MakeSolid(whole)
    build.Add(whole, shell)
    return cq.Solid(whole), left


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
    body, cuts = (drilled(shape) if at_once else None) or (None, shape.cuts)
    if body is None:
        body = cq.Solid.extrudeLinear(_face(_wire(shape.profile, lambda y, z: cq.Vector(0, y, z))), cq.Vector(shape.length_mm, 0, 0))
    for prism in shape.within:
        body = body.intersect(_block(prism))
    for blocks, fused in ((shape.shaped, False), (shape.adds, True), (cuts, False)):
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
