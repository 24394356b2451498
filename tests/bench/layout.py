"""How good and how quick the layouts are: prints figures, asserts none.

    python tests/bench/layout.py [seconds] [word in the name ...]

Every stored job and, where they are at hand, the published instances: quick and
thorough cost over the reference (optimum, else best known or best found), time, what is
proved, and the reference floor. The first thorough layout includes loading the kernels.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from statistics import mean

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from studio_lib.stock import check_layout, lay_out
from tests.stock.cases import DATA, PUBLISHED, read_cases

FILES = (
    DATA / "constructed.json", DATA / "jobs.json",
    PUBLISHED / "bars_1d.json", PUBLISHED / "boards_2d_published.json",
)


def reference(row) -> float:
    """Optimum where it is known, else the best cost known."""
    boards = row.get("best_known_boards")
    return float(
        row.get("optimum") or row.get("best_found") or row.get("best_known")
        or boards * row["boards"][0]["price"]
    )


def timed(case, seconds: float, effort: str):
    """One layout with its time, and a note where the checker objects."""
    start = time.perf_counter()
    layout = lay_out(case.pieces, case.boards, case.kerf_mm, seconds, effort=effort, **case.saw)
    took = time.perf_counter() - start
    wrong = check_layout(layout, case.pieces, case.boards, case.kerf_mm, **case.saw)
    return layout, took, f"  UNSOUND: {wrong[0]}" if wrong else ""


def run(path: Path, seconds: float, words) -> None:
    """Every case of one file, then the file's averages."""
    ratios, quick_ratios, times = [], [], []
    for case in read_cases(path):
        if words and not any(w in case.name for w in words):
            continue
        quick, quick_s, quick_wrong = timed(case, seconds, "quick")
        layout, took_s, wrong = timed(case, seconds, "thorough")
        ref = reference(case.row)
        over = " BOUND ABOVE OPTIMUM" if case.row.get("optimum") and layout.bound and layout.bound > ref else ""
        ratios.append(float(layout.cost) / ref)
        quick_ratios.append(float(quick.cost) / ref)
        times.append(took_s)
        print(
            f"{case.name[:40]:40} quick {quick_ratios[-1]:.3f} in {1000 * quick_s:5.0f} ms"
            f"   thorough {ratios[-1]:.3f} in {took_s:5.2f} s   {layout.state:16}"
            f" cost {layout.cost} bound {layout.bound} (known floor {case.row.get('lower_bound')})"
            f"{quick_wrong}{wrong}{over}", flush=True,
        )
    if ratios:
        print(
            f"== {path.name}: quick {mean(quick_ratios):.3f}, thorough {mean(ratios):.3f} of the"
            f" reference (worst {max(ratios):.3f}), no dearer than it in"
            f" {sum(r <= 1 + 1e-9 for r in ratios)} of {len(ratios)}, {mean(times):.2f} s each\n"
        )


if __name__ == "__main__":
    limit_s = float(sys.argv[1]) if len(sys.argv) > 1 else 20.0
    for file in FILES:
        if file.exists():
            run(file, limit_s, sys.argv[2:])
        else:
            print(f"{file.name} is not at hand, left out")
