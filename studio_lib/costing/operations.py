"""What will really be done, counted from the model, and the time it usually takes."""

from __future__ import annotations

import csv
from collections import Counter
from dataclasses import dataclass
from functools import cache, lru_cache
from math import log
from pathlib import Path

from studio_lib.piece import Piece
from studio_lib.piece.edge_joint import INTO_A_WIDTH
from studio_lib.piece.leaves import leaves
from studio_lib.piece.model import Joint, Operation
from studio_lib.piece.order import order_of_work, panels

GRITS = {"show": (80, 120, 180, 240), "plain": (80, 120, 180), "hidden": (80,)}
"""Grits that each rank of member is sanded through; common practice, no source."""
UNDER_PAINT = 120
"""Under paint nothing is sanded finer than this, which gives it a key; common practice, no source."""
COATS = {
    "left bare": 0, "oil": 3, "hard-wax oil": 2, "soap": 3, "wax": 2, "water-borne lacquer": 3, "varnish": 3, "shellac": 5, "stain": 2, "paint": 3,
}
ANGLED_SHOULDERS, ANGLED_END = "angled shoulders", "cut an end to an angle"
DRAWING = "drawing and meetings"
"""Time at the drawing board and with the client: the maker's own figure or counted, and no row of the table."""
DRAWING_SD = 0.30
"""Spread of ln(actual / reckoned) of drawing and meetings where there is no record; judgement of ours."""
LARGE_BATCH = 4
"""Of a batch up to this size each takes the unit time; from there on the learning curve counts; judgement of ours."""
LEAST_SHARE = 0.70
"""No unit of a batch takes less than this of the unit time: a professional estimator's rule, 30 % at the most."""
EACH_ITSELF, FURTHER_ONES = 4, 1 / 3
"""Of joints alike into one member so many take their whole time of marking, trying and cleaning, the others a third; judgement of ours."""
MANY_ALIKE = 8
"""So many members of one section have their arrises taken off in one run; judgement of ours."""
SET_AGAIN = 0.5
"""Of a set-up that an earlier piece of the same job needed too, so much is left: the same cutter, another stop; judgement of ours."""
TENONS = frozenset({"mortise and tenon", "small mortise and tenon", "haunched mortise and tenon", "through mortise and tenon", "double mortise and tenon"})
"""Cut on the same machines, whichever is set up first."""
WHOLE_STAGE_JOINTS, LEAST_STAGE = 6, 0.4
"""Glueing up a stage takes its whole time from so many joints on, of fewer their part but never less than this; judgement of ours."""
SHORT_M, LONG_M = 0.5, 2.0
"""What is planed, or carried to its place, takes the unit time a metre of its length; shorter than the one it is still picked up and put
down, over the other it goes no slower. Judgement of ours. [m]"""
A_MEETING, A_PIECE, A_MEMBER, A_FAMILY = 0.75, 0.5, 0.04, 0.1
"""Hours of a meeting, of settling a piece, of each member that differs, of each family of joints; judgement of ours. [h]"""
OLD_BOARDS = "draw nails and brush old boards"
"""What timber that served before asks for, a board, before any blade touches it."""
FIX_TO_WALL = "fix it to the wall on site"
"""What a piece that is fixed to the wall asks for, each."""
FIX_SCREEN = "fix a screen where it stands"
"""What each shoe, bracket or angle of a screen that is held asks for."""
BED_SLABS, SCREW_PLATES = "bed a slab under a foot", "screw a plate under a foot"
"""What feet on gravel or grass ask for, each."""
FILLED = "fill screw heads under paint"
"""What screws ask for that are not to be seen in a painted piece, a head."""
FITTED = "scribe and fit to walls on site"
"""What a piece asks for that is fitted into a place, a strip scribed."""
WITH_ANY_JOB = ("buying", "delivery")
"""Stages that come with a job however small it is; drawing and meetings go with them."""
COUNTED = frozenset(
    "piece joint hole face end corner cut-out notch tenon peg wedge button screw dowel tail hinge slot bolt "
    "crossing cable stay drawer leaf panel head".split()
)
"""Units that are things alike, which go quicker in a large batch; metres and square metres do not."""


