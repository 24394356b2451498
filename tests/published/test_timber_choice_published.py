"""The second half of the timber library against print: strength tables, Eq. 5-3, colour, air, carbon, classes, glue.

"Handbook" is Forest Products Laboratory, Wood Handbook: FPL-GTR-190 (2010) or FPL-GTR-282 (2021).
"""

import csv
from pathlib import Path

import pytest

from studio_lib.finishing import adhesives
from studio_lib.timber import (
    Climate,
    all_species,
    equilibrium_moisture_pct,
    member_movement_mm,
    movement_at_angle,
    movement_wide_mm,
    service_range,
    timber,
)
from studio_lib.timber.carbon import stored_co2_kg
from studio_lib.timber.colour import lab_from_hex
from studio_lib.timber.life import Details, life_outdoors
from studio_lib.timber.moisture import _warmed
from studio_lib.timber.provisions import mitre_opening
from studio_lib.timber.strength import member_strength_mpa, strength_at_moisture_mpa
from studio_lib.timber.tables import rows

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference" / "timber"
NEEDS_TABLES = pytest.mark.skipif(not REFERENCE.is_dir(), reason="the handbook's tables as files are not beside this checkout")
MM_PER_INCH = 25.4


def reference(name):
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# Handbook table 5-3a (metric), 12 %: specific gravity, MOR kPa, MOE MPa, compression parallel and perpendicular kPa,
# shear kPa, side hardness N. Carried exactly.
@pytest.mark.parametrize(
    ("name", "gravity", "mor", "moe", "along", "across", "shear", "hardness"),
    [
        ("Green ash", 0.56, 97000, 11400, 48800, 9000, 13200, 5300),
        ("Oregon ash", 0.55, 88000, 9400, 41600, 8600, 12300, 5200),
        ("Sweet birch", 0.65, 117000, 15000, 58900, 7400, 15400, 6500),
        ("Slippery elm", 0.53, 90000, 10300, 43900, 5700, 11200, 3800),
        ("Water tupelo", 0.50, 66000, 8700, 40800, 6000, 11000, 3900),
        ("Chestnut oak", 0.66, 92000, 11000, 47100, 5800, 10300, 5000),
        ("Overcup oak", 0.63, 87000, 9800, 42700, 5600, 13800, 5300),
        ("Shortleaf pine (southern pine)", 0.51, 90000, 12100, 50100, 5700, 9600, 3100),
        ("Atlantic white cedar", 0.32, 47000, 6400, 32400, 2800, 5500, 1600),
        ("Noble fir", 0.39, 74000, 11900, 42100, 3600, 7200, 1800),
        ("White oak (American)", 0.68, 105000, 12300, 51300, 7400, 13800, 6000),
        ("Northern red oak", 0.63, 99000, 12500, 46600, 7000, 12300, 5700),
        ("Black walnut", 0.55, 101000, 11600, 52300, 7000, 9400, 4500),
        ("Western larch", 0.52, 90000, 12900, 52500, 6400, 9400, 3700),
    ],
)
def test_strength_of_table_5_3a(name, gravity, mor, moe, along, across, shear, hardness):
    wood = timber(name)
    assert wood.mor_mpa * 1000 == pytest.approx(mor)
    assert wood.moe_gpa * 1000 == pytest.approx(moe)
    assert wood.compression_parallel_mpa * 1000 == pytest.approx(along)
    assert wood.compression_perpendicular_mpa * 1000 == pytest.approx(across)
    assert wood.shear_mpa * 1000 == pytest.approx(shear)
    assert wood.hardness_n == hardness
    assert wood.density_12pct_kg_m3 == pytest.approx(1120 * gravity, abs=0.5)


