"""Slatted table and slatted stool: legs and aprons, bearers, a middle rail, slats lengthwise.

Slats lie on bearers and are screwed from below. Bearers are tenoned into the long
aprons; a middle rail, where there is one, is tenoned into the end aprons and halved
under every bearer. Aprons and lower rails are tenoned into the legs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.forms.beside import BENCH_END_MM, FEW_MM, FEW_WORDS, Here, a_side, bench_room_mm, few_sit, is_low, seating_words
from studio_lib.forms.changes import assembled
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, users_of
from studio_lib.forms.framing import TWO_HOLES, gap_to_drain, placed
from studio_lib.forms.low import END_MM, MIDDLE_FROM_MM, low_table
from studio_lib.forms.space import longest_table_mm, room_findings, room_words
from studio_lib.forms.thin import thin_refused
from studio_lib.people import Mix, percentile_mm, share_below, wheelchair_knees
from studio_lib.people.body import SHOE_MM
from studio_lib.people.body import SOURCE as BODY
from studio_lib.people.proposals import (
    LAP_TO_TOP_MM,
    Proposed,
    knee_room_under_apron,
    knees_clear_mm,
    place_width,
    seat_depth,
    seat_height,
    seat_width,
    table_height_for_seat,
)
from studio_lib.people.users import Users
from studio_lib.piece import Joint, Member, Piece, Placement, Screws
from studio_lib.piece.halving import CrossHalving
from studio_lib.piece.checks import LEAST_BETWEEN_MM
from studio_lib.piece.mortise_tenon import (
    LEAST_WALL_MM,
    MORTISE_DEEPER_MM,
    nearest_chisel,
    proportioned,
)

UP = (0.0, 0.0, 1.0)
PRACTICE = "common practice, no source"
JUDGEMENT = "a starting point of ours"
INCH = 25.4
LEAST_ON_MM = 12.0
"""A slat lies on what it is screwed to by this at least; common practice, no source."""
ALONG_MM = 190.0
"""From screw to screw along an apron under an outer slat; judgement of ours."""
TABLE_LENGTH_MM = (500.0, 4000.0)
HEAD_LOW_MM = 89.0
"""An opening closed all round from this size on holds a child's head; see ``brief.refusals.heads``."""


@dataclass(frozen=True)
class _Sizes:
    length_mm: float
    width_mm: float
    height_mm: float
    slat_count: int
    gap_mm: float
    slat_thickness_mm: float
    leg_mm: float
    apron_width_mm: float
    apron_thickness_mm: float
    apron_setback_mm: float
    overhang_end_mm: float
    overhang_side_mm: float
    bearer_count: int
    bearer_width_mm: float
    bearer_thickness_mm: float
    middle_rail: int
    lower_rail_height_mm: float
    lower_rail_width_mm: float
    lower_rail_thickness_mm: float
    arris_mm: float

    @property
    def slat_width_mm(self) -> float:
        """Whole half millimetres, so that a fence can be set to it; the gaps take up the rest."""
        shared = (self.width_mm - (self.slat_count - 1) * self.gap_mm) / self.slat_count
        return math.floor(2 * shared + 1e-9) / 2

    @property
    def gap_made_mm(self) -> float:
        """The gap that closes the width exactly; at least the gap asked for."""
        return (self.width_mm - self.slat_count * self.slat_width_mm) / (self.slat_count - 1)

    @property
    def frame_length_mm(self) -> float:
        """Over the legs, along the piece."""
        return self.length_mm - 2 * self.overhang_end_mm

    @property
    def frame_width_mm(self) -> float:
        return self.width_mm - 2 * self.overhang_side_mm

    @property
    def leg_length_mm(self) -> float:
        return self.height_mm - self.slat_thickness_mm


