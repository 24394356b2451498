"""A screen on steel uprights clamped to a railing: its sizes, what is proposed for them, what clamps, uprights and railing must carry, and how it is seen."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.brief.refusals import SAFETY, wind_force_n, wind_speed_m_s
from studio_lib.brief.wishes import FORCE_FACTOR
from studio_lib.commission import FIXED, Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.forms.beside import Here
from studio_lib.forms.form import Proposal, Size, SizeRefused, choice
from studio_lib.piece import Piece
from studio_lib.piece.model import Box, Part
from studio_lib.structure.cases import LEAN_MM
from studio_lib.structure.loads import Load, loads_of
from studio_lib.structure.railing import (
    BEND_SHARE, CLAMPED, STEEL_KG_M3, TUBES, TUBES_MM, YIELD_MPA, Held, blown, leant, least_tube, shares, tube,
)

TO_RAILING = "clamped to a railing"
"""The answer at 'It stands'."""
WIND_TRIGGER = "stands in the wind"
LEAF_MM = 1250.0
"""A leaf up to about so wide between two uprights; judgement of ours."""
CLAMP_GAP_MM = 6.0
"""Between two leaves on one upright, so that either comes off by itself; judgement of ours."""
APART_MM = 200.0
"""The lower clamps lie at least so far under the upper ones; judgement of ours."""
USUAL_MM, LOW_MM = 1000.0, 120.0
"""A railing while none is measured: guards stand 1000 to 1100 mm high, and have a lower rail or posts to clamp to near the floor; from memory."""
GUARD_KN_M = (0.2, 1.0)
"""What homes' and offices' guards are loaded with along their rail: EN 1991-1-1 table 6.12, categories A and B; for A from memory."""
PAST_MM = 300.0
"""How far the railing is drawn on past the screen; in pictures only."""

_WHERE = (
    choice("upright_to", "Uprights reach", ("the screen's top", "the railing's top rail"), "railing"),
    choice("upright_steel", "Square steel tube of the uprights", TUBES, "railing"),
    Size("railing_mm", "Railing's top rail above the floor it stands on", 500, 1500, "mm", "railing", given=True),
    Size("railing_low_mm", "Lower clamps above that floor, on a lower rail or a foot", 20, 1000, "mm", "railing", given=True),
    choice("uprights_of_each", "Of several screens side by side, two neighbours have", ("one upright between them", "each an upright of its own"), "railing"),
    choice("uprights_from", "Uprights and clamps come from", ("the maker, bought in", "the client or others"), "railing", given=True),
)
ROW_SIZES = (Size("uprights", "Steel uprights on the railing, one behind each joint of leaves", 2, 7, "", "railing", True), *_WHERE)
"""Of a screen in leaves."""
ONE_SIZES = _WHERE
"""Of a screen in one, which has an upright at either end."""
NAMES = tuple(s.name for s in ROW_SIZES)


@dataclass(frozen=True)
class Clamps:
    """How a screen is clamped to a railing."""

    uprights: int
    steel: int
    """Which of ``railing.TUBES_MM``."""
    goes_up: bool
    """Uprights reach the screen's top; else they end at the railing."""
    top_mm: float
    low_mm: float
    shared: bool = True
    """Screens side by side have one upright between them."""
    from_others: bool = False
    """The client or others see to uprights and clamps."""

    def in_all(self, count: int) -> int:
        """Uprights of so many screens, side by side."""
        return count * self.uprights - (count - 1) * self.shared

    def most_share(self, count: int) -> float:
        """What part of the load on one screen the upright carries that carries most, ``count`` of them side by side."""
        of_one = shares(self.leaves)
        return max(*of_one, of_one[0] + of_one[-1]) if self.shared and count > 1 else max(of_one)

    @property
    def leaves(self) -> int:
        return self.uprights - 1

    @property
    def section(self):
        return tube(*TUBES_MM[self.steel])

    def long_mm(self, height_mm: float) -> float:
        """Length of one upright. [mm]"""
        return max(height_mm, self.top_mm) if self.goes_up else self.top_mm

    def steel_kg(self, height_mm: float) -> float:
        """Weight of all its uprights, without clamps. [kg]"""
        return self.uprights * self.section.area_mm2 * self.long_mm(height_mm) * 1e-9 * STEEL_KG_M3

    def words(self, height_mm: float, count: int = 1) -> str:
        """'3 steel uprights with clamps', with their tube and length, as it is bought in. ``count`` of screens."""
        return f"{self.in_all(count)} steel uprights with clamps, square tube {TUBES[self.steel]}, {self.long_mm(height_mm):.0f} mm long"


