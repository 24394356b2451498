"""The document: valid by construction, JSON in and out, refusals a maker can act on."""

from decimal import Decimal

import pytest
from pydantic import ValidationError

from studio_lib.commission import Commission, refusals
from studio_lib.demo import demo


def test_there_and_back_through_json():
    document = demo()
    assert Commission.model_validate_json(document.model_dump_json()) == document


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("brief.people", 0, "People is 0; give 1 or more."),
        ("brief.years_wanted", 500, "Years wanted is 500; give 200 or less."),
        ("brief.people", 2.5, "People is 2.5; give a whole number."),
        ("brief.place", "on the moon", "give one of"),
        ("rates.profit_margin", 1.0, "give less than 1"),
        ("rates.overheads_per_year", "12.345", "no more than two decimals"),
        ("timber.making_moisture_pct", 60, "Making moisture, %, is 60; give 25 or less."),
        ("boards.kerf_mm", float("nan"), "give a number"),
    ],
)
def test_a_bad_value_names_field_value_and_what_is_allowed(path, value, words):
    with pytest.raises(ValidationError) as error:
        demo().changed(path, value)
    said = refusals(error.value)
    assert words in said[path]


def test_a_fault_off_the_board_is_refused():
    with pytest.raises(ValidationError, match="off a board of 2350 x 240"):
        demo().changed("boards.offered.3.faults", [
            {"x0_mm": 2300, "x1_mm": 2400, "y0_mm": 0, "y1_mm": 50, "severity": 2, "name": "knot"}])


def test_two_pieces_cannot_share_a_name():
    with pytest.raises(ValidationError, match="give each its own name"):
        demo().changed("items.1.name", "terrace table")


def test_unknown_path_and_unknown_field_are_refused():
    with pytest.raises(KeyError, match="no field 'brief.colour'"):
        demo().changed("brief.colour", "red")
    with pytest.raises(ValidationError):
        Commission.model_validate({"ref": "A1", "title": "x", "price": 5})


def test_a_size_taken_away_returns_to_the_form():
    document = demo().changed("items.0.sizes.length_mm", 1900)
    assert document.items[0].sizes["length_mm"] == 1900
    assert "length_mm" not in document.changed("items.0.sizes.length_mm", None).items[0].sizes


def test_a_change_leaves_the_document_it_came_from():
    before = demo()
    before.changed("brief.people", 8)
    assert before.brief.people == 6


def test_money_keeps_its_cents():
    document = demo().changed("brief.budget", "1234.50")
    assert document.brief.budget == Decimal("1234.50")
    assert '"budget":"1234.50"' in document.model_dump_json()


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("brief.climate", "on the moon", "Climate is 'on the moon'; choose one of temperate lakeside,"),
        ("brief.needs_leave", ["magic"], "'magic' is not on file; give any of fixed to building,"),
        ("brief.leave_given", ["magic"], "'magic' is not on file; give any of fixed to building,"),
        ("brief.wind", "howling", "give one of"),
        ("brief.wind_m_s", 300, "Wind, m/s, is 300; give 90 or less."),
        ("brief.own_climate.winter.humidity_pct", 120, "Humidity, %, is 120; give 95 or less."),
        ("brief.own_climate.summer.temperature_c", "warm", "Temperature, °C, is 'warm'; give a number."),
        ("brief.own_climate", {"summer": {"temperature_c": 2}, "winter": {"temperature_c": 20}}, "colder than winter at 20; turn them round"),
    ],
)
def test_words_and_air_that_cannot_be_are_refused_with_what_can(path, value, words):
    before = demo()
    with pytest.raises(ValidationError) as error:
        before.changed(path, value)
    assert words in refusals(error.value)[path]
    assert before == demo()


def test_a_document_made_by_hand_is_refused_as_a_page_would():
    plain = demo().model_dump(mode="json")
    plain["brief"]["needs_leave"] = ["a wizard"]
    with pytest.raises(ValidationError, match="a wizard"):
        Commission.model_validate(plain)


def test_an_entered_climate_says_what_it_still_wants():
    half = demo().changed("brief.own_climate.summer", {"temperature_c": 24, "humidity_pct": 60}).changed("brief.own_climate.spring.humidity_pct", 70)
    own = half.brief.own_climate
    assert own.begun and not own.complete and own.air("temperate inland") is None
    assert own.missing == ("winter temperature", "winter humidity", "spring temperature")
    assert half.brief.climate_words == "temperate lakeside"
    assert not demo().brief.own_climate.begun and demo().brief.own_climate.missing == ()
