"""Mortise and tenon: stopped or through, with a haunch where a rail meets the end of a leg."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.model import Block, Box, Joint, Member, Operation, Piece, Vec, carried

ONE_THIRD = "Fairham, Woodwork Joints, 1921: a tenon is a third of the member's thickness"
FIVE_TIMES = "trade handbooks: a tenon wider than five times its thickness is divided in two"
DEPTH = "trade handbooks: a stopped tenon enters a half to two thirds of the mortised member"
WALL = "trade handbooks: 4.5 mm or more of timber left beyond a stopped mortise"
CHISELS_MM = (5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 25)
MORTISE_DEEPER_MM = 2.0
"""A stopped mortise is cut this much deeper than its tenon is long (1.5 to 2 mm is usual)."""
LEAST_WALL_MM = 4.5
END_SHOULDER_MM = 8.0
"""Shoulder on the edge of a rail that does not reach the end of the leg; common practice, no source."""


@dataclass(frozen=True)
class MortiseTenon(Joint):
    """A tenon on one end of ``first`` enters a mortise in ``second``.

    The tenon stands on the member's end: ``width_mm`` along the member's width from
    ``shoulder_low_mm``, ``thickness_mm`` through its thickness from ``cheek_low_mm``.
    """

    kind = "mortise and tenon"
    changeable = {
        "thickness_mm": "Tenon thickness, mm", "width_mm": "Tenon width, mm", "length_mm": "Tenon length, mm",
        "haunch_mm": "Haunch, 0 for none, mm",
    }

    end: str = "start"
    """'start' or 'end' of the tenoned member."""
    thickness_mm: float = 0.0
    width_mm: float = 0.0
    length_mm: float = 0.0
    shoulder_low_mm: float = 0.0
    cheek_low_mm: float = 0.0
    haunch_mm: float = 0.0
    """Length of the stub left beside the tenon, on its high-width side; 0 for none."""
    through: bool = False
    at_leg_end: bool = False
    """The rail is flush with the end of the post, where a haunch belongs."""

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> MortiseTenon:
        end = meeting_end(first, second)
        depth = _depth_mm(first, second)
        room = min(2 / 3 * depth + MORTISE_DEEPER_MM, depth - LEAST_WALL_MM)
        return proportioned(
            family or f"{first.role} into {second.role}", first, end, second, room_mm=room,
            at_leg_end=_at_leg_end(first, end, second), changed=own,
        )

    def shoulder(self, rail: Member) -> Vec:
        """The middle of the shoulder, in piece axes."""
        return end_middle(rail, self.end)

    def _reach(self, rail: Member, box: Box) -> Box:
        """A tenon lengthened back into the member as far as a slanted shoulder goes."""
        back = max((c.depth_mm(rail, y, z) for c in rail.shaping if getattr(c, "end", "") == self.end and hasattr(c, "depth_mm")
                    for y in (box.lo[1], box.hi[1]) for z in (box.lo[2], box.hi[2])), default=0.0)
        return box.grown(0, 0.0, back) if self.end == "start" else box.grown(0, back, 0.0)

    def _tenon(self, piece: Piece) -> Box:
        m = piece.member(self.first)
        x = (-self.length_mm, 0.0) if self.end == "start" else (m.length_mm, m.length_mm + self.length_mm)
        y0, z0 = self.shoulder_low_mm, self.cheek_low_mm
        return self._reach(m, Box((x[0], y0, z0), (x[1], y0 + self.width_mm, z0 + self.thickness_mm)))

    def _haunch(self, piece: Piece) -> Box | None:
        if self.haunch_mm <= 0:
            return None
        m = piece.member(self.first)
        x = (-self.haunch_mm, 0.0) if self.end == "start" else (m.length_mm, m.length_mm + self.haunch_mm)
        y = self.shoulder_low_mm + self.width_mm
        z0 = self.cheek_low_mm
        return self._reach(m, Box((x[0], y, z0), (x[1], m.width_mm - m.arris_mm, z0 + self.thickness_mm)))

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        haunch = self._haunch(piece)
        return {self.first: (self._tenon(piece),) + ((haunch,) if haunch else ())}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        tenoned, mortised = piece.member(self.first), piece.member(self.second)
        deeper = 0.0 if self.through else MORTISE_DEEPER_MM
        low, high = (deeper, 0.0) if self.end == "start" else (0.0, deeper)
        mortise = self._tenon(piece).grown(0, low, high)
        holes = [mortise]
        haunch = self._haunch(piece)
        if haunch:
            holes.append(haunch.grown(1, 0.0, tenoned.arris_mm))
        out = []
        for hole in holes:
            local = carried(hole, tenoned.placement, mortised.placement)
            met = local.meet(mortised.box) if isinstance(local, Box) else local
            if met:
                out.append(met)
        return {self.second: tuple(out)}

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        return {self.first: {self.end: f"tenon {self.length_mm:.0f}"}}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        return {self.first: (self.length_mm, 0.0) if self.end == "start" else (0.0, self.length_mm)}

    def entry(self, piece: Piece) -> Vec | None:
        along = piece.member(self.first).placement.along
        sign = -1.0 if self.end == "start" else 1.0
        return tuple(sign * a + 0.0 for a in along)

    def depth_available_mm(self, piece: Piece) -> float:
        """Size of the mortised member in the direction the tenon enters. [mm]"""
        return _depth_mm(piece.member(self.first), piece.member(self.second))

    def glued_area_mm2(self, piece: Piece) -> float:
        return 2 * self.length_mm * (self.width_mm + self.thickness_mm)

    def findings(self, piece: Piece) -> list[Finding]:
        rail, post = piece.member(self.first), piece.member(self.second)
        where = f"{rail.name} into {post.name}"
        refs = (rail.ref, post.ref)
        third = rail.thickness_mm / 3
        quarter = rail.thickness_mm / 4
        depth = self.depth_available_mm(piece)
        left = depth - self.length_mm - MORTISE_DEEPER_MM
        found = [
            _between(
                where, "tenon thickness", self.thickness_mm, 0.9 * quarter, 1.25 * third,
                f"{self.thickness_mm:.0f} mm on a {rail.thickness_mm:.0f} mm {rail.role}, a third is {third:.1f}",
                "a third, down to a quarter for framing", ONE_THIRD,
                f"Make the tenon about {nearest_chisel(third):.0f} mm thick, or the {rail.role} "
                f"{3 * self.thickness_mm:.0f} mm.", refs,
            ),
            _at_most(
                where, "tenon width", self.width_mm, 5 * self.thickness_mm,
                "at most five times its thickness", FIVE_TIMES,
                f"Divide the tenon in two, narrow it to {5 * self.thickness_mm:.0f} mm with a wider "
                "shoulder, or thicken it.", refs,
            ),
        ]
        if not self.through:
            found.append(
                _between(
                    where, "tenon length", self.length_mm, 0.5 * depth, 2 / 3 * depth + 0.5,
                    f"{self.length_mm:.0f} mm into {depth:.0f} mm of {post.role}",
                    "a half to two thirds of the member it enters", DEPTH,
                    f"Lengthen the tenon towards {depth / 2:.0f} mm, or make it a through tenon."
                    if self.length_mm < depth / 2
                    else f"Shorten the tenon to {2 / 3 * depth:.0f} mm.", refs,
                )
            )
            found.append(
                _at_least(
                    where, "timber left beyond the mortise", left, LEAST_WALL_MM,
                    "4.5 mm or more", WALL, "Shorten the tenon.", refs,
                )
            )
        return found

    def operations(self, piece: Piece) -> list[Operation]:
        what = "through mortise and tenon" if self.through else (
            "haunched mortise and tenon" if self.haunch_mm else "mortise and tenon"
        )
        return [Operation(what, 1, "joint", f"{self.family}|{self.thickness_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        rail = piece.member(self.first)
        out = {
            "tenon": f"{self.thickness_mm:.0f} thick x {self.width_mm:.0f} wide x {self.length_mm:.0f} long",
            "shoulder below": f"{self.shoulder_low_mm:.0f}",
            "shoulder above": f"{rail.width_mm - self.shoulder_low_mm - self.width_mm:.0f}",
            "cheek from the outer face": f"{rail.thickness_mm - self.cheek_low_mm - self.thickness_mm:.1f}",
            "mortise depth": "through" if self.through else f"{self.length_mm + MORTISE_DEEPER_MM:.0f}",
        }
        if self.haunch_mm:
            out["haunch"] = f"{self.haunch_mm:.0f} long"
        return out


def end_middle(member: Member, end: str) -> Vec:
    """The middle of a member's end, where it is cut aslant too, in piece axes."""
    y, z = member.width_mm / 2, member.thickness_mm / 2
    back = sum(c.depth_mm(member, y, z) for c in member.shaping if getattr(c, "end", "") == end and hasattr(c, "depth_mm"))
    return member.placement.to_piece((back if end == "start" else member.length_mm - back, y, z))


