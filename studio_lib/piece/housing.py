"""Housing: the whole end of a shelf let into a trench across a side, right through or stopped at the front."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import END_GRAIN_SHARE, TENSION_SHARE, Holds, Strengths, Way, back, bears_over_mm, least, shear_n
from studio_lib.piece.meeting import axis_of, given, inside, named, seen_from
from studio_lib.piece.model import Block, Box, Joint, Member, Operation, Piece, Placement, Prism, Season, Vec, carried
from studio_lib.piece.mortise_tenon import meeting_end
from studio_lib.timber.provisions import GLUE_SAFE_MM
from studio_lib.units import tenths

DEPTH_RULE = "a quarter to a third of the thickness"
DEPTH_SOURCE = "from memory: workshop books, a quarter to a third"
LEAST_MM = 3.0
"""Under this a trench holds nothing; common practice, no source."""
OVER_MM = 1.0
"""How far a cut begins outside the timber, so that no skin is left."""
SLIDING_IN = 8.0
"""Slope of a sliding dovetail, 1 in 8: Fairham, Woodwork Joints, 1921, for dovetails."""
TAPERS_IN = 100.0
"""A tapered housing narrows by a hundredth of its length; common practice, no source."""
X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def _usual_depth_mm(thickness_mm: float) -> float:
    """Three tenths of the side, in half millimetres. [mm]"""
    return max(math.floor(2 * 0.3 * thickness_mm) / 2, LEAST_MM)


@dataclass(frozen=True)
class Housing(Joint):
    """The end of ``first``, as thick as it is, in a trench in the face of ``second``."""

    kind = "housing"
    lies = "edge"
    changeable = {"depth_mm": "Depth of the trench, mm", "stopped_mm": "Stopped short of the front, 0 for through, mm"}

    end: str = "start"
    depth_mm: float = 6.0
    stopped_mm: float = 0.0
    """Timber of the side left standing before the trench begins, at the front edge of ``first``."""

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Housing:
        family = family or f"{first.role} into {second.role}"
        end = meeting_end(first, second)
        if axis_of(second, first.placement.along) != 2:
            raise ValueError(
                f"{named(first)} does not end on the face of {named(second)} but on its edge or end; a housing is cut in a "
                "face. Turn one of them, or use dowels or a tenon."
            )
        seen = seen_from(second, first)
        if min(seen.hi[2], first.thickness_mm) - max(seen.lo[2], 0.0) < first.thickness_mm - 1e-6:
            raise ValueError(
                f"{named(first)} stands out beyond the end of {named(second)}: its housing would be open. Move it "
                f"{first.thickness_mm:g} mm or more inside, or use a rebate or dowels."
            )
        most = second.thickness_mm - LEAST_MM
        figures = given(
            cls.kind, family, own, {"depth_mm": (min(LEAST_MM, most), most), "stopped_mm": (0.0, first.width_mm - 10.0),
                                    "slope": (5.0, 12.0)}, cls.changeable,
        )
        return cls(family, first.ref, second.ref, **{"depth_mm": min(_usual_depth_mm(second.thickness_mm), most), **figures}, end=end)

    # ---- geometry

    def _front_low(self, shelf: Member) -> bool:
        """Whether the front of the piece is at the shelf's lower edge."""
        return shelf.placement.across[1] >= -1e-9

    @staticmethod
    def _front(shelf: Member) -> str:
        """What the stopped edge is called: a shelf lies, a drawer's back stands."""
        return "its lower edge" if abs(shelf.placement.across[2]) > 0.5 else "the front"

    def _width(self, shelf: Member) -> tuple[float, float]:
        """Where the tongue begins and ends across the shelf's width. [mm]"""
        if self._front_low(shelf):
            return self.stopped_mm, shelf.width_mm
        return 0.0, shelf.width_mm - self.stopped_mm

    def _tongue(self, shelf: Member) -> Block:
        y0, y1 = self._width(shelf)
        x = -self.depth_mm if self.end == "start" else shelf.length_mm
        return Box((x, y0, 0.0), (x + self.depth_mm, y1, shelf.thickness_mm))

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        return {self.first: (self._rooted(piece.member(self.first)),)}

    def _rooted(self, shelf: Member) -> Block:
        """The tongue with the shelf's own arrises."""
        tongue = self._tongue(shelf)
        a, (y0, y1), t = shelf.arris_mm, self._width(shelf), shelf.thickness_mm
        if a <= 0:
            return tongue
        outline = ((y0 + a, 0.0), (y1 - a, 0.0), (y1, a), (y1, t - a), (y1 - a, t), (y0 + a, t), (y0, t - a), (y0, a))
        return Prism(outline, Placement((tongue.lo[0], 0.0, 0.0), Y, Z), tongue.hi[0] - tongue.lo[0])

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        shelf, side = piece.member(self.first), piece.member(self.second)
        return {self.second: (inside(carried(self._trench(shelf, side), shelf.placement, side.placement), side),)}

    def _open(self, shelf: Member, side: Member) -> tuple[float, float]:
        """How far the trench runs out past either edge of the shelf, where the side ends there too. [mm]"""
        seen = seen_from(side, shelf)
        y0, y1 = self._width(shelf)
        return (OVER_MM if seen.lo[1] > y0 - 1e-6 else 0.0), (OVER_MM if seen.hi[1] < y1 + 1e-6 else 0.0)

    def _trench(self, shelf: Member, side: Member) -> Block:
        """What is cut: the tongue, and a little of the air before it."""
        back, out = (OVER_MM, 0.0) if self.end == "end" else (0.0, OVER_MM)
        return self._tongue(shelf).grown(0, back, out).grown(1, *self._open(shelf, side))

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        return {self.first: (self.depth_mm, 0.0) if self.end == "start" else (0.0, self.depth_mm)}

    def wide_mm(self, piece: Piece) -> float:
        """Length of the trench that the tongue fills. [mm]"""
        y0, y1 = self._width(piece.member(self.first))
        return y1 - y0

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        shelf = piece.member(self.first)
        y0, y1 = self._width(shelf)
        wide, thick = y1 - y0, shelf.thickness_mm
        out = shelf.placement.along if self.end == "start" else back(shelf.placement.along)
        down = least(
            (shear_n(first.shear, wide, thick), "the end of the shelf shearing"),
            (wide * min(bears_over_mm(self.depth_mm) * first.crushing, self.depth_mm * second.end), "the shelf crushing on the trench"),
        )
        aside = least((2 * wide * self.depth_mm * min(first.shear, second.shear) * END_GRAIN_SHARE, "glue on the walls of the trench"))
        return Holds(
            out, shelf.placement.across, self._pull(wide, thick, first, second),
            Way(wide * thick * second.crushing, "the floor of the trench"), aside, down,
        )

    def _pull(self, wide: float, thick: float, first: Strengths, second: Strengths) -> Way:
        """Only glue, and one wall of every pair is end grain, so a small part of its strength is counted."""
        return Way(2 * wide * self.depth_mm * min(first.shear, second.shear) * END_GRAIN_SHARE, "glue on the walls of the trench, end grain")

    def entry(self, piece: Piece) -> Vec | None:
        sign = -1.0 if self.end == "start" else 1.0
        return tuple(sign * c + 0.0 for c in piece.member(self.first).placement.along)

    # ---- what is said of it

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        words = f"{self.depth_mm:g} into the side" + (f", notched {self.stopped_mm:g} at {self._front(piece.member(self.first))}" if self.stopped_mm else "")
        return {self.first: {self.end: words}}

    def findings(self, piece: Piece) -> list[Finding]:
        shelf, side = piece.member(self.first), piece.member(self.second)
        t = side.thickness_mm
        good = t / 4 - 0.5 <= self.depth_mm <= t / 3 + 0.5
        return [
            Finding(
                f"{shelf.name} into {side.name}", f"depth of the {self.kind}", Verdict.STANDS if good else Verdict.LOOK_AGAIN,
                f"{self.depth_mm:g} mm of {t:g} mm", self.depth_mm, t / 3, "mm", DEPTH_RULE, DEPTH_SOURCE,
                "" if good else f"A trench {t / 4:.1f} to {t / 3:.1f} mm deep.", "joints", (shelf.ref, side.ref),
            )
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        shelf, side = piece.member(self.first), piece.member(self.second)
        with_it = axis_of(side, shelf.placement.across) == 1 or shelf.width_mm <= GLUE_SAFE_MM
        return [
            Finding(
                f"{shelf.name} into {side.name}", "movement", Verdict.STANDS if with_it else Verdict.LOOK_AGAIN,
                "both boards move together across their widths, or it is narrow" if with_it else
                f"{shelf.name} moves across its width, {side.name} does not along its grain",
                rule="boards joined face to end move alike when their widths lie one way", source="geometry",
                mend="" if with_it else "Glue the front 75 mm alone and let the rest slide.", stage="joints",
                refs=(shelf.ref, side.ref),
            )
        ]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("stopped housing" if self.stopped_mm else "housing", 1, "joint", f"{self.family}|{self.depth_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        shelf, side = piece.member(self.first), piece.member(self.second)
        met = carried(self._tongue(shelf), shelf.placement, side.placement).bounds
        begins = piece.tenons_mm(side.ref)[0]  # the start of a member is that of its tenon
        out = {
            "trench": f"{tenths(met.hi[0] - met.lo[0])} wide x {self.depth_mm:g} deep, "
            + (f"stopped {self.stopped_mm:g} {f'over the lower edge of the {shelf.role}' if abs(shelf.placement.across[2]) > 0.5 else 'from the front'}" if self.stopped_mm else "right through"),
            f"from the start of the {side.role}": f"{tenths(max(met.lo[0], 0.0) + begins)} to {tenths(met.hi[0] + begins)}",
        }
        return out


@dataclass(frozen=True)
class SlidingDovetail(Housing):
    """A housing whose sides are undercut, so that the shelf also ties the sides together; it slides in from behind."""

    kind = "sliding dovetail"
    changeable = {**Housing.changeable, "slope": "Slope, 1 in"}

    slope: float = SLIDING_IN

    def _neck_in_mm(self, shelf: Member) -> float:
        return min(self.depth_mm / self.slope, shelf.thickness_mm / 4)

    def _tongue(self, shelf: Member) -> Block:
        return self._undercut(shelf, *self._width(shelf))

    def _undercut(self, shelf: Member, y0: float, y1: float, before: float = 0.0) -> Prism:
        n, t, d = self._neck_in_mm(shelf), shelf.thickness_mm, self.depth_mm
        x, way = (0.0, -1.0) if self.end == "start" else (shelf.length_mm, 1.0)
        tip, mouth = x + way * d, x - way * before
        outline = ((mouth, n), (x, n), (tip, 0.0), (tip, t), (x, t - n), (mouth, t - n)) if before else (
            (x, n), (tip, 0.0), (tip, t), (x, t - n))
        # Drawn out along -y: begin at the far edge.
        return Prism(outline, Placement((0.0, y1, 0.0), X, Z), y1 - y0)

    def _rooted(self, shelf: Member) -> Block:
        return self._undercut(shelf, *self._width(shelf), OVER_MM)

    def _trench(self, shelf: Member, side: Member) -> Block:
        (y0, y1), (low, high) = self._width(shelf), self._open(shelf, side)
        return self._undercut(shelf, y0 - low, y1 + high, OVER_MM)

    def _pull(self, wide: float, thick: float, first: Strengths, second: Strengths) -> Way:
        neck = thick - 2 * min(self.depth_mm / self.slope, thick / 4)
        return least(
            (2 * wide * self.depth_mm * first.shear / 2, "the flanks of the dovetail shearing, half of them bearing"),
            (wide * neck * TENSION_SHARE * first.bending, "the neck tearing"),
        )

    def entry(self, piece: Piece) -> Vec | None:
        shelf = piece.member(self.first)
        sign = -1.0 if self._front_low(shelf) else 1.0
        return tuple(sign * c + 0.0 for c in shelf.placement.across)

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("sliding dovetail", 1, "joint", f"{self.family}|{self.depth_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        shelf = piece.member(self.first)
        n = self._neck_in_mm(shelf)
        return {**super().setting_out(piece), "slope": f"1 in {self.slope:g}", "neck": f"{tenths(shelf.thickness_mm - 2 * n)} thick"}


@dataclass(frozen=True)
class TaperedHousing(Housing):
    """A housing that narrows towards the front: the shelf slides in from behind and is tight only when home."""

    kind = "tapered housing"
    changeable = {**Housing.changeable, "taper_mm": "Narrower at the front by, mm"}

    taper_mm: float = 0.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> TaperedHousing:
        own = dict(own or {})
        most = first.thickness_mm / 3
        taper = own.pop("taper_mm", min(max(round(first.width_mm / TAPERS_IN, 1), 1.0), most))
        if not 0.5 <= taper <= most:
            raise ValueError(f"{family or cls.kind}: it narrows by {taper:g} mm; give 0.5 to {most:.1f} mm, a third of the shelf's thickness at most.")
        return replace(super().between(first, second, family, own), taper_mm=taper)

    def _wedge(self, shelf: Member, before: float = 0.0, low: float = 0.0, high: float = 0.0) -> Prism:
        """The tongue; ``before`` runs it out at the shelf's shoulder, ``low`` and ``high`` past its edges."""
        y0, y1 = self._width(shelf)
        t, slope = shelf.thickness_mm, self.taper_mm / (y1 - y0)
        front_low = self._front_low(shelf)

        def under(y: float) -> float:
            """Height of the tongue's underside above the shelf's: all of the taper is taken off below."""
            return slope * ((y1 - y) if front_low else (y - y0))

        a, b = y0 - low, y1 + high
        outline = ((a, under(a)), (b, under(b)), (b, t), (a, t))
        start = -self.depth_mm if self.end == "start" else shelf.length_mm - before
        return Prism(outline, Placement((start, 0.0, 0.0), Y, Z), self.depth_mm + before)

    def _tongue(self, shelf: Member) -> Block:
        return self._wedge(shelf)

    def _rooted(self, shelf: Member) -> Block:
        return self._wedge(shelf)

    def _trench(self, shelf: Member, side: Member) -> Block:
        return self._wedge(shelf, OVER_MM, *self._open(shelf, side))

    def entry(self, piece: Piece) -> Vec | None:
        shelf = piece.member(self.first)
        sign = -1.0 if self._front_low(shelf) else 1.0
        return tuple(sign * c + 0.0 for c in shelf.placement.across)

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("tapered housing", 1, "joint", f"{self.family}|{self.depth_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        t = piece.member(self.first).thickness_mm
        return {**super().setting_out(piece), "narrows": f"from {tenths(t)} at the back to {tenths(t - self.taper_mm)} at the front, all of it below"}
