"""Drawers: a box dovetailed at the front, a bottom slid in from behind, a face screwed on, runners under and over it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding
from studio_lib.forms.casework import Joints, Members
from studio_lib.piece.model import Piece, Season, Vec
from studio_lib.timber.provisions import in_opening

SIDE_MM = 12.0
BACK_MM = 18.0
"""Thick enough for the screw that holds the bottom; judgement of ours."""
FRONT_MM = 15.0
BOTTOM_MM = 8.0
BOTTOM_UP_MM = 10.0
"""Underside of the bottom above the lower edge of the sides; common practice, no source."""
BACK_NOTCH_MM = 4.0
"""The back's trench stops this far above the bottom's groove."""
TONGUE_MM = 5.0
"""How far the bottom stands in the grooves; common practice, no source."""
BESIDE_MM = 1.0
"""Between a drawer and its guide, each side; common practice, no source."""
BEHIND_MM = 15.0
"""Left behind a drawer, and the sides past its back; judgement of ours."""
LEAST_OPENING_MM = 70.0
LEAST_WIDE_MM = 160.0
LEAST_DEEP_MM = 160.0
PULL_MM = (90.0, 22.0, 20.0)
"""Length, height and thickness of a pull of timber; judgement of ours."""


@dataclass(frozen=True)
class Drawer:
    """One drawer: the opening it runs in and the face that covers it. All in mm, in piece axes."""

    number: int
    name: str
    low: Vec
    """Left, front, low corner of the opening; y at the front of the case."""
    wide_mm: float
    tall_mm: float
    deep_mm: float
    above_mm: float
    """Room over the sides, for them to swell."""
    face_low: tuple[float, float]
    """Left and low edge of the face, x and z."""
    face_mm: tuple[float, float, float]
    """Width, height and thickness of the face."""
    pull: bool
    slot_mm: float = 8.0
    """Slot at the back of the bottom, beyond the hole of its screw."""
    mark: str = "W"
    """First letter of its members' references."""

    @property
    def box_mm(self) -> tuple[float, float, float]:
        """Width, height and depth of the box."""
        return self.wide_mm - 2 * BESIDE_MM, self.tall_mm - self.above_mm, self.deep_mm - BEHIND_MM

    def code(self, member: int) -> str:
        """A member's reference: the drawer's number, then which member of it, the face first."""
        return f"{self.mark}{self.number}{member}"


def above_mm(tall_mm: float, swell_fraction: float) -> float:
    """Room over the sides of a drawer that stands ``tall_mm`` high, in half millimetres, 2 at the least. [mm]"""
    return max(math.ceil(2 * (1.0 + swell_fraction * tall_mm)) / 2, 2.0)


def slot_mm(deep_mm: float, swell_fraction: float) -> float:
    """Slot for a bottom held at its front, in whole millimetres: it moves either way by all of its swelling. [mm]"""
    return min(max(2.0 * math.ceil(swell_fraction * deep_mm), 6.0), 20.0)


LEAST_GAP_MM, MOST_GAP_MM, MOST_GAP_SHARE = 0.5, 8.0, 0.05
"""Over and under a drawer together: at the wettest so that it runs; at the driest so that it does not gape, a twentieth of its height for a deep one,
which draws in more whatever is done; judgements of ours."""


def set_in_moves(piece: Piece, season: Season) -> list[Finding]:
    """Whether drawers whose faces are set in between rails run when wet and do not gape when dry; none where the faces lie on the front."""
    rails = [m.piece_box for m in piece.members if m.role == "drawer rail"]

    def between(box) -> tuple[list[float], list[float]]:
        near = [r for r in rails if r.lo[1] < box.hi[1] - 1e-6 and box.lo[1] < r.hi[1] - 1e-6]
        return [r.lo[2] for r in near if r.lo[2] >= box.hi[2] - 1e-6], [r.hi[2] for r in near if r.hi[2] <= box.lo[2] + 1e-6]

    faces = [m for m in piece.members if m.role == "drawer face" and all(between(m.piece_box))]
    found = []
    for m in [*faces, *(m for m in piece.members if faces and m.role == "drawer side")]:
        over, under = between(m.piece_box)
        if over and under:
            told = in_opening(season.swing(m, m.width_mm), min(over) - max(under), LEAST_GAP_MM, max(MOST_GAP_MM, MOST_GAP_SHARE * m.width_mm), m.name).findings
            found += [replace(f, refs=f.refs or (m.ref,)) for f in told]
    return found