# The whole of table 5-3a, every timber on file that stands in it, every figure.
@NEEDS_TABLES
def test_every_figure_of_table_5_3a_is_carried_exactly():
    printed = {row["species"]: row for row in reference("wood_handbook_t5_3a_12pct")}
    woods = [s for s in all_species() if s.label_in_source in printed]
    assert len(woods) >= 50
    for wood in woods:
        row = printed[wood.label_in_source]
        for field, column, scale in (
            ("mor_mpa", "MOR_kPa", 1000), ("moe_gpa", "MOE_MPa", 1000), ("compression_parallel_mpa", "comp_par_kPa", 1000),
            ("compression_perpendicular_mpa", "comp_perp_kPa", 1000), ("shear_mpa", "shear_par_kPa", 1000),
            ("hardness_n", "side_hardness_N", 1),
        ):
            own = getattr(wood, field)
            if "Table 5-3a" not in (wood.source_of(field) if own is not None else ""):
                continue
            assert own * scale == pytest.approx(float(row[column])), (wood.name, field)


# Handbook table 4-3 (radial, tangential, green to ovendry) beside table 13-5 (coefficients): one line, C = S / 3000 /
# (1 - 20 S / 3000). Pairs as printed; half the last digit of C, and of S (0.05 % is 0.00002 in C).
@pytest.mark.parametrize(
    ("label", "shrink", "printed"),
    [
        ("Oregon ash, radial", 4.1, 0.00141), ("Oregon ash, tangential", 8.1, 0.00285),
        ("pumpkin ash, radial", 3.7, 0.00126), ("pumpkin ash, tangential", 6.3, 0.00219),
        ("paper birch, radial", 6.3, 0.00219), ("paper birch, tangential", 8.6, 0.00304),
        ("river birch, radial", 4.7, 0.00162), ("river birch, tangential", 9.2, 0.00327),
        ("butternut, radial", 3.4, 0.00116), ("butternut, tangential", 6.4, 0.00223),
        ("black cottonwood, radial", 3.6, 0.00123), ("black cottonwood, tangential", 8.6, 0.00304),
        ("slippery elm, radial", 4.9, 0.00169), ("slippery elm, tangential", 8.9, 0.00315),
        ("winged elm, radial", 5.3, 0.00183), ("winged elm, tangential", 11.6, 0.00419),
        ("overcup oak, radial", 5.3, 0.00183), ("overcup oak, tangential", 12.7, 0.00462),
        ("live oak, radial", 6.6, 0.00230), ("live oak, tangential", 9.5, 0.00338),
        ("persimmon, radial", 7.9, 0.00278), ("persimmon, tangential", 11.2, 0.00403),
        ("tanoak, radial", 4.9, 0.00169), ("tanoak, tangential", 11.7, 0.00423),
        ("sassafras, radial", 4.0, 0.00137), ("sassafras, tangential", 6.2, 0.00216),
        ("water tupelo, radial", 4.2, 0.00144), ("water tupelo, tangential", 7.6, 0.00267),
    ],
)
def test_shrinkage_and_coefficient_are_one_line(label, shrink, printed):
    assert movement_wide_mm(1, shrink, 10, 11) == pytest.approx(printed, abs=0.000025)


# Handbook FPL-GTR-282 p. 5-34, example to eq. 5-3: white ash, modulus of rupture 103 000 kPa at 12 %, 66 000 green,
# intersection 24 %; at 8 % 119 500 kPa. Printed to 500 kPa.
def test_white_ash_at_8_per_cent():
    assert strength_at_moisture_mpa(103, 66, 24, 8) == pytest.approx(119.5, abs=0.25)
    assert member_strength_mpa(timber("White ash"), "mor_mpa", 8) == pytest.approx(119.5, abs=0.25)


# Handbook FPL-GTR-282 table 5-3a, green rows: modulus of rupture kPa, of elasticity MPa.
@pytest.mark.parametrize(
    ("name", "mor", "moe"),
    [
        ("White oak (American)", 57000, 8600), ("Northern red oak", 57000, 9300), ("Sugar maple (hard maple)", 65000, 10700),
        ("Black cherry", 55000, 9000), ("Western larch", 53000, 10100), ("Yellow-poplar (tulipwood)", 41000, 8400),
    ],
)
def test_green_wood_has_the_green_figures(name, mor, moe):
    assert member_strength_mpa(timber(name), "mor_mpa", 30) * 1000 == pytest.approx(mor)
    assert member_strength_mpa(timber(name), "moe_gpa", 30) * 1000 == pytest.approx(moe)


