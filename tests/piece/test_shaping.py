"""Shaping: what each cut takes off, by closed forms; both kernels alike; refusals in words."""

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from studio_lib.piece import Member, Piece, Placement
from studio_lib.piece.shaping import (
    ARRISES, SHAPINGS, Arch, Chamfer, CurvedEdge, CutRound, EndCut, HandHole, HoleRow, Notch, RoundEnd, RoundOver,
    ShapingRefused, Taper, bevel, checked, shaping,
)
from studio_lib.solids import volume_mm3
from studio_lib.solids.exact import solid

HERE = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
BLOCK = 600 * 80 * 30


def member(*shapings, arris=0.0, ref="A-R1"):
    return Member(ref, "rail", "rail", "oak", 600.0, 80.0, 30.0, HERE, arris, shaping=shapings)


def taken(*shapings, **more) -> float:
    return BLOCK - volume_mm3(shape(*shapings, **more))


def shape(*shapings, **more):
    return Piece("p", "f", (member(*shapings, **more),)).shape("A-R1")


@pytest.mark.parametrize(
    ("shapings", "volume"),
    [
        ((Chamfer("back lower", 12, 8),), 12 * 8 / 2 * 600),
        ((RoundOver("face upper", 10),), (1 - math.pi / 4) * 100 * 600),
        ((Taper("face", "start", 300, 10),), 300 * 10 / 2 * 80),
        ((Taper("upper", "end", 200, 20),), 400 * 20 / 2 * 30),
        ((EndCut("start", 10, 0),), math.tan(math.radians(10)) * 80 * 80 / 2 * 30),
        ((EndCut("end", -20, 0),), math.tan(math.radians(20)) * 80 * 80 / 2 * 30),
        ((HoleRow("face", 50, 40, 5, 40, 8),), 5 * math.pi * 16 * 30),
        ((HoleRow("upper", 50, 40, 3, 15, 6, 25),), 3 * math.pi * 9 * 25),
        ((HandHole(300, 40, 110, 30),), ((110 - 30) * 30 + math.pi * 15**2) * 30),
        ((RoundEnd("end", 40),), 2 * (1 - math.pi / 4) * 40**2 * 30),
        ((RoundEnd("start", 20, "lower"),), (1 - math.pi / 4) * 20**2 * 30),
        ((Notch(0, 20, 0, 30, 0, 30),), 20 * 30 * 30),
    ],
)
def test_what_a_shaping_takes_off_by_its_closed_form(shapings, volume):
    assert taken(*shapings) == pytest.approx(volume, rel=1e-6)


def test_an_arch_is_a_circular_segment():
    arch = Arch("lower", 15, 40, 40)
    chord, rise = 520.0, 15.0
    radius = chord**2 / (8 * rise) + rise / 2
    theta = 2 * math.asin(chord / 2 / radius)
    assert arch.radius_mm(member()) == pytest.approx(radius)
    assert taken(arch) == pytest.approx(radius**2 * (theta - math.sin(theta)) / 2 * 30, rel=1e-6)


def test_a_bevel_leaves_its_lip():
    # 30 degrees from the back down to a lip of 12 on 30 mm: 18 mm deep, 18 / tan 30 wide.
    cut = bevel(member(), "upper", 30, 12)
    assert cut.through_mm == 18 and cut.along_mm == pytest.approx(18 / math.tan(math.radians(30)))
    box = solid(shape(cut)).faces(">Y").BoundingBox()
    assert box.zmax - box.zmin == pytest.approx(12)


# Saw settings for a compound end: mitre m and tilt t from the angles a and b seen on face and
# edge, tan m = tan a, tan t = tan b cos m: the normal of the cut in the saw's own axes.
@given(st.floats(-40, 40), st.floats(-40, 40))
def test_mitre_and_tilt_cut_the_same_plane(a, b):
    mitre, tilt = EndCut("start", a, b).saw_deg
    m, t = math.radians(mitre), math.radians(tilt)
    normal = (math.cos(t) * math.cos(m), -math.cos(t) * math.sin(m), -math.sin(t))
    wanted = (1.0, -math.tan(math.radians(a)), -math.tan(math.radians(b)))
    length = math.sqrt(sum(c * c for c in wanted))
    assert normal == pytest.approx([c / length for c in wanted], abs=1e-9)


