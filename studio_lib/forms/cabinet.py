"""Cabinet: sides and doors of frame and panel, drawers, shelves on rests, a back of upright boards, a solid top.

The stiles of the sides run down to the floor, as feet or with a plinth between them. Bottom and front rails are dowelled
between the sides; the top is screwed from below, in slots at the back. Doors and drawer faces lie on the front of the case;
drawers run over the doors, from top to bottom, or between the doors in a bay of their own: two partitions of frame and
panel stand in housings of the bottom, each glued under a cross rail of its own. Or it is divided into bays with fronts of
their own, which stand in their openings (``bays``). A tall one is made in two cases, the upper
screwed down on the lower and carried by itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.brief import refusals
from studio_lib.brief.said import alcove_asked, big_below_asked, case_drawers_asked, drawers_asked, drawers_between, goods_asked, no_doors_asked, on_feet_asked, tallest_book, width_asked
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import bays as in_bays
from studio_lib.forms.bays import WIDEST_DOOR_MM, Bay, BaySizes, bays_of
from studio_lib.forms.cabinet_parts import (
    BACK_BOARD_MM,
    BESIDE_GROOVE_MM,
    DRAWER_RAIL_MM,
    HOUSED,
    LEAST_BAY_MM,
    RAIL_MM,
    REST_MM,
    SCREWS_APART_MM,
    TONGUE_MM,
    frame_joints,
    frame_members,
    pair_of_rests,
)
from studio_lib.forms.casework import (
    G,
    JUDGEMENT,
    PRACTICE,
    Joints,
    Members,
    anchored,
    boards_across,
    children,
    mass_kg,
    middle_mm,
    in_upper_case,
    shelf_sags,
    tiered,
    wall_proposal,
)
from studio_lib.forms.changes import any_made, assembled
from studio_lib.forms.drawers import (
    LEAST_DEEP_MM,
    LEAST_OPENING_MM,
    LEAST_WIDE_MM,
    PULL_MM,
    Drawer,
    above_mm,
    joints,
    members,
    slot_mm,
)
from studio_lib.forms.form import BRIEF_AT_MOST, Form, Proposal, Size, SizeRefused, Surroundings, choice
from studio_lib.forms.space import lift_on_finding, room_findings, wanted_height, why_in_parts
from studio_lib.forms.stowing import Room, depth_for, springing_findings, stowing_findings
from studio_lib.forms.thin import no_flat_refused
from studio_lib.piece import Joint, Member, Piece
from studio_lib.piece.edge_joint import EdgeJoint
from studio_lib.piece.mortise_tenon import MORTISE_DEEPER_MM
from studio_lib.piece.order import UPPER_ON_LOWER
from studio_lib.structure.loads import Load, goods
from studio_lib.units import mm

BOTTOM_UP_MM = 10.0
"""Underside of the bottom above the lower edge of the bottom rails; judgement of ours."""
DRAWER_ALONE_MM = 900.0
"""Up to this width one drawer across the case runs true; judgement of ours."""
FOOT_RAIL_MM = (40.0, 20.0)
"""Height and thickness of the rails glued under the bottom of one that stands on feet; judgement of ours."""
BAYS_FOOT_RAIL_MM = (65.0, 24.0)
"""The same where partitions stand on the bottom, so that neither it nor the top sags on its screws; by the frame of the whole piece."""
PLINTH, FEET = 0, 1
OVER, FROM_TOP, BETWEEN = 0, 1, 2
"""Where drawers stand: over doors or shelves, from top to bottom, in a bay between the doors."""
DOWELLED_MM = 55.0
"""So far in from its ends a cross rail is bored for its dowels: four diameters of ten, and spare."""
PIN_OUT_MM = 3.5
"""How far the pins of the hinges stand out beside a door; half the thickness of one."""
BOARD_MM = 150.0
SLOT_MM = 8.0
"""Slots of the back cross rail, beyond the hole of a screw; common practice, no source."""
DOOR_EDGE_MM = 3.0
"""Doors and drawer faces end this far below the top, above the foot and from the middle of a rail; judgement of ours."""
TWO_CASES_MM = 1500.0
"""Over this height two cases are proposed; judgement of ours."""
LEAST_UPPER_MM = 350.0
OVER_BOOKS_MM = 20.0
"""Over the tallest book, for a finger to tip it out; common practice, no source."""
BOOKS_DEEP_MM = 305.0
"""What books stand on: shelf-building rules, 10 to 12 in. (255 to 305 mm)."""
NO_ROWS = ". No effect as yet, for there are no rows of drawers: give one or more above"
UPRIGHT_IN_MM = 6.0
"""How deep the upright between two drawers stands in a rail; judgement of ours."""
UPRIGHT_MM = 18.0
MIDDLE_MM = 64.0
"""Width of the runner under two drawers side by side, and of the upright between them; judgement of ours."""
BACK_RAIL_MM = 18.0
GUIDE_MM = 12.0
"""Height of the strip that keeps two drawers apart; judgement of ours."""
CATCH_N = 20.0
"""A push on a door held by a magnet; from memory."""


@dataclass(frozen=True)
class _Sizes:
    width_mm: float
    depth_mm: float
    height_mm: float
    foot_mm: float
    stands_on: int
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
    drawer_rows: int
    drawers_fill: int
    drawers_across: int
    bay_mm: float
    drawer_mm: float
    pulls: int
    upper_mm: float
    upper_depth_mm: float
    upper_shelves: int
    upper_lowest_mm: float
    swell: float = 0.0
    """Growth of a drawer's side across its width, as a part of it."""
    tier: int = 0
    each: tuple[BaySizes, ...] = ()
    """Bays with fronts of their own, from the left; none where it is not divided so."""
    lowest_mm: float = 0.0
    """Clear height of the lowest opening of this case where it has its own; 0 where it is as the others."""

    @classmethod
    def of(cls, sizes: dict[str, float], swell: float = 0.0) -> _Sizes:
        """The sizes of a document. What stands inside one divided into bays is said of each bay, and of no other."""
        each, rest = in_bays.taken(sizes)
        return cls(**(rest | (dict.fromkeys(("drawer_rows", "drawers_fill", "shelf_count"), 0) if each else {})), swell=swell, each=each)

    def cases(self) -> list[_Sizes]:
        """The sizes of each case, from the floor up."""
        if not self.upper_mm:
            return [replace(self, doors=0)] if self.each else [self]
        lower = replace(self, height_mm=self.height_mm - self.upper_mm, doors=0 if self.each else self.doors)
        upper = replace(
            self, height_mm=self.upper_mm, depth_mm=self.upper_depth_mm, shelf_count=self.upper_shelves, drawer_rows=0, foot_mm=0.0, tier=1, each=(),
            lowest_mm=self.upper_lowest_mm if self.upper_shelves else 0.0,
        )
        return [lower, upper]

    @property
    def columns(self) -> int:
        return self.drawers_across + 1

    @property
    def openings_top_mm(self) -> float:
        """Underside of the front cross rail."""
        return self.tall_mm - RAIL_MM[0]

    @property
    def filled(self) -> bool:
        """Whether drawers take all the height, the lowest running on the bottom itself."""
        return bool(self.drawer_rows and self.drawers_fill)

    @property
    def between(self) -> bool:
        """Whether the drawers stand in a bay of their own between two others."""
        return bool(self.drawer_rows and self.drawers_fill == BETWEEN)

    @property
    def partitioned(self) -> bool:
        """Whether partitions stand on the bottom."""
        return self.between or len(self.each) > 1

    @property
    def bays(self) -> list[Bay]:
        """Bays with fronts of their own, from the left."""
        return bays_of(self)

    @property
    def drawer_bay(self) -> tuple[float, float, str, str]:
        """Left and right wall of the drawers, in x, and the frames that they are: (mm, mm, code, code)."""
        wide, walls = (self.bay_mm, "MP") if self.between else (self.inner_mm, "LR")
        return (-wide / 2, wide / 2, *walls)

    @property
    def shelf_bays(self) -> list[tuple[float, float, str, str]]:
        """The same for what lies behind doors, left to right."""
        end, out = self.inner_mm / 2, self.bay_mm / 2 + self.frame_mm
        return [(-end, -out, "L", "M"), (out, end, "P", "R")] if self.between else [(-end, end, "L", "R")]

    @property
    def shelf_bay_mm(self) -> float:
        """Clear width of each bay behind doors."""
        low, high, *_ = self.shelf_bays[0]
        return high - low

    @property
    def bottom_up_mm(self) -> float:
        """Underside of the bottom above the lower edge of the bottom rails."""
        return self.foot_rail_mm[0] if self.on_feet else BOTTOM_UP_MM

    @property
    def foot_rail_mm(self) -> tuple[float, float]:
        """Height and thickness of the rails under the bottom of one that stands on feet."""
        return BAYS_FOOT_RAIL_MM if self.partitioned else FOOT_RAIL_MM

    @property
    def on_feet(self) -> bool:
        return self.stands_on == FEET and not self.tier

    @property
    def opening_mm(self) -> float:
        """Height of a drawer's opening."""
        if not self.filled:
            return self.drawer_mm
        return (self.openings_top_mm - self.floor_mm - (self.drawer_rows - 1) * DRAWER_RAIL_MM) / self.drawer_rows

    @property
    def drawer_rails(self) -> int:
        """How many rows have a rail under them."""
        return self.drawer_rows - self.filled

    def drawer_rail_mm(self, row: int) -> float:
        """Low edge of the rail under a row of drawers, counted from the top, from 1."""
        return self.openings_top_mm - row * (self.opening_mm + DRAWER_RAIL_MM)

    @property
    def shelves_top_mm(self) -> float:
        """Where the room for shelves ends."""
        return self.drawer_rail_mm(self.drawer_rows) if self.drawer_rows and not self.between else self.openings_top_mm

    def shelf_low_mm(self, shelf: int) -> float:
        """Underside of a shelf, from 1 at the bottom; clear of the screws of a drawer runner on the other face of a partition."""
        z = self.floor_mm + self.clear_over_mm(0) + (shelf - 1) * (self.clear_mm + self.shelf_mm)
        if self.between:
            for row in range(1, self.drawer_rails + 1):
                off = z - (self.drawer_rail_mm(row) + DRAWER_RAIL_MM)
                if abs(off) < SCREWS_APART_MM:
                    return z + (SCREWS_APART_MM - off if off >= 0 else -SCREWS_APART_MM - off)
        return z

    def fronts_mm(self) -> list[tuple[float, float]]:
        """Low and high edge of each drawer face from the top down, then of the doors."""
        edges = [self.tall_mm, *(self.drawer_rail_mm(k) + DRAWER_RAIL_MM / 2 for k in range(1, self.drawer_rails + 1)), self.foot_mm]
        outer, inner = DOOR_EDGE_MM, DOOR_EDGE_MM / 2
        last = len(edges) - 2
        return [(low + (outer if k == last else inner), high - (inner if k else outer)) for k, (high, low) in enumerate(zip(edges, edges[1:]))]

    def drawers(self) -> list[Drawer]:
        """Every drawer, row by row from the top, left to right."""
        out, yf = [], self.front_mm
        rail = BACK_RAIL_MM if self.columns > 1 else 0.0
        left, right, *_ = self.drawer_bay
        wide = (right - left - (self.columns - 1) * UPRIGHT_MM) / self.columns
        faces = self.bay_mm + self.frame_mm - self.door_gap_mm if self.between else self.case_mm
        face = (faces - (self.columns - 1) * self.door_gap_mm) / self.columns
        for row in range(1, self.drawer_rows + 1):
            low = self.drawer_rail_mm(row) + DRAWER_RAIL_MM if row <= self.drawer_rails else self.floor_mm
            under, over = self.fronts_mm()[row - 1]
            for k in range(self.columns):
                n = len(out) + 1
                out.append(Drawer(
                    n, f"drawer {n}", (left + k * (wide + UPRIGHT_MM), yf, low), wide, self.opening_mm,
                    self.back_y_mm - self.back_mm - rail - yf, above_mm(self.opening_mm, self.swell),
                    (-faces / 2 + k * (face + self.door_gap_mm), under), (face, over - under, self.frame_mm), bool(self.pulls), slot_mm(self.side_deep_mm, self.swell),
                ))
        return out

    @property
    def fronts(self) -> bool:
        """Whether anything lies on the front of the case."""
        # Divided into bays, the doors said of the whole are those of its upper case.
        return bool((self.doors and (self.upper_mm or not self.each)) or self.drawer_rows)

    @property
    def opens(self) -> bool:
        """Whether it has doors or drawers, on its front or in its bays."""
        return self.fronts or any(b.front or b.drawers for b in self.each)

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
        return -self.depth_mm / 2 + (self.frame_mm if self.fronts else 0.0) + self.top_over_mm

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
        return self.foot_mm + self.bottom_up_mm + self.shelf_mm

    @property
    def clear_mm(self) -> float:
        """Of each opening between shelves, but for a lowest one that has its own height."""
        inside = self.shelves_top_mm - self.floor_mm - self.shelf_count * self.shelf_mm
        return (inside - self.lowest_mm) / self.shelf_count if self.lowest_mm else inside / (self.shelf_count + 1)

    def clear_over_mm(self, k: int) -> float:
        """Clear height over the bottom, 0, or over a shelf."""
        return self.lowest_mm if self.lowest_mm and not k else self.clear_mm

    @property
    def groove_mm(self) -> float:
        return TONGUE_MM + self.panel_gap_mm

    @property
    def door_mm(self) -> tuple[float, float]:
        """Width and height of a door."""
        low, high = self.door_edges_mm
        if self.between:
            return (self.case_mm - self.bay_mm - self.frame_mm - self.door_gap_mm) / 2, high - low
        return (self.case_mm - (self.doors - 1) * self.door_gap_mm) / max(self.doors, 1), high - low

    @property
    def door_edges_mm(self) -> tuple[float, float]:
        """Low and high edge of the doors."""
        return (self.foot_mm + DOOR_EDGE_MM, self.tall_mm - DOOR_EDGE_MM) if self.between else self.fronts_mm()[-1]

    def door_left_mm(self, door: int) -> float:
        """Left edge of a door, from 0 at the left."""
        return -self.case_mm / 2 if door == 0 else self.case_mm / 2 - self.door_mm[0]

    @property
    def tenon_mm(self) -> float:
        """Length of a tenon in a stile of the sides, clear of the dowels of the cross rails."""
        return math.floor(min(2 / 3 * self.stile_mm, self.stile_mm - self.back_mm - RAIL_MM[1]))


