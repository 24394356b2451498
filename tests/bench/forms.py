"""From a form to its model and its solids, and how both grow: python tests/bench/forms.py"""

from __future__ import annotations

import statistics
import time

from studio_lib.commission import Adjustment, Brief
from studio_lib.forms import FORMS, make
from studio_lib.solids import exact
from studio_lib.solids.mesh import meshes

SIZES = {
    "bench": "length_mm", "table": "length_mm", "stool": "height_mm", "slatted table": "length_mm", "slatted stool": "height_mm",
    "bookcase": "width_mm", "cabinet": "width_mm", "chest": "width_mm", "framed screen": "length_mm", "strung screen": "length_mm",
}
LARGE = {
    "as proposed": {}, "two cases, a row of drawers": {"height_mm": 1900, "drawer_rows": 1},
    "eight drawers": {"drawer_rows": 4, "drawers_fill": 1, "doors": 0, "shelf_count": 0, "width_mm": 1400},
}


def median_ms(work, rounds: int = 9) -> float:
    """Median time of ``work(i)``. [ms]"""
    took = []
    for i in range(rounds):
        began = time.perf_counter()
        work(i)
        took.append(1000 * (time.perf_counter() - began))
    return statistics.median(took)


def row(name: str, form: str, size: str, chosen: dict) -> str:
    """One line: members, joints, and the medians."""
    def piece(i):
        base = {s.name: s for s in FORMS[form].sizes}[size]
        middle = make(form, Brief(), timber="oak", **chosen)
        at = (middle.overall_mm[2] if size == "height_mm" else middle.overall_mm[0]) - 20 + i
        return make(form, Brief(), timber="oak", swell_fraction=0.02, **{**chosen, size: min(max(at, base.low), base.high)})

    def model(i):
        made = piece(i)
        for m in made.members:
            made.shape(m.ref)

    def cold(_i):
        exact.solid.cache_clear()
        exact.build(first)

    first = piece(0)
    plain = median_ms(piece)
    return (f"{name:36s} {len(first.members):4d} {len(first.joints):4d} {plain / 2:9.1f} {median_ms(model) - plain / 2:9.1f}"
            f" {median_ms(lambda i: meshes(piece(20 + i))) - plain / 2:9.1f} {median_ms(cold, 3):9.0f}")


def main() -> None:
    """Every form as proposed, the cabinet as it grows, and a piece with twenty changes of the maker's own."""
    print(f"{'':36s} {'members':>4s} joints  piece ms  and cuts  and mesh ms  exact, nothing kept ms")
    for form, size in SIZES.items():
        print(row(form, form, size, {}))
    for words, chosen in LARGE.items():
        print(row(f"cabinet, {words}", "cabinet", "width_mm", chosen))
    refs = [m.ref for m in make("cabinet", Brief()).members][:20]
    own = tuple(Adjustment(member=r, field="name", value=f"my {r}") for r in refs)
    print(f"cabinet with twenty changes of ones own: {median_ms(lambda i: make('cabinet', Brief(), adjustments=own)):.1f} ms")


if __name__ == "__main__":
    main()
