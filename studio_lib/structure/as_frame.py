"""A piece as a frame: members along their middles with the sections they have, joints as springs.

How stiff a joint of furniture size is, nobody has published well: each is taken at a soft and
at a stiff bound, and the worse of the two answers counts. Feet stand on the floor and do not
slide; boards that only lie in grooves carry nothing.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, pi

import numpy as np

from studio_lib.piece import Joint, Piece, Screws, Shape
from studio_lib.piece.holding import Holds, Strengths, unit
from studio_lib.piece.housing import Housing
from studio_lib.piece.leaf_bolt import WASHER_D, ConnectingBolts
from studio_lib.piece.model import Vec, _cross
from studio_lib.piece.screw import ScrewRow
from studio_lib.structure.bearing import bearing
from studio_lib.structure.frame import Frame
from studio_lib.structure.slices import sliced

TURNING_N_MM = (2e6, 20e6)
"""Soft and stiff bound of a rail's joint against turning, per radian, for a tenon of 60 x 40 mm; a bracket of ours,
scaled by the cheek: no figure for furniture was found, heavy round tenons stand at 19e6 and over."""
REFERENCE_MM2 = 60.0 * 40.0
STIFF_N_MM = 1e9
"""Turning stiffness of glue along whole edges, as good as one timber."""
LINEAR_N = (5e3, 5e4)
"""Slip of a joint, per mm, soft and stiff; between a screw's and a glued shoulder's."""
HINGED_SHARE = 0.01
"""Part of a glued joint's turning stiffness that screws, buttons, cables and hinges have."""
UNIT = Strengths(1.0, 1.0, 1.0, 1.0, 1.0, 700.0)
MOST_PLACES = 7
STEP_MM = 180.0
"""No piece of a member in the frame is longer than this."""
FLOOR_MM = 2.0
PLAY_MM, LID_PLAY_MM = 0.5, 3.0
"""A board this far over what is under it lies on it; a lid has bumpers or a little play."""
REST_SLIP = 0.02
"""Part of a rest's stiffness that friction gives it sideways; a judgement of ours."""
ACROSS_SHARE = 12.0
"""E along over E across the grain: between radial and tangential, Wood Handbook table 5-1, from memory."""
SCREW_MM = 4.0
FOOT_MM = 150.0
"""A board at least this wide that stands on its end does not turn over its long way before the piece tips; a judgement of ours."""
LOOSE_SHARE = 1e-3
"""Part of a joint's stiffness that a loose panel has along and into its grooves: it lies in them and braces nothing."""
UPRIGHT_BOARDS = ("back board", "panel")
"""Roles of boards that stand up and are held by what they cover; their ends are cut free of what lies over them."""
HALF_TIGHT = 0.5
"""Part of a housing's walls that bear at its soft bound; stiff it is ten times that, as other joints are."""
AS_THE_PIECE = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
_REST = tuple([REST_SLIP * linear, REST_SLIP * linear, linear, 0.0, 0.0, 0.0] for linear in LINEAR_N)


@dataclass(frozen=True, eq=False)
class Model:
    """A piece as arrays, with the way back to its members."""

    soft: Frame
    stiff: Frame
    member_of_beam: tuple[str, ...]
    x_of_node: np.ndarray
    """How far along its member each node stands. [mm]"""
    nodes_of: dict[str, tuple[int, ...]]
    """Nodes of each member in the order of its length."""
    net: np.ndarray
    """Beams x 2 x (area, i_y, i_z, furthest y, furthest z): what is left at either end, joints cut out."""
    joint_of_spring: tuple[Joint | Screws | None, ...]
    """None where a board only lies on something."""
    held_at_spring: tuple[Holds | None, ...]
    """What the joint of each spring holds there, its share where it holds in several places; None where nothing is on file."""

    def nearest(self, ref: str, x_mm: float) -> int:
        """The node of a member nearest to a place along it."""
        return _nearest(self.nodes_of[ref], self.x_of_node, x_mm)


