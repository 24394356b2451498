"""Chest: a dovetailed box of boards glued edge to edge, a bottom of loose boards in grooves, a solid lid on hinges.

Each course of boards is dovetailed for itself, so that every edge joint falls in a pin. The lid is glued up of boards and
kept flat by two battens, screwed in slots. The box stands on a plinth.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from studio_lib.brief import refusals
from studio_lib.brief.said import sitters_asked, sizes_asked
from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.casework import (
    G,
    JUDGEMENT,
    PRACTICE,
    Joints,
    Members,
    boards_across,
    children,
    glued_from,
    mass_kg,
    middle_mm,
)
from studio_lib.forms.changes import any_made, assembled
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, choice, users_of
from studio_lib.forms.space import room_findings
from studio_lib.forms.thin import no_flat_refused
from studio_lib.people.proposals import Proposed, bench_width_per_person, find_room
from studio_lib.people.users import Users
from studio_lib.piece import Joint, Member, Piece
from studio_lib.piece.edge_joint import EdgeJoint
from studio_lib.piece.leaves import lid_deg
from studio_lib.piece.shaping import HoleRow
from studio_lib.structure.loads import SQUEEZED_MM
from studio_lib.units import mm

SLOT_MM = 8.0
"""Beyond the hole, for the lid to move under its battens; common practice, no source."""
SCREWED_EVERY_MM = 450.0
"""Of a batten's length for each pair of screws beside the middle one; common practice, no source."""
BOTTOM_BOARD_MM = 130.0
BELOW_GROOVE_MM = 12.0
"""Timber under the bottom's groove; common practice, no source."""
CALLED = re.compile(r"\b(?:chest|trunk|coffer|box)\b", re.IGNORECASE)
AT_BED = re.compile(r"\bfoot of (?:the|our|my|his|her|a) bed\b|\bfoot end\b", re.IGNORECASE)
OTHERS = re.compile(r"\b(?:table|bench|stool|bookcase|shelves|cabinet|cupboard|screen)s?\b|\bdesk\b", re.IGNORECASE)
"""Words for other pieces: beside one of them nobody knows which a figure is of."""
LEAST_BOARD_MM = 90.0
"""Narrower boards of the client's do not set how many are proposed up a side or across a lid; judgement of ours."""
BATTEN_MM = (60.0, 20.0)
LIDS_MM = (25.0, 22.0, 20.0, 18.0)
"""Thicknesses of a lid proposed, the usual one first; thinner ones bend under who sits on them. Judgement of ours."""
LID_SPANS, LEAST_DEPTH_MM = 57.0, 350
"""A lid so many times as long as thick bears who sits on it without sagging badly, and no chest is proposed shallower; judgement of ours."""
ONE_STAY_MM = 800.0
"""A wider lid has a stay at either end, so that one does not twist it; common practice, no source."""
SAT_ON_MM = (300.0, 600.0)
"""Heights at which people sit on a chest; a judgement of ours."""
VENT_MM = 30.0
"""Two holes of 30 mm: 707 mm2 each, over the 650 wanted; see ``brief.refusals.shut_in``."""


@dataclass(frozen=True)
class _Sizes:
    width_mm: float
    depth_mm: float
    height_mm: float
    board_mm: float
    courses: int
    tails: int
    bottom_mm: float
    bottom_gap_mm: float
    lid_mm: float
    lid_boards: int
    lid_over_mm: float
    plinth_mm: float
    plinth_in_mm: float
    vents: int
    stays: int
    stands: int
    arris_mm: float

    @property
    def long_mm(self) -> float:
        """The box from end to end."""
        return self.width_mm - 2 * self.lid_over_mm

    @property
    def deep_mm(self) -> float:
        """The box from front to back; its back is flush with the lid's."""
        return self.depth_mm - self.lid_over_mm

    @property
    def tall_mm(self) -> float:
        return self.height_mm - self.lid_mm - self.plinth_mm

    @property
    def course_mm(self) -> float:
        return self.tall_mm / self.courses

    @property
    def groove_mm(self) -> float:
        """Depth of the bottom's groove: a third of the side, no more than the bottom is thick and a half."""
        return min(self.board_mm / 2 - 1.0, 1.25 * self.bottom_mm)

    @property
    def tongue_mm(self) -> float:
        return self.groove_mm - min(3.0, self.groove_mm / 3)

    @property
    def inside_mm(self) -> tuple[float, float, float]:
        return (self.long_mm - 2 * self.board_mm, self.deep_mm - 2 * self.board_mm,
                self.tall_mm - BELOW_GROOVE_MM - self.bottom_mm)