def clamps_of(s, uprights: int) -> Clamps:
    """From the sizes of a form."""
    return Clamps(uprights, int(s.upright_steel), s.upright_to == 0, s.railing_mm, s.railing_low_mm, s.uprights_of_each == 0, s.uprights_from == 1)


def ordered(brief: Brief) -> int:
    """How many screens like it stand side by side."""
    return brief.ordered if isinstance(brief, Here) else 1


def refuse_clamps(s) -> None:
    """That the clamps lie far enough apart."""
    if s.railing_low_mm > s.railing_mm - APART_MM:
        raise SizeRefused(
            "railing_low_mm", f"The lower clamps {s.railing_low_mm:g} mm above the floor lie {s.railing_mm - s.railing_low_mm:.0f} mm under the top rail at "
            f"{s.railing_mm:g} mm; {APART_MM:.0f} mm are needed for the two to hold it upright. Give {s.railing_mm - APART_MM:g} mm or less.",
        )


def clamp_proposals(brief: Brief, length_mm: float, height_mm: float, chosen: dict[str, float], clamped: bool, leaves: int | None = None) -> dict[str, Proposal]:
    """What is proposed for the sizes of the railing and its uprights. ``clamped``: whether it stands so, else the tube is the usual one; ``leaves``: None where
    the form has several and the maker's count is not set."""
    n = max(math.ceil(length_mm / LEAF_MM), 1) + 1
    several = leaves is None
    count = int(chosen.get("uprights", n)) if several else leaves + 1
    top = chosen.get("railing_mm", brief.railing_mm or USUAL_MM)
    low = chosen.get("railing_low_mm", brief.railing_low_mm if brief.railing_low_mm is not None else min(LOW_MM, top - APART_MM))
    speed = wind_speed_m_s(brief.wind, brief.wind_m_s) if clamped and brief.place.startswith("outdoors") else None
    steel, why = 1, "a stout tube for a railing; with the wind known it is taken from it"
    if speed is not None and low < top:
        gust = wind_force_n(length_mm, height_mm, 1.0, speed, FORCE_FACTOR)
        most = Clamps(count, 0, True, top, low, chosen.get("uprights_of_each", 0) == 0).most_share(ordered(brief))
        held = blown(most * gust, height_mm, top, low, chosen.get("upright_to", 0) == 0)
        least = least_tube(held, height_mm - top, SAFETY)
        steel, why = (len(TUBES) - 1 if least is None else least), f"the thinnest that holds a closed face of that size in gusts of {speed:g} m/s"
    out = {"uprights": Proposal(n, "one at either end and one behind each joint, for leaves up to about 1250 mm", "a starting point of ours")} if several else {}
    return out | {
        "upright_to": Proposal(0, "its frame is held near its top too", "a starting point of ours"),
        "upright_steel": Proposal(steel, why, "EN 10219-2, S235 of EN 1993-1-1; ASCE 7-16 29.3"),
        "railing_mm": Proposal(brief.railing_mm, "the railing of the brief", "brief") if brief.railing_mm else Proposal(
            USUAL_MM, "guards stand 1000 to 1100 mm high: measure the one there", "from memory"),
        "railing_low_mm": Proposal(brief.railing_low_mm, "the lower rail of the brief", "brief") if brief.railing_low_mm is not None else Proposal(
            min(LOW_MM, top - APART_MM), "a lower rail or the foot of its posts: measure it there", "a starting point of ours"),
        "uprights_of_each": Proposal(0, "one carries the ends of both, and the railing one clamp less", "a starting point of ours"),
        "uprights_from": Proposal(0, "priced with the screen", "a starting point of ours"),
    }


# ------------------------------------------------------------------ checks

RAILING_LOAD = "load on its fixing to the railing"
RAILING_CARRIES = "what the railing must carry"