@dataclass(frozen=True)
class StandardTime:
    """Usual time of one operation: set-up once a batch, then so much for each. [min]"""

    operation: str
    stage: str
    set_up_min: float
    unit_min: float
    unit: str
    log_sd: float
    """Spread of ln(actual / standard) where the maker has no record."""
    source: str
    offered: str = ""
    """Why makers forget it; empty for work that is counted from the piece."""


@dataclass(frozen=True)
class Work:
    """One operation of this job."""

    time: StandardTime
    count: float
    batches: int
    item: str
    """Piece it belongs to, or '' for the whole job."""
    learning_rate: float = 1.0
    members: tuple[tuple[str, float], ...] = ()
    """Share of it in the members of each role, adding to 1; empty where it belongs to none."""
    set_before: bool = False
    """An earlier piece of the job, or an earlier kind of tenon, had the machines set up already."""
    share: float = 1.0
    """Part of it that this job pays for."""

    @property
    def reckoned(self) -> float:
        """Count of unit times it takes: less than the count in a large batch. See ``batch_units``."""
        if self.time.unit not in COUNTED or self.learning_rate >= 1:
            return self.count
        return self.batches * batch_units(self.count / self.batches, self.learning_rate)

    @property
    def set_up_alone_hours(self) -> float:
        """Setting up, if nothing of the job had been set up before. [h]"""
        return self.share * self.time.set_up_min * self.batches / 60

    @property
    def set_up_hours(self) -> float:
        """Setting up, as it falls on this piece at the bench. [h]"""
        return self.set_up_alone_hours * (SET_AGAIN if self.set_before else 1.0)

    @property
    def set_up_for(self) -> str:
        """What the machines are set up for: kinds of tenon share it, others have their own."""
        return "tenons" if self.time.operation in TENONS else self.time.operation

    @property
    def standard_hours(self) -> float:
        return self.set_up_hours + self.share * self.time.unit_min * self.reckoned / 60


def unit_time_share(n: float, rate: float) -> float:
    """Time of the n-th of a run over that of the first: n ** (log rate / log 2), Crawford's unit form.

    Raises ValueError for a rate outside 0.5 to 1, or a number under 1.
    """
    if not 0.5 <= rate <= 1:
        raise ValueError(f"The learning rate is {rate:g}; give 0.5 to 1, where 0.8 saves a fifth at each doubling.")
    if n < 1:
        raise ValueError(f"Number {n:g} of a run; give 1 or more.")
    return n ** (log(rate) / log(2))


@lru_cache(maxsize=4096)
def batch_units(n: float, rate: float) -> float:
    """Unit times that a batch of ``n`` alike takes: each its own up to ``LARGE_BATCH``, then the curve, never
    under ``LEAST_SHARE`` each."""
    whole, rest = int(n), n - int(n)
    shares = [max(unit_time_share(max(k / LARGE_BATCH, 1.0), rate), LEAST_SHARE) for k in range(1, whole + 2)]
    return sum(shares[:whole]) + rest * shares[whole]


@cache
def standard_times() -> dict[str, StandardTime]:
    """The starting table, by operation; replaced by the maker's own records as they come."""
    path = Path(__file__).with_name("operations.csv")
    with path.open(newline="") as file:
        return {
            r["operation"]: StandardTime(
                r["operation"],
                r["stage"],
                float(r["set_up_min"]),
                float(r["unit_min"]),
                r["unit"],
                float(r["log_sd"]),
                r["source"],
                r["offered"] or "",
            )
            for r in csv.DictReader(file)
        }


def forgotten() -> tuple[StandardTime, ...]:
    """Work that makers leave out of a costing, offered beside every price."""
    return tuple(t for t in standard_times().values() if t.offered)


