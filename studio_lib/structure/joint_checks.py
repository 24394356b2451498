"""What each joint must carry in the frame, against what it holds: pull and turning, pressing, sliding."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.structure.member_checks import first_of, worse
from studio_lib.structure.strength import SOURCE

WAYS = ("pull", "push", "slide_wide", "slide_thin", "turn", "turn_thin", "twist")
WORDS = {
    "pull": "pull", "push": "pressing", "slide_wide": "shear", "slide_thin": "shear the other way", "turn": "turning in its plane",
    "turn_thin": "turning flat", "twist": "twisting",
}
MEND = {
    "pull": "A longer or wider glued part, more fixings, or a member that ties the two together.",
    "push": "A broader shoulder or foot, or a harder timber: it dents before it breaks.",
    "slide_wide": "A thicker or wider tongue, a deeper rest, or one more fixing.",
    "slide_thin": "A thicker tongue, or one more fixing.",
    "turn": "Widen, thicken or lengthen the joint, deepen the member, or add a stretcher: a wider rail shows, a thicker tenon does not.",
    "turn_thin": "A thicker tongue or a broader shoulder, or hold the member on its other side too.",
    "twist": "A thicker tongue, or fix what loads the member over its middle, so that it does not twist.",
}
HOLDS_BY = {"tenon": "tenon", "dowel": "dowels", "screw": "screws", "bolt": "bolts"}
"""By a word in its kind, what a joint holds by; 'tongue' for all others."""


def mend_of(joint, name: str) -> str:
    """What would help a joint in one of ``WAYS``, in the words of its kind."""
    kind = getattr(joint, "kind", "screws" if hasattr(joint, "near") else "")
    by = next((part for word, part in HOLDS_BY.items() if word in kind), "tongue")
    if by in ("dowels", "screws", "bolts"):
        more = f"More or thicker {by}"
        return {
            "slide_wide": f"{more}, or a rest under the member.", "slide_thin": f"{more}.",
            "turn_thin": f"{more}, or hold the member on its other side too.",
            "twist": f"{more}, or fix what loads the member over its middle, so that it does not twist.",
        }.get(name, MEND[name])
    return MEND[name].replace("tongue", by)


ADDED, ACROSS = (0, 4, 5, 6), (2, 3)
"""Of ``WAYS``: those that use up one joint together, and those at right angles, of which the resultant counts."""


def in_percent(parts, total: float | None = None) -> list[int]:
    """Shares as whole per cent; with ``total`` so rounded that they add up to its own, largest remainder first."""
    out = [round(100 * p) for p in parts]
    if total is not None:
        out = [int(100 * p) for p in parts]
        order = sorted(range(len(out)), key=lambda i: out[i] - 100 * parts[i])
        for i in order[: max(round(100 * total) - sum(out), 0)]:
            out[i] += 1
    return out


DENTS_TO = 2.0
"""What only dents holds to this many times where it begins to: timber pressed across its grain hardens; a judgement of ours."""
SAY_FROM = 0.5
"""A second way of one joint is told of from here on."""


def account(held) -> list[tuple[str, str, str]]:
    """What a joint holds in each way, in words: (way, how much, what gives way first)."""
    out = []
    for name in WAYS:
        way = getattr(held, name)
        if way is not None:
            much = f"{way.most / 1000:.1f} N m" if name in ("turn", "turn_thin", "twist") else f"{way.most:.0f} N"
            out.append((WORDS[name], much, way.by))
    return out


def capacities(model) -> np.ndarray:
    """What each spring holds in each of ``WAYS``: springs x 7, [N] and [N mm]; inf where not held."""
    most, known = [], {}
    for held in model.held_at_spring:
        if id(held) not in known:
            known[id(held)] = [inf if held is None or (way := getattr(held, name)) is None else max(way.most, 1e-6) for name in WAYS]
        most.append(known[id(held)])
    return np.array(most)


def shares(springs: np.ndarray, most: np.ndarray) -> np.ndarray:
    """Part of each way that is used, cases x springs x 7. ``springs`` in the joints' own axes."""
    f = springs
    used = np.stack([
        np.maximum(f[:, :, 0], 0.0), np.maximum(-f[:, :, 0], 0.0), np.abs(f[:, :, 1]), np.abs(f[:, :, 2]),
        np.abs(f[:, :, 5]), np.abs(f[:, :, 4]), np.abs(f[:, :, 3]),
    ], axis=2)
    return used / most


