"""Dovetail from above: the end of a rail that lies flat, a tail let down into the end of a leg or the edge of a board."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.dovetail import SLOPE_IN, SLOPE_SOURCE
from studio_lib.piece.facing import facing
from studio_lib.piece.holding import TENSION_SHARE, Holds, Strengths, Way, back, glue_turn_n_mm, least
from studio_lib.piece.meeting import axis_of, given, named
from studio_lib.piece.model import Block, Joint, Member, Operation, Piece, Placement, Prism, Season, Vec, carried
from studio_lib.units import mm

PRACTICE = "common practice, no source"
SHARE_OF_POST, MOST_MM, LEAST_MM = 0.4, 22.0, 6.0
"""The tail goes so far into what takes it, never further or less than that; judgement of ours. [mm]"""
SHOULDER_MM = 6.0
"""Beside the tail at its end, on either side of the rail; common practice, no source."""
CHEEK_MM = 6.0
"""Timber left beside the socket and beyond it, so that it does not split out; judgement of ours."""
GAPES_MM = 1.0
"""More than this between tail and socket is seen; judgement of ours."""
OVER_MM = 2.0
FLUSH_MM = 0.05
X, Y = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)


@dataclass(frozen=True)
class TopDovetail(Joint):
    """A tail of the whole thickness of ``first``, seen from above; it ties two legs and cannot be pulled out lengthwise."""

    kind = "dovetail from above"
    by_glue_alone = False
    changeable = {"length_mm": "Length of the tail, mm", "width_mm": "Width of the tail at its end, mm", "slope": "Slope, 1 in"}

    length_mm: float = 18.0
    width_mm: float = 30.0
    slope: float = SLOPE_IN

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> TopDovetail:
        family = family or f"{first.role} into {second.role}"
        met, _ = _met(first, second)
        y0, y1 = met.lo[1], met.hi[1]
        wide = y1 - y0
        # As far as cheeks are left in what takes it, and shoulders on the rail.
        most_wide = min(wide - 2 * SHOULDER_MM, 2 * min(first.width_mm / 2 - met.second.lo[1], met.second.hi[1] - first.width_mm / 2) - 2 * CHEEK_MM)
        most_long = met.far_mm - CHEEK_MM
        if wide < first.width_mm - FLUSH_MM:
            raise ValueError(f"{family}: the end of {named(first)} stands over the edge of {named(second)}; a dovetail from above needs all of it on the face.")
        if most_long < LEAST_MM or most_wide < 2 * LEAST_MM:
            raise ValueError(
                f"{family}: {named(second)} leaves {max(most_long, 0):.0f} mm for the length of a tail and {max(most_wide, 0):.0f} mm for its width; "
                f"{LEAST_MM:g} and {2 * LEAST_MM:g} mm at least. A stouter {second.role}, or a tenon."
            )
        figures = given(cls.kind, family, own, {"length_mm": (LEAST_MM, most_long), "width_mm": (2 * LEAST_MM, most_wide), "slope": (5.0, 10.0)}, cls.changeable)
        slope = figures.get("slope", SLOPE_IN)
        length = figures.get("length_mm", float(int(max(min(SHARE_OF_POST * met.far_mm, MOST_MM, most_long), LEAST_MM))))
        width = figures.get("width_mm", float(int(min(most_wide, 0.7 * first.width_mm + 2 * length / slope))))
        if width - 2 * length / slope < LEAST_MM:
            raise ValueError(f"{family}: a tail {width:g} mm wide and {length:g} mm long leaves a neck of {max(width - 2 * length / slope, 0):.1f} mm; "
                             f"{LEAST_MM:g} mm at least. A shorter tail, or a wider one.")
        return cls(family, first.ref, second.ref, length, width, slope)

    @property
    def neck_mm(self) -> float:
        """Width of the tail at its shoulder. [mm]"""
        return self.width_mm - 2 * self.length_mm / self.slope

    def _outline(self, rail: Member, sign: float, before: float = 0.0):
        """The tail in the rail's own length and width; ``before`` runs its neck out at the shoulder."""
        mid, n, w = rail.width_mm / 2, self.neck_mm / 2, self.width_mm / 2
        x = rail.length_mm if sign > 0 else 0.0
        tip = x + sign * self.length_mm
        mouth = ((x - sign * before, mid - n), (x, mid - n)) if before else ((x, mid - n),)
        out = ((x, mid + n), (x - sign * before, mid + n)) if before else ((x, mid + n),)
        return (*mouth, (tip, mid - w), (tip, mid + w), *out)

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        rail, post = piece.member(self.first), piece.member(self.second)
        met, _ = _met(rail, post)
        return {self.first: (Prism(self._outline(rail, met.sign), Placement((0.0, 0.0, 0.0), X, Y), rail.thickness_mm),)}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        rail, post = piece.member(self.first), piece.member(self.second)
        met, up = _met(rail, post)
        low, high = (0.0, rail.thickness_mm + OVER_MM) if up > 0 else (-OVER_MM, rail.thickness_mm)
        socket = Prism(self._outline(rail, met.sign, OVER_MM), Placement((0.0, 0.0, low), X, Y), high - low)
        return {self.second: (carried(socket, rail.placement, post.placement),)}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        met, _ = _met(piece.member(self.first), piece.member(self.second))
        return {self.first: (0.0, self.length_mm) if met.sign > 0 else (self.length_mm, 0.0)}

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        met, _ = _met(piece.member(self.first), piece.member(self.second))
        return {self.first: {"end" if met.sign > 0 else "start": f"dovetail {mm(self.length_mm)}"}}

    def entry(self, piece: Piece) -> Vec | None:
        rail = piece.member(self.first)
        _, up = _met(rail, piece.member(self.second))
        return tuple(-up * c + 0.0 for c in rail.placement.through)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        rail, post = piece.member(self.first), piece.member(self.second)
        met, _ = _met(rail, post)
        deep, t, glue = self.length_mm, rail.thickness_mm, min(first.shear, second.shear)
        out = rail.placement.turn(back(met.way))
        flanks = 2 * deep * t
        turned = Way(glue_turn_n_mm(glue, deep, t, 2.0), "the glued flanks")
        bears = (self.width_mm + self.neck_mm) / 2 * deep
        return Holds(
            out, rail.placement.across,
            least((self.neck_mm * t * TENSION_SHARE * first.bending, "the tail tearing at its neck"), (flanks * glue, "the flanks shearing")),
            Way(rail.width_mm * t * min(first.crushing, second.crushing), "the grain crushing between them"),
            Way(deep * t * min(first.crushing, second.crushing), "the flanks crushing"),
            least((bears * first.crushing, "the tail crushing on the floor of its socket"), (self.neck_mm * t * first.shear, "the tail shearing off at its neck")),
            turned, turned, turned,
        )

    def glued_area_mm2(self, piece: Piece) -> float:
        slant = (1 + 1 / self.slope**2) ** 0.5
        return 2 * self.length_mm * slant * piece.member(self.first).thickness_mm + (self.width_mm + self.neck_mm) / 2 * self.length_mm

    def findings(self, piece: Piece) -> list[Finding]:
        rail, post = piece.member(self.first), piece.member(self.second)
        met, _ = _met(rail, post)
        where, refs = f"{rail.name} into {post.name}", (rail.ref, post.ref)
        good = 6.0 - 1e-9 <= self.slope <= 8.0 + 1e-9
        mid = rail.width_mm / 2
        beside = min(mid - self.width_mm / 2 - met.second.lo[1], met.second.hi[1] - mid - self.width_mm / 2)
        beyond = met.far_mm - self.length_mm
        left = min(beside, beyond)
        stout = left >= CHEEK_MM - 1e-6
        return [
            Finding(
                where, "slope of the dovetails", Verdict.STANDS if good else Verdict.LOOK_AGAIN, f"1 in {self.slope:g}", 6.0, self.slope, "",
                "1 in 8, never steeper than 1 in 6", SLOPE_SOURCE, "" if good else "1 in 6 for softwood, 1 in 8 for hardwood.", "joints", refs,
            ),
            Finding(
                where, "timber round the socket", Verdict.STANDS if stout else Verdict.LOOK_AGAIN,
                f"{beside:.0f} mm of {post.role} left beside the tail, {beyond:.0f} mm beyond it", CHEEK_MM, left, "mm",
                f"{CHEEK_MM:g} mm or more, so that the socket does not split out", "judgement of ours", "" if stout else "A narrower or a shorter tail.", "joints", refs,
            ),
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        rail, post = piece.member(self.first), piece.member(self.second)
        along = axis_of(post, rail.placement.across) == 0
        swing = season.swing(rail, self.width_mm, "width")
        other = None if along else season.swing(post, self.width_mm, "width" if axis_of(post, rail.placement.across) == 1 else "thickness")
        shrinks = abs(swing.shrinks_mm - (other.shrinks_mm if other else 0.0))
        stands = shrinks <= GAPES_MM
        return [Finding(
            f"{rail.name} into {post.name}", "movement", Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
            f"the tail, {mm(self.width_mm)} wide, draws in {shrinks:.1f} mm more than its socket when driest", shrinks, GAPES_MM, "mm",
            f"no gap over {GAPES_MM:g} mm beside the tail", "judgement of ours", "" if stands else "A narrower tail.", "joints", (rail.ref, post.ref),
        )]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("dovetail from above", 1, "joint", f"{self.length_mm:g}|{self.slope:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        rail = piece.member(self.first)
        beside = (rail.width_mm - self.width_mm) / 2
        return {
            "tail": f"{mm(self.length_mm)} long, {self.width_mm:.1f} wide at the end, {self.neck_mm:.1f} at the shoulder, 1 in {self.slope:g}; "
            f"{beside:.1f} in from either edge",
            "socket": f"from above, {rail.thickness_mm:.1f} deep, marked from the tail",
        }


def _met(rail: Member, post: Member):
    """Where the end of a flat rail meets a face of what takes it, and which of its faces is even with that one's end: 1 its high one, -1 its low.

    Raises ValueError, in words, where it cannot be let down from there.
    """
    met = facing(rail, post)
    if met is None or met.axis != 0:
        raise ValueError(f"{named(rail)} does not end square on a face of {named(post)}, so it cannot be dovetailed into it from above.")
    lo, hi = met.second.lo[2], met.second.hi[2]
    for up, even, goes_on in ((1.0, abs(hi - rail.thickness_mm), lo < -CHEEK_MM), (-1.0, abs(lo), hi > rail.thickness_mm + CHEEK_MM)):
        if even <= FLUSH_MM and goes_on and rail.thickness_mm <= rail.width_mm:
            return met, up
    raise ValueError(
        f"{named(rail)} does not lie flat with a face even with the end of {named(post)}; a dovetail from above is let down from there. "
        "Put it at the top, or choose a tenon."
    )
