"""A table: four legs and aprons or two trestles, under a slatted, a solid or a breadboarded top."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, from_ratio
from studio_lib.brief.said import no_sharp_corners_asked, round_asked, table_drawers_asked, wide_drawer_asked
from studio_lib.forms import table_drawers
from studio_lib.forms.beside import (
    BENCH_END_MM,
    DINING_FROM_MM,
    FEW_MM,
    FEW_WORDS,
    Here,
    a_side,
    bench_room_mm,
    few_sit,
    is_low,
    seating_words,
    table_of,
    written_at,
)
from studio_lib.forms.casework import figures_for
from studio_lib.forms.changes import assembled
from studio_lib.forms.desk import APRON_MM, TOP_MM, desk_fit, desk_size
from studio_lib.forms.drawers import LEAST_WIDE_MM, PULL_MM
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice, users_of
from studio_lib.forms.framing import (
    BEARER_EVERY_MM,
    JUDGEMENT,
    PRACTICE,
    X,
    Y,
    Z,
    Frame,
    Joiner,
    beside_mm,
    gap_to_drain,
    gauge_mm,
    placed,
    screws,
    slat_width,
    up_to,
)
from studio_lib.forms.low import END_MM, in_a_hall, low_table
from studio_lib.forms.pulled_up import pulled_up_findings
from studio_lib.forms.space import longest_table_mm, room_findings, room_words
from studio_lib.forms.table_drawers import INSIDE_MM, Bay, inside_mm
from studio_lib.forms.thin import thin_refused
from studio_lib.people import Mix, percentile_mm, share_below, wheelchair_knees, wheelchair_mm
from studio_lib.people.body import SHOE_MM
from studio_lib.people.body import SOURCE as BODY
from studio_lib.people.proposals import (
    LAP_TO_TOP_MM,
    Proposed,
    grows_words,
    knee_room_under_apron,
    knees_clear_mm,
    outgrown_words,
    place_width,
    seat_height,
    table_height_for_seat,
    wheelchair_source,
    writing_height,
)
from studio_lib.people.users import Users, people_words
from studio_lib.piece import Joint, Member, Piece, Placement, Screws
from studio_lib.piece.breadboard import BY_RULE, LEAST_BOARD_MM, TENON_EVERY_MM
from studio_lib.piece.mortise_tenon import DoubleTenon, ThroughTenon
from studio_lib.piece.shaping import CutRound, RoundEnd
from studio_lib.piece.dovetail import SLOPE_IN
from studio_lib.piece.top_dovetail import LEAST_MM, MOST_MM, SHOULDER_MM
from studio_lib.piece.top_fixing import EVERY_MM, SLIDES_EACH_MM

TRESTLE_SPAN_IN = 15.0
"""Thicknesses of a slat between trestles; a judgement of ours from the sag of one loaded alone."""
BASES = ("four legs and aprons", "two trestles")
TOPS = ("slats", "solid boards", "solid boards, breadboard ends")
OUTLINES = ("rectangular", "round or oval")
HELD = ("buttons", "slotted screws")
INSIDE_ROUND_MM = 15.0
"""The frame keeps so far inside a round or oval edge."""
INCH = 25.4
LEAST_ON_MM = 15.0
"""A slat lies on what it is screwed to by this at least; common practice, no source."""


LEAST_LEG_MM = 54
"""A leg in which the tenons of two rails of 30 mm run a half of it each; geometry."""
SLATS_OVER_MM = 8.0
"""Slats stand out past the aprons at the sides no further: what leans on the outer one pulls at its screws; judgement of ours."""
LEAST_SIDE_MM = 5.0
"""A top past its legs at the sides where they must stand far apart; judgement of ours."""
SIDE_BY_SIDE_FROM_MM = 45.0
"""A post this thick takes two tenons side by side, a fifth of it each; common practice, no source."""
TRESTLE_TOP_IN = 44.0
"""The same for a solid top, whose boards sag together."""
TRESTLE_LEG_MM = 72.0
"""Thickness of a trestle's posts, feet and top bearers; judgement of ours."""
ROUND_TOP_MM = {"household": 36.0, "public": 42.0}
"""Thickness of a round or oval top, whose outer boards are short and stand out past the frame; judgement of ours."""
ROUND_LEG_MM = 80.0
"""A leg of a round table for public use: the less it turns when shoved, the less it pries at the top; judgement of ours."""
SCREW_MM = 5.0
"""Screw up through a kicker into the top; common practice, no source."""
ROUND_SCREW_MM, ROUND_GOES_MM = 6.0, 5.0
"""Screw under such a top, and how far its slot lets it go at the least; judgement of ours."""
END_RAILS_MM, END_RAIL_WIDE_MM = ((640.0, 30.0), (0.0, 34.0)), 62.0
"""A flat rail over an open end: its height by the density of the timber, and from outside in as far as the legs leave so much; by the frame."""
OFF_SOCKET_MM = 4.0
"""Between the sockets of two rails let into one leg from above; geometry."""
OPEN_LEG_MM = 18.0
"""Legs of a table with an open end are so much stouter; by the frame."""
LEAST_CORNER_MM = 1.0
"""A corner of a smaller radius is square with its arris off; judgement of ours."""
CORNERS_MM = 30.0
"""Radius of a top's corners where small children run past them; common practice, no source."""
SMALL_YEARS, SMALL_MM = 7.0, 700.0
"""Up to this age a child's head is at the height of a table; by the statures on file."""
ENDS = ("apron", "flat rail, open below")
OFF_POST_MM = 8.0
"""What holds a top stays this far off the post under the bearer; common practice, no source."""
TRESTLE_OVER = 0.16
"""Of a top's length, past either trestle: under a sixth, and the top sags less between them; judgement of ours."""
FOOT_MM = 90.0
"""Depth of a trestle's foot and top bearer, for tenons of two thirds of it; judgement of ours."""
USUAL_MM = 740.0
"""Height of a table to eat at that nothing raises: furniture handbooks, 735 to 760 mm."""
KNEES_MM = 625.0
"""Clear under the frame: the knees of 95 in 100 people, in shoes, and a little."""

@dataclass(frozen=True)
class _S:
    base: int
    top: int
    outline: int
    held: int
    length_mm: float
    width_mm: float
    height_mm: float
    board_count: int
    gap_mm: float
    top_thickness_mm: float
    end_width_mm: float
    overhang_end_mm: float
    overhang_side_mm: float
    leg_mm: float
    apron_width_mm: float
    apron_thickness_mm: float
    apron_setback_mm: float
    bearer_count: int
    bearer_width_mm: float
    bearer_thickness_mm: float
    post_width_mm: float
    foot_height_mm: float
    stretcher_height_mm: float
    stretcher_width_mm: float
    drawers: int
    drawer_rail_mm: float
    pulls: int
    arris_mm: float
    right_end: int = 0
    end_rail_mm: float = 30.0
    drawer_mm: float = 0.0
    wall: int = 0
    corner_mm: float = 0.0
    swell: float = 0.0
    """Growth of a drawer's side across its width, as a part of it."""

    @property
    def bay(self) -> Bay | None:
        """What drawers stand in; None without any."""
        if not self.drawers:
            return None
        (fx, fy), b, t = self.half, self.apron_setback_mm, self.apron_thickness_mm
        return Bay(
            self.drawers, self.drawer_rail_mm, table_drawers.rail_deep_mm(self.leg_mm, b, t), fx - self.leg_mm, fx - b - t, -fy + b, (-fy + self.leg_mm, fy - self.leg_mm),
            fy - b - t, self.leg_length_mm, self.apron_width_mm, self.swell, bool(self.pulls), self.drawer_mm, t,
        )

    @property
    def opened(self) -> bool:
        """Whether its right end has a flat rail in place of an apron."""
        return self.base == 0 and self.right_end == 1

    @property
    def end_rail_wide_mm(self) -> float:
        """The flat rail over the open end, from outside in. [mm]"""
        return min(self.leg_mm - self.apron_setback_mm, END_RAIL_WIDE_MM)

    @property
    def rounded_mm(self) -> float:
        """Radius of the corners; 0 where there are none to round."""
        return 0.0 if self.outline or self.slatted else self.corner_mm

    @property
    def slatted(self) -> bool:
        return self.top == 0

    @property
    def cleated(self) -> bool:
        return self.top == 2

    @property
    def board(self) -> tuple[float, float]:
        """Width of a board or slat and the gap beside it. [mm]"""
        if not self.slatted:
            return self.width_mm / self.board_count, 0.0
        return slat_width(self.width_mm, self.board_count, self.gap_mm)

    @property
    def leg_length_mm(self) -> float:
        return self.height_mm - self.top_thickness_mm

    @property
    def half(self) -> tuple[float, float]:
        """Half the frame, over the legs or feet, along and across. [mm]"""
        return self.length_mm / 2 - self.overhang_end_mm, self.width_mm / 2 - self.overhang_side_mm


