"""How good and how quick the layouts are: prints figures, asserts none.

    python tests/bench/layout.py [seconds] [--processor] [--own first last] [word in the name ...]

Every stored job, thirty of our own generator (seeds 100 to 129, none of them used for tuning) and, where
they are at hand, the published instances: quick and thorough cost over the reference (optimum, else best
known or best found), time, what is proved, and the reference floor; then the distance to the proved floor
and how far the quick cost is undercut. With --processor seconds are of processor time, for a shared machine.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from statistics import mean, median

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from studio_lib.stock import check_layout, lay_out
from studio_lib.stock import search as thorough_search
from tests.stock.cases import DATA, PUBLISHED, read_cases
from tests.stock.generator import job

FILES = (
    DATA / "constructed.json",
    DATA / "jobs.json",
    PUBLISHED / "bars_1d.json",
    PUBLISHED / "boards_2d_published.json",
)
OWN = (100, 130)


class ProcessorTime:
    """Stands in for ``time`` in the search's safety stop."""

    monotonic = staticmethod(time.process_time)


def reference(row) -> float | None:
    """Optimum where it is known, else the best cost known."""
    if not row:
        return None
    boards = row.get("best_known_boards")
    return float(
        row.get("optimum") or row.get("best_found") or row.get("best_known") or boards * row["boards"][0]["price"]
    )


def timed(case, seconds: float, effort: str):
    """One layout with its processor and clock time, and a note where the checker objects."""
    start, clock = time.process_time(), time.perf_counter()
    layout = lay_out(case.pieces, case.boards, case.kerf_mm, seconds, effort=effort, **case.saw)
    took = time.process_time() - start, time.perf_counter() - clock
    wrong = check_layout(layout, case.pieces, case.boards, case.kerf_mm, **case.saw)
    return layout, took, f"  UNSOUND: {wrong[0]}" if wrong else ""


def run(name: str, cases, seconds: float, words) -> None:
    """Every case of one set, then the set's averages."""
    ratios, gaps, undercut, quick_ms, proved, short = [], [], [], [], 0, 0
    for case in cases:
        if words and not any(w in case.name for w in words):
            continue
        quick, (_, quick_s), quick_wrong = timed(case, seconds, "quick")
        layout, (cpu_s, clock_s), wrong = timed(case, seconds, "thorough")
        row = getattr(case, "row", None)
        ref = reference(row)
        over = " BOUND ABOVE OPTIMUM" if row and row.get("optimum") and layout.bound and layout.bound > ref else ""
        quick_ms.append(1000 * quick_s)
        short += bool(layout.missing)
        if ref:
            ratios.append(float(layout.cost) / ref if not layout.missing else 9.0)
        if layout.gap_pct is not None:
            gaps.append(layout.gap_pct)
            proved += layout.gap_pct == 0
        if not (quick.missing or layout.missing) and quick.cost:
            undercut.append(100 * (1 - float(layout.cost / quick.cost)))
        print(
            f"{case.name[:40]:40} quick {quick.cost} in {quick_ms[-1]:4.0f} ms   thorough {layout.cost} in {cpu_s:5.2f} s"
            f" ({clock_s:5.2f} by the clock)   {layout.state:16} bound {layout.bound}"
            + (f" of reference {ratios[-1]:.3f}" if ref else "")
            + f"{quick_wrong}{wrong}{over}",
            flush=True,
        )
    if not quick_ms:
        return
    print(
        f"== {name}: quick median {median(quick_ms):.0f} ms, worst {max(quick_ms):.0f}; missing a piece in {short}; proved {proved} of {len(quick_ms)}"
    )
    if ratios:
        print(
            f"   of the reference {mean(ratios):.3f} (worst {max(ratios):.3f}), no dearer than it in {sum(r <= 1 + 1e-9 for r in ratios)} of {len(ratios)}"
        )
    if gaps:
        print(f"   to the proved floor: mean {mean(gaps):.2f} %, median {median(gaps):.2f} %, worst {max(gaps):.1f} %")
    if undercut:
        print(f"   below the best of the first-fit orders: mean {mean(undercut):.1f} %")
    print()


def main(arguments) -> None:
    """Read the command line and run the sets."""
    words = list(arguments)
    own = OWN
    if "--own" in words:
        at = words.index("--own")
        own = int(words[at + 1]), int(words[at + 2])
        del words[at : at + 3]
    if "--processor" in words:
        words.remove("--processor")
        thorough_search.time = ProcessorTime
    seconds = float(words.pop(0)) if words and words[0].replace(".", "", 1).isdigit() else 20.0
    first = job(0)
    lay_out(first.pieces, first.boards, first.kerf_mm, 60, **first.saw)
    print("kernels ready\n")
    run(f"our own jobs {own[0]} to {own[1] - 1}", [job(seed) for seed in range(*own)], seconds, words)
    for file in FILES:
        if file.exists():
            run(file.name, read_cases(file), seconds, words)
        else:
            print(f"{file.name} is not at hand, left out")


if __name__ == "__main__":
    main(sys.argv[1:])