class Cabinet(Form):
    """A cabinet of frame and panel."""

    name = "cabinet"
    called = ("wide", "deep")
    overall = ("width_mm", "depth_mm", "height_mm")
    says = "Frame and panel sides and doors, drawers over or between them, or bays each with a front of its own; shelves, a back of boards, a solid top."
    sizes = (
        Size("width_mm", "Width over the top", 300, 1800),
        Size("depth_mm", "Depth over the top", 240, 700),
        Size("height_mm", "Height", 350, 2200),
        Size("foot_mm", "Bottom rails above the floor", 30, 250, "mm", "case"),
        choice("stands_on", "Stands on", ("plinth", "feet"), "case"),
        Size("top_mm", "Thickness of the top", 15, 45, "mm", "case"),
        Size("top_over_mm", "Top beyond the sides and the doors", 0, 40, "mm", "case"),
        Size("frame_mm", "Thickness of the frames", 18, 36, "mm", "frames"),
        Size("stile_mm", "Width of the stiles", 45, 130, "mm", "frames"),
        Size("rail_mm", "Width of the rails of sides and doors", 50, 180, "mm", "frames"),
        Size("panel_mm", "Thickness of the panels", 6, 16, "mm", "frames"),
        Size("panel_gap_mm", "Room for a panel at the bottom of each groove", 1, 10, "mm", "frames"),
        *in_bays.sizes(),
        choice("doors", "Doors", ("none", "one", "two"), "doors"),
        Size("door_gap_mm", "Gap between doors, and beside fronts in bays", 1, 6, "mm", "doors"),
        Size("shelf_count", "Shelves inside", 0, 8, "", "shelves", True),
        Size("shelf_mm", "Thickness of shelves and bottom", 15, 35, "mm", "shelves"),
        Size("load_kg_m", "Load on each metre of shelf", 0, 150, "kg", "shelves", given=True),
        Size("back_mm", "Thickness of the back boards", 6, 20, "mm", "case"),
        Size("back_gap_mm", "Gap between back boards, when made", 0, 8, "mm", "case"),
        Size("drawer_rows", "Rows of drawers, from the top down", 0, 6, "", "drawers", True),
        choice("drawers_fill", "Drawers stand", ("over doors or shelves", "from top to bottom", "between the doors"), "drawers"),
        choice("drawers_across", "Drawers in a row", ("one", "two"), "drawers"),
        Size("bay_mm", "Width of the bay between the doors", 160, 1000, "mm", "drawers"),
        Size("drawer_mm", "Height of a drawer's opening, over doors or shelves", 70, 350, "mm", "drawers"),
        choice("pulls", "Pulls of timber", ("none", "on drawers and doors"), "doors"),
        Size("upper_mm", "Height of an upper case, 0 for one case", 0, 1500, "mm", "upper case"),
        Size("upper_depth_mm", "Depth of the upper case", 200, 700, "mm", "upper case"),
        Size("upper_shelves", "Shelves in the upper case", 0, 6, "", "upper case", True),
        Size("upper_lowest_mm", "Clear height of its lowest opening, 0 for as the others", 0, 800, "mm", "upper case"),
        choice("wall", "Fixed to the wall", ("no", "yes")),
        Size("arris_mm", "Arris taken off", 0, 2, "mm", "case"),
    )

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        wide, frame = chosen.get("width_mm", _wanted_width(brief)[0]), chosen.get("frame_mm", 24.0)
        sided = in_bays.sides(brief, chosen, wide - 2 * chosen.get("top_over_mm", 10.0) - 2 * frame, frame)
        drawn = {} if sided else in_bays.all_drawers(brief, chosen)
        shut = {} if drawn or sided else in_bays.all_doors(brief, chosen, wide - 2 * chosen.get("top_over_mm", 10.0), WIDEST_DOOR_MM)
        out = self._proposed(brief, around, {**sided, **drawn, **shut, **chosen})
        return {**out, **in_bays.all_drawers_proposals(brief, drawn, out), **in_bays.all_doors_proposals(shut), **in_bays.sides_proposals(brief, sided)}

    def _proposed(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        width, why_wide, on_width = _wanted_width(brief)
        wide = chosen.get("width_mm", width)
        divided, over, frame = int(chosen.get("bays", 0)), chosen.get("top_over_mm", 10.0), chosen.get("frame_mm", 24.0)
        fronts = [int(chosen.get(in_bays.named(n, "front"), in_bays.OPEN)) for n in range(1, divided + 1)]
        opens = in_bays.opens(chosen)
        behind_door = frame + in_bays.STOP_MM[0] if any(f in in_bays.WITH_DOORS for f in fronts) else 0.0
        usual_depth, why_deep, on_deep = 450.0, "455 mm is usual for a cabinet or a chest", "seen: sideboards and chests 18 in. (455 mm) deep"
        if in_it := depth_for(brief, chosen.get("back_mm", 10.0), over + (behind_door if divided else frame)):
            (usual_depth, why_deep), on_deep = in_it, "brief"
        if chosen.get("pulls", 1) and PULL_MM[2] > over and (opens or not divided):
            why_deep += f"; pulls stand {mm(PULL_MM[2] - over)} mm out before it, and are in the depth over all"
        depth = chosen.get("depth_mm", usual_depth)
        wanted, why_high, on_high = wanted_height(brief, 915.0, "as high as a sideboard", "seen: 36 in. (915 mm), to serve from", depth, None)
        most = next(s.high for s in self.sizes if s.name == "height_mm")
        if wanted > most:
            wanted, why_high = most, f"a cabinet is made no higher here ({why_high})"
        height = chosen.get("height_mm", wanted)
        thick = 20.0 if wide <= 850 else 25.0
        feet_said = on_feet_asked(brief)
        on_feet = int(chosen.get("stands_on", FEET if feet_said else PLINTH)) == FEET
        usual_foot = min(max(round(0.18 * height / 5) * 5.0, 50.0), 150.0) if on_feet else 90.0
        foot, top, shelf = chosen.get("foot_mm", usual_foot), chosen.get("top_mm", 24.0), chosen.get("shelf_mm", thick)
        parts = why_in_parts(brief, (wide, depth, height)) if height >= 750.0 + LEAST_UPPER_MM else ""
        upper = chosen.get("upper_mm", math.floor((height - 750.0) / 50) * 50 if height > TWO_CASES_MM or parts else 0.0)
        drawer, case = chosen.get("drawer_mm", 140.0), wide - 2 * over
        # Two doors alone would be too wide, or the client says where the drawers are to be.
        too_wide, asked = case / 2 > WIDEST_DOOR_MM and not upper, drawers_between(brief)
        room = case - 4 * frame >= 2 * LEAST_BAY_MM + LEAST_WIDE_MM
        open_front = no_doors_asked(brief)
        may = room and not open_front and chosen.get("doors", 2) != 1 and chosen.get("drawer_rows", 1) > 0
        usual_fill = BETWEEN if may and (too_wide or asked) else OVER
        fill = int(chosen.get("drawers_fill", usual_fill))
        parted = divided > 1 or not divided and fill == BETWEEN and chosen.get("drawer_rows", 1) > 0
        up = (BAYS_FOOT_RAIL_MM if parted else FOOT_RAIL_MM)[0] if on_feet else BOTTOM_UP_MM
        whole = height - upper - top - RAIL_MM[0] - foot - up - shelf
        said = drawers_asked(brief) if asked else None
        usual_rows = min(said or max(round((whole + DRAWER_RAIL_MM) / (190.0 + DRAWER_RAIL_MM)), 1), 6) if fill == BETWEEN else 0
        over_doors = case_drawers_asked(brief) if not divided and fill == OVER else 0
        in_a_row = 2 if wide >= 800 and over_doors > 1 else 1
        if over_doors and whole >= 250.0 + (drawer + DRAWER_RAIL_MM):
            said, usual_rows = over_doors, min(math.ceil(over_doors / in_a_row), 3)
        rows = int(chosen.get("drawer_rows", usual_rows))
        bays, column = bool(rows and fill == BETWEEN), bool(rows and fill == FROM_TOP)
        third = round((case - 4 * frame) / 3 / 5) * 5.0
        usual_bay = min(max(third, case - frame - 2 * WIDEST_DOOR_MM, LEAST_WIDE_MM), 1000.0)
        bay = chosen.get("bay_mm", usual_bay)
        inside = whole - (rows * (drawer + DRAWER_RAIL_MM) if fill == OVER else 0.0)
        above = min(max(round((upper - top - RAIL_MM[0] - shelf) / 330.0) - 1, 0), 6) if upper else 0
        books = tallest_book(brief)
        lowest = min(books[0] + OVER_BOOKS_MM, 800.0) if upper and books and big_below_asked(brief) and chosen.get("upper_shelves", above) else 0.0
        set_back = max(depth - 120.0, min(BOOKS_DEEP_MM, depth) if "book" in goods_asked(brief) else 0.0)
        taken = fill == OVER and height - upper - top - foot - RAIL_MM[0] - rows * (drawer + DRAWER_RAIL_MM) < 250.0
        usual_doors = 0 if column or open_front or (taken and rows) else 2 if wide >= 600 or bays else 1
        doors = int(chosen.get("doors", usual_doors))
        widest = max(depth, ((case - bay - frame) / 2 if bays else wide / doors) if doors else 0.0)
        tallest = tallest_book(brief)
        each_bay = in_bays.propose(chosen, case - 2 * frame, frame, whole, tallest and tallest[0])
        if divided:
            widest = max([depth, *(p / (2 if f == in_bays.PAIR else 1) for n, f in enumerate(fronts, 1)
                                   if (p := chosen.get(in_bays.named(n, "mm"), each_bay[in_bays.named(n, "mm")].value)) and f in in_bays.WITH_DOORS)])
        panel = max(widest - 2 * chosen.get("stile_mm", 70.0) + 2 * TONGUE_MM, 0.0)
        across = 0 if over_doors == 1 and wide <= DRAWER_ALONE_MM else 1 if (bay if bays else wide) >= 800 else 0
        gap = min(max(math.ceil(2 * (around.swell_fraction * panel / 2 / 0.57)) / 2, 3.5), 10.0)
        rail = max(80.0, math.ceil((TONGUE_MM + chosen.get("panel_gap_mm", gap) + up + shelf / 2 + 11.0) / 5) * 5.0)
        back_gap = min(math.ceil(2 * (1.0 + around.swell_fraction * BACK_BOARD_MM)) / 2, 8.0)
        fixed = 1 if children(brief) or height > 5 * depth or ((opens or (upper and doors) if divided else doors or rows) and height >= refusals.ANCHOR_FROM_MM) or brief.fixed_to_building else 0
        return {
            "width_mm": Proposal(width, why_wide, on_width),
            "depth_mm": Proposal(min(max(usual_depth, 240.0), 700.0), why_deep, on_deep),
            "height_mm": Proposal(wanted, why_high, on_high),
            "foot_mm": Proposal(
                usual_foot, "a broom and toes get under it" if on_feet else "doors open clear of shoes and a rug", JUDGEMENT),
            "stands_on": Proposal(FEET, "on feet, as the client says", "brief") if feet_said else Proposal(PLINTH, "nothing rolls or gathers under it", JUDGEMENT),
            "top_mm": Proposal(24.0, around.sawn(24.0), JUDGEMENT),
            "top_over_mm": Proposal(10.0, "a shadow line over the doors", JUDGEMENT),
            "frame_mm": Proposal(24.0, f"tenons of 8 mm, {around.sawn(24.0)}", JUDGEMENT),
            "stile_mm": Proposal(70.0, "room for tenon and dowels in one stile", JUDGEMENT),
            "rail_mm": Proposal(
                rail, f"{'a tenon of five thicknesses' if rail == 80.0 else 'dowels of the bottom'} beside the panel's groove", JUDGEMENT),
            "panel_mm": Proposal(10.0, "a groove a third of the frame's thickness and a little over", JUDGEMENT),
            "panel_gap_mm": Proposal(gap, "half the panel's swelling to the wettest, 3.5 mm at least", "Wood Handbook FPL-GTR-282 ch. 13; 3 mm and over: workshop books"),
            "doors": Proposal(0, "none, in the client's words", "brief") if open_front else Proposal(usual_doors, "no door wider than 600 mm", PRACTICE),
            "door_gap_mm": Proposal(3.0, "the stiles swell towards each other", PRACTICE),
            **each_bay,
            "shelf_count": in_bays.shelves(0.0 if column else inside, tallest and tallest[0]),
            "shelf_mm": Proposal(thick, "25 mm from 850 mm of width on, else it sags", JUDGEMENT),
            "load_kg_m": _load(brief, depth),
            "back_mm": Proposal(10.0, "screwed at top and bottom", JUDGEMENT),
            "back_gap_mm": Proposal(back_gap, "room for each board to swell, and 1 mm", "Wood Handbook FPL-GTR-282 ch. 13"),
            "drawer_rows": Proposal(usual_rows, *(
                ("doors alone, until you want them: give 1 or more, then where they stand", JUDGEMENT) if not usual_rows else ("as many as the client says", "brief") if said
                else ("drawers of about 190 mm", JUDGEMENT))),
            "drawers_fill": Proposal(usual_fill, *(
                (f"doors or shelves below{NO_ROWS if not rows else ''}", JUDGEMENT) if usual_fill == OVER else (f"between the doors, as the client says{NO_ROWS if not rows else ''}", "brief") if asked
                else (f"two doors alone would be {case / 2:.0f} mm wide each; {WIDEST_DOOR_MM:.0f} mm at the most{NO_ROWS if not rows else ''}", PRACTICE))),
            "bay_mm": Proposal(usual_bay, "a third of the width" if usual_bay == third else f"doors no wider than {WIDEST_DOOR_MM:.0f} mm", JUDGEMENT),
            "drawers_across": Proposal(across, "a drawer wider than it is deep racks and sticks", PRACTICE),
            "drawer_mm": Proposal(140.0, "small things lie in it one deep", JUDGEMENT),
            "pulls": Proposal(1, "turned or planed from the same board", JUDGEMENT),
            "upper_mm": Proposal(min(upper, 1500.0), (parts or "two cases: each can be carried, and turned on a stair") if upper else "one case can be carried", JUDGEMENT),
            "upper_depth_mm": Proposal(min(max(set_back, 200.0), 700.0), *(
                ("set back, so that the lower top is a ledge", JUDGEMENT) if set_back == depth - 120.0 else ("as deep as books stand on", "shelf-building rules, 10 to 12 in. (255 to 305 mm)"))),
            "upper_shelves": Proposal(above, "openings of about 300 mm", "shelf-building rules: 220 mm at least, 300 to 350 mm usual"),
            "upper_lowest_mm": Proposal(lowest, f"{books[1]}, and {OVER_BOOKS_MM:g} mm to tip it out; what is smaller stands above", f"brief; finger room {PRACTICE}") if lowest
            else Proposal(0.0, "all openings alike", JUDGEMENT),
            "wall": wall_proposal(brief, fixed, "doors, and 686 mm or more: fixed", "low: stands without"),
            "arris_mm": Proposal(1.0, "takes off what would splinter", PRACTICE),
        }

    def kept_within(self, limits_mm: tuple[float | None, float | None, float | None], sizes: dict[str, float]) -> dict[str, float]:
        """Pulls stand out before the top, and the pins of hinges may beside it: the whole is kept within the limits."""
        over, doors, rows = sizes["top_over_mm"], sizes["doors"], sizes["drawer_rows"]
        if sizes.get("bays"):
            rows = in_bays.opens(sizes)
            doors = any(sizes.get(in_bays.named(n, "front")) in in_bays.WITH_DOORS for n in range(1, int(sizes["bays"]) + 1))
        before = max(PULL_MM[2] if sizes["pulls"] else PIN_OUT_MM if doors else 0.0, over) - over if doors or rows else 0.0
        beside = 2 * (max(PIN_OUT_MM, over) - over) if doors else 0.0
        long, deep, high = limits_mm
        return super().kept_within((long and long - beside, deep and deep - before, high), sizes)

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _Sizes.of(sizes, around.swell_fraction)
        if s.upper_mm and s.upper_mm < LEAST_UPPER_MM:
            raise SizeRefused("upper_mm", f"An upper case {s.upper_mm:g} mm high holds nothing; give {LEAST_UPPER_MM:g} mm or more, or 0 for one case.")
        if s.upper_mm and s.height_mm - s.upper_mm < LEAST_UPPER_MM:
            raise SizeRefused("upper_mm", f"An upper case of {s.upper_mm:g} mm leaves {max(s.height_mm - s.upper_mm, 0):.0f} mm for the lower one; give "
                              f"{max(s.height_mm - LEAST_UPPER_MM, 0):.0f} mm or less, or 0 for one case.")
        if s.upper_mm and s.upper_depth_mm > s.depth_mm:
            raise SizeRefused("upper_depth_mm", f"An upper case {s.upper_depth_mm:g} mm deep stands out beyond the lower one; give {s.depth_mm:g} mm or less.")
        cases = s.cases()
        for case in cases:
            _refuse(case)
        missing: list[Finding] = in_bays.swelling(cases[0], name)
        made = [m for case in cases for m in _members(case, letter, around.timber, s)]
        return assembled(
            name=name, form=self.name, letter=letter, members=made,
            lay_joints=lambda by_ref, own: _all_joints(by_ref, letter, own, any_made(adjustments), missing, cases),
            changes=adjustments, own=joints, check=no_flat_refused, timber=around.timber, found=missing,
        )

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return self.fit_under(piece, sizes, brief, {})

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        return self.fit_weighed(piece, sizes, brief, loads, None)

    def fit_weighed(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load], kg: float | None) -> list[Finding]:
        s, young, mass = _Sizes.of(sizes), children(brief), kg or mass_kg(piece)
        found = room_findings(piece.name, *piece.overall_mm[:2], brief, ("width", "depth"), high_mm=piece.overall_mm[2])
        if s.upper_mm:
            found += lift_on_finding(piece.name, piece.overall_mm[2], brief)
        found += shelf_sags(piece, s.load_kg_m, brief, loads)
        cases = s.cases()
        found += stowing_findings(piece.name, [r for c in cases for r in _rooms(c, bool(s.upper_mm))], brief)
        inside = sum(c.inner_mm * (c.side_deep_mm - c.back_mm) * (c.openings_top_mm - c.floor_mm - c.shelf_count * c.shelf_mm) for c in cases) * 1e-6
        found.append(anchored(brief, refusals.anchor(piece.name, s.height_mm, s.depth_mm, mass, inside, s.opens, young, bool(s.wall))))
        for c in cases:
            name = f"{piece.name}, {'upper' if c.tier else 'lower'} case" if s.upper_mm else piece.name
            if c.each:
                found += in_bays.door_findings(c, piece.name, CATCH_N)
            elif c.doors:
                found += _behind_doors(name, c)
        if s.opens:
            found += _opened_by(piece)
            gap, where = (s.door_gap_mm, "between doors") if s.doors > 1 else (DOOR_EDGE_MM, "round doors and drawers")
            least, most = in_bays.gaps_mm(cases[0]) if s.each else (gap, gap)
            found.append(refusals.fingers("round doors and drawers" if s.each else where, least, most, young))
        if not s.wall and young and piece.members:
            # A child pulls at what stands open, not at a shut case.
            edge = max(middle_mm(piece, opened=True) - cases[0].front_mm, 1.0)
            pulled = refusals.pulled_over(piece.name, mass * G, edge, s.height_mm, "a child's pull")
            found.append(replace(pulled, says=f"{pulled.says}; doors and drawers open" if s.opens else pulled.says))
        if alcove_asked(brief):
            found.append(Finding(
                piece.name, "fitted into an alcove", Verdict.LOOK_AGAIN, "a cabinet stands free: nothing of it is scribed to walls, skirting or ceiling",
                rule="what fills an alcove is scribed to it", source="a judgement of ours",
                mend="A bookcase on a cupboard with doors is fitted into one: add a bookcase on the Brief page.", stage="sizes",
            ))
        return found + springing_findings(piece.name, brief, bool(s.wall))

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        divided, rows, upper = bool(sizes["bays"]), sizes["drawer_rows"], bool(sizes["upper_mm"])
        idle = {"upper_depth_mm": not upper, "upper_shelves": not upper, "upper_lowest_mm": not upper or not sizes["upper_shelves"]}
        if divided:
            idle |= {n: n != "doors" or not upper for n in in_bays.UNDIVIDED}
            fronts = in_bays.opens(sizes)
        else:
            fill = sizes["drawers_fill"]
            idle |= {
                "drawers_across": not rows, "bay_mm": not rows or fill != BETWEEN, "drawer_mm": not rows or fill != OVER,
                "shelf_count": bool(rows) and fill == FROM_TOP,
            }
            fronts = sizes["doors"] or rows
        idle |= {"pulls": not fronts, "door_gap_mm": not fronts}
        return (*(n for n, yes in idle.items() if yes), *in_bays.unused(sizes))

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        ways = ("wall", "bays", *(in_bays.named(n, f) for n in range(1, in_bays.MOST + 1) for f in ("front", "air", "shelves", "drawers")))
        return (*super().needs(sizes, brief), *ways)

    def carried(self, piece: Piece) -> dict[str, tuple[str, ...]]:
        upper = tuple(m.ref for m in piece.members if not m.ref.rpartition("-")[2].startswith("W") and in_upper_case(m.ref))
        if not upper:
            return super().carried(piece)
        return {"lower case": tuple(m.ref for m in piece.members if m.ref not in upper), "upper case": upper}

    def parts_by(self, sizes: dict[str, float]) -> str:
        low = sizes["height_mm"] < 2 * LEAST_UPPER_MM
        return "" if sizes["upper_mm"] or low else "On Sizes it can be given an upper case, which is carried by itself."