def clamp_findings(piece: Piece, brief: Brief, width_mm: float, height_mm: float, solid_share: float, clamps: Clamps, loads: dict[str, Load],
                   timber_kg: float) -> list[Finding]:
    """What clamps, uprights and railing must hold in the gust of the place and under a lean, by statics; forces in N, moments in N m."""
    speed = wind_speed_m_s(brief.wind, brief.wind_m_s) if brief.place.startswith("outdoors") else None
    gust = wind_force_n(width_mm, height_mm, min(max(solid_share, 0.01), 1.0), speed, FORCE_FACTOR) if speed is not None else 0.0
    lean = loads["push"].force_n if "push" in loads else loads_of("screen", brief.use, None, brief.near_children)["push"].force_n
    at = (height_mm, clamps.top_mm, clamps.low_mm, clamps.goes_up)
    row = ordered(brief)
    most = clamps.most_share(row)
    windy = blown(most * gust, *at) if gust else None
    pushed = leant(lean, min(LEAN_MM, height_mm), *at[1:])
    hardest = max(filter(None, (windy, pushed)), key=lambda h: h.bends_n_mm)
    source = "statics: a beam on two supports, past which it goes on; AISC Manual table 3-23, case 24"
    found = [_on_clamps(piece, clamps, row, gust, windy, pushed, lean, source)]
    found += _of_tube(piece, height_mm, clamps, hardest, f"a gust of {gust:.0f} N over the screen" if hardest is windy else f"a lean of {lean:.0f} N", source)
    found.append(_on_railing(piece, brief, width_mm, height_mm, clamps, gust, lean, timber_kg))
    return found + _measured(piece, brief, clamps) + _ladder(piece, brief)


def _on_clamps(piece: Piece, clamps: Clamps, row: int, gust: float, windy: Held | None, pushed: Held, lean: float, source: str) -> Finding:
    between, joined = clamps.uprights > 2, clamps.shared and row > 1
    says = f"{clamps.uprights} steel uprights, each clamped at {clamps.top_mm:.0f} and at {clamps.low_mm:.0f} mm above the floor"
    if joined:
        says = f"{clamps.in_all(row)} steel uprights for {row} of them side by side, one between neighbours, {says[says.index('each clamped'):]}"
    if windy is not None:
        most = clamps.most_share(row) * gust
        who = (f"{'the middle upright' if clamps.uprights == 3 else 'each upright between'} carries half of both leaves beside it, {most:.0f} N of {gust:.0f} N, "
               f"and each outer one {most / 2:.0f} N" if between else f"each upright carries half of {gust:.0f} N, {most:.0f} N")
        if joined:
            who = f"an upright between two leaves carries half of both, {most:.0f} N of {gust:.0f} N on each screen, and the outermost ones {most / 2:.0f} N each"
            between = True
        which = "one between" if joined else "the middle one" if clamps.uprights == 3 else "one between" if between else "each"
        says += (f"; in a gust {who}: the clamps of {which} must hold {SAFETY * abs(windy.top_n):.0f} N at the top rail and {SAFETY * abs(windy.low_n):.0f} N "
                 "below, across the railing, either way")
    says += f"; under a lean of {lean:.0f} N a clamp must hold up to {SAFETY * pushed.hardest_n:.0f} N"
    return Finding(
        piece.name, RAILING_LOAD, Verdict.STANDS, says, rule=f"what a clamp must hold, {SAFETY:g} to spare; told of: the clamps are chosen by it", source=source,
        stage="sizes",
    )


def _of_tube(piece: Piece, height_mm: float, clamps: Clamps, held: Held, under: str, source: str) -> list[Finding]:
    section, over = clamps.section, max(height_mm - clamps.top_mm, 0.0)
    moment = SAFETY * held.bends_n_mm
    least = least_tube(held, over, SAFETY)
    thicker = (f"Take {TUBES[least]} at 'Square steel tube of the uprights' on Sizes." if least is not None and least > clamps.steel else
               "More uprights, or a lower or more open screen: no tube on file holds it.")
    stands = f"{over:.0f} mm stand above the top rail" if clamps.goes_up else "they end at the top rail, and the screen's own stiles go on above it"
    what = [from_ratio(
        piece.name, "strength, steel uprights", moment / section.modulus_mm3, YIELD_MPA, "MPa",
        rule=f"bending of the tube under {under}, {SAFETY:g} to spare, within the yield of S235", source=f"{source}; 235 MPa: EN 1993-1-1 table 3.1; tubes of EN 10219-2",
        mend=thicker, stage="sizes",
        says=f"{stands}; {under} bends the one that carries most with {moment / 1e3:.0f} N m, {SAFETY:g} to spare: that takes W = M / f = "
             f"{moment / YIELD_MPA / 1000:.1f} cm3 of steel S235; a square tube of {TUBES[clamps.steel]} has {section.modulus_mm3 / 1000:.1f} cm3",
    )]
    moves, most = held.moves_mm / section.second_mm4, max(over, 300.0) / BEND_SHARE
    bend = from_ratio(
        piece.name, "bending of the steel uprights", moves, most, "mm", rule=f"no more than a {BEND_SHARE:.0f}th of what stands above the railing, nothing to spare",
        source=f"{source}; the limit a judgement of ours", mend=thicker, stage="sizes",
        says=f"{moves:.1f} mm of {most:.1f} mm under {under}, the railing taken as stiff: what that gives comes on top",
    )
    return [*what, replace(bend, verdict=Verdict.LOOK_AGAIN) if not bend.stands else bend]


