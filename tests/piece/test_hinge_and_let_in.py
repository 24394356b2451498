"""Hinges, ends let in whole and stub tenons: sound where two members meet, refused in words where they do not."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.finding import Verdict
from studio_lib.piece.kinds import joined
from studio_lib.solids.mesh import placed
from tests.forms import invariants
from tests.piece.bored import beside, block, pair


def meeting(kind, own=None, slat=(400, 40, 18), rail=(600, 70, 36), arris=0.0):
    post = block("B", *rail, along="z", across="x", arris=arris)
    bar = beside("A", post, "right", *slat, along="x", across="z", arris=arris)
    return pair(bar, post, joined(kind, bar, post, "slat into post", own))


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(["let in whole", "stub tenon"]), st.tuples(st.integers(40, 900), st.integers(8, 150), st.integers(6, 40)),
    st.tuples(st.integers(200, 900), st.integers(15, 120), st.integers(12, 80)), st.sampled_from([0.0, 1.0, 2.0]),
    st.fixed_dictionaries({}, optional={"length_mm": st.integers(3, 30)}), st.fixed_dictionaries({}, optional={"depth_mm": st.integers(2, 30)}),
)
def test_any_end_is_sound_or_refused_in_words(kind, slat, rail, arris, stub, let):
    try:
        piece = meeting(kind, let if kind == "let in whole" else stub, slat, rail, arris)
    except ValueError as refused:
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return
    joint = piece.joints[0]
    if kind == "stub tenon" and (min(joint.length_mm, joint.width_mm) < 3 or slat[2] < joint.thickness_mm + 2 or rail[2] < slat[2]
                                 or joint.length_mm > rail[1] - 5):
        return  # a form refuses these: nothing to cut
    assert invariants.all_of(piece) == [] and joint.setting_out(piece) and joint.findings(piece)


def test_what_goes_in_is_cut_out_but_for_the_depth_left():
    # By hand: 40 x 18 mm let in by 10: the slat gains 7200 mm3, the post loses 11 x 40 x 18 = 7920.
    piece = meeting("let in whole", {"depth_mm": 10.0})
    assert placed(piece, "A").volume() == pytest.approx(410 * 40 * 18)
    assert placed(piece, "B").volume() == pytest.approx(600 * 70 * 36 - 7920)
    assert piece.overall_length_mm("A") == 410 and piece.ends("A") == {"start": "let in 10"}
    assert invariants.kernels_differ(piece) == []


def test_a_slat_wider_than_its_rail_cannot_be_let_in_whole():
    with pytest.raises(ValueError, match="stands over the edge"):
        meeting("let in whole", slat=(400, 40, 50), rail=(600, 70, 36))


def test_a_short_stub_is_said():
    said = {f.what: f.verdict for f in meeting("stub tenon", {"length_mm": 5.0}).joints[0].findings(meeting("stub tenon"))}
    assert said["stub tenon length"] is Verdict.LOOK_AGAIN


@settings(max_examples=200, deadline=None)
@given(st.integers(80, 2200), st.integers(20, 120), st.integers(12, 60), st.integers(0, 12),
       st.fixed_dictionaries({}, optional={"count": st.integers(1, 5), "hinge_mm": st.integers(20, 100)}))
def test_leaves_side_by_side_are_hinged_or_refused_in_words(length, width, thickness, gap, own):
    one = block("A", length, width, thickness, along="z", across="x")
    two = beside("B", one, "right", length, width, thickness, along="z", across="x", shift_mm=(gap, 0, 0))
    try:
        piece = pair(one, two, joined("hinges", one, two, "leaf to leaf", own))
    except ValueError as refused:
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return
    assert invariants.all_of(piece) == []
    joint = piece.joints[0]
    assert joint.hardware(piece)[0].count == joint.count
    # By hand: each recess is the hinge's length, 2 mm deep, as wide as the edge less 4 mm, 25 mm at most.
    gone = length * width * thickness - placed(piece, "A").volume()
    assert gone == pytest.approx(joint.count * joint.hinge_mm * 2 * min(thickness - 4, 25), rel=1e-6)


def test_a_tall_leaf_on_two_hinges_is_said():
    one = block("A", 1800, 60, 36, along="z", across="x")
    two = beside("B", one, "right", 1800, 60, 36, along="z", across="x")
    piece = pair(one, two, joined("hinges", one, two, "", {"count": 2}))
    assert piece.joints[0].findings(piece)[0].verdict is Verdict.LOOK_AGAIN


def test_both_leaves_of_a_hinge_are_as_wide_as_the_thinner_member_takes():
    """A butt hinge has two equal leaves; 24 mm thick less a wall of 4 leaves 20, whatever the other could take."""
    door = block("A", 600, 80, 24, along="z", across="x")
    post = beside("B", door, "right", 600, 60, 40, along="z", across="x")
    piece = pair(door, post, joined("hinges", door, post, "door on post", None))
    cut = {ref: [sorted(b.size)[:2] for b in blocks] for ref, blocks in piece.joints[0].cuts(piece).items()}
    assert [s[1] for s in cut["A"]] == pytest.approx([s[1] for s in cut["B"]])
    assert "20 wide x 2 deep" in piece.joints[0].setting_out(piece)["recess for each leaf"]
