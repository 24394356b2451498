"""Uprights clamped to a railing against the outside: sections of tubes, the beam that overhangs its support, equilibrium."""

from __future__ import annotations

import pytest

from studio_lib.structure.railing import E_MPA, TUBES_MM, YIELD_MPA, blown, leant, least_tube, shares, tube


@pytest.mark.parametrize("side, wall, area_cm2, second_cm4, modulus_cm3", [
    # EN 10219-2, square hollow sections: A, I and W_el as its table prints them, from memory.
    (40, 3, 4.21, 9.32, 4.66), (50, 3, 5.41, 19.5, 7.79), (60, 4, 8.55, 43.6, 14.5), (80, 5, 14.4, 131, 32.9), (50, 4, 6.95, 23.7, 9.49), (100, 5, 18.4, 271, 54.2),
])
def test_tubes_have_the_sections_of_the_table(side, wall, area_cm2, second_cm4, modulus_cm3):
    """To the three figures that the table has."""
    t = tube(side, wall)
    assert t.area_mm2 / 100 == pytest.approx(area_cm2, rel=0.005)
    assert t.second_mm4 / 1e4 == pytest.approx(second_cm4, rel=0.005)
    assert t.modulus_mm3 / 1e3 == pytest.approx(modulus_cm3, rel=0.005)


def test_walls_that_no_such_tube_has_are_refused_in_words():
    with pytest.raises(ValueError, match="give walls of up to 6 mm"):
        tube(80, 8)


@pytest.mark.parametrize("span, over", [(1000.0, 600.0), (800.0, 900.0), (1000.0, 300.0)])
def test_an_upright_is_the_beam_that_overhangs_its_support(span, over):
    """AISC Manual of Steel Construction, table 3-23, case 24: R1 = w (l2 - a2) / 2l, R2 = w (l + a)2 / 2l, M2 = w a2 / 2,
    M1 = w (l + a)2 (l - a)2 / 8 l2, and at the free end w a (4 a2 l - l3 + 3 a3) / 24 EI."""
    w, second = 0.9, 93_200.0
    held = blown(w * (span + over), span + over, span, 0.0)
    assert held.low_n == pytest.approx(w * (span**2 - over**2) / (2 * span))
    assert held.top_n == pytest.approx(w * (span + over) ** 2 / (2 * span))
    inside = w * (span + over) ** 2 * (span - over) ** 2 / (8 * span**2) if over < span else 0.0
    assert held.bends_n_mm == pytest.approx(max(w * over**2 / 2, inside))
    tip = w * over * (4 * over**2 * span - span**3 + 3 * over**3) / (24 * 210_000 * second)
    assert held.moves_mm / second == pytest.approx(abs(tip))


def test_clamps_are_in_equilibrium_wherever_they_lie():
    for height, top, low in ((1700, 1100, 100), (1700, 900, 400), (1000, 1100, 120), (2400, 1000, 20)):
        held = blown(1000.0, height, top, low)
        assert held.top_n + held.low_n == pytest.approx(1000.0)
        assert held.top_n * top + held.low_n * low == pytest.approx(1000.0 * height / 2)  # moments about the floor
        lean = leant(150.0, 1100.0, top, low)
        assert lean.top_n * top + lean.low_n * low == pytest.approx(150.0 * 1100.0)


def test_the_balcony_by_hand():
    """3090 N on 2400 x 1700 mm over a railing of 1100 mm, three uprights: the middle one carries 1545 N, 0.909 N a mm, and
    bends with 0.909 x 600^2 / 2 = 163.6 N m; with 1.5 to spare 245 N m / 235 MPa (S235, EN 1993-1-1 table 3.1) ask for 1.04 cm3."""
    assert shares(2) == (0.25, 0.5, 0.25) and sum(shares(5)) == pytest.approx(1.0)
    held = blown(3090 * max(shares(2)), 1700, 1100, 100)
    assert held.bends_n_mm == pytest.approx(163_600, rel=1e-3)
    assert 1.5 * held.bends_n_mm / YIELD_MPA == pytest.approx(1_044, rel=1e-3)
    assert YIELD_MPA == 235.0 and E_MPA == 210_000.0  # EN 1993-1-1 table 3.1 and 3.2.6
    assert least_tube(held, 600, 1.5) == 0


def test_a_harder_pull_takes_a_stouter_tube_and_at_last_none():
    found = [least_tube(blown(n, 2200, 1000, 120), 1200, 1.5) for n in (500, 2000, 4000, 8000, 40_000)]
    assert found[-1] is None and found[0] is not None
    held = [k for k in found if k is not None]
    assert held == sorted(held) and len(set(held)) > 1
    assert held[-1] < len(TUBES_MM)


def test_where_uprights_end_at_the_railing_the_clamps_take_as_much_and_the_tube_less():
    up, short = (blown(1545, 1700, 1100, 100, goes_up) for goes_up in (True, False))
    assert (up.top_n, up.low_n) == (short.top_n, short.low_n)
    assert short.bends_n_mm < up.bends_n_mm


def test_clamps_that_lie_the_wrong_way_round_are_refused():
    with pytest.raises(ValueError, match="lower one first"):
        blown(1000, 1700, 300, 900)
