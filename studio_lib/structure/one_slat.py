"""One slat of a screen pushed in its middle by a hand or a shoulder: what it bears and how far it gives.

A beam between its bars whose ends are free to turn, since slats are often put in dry: F L / 4 and F L^3 / (48 E I).
"""

from __future__ import annotations

from math import ceil

from studio_lib.brief.refusals import HEADS_MM
from studio_lib.finding import Finding, from_ratio
from studio_lib.piece import Member, Piece
from studio_lib.structure.loads import Load, serves
from studio_lib.structure.slices import sliced
from studio_lib.structure.strength import SOURCE

GIVES = 75
"""Length over this is how far one slat may bow when it is pushed; a judgement of ours: 21 mm on 1.6 m, 11 mm on 0.8 m."""
NEAR_MM, ACROSS = 1.0, 0.3
"""A bar at least so far from a slat's ends, and turned to it by more than this cosine's angle, holds it between them."""
BEAM = "a beam whose ends are free to turn, Wood Handbook FPL-GTR-282 eq. 9-1"
WEDGE = Load("a child wedges itself between two slats", 147.0, "33 lbf on the wedge block of 16 CFR 1513.4 (a); as much sideways on either slat a judgement of ours")


def thickness_for(force_n: float, long_mm: float, wide_mm: float, e_mpa: float) -> float:
    """Thickness of a slat that gives by no more than it may. [mm]"""
    return (GIVES * force_n * long_mm**2 / (4 * e_mpa * wide_mm)) ** (1 / 3)


def width_for(long_mm: float, thick_mm: float, gap_mm: float, e_mpa: float) -> float:
    """Width of slats between two of which no gap opens that lets a child's body in. [mm]"""
    spare = max((HEADS_MM[0] - gap_mm) / 2, 1.0)
    return (12 * WEDGE.force_n * long_mm**3 / (48 * e_mpa * thick_mm * spare)) ** (1 / 3)


def _stretches(piece: Piece, slat: Member) -> list[tuple[float, float]]:
    """From where to where a slat runs free, between its ends and the middles of the bars across it that it is joined to. [mm]"""
    places = [0.0, slat.length_mm]
    for j in piece.joints:
        if slat.ref not in (j.first, j.second):
            continue
        other = piece.member(j.second if j.first == slat.ref else j.first)
        across = abs(sum(a * b for a, b in zip(slat.placement.along, other.placement.along))) < ACROSS
        x = slat.placement.to_member(other.piece_box.centre)[0]
        if across and NEAR_MM < x < slat.length_mm - NEAR_MM:
            places.append(x)
    places.sort()
    return list(zip(places, places[1:]))


def free_mm(piece: Piece, slat: Member) -> float:
    """The longest stretch of a slat between its ends and the bars that it is joined to. [mm]"""
    return max(b - a for a, b in _stretches(piece, slat))


def slat_findings(piece: Piece, woods: dict, strengths: dict, loads: dict[str, Load]) -> list[Finding]:
    """Bending and give of the slat that bears such a push worst; nothing where slats hang on cables or there is no such load."""
    slats = [m for m in piece.members if m.role == "slat"]
    load = loads.get("slat")
    if not slats or load is None or serves(piece.form) != "screen" or "strung" in piece.form:
        return []
    worst = {}
    for m in slats:
        wood, long = woods[m.timber], free_mm(piece, m)
        middle = next((a + b) / 2 for a, b in _stretches(piece, m) if b - a == long)
        _, stiff, _, *_, out = sliced(piece.shape(m.ref)).at(round(middle, 1))[:7]
        stress = load.force_n * long / 4 * out / max(stiff, 1.0)
        give = load.force_n * long**3 / (48 * wood.e_mpa * max(stiff, 1.0))
        for what, value, allowed in (("bending", stress, strengths[m.timber].bending), ("gives", give, long / GIVES)):
            if what not in worst or value / allowed > worst[what][0] * (1 + 1e-6):
                worst[what] = (value / allowed, value, allowed, m)
    mend = _firmer(worst, load, woods, free_mm(piece, worst["gives"][3]))
    stress, give = worst["bending"], worst["gives"]
    rule, whose = f"{load.what}, {load.force_n:.0f} N", f"load {load.source}; {BEAM}"
    return [
        from_ratio(
            stress[3].name, "bending of one slat", stress[1], stress[2], "MPa", rule=rule, source=f"{whose}; {SOURCE}", mend=mend, stage="sizes",
            refs=(stress[3].ref,), look_again_from=0.8, says=f"{stress[1]:.1f} of {stress[2]:.1f} MPa when {load.force_n:.0f} N push it in its middle",
        ),
        from_ratio(
            give[3].name, "give of one slat", give[1], give[2], "mm", rule=f"length / {GIVES} under {rule}", source=f"a judgement of ours; {whose}",
            mend=mend, stage="sizes", refs=(give[3].ref,), look_again_from=1.0,
            says=f"{load.force_n:.0f} N in its middle bow it by {give[1]:.0f} mm on {free_mm(piece, give[3]):.0f} mm, {give[2]:.0f} mm at most",
        ),
    ]


