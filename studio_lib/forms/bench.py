"""A bench: backless, with a raked back, or with back and arms; its seat slatted or of solid boards."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from studio_lib.brief.refusals import HEADS_MM
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.beside import Here
from studio_lib.forms.changes import assembled
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
    sound_shaping,
    tips_at_edge,
    tips_backwards,
    up_to,
)
from studio_lib.forms.space import room_findings
from studio_lib.forms.thin import thin_refused
from studio_lib.people.proposals import (
    Proposed,
    arm_height,
    back_angle,
    back_taller,
    bench_width_per_person,
    seat_depth,
    seat_height,
)
from studio_lib.people.users import Users, people_words
from studio_lib.piece import Joint, Member, Piece, Placement, Screws
from studio_lib.piece.angles import cut_to
from studio_lib.piece.crank import Cranked
from studio_lib.piece.top_fixing import FROM_EDGE_MM
from studio_lib.structure.loads import Load

FOR_ONE_MM = 800.0
"""A bench with less between its arms is a seat for one; judgement of ours."""
ARM_MM, ARM_WIDE_MM = 40.0, 76.0
"""Thickness and width of an arm: its tenon, a third of it, holds the post when someone leans back; judgement of ours."""
ARMED_SLAT_MM, USUAL_LEG_MM = 76.0, 62.0
"""A slat and its gap under arms, on legs stouter than usual: where the front one stops between the legs, each is screwed twice."""
BACKS = ("no back", "a back", "a back and arms")
SEATS = ("slats", "solid boards")
FILLS = ("upright slats", "rails along")
SITTING = ("shoulders free", "close at times")
COUNTED_MM = 455.0
"""Of a bench for each grown person, 18 in, as stands are counted; from memory. Less is too tight for anybody."""
BEHIND_MM = 8.0
"""The back's rails stand so far behind the front of the posts; judgement of ours."""
RAIL_GAP_MM, RAIL_GAP_OFF_MM, LEAST_RAIL_GAP_MM = 50.0, 30.0, 8.0
"""Between rails along a back: proposed, how far off it may be, and at the least; judgements of ours."""
SEAT_FREE_MM = 3.0
"""Between the seat and the posts; common practice, no source."""
ADA_BACK = f"2010 ADA Standards 903.4 (at least 455 mm where it must comply); otherwise {JUDGEMENT}"
TWO_SCREWS_MM = 90.0
"""A board so wide is held by two screws on each rail; common practice, no source."""
SLOT_EACH_MM = 0.026
"""Room in a slot for each mm of board between it and the middle of the seat; a judgement of ours, over what oak moves indoors."""
LEAST_BOARD_MM = 30.0
"""A board of a solid seat is held by a screw in it; common practice, no source."""
LONGEST_BACK_MM, LONGEST_SEAT_MM = {"household": 1250.0, "public": 1050.0}, 1900.0
"""Widest bay proposed between legs, with a back and without; judgements of ours from the checks of strength."""
WITHOUT_BACK = ("backless", "no back", "without a back", "without back", "slides under", "slide under")
"""Words of a brief by which a bench has no back."""
SAT_DOWN_ON = re.compile(r"\b(?:pull(?:ing)? on|put(?:ting)? on|take off|taking off|boots|shoes|mud ?room|changing room|foot of (?:the|our|a) bed)\b", re.IGNORECASE)
"""What one sits down for a moment: no back unless one is asked for; judgement of ours."""
A_BACK = re.compile(r"\b(?:back ?rest|with a back|lean(?:s|ing)? back|a back\b)", re.IGNORECASE)
KEPT_UNDER = re.compile(r"\b(?:room|space|place)\s+(?:under|underneath|below|beneath)\b|\b(?:under|underneath|below|beneath) (?:it|the seat|the bench|them)\b[^.;]{0,20}\bfor\b", re.IGNORECASE)
"""That something goes under the seat: no rail stands in its way."""
LEAST_RAIL_MM = 30
"""A rail that tenons of 10 mm are cut on, a third of it; a judgement of ours from the checks of joints."""
SLAT_SPAN_MM = 330.0
"""No slat of a seat spans more than about this; a judgement of ours from the checks of sag."""
LONGEST_MM = 2200.0
"""Longest bench proposed on four legs; a judgement of ours."""
ON_MM = 12.0
"""A slat lies on what it is screwed to by this at least; common practice, no source."""
END_RAIL_MM = 20.0
"""From the top of a post down to the top rail of the back."""


@dataclass(frozen=True)
class _S:
    length_mm: float
    depth_mm: float
    height_mm: float
    back: int
    seat: int
    fill: int
    board_count: int
    gap_mm: float
    seat_thickness_mm: float
    overhang_end_mm: float
    overhang_front_mm: float
    leg_mm: float
    apron_width_mm: float
    apron_thickness_mm: float
    apron_setback_mm: float
    middle_frames: int
    bearer_count: int
    bearer_thickness_mm: float
    lower_rail_height_mm: float
    lower_rail_width_mm: float
    back_height_mm: float
    back_angle_deg: float
    back_rail_mm: float
    back_thickness_mm: float
    back_count: int
    back_slat_mm: float
    arm_height_mm: float
    arm_width_mm: float
    arm_thickness_mm: float
    arris_mm: float
    sitting: int

    @property
    def slatted(self) -> bool:
        return self.seat == 0

    @property
    def has_back(self) -> bool:
        return self.back > 0

    @property
    def arms(self) -> bool:
        return self.back == 2

    @property
    def post_front(self) -> float:
        """Front of the back posts (or, without a back, of the back legs), from the front of the seat. [mm]"""
        return self.depth_mm - BEHIND_MM if self.has_back else self.depth_mm - self.overhang_front_mm - self.leg_mm

    @property
    def seat_depth(self) -> float:
        """Depth of the seat's own timber. [mm]"""
        return self.post_front - SEAT_FREE_MM if self.has_back else self.depth_mm

    @property
    def board(self) -> tuple[float, float]:
        if not self.slatted:
            return self.seat_depth / self.board_count, 0.0
        return slat_width(self.seat_depth, self.board_count, self.gap_mm)

    @property
    def leg_top(self) -> float:
        return self.height_mm - self.seat_thickness_mm

    @property
    def half(self) -> float:
        """From the middle to the outer face of the legs. [mm]"""
        return self.length_mm / 2 - self.overhang_end_mm

    @property
    def bays(self) -> list[tuple[float, float]]:
        """From leg to leg along the bench, left to right. [mm]"""
        n, inner = self.middle_frames + 1, self.half - self.leg_mm
        wide = (2 * inner - self.middle_frames * self.leg_mm) / n
        return [(-inner + k * (wide + self.leg_mm), -inner + k * (wide + self.leg_mm) + wide) for k in range(n)]

    @property
    def bay_mm(self) -> float:
        """Clear between two legs. [mm]"""
        low, high = self.bays[0]
        return high - low

    @property
    def between_arms_mm(self) -> float:
        """Length to sit on: all of it, or between the front legs where they carry arms. [mm]"""
        return 2 * (self.half - self.leg_mm) if self.arms else self.length_mm

    @property
    def slope(self) -> float:
        return math.tan(math.radians(self.back_angle_deg))

    @property
    def cos(self) -> float:
        return math.cos(math.radians(self.back_angle_deg))


