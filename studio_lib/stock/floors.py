"""Compiled kernels for the most that one board could ever give, whatever the layout."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True)
def _sums(sizes, most):
    """Sums of sizes up to ``most``: the only places where a cut need fall."""
    reach = np.zeros(most + 1, np.bool_)
    reach[0] = True
    for s in sizes:
        for x in range(s, most + 1):
            if reach[x - s]:
                reach[x] = True
    n = 0
    for x in range(most + 1):
        n += reach[x]
    out = np.empty(n, np.int64)
    n = 0
    for x in range(most + 1):
        if reach[x]:
            out[n] = x
            n += 1
    return out


@njit(cache=True)
def _unfold(best, single, xs, ys, at_x, at_y, i, j, counts):
    """Count the pieces of one best layout of rectangle i, j by retracing the cuts."""
    todo = [(i, j)]
    while todo:
        i, j = todo.pop()
        v = best[i, j]
        if v <= 0.0:
            continue
        if single[i, j] >= 0:
            counts[single[i, j]] += 1
            continue
        give = 1e-9 * v
        if best[i - 1, j] >= v - give:
            todo.append((i - 1, j))
            continue
        if best[i, j - 1] >= v - give:
            todo.append((i, j - 1))
            continue
        found = False
        for a in range(1, i):
            rest = at_x[xs[i] - xs[a]]
            if best[a, j] + best[rest, j] >= v - give:
                todo.append((a, j))
                todo.append((rest, j))
                found = True
                break
        if found:
            continue
        for b in range(1, j):
            rest = at_y[ys[j] - ys[b]]
            if best[i, b] + best[i, rest] >= v - give:
                todo.append((i, b))
                todo.append((i, rest))
                break


@njit(cache=True)
def table(length, width, kl, kw, cell_value):
    """Best value of every clean rectangle up to length x width whose sides are sums of piece sizes.

    Any number of stages, copies unlimited (Beasley, J. Oper. Res. Soc. 36 (1985) 297-306). Returns
    sides, the side at or under each size, values, and the kind of each rectangle left whole.
    """
    xs, ys = _sums(kl, length), _sums(kw, width)
    at_x = np.zeros(xs[-1] + 1, np.int64)
    at_y = np.zeros(ys[-1] + 1, np.int64)
    for places, at in ((xs, at_x), (ys, at_y)):
        p = 0
        for v in range(at.shape[0]):
            if p + 1 < places.shape[0] and places[p + 1] <= v:
                p += 1
            at[v] = p
    nx, ny = xs.shape[0], ys.shape[0]
    best = np.zeros((nx, ny))
    single = np.full((nx, ny), -1, np.int32)
    for kind in range(kl.shape[0]):
        if kl[kind] <= xs[-1] and kw[kind] <= ys[-1]:
            i, j = at_x[kl[kind]], at_y[kw[kind]]
            if cell_value[kind] > best[i, j]:
                best[i, j] = cell_value[kind]
                single[i, j] = kind
    # Only sizes worth more than any cut of them need be tried as the first part.
    x_parts = np.empty((ny, nx), np.int32)
    x_count = np.zeros(ny, np.int64)
    y_parts = np.empty(ny, np.int64)
    for i in range(1, nx):
        y_count = 0
        for j in range(1, ny):
            by_x = best[i - 1, j]
            for n in range(x_count[j]):
                a = x_parts[j, n]
                by_x = max(by_x, best[a, j] + best[at_x[xs[i] - xs[a]], j])
            by_y = best[i, j - 1]
            for n in range(y_count):
                b = y_parts[n]
                by_y = max(by_y, best[i, b] + best[i, at_y[ys[j] - ys[b]]])
            v = max(best[i, j], by_x, by_y)
            if v > best[i, j] + 1e-12:
                single[i, j] = -1
            best[i, j] = v
            if v > by_x + 1e-12:
                x_parts[j, x_count[j]] = i
                x_count[j] += 1
            if v > by_y + 1e-12:
                y_parts[y_count] = j
                y_count += 1
    return xs, ys, at_x, at_y, best, single


@njit(cache=True)
def any_stage(lengths, width, kl, kw, cell_value, counts):
    """Most value of a clean board of each length by edge-to-edge cuts in any number of stages.

    Copies unlimited. Writes how many cells of each kind one such layout has to ``counts[b]``.
    """
    xs, ys, at_x, at_y, best, single = table(lengths.max(), width, kl, kw, cell_value)
    ny = ys.shape[0]
    out = np.empty(lengths.shape[0])
    for n in range(lengths.shape[0]):
        i = np.searchsorted(xs, lengths[n], side="right") - 1
        out[n] = best[i, ny - 1]
        counts[n, :] = 0
        _unfold(best, single, xs, ys, at_x, at_y, i, ny - 1, counts[n])
    return out


@njit(cache=True)
def lane(length, sizes, value, tolerates, starts, ends, severity):
    """Most value of one lane of a board: a row of pieces that steps over its faults.

    ``starts`` and ``ends`` are the faults that any piece on this lane would meet.
    """
    best = np.zeros(length + 1)
    for x in range(1, length + 1):
        v = best[x - 1]
        for kind in range(sizes.shape[0]):
            start = x - sizes[kind]
            if start < 0 or value[kind] <= 0.0:
                continue
            clear = True
            for f in range(starts.shape[0]):
                if severity[f] > tolerates[kind] and start < ends[f] and x > starts[f]:
                    clear = False
            if clear and best[start] + value[kind] > v:
                v = best[start] + value[kind]
        best[x] = v
    return best[length]


@njit(cache=True)
def round_faults(xs, ys, level, kl, kw, ktol, cell_value, levels):
    """Most value of a board with faults by edge-to-edge cuts, never less than the true one.

    ``xs``, ``ys`` are grid lines, every fault edge among them, no cell larger than the smallest piece;
    ``level[c, r]`` the worst fault of a cell, as a place in ``levels`` (0 clean). A cut on a line parts a
    rectangle in two; one within a cell gives that cell to both parts; one that leaves nothing on a side
    is a trim, and what it leaves lies in a rectangle of the grid. A rectangle whole may be cut as if
    clean by the kinds that bear its worst fault.
    """
    nx, ny = xs.shape[0] - 1, ys.shape[0] - 1
    length, width = xs[nx] - xs[0], ys[ny] - ys[0]
    side_x, side_y, at_x, at_y, first, _ = table(length, width, kl, kw, cell_value)
    clean = np.zeros((levels.shape[0], side_x.shape[0], side_y.shape[0]))
    clean[0] = first
    borne = np.empty(kl.shape[0])
    for t in range(1, levels.shape[0]):
        any_left = False
        for kind in range(kl.shape[0]):
            borne[kind] = cell_value[kind] if ktol[kind] >= levels[t] else 0.0
            any_left = any_left or borne[kind] > 0.0
        if any_left:
            clean[t] = table(length, width, kl, kw, borne)[4]
    best = np.zeros((nx + 1, nx + 1, ny + 1, ny + 1))
    worst = np.zeros((nx + 1, nx + 1, ny + 1, ny + 1), np.int8)
    for dx in range(1, nx + 1):
        for i in range(nx - dx + 1):
            j = i + dx
            sx = min(xs[j] - xs[i], at_x.shape[0] - 1)
            for dy in range(1, ny + 1):
                for k in range(ny - dy + 1):
                    m = k + dy
                    if dx == 1 and dy == 1:
                        t = level[i, k]
                    elif dx > 1:
                        t = max(worst[i, j - 1, k, m], worst[j - 1, j, k, m])
                    else:
                        t = max(worst[i, j, k, m - 1], worst[i, j, m - 1, m])
                    worst[i, j, k, m] = t
                    sy = min(ys[m] - ys[k], at_y.shape[0] - 1)
                    v = clean[t, at_x[sx], at_y[sy]]
                    if t > 0:
                        for c in range(i + 1, j):
                            v = max(v, best[i, c, k, m] + best[c, j, k, m])
                            if c + 1 < j:
                                v = max(v, best[i, c + 1, k, m] + best[c, j, k, m])
                        for r in range(k + 1, m):
                            v = max(v, best[i, j, k, r] + best[i, j, r, m])
                            if r + 1 < m:
                                v = max(v, best[i, j, k, r + 1] + best[i, j, r, m])
                    best[i, j, k, m] = v
    return best[0, nx, 0, ny]
