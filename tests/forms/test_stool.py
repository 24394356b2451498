"""The stool over its whole range of sizes, and what its maker relies on."""

import math

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.forms import FORMS, Surroundings, make, settled

NAME = "stool"


# Closed form: a leg that leans S and R is longer than it is high by sqrt(1 + tan2 S + tan2 R).
def test_a_leaning_leg_is_as_long_as_the_closed_form_says():
    piece = make(NAME, Brief(), splay_deg=10, rake_deg=7, timber="oak")
    leg = piece.member("A-L1")
    top = min(m.piece_box.lo[2] for m in piece.members if m.role == "board")
    longer = math.sqrt(1 + math.tan(math.radians(10)) ** 2 + math.tan(math.radians(7)) ** 2)
    foot, head = (s.depth_mm(leg, leg.width_mm / 2, leg.thickness_mm / 2) for s in leg.shaping)
    assert leg.length_mm - foot - head == pytest.approx(top * longer, abs=1e-6)


def test_feet_stand_on_the_floor_and_heads_under_the_seat():
    from studio_lib.solids.mesh import placed

    piece = make(NAME, Brief(), splay_deg=11, rake_deg=9, timber="oak")
    top = min(m.piece_box.lo[2] for m in piece.members if m.role == "board")
    for code in ("L1", "L2", "L3", "L4"):
        box = placed(piece, f"A-{code}").bounding_box()
        assert box[2] == pytest.approx(0.0, abs=1e-5) and box[5] == pytest.approx(top, abs=1e-5)


def test_the_angles_for_the_saw_are_on_the_setting_out():
    piece = make(NAME, Brief(), splay_deg=10, rake_deg=8, timber="oak")
    leg, rail = piece.member("A-L1"), piece.member("A-A1")
    for member in (leg, rail):
        said = [v for s in member.shaping for v in s.setting_out(member).values()]
        assert len(said) == 2 and all("saw: mitre" in v for v in said)


def test_a_mirrored_leg_is_its_twin_s_mirror():
    from studio_lib.solids import volume_mm3

    piece = make(NAME, Brief(), splay_deg=10, rake_deg=8, timber="oak")
    left, right = piece.member("A-L1"), piece.member("A-L2")
    assert (left.hand, right.hand) == ("left", "right")
    assert volume_mm3(piece.shape("A-L1")) == pytest.approx(volume_mm3(piece.shape("A-L2")), rel=1e-6)


def test_children_get_no_gap_that_holds_a_head():
    brief = Brief(children=True)
    sizes = settled(FORMS[NAME], brief, Surroundings("oak"), {})
    for where, wide, high in FORMS[NAME].holes(sizes):
        assert not 89 <= min(wide, high) <= 229, (where, wide, high)


# EN 1022 by moments, by hand: at 450 mm the push of 20 N wants 15 mm of the 60: 45 mm past the feet is the most.
def test_a_seat_far_past_its_feet_is_found():
    piece = make(NAME, Brief(), splay_deg=0, rake_deg=0, height_mm=450, length_mm=500, overhang_end_mm=50, timber="oak")
    sizes = settled(FORMS[NAME], Brief(), Surroundings("oak"),
        dict(splay_deg=0, rake_deg=0, height_mm=450, length_mm=500, overhang_end_mm=50))
    side = next(f for f in FORMS[NAME].fit(piece, sizes, Brief()) if f.what == "tipping over its side")
    assert not side.stands and "45 mm" in side.mend


def test_the_makers_own_load_at_the_edge_reaches_the_forms_own_tipping():
    c = Commission(ref="S-1", title="stool", items=(Item(name="stool", form=NAME, loads={"edge": 900}),))
    own = next(f for f in derive(c).findings if f.what == "tipping over its side" and f.rule.startswith("900 N"))
    assert "your own figure" in own.source
    usual = next(f for f in derive(c.changed("items.0.loads", {})).findings if f.what == own.what and f.rule.startswith("600 N"))
    # The load down holds it within the edge, so what holds grows as the load does.
    assert own.capacity / usual.capacity == pytest.approx(900 / 600)
