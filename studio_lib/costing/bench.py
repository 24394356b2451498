"""The bench sheet: one page that takes time down on a telephone, without a network, and hands it over as data."""

from __future__ import annotations

import json
from pathlib import Path

from studio_lib.costing.operations import DRAWING, standard_times


def loggable(work=()) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Operations that time is written down for, by stage, those of this job first in each; each once."""
    times = standard_times()
    mine = dict.fromkeys(w.time.operation for w in work)
    if not mine:
        mine = dict.fromkeys(times)
    stages: dict[str, list[str]] = {"drawing": [DRAWING]}
    for o in mine:
        stages.setdefault(times[o].stage, []).append(o)
    stages["seldom counted"] = [t.operation for t in times.values() if t.offered and t.operation not in mine]
    return tuple((stage, tuple(names)) for stage, names in stages.items() if names)


def bench_page_html(d) -> str:
    """The bench sheet of one commission: timers and minutes by operation, kept in the telephone's own browser."""
    data = {"ref": d.commission.ref, "title": d.commission.title, "operations": loggable(d.work)}
    plain = json.dumps(data).replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
    return Path(__file__).with_name("bench.html").read_text("utf-8").replace("/*DATA*/{}", plain)
