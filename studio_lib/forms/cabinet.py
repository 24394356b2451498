"""Cabinet: sides and doors of frame and panel, shelves on rests, a back of upright boards, a solid top.

The stiles of the sides run down to the floor. Bottom and front rails are dowelled between the sides; the top is screwed
from below, in slots at the back. The doors lie on the front of the case.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.brief import refusals
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding
from studio_lib.forms.casework import (
    G,
    JUDGEMENT,
    PRACTICE,
    Joints,
    Members,
    boards_across,
    children,
    figures_of,
    mass_kg,
    middle_mm,
    room,
)
from studio_lib.forms.changes import assembled
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice
from studio_lib.forms.thin import no_flat_refused
from studio_lib.piece import Joint, Member, Piece
from studio_lib.piece.edge_joint import EdgeJoint
from studio_lib.piece.mortise_tenon import MORTISE_DEEPER_MM, MortiseTenon, nearest_chisel

TONGUE_MM = 10.0
"""How far a panel stands in its grooves; about as wide, after Noyes."""
BESIDE_GROOVE_MM = 4.0
"""Between a groove's bottom and the tenon beside it; common practice, no source."""
RAIL_MM = (50.0, 22.0)
BOTTOM_UP_MM = 10.0
"""Underside of the bottom above the lower edge of the bottom rails; judgement of ours."""
REST_MM = (25.0, 18.0)
BACK_BOARD_MM = 130.0
BOARD_MM = 150.0
SLOT_MM = 8.0
"""Slots of the back cross rail, beyond the hole of a screw; common practice, no source."""
DOOR_EDGE_MM = 3.0
"""Doors end this far below the top and above the foot; judgement of ours."""
CATCH_N = 20.0
"""A push on a door held by a magnet; from memory."""


@dataclass(frozen=True)
class _Sizes:
    width_mm: float
    depth_mm: float
    height_mm: float
    foot_mm: float
    top_mm: float
    top_over_mm: float
    frame_mm: float
    stile_mm: float
    rail_mm: float
    panel_mm: float
    panel_gap_mm: float
    doors: int
    door_gap_mm: float
    shelf_count: int
    shelf_mm: float
    load_kg_m: float
    back_mm: float
    back_gap_mm: float
    wall: int
    arris_mm: float

    @property
    def case_mm(self) -> float:
        """Over the sides."""
        return self.width_mm - 2 * self.top_over_mm

    @property
    def inner_mm(self) -> float:
        return self.case_mm - 2 * self.frame_mm

    @property
    def front_mm(self) -> float:
        """y of the front of the case, behind the doors."""
        return -self.depth_mm / 2 + (self.frame_mm if self.doors else 0.0) + self.top_over_mm

    @property
    def back_y_mm(self) -> float:
        return self.depth_mm / 2

    @property
    def side_deep_mm(self) -> float:
        return self.back_y_mm - self.front_mm

    @property
    def tall_mm(self) -> float:
        """Height of the sides."""
        return self.height_mm - self.top_mm

    @property
    def floor_mm(self) -> float:
        """Upper face of the bottom."""
        return self.foot_mm + BOTTOM_UP_MM + self.shelf_mm

    @property
    def clear_mm(self) -> float:
        inside = self.tall_mm - RAIL_MM[0] - self.floor_mm - self.shelf_count * self.shelf_mm
        return inside / (self.shelf_count + 1)

    @property
    def groove_mm(self) -> float:
        return TONGUE_MM + self.panel_gap_mm

    @property
    def door_mm(self) -> tuple[float, float]:
        """Width and height of a door."""
        return (self.case_mm - (self.doors - 1) * self.door_gap_mm) / max(self.doors, 1), self.tall_mm - self.foot_mm - 2 * DOOR_EDGE_MM

    @property
    def tenon_mm(self) -> float:
        """Length of a tenon in a stile of the sides, clear of the dowels of the cross rails."""
        return math.floor(min(2 / 3 * self.stile_mm, self.stile_mm - self.back_mm - RAIL_MM[1]))


