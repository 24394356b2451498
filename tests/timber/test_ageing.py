"""Looks over the years: a guess, but an orderly one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import all_species, appearance, greying, timber
from studio_lib.timber.ageing import EXPOSURES, FINISHES, SHARES
from studio_lib.timber.colour import difference, lab_from_hex

woods = st.sampled_from(all_species())
exposures = st.sampled_from(EXPOSURES)
finishes = st.sampled_from(FINISHES)


def brightness(colour):
    return sum(int(colour[i : i + 2], 16) for i in (1, 3, 5))


@given(woods, st.floats(0, 9.5), exposures, finishes)
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


def test_the_old_names_mean_sun_and_eaves():
    for wood in all_species()[:10]:
        for finish in FINISHES:
            assert appearance(wood, 2, "weather", finish) == appearance(wood, 2, "sun", finish)
            assert appearance(wood, 2, "under cover", finish) == appearance(wood, 2, "eaves", finish)


# From memory, common practice: greying is slower in shade and under eaves, and film holds it back longest while whole;
# oil put on once and left goes the way of bare wood; damp shade is darker and greener than bleached sun.
def test_exposure_and_finish_in_order():
    oak = timber("European oak")
    at = {(e, f): appearance(oak, 3, e, f) for e in ("sun", "shade", "driven rain", "eaves") for f in FINISHES}
    for finish in FINISHES:
        assert at["sun", finish].grey_fraction > at["shade", finish].grey_fraction > at["eaves", finish].grey_fraction
        assert at["sun", finish].grey_fraction > at["driven rain", finish].grey_fraction > at["eaves", finish].grey_fraction
    for place in ("sun", "shade", "eaves"):
        kept = [at[place, f].grey_fraction for f in ("film", "oiled", "oiled once", "bare")]
        assert kept == sorted(kept)
    sun, shade = (lab_from_hex(appearance(oak, 10, e, "bare").base_hex) for e in ("sun", "shade"))
    assert shade[0] < sun[0] and shade[1] < sun[1]
    assert "green with algae" in at["shade", "bare"].says and "kept whole" in at["sun", "film"].says


def test_oil_once_ends_as_bare():
    for wood in all_species():
        assert difference(appearance(wood, 10, "sun", "oiled once").base_hex, wood.colour_weathered_hex) < 1


def test_no_change_comes_in_a_jump():
    # Two weeks at the steepest pace (two thirds in 0.4 years) are a tenth of the way; from new to grey is 65 at most.
    for wood in all_species():
        for exposure in EXPOSURES:
            for finish in FINISHES:
                looks = [appearance(wood, i / 26, exposure, finish).base_hex for i in range(53)]
                assert max(map(difference, looks, looks[1:])) < 7


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
        (1, "weather", "waxed", "finish is 'waxed'; allowed: bare, oiled, oiled once, film"),
    ],
)
def test_nonsense_is_refused(years, exposure, finish, words):
    with pytest.raises(ValueError, match=words):
        appearance(timber("Teak"), years, exposure, finish)


# The words for a client and the colours of the pictures come from one share of grey.
@pytest.mark.parametrize("exposure", [e for e in EXPOSURES if e != "indoors"])
@pytest.mark.parametrize("finish", FINISHES)
def test_the_words_on_greying_say_what_the_pictures_show(exposure, finish):
    said = greying(exposure, finish)
    first, last = (appearance(timber("Teak"), y, exposure, finish).grey_fraction for y in (1, 10))
    assert ("silver grey" in said) == (first >= 0.9)
    named = [share for share, words in SHARES if f"about {words} grey after ten" in said]
    if named:
        assert abs(named[0] - last) <= 0.1
    else:
        assert last >= 0.9


# Reference: blotchy for one to three years under eaves, grey in 3 to 12 months only where exposed (from memory).
def test_under_a_roof_nothing_is_called_silver():
    assert greying("under cover", "bare") == (
        "goes grey slowly and in blotches: about a fifth grey after one year, about half grey after ten"
    )
    assert "silver" not in appearance(timber("European oak"), 10, "eaves", "bare").says.lower()
    assert greying("weather", "bare") == "goes silver grey within about a year"
    assert greying("indoors", "bare") == ""
    with pytest.raises(ValueError, match="exposure is 'garden'"):
        greying("garden", "bare")
