"""The budgets the workbook is held to, as medians on this machine, and how each grows from 10 to 200 members.

    python tests/bench/budgets.py             # the whole table; some minutes
    python tests/bench/budgets.py kernel      # without pages and browser
    python tests/bench/budgets.py growth      # only how it grows

Times of the kernel are given as the clock had them and as work of the processor, which a busy machine leaves alone.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "pages"), str(ROOT / "tests" / "bench")]

from studio_lib.commission import Commission, Item, OfferedBoard  # noqa: E402
from studio_lib.demo import demo as read_demo  # noqa: E402
from studio_lib.derive import derive  # noqa: E402
from studio_lib.look.glb import glb  # noqa: E402
from studio_lib.solids import exact, meshes  # noqa: E402
from workbook.page import collect_seldom  # noqa: E402

SCREENS = {10: (520.0, 60.0, 60.0), 20: (620.0, 30.0, 20.0), 40: (1160.0, 30.0, 20.0), 80: (2360.0, 30.0, 20.0),
           120: (3560.0, 30.0, 20.0), 200: (4760.0, 28.0, 18.0)}
"""Length, slat and gap of a framed screen of about so many members. [mm]"""
FORTY = {"height_mm": 1500.0, "width_mm": 1100.0}
"""A cabinet of about 40 members and 60 joints."""


def timed(work: Callable[[int], object], rounds: int) -> tuple[float, float]:
    """Median by the clock and median work of the processor of ``work(i)``, the first call left out. [ms]"""
    work(-1)
    wall, cpu = [], []
    for i in range(rounds):
        a, b = time.perf_counter(), time.process_time()
        work(i)
        wall.append(1000 * (time.perf_counter() - a))
        cpu.append(1000 * (time.process_time() - b))
    return statistics.median(wall), statistics.median(cpu)


def line(what: str, budget_ms: float | None, wall: float, cpu: float | None = None) -> None:
    """One row of the table."""
    asked = f"{budget_ms:>8.0f}" if budget_ms else "       -"
    held = "" if not budget_ms else "held" if (wall if cpu is None else min(wall, cpu)) <= budget_ms else "MISSED"
    print(f"{what:<66}{asked}{wall:>10.1f}{'' if cpu is None else f'{cpu:>10.1f}':>10}  {held}", flush=True)


def every_number(c: Commission) -> None:
    """What a moved slider asks of the kernel: every number of every page."""
    d = derive(c)
    _ = (d.findings, d.slat_gaps, d.weights_kg, d.cutting_list, d.layout.cost, d.price.gross, d.price.drivers)


def mesh_bytes(c: Commission) -> None:
    """The new mesh, all joints cut, as bytes for the browser."""
    glb([(p.name, meshes(p), (0.0, 0.0, 0.0)) for p in derive(c).pieces])


@cache
def demo() -> Commission:
    """The demo, read once: an open page holds it, and a slider only changes it."""
    return read_demo()


def cabinet(width_mm: float) -> Commission:
    """The demo with the cabinet in place of its pieces."""
    base = demo()
    item = Item(name="cabinet", form="cabinet", sizes={"width_mm": width_mm})
    return base.model_copy(update={"items": (item,), "options": (), "chosen": "", "views": (),
                                   "brief": base.brief.model_copy(update={"place": "indoors, heated", "use": "household"})})


def screen(members: int, longer_mm: float = 0.0) -> Commission:
    """A framed screen of about so many members, with boards enough for it."""
    length, slat, gap = SCREENS[members]
    base = demo()
    item = Item(name="screen", form="framed screen", sizes={"length_mm": length + longer_mm, "slat_width_mm": slat, "gap_mm": gap})
    boards = tuple(
        OfferedBoard(ref=f"Q{n}", timber=base.timber.species, length_mm=2600, width_mm=220, thickness_mm=(32, 52, 80)[n % 3], price="60")
        for n in range(12 + members // 5)
    )
    return base.model_copy(update={
        "items": (item,), "options": (), "chosen": "", "views": (),
        "boards": base.boards.model_copy(update={"offered": boards, "kept_layout": None, "marks": (), "places": ()}),
    })


def kernel() -> None:
    """The budgets that need no browser, as the kernel of an open page meets them."""
    every_number(demo())
    collect_seldom()
    line("slider -> every number (demo: two pieces, 41 members)", 50,
         *timed(lambda i: every_number(demo().changed("items.0.sizes.length_mm", 1700.0 + i)), 15))
    line("slider -> every number (cabinet)", 50, *timed(lambda i: every_number(cabinet(900.0 + i)), 9))
    line("slider -> mesh bytes (demo)", 25, *timed(lambda i: mesh_bytes(demo().changed("items.0.sizes.length_mm", 2200.0 + i)), 15))
    line("slider -> mesh bytes (cabinet)", 25, *timed(lambda i: mesh_bytes(cabinet(1000.0 + i)), 9))
    whole = derive(cabinet(900.0)).pieces[0]

    def cold(_i):
        exact.solid.cache_clear()
        exact.build(whole)

    line("exact solids, nothing cached (cabinet)", 500, *timed(cold, 5))
    line("exact solids, one size changed (cabinet)", 100, *timed(lambda i: exact.build(derive(cabinet(905.0 + i)).pieces[0]), 5))
    layout()
    papers()
    record()


def layout() -> None:
    """A layout of 60 pieces on 20 boards with faults: the first answer, and the gap after 5 s."""
    from studio_lib.stock import lay_out
    from tests.stock.generator import job

    one = job(104)
    line(f"first layout ({sum(p.count for p in one.pieces)} pieces, {len(one.boards)} boards with faults)", 1000,
         *timed(lambda _i: lay_out(one.pieces, one.boards, one.kerf_mm, 0.0, effort="quick", **one.saw), 3))
    began = time.perf_counter()
    best = lay_out(one.pieces, one.boards, one.kerf_mm, 4.5, effort="thorough", **one.saw)
    gap = 100 * float(best.cost / best.bound - 1) if best.bound else float("nan")
    line(f"searched: within {gap:.1f} % of the proved floor", 5000, 1000 * (time.perf_counter() - began))


def papers() -> None:
    """All papers of the demo."""
    from studio_lib.papers import write

    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        count = len(write(demo(), Path(folder)))
        line(f"all papers of the demo ({count} files)", 10_000, 1000 * (time.perf_counter() - began))


def record() -> None:
    """The record with 2,000 commissions."""
    from studio_lib.jobbook import open_book

    with tempfile.TemporaryDirectory() as folder:
        book = open_book(folder)
        for n in range(2000):
            book.add(demo().model_copy(update={"ref": f"D{n:05d}", "title": f"Piece {n}"}))
        line("2,000 commissions: list", 100, *timed(lambda _i: book.commissions(), 9))
        line("2,000 commissions: search", 100, *timed(lambda _i: book.commissions("piece 1234"), 9))
        line("2,000 commissions: open one", 100, *timed(lambda _i: book.open("D01234"), 9))
        book.close()


def pages() -> None:
    """Each page run from a fresh kernel, as a person opens it."""
    import os

    import nbformat
    from nbclient import NotebookClient

    with tempfile.TemporaryDirectory() as folder:
        os.environ["JOB_BOOK"] = folder
        for path in sorted((ROOT / "notebooks").glob("*.ipynb")):
            page = nbformat.read(path, as_version=4)
            began = time.perf_counter()
            NotebookClient(page, timeout=180, kernel_name="python3", resources={"metadata": {"path": str(ROOT)}}).execute()
            line(f"page {path.stem}, fresh kernel, all cells", 6000, 1000 * (time.perf_counter() - began))


def browser() -> None:
    """A slider of the Sizes page to the redrawn view, where a browser is found."""
    import shutil

    if not shutil.which("chromium"):
        print("slider -> 3D view redrawn: no chromium on this machine, not measured")
        return
    from look_times import lab_slider

    print("slider -> 3D view redrawn (budget 150 ms apart from software rasterising):")
    lab_slider()


def growth() -> None:
    """How the kernel's part grows with the number of members."""
    names = ("every number", "mesh bytes", "exact, cold", "one changed", "drawings")
    print(f"\nHow it grows, framed screen, ms of the processor\n{'members':>8}{'joints':>8}" + "".join(f"{n:>14}" for n in names))
    for asked in SCREENS:
        piece = derive(screen(asked)).pieces[0]

        def cold(_i, piece=piece):
            exact.solid.cache_clear()
            exact.build(piece)

        rounds = 5 if asked <= 80 else 3
        took = [
            timed(lambda i: every_number(screen(asked, 1.0 + i)), rounds)[1],
            timed(lambda i: mesh_bytes(screen(asked, 11.0 + i)), rounds)[1],
            timed(cold, 2)[1],
            timed(lambda i: exact.build(derive(screen(asked, 21.0 + i)).pieces[0]), 2)[1],
            timed(lambda i: set_of_drawings(screen(asked, 31.0 + i)), 1)[1],
        ]
        print(f"{len(piece.members):>8}{len(piece.joints):>8}" + "".join(f"{t:>14.0f}" for t in took), flush=True)


def set_of_drawings(c: Commission) -> None:
    """Every sheet of the drawings."""
    from studio_lib.papers.write import drawings

    _ = drawings(derive(c)).svgs


def main() -> None:
    """Print the table."""
    what = set(sys.argv[1:]) or {"kernel", "pages", "growth"}
    if what & {"kernel", "pages"}:
        print(f"{'what':<66}{'budget':>8}{'clock ms':>10}{'work ms':>10}")
    if "kernel" in what:
        kernel()
    if "pages" in what:
        pages()
        browser()
    if "growth" in what:
        growth()


if __name__ == "__main__":
    main()
