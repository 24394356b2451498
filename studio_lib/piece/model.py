"""Member, joint, fixing, piece: the one model that every view, list and paper reads.

Axes of a piece: x along its length, y across, z up, floor at z = 0, the origin
under the middle of the piece. Axes of a member: x along the grain, y across its
width, z through its thickness, the origin at one corner. All lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import ClassVar

from studio_lib.finding import Finding

Vec = tuple[float, float, float]


def _add(a: Vec, b: Vec) -> Vec:
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def _sub(a: Vec, b: Vec) -> Vec:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vec, b: Vec) -> Vec:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def _scale(a: Vec, k: float) -> Vec:
    return (a[0] * k, a[1] * k, a[2] * k)


@dataclass(frozen=True)
class Box:
    """A block with faces square to the axes it is given in."""

    lo: Vec
    hi: Vec

    @property
    def size(self) -> Vec:
        return _sub(self.hi, self.lo)

    @property
    def volume_mm3(self) -> float:
        dx, dy, dz = self.size
        return max(dx, 0.0) * max(dy, 0.0) * max(dz, 0.0)

    @property
    def centre(self) -> Vec:
        return _scale(_add(self.lo, self.hi), 0.5)

    def meet(self, other: Box) -> Box | None:
        """The block common to both, or None when they only touch or are apart."""
        lo = tuple(max(a, b) for a, b in zip(self.lo, other.lo))
        hi = tuple(min(a, b) for a, b in zip(self.hi, other.hi))
        if any(h - l <= 1e-9 for l, h in zip(lo, hi)):
            return None
        return Box(lo, hi)

    def grown(self, axis: int, low: float, high: float) -> Box:
        """The block made longer along one axis, by ``low`` below and ``high`` above."""
        lo, hi = list(self.lo), list(self.hi)
        lo[axis] -= low
        hi[axis] += high
        return Box(tuple(lo), tuple(hi))


@dataclass(frozen=True)
class Placement:
    """Where a member stands in the piece: one corner and two of its directions."""

    origin: Vec
    along: Vec
    """Unit vector of the member's length."""
    across: Vec
    """Unit vector of the member's width."""

    @cached_property
    def through(self) -> Vec:
        """Unit vector of the member's thickness."""
        return _cross(self.along, self.across)

    def to_piece(self, p: Vec) -> Vec:
        out = self.origin
        for k, axis in zip(p, (self.along, self.across, self.through)):
            out = _add(out, _scale(axis, k))
        return out

    def to_member(self, p: Vec) -> Vec:
        d = _sub(p, self.origin)
        return (_dot(d, self.along), _dot(d, self.across), _dot(d, self.through))

    def box_to_piece(self, box: Box) -> Box:
        return _span(self.to_piece(c) for c in _corners(box))

    def box_to_member(self, box: Box) -> Box:
        return _span(self.to_member(c) for c in _corners(box))


def _corners(box: Box):
    for x in (box.lo[0], box.hi[0]):
        for y in (box.lo[1], box.hi[1]):
            for z in (box.lo[2], box.hi[2]):
                yield (x, y, z)


def _span(points) -> Box:
    points = list(points)
    return Box(
        tuple(min(p[i] for p in points) for i in range(3)),
        tuple(max(p[i] for p in points) for i in range(3)),
    )


@dataclass(frozen=True)
class Member:
    """One piece of timber in the work, at its finished sizes.

    ``length_mm`` is what shows, shoulder to shoulder; the tenons that joints add are
    theirs to know (``Piece.overall_length_mm``).
    """

    ref: str
    """Stable and short, on drawing, list and board alike: 'A1'."""
    name: str
    role: str
    timber: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    placement: Placement
    arris_mm: float = 0.0
    """Width of the 45 degree flat taken off the four long arrises."""
    rank: str = "show"
    """'show', 'plain' or 'hidden': how clean its timber must be."""

    @property
    def box(self) -> Box:
        """The member's own block, in its own axes."""
        return Box((0.0, 0.0, 0.0), (self.length_mm, self.width_mm, self.thickness_mm))

    @property
    def piece_box(self) -> Box:
        """The block it fills in the piece (members square to the axes)."""
        return self.placement.box_to_piece(self.box)


@dataclass(frozen=True)
class Shape:
    """A member's solid in its own axes: a profile drawn out along x, plus tenons, less cuts.

    Two builders read it (a mesh kernel and an exact one); it is also the key both
    keep their work under, so equal members are built once.
    """

    profile: tuple[tuple[float, float], ...]
    """Corners (y, z), counter-clockwise seen from the far end."""
    length_mm: float
    adds: tuple[Box, ...] = ()
    cuts: tuple[Box, ...] = ()


@dataclass(frozen=True)
class Operation:
    """Something the maker does, counted from the model: '24 joints: mortise and tenon'."""

    name: str
    count: float
    unit: str
    batch: str = ""
    """Equal batches share one set-up."""


