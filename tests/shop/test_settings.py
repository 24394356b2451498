"""Angles, heights, depths and clamps: each setting once, true to the model and to closed forms."""

import math

import pytest

from studio_lib.commission import Brief
from studio_lib.finding import Verdict
from studio_lib.forms import make
from studio_lib.piece.angles import Lean
from studio_lib.piece.order import order_of_work
from studio_lib.shop.clamps import clamp_findings, clamps_wanted
from studio_lib.shop.setting_out import member_rods, stops
from studio_lib.shop.settings import angles, heights
from studio_lib.stock.cutting_list import cutting_list


def rods(piece):
    return member_rods([(piece, 1)], cutting_list([(piece, 1)]))


# Closed form of compound angles: with the fence turned by the splay a, the blade tilts by atan(tan(b) cos(a)).
@pytest.mark.parametrize(("splay", "rake"), [(8.0, 6.0), (5.0, 5.0), (10.0, 0.0)])
def test_the_legs_ends_are_cut_at_the_angles_of_their_lean(splay, rake):
    stool = make("stool", Brief(), splay_deg=splay, rake_deg=rake)
    legs = [a for a in angles([(stool, 1)]) if a.what == "ends" and any("A-L" in w for w in a.works)]
    lean = Lean(splay, rake)
    assert sum(sum("A-L" in w for w in a.works) for a in legs) == 8
    # A leg set square to its own lean: mitre and tilt give back the lean in its own plane.
    mitre = math.radians(float(legs[0].figures.split()[1]))
    tilt = math.radians(float(legs[0].figures.split("tilted ")[1].split(";")[0])) if "tilted" in legs[0].figures else 0.0
    assert math.cos(mitre) * math.cos(tilt) == pytest.approx(math.cos(math.radians(lean.resultant_deg)), abs=2e-4)


# By hand: aprons 22 thick with a tenon of 7 in the middle: 7.5 off either cheek.
def test_heights_for_tenons_are_those_of_the_joint():
    table = make("slatted table", Brief())
    joint = next(j for j in table.joints if j.kind == "mortise and tenon")
    rail = table.member(joint.first)
    cheeks = {h.mm for h in heights([(table, 1)], rods(table)) if h.cut == "tenon cheek" for what, _ in h.works if what.startswith(rail.role)}
    assert joint.cheek_low_mm in cheeks and round(rail.thickness_mm - joint.thickness_mm - joint.cheek_low_mm, 2) in cheeks


def test_a_hole_is_set_by_its_middle_and_drilled_not_notched():
    case = make("bookcase", Brief())
    settings = stops(rods(case))
    drilled = [s for s in settings if s.machine == "drill"]
    assert drilled and not any("screws" in what for s in settings if s.machine == "mortise and notch" for what, _ in s.works)
    board = next(r for r in rods(case) if r.row.name.startswith("back board"))
    holes = [m for m in board.marks if m.diameter_mm]
    assert holes and all(m.from_mm == m.to_mm for m in holes)
    # The lowest screw stands in the middle of the bottom's thickness.
    bottom, low = case.member("A-U1").piece_box, case.member("A-B1").piece_box.lo[2]
    assert min(m.from_mm for m in holes) == pytest.approx(bottom.centre[2] - low, abs=0.01)


def test_stop_settings_still_cover_every_hole():
    case = make("cabinet", Brief(), drawer_rows=1)
    marks = sum(r.count for r in rods(case) for m in r.marks if m.diameter_mm and not m.into_end)
    assert marks == sum(n for s in stops(rods(case)) if s.machine == "drill" for _, n in s.works)


def test_too_few_clamps_are_said_and_none_owned_is_not_judged():
    case = make("cabinet", Brief())
    order = order_of_work(case)
    wanted = clamps_wanted(case, order)
    assert wanted[0][0] == 0 and len(wanted) == 1 + sum(s.glued for s in order.stages)
    assert clamp_findings(case, order, ()) == []
    most = max(n for _, n, _ in wanted)
    assert all(f.stands for f in clamp_findings(case, order, ((most, 3000.0),)))
    short = [f for f in clamp_findings(case, order, ((most, 700.0),)) if not f.stands]
    assert short and all(f.verdict is Verdict.LOOK_AGAIN and "Borrow" in f.mend for f in short)
