"""Every kind of joint on file, made by both kernels: the same timber and the same extents to a millionth."""

from __future__ import annotations

import numpy as np
import pytest

from studio_lib.commission import Brief
from studio_lib.forms import FORMS, make
from studio_lib.piece.kinds import KINDS, joined
from studio_lib.solids import build, volume_mm3
from studio_lib.solids.mesh import placed
from tests.piece.pairs import board, leg, piece, rail_x, rail_y

PAIRS = {
    "rail into leg": (rail_x(), leg()),
    "rail on top of leg, flush ends": (rail_x(x=0.0, z=420.0, length=400.0, thickness=60.0, y=0.0), leg()),
    "two rails at a corner": (rail_x(x=0.0, y=0.0, thickness=60.0), rail_y(x=0.0, y=0.0, thickness=60.0)),
    "two rails crossing": (rail_x(x=-100.0, y=100.0), rail_y(x=40.0, y=0.0)),
    "rail meeting the middle of a rail": (rail_x(x=0.0, y=100.0, length=300.0), rail_y(x=-24.0, y=0.0, length=300.0)),
    "rail let over a rail": (rail_x(x=0.0, y=100.0, length=300.0, thickness=30.0), rail_y(x=0.0, y=0.0, length=300.0, thickness=60.0)),
    "boards edge to edge": (board("B1", 0, 0, 600, 120), board("B2", 0, 120, 600, 120)),
    "board end to board edge": (board("B1", 0, 0, 600, 120), board("B2", 600, -20, 160, 80, along="y")),
    "board on a rail": (board("B1", 0, 0, 600, 120, z=480.0), rail_x(x=20.0, y=50.0, z=400.0)),
    "rail under a board": (rail_x(x=20.0, y=50.0, z=400.0), board("B1", 0, 0, 600, 120, z=480.0)),
    "flat rail into the top of a leg": (board("N1", 60, 6, 300, 48, 18.0, z=482.0), leg()),
    "shelf into an upright board": (
        board("S1", 25, 0, 500, 250, 20.0), rail_y(ref="U1", x=0.0, y=0.0, z=300.0, length=250.0, width=400.0, thickness=25.0)),
}


def pair_of(kind: str):
    """The kind of joint on the first pair of members that takes it."""
    for words, (first, second) in PAIRS.items():
        for a, b in ((first, second), (second, first)):
            try:
                made = piece([a, b], [joined(kind, a, b)])
                if not made.uncut and any(made.shape(m.ref).cuts or made.shape(m.ref).adds for m in made.members):
                    return words, made
            except (ValueError, NotImplementedError, LookupError):
                continue
    return None


def of_a_form(kind: str):
    for name in FORMS:
        if name != "freehand":
            made = make(name, Brief(), timber="wood")
            if any(j.kind == kind for j in made.joints):
                return name, made
    return None


@pytest.mark.parametrize("kind", KINDS)
def test_both_kernels_agree(kind):
    found = of_a_form(kind) or pair_of(kind)
    assert found, f"no pair of members takes a {kind}; add one to PAIRS"
    words, made = found
    for ref, solid in build(made).items():
        exact = solid.val()
        assert volume_mm3(made.shape(ref)) == pytest.approx(exact.Volume(), rel=1e-6), (words, ref)
        box = exact.BoundingBox(1e-7)
        mesh = np.array(placed(made, ref).bounding_box())
        ours = np.array((box.xmin, box.ymin, box.zmin, box.xmax, box.ymax, box.zmax))
        size = np.linalg.norm(ours[3:] - ours[:3])
        assert np.abs(mesh - ours).max() <= 1e-6 * size + 1e-4, (words, ref, mesh - ours)
