"""Prints what it takes to say whether a piece holds: milliseconds on this machine, and how it grows.

    python tests/bench/structure.py
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from studio_lib.commission import Brief  # noqa: E402
from studio_lib.forms import FORMS, Surroundings, form, make, settled  # noqa: E402
from studio_lib.structure.as_frame import as_frame  # noqa: E402
from studio_lib.structure.bearing import bearing  # noqa: E402
from studio_lib.structure.cases import load_cases, node_loads, own_weight, spots  # noqa: E402
from studio_lib.structure.loads import loads_of, serves  # noqa: E402
from studio_lib.structure.slender import Asked, may_be_slimmed, slender  # noqa: E402
from studio_lib.structure.strength import Wood  # noqa: E402
from studio_lib.structure.whole import analysed  # noqa: E402

OAK = {"oak": Wood("oak", 700.0, 12_000.0, 105.0, 12.0)}
HERE = ("indoors, heated", "household")


def moved(name: str, k: int):
    """A form with one size a little different each time, as a slider leaves it."""
    size = next(s for s in FORMS[name].sizes if s.name in ("length_mm", "width_mm", "height_mm"))
    base = settled(form(name), Brief(), Surroundings("oak"), {})[size.name]
    return make(name, Brief(), timber="oak", **{size.name: base + 5 * k})


def of_one(name: str) -> None:
    analysed(moved(name, 0), OAK, *HERE)
    wall, cpu = [], []
    for k in range(1, 8):
        piece = moved(name, k)
        a, b = time.perf_counter(), time.process_time()
        analysed(piece, OAK, *HERE)
        wall.append(1000 * (time.perf_counter() - a))
        cpu.append(1000 * (time.process_time() - b))
    print(f"{name:16} {len(piece.members):4} members {len(piece.joints) + len(piece.fixings):4} joints: "
          f"{statistics.median(wall):6.0f} ms ({statistics.median(cpu):.0f} ms of work)")


def parts(length_mm: float, gap_mm: float) -> None:
    """A framed screen of so many slats: what each part takes."""
    piece = make("framed screen", Brief(), timber="oak", length_mm=length_mm, gap_mm=gap_mm)
    steps = [time.perf_counter()]
    model = as_frame(piece, OAK, {m.ref: spots(m) for m in bearing(piece)})
    steps.append(time.perf_counter())
    cases = load_cases(piece, model, loads_of(serves(piece.form), "household"))
    forces = node_loads(model, own_weight(piece, model, OAK), cases)
    steps.append(time.perf_counter())
    for frame in (model.soft, model.stiff):
        frame.solve(forces)
    steps.append(time.perf_counter())
    took = [1000 * (b - a) for a, b in zip(steps, steps[1:])]
    t = time.perf_counter()
    analysed(piece, OAK, *HERE)
    print(f"{len(piece.members):4} members, {len(model.soft.nodes):5} nodes: frame {took[0]:.0f}, cases {took[1]:.0f}, solved twice {took[2]:.0f}, "
          f"all {1000 * (time.perf_counter() - t):.0f} ms")


def search(name: str) -> None:
    asked = Asked(name, Brief(), Surroundings("oak"), settled(form(name), Brief(), Surroundings("oak"), {}), {}, (), OAK, *HERE)
    t = time.perf_counter()
    points = slender(asked, [n for n, _ in may_be_slimmed(name)])
    print(f"slender {name}: {time.perf_counter() - t:.1f} s, {len(points)} points")


if __name__ == "__main__":
    for each in (f for f in FORMS if f != "freehand"):
        of_one(each)
    for length, gap in ((1200, 40), (2000, 20), (3000, 8), (4000, 3)):
        parts(length, gap)
    for each in ("slatted stool", "table", "bookcase", "slatted table"):
        search(each)