SIZES = (
    Size("length_mm", "Length", 350, 3000),
    Size("depth_mm", "Depth of seat", 220, 650),
    Size("height_mm", "Height of seat", 180, 720),
    choice("back", "Back and arms", BACKS),
    choice("seat", "Seat", SEATS, "seat"),
    choice("sitting", "They sit", SITTING, given=True),
    Size("board_count", "Slats or boards", 1, 20, "", "seat", True),
    Size("gap_mm", "Gap between slats", 0, 30, "mm", "seat"),
    Size("seat_thickness_mm", "Seat thickness", 14, 60, "mm", "seat"),
    Size("overhang_end_mm", "Seat beyond legs, ends", 0, 300, "mm", "seat"),
    Size("overhang_front_mm", "Seat beyond legs, front", 0, 80, "mm", "seat"),
    Size("leg_mm", "Legs, square", 35, 110, "mm", "frame"),
    Size("apron_width_mm", "Seat rail width (depth)", 40, 160, "mm", "frame"),
    Size("apron_thickness_mm", "Seat rail thickness", 18, 50, "mm", "frame"),
    Size("apron_setback_mm", "Seat rail behind leg's face", 0, 20, "mm", "frame"),
    Size("middle_frames", "Pairs of legs between the ends", 0, 2, "", "frame", True),
    Size("bearer_count", "Bearers under the seat, in each bay", 0, 9, "", "frame", True),
    Size("bearer_thickness_mm", "Bearer thickness", 18, 50, "mm", "frame"),
    Size("lower_rail_height_mm", "Lower rails up, 0 for none", 0, 400, "mm", "frame"),
    Size("lower_rail_width_mm", "Lower rail width", 25, 90, "mm", "frame"),
    Size("arris_mm", "Arris taken off", 0, 8, "mm", "frame"),
    Size("back_height_mm", "Back above the seat", 250, 800, "mm", "back"),
    Size("back_angle_deg", "Back leans off upright", 0, 25, "degrees", "back"),
    choice("fill", "Back filled with", FILLS, "back"),
    Size("back_rail_mm", "Back rail width", 40, 140, "mm", "back"),
    Size("back_thickness_mm", "Back rail thickness", 18, 60, "mm", "back"),
    Size("back_count", "Slats in each bay, or rails between", 0, 40, "", "back", True),
    Size("back_slat_mm", "Back slat width", 25, 140, "mm", "back"),
    Size("arm_height_mm", "Arms above the seat", 120, 320, "mm", "arms"),
    Size("arm_width_mm", "Arm width", 35, 120, "mm", "arms"),
    Size("arm_thickness_mm", "Arm thickness", 20, 50, "mm", "arms"),
)

MADE_BY = {
    "leg": ("leg_mm", "leg_mm"), "seat rail": ("apron_width_mm", "apron_thickness_mm"),
    "bearer": ("apron_width_mm", "bearer_thickness_mm"), "lower rail": ("lower_rail_width_mm", "apron_thickness_mm"),
    "stretcher": ("lower_rail_width_mm", "apron_thickness_mm"), "back rail": ("back_rail_mm", "back_thickness_mm"),
    "back slat": ("back_slat_mm", "back_thickness_mm"), "arm": ("arm_width_mm", "arm_thickness_mm"),
}


