"""Screen colours and CIELAB: there and back, and the refusals. Published values stand in tests/published."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber.colour import difference, hex_from_lab, lab_from_hex, mix_lab

colours = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")


@given(colours)
def test_there_and_back(colour):
    assert hex_from_lab(lab_from_hex(colour)) == colour


@given(colours, colours)
def test_mixing_starts_and_ends_where_it_should(one, other):
    a, b = lab_from_hex(one), lab_from_hex(other)
    assert mix_lab(a, b, 0) == a and mix_lab(a, b, 1) == pytest.approx(b)
    assert mix_lab(a, b, 0.5)[0] == pytest.approx((a[0] + b[0]) / 2)


def test_greys_have_no_hue_and_distance_is_even_along_a_mix():
    assert lab_from_hex("#808080")[1:] == (pytest.approx(0, abs=0.01), pytest.approx(0, abs=0.01))
    assert difference("#404040", "#404040") == 0 and difference("#000000", "#ffffff") == pytest.approx(100, abs=0.01)


@pytest.mark.parametrize("given_hex", ["c2a074", "#c2a07", "#c2a07g", ""])
def test_a_colour_written_otherwise_is_refused(given_hex):
    with pytest.raises(ValueError, match="six hexadecimal digits"):
        lab_from_hex(given_hex)


def test_a_colour_no_screen_can_show_is_refused():
    with pytest.raises(ValueError, match="outside what a screen shows"):
        hex_from_lab((50, 120, -120))
