"""Screws and cables against tables and closed forms that others published."""

import math

import pytest

from studio_lib.piece.cable import BREAKING_KN, safe_load_n, stretch_mm
from studio_lib.piece.screw import ROOT_SHARE, SAFE_SHARE, pilot_mm, pull_out_n

INCH, LBF = 25.4, 4.4482216

# A wood screw chart of a school workshop's lessons, twist bits in inches (plate 6B): screw number, hardwood, softwood.
# Shank diameter of wood screw number n: 0.060 + 0.013 n inches, ASME B18.6.1.
PLATE = {8: (7 / 64, 5 / 64), 9: (7 / 64, 5 / 64), 10: (1 / 8, 3 / 32), 11: (None, 3 / 32), 12: (None, 7 / 64), 14: (None, 7 / 64)}


@pytest.mark.parametrize("number", PLATE)
def test_pilot_holes_within_a_sixty_fourth_of_an_inch_of_a_published_chart(number):
    shank = (0.060 + 0.013 * number) * INCH
    for timber, drill in zip(("European oak", "Douglas-fir (coast)"), PLATE[number]):
        if drill is not None:
            assert pilot_mm(timber, shank) == pytest.approx(drill * INCH, abs=INCH / 64)


# Standard handbook of civil engineering, wood screws loaded in withdrawal: lead hole 90 % of the root in wood such as oak, 70 %
# in Douglas-fir and larch. Wood Handbook FPL-GTR-190 p. 8-9: root about two thirds of the shank.
def test_lead_holes_by_the_handbooks_shares():
    assert pilot_mm("European oak", 6.0) == pytest.approx(0.9 * 2 / 3 * 6.0, abs=0.05)
    assert pilot_mm("Douglas-fir (coast)", 6.0) == pytest.approx(0.7 * 2 / 3 * 6.0, abs=0.05)
    assert ROOT_SHARE == pytest.approx(0.667, abs=0.001)


# The same formula in pounds and inches, 15700 G^2 D L (Wood Handbook eq. 8-10 in.-lb form), must give the same force.
@pytest.mark.parametrize(("g", "d_in", "l_in"), [(0.51, 0.164, 1.0), (0.65, 0.19, 1.5), (0.42, 0.216, 0.75)])
def test_pull_out_in_both_systems_of_units(g, d_in, l_in):
    pounds = 15700 * g**2 * d_in * l_in
    assert pull_out_n(g, d_in * INCH, l_in * INCH) == pytest.approx(pounds * LBF, rel=0.005)
    # Allowable 2850 G^2 D a inch (structural handbook eq. 6.37).
    assert pull_out_n(g, d_in * INCH, l_in * INCH) / SAFE_SHARE == pytest.approx(2850 * g**2 * d_in * l_in * LBF, rel=0.01)


# A wire maker's published table: stretch in % of length = W G / D^2 (lb, in), G = 0.00000779 for 1 x 19 stainless; its example
# for 7 x 19, G = 0.0000162: 500 lb on 0.125 in. over 20 in. gives 20.10368 in. in all.
@pytest.mark.parametrize(("pounds", "d_in", "l_in"), [(500, 0.125, 20), (100, 0.0625, 60), (1000, 0.25, 90)])
def test_stretch_of_a_strand_as_its_maker_reckons_it(pounds, d_in, l_in):
    percent = pounds * 7.79e-6 / d_in**2
    ours = stretch_mm(pounds * LBF, l_in * INCH, d_in * INCH)
    assert ours == pytest.approx(l_in * INCH * percent / 100, rel=0.005)


def test_the_makers_example_by_the_closed_form():
    # E on the gross area that belongs to G = 1.62e-5: 4 / (pi G / 100) psi.
    e_psi = 4 / (math.pi * 1.62e-5 / 100)
    got = stretch_mm(500 * LBF, 20 * INCH, 0.125 * INCH, e_psi * LBF / INCH**2)
    assert 20 + got / INCH == pytest.approx(20.10368, abs=1e-4)


# 1 x 19 stainless 316: 1/16 in. 480 lbf, 1/4 in. 6900 lbf (published article on cable loads; reference joints.md 5).
@pytest.mark.parametrize(("inches", "pounds"), [(1 / 16, 480), (1 / 4, 6900)])
def test_safe_loads_are_a_fifth_of_published_breaking_loads(inches, pounds):
    assert safe_load_n(inches * INCH) == pytest.approx(pounds * LBF / 5, rel=0.10)
    assert set(BREAKING_KN) == {2.0, 3.0, 4.0, 5.0, 6.0}
