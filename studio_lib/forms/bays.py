"""A cabinet divided into bays by partitions, each bay with a front of its own: open, a door, a pair of doors, drawers.

Fronts stand in their openings, so that a door may hang on either side of a partition and whatever is beside it. Drawers
may stand over what else is in a bay. A door closes on a strip on the bottom, a drawer on blocks behind it. The back
boards of each bay are its own, so that one can be left out where what stands behind a door needs air.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

from studio_lib.brief import refusals
from studio_lib.brief.said import chest_of_drawers_asked, doors_only_asked, drawers_asked, graded_asked, sides_asked, two_doors_asked
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.cabinet_parts import (
    BACK_BOARD_MM,
    BESIDE_GROOVE_MM,
    DRAWER_RAIL_MM,
    HOUSED,
    LEAST_BAY_MM,
    RAIL_MM,
    REST_MM,
    SCREWS_APART_MM,
    Cased,
    frame_joints,
    frame_members,
)
from studio_lib.forms.casework import Joints, Members, boards_across
from studio_lib.forms.drawers import (
    BEHIND_MM,
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
from studio_lib.forms.form import Proposal, Size, SizeRefused, choice
from studio_lib.forms.stowing import Room
from studio_lib.piece import Member
from studio_lib.piece.hinge import Hinged
from studio_lib.piece.mortise_tenon import nearest_chisel

MOST = 4
WIDEST_MM = 1750.0
OURS = "a starting point of ours"
HAND_MM, SHELF_MM = 15.0, 25.0
"""Over what stands on a shelf, to take it out, and about the thickness of a shelf; judgement of ours."""
FRONTS = ("open", "a door, hung left", "a door, hung right", "a pair of doors", "drawers")
OPEN, HUNG_LEFT, HUNG_RIGHT, PAIR, DRAWERS = range(5)
WITH_DOORS = (HUNG_LEFT, HUNG_RIGHT, PAIR)
BEHIND = ("closed back", "a board left out")
MOST_DRAWERS = 5
UNDIVIDED = ("doors", "shelf_count", "drawer_rows", "drawers_fill", "drawers_across", "bay_mm", "drawer_mm")
"""Sizes of a cabinet that is not divided into bays; in one that is each bay has its own."""
STOP_MM = (15.0, 8.0)
"""Width and height of the strip that a door closes on; judgement of ours."""
BLOCK_MM = (30.0, 9.0)
"""Length and height of the block that a drawer stops at, under its bottom; judgement of ours."""
FACE_UP_MM = 2.0
"""Under a drawer's face; common practice, no source."""
PASS_MM, CLEAR_MM = 8.0, 5.0
"""From the middle of a screw to that of one from the other face of a partition, and to a mortise or a groove; judgement of ours."""
LEAST_OPEN_MM = 60.0 + REST_MM[0]
GRADED = 0.75
"""Opening of the top drawer over the middling one where they grow downwards; judgement of ours."""
SMALL_DRAWER_MM, USUAL_DRAWER_MM = 120.0, 190.0
"""Opening of a drawer for small things over something else, and about that of one of a bay full of them; judgement of ours."""
WIDEST_DOOR_MM = 600.0
"""A wider door hangs heavy on its hinges and sags; common practice, no source."""
SWING_SPARE_MM = 0.5
"""Left beyond the corner of a door as it swings past; judgement of ours."""


def named(number: int, size: str) -> str:
    """The name of a bay's size in the document: 'bay_2_shelves'."""
    return f"bay_{number}_{size}"


def sizes() -> tuple[Size, ...]:
    """Sizes and choices of every bay, from the left."""
    out = [choice("bays", "Divided into bays", ("no", *("one bay", "two bays", "three bays", "four bays")[:MOST]), "bays")]
    for n in range(1, MOST + 1):
        out += [
            choice(named(n, "front"), f"Bay {n}, front", FRONTS, "bays"),
            Size(named(n, "mm"), f"Bay {n}, clear width", LEAST_BAY_MM, WIDEST_MM, "mm", "bays"),
            Size(named(n, "shelves"), f"Bay {n}, shelves", 0, 8, "", "bays", True),
            Size(named(n, "drawers"), f"Bay {n}, drawers from the top", 0, MOST_DRAWERS, "", "bays", True),
            Size(named(n, "drawer_mm"), f"Bay {n}, top drawer's opening", LEAST_OPENING_MM, 400, "mm", "bays"),
            choice(named(n, "air"), f"Bay {n}, air behind the door", BEHIND, "bays"),
        ]
    return tuple(out)


@dataclass(frozen=True)
class BaySizes:
    """What the document says of one bay."""

    front: int
    mm: float
    shelves: int
    drawers: int
    drawer_mm: float
    air: int


def taken(sizes: dict[str, float]) -> tuple[tuple[BaySizes, ...], dict[str, float]]:
    """The sizes of the bays there are, and the rest."""
    count = int(sizes.get("bays", 0))
    rest = {n: v for n, v in sizes.items() if n != "bays" and not (n.startswith("bay_") and n[4:5].isdigit())}
    return tuple(BaySizes(*(sizes[named(n, f)] for f in BaySizes.__annotations__)) for n in range(1, count + 1)), rest


class Divided(Cased, Protocol):
    """What the bays must know of a cabinet's sizes. [mm]"""

    each: tuple[BaySizes, ...]
    inner_mm: float
    floor_mm: float
    openings_top_mm: float
    side_deep_mm: float
    shelf_mm: float
    height_mm: float
    depth_mm: float
    door_gap_mm: float
    back_gap_mm: float
    tenon_mm: float
    pulls: int
    swell: float
    foot_mm: float
    tall_mm: float


@dataclass(frozen=True)
class Door:
    """One door: its code, its name, left edge and width, the wall it hangs on. [mm]"""

    code: str
    name: str
    left_mm: float
    wide_mm: float
    hung_left: bool
    wall: str