class Chest(Form):
    """A dovetailed chest with a hinged lid."""

    name = "chest"
    called = ("wide", "deep")
    overall = ("width_mm", "depth_mm", "height_mm")
    says = "A dovetailed box with a hinged lid, on a plinth."
    sizes = (
        Size("width_mm", "Width over the lid", 350, 1800),
        Size("depth_mm", "Depth over the lid", 250, 800),
        Size("height_mm", "Height", 200, 900),
        Size("board_mm", "Thickness of the sides", 14, 40, "mm", "box"),
        Size("courses", "Boards up each side, 1 for a glued panel", 1, 6, "", "box", True),
        Size("tails", "Tails on each board, 0 for as many as suit", 0, 8, "", "box", True),
        Size("bottom_mm", "Thickness of the bottom boards", 6, 20, "mm", "box"),
        Size("bottom_gap_mm", "Gap between bottom boards, when made", 0, 8, "mm", "box"),
        Size("lid_mm", "Thickness of the lid", 14, 45, "mm", "lid"),
        Size("lid_boards", "Boards across the lid, 1 for a glued panel", 1, 8, "", "lid", True),
        Size("lid_over_mm", "Lid beyond the box, front and ends", 0, 40, "mm", "lid"),
        choice("stays", "Stay that holds the lid wherever it is let go", ("none", "fitted"), "lid"),
        choice("stands", "Where it stands", ("free in the room", "back to a wall"), "lid"),
        choice("vents", "Air holes in the back", ("none", "two of 30 mm"), "box"),
        Size("plinth_mm", "Height of the plinth, 0 for none", 0, 200, "mm", "plinth"),
        Size("plinth_in_mm", "Plinth behind the box's faces", 0, 30, "mm", "plinth"),
        Size("arris_mm", "Arris taken off", 0, 3, "mm", "box"),
    )

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        asked = _asked(brief)
        width = asked.get("width_mm", min(max(brief.space_length_mm or 850.0, 350.0), 850.0))
        depth = asked.get("depth_mm", min(max(brief.space_width_mm or 560.0, 250.0), 560.0))
        tall = chosen.get("height_mm", asked.get("height_mm", 440.0))
        usual, plinth = LIDS_MM[0], chosen.get("plinth_mm", 70.0)
        lid = chosen.get("lid_mm", usual)
        courses = min(_boards_up(tall - lid - plinth, around), 6)
        boards = min(_boards_up(chosen.get("depth_mm", depth), around), 8)
        theirs = f", and a board of the client's gives {around.theirs.wide_mm:.0f} mm" if around.theirs else ""
        gap = math.ceil(2 * (0.5 + around.swell_fraction * BOTTOM_BOARD_MM)) / 2
        said = {n: Proposal(v, f"{mm(v)} mm, in the client's words", "brief") for n, v in asked.items()}
        ready = {
            "width_mm": Proposal(width, "blankets folded in three, or as the space allows", JUDGEMENT),
            "depth_mm": Proposal(depth, "reached from the front, folded blankets lie flat", "seen: chests about 455 mm (18 in.) deep and more"),
            "height_mm": Proposal(440.0, "low enough to sit on", JUDGEMENT),
            "board_mm": Proposal(28.0, "heavy, so that a child who pulls at it does not easily tip it", JUDGEMENT),
            "courses": Proposal(courses, f"{(tall - lid - plinth) / courses:.0f} mm each, for up to 150 mm stays flat{theirs}; two or more are each one board, however wide", PRACTICE),
            "tails": Proposal(0, "laid out by the dovetail rule", "C. Noyes, Handwork in Wood, 1910"),
            "bottom_mm": Proposal(12.0, "carries what is put in between front and back", JUDGEMENT),
            "bottom_gap_mm": Proposal(min(gap, 8.0), "room for each board to swell", "Wood Handbook FPL-GTR-282 ch. 13"),
            "lid_mm": Proposal(usual, "light enough to push open from inside, stiff enough on its battens", JUDGEMENT),
            "lid_boards": Proposal(boards, f"{chosen.get('depth_mm', depth) / boards:.0f} mm each, for up to 150 mm stays flat{theirs}; two or more are each one board, however wide", PRACTICE),
            "lid_over_mm": Proposal(15.0, "fingers find the lid's edge", JUDGEMENT),
            "stays": Proposal(1, "a falling lid hurts; set to stop it short of upright", "ASTM F963 4.27, from memory"),
            "stands": Proposal(0, "at the foot of a bed, in the client's words: no wall is behind it", "brief") if AT_BED.search(brief.asked) else Proposal(1, "out in the room someone who leans on the open lid tips it backwards", "statics; told to the client in the quote"),
            "vents": Proposal(1, "no one shut in goes without air", "ASTM F963 4.27, from memory"),
            "plinth_mm": Proposal(70.0, "off the floor, room for toes", PRACTICE),
            "plinth_in_mm": Proposal(5.0, "a shadow line", JUDGEMENT),
            "arris_mm": Proposal(1.0, "takes off what would splinter", PRACTICE),
        } | said
        long = chosen.get("width_mm", ready["width_mm"].value)
        stiff = float(max(math.ceil(around.stouter * long / LID_SPANS), LIDS_MM[-1]))
        if "lid_mm" not in chosen and "depth_mm" not in chosen and "depth_mm" not in asked:
            sizes = {n: p.value for n, p in ready.items()} | chosen | {"lid_mm": stiff}
            if deep := _opened_depth_mm(sizes, around.timber):
                boards = min(_boards_up(deep, around), 8)
                ready["depth_mm"] = Proposal(deep, f"so that its lid, {mm(stiff)} mm to be sat on over {mm(long)} mm, opens from inside; otherwise {mm(depth)} mm", refusals.LATCH_SOURCE)
                ready["lid_boards"] = Proposal(boards, f"{deep / boards:.0f} mm each, for up to 150 mm stays flat{theirs}; two or more are each one board, however wide", PRACTICE)
        thin = max(_light_lid_mm({n: p.value for n, p in ready.items()} | chosen, around.timber), stiff if around.stouter > 1.0 else min(stiff, usual))
        if thin > usual:
            ready["lid_mm"] = Proposal(thin, f"stiff enough to be sat on over {mm(long)} mm in {around.timber}", JUDGEMENT)
        elif thin < usual:
            ready["lid_mm"] = Proposal(thin, f"light enough to push open from inside: {mm(usual)} mm would take more than {refusals.LATCH_N:.0f} N", refusals.LATCH_SOURCE)
        return ready

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        s = _Sizes(**sizes)
        _refuse(s)
        missing: list[Finding] = []
        return assembled(
            name=name, form=self.name, letter=letter, members=_members(s, letter, around.timber),
            lay_joints=lambda by_ref, own: _joints(Joints(by_ref, letter, own, any_made(adjustments), missing), s),
            changes=adjustments, own=joints, check=no_flat_refused, timber=around.timber, found=missing,
        )

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        s = _Sizes(**sizes)
        row = max(int(s.width_mm // SQUEEZED_MM), 2)
        if not SAT_ON_MM[0] <= s.height_mm <= SAT_ON_MM[1] or s.width_mm / row < 200:
            return {}
        return {"width_mm": replace(bench_width_per_person(row, "close", users, at=s.width_mm / row), name="a place each of")}

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        return ("stays", "stands", "vents")

    def on_site(self, sizes: dict[str, float], brief: Brief) -> list[str]:
        s = _Sizes(**sizes)
        if not s.stands:
            return []
        air, free = (", and air must reach the holes in its back", " that leaves the holes free") if s.vents else ("", "")
        return [f"Stand it back to the wall, {self.off_wall_mm(sizes):.0f} mm off it: the back edge of its lid swings out behind it{air}. A skirting board "
                f"may hold it off, else a strip along its back{free}."]

    def off_wall_mm(self, sizes: dict[str, float]) -> float:
        s = _Sizes(**sizes)
        return behind_mm(s.lid_mm, bool(s.stays)) if s.stands else 0.0

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        s = _Sizes(**sizes)
        mass, young = mass_kg(piece), children(brief)
        lift = _lift_n(piece)
        inside = s.inside_mm[0] * s.inside_mm[1] * s.inside_mm[2] * 1e-6
        holes = 2 * math.pi / 4 * VENT_MM**2 if s.vents else 0.0
        found = room_findings(piece.name, *piece.overall_mm[:2], brief, ("width", "depth"), high_mm=piece.overall_mm[2])
        found.append(refusals.shut_in(piece.name, inside, min(s.inside_mm), holes, lift, bool(s.stays)))
        if SAT_ON_MM[0] <= s.height_mm <= SAT_ON_MM[1]:
            found.append(_places(piece.name, s, brief))
        if s.bottom_gap_mm:
            found.append(refusals.fingers("bottom boards", 0.0, s.bottom_gap_mm + 2.0, young))
        if piece.members and s.height_mm >= refusals.ANCHOR_FROM_MM:
            found.append(refusals.anchor(piece.name, s.height_mm, s.depth_mm, mass, inside, True, young, False))
        if piece.members and young:
            edge = max(middle_mm(piece) - s.depth_mm / 2 + s.deep_mm - s.plinth_in_mm, 1.0)
            room = max((brief.space_width_mm or s.depth_mm) - s.depth_mm, 0.0) / 2 + s.plinth_in_mm
            found.append(refusals.pulled_over(piece.name, mass * G, edge, s.height_mm, "a child's pull", edge + room))
        return found


def _asked(brief: Brief) -> dict[str, float]:
    """Sizes over all that the client's words give a chest, as far as one can be so large. [mm]"""
    said = sizes_asked(brief) if CALLED.search(brief.asked) and not OTHERS.search(brief.asked) else {}
    within = {s.name: (s.low, s.high) for s in CHEST.sizes}
    return {n: said[way] for n, way in zip(CHEST.overall, ("long", "deep", "high")) if way in said and within[n][0] <= said[way] <= within[n][1]}


def _lift_n(piece: Piece) -> float:
    """What opens the lid, pushed at its front edge. [N]"""
    return mass_kg(piece, [m for m in piece.members if m.role in ("lid", "batten")]) * G / 2


def _opened_depth_mm(sizes: dict[str, float], timber: str) -> float | None:
    """The greatest depth, less than it has, at which its lid opens from inside as it must; None where it does as it is, or at none. [mm]"""
    whole = {s.name for s in CHEST.sizes if s.whole}

    def opens(deep: float) -> bool:
        s = _Sizes(**{n: int(v) if n in whole else v for n, v in {**sizes, "depth_mm": deep}.items()})
        _refuse(s)
        return _lift_n(Piece("", "", tuple(_members(s, "A", timber)))) <= refusals.LATCH_N

    try:
        if opens(sizes["depth_mm"]):
            return None
        return next((float(deep) for deep in range(int(sizes["depth_mm"]) // 10 * 10, LEAST_DEPTH_MM - 1, -10) if opens(deep)), None)
    except SizeRefused:
        return None


def _light_lid_mm(sizes: dict[str, float], timber: str) -> float:
    """The thickest usual lid that opens from inside as it must; the thinnest where none does, and where sizes cannot be. [mm]"""
    whole = {s.name for s in CHEST.sizes if s.whole}
    for thick in LIDS_MM:
        try:
            s = _Sizes(**{n: int(v) if n in whole else v for n, v in {**sizes, "lid_mm": thick}.items()})
            _refuse(s)
        except SizeRefused:
            return LIDS_MM[0]
        if _lift_n(Piece("", "", tuple(_members(s, "A", timber)))) <= refusals.LATCH_N:
            return thick
    return LIDS_MM[-1]


def _boards_up(wide_mm: float, around: Surroundings) -> int:
    """How many boards make a width: none wider than stays flat, nor than the client's boards give where they are wide enough to be used so."""
    if around.theirs is None or around.theirs.wide_mm < LEAST_BOARD_MM:
        return max(math.ceil(wide_mm / 150.0), 1)
    # None of theirs is ripped for the last few millimetres.
    return max(glued_from(wide_mm), math.ceil(wide_mm / around.theirs.wide_mm - 1e-6))


def behind_mm(lid_mm: float, stayed: bool) -> float:
    """How far the back edge of a lid, hung on its lower edge, comes out behind the box as it opens. [mm]"""
    deg = lid_deg(stayed)
    return math.ceil(lid_mm * math.sin(math.radians(min(deg, 90.0))))


def _places(name: str, s: _Sizes, brief: Brief) -> Finding:
    """How many find room on its lid at once, beside how many the client says sit on it."""
    users, clothes = users_of(brief), "outdoors" if brief.place.startswith("outdoors") else "indoors"
    room, asked = find_room(s.width_mm, users, clothes), sitters_asked(brief)
    row = asked or room + 1
    wanted = row * bench_width_per_person(row, "close", users, clothes).value
    share = bench_width_per_person(row, "close", users, clothes, at=max(s.width_mm / row, 200.0)).suits_share
    squeezed = max(int(s.width_mm // SQUEEZED_MM), 1)
    tight = "" if wanted <= s.width_mm else (
        f"; {row} side by side want {wanted:.0f} mm, and of such rows {100 * share:.0f} in 100 have room, shoulders touching")
    crowded, close = bool(asked) and wanted > s.width_mm, row <= squeezed and share >= 0.5
    sit = "sits" if room == 1 else "sit"
    wider = f"Make it {wanted:.0f} mm wide, or tell" if wanted <= (brief.space_length_mm or wanted) else "Tell"
    return Finding(
        name, "places", Verdict.LOOK_AGAIN if crowded else Verdict.STANDS,
        f"at {s.width_mm:.0f} mm wide {room} {sit} on it at once with room for the shoulders{tight}; the lid is checked with {squeezed} on it, hip to hip",
        rule=f"{row} {users.decide} side by side" + (", as the client says" if asked else ", one more than find room"),
        source=bench_width_per_person(row, "close", users, clothes).source,
        mend="" if not crowded else f"{wider} the client that {f'{row} sit close' if close else f'{room} {sit}'} on it at a time.", stage="sizes",
    )


def _refuse(s: _Sizes) -> None:
    long, deep, tall = s.inside_mm
    for value, least, size, what in (
        (long, 150.0, "width_mm", "width"), (deep, 120.0, "depth_mm", "depth"), (tall, 60.0, "height_mm", "height"),
    ):
        if value < least:
            given = getattr(s, size)
            raise SizeRefused(size, f"A {what} of {given:g} mm leaves {max(value, 0):.0f} mm inside; give {given + least - value:.0f} mm or more.")
    if s.course_mm < BELOW_GROOVE_MM + s.bottom_mm + 10:
        most = max(int(s.tall_mm // (BELOW_GROOVE_MM + s.bottom_mm + 10)), 1)
        raise SizeRefused("courses", f"{s.courses} boards up a side of {s.tall_mm:.0f} mm are {s.course_mm:.0f} mm wide, too narrow for the "
                          f"bottom's groove. Give {most} or fewer.")
    if s.depth_mm / s.lid_boards < 30:
        raise SizeRefused("lid_boards", f"{s.lid_boards} boards across the lid are {s.depth_mm / s.lid_boards:.0f} mm wide; give "
                          f"{int(s.depth_mm // 30)} or fewer.")
    if s.vents and s.course_mm < VENT_MM + 12:
        raise SizeRefused("vents", f"The top board of the back is {s.course_mm:.0f} mm wide; air holes of {VENT_MM:g} mm need "
                          f"{VENT_MM + 12:g} mm. Fewer boards up the side, or no holes.")
    if s.plinth_mm and s.plinth_mm < 30:
        raise SizeRefused("plinth_mm", f"A plinth of {s.plinth_mm:g} mm is too low to dowel; give 30 mm or more, or 0 for none.")
    if s.plinth_mm and s.plinth_in_mm > s.board_mm - 5:
        # The box must rest on its plinth by its own sides.
        raise SizeRefused("plinth_in_mm", f"A plinth {s.plinth_in_mm:g} mm behind the faces does not stand under sides {s.board_mm:g} mm thick; "
                          f"give {s.board_mm - 5:g} mm or less.")


def _members(s: _Sizes, letter: str, timber: str) -> list[Member]:
    out = Members(letter, timber, s.arris_mm)
    # Several are one board each, as asked for; a side or a lid of one is glued up first from as many as stay flat.
    sides, lids = (1 if n > 1 else None for n in (s.courses, s.lid_boards))
    x, back = s.long_mm / 2, s.depth_mm / 2
    front = back - s.deep_mm
    t, h = s.board_mm, s.course_mm
    for k in range(s.courses):
        z = s.plinth_mm + k * h
        name = f", board {k + 1}" if s.courses > 1 else ""
        holes = ()
        if s.vents and k == s.courses - 1:
            pitch = min(max(s.long_mm / 3, 180.0), s.long_mm / 2)
            holes = (HoleRow("face", (s.long_mm - pitch) / 2, pitch, 2, h / 2, VENT_MM, 0.0),)
        out.add(f"F{k + 1}", f"front{name}", "front", (-x, front, z), "x", "z", s.long_mm, h, t, arris=0.0, boards=sides)
        out.add(f"R{k + 1}", f"back{name}", "back", (-x, back - t, z), "x", "z", s.long_mm, h, t, arris=0.0, shaping=holes, boards=sides)
        out.add(f"E{k + 1}", f"left end{name}", "end", (-x, front, z), "y", "z", s.deep_mm, h, t, arris=0.0, hand="left", boards=sides)
        out.add(f"D{k + 1}", f"right end{name}", "end", (x - t, front, z), "-y", "z", s.deep_mm, h, t, arris=0.0, hand="right", boards=sides)
    n, each = _bottom(s)
    low = s.plinth_mm + BELOW_GROOVE_MM
    for k in range(n):
        out.add(f"B{k + 1}", f"bottom board {k + 1}", "bottom",
                (-x + t - s.tongue_mm + k * (each + s.bottom_gap_mm), front + t - s.tongue_mm, low), "y", "x",
                s.deep_mm - 2 * t + 2 * s.tongue_mm, each, s.bottom_mm, "plain", arris=0.0)
    lid_z, each = s.height_mm - s.lid_mm, s.depth_mm / s.lid_boards
    for k in range(s.lid_boards):
        name = f"lid, board {k + 1}" if s.lid_boards > 1 else "lid"
        out.add(f"T{k + 1}", name, "lid", (-s.width_mm / 2, -back + k * each, lid_z), "x", "y", s.width_mm, each, s.lid_mm, arris=0.0, boards=lids)
    wide, thick = _batten(s)
    for k, at in enumerate((-1, 1)):
        cx = at * (s.long_mm / 2 - t - 20.0 - wide / 2)
        out.add(f"P{k + 1}", f"batten, {'left' if at < 0 else 'right'}", "batten", (cx - wide / 2, front + t + 12.0, lid_z - thick),
                "y", "x", s.deep_mm - 2 * t - 24.0, wide, thick, "plain")
    if s.plinth_mm:
        i, pt = s.plinth_in_mm, 20.0
        out.add("K1", "plinth, front", "plinth", (-x + i, front + i, 0.0), "x", "z", s.long_mm - 2 * i, s.plinth_mm, pt)
        out.add("K2", "plinth, back", "plinth", (-x + i, back - i - pt, 0.0), "x", "z", s.long_mm - 2 * i, s.plinth_mm, pt)
        for code, name, px, hand in (("K3", "plinth, left", -x + i, "left"), ("K4", "plinth, right", x - i - pt, "right")):
            out.add(code, name, "plinth end", (px, front + i + pt, 0.0), "y", "z", s.deep_mm - 2 * i - 2 * pt, s.plinth_mm, pt, hand=hand)
    return out.all


def _bottom(s: _Sizes) -> tuple[int, float]:
    return boards_across(s.long_mm - 2 * s.board_mm + 2 * s.tongue_mm, s.bottom_gap_mm, BOTTOM_BOARD_MM)


def _batten(s: _Sizes) -> tuple[float, float]:
    wide = min(BATTEN_MM[0], (s.long_mm - 2 * s.board_mm - 50.0) / 3)
    return wide, min(BATTEN_MM[1], max(s.tall_mm - BELOW_GROOVE_MM - s.bottom_mm - 30.0, 15.0))


def _joints(made: Joints, s: _Sizes) -> list[Joint]:
    tails = {"tails": float(s.tails)} if s.tails else {}
    for k in range(1, s.courses + 1):
        for board in (f"F{k}", f"R{k}"):
            for end in (f"E{k}", f"D{k}"):
                made.join("through dovetail", board, end, "corner", "tails" if s.tails else "courses", tails)
    def edge(a, b, family):
        made.all.append(EdgeJoint(family, made.at(a).ref, made.at(b).ref))

    for k in range(1, s.courses):
        for side in "FRED":
            edge(f"{side}{k}", f"{side}{k + 1}", "side boards, edge to edge")
    n, _ = _bottom(s)
    gap = {"gap_mm": s.groove_mm - s.tongue_mm}
    for k in range(1, n + 1):
        for board in ("F1", "R1"):
            made.join("groove and panel", f"B{k}", board, "bottom in front and back", "bottom_mm", gap)
    made.join("groove and panel", "B1", "E1", "bottom in ends", "bottom_mm", gap)
    made.join("groove and panel", f"B{n}", "D1", "bottom in ends", "bottom_mm", gap)
    for k in range(1, s.lid_boards):
        edge(f"T{k}", f"T{k + 1}", "lid boards, edge to edge")
    for batten in ("P1", "P2"):
        for k in range(1, s.lid_boards + 1):
            if _meets(made.at(batten), made.at(f"T{k}")):
                middle, panel = k == (s.lid_boards + 1) // 2, s.lid_boards == 1
                made.join("screws", batten, f"T{k}", "batten on lid" if middle else "batten on lid, in slots", "lid_boards",
                          {"count": _screws_on_panel(made.at(batten).length_mm) if panel else 1.0, "slot_mm": SLOT_MM if panel or not middle else 0.0})
    made.join("hinges", f"T{s.lid_boards}", f"R{s.courses}", "lid on back", "lid_boards")
    if s.stays and made.all[-1].kind == "hinges":
        made.all[-1] = replace(made.all[-1], stays=1 if s.width_mm <= ONE_STAY_MM else 2)
    if s.plinth_mm:
        for end in ("K3", "K4"):
            for rail in ("K1", "K2"):
                made.join("dowels", end, rail, "plinth corner", "plinth_mm")
        for rail, board in (("K1", "F1"), ("K2", "R1")):
            made.join("glued on", rail, board, "plinth under box", "plinth_in_mm")
    return made.all


def _screws_on_panel(batten_mm: float) -> float:
    """Screws that hold a batten on a lid of one panel: one in the middle, and as many towards either end as keep it flat."""
    return 1.0 + 2 * math.ceil(batten_mm / SCREWED_EVERY_MM)


def _meets(a: Member, b: Member) -> bool:
    p, q = a.piece_box, b.piece_box
    return min(p.hi[1], q.hi[1]) - max(p.lo[1], q.lo[1]) > 8.0


CHEST = Chest()