class Cabinet(Form):
    """A cabinet of frame and panel."""

    name = "cabinet"
    says = "Frame and panel sides and doors, shelves, a back of boards, a solid top."
    sizes = (
        Size("width_mm", "Width over the top", 300, 1800),
        Size("depth_mm", "Depth over the top", 240, 700),
        Size("height_mm", "Height", 350, 2200),
        Size("foot_mm", "Bottom rails above the floor", 30, 250, "mm", "case"),
        Size("top_mm", "Thickness of the top", 15, 45, "mm", "case"),
        Size("top_over_mm", "Top beyond the sides and the doors", 0, 40, "mm", "case"),
        Size("frame_mm", "Thickness of the frames", 18, 36, "mm", "frames"),
        Size("stile_mm", "Width of the stiles", 45, 130, "mm", "frames"),
        Size("rail_mm", "Width of the rails of sides and doors", 50, 180, "mm", "frames"),
        Size("panel_mm", "Thickness of the panels", 6, 16, "mm", "frames"),
        Size("panel_gap_mm", "Room for a panel at the bottom of each groove", 1, 10, "mm", "frames"),
        choice("doors", "Doors", ("none", "one", "two"), "doors"),
        Size("door_gap_mm", "Gap between the doors", 1, 6, "mm", "doors"),
        Size("shelf_count", "Shelves inside", 0, 8, "", "shelves", True),
        Size("shelf_mm", "Thickness of shelves and bottom", 15, 35, "mm", "shelves"),
        Size("load_kg_m", "Load on each metre of shelf", 0, 150, "kg", "shelves"),
        Size("back_mm", "Thickness of the back boards", 6, 20, "mm", "case"),
        Size("back_gap_mm", "Gap between back boards, when made", 0, 8, "mm", "case"),
        choice("wall", "Fixed to the wall", ("no", "yes")),
        Size("arris_mm", "Arris taken off", 0, 2, "mm", "case"),
    )

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        width = min(max(brief.space_length_mm or 1000.0, 300.0), 1000.0)
        height, depth = chosen.get("height_mm", 915.0), chosen.get("depth_mm", 450.0)
        thick = 20.0 if chosen.get("width_mm", width) <= 850 else 25.0
        foot, top, shelf = chosen.get("foot_mm", 90.0), chosen.get("top_mm", 24.0), chosen.get("shelf_mm", thick)
        inside = height - top - RAIL_MM[0] - foot - BOTTOM_UP_MM - shelf
        count = min(max(round(inside / 330.0) - 1, 0), 8)
        doors = int(chosen.get("doors", 2 if chosen.get("width_mm", width) >= 600 else 1))
        widest = max(depth, chosen.get("width_mm", width) / doors if doors else 0.0)
        panel = max(widest - 2 * chosen.get("stile_mm", 70.0) + 2 * TONGUE_MM, 0.0)
        gap = min(max(math.ceil(2 * (around.swell_fraction * panel / 2 / 0.85)) / 2, 3.0), 10.0)
        back_gap = min(math.ceil(2 * (1.0 + around.swell_fraction * BACK_BOARD_MM)) / 2, 8.0)
        fixed = 1 if children(brief) or height > 5 * depth or (doors and height >= refusals.ANCHOR_FROM_MM) else 0
        return {
            "width_mm": Proposal(width, "two doors of half a metre, or as the space allows", JUDGEMENT),
            "depth_mm": Proposal(450.0, "plates and files go in; 455 mm usual", "seen: sideboards and chests 18 in. (455 mm) deep"),
            "height_mm": Proposal(915.0, "serving height", "seen: 36 in. (915 mm) serving height"),
            "foot_mm": Proposal(90.0, "a broom and toes get under the front", JUDGEMENT),
            "top_mm": Proposal(24.0, "dressed from 32 mm sawn", JUDGEMENT),
            "top_over_mm": Proposal(8.0, "a shadow line over the doors", JUDGEMENT),
            "frame_mm": Proposal(24.0, "tenons of 8 mm, dressed from 32 mm sawn", JUDGEMENT),
            "stile_mm": Proposal(70.0, "room for tenon and dowels in one stile", JUDGEMENT),
            "rail_mm": Proposal(80.0, "a tenon of five thicknesses beside the panel's groove", JUDGEMENT),
            "panel_mm": Proposal(10.0, "a groove a third of the frame's thickness and a little over", JUDGEMENT),
            "panel_gap_mm": Proposal(gap, "half the panel's swelling to the wettest, 3 mm at least", "Wood Handbook FPL-GTR-282 ch. 13; 3 mm: workshop books"),
            "doors": Proposal(doors, "no door wider than 600 mm", PRACTICE),
            "door_gap_mm": Proposal(3.0, "the stiles swell towards each other", PRACTICE),
            "shelf_count": Proposal(count, "openings of about 300 mm", "shelf-building rules: 220 mm at least, 300 to 350 mm usual"),
            "shelf_mm": Proposal(thick, "25 mm from 850 mm of width on, else it sags", JUDGEMENT),
            "load_kg_m": Proposal(min(150.0, round(65.0 * depth / 1000)), "household things, 65 kg a square metre of shelf", "EN 14749, 0.65 kg/dm2, from memory"),
            "back_mm": Proposal(10.0, "screwed at top and bottom", JUDGEMENT),
            "back_gap_mm": Proposal(back_gap, "room for each board to swell, and 1 mm", "Wood Handbook FPL-GTR-282 ch. 13"),
            "wall": Proposal(fixed, "doors, and 686 mm or more: fixed" if fixed else "low: stands without", "ASTM F2057-23 for the limits"),
            "arris_mm": Proposal(1.0, "takes off what would splinter", PRACTICE),
        }

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _Sizes(**sizes)
        _refuse(s)
        missing: list[Finding] = []
        return assembled(
            name=name, form=self.name, letter=letter, members=_members(s, letter, around.timber),
            lay_joints=lambda by_ref: _joints(Joints(by_ref, letter, joints or {}, bool(adjustments), missing), s),
            changes=adjustments, own=joints, check=no_flat_refused, timber=around.timber, found=missing,
        )

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        s = _Sizes(**sizes)
        found, young, mass = room(piece, brief), children(brief), mass_kg(piece)
        deep = s.side_deep_mm - s.back_mm
        shelf = next((m for m in piece.members if m.role == "shelf"), None)
        density, moe, whose = figures_of(piece)
        if shelf is not None and s.load_kg_m:
            own_n = shelf.length_mm * shelf.width_mm * shelf.thickness_mm * 1e-9 * density * G
            found.append(refusals.sagging(
                f"shelf of {whose}", shelf.length_mm, shelf.width_mm, shelf.thickness_mm,
                G * s.load_kg_m * shelf.length_mm / 1000 + own_n, moe, refusals.CREEP[brief.place], refusals.SEEN_SAG,
            ))
        inside = s.inner_mm * deep * s.clear_mm * 1e-6
        found.append(refusals.anchor(
            piece.name, s.height_mm, s.depth_mm, mass, inside * (s.shelf_count + 1), bool(s.doors), young, bool(s.wall),
        ))
        if s.doors:
            n, _ = boards_across(s.inner_mm, s.back_gap_mm, BACK_BOARD_MM)
            air = (s.doors - 1) * s.door_gap_mm * s.clear_mm + (n - 1) * s.back_gap_mm * s.clear_mm
            found.append(refusals.shut_in(piece.name, inside, min(s.inner_mm, deep, s.clear_mm), air, CATCH_N, None))
            found.append(refusals.fingers("between doors", s.door_gap_mm, s.door_gap_mm, young) if s.doors > 1 else
                         refusals.fingers("round the door", DOOR_EDGE_MM, DOOR_EDGE_MM, young))
        if not s.wall and young and piece.members:
            edge = max(middle_mm(piece) - s.front_mm, 1.0)
            found.append(refusals.pulled_over(piece.name, mass * G, edge, s.height_mm, "a child's pull"))
            if s.doors:
                found.append(refusals.climbed_on(piece.name, mass * G, edge, s.door_mm[0] / 2))
        return found


