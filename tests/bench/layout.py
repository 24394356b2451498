"""How good and how quick the layouts are: prints figures, asserts none.

    python tests/bench/layout.py [seconds] [--processor] [--own first last] [word in the name ...]
    python tests/bench/layout.py table [--processor]         every figure asked for, beside what was measured

Every stored job, thirty of our own generator (seeds 100 to 129, none of them used for tuning) and, where
they are at hand, the published instances: quick and thorough cost over the reference (optimum, else best
known or best found), time, what is proved, and the reference floor; then the distance to the proved floor
and how far the quick cost and the best of eighteen plain first-fit orders are undercut. Plain: pieces by
thickness, by area or by length, boards the cheapest, the longest or the dearest first, either way of splitting;
that comes 27 % above the best known on the stored jobs. With --processor seconds are of processor time, for a
shared machine.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass, field, replace
from pathlib import Path
from statistics import mean, median

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from studio_lib.stock import Fault, check_layout, first_fit, lay_out
from studio_lib.stock import search as thorough_search
from studio_lib.stock.job import Saw, make_job
from studio_lib.stock.ready import rehearse
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


PLAIN = (lambda stock, fits: stock.price, lambda stock, fits: -stock.length, lambda stock, fits: -stock.price)
"""Which board the plain first-fit orders fetch next."""


def plain_cost(case):
    """Cost of the best of eighteen plain first-fit orders, or None where each leaves a piece over."""
    saw = Saw(case.kerf_mm, case.saw["end_trim_mm"], case.saw["resaw_kerf_mm"], case.saw["allowances"])
    job, ours = make_job(case.pieces, case.boards, saw, 0.1), first_fit.CHOICES
    first_fit.CHOICES, few = PLAIN, first_fit.FEW
    first_fit.FEW = 18
    try:
        filled = first_fit.first_fit(job)
    finally:
        first_fit.CHOICES, first_fit.FEW = ours, few
    made = sum(cell.layers for f in filled for cell in f.cells)
    if made < sum(p.count for p in case.pieces):
        return None
    return float(sum(job.stocks[f.stock].price for f in filled))


def timed(case, seconds: float, effort: str, **how):
    """One layout with its processor and clock time, and a note where the checker objects."""
    start, clock = time.process_time(), time.perf_counter()
    layout = lay_out(case.pieces, case.boards, case.kerf_mm, seconds, effort=effort, **how, **case.saw)
    took = time.process_time() - start, time.perf_counter() - clock
    wrong = check_layout(layout, case.pieces, case.boards, case.kerf_mm, **case.saw)
    return layout, took, f"  UNSOUND: {wrong[0]}" if wrong else ""


@dataclass
class Figures:
    """What one set came to."""

    ratios: list = field(default_factory=list)
    gaps: list = field(default_factory=list)
    under_quick: list = field(default_factory=list)
    under_plain: list = field(default_factory=list)
    quick_ms: list = field(default_factory=list)
    boards_over: list = field(default_factory=list)
    """Boards beyond the known optimum."""
    proved: int = 0
    short: int = 0
    unsound: int = 0


def run(name: str, cases, seconds: float, words=(), say=print) -> Figures:
    """Every case of one set, then the set's averages."""
    f = Figures()
    for case in cases:
        if words and not any(w in case.name for w in words):
            continue
        quick, (_, quick_s), quick_wrong = timed(case, seconds, "quick")
        layout, (cpu_s, clock_s), wrong = timed(case, seconds, "thorough")
        row = getattr(case, "row", None)
        ref, plain = reference(row), plain_cost(case)
        over = " BOUND ABOVE OPTIMUM" if row and row.get("optimum") and layout.bound and layout.bound > ref else ""
        f.quick_ms.append(1000 * quick_s)
        f.short += bool(layout.missing)
        f.unsound += bool(quick_wrong or wrong or over)
        if ref:
            f.ratios.append(float(layout.cost) / ref if not layout.missing else 9.0)
        if row and row.get("optimum_boards"):
            f.boards_over.append(len(layout.boards_used) - row["optimum_boards"])
        if layout.gap_pct is not None:
            f.gaps.append(layout.gap_pct)
            f.proved += layout.gap_pct == 0
        if not (quick.missing or layout.missing) and quick.cost:
            f.under_quick.append(100 * (1 - float(layout.cost / quick.cost)))
        if plain and not layout.missing:
            f.under_plain.append(100 * (1 - float(layout.cost) / plain))
        say(
            f"{case.name[:40]:40} quick {quick.cost} in {f.quick_ms[-1]:4.0f} ms   thorough {layout.cost} in {cpu_s:5.2f} s"
            f" ({clock_s:5.2f} by the clock)   {layout.state:16} bound {layout.bound}"
            + (f" of reference {f.ratios[-1]:.3f}" if ref else "")
            + f"{quick_wrong}{wrong}{over}",
            flush=True,
        )
    if not f.quick_ms:
        return f
    say(
        f"== {name}: quick median {median(f.quick_ms):.0f} ms, worst {max(f.quick_ms):.0f}; "
        f"missing a piece in {f.short}; proved {f.proved} of {len(f.quick_ms)}"
    )
    if f.ratios:
        say(
            f"   of the reference {mean(f.ratios):.3f} (worst {max(f.ratios):.3f}), "
            f"no dearer than it in {sum(r <= 1 + 1e-9 for r in f.ratios)} of {len(f.ratios)}"
        )
    if f.gaps:
        say(f"   to the proved floor: mean {mean(f.gaps):.2f} %, median {median(f.gaps):.2f} %, worst {max(f.gaps):.1f} %")
    if f.under_quick:
        say(f"   below our own first layout: mean {mean(f.under_quick):.1f} %")
    if f.under_plain:
        say(f"   below the best of eighteen plain first-fit orders: mean {mean(f.under_plain):.1f} %")
    say()
    return f


