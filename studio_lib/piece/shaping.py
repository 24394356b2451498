"""What is worked on a member beside its joints: bevels, round-overs, tapers, end cuts, arches, holes.

Faces and edges of a member, by its own axes: the *face* is at full thickness and the *back*
opposite; the *upper* edge is at full width and the *lower* edge opposite; it runs from its
*start* to its *end*. A long arris is named by the two it lies between: 'face upper'.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from studio_lib.piece.model import Box, Member, Operation, Placement, Prism, Shaping, _cross, _unit, hole
from studio_lib.piece.outline import Outline, bulge_through, circle, ellipse, rectangle, slot
from studio_lib.units import mm

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
ARRISES = ("face upper", "face lower", "back upper", "back lower")
SIDES = ("face", "back", "upper", "lower")
ENDS = ("start", "end")
BEYOND_MM = 10.0
"""How far a cut reaches past the timber, so that nothing thin is left by rounding."""


class ShapingRefused(ValueError):
    """A shape that the member cannot take; ``field`` names the figure, the text is for the maker."""

    def __init__(self, field: str, says: str):
        super().__init__(says)
        self.field = field


def _one_of(member: Member, field: str, given: str, allowed) -> None:
    if given not in allowed:
        raise ShapingRefused(field, f"{member.name}: {field} is {given!r}; give one of {', '.join(allowed)}.")


def _between(member: Member, what: str, field: str, given: float, low: float, high: float) -> None:
    if not low - 1e-9 <= given <= high + 1e-9:
        raise ShapingRefused(
            field, f"{member.name} ({member.ref}): {what} is {given:g} mm; give {max(low, 0):g} to {max(high, 0):g} mm."
        )


def _corner(member: Member, arris: str) -> tuple[float, float]:
    face, edge = arris.split()
    return (member.width_mm if edge == "upper" else 0.0, member.thickness_mm if face == "face" else 0.0)


def _replaced(corners: Outline, at, new) -> Outline:
    """The outline with one corner exchanged for others; as it was if the corner is gone already."""
    out = []
    for c in corners:
        out += new if c[:2] == at else [c]
    return tuple(out)


@dataclass(frozen=True)
class Chamfer(Shaping):
    """A flat along a whole arris: ``along_mm`` of the width and ``through_mm`` of the thickness go."""

    kind = "chamfer"
    changeable = {"along_mm": "Off the width, mm", "through_mm": "Off the thickness, mm"}

    arris: str = "face upper"
    along_mm: float = 5.0
    through_mm: float = 5.0

    def profile(self, member: Member, corners: Outline) -> Outline:
        _one_of(member, "arris", self.arris, ARRISES)
        _between(member, "a chamfer's part of the width", "along_mm", self.along_mm, 0.1, member.width_mm - 1)
        _between(member, "a chamfer's part of the thickness", "through_mm", self.through_mm, 0.1, member.thickness_mm - 1)
        y, z = _corner(member, self.arris)
        on_width = (y + math.copysign(self.along_mm, member.width_mm / 2 - y), z)
        on_thickness = (y, z + math.copysign(self.through_mm, member.thickness_mm / 2 - z))
        # Counter-clockwise round (y, z): at low-low and high-high the thickness comes first.
        first_thickness = (y == 0.0) == (z == 0.0)
        return _replaced(corners, (y, z), [on_thickness, on_width] if first_thickness else [on_width, on_thickness])

    @property
    def angle_deg(self) -> float:
        """From the face. [degrees]"""
        return math.degrees(math.atan2(self.through_mm, self.along_mm))

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("bevel or chamfer", member.length_mm / 1000, "m", f"{self.along_mm:g}x{self.through_mm:g}")]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {
            f"chamfer, {self.arris}":
            f"{self.along_mm:.1f} off the width x {self.through_mm:.1f} off the thickness, {self.angle_deg:.1f} degrees from the face"
        }


def bevel(member: Member, edge: str, angle_deg: float, lip_mm: float, from_face: str = "back") -> Chamfer:
    """An edge bevelled to a lip, so that a thick member reads as a thin one.

    The slope leaves ``from_face`` at ``angle_deg`` from it and ends ``lip_mm`` short of the
    other face. Raises ShapingRefused where no slope of that angle fits the width.
    """
    _one_of(member, "edge", edge, ("upper", "lower"))
    if not 5 <= angle_deg <= 85:
        raise ShapingRefused("angle_deg", f"{member.name}: the bevel is {angle_deg:g} degrees; give 5 to 85.")
    _between(member, "the lip left", "lip_mm", lip_mm, 1.0, member.thickness_mm - 1)
    through = member.thickness_mm - lip_mm
    along = through / math.tan(math.radians(angle_deg))
    if along > member.width_mm - 1:
        least = math.degrees(math.atan2(through, member.width_mm - 1))
        raise ShapingRefused(
            "angle_deg",
            f"{member.name} ({member.ref}): a bevel of {angle_deg:g} degrees down to a lip of {lip_mm:g} mm takes "
            f"{along:.0f} mm of a width of {member.width_mm:g} mm; give {least:.0f} degrees or more, or a thicker lip.",
        )
    return Chamfer(f"{from_face} {edge}", along, through)


@dataclass(frozen=True)
class RoundOver(Shaping):
    """A quarter round along a whole arris."""

    kind = "round-over"
    changeable = {"radius_mm": "Radius, mm"}

    arris: str = "face upper"
    radius_mm: float = 6.0

    def profile(self, member: Member, corners: Outline) -> Outline:
        _one_of(member, "arris", self.arris, ARRISES)
        _between(member, "the radius", "radius_mm", self.radius_mm, 0.1, min(member.width_mm, member.thickness_mm) - 1)
        y, z = _corner(member, self.arris)
        r = self.radius_mm
        on_width = (y + math.copysign(r, member.width_mm / 2 - y), z)
        on_thickness = (y, z + math.copysign(r, member.thickness_mm / 2 - z))
        quarter = math.tan(math.pi / 8)
        first_thickness = (y == 0.0) == (z == 0.0)
        pair = [on_thickness, on_width] if first_thickness else [on_width, on_thickness]
        return _replaced(corners, (y, z), [(*pair[0], quarter), pair[1]])

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("round over an edge", member.length_mm / 1000, "m", f"{self.radius_mm:g}")]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {f"round-over, {self.arris}": f"radius {self.radius_mm:g}"}


@dataclass(frozen=True)
class Taper(Shaping):
    """One side planed away towards an end: nothing at ``from_mm``, ``off_mm`` at the end."""

    kind = "taper"
    changeable = {"from_mm": "Begins, from the start, mm", "off_mm": "Taken off at the end, mm"}

    side: str = "face"
    towards: str = "start"
    from_mm: float = 0.0
    off_mm: float = 10.0

    def _across(self, member: Member) -> float:
        return member.thickness_mm if self.side in ("face", "back") else member.width_mm

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        _one_of(member, "side", self.side, SIDES)
        _one_of(member, "towards", self.towards, ENDS)
        size = self._across(member)
        _between(member, "what the taper takes off", "off_mm", self.off_mm, 0.1, size - 3)
        _between(member, "where the taper begins", "from_mm", self.from_mm,
                 1.0 if self.towards == "start" else 0.0,
                 member.length_mm if self.towards == "start" else member.length_mm - 1)
        x0, x1 = (self.from_mm, 0.0) if self.towards == "start" else (self.from_mm, member.length_mm)
        run = abs(x1 - x0)
        over = BEYOND_MM
        slope = self.off_mm / run
        past = math.copysign(over, x1 - x0)
        # In (x, d): d is the depth off the side, from d = -over outside it.
        outline = ((x0, 0.0), (x1 + past, self.off_mm + slope * over), (x1 + past, -over), (x0, -over))
        return (_drawn_across(member, self.side, outline),)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("taper a face", 1, "face", f"{self.off_mm:g} over {self.from_mm:g}")]

    def setting_out(self, member: Member) -> dict[str, str]:
        run = self.from_mm if self.towards == "start" else member.length_mm - self.from_mm
        angle = math.degrees(math.atan2(self.off_mm, run))
        return {f"taper, {self.side}": f"{self.off_mm:g} off at the {self.towards}, over {mm(run)}, {angle:.2f} degrees"}


def _drawn_across(member: Member, side: str, outline: Outline) -> Prism:
    """An outline in (x, depth off a side), drawn right across the member."""
    over = BEYOND_MM
    if side in ("face", "back"):
        z = member.thickness_mm if side == "face" else 0.0
        inward = (0.0, 0.0, -1.0) if side == "face" else Z
        # through = along x across runs along -y or +y; begin outside the far edge.
        y = -over if side == "face" else member.width_mm + over
        return Prism(outline, Placement((0.0, y, z), X, inward), member.width_mm + 2 * over)
    y = member.width_mm if side == "upper" else 0.0
    inward = (0.0, -1.0, 0.0) if side == "upper" else Y
    z = member.thickness_mm + over if side == "upper" else -over
    return Prism(outline, Placement((0.0, y, z), X, inward), member.thickness_mm + 2 * over)


@dataclass(frozen=True)
class EndCut(Shaping):
    """An end sawn out of square: ``face_deg`` seen on the face, ``edge_deg`` seen on the edge.

    Positive leans the end towards the upper edge and towards the face: there the member
    is shortest. Its longest line keeps the member's length.
    """

    kind = "end cut"
    changeable = {"face_deg": "Seen on the face, degrees", "edge_deg": "Seen on the edge, degrees"}

    end: str = "start"
    face_deg: float = 0.0
    edge_deg: float = 0.0

    def _slopes(self) -> tuple[float, float]:
        return math.tan(math.radians(self.face_deg)), math.tan(math.radians(self.edge_deg))

    def depth_mm(self, member: Member, y: float, z: float) -> float:
        """How far inside the square end the cut lies at a point of the section. [mm]"""
        sy, sz = self._slopes()
        lowest = min(0.0, sy * member.width_mm) + min(0.0, sz * member.thickness_mm)
        return sy * y + sz * z - lowest

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        _one_of(member, "end", self.end, ENDS)
        for field in ("face_deg", "edge_deg"):
            if not -75 <= getattr(self, field) <= 75:
                raise ShapingRefused(
                    field, f"{member.name} ({member.ref}): the end cut is {getattr(self, field):g} degrees; give -75 to 75."
                )
        sy, sz = self._slopes()
        deepest = max(self.depth_mm(member, y, z) for y in (0.0, member.width_mm) for z in (0.0, member.thickness_mm))
        if deepest >= member.length_mm:
            raise ShapingRefused(
                "face_deg", f"{member.name} ({member.ref}): the slanted end takes {deepest:.0f} mm of a length of "
                f"{member.length_mm:.0f} mm; a smaller angle or a longer member."
            )
        if deepest < 1e-9:
            return ()
        sign = 1.0 if self.end == "start" else -1.0
        at_x = self.depth_mm(member, 0.0, 0.0) if self.end == "start" else member.length_mm - self.depth_mm(member, 0.0, 0.0)
        # A slab whose one face is the plane of the cut, laid outside the timber.
        along = _unit((sign * sy, 1.0, 0.0))
        normal = _unit((1.0, -sign * sy, -sign * sz))
        outward = tuple(-sign * c for c in normal)
        across = _cross(outward, along)
        reach = 4 * (member.width_mm + member.thickness_mm + deepest)
        return (
            Prism(rectangle(-reach, -reach, reach, reach), Placement((at_x, 0.0, 0.0), along, across), deepest + reach),
        )

    @property
    def saw_deg(self) -> tuple[float, float]:
        """Mitre (turn of the fence) and tilt of the blade that cut this end, face down. [degrees]"""
        sy, sz = self._slopes()
        mitre = math.degrees(math.atan(sy))
        return mitre, math.degrees(math.atan(sz * math.cos(math.radians(mitre))))

    def operations(self, member: Member) -> list[Operation]:
        if not self.face_deg and not self.edge_deg:
            return []
        return [Operation("cut an end to an angle", 1, "end", f"{self.face_deg:.2f}/{self.edge_deg:.2f}")]

    def setting_out(self, member: Member) -> dict[str, str]:
        mitre, tilt = (abs(v) for v in self.saw_deg)
        said, shortest = [], []
        for degrees, seen, at in ((self.face_deg, "face", ("upper edge", "lower edge")), (self.edge_deg, "edge", ("face", "back"))):
            if abs(degrees) >= 0.005:
                said.append(f"{abs(degrees):.2f} degrees on the {seen}")
                shortest.append(at[degrees < 0])
        if not said:
            return {f"sawn at the {self.end}": "square"}
        return {
            f"sawn aslant at the {self.end}": f"{', '.join(said)}, shortest at the {' and the '.join(shortest)}; "
            f"saw: mitre {mitre:.2f}, tilt {tilt:.2f}"
        }


@dataclass(frozen=True)
class Arch(Shaping):
    """An arc cut out of an edge, highest in the middle: the arched lower edge of an apron."""

    kind = "arched edge"
    changeable = {"rise_mm": "Rise, mm", "from_mm": "From the start, mm", "to_mm": "To the end, mm"}

    edge: str = "lower"
    rise_mm: float = 15.0
    from_mm: float = 40.0
    to_mm: float = 40.0

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        _one_of(member, "edge", self.edge, ("upper", "lower"))
        _between(member, "the rise", "rise_mm", self.rise_mm, 0.5, member.width_mm - 5)
        _between(member, "where the arch begins", "from_mm", self.from_mm, 0.0, member.length_mm - self.to_mm - 20)
        x0, x1 = self.from_mm, member.length_mm - self.to_mm
        return (_drawn_across(member, self.edge, _arc_cut((x0, 0.0), ((x0 + x1) / 2, self.rise_mm), (x1, 0.0))),)

    @property
    def words(self) -> str:
        return f"rise {self.rise_mm:g}"

    def radius_mm(self, member: Member) -> float:
        chord = member.length_mm - self.from_mm - self.to_mm
        return chord * chord / (8 * self.rise_mm) + self.rise_mm / 2

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("saw and fair a curve", (member.length_mm - self.from_mm - self.to_mm) / 1000, "m", self.words)]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {f"arch, {self.edge} edge": f"rise {self.rise_mm:g}, radius {mm(self.radius_mm(member))}"}


def _arc_cut(start, middle, end) -> Outline:
    """What lies outside an arc through three points given as (x, depth), up past the edge."""
    bulge = bulge_through(start, middle, end)
    return ((*start, bulge), end, (end[0], -BEYOND_MM), (start[0], -BEYOND_MM))


@dataclass(frozen=True)
class CurvedEdge(Shaping):
    """An edge cut to the arc through three points: depths at the start, the middle and the end."""

    kind = "curved edge"
    changeable = {
        "start_mm": "Off at the start, mm", "middle_mm": "Off in the middle, mm", "end_mm": "Off at the end, mm",
    }

    edge: str = "upper"
    start_mm: float = 0.0
    middle_mm: float = 10.0
    end_mm: float = 0.0

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        _one_of(member, "edge", self.edge, ("upper", "lower"))
        for name in ("start_mm", "middle_mm", "end_mm"):
            _between(member, "what the curve takes off", name, getattr(self, name), 0.0, member.width_mm - 5)
        outline = _arc_cut(
            (0.0, self.start_mm), (member.length_mm / 2, self.middle_mm), (member.length_mm, self.end_mm)
        )
        return (_drawn_across(member, self.edge, outline),)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("saw and fair a curve", member.length_mm / 1000, "m", "template")]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {
            f"curve, {self.edge} edge": f"{self.start_mm:g} off at the start, {self.middle_mm:g} at the middle, "
            f"{self.end_mm:g} at the end"
        }


@dataclass(frozen=True)
class RoundEnd(Shaping):
    """Corners of an end rounded on the face, up to a half circle."""

    kind = "rounded corners"
    changeable = {"radius_mm": "Radius, mm"}

    end: str = "end"
    radius_mm: float = 20.0
    corners: str = "both"
    """'both', 'upper' or 'lower'."""

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        _one_of(member, "end", self.end, ENDS)
        _one_of(member, "corners", self.corners, ("both", "upper", "lower"))
        most = member.width_mm / 2 if self.corners == "both" else member.width_mm
        _between(member, "the radius", "radius_mm", self.radius_mm, 0.5, min(most, member.length_mm / 2))
        r, over = self.radius_mm, BEYOND_MM
        quarter = math.tan(math.pi / 8)
        x, sx = (0.0, 1.0) if self.end == "start" else (member.length_mm, -1.0)
        out = []
        for name, y, sy in (("upper", member.width_mm, -1.0), ("lower", 0.0, 1.0)):
            if self.corners not in ("both", name):
                continue
            turn = quarter if sx * sy < 0 else -quarter
            outline = ((x, y + sy * r, -turn), (x + sx * r, y), (x + sx * r, y - sy * over), (x - sx * over, y - sy * over),
                       (x - sx * over, y + sy * r))
            out.append(Prism(outline, Placement((0.0, 0.0, -over), X, Y), member.thickness_mm + 2 * over))
        return tuple(out)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("round a corner", 2 if self.corners == "both" else 1, "corner", f"{self.radius_mm:g}")]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {f"{self.end} corners": f"radius {self.radius_mm:g}"}


@dataclass(frozen=True)
class HoleRow(Shaping):
    """Round holes in a row along the member, drilled square to a side."""

    kind = "row of holes"
    changeable = {
        "first_mm": "First hole from the start, mm", "pitch_mm": "Pitch, mm", "count": "Holes",
        "across_mm": "From the lower edge (or the back), mm", "diameter_mm": "Diameter, mm", "depth_mm": "Depth, 0 for through, mm",
    }

    side: str = "face"
    first_mm: float = 50.0
    pitch_mm: float = 50.0
    count: int = 1
    across_mm: float = 20.0
    diameter_mm: float = 8.0
    depth_mm: float = 0.0

    def centres_mm(self) -> tuple[float, ...]:
        return tuple(self.first_mm + k * self.pitch_mm for k in range(int(self.count)))

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        _one_of(member, "side", self.side, SIDES)
        on_face = self.side in ("face", "back")
        wide = member.width_mm if on_face else member.thickness_mm
        thick = member.thickness_mm if on_face else member.width_mm
        r = self.diameter_mm / 2
        _between(member, "the hole's diameter", "diameter_mm", self.diameter_mm, 1.0, wide - 2)
        _between(member, "the hole's place across", "across_mm", self.across_mm, r + 1, wide - r - 1)
        _between(member, "the hole's depth", "depth_mm", self.depth_mm, 0.0, thick)
        _between(member, "the first hole", "first_mm", self.first_mm, r + 1, member.length_mm - r - 1)
        if not 1 <= self.count <= 500:
            raise ShapingRefused("count", f"{member.name}: {self.count:g} holes; give 1 to 500.")
        if self.count > 1:
            _between(member, "the pitch", "pitch_mm", self.pitch_mm, self.diameter_mm + 1,
                     (member.length_mm - r - 1 - self.first_mm) / (self.count - 1))
        through = self.depth_mm == 0 or self.depth_mm >= thick
        over = BEYOND_MM
        depth = thick + 2 * over if through else self.depth_mm + over
        start, way = {
            "face": ((None, self.across_mm, member.thickness_mm + over), (0.0, 0.0, -1.0)),
            "back": ((None, self.across_mm, -over), Z),
            "upper": ((None, member.width_mm + over, self.across_mm), (0.0, -1.0, 0.0)),
            "lower": ((None, -over, self.across_mm), Y),
        }[self.side]
        return tuple(hole((x, *start[1:]), way, self.diameter_mm, depth) for x in self.centres_mm())

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("drill a hole", int(self.count), "hole", f"{self.diameter_mm:g}x{self.depth_mm:g}")]

    def setting_out(self, member: Member) -> dict[str, str]:
        deep = f"{self.depth_mm:g} deep" if self.depth_mm else "through"
        return {
            f"holes, {self.side}": f"{int(self.count)} of {self.diameter_mm:g}, {deep}, first at {self.first_mm:g}, "
            f"pitch {self.pitch_mm:g}, {self.across_mm:g} across"
        }


@dataclass(frozen=True)
class HandHole(Shaping):
    """A slot with round ends through the face, to lift by."""

    kind = "handle cut-out"
    changeable = {
        "centre_mm": "Middle from the start, mm", "across_mm": "From the lower edge, mm",
        "length_mm": "Length, mm", "width_mm": "Width, mm",
    }

    centre_mm: float = 200.0
    across_mm: float = 40.0
    length_mm: float = 110.0
    width_mm: float = 30.0

    def cuts(self, member: Member) -> tuple[Prism, ...]:
        w, half = self.width_mm, self.length_mm / 2
        _between(member, "the cut-out's width", "width_mm", w, 5.0, member.width_mm - 10)
        _between(member, "the cut-out's length", "length_mm", self.length_mm, w, member.length_mm - 10)
        _between(member, "its middle along", "centre_mm", self.centre_mm, half + 5, member.length_mm - half - 5)
        _between(member, "its middle across", "across_mm", self.across_mm, w / 2 + 5, member.width_mm - w / 2 - 5)
        run = half - w / 2
        outline = slot(self.centre_mm - run, self.across_mm, self.centre_mm + run, self.across_mm, w)
        return (Prism(outline, Placement((0.0, 0.0, -BEYOND_MM), X, Y), member.thickness_mm + 2 * BEYOND_MM),)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("cut out a handle", 1, "cut-out", "")]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {"handle": f"{self.length_mm:g} x {self.width_mm:g}, middle {self.centre_mm:g} along, {self.across_mm:g} up"}


@dataclass(frozen=True)
class CutRound(Shaping):
    """A top's board kept inside the round or oval of the whole top, whose middle is given in its axes."""

    kind = "round or oval outline"
    changeable = {}

    middle_x_mm: float = 0.0
    middle_y_mm: float = 0.0
    length_mm: float = 900.0
    width_mm: float = 900.0

    def within(self, member: Member) -> tuple[Prism, ...]:
        if abs(self.length_mm - self.width_mm) < 1e-9:
            outline = circle(self.middle_x_mm, self.middle_y_mm, self.length_mm)
        else:
            outline = ellipse(self.middle_x_mm, self.middle_y_mm, self.length_mm, self.width_mm)
        return (Prism(outline, Placement((0.0, 0.0, -BEYOND_MM), X, Y), member.thickness_mm + 2 * BEYOND_MM),)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("saw and fair a curve", 2 * member.width_mm / 1000, "m", "template")]

    def setting_out(self, member: Member) -> dict[str, str]:
        round_top = abs(self.length_mm - self.width_mm) < 1e-9
        return {"outline": f"round, {self.length_mm:g} across" if round_top else f"oval, {self.length_mm:g} x {self.width_mm:g}"}