def joint_findings(model, cases, answers, lasting) -> list[tuple[Finding, int | None]]:
    """The worst joint of each family. ``lasting`` raises what stands for good by the lower strength under it, one a case."""
    if not model.joint_of_spring:
        return []
    most, said = capacities(model), model.held_at_spring
    worst: dict[tuple[str, str], tuple] = {}
    of_family: dict[str, list[int]] = {}
    for s, held in enumerate(said):
        if held is not None:
            of_family.setdefault(model.joint_of_spring[s].family, []).append(s)
    for solved in answers:
        used = shares(solved.springs, most) * lasting[:, None, None]
        # A rail that is stepped on twists only as far as what stands on it turns with it; nothing rests on that twist.
        used[[c.passing for c in cases], :, 6] = 0.0
        ways = {
            "pull and turning": (used[:, :, [0, 4, 5, 6]].sum(axis=2), (0, 4, 5, 6)),
            "pressing": (used[:, :, 1], (1,)),
            "shear": (np.hypot(used[:, :, 2], used[:, :, 3]), (2, 3)),
        }
        for what, (ratio, parts) in ways.items():
            for family, springs in of_family.items():
                of_all = ratio[:, springs].T
                n, case = np.unravel_index(first_of(of_all), of_all.shape)
                r, s, key = float(of_all[n, case]), springs[n], (family, what)
                if worse(r, worst.get(key, (0.0,))[0]):
                    lead = max(parts, key=lambda k: used[case, s, k])
                    worst[key] = (r, lead, used[case, s].copy(), said[s], model.joint_of_spring[s], cases[case], int(case))
    out = []
    for family in dict.fromkeys(f for f, _ in worst):
        own = sorted((v for (f, _), v in worst.items() if f == family), key=lambda v: -v[0])
        out += [(_finding(family, v), v[-1]) for k, v in enumerate(own) if k == 0 or v[0] > SAY_FROM]
    silent = {j.family for j, held in zip(model.joint_of_spring, said) if held is None and j is not None}
    return out + [(_unjudged(family), None) for family in sorted(silent)]


def _finding(family: str, found) -> Finding:
    ratio, lead, used, held, joint, case, _ = found
    name = WAYS[lead]
    way = getattr(held, name)
    turning = lead >= 4
    unit, by = ("N m", 1000.0) if turning else ("N", 1.0)
    digits = 1 if turning and way.most < 10_000 else 0
    with_it = [k for k in (ADDED if lead in ADDED else ACROSS if lead in ACROSS else ()) if k != lead]
    pct = in_percent([used[k] for k in (lead, *with_it)], ratio if lead in ADDED else None)
    also = [f"{WORDS[WAYS[k]]} {p} %" for k, p in zip(with_it, pct[1:]) if p > (0 if lead in ADDED else 10)]
    if ratio > 1 and f"{used[lead] * way.most / by:.{digits}f}" == f"{way.most / by:.{digits}f}":
        digits += 1
    says = f"{WORDS[name]} {used[lead] * way.most / by:.{digits}f} of {way.most / by:.{digits}f} {unit}{f' ({pct[0]} %)' if also else ''}, by {way.by}"
    if also:
        says += f"; {'and' if lead in ADDED else 'at right angles to it'} {', '.join(also)}: {100 * ratio:.0f} % of what it holds in all"
    refs = (joint.first, joint.second) if hasattr(joint, "first") else (joint.near, joint.far)
    asked, held_to = ratio * way.most, way.most
    if way.dents:  # it gives before it fails: told of, and held to where it does
        held_to = min(way.breaks, DENTS_TO * way.most)
        if asked > way.most and not also:
            says = (f"{WORDS[name]} {asked / by:.{digits}f} {unit}; over {way.most / by:.{digits}f} {unit}, by {way.by}, it dents and may work loose with the years, "
                    f"and it fails at {held_to / by:.{digits}f} {unit} or more")
        elif asked > way.most:
            says += f"; over that it dents and may work loose with the years, and it fails at {held_to / by:.{digits}f} {unit} or more"
    found = from_ratio(
        family, f"strength, {WORDS[name]}", asked / by, held_to / by, unit,
        rule=f"{case.says}; parts that share one mechanism are added up",
        source=f"{case.load.source}; frame of the whole piece; {held.evidence}; {SOURCE}", mend=mend_of(joint, name), stage="joints", refs=refs, says=says,
    )
    if found.stands and asked > way.most:
        return replace(found, verdict=Verdict.LOOK_AGAIN, mend=mend_of(joint, name))
    return found


def _unjudged(family: str) -> Finding:
    return Finding(family, "strength", Verdict.OPEN, "nothing is on file of what this kind of joint holds", rule="every joint that carries is judged",
                   source="none", mend="Try it on a sample, or choose a joint that is on file.", stage="joints")
