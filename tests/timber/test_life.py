"""Life outdoors: published bands, placed by the details; never a bare number."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.finding import Verdict
from studio_lib.timber import PLACES, all_species, timber
from studio_lib.timber.life import Details, life_finding, life_outdoors, use_class_of

HEATED, UNHEATED, COVERED, WEATHER = PLACES
WELL = Details(drained=True, end_grain_sealed=True, off_the_ground=True, traps_water=False, roofed=False)


def years(name, details, place=WEATHER):
    life = life_outdoors(timber(name), place, details)
    return life.years_low, life.years_high


# EN 335:2013: 3.1 outdoors above ground where it dries fast, 3.2 where water can lie, 4 in contact with ground.
@pytest.mark.parametrize(
    ("place", "change", "expected"),
    [
        (HEATED, {}, "1"), (UNHEATED, {}, "2"), (COVERED, {}, "2"), (WEATHER, {}, "3.1"),
        (WEATHER, {"traps_water": True}, "3.2"), (WEATHER, {"drained": False}, "3.2"),
        (WEATHER, {"end_grain_sealed": False}, "3.2"), (WEATHER, {"off_the_ground": False}, "4"),
        (COVERED, {"off_the_ground": False}, "4"), (WEATHER, {"roofed": True}, "2"), (HEATED, {"off_the_ground": False}, "1"),
    ],
)
def test_use_class_follows_place_and_details(place, change, expected):
    assert use_class_of(place, replace(WELL, **change)) == expected


# AS 5604:2005, jarrah class 2 above ground (15 to 40 years) and 2 in ground (15 to 25); mountain ash 3 (7 to 15)
# and 4 (0 to 5); spotted gum 1 (40 or more) and 2.
@pytest.mark.parametrize(
    ("name", "change", "expected"),
    [
        ("Jarrah", {}, (15, 40)), ("Jarrah", {"traps_water": True}, (15, 25)), ("Jarrah", {"off_the_ground": False}, (15, 25)),
        ("Victorian ash (mountain ash)", {}, (7, 15)), ("Victorian ash (mountain ash)", {"traps_water": True}, (0, 5)),
        ("Victorian ash (mountain ash)", {"drained": False}, (0, 7)), ("Spotted gum", {}, (40, None)),
        ("Spotted gum", {"off_the_ground": False}, (15, 25)), ("Jarrah", {"roofed": True}, (15, None)),
    ],
)
def test_bands_of_as5604(name, change, expected):
    assert years(name, replace(WELL, **change)) == expected


# EN 350 guide lives in ground: 25 or more, 15 to 25, 10 to 15, 5 to 10, 0 to 5 years.
@pytest.mark.parametrize(
    ("name", "expected"),
    [("Sweet chestnut", (15, 25)), ("Sapele", (10, 15)), ("European beech", (0, 5)), ("European oak", (5, 25)), ("Black locust", (15, None))],
)
def test_guide_lives_of_en350_in_ground(name, expected):
    assert years(name, replace(WELL, off_the_ground=False)) == expected


def test_a_class_from_memory_yields_to_a_sourced_one():
    # Teak: EN 350 class 1 as listed by the Nordic council; its AS 5604 class is from memory.
    life = life_outdoors(timber("Teak"), WEATHER, WELL)
    assert life.class_had == "EN 350 class 1" and life.years_low == 25 and "from memory" not in life.says


def test_what_shortens_it_most_and_what_would_help():
    life = life_outdoors(timber("Victorian ash (mountain ash)"), WEATHER, replace(WELL, end_grain_sealed=False))
    assert life.shortens_most == "open end grain drinks" and life.would_help.endswith("then 7 to 15 years")
    # Feet in the ground hide the rest: all are named, the feet first.
    worst = Details(False, False, False, True, False)
    life = life_outdoors(timber("European oak"), WEATHER, worst)
    assert life.shortens_most == "feet in ground or puddle" and life.would_help.startswith("stand the feet")
    assert "seal all end grain" in life.would_help and "then 5 to 40 years" in life.would_help
    # Nothing left in the making: a roof.
    assert "roof" in life_outdoors(timber("Jarrah"), WEATHER, WELL).would_help


booleans = st.booleans()
anyhow = st.builds(Details, booleans, booleans, booleans, booleans, booleans)


@given(st.sampled_from(all_species()), st.sampled_from(PLACES), anyhow)
def test_it_is_never_a_bare_number_and_mending_never_harms(wood, place, details):
    life = life_outdoors(wood, place, details)
    assert life.conditions and life.class_needed and life.class_had and life.shortens_most and life.source
    if life.years_low is None:
        assert life.years_high is None and "none are said" in life.says
        return
    assert life.years_high is None or life.years_high > life.years_low
    for name, good in (("drained", True), ("end_grain_sealed", True), ("off_the_ground", True), ("traps_water", False)):
        better = life_outdoors(wood, place, replace(details, **{name: good}))
        assert better.years_low >= life.years_low
        assert (better.years_high or 1e9) >= (life.years_high or 1e9)


def test_a_group_without_years_says_none():
    life = life_outdoors(timber("Green ash"), WEATHER, WELL)
    assert (life.years_low, life.years_high) == (None, None) and "USDA" in life.class_had
    assert life_finding(timber("Green ash"), WEATHER, WELL, 10).verdict is Verdict.OPEN


@pytest.mark.parametrize(
    ("wanted", "verdict"), [(15, Verdict.STANDS), (16, Verdict.LOOK_AGAIN), (40, Verdict.LOOK_AGAIN), (41, Verdict.FAILS)]
)
def test_years_wanted_against_the_range(wanted, verdict):
    found = life_finding(timber("Jarrah"), WEATHER, WELL, wanted)
    assert found.verdict is verdict and found.demand == wanted and bool(found.mend) is not found.stands


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="place is 'moon'"):
        life_outdoors(timber("Teak"), "moon", WELL)
    with pytest.raises(ValueError, match="years_wanted is 0"):
        life_finding(timber("Teak"), WEATHER, WELL, 0)


@pytest.mark.parametrize("wetted", [False, True])
def test_years_beyond_what_is_published_are_no_fault_of_a_durable_timber_and_no_mend_proposes_what_is(wetted):
    # Iroko, EN 350 class 1-2, least 15 years; EN 460 (from memory) has classes 1 and 2 enough in use classes 2 and 3.
    found = life_finding(timber("Iroko"), COVERED, WELL, 30, wetted)
    assert found.verdict is Verdict.LOOK_AGAIN and "No fault of the timber" in found.mend and "at least 15 years" in found.says and "nobody has published" in found.says
    assert "own durability" not in found.says and "under cover" not in found.mend and "more durable" not in found.mend
    assert life_finding(timber("Iroko"), COVERED, WELL, 15, wetted).stands
    assert "class 1: then at least 25" in life_finding(timber("Iroko"), COVERED, WELL, 25, wetted).mend


@given(st.sampled_from(all_species()), anyhow, booleans, st.integers(1, 100))
def test_nothing_under_cover_is_told_to_go_under_cover(wood, details, wetted, wanted):
    said = life_finding(wood, COVERED, details, wanted, wetted)
    assert "roof" not in said.mend and "under cover" not in said.mend


def test_a_roof_that_rain_blows_in_under_is_use_class_3_whatever_is_ticked():
    assert use_class_of(COVERED, replace(WELL, roofed=True), wetted=True) == "3.1"
    assert use_class_of(COVERED, replace(WELL, end_grain_sealed=False), wetted=True) == "3.2"
    assert life_outdoors(timber("Jarrah"), COVERED, WELL, wetted=True).years_high == 40  # AS 5604 class 2, exposed
