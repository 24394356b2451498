"""Slats that run on whole and are tied by bars let into their backs: one slat pushed, and what the bars hand on to the others.

Slats and bars are simple beams whose ends are free to turn, on a frame that does not give; where they cross they move alike. Each
crossing hands over the force that makes it so: ``(F_slat + F_bar) R = P f``, the flexibility method of any text on structures.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from studio_lib.finding import Finding, from_ratio
from studio_lib.piece import Member, Piece
from studio_lib.structure.frame import one_thread
from studio_lib.structure.loads import Load, serves
from studio_lib.structure.one_slat import GIVES
from studio_lib.structure.slices import sliced
from studio_lib.structure.strength import SOURCE

LET_IN_BAR = "let-in bar"
"""Role of a bar that is let into the backs of slats."""
GRID = "slats and bars as a grid of simple beams, flexibility method"


@dataclass(frozen=True)
class Crossing:
    """A slat and a bar where they cross: by number, and how far along each. [mm]"""

    slat: int
    bar: int
    along_slat_mm: float
    along_bar_mm: float


@dataclass(frozen=True)
class Beam:
    """A simple beam: length [mm] and stiffness E I [N mm2]."""

    long_mm: float
    ei: float

    def moves(self, at, x):
        """How far it gives at ``x`` under 1 N at ``at``, both from one end. [mm/N]"""
        near, far = np.minimum(at, x), self.long_mm - np.maximum(at, x)
        return near * far * (self.long_mm**2 - near**2 - far**2) / (6 * self.ei * self.long_mm)

    def moment(self, at, x):
        """What bends it at ``x`` under 1 N at ``at``. [N mm/N]"""
        return np.minimum(at, x) * (self.long_mm - np.maximum(at, x)) / self.long_mm


@dataclass(frozen=True)
class Pushed:
    """One slat pushed: how far it gives there, what bends it there and at its bars, and what bends each bar at each crossing."""

    slat: int
    at_mm: float
    gives_mm: float
    bends_there: float
    at_crossings: np.ndarray
    """Of each crossing: what bends the slat, what bends the bar. [N mm]"""


def pushes(slats: list[Beam], bars: list[Beam], crossings: list[Crossing], force_n: float) -> list[Pushed]:
    """Each slat pushed at each of its bars, and half way between them and its ends."""
    slat, bar = (np.array([getattr(c, n) for c in crossings]) for n in ("slat", "bar"))
    x, y = (np.array([getattr(c, n) for c in crossings]) for n in ("along_slat_mm", "along_bar_mm"))

    def table(which: str, beams: list[Beam], of: np.ndarray, places: np.ndarray) -> np.ndarray:
        """Of a force at each crossing, by columns, what it does at each crossing of the same beam, by rows."""
        out = np.zeros((len(of), len(of)))
        for k, beam in enumerate(beams):
            own = np.flatnonzero(of == k)
            out[np.ix_(own, own)] = getattr(beam, which)(places[own][None, :], places[own][:, None])
        return out

    with one_thread():
        handed = np.linalg.inv(table("moves", slats, slat, x) + table("moves", bars, bar, y))
    bends_slats, bends_bars = table("moment", slats, slat, x), table("moment", bars, bar, y)
    places = [(k, float(at)) for k, beam in enumerate(slats) for at in _pushed_at(np.sort(x[slat == k]), beam.long_mm)]
    free, bent = np.zeros((len(x), len(places))), np.zeros((len(x), len(places)))
    for n, (k, at) in enumerate(places):
        own = slat == k
        free[own, n], bent[own, n] = force_n * slats[k].moves(at, x[own]), force_n * slats[k].moment(at, x[own])
    r = handed @ free
    of_slats, of_bars = np.abs(bent - bends_slats @ r), np.abs(bends_bars @ r)
    out = []
    for n, (k, at) in enumerate(places):
        beam, own = slats[k], slat == k
        gives = force_n * beam.moves(at, at) - r[own, n] @ beam.moves(x[own], at)
        there = force_n * beam.moment(at, at) - r[own, n] @ beam.moment(x[own], at)
        out.append(Pushed(k, at, float(gives), float(there), np.stack([of_slats[:, n], of_bars[:, n]], axis=1)))
    return out


def _pushed_at(ties: np.ndarray, long_mm: float) -> list[float]:
    """Places along a slat where it is pushed: its bars, and half way between them and its ends. [mm]"""
    ends = np.concatenate([[0.0], ties, [long_mm]])
    return [*ties, *((ends[1:] + ends[:-1]) / 2)]


def tied_findings(piece: Piece, woods: dict, strengths: dict, loads: dict[str, Load]) -> list[Finding]:
    """Bending of bar and slat, and give of the slat, where one is pushed; nothing where no bar is let into backs or there is no such load."""
    load = loads.get("slat")
    if load is None or serves(piece.form) != "screen":
        return []
    worst: dict[str, tuple[float, float, float, Member]] = {}
    for slats, bars, crossings in _grids(piece):
        sections = {m.ref: _Section(piece, m) for m in (*slats, *bars)}
        beams = [[Beam(m.length_mm, woods[m.timber].e_mpa * sections[m.ref].stiff) for m in ms] for ms in (slats, bars)]
        at_slat = np.array([sections[slats[c.slat].ref].bears_mm3(c.along_slat_mm) for c in crossings])
        at_bar = np.array([sections[bars[c.bar].ref].bears_mm3(c.along_bar_mm) for c in crossings])
        for p in pushes(*beams, crossings, load.force_n):
            slat = slats[p.slat]
            stress = p.at_crossings / np.stack([at_slat, at_bar], axis=1)
            notch, bent = (crossings[int(np.argmax(stress[:, k]))] for k in (0, 1))
            bar, strong = bars[bent.bar], strengths[slat.timber].bending
            _keep(worst, "bar", stress[:, 1].max(), strengths[bar.timber].bending, bar)
            _keep(worst, "slat", stress[:, 0].max(), strengths[slats[notch.slat].timber].bending, slats[notch.slat])
            _keep(worst, "slat", abs(p.bends_there) / sections[slat.ref].bears_mm3(p.at_mm), strong, slat)
            _keep(worst, "gives", p.gives_mm, slat.length_mm / GIVES, slat)
    return _told(piece, worst, load) if worst else []


def _keep(worst: dict, what: str, value: float, allowed: float, member: Member) -> None:
    if what not in worst or value / allowed > worst[what][0] * (1 + 1e-6):
        worst[what] = (float(value / allowed), float(value), float(allowed), member)


class _Section:
    """What of a member resists a push on the face of the screen: as it is between its notches, and where it is notched."""

    def __init__(self, piece: Piece, member: Member):
        self._cut = sliced(piece.shape(member.ref)).at
        self.stiff = member.width_mm * member.thickness_mm**3 / 12

    def bears_mm3(self, x_mm: float) -> float:
        """The lesser section modulus at a place. [mm3]"""
        _, stiff, _, *_, out = self._cut(round(x_mm, 1))[:7]
        return max(stiff / out, 1.0) if out else 1.0


def _grids(piece: Piece) -> list[tuple[list[Member], list[Member], list[Crossing]]]:
    """Of each leaf: slats, the bars let into their backs, and where they cross."""
    by_bar: dict[str, list[str]] = {}
    for j in piece.joints:
        if piece.member(j.first).role == LET_IN_BAR and piece.member(j.second).role == "slat":
            by_bar.setdefault(j.first, []).append(j.second)
    leaves: dict[frozenset, list[str]] = {}
    for bar, crossed in by_bar.items():
        home = next((k for k in leaves if k & set(crossed)), None)
        if home is None:
            leaves[frozenset(crossed)] = [bar]
        else:
            leaves[home | frozenset(crossed)] = [*leaves.pop(home), bar]
    out = []
    for bars in leaves.values():
        tied = [piece.member(r) for r in bars]
        slats = list(dict.fromkeys(s for r in bars for s in by_bar[r]))
        crossings = []
        for k, bar in enumerate(tied):
            for ref in by_bar[bar.ref]:
                slat = piece.member(ref)
                crossings.append(Crossing(slats.index(ref), k, slat.placement.to_member(bar.piece_box.centre)[0],
                                          bar.placement.to_member(slat.piece_box.centre)[0]))
        out.append(([piece.member(r) for r in slats], tied, crossings))
    return out


def _told(piece: Piece, worst: dict, load: Load) -> list[Finding]:
    rule, source = f"{load.what}, {load.force_n:.0f} N, at a bar or beside it", f"load {load.source}; {GRID}"
    (over, stress, strong, bar), (_, notched, bears, slat), (_, gives, may, given) = (worst[k] for k in ("bar", "slat", "gives"))
    # A thicker bar draws more to itself: what bends it grows as its stiffness to the quarter, a beam on springs.
    # A slat gives up half at the most, so that past two thirds of a slat's thickness a bar is notched by all that it is thicker.
    thick, wide = int(np.ceil(bar.thickness_mm * over**0.8)), int(np.ceil(bar.width_mm * over ** (4 / 3)))
    firmer = f"Make bars {wide} mm wide ('Width of a bar let in'), or let in a bar more ('Bars between')."
    if thick <= 2 / 3 * slat.thickness_mm:
        firmer = f"Make bars {thick} mm thick ('Thickness of a bar let in') or {wide} mm wide, or let in a bar more ('Bars between')."
    return [
        from_ratio(bar.name, "bending of a let-in bar", stress, strong, "MPa", rule=rule, source=f"{source}; {SOURCE}", mend=firmer,
                   stage="sizes", refs=(bar.ref,), look_again_from=0.9,
                   says=f"{stress:.1f} of {strong:.1f} MPa where it is notched, as it hands a push of {load.force_n:.0f} N on to the slats beside"),
        from_ratio(slat.name, "bending of a tied slat", notched, bears, "MPa", rule=rule, source=f"{source}; {SOURCE}",
                   mend="Make slats thicker or wider, bars thinner, or let in a bar more ('Bars between').", stage="sizes", refs=(slat.ref,),
                   look_again_from=0.9, says=f"{notched:.1f} of {bears:.1f} MPa with its notches, under {load.force_n:.0f} N"),
        from_ratio(given.name, "give of a tied slat", gives, may, "mm", rule=f"length / {GIVES} under {rule}", source=f"a judgement of ours; {source}",
                   mend="Make slats or bars thicker, or let in a bar more ('Bars between').", stage="sizes", refs=(given.ref,), look_again_from=1.0,
                   says=f"{load.force_n:.0f} N bow it by {gives:.0f} mm on {given.length_mm:.0f} mm, the bars with it; {may:.0f} mm at most"),
    ]