@dataclass(frozen=True)
class Bay:
    """One bay of a divided cabinet. [mm]"""

    number: int
    of: int
    low_mm: float
    high_mm: float
    walls: tuple[str, str]
    """Codes of the frames on its left and right."""
    said: BaySizes
    bottom_mm: float
    top_mm: float
    frame_mm: float
    gap_mm: float
    shelf_mm: float

    @property
    def letter(self) -> str:
        return "ABCD"[self.number - 1]

    @property
    def which(self) -> str:
        """' of bay 2', where there are several."""
        return f" of bay {self.number}" if self.of > 1 else ""

    @property
    def wide_mm(self) -> float:
        return self.high_mm - self.low_mm

    @property
    def filled(self) -> bool:
        """Drawers take all its height, the lowest running on the bottom itself."""
        return self.said.front == DRAWERS

    @property
    def even_mm(self) -> float:
        """Opening of each drawer of a bay full of them, where all are alike."""
        n = max(self.said.drawers, 1)
        return (self.top_mm - self.bottom_mm - (n - 1) * DRAWER_RAIL_MM) / n

    @property
    def openings_mm(self) -> tuple[float, ...]:
        """Heights of the drawers' openings, from the top down: growing downwards by equal steps in a bay full of them."""
        n, top = self.said.drawers, self.said.drawer_mm
        if not self.filled:
            return (top,) * n
        if n < 2 or abs(top - self.even_mm) < 1.0:
            return (self.even_mm,) * n
        step = 2 * (self.even_mm - top) / (n - 1)
        return tuple(top + k * step for k in range(n))

    @property
    def rails_mm(self) -> tuple[float, ...]:
        """Low edge of the rail under each drawer that has one, from the top down."""
        out, z = [], self.top_mm
        for tall in self.openings_mm[: len(self.openings_mm) - self.filled]:
            z -= tall + DRAWER_RAIL_MM
            out.append(z)
        return tuple(out)

    @property
    def under_mm(self) -> float:
        """Where what stands under its drawers ends."""
        return self.rails_mm[-1] if self.rails_mm else self.top_mm

    @property
    def shelves(self) -> int:
        return 0 if self.filled else self.said.shelves

    @property
    def clear_mm(self) -> float:
        """Clear height over and under its shelves; of a bay full of drawers none."""
        return 0.0 if self.filled else (self.under_mm - self.bottom_mm - self.shelves * self.shelf_mm) / (self.shelves + 1)

    def shelf_low_mm(self, k: int) -> float:
        """Underside of a shelf, from 1 at the bottom."""
        return self.bottom_mm + k * self.clear_mm + (k - 1) * self.shelf_mm

    @property
    def strip_tops_mm(self) -> tuple[float, ...]:
        """Upper edges of the strips on its walls: of shelf rests, of drawer runners."""
        return (*(self.shelf_low_mm(k) for k in range(1, self.shelves + 1)), *(z + DRAWER_RAIL_MM for z in self.rails_mm))

    @property
    def has_doors(self) -> bool:
        return self.said.front in WITH_DOORS

    @property
    def air(self) -> bool:
        """One of its back boards is left out."""
        return bool(self.said.air and self.has_doors)

    def closing_mm(self, wide: float) -> float:
        """Gap at the free edge of a door: its inner corner swings past."""
        return closing_mm(wide, self.gap_mm, self.frame_mm)

    def doors(self) -> list[Door]:
        """Its doors, left to right."""
        g, w = self.gap_mm, self.wide_mm
        if self.said.front == PAIR:
            meet = self.closing_mm((w - 3 * g) / 2 - 2.0)
            wide = (w - 2 * g - meet) / 2
            return [
                Door(f"D{self.letter}", f"left door{self.which}", self.low_mm + g, wide, True, self.walls[0]),
                Door(f"E{self.letter}", f"right door{self.which}", self.high_mm - g - wide, wide, False, self.walls[1]),
            ]
        if not self.has_doors:
            return []
        left = self.said.front == HUNG_LEFT
        wide = w - g - self.closing_mm(w - 2 * g - 2.0)
        at = self.low_mm + g if left else self.high_mm - g - wide
        return [Door(f"D{self.letter}", f"door{self.which}", at, wide, left, self.walls[not left])]

    @property
    def door_tall_mm(self) -> float:
        return self.under_mm - self.bottom_mm - 2 * self.gap_mm


def closing_mm(wide_mm: float, gap_mm: float, thick_mm: float) -> float:
    """Gap at the free edge of a door in an opening: no less than ``gap_mm``, and its inner corner swings past. [mm]"""
    reach = wide_mm + gap_mm / 2
    return max(gap_mm, math.ceil(2 * (math.hypot(reach, thick_mm) - reach + SWING_SPARE_MM)) / 2)


def bays_of(s: Divided) -> list[Bay]:
    """The bays from the left; the last takes what the others leave."""
    n, x, out = len(s.each), -s.inner_mm / 2, []
    for k, said in enumerate(s.each, 1):
        high = s.inner_mm / 2 if k == n else x + said.mm
        walls = ("L" if k == 1 else partition(k - 1), "R" if k == n else partition(k))
        out.append(Bay(k, n, x, high, walls, said, s.floor_mm, s.openings_top_mm, s.frame_mm, s.door_gap_mm, s.shelf_mm))
        x = high + s.frame_mm
    return out


def partition(k: int) -> str:
    """Code of the partition on the right of bay ``k``."""
    return f"P{'ABC'[k - 1]}"


