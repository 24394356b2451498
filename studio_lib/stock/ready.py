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


def compiled() -> bool:
    """True where kernels as new as their source lie in the cache beside it."""
    for name, kernel in (("patterns", "fill_board"), ("floors", "any_stage"), ("cover", "cheapest_cover")):
        source = _HERE / f"{name}.py"
        index = list((_HERE / "__pycache__").glob(f"{name}.{kernel}-*.nbi"))
        if not any(i.stat().st_mtime >= source.stat().st_mtime for i in index):
            return False
    return True


def make_ready() -> bool:
    """Begin compiling in a process of its own unless it is done or under way; True when there is nothing to wait for."""
    with _lock:
        if compiled():
            return True
        if not _started:
            code = "from studio_lib.stock.ready import rehearse; rehearse()"
            _started.append(subprocess.Popen(
                [sys.executable, "-c", code], cwd=_HERE.parents[1], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            ))
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
    """Two small jobs that call every kernel once, so that each is compiled."""
    from decimal import Decimal

    from studio_lib.stock.boards import Board, Fault, Wanted
    from studio_lib.stock.layout import lay_out

    wanted = [Wanted(f"P{i}", 300 + 97 * i, 60 + 13 * i, 20, 5, "show", "-") for i in range(4)]
    flawed = [Board(f"B{i}", "-", 1900 + 50 * i, 200, 27, Decimal(20 + 3 * i), 2, (Fault(700, 760, 40, 90, 2),)) for i in range(3)]
    clean = [Board(f"C{i}", "-", 1500 + 300 * i, 180, 27, Decimal(18 + 2 * i), None) for i in range(3)]
    bars = [Board("D", "-", 2000, 60, 27, Decimal(10), None)]
    lay_out(wanted, flawed + clean, 4, 60)
    lay_out([Wanted(f"Q{i}", 410 + 61 * i, 60, 20, 4, "show", "-") for i in range(4)], bars, 4, 60)
