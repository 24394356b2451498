"""Sway: how far the top moves aside under a push, where it gives, and what would hold it.

Any piece by its frame, joints between a soft and a stiff bound. A case is pushed with its shelves full and as hard as its
use says, unless that tips it; what stands on the shelves leans with it and makes the sway greater. A board that hangs by one
screw a shelf turns about it and braces nothing; a loose panel has room in its grooves and braces nothing either.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf, isfinite

import numpy as np

from studio_lib.finding import Finding, Verdict
from studio_lib.piece import Joint, Piece
from studio_lib.piece.housing import Housing
from studio_lib.piece.screw import ScrewRow
from studio_lib.structure.as_frame import REFERENCE_MM2, SCREW_MM, TURNING_N_MM, Model
from studio_lib.structure.bearing import bearing
from studio_lib.structure.cases import SHELF_DEEP_MM, Case
from studio_lib.structure.frame import places
from studio_lib.structure.loads import Load, on_shelf, said_of, serves
from studio_lib.structure.member_checks import FRAME
from studio_lib.structure.racking import SHEET, corners_n_mm, leaning_n_mm, round_the_edge, sheet_n_mm, slip_n_mm
from studio_lib.structure.stability import Standing

Swayed = tuple[Finding, Case, int, float]
"""A finding, the push it is for, the number of the case whose shape it has, and how many times that moves."""
SWAY_LIMIT = 50
"""Height over this is how far the top may move sideways under the push of a test; a proposal of ours."""
WAYS = ((0, "sideways"), (1, "from front to back"))
LEANING = "weight that leans along by 1 / (1 - N / N_cr), EN 1995-1-1 and EN 1993-1-1 5.2, from memory"
SAY_SHARE = 0.25
"""Part of what gives from which on it is named."""
BENDING, RESTS = "bending", "where it only rests"
SHEET_MM, APART_MM = 8.0, 150.0
"""A back fixed all round, as it is offered: its thickness and the distance of its screws."""
PAIR_MM = 70.0
"""Two screws across a board so far apart hold it fast and let it move; common practice: 75 mm at the most."""
BESIDE_MM = 40.0
"""What a board needs beside two such screws: five diameters at each edge."""
RAIL_MM = 100.0
"""Depth of a rail under the top, as it is offered; its tenon is 20 mm narrower and 40 mm long."""
SOFTLY = 2 / 3
"""Part of a screw's slip modulus at its soft bound: EN 1995-1-1 2.2.2, K_u = 2/3 K_ser."""


def sway_findings(
    piece: Piece, model: Model, woods: dict, cases, answers, resting, stands: Standing, loads: dict[str, Load], pushed: Load | None, held: bool,
    between: bool = False, lying: tuple = (),
) -> list[Swayed]:
    """How far the top moves aside, each way.

    Parameters
    ----------
    answers, resting : Solved of soft and of stiff joints, under every case and under the piece's own weight alone
    pushed : the push before it was lowered to what tips the piece standing empty
    held : whether a wall holds it
    between : whether walls on its left and right keep it from swaying sideways
    lying : what stands on shelves that only lie in it, as ``lying_on`` gives it
    """
    out, on = [], [*_full(piece, loads), *lying]
    for way, words in WAYS:
        k = next((n for n, c in enumerate(cases) if c.where == words), None)
        if k is None:
            continue
        judge = _of_a_case if serves(piece.form) == "shelf" else _by_the_frame
        by = "the walls of the alcove hold it" if between and way == 0 else "the wall it is fixed to holds it" if held else ""
        out.append(judge(piece, model, woods, cases, answers, resting, stands, on, pushed, by, way, words, k))
    return out


