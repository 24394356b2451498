"""Compiled kernels that fill one board for the most value, given a value for each kind.

A pattern is crosscut into segments, each segment ripped into strips, each strip
crosscut into pieces (a piece narrower than its strip is ripped once more). All
sizes are grown by the kerf. Two ways of filling:

``fill_board`` respects what is still wanted and the faults. For every candidate
segment it walks across the width (a knapsack of strips whose states carry the
pieces still wanted), commits the segment of the greatest value per length, and
goes on behind it.

``clean_patterns`` is the exact dynamic programme for a clean board where any
number of each kind may be cut: G[w, x] best strip, H[x] best segment, F[x] best
board, for all lengths of one section at once (Gilmore and Gomory, Operations
Research 13 (1965) 94-120, from memory).
"""

from __future__ import annotations

import numpy as np
from numba import njit

LANE_STEPS = 400
"""Steps of the length in which the most that a segment can be worth is known."""


@njit(cache=True)
def _blocked_until(x, length, y, width, tolerates, faults):
    """End of the last fault that a piece at x, y would meet; 0 where it lies clear."""
    until = 0
    for f in range(faults.shape[0]):
        if (
            faults[f, 4] > tolerates
            and x < faults[f, 1] and x + length > faults[f, 0]
            and y < faults[f, 3] and y + width > faults[f, 2]
        ):
            until = max(until, faults[f, 1])
    return until


