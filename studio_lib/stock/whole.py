"""Whole-number programmes: one call, counted effort, nothing printed."""

from __future__ import annotations

import contextlib
import os
import sys
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array


@dataclass(frozen=True)
class Whole:
    """Outcome of a whole-number programme."""

    amounts: np.ndarray | None
    """The best answer found, or None."""
    floor: float
    """No answer is below this; -inf where nothing was proved."""
    impossible: bool


def solve_whole(cost, rows, low, high, most, nodes: int, seconds: float, gap: float = 0.0) -> Whole:
    """Least cost @ x with low <= rows @ x <= high and whole x from 0 to most; done within ``gap`` of the least."""
    with _silence():
        result = milp(
            cost,
            constraints=LinearConstraint(csc_array(rows), low, high) if rows.shape[0] else None,
            integrality=np.ones(len(cost)),
            bounds=Bounds(0, most),
            options={"node_limit": nodes, "time_limit": seconds, "mip_rel_gap": gap},
        )
    floor = result.mip_dual_bound
    return Whole(
        None if result.x is None else np.rint(result.x).astype(np.int64),
        floor if floor is not None and np.isfinite(floor) else -np.inf,
        result.status == 2,
    )


@contextlib.contextmanager
def _silence():
    """Keep a forgotten line of the solver (HiGHS issue 2783) off the page."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