@dataclass(frozen=True)
class Joint:
    """Where two members meet. A kind of joint is one file that fills these in."""

    kind: ClassVar[str] = ""
    changeable: ClassVar[dict[str, str]] = {}
    """Sizes the maker may set, by name, with the words for each."""
    family: str
    """Joints alike in one piece, changed together: 'long apron into leg'."""
    first: str
    """Reference of the member that enters (tenoned, upper)."""
    second: str
    """Reference of the member that receives (mortised, lower)."""

    def adds(self, piece: Piece) -> dict[str, tuple[Box, ...]]:
        """Timber beyond a member's length (tenons), in that member's axes."""
        return {}

    def cuts(self, piece: Piece) -> dict[str, tuple[Box, ...]]:
        """Timber taken out of each member, in that member's axes."""
        return {}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        """What the joint adds to a member's cutting length, at its start and at its end."""
        return {}

    def findings(self, piece: Piece) -> list[Finding]:
        """Proportions and strength of this joint."""
        return []

    def operations(self, piece: Piece) -> list[Operation]:
        return []

    def setting_out(self, piece: Piece) -> dict[str, str]:
        """The figures marked on the rod, by name."""
        return {}

    def glued_area_mm2(self, piece: Piece) -> float:
        return 0.0

    def entry(self, piece: Piece) -> Vec | None:
        """Direction in which the first member moves to come out, in piece axes."""
        return None


@dataclass(frozen=True)
class Screws:
    """A row of screws through one member into another, with their holes."""

    family: str
    near: str
    far: str
    count: int
    diameter_mm: float
    length_mm: float
    note: str = ""


@dataclass(frozen=True)
class Piece:
    """Members, joints and fixings. Immutable; everything else is derived from it."""

    name: str
    form: str
    members: tuple[Member, ...]
    joints: tuple[Joint, ...] = ()
    fixings: tuple[Screws, ...] = ()
    findings: tuple[Finding, ...] = field(default=())
    """What the form itself found while laying the piece out."""
    overall_mm: Vec = (0.0, 0.0, 0.0)

    @cached_property
    def _hash(self) -> int:
        return hash((self.name, self.form, self.members, self.joints, self.fixings))

    def __hash__(self) -> int:
        """Kept, since a piece is the key that most derived things are cached under."""
        return self._hash

    @cached_property
    def by_ref(self) -> dict[str, Member]:
        return {m.ref: m for m in self.members}

    def member(self, ref: str) -> Member:
        try:
            return self.by_ref[ref]
        except KeyError:
            raise KeyError(
                f"No member {ref!r} in {self.name!r}. It has: {', '.join(self.by_ref)}."
            ) from None

    @cached_property
    def _worked(self) -> dict[str, Shape]:
        adds: dict[str, list[Box]] = {m.ref: [] for m in self.members}
        cuts: dict[str, list[Box]] = {m.ref: [] for m in self.members}
        for joint in self.joints:
            for ref, boxes in joint.adds(self).items():
                adds[ref] += boxes
            for ref, boxes in joint.cuts(self).items():
                cuts[ref] += boxes
        return {
            m.ref: Shape(
                profile=profile(m),
                length_mm=m.length_mm,
                adds=tuple(sorted(adds[m.ref], key=lambda b: (b.lo, b.hi))),
                cuts=tuple(sorted(cuts[m.ref], key=lambda b: (b.lo, b.hi))),
            )
            for m in self.members
        }

    def shape(self, ref: str) -> Shape:
        """The member's solid with every joint cut, in its own axes."""
        return self._worked[ref]

    @cached_property
    def _extra(self) -> dict[str, tuple[float, float]]:
        extra = {m.ref: (0.0, 0.0) for m in self.members}
        for joint in self.joints:
            for ref, (start, end) in joint.extra_length_mm(self).items():
                s, e = extra[ref]
                extra[ref] = (max(s, start), max(e, end))
        return extra

    def tenons_mm(self, ref: str) -> tuple[float, float]:
        """What tenons add to a member at its start and at its end. [mm]"""
        return self._extra[ref]

    def overall_length_mm(self, ref: str) -> float:
        """Length to cut: shoulder to shoulder plus the tenons at both ends."""
        start, end = self._extra[ref]
        return self.member(ref).length_mm + start + end

    def with_members(self, members) -> Piece:
        return replace(self, members=tuple(members))


def profile(member: Member) -> tuple[tuple[float, float], ...]:
    """Corners (y, z) of the member's cross-section, its four long arrises taken off."""
    w, t, a = member.width_mm, member.thickness_mm, member.arris_mm
    if a <= 0:
        return ((0.0, 0.0), (w, 0.0), (w, t), (0.0, t))
    return (
        (a, 0.0), (w - a, 0.0), (w, a), (w, t - a),
        (w - a, t), (a, t), (0.0, t - a), (0.0, a),
    )
