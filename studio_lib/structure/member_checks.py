"""Each member in the frame: bending with its push or pull, shear, buckling, sag, bounce; at what its joints leave of it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, partial
from math import pi, sqrt

import numpy as np

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Piece
from studio_lib.structure.as_frame import Model
from studio_lib.structure.strength import COV, FIFTH_PERCENTILE, SOURCE, column_factor

SAG_LIMIT = 300
"""Length over this for what is sat on or carries things; a proposal of ours."""
SAG_SEEN = 384
"""Length over this is where an eye notices sag: 1/32 in. a foot, shelf-building rule."""
BRACED = ("panel", "back board", "front", "end", "door")
"""Words in the role of a member that keeps the posts of a case from bowing aside."""
FRAME = "frame of the whole piece, joints between a soft and a stiff bound of ours"
SWAYS = 2.0
"""Buckling length over free length of a post whose top may move aside: Euler, fixed at one end and free at the other."""
BOUNCE_HZ = 8.0
"""EN 1995-1-1 7.3.3 for floors; taken over for seats by us."""
SITTER_KG = 75.0

ALIKE = 1e-6
"""Members whose utilisation differs by less than this part are alike: the first is named, whichever way the sum was rounded."""


def first_of(ratios: np.ndarray) -> int:
    """Place of the first that is as good as the greatest, in a flattened array."""
    flat = ratios.ravel()
    return int(np.argmax(flat >= flat.max() * (1 - ALIKE)))


def worse(ratio: float, than: float) -> bool:
    """Whether a utilisation is greater than another by more than rounding."""
    return ratio > than * (1 + ALIKE)


Found = tuple[Finding, int | None]
"""A finding and the number of the case that decides it."""


def member_findings(piece: Piece, model: Model, strengths: dict, cases, answers, lasting) -> list[Found]:
    """Bending with its push or pull, and shear, at every place of every member; the worst of each role."""
    timber = [piece.member(r).timber for r in model.member_of_beam]
    f_b, f_v = (np.array([getattr(strengths[t], n) for t in timber]) for n in ("bending", "shear"))
    area, iy, iz, ymax, zmax = (np.maximum(model.net[:, :, k], 1e-6) for k in range(5))
    left = model.net[:, :, 0] > 1.0
    bent, cut = [], []
    for solved in answers:
        # answers x ends, then cases x beams
        f, counts = solved.ends.reshape(*solved.ends.shape[:2], 2, 6), np.where(left, lasting[:, None, None], 0.0)
        bent.append((np.abs(f[..., 0]) / area + np.abs(f[..., 4]) * (zmax / iy) + np.abs(f[..., 5]) * (ymax / iz)) * counts)
        cut.append(np.hypot(f[..., 1], f[..., 2]) * (1.5 / area) * counts)
    worst: dict[tuple[str, str], tuple] = {}
    roles: dict[str, list[int]] = {}
    for beam, ref in enumerate(model.member_of_beam):
        roles.setdefault(piece.member(ref).role, []).append(beam)
    for what, stress, allowed in (("bending", np.array(bent), f_b), ("shear", np.array(cut), f_v)):
        ratio = stress / allowed[:, None]
        for role, beams in roles.items():
            # beams first, so that of members alike the first is named
            of_role = np.moveaxis(ratio[:, :, beams], 2, 0)
            n, answer, case, end = np.unravel_index(first_of(of_role), of_role.shape)
            beam = beams[n]
            if of_role[n, answer, case, end] > 0:
                worst[role, what] = (float(stress[answer, case, beam, end]), allowed[beam], model.member_of_beam[beam], int(case),
                                     model.x_of_node[model.soft.beams[beam, end]])
    out = []
    for (role, what), (value, allowed, ref, case, x) in worst.items():
        if what == "shear" and value < 0.5 * allowed:
            continue
        out.append((from_ratio(
            piece.member(ref).name, f"{what}, {role}", float(value), float(allowed), "MPa",
            rule=f"{cases[case].says}; {x:.0f} mm from the start, with what the joints leave there",
            source=f"{cases[case].load.source}; {FRAME}; {SOURCE}",
            mend=f"A deeper {role} helps most for its timber and shows most; a thicker one shows less; a smaller mortise there, a shorter "
            "span or a stronger timber shows not at all.",
            stage="sizes", refs=(ref,), look_again_from=0.8,
        ), int(case)))
    return out


def post_findings(piece: Piece, model: Model, woods: dict, strengths: dict, cases, answers, lasting) -> list[Found]:
    """Upright members under their load: compression, buckling and the bending that goes with it."""
    held_at = {*model.soft.joints.ravel().tolist(), *np.flatnonzero(model.soft.fixed.any(axis=1)).tolist()}
    free: dict[str, float] = {}
    for m in piece.members:
        if abs(m.placement.along[2]) < 0.5:
            continue
        held = sorted({float(model.x_of_node[n]) for n in model.nodes_of[m.ref] if n in held_at})
        free[m.ref] = max(np.diff(held), default=m.length_mm) if len(held) > 1 else m.length_mm
    braced = any(word in m.role for m in piece.members for word in BRACED)
    upright = [beam for beam, ref in enumerate(model.member_of_beam) if ref in free]
    if not upright:
        return []
    stress = np.array([  # bending at either end of each, answers x cases x beams
        [np.where(model.net[upright, end, 0] > 1.0,
                  np.abs(f[:, :, base + 4]) * model.net[upright, end, 4] / np.maximum(model.net[upright, end, 1], 1e-6)
                  + np.abs(f[:, :, base + 5]) * model.net[upright, end, 3] / np.maximum(model.net[upright, end, 2], 1e-6), 0.0)
         for end, base in ((0, 0), (1, 6))]
        for f in (solved.ends[:, upright] * lasting[:, None, None] for solved in answers)
    ]).max(axis=1)
    press = np.array([np.maximum(solved.ends[:, upright, 0] * lasting[:, None], 0.0) for solved in answers])
    area = model.soft.area[upright]
    radius = np.sqrt(np.minimum(model.soft.iy[upright], model.soft.iz[upright]) / area)
    refs = [model.member_of_beam[beam] for beam in upright]
    long = np.array([free[ref] * (1.0 if braced else SWAYS) for ref in refs])
    factor, end, bending = np.ones(len(upright)), np.ones(len(upright)), np.ones(len(upright))
    for n, ref in enumerate(refs):
        timber = piece.member(ref).timber
        s, low_e = strengths[timber], woods[timber].e_mpa * (1 - FIFTH_PERCENTILE * COV["stiffness"])
        factor[n], end[n], bending[n] = column_factor(long[n], radius[n], s.end / s.factor, low_e), s.end, s.bending
    ratio = np.where(press > 0, press / area / (factor * end) + stress / bending, 0.0)
    most = ratio.max(axis=(0, 1))
    worst: dict[str, tuple] = {}
    for n, ref in enumerate(refs):
        role = piece.member(ref).role
        if worse(most[n], worst.get(role, (0.0,))[0]):
            answer, case = np.unravel_index(first_of(ratio[:, :, n]), ratio.shape[:2])
            worst[role] = (float(ratio[answer, case, n]), ref, int(case), factor[n], long[n] / radius[n], float(press[answer, case, n]))
    out = []
    for role, (ratio, ref, case, k, slim, force) in worst.items():
        if force < 1.0:
            continue
        c = cases[case]
        out.append((from_ratio(
            piece.member(ref).name, f"buckling, {role}", 100 * ratio, 100.0, "%",
            rule=f"{c.says}; {'held at both ends' if braced else 'its top may move aside'}",
            source=f"EN 1995-1-1 6.3.2; {c.load.source}; {FRAME}; {SOURCE}",
            mend=f"A thicker {role}, or a rail lower down: a lower rail shows less than a thicker {role}.", stage="sizes", refs=(ref,),
            look_again_from=0.8, says=f"{force:.0f} N along it; {slim:.0f} times as long as its radius leaves {100 * k:.0f} % of its strength; "
            f"{100 * ratio:.0f} % used with bending",
        ), case))
    return out


def sag_findings(piece: Piece, model: Model, cases, answers, creep: float) -> list[Found]:
    """Sag between its own ends of what is loaded, and of every level member under what stays on for good."""
    worst: dict[str, tuple] = {}
    level = [m for m in piece.members if abs(m.placement.along[2]) < 0.3 and m.length_mm > 300]
    for solved in answers:
        sags = cache(partial(_sags, model, solved.moves))
        for k, case in enumerate(cases):
            if case.way[2] >= 0 or case.passing:
                continue
            loaded = piece.member(case.ref)
            for m in (level if case.lasting else [loaded]):
                if case.lasting and m is not loaded and case.times < 0.05:
                    continue
                sag = sags(m.ref)[k] * ((1 + creep) if case.lasting else 1.0)
                limit = m.length_mm / (SAG_LIMIT if m.role == loaded.role else SAG_SEEN)
                if worse(sag / limit, worst.get(m.role, (0.0,))[0]):
                    worst[m.role] = (sag / limit, sag, limit, m, k)
    out = []
    for role, (ratio, sag, limit, m, k) in worst.items():
        c = cases[k]
        if m.ref != c.ref and ratio < 0.5:
            continue
        after = ", and after years of creep" if c.lasting else ""
        out.append((from_ratio(
            m.name, f"sag, {role}", sag, limit, "mm", rule=f"length / {m.length_mm / limit:.0f}{after} under {c.says}",
            source=f"a proposal of ours; load {c.load.source}; {FRAME}; creep EN 1995-1-1 table 3.2",
            mend=f"A deeper or thicker {role} (half as deep again sags a third as much), a shorter span, or a lipping that shows as depth.",
            stage="sizes", refs=(m.ref,), says=f"{sag:.1f} mm of {limit:.1f} mm on {m.length_mm:.0f} mm",
        ), k))
    return out


def _sags(model: Model, moves: np.ndarray, ref: str) -> list[float]:
    """How far a member sags below the line between its own ends, under each case. [mm]"""
    nodes = list(model.nodes_of[ref])
    z, x = moves[:, nodes, 2], model.x_of_node[nodes]
    chord = z[:, :1] + (z[:, -1:] - z[:, :1]) * (x - x[0]) / max(x[-1] - x[0], 1e-9)
    return (chord - z).max(axis=1).tolist()


def bounce_findings(piece: Piece, cases, answers) -> list[Found]:
    """How a seat answers someone who sits down: slower than a floor may be is felt as bounce."""
    soft = answers[0]
    worst = None
    for k, case in enumerate(cases):
        if case.way[2] >= 0 or case.lasting or case.passing or case.times != 1.0:
            continue
        down = -sum(soft.moves[k, n, 2] * share for n, share in case.nodes)
        if down > 0 and (worst is None or worse(down / case.load.force_n, worst[0])):
            worst = (down / case.load.force_n, k)
    if worst is None:
        return []
    give, k = worst
    hertz = sqrt(1000 / (give * SITTER_KG)) / (2 * pi)
    f = from_ratio(
        piece.member(cases[k].ref).name, "bounce under someone", BOUNCE_HZ, hertz, "Hz", rule=f"{BOUNCE_HZ:.0f} swings a second or more with {SITTER_KG:.0f} kg on it",
        source=f"EN 1995-1-1 7.3.3 for floors, taken over by us; {FRAME}, soft joints", mend="Stiffer rails or one more bearer; some like a seat that gives.",
        stage="sizes", refs=(cases[k].ref,), look_again_from=1.0, says=f"{hertz:.0f} swings a second with {SITTER_KG:.0f} kg on it, {give * 1000:.1f} mm for every 1000 N",
    )
    # A matter of comfort, never of strength.
    return [(replace(f, verdict=Verdict.LOOK_AGAIN) if f.verdict is Verdict.FAILS else f, k)]