@lru_cache(maxsize=64)
def _faces(piece: Piece) -> dict[str, float]:
    """Surface of each member less what joints hide of it, by reference. [m2]"""
    left = {}
    for m in piece.members:
        l, w, t = m.length_mm, m.width_mm, m.thickness_mm
        left[m.ref] = 2 * (l * w + l * t + w * t)
    for j in piece.joints:
        hidden = _hidden_mm2(piece.member(j.first), piece.member(j.second))
        for ref in (j.first, j.second):
            left[ref] = max(left[ref] - hidden / 2, 0.0)
    return {ref: a * 1e-6 for ref, a in left.items()}


def _hidden_mm2(one, two) -> float:
    """Surface of two members that lies inside or against the other: that of the block they share. [mm2]

    What of A's surface lies in B and of B's in A is together the surface of what both fill; where they only touch,
    the face they share, twice. Members that stand slanted are taken by their blocks and hide no more than the
    smaller end grain.
    """
    a, b = one.piece_box, two.piece_box
    d = [min(a.hi[i], b.hi[i]) - max(a.lo[i], b.lo[i]) for i in range(3)]
    if min(d) < -1.0:
        return 0.0
    x, y, z = (max(v, 0.0) for v in d)
    shared = 2 * (x * y + y * z + z * x)
    if one.placement.square and two.placement.square:
        return shared
    return min(shared, 2 * min(m.width_mm * m.thickness_mm for m in (one, two)))


def surface_m2(piece: Piece) -> float:
    """All faces that are sanded and finished: every member less what its joints hide. [m2]"""
    return sum(_faces(piece).values())


def grits(rank: str, finish: str = "") -> tuple[int, ...]:
    """The grits that a member of a rank is sanded through under a finish."""
    return tuple(g for g in GRITS[rank] if finish != "paint" or g <= UNDER_PAINT)


def sanding_m2(piece: Piece, finish: str = "") -> dict[int, float]:
    """Area that is sanded with each grit: a member that does not show is left earlier. [m2]"""
    faces, by_grit = _faces(piece), {}
    for m in piece.members:
        for grit in grits(m.rank, finish):
            by_grit[grit] = by_grit.get(grit, 0.0) + faces[m.ref]
    return dict(sorted(by_grit.items()))


def design_hours(items, meetings: int) -> float:
    """Settling sizes, looking the drawings over, and meetings, counted: each piece, each different member and kind of joint, each meeting. [h]

    The workbook draws, so a small piece takes little. Starting values, judgement of ours: ``A_MEETING`` and those beside it. Boards
    glued to a panel are drawn as one.
    """
    hours = A_MEETING * meetings
    for piece, _ in items:
        of = panels(piece)
        members = {
            of[m.ref] if len(of[m.ref]) > 1 else (m.name, m.width_mm, m.thickness_mm, round(m.length_mm, 1)) for m in piece.members
        }
        hours += A_PIECE + A_MEMBER * len(members) + A_FAMILY * len({j.family for j in piece.joints})
    return round(hours, 2)


def glue_stages(piece: Piece) -> int:
    """How many nights glue must cure, as the joints let the piece go together; sub-assemblies share a night."""
    return order_of_work(piece).glue_nights


def is_fitted(joint) -> bool:
    """Whether a joint is tried dry; buttons, screws, bolts and hinges are not, their own operation is all; nor is an edge shot to
    make a panel, which its glue-up closes."""
    return not (joint.dry or joint.widens)


def is_cleaned(joint) -> bool:
    """Whether glue is cleaned off it: a panel loose in its groove has none."""
    return is_fitted(joint) and not joint.unglued


def is_marked_out(joint) -> bool:
    """Whether a joint is set out from the rod; the places of a row of fixings, and edges, go with their own operation."""
    return not (joint.dry and joint.lies == "row" or joint.widens)


