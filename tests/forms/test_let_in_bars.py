"""Whole slats of a framed screen, tied by bars let into their backs: counts, depths and free lengths by hand, beams from books, order, words."""

import math
import random

import pytest

from studio_lib.commission import Brief, Commission, Item, Opening
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.papers import words
from studio_lib.piece.checks import mortises_apart, shoulders_meet
from studio_lib.piece.order import order_of_work
from studio_lib.solids import build, volume_mm3
from studio_lib.structure.one_slat import free_mm
from studio_lib.structure.tied import Beam, Crossing, pushes
from tests.drawings.sheets import collisions, drawn
from tests.forms import invariants

NAME = "framed screen"
FORM = FORMS[NAME]
STANDS = next(s.choices for s in FORM.sizes if s.name == "stands")
ROOM = Opening(kind="ceiling", name="ceiling", height_mm=2500.0)
OWN = {"bars": 1, "middle_bars": 1, "length_mm": 1000.0, "height_mm": 1800.0, "stands": 3, "below_mm": 80.0, "rail_width_mm": 70.0, "stile_width_mm": 60.0}
# By hand: 1800 - 80 - 2 x 70 = 1580 mm between the rails, 1000 - 2 x 60 = 880 mm between the stiles.


def tied(brief=Brief(), **sizes):
    return make(NAME, brief, timber="European oak", **{**OWN, **sizes})


def derived(species="European oak", brief=(), **sizes):
    b = Brief(**{"place": "indoors, heated", "openings": (ROOM,), **dict(brief)})
    c = Commission(ref="2026-001", title="screen", brief=b, items=(Item(name="screen", form=NAME, sizes=sizes),))
    return derive(c.changed("timber.species", species))


def of(piece, role):
    return [m for m in piece.members if m.role == role]


def crossings(piece):
    return [j for j in piece.joints if j.kind == "let in across"]


# ------------------------------------------------------------------ members


@pytest.mark.parametrize(("way", "bars", "run", "between"), [(0, 1, 1580, 880), (0, 3, 1580, 880), (1, 1, 880, 1580), (1, 2, 880, 1580)])
def test_slats_run_on_whole_and_bars_lie_between_the_other_two(way, bars, run, between):
    piece = tied(way=way, middle_bars=bars)
    divided = tied(way=way, middle_bars=bars, bars=0)
    slats, ties = of(piece, "slat"), of(piece, "let-in bar")
    assert {m.length_mm for m in slats} == {run} and {m.length_mm for m in ties} == {between}
    assert len(ties) == bars and not of(piece, "bar") and len(of(divided, "slat")) == (bars + 1) * len(slats)
    assert len(crossings(piece)) == bars * len(slats)
    # Two ends of each slat and each bar; where bars divide the slats, two ends of every part.
    assert len(piece.joints) == 2 * len(slats) + 2 * bars + bars * len(slats) + 4 < len(divided.joints) + 2 * bars
    assert {m.name for m in ties} == {f"let-in bar {k + 1}" for k in range(bars)}


def test_bars_stand_at_equal_clear_heights_and_flush_with_the_backs():
    piece = tied(middle_bars=2, bar_width_mm=40.0, bar_thickness_mm=10.0, slat_thickness_mm=20.0)
    lower, upper = sorted((m.piece_box for m in of(piece, "let-in bar")), key=lambda b: b.lo[2])
    open_mm = (1580 - 2 * 40) / 3
    assert (lower.lo[2], upper.lo[2]) == (pytest.approx(150 + open_mm), pytest.approx(150 + 2 * open_mm + 40))
    back = max(m.piece_box.hi[1] for m in of(piece, "slat"))
    assert lower.hi[1] == upper.hi[1] == pytest.approx(back) and lower.size[1] == pytest.approx(10)
    assert FORM.holes({**derived(**OWN | {"middle_bars": 2, "bar_width_mm": 40.0}).made[0].sizes})[0][2] == pytest.approx(open_mm)


