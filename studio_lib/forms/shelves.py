"""Shelves: boards housed between two sides, free-standing or scribed into an alcove that is out of square.

The top lies on the sides and is dowelled to them; the lowest shelf and those above are housed. A back of upright
boards, each screwed at its middle, moves as it likes and keeps the case square. In an alcove two fillets, planed to
the walls, close what is left at the front.

One that goes in by a narrow way is made in two cases: the lower with its own top, the upper with its own bottom over
two sills, which are screwed down from inside the lower, where no one sees the heads. The lower may be a cupboard with doors
(``cupboard``). The lowest opening may be higher than the others, for what is tall.

Where shelves would be too long, uprights part the case into bays. They stand on the floor as the sides do, are let in over
the plinth and housed into the top; boards are housed into them from both faces, and each bay has back boards of its own.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from studio_lib.brief import refusals
from studio_lib.brief.said import (
    alcove_asked,
    big_below_asked,
    ceiling_mm,
    crooked_asked,
    cupboard_below_asked,
    goods_asked,
    heavy_books_asked,
    painted_asked,
    plain_asked,
    sizes_asked,
    skirting_asked,
    tallest_book,
    width_asked,
)
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, from_ratio
from studio_lib.forms import cupboard, uprights
from studio_lib.forms.casework import (
    G,
    JUDGEMENT,
    PRACTICE,
    Joints,
    Members,
    anchored,
    children,
    figures_for,
    in_upper_case,
    mass_kg,
    middle_mm,
    shelf_sags,
    tiered,
    wall_proposal,
)
from studio_lib.forms.changes import any_made, assembled
from studio_lib.forms.form import BRIEF_AT_MOST, Form, Proposal, Size, SizeRefused, Surroundings, choice, users_of
from studio_lib.forms.space import lift_on_finding, room_findings, wanted_height, why_in_parts
from studio_lib.forms.stowing import Room, springing_findings, stowing_findings
from studio_lib.forms.thin import no_flat_refused
from studio_lib.forms.walls import CLEAR_MM, OFF_FRONT_MM, Walls, lean_mm, on_site, seen_between, wall_findings
from studio_lib.people.proposals import Proposed, shelf_reach
from studio_lib.people.users import Users
from studio_lib.piece import Joint, Member, Piece
from studio_lib.piece.order import FILLET_ON_SIDE, STRIP_ON_TOP, UPPER_ON_LOWER
from studio_lib.piece.shaping import Notch, Taper
from studio_lib.structure.loads import Load, goods
from studio_lib.units import mm

BACK_DOWN_MM = 14.0
"""Back boards run down past the bottom, so that their screws stand off the end grain; judgement of ours."""
FILLET_MM = (30.0, 22.0)
"""Width of a scribed fillet seen from the side, and the least used where it is planed thin; judgement of ours."""
FILLET_MOST_MM = 70.0
FILLET_LEAST_MM = 4.0
BEHIND_MM = 5.0
"""Air left at the back corners of an alcove; judgement of ours."""
OVER_SKIRTING_MM = BACK_DOWN_MM + CLEAR_MM
SCREW_CLEAR_MM = 6.0
"""Between the trench of a shelf and a screw of a fillet: twice the screw's half thickness and a little; judgement of ours."""
LEAST_SIDE_MM = 70.0
"""Left of a side that is cut out over a skirting, for its plinth to be dowelled to; judgement of ours."""
THICK_MM = (25.0, 28.0, 30.0, 32.0, 35.0, 38.0, 40.0, 45.0, 50.0)
"""Thicknesses proposed for shelves, one after the other until they do not sag; judgement of ours."""
NOT_TIGHT = 0.9
"""So much of the sag allowed may be used by a thickness that is proposed; judgement of ours."""
HEAVY_GOODS, LIGHT_GOODS = "records and heavy books", "linen and clothes"
"""What stands on the lowest open board, and in the cupboard; of ``structure.loads.goods``."""
LIPPING_MM, PLINTH_MM = 20.0, 20.0
"""Thickness of a lipping and of the plinth."""
LEAST_OPENING_MM = 60.0
SILL_MM = (20.0, 28.0)
"""Height and thickness of the sills under an upper case; judgement of ours."""
SILL_IN_MM = 6.0
"""The front sill stands this far in, for a shadow line; judgement of ours."""
OVER_BOOKS_MM = 20.0
"""Over the tallest book, for a finger to tip it out; common practice, no source."""
LEANT_ON_MM = 900.0
"""From this height on people lean on a case; judgement of ours."""
CROOKED_MM = 20.0
"""What walls that are not straight, and not measured yet, are taken to lean over their height; judgement of ours."""
USUAL_SKIRTING_MM = 18.0
"""Thickness of a skirting board of which only the height is told; common practice, no source."""
STRIP_MM = 22.0
STRIP_LEAST_MM, STRIP_MOST_MM = 16.0, 80.0
"""Thickness of the strip under a ceiling, and its height; the least that a screw from below finds hold in. Judgement of ours."""
THICK_ENOUGH_MM = 40.0
"""What sags at this thickness is parted by an upright before it is made thicker; judgement of ours."""
BESIDE_UPRIGHT_MM = 20.0
"""How far beside an upright a screw is driven; judgement of ours."""
SMALLER_MM = 260.0
"""Openings proposed for what is smaller than the tallest; within 205 to 305 mm for books by shelf-building rules."""
BOOKS_KG_M2 = 195.0
HOUSE_KG_M2 = 65.0
WALLS = ("width_front_bottom_mm", "width_front_top_mm", "width_back_bottom_mm", "width_back_top_mm")