def _firmer(worst, load: Load, woods, long_mm: float) -> str:
    """How thick such slats would have to be, or how many bars more would have to hold them."""
    m = worst["gives"][3]
    over = max(worst["gives"][0], worst["bending"][0])
    thick = max(thickness_for(load.force_n, long_mm, m.width_mm, woods[m.timber].e_mpa), m.thickness_mm * worst["bending"][0] ** 0.5)
    if over <= 0.8:
        return ""
    parts = ceil(over**0.5) if worst["bending"][0] <= over**0.5 else ceil(over)
    bars = max(parts - 1, 1)
    return f"Make slats {ceil(thick)} mm thick, or hold them by {'a bar' if bars == 1 else f'{bars} bars'} more ('Bars between'); wider slats help less."


def apart_findings(piece: Piece, woods: dict, children: bool) -> list[Finding]:
    """How wide two slats stand apart where a child wedges itself between them; nothing where none comes, or slats hang on cables.

    Each of the two bows sideways by F L^3 / (48 E I), I about its own width.
    """
    if not children or serves(piece.form) != "screen" or "strung" in piece.form:
        return []
    widest, free = None, {m.ref: free_mm(piece, m) for m in piece.members if m.role == "slat"}
    for a, b, gap in _neighbours(piece):
        aside = [WEDGE.force_n * free[m.ref] ** 3 / (48 * woods[m.timber].e_mpa * m.thickness_mm * m.width_mm**3 / 12) for m in (a, b)]
        if widest is None or gap + sum(aside) > widest[0] + 1e-6:
            widest = (gap + sum(aside), gap, a, b)
    if widest is None:
        return []
    opened, gap, a, b = widest
    long, body = free[a.ref], HEADS_MM[0]
    spare = max((body - gap) / 2, 1.0)
    wide = ceil(width_for(long, a.thickness_mm, gap, woods[a.timber].e_mpa))
    bars = max(ceil(long / (48 * woods[a.timber].e_mpa * a.thickness_mm * a.width_mm**3 / 12 * spare / WEDGE.force_n) ** (1 / 3)) - 1, 1)
    return [from_ratio(
        piece.name, "slats pushed apart", opened, body, "mm", rule=f"{WEDGE.what}, {WEDGE.force_n:.0f} N to either side, and no gap opens to the {body:.0f} mm that let a body in",
        source=f"{WEDGE.source}; US CPSC Public Playground Safety Handbook B.2.5.1; {BEAM}", stage="sizes", refs=(a.ref, b.ref), look_again_from=1.0,
        mend=f"Make slats {wide} mm wide, or hold them at {'a bar' if bars == 1 else f'{bars} bars'} more ('Bars between')." if opened > body else "",
        says=f"a gap of {gap:.0f} mm between slats {long:.0f} mm long opens to {opened:.0f} mm",
    )]


def _neighbours(piece: Piece):
    """(slat, the next one beside it, the gap between them) of every row: slats that the same members hold. [mm]"""
    held: dict[str, set[str]] = {m.ref: set() for m in piece.members if m.role == "slat"}
    for j in piece.joints:
        for one, other in ((j.first, j.second), (j.second, j.first)):
            if one in held:
                held[one].add(other)
    rows: dict[frozenset, list[tuple[float, Member]]] = {}
    for ref, others in held.items():
        m = piece.member(ref)
        rows.setdefault(frozenset(others), []).append((sum(o * a for o, a in zip(m.placement.origin, m.placement.across)), m))
    for row in rows.values():
        row.sort(key=lambda r: r[0])
        yield from ((a, b, next_at - at - a.width_mm) for (at, a), (next_at, b) in zip(row, row[1:]))