@pytest.mark.parametrize(("slat", "bar", "from_slat", "from_bar"), [
    (18.0, 12.0, 9.0, 3.0),  # three quarters of the bar, which is just half the slat
    (24.0, 12.0, 9.0, 3.0),
    (16.0, 14.0, 8.0, 6.0),  # never more than half of the slat
    (20.0, 20.0, 10.0, 10.0),  # one thickness: an even halving
])
def test_a_slat_gives_up_half_at_the_most_and_the_bar_the_rest(slat, bar, from_slat, from_bar):
    piece = tied(slat_thickness_mm=slat, bar_thickness_mm=bar)
    joint = crossings(piece)[0]
    assert joint.depths_mm(piece) == (pytest.approx(from_bar, abs=0.01), pytest.approx(from_slat, abs=0.01))
    assert all(f.stands for f in joint.findings(piece))
    said = joint.setting_out(piece)
    assert said["slat: notch"].startswith(f"35.0 wide x {from_slat:.1f} deep") and said["bar: notch"].startswith(f"40.0 wide x {from_bar:.1f} deep")


def test_what_is_cut_is_the_ground_they_share_once():
    """Slat and bar fill the crossing together: what both lose is the bar's width x the slat's x the bar's thickness."""
    piece = tied(arris_mm=0.0, slat_ends=0)
    joint = crossings(piece)[3]
    both = sum(volume_mm3(piece.shape(r)) for r in (joint.first, joint.second))
    bar, slat = piece.member(joint.first), piece.member(joint.second)
    tenons = sum(v for j in piece.joints if j.first == slat.ref for b in j.adds(piece)[slat.ref] for v in [math.prod(b.size)])
    ends = 2 * 12 * 35 * 12
    n = len(of(piece, "slat"))
    whole = bar.length_mm * 35 * 12 + ends + slat.length_mm * 40 * slat.thickness_mm + tenons
    assert whole - both == pytest.approx(40 * 35 * 9 + n * 40 * 35 * 3, rel=1e-4)


@pytest.mark.parametrize("way", [0, 1])
@pytest.mark.parametrize("stands", range(len(STANDS)))
def test_it_goes_together_however_it_stands(stands, way):
    d = derived(stands=float(stands), way=float(way), bars=1.0, middle_bars=2.0, length_mm=1500.0, **({"fold_deg": 70.0} if stands == 2 else {}))
    piece = d.piece
    assert order_of_work(piece).locked == () and shoulders_meet(piece) == []
    assert [f for f in mortises_apart(piece) if f.verdict is Verdict.FAILS] == []
    assert (STANDS[stands].startswith("clamped") or invariants.loose(piece) == []) and invariants.joints_without_sides(piece) == [] and not piece.uncut
    bad = {f.what for f in d.findings if f.verdict is Verdict.FAILS and ("bar" in f.subject or "slat" in f.subject or "slat" in f.what)}
    assert bad == set()


@pytest.mark.parametrize("ends", [0, 1, 2])
def test_any_way_of_the_slats_ends_goes_with_it_and_the_bar_comes_off_the_back(ends):
    piece = tied(slat_ends=ends)
    assert all(j.entry(piece) == pytest.approx((0.0, -1.0, 0.0)) for j in crossings(piece))
    assert order_of_work(piece).locked == () and invariants.all_of(piece) == []
    first = order_of_work(piece).stages[0]
    assert first.way in ((0.0, 1.0, 0.0), (0.0, -1.0, 0.0)) and of(piece, "let-in bar")[0].ref in first.refs, "slats and bars come together first"


@pytest.mark.parametrize("fold", [60, 90, 120, 150])
def test_in_folding_leaves_every_bar_lies_at_the_back_of_its_own_leaf(fold):
    piece = tied(stands=2, leaves=3, fold_deg=fold, length_mm=1500.0)
    for joint in crossings(piece):
        slat, bar = piece.member(joint.second), piece.member(joint.first)
        # Seen from the slat, whose thickness runs from front to back: the bar ends where the slat does.
        z = [slat.placement.to_member(bar.placement.to_piece((0, 0, t)))[2] for t in (0, bar.thickness_mm)]
        front = slat.placement.to_member(bar.placement.to_piece((0, 0, bar.thickness_mm)))
        assert max(z) == pytest.approx(slat.thickness_mm) or min(z) == pytest.approx(0), front
        out = joint.entry(piece)
        assert sum(a * b for a, b in zip(out, slat.placement.through)) == pytest.approx(-1 if max(z) > slat.thickness_mm / 2 else 1)
    assert order_of_work(piece).locked == () and invariants.all_of(piece) == []


