"""Standing with doors, drawers and lids open, by moments about the feet written out."""

from dataclasses import replace

import pytest

from studio_lib.commission import Brief
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import make
from studio_lib.piece import Member, Piece, Placement
from studio_lib.piece.hinge import Hinged
from studio_lib.piece.leaves import OUT_SHARE, leaves
from studio_lib.structure.opened import CHILD_N, FILL_KG_M3, Setting, opened_findings, opens
from studio_lib.structure.loads import G
from studio_lib.structure.strength import Wood

WOOD = {"oak": Wood("made for this test", 700.0, 12_000.0, 105.0, 12.0)}
CHILDREN = Setting(children=True)


def block_with_a_door() -> Piece:
    """A block of 400 x 400 mm, 900 high, a door of its own size before it."""
    up = ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    case = Member("A-C1", "case", "side", "oak", 900.0, 400.0, 400.0, Placement((0.0, 0.0, 0.0), *up))
    door = Member("A-D1", "door", "door", "oak", 880.0, 400.0, 20.0, Placement((0.0, -22.0, 10.0), *up))
    return Piece("block", "freehand", (case, door), (Hinged.between(case, door, "door on case"),), overall_mm=(400.0, 422.0, 900.0))


# By hand, about the front feet: the block's weight 200 mm behind them; the door's middle 200 mm before its pin, which stands
# 1 mm before the front; the child 100 mm in from the free edge, 300 mm before the pin.
def test_a_child_on_a_door_by_moments():
    piece = block_with_a_door()
    found = {f.what: f for f in opened_findings(piece, WOOD, CHILDREN)}
    case, door = (n * 1e-9 * 700 * G for n in (900 * 400 * 400, 880 * 400 * 20))
    assert found["hung on a door"].utilisation == pytest.approx((CHILD_N * 301 + door * 201) / (case * 200), rel=0.01)
    assert found["tipping, doors open"].utilisation == pytest.approx(door * 201 / (case * 200), rel=0.01)


def test_drawers_full_and_drawn_out_two_thirds_by_moments():
    piece = make("cabinet", Brief(), timber="oak", drawers_fill=1, doors=0, shelf_count=0, drawer_rows=4, arris_mm=0)
    found = {f.what: f for f in opened_findings(piece, WOOD, CHILDREN)}
    drawers = opens(piece, WOOD)
    in_one = {r for d in drawers for r in d.refs}
    assert drawers and {d.kind for d in drawers} == {"drawer"} and all("W" in r for r in in_one)
    front = min(m.piece_box.lo[1] for m in piece.members if m.piece_box.lo[2] < 1)
    turning = holding = 0.0
    for m in piece.members:
        weight = m.length_mm * m.width_mm * m.thickness_mm * 1e-9 * 700 * G
        box = [piece.member(r).piece_box for d in drawers if m.ref in d.refs for r in d.refs]
        out = OUT_SHARE * (max(b.hi[1] for b in box) - min(b.lo[1] for b in box)) if box else 0.0
        arm = m.piece_box.centre[1] - out - front
        turning, holding = turning + weight * max(-arm, 0), holding + weight * max(arm, 0)
    for d in drawers:
        arm, weight = d.at[0][1] - front, d.holds_m3 * FILL_KG_M3 * G
        turning, holding = turning + weight * max(-arm, 0), holding + weight * max(arm, 0)
    # Joints and grooves are left out of this sum, and each member counts for itself, not its drawer as one.
    assert found["tipping, drawers open"].utilisation == pytest.approx(turning / holding, rel=0.12)


def test_a_wall_holds_it_and_no_children_make_it_a_caution():
    piece = make("cabinet", Brief(), timber="oak", wall=0)
    by = {name: {f.what: f for f in opened_findings(piece, WOOD, s)} for name, s in (
        ("free", CHILDREN), ("held", Setting(children=True, held=True)), ("alone", Setting()))}
    assert by["free"]["hung on a door"].verdict is Verdict.FAILS and "Fix it to the wall" in by["free"]["hung on a door"].mend
    assert by["held"]["hung on a door"].stands and "wall" in by["held"]["hung on a door"].says
    assert by["alone"]["hung on a door"].verdict is Verdict.LOOK_AGAIN


