"""Details that let wood move, as sections in the dry and in the wet season, side by side and to one scale."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from html import escape

WOOD, FIXED, VOID, METAL, BAD, GLUE, ROOM, INK, DARK = (
    "#e3c894",
    "#b99763",
    "#ffffff",
    "#7d8790",
    "#c2453a",
    "#96713f",
    "#cfe0c6",
    "#2b2722",
    "#6b5a43",
)
SIDE_PX, MOST_HIGH_PX, CSS_PX_PER_MM = 300.0, 170.0, 96 / 25.4
IN_GROOVE = (
    ("tongue_mm", "in the groove", "out of the groove"),
    ("gap_mm", "left at the bottom", "too little at the bottom"),
)
IN_SLOT = (("left_mm", "left inwards", "too little inwards"), ("right_mm", "left outwards", "too little outwards"))
SAYS = {
    "panel in a groove": IN_GROOVE,
    "top on buttons": IN_GROOVE,
    "slotted fixing": IN_SLOT,
    "breadboard end": IN_SLOT,
    "drawer or door in an opening": (("gap_mm", "gap, both sides together", "too wide to go in"),),
    "slats strung on a cable": (("length_mm", "long", ""), ("slat_mm", "a slat", "")),
    "glue across the grain": (("width_mm", "wide, were it free", ""),),
    "wide tenon": (("slack_mm", "slack", "too little slack"), ("width_mm", "wide", "")),
    "pegged shoulder": (("gap_mm", "open", ""),),
    "mitre": (("gap_mm", "open", ""),),
}
"""Distances named under each picture: their words, and those for one below 0."""


@dataclass
class _Sheet:
    """Shapes of one state, in mm; x to the right, y down."""

    marks: list[str] = field(default_factory=list)

    def box(self, x, y, w, h, fill, rx=0.0):
        if w > 0 and h > 0:
            self.marks.append(
                f'<rect x="{x:.3f}" y="{y:.3f}" width="{w:.3f}" height="{h:.3f}" rx="{rx:.2f}" fill="{fill}" '
                f'stroke="{DARK}" stroke-width="0.8" vector-effect="non-scaling-stroke"/>'
            )

    def disc(self, x, y, d, fill):
        self.marks.append(f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{d / 2:.3f}" fill="{fill}"/>')

    def shape(self, points, fill):
        listed = " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
        self.marks.append(
            f'<polygon points="{listed}" fill="{fill}" stroke="{DARK}" stroke-width="0.8" '
            'vector-effect="non-scaling-stroke"/>'
        )

    def line(self, x0, y0, x1, y1, ink=INK, dashed=True):
        dash = ' stroke-dasharray="4 3"' if dashed else ""
        self.marks.append(
            f'<line x1="{x0:.3f}" y1="{y0:.3f}" x2="{x1:.3f}" y2="{y1:.3f}" stroke="{ink}" stroke-width="1.2"{dash} '
            'vector-effect="non-scaling-stroke"/>'
        )


State = dict[str, float]
Window = tuple[float, float, float, float]
"""Left, top, width and height of what is shown. [mm]"""
FAR = 10_000.0


def _groove(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    deep, p = a["groove_depth_mm"], _Sheet()
    p.box(-12, -14, deep + 12, 28, FIXED)
    p.box(0, -5, deep, 10, VOID)
    p.box(s["gap_mm"], -4.6, FAR, 9.2, WOOD)
    p.box(s["gap_mm"], -4.6, -s["gap_mm"], 9.2, BAD)
    p.line(made["gap_mm"], -9, made["gap_mm"], 9)
    return p, (-12, -16, deep + 40, 32)


def _buttons(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    deep, p = a["groove_depth_mm"], _Sheet()
    p.box(-12, -14, deep + 12, 44, FIXED)
    p.box(0, -5, deep, 10, VOID)
    p.box(-FAR, -30, 2 * FAR, 16, WOOD)
    body = deep + 4 + s["gap_mm"] - made["gap_mm"]
    p.box(s["gap_mm"], -4.6, body - s["gap_mm"] + 1, 9.2, GLUE)
    p.box(body, -14, 24, 18.6, GLUE)
    p.box(s["gap_mm"], -4.6, -s["gap_mm"], 9.2, BAD)
    p.line(made["gap_mm"], -9, made["gap_mm"], 9)
    return p, (-12, -32, deep + 40, 48)


def _in_slot(p: _Sheet, s: State, a: State, x: float, y: float) -> None:
    slot, d = a["slot_mm"], a["fixing_mm"]
    p.box(x, y - d / 2, slot, d, VOID, d / 2)
    stuck = min(s["left_mm"], s["right_mm"]) < 0
    p.disc(x + s["left_mm"] + d / 2, y, d, BAD if stuck else METAL)


def _slot(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    slot, d, p = a["slot_mm"], a["fixing_mm"], _Sheet()
    p.box(-FAR, -d / 2 - 8, 2 * FAR, d + 16, FIXED)
    _in_slot(p, s, a, 0, 0)
    p.line(slot / 2, -d / 2 - 5, slot / 2, d / 2 + 5)
    return p, (-slot / 2 - 6, -d / 2 - 10, 2 * slot + 12, d + 20)


def _breadboard(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    proud, wide, p = (s["width_mm"] - s["end_mm"]) / 2, max(34.0, a["fixing_mm"] + 20), _Sheet()
    inner = -a["slot_mm"] - 14
    p.box(-FAR, 0, FAR + proud, 26, WOOD)
    p.box(-FAR, 26, FAR, wide, FIXED)
    _in_slot(p, s, a, inner, 26 + wide / 2)
    p.line(0, -4, 0, 30 + wide)
    p.line(inner + a["slot_mm"] / 2, 30, inner + a["slot_mm"] / 2, 22 + wide)
    return p, (inner - 20, -5, -inner + 44, wide + 36)


def _opening(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    gap, p = s["gap_mm"], _Sheet()
    far = max(a["most_gap_mm"], made["gap_mm"]) + 26
    p.box(a["least_gap_mm"], -14, a["most_gap_mm"] - a["least_gap_mm"], 28, ROOM)
    p.box(-FAR, -12, FAR, 24, FIXED)
    p.box(gap, -9, FAR, 18, WOOD)
    p.box(gap, -9, -gap, 18, BAD)
    p.line(made["gap_mm"], -12, made["gap_mm"], 12)
    return p, (-14, -15, far + 14, 30)


def _stack(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    change, pitch, p = s["length_mm"] - made["length_mm"], s["slat_mm"] + a["spacer_mm"], _Sheet()
    room = max(a["give_mm"], 4.0)
    p.box(-a["take_up_mm"], -20, a["take_up_mm"] + a["give_mm"], 40, ROOM)
    for n in range(3):
        right = change - n * pitch
        p.box(right - s["slat_mm"], -15, s["slat_mm"], 30, WOOD)
        p.box(right - pitch, -5, a["spacer_mm"], 10, FIXED)
    p.box(-FAR, -1.5, 2 * FAR, 3, METAL)
    stuck = not -a["take_up_mm"] <= change <= a["give_mm"]
    p.line(change, -18, change, 18, BAD if stuck else INK, False)
    p.line(0, -22, 0, 22)
    left = made["slat_mm"] + a["spacer_mm"] + 20
    return p, (-left, -23, left + max(room, 0) + 24, 46)


def _crossed(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    w, w0, p = s["width_mm"], made["width_mm"], _Sheet()
    p.box(-FAR, -w0 / 4, 2 * FAR, w0 / 2, FIXED)
    p.box(-w / 2, -FAR, w, 2 * FAR, WOOD)
    p.box(-w0 / 2, -w0 / 4, w0, w0 / 2, GLUE)
    for x in (-w0 / 2, w0 / 2):
        p.line(x, -w0, x, w0)
    return p, (-w0, -w0 / 2, 2 * w0, w0)


def _tenon(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    mortise, p = made["width_mm"] + made["slack_mm"], _Sheet()
    end = mortise - s["slack_mm"]
    high = max(12.0, mortise / 8)
    p.box(-FAR, -1.4 * high, 2 * FAR, 2.8 * high, FIXED)
    p.box(0, -high / 2, mortise, high, VOID)
    p.box(0, -high / 2, end, high, WOOD)
    p.box(0, -high / 2, a["glued_mm"], high, GLUE)
    p.box(mortise, -high / 2, end - mortise, high, BAD)
    p.line(made["width_mm"], -high, made["width_mm"], high)
    return p, (-12, -1.4 * high, mortise + 24, 2.8 * high)


def _shoulder(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    gap, d, p = s["gap_mm"], made["distance_mm"], _Sheet()
    p.box(-FAR, -20, FAR, 40, WOOD)
    p.box(gap, -28, FAR, 56, FIXED)
    p.box(0, -7, d + 14, 14, WOOD)
    p.disc(d, 0, 8, GLUE)
    p.box(0, -20, gap, 13, VOID)
    p.box(0, 7, gap, 13, VOID)
    return p, (-d / 2 - 6, -24, 1.5 * d + 26, 48)


def _mitre(s: State, made: State, a: State) -> tuple[_Sheet, Window]:
    half, w, now, p = math.radians(a["corner_deg"] / 2), made["width_mm"], s["width_mm"], _Sheet()
    along = w / math.tan(half)
    # Swollen members touch at the inside and stand apart at the outside; shrunk ones the other way.
    aside = max(now / math.tan(half) - along, 0.0)
    one = [(aside, 0.0), (along + aside, now), (along + 1.2 * w, now), (along + 1.2 * w, 0.0)]
    c, n = math.cos(2 * half), math.sin(2 * half)
    other = [(x * c + y * n, x * n - y * c) for x, y in one]
    p.shape(one, WOOD)
    p.shape(other, FIXED)
    xs, ys = ([q[i] for q in one + other] for i in (0, 1))
    return p, (min(xs) - 2, min(ys) - 2, along + 1.2 * w - min(xs), max(ys) - min(ys) + 2)


DRAWN: dict[str, Callable[[State, State, State], tuple[_Sheet, Window]]] = {
    "panel in a groove": _groove,
    "breadboard end": _breadboard,
    "slotted fixing": _slot,
    "top on buttons": _buttons,
    "drawer or door in an opening": _opening,
    "slats strung on a cable": _stack,
    "glue across the grain": _crossed,
    "wide tenon": _tenon,
    "pegged shoulder": _shoulder,
    "mitre": _mitre,
}


def detail_svg(name: str, asked: State, made: State, dry: State, wet: State, dry_words: str, wet_words: str) -> str:
    """A detail at its driest and at its wettest, side by side, at one scale that the picture names.

    Parameters
    ----------
    name : str
        Of the detail, one of ``DRAWN``.
    asked : dict
        The figures it was tried with. [mm]
    made, dry, wet : dict
        Its sizes in the three states, as ``Provision`` holds them. [mm]
    dry_words, wet_words : str
        Headings: 'Winter, driest, 6 %'.

    Raises
    ------
    KeyError
        For a detail that has no drawing.
    """
    drawn = [DRAWN[name](state, made, asked) for state in (dry, wet)]
    left, top = (min(window[i] for _, window in drawn) for i in (0, 1))
    right, low = (max(window[i] + window[i + 2] for _, window in drawn) for i in (0, 1))
    scale = min(SIDE_PX / (right - left), MOST_HIGH_PX / (low - top))
    wide, high = (right - left) * scale, (low - top) * scale
    marks = []
    for i, ((sheet, _), words, state) in enumerate(zip(drawn, (dry_words, wet_words), (dry, wet))):
        x = i * (SIDE_PX + 30)
        said = [f"{abs(state[key]):.1f} mm {enough if state[key] >= 0 else short}" for key, enough, short in SAYS[name]]
        marks.append(
            f'<text x="{x}" y="14" font-size="13" font-weight="bold" fill="{INK}">{escape(words)}</text>'
            f'<svg x="{x}" y="24" width="{wide:.1f}" height="{high:.1f}" '
            f'viewBox="{left:.3f} {top:.3f} {right - left:.3f} {low - top:.3f}">'
            f"{''.join(sheet.marks)}</svg>"
        )
        marks += [
            f'<text x="{x}" y="{high + 42 + 16 * n:.1f}" font-size="12.5" fill="{INK}">{line}</text>'
            for n, line in enumerate(said)
        ]
    foot = high + 44 + 16 * len(SAYS[name])
    times = scale / CSS_PX_PER_MM
    about = f"{times:.1f} times life size" if times >= 0.95 else f"1 to {1 / times:.1f}"
    marks.append(
        f'<text x="0" y="{foot:.1f}" font-size="11.5" fill="#6d655b">Both to one scale, {about}; dashed: as made. '
        "Thicknesses not given are taken as usual.</text>"
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{2 * SIDE_PX + 30:.0f}" height="{foot + 8:.0f}" role="img" '
        f'aria-label="{escape(name)}, driest and wettest, side by side">{"".join(marks)}</svg>'
    )
