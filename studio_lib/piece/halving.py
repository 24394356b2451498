"""Halvings: cross, tee, corner and dovetailed; each member gives up half where they lie across each other."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, Way, face_holds, lap_holds
from studio_lib.piece.lapping import NEAR_MM, Lap, Lapped, Layer, ending, lapped
from studio_lib.piece.model import Block, Box, Member, Operation, Piece, Placement, Prism, Vec
from studio_lib.piece.mortise_tenon import cross, dot
from studio_lib.units import tenths

HALF = "Fairham, Woodwork Joints, 1921; Noyes, Handwork in Wood, 1910: half the thickness from each"
SLOPE = "Fairham, Woodwork Joints, 1921: 1 in 8, never steeper than 1 in 6"


@dataclass(frozen=True)
class Halving(Lapped):
    """``first`` lies on the upper half, ``second`` on the lower, along the normal of the two."""

    changeable = {"share": "Part cut from the lower, 0 to 1"}

    share: float = 0.5
    """Part of the crossing's depth taken out of ``second``."""

    def __post_init__(self):
        if not 0.2 <= self.share <= 0.8:
            raise ValueError(
                f"{self.family}: the part cut from the lower member is {self.share:g}; give 0.2 to 0.8, "
                "0.5 for half of each."
            )

    def layers(self, lap: Lap) -> tuple[Layer, ...]:
        split = lap.high - self.share * (lap.high - lap.low)
        return ((lap.low, split, 1), (split, lap.high, 0))

    def entry(self, piece: Piece) -> Vec | None:
        return tuple(-c + 0.0 for c in self.lap(piece).normal)

    def depths_mm(self, piece: Piece) -> tuple[float, float]:
        """Depth cut out of the first and out of the second member. [mm]"""
        lap = self.lap(piece)
        whole = lap.high - lap.low
        return (1 - self.share) * whole, self.share * whole

    def left_mm(self, piece: Piece) -> tuple[float, float]:
        """Depth of timber left in each member at the crossing. [mm]"""
        return tuple(size - cut for size, cut in zip(self.lap(piece).sizes, self.depths_mm(piece)))

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        lap = self.lap(piece)
        end = lap.stops_at(0) or lap.ends_there(0)
        along, (left, _) = lap.along[0], self.left_mm(piece)
        if not end or (lap.covers(0) and not lap.ends_there(0)):
            return self._crossing_holds(lap, piece, first, second)
        out = along if end == "start" else tuple(-c + 0.0 for c in along)
        return lap_holds(out, cross(lap.normal, along), lap.size_mm(0), lap.size_mm(1), left, first, second)

    def _crossing_holds(self, lap: Lap, piece: Piece, first: Strengths, second: Strengths) -> Holds:
        """Two members that run on: each lies in the other's notch, whose walls hold it from turning and sliding."""
        a, b = lap.size_mm(0), lap.size_mm(1)
        flat = face_holds(lap.normal, lap.along[0], a, b, first, second)
        deep = min(self.depths_mm(piece))
        press = min(first.crushing, second.crushing)
        walls = (press * deep * b, press * deep * a)
        return replace(
            flat, slide_wide=Way(flat.slide_wide.most + walls[0], "glue and notch together"),
            slide_thin=Way(flat.slide_thin.most + walls[1], "glue and notch together"),
            turn=Way(flat.turn.most + press * b * deep**2 / 6, "glue and notch together"),
            turn_thin=Way(flat.turn_thin.most + press * a * deep**2 / 6, "glue and notch together"),
            twist=Way(flat.twist.most + press * deep * min(a, b) ** 2 / 6, "glue and notch together"),
        )

    def glued_area_mm2(self, piece: Piece) -> float:
        lap = self.lap(piece)
        return lap.size_mm(0) * lap.size_mm(1)

    def findings(self, piece: Piece) -> list[Finding]:
        a, b = piece.member(self.first), piece.member(self.second)
        out = []
        for member, cut, left in zip((a, b), self.depths_mm(piece), self.left_mm(piece)):
            depth = cut + left
            even = abs(cut - depth / 2) <= 0.1 * depth
            out.append(
                Finding(
                    f"{a.name} over {b.name}", f"depth cut from the {member.role}",
                    Verdict.STANDS if even else Verdict.LOOK_AGAIN,
                    f"{cut:.1f} mm of {depth:.1f} mm", cut, depth / 2, "mm",
                    "half of each member", HALF,
                    "" if even else "Set both members to one depth, or share the cut evenly.",
                    "joints", (a.ref, b.ref),
                )
            )
        return out

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation(self.kind, 1, "joint", self.family)]

    def _sides(self, piece: Piece) -> tuple[str, str]:
        """Which way each notch opens, in words: below and above where the normal stands upright."""
        upright = abs(self.lap(piece).normal[2]) > 0.7
        return ("from below", "from above") if upright else ("from one side", "from the other")

    def setting_out(self, piece: Piece) -> dict[str, str]:
        a, b = piece.member(self.first), piece.member(self.second)
        lap, (cut_a, cut_b), (one, other) = self.lap(piece), self.depths_mm(piece), self._sides(piece)
        return {
            f"{a.role}: notch": f"{tenths(lap.size_mm(0))} wide x {tenths(cut_a)} deep, {one}",
            f"{b.role}: notch": f"{tenths(lap.size_mm(1))} wide x {tenths(cut_b)} deep, {other}",
        }


