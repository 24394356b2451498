"""Load cases: each load of use at the places of the piece where it does most harm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from studio_lib.piece import Piece
from studio_lib.structure.as_frame import Model
from studio_lib.structure.bearing import bearing
from studio_lib.structure.loads import FOOTHOLD_MM, SQUEEZED_MM, G, Load, on_shelf, serves
from studio_lib.structure.tied import LET_IN_BAR

EDGE_MM = 100.0
PAD_MM = {"seat": 200.0, "table": 100.0}
"""A person stands on a foot, sits on a pad: EN 1728 and EN 1730, from memory."""
FRONT_MM = 80.0
"""A load on the edge of a seat stands this far in, on a pad of ``FRONT_PAD_MM``: EN 1728, from memory."""
FRONT_PAD_MM = 100.0
MOST_CASES = 60
LEAN_MM = 1200.0
"""Someone leans on a screen at this height, or at its top where that is lower; a proposal of ours."""
BOTTOM = "bottom"
"""Role of what things stand on inside a case and is no shelf."""
SHELF_DEEP_MM = 600.0
"""Things stand no deeper than this on a shelf."""


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
    passing: bool = False
    """Over in a moment: it may break something, its sag and bounce are nobody's concern."""
    times: float = 1.0
    """Times the load: m2 for one that is spread, people for a row of them."""

    @property
    def says(self) -> str:
        """The load in words."""
        size = f"{self.load.force_n:.0f} N" + (" a m2" if self.lasting else f" x {self.times:.0f}" if self.times != 1 else "")
        return f"{self.load.what}, {size} {self.where}".rstrip()


def spots(member) -> tuple[float, ...]:
    """Places along a member where someone may sit or stand. [mm]"""
    near = min(EDGE_MM, member.length_mm / 4)
    return (near, member.length_mm / 2, member.length_mm - near)


