"""Drawers in a table's frame: they run and shut even, wet and dry; what cannot be is refused in words."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.piece.checks import mortises_apart, piece_findings, shoulders_meet
from studio_lib.piece.leaves import leaves
from studio_lib.piece.order import order_of_work
from studio_lib.solids.mesh import overlap_mm3
from tests.costing.test_operations import counts
from tests.forms import invariants
from tests.forms.any_sizes import briefs, refused_or_sound, sizes_of
from tests.piece.corners import Swings

NAME = "table"
NEAR = {
    "drawers": st.integers(1, 3), "apron_width_mm": st.floats(90, 170).map(lambda v: round(v, 1)), "drawer_rail_mm": st.integers(15, 30).map(float),
    "leg_mm": st.integers(40, 90).map(float), "apron_thickness_mm": st.integers(18, 40).map(float), "apron_setback_mm": st.integers(0, 15).map(float),
    "length_mm": st.integers(500, 2400).map(float), "width_mm": st.integers(400, 1000).map(float), "pulls": st.integers(0, 1),
    "drawer_mm": st.sampled_from((0.0, 300.0, 480.0, 600.0)), "right_end": st.integers(0, 1), "end_rail_mm": st.integers(18, 40).map(float),
    "overhang_end_mm": st.integers(0, 200).map(float), "overhang_side_mm": st.integers(0, 80).map(float), "top": st.integers(1, 2), "held": st.integers(0, 1),
}


def job(sizes=None, table="", **brief):
    b = Brief(place="indoors, heated", **brief)
    c = Commission(ref="2026-001", title="a desk", brief=b, items=(Item(name="desk", form=NAME, table=table, sizes=sizes or {}),))
    return derive(c.changed("timber.species", "European oak"))


def members(piece, role):
    return [m for m in piece.members if m.role == role]


@settings(max_examples=60, deadline=None)
@given(st.fixed_dictionaries({"drawers": NEAR["drawers"]}, optional={n: v for n, v in NEAR.items() if n != "drawers"}), briefs())
def test_usual_tables_with_drawers_are_sound_or_refused_in_words(sizes, brief):
    refused_or_sound(NAME, brief, sizes)


@settings(max_examples=40, deadline=None)
@given(sizes_of(NAME), st.integers(1, 3), briefs())
def test_any_table_with_drawers_is_sound_or_refused_in_words(sizes, count, brief):
    refused_or_sound(NAME, brief, {**sizes, "drawers": count})


@pytest.mark.parametrize("count", [1, 2, 3])
def test_both_kernels_agree(count):
    piece = make(NAME, Brief(people=1), timber="oak", swell_fraction=0.02, drawers=count)
    assert invariants.all_of(piece, exact=True) == [] and shoulders_meet(piece) == [] and mortises_apart(piece) == []
    assert [f for f in piece_findings(piece) if not f.stands] == []
    for j in piece.joints:
        assert [f.says for f in j.findings(piece) if not f.stands] == [], j.family


@pytest.mark.parametrize("count", [1, 2, 3])
@pytest.mark.parametrize("swell", [0.0, 0.03])
def test_a_drawer_touches_nothing_on_its_whole_way(count, swell):
    piece = make(NAME, Brief(people=2), timber="oak", swell_fraction=swell, drawers=count, length_mm=1500, width_mm=760)
    found = leaves(piece)
    assert [leaf.kind for leaf in found] == ["drawer"] * count and all(leaf.way == (0.0, -1.0, 0.0) for leaf in found)
    for share in (0.0, 0.05, 0.3, 0.7, 1.0):
        leaf_of = {r: leaf for leaf in found for r in leaf.refs}
        drawn = replace(piece, members=tuple(
            m if m.ref not in leaf_of else replace(m, placement=replace(m.placement, origin=tuple(map(float, leaf_of[m.ref].moved(m.placement.origin, share)))))
            for m in piece.members
        ))
        boxes = {m.ref: m.piece_box for m in drawn.members}
        inside = set(leaf_of)
        for r in inside:
            for other in boxes:
                if other not in inside and all(boxes[r].lo[k] < boxes[other].hi[k] - 1e-6 and boxes[other].lo[k] < boxes[r].hi[k] - 1e-6 for k in range(3)):
                    assert overlap_mm3(drawn, r, other) < invariants.SLIVER_MM3, (share, drawn.member(r).name, drawn.member(other).name)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_faces_are_set_in_even_with_the_rails_and_close_between_them(count):
    piece = make(NAME, Brief(people=1), swell_fraction=0.02, drawers=count)
    over, under = (piece.member(r).piece_box for r in ("A-N1", "A-N2"))
    faces = sorted((m.piece_box for m in members(piece, "drawer face")), key=lambda b: b.lo[0])
    for b in faces:
        assert b.lo[1] == pytest.approx(over.lo[1]) == pytest.approx(under.lo[1])
        assert under.hi[2] < b.lo[2] < b.hi[2] < over.lo[2]
    walls = sorted([*(m.piece_box for m in members(piece, "upright")), piece.member("A-L1").piece_box, piece.member("A-L2").piece_box], key=lambda b: b.lo[0])
    for b, left, right in zip(faces, walls, walls[1:]):
        assert b.lo[0] - left.hi[0] == pytest.approx(right.lo[0] - b.hi[0]) and 0.5 < b.lo[0] - left.hi[0] < 3
    # Faces, what is free beside them and the uprights make up the room between the legs.
    assert sum(b.size[0] for b in faces) + 2 * count * (faces[0].lo[0] - walls[0].hi[0]) + 24 * (count - 1) == pytest.approx(walls[-1].lo[0] - walls[0].hi[0])


def test_a_drawer_runs_on_its_runners_and_is_stopped_behind():
    piece = make(NAME, Brief(people=1), drawers=2)
    for n in (1, 2):
        for code in (3, 4):
            side, under, stop = (piece.member(r).piece_box for r in (f"A-D{n}{code}", f"A-G{n + code - 3}", f"A-P{2 * n + code - 4}"))
            assert side.lo[2] == pytest.approx(under.hi[2]) and under.lo[0] - 1e-6 <= side.lo[0] < side.hi[0] <= under.hi[0] + 1e-6
            assert stop.lo[1] == pytest.approx(side.hi[1]) and stop.hi[1] == pytest.approx(piece.member("A-A2").piece_box.lo[1])


# Wood Handbook movement by the season of the place: a face 2 % wider when wet still goes in, and 2 % narrower does not gape.
def test_it_runs_when_wet_and_does_not_gape_when_dry():
    from studio_lib.forms.drawers import set_in_moves

    piece = make(NAME, Brief(people=1), swell_fraction=0.02, drawers=1)
    calm = set_in_moves(piece, Swings(0.02))
    assert {f.refs[0] for f in calm} >= {"A-D11", "A-D13", "A-D14"} and all(f.stands for f in calm)
    wild = set_in_moves(piece, Swings(0.08))
    assert any(not f.stands for f in wild)
    assert set_in_moves(make("cabinet", Brief(), drawer_rows=3, drawers_fill=1, doors=0, shelf_count=0), Swings(0.02)) == []
    told = [f for f in job({"drawers": 1}, people=1).findings if f.what.startswith("gap when") and "drawer" in f.subject]
    assert told and all(f.stands for f in told)


@pytest.mark.parametrize(("chosen", "field", "words"), [
    ({"base": 1}, "drawers", "trestles"), ({"top": 0}, "drawers", "slats"), ({"outline": 1}, "drawers", "round or oval"),
    ({"bearer_count": 2}, "bearer_count", "give 0"), ({"apron_width_mm": 70}, "apron_width_mm", "or no drawers"),
    ({"drawers": 3, "length_mm": 700}, "drawers", "Give 2"), ({"width_mm": 300, "overhang_side_mm": 40}, "drawers", "0 drawers"),
])
def test_what_cannot_be_is_refused_beside_its_field(chosen, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make(NAME, Brief(people=1), **{"drawers": 1, **chosen})
    assert refused.value.field == field


@pytest.mark.parametrize(("asked", "count"), [
    ("A writing table, one wide shallow drawer under the top", 1), ("a desk with a drawer for pens", 1), ("Table with two drawers", 2),
    ("a hall table, 3 small drawers", 3), ("desk with drawers", 2), ("a desk without a drawer", 0), ("A table, no drawers please", 0),
    ("a plain table", 0), ("one table, two drawers", 2), ("a desk with six drawers", 3), ("it stands by the chest of drawers", 0),
])
def test_drawers_that_the_client_asks_for_are_proposed(asked, count):
    d = job(people=1, asked=asked)
    assert d.made[0].sizes["drawers"] == count and len(members(d.piece, "drawer face")) == count
    assert not count or "brief" in d.made[0].proposals["drawers"].source


def test_a_drawer_too_wide_for_its_depth_is_told_of():
    found = {f.what: f for f in job({"drawers": 1, "length_mm": 1524.0, "drawer_mm": 0.0}, people=1).size_findings}
    assert found["drawer pulled askew"].verdict is Verdict.LOOK_AGAIN and "two drawers" in found["drawer pulled askew"].mend
    found = {f.what: f for f in job({"drawers": 2, "length_mm": 1524.0}, people=1).size_findings}
    assert found["drawer pulled askew"].stands


@pytest.mark.parametrize("sizes", [{"drawers": 1, "length_mm": 1200.0}, {"drawers": 2, "length_mm": 1524.0}, {"drawers": 3, "length_mm": 1800.0}])
@pytest.mark.parametrize("table", ["", "written at"])
@pytest.mark.parametrize("wood", ["European oak", "Douglas-fir (coast)"])
def test_what_is_proposed_carries_its_load_and_lets_the_timber_move(sizes, table, wood):
    d = derive(job(sizes, table, people=1).commission.changed("timber.species", wood))
    found = [f for f in (*d.size_findings, *d.joint_findings) if f.verdict is Verdict.FAILS]
    assert found == [], [f"{f.subject}, {f.what}: {f.says}" for f in found]


def test_everything_after_the_model_knows_the_drawers():
    d = job({"drawers": 2, "length_mm": 1524.0}, "written at", people=1)
    assert order_of_work(d.piece).locked == ()
    counted = {role: sum(row.count for row in d.cutting_list if row.role == role) for role in ("drawer rail", "drawer runner", "drawer kicker", "drawer bottom", "upright", "apron")}
    assert counted == {"drawer rail": 2, "drawer runner": 3, "drawer kicker": 4, "drawer bottom": 2, "upright": 1, "apron": 3}
    assert {row.role for row in d.cutting_list if row.fitted_by_kind} >= {"drawer face", "drawer front", "drawer stop"}
    assert not any(row.fitted_by_kind for row in d.cutting_list if row.role in ("drawer rail", "drawer runner", "drawer kicker", "drawer guide"))
    assert counts(d.piece)["fit a drawer"][0] == 2


def test_a_table_without_drawers_is_as_it_was():
    sizes = {s.name for s in FORMS[NAME].sizes}
    assert {"drawers", "drawer_rail_mm", "pulls"} <= sizes
    piece = make(NAME, Brief(people=6), timber="oak")
    assert [m.ref for m in piece.members][:8] == ["A-L1", "A-L2", "A-L3", "A-L4", "A-A1", "A-A2", "A-A3", "A-A4"]
    of_drawers = {"drawer_rail_mm", "pulls"}
    assert of_drawers <= set(FORMS[NAME].unused({"drawers": 0})) and not of_drawers & set(FORMS[NAME].unused({"drawers": 1}))
