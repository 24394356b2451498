"""Timbers side by side on one piece: sums by hand."""

from decimal import Decimal

import pytest

from studio_lib.timber import MoistureRange, timber
from studio_lib.timber.on_piece import PlainMember, compare_on_piece
from studio_lib.timber.own import own_species

LIBRARY = own_species([{"name": "Jarrah", "price_per_m3": "3000", "price_on": "2026-11-02"}])
OUT = MoistureRange(12, 22, 15, 2, "", "")
SLATS = PlainMember("slat", 10, 1000, 100, 20, 900)
LEGS = PlainMember("leg", 4, 700, 70, 70, None)


def compare(*names, members=(SLATS, LEGS), library=LIBRARY):
    return compare_on_piece(library, names, members, OUT, 0, "sun", "bare", 0.5)


def test_mass_movement_price_and_carbon_by_hand():
    # 10 x 1.0 x 0.1 x 0.02 = 0.02 m3, 4 x 0.7 x 0.07 x 0.07 = 0.01372: 0.03372 m3.
    (jarrah,) = compare("Jarrah")
    density = timber("Jarrah").density_12pct_kg_m3
    assert jarrah.mass_kg == pytest.approx(0.03372 * density)
    # Unit shrinkage 0.30 %: 100 mm x 0.003 x 7 up, x 3 down.
    assert jarrah.grows_mm == pytest.approx(2.1) and jarrah.shrinks_mm == pytest.approx(0.9) and jarrah.widest == "slat"
    # Half of what is bought ends in the piece: 0.06744 m3 at 3000.
    assert jarrah.boards_price == Decimal("202.32")
    # Dry mass is mass over 1.12, half of it carbon, 44 / 12 of that carbon dioxide.
    assert jarrah.stored_co2_kg == pytest.approx(0.03372 * density / 1.12 * 22 / 12)
    assert [years for years, _ in jarrah.swatches] == [0, 1, 3, 5, 10] and jarrah.missing == ()


def test_sections_for_the_same_sag():
    # A beam of half the stiffness wants the cube root of 2, 1.26, of the depth: ash 12 GPa; 6 GPa stands in here.
    soft = {
        "name": "Half ash", "botanical_name": "none", "group": "hardwood", "density_12pct_kg_m3": 400, "like": "White ash",
        "moe_gpa": 6, "source": "made up for this test",
    }
    ash, half = compare("White ash", "Half ash", library=own_species([soft]))
    assert ash.sections[0].needed_mm == pytest.approx(20)
    assert half.sections[0].needed_mm == pytest.approx(25.198, abs=0.001)
    assert half.mass_equal_sag_kg == pytest.approx(400 * (0.02 * 1.25992 + 0.01372), rel=1e-5)
    assert len(half.sections) == 1


def test_a_rail_on_edge_wants_depth_where_a_slat_wants_thickness():
    # Twice the stiffness of a rail 90 deep: 90 / 1.26 = 71.4; its volume goes with it.
    apron = PlainMember("apron", 2, 1000, 90, 30, 900, True)
    stiff = {"name": "Stiff ash", "botanical_name": "none", "group": "hardwood", "density_12pct_kg_m3": 700, "like": "White ash",
             "moe_gpa": 24, "source": "made up for this test"}
    _, found = compare("White ash", "Stiff ash", members=(apron,), library=own_species([stiff]))
    assert (found.sections[0].drawn_mm, found.sections[0].on_edge) == (90, True)
    assert found.sections[0].needed_mm == pytest.approx(71.43, abs=0.01)
    assert found.mass_equal_sag_kg == pytest.approx(700 * 2 * 1.0 * 0.07143 * 0.03, rel=1e-4)


def test_what_is_missing_is_said_and_not_made_up():
    _, pine = compare("Jarrah", "Acetylated radiata pine")
    assert pine.grows_mm is None and any(m.startswith("movement") for m in pine.missing)
    assert pine.boards_price is None and any(m.startswith("price") for m in pine.missing)
    plum = {"name": "Plum", "botanical_name": "Prunus", "group": "hardwood", "density_12pct_kg_m3": 790, "like": "Black cherry", "source": "own"}
    (first, _) = compare("Plum", "Teak", library=own_species([plum]))
    assert first.sections[0].needed_mm is None and first.mass_equal_sag_kg is None


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: compare(), "names holds 0 timbers"),
        (lambda: compare(*["Teak"] * 5), "names holds 5 timbers; 1 to 4"),
        (lambda: compare("Teak", members=()), "members is empty"),
        (lambda: PlainMember("slat", 0, 1, 1, 1, None), "slat: count is 0"),
        (lambda: PlainMember("slat", 1, 1, 0, 1, None), "slat: width_mm is 0"),
        (lambda: PlainMember("slat", 1, 1, 1, 1, 0), "span_mm is 0"),
        (lambda: compare_on_piece(LIBRARY, ["Teak"], [SLATS], OUT, 0, "sun", "bare", 1.5), "yield_fraction is 1.5"),
    ],
)
def test_nonsense_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