def _size_list(length, width, height, leg) -> tuple[Size, ...]:
    return (
        Size("length_mm", "Length of top", *length),
        Size("width_mm", "Width of top", *width),
        Size("height_mm", "Height", *height),
        Size("slat_count", "Slats", 2, 60, "", "top", True),
        Size("gap_mm", "Gap between slats, when made", 0, 40, "mm", "top"),
        Size("slat_thickness_mm", "Slat thickness", 12, 60, "mm", "top"),
        Size("overhang_end_mm", "Top beyond legs, ends", 0, 500, "mm", "top"),
        Size("overhang_side_mm", "Top beyond legs, sides", 0, 400, "mm", "top"),
        Size("leg_mm", "Legs, square", *leg, "mm", "frame"),
        Size("apron_width_mm", "Apron width (depth)", 30, 200, "mm", "frame"),
        Size("apron_thickness_mm", "Apron thickness", 15, 60, "mm", "frame"),
        Size("apron_setback_mm", "Apron behind the leg's face", 0, 40, "mm", "frame"),
        Size("bearer_count", "Bearers under the slats", 2, 12, "", "frame", True),
        Size("bearer_width_mm", "Bearer width (depth)", 25, 160, "mm", "frame"),
        Size("bearer_thickness_mm", "Bearer thickness", 15, 60, "mm", "frame"),
        Size("middle_rail", "Middle rail, 1 or none", 0, 1, "", "frame", True),
        Size("lower_rail_height_mm", "Lower rails above floor, 0 for none", 0, 700, "mm", "frame"),
        Size("lower_rail_width_mm", "Lower rail width", 20, 120, "mm", "frame"),
        Size("lower_rail_thickness_mm", "Lower rail thickness", 15, 60, "mm", "frame"),
        Size("arris_mm", "Arris taken off", 0, 8, "mm", "frame"),
    )