def _load(brief: Brief, depth_mm: float) -> Proposal:
    """What a metre of shelf carries: of what the brief says goes in, else household things. [kg]"""
    said = goods()[goods_asked(brief)] if goods_asked(brief) else None
    if said is None:
        return Proposal(min(150.0, round(65.0 * depth_mm / 1000)), "household things, 65 kg a square metre of shelf", "EN 14749, 0.65 kg/dm2, from memory")
    kg_m2 = said.force_n / G
    return Proposal(min(150.0, round(kg_m2 * depth_mm / 1000)), f"{goods_asked(brief)}, as the brief says: {kg_m2:.0f} kg a square metre of shelf", said.source)


def _wanted_width(brief: Brief) -> tuple[float, str, str]:
    """Width to begin with, why, and on whose word: as asked, as the brief lets it be at the most, else usual. [mm]"""
    low, high = next((s.low, s.high) for s in Cabinet.sizes if s.name == "width_mm")
    asked = width_asked(brief)
    on = "brief"
    if asked is None and brief.most_length_mm:
        asked, on = (brief.most_length_mm, "as wide as the brief allows"), BRIEF_AT_MOST
    if asked:
        value, why = asked
        if value > high:
            return high, f"a cabinet is made no wider here ({why})", on
        return max(value, low), why, on
    return min(max(brief.space_length_mm or 1000.0, low), 1000.0), "two doors of half a metre, or as the space allows", JUDGEMENT