def drawers_of(s: Divided) -> list[Drawer]:
    """Every drawer, bay by bay from the left, from the top down."""
    out = []
    front = s.front_mm + s.frame_mm
    deep = s.back_y_mm - s.back_mm - front - (BLOCK_MM[0] - BEHIND_MM)
    for bay in bays_of(s):
        z = bay.top_mm
        for k, tall in enumerate(bay.openings_mm, 1):
            z -= tall
            over = above_mm(tall, s.swell)
            # A runner that is higher than its rail hangs into the opening below.
            runs = bay.rails_mm[k - 2] + DRAWER_RAIL_MM if k > 1 else 0.0
            hangs = max(_strip(s, bay, side, runs)[0] for side in (0, 1)) - REST_MM[0] if k > 1 else 0.0
            face = (bay.wide_mm - 2 * bay.gap_mm, tall - FACE_UP_MM - max(over, bay.gap_mm), s.frame_mm)
            out.append(Drawer(
                len(out) + 1, f"drawer {k}{bay.which}", (bay.low_mm, front, z), bay.wide_mm, tall, deep, over + hangs,
                (bay.low_mm + bay.gap_mm, z + FACE_UP_MM), face, bool(s.pulls), slot_mm(s.side_deep_mm - s.frame_mm, s.swell),
            ))
            z -= DRAWER_RAIL_MM
    return out


# ---------------------------------------------------------------- what is proposed


def all_drawers(brief: Brief, chosen: dict[str, float]) -> dict[str, float]:
    """Sizes of a chest of drawers, one bay of nothing else, where the client's words ask for one; {} where not, or where the maker began it otherwise."""
    if not chest_of_drawers_asked(brief) or {"bays", named(1, "front"), *UNDIVIDED} & chosen.keys():
        return {}
    said = drawers_asked(brief)
    return {"bays": 1.0, named(1, "front"): float(DRAWERS), **({named(1, "drawers"): float(min(said, MOST_DRAWERS))} if said else {})}


def all_doors(brief: Brief, chosen: dict[str, float], case_mm: float, widest_mm: float) -> dict[str, float]:
    """Bays shut by doors alone, for a case too wide for two of them, where the client speaks of doors and of no drawers; {} elsewhere.

    Two doors, as the client says, stand either side of an open bay; else each of two bays has a pair.
    """
    if case_mm / 2 <= widest_mm or case_mm / 4 > widest_mm or {"bays", named(1, "front"), "upper_mm", *UNDIVIDED} & chosen.keys() or not doors_only_asked(brief):
        return {}
    if two_doors_asked(brief) and case_mm / 3 <= widest_mm:
        return {"bays": 3.0, named(1, "front"): float(HUNG_LEFT), named(2, "front"): float(OPEN), named(3, "front"): float(HUNG_RIGHT)}
    return {"bays": 2.0, named(1, "front"): float(PAIR), named(2, "front"): float(PAIR)}


def sides(brief: Brief, chosen: dict[str, float], inner_mm: float, frame_mm: float) -> dict[str, float]:
    """Two bays, each with the front that the client wants on that side; {} where they do not say, or the maker began it otherwise. [mm]"""
    said, each = sides_asked(brief), (inner_mm - frame_mm) / 2
    if said is None or each < max(LEAST_BAY_MM, LEAST_WIDE_MM) or {"bays", named(1, "front"), named(2, "front"), *UNDIVIDED} & chosen.keys():
        return {}
    alone = (HUNG_LEFT, HUNG_RIGHT)
    fronts = [
        {"open": OPEN, "drawers": DRAWERS, "doors": PAIR if each / 2 >= LEAST_BAY_MM else alone[side], "door": PAIR if each > WIDEST_DOOR_MM else alone[side]}[front]
        for side, front in enumerate(said)
    ]
    many = drawers_asked(brief) if DRAWERS in fronts else None
    rows = {named(fronts.index(DRAWERS) + 1, "drawers"): float(min(many, MOST_DRAWERS))} if many else {}
    return {"bays": 2.0, **{named(n, "front"): float(front) for n, front in enumerate(fronts, 1)}, **rows}


def sides_proposals(brief: Brief, sided: dict[str, float]) -> dict[str, Proposal]:
    """What of a case with a front for each side is proposed: ``sided`` itself."""
    said = sides_asked(brief) or ()

    def why(name: str) -> str:
        if name == "bays":
            return "each side as the client says"
        if name.endswith("drawers"):
            return "as many as the client says"
        as_pair = sided[name] == PAIR and said[int(name[4]) - 1] == "door"
        return "on this side, as the client says" + (f"; a pair, for one door would be wider than {WIDEST_DOOR_MM:.0f} mm" if as_pair else "")

    return {name: Proposal(value, why(name), "brief") for name, value in sided.items()}


def all_doors_proposals(shut: dict[str, float]) -> dict[str, Proposal]:
    """What of a case shut by doors alone is proposed: ``shut`` itself."""
    three = shut.get("bays") == 3
    words = "two doors, as the client says, either side of an open bay: two alone would be too wide" if three else "doors alone, as the client says; two would be too wide"
    return {name: Proposal(value, words, "brief") for name, value in shut.items()}


def all_drawers_proposals(brief: Brief, drawn: dict[str, float], out: dict[str, Proposal]) -> dict[str, Proposal]:
    """What of a chest of drawers is proposed on the client's word: ``drawn`` itself, and drawers that grow downwards."""
    words, top = "a chest of drawers, in the client's words", named(1, "drawer_mm")
    says = {named(1, "drawers"): "as many as the client says"}
    found = {name: Proposal(value, says.get(name, words), "brief") for name, value in drawn.items()}
    if drawn and graded_asked(brief):
        low = max(math.floor(GRADED * out[top].value / 5) * 5.0, LEAST_OPENING_MM)
        found[top] = Proposal(low, "shallow above and deeper below, in the client's words", "brief")
    return found


