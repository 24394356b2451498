"""Factors of a symmetric matrix against what it is solved for: they must give back the right sides, and tell of a matrix that has no answer."""

import numpy as np
import pytest
from scipy.sparse import csc_matrix, random_array

from studio_lib.structure.factored import Factored, Filling


def matrix(n, seed, density=0.08):
    """A symmetric matrix with few numbers and all pivots over 0, and some of its numbers 0 though they have a place."""
    rng = np.random.default_rng(seed)
    half = random_array((n, n), density=density, rng=rng, data_sampler=lambda size: rng.uniform(-1, 1, size)).toarray()
    whole = half + half.T
    np.fill_diagonal(whole, np.abs(whole).sum(axis=1) + 1)
    places = whole != 0
    whole[np.ix_(range(0, n, 2), range(1, n, 2))] = whole[np.ix_(range(1, n, 2), range(0, n, 2))] = 0.0
    return whole, places


def upper(whole, places):
    """Rows, column starts and numbers on and over the diagonal, also those that are 0."""
    at = csc_matrix(np.triu(places).astype(float))
    cols = np.repeat(np.arange(len(whole)), np.diff(at.indptr))
    return at.indices, at.indptr, whole[at.indices, cols]


@pytest.mark.parametrize("seed", range(12))
def test_answers_give_back_the_right_sides(seed):
    whole, places = matrix(1 + 15 * seed, seed)
    rows, starts, numbers = upper(whole, places)
    right = np.random.default_rng(seed).standard_normal((len(whole), 1 + seed))
    kept = right.copy()
    assert whole @ Factored(Filling.of(rows, starts), numbers).solve(right) == pytest.approx(kept, abs=1e-12)
    assert (right == kept).all()


# The product of the pivots of L D L' is the determinant, since L has 1 on its diagonal.
def test_pivots_multiply_to_the_determinant():
    whole, places = matrix(30, 3, 0.2)
    rows, starts, numbers = upper(whole, places)
    assert np.log(Factored(Filling.of(rows, starts), numbers).pivots).sum() == pytest.approx(np.linalg.slogdet(whole)[1])


def test_one_filling_does_for_every_matrix_with_numbers_there():
    whole, places = matrix(40, 5)
    rows, starts, numbers = upper(whole, places)
    filling = Filling.of(rows, starts)
    for times in (1.0, 3.0):
        other = whole * times + np.eye(40)
        _, _, own = upper(other, places)
        assert other @ Factored(filling, own).solve(np.eye(40)) == pytest.approx(np.eye(40), abs=1e-12)


# Two springs in a row with nothing at either end: pushed, they go. [[1, -1], [-1, 1]] and [[0]].
def test_a_matrix_without_an_answer_has_a_pivot_of_nothing():
    for whole in (np.array([[1.0, -1.0], [-1.0, 1.0]]), np.array([[0.0, 0.0], [0.0, 2.0]]), np.array([[0.0, 1.0], [1.0, 2.0]])):
        rows, starts, numbers = upper(whole, np.ones((2, 2), bool))
        assert not np.abs(Factored(Filling.of(rows, starts), numbers).pivots).min() > 1e-12