def load_cases(piece: Piece, model: Model, loads: dict[str, Load]) -> list[Case]:
    """Every case of a piece under its loads."""
    kind = serves(piece.form)
    down, push = loads.get("down"), loads.get("push")
    out: list[Case] = []
    under = bearing(piece)
    rows = {way: _beside(under, way) for way in dict.fromkeys(m.placement.across for m in under)}
    if down and kind in PAD_MM:
        for m in under:
            for x in spots(m):
                out.append(Case(down, f"on {m.name}", m.ref, _pad(m, x, rows, model, PAD_MM[kind], PAD_MM[kind] / 2), (0.0, 0.0, -1.0)))
        if len(out) > MOST_CASES:
            out = [out[i] for i in np.linspace(0, len(out) - 1, MOST_CASES).astype(int)]
    if "front" in loads:
        for m in _outermost(under):
            for x in spots(m):
                out.append(Case(loads["front"], f"on the edge, {m.name}", m.ref, _pad(m, x, rows, model, FRONT_PAD_MM, FRONT_MM), (0.0, 0.0, -1.0)))
    if "spread" in loads and under:
        area = sum(m.length_mm * m.width_mm for m in under) * 1e-6
        out.append(Case(loads["spread"], "", under[0].ref, _over(under, model), (0.0, 0.0, -1.0), True, times=area))
    people = int(max((m.length_mm for m in under), default=0.0) // SQUEEZED_MM)
    if "people" in loads and people > 1:
        out.append(Case(loads["people"], "over its length", under[len(under) // 2].ref, _over(under, model), (0.0, 0.0, -1.0), times=people))
    if "books" in loads:
        for m in (*under, *(m for m in piece.members if m.role == BOTTOM)):
            area = m.length_mm * min(m.width_mm, SHELF_DEEP_MM) * 1e-6
            out.append(Case(on_shelf(loads, m.ref), f"on {m.name}", m.ref, _over([m], model), (0.0, 0.0, -1.0), True, times=area))
    if push:
        for way, words in (((1.0, 0.0, 0.0), "sideways"), ((0.0, 1.0, 0.0), "from front to back")):
            held_at_ends = kind == "screen" and way[1] and not model.soft.fixed[:, 3].any()
            ref, node = _leant_on(piece, model) if held_at_ends else _pushed(piece, model, way, LEAN_MM if kind == "screen" else np.inf)
            out.append(Case(push, words, ref, ((node, 1.0),), way))
    if "wind" in loads:
        out.append(Case(loads["wind"], "over its face", piece.members[0].ref, _facing(piece, model), (0.0, 1.0, 0.0), passing=True))
    if "child" in loads:
        floor = min(m.piece_box.lo[2] for m in piece.members)
        for m in _footholds(piece, floor, under if kind == "shelf" else ()):
            node = model.nearest(m.ref, m.length_mm / 2)
            out.append(Case(loads["child"], f"on {m.name}", m.ref, ((node, 1.0),), (0.0, 0.0, -1.0), passing=True))
    for m in piece.members:
        if "back" in loads and "back" in m.role and ("slat" in m.role or "rail" in m.role):
            nodes = model.nodes_of[m.ref]
            out.append(Case(loads["back"], f"on {m.name}", m.ref, ((nodes[len(nodes) // 2], 1.0),), (0.0, 1.0, 0.0)))
    return out


def _footholds(piece: Piece, floor_mm: float, shelves) -> list:
    """Level rails and stretchers that a child steps on, and shelves: one of each kind at its height is enough."""
    low, high = (floor_mm + h for h in FOOTHOLD_MM)
    level = [m for m in piece.members if abs(m.placement.along[2]) < 0.3 and m.length_mm > 200.0 and low <= m.piece_box.hi[2] <= high
             and ("rail" in m.role or "stretcher" in m.role) and not any(word in f"{m.role} {m.name}" for word in ("drawer", "door"))]
    alike = {(m.role, round(m.piece_box.hi[2]), round(m.length_mm), m.width_mm, m.thickness_mm): m for m in reversed([*level, *shelves])}
    return list(reversed(alike.values()))


def _pushed(piece: Piece, model: Model, way, height_mm: float) -> tuple[str, int]:
    """Where a push stands: on the member highest up that runs with it, else on an upright's top, no higher than ``height_mm``."""
    top = max(m.piece_box.hi[2] for m in piece.members)
    z = model.soft.nodes[:, 2]
    if top <= height_mm:
        high = [m for m in piece.members if m.piece_box.hi[2] > top - 60 and m.role not in ("panel", "drawer kicker")]
        m = max(high, key=lambda m: abs(np.dot(m.placement.along, way)) * m.length_mm)
        if abs(np.dot(m.placement.along, way)) > 0.5:
            nodes = model.nodes_of[m.ref]
            return m.ref, nodes[0 if way[0] else len(nodes) // 2]
    uprights = [m for m in piece.members if abs(m.placement.along[2]) > 0.7 and m.piece_box.hi[2] > min(top, height_mm) - 60] or list(piece.members)
    m = max(uprights, key=lambda m: (m.rank == "show", m.piece_box.size[2], m.width_mm * m.thickness_mm))
    nodes = model.nodes_of[m.ref]
    return m.ref, min(nodes, key=lambda n: abs(z[n] - min(top, height_mm)))


def _leant_on(piece: Piece, model: Model) -> tuple[str, int]:
    """Where a lean does most to a screen held at its two ends: in the middle of the level member nearest to that height, not held itself."""
    level = [m for m in piece.members if abs(m.placement.along[0]) > 0.7 and m.role in ("rail", "bar", LET_IN_BAR)]
    m = min(level or piece.members, key=lambda m: abs((m.piece_box.lo[2] + m.piece_box.hi[2]) / 2 - min(LEAN_MM, piece.overall_mm[2])))
    return m.ref, model.nearest(m.ref, m.length_mm / 2)


def _over(members, model: Model) -> tuple[tuple[int, float], ...]:
    """An even load over members, shared by the length each node stands for and their widths."""
    out = []
    for m in members:
        nodes = model.nodes_of[m.ref]
        x = model.x_of_node[list(nodes)]
        gaps = np.diff(x)
        share = (np.concatenate([gaps, [0.0]]) + np.concatenate([[0.0], gaps])) / 2 * m.width_mm
        out += list(zip(nodes, share))
    whole = sum(v for _, v in out)
    return tuple((n, float(v / whole)) for n, v in out)


def _facing(piece: Piece, model: Model) -> tuple[tuple[int, float], ...]:
    """An even load on the face of a screen: what each node stands for of the lengths of its members, by how wide they face it."""
    out = []
    for m in piece.members:
        nodes = model.nodes_of[m.ref]
        gaps = np.diff(model.x_of_node[list(nodes)])
        wide = m.width_mm if abs(m.placement.across[1]) < 0.5 else m.thickness_mm
        out += list(zip(nodes, (np.append(gaps, 0.0) + np.append(0.0, gaps)) / 2 * wide * (abs(m.placement.along[1]) < 0.5)))
    whole = sum(v for _, v in out)
    return tuple((n, float(v / whole)) for n, v in out if v)


def _dot(a, b) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _beside(boards, way) -> tuple[list, float, float]:
    """The boards that lie beside each other across a direction, from where and to where. [mm]"""
    alike = [m for m in boards if abs(_dot(m.placement.across, way)) > 0.99]
    ends = [_dot(m.placement.to_piece((0.0, y, 0.0)), way) for m in alike for y in (0.0, m.width_mm)]
    return alike, min(ends), max(ends)


def _outermost(under) -> list:
    """The boards at either edge of a seat."""
    if not under:
        return []
    way = under[0].placement.across
    order = sorted(_beside(under, way)[0], key=lambda m: sum(_beside([m], way)[1:]))
    return order[:1] if len(order) == 1 else [order[0], order[-1]]


def _pad(member, x: float, rows, model: Model, pad_mm: float, edge_mm: float) -> tuple[tuple[int, float], ...]:
    """The members under a pad and what each takes, by the width of it that lies there; the pad stands in from the edge.

    ``rows``: by the way across a board, what lies beside it: see ``_beside``.
    """
    way = member.placement.across
    alike, low, high = rows[way]
    here = member.placement.to_piece((x, member.width_mm / 2, member.thickness_mm / 2))
    room, at = min(edge_mm, (high - low) / 2), _dot(here, way)
    move = min(max(at, low + room), high - room) - at
    here = tuple(c + move * w for c, w in zip(here, way))
    out = []
    for m in alike:
        local = m.placement.to_member(here)
        if not -1.0 <= local[0] <= m.length_mm + 1.0:
            continue
        lies = min(local[1] + pad_mm / 2, m.width_mm) - max(local[1] - pad_mm / 2, 0.0)
        if lies > 0:
            out.append((model.nearest(m.ref, local[0]), lies))
    whole = sum(v for _, v in out)
    return tuple((n, v / whole) for n, v in out)


def own_weight(piece: Piece, model: Model, woods) -> np.ndarray:
    """The piece's own weight on its nodes, half of each length at either end: nodes x 6. [N], [N mm]"""
    density = np.array([woods[piece.member(ref).timber].density_kg_m3 for ref in model.member_of_beam])
    half = model.soft.area * model.soft.length * 1e-9 * density * G / 2
    own = np.zeros((len(model.soft.nodes), 6))
    np.subtract.at(own[:, 2], model.soft.beams, half[:, None])
    return own


def node_loads(model: Model, own: np.ndarray, cases) -> np.ndarray:
    """Forces on the nodes, own weight in every case: cases x nodes x 6. [N], [N mm]"""
    out = np.repeat(own[None], len(cases), axis=0)
    for case, load in zip(cases, out):
        force = np.array(case.way) * case.load.force_n * case.times
        for node, share in case.nodes:
            load[node, :3] += force * share
    return out
