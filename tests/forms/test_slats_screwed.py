"""Screws from below: real holes in rail and slat, where the slat has timber for them, and none of them astray."""

from dataclasses import replace

import numpy as np
import pytest

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.piece.bulk import bulk
from studio_lib.piece.model import as_prism
from studio_lib.solids import exact
from studio_lib.solids.mesh import placed, volume_mm3

CASES = [
    ("slatted table", {}),
    ("slatted stool", {}),
    ("table", {"top": 0}),
    ("stool", {"seat": 1}),
    ("bench", {"seat": 0}),
    ("bench", {"seat": 0, "back": 2}),
    ("slatted table", {"slat_count": 14}),
    ("stool", {"seat": 1, "splay_deg": 8}),
]


@pytest.mark.parametrize(("form", "sizes"), CASES)
def test_each_screw_listed_is_a_hole_in_both_members(form, sizes):
    piece = make(form, Brief(), timber="oak", **sizes)
    assert not piece.uncut
    for f in piece.fixings:
        if f.row is None:
            continue
        near, far = (piece.member(r).placement for r in (f.near, f.far))
        cuts = f.row.cuts(piece)
        # A clearance hole and a seat for the head in the one, a pilot hole in the other, for each screw.
        assert len(cuts[f.near]) == 2 * f.count and len(cuts[f.far]) == f.count
        solids = {r: placed(piece, r) for r in (f.near, f.far)}
        for ref, frame in ((f.near, near), (f.far, far)):
            for block in cuts[ref]:
                middle = np.asarray(frame.to_piece(block.bounds.centre))
                probe = solids[ref] ^ type(solids[ref]).sphere(0.4, 8).translate(tuple(middle))
                assert probe.is_empty(), (f.near, f.far, middle)
        # The screw's point stays inside the slat: the face above is whole.
        top = max(frame_z for frame_z in (far.to_piece(b.bounds.hi)[2] for b in cuts[f.far]))
        assert piece.member(f.far).piece_box.hi[2] - top > 3.0
    assert all(f.row for f in piece.fixings)


@pytest.mark.parametrize(("form", "sizes"), CASES)
def test_no_screw_comes_through_another_joint(form, sizes):
    """A screw and its head with a wall round it, against every tenon of the piece."""
    piece = make(form, Brief(), timber="oak", **sizes)
    tenons = [
        (j.first, as_prism(piece.member(j.first).placement.to_piece_block(b)))
        for j in piece.joints
        for b in j.adds(piece).get(j.first, ())
    ]
    for f in piece.fixings:
        bores = [piece.member(f.near).placement.to_piece_block(b) for b in f.row.cuts(piece)[f.near]]
        bulks = [bulk(b) for b in bores]
        for owner, tenon in tenons:
            if owner not in (f.near, f.far):
                assert all((bulk(tenon) ^ b).volume() < 1e-3 for b in bulks), (f.near, f.far, owner)


def test_holes_take_what_their_sizes_say():
    """By hand, one bearer of the slatted stool, 24 mm thick with screws of 4 mm: 4.5 mm through, 8.5 mm for the head and its seat."""
    piece = make("slatted stool", Brief(), timber="oak")
    f = piece.fixings[len(piece.fixings) // 2]
    bearer = piece.member(f.near)
    rows = [g.row for g in piece.fixings if g.near == f.near]
    without = replace(piece, fixings=())
    gone = volume_mm3(without.shape(f.near)) - volume_mm3(piece.shape(f.near))
    deep = rows[0].counterbore_mm + 0.5 * f.diameter_mm
    each = np.pi / 4 * (8.5**2 * deep + 4.5**2 * (bearer.width_mm - deep))
    assert gone == pytest.approx(len(rows) * each, rel=0.01)


@pytest.mark.parametrize(("form", "sizes"), CASES[:4])
def test_both_kernels_cut_them_alike(form, sizes):
    piece = make(form, Brief(), timber="oak", **sizes)
    for m in piece.members:
        assert exact.solid(piece.shape(m.ref)).Volume() == pytest.approx(volume_mm3(piece.shape(m.ref)), rel=2e-5)


def test_an_outer_slat_that_hardly_reaches_a_bearer_is_held_along_its_apron():
    piece = make("slatted table", Brief(), timber="oak", overhang_side_mm=60.0)
    outer = [f for f in piece.fixings if f.far in ("A-S1", "A-S9")]
    assert {f.family for f in outer} == {"slat on apron"}
    assert {m.ref for m in piece.members if m.role == "slat"} == {f.far for f in piece.fixings}