def _places(piece: Piece, joint: Joint | Screws) -> list[Vec]:
    """Where a joint holds, in piece axes: one place, or three along a whole edge."""
    near, far = _both(joint)
    a, b = piece.member(near).piece_box, piece.member(far).piece_box
    lo, hi = tuple(map(max, a.lo, b.lo)), tuple(map(min, a.hi, b.hi))
    if isinstance(joint, Screws):
        return _spread_over(lo, hi, joint.count)
    if isinstance(joint, ScrewRow) and 1 < joint.count <= MOST_PLACES:
        heads, shared = joint.heads(piece), sorted((lo, hi))
        thin = min(range(3), key=lambda k: abs(hi[k] - lo[k]))
        return [tuple((shared[0][k] + shared[1][k]) / 2 if k == thin else c for k, c in enumerate(p)) for p in heads]
    lo, hi = tuple(map(min, lo, hi)), tuple(map(max, lo, hi))
    if joint.lies == "point":
        return [_halfway(lo, hi)]
    return _spread_over(lo, hi, joint.count if joint.lies == "row" else 3)


def _both(joint: Joint | Screws) -> tuple[str, str]:
    """References of the two members of a joint or a row of screws."""
    return (joint.near, joint.far) if isinstance(joint, Screws) else (joint.first, joint.second)


def _halfway(lo: Vec, hi: Vec) -> Vec:
    return tuple((x + y) / 2 for x, y in zip(lo, hi))


def _spread_over(lo: Vec, hi: Vec, count: float) -> list[Vec]:
    """So many places along the longest side of where two members touch; one where they hardly do."""
    middle, sides = _halfway(lo, hi), [y - x for x, y in zip(lo, hi)]
    room = max(sides)
    if room < 60 or count < 2:
        return [middle]
    long, n = sides.index(room), int(min(count, MOST_PLACES))
    steps = [0.08 + (0.92 - 0.08) * k / (n - 1) for k in range(n)]
    return [tuple(lo[long] + share * room if k == long else c for k, c in enumerate(middle)) for share in steps]


def _springs(joint: Joint | Screws, piece: Piece, places: int, woods: dict) -> tuple[list[float], list[float]]:
    """Soft and stiff bound of the six stiffnesses at one place of a joint: along out, wide, thin, then about them."""
    if isinstance(joint, ConnectingBolts):
        return _bolted(joint, piece, places, woods)
    if isinstance(joint, Screws) or joint.lies == "row" and joint.dry:
        return _screwed(joint, piece, places, woods)
    if joint.kind == "edge joint":
        return (_glued_edge(joint, piece, places, woods),) * 2
    if isinstance(joint, Housing):
        return _housed(joint, piece, places, woods)
    if joint.unglued and not joint.held:
        loose = [LOOSE_SHARE, LOOSE_SHARE, 1.0]
        return tuple([*(linear * k for k in loose), *[HINGED_SHARE * turn] * 3] for linear, turn in zip(LINEAR_N, TURNING_N_MM))
    # Of the two cheeks and two edges glued, one cheek is what the bracket is given for.
    area = max(joint.glued_area_mm2(piece) / 2.5, 0.1 * REFERENCE_MM2) / places
    share = joint.stiff_shares(piece)
    if joint.turns:
        area, share = HINGED_SHARE * REFERENCE_MM2, (1.0, 1.0, 1.0)
    return tuple([linear] * 3 + [turn * area / REFERENCE_MM2 * s for s in share] for linear, turn in zip(LINEAR_N, TURNING_N_MM))


def _screwed(joint: Joint | Screws, piece: Piece, places: int, woods: dict) -> tuple[list[float], list[float]]:
    """Screws slip sideways by rho^1.5 d / 23 and draw by 780 d^0.2 l^0.4, N/mm each, at two thirds and at twice that.

    EN 1995-1-1 table 7.1; drawing by a formula of technical approvals for l of four diameters, from memory.
    """
    ref = joint.far if isinstance(joint, Screws) else joint.second
    d = getattr(joint, "diameter_mm", getattr(joint, "screw_mm", SCREW_MM))
    slip = woods[piece.member(ref).timber].density_kg_m3 ** 1.5 * d / 23 * max(joint.count / places, 1.0)
    draw = 780 * d**0.2 * (4 * d) ** 0.4 * max(joint.count / places, 1.0)
    return tuple([draw * k, slip * k, slip * k, *[HINGED_SHARE * turn] * 3] for turn, k in zip(TURNING_N_MM, (2 / 3, 2.0)))


