"""The most a board with faults could give: against every cut tried one by one, and never under a layout found."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.stock import floors

LENGTH, WIDTH = 13, 7


def by_trying(length, width, faults, kinds):
    """The same by trying every whole-millimetre cut of every part. ``kinds``: (length, width, tolerates, value)."""

    def clear(x, y, dx, dy, tolerates):
        return not any(
            level > tolerates and x < x1 and x + dx > x0 and y < y1 and y + dy > y0 for x0, x1, y0, y1, level in faults
        )

    @lru_cache(maxsize=None)
    def best(x0, x1, y0, y1):
        most = max(
            (v for l, w, t, v in kinds if l <= x1 - x0 and w <= y1 - y0 and clear(x0, y0, l, w, t)), default=0
        )
        for c in range(x0 + 1, x1):
            most = max(most, best(x0, c, y0, y1) + best(c, x1, y0, y1))
        for r in range(y0 + 1, y1):
            most = max(most, best(x0, x1, y0, r) + best(x0, x1, r, y1))
        return most

    return best(0, length, 0, width)


def by_kernel(length, width, faults, kinds, most_rows=1_000):
    boxes = np.array(faults, np.int64).reshape(-1, 5)
    kl, kw, kt, v = (np.array(column) for column in zip(*kinds))
    xs = floors.gathered(floors.places(length, np.array([0, *boxes[:, 1]]), kl), most_rows)
    ys = floors.gathered(floors.places(width, np.array([0, *boxes[:, 3]]), kw), most_rows)
    if (xs[:, 1] - xs[:, 0]).max() >= kl.min() or (ys[:, 1] - ys[:, 0]).max() >= kw.min():
        return None, None
    levels = np.array([0, *sorted(set(boxes[:, 4].tolist()))], np.int64)
    counts = np.zeros(len(kinds), np.int64)
    return floors.past_faults(xs, ys, boxes, kl, kw, kt, v.astype(float), levels, counts), counts


def boxes(x, y, dx, dy, level):
    return (x, min(x + dx, LENGTH), y, min(y + dy, WIDTH), level)


faults = st.lists(
    st.builds(boxes, st.integers(0, LENGTH - 1), st.integers(0, WIDTH - 1), st.integers(1, 4), st.integers(1, 4), st.integers(1, 4)),
    min_size=1, max_size=3,
)
kinds = st.lists(
    st.tuples(st.integers(2, LENGTH), st.integers(2, WIDTH), st.integers(0, 3), st.integers(1, 30)), min_size=1, max_size=3
)


@settings(max_examples=150, deadline=None)
@given(faults, kinds)
def test_every_cut_tried_one_by_one_gives_the_same(faults, kinds):
    value, counts = by_kernel(LENGTH, WIDTH, faults, kinds)
    assert value == by_trying(LENGTH, WIDTH, faults, kinds)
    assert counts @ [k[3] for k in kinds] == value


@settings(max_examples=150, deadline=None)
@given(faults, kinds, st.integers(3, 6))
def test_places_taken_together_never_give_less(faults, kinds, most_rows):
    value, _ = by_kernel(LENGTH, WIDTH, faults, kinds, most_rows)
    assert value is None or value >= by_trying(LENGTH, WIDTH, faults, kinds)


def test_neighbours_are_gathered_into_few_narrow_rows():
    # 0 1 | 10 12 | 30 by hand: three rows, none wider than 2.
    at = np.array([0, 1, 10, 12, 30], np.int64)
    assert floors.gathered(at, 3).tolist() == [[0, 1], [10, 12], [30, 30]]
    assert floors.gathered(at, 5).tolist() == [[x, x] for x in at.tolist()]
