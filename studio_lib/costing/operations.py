"""What will really be done, counted from the model, and the time it usually takes."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from studio_lib.piece import Piece
from studio_lib.piece.model import Operation
from studio_lib.piece.order import order_of_work

GRITS = 4
"""80, 120, 180 and a light pass; common practice, no source."""
COATS = {"left bare": 0, "oil": 3, "hard-wax oil": 2}
FORGOTTEN = (
    "changes to the drawings", "a second trip to the yard", "jigs and test pieces",
    "waiting for help to lift", "undersides and edges", "raising the grain",
    "touching up after assembly", "packing material", "the client's visit", "a snag visit",
)
"""Work that makers leave out of a costing; shown beside every price."""


@dataclass(frozen=True)
class StandardTime:
    """Usual time of one operation: set-up once a batch, then so much for each. [min]"""

    operation: str
    stage: str
    set_up_min: float
    unit_min: float
    unit: str
    log_sd: float
    """Spread of ln(actual / standard) where the maker has no record."""
    source: str


@dataclass(frozen=True)
class Work:
    """One operation of this job."""

    time: StandardTime
    count: float
    batches: int
    item: str
    """Piece it belongs to, or '' for the whole job."""

    @property
    def standard_hours(self) -> float:
        return (self.time.set_up_min * self.batches + self.time.unit_min * self.count) / 60


@cache
def standard_times() -> dict[str, StandardTime]:
    """The starting table, by operation; replaced by the maker's own records as they come."""
    path = Path(__file__).with_name("operations.csv")
    with path.open(newline="") as file:
        return {
            r["operation"]: StandardTime(
                r["operation"], r["stage"], float(r["set_up_min"]), float(r["unit_min"]),
                r["unit"], float(r["log_sd"]), r["source"],
            )
            for r in csv.DictReader(file)
        }


def surface_m2(piece: Piece) -> float:
    """All faces that are sanded and finished: every member before its joints are cut. [m2]"""
    total = 0.0
    for m in piece.members:
        l, w, t = m.length_mm, m.width_mm, m.thickness_mm
        total += 2 * (l * w + l * t + w * t)
    return total * 1e-6


def glue_stages(piece: Piece) -> int:
    """How many nights glue must cure, as the joints let the piece go together; sub-assemblies share a night."""
    return order_of_work(piece).glue_nights


def count_work(items, boards_used: int, finish: str) -> tuple[Work, ...]:
    """Every operation of a commission. ``items`` is [(piece, how many)]."""
    times = standard_times()
    out: list[Work] = []

    def add(operation: str, count: float, item: str, batches: int = 1):
        if count > 0:
            out.append(Work(times[operation], count, batches, item))

    add("choose and fetch boards", boards_used, "")
    for piece, n in items:
        members = n * sum(m.boards for m in piece.members)
        sections = len({(m.width_mm, m.thickness_mm) for m in piece.members})
        lengths = len({round(piece.overall_length_mm(m.ref), 2) for m in piece.members})
        add("rough dock", members, piece.name)
        add("face and edge", members, piece.name)
        add("thickness and rip to width", members, piece.name, sections)
        add("dock to length with a stop", members, piece.name, lengths)
        add("mark out from the rod", n * len(piece.joints), piece.name)
        kinds: dict[str, list] = {}
        for joint in piece.joints:
            for op in joint.operations(piece):
                kinds.setdefault(op.name, []).append(op)
        for m in piece.members:
            if m.boards > 1:
                glued = Operation("edge joint", (m.boards - 1) * m.length_mm / 1000, "m", "boards into a width")
                kinds.setdefault(glued.name, []).append(glued)
            for shaping in m.shaping:
                for op in shaping.operations(m):
                    kinds.setdefault(op.name, []).append(op)
        for kind, ops in kinds.items():
            add(kind, n * sum(o.count for o in ops), piece.name, len({o.batch for o in ops}))
        screws = n * sum(f.count for f in piece.fixings)
        add("drill screw holes", 2 * screws, piece.name)
        area = n * surface_m2(piece)
        metres = n * sum(4 * m.length_mm for m in piece.members if m.arris_mm) / 1000
        add("take off arrises", metres, piece.name)
        add("sand", area * GRITS, piece.name, GRITS)
        add("dry fit", n * len(piece.joints), piece.name)
        add("glue up", n * order_of_work(piece).glue_ups, piece.name)
        add("clean up after glue", n * len(piece.joints), piece.name)
        add("drive screws", screws, piece.name)
        coats = COATS[finish]
        add("brush or wipe on finish", area * coats, piece.name, max(coats, 1))
        add("pack load and set in place", n, piece.name)
    add("photographs care sheet paperwork", 1, "")
    return tuple(out)