MEETS_MM = 1.0
"""How far an end may miss the face it is to be joined to and still be taken as meeting it."""


def meeting_end(first: Member, second: Member) -> str:
    """Which end of ``first`` stands on a face of ``second``: 'start' or 'end'.

    Raises ValueError, saying how far the nearer end is off, where neither does.
    """
    off = {}
    for end in ("start", "end"):
        local = second.placement.to_member(end_middle(first, end))
        beyond = max(max(-c, c - s) for c, s in zip(local, second.box.hi))
        off[end] = abs(beyond)
    end = min(off, key=off.get)
    shaped = any(s.kind in ("taper", "end cut") for s in (*first.shaping, *second.shaping))
    if off[end] > (MEETS_MM if not shaped else 3 * MEETS_MM):
        raise ValueError(
            f"{first.name} ({first.ref}) does not end on {second.name} ({second.ref}): its nearer end is "
            f"{off[end]:.0f} mm off. Move or lengthen it so that its shoulder meets the face."
        )
    return end


def _depth_mm(first: Member, second: Member) -> float:
    """Size of the second member in the direction of the first's length. [mm]"""
    way, p = first.placement.along, second.placement
    return max(
        (abs(sum(w * a for w, a in zip(way, axis))), size)
        for axis, size in ((p.along, second.length_mm), (p.across, second.width_mm), (p.through, second.thickness_mm))
    )[1]


