"""Halvings and bridles, in any direction: sound in both kernels, no timber lost or claimed twice."""

import pytest

from studio_lib.piece import Member, Placement
from tests.piece.pairs import X, Z, board, pair, sound, timber_mm3, turned

POST = Member("B", "post", "post", "oak", 300.0, 60.0, 24.0, Placement((100.0, 20.0, 0.0), Z, X))


def across(x, z, length):
    """A rail along x in the post's plane, 60 wide and 24 thick."""
    return Member("A", "rail", "rail", "oak", length, 60.0, 24.0, Placement((x, 44.0, z), X, Z))


CASES = [
    ("cross halving", 0, 100, 300), ("tee halving", 0, 100, 160), ("tee halving", 0, 100, 100),
    ("tee halving", 160, 100, 100),
    ("corner halving", 0, 240, 100), ("corner halving", 0, 240, 160), ("corner halving", 100, 0, 160),
    ("dovetailed halving", 0, 100, 160), ("dovetailed halving", 0, 100, 100), ("dovetailed halving", 160, 100, 100),
    ("dovetailed halving", 100, 100, 160), ("tee bridle", 0, 100, 160), ("tee bridle", 160, 100, 100),
    ("corner bridle", 0, 240, 160), ("corner bridle", 0, 240, 100), ("corner bridle", 160, 0, 100),
]


@pytest.mark.parametrize(("kind", "x", "z", "length"), CASES)
def test_sound_whether_the_end_runs_over_or_stops_at_the_near_face(kind, x, z, length):
    made = pair(kind, across(float(x), float(z), float(length)), POST)
    assert sound(made) == []
    # What both hold is shared out whole: timber = both members less the shared ground, where they overlap.
    over = max(min(x + length, 160) - max(x, 100), 0)
    both = (length + 300) * 60 * 24
    if over and kind != "dovetailed halving":
        assert timber_mm3(made) == pytest.approx(both - over * 60 * 24)
    if not over and kind != "dovetailed halving":
        # The lap is added to one and taken from the other: nothing changes in all.
        assert timber_mm3(made) == pytest.approx(both)


@pytest.mark.parametrize("degrees", [30, 60, -45])
def test_a_cross_halving_at_any_angle(degrees):
    flat = pair("cross halving", turned(board("A", 0, 0, 300, 50), "z", degrees, (150, 25, 0)),
        board("B", 0, 0, 300, 50))
    upright = pair("cross halving", turned(across(-20.0, 120.0, 300.0), "y", degrees, (130, 0, 150)), POST)
    assert sound(flat) == [] and sound(upright) == []


# By hand: a dovetail 60 mm long at 1 in 8 loses 7.5 mm a side at its shoulder.
def test_the_dovetail_narrows_by_its_slope():
    made = pair("dovetailed halving", across(0.0, 100.0, 160.0), POST)
    assert "60.0 wide at the end, 45.0 at the shoulder" in made.joints[0].setting_out(made)["dovetail"]


def test_both_members_stay_flush_after_halving():
    made = pair("tee halving", across(0.0, 100.0, 100.0), POST)
    assert made.overall_length_mm("A") == 160.0 and made.ends("A") == {"end": "lap 60"}


@pytest.mark.parametrize(
    ("kind", "first", "words"),
    [
        ("corner halving", across(0.0, 100.0, 160.0), "runs on beyond, which is a tee"),
        ("tee halving", across(0.0, 240.0, 100.0), "ends there too, which is a corner"),
        ("tee bridle", across(0.0, 100.0, 300.0), "use a cross halving"),
        ("tee halving", across(0.0, 100.0, 80.0), "no end of rail"),
        ("cross halving", across(0.0, 100.0, 130.0), "Lengthen it"),
        ("cross halving", turned(across(0.0, 100.0, 300.0), "x", 20, (0, 32, 130)), "twisted to each other"),
        ("cross halving", board("A", 0, 0, 300, 50, z=900.0), "do not cross|twisted|share"),
    ],
)
def test_what_cannot_be_cut_says_which_joint_suits(kind, first, words):
    with pytest.raises(ValueError, match=words):
        pair(kind, first, POST)


def test_a_bridle_out_of_thirds_says_so():
    made = pair("tee bridle", across(0.0, 100.0, 160.0), POST, tongue_mm=14)
    (found,) = made.joints[0].findings(made)
    assert not found.stands and "8.0" in found.mend
    with pytest.raises(ValueError, match="give 4 to 16.0 mm"):
        pair("tee bridle", across(0.0, 100.0, 160.0), POST, tongue_mm=20)