def _rooms(s: _Sizes, several: bool) -> list[Room]:
    """The openings of one case that things stand in; drawers are for what is small."""
    if s.each:
        return in_bays.rooms(s)
    if s.filled and not s.between:
        return []
    case = f" of the {'upper' if s.tier else 'lower'} case" if several else ""
    sides = (", left", ", right") if s.between else ("",)
    deep = s.side_deep_mm - s.back_mm
    return [
        Room(f"{'on the bottom' if k == 0 else f'on shelf {k}'}{side}{case}", high - low, s.clear_over_mm(k), deep)
        for (low, high, *_), side in zip(s.shelf_bays, sides) for k in range(s.shelf_count + 1)
    ]


def _opened_by(piece: Piece) -> list[Finding]:
    """That a hand finds nothing to open it by: no pull, and no hole or hollow cut into a drawer's face or a door."""
    fronts = [m for m in piece.members if m.role == "drawer face" or "door" in m.name]
    if not fronts or any(m.role == "pull" for m in piece.members) or any(m.shaping for m in fronts):
        return []
    return [Finding(
        piece.name, "something to open it by", Verdict.LOOK_AGAIN, "its fronts are flat and have no pull: nothing is there to open them by",
        rule="what opens has a pull, or a hole or hollow for the fingers", source=PRACTICE, stage="sizes",
        mend="Set 'Pulls of timber' to 'on drawers and doors'; else cut a hole for the fingers into each front, under 'Changes of your own', or buy pulls in.",
    )]