def replanned_ms(cases) -> list[float]:
    """Clock time of a first layout after a split was found in a board of a kept one. [ms]"""
    times = []
    for case in cases:
        kept, *_ = timed(case, 1.0, "quick")
        worse = kept.boards_used[0][0]
        boards = tuple(
            replace(b, faults=(*b.faults, Fault(0, b.length_mm / 3, 0, b.widest_mm, 3, "split"))) if b.ref == worse else b
            for b in case.boards
        )
        start = time.perf_counter()
        lay_out(case.pieces, boards, case.kerf_mm, effort="quick", kept=kept, **case.saw)
        times.append(1000 * (time.perf_counter() - start))
    return times


def table() -> None:
    """Every figure asked for, beside what was measured."""
    jobs, ours = read_cases(FILES[1]), [job(seed) for seed in range(*OWN)]
    rows, quick = [], []

    def row(what, asked, got):
        rows.append(f"{what:58} {asked:26} {got}")
        print(rows[-1], flush=True)

    if FILES[2].exists():
        bars = run("", read_cases(FILES[2]), 2.0, say=lambda *a, **k: None)
        quick += bars.quick_ms
        row("published bars, optimum within 2 s", f"{len(bars.ratios)} of {len(bars.ratios)}",
            f"{sum(r <= 1 for r in bars.ratios)} of {len(bars.ratios)}")
        flat = read_cases(FILES[3])
        packed = [c for c in flat if c.row.get("best_known_boards")]
        known = run("", [c for c in packed if c.row.get("optimum_boards")], 1.0, say=lambda *a, **k: None)
        row("published boards with known optimum, within 1 s", "all", f"{known.boards_over.count(0)} of {len(known.boards_over)}")
        quick += known.quick_ms + [timed(c, 1.0, "quick")[1][1] * 1000 for c in flat]
        row("  more boards than a general packer's best, within 1 s", "none", str(sum(more_than_packer(c) for c in packed)))
    built = run("", read_cases(FILES[0]), 2.0, say=lambda *a, **k: None)
    row("constructed, optimum within 2 s", "12 of 12", f"{sum(r <= 1 for r in built.ratios)} of {len(built.ratios)}")
    row("constructed, proved within 2 s", "at least 10", str(built.proved))
    for name, cases in (("stored jobs", jobs), ("thirty of our own", ours)):
        two = run("", cases, 2.0, say=lambda *a, **k: None)
        ten = run("", cases, 10.0, say=lambda *a, **k: None)
        quick += two.quick_ms
        row(f"{name}: floor within, at 2 s", "mean 4 %, median 2 %", f"mean {mean(two.gaps):.2f} %, median {median(two.gaps):.2f} %")
        row(f"{name}: floor within, at 10 s", "mean 3 %", f"mean {mean(ten.gaps):.2f} %, proved {ten.proved} of {len(cases)}")
        row(f"{name}: below eighteen first-fit orders, at 2 s", "18 %", f"{mean(two.under_plain):.1f} %")
        row(f"{name}: unsound, or short of a piece", "none", f"{two.unsound + ten.unsound}, {two.short + ten.short}")
    row("first layout, by the clock", "100 ms", f"median {median(quick):.0f} ms, worst {max(quick):.0f}")
    again = replanned_ms(jobs + ours)
    row("a changed board planned anew, by the clock", "1 s", f"median {median(again):.0f} ms, worst {max(again):.0f}")


def more_than_packer(case) -> bool:
    """Whether a layout within a second has more boards than the packer's best setting."""
    from tests.stock.packer import fewest_boards

    (board,), k = case.boards, case.kerf_mm
    theirs = fewest_boards([(int(p.length_mm + k), int(p.width_mm + k), p.count) for p in case.pieces],
                           int(board.length_mm + k), int(board.width_mm + k))
    return len(timed(case, 1.0, "thorough")[0].boards_used) > theirs


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
    rehearse()
    print("kernels ready\n")
    if words == ["table"]:
        table()
        return
    run(f"our own jobs {own[0]} to {own[1] - 1}", [job(seed) for seed in range(*own)], seconds, words)
    for file in FILES:
        if file.exists():
            run(file.name, read_cases(file), seconds, words)
        else:
            print(f"{file.name} is not at hand, left out")


if __name__ == "__main__":
    main(sys.argv[1:])
