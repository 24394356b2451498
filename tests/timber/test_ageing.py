"""Looks over the years: a guess, but an orderly one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import all_species, appearance, timber

woods = st.sampled_from(all_species())
finishes = st.sampled_from(["bare", "oiled"])


def brightness(colour):
    return sum(int(colour[i : i + 2], 16) for i in (1, 3, 5))


@given(woods, st.floats(0, 9.5), st.sampled_from(["indoors", "under cover", "weather"]), finishes)
def test_grey_only_grows_and_late_wood_is_darker(wood, years, exposure, finish):
    now = appearance(wood, years, exposure, finish)
    later = appearance(wood, years + 0.5, exposure, finish)
    assert 0 <= now.grey_fraction <= later.grey_fraction <= 1
    assert 0 <= now.roughness <= later.roughness <= 1
    assert brightness(now.late_hex) < brightness(now.base_hex)
    assert now.ring_mm > 0 and 0 < now.contrast < 1
    assert "guess" in now.says and "from memory" in now.source


# From memory, common practice: silver within about a year in the weather; slower under
# oil; half way and blotchy under eaves for years; no grey indoors.
def test_the_pace_of_greying():
    teak = timber("Teak")
    grey = {
        (e, f): appearance(teak, 1, e, f).grey_fraction
        for e in ("indoors", "under cover", "weather") for f in ("bare", "oiled")
    }
    assert grey["weather", "bare"] > 0.9
    assert grey["weather", "oiled"] < 0.5 * grey["weather", "bare"]
    assert grey["under cover", "oiled"] < grey["under cover", "bare"] < 0.5
    assert grey["indoors", "bare"] == grey["indoors", "oiled"] == 0
    assert "blotches" in appearance(teak, 1, "under cover", "bare").says


def test_new_timber_has_its_own_colour_and_ten_years_out_is_weathered():
    for wood in all_species():
        assert appearance(wood, 0, "weather", "bare").base_hex == wood.colour_new_hex
        assert appearance(wood, 10, "weather", "bare").base_hex == wood.colour_weathered_hex


# From memory: cherry darkens in light, walnut fades.
def test_indoors_each_goes_its_own_way():
    for name, way in (("Black cherry", -1), ("Black walnut", 1)):
        new, old = (appearance(timber(name), y, "indoors", "bare").base_hex for y in (0, 8))
        assert way * (brightness(old) - brightness(new)) > 0


@pytest.mark.parametrize(
    ("years", "exposure", "finish", "words"),
    [
        (11, "weather", "bare", "years is 11; 0 to 10"),
        (-1, "weather", "bare", "years is -1"),
        (1, "garden", "bare", "exposure is 'garden'; allowed: indoors"),
        (1, "weather", "waxed", "finish is 'waxed'; allowed: bare, oiled"),
    ],
)
def test_nonsense_is_refused(years, exposure, finish, words):
    with pytest.raises(ValueError, match=words):
        appearance(timber("Teak"), years, exposure, finish)