def propose(
    chosen: dict[str, float], inner_mm: float, frame_mm: float, whole_mm: float, tallest_mm: float | None,
) -> dict[str, Proposal]:
    """A value for every size of the bays.

    ``whole_mm``: clear height from the bottom to the cross rails; ``tallest_mm``: of what stands in it. [mm]
    """
    count = int(chosen.get("bays", 0))
    out = {"bays": Proposal(0, "one front for the whole; divided, each bay has its own", OURS)}
    widths = _widths(chosen, count, inner_mm, frame_mm)
    for n in range(1, MOST + 1):
        front = int(chosen.get(named(n, "front"), OPEN))
        pitch = USUAL_DRAWER_MM + DRAWER_RAIL_MM
        usual = min(max(round((whole_mm + DRAWER_RAIL_MM) / pitch), 1), MOST_DRAWERS) if front == DRAWERS else 0
        drawers = int(chosen.get(named(n, "drawers"), usual))
        evenly = (whole_mm - (drawers - 1) * DRAWER_RAIL_MM) / max(drawers, 1)
        inside = whole_mm - drawers * (chosen.get(named(n, "drawer_mm"), SMALL_DRAWER_MM) + DRAWER_RAIL_MM)
        out |= {
            named(n, "front"): Proposal(OPEN, "nothing before it until you choose", OURS),
            named(n, "mm"): widths[n],
            named(n, "shelves"): shelves(0.0 if front == DRAWERS else inside, tallest_mm),
            named(n, "drawers"): Proposal(
                usual, "drawers of about 190 mm" if usual else "none over the rest of the bay, until you want them", OURS),
            named(n, "drawer_mm"): Proposal(
                min(max(evenly if front == DRAWERS else SMALL_DRAWER_MM, LEAST_OPENING_MM), 400.0),
                "all alike; a lower one on top and they grow downwards" if front == DRAWERS else "small things; all alike", OURS),
            named(n, "air"): Proposal(0, "what makes heat behind a door wants air", OURS),
        }
    return out


def _widths(chosen: dict[str, float], count: int, inner_mm: float, frame_mm: float) -> dict[int, Proposal]:
    """The clear width of each bay: what the maker's own widths leave, shared evenly; the last takes the rest. [mm]"""
    free = inner_mm - (max(count, 1) - 1) * frame_mm
    given = {n: chosen[named(n, "mm")] for n in range(1, count) if named(n, "mm") in chosen}
    out = {}
    for n in range(1, MOST + 1):
        others = sum(v for k, v in given.items() if k != n)
        even = (free - others) / max(count - sum(k != n for k in given), 1)
        why = "what is left, shared evenly" if others else "all alike"
        if n == count:
            even, why = (free - sum(given.values())) / (count - len(given)), "it takes what the others leave"
        out[n] = Proposal(min(max(even, LEAST_BAY_MM), WIDEST_MM), why, OURS)
    return out


def shelves(inside_mm: float, tallest_mm: float | None) -> Proposal:
    """How many shelves in so much clear height. [mm]"""
    if tallest_mm:
        count = math.floor((inside_mm + SHELF_MM) / (tallest_mm + HAND_MM + SHELF_MM)) - 1
        return Proposal(min(max(count, 0), 8), f"as many as leave {tallest_mm:.0f} mm clear and room for a hand", "brief")
    return Proposal(
        min(max(round(inside_mm / 330.0) - 1, 0), 8), "openings of about 300 mm",
        "shelf-building rules: 220 mm at least, 300 to 350 mm usual",
    )


def opens(sizes: dict[str, float]) -> bool:
    """Whether any bay there is has a door or a drawer."""
    return any(sizes.get(named(n, f), 0) for n in range(1, int(sizes.get("bays", 0)) + 1) for f in ("front", "drawers"))


def unused(sizes: dict[str, float]) -> tuple[str, ...]:
    """Names of the sizes of bays that mean nothing as it is divided, and of those of one that is not."""
    count = int(sizes["bays"])
    out = [named(n, f) for n in range(count + 1, MOST + 1) for f in BaySizes.__annotations__]
    for n in range(1, count + 1):
        front, drawers = sizes[named(n, "front")], sizes[named(n, "drawers")]
        out += [named(n, f) for f, idle in (
            ("mm", n == count), ("shelves", front == DRAWERS), ("drawer_mm", drawers == 0 or (front == DRAWERS and drawers == 1)),
            ("air", front not in WITH_DOORS),
        ) if idle]
    return tuple(out)


# ---------------------------------------------------------------- what cannot be


def refuse(s: Divided) -> None:
    """Raise SizeRefused for bays that cannot be made, with the way out."""
    n = len(s.each)
    if n > 1:
        even = (s.inner_mm - (n - 1) * s.frame_mm) / n
        if even < LEAST_BAY_MM:
            raise SizeRefused("bays", f"{n} bays would be {max(even, 0):.0f} mm wide each and need {LEAST_BAY_MM:.0f} mm. "
                              "Fewer bays, or a wider cabinet.")
        refuse_partition(s)
    for bay in bays_of(s):
        _refuse_width(s, bay)
        if bay.filled:
            _refuse_filled(s, bay)
        else:
            _refuse_height(s, bay)
    if drawers_of(s) and (deep := drawers_of(s)[0].deep_mm) < LEAST_DEEP_MM:
        raise SizeRefused("depth_mm", f"Drawers would be {max(deep, 0):.0f} mm deep and need {LEAST_DEEP_MM:g} mm; "
                          f"give {s.depth_mm + LEAST_DEEP_MM - deep:.0f} mm or more.")


def refuse_partition(s: Divided) -> None:
    """Raise SizeRefused where the frame of a partition has no room for its panel."""
    between = s.side_deep_mm - s.back_mm - 2 * s.stile_mm
    if between < 50.0:
        raise SizeRefused("depth_mm", f"{s.depth_mm:g} mm leave {max(between, 0):.0f} mm between the stiles of a partition, which "
                          f"needs 50 mm; give {s.depth_mm + 50 - between:.0f} mm or more, or narrower stiles.")
    between = s.openings_top_mm - s.floor_mm - 2 * s.rail_mm
    if between < 80.0:
        raise SizeRefused("height_mm", f"{s.height_mm:g} mm leave {max(between, 0):.0f} mm between the rails of a partition, which "
                          f"need 80 mm; give {s.height_mm + 80 - between:.0f} mm or more, or narrower rails.")