def _at_leg_end(rail: Member, end: str, post: Member) -> bool:
    """Whether the rail's upper edge is flush with an end of the post."""
    x = 0.0 if end == "start" else rail.length_mm
    edge = post.placement.to_member(rail.placement.to_piece((x, rail.width_mm, rail.thickness_mm / 2)))[0]
    return min(abs(edge), abs(edge - post.length_mm)) < rail.width_mm / 4


def nearest_chisel(thickness_mm: float) -> float:
    """The chisel (and cutter) width nearest to a wanted tenon thickness. [mm]"""
    return float(min(CHISELS_MM, key=lambda c: (abs(c - thickness_mm), c)))


def proportioned(
    family: str,
    tenoned: Member,
    end: str,
    mortised: Member,
    *,
    room_mm: float,
    at_leg_end: bool = False,
    changed: dict[str, float] | None = None,
) -> MortiseTenon:
    """A mortise and tenon by the rules of the trade, with the maker's own changes on top.

    Parameters
    ----------
    room_mm : float
        How deep a mortise may go before it meets another, or all but the wall left
        beyond it. [mm]
    at_leg_end : bool
        The rail is flush with the end of the leg: a third of its width is left as a
        haunched shoulder so that the mortise keeps timber above it.
    changed : dict
        Any of ``MortiseTenon.changeable`` that the maker set.

    Raises
    ------
    ValueError
        For a size that no timber could hold; says what is allowed.
    """
    changed = changed or {}
    _refuse_impossible(family, tenoned, mortised, changed)
    thickness = changed.get("thickness_mm", nearest_chisel(tenoned.thickness_mm / 3))
    shoulder_low = min(END_SHOULDER_MM, tenoned.width_mm / 6)
    shoulder_high = tenoned.width_mm / 3 if at_leg_end else shoulder_low
    width = changed.get(
        "width_mm",
        float(math.floor(min(tenoned.width_mm - shoulder_low - shoulder_high, 5 * thickness))),
    )
    if "width_mm" in changed or width < tenoned.width_mm - shoulder_low - shoulder_high:
        spare = tenoned.width_mm - width
        shoulder_low = max(spare - shoulder_high, 0.0) if at_leg_end else spare / 2
    length = changed.get("length_mm", float(math.floor(room_mm - MORTISE_DEEPER_MM)))
    haunch = changed.get("haunch_mm", thickness if at_leg_end else 0.0)
    return MortiseTenon(
        family=family,
        first=tenoned.ref,
        second=mortised.ref,
        end=end,
        thickness_mm=thickness,
        width_mm=width,
        length_mm=length,
        shoulder_low_mm=shoulder_low,
        cheek_low_mm=(tenoned.thickness_mm - thickness) / 2,
        haunch_mm=haunch,
        at_leg_end=at_leg_end,
    )


def _refuse_impossible(family: str, tenoned: Member, mortised: Member, changed: dict[str, float]) -> None:
    most = {
        "thickness_mm": tenoned.thickness_mm - 2, "width_mm": tenoned.width_mm - 2,
        "length_mm": max(mortised.width_mm, mortised.thickness_mm), "haunch_mm": mortised.width_mm / 2,
    }
    for name, value in changed.items():
        if name not in most:
            raise ValueError(
                f"{family}: a mortise and tenon has no {name!r}. It has: {', '.join(most)}."
            )
        least = 0.0 if name == "haunch_mm" else 3.0
        if not least <= value <= most[name]:
            raise ValueError(
                f"{family}: {MortiseTenon.changeable[name].partition(',')[0].lower()} is {value:g} mm; "
                f"give {least:g} to {most[name]:g} mm."
            )


def _between(where, what, value, low, high, says, rule, source, mend, refs) -> Finding:
    verdict = Verdict.STANDS if low - 1e-6 <= value <= high + 1e-6 else Verdict.LOOK_AGAIN
    return Finding(
        where, what, verdict, says, value, high if value > high else low if value < low else high,
        "mm", rule, source, "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )


def _at_most(where, what, value, high, rule, source, mend, refs) -> Finding:
    verdict = Verdict.STANDS if value <= high + 1e-6 else Verdict.LOOK_AGAIN
    return Finding(
        where, what, verdict, f"{value:.0f} mm, at most {high:.0f}", value, high, "mm", rule,
        source, "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )


def _at_least(where, what, value, low, rule, source, mend, refs) -> Finding:
    verdict = (
        Verdict.STANDS if value >= low - 1e-6
        else Verdict.LOOK_AGAIN if value > 0 else Verdict.FAILS
    )
    return Finding(
        where, what, verdict, f"{value:.1f} mm, at least {low:.1f}", low, max(value, 0.01), "mm",
        rule, source, "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )
