"""What hangs on a wall: where its screws go in, what each must hold with all shelves full, and whether the wall's own timber holds them.

The upper rail carries. The lower rail, or where there is none the lower end of each side, only leans on the wall.
"""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

import numpy as np

from studio_lib.brief.refusals import SAFETY
from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Member, Piece
from studio_lib.piece.holding import across_factor, bearing_mpa, lag_pull_n, yield_n_mm
from studio_lib.piece.leaves import leaves
from studio_lib.structure.loads import G, Load

HANGING_RAIL, LOWER_RAIL = "hanging rail", "lower rail"
"""Roles of the rails that are screwed to the wall."""
FROM_END_MM, LOWER_SCREWS = 40.0, 2
"""From the end of a rail to its first screw, and the screws of a lower rail; judgement of ours."""
SCREW_MM, ROOT_MM, THREAD_MM = 6.35, 4.39, 50.0
"""The coach screw that a stud is judged by, a quarter of an inch: its root by NDS appendix L, table L2, from memory; and how far its thread goes in."""
STEEL_MPA = 400.0
"""Tensile strength of the screw, as of class 4.6: EN ISO 898-1."""
STUD_GRAVITY, STUD_KG_M3 = 0.42, 350.0
"""Softwood stud: spruce-pine-fir, NDS table 12.3.3A, from memory; characteristic density of C24, EN 338 table 1. [kg/m3]"""
STUDS_APART_MM = 600.0
"""Studs stand no further apart; common practice, no source."""
STUDS_NEAR_MM = 400.0
"""And no nearer than this; common practice, no source."""
AT_A_STUD = 2
"""Screws in each stud at the least, those of the rail or those of a batten across the studs; a proposal of ours."""
BOARD_MM = 12.5
"""Plasterboard on the studs, which a screw crosses and which bears nothing; common practice, no source."""
K_MOD, GAMMA_M = {True: 0.60, False: 0.90}, 1.3
"""What stands there for good, and with someone leaning on it for a moment: solid timber, service classes 1 and 2, and connections, EN 1995-1-1 tables 3.1 and 2.3."""
DURATION = {True: 0.9, False: 1.6}
"""The same beside the ten years of an allowable pull: permanent, and ten minutes, NDS table 2.3.2."""
ON_THE_WALL = "load on its screws in the wall"
STUDS = "stud and board"
TIMBER_WALLS = {STUDS: BOARD_MM, "solid timber": 0.0}
"""Walls whose own timber takes the screws, and what lies before it. [mm]"""
OF_RATED = {"brick or concrete": "a plug and screw", "hollow block": "an anchor for hollow block"}


def hangs_at_mm(piece: Piece) -> float | None:
    """How far above the floor the lower edge of what hangs on a wall is; None for what stands. [mm]"""
    return min(m.piece_box.lo[2] for m in piece.members) if any(m.role == HANGING_RAIL for m in piece.members) else None


def screws_at(rail: Member, count: int) -> tuple[float, ...]:
    """Where the screws of a rail stand along it, evenly. [mm]"""
    end = min(FROM_END_MM, rail.length_mm / 4)
    return tuple(end + k * (rail.length_mm - 2 * end) / (count - 1) for k in range(count)) if count > 1 else (rail.length_mm / 2,)


def hung_at(piece: Piece, screws: int) -> tuple[tuple[str, float, bool], ...]:
    """Where a piece is held at the wall: (reference, place along it, whether it carries there); () where it does not hang. [mm]

    ``screws``: in its hanging rail; 0 for what stands on the floor.
    """
    if not screws:
        return ()
    out = [(m.ref, x, True) for m in piece.members if m.role == HANGING_RAIL for x in screws_at(m, screws)]
    lower = [(m.ref, x, False) for m in piece.members if m.role == LOWER_RAIL for x in screws_at(m, LOWER_SCREWS)]
    return (*out, *(lower or [(m.ref, 0.0 if m.placement.along[2] > 0 else m.length_mm, False) for m in piece.members if m.role == "side"]))


def lateral_over_gap_n(q_near: float, q_far: float, near_mm: float, far_mm: float, gap_mm: float, yield_near: float, yield_far: float) -> float:
    """Lateral load at yield of one fastener in single shear across a gap: the least of six modes. [N]

    AWC Technical Report 12 (2015), table 1-1. ``q``: bearing strength times diameter [N/mm]; ``yield``: moments of the fastener [N mm].
    """
    def of(a: float, b: float, c: float) -> float:
        return (-b + sqrt(b * b - 4 * a * c)) / (2 * a)

    both = 1 / (4 * q_near) + 1 / (4 * q_far)
    bend_near, bend_far = q_near * near_mm**2 / 4, q_far * far_mm**2 / 4
    return min(
        q_near * near_mm, q_far * far_mm,
        of(both, near_mm / 2 + gap_mm + far_mm / 2, -bend_near - bend_far),
        of(1 / (2 * q_near) + 1 / (4 * q_far), gap_mm + far_mm / 2, -yield_near - bend_far),
        of(1 / (4 * q_near) + 1 / (2 * q_far), near_mm / 2 + gap_mm, -bend_near - yield_far),
        of(1 / (2 * q_near) + 1 / (2 * q_far), gap_mm, -yield_near - yield_far),
    )


