"""Every row of the species table, and what happens when a name or a figure is missing."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import FigureMissing, all_species, species_table, stand_in, timber
from studio_lib.timber.species import SOURCE_GROUP

# Bands to catch a slipped decimal place or unit, wider than any timber: common practice,
# no source.
BANDS = {
    "density_12pct_kg_m3": (300, 1200),
    "shrink_radial_pct": (0.5, 8.5),
    "shrink_tangential_pct": (1, 14),
    "movement_radial_per_pct": (0.0005, 0.0040),
    "movement_tangential_per_pct": (0.0012, 0.0050),
    "moe_gpa": (5, 25),
    "mor_mpa": (35, 190),
    "compression_parallel_mpa": (25, 80),
    "compression_perpendicular_mpa": (2, 14),
    "shear_mpa": (5, 18),
    "hardness_n": (1200, 15000),
}
WORDS = {
    "group": {"softwood", "hardwood"},
    "gluing": {"easy", "moderate", "difficult"},
    "tannin": {"none", "some", "strong"},
    "tone": {"light", "mid", "dark", "red"},
    "durability_en350": {"1", "1-2", "2", "2-3", "2-4", "3", "3-4", "4", "4-5", "5"},
    "durability_as5604_above_ground": {"1", "2", "3", "4", None},
    "durability_as5604_in_ground": {"1", "2", "3", "4", None},
    "shrink_basis": {
        "green to ovendry", "green to 12 %, before reconditioning",
        "saturated to ovendry", "not stated",
    },
    "movement_basis": {
        "handbook coefficient", "handbook group coefficient", "worked from shrinkage",
        "unit shrinkage", "differential swelling", "",
    },
}
COLOURS = ("colour_new_hex", "colour_indoors_hex", "colour_weathered_hex")

by_name = pytest.mark.parametrize("wood", all_species(), ids=lambda s: s.name)


@by_name
def test_a_row_is_plausible_and_every_figure_has_a_source(wood):
    for field, (low, high) in BANDS.items():
        value = getattr(wood, field)
        assert value is None or low <= value <= high, field
    for field, allowed in WORDS.items():
        assert getattr(wood, field) in allowed | {None}, field
    for field in SOURCE_GROUP:
        if getattr(wood, field) not in (None, ""):
            assert len(wood.source_of(field)) > 8, field
    for field in COLOURS:
        assert re.fullmatch("#[0-9a-f]{6}", getattr(wood, field))
    assert wood.botanical_name and wood.label_in_source and date(2026, 11, 25) <= date.fromisoformat(wood.read_on)
    assert not re.search(r"\bS\d+b?\b", wood.source)


@by_name
def test_radial_lies_below_tangential_and_hard_follows_heavy(wood):
    assert wood.shrink_radial_pct < wood.shrink_tangential_pct
    if wood.movement_tangential_per_pct:
        assert wood.movement_radial_per_pct < wood.movement_tangential_per_pct
    if wood.compression_parallel_mpa:
        assert wood.compression_parallel_mpa < wood.mor_mpa or wood.name.startswith("Acet")
    # Across timbers side hardness rises about with the square of density: a row whose
    # two figures belong to different timbers falls out of this band. Common practice,
    # no source.
    if wood.hardness_n:
        assert 0.6 < wood.hardness_n / (0.0127 * wood.density_12pct_kg_m3**2) < 1.6


def test_names_are_unique_and_the_table_shows_all():
    names = [s.name.casefold() for s in all_species()]
    assert len(names) == len(set(names)) == 92
    table = species_table()
    assert list(table.index.str.casefold()) == names
    assert table.loc["Teak", "durability_en350"] == "1"


def test_capitals_do_not_matter_and_guesses_are_refused():
    assert timber("EUROPEAN oak") is timber("European oak")
    with pytest.raises(KeyError, match="European oak.*Northern red oak.*White oak"):
        timber("oak")


@given(st.text(max_size=12))
def test_no_name_is_guessed(name):
    known = {s.name.casefold() for s in all_species()}
    if name.strip().casefold() not in known:
        with pytest.raises(KeyError, match="On file"):
            timber(name)


def test_a_missing_figure_is_named_and_not_filled_in():
    ironbark = timber("Grey ironbark")
    assert ironbark.shear_mpa is None
    with pytest.raises(FigureMissing, match="Grey ironbark has no shear strength on file"):
        ironbark.needs("mor_mpa", "shear_mpa")
    assert ironbark.needs("mor_mpa", "moe_gpa") == (181, 24)


def test_a_stand_in_errs_to_the_safe_side_and_says_what_it_is():
    beech = timber("European beech")
    shear, reason = stand_in(beech, "shear_mpa")
    alike = [
        s.shear_mpa for s in all_species()
        if s.group == "hardwood" and s.shear_mpa and 641 <= s.density_12pct_kg_m3 <= 783
    ]
    assert shear == min(alike) and "stand-in" in reason and "Chestnut oak" in reason
    pine = timber("Acetylated radiata pine")
    movement, reason = stand_in(pine, "movement_tangential_per_pct")
    assert movement >= timber("Sitka spruce").movement_tangential_per_pct
    assert "highest" in reason


@pytest.mark.parametrize(
    ("name", "field", "words"),
    [
        ("European oak", "durability_en350", "No stand-in for 'durability_en350'"),
        ("White ash", "shear_mpa", "White ash has shear_mpa on file: 13.2"),
    ],
)
def test_a_stand_in_is_refused(name, field, words):
    with pytest.raises(ValueError, match=words):
        stand_in(timber(name), field)
