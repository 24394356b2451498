"""The maker's own rows: over the table, never into it."""

from datetime import date
from decimal import Decimal

import pytest

from studio_lib.timber import all_species, appearance, member_movement_mm, timber
from studio_lib.timber.own import own_species

PLUM = {
    "name": "Garden plum", "botanical_name": "Prunus domestica", "group": "hardwood", "density_12pct_kg_m3": 790,
    "like": "Black cherry", "source": "weighed in the workshop, 2026",
}


def test_the_table_itself_stays_as_it_was():
    before = all_species()
    own_species([PLUM, {"name": "Teak", "moe_gpa": 11.5, "source": "supplier's sheet"}])
    assert all_species() is before and timber("Teak").moe_gpa == 10.7
    with pytest.raises(KeyError):
        timber("Garden plum")


def test_a_new_timber_has_looks_of_its_model_and_no_strength():
    library = own_species([PLUM])
    plum = library.timber("garden PLUM")
    assert plum.colour_new_hex == timber("Black cherry").colour_new_hex and plum.moe_gpa is None
    assert plum.source_of("density_12pct_kg_m3") == "maker's own, weighed in the workshop, 2026"
    assert len(library.species) == len(all_species()) + 1 and library.own == {"Garden plum"}
    assert appearance(plum, 1, "sun", "bare").base_hex.startswith("#")


def test_an_own_figure_replaces_that_figure_only_and_says_whose_it_is():
    library = own_species([{"name": "European oak", "shear_mpa": 11, "source": "tests at the college"}])
    oak = library.timber("European oak")
    assert oak.shear_mpa == 11 and oak.moe_gpa == timber("European oak").moe_gpa
    assert "maker's own, tests at the college" in oak.source_of("shear_mpa")
    assert "oak sheet" in oak.source_of("shear_mpa")


def test_a_figure_from_memory_becomes_the_makers():
    assert timber("White ash").source_of("durability_en350") == "from memory"
    ash = own_species([{"name": "White ash", "durability_en350": "5", "source": "EN 350:2016"}]).timber("White ash")
    assert "maker's own, EN 350:2016" in ash.source_of("durability_en350")


def test_own_movement_serves_the_sums():
    row = {**PLUM, "movement_radial_per_pct": 0.0018, "movement_tangential_per_pct": 0.003, "movement_basis": "unit shrinkage"}
    plum = own_species([row]).timber("Garden plum")
    # A straight line: 100 x 0.003 x 8.
    assert member_movement_mm(plum, 100, "flat", 8, 16) == pytest.approx(2.4)


def test_prices_stock_and_notes_stand_beside():
    library = own_species([
        {"name": "teak", "price_per_m3": "4800.50", "price_on": date(2026, 11, 2), "available": "to order", "note": "ask for dry"},
    ])
    assert library.prices["Teak"].per_m3 == Decimal("4800.50") and library.available["Teak"] == "to order"
    assert library.notes["Teak"] == "ask for dry" and library.own == frozenset()
    assert library.timber("Teak") == timber("Teak")


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({}, "Row 1 has no name"),
        ({"name": "Plum"}, "also give botanical_name, group, density_12pct_kg_m3, source"),
        ({**PLUM, "like": "Cherry"}, "like is 'Cherry', which is not on file"),
        ({**PLUM, "like": ""}, "give tone, figure"),
        ({**PLUM, "density_12pct_kg_m3": 0.79}, "density_12pct_kg_m3 is 0.79; 80 to 1400"),
        ({**PLUM, "density_12pct_kg_m3": "heavy"}, "'heavy'; a number"),
        ({**PLUM, "group": "fruitwood"}, "group is 'fruitwood'; allowed: softwood; hardwood"),
        ({**PLUM, "weight": 790}, "no such field: weight"),
        ({**PLUM, "movement_radial_per_pct": 0.003, "movement_tangential_per_pct": 0.002, "movement_basis": "unit shrinkage"}, "swapped"),
        ({**PLUM, "movement_tangential_per_pct": 0.002}, "give movement_basis too"),
        ({**PLUM, "durability_en350": "6"}, "a class from 1 to 5"),
        ({**PLUM, "colour_new_hex": "brown"}, "six hexadecimal"),
        ({**PLUM, "source": "a | b"}, "without the sign"),
        ({"name": "Teak", "moe_gpa": 11}, "give source too"),
        ({"name": "Teak", "price_per_m3": "4800"}, "price_on is None"),
        ({"name": "Teak", "price_per_m3": "dear", "price_on": "2026-11-02"}, "price_per_m3 is 'dear'"),
        ({"name": "Teak", "price_per_m3": -1, "price_on": "2026-11-02"}, "above 0"),
        ({"name": "Teak", "available": "soon"}, "available is 'soon'"),
    ],
)
def test_a_row_that_cannot_be_is_refused_in_words(row, words):
    with pytest.raises(ValueError, match=words):
        own_species([row])


def test_a_name_twice_is_refused():
    with pytest.raises(ValueError, match="stands twice"):
        own_species([PLUM, {**PLUM, "name": "GARDEN PLUM"}])
