"""Will the whole piece hold: every member and joint in the frame, under the loads of its use.

The loads stand one by one where they do most harm: on each seat, top or shelf board at its
middle and its ends, against the top sideways and lengthwise. What decides is named for each
kind of member. Guidance for a maker; a test house certifies by the standard named.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Piece
from studio_lib.piece.mortise_tenon import MortiseTenon
from studio_lib.structure.as_frame import Model, as_frame
from studio_lib.structure.frame import Mechanism
from studio_lib.structure.loads import BACK, G, SCREEN, SEAT, SHELF, TABLE, Load
from studio_lib.structure.strength import K_DEF, SERVICE_CLASS, SOURCE, design_mpa, tenon_strength

BEARERS = ("slat", "seat", "top", "shelf", "lid", "breadboard", "board")
"""Words in the role of a member that people sit on or things stand on."""
NOT_BEARERS = ("back", "front", "end", "side", "bottom", "plinth", "rest", "rail", "bearer", "post")
SAG_LIMIT = 300
SWAY_LIMIT = 50
"""Height over this is how far the top may move sideways under the push of a test; a proposal of ours."""
BRACED = ("panel", "back board", "front", "end", "door")
"""Words in the role of a member that braces a case in its own plane, as no frame of bars shows: its sway is not judged."""
FRAME = "frame of the whole piece, joints between a soft and a stiff bound of ours"
MOST_CASES = 60


@dataclass(frozen=True)
class Case:
    """A load at one place."""

    load: Load
    where: str
    ref: str
    nodes: tuple[tuple[int, float], ...]
    """Where it stands, and the share that stands there."""
    way: tuple[float, float, float]
    lasting: bool = False


def serves(form: str) -> str:
    """What a piece of that form is for: 'table', 'seat', 'shelf', 'screen'; 'seat' where nothing says."""
    for word, use in (("table", "table"), ("bench", "seat"), ("stool", "seat"), ("shel", "shelf"), ("screen", "screen"),
                      ("cabinet", "shelf"), ("chest", "seat"), ("case", "shelf")):
        if word in form:
            return use
    return "seat"


def whole_findings(piece: Piece, woods: dict, place: str, use: str) -> list[Finding]:
    """Strength, sag, sway and joints of any piece, the worst of each kind of member."""
    missing = {n for w in woods.values() for n in w.missing()}
    if missing:
        return [
            Finding(
                piece.name, "strength", Verdict.OPEN,
                f"{' or '.join(sorted(woods))} has no published {' or '.join(sorted(missing))} on file",
                mend="Accept a conservative stand-in on the timber page, or choose another timber.", stage="sizes",
            )
        ]
    try:
        piece = without_loose(piece)
        model = as_frame(piece, woods, {m.ref: _spots(m) for m in _bearing(piece)})
        cases = _cases(piece, model, use)
        loads = _loads(piece, model, woods, cases)
        answers = [model.soft.solve(loads), model.stiff.solve(loads)]
    except Mechanism as folded:
        return [_folds(piece, model, folded)]
    except ValueError as error:
        return [Finding(piece.name, "strength", Verdict.OPEN, str(error), stage="sizes", mend="Let something stand on the floor.")]
    service = SERVICE_CLASS[place]
    return (
        _balance(piece, woods, use)
        + _strength(piece, model, woods, cases, answers, service)
        + _sag(piece, model, cases, answers, K_DEF[service])
        + _sway(piece, model, cases, answers)
        + _joints(piece, model, woods, cases, answers, service)
    )


def _folds(piece: Piece, model: Model, folded: Mechanism) -> Finding:
    owner = {n: ref for ref, nodes in model.nodes_of.items() for n in nodes}
    refs = tuple(dict.fromkeys(owner[n] for n in folded.nodes))[:6]
    names = ", ".join(f"{piece.member(r).name} ({r})" for r in refs)
    return Finding(
        piece.name, "standing up", Verdict.FAILS, f"nothing holds {names}: the piece would fold, slide or topple there",
        rule="every member is held in every direction", source=FRAME, stage="sizes", refs=refs,
        mend="Join those members, add a stretcher or a brace, or choose a joint that holds against turning.",
    )


EDGE_MM = {"seat": 100.0, "table": 100.0}
PAD_MM = {"seat": 200.0, "table": 100.0}
"""A person stands on a foot, sits on a pad: EN 1728 and EN 1730, from memory."""


def _cases(piece: Piece, model: Model, use: str) -> list[Case]:
    kind = serves(piece.form)
    table = {"table": TABLE, "shelf": SHELF, "screen": SCREEN}.get(kind, SEAT)[use]
    out: list[Case] = []
    bearing = _bearing(piece)
    down = table.get("down")
    if down and kind in PAD_MM:
        for m in bearing:
            for x in _spots(m):
                out.append(Case(down, f"on {m.name}", m.ref, _pad(m, x, bearing, model, PAD_MM[kind]), (0.0, 0.0, -1.0)))
        if len(out) > MOST_CASES:
            out = [out[i] for i in np.linspace(0, len(out) - 1, MOST_CASES).astype(int)]
    if kind == "shelf":
        for m in bearing:
            nodes = model.nodes_of[m.ref]
            out.append(Case(table["books"], f"on {m.name}", m.ref, _spread(model, nodes), (0.0, 0.0, -1.0), True))
    push = table.get("push")
    if push:
        top = max(m.piece_box.hi[2] for m in piece.members)
        high = [m for m in piece.members if m.piece_box.hi[2] > top - 60 and m.role != "panel"]
        for way in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)):
            m = max(high, key=lambda m: abs(np.dot(m.placement.along, way)) * m.length_mm)
            nodes = model.nodes_of[m.ref]
            where = nodes[0 if way[0] else len(nodes) // 2]
            out.append(Case(push, "sideways" if way[0] else "from front to back", m.ref, ((where, 1.0),), way))
    for m in piece.members:
        if kind == "seat" and "back" in m.role and ("slat" in m.role or "rail" in m.role):
            nodes = model.nodes_of[m.ref]
            out.append(Case(BACK[use], f"on {m.name}", m.ref, ((nodes[len(nodes) // 2], 1.0),), (0.0, 1.0, 0.0)))
    return out


def _spots(member) -> tuple[float, ...]:
    """Places along a member where someone may sit or stand. [mm]"""
    near = min(EDGE_MM["seat"], member.length_mm / 4)
    return (near, member.length_mm / 2, member.length_mm - near)


def _spread(model: Model, nodes) -> tuple[tuple[int, float], ...]:
    """An even load over a member, shared by the length each node stands for."""
    x = model.x_of_node[list(nodes)]
    gaps = np.diff(x)
    share = (np.concatenate([gaps, [0.0]]) + np.concatenate([[0.0], gaps])) / 2
    return tuple((n, float(v / share.sum())) for n, v in zip(nodes, share))


def _pad(member, x: float, bearing, model: Model, pad_mm: float) -> tuple[tuple[int, float], ...]:
    """The members under a pad and what each takes, by the width of it that lies there."""
    here = np.array(member.placement.to_piece((x, member.width_mm / 2, member.thickness_mm / 2)))
    across = np.array(member.placement.across)
    out = []
    for m in bearing:
        if abs(np.dot(m.placement.along, across)) > 0.1 and m is not member:
            continue
        local = m.placement.to_member(tuple(here))
        if not -1.0 <= local[0] <= m.length_mm + 1.0:
            continue
        lies = min(local[1] + pad_mm / 2, m.width_mm) - max(local[1] - pad_mm / 2, 0.0)
        if lies > 0:
            nodes = model.nodes_of[m.ref]
            out.append((min(nodes, key=lambda n: abs(model.x_of_node[n] - local[0])), lies))
    whole = sum(v for _, v in out)
    return tuple((n, v / whole) for n, v in out)


LAID_IN = ("shelf", "lid", "drawer", "seat")
"""What may lie loose on others and is no fault for it; a form's own checks see to a loose shelf."""


