"""Cable and spacers: one hole a cable, one cable a chain, the stack closes, the year is taken up."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.finding import Verdict
from studio_lib.piece import Piece
from studio_lib.piece.cable import safe_load_n, stretch_mm
from studio_lib.piece.kinds import joined
from studio_lib.solids.mesh import placed
from tests.forms import invariants
from tests.piece.bored import Year, block


def stack(widths, gaps, own=None, thickness=24.0, length=600.0) -> Piece:
    """Slats on edge, one over the other."""
    members, z = [], 0.0
    for k, width in enumerate(widths):
        members.append(block(f"S{k}", length, width, thickness, low=(0.0, 0.0, z), along="x", across="z"))
        z += width + (gaps[k] if k < len(gaps) else 0)
    joints = tuple(
        joined("cable and spacers", a, b, "slats on cables", own) for a, b in zip(members[::-1], members[::-1][1:])
    )
    return Piece("stack", "freehand", tuple(members), joints)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(15, 90), min_size=2, max_size=6), st.data(), st.integers(10, 45), st.integers(60, 1500),
    st.fixed_dictionaries({}, optional={"cables": st.integers(1, 4), "cable_mm": st.sampled_from([2, 3, 4, 6])}),
)
def test_any_stack_is_sound_and_closes_or_is_refused_in_words(widths, data, thickness, length, own):
    gaps = data.draw(st.lists(st.integers(0, 60), min_size=len(widths) - 1, max_size=len(widths) - 1))
    try:
        piece = stack(widths, gaps, own, thickness, length)
    except ValueError as refused:
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return
    assert invariants.all_of(piece) == []
    lead = next(j for j in piece.joints if j.leads(piece))
    assert lead.stack_mm(piece) == pytest.approx(sum(widths) + sum(gaps))
    bought = [h for j in piece.joints for h in j.hardware(piece)]
    metres = [h for h in bought if h.unit == "m"]
    assert len(metres) == 1 and metres[0].count >= lead.cables * (sum(widths) + sum(gaps)) / 1000
    spacers = [p for j in piece.joints for p in j.parts(piece) if p.name.startswith("spacer")]
    assert len(spacers) == sum(h.count for h in bought if h.name.startswith("spacer"))


def test_each_slat_is_bored_once_for_each_cable():
    piece = stack((40, 60, 50), (20, 20), {"cables": 2, "hole_mm": 4.0})
    for ref, width in (("S0", 40), ("S1", 60), ("S2", 50)):
        gone = 600 * width * 24 - placed(piece, ref).volume()
        assert gone == pytest.approx(2 * math.pi / 4 * 16 * width, rel=0.01)
        assert len(piece.shape(ref).cuts) == 2
    assert invariants.all_of(piece, exact=True) == []


def test_the_stack_of_a_year_is_taken_up_by_springs():
    # By hand: 3 slats of 50 mm that shrink by 2 % shorten by 3 mm; 300 N on 190 mm of 3 mm cable stretch 0.07 mm.
    tight = stack((50, 50, 50), (20, 20), {"spring_mm": 1.0, "tension_n": 300.0})
    soft = stack((50, 50, 50), (20, 20), {"spring_mm": 6.0, "tension_n": 300.0})
    short = next(f for f in tight.joints[0].moves(tight, Year()) if f.what == "shortening")
    assert short.demand == pytest.approx(3.0) and short.verdict is Verdict.FAILS
    assert short.capacity == pytest.approx(1.07, abs=0.01)
    assert all(f.stands for f in soft.joints[0].moves(soft, Year()))
    assert soft.joints[1].moves(soft, Year()) == []


def test_too_much_tension_fails_and_the_caution_is_always_there():
    piece = stack((50, 50), (20,), {"cable_mm": 2.0, "tension_n": 900.0})
    said = {f.what: f for f in piece.joints[0].findings(piece)}
    assert said["tension"].verdict is Verdict.FAILS and "eye protection" in said["cable under tension"].mend


def test_stretch_and_safe_load_grow_as_they_should():
    assert stretch_mm(200, 1000, 3) == pytest.approx(2 * stretch_mm(100, 1000, 3)) == pytest.approx(4 * stretch_mm(200, 1000, 6))
    assert [safe_load_n(d) for d in (2, 3, 4, 5, 6)] == sorted(safe_load_n(d) for d in (2, 3, 4, 5, 6))


def test_members_out_of_reach_cannot_be_strung():
    a, b = block("A", 300, 60, 20), block("B", 300, 60, 20, low=(0, 0, 900))
    with pytest.raises(ValueError, match="within 400 mm"):
        joined("cable and spacers", a, b)
