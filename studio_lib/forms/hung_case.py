"""A case hung on a wall: open shelves, or a cupboard with doors, with nothing under it.

Boards are housed between two sides. A hanging rail, glued under the top and dowelled into the sides, is screwed to the wall and
carries it all; a lower rail under the bottom keeps it off the wall and from swinging up. Left without a bottom it is a shelf, or
several, on two sides that lean on the wall. The sides may go on above the top board. A wide one is parted by uprights, which hang
from the top and are let in over the rails; boards are housed into them from both faces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.brief import refusals
from studio_lib.brief.refusals import SAFETY
from studio_lib.brief.hung_said import below_asked, boards_asked, doors_asked, hung_at_asked, wet_beside
from studio_lib.brief.said import ceiling_mm, painted_asked, plain_asked, tallest_book
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.forms import cupboard, uprights
from studio_lib.forms.casework import G, JUDGEMENT, PRACTICE, Joints, Members, children, figures_for, shelf_sags
from studio_lib.forms.changes import any_made, assembled
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice, users_of
from studio_lib.forms.space import room_findings
from studio_lib.forms.stowing import Room, stowing_findings
from studio_lib.forms.thin import no_flat_refused
from studio_lib.forms.walls import PLASTER, SKIRTING
from studio_lib.people.proposals import Proposed, shelf_reach
from studio_lib.people.users import Users
from studio_lib.piece import Box, Joint, Member, Part, Piece
from studio_lib.piece.shaping import Notch
from studio_lib.structure.hung import HANGING_RAIL, LOWER_RAIL
from studio_lib.structure.loads import Load
from studio_lib.units import mm

LEAST_OPENING_MM = 60.0
OVER_BOOKS_MM = 20.0
"""Over the tallest book, for a finger to tip it out; common practice, no source."""
THICK_MM = (22.0, 25.0, 28.0, 30.0, 32.0, 35.0, 38.0, 40.0)
"""Thicknesses proposed for boards, one after the other until they do not sag; judgement of ours."""
NOT_TIGHT = 0.9
WORKTOP_MM, OVER_IT_MM, EYE_MM = 900.0, 450.0, 1400.0
"""Height of a usual worktop, how far over it a cupboard hangs, and the underside of shelves hung where they are seen into; common practice, no source."""
ARM_MM = 555.0
"""Shoulder to grip of a short woman, 5th of 100: Pheasant, Bodyspace, from memory."""
SCREWS_APART_MM = 400.0
"""Screws of a hanging rail are no further apart; common practice, no source."""
WALKED_INTO_MM, HEAD_ROOM_MM, PROUD_MM = 685.0, 2030.0, 100.0
"""What hangs between these heights stands out no further where people walk along a wall: ADA Standards 2010, 307.2."""
SEEN_BESIDE_MM, SEEN_HIGH_MM, SEEN_OVER_MM, SEEN_THICK_MM, SEEN_SKIRTING_MM = 225.0, 2300.0, 60.0, 20.0, (90.0, 16.0)
"""In pictures: how far the wall goes on past what hangs on it, so that those of two pieces meet, how high it is at the least, and the skirting
board at its foot; judgement of ours."""
DRAWN_OUT_MM = 350.0
"""So far before the wall it is taken apart in pictures; judgement of ours."""
A_SCREW_N = 330.0
"""What is reckoned to hang on one screw for good; a little under what ``structure.hung`` finds one to hold in a stud. [N]"""
INTO_END_MM = 24.0
"""Dowels of the top go so far into the ends of the sides, clear of those of the hanging rail; three diameters of 8 mm."""
CLEAR_MM = 8.0
"""Between those and the dowels of the rail; judgement of ours."""
UNDER_CEILING_MM = 5.0
"""Left under a ceiling to lift it onto its marks; judgement of ours."""
BOOKS_KG_M2, HOUSE_KG_M2 = 195.0, 65.0


@dataclass(frozen=True)
class _Sizes(uprights.Parted):
    width_mm: float
    depth_mm: float
    height_mm: float
    hung_mm: float
    shelf_count: int
    bottom: int
    shelf_mm: float
    side_mm: float
    load_kg_m: float
    stopped: int
    wide: int
    above_mm: float
    rail_high_mm: float
    rail_mm: float
    lower_mm: float
    wall_screws: int
    back: int
    back_mm: float
    back_gap_mm: float
    doors: int
    door_mm: float
    door_gap_mm: float
    arris_mm: float
    uprights: int
    swell: float = 0.0

    @property
    def inner_mm(self) -> float:
        return self.width_mm - 2 * self.side_mm

    @property
    def shelf_depth_mm(self) -> float:
        return self.depth_mm - (self.back_mm if self.back else 0.0)

    @property
    def over_sides(self) -> bool:
        """The top lies on the sides; else it is housed between them."""
        return not self.above_mm

    @property
    def plinth_mm(self) -> float:
        """Underside of the bottom above the lower end of the sides; 0 where it has no bottom."""
        return self.lower_mm if self.bottom else 0.0

    @property
    def top_low_mm(self) -> float:
        """Underside of the top board, above the lower end of the sides."""
        return self.height_mm - self.above_mm - self.shelf_mm

    @property
    def inside_mm(self) -> float:
        return self.top_low_mm - self.plinth_mm - (self.shelf_mm if self.bottom else 0.0) - self.shelf_count * self.shelf_mm

    @property
    def clear_mm(self) -> float:
        return self.inside_mm / (self.shelf_count + 1)

    def low_mm(self, k: int) -> float:
        """Underside of board ``k`` above the lower end of the sides: 0 the bottom, then the shelves."""
        first = self.plinth_mm + (self.shelf_mm if self.bottom else 0.0)
        return self.plinth_mm if k == 0 else first + k * self.clear_mm + (k - 1) * self.shelf_mm

    @property
    def boards(self) -> range:
        """The boards under the top, from the lowest: 0 the bottom."""
        return range(0 if self.bottom else 1, self.shelf_count + 1)

    @property
    def highest_mm(self) -> float:
        """Above the floor, the upper face of the highest board that is reached into: the top where it is open above."""
        inside = [self.low_mm(k) + self.shelf_mm for k in self.boards]
        return self.hung_mm + (inside[-1] if inside and self.over_sides and self.doors else self.top_low_mm + self.shelf_mm)


class HungCase(Form):
    """Shelves or a cupboard hung on a wall."""

    name = "hung case"
    called = ("wide", "deep")
    overall = ("width_mm", "depth_mm", "height_mm")
    says = "Hung on a wall, nothing under it: open shelves or a cupboard with doors, carried by a rail that is screwed to the wall."
    sizes = (
        Size("width_mm", "Width", 200, 1800),
        Size("depth_mm", "Depth, front to back", 90, 450),
        Size("height_mm", "Height of the piece itself", 120, 1500),
        Size("hung_mm", "Its lower edge above the floor", 200, 2400, "mm", "overall", given=True),
        Size("shelf_count", "Shelves between bottom and top", 0, 8, "", "shelves", True),
        choice("bottom", "Below", ("open, no bottom", "with a bottom"), "shelves"),
        Size("shelf_mm", "Thickness of shelves, top and bottom", 15, 40, "mm", "shelves"),
        Size("load_kg_m", "Load on each metre of shelf", 0, 120, "kg", "shelves", given=True),
        choice("stopped", "Housings", ("right through", "stopped at the front"), "shelves"),
        Size("above_mm", "Sides go on above the top board, 0 for a top that lies on them", 0, 300, "mm", "case"),
        choice("wide", "Wide boards", ("glued up in the workshop", "bought glued up and planed"), "case"),
        Size("side_mm", "Thickness of the sides", 15, 40, "mm", "case"),
        uprights.SIZE,
        Size("rail_high_mm", "Hanging rail: height", 40, 150, "mm", "wall"),
        Size("rail_mm", "Rails: thickness", 16, 40, "mm", "wall"),
        Size("lower_mm", "Lower rail: height", 30, 150, "mm", "wall"),
        Size("wall_screws", "Screws to the wall in the hanging rail", 2, 10, "", "wall", True),
        choice("back", "Back", ("open, the wall is seen", "upright boards"), "case"),
        Size("back_mm", "Thickness of the back boards", 6, 20, "mm", "case"),
        Size("back_gap_mm", "Gap between back boards, when made", 0, 10, "mm", "case"),
        choice("doors", "Doors", ("none, open shelves", "one door", "two doors"), "cupboard"),
        Size("door_mm", "Thickness of the doors", 16, 30, "mm", "cupboard"),
        Size("door_gap_mm", "Gap round the doors", 1, 6, "mm", "cupboard"),
        Size("arris_mm", "Arris taken off", 0, 3, "mm", "case"),
    )

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        books = "book" in f"{brief.carries} {brief.asked}".lower()
        shut, boards = doors_asked(brief), boards_asked(brief)
        wide = max(200.0, min(brief.space_length_mm or 800.0, 800.0))
        width = chosen.get("width_mm", wide)
        doors = int(chosen.get("doors", (2 if width >= 600 else 1) if shut else 0))
        deep, why_deep, on_deep = (
            (320.0, "plates and what is kept behind doors", PRACTICE) if doors else
            (255.0, "books stand on 255 to 305 mm", "shelf-building rules, 10 to 12 in. (255 to 305 mm)") if books else
            (200.0, "bottles, cups and small things, out of the way of heads", PRACTICE))
        deep = max(min(deep, brief.space_width_mm or deep), 90.0)
        depth = chosen.get("depth_mm", deep)
        one = boards == 1 and not doors
        bottom = chosen.get("bottom", 0.0 if one else 1.0)
        tallest = tallest_book(brief)
        clear = tallest[0] + OVER_BOOKS_MM if tallest else 300.0
        asked = max(boards - 2, 0) if boards else None
        between = 1 if doors else 0 if asked is None and not books else asked if asked is not None else 1
        count = int(chosen.get("shelf_count", between))
        load = min(120.0, round((BOOKS_KG_M2 if books else HOUSE_KG_M2) * depth / 1000))
        lower = 50.0
        side, per_m = chosen.get("side_mm", 22.0), chosen.get("load_kg_m", load)
        thickest = chosen.get("shelf_mm", THICK_MM[-1])
        inner = width - 2 * side
        uprights_of = uprights.as_said(brief, inner, side, uprights.proposal(
            inner, side, [_sag_share(brief, around, uprights.bay_mm(inner, side, n), depth, thickest, per_m) > 1.0 for n in range(3)],
        )) if bottom or count else Proposal(0, "one board on two sides", JUDGEMENT)
        parted = int(chosen.get("uprights", uprights_of.value))
        thick_of = _thick_enough(brief, around, uprights.bay_mm(inner, side, parted), depth, per_m, parted > 0)
        thick = chosen.get("shelf_mm", thick_of.value)
        above = chosen.get("above_mm", 0.0)
        foot = chosen.get("lower_mm", lower) if bottom else 0.0
        high = (count + 2 if bottom else count + 1) * thick + (count + 1) * clear + foot + above if bottom or count else 150.0 + thick + above
        height = min(max(math.ceil(high / 10) * 10.0, 120.0), 1500.0)
        tall = chosen.get("height_mm", height)
        rail_of = Proposal(60.0, "screws stand well inside its edges", JUDGEMENT) if tall < 400 else Proposal(75.0, "stiff enough that each screw takes its part", JUDGEMENT)
        users = users_of(brief)
        at = _hung(brief, users, doors, tall, depth)
        gap = math.ceil(2 * (1.0 + around.swell_fraction * uprights.BACK_BOARD_MM)) / 2
        carried = (chosen.get("load_kg_m", load) * (count + (2 if bottom else 1)) + 15.0) * max(width - 44.0, 100.0) / 1000
        screws = max(2, math.ceil(max(width - 2 * 22.0 - 80.0, 0.0) / SCREWS_APART_MM) + 1, math.ceil(SAFETY * G * carried / A_SCREW_N))
        backed = bool(doors)
        return {
            "width_mm": Proposal(float(wide), "two studs of a wall lie behind it; boards this long do not sag much", JUDGEMENT),
            "depth_mm": Proposal(deep, why_deep, on_deep),
            "height_mm": Proposal(
                height, "one board on two short sides" if one and not count else f"{count + 1} opening{'s' * bool(count)} of about {clear:.0f} mm",
                f"brief; finger room {PRACTICE}" if tallest else JUDGEMENT),
            "hung_mm": at,
            "shelf_count": Proposal(float(between), "two openings behind the doors" if doors else f"{boards} boards in all, as the client says" if boards else
                                    "three boards for books" if books else "a bottom and a top, each a shelf", "brief" if boards and not doors else JUDGEMENT),
            "bottom": Proposal(0.0, "one board, as the client says, on two short sides", "brief") if one else Proposal(1.0, "a board below, and a rail under it that keeps it off the wall", JUDGEMENT),
            "shelf_mm": thick_of,
            "load_kg_m": Proposal(
                float(load), "books, 195 kg a square metre of shelf" if books else "household things, 65 kg a square metre of shelf",
                "architectural shelf load, 40 lb a square foot" if books else "EN 14749, 0.65 kg/dm2, from memory"),
            "stopped": Proposal(0, "quicker cut, and paint covers the ends of the trenches", PRACTICE) if painted_asked(brief) else Proposal(1, "the front edge of the side stays whole", PRACTICE),
            "above_mm": Proposal(0.0, "a top that lies on the sides", JUDGEMENT),
            "wide": Proposal(1, "solid as well, and a day or more of planing and glueing less", JUDGEMENT) if plain_asked(brief)
            else Proposal(0, "boards chosen and matched for each width", JUDGEMENT),
            "side_mm": Proposal(22.0, around.sawn(22.0), JUDGEMENT),
            "uprights": uprights_of,
            "rail_high_mm": rail_of,
            "rail_mm": Proposal(22.0, around.sawn(22.0), JUDGEMENT),
            "lower_mm": Proposal(lower, "under the bottom, seen only from below", JUDGEMENT),
            "wall_screws": Proposal(float(min(screws, 10)), f"no further apart than {mm(SCREWS_APART_MM)} mm, and as many as about {mm(round(carried))} kg ask for in studs", PRACTICE),
            "back": Proposal(1, "behind doors no one wants to see the wall", JUDGEMENT) if backed else Proposal(0, "the wall is its back; the rails keep it square", JUDGEMENT),
            "back_mm": Proposal(10.0, "stiff enough for a screw in each shelf", JUDGEMENT),
            "back_gap_mm": Proposal(min(gap, 10.0), "room for each board to swell, and 1 mm", "Wood Handbook FPL-GTR-282 ch. 13"),
            "doors": Proposal(doors, "a cupboard, as the client says; no door wider than 600 mm", "brief") if doors else Proposal(0, "open shelves", JUDGEMENT),
            "door_mm": Proposal(20.0, around.sawn(20.0), JUDGEMENT),
            "door_gap_mm": Proposal(3.0, "their stiles swell towards each other", PRACTICE),
            "arris_mm": Proposal(1.0, "takes off what would splinter", PRACTICE),
        }

    def kept_within(self, limits_mm: tuple[float | None, float | None, float | None], sizes: dict[str, float]) -> dict[str, float]:
        """The pulls of its doors stand out before it, and the whole is kept within the limits."""
        long, deep, high = limits_mm
        return super().kept_within((long, deep and deep - _proud_mm(sizes["doors"]), high), sizes)

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        idle = {**dict.fromkeys(("door_mm", "door_gap_mm"), not sizes["doors"]), **dict.fromkeys(("back_mm", "back_gap_mm"), not sizes["back"]), "lower_mm": not sizes["bottom"]}
        return tuple(n for n, yes in idle.items() if yes)

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        return (*super().needs(sizes, brief), "wall_screws", "uprights", *(("doors",) if doors_asked(brief) else ()), *(("shelf_count", "bottom") if boards_asked(brief) else ()))

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _Sizes(**sizes, swell=around.swell_fraction)
        _refuse(s)
        missing: list[Finding] = [cupboard.swelling(s, name)] if s.doors else []
        piece = assembled(
            name=name, form=self.name, letter=letter, members=_members(s, letter, around.timber),
            lay_joints=lambda by_ref, own: _joints(Joints(by_ref, letter, own, any_made(adjustments), missing), s),
            changes=adjustments, own=joints, check=no_flat_refused, timber=around.timber, found=missing,
        )
        return replace(piece, held_on=_seen_wall(s), drawn_out_mm=DRAWN_OUT_MM + s.depth_mm)

    def hung(self, sizes: dict[str, float]) -> int:
        return int(sizes["wall_screws"])

    def at_wall(self, sizes: dict[str, float]) -> bool:
        return True

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        # The wall is behind every opening.
        return []

    def on_site(self, sizes: dict[str, float], brief: Brief) -> list[str]:
        s = _Sizes(**sizes)
        line = s.hung_mm + s.top_low_mm - s.rail_high_mm / 2
        said = [
            f"Draw a level line {line:.0f} mm above the floor: the screws of the hanging rail stand on it. Measure from the floor at both ends; where the floor falls, go by the level and "
            "by what the piece hangs over.",
            "Before a hole is drilled look for cables and pipes with a detector on both lines of screws, above and below switches and sockets most of all; what is found is left to a licensed electrician or "
            "plumber (common practice, no source).",
            "Two lift it onto a batten or props set to the line while one screws; nobody stands under it until the last screw is in. Drive the screws of the hanging rail first, hang on it by hand, then "
            f"{'those of the lower rail' if s.bottom else 'see that the lower ends of its sides lie on the wall'}; pack behind a rail where the wall is hollow, never draw it to the wall.",
        ]
        if s.back:
            said.append("The screws go through the rail and the back boards: bore both before it is lifted.")
        if wet_beside(brief):
            said.append("Beside water: seal the end grain at the wall and leave a thin gap or a bead that is renewed, so that splashes do not stand behind it.")
        said.append("Nothing heavy goes on it until it has been loaded once with the maker there; heavy things never hang over a bed or where a child plays.")
        return said

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        return {"hung_mm": shelf_reach(users, at=max(_Sizes(**sizes).highest_mm, 300.0))}

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        return self.fit_under(piece, sizes, brief, {})

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        s = _Sizes(**sizes)
        found = room_findings(piece.name, piece.overall_mm[0], piece.overall_mm[1], brief, ("width", "depth"), high_mm=s.height_mm)
        ceiling = ceiling_mm(brief)
        if ceiling:
            top, room = s.hung_mm + s.height_mm, ceiling - UNDER_CEILING_MM
            found.append(from_ratio(
                piece.name, "under the ceiling", top, room, "mm", rule="it is lifted onto its marks under the ceiling", source="brief", look_again_from=1.0, stage="sizes",
                mend=f"Hang it {mm(math.ceil(top - room))} mm lower, or make it so much less high.", says=f"its top {top:.0f} mm above the floor, under a ceiling of {mm(ceiling)} mm",
            ))
        reached, across = shelf_reach(users_of(brief)), _lost_across_mm(brief, s.depth_mm)
        under = below_asked(brief)
        over = s.highest_mm - (reached.value - across)
        found.append(Finding(
            piece.name, "reach of its highest board", Verdict.LOOK_AGAIN if over > 0 else Verdict.STANDS, f"{s.highest_mm:.0f} mm above the floor; {reached.value - across:.0f} mm is within easy reach of "
            f"{reached.decided_by}" + (f", {across:.0f} mm less across the {under.what}, {mm(under.deep_mm)} mm deep" if across else ""), s.highest_mm, reached.value - across, "mm", "what is used every day is taken down flat on one's feet", reached.source,
            f"Hang it {mm(math.ceil(over))} mm lower, or keep up there what is seldom used." if over > 0 else "", "sizes",
        ))
        if brief.use == "public" and s.depth_mm > PROUD_MM and WALKED_INTO_MM < s.hung_mm < HEAD_ROOM_MM:
            found.append(Finding(
                piece.name, "walked into", Verdict.LOOK_AGAIN, f"it stands out {s.depth_mm:.0f} mm, its lower edge {s.hung_mm:.0f} mm above the floor: who cannot see it does not feel it with a stick",
                s.depth_mm, PROUD_MM, "mm", f"along a way people walk nothing between {WALKED_INTO_MM:.0f} and {HEAD_ROOM_MM:.0f} mm stands out more than {PROUD_MM:.0f} mm",
                "ADA Standards 2010, 307.2", "Hang it over a worktop, a bath or a bench that stands out as far; or lower or higher than that.", "sizes",
            ))
        tallest = tallest_book(brief)
        if tallest and (s.bottom or s.shelf_count):
            found.append(from_ratio(
                piece.name, "room for what stands on the shelves", tallest[0], s.clear_mm, "mm", rule="the tallest stands between two shelves", source="brief",
                mend="Fewer shelves, a taller case, or lay the tallest down.", stage="sizes", look_again_from=tallest[0] / (tallest[0] + OVER_BOOKS_MM / 2),
                says=f"{tallest[1]}, in openings of {s.clear_mm:.0f} mm",
            ))
        sags = shelf_sags(piece, s.load_kg_m, brief, loads)
        found += uprights.named_ways_out(sags, s) if s.bottom or s.shelf_count else sags
        if brief.thick_mm or brief.deepest_mm or brief.how_many:
            rooms = [Room(f"{'on the bottom' if k == 0 else f'on shelf {k}'}{uprights.in_bay(s, bay)}", s.bay_mm, s.clear_mm, s.shelf_depth_mm - cupboard.behind_mm(s)) for k in s.boards for bay in s.bays]
            found += stowing_findings(piece.name, rooms, brief)
        young = children(brief)
        if s.doors:
            found += [*cupboard.findings(s, piece.name), refusals.fingers("round doors", *cupboard.gaps_mm(s), young)]
        if s.back and s.back_gap_mm:
            found.append(refusals.fingers("back boards", 0.0, s.back_gap_mm + 2.0, young))
        if brief.nothing_drilled or (brief.needs_leave is not None and not brief.fixed_to_building):
            said = "nothing may be drilled there" if brief.nothing_drilled else "nothing is fixed to a building"
            found.append(Finding(
                piece.name, "hung on the wall", Verdict.FAILS if brief.nothing_drilled else Verdict.LOOK_AGAIN, f"the brief says that {said}, and this hangs by screws in the wall alone",
                rule="what hangs is screwed to the wall", source="brief", mend="Ask for leave to drill, and say so on the Brief page; or add a bookcase or a cabinet, which stands on the floor.", stage="sizes",
            ))
        return found


def _proud_mm(doors: float) -> float:
    """How far the pulls of its doors stand out before it. [mm]"""
    return cupboard.BEFORE_MM if doors else 0.0


def _lost_across_mm(brief: Brief, depth_mm: float) -> float:
    """How much lower one reaches across what it hangs over, the arm swung forward from the shoulder; 0 where nothing is under it. [mm]"""
    under = below_asked(brief)
    ahead = min(max(under.deep_mm - depth_mm, 0.0), 0.9 * ARM_MM) if under else 0.0
    return round(ARM_MM - math.sqrt(ARM_MM**2 - ahead**2))


def _hung(brief: Brief, users: Users, doors: int, tall: float, depth: float) -> Proposal:
    """How high its lower edge hangs: as asked, else so that its highest board is in reach, under the ceiling. [mm]"""
    said, ceiling = hung_at_asked(brief), ceiling_mm(brief)
    most = min(2400.0, ceiling - UNDER_CEILING_MM - tall) if ceiling else 2400.0
    if said:
        return Proposal(max(min(said, most), 200.0), "as high as the client says" if said <= most else f"as high as the ceiling of {mm(ceiling)} mm lets it hang", "brief")
    under = below_asked(brief)
    worktop = (under.high_mm if under else None) or WORKTOP_MM
    usual, why = (worktop + OVER_IT_MM, f"{OVER_IT_MM:.0f} mm over a worktop of {mm(worktop)} mm") if doors else (EYE_MM, "its lowest board a little under the eyes")
    reach = shelf_reach(users)
    within = math.floor((reach.value - _lost_across_mm(brief, depth) - tall) / 10) * 10.0
    if within < usual and not doors:
        usual, why = max(within, 900.0), f"its top board within easy reach: {reach.decided_by}"
    return Proposal(max(min(usual, most), 200.0), why, PRACTICE)


def _sag_share(brief: Brief, around: Surroundings, span: float, depth: float, thick: float, load_kg_m: float) -> float:
    """Part of the sag allowed that a board takes up under what stands on it. [mm]"""
    density, moe, _ = figures_for(around.timber)
    wide = max(span, 100.0)
    own = wide * depth * thick * 1e-9 * density * G
    return refusals.sagging("shelf", wide, depth, thick, load_kg_m * G * wide / 1000 + own, moe, refusals.CREEP[brief.place], refusals.SEEN_SAG).utilisation


def _thick_enough(brief: Brief, around: Surroundings, span: float, depth: float, load_kg_m: float, parted: bool) -> Proposal:
    """Thickness of boards: the least that does not sag between the sides, or between them and uprights. [mm]"""
    wide = max(span, 100.0)
    thick = next((t for t in THICK_MM if _sag_share(brief, around, wide, depth, t, load_kg_m) <= NOT_TIGHT), THICK_MM[-1])
    between = "in each bay" if parted else "between the sides"
    return Proposal(thick, f"{mm(math.floor(wide))} mm {between} do not sag under what stands on it; {around.sawn(thick)}", "beam mechanics; creep EN 1995-1-1 table 3.2")


def _refuse(s: _Sizes) -> None:
    if s.inner_mm < 120:
        raise SizeRefused("width_mm", f"{s.width_mm:g} mm wide with sides of {s.side_mm:g} mm leaves {s.inner_mm:.0f} mm inside; make it {120 + 2 * s.side_mm:.0f} mm or more.")
    uprights.refuse(s)
    least = 60.0 + s.rail_mm + cupboard.behind_mm(s)
    if s.shelf_depth_mm < least:
        raise SizeRefused("depth_mm", f"A depth of {s.depth_mm:g} mm leaves {s.shelf_depth_mm:.0f} mm before the wall; with rails of {s.rail_mm:g} mm give {least + s.depth_mm - s.shelf_depth_mm:.0f} mm or more.")
    if s.doors and not s.bottom:
        raise SizeRefused("doors", "Doors close on a bottom: choose one below, given as 1, or no doors.")
    if s.doors and s.above_mm:
        raise SizeRefused("above_mm", "Doors close under a top that lies on the sides: give 0 for sides that end there, or no doors.")
    if s.above_mm and s.above_mm < 10:
        raise SizeRefused("above_mm", f"Sides that go on {s.above_mm:g} mm above the top leave too little over its housing; give 10 mm or more, or 0 for a top that lies on them.")
    under = s.clear_mm if s.bottom or s.shelf_count else s.top_low_mm
    need = max(LEAST_OPENING_MM, s.rail_high_mm + (20.0 if s.bottom or s.shelf_count else 0.0))
    if under < need:
        n = s.shelf_count
        short = math.ceil((need - under) * (n + 1))
        raise SizeRefused("height_mm", f"{s.height_mm:g} mm of height leaves {'openings' if n else 'an opening'} of {max(under, 0):.0f} mm, and a hanging rail of {s.rail_high_mm:g} mm needs {need:.0f} mm; "
                          f"give {s.height_mm + short:.0f} mm or more, or fewer shelves.")
    if s.rail_mm > s.shelf_depth_mm / 2:
        raise SizeRefused("rail_mm", f"Rails {s.rail_mm:g} mm thick take half of a shelf {s.shelf_depth_mm:.0f} mm deep; give {math.floor(s.shelf_depth_mm / 2)} mm or less.")
    if s.doors:
        wide, tall = cupboard.LEAST_DOOR_MM
        low, high = cupboard.edges_mm(s)
        if high - low < tall:
            raise SizeRefused("height_mm", f"Doors would be {max(high - low, 0):.0f} mm high and need {tall:g} mm; give {math.ceil(s.height_mm + tall - (high - low))} mm of height or more, or no doors.")
        thin = min(d.wide_mm for d in cupboard.doors_of(s))
        if thin < wide:
            raise SizeRefused("doors", f"{s.doors} door{'s' * (s.doors > 1)} in {s.inner_mm:.0f} mm would be {max(thin, 0):.0f} mm wide each and need {wide:g} mm. Fewer doors, or a wider case.")


def _members(s: _Sizes, letter: str, timber: str) -> list[Member]:
    out = Members(letter, timber, s.arris_mm, lift=(0.0, 0.0, s.hung_mm), bought=bool(s.wide))
    w, d, t = s.width_mm / 2, s.depth_mm / 2, s.shelf_mm
    side_long = s.top_low_mm if s.over_sides else s.height_mm
    out.add("L1", "left side", "side", (-w, -d, 0.0), "z", "y", side_long, s.depth_mm, s.side_mm, hand="left")
    out.add("L2", "right side", "side", (w - s.side_mm, -d, 0.0), "z", "-y", side_long, s.depth_mm, s.side_mm, hand="right")
    if s.over_sides:
        out.add("T1", "top", "top", (-w, -d, s.top_low_mm), "x", "y", s.width_mm, s.depth_mm, t)
    else:
        out.add("T1", "top", "top", (-w + s.side_mm, -d, s.top_low_mm), "x", "y", s.inner_mm, s.shelf_depth_mm, t)
    for n in range(1, s.uprights + 1):
        out.add(f"C{n}", uprights.called(s, n), "upright", (s.bay_low_mm(n) - s.side_mm, -d, 0.0), "z", "y", s.top_low_mm, s.shelf_depth_mm, s.side_mm,
                shaping=_upright_cut(s))
    for bay in s.bays:
        for k in s.boards:
            behind = cupboard.behind_mm(s) if k else 0.0
            out.add(uprights.board(k, bay), uprights.board_name(s, k, bay), "shelf", (s.bay_low_mm(bay), -d + behind, s.low_mm(k)), "x", "y",
                    s.bay_mm, s.shelf_depth_mm - behind, t)
    at = d - (s.back_mm if s.back else 0.0) - s.rail_mm
    out.add("R1", HANGING_RAIL, HANGING_RAIL, (-w + s.side_mm, at, s.top_low_mm - s.rail_high_mm), "x", "z", s.inner_mm, s.rail_high_mm, s.rail_mm, "plain")
    if s.bottom:
        out.add("R2", LOWER_RAIL, LOWER_RAIL, (-w + s.side_mm, at, 0.0), "x", "z", s.inner_mm, s.lower_mm, s.rail_mm, "plain")
    if s.doors:
        cupboard.lay_members(out, s, -d)
    for number, x, each, _ in uprights.back_boards(s):
        out.add(f"B{number}", f"back board {number}", "back board", (x, d - s.back_mm, 0.0), "z", "x",
                s.top_low_mm if s.over_sides else s.top_low_mm + t, each, s.back_mm, "plain", arris=min(s.arris_mm, s.back_mm / 4))
    return out.all


def _upright_cut(s: _Sizes) -> tuple[Notch, ...]:
    """What is cut out of an upright: over the rails at its back, and behind doors."""
    wide, thick, back = s.shelf_depth_mm, s.side_mm, s.shelf_depth_mm - s.rail_mm
    cuts = [Notch(s.top_low_mm - s.rail_high_mm, s.top_low_mm, back, wide, 0.0, thick)]
    if s.bottom:
        cuts.append(Notch(0.0, s.lower_mm, back, wide, 0.0, thick))
    if s.doors:
        cuts.append(Notch(s.plinth_mm + s.shelf_mm, s.top_low_mm, 0.0, cupboard.behind_mm(s), 0.0, thick))
    return tuple(cuts)


def _joints(made: Joints, s: _Sizes) -> list[Joint]:
    stop = {"stopped_mm": min(10.0, s.shelf_depth_mm / 4)} if s.stopped else {}
    uprights.lay_boards(made, s, s.boards, stop)
    for n in range(1, s.uprights + 1):
        made.join("dowels", f"C{n}", "T1", "upright into top", "shelf_mm")
    for side in ("L1", "L2"):
        if s.over_sides:
            made.join("dowels", side, "T1", "side into top", "shelf_mm", {"into_end_mm": INTO_END_MM})
        else:
            made.join("housing", "T1", side, "top into side", "shelf_mm", stop)
        made.join("dowels", "R1", side, "hanging rail into side", "rail_high_mm", {"clear_mm": min(INTO_END_MM + CLEAR_MM, s.rail_high_mm - 24.0)} if s.over_sides else {})
        if s.bottom:
            made.join("dowels", "R2", side, "lower rail into side", "lower_mm")
    made.join("glued on", "R1", "T1", "hanging rail under top", "rail_mm")
    if s.bottom:
        for bay in s.bays:
            made.join("glued on", "R2", uprights.board(0, bay), "lower rail under bottom", "rail_mm")
    for number, *_ in uprights.back_boards(s):
        made.join("screws", f"B{number}", "R1", "back board on rail", "back_mm", {"count": 1.0})
    if s.doors:
        cupboard.lay_joints(made, s, "height_mm")
    return made.all


def _seen_wall(s: _Sizes) -> tuple[Part, ...]:
    """The wall that it hangs on, from the floor up, as it is seen in pictures. [mm]"""
    w, back, (high, deep) = s.width_mm / 2 + SEEN_BESIDE_MM, s.depth_mm / 2, SEEN_SKIRTING_MM
    return (
        Part("wall behind it", PLASTER, Box((-w, back, 0.0), (w, back + SEEN_THICK_MM, max(s.hung_mm + s.height_mm + SEEN_OVER_MM, SEEN_HIGH_MM)))),
        Part("skirting board at its foot", SKIRTING, Box((-w, back - deep, 0.0), (w, back, high))),
    )


HUNG_CASE = HungCase()
