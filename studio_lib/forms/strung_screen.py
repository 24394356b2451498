"""Strung screen: level slats on cables between a top and a bottom rail, spacers between them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from studio_lib.brief.refusals import CREEP, SEEN_SAG, fingers, sagging
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.changes import any_made, assembled, own_ref
from studio_lib.forms.clamped import CLAMPED, NAMES, ONE_SIZES, TO_RAILING, Clamps, clamp_proposals, clamps_of, refuse_clamps, seen_parts, shown_on
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice
from studio_lib.forms.space import room_findings
from studio_lib.forms.thin import thin_refused
from studio_lib.forms.under_ceiling import height_proposed, seen_under
from studio_lib.forms.frame_parts import (
    ASSUMED_KG_M3,
    BALLAST,
    BY_CEILING,
    HELD_BY,
    NO_BALLAST,
    NOT_NAMED,
    Free,
    climbing,
    fixed_by,
    screen_length,
    standing_findings,
    stands_proposed,
    usual_loads,
    weight_n,
)
from studio_lib.piece import Joint, Member, Piece, Placement
from studio_lib.piece.cable import CAUTION, StrungCable, safe_load_n
from studio_lib.piece.mortise_tenon import proportioned, stopped_room_mm
from studio_lib.piece.spacing import random_counts, repeated
from studio_lib.structure.fixings import UNDER_CEILING
from studio_lib.structure.loads import G, Load

UP = (0.0, 0.0, 1.0)
PRACTICE = "common practice, no source"
JUDGEMENT = "a starting point of ours"
FEET = 0
STANDS = ("on feet", NOT_NAMED, *HELD_BY, TO_RAILING, *BY_CEILING)
RAILED = STANDS.index(TO_RAILING)
ON_EDGE, FLAT = 0, 1
RANDOM, BY_HAND = 0, 1
MOST_SLATS = 150
MOST_HIGH_MM = 3000.0
FITTING_MM = 24.0
"""Room for end fittings under the bottom rail; judgement of ours."""
RAIL_GOAL = 0.9
"""Part of the sag an eye sees that a rail is proposed to keep within."""
DEEP_HOLE = 20.0
"""A hole deeper than so many diameters wanders; common practice, no source."""


@dataclass(frozen=True)
class _Sizes:
    length_mm: float
    height_mm: float
    stands: int
    lie: int
    slat_a_mm: float
    slat_b_mm: float
    slat_c_mm: float
    slat_thickness_mm: float
    side_gap_mm: float
    spacer_mm: float
    counts: int
    spacers_least: int
    spacers_most: int
    seed: int
    pattern: int
    cables: int
    from_end_mm: float
    cable_mm: float
    tension_n: float
    spring_mm: float
    post_width_mm: float
    frame_thickness_mm: float
    rail_width_mm: float
    below_mm: float
    foot_mm: float
    foot_height_mm: float
    ballast_kg: float
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
    def base_mm(self) -> float:
        return self.foot_height_mm if self.stands == FEET else 0.0

    @property
    def inner_mm(self) -> float:
        """Between the posts."""
        return self.length_mm - 2 * self.post_width_mm

    @property
    def slat_length_mm(self) -> float:
        return self.inner_mm - 2 * self.side_gap_mm

    @property
    def room_mm(self) -> float:
        """Between the rails at their furthest apart."""
        return self.height_mm - self.base_mm - self.below_mm - 2 * self.rail_width_mm

    @property
    def mix_mm(self) -> tuple[float, ...]:
        """The widths that repeat, from below."""
        return (self.slat_a_mm, *(w for w in (self.slat_b_mm, self.slat_c_mm) if w))

    def stack_of(self, count: int) -> tuple[float, ...]:
        """Sizes of so many slats along the cable, from below."""
        mix = self.mix_mm
        return tuple(mix[k % len(mix)] if self.lie == ON_EDGE else self.slat_thickness_mm for k in range(count))

    @property
    def pattern_numbers(self) -> tuple[int, ...]:
        """The figures of the pattern, one for each gap: 1213 is 1, 2, 1, 3."""
        return tuple(int(c) for c in str(int(self.pattern)))

    @cached_property
    def strung(self) -> tuple[tuple[float, ...], tuple[int, ...]]:
        """Sizes of the slats along the cable and spacers in each gap, from below: one gap more than slats."""
        best = 0
        for n in range(1, MOST_SLATS + 2):
            if sum(self.stack_of(n)) + self._usual_spacers(n) * self.spacer_mm > self.room_mm + 1e-9:
                break
            best = n
        slats = self.stack_of(best)
        if not best:
            return (), ()
        if self.counts == BY_HAND:
            return slats, repeated(self.pattern_numbers, best + 1)
        places = best + 1
        total = int((self.room_mm - sum(slats)) / self.spacer_mm + 1e-9)
        total = min(max(total, places * self.spacers_least), places * self.spacers_most)
        return slats, random_counts(places, self.spacers_least, self.spacers_most, int(self.seed), total)

    def _usual_spacers(self, slats: int) -> float:
        """Spacers that so many slats take: as drawn, or midway between the limits."""
        if self.counts == BY_HAND:
            return sum(repeated(self.pattern_numbers, slats + 1))
        least = (slats + 1) * self.spacers_least
        return max(least, int((slats + 1) * (self.spacers_least + self.spacers_most) / 2))

    @property
    def stack_mm(self) -> float:
        """Slats and spacers, from rail to rail."""
        slats, counts = self.strung
        return sum(slats) + sum(counts) * self.spacer_mm

    @property
    def below_made_mm(self) -> float:
        """Under the bottom rail, with what the stack leaves over: the rail closes on the stack."""
        return self.below_mm + self.room_mm - self.stack_mm

    @property
    def solid_share(self) -> float:
        slats, counts = self.strung
        open_mm2 = sum(counts) * self.spacer_mm * self.inner_mm + 2 * self.side_gap_mm * sum(slats) + self.below_made_mm * self.inner_mm
        return 1 - open_mm2 / (self.length_mm * self.height_mm)


SIZES = (
    Size("length_mm", "Width", 300, 2600),
    Size("height_mm", "Height", 400, MOST_HIGH_MM),
    choice("stands", "It stands", STANDS),
    choice("lie", "Slats", ("stand on edge", "lie flat"), "slats"),
    Size("slat_a_mm", "Slat width, first", 12, 150, "mm", "slats"),
    Size("slat_b_mm", "Slat width, second, 0 for none", 0, 150, "mm", "slats"),
    Size("slat_c_mm", "Slat width, third, 0 for none", 0, 150, "mm", "slats"),
    Size("slat_thickness_mm", "Slat thickness", 12, 50, "mm", "slats"),
    Size("side_gap_mm", "Between slats and posts", 2, 100, "mm", "slats"),
    Size("spacer_mm", "Thickness of a spacer", 3, 80, "mm", "spacers"),
    choice("counts", "Spacers in each gap", ("by chance within limits", "by hand, as a pattern"), "spacers", given=True),
    Size("spacers_least", "At least", 0, 9, "", "spacers", True),
    Size("spacers_most", "At most", 1, 9, "", "spacers", True),
    Size("seed", "Number that keeps the chance", 0, 999_999, "", "spacers", True, given=True),
    Size("pattern", "Pattern from below, a figure for each gap, then again", 1, 999_999_999, "", "spacers", True, given=True),
    Size("cables", "Cables", 1, 6, "", "cables", True),
    Size("from_end_mm", "Outer cables from the slats' ends", 10, 800, "mm", "cables"),
    Size("cable_mm", "Cable diameter", 2, 6, "mm", "cables"),
    Size("tension_n", "Tension in each cable", 50, 3000, "N", "cables"),
    Size("spring_mm", "Springs give", 0, 60, "mm", "cables"),
    Size("post_width_mm", "Post width", 30, 140, "mm", "frame"),
    Size("frame_thickness_mm", "Frame thickness", 24, 90, "mm", "frame"),
    Size("rail_width_mm", "Rail width (depth)", 40, 200, "mm", "frame"),
    Size("below_mm", "Bottom rail above the foot or floor, at least", FITTING_MM, 400, "mm", "frame"),
    Size("foot_mm", "Length of each foot", 150, 1400, "mm", "frame"),
    Size("foot_height_mm", "Height of the feet", 25, 120, "mm", "frame"),
    BALLAST,
    *ONE_SIZES,
    Size("arris_mm", "Arris taken off", 0, 5, "mm", "frame"),
)
_WIDTH = {"post": "post_width_mm", "rail": "rail_width_mm", "slat": "slat_a_mm", "foot": "foot_height_mm"}
_THICKNESS = {"post": "frame_thickness_mm", "rail": "frame_thickness_mm", "slat": "slat_thickness_mm", "foot": "foot_height_mm"}


def _rounded(sizes: dict[str, float]) -> _Sizes:
    """Sizes to a hundredth of a millimetre: no workshop sets finer."""
    return _Sizes(**{name: round(value, 2) for name, value in sizes.items()})


class StrungScreen(Form):
    """Slats threaded on cables; the bottom rail closes on the stack."""

    name = "strung screen"
    called = ("wide", "deep")
    follows_boards = False
    overall = ("length_mm", "", "height_mm")
    says = "slats of mixed widths strung on cables with spacers, between a top and a bottom rail"
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
        piece = assembled(
            name=name, form=self.name, letter=letter, members=_members(s, letter, around.timber),
            lay_joints=lambda by_ref, own: _joints(by_ref, letter, s, own, adjustments), changes=adjustments, own=joints,
            timber=around.timber, check=thin_refused({r: (_WIDTH[r], _THICKNESS[r]) for r in _WIDTH}),
        )
        clamps = _clamps(s)
        if s.fixed in UNDER_CEILING:
            return shown_on(piece, seen_under(s.length_mm, s.height_mm, "wall" in s.fixed))
        return shown_on(piece, seen_parts(s.length_mm, s.frame_thickness_mm, s.height_mm, s.length_mm, clamps)) if clamps else piece

    def clamps(self, sizes: dict[str, float]) -> Clamps | None:
        return _clamps(_rounded(sizes))

    def fixed(self, sizes: dict[str, float]) -> str:
        return _rounded(sizes).fixed

    def solid_share(self, sizes: dict[str, float]) -> float | None:
        return _rounded(sizes).solid_share

    def unclimbed(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> str:
        return ("Take a framed screen with upright slats instead, at 'Add a piece' on the Brief page: the slats of a strung screen lie level, "
                "on edge or flat, and are climbed either way.")

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        s = _rounded(sizes)
        out = ("ballast_kg", "foot_mm", "foot_height_mm") if s.fixed else ()
        out += () if s.fixed == CLAMPED else tuple(size.name for size in ONE_SIZES)
        return out + (("pattern",) if s.counts == RANDOM else ("spacers_least", "spacers_most", "seed"))

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        return NAMES  # of uprights, which hold it

    def steadied_kg(self, sizes: dict[str, float]) -> float:
        s = _rounded(sizes)
        return 0.0 if s.fixed else s.ballast_kg

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        s = _rounded(sizes)
        _, counts = s.strung
        apart = (s.slat_length_mm - 2 * s.from_end_mm) / (s.cables - 1) if s.cables > 1 else s.inner_mm
        tall = sorted({c * s.spacer_mm for c in counts if c})
        return [("between slats and cables", apart, t) for t in tall[-1:]]

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return self.fit_under(piece, sizes, brief, usual_loads(brief))

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        s = _rounded(sizes)
        slats, counts = s.strung
        children = brief.near_children
        found = room_findings(piece.name, *piece.overall_mm[:2], brief, high_mm=piece.overall_mm[2])
        free = None if s.fixed else Free(s.foot_mm, s.length_mm, s.frame_thickness_mm, s.ballast_kg)
        found += standing_findings(piece, brief, s.height_mm, s.length_mm, s.solid_share, free, loads, fixed=s.fixed, clamps=_clamps(s))
        tops = tuple(sorted({m.piece_box.hi[2] for m in piece.members if m.role == "slat"}))
        found += climbing(piece, brief, tops, "Take a framed screen with upright slats: those of a strung one lie level whichever way they are set")
        gaps = sorted({c * s.spacer_mm for c in counts if c} | {s.side_gap_mm})
        each = [fingers("gaps between slats and beside them", g, g, children) for g in gaps]
        if children or brief.use == "public":
            found.append(next((f for f in each if not f.stands), fingers("gaps between slats and beside them", 0.0, 0.0, children) if not each else each[0]))
        hung = sum(weight_n(_only(piece, m)) for m in piece.members if m.role == "slat")
        lead = next((j for j in piece.joints if isinstance(j, StrungCable) and j.leads(piece)), None)
        long = lead.cable_length_mm(piece) if lead else 0.0
        found.append(Finding(
            piece.name, "the stack", Verdict.STANDS,
            f"{len(slats)} slats of {hung / G:.1f} kg and {sum(counts) * s.cables} spacers stand {s.stack_mm:.1f} mm high on {s.cables} "
            f"cables of {long:.0f} mm; what is over, {s.below_made_mm - s.below_mm:.1f} mm, goes under the bottom rail",
            rule="slats and spacers add up to the opening", source="geometry", stage="sizes",
        ))
        found.append(_rail_sag(piece, s, brief, hung))
        if s.lie == ON_EDGE and max(slats) > DEEP_HOLE * (s.cable_mm + 1):
            found.append(Finding(
                piece.name, "deep holes", Verdict.LOOK_AGAIN, f"{max(slats):.0f} mm deep with a {s.cable_mm + 1:g} mm drill",
                max(slats), DEEP_HOLE * (s.cable_mm + 1), "mm", f"a hole of more than {DEEP_HOLE:g} diameters wanders", PRACTICE,
                "Drill from both edges on a jig, take narrower slats, or lay them flat.", "sizes",
            ))
        if children:
            found.append(Finding(
                piece.name, "cables and children", Verdict.LOOK_AGAIN, f"{s.cables} cables at {s.tension_n:.0f} N where children are",
                rule="nothing under tension within a child's reach is left open to be undone", source=PRACTICE,
                mend=f"Lock or cover the tensioners. {CAUTION}", stage="sizes",
            ))
        return found


def _clamps(s: _Sizes) -> Clamps | None:
    """How it is clamped to a railing, an upright at either end; None where it is not."""
    return clamps_of(s, 2) if s.fixed == CLAMPED else None


def _only(piece: Piece, member: Member) -> Piece:
    return Piece(piece.name, piece.form, (member,))


def _moe_mpa(name: str) -> float:
    """Stiffness of a timber, of a middling one while none is known. [MPa]"""
    from studio_lib.timber import timber

    try:
        return (timber(name).moe_gpa or 10.0) * 1000
    except KeyError:
        return 10_000.0


def _rail_sag(piece: Piece, s: _Sizes, brief: Brief, hung_n: float) -> Finding:
    """The top rail under the pull of the cables and the weight of the slats."""
    rail = next((m for m in piece.members if m.name == "rail, top"), None)
    moe = _moe_mpa(rail.timber if rail else "")
    pull = s.cables * s.tension_n + hung_n
    return sagging("rail, top, pulled by the cables", s.inner_mm, s.frame_thickness_mm, s.rail_width_mm, pull, moe, CREEP[brief.place], SEEN_SAG)


def _proposals(brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
    children = brief.near_children
    stood = stands_proposed(brief, STANDS)
    up = fixed_by(STANDS[int(chosen.get("stands", stood.value))]) in UNDER_CEILING
    height = height_proposed(brief, MOST_HIGH_MM) if up else Proposal(1800.0, "hides most people standing", JUDGEMENT)
    tall = chosen.get("height_mm", height.value)
    long = screen_length(brief, 900.0, "a piece that two people lift", 2600.0)
    length = long.value
    wide = chosen.get("length_mm", length) - 2 * chosen.get("post_width_mm", 50.0) - 2 * chosen.get("side_gap_mm", 5.0)
    cables = int(chosen.get("cables", 2 if wide < 1100 else 3))
    cable = chosen.get("cable_mm", 3.0)
    spacer = 30.0 if children else 12.0
    slat = max(chosen.get("slat_a_mm", 60.0), chosen.get("slat_b_mm", 40.0), chosen.get("slat_c_mm", 25.0))
    slats = tall / (slat + spacer)
    rail = _rail_takes_mm(brief, around, wide, chosen, cables, float(min(max(round(0.2 * safe_load_n(cable), -1), 50), 3000)))
    shift = max(6.0, round(1.2 * slats * slat * around.swell_fraction + 2))
    return {
        "length_mm": long,
        "height_mm": height,
        "stands": stood,
        "lie": Proposal(ON_EDGE, "their widths show", JUDGEMENT),
        "slat_a_mm": Proposal(60.0, "three widths that repeat, each about two thirds of the one before", JUDGEMENT),
        "slat_b_mm": Proposal(40.0, "two thirds of the first", JUDGEMENT),
        "slat_c_mm": Proposal(25.0, "two thirds of the second", JUDGEMENT),
        "slat_thickness_mm": Proposal(22.0, "a hole of 4 mm and 9 mm of wood either side", PRACTICE),
        "side_gap_mm": Proposal(5.0, "slats clear the posts; under 8 mm holds no finger", "CFOC standard 6.2.1.9"),
        "spacer_mm": Proposal(spacer, "one makes a gap over the 25 mm that hold a child's finger" if children else "light comes through, eyes do not",
                              "CFOC standard 6.2.1.9" if children else JUDGEMENT),
        "counts": Proposal(RANDOM, "by chance, kept by its number", JUDGEMENT),
        "spacers_least": Proposal(1, "slats do not touch, and dry", PRACTICE),
        "spacers_most": Proposal(2 if children else 3, "no gap that lets a head in", "CPSC public playground handbook B.2.5.1"),
        "seed": Proposal(7, "another number, another row", JUDGEMENT),
        "pattern": Proposal(1213, "drawn by hand: 1, 2, 1, 3 and again", JUDGEMENT),
        "cables": Proposal(cables, "one for each 700 mm or so of slat, two at the least", JUDGEMENT),
        "from_end_mm": Proposal(float(min(max(round(wide / 5 if cables > 1 else wide / 2), 10), 800)), "a fifth of the slat: it neither droops nor tips", JUDGEMENT),
        "cable_mm": Proposal(cable, "far stronger than the slats weigh", JUDGEMENT),
        "tension_n": Proposal(float(min(max(round(0.2 * safe_load_n(cable), -1), 50), 3000)), "a fifth of the safe load: firm, and easy on the rails",
                              "judgement of ours on TM 5-3810-305-10"),
        "spring_mm": Proposal(float(min(shift, 60)), "the year's shortening and lengthening of the stack", "movement: Wood Handbook FPL-GTR-282 ch. 13"),
        "post_width_mm": Proposal(50.0, "tenons of 31 mm from the rails", JUDGEMENT),
        "frame_thickness_mm": Proposal(40.0, "tenons of 14 mm", JUDGEMENT),
        "rail_width_mm": Proposal(rail, "the pull of the cables bends it by less than an eye sees", "span / 384, shelf-building rule"),
        "below_mm": Proposal(80.0, "a broom passes, and a key reaches the tensioners", PRACTICE),
        "foot_mm": Proposal(600.0, "as long as people step over without tripping", JUDGEMENT),
        "foot_height_mm": Proposal(60.0, "a tenon of 38 mm from the post", JUDGEMENT),
        "ballast_kg": NO_BALLAST,
        **clamp_proposals(brief, chosen.get("length_mm", length), tall, chosen, chosen.get("stands", stood.value) == RAILED, 1),
        "arris_mm": Proposal(2.0, "2 to 3 mm outdoors so that finish stays on the edge", PRACTICE),
    }


def _rail_takes_mm(brief: Brief, around: Surroundings, span_mm: float, chosen: dict[str, float], cables: int, pull_n: float) -> float:
    """Depth of the top rail at which the pull of the cables and the weight of the slats bend it by less than an eye sees. [mm]"""
    thick, usual, span_mm = chosen.get("frame_thickness_mm", 40.0), 100.0, max(span_mm, 100.0)
    hung = ASSUMED_KG_M3 * G * span_mm * chosen.get("height_mm", 1800.0) * chosen.get("slat_thickness_mm", 22.0) * 1e-9
    load = cables * chosen.get("tension_n", pull_n) + hung
    sag = sagging("rail, top", span_mm, thick, usual, load, _moe_mpa(around.timber if around else ""), CREEP[brief.place], SEEN_SAG)
    return min(max(usual, 5.0 * math.ceil(usual * (sag.utilisation / RAIL_GOAL) ** (1 / 3) / 5)), 200.0)


def _refuse_the_impossible(s: _Sizes) -> None:
    if s.fixed == CLAMPED:
        refuse_clamps(s)
    if s.slat_length_mm < 100:
        raise SizeRefused(
            "post_width_mm", f"Between posts of {s.post_width_mm:g} mm in {s.length_mm:g} mm, slats of {max(s.slat_length_mm, 0):.0f} mm are left; "
            "100 mm are needed. Narrower posts, or a wider screen.",
        )
    for name in ("slat_b_mm", "slat_c_mm"):
        if 0 < getattr(s, name) < 12:
            raise SizeRefused(name, f"A slat of {getattr(s, name):g} mm is too narrow for a cable; give 12 mm or more, or 0 for none.")
    if s.counts == RANDOM and s.spacers_least > s.spacers_most:
        raise SizeRefused("spacers_least", f"At least {s.spacers_least} spacers and at most {s.spacers_most}; give the lower number first, "
                          f"{s.spacers_most} or less.")
    short = s.slat_thickness_mm if s.lie == ON_EDGE else min(s.mix_mm)
    if s.cable_mm + 1 > short - 8:
        field = "slat_thickness_mm" if s.lie == ON_EDGE else "slat_a_mm"
        raise SizeRefused(field, f"A hole of {s.cable_mm + 1:g} mm through {short:g} mm leaves less than 4 mm either side; "
                          f"give {s.cable_mm + 9:g} mm or more, or a thinner cable.")
    if s.frame_thickness_mm < s.cable_mm + 9 + 2 * s.arris_mm:
        raise SizeRefused("frame_thickness_mm", f"A rail of {s.frame_thickness_mm:g} mm is too thin for the cables; give {s.cable_mm + 9 + 2 * s.arris_mm:g} mm or more.")
    if s.lie == ON_EDGE and s.slat_thickness_mm > s.frame_thickness_mm:
        raise SizeRefused("slat_thickness_mm", f"Slats of {s.slat_thickness_mm:g} mm stand out of a frame of {s.frame_thickness_mm:g} mm; "
                          f"give {s.frame_thickness_mm:g} mm or less.")
    half = s.slat_length_mm / 2
    least = 2 * (s.cable_mm + 1)
    most = half if s.cables == 1 else (s.slat_length_mm - (s.cables - 1) * 3 * (s.cable_mm + 1) * 2) / 2
    if not least <= s.from_end_mm <= most:
        raise SizeRefused("from_end_mm" if most >= least else "cables", f"{s.cables} cables, the outer ones {s.from_end_mm:g} mm from the ends of "
                          f"{s.slat_length_mm:.0f} mm slats: give {least:g} to {max(most, least):.0f} mm, or fewer cables.")
    if s.room_mm < 60:
        raise SizeRefused("rail_width_mm", f"Rails of {s.rail_width_mm:g} mm leave {max(s.room_mm, 0):.0f} mm for slats; 60 mm are needed. "
                          "Narrower rails, less below, or a higher screen.")
    slats, counts = s.strung
    if not slats:
        raise SizeRefused("spacer_mm", f"Not one slat of {max(s.stack_of(1)):g} mm with its spacers of {s.spacer_mm:g} mm goes into {s.room_mm:.0f} mm. "
                          "Thinner spacers, fewer of them, or a higher screen.")
    if len(slats) > MOST_SLATS:
        raise SizeRefused("spacer_mm", f"That takes more than {MOST_SLATS} slats. Wider slats, or thicker spacers than {s.spacer_mm:g} mm.")
    if max(counts) * s.spacer_mm > 390:
        raise SizeRefused("spacers_most" if s.counts == RANDOM else "pattern",
                          f"{max(counts)} spacers of {s.spacer_mm:g} mm make a gap of {max(counts) * s.spacer_mm:.0f} mm; give 390 mm or less.")
    if s.stands == FEET and s.foot_mm < s.frame_thickness_mm + 60:
        raise SizeRefused("foot_mm", f"Feet of {s.foot_mm:g} mm under a frame of {s.frame_thickness_mm:g} mm; give {s.frame_thickness_mm + 60:g} mm or more.")


def _members(s: _Sizes, letter: str, timber: str) -> list[Member]:
    out: list[Member] = []

    def add(code, name, role, origin, along, across, length, width, thickness, hand=""):
        out.append(Member(f"{letter}-{code}", name, role, timber, length, width, thickness, Placement(origin, along, across), s.arris_mm, "show", (), hand))

    x0, t = -s.length_mm / 2, s.frame_thickness_mm
    for n, (hand, x) in enumerate((("left", x0), ("right", -x0 - s.post_width_mm)), 1):
        add(f"P{n}", f"post, {hand}", "post", (x, -t / 2, s.base_mm), UP, (1.0, 0.0, 0.0), s.height_mm - s.base_mm, s.post_width_mm, t, hand)
        if s.stands == FEET:
            add(f"F{n}", f"foot, {hand}", "foot", (x, -s.foot_mm / 2, s.foot_height_mm), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0),
                s.foot_mm, s.post_width_mm, s.foot_height_mm, hand)
    low = s.base_mm + s.below_made_mm
    for n, (which, z) in enumerate((("bottom", low), ("top", s.height_mm - s.rail_width_mm)), 1):
        add(f"R{n}", f"rail, {which}", "rail", (x0 + s.post_width_mm, t / 2, z), (1.0, 0.0, 0.0), UP, s.inner_mm, s.rail_width_mm, t)
    slats, counts = s.strung
    z = low + s.rail_width_mm
    for n, (tall, spacers) in enumerate(zip(slats, counts), 1):
        z += spacers * s.spacer_mm
        width = s.mix_mm[(n - 1) % len(s.mix_mm)]
        x = -s.slat_length_mm / 2
        if s.lie == ON_EDGE:
            add(f"S{n}", f"slat {n}", "slat", (x, s.slat_thickness_mm / 2, z), (1.0, 0.0, 0.0), UP, s.slat_length_mm, width, s.slat_thickness_mm)
        else:
            add(f"S{n}", f"slat {n}", "slat", (x, -width / 2, z), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), s.slat_length_mm, width, s.slat_thickness_mm)
        z += tall
    return out


def _joints(by_ref: dict[str, Member], letter: str, s: _Sizes, own, changes) -> list[Joint]:
    def at(code):
        return by_ref[f"{letter}-{code}"]

    def made(field, make, *args, **more):
        try:
            return make(*args, **more)
        except ValueError as error:
            raise SizeRefused("adjustments" if any_made(changes) else field, str(error)) from None

    joints: list[Joint] = []
    for rail in ("R1", "R2"):
        for end, post in (("start", "P1"), ("end", "P2")):
            joints.append(made(
                "post_width_mm", proportioned, "rail into post", at(rail), end, at(post),
                room_mm=stopped_room_mm(at(rail), end, at(post)), at_leg_end=rail == "R2", changed=own.get("rail into post"),
            ))
    if s.stands == FEET:
        for n in (1, 2):
            post, foot = at(f"P{n}"), at(f"F{n}")
            joints.append(made("foot_height_mm", proportioned, "post into foot", post, "start", foot,
                               room_mm=stopped_room_mm(post, "start", foot), changed=own.get("post into foot")))
    slats, counts = s.strung
    gone = {own_ref(c.member, letter) for c in changes if c.kind == "remove" and not c.off}
    chain = ["R2", *(f"S{n}" for n in range(len(slats), 0, -1) if f"{letter}-S{n}" not in gone), "R1"]
    touched = {own_ref(c.member, letter).rpartition("-")[2] for c in changes if not c.off and hasattr(c, "member")}
    figures = {
        "cables": float(s.cables), "cable_mm": s.cable_mm, "from_end_mm": s.from_end_mm, "tension_n": s.tension_n, "spring_mm": s.spring_mm,
    }
    if s.cables == 1:
        figures.pop("from_end_mm")
    for k, (upper, lower) in enumerate(zip(chain, chain[1:])):
        mine = figures | {"spacers": float(counts[len(slats) - k])} | own.get("slats on cables", {})
        if {upper, lower} & touched or k and not _next(upper, lower):
            # A slat altered, moved or taken out by hand leaves another gap: as many spacers as fill it.
            mine.pop("spacers")
        joints.append(made("cable_mm", StrungCable.between, at(upper), at(lower), "slats on cables", mine))
    return joints


def _next(upper: str, lower: str) -> bool:
    """Whether two slats were laid out one on the other; the rails count as next to any."""
    return "R" in upper + lower or int(upper[1:]) - int(lower[1:]) == 1


STRUNG_SCREEN = StrungScreen()