@dataclass(frozen=True)
class _Sizes(uprights.Parted):
    place: int
    width_mm: float
    depth_mm: float
    height_mm: float
    cases: int
    joint_mm: float
    shelf_count: int
    shelf_mm: float
    side_mm: float
    plinth_mm: float
    stopped: int
    lipping: int
    lipping_mm: float
    back: int
    back_mm: float
    back_gap_mm: float
    load_kg_m: float
    wall: int
    width_front_bottom_mm: float
    width_front_top_mm: float
    width_back_bottom_mm: float
    width_back_top_mm: float
    skirting: int
    skirting_high_mm: float
    skirting_deep_mm: float
    arris_mm: float
    uprights: int
    doors: int
    cupboard_shelves: int
    door_mm: float
    door_gap_mm: float
    lowest_clear_mm: float
    strip_mm: float
    wide: int
    tier: int = 0
    swell: float = 0.0
    """Growth of a board's width from making to wettest, as a part of it."""

    def tiers(self) -> list[_Sizes]:
        """The sizes of each case, from the floor up; shelves go to either so that all openings come out most alike."""
        if not self.cases:
            return [self]
        lower = replace(self, cases=0, height_mm=self.joint_mm)
        upper = replace(self, cases=0, height_mm=self.height_mm - self.joint_mm, plinth_mm=SILL_MM[0], tier=1, doors=0)
        if self.doors:
            return [replace(lower, shelf_count=self.cupboard_shelves, lowest_clear_mm=0.0, lipping=0), upper]
        upper = replace(upper, lowest_clear_mm=0.0)
        # The joint counts as one of the shelves.
        both = [
            (replace(lower, shelf_count=k), replace(upper, shelf_count=self.shelf_count - 1 - k)) for k in range(self.shelf_count)
        ]
        return list(min(both, key=lambda lu: abs(lu[0].clear_mm - lu[1].clear_mm)))

    @property
    def case(self) -> str:
        return "upper case" if self.tier else "lower case"

    @property
    def alcove(self) -> bool:
        return self.place == 1

    @property
    def inner_mm(self) -> float:
        return self.width_mm - 2 * self.side_mm

    @property
    def behind_mm(self) -> float:
        """How far back from the front shelves begin: behind the doors of a cupboard."""
        return cupboard.behind_mm(self)

    @property
    def set_in_mm(self) -> float:
        """How far back from the front the plinth stands."""
        return min(25.0 + self.lip_mm, self.shelf_depth_mm / 3 + self.lip_mm)

    @property
    def lip_mm(self) -> float:
        return LIPPING_MM if self.lipping else 0.0

    @property
    def shelf_depth_mm(self) -> float:
        return self.depth_mm - self.lip_mm - (self.back_mm if self.back else 0.0)

    @property
    def inside_mm(self) -> float:
        """Height of all openings together."""
        return self.height_mm - self.plinth_mm - 2 * self.shelf_mm - self.shelf_count * self.shelf_mm

    @property
    def lowest_by_itself(self) -> bool:
        """Whether the lowest opening has a height of its own."""
        return bool(self.lowest_clear_mm and self.shelf_count)

    @property
    def clear_mm(self) -> float:
        """Height of each opening between the boards, but for a lowest one that has its own."""
        return (self.inside_mm - self.lowest_clear_mm) / self.shelf_count if self.lowest_by_itself else self.inside_mm / (self.shelf_count + 1)

    def opening_mm(self, k: int) -> float:
        """Clear height over board ``k``, 0 the lowest."""
        return self.lowest_clear_mm if self.lowest_by_itself and not k else self.clear_mm

    @property
    def least_opening_mm(self) -> float:
        return min(self.clear_mm, self.opening_mm(0))

    def shelf_low_mm(self, k: int) -> float:
        """Underside of board ``k``, 0 the lowest."""
        return self.plinth_mm + sum(self.shelf_mm + self.opening_mm(j) for j in range(k))

    @property
    def highest_mm(self) -> float:
        """Upper face of the highest board that things stand on."""
        top = self.tiers()[-1]
        return (self.joint_mm if top.tier else 0.0) + top.shelf_low_mm(top.shelf_count) + top.shelf_mm

    @property
    def walls(self) -> Walls:
        beside = (min(self.width_back_bottom_mm, self.width_front_bottom_mm) - self.width_mm) / 2
        return Walls(
            self.skirting_high_mm, self.skirting_deep_mm, self.over_skirting, self.alcove, bool(self.wall), self.width_mm, self.depth_mm, self.height_mm,
            self.plinth_mm, self.back_low_mm, (self.fillet_mm("bottom"), self.fillet_mm("top")) if self.alcove else (),
            beside if self.alcove else math.inf, FILLET_LEAST_MM, bool(self.back), self.strip_mm if self.alcove else 0.0,
        )

    @property
    def over_skirting(self) -> bool:
        return bool(self.skirting) and self.skirting_high_mm > 0 and self.skirting_deep_mm > 0

    @property
    def back_low_mm(self) -> float:
        """Lowest of what hangs behind: the back boards, else the lowest shelf."""
        return self.plinth_mm - (min(BACK_DOWN_MM, self.plinth_mm / 2) if self.back else 0.0)

    def fillet_mm(self, where: str) -> float:
        """Room for a fillet on either side at the front, at the 'bottom' or the 'top'."""
        wall = self.width_front_bottom_mm if where == "bottom" else self.width_front_top_mm
        return (wall - self.width_mm) / 2


