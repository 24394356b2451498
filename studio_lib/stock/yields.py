"""What past jobs got out of their boards, by timber and grade, for the next estimate.

Finished over bought, volume against volume. Jobs are put together on the logit of the yield, as
shares near 0 and 1 are not symmetric; with few jobs the answer stays near the starting share.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

STARTING_YIELD = 0.5
"""Finished over bought before there is a job to learn from; common practice, no source: small shops
lose up to 40 % of the rough stock, and planing alone a quarter (trade notes 2.4)."""
STARTING_WEIGHT = 2.0
"""Jobs that the starting share counts for."""


@dataclass(frozen=True)
class JobYield:
    """Volume bought and finished of one timber and grade in one job. [mm3]"""

    timber: str
    grade: str
    bought_mm3: float
    finished_mm3: float


@dataclass(frozen=True)
class Learnt:
    """The share to expect, and from how many jobs."""

    share: float
    jobs: int


def job_yields(layout_plain: dict, pieces) -> list[JobYield]:
    """Yields of one job from its kept layout; ``pieces`` (Wanted) give the finished sizes."""
    finished_of = {p.ref: p.length_mm * p.width_mm * p.thickness_mm for p in pieces}
    boards = {b["ref"]: b for b in layout_plain["boards"]}
    bought: dict = defaultdict(float)
    finished: dict = defaultdict(float)
    seen = set()
    for board_ref, copy, piece_ref, _x, _y, layers, *_ in layout_plain["placements"]:
        b = boards[board_ref]
        key = (b["timber"], b.get("grade", ""))
        if (board_ref, copy) not in seen:
            seen.add((board_ref, copy))
            end = b.get("width_end_mm") or b["width_mm"]
            bought[key] += b["length_mm"] * (b["width_mm"] + end) / 2 * b["thickness_mm"]
        finished[key] += layers * finished_of.get(piece_ref, 0.0)
    return [JobYield(*key, bought[key], finished[key]) for key in bought if 0 < finished[key] < bought[key]]


def expected(jobs, timber: str, grade: str = "") -> Learnt:
    """The yield to count on for a timber and a grade; '' puts all grades of it together."""
    mine = [j for j in jobs if j.timber == timber and (not grade or j.grade == grade)]
    total, weight = STARTING_WEIGHT * _logit(STARTING_YIELD), STARTING_WEIGHT
    for j in mine:
        total += _logit(j.finished_mm3 / j.bought_mm3)
        weight += 1
    return Learnt(1 / (1 + math.exp(-total / weight)), len(mine))


def _logit(share: float) -> float:
    return math.log(share / (1 - share))