ANY = st.one_of(
    st.builds(Chamfer, st.sampled_from(ARRISES), st.floats(1, 30), st.floats(1, 14)),
    st.builds(RoundOver, st.sampled_from(ARRISES), st.floats(1, 14)),
    st.builds(Taper, st.sampled_from(("face", "back", "upper", "lower")), st.sampled_from(("start", "end")),
              st.floats(50, 500), st.floats(1, 13)),
    st.builds(EndCut, st.sampled_from(("start", "end")), st.floats(-45, 45), st.floats(-45, 45)),
    st.builds(Arch, st.sampled_from(("upper", "lower")), st.floats(1, 30), st.floats(0, 100), st.floats(0, 100)),
    st.builds(CurvedEdge, st.sampled_from(("upper", "lower")), st.floats(0, 30), st.floats(0, 30), st.floats(0, 30)),
    st.builds(RoundEnd, st.sampled_from(("start", "end")), st.floats(1, 40), st.sampled_from(("both", "upper", "lower"))),
    st.builds(HoleRow, st.sampled_from(("face", "back")), st.floats(20, 100), st.floats(20, 40), st.integers(1, 8),
              st.floats(15, 60), st.floats(3, 12), st.floats(0, 30)),
    st.builds(HandHole, st.floats(150, 400), st.floats(35, 45), st.floats(60, 120), st.floats(20, 40)),
    st.builds(CutRound, st.floats(200, 400), st.floats(0, 80), st.floats(500, 900), st.floats(500, 900)),
)


@settings(max_examples=150, deadline=None)
@example(RoundOver("face lower", 2.0), CurvedEdge("lower", 2.5, 0.0, 2.5))
@given(ANY, ANY)
def test_two_shapings_come_out_alike_in_both_kernels(one, other):
    made = shape(one, other)
    exact = solid(made)
    # Where one curve grazes another along the whole length, a mesh's chords (0.02 mm off) tell: 0.02 % at most.
    curved = sum(isinstance(s, RoundOver | Arch | CurvedEdge | CutRound | RoundEnd) for s in (one, other))
    assert volume_mm3(made) == pytest.approx(exact.Volume(), rel=2e-5 if curved < 2 else 2e-4)
    assert volume_mm3(made) <= BLOCK


def test_an_arris_is_taken_off_only_where_the_corner_is_left():
    assert taken(arris=2.0) == pytest.approx(4 * 2 * 2 / 2 * 600)
    assert taken(Chamfer("face upper", 10, 10), arris=2.0) == pytest.approx((10 * 10 / 2 + 3 * 2) * 600)


@pytest.mark.parametrize(
    ("kind", "figures", "words"),
    [
        ("taper", {"off_mm": 40.0}, "what the taper takes off is 40 mm; give 0.1 to 27 mm"),
        ("taper", {"side": "top"}, "give one of face, back, upper, lower"),
        ("row of holes", {"diameter_mm": 100.0}, "the hole's diameter is 100 mm; give 1 to 78 mm"),
        ("arched edge", {"rise_mm": 90.0}, "the rise is 90 mm; give 0.5 to 75 mm"),
        ("end cut", {"face_deg": 89.0}, "give -75 to 75"),
        ("notch", {"x0_mm": 30.0, "x1_mm": 20.0}, "the second figure must be the larger"),
        ("taper", {"depth": 3.0}, "A taper has no 'depth'. It has: side"),
        ("fluting", {}, "There is no shaping 'fluting'. On file:"),
    ],
)
def test_a_shape_that_cannot_be_is_refused_in_words(kind, figures, words):
    with pytest.raises(ShapingRefused, match=words):
        checked(member(shaping(kind, {"from_mm": 300.0, **figures} if kind == "taper" else figures)))


@pytest.mark.parametrize("kind", SHAPINGS)
def test_every_shaping_counts_its_work_and_says_how_it_is_set_out(kind):
    from studio_lib.costing.operations import standard_times

    made = shaping(kind, {"from_mm": 300.0} if kind == "taper" else {"face_deg": 5.0} if kind == "end cut" else {})
    m = member(made)
    assert made.setting_out(m)
    for op in made.operations(m):
        assert op.name in standard_times() and op.count > 0