SIZES = (
    Size("length_mm", "Length of top", 400, 4000),
    Size("width_mm", "Width of top", 300, 1800),
    Size("height_mm", "Height", 300, 1150),
    choice("base", "Stands on", BASES),
    choice("top", "Top", TOPS, "top"),
    choice("outline", "Outline", OUTLINES, "top"),
    choice("held", "Solid top held by", HELD, "top"),
    Size("board_count", "Boards or slats", 1, 40, "", "top", True),
    Size("gap_mm", "Gap between slats", 0, 40, "mm", "top"),
    Size("top_thickness_mm", "Top thickness", 12, 70, "mm", "top"),
    Size("end_width_mm", "Breadboard end width", 40, 200, "mm", "top"),
    Size("corner_mm", "Corners rounded to a radius of", 0, 150, "mm", "top"),
    Size("overhang_end_mm", "Top past the feet, ends", 0, 700, "mm", "top"),
    Size("overhang_side_mm", "Top past the feet, sides", 0, 500, "mm", "top"),
    Size("leg_mm", "Legs, square", 30, 140, "mm", "frame"),
    Size("apron_width_mm", "Apron width (depth)", 30, 200, "mm", "frame"),
    Size("apron_thickness_mm", "Apron thickness", 15, 60, "mm", "frame"),
    Size("apron_setback_mm", "Apron behind leg's face", 0, 40, "mm", "frame"),
    choice("right_end", "Right end", ENDS, "frame"),
    Size("end_rail_mm", "Flat rail over the open end, height", 18, 45, "mm", "frame"),
    Size("bearer_count", "Bearers", 0, 12, "", "frame", True),
    Size("bearer_width_mm", "Bearer width (depth)", 25, 160, "mm", "frame"),
    Size("bearer_thickness_mm", "Bearer thickness", 15, 80, "mm", "frame"),
    Size("post_width_mm", "Trestle post width", 60, 300, "mm", "frame"),
    Size("foot_height_mm", "Trestle foot, depth", 40, 160, "mm", "frame"),
    Size("stretcher_height_mm", "Stretcher above floor", 60, 700, "mm", "frame"),
    Size("stretcher_width_mm", "Stretcher width", 40, 200, "mm", "frame"),
    Size("drawers", "Drawers in a row, in the front apron", 0, table_drawers.MOST, "", "drawers", True),
    Size("drawer_mm", "Width of a drawer, 0 for as wide as the front", 0, 1500, "mm", "drawers"),
    Size("drawer_rail_mm", "Rails over and under the drawers, height", 15, 40, "mm", "drawers"),
    choice("pulls", "Pulls of timber on the drawers", ("none", "one each"), "drawers"),
    choice("wall", "Fixed to the wall", ("no", "yes"), "drawers"),
    Size("arris_mm", "Arris taken off", 0, 8, "mm", "frame"),
)

MADE_BY = {
    "leg": ("leg_mm", "leg_mm"), "apron": ("apron_width_mm", "apron_thickness_mm"),
    "bearer": ("bearer_width_mm", "bearer_thickness_mm"), "top bearer": ("foot_height_mm", "leg_mm"),
    "foot": ("foot_height_mm", "leg_mm"), "post": ("post_width_mm", "leg_mm"),
    "stretcher": ("stretcher_width_mm", "apron_thickness_mm"), "drawer rail": ("leg_mm", "drawer_rail_mm"),
    "drawer runner": ("drawer_rail_mm", "drawer_rail_mm"), "drawer kicker": ("drawer_rail_mm", "drawer_rail_mm"),
    "upright": ("leg_mm", "drawers"), "front apron": ("drawer_rail_mm", "apron_thickness_mm"), "end rail": ("leg_mm", "end_rail_mm"),
}


