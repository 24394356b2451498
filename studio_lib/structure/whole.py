"""Will the whole piece hold: every member and joint in the frame, under the loads of its use.

The loads stand one by one where they do most harm: on each seat, top or shelf board at its
middle and its ends, against the top sideways and lengthwise. What decides is named for each
kind of member. Guidance for a maker; a test house certifies by the standard named.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from studio_lib.finding import WORST_FIRST, Finding, Verdict
from studio_lib.piece import Piece
from studio_lib.structure.as_frame import as_frame
from studio_lib.structure.bearing import bearing
from studio_lib.structure.cases import Case, load_cases, node_loads, own_weight, spots
from studio_lib.structure.frame import Mechanism, Solved
from studio_lib.structure.joint_checks import joint_findings
from studio_lib.structure.loads import Load, loads_of, serves
from studio_lib.structure.member_checks import (
    FRAME, Found, bounce_findings, member_findings, post_findings, sag_findings,
)
from studio_lib.structure.hung import hung_at, on_the_wall
from studio_lib.structure.fixings import UNDER_CEILING, held_at_ends, screen_fixings
from studio_lib.structure.one_slat import apart_findings, slat_findings
from studio_lib.structure.opened import Setting, hinge_findings, opened_findings
from studio_lib.structure.stability import edge_findings, fixing_finding, push_finding, rocking_finding, standing
from studio_lib.structure.railing import CLAMPED
from studio_lib.structure.sway import lying_on, sway_findings
from studio_lib.structure.strength import K_DEF, K_MOD_LONG, K_MOD_SHORT, SERVICE_CLASS, strengths
from studio_lib.structure.tied import tied_findings


@dataclass(frozen=True, eq=False)
class Bent:
    """The axes of a piece under one case: where they were, and how far they move with soft joints. [mm]"""

    case: Case
    lines: tuple[tuple[str, np.ndarray, np.ndarray], ...]
    """(reference of the member, its points n x 3, their moves n x 3)."""
    at: tuple[np.ndarray, np.ndarray] | None
    """Where the load stands and how far that place moves; None for one spread over many."""


@dataclass(frozen=True, eq=False)
class Analysis:
    """What the frame says of a piece: findings, the worst first, and the shape it takes under what decides each."""

    findings: tuple[Finding, ...]
    bent: tuple[Bent | None, ...]
    """For each finding the case it comes from; None where it is no matter of bending."""


def whole_findings(
    piece: Piece, woods: dict, place: str, use: str, own: dict[str, float] | None = None, setting: Setting = Setting(),
    *, judged_alone: bool = False,
) -> list[Finding]:
    """Strength, sag, sway, standing and joints of any piece, the worst of each kind of member first; see ``analysed``."""
    return list(analysed(piece, woods, place, use, own, setting, judged_alone=judged_alone).findings)


def analysed(
    piece: Piece, woods: dict, place: str, use: str, own: dict[str, float] | None = None, setting: Setting = Setting(),
    *, judged_alone: bool = False,
) -> Analysis:
    """Every check of strength, stiffness and standing of a piece.

    Parameters
    ----------
    woods : {timber: Wood}
    place : moisture class by where it stands, ``strength.SERVICE_CLASS``
    use : 'household' or 'public'
    own : {name of a load: the maker's figure}; see ``loads.NAMES``
    setting : whether children come near it, whether a wall holds it, whether a stay holds its lid
    judged_alone : leave out what is only told of and can never fail, and the bent shapes; for trying many sizes

    A piece that folds, a timber without figures and loads out of bounds come back as findings, in words.
    """
    kind = serves(piece.form)
    missing = {n for w in woods.values() for n in w.missing()}
    try:
        loads = loads_of(kind, use, own, setting.children, setting.sitters)
        opened, entire = opened_findings(piece, woods, setting), piece
        piece = without_loose(piece)
        if missing:
            stands = standing(piece, woods)
            stood = () if setting.hung else (push_finding(piece, stands),)
            known = [f for f in (*opened, *edge_findings(piece, stands, loads), *stood) if f is not None]
            return Analysis((_unknown(piece, woods, missing), *known), (None,) * (1 + len(known)))
        strong = {t: strengths(w, SERVICE_CLASS[place]) for t, w in woods.items()}
        both = held_at_ends(piece, setting)
        model = as_frame(piece, woods, {m.ref: spots(m) for m in bearing(piece)}, strong, both, each=setting.fixed == CLAMPED, tops=setting.fixed in UNDER_CEILING,
                         hung=hung_at(piece, setting.hung))
        stands = standing(piece, woods)
        pushed = loads.get("push")
        if setting.wind_n and kind == "screen" and (both or "floor" in setting.fixed):
            loads["wind"] = Load("a gust blows on it", setting.wind_n, "ASCE 7-16 29.3 and the wind of the brief, as on Sizes")
        if kind == "shelf" and not setting.hung:
            loads["push"] = _no_more_than_tips(pushed, stands)
        cases = load_cases(piece, model, loads)
        own = own_weight(piece, model, woods)
        forces = np.concatenate([node_loads(model, own, cases), own[None]])
        answers, resting = zip(*(_apart(frame.solve(forces)) for frame in (model.soft, model.stiff)))
    except Mechanism as folded:
        return _only(_folds(piece, model, folded))
    except ValueError as error:
        return _only(Finding(piece.name, "strength", Verdict.OPEN, str(error), stage="sizes", mend="Let something stand on the floor."))
    service = SERVICE_CLASS[place]
    lasting = np.array([K_MOD_SHORT[service] / K_MOD_LONG[service] if c.lasting else 1.0 for c in cases])
    on_floor = () if judged_alone or setting.hung else (
        push_finding(piece, stands), fixing_finding(piece, stands, pushed),
        rocking_finding(piece, model, tuple(r.reactions[0] for r in resting), setting.floor_falls_mm),
    )
    told = () if judged_alone else (*_figures(piece, woods), *on_floor, *screen_fixings(piece, model, cases, answers, pushed, setting, strong))
    hangs = on_the_wall(piece, model, cases, answers, resting, pushed, woods, setting.hung, setting.wall)
    found: list[Found] = [(f, None) for f in (*opened, *edge_findings(piece, stands, loads), *hangs, *told) if f is not None]
    found += member_findings(piece, model, strong, cases, answers, lasting)
    found += post_findings(piece, model, woods, strong, cases, answers, lasting)
    found += sag_findings(piece, model, cases, answers, K_DEF[service])
    swayed = [] if setting.hung else sway_findings(piece, model, woods, cases, answers, resting, stands, loads, pushed, setting.held, setting.between, lying_on(entire, piece, loads))
    found += [(f, len(cases) + n) for n, (f, *_) in enumerate(swayed)]
    if kind == "seat":
        found += bounce_findings(piece, cases, answers)
    found += [(f, None) for f in (
        *slat_findings(piece, woods, strong, loads), *tied_findings(piece, woods, strong, loads), *apart_findings(piece, woods, setting.children))]
    found += joint_findings(model, cases, answers, lasting)
    found += [(f, None) for f in hinge_findings(entire, woods, strong, setting)]
    found.sort(key=lambda f: (WORST_FIRST.index(f[0].verdict), -(f[0].utilisation or 0.0)))
    bent = {} if judged_alone else {
        **{k: _bent(model, cases[k], answers[0].moves[k]) for k in {k for _, k in found if k is not None} if k < len(cases)},
        **{len(cases) + n: _bent(model, case, times * answers[0].moves[k]) for n, (_, case, k, times) in enumerate(swayed)},
    }
    return Analysis(tuple(f for f, _ in found), tuple(bent.get(k) for _, k in found))


def _figures(piece: Piece, woods: dict) -> list[Finding]:
    """What is used where no one has published a figure of a timber; nothing where all are."""
    said = [f"{w.name}: {'; '.join(w.not_published())}" for w in woods.values() if w.not_published()]
    if not said:
        return []
    return [Finding(piece.name, "figures of the timber", Verdict.STANDS, ". ".join(said), rule="a figure that no one has published is said",
                    source="named with each", stage="sizes")]


def _unknown(piece: Piece, woods: dict, missing: set[str]) -> Finding:
    return Finding(
        piece.name, "strength", Verdict.OPEN,
        f"{' or '.join(sorted(woods))} has no published {' or '.join(sorted(missing))} on file",
        mend="Accept a conservative stand-in on the timber page, or choose another timber.", stage="sizes",
    )


def _only(finding: Finding) -> Analysis:
    return Analysis((finding,), (None,))


def _apart(solved: Solved) -> tuple[Solved, Solved]:
    """The answers to the cases, and to the piece's own weight alone, which was solved for last."""
    return tuple(Solved(*(getattr(solved, n)[part] for n in ("moves", "ends", "springs", "reactions"))) for part in (slice(-1), slice(-1, None)))


def _no_more_than_tips(push, stands):
    """A case can be pushed no harder than tips it, unless something holds it; that is the fixing's to bear."""
    most = min(stands.tips_at_n(axis, sign, stands.top_mm) for axis in (0, 1) for sign in (-1, 1))
    if most >= push.force_n:
        return push
    return replace(push, what=f"{push.what}, as far as it does not tip", force_n=most)


def _bent(model, case: Case, moves: np.ndarray) -> Bent:
    nodes = model.soft.nodes
    on, share = [n for n, _ in case.nodes], np.array([s for _, s in case.nodes])
    at = None if len(on) > 6 else (share @ nodes[on], share @ moves[on, :3])
    along = {ref: slice(own[0], own[-1] + 1) for ref, own in model.nodes_of.items()}  # a member's nodes follow one another
    return Bent(case, tuple((ref, nodes[part], moves[part, :3]) for ref, part in along.items()), at)


def _folds(piece: Piece, model, folded: Mechanism) -> Finding:
    owner = {n: ref for ref, nodes in model.nodes_of.items() for n in nodes}
    refs = tuple(dict.fromkeys(owner[n] for n in folded.nodes))[:6]
    names = ", ".join(f"{piece.member(r).name} ({r})" for r in refs)
    return Finding(
        piece.name, "standing up", Verdict.FAILS, f"nothing holds {names}: the piece would fold, slide or topple there",
        rule="every member is held in every direction", source=FRAME, stage="sizes", refs=refs,
        mend="Join those members, add a stretcher or a brace, or choose a joint that holds against turning.",
    )


LAID_IN = ("shelf", "lid", "drawer", "seat")
"""What may lie loose on others and is no fault for it; a form's own checks see to a loose shelf."""


def without_loose(piece: Piece) -> Piece:
    """The piece without shelves and lids that only lie in it, drawers that only run in it, and fillets, which carry nothing."""
    above = {m.ref: m.ref for m in piece.members}

    def top(r):
        while above[r] != r:
            above[r] = above[above[r]]
            r = above[r]
        return r

    for a, b in [(j.first, j.second) for j in piece.joints] + [(s.near, s.far) for s in piece.fixings]:
        above[top(a)] = top(b)
    laid = {top(m.ref) for m in piece.members if any(word in m.role for word in LAID_IN)}
    low = min((m.piece_box.lo[2] for m in piece.members), default=0.0)
    standing = {top(m.ref) for m in piece.members if m.piece_box.lo[2] < low + 1.0}
    loose = {m.ref for m in piece.members if top(m.ref) in laid - standing or m.role == "fillet"}
    return piece.without(loose) if loose else piece