# CIELAB of the sRGB primaries and secondaries under D65, 2 degree observer, as tabled by B. Lindbloom's calculator
# (from memory, printed to four digits; the last may hang on the digits of the white point, hence 0.01).
@pytest.mark.parametrize(
    ("colour", "lab"),
    [
        ("#ff0000", (53.2408, 80.0925, 67.2032)), ("#00ff00", (87.7347, -86.1827, 83.1793)),
        ("#0000ff", (32.2970, 79.1875, -107.8602)), ("#ffffff", (100, 0, 0)), ("#000000", (0, 0, 0)),
    ],
)
def test_lab_of_the_primaries(colour, lab):
    assert lab_from_hex(colour) == pytest.approx(lab, abs=0.01)


# colour-science 0.4.7, sRGB_to_XYZ then XYZ_to_Lab: three wood colours. It takes the matrix as rounded in IEC 61966-2-1,
# which moves red by 0.02: hence 0.03.
@pytest.mark.parametrize(
    ("colour", "lab"),
    [
        ("#c2a074", (67.9261, 6.5011, 27.6491)), ("#99948c", (61.5207, 0.3667, 4.8800)), ("#6b4c36", (35.1250, 10.1491, 18.2353)),
    ],
)
def test_lab_of_wood_colours_against_a_colour_library(colour, lab):
    assert lab_from_hex(colour) == pytest.approx(lab, abs=0.03)


# CIE 15: L* 50 is a luminance of 18.4 %, the grey that sRGB writes as 119 of 255.
def test_middle_grey():
    assert lab_from_hex("#777777")[0] == pytest.approx(50, abs=0.1)


# Air warmed without adding water, by PsychroLib 2.5.0 (ASHRAE Fundamentals 2017 ch. 1) at 101 325 Pa: GetHumRatioFromRelHum,
# then GetRelHumFromHumRatio. A heated room's winter moisture follows from that.
@pytest.mark.parametrize(
    ("winter_c", "winter_pct", "room_c", "library_pct"), [(5, 87, 20, 32.455), (19, 72, 21, 63.610), (2, 85, 21, 24.121)]
)
def test_warmed_air_against_a_psychrometric_library(winter_c, winter_pct, room_c, library_pct):
    # The Magnus form and ASHRAE's differ by up to 0.4 % of the pressure ratio.
    assert _warmed(winter_c, winter_pct, room_c)[1] == pytest.approx(library_pct, rel=0.004)


# Two trade pages: about 1 % moisture content for 5 % humidity between 30 and 65 % (6 % at 30, 9 at 50, 12 at 65, 16 at
# 80 % humidity, 70 degF). Whole percents are printed.
@pytest.mark.parametrize(("humidity", "printed"), [(30, 6), (50, 9), (65, 12), (80, 16)])
def test_the_rounded_rule_of_the_trade(humidity, printed):
    assert equilibrium_moisture_pct(21.1, humidity) == pytest.approx(printed, abs=0.5)


# A furniture textbook's table: living rooms with ordinary heating 11 to 13 %, continuous high heating 9 to 11 %,
# outdoor furniture 16 %. A mild maritime year must make a heated room's boards within a point of the first, the
# weather's within two of the last.
def test_making_moisture_against_a_textbook():
    mild = Climate("textbook", 18, 76, 7, 84, 50, "made up for this check")
    assert 10 <= service_range("indoors, heated", mild).making_pct <= 14
    assert service_range("outdoors, in the weather", mild).making_pct == pytest.approx(16, abs=2)