def _bolted(joint: ConnectingBolts, piece: Piece, places: int, woods: dict) -> tuple[list[float], list[float]]:
    """Two uprights drawn together: each bolt gives as the timber under its washers does, E_90 A over half the grip at either end,
    and turns the two about their touching edges by that over half their thickness; half and twice of it, a bracket of ours.
    """
    bed = min(woods[piece.member(r).timber].e_mpa for r in (joint.first, joint.second)) / ACROSS_SHARE
    washer = pi / 4 * ((WASHER_D * joint.bolt_mm) ** 2 - joint.bolt_mm**2)
    axial = bed * washer / joint.grip_mm(piece) * max(joint.count / places, 1.0)
    lever = min(piece.member(joint.first).thickness_mm, piece.member(joint.second).thickness_mm) / 2
    return tuple([axial * k, linear, linear, *[HINGED_SHARE * turn, axial * k * lever**2, HINGED_SHARE * turn]]
                 for linear, turn, k in zip(LINEAR_N, TURNING_N_MM, (0.5, 2.0)))


def _housed(joint: Housing, piece: Piece, places: int, woods: dict) -> tuple[list[float], list[float]]:
    """A tongue in its trench turns by bedding into the walls across its grain: E_90 / t b d^3 / 12, half of it at the soft bound.

    A beam of depth d on an elastic bed of the shelf's own thickness; no test of a housing's stiffness was found.
    """
    shelf = piece.member(joint.first)
    bed = woods[shelf.timber].e_mpa / ACROSS_SHARE / shelf.thickness_mm
    soft = HALF_TIGHT * bed * joint.wide_mm(piece) * joint.depth_mm**3 / 12 / places
    return tuple([linear] * 3 + [soft * times] * 3 for linear, times in zip(LINEAR_N, (1.0, TURNING_N_MM[1] / TURNING_N_MM[0])))


def _glued_edge(joint: Joint, piece: Piece, places: int, woods: dict) -> list[float]:
    """Glue along an edge is as good as the timber; the boards themselves bend across their grain, and that is put here."""
    board, other = piece.member(joint.first), piece.member(joint.second)
    long, thick = joint.shared_mm(piece)
    e = woods[board.timber].e_mpa / ACROSS_SHARE
    across = e * long / places * thick**3 / 12 / ((board.width_mm + other.width_mm) / 2)
    return [1e6] * 3 + [STIFF_N_MM, across, STIFF_N_MM]


def _rests(piece: Piece) -> list[tuple[str, str, list[Vec]]]:
    """Slats, boards and lids that lie on what they are not joined to: (board, what it lies on, where).

    A rest is a spring both ways, as if the board were held down there too. A lid that is shut lies on the wall it is hinged to.
    """
    joined = {frozenset((j.first, j.second)) for j in piece.joints if j.kind != "hinges"} | {frozenset((s.near, s.far)) for s in piece.fixings}
    boards = bearing(piece)
    refs = {b.ref for b in boards}
    boxes = {m.ref: m.piece_box for m in piece.members}
    out = []
    for board in boards:
        a, play = boxes[board.ref], LID_PLAY_MM if "lid" in board.role else PLAY_MM
        for m in piece.members:
            b = boxes[m.ref]
            if m.ref in refs or abs(a.lo[2] - b.hi[2]) > play or frozenset((board.ref, m.ref)) in joined:
                continue
            lo, hi = tuple(map(max, a.lo, b.lo)), tuple(map(min, a.hi, b.hi))
            if hi[0] - lo[0] > 1.0 and hi[1] - lo[1] > 1.0:
                # A back board under it carries at its middle: its end tips as the piece sways, and braces nothing.
                many = 1 if m.role in UPRIGHT_BOARDS else 3
                out.append((board.ref, m.ref, _spread_over((*lo[:2], b.hi[2]), (*hi[:2], b.hi[2]), many)))
    return out


def _axes(held: Holds | None) -> tuple[Vec, Vec, Vec]:
    """Rows: the way the first leaves the second, the joint's wide side, and the third; the piece's own where it does not say."""
    if held is None:
        return AS_THE_PIECE
    out, wide = held.out, held.wide
    lean = sum(a * b for a, b in zip(wide, out))
    wide = unit(tuple(w - lean * o for w, o in zip(wide, out)))
    return out, wide, _cross(out, wide)