@pytest.mark.parametrize("sizes", [{}, {"way": 1}, {"stands": 2, "leaves": 2, "fold_deg": 70}, {"arris_mm": 3.0, "middle_bars": 2, "slat_ends": 1}])
def test_both_kernels_cut_the_same(sizes):
    piece = tied(**{"length_mm": 700.0, "height_mm": 1000.0, **sizes})
    for ref, solid in build(piece).items():
        assert volume_mm3(piece.shape(ref)) == pytest.approx(solid.val().Volume(), rel=1e-6), ref


def test_any_sizes_make_it_or_are_refused_in_words():
    dice, refused = random.Random(7), 0
    for _ in range(60):
        sizes = {"bars": 1, "middle_bars": dice.randint(0, 4), "way": dice.randint(0, 1), "stands": dice.choice([0, 1, 2, 3, 8, 9]),
                 "length_mm": dice.uniform(500, 2400), "height_mm": dice.uniform(700, 2600), "slat_width_mm": dice.randint(12, 150),
                 "slat_thickness_mm": dice.randint(8, 32), "bar_width_mm": dice.randint(15, 60), "bar_thickness_mm": dice.randint(6, 30),
                 "frame_thickness_mm": dice.randint(28, 60), "gap_mm": dice.randint(10, 90), "slat_ends": dice.randint(0, 2), "arris_mm": dice.randint(0, 5),
                 "fold_deg": dice.randint(60, 180)}
        try:
            piece = make(NAME, Brief(), **sizes)
        except SizeRefused as no:
            refused += 1
            assert no.field in {s.name for s in FORM.sizes} and any(c.isdigit() for c in str(no))
            continue
        assert order_of_work(piece).locked == () and not piece.uncut and invariants.hollow(piece) == []
    assert refused <= 36


@pytest.mark.parametrize(("sizes", "field", "says"), [
    ({"bar_thickness_mm": 20.0, "slat_thickness_mm": 16.0}, "bar_thickness_mm", "give 16 mm or less"),
    ({"middle_bars": 4, "bar_width_mm": 60.0, "height_mm": 700.0}, "middle_bars", "60 mm are needed"),
])
def test_what_cannot_be_let_in_is_refused_with_the_way_out(sizes, field, says):
    with pytest.raises(SizeRefused, match=says) as refused:
        tied(**sizes)
    assert refused.value.field == field


def test_documents_without_the_choice_stay_as_they_were():
    old = derived(length_mm=1200.0, middle_bars=1.0)
    assert old.made[0].sizes["bars"] == 0 and of(old.piece, "bar") and not of(old.piece, "let-in bar")
    assert {"bar_width_mm", "bar_thickness_mm"} <= set(FORM.unused(old.made[0].sizes))
    assert not {"bars", "bar_width_mm", "bar_thickness_mm"} & set(FORM.unused(derived(**OWN).made[0].sizes))


# ------------------------------------------------------------------ what holds a slat


@pytest.mark.parametrize(("bars", "free"), [(0, 1580), (1, 790), (2, (1580 - 70) / 3 + 35), (3, (1580 - 105) / 4 + 35)])
def test_a_slat_runs_free_between_the_middles_of_its_bars(bars, free):
    piece = tied(middle_bars=bars, bar_width_mm=35.0)
    assert [free_mm(piece, m) for m in of(piece, "slat")] == pytest.approx([free] * len(of(piece, "slat")))
    divided = tied(middle_bars=bars, bars=0)
    assert [free_mm(divided, m) for m in of(divided, "slat")] == pytest.approx([(1580 - 70 * bars) / (bars + 1)] * len(of(divided, "slat")))


def test_a_bar_taken_out_of_a_slat_holds_it_no_more():
    from dataclasses import replace

    piece = tied()
    slat = of(piece, "slat")[0]
    without = replace(piece, joints=tuple(j for j in piece.joints if not (j.kind == "let in across" and j.second == slat.ref)))
    assert free_mm(without, slat) == 1580 and free_mm(without, of(piece, "slat")[1]) == 790