@dataclass(frozen=True)
class Notch(Shaping):
    """A square block cut out: clearance round a post, a rebate for a fitting, a scribe at a wall."""

    kind = "notch"
    changeable = {
        "x0_mm": "From, along, mm", "x1_mm": "To, along, mm", "y0_mm": "From, across, mm", "y1_mm": "To, across, mm",
        "z0_mm": "From, through, mm", "z1_mm": "To, through, mm",
    }

    x0_mm: float = 0.0
    x1_mm: float = 20.0
    y0_mm: float = 0.0
    y1_mm: float = 20.0
    z0_mm: float = 0.0
    z1_mm: float = 20.0

    def cuts(self, member: Member) -> tuple[Box, ...]:
        sizes = (member.length_mm, member.width_mm, member.thickness_mm)
        lo, hi = (self.x0_mm, self.y0_mm, self.z0_mm), (self.x1_mm, self.y1_mm, self.z1_mm)
        for axis, low, high, size in zip("xyz", lo, hi, sizes):
            if high <= low:
                raise ShapingRefused(f"{axis}1_mm", f"{member.name}: the notch runs from {low:g} to {high:g} mm; the second figure must be the larger.")
            if low >= size or high <= 0:
                raise ShapingRefused(f"{axis}0_mm", f"{member.name}: the notch from {low:g} to {high:g} mm misses the member, which is {size:g} mm there.")
        return (Box(lo, hi),)

    def operations(self, member: Member) -> list[Operation]:
        return [Operation("cut a notch", 1, "notch", "")]

    def setting_out(self, member: Member) -> dict[str, str]:
        return {"notch": f"{self.x1_mm - self.x0_mm:g} x {self.y1_mm - self.y0_mm:g} x {self.z1_mm - self.z0_mm:g}"}


SHAPINGS: dict[str, type[Shaping]] = {
    s.kind: s for s in (Chamfer, RoundOver, Taper, EndCut, Arch, CurvedEdge, RoundEnd, HoleRow, HandHole, CutRound, Notch)
}


def shaping(kind: str, figures: dict) -> Shaping:
    """A shaping by the name of its kind. Raises ShapingRefused for an unknown kind or figure."""
    if kind not in SHAPINGS:
        raise ShapingRefused("kind", f"There is no shaping {kind!r}. On file: {', '.join(SHAPINGS)}.")
    known = [f.name for f in fields(SHAPINGS[kind])]
    for name in figures:
        if name not in known:
            raise ShapingRefused(name, f"A {kind} has no {name!r}. It has: {', '.join(known)}.")
    return SHAPINGS[kind](**figures)


def checked(member: Member) -> Member:
    """The member, once every shaping has been tried on it. Raises ShapingRefused, in words."""
    corners: Outline = ((0.0, 0.0), (member.width_mm, 0.0), (member.width_mm, member.thickness_mm), (0.0, member.thickness_mm))
    for s in member.shaping:
        corners = s.profile(member, corners)
        s.within(member)
        s.cuts(member)
    return member