def members(out: Members, d: Drawer) -> None:
    """The members of a drawer: face, box front, sides, back, bottom, and its pull."""
    wide, tall, deep = d.box_mm
    x, y, z = d.low[0] + BESIDE_MM, d.low[1], d.low[2]
    n = d.name
    face_w, face_h, face_t = d.face_mm
    out.add(d.code(1), f"{n}, face", "drawer face", (d.face_low[0], y - face_t, d.face_low[1]), "x", "z", face_w, face_h, face_t)
    out.add(d.code(2), f"{n}, front of the box", "drawer front", (x, y, z), "x", "z", wide, tall, FRONT_MM, "plain", arris=0.0)
    out.add(d.code(3), f"{n}, left side", "drawer side", (x, y, z), "y", "z", deep, tall, SIDE_MM, "plain", "left", arris=0.0)
    out.add(d.code(4), f"{n}, right side", "drawer side", (x + wide - SIDE_MM, y, z), "-y", "z", deep, tall, SIDE_MM, "plain", "right", arris=0.0)
    up = BOTTOM_UP_MM + BOTTOM_MM
    out.add(d.code(5), f"{n}, back", "drawer back", (x + SIDE_MM, y + deep - BEHIND_MM - BACK_MM, z + up), "x", "z",
            wide - 2 * SIDE_MM, tall - up - 3.0, BACK_MM, "plain", arris=0.5)
    in_front = y + FRONT_MM - TONGUE_MM
    out.add(d.code(6), f"{n}, bottom", "drawer bottom", (x + SIDE_MM - TONGUE_MM, in_front, z + BOTTOM_UP_MM), "x", "y",
            wide - 2 * (SIDE_MM - TONGUE_MM), y + deep - 2.0 - in_front, BOTTOM_MM, "plain", arris=0.0)
    if d.pull:
        long, high, thick = min(PULL_MM[0], face_w - 60.0), *PULL_MM[1:]
        out.add(d.code(7), f"{n}, pull", "pull", (d.face_low[0] + (face_w - long) / 2, y - face_t - thick, d.face_low[1] + (face_h - high) / 2),
                "x", "z", long, high, thick, arris=min(2.0, out.arris_mm * 2))


def joints(made: Joints, d: Drawer) -> None:
    """The joints inside a drawer; ``drawer_mm`` and ``depth_mm`` are the sizes to change where one cannot be made."""
    for side in (d.code(3), d.code(4)):
        made.join("through dovetail", side, d.code(2), "drawer corner", "drawer_mm")
        made.join("housing", d.code(5), side, "drawer back into side", "drawer_mm", {"depth_mm": 4.0, "stopped_mm": BACK_NOTCH_MM})
        made.join("groove and panel", d.code(6), side, "drawer bottom in its grooves", "depth_mm", {"gap_mm": 0.5, "past_mm": BEHIND_MM})
    made.join("groove and panel", d.code(6), d.code(2), "drawer bottom in the front", "depth_mm", {"gap_mm": 0.5, "held": 1.0})
    made.join("screws", d.code(6), d.code(5), "drawer bottom under its back", "depth_mm", {"count": 1.0, "slot_mm": d.slot_mm})
    made.join("screws", d.code(2), d.code(1), "drawer face on its box", "drawer_mm")
    if d.pull:
        made.join("screws", d.code(1), d.code(7), "pull on a face", "drawer_mm")
