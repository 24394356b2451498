"""Spacing: everything closes on the overall, whole millimetres where asked, the same from the same seed."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.piece import spacing as s

MANY = settings(max_examples=300, deadline=None)
lengths = st.floats(1, 5000).map(lambda v: round(v, 2))


@MANY
@given(st.integers(0, 5000), st.integers(1, 80))
def test_whole_millimetres_are_shared_evenly_and_alike_from_both_ends(total, parts):
    out = s.shared(total, parts)
    assert sum(out) == total and all(p == int(p) for p in out)
    assert max(out) - min(out) <= 1
    odd = total % parts
    if parts % 2 or not odd % 2:
        assert out == out[::-1]


@MANY
@given(lengths, st.integers(1, 60), st.sampled_from([0.5, 1.0, 5.0]))
def test_any_length_closes_and_leaves_less_than_a_step_in_the_middle(total, parts, step):
    out = s.shared(total, parts, step)
    assert math.fsum(out) == pytest.approx(total, abs=1e-9)
    loose = [i for i, p in enumerate(out) if abs(p / step - round(p / step)) > 1e-6]
    assert all(abs(i - (parts - 1) / 2) <= 0.5 for i in loose)


@MANY
@given(lengths, st.integers(1, 60), st.floats(5, 200), st.booleans())
def test_a_row_closes_on_the_overall_or_is_refused_in_words(overall, count, width, ends):
    try:
        row = s.equal_gaps(overall, count, width, ends)
    except ValueError as refused:
        assert str(refused).endswith((".", "ones.")) and any(c.isdigit() for c in str(refused))
        return
    assert row.overall_mm == pytest.approx(overall, abs=1e-6)
    assert min(row.gaps_mm, default=0) >= 0
    assert row.starts_mm[-1] + width + (row.gaps_mm[-1] if ends else 0) == pytest.approx(overall, abs=1e-6)
    assert len(row.gaps_mm) == count + (1 if ends else -1)


# By hand: 1000 = 9 x 60 + 460; ten gaps of 46. 1003: 463 = 10 x 46 + 3, the odd ones spread.
def test_nine_slats_in_a_metre_by_hand():
    row = s.equal_gaps(1000, 9, 60)
    assert row.gaps_mm == (46.0,) * 10 and row.starts_mm[:3] == (46.0, 152.0, 258.0)
    assert sorted(s.equal_gaps(1003, 9, 60).gaps_mm) == [46.0] * 7 + [47.0] * 3


@MANY
@given(st.floats(300, 4000), st.floats(10, 120), st.floats(0, 60), st.booleans())
def test_the_count_for_a_gap_is_the_nearest_there_is(overall, width, gap, ends):
    n = s.slats_for_gap(overall, width, gap, ends)

    def made(k):
        gaps, free = k + (1 if ends else -1), overall - k * width
        return free / gaps if free >= 0 and gaps > 0 else math.inf

    assert n >= 1
    if n > 1 and math.isfinite(made(n)):
        assert all(abs(made(n) - gap) <= abs(made(k) - gap) + 1e-9 for k in (n - 1, n + 1) if k > 1)


@MANY
@given(lengths, st.integers(2, 40), st.floats(0.1, 10), st.sampled_from(["arithmetic", "geometric"]))
def test_graduated_parts_close_and_grow_alike(total, count, ratio, way):
    out = s.graduated(total, count, ratio, way)
    assert math.fsum(out) == pytest.approx(total, rel=1e-12)
    assert out[-1] / out[0] == pytest.approx(ratio, rel=1e-9)
    steps = [b - a if way == "arithmetic" else b / a for a, b in zip(out, out[1:])]
    assert max(steps) == pytest.approx(min(steps), rel=1e-6, abs=1e-6 * total)


# Closed forms: 1 + 2 + 4 + 8 = 15; 10 + 20 + 30 + 40 = 100; a drawer front of 100 in golden ratio 61.803 to 38.197.
def test_small_rows_by_hand():
    assert s.graduated(150, 4, 8, "geometric") == pytest.approx((10, 20, 40, 80))
    assert s.graduated(100, 4, 4, "arithmetic") == pytest.approx((10, 20, 30, 40))
    assert s.golden_cut(100) == pytest.approx((61.8034, 38.1966), abs=1e-4)
    larger, smaller = s.golden_cut(777)
    assert 777 / larger == pytest.approx(larger / smaller)
    assert s.in_ratio(100, (2, 3)) == (40.0, 60.0)


@MANY
@given(st.lists(st.floats(0.5, 900), min_size=1, max_size=30), st.sampled_from([0.5, 1.0]))
def test_rounded_parts_still_add_up(parts, step):
    out = s.rounded_to(tuple(parts), step)
    assert math.fsum(out) == pytest.approx(math.fsum(parts), abs=1e-6)
    assert all(abs(a - b) <= 2 * step for a, b in zip(parts, out))
    assert sum(abs(p / step - round(p / step)) > 1e-6 for p in out) <= 1


@MANY
@given(st.floats(50, 4000), st.floats(5, 300))
def test_the_leftover_is_the_same_at_both_ends_and_less_than_a_unit(overall, unit):
    count, end = s.leftover(overall, unit)
    assert count * unit + 2 * end == pytest.approx(overall)
    assert -1e-6 <= 2 * end < unit + 1e-6


@MANY
@given(st.integers(0, 60), st.integers(0, 5), st.integers(0, 6), st.integers(0, 10**6), st.data())
def test_counts_by_chance_keep_their_limits_and_their_seed(places, least, more, seed, data):
    out = s.random_counts(places, least, least + more, seed)
    assert out == s.random_counts(places, least, least + more, seed)
    assert len(out) == places and all(least <= c <= least + more for c in out)
    total = data.draw(st.integers(places * least, places * (least + more)))
    fixed = s.random_counts(places, least, least + more, seed, total)
    assert sum(fixed) == total and all(least <= c <= least + more for c in fixed)


def test_a_seed_gives_the_same_row_for_ever():
    # Written down on the day it was made; a change here would change a client's screen.
    assert s.random_counts(12, 1, 4, 7) == (2, 1, 3, 1, 3, 2, 1, 3, 1, 2, 1, 1)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: s.equal_gaps(500, 9, 60), "8 or fewer"), (lambda: s.shared(10, 0), "1 or more"),
        (lambda: s.graduated(100, 3, 0), "more than 0"), (lambda: s.graduated(100, 3, 2, "magic"), "arithmetic"),
        (lambda: s.in_ratio(100, ()), "one or more"), (lambda: s.random_counts(3, 4, 2, 1), "the lower first"),
        (lambda: s.random_counts(3, 1, 2, 1, 9), "3 to 6 in all"), (lambda: s.repeated((), 4), "one number or more"),
        (lambda: s.shared(float("nan"), 3), "give 0 or more"), (lambda: s.leftover(100, 10, 60), "0 to 50"),
    ],
)
def test_what_cannot_be_spaced_is_said(call, words):
    with pytest.raises(ValueError, match=words):
        call()