def _by_the_frame(piece, model, woods, cases, answers, resting, stands, on, pushed, held, way, words, k) -> Swayed:
    soft, stiff = (float(np.abs(a.moves[k, :, way]).max()) for a in answers)
    limit = piece.overall_mm[2] / SWAY_LIMIT
    # How far a screen gives when leant on is a matter of feel: what breaks is judged by itself.
    verdict = _verdict(soft, stiff, limit, serves(piece.form) == "screen")
    found = _finding(
        piece, words, verdict, soft, stiff, limit, _bounds(soft, stiff, limit), f"{cases[k].load.what}, {cases[k].load.force_n:.0f} N",
        f"load {cases[k].load.source}; {FRAME}",
        "Deeper rails, a lower rail or stretcher, or thicker legs; or push the dry-fitted piece and see.",
    )
    return found, cases[k], k, 1.0


def _of_a_case(piece, model, woods, cases, answers, resting, stands, on, pushed, held, way, words, k) -> Swayed:
    """``held`` says in words what holds it; empty where nothing does."""
    node = cases[k].nodes[0][0]
    high = float(model.soft.nodes[node, 2]) - stands.floor_mm
    tips = _tips_full_n(stands, on, way, high)
    push = min(pushed.force_n, inf if held else tips)
    leans = leaning_n_mm([stands.weight_n, *(n for n, _ in on)],
                         [stands.middle[2] - stands.floor_mm, *(at[2] - stands.floor_mm for _, at in on)], high)
    springy = [_n_mm(a, r, k, node, way, cases[k]) for a, r in zip(answers, resting)]
    soft, stiff = (float(push / (s - leans)) if s > leans else inf for s in springy)
    limit = piece.overall_mm[2] / SWAY_LIMIT
    far = _far(soft, stiff)
    if held:
        verdict, says = Verdict.STANDS, f"{held}; standing free it would sway {far}, {limit:.1f} mm at most"
    else:
        verdict = _verdict(soft, stiff, limit, False)
        says = _bounds(soft, stiff, limit) + _where(model, answers[0], resting[0], k)
    mend = "" if verdict is Verdict.STANDS else _holds_it(piece, model, woods, cases[k], springy[0], leans, push, high, way)
    what = f"{pushed.what}, its shelves full" + (", as far as it does not tip" if push < pushed.force_n else "")
    found = _finding(
        piece, words, verdict, soft, stiff, limit, says, f"{what}, {push:.0f} N",
        f"load {pushed.source}; {FRAME}; {LEANING}; backs by their fixings: {SHEET}", mend,
    )
    drawn = (soft if isfinite(soft) else push / springy[0]) * springy[0] / (cases[k].load.force_n * cases[k].times)
    case = replace(cases[k], load=replace(pushed, what=what, force_n=push), times=1.0)
    return (replace(found, demand=None, capacity=None) if held else found), case, k, drawn


def _verdict(soft: float, stiff: float, limit: float, felt: bool) -> Verdict:
    return Verdict.STANDS if soft <= limit else Verdict.LOOK_AGAIN if stiff <= limit or felt else Verdict.FAILS


def _far(soft: float, stiff: float) -> str:
    """Both bounds in words; a case whose joints are softer than what its shelves carry folds."""
    if not isfinite(stiff):
        return "until it folds under what stands on it"
    if not isfinite(soft):
        return f"{stiff:.1f} mm with stiff joints, with soft ones until it folds under what stands on it"
    return f"{stiff:.1f} mm with stiff joints, {soft:.1f} mm with soft ones"


def _bounds(soft: float, stiff: float, limit: float) -> str:
    doubt = "; between the two nobody knows until it is pushed" if stiff <= limit < soft else ""
    return f"{_far(soft, stiff)}, {limit:.1f} mm at most{doubt}"


def _finding(piece, words, verdict, soft, stiff, limit, says, under, source, mend) -> Finding:
    counts = stiff if stiff <= limit < soft else soft
    return Finding(
        piece.name, f"sway {words}", verdict, says, counts if isfinite(counts) else 1000 * limit, limit, "mm", f"height / {SWAY_LIMIT} under {under}",
        f"a proposal of ours; {source}", "" if verdict is Verdict.STANDS else mend, "sizes",
    )