@dataclass(frozen=True)
class SlattedForm(Form):
    """A slatted top on four legs; the table and the stool differ in their proposals and checks."""

    name: str
    kind: str
    sizes: tuple[Size, ...]
    stouter_in_soft = (
        "slat_thickness_mm", "leg_mm", "apron_width_mm", "apron_thickness_mm", "bearer_width_mm", "bearer_thickness_mm", "lower_rail_width_mm",
        "lower_rail_thickness_mm",
    )
    least_in_soft = {"slat_thickness_mm": 36.0}  # 25 mm of thread: four diameters of a screw of 6 mm

    @property
    def called(self) -> tuple[str, str]:
        return ("long", "wide") if self.kind == "table" else ("wide", "deep")

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        return (_table_proposals if self.kind == "table" else _stool_proposals)(brief, around, chosen)

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None,
        adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _Sizes(**sizes)
        _refuse_the_impossible(s)
        joints = joints or {}
        return assembled(
            name=name, form=self.name, letter=letter, members=_members(s, letter, around.timber),
            lay_joints=lambda by_ref, own: _joints(by_ref, letter, s, own), changes=adjustments, own=joints,
            lay_fixings=lambda members: _screws(members, s, around.stouter), check=thin_refused(_MADE_BY), timber=around.timber,
            overall_mm=(s.length_mm, s.width_mm, s.height_mm),
        )

    def slats(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        s = _Sizes(**sizes)
        return s.slat_width_mm, s.gap_made_mm, s.slat_thickness_mm

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        s = _Sizes(**sizes)
        if not s.lower_rail_height_mm:
            return []
        under = s.leg_length_mm - s.apron_width_mm
        return [(
            "between apron and lower rail", s.frame_width_mm - 2 * s.leg_mm,
            under - s.lower_rail_height_mm - s.lower_rail_width_mm,
        )]

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        return (_table_suits if self.kind == "table" else _stool_suits)(_Sizes(**sizes), users)

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        s = _Sizes(**sizes)
        found = room_findings(piece.name, s.length_mm, s.width_mm, brief, ("length", "width"), high_mm=s.height_mm)
        return found + (_table_fit if self.kind == "table" else _stool_fit)(piece, s, brief)


TABLE = SlattedForm(
    "slatted table", "table", _size_list(TABLE_LENGTH_MM, (350, 1600), (350, 1150), (30, 140))
)
STOOL = SlattedForm(
    "slatted stool", "stool", _size_list((250, 900), (220, 700), (200, 850), (25, 90))
)


# ---------------------------------------------------------------- proposals


def _up_to(value: float, step: float) -> float:
    return math.ceil(value / step - 1e-9) * step


USUAL_MM = 740.0
"""Height of a table to eat at that nothing raises: furniture handbooks, 735 to 760 mm."""
KNEES_MM = 624.0
"""Clear under the apron: the knees of 95 in 100 people, in shoes, and a little."""


def _table_proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    sides, benched = a_side(brief), isinstance(brief, Here) and bool(brief.benches)
    low = low_table(brief, least_mm=TABLE_LENGTH_MM[0]) if is_low(brief, chosen.get("height_mm", USUAL_MM)) else {}
    needed = max(_up_to((25 * sides + (0 if benched else 29)) * INCH, 10), FEW_MM[0] if few_sit(brief) else 900.0)
    if between := bench_room_mm(brief, users_of(brief)):
        needed = max(needed, _up_to(between + 2 * (chosen.get("overhang_end_mm", BENCH_END_MM) + chosen.get("leg_mm", 70.0)), 10))
    length = min(needed, TABLE_LENGTH_MM[1])
    seats = seating_words(brief)
    if needed > length:
        seats += f", would take {needed:.0f} mm: more than one table"
    if (room := longest_table_mm(brief)) < length:
        length, seats = room, seats + room_words(needed, room, benched)
    width = min(FEW_MM[1], max(chosen.get("length_mm", length), 300.0)) if few_sit(brief) else _up_to(36 * INCH, 10)
    if low:
        length, width = low["length_mm"].value, low["width_mm"].value
    long, public = chosen.get("length_mm", length), brief.use == "public"
    each = 78 if brief.near_children else 102
    slats = max(2, round(chosen.get("width_mm", width) / each))
    apron = chosen.get("apron_width_mm", (80.0 if low else 90.0) + 10.0 * public + 10.0 * (long > 2000))
    slat_t = chosen.get("slat_thickness_mm", 28.0 + 6.0 * public + 4.0 * (long > 2000))
    bearer = chosen.get("bearer_width_mm", min((60.0 if low else 68.0) + 12.0 * public + 10.0 * (long > 2000), apron))
    end = chosen.get("overhang_end_mm", END_MM if low or long < 1200 else BENCH_END_MM if benched else 200.0)
    leg = 64.0 if low and not public else 70.0
    clear = knees_clear_mm(users_of(brief), KNEES_MM)
    chair, chair_source = wheelchair_knees(brief.wheelchair_knees_mm)
    knees = _up_to(clear + apron + slat_t, 5)
    height, height_why = max(USUAL_MM, min(knees, 800.0)), "735 to 760 mm is usual for dining"
    if height > USUAL_MM:
        height_why = f"{clear:.0f} mm clear under the apron for knees"
    if brief.wheelchair:
        height = _up_to(chair + apron + slat_t, 5)
        height_why = f"{chair:.0f} mm of knee clearance under the apron for a wheelchair{'' if not brief.wheelchair_at else '; the table of legs and aprons with a solid top can be opened where it pulls up'}"
    inner = (
        long - 2 * end - 2 * chosen.get("leg_mm", leg)
    )
    bearers = max(2, math.ceil(inner / 430) + 1)
    wide = chosen.get("width_mm", width)
    return {
        "length_mm": Proposal(
            length, seats, "dining planning rule, 635 mm (25 in.) a setting, after Time-Saver Standards",
        ),
        "width_mm": Proposal(width, *FEW_WORDS) if few_sit(brief) and not low else
            Proposal(width, "915 mm at least across the table", "same dining planning rule, 36 in."),
        "height_mm": Proposal(
            height, height_why,
            chair_source if brief.wheelchair else "furniture handbooks, 735 to 760 mm (29 to 30 in.)",
        ),
        "slat_count": Proposal(slats, f"slats of about {each - 7} mm: " + ("gaps that no finger is caught in" if each < 100 else "wide enough to sit a glass on, narrow enough to stay flat"), JUDGEMENT),
        "gap_mm": gap_to_drain(around.swell_fraction * chosen.get("width_mm", width) / chosen.get("slat_count", slats), brief.near_children),
        "slat_thickness_mm": Proposal(slat_t, "stiff and thick enough for its screws", JUDGEMENT),
        "leg_mm": Proposal(leg, around.sawn(leg), JUDGEMENT),
        "apron_width_mm": Proposal(apron, "a tenon of five thicknesses" if low else "leaves knee room and a tenon of five thicknesses", JUDGEMENT),
        "apron_thickness_mm": Proposal(36.0 if public else 30.0, f"tenons of {12 if public else 10} mm", JUDGEMENT),
        "apron_setback_mm": Proposal(6.0, "a shadow line at the leg", PRACTICE),
        "overhang_end_mm": Proposal(end, "nobody sits at the ends" if low else "knees at the ends; under a sixth of the length", "feet spread two thirds of the top at least: trade rule"),
        "overhang_side_mm": _beyond(20.0, chosen.get("width_mm", width), slats, around, chosen, 6.0, "further out, what leans on the outer slat pulls at its screws", JUDGEMENT),
        "bearer_count": Proposal(bearers, "no slat spans more than about 430 mm", JUDGEMENT),
        "bearer_width_mm": Proposal(bearer, "halved over the middle rail and still strong", JUDGEMENT),
        "bearer_thickness_mm": Proposal(36.0 if public or long > 2000 else 30.0, "from the same boards as the aprons", JUDGEMENT),
        "middle_rail": Proposal(0, "the top is narrow", JUDGEMENT) if low and wide < MIDDLE_FROM_MM else Proposal(1, "holds the bearers at mid-width", JUDGEMENT),
        "lower_rail_height_mm": Proposal(0.0, "none: feet go under it" if low else "none: knees and feet", JUDGEMENT),
        "lower_rail_width_mm": Proposal(45.0, "only where there are lower rails", JUDGEMENT),
        "lower_rail_thickness_mm": Proposal(22.0, "only where there are lower rails", JUDGEMENT),
        "arris_mm": Proposal(2.0, "2 to 3 mm outdoors so that finish stays on the edge", PRACTICE),
    } | low


def _stool_proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    users = users_of(brief)
    seat, wide, deep = seat_height(users), seat_width(users), seat_depth(users, backless=True)
    public = brief.use == "public"
    depth, slats = chosen.get("width_mm", deep.value), chosen.get("slat_count", 5)
    height = chosen.get("height_mm", seat.value)
    apron = chosen.get("apron_width_mm", min(80.0 if public else 70.0, max(40.0, float(round(0.2 * height)))))
    return {
        "length_mm": Proposal(wide.value, wide.decided_by, wide.source),
        "width_mm": Proposal(deep.value, deep.decided_by, deep.source),
        "height_mm": Proposal(seat.value, seat.decided_by, seat.source),
        "slat_count": Proposal(5, "slats of about 60 mm", JUDGEMENT),
        "gap_mm": gap_to_drain(around.swell_fraction * depth / slats, brief.near_children),
        "slat_thickness_mm": Proposal(slat_t := 30.0 if public else 24.0, around.sawn(slat_t), JUDGEMENT),
        "leg_mm": Proposal(leg := 54.0 if public else 46.0, around.sawn(leg), JUDGEMENT),
        "apron_width_mm": Proposal(apron, "three parts of tenon to one of haunch", JUDGEMENT),
        "apron_thickness_mm": Proposal(30.0 if public else 24.0, "tenons a third of it", JUDGEMENT),
        "apron_setback_mm": Proposal(2.0, "a shadow line at the leg", PRACTICE),
        "overhang_end_mm": Proposal(20.0, "under 45 mm it cannot tip when sat on at the edge", "EN 1022 forward test, worked by moments"),
        "overhang_side_mm": _beyond(15.0, depth, slats, around, chosen, 2.0, "under 45 mm it cannot tip when sat on at the edge",
                                    "EN 1022 forward test, worked by moments"),
        "bearer_count": Proposal(2, "one near each end", JUDGEMENT),
        "bearer_width_mm": Proposal(45.0, "screwed from below into the slats", JUDGEMENT),
        "bearer_thickness_mm": Proposal(24.0, "from the same boards as the aprons", JUDGEMENT),
        "middle_rail": Proposal(0, "the seat is narrow", JUDGEMENT),
        "lower_rail_height_mm": _rail_height(height, {"apron_width_mm": apron, "lower_rail_width_mm": 45.0, "slat_thickness_mm": 30.0 if public else 24.0, **chosen}),
        "lower_rail_width_mm": Proposal(45.0, "it takes the push at the feet", JUDGEMENT),
        "lower_rail_thickness_mm": Proposal(24.0, "from the same boards as the aprons", JUDGEMENT),
        "arris_mm": Proposal(2.0, "2 to 3 mm outdoors so that finish stays on the edge", PRACTICE),
    }


def _beyond(usual_mm: float, wide_mm: float, slats: float, around: Surroundings, chosen, setback_mm: float, why: str, source: str) -> Proposal:
    """The top beyond the legs at its sides, no further than its outer slats reach back onto the aprons."""
    count = chosen.get("slat_count", slats)
    gap = chosen.get("gap_mm", gap_to_drain(around.swell_fraction * wide_mm / count, False).value)
    slat = (wide_mm - (count - 1) * gap) / count
    most = math.floor(slat - chosen.get("apron_setback_mm", setback_mm) - LEAST_ON_MM)
    if usual_mm <= most:
        return Proposal(usual_mm, why, source)
    return Proposal(float(max(most, 0)), "as far as the outer slats still lie on the aprons", JUDGEMENT)


def _rail_height(seat_mm: float, chosen: dict[str, float]) -> Proposal:
    """Low, where feet find it; where children are, so high that no head fits under the apron."""
    gap = HEAD_LOW_MM - 9.0
    under_apron = seat_mm - chosen.get("slat_thickness_mm", 22.0) - chosen.get("apron_width_mm", 60.0)
    highest = under_apron - chosen.get("lower_rail_width_mm", 36.0) - gap
    return Proposal(
        float(max(round(highest), 0)),
        f"{gap:.0f} mm under the apron: too little for a child's head, which {HEAD_LOW_MM:.0f} to 229 mm would hold",
        "CPSC public playground handbook B.2.5.1",
    )


def _table_suits(s: _Sizes, users: Users) -> dict[str, Proposed]:
    """Whose body decides each size of a table, and what share of the diners it suits as it stands."""
    sides = max(1, math.ceil(max(users.count - 2, 0) / 2))
    seat = s.height_mm - LAP_TO_TOP_MM
    return {
        "length_mm": place_width(users, at=(s.frame_length_mm - 2 * s.leg_mm) / sides),
        "height_mm": table_height_for_seat(seat, s.slat_thickness_mm + s.apron_width_mm, users, at=s.height_mm),
        "apron_width_mm": knee_room_under_apron(users, at=s.leg_length_mm - s.apron_width_mm),
    }


def _stool_suits(s: _Sizes, users: Users) -> dict[str, Proposed]:
    """Whose body decides each size of a stool, and what share of the sitters it suits as it stands."""
    return {
        "length_mm": seat_width(users, at=s.length_mm),
        "width_mm": seat_depth(users, backless=True, at=s.width_mm),
        "height_mm": seat_height(users, at=s.height_mm),
    }


# ---------------------------------------------------------------- members


def _refuse_the_impossible(s: _Sizes) -> None:
    if s.slat_width_mm < 15:
        raise SizeRefused(
            "slat_count",
            f"{s.slat_count} slats with {s.gap_mm:g} mm gaps in {s.width_mm:g} mm leave slats of "
            f"{s.slat_width_mm:.0f} mm. Fewer slats, smaller gaps, or a wider top.",
        )
    for field, label, room in (
        ("overhang_end_mm", "ends", s.frame_length_mm - 2 * s.leg_mm),
        ("overhang_side_mm", "sides", s.frame_width_mm - 2 * s.leg_mm),
    ):
        if room < 60:
            raise SizeRefused(
                field,
                f"With that overhang at the {label} only {max(room, 0):.0f} mm are left between the "
                "legs; an apron needs 60 mm. Less overhang, thinner legs, or a larger top.",
            )
    lies = s.slat_width_mm - s.overhang_side_mm - s.apron_setback_mm
    if lies < LEAST_ON_MM:
        most = s.slat_width_mm - s.apron_setback_mm - LEAST_ON_MM
        raise SizeRefused(
            "overhang_side_mm",
            f"The outer slats, {s.slat_width_mm:.0f} mm wide, lie by {max(lies, 0):.0f} mm on the aprons with {s.overhang_side_mm:g} mm beyond the legs; "
            f"{LEAST_ON_MM:g} mm at least. Give {max(math.floor(most), 0)} mm or less, or fewer and wider slats.",
        )
    if s.apron_setback_mm + s.apron_thickness_mm > s.leg_mm:
        raise SizeRefused(
            "apron_thickness_mm",
            f"An apron of {s.apron_thickness_mm:g} mm set back {s.apron_setback_mm:g} mm does not "
            f"fit on a {s.leg_mm:g} mm leg. A thicker leg, or less setback.",
        )
    if s.bearer_width_mm > s.apron_width_mm:
        raise SizeRefused(
            "bearer_width_mm",
            f"Bearers {s.bearer_width_mm:g} mm deep hang below aprons of {s.apron_width_mm:g} mm. "
            "Shallower bearers or deeper aprons.",
        )
    under = s.leg_length_mm - s.apron_width_mm
    if s.lower_rail_height_mm and s.lower_rail_height_mm + s.lower_rail_width_mm > under - 40:
        raise SizeRefused(
            "lower_rail_height_mm",
            f"Lower rails up to {s.lower_rail_height_mm + s.lower_rail_width_mm:g} mm run into the "
            f"aprons, which end {under:g} mm above the floor. Set them lower.",
        )
    clear = s.frame_length_mm - 2 * max(s.apron_setback_mm + s.apron_thickness_mm, s.leg_mm)
    first, second = _bearer_centres_mm(s)[:2]
    if second - first < s.bearer_thickness_mm + 10 or s.bearer_count * s.bearer_thickness_mm + (s.bearer_count + 1) * 10 > clear:
        raise SizeRefused(
            "bearer_count",
            f"{s.bearer_count} bearers of {s.bearer_thickness_mm:g} mm do not fit in {max(clear, 0):.0f} mm "
            "between the legs. Fewer or thinner bearers.",
        )


_MADE_BY = {
    "leg": ("leg_mm", "leg_mm"), "apron": ("apron_width_mm", "apron_thickness_mm"),
    "bearer": ("bearer_width_mm", "bearer_thickness_mm"), "middle rail": ("bearer_width_mm", "bearer_thickness_mm"),
    "lower rail": ("lower_rail_width_mm", "lower_rail_thickness_mm"),
    "stretcher": ("lower_rail_width_mm", "lower_rail_thickness_mm"),
}
"""The sizes that make a member's width and thickness, by its role."""


def _bearer_centres_mm(s: _Sizes) -> list[float]:
    """Middle of each bearer along the piece, evenly spread, the outer ones just inside the legs."""
    inner = s.frame_length_mm / 2 - s.leg_mm
    outer = inner - s.bearer_thickness_mm / 2 - min(30.0, inner / 8)
    step = 2 * outer / (s.bearer_count - 1)
    return [-outer + i * step for i in range(s.bearer_count)]


def _members(s: _Sizes, letter: str, timber: str) -> list[Member]:
    out: list[Member] = []

    def add(code, name, role, l, w, t, placement, rank):
        out.append(
            Member(f"{letter}-{code}", name, role, timber, l, w, t, placement, s.arris_mm, rank)
        )

    fx, fy = s.frame_length_mm / 2, s.frame_width_mm / 2
    legs = (
        ("L1", "leg, front left", -fx, -fy), ("L2", "leg, front right", fx - s.leg_mm, -fy),
        ("L3", "leg, back right", fx - s.leg_mm, fy - s.leg_mm), ("L4", "leg, back left", -fx, fy - s.leg_mm),
    )
    for code, name, x, y in legs:
        add(code, name, "leg", s.leg_length_mm, s.leg_mm, s.leg_mm,
            Placement((x, y, 0.0), UP, (1.0, 0.0, 0.0)), "show")

    def rails(codes, role, names, z, width, thickness, setback, sides):
        """Four (or two) rails between the legs, their outer faces outwards."""
        t, b = thickness, setback
        spots = {
            "front": ((-fx + s.leg_mm, -fy + b + t, z), (1.0, 0.0, 0.0), 2 * fx - 2 * s.leg_mm),
            "back": ((fx - s.leg_mm, fy - b - t, z), (-1.0, 0.0, 0.0), 2 * fx - 2 * s.leg_mm),
            "right": ((fx - b - t, -fy + s.leg_mm, z), (0.0, 1.0, 0.0), 2 * fy - 2 * s.leg_mm),
            "left": ((-fx + b + t, fy - s.leg_mm, z), (0.0, -1.0, 0.0), 2 * fy - 2 * s.leg_mm),
        }
        for code, name, side in zip(codes, names, sides):
            origin, along, length = spots[side]
            add(code, name, role, length, width, t, Placement(origin, along, UP), "show")

    top = s.leg_length_mm
    rails(
        ("A1", "A2", "A3", "A4"), "apron",
        ("apron, front", "apron, back", "apron, right end", "apron, left end"),
        top - s.apron_width_mm, s.apron_width_mm, s.apron_thickness_mm, s.apron_setback_mm,
        ("front", "back", "right", "left"),
    )
    inner_y = fy - s.apron_setback_mm - s.apron_thickness_mm
    for i, x in enumerate(_bearer_centres_mm(s), 1):
        add(f"B{i}", f"bearer {i}", "bearer", 2 * inner_y, s.bearer_width_mm, s.bearer_thickness_mm,
            Placement((x - s.bearer_thickness_mm / 2, -inner_y, top - s.bearer_width_mm), (0.0, 1.0, 0.0), UP),
            "hidden")
    inner_x = fx - s.apron_setback_mm - s.apron_thickness_mm
    if s.middle_rail:
        add("M1", "middle rail", "middle rail", 2 * inner_x, s.bearer_width_mm, s.bearer_thickness_mm,
            Placement((-inner_x, s.bearer_thickness_mm / 2, top - s.bearer_width_mm), (1.0, 0.0, 0.0), UP),
            "hidden")
    if s.lower_rail_height_mm:
        middle = (s.leg_mm - s.lower_rail_thickness_mm) / 2
        rails(
            ("R1", "R2"), "lower rail", ("lower rail, right end", "lower rail, left end"),
            s.lower_rail_height_mm, s.lower_rail_width_mm, s.lower_rail_thickness_mm, middle,
            ("right", "left"),
        )
        reach = fx - middle - s.lower_rail_thickness_mm
        add("T1", "stretcher", "stretcher", 2 * reach, s.lower_rail_width_mm, s.lower_rail_thickness_mm,
            Placement((-reach, s.lower_rail_thickness_mm / 2, s.lower_rail_height_mm), (1.0, 0.0, 0.0), UP),
            "show")
    for i in range(s.slat_count):
        y = -s.width_mm / 2 + i * (s.slat_width_mm + s.gap_made_mm)
        add(f"S{i + 1}", f"slat {i + 1}", "slat", s.length_mm, s.slat_width_mm, s.slat_thickness_mm,
            Placement((-s.length_mm / 2, y, top), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), "show")
    return out


# ---------------------------------------------------------------- joints


def _joints(by_ref, letter, s: _Sizes, changed) -> list[Joint]:
    def at(code):
        return by_ref[f"{letter}-{code}"]

    made: list[Joint] = []

    def tenons(family, rail, ends, room, at_leg_end):
        """The same tenon at both ends of a rail."""
        for end, post in zip(("start", "end"), ends):
            made.append(
                proportioned(family, at(rail), end, at(post), room_mm=room,
                             at_leg_end=at_leg_end, changed=changed.get(family))
            )

    apron_room = _room_in_leg_mm(s, at("A1").thickness_mm, s.apron_setback_mm)
    tenons("apron into leg", "A1", ("L1", "L2"), apron_room, True)
    tenons("apron into leg", "A2", ("L3", "L4"), apron_room, True)
    tenons("apron into leg", "A3", ("L2", "L3"), apron_room, True)
    tenons("apron into leg", "A4", ("L4", "L1"), apron_room, True)
    into_apron = _stopped_room_mm(at("A1").thickness_mm)
    for i in range(1, s.bearer_count + 1):
        tenons("bearer into apron", f"B{i}", ("A1", "A2"), into_apron, False)
    if s.middle_rail:
        tenons("middle rail into apron", "M1", ("A4", "A3"), into_apron, False)
        for i in range(1, s.bearer_count + 1):
            made.append(
                CrossHalving(
                    "bearer over middle rail", at(f"B{i}").ref, at("M1").ref,
                    **_only_known(CrossHalving, changed.get("bearer over middle rail", {})),
                )
            )
    if s.lower_rail_height_mm:
        room = _stopped_room_mm(s.leg_mm)
        tenons("lower rail into leg", "R1", ("L2", "L3"), room, False)
        tenons("lower rail into leg", "R2", ("L4", "L1"), room, False)
        tenons("stretcher into lower rail", "T1", ("R2", "R1"), _stopped_room_mm(at("R1").thickness_mm), False)
    return made


def _only_known(kind, changed: dict[str, float]) -> dict[str, float]:
    for name in changed:
        if name not in kind.changeable:
            raise ValueError(f"A {kind.kind} has no {name!r}. It has: {', '.join(kind.changeable)}.")
    return changed


def _stopped_room_mm(depth_mm: float) -> float:
    """How deep a stopped mortise may go: two thirds, and a wall left beyond it. [mm]"""
    return min(2 / 3 * depth_mm + MORTISE_DEEPER_MM, depth_mm - LEAST_WALL_MM)


def _room_in_leg_mm(s: _Sizes, apron_thickness_mm: float, setback_mm: float) -> float:
    """Depth before the mortise meets the one cut from the neighbouring face of the leg. [mm]"""
    tenon = nearest_chisel(apron_thickness_mm / 3)
    other = setback_mm + (apron_thickness_mm + tenon) / 2
    return min(_stopped_room_mm(s.leg_mm), s.leg_mm - other - LEAST_BETWEEN_MM)


TWO_IN_SOFT_MM = 55.0
"""From here on a slat of soft timber has two screws on each bearer; a judgement of ours."""
STOUT_SLAT_MM = 32.0
"""From here on slats take screws of 6 mm; a judgement of ours."""
TWO = f"from below; {TWO_HOLES}"
ONE = "from below, on the slat's middle"


def _on_mm(under: Member, slat: Member) -> float:
    """How far a slat's width lies on what is under it. [mm]"""
    a, b = under.piece_box, slat.piece_box
    return min(a.hi[1], b.hi[1]) - max(a.lo[1], b.lo[1])


def _screws(members: list[Member], s: _Sizes, stouter: float) -> list[Screws]:
    """From below through each bearer; an outer slat that no bearer reaches far enough under is held along its apron. In a timber that takes
    ``stouter`` sections threads hold less: thicker screws there, and more of them.
    """
    bearers = [m for m in members if m.role == "bearer"]
    aprons = [m for m in members if m.role == "apron" and abs(m.placement.along[0]) > 0.7]
    into_slat = 0.7 * s.slat_thickness_mm

    def thick(under: Member) -> float:
        """As thick as keeps three diameters from either edge of what is bored through, with four of thread in the slat. [mm]"""
        return next((d for d in ((6.0,) if s.slat_thickness_mm >= STOUT_SLAT_MM or stouter > 1 else ()) + (5.0, 4.5, 4.0, 3.5) if 6 * d <= under.thickness_mm and 4 * d <= into_slat), 3.0)

    def screws(under: Member, sl: Member, count: int, how: str) -> Screws:
        length = _up_to(into_slat + min(25.0, under.width_mm - 10), 5)
        return Screws(f"slat on {under.role}", under.ref, sl.ref, count, thick(under), length, how)

    out = []
    for sl in (m for m in members if m.role == "slat"):
        on = []
        for b in bearers:
            lies, d = _on_mm(b, sl), thick(b)
            if lies < 6 * d:
                continue
            two = s.slat_width_mm >= (70 if stouter == 1 else TWO_IN_SOFT_MM) and lies >= 11 * d
            on.append(placed(screws(b, sl, 2 if two else 1, TWO if two else ONE), b, sl))
        along = [
            placed(screws(a, sl, math.ceil(max(2, len(bearers), round(a.length_mm / ALONG_MM)) * stouter**3 - 1e-6), "from below, let in"), a, sl, members)
            for a in aprons if _on_mm(a, sl) >= 6 * thick(a)
        ] if not any(f.row for f in on) else []
        out += [f for f in along if f.row] or on
    return out


# ---------------------------------------------------------------- fit to people and place


def _table_fit(piece: Piece, s: _Sizes, brief: Brief) -> list[Finding]:
    if is_low(brief, s.height_mm):
        return []
    mix = Mix(brief.share_women)
    clear = s.leg_length_mm - s.apron_width_mm
    suits = share_below("top of knee height", clear - SHOE_MM, mix)
    sides = a_side(brief)
    found = [
        from_ratio(
            "knees", "room under the apron", percentile_mm("top of knee height", 95, mix) + SHOE_MM,
            clear, "mm", rule="95 of 100 diners, in shoes, sit with knees under the apron",
            source=BODY, mend="Shallower aprons, thinner slats, or a higher table.", stage="sizes",
            look_again_from=1.0,
            says=f"{clear:.0f} mm clear suits {100 * suits:.0f} of 100 diners",
        )
    ]
    if sides:
        each = (s.frame_length_mm - 2 * s.leg_mm) / sides
        found.append(
            from_ratio(
                "places", "width between the legs for each diner", 530, each, "mm",
                rule="530 mm each at the tightest, 600 mm usual", source="dining planning rules, 530 to 635 mm (21 to 25 in.)",
                mend="Lengthen the table, or move the legs nearer its ends.", stage="sizes",
                look_again_from=530 / 600, says=f"{each:.0f} mm each for {sides} a side",
            )
        )
    if brief.wheelchair:
        chair, source = wheelchair_knees(brief.wheelchair_knees_mm)
        found.append(
            from_ratio(
                "wheelchair", "knee clearance", chair, clear, "mm", rule=f"{chair:.0f} mm clear under the apron",
                source=source, mend="Raise the table or use shallower aprons.",
                stage="sizes", look_again_from=1.0, says=f"{clear:.0f} mm of room under it, {chair:.0f} mm wanted",
            )
        )
    return found


def _heels(s: _Sizes, users: Users) -> Finding:
    """Whether heels rest on the floor, of those who use it; a seat no higher than these people's own rules propose is meant so."""
    said = seat_height(users, at=min(max(s.height_mm, 150.0), 900.0))
    lifted = 1 - (said.suits_share or 0.0)
    found = from_ratio(
        "feet", "heels on the floor", lifted, 0.75, "of people", rule="no more than three in four have their heels lifted, unless a higher seat is asked for", source=BODY,
        mend="Lower the seat.", stage="sizes", look_again_from=0.8, says=f"in shoes, {said.says}",
    )
    return replace(found, verdict=Verdict.STANDS, mend="") if s.height_mm <= said.proposed else found


def _stool_fit(piece: Piece, s: _Sizes, brief: Brief) -> list[Finding]:
    mix = Mix(brief.share_women)
    hips = share_below("hip breadth", s.length_mm, mix)
    return [
        _heels(s, users_of(brief)),
        from_ratio(
            "hips", "width of the seat", percentile_mm("hip breadth", 50, mix), s.length_mm, "mm",
            rule="wider than the middle person's hips", source=BODY, mend="Lengthen the seat.",
            stage="sizes", look_again_from=1.0,
            says=f"{s.length_mm:.0f} mm suits the hips of {100 * hips:.0f} of 100 people",
        ),
    ]