class Bench(Form):
    """Legs and rails; the back legs run on, cranked, as posts; arms on the front legs."""

    name = "bench"
    overall = ("length_mm", "depth_mm", "height_mm")
    stouter_in_soft = ("leg_mm", "seat_thickness_mm", "apron_width_mm", "apron_thickness_mm", "bearer_thickness_mm", "lower_rail_width_mm", "back_thickness_mm", "arm_width_mm", "arm_thickness_mm")
    called = ("long", "deep")
    sizes = SIZES
    says = "Backless, with a raked back, or with back and arms; slatted or solid seat, indoors or out."

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        return _proposals(brief, around, chosen)

    def kept_within(self, limits_mm, sizes):
        """With a back the posts reach back and up past the seat: the seat is so much less deep, and the back less high."""
        s = _S(**sizes)
        long, deep, high = limits_mm
        out = {"length_mm": long} if long is not None else {}
        if deep is not None:
            out["depth_mm"] = deep - (s.post_front + s.leg_mm + s.back_height_mm * s.slope - s.depth_mm if s.has_back else 0.0)
        if high is not None and s.has_back and s.height_mm + 250 <= high:
            out["back_height_mm"] = high - s.height_mm
        elif high is not None:
            out["height_mm"] = high - (250.0 if s.has_back else 0.0)
            out |= {"back_height_mm": 250.0} if s.has_back else {}
        return out

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _S(**sizes)
        _refuse(s)
        members, overall = _members(s, letter, around.timber)
        sound_shaping(members, "back_angle_deg")
        laid = {m.ref: m for m in members}
        return assembled(
            name=name, form=self.name, letter=letter, members=members,
            lay_joints=lambda by_ref, own: _joints(s, Joiner(by_ref, letter, own, laid)), changes=adjustments,
            own=joints,
            lay_fixings=lambda present: _fixings(s, present), check=thin_refused(MADE_BY), timber=around.timber,
            overall_mm=overall,
        )

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        filled = ("back_count",) if sizes["back"] and sizes["fill"] == 1 else ()
        drains = ("seat",) if brief.place.startswith("outdoors") else ()
        leant = ("back",) if brief.frail else ()  # who rises hard keeps the arms
        return ("bearer_count", "middle_frames", *filled, *drains, *leant)

    def slats(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        s = _S(**sizes)
        return (*s.board, s.seat_thickness_mm) if s.slatted and s.board_count > 1 else None

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        s = _S(**sizes)
        found = []
        if s.has_back:
            low, high = _back_span(s)
            inner = s.bay_mm
            bottom = low
            found.append(("between seat and back", inner, bottom))
            if s.fill == 0 and s.back_count:
                gap = (inner - s.back_count * s.back_slat_mm) / (s.back_count + 1)
                found.append(("between the back's slats", gap, high - low - 2 * s.back_rail_mm))
            else:
                n = s.back_count if s.fill == 1 else 0
                found.append(("between the back's rails", inner, (high - low - (n + 2) * s.back_rail_mm) / (n + 1)))
        if s.arms:
            found.append(("under the arm", s.post_front - s.overhang_front_mm - s.leg_mm,
                    s.arm_height_mm - s.arm_thickness_mm))
        if s.lower_rail_height_mm:
            under = s.leg_top - s.apron_width_mm - s.lower_rail_height_mm - s.lower_rail_width_mm
            found.append(("side, between the rails", s.post_front - s.overhang_front_mm - s.leg_mm, under))
        return found

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        s = _S(**sizes)
        people = max(min(users.count, 40), 1)
        out = {
            "height_mm": seat_height(users, at=s.height_mm),
            "depth_mm": seat_depth(users, backless=not s.has_back, at=s.depth_mm),
        }
        each = s.between_arms_mm / people
        if 200 <= each <= 1500:
            out["length_mm"] = bench_width_per_person(people, "close", users, at=each)
        if s.arms:
            out["arm_height_mm"] = arm_height(users, at=s.arm_height_mm)
        if s.has_back:
            out["back_angle_deg"] = back_angle("everyday", at=s.back_angle_deg)
        return out

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return _fit(piece, _S(**sizes), brief)

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        return _fit(piece, _S(**sizes), brief, loads.get("edge"))


# ---------------------------------------------------------------- proposals


def _proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    def own(name, otherwise):
        return chosen.get(name, otherwise)

    users = users_of(brief)
    outdoors = brief.place.startswith("outdoors")
    clothes = "outdoors" if outdoors else "indoors"
    chunky = {"chunky": 1.12, "light": 1.0 if brief.use == "public" else 0.94}.get(brief.heft, 1.0)
    words = f"{brief.asked} {brief.carries}"
    backless = not users.adults or any(w in words.lower() for w in WITHOUT_BACK) or (SAT_DOWN_ON.search(words) and not A_BACK.search(words) and not outdoors)
    usual_back = 2 if brief.frail else 0 if backless and not (outdoors and users.adults == 0) else 1
    back, seat = own("back", usual_back), own("seat", 0 if outdoors else 1)
    tall = seat_height(users)
    deep = seat_depth(users, backless=not back)
    each = bench_width_per_person(min(users.count, 40), "close", users, clothes)
    benches, sit = _shared_out(brief, users, each.value)
    each = bench_width_per_person(sit, "close", users, clothes)
    leg = own("leg_mm", float(max(round(60.0 * chunky), 60 if brief.use == "public" else 0)))
    over_end = own("overhang_end_mm", 0.0 if back == 2 else 40.0)
    length = min(max(up_to(each.value * sit + (2 * (leg + over_end) if back == 2 else 0.0), 10), 350.0), LONGEST_MM + 2 * (leg + over_end))
    begun = " (where every brief begins)" if brief.people == Brief.model_fields["people"].default else ""
    why = f"{people_words(users.count)}{begun}, {each.value:.0f} mm each: {each.decided_by}"
    if benches > 1:
        why = f"{sit} of {users.count} people{begun}, {each.value:.0f} mm each: {benches} benches for all; {each.decided_by}"
    long, depth, height = own("length_mm", length), own("depth_mm", deep.value), own("height_mm", tall.value)
    armed_least = (24 if seat == 0 else 30 if brief.use == "public" else 28) if back == 2 else 0
    thick = own("seat_thickness_mm", float(max(round((24.0 if seat == 0 else 28.0) * chunky), armed_least)))
    front = own("overhang_front_mm", 0.0 if back == 2 else 20.0)
    seat_size = depth - (BEHIND_MM + SEAT_FREE_MM if back else 0.0)
    boards = max(2, round(seat_size / ((max(ARMED_SLAT_MM, leg + SEAT_FREE_MM) if back == 2 and leg > USUAL_LEG_MM else 68) if seat == 0 else 118)))
    swelling = around.swell_fraction * seat_size / own("board_count", boards)
    apron = own("apron_width_mm", min((95.0 if back else 90.0) + (10.0 if brief.use == "public" else 0.0), max(40.0, float(round(0.24 * height)))))
    setback = own("apron_setback_mm", 2.0 if brief.heft == "light" else 4.0)
    apron_t = own("apron_thickness_mm", float(max(18, min(max(round(0.42 * leg), LEAST_RAIL_MM), math.floor(leg - setback)))))
    clear = long - 2 * over_end - 2 * leg
    longest = LONGEST_SEAT_MM if not back else LONGEST_BACK_MM[brief.use]
    middles = int(own("middle_frames", max(0, min(2, math.ceil(clear / longest) - 1))))
    clear = (clear - middles * leg) / (middles + 1)
    bearers = max(0, math.ceil(clear / (SLAT_SPAN_MM if seat == 0 else BEARER_EVERY_MM)) - 1)
    angle = back_angle("everyday" if not brief.frail else "upright")
    arm = arm_height(users)
    inner = max(clear, 50.0)
    back_thick = float(max(18, min(42, math.floor(leg - BEHIND_MM - 6))))
    slat = own("back_slat_mm", 50.0)
    fill = own("fill", 0)
    usual_h = up_to(420.0 * back_taller(users), 5) if height > 350 else 320.0
    back_h = own("back_height_mm", usual_h)
    count = 0.0
    if fill == 0:
        pitch = slat + 45.0
        count = float(max(1, min(40, round((inner - 45) / pitch))))
        count = min(count, float(max(math.floor((inner - 10) / (slat + 10)), 0)))
    rail = min(up_to(60.0 * max(clear / LONGEST_BACK_MM[brief.use], 1.0), 5), 110.0) if fill else 60.0
    known = dict(
        height_mm=height, leg_mm=leg, back_height_mm=back_h, back_angle_deg=own("back_angle_deg", angle.value), fill=fill,
        back_rail_mm=own("back_rail_mm", rail), arm_thickness_mm=own("arm_thickness_mm", ARM_MM),
        back_thickness_mm=own("back_thickness_mm", back_thick),
    )
    arm_value = arm.value
    arm_thick, young = own("arm_thickness_mm", ARM_MM), brief.near_children
    if back == 2 and young and HEADS_MM[0] < arm_value - arm_thick <= HEADS_MM[1]:
        arm_value = HEADS_MM[1] + arm_thick + 2.0
    wanted_arm = arm_value
    high_enough = usual_h
    if fill and back:
        heights = [back_h] if "back_height_mm" in chosen else [usual_h + k for k in range(0, 121, 10)]
        counts = [int(chosen["back_count"])] if "back_count" in chosen else None
        filled = [f for h in heights if (f := _filled(known | {"back_height_mm": h}, wanted_arm if back == 2 else None, counts))]
        _, count, arm_value, high_enough = next((f for f in filled if f[0] <= RAIL_GAP_OFF_MM), filled[0] if filled else (0, 0.0, arm_value, usual_h))
        known["back_height_mm"] = own("back_height_mm", high_enough)
        if back < 2:
            arm_value = wanted_arm
    elif back == 2:
        arm_value = _arm_between(wanted_arm, known | {"back_count": int(own("back_count", count))}) or arm_value
    gaps = _rail_gap(known, count) if fill else (inner - count * slat) / (count + 1)
    wide = own("lower_rail_width_mm", (70.0 if brief.use == "public" else 60.0) if back and height > 350 else 40.0)
    lower = min(110.0, max(height - thick - apron - 90.0 - wide, 0.0))
    if lower and HEADS_MM[0] < height - thick - apron - lower - wide <= HEADS_MM[1]:
        lower = height - thick - apron - wide - (HEADS_MM[0] - 4.0)
    kept_under = not back and KEPT_UNDER.search(words) is not None
    if lower < 40 or kept_under:
        lower = 0.0
    return {
        "length_mm": Proposal(length, why, each.source),
        "depth_mm": Proposal(deep.value, deep.decided_by, deep.source),
        "height_mm": Proposal(tall.value, tall.decided_by, tall.source),
        "back": Proposal(usual_back, "arms help those who rise with difficulty" if usual_back == 2 else
                         "grown people sit with a back unless you say otherwise" if usual_back else "for children alone" if not users.adults else "one sits down on it for boots and shoes" if SAT_DOWN_ON.search(words) else "without a back, as asked", JUDGEMENT),
        "seat": Proposal(0 if outdoors else 1, "slats drain" if outdoors else "a closed seat indoors", JUDGEMENT),
        "sitting": Proposal(0, "choose the other where not all of them sit there every day", JUDGEMENT),
        "board_count": Proposal(boards, "slats of about 60 mm" if seat == 0 else "boards of about 115 mm stay flat",
                                JUDGEMENT if seat == 0 else PRACTICE),
        "gap_mm": gap_to_drain(swelling, brief.near_children),
        "seat_thickness_mm": Proposal(thick, around.sawn(thick), JUDGEMENT),
        "overhang_end_mm": Proposal(over_end, "the legs stand at the ends, under the arms" if back == 2 else
                                    "under 45 mm it cannot tip when sat on at the end",
                                    "EN 1022 forward test, worked by moments"),
        "overhang_front_mm": Proposal(front, "the front legs carry the arms" if back == 2 else "heels find room under "
            "the front", JUDGEMENT),
        "leg_mm": Proposal(leg, around.sawn(leg), JUDGEMENT),
        "apron_width_mm": Proposal(apron, "a tenon of five thicknesses, and heel room", JUDGEMENT),
        "apron_thickness_mm": Proposal(apron_t, "tenons a third of it: 10 mm thick, so that one of 50 mm keeps to five times its thickness", JUDGEMENT),
        "apron_setback_mm": Proposal(2.0 if brief.heft == "light" else 4.0, "a shadow line at the leg", PRACTICE),
        "middle_frames": Proposal(middles, f"one bay of {clear:.0f} mm does without, up to {longest:.0f} mm" if not middles and clear <= longest else f"no bay wider than {longest:.0f} mm: "
            + ("the back's rails bend when someone leans" if back else "the seat's rails sag"), JUDGEMENT),
        "bearer_count": Proposal(min(bearers, 9), f"no {'slat' if seat == 0 else 'board'} spans more than about {SLAT_SPAN_MM if seat == 0 else BEARER_EVERY_MM:.0f} mm", JUDGEMENT),
        "bearer_thickness_mm": Proposal(30.0, "from the same boards as the seat rails", JUDGEMENT),
        "lower_rail_height_mm": Proposal(float(round(lower)),
            "stiffens the ends" + (", too near the seat rail for a child's head") if lower else "something goes under it, in the client's words" if kept_under else "too low for lower rails", "brief" if kept_under else JUDGEMENT),
        "lower_rail_width_mm": Proposal(wide, "it takes the push on the back" if back and wide > 40 else "tenons a third thick", JUDGEMENT),
        "arris_mm": Proposal(2.0 if outdoors else 1.5, "2 to 3 mm outdoors so that finish stays on the edge" if outdoors
                             else "kind to hands and to finish", PRACTICE),
        "back_height_mm": Proposal(high_enough,
            ("to the shoulder blades" if usual_h <= 420 else f"to the shoulder blades of {users.tallest}")
            + ("" if high_enough == usual_h else ", and so high that its rails fill it") + "; an accessible bench has 455 mm or more",
                                   ADA_BACK),
        "back_angle_deg": Proposal(angle.value, angle.decided_by, angle.source),
        "fill": Proposal(0, "upright slats drain and bear on the back evenly", JUDGEMENT),
        "back_rail_mm": Proposal(rail, "bends when someone leans" + (f", over one bay of {clear:.0f} mm" if rail > 60 else "") + ("" if fill else "; carries the slats' tenons"),
            JUDGEMENT),
        "back_thickness_mm": Proposal(back_thick, "tenons of 14 mm, that bend when someone leans" if back_thick > 36 else "as the posts allow", JUDGEMENT),
        "back_count": Proposal(count, f"gaps of {gaps:.0f} mm" + (", with room for the arms' tenons between" if fill and back == 2 else ""), JUDGEMENT),
        "back_slat_mm": Proposal(50.0, "narrow enough to stay flat", JUDGEMENT),
        "arm_height_mm": Proposal(
            arm_value, arm.decided_by + ("" if wanted_arm == arm.value else ", raised so that no child's head is caught under it")
            + ("" if arm_value == wanted_arm else ", moved clear of the back's rails"),
            arm.source),
        "arm_width_mm": Proposal(max(leg, ARM_WIDE_MM), "wider than the legs: who leans back pulls on its tenon", JUDGEMENT),
        "arm_thickness_mm": Proposal(ARM_MM, "a third of it is the tenon that holds the post when someone leans back", JUDGEMENT),
    }


def shared_out(people: int, each_mm: float, long_mm: float = 0.0) -> tuple[int, int]:
    """How many benches so many people take, and how many sit on one; ``long_mm``: a seat longer than would be proposed."""
    benches = max(1, math.ceil(people * each_mm / max(LONGEST_MM, long_mm) - 1e-9))
    return benches, math.ceil(people / benches)


def _shared_out(brief: Brief, users: Users, each_mm: float, long_mm: float = 0.0) -> tuple[int, int]:
    """``shared_out``, unless the benches of the job already share the people."""
    return (1, min(users.count, 40)) if isinstance(brief, Here) and brief.shared_out else shared_out(users.count, each_mm, long_mm)


def _known(known: dict[str, float]) -> _S:
    """Sizes of which only some are known yet."""
    return _S(**({f: 0 for f in _S.__dataclass_fields__} | known))


def _rail_gap(known: dict[str, float], count: float) -> float:
    """Between the back's rails with so many between the lowest and the highest. [mm]"""
    low, high = _back_span(_known(known))
    return (high - low - (count + 2) * known["back_rail_mm"]) / (count + 1)


def _filled(known: dict[str, float], arm: float | None, counts=None) -> tuple[float, float, float, float] | None:
    """(how far from usual, rails between, height of the arms, of the back) of the back nearest to what is usual; None where none can be."""
    out = []
    for n in counts or range(7):
        h = 0.0 if arm is None else _arm_between(arm, known | {"back_count": n})
        if h is not None and _rail_gap(known, n) >= LEAST_RAIL_GAP_MM:
            out.append((abs(_rail_gap(known, n) - RAIL_GAP_MM), abs(h - (arm or 0.0)), n, h))
    if not out:
        return None
    off, aside, n, h = min(out, key=lambda f: f[0] + f[1])
    return off, float(n), h, known["back_height_mm"]


def _arm_between(wanted: float, known: dict[str, float]) -> float | None:
    """The arm height nearest to the one wanted at which arm and back rails are tenoned clear of each other. [mm]"""
    s = _known(known)
    most = min(320.0, s.back_height_mm - 60)
    free = [(max(a, 120.0), min(b, most)) for a, b in _arm_heights(s)]
    near = min((min(max(wanted, a), b) for a, b in free if b - a >= 1), key=lambda h: abs(h - wanted), default=None)
    if near is None:
        return None
    return float(math.ceil(near) if near > wanted else math.floor(near))


# ---------------------------------------------------------------- members


def _back_span(s: _S) -> tuple[float, float]:
    """From the seat along the back's face to the bottom of its lower rail and to the top of its upper. [mm]"""
    high = s.back_height_mm / s.cos - END_RAIL_MM - s.back_thickness_mm * s.slope
    high = math.floor(10 * high) / 10
    low = min(85.0, max(math.floor(10 * (high - 2 * s.back_rail_mm - 120.0)) / 10, 20.0))
    return low, high


def _refuse(s: _S) -> None:
    width, _ = s.board
    if not s.slatted and width < LEAST_BOARD_MM:
        raise SizeRefused("board_count", f"Boards {width:.0f} mm wide are too narrow to be held by a screw each way; "
            f"{LEAST_BOARD_MM:g} mm at least. "
                          f"Give {math.floor(s.seat_depth / LEAST_BOARD_MM)} or fewer.")
    if width < 20:
        raise SizeRefused("board_count", f"{s.board_count} {SEATS[s.seat]} in {s.seat_depth:.0f} mm of seat would be "
            f"{max(width, 0):.0f} mm wide; "
                          "20 mm at least. Fewer of them, or a deeper seat.")
    between = s.bay_mm
    if s.middle_frames and between < 100:
        raise SizeRefused("middle_frames", f"{s.middle_frames} pairs of legs between the ends leave bays of {max(between, 0):.0f} mm; "
                          "100 mm at least. Fewer of them, or a longer bench.")
    if between < 100:
        raise SizeRefused("overhang_end_mm", f"Only {max(between, 0):.0f} mm are left between the legs; 100 mm at "
            "least. "
                          f"{max(s.length_mm / 2 - s.leg_mm - 50, 0):.0f} mm of overhang or less, thinner legs, or a "
                          "longer bench.")
    deep = s.post_front - s.overhang_front_mm - s.leg_mm
    if deep < 60:
        raise SizeRefused("depth_mm", f"Only {max(deep, 0):.0f} mm are left between front and back legs; 60 mm at "
            "least. "
                          f"Give {s.depth_mm + 60 - deep:.0f} mm of depth or more, thinner legs, or less overhang.")
    if s.apron_setback_mm + s.apron_thickness_mm > s.leg_mm:
        raise SizeRefused("apron_thickness_mm",
            f"A seat rail of {s.apron_thickness_mm:g} mm set back {s.apron_setback_mm:g} mm does not fit on a "
                          f"{s.leg_mm:g} mm leg. Give {max(s.leg_mm - s.apron_setback_mm, 0):g} mm or less, or "
                          "thicker legs.")
    if s.leg_top < s.apron_width_mm + 60:
        raise SizeRefused("apron_width_mm", f"Seat rails {s.apron_width_mm:g} mm deep leave "
            f"{max(s.leg_top - s.apron_width_mm, 0):.0f} mm over the floor; "
                          "60 mm at least. Shallower rails, a thinner seat, or a higher bench.")
    if s.bearer_count * s.bearer_thickness_mm + (s.bearer_count + 1) * 40 > between:
        raise SizeRefused("bearer_count", f"{s.bearer_count} bearers of {s.bearer_thickness_mm:g} mm do not fit in "
            f"{between:.0f} mm between the legs. "
                          "Fewer or thinner bearers.")
    if s.lower_rail_height_mm:
        room = s.leg_top - s.apron_width_mm - 20
        if not 30 <= s.lower_rail_height_mm <= room - s.lower_rail_width_mm:
            raise SizeRefused("lower_rail_height_mm", f"Lower rails {s.lower_rail_height_mm:g} mm over the floor, "
                f"{s.lower_rail_width_mm:g} mm wide: give 0 for "
                              f"none, or 30 to {max(room - s.lower_rail_width_mm, 0):.0f} mm.")
    _refuse_loose_slats(s)
    if s.has_back:
        _refuse_back(s, between)
    if s.arms:
        if s.overhang_front_mm > 30:
            raise SizeRefused("overhang_front_mm", "With arms the front legs pass the seat's front edge; "
                f"{s.overhang_front_mm:g} mm of overhang leaves a "
                              "strip that would break off. Give 0 to 30 mm.")
        if s.arm_height_mm - s.arm_thickness_mm < 60:
            raise SizeRefused("arm_height_mm",
                f"{s.arm_height_mm - s.arm_thickness_mm:.0f} mm are left under the arm; 60 mm at least.")
        if s.arm_height_mm > s.back_height_mm - 60:
            raise SizeRefused("arm_height_mm",
                f"Arms {s.arm_height_mm:g} mm above the seat on a back of {s.back_height_mm:g} mm; "
                              f"give {s.back_height_mm - 60:.0f} mm or less, or a higher back.")
        free = _arm_heights(s)
        if not any(a <= s.arm_height_mm <= b for a, b in free):
            most = min(320.0, s.back_height_mm - 60)
            near = min((min(max(s.arm_height_mm, a), b) for a,
                    b in ((max(a, 120.0), min(b, most)) for a, b in free) if b - a >= 1),
                       key=lambda h: abs(h - s.arm_height_mm), default=None)
            to = "Give fewer rails in the back"
            if near:
                to = f"Give {math.floor(near) if near < s.arm_height_mm else math.ceil(near)} mm"
            raise SizeRefused("arm_height_mm", f"Arms {s.arm_height_mm:g} mm above the seat meet a rail of the back "
                "in the post, where their mortises "
                              f"would break into each other. {to}, or another number of rails.")
        if s.arm_width_mm > s.leg_mm + 2 * s.overhang_end_mm + 60:
            raise SizeRefused("arm_width_mm", f"An arm {s.arm_width_mm:g} mm wide on a leg of {s.leg_mm:g} mm; give "
                f"{s.leg_mm + 60:.0f} mm or less.")


def _refuse_back(s: _S, between: float) -> None:
    if BEHIND_MM + s.back_thickness_mm / s.cos > s.leg_mm - 2:
        raise SizeRefused("back_thickness_mm",
            f"The back's rails, {s.back_thickness_mm:g} mm thick, do not fit the posts, {s.leg_mm:g} mm deep. "
                          f"Give {max((s.leg_mm - 2 - BEHIND_MM) * s.cos, 0):.0f} mm or less, or thicker legs.")
    low, high = _back_span(s)
    inside = high - low - 2 * s.back_rail_mm
    if inside < 40:
        raise SizeRefused("back_height_mm", f"The back's two rails leave {max(inside, 0):.0f} mm between them; 40 mm "
            "at least. "
                          f"Give {up_to(s.back_height_mm + (40 - inside) * s.cos, 5):.0f} mm of back or more, or "
                          "narrower rails.")
    if s.fill == 0 and s.back_count:
        gap = (between - s.back_count * s.back_slat_mm) / (s.back_count + 1)
        if gap < 5:
            most = math.floor((between - 5) / (s.back_slat_mm + 5))
            raise SizeRefused("back_count", f"{s.back_count} slats of {s.back_slat_mm:g} mm in {between:.0f} mm of "
                f"back leave gaps of {gap:.0f} mm; "
                              f"5 mm at least. Give {max(most, 0)} or fewer, or narrower ones.")
    if s.fill == 1:
        gap = (inside - s.back_count * s.back_rail_mm) / (s.back_count + 1)
        if gap < LEAST_RAIL_GAP_MM:
            most = math.floor((inside - LEAST_RAIL_GAP_MM) / (s.back_rail_mm + LEAST_RAIL_GAP_MM))
            raise SizeRefused("back_count", f"{s.back_count} more rails of {s.back_rail_mm:g} mm in {inside:.0f} mm "
                f"leave gaps of {gap:.0f} mm; "
                              f"8 mm at least. Give {max(most, 0)} or fewer, or narrower ones.")


def _supports(s: _S) -> tuple[tuple[float, float], ...]:
    """What lies under the seat from front to back at its height: front rail, what runs between, back rail. [mm]"""
    a, b = s.overhang_front_mm + s.apron_setback_mm, s.post_front + s.leg_mm - s.apron_setback_mm
    t = s.apron_thickness_mm
    across = (a + t, b - t) if s.bearer_count else (s.overhang_front_mm + s.leg_mm, s.post_front)
    return ((a, a + t), across, (b - t, b))


def _refuse_loose_slats(s: _S) -> None:
    width, gap = s.board
    if not s.slatted:
        return
    for i in range(s.board_count):
        low = i * (width + gap)
        under = _supports(s)
        if s.arms and not s.bearer_count and low < s.overhang_front_mm + s.leg_mm + SEAT_FREE_MM:
            under = under[:1]  # it stops between the front legs, short of the end rails
        if max(min(low + width, b) - max(low, a) for a, b in under) < ON_MM:
            raise SizeRefused("board_count", f"Slat {i + 1}, {width:g} mm wide, lies by less than {ON_MM:g} mm on the "
                "rails and bearers under it. "
                              "Fewer and wider slats, a bearer more, or less overhang at the front.")


def _bearer_centres(s: _S) -> list[float]:
    return [a + (i + 1) * (b - a) / (s.bearer_count + 1) for a, b in s.bays for i in range(s.bearer_count)]


def _middles(s: _S) -> list[float]:
    """Left face of each leg between the ends. [mm]"""
    return [b for _, b in s.bays[:-1]]


def _end_rails(s: _S) -> list[str]:
    """Seat rails from front to back, the ends first."""
    return ["A3", "A4", *(f"A{20 + k}" for k in range(1, s.middle_frames + 1))]


def _long_rails(s: _S, k: int) -> tuple[str, str]:
    """Front and back seat rail of a bay, from 0."""
    return ("A1", "A2") if k == 0 else (f"A{3 + 2 * k}", f"A{4 + 2 * k}")


def _bay_legs(s: _S, k: int) -> tuple[tuple[str, str], tuple[str, str]]:
    """Front and back leg at the left and at the right of a bay, from 0."""
    def pair(n):
        return ("L1", "L4") if n == 0 else ("L2", "L3") if n == s.middle_frames + 1 else (f"L{3 + 2 * n}", f"L{4 + 2 * n}")

    return pair(k), pair(k + 1)


def _members(s: _S, letter: str, timber: str) -> tuple[list[Member], tuple[float, float, float]]:
    f = Frame(letter, timber, s.arris_mm)
    fx, front, back = s.half, s.overhang_front_mm, s.post_front
    leg = s.leg_mm
    arm_under = s.height_mm + s.arm_height_mm - s.arm_thickness_mm
    for code, name, x, hand in (("L1", "leg, front left", -fx, "left"), ("L2", "leg, front right", fx - leg, "right")):
        f.add(code, name, "leg", arm_under if s.arms else s.leg_top, leg, leg, Placement((x, front, 0.0), Z, X),
            hand=hand)
    for n, x in enumerate(_middles(s), 1):
        f.add(f"L{3 + 2 * n}", f"leg, front middle{f' {n}' if s.middle_frames > 1 else ''}", "leg", s.leg_top, leg, leg, Placement((x, front, 0.0), Z, X))
    # Back legs: along up, across to the back, so that a crank leans the way of their width.
    rise = s.back_height_mm
    middles = [(f"L{4 + 2 * n}", f"leg, back middle{f' {n}' if s.middle_frames > 1 else ''}", x, "") for n, x in enumerate(_middles(s), 1)]
    for code, name, x, hand in (("L3", "leg, back right", fx - leg, "right"), ("L4", "leg, back left", -fx, "left"), *middles):
        at = Placement((x + leg, back, 0.0), Z, Y)
        at = Placement((x, back, 0.0), Z, Y) if at.through[0] > 0 else at
        if s.has_back:
            wide = leg + rise * s.slope
            shaping = (Cranked(leg, s.height_mm, s.back_angle_deg),) if s.back_angle_deg else ()
            f.add(code, name, "leg", s.height_mm + rise, wide, leg, at, shaping=shaping, hand=hand)
        else:
            f.add(code, name, "leg", s.leg_top, leg, leg, at, hand=hand)
    _seat_frame(f, s)
    _seat(f, s)
    if s.has_back:
        _back(f, s)
    if s.arms:
        _arms(f, s)
    depth = (back + leg + rise * s.slope) if s.has_back else s.depth_mm
    nose = min(0.0, front - _ARM_NOSE_MM if s.arms else 0.0)
    height = s.height_mm + (rise if s.has_back else 0.0)
    wide = max(s.length_mm, 2 * fx - leg + s.arm_width_mm if s.arms else 0.0)
    middle = (depth + nose) / 2
    return f.moved((0.0, -middle, 0.0)), (round(wide, 6), round(depth - nose, 6), height)


ARM_CLEAR_MM = 6.0
"""Between the mortise for an arm and those for the back's rails in one post; common practice, no source."""
_ARM_NOSE_MM = 15.0
"""How far an arm runs on past the front leg; judgement of ours."""


def _seat_frame(f: Frame, s: _S) -> None:
    fx, front, back, leg = s.half, s.overhang_front_mm, s.post_front, s.leg_mm
    t, b, w = s.apron_thickness_mm, s.apron_setback_mm, s.apron_width_mm
    z = s.leg_top - w
    deep = back - front - leg
    for k, (x0, x1) in enumerate(s.bays):
        (one, two), bay = _long_rails(s, k), f", bay {k + 1}" if s.middle_frames else ""
        f.add(one, f"seat rail, front{bay}", "seat rail", x1 - x0, w, t, Placement((x0, front + b + t, z), X, Z))
        f.add(two, f"seat rail, back{bay}", "seat rail", x1 - x0, w, t,
            Placement((x1, back + leg - b - t, z), (-1.0, 0.0, 0.0), Z))
    for n, x in enumerate(_middles(s), 1):
        f.add(f"A{20 + n}", "seat rail, middle", "seat rail", deep, w, t, Placement((x + (leg + t) / 2 - t, front + leg, z), Y, Z))
    f.add("A3", "seat rail, right end", "seat rail", deep, w, t, Placement((fx - b - t, front + leg, z), Y, Z))
    f.add("A4", "seat rail, left end", "seat rail", deep, w, t, Placement((-fx + b + t, back, z), (0.0, -1.0, 0.0), Z))
    y0, y1 = front + b + t, back + leg - b - t
    for i, x in enumerate(_bearer_centres(s), 1):
        f.add(f"B{i}", f"bearer {i}", "bearer", y1 - y0, w, s.bearer_thickness_mm,
            Placement((x - s.bearer_thickness_mm / 2, y0, z), Y, Z), "hidden")
    if s.lower_rail_height_mm:
        low, wide = s.lower_rail_height_mm, s.lower_rail_width_mm
        middle = (leg - t) / 2
        f.add("R1", "lower rail, right end", "lower rail", deep, wide, t,
            Placement((fx - middle - t, front + leg, low), Y, Z), hand="right")
        f.add("R2", "lower rail, left end", "lower rail", deep, wide, t,
            Placement((-fx + middle + t, back, low), (0.0, -1.0, 0.0), Z), hand="left")
        reach = fx - middle - t
        y = (front + leg + back) / 2
        f.add("T1", "stretcher", "stretcher", 2 * reach, wide, t, Placement((-reach, y + t / 2, low), X, Z))


def _seat(f: Frame, s: _S) -> None:
    """Slats or boards along the bench; with arms, those beside the front legs stop between them."""
    width, gap = s.board
    inner = 2 * (s.half - s.leg_mm) - 2 * SEAT_FREE_MM
    zone = (s.overhang_front_mm, s.overhang_front_mm + s.leg_mm)
    for i in range(s.board_count):
        y = i * (width + gap)
        beside = s.arms and min(y + width, zone[1] + SEAT_FREE_MM) - max(y, zone[0] - SEAT_FREE_MM) > 0
        length, shaping = (s.length_mm, ())
        if beside:
            past = y + width - zone[1] - SEAT_FREE_MM
            if s.slatted or past < 25:
                length = inner
            else:
                shaping = _notches(s, y, y + width - past)
        f.add(f"S{i + 1}" if s.slatted else f"W{i + 1}", f"{'slat' if s.slatted else 'seat board'} {i + 1}",
            "slat" if s.slatted else "board",
              length, width, s.seat_thickness_mm, Placement((-length / 2, y, s.leg_top), X, Y), shaping=shaping,
              arris_mm=f.arris_mm if s.slatted else 0.0)


def _notches(s: _S, y: float, to: float) -> tuple:
    """Clearance round both front legs in a wide board."""
    from studio_lib.piece.shaping import Notch

    deep = s.overhang_end_mm + s.leg_mm + SEAT_FREE_MM
    return tuple(
        Notch(x0, x1, -5.0, to - y, -5.0, s.seat_thickness_mm + 5.0) for x0,
        x1 in ((-5.0, deep), (s.length_mm - deep, s.length_mm + 5.0))
    )


def _back_place(s: _S, low: float, x: float, along: str) -> Placement:
    """A member of the back, its lower edge so far up the slope; its face looks to the front."""
    lean = math.radians(s.back_angle_deg)
    up, into = (0.0, math.sin(lean), math.cos(lean)), (0.0, math.cos(lean), -math.sin(lean))
    start = (x, s.post_front, s.height_mm)
    deep = BEHIND_MM * s.cos + s.back_thickness_mm
    origin = tuple(o + low * u + deep * v for o, u, v in zip(start, up, into))
    return Placement(origin, X, up) if along == "x" else Placement(origin, up, (-1.0, 0.0, 0.0))


def _rail_lows(s: _S) -> list[float]:
    """Lower edge of each of the back's rails, up the slope from the seat. [mm]"""
    low, high = _back_span(s)
    w = s.back_rail_mm
    if s.fill == 0:
        return [low, high - w]
    gap = (high - low - (s.back_count + 2) * w) / (s.back_count + 1)
    return [low + i * (w + gap) for i in range(s.back_count + 2)]


def _arm_heights(s: _S) -> list[tuple[float, float]]:
    """Ranges of arm heights at which the arm's tenon passes between the tenons of the back's rails. [mm]"""
    t = s.arm_thickness_mm
    free, low = [], 60.0 + t
    for at in _rail_lows(s):
        # Leaning, a rail's lower edge sinks from its face to its back.
        sinks = (BEHIND_MM * s.cos + s.back_thickness_mm) * math.sin(math.radians(s.back_angle_deg))
        under = (at + 4) * s.cos - sinks - ARM_CLEAR_MM + t / 3
        deep = s.leg_mm * math.sin(math.radians(s.back_angle_deg))
        over = (at + s.back_rail_mm - 4) * s.cos + deep + ARM_CLEAR_MM + 2 * t / 3
        if under > low:
            free.append((low, under))
        low = max(low, over)
    return free


def _back(f: Frame, s: _S) -> None:
    w, t = s.back_rail_mm, s.back_thickness_mm
    lows = _rail_lows(s)
    for bay, (x0, x1) in enumerate(s.bays):
        said = f", bay {bay + 1}" if s.middle_frames else ""
        for i, at in enumerate(lows, 1):
            name = "back rail, bottom" if i == 1 else "back rail, top" if i == len(lows) else f"back rail {i}"
            f.add(f"K{bay * len(lows) + i}", name + said, "back rail", x1 - x0, w, t, _back_place(s, at, x0, "x"))
        if s.fill == 0 and s.back_count:
            _back_slats(f, s, bay, x0)


def _back_slats(f: Frame, s: _S, bay: int, x0: float) -> None:
    low, high = _back_span(s)
    w, t = s.back_rail_mm, s.back_thickness_mm
    gap = (s.bay_mm - s.back_count * s.back_slat_mm) / (s.back_count + 1)
    thin = _slat_thickness(s)
    for i in range(s.back_count):
        x = x0 + gap + i * (s.back_slat_mm + gap)
        at = _back_place(s, low + w, x + s.back_slat_mm, "up")
        # Thinner than the rails: set in their middle.
        set_in = tuple((t - thin) / 2 * c for c in at.through)
        at = Placement(tuple(o + c for o, c in zip(at.origin, set_in)), at.along, at.across)
        n = bay * s.back_count + i + 1
        f.add(f"U{n}", f"back slat {n}", "back slat", high - low - 2 * w, s.back_slat_mm, thin, at,
              arris_mm=min(f.arris_mm, (thin - 4) / 2, 2.0))


def _slat_thickness(s: _S) -> float:
    return max(12.0, round(0.6 * s.back_thickness_mm))


def _arms(f: Frame, s: _S) -> None:
    top = s.height_mm + s.arm_height_mm
    for code, side, x in (("H1", "right", s.half - s.leg_mm / 2), ("H2", "left", -s.half + s.leg_mm / 2)):
        at = Placement((x + s.arm_width_mm / 2, s.overhang_front_mm - _ARM_NOSE_MM, top - s.arm_thickness_mm), Y,
            (-1.0, 0.0, 0.0))
        arm = Member(f"{f.letter}-{code}", f"arm, {side}", "arm", f.timber, 10.0, s.arm_width_mm, s.arm_thickness_mm,
            at, f.arris_mm,
                     "show", (), side)
        lean = math.radians(s.back_angle_deg)
        f.members.append(cut_to(arm, "end", (x, s.post_front, s.height_mm), (0.0, math.cos(lean), -math.sin(lean))))


# ---------------------------------------------------------------- joints


def _joints(s: _S, j: Joiner) -> list[Joint]:
    beside = beside_mm(s.apron_setback_mm, s.apron_thickness_mm)
    middle = s.leg_mm / 2
    rails = [("A3", ("L2", "L3")), ("A4", ("L4", "L1"))]
    for k in range(len(s.bays)):
        (one, two), (left, right) = _long_rails(s, k), _bay_legs(s, k)
        rails += [(one, (left[0], right[0])), (two, (right[1], left[1]))]
    for n in range(1, s.middle_frames + 1):
        rails.append((f"A{20 + n}", (f"L{3 + 2 * n}", f"L{4 + 2 * n}")))
    ends = ("L1", "L2", "L3", "L4")
    for rail, posts in sorted(rails, key=lambda r: int(r[0][1:])):
        for end, post in zip(("start", "end"), posts):
            flush = not ((s.arms and post in ("L1", "L2")) or (s.has_back and j.at(post).length_mm > s.leg_top + 1)) and not (s.arms and post in ends)
            opposite = post not in ends and rail not in _end_rails(s)
            j.tenon("seat rail into leg" if post in ends else "seat rail into middle leg", rail, end, post, "apron_thickness_mm",
                    beside_mm=max(beside, middle) if opposite else beside, flush=flush)
    for i in range(1, s.bearer_count * len(s.bays) + 1):
        j.tenons("bearer into seat rail", f"B{i}", _long_rails(s, (i - 1) // s.bearer_count), "bearer_thickness_mm")
    if s.lower_rail_height_mm:
        j.tenons("lower rail into leg", "R1", ("L2", "L3"), "lower_rail_width_mm")
        j.tenons("lower rail into leg", "R2", ("L4", "L1"), "lower_rail_width_mm")
        j.tenons("stretcher into lower rail", "T1", ("R2", "R1"), "lower_rail_width_mm")
    if s.has_back:
        each = len(_rail_lows(s))
        for bay in range(len(s.bays)):
            rails = [f"K{bay * each + i}" for i in range(1, each + 1)]
            (_, left), (_, right) = _bay_legs(s, bay)
            for k in rails:
                for end, post in (("start", left), ("end", right)):
                    at_end = post in ends
                    j.tenon("back rail into post" if at_end else "back rail into middle post", k, end, post, "back_rail_mm",
                            beside_mm=None if at_end else middle)
            if s.fill == 0:
                for i in range(1, s.back_count + 1):
                    j.tenons("slat into back rail", f"U{bay * s.back_count + i}", (rails[0], rails[-1]), "back_slat_mm")
    if s.arms:
        for arm, leg, post in (("H1", "L2", "L3"), ("H2", "L1", "L4")):
            j.join("mortise and tenon", "front leg into arm", leg, arm, "arm_thickness_mm")
            j.join("mortise and tenon", "arm into post", arm, post, "arm_thickness_mm")
    if not s.slatted:
        boards = [f"W{i + 1}" for i in range(s.board_count)]
        for a, b in zip(boards, boards[1:]):
            j.join("edge joint", "seat board edge to edge", a, b, "board_count")
        _hold(s, j, boards)
    return j.made


def _hold(s: _S, j: Joiner, boards: list[str]) -> None:
    """A solid seat on screws in slots, up through the bearers and the end rails."""
    from studio_lib.piece.kinds import KINDS

    kind, family = "slotted screws", "seat on rails, slotted screws"
    figures = {n: v for n, v in j.own.get(family, {}).items() if n in KINDS[kind].changeable}
    for rail in (*_end_rails(s), *(f"B{i + 1}" for i in range(s.bearer_count * len(s.bays)))):
        on = [b for b in boards if _over(j.at(b),
                j.at(rail)) >= FROM_EDGE_MM and not (j.at(b).shaping and rail in ("A3", "A4"))]
        for b in on[:: max(1, round(90 / s.board[0]))]:
            usual = {"count": 2.0 if s.board[0] >= TWO_SCREWS_MM else 1.0}
            if rail in _end_rails(s) or rail.startswith("B"):
                usual["slot_mm"] = 5.0 + 2 * math.ceil(SLOT_EACH_MM * s.seat_depth / 2 + 1.0)
            try:
                j.made.append(KINDS[kind].between(j.at(b), j.at(rail), family, usual | figures))
            except ValueError:
                if figures:
                    raise


def _over(board: Member, rail: Member) -> float:
    """How far a board lies over a rail that runs across it. [mm]"""
    return min(board.piece_box.hi[1], rail.piece_box.hi[1]) - max(board.piece_box.lo[1], rail.piece_box.lo[1])


def _fixings(s: _S, present: list[Member]) -> tuple[Screws, ...]:
    if not s.slatted:
        return ()
    slats = [m for m in present if m.role == "slat"]
    out = []
    for r in (m for m in present if m.role in ("seat rail", "bearer")):
        box = r.piece_box
        along = abs(r.placement.along[0]) > 0.7
        for x in slats:
            on = [min(x.piece_box.hi[k], box.hi[k]) - max(x.piece_box.lo[k], box.lo[k]) for k in (0, 1)]
            if on[1] < ON_MM - 1e-6 or on[0] < 10:
                continue
            if along:
                out.append(placed(Screws("slat on rail along it", r.ref, x.ref, max(2, round(r.length_mm / 220)), gauge_mm(r, x), 45.0,
                                         "from below, let in"), r, x, present))
            else:
                out.append(screws("slat on bearer", r, x, "let in"))
    return tuple(row for row in out if row is not None)


# ---------------------------------------------------------------- fit to people and place


def _fit(piece: Piece, s: _S, brief: Brief, edge: Load | None = None) -> list[Finding]:
    found = room_findings(piece.name, piece.overall_mm[0], piece.overall_mm[1], brief, high_mm=piece.overall_mm[2])
    found.append(tips_at_edge(piece.name, "over its end", s.length_mm / 2 - s.half, s.height_mm, edge))
    found.append(tips_at_edge(piece.name, "over its front", s.overhang_front_mm, s.height_mm, edge))
    if s.has_back:
        found.append(tips_backwards(piece.name, s.leg_mm - BEHIND_MM, s.height_mm, s.back_height_mm))
    users = users_of(brief)
    clothes = "outdoors" if brief.place.startswith("outdoors") else "indoors"
    benches, sit = _shared_out(brief, users, bench_width_per_person(min(users.count, 40), "close", users, clothes).value, s.between_arms_mm)
    ordered = brief.ordered if isinstance(brief, Here) else 1
    if s.between_arms_mm < FOR_ONE_MM:
        benches = sit = 1  # a seat for one, whoever else the brief speaks of
    each = bench_width_per_person(sit, "close", users, clothes)
    all_of_them = f"; {benches} benches like it for {users.count}" if benches > 1 else ""
    if 1 < ordered >= benches:
        all_of_them = f"; {ordered} like it seat {ordered * sit}"
    seats = _seats(s, users, sit, each, all_of_them)
    if benches > ordered and seats.stands:
        seats = replace(seats, verdict=Verdict.LOOK_AGAIN, mend=f"Make {benches} of them, or say how many sit on it at once.")
    found.append(seats)
    return found


def _seats(s: _S, users: Users, sit: int, each: Proposed, all_of_them: str) -> Finding:
    """Length for each of a row: too tight below their hips, to be agreed between hips and shoulders."""
    squeezed = bench_width_per_person(sit, "hip to hip", users)
    tight, who = max(squeezed.value, COUNTED_MM if users.adults else 0.0), f"{sit} {users.decide}" if sit > 1 else f"one of the {users.decide}"
    small = round(sit * len(users.child_ages) / users.count) if users.adults else 0
    if small:  # children among them take less of the row
        grown, theirs = sit - small, bench_width_per_person(sit, "hip to hip", replace(users, adults=0, tallest_mm=None, heaviest_kg=None))
        tight, who = (grown * tight + small * min(theirs.value, tight)) / sit, f"{grown} grown and {small} {'child' if small == 1 else 'children'}"
    have = s.between_arms_mm / sit
    share = bench_width_per_person(sit, "close", users, at=min(max(have, 200.0), 1500.0)).suits_share
    agreed = s.sitting == 1
    says = f"{have:.0f} mm each for {who}"
    if have < tight:
        verdict, says = Verdict.FAILS, f"{says}; {tight:.0f} mm is the least, hip to hip"
    elif have < each.value:
        verdict = Verdict.STANDS if agreed else Verdict.LOOK_AGAIN
        says += (f": of such rows {100 * share:.0f} in 100 have room for their shoulders, 95 at {each.value:.0f} mm; "
                 f"hip to hip takes {tight:.0f} mm" + (", and they sit close only at times" if agreed else ""))
    else:
        verdict, says = Verdict.STANDS, f"{says}: room for their shoulders, {each.value:.0f} mm wanted"
    longer = f"Lengthen it to {up_to(s.length_mm + (each.value - have) * sit, 10):.0f} mm, or"
    return Finding(
        "places", "length for each sitter", verdict, f"{says}{all_of_them}", tight if agreed or have < tight else each.value, have, "mm",
        f"{who} side by side, shoulders touching; hip to hip at the least", f"{each.source}; {COUNTED_MM:.0f} mm as stands are counted, from memory",
        "" if verdict is Verdict.STANDS else f"{longer} fewer people." if verdict is Verdict.FAILS else
        f"{longer}, where not all sit there every day, choose '{SITTING[1]}' under They sit and tell the client.", "sizes",
    )


BENCH = Bench()
