"""Durability: each scheme on its own ground, and never one turned into another."""

from dataclasses import replace

import pytest

from studio_lib.finding import Verdict
from studio_lib.timber import PLACES, all_species, fit_for_place, timber, use_class
from studio_lib.timber.durability import life_mark, wants_treatment

HEATED, UNHEATED, COVERED, WEATHER = PLACES
STANDS, LOOK, FAILS = Verdict.STANDS, Verdict.LOOK_AGAIN, Verdict.FAILS


# EN 335:2013: class 1 inside and dry, 2 inside or under cover where condensation or wetting may be now and then, 3 outdoors
# above ground. Hazard classes behind it: class 1 at most 20 % nearly always; an unheated room has 12 to 16 % (BS EN 942).
def test_places_have_their_use_class():
    assert [use_class(p) for p in PLACES] == ["1", "1", "2", "3"]
    assert [use_class(p, wetted=True) for p in PLACES] == ["2", "2", "3", "3"]  # rain blown in under a roof: 3.1, drying fast


def test_where_rain_blows_in_under_the_roof_timbers_are_judged_as_in_the_rain():
    for wood in all_species():
        under, out = fit_for_place(wood, COVERED, 30, False, wetted=True), fit_for_place(wood, WEATHER, 30, False)
        assert under.verdict is out.verdict and "under cover" not in under.mend, wood.name
    assert fit_for_place(timber("Norway spruce (whitewood)"), COVERED, 30, False).verdict is LOOK
    assert fit_for_place(timber("Norway spruce (whitewood)"), COVERED, 30, False, wetted=True).verdict is FAILS


@pytest.mark.parametrize("place", [HEATED, UNHEATED])
def test_timber_that_stays_dry_indoors_carries_no_mark(place):
    for wood in all_species():
        found = fit_for_place(wood, place, 60, True)
        assert found.verdict is STANDS and not found.mend, wood.name


def test_where_timber_is_wetted_indoors_the_mend_is_one_for_a_room():
    doubted = [fit_for_place(w, UNHEATED, 20, False, wetted=True) for w in all_species()]
    doubted = [f for f in doubted if f.verdict is LOOK]
    assert {"European beech", "Hackberry"} <= {f.subject for f in doubted}
    for found in doubted:
        assert "air the room" in found.mend and "cover" not in found.mend + found.says


# EN 460:1994 table 1 (from memory): class 1 any; class 2 DC 1-3 enough, 4-5 usually;
# class 3 DC 1-2 enough, 3 usually, 4-5 doubtful. Ranges at their worst end; private use
# with a best end that is enough is 'look again'.
@pytest.mark.parametrize(
    ("name", "place", "years", "public", "verdict"),
    [
        ("European beech", COVERED, 8, False, STANDS),
        ("European beech", COVERED, 8, True, LOOK),
        ("European beech", WEATHER, 1, False, FAILS),
        ("Sapele", COVERED, 30, True, STANDS),
        ("Sapele", WEATHER, 10, False, STANDS),
        ("Sapele", WEATHER, 11, False, LOOK),
        ("Sapele", WEATHER, 10, True, LOOK),
        ("Teak", WEATHER, 30, True, STANDS),
        ("Black locust", WEATHER, 30, True, STANDS),
        ("White oak (American)", WEATHER, 20, True, LOOK),
        ("European oak", WEATHER, 5, False, LOOK),
        ("European oak", WEATHER, 5, True, FAILS),
        ("European larch", WEATHER, 5, False, FAILS),
    ],
)
def test_en350_class_against_use_class(name, place, years, public, verdict):
    found = fit_for_place(timber(name), place, years, public)
    assert found.verdict is verdict
    assert f"EN 350 class {timber(name).durability_en350}" in found.says
    assert bool(found.mend) is not found.stands


# AS 5604:2005, above ground: class 1 40 years or more, 2 15 to 40, 3 7 to 15, 4 0 to 7.
@pytest.mark.parametrize(
    ("name", "place", "years", "public", "verdict"),
    [
        ("Spotted gum", WEATHER, 40, True, STANDS),
        ("Spotted gum", WEATHER, 60, True, LOOK),
        ("Jarrah", WEATHER, 15, True, STANDS),
        ("Jarrah", WEATHER, 25, True, LOOK),
        ("Jarrah", WEATHER, 41, False, FAILS),
        ("Victorian ash (mountain ash)", WEATHER, 12, False, LOOK),
        ("Victorian ash (mountain ash)", WEATHER, 20, False, FAILS),
        ("Victorian ash (mountain ash)", COVERED, 20, True, STANDS),
    ],
)
def test_as5604_class_against_years(name, place, years, public, verdict):
    found = fit_for_place(timber(name), place, years, public)
    assert found.verdict is verdict and "AS 5604" in found.says


