"""Framed slatted screen: stiles and rails, upright or level slats; on feet, fixed, or in folding leaves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import chain, product

from studio_lib.brief.refusals import FOOTHOLD_MM, footholds
from studio_lib.brief.said import shoes_hidden_asked, whole_slats_asked
from studio_lib.commission import AnyChange, Brief, ScreenWish
from studio_lib.finding import Finding
from studio_lib.forms.changes import assembled
from studio_lib.forms.clamped import (
    CLAMP_GAP_MM, CLAMPED, NAMES, ROW_SIZES, TO_RAILING, Clamps, clamp_proposals, clamps_of, refuse_clamps, seen_parts, shown_on,
)
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice
from studio_lib.forms.space import room_findings
from studio_lib.forms.thin import thin_refused
from studio_lib.forms.under_ceiling import height_proposed, seen_under
from studio_lib.forms.frame_parts import (
    BALLAST,
    BY_CEILING,
    HELD_BY,
    NO_BALLAST,
    NOT_NAMED,
    Free,
    climbing,
    fixed_by,
    refused_as,
    screen_length,
    standing_findings,
    stands_proposed,
    usual_loads,
)
from studio_lib.people import Mix, percentile_mm
from studio_lib.people.body import SHOE_MM
from studio_lib.people.body import SOURCE as BODY
from studio_lib.piece import Joint, Member, Piece, Placement
from studio_lib.piece.hinge import Hinged
from studio_lib.piece.in_groove import InGroove
from studio_lib.piece.leaf_bolt import ConnectingBolts
from studio_lib.piece.let_in import LetIn
from studio_lib.piece.let_in_across import LetInAcross
from studio_lib.piece.mortise_tenon import MORTISE_DEEPER_MM, MortiseTenon, proportioned, stopped_room_mm
from studio_lib.piece.spacing import Row, equal_gaps, slats_for_gap
from studio_lib.piece.stub_tenon import StubTenon
from studio_lib.structure.fixings import UNDER_CEILING
from studio_lib.structure.loads import Load
from studio_lib.structure.one_slat import GIVES, thickness_for, width_for
from studio_lib.structure.tied import LET_IN_BAR

UP = (0.0, 0.0, 1.0)
PRACTICE = "common practice, no source"
JUDGEMENT = "a starting point of ours"
UPRIGHT, LEVEL = 0, 1
FEET, FOLDING = 0, 2
STANDS = ("on feet", NOT_NAMED, "in folding leaves", *HELD_BY, TO_RAILING, *BY_CEILING)
RAILED = STANDS.index(TO_RAILING)
STUBS, WHOLE, GROOVE = 0, 1, 2
DIVIDE, IN_BACKS = 0, 1
BARS = ("divide the slats", "let into the backs of whole slats")
LEAF_GAP_MM = 2.0
"""Between hinged leaves; common practice, no source."""
STUB_MM = 14.0
"""Room for a stub tenon, its mortise's last 2 mm included; common practice, no source."""
BETWEEN_STUBS_MM = 4.0
BAR_MM, PUBLIC_BAR_MM = (35.0, 12.0), (45.0, 16.0)
"""Width and thickness of a let-in bar, that hands a push on one slat of hardwood on to those beside it; where the public pushes harder."""
LET_IN_MM = 12.0
"""Depth that the ends of a let-in bar go into the frame; common practice, no source."""
MOST_SLATS = 300
MOST_HIGH_MM = 3000.0
CLOSE_MM = 15.0
"""Under a screen that hides what is on the floor behind it; judgement of ours."""
BOLT_CLEAR_MM = 16.0
"""From a bolt between two leaves to what is tenoned into their stiles; judgement of ours."""
BOLT_CLEAR_OF_STUB_MM = 9.0
"""From the middle of such a bolt to the stub of a level slat: half its hole and 4 to 5 mm of timber; judgement of ours."""
SLAT_IN_FRAME_MM = 4.0
"""How much thinner a slat is than its frame; judgement of ours."""