def test_a_lid_says_what_it_weighs_and_that_it_wants_a_stay():
    piece = make("chest", Brief(), timber="oak")
    loose, stayed = ({f.what: f for f in opened_findings(piece, WOOD, Setting(True, False, stays))} for stays in (False, True))
    lid = sum(m.length_mm * m.width_mm * m.thickness_mm for m in piece.members if m.role in ("lid", "batten")) * 1e-9 * 700 * G
    assert loose["falling lid"].demand == pytest.approx(lid / 2, rel=0.05)
    assert loose["falling lid"].verdict is Verdict.LOOK_AGAIN and stayed["falling lid"].stands
    assert "backwards" in loose["leant on, lid open"].says


@pytest.mark.parametrize("form", ["table", "bookcase", "framed screen", "slatted stool"])
def test_what_has_nothing_to_open_says_nothing(form):
    assert opened_findings(make(form, Brief(), timber="oak"), WOOD, CHILDREN) == []


def test_it_is_said_before_a_timber_is_chosen_and_stops_the_job_where_children_are():
    c = demo().changed("items.0.form", "cabinet").changed("items.0.sizes", {"wall": 0}).changed("items.0.adjustments", [])
    c = c.changed("items.0.joints", {}).changed("brief.children", True).changed("timber.species", None)
    d = derive(c)
    found = [f for f in d.size_findings if f.what == "hung on a door"]
    assert found and found[0].verdict is Verdict.FAILS
    assert any(s.finding.what == "hung on a door" for s in d.stops)


