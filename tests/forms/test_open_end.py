"""A table that a wheelchair pulls up to: where, how high its arms ask for, and what gives way to them; narrow drawers; corners."""

import math
from dataclasses import replace

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import SizeRefused, make
from studio_lib.forms.pulled_up import RIGHT, knee_room
from studio_lib.people import wheelchair_mm
from studio_lib.piece.checks import mortises_apart, piece_findings, shoulders_meet
from studio_lib.piece.leaves import leaves
from studio_lib.piece.order import order_of_work
from tests.forms import invariants

NAME = "table"
CHAIR = {"wheelchair": True, "wheelchair_at": "end", "wheelchair_knees_mm": 700.0}
KITCHEN = "A kitchen table for six. The grandfather comes in a wheelchair. One drawer for the cutlery, nothing sharp at the corners."


def job(sizes=None, wood="European oak", **brief):
    b = Brief(**{"place": "indoors, heated", "people": 6, **brief})
    c = Commission(ref="2026-001", title="a table", brief=b, items=(Item(name="table", form=NAME, sizes=sizes or {}),))
    return derive(c.changed("timber.species", wood))


def told(d):
    return {f.what: f for f in d.size_findings if f.subject == "wheelchair"}


def test_one_place_at_the_end_does_not_raise_the_whole_table():
    plain, anywhere, end = (job(asked=KITCHEN, **b) for b in ({}, {"wheelchair": True, "wheelchair_knees_mm": 700.0}, CHAIR))
    assert anywhere.piece.overall_mm[2] - plain.piece.overall_mm[2] > 60
    assert end.piece.overall_mm[2] - plain.piece.overall_mm[2] <= 5
    assert all(f.stands for f in told(end).values()) and len(told(end)) == 4


@pytest.mark.parametrize("asked", ["", KITCHEN])
@pytest.mark.parametrize("people", [4, 6, 8])
def test_the_open_end_leaves_the_room_that_is_asked_for(asked, people):
    d = job(asked=asked, people=people, **CHAIR)
    room = knee_room(d.piece, RIGHT, 700.0)
    rail = d.piece.member("A-R1").piece_box
    assert room.height_mm == pytest.approx(rail.lo[2]) and room.height_mm >= 700
    # Older federal rule for tables: 485 mm deep; 2010 ADA Standards 306.3: 760 mm wide.
    assert room.width_mm >= wheelchair_mm("knee width") == 760 and room.depth_mm >= wheelchair_mm("knee depth arms") == 485
    legs = [m.piece_box for m in d.piece.members if m.role == "leg" and m.piece_box.lo[0] > 0]
    assert room.width_mm == pytest.approx(max(b.lo[1] for b in legs) - min(b.hi[1] for b in legs))


@pytest.mark.parametrize("asked", ["", KITCHEN])
@pytest.mark.parametrize("wood", ["European oak", "Black walnut", "Douglas-fir (coast)"])
def test_the_frame_with_an_open_end_holds(asked, wood):
    d = job(asked=asked, wood=wood, **CHAIR)
    bad = [f for f in (*d.size_findings, *d.joint_findings) if f.verdict is Verdict.FAILS]
    assert bad == [], [f"{f.subject}, {f.what}: {f.says}" for f in bad]


@pytest.mark.parametrize("drawers", [0, 1, 2])
def test_the_open_end_can_be_made(drawers):
    piece = make(NAME, Brief(people=6, **CHAIR), timber="oak", swell_fraction=0.02, drawers=drawers)
    assert piece.member("A-R1").width_mm > piece.member("A-R1").thickness_mm and "A-A3" not in piece.by_ref
    assert invariants.all_of(piece, exact=True) == [] and shoulders_meet(piece) == [] and mortises_apart(piece) == []
    assert [f for f in piece_findings(piece) if not f.stands] == []
    for j in piece.joints:
        assert [f.says for f in j.findings(piece) if not f.stands] == [], j.family
    assert order_of_work(piece)
    assert any(j.second == "A-R1" for j in piece.joints if j.kind == "slotted screws")


def test_nothing_changes_where_nobody_says_where_it_pulls_up():
    d = job(wheelchair=True)
    assert d.made[0].sizes["right_end"] == 0 and "A-A3" in d.piece.by_ref
    assert told(d)["knee clearance"].demand == wheelchair_mm("knee height") == 685
    assert {"wheelchair_at": "", "wheelchair_knees_mm": None}.items() <= Brief.model_validate({"wheelchair": True}).model_dump().items()


def test_what_the_client_says_is_named_as_theirs():
    assert told(job(**CHAIR))["knee clearance"].source == "said by the client"
    assert "ADA" in told(job(**{**CHAIR, "wheelchair_knees_mm": None}))["knee clearance"].source


def test_an_end_left_with_its_apron_is_told_and_mended_by_the_flat_rail():
    found = told(job({"right_end": 0.0, "overhang_end_mm": 40.0, "height_mm": 740.0}, **CHAIR))["knee clearance"]
    assert not found.stands and "flat rail" in found.mend


def test_over_trestles_the_open_overhang_counts_and_not_the_trestle():
    d = job({"base": 1, "length_mm": 2200.0, "overhang_end_mm": 380.0}, **CHAIR)
    found, top = told(d), d.piece.member("A-W1").piece_box
    assert found["knee clearance"].stands and found["knee clearance"].capacity == pytest.approx(top.lo[2])
    assert found["depth for knees and arms"].verdict is Verdict.LOOK_AGAIN and found["depth for knees and arms"].capacity == 380
    # 2010 ADA Standards 306.2: 430 mm for toes.
    assert found["depth for toes"].verdict is Verdict.LOOK_AGAIN and found["depth for toes"].demand == 430
    assert d.piece.overall_mm[2] < job({"base": 1, "length_mm": 2200.0}, wheelchair=True, wheelchair_knees_mm=700.0).piece.overall_mm[2] - 50