# EN 16449: a kilogram of dry wood of 45 % carbon holds 1.65 kg of carbon dioxide (a timber trade page), of 50 % 1.83 kg
# (44 / 12 / 2). A panel maker states 3970 kg for 5 m3 of laminated veneer lumber, 794 kg/m3: at 12 % that is wood of
# 485 kg/m3, within the 480 to 510 of such panels (from memory).
def test_carbon_dioxide_in_print():
    assert stored_co2_kg(1, 1000, 0, 0.45) / 1000 == pytest.approx(1.65, abs=0.005)
    assert stored_co2_kg(1, 1000, 0) / 1000 == pytest.approx(1.83, abs=0.005)
    assert stored_co2_kg(5, 480, 12) < 3970 < stored_co2_kg(5, 510, 12)
    assert stored_co2_kg(5, 485, 12) == pytest.approx(3970, abs=5)


# The sum written out: 460 kg/m3 at 12 % is 410.71 kg dry, 205.36 kg carbon, 752.98 kg carbon dioxide; 0.1 m3 of 700: 62.5
# kg dry, 31.25 carbon, 114.58.
@pytest.mark.parametrize(("volume", "density", "kg"), [(1, 460, 752.98), (0.1, 700, 114.58), (1, 820, 1342.26)])
def test_carbon_dioxide_written_out(volume, density, kg):
    assert stored_co2_kg(volume, density, 12) == pytest.approx(kg, abs=0.005)


# EN 350 guide lives in ground, as printed in a trade journal; AS 5604:2005 as tabled by the Queensland government.
@pytest.mark.parametrize(
    ("system", "exposure", "years"),
    [
        ("EN 350", "in ground", {"1": ("25", ""), "2": ("15", "25"), "3": ("10", "15"), "4": ("5", "10"), "5": ("0", "5")}),
        ("AS 5604", "above ground", {"1": ("40", ""), "2": ("15", "40"), "3": ("7", "15"), "4": ("0", "7")}),
        ("AS 5604", "in ground", {"1": ("25", ""), "2": ("15", "25"), "3": ("5", "15"), "4": ("0", "5")}),
    ],
)
def test_lives_of_the_classes(system, exposure, years):
    found = {
        r["durability_class"]: (r["years_low"], r["years_high"])
        for r in rows("durability_lives") if (r["system"], r["exposure"]) == (system, exposure)
    }
    assert found == years


# EN 335:2013 and EN 460:1994 (from memory): class 1 any; class 2 DC 1 to 3 enough, 4 and 5 usually; class 3 DC 1 and 2
# enough, 3 usually, 4 and 5 depends.
def test_use_class_table():
    found = {r["use_class"]: [r[f"dc{c}"] for c in range(1, 6)] for r in rows("use_classes")}
    assert found == {
        "1": ["enough"] * 5, "2": ["enough"] * 3 + ["usually"] * 2, "3": ["enough"] * 2 + ["usually"] + ["depends"] * 2,
    }


# EN 350:2016 as listed by the Nordic Wood Preservation Council: oak 2 to 4, ash 5, teak 1. Queensland sheets: spotted gum,
# tallowwood, grey ironbark AS 5604 class 1 above ground.
@pytest.mark.parametrize(("name", "durability"), [("European oak", "2-4"), ("European ash", "5"), ("Teak", "1")])
def test_classes_of_en_350(name, durability):
    assert timber(name).durability_en350 == durability


@pytest.mark.parametrize("name", ["Spotted gum", "Tallowwood", "Grey ironbark"])
def test_classes_of_as_5604(name):
    assert timber(name).durability_as5604_above_ground == "1"
    assert life_outdoors(timber(name), "outdoors, in the weather", Details(True, True, True, False, False)).years_low == 40


