"""Through dovetails: laid out to close on the board, whole at any size, refused where no tail fits."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.solids import volume_mm3
from tests.forms.invariants import all_of
from tests.piece.corners import member, pair


def corner(height=150.0, t=20.0, u=20.0, far=False):
    front = member("front", (0, 0, 0), "x", "z", 600, height, t)
    end = member("end", (600 - u if far else 0, 0, 0), "-y" if far else "y", "z", 400, height, u)
    return front, end


@settings(max_examples=60, deadline=None)
@given(
    height=st.floats(30, 600), t=st.floats(8, 40), u=st.floats(8, 40), slope=st.floats(5, 10), ratio=st.floats(1, 4),
    far=st.booleans(), turned=st.booleans(),
)
def test_any_corner_closes_and_is_sound(height, t, u, slope, ratio, far, turned):
    front, end = corner(height, t, u, far)
    first, second = (end, front) if turned else (front, end)
    try:
        piece = pair("through dovetail", first, second, slope=slope, tail_to_pin=ratio)
    except ValueError as refused:
        assert "needs" in str(refused) and "A wider board" in str(refused)
        return
    joint = piece.joints[0]
    w = joint.widths_mm(piece)
    assert joint.tails * w["tail"] + (joint.tails - 1) * w["pin"] + 2 * w["half pin"] == pytest.approx(height)
    assert min(w["pin"], w["neck"], w["half pin"]) >= 3 - 1e-6
    assert all_of(piece) == []
    # Nothing of the corner is lost and nothing claimed twice: the two boards less one corner block.
    whole = 600 * height * t + 400 * height * u - height * t * u
    assert sum(volume_mm3(piece.shape(r)) for r in ("front", "end")) == pytest.approx(whole, rel=1e-6)


def test_both_kernels_build_the_same_corner():
    assert all_of(pair("through dovetail", *corner()), exact=True) == []


@pytest.mark.parametrize(
    ("boards", "own", "words"),
    [
        (corner(), {"tails": 30}, "give 5 or fewer"),
        (corner(), {"slope": 2}, "give 5 to 10"),
        (corner(12), {}, "one tail 1 in 8"),
        ((corner(150)[0], corner(120)[1]), {}, "of one width"),
    ],
)
def test_what_cannot_be_dovetailed_is_refused(boards, own, words):
    with pytest.raises(ValueError, match=words):
        pair("through dovetail", *boards, **own)
