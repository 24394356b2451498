"""Lengths as they are printed; what loads, stresses and densities come to in the units that go with inches."""

import re

import pytest

from studio_lib.showing import Shown, as_shown, column_as_shown, from_shown_unit, in_shown_unit, quantity, unit_as_shown
from studio_lib.units import KG_M3_PER_LB_FT3, MPA_PER_PSI, N_PER_LBF, NM_PER_FT_LBF, mm, tenths

INCH, METRIC = Shown("in", 16), Shown()


@pytest.mark.parametrize(
    ("value", "said"), [(24.5, "24.5"), (24.04, "24"), (-0.04, "0"), (-0.0, "0"), (0.05, "0.1"), (1800.0, "1800")]
)
def test_a_length_is_whole_or_to_a_tenth_and_nought_has_no_sign(value, said):
    assert mm(value) == said


@pytest.mark.parametrize(
    ("value", "said"), [(24.5, "24.5"), (24.0, "24.0"), (-0.04, "0.0"), (-0.0, "0.0"), (-1.25, "-1.2")]
)
def test_a_column_of_tenths(value, said):
    assert tenths(value) == said


def test_factors_as_published():
    """NIST Special Publication 811 (2008), appendix B.8: pound-force, psi, foot pound-force, pound per cubic foot."""
    assert (N_PER_LBF, MPA_PER_PSI, KG_M3_PER_LB_FT3) == (4.4482216152605, 6894.757e-6, 16.01846)
    assert NM_PER_FT_LBF == pytest.approx(1.355818, rel=1e-6)


# A hundred (or one, or a thousand) of each unit of NIST Special Publication 811, appendix B.8.
@pytest.mark.parametrize(("said", "read"), [
    ("444.82216 N", "100 lbf"), ("4.4482216 kN", "1000 lbf"), ("135.5818 N m", "100 ft lbf"), ("6.894757 MPa", "1000 psi"), ("6.894757 N/mm2", "1000 psi"),
    ("6.894757 GPa", "1 million psi"), ("1601.846 kg/m3", "100 lb/ft3"), ("4788.026 N/m2", "100 lbf/sq ft"), ("4788.026 N a m2", "100 lbf/sq ft"),
    ("488.2428 kg/m2", "100 lb/sq ft"), ("488.2428 kg a square metre", "100 lb/sq ft"), ("1459.390 N on each metre", "100 lbf a foot"),
    ("645.16 mm2", "1 sq in"), ("6.4516 cm2", "1 sq in"), ("16.38706 cm3", "1 cu in"), ("28.31685 dm3", "1 cu ft"), ("30.48 metres", "100 feet"), ("2.4384 m", "8 ft"), ("30.48 m", "100 ft"),
])
def test_units_that_go_with_inches(said, read):
    assert as_shown(said, INCH) == read and as_shown(read, INCH) == read and as_shown(said, METRIC) == said


@pytest.mark.parametrize(("metric", "inch_pound"), [
    ("105 MPa", "15200 psi"), ("12.3 GPa", "1.78 million psi"),  # white oak
    ("109 MPa", "15800 psi"), ("12.6 GPa", "1.83 million psi"),  # sugar maple
])
def test_a_timber_reads_as_in_the_inch_pound_table(metric, inch_pound):
    """Wood Handbook FPL-GTR-190, tables 5-3a and 5-3b: the same timbers at 12 % in either system; from memory."""
    assert as_shown(metric, INCH) == inch_pound


@pytest.mark.parametrize(("said", "read"), [
    ("must hold 150 N across the screen and 111 N along it", "must hold 34 lbf across the screen and 25 lbf along it"),
    ("92 of 177 N m (52 %), by the tenon", "68 of 131 ft lbf (52 %), by the tenon"),
    ("16.6 of 42.5 MPa when 1250 N push it", "2410 of 6160 psi when 281 lbf push it"),
    ("moves 1 mm for every 1000 N", "moves 3/64 in for every 225 lbf"),
    ("Y2 of W84 2.77 m", "Y2 of W84 9 ft 1 in"), ("over 2 m", "over 6 ft 7 in"),
    ("shear 773 of 752 N, by the screws bending; over that it dents and may work loose with the years, and it fails at 1505 N or more",
     "shear 174 of 169 lbf, by the screws bending; over that it dents and may work loose with the years, and it fails at 338 lbf or more"),
])
def test_sentences_about_strength(said, read):
    assert as_shown(said, INCH) == read and as_shown(read, INCH) == read


@pytest.mark.parametrize("said", ["4460 of 4450 N", "1205 of 1204 N m", "50.01 of 50 MPa", "2 of 2.1 kg/m3"])
def test_two_figures_that_differ_never_read_alike(said):
    """Or a check that fails would seem to stand."""
    first, second = map(float, re.findall(r"[\d.]+", as_shown(said, INCH))[:2])
    given, limit = map(float, re.findall(r"[\d.]+", said)[:2])
    assert (first > second) == (given > limit) and first != second


def test_a_column_of_lengths_leaves_what_is_no_length():
    assert column_as_shown("2 of 254, 300 N each; W84 2 m", INCH) == "2 of 10, 300 N each; W84 2 m"
    assert column_as_shown("67 lbf, 9 ft 1 in", INCH) == "67 lbf, 9 ft 1 in"


@pytest.mark.parametrize("unit", ["N", "N/m2", "kg"])
@pytest.mark.parametrize("pounds", [0.0, 0.5, 67.0, 281.0, 4000.0])
def test_a_load_typed_in_pounds_stands_as_it_was_typed(unit, pounds):
    assert in_shown_unit(from_shown_unit(pounds, unit, INCH), unit, INCH) == pounds
    assert in_shown_unit(pounds, unit, METRIC) == from_shown_unit(pounds, unit, METRIC) == pounds


def test_a_figure_and_its_unit_in_two_cells():
    assert quantity("773", "kg/m3", INCH) == ("48.3", "lb/ft3") and quantity("773", "kg/m3", METRIC) == ("773", "kg/m3")
    assert quantity("not published", "MPa", INCH) == ("not published", "MPa")
    assert unit_as_shown("Tension in each cable, N", INCH) == "Tension in each cable, lbf" and unit_as_shown("Width, mm", INCH) == "Width, mm"