@lru_cache(maxsize=64)
def shares(piece: Piece) -> dict[Joint, float]:
    """Part of one joint, as a maker counts them, that each joint of the piece is.

    Panels are glued up first, so a corner of two panels is one row of dovetails, and one groove takes all the boards that lie
    in it; every other joint counts for itself.
    """
    of = panels(piece)

    def row(j: Joint):
        one, two = of[j.first], of[j.second]
        if j.unglued:
            return j.kind, j.family, two
        if j.lies == "edge" and len(one) + len(two) > 2:
            return j.kind, j.family, frozenset((one, two))
        return j

    rows = [row(j) for j in piece.joints]
    many = Counter(rows)
    # Slats into one rail: a stick marks them, a few are tried, one wipe cleans along them.
    comb = Counter((j.family, j.second) for j in piece.joints if j.lies == "point" and not j.unglued)
    return {j: 1 / many[r] * _in_a_comb(comb[j.family, j.second]) for j, r in zip(piece.joints, rows)}


def _in_a_comb(n: int) -> float:
    """Part of a joint's own marking, trying and cleaning that each of ``n`` alike into one member takes."""
    return 1.0 if n <= EACH_ITSELF else (EACH_ITSELF + (n - EACH_ITSELF) * FURTHER_ONES) / n


def _metres(length_mm: float) -> float:
    """Length that handling goes by: never under ``SHORT_M`` nor over ``LONG_M``. [m]"""
    return min(max(length_mm / 1000, SHORT_M), LONG_M)


def count_work(items, boards_used: int, finish: str, learning_rate: float = 1.0, extra=(), with_any_job: float = 1.0) -> tuple[Work, ...]:
    """Every operation of a commission.

    ``items`` is [(piece, how many)]; ``learning_rate`` as ``unit_time_share``; ``extra`` is [(operation, count)] of
    ``forgotten``, taken in by the maker; ``with_any_job`` the share that this job pays for of fetching boards, packing and papers.
    """
    out: list[Work] = []
    add = _adding(out, learning_rate, with_any_job)
    add("choose and fetch boards", boards_used, "")
    out += _of_pieces(tuple(items), finish, learning_rate, with_any_job)
    add("pack load and set in place", sum(n * _metres(max(piece.overall_mm)) for piece, n in items), "")
    add("photographs care sheet paperwork", 1, "")
    for operation, count in extra:
        add(operation, count, "")
    return tuple(out)


def _adding(out: list[Work], learning_rate: float, with_any_job: float):
    """What puts an operation on a list of work, with its shares and whether the like of it was set up before."""
    times = standard_times()

    def add(operation: str, count: float, item: str, batches: int = 1, members=None):
        if count > 0:
            total = sum((members or {}).values())
            shares = tuple((name, v / total) for name, v in members.items()) if total else ()
            before = any(
                w.time.operation == operation and w.item != item or w.time.operation != operation and {w.time.operation, operation} <= TENONS
                for w in out if w.item
            )
            paid = with_any_job if times[operation].stage in WITH_ANY_JOB and not times[operation].offered else 1.0
            out.append(Work(times[operation], count, batches, item, learning_rate, shares, before, paid))

    return add