def _refuse(s: _Sizes) -> None:
    def least(size, value, need, what):
        if value < need - 1e-9:
            given = getattr(s, size)
            raise SizeRefused(size, f"{given:g} mm leaves {max(value, 0):.0f} mm {what} and needs {need:.0f} mm; give {given + need - value:.0f} mm or more.")

    least("width_mm", s.inner_mm, 150.0, "between the sides")
    least("depth_mm", s.side_deep_mm - 2 * s.stile_mm, 50.0, "between the stiles of a side")
    if s.doors:
        if s.door_mm[0] - 2 * s.stile_mm < 50:
            raise SizeRefused("stile_mm", f"Stiles of {s.stile_mm:g} mm leave {max(s.door_mm[0] - 2 * s.stile_mm, 0):.0f} mm between them in a door "
                              f"{s.door_mm[0]:.0f} mm wide; give {max((s.door_mm[0] - 50) / 2, 0):.0f} mm or less, or fewer doors, or a wider cabinet.")
        least("height_mm", s.door_mm[1] - 2 * s.rail_mm, 80.0, "between the rails of a door")
    least("height_mm", s.tall_mm - s.foot_mm - 2 * s.rail_mm, 80.0, "between the rails of a side")
    if s.clear_mm < 60 + REST_MM[0]:
        whole = s.tall_mm - RAIL_MM[0] - s.floor_mm
        most = int((whole + s.shelf_mm) // (60 + REST_MM[0] + s.shelf_mm)) - 1
        if most < 0:
            least("height_mm", whole, 60 + REST_MM[0], "inside")
        raise SizeRefused("shelf_count", f"{s.shelf_count} shelves leave openings of {max(s.clear_mm, 0):.0f} mm and need {60 + REST_MM[0]:.0f}. "
                          f"Give {most} or fewer, or a taller cabinet.")
    wall = (s.frame_mm - s.panel_mm) / 2
    if wall < 4.0:
        raise SizeRefused("panel_mm", f"A groove of {s.panel_mm:g} mm leaves {max(wall, 0):.1f} mm either side in frames {s.frame_mm:g} mm thick; "
                          f"give {s.frame_mm - 8:g} mm or less.")
    need = s.groove_mm + BESIDE_GROOVE_MM + 12.0
    if s.rail_mm < need + 8.0:
        raise SizeRefused("rail_mm", f"Rails {s.rail_mm:g} mm wide have no room for a tenon beside a groove {s.groove_mm:g} mm deep; "
                          f"give {need + 8:.0f} mm or more.")
    dowel = BOTTOM_UP_MM + s.shelf_mm / 2 + 8.0 + 3.0
    if s.rail_mm - s.groove_mm < dowel:
        raise SizeRefused("rail_mm", f"Rails {s.rail_mm:g} mm wide have no room for the bottom's dowels under a groove {s.groove_mm:g} mm deep; "
                          f"give {s.groove_mm + dowel:.0f} mm or more.")
    if s.tenon_mm - MORTISE_DEEPER_MM < 10:
        raise SizeRefused("stile_mm", f"Stiles {s.stile_mm:g} mm wide leave {max(s.tenon_mm - 2, 0):.0f} mm for a tenon beside the dowels of the cross rails, "
                          f"which needs 10 mm; give {12 + s.back_mm + RAIL_MM[1]:.0f} mm or more.")


# ---------------------------------------------------------------- members


def _frame(out: Members, s: _Sizes, code: str, what: str, low, way: str, wide: float, tall: float, below: float, hand: str = "") -> None:
    """Two stiles, two rails and a panel; ``low`` is its low corner, ``way`` the axis it is wide along."""
    x, y, z = low

    def at(w: float, t: float, h: float):
        return (x + w, y + t, z + h) if way == "x" else (x + t, y + w, z + h)

    first, last = ("left", "right") if way == "x" else ("front", "back")
    sw, rw, ft = s.stile_mm, s.rail_mm, s.frame_mm
    out.add(f"{code}1", f"{what}, {first} stile", "stile", at(0, 0, 0), "z", way, tall, sw, ft, hand=hand)
    out.add(f"{code}2", f"{what}, {last} stile", "stile", at(wide - sw, 0, 0), "z", way, tall, sw, ft, hand=hand)
    out.add(f"{code}3", f"{what}, bottom rail", "rail", at(sw, 0, below), way, "z", wide - 2 * sw, rw, ft, hand=hand)
    out.add(f"{code}4", f"{what}, top rail", "rail", at(sw, 0, tall - rw), way, "z", wide - 2 * sw, rw, ft, hand=hand)
    out.add(f"{code}5", f"{what}, panel", "panel", at(sw - TONGUE_MM, (ft - s.panel_mm) / 2, below + rw - TONGUE_MM), "z", way,
            tall - below - 2 * rw + 2 * TONGUE_MM, wide - 2 * sw + 2 * TONGUE_MM, s.panel_mm, hand=hand, arris=0.0)


def _members(s: _Sizes, letter: str, timber: str) -> list[Member]:
    out = Members(letter, timber, s.arris_mm)
    c, ft, yf, yb = s.case_mm / 2, s.frame_mm, s.front_mm, s.back_y_mm
    _frame(out, s, "L", "left side", (-c, yf, 0.0), "y", s.side_deep_mm, s.tall_mm, s.foot_mm, "left")
    _frame(out, s, "R", "right side", (c - ft, yf, 0.0), "y", s.side_deep_mm, s.tall_mm, s.foot_mm, "right")
    x0, long = -c + ft, s.inner_mm
    deep = yb - s.back_mm - yf
    out.add("U1", "bottom", "bottom", (x0, yf, s.foot_mm + BOTTOM_UP_MM), "x", "y", long, deep, s.shelf_mm)
    rw, rt = RAIL_MM
    out.add("C1", "cross rail, front", "cross rail", (x0, yf, s.tall_mm - rw), "x", "z", long, rw, rt)
    out.add("C2", "cross rail, back", "cross rail", (x0, yb - s.back_mm - rt, s.tall_mm - rw), "x", "z", long, rw, rt, "plain")
    out.add("K1", "plinth", "plinth", (x0, yf, 0.0), "x", "z", long, s.foot_mm + BOTTOM_UP_MM, 20.0)
    for k in range(1, s.shelf_count + 1):
        z = s.floor_mm + k * s.clear_mm + (k - 1) * s.shelf_mm
        out.add(f"H{k}", f"shelf {k}", "shelf", (x0 + 1.0, yf + rt, z), "x", "y", long - 2.0, deep - rt, s.shelf_mm)
        for side, name, x, hand in (("a", "left", x0, "left"), ("b", "right", -x0 - REST_MM[1], "right")):
            out.add(f"S{k}{side}", f"shelf rest {k}, {name}", "shelf rest", (x, yf + rt, z - REST_MM[0]), "y", "z", deep - rt,
                    REST_MM[0], REST_MM[1], "plain", hand)
    n, each = boards_across(long, s.back_gap_mm, BACK_BOARD_MM)
    for k in range(n):
        out.add(f"B{k + 1}", f"back board {k + 1}", "back board",
                (x0 + k * (each + s.back_gap_mm), yb - s.back_mm, s.foot_mm), "z", "x",
                s.tall_mm - s.foot_mm, each, s.back_mm, "plain")
    tops = _tops(s)
    for k in range(tops):
        name = f"top, board {k + 1}" if tops > 1 else "top"
        each = s.depth_mm / tops
        out.add(f"T{k + 1}", name, "top", (-s.width_mm / 2, -s.depth_mm / 2 + k * each, s.tall_mm), "x", "y", s.width_mm, each, s.top_mm, arris=0.0)
    for k in range(s.doors):
        wide, tall = s.door_mm
        what = "door" if s.doors == 1 else f"{('left', 'right')[k]} door"
        _frame(out, s, "DE"[k], what, (-c + k * (wide + s.door_gap_mm), yf - ft, s.foot_mm + DOOR_EDGE_MM), "x", wide, tall, 0.0,
               ("left", "right")[k] if s.doors == 2 else "")
    return out.all


def _tops(s: _Sizes) -> int:
    return math.ceil(s.depth_mm / BOARD_MM)


# ---------------------------------------------------------------- joints


def _framed(made: Joints, s: _Sizes, code: str, what: str, long_mm: float) -> None:
    for rail, inner_low in ((f"{code}3", False), (f"{code}4", True)):
        for stile in (f"{code}1", f"{code}2"):
            a, b, family = made.at(rail), made.at(stile), f"{what} rail into stile"
            own = made.own.get(family, {})
            try:
                joint = MortiseTenon.between(a, b, family, own)
            except ValueError as error:
                made.refuse(error, a, b, family, "rail_mm")
                continue
            thick = own.get("thickness_mm", nearest_chisel(a.thickness_mm / 3))
            inner, outer = s.groove_mm + BESIDE_GROOVE_MM, max(8.0, a.width_mm / 6)
            wide = own.get("width_mm", max(min(a.width_mm - inner - outer, 5 * thick), 3.0))
            spare = max(a.width_mm - wide - inner, 0.0)
            made.all.append(replace(
                joint, thickness_mm=thick, width_mm=wide, length_mm=own.get("length_mm", long_mm - MORTISE_DEEPER_MM),
                shoulder_low_mm=inner if inner_low else spare, cheek_low_mm=0.0 if joint.bare_faced else (a.thickness_mm - thick) / 2,
                haunch_mm=own.get("haunch_mm", 0.0),
            ))
    for frame in range(1, 5):
        made.join("groove and panel", f"{code}5", f"{code}{frame}", f"panel in {what}", "panel_gap_mm", {"gap_mm": s.panel_gap_mm})


def _joints(made: Joints, s: _Sizes) -> list[Joint]:
    for code in "LR":
        _framed(made, s, code, "side", s.tenon_mm)
        made.join("dowels", "U1", f"{code}3", "bottom into side", "rail_mm")
        made.join("dowels", "C1", f"{code}1", "cross rail into side", "stile_mm")
        made.join("dowels", "C2", f"{code}2", "cross rail into side", "stile_mm")
        made.join("dowels", "K1", f"{code}1", "plinth into side", "foot_mm")
    for k in range(1, s.shelf_count + 1):
        for side, code in (("a", "L"), ("b", "R")):
            for stile in "12":
                made.join("screws", f"S{k}{side}", f"{code}{stile}", "shelf rest on side", "stile_mm")
    for k in range(1, boards_across(s.inner_mm, s.back_gap_mm, BACK_BOARD_MM)[0] + 1):
        made.join("screws", f"B{k}", "U1", "back board on case", "back_mm", {"count": 1.0})
        made.join("screws", f"B{k}", "C2", "back board on case", "back_mm", {"count": 1.0})
    tops = _tops(s)
    for k in range(1, tops):
        made.all.append(EdgeJoint("top boards, edge to edge", made.at(f"T{k}").ref, made.at(f"T{k + 1}").ref))
    for rail, slotted in (("C1", 0.0), ("C2", SLOT_MM)):
        box = made.at(rail).piece_box
        best = max(range(1, tops + 1), key=lambda k: _over(made.at(f"T{k}"), box))
        made.join("screws", rail, f"T{best}", "cross rail to top", "top_mm",
                  {"slot_mm": slotted, "end_mm": min(90.0, s.inner_mm / 3.5)})
    for k in range(s.doors):
        code = "DE"[k]
        _framed(made, s, code, "door", math.floor(2 / 3 * s.stile_mm))
        hung, on = (f"{code}1", "L1") if k == 0 else (f"{code}2", "R1")
        made.join("hinges", hung, on, "door on side", "height_mm")
    return made.all


def _over(member: Member, box) -> float:
    m = member.piece_box
    return min(m.hi[1], box.hi[1]) - max(m.lo[1], box.lo[1])


CABINET = Cabinet()