def without_loose(piece: Piece) -> Piece:
    """The piece without shelves and lids that only lie in it and drawers that only run in it."""
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
    loose = {m.ref for m in piece.members if top(m.ref) in laid - standing}
    if not loose:
        return piece
    return replace(
        piece, members=tuple(m for m in piece.members if m.ref not in loose),
        joints=tuple(j for j in piece.joints if j.first not in loose), fixings=tuple(s for s in piece.fixings if s.near not in loose),
    )


def _bearing(piece: Piece):
    """Level members that people sit on or things stand on."""
    return [
        m for m in piece.members
        if any(word in m.role for word in BEARERS) and abs(m.placement.along[2]) < 0.3
        and not any(word in m.role for word in NOT_BEARERS) and m.piece_box.size[2] < max(m.width_mm, m.thickness_mm) + 1
    ]


def _loads(piece: Piece, model: Model, woods, cases) -> np.ndarray:
    own = np.zeros((len(model.soft.nodes), 6))
    for (i, j), ref, area, length in zip(model.soft.beams, model.member_of_beam, model.soft.area, model.soft.length):
        weight = area * length * 1e-9 * woods[piece.member(ref).timber].density_kg_m3 * G
        own[i, 2] -= weight / 2
        own[j, 2] -= weight / 2
    out = np.repeat(own[None], len(cases), axis=0)
    for case, load in zip(cases, out):
        force = case.load.force_n
        if case.lasting:
            m = piece.member(case.ref)
            force *= m.length_mm * min(m.width_mm, 600.0) * 1e-6
        for node, share in case.nodes:
            load[node, :3] += np.array(case.way) * force * share
    return out


