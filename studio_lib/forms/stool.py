"""A stool: four legs, upright or splayed and raked with true compound angles, under a solid or slatted seat."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.brief.said import STICKS_OUT_MM, counter_asked, goes_under_asked, sticks_out_asked
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.forms.changes import assembled
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice, users_of
from studio_lib.forms.framing import (
    JUDGEMENT,
    PRACTICE,
    SEAT_LOAD_N,
    SEAT_OUTWARD_N,
    X,
    Y,
    Z,
    Frame,
    Joiner,
    gap_to_drain,
    gauge_mm,
    placed,
    screws,
    slat_width,
    sound_shaping,
    tips_at_edge,
    up_to,
)
from studio_lib.forms.space import room_findings
from studio_lib.forms.thin import thin_refused
from studio_lib.people.body import SOURCE as BODIES
from studio_lib.people.proposals import (
    COUNTER_SOURCE,
    UNDER_COUNTER_MM,
    Proposed,
    foot_rest_under_seat_mm,
    high_seat,
    seat_depth,
    seat_height,
    seat_width,
)
from studio_lib.people.users import Users
from studio_lib.piece import Joint, Member, Piece, Placement, Screws
from studio_lib.piece.angles import Lean, cut_to
from studio_lib.piece.model import Vec
from studio_lib.piece.mortise_tenon import cross, dot, unit
from studio_lib.piece.shaping import CutRound
from studio_lib.piece.top_fixing import FROM_EDGE_MM
from studio_lib.structure.loads import Load
from studio_lib.units import mm

SEATS = ("solid boards", "slats")
SHAPES = ("square-edged", "round or oval")
HEAD_LOW_MM, HEAD_HIGH_MM = 89.0, 229.0
MADE_TO = ("sit on", "stand on at a sink or shelf")
STEP_MM, STEP_SOURCE = 230.0, "a step of 200 to 300 mm: common practice, no source"
TREAD_MM, TREAD_SOURCE = (400.0, 300.0), "ANSUR II (2012): feet of 293 mm at the 95th man; side by side with room, a judgement of ours"
STANDS_IN_MM, BODY_MIDDLE_MM = 50.0, 950.0
"""Someone standing at the edge: the middle of a foot from it, and the middle of the body over the tread; judgements of ours."""
NO_HEAD, NO_HEAD_SOURCE = "over 229 mm between the legs: no child's head is held", "CPSC public playground handbook B.2.5.1"
EDGE_PAST_LEG_MM = 5.0
"""A round seat stands past the corners of its legs by so much at least; judgement of ours."""
LEAST_COUNTER_MM, MOST_COUNTER_MM = 750.0, 1120.0
SLENDER_LEG_MM, SLENDER_RAIL_MM, SLENDER_LOWER_MM = 35.0, 75.0, 60.0
"""Legs of a stool that goes under a short counter are no thinner; its rails are so deep then. Judgements of ours."""
LEAST_UNDER_MM = 250.0
"""Nobody sits on a stool as shallow as a counter that sticks out less; judgement of ours."""
FOOT_RAIL_FROM_MM = 120.0
"""A foot rail lies at least so high; from a seat lower than that asks for, feet nearly reach the floor. Judgement of ours."""
LEAST_BOARD_MM = 30.0
"""A board of a solid seat is held by a screw in it; common practice, no source."""
BETWEEN_RAILS_MM = 12.0
"""Lower rails at the sides stand so far over those at front and back, so that no mortises meet; judgement of ours."""
SIDES_OF = {"L1": (-1, -1), "L2": (1, -1), "L3": (1, 1), "L4": (-1, 1)}
"""Which way each leg's foot stands out: right is +x, back is +y."""
NAMES = {"L1": "front left", "L2": "front right", "L3": "back right", "L4": "back left"}


@dataclass(frozen=True)
class _S:
    length_mm: float
    width_mm: float
    height_mm: float
    made_to: int
    counter_mm: float
    under_mm: float
    seat: int
    shape: int
    board_count: int
    gap_mm: float
    seat_thickness_mm: float
    overhang_end_mm: float
    overhang_side_mm: float
    splay_deg: float
    rake_deg: float
    leg_mm: float
    rail_width_mm: float
    rail_thickness_mm: float
    rail_setback_mm: float
    lower_rail_height_mm: float
    lower_rail_width_mm: float
    arris_mm: float

    @property
    def slatted(self) -> bool:
        return self.seat == 1

    @property
    def board(self) -> tuple[float, float]:
        if not self.slatted:
            return self.width_mm / self.board_count, 0.0
        return slat_width(self.width_mm, self.board_count, self.gap_mm)

    @property
    def lean(self) -> Lean:
        return Lean(self.splay_deg, self.rake_deg)

    @property
    def leg_top_mm(self) -> float:
        return self.height_mm - self.seat_thickness_mm

    @property
    def foot_rail_mm(self) -> float:
        """Top of the lower rail at the front, where feet rest; 0 for none. [mm]"""
        return self.lower_rail_height_mm + self.lower_rail_width_mm if self.lower_rail_height_mm else 0.0

    @property
    def corner(self) -> tuple[float, float]:
        """Outer corner of the legs at their top, from the middle. [mm]"""
        return self.length_mm / 2 - self.overhang_end_mm, self.width_mm / 2 - self.overhang_side_mm

    @property
    def feet(self) -> tuple[float, float]:
        """How far the feet stand out from the middle. [mm]"""
        out = self.leg_top_mm
        return tuple(c + out * math.tan(math.radians(a)) for c, a in zip(self.corner, (self.splay_deg, self.rake_deg)))