def test_give_and_bending_of_one_slat_are_reckoned_on_its_free_length():
    """By hand: 150 N x 790 / 4 / (40 x 18^2 / 6) is 13.7 MPa."""
    d = derived(**OWN | {"slat_width_mm": 40.0, "slat_thickness_mm": 18.0, "arris_mm": 0.0})
    bent = next(f for f in d.findings if f.what == "bending of one slat")
    give = next(f for f in d.findings if f.what == "give of one slat")
    assert bent.demand == pytest.approx(13.7, abs=0.1)
    assert give.capacity == pytest.approx(790 / 75) and "on 790 mm" in give.says


# Two equal spans over three supports, one loaded in its middle: 3 P L / 32 over the middle support, 13 P L / 64 under the load (beam tables).
def test_a_bar_that_does_not_give_makes_a_beam_on_three_supports():
    slat, stiff = Beam(1600.0, 2e8), Beam(1000.0, 1e16)
    crossed = [Crossing(0, 0, 800.0, 500.0)]
    beside = next(p for p in pushes([slat], [stiff], crossed, 150.0) if p.at_mm == 400.0)
    assert beside.at_crossings[0, 0] == pytest.approx(3 * 150 * 800 / 32, rel=1e-4) and beside.bends_there == pytest.approx(13 * 150 * 800 / 64, rel=1e-4)
    at_it = next(p for p in pushes([slat], [stiff], crossed, 150.0) if p.at_mm == 800.0)
    assert at_it.gives_mm == pytest.approx(0, abs=1e-4)


# A long beam on closely set springs, k N/mm a mm, pushed in its middle: gives P b / 2k, bent by P / 4b, b^4 = k / 4EI (Hetenyi 1946, infinite beam).
def test_a_long_bar_over_many_slats_is_a_beam_on_an_elastic_bed():
    slats, pitch, long, ei, bar_ei = 81, 40.0, 2000.0, 2e8, 6e7
    spring = 48 * ei / long**3 / pitch
    b = (spring / 4 / bar_ei) ** 0.25
    assert b * slats * pitch / 2 > math.pi, "long enough to be taken as endless"
    bar = Beam((slats + 1) * pitch, bar_ei)
    crossed = [Crossing(k, 0, long / 2, (k + 1) * pitch) for k in range(slats)]
    middle = next(p for p in pushes([Beam(long, ei)] * slats, [bar], crossed, 150.0) if p.slat == 40 and p.at_mm == long / 2)
    assert middle.gives_mm == pytest.approx(150 * b / 2 / spring, rel=0.02)
    assert middle.at_crossings[40, 1] == pytest.approx(150 / 4 / b, rel=0.04)


def test_pushes_are_borne_in_the_end_by_what_slats_and_bars_rest_on():
    """Work out and back (Maxwell): pushing slat 1 moves slat 4 as far as pushing slat 4 moves slat 1; here by the give of each alike."""
    slats, bars = [Beam(1600.0, 2e8)] * 5, [Beam(600.0, 6e7)] * 2
    crossed = [Crossing(s, b, x, 100.0 * (s + 1)) for s in range(5) for b, x in ((0, 500.0), (1, 1100.0))]
    found = {(p.slat, p.at_mm): p.gives_mm for p in pushes(slats, bars, crossed, 150.0)}
    assert found[0, 500.0] == pytest.approx(found[4, 1100.0]) and found[1, 800.0] == pytest.approx(found[3, 800.0])
    alone = 150 * 1600**3 / 48 / 2e8
    assert 0 < found[0, 800.0] < found[2, 800.0] < alone


@pytest.mark.parametrize(("bar", "slat", "words", "size"), [((20.0, 8.0), 18.0, "mm wide", "bar_width_mm"), ((30.0, 7.0), 24.0, "mm thick", "bar_thickness_mm")])
def test_a_thin_bar_does_not_do_and_what_is_named_mends_it(bar, slat, words, size):
    own = OWN | {"length_mm": 1500.0, "slat_thickness_mm": slat, "bar_width_mm": bar[0], "bar_thickness_mm": bar[1]}
    told = next(f for f in derived(**own).findings if f.what == "bending of a let-in bar")
    assert told.verdict is Verdict.FAILS
    named = float(told.mend.split(f" {words}")[0].split()[-1])
    mended = next(f for f in derived(**own | {size: named}).findings if f.what == "bending of a let-in bar")
    assert mended.verdict is not Verdict.FAILS, mended.says
    assert not any("tied" in f.what or "let-in" in f.what for f in derived(**OWN | {"bars": 0}).findings)