def _strength(piece, model: Model, woods, cases, answers, service) -> list[Finding]:
    """Bending with its push or pull, and shear, at every place of every member."""
    worst: dict[tuple[str, str], tuple] = {}
    bend = {t: design_mpa(w.bending_mean_mpa, "bending", service) for t, w in woods.items()}
    shear = {t: design_mpa(w.shear_mean_mpa, "shear", service) for t, w in woods.items()}
    timber = [piece.member(r).timber for r in model.member_of_beam]
    f_b, f_v = np.array([bend[t] for t in timber]), np.array([shear[t] for t in timber])
    area, iy, iz, ymax, zmax = (np.maximum(model.net[:, :, k], 1e-6) for k in range(5))
    left = model.net[:, :, 0] > 1.0
    for solved in answers:
        for end, base in ((0, 0), (1, 6)):
            f = solved.ends[:, :, base:base + 6]
            normal = np.abs(f[:, :, 0]) / area[:, end]
            bending = np.abs(f[:, :, 4]) * zmax[:, end] / iy[:, end] + np.abs(f[:, :, 5]) * ymax[:, end] / iz[:, end]
            stress = np.where(left[:, end], normal + bending, 0.0)
            cut = np.where(left[:, end], 1.5 * np.hypot(f[:, :, 1], f[:, :, 2]) / area[:, end], 0.0)
            for what, ratio, value, allowed in (("bending", stress / f_b, stress, f_b), ("shear", cut / f_v, cut, f_v)):
                case_of = ratio.argmax(axis=0)
                for beam, case in enumerate(case_of):
                    ref = model.member_of_beam[beam]
                    key = (piece.member(ref).role, what)
                    r = ratio[case, beam]
                    if r > worst.get(key, (0.0,))[0]:
                        worst[key] = (r, value[case, beam], allowed[beam], ref, case, model.x_of_node[model.soft.beams[beam, end]])
    out = []
    for (role, what), (_, value, allowed, ref, case, x) in worst.items():
        m, c = piece.member(ref), cases[case]
        if what == "shear" and value < 0.5 * allowed:
            continue
        out.append(
            from_ratio(
                m.name, f"{what}, {role}", float(value), float(allowed), "MPa",
                rule=f"{c.load.what}, {c.load.force_n:.0f} N{' a m2' if c.lasting else ''} {c.where}; {x:.0f} mm from the start, with what the joints leave there",
                source=f"{c.load.source}; {FRAME}; {SOURCE}", mend=f"A deeper or thicker {role}, a shorter span, or a stronger timber.",
                stage="sizes", refs=(ref,), look_again_from=0.8,
            )
        )
    return out