@dataclass(frozen=True)
class CrossHalving(Halving):
    """``first`` drops over ``second`` and both run on: it loses its lower part, ``second`` its upper part."""

    kind = "cross halving"

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> CrossHalving:
        lap = crossing(first, second)
        if reach_mm(first, lap.normal)[0] < lap.low - NEAR_MM or reach_mm(second, lap.normal)[1] > lap.high + NEAR_MM:
            raise ValueError(
                f"{first.name} ({first.ref}) cannot drop over {second.name} ({second.ref}): one of the two notches would lie "
                "inside the timber, open to no face. Name them the other way round, or bring their faces level."
            )
        return cls(family or f"{first.role} over {second.role}", first.ref, second.ref, **(own or {}))

    def lap(self, piece: Piece) -> Lap:
        return crossing(piece.member(self.first), piece.member(self.second))


def reach_mm(member: Member, way: Vec) -> tuple[float, float]:
    """From where to where a member's section reaches along a direction square to its length. [mm]"""
    at = [dot(member.placement.to_piece((0.0, y, z)), way) for y in (0.0, member.width_mm) for z in (0.0, member.thickness_mm)]
    return min(at), max(at)


def crossing(first: Member, second: Member) -> Lap:
    """How two members cross, both running on. Raises ValueError, in words, where they do not."""
    lap = lapped(first, second)
    for k in (0, 1):
        (r0, r1), (x0, x1) = lap.spans[k], lap.ends[k]
        if min(r1, x1) - max(r0, x0) < 1e-6:
            raise ValueError(
                f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not cross, so they cannot be "
                "halved together. Move one of them, or choose another joint."
            )
    if not (lap.covers(0) and lap.covers(1)):
        short = (first, second)[lap.covers(0)]
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not cross: {short.name} ends within the "
            "other. "
            "Lengthen it, or choose a tee or a corner halving."
        )
    return lap


@dataclass(frozen=True)
class TeeHalving(Halving):
    """The end of ``first`` lies half in, half on ``second``, which runs on both ways."""

    kind = "tee halving"
    corner = False

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> TeeHalving:
        ending(cls.kind, first, second, cls.corner)
        return cls(family or f"{first.role} onto {second.role}", first.ref, second.ref, **(own or {}))


@dataclass(frozen=True)
class CornerHalving(TeeHalving):
    """Two ends at a corner, each halved."""

    kind = "corner halving"
    corner = True