class Shelves(Form):
    """Housed shelves between two sides."""

    name = "bookcase"
    called = ("wide", "deep")
    overall = ("width_mm", "depth_mm", "height_mm")
    says = "Shelves housed between two sides, free-standing or scribed into an alcove; over a cupboard with doors where one is wanted."
    sizes = (
        choice("place", "Where it stands", ("free-standing", "in an alcove"), given=True),
        Size("width_mm", "Width of the case", 250, 2400),
        Size("depth_mm", "Depth, front to back", 120, 700),
        Size("height_mm", "Height", 250, 3000),
        choice("cases", "Made in", ("one case", "two cases")),
        Size("joint_mm", "Joint of two cases, above the floor", 150, 2500, "mm", "overall"),
        Size("shelf_count", "Shelves between bottom and top", 0, 12, "", "shelves", True),
        Size("lowest_clear_mm", "Clear height of the lowest opening, 0 for as the others", 0, 800, "mm", "shelves"),
        Size("shelf_mm", "Thickness of shelves", 15, 50, "mm", "shelves"),
        Size("load_kg_m", "Load on each metre of shelf", 0, 150, "kg", "shelves", given=True),
        choice("lipping", "Front edge of the shelves", ("plain", "with a lipping on edge"), "shelves"),
        Size("lipping_mm", "Depth of the lipping", 20, 120, "mm", "shelves"),
        choice("wide", "Wide boards", ("glued up in the workshop", "bought glued up and planed"), "case"),
        uprights.SIZE,
        choice("stopped", "Housings", ("right through", "stopped at the front"), "shelves"),
        Size("side_mm", "Thickness of the sides", 15, 50, "mm", "case"),
        Size("plinth_mm", "Lowest shelf above the floor", 25, 300, "mm", "case"),
        choice("back", "Back", ("open", "upright boards"), "case"),
        Size("back_mm", "Thickness of the back boards", 6, 25, "mm", "case"),
        Size("back_gap_mm", "Gap between back boards, when made", 0, 10, "mm", "case"),
        choice("doors", "The lower case is a cupboard", ("no, open shelves", "with one door", "with two doors"), "cupboard"),
        Size("cupboard_shelves", "Shelves in the cupboard", 0, 4, "", "cupboard", True),
        Size("door_mm", "Thickness of the doors", 16, 30, "mm", "cupboard"),
        Size("door_gap_mm", "Gap round the doors", 1, 6, "mm", "cupboard"),
        choice("wall", "Fixed to the wall", ("no", "yes")),
        Size(WALLS[0], "Alcove: width at the front, bottom", 260, 2600, "mm", "alcove", given=True),
        Size(WALLS[1], "Alcove: width at the front, top", 260, 2600, "mm", "alcove", given=True),
        Size(WALLS[2], "Alcove: width at the back, bottom", 260, 2600, "mm", "alcove", given=True),
        Size(WALLS[3], "Alcove: width at the back, top", 260, 2600, "mm", "alcove", given=True),
        choice("skirting", "At the skirting board", ("stands clear of it", "sides cut out over it"), "skirting"),
        Size("skirting_high_mm", "Skirting board: height, 0 for none", 0, 280, "mm", "skirting", given=True),
        Size("skirting_deep_mm", "Skirting board: depth off the wall", 0, 60, "mm", "skirting", given=True),
        Size("strip_mm", "Strip that closes the gap under the ceiling, 0 for none", 0, STRIP_MOST_MM, "mm", "case"),
        Size("arris_mm", "Arris taken off", 0, 3, "mm", "case"),
    )

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        books = "book" in f"{brief.carries} {brief.asked}".lower()
        said_alcove, painted = alcove_asked(brief), painted_asked(brief)
        alcove = chosen.get("place", 1 if said_alcove else 0) == 1
        skirting_of = _skirting(brief)
        board_high, board_deep = (chosen.get(n, p.value) for n, p in skirting_of.items())
        board_high, board_deep = (board_high, board_deep) if board_high and board_deep else (0.0, 0.0)
        front = _front_of_alcove(brief) if alcove else None
        walls = {w: chosen.get(w, front) for w in WALLS if w in chosen or front}
        cupboard_said = cupboard_below_asked(brief)
        wide = min(2400.0, max(300.0, min(brief.space_length_mm or 900.0, 900.0)))
        why_wide, on = "shelves of 850 mm: within 760 to 915 mm for books on 19 mm boards", "shelf-building rule, 30 to 36 in. (760 to 915 mm)"
        if alcove and walls:
            lean = lean_mm(brief, chosen.get("height_mm", 2000.0)) or (CROOKED_MM if crooked_asked(brief) else 0.0)
            fillet = max(10.0, FILLET_LEAST_MM + max(board_deep, lean))
            narrowest, at_front = min(walls.values()), min((walls[w] for w in WALLS[:2] if w in walls), default=min(walls.values()))
            least = min(narrowest - 2 * board_deep, at_front - 2 * fillet + BEHIND_MM)
            wide, why_wide, on = max(250.0, math.floor(least - BEHIND_MM)), f"the narrowest of the alcove, with fillets of {fillet:.0f} mm", JUDGEMENT
        elif cupboard_said and not alcove and width_asked(brief):
            (wide, why_wide), on = width_asked(brief), "brief"
            wide = min(max(wide, 250.0), 2400.0)
        width = chosen.get("width_mm", wide)
        doors = int(chosen.get("doors", (2 if width >= 600 else 1) if cupboard_said and chosen.get("cases", 1) else 0))
        deep, why_deep, on_deep = _wanted_depth(brief, alcove, _proud_mm(doors))
        depth = chosen.get("depth_mm", deep)
        users = users_of(brief)
        reach = shelf_reach(users)
        height, why_high, on_high = wanted_height(
            brief, min(2000.0, math.floor((reach.value + 350.0) / 10) * 10), f"the highest shelf within reach: {reach.decided_by}",
            reach.source, depth, chosen.get("cases", 1 if doors else None), full=said_alcove and alcove,
        )
        height = min(height, 3000.0)
        tall = chosen.get("height_mm", height)
        tips = _leant_over(around, width, depth, tall, children(brief))
        wall = 1 if tall > 5 * depth or (children(brief) and tall > 686) or alcove or brief.fixed_to_building or tips else 0
        at_wall = alcove or chosen.get("wall", wall) == 1
        passes_over = board_high > 0 and at_wall and board_high + OVER_SKIRTING_MM <= 300
        over = chosen.get("skirting", 1 if passes_over else 0) == 1 and board_high > 0
        foot = max(80.0, min(math.ceil((board_high + OVER_SKIRTING_MM) / 5) * 5.0, 300.0)) if over else 80.0
        plinth = chosen.get("plinth_mm", foot)
        per_m2 = BOOKS_KG_M2 if books else HOUSE_KG_M2
        load = min(150.0, round(per_m2 * depth / 1000))
        parts = why_in_parts(brief, (width, depth, tall))
        in_two = "a cupboard, and the shelves that stand on it" if doors else parts
        two = chosen.get("cases", 1 if in_two else 0) == 1
        side = chosen.get("side_mm", 25.0)
        uprights_of = _uprights(
            brief, around, width - 2 * side, side, depth, chosen, THICK_ENOUGH_MM if doors or front else 25.0, chosen.get("load_kg_m", load), uprights.IN_TWO_MM if two else uprights.LONGEST_MM)
        parted = int(chosen.get("uprights", uprights_of.value))
        thick_of = Proposal(25.0, around.sawn(25.0), JUDGEMENT)
        if doors or front or parted:
            thick_of = _thick_enough(brief, around, uprights.bay_mm(width - 2 * side, side, parted), depth, chosen.get("load_kg_m", load), parted > 0)
        thick = chosen.get("shelf_mm", thick_of.value)
        lowest_of = _lowest(brief)
        rows = _Rows(tall, plinth, thick, two, bool(doors and two), chosen.get("lowest_clear_mm", lowest_of.value), chosen.get("joint_mm"))
        count_of = rows.count(brief)
        joint_of = rows.joint(int(chosen.get("shelf_count", count_of.value)))
        gap = math.ceil(2 * (1.0 + around.swell_fraction * uprights.BACK_BOARD_MM)) / 2
        open_front = walls.get(WALLS[0], width + 24.0)
        measure = ("as wide as the client says it is at the front; measure it", "brief") if front else ("measure it", JUDGEMENT)
        ceiling = ceiling_mm(brief)
        closes = ceiling - tall if ceiling and alcove and STRIP_LEAST_MM <= ceiling - tall <= STRIP_MOST_MM else 0.0
        return {
            "place": Proposal(1, "in an alcove, as the client says", "brief") if said_alcove else Proposal(0, "free-standing until an alcove is measured", JUDGEMENT),
            "width_mm": Proposal(float(wide), why_wide, on),
            "depth_mm": Proposal(deep, why_deep, on_deep),
            "height_mm": Proposal(float(height), why_high, on_high),
            "cases": Proposal(1 if in_two else 0, in_two or "it goes in whole by all that is measured on the way", "geometry of the way in" if parts and not doors else JUDGEMENT),
            "joint_mm": joint_of,
            "shelf_count": count_of,
            "lowest_clear_mm": lowest_of,
            "shelf_mm": thick_of,
            "load_kg_m": Proposal(
                float(load), "books, 195 kg a square metre of shelf" if books else "household things, 65 kg a square metre of shelf",
                "architectural shelf load, 40 lb a square foot" if books else "EN 14749, 0.65 kg/dm2, from memory",
            ),
            "lipping": Proposal(0, "plain while the shelves do not sag", JUDGEMENT),
            "lipping_mm": Proposal(float(max(min(thick + 15.0, 120.0), 20.0)), "stands 15 mm below the shelf: seven times as stiff at the edge", JUDGEMENT),
            "wide": Proposal(1, "solid as well, and a day or more of planing and glueing less; shelves and sides of one make", JUDGEMENT) if plain_asked(brief)
            else Proposal(0, "boards chosen and matched for each width", JUDGEMENT),
            "uprights": uprights_of,
            "stopped": Proposal(0, "quicker cut, and paint covers the ends of the trenches", PRACTICE) if painted else Proposal(1, "the front edge of the side stays whole", PRACTICE),
            "side_mm": Proposal(25.0, "from the same boards as the shelves" if thick == 25.0 else around.sawn(25.0), JUDGEMENT),
            "plinth_mm": Proposal(foot, f"over a skirting of {board_high:g} mm, its back boards too", "brief") if foot > 80 else Proposal(
                80.0, "75 to 100 mm off the floor", "shelf-building rules, 3 to 4 in. (75 to 100 mm)"),
            "back": Proposal(0, "the wall of the alcove is its back, which it is fixed to; the walls beside it keep it from racking", JUDGEMENT)
            if said_alcove and alcove and plain_asked(brief) else Proposal(1, "a back keeps the case from racking", "shelf-building rules: back panel, diagonal or corner blocks"),
            "back_mm": Proposal(12.0, "stiff enough for a screw in each shelf", JUDGEMENT),
            "back_gap_mm": Proposal(min(gap, 10.0), "room for each board to swell, and 1 mm", "Wood Handbook FPL-GTR-282 ch. 13"),
            "doors": Proposal(doors, "a cupboard below, as the client says; no door wider than 600 mm", "brief") if doors else Proposal(0, "open shelves all the way down", JUDGEMENT),
            "cupboard_shelves": Proposal(1, "two openings behind the doors", JUDGEMENT),
            "door_mm": Proposal(20.0, around.sawn(20.0), JUDGEMENT),
            "door_gap_mm": Proposal(3.0, "their stiles swell towards each other", PRACTICE),
            "wall": wall_proposal(brief, wall, "someone who leans on it would tip it: fixed" if tips and tall <= 5 * depth and not children(brief) else "tall, narrow or by children: fixed",
                                  "low and deep enough to stand"),
            WALLS[0]: Proposal(min(front or width + 24.0, 2600.0), *measure),
            WALLS[1]: Proposal(min(open_front, 2600.0), *measure),
            WALLS[2]: Proposal(min(open_front, 2600.0), *measure),
            WALLS[3]: Proposal(min(open_front, 2600.0), *measure),
            "skirting": Proposal(
                1 if over else 0, "its back comes to the wall" if over
                else "not at a wall, or the board is too high" if board_high else "nothing to cut", JUDGEMENT,
            ),
            **skirting_of,
            "strip_mm": Proposal(closes, f"up to the ceiling of {mm(ceiling)} mm, scribed to it", "brief") if closes else Proposal(0.0, "no ceiling close over it", JUDGEMENT),
            "arris_mm": Proposal(1.0, "takes off what would splinter", PRACTICE),
        }

    def kept_within(self, limits_mm: tuple[float | None, float | None, float | None], sizes: dict[str, float]) -> dict[str, float]:
        """The pulls of its doors stand out before it, and the whole is kept within the limits."""
        long, deep, high = limits_mm
        before = _proud_mm(sizes["doors"])
        return super().kept_within((long, deep and deep - before, high), sizes)

    def without_doors(self, sizes: dict[str, float]) -> dict[str, float]:
        """Open shelves in the lower case too: as high, made in as many cases, with all the boards that it has."""
        if not sizes["doors"]:
            return {}
        # In two open cases the joint counts as one of the shelves.
        return {"doors": 0.0, "shelf_count": sizes["shelf_count"] + sizes["cupboard_shelves"] + 1, **{n: sizes[n] for n in ("cases", "height_mm", "joint_mm", "strip_mm")}}

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        """What is said of doors and of an alcove where there are none."""
        idle = {"strip_mm": sizes["place"] != 1, **dict.fromkeys(("cupboard_shelves", "door_mm", "door_gap_mm"), not sizes["doors"])}
        return tuple(n for n, yes in idle.items() if yes)

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _Sizes(**sizes, swell=around.swell_fraction)
        _refuse(s)
        missing: list[Finding] = [cupboard.swelling(c, name) for c in s.tiers() if c.doors]
        piece = assembled(
            name=name, form=self.name, letter=letter, members=[m for c in s.tiers() for m in _members(c, letter, around.timber, s)],
            lay_joints=lambda by_ref, own: _all_joints(by_ref, letter, own, any_made(adjustments), missing, s),
            changes=adjustments, own=joints, check=no_flat_refused, timber=around.timber, found=missing,
        )
        return seen_between(piece, s.walls) if s.alcove else piece

    def stands_on(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> dict[str, str]:
        tiers, out = _Sizes(**sizes).tiers(), {}
        if heavy_books_asked(brief) and big_below_asked(brief):
            lowest = next(c for c in tiers if not c.doors)
            out |= {tiered(uprights.board(0, bay), lowest.tier): HEAVY_GOODS for bay in lowest.bays}
        for c in (c for c in tiers if c.doors):
            out |= {uprights.board(k, bay): LIGHT_GOODS for k in range(c.shelf_count + 1) for bay in c.bays}
        there = {m.ref.rpartition("-")[2]: m.ref for m in piece.members}
        return {there[code]: kept for code, kept in out.items() if code in there}

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        s = _Sizes(**sizes)
        return [] if s.back or s.alcove or s.wall else [
            (f"between two shelves, {c.case}" if s.cases else "between two shelves", s.bay_mm, c.opening_mm(k))
            for c in s.tiers() if not c.doors for k in range(1 + c.lowest_by_itself)
        ]

    def carried(self, piece: Piece) -> dict[str, tuple[str, ...]]:
        upper = tuple(m.ref for m in piece.members if in_upper_case(m.ref))
        loose = tuple(m for m in piece.members if m.role == "fillet")
        lower = tuple(m.ref for m in piece.members if m.ref not in upper and m not in loose)
        cases = {"lower case": lower, "upper case": upper} if upper else {"": lower}
        return cases | {m.name: (m.ref,) for m in loose}

    def on_site(self, sizes: dict[str, float], brief: Brief) -> list[str]:
        return on_site(_Sizes(**sizes).walls, brief)

    def set_by_place(self, sizes: dict[str, float]) -> tuple[str, ...]:
        if not _Sizes(**sizes).alcove:
            return ()
        # Closed up to the ceiling, its height is the ceiling's.
        return ("width_mm", "strip_mm", *(("height_mm",) if sizes["strip_mm"] else ()))

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        asked = ("doors", "cases") if cupboard_below_asked(brief) else ()
        return (*super().needs(sizes, brief), "wall", "uprights", *asked, *(("shelf_count", "cupboard_shelves") if goods_asked(brief) else ()))

    def between(self, sizes: dict[str, float]) -> bool:
        return _Sizes(**sizes).alcove

    def parts_by(self, sizes: dict[str, float]) -> str:
        return "" if sizes["cases"] else "On Sizes it can be made in two cases, one on the other."

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        s = _Sizes(**sizes)
        return {"height_mm": shelf_reach(users, at=max(s.highest_mm, 300.0))}

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return self.fit_under(piece, sizes, brief, {})

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        return self.fit_weighed(piece, sizes, brief, loads, None)

    def fit_weighed(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load], kg: float | None) -> list[Finding]:
        s = _Sizes(**sizes)
        # In an alcove its fillets reach to the walls, wherever those are; what may be too wide is the case.
        wide, high = (s.width_mm, s.height_mm) if s.alcove else (piece.overall_mm[0], piece.overall_mm[2])
        found = _in_its_room(piece, s, brief, wide, high)
        if s.cases:
            found += lift_on_finding(piece.name, high, brief)
        tallest, opened = tallest_book(brief), [c for c in s.tiers() if not c.doors]
        if tallest:
            by_itself, least = opened[0].lowest_by_itself, min(c.clear_mm for c in opened)
            room = opened[0].opening_mm(0) if by_itself else least
            found.append(from_ratio(
                piece.name, "room for what stands on the shelves", tallest[0], room, "mm", rule="the tallest stands between two shelves",
                source="brief", mend=f"{'A higher lowest opening, fewer' if by_itself else 'Fewer'} shelves, a taller case, or lay the tallest down.", stage="sizes",
                look_again_from=tallest[0] / (tallest[0] + OVER_BOOKS_MM / 2),
                says=f"{tallest[1]}, in the lowest opening of {room:.0f} mm; {least:.0f} mm in those above it" if by_itself
                else f"{tallest[1]}, in openings of {least:.0f} mm",
            ))
        sags = shelf_sags(piece, s.load_kg_m, brief, loads, lambda m: _as_thick_mm(m.width_mm, m.thickness_mm, s.lip_mm, s.lipping_mm))
        sags = uprights.named_ways_out(sags, s)
        # The alcove sets the span.
        found += [replace(f, mend=re.sub(r", or a span of \d+ mm", "", f.mend)) for f in sags] if s.alcove else sags
        if brief.thick_mm or brief.deepest_mm or brief.how_many:
            found += stowing_findings(piece.name, [
                Room(f"{'on the bottom' if k == 0 else f'on shelf {k}'}{uprights.in_bay(c, bay)}{' of the upper case' if c.tier else ' of the cupboard' if c.doors else ''}",
                     c.bay_mm, c.opening_mm(k), c.shelf_depth_mm - c.behind_mm)
                for c in s.tiers() for k in range(c.shelf_count + 1) for bay in c.bays
            ], brief)
        found += springing_findings(piece.name, brief, bool(s.wall))
        mass, young = kg or mass_kg(piece), children(brief)
        found.append(anchored(brief, refusals.anchor(
            piece.name, s.height_mm, s.depth_mm, mass,
            sum(s.inner_mm * c.inside_mm * s.depth_mm for c in s.tiers()) * 1e-6, bool(s.doors), young, bool(s.wall),
        )))
        for c in (c for c in s.tiers() if c.doors):
            found += [*cupboard.findings(c, piece.name), refusals.fingers("round doors", *cupboard.gaps_mm(c), young)]
        if not s.wall and piece.members and (young or s.height_mm >= LEANT_ON_MM):
            edge = max(middle_mm(piece) + s.depth_mm / 2, 1.0)
            found.append(refusals.pulled_over(
                piece.name, mass * G, min(edge, s.depth_mm - 1), s.height_mm, "a child's pull" if young else "a lean",
            ))
            if young and s.shelf_count:
                # A child standing on the front edge of a shelf: nothing stands out, but the sides may be set in.
                found.append(refusals.climbed_on(piece.name, mass * G, min(edge, s.depth_mm - 1), 50.0, "a shelf"))
        found += wall_findings(piece.name, s.walls, brief)
        if s.back and s.back_gap_mm:
            found.append(refusals.fingers("back boards", 0.0, s.back_gap_mm + 2.0, young))
        return found