# Furniture textbook, English oak 12 in (304 mm) from 20 to 12 %: 8 mm tangential, 4.5 radial; beech 9.5 and 5.5. Other
# woods of the kind than ours and a round rule: within 30 %.
@pytest.mark.parametrize(
    ("shrink", "printed"), [(8.9, 8), (4.3, 4.5), (11.8, 9.5), (5.8, 5.5)]
)
def test_a_textbook_foot_of_oak_and_beech(shrink, printed):
    assert -movement_wide_mm(304, shrink, 20, 12) == pytest.approx(printed, rel=0.3)


# Trade association page: 12 in plain-sawn, 10 to 5 %, in sixty-fourths of an inch: ash 10, cherry 9, walnut 10, butternut 8.
# Its oak, hickory and beech lie well under table 13-5 and are left out. Whole sixty-fourths.
@pytest.mark.parametrize(
    ("name", "sixty_fourths"), [("White ash", 10), ("Black cherry", 9), ("Black walnut", 10), ("Butternut", 8)]
)
def test_a_foot_of_board_from_the_trade(name, sixty_fourths):
    wood = timber(name)
    assert 12 * 64 * 5 * wood.movement_tangential_per_pct == pytest.approx(sixty_fourths, abs=0.7)


# A maker's printed example: white oak 12 in wide at 14 % becomes 11 5/8 in at 5 %. The handbook's tangential figure makes
# it 0.39 in: the example lies between the radial and the tangential board, close to the latter.
def test_a_printed_white_oak_board():
    oak = timber("White oak (American)")
    flat, rift, quarter = (
        -movement_at_angle(oak, 12 * MM_PER_INCH, a, "width", 14, 5).mm / MM_PER_INCH for a in (0, 45, 90)
    )
    assert quarter < rift < 3 / 8 < flat
    assert flat == pytest.approx(3 / 8, rel=0.1)


# Timber-engineering textbook: 13.25 in deep at 19 %, 6 % shrinkage over 30 %: at 10 % 13.01 in, by 0.2 % of the depth per
# 1 %. Eq. 13-3 takes the shrinkage of the green size, so the same board loses a little more: 13.25 x 9 / (500 - 11).
def test_a_textbook_beam():
    assert 13.25 + movement_wide_mm(13.25, 6, 19, 10) == pytest.approx(13.01, abs=0.01)


# Carpenters' pages: 11 % is at least 3 % too wet for 4 1/2 in casing in a New England winter; such mitres are found open by
# 1/32 to 1/16 in, on the inside. Casing is pine or poplar: table 13-5 and eq. 13-2 over those three points.
@pytest.mark.parametrize("name", ["Eastern white pine", "Yellow-poplar (tulipwood)"])
def test_a_casing_mitre(name):
    width = 4.5 * MM_PER_INCH
    found = mitre_opening(width, member_movement_mm(timber(name), width, "flat", 11, 8), 90)
    assert 1 / 32 < found.gap_mm / MM_PER_INCH < 1 / 16 and found.open_at == "inside"


# EN 204 in the trade's literature: four classes; D4 for exposed places with coating. EN 301: types I and II.
def test_exterior_classes_on_file():
    found = {a.family: a.exterior_class for a in adhesives()}
    assert found["PVA, D3"] == "EN 204 D3" and found["PVA, two-part D4"] == "EN 204 D4"
    assert found["resorcinol (phenol-resorcinol)"] == "EN 301 type I" and found["urea-formaldehyde"] == "EN 301 type II"


# Table 5-3a's own neighbours: no timber is named twice, and every continent that furniture timber comes from is there.
def test_four_continents_and_eighty_timbers():
    assert len(all_species()) >= 80
    for names in (
        ("European oak", "Sweet chestnut", "European larch"), ("Iroko", "Sapele", "African mahogany (Khaya)"),
        ("Teak", "Dark red meranti", "Kwila / merbau"), ("Jarrah", "Blackbutt", "Blackwood"),
        ("White oak (American)", "Black walnut"), ("American mahogany (bigleaf)", "Spanish-cedar (Cedrela)"),
    ):
        for name in names:
            timber(name)