def _on_railing(piece: Piece, brief: Brief, width_mm: float, height_mm: float, clamps: Clamps, gust: float, lean: float, timber_kg: float) -> Finding:
    outdoors = brief.place.startswith("outdoors")
    given = {FIXED, *([WIND_TRIGGER] if outdoors else [])} <= set(brief.leave_given) and bool(gust or not outdoors)
    whole = blown(gust, height_mm, clamps.top_mm, clamps.low_mm) if gust else None
    over = max(height_mm - clamps.top_mm, 0.0)
    says = f"{over:.0f} mm of screen stand above it"
    if whole is not None:
        line = abs(whole.top_n) / width_mm
        says = (
            f"in the gust {gust:.0f} N in all, {abs(whole.top_n):.0f} N of it at its top rail, {line:.2f} kN on each metre of the screen, and a turning moment of "
            f"{gust * height_mm / 2e3:.0f} N m at its foot, {clamps.most_share(ordered(brief)) * gust * height_mm / 2e3:.0f} N m of it where one upright stands; nothing to spare "
            f"added; {says}, and the wind comes besides those who lean on it. For comparison only: guards of homes are loaded with {GUARD_KN_M[0]:g} to {GUARD_KN_M[1]:g} kN "
            "a metre along their rail"
        )
    else:
        says = f"under a lean {lean:.0f} N{'; how hard the wind pushes is not known yet' if outdoors else ''}; {says}"
    says += f". It weighs about {timber_kg + clamps.steel_kg(height_mm):.0f} kg with its uprights, all of which hangs on the railing where it does not stand on the floor. Nothing here says that it can: that is for its owner and an engineer"
    return Finding(
        piece.name, RAILING_CARRIES, Verdict.STANDS if given else Verdict.LOOK_AGAIN, says + (", who have said yes in writing" if given else ""),
        rule="a railing keeps people from falling, and carries a screen only with its owner's leave and on an engineer's word",
        source=f"statics; wind ASCE 7-16 29.3; {GUARD_KN_M[0]:g} to {GUARD_KN_M[1]:g} kN/m: EN 1991-1-1 table 6.12, homes from memory; the local code decides",
        mend="" if given else "Give these figures to the railing's owner and to an engineer, who look at its posts, their fixings and what those hold in; their leave in "
        "writing goes on Brief, under 'Leave, time and money'.", stage="sizes",
    )


def _measured(piece: Piece, brief: Brief, clamps: Clamps) -> list[Finding]:
    """That the railing's heights are taken for now, until someone measures them."""
    taken = [f"{words} {now:.0f} mm above the floor" for words, now, usual, said in (
        ("its top rail", clamps.top_mm, USUAL_MM, brief.railing_mm), ("its lower rail or foot", clamps.low_mm, LOW_MM, brief.railing_low_mm),
    ) if said is None and now == usual]
    if not taken:
        return []
    return [Finding(
        piece.name, "heights of the railing", Verdict.OPEN, f"taken for now: {' and '.join(taken)}", rule="clamps and uprights are reckoned for the railing that is there",
        source="common practice, no source", mend="Measure it, and give it under 'Where it stands' on Brief.", stage="sizes",
    )]


def _ladder(piece: Piece, brief: Brief) -> list[Finding]:
    """Whether a child climbs the railing beside the screen, or with the screen's help."""
    if not brief.near_children:
        return []
    rule, source = "a child finds no ladder beside a drop, neither in the railing nor in what is clamped to it", "building codes on guards, from memory; the local code decides"
    if brief.railing_climbed is None:
        return [Finding(
            piece.name, "the railing as a ladder", Verdict.OPEN, "children come there, and whether the railing has level bars that they climb, beside the screen or behind it, is not said",
            rule=rule, source=source, mend="Look, and say so at 'Railing with level bars' on Brief, under 'Where it stands'.", stage="sizes",
        )]
    return [Finding(
        piece.name, "the railing as a ladder", Verdict.LOOK_AGAIN if brief.railing_climbed else Verdict.STANDS,
        "its level bars are climbed, and clamps and the screen's edge give a hold beside them" if brief.railing_climbed else "no level bars to climb; clamps and lower ends are kept from "
        "giving a step beside the screen",
        rule=rule, source=source, mend="Close the railing for an arm's length past each end of the screen with what its owner allows, and have no clamp stand out as a step."
        if brief.railing_climbed else "", stage="sizes",
    )]