def _refuse_width(s: Divided, bay: Bay) -> None:
    need, what = LEAST_BAY_MM, "which needs"
    if bay.said.drawers:
        need, what = LEAST_WIDE_MM, "and its drawers need"
    if bay.has_doors:
        two = bay.said.front == PAIR
        least = (2 if two else 1) * (2 * s.stile_mm + 50.0) + (3 if two else 2) * (bay.gap_mm + 3.0)
        if least > need:
            need, what = least, f"and {'a pair of doors needs' if two else 'a door needs'}"
    if bay.wide_mm >= need - 1e-6:
        return
    where = f"Bay {bay.number} has {max(bay.wide_mm, 0):.0f} mm of width, {what} {need:.0f} mm."
    other = "leave it open" if bay.has_doors or bay.said.drawers else "make the cabinet wider"
    if bay.number < bay.of:
        raise SizeRefused(named(bay.number, "mm"), f"{where} Make it or the cabinet wider, have fewer bays, or {other}.")
    if bay.of > 1:
        raise SizeRefused("bays", f"{where} It has what the others leave: make those narrower, have fewer of them, or {other}.")
    raise SizeRefused("width_mm", f"{where} Make the cabinet wider, or {other}.")


def _refuse_filled(s: Divided, bay: Bay) -> None:
    """The same of a bay full of drawers."""
    n, k, whole = bay.said.drawers, bay.number, bay.top_mm - bay.bottom_mm
    if n < 1:
        raise SizeRefused(named(k, "drawers"), f"Bay {k} has drawers for its front and 0 of them; give 1 to {MOST_DRAWERS}, or another front.")
    if bay.even_mm < LEAST_OPENING_MM:
        most = int((whole + DRAWER_RAIL_MM) // (LEAST_OPENING_MM + DRAWER_RAIL_MM))
        if most < 1:
            raise SizeRefused("height_mm", f"Bay {k} is {max(whole, 0):.0f} mm high inside and a drawer needs {LEAST_OPENING_MM:g} mm; "
                              f"give {s.height_mm + LEAST_OPENING_MM - whole:.0f} mm or more.")
        raise SizeRefused(named(k, "drawers"), f"{n} drawers in bay {k} would be {max(bay.even_mm, 0):.0f} mm high and need "
                          f"{LEAST_OPENING_MM:g} mm; give {most} or fewer.")
    if n > 1 and bay.openings_mm[-1] < bay.openings_mm[0] - 1.0:
        raise SizeRefused(named(k, "drawer_mm"), f"A top drawer of {bay.said.drawer_mm:g} mm leaves lower ones under it; give "
                          f"{math.floor(bay.even_mm)} mm or less and they grow downwards, or more of them.")


def _refuse_height(s: Divided, bay: Bay) -> None:
    """The same of what stands over and under each other in any other bay."""
    n, k, left = bay.said.drawers, bay.number, bay.under_mm - bay.bottom_mm
    if n and left < LEAST_OPEN_MM:
        raise SizeRefused(named(k, "drawers"), f"{n} drawers {bay.said.drawer_mm:g} mm high leave {max(left, 0):.0f} mm under them in bay {k} "
                          f"and need {LEAST_OPEN_MM:.0f} mm. Fewer or lower drawers, or drawers for the whole front.")
    if bay.clear_mm < LEAST_OPEN_MM:
        most = int((left + s.shelf_mm) // (LEAST_OPEN_MM + s.shelf_mm)) - 1
        if most < 0:
            raise SizeRefused("height_mm", f"{s.height_mm:g} mm leave {max(left, 0):.0f} mm inside and need {LEAST_OPEN_MM:.0f} mm; "
                              f"give {s.height_mm + LEAST_OPEN_MM - left:.0f} mm or more.")
        raise SizeRefused(named(k, "shelves"), f"{bay.shelves} shelves in bay {k} leave openings of {max(bay.clear_mm, 0):.0f} mm and need "
                          f"{LEAST_OPEN_MM:.0f} mm. Give {most}{' or fewer' if most else ''}, or a taller cabinet.")
    between = bay.door_tall_mm - 2 * s.rail_mm
    if bay.has_doors and between < 80.0:
        raise SizeRefused("height_mm", f"The door of bay {k} is {max(bay.door_tall_mm, 0):.0f} mm high and keeps {max(between, 0):.0f} mm "
                          f"between its rails, which need 80 mm; give {s.height_mm + 80 - between:.0f} mm or more, narrower rails, or fewer "
                          "drawers over it.")


# ---------------------------------------------------------------- members


def lay_members(out: Members, s: Divided) -> None:
    """Partitions, shelves, doors and drawers with all that they stand on; and the back boards, bay by bay."""
    bays, yf, ft, rt = bays_of(s), s.front_mm, s.frame_mm, RAIL_MM[1]
    deep = s.side_deep_mm - s.back_mm
    for k, bay in enumerate(bays[:-1], 1):
        name = "partition" if len(bays) == 2 else f"partition {k}"
        frame_members(out, s, partition(k), name, (bay.high_mm, yf, s.floor_mm), "y", deep, s.openings_top_mm - s.floor_mm, 0.0)
        over = (bay.high_mm, yf + rt, s.openings_top_mm)
        out.add(f"F{bay.letter}1", f"cross rail over {name}", "cross rail", over, "y", "z", deep - 2 * rt, RAIL_MM[0], ft, "plain")
    for bay in bays:
        _inside(out, s, bay)
    for drawer in drawers_of(s):
        members(out, drawer)
    for number, x, wide in _back_boards(s):
        out.add(f"B{number}", f"back board {number}", "back board", (x, s.back_y_mm - s.back_mm, s.foot_mm), "z", "x",
                s.tall_mm - s.foot_mm, wide, s.back_mm, "plain")


def _inside(out: Members, s: Divided, bay: Bay) -> None:
    yf, ft, rt, which = s.front_mm, s.frame_mm, RAIL_MM[1], bay.which
    behind = s.back_y_mm - s.back_mm
    # Behind a door a shelf begins clear of it.
    front = yf + (ft + STOP_MM[0] / 2 if bay.has_doors else rt)
    for k in range(1, bay.shelves + 1):
        z = bay.shelf_low_mm(k)
        out.add(f"H{bay.letter}{k}", f"shelf {k}{which}", "shelf", (bay.low_mm + 1.0, front, z), "x", "y",
                bay.wide_mm - 2.0, behind - front, s.shelf_mm)
        _strips(out, s, bay, f"S{bay.letter}", k, f"shelf rest {k}{which}", "shelf rest", z)
    if bay.said.drawers:
        _strips(out, s, bay, f"G{bay.letter}", 1, f"kicker{which}", "kicker", s.openings_top_mm + REST_MM[0], rt)
    for row, z in enumerate(bay.rails_mm, 1):
        out.add(f"N{bay.letter}{row}", f"drawer rail {row}{which}", "drawer rail", (bay.low_mm, yf, z), "x", "y",
                bay.wide_mm, rt, DRAWER_RAIL_MM)
        _strips(out, s, bay, f"G{bay.letter}", row + 1, f"drawer runner {row}{which}", "drawer runner", z + DRAWER_RAIL_MM)
    long, high = BLOCK_MM
    for row in range(1, bay.said.drawers + 1):
        z = bay.rails_mm[row - 1] + DRAWER_RAIL_MM if row <= len(bay.rails_mm) else bay.bottom_mm
        for number, hand, x in ((2 * row - 1, "left", bay.low_mm), (2 * row, "right", bay.high_mm - REST_MM[1])):
            out.add(f"Q{bay.letter}{number}", f"stop behind drawer {row}{which}, {hand}", "drawer stop", (x, behind - long, z), "y", "x",
                    long, REST_MM[1], high, "plain", arris=0.0)
    if bay.has_doors:
        wide, thick = STOP_MM
        out.add(f"V{bay.letter}1", f"door stop{which}", "door stop", (bay.low_mm + 1.0, yf + ft, bay.bottom_mm), "x", "y",
                bay.wide_mm - 2.0, wide, thick, "plain")
    low = bay.bottom_mm + bay.gap_mm
    for door in bay.doors():
        hand = ("left" if door.hung_left else "right") if bay.said.front == PAIR else ""
        frame_members(out, s, door.code, door.name, (door.left_mm, yf, low), "x", door.wide_mm, bay.door_tall_mm, 0.0, hand)
        if s.pulls:
            middle = door.left_mm + (door.wide_mm - s.stile_mm / 2 if door.hung_left else s.stile_mm / 2)
            pull, high, thick = PULL_MM
            at = (middle - high / 2, yf - thick, low + (bay.door_tall_mm - pull) / 2)
            out.add(f"{door.code}6", f"{door.name}, pull", "pull", at, "z", "x", pull, high, thick, arris=min(2.0, 2 * out.arris_mm))


def _strips(out: Members, s: Divided, bay: Bay, code: str, k: int, called: str, what: str, top: float, back: float = 0.0) -> None:
    """Left and right strips on the walls of a bay, ``back`` left free behind them."""
    y = s.front_mm + (RAIL_MM[1] if what == "kicker" or what == "shelf rest" and not bay.has_doors else max(RAIL_MM[1], s.frame_mm))
    for side, hand, x in ((0, "left", bay.low_mm), (1, "right", bay.high_mm - REST_MM[1])):
        high = REST_MM[0] if what == "kicker" else _strip(s, bay, side, top)[0]
        out.add(f"{code}{2 * k - 1 + side}", f"{called}, {hand}", what, (x, y, top - high), "y", "z",
                s.back_y_mm - s.back_mm - back - y, high, REST_MM[1], "plain", hand)


def _strip(s: Divided, bay: Bay, side: int, top: float) -> tuple[float, str]:
    """Height of a strip on a wall of a bay, 0 the left, and what it is screwed to: 'stiles', or the rail '3' below, '4' above.

    It is made higher, its screws lower, where they would meet a tenon or those from the other face of a partition.
    """
    code = bay.walls[side]
    others = []
    if not side and code != "L":
        left = bays_of(s)[bay.number - 2]
        across = [(z, *_strip(s, left, 1, z)) for z in left.strip_tops_mm]
        others = [z - high / 2 for z, high, on in across if on == "stiles"]
    middle = top - REST_MM[0] / 2
    while True:
        middle, on = _past_tenons(s, code, middle)
        beside = [z for z in others if abs(middle - z) < PASS_MM - 1e-6] if on == "stiles" else []
        if not beside:
            return 2 * (top - middle), on
        middle = min(beside) - PASS_MM


def _past_tenons(s: Divided, code: str, middle: float) -> tuple[float, str]:
    """How high the screws of a strip stand, and in what: within reach of a tenon in the rail itself, clear of its groove."""
    low, high = (s.foot_mm, s.tall_mm) if code in "LR" else (s.floor_mm, s.openings_top_mm)
    inner = s.groove_mm + BESIDE_GROOVE_MM
    wide = max(min(s.rail_mm - inner - max(8.0, s.rail_mm / 6), 5 * nearest_chisel(s.frame_mm / 3)), 3.0)
    first, last = low + s.rail_mm - inner - wide, low + s.rail_mm - inner
    if first - CLEAR_MM < middle < last + CLEAR_MM:
        return min(middle, last + BESIDE_GROOVE_MM - CLEAR_MM), "3"
    first, last = high - s.rail_mm + inner, high - s.rail_mm + inner + wide
    if first - CLEAR_MM < middle < last + CLEAR_MM:
        return (middle, "4") if middle >= first - BESIDE_GROOVE_MM + CLEAR_MM else (first - CLEAR_MM, "stiles")
    return middle, "stiles"


def _back_boards(s: Divided) -> list[tuple[int, float, float]]:
    """Number, left edge and width of each back board; where a bay wants air the one in its middle is left out. [mm]"""
    out, number = [], 0
    for bay in bays_of(s):
        low = bay.low_mm if bay.number == 1 else bay.low_mm - s.frame_mm / 2 + s.back_gap_mm / 2
        high = bay.high_mm if bay.number == bay.of else bay.high_mm + s.frame_mm / 2 - s.back_gap_mm / 2
        n, each = boards_across(high - low, s.back_gap_mm, BACK_BOARD_MM)
        for k in range(n):
            number += 1
            if not (bay.air and k == n // 2):
                out.append((number, low + k * (each + s.back_gap_mm), each))
    return out


def clear_of(s: Divided) -> list[tuple[float, float]]:
    """Where no screw goes through the cross rails: middles of partitions and of back boards, and how far off it keeps. [mm]"""
    walls = [(b.high_mm + s.frame_mm / 2, s.frame_mm / 2 + SCREWS_APART_MM) for b in bays_of(s)[:-1]]
    return walls + [(x + wide / 2, PASS_MM + 4.0) for _, x, wide in _back_boards(s)]


def left_out_mm2(s: Divided, bay: Bay) -> float:
    """Area open at the back where a board is left out behind a bay. [mm2]"""
    if not bay.air:
        return 0.0
    low = bay.low_mm - (0.0 if bay.number == 1 else s.frame_mm / 2)
    high = bay.high_mm + (0.0 if bay.number == bay.of else s.frame_mm / 2)
    return boards_across(high - low, s.back_gap_mm, BACK_BOARD_MM)[1] * (bay.under_mm - bay.bottom_mm)


# ---------------------------------------------------------------- joints


def lay_joints(made: Joints, s: Divided) -> None:
    """What holds the bays together and in the case."""
    bays = bays_of(s)
    for k, bay in enumerate(bays[:-1], 1):
        code, over = partition(k), f"F{bay.letter}1"
        frame_joints(made, s, code, "partition", s.tenon_mm)
        made.join("glued on", over, f"{code}4", "cross rail on partition", "stile_mm")
        deep = {"depth_mm": math.floor(2 * HOUSED * s.shelf_mm) / 2}
        for stile, rail in (("1", "C1"), ("2", "C2")):
            made.join("housing", f"{code}{stile}", "U1", "partition on bottom", "shelf_mm", deep)
            made.join("dowels", over, rail, "cross rail between cross rails", "frame_mm")
    for bay in bays:
        _strips_on_walls(made, s, bay)
        for row in range(1, len(bay.rails_mm) + 1):
            for side, code in enumerate(bay.walls):
                own = _half_through(s, bays, bay, side)
                made.join("dowels", f"N{bay.letter}{row}", f"{code}1", f"drawer rail into {_wall(code)}", "stile_mm", own)
        for row in range(1, bay.said.drawers + 1):
            for hand in (0, 1):
                under = f"G{bay.letter}{2 * row + 1 + hand}" if row <= len(bay.rails_mm) else "U1"
                made.join("glued on", f"Q{bay.letter}{2 * row - 1 + hand}", under, "drawer stop", "depth_mm")
        if bay.has_doors:
            made.join("glued on", f"V{bay.letter}1", "U1", "door stop on bottom", "shelf_mm")
        for door in bay.doors():
            _hung(made, s, bays, bay, door)
    for number, *_ in _back_boards(s):
        made.join("screws", f"B{number}", "U1", "back board on case", "back_mm", {"count": 1.0})
        made.join("screws", f"B{number}", "C2", "back board on case", "back_mm", {"count": 1.0})
    for drawer in drawers_of(s):
        joints(made, drawer)


def _wall(code: str) -> str:
    return "side" if code in "LR" else "partition"


def _strips_on_walls(made: Joints, s: Divided, bay: Bay) -> None:
    for side, code in enumerate(bay.walls):
        strips = [(f"S{bay.letter}{2 * k - 1 + side}", bay.shelf_low_mm(k), "shelf rest") for k in range(1, bay.shelves + 1)]
        strips += [
            (f"G{bay.letter}{2 * row + 1 + side}", z + DRAWER_RAIL_MM, "drawer runner") for row, z in enumerate(bay.rails_mm, 1)]
        for strip, top, what in strips:
            on, family = _strip(s, bay, side, top)[1], f"{what} on {_wall(code)}"
            for frame in "12" if on == "stiles" else on:
                # On a rail those from either face of a partition stand beside each other.
                row = {"count": 1.0} if on == "stiles" else _in_a_rail(made.at(f"{code}{on}"), 40.0, side)
                made.join("screws", strip, f"{code}{frame}", family, "stile_mm", row)
        if bay.said.drawers:
            left = bay.number - (1 - side)
            on = f"{code}4" if code in "LR" else f"F{'ABCD'[left - 1]}1"
            # Clear of the dowels in the ends of the rail over a partition, and of the screws from its other face.
            clear = None if code in "LR" else _in_a_rail(made.at(on), 60.0, side)
            made.join("screws", f"G{bay.letter}{1 + side}", on, f"kicker on {_wall(code)}", "rail_mm", clear)


def _in_a_rail(rail: Member, end: float, side: int) -> dict[str, float]:
    """Two screws so far from the ends of a rail, those from its other face beside them. [mm]"""
    return {"count": 2.0, "end_mm": min(end, rail.length_mm / 3) - (0.0 if side else PASS_MM)}


def _half_through(s: Divided, bays: list[Bay], bay: Bay, side: int) -> dict[str, float] | None:
    """Dowels of a drawer rail that meet those from the other face of a partition go in short of its middle."""
    beside = bay.number + (1 if side else -1)
    if not 1 <= beside <= len(bays) or not bays[beside - 1].rails_mm:
        return None
    return {"into_face_mm": max(math.floor(s.frame_mm / 2 - 3.0), 5.0)}


def _hung(made: Joints, s: Divided, bays: list[Bay], bay: Bay, door: Door) -> None:
    frame_joints(made, s, door.code, "door", math.floor(2 / 3 * s.stile_mm))
    stile, on = (f"{door.code}1" if door.hung_left else f"{door.code}2"), f"{door.wall}1"
    family, own = f"door on {_wall(door.wall)}", None
    if door.hung_left and bay.number > 1 and any(not d.hung_left for d in bays[bay.number - 2].doors()):
        # Hinges on the other face stand at the usual heights; these pass them.
        try:
            usual = Hinged.between(made.at(stile), made.at(on), family)
            room = (made.at(stile).length_mm - usual.count * (usual.hinge_mm + 10.0)) / 2
            own = {"end_mm": min(usual.end_mm + usual.hinge_mm + SCREWS_APART_MM, room)}
        except ValueError:
            own = None
    made.join("hinges", stile, on, family, "height_mm", own)
    if s.pulls:
        made.join("screws", f"{door.code}{2 if door.hung_left else 1}", f"{door.code}6", "pull on a door", "stile_mm", {"count": 2.0})


# ---------------------------------------------------------------- what is said of it


def behind_mm(s: Divided, bay: Bay) -> float:
    """How far back from the front of the case a bay's clear depth begins: behind its door and the strip that closes it. [mm]"""
    return s.frame_mm + STOP_MM[0] if bay.has_doors else 0.0


def rooms(s: Divided) -> list[Room]:
    """The clear openings of the bays, drawers left out."""
    out = []
    for bay in bays_of(s):
        deep = s.side_deep_mm - s.back_mm - behind_mm(s, bay)
        for k in range(0 if bay.filled else bay.shelves + 1):
            where = f"bay {bay.number}" if bay.of > 1 else "it"
            name = where if not bay.shelves else f"{where} on the bottom" if k == 0 else f"{where} on shelf {k}"
            out.append(Room(name, bay.wide_mm, bay.clear_mm, deep))
    return out


def gaps_mm(s: Divided) -> tuple[float, float]:
    """Least and greatest gap round doors and drawer faces. [mm]"""
    closing = [b.closing_mm(d.wide_mm) for b in bays_of(s) for d in b.doors()]
    over = [max(above_mm(t, s.swell), s.door_gap_mm) for b in bays_of(s) for t in b.openings_mm]
    return min(s.door_gap_mm, FACE_UP_MM), max([s.door_gap_mm, *closing, *over])


def door_width(name: str, wide_mm: float, tall_mm: float, way: str) -> Finding:
    """Whether a door is no wider than hangs well."""
    over = wide_mm > WIDEST_DOOR_MM + 1e-6
    return Finding(
        name, "width of a door", Verdict.LOOK_AGAIN if over else Verdict.STANDS,
        f"{wide_mm:.0f} mm wide, {tall_mm:.0f} mm high; {WIDEST_DOOR_MM:.0f} mm at the most is usual", wide_mm, WIDEST_DOOR_MM, "mm",
        f"a door is no wider than {WIDEST_DOOR_MM:.0f} mm: a wider one sags on its hinges and needs as much room before it to open",
        "common practice, no source",
        f"{way}, or make the cabinet narrower." if over else "", "sizes",
    )


def door_findings(s: Divided, name: str, catch_n: float) -> list[Finding]:
    """Of every bay with doors: whether a child can be shut in, how wide they are, and what air comes in."""
    found = []
    for bay in bays_of(s):
        doors = bay.doors()
        if not doors:
            continue
        deep, called = s.side_deep_mm - s.back_mm - behind_mm(s, bay), f"{name}, bay {bay.number}" if bay.of > 1 else name
        beside = (bay.wide_mm - sum(d.wide_mm for d in doors)) * bay.door_tall_mm
        open_mm2 = left_out_mm2(s, bay)
        found.append(refusals.shut_in(
            called, bay.wide_mm * deep * bay.clear_mm * 1e-6, min(bay.wide_mm, deep, bay.clear_mm), beside + open_mm2, catch_n, None))
        found.append(door_width(called, doors[0].wide_mm, bay.door_tall_mm, "A pair of doors" if len(doors) == 1 else "Another bay"))
        if bay.air:
            found.append(Finding(
                called, "air behind the door", Verdict.LOOK_AGAIN,
                f"{open_mm2 / 100:.0f} cm2 open at the back where a board is left out, for cables too; {beside / 100:.0f} cm2 of gaps "
                "beside the door. How warm it gets there is not reckoned",
                rule="what makes heat has air that comes in low and leaves high, at its back and its front", source="a judgement of ours",
                mend="Stand the cabinet off the wall so that the opening is not covered, leave room round the device as its maker asks, "
                "and feel with the door shut after an hour; warm to the hand is well, hot is not.", stage="sizes",
            ))
    return found


def swelling(s: Divided, name: str) -> list[Finding]:
    """Whether doors that stand in their openings have room to swell; 'look again' where they bind at the wettest."""
    found = []
    for bay in bays_of(s):
        doors = bay.doors()
        if not doors:
            continue
        grows = s.swell * 2 * s.stile_mm * len(doors)
        room = bay.wide_mm - sum(d.wide_mm for d in doors)
        tight = grows > room - SWING_SPARE_MM
        found.append(Finding(
            f"{name}, {'doors' if len(doors) > 1 else 'door'}{bay.which}", "room to swell", Verdict.LOOK_AGAIN if tight else Verdict.STANDS,
            f"{grows:.1f} mm wider at the wettest, {room:.1f} mm of gaps in its opening", grows, room, "mm",
            "the stiles swell across, the rails do not along their grain", "Wood Handbook FPL-GTR-282 ch. 13",
            "Make the gap wider, or the stiles narrower." if tight else "", "sizes",
        ))
    return found
