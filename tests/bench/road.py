"""Times of the road, as a maker feels them: python tests/bench/road.py"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.look.glb import glb
from studio_lib.look.scenes import scene
from studio_lib.solids.mesh import meshes

ROUNDS = 21


def median_ms(work, rounds: int = ROUNDS) -> str:
    """Median, least and greatest of ``work(i)``."""
    took = []
    for i in range(rounds):
        began = time.perf_counter()
        work(i)
        took.append(1000 * (time.perf_counter() - began))
    return f"{statistics.median(took):8.1f} ms  [{min(took):.1f} .. {max(took):.1f}]"


def figures(i: int) -> None:
    """A slider moved: every number of every page."""
    d = derive(demo().changed("items.0.sizes.length_mm", 1700.0 + i))
    _ = (d.findings, d.slat_gaps, d.weights_kg, d.cutting_list, d.layout.cost, d.price.gross, d.price.drivers)


def mesh(i: int) -> None:
    """A slider moved: a new mesh with all joints cut, as bytes on their way to the page."""
    d = derive(demo().changed("items.0.sizes.length_mm", 2200.0 + i))
    glb([(p.name, meshes(p), (0.0, 0.0, 0.0)) for p in d.pieces])


def main() -> None:
    """Print every figure of the budget that can be measured without a browser."""
    derive(demo()).price
    print("slider -> every number      ", median_ms(figures))
    print("slider -> mesh bytes        ", median_ms(mesh))

    from studio_lib.solids import exact

    piece = derive(demo()).pieces[0]

    def cold(_i):
        exact.solid.cache_clear()
        exact.build(piece)

    def warm(i):
        exact.build(derive(demo().changed("items.0.sizes.length_mm", 2500.0 + i)).pieces[0])

    print("exact solids, nothing cached", median_ms(cold, 7))
    print("exact solids, length moved  ", median_ms(warm, 7))
    print("scene of both pieces        ", median_ms(lambda _i: glb(scene(derive(demo())))))

    from studio_lib.papers import write

    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        write(demo(), Path(folder))
        print(f"all papers                   {time.perf_counter() - began:8.1f} s")

    from studio_lib.jobbook import open_book

    with tempfile.TemporaryDirectory() as folder:
        book = open_book(folder)
        for n in range(2000):
            book.add(demo().model_copy(update={"ref": f"D{n:05d}", "title": f"Piece {n}"}))
        print("2000 commissions: list      ", median_ms(lambda _i: book.commissions()))
        print("2000 commissions: search    ", median_ms(lambda _i: book.commissions("piece 1234")))
        print("2000 commissions: open      ", median_ms(lambda _i: book.open("D01234")))


if __name__ == "__main__":
    main()
