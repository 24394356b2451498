"""The shape a piece takes under the case that decides: front and side, moves made greater and to scale, as SVG."""

from __future__ import annotations

from html import escape

import numpy as np

from studio_lib.structure.whole import Bent

GRAPH_PX = 210.0
SMALL_SHARE = 0.55
SHOWN_SHARE = 0.09
"""The greatest move is drawn as about this part of the piece's greatest size."""
LIT, BENT, STILL, LOAD = "#b4531f", "#3d362e", "#c9c0b3", "#2f6f8f"
MARGIN = 16.0


def times_drawn(bent: Bent) -> float:
    """How many times greater the moves are drawn: 1, 2 or 5 times a power of ten, 1 at the least."""
    points = np.concatenate([p for _, p, _ in bent.lines])
    most = max(float(np.linalg.norm(m, axis=1).max()) for _, _, m in bent.lines)
    if most <= 0:
        return 1.0
    wanted = SHOWN_SHARE * float(np.ptp(points, axis=0).max()) / most
    steps = [k * 10.0**e for e in range(0, 6) for k in (1, 2, 5)]
    return max((s for s in steps if s <= wanted), default=1.0)


def bent_svg(bent: Bent, lit: tuple[str, ...] = ()) -> str:
    """Front and side of a piece under a case: where its members' middles were, and where they go; ``lit`` the members that decide."""
    times = times_drawn(bent)
    views = (("Front", 0), ("Side", 1))
    points = np.concatenate([p for _, p, _ in bent.lines])
    low, size = points.min(axis=0), np.ptp(points, axis=0)
    scale = GRAPH_PX / max(float(size.max()), 1.0)
    x, parts, tall = 0.0, [], 0.0
    for share, factor, note in ((1.0, times, f"moves drawn {times:g} times as great" if times > 1 else "moves to scale"), (SMALL_SHARE, 1.0, "to scale")):
        for name, axis in views:
            if share < 1 and times == 1.0:
                continue
            k = scale * share
            wide, high = size[axis] * k + 2 * MARGIN, size[2] * k + 2 * MARGIN
            wide = max(wide, (170.0 if axis == 0 else 90.0) if share == 1 else 84.0)
            parts.append(_view(bent, axis, low, size, k, factor, lit, x, wide))
            parts.append(
                f'<text x="{x + wide / 2:.0f}" y="{high + 12:.0f}" text-anchor="middle" font-size="12">{name}</text>'
                f'<text x="{x + wide / 2:.0f}" y="{high + 26:.0f}" text-anchor="middle" font-size="10" fill="#6d655b">'
                f'{note if axis == 0 or share < 1 else "the same"}</text>'
            )
            x, tall = x + wide + 6, max(tall, high + 34)
    most = max(float(np.linalg.norm(m, axis=1).max()) for _, _, m in bent.lines)
    title = f"{bent.case.says}: it moves {most:.1f} mm at the most, its joints soft"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {x:.0f} {tall:.0f}" width="{x:.0f}" style="max-width:100%;height:auto" role="img" '
        f'font-family="sans-serif"><title>{escape(title)}</title>{"".join(parts)}</svg>'
    )


def _view(bent: Bent, axis: int, low, size, k: float, factor: float, lit, x0: float, wide: float) -> str:
    """One view: grey where it was, dark where it goes, the deciding members in colour, the load as an arrow."""
    left = x0 + (wide - size[axis] * k) / 2

    def at(p):
        return left + (p[axis] - low[axis]) * k, MARGIN + (low[2] + size[2] - p[2]) * k

    def line(points, colour, width):
        path = " ".join(f"{u:.1f},{v:.1f}" for u, v in map(at, points))
        return f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="{width}" stroke-linecap="round"/>'

    still = [line(p, STILL, 1.2) for _, p, _ in bent.lines]
    moved = [line(p + factor * m, BENT, 1.4) for ref, p, m in bent.lines if ref not in lit]
    shown = [line(p + factor * m, LIT, 3) for ref, p, m in bent.lines if ref in lit]
    floor = at((low[0], low[1], low[2]))[1] + 3
    ground = f'<line x1="{x0 + 3:.1f}" x2="{x0 + wide - 3:.1f}" y1="{floor:.1f}" y2="{floor:.1f}" stroke="{STILL}" stroke-width="1" stroke-dasharray="3 3"/>'
    return "".join((ground, *still, *moved, *shown, _arrow(bent, axis, at, factor)))


def _arrow(bent: Bent, axis: int, at, factor: float) -> str:
    """The load, where it stands; a ring where it goes into the page."""
    if bent.at is None:
        return ""
    p, m = bent.at
    u, v = at(p + factor * m)
    du, dv = bent.case.way[axis], -bent.case.way[2]
    if abs(du) + abs(dv) < 0.1:
        return f'<circle cx="{u:.1f}" cy="{v:.1f}" r="4" fill="none" stroke="{LOAD}" stroke-width="2"/>'
    tip = f"{u - 1 * du:.1f},{v - 1 * dv:.1f}"
    foot = f"{u - 15 * du:.1f},{v - 15 * dv:.1f}"
    wing = " ".join(f"{u - 6 * du + s * 3.5 * dv:.1f},{v - 6 * dv - s * 3.5 * du:.1f}" for s in (1, -1))
    return f'<polyline points="{foot} {tip}" stroke="{LOAD}" stroke-width="2" fill="none"/><polygon points="{tip} {wing}" fill="{LOAD}"/>'