def stud_holds_n(rail_mm: float, rail_kg_m3: float, wall: str, lasting: bool) -> tuple[float, float]:
    """What one screw through a rail holds in softwood, of ``TIMBER_WALLS``, for good or for a moment: drawn out, and across it. [N]"""
    d = 1.1 * ROOT_MM  # of a threaded shank: EN 1995-1-1 8.7.1 (3)
    yields = yield_n_mm(STEEL_MPA, d)
    # A weight lies across the grain of the rail and along that of a stud; how solid timber lies nobody knows.
    q_rail = bearing_mpa(rail_kg_m3, d) * d / across_factor(d, False)
    q_wall = bearing_mpa(STUD_KG_M3, d) * d / (across_factor(d, False) if wall != STUDS else 1.0)
    across = lateral_over_gap_n(q_rail, q_wall, rail_mm, THREAD_MM, TIMBER_WALLS[wall], yields, yields) * K_MOD[lasting] / GAMMA_M
    return DURATION[lasting] * lag_pull_n(STUD_GRAVITY, SCREW_MM, THREAD_MM), across


def studs_behind(rail_mm: float) -> int:
    """How many studs a rail of that length meets wherever it is hung, and no fewer than two: a batten reaches so many where it does not."""
    return max(int(rail_mm // STUDS_APART_MM), 2)


def on_the_wall(piece: Piece, model, cases, answers, resting, pushed: Load | None, woods: dict, screws: int, wall: str) -> list[Finding]:
    """What each screw in the wall must hold, all shelves full, and someone leaning out or a child hanging on it besides.

    ``answers``, ``resting``: of the cases and of the piece's own weight, joints soft and stiff, as ``structure.whole`` solves for them.
    ``wall``: of ``handover.delivery.WALLS``; '' while nobody looked.
    """
    rails = [m for m in piece.members if m.role == HANGING_RAIL]
    if not screws or not rails:
        return []
    rail, nodes = rails[0], model.soft.nodes
    held = [(model.nearest(ref, x), carries) for ref, x, carries in hung_at(piece, screws)]
    on_rail, below = [n for n, carries in held if carries], [n for n, carries in held if not carries]
    arm = max(float(nodes[on_rail, 2].mean() - nodes[below, 2].mean()), 1.0) if below else 1.0
    lasting = [k for k, c in enumerate(cases) if c.lasting]
    besides = [(k, sign) for k, c in enumerate(cases) if not c.lasting for sign in ((1, -1) if c.way[2] == 0 else (1,))]
    shares = _shares(rail, nodes[on_rail, 0], screws, wall)
    states, lifts, hangs = [], 0.0, 0.0
    for a, rest in zip(answers, resting):
        own = rest.reactions[0][:, :3]
        full = own + sum((a.reactions[k][:, :3] - own for k in lasting), np.zeros_like(own))
        hangs = max(hangs, float(full[on_rail, 2].sum()))
        # What happens for a moment comes on top, a push either way.
        for k, sign in [(None, 0), *besides]:
            r = SAFETY * (full if k is None else full + sign * (a.reactions[k][:, :3] - own))
            # A child hangs on the front edge, or on an open door, and not on the middle of the shelf.
            ahead = SAFETY * cases[k].load.force_n * _ahead_mm(piece, cases[k].ref) / arm / len(on_rail) if k is not None and cases[k].passing else 0.0
            each = shares @ (r[on_rail] + [0.0, ahead, 0.0])
            states += [(max(float(y), 0.0), float(hypot(x, z)), k is None) for x, y, z in each]
            lifts = max(lifts, float(r[below, 1].max(initial=0.0)))
    takes = {ever: stud_holds_n(rail.thickness_mm, woods[rail.timber].density_kg_m3, wall, ever) if wall in TIMBER_WALLS else (1.0, 1.0) for ever in (True, False)}

    def used(state) -> float:
        pull, across, ever = state
        return hypot(pull / takes[ever][0], across / takes[ever][1])

    each = {ever: max((s for s in states if s[2] == ever), key=used, default=(0.0, 0.0, ever)) for ever in (True, False)}
    if wall not in TIMBER_WALLS:  # a plug is rated for each by itself
        each = {ever: (*(max((s[k] for s in states if s[2] == ever), default=0.0) for k in (0, 1)), ever) for ever in (True, False)}
    pull, across, ever = max(each.values(), key=used)
    who = "someone leans on it or a child hangs on it" if any(c.passing for c in cases) else "someone leans on it"
    says = (f"{hangs / G:.0f} kg hang on it with all its shelves full; {SAFETY:g} to spare, the hardest worked of {len(shares)} screws in its hanging rail is drawn out with "
            f"{each[True][0]:.0f} N and pushed down with {each[True][1]:.0f} N for good, with {each[False][0]:.0f} and {each[False][1]:.0f} N while {who}")
    what = f"all its shelves full, and while {who}"
    found = Finding(
        piece.name, ON_THE_WALL, Verdict.STANDS, says, rule=f"{what}, {SAFETY:g} to spare",
        source=f"reactions of the frame of the whole piece, joints soft and stiff{f'; a push of {pushed.force_n:.0f} N either way: {pushed.source}' if pushed else ''}",
        stage="sizes", refs=(rail.ref,),
    )
    found = _into(found, rail, takes[ever], (pull, across), ever, wall)
    if lifts > 0.5:
        lower = next((m for m in piece.members if m.role == LOWER_RAIL), None)
        where = f"each of {LOWER_SCREWS} screws in its lower rail" if lower else "a screw through each side, low down,"
        found = replace(found, says=f"{found.says}. Drawn at from below it would come off the wall there: {where} holds {lifts:.0f} N outward")
    return [found]


def _shares(rail: Member, at: np.ndarray, screws: int, wall: str) -> np.ndarray:
    """What each screw takes of the forces where the frame holds the rail: screws x places.

    As a stiff bar shares them out among screws that give alike: their sum evenly, their moment by how far each stands from the
    middle. In a stud wall the screws stand where the studs are, as near to each other as studs come.
    """
    if wall == STUDS:
        n = studs_behind(rail.length_mm)
        each = max(-(-screws // n), AT_A_STUD)
        near = min(STUDS_NEAR_MM, (rail.length_mm - 2 * FROM_END_MM) / (n - 1))
        stand = np.repeat((np.arange(n) - (n - 1) / 2) * near, each)
    else:
        stand = at - at.mean()
    return 1 / len(stand) + np.outer(stand, at - (at.min() + at.max()) / 2) / max(float((stand**2).sum()), 1.0)


def _ahead_mm(piece: Piece, ref: str) -> float:
    """From the middle of a member to the front of the piece, or to the edge of its widest door stood open. [mm]"""
    front = min(m.piece_box.lo[1] for m in piece.members)
    doors = [leaf for leaf in leaves(piece) if leaf.kind == "door"]
    return piece.member(ref).piece_box.centre[1] - front + max((_wide_mm(piece, leaf.refs) for leaf in doors), default=0.0)


def _wide_mm(piece: Piece, refs) -> float:
    boxes = [piece.member(r).piece_box for r in refs]
    return max(b.hi[0] for b in boxes) - min(b.lo[0] for b in boxes)


def _into(found: Finding, rail: Member, takes: tuple[float, float], each: tuple[float, float], ever: bool, wall: str) -> Finding:
    """The finding with what the wall holds, where its timber takes the screws; with what is to be bought or looked at elsewhere."""
    if wall in OF_RATED:
        return replace(found, says=f"{found.says}; each is {OF_RATED[wall]} whose maker rates it for both in such a wall, not in its plaster or joints")
    if wall not in TIMBER_WALLS:
        return replace(
            found, verdict=Verdict.OPEN, says=f"{found.says}. What the wall is made of has not been said: board or plaster alone holds none of it",
            mend="Look at the wall and say what it is under 'The wall, as seen there' on the Workshop page, before the order.",
        )
    n = studs_behind(rail.length_mm)
    at = (f"in {n} studs, the rail reaching both or a batten across them" if rail.length_mm < 2 * STUDS_APART_MM else f"in the {n} studs that it meets at the least") if wall == STUDS else "straight into the timber"
    (pull, across), (may_pull, may_shear) = each, takes
    judged = from_ratio(
        found.subject, ON_THE_WALL, hypot(pull / may_pull, across / may_shear), 1.0, "", rule="drawn out and across together: the squares of both shares come to 1 at the most",
        source=f"{found.source}; EN 1995-1-1 eq. 8.28; drawn out NDS 12.2-1 and table 2.3.2, across AWC TR 12 table 1-1 over {TIMBER_WALLS[wall]:g} mm of board, "
               "EN 1995-1-1 eq. 8.14 to 8.16 and tables 2.3 and 3.1", stage="sizes",
        mend="More screws to the wall, a thicker rail, a case less deep, fewer shelves; or stand it on the floor.",
        says=f"{found.says}. Screwed {at}, each a 6 mm coach screw with {THREAD_MM:g} mm of thread in softwood, it may be {may_pull:.0f} N outward and {may_shear:.0f} N down{'' if ever else ' for that moment'}",
    )
    return replace(judged, refs=found.refs)