def as_frame(
    piece: Piece, woods: dict, also: dict[str, tuple[float, ...]] | None = None, strengths: dict[str, Strengths] | None = None,
    ends: tuple[tuple[float, ...], tuple[float, ...]] | None = None, each: bool = False, tops: bool = False,
    hung: tuple[tuple[str, float, bool], ...] = (),
) -> Model:
    """The frame of a piece.

    Parameters
    ----------
    woods : {timber: Wood}
        Modulus of elasticity of each timber in the piece.
    also : {reference: (x, ...)}
        Places along members where a load will stand. [mm]
    strengths : {timber: Strengths}
        Design strengths, for what each joint holds; without them only which way it holds is known.
    ends : (heights on the left, heights on the right)
        Where a screen is pinned at the two ends of its length, over its foot, and not at the floor. [mm]
    each : bool
        Every upright of it is pinned so: those of each leaf.
    tops : bool
        A ceiling holds the tops of its uprights level, and their feet stand on the floor without being held fast.
    hung : ((reference, place along it, whether it carries), ...)
        Where it hangs on a wall and not on the floor, as ``hung.hung_at`` gives it; where it does not carry it is held to the wall alone. [mm]

    Raises
    ------
    ValueError
        When nothing of the piece stands on the floor.
    """
    stations: dict[str, list[float]] = {m.ref: [0.0, m.length_mm, *(also or {}).get(m.ref, ())] for m in piece.members}
    pinned = _pinned(piece, ends, each) if ends else []
    for ref, x in (*pinned, *((ref, x) for ref, x, _ in hung)):
        stations[ref].append(x)

    def along(ref: str, point: Vec) -> float:
        m = piece.member(ref)
        x = min(max(m.placement.to_member(point)[0], 0.0), m.length_mm)
        stations[ref].append(x)
        return x

    met = []
    for joint in (*piece.joints, *piece.fixings):
        a, b = _both(joint)
        met.append((joint, a, b, [(p, along(a, p), along(b, p)) for p in _places(piece, joint)]))
    met += [(None, a, b, [(p, along(a, p), along(b, p)) for p in places]) for a, b, places in _rests(piece)]
    nodes, x_of, nodes_of = [], [], {}
    beams, member_of, gross, net, lengths = [], [], [], [], []
    for m in piece.members:
        spread = _stations(sorted(stations[m.ref]), m.length_mm)
        p, first = m.placement, len(nodes)
        nodes += [p.to_piece((x, m.width_mm / 2, m.thickness_mm / 2)) for x in spread]
        x_of += spread
        nodes_of[m.ref] = tuple(range(first, len(nodes)))
        beams += [(n, n + 1) for n in range(first, len(nodes) - 1)]
        whole, left = _sections(piece.shape(m.ref), m.length_mm, tuple(spread))
        gross.append(whole)
        net.append(left)
        many = len(spread) - 1
        member_of += [m.ref] * many
        lengths.append(many)
    gross, e = np.concatenate(gross), np.repeat([woods[m.timber].e_mpa for m in piece.members], lengths)
    axes = np.repeat([(m.placement.along, m.placement.across, m.placement.through) for m in piece.members], lengths, axis=0)
    area = np.maximum(gross[:, 0], 1.0)
    iy, iz = np.maximum(gross[:, 1], 1.0), np.maximum(gross[:, 2], 1.0)
    pairs, at, soft, stiff, owner, ways, holds = [], [], [], [], [], [], []
    for joint, a, b, places in met:
        low, high = (_REST[0], _REST[1]) if joint is None else _springs(joint, piece, len(places), woods)
        near, far = (strengths[piece.member(r).timber] if strengths else UNIT for r in (a, b))
        held = joint.holds(piece, near, far) if joint is not None else None
        own = _axes(held)
        part = held and held.part(1 / len(places))
        for point, x, y in places:
            pairs.append((_nearest(nodes_of[a], x_of, x), _nearest(nodes_of[b], x_of, y)))
            at.append(point)
            soft.append(low)
            stiff.append(high)
            owner.append(joint)
            ways.append(own)
            holds.append(part)
    fixed = np.zeros((len(nodes), 6), bool)
    for ref, x in pinned:
        fixed[_nearest(nodes_of[ref], x_of, x), :3] = True
    for ref, x, carries in hung:
        fixed[_nearest(nodes_of[ref], x_of, x), slice(0, 3) if carries else 1] = True
    for ref in _uprights(piece) if tops else ():
        m = piece.member(ref)
        fixed[nodes_of[ref][-1 if m.placement.along[2] > 0 else 0], :2] = True
    feet = [] if hung or pinned and not tops else _feet(piece)
    if not feet and not pinned and not hung:
        raise ValueError(f"Nothing of {piece.name} stands on the floor, so nothing can be said of what it carries.")
    # A screen is fixed at its foot or held to the wall: its own checks say by what, and whether it tips.
    held = slice(0, 6) if "screen" in piece.form and not tops else slice(0, 3)
    for ref, end in feet:
        which = nodes_of[ref] if end == "all" else (nodes_of[ref][0 if end == "start" else -1],)
        for node in which:
            fixed[node, held] = True
            m = piece.member(ref)
            if end != "all" and m.width_mm >= FOOT_MM:
                fixed[node, 3:][np.abs(m.placement.through) > 0.99] = True
    common = dict(
        nodes=np.array(nodes), beams=np.array(beams), axes=axes, e=e, g=e / 16, area=area,
        iy=iy, iz=iz, torsion=area**4 / (40 * (iy + iz)), joints=np.array(pairs, int).reshape(-1, 2),
        joint_at=np.array(at, float).reshape(-1, 3), joint_axes=np.array(ways, float).reshape(-1, 3, 3), fixed=fixed,
    )
    soft = Frame(**common, stiffness=np.array(soft, float).reshape(-1, 6))
    return Model(
        soft, soft.with_joints(np.array(stiff, float).reshape(-1, 6)),
        tuple(member_of), np.array(x_of), nodes_of, np.concatenate(net), tuple(owner), tuple(holds),
    )


