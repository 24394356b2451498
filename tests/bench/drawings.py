"""Times of the drawings, nothing kept from before: python tests/bench/drawings.py"""

from __future__ import annotations

import statistics
import time

from studio_lib.commission import Brief
from studio_lib.drawings import general, views, whole
from studio_lib.drawings.paper import Block
from studio_lib.drawings.whole import Drawn, drawing_set
from studio_lib.forms import FORMS, make
from studio_lib.papers.drawn import drawings_pdf
from studio_lib.solids import mesh
from studio_lib.stock.cutting_list import cutting_list

BLOCK = Block(
    "The maker",
    "D-1-A",
    "a piece",
    "a commission",
    "1",
    "25 November 2026",
    "first angle",
    "12 % moisture",
    "oak, oiled",
)
KEPT = (
    whole.sheets_of,
    general.sections,
    general.true_box,
    views.view,
    views.sharp_edged,
    views._facets_of,
    views._facets_of_block,
    mesh._solid,
)


def main() -> None:
    """Full set of each form: sheets, PDF and DXF; medians of three."""
    for name in (n for n in FORMS if n != "freehand"):
        piece = make(name, Brief(), name=name, timber="oak")
        rows = cutting_list([(piece, 1)])
        took: list[tuple[float, float, float]] = []
        for _ in range(3):
            for kept in KEPT:
                kept.cache_clear()
            at = [time.perf_counter()]
            made = drawing_set([Drawn(piece, rows, 1)], [BLOCK])
            svgs = made.svgs
            at.append(time.perf_counter())
            drawings_pdf(made, name)
            at.append(time.perf_counter())
            made.dxf()
            at.append(time.perf_counter())
            took.append(tuple(b - a for a, b in zip(at, at[1:])))
        sheets, pdf, dxf = (statistics.median(t[k] for t in took) for k in range(3))
        print(
            f"{name:14s} {len(piece.members):3d} members {len(piece.joints):3d} joints {len(svgs):3d} sheets   "
            f"drawn {sheets:5.2f} s   PDF {pdf:5.2f} s   DXF {dxf:5.2f} s   together {sheets + pdf + dxf:5.2f} s"
        )


if __name__ == "__main__":
    main()