class Table(Form):
    """Legs and aprons or trestles; the top slatted, solid, or solid with breadboard ends; square-edged, round or
    oval."""

    name = "table"
    stouter_in_soft = ("top_thickness_mm", "leg_mm", "apron_width_mm", "apron_thickness_mm", "end_rail_mm", "bearer_width_mm", "bearer_thickness_mm", "post_width_mm", "stretcher_width_mm", "drawer_rail_mm")
    sizes = SIZES
    says = "On legs or trestles; slatted, solid or breadboarded top; rectangular, round or oval."

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        return _proposals(brief, around, chosen)

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _S(**sizes, swell=around.swell_fraction)
        _refuse(s)
        members = _members(s, letter, around.timber)
        laid = {m.ref: m for m in members}
        return assembled(
            name=name, form=self.name, letter=letter, members=members,
            lay_joints=lambda by_ref, own: _joints(s, Joiner(by_ref, letter, own, laid), around.swell_fraction),
            changes=adjustments, own=joints,
            lay_fixings=lambda present: _fixings(s, present), check=thin_refused(MADE_BY), timber=around.timber,
            overall_mm=(s.length_mm, s.width_mm + _pulls_past_mm(s), s.height_mm),
        )

    def slats(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        s = _S(**sizes)
        return (*s.board, s.top_thickness_mm) if s.slatted and s.board_count > 1 else None

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        s = _S(**sizes)
        sides = max(1, math.ceil(max(users.count - 2, 0) / 2))
        under = _clear_mm(s)
        out = {
            "length_mm": place_width(users, at=min(max(_edge_mm(s) / users.count if s.outline else _between_legs_mm(s) / sides, 100), 4000)),
        }
        # On the seat that such people would be given, or a lower one where the table is low.
        seat = min(s.height_mm - LAP_TO_TOP_MM, seat_height(users).value)
        if 150 <= seat <= 900 and 10 <= s.height_mm - under <= 400:
            out["height_mm"] = table_height_for_seat(seat, s.height_mm - under, users, at=s.height_mm)
        if s.base == 0 and 300 <= under <= 1000:
            out["apron_width_mm"] = knee_room_under_apron(users, at=under)
        return {k: v for k, v in out.items() if v}

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        return (*super().needs(sizes, brief), "drawers", "pulls", "wall", "drawer_mm", "right_end", "corner_mm")

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        trestles, slats, ends = sizes.get("base") == 1, sizes.get("top") == 0, sizes.get("top") == 2
        idle = {
            "gap_mm": not slats, "end_width_mm": not ends, "drawer_rail_mm": not sizes.get("drawers"), "pulls": not sizes.get("drawers"), "wall": not sizes.get("drawers"),
            "drawer_mm": not sizes.get("drawers"), "right_end": trestles or sizes.get("outline") == 1, "end_rail_mm": trestles or not sizes.get("right_end"),
            "corner_mm": slats or sizes.get("outline") == 1,
            **dict.fromkeys(("post_width_mm", "foot_height_mm", "stretcher_height_mm", "stretcher_width_mm"), not trestles),
            **dict.fromkeys(("apron_width_mm", "bearer_count", "bearer_width_mm", "bearer_thickness_mm"), trestles),
        }
        return tuple(name for name, is_idle in idle.items() if is_idle)

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return _fit(piece, _S(**sizes), brief)


# ---------------------------------------------------------------- proposals


def _leg_mm(long: float, chunky: float, brief: Brief) -> float:
    stout = (70.0 if long > 1200 else 64.0 if long > 800 else 60.0) * (chunky if long > 1200 else max(chunky, 1.0))
    return float(max(round(stout), 66 if brief.use == "public" else LEAST_LEG_MM))


def _proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    def own(name, otherwise):
        return chosen.get(name, otherwise)

    outdoors = brief.place.startswith("outdoors")
    chunky = {"chunky": 1.15, "light": 1.0 if brief.use == "public" else 0.9}.get(brief.heft, 1.0)
    round_wished = round_asked(brief)
    base, outline = own("base", 0), own("outline", 1 if round_wished else 0)
    benched = isinstance(brief, Here) and bool(brief.benches)
    low = low_table(brief, bool(outline)) if is_low(brief, own("height_mm", USUAL_MM)) else {}
    usual_top = 0 if outdoors and not outline and base == 0 and not own("drawers", 0) else 1
    top = own("top", usual_top)
    sides = a_side(brief)
    at_end = brief.wheelchair and brief.wheelchair_at == "end" and not low and not outline
    end_open = base == 0 and not outline and bool(own("right_end", float(at_end)))

    def leg_for(long):
        return _leg_mm(long, chunky, brief) + (OPEN_LEG_MM if end_open else 0.0)

    wanted_drawers = 0 if base or outline or top == 0 else table_drawers_asked(brief)
    drawers, written = int(own("drawers", wanted_drawers)), written_at(brief) and not low
    end_rail_usual = next(high for least, high in END_RAILS_MM if figures_for(around.timber)[0] >= least)
    end_rail = own("end_rail_mm", end_rail_usual)
    if low:
        length, width = low["length_mm"], low["width_mm"]
    elif written and not outline:
        length, width = desk_size(brief)["length_mm"], desk_size(brief)["width_mm"]
    elif outline:
        # Round: each diner 610 mm of the edge.
        across = min(max(up_to(brief.people * 24 * INCH / math.pi, 10), 700.0), 1800.0)
        wide = own("width_mm", across)
        length = Proposal(min(max(across, wide), 4000.0), f"{people_words(brief.people)} round it, 610 mm of edge each",
                          "dining planning rules, 24 in. (610 mm) a setting; the circle by arithmetic")
        width = Proposal(min(own("length_mm", across), 1800.0), "a round top unless you give another width", "as its length")
    else:
        needed = max(up_to((25 * sides + (0 if benched else 29)) * INCH, 10), FEW_MM[0] if few_sit(brief) else 900.0)
        if base == 0 and (between := bench_room_mm(brief, users_of(brief))):
            over = own("overhang_end_mm", BENCH_END_MM) + own("leg_mm", leg_for(needed))
            needed = max(needed, up_to(between + 2 * over, 10))
        length = Proposal(min(needed, 4000.0, room := longest_table_mm(brief)), seating_words(brief)
                          + (f", would take {needed:.0f} mm: more than one table" if needed > 4000 else "")
                          + (room_words(needed, room, benched) if room < min(needed, 4000.0) else ""),
                          "dining planning rule, 635 mm (25 in.) a setting, after Time-Saver Standards")
        long_enough = max(own("length_mm", length.value), 300.0)
        width = Proposal(min(FEW_MM[1], long_enough), *FEW_WORDS) if few_sit(brief) else Proposal(
            up_to(36 * INCH, 10), "915 mm at least across the table", "same dining planning rule, 36 in. (915 mm)")
        if end_open and at_end:
            legs = own("leg_mm", leg_for(own("length_mm", length.value)))
            width = max(width, Proposal(up_to(wheelchair_mm("knee width") + 2 * legs + 2 * own("overhang_side_mm", LEAST_SIDE_MM), 10),
                        f"{wheelchair_mm('knee width'):.0f} mm between the legs of the end where the wheelchair pulls up", wheelchair_source("knee width")), key=lambda p: p.value)
    long, wide = own("length_mm", length.value), own("width_mm", width.value)
    thick = own("top_thickness_mm", float(max(round((34.0 if brief.use == "public" else 28.0) * max(chunky, 0.97)), (40 if brief.use == "public" else 32) if long > 2000 and top == 0 else 0)))
    spare = base == 0 and not low and not outline and top != 0 and brief.use != "public" and long <= 2000 and (written or brief.wheelchair and not at_end or drawers)
    between = long - 2 * own("overhang_end_mm", END_MM if written or low else 200.0 if long >= 1200 else 40.0) - 2 * own("leg_mm", leg_for(long))
    rail_usual, top_usual = table_drawers.rail_and_top_mm(max(between, long - table_drawers.PAST_MM))
    if spare or drawers:
        thick = own("top_thickness_mm", (top_usual if spare else max(thick, top_usual)) if drawers else min(thick, TOP_MM))
    drawer = _drawer_words(drawers, brief, between, end_open, (long - between) / 2)
    if own("drawer_mm", drawer[0]):
        rail_usual = table_drawers.narrow_rail_mm(figures_for(around.timber)[0])
    rail = own("drawer_rail_mm", rail_usual)
    apron = own("apron_width_mm", 2 * rail + table_drawers.OPENING_MM if drawers else APRON_MM if spare else 90.0 + (10.0 if brief.use == "public" else 0.0) + (10.0 if long > 2000 else 0.0))
    if outline:
        thick = own("top_thickness_mm", float(max(thick, ROUND_TOP_MM[brief.use] + (4.0 if long > 1300 else 0.0))))
    leg = own("leg_mm", leg_for(long))
    if outline and base == 0 and brief.use == "public":
        leg = own("leg_mm", max(leg, ROUND_LEG_MM))
    if base == 1:
        # Nothing carries the top between the trestles.
        leg = own("leg_mm", max(leg, TRESTLE_LEG_MM + (4.0 if brief.use == "public" else 0.0) if long > 700 else 54.0))
        span = long - 2 * own("overhang_end_mm", min(_step(TRESTLE_OVER * long), _step(long / 2 - 150))) - 2 * leg
        thick = own("top_thickness_mm", min(max(thick, math.ceil(span / (TRESTLE_SPAN_IN if top == 0 else TRESTLE_TOP_IN))), 60.0))
    height, why = USUAL_MM, "735 to 760 mm is usual for dining"
    source = "furniture handbooks, 735 to 760 mm (29 to 30 in.)"
    users = users_of(brief)
    clear = knees_clear_mm(users, KNEES_MM)
    knees = up_to(clear + (apron if base == 0 else own("foot_height_mm", FOOT_MM)) + thick, 5)
    if written:
        at = writing_height(users)
        height, why, source = at.proposed if users.alone else max(at.proposed, 685.0), at.decided_by, at.source
    if users.adults and knees > height:
        height, why, source = min(knees, 800.0), f"{clear:.0f} mm clear under the frame for knees{f' of {users.tallest}{grows_words(users)}' if users.alone else ''}", BODY
    if not users.adults:
        from studio_lib.people.children import mark_for_age

        mark = mark_for_age(min(users.child_ages))
        height, source = mark.table_mm, mark.source
        why = f"the youngest child, of {min(users.child_ages):g}: size mark {mark.mark}{outgrown_words(users)}"
    chair, chair_source = wheelchair_knees(brief.wheelchair_knees_mm)
    open_there = not outline and (end_open and brief.wheelchair_at == "end" or base == 1 and bool(brief.wheelchair_at))
    if brief.wheelchair and open_there:
        least = up_to(chair + (end_rail if end_open else 0.0) + thick, 5)
        where = "the flat rail of its right end" if end_open else "its top where the wheelchair pulls up"
        if least > height:
            height, why, source = least, f"{chair:.0f} mm clear under {where}: {least - height:.0f} mm more than the others ask for", chair_source
        else:
            why += f"; {height - thick - (end_rail if end_open else 0.0):.0f} mm are clear under {where}"
    elif brief.wheelchair:
        height = up_to(chair + (apron if base == 0 else own("foot_height_mm", FOOT_MM)) + thick, 5)
        why, source = f"{chair:.0f} mm of knee clearance under the frame for a wheelchair", chair_source
        if brief.wheelchair_at == "side" and not outline:
            why += "; on two trestles nothing hangs at its sides, and it stays lower"
        if spare:
            why += ", the frame as shallow as it can be"
    if low:
        height, why, source = low["height_mm"].value, low["height_mm"].why, low["height_mm"].source
    each = 125 if top else 78 if brief.near_children else 102
    setback = own("apron_setback_mm", (6.0 if leg >= 70 else 4.0) if brief.use == "public" else 6.0 if leg >= 62 else 4.0 if leg >= 58 else 2.0)
    boards = max(2, round(wide / each))
    swelling = around.swell_fraction * wide / own("board_count", boards)
    end = own("overhang_end_mm", None)
    if end is None:
        end = _round_over_mm(long) if outline else END_MM if (low or written) and long >= 600 else BENCH_END_MM if benched and long >= 1200 else 200.0 if long >= 1200 else (20.0 if brief.use == "public" else 40.0) if long >= 600 else 20.0
        most = _step(long / 2 - 2 * leg) if base == 0 else _step(long / 2 - 150)
        end = min(end if base == 0 or outline else _step(TRESTLE_OVER * long), most)
    side = own("overhang_side_mm", None)
    if side is None:
        side = _round_over_mm(wide) if outline else (40.0 if drawers else 60.0) if base == 0 else 80.0
        if end_open and at_end:
            side = min(side, _step((wide - wheelchair_mm("knee width") - 2 * leg) / 2))
        side = max(min(side, _step(wide / 2 - 1.6 * leg), _step(wide / 6) if low else math.inf), 0.0)
        if top == 0:
            slat = slat_width(wide, own("board_count", boards), own("gap_mm", 6.0))[0]
            side = max(min(side, SLATS_OVER_MM, _step(slat - LEAST_ON_MM - own("apron_setback_mm", 6.0))), 0.0)
    end = max(end, 0.0)
    inner = long - 2 * end - 2 * leg
    bearers = max(2, math.ceil(inner / BEARER_EVERY_MM) + 1) if top == 0 else max(0, math.ceil(inner / 900) - 1)
    if outline:
        bearers = max(bearers, 1 if long < 1100 else 2)
    if base == 1 or drawers:
        bearers = 0
    under = own("height_mm", height) - thick
    return {
        "length_mm": length, "width_mm": width, "height_mm": Proposal(height, why, source),
        "base": Proposal(0, "knees free all round", JUDGEMENT),
        "top": Proposal(
            usual_top, "slats drain and move by themselves" if usual_top == 0 else "a closed top" if outdoors
                else "a closed top indoors", JUDGEMENT),
        "outline": Proposal(1, f"'{round_wished}', in the client's words", "brief") if round_wished else Proposal(0, "straight edges waste least timber", JUDGEMENT),
        "held": Proposal(1, "screws in slots: who leans on a round edge pulls hard at them", JUDGEMENT) if outline else
            Proposal(0, "buttons in a groove hold best and let the top move", "C. Noyes, Handwork in Wood, 1910"),
        "board_count": Proposal(
            boards, f"slats of about {each - 7:.0f} mm" + (": gaps that no finger is caught in" if each < 100 else "") if top == 0 else "boards of about 125 mm stay flat",
            JUDGEMENT if top == 0 else PRACTICE),
        "gap_mm": gap_to_drain(swelling, brief.near_children),
        "top_thickness_mm": Proposal(thick, "each slat spans alone from trestle to trestle" if base == 1 and top == 0 else "it spans from trestle to trestle" if base == 1 else around.sawn(thick) if chunky == 1 else f"{brief.heft}, as wished",
            JUDGEMENT),
        "end_width_mm": Proposal(
            min(max(_step(0.09 * wide), 60.0), 120.0), "wide enough for tenons of two thirds of it", JUDGEMENT),
        "overhang_end_mm": Proposal(
            end, "nobody sits at the ends; clamps and plates" if (benched or low or written) and not outline and base == 0
                else "knees at the ends; under a sixth of the length" if not outline else "the frame keeps inside the "
                "curve",
            "feet spread two thirds of the top at least: trade rule"),
        "overhang_side_mm": Proposal(side, "clamps and plates, not tipping" if not outline else "the frame keeps "
            "inside the curve", JUDGEMENT),
        "leg_mm": Proposal(leg, "stouter for the open end: at a flat rail they sway more" if end_open else around.sawn(leg) if leg >= 65 else "in proportion to the top",
            JUDGEMENT),
        "apron_width_mm": Proposal(
            apron, f"a drawer {inside_mm(apron - 2 * rail, around.swell_fraction):.0f} mm deep inside, for papers and pens, between two rails of {rail:g} mm: "
            f"{INSIDE_MM[0]:.0f} to {INSIDE_MM[1]:.0f} mm serve", PRACTICE) if drawers else Proposal(
            max(apron if under > 500 else 70.0, chosen.get("bearer_width_mm", 0.0) if own("bearer_count", bearers)
                else 0.0), "a tenon of five thicknesses" if low else "shallow: the top need be no higher over knees" if spare else "leaves knee room and a tenon of five thicknesses", JUDGEMENT),
        "apron_thickness_mm": Proposal(max(min(36.0 if brief.use == "public" or base == 1 else 30.0, leg - setback), 15.0),
            "tenons a third of it, of five times their thickness at the most", JUDGEMENT),
        "apron_setback_mm": Proposal(setback, "a shadow line at the leg",
            PRACTICE),
        "bearer_count": Proposal(bearers, "kickers over the drawers hold the top" if drawers else "no slat spans more than about 430 mm" if top == 0 else "hold a long top "
            "flat", JUDGEMENT),
        "bearer_width_mm": Proposal(max(min(68.0, own("apron_width_mm", 90.0)), 25.0),
            "a little shallower than the aprons", JUDGEMENT),
        "bearer_thickness_mm": Proposal(36.0 if brief.use == "public" or long > 2000 else 30.0, "from the same boards as the aprons", JUDGEMENT),
        "post_width_mm": Proposal(
            min(max(_step(0.16 * wide), 80.0), 110.0), "a double tenon top and bottom", JUDGEMENT),
        "foot_height_mm": Proposal(FOOT_MM if under > 500 else 50.0, "tenons of two thirds of it", JUDGEMENT),
        "stretcher_height_mm": Proposal(max(_step(0.3 * under), 90.0), "out of the way of feet", JUDGEMENT),
        "stretcher_width_mm": Proposal(110.0 if under > 500 else 60.0, "keeps the trestles upright", JUDGEMENT),
        "drawers": Proposal(*_drawers_words(wanted_drawers, brief, long - 2 * end - 2 * leg)),
        "drawer_mm": Proposal(*drawer),
        "right_end": Proposal(
            float(at_end and base == 0), "the wheelchair pulls up there: its knees and arms go under a flat rail, and the table need hardly be higher than the others sit" if at_end and base == 0
                else "an apron all round is the stiffest", "brief" if at_end and base == 0 else JUDGEMENT),
        "end_rail_mm": Proposal(end_rail_usual, "as thin as ties the legs: knees and arms keep their room", JUDGEMENT),
        "corner_mm": Proposal(*_corner_words(brief, min(wide / own("board_count", boards), own("end_width_mm", 60.0) if top == 2 else math.inf))),
        "drawer_rail_mm": Proposal(rail_usual, "as thin as will carry the edge of the top: knees keep their room", JUDGEMENT),
        "pulls": Proposal(1, "a hand finds it; turned or planed from the same board", JUDGEMENT),
        "wall": _wall_words(brief, drawers, written or long <= SMALL_MM or bool(low) and in_a_hall(brief)),
        "arris_mm": Proposal(2.0 if outdoors else 1.0, "2 to 3 mm outdoors so that finish stays on the edge" if outdoors
                             else "kind to hands and to finish", PRACTICE),
    }


def _round_over_mm(size_mm: float) -> float:
    """A round or oval top past its frame: a sixth, so that it does not tip, and more where the corners would show. [mm]"""
    half = size_mm / 2
    return max(_step(size_mm / 6, 1.0), up_to(half - (half - INSIDE_ROUND_MM) / math.sqrt(2), 1.0))


def _drawer_words(count: int, brief: Brief, between_mm: float, end_open: bool, past_mm: float) -> tuple[float, str, str]:
    """How wide a drawer is proposed, 0 for as wide as the front allows; ``past_mm`` is from a top's end to the inner face of a leg. [mm]"""
    each = (between_mm - (count - 1) * table_drawers.UPRIGHT_MM) / max(count, 1)
    if not count or not end_open and (each <= table_drawers.WIDE_MM or wide_drawer_asked(brief)):
        return 0.0, "as wide as the front, for papers: before whoever writes" if written_at(brief) else "drawers fill the front between the legs", JUDGEMENT
    beside = 2 * (table_drawers.UPRIGHT_MM + table_drawers.LEAST_APRON_MM)
    if end_open:
        free = wheelchair_mm("knee depth arms") + table_drawers.UPRIGHT_MM + table_drawers.RUNNER_MM
        beside = max(beside, 2 * (free - past_mm))
    most = (between_mm - beside - (count - 1) * table_drawers.UPRIGHT_MM) / count
    usual, why = table_drawers.USUAL_WIDE_MM, "a drawer for cutlery runs true at that; the rest of the front is apron"
    if written_at(brief):
        usual, why = table_drawers.PAPERS_WIDE_MM, f"for papers, before whoever writes; over {table_drawers.WIDE_MM:.0f} mm it is pulled askew and jams"
    return max(min(usual, _step(most, 10.0)), LEAST_WIDE_MM if end_open else 0.0), why + (", and its right end stays free for knees" if end_open else ""), PRACTICE


def _wall_words(brief: Brief, drawers: int, at_wall: bool) -> Proposal:
    """Whether it is fixed to the wall: small or in a hall, and with a drawer by which a child pulls it over; a table that people sit round is not."""
    if not drawers or not brief.near_children or brief.nothing_drilled or not at_wall:
        return Proposal(0, "nothing to climb on" if not drawers else "it stands in the room", JUDGEMENT)
    return Proposal(1, "a child who climbs on the open drawer would tip it", "ASTM F2057-23 for the child; statics")


def _corner_words(brief: Brief, most_mm: float) -> tuple[float, str, str]:
    """Radius of a top's corners, why and on whose word. [mm]"""
    radius = min(CORNERS_MM, _step(most_mm - 1.0))
    if no_sharp_corners_asked(brief):
        return radius, "no sharp corners, as the client says", "brief"
    if brief.near_children and (not brief.child_ages or min(brief.child_ages) <= SMALL_YEARS):
        return radius, "small children run past at the height of its corners", PRACTICE
    return 0.0, "square corners; 20 to 40 mm where small children come", JUDGEMENT


def _drawers_words(asked: int, brief: Brief, between_mm: float) -> tuple[float, str, str]:
    """How many drawers are proposed, why and on whose word. [mm]"""
    if not asked:
        return 0.0, "no drawer, unless you or the brief ask for one", JUDGEMENT
    wide = (between_mm - (asked - 1) * table_drawers.UPRIGHT_MM) / asked
    if asked == 1 and wide > table_drawers.WIDE_MM and (written_at(brief) or wide_drawer_asked(brief)):
        return 1.0, f"one, as the brief says: {wide:.0f} mm wide, it may jam when pulled at one side; two would run better", "brief"
    return float(asked), "as many as the brief says", "brief"


def _pulls_past_mm(s: _S) -> float:
    """How far pulls stand out before the top. [mm]"""
    return max(PULL_MM[2] - s.overhang_side_mm - s.apron_setback_mm, 0.0) if s.drawers and s.pulls else 0.0


def _step(value: float, step: float = 5.0) -> float:
    return max(math.floor(value / step) * step, 0.0)


# ---------------------------------------------------------------- members


def _clear_mm(s: _S) -> float:
    """Floor to the underside of aprons or top bearers. [mm]"""
    return s.leg_length_mm - (s.apron_width_mm if s.base == 0 else s.foot_height_mm)


def _edge_mm(s: _S) -> float:
    """Length of the edge of a round or oval top, after Ramanujan. [mm]"""
    return math.pi * (3 * (s.length_mm + s.width_mm) / 2 - math.sqrt((3 * s.length_mm + s.width_mm) * (s.length_mm + 3 * s.width_mm)) / 2)


def _between_legs_mm(s: _S) -> float:
    return 2 * s.half[0] - 2 * s.leg_mm


def _refuse(s: _S) -> None:
    width, _ = s.board
    if width < 15:
        raise SizeRefused("board_count", f"{s.board_count} {'slats' if s.slatted else 'boards'} in {s.width_mm:g} mm "
            "would be "
                          f"{max(width, 0):.0f} mm wide; 15 mm at least. Fewer of them, or a wider top.")
    if s.outline and s.top != 1:
        raise SizeRefused("outline", f"A {OUTLINES[1]} top is made of {TOPS[1]}, {OUTLINES[1]} = {s.outline} does not "
            f"go with {TOPS[s.top]}. "
                          f"Choose {TOPS[1]} for the top, or a rectangular outline.")
    fx, fy = s.half
    if s.outline:
        inside = math.hypot(fx / (s.length_mm / 2 - INSIDE_ROUND_MM), fy / (s.width_mm / 2 - INSIDE_ROUND_MM))
        if inside > 1:
            need = s.length_mm / 2 - fx / inside
            raise SizeRefused("overhang_end_mm",
                f"The frame's corners would stand out past the curved edge. Give {up_to(need, 5):.0f} mm "
                              f"at the ends and {up_to(s.width_mm / 2 - fy / inside, 5):.0f} mm at the sides, or a "
                              "larger top.")
    if s.opened and s.outline:
        raise SizeRefused("right_end", f"A {OUTLINES[1]} top has no end to open: its 4 legs are joined by aprons all round. Choose an apron there, or a rectangular outline.")
    if 0 < s.rounded_mm < LEAST_CORNER_MM:
        raise SizeRefused("corner_mm", f"Corners of {s.rounded_mm:g} mm are no rounder than an arris. Give 0 for square ones, or {LEAST_CORNER_MM:g} mm or more.")
    if s.opened and _beside_tenon_mm(s) < LEAST_MM:
        raise SizeRefused("apron_setback_mm", f"Set back {s.apron_setback_mm:g} mm, the aprons' tenons leave {max(_beside_tenon_mm(s), 0.0):.0f} mm beside them in the legs; the flat rail's "
                          f"tail needs {LEAST_MM:g} mm there. Set them back {max(math.floor(s.apron_setback_mm + _beside_tenon_mm(s) - LEAST_MM), 0)} mm or less, or take stouter legs.")
    if s.drawers:
        _refuse_drawers(s)
    narrowest = min(s.end_width_mm, s.length_mm / 4) if s.cleated else width
    if s.rounded_mm > narrowest:
        raise SizeRefused("corner_mm", f"Corners of {s.rounded_mm:g} mm reach past the outer {'breadboard end' if s.cleated else 'board'}, {narrowest:.0f} mm wide. "
                          f"Give {max(math.floor(narrowest), 0):.0f} mm or less, or wider {'ends' if s.cleated else 'boards'}.")
    least = 60.0
    for field, label, room in (("overhang_end_mm", "ends", 2 * fx), ("overhang_side_mm", "sides", 2 * fy)):
        between = room - (2 * s.leg_mm if s.base == 0 else s.leg_mm + 100 if label == "ends" else s.post_width_mm)
        if between < least:
            what = "between the legs" if s.base == 0 else "for the trestles"
            raise SizeRefused(field, f"With that overhang at the {label} only {max(between, 0):.0f} mm are left "
                f"{what}; "
                              f"{least:.0f} mm at least. {_most_over(s, label, least):.0f} mm "
                              "of overhang or less, thinner timber, or a larger top.")
    if s.cleated:
        long = s.length_mm - 2 * s.end_width_mm
        if long < 200:
            raise SizeRefused("end_width_mm", f"Breadboard ends of {s.end_width_mm:g} mm leave boards of "
                f"{max(long, 0):.0f} mm; "
                              "200 mm at least. Narrower ends, or a longer top.")
        if width < LEAST_BOARD_MM:
            raise SizeRefused("board_count", f"Boards {width:.0f} mm wide are too narrow for breadboard tenons that "
                f"slide; {LEAST_BOARD_MM:g} mm "
                              f"at least. Give {math.floor(s.width_mm / LEAST_BOARD_MM)} boards or fewer.")
        if s.top_thickness_mm < 15:
            raise SizeRefused("top_thickness_mm",
                f"A top of {s.top_thickness_mm:g} mm is too thin for a breadboard end; 15 mm or more.")
    _refuse_loose_slats(s)
    if s.base == 0:
        if s.apron_setback_mm + s.apron_thickness_mm > s.leg_mm:
            raise SizeRefused("apron_thickness_mm",
                f"An apron of {s.apron_thickness_mm:g} mm set back {s.apron_setback_mm:g} mm does not "
                              f"fit on a {s.leg_mm:g} mm leg. A thicker leg, or less setback.")
        if s.bearer_count and s.bearer_width_mm > s.apron_width_mm:
            raise SizeRefused("bearer_width_mm",
                f"Bearers {s.bearer_width_mm:g} mm deep hang below aprons of {s.apron_width_mm:g} mm. "
                              "Shallower bearers or deeper aprons.")
        if s.slatted and not s.bearer_count:
            raise SizeRefused("bearer_count", "0 bearers: slats need at least 2 to lie on. Give 2 or more, or a solid "
                "top.")
        if s.slatted and s.bearer_count < 2:
            raise SizeRefused("bearer_count", f"{s.bearer_count} bearer: slats need at least 2 to lie on.")
        clear = 2 * (fx - s.leg_mm)
        if s.bearer_count * s.bearer_thickness_mm + (s.bearer_count + 1) * 10 > clear:
            raise SizeRefused("bearer_count", f"{s.bearer_count} bearers of {s.bearer_thickness_mm:g} mm do not fit "
                f"in {clear:.0f} mm "
                              "between the legs. Fewer or thinner bearers.")
        if s.bay:
            table_drawers.refused(s.bay)
        if _clear_mm(s) < 50:
            raise SizeRefused("apron_width_mm",
                f"Aprons {s.apron_width_mm:g} mm deep leave {max(_clear_mm(s), 0):.0f} mm over the floor; "
                              "50 mm at least. Shallower aprons, or a higher table.")
    else:
        post = s.leg_length_mm - 2 * s.foot_height_mm
        if post < s.stretcher_width_mm + 60:
            raise SizeRefused("foot_height_mm",
                f"Feet and top bearers {s.foot_height_mm:g} mm deep leave posts of {max(post, 0):.0f} mm; the "
                              f"stretcher, {s.stretcher_width_mm:g} mm wide, wants {s.stretcher_width_mm + 60:.0f} mm. "
                              "Shallower ones, or a higher table.")
        low, high = s.foot_height_mm + 25, s.leg_length_mm - s.foot_height_mm - 25 - s.stretcher_width_mm
        if not low <= s.stretcher_height_mm <= high:
            raise SizeRefused("stretcher_height_mm",
                f"The stretcher {s.stretcher_height_mm:g} mm over the floor runs into a foot or a top bearer. "
                              f"Give {low:.0f} to {high:.0f} mm.")
        if s.post_width_mm > 2 * fy - 20:
            raise SizeRefused("post_width_mm", f"A post {s.post_width_mm:g} mm wide on a foot of {2 * fy:.0f} mm; "
                f"give {max(2 * fy - 60, 0):.0f} mm or less.")


def _refuse_drawers(s: _S) -> None:
    """Where drawers cannot be: they stand between legs and aprons, under a solid square-edged top."""
    for bad, why in (
        (s.base != 0, f"on {BASES[s.base]}: they run between legs and aprons"),
        (s.slatted, "under slats: what falls through lies in them"),
        (bool(s.outline), f"under a {OUTLINES[1]} top, which hangs far over the front of its frame"),
    ):
        if bad:
            raise SizeRefused("drawers", f"There can be no drawers {why}. Give 0, or {BASES[0]} and a rectangular top of {TOPS[1]}.")
    if s.opened and not s.drawer_mm:
        raise SizeRefused("drawer_mm", f"Drawers as wide as the front run on the right end's apron, and that end is open below. Give them a width, {table_drawers.USUAL_WIDE_MM:.0f} mm or so.")
    if s.bearer_count:
        raise SizeRefused("bearer_count", f"Bearers stand where drawers run, {s.bearer_count:g} of them: give 0; the kickers over the drawers hold the top.")


def _refuse_loose_slats(s: _S) -> None:
    """The outer slat must lie on the frame by enough to be screwed to it."""
    setback = s.apron_setback_mm if s.base == 0 else 0.0
    most = s.board[0] - LEAST_ON_MM - setback
    if s.slatted and s.overhang_side_mm > most:
        raise SizeRefused("overhang_side_mm", f"The outer slats, {s.board[0]:g} mm wide, do not reach the frame with "
            f"{s.overhang_side_mm:g} mm of "
                          f"overhang at the sides. Give {max(_step(most, 1.0), 0):.0f} mm or less, fewer slats, or a "
                          "solid top.")


def _most_over(s: _S, label: str, least: float) -> float:
    if s.base == 0:
        taken = 2 * s.leg_mm
    else:
        taken = s.leg_mm + 100 if label == "ends" else s.post_width_mm
    return _step(((s.length_mm if label == "ends" else s.width_mm) - taken - least) / 2, 1.0)


def _bearer_centres(s: _S) -> list[float]:
    inner = s.half[0] - s.leg_mm
    if s.bearer_count == 1:
        return [0.0]
    if not s.slatted:
        step = 2 * inner / (s.bearer_count + 1)
        return [-inner + (i + 1) * step for i in range(s.bearer_count)]
    outer = inner - s.bearer_thickness_mm / 2 - min(30.0, inner / 8)
    return [-outer + i * 2 * outer / (s.bearer_count - 1) for i in range(s.bearer_count)]


def _members(s: _S, letter: str, timber: str) -> list[Member]:
    f = Frame(letter, timber, s.arris_mm)
    fx, fy = s.half
    top = s.leg_length_mm
    if s.base == 0:
        for code, name, x, y, hand in (
            ("L1", "leg, front left", -fx, -fy, "left"), ("L2", "leg, front right", fx - s.leg_mm, -fy, "right"),
            ("L3", "leg, back right", fx - s.leg_mm, fy - s.leg_mm, "right"),
            ("L4", "leg, back left", -fx, fy - s.leg_mm, "left"),
        ):
            f.add(code, name, "leg", top, s.leg_mm, s.leg_mm, Placement((x, y, 0.0), Z, X), hand=hand)
        t, b, w = s.apron_thickness_mm, s.apron_setback_mm, s.apron_width_mm
        z = top - w
        for code, name, at, along, length in (
            ("A1", "apron, front", (-fx + s.leg_mm, -fy + b + t, z), X, 2 * (fx - s.leg_mm)),
            ("A2", "apron, back", (fx - s.leg_mm, fy - b - t, z), (-1.0, 0.0, 0.0), 2 * (fx - s.leg_mm)),
            ("A3", "apron, right end", (fx - b - t, -fy + s.leg_mm, z), Y, 2 * (fy - s.leg_mm)),
            ("A4", "apron, left end", (-fx + b + t, fy - s.leg_mm, z), (0.0, -1.0, 0.0), 2 * (fy - s.leg_mm)),
        ):
            if not (code == "A1" and s.drawers or code == "A3" and s.opened):
                f.add(code, name, "apron", length, w, t, Placement(at, along, Z))
        if s.opened:
            wide = s.end_rail_wide_mm
            f.add("R1", "flat rail, right end", "end rail", 2 * (fy - s.leg_mm), wide, s.end_rail_mm,
                  Placement((fx - b, -fy + s.leg_mm, top - s.end_rail_mm), Y, (-1.0, 0.0, 0.0)))
        if s.bay:
            table_drawers.members(f, s.bay)
        inner = fy - b - t
        for i, x in enumerate(_bearer_centres(s) if s.bearer_count else [], 1):
            f.add(f"B{i}", f"bearer {i}", "bearer", 2 * inner, s.bearer_width_mm, s.bearer_thickness_mm,
                  Placement((x - s.bearer_thickness_mm / 2, -inner, top - s.bearer_width_mm), Y, Z), "hidden")
    else:
        _trestles(f, s)
    _top(f, s)
    return f.members


def _trestles(f: Frame, s: _S) -> None:
    """Feet, posts and top bearers across, at either end; a stretcher between."""
    fx, fy = s.half
    t, h, top = s.leg_mm, s.foot_height_mm, s.leg_length_mm
    for k, (x, name) in enumerate(((-fx, "left"), (fx - t, "right")), 1):
        f.add(f"F{k}", f"foot, {name}", "foot", 2 * fy, h, t, Placement((x, -fy, 0.0), Y, Z), hand=name)
        f.add(f"P{k}", f"post, {name}", "post", top - 2 * h, s.post_width_mm, t,
              Placement((x + t, -s.post_width_mm / 2, h), Z, Y), hand=name)
        f.add(f"B{k}", f"top bearer, {name}", "top bearer", 2 * fy, h, t, Placement((x, -fy, top - h), Y, Z), hand=name)
    thick = _stretcher_thickness(s)
    length = 2 * (fx - t)
    f.add("T1", "stretcher", "stretcher", length, s.stretcher_width_mm, thick,
          Placement((-length / 2, thick / 2, s.stretcher_height_mm), X, Z))


def _stretcher_thickness(s: _S) -> float:
    return min(s.apron_thickness_mm, s.post_width_mm - 20)


def _top(f: Frame, s: _S) -> None:
    width, gap = s.board
    what = "slat" if s.slatted else "board"
    long = s.length_mm - (2 * s.end_width_mm if s.cleated else 0.0)
    arris = f.arris_mm if s.slatted else 0.0
    for i in range(s.board_count):
        y = -s.width_mm / 2 + i * (width + gap)
        length, shaping = long, ()
        if s.outline:
            near = max(abs(y + width / 2) - width / 2, 0.0)
            length = 2 * (s.length_mm / 2) * math.sqrt(max(1 - (near / (s.width_mm / 2)) ** 2, 0.0))
            length = min(up_to(length + 2.0, 1.0), s.length_mm)
            shaping = (CutRound(length / 2, -y, s.length_mm, s.width_mm),)
        elif s.rounded_mm and not s.cleated and i in (0, s.board_count - 1):
            corners = "both" if s.board_count == 1 else "lower" if i == 0 else "upper"
            shaping = tuple(RoundEnd(end, s.rounded_mm, corners) for end in ("start", "end"))
        f.add(f"{'S' if s.slatted else 'W'}{i + 1}", f"{'slat' if s.slatted else 'top board'} {i + 1}", what, length,
            width, s.top_thickness_mm,
              Placement((-length / 2, y, s.leg_length_mm), X, Y), shaping=shaping, arris_mm=arris)
    if s.cleated:
        for code, name, x in (("E1", "left", -s.length_mm / 2), ("E2", "right", s.length_mm / 2 - s.end_width_mm)):
            f.add(code, f"breadboard end, {name}", "breadboard end", s.width_mm, s.end_width_mm, s.top_thickness_mm,
                  Placement((x + s.end_width_mm, -s.width_mm / 2, s.leg_length_mm), Y, (-1.0, 0.0, 0.0)), hand=name,
                  arris_mm=0.0, shaping=tuple(RoundEnd(end, s.rounded_mm, "upper" if name == "left" else "lower") for end in ("start", "end")) if s.rounded_mm else ())


# ---------------------------------------------------------------- joints


def _joints(s: _S, j: Joiner, swell: float) -> list[Joint]:
    if s.base == 0:
        beside, usual = beside_mm(s.apron_setback_mm, s.apron_thickness_mm), None
        if s.bay:
            table_drawers.joints(j, s.bay)
            usual = table_drawers.apron_tenon_mm(s.bay, s.apron_thickness_mm)
        for rail, posts in (("A1", ("L1", "L2")), ("A2", ("L3", "L4")), ("A3", ("L2", "L3")), ("A4", ("L4", "L1"))):
            if j.has(rail):
                j.tenons("apron into leg", rail, posts, "apron_thickness_mm", beside_mm=beside, flush=True, usual=usual)
        if s.opened:
            for leg in ("L2", "L3"):
                j.join("dovetail from above", "flat rail into leg", "R1", leg, "end_rail_mm", _end_tail(s))
        for i in range(1, s.bearer_count + 1):
            j.tenons("bearer into apron", f"B{i}", ("A1", "A2"), "bearer_thickness_mm")
    else:
        for k in (1, 2):
            double = s.post_width_mm > 75
            for end, other, family in (("start", f"F{k}", "post into foot"), ("end", f"B{k}", "post into top bearer")):
                if double:
                    # Side by side they are glued on four broad cheeks and stand on edge to the push; a thin post takes two short ones.
                    usual = {"side_by_side": 1.0} if s.leg_mm >= SIDE_BY_SIDE_FROM_MM else None
                    j.tenon(family, f"P{k}", end, other, "post_width_mm", kind=DoubleTenon, usual=usual)
                else:
                    j.tenon(family, f"P{k}", end, other, "post_width_mm")
        for end, post in (("start", "P1"), ("end", "P2")):
            j.join(ThroughTenon.kind, "stretcher through post", "T1", post, "stretcher_width_mm", {"wedges": 1.0})
    _top_joints(s, j, swell)
    return j.made


def _beside_tenon_mm(s: _S) -> float:
    """Between the inner face of a leg and the tenon of an apron, a third of it thick, that stands in its middle. [mm]"""
    return s.leg_mm - s.apron_setback_mm - (1 / 2 + 1 / 6) * s.apron_thickness_mm - 1.0 - OFF_SOCKET_MM


def _end_tail(s: _S) -> dict[str, float] | None:
    """A shorter tail for the flat rail where the rail over drawers, or an apron's tenon, is let into the same leg beside it. [mm]"""
    if not s.bay:
        room = _beside_tenon_mm(s)
        return None if room >= MOST_MM else {"length_mm": float(max(math.floor(room), LEAST_MM))}
    deep = s.bay.rail_deep_mm
    tail = min(0.7 * deep + 2 * MOST_MM / SLOPE_IN, deep - 2 * SHOULDER_MM) / 2
    room = s.leg_mm - s.apron_setback_mm - deep / 2 - tail - OFF_SOCKET_MM
    return {"length_mm": float(max(min(math.floor(room), MOST_MM), LEAST_MM))}


def _top_joints(s: _S, j: Joiner, swell: float) -> None:
    if s.slatted:
        return
    boards = [f"W{i + 1}" for i in range(s.board_count)]
    for a, b in zip(boards, boards[1:]):
        j.join("edge joint", "top board edge to edge", a, b, "board_count")
    if s.cleated:
        # As long as the timber will want in its place, and by rule at least; no longer than a tenon can hold.
        want = 6.0 + 2 * math.ceil(1.2 * swell * s.width_mm / 2 + 0.5)
        most = math.floor(0.45 * s.board[0] / max(1, round(s.board[0] / TENON_EVERY_MM)) - 8.0)
        usual = {"slot_mm": float(want)} if BY_RULE * s.width_mm + 8 < want <= most else {}
        for cleat in ("E1", "E2"):
            for b in boards:
                j.join("breadboard end", "board into breadboard end", b, cleat, "end_width_mm", usual)
    kind = HELD[s.held]
    rails = ["A1", "A2", "R1" if s.opened else "A3", "A4", *(f"B{i + 1}" for i in range(s.bearer_count))] if s.base == 0 else ["B1", "B2"]
    if s.bay:
        kickers = [f"K{n}" for n in range(1, len(s.bay.kickers_mm()) + 1)]
        for rail in kickers:
            for b in _over(s, j, rail, boards):
                _held(s, j, HELD[1], rail, b, swell)
        rails = ["A2", *(("R1" if s.opened else "A3", "A4") if s.bay.narrow else ())]
    for rail in rails:
        held = 0
        if rail == "R1":
            for b in [] if s.cleated else _over(s, j, rail, boards):
                _held(s, j, HELD[1], rail, b, swell)
            continue
        if rail in ("A1", "A2") and (_clear_of_bearers(s, j, rail) == 0 or s.outline and s.bearer_count):
            continue  # the bearers hold the top between them; under a round one these are too far from its middle to let it move
        if rail in ("A3", "A4") and s.cleated and kind == HELD[1]:
            continue  # the breadboard ends hold the boards there, and their tenons want the room
        for b in _over(s, j, rail, boards):
            held += _held(s, j, kind, rail, b, swell)
        if not held and not any(m in j.by_ref and j.laid.get(m) != j.by_ref[m] for m in j.by_ref):
            for b in _over(s, j, rail, boards, every=True):
                held += _held(s, j, HELD[1], rail, b, swell)


def _over(s: _S, j: Joiner, rail: str, boards: list[str], every: bool = False) -> list[str]:
    """Boards to hold on a rail: the one inside a rail that runs with the grain; on a rail across it, at most five."""
    r = j.at(rail).piece_box
    if rail in ("A1", "A2") and s.base == 0:
        inner = r.hi[1] + 20 if rail == "A1" else r.lo[1] - 20
        inner = r.centre[1] if every or HELD[s.held] == "slotted screws" else inner
        return [b for b in boards if j.at(b).piece_box.lo[1] <= inner <= j.at(b).piece_box.hi[1]][:1]
    across = [b for b in boards if min(j.at(b).piece_box.hi[1], r.hi[1]) - max(j.at(b).piece_box.lo[1], r.lo[1]) >= 40]
    if s.base == 1 and (s.held == 1 or every):  # a screw up through the bearer would stand between the tenons of its post
        clear = [b for b in across if abs(j.at(b).piece_box.centre[1]) > s.post_width_mm / 2 + OFF_POST_MM]
        across = clear if len(clear) > 1 else across
    step = 1 if s.outline else max(1, math.ceil(len(across) / 5))
    return across[step // 2 :: step] or across[:1]


def _held(s: _S, j: Joiner, kind: str, rail: str, board: str, swell: float) -> int:
    """1 where the board could be held on the rail by this kind, 0 where there is no room for it."""
    from studio_lib.piece.kinds import KINDS

    # Buttons on a rail along the grain and on one across it have figures of their own.
    family = f"top on {'kickers' if rail[0] == 'K' else 'flat rail' if rail == 'R1' else 'bearers' if rail[0] != 'A' else 'end aprons' if rail in ('A3', 'A4') else 'aprons'}, {kind}"
    figures = {n: v for n, v in j.own.get(family, {}).items() if n in KINDS[kind].changeable}
    usual = {"count": count} if (count := _clear_of_bearers(s, j, rail)) else {}
    if rail[0] == "K":
        far = max(abs(v) for v in (j.at(board).piece_box.lo[1], j.at(board).piece_box.hi[1]))
        usual = {"slot_mm": SCREW_MM + 2 * math.ceil(SLIDES_EACH_MM * far + 2.0)}
    if rail == "R1" or s.outline and kind == HELD[1]:
        box = j.at(board).piece_box
        goes = math.ceil(1.2 * swell * max(abs(box.lo[1]), abs(box.hi[1])) + 2.0)
        usual |= {"screw_mm": ROUND_SCREW_MM, "slot_mm": ROUND_SCREW_MM + 2 * max(goes, ROUND_GOES_MM)}
    try:
        j.made.append(KINDS[kind].between(j.at(board), j.at(rail), family, usual | figures))
    except ValueError:
        if figures:
            raise
        return 0
    return 1


def _clear_of_bearers(s: _S, j: Joiner, rail: str) -> float | None:
    """How many fixings along a long apron so that none stands where a bearer or kicker is tenoned; None where it does not
    matter."""
    if rail not in ("A1", "A2") or not (s.bearer_count or s.drawers):
        return None
    long = j.at(rail).length_mm
    bearers = [x + long / 2 for x in ([(x0 + x1) / 2 for x0, x1 in s.bay.kickers_mm()] if s.bay else _bearer_centres(s))]
    usual = max(1, round(long / EVERY_MM))

    def least(n: int) -> float:
        return min(abs((k + 0.5) * long / n - b) for k in range(n) for b in bearers)

    return float(next((n for n in (usual, usual + 1, usual + 2, *range(usual - 1, 0, -1)) if least(n) >= 45), 0))


def _fixings(s: _S, present: list[Member]) -> tuple[Screws, ...]:
    if not s.slatted:
        return ()
    slats = [m for m in present if m.role == "slat"]
    under = [m for m in present if m.role in ("bearer", "top bearer") or m.role == "apron" and m.piece_box.size[0] >= m.piece_box.size[1]]
    out = []
    for x in slats:
        on = [b for b in under if min(x.piece_box.hi[1], b.piece_box.hi[1]) - max(x.piece_box.lo[1], b.piece_box.lo[1]) >= LEAST_ON_MM - 1e-6]
        along = [b for b in on if b.role == "apron"]
        for b in along:
            count = max(2, round(b.length_mm / EVERY_MM))
            out.append(placed(Screws("slat on apron", b.ref, x.ref, count, gauge_mm(b, x), 50.0,
                                     "from below, let in"), b, x, present))
        across = [screws("slat on bearer", b, x) for b in on if b.role != "apron"]
        # A slat held all along its apron needs no thin screw where it only just lies on a bearer.
        out += [row for row in across if row is not None and (not along or row.count > 1)]
    return tuple(out)


# ---------------------------------------------------------------- fit to people and place


def _fit(piece: Piece, s: _S, brief: Brief) -> list[Finding]:
    mix = Mix(brief.share_women)
    clear = _clear_mm(s)
    found = room_findings(piece.name, s.length_mm, s.width_mm, brief, ("length", "width"), high_mm=s.height_mm)
    sat_at = isinstance(brief, Here) and brief.table == "eaten at" and not brief.sized_to_children
    if s.bay:
        found += table_drawers.fit(piece.name, s.bay, tuple(m.ref for m in piece.members if m.role == "drawer face"))
    if written_at(brief):
        found += desk_fit(table_of(piece), s.top_thickness_mm, bool(s.drawers), knees_clear_mm(users_of(brief), KNEES_MM), brief)
    elif not is_low(brief, s.height_mm) and (sat_at or s.height_mm >= DINING_FROM_MM):
        suits = share_below("top of knee height", clear - SHOE_MM, mix)
        found.append(from_ratio(
            "knees", "room under the frame", percentile_mm("top of knee height", 95, mix) + SHOE_MM, clear, "mm",
            rule="95 of 100 diners, in shoes, sit with knees under it", source=BODY,
            mend="Shallower aprons or bearers, a thinner top, or a higher table.", stage="sizes", look_again_from=1.0,
            says=f"{clear:.0f} mm clear suits {100 * suits:.0f} of 100 diners",
        ))
        sides = a_side(brief)
        if sides and not s.outline:
            each = _between_legs_mm(s) / sides
            found.append(from_ratio(
                "places", "width between the legs for each diner", 530, max(each, 1), "mm",
                rule="530 mm each at the tightest, 600 mm usual",
                source="dining planning rules, 530 to 635 mm (21 to 25 in.)",
                mend="Lengthen the table, or move the legs nearer its ends.", stage="sizes", look_again_from=530 / 600,
                says=f"{each:.0f} mm each for {sides} a side",
            ))
        if s.outline:
            edge = _edge_mm(s) / max(brief.people, 1)
            found.append(from_ratio(
                "places", "edge for each diner", 530, edge, "mm", rule="530 mm each at the tightest, 610 mm usual",
                source="dining planning rules, 530 to 635 mm (21 to 25 in.); the oval's edge by Ramanujan's sum",
                mend="A larger top, or fewer people.", stage="sizes", look_again_from=530 / 600,
                says=f"{edge:.0f} mm of edge each for {brief.people}",
            ))
    for way, over, size in (("over its end", s.overhang_end_mm, s.length_mm),
        ("over its side", s.overhang_side_mm, s.width_mm)):
        found.append(from_ratio(
            piece.name, f"spread of the feet, {way}", 2 / 3 * size, size - 2 * over, "mm",
            rule="feet spread over two thirds of the top at least", source="trade rule in furniture handbooks",
            stage="sizes",
            mend=f"Overhang of {size / 6:.0f} mm or less.", look_again_from=1.0,
            says=f"feet {size - 2 * over:.0f} mm apart under {size:.0f} mm of top",
        ))
    if brief.wheelchair and brief.wheelchair_at and not s.outline and not is_low(brief, s.height_mm):
        found += pulled_up_findings(piece, brief)
    elif brief.wheelchair and not is_low(brief, s.height_mm):
        chair, source = wheelchair_knees(brief.wheelchair_knees_mm)
        found.append(from_ratio(
            "wheelchair", "knee clearance", chair, clear, "mm", rule=f"{chair:.0f} mm clear under the frame",
            source=source,
            mend="Raise the table or use a shallower frame.", stage="sizes", look_again_from=1.0,
            says=f"{clear:.0f} mm of room under it, {chair:.0f} mm wanted",
        ))
    return found


SOLID_TABLE = Table()