@dataclass(frozen=True)
class _Rows:
    """How the height of a case is shared out among its openings. [mm]"""

    tall_mm: float
    plinth_mm: float
    thick_mm: float
    two: bool
    over_cupboard: bool
    lowest_mm: float
    """The lowest opening by itself; 0 where all are alike."""
    joint_mm: float | None
    """Where the maker has two cases part."""

    @property
    def cupboard_mm(self) -> float:
        return cupboard.usual_height_mm(self.tall_mm)

    def count(self, brief: Brief) -> Proposal:
        """How many shelves."""
        tallest, whose = tallest_book(brief) or (None, "")
        clear, t = tallest + OVER_BOOKS_MM if tallest else 320.0, self.thick_mm
        taken = (self.joint_mm or self.cupboard_mm) + SILL_MM[0] + t if self.over_cupboard else self.plinth_mm + (SILL_MM[0] + t if self.two else 0.0)
        room, as_one = self.tall_mm - taken - t, "" if self.over_cupboard or not self.two else "; the joint of the two cases counts as one"
        least = 1 if self.two and not self.over_cupboard else 0
        if self.lowest_mm:
            more = round((room - self.lowest_mm) / (SMALLER_MM + t))
            return Proposal(max(least, min(12, more)), f"openings of about {SMALLER_MM:.0f} mm over the lowest{as_one}", "shelf-building rules: 205 to 305 mm for books")
        ways = room / (clear + t)
        count = max(least, min(12, (math.floor(ways + 1e-9) if tallest else round(ways)) - 1))
        if tallest:
            return Proposal(count, f"{whose}, and {OVER_BOOKS_MM:g} mm to tip it out: openings of {clear:.0f} mm or more{as_one}", f"brief; finger room {PRACTICE}")
        return Proposal(count, f"openings of about 320 mm{as_one}", "shelf-building rules: 300 to 350 mm usual, 205 to 305 mm for books")

    def joint(self, shelves: int) -> Proposal:
        """Where two cases part."""
        if self.over_cupboard:
            return Proposal(self.cupboard_mm, "a cupboard of three tenths of the height, its top about as high as a table", JUDGEMENT)
        n, t = shelves + 1, self.thick_mm
        below = max(n // 2, 1)
        lowest = self.lowest_mm if below > 1 else 0.0
        each = max((self.tall_mm - self.plinth_mm - SILL_MM[0] - (n + 2) * t - lowest) / (n - bool(lowest)), 0.0)
        at = self.plinth_mm + (below + 1) * t + (lowest + (below - 1) * each if lowest else below * each)
        return Proposal(
            min(max(at, 150.0), 2500.0), f"openings alike, {below} below the joint and {max(n - below, 1)} above it" if self.two
            else "where two cases would part; one case has none", JUDGEMENT)


def _lowest(brief: Brief) -> Proposal:
    """Clear height of the lowest opening: for the tallest where the client wants that at the bottom. [mm]"""
    tallest = tallest_book(brief)
    if not tallest or not big_below_asked(brief):
        return Proposal(0.0, "all openings alike", JUDGEMENT)
    return Proposal(min(tallest[0] + OVER_BOOKS_MM, 800.0), f"{tallest[1]}, and {OVER_BOOKS_MM:g} mm to tip it out; what is smaller stands above", f"brief; finger room {PRACTICE}")


def _skirting(brief: Brief) -> dict[str, Proposal]:
    """Height and depth of the skirting board: as measured, else in the client's words and as is usual; 0 where there is none. [mm]"""
    high = brief.skirting_high_mm if brief.skirting_high_mm is not None else skirting_asked(brief)
    deep = brief.skirting_deep_mm if brief.skirting_deep_mm is not None or not high else USUAL_SKIRTING_MM
    out = {}
    for name, value, measured, most, words in (
        ("skirting_high_mm", high, brief.skirting_high_mm, 280.0, "in the client's words; measure it"),
        ("skirting_deep_mm", deep, brief.skirting_deep_mm, 60.0, "a usual one; measure it"),
    ):
        out[name] = Proposal(min(value, most), "as measured" if measured is not None else words, "brief" if measured is not None or value != deep else PRACTICE) if value \
            else Proposal(0.0, "measure it", JUDGEMENT)
    return out


def _front_of_alcove(brief: Brief) -> float | None:
    """How wide the alcove is that the client speaks of: as he says, and no wider than the space in the brief; None while nobody says. [mm]"""
    if not alcove_asked(brief):
        return None
    said = width_asked(brief)
    found = min((x for x in (said and said[0], brief.space_length_mm) if x), default=None)
    return found if found and 260 <= found <= 2600 else None


def _proud_mm(doors: float) -> float:
    """How far the pulls of its doors stand out before the case. [mm]"""
    return cupboard.BEFORE_MM if doors else 0.0


def _alcove_deep_mm(brief: Brief) -> float | None:
    """Depth of the alcove, as measured or as the client says; None where neither tells. [mm]"""
    return brief.space_width_mm or (sizes_asked(brief).get("deep") if alcove_asked(brief) else None)


def _wanted_depth(brief: Brief, alcove: bool, proud: float) -> tuple[float, str, str]:
    """Depth to begin with, why and on whose word: as the alcove lets it be with what stands out before the case, else for books. [mm]"""
    said, less = _alcove_deep_mm(brief), max(OFF_FRONT_MM, proud)
    if alcove and alcove_asked(brief) and said and 120 + less <= said <= 700:
        why = f"for the pulls, which stand {proud:.0f} mm out before its doors: {less:.0f} mm less" if proud > OFF_FRONT_MM else f"its back wall seldom flat: {less:.0f} mm less"
        return float(math.floor(said - less)), f"the alcove is {mm(said)} mm deep, {why}", BRIEF_AT_MOST
    return 280.0, "books stand on 255 to 305 mm", "shelf-building rules, 10 to 12 in. (255 to 305 mm)"


def _uprights(
    brief: Brief, around: Surroundings, inner: float, side: float, depth: float, chosen: dict[str, float], thick: float, load_kg_m: float, longest: float,
) -> Proposal:
    """How many uprights; ``thick``: of the shelves where the maker gives none, ``longest``: no bay is wider. [mm]"""
    thick = chosen.get("shelf_mm", thick)
    if chosen.get("lipping"):
        thick = _as_thick_mm(depth, thick, LIPPING_MM, max(chosen.get("lipping_mm", thick + 15.0), thick))
    usual = uprights.proposal(inner, side, [_sag_share(brief, around, uprights.bay_mm(inner, side, n), depth, thick, load_kg_m) > 1.0 for n in range(3)], longest)
    return uprights.as_said(brief, inner, side, usual)


def _sag_share(brief: Brief, around: Surroundings, span: float, depth: float, thick: float, load_kg_m: float) -> float:
    """Part of the sag allowed that a shelf takes up under what stands on it. [mm]"""
    density, moe, _ = figures_for(around.timber)
    per_m = max(load_kg_m * G, goods()[HEAVY_GOODS].force_n * depth / 1000 if heavy_books_asked(brief) else 0.0)
    wide = max(span, 100.0)
    own = wide * depth * thick * 1e-9 * density * G
    return refusals.sagging("shelf", wide, depth, thick, per_m * wide / 1000 + own, moe, refusals.CREEP[brief.place], refusals.SEEN_SAG).utilisation


def _thick_enough(brief: Brief, around: Surroundings, span: float, depth: float, load_kg_m: float, parted: bool) -> Proposal:
    """Thickness of shelves: 25 mm, or so much more as keeps them from sagging where place or uprights set the span. [mm]"""
    wide = max(span, 100.0)
    thick = next((t for t in THICK_MM if _sag_share(brief, around, wide, depth, t, load_kg_m) <= NOT_TIGHT), THICK_MM[-1])
    between = "in each bay" if parted else "between the sides"
    return Proposal(thick, f"{mm(math.floor(wide))} mm {between} do not sag under what stands on it; {around.sawn(thick)}", "beam mechanics; creep EN 1995-1-1 table 3.2")


def _leant_over(around: Surroundings, width: float, depth: float, tall: float, young: bool) -> bool:
    """Whether a lean or a child's pull would tip a case of that size, by about what it weighs: sides, a shelf every 350 mm and a back."""
    if tall < LEANT_ON_MM and not young:
        return False
    litres = (2 * tall * depth * 25.0 + (tall / 350.0 + 1) * width * depth * 25.0 + width * tall * 12.0) * 1e-9
    weight = litres * figures_for(around.timber)[0] * G
    return not refusals.pulled_over("it", weight, depth / 2, tall, "a child's pull" if young else "a lean").stands


def _in_its_room(piece: Piece, s: _Sizes, brief: Brief, wide: float, high: float) -> list[Finding]:
    """Whether it fits its room, its depth with the pulls that stand out before it; in an alcove measured by nobody, the depth that the client says."""
    deep, proud = piece.overall_mm[1], _proud_mm(s.doors)
    said = brief if brief.space_width_mm or not s.alcove else brief.model_copy(update={"space_width_mm": _alcove_deep_mm(brief)})
    found = room_findings(piece.name, wide, deep, said, ("width", "depth"), high_mm=high)
    return [
        replace(f, says=f"{f.says}, {mm(proud)} mm of it the pulls before the doors",
                mend=f"Make the case {mm(math.floor(f.capacity - proud))} mm deep or less; or {'ask whether it may be deeper' if 'most' in f.what else 'measure the alcove again' if s.alcove else 'measure the space again'}.")
        if proud and not f.stands and f.what.startswith("depth") else f
        for f in found
    ]


def _as_thick_mm(width: float, thick: float, lip: float, lip_deep: float) -> float:
    """The plain board of the same width as stiff as a shelf with its lipping, flush on top. [mm]"""
    if not lip:
        return thick
    parts = ((width * thick, thick / 2, width * thick**3 / 12), (lip * lip_deep, lip_deep / 2, lip * lip_deep**3 / 12))
    area = sum(a for a, *_ in parts)
    middle = sum(a * y for a, y, _ in parts) / area
    inertia = sum(i + a * (y - middle) ** 2 for a, y, i in parts)
    return (12 * inertia / width) ** (1 / 3)


def _refuse(s: _Sizes) -> None:
    if s.inner_mm < 100:
        raise SizeRefused("width_mm", f"{s.width_mm:g} mm wide with sides of {s.side_mm:g} mm leaves {s.inner_mm:.0f} mm inside; "
                          f"make it {100 + 2 * s.side_mm:.0f} mm or more.")
    uprights.refuse(s)
    if s.cases:
        _refuse_cases(s)
    elif s.least_opening_mm < LEAST_OPENING_MM:
        _refuse_lowest(s)
        most = int((s.height_mm - s.plinth_mm - s.shelf_mm) // (LEAST_OPENING_MM + s.shelf_mm)) - 1
        if most < 0:
            raise SizeRefused("height_mm", f"{s.height_mm:g} mm of height leaves openings of {s.clear_mm:.0f} mm; give "
                              f"{s.plinth_mm + 2 * s.shelf_mm + LEAST_OPENING_MM:.0f} mm or more, or a lower plinth.")
        raise SizeRefused("shelf_count", f"{s.shelf_count} shelves in {s.height_mm:g} mm of height leave openings of {max(s.clear_mm, 0):.0f} mm and need "
                          f"{LEAST_OPENING_MM:g} mm. Give {most} or fewer, or {math.ceil(s.plinth_mm + 2 * s.shelf_mm + s.shelf_count * (s.shelf_mm + LEAST_OPENING_MM) + LEAST_OPENING_MM)} mm of height or more.")
    if s.doors and not s.cases:
        raise SizeRefused("doors", "A cupboard is a case of its own under that of the shelves: choose two cases, made as 1 and 1, or no doors.")
    if s.alcove and 0 < s.strip_mm < STRIP_LEAST_MM:
        raise SizeRefused("strip_mm", f"A strip {s.strip_mm:g} mm high gives no hold to a screw from below; give {STRIP_LEAST_MM:g} mm or more, or 0 for none.")
    low, (notch, deep) = s.back_low_mm, s.walls.notch_mm
    if s.over_skirting and low < notch:
        foot = next((p for p in range(25, 301) if replace(s, plinth_mm=float(p)).back_low_mm >= notch), None)
        raised = f"give the lowest shelf {foot} mm above the floor or more, or let it stand clear." if foot else "let it stand clear."
        raise SizeRefused(
            "plinth_mm" if foot else "skirting",
            f"A skirting {s.skirting_high_mm:g} mm high does not pass under what hangs behind, {low:.0f} mm up; {raised}",
        )
    if s.over_skirting and s.depth_mm - deep < LEAST_SIDE_MM + s.lip_mm:
        raise SizeRefused("skirting_deep_mm", f"Cut out {deep:.0f} mm deep, sides of {s.depth_mm:g} mm keep {s.depth_mm - deep:.0f} mm at the foot; "
                          f"a depth of {LEAST_SIDE_MM + s.lip_mm + deep:.0f} mm or more, or let it stand clear.")
    if s.shelf_depth_mm < 80:
        raise SizeRefused("depth_mm", f"A depth of {s.depth_mm:g} mm leaves shelves of {s.shelf_depth_mm:.0f} mm; give "
                          f"{80 + s.depth_mm - s.shelf_depth_mm:.0f} mm or more.")
    if s.lipping and s.lipping_mm < s.shelf_mm:
        raise SizeRefused("lipping_mm", f"A lipping {s.lipping_mm:g} mm deep does not cover a shelf of {s.shelf_mm:g} mm; "
                          f"give {s.shelf_mm:g} mm or more.")
    hangs, room = s.lipping_mm - s.shelf_mm, min(s.plinth_mm, *(c.least_opening_mm - 40 for c in s.tiers()))
    if s.lipping and hangs > room:
        raise SizeRefused("lipping_mm", f"A lipping {s.lipping_mm:g} mm deep hangs {hangs:.0f} mm into the opening below; give "
                          f"{s.shelf_mm + room:.0f} mm or less.")
    if s.alcove:
        back = min(s.width_back_bottom_mm, s.width_back_top_mm)
        if s.width_mm > back - BEHIND_MM:
            raise SizeRefused("width_mm", f"A case {s.width_mm:g} mm wide does not go into an alcove {back:g} mm wide at the back; "
                              f"make it {back - BEHIND_MM:g} mm or less.")
        gaps = (s.fillet_mm("bottom"), s.fillet_mm("top"))
        if min(gaps) < FILLET_LEAST_MM:
            raise SizeRefused("width_mm", f"The case leaves {max(min(gaps), 0):.1f} mm either side at the front; a fillet needs "
                              f"{FILLET_LEAST_MM:g} mm. Make it {s.width_mm - 2 * (FILLET_LEAST_MM - min(gaps)):.0f} mm or less.")
        if max(gaps) > FILLET_MOST_MM:
            raise SizeRefused("width_mm", f"The case leaves {max(gaps):.0f} mm either side at the front; a fillet is {FILLET_MOST_MM:g} mm "
                              f"at most. Make it {s.width_mm + 2 * (max(gaps) - FILLET_MOST_MM):.0f} mm or more, or measure again.")


def _refuse_lowest(s: _Sizes) -> None:
    """Raise where the lowest opening, set by itself, is too low or takes the room of the others."""
    even = s.inside_mm / (s.shelf_count + 1)
    if s.lowest_by_itself and even >= LEAST_OPENING_MM:
        most = s.inside_mm - s.shelf_count * LEAST_OPENING_MM
        raise SizeRefused("lowest_clear_mm", f"A lowest opening of {s.lowest_clear_mm:g} mm leaves {max(s.clear_mm, 0):.0f} mm for each of the others; every opening "
                          f"needs {LEAST_OPENING_MM:g} mm. Give {LEAST_OPENING_MM:g} to {math.floor(most)} mm, or 0 for as the others.")


def _refuse_cases(s: _Sizes) -> None:
    if s.shelf_count < 1 and not s.doors:
        raise SizeRefused("shelf_count", "The joint of two cases counts as one shelf: give 1 or more, or one case.")
    least = 2 * s.shelf_mm + LEAST_OPENING_MM
    low, high = s.plinth_mm + least, s.height_mm - SILL_MM[0] - least
    if high < low:
        raise SizeRefused("cases", f"{s.height_mm:g} mm of height is too low for two cases; give {low + SILL_MM[0] + least:.0f} mm or more, or one case.")
    if not low <= s.joint_mm <= high:
        raise SizeRefused("joint_mm", f"A joint {s.joint_mm:g} mm above the floor leaves no room in one of the two cases; give {low:.0f} to {high:.0f} mm.")
    for c in s.tiers():
        if c.least_opening_mm < LEAST_OPENING_MM:
            _refuse_lowest(c)
            raise SizeRefused("cupboard_shelves" if c.doors else "shelf_count",
                              f"{c.shelf_count if s.doors else s.shelf_count} shelves leave openings of {max(c.clear_mm, 0):.0f} mm in the {c.case} and need "
                              f"{LEAST_OPENING_MM:g} mm. Fewer shelves, or a taller case.")
        if c.doors:
            cupboard.refuse(c)


def _members(s: _Sizes, letter: str, timber: str, whole: _Sizes) -> list[Member]:
    out = Members(letter, timber, s.arris_mm, tier=s.tier, lift=(0.0, 0.0, whole.joint_mm if s.tier else 0.0), bought=bool(s.wide))
    w, d, t = s.width_mm / 2, s.depth_mm / 2, s.shelf_mm
    side_long = s.height_mm - t
    over = s.over_skirting and not s.tier
    high, deep = s.walls.notch_mm
    at_back = [(Notch(0.0, high, *across, 0.0, s.side_mm),) if over else () for across in ((s.depth_mm - deep, s.depth_mm), (0.0, deep))]
    out.add("L1", "left side", "side", (-w, -d, 0.0), "z", "y", side_long, s.depth_mm, s.side_mm, hand="left", shaping=at_back[0])
    out.add("L2", "right side", "side", (w - s.side_mm, -d, 0.0), "z", "-y", side_long, s.depth_mm, s.side_mm, hand="right", shaping=at_back[1])
    out.add("T1", "top", "top", (-w, -d, side_long), "x", "y", s.width_mm, s.depth_mm, t)
    front = -d + s.lip_mm
    for n in range(1, s.uprights + 1):
        out.add(f"C{n}", uprights.called(s, n), "upright", (s.bay_low_mm(n) - s.side_mm, -d, 0.0), "z", "y", side_long, s.depth_mm - (s.back_mm if s.back else 0.0), s.side_mm,
                shaping=_upright_cut(s, side_long))
    for bay in s.bays:
        for k in range(s.shelf_count + 1):
            name = uprights.board_name(s, k, bay)
            # Behind doors a shelf begins clear of them; they stand over the bottom.
            behind = s.behind_mm if k else 0.0
            out.add(uprights.board(k, bay), name, "shelf", (s.bay_low_mm(bay), front + behind, s.shelf_low_mm(k)), "x", "y",
                    s.bay_mm, s.shelf_depth_mm - behind, t, arris=0.0 if s.lipping else None)
            if s.lipping:
                deep = min(s.lipping_mm, t + s.plinth_mm)
                out.add(uprights.lipping(k, bay), f"lipping, {name}", "lipping", (s.bay_low_mm(bay), -d, s.shelf_low_mm(k) + t - deep), "x", "z",
                        s.bay_mm, deep, LIPPING_MM)
    if s.tier:
        high, thick = SILL_MM
        for code, name, y, rank in (
            ("K1", "sill, front", front + SILL_IN_MM, "show"), ("K2", "sill, back", front + s.shelf_depth_mm - thick, "plain"),
        ):
            out.add(code, name, "sill", (-w + s.side_mm, y, 0.0), "x", "y", s.inner_mm, thick, high, rank)
    else:
        out.add("K1", "plinth", "plinth", (-w + s.side_mm, -d + s.set_in_mm, 0.0), "x", "z", s.inner_mm, s.plinth_mm, PLINTH_MM)
    if s.doors:
        cupboard.lay_members(out, s, -d)
    low = s.plinth_mm - (BACK_DOWN_MM if s.tier else min(BACK_DOWN_MM, s.plinth_mm / 2))
    for number, x, each, _ in uprights.back_boards(s):
        out.add(f"B{number}", f"back board {number}", "back board", (x, d - s.back_mm, low), "z", "x",
                side_long - low, each, s.back_mm, "plain", arris=min(s.arris_mm, s.back_mm / 4))
    if s.alcove and not s.tier:
        bottom, top, high = s.fillet_mm("bottom"), s.fillet_mm("top"), whole.height_mm
        thick = max(bottom, top)
        off = abs(bottom - top)
        shape = ()
        if off >= 0.1:
            shape = (Taper("face", "end", 0.0, off),) if top < bottom else (Taper("face", "start", high, off),)
        left = bottom - s.skirting_deep_mm
        if s.walls.skirting and left >= FILLET_LEAST_MM:
            shape += (Notch(0.0, s.skirting_high_mm, 0.0, FILLET_MM[0], left, thick),)
        out.add("S1", "left fillet", "fillet", (-w - thick, -d, 0.0), "z", "y", high, FILLET_MM[0], thick,
                hand="left", shaping=shape, arris=0.0)
        out.add("S2", "right fillet", "fillet", (w, -d, 0.0), "z", "-y", high, FILLET_MM[0], thick,
                hand="right", shaping=shape, arris=0.0)
        if whole.strip_mm:
            wide = whole.width_mm + 2 * top
            out.add("S3", "fillet under the ceiling", "fillet", (-wide / 2, -d, high), "x", "z", wide, whole.strip_mm, STRIP_MM, arris=0.0)
    return out.all


def _upright_cut(s: _Sizes, long: float) -> tuple[Notch, ...]:
    """What is cut out of an upright: over the plinth or the sills, over a skirting, and behind the doors of a cupboard."""
    wide, thick = s.depth_mm - (s.back_mm if s.back else 0.0), s.side_mm
    if s.tier:
        high, sill = SILL_MM
        cuts = [Notch(0.0, high, 0.0, s.lip_mm + SILL_IN_MM + sill, 0.0, thick), Notch(0.0, high, wide - sill, wide, 0.0, thick)]
    else:
        cuts = [Notch(0.0, s.plinth_mm, 0.0, s.set_in_mm + PLINTH_MM, 0.0, thick)]
    high, deep = s.walls.notch_mm
    if s.over_skirting and not s.tier and s.depth_mm - deep < wide:
        cuts.append(Notch(0.0, high, s.depth_mm - deep, wide, 0.0, thick))
    if s.doors:
        cuts.append(Notch(s.plinth_mm + s.shelf_mm, long, 0.0, s.behind_mm, 0.0, thick))
    return tuple(cuts)


def _all_joints(by_ref, letter, own, changed, missing, whole: _Sizes) -> list[Joint]:
    made = []
    for s in whole.tiers():
        made += _joints(Joints(by_ref, letter, own, changed, missing, tier=s.tier), s)
    across = Joints(by_ref, letter, own, changed, missing)
    if whole.cases:
        for sill in ("K1", "K2"):
            across.join("screws", "T1", tiered(sill, 1), UPPER_ON_LOWER, "shelf_mm", _sill_screws(whole))
    if whole.alcove:
        for fillet, side in (("S1", "L1"), ("S2", "L2")):
            for s in whole.tiers():
                across.join("screws", fillet, tiered(side, s.tier), FILLET_ON_SIDE, "width_mm", _fillet_screws(s))
        if whole.strip_mm:
            across.join("screws", tiered("T1", whole.tiers()[-1].tier), "S3", STRIP_ON_TOP, "strip_mm", {"end_mm": min(80.0, whole.width_mm / 4)})
    return made + across.all


def _sill_screws(s: _Sizes) -> dict[str, float]:
    """Where the screws up into a sill stand: clear of the dowels in its ends, and driven beside the uprights of the lower case."""
    row, first = s.inner_mm, min(60.0, s.inner_mm / 3)
    if not s.uprights:
        return {"end_mm": first}
    middles, clear = [s.bay_low_mm(bay) + row / 2 - s.side_mm / 2 for bay in s.bays[1:]], s.side_mm / 2 + BESIDE_UPRIGHT_MM
    usual = 2 + int((row - 2 * first) / 300.0)
    tried = [
        (end, n) for n in (usual, usual + 1, usual - 1, usual + 2) if n > 1
        for end in (first + by for by in range(0, 120, 5)) if end <= row / 3
    ]
    best = max(tried, key=lambda t: min(clear, *(abs(t[0] + k * (row - 2 * t[0]) / (t[1] - 1) - x) for k in range(t[1]) for x in middles)))
    return {"end_mm": best[0], "count": float(best[1])}


def _fillet_screws(s: _Sizes) -> dict[str, float]:
    """Where the screws of a fillet stand: above the skirting and the trench of an upper case's bottom, clear of the shelves' trenches."""
    row = s.height_mm - s.shelf_mm
    # Above the trench of the upper case's bottom.
    first = SILL_MM[0] + s.shelf_mm + 35.0 if s.tier else s.skirting_high_mm + 25.0 if s.walls.skirting else 40.0
    first = min(first, row / 3)
    trenches = [s.shelf_low_mm(k) + s.shelf_mm / 2 for k in range(s.shelf_count + 1)]
    clear = s.shelf_mm / 2 + SCREW_CLEAR_MM

    def nearest(end: float, n: int) -> float:
        return min(abs(end + k * (row - 2 * end) / (n - 1) - z) for k in range(n) for z in trenches)

    usual = 2 + int((row - 2 * first) / 300.0)
    tried = [(first + by, n) for n in (usual, usual + 1, max(usual - 1, 2)) for by in range(0, 100, 5) if first + by <= row / 3]
    end, n = next((t for t in tried if nearest(*t) >= clear), max(tried, key=lambda t: nearest(*t)))
    return {"end_mm": end, "count": float(n)}


def _joints(made: Joints, s: _Sizes) -> list[Joint]:
    stop = {"stopped_mm": min(10.0, s.shelf_depth_mm / 4)} if s.stopped and not s.lipping else {}
    uprights.lay_boards(made, s, range(s.shelf_count + 1), stop, bool(s.lipping))
    behind = s.behind_mm
    for n in range(1, s.uprights + 1):
        made.join("housing", f"C{n}", "T1", "upright into top", "shelf_mm", {"stopped_mm": behind + min(10.0, s.shelf_depth_mm / 4) if s.stopped or behind else 0.0})
    if s.doors:
        cupboard.lay_joints(made, s)
    for side in ("L1", "L2"):
        made.join("dowels", side, "T1", "side into top", "shelf_mm")
        for rail, family in (("K1", "sill into side"), ("K2", "sill into side")) if s.tier else (("K1", "plinth into side"),):
            made.join("dowels", rail, side, family, "plinth_mm")
    return made.all


SHELVES = Shelves()