@lru_cache(maxsize=8)
def _of_pieces(items, finish: str, learning_rate: float, with_any_job: float) -> tuple[Work, ...]:
    """Operations of the pieces themselves: the same whatever boards they come out of."""
    out: list[Work] = []
    add = _adding(out, learning_rate, with_any_job)
    for piece, n in items:
        boards: dict[str, float] = {}
        planed: dict[str, float] = {}
        metres: dict[str, float] = {}
        run: dict[str, float] = {}
        alike = Counter((m.width_mm, m.thickness_mm, m.role) for m in piece.members)
        sanded: dict[str, float] = {}
        area: dict[str, float] = {}
        marked: dict[str, float] = {}
        fitted: dict[str, float] = {}
        cleaned: dict[str, float] = {}
        part = shares(piece)
        faces, names = _faces(piece), {m.ref: m.role for m in piece.members}
        for m in piece.members:
            boards[m.role] = boards.get(m.role, 0.0) + m.boards
            if not m.ready:
                planed[m.role] = planed.get(m.role, 0.0) + m.boards * _metres(m.length_mm)
            some = run if alike[m.width_mm, m.thickness_mm, m.role] >= MANY_ALIKE else metres
            some[m.role] = some.get(m.role, 0.0) + (4 * m.length_mm / 1000 if m.arris_mm else 0.0)
            area[m.role] = area.get(m.role, 0.0) + faces[m.ref]
            sanded[m.role] = sanded.get(m.role, 0.0) + faces[m.ref] * len(grits(m.rank, finish))
        kinds: dict[str, tuple[list, dict[str, float]]] = {}

        angled: Counter[str] = Counter()

        def take(op: Operation, refs):
            ops, of = kinds.setdefault(op.name, ([], {}))
            ops.append(op)
            for ref in refs:
                of[names[ref]] = of.get(names[ref], 0.0) + op.count / len(refs)

        for joint in piece.joints:
            half = part[joint] / 2
            for counted, wanted in ((marked, is_marked_out), (fitted, is_fitted), (cleaned, is_cleaned)):
                if wanted(joint):
                    for name in (names[joint.first], names[joint.second]):
                        counted[name] = counted.get(name, 0.0) + half
            for op in joint.operations(piece):
                take(op, (joint.first, joint.second))
                angled[joint.first] += op.name == ANGLED_SHOULDERS
        for m in piece.members:
            if m.boards > 1:
                take(Operation("edge joint", (m.boards - 1) * m.length_mm / 1000, "m", INTO_A_WIDTH), (m.ref,))
            for shaping in m.shaping:
                for op in shaping.operations(m):
                    if op.name == ANGLED_END and angled[m.ref]:
                        angled[m.ref] -= 1  # cut with its shoulders
                    else:
                        take(op, (m.ref,))
        members = n * sum(boards.values())
        sections = len({(m.width_mm, m.thickness_mm) for m in piece.members if not m.ready})
        ripped = sum(_metres(m.length_mm) for m in piece.members if m.ready)
        lengths = len({round(piece.overall_length_mm(m.ref), 2) for m in piece.members})
        add("rough dock", members, piece.name, 1, boards)
        add("face and edge", n * sum(planed.values()), piece.name, 1, planed)
        add("thickness and rip to width", n * sum(planed.values()), piece.name, sections, planed)
        add("rip a glued-up board to width", n * ripped, piece.name)
        add("dock to length with a stop", members, piece.name, lengths, boards)
        add("mark out from the rod", n * round(sum(marked.values()), 6), piece.name, 1, marked)
        for kind, (ops, of) in kinds.items():
            add(kind, n * sum(o.count for o in ops), piece.name, len({o.batch for o in ops}), of)
        screws = n * sum(f.count for f in piece.fixings)
        add("drill screw holes", 2 * screws, piece.name)
        add("take off arrises", n * sum(metres.values()), piece.name, 1, metres)
        add("take off arrises in one run", n * sum(run.values()), piece.name, 1, run)
        add("sand", n * sum(sanded.values()), piece.name, len(sanding_m2(piece, finish)), sanded)
        add("dry fit", n * round(sum(fitted.values()), 6), piece.name, 1, fitted)
        order = order_of_work(piece)
        add("glue boards into a width", n * len(order.wide), piece.name)
        add("glue up", n * sum(min(max(s.joints / WHOLE_STAGE_JOINTS, LEAST_STAGE), 1.0) for s in order.stages if s.glued), piece.name)
        add("clean up after glue", n * round(sum(cleaned.values()), 6), piece.name, 1, cleaned)
        add("drive screws", screws, piece.name)
        opening = Counter(leaf.kind for leaf in leaves(piece))
        add("fit a drawer", n * opening.pop("drawer", 0), piece.name)
        add("trim and set a door or lid", n * sum(opening.values()), piece.name)
        coats = COATS[finish]
        add("brush or wipe on finish", n * sum(area.values()) * coats, piece.name, max(coats, 1), area)
    return tuple(out)