# ------------------------------------------------------------------ a case, full


def _full(piece: Piece, loads: dict[str, Load]) -> list[tuple[float, tuple[float, float, float]]]:
    """What stands on each shelf and where its middle is. [N], [mm]"""
    if "books" not in loads:
        return []
    out = []
    for m in bearing(piece):
        box = m.piece_box
        area = m.length_mm * min(m.width_mm, SHELF_DEEP_MM) * 1e-6
        out.append((on_shelf(loads, m.ref).force_n * area, (*box.centre[:2], box.hi[2])))
    return out


def lying_on(entire: Piece, piece: Piece, loads: dict[str, Load]) -> tuple:
    """What was said to stand on shelves of the entire piece that only lie in it and are left out of its frame. [N], [mm]"""
    out = []
    for m in entire.members:
        said = said_of(loads, m.ref)
        if said and m.ref not in piece.by_ref:
            area = m.length_mm * min(m.width_mm, SHELF_DEEP_MM) * 1e-6
            out.append((said[1].force_n * area, (*m.piece_box.centre[:2], m.piece_box.hi[2])))
    return tuple(out)


def _tips_full_n(stands: Standing, on, way: int, high_mm: float) -> float:
    """Level push at a height that tips it the easier way, its shelves full. [N]"""
    return min(
        max(sum(n * ((stands.hi[way] if sign > 0 else -stands.lo[way]) - sign * at[way])
                for n, at in [(stands.weight_n, stands.middle), *on]), 0.0) / max(high_mm, 1e-9)
        for sign in (-1, 1)
    )


def _n_mm(solved, rest, k: int, node: int, way: int, case) -> float:
    """Push for each mm that the pushed place moves; the piece's own weight left out. [N/mm]"""
    moved = abs(float(solved.moves[k, node, way] - rest.moves[0, node, way]))
    return case.load.force_n * case.times / max(moved, 1e-9)


def given(model: Model, solved, rest, k: int) -> dict[str, float]:
    """Part of what gives under a case, by family of joints; ``BENDING`` for what bends: sums to 1."""
    frame = model.soft
    f = solved.springs[k] - rest.springs[0]
    work = (f**2 / np.maximum(frame.stiffness, 1e-9)).sum(axis=1) / 2
    by: dict[str, float] = {}
    for joint, w in zip(model.joint_of_spring, work):
        name = joint.family if joint is not None else RESTS
        by[name] = by.get(name, 0.0) + float(w)
    moved = solved.moves[k] - rest.moves[0]
    ends = solved.ends[k] - rest.ends[0]
    local = np.einsum("bij,bj->bi", frame._turn, moved.ravel()[places(frame.beams)])
    by[BENDING] = float((ends * local).sum()) / 2
    whole = sum(by.values())
    return {n: v / max(whole, 1e-30) for n, v in by.items()}


def _where(model: Model, solved, rest, k: int) -> str:
    name, share = max(given(model, solved, rest, k).items(), key=lambda v: v[1])
    if share < SAY_SHARE:
        return ""
    return f"; {100 * share:.0f} % of it is " + ("its boards bending" if name == BENDING else f"the joints giving, {name}" if name != RESTS else name)


# ------------------------------------------------------------------ what would hold it


def _holds_it(piece: Piece, model: Model, woods: dict, case, springy: float, leans: float, push: float, high: float, way: int) -> str:
    """Changes and how far it would sway with each, its joints soft."""
    wall = "or fix it to the wall near its top, where it cannot sway"
    if way == 1:
        return f"Let its plinth or feet reach to the front and the back of it; {wall}."
    offers = [(words, s) for words, s in _offers(piece, model, woods, case, springy, high) if s > 1.02 * springy]
    said = [f"{words}: {_about(push / (s - leans))}" if s > leans else f"{words}: not enough by itself" for words, s in offers]
    return f"With joints as soft, {'; '.join(said)}; {wall}." if said else f"A back fixed on all its edges; {wall}."