def _sag(piece, model: Model, cases, answers, creep: float) -> list[Finding]:
    worst: dict[str, tuple] = {}
    for solved in answers:
        for k, case in enumerate(cases):
            if case.way[2] >= 0:
                continue
            nodes = model.nodes_of[case.ref]
            z, x = solved.moves[k, nodes, 2], model.x_of_node[list(nodes)]
            chord = z[0] + (z[-1] - z[0]) * (x - x[0]) / max(x[-1] - x[0], 1e-9)
            sag = float(np.max(chord - z)) * ((1 + creep) if case.lasting else 1.0)
            role = piece.member(case.ref).role
            length = piece.member(case.ref).length_mm
            if sag / length > worst.get(role, (0.0,))[0]:
                worst[role] = (sag / length, sag, length, case)
    out = []
    for role, (_, sag, length, c) in worst.items():
        limit = length / SAG_LIMIT
        after = ", and after years of creep" if c.lasting else ""
        out.append(
            from_ratio(
                piece.member(c.ref).name, f"sag, {role}", sag, limit, "mm", rule=f"length / {SAG_LIMIT}{after} under {c.load.what}",
                source=f"a proposal of ours; load {c.load.source}; {FRAME}; creep EN 1995-1-1 table 3.2",
                mend=f"A thicker {role}, a shorter span, or a lipping.", stage="sizes", refs=(c.ref,),
                says=f"{sag:.1f} mm of {limit:.1f} mm on {length:.0f} mm",
            )
        )
    return out


def _sway(piece, model: Model, cases, answers) -> list[Finding]:
    out = []
    if any(word in m.role for m in piece.members for word in BRACED):
        return out
    for way, words in ((0, "sideways"), (1, "from front to back")):
        pushes = [k for k, c in enumerate(cases) if c.where == words]
        if not pushes:
            continue
        k = pushes[0]
        soft, stiff = (float(np.abs(a.moves[k, :, way]).max()) for a in answers)
        height = piece.overall_mm[2]
        limit = height / SWAY_LIMIT
        verdict = Verdict.STANDS if soft <= limit else Verdict.LOOK_AGAIN if stiff <= limit else Verdict.FAILS
        doubt = "" if verdict is not Verdict.LOOK_AGAIN else "; between the two nobody knows until it is pushed"
        out.append(
            Finding(
                piece.name, f"sway {words}", verdict,
                f"{stiff:.1f} mm with stiff joints, {soft:.1f} mm with soft ones, {limit:.1f} mm at most{doubt}",
                soft if verdict is not Verdict.LOOK_AGAIN else stiff, limit, "mm",
                f"height / {SWAY_LIMIT} under {cases[k].load.what}, {cases[k].load.force_n:.0f} N",
                f"a proposal of ours; load {cases[k].load.source}; {FRAME}",
                "" if verdict is Verdict.STANDS else "Deeper rails, a lower rail or stretcher, or thicker legs; or push the dry-fitted piece and see.",
                "sizes",
            )
        )
    return out


