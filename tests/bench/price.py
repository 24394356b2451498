"""What the price costs in time, and how ranges tighten over thirty jobs.

python tests/bench/price.py
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from studio_lib.costing import drivers  # noqa: E402
from studio_lib.costing.cheaper import cheaper, price_breaks  # noqa: E402
from studio_lib.costing.hours import learnt  # noqa: E402
from studio_lib.demo import demo  # noqa: E402
from studio_lib.derive import derive  # noqa: E402


def timed(words: str, work, rounds: int = 15) -> None:
    wall, cpu = [], []
    for i in range(rounds):
        a, b = time.perf_counter(), time.process_time()
        work(i)
        wall.append(1000 * (time.perf_counter() - a))
        cpu.append(1000 * (time.process_time() - b))
    print(f"{words:34} {statistics.median(wall):8.1f} ms ({statistics.median(cpu):.1f} ms of work)")


def slider(i: int) -> None:
    d = derive(demo().changed("items.0.sizes.length_mm", 1700.0 + i))
    _ = (d.price.gross, d.price.drivers, d.price.quoted)


def tables(i: int) -> None:
    d = derive(demo())
    p = d.price
    _ = (
        drivers.by_stage(p),
        drivers.by_decision(p),
        drivers.by_member(p, d.counted, d.cutting_list),
        drivers.by_joint(p, d.counted),
    )


def tightening(jobs: int = 30, seed: int = 4) -> None:
    """One maker, slow at some operations, who makes the demo again and again: range before each job, what it took."""
    import numpy as np

    draws = np.random.default_rng(seed)
    work = derive(demo()).work
    parts: dict[str, list[float]] = {}
    for w in work:
        row = parts.setdefault(w.time.operation, [0.0, w.time.log_sd])
        row[0] += w.standard_hours
    habit = {o: draws.normal(0.1, 0.3) for o in parts}
    past: list[dict[str, float]] = []
    under = inside = 0
    print("job   P10   P50   P80   P90  P90/P10  took")
    for n in range(jobs + 1):
        s = learnt(past, {o: sd for o, (_, sd) in parts.items()}).hours([(o, h, sd) for o, (h, sd) in parts.items()])
        luck = draws.normal(0, 0.15)
        ratios = {o: float(np.exp(habit[o] + luck + draws.normal(0, 0.2))) for o in parts}
        took = sum(h * ratios[o] for o, (h, _) in parts.items())
        under += took <= s.at(80)
        inside += s.at(10) <= took <= s.at(90)
        if n in (0, 1, 2, 3, 5, 10, 15, 20, 25, 30):
            print(
                f"{n + 1:3} "
                + "".join(f"{s.at(q):6.1f}" for q in (10, 50, 80, 90))
                + f"{s.at(90) / s.at(10):8.2f}{took:7.1f}"
            )
        past.append(ratios)
    print(f"{under} of {jobs + 1} under their P80, {inside} between P10 and P90")


def main() -> None:
    timed("slider -> price", slider)
    timed("what drives it, four tables", tables)
    timed("price breaks 1, 2, 6, 12", lambda _i: price_breaks(derive(demo())))
    _ = derive(demo()).findings
    timed(
        "what would make it cheaper",
        lambda i: cheaper(derive(demo().changed("items.0.sizes.length_mm", 2000.0 - i))),
        3,
    )
    timed(
        "estimator, 30 jobs",
        lambda i: learnt([{f"o{k}": 1.0 + (k + j + i) % 5 / 10 for k in range(25)} for j in range(30)]),
        5,
    )
    tightening()


if __name__ == "__main__":
    main()