@dataclass(frozen=True)
class _Sizes:
    length_mm: float
    height_mm: float
    way: int
    stands: int
    leaves: int
    fold_deg: float
    bolted: int
    slat_width_mm: float
    slat_thickness_mm: float
    gap_mm: float
    slat_ends: int
    middle_bars: int
    bars: int
    bar_width_mm: float
    bar_thickness_mm: float
    stile_width_mm: float
    frame_thickness_mm: float
    rail_width_mm: float
    below_mm: float
    foot_mm: float
    foot_height_mm: float
    ballast_kg: float
    uprights: int
    upright_to: int
    upright_steel: int
    uprights_of_each: int
    uprights_from: int
    railing_mm: float
    railing_low_mm: float
    arris_mm: float

    @property
    def fixed(self) -> str:
        """What it is fixed to; '' where it stands free."""
        return fixed_by(STANDS[int(self.stands)])

    @property
    def leaf_count(self) -> int:
        return self.leaves if self.stands == FOLDING else self.uprights - 1 if self.fixed == CLAMPED else self.bolted if self.fixed else 1

    @property
    def leaf_mm(self) -> float:
        """Width of one leaf, in half millimetres where it folds; the gaps at the hinges take up the rest. In tenths where leaves are bolted."""
        n = self.leaf_count
        if n > 1 and self.fixed == CLAMPED:
            return math.floor(10 * (self.length_mm - (n - 1) * CLAMP_GAP_MM) / n + 1e-9) / 10
        if n > 1 and self.stands != FOLDING:
            return math.floor(10 * self.length_mm / n + 1e-9) / 10
        return self.length_mm if n == 1 else math.floor(2 * (self.length_mm - (n - 1) * LEAF_GAP_MM) / n) / 2

    @property
    def leaf_gap_mm(self) -> float:
        """Between two leaves, laid flat."""
        n = self.leaf_count
        return (self.length_mm - n * self.leaf_mm) / (n - 1) if n > 1 else 0.0

    @property
    def base_mm(self) -> float:
        """Where the stiles stand."""
        return self.foot_height_mm if self.stands == FEET else 0.0

    @property
    def inner_mm(self) -> float:
        """Between the stiles."""
        return self.leaf_mm - 2 * self.stile_width_mm

    @property
    def clear_mm(self) -> float:
        """Between the top and the bottom rail."""
        return self.height_mm - self.base_mm - self.below_mm - 2 * self.rail_width_mm

    @property
    def row(self) -> Row:
        """Slats and gaps across one leaf, upright slats from the left, level ones from below."""
        room = self.inner_mm if self.way == UPRIGHT else self.clear_mm
        return equal_gaps(room, slats_for_gap(room, self.slat_width_mm, self.gap_mm), self.slat_width_mm)

    @property
    def bays_mm(self) -> tuple[float, ...]:
        """What is open along the slats between their bars, all alike; where bars divide the slats, one setting of the stop cuts them to it."""
        bays = self.middle_bars + 1
        return (max(self.run_mm - self.middle_bars * self.across_mm, 0.0) / bays,) * bays

    @property
    def run_mm(self) -> float:
        """From rail to rail or stile to stile, the way the slats run."""
        return self.clear_mm if self.way == UPRIGHT else self.inner_mm

    @property
    def whole(self) -> bool:
        """The slats run on whole from end to end."""
        return self.bars == IN_BACKS or not self.middle_bars

    @property
    def across_mm(self) -> float:
        """Width of a bar between."""
        return self.bar_width_mm if self.bars == IN_BACKS else self.rail_width_mm

    @property
    def slats_mm(self) -> tuple[float, ...]:
        """Lengths of slats, one after the other."""
        return (self.run_mm,) if self.whole else self.bays_mm

    @property
    def free_mm(self) -> float:
        """The longest stretch of a slat that nothing holds: to the middle of a bar that is let in."""
        if self.bars == DIVIDE:
            return self.bays_mm[0]
        return self.bays_mm[0] + min(self.middle_bars, 2) * self.bar_width_mm / 2

    @property
    def turn_rad(self) -> float:
        """How far each leaf turns out of line, one way and the other."""
        return math.radians((180 - self.fold_deg) / 2) if self.stands == FOLDING and self.leaves > 1 else 0.0

    @property
    def solid_share(self) -> float:
        """Part of the screen's face that is timber."""
        row = self.row
        open_mm2 = sum(row.gaps_mm) * sum(self.bays_mm) + self.below_mm * self.inner_mm
        return 1 - open_mm2 / (self.leaf_mm * self.height_mm)


def _rounded(sizes: dict[str, float]) -> _Sizes:
    """Sizes to a hundredth of a millimetre: no workshop sets finer."""
    return _Sizes(**{name: round(value, 2) for name, value in sizes.items()})


SIZES = (
    Size("length_mm", "Width in all, unfolded", 300, 4800),
    Size("height_mm", "Height", 400, MOST_HIGH_MM),
    choice("way", "Slats run", ("upright", "level")),
    choice("stands", "It stands", STANDS),
    Size("leaves", "Leaves, where it folds", 2, 8, "", "overall", True),
    Size("fold_deg", "Angle between leaves as it stands", 60, 180, "degrees", "overall"),
    Size("bolted", "Leaves bolted together, where it is fixed", 1, 6, "", "overall", True),
    Size("slat_width_mm", "Slat width", 12, 150, "mm", "slats"),
    Size("slat_thickness_mm", "Slat thickness", 8, 66, "mm", "slats"),
    Size("gap_mm", "Gap wanted between slats", 2, 150, "mm", "slats"),
    choice("slat_ends", "Ends of slats", ("stub tenons", "let in whole", "in one groove, spacers between"), "slats"),
    Size("middle_bars", "Bars between", 0, 4, "", "slats", True),
    choice("bars", "How bars meet the slats", BARS, "slats"),
    Size("bar_width_mm", "Width of a bar let in", 15, 60, "mm", "slats"),
    Size("bar_thickness_mm", "Thickness of a bar let in", 6, 30, "mm", "slats"),
    Size("stile_width_mm", "Stile width", 25, 140, "mm", "frame"),
    Size("frame_thickness_mm", "Frame thickness", 16, 70, "mm", "frame"),
    Size("rail_width_mm", "Rail and bar width", 25, 180, "mm", "frame"),
    Size("below_mm", "Bottom rail above the foot or floor", 0, 400, "mm", "frame"),
    Size("foot_mm", "Length of each foot", 150, 1400, "mm", "frame"),
    Size("foot_height_mm", "Height of the feet", 25, 120, "mm", "frame"),
    BALLAST,
    *ROW_SIZES,
    Size("arris_mm", "Arris taken off", 0, 5, "mm", "frame"),
)
_WIDTH = {"stile": "stile_width_mm", "rail": "rail_width_mm", "bar": "rail_width_mm", LET_IN_BAR: "bar_width_mm", "slat": "slat_width_mm",
          "foot": "foot_height_mm"}
