"""Times of the timber page, as a maker feels them: python tests/bench/timber.py"""

from __future__ import annotations

import tempfile

from road import median_ms

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.jobbook import open_book
from studio_lib.timber import all_species
from studio_lib.timber.try_out import DETAILS
from workbook.desk import Desk
from workbook.page import Page

OTHERS = ["Teak", "European oak", "Iroko"]


def ranked(i: int) -> None:
    """Every timber ranked twice, for the brief and under weights, and four held against each other on the piece."""
    d = derive(
        demo().changed("brief.years_wanted", 20 + i).changed("timber.weights.life", 1.0 + i % 9).changed("timber.compared", OTHERS)
    )
    _ = (d.choices, d.weighing, d.on_this_piece)


def with_details():
    """The demo with one of each detail tried and a ring drawn."""
    return (
        demo()
        .changed("timber.tried", [{"detail": d.name, "size_mm": d.begin_mm} for d in DETAILS])
        .changed("timber.rings", {"points": [[-80, -10], [0, 10], [80, -10]]})
        .changed("timber.compared", OTHERS)
    )


def main() -> None:
    """Print what the issue of the page gives a budget for, and what lies around it."""
    derive(demo()).price
    print(f"rank {len(all_species())} timbers, compare 4       ", median_ms(ranked), "  budget 100 ms")
    document = with_details()

    def moved(i):
        d = derive(document.changed("timber.tried.1.size_mm", 900.0 + i))
        _ = (d.tried, d.timber_findings, d.slat_gaps, d.drawn_board)

    print("movement: figures of a moved size    ", median_ms(moved))
    with tempfile.TemporaryDirectory() as folder:
        book = open_book(folder)
        book.add(document)
        desk = Desk(book)
        page = Page("timber", desk).panel()
        print(
            "movement: size moved, page redrawn    ",
            median_ms(lambda i: desk.change("timber.tried.1.size_mm", 1500.0 + i)), "  budget 50 ms",
        )
        print(
            "moisture moved, page redrawn          ",
            median_ms(lambda i: desk.change("timber.making_moisture_pct", 12.0 + 0.1 * i)), "  budget 50 ms",
        )
        print("a weight moved, page redrawn          ", median_ms(lambda i: desk.change("timber.weights.life", 1.0 + i % 9)))
        assert page is not None and desk.refused == {} and desk.notice == "", (desk.refused, desk.notice)
        book.close()


if __name__ == "__main__":
    main()
