"""Views by a general-purpose exact kernel, to hold the drawings' own hidden lines against."""

from __future__ import annotations

import cadquery as cq
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from studio_lib.drawings.views import VIEWS, Segment, _tidy, sharp_edged
from studio_lib.solids.exact import placed


def visible(piece, name):
    """Visible segments of a view, in mm; straight edges only."""
    towards, right = VIEWS[name]
    sharp = sharp_edged(piece)
    body = cq.Compound.makeCompound([placed(sharp, m.ref) for m in sharp.members])
    hlr = HLRBRep_Algo()
    hlr.Add(body.wrapped)
    hlr.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*towards), gp_Dir(*right))))
    hlr.Update()
    hlr.Hide()
    shapes = HLRBRep_HLRToShape(hlr)
    return _tidy(_segments(shapes.VCompound()) + _segments(shapes.OutLineVCompound()))


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
