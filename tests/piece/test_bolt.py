"""Knock-down bolt with barrel nut: bored in both members, drawn, counted, refused in words."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.finding import Verdict
from studio_lib.piece.kinds import joined
from tests.forms import invariants
from tests.piece.bored import beside, block, pair


def bolted(own=None, rail=(600, 120, 40), post=(700, 90, 60)):
    leg = block("B", *post, along="z", across="y")
    side = beside("A", leg, "right", *rail, along="x", across="z")
    return pair(side, leg, joined("bolt and barrel nut", side, leg, "rail into post", own))


@settings(max_examples=300, deadline=None)
@given(
    st.tuples(st.integers(30, 900), st.integers(12, 250), st.integers(10, 70)),
    st.tuples(st.integers(300, 900), st.integers(20, 120), st.integers(8, 120)),
    st.sampled_from(["right", "left"]),
    st.fixed_dictionaries({}, optional={"count": st.integers(1, 3), "bolt_mm": st.sampled_from([6, 8, 10]), "dowels": st.integers(0, 2)}),
)
def test_any_end_is_bolted_soundly_or_refused_in_words(rail, post, side, own):
    leg = block("B", *post, along="z", across="y")
    bar = beside("A", leg, side, *rail, along="x", across="z")
    try:
        piece = pair(bar, leg, joined("bolt and barrel nut", bar, leg, "", own))
    except ValueError as refused:
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return
    assert invariants.all_of(piece) == []
    joint = piece.joints[0]
    assert joint.findings(piece) and joint.setting_out(piece) and joint.ends(piece)["A"]
    bought = {h.name.split(",")[0]: h.count for h in joint.hardware(piece)}
    assert bought["joint bolt"] == bought["barrel nut"] == joint.count
    assert len([p for p in joint.parts(piece) if p.name.startswith("barrel nut")]) == joint.count


def test_the_bolt_reaches_through_its_nut_and_its_hole_takes_it():
    # By hand: 60 mm of post less 6.4 for the head, 35 to the nut's middle, 6 to its far side: 94.6, so 100.
    piece = bolted()
    joint = piece.joints[0]
    assert joint.bolt_length_mm(piece) == 100 and joint.count == 2
    bolt = next(p.block for p in joint.parts(piece) if p.name.startswith("bolt"))
    bore = [b for b in joint.cuts(piece)["A"] if b.bounds.size[0] > 30]
    inside = piece.member("A").placement.box_to_member(bolt.bounds)
    assert len(bore) == 2 and max(b.bounds.hi[0] for b in bore) >= inside.hi[0]


def test_both_kernels_agree():
    assert invariants.all_of(bolted({"count": 1, "dowels": 2}), exact=True) == []


def test_one_bolt_alone_turns():
    piece = bolted({"count": 1, "dowels": 0})
    assert {f.what: f.verdict for f in piece.joints[0].findings(piece)}["turning"] is Verdict.LOOK_AGAIN


@pytest.mark.parametrize(
    ("own", "words"),
    [
        ({"bolt_mm": 7}, "6, 8 or 10"), ({"count": 9}, "give 1 to 3"), ({"nut_from_end_mm": 2}, "give 9 to"),
        ({"head_in_mm": 58}, "give 0 to 50"), ({"dowel_mm": 39}, "dowel diameter"),
    ],
)
def test_a_bolt_that_cannot_be_says_what_can(own, words):
    with pytest.raises(ValueError, match=words):
        bolted(own)


def test_a_thin_rail_is_refused():
    with pytest.raises(ValueError, match="barrel nut of 10 mm needs 16 mm"):
        bolted(rail=(600, 60, 12))
