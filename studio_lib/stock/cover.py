"""A compiled search for a few patterns that cover what is wanted below a given cost."""

from __future__ import annotations

import numpy as np
from numba import njit

DEEPEST = 12
"""Boards that one answer may have."""


@njit(cache=True)
def cheapest_cover(counts, cost, stock, left, limits, value, rent, below, nodes, chosen):
    """Depth-first search for columns that cover ``left`` at a cost under ``below``.

    Columns come in order of preference. At every node the kind with the most value still
    short is covered by each column in turn; what is short after it costs at least
    value @ short - rent @ limits left (the duals of the relaxation stay feasible).
    Returns how many rows of ``chosen`` hold the best answer, 0 where none was found.
    """
    n, kinds = counts.shape
    short = np.zeros((DEEPEST + 1, kinds), np.int64)
    short[0] = left
    spent = np.zeros(DEEPEST + 1)
    room = limits.copy()
    pivot = np.zeros(DEEPEST + 1, np.int64)
    at = np.full(DEEPEST + 1, -1, np.int64)
    rents = (rent * room).sum()
    found, depth = 0, 0
    pivot[0] = np.argmax(value * short[0])
    while depth >= 0 and nodes > 0:
        if at[depth] >= 0:
            b = stock[at[depth]]
            room[b] += 1
            rents += rent[b]
        at[depth] += 1
        while at[depth] < n and (
            counts[at[depth], pivot[depth]] == 0 or room[stock[at[depth]]] == 0
        ):
            at[depth] += 1
        if at[depth] == n:
            at[depth] = -1
            depth -= 1
            continue
        nodes -= 1
        c = at[depth]
        room[stock[c]] -= 1
        rents -= rent[stock[c]]
        worth, open_kinds, top, top_worth = 0.0, 0, 0, -1.0
        for k in range(kinds):
            s = max(short[depth, k] - counts[c, k], 0)
            short[depth + 1, k] = s
            if s > 0:
                open_kinds += 1
                worth += value[k] * s
                if value[k] * s > top_worth:
                    top, top_worth = k, value[k] * s
        now = spent[depth] + cost[c]
        if now + max(worth - rents, 0.0) >= below:
            continue
        if open_kinds == 0:
            below = now
            found = depth + 1
            for d in range(found):
                chosen[d] = at[d]
        elif depth + 1 < DEEPEST:
            spent[depth + 1] = now
            pivot[depth + 1] = top
            depth += 1
    return found