@njit(cache=True)
def _fill_strip(x, end, y, width, first, most, kl, kw, ktol, lay, faults, left, value, order,
                cells, n):
    """Fill a strip with up to ``most`` cells of ``first``, then by value per length.

    Lowers ``left``, writes cells from row ``n`` on; returns the value and the next row.
    """
    gained = 0.0
    for turn in range(order.shape[0] + 1):
        if turn == 0:
            kind, limit = first, most
        else:
            kind, limit = order[turn - 1], 1 << 30
        if kw[kind] > width or lay[kind] == 0 or value[kind] <= 0.0:
            continue
        if faults.shape[0] == 0 and cells.shape[0] == 0:
            # Nothing is in the way and nothing is written down: as many as fit, at once.
            times = min(limit, (end - x) // kl[kind], -(-left[kind] // lay[kind]))
            copies = min(left[kind], times * lay[kind])
            left[kind] -= copies
            gained += copies * value[kind]
            x += times * kl[kind]
            continue
        while left[kind] > 0 and limit > 0 and x + kl[kind] <= end:
            at = x
            until = _blocked_until(at, kl[kind], y, kw[kind], ktol[kind], faults)
            while until > 0 and until + kl[kind] <= end:
                at = until
                until = _blocked_until(at, kl[kind], y, kw[kind], ktol[kind], faults)
            if until > 0:
                break
            copies = min(lay[kind], left[kind])
            if n < cells.shape[0]:
                cells[n, 0], cells[n, 1], cells[n, 2], cells[n, 3] = kind, at, y, copies
                n += 1
            left[kind] -= copies
            limit -= 1
            gained += copies * value[kind]
            if at > x:
                # The stretch before a fault is worth a look of its own.
                more, n = _fill_gap(x, at, y, width, kl, kw, ktol, lay, faults, left, value,
                                    order, cells, n)
                gained += more
            x = at + kl[kind]
    return gained, n


@njit(cache=True)
def _fill_gap(x, end, y, width, kl, kw, ktol, lay, faults, left, value, order, cells, n):
    """Fill the stretch that a strip skipped because of a fault."""
    gained = 0.0
    for turn in range(order.shape[0]):
        kind = order[turn]
        if kw[kind] > width or lay[kind] == 0 or value[kind] <= 0.0:
            continue
        while (
            left[kind] > 0 and x + kl[kind] <= end
            and _blocked_until(x, kl[kind], y, kw[kind], ktol[kind], faults) == 0
        ):
            copies = min(lay[kind], left[kind])
            if n < cells.shape[0]:
                cells[n, 0], cells[n, 1], cells[n, 2], cells[n, 3] = kind, x, y, copies
                n += 1
            left[kind] -= copies
            gained += copies * value[kind]
            x += kl[kind]
    return gained, n


@njit(cache=True)
def _fill_segment(x, end, board_width, kl, kw, ktol, lay, faults, left, value, order,
                  cells, n, best, rest, came, strip, scratch, unused, across, needed):
    """Best segment from x to end: a walk across the width over the strips' edges.

    ``across`` is the most that one unit of its width can be worth; where no more than ``needed`` can come
    out of it, the walk ends early with less.

    ``best``, ``rest``, ``came``, ``strip`` are work arrays by y: value, pieces still
    wanted, previous y, first kind of the last strip (times two, plus one where only
    one cell of it was taken) or -1 for a skip. Lowers ``left`` and writes cells.
    """
    kinds = kl.shape[0]
    best[: board_width + 1] = -1.0
    best[0] = 0.0
    rest[0, :] = left
    top = 0
    for y in range(board_width):
        if best[y] < 0.0 or (best[y] < best[top] and strip[y] >= 0):
            # Not reached, or worth less than what ends below it and no fault just passed.
            continue
        if best[y] + (board_width - y) * across <= needed:
            continue
        for f in range(faults.shape[0]):
            up = faults[f, 3]
            if (
                y < up < board_width and x < faults[f, 1] and end > faults[f, 0]
                and best[y] > best[up]
            ):
                best[up], came[up], strip[up] = best[y], y, -1
                rest[up, :] = rest[y, :]
        for kind in range(kinds):
            up = y + kw[kind]
            if (
                up > board_width or lay[kind] == 0 or rest[y, kind] <= 0
                or value[kind] <= 0.0 or x + kl[kind] > end
            ):
                continue
            fits = (end - x) // kl[kind]
            for few in range(2):
                if few == 1 and fits < 2:
                    break
                scratch[:] = rest[y, :]
                gained, _ = _fill_strip(x, end, y, kw[kind], kind, fits if few == 0 else 1,
                                        kl, kw, ktol, lay, faults, scratch, value, order,
                                        unused, np.int64(0))
                if best[y] + gained > best[up] + 1e-9:
                    best[up], came[up] = best[y] + gained, y
                    strip[up] = 2 * kind + few
                    rest[up, :] = scratch
        if best[y] > best[top]:
            top = y
    if best[board_width] > best[top]:
        top = board_width
    gained = best[top]
    left[:] = rest[top, :]
    y = top
    while y > 0:
        below = came[y]
        if strip[y] >= 0:
            kind = strip[y] // 2
            most = 1 if strip[y] % 2 else (end - x) // kl[kind]
            scratch[:] = rest[below, :]
            _, n = _fill_strip(x, end, below, kw[kind], kind, most, kl, kw, ktol, lay,
                               faults, scratch, value, order, cells, n)
        y = below
    return gained, n


@njit(cache=True)
def _insert(ordered, n, new):
    """Put a figure among the first n in order, once; returns how many there are then."""
    i = n
    while i > 0 and ordered[i - 1] > new:
        i -= 1
    if i > 0 and ordered[i - 1] == new:
        return n
    for j in range(n, i, -1):
        ordered[j] = ordered[j - 1]
    ordered[i] = new
    return n + 1


@njit(cache=True)
def _segment_ends(x, board_length, kl, lay, faults, left, value, ends):
    """Where a segment that starts at x may end: a piece's length, a fault, the board's end."""
    ends[0] = board_length
    n = 1
    for kind in range(kl.shape[0]):
        if lay[kind] and left[kind] > 0 and value[kind] > 0.0 and x + kl[kind] < board_length:
            n = _insert(ends, n, x + kl[kind])
    for f in range(faults.shape[0]):
        if x < faults[f, 0] < board_length:
            n = _insert(ends, n, faults[f, 0])
    return n


@njit(cache=True)
def _met(faults, x, end):
    """The faults that lie between x and end."""
    n = 0
    out = np.empty_like(faults)
    for f in range(faults.shape[0]):
        if x < faults[f, 1] and end > faults[f, 0]:
            out[n, :] = faults[f, :]
            n += 1
    return out[:n]


@njit(cache=True)
def _lane(length, step, kl, kw, lay, left, value):
    """Most value in a strip one unit wide, by its length in steps, faults and numbers wanted forgotten.

    A segment of width w is worth at most w times as much. Kinds are taken for no longer than whole steps.
    """
    best = np.zeros(length // step + 2)
    for kind in range(kl.shape[0]):
        if lay[kind] == 0 or left[kind] <= 0 or value[kind] <= 0.0:
            continue
        worth = value[kind] * min(lay[kind], left[kind]) / kw[kind]
        steps = max(1, kl[kind] // step)
        for x in range(steps, best.shape[0]):
            best[x] = max(best[x], best[x - steps] + worth)
    for x in range(1, best.shape[0]):
        best[x] = max(best[x], best[x - 1])
    return best


@njit(cache=True)
def fill_board(board_length, board_width, kl, kw, ktol, lay, faults, left, value, order, cells):
    """Fill one board with at most ``left`` pieces of each kind; lowers ``left``.

    ``order`` holds the kinds by falling value per length. Returns the value and the number
    of rows (kind, x, y, layers) written to ``cells``.
    """
    kinds = kl.shape[0]
    best = np.empty(board_width + 1)
    rest = np.empty((board_width + 1, kinds), np.int64)
    came = np.empty(board_width + 1, np.int64)
    strip = np.empty(board_width + 1, np.int64)
    scratch = np.empty(kinds, np.int64)
    trial = np.empty(kinds, np.int64)
    ends = np.empty(kinds + faults.shape[0] + 1, np.int64)
    nothing = np.empty((0, 4), np.int64)
    # Typed, so that each helper is compiled once and not anew for a literal.
    x, n, row_0, nowhere = np.int64(0), np.int64(0), np.int64(0), np.int64(-1)
    total = 0.0
    step = max(1, board_length // LANE_STEPS)
    lane = _lane(board_length, step, kl, kw, lay, left, value)
    while x < board_length:
        shortest = board_length + 1
        for kind in range(kinds):
            if lay[kind] and left[kind] > 0 and value[kind] > 0.0:
                shortest = min(shortest, kl[kind])
        best_density, best_start, best_end = 0.0, nowhere, nowhere
        for f in range(-1, faults.shape[0]):
            start = x if f < 0 else faults[f, 1]
            if f >= 0 and (start <= x or start > x + 2 * shortest):
                continue
            for e in range(_segment_ends(start, board_length, kl, lay, faults, left, value, ends)):
                end = ends[e]
                if end - start < shortest:
                    continue
                used = end - x if board_length - end >= shortest else board_length - x
                across = lane[(end - start) // step + 1]
                if board_width * across <= best_density * used:
                    continue
                trial[:] = left
                gained, _ = _fill_segment(start, end, board_width, kl, kw, ktol, lay,
                                          _met(faults, start, end), trial, value, order, nothing,
                                          row_0, best, rest, came, strip, scratch, nothing,
                                          across, best_density * used)
                if gained > best_density * used * (1.0 + 1e-9):
                    best_density, best_start, best_end = gained / used, start, end
        if best_start < 0:
            break
        gained, n = _fill_segment(best_start, best_end, board_width, kl, kw, ktol, lay,
                                  _met(faults, best_start, best_end), left, value, order, cells,
                                  n, best, rest, came, strip, scratch, nothing, 0.0, -1.0)
        total += gained
        x = best_end
    return total, n


@njit(cache=True)
def _strips(kl, kw, cell_value, widths, length):
    """G[w, x] and the kind of its last cell (-1: G[w, x - 1] is as good)."""
    g = np.zeros((widths.shape[0], length + 1))
    last = np.full((widths.shape[0], length + 1), -1, np.int64)
    for w in range(widths.shape[0]):
        for x in range(1, length + 1):
            g[w, x] = g[w, x - 1]
            for kind in range(kl.shape[0]):
                if kw[kind] <= widths[w] and kl[kind] <= x and cell_value[kind] > 0.0:
                    v = g[w, x - kl[kind]] + cell_value[kind]
                    if v > g[w, x] + 1e-12:
                        g[w, x] = v
                        last[w, x] = kind
    return g, last


@njit(cache=True)
def _across(g, x, below, best, took):
    """Knapsack of strips of length x across the width; ``took`` holds the strip ending there."""
    best[0] = 0.0
    took[0] = -1
    for e in range(1, below.shape[0]):
        best[e] = best[e - 1]
        took[e] = -1
        for w in range(below.shape[1]):
            b = below[e, w]
            if b >= 0 and best[b] + g[w, x] > best[e] + 1e-12:
                best[e] = best[b] + g[w, x]
                took[e] = w
    return best[below.shape[0] - 1]


@njit(cache=True)
def clean_patterns(lengths, widths, edges, below, kl, kw, cell_value, cells, rows):
    """Best pattern of a clean board of each length, copies unlimited.

    ``widths`` are those of the strips, ``edges`` the sums of widths where a strip may end,
    ``below[e, w]`` the edge under a strip w that ends at e (-1: none). Writes (kind, x, y)
    from row 0 of ``cells[b]`` and their number to ``rows[b]``; returns the values.
    """
    longest = lengths.max()
    values = np.zeros(lengths.shape[0])
    g, last = _strips(kl, kw, cell_value, widths, longest)
    best = np.zeros(edges.shape[0])
    took = np.zeros(edges.shape[0], np.int64)
    whole = np.zeros(longest + 1)
    segment = np.zeros(longest + 1, np.int64)
    atoms = np.empty(longest + 1, np.int64)
    atom_value = np.empty(longest + 1)
    n_atoms = 0
    for x in range(1, longest + 1):
        whole[x] = whole[x - 1]
        for a in range(n_atoms):
            v = whole[x - atoms[a]] + atom_value[a]
            if v > whole[x] + 1e-12:
                whole[x], segment[x] = v, atoms[a]
        jumps = False
        for w in range(widths.shape[0]):
            if last[w, x] >= 0:
                jumps = True
        if jumps:
            v = _across(g, x, below, best, took)
            if v > whole[x] + 1e-9:
                whole[x], segment[x] = v, x
                atoms[n_atoms], atom_value[n_atoms] = x, v
                n_atoms += 1
    for b in range(lengths.shape[0]):
        x = lengths[b]
        values[b] = whole[x]
        n = 0
        while x > 0:
            size = segment[x]
            if size == 0:
                x -= 1
                continue
            x -= size
            _across(g, size, below, best, took)
            e = edges.shape[0] - 1
            while e > 0:
                w = took[e]
                if w < 0:
                    e -= 1
                    continue
                e = below[e, w]
                at = size
                while at > 0:
                    kind = last[w, at]
                    if kind < 0:
                        at -= 1
                        continue
                    at -= kl[kind]
                    if n < cells.shape[1]:
                        cells[b, n, 0], cells[b, n, 1] = kind, x + at
                        cells[b, n, 2] = edges[e]
                        n += 1
        rows[b] = n
    return values


@njit(cache=True)
def bar_patterns(lengths, kl, cell_value, most, counts):
    """Best filling of a bar of each length with at most ``most`` cells of each kind.

    Exact (a knapsack over single copies); writes cells by kind to ``counts[b]`` and
    returns the values.
    """
    longest = lengths.max()
    copies = 0
    for kind in range(kl.shape[0]):
        if cell_value[kind] > 0.0:
            copies += min(most[kind], longest // kl[kind])
    taken = np.zeros((copies, longest + 1), np.bool_)
    kind_of = np.empty(copies, np.int64)
    best = np.zeros(longest + 1)
    c = 0
    for kind in range(kl.shape[0]):
        if cell_value[kind] <= 0.0:
            continue
        for _ in range(min(most[kind], longest // kl[kind])):
            kind_of[c] = kind
            for x in range(longest, kl[kind] - 1, -1):
                v = best[x - kl[kind]] + cell_value[kind]
                if v > best[x] + 1e-12:
                    best[x] = v
                    taken[c, x] = True
            c += 1
    values = np.empty(lengths.shape[0])
    counts[:] = 0
    for b in range(lengths.shape[0]):
        x = lengths[b]
        values[b] = best[x]
        for c in range(copies - 1, -1, -1):
            if taken[c, x]:
                counts[b, kind_of[c]] += 1
                x -= kl[kind_of[c]]
    return values