def _behind_doors(name: str, s: _Sizes) -> list[Finding]:
    """Whether a child can be shut in behind the doors of one case, and whether they are too wide."""
    deep, wide, clear = s.side_deep_mm - s.back_mm, s.shelf_bay_mm, max(s.clear_mm, s.clear_over_mm(0))
    n, _ = boards_across(wide, s.back_gap_mm, BACK_BOARD_MM)
    gaps = 1 if s.between else s.doors - 1
    air = gaps * s.door_gap_mm * clear + (n - 1) * s.back_gap_mm * clear
    if s.between:
        way = "Make the bay between the doors wider"
    elif s.doors == 1:
        way = "Give it two doors, or divide it into bays and put the door before one of them"
    else:
        way = "Let an upper case stand open, without doors" if s.tier else "Put drawers between the doors, or divide it into bays"
    return [
        refusals.shut_in(name, wide * deep * clear * 1e-6, min(wide, deep, clear), air, CATCH_N, None),
        in_bays.door_width(name, *s.door_mm, way),
    ]


def _refuse(s: _Sizes) -> None:
    def least(size, value, need, what):
        if value < need - 1e-9:
            given = getattr(s, size)
            raise SizeRefused(size, f"{given:g} mm leaves {max(value, 0):.0f} mm {what} and needs {need:.0f} mm; give {given + need - value:.0f} mm or more.")

    if s.each:
        in_bays.refuse(s)
    elif s.between:
        _refuse_bays(s)
    elif s.filled and (s.doors or s.shelf_count):
        raise SizeRefused("drawers_fill", f"Drawers from top to bottom leave no room for {s.doors} doors and {s.shelf_count} shelves: give 0 for both, "
                          "or let the drawers stand over or between them.")
    least("width_mm", s.inner_mm, 150.0, "between the sides")
    least("depth_mm", s.side_deep_mm - 2 * s.stile_mm, 50.0, "between the stiles of a side")
    if s.doors:
        if s.door_mm[0] - 2 * s.stile_mm < 50:
            raise SizeRefused("stile_mm", f"Stiles of {s.stile_mm:g} mm leave {max(s.door_mm[0] - 2 * s.stile_mm, 0):.0f} mm between them in a door "
                              f"{s.door_mm[0]:.0f} mm wide; give {max((s.door_mm[0] - 50) / 2, 0):.0f} mm or less, or fewer doors, or a wider cabinet.")
        least("height_mm", s.door_mm[1] - 2 * s.rail_mm, 80.0, "between the rails of a door")
    least("height_mm", s.tall_mm - s.foot_mm - 2 * s.rail_mm, 80.0, "between the rails of a side")
    if s.drawer_rows:
        _refuse_drawers(s)
    if min(s.clear_mm, s.clear_over_mm(0)) < 60 + REST_MM[0] and (s.between or not s.filled):
        whole, least_open = s.shelves_top_mm - s.floor_mm, 60 + REST_MM[0]
        even = (whole - s.shelf_count * s.shelf_mm) / (s.shelf_count + 1)
        if s.lowest_mm and even >= least_open:
            raise SizeRefused("upper_lowest_mm", f"A lowest opening of {s.lowest_mm:g} mm leaves {max(s.clear_mm, 0):.0f} mm for each of the others; every opening needs "
                              f"{least_open:.0f} mm. Give {least_open:.0f} to {math.floor(whole - s.shelf_count * (s.shelf_mm + least_open))} mm, or 0 for as the others.")
        if s.drawer_rows and not s.between and whole < 60 + REST_MM[0]:
            raise SizeRefused("drawer_rows", f"{s.drawer_rows} rows of drawers {s.drawer_mm:g} mm high leave {max(whole, 0):.0f} mm under them and need "
                              f"{60 + REST_MM[0]:.0f} mm. Fewer or lower drawers, a taller cabinet, or let them stand from top to bottom.")
        most = int((whole + s.shelf_mm) // (60 + REST_MM[0] + s.shelf_mm)) - 1
        if most < 0:
            least("height_mm", whole, 60 + REST_MM[0], "inside")
        raise SizeRefused("shelf_count", f"{s.shelf_count} shelves leave openings of {max(s.clear_mm, 0):.0f} mm and need {60 + REST_MM[0]:.0f} mm. "
                          f"Give {most} or fewer, or a taller cabinet.")
    wall = (s.frame_mm - s.panel_mm) / 2
    if wall < 4.0:
        raise SizeRefused("panel_mm", f"A groove of {s.panel_mm:g} mm leaves {max(wall, 0):.1f} mm either side in frames {s.frame_mm:g} mm thick; "
                          f"give {s.frame_mm - 8:g} mm or less.")
    need = s.groove_mm + BESIDE_GROOVE_MM + 12.0
    if s.rail_mm < need + 8.0:
        raise SizeRefused("rail_mm", f"Rails {s.rail_mm:g} mm wide have no room for a tenon beside a groove {s.groove_mm:g} mm deep; "
                          f"give {need + 8:.0f} mm or more.")
    dowel = s.bottom_up_mm + s.shelf_mm / 2 + 8.0 + 3.0
    if s.rail_mm - s.groove_mm < dowel:
        raise SizeRefused("rail_mm", f"Rails {s.rail_mm:g} mm wide have no room for the bottom's dowels under a groove {s.groove_mm:g} mm deep; "
                          f"give {s.groove_mm + dowel:.0f} mm or more.")
    if s.tenon_mm - MORTISE_DEEPER_MM < 10:
        raise SizeRefused("stile_mm", f"Stiles {s.stile_mm:g} mm wide leave {max(s.tenon_mm - 2, 0):.0f} mm for a tenon beside the dowels of the cross rails, "
                          f"which needs 10 mm; give {12 + s.back_mm + RAIL_MM[1]:.0f} mm or more.")


def _refuse_bays(s: _Sizes) -> None:
    if s.doors == 1:
        raise SizeRefused("doors", "Drawers between the doors leave a bay left and right of them: give 2 for a door to each, or 0 for open shelves.")
    if s.shelf_bay_mm < LEAST_BAY_MM:
        most = s.bay_mm - 2 * (LEAST_BAY_MM - s.shelf_bay_mm)
        raise SizeRefused("bay_mm", f"A bay of {s.bay_mm:g} mm between the doors leaves {max(s.shelf_bay_mm, 0):.0f} mm in each of the others, which need "
                          f"{LEAST_BAY_MM:.0f} mm; give {math.floor(most)} mm or less, or a wider cabinet." if most >= LEAST_WIDE_MM else
                          f"{s.width_mm:g} mm are too narrow for three bays: beside drawers {LEAST_WIDE_MM:g} mm wide each of the others would keep less than "
                          f"{LEAST_BAY_MM:.0f} mm. Make the cabinet wider, or let the drawers stand over the doors.")
    in_bays.refuse_partition(s)


def _refuse_drawers(s: _Sizes) -> None:
    d = s.drawers()[0]
    for value, least, size, what in (
        (d.tall_mm, LEAST_OPENING_MM, "drawer_rows" if s.filled else "drawer_mm", "high"), (d.wide_mm, LEAST_WIDE_MM, "bay_mm" if s.between else "width_mm", "wide"),
        (d.deep_mm, LEAST_DEEP_MM, "depth_mm", "deep"),
    ):
        if value < least:
            raise SizeRefused(size, f"Drawers would be {max(value, 0):.0f} mm {what} and need {least:g} mm. Fewer of them, or a larger cabinet.")


# ---------------------------------------------------------------- members


def _members(s: _Sizes, letter: str, timber: str, whole: _Sizes) -> list[Member]:
    # An upper case stands on the lower one, their backs in one plane.
    lift = (0.0, whole.back_y_mm - s.back_y_mm, whole.height_mm - whole.upper_mm) if s.tier else (0.0, 0.0, 0.0)
    out = Members(letter, timber, s.arris_mm, tier=s.tier, lift=lift)
    c, ft, yf, yb = s.case_mm / 2, s.frame_mm, s.front_mm, s.back_y_mm
    frame_members(out, s, "L", "left side", (-c, yf, 0.0), "y", s.side_deep_mm, s.tall_mm, s.foot_mm, "left")
    frame_members(out, s, "R", "right side", (c - ft, yf, 0.0), "y", s.side_deep_mm, s.tall_mm, s.foot_mm, "right")
    x0, long = -c + ft, s.inner_mm
    deep = yb - s.back_mm - yf
    out.add("U1", "bottom", "bottom", (x0, yf, s.foot_mm + s.bottom_up_mm), "x", "y", long, deep, s.shelf_mm)
    rw, rt = RAIL_MM
    out.add("C1", "cross rail, front", "cross rail", (x0, yf, s.tall_mm - rw), "x", "z", long, rw, rt)
    out.add("C2", "cross rail, back", "cross rail", (x0, yb - s.back_mm - rt, s.tall_mm - rw), "x", "z", long, rw, rt, "plain")
    if s.tier:
        out.add("K1", "sill", "sill", (x0, yf, 0.0), "x", "y", long, 20.0, BOTTOM_UP_MM, arris=0.0)
    elif s.on_feet:
        high, thick = s.foot_rail_mm
        out.add("K1", "bottom rail, front", "bottom rail", (x0, yf, s.foot_mm), "x", "z", long, high, thick)
        out.add("K2", "bottom rail, back", "bottom rail", (x0, yb - s.back_mm - thick, s.foot_mm), "x", "z", long, high, thick, "plain")
    else:
        out.add("K1", "plinth", "plinth", (x0, yf, 0.0), "x", "z", long, s.foot_mm + BOTTOM_UP_MM, 20.0)
        if s.partitioned:
            out.add("K2", "plinth, back", "plinth", (x0, yb - s.back_mm - 20.0, 0.0), "x", "z", long, s.foot_mm + BOTTOM_UP_MM, 20.0, "plain")
    for (low, high, *_), (board, rest), side in zip(s.shelf_bays, ("HS", "XY"), (", left", ", right") if s.between else ("",)):
        for k in range(1, s.shelf_count + 1):
            z = s.shelf_low_mm(k)
            out.add(f"{board}{k}", f"shelf {k}{side}", "shelf", (low + 1.0, yf + rt, z), "x", "y", high - low - 2.0, deep - rt, s.shelf_mm)
            pair_of_rests(out, s, rest, k, "shelf rest", z - REST_MM[0], (low, high), side=side)
    if s.between:
        for code, hand, x in (("M", "left", -s.bay_mm / 2 - ft), ("P", "right", s.bay_mm / 2)):
            frame_members(out, s, code, f"{hand} partition", (x, yf, s.floor_mm), "y", deep, s.openings_top_mm - s.floor_mm, 0.0, hand)
            out.add(f"F{'MP'.index(code) + 1}", f"cross rail over the {hand} partition", "cross rail", (x, yf + rt, s.openings_top_mm), "y", "z",
                    deep - 2 * rt, rw, ft, "plain")
    _drawer_work(out, s)
    if s.each:
        in_bays.lay_members(out, s)
    n, each = boards_across(long, s.back_gap_mm, BACK_BOARD_MM)
    for k in range(0 if s.each else n):
        out.add(f"B{k + 1}", f"back board {k + 1}", "back board",
                (x0 + k * (each + s.back_gap_mm), yb - s.back_mm, s.foot_mm), "z", "x",
                s.tall_mm - s.foot_mm, each, s.back_mm, "plain")
    tops = _tops(s)
    for k in range(tops):
        name = f"top, board {k + 1}" if tops > 1 else "top"
        each = s.depth_mm / tops
        out.add(f"T{k + 1}", name, "top", (-s.width_mm / 2, -s.depth_mm / 2 + k * each, s.tall_mm), "x", "y", s.width_mm, each, s.top_mm, arris=0.0)
    low = s.door_edges_mm[0]
    for k in range(s.doors):
        wide, tall = s.door_mm
        what = "door" if s.doors == 1 else f"{('left', 'right')[k]} door"
        frame_members(out, s, "DE"[k], what, (s.door_left_mm(k), yf - ft, low), "x", wide, tall, 0.0,
               ("left", "right")[k] if s.doors == 2 else "")
        if s.pulls:
            middle = s.door_left_mm(k) + (wide - s.stile_mm / 2 if k == 0 else s.stile_mm / 2)
            pull, high, thick = PULL_MM
            out.add(f"{'DE'[k]}6", f"{what}, pull", "pull", (middle - high / 2, yf - ft - thick, low + (tall - pull) / 2), "z", "x",
                    pull, high, thick, arris=min(2.0, 2 * s.arris_mm))
    return out.all


def _drawer_work(out: Members, s: _Sizes) -> None:
    """Drawers, the rails between them and the strips they run on."""
    if not s.drawer_rows:
        return
    x0, x1, *_ = s.drawer_bay
    long, rt = x1 - x0, RAIL_MM[1]
    back = s.back_y_mm - s.back_mm - BACK_RAIL_MM
    two, m = s.columns > 1, MIDDLE_MM
    pair_of_rests(out, s, "G", 1, "kicker", s.openings_top_mm, (x0, x1), rt)
    for row in range(1, s.drawer_rails + 1):
        z = s.drawer_rail_mm(row)
        out.add(f"N{row}", f"drawer rail {row}", "drawer rail", (x0, s.front_mm, z), "x", "y", long, rt, DRAWER_RAIL_MM)
        pair_of_rests(out, s, "G", row + 1, "drawer runner", z + DRAWER_RAIL_MM - REST_MM[0], (x0, x1), BACK_RAIL_MM if two else 0.0)
        if two:
            out.add(f"O{row}", f"drawer rail {row}, back", "back drawer rail", (x0, back, z), "x", "y", long, BACK_RAIL_MM, DRAWER_RAIL_MM, "plain")
            out.add(f"J{row}", f"middle runner {row}", "middle runner", (-m / 2, s.front_mm + rt, z), "y", "x", back - s.front_mm - rt, m, DRAWER_RAIL_MM, "plain")
    if two:
        for row in range(1, s.drawer_rows + 1):
            low = s.drawer_rail_mm(row) + DRAWER_RAIL_MM if row <= s.drawer_rails else s.floor_mm
            out.add(f"Q{row}", f"guide {row}", "drawer guide", (-UPRIGHT_MM / 2, s.front_mm + rt + 2.0, low), "y", "x", back - s.front_mm - rt - 4.0, UPRIGHT_MM, GUIDE_MM, "plain")
            out.add(f"V{row}", f"upright between drawers {row}", "upright", (-UPRIGHT_MM / 2, s.front_mm, low), "z", "x", s.opening_mm, UPRIGHT_MM, rt)
    for d in s.drawers():
        members(out, d)


def _tops(s: _Sizes) -> int:
    return math.ceil(s.depth_mm / BOARD_MM)


# ---------------------------------------------------------------- joints


def _all_joints(by_ref, letter, own, changed, missing, cases: list[_Sizes]) -> list[Joint]:
    made = []
    for s in cases:
        made += _joints(Joints(by_ref, letter, own, changed, missing, tier=s.tier), s)
    if len(cases) > 1:
        lower = Joints(by_ref, letter, own, changed, missing)
        tops = [f"T{k}" for k in range(1, _tops(cases[0]) + 1)]
        for side in ("L3", "R3"):
            on = by_ref[f"{letter}-{tiered(side, 1)}"].piece_box
            lower.join("screws", max(tops, key=lambda c: _over(lower.at(c), on)), tiered(side, 1), UPPER_ON_LOWER, "upper_mm", {"count": 1.0})
        made += lower.all
    return made


def _joints(made: Joints, s: _Sizes) -> list[Joint]:
    for code in "LR":
        frame_joints(made, s, code, "side", s.tenon_mm)
        made.join("dowels", "U1", f"{code}3", "bottom into side", "rail_mm")
        made.join("dowels", "C1", f"{code}1", "cross rail into side", "stile_mm")
        made.join("dowels", "C2", f"{code}2", "cross rail into side", "stile_mm")
        if s.on_feet:
            made.join("dowels", "K1", f"{code}1", "bottom rail into side", "foot_mm")
            made.join("dowels", "K2", f"{code}2", "bottom rail into side", "foot_mm")
        elif not s.tier:
            made.join("dowels", "K1", f"{code}1", "plinth into side", "foot_mm")
            if s.partitioned:
                made.join("dowels", "K2", f"{code}2", "plinth into side", "foot_mm")
    if s.tier:
        made.join("glued on", "K1", "U1", "sill under bottom", "shelf_mm")
    if s.on_feet or (s.partitioned and not s.tier):
        # The partitions stand on the bottom: it is kept from sagging at its front and at its back.
        for rail in ("K1", "K2"):
            made.join("glued on", rail, "U1", "bottom rail under bottom" if s.on_feet else "plinth under bottom", "shelf_mm")
    if s.between:
        for code in "MP":
            frame_joints(made, s, code, "partition", s.tenon_mm)
            over = "F1" if code == "M" else "F2"
            made.join("glued on", over, f"{code}4", "cross rail on partition", "stile_mm")
            for n, rail in (("1", "C1"), ("2", "C2")):
                deep = {"depth_mm": math.floor(2 * HOUSED * s.shelf_mm) / 2}
                made.join("housing", f"{code}{n}", "U1", "partition on bottom", "shelf_mm", deep)
                made.join("dowels", over, rail, "cross rail between cross rails", "frame_mm")
    strips = [
        (f"{rest}{2 * k - 1 + n}", walls[n], "shelf rest on side" if walls[n] in "LR" else "shelf rest on partition")
        for rest, (_, _, *walls) in zip("SY", s.shelf_bays) for k in range(1, s.shelf_count + 1) for n in (0, 1)
    ]
    runs = "drawer runner on partition" if s.between else "drawer runner on side"
    strips += [(f"G{2 * k + 1 + n}", s.drawer_bay[2 + n], runs) for k in range(1, s.drawer_rails + 1) for n in (0, 1)]
    for strip, code, family in strips:
        for stile in "12":
            made.join("screws", strip, f"{code}{stile}", family, "stile_mm", {"count": 1.0})
    if s.each:
        in_bays.lay_joints(made, s)
    for k in range(1, 1 if s.each else boards_across(s.inner_mm, s.back_gap_mm, BACK_BOARD_MM)[0] + 1):
        made.join("screws", f"B{k}", "U1", "back board on case", "back_mm", {"count": 1.0})
        made.join("screws", f"B{k}", "C2", "back board on case", "back_mm", {"count": 1.0})
    tops = _tops(s)
    for k in range(1, tops):
        made.all.append(EdgeJoint("top boards, edge to edge", made.at(f"T{k}").ref, made.at(f"T{k + 1}").ref))
    for rail, slotted in (("C1", 0.0), ("C2", SLOT_MM)):
        box = made.at(rail).piece_box
        best = max(range(1, tops + 1), key=lambda k: _over(made.at(f"T{k}"), box))
        made.join("screws", rail, f"T{best}", "cross rail to top", "top_mm", {"slot_mm": slotted, **_along_rail(s)})
    _drawer_joints(made, s)
    for k in range(s.doors):
        code = "DE"[k]
        frame_joints(made, s, code, "door", math.floor(2 / 3 * s.stile_mm))
        hung, on = (f"{code}1", "L1") if k == 0 else (f"{code}2", "R1")
        made.join("hinges", hung, on, "door on side", "height_mm")
        if s.pulls:
            made.join("screws", f"{code}{2 - k}", f"{code}6", "pull on a door", "stile_mm", {"count": 2.0})
    return made.all


def _along_rail(s: _Sizes) -> dict[str, float]:
    """Where the screws of a cross rail stand: the outer ones from its ends, clear of what is dowelled into it and of the back boards' screws."""
    end, keep = min(90.0, s.inner_mm / 3.5), _kept_clear(s)
    usual = 2 + int((s.inner_mm - 2 * end) / 300.0)
    counts = (4, 5, 3, 6, 2) if s.each else ((4, 3) if s.columns == 1 else (4, 2)) if s.between else (usual, usual + 1, max(usual - 1, 2))
    for n in counts:
        for by in (k * way for k in range(0, 60, 3) for way in (1, -1)):
            first = s.inner_mm / 2 - max(end + by, DOWELLED_MM)
            at = [-first + 2 * first * k / (n - 1) for k in range(n)]
            if first > 0 and all(abs(x - middle) >= off for x in at for middle, off in keep):
                return {"end_mm": s.inner_mm / 2 - first, "count": float(n)}
    return {"end_mm": min(30.0, end), "count": 2.0}


def _kept_clear(s: _Sizes) -> list[tuple[float, float]]:
    """Where no screw goes through a cross rail: middles, and how far off it keeps. [mm]"""
    if s.each:
        return in_bays.clear_of(s)
    n, each = boards_across(s.inner_mm, s.back_gap_mm, BACK_BOARD_MM)
    boards = [(-s.inner_mm / 2 + k * (each + s.back_gap_mm) + each / 2, in_bays.PASS_MM + 4.0) for k in range(n)]
    half = s.frame_mm / 2
    parted = [(sign * (s.bay_mm / 2 + half), half + SCREWS_APART_MM) for sign in (-1, 1)] if s.between else []
    halved = [(0.0, UPRIGHT_MM / 2 + SCREWS_APART_MM)] if s.drawer_rows and s.columns > 1 else []
    return boards + parted + halved


def _drawer_joints(made: Joints, s: _Sizes) -> None:
    if not s.drawer_rows:
        return
    two = s.columns > 1
    walls, wall = s.drawer_bay[2:], "partition" if s.between else "side"
    for k, side in enumerate(walls):
        on = f"F{k + 1}" if s.between else f"{side}4"
        # Clear of the dowels in the ends of the rail over a partition.
        clear = {"end_mm": min(60.0, made.at(on).length_mm / 3)} if s.between else None
        made.join("screws", f"G{k + 1}", on, f"kicker on {wall}", "rail_mm", clear)
    for row in range(1, s.drawer_rails + 1):
        for code in walls:
            made.join("dowels", f"N{row}", f"{code}1", f"drawer rail into {wall}", "stile_mm")
            if two:
                made.join("dowels", f"O{row}", f"{code}2", f"drawer rail into {wall}", "stile_mm")
        if two:
            made.join("dowels", f"J{row}", f"N{row}", "middle runner into rails", "drawer_mm")
            made.join("dowels", f"J{row}", f"O{row}", "middle runner into rails", "drawer_mm")
    if two:
        for row in range(1, s.drawer_rows + 1):
            over, under = f"N{row - 1}" if row > 1 else "C1", f"N{row}" if row <= s.drawer_rails else "U1"
            deep = {"depth_mm": UPRIGHT_IN_MM}
            made.join("housing" if row > 1 else "dowels", f"V{row}", over, "upright under a rail" if row > 1 else "upright under the cross rail", "drawer_mm", deep if row > 1 else None)
            made.join("glued on", f"Q{row}", f"J{row}" if row <= s.drawer_rails else "U1", "guide on its runner", "depth_mm")
            made.join("housing", f"V{row}", under, "upright on a rail", "drawer_mm", deep)
    for d in s.drawers():
        joints(made, d)


def _over(member: Member, box) -> float:
    m = member.piece_box
    return min(m.hi[1], box.hi[1]) - max(m.lo[1], box.lo[1])


CABINET = Cabinet()