_THICKNESS = {"stile": "frame_thickness_mm", "rail": "frame_thickness_mm", "bar": "frame_thickness_mm", LET_IN_BAR: "bar_thickness_mm",
              "slat": "slat_thickness_mm", "foot": "foot_height_mm"}


class FramedScreen(Form):
    """A frame of stiles and rails filled with slats at equal gaps."""

    name = "framed screen"
    called = ("wide", "deep")
    follows_boards = False
    overall = ("length_mm", "", "height_mm")
    says = "stiles and rails filled with upright or level slats; on feet, fixed, or in folding leaves"
    sizes = SIZES

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        return _proposals(brief, around, chosen)

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _rounded(sizes)
        _refuse_the_impossible(s)
        joints = joints or {}
        members, spots = _members(s, letter, around.timber)
        piece = assembled(
            name=name, form=self.name, letter=letter, members=members,
            lay_joints=lambda by_ref, own: _joints(by_ref, spots, s, own, adjustments), changes=adjustments, own=joints,
            timber=around.timber, check=thin_refused({r: (_WIDTH[r], _THICKNESS[r]) for r in _WIDTH}),
        )
        clamps = _clamps(s)
        if s.fixed in UNDER_CEILING:
            return shown_on(piece, seen_under(s.length_mm, s.height_mm, "wall" in s.fixed))
        return shown_on(piece, seen_parts(s.length_mm, s.frame_thickness_mm, s.height_mm, s.leaf_mm, clamps)) if clamps else piece

    def clamps(self, sizes: dict[str, float]) -> Clamps | None:
        return _clamps(_rounded(sizes))

    def slats(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        s = _rounded(sizes)
        return s.slat_width_mm, min(s.row.gaps_mm), s.slat_thickness_mm

    def packed_mm(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        s = _rounded(sizes)
        return (s.leaf_mm, s.leaf_count * (s.frame_thickness_mm + LEAF_GAP_MM) - LEAF_GAP_MM, s.height_mm) if s.leaf_count > 1 else None

    def carried(self, piece: Piece) -> dict[str, tuple[str, ...]]:
        """Leaves that are bolted together, or set on uprights, where it stands are carried in one by one."""
        bolted = any(isinstance(j, ConnectingBolts) for j in piece.joints)
        if not bolted and not (piece.held_on and sum(m.role == "stile" for m in piece.members) > 2):
            return super().carried(piece)
        ends = [m.piece_box.hi[0] for m in piece.members if m.role == "stile" and m.hand == "right"]
        bounds = sorted(ends)[:-1]
        groups: dict[str, tuple[str, ...]] = {}
        for m in piece.members:
            name = f"leaf {1 + sum(m.piece_box.centre[0] > b for b in bounds)}"
            groups[name] = (*groups.get(name, ()), m.ref)
        return groups

    def fixed(self, sizes: dict[str, float]) -> str:
        return _rounded(sizes).fixed

    def solid_share(self, sizes: dict[str, float]) -> float | None:
        return _rounded(sizes).solid_share

    def unclimbed(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> str:
        return _unclimbed(_rounded(sizes), brief, piece.members[0].timber if piece.members else "")

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        s = _rounded(sizes)
        out = () if s.stands == FEET else ("foot_mm", "foot_height_mm")
        out += () if s.stands == FOLDING else ("leaves", "fold_deg")
        out += () if s.fixed == CLAMPED else NAMES
        out += () if s.bars == IN_BACKS and s.middle_bars else ("bar_width_mm", "bar_thickness_mm")
        out += () if s.middle_bars else ("bars",)
        return out + (("ballast_kg",) if s.fixed else ()) + (() if s.fixed and s.fixed != CLAMPED else ("bolted",))

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        return NAMES  # of uprights, which hold it

    def steadied_kg(self, sizes: dict[str, float]) -> float:
        s = _rounded(sizes)
        return 0.0 if s.fixed else s.ballast_kg

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        s = _rounded(sizes)
        gap, long = max(s.row.gaps_mm), max(s.bays_mm)
        return [("between slats", gap, long) if s.way == UPRIGHT else ("between slats", long, gap)]

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return self.fit_under(piece, sizes, brief, usual_loads(brief))

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        s = _rounded(sizes)
        free = None if s.fixed else Free(
            s.foot_mm if s.stands == FEET else None, s.length_mm, s.frame_thickness_mm, s.ballast_kg, s.leaf_count, s.fold_deg,
        )
        found = room_findings(piece.name, *piece.overall_mm[:2], brief, high_mm=piece.overall_mm[2])
        found += standing_findings(piece, brief, s.height_mm, s.length_mm, s.solid_share, free, loads, fixed=s.fixed, clamps=_clamps(s))
        if s.way == LEVEL:
            found += climbing(piece, brief, tuple(sorted({m.piece_box.hi[2] for m in piece.members if m.role == "slat"})))
        return found


def _clamps(s: _Sizes) -> Clamps | None:
    """How it is clamped to a railing; None where it is not."""
    return clamps_of(s, s.uprights) if s.fixed == CLAMPED else None


def _moe_mpa(name: str) -> float:
    """Stiffness of a timber, of a middling one while none is known. [MPa]"""
    from studio_lib.timber import timber

    try:
        return (timber(name).moe_gpa or 10.0) * 1000
    except KeyError:
        return 10_000.0


def _ledges_mm(s: _Sizes) -> tuple[float, ...]:
    """Tops of foot, rails and level bars, from below; upright slats only. [mm]"""
    low = s.base_mm + s.below_mm + s.rail_width_mm
    bars = [low + (k + 1) * (s.bays_mm[0] + s.across_mm) for k in range(s.middle_bars)]
    return (s.base_mm, low, *bars, s.height_mm)


def _slats_take_mm(s: _Sizes, brief: Brief, timber: str) -> float:
    """Thickness that slats take between their bars so that a push does not bow them too far. [mm]"""
    return math.ceil(thickness_for(usual_loads(brief)["slat"].force_n, max(s.free_mm, 60.0), s.slat_width_mm, _moe_mpa(timber)))


def _unclimbed(s: _Sizes, brief: Brief, timber: str) -> str:
    """The fewest changes of sizes that leave no foothold; where none do, what to do instead."""
    if s.way == LEVEL:
        return "Let the slats run upright, at 'Slats run' on Sizes."
    lower = min(s.below_mm, math.floor(FOOTHOLD_MM[0] - s.rail_width_mm - s.base_mm - 1))
    for bars in dict.fromkeys((s.middle_bars, 0, 1, 2)):
        for below in dict.fromkeys((s.below_mm, lower)):
            tried = replace(s, middle_bars=bars, below_mm=below)
            thick = _slats_take_mm(tried, brief, timber)
            if below < 0 or footholds(_ledges_mm(tried)) or thick > 40 or min(tried.bays_mm) < 60:
                continue
            said = [f"'Bottom rail above the foot or floor' to {below:g} mm, its top then under {FOOTHOLD_MM[0]:.0f} mm"] if below != s.below_mm else []
            if bars != s.middle_bars:
                slats = f", the slats {thick:.0f} mm thick for it" if thick > s.slat_thickness_mm else ""
                frame = f" in a frame of {thick + SLAT_IN_FRAME_MM:.0f} mm" if thick > s.frame_thickness_mm - SLAT_IN_FRAME_MM else ""
                said.append(f"'Bars between' to {bars}{slats}{frame}")
            return f"On Sizes set {' and '.join(said)}." if said else ""
    return ("Bring the bottom rail's top under 150 mm, with a narrower rail or without feet, and any bar's top more than 760 mm above it; "
            "or close the face towards people.")


def _proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    tall = math.ceil((percentile_mm("stature", 95, Mix(brief.share_women)) + SHOE_MM) / 10) * 10.0
    long, stood, public = screen_length(brief, 1200.0, "twice the width of a person", 4800.0), stands_proposed(brief, STANDS), brief.use == "public"
    length, stands = chosen.get("length_mm", long.value), int(chosen.get("stands", stood.value))
    wished = next((w.height_mm for w in brief.wishes or () if isinstance(w, ScreenWish) and w.height_mm), None)
    leaves = max(2, min(8, math.ceil(length / 600)))
    frame, low_t = chosen.get("frame_thickness_mm"), 24.0 if public else 18.0
    wide = chosen.get("slat_width_mm", 45.0 if public else 40.0)
    push, way = usual_loads(brief)["slat"].force_n, chosen.get("way", UPRIGHT)
    rail, stile = chosen.get("rail_width_mm", 70.0), chosen.get("stile_width_mm", 60.0)
    up = fixed_by(STANDS[stands]) in UNDER_CEILING
    height = height_proposed(brief, MOST_HIGH_MM) if up else Proposal(
        min(max(wished, 400.0), MOST_HIGH_MM), "the height wished for", "brief") if wished else Proposal(
        tall, "hides 95 of 100 people standing, in shoes; 1430 mm hides one who sits", BODY)
    tall_mm = chosen.get("height_mm", height.value)
    railing = clamp_proposals(brief, length, tall_mm, chosen, stands == RAILED)
    on_railing = int(chosen.get("uprights", railing["uprights"].value)) - 1
    leaf = length / max(int(chosen.get("leaves", leaves)) if stands == FOLDING else on_railing if stands == RAILED else int(chosen.get("bolted", 1)) if fixed_by(STANDS[stands]) else 1, 1)
    foot = chosen.get("foot_height_mm", 60.0) if stands == FEET else 0.0
    usual_low = CLOSE_MM if stands != FEET and shoes_hidden_asked(brief) else 80.0
    high = tall_mm - chosen.get("below_mm", usual_low) - 2 * rail - foot
    room = high if way == UPRIGHT else leaf - 2 * stile
    bar_wide, bar_thick = PUBLIC_BAR_MM if public else BAR_MM
    asked = whole_slats_asked(brief, way == UPRIGHT)
    let_in = chosen.get("bars", IN_BACKS if asked else DIVIDE) == IN_BACKS
    across = chosen.get("bar_width_mm", bar_wide) if let_in else rail
    e_mpa = _moe_mpa(around.timber if around else "")

    def takes(bars: int) -> float:
        """Thickness that slats take between so many bars. [mm]"""
        free = (room - bars * across) / (bars + 1) + (min(bars, 2) * across / 2 if let_in else 0.0)
        return thickness_for(push, max(free, 60.0), wide, e_mpa)

    bars = 1 if way == UPRIGHT else int(leaf > 1300)
    thin = chosen.get("slat_thickness_mm", low_t)
    while bars < 4 and takes(bars) > thin:
        bars += 1
    low = chosen.get("below_mm", usual_low)
    climbed = bool(brief.beside_a_drop and brief.near_children and way == UPRIGHT)
    if climbed:
        low = chosen.get("below_mm", min(usual_low, max(FOOTHOLD_MM[0] - 1 - rail - foot, 0.0)))
        high += chosen.get("below_mm", usual_low) - low
        room = high
        first = low + foot + rail
        out_of_reach = [n for n in (bars, *range(4)) if not footholds(
            (foot, first, *(first + (k + 1) * ((room - n * across) / (n + 1) + across) for k in range(n)))) and takes(n) <= 40]
        bars = out_of_reach[0] if out_of_reach else bars
    needs = math.ceil(takes(int(chosen.get("middle_bars", bars))))
    thick = min(max(low_t, needs), 40.0, (frame or 70.0) - SLAT_IN_FRAME_MM)
    pushed = f"a push of {push:.0f} N on one slat bows it by no more than a {GIVES}th of its length"
    usual_wide = 45.0 if public else 40.0
    n = int(chosen.get("middle_bars", bars))
    stretch = max((room - n * across) / (n + 1) + (min(n, 2) * across / 2 if let_in else 0.0), 60.0)
    apart = width_for(stretch, chosen.get("slat_thickness_mm", thick), chosen.get("gap_mm", 34.0), e_mpa) if brief.near_children else 0.0
    return {
        "length_mm": long,
        "height_mm": height,
        "way": Proposal(UPRIGHT, "upright slats are not climbed and shed water", PRACTICE),
        "stands": stood,
        "leaves": Proposal(leaves, "leaves of about 600 mm, that one person folds", JUDGEMENT),
        "fold_deg": Proposal(120.0, "a zigzag that stands and still looks wide", JUDGEMENT),
        "bolted": Proposal(1, "in one, with rails in one length, unless it must come in leaves", JUDGEMENT),
        "slat_width_mm": Proposal(min(float(5 * math.ceil(apart / 5)), 150.0), "so that no child pushes two of them apart", "16 CFR 1513.4, as much sideways a judgement of ours")
        if apart > usual_wide else Proposal(usual_wide, "from the rest of boards, and stays straight", JUDGEMENT),
        "slat_thickness_mm": Proposal(thick, pushed, JUDGEMENT) if thick > low_t else Proposal(low_t, f"stub tenons of {8 if public else 6} mm", JUDGEMENT),
        "gap_mm": Proposal(34.0, "over the 25 mm that hold a child's finger in any season, under the 89 mm that let a head in",
                           "CFOC standard 6.2.1.9; CPSC public playground handbook B.2.5.1"),
        "slat_ends": Proposal(STUBS, "shoulders hide the mortises as slats shrink", PRACTICE),
        "middle_bars": Proposal(bars, f"{pushed}, and no bar is a foothold beside the drop" if climbed else f"{pushed}, and none runs free over about 1300 mm", JUDGEMENT),
        "bars": Proposal(IN_BACKS, f"whole slats from end to end, in the client's words: '{asked}'", "brief") if asked
        else Proposal(DIVIDE, "frame, bars and slats lie in one plane, alike from both sides", JUDGEMENT),
        "bar_width_mm": Proposal(bar_wide, "about as wide as a slat, so that it is hardly seen behind them", JUDGEMENT),
        "bar_thickness_mm": Proposal(min(bar_thick, chosen.get("slat_thickness_mm", thick)), "let in by half of a slat at the most, and strong enough for a push on one slat", JUDGEMENT),
        "stile_width_mm": Proposal(60.0, "tenons of 38 mm from the rails", JUDGEMENT),
        "frame_thickness_mm": Proposal(max(40.0 if public else 36.0, chosen.get("slat_thickness_mm", thick) + SLAT_IN_FRAME_MM),
                                      "tenons a third of it; slats sit inside it", JUDGEMENT),
        "rail_width_mm": Proposal(70.0, "wide enough to keep the frame square", JUDGEMENT),
        "below_mm": Proposal(low, "the bottom rail's top under 150 mm is no foothold beside the drop", "building codes on guards, from memory")
        if climbed and low < usual_low else Proposal(usual_low, "near the floor, so that no shoes are seen; slats closer together, or a higher bottom rail, hide more", "brief") if usual_low < 80
        else Proposal(80.0, "a broom and rain pass under it", PRACTICE),
        "foot_mm": Proposal(600.0, "as long as people step over without tripping", JUDGEMENT),
        "foot_height_mm": Proposal(60.0, "a tenon of 38 mm from the stile", JUDGEMENT),
        "ballast_kg": NO_BALLAST,
        **railing,
        "arris_mm": Proposal(2.0, "2 to 3 mm outdoors so that finish stays on the edge", PRACTICE),
    }


def _refuse_the_impossible(s: _Sizes) -> None:
    if s.fixed == CLAMPED:
        refuse_clamps(s)
    if s.inner_mm < 60:
        field = ("leaves" if s.stands == FOLDING else "uprights" if s.fixed == CLAMPED else "bolted") if s.leaf_count > 1 else "stile_width_mm"
        raise SizeRefused(
            field, f"{s.leaf_mm:.0f} mm of leaf with two stiles of {s.stile_width_mm:g} mm leave {max(s.inner_mm, 0):.0f} mm between them; "
            f"60 mm are needed. {'Fewer leaves' if s.leaf_count > 1 else 'Narrower stiles'}, or a wider screen.",
        )
    if s.clear_mm < 100:
        raise SizeRefused(
            "rail_width_mm", f"Rails of {s.rail_width_mm:g} mm, {s.below_mm:g} mm under the lower one and {s.base_mm:g} mm of foot leave "
            f"{max(s.clear_mm, 0):.0f} mm between the rails; 100 mm are needed. Narrower rails, less below, or a higher screen.",
        )
    if s.slat_thickness_mm > s.frame_thickness_mm - SLAT_IN_FRAME_MM:
        raise SizeRefused(
            "slat_thickness_mm", f"Slats of {s.slat_thickness_mm:g} mm do not sit inside a frame of {s.frame_thickness_mm:g} mm; "
            f"give {s.frame_thickness_mm - SLAT_IN_FRAME_MM:g} mm or less, or a thicker frame.",
        )
    room = s.inner_mm if s.way == UPRIGHT else s.clear_mm
    if s.slat_width_mm > room - 4:
        raise SizeRefused("slat_width_mm", f"A slat of {s.slat_width_mm:g} mm does not fit in {room:.0f} mm; give {max(room - 4, 0):.0f} mm or less.")
    if min(s.bays_mm) < 60:
        leave = f"slats {max(min(s.bays_mm), 0):.0f} mm long" if s.bars == DIVIDE else f"{max(min(s.bays_mm), 0):.0f} mm of slat between them"
        raise SizeRefused(
            "middle_bars", f"{s.middle_bars} bars of {s.across_mm:g} mm leave {leave}; 60 mm are needed. Fewer or narrower bars.",
        )
    if s.bars == IN_BACKS and s.middle_bars and s.bar_thickness_mm > s.slat_thickness_mm:
        raise SizeRefused(
            "bar_thickness_mm", f"Bars of {s.bar_thickness_mm:g} mm are thicker than the slats of {s.slat_thickness_mm:g} mm that they are let into; "
            f"give {s.slat_thickness_mm:g} mm or less.",
        )
    if min(s.row.gaps_mm) < 1:
        raise SizeRefused(
            "gap_mm", f"{len(s.row.widths_mm)} slats of {s.slat_width_mm:g} mm leave gaps of {min(s.row.gaps_mm):.1f} mm in {room:.0f} mm; "
            "1 mm is needed for them to go in. Ask for wider gaps, or other slats.",
        )
    count = len(s.row.widths_mm) * len(s.slats_mm) * s.leaf_count
    if count > MOST_SLATS:
        raise SizeRefused("gap_mm", f"That makes {count} slats; {MOST_SLATS} at most. Wider slats or gaps, or fewer bars.")
    if s.stands == FEET and s.foot_mm < s.frame_thickness_mm + 60:
        raise SizeRefused("foot_mm", f"Feet of {s.foot_mm:g} mm under a frame of {s.frame_thickness_mm:g} mm; give {s.frame_thickness_mm + 60:g} mm or more.")


def _members(s: _Sizes, letter: str, timber: str):
    """Members, and for each leaf what is joined to what: (kind, first, second)."""
    out: list[Member] = []
    spots: list[tuple[str, str, str]] = []
    counts: dict[str, int] = {}

    def add(code, name, role, origin, along, across, length, width, thickness, rank="show", hand=""):
        counts[code] = counts.get(code, 0) + 1
        ref = f"{letter}-{code}{counts[code]}"
        number = counts[code]
        out.append(Member(ref, name.format(n=number), role, timber, length, width, thickness, Placement(origin, along, across), s.arris_mm, rank, (), hand))
        return ref

    def direction(a):
        return (math.cos(a), math.sin(a), 0.0)

    # Leaves one after another: pins on the front face at odd folds, on the back face at even ones.
    corners, point = [], (0.0, 0.0)
    for k in range(s.leaf_count):
        a = s.turn_rad * (1 if k % 2 == 0 else -1)
        u = direction(a)
        n = (-u[1], u[0])
        back = k % 2 == 0 and k > 0  # leaf k hangs on the pin before it: front face for odd k, back face for even
        start = tuple(p - (s.frame_thickness_mm * c if back else 0.0) for p, c in zip(point, n))
        corners.append((start, u, n))
        ahead_back = k % 2 == 1
        point = tuple(
            p + s.leaf_mm * c + (s.frame_thickness_mm * m if ahead_back else 0.0) + (s.leaf_gap_mm if i == 0 else 0.0)
            for i, (p, c, m) in enumerate(zip(start, u, n))
        )
    t = s.frame_thickness_mm
    ends = [tuple(c + x * ui + y * ni for c, ui, ni in zip(st, u, n)) for st, u, n in corners for x in (0, s.leaf_mm) for y in (0, t)]
    mx = (min(e[0] for e in ends) + max(e[0] for e in ends)) / 2
    my = (min(e[1] for e in ends) + max(e[1] for e in ends)) / 2

    row, slats = s.row, s.slats_mm
    low = s.base_mm + s.below_mm
    stiles: list[tuple[str, str]] = []
    for leaf, (start, u, n) in enumerate(corners, 1):
        of = f", leaf {leaf}" if s.leaf_count > 1 else ""

        def at(x, y, z):
            return (start[0] - mx + x * u[0] + y * n[0], start[1] - my + x * u[1] + y * n[1], z)

        tall = s.height_mm - s.base_mm
        pair = tuple(
            add("P", f"stile, {hand}{of}", "stile", at(x, 0.0, s.base_mm), UP, u, tall, s.stile_width_mm, t, "show", hand)
            for hand, x in (("left", 0.0), ("right", s.leaf_mm - s.stile_width_mm))
        )
        stiles.append(pair)
        if s.stands == FEET:
            for hand, x, stile in (("left", 0.0, pair[0]), ("right", s.leaf_mm - s.stile_width_mm, pair[1])):
                # Along the depth, width along the screen; its face looks down.
                foot = add("F", f"foot, {hand}", "foot", at(x, t / 2 - s.foot_mm / 2, s.foot_height_mm), n + (0.0,), u,
                           s.foot_mm, s.stile_width_mm, s.foot_height_mm, "show", hand)
                spots.append(("stile into foot", stile, foot))
        rails = {}
        for which, z in (("bottom", low), ("top", s.height_mm - s.rail_width_mm)):
            rails[which] = add("R", f"rail, {which}{of}", "rail", at(s.stile_width_mm, t, z), u, UP, s.inner_mm, s.rail_width_mm, t)
            for stile in pair:
                spots.append((f"{which} rail into stile", rails[which], stile))
        first = low + s.rail_width_mm
        behind = (t - s.slat_thickness_mm) / 2
        let_in = s.bars == IN_BACKS
        role, into, thick = (LET_IN_BAR, BAR_LET_IN, s.bar_thickness_mm) if let_in else ("bar", "bar into frame", t)
        back = t - behind if let_in else t
        bars = []
        place = 0.0
        for bay in s.bays_mm[:s.middle_bars]:
            place += bay
            if s.way == UPRIGHT:
                bar = add("B", role + " {n}", role, at(s.stile_width_mm, back, first + place), u, UP, s.inner_mm, s.across_mm, thick)
                spots += [(into, bar, stile) for stile in pair]
            else:
                bar = add("B", role + " {n}", role, at(s.stile_width_mm + place, back - thick, first), UP, u, s.clear_mm, s.across_mm, thick)
                spots += [(into, bar, rails[w]) for w in ("bottom", "top")]
            bars.append(bar)
            place += s.across_mm
        between = [] if let_in else bars
        held = [rails["bottom"], *between, rails["top"]] if s.way == UPRIGHT else [pair[0], *between, pair[1]]
        place = 0.0
        for k, bay in enumerate(slats):
            for offset in row.starts_mm:
                if s.way == UPRIGHT:
                    slat = add("S", "slat {n}", "slat", at(s.stile_width_mm + offset, behind, first + place), UP, u,
                               bay, s.slat_width_mm, s.slat_thickness_mm)
                else:
                    slat = add("S", "slat {n}", "slat", at(s.stile_width_mm + place, behind + s.slat_thickness_mm, first + offset), u, UP,
                               bay, s.slat_width_mm, s.slat_thickness_mm)
                spots += [("slat into frame", slat, held[k]), ("slat into frame", slat, held[k + 1])]
                spots += [(ACROSS_BACKS, bar, slat) for bar in bars if let_in]
            place += bay + s.rail_width_mm
    for (_, right), (left, _) in zip(stiles, stiles[1:]) if s.fixed != CLAMPED else ():
        spots.append(("leaf to leaf" if s.stands == FOLDING else "leaf bolted to leaf", right, left))
    return out, spots


BAR_LET_IN, ACROSS_BACKS = "let-in bar into frame", "let-in bar across slats"
_FIELD = {"stile into foot": "foot_height_mm", "top rail into stile": "stile_width_mm", "bottom rail into stile": "stile_width_mm",
          "bar into frame": "stile_width_mm", BAR_LET_IN: "bar_width_mm", ACROSS_BACKS: "bar_thickness_mm", "slat into frame": "slat_width_mm", "leaf to leaf": "leaves", "leaf bolted to leaf": "bolted"}


def _joints(by_ref: dict[str, Member], spots, s: _Sizes, own, changes) -> list[Joint]:
    made: list[Joint] = []
    seen: set[str] = set()
    for family, one, two in spots:
        first, second = by_ref[one], by_ref[two]
        # Every rail, bar, slat meets first what holds its start, then what holds its end.
        end = "start" if family == "stile into foot" or one not in seen else "end"
        if family != "stile into foot":
            seen.add(one)
        make = refused_as(_FIELD[family], changes)
        mine = own.get(family)
        if family == "leaf bolted to leaf":
            made.append(make(ConnectingBolts.between, first, second, family, {**_clear_bolts(s), **(mine or {})}))
        elif family == "leaf to leaf":
            made.append(make(Hinged.between, first, second, family, mine))
        elif family == ACROSS_BACKS:
            made.append(make(LetInAcross.between, first, second, family, mine))
        elif family == BAR_LET_IN:
            figures = mine or {"depth_mm": float(int(min(LET_IN_MM, second.width_mm / 2 - 1.0)))}
            made.append(make(LetIn.between, first, second, family, figures))
        elif family == "slat into frame" and s.slat_ends in (WHOLE, GROOVE):
            limit = _room_mm(second, s) - 1.0
            figures = mine or {"depth_mm": float(int(min(10.0, limit)))}
            let_in = make((LetIn if s.slat_ends == WHOLE else InGroove).between, first, second, family, figures)
            made.append(let_in if s.slat_ends == WHOLE else let_in.beside(*_of_groove(first, s)))
        else:
            room = stopped_room_mm(first, end, second)
            if family == "slat into frame":
                room = min(STUB_MM, room, _room_mm(second, s))
            elif family == "bar into frame":
                room = min(room, 2 / 3 * second.width_mm + MORTISE_DEEPER_MM)
            made.append(make(
                proportioned, family, first, end, second, room_mm=room,
                at_leg_end=family == "top rail into stile",
                changed=mine, kind=StubTenon if family == "slat into frame" else MortiseTenon,
            ))
    return made


def _of_groove(slat: Member, s: _Sizes) -> tuple[float, float, bool, bool]:
    """What of the groove is a slat's: to half way to its neighbours, at the ends of the row to the end of the groove; which end it is at."""
    row = s.row
    k = (int(slat.ref.rpartition("-S")[2]) - 1) % len(row.widths_mm)
    first, last = k == 0, k == len(row.widths_mm) - 1
    before, after = row.gaps_mm[k], row.gaps_mm[k + 1]
    return (before if first else before / 2, after if last else after / 2, first, last)


def _clear_bolts(s: _Sizes) -> dict[str, float]:
    """How many bolts join two leaves, and how far the outer ones stand from the ends, so that none meets what is tenoned into the stiles."""
    tall, low = s.height_mm - s.base_mm, s.below_mm
    rails = [(low, low + s.rail_width_mm), (tall - s.rail_width_mm, tall)]
    if s.way == UPRIGHT:
        rails += [(z - s.base_mm - s.across_mm, z - s.base_mm) for z in _ledges_mm(s)[2:-1]]

    met = [(a - BOLT_CLEAR_MM, b + BOLT_CLEAR_MM) for a, b in rails]
    if s.way != UPRIGHT:
        at = low + s.rail_width_mm
        for gap, wide in zip(s.row.gaps_mm, s.row.widths_mm):
            met.append((at + gap - BOLT_CLEAR_OF_STUB_MM, at + gap + wide + BOLT_CLEAR_OF_STUB_MM))
            at += gap + wide

    def free(z):
        return not any(a < z < b for a, b in met)

    def clear(n, end, first):
        return all(free(first + k * (tall - end - first) / (n - 1)) for k in range(n))

    ends = sorted((10.0 * k for k in range(6, int(tall / 2.5 / 10))), key=lambda e: abs(e - 200.0))
    alike = ({"count": float(n), "end_mm": end} for n in (3, 4, 2, 5) for end in ends if clear(n, end, end))
    # Between level slats, each end where its own gap is.
    fine = sorted((float(k) for k in range(60, int(tall / 2.5))), key=lambda e: abs(e - 200.0))
    lows, highs = [e for e in fine if free(e)][:40], [e for e in fine if free(tall - e)][:40]
    apart = ({"count": float(n), "end_mm": end, "low_mm": first} for n in (3, 2) for end, first in product(highs, lows) if clear(n, end, first))
    return next(chain(alike, apart), {})


def _room_mm(held_by: Member, s: _Sizes) -> float:
    """Depth for a slat's end: half of a bar less what stays between two slats end to end, else two thirds of the member."""
    if held_by.role == "bar":
        return (held_by.width_mm - BETWEEN_STUBS_MM) / 2
    return held_by.width_mm / 2


FRAMED_SCREEN = FramedScreen()
