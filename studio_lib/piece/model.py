"""Member, joint, fixing, piece: the one model that every view, list and paper reads.

Axes of a piece: x along its length, y across, z up, floor at z = 0, the origin
under the middle of the piece. Axes of a member: x along the grain, y across its
width, z through its thickness, the origin at one corner. All lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from math import floor
from typing import ClassVar, Protocol

from studio_lib.finding import Finding
from studio_lib.piece import outline as outlines
from studio_lib.piece.holding import Holds, Strengths, screws_hold
from studio_lib.piece.outline import Outline

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
    def bounds(self) -> Box:
        return self

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
        o, (x, y, z), a, b, c = self.origin, p, self.along, self.across, self.through
        return (
            o[0] + x * a[0] + y * b[0] + z * c[0],
            o[1] + x * a[1] + y * b[1] + z * c[1],
            o[2] + x * a[2] + y * b[2] + z * c[2],
        )

    def to_member(self, p: Vec) -> Vec:
        d = _sub(p, self.origin)
        return (_dot(d, self.along), _dot(d, self.across), _dot(d, self.through))

    def box_to_piece(self, box: Box) -> Box:
        """The least block square to the piece that holds a block of the member."""
        return _turned(box.lo, box.hi, zip(self.along, self.across, self.through), self.origin)

    def box_to_member(self, box: Box) -> Box:
        """The least block square to the member that holds a block of the piece."""
        return _turned(_sub(box.lo, self.origin), _sub(box.hi, self.origin), (self.along, self.across, self.through), (0.0, 0.0, 0.0))

    def turn(self, v: Vec) -> Vec:
        """A direction of the member, in piece axes."""
        return _add(_add(_scale(self.along, v[0]), _scale(self.across, v[1])), _scale(self.through, v[2]))

    def turn_back(self, v: Vec) -> Vec:
        """A direction of the piece, in member axes."""
        return (_dot(v, self.along), _dot(v, self.across), _dot(v, self.through))

    def placed(self, inner: Placement) -> Placement:
        """A frame given in this member's axes, in piece axes."""
        return Placement(self.to_piece(inner.origin), self.turn(inner.along), self.turn(inner.across))

    def seen(self, outer: Placement) -> Placement:
        """A frame given in piece axes, in this member's axes."""
        return Placement(self.to_member(outer.origin), self.turn_back(outer.along), self.turn_back(outer.across))

    @cached_property
    def square(self) -> bool:
        """Whether its directions lie along the axes they are given in."""
        return _lies_square(self.along, self.across)

    def to_piece_block(self, block: Block) -> Block:
        """A block of this member, in piece axes; stays a box where the member is square to them."""
        if isinstance(block, Box) and self.square:
            return self.box_to_piece(block)
        prism = as_prism(block)
        return Prism(prism.outline, self.placed(prism.at), prism.depth_mm, prism.few)

    def to_member_block(self, block: Block) -> Block:
        """A block of the piece, in this member's axes."""
        if isinstance(block, Box) and self.square:
            return self.box_to_member(block)
        prism = as_prism(block)
        return Prism(prism.outline, self.seen(prism.at), prism.depth_mm, prism.few)


@lru_cache(maxsize=1024)
def _lies_square(along: Vec, across: Vec) -> bool:
    """Few directions there are, and many blocks."""
    return all(abs(abs(c) - 1) < 1e-9 or abs(c) < 1e-9 for c in (*along, *across))


@dataclass(frozen=True)
class Prism:
    """An outline drawn straight out: a tapered socket, a round hole, a wedge, a slanted shoulder."""

    outline: Outline
    """Corners in the frame's along and across; see ``studio_lib.piece.outline``."""
    at: Placement
    """Where the outline lies; it is drawn out along the frame's through."""
    depth_mm: float
    few: bool = False
    """Whether a mesh makes its round sides of few facets: holes for the heads of screws, which are many and small."""

    @cached_property
    def bounds(self) -> Box:
        """The least square block that holds it."""
        if self.at.square:
            u0, v0, u1, v1 = outlines.bounds(self.outline)
            return self.at.box_to_piece(Box((u0, v0, min(0.0, self.depth_mm)), (u1, v1, max(0.0, self.depth_mm))))
        return _span(self.at.to_piece((*p[:2], w)) for p in outlines.flat(self.outline, self.few) for w in (0.0, self.depth_mm))

    @property
    def volume_mm3(self) -> float:
        return abs(outlines.area_mm2(self.outline)) * self.depth_mm

    @property
    def centre(self) -> Vec:
        return self.bounds.centre


Block = Box | Prism


