"""The search's compiled kernels, made ready beside the work so that nobody waits for a compiler.

Compiling takes some seconds once on a computer; a process of its own does it and leaves the result in
the compiler's cache. Later processes only load it.
"""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

_HERE = Path(__file__).resolve().parent
_started: list[subprocess.Popen] = []
_lock = threading.Lock()


KERNELS = (
    ("patterns", "fill_board"),
    ("patterns", "bar_patterns"),
    ("floors", "past_faults"),
    ("floors", "past_faults_at"),
    ("cover", "cheapest_cover"),
)


def compiled() -> bool:
    """True where kernels as new as their source lie in the cache beside it."""
    return all(
        any(i.stat().st_mtime >= (_HERE / f"{name}.py").stat().st_mtime for i in _cached(name, kernel))
        for name, kernel in KERNELS
    )


def _cached(name: str, kernel: str):
    return (_HERE / "__pycache__").glob(f"{name}.{kernel}-*.nbi")


def make_ready() -> bool:
    """Begin compiling in a process of its own unless it is done or under way; True when there is nothing to wait for."""
    with _lock:
        if compiled():
            return True
        if not _started:
            code = "from studio_lib.stock.ready import rehearse; rehearse()"
            _started.append(
                subprocess.Popen(
                    [sys.executable, "-c", code],
                    cwd=_HERE.parents[1],
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.DEVNULL,
                )
            )
        return _started[0].poll() is not None


def wait(stop=None) -> None:
    """Until the kernels are ready, or ``stop()`` answers True."""
    while not make_ready():
        if stop and stop():
            return
        try:
            _started[0].wait(0.2)
        except subprocess.TimeoutExpired:
            continue


def rehearse() -> None:
    """Two small jobs that call every kernel, so that each is compiled."""
    from decimal import Decimal

    from studio_lib.stock.boards import Board, Fault, Wanted
    from studio_lib.stock.layout import lay_out

    knot = Fault(1200, 1260, 60, 110, 2, "knot")
    wanted = [
        Wanted(f"P{n}", length, width, thickness, count, rank, "-")
        for n, (length, width, thickness, count, rank) in enumerate(
            (
                (815, 79, 45, 2, "show"),
                (427, 70, 45, 2, "show"),
                (1369, 73, 21, 10, "show"),
                (365, 80, 33, 3, "hidden"),
                (1133, 98, 28, 2, "show"),
            )
        )
    ]
    boards = [
        Board(f"B{n}", "-", length, width, thickness, Decimal(price), count, faults)
        for n, (length, width, thickness, price, count, faults) in enumerate(
            (
                (3450, 280, 32, 70, 1, (knot,)),
                (2450, 125, 32, 21, 1, ()),
                (2660, 285, 54, 124, 1, (knot,)),
                (3060, 250, 40, 89, 1, (knot,)),
                (3340, 245, 32, 58, 1, (knot,)),
                (1900, 180, 54, 60, None, ()),
                (2100, 180, 32, 33, None, ()),
            )
        )
    ]
    lay_out(wanted, boards, 4, 60, resaw_kerf_mm=3.0)
    bars = [Board("D", "-", 2000, 60, 27, Decimal(10), None)]
    lay_out([Wanted(f"Q{i}", 410 + 61 * i, 60, 20, 4, "show", "-") for i in range(4)], bars, 4, 60)
    # The compiler goes by what the source says and leaves a cache that still holds as it is, older than
    # a source file that was only copied anew.
    for name, kernel in KERNELS:
        for index in _cached(name, kernel):
            index.touch()
