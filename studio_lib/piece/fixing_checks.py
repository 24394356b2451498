"""Rows of screws that the forms put in without laying each out: whether there is room for them, and the holes they want."""

from __future__ import annotations

from studio_lib.finding import WORST_FIRST, Finding, Verdict
from studio_lib.piece.model import Member, Piece, Screws
from studio_lib.piece.screw import APART_D, CLEARANCE_MM, DISTANCES, EDGE_D, END_D, LEAD, LEAST_IN_D, pilot_mm


def screw_findings(piece: Piece) -> list[Finding]:
    """For each family of screws, where they have the least room: edges, ends, each other, thread."""
    worst: dict[str, Finding] = {}
    for row in piece.fixings:
        found = room_for(piece, row)
        before = worst.get(row.family)
        if before is None or _rank(found) < _rank(before):
            worst[row.family] = found
    return list(worst.values())


def _rank(found: Finding) -> tuple:
    return WORST_FIRST.index(found.verdict), -(found.utilisation or 0.0)


def room_for(piece: Piece, row: Screws) -> Finding:
    """Whether a row of screws keeps its distances in both members, and what is to be bored for it."""
    near, far = piece.member(row.near), piece.member(row.far)
    a, b = near.piece_box, far.piece_box
    lo, hi = [max(x, y) for x, y in zip(a.lo, b.lo)], [min(x, y) for x, y in zip(a.hi, b.hi)]
    through = min(range(3), key=lambda k: hi[k] - lo[k])
    long, short = sorted((k for k in range(3) if k != through), key=lambda k: lo[k] - hi[k])
    d = row.diameter_mm
    need = {long: (row.count - 1) * APART_D * d, short: 0.0}
    thread = min(max(row.length_mm - a.size[through], row.length_mm / 2), 0.7 * b.size[through])
    short_of, room = [], 0.0
    for k in (short, long):
        starts, stops = zip(*(_limits(piece, m, lo, hi, k, d) for m in (near, far)))
        start, stop = max(starts, key=lambda s: s[0]), min(stops, key=lambda s: s[0])
        room = stop[0] - start[0]
        if room < need[k] - 1e-6:
            short_of.append(f"{need[k] - room:.0f} mm too little between the {start[1]} and the {stop[1]}" + (f" for {row.count} in a row" if need[k] else ""))
    if thread < LEAST_IN_D * d - 1e-6:
        short_of.append(f"{thread:.0f} mm of thread in {far.name}, {LEAST_IN_D * d:.0f} mm wanted")
    holes = f"bore {d + CLEARANCE_MM:g} mm through {near.name}, {pilot_mm(far.timber, d):g} mm into {far.name}"
    keeps = f"{EDGE_D * d:.0f} mm from edges, {END_D * d:.0f} mm from ends" + (f", {APART_D * d:.0f} mm apart" if row.count > 1 else "")
    return Finding(
        row.family, "room for the screws", Verdict.LOOK_AGAIN if short_of else Verdict.STANDS,
        f"{row.count} of {d:g} mm: keep {keeps}; {holes}" + (f". {near.name} on {far.name}: {'; '.join(short_of)}" if short_of else ""),
        need[long] + 2 * EDGE_D * d, max(room, 0.0) + 2 * EDGE_D * d, "mm",
        f"{EDGE_D:g} diameters from an edge, {END_D:g} from an unloaded end, {APART_D:g} apart, {LEAST_IN_D:g} of thread", f"{DISTANCES}; {LEAD}",
        "Thinner screws, one fewer, a longer screw, or a wider member." if short_of else "", "joints", (row.near, row.far),
    )


def _limits(piece: Piece, m: Member, lo, hi, axis: int, d: float) -> tuple[tuple[float, str], tuple[float, str]]:
    """From and to along an axis of the piece where a screw keeps its distance in a member that lies square, each with what limits it. [mm]"""
    box, name = m.piece_box, "edge"
    if abs(m.placement.along[axis]) > 0.7:
        # An end that is itself let into another member cannot split off.
        name = "edge" if any(m.ref == j.first and j.lies == "point" for j in piece.joints) else "end"
    margin = (END_D if name == "end" else EDGE_D) * d
    words = f"{name} of {m.name}"
    return (max(lo[axis], box.lo[axis] + margin), words), (min(hi[axis], box.hi[axis] - margin), words)