# By hand: the lid, 10 degrees short of upright, about its pin in the lower back edge. Its middle lies 280 mm before the pin and
# 12.5 mm over it; turned by 80 degrees about the edge it stands (280 cos 80 - 12.5 sin 80) before the pin, the rest above.
def test_an_open_lid_stands_where_its_pin_and_its_stay_put_it():
    from math import cos, radians, sin

    lid = Member("A-T1", "lid", "lid", "oak", 900.0, 560.0, 25.0, Placement((0.0, 0.0, 415.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    back = Member("A-R1", "back", "back", "oak", 900.0, 415.0, 25.0, Placement((0.0, 560.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    piece = Piece("box", "freehand", (back, lid), (replace(Hinged.between(lid, back, "lid on back"), stays=1),), overall_mm=(900.0, 560.0, 440.0))
    (leaf,), (t,) = leaves(piece), opens(piece, WOOD)
    a = radians(80)
    assert leaf.deg == 80 and t.at[0][1:] == pytest.approx((560 - 280 * cos(a) + 12.5 * sin(a), 415 + 280 * sin(a) + 12.5 * cos(a)), abs=0.5)
    # Without a stay it leans past upright, its weight behind the pin.
    (loose,) = opens(piece, WOOD, False)
    assert loose.at[0][1] > 560 and loose.at[0][1] > t.at[0][1]


# By hand, on the block: raised by 10.9 mm on feet 400 mm deep it leans forwards by 1.561 degrees about its front feet. The block's
# middle, 200 mm behind them and 450 up, comes to 200 cos a - 450 sin a; the door's, 201 before and 450 up, to 201 cos a + 450 sin a;
# the child, 301 before and 890 up, to 301 cos a + 890 sin a.
def test_on_carpet_it_leans_forwards_by_hand():
    from math import atan, cos, sin

    piece = block_with_a_door()
    found = {f.what: f for f in opened_findings(piece, WOOD, Setting(children=True, carpet=True))}
    a = atan(10.9 / 400)
    case, door = (n * 1e-9 * 700 * G for n in (900 * 400 * 400, 880 * 400 * 20))
    holding = case * (200 * cos(a) - 450 * sin(a))
    turning = door * (201 * cos(a) + 450 * sin(a)) + CHILD_N * (301 * cos(a) + 890 * sin(a))
    assert found["hung on a door"].utilisation == pytest.approx(turning / holding, rel=0.01)
    assert "on carpet" in found["hung on a door"].rule


def test_the_brief_says_that_it_stands_on_carpet():
    c = demo().changed("items.0.form", "cabinet").changed("items.0.sizes", {"wall": 0}).changed("items.0.adjustments", [])
    c = c.changed("items.0.joints", {}).changed("brief.children", True).changed("brief.place", "indoors, heated")
    firm, soft = ({f.what: f for f in derive(c.changed("brief.ground", g)).size_findings} for g in ("floor", "carpet"))
    assert soft["hung on a door"].utilisation > firm["hung on a door"].utilisation


def test_a_child_pulls_at_a_cabinet_that_stands_open():
    from studio_lib.forms.casework import middle_mm

    piece = make("cabinet", Brief(), timber="oak", drawer_rows=2, drawers_fill=0)
    shut, open_ = middle_mm(piece), middle_mm(piece, opened=True)
    moved = sum(
        m.length_mm * m.width_mm * m.thickness_mm * (leaf.mm if leaf.kind == "drawer" else 0.0) for leaf in leaves(piece) for m in map(piece.member, leaf.refs))
    drawers_alone = moved / sum(m.length_mm * m.width_mm * m.thickness_mm for m in piece.members)
    assert shut - open_ > drawers_alone > 0


def test_what_stands_only_at_a_wall_is_found_by_its_kind_and_not_by_its_wording():
    from dataclasses import replace
    from datetime import date

    from studio_lib.commission import Commission
    from studio_lib.derive import derive
    from studio_lib.papers.words import terms
    from studio_lib.structure.opened import AT_WALL

    c = Commission(ref="W1", title="chest").changed("timber.species", "European oak").changed(
        "items", [{"name": "toy chest", "form": "chest", "sizes": {"stands": 1}}])
    d = derive(c)
    assert d.backed_by_wall == ("toy chest",) and [f.what for f in d.findings if f.only_where] == ["leant on, lid open"]
    assert any("stands with its back to a wall, " in t for t in terms(d, date(2026, 11, 26)))
    d.__dict__["findings"] = tuple(replace(f, says="said in other words") for f in d.findings)
    assert d.backed_by_wall == ("toy chest",), "other words change nothing"
    d.__dict__["findings"] = tuple(replace(f, only_where="") for f in d.findings)
    assert d.backed_by_wall == ()
    free = derive(c.changed("items.0.sizes.stands", 0))
    assert free.backed_by_wall == () and all(f.only_where in ("", AT_WALL) for f in free.findings)
    assert any(t.startswith("Take care with the toy chest: free in the room it tips") for t in terms(free, date(2026, 11, 26)))
    at_bed = derive(c.changed("items.0.sizes", {}).changed("brief.asked", "A chest for the foot of our bed."))
    assert at_bed.made[0].sizes["stands"] == 0 and at_bed.tips_if_leant_on == ("toy chest",)


def test_a_small_table_with_a_drawer_is_fixed_to_the_wall_where_a_child_climbs():
    from studio_lib.commission import Brief, Commission, Item
    from studio_lib.derive import derive

    # ASTM F2057-23: 60 lb on the open drawer; a bedside table of some 10 kg cannot hold that down by itself.
    small = Item(name="bedside table", form="table", sizes={"length_mm": 450, "width_mm": 350, "height_mm": 580, "drawers": 1})
    c = Commission(ref="W2", title="bedside table", items=(small,), brief=Brief(child_ages=(2.0,))).changed("timber.species", "European oak")
    d = derive(c)
    climbed = next(f for f in d.findings if f.what == "climbed on a drawer")
    assert d.made[0].sizes["wall"] == 1 and climbed.stands and "the wall it is fixed to holds it" in climbed.says
    assert d.wall_fixings == 1 and d.to_wall(0)
    free = derive(c.changed("items.0.sizes.wall", 0))
    climbed = next(f for f in free.findings if f.what == "climbed on a drawer")
    assert climbed.verdict is Verdict.FAILS and "'Fixed to the wall' under Drawers" in climbed.mend
    round_it = derive(c.changed("items.0.sizes", {"length_mm": 1800, "width_mm": 900, "drawers": 1}))
    assert round_it.made[0].sizes["wall"] == 0, "people sit round it"
    assert derive(c.changed("brief.child_ages", [])).made[0].sizes["wall"] == 0


def test_the_drawer_of_a_desk_is_no_wider_than_runs_true():
    from studio_lib.commission import Brief, Commission, Item
    from studio_lib.derive import derive

    d = derive(Commission(ref="W3", title="desk", items=(Item(name="desk", form="table", sizes={"length_mm": 1400, "width_mm": 650, "drawers": 1}),),
                          brief=Brief(asked="A desk with one drawer.", people=1)).changed("timber.species", "European oak"))
    assert next(f for f in d.findings if f.what == "drawer pulled askew").stands and 700 <= d.made[0].sizes["drawer_mm"] <= 900