SIZES = (
    Size("length_mm", "Width of seat or step", 220, 900),
    Size("width_mm", "Depth of seat or step", 200, 700),
    Size("height_mm", "Height", 180, 850),
    choice("made_to", "Made to", MADE_TO, given=True),
    Size("counter_mm", "Stands at a counter of, 0 for none", 0, MOST_COUNTER_MM, given=True),
    Size("under_mm", "Goes right under its top, which sticks out, 0 for not", 0, STICKS_OUT_MM[1], given=True),
    choice("seat", "Seat", SEATS, "seat"),
    choice("shape", "Shape of seat", SHAPES, "seat"),
    Size("board_count", "Boards or slats", 1, 20, "", "seat", True),
    Size("gap_mm", "Gap between slats", 0, 30, "mm", "seat"),
    Size("seat_thickness_mm", "Seat thickness", 12, 60, "mm", "seat"),
    Size("overhang_end_mm", "Seat past legs, sides", 0, 200, "mm", "seat"),
    Size("overhang_side_mm", "Seat past legs, front, back", 0, 200, "mm", "seat"),
    Size("splay_deg", "Splay, from the front", 0, 20, "degrees", "frame"),
    Size("rake_deg", "Rake, from the side", 0, 20, "degrees", "frame"),
    Size("leg_mm", "Legs, square", 25, 90, "mm", "frame"),
    Size("rail_width_mm", "Seat rail width (depth)", 30, 140, "mm", "frame"),
    Size("rail_thickness_mm", "Rail thickness", 15, 45, "mm", "frame"),
    Size("rail_setback_mm", "Rail behind leg's face", 0, 20, "mm", "frame"),
    Size("lower_rail_height_mm", "Lower rails up, 0 for none", 0, 700, "mm", "frame"),
    Size("lower_rail_width_mm", "Lower rail width", 20, 80, "mm", "frame"),
    Size("arris_mm", "Arris taken off", 0, 6, "mm", "frame"),
)

MADE_BY = {
    "leg": ("leg_mm", "leg_mm"), "rail": ("rail_width_mm", "rail_thickness_mm"),
    "lower rail": ("lower_rail_width_mm", "rail_thickness_mm"),
}