# USDA groups (FPL-0153): sassafras resistant, hackberry not.
@pytest.mark.parametrize(
    ("name", "place", "verdict"),
    [
        ("Sassafras", WEATHER, LOOK),
        ("Sassafras", COVERED, STANDS),
        ("Hackberry", WEATHER, FAILS),
        ("Hackberry", COVERED, LOOK),
    ],
)
def test_usda_group_only_when_nothing_else_is_on_file(name, place, verdict):
    found = fit_for_place(timber(name), place, 10, False)
    assert found.verdict is verdict and "USDA" in found.says


def test_schemes_are_tried_in_turn_and_none_known_stays_open():
    teak = timber("Teak")
    assert "EN 350" in fit_for_place(teak, WEATHER, 10, True).says
    no_en = replace(teak, durability_en350=None)
    assert "AS 5604" in fit_for_place(no_en, WEATHER, 10, True).says
    nothing = replace(no_en, durability_as5604_above_ground=None)
    found = fit_for_place(nothing, WEATHER, 10, True)
    assert found.verdict is Verdict.OPEN and found.mend


def test_a_class_from_memory_says_so():
    assert "from memory" in fit_for_place(timber("Yellow-cedar"), COVERED, 10, True).says
    assert "from memory" not in fit_for_place(timber("Iroko"), WEATHER, 10, True).says


def test_more_years_or_a_worse_place_never_help():
    order = [STANDS, LOOK, Verdict.OPEN, FAILS]
    for wood in all_species():
        for public in (False, True):
            table = [
                [order.index(fit_for_place(wood, p, y, public).verdict) for y in (5, 12, 45)]
                for p in (HEATED, COVERED, WEATHER)
            ]
            assert all(row == sorted(row) for row in table), wood.name
            assert all(list(c) == sorted(c) for c in zip(*table)), wood.name


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="place is 'garden'"):
        fit_for_place(timber("Teak"), "garden", 10, True)
    with pytest.raises(ValueError, match="years_wanted is 0"):
        fit_for_place(timber("Teak"), WEATHER, 0, True)


UNDER_COVER, WEATHER_ = "outdoors, under cover", "outdoors, in the weather"


# EN 460:1994's table (from memory; replaced 2023): use class 2, durability classes 1 to 3 enough, 4 and 5 '(o)', treatment may be
# advisable for some uses; use class 3, 1 and 2 enough, 3 '(o)'; use class 1, any. EN 350: ash and beech 5, spruce 4, oak 2 to 4.
@pytest.mark.parametrize(("name", "place", "treated"), [
    ("European beech", UNDER_COVER, True), ("European ash", UNDER_COVER, True), ("Norway spruce (whitewood)", UNDER_COVER, True),
    ("European oak", UNDER_COVER, False), ("Sweet chestnut", UNDER_COVER, False), ("Douglas-fir (coast)", UNDER_COVER, False),
    ("European beech", "indoors, heated", False), ("European beech", "indoors, unheated", False),
    ("Douglas-fir (coast)", WEATHER_, True), ("European oak", WEATHER_, False), ("Teak", WEATHER_, False),
])
def test_what_en_460_has_treated_stands_after_what_lasts_untreated(name, place, treated):
    fit = fit_for_place(timber(name), place, 20, False)
    assert wants_treatment(timber(name), place, fit) == treated


def test_the_more_durable_class_marks_higher_though_the_verdicts_are_one():
    names = ("Sweet chestnut", "European oak", "Norway spruce (whitewood)", "European beech")  # EN 350: 2, 2-4, 4, 5
    marks = [life_mark(timber(n), UNDER_COVER, fit_for_place(timber(n), UNDER_COVER, 20, False)) for n in names]
    assert marks == sorted(marks, reverse=True) and len(set(marks)) == 4
    dry = [life_mark(timber(n), "indoors, heated", fit_for_place(timber(n), "indoors, heated", 20, False)) for n in names]
    assert dry == [1.0] * 4, "indoors and dry none rots"
    beech = timber("European beech")
    assert life_mark(beech, WEATHER_, fit_for_place(beech, WEATHER_, 20, False)) == 0.0
    assert life_mark(beech, "indoors, unheated", fit_for_place(beech, "indoors, unheated", 20, False, True), True) < 0.5


def test_nothing_on_file_vouches_for_is_not_before_what_is_vouched_for():
    for name in ("Noble fir", "Green ash"):
        fit = fit_for_place(timber(name), UNDER_COVER, 20, False)
        assert wants_treatment(timber(name), UNDER_COVER, fit)
