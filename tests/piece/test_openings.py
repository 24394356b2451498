"""Openings closed all round, measured from members: rectangles by hand, the forms' own, and what follows when a maker moves rails."""

from __future__ import annotations

import math

import pytest

from studio_lib.commission import Brief, Commission, Item, Moved
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import form
from studio_lib.piece import Member, Piece, Placement
from studio_lib.piece.openings import closed_openings

UP, ALONG = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)


def bar(ref, origin, along, across, long, wide=40.0):
    return Member(ref, ref, "rail", "oak", long, wide, 20.0, Placement(origin, along, across))


def frame(lean_deg=0.0, high=600.0):
    """Two posts, the right one leaning outwards, and two rails 300 mm apart from edge to edge."""
    lean = math.radians(lean_deg)
    out = (math.sin(lean), 0.0, math.cos(lean))
    return Piece("frame", "freehand", (
        bar("P1", (-140.0, 20.0, 0.0), UP, ALONG, high), bar("P2", (100.0, 20.0, 0.0), out, (math.cos(lean), 0.0, -math.sin(lean)), high),
        bar("R1", (-100.0, 20.0, 100.0), ALONG, UP, 240.0), bar("R2", (-100.0, 20.0, 440.0), ALONG, UP, 300.0),
    ))


def test_a_frame_s_opening_is_what_is_left_between_its_members():
    (opening,) = closed_openings(frame())
    assert (opening.wide_mm, opening.high_mm, opening.narrowest_mm) == pytest.approx((200.0, 300.0, 200.0))
    open_below = Piece("frame", "freehand", frame().members[:2] + frame().members[3:])
    assert closed_openings(open_below) == ()


def test_a_ball_finds_the_narrow_part_of_what_is_no_rectangle():
    """By hand: between a plumb post and one that leans by 10 degrees, from a gap of g at the foot, the widest ball that stands under the upper
    rail has the radius (g + h tan 10) / (1 + 1/cos 10 + tan 10), h the height of the rail over the foot of the gap."""
    (opening,) = closed_openings(frame(10.0))
    t, c = math.tan(math.radians(10)), math.cos(math.radians(10))
    foot = 200.0 + 140.0 * t  # gap at the lower rail's top
    radius = (foot + 300.0 * t) / (1 + 1 / c + t)
    assert opening.narrowest_mm == pytest.approx(2 * radius, abs=1.0) and opening.narrowest_mm < opening.wide_mm


@pytest.mark.parametrize("name, sizes", [
    ("stool", {"counter_mm": 920.0}), ("stool", {"lower_rail_height_mm": 150.0, "splay_side_deg": 0.0, "splay_front_deg": 0.0}),
    ("slatted stool", {"lower_rail_height_mm": 150.0}), ("slatted table", {"lower_rail_height_mm": 150.0}), ("bench", {"back": 0.0, "lower_rail_height_mm": 120.0}),
])
def test_it_finds_what_the_forms_say_of_themselves(name, sizes):
    known = {s.name for s in form(name).sizes}
    made = derive(Commission(ref="2026-001", title="x", items=(Item(name="x", form=name, sizes={n: v for n, v in sizes.items() if n in known}),))).made[0]
    said, seen = form(name).holes(made.sizes), closed_openings(made.piece)
    assert said and sorted(round(high) for _, _, high in said) == sorted(round(o.high_mm) for o in seen)
    for (_, wide, _), o in zip(sorted(said, key=lambda h: h[2]), sorted(seen, key=lambda o: o.high_mm)):
        assert wide - 1 <= o.wide_mm  # where legs are splayed the form gives the width at the narrower end


def stool(*changes):
    item = Item(name="stool", form="stool", sizes={"counter_mm": 920.0, "width_mm": 300.0}, adjustments=changes)
    c = Commission(ref="2026-001", title="stool", brief=Brief(child_ages=(5,)), items=(item,))
    return derive(c.changed("timber.species", "European oak"))


def heads(d):
    return {f.subject: f for f in d.size_findings if f.what == "heads"}


def test_a_rail_that_is_moved_is_judged_where_it_went():
    """Side rails brought up under the seat's, to leave less than the 89 mm that let a body in: CPSC handbook B.2.5.1."""
    before = stool()
    side = next(f for name, f in heads(before).items() if name.startswith("side"))
    sides = [m for m in before.piece.members if m.role == "lower rail" and abs(m.placement.along[1]) > 0.7]
    gap = next(high for where, _, high in form("stool").holes(before.made[0].sizes) if where.startswith("side"))
    assert side.verdict is Verdict.FAILS and len(sides) == 2 and gap > 89
    after = stool(*(Moved(member=m.ref, by_mm=(0.0, 0.0, gap - 70.0)) for m in sides))
    assert [f.verdict for name, f in heads(after).items() if "side" in name] == [Verdict.STANDS]
    assert "x 70 mm" in next(f.says for name, f in heads(after).items() if "side" in name)
    laid_aside = stool(*(Moved(member=m.ref, by_mm=(0.0, 0.0, gap - 70.0), off=True) for m in sides))
    assert heads(laid_aside).keys() == heads(before).keys()
