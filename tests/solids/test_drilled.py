"""A row of holes made face by face is the timber that cutting them one by one leaves."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import manifold3d
import numpy as np
import pytest

from studio_lib.forms import FORMS
from studio_lib.piece import Placement, Prism, Shape
from studio_lib.piece.bulk import bulks
from studio_lib.piece.model import Box, hole
from studio_lib.piece.outline import area_mm2, circle, rectangle, slot
from studio_lib.solids import exact
from studio_lib.solids.drilled import drilled
from studio_lib.solids.mesh import solid_of
from tests.structure.test_joints_hold import random_piece

LONG, WIDE, THICK = 900.0, 90.0, 28.0
BAR = Shape(rectangle(0.0, 0.0, WIDE, THICK), LONG)
DOWN, UP, FROM_THE_END = (0.0, 0.0, -1.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)


def row(way, depth_mm, diameter_mm=5.0, many=5):
    start = {DOWN: THICK + 1.0, UP: -1.0}[way]
    return tuple(hole((100.0 + 150.0 * k, 30.0, start), way, diameter_mm, depth_mm) for k in range(many))


def slots(many=4):
    """Slots for screws that let a top move, with room for the head: one outline below another from one place."""
    out = []
    for k in range(many):
        at = Placement((120.0 + 180.0 * k, 60.0, -1.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
        out += [Prism(slot(-6.0, 0.0, 6.0, 0.0, 9.0), at, 11.0, True), Prism(slot(-4.0, 0.0, 4.0, 0.0, 5.0), at, 40.0, True)]
    return tuple(out)


# What is left is length x width x thickness, less the area of each outline times how deep it goes into the timber.
@pytest.mark.parametrize(("cuts", "taken_mm3", "through"), [
    (row(UP, 19.0), 5 * area_mm2(circle(0, 0, 5.0)) * 18.0, 0),
    (row(DOWN, 19.0), 5 * area_mm2(circle(0, 0, 5.0)) * 18.0, 0),
    (row(UP, 40.0), 5 * area_mm2(circle(0, 0, 5.0)) * THICK, 5),
    (row(UP, 19.0, 12.0), 5 * area_mm2(circle(0, 0, 12.0)) * 18.0, 0),
    (slots(), 4 * (area_mm2(slot(0, 0, 12.0, 0, 9.0)) * 10.0 + area_mm2(slot(0, 0, 8.0, 0, 5.0)) * (THICK - 10.0)), 4),
    (tuple(hole((-1.0, y, 14.0), FROM_THE_END, 8.0, 31.0) for y in (20.0, 45.0, 70.0)), 3 * area_mm2(circle(0, 0, 8.0)) * 30.0, 0),
])
def test_holes_take_their_own_volume_and_no_more(cuts, taken_mm3, through):
    body, left = drilled(replace(BAR, cuts=cuts))
    assert left == []
    assert body.volume() == pytest.approx(LONG * WIDE * THICK - taken_mm3, rel=1e-9)
    assert body.genus() == through
    made, left = exact.drilled(replace(BAR, cuts=cuts))
    assert left == [] and made.isValid()
    # Round in the exact solid, many-cornered of the same area in the other.
    assert made.Volume() == pytest.approx(LONG * WIDE * THICK - taken_mm3, rel=1e-7)


@pytest.mark.parametrize("odd", [
    hole((300.0, 3.0, -1.0), UP, 8.0, 12.0),  # breaks out of the edge
    hole((105.0, 30.0, -1.0), UP, 8.0, 12.0),  # meets another
    hole((300.0, 60.0, 5.0), UP, 8.0, 12.0),  # begins within the timber
    hole((300.0, 60.0, -1.0), (0.0, 0.6, 0.8), 8.0, 20.0),  # goes in aslant
    hole((300.0, 60.0, -1.0), UP, 8.0, 1.005),  # hardly touches
    hole((300.0, 60.0, -1.0), UP, 8.0, THICK + 0.995),  # leaves a skin
    Box((400.0, 20.0, -1.0), (440.0, 32.0, 15.0)),
])
def test_what_is_no_plain_hole_is_cut_from_the_solid(odd):
    cuts = (*row(UP, 19.0), odd)
    body, left = drilled(replace(BAR, cuts=cuts))
    assert odd in left
    whole = manifold3d.Manifold.batch_boolean([solid_of(BAR), *bulks(cuts)], manifold3d.OpType.Subtract)
    assert solid_of(replace(BAR, cuts=cuts)).volume() == pytest.approx(whole.volume(), rel=1e-9)


def test_a_hole_where_something_is_added_is_left_to_be_cut():
    lip = Box((50.0, 20.0, -8.0), (180.0, 45.0, 0.0))
    cuts = row(UP, 19.0)
    body, left = drilled(replace(BAR, cuts=cuts, adds=(lip,)))
    assert left == [cuts[0]]


@pytest.mark.parametrize("form", [name for name in FORMS if name != "freehand"])
def test_drilled_or_cut_it_is_the_same_timber(form):
    rng = np.random.default_rng(len(form) + 5)
    pieces = [piece for piece in (random_piece(form, rng) for _ in range(40)) if piece is not None][:6]
    assert len(pieces) > 2
    for piece in pieces:
        for m in piece.members:
            shape = piece.shape(m.ref)
            if piece in pieces[:2] and (bored := exact.drilled(shape)) is not None:
                assert bored[0].isValid() and abs(exact.solid(shape).Volume() - solid_of(shape).volume()) <= exact.ALIKE * solid_of(shape).volume(), (m.ref, m.name)
            if drilled(shape) is None:
                continue
            made = solid_of(shape)
            rest = replace(shape, cuts=())
            whole = manifold3d.Manifold.batch_boolean([solid_of(rest), *bulks(shape.cuts)], manifold3d.OpType.Subtract)
            apart = (made - whole).volume() + (whole - made).volume()
            assert apart <= 1e-9 * whole.volume(), (m.ref, m.name, apart)
            assert made.genus() == whole.genus(), (m.ref, m.name)


def test_python_ends_without_a_word_of_solids_left_over():
    work = "from studio_lib.forms import make; from studio_lib.commission import Brief; from studio_lib.solids import meshes; meshes(make('chest', Brief(), timber='oak'))"
    ended = subprocess.run([sys.executable, "-c", work], capture_output=True, text=True, cwd=Path(__file__).parents[2], timeout=120)
    assert (ended.returncode, ended.stderr) == (0, "")
