"""Meter readings: corrected only by what is sourced, ready only after three visits, no silent guess."""

import math
from datetime import date, timedelta

import pytest

from studio_lib.timber.readings import Reading, corrected, ready

START = date(2026, 3, 2)


def series(board, values, every=7, depth=12, temperature=20, setting="European oak"):
    return [
        Reading(START + timedelta(days=every * i), board, depth, v, temperature, setting) for i, v in enumerate(values)
    ]


# Two meter makers' manuals, for a reading of 15 %: half a point for each 5 K (16 at 10 °C, 12 at 50);
# 17 at 10 °C, 12 at 40 °C, 11 at 50 °C. Both must lie inside what is said.
@pytest.mark.parametrize(("temperature", "printed"), [(10, 16), (10, 17), (40, 12), (40, 13), (50, 11), (50, 12)])
def test_temperature_takes_in_both_manuals(temperature, printed):
    (reading,) = series("A", [15], temperature=temperature)
    found = corrected(reading, "European oak")
    # Temperature's own share of the uncertainty: 0.05 a kelvin.
    assert abs(found.percent - printed) <= 0.05 * abs(20 - temperature) + 1e-9
    assert "manuals" in found.source and "disagree" in found.source


def test_a_pinless_meter_is_not_corrected_for_temperature():
    cold = Reading(START, "A", 10, 15, 5, "European oak", "pinless")
    assert corrected(cold, "European oak").percent == 15


def test_another_species_is_not_corrected_unless_the_maker_has_the_figure():
    (reading,) = series("A", [24], setting="Douglas-fir (coast)")
    plain = corrected(reading, "Teak")
    assert plain.percent == 24 and "no correction on file" in plain.says
    # A manual prints 24 % on teak as 20 %: it must lie within what is said.
    assert 24 - plain.either_way_pct < 20
    told = corrected(reading, "Teak", -4)
    assert told.percent == 20 and told.either_way_pct < plain.either_way_pct


def test_three_visits_within_the_tolerance_make_a_board_ready():
    two = ready(series("A", [10.4, 10.2]), 10, 1.5, "European oak")
    assert not two.all_ready and "only 2 of 3 visits" in two.boards[0].says
    three = ready(series("A", [10.4, 10.2, 10.1]), 10, 1.5, "European oak")
    assert three.all_ready and three.boards[0].days_left is None
    # Three readings on one day are one visit.
    same = [Reading(START, "A", 12, v, 20, "European oak") for v in (10.4, 10.2, 10.1)]
    assert not ready(same, 10, 1.5, "European oak").all_ready


def test_days_left_worked_by_hand():
    # 20, 18, 16 % at weeks 0, 1, 2: 2 / 7 a day. Six above the target, tolerance 1.5: soonest
    # 4.5 / (2/7) = 15.75 days; latest, from 10, 8 and 6 above (8 at the middle), 8 / (2/7) x
    # ln(6 / 1.5) = 28 x 1.3863 = 38.8 days.
    (state,) = ready(series("A", [20, 18, 16]), 10, 1.5, "European oak").boards
    assert state.per_day_pct == pytest.approx(-2 / 7)
    assert state.days_left == (pytest.approx(15.75), pytest.approx(38.82, abs=0.01))
    assert state.beyond_readings and "further than the 14 days" in state.says


def test_an_estimate_within_the_readings_does_not_call_itself_a_guess():
    (state,) = ready(series("A", [17, 15.5, 14, 13, 12.2], every=14), 10, 2, "European oak").boards
    assert state.days_left[1] < 56 and not state.beyond_readings and "guess" not in state.says


def test_a_slowing_board_arrives_within_the_estimate():
    # A board that follows 10 + 8 exp(-t / 30): it comes within 1.5 at t = 30 ln(8 / 1.5) = 50.2 days.
    values = [10 + 8 * math.exp(-7 * i / 30) for i in range(4)]
    (state,) = ready(series("A", values), 10, 1.5, "European oak").boards
    arrives = 30 * math.log(8 / 1.5) - 21
    assert state.days_left[0] < arrives
    assert state.days_left[1] == pytest.approx(arrives, rel=0.05)


@pytest.mark.parametrize(
    ("values", "words"),
    [([16, 16, 16], "stands still"), ([14, 15, 16], "goes away"), ([16], "show no trend"), ([16, 13, 11], "just arrived")],
)
def test_what_a_board_that_is_not_ready_is_told(values, words):
    (state,) = ready(series("A", values), 10, 1.5, "European oak").boards
    assert not state.ready and words in state.says and state.days_left is None


def test_the_core_counts_and_boards_that_differ_are_named():
    dry_skin = [
        Reading(START + timedelta(days=7 * i), "A", depth, v, 20, "European oak")
        for i in range(3) for depth, v in ((3, 10), (15, 14))
    ]
    found = ready(dry_skin + series("B", [10, 10, 10]), 10, 1.5, "European oak")
    assert [b.ready for b in found.boards] == [False, True]
    assert found.spread_pct == pytest.approx(4) and "4.0 points apart" in found.says and "not yet: A" in found.says


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: Reading(START, "", 10, 12, 20, "oak"), "board is empty"),
        (lambda: Reading(START, "A", 10, 120, 20, "oak"), "percent is 120"),
        (lambda: Reading(START, "A", 10, 12, 90, "oak"), "temperature_c is 90"),
        (lambda: Reading(START, "A", -1, 12, 20, "oak"), "depth_mm is -1"),
        (lambda: Reading(START, "A", 10, 12, 20, "oak", "needle"), "kind is 'needle'"),
        (lambda: ready([], 10, 1, "oak"), "readings is empty"),
        (lambda: ready(series("A", [12]), 30, 1, "oak"), "target_pct is 30"),
        (lambda: ready(series("A", [12]), 10, 0, "oak"), "tolerance_pct is 0"),
        (lambda: corrected(series("A", [12])[0], "oak", 15), "species_correction_pct is 15"),
    ],
)
def test_nonsense_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()
