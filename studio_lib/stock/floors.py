"""Compiled kernels for the most that one board could ever give, whatever the layout."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True)
def sums(sizes, most):
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
def _unfold(best, single, xs, ys, at_x, at_y, i, j, left, low, counts, cells):
    """Count the pieces of one best layout of rectangle i, j by retracing the cuts.

    Writes kind and place to ``cells`` as far as it has rows; ``left``, ``low`` is the rectangle's corner.
    """
    todo = [(i, j, left, low)]
    while todo:
        i, j, x, y = todo.pop()
        v = best[i, j]
        if v <= 0.0:
            continue
        if single[i, j] >= 0:
            n = counts.sum()
            if n < cells.shape[0]:
                cells[n, 0], cells[n, 1], cells[n, 2] = single[i, j], x, y
            counts[single[i, j]] += 1
            continue
        give = 1e-9 * v
        if best[i - 1, j] >= v - give:
            todo.append((i - 1, j, x, y))
            continue
        if best[i, j - 1] >= v - give:
            todo.append((i, j - 1, x, y))
            continue
        found = False
        for a in range(1, i):
            rest = at_x[xs[i] - xs[a]]
            if best[a, j] + best[rest, j] >= v - give:
                todo.append((a, j, x, y))
                todo.append((rest, j, x + xs[a], y))
                found = True
                break
        if found:
            continue
        for b in range(1, j):
            rest = at_y[ys[j] - ys[b]]
            if best[i, b] + best[i, rest] >= v - give:
                todo.append((i, b, x, y))
                todo.append((i, rest, x, y + ys[b]))
                break


@njit(cache=True)
def table(length, width, kl, kw, cell_value):
    """Best value of every clean rectangle up to length x width whose sides are sums of piece sizes.

    Any number of stages, copies unlimited (Beasley, J. Oper. Res. Soc. 36 (1985) 297-306). Returns
    sides, the side at or under each size, values, and the kind of each rectangle left whole.
    """
    xs, ys = sums(kl, length), sums(kw, width)
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
    origin, nothing = np.int64(0), np.empty((0, 3), np.int64)
    for n in range(lengths.shape[0]):
        i = np.searchsorted(xs, lengths[n], side="right") - 1
        out[n] = best[i, ny - 1]
        counts[n, :] = 0
        _unfold(best, single, xs, ys, at_x, at_y, i, ny - 1, origin, origin, counts[n], nothing)
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
def lanes(length, width, sizes, value, tolerates, faults):
    """Most value of a board as lanes one unit wide, each filled on its own; ``value`` is for a lane's width.

    Lanes alike are filled once: the faults they cross change at fault edges only.
    """
    found = faults.shape[0]
    edges = np.empty(2 * found + 2, np.int64)
    edges[0], edges[1] = 0, width
    for f in range(found):
        for s in range(2):
            edges[2 + 2 * f + s] = min(max(faults[f, 2 + s], 0), width)
    edges.sort()
    crossed = np.zeros((edges.shape[0], found), np.bool_)
    filled = np.zeros(edges.shape[0])
    starts, ends, severity = np.empty(found, np.int64), np.empty(found, np.int64), np.empty(found, np.int64)
    total = 0.0
    for e in range(edges.shape[0] - 1):
        if edges[e + 1] == edges[e]:
            continue
        n = 0
        for f in range(found):
            if faults[f, 2] <= edges[e] < faults[f, 3]:
                crossed[e, f] = True
                starts[n], ends[n], severity[n] = faults[f, 0], faults[f, 1], faults[f, 4]
                n += 1
        twin = -1
        for d in range(e):
            if twin < 0 and edges[d + 1] > edges[d] and (crossed[d] == crossed[e]).all():
                twin = d
        filled[e] = filled[twin] if twin >= 0 else lane(length, sizes, value, tolerates, starts[:n], ends[:n], severity[:n])
        total += (edges[e + 1] - edges[e]) * filled[e]
    return total


@njit(cache=True)
def places(size, anchors, parts):
    """Where a cut need fall: sums of parts from an anchor on, as long as a part still fits behind, and ``size``."""
    last = size - parts.min()
    reach = np.zeros(size + 1, np.bool_)
    for a in anchors:
        if 0 <= a <= last:
            reach[a] = True
    n = 1
    for x in range(last + 1):
        if reach[x]:
            n += 1
            for p in parts:
                if x + p <= last:
                    reach[x + p] = True
    out = np.empty(n, np.int64)
    n = 0
    for x in range(last + 1):
        if reach[x]:
            out[n] = x
            n += 1
    out[n] = size
    return out


@njit(cache=True)
def gathered(at, most):
    """Places from first to last in at most ``most`` rows of neighbours, each row as narrow as that allows."""
    low, high = 0, at[-1] - at[0]
    while low < high:
        width = (low + high) // 2
        rows, first = 1, at[0]
        for x in at:
            if x - first > width:
                rows, first = rows + 1, x
        if rows <= most:
            high = width
        else:
            low = width + 1
    out = np.empty((at.shape[0], 2), np.int64)
    n = 0
    out[0, 0] = out[0, 1] = at[0]
    for x in at:
        if x - out[n, 0] > low:
            n += 1
            out[n, 0] = x
        out[n, 1] = x
    return out[: n + 1].copy()


@njit(cache=True)
def _may_lie(xs, i, ys, k, length, width, tolerates, faults):
    """Whether no fault is met wherever in its places a piece lies; true too often where places are many."""
    for f in range(faults.shape[0]):
        if (
            faults[f, 4] > tolerates
            and xs[i, 1] < faults[f, 1] and xs[i, 0] + length > faults[f, 0]
            and ys[k, 1] < faults[f, 3] and ys[k, 0] + width > faults[f, 2]
        ):
            return False
    return True


@njit(cache=True)
def _worst(mask, level_of):
    """The worst level among the faults of a mask, as a place in the levels."""
    t, f = 0, 0
    while mask:
        if mask & 1 and level_of[f] > t:
            t = level_of[f]
        mask >>= 1
        f += 1
    return t


@njit(cache=True)
def past_faults(xs, ys, faults, kl, kw, ktol, cell_value, levels, counts):
    """``past_faults_at`` without the places."""
    return past_faults_at(xs, ys, faults, kl, kw, ktol, cell_value, levels, counts, np.empty((0, 3), np.int64))


@njit(cache=True)
def past_faults_at(xs, ys, faults, kl, kw, ktol, cell_value, levels, counts, cells):
    """Most value of a board with faults by edge-to-edge cuts in any number of stages, or more; copies unlimited.

    A piece can be pushed towards the origin until it meets a cut or the far edge of a fault, so cuts need
    fall only on certain places (``places`` with those edges as anchors). ``xs``, ``ys`` hold them from first
    to last in rows of neighbours taken together, each row narrower than the smallest piece. Both parts beside
    a cut get the whole row, so the value is exact where every row is one place and else never too small.
    ``levels`` are those of the faults, 0 first. A part that holds no fault worse than its kinds bear is cut
    as if clean. Writes to ``counts`` how many cells of each kind one such layout has, and kind, x and y of each
    to ``cells`` as far as it has rows: true places where every row is one place, on whatever places are given.
    """
    nx, ny = xs.shape[0] - 1, ys.shape[0] - 1
    kinds, found = kl.shape[0], faults.shape[0]
    side_x, side_y, at_x, at_y, first, one = table(xs[nx, 1], ys[ny, 1], kl, kw, cell_value)
    clean = np.zeros((levels.shape[0], side_x.shape[0], side_y.shape[0]))
    single = np.full((levels.shape[0], side_x.shape[0], side_y.shape[0]), -1, np.int32)
    clean[0], single[0] = first, one
    borne = np.empty(kinds)
    for t in range(1, levels.shape[0]):
        for kind in range(kinds):
            borne[kind] = cell_value[kind] if ktol[kind] >= levels[t] else 0.0
        if borne.max() > 0.0:
            lower = table(xs[nx, 1], ys[ny, 1], kl, kw, borne)
            clean[t], single[t] = lower[4], lower[5]
    along = np.zeros((nx + 1, nx + 1), np.int64)
    across = np.zeros((ny + 1, ny + 1), np.int64)
    level_of = np.zeros(found, np.int64)
    for f in range(found):
        level_of[f] = np.searchsorted(levels, faults[f, 4])
        for i in range(nx):
            for j in range(i + 1, nx + 1):
                if xs[i, 0] < faults[f, 1] and xs[j, 1] > faults[f, 0]:
                    along[i, j] |= 1 << f
        for k in range(ny):
            for m in range(k + 1, ny + 1):
                if ys[k, 0] < faults[f, 3] and ys[m, 1] > faults[f, 2]:
                    across[k, m] |= 1 << f
    shortest, narrowest = kl.min(), kw.min()
    top_x, top_y = at_x.shape[0] - 1, at_y.shape[0] - 1
    # Kept twice, by either end, so that the loop over the cuts runs along the memory.
    best = np.zeros((ny + 1, ny + 1, nx + 1, nx + 1))
    turned = np.zeros((ny + 1, ny + 1, nx + 1, nx + 1))
    for k in range(ny - 1, -1, -1):
        for m in range(k + 1, ny + 1):
            width = ys[m, 1] - ys[k, 0]
            if width < narrowest:
                continue
            ay = at_y[min(width, top_y)]
            here, back = best[k, m], turned[k, m]
            for i in range(nx - 1, -1, -1):
                for j in range(i + 1, nx + 1):
                    length = xs[j, 1] - xs[i, 0]
                    if length < shortest:
                        continue
                    ax = at_x[min(length, top_x)]
                    mask = along[i, j] & across[k, m]
                    if mask == 0:
                        here[i, j] = back[j, i] = clean[0, ax, ay]
                        continue
                    v, most = clean[_worst(mask, level_of), ax, ay], clean[0, ax, ay]
                    # What a trim leaves is no worse a start, and no cut beats a part without faults.
                    v = max(v, here[i + 1, j], here[i, j - 1], best[k + 1, m, i, j], best[k, m - 1, i, j])
                    for kind in range(kinds):
                        if (
                            cell_value[kind] > v and kl[kind] <= length and kw[kind] <= width
                            and _may_lie(xs, i, ys, k, kl[kind], kw[kind], ktol[kind], faults)
                        ):
                            v = cell_value[kind]
                    if v < most:
                        left, right = here[i], back[j]
                        for c in range(i + 1, j):
                            v = max(v, left[c] + right[c])
                        for r in range(k + 1, m):
                            v = max(v, best[k, r, i, j] + best[r, m, i, j])
                    here[i, j] = back[j, i] = v
    counts[:] = 0
    todo = [(0, nx, 0, ny)]
    while todo:
        i, j, k, m = todo.pop()
        v = best[k, m, i, j]
        if v <= 0.0:
            continue
        give = 1e-9 * v
        length, width = xs[j, 1] - xs[i, 0], ys[m, 1] - ys[k, 0]
        t = _worst(along[i, j] & across[k, m], level_of)
        ax, ay = at_x[min(length, top_x)], at_y[min(width, top_y)]
        if clean[t, ax, ay] >= v - give:
            _unfold(clean[t], single[t], side_x, side_y, at_x, at_y, ax, ay, xs[i, 0], ys[k, 0], counts, cells)
            continue
        done = False
        for kind in range(kinds):
            if (
                not done and cell_value[kind] >= v - give and kl[kind] <= length and kw[kind] <= width
                and _may_lie(xs, i, ys, k, kl[kind], kw[kind], ktol[kind], faults)
            ):
                n = counts.sum()
                if n < cells.shape[0]:
                    cells[n, 0], cells[n, 1], cells[n, 2] = kind, xs[i, 0], ys[k, 0]
                counts[kind] += 1
                done = True
        for c in range(i + 1, j):
            if not done and best[k, m, i, c] + best[k, m, c, j] >= v - give:
                todo.append((i, c, k, m))
                todo.append((c, j, k, m))
                done = True
        for r in range(k + 1, m):
            if not done and best[k, r, i, j] + best[r, m, i, j] >= v - give:
                todo.append((i, j, k, r))
                todo.append((i, j, r, m))
                done = True
    return best[0, ny, 0, nx]