def _joints(piece, model: Model, woods, cases, answers, service) -> list[Finding]:
    """The moment that each family of tenons must hold, against what its mechanics gives."""
    worst: dict[str, tuple] = {}
    for solved in answers:
        moment = np.linalg.norm(solved.springs[:, :, 3:], axis=2)
        for s, joint in enumerate(model.joint_of_spring):
            if not isinstance(joint, MortiseTenon) or not joint.thickness_mm:
                continue
            wood = woods[piece.member(joint.first).timber]
            strength = tenon_strength(
                joint.thickness_mm, joint.width_mm, joint.length_mm,
                design_mpa(wood.bending_mean_mpa, "bending", service), design_mpa(wood.shear_mean_mpa, "shear", service),
            )
            case = int(moment[:, s].argmax())
            ratio = moment[case, s] / strength.moment_n_mm
            if ratio > worst.get(joint.family, (0.0,))[0]:
                worst[joint.family] = (ratio, moment[case, s], strength, joint, case)
    out = []
    for family, (_, asked, strength, joint, case) in worst.items():
        c = cases[case]
        out.append(
            from_ratio(
                family, "strength of the tenon", float(asked) / 1000, strength.moment_n_mm / 1000, "N m",
                rule=f"{c.load.what}, {c.load.force_n:.0f} N {c.where}",
                source=f"{c.load.source}; {FRAME}; mechanics of the tenon, {strength.governed_by}; {SOURCE}",
                mend="Widen, thicken or lengthen the tenon, deepen the rail, or add a stretcher.", stage="joints",
                refs=(joint.first, joint.second),
                says=f"{asked / 1000:.0f} N m asked, {strength.moment_n_mm / 1000:.0f} N m held, by {strength.governed_by}",
            )
        )
    return out


def _balance(piece: Piece, woods, use: str) -> list[Finding]:
    """Tipping over the feet by someone at the edge of a seat or a table, the piece standing empty."""
    from studio_lib.solids.mesh import placed

    kind = serves(piece.form)
    if kind not in PAD_MM:
        return []
    load, inside, outward = (
        (TABLE[use]["edge"], 50.0, 0.0) if kind == "table" else (SEAT[use]["edge"], 60.0, 20.0)
    )
    bodies = {m.ref: placed(piece, m.ref) for m in piece.members}
    mass = {r: b.volume() * 1e-9 * woods[piece.member(r).timber].density_kg_m3 for r, b in bodies.items()}
    boxes = {r: np.array(b.bounding_box()).reshape(2, 3) for r, b in bodies.items()}
    weight = sum(mass.values()) * G
    middle = sum(mass[r] * boxes[r].mean(axis=0) for r in bodies) / sum(mass.values())
    floor = min(b[0, 2] for b in boxes.values())
    feet = [_foot(bodies[r], floor) for r, b in boxes.items() if b[0, 2] < floor + 2.0]
    bearing = [boxes[m.ref] for m in _bearing(piece)]
    if not bearing:
        return []
    found = []
    for axis, words in ((0, "over its end"), (1, "over its side")):
        worst = None
        for sign in (-1, 1):
            foot = max(sign * f[k, axis] for f in feet for k in (0, 1))
            edge = max(sign * b[k, axis] for b in bearing for k in (0, 1))
            tipping = load.force_n * max(edge - inside - foot, 0.0) + outward * piece.overall_mm[2]
            righting = weight * (foot - sign * middle[axis]) + load.force_n * max(foot - (edge - inside), 0.0)
            if worst is None or tipping / max(righting, 1.0) > worst[0] / max(worst[1], 1.0):
                worst = (tipping, righting)
        tipping, righting = worst
        found.append(
            from_ratio(
                piece.name, f"tipping {words}", tipping / 1000, max(righting, 1.0) / 1000, "N m",
                rule=f"{load.what}: {load.force_n:.0f} N at {inside:.0f} mm from the edge",
                source="EN 581-3 and EN 1022 by moments about the feet; force " + load.source,
                mend="Move the feet outwards, or make the piece heavier low down.", stage="sizes", look_again_from=0.9,
                says=f"{tipping / 1000:.0f} N m would tip it, {righting / 1000:.0f} N m hold it down",
            )
        )
    return found


def _foot(body, floor: float) -> np.ndarray:
    """Where a member stands on the floor: least and greatest x, y."""
    points = np.asarray(body.to_mesh().vert_properties)[:, :3]
    low = points[points[:, 2] < floor + 5.0]
    return np.array([low[:, :2].min(axis=0), low[:, :2].max(axis=0)])
