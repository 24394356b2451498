"""Movement: which figure serves when, and how slat gaps follow."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import (
    FigureMissing,
    MoistureRange,
    member_movement,
    member_movement_mm,
    movement_mm,
    movement_wide_mm,
    slat_gap_mm,
    timber,
)

OUT = MoistureRange(12, 25, 16, 2, "", "")
widths = st.floats(20, 1200)
wetnesses = st.floats(0, 30)


@given(widths, st.floats(1, 14), wetnesses, wetnesses)
def test_a_board_dried_and_wetted_again_has_its_old_width(width, shrink, dry, wet):
    grown = width + movement_wide_mm(width, shrink, dry, wet)
    assert grown + movement_wide_mm(grown, shrink, wet, dry) == pytest.approx(width)


@given(widths, st.floats(1, 14))
def test_a_green_board_dried_out_loses_its_total_shrinkage(width, shrink):
    assert movement_wide_mm(width, shrink, 30, 0) == pytest.approx(-width * shrink / 100)


def test_a_flat_sawn_board_moves_more_and_mixed_counts_as_flat():
    beech = timber("European beech")
    flat, mixed, quarter = (
        member_movement(beech, 120, s, 16, 25) for s in ("flat", "mixed", "quarter")
    )
    assert flat.mm == mixed.mm > quarter.mm > 0
    assert "mixed" in mixed.says and "mixed" not in flat.says


def test_the_moisture_range_chooses_the_equation():
    ash = timber("White ash")
    near = member_movement(ash, 120, "flat", 8, 12)
    far = member_movement(ash, 120, "flat", 8, 16)
    assert "Eq. 13-2" in near.source and "Table 13-5" in near.source
    assert "Eq. 13-3" in far.source and "Table 4-3" in far.source
    # The two agree where both hold: twice the change, within 2 % of it.
    assert far.mm == pytest.approx(2 * near.mm, rel=0.02)


def test_unit_shrinkage_is_a_straight_line_up_to_25():
    # Blackbutt, unit shrinkage 0.37 % tangential (Queensland species sheet): a 100 mm
    # board going from 12 to 25 % grows 13 x 0.37 = 4.81 mm.
    blackbutt = timber("Blackbutt")
    assert member_movement_mm(blackbutt, 100, "flat", 12, 25) == pytest.approx(4.81)
    with pytest.raises(ValueError, match="to_pct is 28 %; the unit shrinkage of Blackbutt"):
        member_movement(blackbutt, 100, "flat", 12, 28)


def test_shrinkage_measured_to_12_pct_is_never_put_into_the_wide_equation():
    # Merbau has only a handbook coefficient (0.00158) and an Australian shrinkage to
    # 12 % (2.5): from 10 % the handbook relation makes them the same line.
    grown = member_movement(timber("Kwila / merbau"), 1000, "flat", 10, 20)
    assert grown.mm == pytest.approx(1000 * 0.00158 * 10)
    assert "worked back" in grown.says


def test_a_timber_without_the_figure_is_refused_with_the_way_out():
    with pytest.raises(FigureMissing, match=r"whole swing .* 1\.5 % of the width, 1\.4 mm"):
        member_movement(timber("Acetylated radiata pine"), 90, "flat", 12, 20)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: movement_mm(100, 0.003, 8, 16), "to_pct is 16 %.*movement_wide_mm"),
        (lambda: movement_mm(100, 0.003, 5, 12), "from_pct is 5 %"),
        (lambda: movement_mm(100, 0.3, 8, 12), "coefficient is 0.3; it is a fraction"),
        (lambda: movement_mm(0, 0.003, 8, 12), "width_mm is 0"),
        (lambda: movement_wide_mm(100, 8, 10, 31), "to_pct is 31 %"),
        (lambda: movement_wide_mm(100, 80, 10, 20), "shrink_pct is 80"),
        (lambda: member_movement(timber("Teak"), 90, "rift", 10, 12), "sawing is 'rift'"),
        (lambda: slat_gap_mm(timber("Teak"), 90, "flat", OUT, -1, 1), "least_gap_mm is -1"),
    ],
)
def test_what_makes_no_sense_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_a_slat_gap_worked_by_hand():
    # Jarrah, unit shrinkage 0.30 %: a slat of 90 mm made at 14 % (16 less 2) grows
    # 90 x 0.0030 x 11 = 2.97 mm to 25 %; made at 18 % it shrinks 90 x 0.0030 x 6 =
    # 1.62 mm to 12 %.
    gap = slat_gap_mm(timber("Jarrah"), 90, "flat", OUT, 4, 0.5)
    assert gap.at_making_mm == pytest.approx(4 + 2.97 + 0.5)
    assert gap.at_wettest_mm == 4
    assert gap.at_driest_mm == pytest.approx(7.47 + 1.62 + 0.5)
    assert "Jarrah" in gap.says and "unit shrinkage" in gap.source


@given(st.floats(30, 150), st.floats(0, 8))
def test_a_wider_slat_wants_a_wider_gap(width, least):
    oak = timber("European oak")
    narrow = slat_gap_mm(oak, width, "mixed", OUT, least, 0)
    wide = slat_gap_mm(oak, width + 1, "mixed", OUT, least, 0)
    assert narrow.at_wettest_mm < narrow.at_making_mm < narrow.at_driest_mm
    assert wide.at_making_mm > narrow.at_making_mm