def as_prism(block: Block) -> Prism:
    """The same block as an outline drawn out along its own z."""
    if isinstance(block, Prism):
        return block
    (x0, y0, z0), (x1, y1, z1) = block.lo, block.hi
    at = Placement((0.0, 0.0, z0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    return Prism(outlines.rectangle(x0, y0, x1, y1), at, z1 - z0)


def carried(block: Block, source: Placement, target: Placement) -> Block:
    """A block given in one member's axes, in another's; a box stays one where the two are square to each other."""
    relative = target.seen(source)
    return relative.to_piece_block(block)


def hole(at: Vec, way: Vec, diameter_mm: float, depth_mm: float, few: bool = False) -> Prism:
    """A round hole from a point, drilled along ``way`` (a unit vector)."""
    return Prism(outlines.circle(0.0, 0.0, diameter_mm), Placement(at, *_square_to(way)), depth_mm, few)


@lru_cache(maxsize=1024)
def _square_to(way: Vec) -> tuple[Vec, Vec]:
    """Two directions square to a way and to each other, that go round it by the right hand."""
    side = (0.0, 0.0, 1.0) if abs(way[2]) < 0.9 else (1.0, 0.0, 0.0)
    along = _unit(_cross(side, way))
    return along, _cross(way, along)


def _unit(v: Vec) -> Vec:
    length = _dot(v, v) ** 0.5
    return _scale(v, 1 / length)


def _turned(lo: Vec, hi: Vec, rows, start: Vec) -> Box:
    """The least block that holds a turned block; each row gives one of its coordinates."""
    (x0, y0, z0), (x1, y1, z1) = lo, hi
    least, most = [], []
    for (a, b, c), o in zip(rows, start):
        ax, bx = (x0 * a, x1 * a) if a >= 0 else (x1 * a, x0 * a)
        ay, by = (y0 * b, y1 * b) if b >= 0 else (y1 * b, y0 * b)
        az, bz = (z0 * c, z1 * c) if c >= 0 else (z1 * c, z0 * c)
        least.append(o + ax + ay + az)
        most.append(o + bx + by + bz)
    return Box(tuple(least), tuple(most))


def _span(points) -> Box:
    xs, ys, zs = zip(*points, strict=True)
    return Box((min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs)))


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
    shaping: tuple[Shaping, ...] = ()
    """What is worked on it beside its joints: tapers, bevels, end cuts, arches, holes."""
    hand: str = ""
    """'left' or 'right' for a member that has a mirrored twin."""
    boards: int = 1
    """Boards glued edge to edge into its width before anything else is done to it."""
    ready: bool = False
    """Bought glued up to more than its width and planed to its thickness."""

    @cached_property
    def _hash(self) -> int:
        return hash((self.ref, self.name, self.role, self.length_mm, self.width_mm, self.thickness_mm, self.placement, self.shaping))

    def __hash__(self) -> int:
        """Kept, since what two members do to each other is kept under both."""
        return self._hash

    @cached_property
    def box(self) -> Box:
        """The member's own block, in its own axes."""
        return Box((0.0, 0.0, 0.0), (self.length_mm, self.width_mm, self.thickness_mm))

    @cached_property
    def piece_box(self) -> Box:
        """The block it fills in the piece (members square to the axes)."""
        return self.placement.box_to_piece(self.box)


@dataclass(frozen=True)
class Shape:
    """A member's solid in its own axes, in the order in which it is made.

    A profile drawn out along x; only what lies within the outlines is kept; then what
    shaping takes off; then the tenons; then what joints take out. Two builders read it
    (a mesh kernel and an exact one); it is also the key both keep their work under, so
    equal members are built once.
    """

    profile: Outline
    """Corners (y, z), counter-clockwise seen from the far end."""
    length_mm: float
    adds: tuple[Block, ...] = ()
    cuts: tuple[Block, ...] = ()
    within: tuple[Prism, ...] = ()
    shaped: tuple[Block, ...] = ()

    @cached_property
    def _hash(self) -> int:
        return hash((self.profile, self.length_mm, self.adds, self.cuts, self.within, self.shaped))

    def __hash__(self) -> int:
        return self._hash


@dataclass(frozen=True)
class Shaping:
    """One thing worked on a member beside its joints. A kind is one class in ``shaping``."""

    kind: ClassVar[str] = ""
    changeable: ClassVar[dict[str, str]] = {}
    """Figures the maker may set, by name, with the words for each."""

    def profile(self, member: Member, corners: Outline) -> Outline:
        """The cross-section once this is worked along its whole length."""
        return corners

    def within(self, member: Member) -> tuple[Prism, ...]:
        """Outlines that the member keeps inside."""
        return ()

    def cuts(self, member: Member) -> tuple[Block, ...]:
        """What is taken off, in the member's axes."""
        return ()

    def operations(self, member: Member) -> list[Operation]:
        return []

    def setting_out(self, member: Member) -> dict[str, str]:
        """The figures to mark or to set on the saw, by name."""
        return {}


@dataclass(frozen=True)
class Part:
    """Something small that is not a member of timber cut to a list: a dowel, a wedge, a bolt, a cable."""

    name: str
    material: str
    """A metal or a timber."""
    block: Block
    """Its shape, in piece axes."""
    seen: bool = True
    """Drawn in pictures of the finished piece."""
    on: str = ""
    """Reference of the member it is fixed to and moves with; empty for the joint's first."""


@dataclass(frozen=True)
class Hardware:
    """Something counted and bought: 'wood screw, brass or bronze, 5 x 45 mm'."""

    name: str
    count: float
    unit: str = "piece"


@dataclass(frozen=True)
class Metal:
    """One thing of metal in a finished piece: where it comes to the surface, and which way it faces there."""

    what: str
    """'screw head', 'hinge', 'lid stay'."""
    at: Vec
    """A point just outside the surface, in piece axes."""
    way: Vec
    """The way that surface faces, in piece axes."""
    covered: bool = False
    """Closed with timber, or let in between two faces."""
    known: bool = True
    """Whether the piece says where it sits; else its place is assumed."""
    count: int = 1
    """0 for a further spot of something that is counted at another."""


@dataclass(frozen=True)
class Operation:
    """Something the maker does, counted from the model: '24 joints: mortise and tenon'."""

    name: str
    count: float
    unit: str
    batch: str = ""
    """Equal batches share one set-up."""


class Season(Protocol):
    """How the timber of this commission moves over the year in its place."""

    def swing(self, member: Member, size_mm: float, across: str = "width"):
        """``studio_lib.timber.provisions.Swing`` of a size of the member across the grain."""
        ...


@dataclass(frozen=True)
class Joint:
    """Where two members meet. A kind of joint is one file that fills these in."""

    kind: ClassVar[str] = ""
    changeable: ClassVar[dict[str, str]] = {}
    """Sizes the maker may set, by name, with the words for each."""
    dry: ClassVar[bool] = False
    """Driven, bolted, hung or strung, not glued: it goes on last and can come off again."""
    by_glue_alone: ClassVar[bool] = False
    """Nothing but glue keeps it together, and it cannot be pegged or wedged: not for out of doors."""
    unglued: ClassVar[bool] = False
    """Goes together with what is glued round it, and takes no glue itself: a panel in its groove."""
    turns: ClassVar[bool] = False
    """Holds the members together, and hardly against turning."""
    widens: ClassVar[bool] = False
    """Makes one wider board of several, before any other joint is cut in it."""
    lets: ClassVar[str] = ""
    """What it is made to let its members do: 'turn' on a pin, or 'come apart' again and again; '' where it holds them."""
    lies: ClassVar[str] = "point"
    """Where it holds: at a 'point', along a whole 'edge', or as a 'row' of ``count`` fixings."""
    family: str
    """Joints alike in one piece, changed together: 'long apron into leg'."""
    first: str
    """Reference of the member that enters (tenoned, upper)."""
    second: str
    """Reference of the member that receives (mortised, lower)."""

    @property
    def holding_open(self) -> int:
        """Stays that hold open what turns on it."""
        return 0

    @property
    def mitred(self) -> bool:
        """Whether its mortise may meet a neighbour's on purpose, the tenons mitred to each other."""
        return False

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Joint:
        """This kind of joint where the two members meet, by rule of the trade, the maker's figures on top.

        Raises ValueError, in words for the maker, where the members do not stand so that
        this joint can be made, or for a figure that no timber could hold.
        """
        raise NotImplementedError

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        """Timber beyond a member's length (tenons), in that member's axes."""
        return {}

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        """Timber taken out of each member, in that member's axes."""
        return {}

    def named_parts(self, piece: Piece, ref: str, adds: bool) -> tuple[str, ...]:
        """What the blocks that it adds to a member (else those it takes out of it) are called on a drawing, in their order; its kind
        where nothing is said."""
        return ()

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

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        """What the cutting list says of each member's ends: {ref: {'start': 'tenon 40'}}."""
        return {}

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        """Whether the joint lets the timber move from its driest to its wettest."""
        return []

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        """Dowels, wedges, bolts: drawn, and not on the cutting list."""
        return ()

    def seen_parts(self, piece: Piece) -> tuple[Part, ...]:
        """Those of its parts that are seen in the finished piece."""
        return tuple(p for p in self.parts(piece) if p.seen)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        """What is bought for it."""
        return ()

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        """What there is of metal in it, where each comes to the surface; () for a joint of timber and glue alone."""
        return ()

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        """What it takes in each way, at design values of the two members' timber; None where nothing can be said."""
        return None

    def stiff_shares(self, piece: Piece) -> tuple[float, float, float]:
        """How stiff it is against twisting and against bending flat beside bending in its plane (1); judgements of ours."""
        return 1.0, 1.0, 1.0

    def glued_area_mm2(self, piece: Piece) -> float:
        return 0.0

    def entry(self, piece: Piece) -> Vec | None:
        """Direction in which the first member goes into the second, in piece axes."""
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
    row: Joint | None = None
    """Their places and holes as a joint that works both members; None where they are only counted."""

    def holds(self, piece: Piece, near: Strengths, far: Strengths) -> Holds | None:
        """What the row holds, at design values of the two members' timber."""
        a, b = piece.member(self.near).piece_box, piece.member(self.far).piece_box
        gaps = [max(a.lo[k], b.lo[k]) - min(a.hi[k], b.hi[k]) for k in range(3)]
        axis = max(range(3), key=lambda k: gaps[k])
        sign = 1.0 if a.centre[axis] > b.centre[axis] else -1.0
        out = tuple(sign * float(k == axis) for k in range(3))
        long = min((k for k in range(3) if k != axis), key=lambda k: gaps[k])
        # Through a deep member the head is set in: the thread takes what it may of the far one.
        thread = min(max(self.length_mm - a.size[axis], self.length_mm / 2), 0.7 * b.size[axis])
        return screws_hold(
            out, tuple(float(k == long) for k in range(3)), near, far, self.count, self.diameter_mm, self.length_mm - thread, thread, end_grain=abs(piece.member(self.far).placement.turn_back(out)[0]) > 0.7,
        )


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
    metal: str = "stainless steel"
    """Of its screws, bolts and plates, of ``studio_lib.finishing.METALS``."""
    held_on: tuple[Part, ...] = ()
    """What it is clamped to or stands between, in piece axes: seen in pictures, made by others and on no list."""
    drawn_out_mm: float = 0.0
    """How far it is drawn to the front, out from between walls, before it is shown taken apart."""

    @cached_property
    def _hash(self) -> int:
        return hash((self.name, self.form, self.members, self.joints, self.fixings))

    def __hash__(self) -> int:
        """Kept, since a piece is the key that most derived things are cached under."""
        return self._hash

    @property
    def hinge_metal(self) -> str:
        """Of its hinges: butt hinges of furniture are of brass where the screws are of plain steel; common practice, no source."""
        return self.metal if self.metal.startswith(("stainless", "brass")) else "brass or bronze"

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
    def worked_by(self) -> tuple[Joint, ...]:
        """All that works timber where members meet: the joints, then the rows of screws that have their places."""
        return (*self.joints, *(f.row for f in self.fixings if f.row is not None))

    @cached_property
    def uncut(self) -> dict[Joint, str]:
        """Joints that could not be worked out, each with the reason; their members stay plain there."""
        self._by_joint  # noqa: B018 - fills it in
        return self._failed

    @cached_property
    def _failed(self) -> dict[Joint, str]:
        return {}

    @cached_property
    def _by_joint(self) -> dict[Joint, tuple[dict, dict]]:
        """What each joint adds and takes away; nothing where it fails, so that the rest still stands."""
        out = {}
        for joint in self.worked_by:
            try:
                out[joint] = (joint.adds(self), joint.cuts(self))
            except Exception as error:  # noqa: BLE001 - one joint must not take the piece with it
                self._failed[joint] = str(error.args[0]) if error.args else type(error).__name__
                out[joint] = ({}, {})
        return out

    def without(self, refs: set[str]) -> Piece:
        """The piece without some members and what joins them to others; what was worked on the others stays worked."""
        rest = replace(
            self, members=tuple(m for m in self.members if m.ref not in refs),
            joints=tuple(j for j in self.joints if refs.isdisjoint((j.first, j.second))),
            fixings=tuple(s for s in self.fixings if refs.isdisjoint((s.near, s.far))),
        )
        left = set(rest.worked_by)
        rest.__dict__["_by_joint"] = {j: worked for j, worked in self._by_joint.items() if j in left}
        rest.__dict__["_failed"] = {j: why for j, why in self.uncut.items() if j in left}
        rest.__dict__["_worked"] = {r: shape for r, shape in self._worked.items() if r not in refs}
        return rest

    def cuts_of(self, joint: Joint) -> dict[str, tuple[Block, ...]]:
        """Timber a joint takes out of each member; nothing where it could not be worked out (see ``uncut``)."""
        return self._by_joint[joint][1]

    @cached_property
    def _worked(self) -> dict[str, Shape]:
        adds: dict[str, list[Block]] = {m.ref: [] for m in self.members}
        cuts: dict[str, list[Block]] = {m.ref: [] for m in self.members}
        for joint in self.worked_by:
            added, cut = self._by_joint[joint]
            for ref, blocks in added.items():
                adds[ref] += blocks
            for ref, blocks in cut.items():
                cuts[ref] += blocks
        return {
            m.ref: Shape(
                profile=profile(m),
                length_mm=round(m.length_mm, 7),  # as blocks are, or a tenon would stand off its end by the last digit
                adds=_settled(adds[m.ref]),
                cuts=_settled(cuts[m.ref]),
                within=_settled(p for s in m.shaping for p in s.within(m)),
                shaped=_settled(c for s in m.shaping for c in s.cuts(m)),
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

    @cached_property
    def _ends(self) -> dict[str, dict[str, str]]:
        out: dict[str, dict[str, str]] = {}
        for joint in self.joints:
            for ref, ends in joint.ends(self).items():
                for end, words in ends.items():
                    said = out.setdefault(ref, {})
                    said[end] = f"{said[end]}, {words}" if end in said and words not in said[end] else words
        return out

    def ends(self, ref: str) -> dict[str, str]:
        """What is worked on a member's ends, in words: {'start': 'tenon 40'}."""
        return self._ends.get(ref, {})

    def tenons_mm(self, ref: str) -> tuple[float, float]:
        """What tenons add to a member at its start and at its end. [mm]"""
        return self._extra[ref]

    def overall_length_mm(self, ref: str) -> float:
        """Length to cut: shoulder to shoulder plus the tenons at both ends."""
        start, end = self._extra[ref]
        return self.member(ref).length_mm + start + end

    def with_members(self, members) -> Piece:
        return replace(self, members=tuple(members))


def profile(member: Member) -> Outline:
    """Corners (y, z) of the member's cross-section: bevels and round-overs, then the arrises left."""
    w, t, a = member.width_mm, member.thickness_mm, member.arris_mm
    corners: Outline = ((0.0, 0.0), (w, 0.0), (w, t), (0.0, t))
    for shaping in member.shaping:
        corners = shaping.profile(member, corners)
    if a <= 0:
        return corners
    out = []
    for i, corner in enumerate(corners):
        y, z = corner[:2]
        if (y, z) not in ((0.0, 0.0), (w, 0.0), (w, t), (0.0, t)):
            out.append(corner)
            continue
        before, after = corners[i - 1], corners[(i + 1) % len(corners)]
        out += [_towards((y, z), before, a), _towards((y, z), after, a)]
    return tuple(out)


def _towards(corner, other, step: float) -> tuple[float, float]:
    du, dv = other[0] - corner[0], other[1] - corner[1]
    length = (du * du + dv * dv) ** 0.5
    return (corner[0] + du / length * step, corner[1] + dv / length * step)


def _settled(blocks) -> tuple[Block, ...]:
    """Blocks in one order and free of the last digits' noise, so that equal members are equal."""
    return tuple(sorted(map(_rounded, blocks), key=_in_order))


def _in_order(block: Block):
    """What blocks are sorted by: where they are, then all that tells one from another."""
    if isinstance(block, Box):
        return block.lo, block.hi, ()
    return block.at.origin, block.at.along, (block.depth_mm, block.at.across, block.outline)


def _rounded(block: Block) -> Block:
    if isinstance(block, Box):
        return Box(_coarse(block.lo), _coarse(block.hi))
    at = Placement(_coarse(block.at.origin), _fine(block.at.along), _fine(block.at.across))
    return Prism(_rounded_outline(block.outline), at, round(block.depth_mm, 7), block.few)


@lru_cache(maxsize=4096)
def _rounded_outline(outline: Outline) -> Outline:
    return tuple(tuple([round(c, 7) + 0.0 for c in corner]) for corner in outline)


def _coarse(v: Vec) -> Vec:
    # To the seventh decimal, as round() has it, in a third of its time.
    x, y, z = v
    return floor(x * 1e7 + 0.5) / 1e7, floor(y * 1e7 + 0.5) / 1e7, floor(z * 1e7 + 0.5) / 1e7


@lru_cache(maxsize=4096)
def _fine(v: Vec) -> Vec:
    return tuple([round(c, 12) + 0.0 for c in v])
