"""Body sizes against published tables that are not our source, and our source's own figures."""

import pytest

from studio_lib.people import Mix, percentile_mm, share_below

WOMEN, MEN = Mix(1.0), Mix(0.0)


# 2010 US adults after Pheasant, Bodyspace, as the City University of Hong Kong prints it:
# stature of US women 19 to 65 1520 / 1625 / 1730 mm, of men 1640 / 1755 / 1870 mm
# (5th, 50th, 95th). Another survey, rounded to 5 mm: 15 mm is the spread between the two.
@pytest.mark.parametrize(
    ("who", "percent", "printed"),
    [(WOMEN, 5, 1520), (WOMEN, 50, 1625), (WOMEN, 95, 1730), (MEN, 5, 1640), (MEN, 50, 1755), (MEN, 95, 1870)],
)
def test_stature_agrees_with_another_survey(who, percent, printed):
    assert percentile_mm("stature", percent, who) == pytest.approx(printed, abs=15)


# ANSUR II data (2012), percentiles computed from its rows.
@pytest.mark.parametrize(
    ("dimension", "who", "percent", "mm"),
    [
        ("back of knee height", WOMEN, 5, 350), ("back of knee height", MEN, 95, 471),
        ("top of knee height", WOMEN, 95, 557), ("top of knee height", MEN, 95, 602),
        ("hip breadth", WOMEN, 95, 456), ("seat depth", MEN, 50, 502), ("elbow above seat", WOMEN, 50, 233),
    ],
)
def test_survey_percentiles(dimension, who, percent, mm):
    assert percentile_mm(dimension, percent, who) == pytest.approx(mm, abs=0.6)


# ANSUR II: a clearance of 620 mm less 25 mm of shoe fits all women and 93 % of men.
def test_share_that_fits_under_an_apron():
    assert share_below("top of knee height", 595, WOMEN) == pytest.approx(1.0, abs=0.005)
    assert share_below("top of knee height", 595, MEN) == pytest.approx(0.93, abs=0.006)


def test_a_mixture_lies_between_and_turns_with_it():
    half = share_below("stature", 1690, Mix(0.5))
    assert share_below("stature", 1690, MEN) < half < share_below("stature", 1690, WOMEN)
    assert percentile_mm("stature", 50, Mix(0.5)) < percentile_mm("stature", 50, Mix(0.2))


@pytest.mark.parametrize("percent", [5, 37, 50, 95])
def test_percentile_and_share_are_each_others_way_back(percent):
    size = percentile_mm("hip breadth", percent)
    assert 100 * share_below("hip breadth", size) == pytest.approx(percent, abs=0.6)


def test_unknown_dimension_names_those_on_file():
    with pytest.raises(KeyError, match="back of knee height"):
        share_below("shoe size", 300)
    with pytest.raises(ValueError, match="1 to 99"):
        percentile_mm("stature", 100)
