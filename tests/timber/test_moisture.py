"""Moisture content: the equation's limits, and the range that a place brings."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import (
    PLACES,
    Air,
    Climate,
    OwnClimate,
    climate,
    climates,
    equilibrium_moisture_pct,
    service_range,
)
from studio_lib.timber.moisture import lived_in

warmths = st.floats(0, 60)
humidities = st.floats(5, 94)


@given(warmths, humidities)
def test_damper_air_makes_damper_wood(temperature_c, humidity_pct):
    here = equilibrium_moisture_pct(temperature_c, humidity_pct)
    assert 0 < here < equilibrium_moisture_pct(temperature_c, humidity_pct + 1) < 28


@given(st.floats(20, 59), humidities)
def test_warmer_air_of_equal_humidity_makes_drier_wood(temperature_c, humidity_pct):
    assert equilibrium_moisture_pct(temperature_c + 1, humidity_pct) < (
        equilibrium_moisture_pct(temperature_c, humidity_pct)
    )


@pytest.mark.parametrize(
    ("temperature_c", "humidity_pct", "words"),
    [
        (-5, 50, "temperature_c is -5; table 4-2 runs from -1.1"),
        (200, 50, "temperature_c is 200"),
        (20, 0.65, "humidity_pct is 0.65; table 4-2 runs from 5 to 95 %"),
        (20, 100, "humidity_pct is 100"),
        (float("nan"), 50, "temperature_c is nan"),
    ],
)
def test_air_outside_the_table_is_refused(temperature_c, humidity_pct, words):
    with pytest.raises(ValueError, match=words):
        equilibrium_moisture_pct(temperature_c, humidity_pct)


@pytest.mark.parametrize("air", climates(), ids=lambda c: c.name)
def test_every_climate_gives_a_range_for_every_place(air):
    heated, unheated, covered, weather = (service_range(p, air) for p in PLACES)
    for seen in (heated, unheated, covered, weather):
        assert 2 < seen.low_pct < seen.making_pct < seen.high_pct <= 25
        assert seen.tolerance_pct > 0 and "FPL-GTR-282" in seen.source
    assert heated.making_pct <= unheated.making_pct <= covered.making_pct
    assert weather.high_pct > covered.high_pct and weather.low_pct <= covered.low_pct
    assert "Rain" in weather.reason and "from memory" in weather.source


def test_frost_below_the_table_is_said_not_hidden():
    reason = service_range("outdoors, under cover", climate("cold continental")).reason
    assert "Frost of -10 °C is reckoned as -1.1" in reason
    assert "Frost" not in service_range("outdoors, under cover", climate("dry inland")).reason


def test_steady_air_gives_the_equilibrium_and_a_point_either_way():
    # Table 4-2, 70 degF and 65 %: 12.0 %.
    steady = Climate("steady", 21.1, 65, 21.1, 65, 65, "made for this test")
    seen = service_range("outdoors, under cover", steady)
    assert (seen.low_pct, seen.making_pct, seen.high_pct) == (11, 12, 13)


def test_unknown_place_and_climate_are_refused_with_what_is_allowed():
    with pytest.raises(ValueError, match="place is 'garden'.*outdoors, in the weather"):
        service_range("garden", climate("continental"))
    with pytest.raises(KeyError, match="temperate lakeside"):
        climate("lakeside")


# What the reason prints is what movement is reckoned with, taken out to half percents:
# 5.6 to 12.2 is 5.5 to 12.5, where the nearest whole ones would draw it in to 6 to 12.
@pytest.mark.parametrize("air", climates(), ids=lambda c: c.name)
@pytest.mark.parametrize("place", PLACES[:3])
def test_the_range_is_the_one_the_reason_prints(place, air):
    seen = service_range(place, air)
    winter, summer = (float(x) for x in re.search(r"wood to ([\d.]+) %, (?:summer|rainy season) .* to ([\d.]+) %;", seen.reason).groups())
    # Half of the last printed digit either way.
    assert 0 <= min(winter, summer) - 1 - seen.low_pct + 0.051 < 0.602
    assert 0 <= seen.high_pct - max(winter, summer) - 1 + 0.051 < 0.602
    assert seen.reason.endswith(f"Taken out to half percents: {seen.low_pct:g} to {seen.high_pct:g} %.")


# Two judgements that must agree: the humidity of heated rooms on file, from memory of monthly means, and the
# estimate from outdoor air with the vapour of ISO 13788 humidity class 1 to 2.
# Only where rooms are heated at all: in the tropics they are cooled, and nothing here reckons that.
@pytest.mark.parametrize("air", [c for c in climates() if c.winter_c < 18], ids=lambda c: c.name)
def test_the_estimate_for_a_room_nobody_measured_agrees_with_those_on_file(air):
    assert lived_in(air.outdoors[0]).humidity_pct == pytest.approx(air.heated_winter_humidity_pct, abs=4)


def test_four_seasons_take_the_driest_and_the_dampest_of_all():
    two = OwnClimate((Air("winter", 5, 80), Air("summer", 22, 65)))
    four = OwnClimate((*two.outdoors, Air("spring", 15, 50), Air("autumn", 12, 88)))
    seen = [service_range("outdoors, under cover", c) for c in (two, four)]
    assert seen[1].low_pct < seen[0].low_pct and seen[1].high_pct > seen[0].high_pct
    assert "spring (15 °C, 50 %)" in seen[1].reason


@pytest.mark.parametrize("place", PLACES)
def test_air_at_the_edge_of_what_may_be_entered_is_answered_everywhere(place):
    for c, pct in ((-40, 95), (-40, 5), (50, 5), (50, 95), (0, 5)):
        seen = service_range(place, OwnClimate((Air("winter", c, pct), Air("summer", c, pct))))
        assert 0 <= seen.low_pct < seen.making_pct < seen.high_pct <= 30


# By the psychrometer: heated rooms dry out in the cold, a temperate terrace in summer, the tropics between the rains.
@pytest.mark.parametrize(
    ("place", "air", "driest", "wettest"),
    [
        ("indoors, heated", "cold continental", "winter", "summer"),
        ("outdoors, under cover", "maritime mild", "summer", "winter"),
        ("outdoors, under cover", "humid tropics", "dry season", "rainy season"),
    ],
)
def test_the_seasons_are_named(place, air, driest, wettest):
    seen = service_range(place, climate(air))
    assert (seen.dry_season, seen.wet_season) == (driest, wettest)
    assert driest in seen.reason and wettest in seen.reason