@pytest.mark.parametrize("species", ["European oak", "Norway spruce (whitewood)"])
@pytest.mark.parametrize("use", ["household", "public"])
@pytest.mark.parametrize(("way", "stands"), [(0, 2), (0, 3), (1, 3), (0, 9), (0, 11)])
def test_what_is_proposed_holds(species, use, way, stands):
    d = derived(species, {"use": use}, stands=float(stands), way=float(way), bars=1.0, length_mm=1500.0)
    bad = {f"{f.subject}: {f.what}, {f.says}" for f in d.findings if f.verdict is Verdict.FAILS and f.stage in ("sizes", "joints") and f.what != "leave of others" and "pulled over" not in f.what}
    assert bad == set()


# ------------------------------------------------------------------ words, papers, drawings


@pytest.mark.parametrize("asked", [
    "A room divider with slats from floor to ceiling.", "Floor-to-ceiling slats between hall and stairs.", "Upright slats running from the floor to the ceiling.",
    "A screen of whole slats.", "a screen, its slats in one piece from top to bottom", "The slats are not to be cut by any bar.",
    "slats, uncut, up to the beam", "nothing may cut the slats", "Slats, floor to ceiling, for the hall.", "No bars dividing the slats please.", "Slats that go up to the ceiling.",
])
def test_whole_slats_are_proposed_where_the_words_ask_for_them(asked):
    d = derived(brief={"asked": asked})
    said = d.made[0].proposals["bars"]
    assert d.made[0].sizes["bars"] == 1 and said.source == "brief" and "client's words" in said.why
    assert d.made[0].sizes["middle_bars"] >= 1 and of(d.piece, "let-in bar")


@pytest.mark.parametrize("asked", [
    "", "A slatted screen for the hall.", "A screen up to the ceiling, one bar in the middle dividing the slats.", "A floor to ceiling screen with glass.",
    "The whole screen has slats.", "slats need not be whole", "A bookcase from floor to ceiling and a screen of slats.",
])
def test_bars_divide_the_slats_where_nobody_asks(asked):
    assert derived(brief={"asked": asked}).made[0].sizes["bars"] == 0


def test_floor_to_ceiling_says_nothing_of_level_slats_and_whole_ones_do():
    assert derived(brief={"asked": "slats from floor to ceiling"}, way=1.0).made[0].sizes["bars"] == 0
    assert derived(brief={"asked": "whole slats"}, way=1.0).made[0].sizes["bars"] == 1


def test_list_hours_client_and_drawings_know_it():
    d = derived(**OWN | {"middle_bars": 2})
    row = next(r for r in d.cutting_list if r.role == "let-in bar")
    assert (row.count, row.shoulder_length_mm, row.overall_length_mm, row.width_mm, row.thickness_mm) == (2, 880, 904, 35, 12)
    slats = len(of(d.piece, "slat"))
    assert sum(o.count for j in crossings(d.piece) for o in j.operations(d.piece)) == 2 * slats
    assert "bars let into the backs of its slats" in " ".join(words.paragraphs(d))
    whole = drawn(d.piece)
    assert all(collisions(sheet) == [] for sheet, _ in whole.sheets)


def test_no_other_joint_is_offered_that_could_not_be_put_together():
    """A plain halving lets the first of two drop over the second: in a leaf that is turned far, that would be a slot inside the slat."""
    from studio_lib.piece.kinds import can_become, joined

    piece = tied(stands=2, leaves=2, fold_deg=60, length_mm=1400.0)
    assert can_become(piece, crossings(piece)[0].family) == {}
    joint = crossings(piece)[0]
    bar, slat = piece.member(joint.first), piece.member(joint.second)
    refused = 0
    for a, b in ((bar, slat), (slat, bar)):
        try:
            made = joined("cross halving", a, b)
        except ValueError as no:
            refused += "open to no face" in str(no)
        else:
            assert set(made.cuts(piece)) == {bar.ref, slat.ref}
    assert refused == 1