@dataclass(frozen=True)
class DovetailedHalving(TeeHalving):
    """A tee halving whose lap is a dovetail, so that ``first`` cannot be pulled away lengthwise."""

    kind = "dovetailed halving"
    changeable = {"share": "Part cut from the lower, 0 to 1", "slope": "Slope of the dovetail, 1 in"}
    corner = None

    slope: float = 8.0

    def __post_init__(self):
        super().__post_init__()
        if not 4 <= self.slope <= 12:
            raise ValueError(f"{self.family}: the dovetail slopes 1 in {self.slope:g}; give 4 to 12, 8 as usual.")

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> DovetailedHalving:
        made = super().between(first, second, family, own)
        lap = lapped(first, second)
        if not lap.square:
            raise ValueError(f"{first.name} ({first.ref}) meets {second.name} ({second.ref}) aslant; a dovetail needs "
                "a square tee.")
        if 2 * made._narrowing_mm(lap) > lap.size_mm(1) / 2:
            raise ValueError(
                f"{first.name} ({first.ref}), {lap.size_mm(1):.0f} mm wide, is too narrow for a dovetail "
                f"{lap.size_mm(0):.0f} mm "
                "long. A flatter slope, or a plain tee halving."
            )
        return made

    def _narrowing_mm(self, lap: Lap) -> float:
        """What each side of the tail loses at the shoulder. [mm]"""
        return lap.size_mm(0) / self.slope

    def _tail(self, lap: Lap) -> tuple[tuple[tuple[float, float], ...], Vec, Vec]:
        """The tail's outline along the first member's length and across it, and those two directions."""
        u = lap.along[0]
        v = cross(lap.normal, u)
        (x0, x1) = lap.spans[0]
        across = [dot(c, v) for c in lap.corners]
        y0, y1 = min(across), max(across)
        n = self._narrowing_mm(lap)
        out_at_high = (lap.stops_at(0) or lap.ends_there(0)) == "end"
        if out_at_high:
            return ((x0, y0 + n), (x1, y0), (x1, y1), (x0, y1 - n)), u, v
        return ((x0, y0), (x1, y0 + n), (x1, y1 - n), (x0, y1)), u, v

    def _prism(self, lap: Lap, outline) -> Prism:
        _, u, v = self._tail(lap)
        n0, n1, _ = self.layers(lap)[1]
        return Prism(outline, Placement(tuple(n0 * c for c in lap.normal), u, v), n1 - n0)

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        lap, first = self.lap(piece), piece.member(self.first)
        if lap.covers(0):
            return {}
        return {first.ref: (first.placement.to_member_block(self._prism(lap, self._tail(lap)[0])),)}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        lap = self.lap(piece)
        first, second = piece.member(self.first), piece.member(self.second)
        tail = self._tail(lap)[0]
        out = {second.ref: (second.placement.to_member_block(self._prism(lap, tail)),)}
        if lap.covers(0):
            p, q, r, s = tail
            y0, y1 = min(c[1] for c in tail), max(c[1] for c in tail)
            shoulder = p[0] if p[1] > y0 else q[0]
            tip = q[0] if shoulder == p[0] else p[0]
            n = self._narrowing_mm(lap)
            low = ((shoulder, y0), (shoulder, y0 + n), (tip, y0))
            high = ((shoulder, y1), (tip, y1), (shoulder, y1 - n))
            n0, n1, _ = self.layers(lap)[0]
            block = lap.block(first, n0, n1)
            out[first.ref] = (
                (block.meet(first.box) or block) if isinstance(block, Box) else block,
                *(first.placement.to_member_block(self._prism(lap, side)) for side in (low, high)),
            )
        return out

    def findings(self, piece: Piece) -> list[Finding]:
        stands = 6 <= self.slope <= 8
        a, b = piece.member(self.first), piece.member(self.second)
        return [
            *super().findings(piece),
            Finding(
                f"{a.name} onto {b.name}", "slope of the dovetail", Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
                f"1 in {self.slope:g}", rule="1 in 8, never steeper than 1 in 6", source=SLOPE,
                mend="" if stands else "Slope it 1 in 6 to 1 in 8.", stage="joints", refs=(a.ref, b.ref),
            ),
        ]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        lap = self.lap(piece)
        wide = lap.size_mm(1)
        return super().setting_out(piece) | {
            "dovetail": f"{tenths(wide)} wide at the end, {tenths(wide - 2 * self._narrowing_mm(lap))} at the shoulder, 1 in "
                f"{self.slope:g}"
        }