def _about(mm: float) -> str:
    return f"{mm:.0f} mm" if mm >= 1 else "less than 1 mm"


def _offers(piece: Piece, model: Model, woods: dict, case, springy: float, high: float):
    """(words, how stiff it is then in N/mm): a back by its closed form, stiffer joints by the frame."""
    sides = [m for m in piece.members if abs(m.placement.along[2]) > 0.9 and m.role in ("side", "stile", "leg", "post")]
    slip = SOFTLY * slip_n_mm(woods[(sides or list(piece.members))[0].timber].density_kg_m3, SCREW_MM)
    wide = piece.overall_mm[0]
    yield (f"a back of {SHEET_MM:g} mm plywood screwed to sides, top and bottom every {APART_MM:g} mm",
           springy + sheet_n_mm(round_the_edge(wide, high, APART_MM), slip, high, wide, SHEET_MM))
    single = [n for n, j in enumerate(model.joint_of_spring) if isinstance(j, ScrewRow) and j.count == 1
              and piece.member(j.first).role == "back board" and piece.member(j.first).width_mm >= PAIR_MM + BESIDE_MM]
    if single:
        yield (f"two screws {PAIR_MM:g} mm apart wherever a back board has one", _with(model, case, single, 0, [2 * float(model.soft.stiffness[n, 1]) * (PAIR_MM / 2) ** 2 for n in single]))
    top = max(m.piece_box.hi[2] for m in piece.members)
    under = [n for n, j in enumerate(model.joint_of_spring) if isinstance(j, Joint) and _corner(piece, j, top)]
    if under:
        c = TURNING_N_MM[0] * (RAIL_MM - 20.0) * 40.0 / REFERENCE_MM2 * 2 / len(under)
        yield f"a rail {RAIL_MM:g} mm deep tenoned in under the top", _with(model, case, under, 1, [c] * len(under))
    shelves = _turning_of(piece, model)
    if shelves:
        yield "one more shelf fixed as the others are", springy + corners_n_mm(min(shelves), 2, high)


def _corner(piece: Piece, joint: Joint, top: float) -> bool:
    """Whether a joint is one of an upright with what lies on top or ties the sides together there."""
    a, b = sorted((piece.member(joint.first), piece.member(joint.second)), key=lambda m: abs(m.placement.along[2]))
    return not joint.dry and abs(a.placement.along[0]) > 0.9 and abs(b.placement.along[2]) > 0.9 and max(a.piece_box.hi[2], b.piece_box.hi[2]) > top - 60.0


def _with(model: Model, case, springs: list[int], axis: int, more_n_mm: list[float]) -> float:
    """How stiff the frame is with soft joints when some hold more against turning from side to side. [N/mm]

    ``axis`` 0 where the joint's own way out is the one it turns about, 1 where any of its three lies that way.
    """
    stiffness = model.soft.stiffness.copy()
    for n, more in zip(springs, more_n_mm):
        about = 0 if axis == 0 else int(np.argmax(np.abs(model.soft.joint_axes[n, :, 1])))
        stiffness[n, 3 + about] += more
    node = case.nodes[0][0]
    load = np.zeros((1, len(model.soft.nodes), 6))
    load[0, node, :3] = case.way
    moved = model.soft.with_joints(stiffness).solve(load).moves[0, node, :3]
    return 1 / max(float(np.dot(moved, case.way)), 1e-12)


def _turning_of(piece: Piece, model: Model) -> list[float]:
    """How much each joint of a fixed shelf turns back a radian, its joints soft. [N mm]"""
    by: dict[int, float] = {}
    for n, j in enumerate(model.joint_of_spring):
        if isinstance(j, Housing) and "shelf" in piece.member(j.first).role:
            by[id(j)] = by.get(id(j), 0.0) + float(model.soft.stiffness[n, 4])
    return list(by.values())
