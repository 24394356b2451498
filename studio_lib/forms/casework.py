"""What shelves, chests and cabinets share: members by their low corner, joints made or said, weight, room."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from studio_lib.brief import refusals
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.form import Proposal, SizeRefused
from studio_lib.piece import Joint, Member, Piece
from studio_lib.piece.edge_joint import HARDLY, WIDE_BOARD_MM
from studio_lib.piece.kinds import joined
from studio_lib.piece.leaves import SQUARE_DEG, leaves
from studio_lib.piece.placing import laid
from studio_lib.structure.cases import SHELF_DEEP_MM
from studio_lib.structure.loads import Load, said_of
from studio_lib.timber import timber

PRACTICE = "common practice, no source"
JUDGEMENT = "a starting point of ours"
MIDDLING = (650.0, 10000.0)
"""Density and stiffness of a middling timber, while none is chosen; judgement of ours. [kg/m3, MPa]"""
G = 9.81


def glued_from(width_mm: float) -> int:
    """How many boards a width is glued up from, so that none is wider than stays flat."""
    return max(math.ceil(width_mm / WIDE_BOARD_MM - HARDLY), 1)


LEAST_READY_MM = 18.0
"""The thinnest that boards are sold glued up; from memory."""
A_TIER = 20


def tiered(code: str, tier: int) -> str:
    """A code in the case that stands ``tier`` cases up: 'L1' is 'L21' in the second."""
    return code if not tier else f"{code[0]}{int(code[1:]) + A_TIER * tier}"


def in_upper_case(ref: str) -> bool:
    """Whether a reference counts on from the lower case; names are the maker's to change and say nothing."""
    return int(ref.rpartition("-")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") or 0) > A_TIER


@dataclass
class Members:
    """Members of a piece as they are laid out, each by the low corner of its block."""

    letter: str
    timber: str
    arris_mm: float
    all: list[Member] = field(default_factory=list)
    tier: int = 0
    """0 for the case that stands on the floor, 1 for one that stands on it: its references count on from 21."""
    lift: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """How far all of it is shifted. [mm]"""
    bought: bool = False
    """Wide members are bought glued up, those that are sold so thick."""

    def add(self, code, name, role, low, along, across, length, width, thickness, rank="show", hand="", shaping=(), arris=None, boards=None):
        """One member; ``low``, ``along`` and ``across`` as ``placing.laid``; wide ones are glued up from boards."""
        # Free of the last digits' noise, so that a tenon begins exactly where its shoulder ends.
        length, width, thickness = (round(float(v), 6) for v in (length, width, thickness))
        low = tuple(round(v + by, 6) for v, by in zip(low, self.lift))
        ready = self.bought and glued_from(width) > 1 and thickness >= LEAST_READY_MM
        self.all.append(Member(
            f"{self.letter}-{tiered(code, self.tier)}", f"upper {name}" if self.tier else name, role, self.timber, length, width, thickness,
            laid(low, along, across, length, width, thickness), self.arris_mm if arris is None else arris, rank, shaping, hand,
            1 if ready else boards or glued_from(width), ready,
        ))


@dataclass
class Joints:
    """Joints of a piece as they are made; what the maker's own changes make impossible is said, not raised."""

    by_ref: dict[str, Member]
    letter: str
    own: dict[str, dict[str, float]]
    changed: bool
    missing: list[Finding]
    all: list[Joint] = field(default_factory=list)
    tier: int = 0

    def at(self, code: str) -> Member:
        """The member of that code."""
        return self.by_ref[f"{self.letter}-{tiered(code, self.tier)}"]

    def join(self, kind: str, first: str, second: str, family: str, size: str, own: dict[str, float] | None = None) -> None:
        """A joint between two codes; ``size`` is what to change where it cannot be made."""
        a, b = self.at(first), self.at(second)
        figures = {**(own or {}), **self.own.get(family, {})}
        try:
            self.all.append(joined(kind, a, b, family, figures))
        except ValueError as error:
            self.refuse(error, a, b, family, size)

    def refuse(self, error: ValueError, a: Member, b: Member, family: str, size: str) -> None:
        """Raise for the sizes, or say it where the maker's own figures or changes are the reason."""
        if self.own.get(family):
            raise error
        if not self.changed:
            raise SizeRefused(size, str(error))
        self.missing.append(Finding(
            family, "joint", Verdict.FAILS, f"it is left out: {error}", rule="joined members meet", source="geometry",
            mend="Move the members back together, or take the change away.", stage="joints", refs=(a.ref, b.ref),
        ))


def figures_of(piece: Piece) -> tuple[float, float, str]:
    """Density, stiffness and whose they are. [kg/m3, MPa]"""
    return figures_for(piece.members[0].timber if piece.members else "")


def figures_for(name: str) -> tuple[float, float, str]:
    """The same of a timber by its name; a middling one where there is none of that name."""
    try:
        species = timber(name) if name else None
    except KeyError:
        species = None
    if species is None:
        return (*MIDDLING, "a middling timber, none chosen yet")
    density, moe = species.density_12pct_kg_m3 or MIDDLING[0], species.moe_gpa
    return density, 1000 * moe if moe else MIDDLING[1], species.name


def mass_kg(piece: Piece, members=None) -> float:
    """Weight by the blocks of the members, joints not taken off. [kg]"""
    density = figures_of(piece)[0]
    return sum(m.length_mm * m.width_mm * m.thickness_mm for m in (piece.members if members is None else members)) * 1e-9 * density


def middle_mm(piece: Piece, opened: bool = False) -> float:
    """Centre of gravity from front to back; ``opened``: with its doors square to it, its drawers drawn out. [mm]"""
    leaf_of = {ref: leaf for leaf in leaves(piece) if leaf.kind != "lid" for ref in leaf.refs} if opened else {}

    def at(m: Member) -> float:
        leaf, centre = leaf_of.get(m.ref), m.piece_box.centre
        if leaf is None:
            return centre[1]
        return float((leaf.turned(centre, SQUARE_DEG) if leaf.joint else leaf.moved(centre))[1])

    volumes = [m.length_mm * m.width_mm * m.thickness_mm for m in piece.members]
    return sum(v * at(m) for v, m in zip(volumes, piece.members)) / sum(volumes)


def shelf_sags(
    piece: Piece, load_kg_m: float, brief: Brief, loads: dict[str, Load], as_thick_mm: Callable[[Member], float] = lambda m: m.thickness_mm,
) -> list[Finding]:
    """Sag of the shelves, their ends only resting: the worst of those under the common load, and of those that carry each kind of goods.

    ``loads``: by name, with what stands on single shelves (``structure.loads.named_on``). ``as_thick_mm``: the plain board as stiff.
    """
    density, moe, whose = figures_of(piece)
    groups: dict[str, list[tuple[Member, float]]] = {}
    for m in piece.members:
        if m.role != "shelf":
            continue
        said = said_of(loads, m.ref)
        deep_m = min(m.width_mm, SHELF_DEEP_MM) / 1000
        groups.setdefault(said[0] if said else "", []).append((m, said[1].force_n * deep_m if said else G * load_kg_m))
    out = []
    for kept, rows in groups.items():
        found = []
        for m, per_m in rows:
            if per_m:
                own_n = m.length_mm * m.width_mm * m.thickness_mm * 1e-9 * density * G
                subject = f"shelf of {whose}" if not kept else f"{in_a_row([x.name for x, _ in rows])}, {kept}"
                found.append(refusals.sagging(
                    subject, m.length_mm, m.width_mm, as_thick_mm(m), per_m * m.length_mm / 1000 + own_n, moe, refusals.CREEP[brief.place], refusals.SEEN_SAG,
                ))
        if found:
            worst = max(found, key=lambda f: f.utilisation or 0.0)
            load = said_of(loads, rows[0][0].ref)
            out.append(worst if not kept else replace(
                worst, refs=tuple(m.ref for m, _ in rows), source=f"{worst.source}; load {load[1].source}",
                says=f"{worst.says} under {kept}, {load[1].force_n / G:.0f} kg a square metre",
            ))
    return out


def in_a_row(names: list[str]) -> str:
    """Names in a row: 'shelf 1, shelf 2 and shelf 4'."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def boards_across(total_mm: float, gap_mm: float, most_mm: float) -> tuple[int, float]:
    """How many boards fill a width with gaps between them, and the width of each. [mm]"""
    n = max(1, math.ceil((total_mm + gap_mm) / (most_mm + gap_mm) - 1e-9))
    return n, (total_mm - (n - 1) * gap_mm) / n


def children(brief: Brief) -> bool:
    """Whether children use the piece or come near it."""
    return brief.near_children


def anchored(brief: Brief, found: Finding) -> Finding:
    """Whether a case is fixed to the wall, beside what the brief says of it where it says that nothing is fixed to a building."""
    if found.stands or brief.needs_leave is None or brief.fixed_to_building:
        return found
    return replace(
        found, says=f"{found.says}. The brief says that nothing is fixed to a building; it is asked for here because a case like this tips when someone climbs on it "
        "or hangs on what stands open",
        mend=f"{found.mend} Ask again under 'Leave, time and money'. Without it: lower than {refusals.ANCHOR_FROM_MM:.0f} mm, deeper, heavier low down, or open bays in place of doors "
        "and drawers.",
    )


def wall_proposal(brief: Brief, fixed: int, why: str, why_not: str) -> Proposal:
    """Whether it is fixed to the wall: as the brief says where it says so, not where nothing may be drilled, else by its height."""
    if brief.nothing_drilled:
        return Proposal(0, "nothing may be drilled there", "brief")
    if brief.fixed_to_building:
        return Proposal(fixed, "fixed to the wall, as the brief says", "brief")
    if fixed and brief.needs_leave is not None:
        why += ", though the brief says that nothing is fixed to a building"
    return Proposal(fixed, why if fixed else why_not, "ASTM F2057-23 for the limits")