def test_at_one_side_of_trestles_it_stays_low_and_the_stretcher_is_what_comes_next():
    d = job({"base": 1}, **{**CHAIR, "wheelchair_at": "side"})
    found = told(d)
    assert found["knee clearance"].stands and "stretcher" in found["depth for knees and arms"].says
    assert d.piece.overall_mm[2] < 760


# ---------------------------------------------------------------- narrow drawers


def test_one_drawer_in_a_long_front_is_proposed_narrow_and_runs_true():
    d = job(asked=KITCHEN)
    assert 450 <= d.made[0].sizes["drawer_mm"] <= 500
    assert next(f for f in d.size_findings if f.what == "drawer pulled askew").stands
    assert job(asked="A table for six, one wide drawer").made[0].sizes["drawer_mm"] == 0
    assert job({"drawers": 2.0}, people=4).made[0].sizes["drawer_mm"] == 0


@pytest.mark.parametrize("count", [1, 2])
def test_beside_narrow_drawers_the_front_is_closed_by_apron(count):
    piece = make(NAME, Brief(), timber="oak", swell_fraction=0.02, drawers=count, drawer_mm=400)
    front = sorted((m.piece_box for m in piece.members if m.role in ("front apron", "upright", "drawer face")), key=lambda b: b.lo[0])
    left, right = piece.member("A-L1").piece_box.hi[0], piece.member("A-L2").piece_box.lo[0]
    ends = [left, *(x for b in front for x in (b.lo[0], b.hi[0])), right]
    assert all(0 <= b - a < 3 for a, b in zip(ends[::2], ends[1::2])) and len([m for m in piece.members if m.role == "front apron"]) == 2
    assert [b.lo[1] for b in front] == pytest.approx([piece.member("A-N1").piece_box.lo[1]] * len(front))


def test_a_narrow_drawer_touches_nothing_on_its_way():
    piece = make(NAME, Brief(), timber="oak", swell_fraction=0.02, drawers=1, drawer_mm=480)
    (leaf,) = leaves(piece)
    for share in (0.0, 0.3, 1.0):
        drawn = replace(piece, members=tuple(
            m if m.ref not in leaf.refs else replace(m, placement=replace(m.placement, origin=tuple(map(float, leaf.moved(m.placement.origin, share)))))
            for m in piece.members))
        assert invariants.overlaps(drawn) == []


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"drawers": 1, "drawer_mm": 1400.0}, "drawer_mm", "or less, or 0"), ({"drawers": 1, "drawer_mm": 0.0, "right_end": 1}, "drawer_mm", "Give them a width"),
    ({"right_end": 1, "outline": 1}, "right_end", "no end to open"), ({"corner_mm": 150.0, "top": 1}, "corner_mm", "mm or less"),
    ({"corner_mm": 100.0, "top": 2, "end_width_mm": 80.0}, "corner_mm", "80 mm or less"),
])
def test_what_cannot_be_is_refused_beside_its_field(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make(NAME, Brief(people=6), **chosen)
    assert refused.value.field == field


# ---------------------------------------------------------------- corners


# By hand: each rounded corner of radius r takes (1 - pi / 4) r^2 off the face of the top.
@pytest.mark.parametrize("chosen", [{"top": 1}, {"top": 2}, {"top": 1, "board_count": 1}])
def test_rounded_corners_are_really_cut(chosen):
    from studio_lib.solids import volume_mm3

    def top(radius):
        piece = make(NAME, Brief(), timber="oak", corner_mm=radius, **chosen)
        bare = type(piece)(piece.name, piece.form, piece.members)
        return piece, sum(volume_mm3(bare.shape(m.ref)) for m in bare.members if m.role in ("board", "breadboard end"))

    piece, rounded = top(40.0)
    _, square = top(0.0)
    thick = piece.member("A-W1").thickness_mm
    assert square - rounded == pytest.approx(4 * (1 - math.pi / 4) * 40**2 * thick, rel=1e-2)
    assert sum(o.count for m in piece.members for s in m.shaping for o in s.operations(m) if o.name == "round a corner") == 4


@pytest.mark.parametrize("top", [1, 2])
def test_the_corners_that_are_cut_are_those_of_the_table(top):
    from studio_lib.solids.mesh import placed

    piece = make(NAME, Brief(), timber="oak", top=top, corner_mm=30.0)
    points = [p[:2] for m in piece.members if m.role in ("board", "breadboard end") for p in placed(piece, m.ref).to_mesh().vert_properties]
    long, wide = piece.overall_mm[0] / 2, piece.overall_mm[1] / 2
    for x, y in ((long, wide), (long, -wide), (-long, wide), (-long, -wide)):
        # From the corner to the nearest of a quarter circle: (sqrt 2 - 1) r.
        assert min(math.dist(p, (x, y)) for p in points) == pytest.approx((math.sqrt(2) - 1) * 30, abs=1.0)


@pytest.mark.parametrize(("brief", "low", "high"), [
    ({"children": True}, 20, 40), ({"child_ages": (3.0,)}, 20, 40), ({"child_ages": (10.0,)}, 0, 0), ({}, 0, 0),
    ({"asked": "nothing sharp at the corners"}, 20, 40), ({"asked": "with rounded corners"}, 20, 40), ({"asked": "a bench in the corner"}, 0, 0),
])
def test_corners_are_proposed_round_where_small_children_come(brief, low, high):
    d = job(**brief)
    assert low <= d.made[0].sizes["corner_mm"] <= high and d.made[0].proposals["corner_mm"].why