class Stool(Form):
    """Four legs that may lean two ways, rails between them cut to the true angles, a seat of boards or slats."""

    name = "stool"
    called = ("wide", "deep")
    sizes = SIZES
    says = "Legs upright or splayed and raked; solid or slatted seat, square-edged or round."

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        return _proposals(brief, around, chosen)

    def kept_within(self, limits_mm, sizes):
        """The feet stand out past the seat where the legs lean: the seat is so much less wide and deep."""
        s = _S(**sizes)
        past = [max(2 * foot - seat, 0.0) for foot, seat in zip(s.feet, (s.length_mm, s.width_mm))]
        return {n: x - by for n, x, by in zip(self.overall, limits_mm, (*past, 0.0)) if x is not None}

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _S(**sizes)
        _refuse(s)
        members = _members(s, letter, around.timber)
        sound_shaping(members, "splay_deg")
        laid = {m.ref: m for m in members}
        fx, fy = s.feet
        return assembled(
            name=name, form=self.name, letter=letter, members=members,
            lay_joints=lambda by_ref, own: _joints(s, Joiner(by_ref, letter, own, laid)), changes=adjustments,
            own=joints,
            lay_fixings=lambda present: _fixings(s, present), check=thin_refused(MADE_BY), timber=around.timber,
            overall_mm=(round(max(s.length_mm, 2 * fx), 6), round(max(s.width_mm, 2 * fy), 6), s.height_mm),
        )

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        step, counter = sizes.get("made_to"), sizes.get("counter_mm")
        return ("counter_mm", "under_mm") if step else () if counter and not sizes.get("shape") else ("under_mm",)

    def slats(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        s = _S(**sizes)
        return (*s.board, s.seat_thickness_mm) if s.slatted and s.board_count > 1 else None

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        s = _S(**sizes)
        if not s.lower_rail_height_mm:
            return []
        under = s.leg_top_mm - s.rail_width_mm
        found = []
        for where, low, across in (
            ("front, between the rails", s.lower_rail_height_mm, s.corner[0]),
            ("side, between the rails", _upper(s), s.corner[1]),
        ):
            found.append((where, 2 * (across - s.leg_mm), max(under - low - s.lower_rail_width_mm, 0.0)))
        return found

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        s = _S(**sizes)
        if s.made_to:
            return {}
        return {
            "length_mm": seat_width(users, at=s.length_mm), "width_mm": seat_depth(users, backless=True, at=s.width_mm),
            "height_mm": high_seat(users, s.height_mm - s.foot_rail_mm, s.counter_mm, at=s.height_mm)
            if s.counter_mm or (s.foot_rail_mm and _feet_hang(s.height_mm, users)) else seat_height(users, at=s.height_mm),
        }

    def on_site(self, sizes: dict[str, float], brief: Brief) -> list[str]:
        if not brief.floor_falls_mm:
            return []
        return [
            f"The floor falls {mm(brief.floor_falls_mm)} mm over 2 m: stand it in its place and press on opposite corners. Where it rocks, put felt pads or "
            "glides under the feet, the short foot packed or screwed out; on tiles that are not level with each other, glides that screw up and down."
        ]

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return self.fit_under(piece, sizes, brief, {})

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        s, edge = _S(**sizes), loads.get("edge")
        fx, fy = s.feet
        if s.made_to:
            return room_findings(piece.name, max(s.length_mm, 2 * fx), max(s.width_mm, 2 * fy), brief, ("width", "depth"), high_mm=s.height_mm) + [
                _stood_on(piece.name, "over its side", s.length_mm / 2 - fx, s.height_mm),
                _stood_on(piece.name, "over its front", s.width_mm / 2 - fy, s.height_mm),
                _tread(piece.name, s),
            ]
        return room_findings(piece.name, max(s.length_mm, 2 * fx), max(s.width_mm, 2 * fy), brief, ("width", "depth"), high_mm=s.height_mm) + [
            tips_at_edge(piece.name, "over its side", s.length_mm / 2 - fx, s.height_mm, edge),
            tips_at_edge(piece.name, "over its front", s.width_mm / 2 - fy, s.height_mm, edge),
        ] + _at_counter(piece.name, s)


def _stood_on(name: str, way: str, beyond_mm: float, height_mm: float) -> Finding:
    """Someone standing at the edge who leans out, by the share that EN 1022 pushes a sitter outwards; any weight, the piece's own left aside."""
    share = SEAT_OUTWARD_N / SEAT_LOAD_N
    leans = share * (height_mm + BODY_MIDDLE_MM)
    most = STANDS_IN_MM - leans
    return from_ratio(
        name, f"tipping {way}, stood on", leans, max(STANDS_IN_MM - beyond_mm, 0.0), "mm",
        rule=f"someone stands {STANDS_IN_MM:.0f} mm from the edge and leans out by {100 * share:.1f} % of their weight at the middle of the body",
        source="moments about the feet; EN 1022:2018 for the share, 20 N of 600 N; where they stand a judgement of ours",
        mend=f"Let the tread stand {max(most, 0):.0f} mm or less past the feet: less overhang, or more splay and rake.", stage="sizes",
        says=f"the tread stands {max(beyond_mm, 0):.0f} mm past the feet; at {max(most, 0):.0f} mm or less whoever stands at its edge does not tip it",
    )


def _tread(name: str, s: _S) -> Finding:
    """Whether both feet find room on it, and the step up is one that a child climbs."""
    wide, deep = TREAD_MM
    fits, low_enough = s.length_mm >= wide - 50 and s.width_mm >= deep - 20, 150 <= s.height_mm <= 300
    return Finding(
        name, "stood on", Verdict.STANDS if fits and low_enough else Verdict.LOOK_AGAIN,
        f"a tread of {mm(s.length_mm)} x {mm(s.width_mm)} mm, {mm(s.height_mm)} mm up",
        rule=f"both feet side by side on {wide - 50:.0f} x {deep - 20:.0f} mm or more; a step of 150 to 300 mm", source=f"{TREAD_SOURCE}; {STEP_SOURCE}",
        mend="" if fits and low_enough else f"Give about {wide:.0f} x {deep:.0f} mm, {STEP_MM:.0f} mm high; higher wants a second step and a handle to hold.", stage="sizes",
    )


def _feet_hang(seat_mm: float, users: Users) -> bool:
    """Whether a seat is so high that feet rest on a rail."""
    return seat_mm - foot_rest_under_seat_mm(users)[0] >= FOOT_RAIL_FROM_MM


def _at_counter(name: str, s: _S) -> list[Finding]:
    """Whether the seat goes with the counter it stands at."""
    if not s.counter_mm:
        return []
    (low, high), up = UNDER_COUNTER_MM, s.counter_mm - s.height_mm
    stands = low <= up <= high
    return [Finding(
        name, "seat to counter top", Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
        f"the counter's top is {mm(up)} mm above the seat", *((up, high) if up > high else (low, up)), "mm",
        f"{low:.0f} to {high:.0f} mm from the seat to the counter's top", COUNTER_SOURCE,
        "" if stands else f"A seat of {mm(s.counter_mm - high)} to {mm(s.counter_mm - low)} mm.", "sizes",
    )]


# ---------------------------------------------------------------- proposals


def _proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    def own(name, otherwise):
        return chosen.get(name, otherwise)

    users = users_of(brief)
    step = bool(own("made_to", 0))
    said, in_words = counter_asked(brief) or (0.0, "")
    at_counter = said if not step and LEAST_COUNTER_MM <= said <= MOST_COUNTER_MM else 0.0
    counter = own("counter_mm", at_counter) and max(own("counter_mm", at_counter), LEAST_COUNTER_MM)  # a lower one is refused in words
    rest, whose = foot_rest_under_seat_mm(users)
    tall = high_seat(users, rest, counter) if counter else seat_height(users)
    wide, deep = seat_width(users), seat_depth(users, backless=True)
    if step:
        tall = replace(tall, value=STEP_MM, decided_by="a step up to a sink or shelf", source=STEP_SOURCE)
        wide = replace(wide, value=TREAD_MM[0], decided_by="both feet side by side", source=TREAD_SOURCE)
        deep = replace(deep, value=TREAD_MM[1], decided_by="the whole foot of a grown person", source=TREAD_SOURCE)
    outdoors = brief.place.startswith("outdoors")
    chunky = {"chunky": 1.15, "light": 1.0 if brief.use == "public" else 0.94}.get(brief.heft, 1.0)
    shape, seat = own("shape", 0), own("seat", 1 if outdoors else 0)
    height = own("height_mm", tall.value)
    hangs = not step and (bool(counter) or _feet_hang(height, users))
    leg = own("leg_mm", float(round(50.0 * chunky)))
    out = (sticks_out_asked(brief) if counter and goes_under_asked(brief) else None) or 0.0
    under = 0.0 if step or shape or not counter else own("under_mm", out)
    thick = own("seat_thickness_mm", float(round((24.0 if seat else 25.0) * max(chunky, 1.0)) + (4 if brief.use == "public" else 0)))
    rail = own("rail_width_mm", float(min(66.0 if brief.use == "public" else 60.0, max(45.0 if step else 30.0, round(0.16 * height)))))
    lower_w = own("lower_rail_width_mm", 45.0)

    def opening(rail_mm: float, lower_mm: float) -> float:
        """Over the foot rails, 0 where they have no room."""
        foot = math.floor(height - rest - lower_mm)
        return height - thick - rail_mm - foot - 2 * lower_mm - BETWEEN_RAILS_MM if hangs and foot >= 40 else 0.0

    short = LEAST_UNDER_MM <= under < max(deep.value, up_to(HEAD_HIGH_MM + 1 + 2 * leg + 40.0, 5) if hangs else 0.0)
    opens = opening(rail, lower_w) > HEAD_HIGH_MM
    if short and opens:
        leg = own("leg_mm", min(leg, max(SLENDER_LEG_MM, math.floor((under - HEAD_HIGH_MM - 1) / 2))))
    slender = short and opens and leg < 45.0
    deeper = own("rail_width_mm", max(rail, SLENDER_RAIL_MM)), own("lower_rail_width_mm", SLENDER_LOWER_MM)
    if slender and opening(*deeper) > HEAD_HIGH_MM:
        rail, lower_w = deeper
    past_legs = 0.0 if short else 20.0
    broad = Proposal(min(wide.value, 900.0), wide.decided_by, wide.source)
    clear = HEAD_HIGH_MM / 2 + 0.5 + leg  # from the middle to a leg's outer corner, so that a head is free between the legs
    wants = up_to(2 * (math.hypot(clear, clear) + EDGE_PAST_LEG_MM), 5)
    open_round = hangs and bool(shape) and wants <= 700
    if open_round and broad.value < wants:
        broad = Proposal(wants, NO_HEAD, NO_HEAD_SOURCE)
    length = min(own("length_mm", broad.value), 900.0)
    across = up_to(HEAD_HIGH_MM + 1 + 2 * leg + 2 * own("overhang_side_mm", past_legs), 5)
    depth = Proposal(deep.value, deep.decided_by, deep.source)
    if short:
        depth = _under_the_counter(under, across if opens else 0.0)
    elif hangs and deep.value < across <= 700:
        depth = Proposal(across, NO_HEAD, NO_HEAD_SOURCE)
    if 0 < under < LEAST_UNDER_MM:
        depth = replace(depth, why=f"{depth.why}; the counter sticks out {mm(under)} mm, too little for a stool to go right under")
    width = own("width_mm", length if shape else depth.value)
    boards = max(2, round(width / (65 if seat else 115)))
    swelling = around.swell_fraction * width / own("board_count", boards)
    over_end = up_to(0.16 * length, 5) if shape else min(20.0, _step(length / 2 - leg - 31))
    if open_round:
        over_end = min(over_end, max(length / 2 - clear, 0.0))
    over_side = min(up_to(0.16 * width, 5), max(width / 2 - clear, 0.0) if open_round else width) if shape else min(past_legs, _step(width / 2 - leg - 31))
    if step and not shape:
        over_end, over_side = min(over_end, 10.0), min(over_side, 10.0)
    lean = 5.0
    upright = under >= LEAST_UNDER_MM and width + 2 * (height - 25) * math.tan(math.radians(lean - 1.0)) > under
    rake = 0.0 if upright else lean - 1.0
    setback = own("rail_setback_mm", 2.0)
    steep = max(own("splay_deg", lean), own("rake_deg", rake))
    behind = setback + rail / 2 * math.tan(math.radians(steep))
    rail_t = max(15.0, min(28.0 if brief.use == "public" else 26.0, math.floor(leg - 2.0 - behind)))
    low, why, source = _lower(height - thick, rail, lower_w)
    foot = math.floor(height - rest - lower_w)
    if step:
        low, why, source = 0.0, "nothing to climb or to trip over under a step", JUDGEMENT
    if opening(rail, lower_w) > HEAD_HIGH_MM:
        low, why, source = float(foot), f"its top {mm(height - foot - lower_w)} mm under the seat, where feet rest: {whose}", BODIES
    return {
        "length_mm": broad,
        "width_mm": Proposal(min(length, 700.0), "as wide as long: a round seat", JUDGEMENT) if shape else depth,
        "height_mm": Proposal(tall.value, tall.decided_by, tall.source),
        "made_to": Proposal(0, "a seat, unless you say so", JUDGEMENT),
        "counter_mm": Proposal(at_counter, f"'{in_words}', in the client's words", JUDGEMENT) if at_counter else Proposal(0.0, "at no counter unless you say so: its height from floor to top", JUDGEMENT),
        "under_mm": Proposal(out, "how far its top sticks out, in the client's words", JUDGEMENT) if out else Proposal(0.0, "it stands before the counter unless you say how far that sticks out", JUDGEMENT),
        "seat": Proposal(1 if outdoors and not shape else 0,
            "slats drain" if outdoors and not shape else "a closed seat", JUDGEMENT),
        "shape": Proposal(0, "straight edges waste least timber", JUDGEMENT),
        "board_count": Proposal(boards, "slats of about 60 mm" if seat else "boards of about 115 mm stay flat",
            JUDGEMENT if seat else PRACTICE),
        "gap_mm": gap_to_drain(swelling, brief.near_children),
        "seat_thickness_mm": Proposal(thick, around.sawn(thick), JUDGEMENT),
        "overhang_end_mm": Proposal(min(over_end, 200.0),
            "under 45 mm past the feet it cannot tip when sat on at the edge",
                                    "EN 1022 forward test, worked by moments"),
        "overhang_side_mm": Proposal(0.0, "the seat ends at its legs, to go under the counter", JUDGEMENT) if short else Proposal(min(over_side, 200.0),
            "under 45 mm past the feet it cannot tip when sat on at the edge",
                                     "EN 1022 forward test, worked by moments"),
        "splay_deg": Proposal(lean, "feet wider than the seat; steeper legs bend more where the rails enter", JUDGEMENT),
        "rake_deg": Proposal(rake, "upright, so that its feet go under the counter too" if upright else "a little less than from the front, as the seat is less deep", JUDGEMENT),
        "leg_mm": Proposal(leg, f"as slender as leaves over {HEAD_HIGH_MM:.0f} mm between them under the counter" if slender else around.sawn(leg), JUDGEMENT),
        "rail_width_mm": Proposal(rail, "deeper, for legs so slender" if slender and rail >= SLENDER_RAIL_MM else "three parts of tenon to one of haunch", JUDGEMENT),
        "rail_thickness_mm": Proposal(float(round(rail_t)), "tenons a third of it", JUDGEMENT),
        "rail_setback_mm": Proposal(2.0, "a shadow line at the leg", PRACTICE),
        "lower_rail_height_mm": Proposal(low, why, source),
        "lower_rail_width_mm": Proposal(lower_w, "it takes the push at the feet", JUDGEMENT),
        "arris_mm": Proposal(1.5, "kind to hands and to finish", PRACTICE),
    }


def _under_the_counter(under_mm: float, least_mm: float) -> Proposal:
    """The depth of a stool that goes under a counter's top: as far as that sticks out, but no less than a child's head asks for between the legs."""
    told = f"to go under the counter, which sticks out {mm(under_mm)} mm"
    if least_mm > under_mm:
        return Proposal(least_mm, f"{told}, but {mm(least_mm - under_mm)} mm past it: {NO_HEAD}", NO_HEAD_SOURCE)
    return Proposal(float(math.floor(under_mm)), told, JUDGEMENT)


def _step(value: float, step: float = 5.0) -> float:
    return max(math.floor(value / step) * step, 0.0)


def _lower(top_mm: float, rail_mm: float, lower_mm: float) -> tuple[float, str, str]:
    """Where the lower rails go, or 0 where there is no room for them."""
    highest = top_mm - rail_mm - 2 * lower_mm - BETWEEN_RAILS_MM
    gap = HEAD_LOW_MM - 9.0
    # Both openings stay under what holds a head: the side rails stand higher than the front ones.
    low = highest - gap + lower_mm + BETWEEN_RAILS_MM
    if low >= 40:
        why = f"{gap:.0f} mm at most under the seat rails: too little for a child's head; it stiffens the legs"
        return float(math.floor(low)), why, "CPSC public playground handbook B.2.5.1"
    return 0.0, "too low for lower rails", JUDGEMENT


# ---------------------------------------------------------------- members


def _upper(s: _S) -> float:
    """Height of the lower rails at the sides. [mm]"""
    return s.lower_rail_height_mm + s.lower_rail_width_mm + BETWEEN_RAILS_MM


def _refuse(s: _S) -> None:
    if 0 < s.counter_mm < LEAST_COUNTER_MM:
        raise SizeRefused("counter_mm", f"A counter of {s.counter_mm:g} mm is as low as a table; give {LEAST_COUNTER_MM:g} to "
                          f"{MOST_COUNTER_MM:g} mm, 0 for none.")
    width, _ = s.board
    if not s.slatted and width < LEAST_BOARD_MM:
        raise SizeRefused("board_count", f"Boards {width:.0f} mm wide are too narrow to be held by a screw; "
            f"{LEAST_BOARD_MM:g} mm at least. "
                          f"Give {math.floor(s.width_mm / LEAST_BOARD_MM)} or fewer.")
    if width < 15:
        raise SizeRefused("board_count", f"{s.board_count} {SEATS[s.seat]} in {s.width_mm:g} mm would be "
            f"{max(width, 0):.0f} mm wide; "
                          "15 mm at least. Fewer of them, or a deeper seat.")
    if s.slatted and s.shape:
        raise SizeRefused("shape", "A round seat is made of solid boards: outer slats would have nothing to lie on. "
            "Choose shape 0 "
                          "(square-edged), or seat 0 (solid boards).")
    cx, cy = s.corner
    if s.shape:
        inside = math.hypot(cx / (s.length_mm / 2 - EDGE_PAST_LEG_MM), cy / (s.width_mm / 2 - EDGE_PAST_LEG_MM))
        if inside > 1:
            raise SizeRefused("overhang_end_mm", "The legs' corners would stand out past the curved edge. Give "
                f"{up_to(s.length_mm / 2 - cx / inside, 1):.0f} mm "
                              f"at the sides and {up_to(s.width_mm / 2 - cy / inside, 1):.0f} mm at front and back, "
                              "or a larger seat.")
    if s.slatted:
        _refuse_loose_slats(s)
    for field, label, c in (("overhang_end_mm", "sides", cx), ("overhang_side_mm", "front and back", cy)):
        between = 2 * (c - s.leg_mm)
        if between < 60:
            size = s.length_mm if label == "sides" else s.width_mm
            raise SizeRefused(field, f"With that overhang at the {label} only {max(between, 0):.0f} mm are left "
                "between the legs; 60 mm at least. "
                              f"{max(size / 2 - s.leg_mm - 30, 0):.0f} mm of overhang or less, thinner legs, or a "
                              "larger seat.")
    least = s.rail_width_mm + 60
    if s.leg_top_mm < least:
        raise SizeRefused("height_mm", f"A stool of {s.height_mm:g} mm leaves legs of {max(s.leg_top_mm, 0):.0f} mm; "
            f"with rails of {s.rail_width_mm:g} mm "
                          f"give {least + s.seat_thickness_mm:.0f} mm or more, or shallower rails.")
    setback = max(_setback(s, s.rail_width_mm, a) for a in (s.splay_deg, s.rake_deg))
    if setback + s.rail_thickness_mm > s.leg_mm - 2:
        raise SizeRefused("rail_thickness_mm", f"A rail of {s.rail_thickness_mm:g} mm, {setback:.0f} mm behind the "
            "face so that it stays inside a leaning "
                          f"leg, does not fit on a {s.leg_mm:g} mm leg. Give {max(s.leg_mm - 2 - setback, 0):.0f} mm "
                          "or less, or thicker legs.")
    if s.lower_rail_height_mm:
        room = s.leg_top_mm - s.rail_width_mm - 20
        high = _upper(s) + s.lower_rail_width_mm
        if high > room:
            raise SizeRefused("lower_rail_height_mm",
                f"Lower rails up to {high:.0f} mm run into the rails under the seat. "
                              f"Give {max(s.lower_rail_height_mm - (high - room), 0):.0f} mm or less, 0 for none.")
        if s.lower_rail_height_mm < 30:
            raise SizeRefused("lower_rail_height_mm",
                f"Lower rails {s.lower_rail_height_mm:g} mm over the floor; give 30 mm or more, 0 for none.")


ON_RAIL_MM = 10.0
"""A slat lies on a rail by this at least, to be screwed to it; common practice, no source."""


def _on_rails(s: _S, low: float, high: float) -> tuple[float, float]:
    """How much of a slat lies over the side rails, and how much over the front or the back rail. [mm]"""
    cy = s.corner[1]
    inner, face = cy - s.leg_mm, cy - s.rail_setback_mm
    over = [min(high, b) - max(low, a) for a, b in (
        (-inner, inner), (-face, s.rail_thickness_mm - face), (face - s.rail_thickness_mm, face),
    )]
    return over[0], max(over[1:])


def _refuse_loose_slats(s: _S) -> None:
    width, gap = s.board
    for i in range(s.board_count):
        low = -s.width_mm / 2 + i * (width + gap)
        if max(_on_rails(s, low, low + width)) < ON_RAIL_MM:
            raise SizeRefused("board_count", f"Slat {i + 1}, {width:g} mm wide, lies by less than {ON_RAIL_MM:g} mm "
                "on the rails under the seat. "
                              "Fewer and wider slats, less overhang at front and back, or thinner legs.")


def _setback(s: _S, rail_mm: float, lean_deg: float) -> float:
    """From the leg's outer face to the rail's at its middle, so that it stays behind the face from top to bottom.
    [mm]"""
    return s.rail_setback_mm + rail_mm / 2 * math.tan(math.radians(lean_deg))


def _leg(f: Frame, s: _S, code: str) -> Member:
    """A leg leaning two ways, square in section, sawn level at top and foot."""
    sx, sy = SIDES_OF[code]
    lean = s.lean
    up = lean.upward(sx, sy)
    # One pair of faces stands square to the front's line as seen along the leg; the other pair follows.
    across = unit(tuple(x - dot(X, up) * u for x, u in zip(X, up)))
    through = cross(up, across)
    cx, cy = s.corner
    # The outer corner, by the two outer faces, passes the corner of the frame at the leg's top.
    corner = (sx * cx, sy * cy, s.leg_top_mm)
    at = tuple(
        c - (s.leg_mm * a if sx > 0 else 0.0) - (s.leg_mm * t if sy * through[1] > 0 else 0.0)
        for c, a, t in zip(corner, across, through)
    )
    made = Member(
        f"{f.letter}-{code}", f"leg, {NAMES[code]}", "leg", f.timber, s.leg_top_mm, s.leg_mm, s.leg_mm,
        Placement(at, up, across),
        f.arris_mm, "show", (), "left" if sx < 0 else "right",
    )
    made = cut_to(made, "start", (0.0, 0.0, 0.0), Z)
    made = cut_to(made, "end", (0.0, 0.0, s.leg_top_mm), Z)
    f.members.append(made)
    return made


def _face(leg: Member, towards: Vec) -> tuple[Vec, Vec]:
    """The leg's face that looks most nearly along a direction: a point of it and its normal, in piece axes."""
    p = leg.placement
    best = max(
        ((sign * dot(axis, towards), axis, sign, size) for axis,
            size in ((p.across, leg.width_mm), (p.through, leg.thickness_mm))
         for sign in (1.0, -1.0)), key=lambda c: c[0],
    )
    _, axis, sign, size = best
    local = size if sign > 0 else 0.0
    return tuple(o + local * a for o, a in zip(p.origin, axis)), tuple(sign * a for a in axis)


def _on_face(point: Vec, normal: Vec, x: float | None, y: float | None, z: float) -> float:
    """The coordinate left open (x or y given as None) at which a plane is met."""
    if x is None:
        return point[0] - ((y - point[1]) * normal[1] + (z - point[2]) * normal[2]) / normal[0]
    return point[1] - ((x - point[0]) * normal[0] + (z - point[2]) * normal[2]) / normal[1]


def _rail(f: Frame, s: _S, legs: dict[str, Member], code: str, name: str, role: str, side: str, z: float,
        wide: float) -> None:
    """A level rail on edge between two legs, its ends cut to their faces, its face outwards."""
    one, two, along = {
        "front": ("L1", "L2", X), "back": ("L3", "L4", (-1.0, 0.0, 0.0)), "right": ("L2", "L3", Y),
        "left": ("L4", "L1", (0.0, -1.0, 0.0)),
    }[side]
    outward = {"front": (0.0, -1.0, 0.0), "back": Y, "right": X, "left": (-1.0, 0.0, 0.0)}[side]
    middle = z + wide / 2
    point, normal = _face(legs[one], outward)
    k = 1 if side in ("front", "back") else 0
    # The outer face of the leg where the rail's middle meets it, measured on the leg's middle line.
    centre = legs[one].placement.to_piece((legs[one].length_mm / 2, s.leg_mm / 2, s.leg_mm / 2))
    up = legs[one].placement.along
    axis = tuple(c + (middle - centre[2]) / up[2] * u for c, u in zip(centre, up))
    outer = _on_face(point, normal, axis[0] if k else None, None if k else axis[1], middle)
    lean = s.rake_deg if k else s.splay_deg
    face = abs(outer) - _setback(s, wide, lean)
    t = s.rail_thickness_mm
    inner = face - t
    origin = [0.0, 0.0, z]
    origin[k] = outward[k] * inner
    at = Placement(tuple(origin), along, Z)
    if dot(at.through, outward) < 0:
        origin[k] = outward[k] * face
        at = Placement(tuple(origin), along, Z)
    made = Member(f"{f.letter}-{code}", name, role, f.timber, 10.0, wide, t, at, f.arris_mm, "show")
    for end, leg, sign in (("end", two, -1.0), ("start", one, 1.0)):
        p, n = _face(legs[leg], tuple(sign * a for a in along))
        made = cut_to(made, end, p, n)
    f.members.append(made)


def _members(s: _S, letter: str, timber: str) -> list[Member]:
    f = Frame(letter, timber, s.arris_mm)
    legs = {code: _leg(f, s, code) for code in SIDES_OF}
    z = s.leg_top_mm - s.rail_width_mm
    for code, side in (("A1", "front"), ("A2", "back"), ("A3", "right"), ("A4", "left")):
        _rail(f, s, legs, code, f"seat rail, {side}", "rail", side, z, s.rail_width_mm)
    if s.lower_rail_height_mm:
        for code, side in (("R1", "front"), ("R2", "back"), ("R3", "right"), ("R4", "left")):
            low = s.lower_rail_height_mm if side in ("front", "back") else _upper(s)
            _rail(f, s, legs, code, f"lower rail, {side}", "lower rail", side, low, s.lower_rail_width_mm)
    width, gap = s.board
    for i in range(s.board_count):
        y = -s.width_mm / 2 + i * (width + gap)
        length, shaping = s.length_mm, ()
        if s.shape:
            near = max(abs(y + width / 2) - width / 2, 0.0)
            chord = s.length_mm * math.sqrt(max(1 - (near / (s.width_mm / 2)) ** 2, 0.0))
            length = min(up_to(chord + 2.0, 1.0), s.length_mm)
            shaping = (CutRound(length / 2, -y, s.length_mm, s.width_mm),)
        f.add(f"{'S' if s.slatted else 'W'}{i + 1}", f"{'slat' if s.slatted else 'seat board'} {i + 1}",
            "slat" if s.slatted else "board",
              length, width, s.seat_thickness_mm, Placement((-length / 2, y, s.leg_top_mm), X, Y), shaping=shaping,
              arris_mm=s.arris_mm if s.slatted else 0.0)
    return [_rounded(m) for m in f.members]


def _rounded(m: Member) -> Member:
    return replace(m, length_mm=round(m.length_mm, 6))


# ---------------------------------------------------------------- joints


def _joints(s: _S, j: Joiner) -> list[Joint]:
    between = {"A1": ("L1", "L2"), "A2": ("L3", "L4"), "A3": ("L2", "L3"), "A4": ("L4", "L1")}
    for rail, posts in between.items():
        # Two tenons meet in each leg at one height: mitred to each other, both keep their length.
        j.tenons("seat rail into leg", rail, posts, "rail_thickness_mm", flush=True, usual={"mitre": 1.0})
    if s.lower_rail_height_mm:
        for rail, posts in between.items():
            j.tenons("lower rail into leg", rail.replace("A", "R"), posts, "lower_rail_width_mm")
    if s.slatted:
        return j.made
    boards = [f"W{i + 1}" for i in range(s.board_count)]
    for a, b in zip(boards, boards[1:]):
        j.join("edge joint", "seat board edge to edge", a, b, "board_count")
    _hold(s, j, boards)
    return j.made


def _hold(s: _S, j: Joiner, boards: list[str]) -> None:
    """Screws in slots up through the rails: one board on those along it, up to three on those across."""
    from studio_lib.piece.kinds import KINDS

    kind, family = "slotted screws", "seat on rails, slotted screws"
    figures = {n: v for n, v in j.own.get(family, {}).items() if n in KINDS[kind].changeable}
    for rail in ("A1", "A2", "A3", "A4"):
        r = j.at(rail).placement.box_to_piece(j.at(rail).box)
        if rail in ("A1", "A2"):
            on = [b for b in boards if j.at(b).piece_box.lo[1] + 8 <= r.centre[1] <= j.at(b).piece_box.hi[1] - 8][:1]
        else:
            on = [b for b in boards if min(j.at(b).piece_box.hi[1], r.hi[1]) - max(j.at(b).piece_box.lo[1],
                    r.lo[1]) >= FROM_EDGE_MM]
            step = max(1, math.ceil(len(on) / 3))
            on = on[step // 2 :: step]
        for b in on:
            try:
                j.made.append(KINDS[kind].between(j.at(b), j.at(rail), family, {"count": 1.0} | figures))
            except ValueError:
                if figures:
                    raise


def _fixings(s: _S, present: list[Member]) -> tuple[Screws, ...]:
    if not s.slatted:
        return ()
    slats = [m for m in present if m.role == "slat"]
    out = []
    for r in (m for m in present if m.role == "rail"):
        box = r.piece_box
        across = abs(r.placement.along[1]) > 0.7
        for x in slats:
            if min(x.piece_box.hi[1], box.hi[1]) - max(x.piece_box.lo[1], box.lo[1]) < ON_RAIL_MM:
                continue
            if across:
                out.append(screws("slat on side rail", r, x, "let in"))
            else:
                out.append(placed(Screws("slat on rail along it", r.ref, x.ref, 2, gauge_mm(r, x), 40.0,
                        "from below, let in"), r, x, present))
    return tuple(row for row in out if row is not None)


STOOL_WITH_LEAN = Stool()
