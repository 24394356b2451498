"""Carbon: limits and words. Published values stand in tests/published."""

import pytest

from studio_lib.timber.carbon import carbon_says, stored_co2_kg


def test_water_holds_no_carbon():
    # 1.12 kg at 12 % and 1 kg ovendry are the same wood.
    assert stored_co2_kg(1, 560, 12) == pytest.approx(stored_co2_kg(1, 500, 0))
    assert stored_co2_kg(0, 560, 12) == 0


def test_the_sentence_says_what_is_left_out():
    assert carbon_says(114.6).startswith("115 kg") and "offsets nothing" in carbon_says(114.6)


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ((-1, 560, 12), "volume_m3 is -1"), ((1, 0.56, 12), "density_kg_m3 is 0.56"), ((1, 560, 40), "moisture_pct is 40"),
        ((1, 560, 12, 50), "carbon_fraction is 50"),
    ],
)
def test_nonsense_is_refused(args, words):
    with pytest.raises(ValueError, match=words):
        stored_co2_kg(*args)
