"""How slender a piece can be against the reserve it keeps, as a curve to pick from, in SVG."""

from __future__ import annotations

from html import escape

from studio_lib.structure.bent import LIT, STILL
from studio_lib.structure.slender import Point

WIDE, TALL = 430.0, 190.0
LEFT, RIGHT, TOP, LOW = 46.0, 18.0, 16.0, 40.0
INK = "#3d362e"


def curve_svg(points: list[Point], now_m3: float) -> str:
    """Timber of each point over the reserve it keeps; the piece as it stands as a line across. Litres and percent."""
    litres = [1000 * p.timber_m3 for p in points]
    now = 1000 * now_m3
    low, high = min(*litres, now), max(*litres, now)
    room = max(high - low, 0.1 * high, 0.1)
    low, high = low - 0.1 * room, high + 0.1 * room
    reserves = [100 * p.reserve for p in points]
    most = max(50.0, max(reserves))

    def at(reserve: float, volume: float) -> tuple[float, float]:
        return (LEFT + (WIDE - LEFT - RIGHT) * reserve / most, TOP + (TALL - TOP - LOW) * (high - volume) / (high - low))

    def text(x, y, words, anchor="middle", colour="#6d655b"):
        return f'<text x="{x:.0f}" y="{y:.0f}" text-anchor="{anchor}" font-size="11" fill="{colour}">{escape(words)}</text>'

    floor = TALL - LOW
    _, across = at(0, now)
    parts = [
        f'<line x1="{LEFT}" x2="{WIDE - RIGHT}" y1="{floor}" y2="{floor}" stroke="{STILL}"/>',
        f'<line x1="{LEFT}" x2="{WIDE - RIGHT}" y1="{across:.1f}" y2="{across:.1f}" stroke="{STILL}" stroke-dasharray="4 3"/>',
        text(WIDE - RIGHT, across - 4, f"as it stands, {now:.1f} litres", "end"),
        text((LEFT + WIDE - RIGHT) / 2, TALL - 6, "kept in reserve"), text(4, TOP - 4, "litres of timber", "start"),
    ]
    for k in range(0, int(most) + 1, 10):
        x, _ = at(k, low)
        parts += [f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{floor}" y2="{floor + 4}" stroke="{STILL}"/>', text(x, floor + 16, f"{k} %")]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in map(at, reserves, litres))
    parts.append(f'<polyline points="{path}" fill="none" stroke="{LIT}" stroke-width="2"/>')
    for p, r, v in zip(points, reserves, litres):
        x, y = at(r, v)
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="{LIT}"><title>{escape(f"{r:.0f} % in reserve, {v:.1f} litres: {p.decides}")}</title></circle>')
        parts.append(text(x, y + 17 if y < floor - 30 else y - 8, f"{v:.1f}", colour=INK))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:.0f} {TALL:.0f}" width="{WIDE:.0f}" style="max-width:100%;height:auto" role="img" '
        f'font-family="sans-serif"><title>Timber against the reserve kept</title>{"".join(parts)}</svg>'
    )