# ------------------------------------------------------------------ how it is seen

STEEL = "steel"


def seen_parts(length_mm: float, thickness_mm: float, height_mm: float, leaf_mm: float, clamps: Clamps) -> tuple[Part, ...]:
    """Uprights, clamps and the railing behind a screen that stands with its middle at 0, as plain bars. [mm]"""
    side, gap = TUBES_MM[clamps.steel][0], CLAMP_GAP_MM if clamps.leaves > 1 else 0.0
    back, half, far = thickness_mm / 2, length_mm / 2, thickness_mm / 2 + side
    out = []

    def bar(name, x0, x1, y0, y1, z0, z1):
        out.append(Part(name, STEEL, Box((x0, y0, z0), (x1, y1, z1))))

    for k in range(clamps.uprights):
        middle = -half + k * (leaf_mm + gap) - gap / 2
        x = -half if k == 0 else half - side if k == clamps.leaves else middle - side / 2
        bar("upright of the railing", x, x + side, back, far, 0.0, clamps.long_mm(height_mm))
        for z in (clamps.top_mm - 45.0, clamps.low_mm - 20.0):
            bar("clamp on the railing", x - 10, x + side + 10, far - 6, far + 58, z, z + 40)
    bar("top rail of the railing", -half - PAST_MM, half + PAST_MM, far + 4, far + 48, clamps.top_mm - 40, clamps.top_mm)
    bar("lower rail of the railing", -half - PAST_MM, half + PAST_MM, far + 8, far + 44, max(clamps.low_mm - 15, 0.0), clamps.low_mm + 15)
    for x in (-half - PAST_MM, half + PAST_MM - 40):
        bar("post of the railing", x, x + 40, far + 6, far + 46, 0.0, clamps.top_mm - 40)
    return tuple(out)


PARTS_OF_UPRIGHT = 3
"""An upright and its two clamps, as ``seen_parts`` draws them, the uprights first."""


def before_its_neighbour(piece: Piece, clamps: Clamps) -> Piece:
    """A screen as it is seen with another at its right that has the upright between them."""
    last = PARTS_OF_UPRIGHT * clamps.leaves
    return replace(piece, held_on=piece.held_on[:last] + piece.held_on[last + PARTS_OF_UPRIGHT:])


def shown_on(piece: Piece, parts: tuple[Part, ...]) -> Piece:
    """A piece with what it is clamped to, seen in pictures and made by others."""
    return replace(piece, held_on=parts)


# ------------------------------------------------------------------ nothing drilled

def screwed_to_wall(piece: Piece, brief: Brief) -> list[Finding]:
    """That what its sizes have fixed to the wall may be."""
    if not brief.nothing_drilled:
        return []
    return [Finding(
        piece.name, "holes where none may be", Verdict.FAILS, "'Fixed to the wall' on Sizes is set to 'yes', whose fixings are drilled in, and by the brief nothing may be drilled there",
        rule="nothing is drilled where its owner forbids it", source="brief", stage="sizes",
        mend="Choose 'no' at 'Fixed to the wall' on Sizes, and mend what then tips: lower, deeper, heavier low down, open bays in place of doors and drawers; or ask the owner again.",
    )]


def drilled(piece: Piece, fixed: str, brief: Brief) -> list[Finding]:
    """That nothing is drilled where nothing may be."""
    if not brief.nothing_drilled or fixed in ("", CLAMPED):
        return []
    how = "'It stands' on Sizes has it fixed to a wall or the floor" if fixed == "not named" else f"'It stands' on Sizes is set to 'fixed {fixed}', whose fixings are drilled in"
    return [Finding(
        piece.name, "holes where none may be", Verdict.FAILS, f"{how}, and by the brief nothing may be drilled there", rule="nothing is drilled where its owner forbids it",
        source="brief", mend="Choose 'on feet', with weight set low, or 'clamped to a railing' at 'It stands' on Sizes; a framed screen stands in folding leaves too.", stage="sizes",
    )]
