"""A symmetric matrix with few numbers in it as L D L', for many right sides at once.

Made row by row of L, compiled: Davis, Direct Methods for Sparse Linear Systems (2006), chapter 4, from memory. Where L
may have numbers is known before and does for all matrices alike (``Filling``); what comes to nothing there, as bending up
does to bending sideways where members are square to each other, is not kept. A general solver looks for all this anew
each time, which for a frame takes longer than the sums.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit


@dataclass(frozen=True, eq=False)
class Filling:
    """Where the factors of a matrix may have numbers, from where it has its own."""

    rows: np.ndarray
    starts: np.ndarray
    """Rows and column starts of the matrix on and over its diagonal, as sparse matrices have them; the diagonal is whole."""
    before: np.ndarray
    before_starts: np.ndarray
    """Columns left of the diagonal in which each row of L may have numbers, row after row, each from the left."""
    columns: np.ndarray
    """Where each column of L begins among its numbers, and where the last ends."""

    @staticmethod
    def of(rows: np.ndarray, starts: np.ndarray) -> Filling:
        """Of a matrix with n columns; ``starts`` has n + 1 numbers."""
        rows, starts = rows.astype(np.int64), starts.astype(np.int64)
        parent, many = _parents(rows, starts)
        columns = np.concatenate([[0], np.cumsum(many)])
        return Filling(rows, starts, *_before(rows, starts, parent, columns[-1]), columns)


class Factored:
    """L D L' of one matrix."""

    def __init__(self, filling: Filling, numbers: np.ndarray):
        """``numbers`` of the matrix stand as ``filling.rows`` says."""
        self._columns = filling.columns
        self._rows, self._numbers, self._ends, self.pivots = _factored(
            filling.rows, filling.starts, numbers, filling.before, filling.before_starts, filling.columns)

    def solve(self, right: np.ndarray) -> np.ndarray:
        """Answers to many right sides, n x sides; the pivots may not be 0."""
        out = np.array(right, float, order="C")
        _solve(self._columns, self._ends, self._rows, self._numbers, self.pivots, out)
        return out


@njit(cache=True)
def _parents(rows, starts):
    """The next row in which each column of L has a number, -1 for none, and how many it may have below the diagonal."""
    n = len(starts) - 1
    parent, seen, many = np.full(n, -1), np.full(n, -1), np.zeros(n, np.int64)
    for k in range(n):
        seen[k] = k
        for p in range(starts[k], starts[k + 1]):
            i = rows[p]
            while seen[i] != k:
                if parent[i] == -1:
                    parent[i] = k
                many[i] += 1
                seen[i] = k
                i = parent[i]
    return parent, many


@njit(cache=True)
def _before(rows, starts, parent, total):
    """Columns in which each row of L may have numbers, and where each row begins among them."""
    n = len(starts) - 1
    out, begins, seen, filled = np.empty(total, np.int64), np.zeros(n + 1, np.int64), np.full(n, -1), 0
    for k in range(n):
        seen[k] = k
        for p in range(starts[k], starts[k + 1]):
            i = rows[p]
            while seen[i] != k:
                out[filled] = i
                filled += 1
                seen[i] = k
                i = parent[i]
        out[begins[k]:filled].sort()
        begins[k + 1] = filled
    return out, begins


@njit(cache=True, error_model="numpy")
def _factored(rows, starts, numbers, before, before_starts, columns):
    """Rows and numbers of the columns of L below the diagonal, where each ends, and D; D is no number from a pivot of 0 on."""
    n = len(starts) - 1
    below, factor, pivots, row = np.empty(columns[n], np.int64), np.empty(columns[n]), np.empty(n), np.zeros(n)
    ends = columns[:n].copy()
    for k in range(n):
        for p in range(starts[k], starts[k + 1]):
            row[rows[p]] = numbers[p]
        pivot, row[k] = row[k], 0.0
        for q in range(before_starts[k], before_starts[k + 1]):
            i = before[q]
            here = row[i]
            if here == 0.0:
                continue
            row[i] = 0.0
            for p in range(columns[i], ends[i]):
                row[below[p]] -= factor[p] * here
            share = here / pivots[i]
            pivot -= share * here
            below[ends[i]], factor[ends[i]] = k, share
            ends[i] += 1
        pivots[k] = pivot
    return below, factor, ends, pivots


@njit(cache=True, error_model="numpy")
def _solve(columns, ends, below, factor, pivots, sides):
    """Puts the answers in the place of the right sides."""
    n, many = sides.shape
    for j in range(n):
        for p in range(columns[j], ends[j]):
            i, share = below[p], factor[p]
            for c in range(many):
                sides[i, c] -= share * sides[j, c]
    for j in range(n - 1, -1, -1):
        for c in range(many):
            sides[j, c] /= pivots[j]
        for p in range(columns[j], ends[j]):
            i, share = below[p], factor[p]
            for c in range(many):
                sides[j, c] -= share * sides[i, c]
