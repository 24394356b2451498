"""Feet on loose ground: where a piece touches it, how hard it presses, and how large what lies under each foot must be."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.piece import Piece
from studio_lib.structure.loads import G, SQUEEZED_MM, Load

SOURCE = (
    "EN 1997-1:2004 Annex D.4, ground without cohesion; loose gravel of 35 degrees and 17.2 kN/m3 on its surface and the factor of 2 by the scaffolders' design guide "
    "TG20:13, table E.3"
)
FRICTION_DEG, WEIGHT_N_M3, SAFETY = 35.0, 17_200.0, 2.0
NARROWER = 0.3
"""What the shape of a foot takes off: 1 - 0.3 B/L, so 0.7 of the strip for a square; EN 1997-1 D.4."""
UNEVEN = 1.5
"""The hardest pressed foot against their mean; judgement of ours."""
TOUCHES_MM = 3.0
LIES_FROM_MM = 600.0
"""A member that lies on the ground over more than this is borne at its two ends; judgement of ours."""
ROUND_MM = 20.0
"""So much of a slab or plate is to stand out round a foot; judgement of ours."""


@dataclass(frozen=True)
class Kind:
    """What is laid under feet, in the sizes it is bought in."""

    name: str
    sizes_mm: tuple[tuple[float, float], ...]
    """(edge of the square, thickness)."""
    of: str
    kg_m3: float
    bedded: bool
    """Bedded in the ground, one piece under feet that stand close; else screwed under each foot by itself."""


SLAB = Kind("slab", ((300.0, 40.0), (400.0, 40.0), (500.0, 50.0), (600.0, 50.0)), "concrete or stone", 2300.0, True)
PLATE = Kind("steel plate", ((150.0, 5.0), (200.0, 5.0), (250.0, 6.0), (300.0, 6.0)), "galvanised or stainless", 7850.0, False)
"""Sizes that garden yards and metalworkers have; common practice, no source."""


@dataclass(frozen=True)
class Foot:
    """One place where a piece touches the ground: its middle, and what it covers. [mm]"""

    x: float
    y: float
    wide: float
    deep: float

    @property
    def edge_mm(self) -> float:
        return min(self.wide, self.deep)


@dataclass(frozen=True)
class Underlay:
    """What is laid under the feet of one piece, and how hard it then presses."""

    kind: Kind
    edge_mm: float
    thick_mm: float
    count: int
    feet: int
    pressed_kpa: float
    bears_kpa: float
    bare_kpa: float
    """The feet alone."""
    bare_bears_kpa: float

    @property
    def what(self) -> str:
        """'slab 300 x 300 x 40 mm, concrete or stone'."""
        return f"{self.kind.name} {self.edge_mm:.0f} x {self.edge_mm:.0f} x {self.thick_mm:.0f} mm, {self.kind.of}"

    @property
    def many(self) -> str:
        """'4 slabs of concrete or stone, 300 x 300 x 40 mm'."""
        return several_of(self, self.count)

    @property
    def holds(self) -> bool:
        return self.pressed_kpa <= self.bears_kpa

    @property
    def kg(self) -> float:
        """Weight of one. [kg]"""
        return self.edge_mm**2 * self.thick_mm * 1e-9 * self.kind.kg_m3


def several_of(under: Underlay, count: int) -> str:
    """So many of them in words, with what they are of and their size."""
    of = f" of {under.kind.of}" if under.kind.bedded else f", {under.kind.of}"
    return f"{count} {under.kind.name}{'s' * (count != 1)}{of}, {under.edge_mm:.0f} x {under.edge_mm:.0f} x {under.thick_mm:.0f} mm"


def bears_kpa(wide_mm: float, deep_mm: float, friction_deg: float = FRICTION_DEG, weight_n_m3: float = WEIGHT_N_M3) -> float:
    """What loose gravel bears under a foot of that size that stands on it, without sinking. [kN/m2]

    0.5 x weight x width x Ng x shape, Ng = 2 (Nq - 1) tan phi, halved. It grows with the width: a narrow foot sinks
    under what a broad one does not feel.

    References
    ----------
    EN 1997-1:2004 Annex D.4; figures for loose gravel and the factor as ``SOURCE``.
    """
    narrow, broad = sorted((wide_mm / 1000, deep_mm / 1000))
    tan = math.tan(math.radians(friction_deg))
    nq = math.exp(math.pi * tan) * math.tan(math.radians(45 + friction_deg / 2)) ** 2
    shape = 1 - NARROWER * narrow / broad
    return 0.5 * weight_n_m3 * narrow * 2 * (nq - 1) * tan * shape / SAFETY / 1000


def feet_of(piece: Piece) -> tuple[Foot, ...]:
    """Every place where a piece touches the ground; a member that lies long on it is borne at its two ends."""
    if not piece.members:
        return ()
    lowest = min(m.piece_box.lo[2] for m in piece.members)
    out = []
    for m in piece.members:
        box = m.piece_box
        if box.lo[2] > lowest + TOUCHES_MM:
            continue
        up = m.placement.along[2]
        if abs(up) > 0.5:  # it stands: its own section, about the end that is down
            x, y, _ = m.placement.to_piece((0.0 if up > 0 else m.length_mm, m.width_mm / 2, m.thickness_mm / 2))
            across = m.placement.across
            wide, deep = (m.width_mm, m.thickness_mm) if abs(across[0]) > abs(across[1]) else (m.thickness_mm, m.width_mm)
            out.append(Foot(x, y, wide, deep))
            continue
        (x0, y0, _), (x1, y1, _) = box.lo, box.hi
        wide, deep = x1 - x0, y1 - y0
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        if max(wide, deep) < LIES_FROM_MM:
            out.append(Foot(x, y, wide, deep))
        elif wide >= deep:
            out += [Foot(x0 + wide / 4, y, wide / 2, deep), Foot(x1 - wide / 4, y, wide / 2, deep)]
        else:
            out += [Foot(x, y0 + deep / 4, wide, deep / 2), Foot(x, y1 - deep / 4, wide, deep / 2)]
    return tuple(out)


def carried_n(kind: str, loads: dict[str, Load], piece: Piece) -> float:
    """What stands or sits on a piece in its use, all of it. [N]"""
    length, width, _ = piece.overall_mm
    long, deep = max(length, width), min(length, width)
    area = long * deep * 1e-6
    if kind == "seat" and "people" in loads:
        return max(1, int(long // SQUEEZED_MM)) * loads["people"].force_n
    if kind == "table" and "spread" in loads:
        return max(loads["spread"].force_n * area, loads["down"].force_n)
    if kind == "shelf" and "books" in loads:
        shelves = sum(m.role in ("shelf", "fixed shelf", "bottom") for m in piece.members) or 1
        return shelves * loads["books"].force_n * area
    return 0.0


def underlay(piece: Piece, kind: Kind, total_n: float) -> Underlay | None:
    """The smallest size under every foot that does not sink and does not lie on its neighbour; the largest where none does.

    ``total_n`` is the piece and what it carries. None where nothing of it touches the ground.
    """
    feet = feet_of(piece)
    if not feet:
        return None
    each = UNEVEN * total_n / len(feet)
    least = min(feet, key=lambda f: bears_kpa(f.wide, f.deep) * f.wide * f.deep)
    bare = each / (least.wide * least.deep) * 1000, bears_kpa(least.wide, least.deep)
    found = None
    for edge, thick in kind.sizes_mm:
        groups = _shared(feet, edge) if kind.bedded else [[f] for f in feet]
        pressed = max(len(g) for g in groups) * each / edge**2 * 1000
        found = Underlay(kind, edge, thick, len(groups), len(feet), pressed, bears_kpa(edge, edge), *bare)
        fits = all(max(f.wide, f.deep) + 2 * ROUND_MM <= edge or max(f.wide, f.deep) >= LIES_FROM_MM / 2 for f in feet)
        if found.holds and fits and not _overlap(groups, edge):
            return found
    return found


def _middle(group) -> tuple[float, float]:
    return sum(f.x for f in group) / len(group), sum(f.y for f in group) / len(group)


def _shared(feet, edge: float) -> list[list[Foot]]:
    """Feet that stand so close that one slab takes them all."""
    groups: list[list[Foot]] = []
    for foot in feet:
        home = next((g for g in groups if _spread([*g, foot]) + 2 * ROUND_MM <= edge), None)
        if home is None:
            groups.append([foot])
        else:
            home.append(foot)
    return groups


def _spread(group) -> float:
    return max(
        max(f.x + f.wide / 2 for f in group) - min(f.x - f.wide / 2 for f in group),
        max(f.y + f.deep / 2 for f in group) - min(f.y - f.deep / 2 for f in group),
    )


def _overlap(groups, edge: float) -> bool:
    middles = [_middle(g) for g in groups]
    return any(
        abs(a[0] - b[0]) < edge and abs(a[1] - b[1]) < edge for i, a in enumerate(middles) for b in middles[i + 1:]
    )


def weight_n(kg: float | None) -> float:
    """The weight of so many kilograms; 0 where it is not known. [N]"""
    return G * (kg or 0.0)