@lru_cache(maxsize=512)
def _sections(shape: Shape, long_mm: float, spread: tuple[float, ...]) -> tuple[np.ndarray, np.ndarray]:
    """Sections of the lengths of a member between its nodes: in the middle of each, lengths x 7, and near either end, lengths x 2 x 5.

    Members alike share them, and those that stay as they are while another size changes.
    """
    cut_at, gross, net = sliced(shape).at, [], []
    for x0, x1 in zip(spread, spread[1:]):
        whole = cut_at(round((x0 + x1) / 2, 1))
        gross.append(whole if whole[0] > 0 else cut_at(round(x0 + 0.37 * (x1 - x0), 1)))
        here = []
        for x in (min(max(x0, 0.5), long_mm - 0.5) + 0.5, min(max(x1, 0.5), long_mm - 0.5) - 0.5):
            cut = cut_at(round(x, 1))
            here.append((cut[0], cut[1], cut[2], cut[5], cut[6]))
        net.append(here)
    return np.array(gross), np.array(net)


def _stations(xs: list[float], long_mm: float) -> list[float]:
    """Places along a member where a node stands: those asked for, none nearer than 2 mm, none further apart than ``STEP_MM``."""
    merged = [xs[0]]
    for x in xs[1:]:
        if x - merged[-1] > 2.0:
            merged.append(x)
    merged[-1] = long_mm
    spread = merged[:1]
    for x0, x1 in zip(merged, merged[1:]):
        n = max(1, ceil((x1 - x0) / STEP_MM))
        spread += [x0 + (x1 - x0) * k / n for k in range(1, n + 1)]
    return spread


def _nearest(nodes: tuple[int, ...], x_of: list[float], x: float) -> int:
    """The node of a member nearest to a place along it."""
    k = bisect_left(x_of, x, nodes[0], nodes[-1] + 1)
    if k == nodes[0]:
        return k
    return k - 1 if k > nodes[-1] or x - x_of[k - 1] <= x_of[k] - x else k


def _uprights(piece: Piece) -> list[str]:
    """References of the stiles or posts of a screen, from the left."""
    return [m.ref for m in sorted((m for m in piece.members if abs(m.placement.along[2]) > 0.7 and m.role in ("stile", "post")), key=lambda m: m.piece_box.lo[0])]


def _pinned(piece: Piece, ends: tuple[tuple[float, ...], tuple[float, ...]], each: bool = False) -> list[tuple[str, float]]:
    """Places along the outermost uprights, or along ``each``: (member, place). [mm]"""
    uprights = [piece.member(ref) for ref in _uprights(piece)]
    floor = min(m.piece_box.lo[2] for m in piece.members)
    out = []
    outer = (uprights[0], uprights[-1]) if len(uprights) > 1 else ()
    for m, heights in ((m, ends[0]) for m in uprights) if each else zip(outer, ends):
        x, y, _ = m.placement.origin
        out += [(m.ref, min(max(m.placement.to_member((x, y, floor + h))[0], 0.0), m.length_mm)) for h in heights]
    return out


def _feet(piece: Piece) -> list[tuple[str, str]]:
    """Members that reach the floor, and which end does: 'start', 'end', or 'all' for one that lies on it."""
    lowest = min(m.piece_box.lo[2] for m in piece.members)
    out = []
    for m in piece.members:
        if m.piece_box.lo[2] > lowest + FLOOR_MM:
            continue
        up = m.placement.along[2]
        out.append((m.ref, "start" if up > 0.5 else "end" if up < -0.5 else "all"))
    return out
